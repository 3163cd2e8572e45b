//! Small shells made by hand, for tests of the loads.

use crate::shell::ask::{EndForm, Form, OpeningAsk, Pattern, Profile, ShellAsk};
use crate::shell::{Joint, JointId, Member, MemberKind, Outline, Panel, PanelId, Role, Shape, Shell};
use crate::vector::Vec3;

/// A plain barrel of eight segments and three bays, with openings.
pub(crate) fn barrel(ends: [EndForm; 2], openings: Vec<OpeningAsk>) -> Shell {
    let form = Form::Barrel {
        profile: Profile::Circular,
        span: 4.0,
        rise: 2.0,
        segments: 8,
        bays: 3,
        bay_length: 1.0,
        pattern: Pattern::PlainLeft,
        ends,
    };
    crate::shell::build(&ShellAsk { form, openings, mend: false }).unwrap()
}

/// A shell of panels over joints; members are made from the panels' edges.
pub(crate) fn of_panels(at: &[Vec3], panels: &[Vec<usize>], outline: Outline) -> Shell {
    let joints = at
        .iter()
        .enumerate()
        .map(|(index, &at)| Joint { name: format!("j{}", index + 1), at, foot: at.z.abs() < 1e-9 })
        .collect();
    let mut shell = Shell {
        joints,
        panels: panels
            .iter()
            .enumerate()
            .map(|(index, corners)| Panel {
                turned: false,
                name: format!("p{}", index + 1),
                joints: corners.iter().map(|&c| JointId(c)).collect(),
            })
            .collect(),
        members: Vec::new(),
        outline,
        openings: Vec::new(),
        remarks: Vec::new(),
    };
    for (panel, corners) in panels.iter().enumerate() {
        for (k, &from) in corners.iter().enumerate() {
            let to = corners[(k + 1) % corners.len()];
            let known = shell.members.iter_mut().find(|m| {
                m.joints == [JointId(to), JointId(from)] || m.joints == [JointId(from), JointId(to)]
            });
            if let Some(member) = known {
                member.panels.push(PanelId(panel));
                member.kind = MemberKind::Seam;
                member.role = Role::Seam;
            } else {
                let name = format!("m{}", shell.members.len() + 1);
                shell.members.push(Member {
                    name,
                    joints: [JointId(from), JointId(to)],
                    kind: MemberKind::Rim,
                    role: Role::BaseRim,
                    panels: vec![PanelId(panel)],
                    fold: 0.0,
                    outward: Vec3::z(),
                });
            }
        }
    }
    shell
}

/// The outline of a free shape about the origin.
pub(crate) fn free(span: f64, rise: f64) -> Outline {
    Outline {
        shape: Shape::Free,
        span,
        rise,
        length: span,
        centre: Vec3::zeros(),
        barrel: None,
        domed_ends: [false; 2],
        profile: Vec::new(),
        radius: None,
    }
}

/// One panel.
pub(crate) fn one_panel(corners: &[[f64; 3]]) -> Shell {
    let at: Vec<Vec3> = corners.iter().map(|c| Vec3::new(c[0], c[1], c[2])).collect();
    of_panels(&at, &[(0..corners.len()).collect()], free(1.0, 1.0))
}

/// Four triangles over a square of half-width `half`.
pub(crate) fn pyramid(half: f64, rise: f64) -> Shell {
    let at = [
        Vec3::new(half, half, 0.0),
        Vec3::new(-half, half, 0.0),
        Vec3::new(-half, -half, 0.0),
        Vec3::new(half, -half, 0.0),
        Vec3::new(0.0, 0.0, rise),
    ];
    of_panels(&at, &[vec![0, 1, 4], vec![1, 2, 4], vec![2, 3, 4], vec![3, 0, 4]], free(2.0 * half, rise))
}
