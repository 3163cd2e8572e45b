//! Roof snow of EN 1991-1-3 on curved shells, and the parts that every code shares.

pub(crate) mod asce;
#[cfg(test)]
mod tests;

use crate::loads::ask::{Basis, LoadsAsk, SnowAsk};
use crate::loads::build::{Push, case};
use crate::loads::figures::figure;
use crate::loads::halves::{directions, on_half, sides};
use crate::loads::integrate::{Cut, Field};
use crate::loads::section_line::{Ball, SectionLine, degrees, towards};
use crate::loads::{Action, Case, CaseKind, LoadError, MemberLoad};
use crate::shell::{MemberId, MemberKind, Shape, Shell};
use crate::vector::Vec3;

/// Every arrangement of snow that the basis asks for, a case each.
///
/// # Errors
///
/// [`LoadError`] where a value is missing or cannot be.
pub fn cases(ask: &LoadsAsk, snow: &SnowAsk, shell: &Shell) -> Result<Vec<Case>, LoadError> {
    positive("snow.ground", snow.ground)?;
    match ask.basis {
        Basis::Eurocode => eurocode(ask, snow, shell),
        Basis::UsLrfd | Basis::UsAsd => asce::cases(ask, snow, shell),
    }
}

pub(crate) fn positive(what: &str, value: f64) -> Result<(), LoadError> {
    if value.is_finite() && value >= 0.0 {
        return Ok(());
    }
    Err(LoadError::OutOfRange { what: what.into(), value, limit: "a number, zero or more" })
}

/// Where snow can lie: distance in plan from the ridge line of a vault (its middle, rounding the domed
/// ends) or from the centre of a dome, and how far the surface is no steeper than an angle.
pub(crate) struct Ground<'a> {
    pub(crate) shell: &'a Shell,
    pub(crate) section: Option<SectionLine>,
    pub(crate) ball: Ball,
    pub(crate) shape: Shape,
}

impl<'a> Ground<'a> {
    pub(crate) fn new(shell: &'a Shell) -> Ground<'a> {
        let outline = &shell.outline;
        let section = SectionLine::new(outline);
        let shape =
            if outline.shape == Shape::Vault && section.is_none() { Shape::Free } else { outline.shape };
        Ground { shell, section, ball: Ball::new(outline, outline.centre), shape }
    }

    /// Signed place along x beyond the straight part, 0 in it (and at an end that is not domed).
    pub(crate) fn beyond(&self, x: f64) -> f64 {
        match self.shell.outline.barrel {
            Some([low, high]) => {
                let domed = self.shell.outline.domed_ends;
                if x < low && domed[0] {
                    x - low
                } else if x > high && domed[1] {
                    x - high
                } else {
                    0.0
                }
            }
            None => x - self.ball.centre.x,
        }
    }

    /// Distance across a vault from its middle, signed.
    pub(crate) fn across(&self, y: f64) -> f64 {
        y - self.section.as_ref().map_or(self.ball.centre.y, |section| section.middle)
    }

    /// Distance from the ridge line or centre.
    #[allow(clippy::imprecise_flops, reason = "far from the ends of the range, and asked for most of all")]
    pub(crate) fn distance(&self, point: &Vec3) -> f64 {
        let (along, across) = (self.beyond(point.x), self.across(point.y));
        (along * along + across * across).sqrt()
    }

    /// A place on the ridge line of a vault, or the centre of a dome.
    pub(crate) fn centre(&self) -> Vec3 {
        match self.shape {
            Shape::Vault => Vec3::new(0.0, -self.across(0.0), 0.0),
            _ => self.ball.centre,
        }
    }

    /// Place downwind and across from the centre of a dome or the ridge line of a vault; beside a vault's straight part, from the
    /// centre of the domed end.
    pub(crate) fn wind_axes(&self, p: &Vec3, downwind: &Vec3, across: &Vec3) -> (f64, f64) {
        if self.shape == Shape::Vault {
            let [along, side] = [self.beyond(p.x), self.across(p.y)];
            if downwind.x == 0.0 { (side * downwind.y, along) } else { (along * downwind.x, side) }
        } else {
            let out = p - self.ball.centre;
            (out.dot(downwind), out.dot(across))
        }
    }

    /// How far from the ridge or centre the surface is no steeper than an angle \[m\].
    pub(crate) fn reach(&self, limit: f64) -> f64 {
        match (&self.section, self.shape) {
            (Some(section), Shape::Vault) => section.reach(limit),
            _ => (self.ball.radius * limit.sin()).min(self.ball.plan),
        }
    }

    /// Slope of the smooth surface at a distance \[rad\].
    pub(crate) fn slope(&self, distance: f64) -> f64 {
        match (&self.section, self.shape) {
            (Some(section), Shape::Vault) => section.slope(distance),
            _ => (distance / self.ball.radius).min(1.0).asin(),
        }
    }

    /// Greatest distance from the ridge or centre \[m\].
    pub(crate) fn widest(&self) -> f64 {
        match (&self.section, self.shape) {
            (Some(section), Shape::Vault) => section.half_width,
            _ => self.ball.plan,
        }
    }

    /// The cut at a distance from the ridge or centre.
    pub(crate) fn cuts_at(&self, distance: f64) -> Vec<Cut<'_>> {
        let domed = self.shell.outline.domed_ends;
        if self.shape == Shape::Vault && !domed[0] && !domed[1] {
            let middle = self.across(0.0);
            return vec![Cut::Plane(Vec3::y(), distance - middle), Cut::Plane(Vec3::y(), -distance - middle)];
        }
        vec![Cut::Level(Box::new(move |p: &Vec3| distance - self.distance(p)))]
    }

