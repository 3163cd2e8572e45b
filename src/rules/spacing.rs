//! Whether the fixings fit the strip as bevelled: ends, edges and spacings, looked at before any strength.
//!
//! A strip is `breadth` thick in the direction of the fixing; its edges are its inside and outside faces, so
//! the room across the grain is its `depth`. A bolt that joins two bevelled strips stands square to the plane
//! between them and so comes out of the flat side nearer to the wide face by `breadth · tan(fold/2)`. The smaller of the
//! edge distances on both sides counts, with the holes marked from the face that leaves more room.
//!
//! Eurocode: EN 1995-1-1 Table 8.4 (bolts, thick screws), 8.2 (nails, thin screws), 10.4.3 (washers); NDS: Tables
//! 12.5.1A to D from 1/4 in; below that the commentary's advice. All from memory, in `tables/fasteners_*.toml`.

use crate::rules::Compares;
use crate::rules::ask::{FixingKind, FixingsAsk};
use crate::rules::recorder::Recorder;
use crate::tables::Tables;
use crate::tables::fasteners::Fasteners;

fn printed() -> &'static Fasteners {
    Tables::built_in().fasteners()
}

/// Which standard's distances.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standard {
    /// EN 1995-1-1.
    Eurocode5,
    /// NDS-2018.
    Nds,
}

/// A strip as the fixings meet it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strip {
    /// b of the rectangle, the direction of the fixing \[m\].
    pub breadth: f64,
    /// d, through the shell \[m\].
    pub depth: f64,
    /// Fold angle of the seam \[rad\], either sign.
    pub fold: f64,
    /// Whether its side is ripped to half the fold angle.
    pub bevelled: bool,
    /// Length between the joints \[m\].
    pub length: f64,
}

/// Where the fixings stand and what is around them, all \[m\].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Layout {
    /// Thickness of one strip at the fixing, at the side of the narrower face.
    pub thickness: f64,
    /// The smaller edge distance, on either side of the strip, the holes marked from the better face.
    pub edge: f64,
    /// From the fixing to the farther face.
    pub far_edge: f64,
    /// From the first fixing to the end of the strip's shorter side.
    pub end: f64,
    /// Between fixings along the seam; infinite where there is one.
    pub spacing: f64,
    /// From the fixing to the nearer of the two edges that may bear.
    pub lever: f64,
    /// Washer under head and nut (bolts, coach screws).
    pub washer: f64,
    /// Length of thread in the far strip (screws).
    pub thread: f64,
    /// Length of screw in the far strip, tip included.
    pub penetration: f64,
    /// Diameter at the root of the thread.
    pub root: f64,
    /// Diameter that bears in shear.
    pub bearing: f64,
    /// Tensile strength of the steel \[Pa\].
    pub steel: f64,
}

/// How far the shorter side of a strip falls short of the joint, in breadths: the mitre of a 60° corner cuts it by
/// b / tan 30° (geometry; corners of these panels lie around 60°).
pub const MITRE: f64 = 1.732;

/// Clear of the far side for a screw whose length nobody gave \[m\] (this project's own assumption).
const SHORT_OF_THROUGH: f64 = 0.010;

