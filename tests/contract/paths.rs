//! `[analysis] kind = "path"` through the command line, on two frames whose answers are known.

use std::fmt::Write as _;
use std::fs;
use std::path::Path;

use serde_json::Value;
use tempfile::TempDir;

use crate::run;

fn project(folder: &Path, joints: &str, bars: &str, section: &str, analysis: &str) {
    let write = |name: &str, text: &str| fs::write(folder.join(name), text).unwrap();
    write("joints.csv", &format!("joint,x,y,z,held\n{joints}"));
    write("bars.csv", &format!("bar,from,to,section,hinges,up_x,up_y,up_z\n{bars}"));
    write("loads.csv", "case,joint,fx,fy,fz,mx,my,mz\npress,crown,0,0,-1,0,0,0\n");
    write(
        "store.toml",
        &format!(
            "[shell]\nform = \"frame\"\njoints = \"joints.csv\"\nbars = \"bars.csv\"\nloads = \"loads.csv\"\n\n\
             [section.A]\n{section}\n[analysis]\nkind = \"path\"\n{analysis}"
        ),
    );
}

fn answer(folder: &Path) -> Value {
    let (code, out, err) = run(folder, &["check", "store.toml", "--json"]);
    assert_eq!(code, 0, "{err}");
    serde_json::from_str(&out).unwrap()
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
}

fn close(what: &str, got: f64, want: f64, relative: f64) {
    assert!((got - want).abs() <= relative * want.abs(), "{what}: {got}, wanted {want}");
}

/// Two hinged bars, half-span 1000, rise 50, EA = 1e6: the limit 47.992524 at the height 28.8555 and every point
/// of the path by the closed form for engineering strain (`tests/published/two_bar_truss.rs`).
#[test]
fn a_two_bar_truss_snaps_at_the_closed_form() {
    let folder = TempDir::new().unwrap();
    let joints = "left,-1000,0,0,x y z\ncrown,0,0,50,y\nright,1000,0,0,x y z\n";
    let bars = "one,left,crown,A,both,,,\ntwo,crown,right,A,both,,,\n";
    let section = "area = 1.0\nelastic = 1e6\n";
    let watch = "watch = { joint = \"crown\", direction = \"z\" }\n";

    project(folder.path(), joints, bars, section, watch);
    let whole = answer(folder.path());
    close("limit factor", number(&whole["limit_factor"]), 47.992_524, 1e-5);
    let points = whole["path"].as_array().unwrap();
    // A hundred steps where nothing is said, beside the start and the points put in at events.
    let events = whole["events"].as_array().unwrap();
    assert!(points.len() > 100, "{}", points.len());
    let first = (1e6_f64 + 2500.0).sqrt();
    for point in points {
        let z = 50.0 + number(&point["watched"]);
        let want = 2e6 * z * (1.0 / z.hypot(1e3) - 1.0 / first);
        let got = number(&point["factor"]);
        // The path goes on far beyond the snap, where the load is large.
        assert!((got - want).abs() < 1e-5 * want.abs().max(48.0), "at height {z}: {got} against {want}");
    }
    assert!(
        points.iter().any(|point| number(&point["watched"]) < -100.0),
        "the path ends before the far side"
    );
    assert_eq!(events[0]["kind"], "limit");
    close("height at the limit", 50.0 + number(&events[0]["watched"]), 28.8555, 1e-2);
    close("lower limit", number(&events[1]["factor"]), -47.992_524, 1e-5);
    assert_eq!(whole["cases"][0]["events"], whole["events"]);
    assert_eq!(whole["cases"][0]["watch"]["joint"], "crown");
    assert_eq!(whole["cases"][0]["path_end"], "steps");

    project(folder.path(), joints, bars, section, &format!("{watch}limit_only = true\n"));
    let short = answer(folder.path());
    close("limit factor alone", number(&short["limit_factor"]), 47.992_524, 1e-5);
    assert_eq!(short["events"].as_array().unwrap().len(), 1);
    assert_eq!(short["cases"][0]["path_end"], "event");
    let reached = short["path"].as_array().unwrap().iter().map(|point| number(&point["watched"]));
    assert!(reached.fold(0.0, f64::min) > -25.0, "it went on past the limit");

    project(folder.path(), joints, bars, section, &format!("{watch}steps = 3\n"));
    assert!(answer(folder.path())["path"].as_array().unwrap().len() <= 3 + 1 + 2);

    // In words, and in a sheet of its own.
    let (code, out, _) = run(folder.path(), &["check", "store.toml", "--csv", "sheets"]);
    assert_eq!(code, 0);
    assert!(out.contains("watching z of joint crown"), "{out}");
    let sheet = fs::read_to_string(folder.path().join("sheets/path.csv")).unwrap();
    let mut rows = sheet.lines().map(|row| row.split(',').collect::<Vec<_>>());
    assert_eq!(rows.next().unwrap(), ["case", "factor", "watched", "unstable"]);
    let start = rows.next().unwrap();
    assert_eq!(start[0], "press");
    for at_rest in &start[1..] {
        assert!(at_rest.parse::<f64>().unwrap() == 0.0, "{sheet}");
    }
}

/// Williams' toggle of rise 0.386: first limit 33.870 at 0.2323, second 31.279 at 0.3914; tolerance 0.3 % (derived
/// figures, `tests/published/williams_toggle.rs`). The rise 0.32 has no limit: `limit_factor` is null.
#[test]
fn williams_toggle_has_two_limits_or_none() {
    for rise in [0.386, 0.32] {
        let folder = TempDir::new().unwrap();
        let pieces = 10_i32;
        let (mut joints, mut bars) = (String::new(), String::new());
        let name = |i: i32| if i == 0 { "crown".to_owned() } else { format!("j{i}") };
        for i in -pieces..=pieces {
            let share = f64::from(i) / f64::from(pieces);
            let held = if i.abs() == pieces { "x y z rx ry rz" } else { "y rx rz" };
            let (x, z) = (12.943 * share, rise * (1.0 - share.abs()));
            writeln!(joints, "{},{x},0,{z},{held}", name(i)).unwrap();
            if i < pieces {
                writeln!(bars, "b{i},{},{},A,,,,", name(i), name(i + 1)).unwrap();
            }
        }
        let (breadth, depth) = (0.753, 0.243_f64);
        let (area, second) = (breadth * depth, breadth * depth.powi(3) / 12.0);
        let section = format!(
            "area = {area}\nsecond_moment_y = {second}\nsecond_moment_z = {second}\ntorsion = {second}\n\
             elastic = 1.03e7\nshear = 4e6\n"
        );
        let watch = "watch = { joint = \"crown\", direction = \"z\" }\n";
        project(folder.path(), &joints, &bars, &section, watch);
        let found = answer(folder.path());
        if rise < 0.35 {
            assert!(found["limit_factor"].is_null() && found.get("limit_factor").is_some());
            assert_eq!(found["events"], serde_json::json!([]));
            continue;
        }
        close("limit factor", number(&found["limit_factor"]), 33.870, 3e-3);
        let events = found["events"].as_array().unwrap();
        for (event, (factor, at)) in events.iter().zip([(33.870, -0.2323), (31.279, -0.3914)]) {
            assert_eq!(event["kind"], "limit");
            close("limit", number(&event["factor"]), factor, 3e-3);
            close("at", number(&event["watched"]), at, 1e-2);
        }
    }
}
