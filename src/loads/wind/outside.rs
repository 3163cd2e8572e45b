//! Outside pressure coefficients over the shell for one direction of the wind.

use std::f64::consts::PI;

use crate::loads::ask::{Basis, LoadsAsk, WindAsk};
use crate::loads::doubt::framed;
use crate::loads::figures::figure;
use crate::loads::integrate::{Cut, Field};
use crate::loads::section_line::{Ball, SectionLine, towards};
use crate::loads::snow::Ground;
use crate::loads::wind::coefficients::{Abc, Found, dome, own, vault};
use crate::loads::wind::upright::{is_along, wall, windward_door};
use crate::shell::count::extents;
use crate::shell::{PanelId, Shape, Shell};
use crate::vector::Vec3;

/// Coefficients over the shell.
pub(crate) struct Outside<'a> {
    /// Coefficient, inward positive.
    pub(crate) field: Field<'a>,
    /// Told apart from the main arrangement of the direction.
    pub(crate) name: Option<&'static str>,
    /// Coefficient at a door on the windward side.
    pub(crate) windward: f64,
    /// What was used.
    pub(crate) words: Vec<String>,
    /// Why it is provisional.
    pub(crate) provisional: Vec<String>,
}

/// Which rule a dome's meridian follows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Meridian {
    /// Linear A to B to C (EN 1991-1-4; ASCE 7 case A).
    Straight,
    /// A up to 25° (ASCE 7 case B).
    HeldToWindward,
}

/// Part 0..1 of the way from the windward foot over the crown to the leeward foot, by place downwind.
pub(crate) fn way(u: f64, ball: &Ball) -> f64 {
    let angle = (u / ball.radius).clamp(-1.0, 1.0).asin();
    (0.5 * (1.0 + angle / ball.half_angle)).clamp(0.0, 1.0)
}

pub(crate) fn on_dome(t: f64, abc: &Abc, rule: Meridian) -> f64 {
    let degrees = 180.0 * t;
    if degrees <= 90.0 {
        let from = if rule == Meridian::HeldToWindward { 25.0 } else { 0.0 };
        let part = ((degrees - from) / (90.0 - from)).max(0.0);
        abc.a + (abc.b - abc.a) * part
    } else {
        abc.b + (abc.c - abc.b) * (degrees - 90.0) / 90.0
    }
}

/// How coefficients go over a dome between its feet and its crown.
fn between(rule: Meridian) -> String {
    let held = match rule {
        Meridian::Straight => "",
        Meridian::HeldToWindward => "the windward figure holds up to 25° of the 180° of the arc; ",
    };
    format!(
        "{held}from windward foot to crown to leeward foot in proportion to the angle at the sphere's centre, along the arc that lies \
         along the wind; alike on any plane across the wind"
    )
}

/// Where the way over a dome has kinks: at its crown, and where it is held to windward on the cone of rays from the sphere's centre
/// at 25°.
fn dome_cuts<'a>(ball: Ball, downwind: Vec3, rule: Meridian) -> Vec<Cut<'a>> {
    let mut cuts = vec![Cut::Plane(downwind, ball.centre.dot(&downwind))];
    if rule == Meridian::HeldToWindward {
        let (sin, cos) = ((2.0 * 25.0 / 180.0 - 1.0) * ball.half_angle).sin_cos();
        cuts.push(Cut::Level(Box::new(move |p: &Vec3| {
            let ray = p - ball.middle();
            let along = ray.dot(&downwind);
            along * cos - (ray - downwind * along).norm() * sin
        })));
    }
    cuts
}

/// How a vault with domed ends takes coefficients: the wind pushes both ends together as it would push a dome.
const STEPPED: &str = "no code joins a vault and domed ends: each part takes its own coefficients, a domed end those of its half of a \
                       whole dome, with a step where they meet";

