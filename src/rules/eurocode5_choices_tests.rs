//! What a project chooses for its timbers, and what counts as no force: each is seen to matter.

use crate::rules::eurocode5_tests::{
    BENDING, PRINTED, PUSH, SHEAR, TENSION, checked, conditions, grade, input, near, of, rectangle, step,
};
use crate::rules::members::{Conditions, Hole, MemberInput, Restraint, RuleError, SideHold, working, worst};
use crate::section::forces::StripForces;
use crate::section::strip::strip;

/// Load sharing of 1.1 (6.6) lets each strength be a tenth higher; C24 as in E1.
#[test]
fn load_sharing_raises_every_strength() {
    let (section, grade, forces) = (rectangle(150.0, 150.0), grade("C24"), [BENDING, TENSION, PUSH, SHEAR]);
    let shared = Conditions { k_sys: 1.1, ..conditions() };
    let checks = checked(&MemberInput { conditions: shared, ..input(section, 1.0, &grade, &forces) });
    for (clause, symbol, alone) in [
        ("(6.11)", "f_m,y,d", 16.62),
        ("(6.11)", "f_m,z,d", 16.62),
        ("(6.1)", "f_t,0,d", 10.04),
        ("(6.2", "f_c,0,d", 14.54),
        ("(6.13)", "f_v,d", 2.769),
    ] {
        near(step(of(&checks, clause), symbol), 1.1 * alone, PRINTED);
    }
}

#[test]
fn a_partial_factor_that_makes_timber_stronger_or_is_no_number_is_refused() {
    let (section, grade, forces) = (rectangle(47.0, 95.0), grade("C24"), [BENDING]);
    let with = |factor: f64| {
        let conditions = Conditions { partial_factor: Some(factor), ..conditions() };
        worst(&MemberInput { conditions, ..input(section, 1.0, &grade, &forces) })
    };
    for factor in [0.9, f64::INFINITY, f64::NAN] {
        assert!(matches!(with(factor), Err(RuleError::Value { .. })), "{factor}");
    }
    near(with(1.5).unwrap().utilisation, with(1.0).unwrap().utilisation * 1.5, 1e-12);
}

/// C24, 47 × 95 mm, short-term, class 2: k_mod 0.9, γ_M 1.3. A millionth of the strength is
/// 14.54 N/mm² · 4465 mm² · 1e-6 = 0.065 N along and about 1.3e-3 and 0.7e-3 N·m of bending.
#[test]
fn a_force_of_a_millionth_of_the_strength_is_none_and_twice_of_it_is_one() {
    let (section, grade) = (rectangle(47.0, 95.0), grade("C24"));
    let rules = |forces: StripForces| {
        let forces = [forces];
        let checks = working(&input(section, 1.0, &grade, &forces)).unwrap();
        checks.into_iter().filter(|c| c.utilisation > 0.0).map(|c| c.clause).collect::<Vec<_>>()
    };
    let zero = StripForces::default();
    // Under a force that rules, what is only rounding neither takes part nor names the rule.
    for noise in [
        StripForces { n: 0.03, ..zero },
        StripForces { n: -0.03, ..zero },
        StripForces { my: 5e-4, ..zero },
        StripForces { mz: -3e-4, ..zero },
    ] {
        assert_eq!(rules(noise), Vec::<String>::new(), "{noise:?}");
    }
    for force in [
        StripForces { n: 0.12, ..zero },
        StripForces { n: -0.12, ..zero },
        StripForces { my: 3e-3, ..zero },
        StripForces { mz: -2e-3, ..zero },
    ] {
        assert!(!rules(force).is_empty(), "{force:?}");
    }
}

#[test]
fn the_place_is_told_in_millimetres() {
    let (section, grade, forces) = (rectangle(47.0, 95.0), grade("C24"), [BENDING]);
    let checks = checked(&MemberInput { places: &[0.65], ..input(section, 1.0, &grade, &forces) });
    near(step(of(&checks, "(6.11)"), "x"), 650.0, 1e-12);
}

