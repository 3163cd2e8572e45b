//! The keys of the JSON document that others rely on: each is there and of its type.
//!
//! What is wanted is written as JSON of words: `"text"`, `"number"`, `"count"`, `"flag"`; `"?number"` may be null;
//! `["vector", n]` is n numbers; `[shape]` a list; `{"*": shape}` a map by name. A key in the shape must be in
//! the document; the document may have more.

use std::fs;
use std::path::Path;

use serde_json::{Value, json};

use crate::{folder_with, run};

/// Complains of everything in `value` that is not as `shape` says.
fn fit(value: &Value, shape: &Value, at: &str, complaints: &mut Vec<String>) {
    let mut wrong = |what: &str| {
        let found: String = value.to_string().chars().take(60).collect();
        complaints.push(format!("{at}: wanted {what}, found {found}"));
    };
    match shape {
        Value::String(word) => {
            let (may_be_null, word) =
                word.strip_prefix('?').map_or((false, word.as_str()), |word| (true, word));
            let fits = match word {
                "text" => value.is_string(),
                "words" => value.as_str().is_some_and(|text| !text.is_empty()),
                "number" => value.is_number(),
                "count" => value.is_u64(),
                "flag" => value.is_boolean(),
                other => other.split('|').any(|choice| value == choice),
            };
            if !(fits || may_be_null && value.is_null()) {
                wrong(word);
            }
        }
        Value::Array(parts) if parts.first().is_some_and(|part| part == "vector") => {
            let length = usize::try_from(parts[1].as_u64().unwrap()).unwrap();
            if !value.as_array().is_some_and(|v| v.len() == length && v.iter().all(Value::is_number)) {
                wrong(&format!("{length} numbers"));
            }
        }
        Value::Array(parts) => {
            let Some(list) = value.as_array() else { return wrong("a list") };
            for (n, item) in list.iter().enumerate() {
                fit(item, &parts[0], &format!("{at}[{n}]"), complaints);
            }
        }
        Value::Object(keys) => {
            let Some(map) = value.as_object() else { return wrong("an object") };
            for (key, shape) in keys {
                if key == "*" {
                    for (name, item) in map {
                        fit(item, shape, &format!("{at}.{name}"), complaints);
                    }
                } else if key == "?" {
                    // An object that may be null is written {"?": shape}; see below.
                } else if let Some(item) = map.get(key) {
                    match shape.get("?") {
                        Some(_) if item.is_null() => {}
                        Some(shape) => fit(item, shape, &format!("{at}.{key}"), complaints),
                        None => fit(item, shape, &format!("{at}.{key}"), complaints),
                    }
                } else {
                    complaints.push(format!("{at}.{key}: is not there"));
                }
            }
        }
        _ => unreachable!("no such shape"),
    }
}

fn holds(value: &Value, shape: &Value, what: &str) {
    let mut complaints = Vec::new();
    fit(value, shape, what, &mut complaints);
    complaints.truncate(12);
    assert!(complaints.is_empty(), "{}", complaints.join("\n"));
}

/// The agreed document of a shell.
fn shell_shape() -> Value {
    let worst = json!({"utilisation": "number", "rule": "words", "clause": "text", "combination": "words",
                       "model": "pinned|seam|rigid|semi-rigid"});
    let mut with_member = worst.clone();
    with_member["member"] = json!("words");
    let vector = json!(["vector", 3]);
    json!({
        "strutwise": "words", "project": "text", "basis": "eurocode|us-lrfd|us-asd", "indicative": "words",
        "verdict": "within|near|over|unstable",
        "finished_verdict": "within|near|over|unstable", "rests_on_seams": "flag", "rests_on_feet": "flag",
        "not_in_it": ["text"],
        "counts": {"joints": "count", "members": "count", "panels": "count", "seams": "count", "rims": "count",
                   "feet": "count", "ridge_seams": "count", "valley_seams": "count"},
        "joints": [{"id": "words", "at": vector, "foot": "flag"}],
        "members": [{"id": "words", "joints": ["words"], "length": "number", "fold_deg": "number",
                     "strips": "count", "area": "number", "worst": {"?": worst}}],
        "cases": [{"name": "words", "kind": "self|cover|snow|wind|imposed|user", "asked": vector,
                   "applied": vector, "reactions": {"*": vector}}],
        "combinations": [{"name": "words", "factors": {"*": "number"}}],
        "models": [{"name": "pinned|seam|rigid|semi-rigid", "mechanisms": "count",
                    "buckling": {"?": {"factor": "?number", "combination": "text"}},
                    "worst": {"?": with_member}}],
        "feet": [{"joint": "words", "uplift": "number", "down": "number", "slide": "number",
                  "combination": {"*": "text"}}],
        "warnings": ["text"],
    })
}

