//! Circular arches under uniform pressure square to the axis, antisymmetric mode, inextensible.
//!
//! Source: Timoshenko & Gere (1961), buckling of circular arches, from memory and derived again: pinned
//! (π/α)² − 1; fixed k² − 1 with k tan α = tan kα. Tolerance 1 % for a polygon of 48 bars with the
//! pressure's own stiffness; fixed-direction loads must come out higher.

use strutwise::frame::eigen::Pencil;
use strutwise::frame::linear::Solver;
use strutwise::frame::{EndFix, Frame, geometric};

use crate::frames::{FIXED, IN_XY, bar, close, node, on_nodes, section, solve};
use crate::ring_buckling::add_area_stiffness;

#[test]
fn pinned_and_fixed_from_flat_to_half_round() {
    let pieces = 48;
    let pin = [true, true, true, true, true, false];
    for (degrees, pinned, fixed) in [
        (15.0_f64, 143.0, 294.258),
        (30.0, 35.0, 73.3276),
        (45.0, 15.0, 32.4309),
        (60.0, 8.0, 18.1380),
        (75.0, 4.76, 11.5481),
        (90.0, 3.0, 8.0),
    ] {
        for (base, wanted) in [(pin, pinned), (FIXED, fixed)] {
            let half = degrees.to_radians();
            let step = 2.0 * half / pieces as f64;
            let nodes: Vec<_> = (0..=pieces)
                .map(|i| {
                    let angle = half - step * i as f64;
                    let held = if i == 0 || i == pieces { base } else { IN_XY };
                    node(angle.sin(), angle.cos(), 0., held)
                })
                .collect();
            let s = section(1.0, 1e7, 1.0);
            let bars = (0..pieces).map(|i| bar(&nodes, i, i + 1, s, EndFix::Rigid)).collect();
            let f = Frame { nodes, bars, ..Frame::default() };
            let share = 2.0 * (step / 2.0).sin() * (step / 2.0).cos();
            let loads: Vec<_> = (1..pieces)
                .map(|i| {
                    let at = f.nodes[i].at * -share;
                    (i, [at.x, at.y, 0., 0., 0., 0.])
                })
                .collect();
            let r = solve(&f, &on_nodes(&loads));
            let solver = Solver::new(&f).unwrap();
            let dead = solver.buckling(&r, 1).unwrap().factors[0];
            let mut b: Vec<f64> = solver
                .geometric()
                .assemble(solver.assembly(), &geometric::axial_forces(&r))
                .iter()
                .map(|v| -v)
                .collect();
            // From the right springing over the top to the left: anticlockwise seen against z.
            let around: Vec<usize> = (0..=pieces).collect();
            add_area_stiffness(solver.assembly(), &mut b, &around, -1.0);
            let (symbolic, factor) = solver.factor().unwrap().unwrap();
            let pencil =
                Pencil { assembly: solver.assembly(), symbolic, factor, k: solver.stiffness(), b: &b };
            let got = pencil.lowest(1).unwrap().values[0];
            close("pressure", got, wanted, 1e-2);
            assert!(dead > got, "a dead load is less severe: {dead} {got}");
        }
    }
}
