//! The first half of the line: project → shell, timbers, cases, combinations, loads on the frame.

use crate::assess::AssessError;
use crate::assess::stability::two_figures;
use crate::frame::FrameLoads;
use crate::loads::{self, Case, Combination};
use crate::model::ask::{JointModel, SeamStiffness};
use crate::model::joints::{JointStiffness, Material};
use crate::model::seam_demand::{Crossing, crossings};
use crate::model::timbers::{Timber, timbers, weights};
use crate::model::{back, load};
use crate::project::Project;
use crate::shell::{self, Shell};
use crate::tables::grade::Grade;

/// Everything that no joint model changes.
#[derive(Debug, Clone)]
pub struct Setup {
    /// Geometry.
    pub shell: Shell,
    /// Strength and stiffness of the timber.
    pub grade: Grade,
    /// Mean stiffness for the analysis.
    pub material: Material,
    /// What every member is made of.
    pub timbers: Vec<Timber>,
    /// Load cases.
    pub cases: Vec<Case>,
    /// The same on the frame's bars and nodes.
    pub loads: Vec<FrameLoads>,
    /// Combinations.
    pub combinations: Vec<Combination>,
    /// Where every member is looked at \[m\].
    pub stations: Vec<Vec<f64>>,
    /// What crosses every seam in a rigid model.
    pub crossings: Vec<Crossing>,
    /// Stiffness of seams and bar ends.
    pub stiffness: JointStiffness,
    /// Where the seam's stiffness comes from, in words.
    pub stiffness_words: String,
    /// Whether it is an estimate.
    pub stiffness_estimated: bool,
    /// Which models to run, softest first.
    pub models: Vec<JointModel>,
}

/// Works out everything that comes before the first joint model.
///
/// # Errors
/// Any station's error; a seam model asked for with no stiffness known.
pub fn setup(project: &Project) -> Result<Setup, AssessError> {
    let shell = shell::build(&project.shell)?;
    finish(project, shell)
}

/// As [`setup`], on a shell that is already built (studies build it once).
///
/// # Errors
/// As [`setup`].
pub fn finish(project: &Project, shell: Shell) -> Result<Setup, AssessError> {
    let grade = project.grade.clone();
    let material =
        Material { elastic: grade.elastic_mean(), shear: grade.shear_mean(), density: grade.density_mean() };
    let timbers = timbers(&shell, &project.timber)?;
    let weights = weights(&timbers, material.density, project.timber.fixings_allowance);
    let cases = loads::cases(&project.loads, &shell, &weights)?;
    let loads: Vec<FrameLoads> = cases.iter().map(|case| load::frame_loads(&shell, case)).collect();
    let combinations = loads::combine::combinations(&project.loads, &cases)?;
    let stations = back::stations(&shell, &loads);
    let crossings = crossings(&shell);
    let (seam, stiffness_words, stiffness_estimated) = seam_stiffness(project, &shell, &grade);
    let stiffness =
        JointStiffness { seam: seam.unwrap_or(0.0), end: project.joints.end_stiffness.unwrap_or(0.0) };
    let mut models = project.joints.models.clone();
    models.sort_unstable();
    models.dedup();
    Ok(Setup {
        shell,
        grade,
        material,
        timbers,
        cases,
        loads,
        combinations,
        stations,
        crossings,
        stiffness,
        stiffness_words,
        stiffness_estimated,
        models,
    })
}

/// Turning stiffness of a seam \[N·m/rad per m\] where it is known, in words where it comes from, and
/// whether it is an estimate.
fn seam_stiffness(project: &Project, shell: &Shell, grade: &Grade) -> (Option<f64>, String, bool) {
    let _ = (shell, grade);
    match project.joints.seam_stiffness {
        SeamStiffness::Entered(k) => {
            (Some(k), format!("{} kN·m/rad per metre of seam, as entered", two_figures(k * 1e-3)), false)
        }
        SeamStiffness::FromFixings | SeamStiffness::Unknown => (None, "not known".into(), false),
    }
}
