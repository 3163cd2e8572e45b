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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::frame::bar::Vector12;
    use crate::frame::timber::TIMBER;
    use crate::frame::{EndFix, Frame, Node, NodeId};
    use crate::vector::Vec3;

    const LENGTH: f64 = 2.5;

    fn bar(ends: [EndFix; 2]) -> Bar {
        Bar { from: NodeId(0), to: NodeId(1), section: TIMBER, up: Vec3::z(), ends }
    }

    /// What the mass matrix means: uᵀ M u is the mass times the square of the movement, summed along the bar, of the shapes
    /// that the head of this file names; twisting, of the polar radius of the section.
    #[test]
    fn mass_is_that_of_the_shapes() {
        let mass = mass(&bar([EndFix::Rigid; 2]), LENGTH);
        let l = LENGTH;
        let polar = (TIMBER.second_moment_y + TIMBER.second_moment_z) / TIMBER.area;
        for seed in 0..6 {
            let u = Vector12::from_fn(|i, _| f64::sin(1.0 + (i * i + 5 * seed) as f64));
            // One way across: movement and slope at either end.
            let across = |x: f64, [v, a, w, b]: [f64; 4]| {
                let t = x / l;
                v * (1.0 - 3.0 * t * t + 2.0 * t * t * t)
                    + a * l * (t - 2.0 * t * t + t * t * t)
                    + w * (3.0 * t * t - 2.0 * t * t * t)
                    + b * l * (t * t * t - t * t)
            };
            let at = |x: f64| {
                let along = |a: usize, b: usize| u[a] * (1.0 - x / l) + u[b] * x / l;
                let y = across(x, [u[1], u[5], u[7], u[11]]);
                let z = across(x, [u[2], -u[4], u[8], -u[10]]);
                along(0, 6).powi(2) + polar * along(3, 9).powi(2) + y * y + z * z
            };
            // Simpson's rule.
            let pieces = 400;
            let sum: f64 = (0..=pieces)
                .map(|i| {
                    let weight = if i == 0 || i == pieces { 1.0 } else { 2.0 + 2.0 * f64::from(i % 2) };
                    weight * at(l * f64::from(i) / f64::from(pieces))
                })
                .sum();
            let want = TIMBER.mass * sum * l / (3.0 * f64::from(pieces));
            let got = u.dot(&(mass * u));
            assert!((got - want).abs() < 1e-8 * want, "{got} {want}");
        }
        assert!((mass - mass.transpose()).amax() < 1e-12 * mass.amax());
    }

    /// Hinged at both ends it moves as a rod: as its ends do, straight between them.
    #[test]
    fn a_rod_moves_as_its_ends_do() {
        let mass = mass(&bar([EndFix::Hinged; 2]), LENGTH);
        let whole = TIMBER.mass * LENGTH;
        for axis in 0..3 {
            for (a, b, want) in [(axis, axis, 3.0), (axis, axis + 6, 6.0), (axis + 6, axis + 6, 3.0)] {
                assert!((mass[(a, b)] - whole / want).abs() < 1e-12 * whole, "{a} {b}");
            }
        }
        assert!((3..6).chain(9..12).all(|i| mass.row(i).iter().all(|m| m.abs() <= 0.0)));
        // One end passes no twist: the whole turns with the other one.
        let polar = whole * (TIMBER.second_moment_y + TIMBER.second_moment_z) / TIMBER.area;
        let loose = EndFix::Springs([0.0, f64::INFINITY, f64::INFINITY]);
        for (ends, turns, not) in [([EndFix::Rigid, loose], 3, 9), ([loose, EndFix::Rigid], 9, 3)] {
            let mass = super::mass(&bar(ends), LENGTH);
            assert!((mass[(turns, turns)] - polar).abs() < 1e-12 * polar);
            assert!(mass.row(not).iter().all(|m| m.abs() <= 0.0));
        }
    }

    fn cantilever(mass: f64) -> Solver {
        let node = |x: f64| Node { at: Vec3::new(x, 0.0, 0.0), held: [x <= 0.0; 6], ground: [0.0; 6] };
        let mut bar = bar([EndFix::Rigid; 2]);
        bar.section.mass = mass;
        Solver::new(&Frame { nodes: vec![node(0.0), node(LENGTH)], bars: vec![bar], ..Frame::default() })
            .unwrap()
    }

    /// A lump on the end of a bar without mass: ω² = 3 EI/(M L³) either way across and EA/(M L) along.
    #[test]
    fn a_lump_swings_on_the_stiffness_of_its_post() {
        let lump = 70.0;
        let mut want = [
            3.0 * TIMBER.elastic * TIMBER.second_moment_z / LENGTH.powi(3),
            3.0 * TIMBER.elastic * TIMBER.second_moment_y / LENGTH.powi(3),
            TIMBER.elastic * TIMBER.area / LENGTH,
        ]
        .map(|k| (k / lump).sqrt() / TAU);
        want.sort_by(f64::total_cmp);
        let modes = cantilever(0.0).modes(&[0.0, lump], 3).unwrap();
        assert_eq!(modes.frequencies_hz.len(), 3);
        for (got, want) in modes.frequencies_hz.iter().zip(want) {
            assert!((got - want).abs() < 1e-9 * want, "{got} {want}");
        }
        // Along and in twisting, one bar of its own mass: ω² = 3 EA/(m L²) and 3 GJ A/(m (I_y + I_z) L²).
        let own = cantilever(TIMBER.mass);
        let six = own.modes(&[], 6).unwrap().frequencies_hz;
        let along = 3.0 * TIMBER.elastic * TIMBER.area;
        let polar = (TIMBER.second_moment_y + TIMBER.second_moment_z) / TIMBER.area;
        for want in [along, 3.0 * TIMBER.shear * TIMBER.torsion / polar] {
            let want = (want / TIMBER.mass).sqrt() / LENGTH / TAU;
            assert!(six.iter().any(|got| (got - want).abs() < 1e-9 * want), "{want} {six:?}");
        }
        // No lumps and lumps of nothing are the same.
        let none = own.modes(&[0.0, 0.0], 6).unwrap().frequencies_hz;
        assert!(six.iter().zip(&none).all(|(a, b)| (a - b).abs() <= 1e-12 * a));
    }

    #[test]
    fn masses_that_are_none_are_refused() {
        let solver = cantilever(2.0);
        for (lumps, at) in [
            (vec![0.0, -1.0], 1),
            (vec![f64::NAN, 0.0], 0),
            (vec![0.0, f64::INFINITY], 1),
            (vec![1.0], 1),
            (vec![1.0; 3], 3),
        ] {
            let fault = solver.modes(&lumps, 1).unwrap_err();
            assert!(matches!(fault, FrameError::BadNumber { what: "node", index, .. } if index == at));
        }
    }
}
