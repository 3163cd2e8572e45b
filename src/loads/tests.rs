//! Cases on whole shells: totals against closed forms, convergence with the mesh, symmetry, audits.

use std::f64::consts::{FRAC_PI_2, PI};

use crate::loads::ask::{
    AsceEdition, Basis, CombinationAsk, CoverAsk, Given, ImposedAsk, InternalAsk, LoadsAsk, RiskCategory,
    SnowAsk, WindAsk, WindStrength,
};
use crate::loads::audit::audit;
use crate::loads::edge_share::EdgeShares;
use crate::loads::{Case, CaseKind, cases};
use crate::shell::ask::{EndForm, Form, Pattern, Profile, ShellAsk, Up};
use crate::shell::{PanelId, Shell, build};
use crate::vector::Vec3;

pub(crate) fn shell(form: Form) -> Shell {
    build(&ShellAsk { form, openings: Vec::new(), mend: false }).unwrap()
}

pub(crate) fn dome(frequency: usize) -> Shell {
    shell(Form::Dome { radius: 2.0, frequency, up: Up::Edge, base: 0.0 })
}

pub(crate) fn barrel(rise: f64, segments: usize, bays: usize) -> Shell {
    barrel_between(rise, segments, bays, [EndForm::Open; 2])
}

pub(crate) fn barrel_between(rise: f64, segments: usize, bays: usize, ends: [EndForm; 2]) -> Shell {
    shell(Form::Barrel {
        profile: Profile::Circular,
        span: 4.0,
        rise,
        segments,
        bays,
        bay_length: 1.0,
        pattern: Pattern::PlainLeft,
        ends,
    })
}

pub(crate) fn tunnel(frequency: usize, bands: usize) -> Shell {
    shell(Form::Tunnel {
        radius: 2.0,
        frequency,
        bands,
        base: 0.0,
        spacing: None,
        ends: [EndForm::HalfDome; 2],
    })
}

pub(crate) fn eurocode() -> LoadsAsk {
    LoadsAsk {
        basis: Basis::Eurocode,
        edition: None,
        risk: None,
        cover: Given::Value(CoverAsk { weight: 90.0, ..CoverAsk::default() }),
        snow: Given::Value(SnowAsk { ground: 1000.0, ..SnowAsk::default() }),
        wind: Given::Value(WindAsk {
            strength: WindStrength::Pressure(1000.0),
            directions: vec![0.0, FRAC_PI_2, PI, 1.5 * PI],
            ..WindAsk::default()
        }),
        imposed: ImposedAsk::default(),
        user: Vec::new(),
        stages: Vec::new(),
        combine: CombinationAsk::default(),
    }
}

pub(crate) fn asce(edition: AsceEdition) -> LoadsAsk {
    LoadsAsk {
        basis: Basis::UsLrfd,
        edition: Some(edition),
        risk: Some(RiskCategory::II),
        snow: Given::Value(SnowAsk {
            ground: 1000.0,
            exposure: Some(0.9),
            thermal: Some(1.2),
            map_edition: Some(edition),
            ..SnowAsk::default()
        }),
        ..eurocode()
    }
}

pub(crate) fn all(ask: &LoadsAsk, shell: &Shell) -> Vec<Case> {
    cases(ask, shell, &vec![10.0; shell.members.len()]).unwrap()
}

pub(crate) fn named<'a>(cases: &'a [Case], name: &str) -> &'a Case {
    cases
        .iter()
        .find(|c| c.name == name)
        .unwrap_or_else(|| panic!("{name}: {:?}", cases.iter().map(|c| &c.name).collect::<Vec<_>>()))
}

pub(crate) fn total(shell: &Shell, case: &Case) -> Vec3 {
    audit(shell, &EdgeShares::new(shell), case).applied
}

pub(crate) fn close(found: f64, wanted: f64, part: f64, what: &str) {
    assert!((found - wanted).abs() <= part * wanted.abs(), "{what}: {found}, wanted {wanted}");
}

