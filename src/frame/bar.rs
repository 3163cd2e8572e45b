//! One bar: stiffness, hinges and springs at its ends, line loads, and the forces along it.
//!
//! Order of the twelve local movements: ux, uy, uz, rx, ry, rz at the start, then at the end.
//! Source of the stiffness and of the exact fixed-end forces: the slope-deflection equations, in any
//! text on the stiffness method; of the end springs: fixity factors after Monforton & Wu (1963), from
//! memory, and derived again in the tests by condensing the springs numerically.

use nalgebra::{SMatrix, SVector};

use crate::frame::error::FrameError;
use crate::frame::{Bar, BarForces, BarId, BarLoad, EndFix, Frame};
use crate::vector::{Mat3, Vec3};

/// A 12 × 12 matrix of a bar.
pub type Matrix12 = SMatrix<f64, 12, 12>;
/// Twelve end forces or movements of a bar.
pub type Vector12 = SVector<f64, 12>;

/// Where a bar lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BarLine {
    /// Rows are local x, y, z in global components.
    pub axes: Mat3,
    /// \[m\]
    pub length: f64,
}

/// Where bar `id` lies.
///
/// # Errors
/// [`FrameError::UnknownNode`], [`FrameError::NoLength`] or [`FrameError::UpAlongBar`].
pub fn line(frame: &Frame, id: BarId) -> Result<BarLine, FrameError> {
    let count = frame.bars.len();
    let bar = frame.bars.get(id.0).ok_or(FrameError::UnknownBar { index: id.0, bar: id, count })?;
    let at = |node: crate::frame::NodeId| {
        let count = frame.nodes.len();
        frame.nodes.get(node.0).map(|n| n.at).ok_or(FrameError::UnknownNode {
            what: "bar",
            index: id.0,
            node,
            count,
        })
    };
    let (from, to) = (at(bar.from)?, at(bar.to)?);
    let length = (to - from).norm();
    // Relative to the coordinates: below this the direction itself is only rounding.
    let size = from.amax().max(to.amax());
    if !length.is_finite() || length <= 1e-12 * size {
        return Err(FrameError::NoLength { bar: id });
    }
    let axes = crate::vector::line_axes(&from, &to, &bar.up).ok_or(FrameError::UpAlongBar { bar: id })?;
    Ok(BarLine { axes, length })
}

impl BarLine {
    /// Local components of a global vector.
    #[must_use]
    pub fn local(&self, global: &Vec3) -> Vec3 {
        self.axes * global
    }

    /// Twelve global movements or forces in local components.
    #[must_use]
    pub fn to_local(&self, global: &Vector12) -> Vector12 {
        let mut local = Vector12::zeros();
        for part in 0..4 {
            let piece = self.axes * global.fixed_rows::<3>(3 * part);
            local.fixed_rows_mut::<3>(3 * part).copy_from(&piece);
        }
        local
    }

    /// Twelve local movements or forces in global components.
    #[must_use]
    pub fn to_global(&self, local: &Vector12) -> Vector12 {
        let mut global = Vector12::zeros();
        for part in 0..4 {
            let piece = self.axes.tr_mul(&local.fixed_rows::<3>(3 * part));
            global.fixed_rows_mut::<3>(3 * part).copy_from(&piece);
        }
        global
    }

    /// A local matrix in global components.
    #[must_use]
    pub fn matrix_to_global(&self, local: &Matrix12) -> Matrix12 {
        let mut global = Matrix12::zeros();
        for i in 0..4 {
            for j in 0..4 {
                let block: Mat3 = local.fixed_view::<3, 3>(3 * i, 3 * j).into_owned();
                let turned = self.axes.tr_mul(&block) * self.axes;
                global.fixed_view_mut::<3, 3>(3 * i, 3 * j).copy_from(&turned);
            }
        }
        global
    }
}

