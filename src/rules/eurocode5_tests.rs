//! Worked figures: E1 to E13, E24 of the project's Eurocode sheet, computed there from the formulas to four
//! figures; E6 and E8 printed in the LVL Handbook Europe 2025, pages 198 and 182.

use crate::loads::Duration;
use crate::rules::Check;
use crate::rules::members::{Conditions, RuleError};
use crate::rules::members::{LoadEdge, MemberInput, Restraint, SideHold, working, worst};
use crate::rules::notation::recompute;
use crate::section::Section;
use crate::section::forces::StripForces;
use crate::section::strip::strip;
use crate::tables::Tables;
use crate::tables::grade::{EurocodeGrade, Grade, Material};
use crate::tables::provenance::{Seen, Source, Sure};

/// Four figures are printed.
pub(super) const PRINTED: f64 = 6e-4;

pub(super) fn grade(name: &str) -> Grade {
    Tables::built_in().grade(name).unwrap().clone()
}

pub(super) fn rectangle(b_mm: f64, h_mm: f64) -> Section {
    strip(b_mm * 1e-3, h_mm * 1e-3, 0.0, false).unwrap()
}

pub(super) fn conditions() -> Conditions {
    Conditions::eurocode(2, Duration::ShortTerm)
}

pub(super) fn input<'a>(
    section: Section,
    length: f64,
    grade: &'a Grade,
    forces: &'a [StripForces],
) -> MemberInput<'a> {
    MemberInput {
        section,
        length,
        grade,
        conditions: conditions(),
        restraint: Restraint::default(),
        hole: None,
        forces,
        places: &[],
    }
}

/// Every check made, with its formulas worked out again from what it prints.
pub(super) fn checked(input: &MemberInput<'_>) -> Vec<Check> {
    let checks = working(input).unwrap();
    for check in &checks {
        recompute(check);
    }
    let quick = worst(input).unwrap();
    if let Some(first) = checks.first() {
        assert_eq!(quick.utilisation.to_bits(), first.utilisation.to_bits(), "{quick:?} {first:?}");
    }
    checks
}

pub(super) fn of<'a>(checks: &'a [Check], expression: &str) -> &'a Check {
    checks.iter().find(|c| c.clause.contains(expression)).unwrap_or_else(|| {
        panic!("no {expression} in {:?}", checks.iter().map(|c| &c.clause).collect::<Vec<_>>())
    })
}

pub(super) fn step(check: &Check, symbol: &str) -> f64 {
    check
        .steps
        .iter()
        .find(|s| s.symbol == symbol)
        .unwrap_or_else(|| {
            panic!("no {symbol} in {:?}", check.steps.iter().map(|s| &s.symbol).collect::<Vec<_>>())
        })
        .value
}

#[track_caller]
pub(super) fn near(found: f64, printed: f64, tolerance: f64) {
    assert!((found - printed).abs() <= tolerance * printed.abs(), "{found} for {printed}");
}

pub(super) const BENDING: StripForces = StripForces { n: 0.0, vy: 0.0, vz: 0.0, t: 0.0, my: 1e2, mz: 0.0 };
pub(super) const TENSION: StripForces = StripForces { n: 1e3, vy: 0.0, vz: 0.0, t: 0.0, my: 0.0, mz: 0.0 };
pub(super) const PUSH: StripForces = StripForces { n: -1e3, vy: 0.0, vz: 0.0, t: 0.0, my: 0.0, mz: 0.0 };
pub(super) const SHEAR: StripForces = StripForces { n: 0.0, vy: 0.0, vz: 1e3, t: 0.0, my: 0.0, mz: 0.0 };

