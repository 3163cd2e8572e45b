//! What goes in and out as sheets: the bare mesh, a case of the user's own; and the stages of the assembly.
//!
//! All on the starter's mesh: a square roof of eight panels, four pairs of which are flat.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use serde_json::{Value, json};

use crate::{folder_with, run};

type Point = [f64; 3];

fn document(folder: &Path) -> Value {
    let (code, out, err) = run(folder, &["check", "store.toml", "--json"]);
    assert!(code < 2, "{err}");
    serde_json::from_str(&out).unwrap()
}

fn rows(folder: &Path, name: &str) -> Vec<BTreeMap<String, String>> {
    let mut reader = csv::Reader::from_path(folder.join("sheets").join(name)).unwrap();
    reader.deserialize().collect::<Result<_, _>>().unwrap()
}

fn point(value: &Value) -> Point {
    [0, 1, 2].map(|i| value[i].as_f64().unwrap())
}

fn close(found: f64, wanted: f64) {
    assert!((found - wanted).abs() <= 1e-9 * wanted.abs().max(1.0), "{found} {wanted}");
}

fn minus(a: Point, b: Point) -> Point {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

fn norm(v: Point) -> f64 {
    v[0].hypot(v[1]).hypot(v[2])
}

/// Half the cross product of two sides.
fn area_vector([a, b, c]: [Point; 3]) -> Point {
    let (u, v) = (minus(b, a), minus(c, a));
    [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]].map(|x| 0.5 * x)
}

#[test]
fn faces_and_edges_are_the_mesh_by_the_names_of_the_joints() {
    for form in ["mesh", "dome"] {
        let folder = folder_with(form);
        assert!(run(folder.path(), &["check", "store.toml", "--csv", "sheets"]).0 < 2);
        let number = |row: &BTreeMap<String, String>, key: &str| row[key].parse::<f64>().unwrap();
        let joints: BTreeMap<String, Point> = rows(folder.path(), "joints.csv")
            .iter()
            .map(|row| (row["joint"].clone(), ["x_m", "y_m", "z_m"].map(|key| number(row, key))))
            .collect();
        let (faces, edges) = (rows(folder.path(), "faces.csv"), rows(folder.path(), "edges.csv"));
        let counts = &document(folder.path())["counts"];
        assert_eq!((&json!(faces.len()), &json!(edges.len())), (&counts["panels"], &counts["members"]));
        // Every side of a face is an edge, once in its direction or against it.
        let mut sides: BTreeMap<[String; 2], usize> = BTreeMap::new();
        for face in &faces {
            let names: Vec<&str> = face["joints"].split(' ').collect();
            assert_eq!(names.len(), 3, "{form}");
            let area = area_vector([0, 1, 2].map(|i| joints[names[i]]));
            close(number(face, "area_m2"), norm(area));
            for (key, part) in ["normal_x", "normal_y", "normal_z"].iter().zip(area) {
                close(number(face, key), part / norm(area));
            }
            for i in 0..3 {
                let mut side = [names[i].to_owned(), names[(i + 1) % 3].to_owned()];
                side.sort();
                *sides.entry(side).or_default() += 1;
            }
        }
        for edge in edges.iter().filter(|edge| edge["kind"] != "bar") {
            let mut side = [edge["from"].clone(), edge["to"].clone()];
            close(number(edge, "length_m"), norm(minus(joints[&side[1]], joints[&side[0]])));
            side.sort();
            let beside =
                usize::from(!edge["left_panel"].is_empty()) + usize::from(!edge["right_panel"].is_empty());
            assert_eq!(sides.remove(&side), Some(beside), "{form}: {side:?}");
        }
        assert!(sides.is_empty(), "{form}: {sides:?}");
    }
}

