//! Properties of the equations and of paths on small random frames.

use proptest::prelude::*;

use super::system::System;
use super::{EventKind, PathEnd, PathOptions, trace};
use crate::frame::limit::{Imperfection, LimitKind, LimitOptions, limit_of, with_imperfection};
use crate::frame::{Bar, BarId, BarLoad, BarSection, EndFix, Fold, Frame, FrameLoads, Link, Node, NodeId};
use crate::vector::{Mat3, Vec3};

fn section() -> BarSection {
    BarSection {
        area: 3.5e-3,
        second_moment_y: 1.6e-6,
        second_moment_z: 6.5e-7,
        torsion: 1.5e-6,
        elastic: 11e9,
        shear: 0.69e9,
        mass: 0.0,
    }
}

/// A dome of rings: `around` sectors, `rings` rings, span 2 × `radius`, feet pinned.
pub(super) fn dome(around: usize, rings: usize, radius: f64, rise: f64, end: EndFix) -> Frame {
    let mut frame = Frame::default();
    let mut put = |at: Vec3, held: bool| {
        let held = [held, held, held, false, false, false];
        frame.nodes.push(Node { at, held, ground: [0.0; 6] });
        NodeId(frame.nodes.len() - 1)
    };
    let crown = put(Vec3::new(0.0, 0.0, rise), false);
    let mut pairs = Vec::new();
    let mut inner: Vec<NodeId> = vec![crown; around];
    for ring in 1..=rings {
        let share = ring as f64 / rings as f64;
        let turn = 0.5 * (ring % 2) as f64;
        let outer: Vec<NodeId> = (0..around)
            .map(|i| {
                let angle = std::f64::consts::TAU * (i as f64 + turn) / around as f64;
                let r = radius * share;
                let at = Vec3::new(r * angle.cos(), r * angle.sin(), rise * (1.0 - share * share));
                put(at, ring == rings)
            })
            .collect();
        for i in 0..around {
            if ring < rings {
                pairs.push((outer[i], outer[(i + 1) % around]));
            }
            pairs.push((inner[i], outer[i]));
            if ring > 1 {
                let other = if ring % 2 == 1 { (i + around - 1) % around } else { (i + 1) % around };
                pairs.push((inner[i], outer[other]));
            }
        }
        inner = outer;
    }
    for (from, to) in pairs {
        let up = Vec3::new(0.01, 0.02, 1.0);
        frame.bars.push(Bar { from, to, section: section(), up, ends: [end; 2] });
    }
    frame
}

fn pressed(frame: &Frame, force: f64) -> FrameLoads {
    let free = frame.nodes.iter().enumerate().filter(|(_, n)| !n.held[0]);
    let nodes = free.map(|(i, _)| (NodeId(i), [0.0, 0.0, -force, 0.0, 0.0, 0.0])).collect();
    FrameLoads { nodes, ..FrameLoads::default() }
}

/// A frame with every kind of element in it.
fn mixed() -> Frame {
    let at = [
        Vec3::new(0.0, 0.0, 0.0),
        Vec3::new(1.0, 0.1, 0.0),
        Vec3::new(0.4, 0.9, 0.3),
        Vec3::new(0.5, -0.8, 0.2),
        Vec3::new(0.5, 0.1, 0.9),
    ];
    let mut frame = Frame::default();
    for (i, at) in at.into_iter().enumerate() {
        let ground = if i == 2 { [1e4, 2e4, 3e4, 1e2, 2e2, 3e2] } else { [0.0; 6] };
        frame.nodes.push(Node { at, held: [i == 0; 6], ground });
    }
    let springs = EndFix::Springs([1e3, 4e3, 2e4]);
    for (from, to, ends) in [
        (0, 1, [EndFix::Rigid; 2]),
        (0, 2, [EndFix::Hinged; 2]),
        (1, 2, [EndFix::Rigid, EndFix::Hinged]),
        (0, 3, [springs, EndFix::Rigid]),
        (1, 3, [EndFix::Hinged; 2]),
        (2, 4, [springs; 2]),
        (3, 4, [EndFix::Rigid; 2]),
    ] {
        let (from, to) = (NodeId(from), NodeId(to));
        frame.bars.push(Bar { from, to, section: section(), up: Vec3::new(0.3, 0.2, 1.0), ends });
    }
    frame.links.push(Link { nodes: [NodeId(1), NodeId(4)], stiffness: [1e5, 2e5, 3e5, 1e3, 2e3, 3e3] });
    frame.folds.push(Fold {
        hinge: [NodeId(0), NodeId(1)],
        wings: [vec![(NodeId(2), 1.0)], vec![(NodeId(3), 0.7), (NodeId(4), 0.3)]],
        stiffness: 5e4,
    });
    frame
}

