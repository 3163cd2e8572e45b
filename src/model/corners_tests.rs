use super::*;
use crate::frame::linear::Solver;
use crate::frame::{FrameLoads, NodeId};
use crate::model::ask::{FeetHeld, JointModel};
use crate::model::joints::{JointStiffness, Material, build};
use crate::model::timbers::timbers;
use crate::section::ask::TimberAsk;
use crate::shell::ask::{Form, MeshAsk, ShellAsk, Up};

/// A flat wheel of `spokes` triangles round one joint, a hand up from flat so that it has an outside, and its feet.
fn wheel(spokes: usize) -> Shell {
    let mut joints = vec![("hub".to_owned(), Vec3::new(0.0, 0.0, 1e-4))];
    joints.extend((0..spokes).map(|k| {
        let turn = std::f64::consts::TAU * k as f64 / spokes as f64;
        (format!("j{k}"), Vec3::new(turn.cos(), turn.sin(), 0.0))
    }));
    let panels = (0..spokes).map(|k| (format!("p{k}"), vec![0, 1 + k, 1 + (k + 1) % spokes])).collect();
    let mesh = MeshAsk { joints, panels, feet: (1..=spokes).collect(), ..MeshAsk::default() };
    crate::shell::build(&ShellAsk { form: Form::Mesh(mesh), openings: Vec::new(), mend: true }).unwrap()
}

fn pulled(shell: &Shell, n: impl Fn(usize) -> f64) -> Vec<[BarForces; 2]> {
    (0..shell.members.len()).map(|m| [BarForces { n: n(m), ..BarForces::default() }; 2]).collect()
}

/// By hand: all spokes pull by 2 T, so each strip by T; a frame's corner of angle α is in balance with an opening of
/// T/tan(α/2) in both its half seams, and its mitre pulls T/sin(α/2).
#[test]
fn where_all_timbers_pull_the_seams_open_and_the_mitres_pull() {
    for spokes in [5, 6, 7] {
        let shell = wheel(spokes);
        let corners = Corners::new(&shell);
        let spoke = |m: usize| shell.members[m].joints.iter().any(|j| shell.joints[j.0].name == "hub");
        let ends = pulled(&shell, |m| if spoke(m) { 2000.0 } else { 0.0 });
        let half = std::f64::consts::PI / spokes as f64;
        let mut seen = 0;
        for (m, member) in shell.members.iter().enumerate().filter(|(m, _)| spoke(*m)) {
            let found = corners.at(m, &ends, |_| 0.0);
            let end = usize::from(shell.joints[member.joints[1].0].name == "hub");
            assert!((found.opening[end] / (1000.0 / half.tan()) - 1.0).abs() < 1e-4, "{found:?}");
            assert!(found.along[end].abs() < 1e-3 && found.through[end].abs() < 1.0, "{found:?}");
            for mitre in found.mitre[end] {
                assert!((mitre / (1000.0 / half.sin()) - 1.0).abs() < 1e-4, "{found:?}");
            }
            // Pushed instead, the frames close on each other.
            let pushed = corners.at(m, &pulled(&shell, |m| if spoke(m) { -2000.0 } else { 0.0 }), |_| 0.0);
            assert!((pushed.opening[end] + found.opening[end]).abs() < 1e-6);
            seen += 1;
        }
        assert_eq!(seen, spokes);
    }
}

/// One pulling spoke and its opposite, of six: what crosses every half seam balances every corner.
#[test]
fn every_corner_is_in_balance() {
    let shell = wheel(6);
    let corners = Corners::new(&shell);
    let ends = pulled(&shell, |m| [300.0, -120.0, 70.0, 0.0][m % 4]);
    let crosses = |joint: usize| {
        let ends_here = |member: &Member| (0..2).find(|&end| member.joints[end].0 == joint);
        let half = |(m, end): (usize, usize)| {
            let found = corners.at(m, &ends, |_| 0.0);
            Vec3::new(found.opening[end], found.along[end], found.through[end]).norm()
        };
        let all = shell.members.iter().enumerate().filter_map(|(m, member)| Some((m, ends_here(member)?)));
        all.filter(|(m, _)| corners.has(*m)).map(half).fold(0.0, f64::max)
    };
    for joint in 0..shell.joints.len() {
        let mut sums: std::collections::BTreeMap<usize, Vec3> = std::collections::BTreeMap::new();
        let mut rest = Vec3::zeros();
        for (m, member) in shell.members.iter().enumerate() {
            for end in (0..2).filter(|&end| member.joints[end].0 == joint) {
                let brought = corners.brought(m, end, &ends);
                rest -= brought;
                for panel in &member.panels {
                    *sums.entry(panel.0).or_default() += brought / member.panels.len() as f64;
                }
                if let Some(place) = corners.place[m] {
                    let seam = &corners.seams[place];
                    let found = corners.at(m, &ends, |_| 0.0);
                    let force = seam.along * found.along[end] + seam.outward * found.through[end]
                        - seam.leftward * found.opening[end];
                    *sums.entry(member.panels[0].0).or_default() += force;
                    *sums.entry(member.panels[1].0).or_default() -= force;
                }
            }
        }
        let hub = shell.joints[joint].name == "hub";
        for (panel, sum) in &sums {
            // At the hub nothing holds the joint, so its frames share what is not in balance alike; elsewhere both
            // frames have a rim.
            let share = rest / sums.len() as f64;
            // The anchor of a foot ties its two frames too, so that hardly anything is left for their half seam.
            let (left, most) =
                if hub { ((sum + share).norm(), 1e-6) } else { (crosses(joint), 0.01 * rest.norm()) };
            assert!(left < most, "{hub} {panel}: {sum:?} {share:?}");
        }
    }
}

