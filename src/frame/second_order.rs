//! Second-order statics: equilibrium on the moved frame, small rotations, with an initial crookedness.
//!
//! K u + Kg(N)·(u + e) = F, N the axial forces of the answer itself, e the crookedness without stress
//! (a shape scaled by its amplitude); iterated until N stands still. N changes little from step to step, so that one
//! factor serves them all, each step correcting what the one before left over, unless they come to rest slowly. A
//! factor of K + Kg(N) at the end proves the answer stable: beyond the buckling load there are answers too.
//!
//! The bars' geometric stiffness is the consistent one, so both the sway of the nodes and the bow of bars between them
//! count; one bar a member is within 1 % up to 0.4 of its Euler load with rigid ends, several are better
//! (tests/published; `halved.rs`).

use faer::MatMut;

use crate::frame::assemble::Assembly;
use crate::frame::bar::Vector12;
use crate::frame::error::FrameError;
use crate::frame::factor::{Factor, NoFactor, Symbolic};
use crate::frame::linear::Solver;
use crate::frame::recover::Prepared;
use crate::frame::sums::largest;
use crate::frame::{Bar, EndFix, Frame, FrameLoads, Response, geometric, recover};

/// Steps allowed for the axial forces to settle.
const STEPS: usize = 50;
/// Change of the axial forces over the largest of them at which they count as settled.
const SETTLED: f64 = 1e-9;
/// Share of the change before at which a step is slow, and the next one has a factor of its own.
const SLOW: f64 = 0.3;
/// Corrections of the settled answer at most; each takes off what the factor's age leaves, a small share.
const CORRECTIONS: usize = 8;

/// Axial forces and crookedness that second-order forces are taken with.
#[derive(Debug, Clone, Copy)]
pub struct Moved<'a> {
    /// Axial force of every bar \[N\], tension positive.
    pub axial: &'a [f64],
    /// Crookedness of every node, or empty for none.
    pub crooked: &'a [[f64; 6]],
}

/// A second-order answer.
#[derive(Debug, Clone, PartialEq)]
pub struct SecondOrder {
    /// Movements (without the crookedness), forces in the axes of the frame as drawn, reactions.
    pub response: Response,
    /// Axial force of every bar \[N\] that the answer was made with.
    pub axial: Vec<f64>,
    /// Steps until the axial forces stood still.
    pub steps: usize,
}

/// A first-order answer, as second-order steps start from it: answers to several cases add up.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct FirstOrder {
    /// Axial force of every bar \[N\], tension positive.
    axial: Vec<f64>,
    /// The unknowns of the stiffness \[m, rad\].
    moved: Vec<f64>,
}

