//! What the place of the fixings does to a seam by NDS-2018.

use crate::rules::Check;
use crate::rules::ask::{FixingKind, FixingsAsk};
use crate::rules::fasteners::WoodKind;
use crate::rules::fasteners::nds::{Format, Service};
use crate::rules::fasteners::timber::FIR;
use crate::rules::seams::{SeamBasis, SeamDemand, SeamInput, working_seam};
use crate::rules::spacing::{MITRE, Strip};
use crate::units::{INCH, POUND_FORCE, PSI};

const BOLT: f64 = 0.375 * INCH;
const THICK: f64 = 1.5 * INCH;

/// Bolts of 3/8 in through strips of 1.5 by 3.5 in, 100 lb along each half seam; the first one `end` from the shorter side's end \[m\],
/// `spacing` to the next.
fn seam(per_seam: usize, end: f64, spacing: f64) -> SeamInput {
    let first = MITRE * THICK + end;
    SeamInput {
        strip: Strip {
            count: 2,
            corner: 1.1,
            breadth: THICK,
            depth: 3.5 * INCH,
            fold: 0.0,
            bevelled: false,
            length: 2.0 * first + (per_seam as f64 - 1.0) * spacing,
            wood: WoodKind::Softwood,
            density_k: 400.0,
        },
        corner: 1.1,
        fixings: FixingsAsk {
            end: Some(first),
            ..FixingsAsk::new(FixingKind::Bolt, BOLT, per_seam, 1.75 * INCH)
        },
        timber: FIR,
        shear_strength: Some(180.0 * PSI),
        basis: SeamBasis::Nds(Service {
            format: Format::Asd { duration: 1.0 },
            wet: false,
            made_wet: false,
            temperature_f: 70.0,
        }),
        demand: SeamDemand { end_along: 100.0 * POUND_FORCE, ..SeamDemand::default() },
    }
}

fn of(input: &SeamInput, rule: &str) -> Check {
    working_seam(input).into_iter().find(|check| check.rule == rule).unwrap()
}

fn value(check: &Check, symbol: &str) -> f64 {
    check.steps.iter().rev().find(|step| step.symbol == symbol).unwrap().value
}

/// Tables 12.5.1A and B: full strength from 7D to a loaded end and 4D apart, half of it at 3.5D from the end, three quarters at
/// 3D apart. Of one bolt, so no group action; of two, the same group action as at 4D but for the spacing, which says little.
#[test]
fn near_an_end_or_each_other_fixings_hold_less() {
    let holds = |per_seam: usize, ends: f64, spacings: f64| {
        value(&of(&seam(per_seam, ends * BOLT, spacings * BOLT), "fixings in shear"), "Z'")
    };
    let whole = holds(1, 7.0, 0.0);
    for (ends, share) in [(3.5, 0.5), (4.2, 0.6), (7.0, 1.0), (12.0, 1.0)] {
        assert!((holds(1, ends, 0.0) / whole - share).abs() < 1e-6, "{ends} D");
    }
    assert!((holds(2, 12.0, 3.0) / holds(2, 12.0, 4.0) - 0.75).abs() < 0.002);
}

/// Half of a tip of two diameters is taken off a screw that goes in by less than ten.
#[test]
fn the_tip_of_a_short_screw_does_not_bear() {
    assert!((super::screw_bearing(1.5, 0.19) - 1.31).abs() < 1e-12);
    assert!((super::screw_bearing(1.9, 0.19) - 1.9).abs() < 1e-12 && super::screw_bearing(0.1, 0.19) <= 0.0);
}

/// Appendix E.3: the row of a half seam with one bolt is that bolt, and tears out over its end distance however near the next half's
/// bolts are: 1·180·1.5·6 = 1620 lb.
#[test]
fn one_bolt_of_a_half_seam_tears_out_over_its_end_distance() {
    let torn = of(&seam(3, 6.0 * INCH, 3.0 * INCH), "row of fixings tearing out of the strip's end");
    assert!(
        (value(&torn, "Z_RT'") - 1620.0).abs() < 1e-6 && (torn.utilisation - 100.0 / 1620.0).abs() < 1e-9
    );
    // Of two in a half seam the nearer distance counts: 2·180·1.5·3 lb.
    let two = of(&seam(4, 6.0 * INCH, 3.0 * INCH), "row of fixings tearing out of the strip's end");
    assert!((value(&two, "Z_RT'") - 1620.0).abs() < 1e-6);
}
