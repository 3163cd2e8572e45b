//! What the fixings bring to a strip besides the forces of the model, in words with the figures that it comes from.

use crate::assess::in_strips::{Brought, Held, InStrips};
use crate::units::{Kind, Show, System};

/// The least moment \[N·m\] or force \[N\] that is told of.
const LEAST: f64 = 1.0;

/// What the fixings of a seam bring to the strip at the place, which no case of the model has; nothing where they bring nothing.
pub(super) fn note(units: System, brought: Brought) -> String {
    let Brought { bends, bends_through, twists, shears, shears_through } = brought;
    let show = Show::new(units);
    let parts: Vec<String> = [
        (bends, Kind::Moment, "in the surface, as a corner opens"),
        (shears, Kind::Force, "of shear in the surface"),
        (bends_through, Kind::Moment, "through the shell, as a corner leans on it"),
        (shears_through, Kind::Force, "of shear through the shell"),
        (twists, Kind::Moment, "of torsion, from the seam's own moment"),
    ]
    .into_iter()
    // What prints as a dust of noughts is not told.
    .filter(|(value, ..)| *value > LEAST)
    .map(|(value, kind, what)| format!("{} {what}", show.text(kind, value)))
    .collect();
    let Some((last, others)) = parts.split_last() else { return String::new() };
    let listed =
        if others.is_empty() { last.clone() } else { format!("{} and ±{last}", others.join(", ±")) };
    format!(
        "The fixings bring ±{listed}: the cases have none of it, and it is added the way that makes their sum greater."
    )
}

/// The corners' own figures, of which what opens and shears a strip is worked out, so that a reader can do so again; nothing where the
/// corners ask for nothing.
pub(super) fn of_corners(units: System, held: &Held, asked: &InStrips, joints: [&str; 2]) -> String {
    let Some(corner) =
        held.corner().filter(|_| asked.opening.iter().chain(&asked.through).any(|f| *f > LEAST))
    else {
        return String::new();
    };
    let show = Show::new(units);
    // Rounding is no force.
    let force =
        |force: f64| show.text_to(Kind::Force, if force.abs() < 0.1 * LEAST { 0.0 } else { force }, 3);
    let size = |length: f64| show.text_to(Kind::Size, length, 3);
    let [first, second] = joints;
    let strips = match corner.strips {
        strips if strips > 1.5 => format!(" The {strips:.0} strips of a side share it."),
        _ => String::new(),
    };
    format!(
        "At the corners: F_e, which pulls the frames apart, is {} at {first} and {} at {second}; Q_e, which crosses through the shell, {} and \
         {}. The first fixing takes both, {} from the joint, c_1 = {} from where the centre lines of the corner's strips meet, and a_1 = {} \
         before the strip touches its neighbour. F_e bends the strip in the surface by F_e·c_1 there, sheared by F_e up to it and by \
         F_e·c_1/a_1 beyond, with nothing past the touch, and of both ends the greater counts; Q_e bends it through the shell by Q_e·c_1 there and in proportion to nothing where \
         the centre lines meet at either end, and what both ends bring is added.{strips}",
        force(asked.opening[0]),
        force(asked.opening[1]),
        force(asked.through[0]),
        force(asked.through[1]),
        size(corner.place),
        size(corner.first.lever),
        size(corner.first.touch),
    )
}

/// What a force on one panel brings to the strip on its side over what both strips carry alike; nothing where none stands there.
pub(super) fn of_forces_in_one_place(units: System, asked: &InStrips) -> String {
    let [surface, through] = asked.bends_between;
    if asked.bends_between.iter().all(|moment| *moment <= LEAST) {
        return String::new();
    }
    let show = Show::new(units);
    format!(
        "Of what the fixings bring, {} through the shell and {} in the surface come from forces that stand on one panel: the half of such a \
         force that the other strip takes reaches it at the fixings alone, and bends the strip under it between them.",
        show.text_to(Kind::Moment, through, 3),
        show.text_to(Kind::Moment, surface, 3),
    )
}

#[cfg(test)]
mod tests {
    use crate::assess::Options;

    /// Both ends' forces are told, and with the lever give again what is told of the strip at its first fixing.
    #[test]
    fn what_a_corner_brings_can_be_worked_again() {
        let project = crate::assess::example("propagation-tunnel.toml");
        let found = crate::assess::find(&project).unwrap();
        let results =
            crate::assess::fill::results(&project, &found, &Options { workings: 3, ..Options::default() });
        let notes: Vec<String> = results.unwrap().workings.into_iter().map(|working| working.note).collect();
        let told =
            notes.iter().find(|note| note.contains("At the corners: F_e")).expect("a seam is among them");
        for part in ["Q_e, which crosses through the shell, ", "c_1 = ", "a_1 = "] {
            assert!(told.contains(part), "{told}");
        }
    }
}
