//! The command line as a document: each test is a command, its exit code and what it says.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test says what it found by panicking"
)]

mod breaking_off;
mod json;
mod paths;
mod sheets;

use std::fs;
use std::path::Path;
use std::process::{Command, Output, Stdio};

use tempfile::TempDir;

/// Runs `strutwise` in a folder: exit code, standard output, standard error.
fn run(folder: &Path, arguments: &[&str]) -> (i32, String, String) {
    let output = command(folder).args(arguments).output().unwrap();
    told(&output)
}

fn command(folder: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_strutwise"));
    command.current_dir(folder).stdin(Stdio::null());
    command
}

fn told(output: &Output) -> (i32, String, String) {
    let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).unwrap();
    (output.status.code().unwrap(), text(&output.stdout), text(&output.stderr))
}

fn folder_with(form: &str) -> TempDir {
    let folder = TempDir::new().unwrap();
    let (code, out, err) = run(folder.path(), &["new", "store.toml", "--form", form]);
    assert_eq!((code, out.as_str()), (0, ""), "{err}");
    assert!(err.contains("wrote store.toml"));
    folder
}

/// The name of the first timber.
fn a_timber(folder: &Path) -> String {
    let (_, out, _) = run(folder, &["check", "store.toml", "--json"]);
    let document: serde_json::Value = serde_json::from_str(&out).unwrap();
    document["members"][0]["id"].as_str().unwrap().to_owned()
}

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

#[test]
fn help_of_every_command_has_an_example_and_is_an_answer() {
    let folder = TempDir::new().unwrap();
    let (code, out, _) = run(folder.path(), &["--help"]);
    assert_eq!(code, 0);
    for command in [
        "new", "check", "explain", "compare", "span", "reserve", "seams", "notes", "draw", "tables", "schema",
    ] {
        assert!(out.contains(&format!("\n  {command} ")), "{command} is not listed");
        let (code, out, err) = run(folder.path(), &[command, "--help"]);
        assert_eq!((code, err.as_str()), (0, ""), "{command}");
        assert!(
            out.contains(&format!("  strutwise {command} ")) || command == "tables",
            "{command} has no example"
        );
    }
    assert_eq!(run(folder.path(), &["--version"]).1, "strutwise 0.1.0\n");
}

