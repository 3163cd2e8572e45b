//! What is advised where a fixing does not fit: sizes in sale, thinner ones, deeper strips.

use super::*;
use crate::rules::fasteners::WoodKind;
use crate::units::INCH;

fn strip(depth: f64, fold_deg: f64) -> Strip {
    Strip {
        breadth: 0.047,
        depth,
        fold: fold_deg.to_radians(),
        bevelled: true,
        length: 1.22,
        wood: WoodKind::Softwood,
        density_k: 310.0,
    }
}

#[test]
fn sizes_are_those_in_sale() {
    let ends = |kind, standard| {
        let all = sizes(kind, standard);
        assert!(all.windows(2).all(|pair| pair[0] < pair[1]), "{all:?}");
        (all[0], all[all.len() - 1])
    };
    let near = |(a, b): (f64, f64), (c, d): (f64, f64)| (a - c).abs() < 1e-9 && (b - d).abs() < 1e-9;
    for kind in [FixingKind::Bolt, FixingKind::CoachScrew] {
        assert!(near(ends(kind, Standard::Eurocode5), (0.006, 0.016)));
        assert!(near(ends(kind, Standard::Nds), (0.25 * INCH, 0.75 * INCH)));
    }
    assert!(near(ends(FixingKind::Screw, Standard::Eurocode5), (0.004, 0.010)));
    // No. 6 to No. 24, NDS Appendix L.
    assert!(near(ends(FixingKind::Screw, Standard::Nds), (0.138 * INCH, 0.372 * INCH)));
}

/// Two thirds as thick: root and washer two thirds as wide, but no washer under three diameters.
#[test]
fn a_thinner_fixing_is_thinner_all_over() {
    let bolt = FixingsAsk::new(FixingKind::Bolt, 0.012, 3, 0.05);
    let whole = FixingsAsk { root: Some(0.009), washer: Some(0.060), ..bolt };
    let thin = thinned(&whole, 0.008);
    assert!((thin.diameter - 0.008).abs() < 1e-12 && (thin.lever - 0.05).abs() < 1e-12);
    assert!((thin.root.unwrap() - 0.006).abs() < 1e-12 && (thin.washer.unwrap() - 0.040).abs() < 1e-12);
    let small = thinned(&FixingsAsk { washer: Some(0.030), ..bolt }, 0.008);
    assert!((small.washer.unwrap() - 0.024).abs() < 1e-12 && small.root.is_none());
}

/// Across the grain a bolt wants 4d to either face: of 75 mm with a bolt at mid-depth that leaves 9.4 mm.
#[test]
fn the_thickest_thinner_fixing_is_named() {
    let of = |d: f64, washer: Option<f64>| {
        let fixings = FixingsAsk { washer, ..FixingsAsk::new(FixingKind::Bolt, d, 3, 0.0375) };
        nearest_that_fits(&fixings, &strip(0.075, 0.0), Standard::Eurocode5, 90.0)
    };
    for asked in [0.010, 0.012, 0.016, 0.020] {
        assert!((of(asked, None).unwrap() - 0.008).abs() < 1e-12, "{asked}");
    }
    // An 8 mm bolt under too small a washer is not helped by an 8 mm bolt.
    assert!((of(0.008, Some(0.020)).unwrap() - 0.006).abs() < 1e-12);
    assert!(of(0.006, None).is_none(), "there is none thinner");
}

/// 4d each way is 96 mm for an M12, so 100 mm in steps of 5; a bevel of half of 18° takes 47 mm·tan 9° = 7.4 mm more from either half.
#[test]
fn the_least_depth_that_would_do_is_named() {
    let bolt = FixingsAsk::new(FixingKind::Bolt, 0.012, 3, 0.020);
    let of = |fold: f64| depth_that_fits(&bolt, &strip(0.040, fold), Standard::Eurocode5, 90.0);
    assert!((of(0.0).unwrap() - 0.100).abs() < 1e-12 && (of(18.0).unwrap() - 0.115).abs() < 1e-12);
    let words = why_not(&bolt, &strip(0.040, 0.0), Standard::Eurocode5, 90.0, System::Metric).unwrap();
    assert!(words.contains("a strip 100 mm deep with the bolt at mid-depth would"), "{words}");
    // A hundred bolts stand too near each other at any depth.
    let crowded = FixingsAsk { per_seam: 100, ..bolt };
    assert!(depth_that_fits(&crowded, &strip(0.040, 0.0), Standard::Eurocode5, 90.0).is_none());
    let words = why_not(&crowded, &strip(0.040, 0.0), Standard::Eurocode5, 90.0, System::Metric).unwrap();
    assert!(words.ends_with("no thinner bolt in common sale would do"), "{words}");
}

/// An M12 that wants 48 mm to either face, 20 mm from one face of a strip of 100 mm: nothing deeper is wanted where its middle would
/// do. Thinner ones would stand too near the face too: 4d of an M6 is 24 mm.
#[test]
fn the_middle_of_the_strip_itself_is_named_before_a_deeper_one() {
    let bolt = FixingsAsk::new(FixingKind::Bolt, 0.012, 3, 0.020);
    let words = why_not(&bolt, &strip(0.100, 0.0), Standard::Eurocode5, 90.0, System::Metric).unwrap();
    assert!(words.ends_with("would do; at mid-depth, 50 mm from either face, it would fit"), "{words}");
    let deeper = depth_that_fits(&bolt, &strip(0.100, 0.0), Standard::Eurocode5, 90.0).unwrap();
    assert!((deeper - 0.105).abs() < 1e-12, "deeper than the strip is");
}
