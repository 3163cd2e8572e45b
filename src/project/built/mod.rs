//! What shows only once the shell is built: shapes that cannot be, meshes with faults, bevels that leave nothing,
//! names that the shell does not have, cases and combinations that cannot be made. Each is told at the key, or
//! at the line of the mesh's file, that it comes from.

mod groups;
mod loads;
mod names;

use toml::de::{DeTable, DeValue};

pub(super) use groups::without_members;

use super::Project;
use super::fault::{Faulty, Place};
use super::reading::{Outcome, Reading};
use super::schema_shell::OPENING;
use super::table::Table;
use crate::section::ask::TimberAsk;
use crate::section::strip::strip;
use crate::shell::ask::{Form, MeshAsk, OpeningForm, ShellAsk};
use crate::shell::mesh_fault::MeshPart;
use crate::shell::{self, MeshFault, Shell, ShellError};
use crate::units;

/// Why a project that reads well cannot be assessed, at the keys that it comes from; `None` where nothing of this kind is
/// wrong with it.
///
/// This builds the shell and its cases again, so it is asked only once they could not be made.
#[must_use]
pub fn faults(project: &Project) -> Option<Faulty> {
    let mut files = project.files.iter().cloned();
    let reading = Reading::new(std::path::PathBuf::new(), files.next()?);
    for companion in files {
        reading.keep(companion);
    }
    let (root, errors) = DeTable::parse_recoverable(project.text());
    if errors.is_empty() {
        let root = Table::root(&reading, &root);
        if let (Some(shell_table), Some(timber_table)) = (under(&root, "shell"), under(&root, "timber"))
            && let Some(shell) = shell(&shell_table, &project.shell)
        {
            bevels(&timber_table, &project.timber, &shell);
            loads::faults(&root, &project.loads, &shell);
        }
    }
    let Outcome { files, faults, .. } = reading.finish();
    (!faults.is_empty()).then_some(Faulty { files, faults })
}

/// Where a key's value stands in a table; the table's own place where it has no such key.
fn at(table: &Table<'_, '_>, key: &str) -> Place {
    let value = table.entries.and_then(|entries| entries.get(key));
    value.map_or_else(|| table.place(), |value| Place::project(value.span()))
}

/// The greatest fold of a shell's seams \[rad\]; that of a coarse dome, 45°, where it cannot be built.
pub(super) fn sharpest_fold(ask: Option<&ShellAsk>) -> f64 {
    ask.and_then(|ask| shell::build(ask).ok()).map_or(units::radians(45.0), |shell| {
        shell.members.iter().map(|member| member.fold.abs()).fold(0.0, f64::max)
    })
}

/// Builds the shell of `[shell]`; what keeps it from being built is told, and there is none.
fn shell(table: &Table<'_, '_>, ask: &ShellAsk) -> Option<Shell> {
    let error = match shell::build(ask) {
        Ok(shell) => return Some(shell),
        Err(error) => error,
    };
    let fault = |code, key: &str, message: String, help: &str| {
        table.reading.fault(code, at(table, key), message, help);
    };
    let (told, advice) = split(&error.to_string());
    match &error {
        ShellError::NoSuchPanel { .. } => openings(table, ask),
        ShellError::Mesh { faults } => mesh(table, ask, faults),
        ShellError::OpeningMissed { opening, .. } | ShellError::DoorTooLarge { opening, .. } => {
            let place = table.children(&OPENING).get(opening - 1).map_or_else(|| table.place(), Table::place);
            table.reading.fault("opening", place, format!("shell.{told}"), advice);
        }
        ShellError::OpeningsTakeAll => fault("opening", "opening", format!("shell.opening: {told}"), &advice),
        ShellError::Rise { .. } => fault("out-of-range", "rise", told, &advice),
        ShellError::Studs { .. } => fault("out-of-range", "studs", format!("shell.studs: {told}"), &advice),
        ShellError::NoHalfDome => fault(
            "half-dome",
            "ends",
            "shell.ends asks for a half-dome, whose ring has steps of 36 or 18 degrees and a joint at the crown; the \
             end arch has not"
                .to_owned(),
            "take profile = \"circular\", rise = half the span, and 10 segments, or 5 in the staggered pattern (both \
             ends: an even number of bays)",
        ),
        ShellError::BaseTooHigh { .. } | ShellError::BaseTooLow { .. } => fault("base", "base", told, &advice),
        ShellError::Pieces { .. } | ShellError::Pinched { .. } => {
            let key = if ask.openings.is_empty() { "base" } else { "opening" };
            fault("pieces", key, format!("shell.{key}: {told}"), &advice);
        }
        ShellError::NotPositive { what, .. }
        | ShellError::NotANumber { what, .. }
        | ShellError::Count { what, .. } => fault("out-of-range", what, told, &advice),
        ShellError::OddFrequency { .. } => fault("odd", "frequency", told, &advice),
        ShellError::OddBands { .. } => fault("odd", "bands", told, &advice),
    }
    None
}

/// A station's sentence as what is wrong and what to do: these stand behind its last semicolon, or colon.
fn split(words: &str) -> (String, String) {
    let parts = words.rsplit_once("; ").or_else(|| words.rsplit_once(": "));
    let (told, advice) = parts.unwrap_or((words, "change the value"));
    (told.to_owned(), advice.to_owned())
}

