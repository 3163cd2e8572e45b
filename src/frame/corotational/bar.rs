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

#[cfg(test)]
mod tests {
    use super::*;

    /// Half as long again at EA of 10 N: 5 N along where it now lies; shrunk to a point it has no direction, and no answer.
    #[test]
    fn engineering_strain_along_the_bar_as_it_lies() {
        let chord = Vec3::new(2.0, 0.0, 0.0);
        let state = evaluate(10.0, &chord, &Vec3::new(-2.0, 3.0, 0.0)).unwrap();
        assert!((state.axial - 5.0).abs() < 1e-14);
        assert!((state.force - Vec3::new(0.0, 5.0, 0.0)).norm() < 1e-14);
        for change in [-chord, chord * (5e-10 - 1.0), Vec3::new(f64::NAN, 0.0, 0.0), chord * f64::INFINITY] {
            assert!(evaluate(10.0, &chord, &change).is_none());
        }
        let nearly = evaluate(10.0, &chord, &(chord * (2e-9 - 1.0))).unwrap();
        assert!((nearly.axial + 10.0).abs() < 1e-6);
    }
}
