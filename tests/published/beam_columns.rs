//! Beam-columns: exact second-order answers (kN, m; E 11e6, I 8e-5, L 4).
//!
//! Source: Timoshenko & Gere (1961) ch. 1, from memory and derived again from the differential equation.
//! P = 0.4 `P_E` = 217.1313 unless said. Tolerance 1e-4 with eight bars a member, 1 % with one, 1e-6 with 32 (whose
//! answers the derivation found within 1e-7; what is left here is the shortening and the last digit given).

use strutwise::frame::linear::Solver;
use strutwise::frame::second_order::crookedness;
use strutwise::frame::{EndFix, Frame, FrameLoads};
use strutwise::vector::Vec3;

use crate::frames::{FIXED, IN_XY, along, bar, close, member, node, on_nodes, section};

const L: f64 = 4.0;
const EI: f64 = 880.0;
const PIN: [bool; 6] = [true, true, true, true, true, false];
const ROLLER: [bool; 6] = [false, true, true, true, true, false];

fn euler() -> f64 {
    std::f64::consts::PI.powi(2) * EI / (L * L)
}

fn beam(start: [bool; 6], end: [bool; 6], pieces: usize) -> Frame {
    // An area so large that shortening does not count.
    let mut f = Frame { nodes: vec![node(0., 0., 0., start), node(L, 0., 0., end)], ..Frame::default() };
    member(&mut f, (0, 1), pieces, section(11e6, 1e2, 8e-5), IN_XY);
    f
}

fn second(f: &Frame, loads: &FrameLoads) -> strutwise::frame::Response {
    Solver::new(f).unwrap().second_order(loads, &[]).unwrap().response
}

#[test]
fn simple_beam_under_uniform_load_point_load_and_end_moments() {
    let p = 0.4 * euler();
    close("P", p, 217.1313, 1e-6);
    let push = (1, [-p, 0., 0., 0., 0., 0.]);
    // Two bars in the span are one a half, whose ends turn less than those of a whole member would.
    for (pieces, within) in [(2, 1e-2), (8, 1e-4), (32, 1e-6)] {
        // Nodes: 0, 1 the ends, the others between; the middle one, and the bar that ends there.
        let f = beam(PIN, ROLLER, pieces);
        let (middle, bar) = (1 + pieces / 2, pieces / 2 - 1);

        let q = Vec3::new(0., 1.2, 0.);
        let mut loads = on_nodes(&[push]);
        loads.bars = (0..pieces).map(|i| along(i, L / pieces as f64, q, q)).collect();
        let r = second(&f, &loads);
        close("uniform, deflection", r.displacements[middle][1], 7.5865939e-3, within);
        close("uniform, moment", r.bar_ends[bar][1].mz.abs(), 4.047287, within);

        let r = second(&f, &on_nodes(&[push, (middle, [0., 3., 0., 0., 0., 0.])]));
        close("point, deflection", r.displacements[middle][1], 7.5346314e-3, within);
        close("point, moment", r.bar_ends[bar][1].mz.abs(), 4.6360043, within);
        let linear = 3.0 * L.powi(3) / (48.0 * EI);
        close("point, amplification", r.displacements[middle][1] / linear, 1.6576189, within);

        let ends = [push, (0, [0., 0., 0., 0., 0., 1.]), (1, [0., 0., 0., 0., 0., -1.])];
        let r = second(&f, &on_nodes(&ends));
        close("end moments, deflection", r.displacements[middle][1].abs(), 3.8326581e-3, within);
        close("end moments, moment", r.bar_ends[bar][1].mz.abs(), 1.83219, within.max(3e-6));
    }
}

#[test]
fn cantilever_and_guided_column() {
    for (pieces, tolerance) in [(32, 1e-6), (8, 1e-4), (1, 1e-2)] {
        let f = beam(FIXED, IN_XY, pieces);
        let r = second(&f, &on_nodes(&[(1, [-0.1 * euler(), 0.8, 0., 0., 0., 0.])]));
        close("cantilever, deflection", r.displacements[1][1], 0.032147761, tolerance);
        close("cantilever, moment", r.bar_ends[0][0].mz.abs(), 4.9450712, tolerance);

        let f = beam(FIXED, [false, false, true, true, true, true], pieces);
        let r = second(&f, &on_nodes(&[(1, [-0.4 * euler(), 0.8, 0., 0., 0., 0.])]));
        close("guided", r.displacements[1][1], 8.0369402e-3, tolerance);
    }
}

#[test]
fn leaning_column() {
    // An upright cantilever tied to a pinned post that carries W: H/(3EI/L³ − W/L).
    let nodes =
        vec![node(0., 0., 0., FIXED), node(0., L, 0., IN_XY), node(3., 0., 0., PIN), node(3., L, 0., IN_XY)];
    let s = section(11e6, 1e4, 8e-5);
    let bars = vec![
        bar(&nodes, 0, 1, s, EndFix::Rigid),
        bar(&nodes, 2, 3, s, EndFix::Hinged),
        bar(&nodes, 1, 3, s, EndFix::Hinged),
    ];
    let f = Frame { nodes, bars, ..Frame::default() };
    let r = second(&f, &on_nodes(&[(1, [0.8, 0., 0., 0., 0., 0.]), (3, [0., -50., 0., 0., 0., 0.])]));
    close("sway", r.displacements[1][0], 0.027826087, 1e-4);
}

#[test]
fn a_crooked_column_bows_by_the_amplification() {
    // Half-sine bow e: deflection e·P/(P_E − P) more, closed form of the same source.
    let f = beam(PIN, ROLLER, 8);
    let solver = Solver::new(&f).unwrap();
    let p = 0.4 * euler();
    let loads = on_nodes(&[(1, [-p, 0., 0., 0., 0., 0.])]);
    let first = solver.solve(std::slice::from_ref(&loads)).unwrap().remove(0);
    let shape = solver.buckling(&first, 1).unwrap().shapes.remove(0);
    let bow = crookedness(&shape, 0.01);
    let r = solver.second_order(&loads, &bow).unwrap().response;
    close("bow", r.displacements[5][1].abs(), 0.01 * 0.4 / 0.6, 1e-4);
    close("moment", r.bar_ends[3][1].mz.abs(), p * 0.01 / 0.6, 1e-4);
    let over = on_nodes(&[(1, [-1.01 * euler(), 0., 0., 0., 0., 0.])]);
    assert!(solver.second_order(&over, &bow).is_err(), "beyond the buckling load");
}
