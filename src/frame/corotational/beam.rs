//! A beam whose axes ride on its chord: finite turns, small strain.
//!
//! The axes: x along the chord; y and z follow the mean of the two ends' turns about the chord.
//! Inside these axes the beam sees a stretch and the rotation vectors of its two ends; its energy is
//!
//! W = ½ EA L ε² + ½ θᵀ K θ, with ε = stretch / L + ½ θᵀ H θ,
//!
//! where K holds the usual 4EI/L, 2EI/L and GJ/L, and H the mean shortening by bowing of a cubic,
//! (4 θ₁² − 2 θ₁θ₂ + 4 θ₂²)/60 in each plane. The bowing term lets a bar buckle between its nodes
//! (one element a bar: 12 EI/L² between hinges, 22 % above Euler's; two: 0.8 %). End springs and hinges are condensed
//! inside these axes: the beam's own end turns are C θ by the linear equilibrium of the springs.
//!
//! The choice of axes and the projection follow the literature on corotational beams (J.-M. Battini
//! and C. Pacoste, "Co-rotational beam elements with warping effects in instability problems",
//! Comput. Meth. Appl. Mech. Eng. 191 (2002) 1755-1789, from memory); the tangent below is derived
//! here and checked against differences of the energy.

#![allow(clippy::needless_range_loop, reason = "an index runs over several arrays of one formula")]

use nalgebra::{Matrix2, SMatrix, SVector};

use super::rotation::{cross, turned_moment_by_vector, vector_by_spin, vector_of};
use crate::frame::bar::end_springs;
use crate::frame::{BarSection, EndFix};
use crate::vector::{Mat3, Vec3};

type V12 = SVector<f64, 12>;
type M12 = SMatrix<f64, 12, 12>;
type V6 = SVector<f64, 6>;
type M6 = SMatrix<f64, 6, 6>;

/// A beam's constants.
#[derive(Debug, Clone)]
pub(crate) struct Beam {
    /// Columns are the first local axes in global components.
    first_axes: Mat3,
    chord: Vec3,
    length: f64,
    ea: f64,
    /// K of the energy, end springs condensed.
    turning: M6,
    /// H of the energy.
    bowing: M6,
    /// How much each end's turn about the chord steers the axes.
    weights: [f64; 2],
    /// An end that passes no moment takes no part at all.
    linked: [bool; 2],
}

/// What one evaluation gives.
#[derive(Debug, Clone)]
pub(crate) struct BeamState {
    /// Forces and moments that the nodes must give: from, to; global.
    pub(crate) force: V12,
    /// Symmetrised tangent.
    pub(crate) tangent: M12,
    /// Strain energy \[J\].
    #[cfg_attr(not(test), expect(dead_code, reason = "the checks by differences need it"))]
    pub(crate) energy: f64,
}

/// Where a beam is: everything that both its force and its tangent are made of, in its riding axes.
struct Ride {
    length: f64,
    /// Columns are the riding axes in global components.
    axes: Mat3,
    /// Each end's own y axis, and their weighted mean.
    q_local: [Vec3; 2],
    mean: Vec3,
    /// Rotation vectors of the two ends, and how they change with spins.
    theta: V6,
    by_spin: M6,
    /// H θ.
    bowed: V6,
    /// Derivatives of the energy by θ, and by spins.
    additive: V6,
    spun: V6,
    axial: f64,
    energy: f64,
    /// Spin of the axes, and of the ends within them, with the node movements.
    g: SMatrix<f64, 3, 12>,
    p: SMatrix<f64, 6, 12>,
    /// Forces and moments of the nodes but for the axial force.
    moments: V12,
}

impl Ride {
    /// Forces and moments that the nodes must give, global.
    fn force(&self) -> V12 {
        let mut local = self.moments;
        local[0] -= self.axial;
        local[6] += self.axial;
        let mut global = V12::zeros();
        for i in 0..4 {
            let part = self.axes * local.fixed_rows::<3>(3 * i);
            global.fixed_rows_mut::<3>(3 * i).copy_from(&part);
        }
        global
    }
}

/// Whether an end passes any moment at all.
pub(crate) fn passes_moment(end: &EndFix) -> bool {
    end_springs(end).iter().any(|k| *k > 0.0)
}