#[test]
fn wrong_options_end_with_two_and_say_what_is_meant() {
    let folder = folder_with("mesh");
    let timber = a_timber(folder.path());
    for (arguments, words) in [
        (&["chekc", "store.toml"][..], "check"),
        (&["check"][..], "<FILE>"),
        (&["check", "store.toml", "--jsno"][..], "--json"),
        (&["check", "store.toml", "more"][..], "more"),
        (&["new", "other.toml", "--form", "tent"][..], "possible values: dome, tunnel"),
        (&["notes", "store.toml"][..], "--output"),
        (&["notes", "store.toml", "-o", "store.docx"][..], ".html, .md, .pdf"),
        (&["draw", "store.toml", "-o", "store"][..], ".svg, .png, .obj"),
        (&["draw", "store.toml", "-o", "a.svg", "--show", "colour"][..], "utilisation"),
        (&["draw", "store.toml", "-o", "a.svg", "--view", "under"][..], "isometric"),
        (&["draw", "store.toml", "-o", "a.svg", "--show", "case:hail"][..], "hail"),
        (&["notes", "store.toml", "-o", "nowhere/a.html"][..], "the folder must be there"),
        (&["notes", "store.toml", "-o", "."][..], "the ending says what is written"),
        (&["check", "store.toml", "--csv", "store.toml"][..], "this is a file, not a folder"),
        (&["check", "store.toml", "--csv", "a/b"][..], "cannot be written to"),
        (&["explain", "store.toml", "s999"][..], "s999"),
        (&["explain", "store.toml", "v1"][..], "v1 is a foot, not a timber"),
        (&["explain", "store.toml", &timber, "--combination", "hail"][..], "hail"),
        (&["explain", "store.toml"][..], "<MEMBER>"),
        (&["explain", "store.toml", ""][..], "there is no timber \"\""),
        (&["explain", "store.toml", "s1", "--json"][..], "--json"),
        (&["draw", "store.toml"][..], "--output"),
        (&["draw", "store.toml", "-o", "a.svg", "--model", "stiff"][..], "stiff"),
        (&["draw", "store.toml", "-o", "a.obj", "--show", "axial"][..], "an OBJ file holds the shape alone"),
        (&["draw", "store.toml", "-o", "a.svg", "--show", "mechanism"][..], "no model has one"),
        (&["draw", "store.toml", "-o", "a.svg", "--show", "case:"][..], "snow undrifted"),
        (&["notes", "store.toml", "--output"][..], "a value is required"),
        (&["check", "store.toml", "--csv", ""][..], "a value is required"),
        (&["check", "store.toml", "--full", "--full"][..], "multiple times"),
        (&["compare", "store.toml", "--picture", "a.pdf"][..], "error: a.pdf: the ending says"),
        (&["compare", "store.toml", "--csv", "."][..], "this is a folder"),
        (&["span", "store.toml", "--csv", "nowhere/rows.csv"][..], "(os error 2); the folder must be there"),
        (&["span", "store.toml", "--sensitivity"][..], "--sensitivity"),
        (&["seams", "store.toml", "--picture", "nowhere/a.svg"][..], "the folder must be there"),
        (&["reserve", "store.toml", "--csv", "a.csv"][..], "--csv"),
        (&["new", "nowhere/x.toml"][..], "the folder must be there"),
        (&["new", "."][..], "is not overwritten"),
        (&["new", "shed/"][..], "shed/: this is a folder; name a file"),
        (&["notes", "store.toml", "-o", "notes.html/"][..], "notes.html/: this is a folder; name a file"),
        (&["schema", "dome"][..], "possible values: shell, frame"),
        (&["completions", "cmd"][..], "bash"),
        (&["man", "store.toml"][..], "this is a file, not a folder"),
        (&["man", "a/b"][..], "(os error 2); name a folder"),
        (&["tables", "en338_softwood", "more"][..], "more"),
        (&["--jsno"][..], "--jsno"),
        (&["tables", "en338_softwod"][..], "en338_softwood"),
        (&["check", "none.toml"][..], "there is no such file"),
        (&["check", "."][..], "this is a folder"),
        (&[][..], "Usage"),
    ] {
        let (code, out, err) = run(folder.path(), arguments);
        assert_eq!(code, 2, "{arguments:?}: {out}{err}");
        assert_eq!(out, "", "{arguments:?}");
        assert!(err.contains(words), "{arguments:?} says\n{err}");
    }
    assert_eq!(names(folder.path()), ["store.toml", "store_mesh.obj"], "something was written");
}

#[test]
fn commands_for_timber_refuse_a_plain_frame_and_a_mesh_has_no_size_to_sweep() {
    let folder = folder_with("frame");
    for command in ["compare", "span", "reserve", "seams"] {
        let (code, out, err) = run(folder.path(), &[command, "store.toml"]);
        assert_eq!((code, out.as_str()), (2, ""), "{command}: {err}");
        assert!(err.contains(&format!("has no timbers for strutwise {command}")), "{err}");
    }
    for arguments in [&["notes", "store.toml", "-o", "a.md"][..], &["explain", "store.toml", "b1"][..]] {
        let (code, _, err) = run(folder.path(), arguments);
        assert!(code == 2 && err.contains("strutwise check reads it"), "{err}");
    }
    let folder = folder_with("mesh");
    let (code, _, err) = run(folder.path(), &["span", "store.toml"]);
    assert!(code == 2 && err.contains("no size to sweep"), "{err}");
}

#[test]
fn completions_and_manual_pages_can_be_had() {
    let folder = TempDir::new().unwrap();
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        let (code, out, err) = run(folder.path(), &["completions", shell]);
        assert!(
            code == 0 && err.is_empty() && out.contains("strutwise") && out.contains("reserve"),
            "{shell}: {err}"
        );
    }
    assert_eq!(run(folder.path(), &["man", "pages"]).0, 0);
    let pages = names(&folder.path().join("pages"));
    assert!(pages.contains(&"strutwise.1".to_owned()) && pages.contains(&"strutwise-check.1".to_owned()));
    let page = fs::read_to_string(folder.path().join("pages/strutwise-check.1")).unwrap();
    assert!(page.starts_with(".") && page.contains("strutwise"), "{page}");
}

