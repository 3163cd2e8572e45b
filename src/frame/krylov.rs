//! What a block Lanczos run is made of: its orthonormal basis, and what the problem projected on it says.

use faer::linalg::matmul::matmul;
use faer::linalg::triangular_solve::solve_lower_triangular_in_place;
use faer::{Accum, Mat, MatRef, Par, Side};

/// Blocks of the basis kept in one matrix.
const TOGETHER: usize = 8;
/// Residual of a Ritz pair over its value; the value itself is then good to about the square.
pub(super) const TOLERANCE: f64 = 1e-9;
/// Values this many times beyond the smallest |λ| are rounding, not results.
pub(super) const REACH: f64 = 1e10;

/// Orthonormal blocks one after another, kept several together, since products of wide matrices are faster.
pub(super) struct Basis {
    rows: usize,
    width: usize,
    /// How many.
    pub(super) blocks: usize,
    /// Each of [`TOGETHER`] blocks; the last one is filled as far as it goes.
    parts: Vec<Mat<f64>>,
}

impl Basis {
    pub(super) fn new(rows: usize, width: usize) -> Self {
        Self { rows, width, blocks: 0, parts: Vec::new() }
    }

    pub(super) fn push(&mut self, block: &Mat<f64>) {
        let place = self.blocks % TOGETHER;
        if place == 0 {
            self.parts.push(Mat::zeros(self.rows, TOGETHER * self.width));
        }
        if let Some(part) = self.parts.last_mut() {
            part.subcols_mut(place * self.width, self.width).copy_from(block);
        }
        self.blocks += 1;
    }

    /// Parts as far as they are filled.
    fn filled(&self) -> impl Iterator<Item = MatRef<'_, f64>> {
        self.parts
            .iter()
            .enumerate()
            .map(|(index, part)| part.subcols(0, (self.blocks - index * TOGETHER).min(TOGETHER) * self.width))
    }

    pub(super) fn block(&self, index: usize) -> MatRef<'_, f64> {
        self.parts[index / TOGETHER].subcols(index % TOGETHER * self.width, self.width)
    }

    /// Takes out of a block all that lies along the basis.
    pub(super) fn clear(&self, block: &mut Mat<f64>) {
        for part in self.filled() {
            let along = part.transpose() * &*block;
            matmul(block.as_mut(), Accum::Add, part, along.as_ref(), -1.0, Par::Seq);
        }
    }

    /// Vectors of the full problem from those in the basis.
    pub(super) fn combine(&self, small: &Mat<f64>) -> Mat<f64> {
        let mut out = Mat::<f64>::zeros(self.rows, small.ncols());
        let mut from = 0;
        for part in self.filled() {
            out += part * small.subrows(from, part.ncols());
            from += part.ncols();
        }
        out
    }
}

/// Makes the columns of X orthonormal: X = Q R, Q in its place. The answer is R, and what was left of the column that
/// had least beside those before it.
///
/// Cholesky's factor of `XᵀX` twice over, which is as good as Householder's way as long as the columns are well apart
/// (Yamamoto et al. 2015, from memory), and several times as fast for a few long columns; else Householder's.
pub(super) fn orthonormal(x: &mut Mat<f64>) -> (Mat<f64>, f64) {
    let width = x.ncols();
    let mut whole: Mat<f64> = Mat::identity(width, width);
    for _ in 0..2 {
        let gram = x.transpose() * &*x;
        let (least, most) = match gram.llt(Side::Lower) {
            Ok(factor) => {
                let lower = factor.L();
                let sizes = (0..width).map(|i| lower[(i, i)]);
                let range = sizes.fold((f64::INFINITY, 0.0_f64), |(a, b), s| (a.min(s), b.max(s)));
                if range.0 > 1e-5 * range.1 {
                    solve_lower_triangular_in_place(lower, x.as_mut().transpose_mut(), Par::Seq);
                    whole = lower.transpose() * &whole;
                }
                range
            }
            Err(_) => (0.0, 1.0),
        };
        if least.is_nan() || least <= 1e-5 * most {
            let qr = x.qr();
            whole = qr.thin_R() * &whole;
            *x = qr.compute_thin_Q();
            break;
        }
    }
    let least = (0..width).map(|i| whole[(i, i)].abs()).fold(f64::INFINITY, f64::min);
    (whole, least)
}

