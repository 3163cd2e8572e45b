//! Bending of a bar under an axial force, exactly: the stability functions of an Euler–Bernoulli beam-column.
//!
//! With h = (L/2)·√(−N/EI), the ends of a bar that both turn the same way meet E·I/L · 2h²/(1 − h·cot h), and where they turn
//! against each other E·I/L · 2h·cot h (slope-deflection equations of beam-columns, Timoshenko & Gere 1961 ch. 2, from
//! memory; the textbook columns in the tests prove them); under tension cot becomes coth, and near no force a series joins
//! the two. Ends with hinges and springs are condensed as the elastic stiffness is.
//!
//! What a bar does between its nodes while they stand still is no unknown of the frame. How many such shapes buckle below a
//! force is counted here, for the count of Wittrick & Williams (1971, from memory).

use std::f64::consts::PI;

use crate::frame::Bar;
use crate::frame::bar::fixities;

/// 1 − √t·cot √t = Σ cₙ tⁿ, cₙ = 2ζ(2n)/π²ⁿ (any table of series).
const SERIES: [f64; 7] = [
    1.0 / 3.0,
    1.0 / 45.0,
    2.0 / 945.0,
    1.0 / 4725.0,
    2.0 / 93_555.0,
    1_382.0 / 638_512_875.0,
    4.0 / 18_243_225.0,
];
/// |t| up to which the series is used; what it leaves out is below the rounding of a double.
const SERIES_TO: f64 = 0.1;

/// What the two ends of a bar meet, over E·I/L, and how it changes with t = −N·L²/(4·E·I).
#[derive(Debug, Clone, Copy)]
struct Functions {
    /// √t·cot √t.
    root: f64,
    /// Ends that turn against each other, and the change.
    against: [f64; 2],
    /// Ends that turn the same way, and the change.
    along: [f64; 2],
}

fn functions(t: f64) -> Functions {
    if t.abs() <= SERIES_TO {
        // 1 − root = t·s.
        let s = SERIES.iter().rev().fold(0.0, |sum, c| sum * t + c);
        let ds = SERIES.iter().enumerate().skip(1).rev().fold(0.0, |sum, (n, c)| sum * t + n as f64 * c);
        let root = 1.0 - t * s;
        return Functions {
            root,
            against: [2.0 * root, -2.0 * (s + t * ds)],
            along: [2.0 / s, -2.0 * ds / (s * s)],
        };
    }
    let h = t.abs().sqrt();
    let root = if t > 0.0 { h / h.tan() } else { h / h.tanh() };
    let change = (root * (1.0 - root) - t) / (2.0 * t);
    let rest = 1.0 - root;
    Functions {
        root,
        against: [2.0 * root, 2.0 * change],
        along: [2.0 * t / rest, 2.0 / rest + 2.0 * t * change / (rest * rest)],
    }
}

/// What bending in one plane of a bar meets at its nodes \[N·m/rad\]: the moment at the first node and at the second where both
/// turn against the chord by 1 rad, and the moment at either where only the other one does. The sums are kept rather than
/// their parts, which near a shape of the bar alone are far larger than they.
pub type Moments = [f64; 3];

/// Bending of a bar in one of its planes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plane {
    /// E·I/L \[N·m\].
    unit: f64,
    /// L²/(4·E·I) \[1/N\].
    per_force: f64,
    /// Fixity factors of both ends: 0 a hinge, 1 rigid.
    fixity: [f64; 2],
}

impl Plane {
    /// Bending of `bar` about its axis 1 = y or 2 = z; `None` where it passes no moment, hinged at both ends or without
    /// stiffness: such a bar is a string between its nodes, and its own buckling is no matter of the frame.
    #[must_use]
    pub fn new(bar: &Bar, length: f64, axis: usize) -> Option<Self> {
        let moment = if axis == 1 { bar.section.second_moment_y } else { bar.section.second_moment_z };
        let bending = bar.section.elastic * moment;
        let fixity = fixities(bar, length, axis);
        let bends = bending > 0.0 && fixity.iter().any(|r| *r > 0.0);
        bends.then(|| Self { unit: bending / length, per_force: length * length / (4.0 * bending), fixity })
    }

