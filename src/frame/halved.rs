//! A frame with some of its bars in two halves, so that they may bow between their nodes: one cubic shape a bar, and on end springs
//! what these leave of it, knows too little of a bar that is pressed nearly as far as it buckles. Two cubics come within 1 % of
//! Euler's load between hinges and 2 % between clamps (the tests).

use std::f64::consts::PI;

use crate::frame::bar::{BarLine, Vector12, condensation, end_springs};
use crate::frame::bow::greatest_bow;
use crate::frame::limit::largest_movement;
use crate::frame::{Bar, BarId, BarLoad, EndFix, Frame, FrameLoads, Node, NodeId, Response};
use crate::vector::line_axes;

/// Compression over Euler's load between hinges from which a bar is halved. One cubic between rigid ends is within 1 % up to 0.4 of
/// it (`tests/published/beam_columns.rs`).
const PRESSED: f64 = 0.25;

/// A frame with some of its bars in two halves.
#[derive(Debug, Clone, PartialEq)]
pub struct Halved {
    /// Nodes and bars of the first frame in their places, a halved bar up to its middle; behind them the nodes in the middle
    /// and the second halves, in the order of their bars.
    pub frame: Frame,
    /// The bars that are halved, in order.
    bars: Vec<usize>,
    /// How many nodes and bars the first frame has.
    first: [usize; 2],
}

/// Whether a bar pressed by `force` \[N\] (compression positive) may bow far more than one cubic shape does, and two halves are held by
/// its nodes: hinged against turning about its own axis at both ends, its middle would spin.
fn is_pressed(frame: &Frame, bar: &Bar, force: f64) -> bool {
    let section = &bar.section;
    let least = section.elastic * section.second_moment_y.min(section.second_moment_z);
    let held = bar.ends.iter().any(|end| end_springs(end)[0] > 0.0) && section.shear * section.torsion > 0.0;
    let square = (frame.nodes[bar.to.0].at - frame.nodes[bar.from.0].at).norm_squared();
    held && least > 0.0 && force * square > PRESSED * PI * PI * least
}

/// How the middle of an unloaded bar moves and turns with its nodes.
fn middle(frame: &Frame, bar: &Bar, shape: &[[f64; 6]]) -> [f64; 6] {
    let ends = [bar.from, bar.to].map(|node| shape[node.0]);
    let [from, to] = [bar.from, bar.to].map(|node| frame.nodes[node.0].at);
    let Some(axes) = line_axes(&from, &to, &bar.up) else { return [0.0; 6] };
    let line = BarLine { axes, length: (to - from).norm() };
    let nodes = Vector12::from_iterator(ends.into_iter().flatten());
    let own = condensation(bar, line.length) * line.to_local(&nodes);
    let mut local = Vector12::zeros();
    let mean = |freedom: usize| 0.5 * (own[freedom] + own[freedom + 6]);
    (local[0], local[3]) = (mean(0), mean(3));
    // The cubic at half its length: its deflection and its slope by those of its ends; ry = −uz′, rz = uy′.
    for (across, turn, sign) in [(1, 5, 1.0), (2, 4, -1.0)] {
        let slopes = [sign * own[turn], sign * own[turn + 6]];
        local[across] = mean(across) + line.length / 8.0 * (slopes[0] - slopes[1]);
        let chord = (own[across + 6] - own[across]) / line.length;
        local[turn] = sign * (1.5 * chord - 0.25 * (slopes[0] + slopes[1]));
    }
    let global = line.to_global(&local);
    std::array::from_fn(|freedom| global[freedom])
}

impl Halved {
    /// Halves the bars whose compression \[N\] reaches a quarter of Euler's load between hinges; bars hinged at both ends stay
    /// whole, and so does everything where none is pressed as hard.
    ///
    /// `compression`: of every bar, positive where it is pressed.
    #[must_use]
    pub fn new(frame: &Frame, compression: &[f64]) -> Self {
        let first = [frame.nodes.len(), frame.bars.len()];
        let pressed = |&bar: &usize| is_pressed(frame, &frame.bars[bar], compression[bar]);
        let bars: Vec<usize> = (0..first[1].min(compression.len())).filter(pressed).collect();
        let mut halved = frame.clone();
        for &bar in &bars {
            let whole = &frame.bars[bar];
            let middle = NodeId(halved.nodes.len());
            let at = (frame.nodes[whole.from.0].at + frame.nodes[whole.to.0].at) * 0.5;
            halved.nodes.push(Node { at, held: [false; 6], ground: [0.0; 6] });
            halved.bars.push(Bar { from: middle, ends: [EndFix::Rigid, whole.ends[1]], ..whole.clone() });
            let near = &mut halved.bars[bar];
            (near.to, near.ends[1]) = (middle, EndFix::Rigid);
        }
        Self { frame: halved, bars, first }
    }

