//! Second order held to closed forms, to other units and to itself.

use super::*;
use crate::frame::bar::{forces_on_chord, turned_with_chord};
use crate::frame::timber::TIMBER;
use crate::frame::{BarSection, Node, NodeId};
use crate::vector::Vec3;

/// A post whose foot is turned by θ and whose top carries P: beside the straight line through the foot it bends as
/// w″ = −k²·w with k² = P/(E·I), so the top moves by θ·tan(k·h)/k in all, and the foot holds P times that. A foot that only
/// moves over takes the whole with it and holds nothing; what turns it the other way is the mirror image.
#[test]
fn a_post_on_a_foot_that_moves_leans_further_under_its_load() {
    let section = TIMBER;
    let (height, count, down) = (2.4, 6, 4000.0);
    let node = |k: usize| Node {
        at: Vec3::new(0.0, 0.0, height * k as f64 / count as f64),
        held: [k == 0; 6],
        ground: [0.0; 6],
    };
    let bar = |k: usize| Bar {
        from: NodeId(k),
        to: NodeId(k + 1),
        section,
        up: Vec3::new(0.0, 1.0, 0.0),
        ends: [EndFix::Rigid, EndFix::Rigid],
    };
    let frame = Frame {
        nodes: (0..=count).map(node).collect(),
        bars: (0..count).map(bar).collect(),
        ..Frame::default()
    };
    let solver = Solver::new(&frame).unwrap();
    let top = NodeId(count);
    let settled = |settlements: Vec<(NodeId, usize, f64)>| {
        let loads = FrameLoads {
            nodes: vec![(top, [0.0, 0.0, -down, 0.0, 0.0, 0.0])],
            settlements,
            ..FrameLoads::default()
        };
        solver.second_order(&loads, &[]).unwrap().response
    };
    let turn = 0.01;
    // Turned about y it leans along x and bends about the section's z, as y is up; about x, the other way.
    for (freedom, along, inertia) in [(4, 0, section.second_moment_z), (3, 1, section.second_moment_y)] {
        let k = (down / (section.elastic * inertia)).sqrt();
        let lean = turn * (k * height).tan() / k;
        assert!(lean > 1.3 * turn * height, "hardly pushed");
        let sign = if freedom == 4 { 1.0 } else { -1.0 };
        for way in [sign, -sign] {
            let found = settled(vec![(NodeId(0), freedom, way * turn)]);
            let moved = found.displacements[count][along];
            assert!((moved - way * sign * lean).abs() < 1e-4 * lean, "{moved} and {lean}");
            let held = found.reactions[0].1[freedom];
            assert!((held.abs() - down * lean).abs() < 1e-4 * down * lean, "{held} and {}", down * lean);
        }
    }
    let idle = solver.second_order(&FrameLoads::default(), &[]).unwrap();
    assert!(idle.response.displacements.iter().flatten().all(|u| u.abs() <= 0.0), "no axial force at all");
    let over = settled(vec![(NodeId(0), 0, 0.05)]);
    assert!((over.displacements[count][0] - 0.05).abs() < 1e-9 && over.reactions[0].1[4].abs() < 1e-6);
}

/// Bars, their springy ends, links and folds half as stiff move twice as far under the same load, with the same forces; what
/// the ground gives stays.
#[test]
fn half_as_stiff_moves_twice_as_far() {
    let mut frame = crate::frame::linear::tests::frame();
    frame.bars[0].ends[1] = EndFix::Springs([4e3, 5e3, 6e3]);
    let mut load = FrameLoads::default();
    for (node, force) in [(2, [30.0, -20.0, 50.0, 2.0, 3.0, -1.0]), (6, [10.0, 20.0, -60.0, 0.0, 0.0, 0.0])] {
        load.nodes.push((NodeId(node), force));
    }
    let of =
        |frame: &Frame| Solver::new(frame).unwrap().solve(std::slice::from_ref(&load)).unwrap().remove(0);
    let (whole, half) = (of(&frame), of(&softened(&frame, 0.5)));
    for (a, b) in whole.displacements.iter().flatten().zip(half.displacements.iter().flatten()) {
        assert!((2.0 * a - b).abs() < 1e-9 * (1e-6 + a.abs()), "{a} {b}");
    }
    for (a, b) in whole.bar_ends.iter().flatten().zip(half.bar_ends.iter().flatten()) {
        assert!((a.n - b.n).abs() + (a.t - b.t).abs() + (a.my - b.my).abs() + (a.mz - b.mz).abs() < 1e-6);
    }
    frame.nodes[2].ground = [1e3; 6];
    assert_eq!(softened(&frame, 0.5).nodes, frame.nodes);
}

