//! Properties that hold for any frame: equilibrium, invariance, reciprocity, order of stiffness.

#![allow(clippy::needless_range_loop, reason = "an index runs over several arrays of one formula")]

use proptest::prelude::{Just, Strategy, prop_assert, prop_assert_eq, proptest};
use proptest::test_runner::Config;

use crate::frame::linear::Solver;
use crate::frame::{
    Bar, BarId, BarLoad, BarSection, EndFix, Fold, Frame, FrameLoads, Link, Node, NodeId, Response,
};
use crate::vector::{Mat3, Vec3};

/// A closed cap of triangles over a jittered polygon: joints, bars, folds, loads.
#[derive(Debug, Clone)]
struct Cap {
    frame: Frame,
    loads: FrameLoads,
}

/// A cap of `sides` triangles, its rim held, an inner ring and an apex free.
fn cap() -> impl Strategy<Value = Cap> {
    (5_usize..8).prop_flat_map(|sides| {
        let numbers = proptest::collection::vec(-1.0_f64..1.0, 16 * sides + 40);
        (Just(sides), numbers).prop_map(|(sides, numbers)| build(sides, &numbers))
    })
}

fn build(sides: usize, numbers: &[f64]) -> Cap {
    let mut next = numbers.iter().copied().cycle();
    let mut jitter = move |size: f64| size * next.next().unwrap_or(0.0);
    let mut nodes = Vec::new();
    for (ring, radius, height) in [(0, 3.0, 0.0), (1, 1.7, 1.1)] {
        for i in 0..sides {
            let angle = std::f64::consts::TAU * (i as f64 + 0.5 * f64::from(ring)) / sides as f64;
            let at = Vec3::new(radius * angle.cos(), radius * angle.sin(), height);
            let at = at + Vec3::new(jitter(0.15), jitter(0.15), jitter(0.1));
            nodes.push(Node { at, held: [ring == 0; 6], ground: [0.0; 6] });
        }
    }
    nodes.push(Node { at: Vec3::new(jitter(0.2), jitter(0.2), 1.6), held: [false; 6], ground: [0.0; 6] });
    let apex = 2 * sides;
    let mut pairs = Vec::new();
    let mut folds = Vec::new();
    for i in 0..sides {
        let (next_i, before) = ((i + 1) % sides, (i + sides - 1) % sides);
        let inner = |i: usize| sides + i;
        pairs.extend([(i, inner(i)), (next_i, inner(i)), (inner(i), inner(next_i)), (inner(i), apex)]);
        folds.push(Fold {
            hinge: [NodeId(inner(i)), NodeId(apex)],
            wings: [vec![(NodeId(inner(next_i)), 1.0)], vec![(NodeId(inner(before)), 1.0)]],
            stiffness: 0.0,
        });
    }
    let bars = pairs
        .iter()
        .map(|(a, b)| Bar {
            from: NodeId(*a),
            to: NodeId(*b),
            section: BarSection {
                area: 3.5e-3 * (1.0 + jitter(0.5)),
                second_moment_y: 1.6e-6 * (1.0 + jitter(0.5)),
                second_moment_z: 6.5e-7 * (1.0 + jitter(0.5)),
                torsion: 1.5e-6,
                elastic: 11e9,
                shear: 0.69e9,
                mass: 1.5,
            },
            up: nodes[*a].at + nodes[*b].at + Vec3::new(jitter(0.3), 0.0, 4.0),
            ends: [EndFix::Rigid; 2],
        })
        .collect();
    let mut loads = FrameLoads::default();
    for node in sides..=apex {
        loads
            .nodes
            .push((NodeId(node), [jitter(500.0), jitter(500.0), -1000.0 + jitter(900.0), 0.0, 0.0, 0.0]));
    }
    for bar in [1, 3, 6] {
        let q = [0, 1].map(|_| Vec3::new(jitter(300.0), jitter(300.0), jitter(300.0)));
        loads.bars.push(BarLoad {
            bar: BarId(bar),
            span: [0.1 + jitter(0.1), 1.0 + jitter(0.2)],
            intensity: q,
        });
    }
    Cap { frame: Frame { nodes, bars, links: Vec::new(), folds }, loads }
}

fn ends(frame: &Frame, end: EndFix) -> Frame {
    let mut frame = frame.clone();
    frame.bars.iter_mut().for_each(|bar| bar.ends = [end; 2]);
    frame
}

