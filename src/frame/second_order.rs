//! Second-order statics: equilibrium on the moved frame, small rotations, with an initial crookedness.
//!
//! K u + Kg(N)·(u + e) = F, N the axial forces of the answer itself, e the crookedness without stress
//! (a shape scaled by its amplitude); iterated until N stands still. The bars' geometric stiffness is the
//! consistent one, so both the sway of the nodes and the bow of bars between them count; one bar a member is
//! within 1 % up to 0.4 of its Euler load with rigid ends, several are better (tests/published).

use faer::Mat;

use crate::frame::assemble::Assembly;
use crate::frame::bar::Vector12;
use crate::frame::error::FrameError;
use crate::frame::factor::{Factor, NoFactor, Symbolic};
use crate::frame::linear::Solver;
use crate::frame::recover::Prepared;
use crate::frame::{Bar, EndFix, Frame, FrameLoads, Response, geometric, recover};

/// Steps allowed for the axial forces to settle.
const STEPS: usize = 50;
/// Change of the axial forces over the largest of them at which they count as settled.
const SETTLED: f64 = 1e-9;

/// Axial forces and crookedness that second-order forces are taken with.
#[derive(Debug, Clone, Copy)]
pub struct Moved<'a> {
    /// Axial force of every bar \[N\], tension positive.
    pub axial: &'a [f64],
    /// Crookedness of every node, or empty for none.
    pub crooked: &'a [[f64; 6]],
}

/// The stiffness of the pushed frame under given axial forces.
struct Pushed {
    axial: Vec<f64>,
    kg: Vec<f64>,
    /// K + Kg.
    sum: Vec<f64>,
    factor: Factor,
}

/// A second-order answer.
#[derive(Debug, Clone, PartialEq)]
pub struct SecondOrder {
    /// Movements (without the crookedness), forces in the axes of the frame as drawn, reactions.
    pub response: Response,
    /// Axial force of every bar \[N\] that the answer was made with.
    pub axial: Vec<f64>,
    /// Steps used.
    pub steps: usize,
}

/// A shape scaled so that its largest translation is `amplitude` \[m\].
#[must_use]
pub fn crookedness(shape: &[[f64; 6]], amplitude: f64) -> Vec<[f64; 6]> {
    let mut scaled = crate::frame::buckling::scaled(shape.to_vec());
    scaled.iter_mut().flatten().for_each(|v| *v *= amplitude);
    scaled
}

/// The frame with all its bars, links, folds and end springs softened by `factor` (design stiffness over mean
/// stiffness); springs to ground stay.
#[must_use]
pub fn softened(frame: &Frame, factor: f64) -> Frame {
    let mut soft = frame.clone();
    for Bar { section, ends, .. } in &mut soft.bars {
        section.elastic *= factor;
        section.shear *= factor;
        for end in ends {
            if let EndFix::Springs(k) = end {
                k.iter_mut().for_each(|k| *k *= factor);
            }
        }
    }
    soft.links.iter_mut().flat_map(|link| &mut link.stiffness).for_each(|k| *k *= factor);
    soft.folds.iter_mut().for_each(|fold| fold.stiffness *= factor);
    soft
}

impl Solver {
    /// Second-order answer to one load case. `crooked`: the initial crookedness of every node, or empty.
    ///
    /// # Errors
    /// As [`Solver::solve`]; [`FrameError::BeyondBuckling`] where the load is above the buckling load of
    /// this stiffness, [`FrameError::NotConverged`] where the axial forces do not settle.
    pub fn second_order(&self, loads: &FrameLoads, crooked: &[[f64; 6]]) -> Result<SecondOrder, FrameError> {
        Ok(self.second_order_each(loads, &[crooked])?.remove(0))
    }

    /// Second-order answers to one load case with each of several crookednesses, in their order. What does not depend
    /// on them, the first-order answer and the factor of the first step, is found once.
    ///
    /// # Errors
    /// As [`Solver::second_order`], where one of them has no answer.
    pub fn second_order_each(
        &self,
        loads: &FrameLoads,
        crooked: &[&[[f64; 6]]],
    ) -> Result<Vec<SecondOrder>, FrameError> {
        let first = self.solve(std::slice::from_ref(loads))?.remove(0);
        let axial = geometric::axial_forces(&first);
        let Some((symbolic, _)) = self.factor()? else {
            return Ok(vec![SecondOrder { response: first, axial, steps: 0 }; crooked.len()]);
        };
        let load = recover::prepare(self.frame(), self.assembly(), loads)?;
        let right = recover::right_hand_side(self.frame(), self.assembly(), &load);
        let pushed = self.pushed(symbolic, axial)?;
        crooked.iter().map(|one| self.settled(symbolic, (&load, &right), &pushed, one)).collect()
    }

