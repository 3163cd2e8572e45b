//! Random loads of the site, people, the user's own cases, and how they are combined.

use std::fmt::Write;

use proptest::prelude::*;

use super::more;
use super::written::Written;

fn line(text: &mut String, key: &str, value: Option<impl std::fmt::Display>) {
    if let Some(value) = value {
        let _ = writeln!(text, "{key} = {value}");
    }
}

/// A value now and then.
fn some<S: Strategy>(strategy: S) -> impl Strategy<Value = Option<S::Value>> {
    prop::option::weighted(0.25, strategy)
}

/// The loads, and the sheet that an own case names.
pub(crate) fn loads(
    basis: &'static str,
    written: Written,
) -> impl Strategy<Value = (String, Option<String>)> {
    // Boxed: the parts together outgrow the stack of a thread in a debug build.
    let site = (
        cover(written).boxed(),
        snow(basis, written).boxed(),
        wind(basis, written).boxed(),
        imposed(written).boxed(),
    );
    (site, more::points_and_water(written).boxed(), some(own_case().boxed()), more::stages(written).boxed())
        .prop_map(|((cover, snow, wind, imposed), more, own, stages)| {
            let (own, sheet) = own.unwrap_or_default();
            (cover + &snow + &wind + &imposed + &more + &own + &stages, sheet)
        })
}

fn cover(written: Written) -> impl Strategy<Value = String> {
    let given = (0.0_f64..300.0, some(any::<bool>()), some(0.0_f64..300.0)).prop_map(
        move |(weight, removable, leaf)| {
            let mut text = format!("[cover]\nweight = {}\n", written.pressure(weight));
            line(&mut text, "removable", removable);
            line(&mut text, "leaf_weight", leaf.map(|weight| written.pressure(weight)));
            line(&mut text, "source", removable.map(|_| "\"weighed\""));
            text + "\n"
        },
    );
    prop_oneof![7 => given, 1 => Just("[cover]\nleft_out = \"a frame alone\"\n\n".to_owned())]
}

/// What stands in the snow for the edition that the combinations go by.
const EDITION: &str = "\"as the combinations\"";

/// Snow whose map is of the edition that the combinations go by, where they name one.
pub(crate) fn of_edition(loads: &str, combine: &str) -> String {
    let edition = combine.lines().find_map(|line| line.strip_prefix("edition = "));
    edition.map_or_else(|| loads.to_owned(), |edition| loads.replace(EDITION, edition))
}

fn snow(basis: &'static str, written: Written) -> impl Strategy<Value = String> {
    let us = basis != "eurocode";
    let first = (50.0_f64..2500.0, 0.8_f64..1.2, 0.9_f64..1.3, any::<[bool; 2]>());
    let shape =
        (some(0.2_f64..1.0), some(0.5_f64..2.2), some(prop::sample::subsequence(vec![0, 60, 90, 200], 1..3)));
    // Few of these shells have valleys; the others say so.
    let valley = prop::option::weighted(0.02, 100.0_f64..900.0);
    let more = (some(any::<bool>()), some(any::<bool>()), valley, some(1.5_f64..2.5), some(any::<bool>()));
    let given = (first, shape, more).prop_map(move |(first, shape, more)| {
        let (ground, exposure, thermal, [slippery, clear]) = first;
        let mut text = format!("[snow]\nground = {}\n", written.pressure(ground));
        if us || slippery {
            let _ = writeln!(text, "exposure = {exposure:.2}\nthermal = {thermal:.2}");
        }
        if us {
            let _ = writeln!(text, "slippery = {slippery}\nclear_of_ground = {clear}");
            // Where the project goes by the other edition, or none is named, it is refused.
            let other = if clear { "\"7-16\"" } else { "\"7-22\"" };
            let map = if shape.0.is_some() && exposure > 1.15 { other } else { EDITION };
            line(&mut text, "map_edition", Some(map));
        }
        line(&mut text, "undrifted", shape.0.filter(|_| !us).map(|c| format!("{c:.2}")));
        line(&mut text, "drifted", shape.1.filter(|_| !us).map(|c| format!("{c:.2}")));
        line(&mut text, "directions_deg", shape.2.map(|list| format!("{list:?}")));
        let (held_back, no_half, valley, exceptional, long) = more;
        line(&mut text, "held_back", held_back.filter(|_| !us));
        line(&mut text, "source", held_back.map(|_| "\"the county's map\""));
        line(&mut text, "no_half_shell", no_half.filter(|_| !us));
        line(&mut text, "valley", valley.map(|v| format!("{v:.1}")));
        if !us {
            line(&mut text, "exceptional", exceptional.map(|c| format!("{c:.2}")));
            line(&mut text, "long_lying", long);
        }
        text + "\n"
    });
    prop_oneof![3 => given, 1 => Just("[snow]\nleft_out = \"a trial without snow\"\n\n".to_owned())]
}

