//! The estimate against the practice sheet's range, and the numbers of docs/seam-bench-test.md.

use super::*;
use crate::rules::fasteners::WoodKind;
use crate::rules::notation;
use crate::rules::recorder::Paper;

fn c16() -> JointTimber {
    JointTimber {
        wood: WoodKind::Softwood,
        density_k: 310.0,
        density_mean: 370.0,
        compression_across: 2.2e6,
        specific_gravity: 0.33,
        elastic: 8.0e9,
        elastic_across: 270e6,
    }
}

fn strip() -> Strip {
    Strip {
        breadth: 0.038,
        depth: 0.063,
        fold: 0.0,
        bevelled: true,
        length: 1.22,
        wood: WoodKind::Softwood,
        density_k: 310.0,
    }
}

/// Practice: one M8 with an ordinary washer or one 6 mm screw, about 1 to 3 kN/mm along its axis; with three on
/// 1.22 m at 32 mm, 2.4 to 7 kN·m/rad per metre.
#[test]
fn the_estimate_lies_in_the_range_of_practice() {
    let mut bolt = FixingsAsk::new(FixingKind::Bolt, 0.008, 3, 0.0315);
    bolt.washer = Some(0.024);
    let mut screw = FixingsAsk::new(FixingKind::Screw, 0.006, 3, 0.0315);
    screw.head = Some(0.012);
    for fixings in [bolt, screw] {
        let e = estimate(&fixings, &strip(), &c16(), Standard::Eurocode5, Some(2.0), System::Metric).unwrap();
        assert!((1e6..3e6).contains(&e.axial), "{}", e.words);
        assert!((2.4e3..7e3).contains(&e.best), "{}", e.words);
        assert!(e.low < e.best && e.best < e.high);
        assert!((e.long_term.unwrap() - e.best / 5.0).abs() < 1e-9, "k_def 2.0 doubled for joints");
        assert!(e.words.contains("estimated") && e.words.contains("not measured"));
        let value = best(&fixings, &strip(), &c16(), Standard::Eurocode5).unwrap();
        assert_eq!(value.to_bits(), e.best.to_bits());
    }
}

#[test]
fn more_bolts_bigger_washers_and_longer_levers_are_stiffer() {
    let of = |change: &dyn Fn(&mut FixingsAsk, &mut Strip)| {
        let mut fixings = FixingsAsk::new(FixingKind::Bolt, 0.008, 3, 0.0315);
        let mut strip = strip();
        change(&mut fixings, &mut strip);
        best(&fixings, &strip, &c16(), Standard::Eurocode5).unwrap()
    };
    let base = of(&|_, _| ());
    assert!(of(&|f, _| f.washer = Some(0.050)) > base);
    assert!((of(&|f, _| f.per_seam = 6) / base - 2.0).abs() < 1e-9);
    assert!(
        of(&|f, s| {
            s.depth = 0.089;
            f.lever = 0.0445;
        }) > 1.9 * base
    );
    assert!(
        best(&FixingsAsk::new(FixingKind::Bolt, 0.008, 0, 0.03), &strip(), &c16(), Standard::Nds).is_none()
    );
    assert!(
        best(&FixingsAsk::new(FixingKind::Bolt, 0.008, 3, 0.1), &strip(), &c16(), Standard::Nds).is_none()
    );
}

#[test]
fn the_estimate_can_be_worked_again() {
    for kind in [FixingKind::Bolt, FixingKind::CoachScrew] {
        let fixings = FixingsAsk::new(kind, 0.008, 3, 0.0315);
        let mut paper = Paper::new();
        turning(&mut paper, &fixings, &strip(), &c16(), Standard::Eurocode5).unwrap();
        let u = paper.derived("stand-in", "η", "k_θ/k_θ", 1.0, "–", "");
        paper.close("estimate", "own", u);
        notation::recompute(&paper.into_checks()[0]);
    }
}

