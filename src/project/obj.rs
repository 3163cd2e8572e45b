//! A user's own mesh: Wavefront OBJ, or sheets of joints and panels, to the mesh asked for.

use super::csv::{self, Column};
use super::fault::Place;
use super::file;
use super::key::Key;
use super::near::{nearest, shorten};
use super::table::Table;
use crate::shell::ask::MeshAsk;
use crate::units::{Dimension, significant};
use crate::vector::Vec3;

/// Most panels that are read where `[project] allow_large` is not set.
pub const PANEL_LIMIT: usize = 20_000;
/// Most panels that are read at all.
pub const PANEL_LIMIT_LARGE: usize = 500_000;
/// Most corners of one panel.
const CORNER_LIMIT: usize = 4;

/// Greatest extent of a mesh along an axis that is taken, and that is taken without a warning \[m\].
const SIZE: (f64, f64) = (0.1, 500.0);
const USUAL_SIZE: (f64, f64) = (0.8, 60.0);

/// How a file's numbers become metres with z up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scale {
    /// One unit of the file \[m\].
    pub unit: f64,
    /// Whether the file has y upward; it is then turned so that z is.
    pub y_up: bool,
}

impl Scale {
    fn apply(self, [x, y, z]: [f64; 3]) -> Vec3 {
        // A quarter turn about x: y becomes z, z becomes −y; windings keep their sense.
        let (y, z) = if self.y_up { (-z, y) } else { (y, z) };
        Vec3::new(x, y, z) * self.unit
    }
}

/// Reads the Wavefront OBJ file that a key names: vertices `v` and faces `f`; other lines are skipped.
#[must_use]
pub fn read_obj(table: &Table<'_, '_>, key: &Key, scale: Scale) -> Option<MeshAsk> {
    let (file, text) = file::companion(table, key)?;
    let reading = table.reading;
    let before = reading.fault_count();
    let mut mesh = MeshAsk::default();
    let mut faces: Vec<(usize, Place, Vec<i64>)> = Vec::new();
    let limit = if reading.allow_large.get() { PANEL_LIMIT_LARGE } else { PANEL_LIMIT };
    let mut start = 0;
    for (number, raw) in text.split_inclusive('\n').enumerate() {
        // A remark may stand behind what a line says.
        let line = raw.split('#').next().unwrap_or(raw).trim();
        let lead = raw.len() - raw.trim_start().len();
        let place = Place { file, start: start + lead, end: start + lead + line.len() };
        start += raw.len();
        // A thousand faults of one kind say no more than twenty.
        if reading.fault_count() >= before + 20 {
            break;
        }
        let mut words = line.split_whitespace();
        match words.next() {
            Some("v") => match vertex(words) {
                Ok(at) if at.iter().all(|x| (x * scale.unit).abs() < 1e6) => {
                    mesh.joints.push((format!("v{}", mesh.joints.len() + 1), scale.apply(at)));
                    mesh.lines.joints.push(number + 1);
                }
                Ok(_) => reading.fault(
                    "bad-obj",
                    place,
                    "this vertex is more than a thousand kilometres away",
                    "is file_unit the length of one unit of the file?",
                ),
                Err(word) => reading.fault(
                    "bad-obj",
                    place,
                    match word {
                        "" => "a vertex wants three finite numbers; this one has fewer".to_owned(),
                        word => format!("a vertex wants three finite numbers; found {:?}", shorten(word)),
                    },
                    if word.contains(',') {
                        "write it as \"v x y z\", with points in decimals (2.4, not 2,4)"
                    } else {
                        "write it as \"v x y z\""
                    },
                ),
            },
            Some("f") => match corners(words) {
                Ok(corners) if (3..=CORNER_LIMIT).contains(&corners.len()) => {
                    faces.push((number + 1, place, corners));
                }
                Ok(corners) => reading.fault(
                    "bad-obj",
                    place,
                    format!("a panel has 3 to {CORNER_LIMIT} corners; this face has {}", corners.len()),
                    "divide it into faces of three or four, each written as \"f a b c\"",
                ),
                Err(word) => reading.fault(
                    "bad-obj",
                    place,
                    format!("a face wants the numbers of its vertices; found {:?}", shorten(word)),
                    "write it as \"f a b c\"; numbers start at 1, negative ones count back",
                ),
            },
            // Names, groups, materials, normals and textures say nothing of the shape.
            Some("o" | "g" | "s" | "vn" | "vt" | "vp" | "usemtl" | "mtllib" | "l" | "p") | None => {}
            Some(word) => reading.fault(
                "bad-obj",
                place,
                format!("this is no line of an OBJ file: it starts with {:?}", shorten(word)),
                "lines start with v, f or #",
            ),
        }
        if faces.len() > limit {
            too_many_panels(table, key, limit);
            return None;
        }
    }
    // Faces count vertices: with one of them unread, every number would be wrong.
    if reading.fault_count() > before {
        return None;
    }
    let count = mesh.joints.len();
    for (line, place, face) in faces {
        if reading.fault_count() >= before + 20 {
            break;
        }
        let found: Result<Vec<usize>, i64> = face.iter().map(|number| position(*number, count)).collect();
        match found {
            Ok(panel) if has_repeats(&panel) => {
                reading.fault(
                    "bad-obj",
                    place,
                    "this face names a vertex twice",
                    "take the face out or mend it",
                );
            }
            Ok(panel) => {
                mesh.panels.push((format!("f{}", mesh.panels.len() + 1), panel));
                mesh.lines.panels.push(line);
            }
            Err(number) => reading.fault(
                "bad-obj",
                place,
                format!("this face names vertex {number}; the file has {count}"),
                "numbers start at 1; negative ones count back from the last",
            ),
        }
    }
    if reading.fault_count() > before {
        return None;
    }
    if mesh.panels.is_empty() {
        let place = Place { file, start: 0, end: 0 };
        reading.fault(
            "bad-obj",
            place,
            "the file has no faces (lines \"f a b c\")",
            "a shell is made of panels",
        );
        return None;
    }
    of_a_shells_size(table, key, &mesh).then_some(mesh)
}