#[test]
fn new_overwrites_nothing() {
    let folder = folder_with("mesh");
    assert_eq!(names(folder.path()), ["store.toml", "store_mesh.obj"]);
    let before = fs::read(folder.path().join("store.toml")).unwrap();
    let (code, _, err) = run(folder.path(), &["new", "store.toml"]);
    assert_eq!(code, 2);
    assert!(err.contains("is not overwritten"));
    assert_eq!(fs::read(folder.path().join("store.toml")).unwrap(), before);
    // Nor a companion.
    fs::remove_file(folder.path().join("store.toml")).unwrap();
    assert_eq!(run(folder.path(), &["new", "store.toml", "--form", "mesh"]).0, 2);
    assert_eq!(names(folder.path()), ["store_mesh.obj"]);
}

#[test]
fn every_starter_of_timber_is_checked() {
    for form in ["dome", "tunnel", "barrel", "mesh"] {
        let folder = folder_with(form);
        let (code, out, err) = run(folder.path(), &["check", "store.toml"]);
        assert!(code < 2, "{form}: {err}");
        assert!(out.contains("Larkfold") && out.to_lowercase().contains("indicative"), "{form}: {out}");
        for word in ["safe", "compliant", "approved", "certified", "guarantee"] {
            assert!(!out.to_lowercase().split_whitespace().any(|found| found == word), "{form}: {word}");
        }
        let width = out.lines().map(|line| line.chars().count()).max().unwrap();
        assert!(width <= 80, "{form}: {width} columns");
        assert!(!out.contains('\u{1b}'), "{form}: colour without a terminal");
    }
}

#[test]
fn json_is_one_document_and_its_verdict_is_the_exit_code() {
    let folder = folder_with("tunnel");
    let (code, out, _) = run(folder.path(), &["check", "store.toml", "--json"]);
    let document: serde_json::Value = serde_json::from_str(&out).unwrap();
    for key in ["strutwise", "project", "basis", "indicative", "verdict", "rests_on_seams", "counts"] {
        assert!(!document[key].is_null(), "{key}");
    }
    let over = matches!(document["verdict"].as_str().unwrap(), "over" | "unstable");
    assert_eq!(code, i32::from(over));
    assert_eq!(document["project"], "Larkfold apple store");
    // The same input gives the same bytes.
    assert_eq!(run(folder.path(), &["check", "store.toml", "--json"]).1, out);
}

#[test]
fn faults_come_with_file_line_and_column_on_standard_error_alone() {
    let folder = folder_with("tunnel");
    let path = folder.path().join("store.toml");
    let text = fs::read_to_string(&path).unwrap();
    fs::write(&path, text.replace("\"2.1 m\"", "\"2.1 kg\"").replace("\"C24\"", "\"C25\"")).unwrap();
    let (code, out, err) = run(folder.path(), &["check", "store.toml", "--json", "--csv", "sheets"]);
    assert_eq!((code, out.as_str()), (2, ""));
    let line = 1 + text[..text.find("\"2.1 m\"").unwrap()].matches('\n').count();
    assert!(err.contains(&format!("store.toml:{line}:13")), "{err}");
    assert!(err.contains("wants a length; \"2.1 kg\" is a mass") && err.contains("C24"), "{err}");
    assert!(err.contains("2 faults; nothing was written"));
    assert_eq!(names(folder.path()), ["store.toml"]);
}

