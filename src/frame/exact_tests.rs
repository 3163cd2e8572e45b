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
/// Moves aside and turns, and not along.
const ACROSS: [bool; 6] = [true, false, true, true, true, false];
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

/// In any unit of force: the factors of forces a million times as large are a millionth, the same in number, and as close to the
/// closed forms; so are repeated ones and those in which no node moves.
#[test]
fn factors_do_not_depend_on_the_size_of_the_forces() {
    let mut frame = column(PINNED, ROLLER, [EndFix::Rigid; 2]);
    for (start, end) in [(FIXED, FIXED), (PINNED, ROLLER), (FIXED, FREE)] {
        let one = column(start, end, [EndFix::Rigid; 2]);
        let first = frame.nodes.len();
        frame.nodes.extend(one.nodes);
        frame.bars.push(Bar { from: NodeId(first), to: NodeId(first + 1), ..one.bars[0].clone() });
    }
    let solver = Solver::new(&frame).unwrap();
    let euler = PI * PI;
    let wanted = [0.25, 1.0, 1.0, 2.25, 4.0, 4.0, 4.0, 6.25].map(|times| times * euler);
    for size in [1e-6, 1.0, 1e6] {
        let axial = [-UNIT * size; 4];
        for count in [1, 3, 4, 6, 8] {
            let found = solver.buckling_under(&axial, count).unwrap();
            // A repeated one is not cut in half.
            let whole = [0, 1, 3, 3, 4, 7, 7, 7, 8][count];
            assert_eq!(found.factors.len(), whole, "{size} {count}: {:?}", found.factors);
            // Counts close in on what moves no node to 1e-8.
            for (index, (factor, wanted)) in found.factors.iter().zip(wanted).enumerate() {
                assert!((factor * size / wanted - 1.0).abs() < 1e-8, "{size} {count}: {:?}", found.factors);
                let moves = found.shapes[index].iter().flatten().any(|v| v.abs() > 0.5);
                let residual = found.residuals[index];
                assert!(residual <= STILL && moves != (residual <= 0.0), "{residual}");
            }
            assert!(found.below > found.factors[whole - 1]);
            assert!(found.below * size < 1.001 * wanted.get(whole).copied().unwrap_or(f64::INFINITY));
            if count == 6 {
                let still =
                    found.shapes.iter().filter(|shape| shape.iter().flatten().all(|v| v.abs() <= 0.0));
                assert_eq!(still.count(), 1, "one of the three at 4π² moves no node");
            }
            for (index, factor) in found.factors.iter().enumerate() {
                assert!(
                    solver.buckling_at_least_under(&axial, factor * (1.0 - 1e-5)).unwrap() == (index == 0)
                );
                assert!(!solver.buckling_at_least_under(&axial, factor * (1.0 + 1e-5)).unwrap());
            }
        }
    }
}

/// A rod that pushes, with hinges at both ends, against the tip of a cantilever in its line: 3EI/L³ of the tip holds N/H of the
/// rod. That is the only factor there is, however many are asked for.
#[test]
fn a_list_ends_where_there_are_no_more() {
    let mut frame = column(FIXED, ACROSS, [EndFix::Rigid; 2]);
    let rod = 0.7;
    frame.nodes.push(Node { at: Vec3::new(HEIGHT + rod, 0.0, 0.0), held: FIXED, ground: [0.0; 6] });
    frame.bars.push(Bar {
        from: NodeId(1),
        to: NodeId(2),
        ends: [EndFix::Hinged; 2],
        ..frame.bars[0].clone()
    });
    let solver = Solver::new(&frame).unwrap();
    for size in [1e-6, 1.0, 1e6] {
        let found = solver.buckling_under(&[0.0, -UNIT * size], 3).unwrap();
        let wanted = 3.0 * rod / HEIGHT;
        assert_eq!(found.factors.len(), 1, "{:?}", found.factors);
        assert!((found.factors[0] * size / wanted - 1.0).abs() < 1e-8, "{:?}", found.factors);
        assert!(
            found.below > 1e6 * found.factors[0] && found.below < 1e15 * found.factors[0],
            "{}",
            found.below
        );
        // With the tip pulled nothing buckles at all.
        let pulled = solver.buckling_under(&[0.0, UNIT * size], 3).unwrap();
        assert!(pulled.factors.is_empty() && pulled.below.is_infinite());
    }
}

/// Every look solves for as many right-hand sides as it has vectors, twice: of this column all three unknowns, that is.
#[test]
fn what_a_list_costs_is_told() {
    let solver = Solver::new(&column(PINNED, ROLLER, [EndFix::Rigid; 2])).unwrap();
    let found = solver.buckling_under(&[-UNIT], 1).unwrap();
    assert!(found.applications >= 6 && found.applications < 300, "{}", found.applications);
    assert_eq!(found.applications % 6, 0, "{}", found.applications);
}

