//! A cantilever rolled up by an end moment: M = 2π EI/L closes the circle. Exact for an inextensible
//! rod: tip at (sin t / t, (1 − cos t) / t) L with t = M L / EI. Tolerance 0.5 % of the length at
//! 20 elements.

use crate::plane::{CLAMPED, IN_PLANE, line, load, node, section};
use strutwise::frame::Frame;
use strutwise::frame::path::{PathOptions, trace};
use strutwise::vector::Vec3;

#[test]
fn rolls_into_a_circle() {
    let mut frame = Frame::default();
    let root = node(&mut frame, Vec3::zeros(), CLAMPED);
    let tip = node(&mut frame, Vec3::new(1.0, 0.0, 0.0), IN_PLANE);
    line(&mut frame, root, tip, 20, section(1.0, 1e4, 1.0), IN_PLANE);
    for part in [0.25, 0.5, 0.75, 1.0] {
        let t = std::f64::consts::TAU * part;
        let (x, z) = (t.sin() / t, (1.0 - t.cos()) / t);
        // A positive moment about y turns x towards −z.
        let moment = -t;
        let options = PathOptions {
            highest_factor: Some(1.0),
            watch: Some((tip, 4)),
            keep_displacements: true,
            ..PathOptions::default()
        };
        let path = trace(&frame, &load(tip, 4, moment), &options).unwrap();
        let last = path.steps.last().unwrap();
        assert!((last.factor - 1.0).abs() < 1e-12);
        let moved = last.displacements.as_ref().unwrap()[tip.0];
        assert!((1.0 + moved[0] - x).abs() < 5e-3, "{part}: x {}", 1.0 + moved[0]);
        assert!((moved[2] - z).abs() < 5e-3, "{part}: z {}", moved[2]);
        assert!((last.watched - moment).abs() < 2e-2 * moment.abs(), "turned by {}", last.watched);
        assert!(path.events.is_empty());
    }
}
