//! The 72-bar tower (in, kip).
//!
//! Source: a classical optimisation benchmark (Venkayya 1971; Schmit & Farshi 1974), all input from memory,
//! confirmed by the usual optimum, which must sit on the 0.25 in drift and near the 25 ksi stress limit.
//! Figures derived by an independent model. Tolerance: the last digit given.

use strutwise::frame::{Bar, EndFix, Frame, FrameLoads};

use crate::frames::{FREE, PINNED, axial, close, frame, near, node, on_nodes, section, solve};

/// Areas of posts, face diagonals, ring bars, plan diagonals, storey by storey from the bottom.
fn tower(areas: [[f64; 4]; 4]) -> Frame {
    let mut nodes = Vec::new();
    for level in 0..5 {
        for (x, y) in [(0., 0.), (120., 0.), (120., 120.), (0., 120.)] {
            nodes.push(node(x, y, 60.0 * f64::from(level), if level == 0 { PINNED } else { FREE }));
        }
    }
    let mut bars = Vec::new();
    for (storey, areas) in areas.iter().enumerate() {
        let [posts, faces, rings, plans] = areas.map(|a| section(1e4, a, 0.0));
        let (low, top) = (4 * storey, 4 * storey + 4);
        for i in 0..4 {
            let next = (i + 1) % 4;
            bars.push((low + i, top + i, posts));
            bars.push((low + i, top + next, faces));
            bars.push((low + next, top + i, faces));
            bars.push((top + i, top + next, rings));
        }
        bars.push((top, top + 2, plans));
        bars.push((top + 1, top + 3, plans));
    }
    assert_eq!(bars.len(), 72);
    frame(nodes, &bars, EndFix::Hinged)
}

fn cases() -> [FrameLoads; 2] {
    let down = [0., 0., -5., 0., 0., 0.];
    [
        on_nodes(&[(16, [5., 5., -5., 0., 0., 0.])]),
        on_nodes(&[(16, down), (17, down), (18, down), (19, down)]),
    ]
}

fn weight(frame: &Frame) -> f64 {
    let volume = |b: &Bar| b.section.area * (frame.nodes[b.from.0].at - frame.nodes[b.to.0].at).norm();
    frame.bars.iter().map(|b| 0.1 * volume(b)).sum()
}

#[test]
fn unit_areas() {
    let frame = tower([[1.0; 4]; 4]);
    close("weight", weight(&frame), 853.08955, 1e-8);
    let [one, two] = cases().map(|case| solve(&frame, &case));
    for (joint, wanted) in [
        (16, [0.192469, 0.192469, 0.026452]),
        (17, [0.174715, 0.167962, -0.020249]),
        (18, [0.172254, 0.172254, -0.090745]),
    ] {
        for (found, wanted) in one.displacements[joint].iter().zip(wanted) {
            near("case 1", *found, wanted, 1e-6);
        }
    }
    // Joint 17 and its images under a quarter turn.
    for (joint, signs) in [(16, [1.0, 1.0]), (17, [-1.0, 1.0]), (18, [-1.0, -1.0]), (19, [1.0, -1.0])] {
        for (axis, wanted) in [-0.001765 * signs[0], -0.001765 * signs[1], -0.108322].into_iter().enumerate()
        {
            near("case 2", two.displacements[joint][axis], wanted, 1e-6);
        }
    }
    let largest =
        |r: &strutwise::frame::Response| r.bar_ends.iter().map(|b| axial(b).abs()).fold(0.0, f64::max);
    close("N, case 1", largest(&one), 6.96894, 1e-6);
    close("N, case 2", largest(&two), 4.57378, 1e-6);
}

#[test]
fn the_usual_optimum_sits_on_its_limits() {
    let frame = tower([
        [1.8577, 0.5059, 0.1, 0.1],
        [1.2476, 0.5269, 0.1, 0.1012],
        [0.5209, 0.5172, 0.1004, 0.1005],
        [0.1565, 0.5507, 0.3922, 0.5922],
    ]);
    close("weight", weight(&frame), 379.84, 2e-5);
    let [one, two] = cases().map(|case| solve(&frame, &case));
    near("drift, derived", one.displacements[16][0], 0.24999, 5.1e-6);
    close("drift, the limit", one.displacements[16][0], 0.25, 1e-4);
    let stress = frame
        .bars
        .iter()
        .zip(&two.bar_ends)
        .map(|(bar, ends)| (axial(ends) / bar.section.area).abs())
        .fold(0.0, f64::max);
    close("stress", stress, 24.966, 1e-4);
}