    /// Cuts where the straight part meets domed ends.
    pub(crate) fn end_cuts(&self) -> Vec<Cut<'_>> {
        let Some(barrel) = self.shell.outline.barrel else { return Vec::new() };
        let domed = self.shell.outline.domed_ends;
        (0..2).filter(|&end| domed[end]).map(|end| Cut::Plane(Vec3::x(), barrel[end])).collect()
    }

    /// Slope of a panel from level \[rad\].
    pub(crate) fn panel_slope(&self, panel: crate::shell::PanelId) -> f64 {
        let area = self.shell.area_vector(panel);
        (area.z / area.norm()).clamp(-1.0, 1.0).acos()
    }
}

fn eurocode(ask: &LoadsAsk, snow: &SnowAsk, shell: &Shell) -> Result<Vec<Case>, LoadError> {
    let exposure = snow.exposure.unwrap_or(1.0);
    let thermal = snow.thermal.unwrap_or(1.0);
    positive("snow.exposure", exposure)?;
    positive("snow.thermal", thermal)?;
    let on_roof = exposure * thermal * snow.ground;
    let ground = Ground::new(shell);
    let mut base = vec![format!(
        "s = μ·Ce·Ct·sk with Ce {exposure}{}, Ct {thermal}{}, sk {:.0} N/m², per plan area (EN 1991-1-3 5.2)",
        if snow.exposure.is_none() { " (not given: normal ground taken)" } else { "" },
        if snow.thermal.is_none() { " (not given)" } else { "" },
        snow.ground
    )];
    if ground.shape == Shape::Free {
        base.push("a free shape: slopes are those of its panels".into());
    }
    let arrangements = |factor: f64, name: &str| -> Result<Vec<Case>, LoadError> {
        let load = on_roof * factor;
        let mut cases = vec![undrifted(&ground, snow, load, &format!("{name} undrifted"))];
        cases.extend(drifted(&ground, ask, snow, load, name));
        if !snow.no_half_shell {
            cases.extend(half_shell(&ground, ask, snow, load, name));
        }
        if ground.shape == Shape::Dome {
            cases.extend(sectors(&ground, ask, snow, load, name));
        }
        if let Some(valley) = snow.valley {
            positive("snow.valley", valley)?;
            cases.push(with_valleys(&cases[0], shell, valley * factor)?);
        }
        Ok(cases.into_iter().map(|case| case.remarked(base.clone())).collect())
    };
    let mut cases = arrangements(1.0, "snow")?;
    if let Some(factor) = snow.exceptional {
        positive("snow.exceptional", factor)?;
        let remark = format!(
            "exceptional snow: {factor} × the ground snow, and what lies along valleys, an accidental action (EN 1991-1-3 4.3, 5.2(3)b)"
        );
        for case in arrangements(factor, "exceptional snow")? {
            cases.push(Case { action: Action::Accidental, ..case }.remarked([remark.clone()]));
        }
    }
    Ok(cases)
}

