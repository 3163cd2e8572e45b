//! Second-order statics: equilibrium on the moved frame, small rotations, with an initial crookedness.
//!
//! K u + Kg(N)·(u + e) = F, N the axial forces of the answer itself, e the crookedness without stress
//! (a shape scaled by its amplitude); iterated until N stands still. The bars' geometric stiffness is the
//! consistent one, so both the sway of the nodes and the bow of bars between them count; one bar a member is
//! within 1 % up to 0.4 of its Euler load with rigid ends, several are better (tests/published).

use faer::Mat;

use crate::frame::error::FrameError;
use crate::frame::factor::NoFactor;
use crate::frame::linear::Solver;
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
        let (frame, assembly) = (self.frame(), self.assembly());
        let first = self.solve(std::slice::from_ref(loads))?.remove(0);
        let Some((symbolic, _)) = self.factor()? else {
            let axial = geometric::axial_forces(&first);
            return Ok(SecondOrder { response: first, axial, steps: 0 });
        };
        let load = recover::prepare(frame, assembly, loads)?;
        let right = recover::right_hand_side(frame, assembly, &load);
        let bow = if crooked.is_empty() { vec![0.0; self.unknowns()] } else { assembly.gather(crooked) };
        let mut axial = geometric::axial_forces(&first);
        let mut left = f64::INFINITY;
        for step in 1..=STEPS {
            let kg = self.geometric().assemble(assembly, &axial);
            let sum: Vec<f64> = self.stiffness().iter().zip(&kg).map(|(k, g)| k + g).collect();
            let factor = symbolic.cholesky(assembly, &sum).map_err(|why| match why {
                NoFactor::Pivot(_) => FrameError::BeyondBuckling,
                NoFactor::TooLarge => FrameError::TooLarge { unknowns: assembly.unknowns },
            })?;
            let mut pushed = vec![0.0; self.unknowns()];
            assembly.multiply(&kg, &bow, &mut pushed);
            let wanted: Vec<f64> = right.iter().zip(&pushed).map(|(f, g)| f - g).collect();
            let mut x = Mat::from_fn(self.unknowns(), 1, |i, _| wanted[i]);
            factor.solve(x.as_mut());
            // One step of refinement, as in the linear solve.
            let mut product = vec![0.0; self.unknowns()];
            assembly.multiply(&sum, x.col_as_slice(0), &mut product);
            let mut change = Mat::from_fn(self.unknowns(), 1, |i, _| wanted[i] - product[i]);
            factor.solve(change.as_mut());
            x += change;
            let moved = Moved { axial: &axial, crooked };
            let response = recover::response(frame, assembly, &load, x.col_as_slice(0), Some(moved))?;
            let now = geometric::axial_forces(&response);
            let largest = now.iter().chain(&axial).fold(0.0_f64, |a, b| a.max(b.abs()));
            left = now.iter().zip(&axial).fold(0.0_f64, |a, (x, y)| a.max((x - y).abs()))
                / if largest > 0.0 { largest } else { 1.0 };
            if left <= SETTLED {
                return Ok(SecondOrder { response, axial, steps: step });
            }
            axial = now;
        }
        Err(FrameError::NotConverged {
            what: "second-order equilibrium",
            steps: STEPS,
            residual: left,
            tolerance: SETTLED,
        })
    }
}
