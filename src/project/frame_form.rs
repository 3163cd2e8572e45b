//! A plain frame: sheets of joints, bars and loads, `[section.*]` and `[analysis]`.
//!
//! Beyond the agreed columns: springs to ground (`kx` … `krz`) and lumped `mass` in the sheet of joints;
//! end springs (`from_krx` … `to_krz`) in that of bars; settlements of held freedoms (`ux` … `rz`) in that of
//! loads; the intensity at the far end (`wx_end` …) in that of line loads; and sheets of `springs` between
//! joints and of `folds` between panels.

use std::collections::BTreeMap;

use super::csv::{self, Column, Row};
use super::fault::Place;
use super::key::Key;
use super::schema_shell;
use super::table::{Reading, Table, nearest};
use crate::frame::assemble::Assembly;
use crate::frame::{
    Bar, BarId, BarLoad, BarSection, EndFix, Fold, Frame, FrameError, FrameLoads, Link, Node, NodeId, recover,
};
use crate::units::Dimension;
use crate::vector::Vec3;

/// A plain frame as asked for: the frame, the names, the cases and what to do.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct PlainFrame {
    /// The frame.
    pub frame: Frame,
    /// Name of every node.
    pub joints: Vec<String>,
    /// Name of every bar.
    pub bars: Vec<String>,
    /// Lumped mass of every node \[kg\].
    pub masses: Vec<f64>,
    /// Load cases by name, in the order of the sheets.
    pub cases: Vec<(String, FrameLoads)>,
    /// What to do.
    pub analysis: Analysis,
}

/// What to do with a plain frame.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Kind {
    /// First-order statics.
    #[default]
    Linear,
    /// Second-order statics.
    SecondOrder,
    /// Linear buckling.
    Buckling,
    /// Natural frequencies.
    Modes,
    /// Geometrically nonlinear path.
    Path,
}