    /// Loads on the first frame, on the halves.
    #[must_use]
    pub fn loads(&self, loads: &FrameLoads) -> FrameLoads {
        let [_, count] = self.first;
        let mut bars = Vec::with_capacity(2 * loads.bars.len());
        for load in &loads.bars {
            let Ok(place) = self.bars.binary_search(&load.bar.0) else {
                bars.push(load.clone());
                continue;
            };
            let half = self.length(load.bar.0);
            let [start, end] = load.span;
            let of = |at: f64| {
                let along = if end > start { (at - start) / (end - start) } else { 0.0 };
                load.intensity[0] + (load.intensity[1] - load.intensity[0]) * along
            };
            let mut part = |bar: usize, [a, b]: [f64; 2], from: f64| {
                if b > a {
                    let span = [a - from, b - from];
                    bars.push(BarLoad { bar: BarId(bar), span, intensity: [of(a), of(b)] });
                }
            };
            part(load.bar.0, [start, end.min(half)], 0.0);
            part(count + place, [start.max(half), end], half);
        }
        FrameLoads { bars, ..loads.clone() }
    }

    /// Length of a halved bar up to its middle \[m\].
    fn length(&self, bar: usize) -> f64 {
        let Bar { from, to, .. } = &self.frame.bars[bar];
        (self.frame.nodes[to.0].at - self.frame.nodes[from.0].at).norm()
    }

    /// A shape of the `first` frame on the halves: the middle of a bar stands and turns as the unloaded bar does between its nodes. Where
    /// no shape is, nothing moves.
    #[must_use]
    pub fn shape(&self, first: &Frame, shape: &[[f64; 6]]) -> Vec<[f64; 6]> {
        let mut all = shape.to_vec();
        all.resize(self.first[0], [0.0; 6]);
        let middles: Vec<_> = self.bars.iter().map(|&bar| middle(first, &first.bars[bar], &all)).collect();
        all.extend(middles);
        all
    }

    /// Translations of every node in a shape of the `first` frame \[m\]: its nodes move by `size` at most, and the middles of halved
    /// bars stand off their chords as in [`Self::shape`], but where that is more than `bow` of a bar's length, all by so much less. A
    /// shape in which nodes turn and hardly move bows bars alone.
    #[must_use]
    pub fn crooked(&self, first: &Frame, shape: &[[f64; 6]], size: f64, bow: f64) -> Vec<[f64; 6]> {
        let by_moving = largest_movement(first, shape).map_or(0.0, |largest| size / largest);
        let most = greatest_bow(first, shape);
        let share = if most > 0.0 { bow.abs() / most } else { 0.0 };
        let by_bowing =
            if by_moving.abs() <= 0.0 { size.signum() * share } else { by_moving.clamp(-share, share) };
        let mut all = self.shape(first, shape);
        for (place, &bar) in self.bars.iter().enumerate() {
            let ends = [first.bars[bar].from, first.bars[bar].to].map(|node| all[node.0]);
            let own = &mut all[self.first[0] + place];
            for axis in 0..3 {
                let mean = 0.5 * (ends[0][axis] + ends[1][axis]);
                own[axis] = mean * by_moving + (own[axis] - mean) * by_bowing;
            }
        }
        all[..self.first[0]].iter_mut().flatten().for_each(|v| *v *= by_moving);
        all.iter_mut().for_each(|six| six[3..].fill(0.0));
        all
    }

    /// An answer of the halves as one of the first frame: what bars carry in their middles is left out.
    #[must_use]
    pub fn whole(&self, mut answer: Response) -> Response {
        let [nodes, bars] = self.first;
        answer.displacements.truncate(nodes);
        let second = answer.bar_ends.split_off(bars);
        for (&bar, ends) in self.bars.iter().zip(second) {
            answer.bar_ends[bar][1] = ends[1];
        }
        answer
    }

