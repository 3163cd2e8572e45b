//! The frame as a system of nonlinear equations: unknowns, elements, loads, residual and tangent.

#![allow(clippy::needless_range_loop, reason = "an index runs over several arrays of one formula")]

use crate::frame::assemble::{Assembly, NONE};
use crate::frame::corotational::beam::{Beam, passes_moment};
use crate::frame::corotational::rotation::{Turn, spun};
use crate::frame::corotational::{bar, fold, spring};
use crate::frame::error::FrameError;
use crate::frame::factor::Symbolic;
use crate::frame::{Frame, FrameLoads, NodeId, recover};
use crate::vector::{Mat3, Vec3};

/// Where the frame is: movement and turn of every node.
#[derive(Debug, Clone)]
pub(crate) struct State {
    /// Translation of each node \[m\].
    pub(crate) shift: Vec<Vec3>,
    /// Turn of each node.
    pub(crate) turn: Vec<Turn>,
}

/// One element, with the unknowns of its nodes in the order of its own freedoms.
#[derive(Debug)]
enum Element {
    /// Hinged at both ends.
    Bar { nodes: [usize; 2], ea: f64, chord: Vec3 },
    /// With turns.
    Beam { nodes: [usize; 2], beam: Box<Beam> },
    /// Link in translation (diagonal) and rotation.
    Link { nodes: [usize; 2], along: Vec3, about: Vec3 },
    /// Turning spring; the corners' nodes with their weights.
    Fold { corners: [Vec<(usize, f64)>; 4], nodes: Vec<usize>, stiffness: f64, first: f64 },
    /// Springs to ground.
    Ground { node: usize, along: Vec3, about: Vec3 },
}

/// The equations.
#[derive(Debug)]
pub(crate) struct System {
    /// First positions.
    at: Vec<Vec3>,
    /// Unknown of each freedom; none where held or without stiffness by definition.
    pub(crate) unknowns: Vec<[Option<usize>; 6]>,
    /// Numbering and pattern of the tangent, shared with the linear solver.
    pub(crate) assembly: Assembly,
    /// The symbolic part of its factor.
    pub(crate) symbolic: Symbolic,
    elements: Vec<Element>,
    /// Per element: its unknowns, and for each entry of its lower triangle where it stands and where it goes.
    groups: Vec<Vec<Option<usize>>>,
    places: Vec<Vec<(usize, usize)>>,
    /// Weight of each unknown in the length of a step: 1 for a translation, length² for a turn.
    pub(crate) weights: Vec<f64>,
    /// Length by which moments are compared with forces \[m\].
    pub(crate) length: f64,
    /// Diameter of the ball around the nodes' middle that holds them all \[m\].
    pub(crate) extent: f64,
    /// Forces so small that rounding makes them: a strain of 1e-7 in the stiffest bar \[N\].
    pub(crate) floor: f64,
}

