//! The estimate against the practice sheet's range, and the numbers of docs/seam-bench-test.md.

use super::*;
use crate::rules::fasteners::WoodKind;
use crate::rules::fasteners::timber::C16;
use crate::rules::notation;
use crate::rules::recorder::Paper;

/// The best value alone.
fn best(fixings: &FixingsAsk, strip: &Strip, timber: &JointTimber, standard: Standard) -> Option<f64> {
    turning(&mut Silent::new(), fixings, strip, timber, standard).map(|(value, _)| value)
}

fn strip() -> Strip {
    Strip {
        count: 2,
        corner: 1.1,
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
        let e = estimate(&fixings, &strip(), &C16, Standard::Eurocode5, System::Metric).unwrap();
        assert!((1e6..3e6).contains(&e.axial), "{}", e.words);
        // The strips' twist takes from it: 1/k = 1/k_f + 2·β·L²/(G·J), three of them at sixths: β = 0.9167/9.
        let torsion = crate::section::strip::strip(0.038, 0.063, 0.0, true).unwrap().torsion;
        let twist = 2.0 * (0.916_667 / 9.0) * 1.22 * 1.22 / (C16.elastic / 16.0 * torsion);
        let fixed = 1.0 / (1.0 / e.best - twist);
        assert!((2.4e3..7e3).contains(&fixed), "{fixed}: {}", e.words);
        assert!((0.2..0.7).contains(&(e.best / fixed)), "{fixed}: {}", e.words);
        assert!(
            (e.low * 2.0 - e.best).abs() < 1e-9 * e.best && (e.high - e.best * 2.0).abs() < 1e-9 * e.best
        );
        assert!(e.words.contains("estimated") && e.words.contains("not measured"));
    }
}

#[test]
fn more_bolts_bigger_washers_and_longer_levers_are_stiffer() {
    let of = |change: &dyn Fn(&mut FixingsAsk, &mut Strip)| {
        let mut fixings = FixingsAsk::new(FixingKind::Bolt, 0.008, 3, 0.0315);
        let mut strip = strip();
        change(&mut fixings, &mut strip);
        best(&fixings, &strip, &C16, Standard::Eurocode5).unwrap()
    };
    let base = of(&|_, _| ());
    assert!(of(&|f, _| f.washer = Some(0.050)) > base);
    let more = of(&|f, _| f.per_seam = 6) / base;
    assert!((1.0..2.0).contains(&more), "the strips twist in series: {more}");
    assert!(
        of(&|f, s| {
            s.depth = 0.089;
            f.lever = 0.0445;
        }) > 1.5 * base
    );
    assert!(
        best(&FixingsAsk::new(FixingKind::Bolt, 0.008, 0, 0.03), &strip(), &C16, Standard::Nds).is_none()
    );
    assert!(best(&FixingsAsk::new(FixingKind::Bolt, 0.008, 3, 0.1), &strip(), &C16, Standard::Nds).is_none());
}

#[test]
fn the_estimate_can_be_worked_again() {
    for kind in [FixingKind::Bolt, FixingKind::CoachScrew] {
        let fixings = FixingsAsk::new(kind, 0.008, 3, 0.0315);
        let mut paper = Paper::new();
        turning(&mut paper, &fixings, &strip(), &C16, Standard::Eurocode5).unwrap();
        let u = paper.derived("stand-in", "η", "k_θ/k_θ", 1.0, "–", "");
        paper.close("estimate", "own", u);
        notation::recompute(&paper.into_checks()[0]);
    }
}

