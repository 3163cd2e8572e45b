//! The door that a storm may find open: which of the shell's openings it is, and what it lets in.

use std::f64::consts::{FRAC_PI_2, PI};

use crate::loads::LoadError;
use crate::loads::ask::{Basis, DoorAsk, Given, InternalAsk, LoadsAsk, WindAsk};
use crate::loads::figures::figure;
use crate::loads::leaf::has_leaf;
use crate::loads::section_line::degrees;
use crate::loads::snow::positive;
use crate::loads::wind::upright::at_foot;
use crate::shell::Shell;

/// A door that stands open.
pub(super) struct Open {
    pub(super) name: String,
    /// The opening whose leaf bears no wind, as it is gone or open; `None` where that is no leaf of the shell's.
    pub(super) leaf: Option<usize>,
    /// Coefficient inside.
    pub(super) inside: f64,
    pub(super) words: String,
}

/// Where a door may stand open while every other is shut.
struct Place {
    /// The way that it is said to face.
    facing: Option<f64>,
    /// The opening with a leaf.
    leaf: Option<usize>,
    /// All that it may be: bare holes alike take no leaf away, and are one.
    openings: Vec<usize>,
    /// What tells it from other places, where there are some.
    told: String,
}

/// The ways in which a door may stand open in the wind from a direction, given the outside coefficient at one to windward; none where
/// there is no door. Of several doors one is open at a time and the others are shut, and bear their wind beside the pressure that the
/// open one lets in: a door to windward open and one to leeward shut is the ordinary state of a walk-through (own reading).
pub(super) fn open(
    ask: &LoadsAsk,
    wind: &WindAsk,
    shell: &Shell,
    (direction, windward): (f64, f64),
) -> Result<Vec<Open>, LoadError> {
    if wind.internal == InternalAsk::Open || wind.door == DoorAsk::None {
        return Ok(Vec::new());
    }
    let us = ask.basis != Basis::Eurocode;
    let ratio = wind.door_ratio.unwrap_or(3.0);
    if !us {
        positive("wind.door_ratio", ratio)?;
    }
    let mut ways = Vec::new();
    for place in places(shell, &wind.door) {
        let (at_door, words) = first(ask, wind, shell, (direction, windward), &place);
        let one = |more: &str, (inside, words): (f64, String)| Open {
            name: format!("door open{}{more}", place.told),
            leaf: place.leaf,
            inside,
            words,
        };
        if us {
            let size = figure("asce7_wind_constants", "GCpi partially enclosed", "value");
            // The table asks for both signs, whichever way the door faces.
            for (more, sign) in [("", 1.0), (", other sign inside", -1.0)] {
                let inside = if at_door >= 0.0 { sign * size } else { -sign * size };
                let words = format!("{words}; partially enclosed, GCpi {inside:+} (ASCE 7 Table 26.13-1)");
                ways.push(one(more, (inside, words)));
            }
            continue;
        }
        ways.push(one("", dominant(ratio, at_door, &words)));
        if wind.door == DoorAsk::Windward
            && let Some((suction, words)) = sucked(ask, wind, shell, direction, &place)
        {
            ways.push(one(", suction inside", dominant(ratio, suction, &words)));
        }
    }
    Ok(ways)
}

/// Coefficient inside by that outside at a dominant opening so many times the others in area, and its words (EN 1991-1-4 7.2.9(5)).
fn dominant(ratio: f64, at_door: f64, place: &str) -> (f64, String) {
    let twice = figure("en1991_wind_inside", "dominant, ratio 2", "value");
    let thrice = figure("en1991_wind_inside", "dominant, ratio 3", "value");
    let part = twice + (thrice - twice) * (ratio - 2.0).clamp(0.0, 1.0);
    let mut words = format!(
        "{place}; inside {part:.2} × the outside coefficient there ({at_door:+.2}) (EN 1991-1-4 7.2.9(5))"
    );
    if ratio < 2.0 {
        words.push_str(
            "; the opening is less than twice the others and not dominant: the figure for twice is used",
        );
    }
    (part * at_door, words)
}

/// The places of doors: of those that face each of the ways that are said, or of all where nothing is said; one place that is no opening
/// of the shell where there are none.
fn places(shell: &Shell, door: &DoorAsk) -> Vec<Place> {
    let DoorAsk::Facing(ways) = door else { return places_of(shell, None, doors(shell)) };
    let mut all = Vec::new();
    for &facing in ways {
        let mut there = places_of(shell, Some(facing), facing_most(shell, facing, ways));
        if ways.len() > 1 {
            for place in &mut there {
                place.told = format!(" facing {}{}", degrees(facing), place.told);
            }
        }
        all.append(&mut there);
    }
    all
}