/// A portal whose posts sway and whose beam is as stiff as they are, hardly shortening: β = L·√(N/EI) of tan β = −β/6 (any
/// text). The stiffer it is along, the more digits rounding takes, and the told residual says so.
#[test]
fn a_frame_that_hardly_shortens_keeps_its_factor() {
    let (mut below, mut above) = (0.5 * PI, PI);
    for _ in 0..60 {
        let middle = 0.5 * (below + above);
        if middle.tan() < -middle / 6.0 { below = middle } else { above = middle }
    }
    let wanted = below * below;
    for (times, near) in [(1e2, 1e-5), (1e4, 1e-7), (1e6, 1e-6)] {
        let held = |z: f64| if z > 0.0 { [false, true, false, true, false, true] } else { FIXED };
        let node = |x: f64, z: f64| Node { at: Vec3::new(x, 0.0, z), held: held(z), ground: [0.0; 6] };
        let section = crate::frame::BarSection { area: times * TIMBER.area, ..TIMBER };
        let ends = [EndFix::Rigid; 2];
        let bar = |from, to| Bar { from: NodeId(from), to: NodeId(to), section, up: Vec3::y(), ends };
        let frame = Frame {
            nodes: vec![node(0.0, 0.0), node(0.0, HEIGHT), node(HEIGHT, HEIGHT), node(HEIGHT, 0.0)],
            bars: vec![bar(0, 1), bar(1, 2), bar(2, 3)],
            ..Frame::default()
        };
        let found = Solver::new(&frame).unwrap().buckling_under(&[-UNIT, 0.0, -UNIT], 2).unwrap();
        let off = (found.factors[0] / wanted - 1.0).abs();
        assert!(off < near, "{times}: {} {wanted} {:?}", found.factors[0], found.residuals);
        assert!(found.shapes[0].iter().flatten().any(|v| v.abs() > 0.5));
    }
}

/// Two rods across a cantilever, at its middle and at its tip, that push and pull: with the cantilever's flexibilities F of unit forces
/// there (any text) the factor makes det(1 + λ·F·N/H) nothing, a quadratic whose one root is negative. Its shape moves
/// nodes, though there are more vectors than directions in which rods push.
#[test]
fn a_factor_is_found_beside_what_is_pulled() {
    let (half, rod) = (0.5 * HEIGHT, 0.7);
    let mut frame = divided(&column(FIXED, ACROSS, [EndFix::Rigid; 2]), 2);
    frame.nodes[2].held = ACROSS;
    for (node, along) in [(2, half), (1, HEIGHT)] {
        frame.nodes.push(Node { at: Vec3::new(along, 0.0, rod), held: FIXED, ground: [0.0; 6] });
        let to = NodeId(frame.nodes.len() - 1);
        frame.bars.push(Bar {
            from: NodeId(node),
            to,
            up: Vec3::x(),
            ends: [EndFix::Hinged; 2],
            ..frame.bars[0].clone()
        });
    }
    let bending = TIMBER.elastic * TIMBER.second_moment_z;
    let middle = half.powi(3) / (3.0 * bending);
    let both = half * half * (3.0 * HEIGHT - half) / (6.0 * bending);
    let tip = HEIGHT.powi(3) / (3.0 * bending);
    let solver = Solver::new(&frame).unwrap();
    for (first, second) in [(-1.0, 0.4), (0.4, -1.0), (-1.0, 30.0), (30.0, -1.0)] {
        let [g1, g2] = [first, second].map(|times| times * UNIT / rod);
        // a·λ² + b·λ + 1 = 0.
        let (a, b) = (g1 * g2 * (middle * tip - both * both), g1 * middle + g2 * tip);
        let root = (b * b - 4.0 * a).sqrt();
        let wanted = [(-b + root) / (2.0 * a), (-b - root) / (2.0 * a)].into_iter().fold(0.0, f64::max);
        for count in [1, 3] {
            let found = solver.buckling_under(&[0.0, 0.0, first * UNIT, second * UNIT], count).unwrap();
            assert_eq!(found.factors.len(), 1, "{:?}", found.factors);
            assert!((found.factors[0] / wanted - 1.0).abs() < 1e-10, "{:?} {wanted}", found.factors);
            assert!(found.residuals[0] < 1e-8 && found.shapes[0].iter().flatten().any(|v| v.abs() > 0.5));
        }
    }
}

/// The small problem by hand: 2a = λb and 8b = λa give λ = ±4 and a = 2b; a form that takes nothing has no factor, nor has one that
/// is no number. A second direction that the form does not reach takes part in the shape: (2 + 1)·a − b = λa and b = a give 2.
#[test]
fn the_small_problem_keeps_the_positive_factors() {
    let two = |m: [[f64; 2]; 2]| Mat::from_fn(2, 2, |i, j| m[i][j]);
    for size in [1e-9, 1.0, 1e9] {
        let times = |m: [[f64; 2]; 2]| two(m.map(|row| row.map(|v| v * size)));
        let (factors, vectors) =
            reduced(&times([[2.0, 0.0], [0.0, 8.0]]), &two([[0.0, 1.0], [1.0, 0.0]])).unwrap();
        assert_eq!((factors.len(), vectors.ncols()), (1, 1));
        assert!((factors[0] / (4.0 * size) - 1.0).abs() < 1e-12, "{factors:?}");
        assert!((vectors[(0, 0)] / vectors[(1, 0)] - 2.0).abs() < 1e-12);
        assert!((vectors.col(0).norm_l2() - 1.0).abs() < 1e-12);
        let (factors, vectors) =
            reduced(&times([[3.0, -1.0], [-1.0, 1.0]]), &two([[1.0, 0.0], [0.0, 0.0]])).unwrap();
        assert_eq!(factors.len(), 1);
        assert!((factors[0] / (2.0 * size) - 1.0).abs() < 1e-12, "{factors:?}");
        assert!((vectors[(0, 0)] / vectors[(1, 0)] - 1.0).abs() < 1e-12);
        let (factors, _) = reduced(&times([[2.0, 0.0], [0.0, 1.0]]), &two([[1.0, 0.0], [0.0, 2.0]])).unwrap();
        assert!(
            (factors[0] / (0.5 * size) - 1.0).abs() < 1e-12
                && (factors[1] / (2.0 * size) - 1.0).abs() < 1e-12
        );
    }
    let unit = two([[1.0, 0.0], [0.0, 1.0]]);
    for none in [[[0.0; 2]; 2], [[-1.0, 0.0], [0.0, -2.0]]] {
        assert!(reduced(&unit, &two(none)).is_none());
    }
    assert!(reduced(&two([[f64::NAN; 2]; 2]), &unit).is_none());
}
