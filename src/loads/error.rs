//! What can be wrong with what is asked of the loads.

use crate::loads::ask::AsceEdition;

/// Why no cases can be made of what was asked.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum LoadError {
    /// A value that the basis cannot do without.
    #[error("{what} is asked for: {why}")]
    Missing {
        /// The value: "snow.thermal".
        what: &'static str,
        /// Why, and what to write.
        why: String,
    },
    /// A value that cannot be.
    #[error("{what} is {value}; it must be {limit}")]
    OutOfRange {
        /// The value: "snow.ground \[N/m²\]".
        what: String,
        /// As asked.
        value: f64,
        /// What it must be.
        limit: &'static str,
    },
    /// Values of two editions of one code.
    #[error(
        "editions are mixed: {what} is of ASCE {found}, the project goes by ASCE {wanted}; take all values from one edition"
    )]
    Editions {
        /// Which value.
        what: &'static str,
        /// Its edition.
        found: &'static str,
        /// That of the project.
        wanted: &'static str,
    },
    /// Something that belongs to another basis.
    #[error("{what} belongs to {belongs}, the project's basis is {basis}")]
    Basis {
        /// What.
        what: String,
        /// Where it belongs.
        belongs: &'static str,
        /// The project's basis.
        basis: &'static str,
    },
    /// A name that the shell or the list of cases does not have.
    #[error("{what} `{name}`, named in `{place}`, does not exist{}", near_names(.near))]
    Unknown {
        /// "joint", "panel", "member", "case".
        what: &'static str,
        /// As asked.
        name: String,
        /// The case or combination that names it.
        place: String,
        /// Nearest names.
        near: Vec<String>,
    },
    /// A pattern that loads nothing.
    #[error("the pattern of `{name}` touches no panel{why}")]
    TouchesNothing {
        /// The case.
        name: String,
        /// More.
        why: String,
    },
    /// Two cases of one name.
    #[error("two cases are named `{name}`: combinations could not tell them apart")]
    Twice {
        /// The name.
        name: String,
    },
    /// Not one weight a member.
    #[error("{given} weights for {members} members")]
    Weights {
        /// How many weights.
        given: usize,
        /// How many members.
        members: usize,
    },
}

fn near_names(near: &[String]) -> String {
    if near.is_empty() { String::new() } else { format!("; nearest: {}", near.join(", ")) }
}

impl AsceEdition {
    /// "7-16" or "7-22".
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            AsceEdition::Seven16 => "7-16",
            AsceEdition::Seven22 => "7-22",
        }
    }
}
