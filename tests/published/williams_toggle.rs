//! The toggle of F. W. Williams, Q. J. Mech. Appl. Math. 17 (1964) 451-469 (dimensions from memory):
//! two clamped members, half-span 12.943 in, rise 0.386 in, 0.753 × 0.243 in, E = 1.03e7 psi, a load at
//! the crown.
//!
//! Reference figures derived for this project (geometrically exact, extrapolated); tolerance 0.3 %.
//! The rise of some reprints, 0.32 in, has no limit point.

use crate::plane::{CLAMPED, IN_PLANE, close, factor_at, line, load, node, section, value_at};
use strutwise::frame::path::{EventKind, Path, PathOptions, PathStep, trace};
use strutwise::frame::{BarSection, Frame};
use strutwise::vector::Vec3;

fn member() -> BarSection {
    let (breadth, depth) = (0.753, 0.243_f64);
    section(1.03e7, breadth * depth, breadth * depth.powi(3) / 12.0)
}

/// Horizontal push of either half on the crown, from what the path tells of the last bar before it: its axial force by
/// its stretch and bow, its shear by the balance of the crown under the load.
fn thrust(rise: f64, step: &PathStep) -> f64 {
    let moved = step.displacements.as_ref().unwrap();
    // Nodes: the two feet and the crown between them, then the left half's, the last of them next to the crown.
    let (before, crown, pieces) = (11, 1, 10.0);
    let first = [12.943 / pieces, rise / pieces];
    let now = [0, 2].map(|axis| moved[crown][axis] - moved[before][axis]);
    let now = [first[0] + now[0], first[1] + now[1]];
    let [length, was] = [now, first].map(|c| c[0].hypot(c[1]));
    let [climb, climbed] = [now, first].map(|c| c[1].atan2(c[0]));
    // Turning about y takes x towards −z.
    let [a, b] = [before, crown].map(|n| moved[n][4] + climb - climbed);
    let strain = length / was - 1.0 + (2.0 * a * a - a * b + 2.0 * b * b) / 30.0;
    let axial = member().elastic * member().area * strain;
    let (sine, cosine) = climb.sin_cos();
    let shear = (0.5 * step.factor + axial * sine) / cosine;
    -axial * cosine - shear * sine
}

fn toggle(rise: f64, steps: usize) -> Path {
    let mut frame = Frame::default();
    let left = node(&mut frame, Vec3::new(-12.943, 0.0, 0.0), CLAMPED);
    let crown = node(&mut frame, Vec3::new(0.0, 0.0, rise), IN_PLANE);
    let right = node(&mut frame, Vec3::new(12.943, 0.0, 0.0), CLAMPED);
    let s = member();
    line(&mut frame, left, crown, 10, s, IN_PLANE);
    line(&mut frame, crown, right, 10, s, IN_PLANE);
    let options = PathOptions {
        watch: Some((crown, 2)),
        steps,
        coarseness: 0.03,
        keep_displacements: true,
        closeness: 1e-9,
        ..PathOptions::default()
    };
    trace(&frame, &load(crown, 2, -1.0), &options).unwrap()
}

#[test]
fn rise_0386_snaps() {
    let path = toggle(0.386, 150);
    let wanted = [25.203, 33.498, 32.846, 31.300, 36.094, 53.312, 88.186];
    for (i, want) in wanted.into_iter().enumerate() {
        close(factor_at(&path, -0.1 * (i + 1) as f64), want, 3e-3, "load");
    }
    let wanted = [365.1, 589.7, 672.8, 621.3, 446.3, 158.4, -235.4];
    for (i, want) in wanted.into_iter().enumerate() {
        let got = value_at(&path, -0.1 * (i + 1) as f64, |step| thrust(0.386, step));
        close(got, want, 3e-3, "thrust");
    }
    let limits: Vec<_> = path.events.iter().filter(|e| e.kind == EventKind::Limit).collect();
    close(limits[0].factor, 33.870, 3e-3, "first limit");
    close(limits[0].watched, -0.2323, 3e-3, "first limit at");
    close(limits[1].factor, 31.279, 3e-3, "second limit");
    close(limits[1].watched, -0.3914, 3e-3, "second limit at");
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