impl Beam {
    /// A beam along `chord` with local axes in the rows of `axes`.
    pub(crate) fn new(section: &BarSection, chord: Vec3, axes: &Mat3, ends: &[EndFix; 2]) -> Self {
        let length = chord.norm();
        let springs = [end_springs(&ends[0]), end_springs(&ends[1])];
        let linked = [passes_moment(&ends[0]), passes_moment(&ends[1])];
        let twist = section.shear * section.torsion / length;
        let own = |i: f64| Matrix2::new(4.0, 2.0, 2.0, 4.0) * (section.elastic * i / length);
        let stiffness = [
            Matrix2::new(twist, -twist, -twist, twist),
            own(section.second_moment_y),
            own(section.second_moment_z),
        ];
        let bow = Matrix2::new(4.0, -1.0, -1.0, 4.0) / 30.0;
        let mut turning = M6::zeros();
        let mut bowing = M6::zeros();
        for axis in 0..3 {
            let k = [springs[0][axis], springs[1][axis]];
            let c = inner_turns(&stiffness[axis], k);
            let mut condensed = c.transpose() * stiffness[axis] * c;
            let slip = Matrix2::identity() - c;
            for end in 0..2 {
                if k[end].is_finite() {
                    condensed += slip.row(end).transpose() * slip.row(end) * k[end];
                }
            }
            let h = if axis == 0 { Matrix2::zeros() } else { c.transpose() * bow * c };
            for i in 0..2 {
                for j in 0..2 {
                    turning[(3 * i + axis, 3 * j + axis)] = condensed[(i, j)];
                    bowing[(3 * i + axis, 3 * j + axis)] = h[(i, j)];
                }
            }
        }
        let steers = |end: usize| if springs[end][0] > 0.0 { 1.0 } else { 0.0 };
        let sum = steers(0) + steers(1);
        let weights = if sum > 0.0 {
            [steers(0) / sum, steers(1) / sum]
        } else {
            let by_link = |end: usize| if linked[end] { 1.0 } else { 0.0 };
            let links = by_link(0) + by_link(1);
            [by_link(0) / links, by_link(1) / links]
        };
        let ea = section.elastic * section.area;
        let first_axes = axes.transpose();
        Self { first_axes, chord, length, ea, turning, bowing, weights, linked }
    }

    /// Where the beam is for the relative end movement `change` and the turns of the two nodes.
    ///
    /// `None` where an end has turned by more than about 150 degrees against the chord or the bar
    /// has shrunk to a point: the step was too long.
    fn ride(&self, change: &Vec3, turns: [&Mat3; 2]) -> Option<Ride> {
        let now = self.chord + change;
        let length = now.norm();
        if !length.is_finite() || length < 1e-6 * self.length {
            return None;
        }
        let stretch = change.dot(&(self.chord * 2.0 + change)) / (length + self.length);
        let r1 = now / length;
        let ends = [turns[0] * self.first_axes, turns[1] * self.first_axes];
        let q = ends[0].column(1) * self.weights[0] + ends[1].column(1) * self.weights[1];
        let square = r1.cross(&q);
        if square.norm() < 1e-3 {
            return None;
        }
        let r3 = square.normalize();
        let axes = Mat3::from_columns(&[r1, r3.cross(&r1), r3]);

        // Deformation inside the axes.
        let mut theta = V6::zeros();
        let mut by_spin = M6::zeros();
        for end in 0..2 {
            if self.linked[end] {
                let v = vector_of(&(axes.transpose() * ends[end]));
                if v.norm() > 2.6 {
                    return None;
                }
                theta.fixed_rows_mut::<3>(3 * end).copy_from(&v);
                by_spin.fixed_view_mut::<3, 3>(3 * end, 3 * end).copy_from(&vector_by_spin(&v));
            }
        }
        let bowed: V6 = self.bowing * theta;
        let strain = stretch / self.length + 0.5 * theta.dot(&bowed);
        let axial = self.ea * strain;
        let turned: V6 = self.turning * theta;
        let energy = 0.5 * self.ea * self.length * strain * strain + 0.5 * theta.dot(&turned);
        let additive: V6 = turned + bowed * (axial * self.length);

        // Moments that do work on spins.
        let spun: V6 = by_spin.transpose() * additive;

        // How the axes spin with the nodes (local components): spin of the axes = Gᵀ d.
        let q_local = [axes.transpose() * ends[0].column(1), axes.transpose() * ends[1].column(1)];
        let mean = q_local[0] * self.weights[0] + q_local[1] * self.weights[1];
        let eta = mean.x / mean.y;
        let mut g = SMatrix::<f64, 3, 12>::zeros();
        g[(0, 2)] = eta / length;
        g[(0, 8)] = -eta / length;
        g[(1, 2)] = 1.0 / length;
        g[(1, 8)] = -1.0 / length;
        g[(2, 1)] = -1.0 / length;
        g[(2, 7)] = 1.0 / length;
        for end in 0..2 {
            g[(0, 6 * end + 3)] = self.weights[end] * q_local[end].y / mean.y;
            g[(0, 6 * end + 4)] = -self.weights[end] * q_local[end].x / mean.y;
        }
        let mut p = SMatrix::<f64, 6, 12>::zeros();
        for end in 0..2 {
            for axis in 0..3 {
                p[(3 * end + axis, 6 * end + 3 + axis)] = 1.0;
            }
            let mut rows = p.fixed_rows_mut::<3>(3 * end);
            rows -= g;
        }
        let moments: V12 = p.transpose() * spun;
        Some(Ride {
            length,
            axes,
            q_local,
            mean,
            theta,
            by_spin,
            bowed,
            additive,
            axial,
            energy,
            spun,
            g,
            p,
            moments,
        })
    }