pub(crate) fn no_inside(mut ask: LoadsAsk) -> LoadsAsk {
    if let Given::Value(wind) = &mut ask.wind {
        wind.internal = InternalAsk::Open;
    }
    ask
}

#[test]
fn vault_snow_repeats_the_test_table() {
    // Reference sheet 4.1: b 4 m; per metre of length: undrifted 0.8·ls·sk, drifted 0.375·μ3·ls·sk.
    let table = [(0.5, 4.0, 1.45), (0.72, 4.0, 2.0), (1.0, 4.0, 2.0), (1.2, 3.926, 2.0), (2.0, 3.464, 2.0)];
    for (rise, width, peak) in table {
        for segments in [5, 12] {
            let shell = barrel(rise, segments, 3);
            let cases = all(&eurocode(), &shell);
            let full = total(&shell, named(&cases, "snow undrifted"));
            close(-full.z, 0.8 * width * 1000.0 * 3.0, 2e-4, "undrifted");
            for side in ["+", "−"] {
                let drifted = total(&shell, named(&cases, &format!("snow drifted to the {side}y side")));
                close(-drifted.z, 0.375 * peak * width * 1000.0 * 3.0, 2e-4, "drifted");
            }
        }
    }
    let shell = barrel(1.0, 8, 3);
    let cases = all(&eurocode(), &shell);
    close(-total(&shell, named(&cases, "snow undrifted")).z, 3200.0 * 3.0, 1e-9, "b 4, h 1");
    close(-total(&shell, named(&cases, "snow drifted to the +y side")).z, 3000.0 * 3.0, 1e-9, "b 4, h 1");
}

#[test]
fn dome_snow_total_is_its_plan_integral_at_any_mesh() {
    let ask = LoadsAsk { wind: Given::LeftOut("of snow".into()), ..eurocode() };
    // Undrifted: 0.8 on the circle of 60° slope, whose radius is R sin 60°; every mesh covers it.
    let wanted = 0.8 * 1000.0 * PI * 3.0;
    for frequency in [3, 4, 7] {
        let shell = shell(Form::Dome { radius: 2.0, frequency, up: Up::Vertex, base: -0.3 });
        let case = named(&all(&ask, &shell), "snow undrifted").clone();
        close(-total(&shell, &case).z, wanted, 2e-4, "undrifted");
        close(-case.asked.z, wanted, 2e-3, "asked");
    }
    // Drifted: the two triangles times (1 − |v|/R): 0.375·μ3·ls·R by hand, less what lies outside the
    // plan circle, which the fade leaves small; by an independent midpoint sum over the circle.
    let (half, n) = (2.0 * (PI / 3.0).sin(), 400);
    let mut sum = 0.0;
    for i in 0..n {
        for j in 0..n {
            let at = |k: usize| -2.0 + 4.0 * (k as f64 + 0.5) / n as f64;
            let (u, v) = (at(i), at(j));
            if u.hypot(v) < 2.0 && u.abs() < half {
                let t = if u.abs() < 0.5 * half { u.abs() } else { half - u.abs() } / (0.5 * half);
                sum += t * if u < 0.0 { 1.0 } else { 2.0 } * (1.0 - v.abs() / 2.0);
            }
        }
    }
    let wanted = 1000.0 * sum * (4.0 / n as f64).powi(2);
    for (frequency, part) in [(6, 0.01), (16, 0.002)] {
        let shell = dome(frequency);
        let case = named(&all(&ask, &shell), "snow drifted by wind from 0°").clone();
        close(-total(&shell, &case).z, wanted, part, "drifted");
        // It lies to leeward: towards −x.
        assert!(audit(&shell, &EdgeShares::new(&shell), &case).moment.y < 0.0);
    }
}

