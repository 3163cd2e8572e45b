//! A beam on equal rotational springs, and a cantilever on a base spring (kN, m).
//!
//! Closed forms, any text on semi-rigid joints (fixity factor: Monforton & Wu 1963, from memory):
//! end moment wL²/12 / (1 + 2EI/(kL)); mid deflection 5wL⁴/(384EI) − ML²/(8EI); cantilever tip
//! HL³/(3EI) + HL²/k. Derived figures. Tolerance 1e-9 on the closed form.

use strutwise::frame::bar::{forces_at, line};
use strutwise::frame::{BarId, EndFix, FrameLoads, NodeId};
use strutwise::vector::Vec3;

use crate::frames::{FIXED, FREE, along, bar, close, node, on_nodes, section, solve};
use strutwise::frame::Frame;

const E: f64 = 11e6;
const I: f64 = 8e-5;
const L: f64 = 4.0;

#[test]
fn beam_under_uniform_load() {
    let (w, k) = (3.0, 500.0);
    let springs = EndFix::Springs([f64::INFINITY, k, k]);
    // Two bars, so that the deflection at mid-span is a node's; the same moment from one bar alone.
    let nodes = vec![node(0., 0., 0., FIXED), node(L / 2., 0., 0., FREE), node(L, 0., 0., FIXED)];
    let s = section(E, 0.01, I);
    let mut bars = vec![bar(&nodes, 0, 1, s, EndFix::Rigid), bar(&nodes, 1, 2, s, EndFix::Rigid)];
    bars[0].ends[0] = springs;
    bars[1].ends[1] = springs;
    let two = Frame { nodes, bars, ..Frame::default() };
    let q = Vec3::new(0., 0., -w);
    let loads =
        FrameLoads { bars: vec![along(0, L / 2., q, q), along(1, L / 2., q, q)], ..FrameLoads::default() };
    let r = solve(&two, &loads);
    let moment = w * L * L / 12.0 / (1.0 + 2.0 * E * I / (k * L));
    close("formula", moment, 2.127_659_6, 1e-7);
    close("end moment", r.bar_ends[0][0].my.abs(), moment, 1e-9);
    let mid = 5.0 * w * L.powi(4) / (384.0 * E * I) - moment * L * L / (8.0 * E * I);
    close("mid deflection", -r.displacements[1][2], mid, 1e-9);
    close("printed", mid, 6.528_046_4e-3, 1e-7);

    let nodes = vec![node(0., 0., 0., FIXED), node(L, 0., 0., FIXED)];
    let one = Frame { bars: vec![bar(&nodes, 0, 1, s, springs)], nodes, ..Frame::default() };
    let loads = FrameLoads { bars: vec![along(0, L, q, q)], ..FrameLoads::default() };
    let r = solve(&one, &loads);
    close("end moment of one bar", r.bar_ends[0][0].my.abs(), moment, 1e-9);
    let here = forces_at(&line(&one, BarId(0)).unwrap(), &r.bar_ends[0], &loads.bars, L / 2.0);
    close("mid moment", here.my.abs(), w * L * L / 8.0 - moment, 1e-9);
}

/// The far end hinged, the near one on the spring: it turns with 3EI/L times the fixity factor.
#[test]
fn fixity_factor() {
    let k = 500.0;
    let nodes = vec![node(0., 0., 0., FIXED), node(L, 0., 0., FIXED)];
    let mut bars = vec![bar(&nodes, 0, 1, section(E, 0.01, I), EndFix::Hinged)];
    bars[0].ends[0] = EndFix::Springs([f64::INFINITY, k, k]);
    let f = Frame { nodes, bars, ..Frame::default() };
    for axis in [4, 5] {
        let turned = FrameLoads { settlements: vec![(NodeId(0), axis, 1.0)], ..FrameLoads::default() };
        let factor = solve(&f, &turned).reactions[0].1[axis] / (3.0 * E * I / L);
        close("fixity", factor, 1.0 / (1.0 + 3.0 * E * I / (k * L)), 1e-9);
        close("printed", factor, 0.431_034_48, 1e-8);
    }
}

#[test]
fn cantilever_on_a_base_spring() {
    let (h, k) = (1.5, 500.0);
    let nodes = vec![node(0., 0., 0., FIXED), node(L, 0., 0., FREE)];
    let mut bars = vec![bar(&nodes, 0, 1, section(E, 0.01, I), EndFix::Rigid)];
    bars[0].ends[0] = EndFix::Springs([f64::INFINITY, f64::INFINITY, k]);
    let f = Frame { nodes, bars, ..Frame::default() };
    let r = solve(&f, &on_nodes(&[(1, [0., h, 0., 0., 0., 0.])]));
    close("tip", r.displacements[1][1], h * L.powi(3) / (3.0 * E * I) + h * L * L / k, 1e-9);
    close("printed", r.displacements[1][1], 0.084_363_636, 1e-8);
}