/// Lays the fixings out in the strip, assuming where nothing is said (each assumption is named in
/// [`FixingsAsk`]).
#[must_use]
pub fn layout(fixings: &FixingsAsk, strip: &Strip, standard: Standard) -> Layout {
    let half = if strip.bevelled { (strip.fold.abs() / 2.0).tan() } else { 0.0 };
    let lever = fixings.lever.min(strip.depth - fixings.lever);
    let far = (strip.depth - lever).max(0.0);
    let thickness = (strip.breadth - far.min(strip.depth) * half).max(0.0);
    let n = fixings.per_seam.max(1) as f64;
    let first = fixings.end.unwrap_or(strip.length / (2.0 * n));
    let spacing = if fixings.per_seam > 1 { (strip.length - 2.0 * first) / (n - 1.0) } else { f64::INFINITY };
    let length = fixings.length.unwrap_or((2.0 * thickness - SHORT_OF_THROUGH).max(0.0));
    let penetration = (length - thickness).clamp(0.0, thickness);
    let root = fixings.root.unwrap_or(match (fixings.kind, standard) {
        // Root of metric threads lies between 0.85 (M8) and 0.86 (M12) of the diameter of the stress area.
        (FixingKind::Bolt, _) => 0.85 * fixings.diameter,
        (_, Standard::Eurocode5) => 0.7 * fixings.diameter,
        (FixingKind::CoachScrew, Standard::Nds) => {
            crate::rules::fasteners::nds::lag_screw(fixings.diameter / crate::units::INCH).0
                * crate::units::INCH
        }
        (FixingKind::Screw, Standard::Nds) => {
            crate::rules::fasteners::nds::wood_screw_root(fixings.diameter / crate::units::INCH)
                * crate::units::INCH
        }
    });
    let bearing = match (fixings.kind, standard) {
        (FixingKind::Bolt, _) => fixings.diameter,
        // EN 1995-1-1 8.7.1(3): thread in the shear plane; NDS 12.3.7: the root.
        (_, Standard::Eurocode5) => 1.1 * root,
        (_, Standard::Nds) => root,
    };
    let washer = match fixings.kind {
        FixingKind::Screw => 0.0,
        // EN 1995-1-1 10.4.3(2): the least allowed.
        _ => fixings.washer.unwrap_or(3.0 * fixings.diameter),
    };
    Layout {
        thickness,
        // Marked from the face that leaves more room: from the wide one, or from the narrow one.
        edge: (lever - strip.breadth * half).min(far).max(lever.min(far - strip.breadth * half)),
        far_edge: far,
        end: first - MITRE * strip.breadth,
        spacing,
        lever,
        washer,
        thread: fixings.thread.unwrap_or(penetration).min(penetration),
        penetration,
        root,
        bearing,
        steel: fixings.steel.unwrap_or(match standard {
            Standard::Eurocode5 => printed().steel_eurocode,
            Standard::Nds => printed().steel_nds,
        }),
    }
}

/// What direction the fixings are sheared in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shear {
    /// Angle of the greatest force to the grain \[°\].
    pub angle_deg: f64,
    /// Whether there is any shear: without it the strip's end is an unloaded one.
    pub any: bool,
}

impl From<f64> for Shear {
    /// A force at an angle to the grain \[°\].
    fn from(angle_deg: f64) -> Self {
        Self { angle_deg, any: true }
    }
}

/// Distances that a standard wants \[m\] for a force at an angle to the grain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Needed {
    /// Edge, taken as loaded: either face may be.
    pub edge: f64,
    /// Loaded end (a strip that is pulled).
    pub end: f64,
    /// Along the grain between fixings.
    pub spacing: f64,
    /// Washer's diameter; 0 for none.
    pub washer: f64,
    /// Thread, or penetration, in the far strip; 0 for bolts.
    pub thread: f64,
    /// Table that the distances are from.
    pub clause: &'static str,
}

