//! Turning stiffness of a seam, estimated from its fixings.
//!
//! The estimate is this project's own; no test of triangular timber frames bolted edge to edge was found. A fixing is
//! a chain of springs in a row: what crushes under washer or head in either strip, the thread's grip, the steel,
//! and the bevel's edge that bears across the grain. That axial stiffness times lever squared, times the number, over the
//! length of the seam is how the fixings turn. In series with them either strip twists between the fixings and the corners
//! of its frame, which gives as much again or more. The whole ranges from half to twice the value in the middle, and falls
//! towards nothing where the bolts go slack or the corners give.

use crate::rules::ask::{FixingKind, FixingsAsk};
use crate::rules::fasteners::JointTimber;
use crate::rules::recorder::{Recorder, Silent};
use crate::rules::spacing::{self, Standard, Strip};
use crate::units::{INCH, KILONEWTON, MILLIMETRE, POUND_FORCE, System};

/// Elastic modulus of steel \[N/mm²\].
const STEEL: f64 = 210_000.0;

/// The estimate spreads by this factor either way (own judgement: practice has 1 to 3 kN/mm for one fixing).
pub const SPREAD: f64 = 2.0;

/// Turning stiffness of a seam, per radian and metre of seam \[N·m/rad per m\]. An **estimate**.
#[derive(Debug, Clone, PartialEq)]
pub struct SeamStiffnessEstimate {
    /// Lower end: half the best value.
    pub low: f64,
    /// What the chain of springs gives.
    pub best: f64,
    /// Upper end: twice the best value.
    pub high: f64,
    /// Axial stiffness of one fixing that it rests on \[N/m\].
    pub axial: f64,
    /// What it is, where it comes from and how far to trust it.
    pub words: String,
}

/// Estimates the turning stiffness of a seam from its fixings. `None` where there is nothing to turn about: no
/// fixings, no lever, no thickness, no length.
#[must_use]
pub fn estimate(
    fixings: &FixingsAsk,
    strip: &Strip,
    timber: &JointTimber,
    standard: Standard,
    units: System,
) -> Option<SeamStiffnessEstimate> {
    let (best, axial) = turning(&mut Silent::new(), fixings, strip, timber, standard)?;
    let (size, turns, metre) = turning_unit(units);
    let (slip_size, slips) = axial_unit(units);
    let words = format!(
        "estimated from the fixings of the softest seam, not measured: {low} {turns} to {high} {turns} per {metre} of seam, \
         best guess {middle} {turns}, of which the low end is taken; one fixing gives {stiff} {slips} along its axis, and the strips twist between corners that hold them. A chain \
         of springs of this project's own, with no test behind it; slack bolts \
         turn freely first, and corners that give make it less. The bench test of docs/seam-bench-test.md replaces it",
        low = two(best / SPREAD / size),
        high = two(best * SPREAD / size),
        middle = two(best / size),
        stiff = two(axial / slip_size),
    );
    Some(SeamStiffnessEstimate { low: best / SPREAD, best, high: best * SPREAD, axial, words })
}

/// What a person reads turning stiffness of a seam in: its size in N·m/rad per m, its unit, and the length that it is for.
fn turning_unit(units: System) -> (f64, &'static str, &'static str) {
    match units {
        System::Metric => (KILONEWTON, "kN·m/rad", "metre"),
        System::Imperial => (POUND_FORCE, "lbf·ft/rad", "foot"),
    }
}

/// The same for stiffness along one fixing, in N/m.
fn axial_unit(units: System) -> (f64, &'static str) {
    match units {
        System::Metric => (KILONEWTON / MILLIMETRE, "kN/mm"),
        System::Imperial => (POUND_FORCE / INCH, "lbf/in"),
    }
}

/// A turning stiffness that was entered, in words.
#[must_use]
pub fn entered(stiffness: f64, units: System) -> String {
    let (size, unit, metre) = turning_unit(units);
    format!("{} {unit} per {metre} of seam, as entered", two(stiffness / size))
}

