//! Hinged ends, a triangular load, settling supports, inclined bars (kN, m; E 11e6, I 8e-5, L 4).
//!
//! Closed forms from any table of beams; the figures are derived. Tolerance 1e-9.

use strutwise::frame::bar::{forces_at, line};
use strutwise::frame::linear::Solver;
use strutwise::frame::{BarId, EndFix, Frame, FrameError, FrameLoads, NodeId};
use strutwise::vector::Vec3;

use crate::frames::{FIXED, FREE, PINNED, along, bar, close, near, node, on_nodes, section, solve};

const L: f64 = 4.0;
const EI: f64 = 880.0;

fn beam(ends: [EndFix; 2]) -> Frame {
    let nodes = vec![node(0., 0., 0., FIXED), node(L, 0., 0., FIXED)];
    let mut only = bar(&nodes, 0, 1, section(11e6, 0.01, 8e-5), EndFix::Rigid);
    only.ends = ends;
    Frame { nodes, bars: vec![only], ..Frame::default() }
}

fn loaded(from: f64, to: f64) -> FrameLoads {
    FrameLoads {
        bars: vec![along(0, L, Vec3::new(0., 0., -from), Vec3::new(0., 0., -to))],
        ..FrameLoads::default()
    }
}

#[test]
fn far_end_hinged() {
    let f = beam([EndFix::Rigid, EndFix::Hinged]);
    let r = solve(&f, &loaded(3.0, 3.0));
    close("moment", r.reactions[0].1[4].abs(), 6.0, 1e-9);
    close("shear", r.reactions[0].1[2], 7.5, 1e-9);
    close("shear", r.reactions[1].1[2], 4.5, 1e-9);
    near("hinge", r.reactions[1].1[4], 0.0, 1e-12);
    let turned = FrameLoads { settlements: vec![(NodeId(0), 5, 1.0)], ..FrameLoads::default() };
    close("stiffness 3EI/L", solve(&f, &turned).reactions[0].1[5], 3.0 * EI / L, 1e-9);
}

#[test]
fn both_ends_hinged() {
    let r = solve(&beam([EndFix::Hinged; 2]), &loaded(3.0, 3.0));
    for (_, reaction) in &r.reactions {
        close("shear", reaction[2], 6.0, 1e-9);
        near("moment", reaction[4], 0.0, 1e-12);
    }
}

#[test]
fn a_node_with_every_bar_released_cannot_take_a_moment() {
    let nodes =
        vec![node(0., 0., 0., FIXED), node(L, 0., 0., FREE), node(L, 0., 3., FIXED), node(L, 3., 0., FIXED)];
    let s = section(11e6, 0.01, 8e-5);
    let bars = [1, 2, 3].map(|i| bar(&nodes, [0, 0, 2, 3][i], 1, s, EndFix::Hinged)).to_vec();
    let mut f = Frame { nodes, bars, ..Frame::default() };
    let moment = on_nodes(&[(1, [0., 0., 0., 0., 1., 0.])]);
    let solver = Solver::new(&f).unwrap();
    assert_eq!(
        solver.solve(std::slice::from_ref(&moment)),
        Err(FrameError::MomentOnHinge { node: NodeId(1) })
    );
    // With a rotation that one spring about x asks for, the other two are a mechanism.
    f.nodes[1].ground[3] = 5.0;
    let solver = Solver::new(&f).unwrap();
    assert_eq!(solver.mechanisms().len(), 2);
    assert!(solver.mechanisms().iter().all(|m| m.shape[1][..4].iter().all(|v| v.abs() < 1e-9)));
}

#[test]
fn triangular_load() {
    let r = solve(&beam([EndFix::Rigid; 2]), &loaded(0.0, 3.0));
    close("Vi = 3wL/20", r.reactions[0].1[2], 1.8, 1e-9);
    close("Mi = wL²/30", r.reactions[0].1[4].abs(), 1.6, 1e-9);
    close("Vj = 7wL/20", r.reactions[1].1[2], 4.2, 1e-9);
    close("Mj = wL²/20", r.reactions[1].1[4].abs(), 2.4, 1e-9);
    assert!(r.reactions[0].1[4] * r.reactions[1].1[4] < 0.0);
}

#[test]
fn settlements() {
    let sinks = FrameLoads { settlements: vec![(NodeId(1), 2, -0.01)], ..FrameLoads::default() };
    let r = solve(&beam([EndFix::Rigid; 2]), &sinks);
    close("6EId/L²", r.reactions[0].1[4].abs(), 3.3, 1e-9);

    let nodes = vec![
        node(0., 0., 0., [true, true, true, true, false, false]),
        node(L, 0., 0., PINNED),
        node(2. * L, 0., 0., PINNED),
    ];
    let s = section(11e6, 0.01, 8e-5);
    let bars = vec![bar(&nodes, 0, 1, s, EndFix::Rigid), bar(&nodes, 1, 2, s, EndFix::Rigid)];
    let two = Frame { nodes, bars, ..Frame::default() };
    let r = solve(&two, &sinks);
    close("3EId/L²", r.bar_ends[0][1].my.abs(), 1.65, 1e-9);
}

#[test]
fn inclined_bar_under_weight_and_snow() {
    // Plan 3, rise 4: the upper end slides along the bar, which a ground spring of none and a held
    // direction cannot express, so the slide is a bar square to it.
    let (dx, dz) = (0.6, 0.8);
    let far = 2.0;
    let nodes = vec![
        node(0., 0., 0., PINNED),
        node(3., 0., 4., [false, true, false, false, false, false]),
        node(3. - dz * far, 0., 4. + dx * far, PINNED),
    ];
    let s = section(11e6, 0.01, 8e-5);
    let bars = vec![bar(&nodes, 0, 1, s, EndFix::Hinged), bar(&nodes, 1, 2, s, EndFix::Hinged)];
    let f = Frame { nodes, bars, ..Frame::default() };
    // Self-weight per metre of true length; snow per metre of plan, so times 0.6 along the bar.
    for (q, moment, axial) in [(2.0, 3.75, 8.0), (2.0 * dx, 2.25, 4.8)] {
        let down = Vec3::new(0., 0., -q);
        let loads = FrameLoads { bars: vec![along(0, 5.0, down, down)], ..FrameLoads::default() };
        let r = solve(&f, &loads);
        let mid = forces_at(&line(&f, BarId(0)).unwrap(), &r.bar_ends[0], &loads.bars, 2.5);
        close("mid moment", mid.my.abs(), moment, 1e-9);
        close("axial difference", r.bar_ends[0][1].n - r.bar_ends[0][0].n, axial, 1e-9);
        close("all at the low end", r.bar_ends[0][0].n, -axial, 1e-9);
    }
}
