//! Distances: the traps of the sheets, bevels, and every printed formula worked again.

use super::*;
use crate::rules::recorder::{Paper, Silent};
use crate::units::System;

fn strip(breadth: f64, depth: f64, fold_deg: f64) -> Strip {
    Strip {
        count: 2,
        corner: 1.1,
        breadth,
        depth,
        fold: fold_deg.to_radians(),
        bevelled: true,
        length: 1.22,
        wood: WoodKind::Softwood,
        density_k: 310.0,
    }
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
    let words = why_not(&bolt(0.012, 0.0445), &strip, Standard::Eurocode5, 90.0, System::Metric).unwrap();
    assert!(words.contains("a 10 mm bolt would do") && words.contains("48 mm is wanted"), "{words}");
    assert!(why_not(&bolt(0.010, 0.0445), &strip, Standard::Eurocode5, 90.0, System::Metric).is_none());
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

/// A lone fixing stands in the middle, whatever is said of the first; of three the outer two stand at the same distance from the ends.
#[test]
fn fixings_stand_evenly_along_the_seam() {
    let strip = strip(0.047, 0.095, 0.0);
    let at = |per_seam: usize, end: Option<f64>| {
        let fixings = FixingsAsk { per_seam, end, ..bolt(0.008, 0.0475) };
        let there = layout(&fixings, &strip, Standard::Eurocode5);
        let rules: Vec<f64> = distances(&fixings, &strip, Standard::Eurocode5, 0.0).map(|d| d.there).to_vec();
        assert!((rules[1] - there.end).abs() < 1e-12 && rules[2].to_bits() == there.spacing.to_bits());
        assert!(fits(&fixings, &strip, Standard::Eurocode5, 0.0));
        (there.end + MITRE * 0.047, there.spacing)
    };
    let near = |found: (f64, f64), end: f64, spacing: f64| {
        assert!((found.0 - end).abs() < 1e-12 && (found.1 - spacing).abs() < 1e-12, "{found:?}");
    };
    for end in [None, Some(0.3)] {
        let (first, spacing) = at(1, end);
        assert!(spacing.is_infinite() && (first - 0.61).abs() < 1e-12);
    }
    near(at(2, None), 1.22 / 4.0, 1.22 / 2.0);
    near(at(3, None), 1.22 / 6.0, 1.22 / 3.0);
    near(at(3, Some(0.21)), 0.21, 0.4);
}

/// A corner of 30° cuts b/tan 15° off a strip, 3.73 b: the first of several fixings stands as much further from the joint as that is more
/// than the 1.732 b of 60°, as far from the end of the wood as it would there. Wider corners take no less than one of 60°.
#[test]
fn sharp_corners_take_wood_and_move_the_first_fixing() {
    let of = |corner: f64, end: Option<f64>| {
        let strip = Strip { corner, length: 2.0, ..strip(0.047, 0.095, 0.0) };
        let fixings = FixingsAsk { end, per_seam: 3, ..bolt(0.008, 0.0475) };
        (first(&fixings, &strip), layout(&fixings, &strip, Standard::Eurocode5).end)
    };
    let sharp = 30.0_f64.to_radians();
    let mitre = 0.047 / 15.0_f64.to_radians().tan();
    for (found, by_hand) in [
        (of(sharp, Some(0.165)), (0.165 + mitre - MITRE * 0.047, 0.165 - MITRE * 0.047)),
        (of(2.0, Some(0.165)), (0.165, 0.165 - MITRE * 0.047)),
        // Spread evenly they stay where they are, and may stand too near the end of the wood.
        (of(sharp, None), (2.0 / 6.0, 2.0 / 6.0 - mitre)),
    ] {
        assert!((found.0 - by_hand.0).abs() < 1e-12 && (found.1 - by_hand.1).abs() < 1e-12, "{found:?}");
    }
}

/// What nobody said of a fixing, by hand: 10 mm short of through two strips of 60 mm; roots of 0.85 d (bolts) and 0.7 d (screws), of
/// 0.265 in and 0.152 in (a 3/8 in lag screw and a No. 10 wood screw, NDS Appendix L); in shear a bolt's body, 1.1 roots, or the root.
#[test]
fn what_is_not_said_of_a_fixing_is_assumed() {
    let strip = strip(0.060, 0.120, 0.0);
    let of = |kind, diameter, standard| {
        let found = layout(&FixingsAsk::new(kind, diameter, 3, 0.060), &strip, standard);
        [found.root, found.bearing, found.penetration, found.thread, found.washer]
    };
    let near = |found: [f64; 5], by_hand: [f64; 5]| {
        assert!(found.iter().zip(by_hand).all(|(a, b)| (a - b).abs() < 1e-12), "{found:?} {by_hand:?}");
    };
    use crate::rules::ask::FixingKind::{Bolt, CoachScrew, Screw};
    let (metric, us) = (Standard::Eurocode5, Standard::Nds);
    near(of(Bolt, 0.010, metric), [0.0085, 0.010, 0.050, 0.050, 0.030]);
    near(of(Screw, 0.006, metric), [0.0042, 0.00462, 0.050, 0.050, 0.0]);
    near(of(CoachScrew, 0.010, metric), [0.007, 0.0077, 0.050, 0.050, 0.030]);
    let (lag, wood) = (0.265 * INCH, 0.152 * INCH);
    near(of(CoachScrew, 0.375 * INCH, us), [lag, lag, 0.050, 0.050, 1.125 * INCH]);
    near(of(Screw, 0.190 * INCH, us), [wood, wood, 0.050, 0.050, 0.0]);
    // A longer screw than both strips counts in the far one alone, its thread no further than it reaches.
    let long =
        FixingsAsk { length: Some(0.2), thread: Some(0.07), ..FixingsAsk::new(Screw, 0.006, 3, 0.060) };
    let found = layout(&long, &strip, metric);
    assert!((found.penetration - 0.060).abs() < 1e-12 && (found.thread - 0.060).abs() < 1e-12);
}

/// Without shear the end of the strip is an unloaded one.
#[test]
fn a_seam_that_is_only_pressed_needs_less_end() {
    let strip = strip(0.047, 0.075, 0.0);
    let end = |any| {
        let shear = Shear { angle_deg: 0.0, any, pulled: false };
        distances(&bolt(0.008, 0.0375), &strip, Standard::Eurocode5, shear)[1].wanted
    };
    assert!((end(true) - 0.080).abs() < 1e-12 && (end(false) - 0.032).abs() < 1e-12);
}

/// NDS sheet: 3.5 in deep rib across the grain needs 4D + 1.5D; both edges loaded 8D, so D ≤ 7/16.
#[test]
fn nds_edges_and_geometry_factor() {
    use crate::units::INCH;
    let rib = strip(1.5 * INCH, 3.5 * INCH, 0.0);
    let edge = |d: f64| distances(&bolt(d * INCH, 1.75 * INCH), &rib, Standard::Nds, 90.0)[0].utilisation();
    assert!(edge(0.4375) <= 1.0 + 1e-9);
    assert!(edge(0.5) > 1.0);
    let d = 0.5 * INCH;
    assert!((geometry_factor(d, 7.0 * d, 4.0 * d) - 1.0).abs() < 1e-12);
    assert!((geometry_factor(d, 3.5 * d, 4.0 * d) - 0.5).abs() < 1e-12);
    assert!((geometry_factor(d, 9.0 * d, 3.0 * d) - 0.75).abs() < 1e-12);
    assert!(geometry_factor(d, 3.4 * d, 4.0 * d) <= 0.0);
    assert!(geometry_factor(d, 7.0 * d, 2.9 * d) <= 0.0, "3D apart at least");
    // From 1/4 in; thinner ones have no such factor.
    let d = 0.25 * INCH;
    assert!((geometry_factor(d, 3.5 * d, 4.0 * d) - 0.5).abs() < 1e-12);
    let d = 0.24 * INCH;
    assert!((geometry_factor(d, 2.0 * d, 2.0 * d) - 1.0).abs() < 1e-12);
    let words =
        why_not(&bolt(0.75 * INCH, 1.75 * INCH), &rib, Standard::Nds, 90.0, System::Imperial).unwrap();
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
        check(&mut paper, &fixings, &strip, (standard, &layout(&fixings, &strip, standard)), 30.0.into());
        check(&mut silent, &fixings, &strip, (standard, &layout(&fixings, &strip, standard)), 30.0.into());
        let checks = paper.into_checks();
        let worst = checks.iter().map(|c| c.utilisation).fold(0.0, f64::max);
        assert_eq!(worst.to_bits(), silent.worst().unwrap().utilisation.to_bits());
        checks.iter().for_each(crate::rules::notation::recompute);
        assert_eq!(worst > 1.0, !fits(&fixings, &strip, standard, 30.0));
        // In the units of the standard, each distance that is wanted.
        let unit = if standard == Standard::Nds { INCH } else { 1e-3 };
        let value = |check: &crate::rules::Check, symbol: &str| {
            check.steps.iter().find(|step| step.symbol == symbol).unwrap().value * unit
        };
        for distance in distances(&fixings, &strip, standard, 30.0) {
            let made = checks.iter().find(|check| check.rule == distance.rule);
            assert_eq!(made.is_some(), distance.wanted > 0.0, "{distance:?}");
            if let Some(made) = made {
                assert!((made.utilisation - distance.utilisation()).abs() < 1e-12 || distance.there <= 0.0);
                assert!((value(made, "a") - distance.there.max(0.0)).abs() < 1e-12, "{distance:?}");
                assert!((value(made, "a_min") - distance.wanted).abs() < 1e-12, "{distance:?}");
                assert!((value(made, "d") - fixings.diameter).abs() < 1e-12);
            }
        }
    }
}

