//! Mechanisms: how many, which, and in which words.

use super::*;
use crate::frame::linear::Solver;
use crate::frame::{Bar, BarSection, EndFix, Link, Node};

fn section() -> BarSection {
    BarSection {
        area: 1e-3,
        second_moment_y: 1e-6,
        second_moment_z: 1e-6,
        torsion: 1e-6,
        elastic: 1e10,
        shear: 1e9,
        mass: 1.0,
    }
}

fn node(x: f64, y: f64, z: f64, held: bool) -> Node {
    Node { at: Vec3::new(x, y, z), held: [held; 6], ground: [0.0; 6] }
}

fn bar(from: usize, to: usize, end: EndFix) -> Bar {
    Bar {
        from: NodeId(from),
        to: NodeId(to),
        section: section(),
        up: Vec3::new(0.1, 0.2, 1.0),
        ends: [end; 2],
    }
}

#[test]
fn two_bars_in_line_move_sideways_two_ways() {
    let frame = Frame {
        nodes: vec![node(0., 0., 0., true), node(1., 0., 0., false), node(2., 0., 0., true)],
        bars: vec![bar(0, 1, EndFix::Hinged), bar(1, 2, EndFix::Hinged)],
        ..Frame::default()
    };
    let solver = Solver::new(&frame).unwrap();
    assert_eq!(solver.mechanisms().len(), 2);
    let count = solver.count().unwrap();
    assert_eq!((count.kinematic_surplus, count.self_stresses), (1, 1));
    assert!(count.largest_zero < 1e-14 && count.smallest_strain > 0.1);
    assert!(matches!(solver.solve(&[]), Err(FrameError::Mechanism { count: 2 })));
}

#[test]
fn a_spring_a_thousand_million_million_times_softer_is_no_mechanism() {
    // A stiff cantilever with a soft link to a sliding node: 1e10 against 1e-2 N/m.
    let mut frame = Frame {
        nodes: vec![node(0., 0., 0., true), node(1., 0., 0., false), node(1., 0., 0., false)],
        bars: vec![bar(0, 1, EndFix::Rigid)],
        links: vec![Link { nodes: [NodeId(1), NodeId(2)], stiffness: [1e-5; 6] }],
        ..Frame::default()
    };
    let solver = Solver::new(&frame).unwrap();
    assert!(solver.mechanisms().is_empty());
    frame.links[0].stiffness = [1e-5, 1e-5, 0.0, 1e-5, 1e-5, 1e-5];
    let solver = Solver::new(&frame).unwrap();
    assert_eq!(solver.mechanisms().len(), 1);
    let movers = movers(&solver.mechanisms()[0]);
    assert_eq!(movers.len(), 1);
    assert_eq!(movers[0].node, NodeId(2));
    assert!((movers[0].movement - Vec3::new(0., 0., 1.)).norm() < 1e-12);
    assert_eq!(solver.mechanisms()[0].stop, (NodeId(2), 2));
}

#[test]
fn an_unsupported_frame_has_six_rigid_motions() {
    let frame = Frame {
        nodes: vec![node(0., 0., 0., false), node(1., 0.3, 0., false), node(0.2, 1., 0.5, false)],
        bars: vec![bar(0, 1, EndFix::Rigid), bar(1, 2, EndFix::Rigid)],
        ..Frame::default()
    };
    assert_eq!(Solver::new(&frame).unwrap().mechanisms().len(), 6);
}

#[test]
fn a_long_row_of_loose_posts_is_counted_by_the_sparse_search() {
    // 150 cantilevers, each carrying a hinged, unguided bar: every one swings two ways and spins not.
    let mut frame = Frame::default();
    for i in 0..150 {
        let x = f64::from(i);
        let first = frame.nodes.len();
        frame.nodes.extend([node(x, 0., 0., true), node(x, 0., 1., false), node(x + 0.1, 0.2, 1.8, false)]);
        frame.bars.push(Bar { up: Vec3::x(), ..bar(first, first + 1, EndFix::Rigid) });
        frame.bars.push(bar(first + 1, first + 2, EndFix::Hinged));
    }
    let solver = Solver::new(&frame).unwrap();
    assert!(solver.unknowns() > DENSE_LIMIT);
    assert_eq!(solver.mechanisms().len(), 300);
    // Elimination makes each of them one post's own.
    assert!(solver.mechanisms().iter().all(|m| movers(m).len() == 1));
}