/// E1: design strengths, without size factor (a 150 mm timber has none).
#[test]
fn e1_design_strengths() {
    let section = rectangle(150.0, 150.0);
    let rows = [
        ("C16", Duration::Permanent, [7.385, 3.923, 7.846, 1.477]),
        ("C16", Duration::MediumTerm, [9.846, 5.231, 10.46, 1.969]),
        ("C16", Duration::ShortTerm, [11.08, 5.885, 11.77, 2.215]),
        ("C16", Duration::Instantaneous, [13.54, 7.192, 14.38, 2.708]),
        ("C24", Duration::Permanent, [11.08, 6.692, 9.692, 1.846]),
        ("C24", Duration::MediumTerm, [14.77, 8.923, 12.92, 2.462]),
        ("C24", Duration::ShortTerm, [16.62, 10.04, 14.54, 2.769]),
        ("C24", Duration::Instantaneous, [20.31, 12.27, 17.77, 3.385]),
    ];
    for (name, duration, printed) in rows {
        let grade = grade(name);
        let forces = [BENDING, TENSION, PUSH, SHEAR];
        let checks = checked(&MemberInput {
            conditions: Conditions::eurocode(2, duration),
            ..input(section, 1.0, &grade, &forces)
        });
        near(step(of(&checks, "(6.11)"), "f_m,y,d"), printed[0], PRINTED);
        near(step(of(&checks, "(6.1)"), "f_t,0,d"), printed[1], PRINTED);
        near(step(of(&checks, "(6.2"), "f_c,0,d"), printed[2], PRINTED);
        near(step(of(&checks, "(6.13)"), "f_v,d"), printed[3], PRINTED);
    }
    let glulam = grade("GL24h");
    let section = rectangle(600.0, 600.0);
    for (duration, printed) in
        [(Duration::Permanent, 11.52), (Duration::MediumTerm, 15.36), (Duration::ShortTerm, 17.28)]
    {
        let forces = [BENDING];
        let checks = checked(&MemberInput {
            conditions: Conditions::eurocode(2, duration),
            ..input(section, 1.0, &glulam, &forces)
        });
        near(step(of(&checks, "(6.11)"), "f_m,y,d"), printed, PRINTED);
    }
}

/// E2: the size factor, of the depth in bending and of the larger side in tension.
#[test]
fn e2_size_factor_on_its_own_dimension() {
    let c24 = grade("C24");
    for (h, printed) in [
        (38.0, 1.300),
        (47.0, 1.261),
        (63.0, 1.189),
        (75.0, 1.149),
        (89.0, 1.110),
        (95.0, 1.096),
        (114.0, 1.056),
        (120.0, 1.046),
        (140.0, 1.014),
        (145.0, 1.007),
        (150.0, 1.000),
        (200.0, 1.000),
    ] {
        let forces = [StripForces { n: 1e3, my: 1e2, mz: 1e2, ..StripForces::default() }];
        let checks = checked(&input(rectangle(38.0, h), 1.0, &c24, &forces));
        near(step(of(&checks, "(6.17)"), "k_h,y"), printed, PRINTED);
        near(step(of(&checks, "(6.17)"), "k_h,z"), 1.3, PRINTED);
        near(step(of(&checks, "(6.17)"), "k_h,t"), printed, PRINTED);
    }
    // Never on compression or shear.
    let forces = [PUSH, SHEAR];
    let small = checked(&input(rectangle(38.0, 63.0), 1.0, &c24, &forces));
    near(step(of(&small, "(6.23)"), "f_c,0,d"), 14.54, PRINTED);
    near(step(of(&small, "(6.13)"), "f_v,d"), 2.769, PRINTED);
}

