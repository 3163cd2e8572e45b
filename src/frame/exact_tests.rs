//! The exact stiffness against closed forms, against divided bars, and its quick search against counts alone.

use std::f64::consts::PI;

use super::*;
use crate::frame::timber::TIMBER;
use crate::frame::{Bar, BarId, BarLoad, EndFix, Frame, FrameLoads, Node, NodeId};
use crate::vector::Vec3;

const HEIGHT: f64 = 3.0;
/// `E·I/L²` about the weak axis z.
const UNIT: f64 = TIMBER.elastic * TIMBER.second_moment_z / (HEIGHT * HEIGHT);

/// Only local y and rz of both ends are of interest: the other plane is far stiffer.
fn column(start: [bool; 6], end: [bool; 6], ends: [EndFix; 2]) -> Frame {
    let section = crate::frame::BarSection { second_moment_y: 1e3 * TIMBER.second_moment_z, ..TIMBER };
    let node = |x: f64, held| Node { at: Vec3::new(x, 0.0, 0.0), held, ground: [0.0; 6] };
    Frame {
        nodes: vec![node(0.0, start), node(HEIGHT, end)],
        bars: vec![Bar { from: NodeId(0), to: NodeId(1), section, up: Vec3::z(), ends }],
        ..Frame::default()
    }
}

/// Every bar in `pieces`.
pub(crate) fn divided(frame: &Frame, pieces: usize) -> Frame {
    let mut new = Frame { bars: Vec::new(), ..frame.clone() };
    for bar in &frame.bars {
        let [a, b] = [bar.from, bar.to].map(|node| frame.nodes[node.0].at);
        let mut from = bar.from;
        for piece in 1..=pieces {
            let to = if piece == pieces {
                bar.to
            } else {
                let at = a + (b - a) * (piece as f64 / pieces as f64);
                new.nodes.push(Node { at, held: [false; 6], ground: [0.0; 6] });
                NodeId(new.nodes.len() - 1)
            };
            let mut ends = [EndFix::Rigid; 2];
            if piece == 1 {
                ends[0] = bar.ends[0];
            }
            if piece == pieces {
                ends[1] = bar.ends[1];
            }
            new.bars.push(Bar { from, to, ends, ..bar.clone() });
            from = to;
        }
    }
    new
}

const FIXED: [bool; 6] = [true; 6];
const PINNED: [bool; 6] = [true, true, true, true, true, false];
const ROLLER: [bool; 6] = [false, true, true, true, true, false];
const SLEEVE: [bool; 6] = [false, true, true, true, true, true];
const FREE: [bool; 6] = [false, false, true, true, true, false];
/// Moves aside without turning.
const GUIDED: [bool; 6] = [false, false, true, true, true, true];

fn factors(frame: &Frame, count: usize) -> Vec<f64> {
    Solver::new(frame).unwrap().buckling_under(&vec![-UNIT; frame.bars.len()], count).unwrap().factors
}

/// Textbook columns as one bar (Timoshenko & Gere 1961 ch. 2, from memory; roots of tan x = x worked out again).
#[test]
fn a_column_is_exact_as_one_bar() {
    let root = 4.493_409_457_909_064_f64;
    let rigid = [EndFix::Rigid; 2];
    for (start, end, wanted) in [
        (PINNED, ROLLER, [PI * PI, 4.0 * PI * PI, 9.0 * PI * PI]),
        (FIXED, ROLLER, [root * root, 7.725_251_836_937_707_f64.powi(2), 10.904_121_659_428_9_f64.powi(2)]),
        (FIXED, SLEEVE, [4.0 * PI * PI, 4.0 * root * root, 16.0 * PI * PI]),
        (FIXED, FREE, [PI * PI / 4.0, 9.0 * PI * PI / 4.0, 25.0 * PI * PI / 4.0]),
        (FIXED, GUIDED, [PI * PI, 4.0 * PI * PI, 9.0 * PI * PI]),
    ] {
        let found = factors(&column(start, end, rigid), 3);
        for (found, wanted) in found.iter().zip(wanted) {
            assert!((found / wanted - 1.0).abs() < 2e-8, "{found} {wanted}");
        }
    }
    // A hinge at one end of the bar is a pin there; a spring k·EI/L is between the two: x(sin x − x cos x) + k(2 − 2cos x − x sin x) = 0.
    let hinged = column(FIXED, SLEEVE, [EndFix::Hinged, EndFix::Rigid]);
    assert!((factors(&hinged, 1)[0] / (root * root) - 1.0).abs() < 2e-8);
    for share in [1e-3, 0.3, 3.0, 1e3] {
        let spring = share * UNIT * HEIGHT;
        let sprung = column(FIXED, SLEEVE, [EndFix::Springs([spring; 3]), EndFix::Rigid]);
        let x = factors(&sprung, 1)[0].sqrt();
        let off = x * (x.sin() - x * x.cos()) + share * (2.0 - 2.0 * x.cos() - x * x.sin());
        assert!(off.abs() < 1e-6 * (1.0 + share), "{share} {x} {off}");
        assert!(x > root && x < 2.0 * PI);
    }
}

