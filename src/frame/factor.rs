//! The sparse factor of a matrix in the pattern of an [`Assembly`], its symbolic part shared by all matrices of that pattern.
//!
//! Two ways to it: by nodes (`frame/nodal`) up to some thousands of unknowns, and faer's supernodal Cholesky above.
//! Both keep to the order of the assembly and to one thread; which is sooner where is measured in `docs/solver.md`.

use std::sync::Arc;

use faer::MatMut;

use crate::frame::assemble::Assembly;
use crate::frame::error::FrameError;
pub(crate) use crate::frame::nodal::Part;
use crate::frame::{nodal, supernodal};

/// Unknowns up to which the factor goes by nodes.
const BY_NODES_UP_TO: usize = 8000;

/// The symbolic part of a factorisation; cheap to clone.
#[derive(Debug, Clone)]
pub struct Symbolic {
    kind: Kind,
}

#[derive(Debug, Clone)]
enum Kind {
    Nodes(Arc<nodal::Pattern>),
    Supernodes(Arc<supernodal::Pattern>),
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
    parts: Parts,
}

/// A factor with its pattern; its pivots may be negative.
#[derive(Debug, Clone)]
pub(crate) enum Parts {
    Nodes(Arc<nodal::Pattern>, nodal::Factor),
    Supernodes(Arc<supernodal::Pattern>, supernodal::Factor),
}

impl Symbolic {
    /// Analyses the pattern of an assembly.
    ///
    /// # Errors
    /// [`FrameError::TooLarge`].
    pub fn new(assembly: &Assembly) -> Result<Self, FrameError> {
        if assembly.unknowns <= BY_NODES_UP_TO {
            Ok(Self::by_nodes(assembly))
        } else {
            Self::by_supernodes(assembly)
        }
    }

    /// The same, by nodes whatever the size.
    #[must_use]
    pub fn by_nodes(assembly: &Assembly) -> Self {
        Self { kind: Kind::Nodes(Arc::new(nodal::Pattern::new(assembly))) }
    }

    /// The same, by supernodes whatever the size.
    ///
    /// # Errors
    /// [`FrameError::TooLarge`].
    pub fn by_supernodes(assembly: &Assembly) -> Result<Self, FrameError> {
        Ok(Self { kind: Kind::Supernodes(Arc::new(supernodal::Pattern::new(assembly)?)) })
    }

    /// Numbers stored in a factor.
    #[must_use]
    pub fn stored(&self) -> usize {
        match &self.kind {
            Kind::Nodes(pattern) => pattern.stored(),
            Kind::Supernodes(pattern) => pattern.stored(),
        }
    }

    /// Cholesky factor of the matrix with these values.
    ///
    /// # Errors
    /// [`NoFactor::Pivot`] where the matrix is not positive definite.
    pub fn cholesky(&self, assembly: &Assembly, values: &[f64]) -> Result<Factor, NoFactor> {
        Ok(Factor { parts: self.parts(assembly, values, true)? })
    }

    /// The factor of the matrix with these values, all of whose pivots are to be positive if `definite`.
    pub(crate) fn parts(
        &self,
        assembly: &Assembly,
        values: &[f64],
        definite: bool,
    ) -> Result<Parts, NoFactor> {
        Ok(match &self.kind {
            Kind::Nodes(pattern) => {
                let factor = pattern.factor(assembly, values, definite).map_err(NoFactor::Pivot)?;
                Parts::Nodes(Arc::clone(pattern), factor)
            }
            Kind::Supernodes(pattern) => {
                Parts::Supernodes(Arc::clone(pattern), pattern.factor(assembly, values, definite)?)
            }
        })
    }

    /// How many eigenvalues of the matrix with these values are negative (Sylvester's law of inertia on
    /// its `LDLᵀ` factor). `None` where a pivot is zero or the factor lost its digits: shift and ask again.
    #[must_use]
    pub fn negative_count(&self, assembly: &Assembly, values: &[f64]) -> Option<usize> {
        let pivots = self.parts(assembly, values, false).ok()?.pivots();
        let mut negative = 0;
        for d in pivots {
            if !d.is_finite() || d == 0.0 {
                return None;
            }
            negative += usize::from(d < 0.0);
        }
        Some(negative)
    }
}

impl Parts {
    /// Every column, in place; the halves are of a positive definite matrix alone.
    pub(crate) fn solve(&self, columns: MatMut<'_, f64>, part: Part) {
        match self {
            Self::Nodes(pattern, factor) => factor.solve(pattern, columns, part),
            Self::Supernodes(pattern, factor) => factor.solve(pattern, columns, part),
        }
    }

    /// Every pivot, by unknown.
    pub(crate) fn pivots(&self) -> Vec<f64> {
        match self {
            Self::Nodes(pattern, factor) => factor.pivots(pattern),
            Self::Supernodes(pattern, factor) => factor.pivots(pattern),
        }
    }
}

impl Factor {
    /// K x = b for every column, in place.
    pub fn solve(&self, columns: MatMut<'_, f64>) {
        self.parts.solve(columns, Part::Whole);
    }

    /// L x = b for every column, in place.
    pub fn solve_lower(&self, columns: MatMut<'_, f64>) {
        self.parts.solve(columns, Part::Lower);
    }

    /// Lᵀ x = b for every column, in place.
    pub fn solve_upper(&self, columns: MatMut<'_, f64>) {
        self.parts.solve(columns, Part::Upper);
    }

    /// The smallest of pivot over diagonal: near the rounding unit where the matrix is all but singular.
    #[must_use]
    pub fn smallest_pivot(&self, diagonal: &[f64]) -> f64 {
        let ratios = self.parts.pivots().into_iter().zip(diagonal).map(|(pivot, diagonal)| pivot / diagonal);
        ratios.fold(f64::INFINITY, f64::min)
    }
}