    /// K + Kg under these axial forces.
    fn pushed(&self, symbolic: &Symbolic, axial: Vec<f64>) -> Result<Pushed, FrameError> {
        let assembly = self.assembly();
        let kg = self.geometric().assemble(assembly, &axial);
        let sum: Vec<f64> = self.stiffness().iter().zip(&kg).map(|(k, g)| k + g).collect();
        let factor = symbolic.cholesky(assembly, &sum).map_err(|why| match why {
            NoFactor::Pivot(_) => FrameError::BeyondBuckling,
            NoFactor::TooLarge => FrameError::TooLarge { unknowns: assembly.unknowns },
        })?;
        Ok(Pushed { axial, kg, sum, factor })
    }

    /// Steps from a first guess of the axial forces until they stand still.
    fn settled(
        &self,
        symbolic: &Symbolic,
        (load, right): (&Prepared, &[f64]),
        start: &Pushed,
        crooked: &[[f64; 6]],
    ) -> Result<SecondOrder, FrameError> {
        let (frame, assembly) = (self.frame(), self.assembly());
        let bow = if crooked.is_empty() { vec![0.0; self.unknowns()] } else { assembly.gather(crooked) };
        let mut later = None;
        let mut left = f64::INFINITY;
        for step in 1..=STEPS {
            let Pushed { axial, kg, sum, factor } = later.as_ref().unwrap_or(start);
            let mut pushed = vec![0.0; self.unknowns()];
            assembly.multiply(kg, &bow, &mut pushed);
            let mut wanted: Vec<f64> = right.iter().zip(&pushed).map(|(f, g)| f - g).collect();
            if load.settles {
                let pushed = pushed_by_supports(frame, assembly, axial, &load.imposed);
                wanted.iter_mut().zip(&pushed).for_each(|(f, g)| *f -= g);
            }
            let mut x = Mat::from_fn(self.unknowns(), 1, |i, _| wanted[i]);
            factor.solve(x.as_mut());
            // One step of refinement, as in the linear solve.
            let mut product = vec![0.0; self.unknowns()];
            assembly.multiply(sum, x.col_as_slice(0), &mut product);
            let mut change = Mat::from_fn(self.unknowns(), 1, |i, _| wanted[i] - product[i]);
            factor.solve(change.as_mut());
            x += change;
            let moved = Moved { axial, crooked };
            let response = recover::response(frame, assembly, load, x.col_as_slice(0), Some(moved))?;
            let now = geometric::axial_forces(&response);
            let largest = now.iter().chain(axial).fold(0.0_f64, |a, b| a.max(b.abs()));
            left = now.iter().zip(axial).fold(0.0_f64, |a, (x, y)| a.max((x - y).abs()))
                / if largest > 0.0 { largest } else { 1.0 };
            if left <= SETTLED {
                return Ok(SecondOrder { response, axial: axial.clone(), steps: step });
            }
            later = Some(self.pushed(symbolic, now)?);
        }
        Err(FrameError::NotConverged {
            what: "second-order equilibrium",
            steps: STEPS,
            residual: left,
            tolerance: SETTLED,
        })
    }
}