/// Spring stiffness of an end about the bar's own x, y, z \[N·m/rad\]; infinite where rigid.
#[must_use]
pub fn end_springs(fix: &EndFix) -> [f64; 3] {
    match fix {
        EndFix::Rigid => [f64::INFINITY; 3],
        EndFix::Hinged => [0.0; 3],
        EndFix::Springs(k) => *k,
    }
}

/// Fixity factor r = 1/(1 + 3EI/(kL)) of an end spring: 0 a hinge, 1 rigid.
fn fixity(bending: f64, length: f64, spring: f64) -> f64 {
    if spring <= 0.0 {
        0.0
    } else if spring.is_infinite() || bending <= 0.0 {
        1.0
    } else {
        1.0 / (1.0 + 3.0 * bending / (spring * length))
    }
}

/// Fixity factors of both ends for bending about one axis (1 = y, 2 = z).
pub(crate) fn fixities(bar: &Bar, length: f64, axis: usize) -> [f64; 2] {
    let bending = bar.section.elastic
        * if axis == 1 { bar.section.second_moment_y } else { bar.section.second_moment_z };
    [0, 1].map(|end: usize| fixity(bending, length, end_springs(&bar.ends[end])[axis]))
}

/// Twisting stiffness of the bar and its two end springs in a row \[N·m/rad\].
fn twist_stiffness(bar: &Bar, length: f64) -> f64 {
    let own = bar.section.shear * bar.section.torsion / length;
    let springs = [end_springs(&bar.ends[0])[0], end_springs(&bar.ends[1])[0]];
    if own <= 0.0 || springs[0] <= 0.0 || springs[1] <= 0.0 {
        return 0.0;
    }
    1.0 / (1.0 / own + 1.0 / springs[0] + 1.0 / springs[1])
}

/// The four local movements that bend a bar about `axis`, and the sign of its rotations against the
/// slope: about z the deflection is uy and rz = uy′; about y it is uz and ry = −uz′.
pub(crate) const fn plane(axis: usize) -> ([usize; 4], f64) {
    if axis == 1 { ([2, 4, 8, 10], -1.0) } else { ([1, 5, 7, 11], 1.0) }
}

/// What bending about `axis` meets: the moments at either end for a turn of that end and of the other, their shears, and
/// the shear for a deflection.
struct Bending {
    moments: [f64; 3],
    shears: [f64; 2],
    shear: f64,
}

fn bending(bar: &Bar, length: f64, axis: usize) -> Bending {
    let second_moment = if axis == 1 { bar.section.second_moment_y } else { bar.section.second_moment_z };
    let [r1, r2] = fixities(bar, length, axis);
    let unit = bar.section.elastic * second_moment / (length * (4.0 - r1 * r2));
    let (m11, m22, m12) = (12.0 * r1 * unit, 12.0 * r2 * unit, 6.0 * r1 * r2 * unit);
    let (v1, v2) = ((m11 + m12) / length, (m22 + m12) / length);
    Bending { moments: [m11, m22, m12], shears: [v1, v2], shear: (v1 + v2) / length }
}

/// Local forces of the nodes on a bar for their local movements: [`stiffness`] times those, without the matrix.
#[must_use]
pub fn forces(bar: &Bar, length: f64, local: &Vector12) -> Vector12 {
    let mut force = Vector12::zeros();
    let pull = bar.section.elastic * bar.section.area / length * (local[6] - local[0]);
    (force[0], force[6]) = (-pull, pull);
    let twist = twist_stiffness(bar, length) * (local[9] - local[3]);
    (force[3], force[9]) = (-twist, twist);
    for axis in [1, 2] {
        let Bending { moments: [m11, m22, m12], shears: [v1, v2], shear } = bending(bar, length, axis);
        let (index, sign) = plane(axis);
        let off = local[index[0]] - local[index[2]];
        let (turn1, turn2) = (local[index[1]], local[index[3]]);
        let across = shear * off + sign * (v1 * turn1 + v2 * turn2);
        force[index[0]] = across;
        force[index[2]] = -across;
        force[index[1]] = sign * v1 * off + m11 * turn1 + m12 * turn2;
        force[index[3]] = sign * v2 * off + m12 * turn1 + m22 * turn2;
    }
    force
}

