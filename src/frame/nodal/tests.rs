use faer::Mat;

use crate::frame::assemble::Assembly;
use crate::frame::factor::{NoFactor, Part, Symbolic};
use crate::frame::{Bar, BarSection, EndFix, Frame, Node, NodeId};
use crate::vector::{Vec3, default_up};

/// A jittered, triangulated cap of `side`² joints, its rim held as `held` says.
fn cap(side: usize, end: EndFix, held: [bool; 6]) -> Frame {
    let random = crate::frame::random::block(3, side * side, 7);
    let at = |i: usize, j: usize| {
        let (x, y) = (i as f64 / (side - 1) as f64 - 0.5, j as f64 / (side - 1) as f64 - 0.5);
        let shift = random.col_as_slice(i * side + j);
        Vec3::new(8.0 * x, 8.0 * y, 2.0 - 8.0 * (x * x + y * y))
            + Vec3::new(shift[0], shift[1], shift[2]) * 0.1
    };
    let rim = |i: usize, j: usize| i == 0 || j == 0 || i == side - 1 || j == side - 1;
    let mut frame = Frame::default();
    for i in 0..side {
        for j in 0..side {
            let held = if rim(i, j) { held } else { [false; 6] };
            frame.nodes.push(Node { at: at(i, j), held, ground: [0.0; 6] });
        }
    }
    let section = BarSection {
        area: 4.6e-3,
        second_moment_y: 3.6e-6,
        second_moment_z: 0.9e-6,
        torsion: 2.4e-6,
        elastic: 11e9,
        shear: 0.69e9,
        mass: 2.0,
    };
    let index = |i: usize, j: usize| i * side + j;
    for i in 0..side {
        for j in 0..side {
            for (di, dj) in [(1, 0), (0, 1), (1, 1)] {
                if i + di < side && j + dj < side {
                    let (from, to) = (index(i, j), index(i + di, j + dj));
                    let up = default_up(&frame.nodes[from].at, &frame.nodes[to].at);
                    let ends = [end; 2];
                    frame.bars.push(Bar { from: NodeId(from), to: NodeId(to), section, up, ends });
                }
            }
        }
    }
    frame
}

fn frames() -> Vec<Frame> {
    let clamped = [true; 6];
    let pinned = [true, true, true, false, false, false];
    let roller = [false, true, true, false, true, false];
    // Rows of nodes with three, four and six unknowns.
    let mut sliding = cap(6, EndFix::Rigid, roller);
    sliding.nodes[0].held = clamped;
    let mut one = cap(2, EndFix::Rigid, clamped);
    one.nodes[0].held = [false, false, true, false, false, true];
    vec![
        cap(5, EndFix::Rigid, clamped),
        cap(9, EndFix::Rigid, pinned),
        sliding,
        cap(8, EndFix::Hinged, pinned),
        cap(13, EndFix::Rigid, clamped),
        one,
    ]
}

fn largest(a: &Mat<f64>) -> f64 {
    a.col_iter().flat_map(|c| c.iter()).fold(0.0, |m: f64, v| m.max(v.abs()))
}

/// Whole and half solves of any number of right-hand sides are those of the supernodal factor.
#[test]
fn answers_are_those_of_the_supernodal_factor() {
    for frame in frames() {
        let assembly = Assembly::new(&frame).unwrap();
        let values = assembly.stiffness(&frame);
        let n = assembly.unknowns;
        let ours = Symbolic::by_nodes(&assembly);
        let theirs = Symbolic::by_supernodes(&assembly).unwrap();
        let one = ours.cholesky(&assembly, &values).unwrap();
        let other = theirs.cholesky(&assembly, &values).unwrap();
        for columns in [0, 1, 2, 3, 6, 8, 9, 11, 24] {
            let right = crate::frame::random::block(n, columns, 11);
            for part in [Part::Whole, Part::Lower, Part::Upper] {
                let (mut a, mut b) = (right.clone(), right.clone());
                match part {
                    Part::Whole => {
                        one.solve(a.as_mut());
                        other.solve(b.as_mut());
                        // Digits that the condition of the matrix takes come back with one step of refinement, as in the
                        // solver.
                        for (factor, x) in [(&one, &mut a), (&other, &mut b)] {
                            let mut product = Mat::zeros(n, columns);
                            assembly.multiply_block(&values, x, &mut product);
                            let mut left = &right - &product;
                            factor.solve(left.as_mut());
                            *x += left;
                        }
                    }
                    Part::Lower => {
                        one.solve_lower(a.as_mut());
                        other.solve_lower(b.as_mut());
                    }
                    Part::Upper => {
                        one.solve_upper(a.as_mut());
                        other.solve_upper(b.as_mut());
                    }
                }
                let off = largest(&(&a - &b)) / largest(&b).max(f64::MIN_POSITIVE);
                assert!(off < 1e-12, "{n} {columns} {part:?}: {off}");
            }
        }
    }
}

