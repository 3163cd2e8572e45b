//! Geometric stiffness of a bar: what its axial force adds to its resistance to sideways movement.
//!
//! Consistent with the cubic shapes of the bar (Przemieniecki 1968, from memory; the published buckling
//! loads in the tests prove it), condensed through the bar's hinges and springs together with its
//! stiffness. A bar hinged at both ends comes out as a string, N/L; its own buckling between its ends is a
//! check of the member, not of the frame. Torsion under axial force is left out. Fold springs have none.

use crate::frame::assemble::Assembly;
use crate::frame::bar::{self, Matrix12, Vector12};
use crate::frame::{Bar, Frame, Response};

/// Geometric stiffness in local axes for an axial force `n` \[N\], tension positive.
#[must_use]
pub fn bar(bar: &Bar, length: f64, n: f64) -> Matrix12 {
    let mut k = Matrix12::zeros();
    let unit = n / length;
    let block = [
        [6.0 / 5.0, length / 10.0, -6.0 / 5.0, length / 10.0],
        [length / 10.0, 2.0 * length * length / 15.0, -length / 10.0, -length * length / 30.0],
        [-6.0 / 5.0, -length / 10.0, 6.0 / 5.0, -length / 10.0],
        [length / 10.0, -length * length / 30.0, -length / 10.0, 2.0 * length * length / 15.0],
    ];
    for (index, sign) in [([1, 5, 7, 11], 1.0), ([2, 4, 8, 10], -1.0)] {
        for (a, row) in block.iter().enumerate() {
            for (b, value) in row.iter().enumerate() {
                let turned = if (a % 2) == (b % 2) { 1.0 } else { sign };
                k[(index[a], index[b])] = unit * turned * value;
            }
        }
    }
    let map = bar::condensation(bar, length);
    map.tr_mul(&k) * map
}

/// Local forces of the nodes on a bar with an axial force for their local movements: [`bar`](fn@bar) times those, without the matrix.
#[must_use]
pub fn forces(bar: &Bar, length: f64, n: f64, local: &Vector12) -> Vector12 {
    let mut force = Vector12::zeros();
    let unit = n / length;
    for axis in [1, 2] {
        let (index, sign) = bar::plane(axis);
        let inside = bar::turns_inside(bar::fixities(bar, length, axis));
        let off = local[index[2]] - local[index[0]];
        let (turn1, turn2) = (sign * local[index[1]], sign * local[index[3]]);
        // Slopes of the bar's own ends, and what they and the deflection are met with.
        let [s1, s2] = inside.map(|[a, b]| a * turn1 + b * turn2 + (1.0 - a - b) / length * off);
        let moments = [
            unit * length * ((4.0 * s1 - s2) * length / 30.0 - off / 10.0),
            unit * length * ((4.0 * s2 - s1) * length / 30.0 - off / 10.0),
        ];
        let mut across = unit * (6.0 / 5.0 * off - length / 10.0 * (s1 + s2));
        for ([a, b], moment) in inside.into_iter().zip(moments) {
            force[index[1]] += sign * a * moment;
            force[index[3]] += sign * b * moment;
            across += (1.0 - a - b) / length * moment;
        }
        (force[index[0]], force[index[2]]) = (-across, across);
    }
    force
}

/// Axial force of every bar, the mean of its two ends.
#[must_use]
pub fn axial_forces(response: &Response) -> Vec<f64> {
    response.bar_ends.iter().map(|ends| 0.5 * (ends[0].n + ends[1].n)).collect()
}

/// The axial force \[N\] that a bar buckles under, from those at its two ends: the mean for a bar that is a string in both of
/// its planes, for which it is exact; for one that bends the more compressed, which errs to the careful side (`buckling.rs`).
#[must_use]
pub fn buckling_force(bar: &Bar, ends: [f64; 2]) -> f64 {
    force_of(is_string(bar), ends)
}

/// Whether a bar is a string in both of its planes, for [`force_of`].
#[must_use]
pub fn is_string(bar: &Bar) -> bool {
    [1, 2].iter().all(|axis| bar::fixities(bar, 1.0, *axis).iter().all(|r| *r <= 0.0))
}

/// [`buckling_force`] of a bar of which it is known whether it is a string \[N\].
#[must_use]
pub fn force_of(string: bool, ends: [f64; 2]) -> f64 {
    if string { 0.5 * (ends[0] + ends[1]) } else { ends[0].min(ends[1]) }
}

/// The same of every bar.
#[must_use]
pub fn buckling_forces(frame: &Frame, response: &Response) -> Vec<f64> {
    let bars = frame.bars.iter().zip(&response.bar_ends);
    bars.map(|(bar, ends)| buckling_force(bar, ends.map(|end| end.n))).collect()
}

/// Geometric stiffness of every bar for an axial force of 1 N, as entries of the assembly's pattern. It is made
/// once a frame; after that every state of axial forces costs one multiplication an entry.
#[derive(Debug, Clone)]
pub struct PerUnit {
    /// Where each bar's entries start, and where the last one's end.
    start: Vec<usize>,
    /// Place in the pattern and value.
    entries: Vec<(usize, f64)>,
}