/// Every arrangement of outside coefficients for a direction.
pub(crate) fn arrangements<'a>(
    ask: &'a LoadsAsk,
    wind: &'a WindAsk,
    shell: &'a Shell,
    direction: f64,
) -> Vec<Outside<'a>> {
    let us = ask.basis != Basis::Eurocode;
    let rules: &[(Meridian, Option<&'static str>)] = if us && wind.coefficients.is_none() {
        &[(Meridian::Straight, Some("case A")), (Meridian::HeldToWindward, Some("case B"))]
    } else {
        &[(Meridian::Straight, None)]
    };
    let ground = Ground::new(shell);
    match ground.shape {
        Shape::Dome => {
            rules.iter().map(|&(rule, name)| whole_dome(ask, wind, shell, direction, rule, name)).collect()
        }
        Shape::Free => {
            rules.iter().map(|&(rule, name)| free(ask, wind, shell, direction, rule, name)).collect()
        }
        Shape::Vault => {
            let Some(section) = ground.section else { return Vec::new() };
            let domed = shell.outline.domed_ends.iter().any(|&end| end);
            let along = is_along(direction);
            let rules = if domed { rules } else { &[(Meridian::Straight, None)][..] };
            let mut all = Vec::new();
            for &(rule, name) in rules {
                if along {
                    all.push(along_vault(ask, wind, shell, direction, rule, name));
                } else {
                    let (found, other) = vault(ask, wind, shell);
                    let run = (direction, rule, name);
                    all.push(across_vault(ask, wind, shell, run, &section, &found));
                    if let Some(a) = other {
                        let found = Found { abc: Abc { a, ..found.abc }, ..found.clone() };
                        let mut second = across_vault(ask, wind, shell, run, &section, &found);
                        second.name = Some("windward suction");
                        second.words.push(format!("second value of the windward quarter, {a:+.2}"));
                        all.push(second);
                    }
                }
            }
            all
        }
    }
}

fn whole_dome<'a>(
    ask: &LoadsAsk,
    wind: &WindAsk,
    shell: &Shell,
    direction: f64,
    rule: Meridian,
    name: Option<&'static str>,
) -> Outside<'a> {
    let Found { abc, mut words, provisional } = dome(ask, wind, shell);
    words.push(between(rule));
    let ball = Ball::new(&shell.outline, shell.outline.centre);
    let downwind = -towards(direction);
    let mut field = Field::new(
        move |_, p: &Vec3| on_dome(way(ball.downwind(p, &downwind), &ball), &abc, rule),
        dome_cuts(ball, downwind, rule),
    );
    field.curved = true;
    Outside { field, name, windward: windward_door(ask, abc.a), words, provisional }
}

/// A free shape, panel by panel: the angle of the normal to the wind stands for the place on a hemisphere.
fn free<'a>(
    ask: &LoadsAsk,
    wind: &WindAsk,
    shell: &'a Shell,
    direction: f64,
    rule: Meridian,
    name: Option<&'static str>,
) -> Outside<'a> {
    let found = own(wind).unwrap_or_else(|| {
        let name = if ask.basis == Basis::Eurocode { "en1991_wind_dome" } else { "asce7_wind_dome" };
        let value = |column| figure(name, "0.5", column);
        Found {
            abc: Abc { a: value("A"), b: value("B"), c: value("C") },
            words: vec!["outside coefficients of a hemisphere, by the angle of each panel's normal to the wind, in proportion from windward to crown to leeward; this project's own rule for free shapes".into()],
            provisional: vec!["no code gives coefficients for a free shape; give your own, or pressures from a wind tunnel as a case of your own".into()],
        }
    });
    let abc = found.abc;
    let downwind = -towards(direction);
    let field = Field::new(
        move |panel: PanelId, _: &Vec3| {
            let area = shell.area_vector(panel);
            let t = 0.5 + (area.dot(&downwind) / area.norm()).clamp(-1.0, 1.0).asin() / PI;
            on_dome(t, &abc, rule)
        },
        Vec::new(),
    );
    Outside {
        field,
        name,
        windward: windward_door(ask, abc.a),
        words: found.words,
        provisional: found.provisional,
    }
}

/// The domed ends of a vault: the sphere at each, where there is one.
fn ends(shell: &Shell) -> [Option<Ball>; 2] {
    let outline = &shell.outline;
    let barrel = outline.barrel.unwrap_or([outline.centre.x; 2]);
    [0, 1].map(|end| {
        outline.domed_ends[end].then(|| Ball::new(outline, Vec3::new(barrel[end], outline.centre.y, 0.0)))
    })
}

/// Cuts between the straight part and its domed ends, and those of the domes.
fn end_cuts<'a>(shell: &Shell, balls: &[Option<Ball>; 2], downwind: &Vec3, rule: Meridian) -> Vec<Cut<'a>> {
    let barrel = shell.outline.barrel.unwrap_or([0.0; 2]);
    let domed = balls.iter().zip(barrel).filter_map(|(ball, end)| Some((ball.as_ref()?, end)));
    domed
        .flat_map(|(ball, end)| {
            let mut cuts = vec![Cut::Plane(Vec3::x(), end)];
            cuts.extend(dome_cuts(*ball, *downwind, rule));
            cuts
        })
        .collect()
}

