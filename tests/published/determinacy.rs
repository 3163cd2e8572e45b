//! Mechanisms and states of self-stress of pin-jointed assemblies.
//!
//! Counts: C. R. Calladine, Int. J. Solids Struct. 14 (1978) 161–172; S. Pellegrino & C. R. Calladine, same
//! journal 22 (1986) 409–428, from memory; the figures are derived by the rank of the equilibrium matrix.
//! m counts motions without the rigid ones (3 in the plane, 6 in space).

use strutwise::frame::linear::Solver;
use strutwise::frame::{EndFix, Frame};

use crate::frames::{FREE, IN_XY, PINNED, frame, node, section};

fn counts(f: &Frame, rigid: usize) -> (usize, usize) {
    let count = Solver::new(f).unwrap().count().unwrap();
    assert!(count.largest_zero < 1e-12, "{}", count.largest_zero);
    assert!(count.smallest_strain > 1e-5, "{}", count.smallest_strain);
    assert_eq!(count.kinematic_surplus, count.mechanisms.len() as i64 - count.self_stresses as i64);
    (count.mechanisms.len() - rigid, count.self_stresses)
}

fn truss(places: &[[f64; 3]], held: &[[bool; 6]], bars: &[(usize, usize)]) -> Frame {
    let nodes = places.iter().zip(held).map(|(p, h)| node(p[0], p[1], p[2], *h)).collect();
    let s = section(1e10, 1e-3, 0.0);
    frame(nodes, &bars.iter().map(|(a, b)| (*a, *b, s)).collect::<Vec<_>>(), EndFix::Hinged)
}

#[test]
fn plane_assemblies() {
    let square = [[0., 0., 0.], [1., 0., 0.], [1., 1., 0.], [0., 1., 0.]];
    let mut bars = vec![(0, 1), (1, 2), (2, 3), (3, 0)];
    for wanted in [(1, 0), (0, 0), (0, 1)] {
        assert_eq!(counts(&truss(&square, &[IN_XY; 4], &bars), 3), wanted);
        bars.push(if bars.len() == 4 { (0, 2) } else { (1, 3) });
    }
    let line = [[0., 0., 0.], [1., 0., 0.], [2., 0., 0.]];
    assert_eq!(counts(&truss(&line, &[PINNED, IN_XY, PINNED], &[(0, 1), (1, 2)]), 0), (1, 1));
}

#[test]
fn solids() {
    let tetrahedron = [[1., 1., 1.], [1., -1., -1.], [-1., 1., -1.], [-1., -1., 1.]];
    let all = [(0, 1), (0, 2), (0, 3), (1, 2), (1, 3), (2, 3)];
    assert_eq!(counts(&truss(&tetrahedron, &[FREE; 4], &all), 6), (0, 0));

    let octahedron = [[1., 0., 0.], [-1., 0., 0.], [0., 1., 0.], [0., -1., 0.], [0., 0., 1.], [0., 0., -1.]];
    let mut bars = Vec::new();
    for a in 0..6 {
        for b in a + 1..6 {
            if a / 2 != b / 2 {
                bars.push((a, b));
            }
        }
    }
    assert_eq!(counts(&truss(&octahedron, &[FREE; 6], &bars), 6), (0, 0));
    assert_eq!(counts(&truss(&octahedron, &[FREE; 6], &bars[1..]), 6), (1, 0));
    bars.push((0, 1));
    assert_eq!(counts(&truss(&octahedron, &[FREE; 6], &bars), 6), (0, 1));

    let cube: Vec<[f64; 3]> =
        (0..8).map(|i| [f64::from(i & 1), f64::from(i >> 1 & 1), f64::from(i >> 2)]).collect();
    let mut bars = Vec::new();
    for a in 0..8_usize {
        for bit in [1, 2, 4] {
            if a & bit == 0 {
                bars.push((a, a | bit));
            }
        }
    }
    assert_eq!(counts(&truss(&cube, &[FREE; 8], &bars), 6), (6, 0));
}

#[test]
fn whole_spheres_and_hemispheres() {
    use crate::frames::geodesic;
    for frequency in 1..=4 {
        let (places, bars) = geodesic(frequency, false);
        assert_eq!((places.len(), bars.len()), (10 * frequency * frequency + 2, 30 * frequency * frequency));
        // The sphere of every frequency is convex and triangulated, so rigid (Cauchy, Dehn).
        assert_eq!(counts(&truss(&places, &vec![FREE; places.len()], &bars), 6), (0, 0));
    }
    for (frequency, joints, struts, feet, stresses, free) in
        [(2, 26, 65, 10, 17, 7), (4, 91, 250, 20, 37, 17)]
    {
        let (places, bars) = geodesic(frequency, true);
        assert_eq!((places.len(), bars.len()), (joints, struts));
        let held: Vec<_> = places.iter().map(|p| if p[2].abs() < 1e-9 { PINNED } else { FREE }).collect();
        assert_eq!(held.iter().filter(|h| **h == PINNED).count(), feet);
        assert_eq!(counts(&truss(&places, &held, &bars), 0), (0, stresses));
        assert_eq!(counts(&truss(&places, &vec![FREE; joints], &bars), 6), (free, 0));
    }
}
