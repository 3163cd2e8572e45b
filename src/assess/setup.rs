//! The first half of the line: project → shell, timbers, cases, combinations, loads on the frame.

use std::sync::Arc;

use rayon::prelude::{IntoParallelRefIterator, ParallelIterator};

use crate::assess::AssessError;
use crate::assess::conditions;
use crate::assess::cutting;
use crate::assess::run::lumped;
use crate::assess::seam_stiffness::Seams;
use crate::frame::FrameLoads;
use crate::loads::{self, Case, Combination};
use crate::model::ask::JointModel;
use crate::model::corners::Corners;
use crate::model::joints::{JointStiffness, Material};
use crate::model::seam_demand::{Crossing, crossings};
use crate::model::timbers::{Timber, timbers, weights};
use crate::model::transfer::{Spot, Transfer, spots, transfers};
use crate::model::{back, load};
use crate::project::Project;
use crate::rules::members;
use crate::shell::{self, MemberId, MemberKind, Shell};
use crate::tables::grade::Grade;
use crate::vector::Vec3;

/// Everything that no joint model changes.
#[derive(Debug, Clone)]
pub struct Setup {
    /// Geometry.
    pub shell: Shell,
    /// Length of the longest seam \[m\].
    pub longest_seam: f64,
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
    /// The same as forces on the joints, by case and joint \[N\].
    pub lumps: Vec<Vec<Vec3>>,
    /// Combinations, shared by the rows of a study.
    pub combinations: Arc<[Combination]>,
    /// What may make the loads greater than those combinations hold, and panels that nobody can make: no verdict is better than near.
    pub gaps: Arc<[String]>,
    /// Where every member is looked at \[m\], shared likewise.
    pub stations: Arc<[Vec<f64>]>,
    /// What the strips of every seam pass to each other of their panels' loads, by case and member.
    pub transfers: Arc<[Vec<Transfer>]>,
    /// Forces that stand in one place of one strip, by member.
    pub spots: Arc<[Vec<Spot>]>,
    /// What crosses every seam in a rigid model.
    pub crossings: Vec<Crossing>,
    /// What the frames pass to each other at their corners.
    pub corners: Arc<Corners>,
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
    let timbers = timbers(&shell, &project.timber)?;
    Loaded::new(project, shell)?.of(project, timbers)
}

/// As [`finish`], of a part of a shell with its timbers, one for every member of the part: its seams have the fixings that they have in the
/// whole, whose longest seam is `longest_seam` \[m\].
///
/// # Errors
/// As [`setup`].
pub fn finish_of(
    project: &Project,
    part: Shell,
    timbers: Vec<Timber>,
    longest_seam: f64,
) -> Result<Setup, AssessError> {
    let loaded = Loaded::new(project, part)?;
    Loaded { longest_seam, ..loaded }.of(project, timbers)
}

/// A shell under its loads, before it has a timber: all that studies keep where only timbers and joints change.
#[derive(Debug, Clone)]
pub struct Loaded {
    shell: Shell,
    /// The first is the weight of the timbers, with nothing in it yet.
    cases: Vec<Case>,
    loads: Vec<FrameLoads>,
    lumps: Vec<Vec<Vec3>>,
    combinations: Arc<[Combination]>,
    gaps: Arc<[String]>,
    stations: Arc<[Vec<f64>]>,
    /// Those of loads on panels: the weight of the timbers passes nothing.
    transfers: Arc<[Vec<Transfer>]>,
    spots: Arc<[Vec<Spot>]>,
    crossings: Vec<Crossing>,
    corners: Arc<Corners>,
    longest_seam: f64,
}

