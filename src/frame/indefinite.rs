//! L D Lᵀ of a symmetric matrix that may be indefinite: solves on an unstable stretch of a path, and the
//! number of negative eigenvalues.
//!
//! There is no pivoting across columns: the pivots' signs give the inertia (Sylvester), and near a
//! singular matrix digits are lost that the iteration around it makes good.

use faer::MatMut;

use crate::frame::assemble::Assembly;
use crate::frame::error::FrameError;
use crate::frame::factor::{NoFactor, Part, Parts, Symbolic};

/// A pivot smaller than this part of its diagonal meets no stiffness.
pub const NOTHING: f64 = 1e-12;

/// A factor K = L D Lᵀ.
#[derive(Debug, Clone)]
pub struct Indefinite {
    parts: Parts,
    /// Negative pivots: as many as the matrix has negative eigenvalues.
    pub negatives: usize,
    /// Pivots smaller than [`NOTHING`] of their diagonals.
    pub tiny: usize,
}

impl Indefinite {
    /// Factorises the matrix with these values. Where a pivot is exactly zero, the diagonal is raised by
    /// half of [`NOTHING`] of itself and the factorisation is done again.
    ///
    /// # Errors
    /// [`FrameError::TooLarge`] where memory does not suffice.
    pub fn new(symbolic: &Symbolic, assembly: &Assembly, values: &[f64]) -> Result<Self, FrameError> {
        if let Some(done) = Self::once(symbolic, assembly, values)? {
            return Ok(done);
        }
        let mut raised = values.to_vec();
        for (column, scale) in scales(assembly, values).into_iter().enumerate() {
            raised[assembly.column_start[column] as usize] += 0.5 * NOTHING * scale;
        }
        Self::once(symbolic, assembly, &raised)?.ok_or(FrameError::Mechanism { count: 1 })
    }

    fn once(symbolic: &Symbolic, assembly: &Assembly, values: &[f64]) -> Result<Option<Self>, FrameError> {
        let parts = match symbolic.parts(assembly, values, false) {
            Ok(parts) => parts,
            Err(NoFactor::Pivot(_)) => return Ok(None),
            Err(NoFactor::TooLarge) => return Err(FrameError::TooLarge { unknowns: assembly.unknowns }),
        };
        let scales = scales(assembly, values);
        let (mut negatives, mut tiny) = (0, 0);
        for (pivot, scale) in parts.pivots().into_iter().zip(scales) {
            if !pivot.is_finite() || pivot.abs() <= 0.0 {
                return Ok(None);
            }
            negatives += usize::from(pivot < 0.0);
            tiny += usize::from(pivot.abs() <= NOTHING * scale);
        }
        Ok(Some(Self { parts, negatives, tiny }))
    }

    /// K x = b in place.
    pub fn solve(&self, x: &mut [f64]) {
        let count = x.len();
        self.parts.solve(MatMut::from_column_major_slice_mut(x, count, 1), Part::Whole);
    }
}

/// What a pivot is compared with: its diagonal, or a ten-thousandth of the largest diagonal of its kind
/// (translations, rotations) where that is more, so that a diagonal of nothing counts as nothing.
fn scales(assembly: &Assembly, values: &[f64]) -> Vec<f64> {
    let diagonal = assembly.diagonal(values);
    let kind = |unknown: usize| usize::from(assembly.freedom[unknown].1 >= 3);
    let mut largest = [f64::MIN_POSITIVE; 2];
    for (unknown, value) in diagonal.iter().enumerate() {
        largest[kind(unknown)] = largest[kind(unknown)].max(value.abs());
    }
    diagonal.iter().enumerate().map(|(u, value)| value.abs().max(1e-4 * largest[kind(u)])).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A matrix with nothing beside its diagonal: what is nothing is told by its own kind, translations and rotations
    /// each by their largest, and a diagonal of nothing is nothing.
    #[test]
    fn what_meets_no_stiffness_is_told_by_its_kind() {
        let frame = crate::frame::linear::tests::frame();
        let assembly = Assembly::new(&frame).unwrap();
        let (turns, shifts): (Vec<usize>, Vec<usize>) =
            (0..assembly.unknowns).partition(|u| assembly.freedom[*u].1 >= 3);
        let mut diagonal = vec![1.0; assembly.unknowns];
        shifts.iter().for_each(|u| diagonal[*u] = 1e6);
        // Nothing is below 1e-12 of a ten-thousandth of the largest: 1e-10 of a translation, 1e-16 of a rotation.
        (diagonal[shifts[0]], diagonal[shifts[1]]) = (0.5e-10, 5e-10);
        (diagonal[turns[0]], diagonal[turns[1]]) = (-0.5e-16, -1e-11);
        let of = |symbolic: &Symbolic, diagonal: &[f64]| {
            let mut values = vec![0.0; assembly.entries()];
            for (column, value) in diagonal.iter().enumerate() {
                values[assembly.column_start[column] as usize] = *value;
            }
            Indefinite::new(symbolic, &assembly, &values).unwrap()
        };
        for symbolic in [Symbolic::by_nodes(&assembly), Symbolic::by_supernodes(&assembly).unwrap()] {
            let factor = of(&symbolic, &diagonal);
            assert_eq!((factor.tiny, factor.negatives), (2, 2));
            let mut x = vec![3.0; assembly.unknowns];
            factor.solve(&mut x);
            for (x, value) in x.iter().zip(&diagonal) {
                assert!((x * value - 3.0).abs() < 1e-12, "{x} {value}");
            }
            let mut nothing = diagonal.clone();
            (nothing[shifts[2]], nothing[turns[0]]) = (0.0, 1.0);
            let factor = of(&symbolic, &nothing);
            assert_eq!((factor.tiny, factor.negatives), (2, 1));
        }
    }
}