/// What the standard wants of these fixings.
#[must_use]
pub fn needed(fixings: &FixingsAsk, layout: &Layout, standard: Standard, shear: Shear) -> Needed {
    let d = fixings.diameter;
    let sin = crate::units::radians(shear.angle_deg).sin();
    let bolt = fixings.kind == FixingKind::Bolt;
    let tables = printed();
    match standard {
        Standard::Eurocode5 => {
            let thick = bolt || layout.bearing > 0.006;
            let reaches = if thick { &tables.bolts } else { tables.nails(fixings.predrilled, d) };
            let end = if shear.any { reaches.loaded_end } else { reaches.free_end };
            Needed {
                edge: reaches.loaded_edge.at(d, 1.0, sin),
                // Ends and spacings are greatest along the grain.
                end: end.at(d, 1.0, 0.0),
                spacing: reaches.along.at(d, 1.0, 0.0),
                washer: if fixings.kind == FixingKind::Screw { 0.0 } else { tables.washer.at(d, 1.0, 0.0) },
                thread: if bolt { 0.0 } else { tables.thread.at(d, 1.0, 0.0) },
                clause: if thick { "EN 1995-1-1 Table 8.4" } else { "EN 1995-1-1 Table 8.2" },
            }
        }
        Standard::Nds if d >= 0.25 * crate::units::INCH => {
            let reaches = &tables.nds;
            let end = if shear.any { reaches.loaded_end } else { reaches.free_end };
            Needed {
                // Between the rows for loads along and across the grain by the sine (own reading).
                edge: (reaches.edge_along + (reaches.edge_across - reaches.edge_along) * sin) * d,
                // The least; C_Δ is 0.5 there and 1 from 7D.
                end: end.least * d,
                spacing: reaches.spacing.least * d,
                washer: 0.0,
                thread: match fixings.kind {
                    FixingKind::Bolt => 0.0,
                    FixingKind::CoachScrew => reaches.lag_screw * d,
                    FixingKind::Screw => reaches.wood_screw * d,
                },
                clause: "NDS Tables 12.5.1A to C",
            }
        }
        Standard::Nds => {
            let (reaches, hole) = (&tables.nds_thin, usize::from(fixings.predrilled));
            let end = if shear.any { reaches.loaded_end } else { reaches.free_end };
            Needed {
                edge: reaches.edge * d,
                end: end[hole] * d,
                spacing: reaches.spacing[hole] * d,
                washer: 0.0,
                thread: if bolt { 0.0 } else { tables.nds.wood_screw * d },
                clause: "NDS commentary C12.1.5.7 (advice)",
            }
        }
    }
}

/// Geometry factor `C_Δ` (NDS 12.5.1): the smaller of end distance over 7D and spacing over 4D, at most 1; 0 below
/// the least distances.
#[must_use]
pub fn geometry_factor(diameter: f64, end: f64, spacing: f64) -> f64 {
    if diameter < 0.25 * crate::units::INCH {
        return 1.0;
    }
    let (end, spacing) = (end / diameter, spacing / diameter);
    let (ends, spacings) = (printed().nds.loaded_end, printed().nds.spacing);
    if end < ends.least - 1e-9 || spacing < spacings.least - 1e-9 {
        return 0.0;
    }
    (end / ends.full).min(spacing / spacings.full).min(1.0)
}

/// One distance: what it is, what is there, what is wanted \[m\].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Distance {
    /// Plain words.
    pub rule: &'static str,
    /// There \[m\].
    pub there: f64,
    /// Wanted \[m\].
    pub wanted: f64,
    /// Clause.
    pub clause: &'static str,
}

impl Distance {
    /// Wanted over there; infinite where nothing is there.
    #[must_use]
    pub fn utilisation(&self) -> f64 {
        if self.wanted <= 0.0 {
            0.0
        } else if self.there > 0.0 {
            self.wanted / self.there
        } else {
            f64::INFINITY
        }
    }
}

/// Every distance that is looked at, in a fixed order.
#[must_use]
pub fn distances(
    fixings: &FixingsAsk,
    strip: &Strip,
    standard: Standard,
    shear: impl Into<Shear>,
) -> [Distance; 6] {
    let there = layout(fixings, strip, standard);
    let wanted = needed(fixings, &there, standard, shear.into());
    let clause = wanted.clause;
    let thread_clause = match standard {
        Standard::Eurocode5 => "EN 1995-1-1 8.7.2(2)",
        Standard::Nds => "NDS 12.1.5, 12.1.6",
    };
    [
        Distance { rule: "edge distance of the fixings", there: there.edge, wanted: wanted.edge, clause },
        Distance { rule: "end distance of the fixings", there: there.end, wanted: wanted.end, clause },
        Distance { rule: "spacing of the fixings", there: there.spacing, wanted: wanted.spacing, clause },
        Distance {
            rule: "size of the washer",
            there: there.washer,
            wanted: wanted.washer,
            clause: "EN 1995-1-1 10.4.3",
        },
        Distance {
            rule: "washer on the strip's face",
            there: there.edge,
            wanted: there.washer / 2.0,
            clause: "geometry of the bevelled strip",
        },
        Distance {
            rule: "thread in the far strip",
            there: if standard == Standard::Nds { there.penetration } else { there.thread },
            wanted: wanted.thread,
            clause: thread_clause,
        },
    ]
}

