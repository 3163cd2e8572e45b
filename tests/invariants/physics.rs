//! What mechanics says of the whole line: symmetry, proportion, stiffness, turning.

use std::collections::BTreeMap;

use rayon::prelude::*;
use strutwise::assess::results::Assessment;
use strutwise::assess::setup::{Setup, setup};
use strutwise::frame::linear::Solver;
use strutwise::frame::{FrameLoads, NodeId};
use strutwise::loads::ask::Given;
use strutwise::model::ask::{FeetHeld, JointModel};
use strutwise::model::joints::{JointStiffness, build};
use strutwise::shell::MemberKind;

use crate::random::{self, Parts, cases, numbered};
use crate::{assessed, assessed_or_why, read, read_parts};

const TIMBER: &str = "grade = \"C24\"\nbreadth = 0.047\ndepth = 0.095\nbevelled = true\nservice_class = 3\n";
const DEAD_LOADS: &str = "[cover]\nweight = 90\n\n[snow]\nground = 600\n\n[wind]\nleft_out = \"a trial\"\n\n";

fn project(shell: &str, joints: &str, loads: &str) -> String {
    let parts = Parts {
        basis: "eurocode",
        heading: String::new(),
        shell: shell.to_owned(),
        timber: TIMBER.to_owned(),
        joints: joints.to_owned(),
        loads: loads.to_owned(),
        rest: "[feet]\nheld = \"pinned\"\n".to_owned(),
        files: Vec::new(),
    };
    parts.text()
}

fn whole(text: &str) -> Assessment {
    assessed_or_why(&read(text).unwrap(), true).expect("it can be assessed")
}

/// Where joint `from` comes to lie when the shell is moved onto itself.
fn image(assessment: &Assessment, to: &dyn Fn([f64; 3]) -> [f64; 3]) -> BTreeMap<String, String> {
    let near = |a: [f64; 3], b: [f64; 3]| crate::apart(a, b) < 1e-6;
    assessment
        .joints
        .iter()
        .map(|joint| {
            let at = to(joint.at);
            let there = assessment.joints.iter().find(|other| near(other.at, at));
            (joint.id.clone(), there.expect("the shell does not map onto itself").id.clone())
        })
        .collect()
}

/// Movements of the mapped joints are the mapped movements, in every model, under the cases of the kinds given.
fn symmetric(
    assessment: &Assessment,
    to: &dyn Fn([f64; 3]) -> [f64; 3],
    wanted: &dyn Fn(&str, &str) -> bool,
) {
    let image = image(assessment, to);
    let mut seen = 0;
    for model in assessment.models.iter().filter(|model| model.mechanisms == 0) {
        for case in assessment.cases.iter().filter(|case| wanted(&case.kind, &case.name)) {
            let moved = &model.displacements.as_ref().unwrap()[&case.name];
            let size = moved.values().map(|d| crate::norm([d[0], d[1], d[2]])).fold(0.0, f64::max);
            assert!(size > 0.0, "{} {}: nothing moves", model.name, case.name);
            for (joint, d) in moved {
                let mapped = to([d[0], d[1], d[2]]);
                let there = &moved[&image[joint]];
                let gap = crate::apart(mapped, [there[0], there[1], there[2]]);
                assert!(gap < 1e-6 * size, "{} {} {joint}: {d:?} and {there:?}", model.name, case.name);
            }
            // Axial forces of mapped bars are equal.
            let by_ends: BTreeMap<[&str; 2], &str> = assessment
                .members
                .iter()
                .flat_map(|m| {
                    let [a, b] = [m.joints[0].as_str(), m.joints[1].as_str()];
                    [([a, b], m.id.as_str()), ([b, a], m.id.as_str())]
                })
                .collect();
            let forces = &model.bar_forces.as_ref().unwrap()[&case.name];
            let largest = forces.values().map(|f| f.from[0].abs().max(f.to[0].abs())).fold(0.0, f64::max);
            for member in &assessment.members {
                let ends = [&image[&member.joints[0]], &image[&member.joints[1]]];
                let other = by_ends[&[ends[0].as_str(), ends[1].as_str()]];
                let mean = |name: &str| 0.5 * (forces[name].from[0] + forces[name].to[0]);
                let gap = (mean(&member.id) - mean(other)).abs();
                assert!(gap < 1e-6 * largest, "{} {}: {} and {other}", model.name, case.name, member.id);
            }
            seen += 1;
        }
    }
    assert!(seen > 0, "nothing was looked at");
}

