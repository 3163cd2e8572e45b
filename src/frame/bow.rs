//! How far a shape bows the bars between their nodes.

use crate::frame::{Bar, EndFix, Frame};
use crate::vector::Vec3;

/// Places along a bar that are looked at.
const PLACES: usize = 32;

/// The greatest bow of a bar off its own chord in a shape, over the bar's length: as the node's turns bend it, without
/// load between its ends. 0 where no bar bends.
///
/// `shape`: movements and turns of every node in global axes, `[m, rad]`, small. An end with springs bends by the share of
/// the node's turn that the spring passes to a bar whose far end is hinged (the fixity factor,
/// 1/(1 + 3·E·I/(k·L))), by the stiffer of its two springs.
#[must_use]
pub fn greatest_bow(frame: &Frame, shape: &[[f64; 6]]) -> f64 {
    frame.bars.iter().map(|bar| bow(frame, bar, shape)).fold(0.0, f64::max)
}

/// The same in metres: the greatest distance of a bar off its own chord.
#[must_use]
pub fn largest_bow(frame: &Frame, shape: &[[f64; 6]]) -> f64 {
    let of =
        |bar: &Bar| bow(frame, bar, shape) * (frame.nodes[bar.to.0].at - frame.nodes[bar.from.0].at).norm();
    frame.bars.iter().map(of).fold(0.0, f64::max)
}