/// Every panel that an opening names and the whole shell does not have.
fn openings(table: &Table<'_, '_>, ask: &ShellAsk) {
    let whole = ShellAsk { openings: Vec::new(), ..ask.clone() };
    let Ok(shell) = shell::build(&whole) else { return };
    let known: Vec<&str> = shell.panels.iter().map(|panel| panel.name.as_str()).collect();
    for (opening, asked) in table.children(&OPENING).iter().zip(&ask.openings) {
        if matches!(asked.form, OpeningForm::Panels(_)) {
            names::known(opening, "panels", "panel", &known);
        }
    }
}

/// Faults of a mesh at the lines of its file, where they name a joint or a panel; at the key of the file otherwise.
fn mesh(table: &Table<'_, '_>, ask: &ShellAsk, faults: &[MeshFault]) {
    for fault in faults {
        let part = fault.about();
        let key = match (&part, table.entries.is_some_and(|entries| entries.contains_key("file"))) {
            (_, true) => "file",
            (Some(MeshPart::Joint(_)), false) => "joints",
            _ => "panels",
        };
        let line = match &ask.form {
            Form::Mesh(mesh) => part.as_ref().and_then(|part| line_of(mesh, part)),
            _ => None,
        };
        let place = line.and_then(|line| line_place(table, key, line)).unwrap_or_else(|| at(table, key));
        let (told, advice) = split(&fault.to_string());
        table.reading.fault("mesh", place, told, advice);
    }
}

/// The line that a part of a mesh was read from. Faults name it with the line behind its name.
fn line_of(mesh: &MeshAsk, part: &MeshPart<'_>) -> Option<usize> {
    let bare = |name: &str| name.split(" (line ").next().unwrap_or(name).to_owned();
    match part {
        MeshPart::Joint(name) => {
            let name = bare(name);
            let position = mesh.joints.iter().position(|(known, _)| *known == name)?;
            mesh.lines.joints.get(position).copied()
        }
        MeshPart::Panel(name) => {
            let name = bare(name);
            let position = mesh.panels.iter().position(|(known, _)| *known == name)?;
            mesh.lines.panels.get(position).copied()
        }
    }
}

/// A line, from 1, of the companion file that a key names.
fn line_place(table: &Table<'_, '_>, key: &str, line: usize) -> Option<Place> {
    let file = companion(table, key)?;
    let files = table.reading.files.borrow();
    let text = &files[file].text;
    let start = match line {
        0 | 1 => 0,
        _ => text.match_indices('\n').nth(line - 2)?.0 + 1,
    };
    let length = text[start..].lines().next().map_or(0, str::len);
    Some(Place { file, start, end: start + length })
}

/// Number among the files read of the one that a key names.
fn companion(table: &Table<'_, '_>, key: &str) -> Option<usize> {
    let DeValue::String(name) = table.entries?.get(key)?.get_ref() else { return None };
    let files = table.reading.files.borrow();
    files.iter().skip(1).position(|file| file.name == name.as_ref()).map(|position| position + 1)
}

/// Tells a bevel that leaves nothing of a strip's narrow face, at the sharpest seam that each size of timber has.
fn bevels(table: &Table<'_, '_>, ask: &TimberAsk, shell: &Shell) {
    if !ask.bevelled {
        return;
    }
    let group_of =
        |member: &shell::Member| ask.groups.iter().position(|group| group.roles.contains(&member.role));
    let mut tried = Vec::new();
    let mut seams: Vec<&shell::Member> =
        shell.members.iter().filter(|member| member.kind == shell::MemberKind::Seam).collect();
    seams.sort_by(|a, b| b.fold.abs().total_cmp(&a.fold.abs()));
    for member in seams {
        let group = group_of(member);
        if tried.contains(&group) {
            continue;
        }
        tried.push(group);
        let (breadth, depth) = group
            .map_or((ask.breadth, ask.depth), |group| (ask.groups[group].breadth, ask.groups[group].depth));
        if let Err(error) = strip(breadth, depth, member.fold, true) {
            let (told, advice) = split(&error.to_string());
            let message = format!("timber.bevelled: at seam {} {told}", member.name);
            let key = if table.entries.is_some_and(|entries| entries.contains_key("bevelled")) {
                "bevelled"
            } else {
                "breadth"
            };
            table.reading.fault("bevel", at(table, key), message, advice);
        }
    }
}

/// A table under another, where there is one; no faults are told.
fn under<'r, 'd>(table: &Table<'r, 'd>, name: &'static str) -> Option<Table<'r, 'd>> {
    let is_table = matches!(table.entries?.get(name).map(toml::Spanned::get_ref), Some(DeValue::Table(_)));
    is_table.then(|| table.child(&crate::project::key::Key::table(name, "")))
}

/// The tables of a list under another, where there is one; no faults are told that were not.
fn listed<'r, 'd>(table: &Table<'r, 'd>, name: &'static str) -> Vec<Table<'r, 'd>> {
    if table.entries.is_some_and(|entries| entries.contains_key(name)) {
        table.children(&crate::project::key::Key::table(name, ""))
    } else {
        Vec::new()
    }
}