/// What axial forces do on the unknowns where supports have moved: that part of Kg·u which the assembled Kg, of the
/// unknowns alone, does not have.
fn pushed_by_supports(frame: &Frame, assembly: &Assembly, axial: &[f64], imposed: &[[f64; 6]]) -> Vec<f64> {
    let mut nodes = vec![[0.0; 6]; frame.nodes.len()];
    for (index, bar) in frame.bars.iter().enumerate() {
        let line = &assembly.lines[index];
        let ends = [bar.from.0, bar.to.0];
        let moved = Vector12::from_iterator(ends.iter().flat_map(|&node| imposed[node]));
        let force = line.to_global(&(geometric::bar(bar, line.length, axial[index]) * line.to_local(&moved)));
        for (at, value) in force.iter().enumerate() {
            nodes[ends[at / 6]][at % 6] += value;
        }
    }
    assembly.gather(&nodes)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::frame::{BarSection, Node, NodeId};
    use crate::vector::Vec3;

    /// A post whose foot is turned by θ and whose top carries P: beside the straight line through the foot it bends as
    /// w″ = −k²·w with k² = P/(E·I), so the top moves by θ·tan(k·h)/k in all, and the foot holds P times that. A foot that only
    /// moves over takes the whole with it and holds nothing; what turns it the other way is the mirror image.
    #[test]
    fn a_post_on_a_foot_that_moves_leans_further_under_its_load() {
        let section = BarSection {
            area: 4e-3,
            second_moment_y: 3e-6,
            second_moment_z: 2e-6,
            torsion: 3e-6,
            elastic: 11e9,
            shear: 0.69e9,
            mass: 0.0,
        };
        let (height, count, down) = (2.4, 6, 4000.0);
        let node = |k: usize| Node {
            at: Vec3::new(0.0, 0.0, height * k as f64 / count as f64),
            held: [k == 0; 6],
            ground: [0.0; 6],
        };
        let bar = |k: usize| Bar {
            from: NodeId(k),
            to: NodeId(k + 1),
            section,
            up: Vec3::new(0.0, 1.0, 0.0),
            ends: [EndFix::Rigid, EndFix::Rigid],
        };
        let frame = Frame {
            nodes: (0..=count).map(node).collect(),
            bars: (0..count).map(bar).collect(),
            ..Frame::default()
        };
        let solver = Solver::new(&frame).unwrap();
        let top = NodeId(count);
        let settled = |settlements: Vec<(NodeId, usize, f64)>| {
            let loads = FrameLoads {
                nodes: vec![(top, [0.0, 0.0, -down, 0.0, 0.0, 0.0])],
                settlements,
                ..FrameLoads::default()
            };
            solver.second_order(&loads, &[]).unwrap().response
        };
        let turn = 0.01;
        // Turned about y it leans along x and bends about the section's z, as y is up; about x, the other way.
        for (freedom, along, inertia) in [(4, 0, section.second_moment_z), (3, 1, section.second_moment_y)] {
            let k = (down / (section.elastic * inertia)).sqrt();
            let lean = turn * (k * height).tan() / k;
            assert!(lean > 1.3 * turn * height, "hardly pushed");
            let sign = if freedom == 4 { 1.0 } else { -1.0 };
            for way in [sign, -sign] {
                let found = settled(vec![(NodeId(0), freedom, way * turn)]);
                let moved = found.displacements[count][along];
                assert!((moved - way * sign * lean).abs() < 1e-4 * lean, "{moved} and {lean}");
                let held = found.reactions[0].1[freedom];
                assert!((held.abs() - down * lean).abs() < 1e-4 * down * lean, "{held} and {}", down * lean);
            }
        }
        let over = settled(vec![(NodeId(0), 0, 0.05)]);
        assert!((over.displacements[count][0] - 0.05).abs() < 1e-9 && over.reactions[0].1[4].abs() < 1e-6);
    }

    /// Several crookednesses at once are, to the bit, each of them alone; either way of one moves a leaning post
    /// differently.
    #[test]
    fn several_ways_at_once_are_each_of_them_alone() {
        let node = |x: f64, z: f64| Node {
            at: Vec3::new(x, 0.0, z),
            held: if z > 0.0 { [false; 6] } else { [true; 6] },
            ground: [0.0; 6],
        };
        let section = BarSection {
            area: 4e-3,
            second_moment_y: 3e-6,
            second_moment_z: 2e-6,
            torsion: 3e-6,
            elastic: 11e9,
            shear: 0.69e9,
            mass: 2.0,
        };
        let bar = Bar {
            from: NodeId(0),
            to: NodeId(1),
            section,
            up: Vec3::new(0.0, 1.0, 0.0),
            ends: [EndFix::Rigid, EndFix::Rigid],
        };
        let bars = vec![bar.clone(), Bar { from: NodeId(1), to: NodeId(2), ..bar }];
        let frame =
            Frame { nodes: vec![node(0.0, 0.0), node(0.1, 1.2), node(0.3, 2.4)], bars, ..Frame::default() };
        let solver = Solver::new(&frame).unwrap();
        let load = [50.0, 20.0, -4e3, 0.0, 0.0, 0.0];
        let loads = FrameLoads { nodes: vec![(NodeId(2), load)], ..FrameLoads::default() };
        let shape = [[0.0; 6], [0.3, 0.1, 0.0, 0.0, 0.0, 0.0], [1.0, 0.4, 0.0, 0.0, 0.0, 0.0]];
        let either = [crookedness(&shape, 0.02), crookedness(&shape, -0.02)];
        let straight: &[[f64; 6]] = &[];
        let all = [straight, &either[0], &either[1]];
        let together = solver.second_order_each(&loads, &all).unwrap();
        for (one, crooked) in together.iter().zip(all) {
            assert_eq!(*one, solver.second_order(&loads, crooked).unwrap());
        }
        let base =
            |answer: &SecondOrder| answer.response.bar_ends[0][0].my.hypot(answer.response.bar_ends[0][0].mz);
        assert!((base(&together[1]) - base(&together[2])).abs() > 0.05 * base(&together[0]));
    }
}