/// Several crookednesses at once are, to the bit, each of them alone; either way of one moves a leaning post
/// differently.
#[test]
fn several_ways_at_once_are_each_of_them_alone() {
    let node = |x: f64, z: f64| Node {
        at: Vec3::new(x, 0.0, z),
        held: if z > 0.0 { [false; 6] } else { [true; 6] },
        ground: [0.0; 6],
    };
    let section = TIMBER;
    let bar = Bar {
        from: NodeId(0),
        to: NodeId(1),
        section,
        up: Vec3::new(0.0, 1.0, 0.0),
        ends: [EndFix::Rigid, EndFix::Rigid],
    };
    let bars = vec![bar.clone(), Bar { from: NodeId(1), to: NodeId(2), ..bar }];
    let frame =
        Frame { nodes: vec![node(0.0, 0.0), node(0.1, 1.2), node(0.3, 2.4)], bars, ..Frame::default() };
    let solver = Solver::new(&frame).unwrap();
    let load = [50.0, 20.0, -4e3, 0.0, 0.0, 0.0];
    let loads = FrameLoads { nodes: vec![(NodeId(2), load)], ..FrameLoads::default() };
    let shape = [[0.0; 6], [0.3, 0.1, 0.0, 0.0, 0.0, 0.0], [1.0, 0.4, 0.0, 0.0, 0.0, 0.0]];
    let either = [crookedness(&shape, 0.02), crookedness(&shape, -0.02)];
    let straight: &[[f64; 6]] = &[];
    let all = [straight, &either[0], &either[1]];
    let together = solver.second_order_each(&loads, &all).unwrap();
    for (one, crooked) in together.iter().zip(all) {
        assert_eq!(*one, solver.second_order(&loads, crooked).unwrap());
    }
    let base =
        |answer: &SecondOrder| answer.response.bar_ends[0][0].my.hypot(answer.response.bar_ends[0][0].mz);
    assert!((base(&together[1]) - base(&together[2])).abs() > 0.05 * base(&together[0]));
}

/// A narrow portal whose columns have this second moment out of its plane; its beam holds them in the plane, and out of
/// it as said.
fn portal(across: f64, beam_across: f64) -> Frame {
    let node = |x: f64, z: f64| Node {
        at: Vec3::new(x, 0.0, z),
        held: if z > 0.0 { [false; 6] } else { [true; 6] },
        ground: [0.0; 6],
    };
    let section = |across: f64| BarSection {
        area: 8e-3,
        second_moment_y: across,
        second_moment_z: 3e-5,
        torsion: 1e-5,
        ..TIMBER
    };
    let post = |from: usize, to: usize| Bar {
        from: NodeId(from),
        to: NodeId(to),
        section: section(across),
        up: Vec3::new(0.0, 1.0, 0.0),
        ends: [EndFix::Rigid, EndFix::Rigid],
    };
    let beam = Bar {
        section: section(3e-5),
        up: Vec3::new(0.0, 0.0, 1.0),
        ends: [EndFix::Springs([0.0, 1e9, beam_across]); 2],
        ..post(1, 2)
    };
    Frame {
        nodes: vec![node(0.0, 0.0), node(0.0, 3.0), node(1.0, 3.0), node(1.0, 0.0)],
        bars: vec![post(0, 1), post(3, 2), beam],
        ..Frame::default()
    }
}

