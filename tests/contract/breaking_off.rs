//! Work that is broken off or cannot be put down: each ends as it should, and leaves nothing half written.
#![cfg(unix)]

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use tempfile::TempDir;

use crate::{command, folder_with, names, run, told};

/// A dome that takes long enough to be stopped.
fn long_work(folder: &Path) {
    let path = folder.join("store.toml");
    let text = fs::read_to_string(&path).unwrap();
    let at = text.find("frequency").unwrap();
    let end = at + text[at..].find('\n').unwrap();
    fs::write(&path, format!("{}frequency = 24{}", &text[..at], &text[end..])).unwrap();
}

/// Begins the notes beside those of last week, sends the signal once they are begun, and tells how it ended.
fn stopped_by(signal: &str) -> std::process::Output {
    let folder = folder_with("dome");
    long_work(folder.path());
    fs::write(folder.path().join("notes.html"), "the notes of last week").unwrap();
    let child = command(folder.path())
        .args(["notes", "store.toml", "-o", "notes.html"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let begun = Instant::now();
    while !names(folder.path()).iter().any(|name| name.starts_with(".strutwise-")) {
        assert!(begun.elapsed() < Duration::from_secs(60), "the notes were never begun");
        std::thread::sleep(Duration::from_millis(10));
    }
    // The name is on the list of what is unfinished a moment after the file is there.
    std::thread::sleep(Duration::from_millis(100));
    let stopped = Command::new("kill").args([signal, &child.id().to_string()]).status().unwrap();
    assert!(stopped.success());
    let output = child.wait_with_output().unwrap();
    assert_eq!(names(folder.path()), ["notes.html", "store.toml"]);
    assert_eq!(fs::read_to_string(folder.path().join("notes.html")).unwrap(), "the notes of last week");
    output
}

#[test]
fn an_interrupt_leaves_the_old_file_and_nothing_half_written() {
    let (code, out, err) = told(&stopped_by("-INT"));
    assert_eq!((code, out.as_str()), (130, ""), "{err}");
    assert!(err.contains("stopped"), "{err}");
}

#[test]
fn told_to_end_it_leaves_nothing_half_written_either() {
    use std::os::unix::process::ExitStatusExt;
    let output = stopped_by("-TERM");
    assert_eq!(output.status.signal(), Some(15), "{output:?}");
    assert!(output.stdout.is_empty() && String::from_utf8_lossy(&output.stderr).contains("stopped"));
}

/// Two hundred rows, of which some are done a few seconds after the work has begun.
fn long_list(folder: &Path, study: &str) {
    let sections: Vec<String> = (0..100).map(|n| format!("\"{}x{} mm\"", 30 + n / 2, 60 + n)).collect();
    let path = folder.join("store.toml");
    let text = fs::read_to_string(&path).unwrap();
    let lists = format!("\n[compare]\nsections = [{}]\nstrips = [1, 2]\n", sections.join(", "));
    let sweep = "\n[span]\nvary = \"radius\"\nfrom = \"1.5 m\"\nto = \"4 m\"\nsteps = 200\n";
    // A mesh has no size to sweep.
    let rows = if study == "span" { sweep } else { &lists };
    fs::write(&path, text + rows).unwrap();
}

#[test]
fn an_interrupted_study_writes_the_rows_that_are_done_and_says_how_many_are_not() {
    for (study, rows) in [("compare", "candidates"), ("span", "sweeps")] {
        let folder = folder_with("mesh");
        if study == "span" {
            fs::remove_file(folder.path().join("store.toml")).unwrap();
            assert_eq!(run(folder.path(), &["new", "store.toml", "--form", "dome"]).0, 0);
        }
        long_list(folder.path(), study);
        fs::write(folder.path().join("rows.csv"), "the rows of last week").unwrap();
        let child = command(folder.path())
            .args([study, "store.toml", "--json", "--csv", "rows.csv"])
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        // The handler is there before the first file is begun.
        let begun = Instant::now();
        while !names(folder.path()).iter().any(|name| name.starts_with(".strutwise-")) {
            assert!(begun.elapsed() < Duration::from_secs(60), "{study} was never begun");
            std::thread::sleep(Duration::from_millis(10));
        }
        // A release build is ten times as fast, and would be done.
        std::thread::sleep(Duration::from_millis(if cfg!(debug_assertions) { 1500 } else { 150 }));
        let stopped = Command::new("kill").args(["-INT", &child.id().to_string()]).status().unwrap();
        assert!(stopped.success());
        let (code, out, err) = told(&child.wait_with_output().unwrap());
        assert_eq!(code, 130, "{study}: {err}");
        assert!(err.contains("stopping after the rows under way"), "{study}: {err}");
        assert!(err.contains("rows were not worked out; those that were are written"), "{study}: {err}");
        let document: serde_json::Value = serde_json::from_str(&out).unwrap();
        let left = usize::try_from(document["left_out"].as_u64().unwrap()).unwrap();
        assert!(left > 0 && err.contains(&format!("stopped: {left} rows")), "{study}: {err}");
        // The sheet has as many rows as the document; the old one is gone, nothing half written is left.
        let list = document[rows].as_array().unwrap();
        let done = if study == "compare" {
            list.len()
        } else {
            list.iter().map(|sweep| sweep["steps"].as_array().unwrap().len()).sum()
        };
        assert!(done > 0 && (study != "compare" || done + left == 200), "{study}: {done} done, {left} left");
        let sheet = fs::read_to_string(folder.path().join("rows.csv")).unwrap();
        assert_eq!(sheet.lines().count(), done + 1, "{study}");
        assert!(names(folder.path()).iter().all(|name| !name.starts_with(".strutwise")), "{study}");
    }
}

#[test]
fn a_disk_that_fills_up_leaves_the_old_file() {
    let folder = folder_with("dome");
    fs::write(folder.path().join("notes.html"), "the notes of last week").unwrap();
    // The shell's limit on the size of a file stands in for a disk that fills up while writing.
    let script = "trap '' XFSZ; ulimit -f 8; exec \"$0\" notes store.toml -o notes.html";
    let output = Command::new("bash")
        .args(["-c", script, env!("CARGO_BIN_EXE_strutwise")])
        .current_dir(folder.path())
        .stdin(Stdio::null())
        .output()
        .unwrap();
    let (code, out, err) = told(&output);
    assert_eq!((code, out.as_str()), (3, ""), "{err}");
    assert!(err.contains("notes.html: writing failed"), "{err}");
    assert_eq!(names(folder.path()), ["notes.html", "store.toml"]);
    assert_eq!(fs::read_to_string(folder.path().join("notes.html")).unwrap(), "the notes of last week");
}

#[test]
fn a_folder_that_takes_no_files_is_found_out_before_the_work() {
    use std::os::unix::fs::PermissionsExt;
    let folder = folder_with("dome");
    let locked = folder.path().join("locked");
    fs::create_dir(&locked).unwrap();
    fs::set_permissions(&locked, fs::Permissions::from_mode(0o555)).unwrap();
    let mut places = vec!["/proc".to_owned()];
    // The administrator may write anywhere; what is then left to try is a folder of the system's own.
    if fs::write(locked.join("try"), "").is_err() {
        places.push("locked".to_owned());
    }
    for place in places {
        for arguments in [
            vec!["notes".to_owned(), "store.toml".to_owned(), "-o".to_owned(), format!("{place}/a.html")],
            vec!["draw".to_owned(), "store.toml".to_owned(), "-o".to_owned(), format!("{place}/a.svg")],
            vec!["check".to_owned(), "store.toml".to_owned(), "--csv".to_owned(), format!("{place}/sheets")],
            vec!["new".to_owned(), format!("{place}/other.toml")],
        ] {
            let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
            let (code, out, err) = run(folder.path(), &arguments);
            assert_eq!((code, out.as_str()), (2, ""), "{arguments:?}: {err}");
            assert!(err.contains("written"), "{arguments:?}: {err}");
        }
    }
    fs::set_permissions(&locked, fs::Permissions::from_mode(0o755)).unwrap();
}

#[test]
fn a_short_reader_gets_its_lines_and_no_complaint() {
    let folder = folder_with("tunnel");
    for options in ["", "--json --full"] {
        let script = format!(
            "set -o pipefail; \"$0\" check store.toml {options} | head -n 1; exit ${{PIPESTATUS[0]}}"
        );
        let output = Command::new("bash")
            .args(["-c", &script, env!("CARGO_BIN_EXE_strutwise")])
            .current_dir(folder.path())
            .output()
            .unwrap();
        let (code, out, err) = told(&output);
        assert!(code < 2, "{code}: {err}");
        assert_eq!(out.lines().count(), 1);
        assert!(!err.contains("error") && !err.contains("failed"), "{err}");
    }
}

#[test]
fn companions_do_not_leave_the_folder_by_a_link() {
    let folder = folder_with("mesh");
    let elsewhere = TempDir::new().unwrap();
    let mesh = folder.path().join("store_mesh.obj");
    fs::rename(&mesh, elsewhere.path().join("kept.obj")).unwrap();
    std::os::unix::fs::symlink(elsewhere.path().join("kept.obj"), &mesh).unwrap();
    let (code, out, err) = run(folder.path(), &["check", "store.toml"]);
    assert_eq!((code, out.as_str()), (2, ""), "{err}");
    assert!(err.contains("store.toml:") && err.contains("folder"), "{err}");
}

#[test]
fn what_is_no_file_is_refused_and_never_waited_for() {
    let folder = folder_with("mesh");
    let mesh = folder.path().join("store_mesh.obj");
    fs::remove_file(&mesh).unwrap();
    let made = Command::new("mkfifo").arg(&mesh).status().unwrap();
    assert!(made.success());
    let (code, _, err) = run(folder.path(), &["check", "store.toml"]);
    assert_eq!(code, 2, "{err}");
    // Nor a project without an end.
    let (code, _, err) = run(folder.path(), &["check", "/dev/zero"]);
    assert_eq!(code, 2, "{err}");
}

#[test]
fn sheets_replace_a_link_in_their_folder_and_never_write_through_it() {
    let folder = folder_with("dome");
    let elsewhere = TempDir::new().unwrap();
    let victim = elsewhere.path().join("victim");
    fs::write(&victim, "keep me").unwrap();
    fs::create_dir(folder.path().join("sheets")).unwrap();
    std::os::unix::fs::symlink(&victim, folder.path().join("sheets/members.csv")).unwrap();
    assert!(run(folder.path(), &["check", "store.toml", "--csv", "sheets"]).0 < 2);
    assert_eq!(fs::read_to_string(&victim).unwrap(), "keep me");
    assert!(folder.path().join("sheets/members.csv").symlink_metadata().unwrap().is_file());
}

/// An answer never takes the place of what the project was read from: its own file, a mesh, a sheet.
#[test]
fn what_the_project_was_read_from_is_never_written_over() {
    let folder = TempDir::new().unwrap();
    let example = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let text = fs::read_to_string(example.join("bee-shelter-mesh.toml")).unwrap();
    let mesh = fs::read(example.join("bee-shelter.obj")).unwrap();
    fs::write(folder.path().join("store.svg"), &text).unwrap();
    fs::write(folder.path().join("bee-shelter.obj"), &mesh).unwrap();
    for place in ["store.svg", "./bee-shelter.obj"] {
        let (code, out, err) = run(folder.path(), &["draw", "store.svg", "-o", place]);
        assert_eq!((code, out.as_str()), (2, ""), "{err}");
        assert!(err.contains("the project is read from this file"), "{err}");
    }
    assert_eq!(fs::read_to_string(folder.path().join("store.svg")).unwrap(), text);
    assert_eq!(fs::read(folder.path().join("bee-shelter.obj")).unwrap(), mesh);
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 2, "nothing half written stays");
}
