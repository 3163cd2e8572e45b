//! Euler columns with four ways of holding their ends.
//!
//! Source: S. P. Timoshenko & J. M. Gere, *Theory of Elastic Stability* (1961), ch. 2, from memory and
//! derived again: `P/P_E` is 1, 1/4, 2.0457485 (tan x = x) and 4. Sixteen bars with the consistent geometric
//! stiffness give 1.0000021, 0.25000003, 2.0457661, 4.0001311 (derived), and one bar by its stability functions the closed form.
//! Tolerance 1e-4 of the element figures on the closed form, always from above; half a unit of the last digit on either.

use strutwise::frame::linear::Solver;
use strutwise::frame::{BarSection, Frame, geometric};

use crate::frames::{FIXED, IN_XY, close, member, node, on_nodes, section, solve};

const PIN: [bool; 6] = [true, true, true, true, true, false];
const ROLLER: [bool; 6] = [false, true, true, true, true, false];
const CLAMPED_ROLLER: [bool; 6] = [false, true, true, true, true, true];

/// Lowest three factors over `P_E`, and the lowest with the cubic shapes alone.
fn column(start: [bool; 6], end: [bool; 6], pieces: usize, tension: bool) -> (Vec<f64>, Option<f64>) {
    // Held against moving out of its plane at the nodes, it could bow between them that way: so it is much stiffer there.
    stiffer_across(100.0, start, end, pieces, tension)
}

fn stiffer_across(
    times: f64,
    start: [bool; 6],
    end: [bool; 6],
    pieces: usize,
    tension: bool,
) -> (Vec<f64>, Option<f64>) {
    let (length, ei) = (4.0, 880.0);
    let mut f = Frame { nodes: vec![node(0., 0., 0., start), node(length, 0., 0., end)], ..Frame::default() };
    let across = BarSection { second_moment_y: times * ei / 11e6, ..section(11e6, 0.01, ei / 11e6) };
    member(&mut f, (0, 1), pieces, across, IN_XY);
    let push = if tension { 1.0 } else { -1.0 };
    let r = solve(&f, &on_nodes(&[(1, [push, 0., 0., 0., 0., 0.])]));
    let euler = std::f64::consts::PI.powi(2) * ei / (length * length);
    let solver = Solver::new(&f).unwrap();
    let b = solver.buckling(&r, 3).unwrap();
    assert!(b.residuals.iter().all(|x| *x < 1e-6), "{:?}", b.residuals);
    if let Some(first) = b.factors.first() {
        assert!(solver.buckling_at_least(&r, first * 0.999).unwrap());
        assert!(!solver.buckling_at_least(&r, first * 1.001).unwrap());
        assert!(b.below >= *b.factors.last().unwrap());
    } else {
        assert!(b.below > 1e6 * euler);
        assert!(solver.buckling_at_least(&r, 1e6 * euler).unwrap());
    }
    let cubic = solver.buckling_of_nodes(&geometric::axial_forces(&r), 1).unwrap();
    (b.factors.iter().map(|p| p / euler).collect(), cubic.factors.first().map(|p| p / euler))
}

#[test]
fn four_columns() {
    for (start, end, exact, elements) in [
        (PIN, ROLLER, 1.0, 1.0000021),
        (FIXED, IN_XY, 0.25, 0.25000003),
        (FIXED, ROLLER, 2.0457485, 2.0457661),
        (FIXED, CLAMPED_ROLLER, 4.0, 4.0001311),
    ] {
        let (got, cubic) = column(start, end, 16, false);
        let cubic = cubic.unwrap();
        close("cubic", cubic, exact, 1e-4);
        assert!(cubic > exact, "from above");
        close("elements", cubic, elements, 5.1e-8);
        close("exact in pieces", got[0], exact, 2.5e-8);
        close("exact", column(start, end, 1, false).0[0], exact, 2.5e-8);
    }
}

#[test]
fn higher_factors_of_the_pinned_column() {
    // n² P_E; more unknowns than the dense path takes.
    for pieces in [1, 64] {
        let got = column(PIN, ROLLER, pieces, false).0;
        for (i, exact) in [1.0, 4.0, 9.0].into_iter().enumerate() {
            close("n²", got[i], exact, 1e-7);
        }
    }
}

/// Out of its plane the nodes of one bar stand still and it bows by itself at 4 `P_E`, just where it buckles in two waves in its
/// plane: one shape that is seen in the stiffness and one that makes it infinite there.
#[test]
fn a_bar_bows_by_itself_where_the_frame_buckles() {
    let got = stiffer_across(1.0, PIN, ROLLER, 1, false).0;
    for (i, exact) in [1.0, 4.0, 4.0].into_iter().enumerate() {
        close("factor", got[i], exact, 1e-9);
    }
    assert_eq!(got.len(), 3);
}

#[test]
fn a_column_in_tension_does_not_buckle_and_that_is_proved() {
    assert!(column(FIXED, CLAMPED_ROLLER, 16, true).0.is_empty());
    assert!(column(FIXED, CLAMPED_ROLLER, 64, true).0.is_empty());
}
