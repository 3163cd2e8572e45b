//! Stiffness of a whole frame under axial forces, every bar by its stability functions (`beam_column.rs`) instead of one cubic
//! shape: right however much the bars bow between their nodes.
//!
//! A bar hinged at both ends in a plane is a string there, N/L, as in `geometric.rs`; torsion under axial force is left out
//! here too. Twice the energy of a bar in one plane is s₁a² + s₂b² − m₁₂(a − b)² + N·L·ψ², a and b the turns of its nodes against
//! the chord, ψ the turn of the chord, and s₁, s₂, m₁₂ its [`Moments`].

use crate::frame::Frame;
use crate::frame::assemble::Assembly;
use crate::frame::beam_column::{Moments, Plane};
use crate::frame::sums::largest;
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
    let largest = largest(axial);
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

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use super::*;
    use crate::frame::linear::Solver;
    use crate::frame::timber::TIMBER;
    use crate::frame::{Bar, BarSection, EndFix, Node, NodeId};

    /// What is rounding is so against the largest force, whatever its size and sign.
    #[test]
    fn forces_that_are_rounding_tell_nothing() {
        for size in [1e-9, 1.0, 1e9] {
            let found = telling(&[-size, 1e-13 * size, -1e-11 * size, 0.0, 0.3 * size]);
            assert_eq!(found, [-size, 0.0, -1e-11 * size, 0.0, 0.3 * size]);
        }
    }

    /// Bars askew, one of them with every kind of ends, between nodes that are free.
    fn askew(ends: [EndFix; 2]) -> Frame {
        let section = BarSection { second_moment_y: 3.0 * TIMBER.second_moment_z, ..TIMBER };
        let places = [[0.0, 0.0, 0.0], [1.9, 0.4, -0.7], [2.3, 2.2, 0.8], [0.3, 1.7, 1.9]];
        let node = |at: [f64; 3]| Node { at: Vec3::from(at), held: [at[0] <= 0.0; 6], ground: [0.0; 6] };
        let bar = |(from, to, ends)| Bar {
            from: NodeId(from),
            to: NodeId(to),
            section,
            up: Vec3::new(0.2, -0.1, 1.0),
            ends,
        };
        let rigid = [EndFix::Rigid; 2];
        let bars = [(0, 1, rigid), (1, 2, ends), (2, 3, rigid), (3, 0, rigid), (3, 1, rigid)];
        Frame { nodes: places.map(node).to_vec(), bars: bars.map(bar).to_vec(), ..Frame::default() }
    }

    /// The energy of a shape is the same whether bars are asked one by one or the frame's matrix is, and so is its change with the
    /// factor, which is also what a small change of the factor makes of it.
    #[test]
    fn the_matrix_has_the_energy_of_its_bars() {
        let spring = |k: f64| EndFix::Springs([k, 2.0 * k, 3.0 * k]);
        for ends in [
            [EndFix::Rigid; 2],
            [EndFix::Hinged, EndFix::Rigid],
            [spring(3e4), spring(9e3)],
            [EndFix::Hinged; 2],
        ] {
            let frame = askew(ends);
            let solver = Solver::new(&frame).unwrap();
            let (assembly, exact) = (solver.assembly(), solver.exact().unwrap());
            let moved_of = |node: usize| {
                [0, 1, 2, 3, 4, 5].map(|i| if node == 0 { 0.0 } else { (1.7 * (node * 6 + i) as f64).sin() })
            };
            let shape: Vec<[f64; 6]> = (0..4).map(moved_of).collect();
            let x = assembly.gather(&shape);
            let energy = |values: &[f64]| {
                let mut product = vec![0.0; x.len()];
                assembly.multiply(values, &x, &mut product);
                x.iter().zip(&product).map(|(x, k)| x * k).sum::<f64>()
            };
            let axial = [-2e4, -3e4, 1.5e4, 0.0, -700.0];
            let turns = exact.turns(&shape);
            for factor in [0.3, 2.0] {
                let [gained, change] = exact.gained(&turns, &axial, factor);
                let mut values = solver.stiffness().to_vec();
                let elastic = energy(&values);
                exact.add(&mut values, |bar| factor * axial[bar]);
                let found = energy(&values) - elastic;
                assert!((found - gained).abs() < 1e-9 * elastic, "{found} {gained}");
                let mut values = vec![0.0; assembly.entries()];
                exact.add_change(&mut values, 2.0, &axial, factor);
                let scale = change.abs();
                assert!(
                    (energy(&values) - 2.0 * change).abs() < 1e-9 * scale,
                    "{} {change}",
                    energy(&values)
                );
                let works = exact.works(&shape, |bar| factor * axial[bar]);
                let sum: f64 = works.iter().zip(axial).map(|(work, n)| work * n).sum();
                assert!((sum - change).abs() < 1e-9 * scale, "{sum} {change}");
                let step = 1e-4;
                let [more, less] = [step, -step].map(|off| exact.gained(&turns, &axial, factor + off)[0]);
                assert!(((more - less) / (2.0 * step) - change).abs() < 1e-6 * scale, "{change}");
                // A string has the energy of its chord alone.
                if ends == [EndFix::Hinged; 2] {
                    let [node, other] = [1, 2].map(|node| frame.nodes[node].at);
                    let way = other - node;
                    let moved = [0, 1, 2].map(|i| shape[2][i] - shape[1][i]);
                    let across = way.normalize().cross(&Vec3::from(moved)).norm();
                    assert!((works[1] - across * across / way.norm()).abs() < 1e-12, "{}", works[1]);
                }
            }
        }
    }

    /// Two bars that are clamped at both ends buckle by themselves at 4π²EI/L² over their forces.
    fn clamped(forces: [f64; 2]) -> (Frame, [f64; 2]) {
        let node = |x: f64| Node { at: Vec3::new(x, 0.0, 0.0), held: [true; 6], ground: [0.0; 6] };
        let bar = |from| Bar {
            from: NodeId(from),
            to: NodeId(from + 1),
            section: BarSection { second_moment_y: 50.0 * TIMBER.second_moment_z, ..TIMBER },
            up: Vec3::z(),
            ends: [EndFix::Rigid; 2],
        };
        let frame = Frame {
            nodes: [0.0, 2.0, 4.0].map(node).to_vec(),
            bars: vec![bar(0), bar(1)],
            ..Frame::default()
        };
        let euler = PI * PI * TIMBER.elastic * TIMBER.second_moment_z;
        (frame, forces.map(|n| euler / -n))
    }

    /// Where bars buckle by themselves is found one by one between two factors, and not where there are not so many.
    #[test]
    fn shapes_of_bars_alone_are_found_one_by_one() {
        let axial = [-3e4, -2e4];
        let (frame, wanted) = clamped(axial);
        let solver = Solver::new(&frame).unwrap();
        let exact = solver.exact().unwrap();
        let [first, second] = wanted;
        assert!((exact.still_up_to(&axial) / first - 1.0).abs() < 1e-12);
        for (from, so_many, to) in [(0.0, 0, first), (0.0, 1, second), (1.1 * first, 0, second)] {
            let found = exact.still_shape_at(&axial, [from, 1.2 * second], so_many);
            assert!((found / to - 1.0).abs() < 1e-12, "{found} {to}");
        }
        for (low, high, so_many) in
            [(0.0, 0.9 * first, 0), (0.0, 1.2 * second, 2), (1.1 * first, 1.2 * first, 0)]
        {
            let found = exact.still_shape_at(&axial, [low, high], so_many);
            assert!((found - 0.5 * (low + high)).abs() < 1e-12 * high);
        }
    }

    /// About the factor at which a bar buckles by itself lie its own cell and one on either side; two that are three cells apart
    /// have one stretch. It is the same from anywhere within.
    #[test]
    fn blind_stretches_reach_a_cell_to_either_side() {
        for cells in [0.0, 3.0] {
            let axial = [-2e4, -2e4 * (cells * CELL).exp()];
            let (frame, [last, first]) = clamped(axial);
            let solver = Solver::new(&frame).unwrap();
            let exact = solver.exact().unwrap();
            let [below, above] = exact.blind(&axial, first).unwrap();
            let width = (above / below).ln() / CELL;
            assert!((width - 3.0 - cells).abs() < 1e-6, "{width}");
            for off in [(first / below).ln(), (above / last).ln()] {
                assert!(off > CELL * 0.999 && off < CELL * 2.001, "{off}");
            }
            for share in [0.001, 0.3, 0.5, 0.7, 0.999] {
                let found = exact.blind(&axial, below + share * (above - below)).unwrap();
                assert_eq!(found.map(f64::to_bits), [below, above].map(f64::to_bits));
            }
            for outside in [below * (1.0 - 1e-8), above * (1.0 + 1e-8), 0.5 * below, 0.0] {
                assert!(exact.blind(&axial, outside).is_none(), "{outside}");
            }
        }
    }
}