fn screw(diameter: f64) -> FixingsAsk {
    FixingsAsk::new(FixingKind::Screw, diameter, 3, 0.0445)
}

fn of<'a>(all: &'a [Distance], rule: &str) -> &'a Distance {
    all.iter().find(|d| d.rule == rule).unwrap()
}

/// Table 8.6: 4d to an edge, 10d to an end, 7d apart, for a screw that is pulled, and for that alone.
#[test]
fn pulled_screws_keep_the_distances_of_their_own_table() {
    let strip = strip(0.060, 0.089, 0.0);
    let rules =
        ["edge distance of pulled screws", "end distance of pulled screws", "spacing of pulled screws"];
    let wanted = |fixings: &FixingsAsk, pulled: bool| {
        let shear = Shear { angle_deg: 0.0, any: false, pulled };
        let all = distances(fixings, &strip, Standard::Eurocode5, shear);
        rules.map(|rule| of(&all, rule).wanted)
    };
    for (found, table) in wanted(&screw(0.006), true).into_iter().zip([0.024, 0.060, 0.042]) {
        assert!((found - table).abs() < 1e-12, "{found}");
    }
    assert_eq!(wanted(&screw(0.006), false).map(f64::to_bits), [0; 3]);
    assert_eq!(wanted(&bolt(0.006, 0.0445), true).map(f64::to_bits), [0; 3], "the table is for screws");
    // Both ways: a fixing 24 mm from the edge of the bevelled strip just does, 23 mm does not.
    let u = |lever: f64| {
        let fixings = FixingsAsk { lever, ..screw(0.006) };
        let all = distances(
            &fixings,
            &strip,
            Standard::Eurocode5,
            Shear { angle_deg: 0.0, any: false, pulled: true },
        );
        of(&all, rules[0]).utilisation()
    };
    assert!(u(0.024) <= 1.0 + 1e-12 && u(0.023) > 1.0);
    let many = FixingsAsk { per_seam: 30, ..screw(0.006) };
    let close = distances(&many, &strip, Standard::Eurocode5, 0.0);
    assert!(of(&close, rules[2]).utilisation() > 1.0, "30 on 1.22 m stand too near to each other");
}