/// On a real dome under a load on one joint, in pinned and stiff models: the corners of every joint that carries no load
/// and is no foot are in balance, so that what the bars bring is what their ends say.
#[test]
fn forces_of_bars_on_joints_are_in_balance() {
    let form = Form::Dome { radius: 2.1, frequency: 2, up: Up::Vertex, base: 0.0 };
    let shell = crate::shell::build(&ShellAsk { form, openings: Vec::new(), mend: false }).unwrap();
    let timber = timber();
    let timbers = timbers(&shell, &timber).unwrap();
    let material = Material { elastic: 11e9, shear: 0.69e9, density: 420.0 };
    let corners = Corners::new(&shell);
    for kind in [JointModel::Pinned, JointModel::Rigid] {
        let stiffness = JointStiffness { seam: 0.0, end: 0.0 };
        let model = build(&shell, &timbers, &material, kind, stiffness, FeetHeld::Pinned).unwrap();
        let top =
            (0..shell.joints.len()).max_by(|&a, &b| shell.joints[a].at.z.total_cmp(&shell.joints[b].at.z));
        let load = [100.0, -50.0, -500.0, 0.0, 0.0, 0.0];
        let loads = FrameLoads { nodes: vec![(NodeId(top.unwrap()), load)], ..FrameLoads::default() };
        let response = Solver::new(&model.frame).unwrap().solve(&[loads]).unwrap().remove(0);
        for (joint, at) in shell.joints.iter().enumerate().filter(|(_, joint)| !joint.foot) {
            let mut sum = Vec3::zeros();
            for (m, member) in shell.members.iter().enumerate() {
                for end in (0..2).filter(|&end| member.joints[end].0 == joint) {
                    sum += corners.brought(m, end, &response.bar_ends);
                }
            }
            if Some(joint) == top {
                sum += Vec3::new(load[0], load[1], load[2]);
            }
            assert!(sum.norm() < 1e-6, "{kind:?} {}: {sum:?}", at.name);
        }
    }
}

/// A seam model of a dome under a load on one joint: every frame away from it is in balance, in its forces and in its moments, by what
/// crosses its half seams and the moments of its folds.
#[test]
fn frames_are_in_balance_with_the_moments_of_their_folds() {
    let form = Form::Dome { radius: 2.1, frequency: 3, up: Up::Vertex, base: 0.0 };
    let shell = crate::shell::build(&ShellAsk { form, openings: Vec::new(), mend: false }).unwrap();
    let timbers = timbers(&shell, &timber()).unwrap();
    let material = Material { elastic: 11e9, shear: 0.69e9, density: 420.0 };
    let stiffness = JointStiffness { seam: 5e4, end: 0.0 };
    let model = build(&shell, &timbers, &material, JointModel::Seam, stiffness, FeetHeld::Pinned).unwrap();
    let top = (0..shell.joints.len())
        .max_by(|&a, &b| shell.joints[a].at.z.total_cmp(&shell.joints[b].at.z))
        .unwrap();
    let load = [100.0, -50.0, -500.0, 0.0, 0.0, 0.0];
    let loads = FrameLoads { nodes: vec![(NodeId(top), load)], ..FrameLoads::default() };
    let response = Solver::new(&model.frame).unwrap().solve(&[loads]).unwrap().remove(0);
    let mut moments = vec![0.0; shell.members.len()];
    for (seam, moment) in model.fold_seams.iter().zip(&response.fold_moments) {
        moments[seam.0] = *moment;
    }
    let corners = Corners::new(&shell);
    let outside = |joint: &JointId| shell.joints[joint.0].foot || joint.0 == top;
    let mut most = [0.0_f64; 2];
    for (p, panel) in shell.panels.iter().enumerate().filter(|(_, panel)| !panel.joints.iter().any(outside)) {
        let (mut force, mut moment) = (Vec3::zeros(), Vec3::zeros());
        let middle = shell.at(panel.joints[0]);
        for (m, member) in shell.members.iter().enumerate() {
            let Some(side) = member.panels.iter().position(|own| own.0 == p) else { continue };
            let sign = if side == 0 { 1.0 } else { -1.0 };
            let along = (shell.at(member.joints[1]) - shell.at(member.joints[0])).normalize();
            moment += along * (moments[m] * sign);
            most[0] = most[0].max(moments[m].abs());
            let found = corners.at(m, &response.bar_ends, |seam| moments[seam]);
            for (end, joint) in member.joints.iter().enumerate() {
                let crosses = along * found.along[end] + member.outward * found.through[end]
                    - member.outward.cross(&along) * found.opening[end];
                force += crosses * sign;
                moment += (shell.at(*joint) - middle).cross(&crosses) * sign;
                most[1] = most[1].max(crosses.norm());
            }
        }
        assert!(force.norm() < 1e-6 && moment.norm() < 1e-6, "{p}: {force:?} {moment:?}");
    }
    assert!(most[0] > 1.0 && most[1] > 10.0, "{most:?}");
}

/// Strips of 47 × 97 mm C24, square.
pub(in crate::model) fn timber() -> TimberAsk {
    TimberAsk {
        grade: "C24".into(),
        breadth: 0.047,
        depth: 0.097,
        bevelled: false,
        composite: 0.0,
        groups: Vec::new(),
        fixings_allowance: 0.0,
    }
}