#[test]
fn asce_dome_snow_repeats_example_11() {
    // D 20 ft, pg 30 psf, Ce 0.9, Ct 1.2, Is 1: crown 11.34, from the 30° point 50.40 psf.
    let foot = 0.3048;
    let psf = 47.880_259;
    let shell = shell(Form::Dome { radius: 10.0 * foot, frequency: 8, up: Up::Vertex, base: 0.0 });
    let mut ask = asce(AsceEdition::Seven16);
    ask.wind = Given::LeftOut("only snow is looked at".into());
    for clear in [false, true] {
        if let Given::Value(snow) = &mut ask.snow {
            snow.ground = 30.0 * psf;
            snow.clear_of_ground = clear;
        }
        let Given::Value(snow) = &ask.snow else { panic!() };
        let roof = crate::loads::snow::asce::Roof::new(&ask, snow).unwrap();
        close(roof.flat / psf, 22.68, 1e-6, "pf");
        let ground = crate::loads::snow::Ground::new(&shell);
        let points = crate::loads::snow::asce::unbalanced(&ground, &roof, clear).unwrap();
        let at = |r: f64| {
            let r = r * foot;
            let pair = points.windows(2).find(|w| r <= w[1].0 + 1e-9).unwrap();
            (pair[0].1 + (pair[1].1 - pair[0].1) * (r - pair[0].0) / (pair[1].0 - pair[0].0)) / psf
        };
        let wanted =
            if clear { [11.34, 30.87, 50.40, 27.47, 4.550] } else { [11.34, 30.87, 50.40, 50.40, 50.40] };
        for (r, wanted) in [0.0, 2.5, 5.0, 7.0, 9.0].into_iter().zip(wanted) {
            close(at(r), wanted, 4e-4, "unbalanced");
        }
        for (r, wanted) in [(2.5, 22.68), (5.0, 22.68), (9.0, 5.300)] {
            close(roof.flat * roof.slope_factor(ground.slope(r * foot)) / psf, wanted, 4e-4, "balanced");
        }
        // The total of the sheet: 4628 lb with the ground rule, 2324 lb without (its effective angle of
        // 112.5° times the radial integral).
        let case = named(&all(&ask, &shell), "snow drifted by wind from 0°").clone();
        let pounds = -total(&shell, &case).z / 4.448_221_6;
        close(pounds, if clear { 2324.0 } else { 4628.0 }, 0.02, "total");
        let sector = crate::loads::snow::asce::Sector::new();
        close(sector.part(40.0_f64.to_radians()), 1.0, 1e-12, "whole");
        close(sector.part(-56.25_f64.to_radians()), 0.5, 1e-12, "fade");
    }
}

#[test]
fn asce_tunnel_snow_repeats_example_12() {
    // Span 20, rise 8 ft, Ct 0.85, Ce 0.9, pg 30 psf, the slippery curve.
    let (foot, psf) = (0.3048, 47.880_259);
    let shell = shell(Form::Barrel {
        profile: Profile::Circular,
        span: 20.0 * foot,
        rise: 8.0 * foot,
        segments: 10,
        bays: 2,
        bay_length: 1.0,
        pattern: Pattern::Staggered,
        ends: [EndForm::Open; 2],
    });
    let snow = SnowAsk {
        ground: 30.0 * psf,
        exposure: Some(0.9),
        thermal: Some(0.85),
        slippery: true,
        clear_of_ground: true,
        map_edition: Some(AsceEdition::Seven16),
        ..SnowAsk::default()
    };
    let ask = asce(AsceEdition::Seven16);
    let roof = crate::loads::snow::asce::Roof::new(&ask, &snow).unwrap();
    let ground = crate::loads::snow::Ground::new(&shell);
    for (x, wanted) in [(0.0, 16.07), (2.5, 13.81), (5.0, 10.09), (7.5, 5.677), (9.0, 2.124)] {
        // The sheet goes on from pf rounded to 16.07 (16.065), and prints four figures.
        close(
            roof.flat * roof.slope_factor(ground.slope(x * foot)) / psf,
            wanted,
            3.2e-4 + 5e-3 / wanted,
            "balanced",
        );
    }
    let points = crate::loads::snow::asce::unbalanced(&ground, &roof, true).unwrap();
    let wanted = [(0.0, 8.033), (5.125, 21.97), (9.632, 0.0)];
    for (found, wanted) in points.iter().zip(wanted) {
        assert!(
            (found.0 / foot - wanted.0).abs() < 6e-4 && (found.1 / psf - wanted.1).abs() < 6e-3,
            "{points:?}"
        );
    }
}

