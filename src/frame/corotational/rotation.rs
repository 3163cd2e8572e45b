//! Finite rotations: the rotation vector of a matrix, and how it changes with a small spin.

#![allow(clippy::needless_range_loop, reason = "an index runs over several arrays of one formula")]

use crate::vector::{Mat3, Vec3};

/// A node's turn.
pub(crate) type Turn = nalgebra::UnitQuaternion<f64>;

/// The matrix that takes the cross product with `v` from the left.
pub(crate) fn cross(v: &Vec3) -> Mat3 {
    v.cross_matrix()
}

/// `turn` followed by the small spin `spin` (global axes) \[rad\].
pub(crate) fn spun(turn: &Turn, spin: &Vec3) -> Turn {
    let mut next = Turn::from_scaled_axis(*spin) * turn;
    next.renormalize();
    next
}

/// Rotation vector of a rotation matrix \[rad\]; good below about 170 degrees.
pub(crate) fn vector_of(rotation: &Mat3) -> Vec3 {
    let axial = Vec3::new(
        rotation[(2, 1)] - rotation[(1, 2)],
        rotation[(0, 2)] - rotation[(2, 0)],
        rotation[(1, 0)] - rotation[(0, 1)],
    ) * 0.5;
    let sine = axial.norm();
    let cosine = 0.5 * (rotation.trace() - 1.0);
    let angle = sine.atan2(cosine);
    if sine < 1e-8 { axial } else { axial * (angle / sine) }
}

/// Change of the rotation vector `v` with a spin applied from the left: the inverse tangent
/// operator, I − v×/2 + η v×v×.
pub(crate) fn vector_by_spin(v: &Vec3) -> Mat3 {
    let skew = cross(v);
    Mat3::identity() - skew * 0.5 + skew * skew * eta(v.norm())
}

/// Derivative, with respect to the rotation vector `v`, of `vector_by_spin(v)ᵀ · moment`.
pub(crate) fn turned_moment_by_vector(v: &Vec3, moment: &Vec3) -> Mat3 {
    let angle = v.norm();
    let skew = cross(v);
    (v * moment.transpose() - moment * v.transpose() * 2.0 + Mat3::identity() * v.dot(moment)) * eta(angle)
        + skew * skew * moment * v.transpose() * mu(angle)
        - cross(moment) * 0.5
}

/// (1 − (t/2) cot(t/2)) / t².
fn eta(t: f64) -> f64 {
    if t < 0.05 {
        let s = t * t;
        1.0 / 12.0 + s / 720.0 + s * s / 30240.0
    } else {
        (1.0 - 0.5 * t / (0.5 * t).tan()) / (t * t)
    }
}

/// The derivative of `eta`, over t.
fn mu(t: f64) -> f64 {
    if t < 0.05 {
        let s = t * t;
        1.0 / 360.0 + s / 7560.0
    } else {
        let half = (0.5 * t).sin();
        (t * (t + t.sin()) - 8.0 * half * half) / (4.0 * t.powi(4) * half * half)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rotation_vector_is_recovered() {
        for v in [Vec3::new(0.3, -0.2, 0.9), Vec3::new(1e-9, 2e-9, 0.0), Vec3::new(2.0, 1.0, -1.0)] {
            let matrix = Turn::from_scaled_axis(v).to_rotation_matrix();
            assert!((vector_of(matrix.matrix()) - v).norm() < 1e-12);
        }
    }

    #[test]
    fn derivatives_agree_with_differences() {
        let moment = Vec3::new(0.4, -1.1, 0.7);
        for v in [Vec3::new(0.3, -0.2, 0.9), Vec3::new(0.01, 0.02, -0.01)] {
            let step = 1e-6;
            let turn = Turn::from_scaled_axis(v);
            for axis in 0..3 {
                let mut spin = Vec3::zeros();
                spin[axis] = step;
                let after = |s: &Vec3| vector_of(spun(&turn, s).to_rotation_matrix().matrix());
                let difference = (after(&spin) - after(&-spin)) / (2.0 * step);
                assert!((difference - vector_by_spin(&v).column(axis)).norm() < 1e-8);
                let turned = |w: Vec3| vector_by_spin(&w).transpose() * moment;
                let difference = (turned(v + spin) - turned(v - spin)) / (2.0 * step);
                let exact = turned_moment_by_vector(&v, &moment);
                assert!((difference - exact.column(axis)).norm() < 1e-8);
            }
        }
    }

    /// Both by their power series, whose coefficients are those of the Bernoulli numbers: η = Σ |B₂ₖ| t²ᵏ⁻² / (2k)! and
    /// μ = η′/t; on either side of where the closed form takes over.
    #[test]
    fn both_sides_of_the_threshold_follow_the_power_series() {
        let coefficients = [1.0 / 12.0, 1.0 / 720.0, 1.0 / 30240.0, 1.0 / 1_209_600.0, 1.0 / 47_900_160.0];
        for t in [1e-4, 0.02, 0.049_9, 0.050_1, 0.1, 0.2_f64] {
            let (mut value, mut slope) = (0.0, 0.0);
            for (k, c) in coefficients.iter().enumerate() {
                value += c * t.powi(2 * k as i32);
                if k > 0 {
                    slope += 2.0 * k as f64 * c * t.powi(2 * k as i32 - 2);
                }
            }
            assert!((eta(t) - value).abs() < 1e-11 * value, "{t}: {} {value}", eta(t));
            // The closed form cancels: six powers of t go lost.
            assert!((mu(t) - slope).abs() < 1e-7 * slope, "{t}: {} {slope}", mu(t));
        }
    }
}
