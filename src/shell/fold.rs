//! Normals and fold angles.

use crate::vector::Vec3;

/// Folds smaller than this \[rad\] are flat: a micron on a one-metre panel.
pub const FLAT: f64 = 1e-6;

/// Fold angle along a seam \[rad\], from the unit normals of the panels to the left and right of `along`
/// seen from outside. Positive at a ridge, negative in a valley.
///
/// ```text
/// fold = atan2((n_left × n_right) · along, n_left · n_right)
/// ```
#[must_use]
pub fn fold_angle(left: &Vec3, right: &Vec3, along: &Vec3) -> f64 {
    let fold = left.cross(right).dot(&along.normalize()).atan2(left.dot(right));
    // Rounding only: a fold this small bevels a 100 mm timber by less than an atom.
    if fold.abs() < 1e-10 { 0.0 } else { fold }
}

/// Whether a fold is a ridge, a valley or flat.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Bend {
    /// Convex seen from outside.
    Ridge,
    /// Neither.
    Flat,
    /// Concave seen from outside.
    Valley,
}

/// The kind of a fold angle \[rad\].
#[must_use]
pub fn bend(fold: f64) -> Bend {
    if fold > FLAT {
        Bend::Ridge
    } else if fold < -FLAT {
        Bend::Valley
    } else {
        Bend::Flat
    }
}
