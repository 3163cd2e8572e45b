//! What can be wrong with a shell that is asked for.

use crate::shell::MeshFault;

/// A shell that cannot be built as asked.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ShellError {
    /// A size that is not a positive number.
    #[error("shell.{what} is {value}; it must be a positive length")]
    NotPositive {
        /// Name of the key.
        what: &'static str,
        /// What was given \[m\].
        value: f64,
    },
    /// A value that is not a number.
    #[error("shell.{what} is {value}; it must be an ordinary number")]
    NotANumber {
        /// Name of the key.
        what: &'static str,
        /// What was given.
        value: f64,
    },
    /// A number of parts out of range.
    #[error("shell.{what} is {value}; it must lie between {least} and {most}")]
    Count {
        /// Name of the key.
        what: &'static str,
        /// What was given.
        value: usize,
        /// Smallest allowed.
        least: usize,
        /// Largest allowed.
        most: usize,
    },
    /// A tunnel of odd frequency.
    #[error(
        "shell.frequency is {frequency}; a tunnel needs an even one, because only then is the sphere's \
         vertical great circle made of whole edges: take {} or {}",
        frequency.saturating_sub(1).max(2), frequency + 1
    )]
    OddFrequency {
        /// What was given.
        frequency: usize,
    },
    /// An odd number of bands between two half-domes.
    #[error(
        "shell.bands is {bands}; between two half-domes it must be even, because every band turns the arch \
         by half a step: take {} or {}, or leave one end flat",
        bands.saturating_sub(1), bands + 1
    )]
    OddBands {
        /// What was given.
        bands: usize,
    },
    /// The base plane leaves nothing.
    #[error(
        "shell.base is {base:.3} m, but the highest joint is {top:.3} m above the centre: nothing is left \
         above the base plane; lower the base"
    )]
    BaseTooHigh {
        /// What was given \[m\].
        base: f64,
        /// The highest joint \[m\].
        top: f64,
    },
    /// The base plane passes under everything.
    #[error(
        "shell.base is {base:.3} m, but the lowest joint is {bottom:.3} m: the base plane touches nothing, so \
         there is no foot to stand on; raise the base"
    )]
    BaseTooLow {
        /// What was given \[m\].
        base: f64,
        /// The lowest joint \[m\].
        bottom: f64,
    },
    /// The shell is not in one piece.
    #[error(
        "what is left of the shell is in {pieces} pieces that share no seam; lower the base, or take less out"
    )]
    Pieces {
        /// How many.
        pieces: usize,
    },
    /// The base plane leaves the shell touching itself in a point.
    #[error(
        "with the base plane at {base:.3} m the shell touches itself only in a point ({joint}); move the base \
         by a few centimetres"
    )]
    Pinched {
        /// Height of the base plane \[m\].
        base: f64,
        /// Name of the joint.
        joint: String,
    },
    /// More uprights than the end arch has joints for.
    #[error(
        "a framed end asks for {studs} studs, but each stands under a joint of the end arch and only {most} \
         joints have room under them: take {most} or fewer, or a finer division"
    )]
    Studs {
        /// What was given.
        studs: usize,
        /// Most that fit.
        most: usize,
    },
    /// A profile too flat or too tall to set out.
    #[error(
        "shell.rise is {rise:.3} m over a span of {span:.3} m; it must lie between a hundredth and {most} times \
         the span for this profile"
    )]
    Rise {
        /// What was given \[m\].
        rise: f64,
        /// Foot to foot \[m\].
        span: f64,
        /// Largest rise over span.
        most: f64,
    },
    /// A half-dome on an arch that is no half of a sphere's great circle.
    #[error(
        "a half-dome does not fit this end: its ring has steps of 36 or 18 degrees and a joint at the crown, and \
         the end arch does not. What fits: a circular profile with rise = span / 2 and 10 segments, or 5 segments \
         in the staggered pattern (both ends: an even number of bays)"
    )]
    NoHalfDome,
    /// A panel that is not there.
    #[error(
        "opening {opening} names panel \"{name}\", and the shell has no such panel; it has {count}, p1 being at \
         the base (the nearest names are {near})"
    )]
    NoSuchPanel {
        /// Which opening, from 1.
        opening: usize,
        /// What was given.
        name: String,
        /// How many panels there are.
        count: usize,
        /// Names like it.
        near: String,
    },
    /// An opening that takes nothing.
    #[error(
        "opening {opening} ({what}) touches no panel that is still there; turn or move it, or take it out of \
         the project (a flat end is closed by its gable, not by panels)"
    )]
    OpeningMissed {
        /// Which opening, from 1.
        opening: usize,
        /// What it is.
        what: String,
    },
    /// A door larger than the whole shell.
    #[error(
        "opening {opening} is a door {asked:.2} m {what}, and the whole shell is {most:.2} m {what}; make the door smaller"
    )]
    DoorTooLarge {
        /// Which opening, from 1.
        opening: usize,
        /// "high" or "wide".
        what: &'static str,
        /// What was given \[m\].
        asked: f64,
        /// Of the shell, seen from the front \[m\].
        most: f64,
    },
    /// Nothing is left.
    #[error("the openings take out every panel of the shell; make them smaller")]
    OpeningsTakeAll,
    /// A user's own mesh with faults, all of them.
    #[error("the mesh cannot be used as it is:{}", listed(faults))]
    Mesh {
        /// What is wrong.
        faults: Vec<MeshFault>,
    },
}

/// The first faults, a line each, and how many more.
fn listed(faults: &[MeshFault]) -> String {
    const SHOWN: usize = 20;
    let mut text: String = faults.iter().take(SHOWN).map(|fault| format!("\n  {fault}")).collect();
    if faults.len() > SHOWN {
        text.push_str(&format!("\n  and {} more", faults.len() - SHOWN));
    }
    text
}