/// Which domed end a point lies in.
fn end_of(x: f64, barrel: [f64; 2], balls: &[Option<Ball>; 2]) -> Option<usize> {
    if x < barrel[0] && balls[0].is_some() {
        Some(0)
    } else if x > barrel[1] && balls[1].is_some() {
        Some(1)
    } else {
        None
    }
}

fn across_vault<'a>(
    ask: &LoadsAsk,
    wind: &WindAsk,
    shell: &Shell,
    (direction, rule, name): (f64, Meridian, Option<&'static str>),
    section: &SectionLine,
    found: &Found,
) -> Outside<'a> {
    let abc = found.abc;
    let mut words = found.words.clone();
    let mut provisional = found.provisional.clone();
    let balls = ends(shell);
    let downwind = -towards(direction);
    // The windward side of the vault.
    let windward = if downwind.y <= 0.0 { 1.0 } else { -1.0 };
    let middle = section.middle;
    // Zones as rays from the middle of the base through the quarter points of the arc.
    let quarter = |part: f64| {
        let [y, z] = section.at_part(part);
        z.atan2(windward * (y - middle))
    };
    let bounds = if windward > 0.0 { [quarter(0.75), quarter(0.25)] } else { [quarter(0.25), quarter(0.75)] };
    let mut cuts: Vec<Cut<'a>> = bounds
        .iter()
        .map(|angle| {
            let normal = Vec3::new(0.0, -windward * angle.sin(), angle.cos());
            Cut::Plane(normal, normal.y * middle)
        })
        .collect();
    cuts.extend(end_cuts(shell, &balls, &downwind, rule));
    let barrel = shell.outline.barrel.unwrap_or([f64::NEG_INFINITY, f64::INFINITY]);
    let domes = if balls.iter().any(Option::is_some) {
        let found = dome(ask, wind, shell);
        words.extend(found.words.iter().chain([&between(rule)]).map(|w| format!("domed ends: {w}")));
        provisional.extend(found.provisional);
        provisional.push(STEPPED.into());
        found.abc
    } else {
        abc
    };
    let mut field = Field::new(
        move |_, p: &Vec3| {
            if let Some(ball) = end_of(p.x, barrel, &balls).and_then(|end| balls[end]) {
                return on_dome(way(ball.downwind(p, &downwind), &ball), &domes, rule);
            }
            let angle = p.z.atan2(windward * (p.y - middle));
            if angle < bounds[0] {
                abc.a
            } else if angle <= bounds[1] {
                abc.b
            } else {
                abc.c
            }
        },
        cuts,
    );
    field.curved = balls.iter().any(Option::is_some);
    Outside { field, name, windward: windward_door(ask, abc.a), words, provisional }
}

/// A vault that springs no steeper than this is sucked as a flat roof far from the windward end \[rad\].
const FLAT: f64 = 15.0 * PI / 180.0;

fn springs_flat(shell: &Shell) -> bool {
    let ground = Ground::new(shell);
    ground.slope(ground.widest()) <= FLAT
}

/// Roof zones with wind along the ridge: (distance from the windward end up to which it holds, coefficient).
pub(super) fn along_zones(
    ask: &LoadsAsk,
    wind: &WindAsk,
    shell: &Shell,
    (length, sharp): (f64, bool),
) -> Vec<(f64, f64)> {
    let height = shell.outline.rise + wind.wall_height;
    if ask.basis == Basis::Eurocode {
        let value = |zone| figure("en1991_wind_along", zone, "cpe");
        // Across at its widest: one whose base lies below its middle stands on less.
        let e = extents(shell).across.min(2.0 * height);
        let beyond = if springs_flat(shell) { "I, no steeper than 15 deg" } else { "I" };
        let mut zones = vec![(0.5 * e, value("H")), (f64::INFINITY, value(beyond))];
        if sharp {
            zones.insert(0, (0.1 * e, value("G")));
        }
        return zones;
    }
    let mean = wind.wall_height + 0.5 * shell.outline.rise;
    // The figure's first column is for h/L up to 0.5, its second from 1 on.
    let short = (2.0 * mean / length - 1.0).clamp(0.0, 1.0);
    let value = |zone| {
        let [long, square] = ["Cp", "Cp, h/L 1"].map(|column| figure("asce7_wind_along", zone, column));
        long + (square - long) * short
    };
    let to = |zone| figure("asce7_wind_along", zone, "to h") * mean;
    let mut zones: Vec<(f64, f64)> =
        ["first half", "first", "second"].into_iter().map(|zone| (to(zone), value(zone))).collect();
    if zones[0].1.to_bits() == zones[1].1.to_bits() {
        zones.remove(0);
    }
    zones.push((f64::INFINITY, value("beyond")));
    zones
}