#[test]
fn csv_notes_and_drawings_are_written_whole() {
    // Eight panels: what is held here is that all of it is written, and that takes no large shell.
    let folder = folder_with("mesh");
    let verdict = |folder: &Path| {
        let (_, out, err) = run(folder, &["check", "store.toml", "--json"]);
        let document: serde_json::Value = serde_json::from_str(&out).expect(&err);
        (document["verdict"].clone(), document["counts"].clone())
    };
    assert!(run(folder.path(), &["check", "store.toml", "--csv", "sheets"]).0 < 2);
    assert!(names(&folder.path().join("sheets")).contains(&"members.csv".to_owned()));
    for name in ["a.html", "a.md", "a.pdf"] {
        let (code, out, err) = run(folder.path(), &["notes", "store.toml", "-o", name]);
        assert!(code < 2 && out.is_empty(), "{name}: {err}");
    }
    for name in ["a.svg", "a.png", "a.obj"] {
        assert_eq!(run(folder.path(), &["draw", "store.toml", "-o", name]).0, 0, "{name}");
    }
    let read = |name: &str| fs::read(folder.path().join(name)).unwrap();
    assert!(read("a.pdf").starts_with(b"%PDF") && read("a.pdf").trim_ascii_end().ends_with(b"%%EOF"));
    assert!(read("a.png").starts_with(b"\x89PNG") && read("a.png").ends_with(b"IEND\xaeB`\x82"));
    assert!(read("a.svg").starts_with(b"<svg") && read("a.svg").trim_ascii_end().ends_with(b"</svg>"));
    assert!(read("a.html").trim_ascii_end().ends_with(b"</html>"));
    assert!(names(folder.path()).iter().all(|name| !name.starts_with(".strutwise")));
    // What was drawn can be read back as a mesh of one's own, and is the same shell.
    let before = verdict(folder.path());
    fs::write(folder.path().join("store_mesh.obj"), read("a.obj")).unwrap();
    assert_eq!(verdict(folder.path()), before);
    assert!(before.1["panels"].as_u64().unwrap() >= 8, "{before:?}");
}

#[test]
fn explain_shows_the_working_of_one_timber() {
    let folder = folder_with("dome");
    let timber = a_timber(folder.path());
    let (code, out, err) = run(folder.path(), &["explain", "store.toml", &timber]);
    assert!(code < 2, "{err}");
    assert!(
        out.contains(&format!("timber {timber}")) && out.contains(" = ") && out.contains("EN 1995-1-1"),
        "{out}"
    );
    assert!(out.contains("Indicative"));
}

/// Whether every element that is opened is closed, in order; names the first that is not.
fn balanced(fragment: &str) -> Result<(), String> {
    let mut open: Vec<&str> = Vec::new();
    for tag in fragment.split('<').skip(1) {
        let inside = tag.split('>').next().unwrap();
        if let Some(name) = inside.strip_prefix('/') {
            if open.pop() != Some(name) {
                return Err(format!("</{name}>"));
            }
        } else if inside != "wbr" {
            // A place to break holds nothing and is not closed.
            open.push(inside.split(' ').next().unwrap());
        }
    }
    if open.is_empty() { Ok(()) } else { Err(open.join(", ")) }
}

#[test]
fn explain_writes_the_same_working_as_a_fragment_of_html() {
    let folder = folder_with("dome");
    let timber = a_timber(folder.path());
    let (code, text, _) = run(folder.path(), &["explain", "store.toml", &timber]);
    let (same, fragment, err) = run(folder.path(), &["explain", "store.toml", &timber, "--html"]);
    assert_eq!(code, same, "{err}");
    assert_eq!(balanced(&fragment), Ok(()));
    assert!(fragment.starts_with("<article") && fragment.ends_with("</article>\n"), "{fragment}");
    assert!(fragment.contains(&format!("timber {timber}")) && fragment.contains("Indicative"));
    // Tables that can be listened to: named, with heads of columns and rows; nothing that a page may have already.
    assert_eq!(fragment.matches("<table>").count(), fragment.matches("<caption>").count());
    assert!(fragment.contains("<th scope=\"col\">") && fragment.contains("<th scope=\"row\">"));
    for bad in [" id=", "<script", "<style", "href=", "src="] {
        assert!(!fragment.contains(bad), "{bad}");
    }
    // Every check of the text, with where it stands, and as many steps.
    let checks: Vec<&str> = text.lines().filter(|line| line.contains(" of its limit, ")).collect();
    assert!(!checks.is_empty(), "{text}");
    for check in &checks {
        let (rule, standing) = check.trim().rsplit_once(": ").unwrap();
        assert!(fragment.contains(&format!("<h3>{}</h3>", rule.replace('&', "&amp;"))), "{rule}");
        assert!(fragment.contains(&format!("<strong>{standing}</strong>")), "{standing}");
    }
    let steps = text.lines().filter(|line| line.starts_with("    ") && line.contains(" = ")).count();
    let parts = text.lines().filter(|line| line.contains(" × ") && line.contains(": N ")).count();
    assert_eq!(fragment.matches("<th scope=\"row\">").count(), steps + parts);
}

