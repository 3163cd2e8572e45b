//! What an answer says more where inputs of the project are ranges: every corner of them that was tried,
//! and between which ends each result lies. The rest of the results is of the worst of those points.

use schemars::JsonSchema;
use serde::Serialize;

use crate::assess::results::{AnchorLine, Verdict};

/// The answer over the ranges of the inputs.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Ranges {
    /// Inputs given as ranges, in the order of the file.
    pub inputs: Vec<RangeLine>,
    /// The point that the rest of the document is about, the worst of all that were tried: "c4".
    pub worst: String,
    /// Its inputs in words: "snow.ground 0.8 kN/m2 (high)".
    pub worst_words: String,
    /// How the corners stand.
    pub verdicts: VerdictCounts,
    /// Every corner: each input at its low or high end.
    pub corners: Vec<PointResult>,
    /// Points within: every input at its middle (m0), then the worst corner with one input at its middle.
    pub within: Vec<PointResult>,
    /// Results that some point within makes worse than every corner does; empty where the corners held
    /// the worst of all that was tried.
    pub beyond_corners: Vec<Beyond>,
    /// Least and greatest of each result.
    pub results: RangeResults,
    /// What each anchor of the finished shell is to hold, each figure the greatest over all points tried that do not fold; empty
    /// where the points have other feet.
    pub anchors: Vec<AnchorLine>,
    /// What is warned of at other points and not at the worst: "at c1: feet lift, …".
    pub warnings: Vec<String>,
    /// Points that were not tried because the work was stopped.
    pub left_out: usize,
}

/// An input given as a range.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct RangeLine {
    /// Key in the file: "snow.ground".
    pub key: String,
    /// "0.4 to 0.8 kN/m2".
    pub words: String,
    /// Unit of the values: "N/m2"; empty for plain numbers.
    pub unit: String,
    /// Lower end.
    pub low: f64,
    /// Higher end.
    pub high: f64,
    /// Where it stands at the worst point: "low", "middle" or "high".
    pub worst_end: String,
}

/// How many corners have each verdict.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, JsonSchema)]
#[allow(missing_docs, reason = "the names say it")]
pub struct VerdictCounts {
    pub within: usize,
    pub near: usize,
    pub over: usize,
    pub unstable: usize,
}

/// What `check` says with every input at one value of its range.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PointResult {
    /// "c1", … for corners, "m0", … for points within.
    pub id: String,
    /// Where each input stands, in the order of `inputs`: "low", "middle" or "high".
    pub ends: Vec<String>,
    /// Its values, in the order of `inputs`.
    pub values: Vec<f64>,
    /// In words: "snow.ground 0.8 kN/m2 (high)".
    pub words: String,
    /// Verdict.
    pub verdict: Verdict,
    /// Whether only stiffer seams keep it within.
    pub rests_on_seams: bool,
    /// Worst utilisation of the models that the verdict is taken from; absent for a mechanism.
    pub utilisation: Option<f64>,
    /// What governs, in words.
    pub governs: String,
    /// Combination that it governs under; empty for a mechanism.
    pub combination: String,
    /// Lowest linear buckling factor of those models; absent where nothing buckles.
    pub buckling: Option<f64>,
    /// Times the loads at which the whole gives way in those models: the lower of linear factor and nonlinear path, and no
    /// more than the path was followed to (10); absent likewise.
    pub gives_way: Option<f64>,
    /// Greatest sag at once in those models \[m\].
    pub sag: Option<f64>,
    /// Greatest lift of a foot in those models, design value \[N\]; absent where none could be solved.
    pub uplift: Option<f64>,
    /// Greatest sideways push at a foot in those models, design value \[N\]; absent likewise.
    pub slide: Option<f64>,
    /// Greatest moment in a foot that is held against turning in those models, design value \[N·m\]; absent likewise.
    pub foot_moment: Option<f64>,
    /// Greatest net lift of the whole under a combination, upward positive \[N\]; absent where no model could be solved.
    pub net_lift: Option<f64>,
    /// What tips the whole over in its worst direction, less what its weight holds \[N·m\]; absent where nothing is looked at.
    pub tipping: Option<f64>,
    /// Every joint model, softest first.
    pub models: Vec<PointModel>,
}

/// One joint model at one point.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PointModel {
    /// "pinned", "seam", "semi-rigid", "rigid".
    pub name: String,
    /// Whether the verdict is taken from it.
    pub governs: bool,
    /// Verdict of this model alone.
    pub verdict: Verdict,
    /// Independent mechanisms.
    pub mechanisms: usize,
    /// Worst of timbers, fixings, feet and buckling; absent for a mechanism.
    pub utilisation: Option<f64>,
    /// Worst timber; absent for a mechanism.
    pub timber: Option<f64>,
    /// Lowest linear buckling factor.
    pub buckling: Option<f64>,
    /// Greatest sag at once \[m\].
    pub sag: Option<f64>,
}

/// Least and greatest of one result over all points tried.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
pub struct Spread {
    /// Least; absent where no point has a number.
    pub least: Option<f64>,
    /// Point of the least.
    pub least_at: String,
    /// Greatest.
    pub greatest: Option<f64>,
    /// Point of the greatest.
    pub greatest_at: String,
    /// Points without a number: a mechanism, or, of buckling, nothing pressed.
    pub without: usize,
}

/// Least and greatest of each result; those of the whole are of the models that the verdict is taken from.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct RangeResults {
    /// Worst utilisation.
    pub utilisation: Spread,
    /// Lowest linear buckling factor.
    pub buckling: Spread,
    /// Times the loads at which the whole gives way.
    pub gives_way: Spread,
    /// Greatest sag \[m\].
    pub sag: Spread,
    /// Greatest lift of a foot \[N\].
    pub uplift: Spread,
    /// Greatest sideways push at a foot \[N\].
    pub slide: Spread,
    /// Greatest moment in a foot that is held against turning \[N·m\].
    pub foot_moment: Spread,
    /// Greatest net lift of the whole, upward positive \[N\].
    pub net_lift: Spread,
    /// What tips it over, less what its weight holds; negative stands by its own weight \[N·m\].
    pub tipping: Spread,
    /// Each joint model.
    pub models: Vec<ModelSpread>,
}

/// One joint model over the points.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ModelSpread {
    /// "pinned", "seam", "semi-rigid", "rigid".
    pub name: String,
    /// Whether the verdict is taken from it.
    pub governs: bool,
    /// Best and worst verdict.
    pub verdicts: [Verdict; 2],
    /// Worst of timbers, fixings, feet and buckling.
    pub utilisation: Spread,
    /// Worst timber.
    pub timber: Spread,
}

/// A result that a point within makes worse than every corner does.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Beyond {
    /// "verdict", "utilisation", "gives way", "sag", "uplift", "slide" or "foot moment".
    pub result: String,
    /// The point.
    pub point: String,
    /// What it comes to there; absent for a mechanism.
    pub value: Option<f64>,
    /// The worst that any corner makes of it.
    pub corners: Option<f64>,
}