/// Two figures, as everything that rests on stiffness is printed.
fn two(value: f64) -> String {
    if value <= 0.0 || !value.is_finite() {
        return crate::rules::notation::number(value);
    }
    let step = 10.0_f64.powf(value.log10().floor() - 1.0);
    crate::rules::notation::number((value / step).round() * step)
}

/// Where the lines of the estimate come from.
const OWN: &str = "own estimate";

/// One fixing in its seam, N and mm.
struct OneFixing {
    axial: f64,
    lever: f64,
    number: f64,
    length: f64,
}

/// The chain of springs of one fixing.
fn one_fixing<R: Recorder>(
    r: &mut R,
    fixings: &FixingsAsk,
    strip: &Strip,
    timber: &JointTimber,
    standard: Standard,
) -> Option<OneFixing> {
    let layout = spacing::layout(fixings, strip, standard);
    let (lever, thickness) = (layout.lever * 1e3, layout.thickness * 1e3);
    let real = |value: f64| value.is_finite() && value > 0.0;
    if fixings.per_seam == 0
        || !real(lever)
        || !real(thickness)
        || !real(strip.length)
        || !real(fixings.diameter)
    {
        return None;
    }
    let n = r.input("fixings in the seam", "n", fixings.per_seam as f64, "–", "");
    let length = r.input("length of the seam", "L", strip.length * 1e3, "mm", "");
    let a = r.input("fixing to the edge that bears", "a", lever, "mm", "");
    let t = r.input("thickness of the strip at the fixing", "t", thickness, "mm", "");
    let across = r.input("modulus across the grain", "E_90", timber.elastic_across / 1e6, "N/mm²", "EN 338");
    let d = r.input("diameter", "d", fixings.diameter * 1e3, "mm", "");
    let round =
        if layout.washer > 0.0 { layout.washer } else { fixings.head.unwrap_or(2.0 * fixings.diameter) };
    let round = r.input("washer or head", "d_w", round * 1e3, "mm", "a screw's head: 2 d where not given");
    // A stiff disc on deep timber sinks by F/(E·d_w) (Boussinesq, elastic half-space, ν left out).
    let disc = r.derived("timber under one washer or head", "K_w", "E_90·d_w", across * round, "N/mm", OWN);
    let near = r.derived(
        "bearing length of the edge",
        "l_b",
        "min(d_w + 2·t; L/n)",
        (round + 2.0 * t).min(length / n),
        "mm",
        "45° spread: common practice",
    );
    let edge = across * near * a / 4.0 / t;
    let edge = r.derived(
        "edge of one strip, a quarter of the lever deep",
        "K_e",
        "E_90·l_b·a/(4·t)",
        edge,
        "N/mm",
        OWN,
    );
    let axial = match fixings.kind {
        FixingKind::Bolt => {
            let root = r.input("diameter of the stress area", "d_r", layout.root * 1e3, "mm", "");
            let steel = STEEL * std::f64::consts::FRAC_PI_4 * root * root / (2.0 * t);
            let steel =
                r.derived("steel of the bolt", "K_s", "210000·π/4·d_r^2/(2·t)", steel, "N/mm", "mechanics");
            let value = 1.0 / (2.0 / disc + 2.0 / edge + 1.0 / steel);
            r.derived("one fixing along its axis", "K_ax", "1/(2/K_w + 2/K_e + 1/K_s)", value, "N/mm", OWN)
        }
        FixingKind::Screw | FixingKind::CoachScrew => {
            let thread = layout.thread * 1e3;
            if !real(thread) {
                return None;
            }
            let l = r.input("thread in the far strip", "l_ef", thread, "mm", "");
            let grip = 780.0 * d.powf(0.2) * l.powf(0.4);
            let grip = r.derived(
                "grip of the thread",
                "K_t",
                "780·d^0.2·l_ef^0.4",
                grip,
                "N/mm",
                "form used in screw makers' assessments, from memory",
            );
            let value = 1.0 / (1.0 / disc + 1.0 / grip + 2.0 / edge);
            r.derived("one fixing along its axis", "K_ax", "1/(1/K_w + 1/K_t + 2/K_e)", value, "N/mm", OWN)
        }
    };
    Some(OneFixing { axial, lever: a, number: n, length })
}