impl Kind {
    /// Every kind with its word.
    pub const ALL: [(&'static str, Self); 5] = [
        ("linear", Self::Linear),
        ("second-order", Self::SecondOrder),
        ("buckling", Self::Buckling),
        ("modes", Self::Modes),
        ("path", Self::Path),
    ];
}

/// `[analysis]`.
#[derive(Debug, Clone, PartialEq)]
pub struct Analysis {
    /// Kind.
    pub kind: Kind,
    /// The case alone, by position; all of them if none.
    pub case: Option<usize>,
    /// How many buckling factors or frequencies.
    pub count: usize,
    /// Movement to watch on a path: node and freedom.
    pub watch: Option<(NodeId, usize)>,
    /// Steps of a path at most.
    pub steps: usize,
    /// Stop a path at its first limit or branch point.
    pub limit_only: bool,
    /// Second order: amplitude of the lowest buckling shape as initial crookedness \[m\].
    pub crookedness: f64,
}

impl Default for Analysis {
    fn default() -> Self {
        Self {
            kind: Kind::Linear,
            case: None,
            count: 6,
            watch: None,
            steps: 200,
            limit_only: false,
            crookedness: 0.0,
        }
    }
}

const AREA: Key = Key::quantity("area", Dimension::Area, "area");
const SECOND_Y: Key = Key::quantity(
    "second_moment_y",
    Dimension::SecondMoment,
    "bending about local y, deflection along local z",
)
.within(0.0, f64::MAX);
const SECOND_Z: Key = Key::quantity(
    "second_moment_z",
    Dimension::SecondMoment,
    "bending about local z, deflection along local y",
)
.within(0.0, f64::MAX);
const TORSION: Key =
    Key::quantity("torsion", Dimension::SecondMoment, "St Venant torsion constant").within(0.0, f64::MAX);
const ELASTIC: Key = Key::quantity("elastic", Dimension::Pressure, "Young's modulus");
const SHEAR: Key =
    Key::quantity("shear", Dimension::Pressure, "shear modulus, for torsion").within(0.0, f64::MAX);
const DENSITY: Key =
    Key::quantity("density", Dimension::Density, "density, for frequencies").within(0.0, f64::MAX);

/// Keys of `[section.NAME]`.
pub const SECTION_KEYS: &[Key] = &[AREA, SECOND_Y, SECOND_Z, TORSION, ELASTIC, SHEAR, DENSITY];

const KIND: Key = Key::word("kind", "linear, second-order, buckling, modes or path");
const CASE: Key = Key::text("case", "the load case to analyse; all of them if left out");
const COUNT: Key = Key::whole("count", "how many buckling factors or frequencies").within(1.0, 200.0);
const WATCH: Key = Key::table("watch", "the movement to watch on a path");
const STEPS: Key = Key::whole("steps", "steps of a path at most").within(1.0, 100_000.0);
const LIMIT_ONLY: Key = Key::flag("limit_only", "stop a path at its first limit or branch point");
const CROOKEDNESS: Key =
    Key::length("crookedness", "second-order: amplitude of the lowest buckling shape as initial crookedness")
        .within(0.0, f64::MAX);

/// Keys of `[analysis]`.
pub const ANALYSIS_KEYS: &[Key] = &[KIND, CASE, COUNT, WATCH, STEPS, LIMIT_ONLY, CROOKEDNESS];

const JOINT: Key = Key::text("joint", "joint to watch");
const DIRECTION: Key = Key::word("direction", "x, y, z, rx, ry or rz");

/// Keys of `[analysis.watch]`.
pub const WATCH_KEYS: &[Key] = &[JOINT, DIRECTION];

/// Freedoms by name, in order.
pub const FREEDOMS: [(&str, usize); 6] = [("x", 0), ("y", 1), ("z", 2), ("rx", 3), ("ry", 4), ("rz", 5)];

/// Names to positions, with the row of each.
type Names = BTreeMap<String, usize>;

/// Everything of a plain frame; faults are noted, and `None` says that there were some.
pub(crate) fn read(
    shell: &Table<'_, '_>,
    section: &Table<'_, '_>,
    analysis: &Table<'_, '_>,
) -> Option<PlainFrame> {
    let reading = shell.reading;
    let before = reading.fault_count();
    let sections = sections(section);
    let mut plain = PlainFrame::default();
    let joint_sheet = csv::read(shell, &schema_shell::JOINTS, JOINT_COLUMNS);
    let joints = joint_sheet.as_ref().map_or_else(Names::new, |sheet| read_joints(&sheet.rows, &mut plain));
    let bar_sheet = csv::read(shell, &schema_shell::BARS, BAR_COLUMNS);
    let bars = bar_sheet
        .as_ref()
        .map_or_else(Names::new, |sheet| read_bars(&sheet.rows, &mut plain, &joints, &sections));
    let spring_sheet = shell
        .has(&schema_shell::SPRINGS)
        .then(|| csv::read(shell, &schema_shell::SPRINGS, SPRING_COLUMNS))
        .flatten();
    if let Some(sheet) = &spring_sheet {
        read_springs(&sheet.rows, &mut plain, &joints);
    }
    let fold_sheet = shell
        .has(&schema_shell::FOLDS)
        .then(|| csv::read(shell, &schema_shell::FOLDS, FOLD_COLUMNS))
        .flatten();
    if let Some(sheet) = &fold_sheet {
        read_folds(&sheet.rows, &mut plain, &joints);
    }
    let load_sheet = shell
        .has(&schema_shell::LOADS)
        .then(|| csv::read(shell, &schema_shell::LOADS, LOAD_COLUMNS))
        .flatten();
    if let Some(sheet) = &load_sheet {
        read_loads(&sheet.rows, &mut plain, &joints);
    }
    let line_sheet = shell
        .has(&schema_shell::BAR_LOADS)
        .then(|| csv::read(shell, &schema_shell::BAR_LOADS, LINE_COLUMNS))
        .flatten();
    if let Some(sheet) = &line_sheet {
        read_line_loads(&sheet.rows, &mut plain, &bars, reading.fault_count() == before);
    }
    shell.finish(schema_shell::KEYS, "for form = \"frame\"");
    plain.analysis = read_analysis(analysis, &plain, &joints);
    if reading.fault_count() > before {
        return None;
    }
    if let (Some(joint_sheet), Some(_)) = (&joint_sheet, &bar_sheet) {
        loose_joints(&joint_sheet.rows, &plain);
        twins(&joint_sheet.rows, &plain);
    }
    if let (Some(joint_sheet), Some(bar_sheet)) = (&joint_sheet, &bar_sheet)
        && reading.fault_count() == before
    {
        let load_rows = load_sheet.as_ref().map_or(&[][..], |sheet| &sheet.rows);
        try_out(reading, &plain, &joint_sheet.rows, &bar_sheet.rows, load_rows);
    }
    (reading.fault_count() == before).then_some(plain)
}

fn sections(table: &Table<'_, '_>) -> BTreeMap<String, BarSection> {
    let mut sections = BTreeMap::new();
    for (name, section) in table.named_children() {
        let positive = |key: &Key| {
            let value = section.need_quantity(key)?;
            if value > 0.0 {
                return Some(value);
            }
            section.fault("out-of-range", key, "must be above zero", key.about);
            None
        };
        let (area, elastic) = (positive(&AREA), positive(&ELASTIC));
        let [y, z, torsion, shear, density] =
            [SECOND_Y, SECOND_Z, TORSION, SHEAR, DENSITY].map(|key| section.quantity_or(&key, 0.0));
        section.finish(SECTION_KEYS, "");
        if let (Some(area), Some(elastic)) = (area, elastic) {
            let mass = density * area;
            sections.insert(
                name,
                BarSection { area, second_moment_y: y, second_moment_z: z, torsion, elastic, shear, mass },
            );
        } else {
            // A section with a fault of its own, so that no bar is blamed for naming it.
            sections.insert(
                name,
                BarSection {
                    area: 1.0,
                    second_moment_y: 0.0,
                    second_moment_z: 0.0,
                    torsion: 0.0,
                    elastic: 1.0,
                    shear: 0.0,
                    mass: 0.0,
                },
            );
        }
    }
    sections
}

/// A plain number of a cell, finite.
fn number(row: &Row<'_>, column: &'static str, default: Option<f64>) -> Option<f64> {
    let value = match default {
        Some(default) => row.quantity_or(column, Dimension::Number, default)?,
        None => row.quantity(column, Dimension::Number)?,
    };
    if value.is_finite() {
        return Some(value);
    }
    row.fault("not-finite", column, format!("{column} is {}", row.text(column)), "write an ordinary number");
    None
}

fn length(row: &Row<'_>, column: &'static str) -> Option<f64> {
    let value = row.quantity(column, Dimension::Length)?;
    if value.is_finite() {
        return Some(value);
    }
    row.fault("not-finite", column, format!("{column} is {}", row.text(column)), "write an ordinary number");
    None
}

/// A number that must not be negative; empty is `default`.
fn stiffness(row: &Row<'_>, column: &'static str, default: f64) -> Option<f64> {
    if row.text(column).is_empty() {
        return Some(default);
    }
    let value = number(row, column, None)?;
    if value >= 0.0 {
        return Some(value);
    }
    row.fault("out-of-range", column, format!("{column} is {value}"), "a spring's stiffness is zero or more");
    None
}

fn six(row: &Row<'_>, columns: [&'static str; 6]) -> Option<[f64; 6]> {
    let values = columns.map(|column| number(row, column, Some(0.0)));
    all(values)
}