/// Refuses a mesh whose size no shell has, and warns of one that few have: most likely its unit is another one.
fn of_a_shells_size(table: &Table<'_, '_>, key: &Key, mesh: &MeshAsk) -> bool {
    let mut box_of = [Vec3::repeat(f64::INFINITY), Vec3::repeat(f64::NEG_INFINITY)];
    // Points that no panel uses say nothing.
    for &joint in mesh.panels.iter().flat_map(|(_, panel)| panel) {
        let at = mesh.joints[joint].1;
        box_of = [box_of[0].inf(&at), box_of[1].sup(&at)];
    }
    let size = (box_of[1] - box_of[0]).max();
    let words = format!("{} m", significant(size, 3));
    if !(SIZE.0..=SIZE.1).contains(&size) {
        let message = format!("names a mesh {words} across; it must be {} to {} m", SIZE.0, SIZE.1);
        table.fault(
            "out-of-range",
            key,
            message,
            "file_unit is the length of one unit of the file: \"1 mm\", \"1 in\"",
        );
        return false;
    }
    if !(USUAL_SIZE.0..=USUAL_SIZE.1).contains(&size) {
        table.reading.warn(format!(
            "{}: the mesh is {words} across, usually {} to {} m: is file_unit the length of one unit of the file?",
            table.path, USUAL_SIZE.0, USUAL_SIZE.1
        ));
    }
    true
}

