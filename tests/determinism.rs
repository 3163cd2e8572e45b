//! The same input gives the same bytes: run after run, on one thread and on two.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test says what it found by panicking")]

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::Command;

/// Everything that the program can make of a project, by name.
fn everything(folder: &Path, threads: &str, form: &str, notes: bool) -> BTreeMap<String, Vec<u8>> {
    let out = folder.join(format!("out-{threads}"));
    fs::create_dir_all(&out).unwrap();
    let run = |arguments: &[&str]| -> Vec<u8> {
        let output = Command::new(env!("CARGO_BIN_EXE_strutwise"))
            .args(arguments)
            .current_dir(folder)
            .env("RAYON_NUM_THREADS", threads)
            .output()
            .unwrap();
        let said = String::from_utf8_lossy(&output.stderr);
        assert!(output.status.code().unwrap() < 2, "{arguments:?}: {said}");
        output.stdout
    };
    let mut all = BTreeMap::new();
    all.insert("text".to_owned(), run(&["check", "store.toml"]));
    let sheets = format!("out-{threads}/sheets");
    all.insert("json".to_owned(), run(&["check", "store.toml", "--json", "--full", "--csv", &sheets]));
    if form != "frame" {
        for (command, name) in [
            ("notes", "a.html"),
            ("notes", "a.md"),
            ("notes", "a.pdf"),
            ("draw", "a.svg"),
            ("draw", "a.png"),
            ("draw", "a.obj"),
        ]
        .into_iter()
        .filter(|(command, _)| notes || *command != "notes")
        {
            run(&[command, "store.toml", "-o", &format!("out-{threads}/{name}")]);
        }
    }
    let mut folders = vec![out];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else {
                let name = path.file_name().unwrap().to_str().unwrap().to_owned();
                all.insert(name, fs::read(&path).unwrap());
            }
        }
    }
    all
}

#[test]
fn the_same_bytes_on_one_thread_and_on_two_and_again() {
    for form in ["dome", "frame", "ranges"] {
        let folder = tempfile::tempdir().unwrap();
        let starter = if form == "ranges" { "dome" } else { form };
        let made = Command::new(env!("CARGO_BIN_EXE_strutwise"))
            .args(["new", "store.toml", "--form", starter])
            .current_dir(folder.path())
            .status()
            .unwrap();
        assert!(made.success());
        if starter == "dome" {
            // Small: the notes repeat the whole answer many times over.
            let path = folder.path().join("store.toml");
            let text = fs::read_to_string(&path).unwrap();
            let lines =
                text.lines().map(|line| if line.starts_with("frequency") { "frequency = 1" } else { line });
            let mut text = lines.collect::<Vec<_>>().join("\n");
            if form == "ranges" {
                assert!(text.contains("\"0.6 kN/m2\""));
                text = text.replace("\"0.6 kN/m2\"  ", "[\"0.4 kN/m2\", \"0.8 kN/m2\"]");
            }
            fs::write(&path, text).unwrap();
        }
        // The notes of a range are those of its worst point.
        let notes = form != "ranges";
        let one = everything(folder.path(), "1", form, notes);
        let two = everything(folder.path(), "2", form, notes);
        // Notes take longest, and have been compared already.
        fs::remove_dir_all(folder.path().join("out-2")).unwrap();
        let again = everything(folder.path(), "2", form, false);
        assert!(one.len() >= if form == "frame" { 7 } else { 12 }, "{:?}", one.keys());
        assert_eq!(one.contains_key("ranges.csv"), form == "ranges");
        for (name, bytes) in &one {
            assert!(!bytes.is_empty(), "{name} is empty");
            assert!(bytes == &two[name], "{form}: {name} differs between one thread and two");
            if let Some(again) = again.get(name) {
                assert!(bytes == again, "{form}: {name} differs between runs");
            }
        }
        assert!(two.len() == one.len() && again.len() + 3 >= one.len());
    }
}
