//! Whole geodesic spheres with rigid joints, loads aimed at the centre, beside the equivalent shell.
//!
//! p = 2√6 E A r/(l R²), r = √(I/A), from smearing three families of bars (derived; the equivalents agree with
//! D. T. Wright, J. Struct. Div. ASCE 91 (1965), from memory) on the classical sphere, p = 4√(D E t)/R² (Zoelly
//! 1915; Timoshenko & Gere). The ratios `p_frame/p_classical` are derived: at frequency 8 1.065, 1.137 and 1.204 at
//! r/R = 0.02, 0.03 and 0.04, at frequency 12 1.124 at 0.02, tolerance 1 %. The derivation does not say how it shared the pressure out among the
//! joints, and that counts for several per cent: by the triangles' areas this frame gives 0.6, 1.7 and 1.5 % more, and
//! 0.8 % at frequency 12; by equal shares 3.4, 0.7, 0.1 and 2.9 % less. So every row must lie between the two ways and
//! within 1 % of the nearer one. Either way of all four rows was worked out again with `SciPy` from matrices assembled on their own (the elements of
//! `tests/outside/check_frame.py`, to four decimals): those figures are held to 2e-4. The exact bars
//! give up to 0.25 % less. The sphere is also the test of repeated factors: an icosahedral frame cannot have a list of single
//! ones.

use strutwise::frame::linear::Solver;
use strutwise::frame::{BarSection, EndFix, Frame, geometric};
use strutwise::vector::Vec3;

use crate::frames::{FIXED, FREE, bar, close, geodesic, node, on_nodes, solve};

/// How the pressure is shared among the joints.
#[derive(Clone, Copy)]
enum Shares {
    /// By a third of the area of every triangle that meets there.
    Areas,
    /// The same for all.
    Equal,
}

/// Factors over the classical pressure; with the cubic shapes alone, or by exact bars.
fn ratios(frequency: usize, r_over_radius: f64, count: usize, shares: Shares, cubic: bool) -> Vec<f64> {
    let (places, pairs) = geodesic(frequency, false);
    let area = 1.0;
    let second = area * r_over_radius * r_over_radius;
    let s = BarSection {
        area,
        second_moment_y: second,
        second_moment_z: second,
        torsion: 0.0,
        elastic: 1.0,
        shear: 1.0,
        mass: 0.0,
    };
    let string = BarSection { area: 1e-9, second_moment_y: 0.0, second_moment_z: 0.0, ..s };
    let mut nodes: Vec<_> = places.iter().map(|p| node(p[0], p[1], p[2], FREE)).collect();
    let centre = nodes.len();
    nodes.push(node(0., 0., 0., FIXED));
    let mut bars: Vec<_> = pairs
        .iter()
        .map(|(a, b)| {
            let mut one = bar(&nodes, *a, *b, s, EndFix::Rigid);
            one.up = nodes[*a].at + nodes[*b].at;
            one
        })
        .collect();
    bars.extend((0..centre).map(|i| bar(&nodes, centre, i, string, EndFix::Hinged)));
    // Weak springs to the ground stop rigid motion without holding any shape.
    for node in &mut nodes[..centre] {
        node.ground[..3].fill(1e-7);
    }
    let f = Frame { nodes, bars, ..Frame::default() };
    // Unit pressure on the sphere's own surface, aimed at the centre: shared out by thirds of the triangles.
    let mut share = vec![0.0; centre];
    let joined = |a: usize, b: usize| pairs.binary_search(&(a.min(b), a.max(b))).is_ok();
    for (a, b) in &pairs {
        for c in b + 1..centre {
            if joined(*a, c) && joined(*b, c) {
                let [p, q, r] = [*a, *b, c].map(|i| f.nodes[i].at);
                for corner in [*a, *b, c] {
                    share[corner] += (q - p).cross(&(r - p)).norm() / 6.0;
                }
            }
        }
    }
    if matches!(shares, Shares::Equal) {
        share.fill(1.0);
    }
    let whole: f64 = share.iter().sum();
    share.iter_mut().for_each(|s| *s *= 4.0 * std::f64::consts::PI / whole);
    let loads: Vec<_> = (0..centre)
        .map(|i| {
            let at = f.nodes[i].at * -share[i];
            (i, [at.x, at.y, at.z, 0., 0., 0.])
        })
        .collect();
    let r = solve(&f, &on_nodes(&loads));
    let mut axial = geometric::axial_forces(&r);
    axial[pairs.len()..].copy_from_slice(&share);
    let solver = Solver::new(&f).unwrap();
    let found = if cubic {
        solver.buckling_of_nodes(&axial, count + 3).unwrap()
    } else {
        solver.buckling_under(&axial, count + 3).unwrap()
    };
    // The sphere turning as a whole is all but neutral under loads aimed at its centre, but for
    // the weak springs: where it comes among the lowest it is no buckling, and is told by its shape.
    let turns = |shape: &Vec<[f64; 6]>| {
        let turn = (0..centre)
            .map(|i| {
                f.nodes[i].at.cross(&Vec3::new(shape[i][0], shape[i][1], shape[i][2])) * 1.5 / centre as f64
            })
            .sum::<Vec3>();
        (0..centre).all(|i| {
            (turn.cross(&f.nodes[i].at) - Vec3::new(shape[i][0], shape[i][1], shape[i][2])).norm() < 0.02
        })
    };
    let real: Vec<f64> =
        found.factors.iter().zip(&found.shapes).filter(|(_, s)| !turns(s)).map(|(p, _)| *p).collect();
    let mean =
        pairs.iter().map(|(a, b)| (f.nodes[*a].at - f.nodes[*b].at).norm()).sum::<f64>() / pairs.len() as f64;
    let classical = 2.0 * 6.0_f64.sqrt() * area * r_over_radius / mean;
    real.iter().map(|p| p / classical).collect()
}

