//! The lowest positive λ of K φ = λ B φ, K positive definite and B symmetric of any sign, and the proof
//! that none is missing.
//!
//! Symmetric shells have repeated values, which single-vector methods skip without a word; so a block
//! Lanczos iteration with full reorthogonalisation runs on L⁻¹ B L⁻ᵀ (K − sB = L Lᵀ, eigenvalues
//! 1/(λ − s)), and a count of negative pivots of K − tB, t just above the last value, must equal the
//! number found (Sylvester's law of inertia). Small problems are solved densely and counted all the same.
//! Block size, shift and count were chosen on measurements (`docs/solver.md`).

use faer::{Mat, Side};

use crate::frame::assemble::Assembly;
use crate::frame::error::FrameError;
use crate::frame::factor::{Factor, Symbolic};
use crate::frame::krylov::{Basis, REACH, Ritz, TOLERANCE, orthonormal, ritz};
use crate::frame::sums::length;

/// Unknowns up to which all eigenvalues are found densely.
const DENSE_LIMIT: usize = 90;
/// Unknowns from which a shift towards the wanted end pays for its factorisation (measured: four times faster
/// at 1 806, level at 426).
const SHIFT_FROM: usize = 400;
/// Vectors in a block; symmetric shells need at least 4.
const BLOCK: usize = 6;
/// Blocks of the rough iteration that finds where to shift.
const ROUGH: usize = 4;
/// What an eigenpair leaves of K·x at most, beyond which it says nothing of where a count sets in.
const WORST: f64 = 1e-5;
/// What the start vectors are made from.
const SEED: u64 = 0xb10c;
/// Vectors in the basis at most, as memory allows: crowded values of near-symmetric shells need many.
const BASIS: [usize; 2] = [240, 1200];
/// Numbers in the basis at most, beyond its smallest size.
const BASIS_NUMBERS: usize = 60_000_000;

/// A matrix pencil in the pattern of one assembly.
#[derive(Debug, Clone, Copy)]
pub struct Pencil<'a> {
    /// Pattern.
    pub assembly: &'a Assembly,
    /// Symbolic factor of the pattern.
    pub symbolic: &'a Symbolic,
    /// Factor of K.
    pub factor: &'a Factor,
    /// Values of K.
    pub k: &'a [f64],
    /// Values of B.
    pub b: &'a [f64],
}

/// The lowest positive values and what proves them.
#[derive(Debug, Clone)]
pub struct Lowest {
    /// λ, ascending: all that exist below `below`.
    pub values: Vec<f64>,
    /// φ, a column each, |φ| = 1.
    pub vectors: Mat<f64>,
    /// |Kφ − λBφ| / |Kφ| of each pair.
    pub residuals: Vec<f64>,
    /// The inertia count shows exactly as many values as found between 0 and here.
    pub below: f64,
    /// Applications of the operator to one vector; 0 for a dense solution.
    pub applications: usize,
    /// Shift used; 0 for none.
    pub shift: f64,
}

