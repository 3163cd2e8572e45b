//! The shell as files that other programs open: Wavefront OBJ, and faces and edges as CSV.

use crate::shell::{MemberKind, PanelId, Role, Shell};
use std::fmt::Write;

/// The panels as Wavefront OBJ: `v x y z` in metres with z up, `f` with corners anticlockwise seen from
/// outside, and bars of no panel as `l` lines. Numbers read back to the same value.
#[must_use]
pub fn obj(shell: &Shell) -> String {
    let mut text = String::from("# metres, z up, faces anticlockwise seen from outside\no shell\n");
    for joint in &shell.joints {
        // A whole number keeps its point, so that every reader takes it for a real number.
        let _ = writeln!(text, "v {:?} {:?} {:?}", joint.at.x, joint.at.y, joint.at.z);
    }
    for panel in &shell.panels {
        let corners: Vec<String> = panel.joints.iter().map(|joint| (joint.0 + 1).to_string()).collect();
        let _ = writeln!(text, "f {}", corners.join(" "));
    }
    for member in shell.members.iter().filter(|member| member.kind == MemberKind::Bar) {
        let _ = writeln!(text, "l {} {}", member.joints[0].0 + 1, member.joints[1].0 + 1);
    }
    text
}

/// Panels as CSV: `panel,joints,area_m2,normal_x,normal_y,normal_z`, the joints separated by spaces,
/// anticlockwise seen from outside; the normal is the outward unit one.
#[must_use]
pub fn faces_csv(shell: &Shell) -> String {
    let mut text = String::from("panel,joints,area_m2,normal_x,normal_y,normal_z\n");
    for (number, panel) in shell.panels.iter().enumerate() {
        let joints: Vec<&str> =
            panel.joints.iter().map(|joint| shell.joints[joint.0].name.as_str()).collect();
        let area = shell.area_vector(PanelId(number));
        let normal = area.normalize();
        let _ = writeln!(
            text,
            "{},{},{:?},{:?},{:?},{:?}",
            quoted(&panel.name),
            quoted(&joints.join(" ")),
            area.norm(),
            normal.x,
            normal.y,
            normal.z
        );
    }
    text
}

/// Members as CSV: `member,kind,role,from,to,length_m,fold_deg,left_panel,right_panel`; a rim has no right
/// panel, a bar neither. The fold is positive over a ridge.
#[must_use]
pub fn edges_csv(shell: &Shell) -> String {
    let mut text = String::from("member,kind,role,from,to,length_m,fold_deg,left_panel,right_panel\n");
    for member in &shell.members {
        let [from, to] = member.joints.map(|joint| &shell.joints[joint.0]);
        let panel = |at: usize| {
            member.panels.get(at).map_or(String::new(), |panel| quoted(&shell.panels[panel.0].name))
        };
        let _ = writeln!(
            text,
            "{},{},{},{},{},{:?},{:?},{},{}",
            quoted(&member.name),
            kind_name(member.kind),
            role_name(member.role),
            quoted(&from.name),
            quoted(&to.name),
            (to.at - from.at).norm(),
            member.fold.to_degrees(),
            panel(0),
            panel(1)
        );
    }
    text
}

/// The word for a kind of member.
#[must_use]
pub fn kind_name(kind: MemberKind) -> &'static str {
    match kind {
        MemberKind::Seam => "seam",
        MemberKind::Rim => "rim",
        MemberKind::Bar => "bar",
    }
}

/// The word for a role.
#[must_use]
pub fn role_name(role: Role) -> &'static str {
    match role {
        Role::Seam => "seam",
        Role::Arch => "arch",
        Role::Diagonal => "diagonal",
        Role::Purlin => "purlin",
        Role::BaseRim => "base rim",
        Role::EndRim => "end rim",
        Role::DoorRim => "opening rim",
        Role::Stud => "stud",
        Role::Sill => "sill",
        Role::Brace => "brace",
    }
}

/// A field of a CSV file, quoted where it must be. Text that a spreadsheet would take for a formula is led
/// by an apostrophe: names may come from somebody else's sheet.
fn quoted(field: &str) -> String {
    if field.starts_with(['=', '+', '-', '@', '\t', '\r']) {
        return quoted(&format!("'{field}"));
    }
    if field.contains([',', '"', '\n', '\r']) {
        format!("\"{}\"", field.replace('"', "\"\""))
    } else {
        field.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shell::ask::{Form, ShellAsk, Up};
    use crate::shell::build;

    #[test]
    fn what_is_written_reads_back_to_the_same_numbers() {
        let form = Form::Dome { radius: 2.1, frequency: 3, up: Up::Face, base: 0.31 };
        let shell = build(&ShellAsk { form, openings: Vec::new(), mend: false }).unwrap();
        let text = obj(&shell);
        let points: Vec<Vec<f64>> = text
            .lines()
            .filter_map(|line| line.strip_prefix("v "))
            .map(|line| line.split(' ').map(|number| number.parse().unwrap()).collect())
            .collect();
        assert_eq!(points.len(), shell.joints.len());
        for (point, joint) in points.iter().zip(&shell.joints) {
            assert_eq!(point.as_slice(), joint.at.as_slice());
        }
        assert_eq!(text.lines().filter(|line| line.starts_with("f ")).count(), shell.panels.len());
        assert_eq!(edges_csv(&shell).lines().count(), shell.members.len() + 1);
        assert_eq!(faces_csv(&shell).lines().count(), shell.panels.len() + 1);
        let mut reader = csv::Reader::from_reader(faces_csv(&shell).leak().as_bytes());
        assert!(reader.records().all(|row| row.unwrap().len() == 6));
    }

    #[test]
    fn awkward_names_are_quoted() {
        assert_eq!(quoted("p1"), "p1");
        assert_eq!(quoted("=1+1"), "'=1+1");
        assert_eq!(quoted("a \"b\", c"), "\"a \"\"b\"\", c\"");
    }
}
