//! Whether the fixings fit the strip as bevelled: ends, edges and spacings, looked at before any strength.
//!
//! A strip is `breadth` thick in the direction of the fixing; its edges are its inside and outside faces, so
//! the room across the grain is its `depth`. A bolt that joins two bevelled strips stands square to the plane
//! between them and so comes out of the flat side nearer to the wide face by `breadth · tan(fold/2)`. The smaller of the
//! edge distances on both sides counts, with the holes marked from the face that leaves more room.
//!
//! Eurocode: EN 1995-1-1 Table 8.4 (bolts, thick screws), 8.2 (nails, thin screws), 8.6 (pulled screws), (8.18) (timber
//! that thin screws are driven into), 10.4.3 (washers), 10.4.5 (drilled holes); NDS: Tables 12.5.1A to D from 1/4 in; below
//! that the commentary's advice. All from memory, in `tables/fasteners_*.toml`.

use crate::rules::Compares;
use crate::rules::ask::{FixingKind, FixingsAsk};
use crate::rules::fasteners::{WoodKind, nds};
use crate::rules::recorder::Recorder;
use crate::tables::Tables;
use crate::tables::fasteners::{Fasteners, Hole};
use crate::units::INCH;

pub use crate::rules::placing::{MITRE, WIDE, first, mitre};
pub use crate::rules::spacing_nearest::{Advice, OUTSIDE_HELP, outside, why_not};

pub(crate) fn printed() -> &'static Fasteners {
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
    /// Strips side by side in the seam, all of which the fixing goes through.
    pub count: usize,
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
    /// The sharpest corner of a frame in which it ends \[rad\].
    pub corner: f64,
    /// Softwood or hardwood.
    pub wood: WoodKind,
    /// Characteristic density \[kg/m³\].
    pub density_k: f64,
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
    /// Length of thread in the strip at the point, which is the last (screws).
    pub thread: f64,
    /// Length of screw in it, tip included.
    pub penetration: f64,
    /// Of that, the tapered tip that the NDS does not count (lag screws; 0 for others).
    pub tip: f64,
    /// Diameter at the root of the thread.
    pub root: f64,
    /// Diameter that bears in shear.
    pub bearing: f64,
    /// Tensile strength of the steel \[Pa\].
    pub steel: f64,
}

/// Clear of the far side for a screw whose length nobody gave \[m\] (this project's own assumption).
pub(crate) const SHORT_OF_THROUGH: f64 = 0.010;

/// Where they stand, from the first joint \[m\].
#[must_use]
pub fn places(fixings: &FixingsAsk, strip: &Strip, standard: Standard) -> Vec<f64> {
    let (first, apart) = (first(fixings, strip), layout(fixings, strip, standard).spacing);
    (0..fixings.per_seam).map(|i| if i == 0 { first } else { first + apart * i as f64 }).collect()
}

