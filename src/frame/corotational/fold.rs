//! The fold angle between two flat wings about a shared line, and how it changes.

#![allow(clippy::needless_range_loop, reason = "an index runs over several arrays of one formula")]

use super::rotation::cross;
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

/// Second derivative of the fold angle: blocks by pairs of points \[rad/m²\], [i][j] how the gradient at i changes
/// with a movement of j.
pub(crate) fn curvature(corners: &Corners) -> Option<[[Mat3; 4]; 4]> {
    let [a, b, p, q] = corners;
    let along = b - a;
    let square = along.norm_squared();
    let length = square.sqrt();
    let [e, r, s] = [along, p - a, q - a];
    let crossed = [e, r, s].map(|v| cross(&v));
    // Twice each wing's area as a vector, and how it changes with a, b and the wing's own far point.
    let areas = [e.cross(&r), s.cross(&e)];
    let by_points = [
        [crossed[1] - crossed[0], -crossed[1], crossed[0]],
        [crossed[0] - crossed[2], crossed[2], -crossed[0]],
    ];
    let mut blocks = [[Mat3::zeros(); 4]; 4];
    for (wing, reach) in [r, s].into_iter().enumerate() {
        let (area, n) = (areas[wing], areas[wing].norm_squared());
        if !(length > 0.0 && n > 0.0) {
            return None;
        }
        // The gradient at the far point, g = −area · length / n, and its change.
        let far = -area * (length / n);
        let by_area = (area * area.transpose() * (2.0 / n) - Mat3::identity()) * (length / n);
        let by_length = -area * along.transpose() / (n * length);
        let [from_a, from_b, own] = by_points[wing].map(|m| by_area * m);
        let changes = [from_a - by_length, from_b + by_length, own];
        // What of it a and b balance: 1 − share and share, share = reach · e / e².
        let share = reach.dot(&along) / square;
        let by_along = (reach - along * (2.0 * share)) / square;
        let by_reach = along / square;
        let shares = [-(by_along + by_reach), by_along, by_reach];
        let points = [0, 1, 2 + wing];
        for ((point, change), slope) in points.into_iter().zip(changes).zip(shares) {
            let moved = far * slope.transpose();
            blocks[2 + wing][point] += change;
            blocks[0][point] += moved - change * (1.0 - share);
            blocks[1][point] -= moved + change * share;
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
        gradient_agrees(ridge());
        // With a hinge of another length than 1.
        gradient_agrees(ridge().map(|v| v * 1.7));
    }

    fn gradient_agrees(corners: Corners) {
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

    #[test]
    fn curvature_is_symmetric_and_agrees_with_differences() {
        let lifted = ridge().map(|v| Vec3::new(v.x, v.y, 1.3 * v.z + 0.2 * v.x));
        let valley = ridge().map(|v| Vec3::new(v.x, v.y + 0.4 * v.x, -v.z));
        for corners in [ridge(), lifted, valley, lifted.map(|v| v * 1.7)] {
            let exact = curvature(&corners).unwrap();
            let size = exact.iter().flatten().map(Mat3::amax).fold(0.0, f64::max);
            for point in 0..4 {
                for axis in 0..3 {
                    let step = 1e-5;
                    let mut moved = corners;
                    moved[point][axis] += step;
                    let after = gradient(&moved).unwrap();
                    moved[point][axis] -= 2.0 * step;
                    let before = gradient(&moved).unwrap();
                    for other in 0..4 {
                        let slope = (after[other] - before[other]) / (2.0 * step);
                        let off = (slope - exact[other][point].column(axis)).amax();
                        assert!(off < 1e-8 * size, "{other} {point} {axis}: {off}");
                    }
                }
            }
            for i in 0..4 {
                for j in 0..4 {
                    assert!((exact[i][j] - exact[j][i].transpose()).amax() < 1e-13 * size);
                }
            }
        }
    }

    /// A wing or a hinge of no size has no angle: nothing is answered, rather than a number.
    #[test]
    fn a_wing_without_area_has_no_angle() {
        let mut cases = Vec::new();
        for (point, at) in [(2, Vec3::new(0.0, 0.4, 1.0)), (3, Vec3::new(0.0, -2.0, 1.0)), (1, ridge()[0])] {
            let mut corners = ridge();
            corners[point] = at;
            cases.push(corners);
        }
        let mut lost = ridge();
        lost[3].x = f64::NAN;
        cases.push(lost);
        for corners in cases {
            assert_eq!(angle(&corners), None);
            assert_eq!(gradient(&corners), None);
            assert_eq!(curvature(&corners), None);
        }
    }

    #[test]
    fn angles_are_brought_into_half_a_turn_either_way() {
        let turn = std::f64::consts::TAU;
        for (angle, want) in
            [(3.0, 3.0), (-3.0, -3.0), (3.5, 3.5 - turn), (-3.5, turn - 3.5), (6.2, 6.2 - turn)]
        {
            for whole in [0.0, turn, -2.0 * turn] {
                assert!((wrapped(angle + whole) - want).abs() < 1e-14, "{angle} {whole}");
            }
        }
    }
}