/// Turning stiffness per metre and axial stiffness of one fixing \[N/m\].
fn turning<R: Recorder>(
    r: &mut R,
    fixings: &FixingsAsk,
    strip: &Strip,
    timber: &JointTimber,
    standard: Standard,
) -> Option<(f64, f64)> {
    let OneFixing { axial, lever: a, number: n, length } = one_fixing(r, fixings, strip, timber, standard)?;
    let fixed = axial * a * a * n / length;
    let fixed = r.derived(
        "turning stiffness of the fixings",
        "k_f",
        "K_ax·a^2·n/L",
        fixed,
        "N·m/rad per m",
        "axial stiffness × lever² × number / length",
    );
    let shear =
        r.input("shear modulus", "G", timber.elastic / SHEAR / 1e6, "N/mm²", "EN 338: a sixteenth of E");
    let torsion = torsion(strip)?;
    let torsion =
        r.input("torsion constant of one strip", "J", torsion * 1e12, "mm⁴", "trapezium, numerically");
    let share = r.input(
        "twist on average by where the fixings are",
        "β",
        twist_share(fixings, strip, standard),
        "–",
        OWN,
    );
    let value = 1.0 / (1.0 / fixed + 2.0 * share * length * length / (shear * torsion));
    let value = r.derived(
        "turning stiffness of the seam, both strips twisting between corners that hold",
        "k_θ",
        "1/(1/k_f + 2·β·L^2/(G·J))",
        value,
        "N·m/rad per m",
        "fixings and strips in series",
    );
    Some((value, axial * 1e3))
}

/// E over G (EN 338; common practice for other timber).
const SHEAR: f64 = 16.0;

/// Torsion constant of one strip \[m⁴\]; `None` for one that cannot be made.
fn torsion(strip: &Strip) -> Option<f64> {
    crate::section::strip::strip(strip.breadth, strip.depth, strip.fold, strip.bevelled)
        .ok()
        .map(|made| made.torsion)
}

/// How much a strip held at its ends twists on average at its fixings, over T·L/(G·J) of the whole torque T that they
/// bring in equal parts: the mean of `min(x, y)·(1 − max(x, y))` over all pairs of places (unit-load theorem), 1/4 for one
/// in the middle and towards 1/12 for many. Equal parts are the softest that there is.
fn twist_share(fixings: &FixingsAsk, strip: &Strip, standard: Standard) -> f64 {
    let layout = spacing::layout(fixings, strip, standard);
    let first = spacing::first(fixings, strip);
    let place = |i: usize| {
        let x = if i == 0 { first } else { first + layout.spacing * i as f64 };
        (x / strip.length).clamp(0.0, 1.0)
    };
    let n = fixings.per_seam;
    let mut sum = 0.0;
    for (x, y) in (0..n).flat_map(|i| (0..n).map(move |j| (place(i), place(j)))) {
        sum += x.min(y) * (1.0 - x.max(y));
    }
    sum / (n * n) as f64
}

/// Axial stiffness of one fixing alone \[N/m\].
#[must_use]
pub fn axial(fixings: &FixingsAsk, strip: &Strip, timber: &JointTimber, standard: Standard) -> Option<f64> {
    one_fixing(&mut Silent::new(), fixings, strip, timber, standard).map(|one| one.axial * 1e3)
}

#[cfg(test)]
#[path = "seams_stiffness_tests.rs"]
mod tests;
