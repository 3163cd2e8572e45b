//! The door that a storm may find open: which of the shell's openings it is, and what it lets in.

use std::f64::consts::{FRAC_PI_2, PI};

use crate::loads::LoadError;
use crate::loads::ask::{Basis, DoorAsk, Given, InternalAsk, LoadsAsk, WindAsk};
use crate::loads::figures::figure;
use crate::loads::section_line::degrees;
use crate::loads::snow::positive;
use crate::loads::wind::upright::at_foot;
use crate::shell::Shell;

/// A door that stands open.
pub(super) struct Open {
    pub(super) name: &'static str,
    /// Where it faces \[rad\]; `None` where nobody knows.
    pub(super) facing: Option<f64>,
    /// Coefficient inside.
    pub(super) inside: f64,
    pub(super) words: String,
}

/// The ways in which a door may stand open in the wind from a direction, given the outside coefficient at one to windward; none where
/// there is no door.
pub(super) fn open(
    ask: &LoadsAsk,
    wind: &WindAsk,
    shell: &Shell,
    (direction, windward): (f64, f64),
) -> Result<Vec<Open>, LoadError> {
    if wind.internal == InternalAsk::Open {
        return Ok(Vec::new());
    }
    let unsaid = "[wind] does not say which way the door faces";
    let (facing, at_door, place) = match wind.door {
        DoorAsk::None => return Ok(Vec::new()),
        DoorAsk::Windward => {
            (None, windward, format!("{unsaid}: taken on the windward side{}", whichever_way(shell)))
        }
        DoorAsk::Facing(facing) => (
            Some(facing),
            at_foot(ask, wind, shell, direction, facing),
            format!("the door{} faces {}", facing_there(shell, facing), degrees(facing)),
        ),
    };
    if ask.basis != Basis::Eurocode {
        let size = figure("asce7_wind_constants", "GCpi partially enclosed", "value");
        // The table asks for both signs, whichever way the door faces.
        let first = if at_door >= 0.0 { size } else { -size };
        let one = |name, inside: f64| {
            let words = format!("{place}; partially enclosed, GCpi {inside:+} (ASCE 7 Table 26.13-1)");
            Open { name, facing, inside, words }
        };
        return Ok(vec![one("door open", first), one("door open, other sign inside", -first)]);
    }
    let ratio = wind.door_ratio.unwrap_or(3.0);
    positive("wind.door_ratio", ratio)?;
    let twice = figure("en1991_wind_inside", "dominant, ratio 2", "value");
    let thrice = figure("en1991_wind_inside", "dominant, ratio 3", "value");
    let part = twice + (thrice - twice) * (ratio - 2.0).clamp(0.0, 1.0);
    let one = |name, facing, at_door: f64, place: &str| {
        let mut words = format!(
            "{place}; inside {part:.2} × the outside coefficient there ({at_door:+.2}) (EN 1991-1-4 7.2.9(5))"
        );
        if ratio < 2.0 {
            words.push_str(
                "; the opening is less than twice the others and not dominant: the figure for twice is used",
            );
        }
        Open { name, facing, inside: part * at_door, words }
    };
    let mut open = vec![one("door open", facing, at_door, &place)];
    if wind.door == DoorAsk::Windward
        && let Some((facing, suction)) = most_sucked(ask, wind, shell, direction)
    {
        let place = format!(
            "{unsaid}: taken where it is sucked most{}, facing {}",
            facing_there(shell, facing),
            degrees(facing)
        );
        open.push(one("door open, suction inside", Some(facing), suction, &place));
    }
    Ok(open)
}

/// Where a door is sucked most by the wind from a direction, and the coefficient there, of where the shell has doors, or where it has none,
/// anywhere; `None` where it is sucked nowhere.
fn most_sucked(ask: &LoadsAsk, wind: &WindAsk, shell: &Shell, direction: f64) -> Option<(f64, f64)> {
    let mut facings: Vec<f64> = doors(shell)
        .into_iter()
        .map(|n| shell.openings[n].area_vector())
        .map(|out| out.y.atan2(out.x))
        .collect();
    if facings.is_empty() {
        // The four sides, and on what is round, before, beside and behind the wind.
        let quarters = [0.0, FRAC_PI_2, PI, 1.5 * PI];
        facings = [0.0, direction].iter().flat_map(|from| quarters.map(|turn| from + turn)).collect();
    }
    facings
        .into_iter()
        .map(|facing| (facing, at_foot(ask, wind, shell, direction, facing)))
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .filter(|(_, suction)| *suction < 0.0)
}

/// What the cases with the door open have to do with the openings of the shell; nothing where there are none of either.
#[must_use]
pub(crate) fn door_and_openings(ask: &LoadsAsk, shell: &Shell) -> Option<String> {
    let Given::Value(wind) = &ask.wind else { return None };
    let all = doors(shell);
    if all.is_empty() || wind.internal == InternalAsk::Open {
        return None;
    }
    Some(match wind.door {
        DoorAsk::None => {
            let (named, are) = (numbers(&all), if all.len() == 1 { "is" } else { "are" });
            format!(
                "No case of wind has the door open (wind.door = \"none\"): {named} {are} shut in every storm."
            )
        }
        DoorAsk::Windward => {
            let (named, faces) = (numbers(&all), if all.len() == 1 { "faces" } else { "face" });
            format!(
                "The wind's cases \"door open\" (wind.door) stand for {named} standing open, and take the door on the \
                 windward side of every wind, whichever way {named} {faces}{}. door = \"facing\" and door_facing_deg \
                 under [wind] would take it where it is.",
                if ask.basis == Basis::Eurocode {
                    ", and where it is where the wind sucks there"
                } else {
                    ""
                }
            )
        }
        DoorAsk::Facing(facing) => {
            let there: Vec<usize> = all.into_iter().filter(|&n| shell.openings[n].faces(facing)).collect();
            if there.is_empty() {
                format!(
                    "The door of the wind's cases \"door open\" faces {} (wind.door_facing_deg), and no opening of the \
                     shell does: it takes no panels out.",
                    degrees(facing)
                )
            } else {
                format!(
                    "The door of the wind's cases \"door open\", which faces {} (wind.door_facing_deg), is {}.",
                    degrees(facing),
                    numbers(&there)
                )
            }
        }
    })
}

/// What follows "taken on the windward side".
fn whichever_way(shell: &Shell) -> String {
    let all = doors(shell);
    match all.len() {
        0 => String::new(),
        1 => format!(", whichever way {} faces", numbers(&all)),
        _ => format!(", whichever way {} face", numbers(&all)),
    }
}

/// The openings that look that way, in brackets.
fn facing_there(shell: &Shell, facing: f64) -> String {
    let there: Vec<usize> = doors(shell).into_iter().filter(|&n| shell.openings[n].faces(facing)).collect();
    if there.is_empty() { String::new() } else { format!(" ({})", numbers(&there)) }
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