/// The tangent is the symmetric part of the forces' derivative, with every kind of element.
#[test]
fn tangent_agrees_with_differences() {
    let frame = mixed();
    let system = System::new(&frame).unwrap();
    let n = system.size();
    let shape: Vec<f64> = (0..n).map(|i| 0.15 * ((i * 37 + 5) as f64).sin()).collect();
    let state = system.moved(&system.start(), &shape);
    let exact = system.assembly.dense(&system.tangent(&state).unwrap());
    let step = 1e-6;
    let mut slopes = faer::Mat::<f64>::zeros(n, n);
    for j in 0..n {
        let mut d = vec![0.0; n];
        d[j] = step;
        let (after, _) = system.forces(&system.moved(&state, &d)).unwrap();
        d[j] = -step;
        let (before, _) = system.forces(&system.moved(&state, &d)).unwrap();
        for i in 0..n {
            slopes[(i, j)] = (after[i] - before[i]) / (2.0 * step);
        }
    }
    let mut largest = 0.0_f64;
    let mut worst = 0.0_f64;
    for i in 0..n {
        for j in 0..n {
            let symmetric = 0.5 * (slopes[(i, j)] + slopes[(j, i)]);
            largest = largest.max(symmetric.abs());
            worst = worst.max((symmetric - exact[(i, j)]).abs());
        }
    }
    assert!(worst < 1e-7 * largest, "{worst} of {largest}");
}

/// Lengths in millimetres and everything else to fit: the same forces, the moments a thousand times larger, and the same
/// scale by which an unbalanced force is judged.
#[test]
fn the_unit_of_length_changes_nothing() {
    let metres = mixed();
    let mut millimetres = metres.clone();
    for node in &mut millimetres.nodes {
        node.at *= 1e3;
        let ground = node.ground;
        node.ground = [0, 1, 2, 3, 4, 5].map(|i| if i < 3 { ground[i] / 1e3 } else { ground[i] * 1e3 });
    }
    for bar in &mut millimetres.bars {
        let s = &mut bar.section;
        (s.area, s.elastic, s.shear) = (s.area * 1e6, s.elastic / 1e6, s.shear / 1e6);
        for inertia in [&mut s.second_moment_y, &mut s.second_moment_z, &mut s.torsion] {
            *inertia *= 1e12;
        }
        for end in &mut bar.ends {
            if let EndFix::Springs(k) = end {
                *k = k.map(|k| k * 1e3);
            }
        }
    }
    for link in &mut millimetres.links {
        let k = link.stiffness;
        link.stiffness = [0, 1, 2, 3, 4, 5].map(|i| if i < 3 { k[i] / 1e3 } else { k[i] * 1e3 });
    }
    for fold in &mut millimetres.folds {
        fold.stiffness *= 1e3;
    }
    // One kind of element after the other as the only one, so that each sets the scale once; and all together.
    for alone in 0..5 {
        let of = |whole: &Frame| {
            let mut frame = whole.clone();
            match alone {
                0 => {}
                1 => frame.bars.retain(|bar| bar.ends == [EndFix::Rigid; 2]),
                2 => frame.bars.iter_mut().for_each(|bar| bar.section.area *= 1e-9),
                3 => {
                    frame.folds[0].stiffness *= 1e9;
                }
                _ => frame.links[0].stiffness[..3].iter_mut().for_each(|k| *k *= 1e9),
            }
            frame
        };
        let [small, large] = [of(&metres), of(&millimetres)].map(|frame| System::new(&frame).unwrap());
        let step: Vec<f64> = (0..small.size()).map(|i| 0.02 * ((i * 37 + 5) as f64).sin()).collect();
        let mut long = step.clone();
        for freedoms in &large.unknowns {
            for unknown in freedoms[..3].iter().flatten() {
                long[*unknown] *= 1e3;
            }
        }
        let (forces, scale) = small.forces(&small.moved(&small.start(), &step)).unwrap();
        let (others, other_scale) = large.forces(&large.moved(&large.start(), &long)).unwrap();
        assert!((scale - other_scale).abs() < 1e-9 * scale, "{alone}: {scale} {other_scale}");
        let (largest, other) = (small.largest(&forces), large.largest(&others));
        assert!((largest - other).abs() < 1e-9 * largest, "{alone}: {largest} {other}");
        for (freedoms, node) in small.unknowns.iter().zip(0..) {
            for (freedom, unknown) in freedoms.iter().enumerate() {
                let Some(u) = unknown else { continue };
                let want = if freedom < 3 { forces[*u] } else { 1e3 * forces[*u] };
                let size = if freedom < 3 { scale } else { 1e3 * scale };
                assert!((others[*u] - want).abs() < 1e-9 * size, "{alone} {node} {freedom}");
            }
        }
    }
}