fn six_springs(row: &Row<'_>, columns: [&'static str; 6]) -> Option<[f64; 6]> {
    all(columns.map(|column| stiffness(row, column, 0.0)))
}

fn all<const N: usize>(values: [Option<f64>; N]) -> Option<[f64; N]> {
    let mut out = [0.0; N];
    for (out, value) in out.iter_mut().zip(values) {
        *out = value?;
    }
    Some(out)
}

/// Takes a name into the list; a fault where it is empty or there already.
fn take_name(row: &Row<'_>, column: &'static str, names: &mut Names, position: usize) -> Option<String> {
    let name = row.need_text(column)?;
    if names.insert(name.clone(), position).is_some() {
        row.fault(
            "twice",
            column,
            format!("{column} {name:?} is there twice"),
            "give every row a name of its own",
        );
        return None;
    }
    Some(name)
}

/// The position of a name; a fault with the nearest known one where it is unknown.
fn find(row: &Row<'_>, column: &'static str, what: &str, names: &Names) -> Option<usize> {
    let name = row.need_text(column)?;
    if let Some(position) = names.get(&name) {
        return Some(*position);
    }
    let help = nearest(&name, names.keys().map(String::as_str))
        .map_or_else(|| format!("name a {what} of its sheet"), |near| format!("did you mean {near:?}?"));
    row.fault("unknown-name", column, format!("{what} {name:?} is not known"), help);
    None
}