/// μ undrifted where the surface is no steeper than 60°.
fn lying<'g>(ground: &'g Ground<'_>, snow: &SnowAsk, value: f64) -> Field<'g> {
    let limit = figure("en1991_snow_shape", "steepest slope", "value").to_radians();
    if snow.held_back {
        return Field::uniform(value);
    }
    if ground.shape == Shape::Free {
        return Field::new(
            move |panel, _| if ground.panel_slope(panel) <= limit { value } else { 0.0 },
            Vec::new(),
        )
        .stepped();
    }
    let reach = ground.reach(limit);
    Field::new(
        move |_, p: &Vec3| if ground.distance(p) <= reach { value } else { 0.0 },
        ground.cuts_at(reach),
    )
    .stepped()
}

fn undrifted_factor(snow: &SnowAsk) -> (f64, String) {
    match snow.undrifted {
        Some(value) => (value, format!("μ {value} undrifted, the project's own")),
        None => {
            let value = figure("en1991_snow_shape", "undrifted", "value");
            (value, format!("μ {value} undrifted where no steeper than 60° (EN 1991-1-3 5.3.5 (i))"))
        }
    }
}

fn provisional_dome(ground: &Ground<'_>, shell: &Shell) -> Vec<String> {
    let domed = ground.shape == Shape::Dome || shell.outline.domed_ends.iter().any(|&end| end);
    if domed {
        vec!["EN 1991-1-3 gives no coefficient for domes: the vault's rule is carried over".into()]
    } else if ground.shape == Shape::Free {
        vec!["EN 1991-1-3 gives no coefficient for this shape: the rule of curved roofs by the slope of each panel".into()]
    } else {
        Vec::new()
    }
}

fn undrifted(ground: &Ground<'_>, snow: &SnowAsk, on_roof: f64, name: &str) -> Case {
    let (factor, words) = undrifted_factor(snow);
    let field = lying(ground, snow, factor * on_roof);
    let mut remarks = vec![words];
    if snow.held_back {
        remarks.push("something keeps the snow from sliding: steep parts keep theirs".into());
    }
    case(ground.shell, name.into(), CaseKind::Snow, &field, Push::DownPerPlan)
        .remarked(remarks)
        .provisionally(provisional_dome(ground, ground.shell))
}

/// The two triangles of 5.3.5 (ii): value at a signed place w across the width `half`·2, downwind positive.
fn triangles(w: f64, half: f64, peak: f64) -> f64 {
    let rise = |from_end: f64, top: f64| {
        let t = 2.0 * from_end / half;
        top * if t <= 1.0 { t } else { 2.0 - t }
    };
    if w <= -half || w >= half {
        0.0
    } else if w < 0.0 {
        rise(half + w, 0.5 * peak)
    } else {
        rise(half - w, peak)
    }
}

/// The peak coefficient μ3 of a curved roof.
pub(crate) fn drift_peak(rise: f64, span: f64) -> f64 {
    let value = |row| figure("en1991_snow_shape", row, "value");
    (value("drifted base") + value("drifted per rise over span") * rise / span).min(value("drifted cap"))
}

