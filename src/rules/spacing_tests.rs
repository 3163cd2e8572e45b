//! Distances: the traps of the sheets, bevels, and every printed formula worked again.

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
    let edge = |d: f64| distances(&bolt(d * INCH, 1.75 * INCH), &rib, Standard::Nds, 90.0)[0].utilisation();
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
