//! The docs as tests: every command in a `sh` block is run, every `toml` block is read, every `text` block
//! that quotes the program is looked for in what it says, every link leads somewhere.
//!
//! The words after the language of a fence say more:
//!
//! - `sh exit=1`: the commands end so (0 where nothing is said). A page has one folder, in which its
//!   commands follow each other; the project's `examples` stand in it.
//! - `toml file=NAME`: a whole project, written into the page's folder for the commands after it.
//! - `toml on=FILE`: lines to put into FILE; the starter dome where nothing is said.
//! - `toml picture=NAME`: a `[shell]` that is drawn; `STRUTWISE_BLESS=1` writes docs/pictures/NAME.svg.
//! - `text of=ARGUMENTS`: lines of what the program says to these arguments; `…` stands for what is left out.
//! - `sh slow`: run in a release build only: studies are hundreds of checks.
//! - `sh skip`: shown, not run (it installs something, or takes minutes).

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test says what it found by panicking"
)]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use tempfile::TempDir;
use toml::{Table, Value};

struct Block {
    language: String,
    /// What follows the language on the line of the fence.
    words: String,
    text: String,
    line: usize,
}

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn blessing() -> bool {
    std::env::var_os("STRUTWISE_BLESS").is_some()
}

/// README and every page under docs.
fn pages() -> Vec<PathBuf> {
    let mut pages = vec![root().join("README.md"), root().join("DEVELOPERS.md")];
    for folder in ["docs", "docs/howto"] {
        let entries = fs::read_dir(root().join(folder)).unwrap().map(|entry| entry.unwrap().path());
        pages.extend(entries.filter(|path| path.extension().is_some_and(|ending| ending == "md")));
    }
    pages.sort();
    pages
}

fn blocks(page: &Path) -> Vec<Block> {
    let text = fs::read_to_string(page).unwrap();
    let mut blocks: Vec<Block> = Vec::new();
    let mut open = false;
    for (number, line) in text.lines().enumerate() {
        if let Some(fence) = line.strip_prefix("```") {
            open = !open;
            if open {
                let (language, words) = fence.split_once(' ').unwrap_or((fence, ""));
                let (language, words) = (language.to_owned(), words.to_owned());
                blocks.push(Block { language, words, text: String::new(), line: number + 1 });
            }
        } else if open {
            let block = blocks.last_mut().unwrap();
            block.text.push_str(line);
            block.text.push('\n');
        }
    }
    assert!(!open, "{}: a fence is not closed", page.display());
    blocks
}

impl Block {
    fn word(&self, key: &str) -> Option<&str> {
        self.words.split(' ').find_map(|word| word.strip_prefix(key)?.strip_prefix('='))
    }
}

/// Runs the program on arguments as they are typed, in a folder: exit code, what it said on both streams.
fn run(folder: &Path, typed: &str) -> (i32, String, String) {
    let mut arguments = typed.split_whitespace().peekable();
    let mut out = None;
    let mut given = Vec::new();
    while let Some(argument) = arguments.next() {
        match argument {
            ">" => out = arguments.next(),
            _ => given.push(argument.trim_matches('"')),
        }
    }
    let output = Command::new(env!("CARGO_BIN_EXE_strutwise"))
        .args(given)
        .current_dir(folder)
        .stdin(Stdio::null())
        .output()
        .unwrap();
    let said = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).unwrap();
    if let Some(file) = out {
        fs::write(folder.join(file), &output.stdout).unwrap();
    }
    (output.status.code().unwrap(), said(&output.stdout), said(&output.stderr))
}

/// A folder with the examples in it.
fn folder() -> TempDir {
    let folder = TempDir::new().unwrap();
    let examples = folder.path().join("examples");
    fs::create_dir(&examples).unwrap();
    for entry in fs::read_dir(root().join("examples")).unwrap() {
        let path = entry.unwrap().path();
        fs::copy(&path, examples.join(path.file_name().unwrap())).unwrap();
    }
    folder
}

