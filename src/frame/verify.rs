//! Whether an answer satisfies equilibrium: at every node, and of the whole.
//!
//! The forces are taken from the bars and springs again, each by itself, not from the assembled matrix,
//! so that a fault in assembly or factor shows here. Moments are compared as forces at the frame's mean
//! bar length.

#![allow(clippy::needless_range_loop, reason = "an index runs over several arrays of one formula")]

use crate::frame::assemble::Assembly;
use crate::frame::error::FrameError;
use crate::frame::recover::{Internal, Prepared};
use crate::frame::{Frame, NodeId, Response};
use crate::vector::Vec3;

/// Largest unbalanced force at a node, over the largest force, that is let through.
pub const NODE_LIMIT: f64 = 1e-8;
/// The same for the sum over the whole frame.
pub const TOTAL_LIMIT: f64 = 1e-8;

fn force(six: &[f64; 6]) -> Vec3 {
    Vec3::new(six[0], six[1], six[2])
}

fn moment(six: &[f64; 6]) -> Vec3 {
    Vec3::new(six[3], six[4], six[5])
}

/// What is unbalanced at the nodes.
#[derive(Debug, Clone)]
pub struct Unbalance {
    /// Force and moment that are missing at every node for balance; zero where the node is held.
    pub nodes: Vec<[f64; 6]>,
    /// The largest of them over the largest force; infinite where anything is not a number.
    pub share: f64,
    /// Where it is.
    pub node: NodeId,
    /// The largest force, moments as forces at the mean bar length; 1 where nothing acts.
    pub scale: f64,
}

/// Finds what is unbalanced at the nodes.
#[must_use]
pub fn unbalance(
    frame: &Frame,
    assembly: &Assembly,
    load: &Prepared,
    inside: &Internal,
    displacements: &[[f64; 6]],
) -> Unbalance {
    let arm = assembly.length;
    let mut largest: f64 = 0.0;
    for six in load.nodes.iter().chain(inside.links.iter()) {
        largest = largest.max(force(six).amax()).max(moment(six).amax() / arm);
    }
    for ends in &inside.bars {
        for part in 0..4 {
            let size = ends.fixed_rows::<3>(3 * part).amax();
            largest = largest.max(if part % 2 == 0 { size } else { size / arm });
        }
    }
    for moment in &inside.folds {
        largest = largest.max(moment.abs() / arm);
    }
    let scale = if largest > 0.0 { largest } else { 1.0 };

    let mut found =
        Unbalance { nodes: vec![[0.0; 6]; frame.nodes.len()], share: 0.0, node: NodeId(0), scale };
    for (index, node) in frame.nodes.iter().enumerate() {
        for freedom in 0..6 {
            if node.held[freedom] {
                continue;
            }
            let sum = inside.nodes[index][freedom] - load.nodes[index][freedom]
                + node.ground[freedom] * displacements[index][freedom];
            found.nodes[index][freedom] = -sum;
            let share = sum.abs() / if freedom < 3 { scale } else { scale * arm };
            let share = if share.is_nan() { f64::INFINITY } else { share };
            if share > found.share {
                (found.share, found.node) = (share, NodeId(index));
            }
        }
    }
    found
}

/// Largest unbalanced force at a node over the largest force. `second_order`: moments of the whole are
/// then about the moved nodes and are not summed here.
///
/// # Errors
/// [`FrameError::Unbalanced`], [`FrameError::TotalUnbalanced`] above the limits of this module, and where
/// anything is not a number.
pub fn verify(
    frame: &Frame,
    assembly: &Assembly,
    load: &Prepared,
    inside: &Internal,
    answer: &Response,
    second_order: bool,
) -> Result<f64, FrameError> {
    let worst = unbalance(frame, assembly, load, inside, &answer.displacements);
    if worst.share > NODE_LIMIT {
        return Err(FrameError::Unbalanced { node: worst.node, residual: worst.share, limit: NODE_LIMIT });
    }
    total(frame, assembly, load, inside, answer, second_order, worst.scale)?;
    Ok(worst.share)
}

