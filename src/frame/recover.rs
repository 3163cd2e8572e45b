//! From loads to forces on the unknowns, and from movements back to forces in bars, springs and supports.

use crate::frame::assemble::Assembly;
use crate::frame::bar::{self, Vector12};
use crate::frame::error::FrameError;
use crate::frame::line_loads::LineLoads;
use crate::frame::second_order::Moved;
use crate::frame::{BarLoad, Frame, FrameLoads, NodeId, Response};

/// A load case put in order: what acts on every node, every loaded bar's loads, what supports move.
#[derive(Debug, Clone)]
pub struct Prepared {
    /// Forces and moments put on every node.
    pub nodes: Vec<[f64; 6]>,
    /// Line loads by bar, kept within the bar.
    pub bars: LineLoads,
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
    let mut bars = Vec::with_capacity(loads.bars.len());
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
            bars.push(BarLoad { span, ..load.clone() });
        }
    }
    let settles = !loads.settlements.is_empty();
    let bars = LineLoads::new(frame, &assembly.lines, bars);
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
    loads: &LineLoads,
    movements: &[[f64; 6]],
    moved: Option<Moved<'_>>,
) -> Internal {
    let mut nodes = vec![[0.0; 6]; frame.nodes.len()];
    let mut bars = Vec::with_capacity(frame.bars.len());
    let mut loaded = loads.held().peekable();
    for (index, bar) in frame.bars.iter().enumerate() {
        let line = &assembly.lines[index];
        let mut global = Vector12::zeros();
        for freedom in 0..6 {
            global[freedom] = movements[bar.from.0][freedom];
            global[6 + freedom] = movements[bar.to.0][freedom];
        }
        let local = line.to_local(&global);
        let mut force = bar::forces(bar, line.length, &local);
        if let Some(Moved { axial, crooked }) = moved {
            let mut total = global;
            if !crooked.is_empty() {
                for freedom in 0..6 {
                    total[freedom] += crooked[bar.from.0][freedom];
                    total[6 + freedom] += crooked[bar.to.0][freedom];
                }
            }
            force += crate::frame::geometric::forces(bar, line.length, axial[index], &line.to_local(&total));
        }
        if let Some((_, held)) = loaded.next_if(|(bar, _)| *bar == index) {
            force += held;
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
        let held = internal(frame, assembly, &LineLoads::default(), &load.imposed, None);
        for (sum, part) in nodes.iter_mut().zip(&held.nodes) {
            for freedom in 0..6 {
                sum[freedom] -= part[freedom];
            }
        }
    }
    for (index, held) in load.bars.held() {
        let bar = &frame.bars[index];
        let held = assembly.lines[index].to_global(held);
        for freedom in 0..6 {
            nodes[bar.from.0][freedom] -= held[freedom];
            nodes[bar.to.0][freedom] -= held[6 + freedom];
        }
    }
    assembly.gather(&nodes)
}

/// Unbalanced forces below this share of the largest force are the rounding of the sums themselves.
const BALANCED: f64 = 1e-13;
/// Corrections at most: each takes off what the one before left, and the second is seldom asked for.
const CORRECTIONS: usize = 3;

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
    let displacements = displaced(assembly, load, unknowns);
    let inside = internal(frame, assembly, &load.bars, &displacements, moved);
    answer(frame, assembly, load, displacements, inside, moved.is_some())
}

/// The answer from the unknowns, first order, its forces corrected until they balance; `solve` is the factor's.
///
/// Where a frame is close to a mechanism it moves far, and forces are small differences of large movements:
/// rounding of the movements themselves unbalances them, however well the equations are solved. What is
/// unbalanced is therefore put on as a load, and the *forces* that it makes are added; being small, they carry
/// almost no rounding of their own. An answer that balances is left as it is, to the bit.
///
/// # Errors
/// As [`response`].
pub fn corrected(
    frame: &Frame,
    assembly: &Assembly,
    load: &Prepared,
    unknowns: &[f64],
    solve: &dyn Fn(&mut [f64]),
) -> Result<Response, FrameError> {
    let mut displacements = displaced(assembly, load, unknowns);
    let mut inside = internal(frame, assembly, &load.bars, &displacements, None);
    let mut before = f64::INFINITY;
    for _ in 0..CORRECTIONS {
        let unbalance = crate::frame::verify::unbalance(frame, assembly, load, &inside, &displacements);
        // Not a number: the check of the answer says so.
        if !(unbalance.share > BALANCED && unbalance.share < 0.5 * before) {
            break;
        }
        before = unbalance.share;
        let mut change = assembly.gather(&unbalance.nodes);
        solve(&mut change);
        let change = assembly.spread(&change);
        let more = internal(frame, assembly, &LineLoads::default(), &change, None);
        inside.add(&more);
        for (moved, change) in displacements.iter_mut().zip(&change) {
            for freedom in 0..6 {
                moved[freedom] += change[freedom];
            }
        }
    }
    answer(frame, assembly, load, displacements, inside, false)
}

