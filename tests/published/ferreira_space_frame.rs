//! Space frame of eight joints (N, m).
//!
//! Source of the input: A. J. M. Ferreira, *MATLAB Codes for Finite Element Analysis* (2009), 3D-frame
//! chapter, second problem, read in a public copy of its code; the book's table of results was not
//! found. Figures derived with an independent element model, for both ways the posts can be turned.
//! Tolerance 1e-7.

use strutwise::frame::{BarSection, EndFix, Frame};
use strutwise::vector::Vec3;

use crate::frames::{FIXED, FREE, bar, close, node, on_nodes, solve};

fn frame(post_up: Vec3) -> Frame {
    let s = BarSection {
        area: 0.02,
        second_moment_y: 1e-4,
        second_moment_z: 2e-4,
        torsion: 5e-5,
        elastic: 210e9,
        shear: 84e9,
        mass: 0.0,
    };
    let plan = [(0., 0.), (0., 4.), (4., 4.), (4., 0.)];
    let mut nodes: Vec<_> = plan.iter().map(|(x, z)| node(*x, 0., *z, FIXED)).collect();
    nodes.extend(plan.iter().map(|(x, z)| node(*x, 5., *z, FREE)));
    let mut bars = Vec::new();
    for i in 0..4 {
        let mut post = bar(&nodes, i, i + 4, s, EndFix::Rigid);
        post.up = post_up;
        bars.push(post);
        // Iz bends the beams in the level plane x–z, so their local z is the upright y.
        let mut beam = bar(&nodes, i + 4, (i + 1) % 4 + 4, s, EndFix::Rigid);
        beam.up = Vec3::y();
        bars.push(beam);
    }
    Frame { nodes, bars, ..Frame::default() }
}

#[test]
fn posts_stiff_along_x_and_along_z() {
    let load = on_nodes(&[(6, [-15_000., 0., 0., 0., 0., 0.])]);
    // Iz resists sway along x where local y is along x, that is local z along z.
    for (up, seven, five) in [
        (Vec3::z(), [-2.471_736_25e-3, 5.578_262_46e-6, 7.841_193_60e-4], -5.754_343_00e-4),
        (Vec3::x(), [-3.572_715_26e-3, 4.678_422_13e-6, 7.841_193_60e-4], -1.474_960_10e-3),
    ] {
        let r = solve(&frame(up), &load);
        for (found, wanted) in r.displacements[6].iter().zip(seven) {
            close("joint 7", *found, wanted, 1e-7);
        }
        close("joint 5", r.displacements[4][0], five, 1e-7);
    }
}