fn checked(folder: &Path, arguments: &[&str]) -> Value {
    let mut all = vec!["check", "store.toml", "--json"];
    all.extend(arguments);
    let (code, out, err) = run(folder, &all);
    assert!(code < 2, "{err}");
    let document: Value = serde_json::from_str(&out).unwrap();
    let over = matches!(document["verdict"].as_str(), Some("over" | "unstable"));
    assert_eq!(code, i32::from(over), "the exit code is the verdict's");
    document
}

fn length(value: &Value) -> usize {
    value.as_array().unwrap().len()
}

#[test]
fn a_shell_s_document_has_every_agreed_key() {
    for form in ["dome", "tunnel", "barrel", "mesh"] {
        let folder = folder_with(form);
        let document = checked(folder.path(), &[]);
        holds(&document, &shell_shape(), form);
        let counts = &document["counts"];
        for list in ["joints", "members", "panels"] {
            assert_eq!(counts[list], length(&document[list]), "{form}: {list}");
        }
        let feet = document["joints"].as_array().unwrap().iter().filter(|joint| joint["foot"] == true);
        assert_eq!(counts["feet"], feet.count(), "{form}");
        // Names lead from list to list.
        let names = |list: &str, key: &str| -> std::collections::BTreeSet<String> {
            let items = document[list].as_array().unwrap().iter();
            items.map(|item| item[key].as_str().unwrap().to_owned()).collect()
        };
        let (joints, combinations, cases, models) = (
            names("joints", "id"),
            names("combinations", "name"),
            names("cases", "name"),
            names("models", "name"),
        );
        assert_eq!(joints.len(), length(&document["joints"]), "{form}: a joint's name is its own");
        for member in document["members"].as_array().unwrap() {
            assert_eq!(length(&member["joints"]), 2);
            for end in member["joints"].as_array().unwrap() {
                assert!(joints.contains(end.as_str().unwrap()), "{form}: {end}");
            }
            if let Some(combination) = member["worst"]["combination"].as_str() {
                assert!(combinations.contains(combination), "{form}: {combination}");
            }
        }
        for combination in document["combinations"].as_array().unwrap() {
            for case in combination["factors"].as_object().unwrap().keys() {
                assert!(cases.contains(case), "{form}: {case}");
            }
        }
        for model in document["models"].as_array().unwrap() {
            // A model that is no mechanism has its reactions in every case, and its worst timber.
            let solved = model["mechanisms"] == 0;
            assert_eq!(!model["worst"].is_null(), solved, "{form}: {}", model["name"]);
            assert_eq!(!model["buckling"].is_null(), solved, "{form}: {}", model["name"]);
            for case in document["cases"].as_array().unwrap() {
                let name = model["name"].as_str().unwrap();
                assert_eq!(case["reactions"].get(name).is_some(), solved, "{form}: {name}");
            }
        }
        assert!(models.contains("pinned") && models.contains("rigid"), "{form}: {models:?}");
        // Without --full there is no bulk.
        assert!(document["models"][0].get("displacements").is_none(), "{form}");
    }
}