/// Table 8.2 above 420 kg/m³ (and (8.18) by density): D24 would need it, C24 does not.
#[test]
fn dense_timber_wants_more_room_for_driven_screws() {
    let at = |density_k: f64, predrilled: bool| {
        let strip = Strip { density_k, ..strip(0.060, 0.089, 0.0) };
        let fixings = FixingsAsk { predrilled, ..screw(0.005) };
        let all = distances(&fixings, &strip, Standard::Eurocode5, 90.0);
        ["edge distance of the fixings", "end distance of the fixings", "spacing of the fixings"]
            .map(|r| of(&all, r).wanted * 1e3)
    };
    let near =
        |found: [f64; 3], table: [f64; 3]| found.into_iter().zip(table).all(|(a, b)| (a - b).abs() < 1e-9);
    assert!(near(at(420.0, false), [50.0, 75.0, 60.0]), "{:?}", at(420.0, false));
    assert!(near(at(421.0, false), [60.0, 100.0, 75.0]), "{:?}", at(421.0, false));
    assert!(near(at(480.0, true), [35.0, 60.0, 25.0]), "{:?}", at(480.0, true));
}

/// (8.18): 7d, or (13d − 30) times the density over 400 where that is more; a drilled hole or a maker's assessment does without.
#[test]
fn thin_timber_is_drilled_before_screws_are_driven() {
    let wanted = |fixings: &FixingsAsk, density_k: f64| {
        let strip = Strip { density_k, ..strip(0.038, 0.089, 0.0) };
        let all = distances(fixings, &strip, Standard::Eurocode5, 0.0);
        *of(&all, "thickness of the strip that screws are driven into")
    };
    assert!((wanted(&screw(0.006), 310.0).wanted - 0.042).abs() < 1e-12);
    assert!(
        wanted(&screw(0.006), 310.0).utilisation() > 1.0 && wanted(&screw(0.005), 310.0).utilisation() < 1.0
    );
    assert!((wanted(&screw(0.006), 400.0).wanted - 0.048).abs() < 1e-12);
    for fixings in [
        FixingsAsk { predrilled: true, ..screw(0.006) },
        FixingsAsk { withdrawal: Some(11e6), ..screw(0.006) },
        bolt(0.006, 0.0445),
    ] {
        assert!(wanted(&fixings, 310.0).wanted <= 0.0);
    }
}

