//! Right-hand sides through the factor: one alone, or several side by side in registers.

use faer::MatMut;
use pulp::{Arch, Scalar, Simd, WithSimd};

use super::kernel::{
    Row, backward, collect, collect_one, forward, padded, put_rows, rows_of, spread, spread_one, unpadded,
};
use super::{Factor, Pattern};

/// Right-hand sides side by side.
const LANES: usize = 8;

/// What to solve.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Part {
    /// K x = b.
    Whole,
    /// L x = b.
    Lower,
    /// Lᵀ x = b.
    Upper,
}

impl Factor {
    /// Every column of the right-hand sides, in place.
    pub(crate) fn solve(&self, pattern: &Pattern, mut columns: MatMut<'_, f64>, part: Part) {
        let mut column = 0;
        while column < columns.ncols() {
            let many = (columns.ncols() - column).min(LANES);
            // One or two are sooner done one by one than beside empty lanes.
            let many = if many <= 2 { 1 } else { many };
            let block = columns.as_mut().subcols_mut(column, many);
            if many == 1 {
                self.some::<1>(pattern, block, part);
            } else {
                self.some::<LANES>(pattern, block, part);
            }
            column += many;
        }
    }

    fn some<const L: usize>(&self, pattern: &Pattern, mut columns: MatMut<'_, f64>, part: Part) {
        let mut x = vec![[0.0; L]; pattern.width * pattern.count()];
        for (lane, column) in columns.as_mut().col_iter_mut().enumerate() {
            for (slot, value) in pattern.slot.iter().zip(column.iter()) {
                x[*slot as usize][lane] = *value;
            }
        }
        if pattern.width == 3 {
            Arch::new().dispatch(Work::<3, 4, L> { pattern, factor: self, x: &mut x, part });
        } else {
            Arch::new().dispatch(Work::<6, 8, L> { pattern, factor: self, x: &mut x, part });
        }
        for (lane, column) in columns.col_iter_mut().enumerate() {
            for (slot, value) in pattern.slot.iter().zip(column.iter_mut()) {
                *value = x[*slot as usize][lane];
            }
        }
    }

    /// Sign and size of every pivot, by unknown.
    pub(crate) fn pivots(&self, pattern: &Pattern) -> Vec<f64> {
        let (w, block) = (pattern.width, pattern.block());
        let row = block / w;
        let pivot = |slot: &u32| {
            let (column, within) = (*slot as usize / w, *slot as usize % w);
            let root = self.values[block * pattern.at(column) + row * within + within];
            self.signs[*slot as usize] * root * root
        };
        pattern.slot.iter().map(pivot).collect()
    }
}

struct Work<'a, const W: usize, const S: usize, const L: usize> {
    pattern: &'a Pattern,
    factor: &'a Factor,
    x: &'a mut [Row<L>],
    part: Part,
}

impl<const W: usize, const S: usize, const L: usize> WithSimd for Work<'_, W, S, L> {
    type Output = ();

    #[inline(always)]
    fn with_simd<M: Simd>(self, simd: M) {
        if L == 1 {
            match S / M::F64_LANES {
                1 => self.one::<M, 1>(simd),
                2 => self.one::<M, 2>(simd),
                4 if S == 8 => self.one::<M, 4>(simd),
                _ => self.one::<Scalar, S>(Scalar),
            }
        } else {
            match L / M::F64_LANES {
                1 => self.run::<M, 1>(simd),
                2 => self.run::<M, 2>(simd),
                4 => self.run::<M, 4>(simd),
                _ => self.run::<Scalar, L>(Scalar),
            }
        }
    }
}

/// A column's diagonal block, the blocks below it, and the block rows where those stand.
#[inline(always)]
fn column_of<'a, const W: usize, const S: usize>(
    pattern: &'a Pattern,
    factor: &'a Factor,
    column: usize,
) -> (&'a [Row<S>], &'a [Row<S>], &'a [u32]) {
    let rows = &pattern.rows[pattern.start[column] as usize..pattern.start[column + 1] as usize];
    let from = W * pattern.at(column);
    let (all, _) = factor.values.as_chunks::<S>();
    let (diagonal, below) = all[from..from + W * (1 + rows.len())].split_at(W);
    (diagonal, below, rows)
}