#[test]
fn a_case_from_a_sheet_is_applied_in_full_and_goes_into_the_ground() {
    let folder = folder_with("mesh");
    let before = document(folder.path());
    let (panel, member) = (&before["panels"][2], &before["members"][3]);
    let sheet = format!(
        "# a load of each kind\non,name,x,y,z\njoint,v9,10,,-200\npanel,{},,\"0.05 kN/m2\",-300\nmember,{},0,0,-40 N/m\n",
        panel["id"].as_str().unwrap(),
        member["id"].as_str().unwrap()
    );
    fs::write(folder.path().join("boxes.csv"), sheet).unwrap();
    let path = folder.path().join("store.toml");
    let text = fs::read_to_string(&path).unwrap();
    let case = "\n[[case]]\nname = \"boxes\"\nsheet = \"boxes.csv\"\nrole = \"variable\"\npsi = [0.7, 0.5, 0.3]\n\
                lasts = \"medium-term\"\n";
    fs::write(&path, format!("{text}{case}")).unwrap();
    let after = document(folder.path());
    let boxes = after["cases"].as_array().unwrap().iter().find(|case| case["name"] == "boxes").unwrap();
    assert_eq!(boxes["kind"], "user");
    let (area, length) = (panel["area"].as_f64().unwrap(), member["length"].as_f64().unwrap());
    let total = [10.0, 50.0 * area, -200.0 - 300.0 * area - 40.0 * length];
    for list in ["asked", "applied"] {
        for (found, wanted) in point(&boxes[list]).into_iter().zip(total) {
            close(found, wanted);
        }
    }
    // What the feet push back with.
    let reactions = boxes["reactions"].as_object().unwrap();
    assert!(!reactions.is_empty());
    for reaction in reactions.values() {
        for (found, wanted) in point(reaction).into_iter().zip(total) {
            assert!((found + wanted).abs() < 1e-6, "{found} {wanted}");
        }
    }
    // It takes part in the combinations as a variable case.
    let factors: Vec<f64> = after["combinations"]
        .as_array()
        .unwrap()
        .iter()
        .filter_map(|combination| combination["factors"]["boxes"].as_f64())
        .collect();
    for wanted in [1.5, 1.5 * 0.7] {
        assert!(factors.iter().any(|found| (found - wanted).abs() < 1e-12), "γ and γψ0: {factors:?}");
    }
    // A name that the shell does not have is told.
    fs::write(folder.path().join("boxes.csv"), "on,name,x,y,z\njoint,v99,0,0,-200\n").unwrap();
    let (code, out, err) = run(folder.path(), &["check", "store.toml", "--json"]);
    assert_eq!((code, out.as_str()), (2, ""));
    assert!(err.contains("v99") && err.contains("boxes"), "{err}");
}

#[test]
fn stages_are_parts_that_stand_checked_on_their_own() {
    let folder = folder_with("mesh");
    let path = folder.path().join("store.toml");
    // Without fixings, so that no size of a washer stands before the timbers.
    let text = fs::read_to_string(&path).unwrap().replace("\"seam\", ", "");
    let (before, after) = text.split_once("\n[fixings]").unwrap();
    let text = format!("{before}{}", &after[after.find("\n[").unwrap()..]);
    fs::write(&path, &text).unwrap();
    let whole = document(folder.path());
    assert_eq!(whole["stages"], json!([]));
    let panels: Vec<String> =
        whole["panels"].as_array().unwrap().iter().map(|panel| panel["id"].to_string()).collect();
    let stage = |name: &str, panels: &[String], more: &str| {
        format!("\n[[stage]]\nname = \"{name}\"\npanels = [{}]\n{more}\n", panels.join(", "))
    };
    let stages = [
        stage("first two", &panels[..2], ""),
        stage("all, bare", &panels, ""),
        stage("all, with a person", &panels, "person = \"0.9 kN\""),
        stage("all, in a wind", &panels, "wind = \"2 kN/m2\""),
    ];
    fs::write(&path, format!("{text}{}", stages.concat())).unwrap();
    let document = document(folder.path());
    let found = document["stages"].as_array().unwrap();
    let words = |key: &str| found.iter().map(|stage| stage[key].as_str().unwrap()).collect::<Vec<_>>();
    assert_eq!(words("name"), ["first two", "all, bare", "all, with a person", "all, in a wind"]);
    let standing: Vec<u64> = found.iter().map(|stage| stage["panels"].as_u64().unwrap()).collect();
    assert_eq!(standing, [2, 8, 8, 8]);
    assert!(words("headline").iter().all(|words| !words.is_empty()));
    // Two panels that lie in one plane fold about their feet, and there is no force to tell of.
    assert_eq!((words("verdict")[0], &found[0]["worst"]), ("unstable", &Value::Null));
    let worst = |n: usize| found[n]["worst"]["utilisation"].as_f64().unwrap();
    assert!(worst(2) > worst(1) && worst(3) > worst(1), "{} {} {}", worst(1), worst(2), worst(3));
    let uplift = |n: usize| found[n]["uplift"].as_f64().unwrap();
    assert!(uplift(1) < 1.0 && uplift(3) > 100.0, "{} {}", uplift(1), uplift(3));
    // A stage that does not hold is told before any figure, and by the exit code, though the finished shell holds.
    assert!(
        matches!(document["finished_verdict"].as_str(), Some("within" | "near")),
        "{}",
        document["finished_verdict"]
    );
    assert_eq!(document["verdict"], "unstable", "that of all, as the exit code has it");
    let (code, out, err) = run(folder.path(), &["check", "store.toml"]);
    assert_eq!(code, 1, "{err}");
    let first: String = out.lines().take_while(|line| !line.starts_with("Worked hardest")).collect();
    assert!(first.contains("unstable while it is put up") && first.contains("\"first two\""), "{out}");
    let (code, _, err) = run(folder.path(), &["notes", "store.toml", "-o", "a.md"]);
    assert_eq!(code, 1, "{err}");
    let notes = fs::read_to_string(folder.path().join("a.md")).unwrap();
    let page = notes.split("## ").next().unwrap();
    assert!(page.contains("unstable while it is put up"), "{page}");
    assert!(
        notes.matches("The stage \"first two\" of the assembly does not hold").count() >= 2,
        "also to be looked at"
    );
    // The whole shell's own answer is what it was.
    assert_eq!(document["members"], whole["members"]);
    fs::write(&path, format!("{text}{}", stage("none such", &["\"f99\"".to_owned()], ""))).unwrap();
    let (code, _, err) = run(folder.path(), &["check", "store.toml"]);
    assert_eq!(code, 2);
    assert!(err.contains("stage 1.panels names panel \"f99\"") && err.contains("store.toml:58:11"), "{err}");
}

