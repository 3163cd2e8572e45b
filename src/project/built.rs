//! What shows only once the shell is built: shapes that cannot be, meshes with faults, bevels that leave nothing,
//! names that the shell does not have, cases and combinations that cannot be made. Each is told at the key, or
//! at the line of the mesh's file, that it comes from.

use toml::de::{DeTable, DeValue};

use super::Project;
use super::fault::{Faulty, Place};
use super::near::{nearest, shorten};
use super::reading::{Outcome, Reading};
use super::schema_shell::OPENING;
use super::table::Table;
use crate::loads::ask::LoadsAsk;
use crate::loads::{LoadError, direction_words};
use crate::section::ask::TimberAsk;
use crate::section::strip::strip;
use crate::shell::ask::{Form, MeshAsk, OpeningForm, ShellAsk};
use crate::shell::mesh_fault::MeshPart;
use crate::shell::{self, MeshFault, Shell, ShellError};
use crate::units::{self, Dimension};

/// Most names that a fault lists.
const NAMED: usize = 8;

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
            loads(&root, &project.loads, &shell);
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
        ShellError::OpeningMissed { opening, .. } => {
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
            names(opening, "panels", "panel", &known);
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

/// Tells names that the shell does not have, and cases and combinations that cannot be made.
fn loads(root: &Table<'_, '_>, ask: &LoadsAsk, shell: &Shell) {
    let before = root.reading.fault_count();
    unknown_names(root, ask, shell);
    if root.reading.fault_count() > before {
        return;
    }
    let weightless = vec![0.0; shell.members.len()];
    let cases = match crate::loads::cases(ask, shell, &weightless) {
        Ok(cases) => cases,
        Err(error) => return load(root, &error),
    };
    let tables = under(root, "combine").map_or_else(Vec::new, |combine| listed(&combine, "own"));
    let known: Vec<&str> =
        std::iter::once("weight").chain(cases.iter().map(|case| case.name.as_str())).collect();
    for (number, table) in tables.iter().enumerate() {
        let Some(DeValue::Table(terms)) =
            table.entries.and_then(|entries| entries.get("terms")).map(toml::Spanned::get_ref)
        else {
            continue;
        };
        let mut all_known = true;
        for name in terms.keys().filter(|name| !known.contains(&name.get_ref().as_ref())) {
            all_known = false;
            unknown(table, "terms", "case", name.get_ref(), Place::project(name.span()), &known);
        }
        let Some(own) = ask.combine.own.get(number).filter(|_| all_known) else { continue };
        let mut alone = ask.clone();
        alone.combine.own = vec![own.clone()];
        if let Err(error) = crate::loads::combine::combinations(&alone, &cases) {
            let message = match error {
                LoadError::TouchesNothing { .. } => format!("{} gives no case a factor", table.path),
                other => format!("{}: {other}", table.path),
            };
            let help = "give at least one case a factor that is not 0";
            table.reading.fault("combination", at(table, "terms"), message, help);
        }
    }
    if root.reading.fault_count() == before
        && !ask.combine.own.is_empty()
        && let Err(error) = crate::loads::combine::combinations(ask, &cases)
    {
        load(root, &error);
    }
}

/// A table under another, where there is one; no faults are told.
fn under<'r, 'd>(table: &Table<'r, 'd>, name: &'static str) -> Option<Table<'r, 'd>> {
    let is_table = matches!(table.entries?.get(name).map(toml::Spanned::get_ref), Some(DeValue::Table(_)));
    is_table.then(|| table.child(&super::key::Key::table(name, "")))
}

/// The tables of a list under another, where there is one; no faults are told that were not.
fn listed<'r, 'd>(table: &Table<'r, 'd>, name: &'static str) -> Vec<Table<'r, 'd>> {
    if table.entries.is_some_and(|entries| entries.contains_key(name)) {
        table.children(&super::key::Key::table(name, ""))
    } else {
        Vec::new()
    }
}

/// Every joint, panel and member that a load names and the shell does not have.
fn unknown_names(root: &Table<'_, '_>, ask: &LoadsAsk, shell: &Shell) {
    let joints: Vec<&str> = shell.joints.iter().map(|joint| joint.name.as_str()).collect();
    let panels: Vec<&str> = shell.panels.iter().map(|panel| panel.name.as_str()).collect();
    let members: Vec<&str> = shell.members.iter().map(|member| member.name.as_str()).collect();
    if let Some(imposed) = under(root, "imposed") {
        names(&imposed, "person_joints", "joint", &joints);
        for hung in listed(&imposed, "hanging") {
            names(&hung, "joints", "joint", &joints);
        }
        for point in listed(&imposed, "point") {
            names(&point, "panel", "panel", &panels);
        }
        for water in listed(&imposed, "water") {
            names(&water, "panels", "panel", &panels);
        }
    }
    for stage in listed(root, "stage") {
        names(&stage, "panels", "panel", &panels);
    }
    for (case, asked) in listed(root, "case").iter().zip(&ask.user) {
        for pattern in listed(case, "pattern") {
            names(&pattern, "panels", "panel", &panels);
        }
        for (what, known, named) in [
            ("joint", &joints, &asked.joints),
            ("panel", &panels, &asked.panels),
            ("member", &members, &asked.members),
        ] {
            let items = listed(case, what);
            for item in &items {
                names(item, "name", what, known);
            }
            // What is not in the project's own lists was read from the sheet, after them.
            for (name, _) in named.iter().skip(items.len()) {
                if !known.contains(&name.as_str()) {
                    let place = cell(case, "sheet", name).unwrap_or_else(|| at(case, "sheet"));
                    unknown(case, "sheet", what, name, place, known);
                }
            }
        }
    }
}

/// The first cell of a sheet that holds a name.
fn cell(table: &Table<'_, '_>, key: &str, name: &str) -> Option<Place> {
    let file = companion(table, key)?;
    let files = table.reading.files.borrow();
    let text = &files[file].text;
    let bounds = |c: char| matches!(c, ',' | '\n' | '\r' | '"' | ' ' | ';' | '\t');
    let start = text.match_indices(name).map(|(start, _)| start).find(|&start| {
        text[..start].chars().next_back().is_none_or(bounds)
            && text[start + name.len()..].chars().next().is_none_or(bounds)
    })?;
    Some(Place { file, start, end: start + name.len() })
}

/// Tells every name of a key, one or a list, that is not known.
fn names(table: &Table<'_, '_>, key: &str, what: &str, known: &[&str]) {
    let Some(value) = table.entries.and_then(|entries| entries.get(key)) else { return };
    let items = match value.get_ref() {
        DeValue::Array(list) => list.iter().collect(),
        _ => vec![value],
    };
    for item in items {
        if let DeValue::String(name) = item.get_ref()
            && !known.contains(&name.as_ref())
        {
            unknown(table, key, what, name, Place::project(item.span()), known);
        }
    }
}

fn unknown(table: &Table<'_, '_>, key: &str, what: &str, name: &str, place: Place, known: &[&str]) {
    let message =
        format!("{}.{key} names {what} {:?}, and there is no such {what}", table.path, shorten(name));
    let there = match known {
        [] => format!("there is no {what} here"),
        _ if known.len() <= NAMED => format!("the {what}s are {}", known.join(", ")),
        [first, .., last] if what != "case" => {
            format!(
                "there are {} {what}s, {first} to {last}; once the file reads, strutwise check FILE --csv FOLDER lists them",
                known.len()
            )
        }
        _ => {
            let few: Vec<String> = known.iter().take(NAMED).map(|name| format!("{name:?}")).collect();
            format!(
                "there are {}: {}, …; once the file reads, strutwise check FILE --csv FOLDER lists them",
                known.len(),
                few.join(", ")
            )
        }
    };
    let help = match nearest(name, known.iter().copied()) {
        Some(near) => format!("did you mean {near:?}? {}", capital(&there)),
        None => there,
    };
    table.reading.fault("unknown-name", place, message, help);
}

fn capital(text: &str) -> String {
    let mut characters = text.chars();
    characters.next().map_or_else(String::new, |first| first.to_uppercase().chain(characters).collect())
}

/// A load that cannot be made, at the key that it comes from.
fn load(root: &Table<'_, '_>, error: &LoadError) {
    let reading = root.reading;
    let (told, advice) = split(&error.to_string());
    // "snow.thermal", "snow.ground [N/m²]".
    let key = |what: &str| -> Option<Place> {
        let (table, rest) = what.split_once('.')?;
        let name = rest.split(' ').next().unwrap_or(rest);
        let table = match table {
            "snow" | "wind" | "cover" | "imposed" => root.entries?.get(table)?,
            _ => return None,
        };
        let DeValue::Table(entries) = table.get_ref() else { return None };
        Some(Place::project(entries.get(name).map_or_else(|| table.span(), toml::Spanned::span)))
    };
    let top = || Place::project(0..0);
    let in_table =
        |table: &'static str, name: &str| under(root, table).map_or_else(top, |table| at(&table, name));
    match error {
        LoadError::Editions { wanted, found, .. } => {
            let message = format!(
                "snow.map_edition is {found:?}, and combine.edition is {wanted:?}: the editions of ASCE 7 are mixed"
            );
            let help =
                "take the ground snow and the rules from one edition: their levels differ by more than half";
            reading.fault("editions", in_table("snow", "map_edition"), message, help);
        }
        LoadError::Twice { name } => {
            let direction = name.contains("wind from")
                && ["wind", "snow"]
                    .iter()
                    .any(|table| under(root, table).is_some_and(|t| equal_direction(&t).is_some()));
            let help = if direction {
                "take one of the two out: 0 and 360 degrees are one direction, and names go to a tenth of a degree"
            } else {
                "take one of the two out, or give it a name of its own"
            };
            let own = name.starts_with("snow")
                && under(root, "snow").is_some_and(|t| equal_direction(&t).is_some());
            let table = if own { "snow" } else { "wind" };
            let told = match name.split_once(" from ").filter(|_| direction) {
                Some((_, rest)) => {
                    let degrees = rest.split(',').next().unwrap_or(rest);
                    format!("{table}.directions_deg names {degrees} twice, which makes two cases of one name")
                }
                None => told,
            };
            reading.fault("twice", twice(root, name), told, help);
        }
        LoadError::Missing { what, .. } => {
            let place = key(what).unwrap_or_else(|| in_table("combine", what));
            reading.fault("missing", place, told, advice);
        }
        LoadError::OutOfRange { what, .. } => {
            let place = key(what)
                .or_else(|| what.starts_with("the sum of the weights").then(|| in_table("imposed", "point")));
            reading.fault("out-of-range", place.unwrap_or_else(top), told, advice);
        }
        LoadError::Basis { what, .. } => {
            let place = if what.contains("enclosure") {
                in_table("wind", "internal")
            } else {
                in_table("wind", "terrain")
            };
            reading.fault("basis", place, told, advice);
        }
        LoadError::TouchesNothing { name, .. } => {
            let place =
                if name.ends_with("valleys filled") { in_table("snow", "valley") } else { named(root, name) };
            let help = "change where it is, or take it out";
            reading.fault("touches-nothing", place, error.to_string(), help);
        }
        LoadError::Unknown { .. } | LoadError::Weights { .. } => {
            reading.fault("loads", top(), told, advice);
        }
    }
}

/// Where the second thing that makes a case of a name stands.
fn twice(root: &Table<'_, '_>, name: &str) -> Place {
    let list = |table: &'static str, key: &str| {
        under(root, table).map_or_else(|| Place::project(0..0), |table| at(&table, key))
    };
    let directions = |table: &'static str| under(root, table).and_then(|table| equal_direction(&table));
    if name.starts_with("wind from") {
        // Equal directions or equal coefficients inside: whichever has two alike.
        return directions("wind").unwrap_or_else(|| list("wind", "internal_coefficients"));
    }
    if name.contains("wind from") {
        // Snow drifts by directions of its own, or by those of the wind.
        let own = directions("snow").or_else(|| directions("wind"));
        return own.unwrap_or_else(|| list("snow", "directions_deg"));
    }
    if name.starts_with("person on") {
        return list("imposed", "person_joints");
    }
    named(root, name)
}