/// The places that some openings are, which face one way where it is said; one that is none of them where there are none.
fn places_of(shell: &Shell, facing: Option<f64>, openings: Vec<usize>) -> Vec<Place> {
    let (leaves, holes): (Vec<usize>, Vec<usize>) =
        openings.into_iter().partition(|&n| has_leaf(&shell.openings[n]));
    let place = |leaf: Option<usize>, openings: Vec<usize>| Place {
        facing,
        leaf,
        told: format!(" at {}", numbers(&openings)),
        openings,
    };
    let mut places: Vec<Place> = leaves.into_iter().map(|n| place(Some(n), vec![n])).collect();
    if !holes.is_empty() || places.is_empty() {
        places.push(place(None, holes));
    }
    if let [only] = &mut places[..] {
        only.told.clear();
    }
    places
}

/// The doors of the shell that face a way, and of the ways that are said none more than that.
fn facing_most(shell: &Shell, facing: f64, ways: &[f64]) -> Vec<usize> {
    let mut all = doors(shell);
    all.retain(|&n| {
        let heading = heading(shell, n);
        let nearer = |other: &f64| (other - heading).cos() > (facing - heading).cos() + 1e-9;
        shell.openings[n].faces(facing) && !ways.iter().any(nearer)
    });
    all
}

/// Where an opening looks, anticlockwise from +x in plan \[rad\].
fn heading(shell: &Shell, opening: usize) -> f64 {
    let out = shell.openings[opening].area_vector();
    out.y.atan2(out.x)
}

/// Outside coefficient at a door where it is said to be, or to windward, and where that is in words.
fn first(
    ask: &LoadsAsk,
    wind: &WindAsk,
    shell: &Shell,
    (direction, windward): (f64, f64),
    place: &Place,
) -> (f64, String) {
    let shut = if place.told.is_empty() { "" } else { ", every other door shut" };
    if let Some(facing) = place.facing {
        let none = place.openings.is_empty() && !doors(shell).is_empty();
        let words = format!(
            "the door{} faces {}{shut}{}",
            in_brackets(&place.openings),
            degrees(facing),
            if none {
                ", where the shell has no opening: every leaf stays shut and bears its wind"
            } else {
                ""
            }
        );
        return (at_foot(ask, wind, shell, direction, facing), words);
    }
    let faces = if place.openings.len() == 1 { "faces" } else { "face" };
    let whichever = match place.openings.len() {
        0 => String::new(),
        _ => format!(", whichever way {} {faces}", numbers(&place.openings)),
    };
    (windward, format!("{UNSAID}: taken on the windward side{whichever}{shut}"))
}

const UNSAID: &str = "[wind] does not say which way the door faces";

/// Suctions this close are one: what tells them apart is rounding.
const ALIKE: f64 = 1e-9;

/// Where a door at a place is sucked most by the wind from a direction, of its openings, or where it is none of the shell's, anywhere: the
/// coefficient there, and where that is in words, of several alike each; `None` where it is sucked nowhere.
fn sucked(
    ask: &LoadsAsk,
    wind: &WindAsk,
    shell: &Shell,
    direction: f64,
    place: &Place,
) -> Option<(f64, String)> {
    let mut facings: Vec<f64> = place.openings.iter().map(|&n| heading(shell, n)).collect();
    if facings.is_empty() {
        // The four sides, and on what is round, before, beside and behind the wind.
        let quarters = [0.0, FRAC_PI_2, PI, 1.5 * PI];
        facings = [0.0, direction].iter().flat_map(|from| quarters.map(|turn| from + turn)).collect();
    }
    let suctions: Vec<f64> =
        facings.iter().map(|&facing| at_foot(ask, wind, shell, direction, facing)).collect();
    let most = suctions.iter().copied().reduce(f64::min).filter(|most| *most < 0.0)?;
    let alike: Vec<usize> = (0..facings.len()).filter(|&k| suctions[k] - most < ALIKE).collect();
    let there: Vec<usize> = alike.iter().filter_map(|&k| place.openings.get(k).copied()).collect();
    let mut headings: Vec<f64> = alike.iter().map(|&k| facings[k].rem_euclid(2.0 * PI)).collect();
    headings.sort_by(f64::total_cmp);
    let mut ways: Vec<String> = Vec::new();
    for way in headings.into_iter().map(degrees) {
        if !ways.contains(&way) {
            ways.push(way);
        }
    }
    let (there, ways) = (in_brackets(&there), ways.join(" or "));
    let words = if place.told.is_empty() {
        format!("{UNSAID}: taken where it is sucked most{there}, facing {ways}")
    } else {
        format!("{UNSAID}: taken where it is{there}, facing {ways}, every other door shut")
    };
    Some((most, words))
}