impl System {
    /// Sets the equations up.
    ///
    /// # Errors
    /// Of the frame: unknown nodes, bars of no length, `up` along a bar, folds without area.
    pub(crate) fn new(frame: &Frame) -> Result<Self, FrameError> {
        let assembly = Assembly::new(frame)?;
        let symbolic = Symbolic::new(&assembly)?;
        let known = |u: usize| (u != NONE).then_some(u);
        let unknowns: Vec<_> = assembly.unknown.iter().map(|list| list.map(known)).collect();
        let at: Vec<Vec3> = frame.nodes.iter().map(|n| n.at).collect();
        let mut elements = Vec::new();
        for (index, item) in frame.bars.iter().enumerate() {
            let line = &assembly.lines[index];
            let nodes = [item.from.0, item.to.0];
            let chord = at[nodes[1]] - at[nodes[0]];
            if item.ends.iter().any(passes_moment) {
                let beam = Beam::new(&item.section, chord, &line.axes, &item.ends);
                elements.push(Element::Beam { nodes, beam: Box::new(beam) });
            } else {
                let ea = item.section.elastic * item.section.area;
                elements.push(Element::Bar { nodes, ea, chord });
            }
        }
        for link in &frame.links {
            let (along, about) = halves(&link.stiffness);
            elements.push(Element::Link { nodes: link.nodes.map(|n| n.0), along, about });
        }
        for (index, item) in frame.folds.iter().enumerate() {
            let own = |n: &NodeId| vec![(n.0, 1.0)];
            let wing = |w: &Vec<(NodeId, f64)>| w.iter().map(|(n, share)| (n.0, *share)).collect();
            let corners =
                [own(&item.hinge[0]), own(&item.hinge[1]), wing(&item.wings[0]), wing(&item.wings[1])];
            let mut nodes: Vec<usize> = corners.iter().flatten().map(|(n, _)| *n).collect();
            nodes.sort_unstable();
            nodes.dedup();
            let place = corners_at(&corners, |n| at[n]);
            let first = fold::angle(&place).ok_or(FrameError::Degenerate {
                what: "fold",
                index,
                reason: "one of its panels has no area",
            })?;
            elements.push(Element::Fold { corners, nodes, stiffness: item.stiffness, first });
        }
        for (node, item) in frame.nodes.iter().enumerate() {
            if item.ground.iter().any(|k| *k > 0.0) {
                let (along, about) = halves(&item.ground);
                elements.push(Element::Ground { node, along, about });
            }
        }
        let stiffest = frame.bars.iter().map(|b| b.section.elastic * b.section.area);
        let floor = 1e-7 * stiffest.fold(0.0, f64::max).max(f64::MIN_POSITIVE);
        let groups: Vec<_> = elements.iter().map(|e| e.group(&unknowns)).collect();
        let places = groups.iter().map(|g| places(&assembly, g)).collect();

        let length = assembly.length;
        let mut weights = vec![1.0; assembly.unknowns];
        for freedoms in &unknowns {
            for unknown in freedoms[3..].iter().flatten() {
                weights[*unknown] = length * length;
            }
        }
        let middle = at.iter().sum::<Vec3>() / at.len().max(1) as f64;
        let reach = at.iter().map(|a| (a - middle).norm()).fold(0.0, f64::max);
        let extent = (2.0 * reach).max(length);
        Ok(Self {
            at,
            unknowns,
            assembly,
            symbolic,
            elements,
            groups,
            places,
            weights,
            length,
            extent,
            floor,
        })
    }

    /// The frame as it stands before any load.
    pub(crate) fn start(&self) -> State {
        let count = self.at.len();
        State { shift: vec![Vec3::zeros(); count], turn: vec![Turn::identity(); count] }
    }

    /// Number of unknowns.
    pub(crate) fn size(&self) -> usize {
        self.assembly.unknowns
    }

    /// Dead loads at the unknowns. Line loads become the forces and moments that hold the first
    /// shape; the moments keep their global axes.
    ///
    /// # Errors
    /// Settlements, and what [`recover::prepare`] refuses.
    pub(crate) fn loads(&self, frame: &Frame, loads: &FrameLoads) -> Result<Vec<f64>, FrameError> {
        if let Some((node, freedom, _)) = loads.settlements.first() {
            return Err(FrameError::SettlementOnPath { node: *node, freedom: *freedom });
        }
        let load = recover::prepare(frame, &self.assembly, loads)?;
        Ok(recover::right_hand_side(frame, &self.assembly, &load))
    }

    /// Moves `state` by `step` (translations add, spins turn).
    pub(crate) fn moved(&self, state: &State, step: &[f64]) -> State {
        let mut next = state.clone();
        for (node, freedoms) in self.unknowns.iter().enumerate() {
            let of = |freedom: usize| freedoms[freedom].map_or(0.0, |unknown| step[unknown]);
            next.shift[node] += Vec3::new(of(0), of(1), of(2));
            let spin = Vec3::new(of(3), of(4), of(5));
            if spin.amax() > 0.0 {
                next.turn[node] = spun(&state.turn[node], &spin);
            }
        }
        next
    }

    /// Square of the length of a step, by the weights.
    pub(crate) fn dot(&self, a: &[f64], b: &[f64]) -> f64 {
        self.weights.iter().zip(a.iter().zip(b)).map(|(w, (x, y))| w * x * y).sum()
    }

    /// Largest force on a node, moments over the length \[N\].
    pub(crate) fn largest(&self, force: &[f64]) -> f64 {
        let (shift, spin) = self.largest_parts(force);
        shift.max(spin / self.length)
    }

    /// Largest length among the nodes' translation parts and among their rotation parts.
    pub(crate) fn largest_parts(&self, all: &[f64]) -> (f64, f64) {
        let mut most = [0.0_f64; 2];
        for freedoms in &self.unknowns {
            for (half, most) in most.iter_mut().enumerate() {
                let own = freedoms[3 * half..3 * half + 3].iter().flatten();
                *most = most.max(own.map(|u| all[*u] * all[*u]).sum());
            }
        }
        (most[0].sqrt(), most[1].sqrt())
    }