/// E3: the buckling factor of five classes; `β_c` 0.1 for glulam.
#[test]
#[rustfmt::skip]
fn e3_buckling_factors() {
    let rows: &[(f64, [(f64, f64); 5])] = &[
        (20.0, [(0.3572, 0.9871), (0.3391, 0.9912), (0.3487, 0.9891), (0.3183, 0.9980), (0.3252, 0.9944)]),
        (30.0, [(0.5358, 0.9393), (0.5087, 0.9476), (0.5230, 0.9433), (0.4775, 0.9777), (0.4877, 0.9537)]),
        (40.0, [(0.7144, 0.8702), (0.6783, 0.8867), (0.6974, 0.8782), (0.6366, 0.9482), (0.6503, 0.8985)]),
        (50.0, [(0.8930, 0.7663), (0.8478, 0.7961), (0.8717, 0.7806), (0.7958, 0.8970), (0.8129, 0.8176)]),
        (60.0, [(1.072, 0.6360), (1.017, 0.6764), (1.046, 0.6550), (0.9549, 0.8033), (0.9755, 0.7075)]),
        (70.0, [(1.250, 0.5122), (1.187, 0.5536), (1.220, 0.5313), (1.114, 0.6716), (1.138, 0.5877)]),
        (80.0, [(1.429, 0.4123), (1.357, 0.4496), (1.395, 0.4294), (1.273, 0.5450), (1.301, 0.4814)]),
        (90.0, [(1.607, 0.3359), (1.526, 0.3680), (1.569, 0.3505), (1.432, 0.4434), (1.463, 0.3959)]),
        (100.0, [(1.786, 0.2777), (1.696, 0.3052), (1.743, 0.2902), (1.592, 0.3654), (1.626, 0.3291)]),
        (120.0, [(2.143, 0.1979), (2.035, 0.2181), (2.092, 0.2071), (1.910, 0.2587), (1.951, 0.2359)]),
        (150.0, [(2.679, 0.1295), (2.544, 0.1430), (2.615, 0.1356), (2.387, 0.1681), (2.439, 0.1550)]),
        (200.0, [(3.572, 0.07426), (3.391, 0.08214), (3.487, 0.07782), (3.183, 0.09569), (3.252, 0.08912)]),
    ];
    let section = rectangle(60.0, 60.0);
    for (slenderness, printed) in rows {
        let length = slenderness * 0.06 / 12.0_f64.sqrt();
        for (name, (rel, k_c)) in ["C16", "C24", "C30", "GL24h", "D30"].into_iter().zip(printed) {
            let grade = grade(name);
            let forces = [PUSH];
            let checks = checked(&input(section, length, &grade, &forces));
            let check = of(&checks, "(6.23)");
            near(step(check, "λ_y"), *slenderness, 1e-9);
            near(step(check, "λ_rel,y"), *rel, PRINTED);
            near(step(check, "k_c,y"), *k_c, PRINTED);
        }
    }
}

/// E5: the weaker axis governs until it is held at the middle.
#[test]
fn e5_strut_about_both_axes() {
    let c16 = grade("C16");
    let forces = [StripForces { n: -6151.0, ..StripForces::default() }];
    let free = input(rectangle(38.0, 89.0), 1.5, &c16, &forces);
    let checks = checked(&free);
    near(step(of(&checks, "(6.23)"), "k_c,y"), 0.6575, PRINTED);
    near(step(of(&checks, "(6.24)"), "λ_z"), 136.7, PRINTED);
    near(step(of(&checks, "(6.24)"), "k_c,z"), 0.1545, PRINTED);
    near(of(&checks, "(6.24)").utilisation, 1.0, PRINTED);
    let forces = [StripForces { n: -21_130.0, ..StripForces::default() }];
    let held = Restraint { length_factor_z: 0.5, ..Restraint::default() };
    let checks = checked(&MemberInput { restraint: held, forces: &forces, ..free });
    near(step(of(&checks, "(6.24)"), "λ_z"), 68.37, PRINTED);
    near(step(of(&checks, "(6.24)"), "k_c,z"), 0.5309, PRINTED);
    near(of(&checks, "(6.24)").utilisation, 1.0, PRINTED);
}

fn lvl(f_m: f64, f_c: f64, e_0_05: f64, f_v: f64) -> Grade {
    Grade::Eurocode(EurocodeGrade {
        name: "LVL of the handbook".to_owned(),
        material: Material::Lvl,
        f_m_k: f_m * 1e6,
        f_t_0_k: 26e6,
        f_t_90_k: 0.8e6,
        f_c_0_k: f_c * 1e6,
        f_c_90_k: 6e6,
        f_v_k: f_v * 1e6,
        e_0_mean: 10_000e6,
        e_0_05: e_0_05 * 1e6,
        e_90_mean: 300e6,
        g_mean: 500e6,
        g_05: 300e6,
        rho_k: 410.0,
        rho_mean: 440.0,
        highest_service_class: 2,
        source: Source { seen: Seen::Own, sure: Sure::High, words: "a test's own values".to_owned() },
    })
}

