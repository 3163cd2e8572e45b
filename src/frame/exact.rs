//! Stiffness of a whole frame under axial forces, every bar by its stability functions (`beam_column.rs`) instead of one cubic
//! shape: right however much the bars bow between their nodes.
//!
//! A bar hinged at both ends in a plane is a string there, N/L, as in `geometric.rs`; torsion under axial force is left out
//! here too. Twice the energy of a bar in one plane is s₁a² + s₂b² − m₁₂(a − b)² + N·L·ψ², a and b the turns of its nodes against
//! the chord, ψ the turn of the chord, and s₁, s₂, m₁₂ its [`Moments`].

use crate::frame::Frame;
use crate::frame::assemble::Assembly;
use crate::frame::beam_column::{Moments, Plane};
use crate::vector::Vec3;

/// What every bar adds to the stiffness, made once a frame.
#[derive(Debug, Clone)]
pub struct Exact {
    bars: Vec<ExactBar>,
    /// Place in the pattern of every entry of every bar's matrix that has one, and 12 × its row + its column.
    entries: Vec<(u32, u32)>,
}

#[derive(Debug, Clone)]
struct ExactBar {
    nodes: [usize; 2],
    /// Bending about y and about z, and its moments under no force.
    planes: [Option<(Plane, Moments)>; 2],
    /// Local y and z in global components.
    across: [Vec3; 2],
    length: f64,
    /// Compression up to which it does not buckle while its nodes stand still \[N\].
    still_up_to: f64,
    /// Its entries.
    start: usize,
    end: usize,
}

/// Rounding of an axial force against the largest of all \[1\]: less would make factors out of nothing.
const ROUNDING: f64 = 1e-12;

/// The axial forces without those that are only rounding against the largest.
#[must_use]
pub fn telling(axial: &[f64]) -> Vec<f64> {
    let largest = axial.iter().fold(0.0_f64, |a, b| a.max(b.abs()));
    axial.iter().map(|n| if n.abs() <= ROUNDING * largest { 0.0 } else { *n }).collect()
}

impl Exact {
    /// Looks at every bar; `None` where all of them are strings in both planes, so that the cubic's way is exact as well.
    #[must_use]
    pub fn new(frame: &Frame, assembly: &Assembly) -> Option<Self> {
        let mut exact = Self { bars: Vec::with_capacity(frame.bars.len()), entries: Vec::new() };
        let mut known: Vec<(Plane, f64)> = Vec::new();
        for (bar, line) in frame.bars.iter().zip(&assembly.lines) {
            let planes = [1, 2].map(|axis| Plane::new(bar, line.length, axis));
            let mut still_up_to = f64::INFINITY;
            for plane in planes.iter().flatten() {
                let found = known.iter().find(|(other, _)| other == plane).map(|(_, force)| *force);
                let force = found.unwrap_or_else(|| plane.still_up_to());
                if found.is_none() && known.len() < KNOWN {
                    known.push((*plane, force));
                }
                still_up_to = still_up_to.min(force);
            }
            let start = exact.entries.len();
            let nodes = [bar.from.0, bar.to.0];
            assembly.places(&nodes, |place, row, column| {
                exact.entries.push((place as u32, (12 * row + column) as u32));
            });
            let across = [1, 2].map(|axis| line.axes.row(axis).transpose());
            let planes = planes.map(|plane| plane.map(|plane| (plane, plane.moments(0.0).0)));
            let (length, end) = (line.length, exact.entries.len());
            exact.bars.push(ExactBar { nodes, planes, across, length, still_up_to, start, end });
        }
        exact.bars.iter().any(|bar| bar.planes.iter().any(Option::is_some)).then_some(exact)
    }

    /// Adds to `values`, the elastic stiffness in the pattern of the assembly, what the axial forces \[N\], tension positive, change
    /// of it.
    pub fn add(&self, values: &mut [f64], axial: impl Fn(usize) -> f64) {
        self.scatter(values, |index, bar| {
            let n = axial(index);
            (n != 0.0).then(|| {
                let of = |plane: &Option<(Plane, Moments)>| {
                    plane.map_or([0.0; 3], |(plane, elastic)| {
                        let now = plane.moments(n).0;
                        [0, 1, 2].map(|i| now[i] - elastic[i])
                    })
                };
                (bar.planes.each_ref().map(of), n)
            })
        });
    }