    /// Forces and moments that the nodes must give, as [`BeamState::force`], without the tangent. `None` where the step
    /// was too long.
    pub(crate) fn force(&self, change: &Vec3, turns: [&Mat3; 2]) -> Option<V12> {
        Some(self.ride(change, turns)?.force())
    }

    /// Forces and tangent for the relative end movement `change` and the turns of the two nodes. `None` where the step
    /// was too long.
    pub(crate) fn evaluate(&self, change: &Vec3, turns: [&Mat3; 2]) -> Option<BeamState> {
        let ride = self.ride(change, turns)?;
        let Ride { length, axes, theta, by_spin, bowed, additive, axial, g, p, moments, .. } = &ride;
        // How the moments that do work on spins change with spins.
        let material: M6 = self.turning
            + self.bowing * (axial * self.length)
            + bowed * bowed.transpose() * (self.ea * self.length);
        let mut inside: M6 = by_spin.transpose() * material * by_spin;
        for end in 0..2 {
            if self.linked[end] {
                let v = theta.fixed_rows::<3>(3 * end).into_owned();
                let moment = additive.fixed_rows::<3>(3 * end).into_owned();
                let turning =
                    turned_moment_by_vector(&v, &moment) * by_spin.fixed_view::<3, 3>(3 * end, 3 * end);
                let mut block = inside.fixed_view_mut::<3, 3>(3 * end, 3 * end);
                block += turning;
            }
        }
        let axial_by_spin: V6 = by_spin.transpose() * bowed * self.ea;

        // Local tangent.
        let mut stretch_row = V12::zeros();
        stretch_row[0] = -1.0;
        stretch_row[6] = 1.0;
        let axial_row: V12 = stretch_row * (self.ea / self.length) + p.transpose() * axial_by_spin;
        let mut local: M12 = p.transpose() * inside * p;
        local += stretch_row * axial_row.transpose();
        local += p.transpose() * axial_by_spin * stretch_row.transpose();
        for axis in 1..3 {
            let share = axial / length;
            local[(axis, axis)] += share;
            local[(axis + 6, axis + 6)] += share;
            local[(axis, axis + 6)] -= share;
            local[(axis + 6, axis)] -= share;
        }
        // The moments' part turns with the axes; the axial part has been dealt with above.
        for block in 0..4 {
            let part = moments.fixed_rows::<3>(3 * block).into_owned();
            let turning = cross(&part) * g;
            let mut rows = local.fixed_rows_mut::<3>(3 * block);
            rows -= turning;
        }
        self.subtract_axes_change(&mut local, &ride);

        // To global components, and the symmetric part.
        let mut tangent = M12::zeros();
        for i in 0..4 {
            for j in 0..4 {
                let part = axes * local.fixed_view::<3, 3>(3 * i, 3 * j) * axes.transpose();
                tangent.fixed_view_mut::<3, 3>(3 * i, 3 * j).copy_from(&part);
            }
        }
        let tangent = (tangent + tangent.transpose()) * 0.5;
        Some(BeamState { force: ride.force(), tangent, energy: ride.energy })
    }