    /// Forces that the elements need at each unknown, and the largest force in any of them (moments over the length)
    /// \[N\], the scale of what is unbalanced. `None` where an element is out of its range.
    pub(crate) fn forces(&self, state: &State) -> Option<(Vec<f64>, f64)> {
        self.sum(state, None)
    }

    /// Values of the tangent, by the assembly's pattern: several times the work of the forces. `None` where an element
    /// is out of its range.
    pub(crate) fn tangent(&self, state: &State) -> Option<Vec<f64>> {
        let mut tangent = vec![0.0; self.assembly.entries()];
        self.sum(state, Some(&mut tangent))?;
        Some(tangent)
    }

    fn sum(&self, state: &State, mut tangent: Option<&mut [f64]>) -> Option<(Vec<f64>, f64)> {
        let (mut force, mut scale) = (vec![0.0; self.size()], 0.0_f64);
        let turns: Vec<Mat3> = state.turn.iter().map(|t| *t.to_rotation_matrix().matrix()).collect();
        let mut local = Local { forces_alone: tangent.is_none(), ..Local::default() };
        for (index, element) in self.elements.iter().enumerate() {
            element.evaluate(self, state, &turns, &mut local)?;
            for (i, row) in self.groups[index].iter().enumerate() {
                if let Some(row) = row {
                    force[*row] += local.force[i];
                }
            }
            if let Some(tangent) = &mut tangent {
                for (from, place) in &self.places[index] {
                    tangent[*place] += local.tangent[*from];
                }
            }
            scale = scale.max(local.scale);
        }
        force.iter().all(|f| f.is_finite()).then_some((force, scale))
    }
}

/// One element's force and tangent (row by row), reused from element to element.
#[derive(Debug, Default)]
struct Local {
    force: Vec<f64>,
    tangent: Vec<f64>,
    scale: f64,
    /// Nobody asks for the tangent: it stays empty.
    forces_alone: bool,
}

impl Local {
    fn clear(&mut self, count: usize) {
        self.force.clear();
        self.force.resize(count, 0.0);
        if !self.forces_alone {
            self.tangent.clear();
            self.tangent.resize(count * count, 0.0);
        }
        self.scale = 0.0;
    }

    fn add_block(&mut self, row: usize, column: usize, block: &Mat3) {
        if self.forces_alone {
            return;
        }
        let count = self.force.len();
        for i in 0..3 {
            for j in 0..3 {
                self.tangent[(row + i) * count + column + j] += block[(i, j)];
            }
        }
    }

    fn add_force(&mut self, row: usize, force: &Vec3) {
        for i in 0..3 {
            self.force[row + i] += force[i];
        }
    }
}

impl Element {
    /// The unknowns of the element's freedoms, in its own order.
    fn group(&self, unknowns: &[[Option<usize>; 6]]) -> Vec<Option<usize>> {
        let all = |nodes: &[usize]| nodes.iter().flat_map(|n| unknowns[*n]).collect();
        let shifts = |nodes: &[usize]| nodes.iter().flat_map(|n| unknowns[*n].into_iter().take(3)).collect();
        match self {
            Self::Bar { nodes, .. } => shifts(nodes),
            Self::Beam { nodes, .. } | Self::Link { nodes, .. } => all(nodes),
            Self::Fold { nodes, .. } => shifts(nodes),
            Self::Ground { node, .. } => all(&[*node]),
        }
    }

