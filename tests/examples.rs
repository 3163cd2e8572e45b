//! The examples come out as the remarks at their heads promise: the line "Comes out: …" of each file
//! is read and held against what the program finds.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test says what it found by panicking"
)]

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::{Mutex, OnceLock};

use serde_json::Value;

struct Example {
    text: String,
    code: i32,
    found: Value,
}

/// The names of all the examples.
fn names() -> Vec<String> {
    let paths = fs::read_dir(folder()).unwrap().map(|entry| entry.unwrap().path());
    let mut names: Vec<String> = paths
        .filter(|path| path.extension().is_some_and(|ending| ending == "toml"))
        .map(|path| path.file_stem().unwrap().to_str().unwrap().to_owned())
        .collect();
    names.sort();
    assert!(names.len() >= 9, "the examples have moved");
    names
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("examples")
}

fn check(path: &Path) -> Example {
    let (code, out) = run(&["check", path.to_str().unwrap(), "--json"]);
    let found = serde_json::from_str(&out).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    Example { text: fs::read_to_string(path).unwrap(), code, found }
}

fn run(arguments: &[&str]) -> (i32, String) {
    let output =
        Command::new(env!("CARGO_BIN_EXE_strutwise")).args(arguments).stdin(Stdio::null()).output().unwrap();
    (output.status.code().unwrap(), String::from_utf8(output.stdout).unwrap())
}

/// An example and its answer, worked out once however many tests ask.
fn example(name: &str) -> &'static Example {
    static KNOWN: Mutex<BTreeMap<String, &'static OnceLock<Example>>> = Mutex::new(BTreeMap::new());
    let known: &'static OnceLock<Example> =
        KNOWN.lock().unwrap().entry(name.to_owned()).or_insert_with(|| Box::leak(Box::default()));
    known.get_or_init(|| check(&folder().join(format!("{name}.toml"))))
}

/// The answer to an example of another text.
fn found_of(text: &str) -> Value {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("other.toml");
    fs::write(&path, text).unwrap();
    check(&path).found
}

fn model<'a>(found: &'a Value, name: &str) -> &'a Value {
    found["models"].as_array().unwrap().iter().find(|model| model["name"] == name).unwrap()
}

/// The greatest utilisation of a kind of thing ("timber", "fixing", "foot") in the list of the worst.
fn worst(found: &Value, what: &str) -> f64 {
    let rows = found["worst_list"].as_array().unwrap().iter().filter(|row| row["what"] == what);
    rows.map(|row| row["utilisation"].as_f64().unwrap()).fold(0.0, f64::max)
}

fn total(rows: &Value) -> [f64; 3] {
    [0, 1, 2].map(|axis| rows[axis].as_f64().unwrap())
}

#[test]
fn every_example_says_what_it_shows_and_comes_out_so() {
    for name in names() {
        let Example { text, code, found } = example(&name);
        let head: Vec<&str> = text.lines().take_while(|line| line.starts_with('#')).collect();
        let head = head.join(" ").replace(" #", "");
        assert!(head.contains("It shows"), "{name} does not say what it shows");
        assert!(head.contains("made up"), "{name} does not say that its values are made up");
        if found["analysis"].is_string() {
            assert_eq!((*code, &found["verdict"]), (0, &Value::from("computed")), "{name}");
            continue;
        }
        let promise = head.split("Comes out: ").nth(1).unwrap_or_else(|| panic!("{name} promises nothing"));
        let promise = promise.split('.').next().unwrap();
        let verdict = promise.split(',').next().unwrap();
        assert_eq!(found["verdict"], verdict, "{name}: {}", found["headline"]);
        assert_eq!(found["rests_on_seams"], promise.contains("rests on the seams"), "{name}");
        let expected = match verdict {
            "within" | "near" => 0,
            _ => 1,
        };
        assert_eq!(*code, expected, "{name}");
        what_is_applied_is_carried(&name, found);
    }
}

fn what_is_applied_is_carried(name: &str, found: &Value) {
    for case in found["cases"].as_array().unwrap() {
        let applied = total(&case["applied"]);
        let size = applied.iter().fold(1.0_f64, |most, force| most.max(force.abs()));
        for (model, reactions) in case["reactions"].as_object().unwrap() {
            for (force, reaction) in applied.iter().zip(total(reactions)) {
                assert!(
                    (force + reaction).abs() < 1e-9 * size,
                    "{name}, {}, {model}: {force} applied, {reaction} carried",
                    case["name"]
                );
            }
        }
    }
}

