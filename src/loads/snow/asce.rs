//! Roof snow of ASCE 7 chapter 7 on curved roofs and domes, editions 7-16 and 7-22.

use crate::loads::ask::{AsceEdition, LoadsAsk, RiskCategory, SnowAsk};
use crate::loads::build::{Push, case};
use crate::loads::figures::{figure, figure_si, table};
use crate::loads::halves::directions;
use crate::loads::integrate::{Cut, Field};
use crate::loads::section_line::{degrees, towards};
use crate::loads::snow::{Ground, drift_ways, positive, with_valleys};
use crate::loads::{Case, CaseKind, LoadError};
use crate::shell::count::extents;
use crate::shell::{Shape, Shell};
use crate::units::PSF;
use crate::vector::Vec3;

/// Flat-roof snow, its factors and the slope curve.
pub(crate) struct Roof {
    /// pf \[N/m²\].
    pub(crate) flat: f64,
    /// Ce.
    pub(crate) exposure: f64,
    /// Is; 1 where the map has it.
    importance: f64,
    /// Slope up to which Cs is 1 \[rad\].
    pub(crate) full: f64,
    /// Slope from which Cs is 0 \[rad\].
    pub(crate) none: f64,
    words: Vec<String>,
}

impl Roof {
    /// From what is asked.
    pub(crate) fn new(ask: &LoadsAsk, snow: &SnowAsk) -> Result<Roof, LoadError> {
        let edition = edition(ask)?;
        let map = snow.map_edition.ok_or(LoadError::Missing {
            what: "snow.map_edition",
            why: "say which edition's map the ground snow is from, \"7-16\" or \"7-22\": those of 7-22 are for strength, and more than half as much again".into(),
        })?;
        if map != edition {
            return Err(LoadError::Editions {
                what: "the ground snow",
                found: map.name(),
                wanted: edition.name(),
            });
        }
        let exposure = snow.exposure.ok_or(LoadError::Missing {
            what: "snow.exposure",
            why: "Ce of ASCE 7 Table 7.3-1 goes by terrain and shelter (0.7 to 1.2); open ground, partly sheltered: 1.0".into(),
        })?;
        let thermal = snow.thermal.ok_or(LoadError::Missing {
            what: "snow.thermal",
            why: "Ct of ASCE 7 Table 7.3-2: 1.2 for an unheated shell, 1.0 for a heated one, 0.85 only for a greenhouse that is kept warm and watched".into(),
        })?;
        positive("snow.exposure", exposure)?;
        positive("snow.thermal", thermal)?;
        if exposure == 0.0 {
            return Err(LoadError::OutOfRange {
                what: "snow.exposure".into(),
                value: exposure,
                limit: "above zero",
            });
        }
        let constant = |row: &str| figure("asce7_snow_constants", row, "value");
        let (importance, importance_words) = match edition {
            AsceEdition::Seven16 => {
                let risk = ask.risk.ok_or(LoadError::Missing {
                    what: "risk",
                    why: "ASCE 7-16 multiplies snow by the importance factor of the risk category (I for a farm store, II for most buildings)".into(),
                })?;
                let row = match risk {
                    RiskCategory::I => "importance I",
                    RiskCategory::II => "importance II",
                    RiskCategory::III => "importance III",
                    RiskCategory::IV => "importance IV",
                };
                (constant(row), format!(" Is {}", constant(row)))
            }
            AsceEdition::Seven22 => (1.0, " (the risk category is in the map)".into()),
        };
        let flat = constant("flat roof") * exposure * thermal * importance * snow.ground;
        let curve = table("asce7_snow_slope");
        let row = curve
            .rows
            .iter()
            .find(|row| curve.printed(row, "Ct to").is_none_or(|limit| thermal <= limit + 1e-9))
            .expect("the last row has no limit");
        // A shell that stands on the ground has no room to slide into.
        let slides = snow.slippery && snow.clear_of_ground;
        let full = figure_si("asce7_snow_slope", &row.name, if slides { "slippery" } else { "other" });
        let none = constant("steepest slope").to_radians();
        let mut words = vec![
            format!(
                "pf = 0.7·Ce·Ct·Is·pg = {flat:.0} N/m² with Ce {exposure}, Ct {thermal},{importance_words}, pg {:.0} N/m² (ASCE {} 7.3)",
                snow.ground,
                edition.name()
            ),
            format!(
                "Cs: 1 up to {}, 0 at 70°, curve of a {} roof, {} surface",
                degrees(full),
                row.name,
                if slides { "slippery" } else { "other" }
            ),
        ];
        if snow.slippery && !snow.clear_of_ground {
            words.push(
                "the surface is slippery, but the eave counts as on the ground (snow.clear_of_ground): nothing can slide off".into(),
            );
        }
        Ok(Roof { flat, exposure, importance, full, none, words })
    }

