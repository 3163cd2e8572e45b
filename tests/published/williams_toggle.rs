//! The toggle of F. W. Williams, Q. J. Mech. Appl. Math. 17 (1964) 451-469 (dimensions from memory):
//! two clamped members, half-span 12.943 in, rise 0.386 in, 0.753 × 0.243 in, E = 1.03e7 psi, a load at
//! the crown.
//!
//! Reference figures derived for this project (geometrically exact, extrapolated); tolerance 0.3 %.
//! The rise of some reprints, 0.32 in, has no limit point.

use crate::plane::{CLAMPED, IN_PLANE, close, factor_at, line, load, node, section};
use strutwise::frame::Frame;
use strutwise::frame::path::{EventKind, Path, PathOptions, trace};
use strutwise::vector::Vec3;

fn toggle(rise: f64, steps: usize) -> Path {
    let mut frame = Frame::default();
    let left = node(&mut frame, Vec3::new(-12.943, 0.0, 0.0), CLAMPED);
    let crown = node(&mut frame, Vec3::new(0.0, 0.0, rise), IN_PLANE);
    let right = node(&mut frame, Vec3::new(12.943, 0.0, 0.0), CLAMPED);
    let (breadth, depth) = (0.753, 0.243_f64);
    let s = section(1.03e7, breadth * depth, breadth * depth.powi(3) / 12.0);
    line(&mut frame, left, crown, 10, s, IN_PLANE);
    line(&mut frame, crown, right, 10, s, IN_PLANE);
    let options = PathOptions { watch: Some((crown, 2)), steps, coarseness: 0.03, ..PathOptions::default() };
    trace(&frame, &load(crown, 2, -1.0), &options).unwrap()
}

#[test]
fn rise_0386_snaps() {
    let path = toggle(0.386, 150);
    let wanted = [25.203, 33.498, 32.846, 31.300, 36.094, 53.312, 88.186];
    for (i, want) in wanted.into_iter().enumerate() {
        close(factor_at(&path, -0.1 * (i + 1) as f64), want, 3e-3, "load");
    }
    let limits: Vec<_> = path.events.iter().filter(|e| e.kind == EventKind::Limit).collect();
    close(limits[0].factor, 33.870, 3e-3, "first limit");
    close(limits[0].watched, -0.2323, 1e-2, "first limit at");
    close(limits[1].factor, 31.279, 3e-3, "second limit");
    close(limits[1].watched, -0.3914, 1e-2, "second limit at");
    close(path.limit_factor.unwrap(), 33.870, 3e-3, "limit factor");
}

#[test]
fn rise_032_never_falls() {
    let path = toggle(0.32, 150);
    assert!(path.events.iter().all(|e| e.kind != EventKind::Limit));
    let wanted = [19.224, 25.831, 27.668, 32.377, 46.742, 76.595, 127.133];
    for (i, want) in wanted.into_iter().enumerate() {
        close(factor_at(&path, -0.1 * (i + 1) as f64), want, 3e-3, "load");
    }
}
