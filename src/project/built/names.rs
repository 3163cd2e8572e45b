//! Names that a project gives and the shell does not have.

use toml::de::DeValue;

use super::companion;
use crate::project::fault::Place;
use crate::project::near::{nearest, shorten};
use crate::project::table::Table;

/// Most names that a fault lists.
const NAMED: usize = 8;

/// The first cell of a sheet that holds a name.
pub(super) fn cell(table: &Table<'_, '_>, key: &str, name: &str) -> Option<Place> {
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
pub(super) fn known(table: &Table<'_, '_>, key: &str, what: &str, known: &[&str]) {
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

/// Tells one name that is not known, and what is.
pub(super) fn unknown(
    table: &Table<'_, '_>,
    key: &str,
    what: &str,
    name: &str,
    place: Place,
    known: &[&str],
) {
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