impl Pencil<'_> {
    fn n(&self) -> usize {
        self.assembly.unknowns
    }

    /// Values of K − tB.
    fn shifted(&self, t: f64) -> Vec<f64> {
        self.k.iter().zip(self.b).map(|(k, b)| k - t * b).collect()
    }

    /// Whether no λ lies between 0 and `t`: whether K − tB is positive definite.
    #[must_use]
    pub fn none_below(&self, t: f64) -> bool {
        self.symbolic.cholesky(self.assembly, &self.shifted(t)).is_ok()
    }

    /// How many λ lie between 0 and `t`; `None` where the count itself lost its digits.
    #[must_use]
    pub fn count_below(&self, t: f64) -> Option<usize> {
        self.symbolic.negative_count(self.assembly, &self.shifted(t))
    }

    /// B X.
    fn times_b(&self, block: &Mat<f64>) -> Mat<f64> {
        let mut out = Mat::zeros(block.nrows(), block.ncols());
        self.assembly.multiply_block(self.b, block, &mut out);
        out
    }

    /// L⁻¹ B L⁻ᵀ X.
    fn apply(&self, factor: &Factor, block: &Mat<f64>) -> Mat<f64> {
        let mut inner = block.clone();
        factor.solve_upper(inner.as_mut());
        let mut out = self.times_b(&inner);
        factor.solve_lower(out.as_mut());
        out
    }

    /// The lowest `count` positive λ (more where a repeated one would be cut in half).
    ///
    /// # Errors
    /// [`FrameError::NotConverged`] where the iteration or the count did not close.
    pub fn lowest(&self, count: usize) -> Result<Lowest, FrameError> {
        if self.b.iter().all(|b| *b == 0.0) || self.n() == 0 {
            return Ok(self.nothing(f64::INFINITY));
        }
        // Nothing was looked for, so nothing is known of what there is.
        if count == 0 {
            return Ok(self.nothing(0.0));
        }
        let mut wanted = count.min(self.n());
        for _ in 0..6 {
            let found = if self.n() <= DENSE_LIMIT { self.dense(wanted)? } else { self.lanczos(wanted)? };
            if found.values.is_empty() {
                return self.prove_none(found);
            }
            let last = found.values.len() - 1;
            // Just above the last: repeated values within rounding are on the same side. Of a frame that all but moves freely the value
            // itself is only as good as what it leaves, and the count may set in that much above it.
            let off = found.residuals[last].min(WORST);
            let steps = [1e-7, 2e-7, 5e-7, off, 10.0 * off, 100.0 * off];
            let counts = steps.iter().filter_map(|step| {
                let t = found.values[last] * (1.0 + step);
                self.count_below(t).map(|counted| (t, counted))
            });
            let mut counts = counts.skip_while(|(_, counted)| *counted < found.values.len());
            match counts.next() {
                Some((t, counted)) if counted == found.values.len() => {
                    return Ok(Lowest { below: t, ..found });
                }
                // One more than found: a repeated value was cut, or one was missed. Ask for all of them.
                Some((_, counted)) if counted > found.values.len() => {
                    wanted = counted.max(wanted + 1).min(self.n());
                }
                _ => break,
            }
        }
        Err(FrameError::NotConverged {
            what: "the list of eigenvalues against its inertia count",
            steps: 6,
            residual: f64::NAN,
            tolerance: TOLERANCE,
        })
    }

    fn nothing(&self, below: f64) -> Lowest {
        Lowest {
            values: Vec::new(),
            vectors: Mat::zeros(self.n(), 0),
            residuals: Vec::new(),
            below,
            applications: 0,
            shift: 0.0,
        }
    }

    /// No positive value was seen: how far can that be proved?
    fn prove_none(&self, found: Lowest) -> Result<Lowest, FrameError> {
        let mut t = found.below;
        for _ in 0..6 {
            if self.none_below(t) {
                return Ok(Lowest { below: t, ..found });
            }
            // Above here the sum is lost in rounding; try closer.
            t *= 0.01;
        }
        Err(FrameError::NotConverged {
            what: "the proof that there is no positive eigenvalue",
            steps: 6,
            residual: f64::NAN,
            tolerance: TOLERANCE,
        })
    }

    fn dense(&self, count: usize) -> Result<Lowest, FrameError> {
        let n = self.n();
        let mut half = self.assembly.dense(self.b);
        self.factor.solve_lower(half.as_mut());
        let mut full = half.transpose().to_owned();
        self.factor.solve_lower(full.as_mut());
        let full = Mat::from_fn(n, n, |i, j| 0.5 * (full[(i, j)] + full[(j, i)]));
        let eigen = full.self_adjoint_eigen(Side::Lower).map_err(|_| gave_up(0, f64::NAN))?;
        let values = eigen.S().column_vector();
        let top = values[0].abs().max(values[n - 1].abs());
        let mut thetas = Vec::new();
        let mut picked = Vec::new();
        for i in (0..n).rev().take(count) {
            if values[i] > top / REACH {
                thetas.push(values[i]);
                picked.push(i);
            }
        }
        let vectors = Mat::from_fn(n, picked.len(), |i, j| eigen.U()[(i, picked[j])]);
        Ok(self.finish(self.factor, &thetas, vectors, 0.0, top, 0))
    }

    /// Eigenvalues θ of the (shifted) operator to λ, its vectors to shapes, and their residuals.
    #[allow(clippy::too_many_arguments, reason = "one pair of callers; each is a number of its own")]
    fn finish(
        &self,
        factor: &Factor,
        thetas: &[f64],
        mut vectors: Mat<f64>,
        shift: f64,
        top: f64,
        applications: usize,
    ) -> Lowest {
        factor.solve_upper(vectors.as_mut());
        let values: Vec<f64> = thetas.iter().map(|theta| shift + 1.0 / theta).collect();
        let n = self.n();
        let mut residuals = Vec::new();
        let (mut kx, mut bx) = (vec![0.0; n], vec![0.0; n]);
        for (column, value) in values.iter().enumerate() {
            let x = vectors.col_as_slice_mut(column);
            let norm = length(x);
            x.iter_mut().for_each(|v| *v /= norm);
            self.assembly.multiply(self.k, x, &mut kx);
            self.assembly.multiply(self.b, x, &mut bx);
            let (mut off, mut size) = (0.0, 0.0);
            for (k, b) in kx.iter().zip(&bx) {
                off += (k - value * b) * (k - value * b);
                size += k * k;
            }
            residuals.push((off / size).sqrt());
        }
        Lowest { values, vectors, residuals, below: 0.1 * REACH / top, applications, shift }
    }

    fn lanczos(&self, count: usize) -> Result<Lowest, FrameError> {
        let mut applications = 0;
        if self.n() >= SHIFT_FROM {
            // A few steps give the lowest value from above; a shift below it spreads the wanted end.
            let start = crate::frame::random::block(self.n(), BLOCK, SEED);
            let rough = self.iterate(self.factor, start, BLOCK, ROUGH, &mut applications);
            if let Some(theta) = rough.thetas.first().copied().filter(|theta| *theta > 1e-3 * rough.top) {
                let mut shift = 0.8 / theta;
                for _ in 0..12 {
                    if let Ok(factor) = self.symbolic.cholesky(self.assembly, &self.shifted(shift)) {
                        let start = self.carried_over(rough, &factor);
                        let ritz = self.iterate(&factor, start, count, usize::MAX, &mut applications);
                        return self.close(&factor, ritz, shift, applications);
                    }
                    shift *= 0.9;
                }
            }
        }
        let start = crate::frame::random::block(self.n(), BLOCK.min(self.n()), SEED);
        let ritz = self.iterate(self.factor, start, count, usize::MAX, &mut applications);
        self.close(self.factor, ritz, 0.0, applications)
    }

    /// A start for the shifted iteration: what the rough one found, one application further on; where it found
    /// fewer vectors than a block has, random ones beside them.
    fn carried_over(&self, rough: Ritz, factor: &Factor) -> Mat<f64> {
        let mut found = rough.vectors;
        self.factor.solve_upper(found.as_mut());
        let mut start = self.times_b(&found);
        factor.solve_lower(start.as_mut());
        let random = crate::frame::random::block(self.n(), BLOCK, SEED);
        let known = start.ncols();
        Mat::from_fn(self.n(), BLOCK, |i, j| if j < known { start[(i, j)] } else { random[(i, j)] })
    }

    fn close(
        &self,
        factor: &Factor,
        ritz: Ritz,
        shift: f64,
        applications: usize,
    ) -> Result<Lowest, FrameError> {
        if !ritz.converged {
            return Err(gave_up(applications, ritz.worst));
        }
        Ok(self.finish(factor, &ritz.thetas, ritz.vectors, shift, ritz.top, applications))
    }

    /// Block Lanczos for the largest positive θ of L⁻¹ B L⁻ᵀ from a start block, until `count` have converged, no
    /// positive one is left to find, or `steps` blocks are used.
    fn iterate(
        &self,
        factor: &Factor,
        start: Mat<f64>,
        count: usize,
        steps: usize,
        applications: &mut usize,
    ) -> Ritz {
        let n = self.n();
        let width = start.ncols();
        let most = ((BASIS_NUMBERS / n).clamp(BASIS[0], BASIS[1]) + 6 * count).min(n);
        let mut basis = Basis::new(n, width);
        let (mut diagonal, mut below): (Vec<Mat<f64>>, Vec<Mat<f64>>) = (Vec::new(), Vec::new());
        let mut next = start.qr().compute_thin_Q();
        let mut looks = Looks::default();
        loop {
            let mut image = self.apply(factor, &next);
            *applications += width;
            basis.push(&next);
            let step = basis.blocks;
            let own = next.transpose() * &image;
            let size = (0..width).map(|c| image.col(c).norm_l2()).fold(0.0, f64::max);
            // The three terms of the recurrence first: what is left along the whole basis after that is rounding,
            // and one pass clears it.
            image -= &next * &own;
            if let Some(coupling) = below.last() {
                image -= basis.block(step - 2) * coupling.transpose();
            }
            diagonal.push(own);
            basis.clear(&mut image);
            let (mut coupling, least) = orthonormal(&mut image);
            if least < 1e-2 * size {
                // Columns that all but vanished leave directions of rounding: clear them of the basis again.
                basis.clear(&mut image);
                let (again, _) = orthonormal(&mut image);
                coupling = again * &coupling;
            }
            next = image;
            below.push(coupling);
            let used = step * width;
            let full = used + width > most;
            if looks.due(step) || full || step >= steps {
                let ritz = ritz(&diagonal, &below, width, count, used + width > n);
                if ritz.converged || full || step >= steps {
                    let vectors = basis.combine(&ritz.small);
                    return Ritz { vectors, ..ritz };
                }
                looks.saw(step, ritz.worst);
            }
        }
    }
}