/// A row of the table: what was derived, and what `SciPy` finds by areas and by equal shares.
fn row(frequency: usize, r_over_radius: f64, derived: f64, by_areas: f64, by_equal_shares: f64) {
    let upper = ratios(frequency, r_over_radius, 3, Shares::Areas, true);
    let lower = ratios(frequency, r_over_radius, 1, Shares::Equal, true);
    close("by areas, beside SciPy", upper[0], by_areas, 2e-4);
    close("by equal shares, beside SciPy", lower[0], by_equal_shares, 2e-4);
    assert!(lower[0] <= derived && derived <= upper[0], "{} {derived} {}", lower[0], upper[0]);
    let nearer = if upper[0] - derived < derived - lower[0] { upper[0] } else { lower[0] };
    close("over the classical pressure", nearer, derived, 1e-2);
    let exact = ratios(frequency, r_over_radius, 3, Shares::Areas, false);
    assert!(exact[0] < upper[0] && exact[0] > 0.997 * upper[0], "{} {}", exact[0], upper[0]);
    // Most shapes of an icosahedral frame come in families of three, four or five.
    assert!(exact.windows(2).any(|pair| (pair[1] / pair[0] - 1.0).abs() < 1e-7), "{exact:?}");
    assert!(upper.windows(2).any(|pair| (pair[1] / pair[0] - 1.0).abs() < 1e-7), "{upper:?}");
}

#[test]
fn frequency_8_slender() {
    row(8, 0.02, 1.065, 1.0711, 1.0290);
}

#[test]
fn frequency_8_middling() {
    row(8, 0.03, 1.137, 1.1562, 1.1288);
}

#[test]
fn frequency_8_stout() {
    row(8, 0.04, 1.204, 1.2221, 1.2034);
}

#[test]
fn frequency_12_slender() {
    row(12, 0.02, 1.124, 1.1333, 1.0914);
}