/// The first tangent is the linear stiffness: two derivations of the same matrix.
#[test]
fn first_tangent_is_the_linear_stiffness() {
    for frame in [mixed(), dome(6, 3, 3.0, 0.8, EndFix::Rigid), dome(5, 2, 3.0, 0.8, EndFix::Hinged)] {
        let system = System::new(&frame).unwrap();
        let tangent = system.tangent(&system.start()).unwrap();
        let linear = system.assembly.stiffness(&frame);
        let largest = linear.iter().fold(0.0_f64, |a, b| a.max(b.abs()));
        for (a, b) in tangent.iter().zip(&linear) {
            assert!((a - b).abs() < 1e-10 * largest, "{a} {b}");
        }
    }
}

#[test]
fn small_loads_move_as_in_the_linear_solution() {
    let frame = mixed();
    let force = [0.03, -0.02, 0.05, 0.01, 0.02, -0.01];
    let mut loads = FrameLoads { nodes: vec![(NodeId(4), force)], ..FrameLoads::default() };
    loads.bars.push(BarLoad {
        bar: BarId(2),
        span: [0.1, 0.6],
        intensity: [Vec3::new(0.1, 0.0, -0.2), Vec3::new(0.0, 0.1, -0.1)],
    });
    let linear =
        crate::frame::linear::Solver::new(&frame).unwrap().solve(std::slice::from_ref(&loads)).unwrap();
    let options =
        PathOptions { highest_factor: Some(1.0), keep_displacements: true, ..PathOptions::default() };
    let path = trace(&frame, &loads, &options).unwrap();
    assert_eq!(path.end, PathEnd::HighestFactor);
    let moved = path.steps.last().unwrap().displacements.as_ref().unwrap();
    let size = linear[0].displacements.iter().flatten().fold(0.0_f64, |a, b| a.max(b.abs()));
    for (got, want) in moved.iter().flatten().zip(linear[0].displacements.iter().flatten()) {
        assert!((got - want).abs() < 1e-5 * size, "{got} {want}");
    }
}

#[test]
fn an_unloaded_mechanism_is_named() {
    let mut frame = dome(5, 2, 3.0, 0.0, EndFix::Hinged);
    frame.folds.clear();
    let loads = pressed(&frame, 100.0);
    let fault = trace(&frame, &loads, &PathOptions::default());
    assert!(matches!(fault, Err(crate::frame::FrameError::Mechanism { .. })), "{fault:?}");
}