/// The worked numbers of docs/seam-bench-test.md again: a line by least squares through drops over weights, M = W·s/2 that turns the
/// seam by θ = 2·δ/s, so k = (ΔW/Δδ)·s²/(4·L); and an anchor under a lever.
#[test]
fn the_sheet_of_the_bench_test() {
    let readings = [(0.0, 0.5), (5.0, 2.4), (10.0, 4.2), (15.0, 6.1), (20.0, 7.9)];
    let (mass, drop) = (10.0, readings.map(|(_, drop)| drop).iter().sum::<f64>() / 5.0);
    let product: f64 = readings.iter().map(|(m, d)| (m - mass) * (d - drop)).sum();
    let slope = product / readings.iter().map(|(m, _)| (m - mass) * (m - mass)).sum::<f64>();
    let kilogram = crate::units::STANDARD_GRAVITY;
    let (span, length) = (1.05, 1.22);
    let stiffness = kilogram * span * span / (4.0 * length * slope * 1e-3);
    let two_figures = (stiffness / 100.0).round() * 100.0;
    assert!((slope - 0.37).abs() < 0.005 && (two_figures - 6000.0).abs() < 1e-6, "{slope} {stiffness}");
    assert!((drop - slope * mass - 0.52).abs() < 0.005);
    let text = include_str!("../../docs/seam-bench-test.md");
    for figure in ["6.0 kN·m/rad per m", "0.52 mm", "1.05 m", "1.22 m", "0.37 mm/kg"] {
        assert!(text.contains(figure), "{figure} is not in the sheet");
    }
    // 80 kg at 2.4 m lifts with 3.1 kN at 0.6 m.
    assert!((80.0 * kilogram * 2.4 / 0.6 - 3138.0).abs() < 1.0 && text.contains("3.1 kN"));
}

#[test]
fn an_estimate_is_told_in_the_units_of_the_project() {
    let fixings = FixingsAsk::new(FixingKind::Bolt, 0.008, 3, 0.0315);
    let words = |units| estimate(&fixings, &strip(), &C16, Standard::Eurocode5, units).unwrap().words;
    assert!(words(System::Metric).contains("kN·m/rad per metre") && words(System::Metric).contains("kN/mm"));
    let inches = words(System::Imperial);
    assert!(
        inches.contains("lbf·ft/rad per foot") && inches.contains("lbf/in") && !inches.contains("kN"),
        "{inches}"
    );
    assert_eq!(entered(4448.0, System::Imperial), "1000 lbf·ft/rad per foot of seam, as entered");
}

/// Two figures in each system's own units, by hand: 1 lbf·ft/rad per ft is 4.448 N·m/rad per m, 1 lbf/in is 175.1 N/m.
#[test]
fn stiffness_is_told_to_two_figures() {
    assert_eq!(entered(6712.0, System::Metric), "6.7 kN·m/rad per metre of seam, as entered");
    assert_eq!(entered(123_456.0, System::Metric), "120 kN·m/rad per metre of seam, as entered");
    assert_eq!(entered(0.0, System::Metric), "0 kN·m/rad per metre of seam, as entered");
    let fixings = FixingsAsk::new(FixingKind::Bolt, 0.008, 3, 0.0315);
    let of = |units| estimate(&fixings, &strip(), &C16, Standard::Eurocode5, units).unwrap();
    let figures = |value: f64| {
        let step = 10_f64.powi(value.log10().floor() as i32 - 1);
        notation::number((value / step).round() * step)
    };
    for (units, turn, slip) in [(System::Metric, 1e3, 1e6), (System::Imperial, 4.448_222, 175.126_8)] {
        let e = of(units);
        let [low, best, high] = [e.best / 2.0, e.best, e.best * 2.0].map(|value| figures(value / turn));
        assert!(e.words.contains(&format!("not measured: {low} ")), "{}", e.words);
        assert!(
            e.words.contains(&format!(" to {high} ")) && e.words.contains(&format!("best guess {best} "))
        );
        assert!(e.words.contains(&format!("one fixing gives {} ", figures(e.axial / slip))), "{}", e.words);
    }
}