    /// Cs of a slope \[rad\].
    pub(crate) fn slope_factor(&self, slope: f64) -> f64 {
        ((self.none - slope) / (self.none - self.full)).clamp(0.0, 1.0)
    }
}

/// The edition that the project names.
pub(crate) fn edition(ask: &LoadsAsk) -> Result<AsceEdition, LoadError> {
    ask.edition.ok_or(LoadError::Missing {
        what: "edition",
        why: "name the edition of ASCE 7 that the map values come from, \"7-16\" or \"7-22\": their snow levels differ by more than half".into(),
    })
}

/// Where the unbalanced load of the leeward side goes through, by distance from the ridge or centre:
/// (distance \[m\], load \[N/m²\]); `None` where the code asks for none.
pub(crate) fn unbalanced(ground: &Ground<'_>, roof: &Roof, clear_of_ground: bool) -> Option<Vec<(f64, f64)>> {
    let constant = |row: &str| figure("asce7_snow_constants", row, "value");
    let edge = ground.widest();
    let eave = if ground.shell.outline.rise > 0.0 { ground.slope(edge * (1.0 - 1e-12)) } else { 0.0 };
    let bare = ground.reach(roof.none);
    let steep = eave > roof.none;
    let end = if steep { bare } else { edge };
    let chord = (height_below_crown(ground, end) / end).atan();
    if chord < constant("drift chord least").to_radians() || chord > constant("drift chord most").to_radians()
    {
        return None;
    }
    let drift_slope = constant("drift slope").to_radians();
    let peak = |slope: f64| constant("drift peak") * roof.flat * roof.slope_factor(slope) / roof.exposure;
    let crown = (0.0, constant("drift at crown") * roof.flat);
    if eave < drift_slope {
        return Some(vec![crown, (edge, peak(eave))]);
    }
    let top = (ground.reach(drift_slope), peak(drift_slope));
    if !clear_of_ground {
        return Some(vec![crown, top, (edge, top.1)]);
    }
    Some(vec![crown, top, (end, if steep { 0.0 } else { peak(eave) })])
}

/// How far the smooth surface has come down at a distance from the crown \[m\].
fn height_below_crown(ground: &Ground<'_>, distance: f64) -> f64 {
    if let (Some(section), Shape::Vault, None) = (&ground.section, ground.shape, ground.shell.outline.radius)
    {
        // The profile itself: the lower of both sides.
        return ground.shell.outline.rise - section.height_at(distance);
    }
    let radius = ground.shell.outline.radius.unwrap_or(ground.ball.radius);
    radius - (radius * radius - distance * distance).max(0.0).sqrt()
}

fn through(points: &[(f64, f64)], at: f64) -> f64 {
    for pair in points.windows(2) {
        if at <= pair[1].0 {
            return pair[0].1 + (pair[1].1 - pair[0].1) * (at - pair[0].0) / (pair[1].0 - pair[0].0);
        }
    }
    let last = points[points.len() - 1];
    // Beyond the last point by no more than a rounding: the eave itself.
    if at <= last.0 * (1.0 + 1e-9) { last.1 } else { 0.0 }
}