    fn evaluate(&self, system: &System, state: &State, turns: &[Mat3], local: &mut Local) -> Option<()> {
        match self {
            Self::Bar { nodes, ea, chord } => {
                local.clear(6);
                let change = state.shift[nodes[1]] - state.shift[nodes[0]];
                let answer = bar::evaluate(*ea, chord, &change)?;
                local.scale = answer.axial.abs();
                local.add_force(0, &-answer.force);
                local.add_force(3, &answer.force);
                for (row, column, sign) in [(0, 0, 1.0), (0, 3, -1.0), (3, 0, -1.0), (3, 3, 1.0)] {
                    local.add_block(row, column, &(answer.tangent * sign));
                }
            }
            Self::Beam { nodes, beam } => {
                local.clear(12);
                let change = state.shift[nodes[1]] - state.shift[nodes[0]];
                let turns = [&turns[nodes[0]], &turns[nodes[1]]];
                let force = if local.forces_alone {
                    beam.force(&change, turns)?
                } else {
                    let answer = beam.evaluate(&change, turns)?;
                    // Symmetric, so the order of storage does not matter.
                    local.tangent.copy_from_slice(answer.tangent.as_slice());
                    answer.force
                };
                local.force.copy_from_slice(force.as_slice());
                local.scale = (0..4)
                    .map(|part| {
                        let size = force.fixed_rows::<3>(3 * part).norm();
                        if part % 2 == 0 { size } else { size / system.length }
                    })
                    .fold(0.0, f64::max);
            }
            Self::Link { nodes, along, about } => {
                local.clear(12);
                let change = state.shift[nodes[1]] - state.shift[nodes[0]];
                let force = along.component_mul(&change);
                local.add_force(0, &-force);
                local.add_force(6, &force);
                let block = Mat3::from_diagonal(along);
                for (row, column, sign) in [(0, 0, 1.0), (0, 6, -1.0), (6, 0, -1.0), (6, 6, 1.0)] {
                    local.add_block(row, column, &(block * sign));
                }
                if about.amax() > 0.0 {
                    let pair = [&state.turn[nodes[0]], &state.turn[nodes[1]]];
                    let (moments, blocks) = spring::link_turn(about, pair);
                    for i in 0..2 {
                        local.add_force(6 * i + 3, &moments[i]);
                        for j in 0..2 {
                            local.add_block(6 * i + 3, 6 * j + 3, &blocks[i][j]);
                        }
                    }
                }
                local.scale = force.amax();
            }
            Self::Fold { corners, nodes, stiffness, first } => {
                local.clear(3 * nodes.len());
                let now = corners_at(corners, |n| system.at[n] + state.shift[n]);
                let moment = stiffness * fold::wrapped(fold::angle(&now)? - first);
                let gradient = fold::gradient(&now)?;
                let slot = |node: usize| nodes.binary_search(&node).ok().map(|at| 3 * at);
                for (corner, gradient) in corners.iter().zip(&gradient) {
                    for (node, share) in corner {
                        local.add_force(slot(*node)?, &(gradient * (moment * share)));
                    }
                }
                local.scale = gradient.iter().map(|g| g.norm() * moment.abs()).fold(0.0, f64::max);
                if local.forces_alone {
                    return Some(());
                }
                let curvature = fold::curvature(&now)?;
                for (i, corner) in corners.iter().enumerate() {
                    for (node, share) in corner {
                        let row = slot(*node)?;
                        for (j, other) in corners.iter().enumerate() {
                            let block =
                                gradient[i] * gradient[j].transpose() * *stiffness + curvature[i][j] * moment;
                            for (second, weight) in other {
                                local.add_block(row, slot(*second)?, &(block * (share * weight)));
                            }
                        }
                    }
                }
            }
            Self::Ground { node, along, about } => {
                local.clear(6);
                let force = along.component_mul(&state.shift[*node]);
                local.add_force(0, &force);
                local.add_block(0, 0, &Mat3::from_diagonal(along));
                if about.amax() > 0.0 {
                    let (moment, block) = spring::ground_turn(about, &state.turn[*node]);
                    local.add_force(3, &moment);
                    local.add_block(3, 3, &block);
                }
                local.scale = force.amax();
            }
        }
        Some(())
    }
}

/// Where the lower triangle of a group comes from in the element's own tangent, row by row, and where it goes.
fn places(assembly: &Assembly, group: &[Option<usize>]) -> Vec<(usize, usize)> {
    let mut answer = Vec::new();
    for (i, row) in group.iter().enumerate() {
        let Some(row) = row else { continue };
        for (j, column) in group[..=i].iter().enumerate() {
            let Some(column) = column else { continue };
            let place = assembly.place(*row.max(column), *row.min(column));
            answer.extend(place.map(|place| (i * group.len() + j, place)));
        }
    }
    answer
}

fn corners_at(corners: &[Vec<(usize, f64)>; 4], at: impl Fn(usize) -> Vec3) -> fold::Corners {
    let point = |corner: &Vec<(usize, f64)>| corner.iter().map(|(n, w)| at(*n) * *w).sum();
    [point(&corners[0]), point(&corners[1]), point(&corners[2]), point(&corners[3])]
}

fn halves(six: &[f64; 6]) -> (Vec3, Vec3) {
    (Vec3::new(six[0], six[1], six[2]), Vec3::new(six[3], six[4], six[5]))
}