fn bow(frame: &Frame, bar: &Bar, shape: &[[f64; 6]]) -> f64 {
    let ends = [bar.from, bar.to];
    let [Some(from), Some(to)] = ends.map(|node| shape.get(node.0)) else { return 0.0 };
    let way = frame.nodes[bar.to.0].at - frame.nodes[bar.from.0].at;
    let length = way.norm();
    if length <= 0.0 {
        return 0.0;
    }
    let axis = way / length;
    let moved = Vec3::new(to[0] - from[0], to[1] - from[1], to[2] - from[2]);
    let chord = axis.cross(&moved) / length;
    let turn = |six: &[f64; 6]| {
        let turn = Vec3::new(six[3], six[4], six[5]);
        turn - axis * axis.dot(&turn) - chord
    };
    let passed = |end: &EndFix| match end {
        EndFix::Rigid => 1.0,
        EndFix::Hinged => 0.0,
        EndFix::Springs([_, y, z]) => {
            let section = &bar.section;
            let share = |k: f64, inertia: f64| {
                if k > 0.0 { 1.0 / (1.0 + 3.0 * section.elastic * inertia / (k * length)) } else { 0.0 }
            };
            share(*y, section.second_moment_y).max(share(*z, section.second_moment_z))
        }
    };
    let [a, b] = [turn(from), turn(to)];
    let (a, b) = match [passed(&bar.ends[0]), passed(&bar.ends[1])] {
        [0.0, 0.0] => return 0.0,
        // A hinged end turns back by half of what the other one turns.
        [0.0, far] => (b * (-0.5 * far), b * far),
        [near, 0.0] => (a * near, a * (-0.5 * near)),
        [near, far] => (a * near, b * far),
    };
    (1..PLACES)
        .map(|k| {
            let x = k as f64 / PLACES as f64;
            (a * (x * (1.0 - x) * (1.0 - x)) - b * (x * x * (1.0 - x))).norm()
        })
        .fold(0.0, f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::frame::timber::TIMBER;
    use crate::frame::{Node, NodeId};

    fn frame(ends: [EndFix; 2]) -> Frame {
        // Away from the origin, so that only what lies between the nodes counts.
        let node = |x: f64| Node { at: Vec3::new(3.0 + x, -2.0, 5.0), held: [false; 6], ground: [0.0; 6] };
        let section = TIMBER;
        let bar = Bar { from: NodeId(0), to: NodeId(1), section, up: Vec3::z(), ends };
        Frame { nodes: vec![node(0.0), node(2.0)], bars: vec![bar], ..Frame::default() }
    }

    #[test]
    fn bows_are_those_of_a_beam_turned_at_its_ends() {
        let turned = |from: f64, to: f64| [[0.0, 0.0, 0.0, 0.3, from, 0.0], [0.0, 0.0, 0.0, 0.3, to, 0.0]];
        let rigid = frame([EndFix::Rigid, EndFix::Rigid]);
        // Turned against each other: θ·L/4 in the middle; turned alike: θ·L/(6·√3) at (1 ∓ 1/√3)/2.
        assert!((greatest_bow(&rigid, &turned(0.01, -0.01)) - 0.0025).abs() < 1e-12);
        let alike = 0.01 / (6.0 * 3.0_f64.sqrt());
        assert!((greatest_bow(&rigid, &turned(0.01, 0.01)) / alike - 1.0).abs() < 0.01);
        // Propped at the far end: θ·L·x·(1 − x)·(1 − x/2), 0.1925·θ·L at x = 1 − 1/√3.
        let propped = frame([EndFix::Rigid, EndFix::Hinged]);
        let most = 0.01 / (3.0 * 3.0_f64.sqrt());
        assert!((greatest_bow(&propped, &turned(0.01, 0.05)) / most - 1.0).abs() < 0.01);
        let mirrored = frame([EndFix::Hinged, EndFix::Rigid]);
        assert!((greatest_bow(&mirrored, &turned(0.05, 0.01)) / most - 1.0).abs() < 0.01);
        let hinged = frame([EndFix::Hinged, EndFix::Hinged]);
        assert!(greatest_bow(&hinged, &turned(0.01, -0.01)) <= 0.0);
        // The stiffer of two springs: 3·E·I_z/(k·L) = 2/3, the other one's is 1.
        let k = 3.0 * 11e9 * 3e-6 / 2.0;
        let sprung = frame([EndFix::Springs([k; 3]), EndFix::Springs([f64::INFINITY; 3])]);
        let soft = greatest_bow(&sprung, &turned(0.01, 0.0)) / greatest_bow(&rigid, &turned(0.01, 0.0));
        assert!((soft - 0.6).abs() < 1e-9, "{soft}");
        let sprung = frame([EndFix::Rigid, EndFix::Springs([k; 3])]);
        let soft = greatest_bow(&sprung, &turned(0.0, 0.01)) / greatest_bow(&rigid, &turned(0.0, 0.01));
        assert!((soft - 0.6).abs() < 1e-9, "{soft}");
        // The same against a hinge at the other end, which only turns along.
        for (ends, way) in [
            ([EndFix::Springs([k; 3]), EndFix::Hinged], turned(0.01, 0.0)),
            ([EndFix::Hinged, EndFix::Springs([k; 3])], turned(0.0, 0.01)),
        ] {
            let soft = greatest_bow(&frame(ends), &way) / most;
            assert!((soft / 0.6 - 1.0).abs() < 0.01, "{soft}");
        }
    }

    /// In metres a long bar's bow may be the largest where a shorter one's is greater over its length.
    #[test]
    fn the_largest_bow_is_in_metres() {
        let mut two = frame([EndFix::Rigid; 2]);
        two.nodes.push(Node { at: two.nodes[1].at + Vec3::new(0.0, 0.0, 6.0), ..two.nodes[1].clone() });
        two.bars.push(Bar { from: NodeId(1), to: NodeId(2), up: Vec3::x(), ..two.bars[0].clone() });
        // Both turn at one end, the short one by 0.03 and the long one by 0.02: 4/27 of that each, over their length.
        let shape = [[0.0, 0.0, 0.0, 0.0, 0.03, 0.0], [0.0; 6], [0.0, 0.0, 0.0, 0.0, 0.02, 0.0]];
        assert!((greatest_bow(&two, &shape) / (0.03 * 4.0 / 27.0) - 1.0).abs() < 0.01);
        assert!((largest_bow(&two, &shape) / (0.02 * 4.0 / 27.0 * 6.0) - 1.0).abs() < 0.01);
        two.bars.pop();
        assert!((largest_bow(&two, &shape) / (0.03 * 4.0 / 27.0 * 2.0) - 1.0).abs() < 0.01);
    }

    #[test]
    fn a_bar_that_moves_as_a_whole_does_not_bow() {
        let rigid = frame([EndFix::Rigid, EndFix::Rigid]);
        // Turned about its own middle by 0.01 about y and z, and moved along.
        let shape = [[0.5, -0.01, 0.01, 0.0, 0.01, 0.01], [0.5, 0.01, -0.01, 0.0, 0.01, 0.01]];
        assert!(greatest_bow(&rigid, &shape) < 1e-15);
        // And moved across as well.
        let across = shape.map(|six| [six[0], six[1] + 0.3, six[2] - 0.7, six[3], six[4], six[5]]);
        assert!(greatest_bow(&rigid, &across) < 1e-15);
        // The same of a bar askew, turned about an axis askew.
        let mut askew = rigid;
        askew.nodes[1].at = askew.nodes[0].at + Vec3::new(0.8, -1.1, 1.4);
        let (turn, moved) = (Vec3::new(0.01, 0.02, -0.03), Vec3::new(0.5, 0.3, -0.7));
        let shape: Vec<[f64; 6]> = askew
            .nodes
            .iter()
            .map(|node| {
                let here = moved + turn.cross(&node.at);
                [here.x, here.y, here.z, turn.x, turn.y, turn.z]
            })
            .collect();
        assert!(greatest_bow(&askew, &shape) < 1e-15);
    }
}