/// What the cases with the door open have to do with the openings of the shell; nothing where there are none of either.
#[must_use]
pub(crate) fn door_and_openings(ask: &LoadsAsk, shell: &Shell) -> Option<String> {
    let Given::Value(wind) = &ask.wind else { return None };
    let all = doors(shell);
    if all.is_empty() || wind.internal == InternalAsk::Open {
        return None;
    }
    Some(match &wind.door {
        DoorAsk::None => {
            let (named, are) = (numbers(&all), if all.len() == 1 { "is" } else { "are" });
            format!(
                "No case of wind has the door open (wind.door = \"none\"): {named} {are} shut in every storm."
            )
        }
        DoorAsk::Windward => {
            let (named, faces) = (numbers(&all), if all.len() == 1 { "faces" } else { "face" });
            let each = if all.len() == 1 { "" } else { " one at a time" };
            format!(
                "The wind's cases \"door open\" (wind.door) stand for {named} standing open{each}, and take the door on the \
                 windward side of every wind, whichever way {named} {faces}{}. door = \"facing\" and door_facing_deg \
                 under [wind] would take it where it is.",
                if ask.basis == Basis::Eurocode {
                    ", and where it is where the wind sucks there"
                } else {
                    ""
                }
            )
        }
        DoorAsk::Facing(ways) => {
            let told: Vec<String> = ways.iter().map(|&facing| door_that_faces(shell, facing, ways)).collect();
            told.join(" ")
        }
    })
}

/// Which openings the door is that is said to face a way.
fn door_that_faces(shell: &Shell, facing: f64, ways: &[f64]) -> String {
    let there = facing_most(shell, facing, ways);
    if there.is_empty() {
        return format!(
            "The door of the wind's cases \"door open\" faces {} (wind.door_facing_deg), and no opening of the \
             shell does: what shuts {} bears its wind there all the same.",
            degrees(facing),
            numbers(&doors(shell))
        );
    }
    format!(
        "The door of the wind's cases \"door open\", which faces {} (wind.door_facing_deg), is {}{}.",
        degrees(facing),
        numbers(&there),
        if there.len() == 1 && ways.len() == 1 { "" } else { ", open one at a time" }
    )
}

/// Openings in brackets, after a space; nothing of none.
fn in_brackets(openings: &[usize]) -> String {
    if openings.is_empty() { String::new() } else { format!(" ({})", numbers(openings)) }
}

/// Openings that a storm may find open: those that reach the ground.
fn doors(shell: &Shell) -> Vec<usize> {
    (0..shell.openings.len()).filter(|&n| shell.openings[n].on_ground()).collect()
}

/// "opening 1", "openings 1 and 3".
fn numbers(list: &[usize]) -> String {
    let names: Vec<String> = list.iter().map(|n| (n + 1).to_string()).collect();
    match names.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("openings {} and {last}", rest.join(", ")),
        _ => format!("opening {}", names.concat()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shell::Opening;
    use crate::vector::Vec3;

    #[test]
    fn openings_are_named_as_one_says_them() {
        assert_eq!(numbers(&[0]), "opening 1");
        assert_eq!(numbers(&[0, 2, 4]), "openings 1, 3 and 5");
    }

    #[test]
    fn an_opening_faces_where_its_panels_do() {
        // In the plane x = 1, outward along x.
        let outline = vec![
            Vec3::new(1.0, 0.0, 0.0),
            Vec3::new(1.0, 1.0, 0.0),
            Vec3::new(1.0, 1.0, 2.0),
            Vec3::new(1.0, 0.0, 2.0),
        ];
        let opening =
            Opening { panels: Vec::new(), outlines: vec![outline], rim: Vec::new(), strips: 1, leaf: true };
        assert!(opening.faces(0.0) && opening.faces(0.7) && opening.on_ground());
        assert!(!opening.faces(0.9) && !opening.faces(3.0));
    }
}