/// E6, published: LVL Handbook Europe 2025, page 198. Source prints λ 78, λ_rel 1.41, k 1.56, k_c 0.45, f_c,0,d
/// 17.3, ratio 0.52. Difference: the handbook takes a size factor of 1.15 on bending, this none.
#[test]
fn e6_published_column() {
    let grade = lvl(27.0, 26.0, 8000.0, 4.0);
    let forces = [StripForces { n: -22_300.0, ..StripForces::default() }];
    let checks = checked(&MemberInput {
        conditions: Conditions::eurocode(2, Duration::MediumTerm),
        restraint: Restraint { side: SideHold::BothFaces, ..Restraint::default() },
        ..input(rectangle(45.0, 120.0), 2.7, &grade, &forces)
    });
    let check = of(&checks, "(6.23)");
    near(step(check, "λ_y"), 77.94, PRINTED);
    near(step(check, "λ_rel,y"), 1.414, PRINTED);
    near(step(check, "k_y"), 1.556, PRINTED);
    near(step(check, "k_c,y"), 0.4536, PRINTED);
    near(check.utilisation, 0.5252, PRINTED);
    near(check.utilisation, 0.52, 0.015);
}

/// E7: a beam of C24, 47 × 145 over 2.4 m.
#[test]
fn e7_beam() {
    let c24 = grade("C24");
    let forces = [
        StripForces { my: 1296.0, ..StripForces::default() },
        StripForces { vz: 2160.0, ..StripForces::default() },
    ];
    let checks = checked(&input(rectangle(47.0, 145.0), 2.4, &c24, &forces));
    let bending = of(&checks, "(6.11)");
    near(step(bending, "W_y"), 164_696.0, 1e-5);
    near(step(bending, "σ_m,y,d"), 7.869, PRINTED);
    near(step(bending, "f_m,y,d"), 16.73, PRINTED);
    near(bending.utilisation, 0.4704, PRINTED);
    let shear = of(&checks, "(6.13)");
    near(step(shear, "τ_d"), 0.7096, PRINTED);
    near(step(shear, "τ_d") * 0.67, 0.4754, PRINTED);
    near(shear.utilisation, 0.2562, PRINTED);
}

/// E8, published: LVL Handbook Europe 2025, page 182: W 4.32e5, σ 9.5, τ 0.5, f_v,d 2.8. `k_cr` is 1 for LVL.
#[test]
fn e8_published_beam() {
    let grade = lvl(44.0, 35.0, 11_600.0, 4.2);
    let forces = [
        StripForces { my: 4080.0, ..StripForces::default() },
        StripForces { vz: 3627.0, ..StripForces::default() },
    ];
    let checks = checked(&MemberInput {
        conditions: Conditions::eurocode(1, Duration::MediumTerm),
        ..input(rectangle(45.0, 240.0), 4.5, &grade, &forces)
    });
    near(step(of(&checks, "(6.11)"), "σ_m,y,d"), 9.445, PRINTED);
    near(step(of(&checks, "(6.13)"), "τ_d"), 0.5038, PRINTED);
    near(step(of(&checks, "(6.13)"), "f_v,d"), 2.8, PRINTED);
}

/// E11: tension with bending both ways.
#[test]
fn e11_tension_and_two_bendings() {
    let c24 = grade("C24");
    let forces = [StripForces { n: 6000.0, my: 400.0, mz: 50.0, ..StripForces::default() }];
    let checks = checked(&input(rectangle(47.0, 95.0), 1.2, &c24, &forces));
    let check = of(&checks, "(6.17)");
    near(step(check, "W_y"), 70_696.0, 1e-5);
    near(step(check, "W_z"), 34_976.0, 1e-5);
    near(step(check, "f_t,0,d"), 11.00, PRINTED);
    near(step(check, "f_m,y,d"), 18.20, PRINTED);
    near(step(check, "f_m,z,d"), 20.96, PRINTED);
    near(step(check, "σ_t,0,d"), 1.344, PRINTED);
    near(step(check, "σ_m,y,d"), 5.658, PRINTED);
    near(step(check, "σ_m,z,d"), 1.430, PRINTED);
    near(check.utilisation, 0.4807, PRINTED);
    near(of(&checks, "(6.18)").utilisation, 0.4080, PRINTED);
}

