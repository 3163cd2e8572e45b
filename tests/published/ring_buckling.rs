//! A ring under uniform radial pressure: q R³/EI = 3, 4 or 4.5 by how the load behaves.
//!
//! Source: the split between 3 (pressure stays square to the ring) and 4 (dead load) was read in "Buckling of
//! Rings and Arches", dougaj4, 1 January 2011, newtonexcelbach.com/page/188; the three cases are treated by
//! Gaibotti, Bigoni, Cutolo, Fraldi & Piccolroaz, arXiv 2407.02897 (2024). Derived with a 72-sided polygon,
//! EA R²/EI = 1e5, rigid motions suppressed: 3.0018759, 4.0025446, 4.5000004. Tolerance 0.2 %.
//!
//! The plain answer of this solver is that for dead loads, 4. Aimed loads are modelled as strings to the
//! centre; the pressure's own stiffness (the second derivative of the enclosed area) is added here.

use strutwise::frame::assemble::Assembly;
use strutwise::frame::eigen::Pencil;
use strutwise::frame::linear::Solver;
use strutwise::frame::{EndFix, Frame, geometric};

use crate::frames::{FIXED, IN_XY, bar, close, node, on_nodes, section, solve};

const SIDES: usize = 72;
const QUARTER: usize = SIDES / 4;

/// A quarter of the ring, symmetric about both axes as its lowest shape is (so every rigid motion is left
/// out), with strings of next to no stiffness to its centre, the last node.
fn quarter() -> Frame {
    let ring = section(1.0, 1e5, 1.0);
    let string = section(1.0, 1e-9, 0.0);
    let mut nodes: Vec<_> = (0..=QUARTER)
        .map(|i| {
            let angle = std::f64::consts::TAU * i as f64 / SIDES as f64;
            node(angle.cos(), angle.sin(), 0., IN_XY)
        })
        .collect();
    for (end, axis) in [(0, 1), (QUARTER, 0)] {
        nodes[end].held[axis] = true;
        nodes[end].held[5] = true;
    }
    nodes.push(node(0., 0., 0., FIXED));
    let mut bars: Vec<_> = (0..QUARTER).map(|i| bar(&nodes, i, i + 1, ring, EndFix::Rigid)).collect();
    bars.extend((0..=QUARTER).map(|i| bar(&nodes, QUARTER + 1, i, string, EndFix::Hinged)));
    Frame { nodes, bars, ..Frame::default() }
}

/// Second derivative of the area enclosed by nodes in order: adds `factor` times it.
pub(crate) fn add_area_stiffness(assembly: &Assembly, values: &mut [f64], loop_of: &[usize], factor: f64) {
    for (i, a) in loop_of.iter().enumerate() {
        let b = loop_of[(i + 1) % loop_of.len()];
        assembly.add(values, &[*a, b], |row, column| match (row.min(column), row.max(column)) {
            (0, 7) => 0.5 * factor,
            (1, 6) => -0.5 * factor,
            _ => 0.0,
        });
    }
}

#[test]
fn three_four_and_four_and_a_half() {
    let f = quarter();
    // Unit pressure: on every node the share of its two half sides, on the two end nodes of one.
    let half = std::f64::consts::PI / SIDES as f64;
    let share = |i: usize| (2.0 * half.sin() * half.cos()) * if i == 0 || i == QUARTER { 0.5 } else { 1.0 };
    let loads: Vec<_> = (0..=QUARTER)
        .map(|i| {
            let at = f.nodes[i].at * -share(i);
            (i, [at.x, at.y, 0., 0., 0., 0.])
        })
        .collect();
    let r = solve(&f, &on_nodes(&loads));
    let solver = Solver::new(&f).unwrap();
    let dead = solver.buckling(&r, 1).unwrap();
    close("dead load", dead.factors[0], 4.0, 2e-3);

    let mut axial = geometric::axial_forces(&r);
    for (i, string) in axial[QUARTER..].iter_mut().enumerate() {
        *string = share(i);
    }
    let aimed = solver.buckling_under(&axial, 1).unwrap();
    close("aimed at the centre", aimed.factors[0], 4.5, 2e-3);

    let (symbolic, factor) = solver.factor().unwrap().unwrap();
    axial[QUARTER..].fill(0.0);
    let mut b: Vec<f64> = solver.geometric().assemble(solver.assembly(), &axial).iter().map(|v| -v).collect();
    let around: Vec<usize> = (0..QUARTER + 2).collect();
    add_area_stiffness(solver.assembly(), &mut b, &around, -1.0);
    let pencil = Pencil { assembly: solver.assembly(), symbolic, factor, k: solver.stiffness(), b: &b };
    close("following pressure", pencil.lowest(1).unwrap().values[0], 3.0, 2e-3);
}