/// What acts names the checks: shear alone, along either side, asks for shear and nothing of an axial force.
#[test]
fn a_timber_that_is_only_sheared_is_only_asked_for_shear() {
    let (section, grade) = (rectangle(47.0, 95.0), grade("C24"));
    let zero = StripForces::default();
    for force in [StripForces { vy: 100.0, ..zero }, StripForces { vz: 100.0, ..zero }] {
        let forces = [force];
        let checks = checked(&input(section, 1.0, &grade, &forces));
        assert_eq!(
            checks.iter().map(|check| check.clause.as_str()).collect::<Vec<_>>(),
            ["EN 1995-1-1 6.1.7 (6.13)"]
        );
    }
}

/// The working says why there is no buckling in the surface: the user said that the cover holds the timber there.
#[test]
fn a_timber_that_the_cover_holds_is_said_to_be_held() {
    let (section, grade, forces) = (rectangle(47.0, 95.0), grade("C24"), [PUSH]);
    for (side, held) in [(SideHold::None, false), (SideHold::OutsideFace, true), (SideHold::BothFaces, true)]
    {
        let free = input(section, 1.0, &grade, &forces);
        let checks = checked(&MemberInput { restraint: Restraint { side, ..free.restraint }, ..free });
        let step = of(&checks, "(6.24)").steps.iter().find(|step| step.symbol == "k_l,z").unwrap();
        assert_eq!(step.words.starts_with("held by the cover"), held, "{}", step.words);
    }
}

/// A trapezium's `k_m` is 1, which makes both expressions of a pair equal: the one of the greater bending gives its name.
#[test]
fn what_bends_a_trapezium_most_names_the_check() {
    let (section, grade) = (strip(0.047, 0.095, 0.3, true).unwrap(), grade("C24"));
    let of = |n: f64, my: f64, mz: f64| {
        let forces = [StripForces { n, my, mz, ..StripForces::default() }];
        // So short that no compression makes it buckle.
        worst(&input(section, 0.2, &grade, &forces)).unwrap().rule
    };
    for n in [500.0, 0.0, -500.0] {
        assert!(of(n, 100.0, 20.0).ends_with("mostly out of the surface"), "{n}");
        assert!(of(n, 20.0, 100.0).ends_with("mostly in the surface"), "{n}");
    }
}

/// `τ_tor/(k_shape f_v) + (τ/f_v)²` of the share η of both is 1; a hint of torsion leaves shear what it is.
#[test]
fn torsion_with_shear_is_the_share_that_both_may_grow_by() {
    let (section, grade) = (rectangle(47.0, 95.0), grade("C24"));
    let of = |vz: f64, t: f64| {
        let forces = [StripForces { vz, t, ..StripForces::default() }];
        worst(&input(section, 1.0, &grade, &forces)).unwrap().utilisation
    };
    for (vz, t) in [(2e3, 30.0), (20e3, 50.0), (100.0, 80.0)] {
        let both = of(vz, t);
        near(of(vz / both, t / both), 1.0, 1e-12);
        let (shear, torsion) = (of(vz / both, 0.0), of(0.0, t / both));
        near(torsion + shear * shear, 1.0, 1e-12);
    }
    near(of(20e3, 0.01), of(20e3, 0.0), 1e-3);
    let rule = |vz: f64, t: f64| {
        let forces = [StripForces { vz, t, ..StripForces::default() }];
        worst(&input(section, 1.0, &grade, &forces)).unwrap().rule
    };
    assert_eq!((rule(20e3, 0.01), rule(20e3, 50.0)), ("shear", "torsion with shear"));
}

/// Shear goes by what a hole leaves (5.2): 11 mm of 95.
#[test]
fn a_hole_costs_shear_what_it_takes_of_the_area() {
    let (section, grade, forces) = (rectangle(47.0, 95.0), grade("C24"), [SHEAR]);
    let whole = input(section, 1.0, &grade, &forces);
    let hole = Some(Hole { diameter: 0.011, off: 0.0 });
    let [whole, net] = [whole, MemberInput { hole, ..whole }].map(|input| worst(&input).unwrap().utilisation);
    near(net / whole, 95.0 / 84.0, 1e-12);
}