/// Lays the fixings out in the strip, assuming where nothing is said (each assumption is named in
/// [`FixingsAsk`]).
#[must_use]
pub fn layout(fixings: &FixingsAsk, strip: &Strip, standard: Standard) -> Layout {
    let half = if strip.bevelled { (strip.fold.abs() / 2.0).tan() } else { 0.0 };
    let lever = fixings.lever.min(strip.depth - fixings.lever);
    let far = (strip.depth - lever).max(0.0);
    let thickness = (strip.breadth - far.min(strip.depth) * half).max(0.0);
    let n = fixings.per_seam.max(1) as f64;
    let first = first(fixings, strip);
    let spacing = if fixings.per_seam > 1 { (strip.length - 2.0 * first) / (n - 1.0) } else { f64::INFINITY };
    // What holds the last strip of three or more is what reaches it.
    let before = (strip.count.max(2) - 1) as f64 * thickness;
    let length = fixings.length.unwrap_or((before + thickness - SHORT_OF_THROUGH).max(0.0));
    let penetration = (length - before).clamp(0.0, thickness);
    let root = fixings.root.unwrap_or(match (fixings.kind, standard) {
        // Root of metric threads lies between 0.85 (M8) and 0.86 (M12) of the diameter of the stress area.
        (FixingKind::Bolt, _) => 0.85 * fixings.diameter,
        (_, Standard::Eurocode5) => 0.7 * fixings.diameter,
        (FixingKind::CoachScrew, Standard::Nds) => nds::lag_screw(fixings.diameter / INCH).0 * INCH,
        (FixingKind::Screw, Standard::Nds) => nds::wood_screw_root(fixings.diameter / INCH) * INCH,
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
        // The holes are marked from the narrow face: the skew then takes from the far edge, and from the near one only where
        // the two are nearly alike. Marked from the wide one it would always take from the near edge.
        edge: lever.min(far - strip.breadth * half),
        far_edge: far,
        end: first - mitre(strip),
        spacing,
        lever,
        washer,
        thread: fixings.thread.unwrap_or(penetration).min(penetration),
        penetration,
        tip: match (fixings.kind, standard) {
            (FixingKind::CoachScrew, Standard::Nds) => nds::lag_screw(fixings.diameter / INCH).1 * INCH,
            _ => 0.0,
        },
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
    /// Whether the fixings are pulled along themselves too.
    pub pulled: bool,
}

impl From<f64> for Shear {
    /// A force at an angle to the grain \[°\], with pull.
    fn from(angle_deg: f64) -> Self {
        Self { angle_deg, any: true, pulled: true }
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
    /// Edge, end and spacing for pull along the fixing; 0 where nothing is pulled or nothing is printed.
    pub pulled: [f64; 3],
    /// Thickness of a strip that screws are driven into without a hole; 0 where that does not matter.
    pub thickness: f64,
    /// Table that the distances are from.
    pub clause: &'static str,
}

/// Above this characteristic density Table 8.2 has a column of its own for driven nails, and above the next one it
/// wants drilled holes (8.3.1.1(2)) \[kg/m³\].
const DENSE: f64 = 420.0;
/// See [`DENSE`].
const TOO_DENSE: f64 = 500.0;
/// Thicker screws want drilled holes in softwood (10.4.5) \[m\].
const THICK_SCREW: f64 = 0.006;

/// Whether a maker's value was entered: then an assessment of its own rules how the screw is driven.
fn assessed(fixings: &FixingsAsk) -> bool {
    fixings.withdrawal.is_some()
}

/// Why the screws want drilled holes that nobody said they get (EN 1995-1-1 10.4.5, 8.3.1.1(2)); `None` where they do
/// not. Coach screws are taken as drilled for, as they always are.
#[must_use]
pub fn hole_wanted(fixings: &FixingsAsk, strip: &Strip) -> Option<&'static str> {
    if fixings.kind != FixingKind::Screw || fixings.predrilled || assessed(fixings) {
        return None;
    }
    if strip.wood == WoodKind::Hardwood {
        Some("in hardwood")
    } else if fixings.diameter > THICK_SCREW + 1e-9 {
        Some("when thicker than 6 mm")
    } else if strip.density_k > TOO_DENSE {
        Some("in timber denser than 500 kg/m³")
    } else {
        None
    }
}

/// What the standard wants of these fixings.
#[must_use]
pub fn needed(
    fixings: &FixingsAsk,
    strip: &Strip,
    layout: &Layout,
    standard: Standard,
    shear: Shear,
) -> Needed {
    let d = fixings.diameter;
    let sin = crate::units::radians(shear.angle_deg).sin();
    let bolt = fixings.kind == FixingKind::Bolt;
    let tables = printed();
    match standard {
        Standard::Eurocode5 => {
            let thick = bolt || layout.bearing > 0.006;
            let hole = match (fixings.predrilled, strip.density_k > DENSE) {
                (true, _) => Hole::Drilled,
                (false, true) => Hole::DrivenDense,
                (false, false) => Hole::Driven,
            };
            let reaches = if thick { &tables.bolts } else { tables.nails(hole, d) };
            let driven = fixings.kind == FixingKind::Screw && !fixings.predrilled && !assessed(fixings);
            let pull = if shear.pulled && !bolt { tables.pulled.map(|reach| reach * d) } else { [0.0; 3] };
            let end = if shear.any { reaches.loaded_end } else { reaches.free_end };
            Needed {
                edge: reaches.loaded_edge.at(d, 1.0, sin),
                // Ends and spacings are greatest along the grain.
                end: end.at(d, 1.0, 0.0),
                spacing: reaches.along.at(d, 1.0, 0.0),
                washer: if fixings.kind == FixingKind::Screw { 0.0 } else { tables.washer.at(d, 1.0, 0.0) },
                thread: if bolt { 0.0 } else { tables.thread.at(d, 1.0, 0.0) },
                pulled: pull,
                // (8.18), in millimetres: thinner timber is to be drilled.
                thickness: if driven && !thick {
                    (7.0 * d).max((13.0 * d - 0.030) * strip.density_k / 400.0)
                } else {
                    0.0
                },
                clause: if thick { "EN 1995-1-1 Table 8.4" } else { "EN 1995-1-1 Table 8.2" },
            }
        }
        Standard::Nds if d >= 0.25 * INCH => {
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
                pulled: [0.0; 3],
                thickness: 0.0,
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
                pulled: [0.0; 3],
                thickness: 0.0,
                clause: "NDS commentary C12.1.5.7 (advice)",
            }
        }
    }
}

/// Geometry factor `C_Δ` (NDS 12.5.1): the smaller of end distance over 7D and spacing over 4D, at most 1; 0 below
/// the least distances.
#[must_use]
pub fn geometry_factor(diameter: f64, end: f64, spacing: f64) -> f64 {
    if diameter < 0.25 * INCH {
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
) -> [Distance; 10] {
    distances_in(fixings, strip, (standard, &layout(fixings, strip, standard)), shear.into())
}

/// The same of fixings that are laid out.
fn distances_in(
    fixings: &FixingsAsk,
    strip: &Strip,
    (standard, there): (Standard, &Layout),
    shear: Shear,
) -> [Distance; 10] {
    let wanted = needed(fixings, strip, there, standard, shear);
    let clause = wanted.clause;
    let pulled = "EN 1995-1-1 Table 8.6";
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
            there: if standard == Standard::Nds { there.penetration - there.tip } else { there.thread },
            wanted: wanted.thread,
            clause: thread_clause,
        },
        // The thread stands square to the grain, so its centre lies as far from ends and edges as the screw does.
        Distance {
            rule: "edge distance of pulled screws",
            there: there.edge,
            wanted: wanted.pulled[0],
            clause: pulled,
        },
        Distance {
            rule: "end distance of pulled screws",
            there: there.end,
            wanted: wanted.pulled[1],
            clause: pulled,
        },
        Distance {
            rule: "spacing of pulled screws",
            there: there.spacing,
            wanted: wanted.pulled[2],
            clause: pulled,
        },
        Distance {
            rule: "thickness of the strip that screws are driven into",
            there: there.thickness,
            wanted: wanted.thickness,
            clause: "EN 1995-1-1 8.3.1.2(6) (8.18)",
        },
    ]
}

