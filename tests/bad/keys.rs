//! Every key of the project file spoilt in every way that its kind allows: the keys are those of
//! `project::reference`, so that a new key that no project of `tests/bad/whole` holds fails here.
//!
//! The projects of `whole` are taken as they stand, one line a key. A line is spoilt at a time; the answer must be
//! one fault with the code, at the line and column, that the spoiling has.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use strutwise::project::key::{Key, Wants};
use strutwise::project::{self, Asked, ProjectError, SourceText, reference};
use strutwise::units::Dimension;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/bad/whole")
}

fn whole() -> Vec<(String, String)> {
    let mut all: Vec<(String, String)> = fs::read_dir(folder())
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "toml"))
        .map(|path| {
            (path.file_name().unwrap().to_string_lossy().into_owned(), fs::read_to_string(path).unwrap())
        })
        .collect();
    all.sort();
    all
}

/// A line of a project that gives a key.
struct Line<'a> {
    number: usize,
    table: &'static str,
    key: Key,
    value: &'a str,
}

/// The table of the reference that a header of a file is.
fn table_of(header: &str) -> &'static str {
    let name = header.trim_matches(['[', ']']);
    let of = |table: &str| {
        let plain = table.trim_matches(['[', ']']);
        plain == name
            || (plain == "section.NAME" && name.starts_with("section."))
            || (table == "[analysis] watch" && name == "analysis.watch")
    };
    reference::tables().into_iter().find(|(table, _)| of(table)).map_or("", |(table, _)| table)
}

fn lines(text: &str) -> Vec<Line<'_>> {
    let (mut table, mut found) = ("", Vec::new());
    for (at, line) in text.lines().enumerate() {
        if line.starts_with('[') {
            table = table_of(line);
        } else if let Some((name, value)) = line.split_once(" = ")
            && let Some((_, keys)) = reference::tables().into_iter().find(|(known, _)| *known == table)
        {
            let key = keys.iter().find(|key| key.name == name);
            let key = *key.unwrap_or_else(|| panic!("{table} has no key {name}"));
            found.push(Line { number: at + 1, table, key, value });
        }
    }
    found
}

/// How a line is spoilt, and what must be said of it.
#[derive(Clone)]
struct Spoilt {
    line: String,
    column: usize,
    codes: &'static [&'static str],
    words: String,
}

fn value(key: &Key, value: &str, codes: &'static [&'static str], within: usize) -> Spoilt {
    Spoilt {
        line: format!("{} = {value}", key.name),
        column: key.name.len() + 4 + within,
        codes,
        words: key.name.to_owned(),
    }
}

/// A number a little beyond a limit, which is told with the limits.
fn beyond(key: &Key, list: bool) -> Vec<Spoilt> {
    let (low, high) = key.limits;
    let numbers = [(low, low - 1e-3 * low.abs().max(1e-9)), (high, high + 1e-3 * high.abs().max(1e-9))];
    let mut all = Vec::new();
    for (limit, number) in numbers {
        if limit.is_finite() && limit < 1e300 {
            let text = if list { format!("[{number:e}]") } else { format!("{number:e}") };
            let mut spoilt = value(key, &text, &["out-of-range"], usize::from(list));
            spoilt.words = " must be ".to_owned();
            all.push(spoilt);
        }
    }
    all
}

fn of_quantity(key: &Key, dimension: Dimension, list: bool) -> Vec<Spoilt> {
    // A unit of something that the key is not.
    let other = if dimension == Dimension::Length { "\"3 kg\"" } else { "\"3 m\"" };
    let wrong: [(&str, &[&str]); 6] = [
        ("true", &["wrong-type"]),
        (other, &["wrong-unit"]),
        ("\"3 furlongs\"", &["unknown-unit", "not-a-quantity"]),
        ("\"a few\"", &["not-a-quantity"]),
        ("nan", &["not-finite"]),
        ("\"1,5\"", &["not-a-quantity"]),
    ];
    let mut all: Vec<Spoilt> = wrong
        .into_iter()
        .map(|(text, codes)| {
            let text = if list { format!("[{text}]") } else { text.to_owned() };
            value(key, &text, codes, usize::from(list))
        })
        .collect();
    all.extend(beyond(key, list));
    if list {
        all.push(value(key, "true", &["wrong-type"], 0));
        all.push(value(key, "[]", &["empty"], 0));
    }
    all
}

/// What is no range; where the key takes none, a list of two is not one either.
fn of_range(key: &Key, given: &str) -> Vec<Spoilt> {
    let mut all = vec![
        value(key, "[]", &["range"], 0),
        value(key, &format!("[{given}]"), &["range"], 0),
        value(key, &format!("[{given}, {given}, {given}]"), &["range"], 0),
    ];
    if key.takes_range() {
        all.push(value(key, &format!("[{given}, true]"), &["wrong-type"], 3 + given.len()));
    } else {
        all.push(value(key, &format!("[{given}, {given}]"), &["range"], 0));
    }
    all
}