fn turned(degrees: f64) -> impl Fn([f64; 3]) -> [f64; 3] {
    let (sine, cosine) = degrees.to_radians().sin_cos();
    move |v| [cosine * v[0] - sine * v[1], sine * v[0] + cosine * v[1], v[2]]
}

#[test]
fn a_symmetric_shell_answers_a_symmetric_load_symmetrically() {
    // What acts alike all round: own weight, cover, and snow over the whole shell.
    let alike = |kind: &str, name: &str| matches!(kind, "self" | "cover") || name == "snow undrifted";
    let seam = "seam_stiffness = 3000\n";
    for (up, turn) in [("vertex", 72.0), ("face", 120.0), ("edge", 180.0)] {
        let shell = format!("form = \"dome\"\nradius = 2.4\nfrequency = 2\nup = \"{up}\"\nbase = 0.3\n");
        symmetric(&whole(&project(&shell, seam, DEAD_LOADS)), &turned(turn), &alike);
    }
    // A capsule has a half-turn about the vertical, and no mirror.
    let shell = "form = \"tunnel\"\nradius = 2.1\nfrequency = 2\nbands = 2\n";
    symmetric(&whole(&project(shell, seam, DEAD_LOADS)), &turned(180.0), &alike);
    // A plain barrel with both diagonals has both mirrors.
    let shell = "form = \"barrel\"\nspan = 4\nrise = 1.6\nsegments = 6\nbays = 3\nbay_length = 1.1\n\
                 pattern = \"plain-crossed\"\nends = [\"open\", \"open\"]\n";
    let assessment = whole(&project(shell, seam, DEAD_LOADS));
    symmetric(&assessment, &|v| [v[0], -v[1], v[2]], &alike);
}

#[test]
fn doubled_loads_double_the_linear_answers() {
    let loads = |times: f64| {
        format!(
            "[cover]\nweight = {}\n\n[snow]\nground = {}\n\n[wind]\npressure = {}\ndirections_deg = [0, 90]\n\n",
            90.0 * times,
            600.0 * times,
            500.0 * times
        )
    };
    let shell = "form = \"tunnel\"\nradius = 2.1\nfrequency = 2\nbands = 2\n";
    let [once, twice] =
        [1.0, 2.0].map(|times| whole(&project(shell, "seam_stiffness = 3000\n", &loads(times))));
    for (one, two) in once.models.iter().zip(&twice.models) {
        let (Some(one), Some(two)) = (&one.displacements, &two.displacements) else { continue };
        for case in once.cases.iter().filter(|case| case.kind != "self") {
            let size = one[&case.name].values().flatten().fold(0.0, |a: f64, b| a.max(b.abs()));
            for (joint, d) in &one[&case.name] {
                for (a, b) in d.iter().zip(two[&case.name][joint]) {
                    assert!((2.0 * a - b).abs() < 1e-9 * size, "{} {joint}: {a} and {b}", case.name);
                }
            }
        }
    }
}

