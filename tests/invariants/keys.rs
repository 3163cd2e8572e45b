//! Every key of the project file is drawn by the random projects, or stands here with the reason why not.

use std::collections::BTreeSet;

use strutwise::project::reference;
use toml::{Table, Value};

use crate::random::{self, numbered};

/// Tables of which nothing is drawn, and why.
const NOT_DRAWN: [(&str, &str); 6] = [
    ("[compare]", "sets sizes for a study; tests/study/"),
    ("[prices]", "money; tests/study/"),
    ("[span]", "sets sizes for a study; tests/study/"),
    ("[section.NAME]", "a plain frame: tests/outside/check_frame.py draws those"),
    ("[analysis]", "a plain frame"),
    ("[analysis] watch", "a plain frame"),
];

/// Keys that are not drawn, and why.
const KEYS_NOT_DRAWN: [(&str, &str); 5] =
    [("bars", FRAME), ("loads", FRAME), ("bar_loads", FRAME), ("springs", FRAME), ("folds", FRAME)];
const FRAME: &str = "a sheet of a plain frame: tests/outside/check_frame.py draws those";

/// The keys of a table and of those under it, as the reference writes the names of tables.
fn collect(table: &Table, path: &str, list: bool, found: &mut BTreeSet<(String, String)>) {
    let name = if list { format!("[[{path}]]") } else { format!("[{path}]") };
    for (key, value) in table {
        if !path.is_empty() {
            found.insert((name.clone(), key.clone()));
        }
        let under = if path.is_empty() { key.clone() } else { format!("{path}.{key}") };
        match value {
            Value::Table(table) => collect(table, &under, false, found),
            Value::Array(items) => {
                for item in items.iter().filter_map(Value::as_table) {
                    collect(item, &under, true, found);
                }
            }
            _ => {}
        }
    }
}

#[test]
fn every_key_is_drawn() {
    let strategy = random::project();
    let mut found = BTreeSet::new();
    for number in 0..2000 {
        let text = numbered(&strategy, number).text();
        let table: Table = text.parse().unwrap_or_else(|error| panic!("{error}\n{text}"));
        collect(&table, "", false, &mut found);
    }
    let mut never = Vec::new();
    for (table, keys) in reference::tables() {
        let whole = NOT_DRAWN.iter().any(|(name, _)| *name == table);
        for key in keys {
            let drawn = found.contains(&(table.to_owned(), key.name.to_owned()));
            let excused =
                whole || (table == "[shell]" && KEYS_NOT_DRAWN.iter().any(|(name, _)| *name == key.name));
            if drawn == excused {
                let told = if drawn { "is drawn: take it off the list" } else { "is never drawn" };
                never.push(format!("{table} {} {told}", key.name));
            }
        }
    }
    assert!(never.is_empty(), "{}", never.join("\n"));
}