    /// Weights of an end's stiffness and of its flexibility: r = 1/(1 + 3EI/(kL)), so that kL/EI is the first over the second.
    fn weights(&self) -> ([f64; 2], [f64; 2]) {
        (self.fixity.map(|r| 3.0 * r), self.fixity.map(|r| 1.0 - r))
    }

    /// The moments under an axial force \[N\], tension positive, and their change with it.
    #[must_use]
    pub fn moments(&self, n: f64) -> (Moments, Moments) {
        let f = functions(-n * self.per_force);
        let ([k1, k2], [p1, p2]) = self.weights();
        let own = [0, 1].map(|d| 0.5 * (f.along[d] + f.against[d]));
        let other = [0, 1].map(|d| 0.5 * (f.along[d] - f.against[d]));
        let both = [f.along[0] * f.against[0], f.along[1] * f.against[0] + f.along[0] * f.against[1]];
        let below = [0, 1].map(|d| {
            let fixed = if d == 0 { k1 * k2 } else { 0.0 };
            fixed + (k1 * p2 + k2 * p1) * own[d] + p1 * p2 * both[d]
        });
        let above = [
            [0, 1].map(|d| k1 * (k2 * f.along[d] + p2 * both[d])),
            [0, 1].map(|d| k2 * (k1 * f.along[d] + p1 * both[d])),
            [0, 1].map(|d| k1 * k2 * other[d]),
        ];
        let now = above.map(|a| self.unit * a[0] / below[0]);
        // By the axial force: t falls as it grows.
        let change =
            above.map(|a| -self.per_force * self.unit * (a[1] - a[0] / below[0] * below[1]) / below[0]);
        (now, change)
    }

    /// How many shapes buckle under this axial force \[N\] or less compression while both nodes stand still.
    #[must_use]
    pub fn still_shapes(&self, n: f64) -> usize {
        self.still_shapes_at(-n * self.per_force)
    }

    fn still_shapes_at(&self, t: f64) -> usize {
        if t <= 0.0 {
            return 0;
        }
        let f = functions(t);
        // With both ends of the bar itself held: h = kπ, and tan h = h between those.
        let waves = (t.sqrt() / PI) as usize;
        let held = if waves == 0 { 0 } else { 2 * waves - 1 + usize::from(f.root < 1.0) };
        // And the one that its turns within hinges and springs may add. It is never two: without any springs L·√(−N/EI) = kπ,
        // which is one more than with held ends, or as many; springs only take from that.
        let ([k1, k2], [p1, p2]) = self.weights();
        let own = 0.5 * (f.along[0] + f.against[0]);
        let determinant = k1 * k2 + (k1 * p2 + k2 * p1) * own + p1 * p2 * f.along[0] * f.against[0];
        held + usize::from(determinant < 0.0)
    }

    /// The compression \[N\] up to which the bar does not buckle while both its nodes stand still: π²EI/L² with soft springs at its
    /// ends, 2.05 times as much with one end rigid and the other hinged, 4 times with both rigid.
    #[must_use]
    pub fn still_up_to(&self) -> f64 {
        let (mut below, mut above) = (0.0, PI * PI);
        if self.fixity.iter().all(|r| *r >= 1.0) {
            below = above;
        }
        while above - below > 1e-13 * above {
            let middle = 0.5 * (below + above);
            if self.still_shapes_at(middle) == 0 { below = middle } else { above = middle }
        }
        below / self.per_force
    }
}

#[cfg(test)]
mod tests {
    use nalgebra::{Matrix4, Vector4};

    use super::*;
    use crate::frame::timber::TIMBER;
    use crate::frame::{EndFix, NodeId};
    use crate::vector::Vec3;

    const LENGTH: f64 = 2.5;
    /// `E·I` about z.
    const BENDING: f64 = TIMBER.elastic * TIMBER.second_moment_z;
    /// Springs at the two ends over `E·I/L`; infinity is rigid.
    const SPRINGS: [[f64; 2]; 6] = [
        [f64::INFINITY, f64::INFINITY],
        [f64::INFINITY, 0.0],
        [0.0, 2.0],
        [0.7, 5.0],
        [0.02, 0.01],
        [f64::INFINITY, 40.0],
    ];

