//! Which of the shell's openings is the door that a storm may find open.

use crate::loads::ask::{DoorAsk, Given, InternalAsk, LoadsAsk};
use crate::loads::section_line::degrees;
use crate::shell::Shell;

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
                 windward side of every wind, whichever way {named} {faces}. door = \"facing\" and door_facing_deg \
                 under [wind] would take it where it is."
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
pub(super) fn whichever_way(shell: &Shell) -> String {
    let all = doors(shell);
    match all.len() {
        0 => String::new(),
        1 => format!(", whichever way {} faces", numbers(&all)),
        _ => format!(", whichever way {} face", numbers(&all)),
    }
}

/// The openings that look that way, in brackets.
pub(super) fn facing_there(shell: &Shell, facing: f64) -> String {
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