/// Sum of all loads and reactions, force and moment about the frame's middle.
#[allow(clippy::too_many_arguments, reason = "one caller; the pieces are one answer seen from several sides")]
fn total(
    frame: &Frame,
    assembly: &Assembly,
    load: &Prepared,
    inside: &Internal,
    answer: &Response,
    second_order: bool,
    scale: f64,
) -> Result<(), FrameError> {
    let count = frame.nodes.len().max(1) as f64;
    let middle = frame.nodes.iter().map(|node| node.at).sum::<Vec3>() / count;
    let (mut sum, mut turn) = (Vec3::zeros(), Vec3::zeros());
    let (mut size, mut turn_size) = (scale, scale * assembly.length);
    let mut add = |at: Vec3, f: Vec3, m: Vec3| {
        let about = (at - middle).cross(&f) + m;
        sum += f;
        turn += about;
        size = size.max(f.amax());
        turn_size = turn_size.max(about.amax());
    };
    for (node, six) in frame.nodes.iter().zip(&load.nodes) {
        add(node.at, force(six), moment(six));
    }
    for (node, six) in &answer.reactions {
        add(frame.nodes[node.0].at, force(six), moment(six));
    }
    for (index, loads) in load.bars.each() {
        let start = frame.nodes[frame.bars[index].from.0].at;
        let along = assembly.lines[index].axes.row(0).transpose();
        for line in loads {
            let reach = line.span[1] - line.span[0];
            let [a, b] = line.intensity;
            // The resultants of its two triangles, at their thirds.
            add(start + along * (line.span[0] + reach / 3.0), a * (0.5 * reach), Vec3::zeros());
            add(start + along * (line.span[0] + 2.0 * reach / 3.0), b * (0.5 * reach), Vec3::zeros());
        }
    }
    for (link, six) in frame.links.iter().zip(&inside.links) {
        // A spring between nodes apart, along global axes, makes a couple with nothing to meet it.
        let apart = frame.nodes[link.nodes[0].0].at - frame.nodes[link.nodes[1].0].at;
        add(middle, Vec3::zeros(), -apart.cross(&force(six)));
    }
    // Rounding grows with how many terms are summed.
    let terms = count.sqrt();
    let mut residual = sum.amax() / (size * terms);
    if !second_order {
        residual = residual.max(turn.amax() / (turn_size * terms));
    }
    // The largest of several passes over what is not a number.
    if !(sum + turn).iter().all(|part| part.is_finite()) {
        residual = f64::INFINITY;
    }
    if residual <= TOTAL_LIMIT {
        Ok(())
    } else {
        Err(FrameError::TotalUnbalanced { residual, limit: TOTAL_LIMIT })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::frame::bar::Vector12;
    use crate::frame::linear::tests::frame;
    use crate::frame::{FrameLoads, recover};

    /// Moments count as forces at the mean length of the bars, of loads and of what is unbalanced alike: by hand, with bars of 2 m.
    #[test]
    fn moments_are_compared_as_forces_at_the_length_of_a_bar() {
        let mut frame = frame();
        (frame.nodes[1].at.x, frame.bars, frame.links, frame.folds) =
            (2.0, frame.bars[..1].to_vec(), Vec::new(), Vec::new());
        frame.nodes.truncate(2);
        let assembly = Assembly::new(&frame).unwrap();
        let of = |load: [f64; 6], inside: [f64; 6]| {
            let loads = FrameLoads { nodes: vec![(NodeId(1), load)], ..FrameLoads::default() };
            let load = recover::prepare(&frame, &assembly, &loads).unwrap();
            let nodes = vec![[0.0; 6], inside];
            let inside =
                Internal { bars: vec![Vector12::zeros()], folds: Vec::new(), nodes, links: Vec::new() };
            let found = unbalance(&frame, &assembly, &load, &inside, &[[0.0; 6]; 2]);
            assert!(found.nodes[0].iter().all(|f| f.abs() <= 0.0), "held");
            (found.share, found.scale, found.nodes[1])
        };
        let (force, moment) = ([0.0, 10.0, 0.0, 0.0, 0.0, 0.0], [0.0, 0.0, 0.0, 0.0, 0.0, 50.0]);
        // 10 N, of which 3 N are missing; and 4 N·m too much beside it, as 2 N.
        let (share, scale, missing) = of(force, [0.0, 7.0, 0.0, 0.0, 0.0, 0.0]);
        assert!(
            (share - 0.3).abs() < 1e-12 && (scale - 10.0).abs() < 1e-12 && (missing[1] - 3.0).abs() < 1e-12
        );
        let (share, _, missing) = of(force, [0.0, 10.0, 0.0, 0.0, 4.0, 0.0]);
        assert!((share - 0.2).abs() < 1e-12 && (missing[4] + 4.0).abs() < 1e-12);
        let (share, _, _) = of(force, [0.0, 10.0, 0.0, 4.0, 0.0, 0.0]);
        assert!((share - 0.2).abs() < 1e-12, "about x as about y: {share}");
        // 50 N·m are 25 N, 5 N·m of it a tenth, 5 N a fifth.
        let (share, scale, _) = of(moment, [0.0, 0.0, 0.0, 0.0, 0.0, 45.0]);
        assert!((share - 0.1).abs() < 1e-12 && (scale - 25.0).abs() < 1e-12);
        let (share, _, _) = of(moment, [5.0, 0.0, 0.0, 0.0, 0.0, 50.0]);
        assert!((share - 0.2).abs() < 1e-12);
        // So do moments inside a bar and of a fold: 60 N·m are 30 N, and 80 N·m are 40 N.
        let within = |bar: f64, fold: f64| {
            let load = recover::prepare(&frame, &assembly, &FrameLoads::default()).unwrap();
            let mut ends = Vector12::zeros();
            (ends[1], ends[5]) = (3.0, bar);
            let nodes = vec![[0.0; 6]; 2];
            let inside = Internal { bars: vec![ends], folds: vec![fold], nodes, links: Vec::new() };
            unbalance(&frame, &assembly, &load, &inside, &[[0.0; 6]; 2]).scale
        };
        assert!((within(60.0, 0.0) - 30.0).abs() < 1e-12 && (within(60.0, -80.0) - 40.0).abs() < 1e-12);
        assert!((within(0.0, 0.0) - 3.0).abs() < 1e-12);
        // Nothing acts: what is unbalanced counts as it stands; what is not a number is never let through.
        let (share, scale, _) = of([0.0; 6], [0.0, 0.0, 0.5, 0.0, 0.0, 0.0]);
        assert!((share - 0.5).abs() < 1e-12 && (scale - 1.0).abs() < 1e-12);
        assert!(of(force, [f64::NAN; 6]).0.is_infinite());
    }

    /// A cantilever of 2 m with 10 N across its end: the foot holds 10 N and 20 N·m. What is said to be otherwise is refused, by
    /// how much as a share: a node out of balance over the largest force, the whole over what is summed times the root of the count
    /// of nodes.
    #[test]
    fn what_does_not_balance_is_refused() {
        let mut frame = frame();
        (frame.nodes[1].at.x, frame.bars, frame.links, frame.folds) =
            (2.0, frame.bars[..1].to_vec(), Vec::new(), Vec::new());
        frame.nodes.truncate(2);
        let assembly = Assembly::new(&frame).unwrap();
        let loads =
            FrameLoads { nodes: vec![(NodeId(1), [0.0, 10.0, 0.0, 0.0, 0.0, 0.0])], ..FrameLoads::default() };
        let load = recover::prepare(&frame, &assembly, &loads).unwrap();
        let of = |across: f64, force: f64, moment: f64, second_order: bool| {
            let foot = [0.0, force, 0.0, 0.0, 0.0, moment];
            let nodes = vec![foot, [0.0, across, 0.0, 0.0, 0.0, 0.0]];
            let inside =
                Internal { bars: vec![Vector12::zeros()], folds: Vec::new(), nodes, links: Vec::new() };
            let answer = Response {
                displacements: vec![[0.0; 6]; 2],
                bar_ends: Vec::new(),
                reactions: vec![(NodeId(0), foot)],
                fold_moments: Vec::new(),
                residual: 0.0,
            };
            verify(&frame, &assembly, &load, &inside, &answer, second_order)
        };
        assert_eq!(of(10.0, -10.0, -20.0, false), Ok(0.0));
        // 1 N short at the end.
        let Err(FrameError::Unbalanced { node: NodeId(1), residual, .. }) = of(9.0, -10.0, -20.0, false)
        else {
            panic!("not refused");
        };
        assert!((residual - 0.1).abs() < 1e-12, "{residual}");
        // 3 N·m too much at the foot, beside 10 N at 2 m.
        let Err(FrameError::TotalUnbalanced { residual, .. }) = of(10.0, -10.0, -23.0, false) else {
            panic!("not refused");
        };
        assert!((residual - 3.0 / (20.0 * 2.0_f64.sqrt())).abs() < 1e-12, "{residual}");
        // The moments of the whole are not summed where the nodes have moved; its forces are.
        assert_eq!(of(10.0, -10.0, -23.0, true), Ok(0.0));
        for second_order in [false, true] {
            let Err(FrameError::TotalUnbalanced { residual, .. }) = of(10.0, -12.0, -20.0, second_order)
            else {
                panic!("not refused");
            };
            let want = 2.0 / (12.0 * 2.0_f64.sqrt());
            assert!((residual - want).abs() < 1e-12, "{residual}");
        }
        for nothing in [f64::NAN, f64::INFINITY] {
            for second_order in [false, true] {
                assert!(of(10.0, nothing, -20.0, second_order).is_err());
                assert!(of(10.0, -10.0, nothing, second_order).is_err());
            }
        }
    }
}