impl Loaded {
    /// Puts the loads of a project on its shell.
    ///
    /// # Errors
    /// A load that cannot be applied.
    pub fn new(project: &Project, shell: Shell) -> Result<Self, AssessError> {
        let weightless = vec![0.0; shell.members.len()];
        let cases = loads::cases(&project.loads, &shell, &weightless)?;
        let shares = loads::edge_share::EdgeShares::new(&shell);
        let on_frame = |case| {
            let loads = load::frame_loads_shared(&shares, case);
            let lumps = lumped(&shell, &loads);
            (loads, lumps)
        };
        let (loads, lumps): (Vec<FrameLoads>, Vec<Vec<Vec3>>) = cases.par_iter().map(on_frame).unzip();
        let combinations = loads::combine::combinations(&project.loads, &cases)?;
        let doubted = project.doubts.iter().cloned();
        let gaps = doubted.chain(loads::gaps::gaps(&project.loads, &shell, &cases, &combinations));
        let gaps = gaps.chain(loads::audit::unaccounted(&shell, &shares, &cases)).collect();
        // The weight of a timber begins and ends where the timber does: it adds no station.
        let (stations, (transfers, crossings)) = rayon::join(
            || back::stations(&shell, &loads).into(),
            || (transfers(&shell, &shares, &cases).into(), crossings(&shell)),
        );
        let spots = spots(&shell, &cases).into();
        let longest_seam = longest_seam(&shell);
        let corners = Arc::new(Corners::new(&shell));
        Ok(Self {
            shell,
            cases,
            loads,
            lumps,
            combinations: combinations.into(),
            gaps,
            stations,
            transfers,
            spots,
            crossings,
            corners,
            longest_seam,
        })
    }

    /// The setup with the timbers, joints and models of a project that has the same shell and loads.
    ///
    /// # Errors
    /// A timber that cannot be made; see [`setup`].
    pub fn with_timber(&self, project: &Project) -> Result<Setup, AssessError> {
        let timbers = timbers(&self.shell, &project.timber)?;
        self.clone().of(project, timbers)
    }

    fn of(mut self, project: &Project, timbers: Vec<Timber>) -> Result<Setup, AssessError> {
        let grade = project.grade.clone();
        // Wet, hot or incised timber is softer under the NDS (Table 4.3.1); the Eurocode has it in creep alone.
        let softer = members::service_modulus_factor(&grade, &conditions::surroundings(project));
        let material = Material {
            elastic: grade.elastic_mean() * softer,
            shear: grade.shear_mean() * softer,
            density: grade.density_mean(),
        };
        let weights = weights(&timbers, material.density, project.timber.fixings_allowance);
        let own = loads::weight::timbers(&self.shell, &weights);
        let on_bars = load::frame_loads_of_members(&own);
        self.lumps[0] = lumped(&self.shell, &on_bars);
        self.loads[0] = on_bars;
        self.cases[0] = own;
        let (seam, stiffness_words, stiffness_estimated) = Seams {
            project,
            shell: &self.shell,
            corners: &self.corners,
            longest: self.longest_seam,
            grade: &grade,
            timbers: &timbers,
        }
        .stiffness();
        let stiffness =
            JointStiffness { seam: seam.unwrap_or(0.0), end: project.joints.end_stiffness.unwrap_or(0.0) };
        let mut models = project.joints.models.clone();
        models.sort_unstable();
        models.dedup();
        let mut setup = Setup {
            shell: self.shell,
            longest_seam: self.longest_seam,
            grade,
            material,
            timbers,
            cases: self.cases,
            loads: self.loads,
            lumps: self.lumps,
            combinations: self.combinations,
            gaps: self.gaps,
            stations: self.stations,
            transfers: self.transfers,
            spots: self.spots,
            crossings: self.crossings,
            corners: self.corners,
            stiffness,
            stiffness_words,
            stiffness_estimated,
            models,
        };
        if let Some(words) = cutting::no_room(project, &setup) {
            setup.gaps = setup.gaps.iter().cloned().chain([words]).collect();
        }
        Ok(setup)
    }
}

fn longest_seam(shell: &Shell) -> f64 {
    (0..shell.members.len())
        .filter(|&m| shell.members[m].kind == MemberKind::Seam)
        .map(|m| shell.length(MemberId(m)))
        .fold(0.0, f64::max)
}