fn drifted(ground: &Ground<'_>, ask: &LoadsAsk, snow: &SnowAsk, on_roof: f64, name: &str) -> Vec<Case> {
    let limit = figure("en1991_snow_shape", "steepest slope", "value").to_radians();
    let outline = &ground.shell.outline;
    let half = ground.reach(limit);
    let span = outline.span.max(2.0 * ground.widest());
    let (peak, words) = match snow.drifted {
        Some(value) => (value, format!("μ3 {value}, the project's own")),
        None => {
            let peak = drift_peak(outline.rise, span);
            (
                peak,
                format!(
                    "μ3 {peak:.3} = 0.2 + 10·h/b, at most 2.0, on ls {:.2} m (EN 1991-1-3 5.3.5 (ii))",
                    2.0 * half
                ),
            )
        }
    };
    let value = peak * on_roof;
    let pair: Vec<(String, Vec3)> = match ground.shape {
        Shape::Vault => drift_ways(ground.shell),
        Shape::Dome => directions(ask)
            .into_iter()
            .map(|from| (format!("by wind from {}", degrees(from)), -towards(from)))
            .collect(),
        // No profile along the wind: the half-shell arrangements stand in.
        Shape::Free => Vec::new(),
    };
    let plan = ground.ball.plan;
    pair.into_iter()
        .map(|(way, downwind)| {
            let across = Vec3::new(-downwind.y, downwind.x, 0.0);
            let vault = ground.shape == Shape::Vault;
            let along = vault && downwind.x != 0.0;
            let lying = lying(ground, snow, undrifted_factor(snow).0 * on_roof);
            let mut cuts = drift_cuts(ground, &downwind, half);
            if ground.shape == Shape::Dome || along {
                cuts.push(Cut::Plane(across, ground.centre().dot(&across)));
            }
            cuts.extend(ground.end_cuts());
            if along {
                cuts.extend(lying.cuts);
            }
            let straight = lying.value;
            let field = Field::new(
                move |panel, p: &Vec3| {
                    if along && ground.beyond(p.x) == 0.0 {
                        // Wind along a vault finds no lee on its straight part.
                        return straight(panel, p);
                    }
                    let (w, v) = ground.wind_axes(p, &downwind, &across);
                    triangles(w, half, value) * (1.0 - v.abs() / plan).max(0.0)
                },
                cuts,
            );
            let mut remarks = vec![words.clone()];
            if along {
                remarks.push("on the straight part as undrifted; this project's own rule".into());
            }
            if ground.shape == Shape::Dome || outline.domed_ends.iter().any(|&end| end) {
                remarks.push(
                    "on domes and domed ends times (1 − distance across the wind / plan radius), by the distance along the wind alone: \
                     where they are steeper than 60° across the wind snow lies too; this project's own rule"
                        .into(),
                );
            }
            case(ground.shell, format!("{name} drifted {way}"), CaseKind::Snow, &field, Push::DownPerPlan)
                .remarked(remarks)
                .provisionally(provisional_dome(ground, ground.shell))
        })
        .collect()
}

/// Which ways snow drifts on a vault: to its sides, and where an end is domed to its ends.
pub(crate) fn drift_ways(shell: &Shell) -> Vec<(String, Vec3)> {
    let mut ways = vec![("to the +y side".to_owned(), Vec3::y()), ("to the −y side".to_owned(), -Vec3::y())];
    if shell.outline.domed_ends.contains(&true) {
        ways.extend([("to the +x end".to_owned(), Vec3::x()), ("to the −x end".to_owned(), -Vec3::x())]);
    }
    ways
}

/// Where the triangles of a drift have kinks: about the middle of a dome or vault, or, along a vault, about either end of its straight
/// part.
fn drift_cuts<'g>(ground: &Ground<'g>, downwind: &Vec3, half: f64) -> Vec<Cut<'g>> {
    let middles = match ground.shell.outline.barrel {
        Some(barrel) if downwind.x != 0.0 && ground.shape == Shape::Vault => {
            barrel.map(|x| x * downwind.x).to_vec()
        }
        _ => vec![ground.centre().dot(downwind)],
    };
    let kinks = [-1.0, -0.5, 0.0, 0.5, 1.0].map(|k| k * half);
    middles.iter().flat_map(|middle| kinks.map(|kink| Cut::Plane(*downwind, middle + kink))).collect()
}