#[test]
fn every_case_of_every_shell_closes_its_audit() {
    let shells =
        [dome(1), dome(3), dome(4), barrel(1.0, 6, 3), barrel(2.0, 9, 2), tunnel(2, 2), tunnel(4, 2)];
    for shell in &shells {
        let shares = EdgeShares::new(shell);
        for ask in [eurocode(), asce(AsceEdition::Seven16), asce(AsceEdition::Seven22)] {
            for case in all(&ask, shell) {
                let found = audit(shell, &shares, &case);
                assert!(found.residual < 1e-3, "{:?} {}: {found:?}", shell.outline.shape, case.name);
                assert!(!case.remarks.is_empty());
                // Every wind draws somewhere, but the least of the code, which only pushes; what is drawn inside by a door beside the wind
                // may leave nothing that draws outside.
                if case.kind == CaseKind::Wind {
                    let pushes = case.name.ends_with("least of the code");
                    let emptied = case.name.ends_with("door open, suction inside");
                    assert!(emptied || (found.intensity[1] > 0.0) != pushes, "{}", case.name);
                    assert!(!pushes || found.intensity[0] < 0.0, "{}", case.name);
                }
            }
        }
    }
}

#[test]
fn a_pattern_mirrored_or_turned_gives_the_mirrored_or_turned_total() {
    let staggered = shell(Form::Barrel {
        profile: Profile::Circular,
        span: 4.0,
        rise: 1.5,
        segments: 8,
        bays: 4,
        bay_length: 1.0,
        pattern: Pattern::Staggered,
        ends: [EndForm::Open; 2],
    });
    for shell in [tunnel(2, 2), staggered] {
        let cases = all(&eurocode(), &shell);
        let pair = |a: &str, b: &str, turn: [f64; 3]| {
            let (a, b) = (total(&shell, named(&cases, a)), total(&shell, named(&cases, b)));
            let turned = Vec3::new(a.x * turn[0], a.y * turn[1], a.z * turn[2]);
            assert!((turned - b).norm() < 1e-9 * b.norm(), "{a} {b}");
        };
        // Both have a half-turn about z.
        pair("snow drifted to the +y side", "snow drifted to the −y side", [-1.0, -1.0, 1.0]);
        for inside in ["pressure inside", "suction inside", "door open"] {
            pair(
                &format!("wind from 90°, {inside}"),
                &format!("wind from 270°, {inside}"),
                [-1.0, -1.0, 1.0],
            );
            pair(&format!("wind from 0°, {inside}"), &format!("wind from 180°, {inside}"), [-1.0, -1.0, 1.0]);
        }
        pair("snow on the +x end", "snow on the −x end", [-1.0, -1.0, 1.0]);
    }
}