/// No node moves in the lowest shape, and there is none to move: the factor is found all the same, with a shape of nothing.
#[test]
fn a_bar_that_bows_alone_has_a_factor() {
    let held = column(FIXED, FIXED, [EndFix::Rigid; 2]);
    let solver = Solver::new(&held).unwrap();
    let found = solver.buckling_under(&[-UNIT], 2).unwrap();
    assert!((found.factors[0] / (4.0 * PI * PI) - 1.0).abs() < 2e-8, "{:?}", found.factors);
    assert!(found.shapes.iter().flatten().flatten().all(|v| v.abs() <= 0.0));
    assert!(solver.buckling_at_least_under(&[-UNIT], 39.4).unwrap());
    assert!(!solver.buckling_at_least_under(&[-UNIT], 39.5).unwrap());
    // Beside a longer one that moves its end.
    let mut two = column(FIXED, SLEEVE, [EndFix::Rigid; 2]);
    two.nodes.extend(column(FIXED, FREE, [EndFix::Rigid; 2]).nodes);
    two.bars.push(Bar { from: NodeId(2), to: NodeId(3), ..two.bars[0].clone() });
    let found = Solver::new(&two).unwrap().buckling_under(&[-UNIT, -UNIT * 32.0], 3).unwrap();
    for (found, wanted) in found.factors.iter().zip([1.0 / 128.0, 9.0 / 128.0, 25.0 / 128.0]) {
        assert!((found / (wanted * PI * PI) - 1.0).abs() < 2e-8, "{found}");
    }
    let found = Solver::new(&two).unwrap().buckling_under(&[-UNIT, -UNIT * 0.25], 2).unwrap();
    for (found, wanted) in found.factors.iter().zip([4.0, 1.0]) {
        assert!((found.max(wanted * PI * PI) > 0.0) && *found > 0.0);
    }
    assert!((found.factors[0] / (PI * PI) - 1.0).abs() < 2e-8, "{:?}", found.factors);
    assert!((found.factors[1] / (4.0 * PI * PI) - 1.0).abs() < 2e-8, "{:?}", found.factors);
    assert!(found.shapes[0].iter().flatten().any(|v| v.abs() > 0.5));
    assert!(found.shapes[1].iter().flatten().all(|v| v.abs() <= 0.0));
}

/// A column under its own weight, free at the top (Greenhill 1881: 7.837·EI/L², from memory), comes out low and rises to that
/// as it is divided; and standing on its free end (3.477·EI/L², worked out by dividing it) likewise. The mean would
/// err the other way there.
#[test]
fn a_column_under_its_own_weight_is_taken_on_the_safe_side() {
    for (start, end, exact) in [(FIXED, FREE, 7.837), (FREE, [true; 6], 3.477)] {
        let mut before = 0.0;
        for pieces in [1, 2, 4, 8, 16, 64] {
            let mut start = start;
            let mut end = end;
            // The heavy end carries the weight.
            if !start[0] {
                (start[0], end[0]) = (true, false);
            }
            let mut frame = divided(&column(start, end, [EndFix::Rigid; 2]), pieces);
            for node in 2..frame.nodes.len() {
                frame.nodes[node].held = FREE;
            }
            let line = Vec3::new(-UNIT / HEIGHT, 0.0, 0.0);
            let of = |bar: usize| BarLoad {
                bar: BarId(bar),
                span: [0.0, HEIGHT / pieces as f64],
                intensity: [line; 2],
            };
            let loads = FrameLoads { bars: (0..pieces).map(of).collect(), ..FrameLoads::default() };
            let solver = Solver::new(&frame).unwrap();
            let response = solver.solve(&[loads]).unwrap().remove(0);
            let factor = solver.buckling(&response, 1).unwrap().factors[0];
            assert!(factor > before && factor < exact, "{pieces}: {factor} {exact}");
            before = factor;
            if pieces == 1 {
                assert!((factor / (PI * PI / 4.0) - 1.0).abs() < 1e-6);
            }
        }
        assert!(before > 0.97 * exact, "{before} {exact}");
    }
}

/// Repeated more often than any block is wide, and together with others: all copies are found, quickly and by counts.
#[test]
fn every_copy_of_a_repeated_factor_is_found() {
    for count in [1, 4, 9] {
        let mut frame = Frame::default();
        for _ in 0..count {
            let one = column(FIXED, ROLLER, [EndFix::Rigid; 2]);
            let first = frame.nodes.len();
            frame.nodes.extend(one.nodes);
            frame.bars.push(Bar { from: NodeId(first), to: NodeId(first + 1), ..one.bars[0].clone() });
        }
        let solver = Solver::new(&frame).unwrap();
        let axial = vec![-UNIT; count];
        let exact = solver.exact().unwrap();
        let found = solver.buckling_under(&axial, 1).unwrap();
        assert_eq!(found.factors.len(), count);
        for factor in &found.factors {
            assert!((factor / 20.190_728_556_426_6 - 1.0).abs() < 1e-9, "{factor}");
            assert!(found.below > *factor);
            let search = Search::new(&solver, exact, &axial).unwrap();
            assert_eq!(
                [1.0 - 1e-6, 1.0 + 1e-6].map(|off| search.count(factor * off)),
                [Some(0), Some(count)]
            );
        }
        assert!(found.residuals.iter().all(|off| *off < 1e-6));
        let apart = |k: usize| found.shapes[k].iter().flatten().map(|v| v.abs()).sum::<f64>();
        assert!((0..count).all(|k| apart(k) > 0.5));
    }
}

/// Where forces pull, and where nothing is asked for.
#[test]
fn nothing_pushed_and_nothing_asked() {
    let solver = Solver::new(&column(FIXED, FREE, [EndFix::Rigid; 2])).unwrap();
    let pulled = solver.buckling_under(&[UNIT], 3).unwrap();
    assert!(pulled.factors.is_empty() && pulled.below.is_infinite());
    assert!(solver.buckling_at_least_under(&[UNIT], 1e9).unwrap());
    assert!(solver.buckling_under(&[-UNIT], 0).unwrap().below <= 0.0);
}
