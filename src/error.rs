//! The sum of the stations' errors, and the exit code each gives.

use std::path::{Path, PathBuf};

use crate::assess::AssessError;
use crate::assess::plain_frame::PlainFrameError;
use crate::project::{Faulty, Project, ProjectError, built};
use crate::study::ranges::RangesError;

/// The exit codes, all of them, in one place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Exit {
    /// Everything checked is within or near its indicative limit.
    Within,
    /// Computed, and something is over its limit or unstable.
    Over,
    /// The input cannot be used; nothing was written.
    Input,
    /// The program itself failed.
    Failed,
    /// Ctrl-C: a study was stopped, and what it had is written; or anything else was, and nothing is.
    Stopped,
}

impl Exit {
    /// The number that the system sees.
    #[must_use]
    pub fn code(self) -> u8 {
        match self {
            Self::Within => 0,
            Self::Over => 1,
            Self::Input => 2,
            Self::Failed => 3,
            // 128 + 2, as every shell reports an interrupted program.
            Self::Stopped => 130,
        }
    }
}

/// Whatever keeps a command from its answer.
#[derive(Debug, thiserror::Error)]
pub enum Error {
    /// The project cannot be used.
    #[error(transparent)]
    Project(#[from] ProjectError),
    /// The project reads well and cannot be assessed, or the assessment itself failed.
    #[error("{}: {error}", .file.display())]
    Assess {
        /// The project file.
        file: PathBuf,
        /// Why.
        error: Box<AssessError>,
    },
    /// A plain frame reads well and cannot be solved.
    #[error("{}: {error}", .file.display())]
    Frame {
        /// The project file.
        file: PathBuf,
        /// Why.
        error: Box<PlainFrameError>,
    },
    /// Inputs are ranges, and a point of them cannot be worked out.
    #[error("{}: {error}", .file.display())]
    Ranges {
        /// The project file.
        file: PathBuf,
        /// Why.
        error: Box<RangesError>,
    },
    /// Stopped by the user before there was an answer.
    #[error("{}: stopped before every corner of its ranges was tried; nothing was written", .file.display())]
    Stopped {
        /// The project file.
        file: PathBuf,
    },
    /// What the command line asks for cannot be had.
    #[error("{what}; {help}")]
    Asked {
        /// What is wrong.
        what: String,
        /// What to do.
        help: String,
    },
    /// The outcome cannot be put where it was asked for; found out before the work.
    #[error("{}: {why}; {help}", .path.display())]
    Place {
        /// Where.
        path: PathBuf,
        /// Why not.
        why: String,
        /// What to do.
        help: &'static str,
    },
    /// Writing failed after the work was done.
    #[error("{what}: writing failed: {why}")]
    Writing {
        /// File, or standard output.
        what: String,
        /// In the system's words.
        why: String,
    },
    /// This version cannot do it yet.
    #[error("{what} is not in this version yet; nothing was written")]
    NotYet {
        /// What.
        what: &'static str,
    },
    /// A slip of the program, in a report or a drawing.
    #[error("{what}; this is a fault of the program, nothing is to be concluded from this run")]
    Own {
        /// What happened.
        what: String,
    },
}

impl Error {
    /// An assessment's error with the file that it is about; where it comes of what the project asks for, the faults of
    /// that with their places.
    #[must_use]
    pub fn assess(file: &Path, project: &Project, error: AssessError) -> Self {
        match located(project, &error) {
            Some(faulty) => Self::Project(ProjectError::Faulty(Box::new(faulty))),
            None => Self::Assess { file: file.to_path_buf(), error: Box::new(error) },
        }
    }

    /// Why the ranges of a project have no answer, with the file that it is about. Faults of the project
    /// are told with their places.
    #[must_use]
    pub fn ranges(file: &Path, error: RangesError) -> Self {
        let faulty = match &error {
            RangesError::Assess { at, error, project } => {
                located(project, error).map(|faulty| faulty.at_point(at))
            }
            _ => None,
        };
        match (faulty, error) {
            (Some(faulty), _) => Self::Project(ProjectError::Faulty(Box::new(faulty))),
            (None, RangesError::Project(error)) => Self::Project(error),
            (None, RangesError::Stopped) => Self::Stopped { file: file.to_path_buf() },
            (None, error) => Self::Ranges { file: file.to_path_buf(), error: Box::new(error) },
        }
    }

    /// Input (2) or program (3).
    #[must_use]
    pub fn exit(&self) -> Exit {
        match self {
            Self::Assess { error, .. } if error.is_input() => Exit::Input,
            Self::Ranges { error, .. } if error.is_input() => Exit::Input,
            Self::Stopped { .. } => Exit::Stopped,
            Self::Assess { .. } | Self::Ranges { .. } => Exit::Failed,
            Self::Project(_) | Self::Frame { .. } | Self::Asked { .. } | Self::Place { .. } => Exit::Input,
            Self::Writing { .. } | Self::NotYet { .. } | Self::Own { .. } => Exit::Failed,
        }
    }
}

/// The faults of a project that show only once its shell is built, where the error is of that kind.
fn located(project: &Project, error: &AssessError) -> Option<Faulty> {
    matches!(error, AssessError::Shell(_) | AssessError::Model(_) | AssessError::Load(_))
        .then(|| built::faults(project))
        .flatten()
}