/// E13: lateral buckling, the short form of σ_m,crit.
#[test]
fn e13_lateral_buckling() {
    for (name, b, h, l_ef, printed) in [
        ("C24", 47.0, 145.0, 2.450, [35.89, 0.8177, 0.9467]),
        ("C24", 38.0, 235.0, 4.070, [8.714, 1.660, 0.3631]),
        ("C16", 38.0, 140.0, 3.000, [14.48, 1.051, 0.7717]),
        ("C24", 47.0, 195.0, 3.270, [20.00, 1.096, 0.7383]),
    ] {
        let grade = grade(name);
        let forces = [BENDING];
        let checks = checked(&MemberInput {
            restraint: Restraint { load_edge: LoadEdge::Middle, ..Restraint::default() },
            ..input(rectangle(b, h), l_ef, &grade, &forces)
        });
        let check = of(&checks, "(6.33)");
        near(step(check, "σ_m,crit"), printed[0], PRINTED);
        near(step(check, "λ_rel,m"), printed[1], PRINTED);
        near(step(check, "k_crit"), printed[2], PRINTED);
    }
    // 0.9 l + 2 h of the first is 2450 mm.
    let c24 = grade("C24");
    let forces = [BENDING];
    let restraint = Restraint { lateral_factor: 0.9, ..Restraint::default() };
    let checks = checked(&MemberInput { restraint, ..input(rectangle(47.0, 145.0), 2.4, &c24, &forces) });
    near(step(of(&checks, "(6.33)"), "l_ef,m"), 2450.0, 1e-9);
}

/// E13: the general form of σ_m,crit gives 8.316 for the second timber, 5 % below the short one. A bevel of
/// a hair makes the section a trapezium, which must take the general form.
#[test]
fn e13_a_trapezium_takes_the_general_form() {
    let c24 = grade("C24");
    let forces = [BENDING];
    let section = strip(0.038, 0.235, 1e-6, true).unwrap();
    let checks = checked(&MemberInput {
        restraint: Restraint { load_edge: LoadEdge::Middle, ..Restraint::default() },
        ..input(section, 4.070, &c24, &forces)
    });
    let check = of(&checks, "(6.33)");
    near(step(check, "σ_m,crit"), 8.316, 2e-3);
    near(step(of(&checks, "(6.11)"), "k_m"), 1.0, 1e-12);
}

/// E24: torsion of 47 × 95; the rule of the 2004 text (1.303) is not used.
#[test]
fn e24_torsion() {
    let c24 = grade("C24");
    let forces = [StripForces { t: 50.0, ..StripForces::default() }];
    let checks = checked(&input(rectangle(47.0, 95.0), 1.2, &c24, &forces));
    let check = of(&checks, "(6.14)");
    near(step(check, "α_t"), 0.2464, PRINTED);
    near(step(check, "τ_tor,d"), 0.9669, PRINTED);
    near(step(check, "k_shape"), 1.101, PRINTED);
    near(check.utilisation, 0.3171, PRINTED);
}

/// Trap: (6.19) and (6.20) pass a slender strut that (6.24) fails.
#[test]
fn a_slender_strut_is_not_checked_as_a_stocky_one() {
    let c24 = grade("C24");
    let forces = [StripForces { n: -8000.0, my: 60.0, ..StripForces::default() }];
    let slender = input(rectangle(38.0, 75.0), 1.6, &c24, &forces);
    let checks = checked(&slender);
    assert!(of(&checks, "(6.24)").utilisation > 1.0);
    assert!(checks.iter().all(|c| !c.clause.contains("(6.19)")));
    let stocky = MemberInput { length: 0.15, ..slender };
    let checks = checked(&stocky);
    assert!(of(&checks, "(6.19)").utilisation < 0.5);
    assert!(checks.iter().all(|c| !c.clause.contains("(6.24)")));
}

