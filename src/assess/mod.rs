//! One assessment: the whole line from a project to what is said of it, one stage a row.
//!
//! In: a validated [`Project`]. Out: an [`Assessment`], every number in it worked out here or before.
//! Promised: a mechanism, an over-used timber or a low buckling factor is a finding, never an error.

pub mod anchors;
pub mod balance;
mod besides;
pub mod buckling;
pub mod check;
pub mod conditions;
mod crooked;
pub mod cutting;
pub mod demand;
mod dents;
pub mod doubts;
pub mod feet;
mod feet_check;
pub mod fill;
pub mod findings;
mod foot_results;
mod from_code;
mod guesses;
pub mod hand;
mod hand_column;
pub mod held_feet;
pub mod in_strips;
pub mod left_out;
pub mod mechanism;
pub mod notes;
pub mod openings;
pub mod paths;
pub mod plain_frame;
pub mod ranged;
pub mod ready;
pub mod remarks;
pub mod results;
pub mod rows_of_feet;
pub mod run;
pub mod sag;
mod seam_stiffness;
pub mod seams_asked;
pub mod setup;
pub mod snap;
pub mod stability;
pub mod stages;
pub mod tie;
mod unseen;
pub mod verdict;
pub mod words;
pub mod workings;
mod worst_list;

use crate::frame::error::FrameError;
use crate::loads::LoadError;
use crate::model::ModelError;
use crate::project::Project;
use crate::rules::members::RuleError;
use crate::shell::ShellError;

pub use findings::{Findings, find};
pub use results::Assessment;

/// Why a project that reads well cannot be assessed.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum AssessError {
    /// The shell cannot be built.
    #[error(transparent)]
    Shell(#[from] ShellError),
    /// A member cannot be made.
    #[error(transparent)]
    Model(#[from] ModelError),
    /// A load cannot be applied.
    #[error(transparent)]
    Load(#[from] LoadError),
    /// A rule does not go with the grade, size or conditions.
    #[error(transparent)]
    Rule(#[from] RuleError),
    /// The frame cannot be solved.
    #[error(transparent)]
    Frame(#[from] FrameError),
    /// Asked of a member that does not exist.
    #[error("there is no timber {asked:?}; the nearest is {nearest}")]
    NoMember {
        /// As asked.
        asked: String,
        /// A name that exists.
        nearest: String,
    },
    /// Asked of something else than a timber.
    #[error("{asked} is {what}, not a timber; {where_told}")]
    NotATimber {
        /// As asked.
        asked: String,
        /// What it is.
        what: &'static str,
        /// Where it is told.
        where_told: &'static str,
    },
    /// Asked of a part of the whole shell that an opening took.
    #[error("there is no timber {asked}: opening {opening} took {what}{instead}")]
    Taken {
        /// As asked.
        asked: String,
        /// Number of the opening.
        opening: usize,
        /// "it", "that joint", "that panel".
        what: &'static str,
        /// What stands in its place, in words; empty where nothing does.
        instead: String,
    },
    /// Every model that was run is a mechanism.
    #[error(
        "every joint model that was run is a mechanism, so no timber has a force to explain; strutwise check says how it folds"
    )]
    NothingSolved,
    /// Asked of a combination that does not exist.
    #[error(
        "there is no combination {asked:?}; the nearest is {nearest:?}; strutwise check --json lists all of them (combinations)"
    )]
    NoCombination {
        /// As asked.
        asked: String,
        /// A name that exists.
        nearest: String,
    },
}

impl AssessError {
    /// Whether the input is at fault (exit code 2) rather than the program (3).
    #[must_use]
    pub fn is_input(&self) -> bool {
        !matches!(self, Self::Frame(FrameError::Unbalanced { .. }))
    }
}

/// How much to put into the results.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Options {
    /// Movements and bar forces of every case.
    pub full: bool,
    /// How many timbers are worked in full.
    pub workings: usize,
}

impl Default for Options {
    fn default() -> Self {
        Self { full: false, workings: 3 }
    }
}

/// Assesses a project.
///
/// # Errors
/// [`AssessError`], see there.
pub fn assess(project: &Project, options: &Options) -> Result<Assessment, AssessError> {
    let findings = find(project)?;
    fill::results(project, &findings, options)
}

/// A shell among the examples, for tests.
#[cfg(test)]
pub(crate) fn example(file: &str) -> Box<Project> {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples").join(file);
    let crate::project::Asked::Shell(project) = crate::project::read(&path).unwrap() else {
        panic!("{file}")
    };
    project
}

/// A shell of a project's text, for tests.
#[cfg(test)]
pub(crate) fn shell_of(text: &str) -> Box<Project> {
    let source = crate::project::SourceText { name: "shell.toml".to_owned(), text: text.to_owned() };
    let asked = crate::project::read_text(source, std::path::Path::new("."), "shell").unwrap();
    let crate::project::Asked::Shell(project) = asked else { panic!("{text}") };
    project
}