/// A dome of hinged bars whose flaw leaves a joint all but flat: it snaps at a twentieth of the load of the dome
/// without flaw, and beyond lies another stable path that a long first step could land on.
#[test]
fn no_step_leaps_over_a_snap() {
    for (end, amplitude, want) in [
        (EndFix::Hinged, 0.02, 0.260_530),
        (EndFix::Hinged, 0.005, 2.421_291),
        (EndFix::Rigid, 0.005, 5.654_126),
    ] {
        let frame = dome(8, 4, 6.0, 1.0, end);
        let loads = pressed(&frame, 500.0);
        let perfect = limit_of(&frame, &loads, None, &LimitOptions::default()).unwrap();
        for enough in [7.0, 50.0, 1000.0] {
            let options = LimitOptions { enough, closeness: 1e-4, ..LimitOptions::default() };
            let flaw = Imperfection { shape: &perfect.shape, amplitude };
            let found = limit_of(&frame, &loads, Some(flaw), &options).unwrap();
            assert_eq!(found.kind, LimitKind::Limit);
            // The shape of a repeated factor is known only as closely as the branch itself.
            assert!(
                (found.factor - want).abs() < 1e-3 * want,
                "{end:?} {amplitude} {enough}: {}",
                found.factor
            );
        }
    }
}

#[test]
fn limit_of_a_shallow_dome_falls_with_a_flaw() {
    for end in [EndFix::Rigid, EndFix::Hinged] {
        let frame = dome(8, 4, 6.0, 1.0, end);
        let loads = pressed(&frame, 500.0);
        let options = LimitOptions { enough: 1000.0, closeness: 1e-4, ..LimitOptions::default() };
        let perfect = limit_of(&frame, &loads, None, &options).unwrap();
        assert!(matches!(perfect.kind, LimitKind::Limit | LimitKind::Branch), "{perfect:?}");
        let mut before = perfect.factor;
        for amplitude in [0.005, 0.02] {
            let flaw = Imperfection { shape: &perfect.shape, amplitude };
            let flawed = limit_of(&frame, &loads, Some(flaw), &options).unwrap();
            let other = Imperfection { amplitude: -amplitude, ..flaw };
            let other = limit_of(&frame, &loads, Some(other), &options).unwrap();
            let worse = flawed.factor.min(other.factor);
            assert!(worse < before, "{worse} {before}");
            before = worse;
        }
        let capped = LimitOptions { enough: 0.2 * perfect.factor, ..options };
        let capped = limit_of(&frame, &loads, None, &capped).unwrap();
        assert_eq!(capped.kind, LimitKind::NotReached);
        assert!((capped.factor - 0.2 * perfect.factor).abs() < 1e-9 * perfect.factor);
    }
}

/// Where the search can go no further the answer is a lower bound, and the better of the two that were tried: two steps from a
/// tenth of what is enough come further than two from a hundredth.
#[test]
fn a_search_that_ends_too_soon_tells_how_far_it_came() {
    let frame = dome(8, 4, 6.0, 1.0, EndFix::Rigid);
    let loads = pressed(&frame, 5.0);
    let of =
        |steps| limit_of(&frame, &loads, None, &LimitOptions { steps, ..LimitOptions::default() }).unwrap();
    let (short, whole) = (of(2), of(60));
    assert_eq!((short.kind, whole.kind), (LimitKind::Lost, LimitKind::NotReached));
    assert!(short.factor > 2.0 && short.factor < whole.factor, "{}", short.factor);
    assert!((whole.factor - 20.0).abs() < 1e-9 && short.node.is_none() && short.shape.is_empty());
}

