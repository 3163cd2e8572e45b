//! A factor by supernodes: faer's supernodal Cholesky, and `LDLᵀ` where pivots may be negative, one thread.

use faer::dyn_stack::{MemBuffer, MemStack};
use faer::linalg::cholesky::ldlt::factor::LdltRegularization;
use faer::linalg::cholesky::llt::factor::{LltError, LltRegularization};
use faer::sparse::linalg::SupernodalThreshold;
use faer::sparse::linalg::cholesky::supernodal::{
    SupernodalLdltRef, SupernodalLltRef, SymbolicSupernodalCholesky,
};
use faer::sparse::linalg::cholesky::{
    CholeskySymbolicParams, SymbolicCholesky, SymbolicCholeskyRaw, SymmetricOrdering,
    factorize_symbolic_cholesky,
};
use faer::sparse::{SparseColMatRef, SymbolicSparseColMatRef};
use faer::{Conj, MatMut, Par, Side};

use crate::frame::assemble::{Assembly, Index};
use crate::frame::error::FrameError;
use crate::frame::factor::{NoFactor, Part};

/// Where the numbers of the factor stand.
#[derive(Debug)]
pub(crate) struct Pattern {
    inner: SymbolicCholesky<Index>,
}

/// A factor K = L Lᵀ, or L D Lᵀ.
#[derive(Debug, Clone)]
pub(crate) struct Factor {
    values: Vec<f64>,
    /// Whether it is L Lᵀ.
    definite: bool,
}

impl Pattern {
    /// Analyses the pattern of an assembly.
    pub(crate) fn new(assembly: &Assembly) -> Result<Self, FrameError> {
        let n = assembly.unknowns;
        let too_large = || FrameError::TooLarge { unknowns: n };
        // The analysis wants the upper triangle by columns: the lower one, transposed.
        let mut start: Vec<Index> = vec![0; n + 1];
        for row in &assembly.row {
            start[*row as usize + 1] += 1;
        }
        for i in 0..n {
            start[i + 1] += start[i];
        }
        let mut next = start.clone();
        let mut row: Vec<Index> = vec![0; assembly.row.len()];
        for column in 0..n {
            let range = assembly.column_start[column] as usize..assembly.column_start[column + 1] as usize;
            for r in &assembly.row[range] {
                let place = &mut next[*r as usize];
                row[*place as usize] = column as Index;
                *place += 1;
            }
        }
        let pattern = SymbolicSparseColMatRef::new_checked(n, n, &start, None, &row);
        let params = CholeskySymbolicParams {
            supernodal_flop_ratio_threshold: SupernodalThreshold::FORCE_SUPERNODAL,
            ..CholeskySymbolicParams::default()
        };
        let inner = factorize_symbolic_cholesky(pattern, Side::Upper, SymmetricOrdering::Identity, params)
            .map_err(|_| too_large())?;
        match inner.raw() {
            SymbolicCholeskyRaw::Supernodal(_) => Ok(Self { inner }),
            SymbolicCholeskyRaw::Simplicial(_) => Err(too_large()),
        }
    }

    fn raw(&self) -> &SymbolicSupernodalCholesky<Index> {
        match self.inner.raw() {
            SymbolicCholeskyRaw::Supernodal(raw) => raw,
            SymbolicCholeskyRaw::Simplicial(_) => unreachable!("`new` refuses the simplicial form"),
        }
    }

    /// Numbers kept in a factor.
    pub(crate) fn stored(&self) -> usize {
        self.inner.len_val()
    }

    /// Factor of the matrix with these values: L Lᵀ where `definite` is asked for, else L D Lᵀ.
    pub(crate) fn factor(
        &self,
        assembly: &Assembly,
        values: &[f64],
        definite: bool,
    ) -> Result<Factor, NoFactor> {
        let mut factor = vec![0.0; self.inner.len_val()];
        let need = if definite {
            self.inner.factorize_numeric_llt_scratch::<f64>(Par::Seq, faer::Spec::default())
        } else {
            self.inner.factorize_numeric_ldlt_scratch::<f64>(Par::Seq, faer::Spec::default())
        };
        let mut memory = MemBuffer::try_new(need).map_err(|_| NoFactor::TooLarge)?;
        let stack = MemStack::new(&mut memory);
        let matrix = matrix(assembly, values);
        let last = assembly.unknowns.saturating_sub(1);
        if definite {
            let regularisation = LltRegularization::default();
            let done = self.inner.factorize_numeric_llt(
                &mut factor,
                matrix,
                Side::Lower,
                regularisation,
                Par::Seq,
                stack,
                faer::Spec::default(),
            );
            if let Err(LltError::NonPositivePivot { index }) = done {
                return Err(NoFactor::Pivot(index.min(last)));
            }
        } else {
            let regularisation = LdltRegularization::default();
            let done = self.inner.factorize_numeric_ldlt(
                &mut factor,
                matrix,
                Side::Lower,
                regularisation,
                Par::Seq,
                stack,
                faer::Spec::default(),
            );
            if done.is_err() {
                return Err(NoFactor::Pivot(last));
            }
        }
        Ok(Factor { values: factor, definite })
    }
}

fn matrix<'a>(assembly: &'a Assembly, values: &'a [f64]) -> SparseColMatRef<'a, Index, f64> {
    let n = assembly.unknowns;
    let pattern = SymbolicSparseColMatRef::new_checked(n, n, &assembly.column_start, None, &assembly.row);
    SparseColMatRef::new(pattern, values)
}

impl Factor {
    /// Every column of the right-hand sides, in place. The halves are of L Lᵀ alone.
    pub(crate) fn solve(&self, pattern: &Pattern, columns: MatMut<'_, f64>, part: Part) {
        let raw = pattern.raw();
        let mut memory = MemBuffer::new(raw.solve_in_place_scratch::<f64>(columns.ncols(), Par::Seq));
        let stack = MemStack::new(&mut memory);
        if !self.definite {
            SupernodalLdltRef::new(raw, &self.values).solve_in_place_with_conj(
                Conj::No,
                columns,
                Par::Seq,
                stack,
            );
            return;
        }
        let factor = SupernodalLltRef::new(raw, &self.values);
        match part {
            Part::Whole => factor.solve_in_place_with_conj(Conj::No, columns, Par::Seq, stack),
            Part::Lower => factor.l_solve_with_conj(Conj::No, columns, Par::Seq, stack),
            Part::Upper => factor.l_transpose_solve_with_conj(Conj::No, columns, Par::Seq, stack),
        }
    }

    /// Every pivot, by unknown.
    pub(crate) fn pivots(&self, pattern: &Pattern) -> Vec<f64> {
        let raw = pattern.raw();
        let mut pivots = Vec::new();
        for s in 0..raw.n_supernodes() {
            if self.definite {
                let node = SupernodalLltRef::new(raw, &self.values).supernode(s);
                let block = node.val();
                pivots.extend((0..block.ncols()).map(|i| block[(i, i)] * block[(i, i)]));
            } else {
                let node = SupernodalLdltRef::new(raw, &self.values).supernode(s);
                let block = node.val();
                pivots.extend((0..block.ncols()).map(|i| block[(i, i)]));
            }
        }
        pivots
    }
}
