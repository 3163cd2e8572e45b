//! A link that has no turning stiffness makes no node turn.

use crate::frame::linear::Solver;
use crate::frame::{Bar, BarSection, EndFix, Frame, FrameLoads, Link, Node, NodeId};
use crate::vector::Vec3;

/// Two bars of hinged ends in one line, with a spring between them, their far ends held: by hand, with `k = EA/l` of a bar and `c`
/// of the spring, a force F on the first side of it moves that side by `F (k + c)/(k (k + 2 c))` and the other by `F c/(k (k + 2 c))`.
#[test]
fn two_hinged_bars_joined_by_a_spring_are_a_chain_of_three() {
    let node = |x: f64, held: [bool; 6]| Node { at: Vec3::new(x, 0.0, 0.0), held, ground: [0.0; 6] };
    let (fixed, slides) = ([true, true, true, false, false, false], [false, true, true, false, false, false]);
    let section = BarSection {
        area: 2e-3,
        second_moment_y: 1e-6,
        second_moment_z: 1e-6,
        torsion: 1e-6,
        elastic: 10e9,
        shear: 0.6e9,
        mass: 1.0,
    };
    let bar = |from, to| Bar {
        from: NodeId(from),
        to: NodeId(to),
        section,
        up: Vec3::new(0.0, 0.0, 1.0),
        ends: [EndFix::Hinged; 2],
    };
    let (k, c) = (10e9 * 2e-3 / 1.5, 4e6);
    let frame = Frame {
        nodes: vec![node(0.0, fixed), node(1.5, slides), node(1.5, slides), node(3.0, fixed)],
        bars: vec![bar(0, 1), bar(2, 3)],
        links: vec![Link { nodes: [NodeId(1), NodeId(2)], stiffness: [c, 0.0, 0.0, 0.0, 0.0, 0.0] }],
        ..Frame::default()
    };
    let solver = Solver::new(&frame).unwrap();
    assert!(solver.mechanisms().is_empty());
    assert_eq!(solver.assembly().unknowns, 2);
    let force = 1000.0;
    let loads =
        FrameLoads { nodes: vec![(NodeId(1), [force, 0.0, 0.0, 0.0, 0.0, 0.0])], ..FrameLoads::default() };
    let response = solver.solve(&[loads]).unwrap().remove(0);
    for (node, expected) in [(1, force * (k + c) / (k * (k + 2.0 * c))), (2, force * c / (k * (k + 2.0 * c)))]
    {
        let moved = response.displacements[node];
        assert!((moved[0] / expected - 1.0).abs() < 1e-9 && moved[1..] == [0.0; 5], "{moved:?} {expected}");
    }
}
