//! The sparse factor: supernodal Cholesky (or `LDLᵀ`, which counts negative eigenvalues) of a matrix in
//! the pattern of an [`Assembly`], its symbolic part shared by all matrices of that pattern.
//!
//! One thread and the supernodal variant, always: measured in `docs/solver.md`.

use std::sync::Arc;

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

/// The symbolic part of a factorisation; cheap to clone.
#[derive(Debug, Clone)]
pub struct Symbolic {
    pub(super) inner: Arc<SymbolicCholesky<Index>>,
}

/// Why a matrix has no factor.
#[derive(Debug, Clone, PartialEq)]
pub enum NoFactor {
    /// A pivot that is not positive, at this unknown.
    Pivot(usize),
    /// Memory or index range.
    TooLarge,
}

/// A Cholesky factor K = L Lᵀ.
#[derive(Debug, Clone)]
pub struct Factor {
    symbolic: Symbolic,
    values: Vec<f64>,
}

impl Symbolic {
    /// Analyses the pattern of an assembly.
    ///
    /// # Errors
    /// [`FrameError::TooLarge`].
    pub fn new(assembly: &Assembly) -> Result<Self, FrameError> {
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
            SymbolicCholeskyRaw::Supernodal(_) => Ok(Self { inner: Arc::new(inner) }),
            SymbolicCholeskyRaw::Simplicial(_) => Err(too_large()),
        }
    }

    pub(super) fn supernodal(&self) -> &SymbolicSupernodalCholesky<Index> {
        match self.inner.raw() {
            SymbolicCholeskyRaw::Supernodal(raw) => raw,
            SymbolicCholeskyRaw::Simplicial(_) => unreachable!("`new` refuses the simplicial form"),
        }
    }

    /// Numbers stored in a factor.
    #[must_use]
    pub fn stored(&self) -> usize {
        self.inner.len_val()
    }

    /// Cholesky factor of the matrix with these values.
    ///
    /// # Errors
    /// [`NoFactor::Pivot`] where the matrix is not positive definite.
    pub fn cholesky(&self, assembly: &Assembly, values: &[f64]) -> Result<Factor, NoFactor> {
        let mut factor = vec![0.0; self.inner.len_val()];
        let need = self.inner.factorize_numeric_llt_scratch::<f64>(Par::Seq, faer::Spec::default());
        let mut memory = MemBuffer::try_new(need).map_err(|_| NoFactor::TooLarge)?;
        let done = self.inner.factorize_numeric_llt(
            &mut factor,
            matrix(assembly, values),
            Side::Lower,
            LltRegularization::default(),
            Par::Seq,
            MemStack::new(&mut memory),
            faer::Spec::default(),
        );
        if let Err(LltError::NonPositivePivot { index }) = done {
            return Err(NoFactor::Pivot(index.min(assembly.unknowns.saturating_sub(1))));
        }
        Ok(Factor { symbolic: self.clone(), values: factor })
    }

    /// How many eigenvalues of the matrix with these values are negative (Sylvester's law of inertia on
    /// its `LDLᵀ` factor). `None` where a pivot is zero or the factor lost its digits: shift and ask again.
    #[must_use]
    pub fn negative_count(&self, assembly: &Assembly, values: &[f64]) -> Option<usize> {
        let mut factor = vec![0.0; self.inner.len_val()];
        let need = self.inner.factorize_numeric_ldlt_scratch::<f64>(Par::Seq, faer::Spec::default());
        let mut memory = MemBuffer::try_new(need).ok()?;
        self.inner
            .factorize_numeric_ldlt(
                &mut factor,
                matrix(assembly, values),
                Side::Lower,
                LdltRegularization::default(),
                Par::Seq,
                MemStack::new(&mut memory),
                faer::Spec::default(),
            )
            .ok()?;
        let raw = self.supernodal();
        let ldlt = SupernodalLdltRef::new(raw, &factor);
        let mut negative = 0;
        for s in 0..raw.n_supernodes() {
            let node = ldlt.supernode(s);
            let block = node.val();
            for i in 0..block.ncols() {
                let d = block[(i, i)];
                if !d.is_finite() || d == 0.0 {
                    return None;
                }
                negative += usize::from(d < 0.0);
            }
        }
        Some(negative)
    }
}

pub(super) fn matrix<'a>(assembly: &'a Assembly, values: &'a [f64]) -> SparseColMatRef<'a, Index, f64> {
    let n = assembly.unknowns;
    let pattern = SymbolicSparseColMatRef::new_checked(n, n, &assembly.column_start, None, &assembly.row);
    SparseColMatRef::new(pattern, values)
}

impl Factor {
    fn memory(&self, columns: usize) -> MemBuffer {
        MemBuffer::new(self.symbolic.supernodal().solve_in_place_scratch::<f64>(columns, Par::Seq))
    }

    fn reference(&self) -> SupernodalLltRef<'_, Index, f64> {
        SupernodalLltRef::new(self.symbolic.supernodal(), &self.values)
    }

    /// K x = b for every column, in place.
    pub fn solve(&self, columns: MatMut<'_, f64>) {
        let mut memory = self.memory(columns.ncols());
        self.reference().solve_in_place_with_conj(Conj::No, columns, Par::Seq, MemStack::new(&mut memory));
    }

    /// L x = b for every column, in place.
    pub fn solve_lower(&self, columns: MatMut<'_, f64>) {
        let mut memory = self.memory(columns.ncols());
        self.reference().l_solve_with_conj(Conj::No, columns, Par::Seq, MemStack::new(&mut memory));
    }

    /// Lᵀ x = b for every column, in place.
    pub fn solve_upper(&self, columns: MatMut<'_, f64>) {
        let mut memory = self.memory(columns.ncols());
        self.reference().l_transpose_solve_with_conj(Conj::No, columns, Par::Seq, MemStack::new(&mut memory));
    }

    /// The smallest of pivot over diagonal, and its unknown: near the rounding unit where the matrix is
    /// all but singular.
    #[must_use]
    pub fn smallest_pivot(&self, diagonal: &[f64]) -> (usize, f64) {
        let raw = self.symbolic.supernodal();
        let mut smallest = (0, f64::INFINITY);
        for s in 0..raw.n_supernodes() {
            let node = self.reference().supernode(s);
            let block = node.val();
            for i in 0..block.ncols() {
                let unknown = node.start() + i;
                let ratio = block[(i, i)] * block[(i, i)] / diagonal[unknown];
                if ratio < smallest.1 {
                    smallest = (unknown, ratio);
                }
            }
        }
        smallest
    }
}
