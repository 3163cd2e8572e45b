//! From loads to forces on the unknowns, and from movements back to forces in bars, springs and supports.

use std::collections::BTreeMap;

use crate::frame::assemble::Assembly;
use crate::frame::bar::{self, Vector12};
use crate::frame::error::FrameError;
use crate::frame::second_order::Moved;
use crate::frame::{BarId, BarLoad, Frame, FrameLoads, NodeId, Response};

/// A load case put in order: what acts on every node, every loaded bar's loads, what supports move.
#[derive(Debug, Clone)]
pub struct Prepared {
    /// Forces and moments put on every node.
    pub nodes: Vec<[f64; 6]>,
    /// Line loads by bar, kept within the bar.
    pub bars: BTreeMap<usize, Vec<BarLoad>>,
    /// Prescribed movements of held freedoms; zero elsewhere.
    pub imposed: Vec<[f64; 6]>,
    /// Whether any support moves.
    pub settles: bool,
}

fn finite(index: usize, quantity: &'static str, value: f64) -> Result<(), FrameError> {
    if value.is_finite() {
        Ok(())
    } else {
        Err(FrameError::BadNumber { what: "load", index, quantity, value, must: "finite" })
    }
}

/// Checks one load case against its frame and puts it in order.
///
/// # Errors
/// What is wrong with the loads.
pub fn prepare(frame: &Frame, assembly: &Assembly, loads: &FrameLoads) -> Result<Prepared, FrameError> {
    let count = frame.nodes.len();
    let mut nodes = vec![[0.0; 6]; count];
    let mut imposed = vec![[0.0; 6]; count];
    for (index, (node, load)) in loads.nodes.iter().enumerate() {
        let Some(sum) = nodes.get_mut(node.0) else {
            return Err(FrameError::UnknownNode { what: "load", index, node: *node, count });
        };
        for axis in 0..6 {
            finite(index, "a force or moment", load[axis])?;
            // A moment that a held rotation takes directly is fine; with no rotation it has no meaning.
            if axis >= 3 && load[axis] != 0.0 && !assembly.turns[node.0] && !frame.nodes[node.0].held[axis] {
                return Err(FrameError::MomentOnHinge { node: *node });
            }
            sum[axis] += load[axis];
        }
    }
    for (index, (node, freedom, value)) in loads.settlements.iter().enumerate() {
        let Some(place) = imposed.get_mut(node.0) else {
            return Err(FrameError::UnknownNode { what: "settlement", index, node: *node, count });
        };
        finite(index, "a settlement", *value)?;
        if *freedom >= 6 || !frame.nodes[node.0].held[*freedom] {
            return Err(FrameError::SettlementOfFree { node: *node, freedom: *freedom });
        }
        place[*freedom] += value;
    }
    let mut bars: BTreeMap<usize, Vec<BarLoad>> = BTreeMap::new();
    for (index, load) in loads.bars.iter().enumerate() {
        let Some(line) = assembly.lines.get(load.bar.0) else {
            return Err(FrameError::UnknownBar { index, bar: load.bar, count: frame.bars.len() });
        };
        for value in load.span.iter().chain(load.intensity[0].iter()).chain(load.intensity[1].iter()) {
            finite(index, "a line load", *value)?;
        }
        let slack = 1e-9 * line.length;
        let [start, end] = load.span;
        if start < -slack || end > line.length + slack || end < start {
            return Err(FrameError::LoadOffBar { index, bar: load.bar, start, end, length: line.length });
        }
        let span = [start.max(0.0), end.min(line.length)];
        if span[1] > span[0] {
            bars.entry(load.bar.0).or_default().push(BarLoad { span, ..load.clone() });
        }
    }
    let settles = !loads.settlements.is_empty();
    Ok(Prepared { nodes, bars, imposed, settles })
}

/// Forces in everything that joins nodes, for given movements.
#[derive(Debug, Clone)]
pub struct Internal {
    /// Local forces of the nodes on every bar's ends.
    pub bars: Vec<Vector12>,
    /// Moment in every fold spring.
    pub folds: Vec<f64>,
    /// Sum, at every node, of the forces that node puts into bars, links and folds (not the ground).
    pub nodes: Vec<[f64; 6]>,
    /// Force of every link's first node on the link.
    pub links: Vec<[f64; 6]>,
}

