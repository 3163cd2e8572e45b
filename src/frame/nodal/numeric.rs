//! The numbers of the factor, block column by block column: each first takes what the earlier ones leave on it.

use pulp::{Arch, Scalar, Simd, WithSimd};

use super::kernel::{Row, add_product, divide, root, turned};
use super::{Factor, NONE, Pattern};
use crate::frame::assemble::Assembly;

impl Pattern {
    /// Factor of the matrix with these values.
    ///
    /// # Errors
    /// The unknown whose pivot is zero or no number, or, where `definite` is asked for, not positive.
    pub(crate) fn factor(
        &self,
        assembly: &Assembly,
        values: &[f64],
        definite: bool,
    ) -> Result<Factor, usize> {
        if self.width == 3 {
            Arch::new().dispatch(Work::<3, 4> { pattern: self, assembly, values, definite })
        } else {
            Arch::new().dispatch(Work::<6, 8> { pattern: self, assembly, values, definite })
        }
    }
}

struct Work<'a, const W: usize, const S: usize> {
    pattern: &'a Pattern,
    assembly: &'a Assembly,
    values: &'a [f64],
    definite: bool,
}

impl<const W: usize, const S: usize> WithSimd for Work<'_, W, S> {
    type Output = Result<Factor, usize>;

    #[inline(always)]
    fn with_simd<M: Simd>(self, simd: M) -> Self::Output {
        // Registers to a row; a machine with longer ones than a row does without.
        match S / M::F64_LANES {
            1 => self.run::<M, 1>(simd),
            2 => self.run::<M, 2>(simd),
            4 if S == 8 => self.run::<M, 4>(simd),
            _ => self.run::<Scalar, S>(Scalar),
        }
    }
}

impl<const W: usize, const S: usize> Work<'_, W, S> {
    #[inline(always)]
    fn run<M: Simd, const P: usize>(self, simd: M) -> Result<Factor, usize> {
        let Self { pattern, assembly, values, definite } = self;
        let count = pattern.count();
        let mut factor = vec![0.0; pattern.stored()];
        let mut signs = vec![1.0; W * count];
        // Where a block row stands in the block column at hand.
        let mut place = vec![0_u32; count];
        // Finished columns by the row that they act on next, and how far down their rows that is.
        let (mut first, mut next) = (vec![NONE; count], vec![NONE; count]);
        let mut reached: Vec<u32> = pattern.start[..count].to_vec();
        let (all, _) = factor.as_chunks_mut::<S>();
        let mut unknown = 0;
        for column in 0..count {
            let (done, rest) = all.split_at_mut(W * pattern.at(column));
            let rows = &pattern.rows[pattern.start[column] as usize..pattern.start[column + 1] as usize];
            let panel = &mut rest[..W * (1 + rows.len())];
            place[column] = 0;
            for (position, row) in rows.iter().enumerate() {
                place[*row as usize] = position as u32 + 1;
            }
            let before = unknown;
            unknown = scatter::<W, S>(pattern, assembly, values, (column, unknown), &place, panel);
            for (within, row) in panel[..W].iter_mut().enumerate().skip(unknown - before) {
                row[within] = 1.0;
            }
            let mut earlier = std::mem::replace(&mut first[column], NONE);
            while earlier != NONE {
                let k = earlier as usize;
                let (here, end) = (reached[k] as usize, pattern.start[k + 1] as usize);
                let from = W * (pattern.at(k) + 1 + here - pattern.start[k] as usize);
                let tail = &done[from..from + W * (end - here)];
                let by = turned::<M, W, S, P>(simd, &tail[..W], &signs[W * k..W * (k + 1)]);
                for (block, row) in tail.chunks_exact(W).zip(&pattern.rows[here..end]) {
                    let to = W * place[*row as usize] as usize;
                    add_product::<M, W, S, P>(simd, &mut panel[to..to + W], block, &by);
                }
                let follower = next[k];
                reached[k] += 1;
                if here + 1 < end {
                    let row = pattern.rows[here + 1] as usize;
                    next[k] = first[row];
                    first[row] = earlier;
                }
                earlier = follower;
            }
            let (diagonal, below) = panel.split_at_mut(W);
            let own = &mut signs[W * column..W * (column + 1)];
            root::<W, S>(diagonal, own, definite).map_err(|j| (before + j).min(pattern.unknowns - 1))?;
            divide::<W, S>(below, diagonal, own);
            if let Some(row) = rows.first() {
                next[column] = first[*row as usize];
                first[*row as usize] = column as u32;
            }
        }
        Ok(Factor { values: factor, signs })
    }
}

/// Puts the matrix's own numbers into a block column; gives the first unknown of the next.
#[inline(always)]
fn scatter<const W: usize, const S: usize>(
    pattern: &Pattern,
    assembly: &Assembly,
    values: &[f64],
    (column, first): (usize, usize),
    place: &[u32],
    panel: &mut [Row<S>],
) -> usize {
    let mut unknown = first;
    while unknown < pattern.unknowns && pattern.slot[unknown] as usize / W == column {
        let within = pattern.slot[unknown] as usize % W;
        let range = assembly.column_start[unknown] as usize..assembly.column_start[unknown + 1] as usize;
        for (row, value) in assembly.row[range.clone()].iter().zip(&values[range]) {
            let slot = pattern.slot[*row as usize] as usize;
            panel[W * place[slot / W] as usize + slot % W][within] = *value;
        }
        unknown += 1;
    }
    unknown
}
