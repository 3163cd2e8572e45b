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

/// Values of the geometric stiffness of a frame, in the pattern of its assembly.
#[must_use]
pub fn assemble(frame: &Frame, assembly: &Assembly, axial: &[f64]) -> Vec<f64> {
    assembly.from_bars(frame, |index| {
        let line = &assembly.lines[index];
        (axial[index] != 0.0)
            .then(|| line.matrix_to_global(&bar(&frame.bars[index], line.length, axial[index])))
    })
}