const GROUND: [&str; 6] = ["kx", "ky", "kz", "krx", "kry", "krz"];

const JOINT_COLUMNS: &[Column] = &[
    Column::required("joint"),
    Column::required("x"),
    Column::required("y"),
    Column::required("z"),
    Column::optional("held"),
    Column::optional("kx"),
    Column::optional("ky"),
    Column::optional("kz"),
    Column::optional("krx"),
    Column::optional("kry"),
    Column::optional("krz"),
    Column::optional("mass"),
];

fn read_joints(rows: &[Row<'_>], plain: &mut PlainFrame) -> Names {
    let mut names = Names::new();
    for row in rows {
        let position = plain.joints.len();
        let name = take_name(row, "joint", &mut names, position);
        let at = all([length(row, "x"), length(row, "y"), length(row, "z")]);
        let mut held = [false; 6];
        for word in row.text("held").split_whitespace() {
            match FREEDOMS.iter().find(|(freedom, _)| *freedom == word) {
                Some((_, freedom)) => held[*freedom] = true,
                None => {
                    let help = "write the held freedoms with spaces between them: x y z rx ry rz";
                    row.fault("unknown-word", "held", format!("{word:?} is no freedom"), help);
                }
            }
        }
        let ground = six_springs(row, GROUND);
        let mass = stiffness(row, "mass", 0.0);
        // A row with a fault keeps its place, so that what names it is not blamed as well.
        let at = at.unwrap_or([f64::from(u32::try_from(position).unwrap_or(0)), 0.0, 0.0]);
        plain.frame.nodes.push(Node {
            at: Vec3::new(at[0], at[1], at[2]),
            held,
            ground: ground.unwrap_or_default(),
        });
        plain.masses.push(mass.unwrap_or(0.0));
        plain.joints.push(name.unwrap_or_default());
    }
    names
}

const BAR_COLUMNS: &[Column] = &[
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

fn read_bars(
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

const SPRING_COLUMNS: &[Column] = &[
    Column::required("spring"),
    Column::required("from"),
    Column::required("to"),
    Column::optional("kx"),
    Column::optional("ky"),
    Column::optional("kz"),
    Column::optional("krx"),
    Column::optional("kry"),
    Column::optional("krz"),
];

fn read_springs(rows: &[Row<'_>], plain: &mut PlainFrame, joints: &Names) {
    let mut names = Names::new();
    for (position, row) in rows.iter().enumerate() {
        let _ = take_name(row, "spring", &mut names, position);
        let ends = (find(row, "from", "joint", joints), find(row, "to", "joint", joints));
        let stiffness = six_springs(row, GROUND);
        if let ((Some(a), Some(b)), Some(stiffness)) = (ends, stiffness) {
            if a == b {
                row.fault("no-length", "to", "this spring joins a joint to itself", "name two joints");
            }
            plain.frame.links.push(Link { nodes: [NodeId(a), NodeId(b)], stiffness });
        }
    }
}

const FOLD_COLUMNS: &[Column] = &[
    Column::required("fold"),
    Column::required("from"),
    Column::required("to"),
    Column::required("left"),
    Column::required("right"),
    Column::required("stiffness"),
];

fn read_folds(rows: &[Row<'_>], plain: &mut PlainFrame, joints: &Names) {
    let mut names = Names::new();
    for (position, row) in rows.iter().enumerate() {
        let _ = take_name(row, "fold", &mut names, position);
        let corners = ["from", "to", "left", "right"].map(|column| find(row, column, "joint", joints));
        let stiffness = stiffness(row, "stiffness", 0.0);
        if let ([Some(from), Some(to), Some(left), Some(right)], Some(stiffness)) = (corners, stiffness) {
            plain.frame.folds.push(Fold {
                hinge: [NodeId(from), NodeId(to)],
                wings: [vec![(NodeId(left), 1.0)], vec![(NodeId(right), 1.0)]],
                stiffness,
            });
            if let Err(FrameError::Degenerate { reason, .. }) =
                crate::frame::fold::gradient(&plain.frame, plain.frame.folds.len() - 1)
            {
                row.fault("degenerate", "left", reason, "name the far corners of the two panels");
            }
        }
    }
}

const MOVEMENTS: [&str; 6] = ["ux", "uy", "uz", "rx", "ry", "rz"];

const LOAD_COLUMNS: &[Column] = &[
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

fn read_loads(rows: &[Row<'_>], plain: &mut PlainFrame, joints: &Names) {
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

const LINE_COLUMNS: &[Column] = &[
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

/// `clear`: no fault so far; otherwise lengths of bars may mean nothing and are not held against a load.
fn read_line_loads(rows: &[Row<'_>], plain: &mut PlainFrame, bars: &Names, clear: bool) {
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
        let slack = 1e-9 * line.length;
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
            span: [start, end],
            intensity: [Vec3::new(first[0], first[1], first[2]), Vec3::new(last[0], last[1], last[2])],
        });
    }
}

fn read_analysis(table: &Table<'_, '_>, plain: &PlainFrame, joints: &Names) -> Analysis {
    let mut analysis = Analysis::default();
    if !table.is_present() {
        return analysis;
    }
    analysis.kind = table.word_or_first(&KIND, &Kind::ALL);
    if let Some(name) = table.text(&CASE) {
        analysis.case = plain.cases.iter().position(|(known, _)| *known == name);
        if analysis.case.is_none() {
            let help = nearest(&name, plain.cases.iter().map(|(known, _)| known.as_str())).map_or_else(
                || "name a case of the load sheets".to_owned(),
                |near| format!("did you mean {near:?}?"),
            );
            table.fault("unknown-name", &CASE, format!("is {name:?}, which is no load case"), help);
        }
    }
    if let Some(count) = table.whole(&COUNT) {
        analysis.count = count;
    }
    if let Some(steps) = table.whole(&STEPS) {
        analysis.steps = steps;
    }
    analysis.limit_only = table.flag(&LIMIT_ONLY).unwrap_or(false);
    analysis.crookedness = table.quantity(&CROOKEDNESS).unwrap_or(0.0);
    let watch = table.child(&WATCH);
    if watch.is_present() {
        let joint = watch.need_text(&JOINT);
        let direction = watch.need_word(&DIRECTION, &FREEDOMS);
        watch.finish(WATCH_KEYS, "");
        if let Some(name) = joint {
            match joints.get(&name) {
                Some(position) => analysis.watch = direction.map(|freedom| (NodeId(*position), freedom)),
                None => {
                    let help = nearest(&name, joints.keys().map(String::as_str)).map_or_else(
                        || "name a joint of its sheet".to_owned(),
                        |near| format!("did you mean {near:?}?"),
                    );
                    watch.fault("unknown-name", &JOINT, format!("is {name:?}, which is no joint"), help);
                }
            }
        }
    }
    table.finish(ANALYSIS_KEYS, "");
    if plain.cases.is_empty() && analysis.kind != Kind::Modes {
        let message = "needs a load case, and there is none";
        table.fault("missing", &KIND, message, "name a sheet of loads or bar_loads in [shell]");
    }
    analysis
}

/// Joints that nothing touches and nothing holds.
fn loose_joints(rows: &[Row<'_>], plain: &PlainFrame) {
    let mut touched: Vec<bool> = plain
        .frame
        .nodes
        .iter()
        .map(|n| n.held[..3].iter().all(|h| *h) || n.ground.iter().any(|k| *k > 0.0))
        .collect();
    let mut touch = |node: NodeId| touched[node.0] = true;
    for bar in &plain.frame.bars {
        touch(bar.from);
        touch(bar.to);
    }
    plain.frame.links.iter().flat_map(|link| link.nodes).for_each(&mut touch);
    for fold in &plain.frame.folds {
        fold.hinge.into_iter().for_each(&mut touch);
        fold.wings.iter().flatten().for_each(|(node, _)| touch(*node));
    }
    for (row, touched) in rows.iter().zip(&touched) {
        if !touched {
            let message = format!("joint {:?} is in the air: no bar or spring reaches it", row.text("joint"));
            row.fault("loose-joint", "joint", message, "join it to a bar, hold it, or take the row out");
        }
    }
}

/// Joints at the same place that no spring joins: nearly always a slip.
fn twins(rows: &[Row<'_>], plain: &PlainFrame) {
    let nodes = &plain.frame.nodes;
    let size = nodes.iter().map(|node| node.at.amax()).fold(0.0, f64::max);
    let mut order: Vec<usize> = (0..nodes.len()).collect();
    order.sort_by(|a, b| nodes[*a].at.x.total_cmp(&nodes[*b].at.x).then(a.cmp(b)));
    for (position, a) in order.iter().enumerate() {
        for b in &order[position + 1..] {
            if nodes[*b].at.x - nodes[*a].at.x > 1e-9 * size {
                break;
            }
            if (nodes[*a].at - nodes[*b].at).norm() > 1e-9 * size {
                continue;
            }
            let ends = [[NodeId(*a), NodeId(*b)], [NodeId(*b), NodeId(*a)]];
            if !plain.frame.links.iter().any(|link| ends.contains(&link.nodes)) {
                let (first, second) = (*a.min(b), *a.max(b));
                let message = format!(
                    "joint {:?} is at the same place as joint {:?}",
                    plain.joints[second], plain.joints[first]
                );
                let help = "use one joint, or join the two with a row in a sheet of springs";
                rows[second].fault("twin", "joint", message, help);
            }
        }
    }
}

/// What only the frame itself can tell: bars of no length, `up` along a bar, moments on hinges.
fn try_out(reading: &Reading, plain: &PlainFrame, joints: &[Row<'_>], bars: &[Row<'_>], loads: &[Row<'_>]) {
    let mut clear = true;
    for (index, row) in bars.iter().enumerate() {
        if let Err(error) = crate::frame::bar::line(&plain.frame, BarId(index)) {
            clear = false;
            let name = row.text("bar");
            match error {
                FrameError::UpAlongBar { .. } => row.fault(
                    "up-along-bar",
                    "up_x",
                    format!("`up` of bar {name:?} runs along the bar"),
                    "give a direction across the bar, or leave the three cells empty",
                ),
                _ => row.fault(
                    "no-length",
                    "to",
                    format!("bar {name:?} has no length: its two joints are at the same place"),
                    "move one of the joints, or take the bar out",
                ),
            }
        }
    }
    if !clear {
        return;
    }
    let assembly = match Assembly::new(&plain.frame) {
        Ok(assembly) => assembly,
        Err(error) => {
            reading.fault("frame", Place::project(0..0), error.to_string(), "mend the sheets");
            return;
        }
    };
    for (name, case) in &plain.cases {
        let Err(error) = recover::prepare(&plain.frame, &assembly, case) else { continue };
        let help = "hinge fewer of its bars, or put the moment on a joint that turns";
        match error {
            FrameError::MomentOnHinge { node } => {
                let joint = &plain.joints[node.0];
                let row = loads.iter().find(|row| {
                    row.text("joint") == joint
                        && row.text("case") == name
                        && ["mx", "my", "mz"].iter().any(|m| !matches!(row.text(m), "" | "0" | "0.0"))
                });
                let message = format!(
                    "a moment is put on joint {joint:?}, which has no rotations: every bar end there is hinged"
                );
                match row.or(joints.get(node.0)) {
                    Some(row) => row.fault("moment-on-hinge", "mx", message, help),
                    None => reading.fault("moment-on-hinge", Place::project(0..0), message, help),
                }
            }
            other => reading.fault(
                "load",
                Place::project(0..0),
                format!("case {name:?}: {other}"),
                "mend the sheets",
            ),
        }
    }
}