/// Forces for movements of every node, line loads included. `moved` adds what axial forces do on the moved
/// and crooked frame (second order).
#[must_use]
pub fn internal(
    frame: &Frame,
    assembly: &Assembly,
    loads: &BTreeMap<usize, Vec<BarLoad>>,
    movements: &[[f64; 6]],
    moved: Option<Moved<'_>>,
) -> Internal {
    let mut nodes = vec![[0.0; 6]; frame.nodes.len()];
    let mut bars = Vec::with_capacity(frame.bars.len());
    for (index, bar) in frame.bars.iter().enumerate() {
        let line = &assembly.lines[index];
        let mut global = Vector12::zeros();
        for freedom in 0..6 {
            global[freedom] = movements[bar.from.0][freedom];
            global[6 + freedom] = movements[bar.to.0][freedom];
        }
        let local = line.to_local(&global);
        let mut force = bar::stiffness(bar, line.length) * local;
        if let Some(Moved { axial, crooked }) = moved {
            let mut total = global;
            if !crooked.is_empty() {
                for freedom in 0..6 {
                    total[freedom] += crooked[bar.from.0][freedom];
                    total[6 + freedom] += crooked[bar.to.0][freedom];
                }
            }
            force += crate::frame::geometric::bar(bar, line.length, axial[index]) * line.to_local(&total);
        }
        if let Some(loads) = loads.get(&index) {
            force += bar::fixed_end_forces(bar, line, loads);
        }
        let out = line.to_global(&force);
        for freedom in 0..6 {
            nodes[bar.from.0][freedom] += out[freedom];
            nodes[bar.to.0][freedom] += out[6 + freedom];
        }
        bars.push(force);
    }
    let mut folds = Vec::with_capacity(frame.folds.len());
    for (fold, gradient) in frame.folds.iter().zip(&assembly.gradients) {
        let growth: f64 = gradient
            .iter()
            .map(|(node, rate)| (0..3).map(|axis| rate[axis] * movements[node.0][axis]).sum::<f64>())
            .sum();
        let moment = fold.stiffness * growth;
        for (node, rate) in gradient {
            for axis in 0..3 {
                nodes[node.0][axis] += moment * rate[axis];
            }
        }
        folds.push(moment);
    }
    let mut links = Vec::with_capacity(frame.links.len());
    for link in &frame.links {
        let [a, b] = link.nodes.map(|node| node.0);
        let mut force = [0.0; 6];
        for freedom in 0..6 {
            force[freedom] = link.stiffness[freedom] * (movements[a][freedom] - movements[b][freedom]);
            nodes[a][freedom] += force[freedom];
            nodes[b][freedom] -= force[freedom];
        }
        links.push(force);
    }
    Internal { bars, folds, nodes, links }
}

/// Forces on the unknowns: what acts on the nodes, less what held nodes would have to carry.
#[must_use]
pub fn right_hand_side(frame: &Frame, assembly: &Assembly, load: &Prepared) -> Vec<f64> {
    let mut nodes = load.nodes.clone();
    if load.settles {
        let held = internal(frame, assembly, &BTreeMap::new(), &load.imposed, None);
        for (sum, part) in nodes.iter_mut().zip(&held.nodes) {
            for freedom in 0..6 {
                sum[freedom] -= part[freedom];
            }
        }
    }
    for (index, loads) in &load.bars {
        let line = &assembly.lines[*index];
        let bar = &frame.bars[*index];
        let held = line.to_global(&bar::fixed_end_forces(bar, line, loads));
        for freedom in 0..6 {
            nodes[bar.from.0][freedom] -= held[freedom];
            nodes[bar.to.0][freedom] -= held[6 + freedom];
        }
    }
    assembly.gather(&nodes)
}

/// The answer from the unknowns, its equilibrium verified.
///
/// # Errors
/// [`FrameError::Unbalanced`] or [`FrameError::TotalUnbalanced`].
pub fn response(
    frame: &Frame,
    assembly: &Assembly,
    load: &Prepared,
    unknowns: &[f64],
    moved: Option<Moved<'_>>,
) -> Result<Response, FrameError> {
    let mut displacements = assembly.spread(unknowns);
    for (moved, imposed) in displacements.iter_mut().zip(&load.imposed) {
        for freedom in 0..6 {
            moved[freedom] += imposed[freedom];
        }
    }
    let inside = internal(frame, assembly, &load.bars, &displacements, moved);
    let mut reactions = Vec::new();
    for (index, node) in frame.nodes.iter().enumerate() {
        if !node.held.iter().any(|h| *h) && !node.ground.iter().any(|k| *k > 0.0) {
            continue;
        }
        let mut force = [0.0; 6];
        for freedom in 0..6 {
            force[freedom] = if node.held[freedom] {
                inside.nodes[index][freedom] - load.nodes[index][freedom]
            } else {
                -node.ground[freedom] * displacements[index][freedom]
            };
        }
        reactions.push((NodeId(index), force));
    }
    let bar_ends = inside.bars.iter().map(bar::end_forces).collect();
    let mut answer =
        Response { displacements, bar_ends, reactions, fold_moments: inside.folds.clone(), residual: 0.0 };
    answer.residual = crate::frame::verify::verify(frame, assembly, load, &inside, &answer, moved.is_some())?;
    Ok(answer)
}

/// Line loads of one bar among those of a case.
#[must_use]
pub fn loads_of(loads: &FrameLoads, bar: BarId) -> Vec<BarLoad> {
    loads.bars.iter().filter(|load| load.bar == bar).cloned().collect()
}