fn spoilt(key: &Key, given: &str) -> Vec<Spoilt> {
    let mut all = match key.wants {
        Wants::Quantity(dimension) => [of_quantity(key, dimension, false), of_range(key, given)].concat(),
        Wants::Degrees => [of_quantity(key, Dimension::Angle, false), of_range(key, given)].concat(),
        Wants::Quantities(dimension) => of_quantity(key, dimension, true),
        Wants::DegreesList => of_quantity(key, Dimension::Angle, true),
        // A single value is none to put in brackets, and no list.
        Wants::DegreesOrList => {
            let mut list = of_quantity(key, Dimension::Angle, true);
            list.dedup_by(|one, other| one.line == other.line);
            [of_quantity(key, Dimension::Angle, false), list].concat()
        }
        Wants::Whole => {
            let mut all = vec![
                value(key, "1.5", &["wrong-type"], 0),
                value(key, "\"two\"", &["wrong-type"], 0),
                value(key, "-1", &["out-of-range"], 0),
            ];
            if key.limits.1.is_finite() {
                all.push(value(key, &format!("{}", key.limits.1 + 1.0), &["out-of-range"], 0));
            }
            all
        }
        // Two keys want a quantity as a text, or a bare number: their faults are those of quantities.
        Wants::Text if matches!(key.name, "from" | "to") => vec![
            value(key, "true", &["wrong-type"], 0),
            value(key, "\"3 kg\"", &["wrong-unit"], 0),
            value(key, "\"a few\"", &["not-a-quantity"], 0),
            value(key, "-3", &["out-of-range"], 0),
        ],
        Wants::Text => {
            vec![
                value(key, "3", &["wrong-type"], 0),
                value(key, "[\"x\"]", &["wrong-type"], 0),
                value(key, "\" \"", &["empty"], 0),
            ]
        }
        Wants::Word => vec![
            value(key, "3", &["wrong-type"], 0),
            value(key, "\"\"", &["empty"], 0),
            value(key, "\"qwxyz\"", &["unknown-word"], 0),
        ],
        Wants::Flag => {
            vec![value(key, "\"yes\"", &["wrong-type"], 0), value(key, "1", &["wrong-type"], 0)]
        }
        Wants::List => vec![
            value(key, "\"x\"", &["wrong-type"], 0),
            value(key, "[]", &["empty"], 0),
            value(key, "[3]", &["wrong-type"], 1),
        ],
        Wants::Table => Vec::new(),
    };
    // A key of one letter has no name near it.
    if key.wants != Wants::Table && key.name.len() > 1 {
        let name = format!("{}q", key.name);
        all.push(Spoilt {
            line: format!("{name} = {given}"),
            column: 1,
            codes: &["unknown-key"],
            words: name,
        });
    }
    all
}

fn read(name: &str, text: &str) -> Result<Asked, ProjectError> {
    project::read_text(SourceText { name: name.to_owned(), text: text.to_owned() }, &folder(), "whole")
}

/// What is wrong with the answer to a text spoilt at a line; nothing where it is as it must be.
fn complaint(name: &str, text: &str, number: usize, spoilt: &Spoilt) -> Option<String> {
    let start = format!("{name}:{number}: {}:", spoilt.line);
    let error = match read(name, &with_line(text, number, &spoilt.line)) {
        Err(ProjectError::Faulty(error)) => error,
        Err(other) => return Some(format!("{start} {other}")),
        Ok(_) => return Some(format!("{start} it was taken")),
    };
    let shown = error.to_string();
    let [fault] = &error.faults[..] else { return Some(format!("{start} more than one fault:\n{shown}")) };
    if !spoilt.codes.contains(&fault.code) {
        return Some(format!("{start} {} in place of {:?}: {shown}", fault.code, spoilt.codes));
    }
    let (_, line, column) = error.place(fault);
    if (line, column) != (number, spoilt.column) {
        return Some(format!("{start} at column {} it is wrong: {shown}", spoilt.column));
    }
    if !fault.message.contains(&spoilt.words) {
        return Some(format!("{start} no word of {:?}: {shown}", spoilt.words));
    }
    // Told in a line or two, with what to do.
    if fault.help.len() < 5 || shown.len() > 600 {
        return Some(format!("{start} badly told: {shown}"));
    }
    None
}