fn seams(frame: &Frame, stiffness: f64) -> Frame {
    let mut frame = ends(frame, EndFix::Hinged);
    frame.folds.iter_mut().for_each(|fold| fold.stiffness = stiffness);
    frame
}

fn solve(frame: &Frame, loads: &FrameLoads) -> Response {
    Solver::new(frame).unwrap().solve(std::slice::from_ref(loads)).unwrap().remove(0)
}

fn only_nodes(loads: &FrameLoads) -> FrameLoads {
    FrameLoads { nodes: loads.nodes.clone(), ..FrameLoads::default() }
}

/// Work of node loads over an answer's movements.
fn work(loads: &FrameLoads, r: &Response) -> f64 {
    loads.nodes.iter().map(|(n, f)| (0..6).map(|i| f[i] * r.displacements[n.0][i]).sum::<f64>()).sum()
}

fn alike(a: f64, b: f64, scale: f64) -> bool {
    (a - b).abs() <= 1e-8 * scale
}

fn largest(r: &Response) -> f64 {
    r.displacements.iter().flatten().fold(0.0, |a, b| a.max(b.abs()))
}

proptest! {
    #![proptest_config(Config { cases: 24, ..Config::default() })]

    #[test]
    fn joints_and_the_whole_are_in_equilibrium(cap in cap()) {
        for frame in [cap.frame.clone(), seams(&cap.frame, 800.0), ends(&cap.frame, EndFix::Springs([9e3, 4e3, 2e3]))] {
            // The solver verifies every joint; here the sum of loads against that of reactions once more.
            let r = solve(&frame, &cap.loads);
            prop_assert!(r.residual < 1e-9);
            let mut sum = Vec3::zeros();
            for (_, f) in cap.loads.nodes.iter().chain(&r.reactions) {
                sum += Vec3::new(f[0], f[1], f[2]);
            }
            for load in &cap.loads.bars {
                sum += (load.intensity[0] + load.intensity[1]) * 0.5 * (load.span[1] - load.span[0]);
            }
            prop_assert!(sum.norm() < 1e-6, "{sum}");
        }
    }

    #[test]
    fn turning_the_whole_turns_the_answer(cap in cap(), a in 0.0_f64..6.0, b in 0.0_f64..3.0) {
        let turn: Mat3 = *nalgebra::Rotation3::from_euler_angles(a, b, 0.7).matrix();
        let six = |f: &[f64; 6]| {
            let (u, v) = (turn * Vec3::new(f[0], f[1], f[2]), turn * Vec3::new(f[3], f[4], f[5]));
            [u.x, u.y, u.z, v.x, v.y, v.z]
        };
        let frame = seams(&cap.frame, 500.0);
        for frame in [cap.frame.clone(), frame] {
            let mut other = frame.clone();
            other.nodes.iter_mut().for_each(|n| n.at = turn * n.at + Vec3::new(3.0, -2.0, 5.0));
            other.bars.iter_mut().for_each(|bar| bar.up = turn * bar.up);
            let mut loads = cap.loads.clone();
            loads.nodes.iter_mut().for_each(|(_, f)| *f = six(f));
            loads.bars.iter_mut().for_each(|load| load.intensity = load.intensity.map(|q| turn * q));
            let (one, two) = (solve(&frame, &cap.loads), solve(&other, &loads));
            let scale = largest(&one);
            for (p, q) in one.displacements.iter().zip(&two.displacements) {
                for (x, y) in six(p).iter().zip(q) {
                    prop_assert!(alike(*x, *y, scale), "{x} {y}");
                }
            }
            let axial = one.bar_ends.iter().map(|e| e[0].n.abs()).fold(0.0, f64::max);
            for (p, q) in one.bar_ends.iter().zip(&two.bar_ends) {
                prop_assert!(alike(p[0].n, q[0].n, axial) && alike(p[1].my, q[1].my, axial));
            }
        }
    }

    #[test]
    fn renumbering_and_other_units_change_nothing(cap in cap(), shift in 1_usize..9) {
        let one = solve(&cap.frame, &cap.loads);
        let count = cap.frame.nodes.len();
        let new = |n: NodeId| NodeId((n.0 + shift) % count);
        let mut other = cap.frame.clone();
        for (old, node) in cap.frame.nodes.iter().enumerate() {
            other.nodes[new(NodeId(old)).0] = node.clone();
        }
        other.folds.clear();
        for bar in &mut other.bars {
            (bar.from, bar.to) = (new(bar.from), new(bar.to));
        }
        let mut loads = cap.loads.clone();
        loads.nodes.iter_mut().for_each(|(n, _)| *n = new(*n));
        let two = solve(&other, &loads);
        // And the same in kN and mm.
        let mut small = cap.frame.clone();
        small.nodes.iter_mut().for_each(|n| n.at *= 1e3);
        for bar in &mut small.bars {
            let s = &mut bar.section;
            (s.area, s.elastic, s.shear) = (s.area * 1e6, s.elastic * 1e-9, s.shear * 1e-9);
            for i in [&mut s.second_moment_y, &mut s.second_moment_z, &mut s.torsion] {
                *i *= 1e12;
            }
        }
        let mut kilo = cap.loads.clone();
        for (_, f) in &mut kilo.nodes {
            f.iter_mut().for_each(|f| *f *= 1e-3);
        }
        for load in &mut kilo.bars {
            load.span = load.span.map(|x| x * 1e3);
            load.intensity = load.intensity.map(|q| q * 1e-6);
        }
        let three = solve(&small, &kilo);
        let scale = largest(&one);
        for (old, u) in one.displacements.iter().enumerate() {
            for (freedom, &movement) in u.iter().enumerate() {
                prop_assert!(alike(movement, two.displacements[new(NodeId(old)).0][freedom], scale));
                let in_metres = three.displacements[old][freedom] * if freedom < 3 { 1e-3 } else { 1.0 };
                prop_assert!(alike(movement, in_metres, scale));
            }
        }
    }

    #[test]
    fn what_one_load_does_over_another_is_what_the_other_does_over_it(cap in cap()) {
        let first = only_nodes(&cap.loads);
        let mut second = first.clone();
        for (i, (_, f)) in second.nodes.iter_mut().enumerate() {
            f.rotate_right(1 + i % 2);
        }
        let frame = ends(&cap.frame, EndFix::Springs([9e3, 4e3, 2e3]));
        let (a, b) = (solve(&frame, &first), solve(&frame, &second));
        let (ab, ba) = (work(&first, &b), work(&second, &a));
        prop_assert!(alike(ab, ba, ab.abs().max(work(&first, &a))));
    }

    #[test]
    fn stiffer_joints_give_less_and_none_give_pinned(cap in cap()) {
        let loads = only_nodes(&cap.loads);
        let give = |frame: &Frame| work(&loads, &solve(frame, &loads));
        let pinned = give(&seams(&cap.frame, 0.0));
        let mut before = pinned;
        for k in [1e-6, 10.0, 1e3, 1e5] {
            let now = give(&seams(&cap.frame, k));
            prop_assert!(now <= before * (1.0 + 1e-9));
            before = now;
        }
        prop_assert!((give(&seams(&cap.frame, 1e-6)) / pinned - 1.0).abs() < 1e-6);
        let mut before = pinned;
        for k in [10.0, 1e3, 1e5] {
            let now = give(&ends(&cap.frame, EndFix::Springs([k; 3])));
            prop_assert!(now <= before * (1.0 + 1e-9));
            before = now;
        }
        prop_assert!(give(&cap.frame) <= before * (1.0 + 1e-9));
        let nearly = give(&ends(&cap.frame, EndFix::Springs([1e15; 3])));
        prop_assert!((nearly / give(&cap.frame) - 1.0).abs() < 1e-6);
    }

    #[test]
    fn twice_the_load_is_half_the_buckling_factor(cap in cap()) {
        let loads = only_nodes(&cap.loads);
        let mut twice = loads.clone();
        twice.nodes.iter_mut().for_each(|(_, f)| f.iter_mut().for_each(|f| *f *= 2.0));
        let solver = Solver::new(&cap.frame).unwrap();
        let both = solver.solve(&[loads, twice]).unwrap();
        let (one, two) = (solver.buckling(&both[0], 3).unwrap(), solver.buckling(&both[1], 3).unwrap());
        prop_assert!(!one.factors.is_empty());
        for (a, b) in one.factors.iter().zip(&two.factors) {
            prop_assert!((a / (2.0 * b) - 1.0).abs() < 1e-8);
        }
        prop_assert!(solver.buckling_at_least(&both[0], one.factors[0] * 0.999).unwrap());
        prop_assert!(!solver.buckling_at_least(&both[0], one.factors[0] * 1.001).unwrap());
    }

    /// One exact bar buckles as sixteen cubic ones do, with joints of every kind; and what is found quickly is what counts alone
    /// find.
    #[test]
    fn a_bar_by_its_stability_functions_is_a_bar_in_sixteen(
        cap in cap(),
        springs in proptest::collection::vec(2.0_f64..6.0, 3),
    ) {
        let springs = [0, 1, 2].map(|i| 10_f64.powf(springs[i]));
        for mut frame in [cap.frame.clone(), ends(&cap.frame, EndFix::Springs(springs))] {
            frame.bars[2].ends[0] = EndFix::Hinged;
            let loads = only_nodes(&cap.loads);
            let solver = Solver::new(&frame).unwrap();
            let response = solver.solve(std::slice::from_ref(&loads)).unwrap().remove(0);
            let axial = crate::frame::geometric::axial_forces(&response);
            let found = solver.buckling_under(&axial, 3).unwrap();
            let fine = Solver::new(&crate::frame::exact_factors::tests::divided(&frame, 16)).unwrap();
            let axial: Vec<f64> = axial.iter().flat_map(|n| [*n; 16]).collect();
            let fine = fine.buckling_of_nodes(&axial, 3).unwrap();
            for (a, b) in found.factors.iter().zip(&fine.factors) {
                prop_assert!(*a <= b * (1.0 + 1e-8) && *a > b * (1.0 - 2e-4), "{:?} {:?}", found.factors, fine.factors);
            }
        }
    }

    #[test]
    fn a_link_between_twins_as_stiff_as_can_be_is_a_joint(cap in cap()) {
        // The first bar is taken off its inner joint and linked to it again.
        let mut frame = cap.frame.clone();
        let joint = frame.bars[0].to;
        frame.nodes.push(Node { held: [false; 6], ..frame.nodes[joint.0].clone() });
        let twin = NodeId(frame.nodes.len() - 1);
        frame.bars[0].to = twin;
        let k = 1e4 * 11e9 * 3.5e-3;
        frame.links.push(Link { nodes: [joint, twin], stiffness: [k; 6] });
        let (one, two) = (solve(&cap.frame, &cap.loads), solve(&frame, &cap.loads));
        let scale = largest(&one);
        for (p, q) in one.displacements.iter().zip(&two.displacements) {
            for (x, y) in p.iter().zip(q) {
                prop_assert!((x - y).abs() <= 1e-3 * scale, "{x} {y}");
            }
        }
    }
}