fn along_vault<'a>(
    ask: &LoadsAsk,
    wind: &WindAsk,
    shell: &Shell,
    direction: f64,
    rule: Meridian,
    name: Option<&'static str>,
) -> Outside<'a> {
    let balls = ends(shell);
    let downwind = -towards(direction);
    let barrel = shell.outline.barrel.unwrap_or([
        shell.outline.centre.x - 0.5 * shell.outline.length,
        shell.outline.centre.x + 0.5 * shell.outline.length,
    ]);
    let first = usize::from(downwind.x < 0.0);
    let (begin, length) = (barrel[first], barrel[1] - barrel[0]);
    let sign = downwind.x.signum();
    let mut words = Vec::new();
    let mut provisional = Vec::new();
    let domed = balls.iter().any(Option::is_some);
    let ends_abc = if domed {
        let found = dome(ask, wind, shell);
        words.extend(found.words.iter().chain([&between(rule)]).map(|w| format!("domed ends: {w}")));
        provisional.extend(found.provisional);
        found.abc
    } else {
        Abc { a: wall(ask, "windward wall"), b: 0.0, c: wall(ask, "leeward wall") }
    };
    let zones = match wind.coefficients {
        Some([_, b, _]) => vec![(f64::INFINITY, b)],
        None => along_zones(ask, wind, shell, (length, balls[first].is_none())),
    };
    let listed: Vec<String> = zones
        .iter()
        .map(|(to, value)| {
            if to.is_finite() {
                format!("{value:+.2} up to {to:.2} m")
            } else {
                format!("{value:+.2} beyond")
            }
        })
        .collect();
    if wind.coefficients.is_none() {
        words.push(format!(
            "wind along the vault: roof with wind along its ridge, {} from the windward end ({})",
            listed.join(", "),
            match ask.basis {
                Basis::Eurocode if springs_flat(shell) => "EN 1991-1-4 Table 7.4b, 45°, beyond 5°",
                Basis::Eurocode => "EN 1991-1-4 Table 7.4b, 45°",
                Basis::UsAsd | Basis::UsLrfd => "ASCE 7 Figure 27.3-1",
            }
        ));
        provisional.push("the code gives no coefficients for wind along a vault: those of a duopitch roof along its ridge stand in".into());
    } else {
        words.push("the project's own crown coefficient on the whole vault".into());
    }
    if domed {
        provisional.push(STEPPED.into());
    }
    if (0..2).any(|end| !shell.outline.domed_ends[end] && !framed(shell, barrel[end])) {
        words.push("an open flat end carries no wind of its own; what is behind it is left to the case with the door open".into());
    }
    let at_barrel = {
        let zones = zones.clone();
        move |distance: f64| zones.iter().find(|(to, _)| distance <= *to).map_or(0.0, |zone| zone.1)
    };
    let within = zones.iter().filter(|(to, _)| *to < length);
    let mut cuts: Vec<Cut<'a>> = within.map(|(to, _)| Cut::Plane(Vec3::x(), begin + sign * to)).collect();
    cuts.extend(end_cuts(shell, &balls, &downwind, rule));
    let mut field = Field::new(
        move |_, p: &Vec3| match end_of(p.x, barrel, &balls) {
            Some(end) => {
                let Some(ball) = balls[end] else { return 0.0 };
                on_dome(way(ball.downwind(p, &downwind), &ball), &ends_abc, rule)
            }
            None => at_barrel((sign * (p.x - begin)).max(0.0)),
        },
        cuts,
    );
    field.curved = domed;
    let windward =
        if balls[first].is_some() { windward_door(ask, ends_abc.a) } else { wall(ask, "windward wall") };
    Outside { field, name, windward, words, provisional }
}