    /// Takes off the change of G with the node movements, times the sum of the end moments.
    fn subtract_axes_change(&self, local: &mut M12, ride: &Ride) {
        let Ride { length, q_local, mean, spun, g, p, .. } = ride;
        let total = spun.fixed_rows::<3>(0) + spun.fixed_rows::<3>(3);
        // Rows: change of each end's y axis, in the riding axes, with the node movements.
        let moved = [-cross(&q_local[0]) * p.fixed_rows::<3>(0), -cross(&q_local[1]) * p.fixed_rows::<3>(3)];
        let mean_moved = moved[0] * self.weights[0] + moved[1] * self.weights[1];
        let eta = mean.x / mean.y;
        let eta_row = (mean_moved.row(0) - mean_moved.row(1) * eta) / mean.y;
        let mut length_row = SMatrix::<f64, 1, 12>::zeros();
        length_row[0] = -1.0 / length;
        length_row[6] = 1.0 / length;
        for (row, sign) in [(2, 1.0), (8, -1.0)] {
            let value: f64 = g.column(row).dot(&total);
            let change = eta_row * (sign * total.x / length) - length_row * value;
            let mut target = local.row_mut(row);
            target -= change;
        }
        for row in [1, 7] {
            let value: f64 = g.column(row).dot(&total);
            let mut target = local.row_mut(row);
            target += length_row * value;
        }
        for end in 0..2 {
            let weight = self.weights[end] * total.x / mean.y;
            for (offset, component, sign) in [(3, 1, 1.0), (4, 0, -1.0)] {
                let ratio = q_local[end][component] / mean.y;
                let change = moved[end].row(component) - mean_moved.row(1) * ratio;
                let mut target = local.row_mut(6 * end + offset);
                target -= change * (sign * weight);
            }
        }
    }
}

/// Turns of the beam's own ends for unit turns of the nodes, the springs between in equilibrium.
fn inner_turns(own: &Matrix2<f64>, springs: [f64; 2]) -> Matrix2<f64> {
    let mut left = Matrix2::zeros();
    let mut right = Matrix2::zeros();
    for end in 0..2 {
        if springs[end].is_infinite() {
            left[(end, end)] = 1.0;
            right[(end, end)] = 1.0;
        } else {
            // Divided through so that very soft and very stiff springs stay well scaled.
            let scale = own[(end, end)] + springs[end];
            left[(end, 0)] = own[(end, 0)] / scale;
            left[(end, 1)] = own[(end, 1)] / scale;
            left[(end, end)] += springs[end] / scale;
            right[(end, end)] = springs[end] / scale;
        }
    }
    // A shaft free at both ends turns with neither.
    left.try_inverse().map_or_else(Matrix2::zeros, |inverse| inverse * right)
}

#[cfg(test)]
mod tests {
    use super::super::rotation::{Turn, spun};
    use super::*;

    fn section() -> BarSection {
        BarSection {
            area: 3.5e-3,
            second_moment_y: 1.6e-6,
            second_moment_z: 6.5e-7,
            torsion: 1.5e-6,
            elastic: 11e9,
            shear: 0.69e9,
            mass: 0.0,
        }
    }

    /// Force and tangent against central differences of the energy, in a strongly deformed state: of a timber, and of a beam
    /// so soft along itself that stretching does not drown what turning adds to the tangent.
    #[test]
    fn force_and_tangent_are_derivatives_of_the_energy() {
        derivatives_agree(&section());
        derivatives_agree(&BarSection { area: 1e-6, ..section() });
    }