fn pushed_by(along: f64) -> FrameLoads {
    let top = |node: usize| (NodeId(node), [along, 0.0, -150e3, 0.0, 0.0, 0.0]);
    FrameLoads { nodes: vec![top(1), top(2)], ..FrameLoads::default() }
}

fn lowest(frame: &Frame, axial: &[f64]) -> f64 {
    Solver::new(frame).unwrap().buckling_under(axial, 1).unwrap().factors[0]
}

/// A portal that sways in its plane puts more on its leeward column than the first order says. Where that column
/// buckles out of the plane, which nothing excites, between the two, the steps come to rest all the same: the
/// answer is refused, and with a fifth more stiffness out of the plane it is given.
#[test]
fn an_answer_that_is_not_stable_is_refused() {
    let loads = pushed_by(1e3);
    let wide = Solver::new(&portal(3e-4, 0.0)).unwrap();
    let first = geometric::axial_forces(&wide.solve(std::slice::from_ref(&loads)).unwrap()[0]);
    let second = wide.second_order(&loads, &[]).unwrap().axial;
    let more = second[1] / first[1];
    assert!(second[1] < 0.0 && more > 1.01, "{more}");
    // Only the columns' own stiffness out of the plane counts in the lowest shape.
    let between = 4e-5 * more.sqrt() / lowest(&portal(4e-5, 0.0), &first);
    let frame = portal(between, 0.0);
    assert!(lowest(&frame, &first) > 1.0 && lowest(&frame, &second) < 1.0);
    let answer = |across: f64| Solver::new(&portal(across, 0.0)).unwrap().second_order(&loads, &[]);
    assert_eq!(answer(between).unwrap_err(), FrameError::BeyondBuckling);
    // Each of two ways that are alike is as little stable.
    let twice = Solver::new(&frame).unwrap().second_order_each(&loads, &[&[], &[]]);
    assert_eq!(twice.unwrap_err(), FrameError::BeyondBuckling);
    assert!(answer(1.2 * between).is_ok());
}

/// Crooked either way the portal puts more on one column or on the other, which sway out of the plane together. Stable
/// either way, it is answered, though it would not stand with the more on both.
#[test]
fn ways_that_are_stable_each_are_answered() {
    let loads = pushed_by(0.0);
    let mut sway = [[0.0; 6]; 4];
    (sway[1][0], sway[2][0]) = (0.03, 0.03);
    let back = sway.map(|six| six.map(|v| -v));
    let both =
        |across: f64| Solver::new(&portal(across, 1e9)).unwrap().second_order_each(&loads, &[&sway, &back]);
    let ways = both(3e-4).unwrap();
    let most: Vec<f64> = ways[0].axial.iter().zip(&ways[1].axial).map(|(a, b)| a.min(*b)).collect();
    let at =
        |across: f64| (lowest(&portal(across, 1e9), &ways[0].axial), lowest(&portal(across, 1e9), &most));
    let (each, together) = at(4e-5);
    let between = 4e-5 / (each * together).sqrt();
    let (each, together) = at(between);
    assert!(each > 1.0 && together < 1.0, "{each} {together}");
    assert_eq!(both(between).unwrap().len(), 2);
}

/// Where the sway shares the axial forces out anew from step to step, up to near the load at which there is no answer, the
/// answer is found all the same, in steps that are not many, and its axial forces are those that its stiffness has.
#[test]
fn an_answer_far_from_the_first_order_is_found() {
    let solver = Solver::new(&portal(3e-4, 1e5)).unwrap();
    for (down, most) in [(150e3, 9), (240e3, 12), (285e3, 25)] {
        let top = |node: usize| (NodeId(node), [3e4, 0.0, -down, 0.0, 0.0, 0.0]);
        let loads = FrameLoads { nodes: vec![top(1), top(2)], ..FrameLoads::default() };
        let first = geometric::axial_forces(&solver.solve(std::slice::from_ref(&loads)).unwrap()[0]);
        let found = solver.second_order(&loads, &[]).unwrap();
        assert!(found.steps <= most, "{down}: {} steps", found.steps);
        assert!(found.axial[1] < 1.2 * first[1], "{:?} {first:?}", found.axial);
        for (axial, ends) in found.axial.iter().zip(&found.response.bar_ends) {
            assert!((axial - ends[0].n).abs() < 1e-7 * 1e6, "{down}: {axial} {}", ends[0].n);
        }
    }
}