/// Movements of a model of a shell under a load on every joint, and the work that the load does.
fn pushed(setup: &Setup, kind: JointModel, seam: f64) -> Option<(Vec<[f64; 6]>, f64)> {
    let stiffness = JointStiffness { seam, end: setup.stiffness.end };
    let model =
        build(&setup.shell, &setup.timbers, &setup.material, kind, stiffness, FeetHeld::Pinned).unwrap();
    let solver = Solver::new(&model.frame).unwrap();
    if !solver.mechanisms().is_empty() {
        return None;
    }
    let joints = setup.shell.joints.iter().enumerate().filter(|(_, joint)| !joint.foot);
    let nodes: Vec<(NodeId, [f64; 6])> = joints
        .map(|(n, _)| {
            let t = f64::from(u32::try_from(n).unwrap());
            (NodeId(n), [(1.3 * t).sin(), (2.1 * t).cos(), -1.0, 0.0, 0.0, 0.0])
        })
        .collect();
    let loads = FrameLoads { nodes, ..FrameLoads::default() };
    let response = solver.solve(std::slice::from_ref(&loads)).unwrap().remove(0);
    let work = loads.nodes.iter().flat_map(|(node, f)| {
        f.iter().zip(response.displacements[node.0]).map(|(f, u)| f * u).collect::<Vec<_>>()
    });
    let work = work.sum();
    Some((response.displacements, work))
}

#[test]
fn a_seam_without_stiffness_is_pinned_and_a_stiffer_one_gives_less() {
    let (count, mut compared) = (cases(10).min(400), 0);
    for number in 0..count {
        let parts = numbered(&random::project(), number);
        let text = parts.text();
        let Ok(setup) = setup(&read_parts(&parts).unwrap()) else { continue };
        let pinned = pushed(&setup, JointModel::Pinned, 0.0);
        let mut before = pinned.as_ref().map_or(f64::INFINITY, |(_, work)| *work);
        if let Some((pinned, _)) = &pinned {
            let (soft, _) =
                pushed(&setup, JointModel::Seam, 1e-6).expect("no less held than the pinned model");
            let size = pinned.iter().flatten().fold(0.0, |a: f64, b| a.max(b.abs()));
            for (a, b) in pinned.iter().zip(&soft) {
                assert!((0..3).all(|i| (a[i] - b[i]).abs() < 1e-4 * size), "{a:?} and {b:?}\n{text}");
            }
            compared += 1;
        }
        // Castigliano: the work of a load falls as stiffness is added.
        for power in [1.0, 2.0, 3.0, 4.0, 5.0] {
            let Some((_, work)) = pushed(&setup, JointModel::Seam, 10.0_f64.powf(power)) else { continue };
            assert!(work > 0.0 && work <= before * (1.0 + 1e-7), "10^{power}: {work} after {before}\n{text}");
            before = work;
        }
    }
    assert!(3 * compared > count, "only {compared} of {count} pinned models stand");
}

#[test]
fn a_turned_shell_is_the_same_shell() {
    turned_is_the_same(
        "form = \"dome\"\nradius = 2.4\nfrequency = 2\nup = \"vertex\"\nbase = 0.3\n",
        "left_out = \"a trial\"",
    );
}

/// A low and short vault that an imperfection works hard: what that goes by does not turn with the axes. Snow lies alike all round.
#[test]
fn a_turned_vault_is_the_same_vault() {
    let shell = "form = \"barrel\"\nspan = 6\nrise = 0.9\nsegments = 6\nbays = 2\nbay_length = 0.8\npattern = \"plain-left\"\n\
                 ends = [\"open\", \"open\"]\n";
    turned_is_the_same(shell, "ground = 800\nno_half_shell = true");
}