    /// About z; the other plane is another one altogether.
    fn plane(springs: [f64; 2]) -> Plane {
        let end = |share: f64| {
            if share.is_infinite() {
                EndFix::Rigid
            } else {
                EndFix::Springs([1.0, 77.0, share * BENDING / LENGTH])
            }
        };
        let section = crate::frame::BarSection { second_moment_y: 19.0 * TIMBER.second_moment_z, ..TIMBER };
        let ends = springs.map(end);
        let bar = Bar { from: NodeId(0), to: NodeId(1), section, up: Vec3::z(), ends };
        Plane::new(&bar, LENGTH, 2).unwrap()
    }

    /// The four functions of which every shape of a beam-column without load between its ends is a sum, at x, or one of their
    /// derivatives: 1, x, cos κx, sin κx under compression, 1, x, cosh κx, sinh κx under tension (any text).
    fn basis(n: f64, x: f64, derivative: usize) -> Vector4<f64> {
        let k = (n.abs() / BENDING).sqrt();
        let straight = [[1.0, x], [0.0, 1.0], [0.0, 0.0]][derivative];
        let (sin, cos) = (k * x).sin_cos();
        let (sinh, cosh) = ((k * x).sinh(), (k * x).cosh());
        let curved = if n < 0.0 {
            [[cos, sin], [-sin, cos], [-cos, -sin]][derivative]
        } else {
            [[cosh, sinh], [sinh, cosh], [cosh, sinh]][derivative]
        };
        let times = k.powi(derivative as i32);
        Vector4::new(straight[0], straight[1], times * curved[0], times * curved[1])
    }

    /// What holds the ends: no movement, and at either of them a spring's moment, a node's turn less the bar's, that bends it.
    fn conditions(springs: [f64; 2], n: f64) -> (Matrix4<f64>, Matrix4<f64>) {
        let mut of_shape = Matrix4::zeros();
        let mut of_turns = Matrix4::zeros();
        for (end, (x, sign)) in [(0.0, -1.0), (LENGTH, 1.0)].into_iter().enumerate() {
            of_shape.set_row(end, &basis(n, x, 0).transpose());
            // By the spring or, where it is stiff, by its flexibility.
            let (stiff, soft) =
                if springs[end] > 1.0 { (1.0, 1.0 / springs[end]) } else { (springs[end], 1.0) };
            let row = stiff * basis(n, x, 1) + soft * sign * LENGTH * basis(n, x, 2);
            of_shape.set_row(end + 2, &row.transpose());
            of_turns[(end + 2, end)] = stiff;
        }
        (of_shape, of_turns)
    }

    /// The shape that turns of the nodes make, as weights of the four functions.
    fn shape(springs: [f64; 2], n: f64, turns: [f64; 2]) -> Vector4<f64> {
        let (of_shape, of_turns) = conditions(springs, n);
        of_shape.lu().solve(&(of_turns * Vector4::new(turns[0], turns[1], 0.0, 0.0))).unwrap()
    }

    /// Moments, and by their change ∫w′² of the shape, are those of the solved differential equation: under tension, near no
    /// force, on both sides of where a series is used, under compression, and beyond the first shapes of the bar alone.
    #[test]
    fn moments_are_those_of_the_differential_equation() {
        for springs in SPRINGS {
            let plane = plane(springs);
            for t in [-9.0, -1.0, -0.11, -0.09, -0.01, 0.01, 0.09, 0.11, 0.5, 1.9, 4.0, 14.0, 31.0] {
                let n: f64 = -t * 4.0 * BENDING / (LENGTH * LENGTH);
                let ([sum1, sum2, other], [change1, change2, change]) = plane.moments(n);
                let (both, one) = (shape(springs, n, [1.0; 2]), shape(springs, n, [1.0, 0.0]));
                let scale = sum1.abs().max(sum2.abs()).max(other.abs());
                for (found, wanted) in [
                    (sum1, -BENDING * basis(n, 0.0, 2).dot(&both)),
                    (sum2, BENDING * basis(n, LENGTH, 2).dot(&both)),
                    (other, BENDING * basis(n, LENGTH, 2).dot(&one)),
                    (sum1 - other, -BENDING * basis(n, 0.0, 2).dot(&one)),
                ] {
                    assert!((found - wanted).abs() < 1e-9 * scale, "{springs:?} {t}: {found} {wanted}");
                }
                // The energy's change with N, by Simpson's rule.
                let slopes = |turns: [f64; 2]| {
                    let shape = shape(springs, n, turns);
                    let step = LENGTH / 400.0;
                    let at = |i: i32| basis(n, f64::from(i) * step, 1).dot(&shape).powi(2);
                    step / 3.0
                        * (0..200).map(|i| at(2 * i) + 4.0 * at(2 * i + 1) + at(2 * i + 2)).sum::<f64>()
                };
                let (of_both, of_first, of_second) =
                    (slopes([1.0, 1.0]), slopes([1.0, 0.0]), slopes([0.0, 1.0]));
                let scale = of_both.max(of_first).max(of_second);
                for (found, wanted) in [
                    (change1 + change2, of_both),
                    (change1 - change, of_first),
                    (change2 - change, of_second),
                ] {
                    assert!((found - wanted).abs() < 1e-7 * scale, "{springs:?} {t}: {found} {wanted}");
                }
            }
        }
        // Without force by hand: 6EI/L each and 2EI/L; 3EI/L where the far end is hinged.
        let unit = BENDING / LENGTH;
        for (springs, wanted) in [(SPRINGS[0], [6.0, 6.0, 2.0]), (SPRINGS[1], [3.0, 0.0, 0.0])] {
            for (found, wanted) in plane(springs).moments(0.0).0.iter().zip(wanted) {
                assert!((found / unit - wanted).abs() < 1e-12);
            }
        }
    }

