//! A factor by nodes: the freedoms of a node are eliminated together, as one small block, with neither the analysis nor the
//! general kernels that matrices of unknown structure need.
//!
//! K = L S Lᵀ, S the signs of the pivots: plain Cholesky where all are positive, and by Sylvester's law a count of
//! negative eigenvalues where not. The columns of a node are kept together, row by row, each row padded to whole
//! registers, so that the same few lines serve factor and solve. Below some thousands of unknowns this is sooner
//! done than a general supernodal factor, and smaller (`docs/solver.md`); above, the larger dense blocks of that win.

mod kernel;
mod numeric;
mod solve;

pub(crate) use solve::Part;

use crate::frame::assemble::Assembly;

/// No block.
const NONE: u32 = u32::MAX;

/// Where the blocks of the factor stand.
#[derive(Debug)]
pub(crate) struct Pattern {
    /// Unknowns.
    pub(crate) unknowns: usize,
    /// Freedoms of a block: 3 where no node has more, else 6. Nodes with fewer unknowns are filled up with ones on the
    /// diagonal.
    width: usize,
    /// Place of every unknown: width × its node's block + its place within.
    slot: Vec<u32>,
    /// Where each block column's rows start in `rows`.
    start: Vec<u32>,
    /// Block rows below the diagonal, ascending in a column.
    rows: Vec<u32>,
}

/// A factor K = L S Lᵀ.
#[derive(Debug, Clone)]
pub(crate) struct Factor {
    /// Block columns one after the other, each with its diagonal block first. A row has as many numbers as whole registers
    /// hold: a block's own, then unused ones; the first of those in a row of a diagonal block is the reciprocal of its pivot's root.
    values: Vec<f64>,
    /// Sign of every pivot, by slot.
    signs: Vec<f64>,
}

/// Numbers kept for a row of a block of 3 and of 6.
const PADDED: [usize; 2] = [4, 8];

impl Pattern {
    /// Follows the elimination, node by node in the order of the assembly.
    pub(crate) fn new(assembly: &Assembly) -> Self {
        let n = assembly.unknowns;
        let mut slot = Vec::with_capacity(n);
        // First unknown of every block.
        let mut first: Vec<usize> = Vec::new();
        let (mut node, mut widest) = (None, 0);
        for (unknown, (here, _)) in assembly.freedom.iter().enumerate() {
            if node != Some(*here) {
                node = Some(*here);
                first.push(unknown);
            }
            widest = widest.max(unknown + 1 - first[first.len() - 1]);
        }
        let width = if widest <= 3 { 3 } else { 6 };
        let count = first.len();
        first.push(n);
        let mut block_of = vec![0_u32; n];
        for (block, range) in first.windows(2).enumerate() {
            let own = &mut block_of[range[0]..range[1]];
            own.fill(block as u32);
            slot.extend((0..own.len()).map(|within| (width * block + within) as u32));
        }
        // Columns whose first row below the diagonal is this one: their rows are handed on to it.
        let (mut child, mut sibling) = (vec![NONE; count], vec![NONE; count]);
        let mut seen = vec![NONE; count];
        let mut start = Vec::with_capacity(count + 1);
        let mut rows: Vec<u32> = Vec::with_capacity(4 * count);
        start.push(0);
        for block in 0..count {
            let (column, from) = (first[block], rows.len());
            seen[block] = block as u32;
            let range = assembly.column_start[column] as usize..assembly.column_start[column + 1] as usize;
            for row in &assembly.row[range] {
                let row = block_of[*row as usize];
                if seen[row as usize] != block as u32 {
                    seen[row as usize] = block as u32;
                    rows.push(row);
                }
            }
            let mut from_child = child[block];
            while from_child != NONE {
                let c = from_child as usize;
                for k in start[c] as usize..start[c + 1] as usize {
                    let row = rows[k];
                    if seen[row as usize] != block as u32 {
                        seen[row as usize] = block as u32;
                        rows.push(row);
                    }
                }
                from_child = sibling[c];
            }
            rows[from..].sort_unstable();
            if let Some(parent) = rows.get(from) {
                sibling[block] = child[*parent as usize];
                child[*parent as usize] = block as u32;
            }
            start.push(rows.len() as u32);
        }
        rows.shrink_to_fit();
        Self { unknowns: n, width, slot, start, rows }
    }

    /// Block columns.
    fn count(&self) -> usize {
        self.start.len() - 1
    }

    /// Numbers of a block as it is kept.
    fn block(&self) -> usize {
        self.width * PADDED[usize::from(self.width > 3)]
    }

    /// Numbers kept in a factor.
    pub(crate) fn stored(&self) -> usize {
        (self.count() + self.rows.len()) * self.block()
    }

    /// Where a block column starts in the factor, in blocks.
    fn at(&self, column: usize) -> usize {
        self.start[column] as usize + column
    }
}

#[cfg(test)]
mod tests;