fn turned_is_the_same(shell: &str, snow: &str) {
    let plain = whole(&project(shell, "seam_stiffness = 3000\n", DEAD_LOADS));
    let folder = tempfile::tempdir().unwrap();
    let mesh = |degrees: f64| {
        let turn = turned(degrees);
        let mut text = String::new();
        let number: BTreeMap<&str, usize> =
            plain.joints.iter().enumerate().map(|(n, joint)| (joint.id.as_str(), n + 1)).collect();
        for joint in &plain.joints {
            let at = turn(joint.at);
            text += &format!("v {:.17} {:.17} {:.17}\n", at[0], at[1], at[2]);
        }
        for panel in &plain.panels {
            let corners: Vec<String> =
                panel.joints.iter().map(|id| number[id.as_str()].to_string()).collect();
            text += &format!("f {}\n", corners.join(" "));
        }
        std::fs::write(folder.path().join("shell.obj"), text).unwrap();
        let path = folder.path().join("trial.toml");
        let shell = "form = \"mesh\"\nfile = \"shell.obj\"\n";
        // Snow drifts by direction: what acts alike all round is what can be compared.
        let loads = DEAD_LOADS.replace("ground = 600", snow);
        std::fs::write(&path, project(shell, "seam_stiffness = 3000\n", &loads)).unwrap();
        let Ok(strutwise::project::Asked::Shell(project)) = strutwise::project::read(&path) else {
            panic!("the mesh is not taken")
        };
        assessed(&project, false).unwrap()
    };
    let still = mesh(0.0);
    for degrees in [17.0, 90.0, 211.0] {
        let turned = mesh(degrees);
        assert_eq!(still.verdict, turned.verdict);
        for (a, b) in still.models.iter().zip(&turned.models) {
            // A barrel of bars alone folds, and has no number.
            let [a, b] = [a, b].map(|model| model.worst.as_ref().map_or(0.0, |worst| worst.utilisation));
            assert!((a - b).abs() <= 1e-6 * a, "{degrees}: {a} and {b}");
        }
        let sorted = |assessment: &Assessment| {
            let mut all: Vec<f64> =
                assessment.members.iter().filter_map(|m| m.worst.as_ref()).map(|w| w.utilisation).collect();
            all.sort_by(f64::total_cmp);
            all
        };
        for (a, b) in sorted(&still).into_iter().zip(sorted(&turned)) {
            assert!((a - b).abs() < 1e-6 * a.max(1e-3), "{degrees}: {a} and {b}");
        }
    }
}

