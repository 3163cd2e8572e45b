//! Natural frequencies and shapes, with the mass matrix consistent with the bars' shapes.
//!
//! Cubic shapes across the bar, linear along it (any vibration text); twisting carries the polar inertia
//! of the bar's section. Hinges and end springs are condensed as in the stiffness. The mass is that of the
//! bars, and of lumps on nodes.

use std::f64::consts::TAU;

use crate::frame::Bar;
use crate::frame::bar::{self, Matrix12};
use crate::frame::buckling::shapes;
use crate::frame::eigen::Pencil;
use crate::frame::error::FrameError;
use crate::frame::linear::Solver;

/// The lowest natural frequencies.
#[derive(Debug, Clone, PartialEq)]
pub struct Modes {
    /// \[Hz\], ascending, repeated ones repeated.
    pub frequencies_hz: Vec<f64>,
    /// Shape of each, the largest translation 1.
    pub shapes: Vec<Vec<[f64; 6]>>,
    /// |Kφ − ω²Mφ| / |Kφ| of each.
    pub residuals: Vec<f64>,
}

/// Consistent mass matrix of a bar in local axes \[kg, kg·m, kg·m²\].
#[must_use]
pub fn mass(bar: &Bar, length: f64) -> Matrix12 {
    let mut m = Matrix12::zeros();
    let whole = bar.section.mass * length;
    let polar = whole * (bar.section.second_moment_y + bar.section.second_moment_z) / bar.section.area;
    for (a, b, value) in [(0, 6, whole), (3, 9, polar)] {
        m[(a, a)] = value / 3.0;
        m[(b, b)] = value / 3.0;
        m[(a, b)] = value / 6.0;
        m[(b, a)] = value / 6.0;
    }
    let l = length;
    let block = [
        [156.0, 22.0 * l, 54.0, -13.0 * l],
        [22.0 * l, 4.0 * l * l, 13.0 * l, -3.0 * l * l],
        [54.0, 13.0 * l, 156.0, -22.0 * l],
        [-13.0 * l, -3.0 * l * l, -22.0 * l, 4.0 * l * l],
    ];
    for (index, sign) in [([1, 5, 7, 11], 1.0), ([2, 4, 8, 10], -1.0)] {
        for (a, row) in block.iter().enumerate() {
            for (b, value) in row.iter().enumerate() {
                let turned = if (a % 2) == (b % 2) { 1.0 } else { sign };
                m[(index[a], index[b])] = whole / 420.0 * turned * value;
            }
        }
    }
    let map = bar::condensation(bar, length);
    map.tr_mul(&m) * map
}

impl Solver {
    /// The lowest `count` natural frequencies. `lumps`: a mass \[kg\] on every node, or empty for none.
    ///
    /// # Errors
    /// [`FrameError::Mechanism`], [`FrameError::NotConverged`], [`FrameError::BadNumber`] where `lumps` has
    /// neither no entry nor one a node, or a negative one.
    pub fn modes(&self, lumps: &[f64], count: usize) -> Result<Modes, FrameError> {
        let none = Modes { frequencies_hz: Vec::new(), shapes: Vec::new(), residuals: Vec::new() };
        if let Some(index) = lumps.iter().position(|m| !m.is_finite() || *m < 0.0) {
            return Err(FrameError::BadNumber {
                what: "node",
                index,
                quantity: "mass",
                value: lumps[index],
                must: "finite and not negative",
            });
        }
        if !lumps.is_empty() && lumps.len() != self.frame().nodes.len() {
            return Err(FrameError::BadNumber {
                what: "node",
                index: lumps.len(),
                quantity: "the number of masses",
                value: lumps.len() as f64,
                must: "one a node",
            });
        }
        let Some((symbolic, factor)) = self.factor()? else { return Ok(none) };
        let (frame, assembly) = (self.frame(), self.assembly());
        let mut m = assembly.from_bars(frame, |index| {
            let (bar, line) = (&frame.bars[index], &assembly.lines[index]);
            (bar.section.mass > 0.0).then(|| line.matrix_to_global(&mass(bar, line.length)))
        });
        for (node, lump) in lumps.iter().enumerate() {
            assembly.add(&mut m, &[node], |i, j| if i == j && i < 3 { *lump } else { 0.0 });
        }
        let found = Pencil { assembly, symbolic, factor, k: self.stiffness(), b: &m }.lowest(count)?;
        let shapes = shapes(self, &found);
        Ok(Modes {
            frequencies_hz: found.values.iter().map(|square| square.sqrt() / TAU).collect(),
            shapes,
            residuals: found.residuals,
        })
    }
}
