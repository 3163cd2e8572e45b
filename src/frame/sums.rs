//! Sums over vectors of numbers that several searches take.

/// Σ aᵢ bᵢ.
pub(crate) fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// Euclidean length.
pub(crate) fn length(x: &[f64]) -> f64 {
    dot(x, x).sqrt()
}

/// Greatest size of any; 0 of none.
pub(crate) fn largest<'a>(values: impl IntoIterator<Item = &'a f64>) -> f64 {
    values.into_iter().fold(0.0, |most, value| most.max(value.abs()))
}
