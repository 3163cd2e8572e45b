//! Bars: closed forms, elimination, and roots.

use super::*;
use crate::frame::{BarSection, Node, NodeId};
use approx::assert_relative_eq;

/// `(t − 1/4)(t − 3/4)` at any size of load; and `t² + 1e8 t + 1`, whose smaller root −1e-8 is lost where two near numbers are
/// taken from each other.
#[test]
fn roots_are_found_at_any_size_and_without_cancelling() {
    for size in [1e-9, 1.0, 1e9] {
        let mut roots = quadratic_roots(size, -size, 0.1875 * size);
        roots.sort_by(f64::total_cmp);
        assert_eq!(roots.len(), 2);
        assert_relative_eq!(roots[0], 0.25, max_relative = 1e-12);
        assert_relative_eq!(roots[1], 0.75, max_relative = 1e-12);
        assert_eq!(quadratic_roots(0.0, 2.0 * size, -size), [0.5]);
    }
    let roots = quadratic_roots(1.0, 1e8, 1.0);
    let small = roots
        .iter()
        .copied()
        .fold(f64::INFINITY, |least, root| if root.abs() < least.abs() { root } else { least });
    assert_relative_eq!(small, -1e-8, max_relative = 1e-12);
    assert_eq!(quadratic_roots(1.0, 0.0, 1.0), Vec::<f64>::new());
}

fn bar(ends: [EndFix; 2]) -> Bar {
    Bar {
        from: NodeId(0),
        to: NodeId(1),
        section: BarSection {
            area: 0.004,
            second_moment_y: 3e-6,
            second_moment_z: 8e-5,
            torsion: 2e-6,
            elastic: 11e9,
            shear: 0.7e9,
            mass: 2.0,
        },
        up: crate::vector::up(),
        ends,
    }
}

fn along_x(length: f64) -> BarLine {
    let axes = crate::vector::line_axes(&Vec3::zeros(), &Vec3::new(length, 0.0, 0.0), &crate::vector::up());
    BarLine { axes: axes.unwrap(), length }
}

/// The 12 × 12 bar with its springs as extra freedoms, condensed by plain elimination.
fn condensed_by_elimination(bar: &Bar, length: f64) -> (Matrix12, nalgebra::DMatrix<f64>) {
    let rigid = stiffness(&Bar { ends: [EndFix::Rigid; 2], ..bar.clone() }, length);
    // Freedoms: twelve of the nodes, then six rotations of the bar's own ends.
    let mut k = nalgebra::DMatrix::<f64>::zeros(18, 18);
    let place = |local: usize| match local {
        3..=5 => local + 9,
        9..=11 => local + 6,
        other => other,
    };
    for i in 0..12 {
        for j in 0..12 {
            k[(place(i), place(j))] += rigid[(i, j)];
        }
    }
    for end in 0..2 {
        let springs = end_springs(&bar.ends[end]);
        for (axis, spring) in springs.into_iter().enumerate() {
            let (node, own) = (6 * end + 3 + axis, 12 + 3 * end + axis);
            k[(node, node)] += spring;
            k[(own, own)] += spring;
            k[(node, own)] -= spring;
            k[(own, node)] -= spring;
        }
    }
    let inner = k.view((12, 12), (6, 6)).into_owned();
    let outer = k.view((12, 0), (6, 12)).into_owned();
    let map = -inner.lu().solve(&outer).unwrap();
    let condensed = k.view((0, 0), (12, 12)) + k.view((0, 12), (12, 6)) * &map;
    (Matrix12::from_iterator(condensed.iter().copied()), map)
}

#[test]
fn springs_are_condensed_as_elimination_does() {
    let bar = bar([EndFix::Springs([3e3, 2e4, 5e4]), EndFix::Springs([1e3, 7e5, 4e3])]);
    let (k, map) = condensed_by_elimination(&bar, 2.5);
    let own = stiffness(&bar, 2.5);
    assert_relative_eq!(own, k, max_relative = 1e-10, epsilon = 1e-3);
    let condensation = condensation(&bar, 2.5);
    for (row, local) in [3, 4, 5, 9, 10, 11].into_iter().enumerate() {
        for column in 0..12 {
            assert_relative_eq!(condensation[(local, column)], map[(row, column)], epsilon = 1e-10);
        }
    }
}