/// Bars of every fixity, a fold, and a link between nodes in one place: a motion of the whole strains none of them, and every row
/// is as long as any other. Distances other than a metre, and none along an axis.
#[test]
fn a_motion_of_the_whole_strains_nothing() {
    let springs = EndFix::Springs([1e3, 0.0, 2e3]);
    let ends = [EndFix::Rigid, EndFix::Hinged, springs];
    let at = [[0.0, 0.0, 0.0], [2.3, 0.4, -0.2], [0.7, 2.9, 0.3], [1.6, -2.1, 1.1], [2.3, 0.4, -0.2]];
    let mut frame = Frame {
        nodes: at.iter().map(|at| node(at[0], at[1], at[2], false)).collect(),
        links: vec![Link { nodes: [NodeId(1), NodeId(4)], stiffness: [1e4; 6] }],
        folds: vec![crate::frame::Fold {
            hinge: [NodeId(0), NodeId(1)],
            wings: [vec![(NodeId(2), 1.0)], vec![(NodeId(3), 0.6), (NodeId(1), 0.4)]],
            stiffness: 1e3,
        }],
        ..Frame::default()
    };
    for (index, (from, to)) in [(0, 1), (1, 2), (2, 0), (0, 3), (3, 4), (1, 3)].into_iter().enumerate() {
        frame.bars.push(Bar { ends: [ends[index % 3], ends[index / 2]], ..bar(from, to, EndFix::Rigid) });
    }
    let assembly = Assembly::new(&frame).unwrap();
    let rows = rows(&frame, &assembly);
    for index in 0..rows.count() {
        let square: f64 = rows.row(index).iter().map(|(_, value)| value * value).sum();
        assert!((square - 1.0).abs() < 1e-12, "{index}: {square}");
    }
    for way in 0..6 {
        let (mut shift, mut turn) = (Vec3::zeros(), Vec3::zeros());
        if way < 3 {
            shift[way] = 1.0;
        } else {
            turn[way - 3] = 1.0;
        }
        let motion: Vec<f64> = assembly
            .freedom
            .iter()
            .map(|(node, freedom)| {
                let moved = shift + turn.cross(&frame.nodes[node.0].at);
                if *freedom < 3 { moved[*freedom] } else { turn[*freedom - 3] * assembly.length }
            })
            .collect();
        for index in 0..rows.count() {
            let strain: f64 = rows.row(index).iter().map(|(unknown, value)| value * motion[*unknown]).sum();
            assert!(strain.abs() < 1e-12, "{way} {index}: {strain}");
        }
    }
}

/// A joint held by eight bars along x, two along y and one along z, each of whose rows is 1/√2 at the joint: squares 4, 1 and
/// 1/2, so the softest is √(1/8) of the stiffest.
#[test]
fn strains_are_told_beside_the_largest() {
    let mut frame = Frame { nodes: vec![node(0., 0., 0., false)], ..Frame::default() };
    for (axis, count) in [(0, 8), (1, 2), (2, 1)] {
        for index in 0..count {
            let mut at = [0.0; 3];
            at[axis] = 2.0 + f64::from(index);
            frame.bars.push(bar(0, frame.nodes.len(), EndFix::Hinged));
            frame.bars.last_mut().unwrap().up = Vec3::new(0.3, 0.5, 0.7);
            frame.nodes.push(node(at[0], at[1], at[2], true));
        }
    }
    let count = Solver::new(&frame).unwrap().count().unwrap();
    assert!((count.smallest_strain - 0.125_f64.sqrt()).abs() < 1e-9, "{}", count.smallest_strain);
    assert_eq!((count.mechanisms.len(), count.kinematic_surplus, count.self_stresses), (0, -8, 8));
    assert!(count.largest_zero <= 0.0);
    // Nothing that could move at all.
    frame.nodes[0].held = [true; 6];
    let count = Solver::new(&frame).unwrap().count().unwrap();
    assert_eq!((count.mechanisms.len(), count.kinematic_surplus, count.self_stresses), (0, -11, 11));
    assert!(count.smallest_strain.is_infinite());
}