/// The worked numbers of docs/seam-bench-test.md.
#[test]
fn the_sheet_of_the_bench_test() {
    let kilogram = crate::units::STANDARD_GRAVITY;
    let readings: Vec<Reading> = [(0.0, 0.5), (5.0, 2.4), (10.0, 4.2), (15.0, 6.1), (20.0, 7.9)]
        .map(|(mass, millimetres)| Reading { load: mass * kilogram, drop: millimetres * 1e-3 })
        .to_vec();
    let bench = Bench { span: 1.05, length: 1.22, frames_share: 0.10 };
    let found = measured(&readings, &bench).unwrap();
    let two_figures = |value: f64| (value / 100.0).round() * 100.0;
    assert!((two_figures(found.stiffness) - 6700.0).abs() < 1e-6, "{}", found.stiffness);
    assert!((found.play - 0.001_0).abs() < 5e-5, "{}", found.play);
    assert!(found.scatter < 0.01);
    let text = include_str!("../../docs/seam-bench-test.md");
    for figure in ["6.7 kN·m/rad per m", "0.52 mm", "1.05 m", "1.22 m", "0.37 mm/kg"] {
        assert!(text.contains(figure), "{figure} is not in the sheet");
    }
    // By hand, from the sheet: slope 0.37 mm per kg.
    let by_hand = 1.05_f64.powi(2) / (4.0 * 1.22 * (0.37e-3 / 9.81) * 0.9);
    assert!((by_hand - found.stiffness).abs() < 0.01 * found.stiffness, "{by_hand}");
    // The anchor: 80 kg at 2.4 m lifts with 3.1 kN at 0.6 m.
    let pull = anchor_pull(80.0 * kilogram, 2.4, 0.6).unwrap();
    assert!((pull - 3138.0).abs() < 1.0 && text.contains("3.1 kN"));
    assert!(anchor_pull(1.0, 0.0, 1.0).is_none());
}

#[test]
fn a_bench_test_gives_back_the_stiffness_it_was_made_from() {
    let bench = Bench { span: 0.9, length: 1.1, frames_share: 0.0 };
    let k = 3200.0;
    let readings: Vec<Reading> = (0..5)
        .map(|i| {
            let load = 40.0 * f64::from(i);
            let turn = 0.004 + load * bench.span / 2.0 / (k * bench.length);
            Reading { load, drop: turn * bench.span / 2.0 }
        })
        .collect();
    let found = measured(&readings, &bench).unwrap();
    assert!((found.stiffness - k).abs() < 1e-6 * k);
    assert!((found.play - 0.004).abs() < 1e-9);
    assert!(found.scatter < 1e-9);
}

#[test]
fn readings_that_give_no_line_are_refused() {
    let bench = Bench { span: 1.0, length: 1.0, frames_share: 0.0 };
    let at = |load, drop| Reading { load, drop };
    assert_eq!(measured(&[at(1.0, 1.0)], &bench), Err(BenchError::TooFew { count: 1 }));
    let same = [at(1.0, 1.0), at(1.0, 2.0), at(1.0, 3.0)];
    assert_eq!(measured(&same, &bench), Err(BenchError::NoSlope));
    let rising = [at(1.0, 3.0), at(2.0, 2.0), at(3.0, 1.0)];
    assert_eq!(measured(&rising, &bench), Err(BenchError::NoSlope));
    let flat = Bench { span: 0.0, ..bench };
    assert!(matches!(measured(&same, &flat), Err(BenchError::Size { what: "span", .. })));
    let soft = Bench { frames_share: 0.95, ..bench };
    assert!(matches!(measured(&same, &soft), Err(BenchError::Share { .. })));
}

#[test]
fn an_estimate_is_told_in_the_units_of_the_project() {
    let fixings = FixingsAsk::new(FixingKind::Bolt, 0.008, 3, 0.0315);
    let words = |units| estimate(&fixings, &strip(), &c16(), Standard::Eurocode5, None, units).unwrap().words;
    assert!(words(System::Metric).contains("kN·m/rad per metre") && words(System::Metric).contains("kN/mm"));
    let inches = words(System::Imperial);
    assert!(
        inches.contains("lb·ft/rad per foot") && inches.contains("lb/in") && !inches.contains("kN"),
        "{inches}"
    );
    assert_eq!(entered(4448.0, System::Imperial), "1000 lb·ft/rad per foot of seam, as entered");
}