/// Stiffness in local axes, the ends' hinges and springs condensed exactly.
#[must_use]
pub fn stiffness(bar: &Bar, length: f64) -> Matrix12 {
    let mut k = Matrix12::zeros();
    let axial = bar.section.elastic * bar.section.area / length;
    let twist = twist_stiffness(bar, length);
    for (a, b, value) in [(0, 6, axial), (3, 9, twist)] {
        k[(a, a)] = value;
        k[(b, b)] = value;
        k[(a, b)] = -value;
        k[(b, a)] = -value;
    }
    for axis in [1, 2] {
        let Bending { moments: [m11, m22, m12], shears: [v1, v2], shear } = bending(bar, length, axis);
        let (index, sign) = plane(axis);
        let block = [
            [shear, sign * v1, -shear, sign * v2],
            [sign * v1, m11, -sign * v1, m12],
            [-shear, -sign * v1, shear, -sign * v2],
            [sign * v2, m12, -sign * v2, m22],
        ];
        for (row, values) in index.iter().zip(block) {
            for (column, value) in index.iter().zip(values) {
                k[(*row, *column)] = value;
            }
        }
    }
    k
}

/// Turn of each of a bar's own ends against its chord, of its two nodes' turns against it, by the fixity factors of both ends.
pub(crate) fn turns_inside([r1, r2]: [f64; 2]) -> [[f64; 2]; 2] {
    let below = 4.0 - r1 * r2;
    [
        [(4.0 * r1 - r1 * r2) / below, (2.0 * r1 * r2 - 2.0 * r2) / below],
        [(2.0 * r1 * r2 - 2.0 * r1) / below, (4.0 * r2 - r1 * r2) / below],
    ]
}

/// Movements of the bar's own ends (inside its hinges and springs) from those of its nodes, for an
/// unloaded bar: the map that condenses geometric stiffness and mass in step with the stiffness.
#[must_use]
pub fn condensation(bar: &Bar, length: f64) -> Matrix12 {
    let mut map = Matrix12::identity();
    for axis in [1, 2] {
        let [r1, r2] = fixities(bar, length, axis);
        let (index, sign) = plane(axis);
        for (row, [a, b]) in [index[1], index[3]].into_iter().zip(turns_inside([r1, r2])) {
            let chord = sign * (1.0 - a - b) / length;
            map[(row, index[0])] = -chord;
            map[(row, index[2])] = chord;
            map[(row, index[1])] = a;
            map[(row, index[3])] = b;
        }
    }
    let twist = twist_stiffness(bar, length);
    let springs = [end_springs(&bar.ends[0])[0], end_springs(&bar.ends[1])[0]];
    let give = springs.map(|k| if k.is_infinite() { 0.0 } else { twist / k });
    let rows = match (springs[0] > 0.0, springs[1] > 0.0) {
        (true, true) => [(1.0 - give[0], give[0]), (give[1], 1.0 - give[1])],
        (false, true) => [(0.0, 1.0), (0.0, 1.0)],
        (true, false) => [(1.0, 0.0), (1.0, 0.0)],
        (false, false) => [(0.0, 0.0), (0.0, 0.0)],
    };
    for (row, (a, b)) in [3, 9].into_iter().zip(rows) {
        map[(row, 3)] = a;
        map[(row, 9)] = b;
    }
    map
}

/// Gauss–Legendre points and weights on −1..1, exact to the fifth degree.
const GAUSS: [(f64, f64); 3] =
    [(-0.774_596_669_241_483_4, 5.0 / 9.0), (0.0, 8.0 / 9.0), (0.774_596_669_241_483_4, 5.0 / 9.0)];

