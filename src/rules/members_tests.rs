//! What goes into the checks of timbers of either basis: each choice is seen to be taken.

use crate::loads::Duration;
use crate::loads::ask::Basis;
use crate::rules::ask::MembersAsk;
use crate::rules::members::{
    Conditions, MemberInput, Restraint, RuleError, acceptable, shear_strength, working, worst,
};
use crate::section::forces::StripForces;
use crate::section::strip::strip;
use crate::tables::Tables;
use crate::tables::grade::Grade;
use crate::tables::nds::Temperature;
use crate::units::{INCH, POUND_FORCE, PSI};

fn grade(name: &str) -> &'static Grade {
    Tables::built_in().grade(name).unwrap()
}

/// A 2x4 of 40 in.
fn input<'a>(grade: &'a Grade, conditions: Conditions, forces: &'a [StripForces]) -> MemberInput<'a> {
    MemberInput {
        section: strip(1.5 * INCH, 3.5 * INCH, 0.0, false).unwrap(),
        length: 40.0 * INCH,
        grade,
        conditions,
        restraint: Restraint::default(),
        hole: None,
        forces,
        places: &[],
    }
}

/// NDS Table 4.3.1 on F_v of 180 psi (Supplement Table 4A): `C_M` 0.97, `C_t` 0.7 (wet, 100 to 125 °F), `C_i` 0.80; `C_D` 1.15, or
/// `K_F` 2.88, φ 0.75 and λ 0.8. The Eurocode's fixings do not ask.
#[test]
fn the_shear_strength_for_fixings_has_every_factor() {
    let of = |duration| {
        let conditions =
            Conditions { temperature: Temperature::Warm, incised: true, ..Conditions::nds(true, duration) };
        shear_strength(&input(grade("DF-L No.2"), conditions, &[])).unwrap().unwrap() / PSI
    };
    let common = 180.0 * 0.97 * 0.7 * 0.80;
    assert!((of(Duration::LoadDurationFactor(1.15)) - common * 1.15).abs() < 1e-9);
    assert!((of(Duration::TimeEffectFactor(0.8)) - common * 2.88 * 0.75 * 0.8).abs() < 1e-9);
    let eurocode = Conditions::eurocode(2, Duration::ShortTerm);
    assert_eq!(shear_strength(&input(grade("C24"), eurocode, &[])), Ok(None));
}

#[test]
fn each_choice_of_the_project_reaches_the_conditions() {
    let ask = MembersAsk {
        k_sys: 1.1,
        partial_factor: Some(1.4),
        wet: Some(true),
        temperature: Temperature::Hot,
        incised: true,
        repetitive: true,
        ..MembersAsk::default()
    };
    let plain = Conditions::nds(false, Duration::TimeEffectFactor(0.8));
    assert_eq!((plain.service_class, plain.basis, plain.wet), (None, Basis::UsLrfd, false));
    let wanted = Conditions {
        k_sys: 1.1,
        partial_factor: Some(1.4),
        wet: true,
        temperature: Temperature::Hot,
        incised: true,
        repetitive: true,
        ..plain
    };
    assert_eq!(plain.with(&ask), wanted);
    // What is not said leaves what was there.
    let wet = Conditions::nds(true, Duration::LoadDurationFactor(1.0));
    assert_eq!(wet.with(&MembersAsk::default()), wet);
}

#[test]
fn what_does_not_go_together_is_refused_without_forces_and_named() {
    let asd = Conditions::nds(false, Duration::LoadDurationFactor(1.15));
    let lrfd = Conditions::nds(false, Duration::TimeEffectFactor(0.8));
    assert_eq!(acceptable(&input(grade("DF-L No.2"), asd, &[])), Ok(()));
    for (conditions, name) in [(asd, "us-asd"), (lrfd, "us-lrfd")] {
        let refused = acceptable(&input(grade("C24"), conditions, &[]));
        assert!(matches!(refused, Err(RuleError::OtherBasis { basis, .. }) if basis == name), "{refused:?}");
    }
}

/// DF-L No.2, 2x4, `C_D` 1.15, a millionth of what it may: pull 575·1.5·1.15 psi on 5.25 in² (push may more), edgewise
/// 900·1.5·1.15 psi on 3.0625 in³, flatwise the same stress on 1.3125 in³.
#[test]
fn a_force_of_a_millionth_of_the_strength_is_none_and_twice_of_it_is_one() {
    let conditions = Conditions::nds(false, Duration::LoadDurationFactor(1.15));
    let inch_pound = POUND_FORCE * INCH;
    let n = 575.0 * 1.5 * 1.15 * 5.25 * 1e-6 * POUND_FORCE;
    let (my, mz) =
        (900.0 * 1.5 * 1.15 * 3.0625 * 1e-6 * inch_pound, 900.0 * 1.5 * 1.15 * 1.3125 * 1e-6 * inch_pound);
    let zero = StripForces::default();
    for full in [
        StripForces { n, ..zero },
        StripForces { n: -n, ..zero },
        StripForces { my, ..zero },
        StripForces { mz, ..zero },
    ] {
        for (share, some) in [(0.9, false), (1.1, true)] {
            let forces =
                [StripForces { n: full.n * share, my: full.my * share, mz: full.mz * share, ..zero }];
            let found = worst(&input(grade("DF-L No.2"), conditions, &forces)).unwrap().utilisation;
            assert_eq!(found > 0.0, some, "{forces:?}");
        }
    }
}

/// The limit `f_c < F_cE1` of NDS 3.9.2 is for edgewise bending: `K_e1` 4 on 40 in and 3.5 in makes `l_e/d` 45.7 and `F_cE1`
/// 0.822·580000/45.7² = 228 psi. Pressed by 300 psi with flatwise bending alone it is over by its column's strength, with edgewise
/// bending by the limit.
#[test]
fn the_limit_of_edgewise_bending_is_asked_of_edgewise_bending() {
    let conditions = Conditions::nds(false, Duration::LoadDurationFactor(1.15));
    let ask = |my: f64, mz: f64| {
        let forces = [StripForces { n: -300.0 * 5.25 * POUND_FORCE, my, mz, ..StripForces::default() }];
        let plain = input(grade("DF-L No.2"), conditions, &forces);
        let restraint = Restraint { length_factor_y: 4.0, length_factor_z: 0.5, ..plain.restraint };
        worst(&MemberInput { restraint, ..plain }).unwrap().utilisation
    };
    assert!((1.0..10.0).contains(&ask(0.0, 10.0)));
    assert!(ask(10.0, 0.0).is_infinite());
}

/// In the units of the standard: 508 mm are 20 in.
#[test]
fn the_working_names_each_place_that_was_given() {
    let forces = [StripForces { n: 100.0, ..StripForces::default() }];
    for (name, conditions, there) in [
        ("C24", Conditions::eurocode(2, Duration::ShortTerm), 508.0),
        ("DF-L No.2", Conditions::nds(false, Duration::LoadDurationFactor(1.0)), 20.0),
    ] {
        let plain = input(grade(name), conditions, &forces);
        let place = |places: &[f64]| {
            let checks = working(&MemberInput { places, ..plain }).unwrap();
            checks[0].steps.iter().find(|step| step.symbol == "x").map(|step| step.value)
        };
        assert!(place(&[]).is_none() && (place(&[0.508]).unwrap() - there).abs() < 1e-9, "{name}");
    }
}