    /// Adds to `values` how the stiffness under the axial forces changes with a factor on them, times `times`: Σ N·dK/dN.
    pub fn add_change(&self, values: &mut [f64], times: f64, axial: &[f64], factor: f64) {
        self.scatter(values, |index, bar| {
            let n = axial[index];
            (n != 0.0).then(|| {
                let of = |plane: &Option<(Plane, Moments)>| {
                    plane.map_or([0.0; 3], |(plane, _)| plane.moments(factor * n).1.map(|m| times * n * m))
                };
                (bar.planes.each_ref().map(of), times * n)
            })
        });
    }

    fn scatter(&self, values: &mut [f64], of_bar: impl Fn(usize, &ExactBar) -> Option<([Moments; 2], f64)>) {
        for (index, bar) in self.bars.iter().enumerate() {
            let Some((moments, n)) = of_bar(index, bar) else { continue };
            let matrix = matrix(bar, moments, n);
            for (place, entry) in &self.entries[bar.start..bar.end] {
                values[*place as usize] += matrix[*entry as usize];
            }
        }
    }

    /// How many shapes buckle below these axial forces, times a factor, while all nodes stand still.
    #[must_use]
    pub fn still_shapes(&self, axial: &[f64], factor: f64) -> usize {
        let pushed = self.bars.iter().zip(axial).filter(|(bar, n)| -factor * **n > bar.still_up_to);
        let of = |bar: &ExactBar, n: f64| -> usize {
            bar.planes.iter().flatten().map(|(plane, _)| plane.still_shapes(n)).sum()
        };
        pushed.map(|(bar, n)| of(bar, factor * n)).sum()
    }

    /// The least factor on the axial forces at which a bar buckles while its nodes stand still; infinite where none is pushed.
    #[must_use]
    pub fn still_up_to(&self, axial: &[f64]) -> f64 {
        let each = self.bars.iter().zip(axial).filter(|(_, n)| **n < 0.0);
        each.map(|(bar, n)| bar.still_up_to / -n).fold(f64::INFINITY, f64::min)
    }

    /// The factor between these two at which so many shapes, and one, have buckled while all nodes stand still that had not at
    /// the lower; the middle of the two where there are not so many.
    #[must_use]
    pub fn still_shape_at(&self, axial: &[f64], [low, high]: [f64; 2], so_many: usize) -> f64 {
        let before = self.still_shapes(axial, low) + so_many;
        let (mut below, mut above) = (low, high);
        if self.still_shapes(axial, high) > before {
            while above - below > 1e-13 * above {
                let middle = 0.5 * (below + above);
                if self.still_shapes(axial, middle) > before { above = middle } else { below = middle }
            }
        }
        0.5 * (below + above)
    }

    /// The stretch of factors about this one where K(λ) is so large beside a bar that buckles while its nodes stand still that a
    /// count of its pivots may be a matter of rounding; `None` where it is not. Stretches have the same ends from wherever in
    /// them one asks.
    #[must_use]
    pub fn blind(&self, axial: &[f64], factor: f64) -> Option<[f64; 2]> {
        let cell = (factor.ln() / CELL).floor();
        let edge = |cell: f64| (cell * CELL).exp();
        let blind = |cell: f64| {
            self.still_shapes(axial, edge(cell - 1.0)) != self.still_shapes(axial, edge(cell + 2.0))
        };
        if !cell.is_finite() || !blind(cell) {
            return None;
        }
        let (mut first, mut after) = (cell, cell + 1.0);
        while blind(first - 1.0) {
            first -= 1.0;
        }
        while blind(after) {
            after += 1.0;
        }
        Some([edge(first), edge(after)])
    }

    /// xᵀ dK/dN x of every bar under its axial force \[N\], for movements of every node: ∫w′² of the shape that the bar takes
    /// between them.
    #[must_use]
    pub fn works(&self, shape: &[[f64; 6]], axial: impl Fn(usize) -> f64) -> Vec<f64> {
        self.each(shape, |index, bar, turns| bar.energy(turns, axial(index)).1)
    }

