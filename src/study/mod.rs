//! Studies: many assessments of one project, each a whole one. What a row says is what `check` would
//! say of that project: the same stations work it out, on a shell that is built once where only
//! timbers, joints or loads change.
//!
//! In: a validated project. Out: rows in a fixed order, whatever the number of threads.

pub mod compare;
pub mod loss;
pub mod notes;
pub mod ranges;
pub mod reserve;
pub mod row;
pub mod seams;
mod seams_words;
pub mod sensitivity;
pub mod span;
pub mod vary;
pub mod watch;

pub use notes::{MOST_MEMBERS, for_notes};
pub use row::Row;
pub use watch::{Quiet, Watch};

use crate::assess::findings::{Findings, find_in, find_like};
use crate::assess::left_out;
use crate::assess::setup::Loaded;
use crate::assess::verdict;
use crate::assess::{AssessError, setup};
use crate::model::ask::{JointModel, SeamStiffness};
use crate::project::Project;
use crate::shell::{self, Shell};
use crate::units::System;

/// What the answer to a study says of its project: all that its writers know of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Title {
    /// Name of the project.
    pub name: String,
    /// Units to print in.
    pub units: System,
    /// Where inputs are ranges: the point that it is about, in words.
    pub point: Option<String>,
    /// What the project leaves out, and what studies do, in sentences.
    pub not_in_it: Vec<String>,
}

impl Title {
    /// That of a project.
    #[must_use]
    pub fn of(project: &Project) -> Self {
        let not_in_it = left_out::of_study(project);
        Self { name: project.name.clone(), units: project.units, point: None, not_in_it }
    }
}

/// Assesses one variation of a project on a shell that is already built.
///
/// # Errors
/// Any station's error.
pub fn look(project: &Project, shell: &Shell) -> Result<Findings, AssessError> {
    find_in(project, setup::finish(project, shell.clone())?)
}

/// What the rows of a study share where only timbers and joints change.
#[derive(Debug)]
pub struct Kept {
    /// The shell under its loads.
    pub loaded: Loaded,
    /// What was found of one timber, for what depends on the shape alone.
    pub own: Option<Findings>,
}

impl Kept {
    /// As [`look`], for a project of this shell and these loads.
    ///
    /// # Errors
    /// As [`look`].
    pub fn look(&self, project: &Project) -> Result<Findings, AssessError> {
        let setup = self.loaded.with_timber(project)?;
        find_like(project, setup, self.own.as_ref())
    }
}

/// As [`look`], from the shape on.
///
/// # Errors
/// As [`look`].
pub fn look_whole(project: &Project) -> Result<Findings, AssessError> {
    look(project, &shell::build(&project.shell)?)
}

/// Whether `check` would say of a row that it rests on the stiffness of the seams, where only the models that the verdict is taken
/// from were looked at: stiffer ones of the project are looked at where those do not hold.
///
/// # Errors
/// Those of `look`.
pub fn rests_on_seams(
    project: &Project,
    row: &Row,
    look: impl FnOnce(&Project) -> Result<Findings, AssessError>,
) -> Result<bool, AssessError> {
    let stiffest = governing_only(project).joints.models.into_iter().max();
    let mut stiffer = project.clone();
    stiffer.joints.models.retain(|model| Some(*model) > stiffest);
    let fails = row.models.iter().any(|model| model.governs && !verdict::holds(model.verdict));
    if !fails || stiffer.joints.models.is_empty() {
        return Ok(row.rests_on_seams);
    }
    Ok(look(&stiffer)?.models.iter().any(|model| verdict::holds(model.verdict)))
}

/// A project with only the joint models that its verdict is taken from: what searches look at.
#[must_use]
pub fn governing_only(project: &Project) -> Project {
    let mut out = project.clone();
    let mut models: Vec<JointModel> = project.joints.models.clone();
    models.sort_unstable();
    models.dedup();
    let known = !matches!(project.joints.seam_stiffness, SeamStiffness::Unknown);
    out.joints.models = verdict::governing(&models, known).into_iter().map(|i| models[i]).collect();
    out
}