#[test]
fn own_patterns_points_and_stages() {
    use crate::loads::LoadError;
    use crate::loads::ask::{LastsAsk, PatternLoad, PointAsk, RegionAsk, StageAsk, UserCaseAsk, UserRole};
    let shell = dome(4);
    let shares = EdgeShares::new(&shell);
    let pattern = |region: RegionAsk, load| UserCaseAsk {
        name: "ice".into(),
        patterns: vec![(region, load)],
        joints: Vec::new(),
        panels: Vec::new(),
        members: Vec::new(),
        role: UserRole::Variable([0.5, 0.2, 0.0]),
        lasts: LastsAsk::ShortTerm,
    };
    let mut ask = eurocode();
    ask.imposed.points =
        vec![PointAsk { panel: shell.panels[7].name.clone(), force: 500.0, weights: Vec::new() }];
    ask.user = vec![pattern(
        RegionAsk { sector: Some([0.3, 0.5]), height: Some([0.5, 1.5]), ..RegionAsk::default() },
        PatternLoad::PerPlan(200.0),
    )];
    let cases = all(&ask, &shell);
    for case in &cases {
        assert!(audit(&shell, &shares, case).residual < 1e-3, "{}", case.name);
    }
    // The point at the incentre keeps its force and its moment.
    let point = cases.iter().find(|c| c.name.starts_with("force on panel")).unwrap();
    assert_eq!(point.members.len(), 3);
    let corners: Vec<Vec3> = shell.panels[7].joints.iter().map(|&j| shell.at(j)).collect();
    let sides = [
        (corners[2] - corners[1]).norm(),
        (corners[0] - corners[2]).norm(),
        (corners[1] - corners[0]).norm(),
    ];
    let at =
        (corners[0] * sides[0] + corners[1] * sides[1] + corners[2] * sides[2]) / sides.iter().sum::<f64>();
    let found = audit(&shell, &shares, point);
    assert!((found.moment - at.cross(&found.asked)).norm() < 1e-6, "{found:?}");
    // A half of the plan and its other half make the whole; both by position, whatever the mesh.
    let half = |side: f64| {
        let mut ask = eurocode();
        ask.user = vec![pattern(
            RegionAsk { side: Some(side), ..RegionAsk::default() },
            PatternLoad::PerPlan(600.0),
        )];
        total(&shell, named(&all(&ask, &shell), "ice")).z
    };
    let mut whole = eurocode();
    whole.user = vec![pattern(RegionAsk::default(), PatternLoad::PerPlan(600.0))];
    let whole = total(&shell, named(&all(&whole, &shell), "ice")).z;
    close(half(0.4) + half(0.4 + PI), whole, 1e-9, "two halves");
    // Nothing there is an error, and so is a name that is not.
    ask.user = vec![pattern(
        RegionAsk { height: Some([5.0, 6.0]), ..RegionAsk::default() },
        PatternLoad::PerPlan(200.0),
    )];
    let weights = vec![1.0; shell.members.len()];
    assert!(matches!(super::cases(&ask, &shell, &weights), Err(LoadError::TouchesNothing { .. })));
    ask.user = vec![pattern(
        RegionAsk { panels: vec!["p999".into()], ..RegionAsk::default() },
        PatternLoad::PerPlan(200.0),
    )];
    assert!(matches!(super::cases(&ask, &shell, &weights), Err(LoadError::Unknown { .. })));
    // The lower panels stand.
    let middle = |panel: &crate::shell::Panel| {
        panel.joints.iter().map(|&joint| shell.at(joint).z).sum::<f64>() / panel.joints.len() as f64
    };
    let low = shell.panels.iter().filter(|panel| middle(panel) <= 1.0);
    let panels: Vec<String> = low.map(|panel| panel.name.clone()).collect();
    let stage = StageAsk {
        name: "first rows".into(),
        panels: panels.clone(),
        person: Some(1000.0),
        wind: Some(100.0),
    };
    let (part, asked) = crate::loads::assembly::stage(&eurocode(), &shell, &stage).unwrap();
    assert_eq!(part.panels.len(), panels.len());
    assert!(part.joints.iter().any(|j| j.foot));
    assert!(part.members.iter().all(|m| !m.panels.is_empty()));
    let cases = super::cases(&asked, &part, &vec![10.0; part.members.len()]).unwrap();
    let shares = EdgeShares::new(&part);
    assert!(cases.iter().all(|case| audit(&part, &shares, case).residual < 1e-3));
    assert!(cases.iter().all(|case| !matches!(case.kind, CaseKind::Snow | CaseKind::Cover)));
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(12))]
    #[test]
    fn random_shells_close_the_audit_of_every_case(
        kind in 0_usize..3,
        size in 1.0_f64..6.0,
        part in -0.4_f64..0.5,
        fineness in 1_usize..5,
        turn in 0.0_f64..6.25,
    ) {
        let form = match kind {
            0 => Form::Dome { radius: size, frequency: fineness, up: Up::Vertex, base: part * size },
            1 => Form::Barrel {
                profile: [Profile::Circular, Profile::Elliptical, Profile::Pointed, Profile::Catenary][fineness - 1],
                span: size,
                rise: size * (0.15 + (part + 0.4) * 0.5),
                segments: 3 + 2 * fineness,
                bays: 2,
                bay_length: 0.7 * size,
                pattern: Pattern::Staggered,
                ends: [EndForm::Open; 2],
            },
            _ => Form::Tunnel { radius: size, frequency: 2, bands: 2, base: 0.0, spacing: None, ends: [EndForm::HalfDome; 2] },
        };
        let Ok(shell) = build(&ShellAsk { form, openings: Vec::new(), mend: false }) else { return Ok(()) };
        let mut ask = eurocode();
        if let Given::Value(wind) = &mut ask.wind {
            wind.directions = vec![turn];
        }
        let shares = EdgeShares::new(&shell);
        for case in cases(&ask, &shell, &vec![10.0; shell.members.len()]).unwrap() {
            let found = audit(&shell, &shares, &case);
            proptest::prop_assert!(found.residual < 2e-3, "{}: {found:?}", case.name);
        }
    }
}