proptest! {
    #![proptest_config(Config { cases: 24, ..Config::default() })]

    /// A second factorisation of the same matrix, dense and by another library, gives the same movements; and its
    /// eigenvalues say how many are negative once the matrix is shifted.
    #[test]
    fn a_second_factorisation_agrees(cap in cap(), share in 0.05_f64..0.95) {
        let solver = Solver::new(&cap.frame).unwrap();
        let assembly = solver.assembly();
        let n = assembly.unknowns;
        let written = assembly.dense(solver.stiffness());
        let dense = nalgebra::DMatrix::from_fn(n, n, |i, j| written[(i, j)]);
        let prepared = crate::frame::recover::prepare(&cap.frame, assembly, &cap.loads).unwrap();
        let right = crate::frame::recover::right_hand_side(&cap.frame, assembly, &prepared);
        let second = nalgebra::Cholesky::new(dense.clone()).unwrap().solve(&nalgebra::DVector::from_vec(right));
        let own = solver.solve(std::slice::from_ref(&cap.loads)).unwrap().remove(0);
        let own = assembly.gather(&own.displacements);
        for (a, b) in own.iter().zip(second.iter()) {
            prop_assert!((a - b).abs() <= 1e-9 * second.amax(), "{a} {b}");
        }
        // Halfway between two neighbouring eigenvalues that stand apart.
        let mut values: Vec<f64> = dense.symmetric_eigenvalues().iter().copied().collect();
        values.sort_by(f64::total_cmp);
        let below = ((n - 1) as f64 * share) as usize;
        let shift = 0.5 * (values[below] + values[below + 1]);
        if values[below + 1] - values[below] > 1e-6 * values[n - 1] {
            let mut shifted = solver.stiffness().to_vec();
            for column in 0..n {
                shifted[assembly.column_start[column] as usize] -= shift;
            }
            let (symbolic, _) = solver.factor().unwrap().unwrap();
            prop_assert_eq!(symbolic.negative_count(assembly, &shifted), Some(below + 1));
        }
    }
}