/// Where the only model is a mechanism nothing was worked out of the feet, and nothing is told of them: no nought, no drawing.
#[test]
fn of_a_mechanism_alone_no_foot_has_a_figure() {
    let folder = tempfile::TempDir::new().unwrap();
    let example = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/fruit-cage-barrel.toml");
    let text = fs::read_to_string(example).unwrap().replace(r#"["pinned", "rigid"]"#, r#"["pinned"]"#);
    fs::write(folder.path().join("store.toml"), text).unwrap();
    let document = checked(folder.path(), &[]);
    holds(&document, &shell_shape(), "mechanism");
    assert_eq!((&document["verdict"], &document["feet"]), (&json!("unstable"), &json!([])));
    assert_ne!(document["counts"]["feet"], 0);
    let (_, out, _) = run(folder.path(), &["check", "store.toml"]);
    assert!(out.contains("was not worked out") && !out.contains("0 kN"), "{out}");
    let draw = ["draw", "store.toml", "-o", "a.svg", "--show", "reactions", "--view", "plan"];
    let (code, _, err) = run(folder.path(), &draw);
    assert!(code == 2 && err.contains("no model could be solved"), "{code} {err}");
    let (_, _, err) = run(folder.path(), &["notes", "store.toml", "-o", "a.md"]);
    let notes = fs::read_to_string(folder.path().join("a.md")).expect(&err);
    assert!(notes.contains("No reactions could be worked out."), "{err}");
}

#[test]
fn full_adds_displacements_and_bar_forces_case_by_case() {
    let folder = folder_with("dome");
    let document = checked(folder.path(), &["--full"]);
    holds(&document, &shell_shape(), "dome");
    let six = json!(["vector", 6]);
    let shape =
        json!({"displacements": {"*": {"*": six}}, "bar_forces": {"*": {"*": {"from": six, "to": six}}}});
    for model in document["models"].as_array().unwrap().iter().filter(|model| model["mechanisms"] == 0) {
        holds(model, &shape, "model");
        for case in document["cases"].as_array().unwrap() {
            let name = case["name"].as_str().unwrap();
            let moved = model["displacements"][name].as_object().unwrap();
            assert_eq!(moved.len(), length(&document["joints"]));
            assert_eq!(model["bar_forces"][name].as_object().unwrap().len(), length(&document["members"]));
        }
    }
}

/// The agreed document of a plain frame, without what a kind of analysis adds.
fn frame_shape() -> Value {
    let six = json!(["vector", 6]);
    let case = json!({
        "displacements": {"*": six}, "bar_forces": {"*": {"from": six, "to": six}}, "reactions": {"*": six}
    });
    let mut named = case.clone();
    named["name"] = json!("words");
    json!({
        "strutwise": "words", "project": "text", "indicative": "words", "warnings": ["text"], "cases": [named],
        // The same by the name of the case.
        "displacements": {"*": case["displacements"]}, "bar_forces": {"*": case["bar_forces"]},
        "reactions": {"*": case["reactions"]},
    })
}

/// A plain frame of one section, with a line of `[shell]` that names its loads, and what else stands behind.
fn frame_project(loads: &str, more: &str) -> String {
    format!(
        "[shell]\nform = \"frame\"\njoints = \"joints.csv\"\nbars = \"bars.csv\"\n{loads}\n\n\
         [section.A]\narea = 0.0035\nsecond_moment_y = 1.6e-6\nsecond_moment_z = 6.5e-7\ntorsion = 1.5e-6\n\
         elastic = 11e9\nshear = 0.69e9\ndensity = 420\n{more}"
    )
}

/// The starter's frame under another analysis.
fn analysed(analysis: &str) -> Value {
    let folder = folder_with("frame");
    let path = folder.path().join("store.toml");
    let text = fs::read_to_string(&path).unwrap();
    let (before, _) = text.split_once("[analysis]").unwrap();
    fs::write(&path, format!("{before}[analysis]\n{analysis}\n")).unwrap();
    let document = checked(folder.path(), &[]);
    holds(&document, &frame_shape(), analysis);
    for case in document["cases"].as_array().unwrap() {
        let name = case["name"].as_str().unwrap();
        for key in ["displacements", "bar_forces", "reactions"] {
            assert!(!case[key].as_object().unwrap().is_empty(), "{analysis}: {key}");
            assert_eq!(document[key][name], case[key], "{analysis}: {key}");
        }
    }
    document
}

#[test]
fn a_plain_frame_s_document_has_every_agreed_key_by_kind_of_analysis() {
    let names = |document: &Value| -> Vec<String> {
        let cases = document["cases"].as_array().unwrap().iter();
        cases.map(|case| case["name"].as_str().unwrap().to_owned()).collect()
    };
    let linear = analysed("kind = \"linear\"");
    let cases = names(&linear);
    assert!(!cases.is_empty());
    for key in ["buckling_factors", "frequencies_hz", "path"] {
        assert!(linear.get(key).is_none(), "{key}");
    }
    let second = analysed("kind = \"second-order\"");
    assert_eq!(names(&second), cases);
    assert_ne!(second["displacements"], linear["displacements"], "the loads press the legs");

    let buckling = analysed(&format!("kind = \"buckling\"\ncase = \"{}\"\ncount = 3", cases[0]));
    assert_eq!(names(&buckling), cases[..1]);
    holds(
        &buckling,
        &json!({"buckling_factors": ["number"], "cases": [{"buckling_factors": ["number"]}]}),
        "buckling",
    );
    assert_eq!(length(&buckling["buckling_factors"]), 3);

    let modes = analysed("kind = \"modes\"\ncount = 4");
    holds(&modes, &json!({"frequencies_hz": ["number"]}), "modes");
    assert_eq!(length(&modes["frequencies_hz"]), 4);

    let joint = linear["displacements"][&cases[0]].as_object().unwrap().iter();
    let (joint, _) = joint
        .max_by(|a, b| a.1[2].as_f64().unwrap().abs().total_cmp(&b.1[2].as_f64().unwrap().abs()))
        .unwrap();
    for limit_only in [false, true] {
        let path = analysed(&format!(
            "kind = \"path\"\ncase = \"{}\"\nwatch = {{ joint = \"{joint}\", direction = \"z\" }}\nsteps = 5\nlimit_only = {limit_only}",
            cases[0]
        ));
        let shape = json!({"path": [{"factor": "number", "watched": "number"}], "limit_factor": "?number"});
        holds(&path, &shape, "path");
        holds(&path["cases"][0], &shape, "path of the case");
        assert!(length(&path["path"]) > 1);
    }
}

#[test]
fn a_frame_of_bars_alone_and_a_mechanism_keep_the_keys() {
    let folder = tempfile::TempDir::new().unwrap();
    let write = |name: &str, text: &str| fs::write(folder.path().join(name), text).unwrap();
    write("joints.csv", "joint,x,y,z,held\na,0,0,0,x y z\nb,2,0,0,x y z\nc,1,0,1,y\n");
    write("bars.csv", "bar,from,to,section,hinges,up_x,up_y,up_z\none,a,c,A,both,,,\ntwo,b,c,A,both,,,\n");
    write("loads.csv", "case,joint,fx,fy,fz,mx,my,mz\nload,c,0,0,-100,0,0,0\n");
    let project = frame_project("loads = \"loads.csv\"", "");
    write("store.toml", &project);
    let document = checked(folder.path(), &[]);
    holds(&document, &frame_shape(), "truss");
    // By hand: two bars at 45 degrees carry 100 N: each 100/(2 sin 45°), in compression.
    let force = document["bar_forces"]["load"]["one"]["from"][0].as_f64().unwrap();
    assert!((force + 50.0 * 2.0_f64.sqrt()).abs() < 1e-9, "{force}");
    // Without what holds it sideways it turns about the line of its feet: a finding, exit code 1.
    write("joints.csv", "joint,x,y,z,held\na,0,0,0,x y z\nb,2,0,0,x y z\nc,1,0,1,\n");
    let document = checked(folder.path(), &[]);
    holds(&document, &frame_shape(), "mechanism");
    assert_eq!((&document["verdict"], &document["mechanisms"]), (&json!("unstable"), &json!(1)));
}

/// What the notes find by trying stands in JSON and in sheets for the asking, and nowhere else.
#[test]
fn reserves_and_the_curve_of_the_seams_are_there_for_the_asking() {
    let folder = folder_with("dome");
    let plain = checked(folder.path(), &["--csv", "plain"]);
    let asked = checked(folder.path(), &["--reserves", "--csv", "asked"]);
    for (key, sheet) in [("reserves", "reserves.csv"), ("seam_curve", "seam_curve.csv")] {
        assert_eq!(length(&plain[key]), 0, "{key}");
        assert!(length(&asked[key]) > 1, "{key}");
        let lines =
            |name: &str| fs::read_to_string(folder.path().join(name).join(sheet)).unwrap().lines().count();
        assert_eq!((lines("plain"), lines("asked")), (1, 1 + length(&asked[key])), "{key}");
    }
    let (_, _, err) = run(folder.path(), &["check", "store.toml", "--reserves"]);
    assert!(err.contains("--reserves adds to --json and --csv alone"), "{err}");
}

#[test]
fn every_number_reads_back_to_the_same_bits_and_none_is_missing() {
    // A document that is read and written again is the same document, number by number.
    let folder = folder_with("barrel");
    let (_, out, _) = run(folder.path(), &["check", "store.toml", "--json", "--full"]);
    let document: Value = serde_json::from_str(&out).unwrap();
    assert_eq!(
        serde_json::to_value(serde_json::from_str::<Value>(&document.to_string()).unwrap()).unwrap(),
        document
    );
    assert!(!out.contains("NaN") && !out.contains("inf,"));
}

#[test]
fn the_schemas_are_printed() {
    let folder = tempfile::TempDir::new().unwrap();
    for (arguments, keys) in [
        (&["schema"][..], &["verdict", "counts", "members", "models", "feet"][..]),
        (
            &["schema", "frame"][..],
            &["displacements", "bar_forces", "reactions", "frequencies_hz", "path"][..],
        ),
    ] {
        let (code, out, err) = run(folder.path(), arguments);
        assert_eq!((code, err.as_str()), (0, ""));
        let schema: Value = serde_json::from_str(&out).unwrap();
        assert!(schema["$schema"].as_str().unwrap().contains("2020-12"));
        for key in keys {
            assert!(schema["properties"].get(key).is_some(), "{key}");
        }
    }
}

/// Figures of a plain frame on a screen have names and units, and a caution that says who decides.
#[test]
fn what_is_told_of_a_frame_has_names_and_units() {
    let folder = folder_with("frame");
    let path = folder.path().join("store.toml");
    let text = fs::read_to_string(&path).unwrap();
    let (before, _) = text.split_once("[analysis]").unwrap();
    let told = |analysis: &str| {
        fs::write(&path, format!("{before}[analysis]\n{analysis}\n")).unwrap();
        let (code, out, err) = run(folder.path(), &["check", "store.toml"]);
        assert_eq!(code, 0, "{err}");
        out
    };
    let plain = told("kind = \"linear\"");
    let reaction = plain.lines().find(|line| line.contains("reaction at")).unwrap();
    for part in ["Fx ", "Fy ", "Fz ", " kN; Mx ", "My ", "Mz ", " kN m"] {
        assert!(reaction.contains(part), "{reaction}");
    }
    let words = plain.split_whitespace().collect::<Vec<_>>().join(" ");
    for part in ["Local codes", "the building authority", "a licensed engineer"] {
        assert!(words.contains(part), "{plain}");
    }
    let linear = analysed("kind = \"linear\"");
    let case = linear["cases"][0]["name"].as_str().unwrap();
    let joint = linear["displacements"][case].as_object().unwrap().keys().next_back().unwrap().clone();
    let events = |direction: &str| {
        let watch = format!("watch = {{ joint = \"{joint}\", direction = \"{direction}\" }}");
        let out = told(&format!("kind = \"path\"\ncase = \"{case}\"\n{watch}\nsteps = 200"));
        out.lines().filter(|line| line.contains("watched movement")).map(str::to_owned).collect::<Vec<_>>()
    };
    for (direction, unit) in [("z", " mm"), ("rx", " rad")] {
        let told = events(direction);
        assert!(!told.is_empty() && told.iter().all(|line| line.ends_with(unit)), "{told:?}");
    }
}

/// A beam of 4 m under 3 kN/m bends most in its middle, by w L²/8, where no joint is: JSON, sheet and text say so.
#[test]
fn forces_between_the_ends_of_a_bar_are_told() {
    let folder = tempfile::TempDir::new().unwrap();
    let write = |name: &str, text: &str| fs::write(folder.path().join(name), text).unwrap();
    write("joints.csv", "joint,x,y,z,held\na,0,0,0,x y z rx\nb,4,0,0,y z\n");
    write("bars.csv", "bar,from,to,section,hinges,up_x,up_y,up_z\nbeam,a,b,A,,,,\n");
    write("lines.csv", "case,bar,start,end,wx,wy,wz\nload,beam,,,0,0,-3000\n");
    let project = frame_project("bar_loads = \"lines.csv\"", "");
    write("store.toml", &project);
    let document = checked(folder.path(), &["--csv", "sheets"]);
    let places = document["cases"][0]["along"]["beam"].as_array().unwrap();
    let number = |value: &Value| value.as_f64().unwrap();
    let most =
        places.iter().max_by(|a, b| number(&a["forces"][4]).abs().total_cmp(&number(&b["forces"][4]).abs()));
    let most = most.unwrap();
    assert!(
        (number(&most["x"]) - 2.0).abs() < 1e-9 && (number(&most["forces"][4]).abs() - 6000.0).abs() < 1e-6,
        "{most}"
    );
    assert!(number(&most["forces"][2]).abs() < 1e-6, "no shear there");
    let sheet = fs::read_to_string(folder.path().join("sheets/along_bars.csv")).unwrap();
    assert_eq!(sheet.lines().count(), 1 + places.len());
    let (_, text, _) = run(folder.path(), &["check", "store.toml"]);
    assert!(
        text.contains("largest moment: bar beam, 6 kN m about its y, 2 m from its first joint"),
        "{text}"
    );
}

/// A column pressed by more than its Euler load has no second-order equilibrium: it is unstable, which is a finding and no fault of the input;
/// a case that presses it less is answered beside it.
#[test]
fn a_frame_beyond_its_buckling_load_is_unstable() {
    let folder = tempfile::TempDir::new().unwrap();
    let write = |name: &str, text: &str| fs::write(folder.path().join(name), text).unwrap();
    write("joints.csv", "joint,x,y,z,held\na,0,0,0,x y z rz\nb,0,0,4,x y\n");
    write("bars.csv", "bar,from,to,section,hinges,up_x,up_y,up_z\ncolumn,a,b,A,,,,\n");
    // Euler: π²·11e9·6.5e-7/16 = 4.41 kN.
    write("loads.csv", "case,joint,fx,fy,fz,mx,my,mz\nless,b,0,0,-2000,0,0,0\nmore,b,0,0,-6000,0,0,0\n");
    let project = frame_project("loads = \"loads.csv\"", "[analysis]\nkind = \"second-order\"\n");
    write("store.toml", &project);
    let document = checked(folder.path(), &[]);
    assert_eq!(document["verdict"], json!("unstable"));
    assert!(!document["displacements"]["less"].as_object().unwrap().is_empty());
    assert!(document["displacements"]["more"].as_object().unwrap().is_empty());
    let (code, text, err) = run(folder.path(), &["check", "store.toml"]);
    assert_eq!(code, 1);
    assert!(
        text.contains("no second-order equilibrium") && err.contains("case more: the load is beyond"),
        "{text} {err}"
    );
}