    /// Whether no bar is halved.
    #[must_use]
    pub fn is_whole(&self) -> bool {
        self.bars.is_empty()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::frame::limit::{LimitOptions, limit_of};
    use crate::frame::linear::Solver;
    use crate::frame::timber::TIMBER;
    use crate::vector::Vec3;

    fn node(x: f64, held: [bool; 6]) -> Node {
        Node { at: Vec3::new(3.0 + x, -2.0, 5.0), held, ground: [0.0; 6] }
    }

    /// A column along x of one bar, 2 m long, its far end free to move along it.
    fn column(ends: [EndFix; 2]) -> Frame {
        let nodes = vec![node(0.0, [true; 6]), node(2.0, [false, true, true, true, true, true])];
        let bar = Bar { from: NodeId(0), to: NodeId(1), section: TIMBER, up: Vec3::z(), ends };
        Frame { nodes, bars: vec![bar], ..Frame::default() }
    }

    /// A bar of unlike ends in the corner of a frame, and one that is hinged.
    fn corner(end: EndFix) -> Frame {
        let mut frame = column([EndFix::Rigid, end]);
        frame.nodes[1].held = [false; 6];
        frame.nodes.push(node(2.0, [true; 6]));
        frame.nodes[2].at.z -= 1.5;
        frame.bars.push(Bar {
            from: NodeId(2),
            up: Vec3::x(),
            ends: [EndFix::Rigid; 2],
            ..frame.bars[0].clone()
        });
        frame.bars.push(Bar {
            from: NodeId(0),
            to: NodeId(2),
            ends: [EndFix::Hinged; 2],
            ..frame.bars[0].clone()
        });
        frame
    }

    fn euler(frame: &Frame) -> f64 {
        let section = &frame.bars[0].section;
        PI * PI * section.elastic * section.second_moment_y.min(section.second_moment_z) / 4.0
    }

    /// Which bars, and none that would spin or is pulled.
    #[test]
    fn bars_are_halved_that_are_pressed_and_held_against_twist() {
        let frame = corner(EndFix::Springs([0.0, 2e3, 2e3]));
        let most = euler(&frame);
        let halved = |forces: [f64; 3]| Halved::new(&frame, &forces).bars;
        assert_eq!(halved([0.26 * most, 0.24 * most, most]), [0]);
        assert_eq!(halved([-most, most, -most]), [1]);
        assert!(Halved::new(&frame, &[]).is_whole() && Halved::new(&frame, &[0.0; 3]).frame == frame);
        let spins = corner(EndFix::Rigid);
        for twist in [0.0, 1.0] {
            let mut frame = spins.clone();
            frame.bars[0].ends = [EndFix::Springs([twist, 2e3, 2e3]), EndFix::Hinged];
            assert_eq!(Halved::new(&frame, &[most; 3]).bars.contains(&0), twist > 0.0);
        }
    }

    /// Halves answer to small loads as the whole does, line loads that begin and end on either side of the middle or across it too.
    #[test]
    fn halves_are_the_whole_under_small_loads() {
        let frame = corner(EndFix::Springs([3e3, 1e3, 2e3]));
        let halved = Halved::new(&frame, &[1e9, 1e9, 1e9]);
        assert_eq!(
            (halved.bars.as_slice(), halved.frame.nodes.len(), halved.frame.bars.len()),
            (&[0, 1][..], 5, 5)
        );
        let line = |bar: usize, span: [f64; 2], from: f64, to: f64| BarLoad {
            bar: BarId(bar),
            span,
            intensity: [Vec3::new(from, 30.0, -from), Vec3::new(20.0, -to, to)],
        };
        let loads = FrameLoads {
            nodes: vec![(NodeId(1), [10.0, 20.0, -30.0, 5.0, 6.0, 7.0])],
            bars: vec![
                line(0, [0.1, 0.9], 100.0, 300.0),
                line(0, [0.2, 1.7], 500.0, -300.0),
                line(1, [0.0, 1.5], 200.0, 200.0),
                line(0, [1.0, 2.0], 40.0, 10.0),
                line(2, [0.0, 2.0], 0.0, 700.0),
            ],
            settlements: vec![(NodeId(0), 2, 1e-3)],
        };
        let whole = Solver::new(&frame).unwrap().solve(std::slice::from_ref(&loads)).unwrap().remove(0);
        let parts = Solver::new(&halved.frame).unwrap().solve(&[halved.loads(&loads)]).unwrap().remove(0);
        for (whole, part) in whole.displacements.iter().zip(&parts.displacements) {
            assert!(whole.iter().zip(part).all(|(a, b)| (a - b).abs() < 1e-12), "{whole:?} {part:?}");
        }
        let parts = halved.whole(parts);
        assert_eq!((parts.displacements.len(), parts.bar_ends.len()), (3, 3));
        assert_eq!(parts.reactions.iter().map(|r| r.0).collect::<Vec<_>>(), [NodeId(0), NodeId(2)]);
        for (whole, part) in whole.bar_ends.iter().zip(&parts.bar_ends) {
            for (a, b) in whole.iter().zip(part) {
                let off = [a.n - b.n, a.vy - b.vy, a.vz - b.vz, a.t - b.t, a.my - b.my, a.mz - b.mz];
                assert!(off.iter().all(|off| off.abs() < 1e-8), "{off:?}");
            }
        }
    }

    /// Unloaded halves answer to moved supports as the whole does: their middles move and turn as its shape says.
    #[test]
    fn the_middle_of_a_bar_is_where_its_nodes_put_it() {
        for end in [EndFix::Rigid, EndFix::Springs([3e3, 1e3, 2e3]), EndFix::Springs([0.0, 1e3, 0.0])] {
            let frame = corner(end);
            let halved = Halved::new(&frame, &[1e9; 3]);
            let (at, turn) = (NodeId(1), [1e3, 2e3, -3e3, 500.0, 600.0, 700.0]);
            let moved = [(0, 0, 1e-3), (0, 3, 0.01), (0, 4, -0.02), (2, 2, 3e-3), (2, 5, 0.01)];
            let loads = FrameLoads {
                nodes: vec![(at, turn)],
                settlements: moved.map(|(node, freedom, by)| (NodeId(node), freedom, by)).to_vec(),
                ..FrameLoads::default()
            };
            let of = |frame: &Frame, loads: FrameLoads| {
                Solver::new(frame).unwrap().solve(&[loads]).unwrap().remove(0)
            };
            let parts = of(&halved.frame, halved.loads(&loads)).displacements;
            let whole = halved.shape(&frame, &of(&frame, loads).displacements);
            assert_eq!(whole.len(), 5);
            for (whole, part) in whole.iter().zip(&parts) {
                assert!(
                    whole.iter().zip(part).all(|(a, b)| (a - b).abs() < 1e-9),
                    "{end:?} {whole:?} {part:?}"
                );
            }
        }
    }

    /// A bar between clamps does not buckle in one cubic at all, and in two at 4 times Euler's load between hinges, 1.3 % above it.
    #[test]
    fn halves_bow_between_clamps_as_a_bar_does() {
        let frame = column([EndFix::Rigid; 2]);
        let most = euler(&frame);
        let loads = FrameLoads {
            nodes: vec![(NodeId(1), [-most, 0.0, 0.0, 0.0, 0.0, 0.0])],
            ..FrameLoads::default()
        };
        let options = LimitOptions { enough: 10.0, closeness: 1e-4, ..LimitOptions::default() };
        let of = |frame: &Frame| limit_of(frame, &loads, None, &options).unwrap().factor;
        let halved = Halved::new(&frame, &[most]);
        let found = of(&halved.frame);
        assert!((found / 4.0 - 1.013).abs() < 0.01, "{found}");
        assert!(of(&frame) >= 10.0);
    }

    /// Where nothing buckles there is no shape, and nothing is crooked.
    #[test]
    fn no_shape_moves_nothing() {
        let frame = column([EndFix::Rigid; 2]);
        for halved in [Halved::new(&frame, &[1e9]), Halved::new(&frame, &[])] {
            let still = vec![[0.0; 6]; halved.frame.nodes.len()];
            assert_eq!(halved.shape(&frame, &[]), still);
            let crooked = halved.crooked(&frame, &[], 0.02, 0.0025);
            assert!(
                crooked.len() == still.len() && crooked.iter().flatten().all(|v| v.abs() <= 0.0),
                "{crooked:?}"
            );
        }
    }

    /// Nodes move by what is asked for; bars bow as their ends turn, by no more than their share.
    #[test]
    fn crookedness_of_halves_is_limited() {
        let frame = column([EndFix::Rigid; 2]);
        let halved = Halved::new(&frame, &[1e9]);
        let turned =
            |moved: f64, turn: f64| [[0.0, moved, 0.0, 0.0, -turn, 0.0], [0.0, moved, 0.0, 0.0, turn, 0.0]];
        // Turned against each other by θ: θ·L/4 in the middle. By −θ and θ about y the middle goes up.
        for (moved, turn, at_ends, bowed) in [
            (1.0, 0.01, 0.02, 1e-4),
            (1.0, -0.01, 0.02, -1e-4),
            (1.0, 10.0, 0.02, 0.005),
            (0.0, 1.0, 0.0, 0.005),
            (1e-9, 1.0, 0.0, 0.005),
            (1.0, 0.0, 0.02, 0.0),
        ] {
            let crooked = halved.crooked(&frame, &turned(moved, turn), 0.02, 0.0025);
            assert_eq!(crooked.len(), 3);
            for (node, up) in [(0, 0.0), (1, 0.0), (2, bowed)] {
                assert!((crooked[node][1] - at_ends).abs() < 1e-12, "{moved} {turn}: {crooked:?}");
                assert!((crooked[node][2] - up).abs() < 1e-12, "{moved} {turn}: {crooked:?}");
                assert!(crooked[node][3..].iter().all(|turn| turn.abs() <= 0.0));
            }
        }
    }
}