/// Forces without the matrix are those with it, whatever the ends: for every movement alone, and for all at once.
#[test]
fn forces_are_stiffness_times_movements() {
    let springs = EndFix::Springs([3e3, 2e4, 5e4]);
    let ends = [EndFix::Rigid, EndFix::Hinged, springs];
    for (one, other) in ends.iter().flat_map(|one| ends.iter().map(move |other| (one, other))) {
        let bar = bar([*one, *other]);
        let k = stiffness(&bar, 2.5);
        let mut all = Vector12::zeros();
        for freedom in 0..12 {
            let mut moved = Vector12::zeros();
            moved[freedom] = 1e-3;
            assert_relative_eq!(forces(&bar, 2.5, &moved), k * moved, max_relative = 1e-12);
            let pushed = crate::frame::geometric::bar(&bar, 2.5, -700.0) * moved;
            let found = crate::frame::geometric::forces(&bar, 2.5, -700.0, &moved);
            assert!((found - pushed).amax() <= 1e-12 * pushed.amax(), "{found} {pushed}");
            all[freedom] = 1e-3 * (0.3 * freedom as f64 + 1.0).sin();
        }
        assert_relative_eq!(
            forces(&bar, 2.5, &all),
            k * all,
            max_relative = 1e-10,
            epsilon = 1e-9 * k.amax()
        );
    }
}

#[test]
fn rigid_springs_are_rigid_and_no_springs_are_hinges() {
    let hinged = stiffness(&bar([EndFix::Hinged; 2]), 2.0);
    assert!((1..6).all(|i| hinged.row(i).amax() == 0.0));
    let infinite = stiffness(&bar([EndFix::Springs([f64::INFINITY; 3]); 2]), 2.0);
    assert_relative_eq!(infinite, stiffness(&bar([EndFix::Rigid; 2]), 2.0));
    assert_relative_eq!(condensation(&bar([EndFix::Rigid; 2]), 2.0), Matrix12::identity());
}

#[test]
fn a_partial_trapezium_is_in_equilibrium_and_meets_the_springs() {
    let bar = bar([EndFix::Springs([0.0, 2e4, 5e5]), EndFix::Rigid]);
    let line = along_x(3.0);
    let load = BarLoad {
        bar: BarId(0),
        span: [0.4, 2.1],
        intensity: [Vec3::new(10.0, 300.0, -200.0), Vec3::new(40.0, -100.0, -700.0)],
    };
    let loads = [load];
    let held = fixed_end_forces(&bar, &line, &loads);
    let ends = end_forces(&held);
    let far = forces_at(&line, &ends, &loads, 3.0);
    for (a, b) in [
        (far.n, ends[1].n),
        (far.vy, ends[1].vy),
        (far.vz, ends[1].vz),
        (far.my, ends[1].my),
        (far.mz, ends[1].mz),
    ] {
        assert_relative_eq!(a, b, epsilon = 1e-9, max_relative = 1e-12);
    }
    // Slope at the sprung end by virtual work equals moment over stiffness: bending about z.
    let steps = 20_000;
    let (mut slope, h) = (0.0, 3.0 / f64::from(steps));
    for i in 0..steps {
        let x = (f64::from(i) + 0.5) * h;
        // Clamped at x = 3: the slope at 0 is minus the integral of M/EI.
        slope -= forces_at(&line, &ends, &loads, x).mz / (11e9 * 8e-5) * h;
    }
    assert_relative_eq!(slope, ends[0].mz / 5e5, max_relative = 1e-6);
}