/// The distances of fixings that are laid out, as checks.
pub fn check<R: Recorder>(
    r: &mut R,
    fixings: &FixingsAsk,
    strip: &Strip,
    (standard, there): (Standard, &Layout),
    shear: Shear,
) {
    let (size, unit) = match standard {
        Standard::Eurocode5 => (crate::units::MILLIMETRE, "mm"),
        Standard::Nds => (INCH, "in"),
    };
    for distance in distances_in(fixings, strip, (standard, there), shear) {
        if distance.wanted <= 0.0 || distance.there.is_infinite() {
            continue;
        }
        r.input("diameter", "d", fixings.diameter / size, unit, "");
        r.input("angle of the force to the grain", "α", shear.angle_deg, "°", "");
        let there = r.input("there", "a", distance.there.max(0.0) / size, unit, "strip as bevelled");
        let wanted = r.input("wanted", "a_min", distance.wanted / size, unit, distance.clause);
        let u = if there > 0.0 { wanted / there } else { f64::INFINITY };
        let u = r.derived("utilisation", "η", "a_min/a", u, "–", "");
        r.end(Compares::Room, distance.rule, distance.clause, u);
    }
    if standard == Standard::Eurocode5 && hole_wanted(fixings, strip).is_some() {
        let clause = "EN 1995-1-1 10.4.5, 8.3.1.1(2)";
        r.input("diameter", "d", fixings.diameter / size, unit, "");
        r.input("characteristic density", "ρ_k", strip.density_k, "kg/m³", "");
        r.input("driven without a hole: no rule holds", "η", f64::INFINITY, "–", clause);
        r.end(Compares::Room, "screws that want drilled holes", clause, f64::INFINITY);
    }
}

/// Whether every distance is kept.
#[must_use]
pub fn fits(fixings: &FixingsAsk, strip: &Strip, standard: Standard, shear: impl Into<Shear>) -> bool {
    let shear = shear.into();
    (standard == Standard::Nds || hole_wanted(fixings, strip).is_none())
        && distances(fixings, strip, standard, shear).iter().all(|d| d.utilisation() <= 1.0 + 1e-9)
}

#[cfg(test)]
#[path = "spacing_tests.rs"]
mod tests;