/// Reads the sheets of joints (joint,x,y,z,held) and panels (panel,a,b,c,d) that two keys name.
#[must_use]
pub fn read_sheets(table: &Table<'_, '_>, joints: &Key, panels: &Key, scale: Scale) -> Option<MeshAsk> {
    let before = table.reading.fault_count();
    let columns = [
        Column::required("joint"),
        Column::required("x"),
        Column::required("y"),
        Column::required("z"),
        Column::optional("held"),
    ];
    let joint_sheet = csv::read(table, joints, &columns);
    let columns = [
        Column::required("panel"),
        Column::required("a"),
        Column::required("b"),
        Column::required("c"),
        Column::optional("d"),
    ];
    let panel_sheet = csv::read(table, panels, &columns);
    let (joint_sheet, panel_sheet) = (joint_sheet?, panel_sheet?);
    let limit = if table.reading.allow_large.get() { PANEL_LIMIT_LARGE } else { PANEL_LIMIT };
    if panel_sheet.rows.len() > limit {
        too_many_panels(table, panels, limit);
        return None;
    }
    if joint_sheet.rows.is_empty() {
        table.fault("empty", joints, "names a sheet without rows", "panels stand on joints");
        return None;
    }
    let mut mesh = MeshAsk::default();
    let mut places = std::collections::BTreeMap::new();
    for row in &joint_sheet.rows {
        let name = row.need_text("joint");
        let at = ["x", "y", "z"].map(|axis| {
            let value = row.quantity(axis, Dimension::Length)?;
            // Of a cell that has a unit of its own, file_unit says nothing.
            let bare = row.text(axis).parse::<f64>().is_ok();
            let value = if bare { value } else { value / scale.unit };
            if (value * scale.unit).abs() >= 1e6 {
                let message = format!("{axis} is more than a thousand kilometres away");
                row.fault("out-of-range", axis, message, "is file_unit the length of one unit of the file?");
                return None;
            }
            Some(value)
        });
        let (Some(name), [Some(x), Some(y), Some(z)]) = (name, at) else { continue };
        if places.insert(name.clone(), mesh.joints.len()).is_some() {
            row.fault(
                "twice",
                "joint",
                format!("joint {name:?} is there twice"),
                "give every joint a name of its own",
            );
        }
        match row.text("held") {
            "" | "no" => {}
            "yes" => mesh.feet.push(mesh.joints.len()),
            other => row.fault(
                "unknown-word",
                "held",
                format!("held is {:?}, which is not known", shorten(other)),
                "write yes for a foot, or leave it empty",
            ),
        }
        mesh.joints.push((name, scale.apply([x, y, z])));
        mesh.lines.joints.push(row.line);
    }
    let mut panel_names = std::collections::BTreeSet::new();
    if table.reading.fault_count() > before {
        return None;
    }
    for row in &panel_sheet.rows {
        let Some(name) = row.need_text("panel") else { continue };
        let mut panel = Vec::new();
        for column in ["a", "b", "c", "d"] {
            let corner = row.text(column);
            if corner.is_empty() && column == "d" {
                continue;
            }
            match places.get(corner) {
                Some(place) => panel.push(*place),
                None => {
                    let near = nearest(corner, places.keys().map(String::as_str));
                    let help = near
                        .map_or("every corner is a joint of the sheet of joints".to_owned(), |near| {
                            format!("did you mean {near:?}?")
                        });
                    row.fault(
                        "unknown-joint",
                        column,
                        format!("there is no joint {:?}", shorten(corner)),
                        help,
                    );
                }
            }
        }
        if has_repeats(&panel) {
            row.fault(
                "twice",
                "a",
                format!("panel {name:?} names a joint twice"),
                "name three or four different joints",
            );
        }
        if !panel_names.insert(name.clone()) {
            row.fault(
                "twice",
                "panel",
                format!("panel {name:?} is there twice"),
                "give every panel a name of its own",
            );
        }
        mesh.panels.push((name, panel));
        mesh.lines.panels.push(row.line);
    }
    if mesh.panels.is_empty() && table.reading.fault_count() == before {
        table.fault("empty", panels, "names a sheet without rows", "a shell is made of panels");
    }
    (table.reading.fault_count() == before && of_a_shells_size(table, panels, &mesh)).then_some(mesh)
}

fn too_many_panels(table: &Table<'_, '_>, key: &Key, limit: usize) {
    let help = if limit == PANEL_LIMIT {
        "write allow_large = true under [project] if it is meant"
    } else {
        "a shell of this size is beyond this program"
    };
    table.fault("too-large", key, format!("names a mesh of more than {limit} panels"), help);
}

fn vertex<'a>(words: impl Iterator<Item = &'a str>) -> Result<[f64; 3], &'a str> {
    let mut at = [0.0; 3];
    let mut count = 0;
    for word in words {
        let number: f64 = word.parse().map_err(|_| word)?;
        if !number.is_finite() {
            return Err(word);
        }
        // A fourth number is a weight, numbers after it are colours.
        if let Some(slot) = at.get_mut(count) {
            *slot = number;
        }
        count += 1;
    }
    if count >= 3 { Ok(at) } else { Err("") }
}

fn corners<'a>(words: impl Iterator<Item = &'a str>) -> Result<Vec<i64>, &'a str> {
    words
        .take(CORNER_LIMIT + 1)
        .map(|word| word.split('/').next().unwrap_or("").parse().map_err(|_| word))
        .collect()
}

fn position(number: i64, count: usize) -> Result<usize, i64> {
    let length = i64::try_from(count).unwrap_or(i64::MAX);
    let at = if number > 0 { number - 1 } else { length.saturating_add(number) };
    if number == 0 || at < 0 || at >= length { Err(number) } else { usize::try_from(at).map_err(|_| number) }
}

fn has_repeats(panel: &[usize]) -> bool {
    panel.iter().enumerate().any(|(at, joint)| panel[..at].contains(joint))
}
