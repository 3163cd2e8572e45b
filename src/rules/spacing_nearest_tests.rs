//! What is advised where a fixing does not fit: sizes in sale, thinner ones, deeper strips.

use super::*;
use crate::rules::fasteners::WoodKind;
use crate::units::INCH;

fn strip(depth: f64, fold_deg: f64) -> Strip {
    Strip {
        count: 2,
        corner: 1.1,
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

/// Two thirds as thick: the root two thirds as wide, the washer as asked for, or the one that goes with it.
#[test]
fn a_thinner_fixing_has_a_thinner_root() {
    let bolt = FixingsAsk::new(FixingKind::Bolt, 0.012, 3, 0.05);
    let whole = FixingsAsk { root: Some(0.009), washer: Some(0.060), ..bolt };
    let taken = |washer| Advice::Thinner { diameter: 0.008, washer }.taken(&whole, &strip(0.1, 0.0)).0;
    let thin = taken(None);
    assert!((thin.diameter - 0.008).abs() < 1e-12 && (thin.lever - 0.05).abs() < 1e-12);
    assert!((thin.root.unwrap() - 0.006).abs() < 1e-12 && (thin.washer.unwrap() - 0.060).abs() < 1e-12);
    assert!((taken(Some(0.024)).washer.unwrap() - 0.024).abs() < 1e-12);
}

fn seam<'a>(fixings: &'a FixingsAsk, strip: &'a Strip) -> Seam<'a> {
    Seam { fixings, strip, standard: Standard::Eurocode5, shear: WIDEST, units: System::Metric }
}

/// Across the grain a bolt wants 4d to either face: of 75 mm with a bolt at mid-depth that leaves 9.4 mm.
#[test]
fn the_thickest_thinner_fixing_is_named() {
    let of = |d: f64, washer: Option<f64>| {
        let fixings = FixingsAsk { washer, ..FixingsAsk::new(FixingKind::Bolt, d, 3, 0.0375) };
        match seam(&fixings, &strip(0.075, 0.0)).thinner() {
            Some(Advice::Thinner { diameter, washer }) => Some((diameter, washer)),
            _ => None,
        }
    };
    for asked in [0.010, 0.012, 0.016, 0.020] {
        let (diameter, washer) = of(asked, None).unwrap();
        assert!((diameter - 0.008).abs() < 1e-12 && washer.is_none(), "{asked}");
    }
    // An 8 mm bolt under too small a washer is not helped by an 8 mm bolt.
    assert!((of(0.008, Some(0.020)).unwrap().0 - 0.006).abs() < 1e-12);
    assert!(of(0.006, None).is_none(), "there is none thinner");
    // A washer that hangs over the face is no better under a thinner bolt: its own is named, three diameters.
    let (diameter, washer) = of(0.012, Some(0.080)).unwrap();
    assert!((diameter - 0.008).abs() < 1e-12 && (washer.unwrap() - 0.024).abs() < 1e-12);
}

/// 4d each way is 96 mm for an M12, so 100 mm in steps of 5; a bevel of half of 18° takes 47 mm·tan 9° = 7.4 mm more from either half.
#[test]
fn the_least_depth_that_would_do_is_named() {
    let bolt = FixingsAsk::new(FixingKind::Bolt, 0.012, 3, 0.020);
    let of = |fold: f64| match seam(&bolt, &strip(0.040, fold)).deeper() {
        Some(Advice::Deeper { depth }) => depth,
        other => panic!("{other:?}"),
    };
    assert!((of(0.0) - 0.100).abs() < 1e-12 && (of(18.0) - 0.115).abs() < 1e-12);
    let words = why_not(&bolt, &strip(0.040, 0.0), Standard::Eurocode5, 90.0, System::Metric).unwrap();
    assert!(words.contains("a strip 100 mm deep with the bolt at mid-depth would"), "{words}");
    // A hundred bolts stand too near each other at any depth.
    let crowded = FixingsAsk { per_seam: 100, ..bolt };
    assert!(seam(&crowded, &strip(0.040, 0.0)).deeper().is_none());
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
    let Some(Advice::Deeper { depth }) = seam(&bolt, &strip(0.100, 0.0)).deeper() else { panic!() };
    assert!((depth - 0.105).abs() < 1e-12, "deeper than the strip is");
}

/// Outside means outside of a flat strip: 45 mm to the near face of 100 and 55 to the far one are more than 3d of an M12, 36 mm. That half of
/// 60° takes 47 mm·tan 30° = 27 mm from the farther one is for the checks of the seam that is folded so.
#[test]
fn what_a_fold_alone_takes_away_is_not_outside() {
    let of = |lever: f64, fold: f64| {
        let bolt = FixingsAsk::new(FixingKind::Bolt, 0.012, 3, lever);
        let (strip, standard) = (strip(0.100, fold), Standard::Eurocode5);
        (outside(&bolt, &strip, standard, System::Metric).is_some(), fits(&bolt, &strip, standard, 0.0))
    };
    assert_eq!(of(0.045, 0.0), (false, true));
    assert_eq!(of(0.045, 60.0), (false, false));
    assert_eq!(of(0.035, 0.0), (true, false));
}

/// The washer that is assumed wants as much room as the NDS does along the grain, half of 3 D and 1.5 D: what is told of is the standard's
/// distance; a wider washer that was asked for is told of itself.
#[test]
fn the_edge_distance_is_told_of_before_a_washer_that_wants_as_much() {
    let of = |washer: Option<f64>| {
        let bolt = FixingsAsk { washer, ..FixingsAsk::new(FixingKind::Bolt, 0.5 * INCH, 3, 0.5 * INCH) };
        outside(&bolt, &strip(3.5 * INCH, 0.0), Standard::Nds, System::Imperial).unwrap()
    };
    let assumed = of(None);
    assert!(assumed.contains("edge distance of the fixings is 0.5 in and 0.75 in is wanted"), "{assumed}");
    let wide = of(Some(2.0 * INCH));
    assert!(wide.contains("washer on the strip's face is 0.5 in and 1 in is wanted"), "{wide}");
}

fn flat(depth: f64) -> Strip {
    strip(depth, 0.0)
}

/// Takes a sentence's advice as its reader would: the figures that are printed, into the project. Each comes with the angles to the
/// grain \[°\] that it is given for; none where there is no advice.
fn followed(
    words: &str,
    fixings: &FixingsAsk,
    strip: &Strip,
    here: f64,
) -> Vec<(FixingsAsk, Strip, Vec<f64>)> {
    let length = |text: &str| {
        let text: Vec<&str> = text.split(' ').take(2).collect();
        crate::units::parse(text.join(" ").trim_end_matches(','), crate::units::Dimension::Length).unwrap()
    };
    let all = vec![0.0, 30.0, 60.0, 90.0];
    let angles = || {
        let one = if words.contains("where forces run along the grain") {
            Some(0.0)
        } else {
            words.contains("as it is sheared here").then_some(here)
        };
        one.map_or(all.clone(), |angle| vec![angle])
    };
    if let Some(rest) = words.split("at mid-depth, ").nth(1) {
        return vec![(FixingsAsk { lever: length(rest), ..*fixings }, *strip, angles())];
    }
    let last = words.rsplit("; ").next().unwrap();
    if let Some(rest) = last.strip_prefix("a strip ") {
        let depth = length(rest);
        return vec![(FixingsAsk { lever: depth / 2.0, ..*fixings }, Strip { depth, ..*strip }, all)];
    }
    if last.starts_with("no ") || !last.contains(" would do") {
        return Vec::new();
    }
    let fixing = |part: &str| {
        let diameter = length(part.split_once(' ').unwrap().1);
        let washer = part.split("a washer of ").nth(1).map(length).or(fixings.washer);
        FixingsAsk { diameter, washer, ..*fixings }
    };
    let (first, second) = last.split_once(" would do").unwrap();
    let mut found = vec![(fixing(first), *strip, angles())];
    if second.contains("whichever way they run") {
        found.push((fixing(second.split_once(", ").unwrap().1), *strip, all));
    }
    found
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(4000))]

    /// Advice that is taken fits, however the seam is folded up to what was said, and sheared as it says.
    #[test]
    fn advice_that_is_taken_fits(
        kind in 0..3_usize,
        millimetres in (4.0..24.0_f64, 38.0..100.0_f64, 40.0..200.0_f64, 0.0..1.0_f64),
        washer in proptest::option::of(10.0..90.0_f64),
        per_seam in 1..6_usize,
        fold_deg in 0.0..50.0_f64,
        bevelled: bool,
        imperial: bool,
        nds: bool,
        angle in proptest::prop_oneof![proptest::strategy::Just(0.0), 0.0..90.0_f64],
    ) {
        let (diameter, breadth, depth, lever) = millimetres;
        let kind = [FixingKind::Bolt, FixingKind::Screw, FixingKind::CoachScrew][kind];
        let standard = if nds { Standard::Nds } else { Standard::Eurocode5 };
        let units = if imperial { System::Imperial } else { System::Metric };
        let strip = Strip {
            breadth: breadth * 1e-3,
            bevelled,
            fold: fold_deg.to_radians(),
            ..flat(depth * 1e-3)
        };
        let fixings = FixingsAsk {
            washer: washer.map(|washer| washer * 1e-3),
            ..FixingsAsk::new(kind, diameter * 1e-3, per_seam, lever * depth * 1e-3)
        };
        if let Some(words) = why_not(&fixings, &strip, standard, angle, units) {
            for (fixings, taken, angles) in followed(&words, &fixings, &strip, angle) {
                for degrees in angles {
                    proptest::prop_assert!(fits(&fixings, &taken, standard, degrees), "{} {}", words, degrees);
                }
            }
        }
        let long = Strip { length: 1e3, ..strip };
        if let Some(words) = outside(&fixings, &long, standard, units) {
            for (fixings, taken, angles) in followed(&words, &fixings, &long, 0.0) {
                for part in [0.0, 0.5, 1.0] {
                    let less = Strip { fold: taken.fold * part, ..taken };
                    proptest::prop_assert!(outside(&fixings, &less, standard, units).is_none(), "{}", words);
                    for &degrees in &angles {
                        proptest::prop_assert!(fits(&fixings, &less, standard, degrees), "{} {}", words, part);
                    }
                }
            }
        }
    }
}
