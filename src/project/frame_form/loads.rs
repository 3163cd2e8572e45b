//! The sheets of loads: forces and settlements of joints, line loads on bars.

use super::PlainFrame;
use super::cells::{Names, all, find, length, number, six};
use super::joints::FREEDOMS;
use crate::frame::{BarId, BarLoad, FrameLoads, NodeId};
use crate::project::csv::{Column, Row};
use crate::vector::Vec3;

const MOVEMENTS: [&str; 6] = ["ux", "uy", "uz", "rx", "ry", "rz"];

/// Columns of the sheet of loads.
pub(super) const COLUMNS: &[Column] = &[
    Column::required("case"),
    Column::required("joint"),
    Column::optional("fx"),
    Column::optional("fy"),
    Column::optional("fz"),
    Column::optional("mx"),
    Column::optional("my"),
    Column::optional("mz"),
    Column::optional("ux"),
    Column::optional("uy"),
    Column::optional("uz"),
    Column::optional("rx"),
    Column::optional("ry"),
    Column::optional("rz"),
];

/// The loads of a case, made where it is new.
fn case<'p>(plain: &'p mut PlainFrame, name: &str) -> &'p mut FrameLoads {
    let found = plain.cases.iter().position(|(known, _)| known == name).unwrap_or_else(|| {
        plain.cases.push((name.to_owned(), FrameLoads::default()));
        plain.cases.len() - 1
    });
    &mut plain.cases[found].1
}

/// Reads the rows into the cases.
pub(super) fn read(rows: &[Row<'_>], plain: &mut PlainFrame, joints: &Names) {
    for row in rows {
        let name = row.need_text("case");
        let joint = find(row, "joint", "joint", joints);
        let force = six(row, ["fx", "fy", "fz", "mx", "my", "mz"]);
        let movement = six(row, MOVEMENTS);
        let (Some(name), Some(joint), Some(force), Some(movement)) = (name, joint, force, movement) else {
            continue;
        };
        let held = plain.frame.nodes[joint].held;
        let loads = case(plain, &name);
        if force.iter().any(|f| *f != 0.0) {
            loads.nodes.push((NodeId(joint), force));
        } else if MOVEMENTS.iter().all(|column| row.text(column).is_empty()) {
            row.loads_nothing();
        }
        for (freedom, value) in movement.into_iter().enumerate() {
            if row.text(MOVEMENTS[freedom]).is_empty() {
                continue;
            }
            if held[freedom] {
                loads.settlements.push((NodeId(joint), freedom, value));
            } else {
                let message =
                    format!("a movement is given to {}, which this joint does not hold", FREEDOMS[freedom].0);
                row.fault(
                    "not-held",
                    MOVEMENTS[freedom],
                    message,
                    "hold it in the sheet of joints, or clear the cell",
                );
            }
        }
    }
}

/// Columns of the sheet of line loads.
pub(super) const LINE_COLUMNS: &[Column] = &[
    Column::required("case"),
    Column::required("bar"),
    Column::optional("start"),
    Column::optional("end"),
    Column::required("wx"),
    Column::required("wy"),
    Column::required("wz"),
    Column::optional("wx_end"),
    Column::optional("wy_end"),
    Column::optional("wz_end"),
];

/// Reads the rows into the cases.
///
/// `clear`: no fault so far; otherwise lengths of bars may mean nothing and are not held against a load.
pub(super) fn read_lines(rows: &[Row<'_>], plain: &mut PlainFrame, bars: &Names, clear: bool) {
    for row in rows {
        let name = row.need_text("case");
        let bar = find(row, "bar", "bar", bars);
        let first = all(["wx", "wy", "wz"].map(|column| number(row, column, Some(0.0))));
        let (Some(name), Some(bar), Some(first)) = (name, bar, first) else { continue };
        let ends = ["wx_end", "wy_end", "wz_end"];
        let mut last = first;
        for (axis, column) in ends.into_iter().enumerate() {
            let Some(value) = number(row, column, Some(first[axis])) else { continue };
            last[axis] = value;
        }
        let Ok(line) = crate::frame::bar::line(&plain.frame, BarId(bar)) else { continue };
        let start = if row.text("start").is_empty() { Some(0.0) } else { length(row, "start") };
        let end = if row.text("end").is_empty() { Some(line.length) } else { length(row, "end") };
        let (Some(start), Some(end)) = (start, end) else { continue };
        if first.iter().chain(&last).all(|part| *part == 0.0) {
            row.loads_nothing();
        }
        // Lengths of slanting bars are written with six figures or so.
        let slack = 1e-6 * line.length;
        if clear && (start < -slack || end > line.length + slack || end <= start) {
            let message = format!(
                "the load runs from {start} m to {end} m, but bar {} is {} m long",
                row.text("bar"),
                crate::units::significant(line.length, 6)
            );
            row.fault(
                "off-bar",
                "end",
                message,
                "start and end are measured along the bar from its first joint",
            );
            continue;
        }
        case(plain, &name).bars.push(BarLoad {
            bar: BarId(bar),
            span: [start.max(0.0), end.min(line.length)],
            intensity: [Vec3::new(first[0], first[1], first[2]), Vec3::new(last[0], last[1], last[2])],
        });
    }
}
