//! A shallow hexagonal cap with rigid joints, after J. L. Meek and H. S. Tan, Comput. Meth. Appl. Mech.
//! Eng. 47 (1984) (data from memory, supports uncertain): six ribs on a hexagon of radius 24 in, rise
//! 1.75 in, E = 439.8 ksi, G = 159 ksi, A = 0.494 in², I = 0.02 in⁴ both ways, J = 0.0331 in⁴, a load at
//! the crown.
//!
//! Not a published benchmark: reference figures derived for this project (12 elements a rib,
//! extrapolated); tolerance 1 %. With pinned feet the frame is unstable in several modes together well
//! before the limit.
//!
//! Where the frame is first unstable was derived with six elements a rib of another kind, whose limits come out 4 % high
//! (111.1 and 67.3). Six of these bars, whose strain counts their bow, are within 0.3 % of twelve, so those figures
//! themselves cannot hold here. What of them does not hang on the mesh is held: pinned, several modes at 58.1/67.3 of
//! the limit. Clamped, one single mode was derived at 0.995 of the limit; it is found at 0.980, and there it is held to
//! a closed form instead: the crown turns about the upright where the thrust of a rib, fixed at its foot, reaches
//! 20.19 EI/L² (tan x = x, the rotational stiffness of the near end gone), to 1 %.

use crate::plane::{CLAMPED, FREE, PINNED, close, factor_at, line, load, node, section};
use strutwise::frame::path::{EventKind, Path, PathOptions, trace};
use strutwise::frame::{BarSection, Frame};
use strutwise::vector::Vec3;

fn cap(feet: [bool; 6], elements: usize) -> Path {
    let s = BarSection { torsion: 0.0331, shear: 159e3, ..section(439.8e3, 0.494, 0.02) };
    let mut frame = Frame::default();
    let crown = node(&mut frame, Vec3::new(0.0, 0.0, 1.75), FREE);
    for i in 0..6 {
        let (sine, cosine) = (std::f64::consts::FRAC_PI_3 * i as f64).sin_cos();
        let foot = node(&mut frame, Vec3::new(24.0 * cosine, 24.0 * sine, 0.0), feet);
        line(&mut frame, foot, crown, elements, s, FREE);
    }
    let options = PathOptions {
        watch: Some((crown, 2)),
        steps: 200,
        coarseness: 0.04,
        keep_displacements: true,
        closeness: 1e-9,
        ..PathOptions::default()
    };
    trace(&frame, &load(crown, 2, -1.0), &options).unwrap()
}

fn limits(path: &Path) -> Vec<&strutwise::frame::path::Event> {
    path.events.iter().filter(|e| e.kind == EventKind::Limit).collect()
}

#[test]
fn clamped_feet() {
    let path = cap(CLAMPED, 12);
    let found = limits(&path);
    close(limits(&cap(CLAMPED, 6))[0].factor, found[0].factor, 3e-3, "six elements a rib");
    let first = &path.events[0];
    assert_eq!((first.kind, first.modes), (EventKind::Branch, 1));
    assert!(
        (0.95..1.0).contains(&(first.factor / found[0].factor)),
        "just before the limit: {}",
        first.factor
    );
    // The crown turns about the upright and goes nowhere.
    let crown = first.shape[0];
    let others = [0, 1, 2, 3, 4].map(|axis| crown[axis].abs());
    assert!(others.iter().all(|v| *v < 1e-6 * crown[5].abs()), "{crown:?}");
    // Nodes: the crown, the first rib's foot, then from there inward.
    let moved = path.steps[first.step].displacements.as_ref().unwrap();
    let rib: Vec<usize> = std::iter::once(1).chain(2..13).chain([0]).collect();
    let length = 24.0_f64.hypot(1.75);
    let at = |k: usize| {
        let t = k as f64 / 12.0;
        let u = moved[rib[k]];
        Vec3::new(24.0 * (1.0 - t) + u[0], u[1], 1.75 * t + u[2])
    };
    let now: f64 = (0..12).map(|k| (at(k + 1) - at(k)).norm()).sum();
    let thrust = 439.8e3 * 0.494 * (1.0 - now / length);
    close(
        thrust,
        4.493_409_5_f64.powi(2) * 439.8e3 * 0.02 / (length * length),
        1e-2,
        "thrust of a rib there",
    );
    close(found[0].factor, 106.78, 1e-2, "first limit");
    close(-found[0].watched, 0.715, 1e-2, "at");
    close(found[1].factor, 28.61, 1e-2, "second limit");
    close(-found[1].watched, 2.042, 1e-2, "at");
    let wanted = [98.89, 96.01, 54.07, 28.79, 54.09, 156.57];
    for (i, want) in wanted.into_iter().enumerate() {
        close(factor_at(&path, -0.5 * (i + 1) as f64), want, 1e-2, "load");
    }
}

#[test]
fn pinned_feet_branch_before_the_limit() {
    let path = cap(PINNED, 12);
    let found = limits(&path);
    close(found[0].factor, 64.80, 1e-2, "first limit");
    // The curve is so flat there that the place of its top (0.396 here, 0.406 in the derived figures) is
    // known far less well than its height, and less well still by extrapolation: compare the height at the place
    // given.
    close(factor_at(&path, -0.406), 64.80, 1e-2, "load at 0.406");
    let wanted = [61.48, 27.21, 1.14, -11.80, -3.97, 46.18];
    for (i, want) in wanted.into_iter().enumerate() {
        let got = factor_at(&path, -0.5 * (i + 1) as f64);
        assert!((got - want).abs() < 1e-2 * 64.80, "load: {got} against {want}");
    }
    close(found[1].factor, -12.30, 1e-2, "second limit");
    close(-found[1].watched, 2.106, 1e-2, "at");
    let first = &path.events[0];
    assert_eq!(first.kind, EventKind::Branch);
    assert!(first.load_share < 0.05, "square to the load: {}", first.load_share);
    assert!(first.modes > 1 || path.events[1].factor < 1.01 * first.factor, "several modes together");
    close(first.factor / found[0].factor, 58.1 / 67.3, 1e-2, "branch over limit");
    close(first.watched / found[0].watched, 0.270 / 0.42, 1e-2, "and where");
}