impl PerUnit {
    /// Works out the entries of every bar.
    #[must_use]
    pub fn new(frame: &Frame, assembly: &Assembly) -> Self {
        let mut start = vec![0];
        let mut entries = Vec::new();
        for (index, element) in frame.bars.iter().enumerate() {
            let line = &assembly.lines[index];
            let matrix = line.matrix_to_global(&bar(element, line.length, 1.0));
            assembly.places(&[element.from.0, element.to.0], |place, row, column| {
                let value = matrix[(row, column)];
                if value != 0.0 {
                    entries.push((place, value));
                }
            });
            start.push(entries.len());
        }
        Self { start, entries }
    }

    /// Values of the geometric stiffness for the given axial forces \[N\], in the pattern of the assembly.
    #[must_use]
    pub fn assemble(&self, assembly: &Assembly, axial: &[f64]) -> Vec<f64> {
        let mut values = vec![0.0; assembly.entries()];
        for (index, n) in axial.iter().enumerate().filter(|(_, n)| **n != 0.0) {
            for (place, value) in &self.entries[self.start[index]..self.start[index + 1]] {
                values[*place] += n * value;
            }
        }
        values
    }

    /// xᵀKgx of every bar for an axial force of 1 N, for movements of the unknowns.
    #[must_use]
    pub fn works(&self, assembly: &Assembly, x: &[f64]) -> Vec<f64> {
        let mut pairs = Vec::with_capacity(assembly.entries());
        for column in 0..assembly.unknowns {
            let range = assembly.column_start[column] as usize..assembly.column_start[column + 1] as usize;
            for row in &assembly.row[range] {
                let row = *row as usize;
                // Of a symmetric pair one is kept.
                let times = if row == column { 1.0 } else { 2.0 };
                pairs.push(times * x[row] * x[column]);
            }
        }
        let of = |range: &[usize]| {
            self.entries[range[0]..range[1]].iter().map(|(place, value)| value * pairs[*place]).sum()
        };
        self.start.windows(2).map(of).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::frame::{BarSection, EndFix, NodeId};
    use crate::vector::Vec3;

    /// Twice the energy that an axial force has in a movement is `N ∫ w′²`: for a bar that turns as a whole by θ it is
    /// `N θ² L`, for one whose end moves aside by δ without turning `6/5 N δ²/L` (integral of the cubic's slope), for one whose end alone
    /// turns `2/15 N L θ²`; the same in both of its planes. About local y a turn is the falling slope of the deflection along z.
    #[test]
    fn both_planes_have_the_energy_of_their_slopes() {
        let section = BarSection {
            area: 2e-3,
            second_moment_y: 1e-6,
            second_moment_z: 3e-6,
            torsion: 1e-6,
            elastic: 10e9,
            shear: 0.6e9,
            mass: 1.0,
        };
        let whole = Bar {
            from: NodeId(0),
            to: NodeId(1),
            section,
            up: Vec3::new(0.0, 0.0, 1.0),
            ends: [EndFix::Rigid; 2],
        };
        let (n, length, small) = (-700.0, 1.7, 1e-3);
        let k = bar(&whole, length, n);
        for (aside, turn, sign) in [([1, 7], [5, 11], 1.0), ([2, 8], [4, 10], -1.0)] {
            let energy = |moves: &[(usize, f64)]| {
                moves
                    .iter()
                    .map(|(i, u)| moves.iter().map(|(j, v)| u * k[(*i, *j)] * v).sum::<f64>())
                    .sum::<f64>()
            };
            let as_a_whole = [(aside[1], small * length), (turn[0], sign * small), (turn[1], sign * small)];
            for (found, expected) in [
                (energy(&as_a_whole), n * small * small * length),
                (energy(&[(aside[1], small)]), 1.2 * n * small * small / length),
                (energy(&[(turn[1], small)]), 2.0 / 15.0 * n * length * small * small),
            ] {
                assert!((found / expected - 1.0).abs() < 1e-12, "{found} {expected}");
            }
        }
    }

    /// A string buckles under the mean of its two ends' forces, a bar that bends under the more compressed of them.
    #[test]
    fn a_bar_buckles_under_the_mean_or_the_worse_of_its_ends() {
        let bar = |ends| Bar {
            from: NodeId(0),
            to: NodeId(1),
            section: crate::frame::timber::TIMBER,
            up: Vec3::z(),
            ends,
        };
        for (ends, forces, wanted) in [
            ([EndFix::Hinged; 2], [-300.0, -100.0], -200.0),
            ([EndFix::Hinged, EndFix::Rigid], [-300.0, -100.0], -300.0),
            ([EndFix::Rigid; 2], [50.0, -100.0], -100.0),
        ] {
            let found = buckling_force(&bar(ends), forces);
            assert!((found - wanted).abs() < 1e-9, "{found}");
        }
    }
}