/// When the projected problem is solved: it grows with the basis, so that looking at it at every step would cost as
/// much as the steps.
#[derive(Debug, Default)]
struct Looks {
    /// Step and residual of the last look.
    last: Option<(usize, f64)>,
    /// The next step at which to look.
    next: usize,
}

impl Looks {
    fn due(&self, step: usize) -> bool {
        step >= self.next.max(2)
    }

    /// Residuals fall at an even rate or faster; most of the way that this rate leaves is gone before the next look.
    fn saw(&mut self, step: usize, worst: f64) {
        let wait = match self.last {
            Some((before, residual)) if worst < residual && worst > TOLERANCE => {
                let rate = (residual / worst).ln() / (step - before) as f64;
                (0.6 * (worst / TOLERANCE).ln() / rate) as usize
            }
            _ => 1,
        };
        self.last = Some((step, worst));
        self.next = step + wait.clamp(1, 8);
    }
}

fn gave_up(steps: usize, residual: f64) -> FrameError {
    FrameError::NotConverged { what: "the eigenvalue iteration", steps, residual, tolerance: TOLERANCE }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::frame::linear::Solver;
    use crate::frame::timber::TIMBER;
    use crate::frame::{Bar, BarSection, EndFix, Frame, Node, NodeId};
    use crate::vector::Vec3;

    /// Columns of one kind side by side, hinged and free to shorten, square in section: each has Euler's load both ways across.
    fn columns(count: usize, pieces: usize) -> Frame {
        let mut frame = Frame::default();
        let section = BarSection { second_moment_z: TIMBER.second_moment_y, ..TIMBER };
        for column in 0..count {
            for piece in 0..=pieces {
                let held = match piece {
                    0 => [true, true, true, false, false, true],
                    end if end == pieces => [true, true, false, false, false, false],
                    _ => [false; 6],
                };
                let at = Vec3::new(column as f64, 0.0, HEIGHT * piece as f64 / pieces as f64);
                frame.nodes.push(Node { at, held, ground: [0.0; 6] });
                if piece > 0 {
                    let to = NodeId(frame.nodes.len() - 1);
                    let (from, ends) = (NodeId(to.0 - 1), [EndFix::Rigid; 2]);
                    frame.bars.push(Bar { from, to, section, up: Vec3::x(), ends });
                }
            }
        }
        frame
    }

    const HEIGHT: f64 = 2.5;

    /// Repeated more often than a block is wide: all copies are found, by the dense way and by the iteration with and without a
    /// shift, though fewer were asked for, and the list says that it is complete up to just above them and no further.
    #[test]
    fn every_copy_of_a_repeated_value_is_found() {
        let euler =
            std::f64::consts::PI.powi(2) * TIMBER.elastic * TIMBER.second_moment_y / (HEIGHT * HEIGHT);
        for (count, pieces, unknowns) in
            [(3, 4, 1..=DENSE_LIMIT), (5, 6, DENSE_LIMIT + 1..=SHIFT_FROM - 1), (5, 15, SHIFT_FROM..=1000)]
        {
            let frame = columns(count, pieces);
            let solver = Solver::new(&frame).unwrap();
            assert!(unknowns.contains(&solver.unknowns()), "{}", solver.unknowns());
            // The second column carries half as much, the last is pulled and buckles at nothing.
            let load = |bar: usize| match bar / pieces {
                1 => -0.5,
                last if last + 1 == count => 1.0,
                _ => -1.0,
            };
            let axial: Vec<f64> = (0..frame.bars.len()).map(load).collect();
            let found = solver.buckling_of_nodes(&axial, 1).unwrap();
            let copies = 2 * (count - 2);
            assert_eq!(found.factors.len(), copies, "{:?}", found.factors);
            for factor in &found.factors {
                assert!((factor - euler).abs() < 3e-3 * euler, "{factor} {euler}");
                assert!((factor - found.factors[0]).abs() < 1e-8 * euler);
            }
            assert!(found.below > found.factors[copies - 1] && found.below < found.factors[0] * (1.0 + 1e-6));
            assert!(found.residuals.iter().all(|off| *off > 0.0 && *off < 1e-6), "{:?}", found.residuals);
            assert_eq!(found.applications > 0, solver.unknowns() > DENSE_LIMIT);
            // One more than those: the two of the column with half the load.
            let more = solver.buckling_of_nodes(&axial, copies + 1).unwrap();
            assert_eq!(more.factors.len(), copies + 2);
            for factor in &more.factors[copies..] {
                assert!((factor - 2.0 * found.factors[0]).abs() < 1e-7 * euler, "{factor}");
            }
            assert!(more.below > 1.9 * euler && more.below < 2.01 * euler);
        }
    }

    /// What nothing presses has no factor at all; and where none is asked for, nothing is said about what there is.
    #[test]
    fn nothing_pressed_and_nothing_asked() {
        let solver = Solver::new(&columns(1, 2)).unwrap();
        let free = solver.buckling_of_nodes(&[0.0, 0.0], 3).unwrap();
        assert!(free.factors.is_empty() && free.below.is_infinite());
        let unasked = solver.buckling_of_nodes(&[-1.0, -1.0], 0).unwrap();
        assert!(unasked.factors.is_empty() && unasked.below <= 0.0);
    }
}