/// Forces of held nodes on the bar under its line loads, local: exact, end springs included.
/// Loads of other bars must not be among `loads`.
#[must_use]
pub fn fixed_end_forces(bar: &Bar, line: &BarLine, loads: &[BarLoad]) -> Vector12 {
    let mut held = Vector12::zeros();
    let length = line.length;
    for load in loads {
        let [start, end] = load.span;
        let q = load.intensity.map(|global| line.local(&global));
        let half = 0.5 * (end - start);
        for (point, weight) in GAUSS {
            let x = 0.5 * (start + end) + half * point;
            // The load varies linearly and the shapes are cubic: fourth degree, so exact.
            let here = (q[0] + (q[1] - q[0]) * (0.5 * (1.0 + point))) * (half * weight);
            let s = x / length;
            let shapes = [
                1.0 - s * s * (3.0 - 2.0 * s),
                length * s * (1.0 - s) * (1.0 - s),
                s * s * (3.0 - 2.0 * s),
                -length * s * s * (1.0 - s),
            ];
            held[0] -= here.x * (1.0 - s);
            held[6] -= here.x * s;
            for (axis, value) in [(2, here.y), (1, here.z)] {
                let (index, sign) = plane(axis);
                held[index[0]] -= value * shapes[0];
                held[index[1]] -= sign * value * shapes[1];
                held[index[2]] -= value * shapes[2];
                held[index[3]] -= sign * value * shapes[3];
            }
        }
    }
    for axis in [1, 2] {
        let [r1, r2] = fixities(bar, length, axis);
        let (index, sign) = plane(axis);
        let (full1, full2) = (held[index[1]], held[index[3]]);
        let below = 4.0 - r1 * r2;
        let moment1 = r1 * ((4.0 - r2) * full1 - 2.0 * (1.0 - r2) * full2) / below;
        let moment2 = r2 * ((4.0 - r1) * full2 - 2.0 * (1.0 - r1) * full1) / below;
        // What the end moments lose changes the shears by the couple they made.
        let couple = sign * ((moment1 - full1) + (moment2 - full2)) / length;
        held[index[0]] += couple;
        held[index[2]] -= couple;
        held[index[1]] = moment1;
        held[index[3]] = moment2;
    }
    held
}

/// Stress resultants at the two ends from the twelve local forces of the nodes on the bar.
#[must_use]
pub fn end_forces(local: &Vector12) -> [BarForces; 2] {
    let at = |first: usize, sign: f64| BarForces {
        n: sign * local[first],
        vy: sign * local[first + 1],
        vz: sign * local[first + 2],
        t: sign * local[first + 3],
        my: sign * local[first + 4],
        mz: sign * local[first + 5],
    };
    [at(0, -1.0), at(6, 1.0)]
}

/// Stress resultants at `x` \[m\] from the start, by equilibrium of the part before it.
///
/// `ends` are the bar's end forces under `loads`, which must be the loads of this bar alone.
/// First-order: the axial force times the deflection is not added ([`turned_with_chord`] adds it for second-order ends, but for
/// the bow between them).
#[must_use]
pub fn forces_at(line: &BarLine, ends: &[BarForces; 2], loads: &[BarLoad], x: f64) -> BarForces {
    let start = ends[0];
    let mut here = BarForces { my: start.my + start.vz * x, mz: start.mz - start.vy * x, ..start };
    for load in loads {
        let [a, b] = load.span;
        let reach = x.min(b) - a;
        if reach <= 0.0 {
            continue;
        }
        let q0 = line.local(&load.intensity[0]);
        let slope = (line.local(&load.intensity[1]) - q0) / (b - a);
        let force = (q0 + slope * (0.5 * reach)) * reach;
        // First moment of the load about its own start, then about x.
        let first = (q0 / 2.0 + slope * (reach / 3.0)) * (reach * reach);
        let about = force * (x - a) - first;
        here.n -= force.x;
        here.vy -= force.y;
        here.vz -= force.z;
        here.my -= about.z;
        here.mz += about.y;
    }
    here
}