#[test]
fn stations_hold_the_largest_moment() {
    let bar = bar([EndFix::Hinged; 2]);
    let line = along_x(4.0);
    let q = Vec3::new(0.0, 0.0, -1000.0);
    let loads = [BarLoad { bar: BarId(0), span: [0.0, 4.0], intensity: [Vec3::zeros(), q] }];
    let ends = end_forces(&fixed_end_forces(&bar, &line, &loads));
    let top = stations(&line, &ends, &loads)
        .into_iter()
        .map(|x| forces_at(&line, &ends, &loads, x).my.abs())
        .fold(0.0, f64::max);
    // w L² / (9 √3) at L/√3, any table of beams.
    assert_relative_eq!(top, 1000.0 * 16.0 / (9.0 * 3.0_f64.sqrt()), max_relative = 1e-12);
}

#[test]
fn a_bar_of_no_length_is_named() {
    let node = |x: f64| Node { at: Vec3::new(x, 0.0, 0.0), held: [false; 6], ground: [0.0; 6] };
    let frame =
        Frame { nodes: vec![node(1.0), node(1.0)], bars: vec![bar([EndFix::Rigid; 2])], ..Frame::default() };
    assert_eq!(line(&frame, BarId(0)), Err(FrameError::NoLength { bar: BarId(0) }));
}

/// A load across both ways at once has both its shears at nothing in the middle: one station, not two. A shear that would be
/// nothing only beyond the bar, or before it, makes none.
#[test]
fn stations_are_told_once_and_lie_on_the_bar() {
    let line = along_x(2.0);
    let load =
        |y: f64, z: f64| BarLoad { bar: BarId(0), span: [0.0, 2.0], intensity: [Vec3::new(0.0, y, z); 2] };
    let axes = |vy: f64, vz: f64| BarForces { vy, vz, ..BarForces::default() };
    // Global y and z are the bar's own, but for their order and sign.
    let loads = [load(-3.0, -5.0)];
    let local = line.local(&loads[0].intensity[0]);
    let found = stations(&line, &[axes(local.y, local.z), axes(-local.y, -local.z)], &loads);
    assert_eq!(found.len(), 3, "{found:?}");
    assert!((found[1] - 1.0).abs() < 1e-12);
    for times in [-3.0, 5.0] {
        let ends = [axes(times * local.y, 0.0), axes((times - 2.0) * local.y, 0.0)];
        let flat = [BarLoad {
            intensity: [line.axes.transpose() * Vec3::new(0.0, local.y, 0.0); 2],
            ..loads[0].clone()
        }];
        assert_eq!(stations(&line, &ends, &flat), [0.0, 2.0], "{times}");
    }
}

/// A shear that is nothing within a load that covers a part of the bar: q on the second metre of a simple beam of 2 m leaves q/4
/// to the start, and the shear is nothing a quarter of a metre into the load.
#[test]
fn a_shear_is_nothing_within_a_part_of_the_bar() {
    let line = along_x(2.0);
    let loads = [BarLoad {
        bar: BarId(0),
        span: [1.0, 2.0],
        intensity: [line.axes.transpose() * Vec3::new(0.0, -8.0, 0.0); 2],
    }];
    let at = |vy: f64| BarForces { vy, ..BarForces::default() };
    // The shear that the cut carries on its face along +x: −2 at the start, +6 at the end.
    let found = stations(&line, &[at(-2.0), at(6.0)], &loads);
    assert_eq!(found.len(), 4, "{found:?}");
    for (got, want) in found.iter().zip([0.0, 1.0, 1.25, 2.0]) {
        assert!((got - want).abs() < 1e-12, "{found:?}");
    }
}

/// What nodes put on the ends of a bar, and what its cuts carry: the same at the end, whose face looks along +x, the opposite at
/// the start.
#[test]
fn end_forces_are_those_of_the_faces() {
    let local = Vector12::from_fn(|i, _| 10.0 + i as f64);
    let six = |f: &BarForces| [f.n, f.vy, f.vz, f.t, f.my, f.mz];
    let [start, end] = end_forces(&local);
    assert_eq!(six(&start).map(f64::to_bits), [-10.0, -11.0, -12.0, -13.0, -14.0, -15.0].map(f64::to_bits));
    assert_eq!(six(&end).map(f64::to_bits), [16.0, 17.0, 18.0, 19.0, 20.0, 21.0].map(f64::to_bits));
}