/// The first of a table's directions that is one before it again.
fn equal_direction(table: &Table<'_, '_>) -> Option<Place> {
    let value = table.entries?.get("directions_deg")?;
    let DeValue::Array(list) = value.get_ref() else { return None };
    let mut seen: Vec<String> = Vec::new();
    for item in list {
        let text = match item.get_ref() {
            DeValue::Integer(number) => number.as_str().replace('_', ""),
            DeValue::Float(number) => number.as_str().replace('_', ""),
            DeValue::String(text) => text.to_string(),
            _ => continue,
        };
        let Ok((angle, with_unit)) = units::read(&text, Dimension::Angle) else { continue };
        let words = direction_words(if with_unit { angle } else { units::radians(angle) });
        if seen.contains(&words) {
            return Some(Place::project(item.span()));
        }
        seen.push(words);
    }
    None
}

/// Where the last thing that gives a case or combination a name stands.
fn named(root: &Table<'_, '_>, name: &str) -> Place {
    let mut places: Vec<Place> = Vec::new();
    let mut look = |tables: Vec<Table<'_, '_>>| {
        for table in tables {
            let value = table.entries.and_then(|entries| entries.get("name"));
            if let Some(DeValue::String(text)) = value.map(toml::Spanned::get_ref)
                && text.as_ref() == name
            {
                places.push(at(&table, "name"));
            }
        }
    };
    let imposed = under(root, "imposed");
    let combine = under(root, "combine");
    look(imposed.as_ref().map_or_else(Vec::new, |imposed| listed(imposed, "hanging")));
    look(listed(root, "case"));
    look(listed(root, "stage"));
    look(combine.as_ref().map_or_else(Vec::new, |combine| listed(combine, "own")));
    let of_kind = if name.starts_with("force on panel") {
        Some("point")
    } else if name.starts_with("water in the cover") {
        Some("water")
    } else {
        None
    };
    if let (Some(kind), Some(imposed)) = (of_kind, &imposed) {
        places.extend(listed(imposed, kind).last().map(Table::place));
    }
    places.into_iter().max().unwrap_or_else(|| Place::project(0..0))
}