#[test]
fn sheets_of_an_earlier_check_do_not_stay_beside_those_of_this_one() {
    let folder = folder_with("dome");
    let sheets = folder.path().join("sheets");
    assert!(run(folder.path(), &["check", "store.toml", "--full", "--csv", "sheets"]).0 < 2);
    assert!(sheets.join("bar_forces.csv").exists());
    // A sheet of the user's own by one of our names, and one of another name.
    fs::write(sheets.join("ranges.csv"), "my,own\n").unwrap();
    fs::write(sheets.join("mine.csv"), "joint,x_m,y_m,z_m,foot\n").unwrap();
    let (code, _, err) = run(folder.path(), &["check", "store.toml", "--csv", "sheets"]);
    assert!(code < 2, "{err}");
    assert!(
        err.contains("took away what an earlier check had left: bar_forces.csv, displacements.csv"),
        "{err}"
    );
    assert!(err.contains("not of this check, though so named: ranges.csv"), "{err}");
    assert!(!sheets.join("bar_forces.csv").exists() && !sheets.join("displacements.csv").exists());
    assert_eq!(fs::read_to_string(sheets.join("ranges.csv")).unwrap(), "my,own\n");
    assert!(sheets.join("mine.csv").exists() && sheets.join("members.csv").exists());
    // A frame writes less: nothing of the shell stays.
    let frame = folder_with("frame");
    for name in super::names(frame.path()) {
        fs::copy(frame.path().join(&name), folder.path().join(&name)).unwrap();
    }
    let (code, _, err) = run(folder.path(), &["check", "store.toml", "--csv", "sheets"]);
    assert_eq!(code, 0, "{err}");
    assert!(!sheets.join("members.csv").exists() && sheets.join("factors.csv").exists());
    assert!(
        run(folder.path(), &["check", "store.toml", "--csv", "sheets"])
            .2
            .contains("though so named: ranges.csv")
    );
}

/// A name that a spreadsheet would take for a formula is none in any sheet of a plain frame.
#[test]
fn a_name_of_a_frame_is_no_formula() {
    let folder = folder_with("frame");
    let loads = folder.path().join("store_loads.csv");
    let text = fs::read_to_string(&loads).unwrap();
    fs::write(&loads, text.replace("person,", "\"=1+1, \"\"two\"\"\",").replace("push,", "-one,")).unwrap();
    let (code, _, err) = run(folder.path(), &["check", "store.toml", "--csv", "sheets"]);
    assert_eq!(code, 0, "{err}");
    for name in ["displacements.csv", "bar_forces.csv", "reactions.csv"] {
        let mut cases: Vec<String> =
            rows(folder.path(), name).into_iter().map(|row| row["case"].clone()).collect();
        cases.dedup();
        assert_eq!(cases, ["'=1+1, \"two\"", "'-one"], "{name}");
    }
}
