//! A bar hinged at both ends, by engineering strain.

use crate::vector::{Mat3, Vec3};

/// What one evaluation of a hinged bar gives.
#[derive(Debug, Clone, Copy)]
pub(crate) struct BarState {
    /// Axial force, tension positive \[N\].
    pub(crate) axial: f64,
    /// Force that the bar needs at its end `to`; the opposite at `from` \[N\].
    pub(crate) force: Vec3,
    /// Change of that force with the movement of `to` relative to `from` \[N/m\].
    pub(crate) tangent: Mat3,
}

/// Evaluates a bar of stiffness `ea` \[N\], first chord `chord` and relative end movement `change`.
///
/// `None` where the bar has shrunk to a point.
pub(crate) fn evaluate(ea: f64, chord: &Vec3, change: &Vec3) -> Option<BarState> {
    let first = chord.norm();
    let now = chord + change;
    let length = now.norm();
    if !length.is_finite() || length < 1e-9 * first {
        return None;
    }
    // The difference of the lengths without cancellation.
    let longer = change.dot(&(chord * 2.0 + change)) / (length + first);
    let axial = ea * longer / first;
    let along = now / length;
    let outer = along * along.transpose();
    let tangent = outer * (ea / first) + (Mat3::identity() - outer) * (axial / length);
    Some(BarState { axial, force: along * axial, tangent })
}