/// Negative pivots are negative eigenvalues, and an indefinite factor solves.
#[test]
fn negative_pivots_count_negative_eigenvalues() {
    for frame in frames() {
        let assembly = Assembly::new(&frame).unwrap();
        let values = assembly.stiffness(&frame);
        let n = assembly.unknowns;
        let symbolic = Symbolic::by_nodes(&assembly);
        let eigenvalues = assembly.dense(&values).self_adjoint_eigenvalues(faer::Side::Lower).unwrap();
        assert_eq!(symbolic.negative_count(&assembly, &values), Some(0));
        for part in [0.1, 0.5, 0.9] {
            let k = ((part * n as f64) as usize).min(n - 2);
            // Between two eigenvalues, where they are apart.
            let shift = 0.5 * (eigenvalues[k] + eigenvalues[k + 1]);
            let mut shifted = values.clone();
            for column in 0..n {
                shifted[assembly.column_start[column] as usize] -= shift;
            }
            let below = eigenvalues.iter().filter(|v| **v < shift).count();
            assert_eq!(symbolic.negative_count(&assembly, &shifted), Some(below));
            assert!(matches!(symbolic.cholesky(&assembly, &shifted), Err(NoFactor::Pivot(u)) if u < n));
            let indefinite =
                crate::frame::indefinite::Indefinite::new(&symbolic, &assembly, &shifted).unwrap();
            assert_eq!(indefinite.negatives, below);
            let want: Vec<f64> = (0..n).map(|i| (1.0 + i as f64).sin()).collect();
            let mut x = vec![0.0; n];
            assembly.multiply(&shifted, &want, &mut x);
            indefinite.solve(&mut x);
            let off = x.iter().zip(&want).fold(0.0_f64, |m, (a, b)| m.max((a - b).abs()));
            assert!(off < 1e-5, "{n}: {off}");
            // Several right-hand sides side by side are each of them alone.
            let right = crate::frame::random::block(n, 5, 3);
            let mut together = right.clone();
            symbolic.parts(&assembly, &shifted, false).unwrap().solve(together.as_mut(), Part::Whole);
            for column in 0..5 {
                let mut alone = right.col_as_slice(column).to_vec();
                indefinite.solve(&mut alone);
                let size = alone.iter().fold(0.0_f64, |m, v| m.max(v.abs()));
                for (a, b) in together.col_as_slice(column).iter().zip(&alone) {
                    assert!((a - b).abs() < 1e-6 * size, "{n} {column}");
                }
            }
        }
    }
}

/// Pivots of L D Lᵀ by plain elimination, and how many numbers L has.
fn eliminated(mut full: Mat<f64>) -> (Vec<f64>, usize) {
    let n = full.nrows();
    let mut filled = 0;
    for k in 0..n {
        let below: Vec<usize> = (k..n).filter(|&i| full[(i, k)] != 0.0).collect();
        filled += below.len();
        for &j in &below[1..] {
            let share = full[(j, k)] / full[(k, k)];
            for &i in &below[1..] {
                let step = share * full[(i, k)];
                full[(i, j)] -= step;
            }
        }
    }
    ((0..n).map(|k| full[(k, k)]).collect(), filled)
}

/// Pivots are those of plain elimination, unknown by unknown, and the smallest beside its diagonal is theirs: of either
/// factor, positive definite or not. What is stored has room for all that fills in.
#[test]
fn pivots_are_those_of_plain_elimination() {
    for frame in frames() {
        let assembly = Assembly::new(&frame).unwrap();
        let values = assembly.stiffness(&frame);
        let diagonal = assembly.diagonal(&values);
        let mut shifted = values.clone();
        for (column, own) in diagonal.iter().enumerate() {
            let sign = if column % 3 == 1 { -1.0 } else { 1.0 };
            shifted[assembly.column_start[column] as usize] = sign * 3.0 * own;
        }
        for symbolic in [Symbolic::by_nodes(&assembly), Symbolic::by_supernodes(&assembly).unwrap()] {
            for (values, definite) in [(&values, true), (&values, false), (&shifted, false)] {
                let (want, filled) = eliminated(assembly.dense(values));
                let found = symbolic.parts(&assembly, values, definite).unwrap().pivots();
                assert_eq!(found.len(), want.len());
                for (unknown, (found, want)) in found.iter().zip(&want).enumerate() {
                    assert!((found - want).abs() <= 1e-9 * diagonal[unknown], "{unknown}: {found} {want}");
                }
                assert!(symbolic.stored() >= filled, "{} {filled}", symbolic.stored());
                if definite {
                    let smallest = symbolic.cholesky(&assembly, values).unwrap().smallest_pivot(&diagonal);
                    let least = want.iter().zip(&diagonal).map(|(p, d)| p / d).fold(f64::INFINITY, f64::min);
                    assert!((smallest - least).abs() <= 1e-9 * least.max(1e-3), "{smallest} {least}");
                } else {
                    let below = want.iter().filter(|pivot| **pivot < 0.0).count();
                    assert_eq!(symbolic.negative_count(&assembly, values), Some(below));
                }
            }
        }
    }
}

/// The first pivot that fails is named by its own unknown, also where blocks are filled up.
#[test]
fn a_pivot_that_fails_is_named() {
    for frame in frames() {
        let assembly = Assembly::new(&frame).unwrap();
        let values = assembly.stiffness(&frame);
        let (by_nodes, by_supernodes) =
            (Symbolic::by_nodes(&assembly), Symbolic::by_supernodes(&assembly).unwrap());
        for unknown in [0, assembly.unknowns / 2, assembly.unknowns - 1] {
            for bad in [-1.0, 0.0, f64::NAN] {
                let mut spoilt = values.clone();
                spoilt[assembly.column_start[unknown] as usize] = bad;
                let found = by_nodes.cholesky(&assembly, &spoilt).unwrap_err();
                let NoFactor::Pivot(first) = found else { panic!("{found:?}") };
                assert!(first <= unknown || bad.abs() <= 1.0, "{first} {unknown}");
                if bad < 0.0 {
                    assert_eq!(first, unknown);
                    assert_eq!(by_supernodes.cholesky(&assembly, &spoilt).unwrap_err(), found);
                }
            }
        }
    }
}