/// Trap: (6.24) knows no lateral buckling, so (6.35) is made as well.
#[test]
fn compression_with_bending_is_also_checked_for_lateral_buckling() {
    let c24 = grade("C24");
    let forces = [StripForces { n: -500.0, my: 2500.0, ..StripForces::default() }];
    let checks = checked(&input(rectangle(38.0, 235.0), 4.0, &c24, &forces));
    assert!(of(&checks, "(6.35)").utilisation > of(&checks, "(6.24)").utilisation);
}

/// Trap: `k_mod` goes by the combination; a turf roof's own weight may govern.
#[test]
fn the_same_load_works_a_timber_harder_the_longer_it_lasts() {
    let c24 = grade("C24");
    let forces = [StripForces { my: 400.0, ..StripForces::default() }];
    let section = rectangle(47.0, 95.0);
    let mut last = f64::INFINITY;
    for duration in [
        Duration::Permanent,
        Duration::LongTerm,
        Duration::MediumTerm,
        Duration::ShortTerm,
        Duration::Instantaneous,
    ] {
        let conditions = Conditions::eurocode(2, duration);
        let found = worst(&MemberInput { conditions, ..input(section, 1.0, &c24, &forces) }).unwrap();
        assert!(found.utilisation < last);
        last = found.utilisation;
    }
}

/// Trap: `γ_M` has no part in `k_c`.
#[test]
fn the_partial_factor_does_not_enter_buckling() {
    let c24 = grade("C24");
    let forces = [PUSH];
    let usual = input(rectangle(47.0, 75.0), 1.2, &c24, &forces);
    let accident = MemberInput { conditions: Conditions { accidental: true, ..conditions() }, ..usual };
    let (a, b) = (checked(&usual), checked(&accident));
    near(step(of(&a, "(6.24)"), "k_c,z"), step(of(&b, "(6.24)"), "k_c,z"), 1e-15);
    near(of(&a, "(6.24)").utilisation, 1.3 * of(&b, "(6.24)").utilisation, 1e-12);
}

#[test]
fn a_cover_holds_the_outside_edge_only_where_bending_compresses_it() {
    let c24 = grade("C24");
    let restraint = Restraint { side: SideHold::OutsideFace, ..Restraint::default() };
    let section = rectangle(38.0, 235.0);
    let outward = [StripForces { my: 1000.0, ..StripForces::default() }];
    let inward = [StripForces { my: -1000.0, ..StripForces::default() }];
    let compressed_inside = worst(&MemberInput { restraint, ..input(section, 4.0, &c24, &outward) }).unwrap();
    let compressed_outside = worst(&MemberInput { restraint, ..input(section, 4.0, &c24, &inward) }).unwrap();
    assert!(compressed_inside.utilisation > 2.0 * compressed_outside.utilisation);
}

#[test]
fn what_cannot_be_checked_is_named() {
    let c24 = grade("C24");
    let forces = [PUSH];
    let usual = input(rectangle(47.0, 75.0), 1.2, &c24, &forces);
    let ask = |conditions: Conditions| worst(&MemberInput { conditions, ..usual });
    let none = Conditions { service_class: None, ..conditions() };
    assert_eq!(ask(none), Err(RuleError::ServiceClass { class: None }));
    let four = Conditions { service_class: Some(4), ..conditions() };
    assert_eq!(ask(four), Err(RuleError::ServiceClass { class: Some(4) }));
    let foreign = Conditions::eurocode(2, Duration::LoadDurationFactor(1.15));
    assert!(matches!(ask(foreign), Err(RuleError::Duration { .. })));
    let pine = grade("SPF No.2");
    assert!(matches!(worst(&MemberInput { grade: &pine, ..usual }), Err(RuleError::OtherBasis { .. })));
    let indoor = lvl(44.0, 35.0, 11_600.0, 4.2);
    let wet = Conditions::eurocode(3, Duration::ShortTerm);
    let refused = worst(&MemberInput { grade: &indoor, conditions: wet, ..usual }).unwrap_err();
    assert!(refused.to_string().contains("C24"), "{refused}");
    let nothing = worst(&MemberInput { length: 0.0, ..usual });
    assert!(matches!(nothing, Err(RuleError::Value { .. })));
    let idle = [StripForces::default()];
    assert!(worst(&MemberInput { forces: &idle, ..usual }).unwrap().utilisation.abs() < 1e-15);
}
