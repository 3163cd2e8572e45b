//! Springs along and about the global axes: to ground and between two nodes.

#![allow(clippy::needless_range_loop, reason = "an index runs over several arrays of one formula")]

use super::rotation::{Turn, cross, turned_moment_by_vector, vector_by_spin};
use crate::vector::{Mat3, Vec3};

/// Moment on a turned node against springs to ground about the global axes (the rotation vector's
/// components are what the springs see), and its change with a spin.
pub(crate) fn ground_turn(springs: &Vec3, turn: &Turn) -> (Vec3, Mat3) {
    let v = turn.scaled_axis();
    let by_spin = vector_by_spin(&v);
    let moment = springs.component_mul(&v);
    let tangent = by_spin.transpose() * Mat3::from_diagonal(springs) * by_spin
        + turned_moment_by_vector(&v, &moment) * by_spin;
    (by_spin.transpose() * moment, (tangent + tangent.transpose()) * 0.5)
}

/// Moments on the two nodes of a turning link and their change with the two spins: blocks
/// \[first, second\] × \[first, second\], symmetrised.
pub(crate) fn link_turn(springs: &Vec3, turns: [&Turn; 2]) -> ([Vec3; 2], [[Mat3; 2]; 2]) {
    // Second turn seen from the first: Q = R₂ R₁ᵀ; its spin is ω₂ − Q ω₁.
    let between = turns[1] * turns[0].inverse();
    let q = *between.to_rotation_matrix().matrix();
    let v = between.scaled_axis();
    let by_spin = vector_by_spin(&v);
    let additive = springs.component_mul(&v);
    let moment = by_spin.transpose() * additive;
    let inside = by_spin.transpose() * Mat3::from_diagonal(springs) * by_spin
        + turned_moment_by_vector(&v, &additive) * by_spin;
    let first = -q.transpose() * (inside + cross(&moment));
    let mut blocks = [[-first * q, first], [-inside * q, inside]];
    let off = (blocks[0][1] + blocks[1][0].transpose()) * 0.5;
    blocks[0][1] = off;
    blocks[1][0] = off.transpose();
    for i in 0..2 {
        blocks[i][i] = (blocks[i][i] + blocks[i][i].transpose()) * 0.5;
    }
    ([-q.transpose() * moment, moment], blocks)
}

#[cfg(test)]
mod tests {
    use super::super::rotation::spun;
    use super::*;

    #[test]
    fn link_follows_its_energy() {
        let springs = Vec3::new(2.0, 3.0, 5.0);
        let turns = [
            Turn::from_scaled_axis(Vec3::new(0.5, 0.1, -0.3)),
            Turn::from_scaled_axis(Vec3::new(-0.2, 0.6, 0.4)),
        ];
        let energy = |t: [&Turn; 2]| {
            let v = (t[1] * t[0].inverse()).scaled_axis();
            0.5 * springs.component_mul(&v).dot(&v)
        };
        let (moments, blocks) = link_turn(&springs, [&turns[0], &turns[1]]);
        let step = 1e-5;
        let mut full = nalgebra::SMatrix::<f64, 6, 6>::zeros();
        for node in 0..2 {
            for axis in 0..3 {
                let mut spin = Vec3::zeros();
                spin[axis] = step;
                let mut sides = Vec::new();
                for s in [spin, -spin] {
                    let mut moved = turns;
                    moved[node] = spun(&moved[node], &s);
                    let pair = [&moved[0], &moved[1]];
                    sides.push((energy(pair), link_turn(&springs, pair).0));
                }
                let slope = (sides[0].0 - sides[1].0) / (2.0 * step);
                assert!((slope - moments[node][axis]).abs() < 1e-8);
                for other in 0..2 {
                    let d = (sides[0].1[other] - sides[1].1[other]) / (2.0 * step);
                    for k in 0..3 {
                        full[(3 * other + k, 3 * node + axis)] = d[k];
                    }
                }
            }
        }
        let symmetric = (full + full.transpose()) * 0.5;
        for i in 0..2 {
            for j in 0..2 {
                let d = symmetric.fixed_view::<3, 3>(3 * i, 3 * j) - blocks[i][j];
                assert!(d.amax() < 1e-7, "{i} {j} {}", d.amax());
            }
        }
    }

    /// A spring to ground is a link to a node that does not turn.
    #[test]
    fn a_spring_to_ground_is_a_link_to_what_stands_still() {
        let springs = Vec3::new(2.0, 3.0, 5.0);
        for v in [Vec3::new(0.5, -0.9, 0.3), Vec3::new(-0.01, 0.02, 0.03), Vec3::new(1.5, 1.0, -1.0)] {
            let turn = Turn::from_scaled_axis(v);
            let (moment, tangent) = ground_turn(&springs, &turn);
            let (moments, blocks) = link_turn(&springs, [&Turn::identity(), &turn]);
            assert!((moment - moments[1]).norm() < 1e-12 && (tangent - blocks[1][1]).amax() < 1e-12);
        }
    }
}