/// A project with some of its tables given anew. A `[shell]` without a form, or a `[timber]` without a
/// grade, adds to the one that is there; any other table takes its place.
fn with(base: &str, fragment: &str) -> Result<String, toml::de::Error> {
    let mut project: Table = base.parse()?;
    let fragment: Table = fragment.parse()?;
    for (name, value) in fragment {
        let adds = |key: &str| name == key && value.as_table().is_some_and(|t| !starts_anew(key, t));
        match (project.get_mut(&name), &value) {
            (Some(Value::Table(old)), Value::Table(new)) if adds("shell") || adds("timber") => {
                old.extend(new.clone());
            }
            _ => {
                project.insert(name, value);
            }
        }
    }
    Ok(project.to_string())
}

fn starts_anew(table: &str, keys: &Table) -> bool {
    let keys_of_a_whole: &[&str] = if table == "shell" { &["form"] } else { &["grade", "own"] };
    keys_of_a_whole.iter().any(|key| keys.contains_key(*key))
}

/// Project of a form with nothing to check but its shape.
const BARE: &str = r#"
[project]
name  = "Larkfold"
basis = "eurocode"
[timber]
grade         = "C24"
breadth       = "47 mm"
depth         = "95 mm"
bevelled      = false
service_class = 3
[joints]
models = ["rigid"]
[cover]
left_out = "only the shape is looked at"
[snow]
left_out = "only the shape is looked at"
[wind]
left_out = "only the shape is looked at"
[feet]
held = "pinned"
"#;

#[test]
fn every_command_of_the_docs_runs_and_every_block_is_read() {
    std::thread::scope(|scope| {
        for page in pages() {
            scope.spawn(move || try_out(&page));
        }
    });
}

fn try_out(page: &Path) {
    let folder = folder();
    for block in blocks(page) {
        let place = format!("{}:{}", page.display(), block.line);
        match block.language.as_str() {
            "sh" if block.words == "skip" => {}
            "sh" if block.words.starts_with("slow") && cfg!(debug_assertions) => {}
            "sh" => commands(folder.path(), &block, &place),
            "toml" => toml_block(folder.path(), &block, &place),
            "text" => quotation(folder.path(), &block, &place),
            "csv" | "obj" => {
                let name = block.word("file").unwrap_or_else(|| panic!("{place}: no file="));
                fs::write(folder.path().join(name), &block.text).unwrap();
            }
            // Formulas and anything else that no program reads.
            _ => {}
        }
    }
}

fn commands(folder: &Path, block: &Block, place: &str) {
    let expected: i32 = block.word("exit").map_or(0, |code| code.parse().unwrap());
    for line in block.text.lines() {
        let line = line.split("  #").next().unwrap().trim();
        // The two commands of a fresh clone are what everybody types: the first is run as the program.
        let typed = line.strip_prefix("strutwise ").or_else(|| line.strip_prefix("cargo run --release -- "));
        if let Some(typed) = typed {
            let (code, out, err) = run(folder, typed);
            assert_eq!(code, expected, "{place}: {line}\n{out}{err}");
        } else {
            assert!(
                line.is_empty()
                    || ["cargo ", "bash tests/", "RUSTDOCFLAGS=", "#"].iter().any(|s| line.starts_with(s)),
                "{place}: what kind of command is {line:?}?"
            );
        }
    }
}

fn toml_block(folder: &Path, block: &Block, place: &str) {
    if let Some(name) = block.word("file") {
        fs::write(folder.join(name), &block.text).unwrap();
        return;
    }
    let (base, path) = match block.word("on") {
        Some(on) => {
            (fs::read_to_string(folder.join(on)).unwrap(), folder.join(on).with_file_name("lines.toml"))
        }
        None if block.word("picture").is_some() => (BARE.to_owned(), folder.join("lines.toml")),
        None => {
            let starter = folder.join("starter.toml");
            if !starter.exists() {
                assert_eq!(run(folder, "new starter.toml").0, 0);
            }
            (fs::read_to_string(starter).unwrap(), folder.join("lines.toml"))
        }
    };
    let whole = with(&base, &block.text).unwrap_or_else(|error| panic!("{place}: {error}"));
    fs::write(&path, whole).unwrap();
    let typed = path.strip_prefix(folder).unwrap().to_str().unwrap().to_owned();
    if let Some(name) = block.word("picture") {
        let (code, _, err) = run(folder, &format!("draw {typed} -o {name}.svg --show shape"));
        assert_eq!(code, 0, "{place}: {err}");
        let drawn = fs::read_to_string(folder.join(format!("{name}.svg"))).unwrap();
        let kept = root().join(format!("docs/pictures/{name}.svg"));
        if blessing() {
            fs::write(&kept, &drawn).unwrap();
        }
        assert!(kept.is_file(), "{place}: no picture {}; STRUTWISE_BLESS=1 writes it", kept.display());
    } else {
        let (code, _, err) = run(folder, &format!("check {typed}"));
        assert!(code < 2, "{place}: {err}");
    }
}