#[test]
fn a_wider_and_longer_tunnel_is_the_same_tunnel_worked_harder() {
    let [small, large] = ["propagation-tunnel", "wider-longer-tunnel"].map(example);
    // Nothing differs but name, radius and bands.
    let without = |text: &str| -> Vec<String> {
        let project = &text[text.find("[project]").unwrap()..];
        let dull = |line: &&str| !["name ", "radius ", "bands "].iter().any(|key| line.starts_with(key));
        project.lines().filter(dull).map(str::to_owned).collect()
    };
    assert_eq!(without(&small.text), without(&large.text));
    for what in ["timber", "fixing", "foot"] {
        assert!(worst(&large.found, what) > 1.0, "{what} of the large one");
        assert!(worst(&small.found, what) < 1.0, "{what} of the small one");
    }
}

#[test]
fn the_ends_of_the_short_tunnel_hold_its_middle() {
    let found = &example("propagation-tunnel").found;
    for name in ["pinned", "seam", "rigid"] {
        let model = model(found, name);
        assert_eq!(model["mechanisms"], 0);
        assert_eq!(model["verdict"], "within", "{name}");
    }
}

#[test]
fn only_stiff_joints_keep_the_cider_shed_up() {
    let found = &example("cider-shed-barrel").found;
    let pinned = model(found, "pinned");
    assert_eq!((&pinned["verdict"], &pinned["mechanisms"]), (&"unstable".into(), &0.into()));
    // Within its limits, and no better than near as no fixings are entered.
    assert_eq!(model(found, "rigid")["verdict"], "near");
    let path = folder().join("cider-shed-barrel.toml");
    let (code, text) = run(&["check", path.to_str().unwrap()]);
    assert_eq!(code, 1);
    let rests = text.find("rests on the stiffness of the seams").expect("the answer says so");
    assert!(rests < text.find("Worked hardest").unwrap(), "and says so before any number");
}

#[test]
fn two_rows_of_feet_that_pull_against_each_other_are_warned_of() {
    let warned = |name: &str| {
        let warnings = example(name).found["warnings"].as_array().unwrap();
        warnings.iter().any(|w| w.as_str().unwrap().starts_with("Two rows of feet"))
    };
    // Staggered barrels stand on two rows; the plain one on one, and a domed end on none.
    for (name, wanted) in [
        ("cider-shed-barrel", true),
        ("fruit-cage-barrel", true),
        ("potting-shed-barrel", false),
        ("apple-store-dome", false),
    ] {
        assert_eq!(warned(name), wanted, "{name}");
    }
}