/// What is not given is assumed or not checked, and the answer says which; what is given is no longer remarked on.
#[test]
fn checks_that_were_not_made_are_told_until_their_values_are_given() {
    let folder = folder_with("dome");
    let told = || -> Vec<String> {
        let (_, out, err) = run(folder.path(), &["check", "store.toml", "--json"]);
        let document: serde_json::Value = serde_json::from_str(&out).expect(&err);
        let lines = document["assumptions"].as_array().unwrap();
        let lines = lines.iter().map(|line| line.as_str().unwrap().to_owned());
        // Where nothing is remarked on, no seam is named that the remarks go by.
        lines.filter(|line| !line.starts_with("Measures of the fixings in the lines that follow")).collect()
    };
    let remarks = [
        "The steel of the fixings was not given: 400 N/mm²",
        "The corners of the frames were not checked for their pull",
        "Pressure on the ground was not checked",
        "No tie or base ring was checked",
    ];
    let before = told();
    for remark in remarks {
        assert_eq!(
            before.iter().filter(|line| line.starts_with(remark)).count(),
            1,
            "{remark} in {before:#?}"
        );
    }
    let file = folder.path().join("store.toml");
    let text = fs::read_to_string(&file).unwrap();
    let text =
        text.replace("\n[fixings]", "\n[fixings]\nsteel = \"800 N/mm2\"\ncorner_pull = \"1 kN\"\n#").replace(
            "\n[feet]",
            "\n[feet]\npad_area = \"0.25 m2\"\nground_pressure = \"100 kN/m2\"\ntie = \"20 kN\"\n#",
        );
    fs::write(&file, text).unwrap();
    let after = told();
    for remark in remarks {
        assert!(!after.iter().any(|line| line.starts_with(remark)), "{remark} in {after:#?}");
    }
    assert_eq!(before.len(), after.len() + remarks.len());
}

/// A load that is left out, parts that were not entered and stages are told with the answer, whatever is asked.
/// The exit code of `seams` is that of `check`, also where nothing is known of the seams and stiff enough ones would hold.
#[test]
fn seams_end_as_the_check_does() {
    let folder = TempDir::new().unwrap();
    let example = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/cider-shed-barrel.toml");
    let text = fs::read_to_string(example).unwrap();
    let [wind, feet] = ["\n[wind]", "\n[feet]"].map(|head| text.find(head).unwrap());
    let left_out = "\n[wind]\nleft_out = \"in a barn\"\n";
    let text = format!("{}{left_out}{}", &text[..wind], &text[feet..]).replace("0.5 kN/m2", "0.3 kN/m2");
    fs::write(folder.path().join("shed.toml"), text).unwrap();
    let (check, _, err) = run(folder.path(), &["check", "shed.toml"]);
    assert_eq!(check, 1, "{err}");
    let (seams, out, err) = run(folder.path(), &["seams", "shed.toml", "--json"]);
    assert_eq!(seams, check, "{err}");
    let document: serde_json::Value = serde_json::from_str(&out).unwrap();
    assert_eq!(document["entered"]["verdict"], "unstable");
    assert_eq!(document["pinned"]["verdict"], "unstable");
    let points = document["points"].as_array().unwrap();
    // No better, as no fixings are entered.
    assert!(points.iter().any(|point| point["row"]["verdict"] == "near"), "{out}");
}