/// A post of 2.5 m that may turn at its foot about one axis across: its top moves by one and all of it turns by 1/2.5, and what
/// stops it is the movement of the top. Turning about its own axis it does nothing else.
#[test]
fn a_post_falls_over_its_foot() {
    for along in 0..3 {
        for about in 0..3 {
            let mut at = [0.0; 3];
            at[along] = 2.5;
            let mut frame = Frame {
                nodes: vec![node(0., 0., 0., true), node(at[0], at[1], at[2], false)],
                bars: vec![Bar { up: Vec3::new(0.3, 0.5, 0.7), ..bar(0, 1, EndFix::Rigid) }],
                ..Frame::default()
            };
            frame.nodes[0].held[3 + about] = false;
            let solver = Solver::new(&frame).unwrap();
            assert_eq!(solver.mechanisms().len(), 1);
            let found = &solver.mechanisms()[0];
            let mut turn = Vec3::zeros();
            turn[about] = if along == about { 1.0 } else { 1.0 / 2.5 };
            let moved = turn.cross(&Vec3::from(at));
            let sign =
                if about == along { found.shape[1][3 + about] } else { found.shape[0][3 + about] * 2.5 };
            assert!((sign.abs() - 1.0).abs() < 1e-9, "{along} {about}: {:?}", found.shape);
            for axis in 0..3 {
                assert!((found.shape[1][axis] - sign * moved[axis]).abs() < 1e-9);
                for node in 0..2 {
                    assert!((found.shape[node][3 + axis] - sign * turn[axis]).abs() < 1e-9);
                }
            }
            if along == about {
                assert!(found.stop.1 == 3 + about);
            } else {
                assert_eq!(found.stop, (NodeId(1), moved.iamax()));
            }
        }
    }
}

#[test]
fn motions_are_told_in_words() {
    assert_eq!(way(&Vec3::new(0.0, 0.0, 4.0)), "up");
    assert_eq!(way(&Vec3::new(-1.0, 0.2, -0.5)), "along -x and down");
    assert_eq!(way(&Vec3::new(0.3, 1.0, -0.26)), "along y and along x and down");
    assert_eq!(way(&Vec3::new(1.0, -2.0, 0.0)), "along -y and along x");
    assert_eq!(about(&Vec3::new(-3.0, 0.0, 1.0)), "about x and about z");
    assert_eq!(about(&Vec3::new(0.0, -0.01, 0.0)), "about y");
}

/// A shaft that spins in its socket at either end, and one that does not; what passes no moment at all is hinged.
#[test]
fn a_shaft_spins_where_no_spring_holds_it() {
    let loose = EndFix::Springs([0.0, f64::INFINITY, f64::INFINITY]);
    for (ends, spins) in [
        ([EndFix::Rigid, EndFix::Rigid], 0),
        ([loose, EndFix::Rigid], 1),
        ([EndFix::Rigid, loose], 1),
        ([EndFix::Springs([1e-3; 3]), EndFix::Rigid], 0),
    ] {
        let frame = Frame {
            nodes: vec![node(0., 0., 0., true), node(0.9, 1.2, 0., false)],
            bars: vec![Bar { ends, ..bar(0, 1, EndFix::Rigid) }],
            ..Frame::default()
        };
        let solver = Solver::new(&frame).unwrap();
        assert_eq!(solver.mechanisms().len(), spins);
        for found in solver.mechanisms() {
            let turn = Vec3::new(found.shape[1][3], found.shape[1][4], found.shape[1][5]);
            assert!((turn.normalize().dot(&Vec3::new(0.6, 0.8, 0.0)).abs() - 1.0).abs() < 1e-9);
        }
    }
    // Three rods to a joint: no turn of it is an unknown.
    for end in [EndFix::Hinged, EndFix::Springs([0.0; 3])] {
        let mut frame = Frame { nodes: vec![node(0., 0., 1.5, false)], ..Frame::default() };
        for (x, y) in [(1.0, 0.0), (-1.0, 0.8), (-0.7, -1.0)] {
            frame.bars.push(bar(0, frame.nodes.len(), end));
            frame.nodes.push(node(x, y, 0., true));
        }
        let solver = Solver::new(&frame).unwrap();
        assert_eq!((solver.unknowns(), solver.mechanisms().len()), (3, 0));
    }
}