impl FirstOrder {
    /// The sum of several, each by its factor; of none, nothing.
    pub fn sum<'a>(parts: impl Iterator<Item = (&'a Self, f64)>) -> Self {
        let mut out = Self::default();
        for (part, factor) in parts {
            for (into, from) in [(&mut out.axial, &part.axial), (&mut out.moved, &part.moved)] {
                into.resize(from.len(), 0.0);
                into.iter_mut().zip(from).for_each(|(into, from)| *into += factor * from);
            }
        }
        out
    }
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
        self.second_order_after(loads, self.first_order(&first), crooked)
    }

    /// What second-order steps start from, of a first-order answer.
    #[must_use]
    pub fn first_order(&self, answer: &Response) -> FirstOrder {
        let moved = self.assembly().gather(&answer.displacements);
        FirstOrder { axial: geometric::axial_forces(answer), moved }
    }

    /// As [`Solver::second_order_each`], where the first-order answer to these loads is known, as the sum of those to several cases.
    ///
    /// # Errors
    /// As [`Solver::second_order_each`].
    pub fn second_order_after(
        &self,
        loads: &FrameLoads,
        first: FirstOrder,
        crooked: &[&[[f64; 6]]],
    ) -> Result<Vec<SecondOrder>, FrameError> {
        let Some((symbolic, _)) = self.factor()? else {
            let response = self.solve(std::slice::from_ref(loads))?.remove(0);
            return Ok(vec![SecondOrder { response, axial: first.axial, steps: 0 }; crooked.len()]);
        };
        let load = recover::prepare(self.frame(), self.assembly(), loads)?;
        let right = recover::right_hand_side(self.frame(), self.assembly(), &load);
        let factor = self.pushed_factor(symbolic, &self.pushed(&first.axial).1)?;
        let start = Start { load, right, first, factor };
        let answers: Vec<SecondOrder> =
            crooked.iter().map(|one| self.settled(symbolic, &start, one)).collect::<Result<_, _>>()?;
        self.prove(&answers)?;
        Ok(answers)
    }

    /// Kg and K + Kg under these axial forces.
    fn pushed(&self, axial: &[f64]) -> (Vec<f64>, Vec<f64>) {
        let kg = self.geometric().assemble(self.assembly(), axial);
        let sum = self.stiffness().iter().zip(&kg).map(|(k, g)| k + g).collect();
        (kg, sum)
    }

    /// The factor of K + Kg.
    fn pushed_factor(&self, symbolic: &Symbolic, sum: &[f64]) -> Result<Factor, FrameError> {
        let assembly = self.assembly();
        symbolic.cholesky(assembly, sum).map_err(|why| match why {
            NoFactor::Pivot(_) => FrameError::BeyondBuckling,
            NoFactor::TooLarge => FrameError::TooLarge { unknowns: assembly.unknowns },
        })
    }

    /// That every answer is stable: that no buckling factor lies below 1 under its axial forces, by the exact stiffness of bars
    /// that bow. K grows with each of them: where it is positive definite under the least of all answers, it is under those
    /// of each.
    fn prove(&self, answers: &[SecondOrder]) -> Result<(), FrameError> {
        let forces = |one: &SecondOrder| geometric::buckling_forces(self.frame(), &one.response);
        let Some((first, others)) = answers.split_first() else { return Ok(()) };
        let mut least = forces(first);
        for other in others {
            least.iter_mut().zip(forces(other)).for_each(|(a, b)| *a = a.min(b));
        }
        if self.buckling_at_least_under(&least, 1.0)? {
            return Ok(());
        }
        for one in answers {
            if others.is_empty() || !self.buckling_at_least_under(&forces(one), 1.0)? {
                return Err(FrameError::BeyondBuckling);
            }
        }
        Ok(())
    }

    /// Steps from the first-order answer until the axial forces stand still.
    fn settled(
        &self,
        symbolic: &Symbolic,
        start: &Start,
        crooked: &[[f64; 6]],
    ) -> Result<SecondOrder, FrameError> {
        let (frame, assembly, n) = (self.frame(), self.assembly(), self.unknowns());
        let bow = if crooked.is_empty() { vec![0.0; n] } else { assembly.gather(crooked) };
        let mut own: Option<Factor> = None;
        let mut axial = start.first.axial.clone();
        let mut x = vec![0.0; n];
        let (mut before, mut left) = (f64::INFINITY, f64::INFINITY);
        let mut spare = vec![0.0; n];
        for steps in 1..=STEPS {
            let (kg, sum) = self.pushed(&axial);
            assembly.multiply(&kg, &bow, &mut spare);
            let mut wanted: Vec<f64> = start.right.iter().zip(&spare).map(|(f, g)| f - g).collect();
            if start.load.settles {
                let pushed = pushed_by_supports(frame, assembly, &axial, &start.load.imposed);
                wanted.iter_mut().zip(&pushed).for_each(|(f, g)| *f -= g);
            }
            // Adds to x what its forces lack; how large that is beside x.
            let mut correct = |x: &mut [f64]| {
                assembly.multiply(&sum, x, &mut spare);
                spare.iter_mut().zip(&wanted).for_each(|(has, wants)| *has = wants - *has);
                own.as_ref()
                    .unwrap_or(&start.factor)
                    .solve(MatMut::from_column_major_slice_mut(&mut spare, n, 1));
                x.iter_mut().zip(&spare).for_each(|(x, more)| *x += more);
                largest(&spare) / largest(x.iter()).max(f64::MIN_POSITIVE)
            };
            correct(&mut x);
            let now = self.axial_at(start, &x);
            let most = largest(&now).max(largest(&axial));
            left = now.iter().zip(&axial).fold(0.0_f64, |a, (x, y)| a.max((x - y).abs()))
                / if most > 0.0 { most } else { 1.0 };
            if left <= SETTLED {
                // What is left over now is taken off to the last digits.
                let mut change = f64::INFINITY;
                for _ in 0..CORRECTIONS {
                    let next = correct(&mut x);
                    if next <= f64::EPSILON || next > 0.5 * change {
                        break;
                    }
                    change = next;
                }
                let moved = Moved { axial: &axial, crooked };
                let response = recover::response(frame, assembly, &start.load, &x, Some(moved))?;
                return Ok(SecondOrder { response, axial, steps });
            }
            axial = now;
            if steps > 1 && (left > SLOW * before || own.is_some()) {
                own = Some(self.pushed_factor(symbolic, &self.pushed(&axial).1)?);
            }
            before = left;
        }
        Err(FrameError::NotConverged {
            what: "second-order equilibrium",
            steps: STEPS,
            residual: left,
            tolerance: SETTLED,
        })
    }

    /// Axial force of every bar \[N\] where the unknowns are `x`: those of the first-order answer and what its
    /// lengthening since then adds.
    fn axial_at(&self, start: &Start, x: &[f64]) -> Vec<f64> {
        let assembly = self.assembly();
        let since: Vec<f64> = x.iter().zip(&start.first.moved).map(|(x, first)| x - first).collect();
        let since = assembly.spread(&since);
        let bars = self.frame().bars.iter().zip(&assembly.lines).zip(&start.first.axial);
        bars.map(|((bar, line), first)| {
            let (from, to) = (&since[bar.from.0], &since[bar.to.0]);
            let longer: f64 = (0..3).map(|axis| line.axes[(0, axis)] * (to[axis] - from[axis])).sum();
            first + bar.section.elastic * bar.section.area / line.length * longer
        })
        .collect()
    }
}

/// What the steps start from, whatever the crookedness.
struct Start {
    load: Prepared,
    /// The load on the unknowns.
    right: Vec<f64>,
    first: FirstOrder,
    /// Factor of K + Kg under its axial forces.
    factor: Factor,
}

/// What axial forces do on the unknowns where supports have moved: that part of Kg·u which the assembled Kg, of the
/// unknowns alone, does not have.
fn pushed_by_supports(frame: &Frame, assembly: &Assembly, axial: &[f64], imposed: &[[f64; 6]]) -> Vec<f64> {
    let mut nodes = vec![[0.0; 6]; frame.nodes.len()];
    for (index, bar) in frame.bars.iter().enumerate() {
        let line = &assembly.lines[index];
        let ends = [bar.from.0, bar.to.0];
        let moved = Vector12::from_iterator(ends.iter().flat_map(|&node| imposed[node]));
        let force =
            line.to_global(&geometric::forces(bar, line.length, axial[index], &line.to_local(&moved)));
        for (at, value) in force.iter().enumerate() {
            nodes[ends[at / 6]][at % 6] += value;
        }
    }
    assembly.gather(&nodes)
}

#[cfg(test)]
#[path = "second_order_tests.rs"]
mod tests;
