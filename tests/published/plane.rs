//! Frames for the nonlinear cases: chains of equal bars, held to the x–z plane where asked.

use strutwise::frame::path::{Path, PathStep};
use strutwise::frame::{Bar, BarSection, EndFix, Frame, FrameLoads, Node, NodeId};
use strutwise::vector::Vec3;

/// Held in nothing.
pub(crate) const FREE: [bool; 6] = [false; 6];
/// Held against leaving the x–z plane.
pub(crate) const IN_PLANE: [bool; 6] = [false, true, false, true, false, true];
/// Held against all movement, turning about y free, in the x–z plane.
pub(crate) const PINNED_IN_PLANE: [bool; 6] = [true, true, true, true, false, true];
/// Held against all movement, free to turn.
pub(crate) const PINNED: [bool; 6] = [true, true, true, false, false, false];
/// Held in everything.
pub(crate) const CLAMPED: [bool; 6] = [true; 6];

/// A section by its stiffnesses; Young's modulus 1 unless said.
pub(crate) fn section(elastic: f64, area: f64, second_moment: f64) -> BarSection {
    BarSection {
        area,
        second_moment_y: second_moment,
        second_moment_z: second_moment,
        torsion: 2.0 * second_moment,
        elastic,
        shear: 0.5 * elastic,
        mass: 0.0,
    }
}

/// Adds a node.
pub(crate) fn node(frame: &mut Frame, at: Vec3, held: [bool; 6]) -> NodeId {
    frame.nodes.push(Node { at, held, ground: [0.0; 6] });
    NodeId(frame.nodes.len() - 1)
}

/// Adds one bar.
pub(crate) fn bar(frame: &mut Frame, from: NodeId, to: NodeId, section: BarSection, end: EndFix) {
    let (a, b) = (frame.nodes[from.0].at, frame.nodes[to.0].at);
    let up = strutwise::vector::default_up(&a, &b);
    frame.bars.push(Bar { from, to, section, up, ends: [end, end] });
}

/// Joins two nodes by `count` equal rigid bars in a line; gives all its nodes, the ends too.
pub(crate) fn line(
    frame: &mut Frame,
    from: NodeId,
    to: NodeId,
    count: usize,
    section: BarSection,
    held: [bool; 6],
) -> Vec<NodeId> {
    let (a, b) = (frame.nodes[from.0].at, frame.nodes[to.0].at);
    let mut nodes = vec![from];
    for i in 1..count {
        nodes.push(node(frame, a + (b - a) * (i as f64 / count as f64), held));
    }
    nodes.push(to);
    for pair in nodes.windows(2) {
        bar(frame, pair[0], pair[1], section, EndFix::Rigid);
    }
    nodes
}

/// One load on one node.
pub(crate) fn load(node: NodeId, freedom: usize, value: f64) -> FrameLoads {
    let mut forces = [0.0; 6];
    forces[freedom] = value;
    FrameLoads { nodes: vec![(node, forces)], ..FrameLoads::default() }
}

/// The factor where the watched movement first reaches `watched`: a parabola through the three
/// nearest points of the path.
pub(crate) fn factor_at(path: &Path, watched: f64) -> f64 {
    value_at(path, watched, |step| step.factor)
}

/// The same for anything that a step of the path tells.
pub(crate) fn value_at(path: &Path, watched: f64, value: impl Fn(&PathStep) -> f64) -> f64 {
    let mut points: Vec<(f64, f64)> = Vec::new();
    for step in &path.steps {
        if points.last().is_none_or(|p| (p.0 - step.watched).abs() > 1e-9) {
            points.push((step.watched, value(step)));
        }
    }
    let after = (1..points.len())
        .find(|i| (points[i - 1].0 - watched) * (points[*i].0 - watched) <= 0.0)
        .expect("the path reaches the movement asked for");
    let first = (after - 1).min(points.len() - 3);
    let p = &points[first..first + 3];
    let term = |i: usize, j: usize, k: usize| {
        p[i].1 * (watched - p[j].0) * (watched - p[k].0) / ((p[i].0 - p[j].0) * (p[i].0 - p[k].0))
    };
    term(0, 1, 2) + term(1, 0, 2) + term(2, 0, 1)
}

/// Relative agreement.
pub(crate) fn close(got: f64, want: f64, tolerance: f64, what: &str) {
    let off = (got - want).abs() / want.abs();
    assert!(off <= tolerance, "{what}: got {got}, want {want}, off by {off:.2e}");
}
