//! Points, vectors and axes in three dimensions. The one place that names the small-algebra crate
//! for geometry.

/// A point or a free vector in the axes of the whole: x along, y across, z up. Unit: as its use says.
pub type Vec3 = nalgebra::Vector3<f64>;

/// A 3 × 3 matrix; as a rotation its rows are the local axes written in global components.
pub type Mat3 = nalgebra::Matrix3<f64>;

/// Vertical, upward.
#[must_use]
pub fn up() -> Vec3 {
    Vec3::new(0.0, 0.0, 1.0)
}

/// Local axes of a line: x from `from` to `to`; z is the part of `up` square to x; y = z × x.
/// Rows of the answer are x, y, z in global components.
///
/// `None` where the two points coincide or `up` is along the line (to one part in 10⁹).
#[must_use]
pub fn line_axes(from: &Vec3, to: &Vec3, up: &Vec3) -> Option<Mat3> {
    let along = to - from;
    let length = along.norm();
    if !length.is_finite() || length == 0.0 {
        return None;
    }
    let x = along / length;
    let across = up - x * up.dot(&x);
    if across.norm() <= 1e-9 * up.norm() {
        return None;
    }
    let z = across.normalize();
    let y = z.cross(&x);
    Some(Mat3::from_rows(&[x.transpose(), y.transpose(), z.transpose()]))
}

/// The `up` that a line has when nobody says otherwise: z, or x for an upright line.
#[must_use]
pub fn default_up(from: &Vec3, to: &Vec3) -> Vec3 {
    let along = to - from;
    if along.x.hypot(along.y) <= 1e-6 * along.norm() { Vec3::new(1.0, 0.0, 0.0) } else { up() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn axes_are_right_handed_and_z_follows_up() {
        let axes = line_axes(&Vec3::zeros(), &Vec3::new(3.0, 0.0, 4.0), &up()).unwrap();
        assert!((axes.determinant() - 1.0).abs() < 1e-12);
        assert!(axes[(2, 2)] > 0.0);
        assert!(line_axes(&Vec3::zeros(), &up(), &up()).is_none());
        assert!(line_axes(&up(), &up(), &Vec3::x()).is_none());
        // Along the line to less or more than one part in 10⁹, however long `up` is.
        for length in [1e-6, 1.0, 1e6] {
            let along = |off: f64| line_axes(&Vec3::zeros(), &up(), &(Vec3::new(off, 0.0, 1.0) * length));
            assert!(along(0.5e-9).is_none() && along(2e-9).is_some(), "{length}");
        }
    }

    #[test]
    fn an_upright_line_is_upright_at_any_length() {
        for length in [1e-3, 1.0, 1e3] {
            let upward = |off: f64| default_up(&Vec3::zeros(), &(Vec3::new(off, 0.0, 1.0) * length));
            assert_eq!((upward(0.5e-6), upward(2e-6)), (Vec3::x(), up()), "{length}");
        }
    }
}