#[test]
fn every_key_is_held_by_a_whole_project() {
    let mut held: BTreeSet<(&str, &str)> = BTreeSet::new();
    for (name, text) in whole() {
        if let Err(error) = read(&name, &text) {
            panic!("{name} is to be whole: {error}");
        }
        for line in text.lines().filter(|line| line.starts_with('[')) {
            // A table is held where it stands.
            let header = line.trim_matches(['[', ']']);
            if let Some((parent, key)) = header.rsplit_once('.') {
                let keys = reference::tables().into_iter().find(|(table, _)| *table == table_of(parent));
                held.extend(keys.into_iter().flat_map(|(table, keys)| {
                    keys.iter().filter(|known| known.name == key).map(move |key| (table, key.name))
                }));
            }
        }
        held.extend(lines(&text).iter().map(|line| (line.table, line.key.name)));
    }
    for (table, keys) in reference::tables() {
        for key in keys {
            assert!(
                held.contains(&(table, key.name)),
                "no project of tests/bad/whole has {table} {}",
                key.name
            );
        }
    }
}

#[test]
fn every_key_spoilt_gives_its_own_fault_at_its_own_place() {
    let (mut complaints, mut count) = (Vec::new(), 0);
    for (name, text) in whole() {
        for line in lines(&text) {
            for spoilt in spoilt(&line.key, line.value) {
                complaints.extend(complaint(&name, &text, line.number, &spoilt));
                count += 1;
            }
        }
    }
    assert!(complaints.is_empty(), "{} of {count}:\n{}", complaints.len(), complaints.join("\n"));
}

/// A project without a table and what is under it.
fn without(text: &str, table: &str) -> String {
    let mut out = String::new();
    let mut keeps = true;
    for line in text.lines() {
        if line.starts_with('[') {
            let header = line.trim_matches(['[', ']']);
            keeps = header != table && !header.starts_with(&format!("{table}."));
        }
        if keeps {
            out += line;
            out += "\n";
        }
    }
    out
}

#[test]
fn every_table_that_is_no_table_says_so() {
    let mut complaints = Vec::new();
    for (name, text) in whole() {
        let headers: BTreeSet<&str> = text
            .lines()
            .filter(|line| line.starts_with('['))
            .map(|line| line.trim_matches(['[', ']']))
            .collect();
        for header in headers {
            // At the head of its parent: of the file, or of the first table that holds it.
            let (parent, key) = header.rsplit_once('.').unwrap_or(("", header));
            let rest = without(&text, header);
            let number = if parent.is_empty() {
                0
            } else {
                match rest.lines().position(|line| line.trim_matches(['[', ']']) == parent) {
                    Some(at) => at + 1,
                    None => continue,
                }
            };
            for value in ["3", "[3]", "\"x\""] {
                let mut all: Vec<String> = rest.lines().map(str::to_owned).collect();
                all.insert(number, format!("{key} = {value}"));
                let error = read(&name, &(all.join("\n") + "\n"));
                let Err(ProjectError::Faulty(error)) = error else {
                    complaints.push(format!("{name}: {header} = {value}: it was taken"));
                    continue;
                };
                let place = (number + 1, key.len() + 4);
                let told = error.faults.iter().any(|fault| {
                    let (_, line, column) = error.place(fault);
                    // Of a list, the item is the place.
                    fault.code == "wrong-type" && line == place.0 && column.abs_diff(place.1) <= 1
                });
                if !told || error.faults.len() > 1 {
                    complaints.push(format!("{name}: {header} = {value}: {error}"));
                }
            }
        }
    }
    assert!(complaints.is_empty(), "{}:\n{}", complaints.len(), complaints.join("\n"));
}

/// A value that is taken and suspicious: just outside what is usual.
fn suspicious(key: &Key) -> Vec<f64> {
    let ((low, high), (usual_low, usual_high)) = (key.limits, key.usual);
    let below = usual_low - 1e-3 * usual_low.abs();
    let above = usual_high + 1e-3 * usual_high.abs();
    [below, above]
        .into_iter()
        .filter(|v| v.is_finite() && *v >= low && *v <= high && (*v < usual_low || *v > usual_high))
        .collect()
}

/// The text with another line in the place of one, counted from 1.
fn with_line(text: &str, number: usize, written: &str) -> String {
    let lines = text.lines().enumerate().map(|(at, known)| if at + 1 == number { written } else { known });
    lines.fold(String::new(), |all, line| all + line + "\n")
}