fn displaced(assembly: &Assembly, load: &Prepared, unknowns: &[f64]) -> Vec<[f64; 6]> {
    let mut displacements = assembly.spread(unknowns);
    for (moved, imposed) in displacements.iter_mut().zip(&load.imposed) {
        for freedom in 0..6 {
            moved[freedom] += imposed[freedom];
        }
    }
    displacements
}

fn answer(
    frame: &Frame,
    assembly: &Assembly,
    load: &Prepared,
    displacements: Vec<[f64; 6]>,
    inside: Internal,
    second_order: bool,
) -> Result<Response, FrameError> {
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
    answer.residual = crate::frame::verify::verify(frame, assembly, load, &inside, &answer, second_order)?;
    Ok(answer)
}

impl Internal {
    /// Adds forces of the same frame.
    fn add(&mut self, more: &Self) {
        for (sum, part) in self.bars.iter_mut().zip(&more.bars) {
            *sum += part;
        }
        for (sum, part) in self.folds.iter_mut().zip(&more.folds) {
            *sum += part;
        }
        for (sums, parts) in [(&mut self.nodes, &more.nodes), (&mut self.links, &more.links)] {
            for (sum, part) in sums.iter_mut().zip(parts) {
                for freedom in 0..6 {
                    sum[freedom] += part[freedom];
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::frame::linear::Solver;
    use crate::frame::{Bar, BarId, BarSection, EndFix, Node};
    use crate::vector::Vec3;

    /// A toggle so flat that its joint moves far for the force in its bars, askew, so that the movement has a large
    /// part along every axis: elongations are small differences of it.
    fn flat_toggle(rise: f64) -> (Frame, FrameLoads) {
        let turn = nalgebra::Rotation3::from_euler_angles(0.3, 0.7, 1.1);
        let at = [Vec3::new(-1.0, 0.0, 0.0), Vec3::new(0.0, 0.0, rise), Vec3::new(1.3, 0.0, 0.0)];
        let held = [true, true, true, false, false, false];
        let nodes = at
            .iter()
            .enumerate()
            .map(|(n, at)| Node {
                at: turn * at,
                held: if n == 1 { [false; 6] } else { held },
                // Square to the toggle it is held softly.
                ground: if n == 1 {
                    [1e3; 3].iter().copied().chain([0.0; 3]).collect::<Vec<_>>().try_into().unwrap()
                } else {
                    [0.0; 6]
                },
            })
            .collect();
        let section = BarSection {
            area: 1e-2,
            second_moment_y: 1e-6,
            second_moment_z: 1e-6,
            torsion: 1e-6,
            elastic: 1e10,
            shear: 1e9,
            mass: 0.0,
        };
        let bars = [(0, 1), (1, 2)]
            .map(|(from, to)| Bar {
                from: NodeId(from),
                to: NodeId(to),
                section,
                up: turn * Vec3::y(),
                ends: [EndFix::Hinged, EndFix::Hinged],
            })
            .to_vec();
        let down = turn * Vec3::new(0.0, 0.0, -1.0);
        let loads = FrameLoads {
            nodes: vec![(NodeId(1), [down.x, down.y, down.z, 0.0, 0.0, 0.0])],
            ..FrameLoads::default()
        };
        (Frame { nodes, bars, ..Frame::default() }, loads)
    }

    #[test]
    fn forces_of_a_frame_close_to_a_mechanism_balance_to_rounding() {
        let mut before: f64 = 0.0;
        for rise in [1e-2, 1e-3, 1e-4, 3.5e-5] {
            let (frame, loads) = flat_toggle(rise);
            let solver = Solver::new(&frame).unwrap();
            let found = solver.solve(std::slice::from_ref(&loads)).unwrap().remove(0);
            assert!(found.residual <= BALANCED, "rise {rise}: {:e}", found.residual);
            // The forces that are told balance, not only those that were summed on the way: at the joint of the two bars, its
            // soft hold and the load.
            let mut sum = Vec3::from_column_slice(&loads.nodes[0].1[..3]);
            let at = |n: usize| frame.nodes[n].at;
            sum += (at(0) - at(1)).normalize() * found.bar_ends[0][1].n;
            sum += (at(2) - at(1)).normalize() * found.bar_ends[1][0].n;
            sum -= Vec3::from_column_slice(&found.displacements[1][..3]) * 1e3;
            let largest = found.bar_ends[0][1].n.abs();
            assert!(sum.norm() < 4.0 * BALANCED * largest, "rise {rise}: {:e}", sum.norm() / largest);
            // The same movements, their forces left as rounding has them.
            let load = prepare(&frame, solver.assembly(), &loads).unwrap();
            let unknowns = solver.assembly().gather(&found.displacements);
            let plain = response(&frame, solver.assembly(), &load, &unknowns, None).unwrap();
            before = before.max(plain.residual);
        }
        assert!(before > 2.0 * BALANCED, "nothing was there to correct: {before:e}");
    }

    /// What acts on a support goes straight into the ground, beside what the bar brings: a beam of 1 m held at one end, 10 N
    /// across the free end, 7 N and 3 N·m on the held one.
    #[test]
    fn a_load_on_a_support_is_in_its_reaction() {
        let frame = crate::frame::linear::tests::frame();
        let loads = FrameLoads {
            nodes: vec![
                (NodeId(1), [0.0, 10.0, 0.0, 0.0, 0.0, 0.0]),
                (NodeId(0), [1.0, 7.0, 0.0, 0.0, 3.0, 0.0]),
            ],
            ..FrameLoads::default()
        };
        let answer = Solver::new(&frame).unwrap().solve(&[loads]).unwrap().remove(0);
        // Whoever is held answers, and nobody else.
        let nodes: Vec<usize> = answer.reactions.iter().map(|(node, _)| node.0).collect();
        assert_eq!(nodes, [0, 3, 4, 5]);
        let (_, foot) = answer.reactions.iter().find(|(node, _)| *node == NodeId(0)).unwrap();
        for (got, want) in foot.iter().zip([-1.0, -17.0, 0.0, 0.0, -3.0, -10.0]) {
            assert!((got - want).abs() < 1e-9, "{foot:?}");
        }
    }

    /// A line load that starts before its bar, ends behind it or ends before it starts is refused; what rounding does at either end
    /// is not, and acts on the bar alone.
    #[test]
    fn line_loads_lie_on_their_bar() {
        let mut frame = crate::frame::linear::tests::frame();
        frame.nodes[1].at.x = 4.0;
        let assembly = Assembly::new(&frame).unwrap();
        let with = |start: f64, end: f64| {
            let load = BarLoad { bar: BarId(0), span: [start, end], intensity: [Vec3::y(); 2] };
            prepare(&frame, &assembly, &FrameLoads { bars: vec![load], ..FrameLoads::default() })
        };
        for (start, end) in [(-0.1, 2.0), (1.0, 4.1), (3.0, 1.0), (-1e-8, 1.0), (1.0, 4.0 + 1e-8)] {
            let fault = with(start, end).err();
            assert!(matches!(fault, Some(FrameError::LoadOffBar { index: 0, .. })), "{start} {end}");
        }
        for (start, end, on) in
            [(0.0, 4.0, [0.0, 4.0]), (1.0, 2.5, [1.0, 2.5]), (-3e-9, 4.0 + 3e-9, [0.0, 4.0])]
        {
            let prepared = with(start, end).ok().unwrap();
            let each: Vec<_> = prepared.bars.each().collect();
            assert_eq!((each.len(), each[0].1[0].span), (1, on));
        }
    }
}
