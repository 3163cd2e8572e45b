//! The results value: everything that a report, a drawing or `--json` shows. Writers compute nothing.
//!
//! Keys that others rely on are those of `contract` (see docs/reference.md): SI throughout, angles
//! in degrees where the key ends in `_deg`. Add freely; rename nothing.

mod feet;
mod models;
mod pieces;
mod reserves;
mod size;

use std::collections::BTreeMap;

pub use feet::{AnchorLine, Balance, FootInModel, FootResult, TippingResult, UpliftLine};
pub use models::{BarForcesResult, BucklingResult, MechanismResult, ModelResult, SagResult};
pub use pieces::{PanelKind, PanelSide, SeamFixings, TimberKind};
pub use reserves::{Reserve, ReserveStanding, SeamPoint};
use schemars::JsonSchema;
use serde::Serialize;

use crate::assess::ranged::Ranges;
pub use size::{Counts, Size};

/// A file that the project file names, as it was read.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct FurtherFile {
    /// As the project names it.
    pub name: String,
    /// SHA-256, hexadecimal, as `sha256sum` gives it.
    pub sha256: String,
}

/// What the whole comes to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Verdict {
    /// Every utilisation up to 0.85.
    Within,
    /// Every utilisation up to 1.00.
    Near,
    /// Something above 1.00.
    Over,
    /// The governing model is a mechanism, or buckles below the load.
    Unstable,
}

/// The answer in one sentence, in its two parts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Headline {
    /// Verdict, after what it rests on: "Over the indicative limits:".
    pub opening: String,
    /// Why: "worked hardest is …".
    pub why: String,
    /// Whether that is told by what is worked hardest.
    pub names_worst: bool,
}

impl Headline {
    /// The whole sentence.
    #[must_use]
    pub fn whole(&self) -> String {
        format!("{} {}", self.opening, self.why)
    }
}

/// Everything found out about one project.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct Assessment {
    /// Version of the program.
    pub strutwise: String,
    /// Name of the project.
    pub project: String,
    /// "eurocode", "us-lrfd" or "us-asd".
    pub basis: String,
    /// How reports print: "metric" or "imperial". The numbers here are SI either way.
    pub units: String,
    /// The caution in a sentence.
    pub indicative: String,
    /// The worst of the finished shell's verdict and those of the stages of its assembly; the exit code goes by it.
    pub verdict: Verdict,
    /// The verdict of the finished shell, by the governing model.
    pub finished_verdict: Verdict,
    /// The model the verdict is taken from: "seam", or the worse of "pinned" and "rigid".
    pub verdict_model: String,
    /// The answer in a plain sentence, the weakest thing named; then every stage of the assembly that is over or unstable.
    pub headline: String,
    /// What of the headline a writer says that shows the verdict by itself.
    #[serde(skip)]
    pub headline_parts: Headline,
    /// True where only stiffer seams keep it within.
    pub rests_on_seams: bool,
    /// True where it is within or near only with feet that are held against turning, by a moment that was compared with
    /// nothing (no `feet.moment` was entered). Such a verdict is not better than "near".
    pub rests_on_feet: bool,
    /// What else keeps the verdict from being better than "near": loads that may be greater than those looked at, and movements so
    /// large that forces may be greater than those told.
    pub doubts: Vec<String>,
    /// What the project leaves out: loads left out by the user, each with the reason given, and parts of which no strength was
    /// entered. In sentences.
    pub not_in_it: Vec<String>,
    /// What each opening takes: the size asked for, and the hole that whole panels leave. In words, in the project's units.
    pub openings: Vec<String>,
    /// Where inputs are ranges: every corner of them, and between which ends each result lies; the rest of
    /// the document is of the worst point tried. Absent where no input is a range.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ranges: Option<Ranges>,
    /// How many of everything.
    pub counts: Counts,
    /// Overall sizes.
    pub size: Size,
    /// Joints.
    pub joints: Vec<JointResult>,
    /// Panels.
    pub panels: Vec<PanelResult>,
    /// Seams, rims and bars.
    pub members: Vec<MemberResult>,
    /// Load cases with their audit.
    pub cases: Vec<CaseResult>,
    /// Combinations.
    pub combinations: Vec<CombinationResult>,
    /// What each joint model says.
    pub models: Vec<ModelResult>,
    /// Feet, greatest lift first; none where no model could be solved, for then nothing is known of what they are to hold.
    pub feet: Vec<FootResult>,
    /// Balance of the whole: net lift by combination, and tipping over.
    pub balance: Balance,
    /// Snap-through of the one joint that does so first; absent where none can be judged.
    pub snap: Option<SnapResult>,
    /// Stages of the assembly, each checked as a part of the shell that stands alone.
    pub stages: Vec<StageResult>,
    /// The worst of everything, timbers, fixings, feet and the whole together, worst first.
    pub worst_list: Vec<WorstItem>,
    /// The worst timbers, fixings and feet with their working, worst first.
    pub workings: Vec<Working>,
    /// The answer at other seam stiffnesses, from a tenth to ten times; empty where none is known.
    pub seam_curve: Vec<SeamPoint>,
    /// How much more of each load until the first limit; empty where it was not worked out.
    pub reserves: Vec<Reserve>,
    /// What each anchor is to hold, foot by foot and state by state (door shut, door open, stages of the assembly), in plan order; where
    /// inputs are ranges, each figure of the finished shell is the greatest over them.
    pub anchors: Vec<AnchorLine>,
    /// Distinct timbers to cut.
    pub timbers: Vec<TimberKind>,
    /// Distinct panels.
    pub panel_kinds: Vec<PanelKind>,
    /// Fixings of the seams, those of one length together; empty where none were entered.
    pub seam_fixings: Vec<SeamFixings>,
    /// Inputs as entered, each with where it comes from.
    pub inputs: Vec<InputLine>,
    /// What was assumed.
    pub assumptions: Vec<String>,
    /// Hand formulas beside the solver.
    pub hand_checks: Vec<HandCheck>,
    /// What this does not look at.
    pub not_covered: Vec<String>,
    /// Questions to put to an engineer.
    pub questions: Vec<String>,
    /// Standards, tables and papers used, with how sure each is.
    pub sources: Vec<String>,
    /// Suspicious inputs and provisional figures.
    pub warnings: Vec<String>,
    /// SHA-256 of the project file, hexadecimal, as `sha256sum` gives it (without a byte order mark, where the file begins with one).
    pub input_sha256: String,
    /// Further files that the project reads, in that order, each with its own.
    pub further_files: Vec<FurtherFile>,
    /// The project file itself, so that the result can be repeated.
    pub input_text: String,
}