#[test]
fn a_suspicious_value_is_taken_with_a_warning() {
    let (mut complaints, mut count) = (Vec::new(), 0);
    for (name, text) in whole() {
        for line in lines(&text) {
            if !matches!(line.key.wants, Wants::Quantity(_) | Wants::Degrees) {
                continue;
            }
            for number in suspicious(&line.key) {
                let written = format!("{} = {number:e}", line.key.name);
                count += 1;
                match read(&name, &with_line(&text, line.number, &written)) {
                    Ok(Asked::Shell(project)) => {
                        // A doubt is the same for a value and for the end of a range, which stands columns later.
                        let warned = format!("(line {}, column {})", line.number, line.key.name.len() + 4);
                        let doubted = format!("(line {})", line.number);
                        let all = project.warnings.iter().map(|words| (words, &warned));
                        let said = all.chain(project.doubts.iter().map(|words| (words, &doubted))).any(
                            |(words, place)| {
                                words.contains(place)
                                    && words.contains(line.key.name)
                                    && words.contains("usually")
                            },
                        );
                        if !said {
                            complaints.push(format!("{name}: {written}: {:?}", project.warnings));
                        }
                    }
                    Ok(Asked::Frame(_) | Asked::Ranged(_)) => {}
                    // What is suspicious by itself may not go with the rest (a grade's sizes, a group's section, a strip's
                    // fixings).
                    Err(ProjectError::Faulty(error))
                        if error.faults.iter().all(|fault| {
                            matches!(
                                fault.code,
                                "size"
                                    | "does-not-fit"
                                    | "own-section"
                                    | "base"
                                    | "out-of-range"
                                    | "half-dome"
                            )
                        }) => {}
                    Err(error) => complaints.push(format!("{name}: {written}: {error}")),
                }
            }
        }
    }
    assert!(count > 60, "only {count} suspicious values");
    assert!(complaints.is_empty(), "{} of {count}:\n{}", complaints.len(), complaints.join("\n"));
}

/// No key is passed over in silence: one that a project of another form or basis has is used here too, or said to
/// say nothing.
#[test]
fn a_key_out_of_place_is_used_or_refused() {
    let all = whole();
    let (mut complaints, mut count) = (Vec::new(), 0);
    for (name, text) in &all {
        let own: BTreeSet<(&str, &str)> =
            lines(text).iter().map(|line| (line.table, line.key.name)).collect();
        for (at, header) in text.lines().enumerate().filter(|(_, line)| line.starts_with('[')) {
            let table = table_of(header);
            for (_, other) in &all {
                for line in lines(other) {
                    if line.table != table || own.contains(&(table, line.key.name)) {
                        continue;
                    }
                    let mut kept: Vec<String> = text.lines().map(str::to_owned).collect();
                    kept.insert(at + 1, format!("{} = {}", line.key.name, line.value));
                    count += 1;
                    match read(name, &(kept.join("\n") + "\n")) {
                        Ok(Asked::Shell(project)) => {
                            let full = format!(".{}", line.key.name);
                            let noted = project
                                .inputs
                                .iter()
                                .any(|input| input.key.ends_with(&full) && input.origin == "entered");
                            if !noted && line.key.name != "grades" {
                                complaints.push(format!("{name}: {table} {} is passed over", line.key.name));
                            }
                        }
                        Ok(Asked::Frame(_) | Asked::Ranged(_)) => {}
                        Err(ProjectError::Faulty(error)) => {
                            let told = error.faults.iter().all(|fault| {
                                let (_, line, _) = error.place(fault);
                                fault.message.len() < 400 && line > 0
                            });
                            if !told || error.faults.len() > 2 {
                                complaints.push(format!("{name}: {table} {}: {error}", line.key.name));
                            }
                        }
                        Err(error) => complaints.push(format!("{name}: {error}")),
                    }
                }
            }
        }
    }
    assert!(count > 100, "only {count} keys out of place");
    assert!(complaints.is_empty(), "{} of {count}:\n{}", complaints.len(), complaints.join("\n"));
}

/// Whatever quantity a shell of timber has, a range may stand in its place, and either end of it says what the value
/// alone would say.
#[test]
fn every_quantity_of_a_shell_takes_a_range() {
    let (mut complaints, mut count) = (Vec::new(), 0);
    for (name, text) in whole() {
        let Ok(Asked::Shell(alone)) = read(&name, &text) else { continue };
        for line in lines(&text).into_iter().filter(|line| line.key.takes_range()) {
            // Of one value twice, only a warning tells it from the value alone.
            let written = format!("{} = [{}, {}]", line.key.name, line.value, line.value);
            count += 1;
            match read(&name, &with_line(&text, line.number, &written)) {
                Ok(Asked::Shell(project))
                    if (&project.shell, &project.timber, &project.joints, &project.loads)
                        == (&alone.shell, &alone.timber, &alone.joints, &alone.loads)
                        && project.rules == alone.rules
                        && project.warnings.iter().any(|words| words.contains("both ends")) => {}
                other => complaints.push(format!("{name}: {written}: {other:?}")),
            }
        }
    }
    assert!(count > 60, "only {count} quantities");
    assert!(complaints.is_empty(), "{} of {count}:\n{}", complaints.len(), complaints.join("\n"));
}
