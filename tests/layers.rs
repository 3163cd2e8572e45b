//! The line of `src/lib.rs`, held: a station may use only what stands before it.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test: a broken assumption is a failed test")]

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// The stations in the order of the line. A later one may use an earlier one, never the reverse.
const LINE: [&str; 14] = [
    "units", "vector", "tables", "shell", "section", "frame", "loads", "model", "rules", "project", "assess",
    "study", "report", "cli",
];

/// What a station may use where that is less than everything before it.
const LESS: [(&str, &[&str]); 5] = [
    ("units", &[]),
    ("vector", &[]),
    // A frame solver that could leave the house tomorrow.
    ("frame", &["vector"]),
    // No mesh, no solver; of loads only how long they last and what the basis is.
    ("rules", &["units", "tables", "section", "loads"]),
    // Writers turn results into bytes; they know neither solver nor rules' working.
    ("report", &["units", "vector", "assess", "study", "rules", "shell", "tables"]),
];

/// What one file may use beyond what its station may: file below `src`, then stations.
const MORE: [(&str, &[&str]); 1] = [
    // Sums the stations' errors.
    ("error.rs", &LINE),
];

fn allowed(file: &str) -> Option<Vec<&'static str>> {
    if file == "lib.rs" || file == "main.rs" {
        return None;
    }
    if let Some((_, names)) = MORE.iter().find(|(name, _)| *name == file) {
        return Some(names.to_vec());
    }
    let station = file.split(['/', '.']).next().unwrap();
    let place = LINE
        .iter()
        .position(|name| *name == station)
        .unwrap_or_else(|| panic!("src/{file} belongs to no station of the line: add {station} to LINE"));
    let mut names = match LESS.iter().find(|(name, _)| *name == station) {
        Some((_, names)) => names.to_vec(),
        None => LINE[..place].to_vec(),
    };
    names.push(LINE[place]);
    // The sum of all stations' errors is for those that run stations, from the assessment on.
    if place >= LINE.iter().position(|name| *name == "assess").unwrap() {
        names.push("error");
    }
    Some(names)
}

/// The text with comments, string and character literals blanked out, lines kept.
fn bare(text: &str) -> String {
    let chars: Vec<char> = text.chars().collect();
    let mut kept = String::new();
    let mut i = 0;
    let blank = |kept: &mut String, c: char| kept.push(if c == '\n' { '\n' } else { ' ' });
    while i < chars.len() {
        let rest = &chars[i..];
        if rest.starts_with(&['/', '/']) {
            while i < chars.len() && chars[i] != '\n' {
                i += 1;
            }
        } else if rest.starts_with(&['/', '*']) {
            let mut depth = 0;
            while i < chars.len() {
                if chars[i..].starts_with(&['/', '*']) {
                    depth += 1;
                    i += 2;
                } else if chars[i..].starts_with(&['*', '/']) {
                    depth -= 1;
                    i += 2;
                    if depth == 0 {
                        break;
                    }
                } else {
                    blank(&mut kept, chars[i]);
                    i += 1;
                }
            }
        } else if let Some(hashes) = raw_string(&chars, i) {
            let end: String = std::iter::once('"').chain(std::iter::repeat_n('#', hashes)).collect();
            let end: Vec<char> = end.chars().collect();
            i += 2 + hashes;
            while i < chars.len() && !chars[i..].starts_with(&end) {
                blank(&mut kept, chars[i]);
                i += 1;
            }
            i += end.len();
        } else if chars[i] == '"' {
            i += 1;
            while i < chars.len() && chars[i] != '"' {
                if chars[i] == '\\' {
                    i += 1;
                }
                if i < chars.len() {
                    blank(&mut kept, chars[i]);
                }
                i += 1;
            }
            i += 1;
        } else if chars[i] == '\'' && (rest.get(2) == Some(&'\'') || rest.get(1) == Some(&'\\')) {
            // A character literal; a lifetime has no closing quote two further on.
            i += 2;
            while i < chars.len() && chars[i] != '\'' {
                i += 1;
            }
            i += 1;
        } else {
            kept.push(chars[i]);
            i += 1;
        }
    }
    kept
}

