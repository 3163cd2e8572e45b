//! Tests of a user's own mesh.

use crate::shell::ask::MeshAsk;
use crate::shell::ask::{Form, ShellAsk, Up};
use crate::shell::{MeshFault, ShellError};
use crate::shell::{Role, Shell, build};
use crate::vector::Vec3;

fn dome() -> Shell {
    let form = Form::Dome { radius: 2.0, frequency: 2, up: Up::Vertex, base: 0.0 };
    build(&ShellAsk { form, openings: Vec::new(), mend: false }).unwrap()
}

fn as_ask(shell: &Shell) -> MeshAsk {
    MeshAsk {
        joints: shell.joints.iter().map(|joint| (joint.name.clone(), joint.at)).collect(),
        panels: shell
            .panels
            .iter()
            .map(|panel| (panel.name.clone(), panel.joints.iter().map(|joint| joint.0).collect()))
            .collect(),
        ..MeshAsk::default()
    }
}

fn built(mesh: MeshAsk, mend: bool) -> Result<Shell, ShellError> {
    build(&ShellAsk { form: Form::Mesh(mesh), openings: Vec::new(), mend })
}

fn faults(mesh: MeshAsk) -> Vec<MeshFault> {
    match built(mesh, false) {
        Err(ShellError::Mesh { faults }) => faults,
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_domes_own_mesh_is_the_dome() {
    let dome = dome();
    let mesh = built(as_ask(&dome), false).unwrap();
    assert_eq!(mesh.joints, dome.joints);
    assert_eq!(mesh.panels, dome.panels);
    assert_eq!(mesh.members, dome.members);
    assert!(mesh.remarks.is_empty(), "{:?}", mesh.remarks);
}

/// What was read from a file is named with its line; what is made keeps its bare name.
#[test]
fn faults_name_the_lines_of_what_was_read() {
    let dome = dome();
    let mut ask = as_ask(&dome);
    ask.lines.panels = (0..ask.panels.len()).map(|n| n + 40).collect();
    ask.lines.joints = (0..ask.joints.len()).map(|n| n + 2).collect();
    ask.panels[3].1.reverse();
    assert_eq!(faults(ask.clone()), vec![MeshFault::Flipped { panels: vec!["p4 (line 43)".into()] }]);
    ask.panels[3].1.reverse();
    ask.joints.push(("stray".into(), Vec3::new(0.3, 0.2, 0.1)));
    ask.lines.joints.push(99);
    assert_eq!(faults(ask.clone()), vec![MeshFault::StrayJoint { joint: "stray (line 99)".into() }]);
    ask.joints.pop();
    ask.lines.joints.pop();
    assert_eq!(built(ask, false).unwrap().panels[3].name, "p4");
}

#[test]
fn a_piece_without_a_foot_is_named() {
    let dome = dome();
    let mut ask = as_ask(&dome);
    let first = ask.joints.len();
    for (x, y) in [(0.0, 0.0), (1.0, 0.0), (0.0, 1.0)] {
        ask.joints.push((format!("up{x}{y}"), Vec3::new(x, y, 4.0)));
    }
    ask.panels.push(("kite".into(), vec![first, first + 1, first + 2]));
    assert_eq!(faults(ask.clone()), vec![MeshFault::Adrift { panels: vec!["kite".into()] }]);
    // Mending does not join it; a foot of its own holds it, however it then stands.
    assert!(built(ask.clone(), true).is_err());
    ask.feet = (0..dome.joints.len()).filter(|&n| dome.joints[n].foot).chain([first]).collect();
    assert!(built(ask, false).is_ok());
}

#[test]
fn flipped_panels_are_named_and_mended() {
    let dome = dome();
    let mut ask = as_ask(&dome);
    for panel in [3, 7] {
        ask.panels[panel].1.reverse();
    }
    assert_eq!(faults(ask.clone()), vec![MeshFault::Flipped { panels: vec!["p4".into(), "p8".into()] }]);
    let mended = built(ask.clone(), true).unwrap();
    assert!(mended.members.iter().all(|member| member.fold >= 0.0));
    assert!(mended.remarks.iter().any(|remark| remark.contains("p4, p8")));
    for panel in &mut ask.panels {
        panel.1.reverse();
    }
    let mended = built(ask, true).unwrap();
    assert!(mended.members.iter().all(|member| member.fold >= 0.0));
}

#[test]
fn doubled_and_stray_points_are_found_and_mended() {
    let dome = dome();
    let mut ask = as_ask(&dome);
    let twin = ask.joints.len();
    ask.joints.push(("twin".into(), ask.joints[4].1));
    ask.joints.push(("lost".into(), Vec3::new(0.0, 0.0, 0.4)));
    let user = ask.panels.iter().position(|panel| panel.1.contains(&4)).unwrap();
    for corner in &mut ask.panels[user].1 {
        if *corner == 4 {
            *corner = twin;
        }
    }
    let found = faults(ask.clone());
    assert!(found.contains(&MeshFault::DoubledJoints { first: "j5".into(), second: "twin".into() }));
    let mended = built(ask, true).unwrap();
    assert_eq!(mended.members.len(), dome.members.len());
    assert_eq!(mended.joints.len(), dome.joints.len());
    assert!(mended.remarks.iter().any(|remark| remark.contains("twin into j5")));
    assert!(mended.remarks.iter().any(|remark| remark.contains("lost")));
}

#[test]
fn holes_are_said_and_become_openings() {
    let dome = dome();
    let mut ask = as_ask(&dome);
    let top = ask.panels.len() - 1;
    ask.panels.remove(top);
    let shell = built(ask, false).unwrap();
    assert!(shell.remarks.iter().any(|remark| remark.contains("hole with 3 edges")));
    assert_eq!(shell.members.iter().filter(|member| member.role == Role::DoorRim).count(), 3);
}

/// A joint in the middle of another panel's edge is told as that, and the crack without width that it leaves is no hole.
#[test]
fn a_joint_on_an_edge_is_no_hole() {
    let at = |x: f64, y: f64, z: f64| Vec3::new(x, y, z);
    let joints = [
        ("a", at(0.0, 0.0, 0.0)),
        ("b", at(1.2, 0.0, 0.0)),
        ("c", at(1.2, 1.2, 0.0)),
        ("d", at(0.0, 1.2, 0.0)),
        ("top", at(0.6, 0.6, 0.3)),
        ("mid", at(0.3, 0.3, 0.15)),
    ];
    let panels = [vec![0, 1, 4], vec![1, 2, 4], vec![2, 3, 4], vec![3, 0, 5], vec![3, 5, 4]];
    let mesh = MeshAsk {
        joints: joints.map(|(name, at)| (name.to_owned(), at)).to_vec(),
        panels: panels.map(|corners| (String::new(), corners)).to_vec(),
        ..MeshAsk::default()
    };
    let shell = built(mesh, false).unwrap();
    let told: Vec<&String> = shell.remarks.iter().filter(|said| said.contains("mid")).collect();
    assert_eq!(told.len(), 1, "{:?}", shell.remarks);
    assert!(told[0].starts_with("joint mid lies on the edge from "), "{}", told[0]);
    assert!(!shell.remarks.iter().any(|said| said.contains("hole")), "{:?}", shell.remarks);
}

#[test]
fn a_panel_of_five_corners_is_refused() {
    let corner = |k: usize| {
        let angle = std::f64::consts::TAU * k as f64 / 5.0;
        Vec3::new(angle.cos(), angle.sin(), 0.0)
    };
    let mesh = MeshAsk {
        joints: (0..5).map(|k| (String::new(), corner(k))).collect(),
        panels: vec![(String::new(), (0..5).collect())],
        ..MeshAsk::default()
    };
    assert!(matches!(faults(mesh)[..], [MeshFault::NoPolygon { why, .. }] if why.contains("more than four")));
}

#[test]
fn what_cannot_be_mended_is_a_fault() {
    let base = as_ask(&dome());
    let mut third = base.clone();
    third.joints.push(("out".into(), Vec3::new(3.0, 3.0, 3.0)));
    let out = third.joints.len() - 1;
    let [a, b] = [third.panels[30].1[0], third.panels[30].1[1]];
    third.panels.push(("fin".into(), vec![a, b, out]));
    assert!(matches!(faults(third)[..], [MeshFault::NonManifold { .. }]));

    let mut twice = base.clone();
    twice.panels.push(("again".into(), twice.panels[5].1.clone()));
    assert!(faults(twice).iter().any(|fault| matches!(fault, MeshFault::DoubledPanels { .. })));

    let mut far = base.clone();
    far.panels[0].1[0] = 999;
    assert!(matches!(faults(far)[..], [MeshFault::NoSuchJoint { number: 1000, .. }]));

    let mut thin = base.clone();
    thin.panels[0].1.truncate(2);
    assert!(matches!(faults(thin)[..], [MeshFault::NoPolygon { .. }]));

    let mut feet = base;
    feet.feet = vec![1000];
    assert!(matches!(faults(feet)[..], [MeshFault::NoSuchFoot { .. }]));
    assert!(matches!(faults(MeshAsk::default())[..], [MeshFault::NoPanels]));
}

#[test]
fn a_twisted_panel_is_out_of_plane() {
    let at = |x: f64, y: f64, z: f64| Vec3::new(x, y, z);
    let mesh = |lift: f64| MeshAsk {
        joints: vec![
            ("a".into(), at(0.0, 0.0, 0.0)),
            ("b".into(), at(1.0, 0.0, 0.0)),
            ("c".into(), at(1.0, 1.0, 1.0 + lift)),
            ("d".into(), at(0.0, 1.0, 1.0)),
        ],
        panels: vec![("roof".into(), vec![0, 1, 2, 3])],
        ..MeshAsk::default()
    };
    assert!(matches!(faults(mesh(0.1))[..], [MeshFault::OutOfPlane { .. }]));
    let flat = built(mesh(0.0), false).unwrap();
    assert!(!flat.remarks.iter().any(|said| said.contains("out of plane")));
    assert!(built(mesh(0.001), false).unwrap().remarks.iter().any(|said| said.contains("out of plane")));
}

#[test]
fn a_one_sided_band_is_refused() {
    // A Moebius band of five triangles.
    let corner = |k: usize| {
        let angle = std::f64::consts::TAU * k as f64 / 5.0;
        Vec3::new(angle.cos(), angle.sin(), (k as f64 * 0.37).sin())
    };
    let mesh = MeshAsk {
        joints: (0..5).map(|k| (String::new(), corner(k))).collect(),
        panels: (0..5).map(|k| (String::new(), vec![k, (k + 1) % 5, (k + 2) % 5])).collect(),
        ..MeshAsk::default()
    };
    assert!(
        matches!(built(mesh, true), Err(ShellError::Mesh { faults }) if matches!(faults[..], [MeshFault::OneSided { .. }]))
    );
}

/// A joint a little above the lowest feet is no foot: told with how high it is, of the edge alone, and not where it stands or is well above.
#[test]
fn a_joint_that_all_but_stands_is_told() {
    let dome = dome();
    let rim = dome.joints.iter().position(|joint| joint.foot).unwrap();
    let name = &dome.joints[rim].name;
    let told = |lift: f64, named: bool| -> Vec<String> {
        let mut ask = as_ask(&dome);
        ask.joints[rim].1.z += lift;
        if named {
            ask.feet = (0..dome.joints.len()).filter(|&n| dome.joints[n].foot).collect();
        }
        let remarks = built(ask, false).unwrap().remarks;
        remarks.into_iter().filter(|said| said.contains("nothing holds")).collect()
    };
    // A dome of 4 m: feet are within 2.9 mm of the lowest.
    for (lift, named, count) in [
        (0.0, false, 0),
        (0.002, false, 0),
        (0.008, false, 1),
        (0.049, false, 1),
        (0.06, false, 0),
        (0.008, true, 0),
    ] {
        let said = told(lift, named);
        assert_eq!(said.len(), count, "{lift} {said:?}");
        if count > 0 {
            assert!(said[0].starts_with("joint at the edge of the mesh less than 50 mm"), "{said:?}");
            assert!(
                said[0].contains(&format!("{name} (x "))
                    && said[0].contains(&format!("{:.1} mm up)", lift * 1e3))
            );
        }
    }
    // Of many a few are named. All but one foot lie on the ground unnamed.
    let mut ask = as_ask(&dome);
    ask.feet = vec![rim];
    let said = built(ask, false).unwrap().remarks;
    let feet = dome.joints.iter().filter(|joint| joint.foot).count();
    let more = format!("0.0 mm up) and {} more", feet - 1 - 6);
    assert!(
        said.iter().any(|said| said.starts_with("joints at the edge") && said.contains(&more)),
        "{said:?}"
    );
}

/// A gutter, hollow upward between two walls that it hangs from, is no vault turned inside out: what faces up carries the snow.
#[test]
fn what_is_hollow_upward_stays_as_it_was_drawn() {
    let profile = [[0.0, 1.0], [0.7, 0.3], [1.5, 0.0], [2.3, 0.3], [3.0, 1.0]];
    let joints: Vec<(String, Vec3)> = [0.0, 1.5, 3.0]
        .iter()
        .flat_map(|x| profile.map(|[y, z]| Vec3::new(*x, y, z)))
        .enumerate()
        .map(|(n, at)| (format!("j{}", n + 1), at))
        .collect();
    let quad = |n: usize| vec![n, n + 5, n + 6, n + 1];
    let panels = [0, 1, 2, 3, 5, 6, 7, 8].map(|n| (format!("p{n}"), quad(n))).to_vec();
    let gutter = MeshAsk { joints, panels, feet: vec![0, 5, 10, 4, 9, 14], ..MeshAsk::default() };
    let shell = built(gutter.clone(), false).unwrap();
    let turned = |shell: &Shell| shell.remarks.iter().filter(|remark| remark.contains("turned over")).count();
    assert!(shell.panels.iter().all(|panel| !panel.turned) && turned(&shell) == 0, "{:?}", shell.remarks);
    assert!((0..8).all(|p| shell.area_vector(crate::shell::PanelId(p)).z > 0.0));
    // Drawn the other way round all of it is turned over, and told.
    let mut other = gutter;
    other.panels.iter_mut().for_each(|panel| panel.1.reverse());
    let mended = built(other, true).unwrap();
    assert!(mended.panels.iter().all(|panel| panel.turned) && turned(&mended) == 1);
    assert!((0..8).all(|p| mended.area_vector(crate::shell::PanelId(p)).z > 0.0));
}

/// Four corners that are not named in the order in which they stand make no panel, nor does one that points inward.
#[test]
fn panels_whose_sides_cross_or_that_are_hollow_are_faults() {
    let square = [[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]];
    let told = |corners: [[f64; 2]; 4], order: [usize; 4]| {
        let joints =
            corners.iter().enumerate().map(|(n, [x, z])| (format!("j{n}"), Vec3::new(*x, 0.2 * z, *z)));
        let mesh = MeshAsk {
            joints: joints.collect(),
            panels: vec![("p".into(), order.to_vec())],
            ..MeshAsk::default()
        };
        match built(mesh, false) {
            Err(ShellError::Mesh { faults }) => faults
                .iter()
                .any(|fault| matches!(fault, MeshFault::NoPolygon { why, .. } if why.contains("cross") || why.contains("no area"))),
            _ => false,
        }
    };
    assert!(!told(square, [0, 1, 2, 3]) && !told(square, [2, 1, 0, 3]));
    assert!(told(square, [0, 1, 3, 2]) && told(square, [0, 2, 1, 3]));
    let trapezium = [[0.0, 0.0], [2.0, 0.0], [1.4, 1.0], [0.5, 1.0]];
    assert!(!told(trapezium, [0, 1, 2, 3]) && told(trapezium, [0, 1, 3, 2]));
    let dart = [[0.0, 0.0], [2.0, 0.0], [0.6, 0.5], [0.0, 2.0]];
    assert!(told(dart, [0, 1, 2, 3]));
}