#[test]
fn the_fruit_cage_folds_where_its_seams_turn_freely() {
    let Example { text, found, .. } = example("fruit-cage-barrel");
    let pinned = model(found, "pinned");
    assert_eq!(pinned["verdict"], "unstable");
    let ways = pinned["mechanisms"].as_u64().unwrap();
    assert!(ways >= 1);
    let shapes = pinned["mechanism_shapes"].as_array().unwrap();
    assert!(!shapes.is_empty(), "the motion is shown");
    assert_eq!(model(found, "rigid")["mechanisms"], 0);
    assert_eq!(model(found, "rigid")["verdict"], "near", "as no fixings are entered");
    // As long as its ends are open: framed, the same barrel is no mechanism.
    let framed = text
        .replace(r#"["open", "open"]"#, "[\"framed\", \"framed\"]\nstuds = 3\nsill = true")
        .replace(r#""open"   #"#, r#""closed" #"#);
    assert_eq!(model(&found_of(&framed), "pinned")["mechanisms"], 0);
}

#[test]
fn the_door_of_the_potting_shed_takes_panels_and_doubles_its_rim() {
    let Example { text, found, .. } = example("potting-shed-barrel");
    let door = text.find("[[shell.opening]]").unwrap()..text.find("[timber]").unwrap();
    let mut closed = text.clone();
    closed.replace_range(door, "");
    let closed = found_of(&closed);
    let panels = |found: &Value| found["counts"]["panels"].as_u64().unwrap();
    assert!(panels(found) < panels(&closed));
    let doubled = |found: &Value| {
        let members = found["members"].as_array().unwrap();
        members.iter().filter(|m| m["id"].as_str().unwrap().starts_with('r') && m["strips"] == 2).count()
    };
    assert_eq!(doubled(&closed), 0);
    assert!(doubled(found) >= 3, "a door has a rim of at least three timbers");
    let case_names = |found: &Value| -> Vec<String> {
        let cases = found["cases"].as_array().unwrap();
        cases.iter().map(|case| case["name"].as_str().unwrap().to_owned()).collect()
    };
    assert!(case_names(found).iter().any(|name| name.contains("door open")));
}

#[test]
fn the_us_dome_answers_in_feet_and_pounds_and_by_the_nds() {
    let found = &example("grafting-dome-us").found;
    assert_eq!(found["basis"], "us-lrfd");
    let (code, text) = run(&["check", folder().join("grafting-dome-us.toml").to_str().unwrap()]);
    assert_eq!(code, 0);
    assert!(text.contains("14 ft"), "{text}");
    assert!(text.contains("NDS"), "{text}");
    assert!(!text.contains(" kN"), "{text}");
}

#[test]
fn the_own_mesh_has_the_joints_and_panels_of_its_file() {
    let found = &example("bee-shelter-mesh").found;
    let mesh = fs::read_to_string(folder().join("bee-shelter.obj")).unwrap();
    let lines = |start: &str| mesh.lines().filter(|line| line.starts_with(start)).count();
    assert_eq!(found["counts"]["joints"], lines("v "));
    assert_eq!(found["counts"]["panels"], lines("f "));
}

#[test]
fn the_legs_of_the_ladder_stand_share_what_it_carries() {
    let found = &example("ladder-stand-frame").found;
    let sheet = fs::read_to_string(folder().join("ladder-stand-loads.csv")).unwrap();
    for case in found["cases"].as_array().unwrap() {
        let name = case["name"].as_str().unwrap();
        let loads = sheet.lines().filter(|line| line.starts_with(&format!("{name},")));
        let asked = loads.fold([0.0; 3], |sum, line| {
            let cells: Vec<&str> = line.split(',').collect();
            [0, 1, 2].map(|axis| sum[axis] + cells[axis + 2].parse::<f64>().unwrap())
        });
        assert!(asked.iter().any(|force| *force != 0.0), "{name} carries something");
        let reactions = case["reactions"].as_object().unwrap();
        for (axis, asked) in asked.iter().enumerate() {
            let carried: f64 = reactions.values().map(|reaction| reaction[axis].as_f64().unwrap()).sum();
            assert!((carried + asked).abs() < 1e-9, "{name}: {asked} asked, {carried} carried");
        }
        // Four equal legs about a square: a weight at the top is shared in quarters.
        if name == "person" {
            for reaction in reactions.values() {
                approx::assert_relative_eq!(reaction[2].as_f64().unwrap(), 250.0, max_relative = 1e-9);
            }
        }
    }
}

#[test]
fn the_ranges_of_the_pear_store_are_told_and_its_embedded_input_gives_the_same_again() {
    let Example { text, found, .. } = example("pear-store-ranges");
    let ranges = &found["ranges"];
    let keys: Vec<&str> =
        ranges["inputs"].as_array().unwrap().iter().map(|input| input["key"].as_str().unwrap()).collect();
    assert_eq!(keys, ["joints.seam_stiffness", "cover.weight", "snow.ground"]);
    assert_eq!(ranges["inputs"][2]["low"], 400.0);
    let corners = ranges["corners"].as_array().unwrap();
    assert_eq!((corners.len(), ranges["within"].as_array().unwrap().len()), (8, 4));
    assert_eq!(corners[1]["ends"], serde_json::json!(["low", "low", "high"]));
    // The document is that of the worst point.
    let points = corners.iter().chain(ranges["within"].as_array().unwrap());
    let worst = points.into_iter().find(|point| point["id"] == ranges["worst"]).unwrap();
    assert_eq!(worst["verdict"], found["verdict"]);
    let seam = |models: &Value| models.as_array().unwrap().iter().position(|m| m["name"] == "seam").unwrap();
    let timber = &worst["models"][seam(&worst["models"])]["timber"];
    assert_eq!(timber, &model(found, "seam")["worst"]["utilisation"]);
    assert_eq!(found["input_text"], Value::from(text.as_str()));
    assert_eq!(&found_of(found["input_text"].as_str().unwrap()), found);
}

/// The texts of a drawing of names, without what frames them.
fn drawn_names(example: &str, view: &str) -> Vec<String> {
    let place = tempfile::tempdir().unwrap();
    let file = place.path().join("names.svg");
    let path = folder().join(format!("{example}.toml"));
    let (path, file) = (path.to_str().unwrap(), file.to_str().unwrap());
    let (code, _) = run(&["draw", path, "--show", "ids", "--view", view, "-o", file]);
    assert_eq!(code, 0, "{example} {view}");
    let svg = fs::read_to_string(file).unwrap();
    svg.split("</text>").filter_map(|part| part.rsplit_once('>')).map(|(_, text)| text.to_owned()).collect()
}

/// No view leaves a name out for want of room, and the surface laid flat has every one of them.
#[test]
fn every_name_finds_room_on_its_drawing() {
    for name in names().iter().filter(|name| !name.starts_with("ladder")) {
        let long = name.starts_with("wider");
        let views: &[&str] =
            if long { &["plan", "end", "side", "isometric", "unrolled"] } else { &["isometric", "unrolled"] };
        for view in views {
            let drawn = drawn_names(name, view);
            assert!(!drawn.iter().any(|text| text.contains("no room")), "{name} {view}: {drawn:?}");
            if *view != "unrolled" {
                continue;
            }
            for list in ["joints", "members"] {
                for item in example(name).found[list].as_array().unwrap() {
                    let id = item["id"].as_str().unwrap();
                    assert!(drawn.iter().any(|text| text == id), "{name}: {id} is not drawn");
                }
            }
        }
    }
}