/// The distances as checks.
pub fn check<R: Recorder>(
    r: &mut R,
    fixings: &FixingsAsk,
    strip: &Strip,
    standard: Standard,
    shear: impl Into<Shear>,
) {
    let shear = shear.into();
    for distance in distances(fixings, strip, standard, shear) {
        if distance.wanted <= 0.0 || distance.there.is_infinite() {
            continue;
        }
        r.input("diameter", "d", fixings.diameter * 1e3, "mm", "");
        r.input("angle of the force to the grain", "α", shear.angle_deg, "°", "");
        let there = r.input("there", "a", distance.there.max(0.0) * 1e3, "mm", "strip as bevelled");
        let wanted = r.input("wanted", "a_min", distance.wanted * 1e3, "mm", distance.clause);
        let u = if there > 0.0 { wanted / there } else { f64::INFINITY };
        let u = r.derived("utilisation", "η", "a_min/a", u, "–", "");
        r.end(Compares::Room, distance.rule, distance.clause, u);
    }
}

/// Diameters in common sale, smallest first \[m\]: metric bolts and coach screws, metric screws, inch bolts and
/// lag screws, inch wood screws No. 6 to 14 (common practice, no source).
fn sizes(kind: FixingKind, standard: Standard) -> Vec<f64> {
    use crate::units::{INCH, MILLIMETRE};
    match (standard, kind) {
        (Standard::Eurocode5, FixingKind::Screw) => {
            [4.0, 4.5, 5.0, 6.0, 8.0, 10.0].iter().map(|d| d * MILLIMETRE).collect()
        }
        (Standard::Eurocode5, _) => [6.0, 8.0, 10.0, 12.0, 16.0].iter().map(|d| d * MILLIMETRE).collect(),
        (Standard::Nds, FixingKind::Screw) => printed().wood_screws.iter().map(|row| row.0 * INCH).collect(),
        (Standard::Nds, _) => printed().lag_screws.iter().map(|row| row.0 * INCH).collect(),
    }
}

/// The thickest fixing in common sale, no thicker than the one asked for, that keeps every distance. Its washer is
/// the one asked for, or the least allowed.
#[must_use]
pub fn nearest_that_fits(
    fixings: &FixingsAsk,
    strip: &Strip,
    standard: Standard,
    shear: impl Into<Shear>,
) -> Option<f64> {
    let shear = shear.into();
    sizes(fixings.kind, standard).into_iter().rev().filter(|d| *d < fixings.diameter).find(|&diameter| {
        let scale = diameter / fixings.diameter;
        let smaller = FixingsAsk {
            diameter,
            root: fixings.root.map(|root| root * scale),
            washer: fixings.washer.map(|washer| (washer * scale).max(3.0 * diameter)),
            ..*fixings
        };
        fits(&smaller, strip, standard, shear)
    })
}

/// Whether every distance is kept.
#[must_use]
pub fn fits(fixings: &FixingsAsk, strip: &Strip, standard: Standard, shear: impl Into<Shear>) -> bool {
    let shear = shear.into();
    distances(fixings, strip, standard, shear).iter().all(|d| d.utilisation() <= 1.0 + 1e-9)
}

/// In a sentence, where a fixing does not fit: what is short, and the nearest that would do.
#[must_use]
pub fn why_not(
    fixings: &FixingsAsk,
    strip: &Strip,
    standard: Standard,
    shear: impl Into<Shear>,
) -> Option<String> {
    let shear = shear.into();
    let worst = distances(fixings, strip, standard, shear)
        .into_iter()
        .filter(|d| d.utilisation() > 1.0 + 1e-9)
        .max_by(|a, b| a.utilisation().total_cmp(&b.utilisation()))?;
    let mm = |metres: f64| crate::rules::notation::number((metres * 1e4).round() / 10.0);
    let noun = match fixings.kind {
        FixingKind::Bolt => "bolt",
        FixingKind::Screw => "screw",
        FixingKind::CoachScrew => "coach screw",
    };
    let remedy = match nearest_that_fits(fixings, strip, standard, shear) {
        Some(d) => format!("a {} mm {noun} would do", mm(d)),
        None => match depth_that_fits(fixings, strip, standard, shear) {
            Some(depth) => format!(
                "no thinner {noun} in common sale would do; a strip {} mm deep with the {noun} at mid-depth would",
                mm(depth)
            ),
            None => format!("no thinner {noun} in common sale would do"),
        },
    };
    Some(format!(
        "a {} mm {noun} does not fit a strip of {} × {} mm: {} is {} mm and {} mm is wanted ({}); {remedy}",
        mm(fixings.diameter),
        mm(strip.breadth),
        mm(strip.depth),
        worst.rule,
        mm(worst.there.max(0.0)),
        mm(worst.wanted),
        worst.clause,
    ))
}

