//! The fold angle between two flat wings about a shared line, and how it changes.

#![allow(clippy::needless_range_loop, reason = "an index runs over several arrays of one formula")]

use crate::vector::{Mat3, Vec3};

/// Four points: the hinge's two, then the two wings.
pub(crate) type Corners = [Vec3; 4];

/// Fold angle \[rad\], −π to π: between the normals of the wings, positive where convex seen from the
/// side from which hinge 0, hinge 1, wing 0 runs anticlockwise. `None` where a wing has no area.
pub(crate) fn angle(corners: &Corners) -> Option<f64> {
    let [a, b, p, q] = corners;
    let along = b - a;
    let first = along.cross(&(p - a));
    let second = (q - a).cross(&along);
    let size = first.norm() * second.norm();
    if !size.is_finite() || size <= 0.0 {
        return None;
    }
    let sine = first.cross(&second).dot(&along.normalize());
    Some(sine.atan2(first.dot(&second)))
}

/// Gradient of the fold angle with respect to the four points \[rad/m\].
pub(crate) fn gradient(corners: &Corners) -> Option<[Vec3; 4]> {
    let [a, b, p, q] = corners;
    let along = b - a;
    let length = along.norm();
    let first = along.cross(&(p - a));
    let second = (q - a).cross(&along);
    let (n1, n2) = (first.norm_squared(), second.norm_squared());
    if !(length > 0.0 && n1 > 0.0 && n2 > 0.0) {
        return None;
    }
    // A wing's far point turns about the hinge at its own distance; moment balance gives the rest.
    let wing = [-first * (length / n1), -second * (length / n2)];
    let share = |w: &Vec3| (w - a).dot(&along) / (length * length);
    let (s, t) = (share(p), share(q));
    Some([-wing[0] * (1.0 - s) - wing[1] * (1.0 - t), -wing[0] * s - wing[1] * t, wing[0], wing[1]])
}

/// Second derivative of the fold angle, by central differences of the exact gradient (about nine
/// digits): blocks by pairs of points \[rad/m²\].
pub(crate) fn curvature(corners: &Corners) -> Option<[[Mat3; 4]; 4]> {
    let step = 1e-5 * (corners[1] - corners[0]).norm();
    let mut blocks = [[Mat3::zeros(); 4]; 4];
    for point in 0..4 {
        for axis in 0..3 {
            let mut moved = *corners;
            moved[point][axis] += step;
            let after = gradient(&moved)?;
            moved[point][axis] -= 2.0 * step;
            let before = gradient(&moved)?;
            for other in 0..4 {
                let slope = (after[other] - before[other]) / (2.0 * step);
                blocks[other][point].set_column(axis, &slope);
            }
        }
    }
    for i in 0..4 {
        for j in 0..=i {
            let mean = (blocks[i][j] + blocks[j][i].transpose()) * 0.5;
            blocks[i][j] = mean;
            blocks[j][i] = mean.transpose();
        }
    }
    Some(blocks)
}

/// An angle brought into −π..π.
pub(crate) fn wrapped(angle: f64) -> f64 {
    let turn = std::f64::consts::TAU;
    angle - turn * (angle / turn).round()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ridge() -> Corners {
        // Hinge along y, seen from above; wing 0 to the left (−x); both wings fall away: convex.
        [
            Vec3::new(0.0, 0.0, 1.0),
            Vec3::new(0.0, 1.0, 1.0),
            Vec3::new(-1.0, 0.3, 0.4),
            Vec3::new(1.2, 0.6, 0.7),
        ]
    }

    #[test]
    fn ridge_is_positive_and_flat_is_nothing() {
        let want = 0.6_f64.atan() + (0.3_f64 / 1.2).atan();
        assert!((angle(&ridge()).unwrap() - want).abs() < 1e-12);
        let mut flat = ridge();
        flat[2].z = 1.0;
        flat[3].z = 1.0;
        assert!(angle(&flat).unwrap().abs() < 1e-15);
    }

    #[test]
    fn gradient_agrees_with_differences() {
        let corners = ridge();
        let exact = gradient(&corners).unwrap();
        for point in 0..4 {
            for axis in 0..3 {
                let step = 1e-6;
                let mut moved = corners;
                moved[point][axis] += step;
                let after = angle(&moved).unwrap();
                moved[point][axis] -= 2.0 * step;
                let slope = (after - angle(&moved).unwrap()) / (2.0 * step);
                assert!((slope - exact[point][axis]).abs() < 1e-8, "{point} {axis}");
            }
        }
        assert!(exact.iter().sum::<Vec3>().norm() < 1e-12);
    }
}
