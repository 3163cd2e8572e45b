//! The two-bar truss after R. von Mises (1923), and its pyramid of n bars.
//!
//! Derived, closed form for engineering strain: P = n EA (1 − (a/L)^(2/3))^1.5, reached at a height z
//! with √(a² + z²) = (a² L)^(1/3). Tolerance 1e-5.

use crate::plane::{FREE, PINNED, bar, close, load, node, section};
use strutwise::frame::path::{EventKind, PathOptions, trace};
use strutwise::frame::{EndFix, Frame};
use strutwise::vector::Vec3;

fn pyramid(bars: usize) -> (Frame, strutwise::frame::NodeId) {
    let mut frame = Frame::default();
    let held_y = [false, bars == 2, false, false, false, false];
    let held = if bars == 2 { held_y } else { FREE };
    let top = node(&mut frame, Vec3::new(0.0, 0.0, 50.0), held);
    for i in 0..bars {
        let (sine, cosine) = (std::f64::consts::TAU * i as f64 / bars as f64).sin_cos();
        let foot = node(&mut frame, Vec3::new(1000.0 * cosine, 1000.0 * sine, 0.0), PINNED);
        bar(&mut frame, foot, top, section(1e6, 1.0, 1.0), EndFix::Hinged);
    }
    (frame, top)
}

#[test]
fn snaps_at_the_closed_form() {
    for bars in [2, 3, 5, 6] {
        let (frame, top) = pyramid(bars);
        // The top of the curve is flat: its place is known far less well than its height, unless closely sought.
        let options = PathOptions { watch: Some((top, 2)), closeness: 1e-12, ..PathOptions::default() };
        let path = trace(&frame, &load(top, 2, -1.0), &options).unwrap();
        let want = 47.992_524 * bars as f64 / 2.0;
        let limit = path.events.iter().find(|e| e.kind == EventKind::Limit).unwrap();
        close(limit.factor, want, 1e-5, "limit");
        close(50.0 + limit.watched, 28.8555, 1e-5, "height at the limit");
        assert_eq!(path.events[0].kind, EventKind::Limit);
        assert!(limit.load_share > 0.9, "the shape goes with the load: {}", limit.load_share);
        // The far side of the snap is the mirror image.
        let lowest = path.events.iter().filter(|e| e.kind == EventKind::Limit).nth(1).unwrap();
        close(lowest.factor, -want, 1e-5, "lower limit");
    }
}

#[test]
fn every_point_of_the_path_is_on_the_closed_form() {
    let (frame, top) = pyramid(2);
    let options = PathOptions { watch: Some((top, 2)), ..PathOptions::default() };
    let path = trace(&frame, &load(top, 2, -1.0), &options).unwrap();
    let first = (1000.0_f64 * 1000.0 + 2500.0).sqrt();
    assert!(path.steps.last().unwrap().watched < -100.0, "snapped through and beyond");
    for step in &path.steps {
        let z = 50.0 + step.watched;
        let want = 2e6 * z * (1.0 / (1e6 + z * z).sqrt() - 1.0 / first);
        assert!((step.factor - want).abs() < 1e-5 * 48.0, "at {z}: {} against {want}", step.factor);
    }
}
