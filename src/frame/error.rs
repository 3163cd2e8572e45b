//! What can be wrong with a frame, its loads or an answer.

use crate::frame::{BarId, NodeId};

/// Why a frame cannot be solved, or why an answer was refused. Nodes and bars are named by position;
/// the caller knows their names.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum FrameError {
    /// A bar whose ends coincide.
    #[error("bar {} has no length: its two ends are at the same place", bar.0)]
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
    #[error("{what} {index} names node {}, but there are {count} nodes", node.0)]
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
    #[error("line load {index} names bar {}, but there are {count} bars", bar.0)]
    UnknownBar {
        /// Position of the load.
        index: usize,
        /// The bar.
        bar: BarId,
        /// How many there are.
        count: usize,
    },
    /// A number that is not finite, or outside what it can be.
    #[error("{what} {index}: {quantity} is {value}, but must be {must}")]
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
    #[error("{what} {index}: {reason}")]
    Degenerate {
        /// "link" or "fold".
        what: &'static str,
        /// Position of the thing.
        index: usize,
        /// Why it has no meaning.
        reason: &'static str,
    },
    /// A line load that is not on its bar.
    #[error("line load {index} runs from {start} m to {end} m, but bar {} is {length} m long", bar.0)]
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
        "a moment is put on node {}, which has no rotations: every bar end there is hinged and no spring holds it",
        node.0
    )]
    MomentOnHinge {
        /// The node.
        node: NodeId,
    },
    /// A settlement of a freedom that is not held.
    #[error("a settlement is asked of freedom {freedom} of node {}, which is not held", node.0)]
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
    #[error("the frame is a mechanism: {count} independent motion(s) meet no stiffness")]
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
    #[error("the answer does not satisfy equilibrium at node {}: unbalanced {residual:.1e} of the largest force (limit {limit:.0e}); stiffnesses differ too much", node.0)]
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
        "loads and reactions do not add up: off by {residual:.1e} of the largest force (limit {limit:.0e})"
    )]
    TotalUnbalanced {
        /// Sum over the largest force.
        residual: f64,
        /// The limit.
        limit: f64,
    },
    /// An iteration did not reach its tolerance.
    #[error("{what} did not converge in {steps} steps: {residual:.1e} left, {tolerance:.0e} wanted")]
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
        "the load is beyond the buckling load of the frame with this stiffness: no second-order equilibrium"
    )]
    BeyondBuckling,
    /// No memory for the factor, or too many unknowns for its indices.
    #[error("the factor does not fit: {unknowns} unknowns")]
    TooLarge {
        /// How many.
        unknowns: usize,
    },
}