/// The axial forces that were settled on are those of the answer, where the frame shares them out anew under its sway; and
/// in another unit of force everything is the same, in as many steps.
#[test]
fn the_axial_forces_are_those_of_the_answer_in_any_unit_of_force() {
    let of = |unit: f64| {
        let mut frame = portal(3e-4, 1e5);
        for bar in &mut frame.bars {
            (bar.section.elastic, bar.section.shear) = (bar.section.elastic * unit, bar.section.shear * unit);
            for end in &mut bar.ends {
                if let EndFix::Springs(k) = end {
                    *k = k.map(|k| k * unit);
                }
            }
        }
        let mut loads = pushed_by(1e3);
        loads.nodes.iter_mut().for_each(|(_, six)| *six = six.map(|f| f * unit));
        Solver::new(&frame).unwrap().second_order(&loads, &[]).unwrap()
    };
    let here = of(1.0);
    for (axial, ends) in here.axial.iter().zip(&here.response.bar_ends) {
        assert!((axial - ends[0].n).abs() < 1e-7 * 150e3, "{axial} {}", ends[0].n);
    }
    for unit in [1e-9, 1e9] {
        let there = of(unit);
        assert_eq!(there.steps, here.steps);
        for (a, b) in there.axial.iter().zip(&here.axial) {
            assert!((a / unit - b).abs() < 1e-8 * 150e3, "{a} {b}");
        }
    }
}

/// A leaning post of one bar, loaded at its top down and across: what its moments gain by the turn of its chord grows evenly from the
/// top, where there is none, so that half way down it is half of P·(lean of the top), whichever end the bar begins with.
#[test]
fn forces_along_a_bar_do_not_go_by_which_end_it_begins_with() {
    let (height, down, across) = (2.0, 3000.0, 150.0);
    for turned in [false, true] {
        let at = |z: f64, held: bool| Node { at: Vec3::new(0.0, 0.0, z), held: [held; 6], ground: [0.0; 6] };
        let [from, to] = if turned { [1, 0] } else { [0, 1] }.map(NodeId);
        let ends = [EndFix::Rigid, EndFix::Rigid];
        let post = Bar { from, to, section: TIMBER, up: Vec3::new(0.0, 1.0, 0.0), ends };
        let frame =
            Frame { nodes: vec![at(0.0, true), at(height, false)], bars: vec![post], ..Frame::default() };
        let top = (NodeId(1), [across, across, -down, 0.0, 0.0, 0.0]);
        let loads = FrameLoads { nodes: vec![top], ..FrameLoads::default() };
        let solver = Solver::new(&frame).unwrap();
        let found = solver.second_order(&loads, &[]).unwrap().response;
        let line = &solver.assembly().lines[0];
        let gain = turned_with_chord(line, &found.bar_ends[0], &[]);
        let middle = forces_on_chord(line, &found.bar_ends[0], &[], gain, 0.5 * height);
        let (foot, moved) = (found.bar_ends[0][usize::from(turned)], found.displacements[1]);
        for (here, at_foot, lean) in [(middle.mz, foot.mz, moved[0]), (middle.my, foot.my, moved[1])] {
            let whole = across * height + down * lean.abs();
            assert!(lean.abs() > 0.003 && (at_foot.abs() - whole).abs() < 1e-6 * whole, "{at_foot} {whole}");
            assert!((here.abs() - 0.5 * whole).abs() < 1e-6 * whole, "{here} of {whole}");
        }
        let shear = across + down * moved[0].abs() / height;
        assert!((middle.vy.abs() - shear).abs() < 1e-6 * shear, "{} {shear}", middle.vy);
    }
}