/// How many `#` a raw string that begins at `i` has; `None` where none begins.
fn raw_string(chars: &[char], i: usize) -> Option<usize> {
    if chars[i] != 'r' || (i > 0 && (chars[i - 1].is_alphanumeric() || chars[i - 1] == '_')) {
        return None;
    }
    let hashes = chars[i + 1..].iter().take_while(|c| **c == '#').count();
    (chars.get(i + 1 + hashes) == Some(&'"')).then_some(hashes)
}

/// Every station named after `crate::`, with its line, brace groups opened.
fn uses(text: &str) -> Vec<(usize, String)> {
    let text = bare(text);
    let mut found = Vec::new();
    for (start, _) in text.match_indices("crate::") {
        if text[..start].ends_with(|c: char| c.is_alphanumeric() || c == '_') {
            continue;
        }
        let line = text[..start].matches('\n').count() + 1;
        let after = &text[start + "crate::".len()..];
        if let Some(group) = after.strip_prefix('{') {
            let mut depth = 0;
            let mut word = String::new();
            let mut first = true;
            for c in group.chars() {
                match c {
                    c if depth == 0 && first && (c.is_alphanumeric() || c == '_') => word.push(c),
                    ',' | '}' if depth == 0 => {
                        found.push((line, std::mem::take(&mut word)));
                        first = true;
                        if c == '}' {
                            break;
                        }
                    }
                    '{' => depth += 1,
                    '}' => depth -= 1,
                    c if c.is_whitespace() && word.is_empty() => {}
                    _ => first = false,
                }
            }
        } else {
            let name: String = after.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect();
            found.push((line, name));
        }
    }
    found.retain(|(_, name)| !name.is_empty());
    found
}

fn rust_files(folder: &Path, into: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            rust_files(&path, into);
        } else if path.extension().is_some_and(|e| e == "rs") {
            into.push(path);
        }
    }
    into.sort();
}

#[test]
fn imports_go_only_down_the_line() {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    rust_files(&src, &mut files);
    assert!(files.len() > 10, "found only {} files", files.len());
    let mut wrong = Vec::new();
    for path in files {
        let file = path.strip_prefix(&src).unwrap().to_string_lossy().replace('\\', "/");
        let Some(may) = allowed(&file) else { continue };
        for (line, name) in uses(&std::fs::read_to_string(&path).unwrap()) {
            let known = LINE.contains(&name.as_str()) || name == "error";
            // Macros and items at the top of the crate are not stations.
            if known && !may.contains(&name.as_str()) {
                wrong.push(format!("src/{file}:{line} uses crate::{name}; it may use {}", may.join(", ")));
            }
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

#[test]
fn every_station_of_the_crate_is_on_the_line() {
    let text = bare(include_str!("../src/lib.rs"));
    let stations: BTreeMap<&str, usize> = text
        .lines()
        .enumerate()
        .filter_map(|(i, l)| {
            // The solver's package brings two stations with it.
            let l = l.trim();
            let name = l
                .strip_prefix("pub mod ")
                .or_else(|| l.strip_prefix("pub use strutwise_frame::"))
                .or_else(|| l.strip_prefix("pub use strutwise_frame as "))?;
            name.strip_suffix(';').map(|n| (n, i))
        })
        .collect();
    for name in stations.keys() {
        assert!(LINE.contains(name) || *name == "error", "src/lib.rs: {name} is not on the line");
    }
    for name in LINE {
        assert!(stations.contains_key(name), "{name} is on the line but not in src/lib.rs");
    }
}

#[test]
fn the_reader_sees_what_it_should() {
    let text = "use crate::shell::Shell;\n// crate::cli\n/* crate::cli\n*/ let x = \"crate::cli\";\n\
                use crate::{frame::Bar, model::{ask, joints}, rules};\nlet y = crate::loads::cases(); // crate::cli\n\
                let z = 'a'; fn f<'a>(_: &'a str) -> crate::units::Unit {}\nlet r = r#\"crate::cli\"#;";
    let found: Vec<(usize, String)> = uses(text);
    let names: Vec<(usize, &str)> = found.iter().map(|(l, n)| (*l, n.as_str())).collect();
    assert_eq!(names, [(1, "shell"), (5, "frame"), (5, "model"), (5, "rules"), (6, "loads"), (7, "units")]);
    assert!(!allowed("frame/bar.rs").unwrap().contains(&"section"));
    assert!(!allowed("rules/seams.rs").unwrap().contains(&"frame"));
    assert!(allowed("assess/mod.rs").unwrap().contains(&"rules"));
}