/// Volume and area found apart from the program's: from joints, strips and sections as the document gives them.
#[test]
fn weights_equal_volume_by_density_and_area_by_weight() {
    let complaints: Vec<String> = (0..cases(10).min(400))
        .into_par_iter()
        .filter_map(|number| {
            let parts = numbered(&random::project(), number);
            let project = read_parts(&parts).unwrap();
            let assessment = assessed(&project, false)?;
            let at: BTreeMap<&str, [f64; 3]> =
                assessment.joints.iter().map(|joint| (joint.id.as_str(), joint.at)).collect();
            // An area that the project gives for all, and for the roles of its group, stands for breadth × depth.
            let (all, group) = parts.timber.split_once("[[timber.group]]").unwrap_or((&parts.timber, ""));
            let given = |text: &str| -> Option<f64> {
                text.lines().find_map(|line| line.strip_prefix("area = ")?.parse().ok())
            };
            let own = |role: &str| {
                let grouped =
                    group.contains(&format!("\"{}\"", role.trim_end_matches(" seam").replace(' ', "-")));
                if grouped { given(group) } else { given(all) }
            };
            let mut volume = 0.0;
            for member in &assessment.members {
                let length = crate::apart(at[member.joints[0].as_str()], at[member.joints[1].as_str()]);
                // b × d less the wedge that the saw takes off: d² tan(|fold|/2) / 2 from every strip of a seam.
                let fold = if member.kind == "seam" { member.fold_deg.to_radians().abs() } else { 0.0 };
                let wedge = if parts.timber.contains("bevelled = true") {
                    0.5 * member.depth * member.depth * (0.5 * fold).tan()
                } else {
                    0.0
                };
                let strips = f64::from(u32::try_from(member.strips).unwrap());
                let area = own(&member.role).unwrap_or(member.breadth * member.depth - wedge);
                volume += length * strips * area;
            }
            // g: EN 1991-1-1 writes weights as density × 9.81 m/s² to three figures; the program's is standard gravity.
            let weight =
                volume * project.grade.density_mean() * 9.806_65 * (1.0 + project.timber.fixings_allowance);
            let mut wrong = String::new();
            let mut compare = |kind: &str, wanted: f64| {
                // Doors, windows and framed ends weigh as a case by themselves.
                let counted = |name: &str| name != "weight of doors, windows and framed ends";
                let case = assessment.cases.iter().find(|case| case.kind == kind && counted(&case.name));
                let found = case.map_or(0.0, |case| -case.applied[2]);
                if (found - wanted).abs() > 1e-6 * wanted.max(1.0) {
                    wrong += &format!("{kind}: {found} N, and {wanted} N worked out apart\n");
                }
            };
            compare("self", weight);
            let cross = |a: [f64; 3], b: [f64; 3]| {
                [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
            };
            let mut area = 0.0;
            for panel in &assessment.panels {
                let corners: Vec<[f64; 3]> = panel.joints.iter().map(|id| at[id.as_str()]).collect();
                let mut sum = [0.0; 3];
                for i in 1..corners.len() - 1 {
                    let side = |j: usize| std::array::from_fn(|k| corners[j][k] - corners[0][k]);
                    let part = cross(side(i), side(i + 1));
                    for k in 0..3 {
                        sum[k] += 0.5 * part[k];
                    }
                }
                area += crate::norm(sum);
            }
            if let Given::Value(cover) = &project.loads.cover {
                compare("cover", area * cover.weight);
            }
            (!wrong.is_empty()).then(|| format!("{wrong}{}", parts.text()))
        })
        .collect();
    assert!(complaints.is_empty(), "{} projects; the first:\n{}", complaints.len(), complaints[0]);
}

#[test]
fn the_member_kinds_are_the_words_used_here() {
    // A seam is what the sums above call one.
    let text = project("form = \"dome\"\nradius = 2.4\nfrequency = 2\n", "", DEAD_LOADS);
    let setup = setup(&read(&text).unwrap()).unwrap();
    let seams = setup.shell.members.iter().filter(|m| m.kind == MemberKind::Seam).count();
    let named = whole(&text).members.iter().filter(|m| m.kind == "seam").count();
    assert!(seams > 0 && seams == named);
}

/// How far the whole tips, and which way, is the same whether or not somebody has entered what an anchor holds: without it
/// the report tells the moment that anchors must be found for.
#[test]
fn tipping_without_anchors_is_that_with_anchors_alike() {
    let of = |feet: &str| {
        let shell = "form = \"barrel\"\nprofile = \"circular\"\nspan = 4\nrise = 1.9\nsegments = 6\nbays = 4\n\
                     bay_length = 1.1\npattern = \"staggered\"\n";
        let loads = "[cover]\nweight = 30\n\n[snow]\nleft_out = \"a trial\"\n\n[wind]\npressure = 600\n\
                     directions_deg = [0, 90, 180, 270]\n\n";
        let text = project(shell, "", loads).replace("[feet]\n", &format!("[feet]\n{feet}"));
        whole(&text).balance.tipping.expect("it has feet")
    };
    let (without, with) = (of(""), of("uplift = 1000\n"));
    assert_eq!(without.combination, with.combination);
    assert!((without.towards_deg - with.towards_deg).abs() < 1e-9);
    assert!(without.moment > 0.0 && (without.moment - with.moment).abs() <= 1e-9 * with.moment);
    assert!(without.utilisation.is_none() && without.anchors == 0.0);
    let doubled = of("uplift = 2000\n");
    assert!((doubled.towards_deg - with.towards_deg).abs() < 1e-9);
    let [once, twice] = [&with, &doubled].map(|of| of.utilisation.expect("an anchor was entered"));
    assert!((once / twice - 2.0).abs() < 1e-9 && (once - with.moment / with.anchors).abs() < 1e-9 * once);
}
