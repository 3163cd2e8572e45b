//! Projects that must be refused, each beside the fault that it must give.
//!
//! `cases/NAME.toml` with `NAME.expect`, or a folder `cases/NAME/` with `project.toml`, the files that it names
//! and `expect.txt`. An expectation is: the fault's code, a line `file:line:column`, then lines each of which the
//! fault's words must hold. The place is where the file was spoilt, known apart from the program.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test says what it found by panicking"
)]

mod built;
mod keys;

use std::fs;
use std::path::{Path, PathBuf};

use strutwise::error::{Error, Exit};
use strutwise::project::{self, ProjectError, render};

struct Case {
    name: String,
    project: PathBuf,
    expected: String,
}

fn cases() -> Vec<Case> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/bad/cases");
    let mut cases = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        let (project, expected) = if path.is_dir() {
            (path.join("project.toml"), path.join("expect.txt"))
        } else if path.extension().is_some_and(|ending| ending == "toml") {
            (path.clone(), path.with_extension("expect"))
        } else {
            continue;
        };
        cases.push(Case { name, project, expected: fs::read_to_string(expected).unwrap() });
    }
    cases.sort_by(|a, b| a.name.cmp(&b.name));
    cases
}

/// What is wrong with the answer to a case, if anything.
fn complaint(case: &Case) -> Option<String> {
    let mut lines = case.expected.lines();
    let code = lines.next().unwrap();
    let place = lines.next().unwrap();
    let error = match project::read(&case.project) {
        Err(error) => error,
        Ok(_) => return Some("it was taken".to_owned()),
    };
    let ProjectError::Faulty(faulty) = &error else { return Some(format!("another error: {error}")) };
    let found: Vec<String> = faulty
        .faults
        .iter()
        .map(|fault| {
            let (file, line, column) = faulty.place(fault);
            let file = if fault.place.file == 0 { "project.toml" } else { file };
            format!("{} at {file}:{line}:{column}: {}; {}", fault.code, fault.message, fault.help)
        })
        .collect();
    let start = format!("{code} at {place}: ");
    let Some(fault) = found.iter().find(|fault| fault.starts_with(&start)) else {
        return Some(format!("wanted {start}\n    found {}", found.join("\n          ")));
    };
    for words in lines {
        if !fault.contains(words) {
            return Some(format!("wanted the words {words:?}\n    in    {fault}"));
        }
    }
    // One slip, one fault: what follows from a slip must not be told as another.
    if found.len() > 1 {
        return Some(format!("more than one fault:\n          {}", found.join("\n          ")));
    }
    let shown = render::render(&error, false);
    if !shown.contains(&place.replace("project.toml", "")) {
        return Some(format!("the place is not shown:\n{shown}"));
    }
    if Error::from(error).exit() != Exit::Input {
        return Some("the exit code is not 2".to_owned());
    }
    None
}

#[test]
fn every_bad_project_gives_its_own_fault_at_its_own_place() {
    let cases = cases();
    assert!(cases.len() >= 150, "only {} cases", cases.len());
    let complaints: Vec<String> = cases
        .iter()
        .filter_map(|case| complaint(case).map(|words| format!("{}: {words}", case.name)))
        .collect();
    assert!(complaints.is_empty(), "{} of {}:\n{}", complaints.len(), cases.len(), complaints.join("\n"));
}

fn error_of(bytes: &[u8]) -> String {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("store.toml");
    fs::write(&path, bytes).unwrap();
    let error = project::read(&path).unwrap_err();
    let shown = render::render(&error, false);
    assert!(shown.len() < 100_000, "{} bytes of message", shown.len());
    assert_eq!(Error::from(error).exit(), Exit::Input);
    shown
}

#[test]
fn files_that_are_no_text() {
    assert!(error_of(b"").contains("store.toml:1:1") && error_of(b"").contains("the file is empty"));
    assert!(error_of(b"\n  \n").contains("the file is empty"));
    assert!(
        error_of(b"[project]\nname = \"\xff\"\n")
            .contains("store.toml:2:9: the file is not UTF-8 text (byte 0xff)")
    );
    assert!(error_of(&[0; 1000]).contains("store.toml:1:1"));
    assert!(error_of(&vec![b'x'; 1_000_000]).contains(":1:"));
    assert!(error_of(&vec![b'x'; 1_000_001]).contains("larger than 1 MB"));
    assert!(error_of(&b"[[[[".repeat(250_000)).contains(":1:"));
    assert!(error_of(&b"a=[".repeat(300_000)).contains(":1:"));
    assert!(error_of(&b"x = {".repeat(200_000)).contains(":1:"));
    assert!(error_of(&b"a.".repeat(400_000)).contains(":1:"));
    assert!(error_of(b"\xff\xfe[\x00p\x00").contains("not UTF-8"));
    // Junk that a steady generator makes: in one line, and in lines.
    let mut state = 12_345_u64;
    let junk: Vec<u8> = (0..1_000_000)
        .map(|_| {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            b' ' + u8::try_from((state >> 33) % 95).unwrap()
        })
        .collect();
    assert!(error_of(&junk).contains("store.toml:1:"));
    let lines: Vec<u8> =
        junk.iter().enumerate().map(|(at, byte)| if at % 80 == 79 { b'\n' } else { *byte }).collect();
    assert!(error_of(&lines).contains("1 fault;"));
}