impl Assessment {
    /// What is told with the verdict of stages that are over or unstable, in sentences.
    #[must_use]
    pub fn stages_told(&self) -> Vec<String> {
        crate::assess::stages::told(&self.stages)
    }

    /// Says that it stands at the worst point of ranges: each figure of the finished shell's anchors becomes the greatest over them,
    /// and what is warned of at other points joins the warnings.
    #[must_use]
    pub fn over(mut self, ranges: Option<Ranges>) -> Self {
        if let Some(ranges) = &ranges {
            for line in &mut self.anchors {
                if let Some(greatest) = ranges.anchors.iter().find(|other| other.is_of(line)) {
                    *line = greatest.clone();
                }
            }
            self.warnings.extend(ranges.warnings.iter().cloned());
        }
        self.ranges = ranges;
        self
    }
}

/// A joint.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct JointResult {
    /// Name.
    pub id: String,
    /// x, y, z \[m\].
    pub at: [f64; 3],
    /// On the base plane.
    pub foot: bool,
}

/// A panel.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct PanelResult {
    /// Name.
    pub id: String,
    /// Corners, anticlockwise seen from outside.
    pub joints: Vec<String>,
    /// \[m²\]
    pub area: f64,
    /// Angle of the surface from level.
    pub slope_deg: f64,
    /// The kind in `panel_kinds` ("P1"); empty where kinds were not counted.
    pub kind: String,
}

/// The worst check of something.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct WorstAt {
    /// Demand over resistance; absent where the model is a mechanism. 1e9 stands for "beyond a limit
    /// of validity".
    pub utilisation: f64,
    /// Plain words.
    pub rule: String,
    /// Clause.
    pub clause: String,
    /// Combination.
    pub combination: String,
    /// Joint model.
    pub model: String,
    /// The member, foot or seam.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub member: Option<String>,
    /// How far along it, from its first joint \[m\].
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at: Option<f64>,
}

/// Forces in one strip of a member at its worst place \[N, N·m\].
#[derive(Debug, Clone, Copy, Default, Serialize, JsonSchema)]
#[allow(missing_docs, reason = "StripForces, component by component")]
pub struct ForceResult {
    pub n: f64,
    pub vy: f64,
    pub vz: f64,
    pub t: f64,
    pub my: f64,
    pub mz: f64,
}

/// A seam, rim or bar.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct MemberResult {
    /// Name.
    pub id: String,
    /// Its joints.
    pub joints: [String; 2],
    /// "seam", "rim" or "bar".
    pub kind: String,
    /// "arch", "diagonal", "base rim", …
    pub role: String,
    /// \[m\]
    pub length: f64,
    /// Positive at a ridge.
    pub fold_deg: f64,
    /// The kind of its strips in `timbers` ("T1"); empty where kinds were not counted.
    pub timber: String,
    /// How many strips.
    pub strips: usize,
    /// b of one strip \[m\].
    pub breadth: f64,
    /// d of one strip \[m\].
    pub depth: f64,
    /// Area of all its strips, finished section \[m²\].
    pub area: f64,
    /// The worst over the models that count towards the verdict; absent where none could be solved.
    pub worst: Option<WorstAt>,
    /// The worst in each model, by the model's name.
    pub by_model: BTreeMap<String, WorstAt>,
    /// Least and greatest axial force of the whole member over the strength combinations, by model \[N\].
    pub axial: BTreeMap<String, [f64; 2]>,
    /// Greatest moment about the shell surface's own line (out of surface), by model \[N·m\].
    pub moment: BTreeMap<String, f64>,
    /// Forces of one strip at the worst place.
    pub forces: Option<ForceResult>,
    /// The fixings of the seam: worst check; absent where no fixings are given or it is no seam.
    pub fixings: Option<WorstAt>,
}

