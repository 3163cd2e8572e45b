//! The small dense problem that a block of vectors makes of a large one.

use faer::{Mat, Side};

/// Positive factors λ and vectors of E v = λ C v, ascending; `None` where there are none. E, the strain energy, is positive
/// definite, C need not be: forces may reach fewer shapes than there are vectors, and pull some.
pub(super) fn reduced(e: &Mat<f64>, c: &Mat<f64>) -> Option<(Vec<f64>, Mat<f64>)> {
    let even = |m: &Mat<f64>| Mat::from_fn(m.nrows(), m.nrows(), |i, j| 0.5 * (m[(i, j)] + m[(j, i)]));
    // Vectors that are left over by rounding may be far stiffer than the others: each has its own scale.
    let scale: Vec<f64> = (0..e.nrows()).map(|i| 1.0 / e[(i, i)].sqrt()).collect();
    let alike = Mat::from_fn(e.nrows(), e.nrows(), |i, j| scale[i] * e[(i, j)] * scale[j]);
    let own = even(&alike).self_adjoint_eigen(Side::Lower).ok()?;
    let sizes = own.S().column_vector();
    let kept: Vec<usize> = (0..sizes.nrows()).filter(|i| sizes[*i] > 1e-12).collect();
    if kept.is_empty() {
        return None;
    }
    let part =
        Mat::from_fn(e.nrows(), kept.len(), |i, j| scale[i] * own.U()[(i, kept[j])] / sizes[kept[j]].sqrt());
    let eigen = even(&(part.transpose() * c * &part)).self_adjoint_eigen(Side::Lower).ok()?;
    let values = eigen.S().column_vector();
    let most = (0..kept.len()).map(|i| values[i]).fold(0.0, f64::max);
    // The largest are the lowest factors.
    let told: Vec<usize> = (0..kept.len()).rev().filter(|i| values[*i] > 1e-12 * most).collect();
    if told.is_empty() {
        return None;
    }
    let mut vectors = part * Mat::from_fn(kept.len(), told.len(), |i, j| eigen.U()[(i, told[j])]);
    for column in vectors.col_iter_mut() {
        let size = column.norm_l2();
        column.iter_mut().for_each(|v| *v /= size);
    }
    Some((told.iter().map(|i| 1.0 / values[*i]).collect(), vectors))
}