/// 10.4.5: hardwood, thick screws and dense timber want drilled holes.
#[test]
fn screws_that_want_drilled_holes_are_over_until_they_get_them() {
    let soft = strip(0.060, 0.089, 0.0);
    let hard = Strip { wood: WoodKind::Hardwood, density_k: 475.0, ..soft };
    let dense = Strip { density_k: 510.0, ..soft };
    let worst = |fixings: &FixingsAsk, strip: &Strip| {
        let mut silent = Silent::new();
        check(
            &mut silent,
            fixings,
            strip,
            (Standard::Eurocode5, &layout(fixings, strip, Standard::Eurocode5)),
            0.0.into(),
        );
        // What fits is no worst of anything.
        silent.worst().map(|worst| (worst.rule, worst.utilisation.is_finite()))
    };
    for (fixings, strip) in [(screw(0.008), soft), (screw(0.005), hard), (screw(0.005), dense)] {
        assert_eq!(worst(&fixings, &strip), Some(("screws that want drilled holes", false)));
        assert!(!fits(&fixings, &strip, Standard::Eurocode5, 0.0));
        let drilled = FixingsAsk { predrilled: true, ..fixings };
        assert!(worst(&drilled, &strip).is_none_or(|(_, finite)| finite));
        let assessed = FixingsAsk { withdrawal: Some(11e6), ..fixings };
        assert!(worst(&assessed, &strip).is_none_or(|(_, finite)| finite));
    }
    let mut paper = Paper::new();
    check(
        &mut paper,
        &screw(0.008),
        &soft,
        (Standard::Eurocode5, &layout(&screw(0.008), &soft, Standard::Eurocode5)),
        0.0.into(),
    );
    let checks = paper.into_checks();
    let drilled = checks.iter().find(|check| check.rule == "screws that want drilled holes").unwrap();
    assert!((drilled.steps[0].value - 8.0).abs() < 1e-12, "millimetres");
    assert!(hole_wanted(&screw(0.006), &soft).is_none());
    assert!(
        hole_wanted(&screw(0.005), &Strip { density_k: 500.0, ..soft }).is_none(),
        "8.3.1.1(2): greater than 500"
    );
    assert!(hole_wanted(&FixingsAsk { kind: FixingKind::CoachScrew, ..screw(0.008) }, &hard).is_none());
    let roomy = FixingsAsk { thread: Some(0.045), length: Some(0.115), end: Some(0.3), ..screw(0.007) };
    let words =
        why_not(&roomy, &Strip { depth: 0.2, ..soft }, Standard::Eurocode5, 0.0, System::Metric).unwrap();
    assert!(words.contains("fixings.predrilled") && words.contains("7 mm"), "{words}");
}

/// NDS: four diameters of a lag screw count without its tip (7/32 in of a 3/8).
#[test]
fn the_tip_of_a_lag_screw_does_not_count() {
    let d = 0.375 * INCH;
    let rib = strip(1.5 * INCH, 3.5 * INCH, 0.0);
    let into = |inches: f64| {
        let fixings = FixingsAsk {
            kind: FixingKind::CoachScrew,
            length: Some(1.5 * INCH + inches * INCH),
            ..bolt(d, 1.75 * INCH)
        };
        *of(&distances(&fixings, &rib, Standard::Nds, 0.0), "thread in the far strip")
    };
    assert!((into(1.4).there / INCH - (1.4 - 7.0 / 32.0)).abs() < 1e-9);
    let quarter = |inches: f64| {
        let fixings = FixingsAsk {
            kind: FixingKind::CoachScrew,
            length: Some(1.5 * INCH + inches * INCH),
            ..bolt(0.25 * INCH, 1.75 * INCH)
        };
        of(&distances(&fixings, &rib, Standard::Nds, 0.0), "thread in the far strip").utilisation()
    };
    assert!(quarter(1.1) > 1.0 && quarter(1.2) <= 1.0, "1 in and a tip of 5/32");
}