#[test]
fn control_characters_of_a_file_do_not_reach_the_terminal() {
    let shown = error_of("[project]\nname = \"x\"\n\u{202e}basis\u{9b} = \"\u{1b}[31m\"\n".as_bytes());
    assert!(!shown.contains(['\u{1b}', '\u{9b}', '\u{202e}', '\u{7}']), "{shown:?}");
    let shown = error_of("[project]\nname = \"x\"\nbasis = \"\\u001b[31m\\u202e\"\n".as_bytes());
    assert!(!shown.contains(['\u{1b}', '\u{9b}', '\u{202e}', '\u{7}']), "{shown:?}");
}

#[test]
fn there_is_no_such_file_and_a_folder() {
    let folder = tempfile::tempdir().unwrap();
    let error = project::read(&folder.path().join("none.toml")).unwrap_err();
    assert!(error.to_string().contains("none.toml: there is no such file; "));
    assert!(project::read(folder.path()).unwrap_err().to_string().contains("this is a folder"));
    assert_eq!(Error::from(error).exit(), Exit::Input);
}

#[test]
fn line_ends_and_byte_order_marks_of_other_systems_are_taken() {
    let good =
        fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/bad/cases/radius_mass.toml"))
            .unwrap()
            .replace("2.1 kg", "2.1 m");
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("store.toml");
    fs::write(&path, format!("\u{feff}{}", good.replace('\n', "\r\n"))).unwrap();
    assert!(project::read(&path).is_ok());
}

/// A mesh of a folder's files, as read.
fn mesh_of(files: &[(&str, &str)], shell: &str) -> project::Project {
    let folder = tempfile::tempdir().unwrap();
    for (name, text) in files {
        fs::write(folder.path().join(name), text).unwrap();
    }
    let rest = "[timber]\ngrade = \"C24\"\nbreadth = 0.047\ndepth = 0.095\nservice_class = 3\n[cover]\nleft_out = \"x\"\n\
                [snow]\nleft_out = \"x\"\n[wind]\nleft_out = \"x\"\n";
    let text =
        format!("[project]\nname = \"x\"\nbasis = \"eurocode\"\n[shell]\nform = \"mesh\"\n{shell}\n{rest}");
    let path = folder.path().join("store.toml");
    fs::write(&path, text).unwrap();
    match project::read(&path) {
        Ok(project::Asked::Shell(project)) => *project,
        Ok(_) => panic!("no shell"),
        Err(error) => panic!("{error}"),
    }
}

const PYRAMID: &str = "v 0 0 0\nv 2 0 0\nv 0 2 0\nv 1 1 1\nf 1 2 4 # a remark\nf 2/7/3 3//1 4\nf -2 1 4\n";

#[test]
fn a_cell_with_a_unit_of_its_own_is_not_scaled_by_the_unit_of_the_file() {
    let joints =
        "joint,x,y,z,held\na,0,0,0,yes\nb,2000,0,0,yes\nc,0,2 m,0,yes\nd,\"1000 mm\",3 ft 3 in,1e3,\n";
    let panels = "panel,a,b,c\np,a,b,d\nq,b,c,d\nr,c,a,d\n";
    let files = [("joints.csv", joints), ("panels.csv", panels)];
    let shell = "joints = \"joints.csv\"\npanels = \"panels.csv\"\nfile_unit = \"1 mm\"";
    let strutwise::shell::ask::Form::Mesh(mesh) = mesh_of(&files, shell).shell.form else {
        panic!("no mesh")
    };
    let at: Vec<_> = mesh.joints.iter().map(|(_, at)| *at).collect();
    let wanted = [[0.0, 0.0, 0.0], [2.0, 0.0, 0.0], [0.0, 2.0, 0.0], [1.0, 0.9906, 1.0]];
    for (at, wanted) in at.iter().zip(wanted) {
        assert!((at.x - wanted[0]).hypot(at.y - wanted[1]).hypot(at.z - wanted[2]) < 1e-12, "{at:?}");
    }
}

#[test]
fn a_mesh_of_an_unusual_size_is_taken_with_a_warning_and_remarks_stand_behind_faces() {
    let warned = |unit: &str| {
        let project = mesh_of(&[("a.obj", PYRAMID)], &format!("file = \"a.obj\"\nfile_unit = \"{unit}\""));
        project.warnings.iter().any(|words| words.contains("the mesh is") && words.contains("file_unit"))
    };
    assert!(!warned("1 m") && !warned("3 ft"));
    assert!(warned("0.1 m") && warned("50 m"));
}
