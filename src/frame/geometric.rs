//! Geometric stiffness of a bar: what its axial force adds to its resistance to sideways movement.
//!
//! Consistent with the cubic shapes of the bar (Przemieniecki 1968, from memory; the published buckling
//! loads in the tests prove it), condensed through the bar's hinges and springs together with its
//! stiffness. A bar hinged at both ends comes out as a string, N/L; its own buckling between its ends is a
//! check of the member, not of the frame. Torsion under axial force is left out. Fold springs have none.

use crate::frame::assemble::Assembly;
use crate::frame::bar::{self, Matrix12};
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

/// Axial force of every bar, the mean of its two ends.
#[must_use]
pub fn axial_forces(response: &Response) -> Vec<f64> {
    response.bar_ends.iter().map(|ends| 0.5 * (ends[0].n + ends[1].n)).collect()
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
}