/// Part of the profile that a plan angle from the downwind line carries on a dome.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Sector {
    /// Half the angle that carries all of it \[rad\].
    whole: f64,
    /// The angle beyond over which it fades to none \[rad\].
    fade: f64,
}

impl Sector {
    pub(crate) fn new() -> Sector {
        Sector {
            whole: figure("asce7_snow_constants", "dome sector half", "value").to_radians(),
            fade: figure("asce7_snow_constants", "dome sector fade", "value").to_radians(),
        }
    }

    /// How it goes round.
    fn words(self, domed_ends: bool) -> String {
        format!(
            "round {}: the whole of it within {} in plan either side of downwind, off to nothing in proportion over {} more (7.6.4)",
            if domed_ends { "the domed ends" } else { "the dome" },
            degrees(self.whole),
            degrees(self.fade)
        )
    }

    pub(crate) fn part(self, angle: f64) -> f64 {
        ((self.whole + self.fade - angle.abs()) / self.fade).clamp(0.0, 1.0)
    }
}

pub(crate) fn cases(ask: &LoadsAsk, snow: &SnowAsk, shell: &Shell) -> Result<Vec<Case>, LoadError> {
    let roof = Roof::new(ask, snow)?;
    let ground = Ground::new(shell);
    let free = ground.shape == Shape::Free;
    let provisional: Vec<String> = if free {
        vec!["ASCE 7 gives no arrangement for this shape: slope factors by panel, no drift".into()]
    } else if shell.outline.domed_ends.iter().any(|&end| end) {
        vec!["ASCE 7 has no vault with domed ends: the vault's profile on the straight part, the dome's sector on the ends".into()]
    } else {
        Vec::new()
    };
    let balanced = {
        let mut cuts = ground.cuts_at(ground.reach(roof.full));
        cuts.extend(ground.cuts_at(ground.reach(roof.none)));
        let mut field = Field::new(
            |panel, p: &Vec3| {
                let slope = if free { ground.panel_slope(panel) } else { ground.slope(ground.distance(p)) };
                roof.flat * roof.slope_factor(slope)
            },
            if free { Vec::new() } else { cuts },
        );
        field.curved = !free;
        case(shell, "snow balanced".into(), CaseKind::Snow, &field, Push::DownPerPlan)
            .remarked(roof.words.clone())
            .remarked(["balanced: pf·Cs by the slope, none beyond 70° (7.4.3)".to_owned()])
            .provisionally(provisional.clone())
    };
    let mut cases = vec![balanced];
    cases.extend(least(ask, snow, &ground, &roof)?);
    if !free {
        match unbalanced(&ground, &roof, snow.clear_of_ground) {
            Some(points) => cases.extend(
                drifts(&ground, ask, snow, &points)
                    .into_iter()
                    .map(|case| case.remarked(roof.words.clone()).provisionally(provisional.clone())),
            ),
            None => cases[0].remarks.push(
                "no unbalanced case: the line from eave to crown is flatter than 10° or steeper than 60° (7.6.2)".into(),
            ),
        }
    }
    if let Some(valley) = snow.valley {
        positive("snow.valley", valley)?;
        cases.push(with_valleys(&cases[0], shell, valley)?);
    }
    Ok(cases)
}