/// Snow by wind along a tunnel drifts on its domed ends as it does on a dome, and lies on its straight part as undrifted
/// (Eurocode) or not at all (ASCE 7).
#[test]
fn snow_drifts_on_the_domed_ends_of_a_tunnel() {
    let (whole, long) = (tunnel(4, 0), tunnel(4, 6));
    let [low, high] = long.outline.barrel.unwrap();
    for (ask, bare) in [(eurocode(), false), (asce(AsceEdition::Seven16), true)] {
        let (round, straight) = (all(&ask, &whole), all(&ask, &long));
        let case = named(&straight, "snow drifted to the +x end");
        let like = named(&round, "snow drifted by wind from 180°");
        let on = |shell: &Shell, case: &Case, from: f64, to: f64| -> f64 {
            let middle = |panel: PanelId| {
                let joints = &shell.panels[panel.0].joints;
                joints.iter().map(|&joint| shell.at(joint).x).sum::<f64>() / joints.len() as f64
            };
            let within = case.panels.iter().filter(|load| (from..to).contains(&middle(load.panel)));
            within.map(|load| -load.traction.z * shell.area_vector(load.panel).norm()).sum()
        };
        let all_of = (f64::NEG_INFINITY, f64::INFINITY);
        let at = whole.outline.barrel.map_or(whole.outline.centre.x, |barrel| barrel[0]);
        close(on(&long, case, high, all_of.1), on(&whole, like, at, all_of.1), 1e-6, "leeward end");
        if bare {
            assert!(on(&long, case, all_of.0, high) < 1e-9 * on(&long, case, high, all_of.1));
        } else {
            close(on(&long, case, all_of.0, low), on(&whole, like, all_of.0, at), 1e-6, "windward end");
            let undrifted = named(&straight, "snow undrifted");
            close(on(&long, case, low, high), on(&long, undrifted, low, high), 1e-6, "straight part");
        }
        assert!(audit(&long, &EdgeShares::new(&long), case).residual < 1e-3);
        assert!(straight.iter().any(|case| case.name == "snow drifted to the −x end"));
    }
    // A vault with flat ends has no lee there.
    let plain = all(&eurocode(), &barrel(2.0, 8, 3));
    assert!(plain.iter().all(|case| !case.name.contains("drifted to the +x end")));
}