/// Outside its strip whatever is asked of it: nearer than 3d to a face, beyond the strip, a washer that hangs over.
#[test]
fn a_fixing_that_no_seam_could_take_is_told_with_the_nearest_that_would() {
    let of = |d: f64, lever: f64, washer: Option<f64>| {
        let fixings = FixingsAsk { washer, ..bolt(d, lever) };
        outside(&fixings, &strip(0.047, 0.075, 0.0), Standard::Eurocode5, System::Metric)
    };
    assert!(of(0.012, 0.0375, None).is_none() && of(0.008, 0.024, None).is_none());
    assert!(of(0.016, 0.0375, None).unwrap().contains(
        "a 12 mm bolt would do where forces run along the grain, an 8 mm bolt whichever way they run"
    ));
    assert!(of(0.008, 0.020, None).unwrap().contains("at mid-depth, 37.5 mm from either face"));
    assert!(of(0.008, 0.080, None).unwrap().contains("at mid-depth, 37.5 mm"));
    let shallow = strip(0.047, 0.030, 0.0);
    let words = outside(&bolt(0.008, 0.015), &shallow, Standard::Eurocode5, System::Metric).unwrap();
    assert!(words.contains("a strip 65 mm deep"), "{words}");
    assert!(of(0.008, 0.0375, Some(0.080)).unwrap().contains("washer"));
    let idle = Shear { angle_deg: 0.0, any: false, pulled: false };
    let under = distances(&bolt(0.008, 0.0375), &strip(0.047, 0.075, 0.0), Standard::Eurocode5, idle);
    assert!((self::of(&under, "washer on the strip's face").wanted - 0.012).abs() < 1e-12, "half of 24 mm");
}

/// A screw through three strips holds the last one by what reaches it; with two it is what it was. Where nobody gave a length it ends
/// as far short of through.
#[test]
fn a_screw_through_three_strips_holds_by_what_reaches_the_last() {
    let screw = FixingsAsk { length: Some(0.075), ..FixingsAsk::new(FixingKind::Screw, 0.006, 3, 0.032) };
    let of = |count: usize, screw: &FixingsAsk| {
        let strip = Strip { count, ..strip(0.047, 0.075, 0.0) };
        layout(screw, &strip, Standard::Eurocode5).penetration
    };
    assert!((of(2, &screw) - 0.028).abs() < 1e-12 && (of(1, &screw) - 0.028).abs() < 1e-12);
    assert!(of(3, &screw).abs() < 1e-12);
    let long = FixingsAsk { length: Some(0.130), ..screw };
    assert!((of(3, &long) - 0.036).abs() < 1e-12);
    let unsaid = FixingsAsk { length: None, ..screw };
    assert!((of(2, &unsaid) - 0.037).abs() < 1e-12 && (of(3, &unsaid) - 0.037).abs() < 1e-12);
}

/// Where nobody said where they stand, fixings of a short seam stand as far in as their end distance wants, and fit; in a long one they are
/// spread evenly, and where there is no room for that either, too.
#[test]
fn fixings_that_nobody_placed_stand_where_they_fit() {
    let of = |length: f64, per_seam: usize| {
        let fixings = FixingsAsk::new(FixingKind::Bolt, 0.008, per_seam, 0.0375);
        let strip = Strip { length, breadth: 0.047, corner: WIDE, ..strip(0.047, 0.075, 0.0) };
        let fits = distances(&fixings, &strip, Standard::Eurocode5, 0.0)
            .iter()
            .filter(|d| d.rule.contains("end distance") || d.rule.contains("spacing"))
            .all(|d| d.utilisation() <= 1.0 + 1e-9);
        (first(&fixings, &strip), fits)
    };
    // 80 mm behind a mitre of 47 mm over tan 30°.
    let clear = 0.08 + 0.047 * MITRE;
    let (short, fits) = of(0.6, 3);
    assert!((short - clear).abs() < 1e-12 && fits, "{short}");
    assert_eq!(of(1.5, 3), (0.25, true));
    let (crowded, fits) = of(0.35, 3);
    assert!((crowded - 0.35 / 6.0).abs() < 1e-12 && !fits, "{crowded}");
}