impl<const W: usize, const S: usize, const L: usize> Work<'_, W, S, L> {
    /// A single right-hand side: registers along the rows of the factor.
    #[inline(always)]
    fn one<M: Simd, const P: usize>(self, simd: M) {
        let Self { pattern, factor, x, part } = self;
        if part != Part::Upper {
            for column in 0..pattern.count() {
                let (diagonal, below, rows) = column_of::<W, S>(pattern, factor, column);
                let (done, rest) = x.split_at_mut(W * (column + 1));
                let own = &mut done[W * column..];
                forward::<W, S, L>(own, diagonal);
                let own = padded::<M, S, P>(simd, own.as_flattened(), -1.0);
                for (block, row) in below.chunks_exact(W).zip(rows) {
                    let to = W * (*row as usize - column - 1);
                    spread_one::<M, S, P>(simd, rest[to..to + W].as_flattened_mut(), block, &own);
                }
            }
        }
        if part == Part::Whole {
            turn_negative(x, &factor.signs);
        }
        if part != Part::Lower {
            for column in (0..pattern.count()).rev() {
                let (diagonal, below, rows) = column_of::<W, S>(pattern, factor, column);
                let (done, rest) = x.split_at_mut(W * (column + 1));
                let own = &mut done[W * column..];
                let mut sum = padded::<M, S, P>(simd, own.as_flattened(), 1.0);
                for (block, row) in below.chunks_exact(W).zip(rows) {
                    let at = W * (*row as usize - column - 1);
                    collect_one::<M, S, P>(simd, &mut sum, block, rest[at..at + W].as_flattened());
                }
                unpadded::<M, S, P>(sum, own.as_flattened_mut());
                backward::<W, S, L>(own, diagonal);
            }
        }
    }

    /// Several side by side: registers across them.
    #[inline(always)]
    fn run<M: Simd, const P: usize>(self, simd: M) {
        let Self { pattern, factor, x, part } = self;
        let column_of = |column: usize| column_of::<W, S>(pattern, factor, column);
        if part != Part::Upper {
            for column in 0..pattern.count() {
                let (diagonal, below, rows) = column_of(column);
                let (done, rest) = x.split_at_mut(W * (column + 1));
                let own = &mut done[W * column..];
                forward::<W, S, L>(own, diagonal);
                let own = rows_of::<M, W, L, P>(simd, own, -1.0);
                for (block, row) in below.chunks_exact(W).zip(rows) {
                    let to = W * (*row as usize - column - 1);
                    spread::<M, W, S, L, P>(simd, &mut rest[to..to + W], block, &own);
                }
            }
        }
        if part == Part::Whole {
            turn_negative(x, &factor.signs);
        }
        if part != Part::Lower {
            for column in (0..pattern.count()).rev() {
                let (diagonal, below, rows) = column_of(column);
                let (done, rest) = x.split_at_mut(W * (column + 1));
                let own = &mut done[W * column..];
                let mut sum = rows_of::<M, W, L, P>(simd, own, 1.0);
                for (block, row) in below.chunks_exact(W).zip(rows) {
                    let at = W * (*row as usize - column - 1);
                    collect::<M, W, S, L, P>(simd, &mut sum, block, &rest[at..at + W]);
                }
                put_rows::<M, W, L, P>(sum, own);
                backward::<W, S, L>(own, diagonal);
            }
        }
    }
}

/// S x.
fn turn_negative<const L: usize>(x: &mut [Row<L>], signs: &[f64]) {
    for (row, sign) in x.iter_mut().zip(signs) {
        if *sign < 0.0 {
            row.iter_mut().for_each(|value| *value = -*value);
        }
    }
}
