//! Holes in timbers under EN 1995-1-1: what they are made by, and what they cost.

use crate::loads::Duration;
use crate::rules::eurocode5_tests::{PRINTED, checked, grade, input, near, of, rectangle, step};
use crate::rules::members::{Conditions, Hole, MemberInput, Restraint, working};
use crate::rules::notation::recompute;
use crate::section::forces::StripForces;
use crate::section::strip::strip;
use crate::tables::Tables;

/// E10: tension on the net section, with the tension strength of 2016.
#[test]
fn e10_tension_beside_a_hole() {
    let c16 = grade("C16");
    let forces = [StripForces { n: 10_000.0, ..StripForces::default() }];
    let checks = checked(&MemberInput {
        hole: Some(Hole { diameter: 0.013, off: 0.0 }),
        ..input(rectangle(38.0, 89.0), 1.5, &c16, &forces)
    });
    let check = of(&checks, "(6.1)");
    near(step(check, "A_net"), 2888.0, 1e-9);
    near(step(check, "σ_t,0,d"), 3.463, PRINTED);
    near(step(check, "f_t,0,d"), 6.532, PRINTED);
    near(check.utilisation, 0.5301, PRINTED);
    // The 2009 strength of 10 N/mm² would have given 0.4506.
    assert!(check.utilisation > 0.52);
}

/// What fixings leave of a strip: bolts with the slack of their holes, coach screws, and screws that are drilled for or
/// thicker than 6 mm (5.2).
#[test]
fn fixings_make_the_holes_that_are_taken_off() {
    use crate::loads::ask::Basis;
    use crate::rules::ask::{FixingKind, FixingsAsk};
    let of = |kind, diameter: f64, change: &dyn Fn(&mut FixingsAsk)| {
        let mut fixings = FixingsAsk::new(kind, diameter, 3, 0.0375);
        change(&mut fixings);
        Hole::of(&fixings, 0.075, Basis::Eurocode).map(|hole| (hole.diameter * 1e3, hole.off * 1e3))
    };
    let near = |found: Option<(f64, f64)>, d: f64, off: f64| {
        found.is_some_and(|(a, b)| (a - d).abs() < 1e-9 && (b - off).abs() < 1e-9)
    };
    assert!(near(of(FixingKind::Bolt, 0.008, &|_| ()), 9.0, 0.0));
    assert!(near(of(FixingKind::Bolt, 0.008, &|f| f.clearance = Some(0.002)), 10.0, 0.0));
    assert!(near(of(FixingKind::Bolt, 0.008, &|f| f.lever = 0.032), 9.0, 5.5));
    assert!(near(of(FixingKind::CoachScrew, 0.008, &|_| ()), 8.0, 0.0));
    assert!(near(of(FixingKind::Screw, 0.008, &|_| ()), 8.0, 0.0));
    assert!(of(FixingKind::Screw, 0.006, &|_| ()).is_none());
    assert!(near(of(FixingKind::Screw, 0.006, &|f| f.predrilled = true), 6.0, 0.0));
    let inches = FixingsAsk::new(FixingKind::Bolt, 0.375 * 0.0254, 3, 1.75 * 0.0254);
    let hole = Hole::of(&inches, 3.5 * 0.0254, Basis::UsAsd).unwrap();
    assert!((hole.diameter / 0.0254 - 0.4375).abs() < 1e-9);
}

/// A hole off mid-depth takes more of the modulus: `b·d_0·(d_0²/12 + e_0²)` of the second moment.
#[test]
fn a_hole_off_mid_depth_costs_more_bending() {
    let c24 = Tables::built_in().grade("C24").unwrap();
    let forces = [StripForces { n: 2000.0, my: 300.0, ..StripForces::default() }];
    let left = |off: f64| {
        let input = MemberInput {
            section: strip(0.047, 0.075, 0.0, false).unwrap(),
            length: 1.2,
            grade: c24,
            conditions: Conditions::eurocode(2, Duration::ShortTerm),
            restraint: Restraint::default(),
            hole: Some(Hole { diameter: 0.009, off }),
            forces: &forces,
            places: &[],
        };
        let checks = working(&input).unwrap();
        checks.iter().for_each(recompute);
        let value = |symbol: &str| checks[0].steps.iter().find(|s| s.symbol == symbol).unwrap().value;
        value("W_y,net") / value("W_y")
    };
    let i_y = 47.0 * 75.0_f64.powi(3) / 12.0;
    for off in [0.0, 6.0] {
        let expected = 1.0 - 47.0 * 9.0 * (81.0 / 12.0 + off * off) / i_y;
        assert!((left(off * 1e-3) - expected).abs() < 1e-12);
    }
}
