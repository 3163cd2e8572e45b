//! Which of the shell's openings is the door that a storm may find open.

use std::f64::consts::FRAC_PI_4;

use crate::loads::ask::{DoorAsk, Given, InternalAsk, LoadsAsk};
use crate::loads::section_line::degrees;
use crate::shell::{Opening, Shell};
use crate::vector::Vec3;

/// What the cases with the door open have to do with the openings of the shell; nothing where there are none of either.
#[must_use]
pub(crate) fn door_and_openings(ask: &LoadsAsk, shell: &Shell) -> Option<String> {
    let Given::Value(wind) = &ask.wind else { return None };
    if shell.openings.is_empty() || wind.internal == InternalAsk::Open {
        return None;
    }
    let all: Vec<usize> = (0..shell.openings.len()).collect();
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
                 windward side of every wind, whichever way {named} {faces}. door = \"facing\" and door_facing_deg \
                 under [wind] would take it where it is."
            )
        }
        DoorAsk::Facing(facing) => {
            let there: Vec<usize> = all.into_iter().filter(|&n| faces(&shell.openings[n], facing)).collect();
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
pub(super) fn whichever_way(shell: &Shell) -> String {
    let all: Vec<usize> = (0..shell.openings.len()).collect();
    match all.len() {
        0 => String::new(),
        1 => ", whichever way opening 1 faces".to_owned(),
        _ => format!(", whichever way {} face", numbers(&all)),
    }
}

/// The openings that look that way, in brackets.
pub(super) fn facing_there(shell: &Shell, facing: f64) -> String {
    let there: Vec<usize> =
        (0..shell.openings.len()).filter(|&n| faces(&shell.openings[n], facing)).collect();
    if there.is_empty() { String::new() } else { format!(" ({})", numbers(&there)) }
}

/// "opening 1", "openings 1 and 3".
fn numbers(list: &[usize]) -> String {
    let names: Vec<String> = list.iter().map(|n| (n + 1).to_string()).collect();
    match names.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("openings {} and {last}", rest.join(", ")),
        _ => format!("opening {}", names.concat()),
    }
}

/// Whether an opening looks that way in plan, to an eighth of a turn.
fn faces(opening: &Opening, facing: f64) -> bool {
    let mut out = Vec3::zeros();
    for outline in &opening.outlines {
        for pair in outline.get(1..).unwrap_or_default().windows(2) {
            out += (pair[0] - outline[0]).cross(&(pair[1] - outline[0]));
        }
    }
    let along = out.x * facing.cos() + out.y * facing.sin();
    along > FRAC_PI_4.cos() * out.xy().norm() && along > 1e-9
}

#[cfg(test)]
mod tests {
    use super::*;

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
        let opening = Opening { panels: Vec::new(), outlines: vec![outline], rim: Vec::new(), strips: 1 };
        assert!(faces(&opening, 0.0) && faces(&opening, 0.7));
        assert!(!faces(&opening, 0.9) && !faces(&opening, 3.0));
    }
}