/// The least depth, in steps of 5 mm up to 300, that lets the fixing fit at mid-depth.
#[must_use]
pub fn depth_that_fits(
    fixings: &FixingsAsk,
    strip: &Strip,
    standard: Standard,
    shear: impl Into<Shear>,
) -> Option<f64> {
    let shear = shear.into();
    (4..=60).map(|i| f64::from(i) * 0.005).filter(|depth| *depth > strip.depth).find(|&depth| {
        let middle = FixingsAsk { lever: depth / 2.0, ..*fixings };
        fits(&middle, &Strip { depth, ..*strip }, standard, shear)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::recorder::{Paper, Silent};

    fn strip(breadth: f64, depth: f64, fold_deg: f64) -> Strip {
        Strip { breadth, depth, fold: fold_deg.to_radians(), bevelled: true, length: 1.22 }
    }

    fn bolt(diameter: f64, lever: f64) -> FixingsAsk {
        FixingsAsk::new(FixingKind::Bolt, diameter, 3, lever)
    }

    fn edge(fixings: &FixingsAsk, strip: &Strip, angle: f64) -> Distance {
        distances(fixings, strip, Standard::Eurocode5, angle)[0]
    }

    /// The trap of the Eurocode sheet: 38 × 89, bolted through the 38 at mid-depth, 44.5 mm each way.
    #[test]
    fn an_m12_across_the_grain_does_not_fit_an_89_mm_strip_and_an_m10_does() {
        let strip = strip(0.038, 0.089, 0.0);
        let d = edge(&bolt(0.012, 0.0445), &strip, 90.0);
        assert!((d.wanted - 0.048).abs() < 1e-12 && (d.there - 0.0445).abs() < 1e-12);
        assert!(d.utilisation() > 1.0);
        assert!(edge(&bolt(0.010, 0.0445), &strip, 90.0).utilisation() < 1.0);
        let end = distances(&bolt(0.012, 0.0445), &strip, Standard::Eurocode5, 0.0)[1];
        assert!((end.wanted - 0.084).abs() < 1e-12);
        let words = why_not(&bolt(0.012, 0.0445), &strip, Standard::Eurocode5, 90.0).unwrap();
        assert!(words.contains("a 10 mm bolt would do") && words.contains("48 mm is wanted"), "{words}");
        assert!(why_not(&bolt(0.010, 0.0445), &strip, Standard::Eurocode5, 90.0).is_none());
    }

    /// The practice sheet: across the grain both ways an M8 wants 64 mm, so a 63 mm strip is just too shallow.
    #[test]
    fn an_m8_loaded_both_ways_wants_64_mm() {
        assert!(edge(&bolt(0.008, 0.0315), &strip(0.038, 0.063, 0.0), 90.0).utilisation() > 1.0);
        assert!(edge(&bolt(0.008, 0.032), &strip(0.038, 0.064, 0.0), 90.0).utilisation() <= 1.0 + 1e-12);
    }

    #[test]
    fn the_bevel_takes_room_from_the_edge_and_the_thickness() {
        let fixings = bolt(0.008, 0.0375);
        let flat = layout(&fixings, &strip(0.047, 0.075, 0.0), Standard::Eurocode5);
        let folded = layout(&fixings, &strip(0.047, 0.075, 18.0), Standard::Eurocode5);
        let valley = layout(&fixings, &strip(0.047, 0.075, -18.0), Standard::Eurocode5);
        assert_eq!(folded, valley);
        let shift = 0.047 * 9.0_f64.to_radians().tan();
        assert!((flat.edge - folded.edge - shift).abs() < 1e-12);
        assert!((flat.thickness - folded.thickness - 0.0375 * 9.0_f64.to_radians().tan()).abs() < 1e-12);
        let square = Strip { bevelled: false, ..strip(0.047, 0.075, 18.0) };
        assert_eq!(layout(&fixings, &square, Standard::Eurocode5), flat);
    }

    #[test]
    fn holes_off_mid_depth_are_marked_from_the_face_that_leaves_more_room() {
        let strip = strip(0.047, 0.075, 26.0);
        let shift = 0.047 * 13.0_f64.to_radians().tan();
        for lever in [0.032, 0.043] {
            let there = layout(&bolt(0.008, lever), &strip, Standard::Eurocode5);
            assert!((there.edge - 0.032_f64.min(0.043 - shift)).abs() < 1e-12);
            assert!((there.lever - 0.032).abs() < 1e-12);
        }
    }

    /// Without shear the end of the strip is an unloaded one.
    #[test]
    fn a_seam_that_is_only_pressed_needs_less_end() {
        let strip = strip(0.047, 0.075, 0.0);
        let end = |any| {
            let shear = Shear { angle_deg: 0.0, any };
            distances(&bolt(0.008, 0.0375), &strip, Standard::Eurocode5, shear)[1].wanted
        };
        assert!((end(true) - 0.080).abs() < 1e-12 && (end(false) - 0.032).abs() < 1e-12);
    }

    /// NDS sheet: 3.5 in deep rib across the grain needs 4D + 1.5D; both edges loaded 8D, so D ≤ 7/16.
    #[test]
    fn nds_edges_and_geometry_factor() {
        use crate::units::INCH;
        let rib = strip(1.5 * INCH, 3.5 * INCH, 0.0);
        let edge =
            |d: f64| distances(&bolt(d * INCH, 1.75 * INCH), &rib, Standard::Nds, 90.0)[0].utilisation();
        assert!(edge(0.4375) <= 1.0 + 1e-9);
        assert!(edge(0.5) > 1.0);
        let d = 0.5 * INCH;
        assert!((geometry_factor(d, 7.0 * d, 4.0 * d) - 1.0).abs() < 1e-12);
        assert!((geometry_factor(d, 3.5 * d, 4.0 * d) - 0.5).abs() < 1e-12);
        assert!((geometry_factor(d, 9.0 * d, 3.0 * d) - 0.75).abs() < 1e-12);
        assert!(geometry_factor(d, 3.4 * d, 4.0 * d) <= 0.0);
        let words = why_not(&bolt(0.75 * INCH, 1.75 * INCH), &rib, Standard::Nds, 90.0).unwrap();
        assert!(words.contains("would do"), "{words}");
    }

    #[test]
    fn distances_that_fail_are_over_and_can_be_worked_again() {
        let strip = strip(0.038, 0.063, 12.0);
        for (fixings, standard) in [
            (bolt(0.012, 0.0315), Standard::Eurocode5),
            (FixingsAsk::new(FixingKind::Screw, 0.005, 4, 0.03), Standard::Eurocode5),
            (FixingsAsk::new(FixingKind::CoachScrew, 0.008, 4, 0.03), Standard::Nds),
        ] {
            let mut paper = Paper::new();
            let mut silent = Silent::new();
            check(&mut paper, &fixings, &strip, standard, 30.0);
            check(&mut silent, &fixings, &strip, standard, 30.0);
            let checks = paper.into_checks();
            let worst = checks.iter().map(|c| c.utilisation).fold(0.0, f64::max);
            assert_eq!(worst.to_bits(), silent.worst().unwrap().utilisation.to_bits());
            checks.iter().for_each(crate::rules::notation::recompute);
            assert_eq!(worst > 1.0, !fits(&fixings, &strip, standard, 30.0));
        }
    }
}
