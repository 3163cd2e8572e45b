//! Space truss, three bars and a roller (in, lb).
//!
//! Source: D. L. Logan, *A First Course in the Finite Element Method*, space-truss example (3.8 in some
//! editions), input and print from memory. The print is rounded by hand (up to 1.2 %), so the derived
//! figures are held to the digits given (1e-5), the print to 1.5 %.

use strutwise::frame::EndFix;

use crate::frames::{PINNED, axial, close, frame, node, on_nodes, section, solve};

#[test]
fn displacements_and_stresses() {
    let nodes = vec![
        node(72., 0., 0., [false, true, false, false, false, false]),
        node(0., 36., 0., PINNED),
        node(0., 36., 72., PINNED),
        node(0., 0., -48., PINNED),
    ];
    let areas = [0.302, 0.729, 0.187];
    let bars: Vec<_> = areas.iter().enumerate().map(|(i, a)| (0, i + 1, section(1.2e6, *a, 0.0))).collect();
    let r = solve(&frame(nodes, &bars, EndFix::Hinged), &on_nodes(&[(0, [0., 0., -1000., 0., 0., 0.])]));
    close("u", r.displacements[0][0], -0.071_114_357, 1e-8);
    close("w", r.displacements[0][2], -0.266_239_09, 1e-7);
    close("u, printed", r.displacements[0][0], -0.072, 1.5e-2);
    close("w, printed", r.displacements[0][2], -0.264, 1.5e-2);
    for (bar, derived, printed) in [(0, -948.19, -945.0), (1, 1445.37, 1440.0), (2, -2868.54, -2850.0)] {
        let stress = axial(&r.bar_ends[bar]) / areas[bar];
        close("stress", stress, derived, 5e-6);
        close("stress, printed", stress, printed, 1.5e-2);
    }
}