/// The least snow of a roof of low slope (ASCE 7-16 7.3.4, ASCE 7-22 7.3.3), where it is more than that of a flat roof: even, a case of its
/// own. Of low slope is a curved roof whose line from eave to crown is flatter than 10°, and here a free shape that rises over half its
/// lesser extent by less than 15°, as hip roofs are told (own reading).
fn least(
    ask: &LoadsAsk,
    snow: &SnowAsk,
    ground: &Ground<'_>,
    roof: &Roof,
) -> Result<Option<Case>, LoadError> {
    let constant = |row: &str| figure("asce7_snow_constants", row, "value");
    let (slope, below) = if ground.shape == Shape::Free {
        let extents = extents(ground.shell);
        let half = 0.5 * extents.along.min(extents.across);
        ((extents.height / half).atan(), constant("low slope, straight"))
    } else {
        ((ground.shell.outline.rise / ground.widest()).atan(), constant("drift chord least"))
    };
    let edition = edition(ask)?;
    let (load, words) = match edition {
        AsceEdition::Seven16 => {
            let most = constant("least snow of low slopes at most") * PSF;
            (roof.importance * snow.ground.min(most), "Is·pg, at most Is·20 psf")
        }
        // The table that limits it by risk category is not held: the whole is no less.
        AsceEdition::Seven22 => (snow.ground, "pg; the limit by risk category is not held"),
    };
    if slope >= below.to_radians() || load <= roof.flat {
        return Ok(None);
    }
    let clause = if edition == AsceEdition::Seven16 { "7.3.4" } else { "7.3.3" };
    let field = Field::new(move |_, _| load, Vec::new());
    let name = "snow, least of low slopes".into();
    let case = case(ground.shell, name, CaseKind::Snow, &field, Push::DownPerPlan).remarked([format!(
        "pm = {load:.0} N/m² on the whole, by itself: {words} (ASCE {} {clause})",
        edition.name()
    )]);
    Ok(Some(case))
}

fn drifts(ground: &Ground<'_>, ask: &LoadsAsk, snow: &SnowAsk, points: &[(f64, f64)]) -> Vec<Case> {
    let ways: Vec<(String, Vec3)> = match ground.shape {
        Shape::Vault => drift_ways(ground.shell),
        _ => directions(ask)
            .into_iter()
            .map(|from| (format!("by wind from {}", degrees(from)), -towards(from)))
            .collect(),
    };
    let mut words: Vec<String> = points.iter().map(|(d, s)| format!("{s:.0} N/m² at {d:.2} m")).collect();
    words = vec![format!(
        "unbalanced, leeward side only: {} from the crown (7.6.2{})",
        words.join(", "),
        if ground.shape == Shape::Dome { ", 7.6.4" } else { "" }
    )];
    if !snow.clear_of_ground && points.len() == 3 {
        words.push("the eave counts as on the ground (snow.clear_of_ground): the load is not reduced below the 30° point".into());
    }
    let domed = ground.shell.outline.domed_ends.iter().any(|&end| end);
    let sector = Sector::new();
    if ground.shape == Shape::Dome || domed {
        words.push(sector.words(domed));
    }
    ways.into_iter()
        .map(|(way, downwind)| {
            let across = Vec3::new(-downwind.y, downwind.x, 0.0);
            let vault = ground.shape == Shape::Vault;
            let mut cuts = vec![Cut::Plane(downwind, downwind.dot(&ground.centre()))];
            let kinks = if points.len() == 3 { &points[1..] } else { &points[1..2] };
            for (distance, _) in kinks {
                if *distance < ground.widest() * (1.0 - 1e-9) {
                    cuts.extend(ground.cuts_at(*distance));
                }
            }
            cuts.extend(ground.end_cuts());
            if !vault || domed {
                // Sector edges, about the dome's centre or about the centre of each domed end.
                for edge in [sector.whole, sector.whole + sector.fade] {
                    for side in [1.0, -1.0] {
                        let (sin, cos) = (edge * side).sin_cos();
                        cuts.push(Cut::Level(Box::new(move |p: &Vec3| {
                            let (w, v) = ground.wind_axes(p, &downwind, &across);
                            w * sin - v * cos
                        })));
                    }
                }
            }
            let field_points = points.to_vec();
            let mut field = Field::new(
                move |_, p: &Vec3| {
                    let (w, v) = ground.wind_axes(p, &downwind, &across);
                    if w <= 0.0 {
                        return 0.0;
                    }
                    through(&field_points, w.hypot(v)) * sector.part(v.atan2(w))
                },
                cuts,
            );
            field.curved = !vault || domed;
            case(ground.shell, format!("snow drifted {way}"), CaseKind::Snow, &field, Push::DownPerPlan)
                .remarked(words.clone())
        })
        .collect()
}
