//! What can be wrong with a frame, its loads or an answer.

use crate::frame::{BarId, NodeId};

/// Why a frame cannot be solved, or why an answer was refused. Nodes and bars are named by position;
/// the caller knows their names.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum FrameError {
    /// A bar whose ends coincide.
    #[error("bar {} has no length: its two ends are at the same place; move one, or leave the bar out", bar.0)]
    NoLength {
        /// The bar.
        bar: BarId,
    },
    /// A bar's `up` is along the bar, so that its local z is undefined.
    #[error("bar {}: `up` is along the bar, so the direction of its section is undefined; give another", bar.0)]
    UpAlongBar {
        /// The bar.
        bar: BarId,
    },
    /// A node number beyond the list.
    #[error("{what} {index} names node {}, but there are {count} nodes, counted from 0; name one of them", node.0)]
    UnknownNode {
        /// "bar", "link", "fold", "load", "settlement".
        what: &'static str,
        /// Position of the thing that names it.
        index: usize,
        /// The node.
        node: NodeId,
        /// How many there are.
        count: usize,
    },
    /// A bar number beyond the list.
    #[error("line load {index} names bar {}, but there are {count} bars, counted from 0; name one of them", bar.0)]
    UnknownBar {
        /// Position of the load.
        index: usize,
        /// The bar.
        bar: BarId,
        /// How many there are.
        count: usize,
    },
    /// A number that is not finite, or outside what it can be.
    #[error("{what} {index}: {quantity} is {value}, but must be {must}; correct it")]
    BadNumber {
        /// "node", "bar", "link", "fold", "load".
        what: &'static str,
        /// Position of the thing.
        index: usize,
        /// What was read.
        quantity: &'static str,
        /// Its value.
        value: f64,
        /// What it has to be.
        must: &'static str,
    },
    /// A link whose two nodes are the same, or a fold whose panel has no width.
    #[error("{what} {index}: {reason}; name other nodes, or leave it out")]
    Degenerate {
        /// "link" or "fold".
        what: &'static str,
        /// Position of the thing.
        index: usize,
        /// Why it has no meaning.
        reason: &'static str,
    },
    /// A line load that is not on its bar.
    #[error(
        "line load {index} runs from {start} m to {end} m, but bar {} is {length} m long; keep it between 0 and that, \
         its start first",
        bar.0
    )]
    LoadOffBar {
        /// Position of the load.
        index: usize,
        /// The bar.
        bar: BarId,
        /// Where it starts \[m\].
        start: f64,
        /// Where it ends \[m\].
        end: f64,
        /// Length of the bar \[m\].
        length: f64,
    },
    /// A moment on a node that has no rotations (every bar end there is hinged).
    #[error(
        "a moment is put on node {}, which has no rotations: every bar end there is hinged and no spring holds it; make \
         one bar end rigid, or put a pair of forces instead",
        node.0
    )]
    MomentOnHinge {
        /// The node.
        node: NodeId,
    },
    /// A settlement of a freedom that is not held.
    #[error(
        "a settlement is asked of freedom {freedom} of node {}, which is not held; hold that freedom (0 to 5: x, y, z, rx, \
         ry, rz), or put a force instead",
        node.0
    )]
    SettlementOfFree {
        /// The node.
        node: NodeId,
        /// 0..6.
        freedom: usize,
    },
    /// A settlement among the loads of a nonlinear path.
    #[error(
        "a settlement of freedom {freedom} of node {} is among the loads: a nonlinear path takes forces only; \
         use a linear analysis, or a stiff spring to ground with a force",
        node.0
    )]
    SettlementOnPath {
        /// The node.
        node: NodeId,
        /// 0..6.
        freedom: usize,
    },
    /// Some motions meet no stiffness.
    #[error(
        "the frame is a mechanism: {count} independent motion(s) meet no stiffness; add bars, stiffer joints or supports \
         where they move"
    )]
    Mechanism {
        /// How many.
        count: usize,
    },
    /// Nothing moves freely, but stiffnesses differ by more than double precision can hold.
    #[error(
        "node {} is so soft against its neighbours that the arithmetic cannot resolve it (pivot ratio {ratio:.1e}); \
         bring the stiffest and the softest parts closer together, or leave one out",
        node.0
    )]
    TooSoft {
        /// Where the factorisation lost its digits.
        node: NodeId,
        /// What was left of the diagonal over the diagonal itself.
        ratio: f64,
    },
    /// An answer that does not satisfy equilibrium.
    #[error(
        "the answer does not satisfy equilibrium at node {}: unbalanced {residual:.1e} of the largest force (limit \
         {limit:.0e}); stiffnesses differ too much: bring the stiffest and the softest parts closer together",
        node.0
    )]
    Unbalanced {
        /// The worst node.
        node: NodeId,
        /// Unbalanced over the largest force.
        residual: f64,
        /// The limit.
        limit: f64,
    },
    /// Loads and reactions do not add up.
    #[error(
        "loads and reactions of the whole frame do not add up: off by {residual:.1e} of the largest force (limit \
         {limit:.0e}); stiffnesses differ too much: bring the stiffest and the softest parts closer together"
    )]
    TotalUnbalanced {
        /// Sum over the largest force.
        residual: f64,
        /// The limit.
        limit: f64,
    },
    /// An iteration did not reach its tolerance.
    #[error(
        "{what} did not converge in {steps} steps: {residual:.1e} left, {tolerance:.0e} wanted; look for parts that are far \
         softer than the rest, and try a smaller load"
    )]
    NotConverged {
        /// What was iterated.
        what: &'static str,
        /// Steps done.
        steps: usize,
        /// What is left.
        residual: f64,
        /// What was wanted.
        tolerance: f64,
    },
    /// The load is beyond the buckling load, so that second-order equilibrium does not exist.
    #[error(
        "the load is beyond the buckling load of the frame with this stiffness: no second-order equilibrium; make the load \
         smaller or the frame stiffer"
    )]
    BeyondBuckling,
    /// No memory for the factor, or too many unknowns for its indices.
    #[error(
        "the factor of {unknowns} unknowns does not fit in memory; divide the frame less finely, or take a part of it"
    )]
    TooLarge {
        /// How many.
        unknowns: usize,
    },
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::frame::linear::Solver;
    use crate::frame::path::{PathOptions, trace};
    use crate::frame::{Bar, BarLoad, BarSection, EndFix, Frame, FrameLoads, Link, Node};
    use crate::vector::Vec3;

    fn node(x: f64, held: [bool; 6]) -> Node {
        Node { at: Vec3::new(x, 0.0, 0.0), held, ground: [0.0; 6] }
    }

    /// A cantilever of two bars along x, 3 m and 2 m.
    fn cantilever() -> Frame {
        let section = BarSection {
            area: 1e-3,
            second_moment_y: 1e-6,
            second_moment_z: 1e-6,
            torsion: 1e-6,
            elastic: 1e10,
            shear: 1e9,
            mass: 1.0,
        };
        let bar = |from: usize, to: usize| Bar {
            from: NodeId(from),
            to: NodeId(to),
            section,
            up: Vec3::z(),
            ends: [EndFix::Rigid; 2],
        };
        Frame {
            nodes: vec![node(0.0, [true; 6]), node(3.0, [false; 6]), node(5.0, [false; 6])],
            bars: vec![bar(0, 1), bar(1, 2)],
            ..Frame::default()
        }
    }

    fn force(node: usize, six: [f64; 6]) -> FrameLoads {
        FrameLoads { nodes: vec![(NodeId(node), six)], ..FrameLoads::default() }
    }

    fn line(bar: usize, span: [f64; 2]) -> FrameLoads {
        let load = BarLoad { bar: BarId(bar), span, intensity: [Vec3::z(); 2] };
        FrameLoads { bars: vec![load], ..FrameLoads::default() }
    }

    fn settlement(node: usize, freedom: usize) -> FrameLoads {
        FrameLoads { settlements: vec![(NodeId(node), freedom, 0.01)], ..FrameLoads::default() }
    }

    fn refused(change: impl Fn(&mut Frame)) -> FrameError {
        let mut frame = cantilever();
        change(&mut frame);
        Solver::new(&frame).unwrap_err()
    }

    fn unsolved(loads: FrameLoads) -> FrameError {
        Solver::new(&cantilever()).unwrap().solve(&[loads]).unwrap_err()
    }

    /// Every bar hinged at its far end, so that the last one swings and the middle node of two bars in line moves.
    fn hinged(frame: &mut Frame) {
        frame.bars[1].ends = [EndFix::Hinged; 2];
    }

    /// One of each kind, from the frame that causes it wherever a small one can.
    fn one_of_each() -> Vec<FrameError> {
        let twins = Link { nodes: [NodeId(1), NodeId(1)], stiffness: [1.0; 6] };
        let far = Link { nodes: [NodeId(1), NodeId(7)], stiffness: [1.0; 6] };
        let mut swinging = cantilever();
        hinged(&mut swinging);
        let mechanism = Solver::new(&swinging).unwrap().solve(&[]).unwrap_err();
        let mut truss = cantilever();
        truss.bars.iter_mut().for_each(|bar| bar.ends = [EndFix::Hinged; 2]);
        truss.nodes[1].held[..3].fill(true);
        truss.nodes[2].held[..3].fill(true);
        let moment =
            Solver::new(&truss).unwrap().solve(&[force(1, [0.0, 0.0, 0.0, 5.0, 0.0, 0.0])]).unwrap_err();
        let on_path = trace(&cantilever(), &settlement(0, 2), &PathOptions::default()).unwrap_err();
        // Euler's load of the whole is 986 N.
        let beyond = Solver::new(&cantilever())
            .unwrap()
            .second_order(&force(2, [-5e3, 0.0, 0.0, 0.0, 0.0, 0.0]), &[])
            .unwrap_err();
        vec![
            refused(|frame| frame.nodes[2].at = frame.nodes[1].at),
            refused(|frame| frame.bars[1].up = Vec3::x()),
            refused(|frame| frame.links.push(far.clone())),
            unsolved(line(9, [0.0, 1.0])),
            refused(|frame| frame.bars[1].section.area = f64::NAN),
            refused(|frame| frame.links.push(twins.clone())),
            unsolved(line(1, [0.5, 2.5])),
            moment,
            unsolved(settlement(1, 2)),
            on_path,
            mechanism,
            FrameError::TooSoft { node: NodeId(4), ratio: 1e-16 },
            FrameError::Unbalanced { node: NodeId(5), residual: 2e-7, limit: 1e-8 },
            FrameError::TotalUnbalanced { residual: 2e-7, limit: 1e-8 },
            FrameError::NotConverged { what: "the iteration", steps: 50, residual: 1e-3, tolerance: 1e-9 },
            beyond,
            FrameError::TooLarge { unknowns: 5_000_000_000 },
        ]
    }

    /// Where the text must say the fault lies, and what it must tell to do. Every kind is here, or this does not build.
    fn must_say(error: &FrameError) -> (usize, &'static [&'static str], &'static str) {
        match error {
            FrameError::NoLength { .. } => (0, &["bar 1", "same place"], "move one, or leave the bar out"),
            FrameError::UpAlongBar { .. } => (1, &["bar 1", "`up`"], "give another"),
            FrameError::UnknownNode { .. } => (2, &["link 0", "node 7", "3 nodes"], "name one of them"),
            FrameError::UnknownBar { .. } => (3, &["line load 0", "bar 9", "2 bars"], "name one of them"),
            FrameError::BadNumber { .. } => (4, &["bar 1", "area is NaN", "above zero"], "correct it"),
            FrameError::Degenerate { .. } => (5, &["link 0", "a node to itself"], "name other nodes"),
            FrameError::LoadOffBar { .. } => {
                (6, &["line load 0", "0.5 m to 2.5 m", "bar 1 is 2 m"], "keep it between 0 and that")
            }
            FrameError::MomentOnHinge { .. } => (7, &["node 1", "no rotations"], "make one bar end rigid"),
            FrameError::SettlementOfFree { .. } => {
                (8, &["freedom 2 of node 1", "not held"], "hold that freedom")
            }
            FrameError::SettlementOnPath { .. } => (9, &["freedom 2 of node 0"], "use a linear analysis"),
            FrameError::Mechanism { .. } => (10, &["mechanism", "2 independent motion"], "add bars"),
            FrameError::TooSoft { .. } => (11, &["node 4", "1.0e-16"], "bring the stiffest and the softest"),
            FrameError::Unbalanced { .. } => {
                (12, &["node 5", "2.0e-7", "limit 1e-8"], "bring the stiffest and the softest")
            }
            FrameError::TotalUnbalanced { .. } => {
                (13, &["whole frame", "2.0e-7", "limit 1e-8"], "bring the stiffest and the softest")
            }
            FrameError::NotConverged { .. } => {
                (14, &["the iteration", "50 steps", "1.0e-3", "1e-9"], "try a smaller load")
            }
            FrameError::BeyondBuckling => {
                (15, &["buckling load"], "make the load smaller or the frame stiffer")
            }
            FrameError::TooLarge { .. } => (16, &["5000000000 unknowns"], "divide the frame less finely"),
        }
    }

    #[test]
    fn every_error_says_what_where_and_what_to_do() {
        let all = one_of_each();
        for (position, error) in all.iter().enumerate() {
            let (kind, place, remedy) = must_say(error);
            assert_eq!(kind, position, "{error:?}");
            let words = error.to_string();
            for part in place.iter().chain([&remedy]) {
                assert!(words.contains(part), "{words:?} does not say {part:?}");
            }
        }
        assert_eq!(all.len(), 17);
    }

    /// A path refuses the loads that a linear analysis refuses, in the same words.
    #[test]
    fn a_path_takes_no_load_that_a_linear_analysis_does_not() {
        let nowhere = force(9, [1.0, 0.0, 0.0, 0.0, 0.0, 0.0]);
        let endless = force(1, [f64::INFINITY, 0.0, 0.0, 0.0, 0.0, 0.0]);
        for loads in [line(9, [0.0, 1.0]), line(1, [0.5, 2.5]), nowhere, endless] {
            let on_path = trace(&cantilever(), &loads, &PathOptions::default()).unwrap_err();
            assert_eq!(on_path.to_string(), unsolved(loads).to_string());
        }
    }
}
