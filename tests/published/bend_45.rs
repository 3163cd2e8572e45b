//! The 45-degree bend of K.-J. Bathe and S. Bolourchi, Int. J. Numer. Meth. Eng. 14 (1979) 961-986:
//! radius 100, section 1 × 1, E = 1e7, ν = 0, clamped, a dead load square to its plane at the tip.
//!
//! Reference figures derived for this project by two methods (32 elements extrapolated, and shooting
//! the exact rod equations), for either torsion constant; tolerance 0.02 absolute. Prints scatter by
//! 1 % with the choice of the torsion constant and the mesh.

use crate::plane::{CLAMPED, FREE, bar, load, node, section};
use strutwise::frame::path::{PathEnd, PathOptions, trace};
use strutwise::frame::{BarSection, EndFix, Frame, NodeId};
use strutwise::vector::Vec3;

fn bend(torsion: f64, elements: usize) -> (Frame, NodeId) {
    let s = BarSection { torsion, shear: 5e6, ..section(1e7, 1.0, 1.0 / 12.0) };
    let mut frame = Frame::default();
    let mut last = node(&mut frame, Vec3::zeros(), CLAMPED);
    for i in 1..=elements {
        let angle = std::f64::consts::FRAC_PI_4 * i as f64 / elements as f64;
        let at = Vec3::new(100.0 * (1.0 - angle.cos()), 100.0 * angle.sin(), 0.0);
        let next = node(&mut frame, at, FREE);
        bar(&mut frame, last, next, s, EndFix::Rigid);
        last = next;
    }
    (frame, last)
}

#[test]
fn tip_positions() {
    let cases = [
        (1.0 / 6.0, 300.0, [22.245, 58.779, 40.192]),
        (1.0 / 6.0, 450.0, [18.508, 52.239, 48.503]),
        (1.0 / 6.0, 600.0, [15.685, 47.150, 53.475]),
        (0.1406, 300.0, [22.113, 58.536, 40.480]),
        (0.1406, 450.0, [18.369, 51.970, 48.705]),
        (0.1406, 600.0, [15.558, 46.892, 53.607]),
    ];
    for (torsion, force, want) in cases {
        let (frame, tip) = bend(torsion, 32);
        let options =
            PathOptions { highest_factor: Some(1.0), keep_displacements: true, ..PathOptions::default() };
        let path = trace(&frame, &load(tip, 2, force), &options).unwrap();
        assert_eq!(path.end, PathEnd::HighestFactor);
        let moved = path.steps.last().unwrap().displacements.as_ref().unwrap()[tip.0];
        for axis in 0..3 {
            let at = frame.nodes[tip.0].at[axis] + moved[axis];
            assert!((at - want[axis]).abs() < 0.02, "{force} {torsion} {axis}: {at} {want:?}");
        }
    }
}