/// The largest movement is the amplitude whatever the scale of the shape; what is held stays, and no shape moves nothing.
#[test]
fn a_flaw_is_as_large_as_it_is_said_to_be() {
    let mut frame = dome(6, 2, 3.0, 0.3, EndFix::Rigid);
    let held = frame.nodes.iter().position(|node| node.held[2]).unwrap();
    frame.nodes[1].held[0] = true;
    let mut shape = vec![[0.0; 6]; frame.nodes.len()];
    (shape[0], shape[1], shape[held]) =
        ([0.0, 3.0, -4.0, 9.0, 9.0, 9.0], [2.0, 0.0, 2.5, 0.0, 0.0, 0.0], [1.0; 6]);
    for size in [1e-3, 1.0, 7.0] {
        let shape: Vec<[f64; 6]> = shape.iter().map(|six| six.map(|v| v * size)).collect();
        let flawed = with_imperfection(&frame, &Imperfection { shape: &shape, amplitude: -0.02 });
        let moved = |node: usize| flawed.nodes[node].at - frame.nodes[node].at;
        // 3, 4, 5: a fifth of 20 mm for each unit, the other way.
        assert!((moved(0) - Vec3::new(0.0, -0.012, 0.016)).norm() < 1e-12, "{}", moved(0));
        assert!((moved(1) - Vec3::new(0.0, 0.0, -0.010)).norm() < 1e-12, "{}", moved(1));
        assert!(moved(held).norm() <= 0.0 && moved(2).norm() <= 0.0);
    }
    for nothing in [0.0, f64::NAN] {
        let shape = vec![[nothing; 6]; frame.nodes.len()];
        assert_eq!(with_imperfection(&frame, &Imperfection { shape: &shape, amplitude: 0.02 }), frame);
    }
}

/// A flaw changes the lengths of the bars: line loads on bars hinged at both ends are still the same forces on their nodes,
/// and the part that is not multiplied too.
#[test]
fn line_loads_keep_their_force_on_a_flawed_frame() {
    let frame = dome(8, 4, 6.0, 1.0, EndFix::Hinged);
    let (mut lines, mut forces) = (FrameLoads::default(), FrameLoads::default());
    for index in 0..frame.bars.len() {
        let line = crate::frame::bar::line(&frame, BarId(index)).unwrap();
        let intensity = [Vec3::new(0.0, 0.0, -100.0); 2];
        lines.bars.push(BarLoad { bar: BarId(index), span: [0.0, line.length], intensity });
        for node in [frame.bars[index].from, frame.bars[index].to] {
            forces.nodes.push((node, [0.0, 0.0, -50.0 * line.length, 0.0, 0.0, 0.0]));
        }
    }
    let shape = limit_of(&frame, &forces, None, &LimitOptions::default()).unwrap().shape;
    for amplitude in [0.005, -0.02] {
        let of = |loads: &FrameLoads, constant: Option<&FrameLoads>| {
            let options =
                LimitOptions { constant: constant.cloned(), closeness: 1e-4, ..LimitOptions::default() };
            limit_of(&frame, loads, Some(Imperfection { shape: &shape, amplitude }), &options).unwrap()
        };
        let (line, force) = (of(&lines, None), of(&forces, None));
        assert_eq!(line.kind, force.kind);
        assert!((line.factor - force.factor).abs() < 1e-6 * force.factor, "{} {}", line.factor, force.factor);
        // One part is there already, so that much less may come.
        let rest = of(&lines, Some(&lines));
        assert!(
            (rest.factor + 1.0 - line.factor).abs() < 1e-3 * line.factor,
            "{} {}",
            rest.factor,
            line.factor
        );
    }
}