    fn derivatives_agree(section: &BarSection) {
        let from = Vec3::new(0.2, -0.1, 0.4);
        let to = Vec3::new(1.1, 0.7, 0.9);
        let axes = crate::vector::line_axes(&from, &to, &crate::vector::up()).unwrap();
        let spring = EndFix::Springs([3e3, 2e4, 5e4]);
        let cases = [
            [EndFix::Rigid, EndFix::Rigid],
            [EndFix::Hinged, EndFix::Rigid],
            [EndFix::Rigid, EndFix::Hinged],
            [spring, EndFix::Rigid],
            [spring, EndFix::Springs([0.0, 1e4, 1e3])],
        ];
        for ends in cases {
            let beam = Beam::new(section, to - from, &axes, &ends);
            let turns = [
                Turn::from_scaled_axis(Vec3::new(0.9, -0.4, 0.6)),
                Turn::from_scaled_axis(Vec3::new(0.7, -0.2, 0.9)),
            ];
            let shift = [Vec3::new(0.3, 0.1, -0.2), Vec3::new(-0.4, 0.5, 0.1)];
            let at = |d: &V12| {
                let turned: Vec<Mat3> = (0..2)
                    .map(|e| {
                        let spin = d.fixed_rows::<3>(6 * e + 3).into_owned();
                        *spun(&turns[e], &spin).to_rotation_matrix().matrix()
                    })
                    .collect();
                let change = shift[1] - shift[0] + d.fixed_rows::<3>(6) - d.fixed_rows::<3>(0);
                beam.evaluate(&change, [&turned[0], &turned[1]]).unwrap()
            };
            let here = at(&V12::zeros());
            let step = 2e-6;
            let mut differences = M12::zeros();
            for j in 0..12 {
                let mut d = V12::zeros();
                d[j] = step;
                let (after, before) = (at(&d), at(&-d));
                let slope = (after.energy - before.energy) / (2.0 * step);
                let scale = here.force.amax();
                assert!((slope - here.force[j]).abs() < 1e-6 * scale, "{ends:?} force {j}");
                differences.set_column(j, &((after.force - before.force) / (2.0 * step)));
            }
            let symmetric = (differences + differences.transpose()) * 0.5;
            let worst = (symmetric - here.tangent).amax() / here.tangent.amax();
            assert!(worst < 1e-7, "{ends:?}: {worst}");
        }
    }

    /// Where no rotation vector of an end is to be had the answer is nothing, not a number: a chord of no length, an end's y
    /// axis along the chord, an end turned by more than the limit of 2.6 against the chord. What is close to that is answered.
    #[test]
    fn out_of_its_range_there_is_no_answer() {
        let chord = Vec3::new(4.0, 0.0, 0.0);
        let beam = Beam::new(&section(), chord, &Mat3::identity(), &[EndFix::Rigid; 2]);
        let turn = |v: Vec3| *Turn::from_scaled_axis(v).to_rotation_matrix().matrix();
        let answers = |change: Vec3, from: Vec3, to: Vec3| {
            let turns = [turn(from), turn(to)];
            let (force, state) =
                (beam.force(&change, [&turns[0], &turns[1]]), beam.evaluate(&change, [&turns[0], &turns[1]]));
            assert_eq!(force.is_some(), state.is_some());
            force.is_some_and(|force| force.iter().all(|f| f.is_finite()))
        };
        let none = Vec3::zeros();
        assert!(!answers(-chord, none, none) && !answers(chord * (5e-7 - 1.0), none, none));
        assert!(answers(chord * (2e-6 - 1.0), none, none));
        assert!(!answers(Vec3::new(f64::INFINITY, 0.0, 0.0), none, none));
        let quarter = Vec3::new(0.0, 0.0, std::f64::consts::FRAC_PI_2);
        assert!(!answers(none, quarter, quarter));
        assert!(answers(none, quarter * 0.9, quarter * 0.9));
        // Turned about y alone, the y axes stay square to the chord.
        for (about_y, answered) in [(2.5, true), (2.7, false)] {
            assert_eq!(answers(none, Vec3::new(0.0, about_y, 0.0), none), answered, "{about_y}");
            assert_eq!(answers(none, none, Vec3::new(0.0, -about_y, 0.0)), answered, "{about_y}");
        }
    }

    /// Far end hinged: 3EI/L (any text on the stiffness method).
    #[test]
    fn hinged_end_leaves_three_ei_over_l() {
        let s = section();
        let axes = Mat3::identity();
        let chord = Vec3::new(4.0, 0.0, 0.0);
        let beam = Beam::new(&s, chord, &axes, &[EndFix::Rigid, EndFix::Hinged]);
        let identity = Mat3::identity();
        let state = beam.evaluate(&Vec3::zeros(), [&identity, &identity]).unwrap();
        let want = 3.0 * s.elastic * s.second_moment_y / 4.0;
        assert!((state.tangent[(4, 4)] - want).abs() < 1e-9 * want);
        assert!(state.tangent[(3, 3)].abs() < 1e-9 * want);
    }
}