fn wind(basis: &'static str, written: Written) -> impl Strategy<Value = String> {
    let us = basis != "eurocode";
    let terrains = if us { vec!["B", "C", "D"] } else { vec!["0", "I", "II", "III", "IV"] };
    let air = (some(1.0_f64..1.3), some(2.0_f64..9.0));
    let speed =
        (15.0_f64..45.0, prop::sample::select(terrains), some(1.0_f64..1.4), some(0.0_f64..900.0), air)
            .prop_map(move |(speed, terrain, orography, elevation, (density, height))| {
                let mut text = format!("speed = {}\nterrain = \"{terrain}\"\n", written.speed(speed));
                line(&mut text, "orography", orography.map(|c| format!("{c:.2}")));
                line(&mut text, "elevation", elevation.filter(|_| us).map(|h| written.length(h)));
                line(&mut text, "air_density", density.filter(|_| !us).map(|d| written.density(d)));
                line(&mut text, "height", height.map(|h| written.length(h)));
                line(&mut text, "source", height.map(|_| "\"the county's map\""));
                text
            });
    let pressure = (100.0_f64..1500.0).prop_map(move |p| format!("pressure = {}\n", written.pressure(p)));
    let strength = prop_oneof![2 => pressure.boxed(), 1 => speed.boxed()];
    let known = if us { vec!["closed", "partly-enclosed", "open"] } else { vec!["closed"] };
    let inside = prop_oneof![
        4 => Just(String::new()),
        2 => prop::sample::select(known).prop_map(|word| format!("internal = \"{word}\"\n")),
        1 => (0.0_f64..0.8).prop_map(|c| format!("internal_coefficients = [{c:.2}, -{c:.2}]\n")),
    ];
    let door = prop_oneof![
        2 => Just(String::new()),
        1 => Just("door = \"none\"\n".to_owned()),
        1 => (-180_i32..180, any::<[bool; 2]>(), some(0.5_f64..10.0)).prop_map(move |(facing, [usual, two], ratio)| {
            let ways = if two { format!("[{facing}, {}]", facing + 75) } else { facing.to_string() };
            let mut text = format!("door = \"facing\"\ndoor_facing_deg = {ways}\n");
            line(&mut text, "door_usual", (!us).then_some(usual));
            line(&mut text, "door_ratio", ratio.filter(|_| !us).map(|r| format!("{r:.2}")));
            text
        }),
    ];
    let outside = some((-0.5_f64..1.0, -1.5_f64..0.0, -1.0_f64..0.0))
        .prop_map(|own| own.map(|(a, b, c)| format!("coefficients = [{a:.2}, {b:.2}, {c:.2}]\n")));
    let directions = prop::sample::subsequence(vec![0, 45, 90, 180], 1..3);
    let given = (strength, directions, inside, door, outside, some(0.2_f64..2.0)).prop_map(
        move |(strength, directions, inside, door, outside, wall)| {
            let mut text = format!("[wind]\n{strength}directions_deg = {directions:?}\n{inside}{door}");
            text += &outside.unwrap_or_default();
            line(&mut text, "wall_height", wall.map(|h| written.length(h)));
            text + "\n"
        },
    );
    prop_oneof![3 => given, 2 => Just("[wind]\nleft_out = \"a trial without wind\"\n\n".to_owned())]
}

