//! Random rarer things: who and where, water in the cover, points on panels, loads by name and from a sheet, stages
//! of the assembly.
//!
//! Names are those of a made shell (`j5`, `p3`, `s2`); [`renamed`] puts those of a mesh in their place.

use std::fmt::Write;

use proptest::prelude::*;

use super::written::Written;

/// The file of loads that a case may name.
pub(crate) const SHEET: &str = "loads.csv";

/// A value now and then.
fn rarely<S: Strategy>(strategy: S) -> impl Strategy<Value = Option<S::Value>> {
    prop::option::weighted(0.12, strategy)
}

/// What `[project]` says beside name and basis.
pub(crate) fn heading() -> impl Strategy<Value = String> {
    (rarely(prop::sample::select(vec!["metric", "imperial"])), rarely(any::<bool>())).prop_map(
        |(units, large)| {
            let mut text = String::new();
            if let Some(units) = units {
                let _ =
                    writeln!(text, "units = \"{units}\"\nsite = \"the long row\"\nauthor = \"A. Pearmain\"");
            }
            if let Some(large) = large {
                let _ = writeln!(text, "allow_large = {large}");
            }
            text
        },
    )
}

/// `[[imposed.point]]` and `[[imposed.water]]`.
pub(crate) fn points_and_water(written: Written) -> impl Strategy<Value = String> {
    let point = (50.0_f64..1500.0, rarely([0.1_f64..1.0, 0.0_f64..1.0, 0.0_f64..1.0]));
    (rarely(point), rarely((0.01_f64..0.2, any::<bool>()))).prop_map(move |(point, water)| {
        let mut text = String::new();
        if let Some((force, weights)) = point {
            let _ = writeln!(text, "[[imposed.point]]\npanel = \"p3\"\nforce = {}", written.force(force));
            if let Some(weights) = weights {
                let _ = writeln!(text, "weights = {weights:.3?}");
            }
            text += "\n";
        }
        if let Some((depth, two)) = water {
            let panels = if two { "\"p3\", \"p6\"" } else { "\"p6\"" };
            let _ =
                writeln!(text, "[[imposed.water]]\npanels = [{panels}]\ndepth = {}\n", written.size(depth));
        }
        text
    })
}

/// Loads by name for a case: what goes at its head, what behind it, and the sheet where it names one.
pub(crate) fn by_name() -> impl Strategy<Value = (String, String, Option<String>)> {
    let vector = || [-300.0_f64..300.0, -300.0_f64..300.0, -900.0_f64..300.0];
    let mixed = (rarely(vector()), rarely(vector()), rarely(vector()));
    let sheet = rarely((prop::collection::vec((0_usize..3, vector(), any::<bool>()), 1..6), any::<bool>()));
    (mixed, sheet).prop_map(|((joint, panel, member), sheet)| {
        let mut text = String::new();
        for (table, name, key, value) in [
            ("joint", "j5", "force", joint),
            ("panel", "p3", "traction", panel),
            ("member", "s2", "line", member),
        ] {
            if let Some(value) = value {
                let _ = writeln!(text, "[[case.{table}]]\nname = \"{name}\"\n{key} = {value:.2?}\n");
            }
        }
        let Some((rows, crlf)) = sheet else { return (String::new(), text, None) };
        let mut lines = String::from("on,name,x,y,z\n");
        for (on, [x, y, z], unit) in rows {
            let (on, name, of) = [("joint", "j5", "N"), ("panel", "p3", "N/m2"), ("member", "s2", "N/m")][on];
            // Some cells with their unit, some bare, some empty.
            if unit {
                let _ = writeln!(lines, "{on},\"{name}\",{x:.3} {of},,{z:.3} {of}");
            } else {
                let _ = writeln!(lines, "{on},\"{name}\",{x:.3},{y:.3},{z:.3}");
            }
        }
        let lines = if crlf { lines.replace('\n', "\r\n") } else { lines };
        (format!("sheet = \"{SHEET}\"\n"), text, Some(lines))
    })
}

/// A stage or two of the assembly.
pub(crate) fn stages(written: Written) -> impl Strategy<Value = String> {
    let one = (1_usize..3, 3_usize..6, rarely(400.0_f64..1000.0), prop::option::of(20.0_f64..300.0)).boxed();
    rarely((one.clone(), rarely(one))).prop_map(move |stages| {
        let mut text = String::new();
        let Some((first, second)) = stages else { return text };
        for (number, (from, count, person, wind)) in [Some(first), second].into_iter().flatten().enumerate() {
            let panels: Vec<String> = (from..from + count).map(|n| format!("p{n}")).collect();
            let _ = writeln!(text, "[[stage]]\nname = \"row {}\"\npanels = {panels:?}", number + 1);
            if let Some(person) = person {
                let _ = writeln!(text, "person = {}", written.force(person));
            }
            if let Some(wind) = wind {
                let _ = writeln!(text, "wind = {}", written.pressure(wind));
            }
            text += "\n";
        }
        text
    })
}

/// The text with the names that a mesh has, by the file that it comes from: every mesh has four joints and three
/// panels at least.
pub(crate) fn renamed(text: &str, file: Option<&str>) -> String {
    let (joints, panel): ([&str; 2], fn(usize) -> String) = match file {
        None => return text.to_owned(),
        Some("shell.obj") => (["v3", "v4"], |n| format!("\"f{}\"", n + 1)),
        Some(_) => (["k2", "k3"], |n| format!("\"panel {n}\"")),
    };
    let mut text = text.to_owned();
    for (from, to) in [("\"j3\"", joints[0]), ("\"j5\"", joints[1])] {
        text = text.replace(from, &format!("\"{to}\""));
    }
    for number in 1..=12 {
        // The same panel twice in a stage or in water is the same as once.
        text = text.replace(&format!("\"p{number}\""), &panel(number % 3));
    }
    text
}
