//! Plane portal frame, rigid joints (in, lb).
//!
//! Source: D. L. Logan, *A First Course in the Finite Element Method*, plane-frame chapter, first rigid
//! frame (Example 5.1 in some editions), from memory; the derived figures are from an independent
//! element model. Tolerance: the digits given (1e-7) for the derived, 0.5 % for the print.

use strutwise::frame::EndFix;

use crate::frames::{FIXED, IN_XY, close, frame, node, on_nodes, section, solve};

#[test]
fn joint_movements() {
    let (post, beam) = (section(30e6, 10.0, 200.0), section(30e6, 10.0, 100.0));
    let nodes = vec![
        node(0., 0., 0., FIXED),
        node(0., 120., 0., IN_XY),
        node(120., 120., 0., IN_XY),
        node(120., 0., 0., FIXED),
    ];
    let f = frame(nodes, &[(0, 1, post), (1, 2, beam), (2, 3, post)], EndFix::Rigid);
    let loads = on_nodes(&[(1, [10_000., 0., 0., 0., 0., 0.]), (2, [0., 0., 0., 0., 0., 5000.])]);
    let r = solve(&f, &loads);
    for (joint, freedom, derived, printed) in [
        (1, 0, 0.211_362_66, 0.211),
        (1, 1, 0.001_481_327_8, 0.00148),
        (1, 5, -0.001_526_033_2, -0.00153),
        (2, 0, 0.209_359_33, 0.209),
        (2, 1, -0.001_481_327_8, -0.00148),
        (2, 5, -0.001_486_000, -0.00149),
    ] {
        let got = r.displacements[joint][freedom];
        close("derived", got, derived, 5e-8);
        close("printed", got, printed, 5e-3);
    }
}
