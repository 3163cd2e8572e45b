//! The lowest positive λ of K φ = λ B φ, K positive definite and B symmetric of any sign, and the proof
//! that none is missing.
//!
//! Symmetric shells have repeated values, which single-vector methods skip without a word; so a block
//! Lanczos iteration with full reorthogonalisation runs on L⁻¹ B L⁻ᵀ (K − sB = L Lᵀ, eigenvalues
//! 1/(λ − s)), and a count of negative pivots of K − tB, t just above the last value, must equal the
//! number found (Sylvester's law of inertia). Small problems are solved densely and counted all the same.
//! Block size, shift and count were chosen on measurements (`docs/solver.md`).

use faer::Mat;

use crate::frame::assemble::Assembly;
use crate::frame::error::FrameError;
use crate::frame::factor::{Factor, Symbolic};

/// Unknowns up to which all eigenvalues are found densely.
const DENSE_LIMIT: usize = 90;
/// Unknowns from which a shift towards the wanted end pays for its factorisation (measured: four times faster
/// at 1 806, level at 426).
const SHIFT_FROM: usize = 400;
/// Vectors in a block; symmetric shells need at least 4.
const BLOCK: usize = 6;
/// Vectors in the basis at most, as memory allows: crowded values of near-symmetric shells need many.
const BASIS: [usize; 2] = [240, 1200];
/// Numbers in the basis at most, beyond its smallest size.
const BASIS_NUMBERS: usize = 60_000_000;
/// Residual of a Ritz pair over its value; the value itself is then good to about the square.
const TOLERANCE: f64 = 1e-9;
/// Values this many times beyond the smallest |λ| are rounding, not results.
const REACH: f64 = 1e10;

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

    /// B X, column by column.
    fn times_b(&self, block: &Mat<f64>) -> Mat<f64> {
        let mut out = Mat::zeros(block.nrows(), block.ncols());
        for column in 0..block.ncols() {
            self.assembly.multiply(self.b, block.col_as_slice(column), out.col_as_slice_mut(column));
        }
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
        if self.b.iter().all(|b| *b == 0.0) || count == 0 || self.n() == 0 {
            return Ok(self.nothing(f64::INFINITY));
        }
        let mut wanted = count.min(self.n());
        for _ in 0..6 {
            let found = if self.n() <= DENSE_LIMIT { self.dense(wanted)? } else { self.lanczos(wanted)? };
            if found.values.is_empty() {
                return self.prove_none(found);
            }
            let last = found.values[found.values.len() - 1];
            // Just above the last: repeated values within rounding are on the same side.
            match [1e-7, 2e-7, 5e-7].iter().find_map(|step| {
                let t = last * (1.0 + step);
                self.count_below(t).map(|counted| (t, counted))
            }) {
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
        let eigen = full.self_adjoint_eigen(faer::Side::Lower).map_err(|_| gave_up(0, f64::NAN))?;
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
            let norm = x.iter().map(|v| v * v).sum::<f64>().sqrt();
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
            let rough = self.iterate(self.factor, 1, 4, &mut applications);
            if let Some(theta) = rough.thetas.first().copied().filter(|theta| *theta > 1e-3 * rough.top) {
                let mut shift = 0.8 / theta;
                for _ in 0..12 {
                    if let Ok(factor) = self.symbolic.cholesky(self.assembly, &self.shifted(shift)) {
                        let ritz = self.iterate(&factor, count, usize::MAX, &mut applications);
                        return self.close(&factor, ritz, shift, applications);
                    }
                    shift *= 0.9;
                }
            }
        }
        let ritz = self.iterate(self.factor, count, usize::MAX, &mut applications);
        self.close(self.factor, ritz, 0.0, applications)
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

    /// Block Lanczos for the largest positive θ of L⁻¹ B L⁻ᵀ, until `count` have converged, no positive one
    /// is left to find, or `steps` blocks are used.
    fn iterate(&self, factor: &Factor, count: usize, steps: usize, applications: &mut usize) -> Ritz {
        let n = self.n();
        let width = BLOCK.min(n);
        let most = ((BASIS_NUMBERS / n).clamp(BASIS[0], BASIS[1]) + 6 * count).min(n);
        let mut basis: Vec<Mat<f64>> = Vec::new();
        let (mut diagonal, mut below): (Vec<Mat<f64>>, Vec<Mat<f64>>) = (Vec::new(), Vec::new());
        let mut next = crate::frame::random::block(n, width, 0xb10c).qr().compute_thin_Q();
        loop {
            let here = next;
            let mut image = self.apply(factor, &here);
            *applications += width;
            basis.push(here);
            let step = basis.len();
            diagonal.push(basis[step - 1].transpose() * &image);
            // Full reorthogonalisation, twice: the second pass removes what rounding left of the first.
            for _ in 0..2 {
                for old in &basis {
                    let part = old.transpose() * &image;
                    image -= old * part;
                }
            }
            let qr = image.qr();
            let mut coupling = qr.thin_R().to_owned();
            next = qr.compute_thin_Q();
            // Columns that vanished leave directions of rounding in Q: clear them of the basis again.
            for old in &basis {
                let part = old.transpose() * &next;
                next -= old * part;
            }
            let again = next.qr();
            coupling = again.thin_R() * &coupling;
            next = again.compute_thin_Q();
            below.push(coupling);
            let used = step * width;
            let full = used + width > most;
            // The projected problem grows with the basis, so it is looked at less often later.
            let look = if step < 24 { step.is_multiple_of(2) } else { step.is_multiple_of(8) };
            if look || full || step >= steps {
                let ritz = ritz(&diagonal, &below, width, count, used + width > n);
                if ritz.converged || full || step >= steps {
                    let vectors = combine(&basis, &ritz.small, width);
                    return Ritz { vectors, ..ritz };
                }
            }
        }
    }
}

fn gave_up(steps: usize, residual: f64) -> FrameError {
    FrameError::NotConverged { what: "the eigenvalue iteration", steps, residual, tolerance: TOLERANCE }
}

/// What the projected problem says.
struct Ritz {
    /// Largest θ, descending, positive ones only.
    thetas: Vec<f64>,
    /// Their vectors in the basis.
    small: Mat<f64>,
    /// Their vectors in full.
    vectors: Mat<f64>,
    /// Largest |θ|.
    top: f64,
    /// Worst relative residual among the wanted.
    worst: f64,
    converged: bool,
}

fn ritz(diagonal: &[Mat<f64>], below: &[Mat<f64>], width: usize, count: usize, exhausted: bool) -> Ritz {
    let size = diagonal.len() * width;
    let mut projected = Mat::<f64>::zeros(size, size);
    for (block, a) in diagonal.iter().enumerate() {
        let at = block * width;
        for i in 0..width {
            for j in 0..width {
                projected[(at + i, at + j)] = 0.5 * (a[(i, j)] + a[(j, i)]);
                if block + 1 < diagonal.len() {
                    projected[(at + width + i, at + j)] = below[block][(i, j)];
                    projected[(at + j, at + width + i)] = below[block][(i, j)];
                }
            }
        }
    }
    let mut answer = Ritz {
        thetas: Vec::new(),
        small: Mat::zeros(size, 0),
        vectors: Mat::zeros(0, 0),
        top: 0.0,
        worst: f64::INFINITY,
        converged: false,
    };
    let Ok(eigen) = projected.self_adjoint_eigen(faer::Side::Lower) else { return answer };
    let values = eigen.S().column_vector();
    answer.top = values[0].abs().max(values[size - 1].abs());
    let last = below.len() - 1;
    let residual = |column: usize| {
        let mut sum = 0.0;
        for i in 0..width {
            let part: f64 =
                (0..width).map(|j| below[last][(i, j)] * eigen.U()[(size - width + j, column)]).sum();
            sum += part * part;
        }
        if exhausted { 0.0 } else { sum.sqrt() }
    };
    answer.worst = 0.0;
    answer.converged = true;
    let mut picked = Vec::new();
    for column in (0..size).rev().take(count) {
        let (theta, left) = (values[column], residual(column));
        if theta <= answer.top / REACH {
            // The list ends here; it is complete only once this end of the spectrum has settled.
            answer.converged &= left <= 1e-6 * answer.top;
            break;
        }
        answer.worst = answer.worst.max(left / theta);
        answer.converged &= left <= TOLERANCE * theta;
        answer.thetas.push(theta);
        picked.push(column);
    }
    answer.converged &= picked.len() < size;
    answer.small = Mat::from_fn(size, picked.len(), |i, j| eigen.U()[(i, picked[j])]);
    answer
}

/// Vectors of the full problem from those in the basis.
fn combine(basis: &[Mat<f64>], small: &Mat<f64>, width: usize) -> Mat<f64> {
    let mut out = Mat::<f64>::zeros(basis[0].nrows(), small.ncols());
    for (index, block) in basis.iter().enumerate() {
        out += block * small.subrows(index * width, width);
    }
    out
}
