//! Natural frequencies of a cantilever and of square portals.
//!
//! Cantilever: roots of cos x cosh x = −1, any vibration text; the element figures are exact properties of
//! the cubic element with consistent mass (derived). Tolerance 1e-5 on them. Portals of three equal
//! inextensible members: derived from the exact dynamic stiffness; the chart of R. D. Blevins, *Formulas for
//! Natural Frequency and Mode Shape* (1979), agrees from memory. Tolerance 1e-4 with eight bars a member.

use strutwise::frame::Frame;
use strutwise::frame::linear::Solver;

use crate::frames::{FIXED, IN_XY, close, member, node, section};

fn unit_section(area: f64) -> strutwise::frame::BarSection {
    strutwise::frame::BarSection { mass: 1.0, ..section(1.0, area, 1.0) }
}

fn circular(f: &Frame, count: usize) -> Vec<f64> {
    let modes = Solver::new(f).unwrap().modes(&[], count).unwrap();
    assert!(modes.residuals.iter().all(|r| *r < 1e-5), "{:?}", modes.residuals);
    modes.frequencies_hz.iter().map(|f| f * std::f64::consts::TAU).collect()
}

#[test]
fn cantilever() {
    for (pieces, wanted) in [
        (1, vec![3.53273, 34.80689]),
        (2, vec![3.51772, 22.22147, 75.15708, 218.13802]),
        (4, vec![3.51613, 22.06017, 62.17489, 122.65764]),
        (8, vec![3.51602, 22.03625, 61.73474, 121.17275]),
    ] {
        let mut f =
            Frame { nodes: vec![node(0., 0., 0., FIXED), node(1., 0., 0., IN_XY)], ..Frame::default() };
        member(&mut f, (0, 1), pieces, unit_section(1e7), IN_XY);
        let got = circular(&f, wanted.len());
        for (got, wanted) in got.iter().zip(&wanted) {
            close("omega", *got, *wanted, 1e-5);
        }
    }
}

#[test]
fn square_portals() {
    let pin = [true, true, true, true, true, false];
    for (base, wanted) in
        [(FIXED, [3.2045731, 12.648, 20.630, 22.375]), (pin, [1.46294, 9.86977, 14.85594, 18.46982])]
    {
        let nodes = vec![
            node(0., 0., 0., base),
            node(0., 1., 0., IN_XY),
            node(1., 1., 0., IN_XY),
            node(1., 0., 0., base),
        ];
        let mut f = Frame { nodes, ..Frame::default() };
        for ends in [(0, 1), (1, 2), (3, 2)] {
            member(&mut f, ends, 8, unit_section(1e7), IN_XY);
        }
        for (got, wanted) in circular(&f, 4).iter().zip(wanted) {
            close("omega", *got, wanted, 1e-4);
        }
    }
}
