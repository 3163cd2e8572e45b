//! The sheet of bars: ends, section, hinges, end springs, the way up.

use std::collections::BTreeMap;

use super::PlainFrame;
use super::cells::{Names, all, find, number, stiffness, take_name};
use crate::frame::{Bar, BarSection, EndFix, NodeId};
use crate::project::csv::{Column, Row};
use crate::vector::Vec3;

/// Columns of the sheet.
pub(super) const COLUMNS: &[Column] = &[
    Column::required("bar"),
    Column::required("from"),
    Column::required("to"),
    Column::required("section"),
    Column::optional("hinges"),
    Column::optional("up_x"),
    Column::optional("up_y"),
    Column::optional("up_z"),
    Column::optional("from_krx"),
    Column::optional("from_kry"),
    Column::optional("from_krz"),
    Column::optional("to_krx"),
    Column::optional("to_kry"),
    Column::optional("to_krz"),
];

/// Reads the rows into the frame.
pub(super) fn read(
    rows: &[Row<'_>],
    plain: &mut PlainFrame,
    joints: &Names,
    sections: &BTreeMap<String, BarSection>,
) -> Names {
    let mut names = Names::new();
    let section_names: Names = sections.keys().enumerate().map(|(i, name)| (name.clone(), i)).collect();
    for row in rows {
        let name = take_name(row, "bar", &mut names, plain.bars.len()).unwrap_or_default();
        let ends = (find(row, "from", "joint", joints), find(row, "to", "joint", joints));
        let section = find(row, "section", "section", &section_names)
            .and_then(|_| sections.get(row.text("section")).copied());
        let hinged = match row.text("hinges") {
            "" => [false, false],
            "from" => [true, false],
            "to" => [false, true],
            "both" => [true, true],
            other => {
                let help = "leave it empty, or write from, to or both";
                row.fault("unknown-word", "hinges", format!("hinges is {other:?}"), help);
                [false, false]
            }
        };
        let springs = [["from_krx", "from_kry", "from_krz"], ["to_krx", "to_kry", "to_krz"]];
        let mut fixes = [EndFix::Rigid; 2];
        for end in 0..2 {
            let given = springs[end].iter().any(|column| !row.text(column).is_empty());
            if hinged[end] {
                if given {
                    let help = "a hinged end has no springs: clear one of the two";
                    row.fault("contradiction", "hinges", "this end is hinged and has springs", help);
                }
                fixes[end] = EndFix::Hinged;
            } else if given {
                let k = all(springs[end].map(|column| stiffness(row, column, f64::INFINITY)));
                fixes[end] = EndFix::Springs(k.unwrap_or([f64::INFINITY; 3]));
            }
        }
        let up = ["up_x", "up_y", "up_z"];
        let up = if up.iter().all(|column| row.text(column).is_empty()) {
            None
        } else {
            all(up.map(|column| number(row, column, Some(0.0)))).map(|u| Vec3::new(u[0], u[1], u[2]))
        };
        let (from, to) = (ends.0.unwrap_or(0), ends.1.unwrap_or(0));
        if let (Some(from), Some(to)) = ends
            && from == to
        {
            row.fault("no-length", "to", "this bar runs from a joint to itself", "name two joints");
        }
        let Some(section) = section else {
            plain.bars.push(name);
            continue;
        };
        let place = |joint: usize| plain.frame.nodes.get(joint).map_or_else(Vec3::zeros, |node| node.at);
        let up = up.unwrap_or_else(|| crate::vector::default_up(&place(from), &place(to)));
        plain.frame.bars.push(Bar { from: NodeId(from), to: NodeId(to), section, up, ends: fixes });
        plain.bars.push(name);
    }
    names
}