fn imposed(written: Written) -> impl Strategy<Value = String> {
    let person = some((300.0_f64..1200.0, any::<bool>()));
    (person, some(100.0_f64..800.0), some((50.0_f64..600.0, any::<bool>()))).prop_map(
        move |(person, roof, hung)| {
            let mut text = String::new();
            if person.is_some() || roof.is_some() {
                text += "[imposed]\n";
            }
            line(&mut text, "person", person.map(|(w, _)| written.force(w)));
            line(&mut text, "person_joints", person.filter(|who| who.1).map(|_| "[\"j5\", \"j3\"]"));
            line(&mut text, "roof", roof.map(|p| written.pressure(p)));
            if let Some((force, permanent)) = hung {
                let _ = writeln!(
                    text,
                    "\n[[imposed.hanging]]\nname = \"a basket\"\njoints = [\"j5\"]\nforce = {}\npermanent = {permanent}",
                    written.force(force)
                );
            }
            text + "\n"
        },
    )
}

/// A case of the user's own: a pattern over part of the surface, loads by name; and the sheet that it names.
fn own_case() -> impl Strategy<Value = (String, Option<String>)> {
    let load = (prop::sample::select(vec!["per_plan", "per_area", "pressure"]), -300.0_f64..900.0);
    let region = prop_oneof![
        Just(String::new()),
        (0_i32..360).prop_map(|side| format!("side_deg = {side}\n")),
        (0_i32..30, 40_i32..90).prop_map(|(a, b)| format!("slope_deg = [{a}, {b}]\n")),
        (-2.0_f64..0.0, 0.0_f64..2.0).prop_map(|(a, b)| format!("along = [{a:.2}, {b:.2}]\n")),
        (0.0_f64..0.6, 0.8_f64..4.0).prop_map(|(a, b)| format!("height = [{a:.2}, {b:.2}]\n")),
        // Half the angle of the sector: up to the whole plan.
        (0_i32..360, 20_i32..180).prop_map(|(a, b)| format!("sector_deg = [{a}, {b}]\n")),
        Just("panels = [\"p3\", \"p6\"]\n".to_owned()),
    ];
    let role = prop::sample::select(vec!["permanent", "variable", "accidental"]);
    let lasts =
        prop::sample::select(vec!["permanent", "long-term", "medium-term", "short-term", "instantaneous"]);
    (load, region, role, lasts, more::by_name()).prop_map(
        move |((key, value), region, role, lasts, (head, named, sheet))| {
            let psi = if role == "variable" { "psi = [0.7, 0.5, 0.3]\n" } else { "" };
            let text = format!(
                "[[case]]\nname = \"apples\"\nrole = \"{role}\"\n{psi}lasts = \"{lasts}\"\n{head}\n\
                 [[case.pattern]]\n{key} = {value:.1}\n{region}\n{named}"
            );
            (text, sheet)
        },
    )
}

pub(crate) fn combine(basis: &'static str) -> impl Strategy<Value = String> {
    let state = prop::sample::select(vec!["strength", "uplift", "service", "long-term", "accidental"]);
    let lasts = some(prop::sample::select(vec!["permanent", "medium-term", "instantaneous"]));
    let own = some((state, lasts)).prop_map(|own| {
        own.map_or(String::new(), |(state, lasts)| {
            let mut text = String::new();
            // A list of service alone is refused.
            if matches!(state, "service" | "long-term") {
                text += "\n[[combine.own]]\nstate = \"strength\"\nterms = { weight = 1.35 }\n";
            }
            let _ = write!(text, "\n[[combine.own]]\nstate = \"{state}\"\nterms = {{ weight = 1.1 }}\n");
            if let Some(lasts) = lasts {
                let _ = writeln!(text, "name = \"an own one\"\nlasts = \"{lasts}\"");
            }
            text
        })
    });
    (any::<[bool; 2]>(), prop::sample::select(vec!["I", "II", "III", "IV"]), own).prop_map(
        move |([first, second], risk, own)| {
            if basis == "eurocode" {
                let annex = if first { "uk" } else { "recommended" };
                let expression = if second { "6.10ab" } else { "6.10" };
                format!("[combine]\nannex = \"{annex}\"\nexpression = \"{expression}\"\n{own}")
            } else {
                let edition = if first { "7-16" } else { "7-22" };
                format!("[combine]\nedition = \"{edition}\"\nrisk = \"{risk}\"\n{own}")
            }
        },
    )
}