/// How much moment about y and about z a bar gains per metre by its axial force, as its chord has turned \[N·m/m\].
///
/// Second-order end forces are in the axes of the bar as drawn: equilibrium of a part of it ([`forces_at`]) leaves out N·(w(x) − w(0)),
/// by which it misses the moment at the far end. Whatever it misses there grows evenly along the straight chord. How far the bar bows
/// off that chord is not in it.
#[must_use]
pub fn turned_with_chord(line: &BarLine, ends: &[BarForces; 2], loads: &[BarLoad]) -> [f64; 2] {
    let reached = forces_at(line, ends, loads, line.length);
    [(ends[1].my - reached.my) / line.length, (ends[1].mz - reached.mz) / line.length]
}

/// Second-order forces at `x` \[m\] from the start, in the axes of the turned chord: as [`forces_at`], with what
/// [`turned_with_chord`] found, so that they are those of both ends.
#[must_use]
pub fn forces_on_chord(
    line: &BarLine,
    ends: &[BarForces; 2],
    loads: &[BarLoad],
    [about_y, about_z]: [f64; 2],
    x: f64,
) -> BarForces {
    let here = forces_at(line, ends, loads, x);
    BarForces {
        // dMy/dx = Vz and dMz/dx = −Vy.
        vz: here.vz + about_y,
        vy: here.vy - about_z,
        my: here.my + about_y * x,
        mz: here.mz + about_z * x,
        ..here
    }
}

/// Where along the bar a resultant can be largest: the ends, the ends of every line load, and every
/// place where a shear is zero, in order and without repeats \[m\].
#[must_use]
pub fn stations(line: &BarLine, ends: &[BarForces; 2], loads: &[BarLoad]) -> Vec<f64> {
    let length = line.length;
    let mut breaks = vec![0.0, length];
    for load in loads {
        breaks.extend(load.span.iter().map(|x| x.clamp(0.0, length)));
    }
    breaks.sort_by(f64::total_cmp);
    breaks.dedup_by(|a, b| (*a - *b).abs() <= 1e-12 * length);
    let mut all = breaks.clone();
    for piece in breaks.windows(2) {
        let [a, b] = [piece[0], piece[1]];
        let at = |x: f64| forces_at(line, ends, loads, x);
        let (first, middle, last) = (at(a), at(0.5 * (a + b)), at(b));
        for shear in [[first.vy, middle.vy, last.vy], [first.vz, middle.vz, last.vz]] {
            // On one piece the shear is a quadratic: through three points, in t = 0..1.
            let c = shear[0];
            let quadratic = 2.0 * (shear[0] - 2.0 * shear[1] + shear[2]);
            let linear = shear[2] - shear[0] - quadratic;
            for root in quadratic_roots(quadratic, linear, c) {
                if root > 1e-9 && root < 1.0 - 1e-9 {
                    all.push(a + root * (b - a));
                }
            }
        }
    }
    all.sort_by(f64::total_cmp);
    all.dedup_by(|a, b| (*a - *b).abs() <= 1e-9 * length);
    all
}

/// Real roots of a t² + b t + c.
fn quadratic_roots(a: f64, b: f64, c: f64) -> Vec<f64> {
    let size = a.abs().max(b.abs()).max(c.abs());
    if size == 0.0 {
        return Vec::new();
    }
    if a.abs() <= 1e-12 * size {
        return if b.abs() <= 1e-12 * size { Vec::new() } else { vec![-c / b] };
    }
    let discriminant = b * b - 4.0 * a * c;
    if discriminant < 0.0 {
        return Vec::new();
    }
    let q = -0.5 * (b + discriminant.sqrt().copysign(b));
    if q == 0.0 { vec![0.0] } else { vec![q / a, c / q] }
}

#[cfg(test)]
#[path = "bar_tests.rs"]
mod tests;