/// What the projected problem says.
pub(super) struct Ritz {
    /// Largest θ, descending, positive ones only.
    pub(super) thetas: Vec<f64>,
    /// Their vectors in the basis.
    pub(super) small: Mat<f64>,
    /// Their vectors in full.
    pub(super) vectors: Mat<f64>,
    /// Largest |θ|.
    pub(super) top: f64,
    /// Worst relative residual among the wanted.
    pub(super) worst: f64,
    pub(super) converged: bool,
}

pub(super) fn ritz(
    diagonal: &[Mat<f64>],
    below: &[Mat<f64>],
    width: usize,
    count: usize,
    exhausted: bool,
) -> Ritz {
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
    let Ok(eigen) = projected.self_adjoint_eigen(Side::Lower) else { return answer };
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

#[cfg(test)]
mod tests {
    use super::*;

    fn random(rows: usize, columns: usize, seed: u64) -> Mat<f64> {
        crate::frame::random::block(rows, columns, seed)
    }

    /// X = Q R with orthonormal Q, also where columns are all but the same, where Cholesky's way alone is not enough.
    #[test]
    fn columns_become_orthonormal_and_their_factor_gives_them_back() {
        for (alike, scale) in [(1.0, 1.0), (1e-4, 1e3), (1e-6, 1e-3), (1e-7, 1.0), (1e-10, 1.0)] {
            let apart = random(40, 3, 5);
            let mut x = random(40, 3, 9);
            for row in 0..40 {
                x[(row, 2)] = x[(row, 0)] + alike * apart[(row, 2)];
            }
            x *= faer::Scale(scale);
            let mut q = x.clone();
            let (r, least) = orthonormal(&mut q);
            let off = |a: &Mat<f64>, b: &Mat<f64>| (a - b).norm_max();
            assert!(off(&(q.transpose() * &q), &Mat::identity(3, 3)) < 1e-12, "{alike}");
            assert!(off(&(&q * &r), &x) < 1e-13 * 40.0 * scale, "{alike}");
            // What is left of the third beside the first.
            let part = least / scale / alike;
            assert!(part > 0.5 && part < 10.0, "{alike}: {part}");
        }
    }

    /// The residual of a pair is how far it is off in the problem of one block more.
    #[test]
    fn residuals_are_those_in_the_next_block() {
        let (width, blocks, count) = (2, 3, 2);
        let half: Vec<Mat<f64>> = (0..=blocks as u64).map(|k| random(width, width, 20 + k)).collect();
        let diagonal: Vec<Mat<f64>> =
            half.iter().map(|a| a + a.transpose() + Mat::<f64>::identity(2, 2) * faer::Scale(3.0)).collect();
        let below: Vec<Mat<f64>> = (0..blocks as u64).map(|k| random(width, width, 40 + k)).collect();
        let whole = Mat::from_fn(width * (blocks + 1), width * (blocks + 1), |i, j| {
            let (a, b) = (i / width, j / width);
            let (p, q) = (i % width, j % width);
            match a.abs_diff(b) {
                0 => diagonal[a][(p, q)],
                1 if a > b => below[b][(p, q)],
                1 => below[a][(q, p)],
                _ => 0.0,
            }
        });
        let found = ritz(&diagonal[..blocks], &below, width, count, false);
        assert_eq!(found.thetas.len(), count);
        let mut worst = 0.0_f64;
        for (column, theta) in found.thetas.iter().enumerate() {
            let padded = Mat::from_fn(whole.nrows(), 1, |i, _| {
                if i < width * blocks { found.small[(i, column)] } else { 0.0 }
            });
            worst = worst.max((&whole * &padded - &padded * faer::Scale(*theta)).norm_l2() / theta);
        }
        assert!((found.worst - worst).abs() < 1e-12 && worst > 1e-3, "{} {worst}", found.worst);
        assert!(!found.converged && ritz(&diagonal[..blocks], &below, width, count, true).converged);
    }

    /// A list that ends is complete only once the end of it has settled, whatever the size; and one that took all there was
    /// may go on.
    #[test]
    fn a_list_that_ends_has_settled() {
        let of = |own: f64, next: f64| {
            ritz(&[Mat::from_fn(1, 1, |_, _| own)], &[Mat::from_fn(1, 1, |_, _| next)], 1, 1, false)
        };
        for size in [1e-3, 1.0, 1e3] {
            for (next, settled) in [(1e-2, false), (2e-6, false), (0.5e-6, true), (0.0, true)] {
                let found = of(-size, next * size);
                assert!(found.thetas.is_empty() && found.converged == settled, "{size} {next}");
            }
            let found = of(size, 0.0);
            assert!(found.thetas.len() == 1 && !found.converged);
        }
    }
}
