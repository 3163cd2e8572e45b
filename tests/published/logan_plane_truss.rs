//! Plane truss, three bars at one joint (in, lb).
//!
//! Source: D. L. Logan, *A First Course in the Finite Element Method*, bar chapter (Example 3.5 in
//! some editions); input and printed figures from memory. Closed form derived: u = (√2 − 1)/100,
//! v = −(3 − √2)/100. Tolerance: 1e-9 against the closed form, 0.5 % against the print (whose 1471 is
//! hand rounding).

use strutwise::frame::EndFix;

use crate::frames::{PINNED, axial, close, frame, node, on_nodes, section, solve};

#[test]
fn displacements_and_stresses() {
    let s = section(30e6, 2.0, 0.0);
    let nodes = vec![
        node(0., 0., 0., [false, false, true, true, true, true]),
        node(0., 120., 0., PINNED),
        node(120., 120., 0., PINNED),
        node(120., 0., 0., PINNED),
    ];
    let f = frame(nodes, &[(0, 1, s), (0, 2, s), (0, 3, s)], EndFix::Hinged);
    let r = solve(&f, &on_nodes(&[(0, [0., -10_000., 0., 0., 0., 0.])]));
    let root = 2.0_f64.sqrt();
    close("u", r.displacements[0][0], (root - 1.0) / 100.0, 1e-9);
    close("v", r.displacements[0][1], -(3.0 - root) / 100.0, 1e-9);
    for (bar, derived, printed) in [(0, 3964.4661, 3965.0), (1, 1464.4661, 1471.0), (2, -1035.5339, -1035.0)]
    {
        let stress = axial(&r.bar_ends[bar]) / 2.0;
        close("stress, derived", stress, derived, 1e-7);
        close("stress, printed", stress, printed, 5e-3);
    }
}