/// The branch of a straight column under its own small model: Euler's load, two elements a half.
#[test]
fn column_branches_at_euler() {
    let s = section();
    let mut frame = Frame::default();
    for i in 0..=8 {
        let held = match i {
            0 => [true, true, true, false, false, true],
            8 => [true, true, false, false, false, false],
            _ => [false; 6],
        };
        frame.nodes.push(Node { at: Vec3::new(0.0, 0.0, 0.5 * f64::from(i)), held, ground: [0.0; 6] });
    }
    for i in 0..8 {
        let up = Vec3::new(1.0, 0.0, 0.0);
        let ends = [EndFix::Rigid; 2];
        frame.bars.push(Bar { from: NodeId(i), to: NodeId(i + 1), section: s, up, ends });
    }
    let loads =
        FrameLoads { nodes: vec![(NodeId(8), [0.0, 0.0, -1e3, 0.0, 0.0, 0.0])], ..FrameLoads::default() };
    let path = trace(&frame, &loads, &PathOptions { limit_only: true, ..PathOptions::default() }).unwrap();
    let euler = std::f64::consts::PI.powi(2) * s.elastic * s.second_moment_z / 16.0 / 1e3;
    assert_eq!(path.events[0].kind, EventKind::Branch);
    assert_eq!((path.end, path.events.len()), (PathEnd::FirstEvent, 1));
    assert!(path.events[0].load_share < 1e-6);
    // Shortening before buckling lowers nothing here: strain 1e-4.
    assert!((path.events[0].factor - euler).abs() < 1e-3 * euler, "{} {euler}", path.events[0].factor);
    // Half a sine across the column, its middle by one.
    let shape = &path.events[0].shape;
    for (i, six) in shape.iter().enumerate() {
        let want = (std::f64::consts::PI * i as f64 / 8.0).sin();
        assert!((six[0].hypot(six[1]) - want).abs() < 1e-2, "{i}: {six:?}");
    }
    assert!((shape[4][0].hypot(shape[4][1]) - 1.0).abs() < 1e-12);
    // Half of it there throughout leaves half; a tenth more than all of it is refused.
    let with = |share: f64| {
        let constant = vec![(NodeId(8), [0.0, 0.0, -1e3 * share * euler, 0.0, 0.0, 0.0])];
        let constant = Some(FrameLoads { nodes: constant, ..FrameLoads::default() });
        trace(&frame, &loads, &PathOptions { limit_only: true, constant, ..PathOptions::default() })
    };
    let rest = with(0.5).unwrap().limit_factor.unwrap();
    assert!((rest - 0.5 * euler).abs() < 1e-3 * euler, "{rest} {euler}");
    assert_eq!(with(1.1).unwrap_err(), crate::frame::FrameError::BeyondBuckling);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 8, ..ProptestConfig::default() })]

    /// Turning frame, loads and section axes together changes nothing.
    #[test]
    fn rotation_changes_nothing(ax in -3.0..3.0_f64, ay in -3.0..3.0_f64, az in -3.0..3.0_f64) {
        let frame = dome(6, 2, 3.0, 0.3, EndFix::Rigid);
        // An uneven load, so that nothing hangs on rounding at a branch.
        let mut loads = pressed(&frame, 2e4);
        for (index, (_, load)) in loads.nodes.iter_mut().enumerate() {
            load[2] *= 1.0 + 0.1 * index as f64;
        }
        let options = PathOptions { steps: 25, watch: Some((NodeId(0), 2)), ..PathOptions::default() };
        let path = trace(&frame, &loads, &options).unwrap();
        let turn: Mat3 = *crate::frame::corotational::rotation::Turn::from_scaled_axis(Vec3::new(ax, ay, az))
            .to_rotation_matrix()
            .matrix();
        let mut turned = frame.clone();
        for node in &mut turned.nodes {
            node.at = turn * node.at;
        }
        for bar in &mut turned.bars {
            bar.up = turn * bar.up;
        }
        let mut turned_loads = loads;
        for (_, load) in &mut turned_loads.nodes {
            let force = turn * Vec3::new(load[0], load[1], load[2]);
            load[..3].copy_from_slice(force.as_slice());
        }
        let other = trace(&turned, &turned_loads, &options).unwrap();
        prop_assert_eq!(path.events.len(), other.events.len());
        prop_assert!(!path.events.is_empty());
        let largest = path.steps.iter().fold(0.0_f64, |a, s| a.max(s.factor.abs()));
        for (a, b) in path.steps.iter().zip(&other.steps) {
            prop_assert!((a.factor - b.factor).abs() < 1e-5 * largest, "{} {}", a.factor, b.factor);
            prop_assert_eq!(a.unstable, b.unstable);
        }
        for (a, b) in path.events.iter().zip(&other.events) {
            prop_assert_eq!(a.kind, b.kind);
            prop_assert!((a.factor - b.factor).abs() < 5e-4 * a.factor.abs(), "{} {}", a.factor, b.factor);
        }
    }
}
