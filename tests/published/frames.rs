//! Short ways to write a frame down.

use strutwise::frame::linear::Solver;
use strutwise::frame::{
    Bar, BarForces, BarId, BarLoad, BarSection, EndFix, Frame, FrameLoads, Node, NodeId, Response,
};
use strutwise::vector::{Vec3, default_up};

/// Everything held.
pub(crate) const FIXED: [bool; 6] = [true; 6];
/// Nothing held.
pub(crate) const FREE: [bool; 6] = [false; 6];
/// Translations held.
pub(crate) const PINNED: [bool; 6] = [true, true, true, false, false, false];
/// Moves in the x–y plane only.
pub(crate) const IN_XY: [bool; 6] = [false, false, true, true, true, false];

/// A node.
pub(crate) fn node(x: f64, y: f64, z: f64, held: [bool; 6]) -> Node {
    Node { at: Vec3::new(x, y, z), held, ground: [0.0; 6] }
}

/// A section of Young's modulus, area and one second moment for both axes, with no mass. Torsion and shear
/// modulus are plain guesses for cases that do not twist.
pub(crate) fn section(elastic: f64, area: f64, second_moment: f64) -> BarSection {
    BarSection {
        area,
        second_moment_y: second_moment,
        second_moment_z: second_moment,
        torsion: second_moment,
        elastic,
        shear: elastic / 2.6,
        mass: 0.0,
    }
}

/// A bar with default orientation.
pub(crate) fn bar(nodes: &[Node], from: usize, to: usize, section: BarSection, end: EndFix) -> Bar {
    let up = default_up(&nodes[from].at, &nodes[to].at);
    Bar { from: NodeId(from), to: NodeId(to), section, up, ends: [end; 2] }
}

/// A frame of bars with the same ends.
pub(crate) fn frame(nodes: Vec<Node>, bars: &[(usize, usize, BarSection)], end: EndFix) -> Frame {
    let bars = bars.iter().map(|(from, to, s)| bar(&nodes, *from, *to, *s, end)).collect();
    Frame { nodes, bars, ..Frame::default() }
}

/// Forces and moments on nodes.
pub(crate) fn on_nodes(loads: &[(usize, [f64; 6])]) -> FrameLoads {
    FrameLoads { nodes: loads.iter().map(|(n, f)| (NodeId(*n), *f)).collect(), ..FrameLoads::default() }
}

/// A line load over a whole bar.
pub(crate) fn along(bar: usize, length: f64, from: Vec3, to: Vec3) -> BarLoad {
    BarLoad { bar: BarId(bar), span: [0.0, length], intensity: [from, to] }
}

/// Solves one case.
pub(crate) fn solve(frame: &Frame, loads: &FrameLoads) -> Response {
    let solver = Solver::new(frame).unwrap();
    assert!(solver.mechanisms().is_empty(), "mechanism");
    solver.solve(std::slice::from_ref(loads)).unwrap().remove(0)
}

/// A straight member of `pieces` bars from `a` to `b`, both ends nodes that are there already; the nodes
/// between are held as `between`. Returns the nodes from end to end.
pub(crate) fn member(
    frame: &mut Frame,
    ends: (usize, usize),
    pieces: usize,
    section: BarSection,
    between: [bool; 6],
) -> Vec<usize> {
    let (a, b) = (frame.nodes[ends.0].at, frame.nodes[ends.1].at);
    let mut all = vec![ends.0];
    for i in 1..pieces {
        let at = a + (b - a) * (i as f64 / pieces as f64);
        frame.nodes.push(node(at.x, at.y, at.z, between));
        all.push(frame.nodes.len() - 1);
    }
    all.push(ends.1);
    for pair in all.windows(2) {
        let new = bar(&frame.nodes, pair[0], pair[1], section, EndFix::Rigid);
        frame.bars.push(new);
    }
    all
}

/// Asserts relative agreement.
#[track_caller]
pub(crate) fn close(what: &str, got: f64, want: f64, relative: f64) {
    assert!(
        (got - want).abs() <= relative * want.abs(),
        "{what}: got {got:.10e}, want {want:.10e}, off by {:.2e} relative (allowed {relative:.0e})",
        (got - want).abs() / want.abs()
    );
}

/// Asserts absolute agreement.
#[track_caller]
pub(crate) fn near(what: &str, got: f64, want: f64, absolute: f64) {
    assert!((got - want).abs() <= absolute, "{what}: got {got:.10e}, want {want:.10e} ± {absolute:.0e}");
}

/// Axial force, the mean of both ends.
pub(crate) fn axial(ends: &[BarForces; 2]) -> f64 {
    0.5 * (ends[0].n + ends[1].n)
}

/// Joints and struts of a class I icosahedral sphere of radius 1, vertex up; `half` keeps z ≥ 0.
pub(crate) fn geodesic(frequency: usize, half: bool) -> (Vec<[f64; 3]>, Vec<(usize, usize)>) {
    let (z, r) = (1.0 / 5.0_f64.sqrt(), 2.0 / 5.0_f64.sqrt());
    let mut corners = vec![Vec3::new(0., 0., 1.)];
    for ring in 0..2 {
        for i in 0..5 {
            let angle = std::f64::consts::TAU * (f64::from(i) + 0.5 * f64::from(ring)) / 5.0;
            let side = if ring == 0 { z } else { -z };
            corners.push(Vec3::new(r * angle.cos(), r * angle.sin(), side));
        }
    }
    corners.push(Vec3::new(0., 0., -1.));
    let mut faces = Vec::new();
    for i in 0..5 {
        let j = (i + 1) % 5;
        faces.extend([[0, 1 + i, 1 + j], [1 + i, 6 + i, 1 + j], [6 + i, 6 + j, 1 + j], [11, 6 + j, 6 + i]]);
    }
    let mut places: Vec<Vec3> = Vec::new();
    let mut bars: Vec<(usize, usize)> = Vec::new();
    let f = frequency as f64;
    for face in faces {
        let [a, b, c] = face.map(|i: usize| corners[i]);
        let mut index = |i: usize, j: usize| {
            let (i, j) = (i as f64, j as f64);
            let at = ((a * (f - i - j) + b * i + c * j) / f).normalize();
            places.iter().position(|p| (p - at).norm() < 1e-6).unwrap_or_else(|| {
                places.push(at);
                places.len() - 1
            })
        };
        for i in 0..frequency {
            for j in 0..frequency - i {
                let corner = [index(i, j), index(i + 1, j), index(i, j + 1)];
                for k in 0..3 {
                    let (p, q) = (corner[k], corner[(k + 1) % 3]);
                    bars.push((p.min(q), p.max(q)));
                }
            }
        }
    }
    bars.sort_unstable();
    bars.dedup();
    let keep: Vec<usize> = (0..places.len()).filter(|i| !half || places[*i].z > -1e-9).collect();
    let bars = bars
        .iter()
        .filter_map(|(a, b)| Some((keep.binary_search(a).ok()?, keep.binary_search(b).ok()?)))
        .collect();
    (keep.iter().map(|i| [places[*i].x, places[*i].y, places[*i].z]).collect(), bars)
}