fn half_shell(ground: &Ground<'_>, ask: &LoadsAsk, snow: &SnowAsk, on_roof: f64, name: &str) -> Vec<Case> {
    let (factor, _) = undrifted_factor(snow);
    let lesser = figure("en1991_snow_shape", "half-shell lesser side", "value");
    sides(ground, ask)
        .into_iter()
        .map(|(words, unit)| {
            let field = on_half(ground.shell, lying(ground, snow, factor * on_roof), unit, lesser);
            case(ground.shell, format!("{name} on the {words}"), CaseKind::Snow, &field, Push::DownPerPlan)
                .remarked([format!("half-shell: μ {factor} on one half, {} on the other; this project's own rule, after the duopitch arrangements of EN 1991-1-3 5.3.3", factor * lesser)])
                .provisionally(provisional_dome(ground, ground.shell))
        })
        .collect()
}

fn sectors(ground: &Ground<'_>, ask: &LoadsAsk, snow: &SnowAsk, on_roof: f64, name: &str) -> Vec<Case> {
    let (factor, _) = undrifted_factor(snow);
    let centre = ground.ball.centre;
    let half = std::f64::consts::FRAC_PI_4;
    directions(ask)
        .into_iter()
        .map(|angle| {
            let whole = lying(ground, snow, factor * on_roof);
            let middle = towards(angle);
            let mut cuts: Vec<Cut<'_>> = [angle - half, angle + half]
                .iter()
                .map(|edge| {
                    let along = towards(*edge);
                    let normal = Vec3::new(-along.y, along.x, 0.0);
                    Cut::Plane(normal, normal.dot(&centre))
                })
                .collect();
            cuts.extend(whole.cuts);
            let value = whole.value;
            let field = Field::new(
                move |panel, p: &Vec3| {
                    let out = Vec3::new(p.x - centre.x, p.y - centre.y, 0.0);
                    if out.dot(&middle) >= out.norm() * half.cos() { value(panel, p) } else { 0.0 }
                },
                cuts,
            )
            .stepped();
            case(
                ground.shell,
                format!("{name} on the quarter towards {}", degrees(angle)),
                CaseKind::Snow,
                &field,
                Push::DownPerPlan,
            )
            .remarked([format!(
                "μ {factor} on a sector of 90° in plan, none elsewhere; this project's own rule"
            )])
            .provisionally(provisional_dome(ground, ground.shell))
        })
        .collect()
}

/// Another arrangement with a surcharge along the valley seams.
pub(crate) fn with_valleys(undrifted: &Case, shell: &Shell, per_metre: f64) -> Result<Case, LoadError> {
    let mut case = undrifted.clone();
    case.name = format!("{}, valleys filled", undrifted.name);
    case.remarks.push(format!(
        "surcharge of {per_metre:.0} N per metre of plan length along every valley seam (the project's own)"
    ));
    for (index, member) in shell.members.iter().enumerate() {
        if member.kind != MemberKind::Seam || member.fold >= -1e-6 || member.outward.z <= 0.0 {
            continue;
        }
        let member_id = MemberId(index);
        let length = shell.length(member_id);
        let [from, to] = member.joints.map(|joint| shell.at(joint));
        let plan = (to.x - from.x).hypot(to.y - from.y);
        let intensity = Vec3::new(0.0, 0.0, -per_metre * plan / length);
        let (span, intensity) = ([0.0, length], [intensity; 2]);
        case.members.push(MemberLoad { member: member_id, span, intensity, panel: None });
        case.asked.z -= per_metre * plan;
    }
    if case.members.is_empty() {
        return Err(LoadError::TouchesNothing {
            name: case.name,
            why: ": this shell has no valley seams".into(),
        });
    }
    Ok(case)
}