    /// How many shapes there are while the nodes stand still: as many as the differential equation has solutions without turns, which are
    /// where the determinant of the ends' conditions changes its sign; textbook ones (any text; roots of tan x = x worked out
    /// again) are among them.
    #[test]
    fn still_shapes_are_those_of_the_differential_equation() {
        let rigid = [2.0 * PI, 8.986_819, 4.0 * PI, 15.450_504];
        let propped = [4.493_409, 7.725_252, 10.904_122, 14.066_194];
        for (kind, springs) in SPRINGS.into_iter().enumerate() {
            let textbook: &[f64] = [&rigid, &propped].get(kind).map_or(&[], |roots| *roots);
            let plane = plane(springs);
            let euler = BENDING / (LENGTH * LENGTH);
            let sign = |x: f64| conditions(springs, -x * x * euler).0.determinant() > 0.0;
            let step = 1e-3;
            let roots: Vec<f64> = (1..16_000)
                .map(|i| f64::from(i) * step)
                .filter(|x| sign(*x) != sign(x + step))
                .map(|x| x + 0.5 * step)
                .collect();
            assert!(roots.len() >= 4, "{roots:?}");
            for (root, wanted) in roots.iter().zip(textbook) {
                assert!((root - wanted).abs() < step);
            }
            for (index, root) in roots.iter().enumerate() {
                for (x, wanted) in [(root - step, index), (root + step, index + 1)] {
                    assert_eq!(plane.still_shapes(-x * x * euler), wanted, "{springs:?} {x}");
                }
            }
            let first = (plane.still_up_to() / euler).sqrt();
            assert!((first - roots[0]).abs() < step, "{springs:?} {first} {}", roots[0]);
            assert_eq!(plane.still_shapes(-plane.still_up_to() * (1.0 - 1e-9)), 0);
            assert_eq!(plane.still_shapes(-plane.still_up_to() * (1.0 + 1e-9)), 1);
            assert_eq!([0.0, 1.0, 1e3].map(|times| plane.still_shapes(times * euler)), [0; 3]);
        }
    }

    /// A bar bends in a plane by that plane's second moment, and by its springs; not where both ends are hinged or where it
    /// has no stiffness.
    #[test]
    fn a_bar_that_passes_no_moment_has_no_plane() {
        let section = crate::frame::BarSection { second_moment_y: 0.0, ..TIMBER };
        let bar = |ends| Bar { from: NodeId(0), to: NodeId(1), section, up: Vec3::z(), ends };
        assert!(Plane::new(&bar([EndFix::Rigid; 2]), LENGTH, 1).is_none());
        assert!(Plane::new(&bar([EndFix::Rigid; 2]), LENGTH, 2).is_some());
        assert!(Plane::new(&bar([EndFix::Hinged; 2]), LENGTH, 2).is_none());
        assert!(Plane::new(&bar([EndFix::Hinged, EndFix::Rigid]), LENGTH, 2).is_some());
        assert!(Plane::new(&bar([EndFix::Springs([9.0, 9.0, 0.0]); 2]), LENGTH, 2).is_none());
    }
}