#[test]
fn what_a_project_leaves_out_is_told_by_every_command() {
    let folder = folder_with("mesh");
    let file = folder.path().join("store.toml");
    let text = fs::read_to_string(&file).unwrap();
    let [wind, feet] = ["\n[wind]", "\n[feet]"].map(|head| text.find(head).unwrap());
    let left_out = "\n[wind]\nleft_out = \"inside a barn\"\n\n[feet]\nheld = \"pinned\"\n\n[compare]\n\
                    sections = [\"47x75 mm\"]\n\n[[stage]]\nname = \"half\"\npanels = [\"f1\", \"f2\", \"f3\", \"f4\"]\n";
    assert!(wind < feet);
    fs::write(&file, format!("{}{left_out}", &text[..wind])).unwrap();
    let one_line = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let wind = "The wind is left out, and nothing is said of it. Reason given: inside a barn.";
    let anchors = "What anchors hold against lift and sliding was not entered ([feet] uplift, slide)";
    let stages = "The stages of the assembly ([[stage]]) are not looked at here";
    for command in ["compare", "reserve", "seams"] {
        let (code, out, err) = run(folder.path(), &[command, "store.toml"]);
        assert!(code < 2, "{command}: {err}");
        for words in [wind, anchors, stages] {
            assert_eq!(one_line(&out).matches(words).count(), 1, "{command}: {words}\n{out}");
        }
        let (_, out, err) = run(folder.path(), &[command, "store.toml", "--json"]);
        let document: serde_json::Value = serde_json::from_str(&out).expect(&err);
        let told = document["not_in_it"].as_array().unwrap();
        assert!(told.len() == 3 && told[0] == wind, "{command}: {told:?}");
    }
    let (_, out, err) = run(folder.path(), &["check", "store.toml", "--json"]);
    let document: serde_json::Value = serde_json::from_str(&out).expect(&err);
    assert!(document["not_in_it"].as_array().unwrap().len() == 2 && document["not_in_it"][0] == wind);
    let (code, _, err) = run(folder.path(), &["notes", "store.toml", "-o", "a.md"]);
    assert!(code < 2, "{err}");
    let notes = fs::read_to_string(folder.path().join("a.md")).unwrap();
    let [told, caution] = [wind, "Caution"].map(|words| notes.find(words).unwrap());
    assert!(told < caution, "{notes}");
}

#[test]
fn tables_print_with_their_sources() {
    let folder = TempDir::new().unwrap();
    let (code, out, _) = run(folder.path(), &["tables"]);
    assert_eq!(code, 0);
    assert!(out.contains("en338_softwood"));
    let (code, out, _) = run(folder.path(), &["tables", "en338_softwood"]);
    assert_eq!(code, 0);
    assert!(out.contains("C24") && out.contains("Source:"));
}

#[cfg(unix)]
#[test]
fn a_reader_that_goes_away_is_no_fault_and_a_full_disk_is_one() {
    use std::os::unix::process::ExitStatusExt;
    let folder = folder_with("dome");
    let mut child = command(folder.path())
        .args(["check", "store.toml", "--json"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert_eq!(output.status.signal(), None);
    assert!(output.status.code().unwrap() < 2);
    assert!(!String::from_utf8_lossy(&output.stderr).contains("error"));
    if let Ok(full) = fs::OpenOptions::new().write(true).open("/dev/full") {
        let output =
            command(folder.path()).args(["check", "store.toml", "--json"]).stdout(full).output().unwrap();
        let (code, _, err) = told(&output);
        assert_eq!(code, 3, "{err}");
        assert!(err.contains("standard output: writing failed"), "{err}");
    }
}

#[cfg(unix)]
#[test]
fn a_link_is_replaced_and_never_followed() {
    let folder = folder_with("dome");
    let elsewhere = TempDir::new().unwrap();
    let victim = elsewhere.path().join("victim.svg");
    fs::write(&victim, "keep me").unwrap();
    std::os::unix::fs::symlink(&victim, folder.path().join("a.svg")).unwrap();
    assert_eq!(run(folder.path(), &["draw", "store.toml", "-o", "a.svg"]).0, 0);
    assert_eq!(fs::read_to_string(&victim).unwrap(), "keep me");
    // `new` does not write through a link that leads nowhere.
    std::os::unix::fs::symlink(elsewhere.path().join("none"), folder.path().join("b.toml")).unwrap();
    assert_eq!(run(folder.path(), &["new", "b.toml"]).0, 2);
    assert!(!elsewhere.path().join("none").exists());
}
