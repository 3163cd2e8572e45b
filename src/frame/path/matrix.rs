//! The tangent as a sparse symmetric matrix: its pattern once, its values again and again.

use crate::frame::error::FrameError;

/// A pivot smaller than this part of its diagonal meets no stiffness.
const NOTHING: f64 = 1e-12;

/// Lower triangle by columns, with a place for every element's every entry.
#[derive(Debug, Clone)]
pub(crate) struct Pattern {
    /// Order of the matrix.
    pub(crate) size: usize,
    /// Start of each column.
    pub(crate) starts: Vec<usize>,
    /// Row of each entry, ascending within a column; the diagonal comes first.
    pub(crate) rows: Vec<usize>,
}

impl Pattern {
    /// The pattern that couples the unknowns of each group with each other; all diagonals are in it.
    pub(crate) fn new(size: usize, groups: &[Vec<Option<usize>>]) -> Self {
        let mut columns: Vec<Vec<usize>> = (0..size).map(|i| vec![i]).collect();
        for group in groups {
            for column in group.iter().flatten() {
                columns[*column].extend(group.iter().flatten().filter(|row| *row > column));
            }
        }
        let mut starts = vec![0];
        let mut rows = Vec::new();
        for column in &mut columns {
            column.sort_unstable();
            column.dedup();
            rows.append(column);
            starts.push(rows.len());
        }
        Self { size, starts, rows }
    }

    /// Where entry (`row`, `column`) is kept, row ≥ column.
    pub(crate) fn place(&self, row: usize, column: usize) -> Option<usize> {
        let range = self.starts[column]..self.starts[column + 1];
        self.rows[range.clone()].binary_search(&row).ok().map(|at| range.start + at)
    }
}

/// L D Lᵀ of a tangent that may be indefinite.
#[derive(Debug)]
pub(crate) struct Factor {
    size: usize,
    lower: Vec<f64>,
    /// How many pivots are negative: the number of negative eigenvalues (Sylvester).
    pub(crate) negatives: usize,
    /// How many pivots are nothing beside their diagonal before elimination (below 1e-12 of it).
    pub(crate) tiny: usize,
}

impl Factor {
    /// Factorises; a pivot of exactly zero is nudged to a tiny positive one.
    ///
    /// # Errors
    /// [`FrameError::TooLarge`] where the factor does not fit in memory.
    pub(crate) fn new(pattern: &Pattern, values: &[f64]) -> Result<Self, FrameError> {
        let n = pattern.size;
        let mut lower = vec![0.0; n * n];
        for column in 0..n {
            for at in pattern.starts[column]..pattern.starts[column + 1] {
                lower[pattern.rows[at] * n + column] = values[at];
            }
        }
        let mut negatives = 0;
        let mut tiny = 0;
        let mut scaled = vec![0.0; n];
        for j in 0..n {
            let before = lower[j * n + j];
            for k in 0..j {
                scaled[k] = lower[j * n + k] * lower[k * n + k];
            }
            let (top, bottom) = lower.split_at_mut((j + 1) * n);
            let row = &top[j * n..j * n + j];
            let mut pivot = before - row.iter().zip(&scaled).map(|(a, b)| a * b).sum::<f64>();
            if pivot.abs() < 1e-300 {
                pivot = f64::EPSILON * before.abs().max(1e-300);
            }
            tiny += usize::from(pivot.abs() <= NOTHING * before.abs());
            negatives += usize::from(pivot < 0.0);
            top[j * n + j] = pivot;
            for other in bottom.chunks_exact_mut(n) {
                let sum: f64 = other[..j].iter().zip(&scaled).map(|(a, b)| a * b).sum();
                other[j] = (other[j] - sum) / pivot;
            }
        }
        Ok(Self { size: n, lower, negatives, tiny })
    }

    /// Solves in place for one right-hand side.
    pub(crate) fn solve(&self, x: &mut [f64]) {
        let n = self.size;
        for i in 0..n {
            let sum: f64 = (0..i).map(|k| self.lower[i * n + k] * x[k]).sum();
            x[i] -= sum;
        }
        for i in 0..n {
            x[i] /= self.lower[i * n + i];
        }
        for i in (0..n).rev() {
            for k in 0..i {
                x[k] -= self.lower[i * n + k] * x[i];
            }
        }
    }
}