/// A load case and its audit.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct CaseResult {
    /// Name.
    pub name: String,
    /// "self", "cover", "snow", "wind", "imposed", "user".
    pub kind: String,
    /// Total that the case asked for \[N\].
    pub asked: [f64; 3],
    /// Total that went onto the frame \[N\].
    pub applied: [f64; 3],
    /// Total of the reactions, by model \[N\].
    pub reactions: BTreeMap<String, [f64; 3]>,
    /// Largest of |applied + reaction| over the load, by model.
    pub residual: BTreeMap<String, f64>,
    /// Least and greatest intensity on a panel, per true area, along its own direction \[N/m²\].
    pub intensity: [f64; 2],
    /// Area that it acts on \[m²\].
    pub area: f64,
    /// Traction on each panel \[N/m²\], in the order of `panels`.
    pub panel_traction: Vec<[f64; 3]>,
    /// Coefficients, clauses and choices.
    pub remarks: Vec<String>,
    /// Why a figure in it is provisional.
    pub provisional: Vec<String>,
}

/// A combination.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct CombinationResult {
    /// Name.
    pub name: String,
    /// "strength", "uplift", "service", "long-term", "accidental".
    pub state: String,
    /// Factor by case name.
    pub factors: BTreeMap<String, f64>,
    /// "short-term", "CD 1.15", …
    pub duration: String,
    /// Clause.
    pub clause: String,
}

/// Snap-through of one joint, its neighbours held.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct SnapResult {
    /// Joint.
    pub joint: String,
    /// Mean slope of its bars against the plane square to the load.
    pub slope_deg: f64,
    /// Load on the joint, design value \[N\].
    pub load: f64,
    /// Force at which it snaps \[N\]; absent where it does not snap below 1000 times the load.
    pub force: Option<f64>,
    /// That force over the load, or at least so much.
    pub factor: f64,
    /// Combination.
    pub combination: String,
    /// What was assumed.
    pub words: String,
}

/// A stage of the assembly.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct StageResult {
    /// Name.
    pub name: String,
    /// How many panels stand.
    pub panels: usize,
    /// Verdict of the part that stands.
    pub verdict: Verdict,
    /// In a sentence.
    pub headline: String,
    /// What is worked hardest of it: a timber, a fixing, a foot or the whole; absent where it is a mechanism.
    pub worst: Option<WorstItem>,
    /// Greatest lift of a foot \[N\]; absent where it is a mechanism.
    pub uplift: Option<f64>,
}

/// A line of the list of worst things.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct WorstItem {
    /// "timber", "fixing", "foot", "joint" (that snaps through) or "shell".
    pub what: String,
    /// Its name.
    pub id: String,
    /// Where it is, in words: "arch seam near the crown".
    pub place: String,
    /// Demand over resistance.
    pub utilisation: f64,
    /// Plain words.
    pub rule: String,
    /// Clause.
    pub clause: String,
    /// Combination.
    pub combination: String,
    /// Model.
    pub model: String,
}

/// One thing's checks with their working.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct Working {
    /// "timber", "fixing" or "foot".
    pub what: String,
    /// Member or joint.
    pub id: String,
    /// Where it is, in words.
    pub place: String,
    /// Model.
    pub model: String,
    /// Combination.
    pub combination: String,
    /// The combination broken into its cases: case, factor, and the force that it brings here.
    pub parts: Vec<WorkingPart>,
    /// What must be known of the forces to read it; empty where there is nothing.
    pub note: String,
    /// The checks, worst first.
    pub checks: Vec<crate::rules::Check>,
}

/// What one case of a combination brings to the place of a working.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct WorkingPart {
    /// Case.
    pub case: String,
    /// Its factor.
    pub factor: f64,
    /// Forces in one strip, not yet multiplied by the factor \[N, N·m\].
    pub forces: ForceResult,
}

/// An input as entered.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct InputLine {
    /// Key in the file: "snow.ground".
    pub key: String,
    /// As printed.
    pub value: String,
    /// "entered", "default", "code", "estimate".
    pub origin: String,
    /// The user's source, or a remark.
    pub note: String,
}

/// A hand formula beside the solver.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct HandCheck {
    /// What.
    pub what: String,
    /// Formula with numbers.
    pub working: String,
    /// By hand.
    pub hand: f64,
    /// By the solver.
    pub solver: f64,
    /// Unit of both.
    pub unit: String,
    /// How they should compare, and why they differ.
    pub remark: String,
}
