//! Loads that the shell built, or their cases, do not take: at their keys.

use toml::de::DeValue;

use super::names::{self, cell, unknown};
use super::{at, listed, split, under};
use crate::loads::ask::LoadsAsk;
use crate::loads::{LoadError, direction_words};
use crate::project::fault::Place;
use crate::project::table::Table;
use crate::shell::Shell;
use crate::units::{self, Dimension};

/// Tells names that the shell does not have, and cases and combinations that cannot be made.
pub(super) fn faults(root: &Table<'_, '_>, ask: &LoadsAsk, shell: &Shell) {
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
            let (message, help) = match error {
                // What the list as a whole lacks is told of the whole below.
                LoadError::Missing { .. } => continue,
                LoadError::TouchesNothing { .. } => (
                    format!("{} gives no case a factor", table.path),
                    "give at least one case a factor that is not 0",
                ),
                other => (format!("{}: {other}", table.path), "give each case a factor of 0 or more"),
            };
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

/// Every joint, panel and member that a load names and the shell does not have.
fn unknown_names(root: &Table<'_, '_>, ask: &LoadsAsk, shell: &Shell) {
    let joints: Vec<&str> = shell.joints.iter().map(|joint| joint.name.as_str()).collect();
    let panels: Vec<&str> = shell.panels.iter().map(|panel| panel.name.as_str()).collect();
    let members: Vec<&str> = shell.members.iter().map(|member| member.name.as_str()).collect();
    if let Some(imposed) = under(root, "imposed") {
        names::known(&imposed, "person_joints", "joint", &joints);
        for hung in listed(&imposed, "hanging") {
            names::known(&hung, "joints", "joint", &joints);
        }
        for point in listed(&imposed, "point") {
            names::known(&point, "panel", "panel", &panels);
        }
        for water in listed(&imposed, "water") {
            names::known(&water, "panels", "panel", &panels);
        }
    }
    for stage in listed(root, "stage") {
        names::known(&stage, "panels", "panel", &panels);
    }
    for (case, asked) in listed(root, "case").iter().zip(&ask.user) {
        for pattern in listed(case, "pattern") {
            names::known(&pattern, "panels", "panel", &panels);
        }
        for (what, known, named) in [
            ("joint", &joints, &asked.joints),
            ("panel", &panels, &asked.panels),
            ("member", &members, &asked.members),
        ] {
            let items = listed(case, what);
            for item in &items {
                names::known(item, "name", what, known);
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

/// A load that cannot be made, at the key that it comes from.
fn load(root: &Table<'_, '_>, error: &LoadError) {
    let reading = root.reading;
    let (told, advice) = split(&error.to_string());
    // "snow.thermal", "snow.ground [N/m²]".
    let key = |what: &str| -> Option<Place> {
        let (table, rest) = what.split_once('.')?;
        let name = rest.split(' ').next().unwrap_or(rest);
        let table = match table {
            "snow" | "wind" | "cover" | "imposed" | "combine" => root.entries?.get(table)?,
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
            } else if name == "weight" {
                "that is what timbers and cover are called together in combinations: give it a name of its own"
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
    let halves = ["snow on the", "maintenance load on the"];
    if name.contains("wind from") || halves.iter().any(|half| name.contains(half)) {
        // Snow drifts, and halves lie, by directions of the snow's own, or by those of the wind.
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