/// The chain again in metres and newtons: washers of 24 mm, and 2·6 mm of head; 100 mm of edge, or a twentieth of the seam where that
/// is less; 38 − 10 mm of thread.
#[test]
fn the_chain_of_springs_by_hand() {
    let (e, a, t, l) = (270e6, 0.0315, 0.038, 1.22);
    let edge = |bearing: f64| e * bearing * a / (4.0 * t);
    let bolt = |count: f64, bearing: f64| {
        let steel = 210e9 * std::f64::consts::PI * 0.0034_f64.powi(2) / (2.0 * t);
        a * a * count / l / (2.0 / (e * 0.024) + 2.0 / edge(bearing) + 1.0 / steel)
    };
    let grip = 780e3 * 6.0_f64.powf(0.2) * 28.0_f64.powf(0.4);
    let screw = a * a * 3.0 / l / (1.0 / (e * 0.012) + 1.0 / grip + 2.0 / edge(0.012 + 2.0 * t));
    for (kind, diameter, count, by_hand) in [
        (FixingKind::Bolt, 0.008, 3, bolt(3.0, 0.1)),
        (FixingKind::Bolt, 0.008, 20, bolt(20.0, l / 20.0)),
        (FixingKind::Screw, 0.006, 3, screw),
    ] {
        // Spread evenly.
        let end = Some(l / f64::from(2 * count));
        let fixings = FixingsAsk { end, ..FixingsAsk::new(kind, diameter, count as usize, a) };
        let e = estimate(&fixings, &strip(), &C16, Standard::Eurocode5, System::Metric).unwrap();
        assert!((e.axial - by_hand * l / (a * a * f64::from(count))).abs() < 1e-9 * e.axial);
        // Either strip twists on average by the mean of its twist at x for a torque at y, over all pairs: evenly spread
        // fixings stand at odd parts of 2 n.
        let place = |i: i32| (f64::from(i) + 0.5) / f64::from(count);
        let twist = |x: f64, y: f64| if x < y { x * (1.0 - y) } else { y * (1.0 - x) };
        let pairs = (0..count).flat_map(|i| (0..count).map(move |j| (i, j)));
        let mean = pairs.map(|(i, j)| twist(place(i), place(j))).sum::<f64>() / f64::from(count * count);
        let torsion = crate::section::strip::strip(0.038, 0.063, 0.0, true).unwrap().torsion;
        let both = 2.0 * mean * l * l / (C16.elastic / 16.0 * torsion);
        let whole = 1.0 / (1.0 / by_hand + both);
        assert!((e.best - whole).abs() < 1e-9 * whole, "{kind:?} {} {whole}", e.best);
    }
}

/// What spreads the force into the timber: the washer, else the head, else two diameters.
#[test]
fn washer_or_head_is_the_one_that_is_there() {
    let of = |kind, change: &dyn Fn(&mut FixingsAsk)| {
        let mut fixings = FixingsAsk::new(kind, 0.006, 3, 0.0315);
        change(&mut fixings);
        let mut paper = Paper::new();
        turning(&mut paper, &fixings, &strip(), &C16, Standard::Eurocode5).unwrap();
        paper.into_steps().iter().find(|step| step.symbol == "d_w").unwrap().value
    };
    let none = |_: &mut FixingsAsk| ();
    assert!((of(FixingKind::Screw, &none) - 12.0).abs() < 1e-9);
    assert!((of(FixingKind::Screw, &|f| f.head = Some(0.0135)) - 13.5).abs() < 1e-9);
    assert!((of(FixingKind::Bolt, &|f| (f.washer, f.head) = (Some(0.022), Some(0.01))) - 22.0).abs() < 1e-9);
    assert!((of(FixingKind::Bolt, &none) - 18.0).abs() < 1e-9, "three diameters where nothing is said");
}

#[test]
fn without_a_seam_to_turn_there_is_no_estimate() {
    type Change = dyn Fn(&mut FixingsAsk, &mut Strip);
    let of = |kind, change: &Change| {
        let (mut fixings, mut strip) = (FixingsAsk::new(kind, 0.006, 3, 0.0315), strip());
        change(&mut fixings, &mut strip);
        best(&fixings, &strip, &C16, Standard::Eurocode5)
    };
    assert!(of(FixingKind::Bolt, &|_, _| ()).is_some() && of(FixingKind::Screw, &|_, _| ()).is_some());
    let nothing: [&Change; 7] = [
        &|f, _| f.per_seam = 0,
        &|f, _| f.lever = 0.0,
        &|f, _| f.diameter = 0.0,
        &|_, s| s.length = 0.0,
        &|_, s| s.length = f64::INFINITY,
        &|_, s| s.length = f64::NAN,
        // Half of 120° cuts the 38 mm away at 31.5 mm from the face.
        &|_, s| s.fold = 120.0_f64.to_radians(),
    ];
    for (at, change) in nothing.into_iter().enumerate() {
        assert!(of(FixingKind::Bolt, change).is_none(), "{at}");
    }
    assert!(of(FixingKind::Screw, &|f, _| f.length = Some(0.038)).is_none(), "no thread in the far strip");
    assert!(of(FixingKind::Bolt, &|f, _| f.length = Some(0.038)).is_some());
}