fn quotation(folder: &Path, block: &Block, place: &str) {
    let Some(typed) = block.words.strip_prefix("of=") else { return };
    let (_, out, err) = run(folder, typed);
    for line in block.text.lines().map(str::trim).filter(|line| !line.is_empty() && *line != "…") {
        assert!(
            out.lines().any(|said| said.trim() == line),
            "{place}: strutwise {typed} does not say {line:?} any more, but:\n{out}{err}"
        );
    }
}

#[test]
fn the_reference_is_that_of_the_keys_that_are_read() {
    let head = "# The project file, key by key\n\n\
        Printed from the keys that the program reads (`STRUTWISE_BLESS=1 cargo test --test docs` writes it anew; a \
        test holds it\nto them). A quantity is a text with its unit, `\"47 mm\"`, or a bare number in SI base units; \
        what is *taken* is\ngiven in those. A table in double brackets may stand more than once.\n\n\
        Where a quantity says *or range*, two values, low and high, may stand for one: `ground = [\"0.4 kN/m2\", \
        \"0.8 kN/m2\"]`.\n`check` and `notes` try every corner of the ranges (at most 10, so 1024 corners) and points \
        within, and answer for the worst;\n`explain`, `draw`, `reserve` and `seams` work at that point and say so, as do \
        `compare` and `span`, which refuse a range of\nwhat they set themselves \
        ([howto/ranges.md](howto/ranges.md)).\n\n";
    let fresh = head.to_owned() + strutwise::project::reference::markdown().trim_end() + "\n";
    let path = root().join("docs/reference.md");
    if blessing() {
        fs::write(&path, &fresh).unwrap();
    }
    let kept = fs::read_to_string(&path).unwrap();
    assert!(kept == fresh, "docs/reference.md is stale: STRUTWISE_BLESS=1 cargo test --test docs");
}

/// Pictures of the examples: name, and what draws it.
const PICTURES: [(&str, &str); 4] = [
    ("propagation-tunnel", "draw examples/propagation-tunnel.toml -o"),
    ("apple-store", "draw examples/apple-store-dome.toml -o"),
    ("mechanism", "draw examples/fruit-cage-barrel.toml --show mechanism --model pinned -o"),
    ("reserve", "reserve examples/propagation-tunnel.toml --picture"),
];

#[test]
fn the_pictures_of_the_examples_are_drawn() {
    let folder = folder();
    for (name, drawing) in PICTURES {
        // A study is hundreds of checks: in a release build, as in the pages.
        if cfg!(debug_assertions) && drawing.starts_with("reserve") && !blessing() {
            continue;
        }
        let (code, _, err) = run(folder.path(), &format!("{drawing} {name}.svg"));
        // A study ends with the verdict of its project.
        assert!(code == 0 || drawing.starts_with("reserve") && code == 1, "{err}");
        if blessing() {
            let kept = root().join(format!("docs/pictures/{name}.svg"));
            fs::copy(folder.path().join(format!("{name}.svg")), kept).unwrap();
        }
    }
}

#[test]
fn every_link_and_picture_of_the_docs_is_there() {
    for page in pages() {
        let text = fs::read_to_string(&page).unwrap();
        for target in text.split("](").skip(1).filter_map(|rest| rest.split(')').next()) {
            let file = target.split('#').next().unwrap();
            if file.is_empty() || target.contains("://") {
                continue;
            }
            assert!(page.parent().unwrap().join(file).exists(), "{}: {target}", page.display());
        }
    }
}
