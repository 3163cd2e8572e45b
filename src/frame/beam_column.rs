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
        return Functions {
            root: 1.0 - t * s,
            against: [2.0 * (1.0 - t * s), -2.0 * (s + t * ds)],
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
        // And those that its turns within hinges and springs add.
        let ([k1, k2], [p1, p2]) = self.weights();
        let own = 0.5 * (f.along[0] + f.against[0]);
        let (a, b) = (k1 + p1 * own, k2 + p2 * own);
        let determinant = k1 * k2 + (k1 * p2 + k2 * p1) * own + p1 * p2 * f.along[0] * f.against[0];
        let turned = if determinant < 0.0 { 1 } else { 2 * usize::from(a + b < 0.0) };
        held + turned
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