/// Posts of several heights, each loose at its foot one way: as many mechanisms, and each is one post's own.
#[test]
fn every_loose_post_has_a_mechanism_of_its_own() {
    let mut frame = Frame::default();
    for (index, height) in [1.0, 2.0, 3.5].into_iter().enumerate() {
        let x = 4.0 * index as f64;
        let mut foot = node(x, 0., 0., true);
        foot.held[4] = false;
        frame.bars.push(Bar { up: Vec3::x(), ..bar(2 * index, 2 * index + 1, EndFix::Rigid) });
        frame.nodes.extend([foot, node(x, 0., height, false)]);
    }
    let solver = Solver::new(&frame).unwrap();
    let assembly = solver.assembly();
    // Each post's own motion with turns as movements at the mean length, and three mixtures of them.
    let own: Vec<Vec<f64>> = solver
        .mechanisms()
        .iter()
        .map(|found| {
            let x = assembly.gather(&found.shape);
            x.iter()
                .zip(&assembly.freedom)
                .map(|(x, (_, f))| if *f < 3 { *x } else { x * assembly.length })
                .collect()
        })
        .collect();
    let shares = [[0.5, 2.0, -1.0], [1.5, 0.3, 0.7], [-0.4, 1.0, 3.0]];
    let mixed = Mat::from_fn(assembly.unknowns, 3, |i, j| (0..3).map(|k| shares[j][k] * own[k][i]).sum());
    for found in [solver.mechanisms().to_vec(), shapes(assembly, mixed)] {
        are_one_post_each(&found);
    }
}

fn are_one_post_each(found: &[Mechanism]) {
    let mut seen = Vec::new();
    for found in found {
        let movers = movers(found);
        assert_eq!(movers.len(), 2);
        let (top, foot) = (movers[0].node.0, movers[1].node.0);
        assert!(top % 2 == 1 && foot + 1 == top && found.stop == (NodeId(top), 0));
        assert!((movers[0].movement.x - 1.0).abs() < 1e-9);
        seen.push(top);
    }
    seen.sort_unstable();
    assert_eq!(seen, [1, 3, 5]);
}

/// A joint on two pairs of bars that are all but in line, a part in 10⁸ off it: across them it strains that part of what
/// it strains along them, √2. Less is a mechanism, more is none, and either is told as it is.
#[test]
fn a_joint_is_flat_to_one_part_in_a_hundred_million() {
    for off in [0.8e-8, 1.2e-8] {
        let mut frame = Frame {
            nodes: vec![node(-1., 0., 0., true), node(0., off, 0., false), node(1., 0., 0., true)],
            bars: vec![],
            ..Frame::default()
        };
        frame.nodes[1].held = [false, false, true, true, true, true];
        for _ in 0..2 {
            frame.bars.extend([bar(0, 1, EndFix::Hinged), bar(1, 2, EndFix::Hinged)]);
        }
        let count = Solver::new(&frame).unwrap().count().unwrap();
        let flat = off < THRESHOLD;
        assert_eq!(count.mechanisms.len(), usize::from(flat), "{off}");
        let strain = if flat { count.largest_zero } else { count.smallest_strain };
        assert!((strain - off).abs() < 1e-3 * off, "{off}: {strain}");
    }
}