    /// What xᵀKx is more than the elastic stiffness makes it, under a factor on the axial forces, and its change with that
    /// factor.
    #[must_use]
    pub fn gained(&self, turns: &[[[f64; 3]; 2]], axial: &[f64], factor: f64) -> [f64; 2] {
        let mut sum = [0.0; 2];
        for ((bar, turns), n) in self.bars.iter().zip(turns).zip(axial) {
            if *n != 0.0 {
                let (energy, change) = bar.energy(turns, factor * n);
                sum[0] += energy - bar.energy(turns, 0.0).0;
                sum[1] += n * change;
            }
        }
        sum
    }

    /// The turns of every bar in a shape, in both of its planes: of its two nodes against the chord, and of the chord.
    #[must_use]
    pub fn turns(&self, shape: &[[f64; 6]]) -> Vec<[[f64; 3]; 2]> {
        self.each(shape, |_, _, turns| *turns)
    }

    fn each<T>(&self, shape: &[[f64; 6]], of: impl Fn(usize, &ExactBar, &[[f64; 3]; 2]) -> T) -> Vec<T> {
        let one = |(index, bar): (usize, &ExactBar)| of(index, bar, &bar.turns(shape));
        self.bars.iter().enumerate().map(one).collect()
    }
}

/// Relative width of a cell: in one where a bar buckles by itself, and in those beside it, no pivots are counted. K grows to
/// the millionfold there, and what it does to the other shapes of that bar falls to a millionth: twelve digits of sixteen.
const CELL: f64 = 1e-6;

/// Kinds of planes that are remembered while a frame is looked at.
const KNOWN: usize = 64;

impl ExactBar {
    fn turns(&self, shape: &[[f64; 6]]) -> [[f64; 3]; 2] {
        let [from, to] = self.nodes.map(|node| &shape[node]);
        let [y, z] = self.across;
        let along = |axis: &Vec3, six: &[f64; 6], first: usize| {
            axis.x * six[first] + axis.y * six[first + 1] + axis.z * six[first + 2]
        };
        // Bending about y moves along z, and its slope is the negative turn.
        [(z, y, -1.0), (y, z, 1.0)].map(|(way, about, sign)| {
            let chord = (along(&way, to, 0) - along(&way, from, 0)) / self.length;
            [sign * along(&about, from, 3) - chord, sign * along(&about, to, 3) - chord, chord]
        })
    }

    /// Twice the energy under an axial force, without that of lengthening and twisting, and its change with the force.
    fn energy(&self, turns: &[[f64; 3]; 2], n: f64) -> (f64, f64) {
        let mut sum = (0.0, 0.0);
        for (plane, [a, b, chord]) in self.planes.iter().zip(turns) {
            let of = |m: Moments| m[0] * a * a + m[1] * b * b - m[2] * (a - b) * (a - b);
            if let Some((plane, _)) = plane {
                let (now, change) = plane.moments(n);
                sum.0 += of(now);
                sum.1 += of(change);
            }
            sum.0 += n * self.length * chord * chord;
            sum.1 += self.length * chord * chord;
        }
        sum
    }
}

/// A bar's matrix in global components: bending by these moments about y and z, and a string under `n` \[N\].
fn matrix(bar: &ExactBar, moments: [Moments; 2], n: f64) -> [f64; 144] {
    let [y, z] = bar.across;
    let mut k = [0.0; 144];
    for ([sum1, sum2, other], way, about, sign) in [(moments[0], z, y, -1.0), (moments[1], y, z, 1.0)] {
        let (own1, own2) = (sum1 - other, sum2 - other);
        let (v1, v2) = (sign * sum1 / bar.length, sign * sum2 / bar.length);
        let across = (sign * (v1 + v2) + n) / bar.length;
        for i in 0..3 {
            for j in 0..3 {
                let (moves, turns, mixed) = (way[i] * way[j], about[i] * about[j], way[i] * about[j]);
                let mut add = |row: usize, column: usize, value: f64| k[12 * row + column] += value;
                add(i, j, across * moves);
                add(i + 6, j + 6, across * moves);
                add(i, j + 6, -across * moves);
                add(i + 6, j, -across * moves);
                add(i + 3, j + 3, own1 * turns);
                add(i + 9, j + 9, own2 * turns);
                add(i + 3, j + 9, other * turns);
                add(i + 9, j + 3, other * turns);
                for (column, v) in [(j + 3, v1), (j + 9, v2)] {
                    add(i, column, v * mixed);
                    add(column, i, v * mixed);
                    add(i + 6, column, -v * mixed);
                    add(column, i + 6, -v * mixed);
                }
            }
        }
    }
    k
}
