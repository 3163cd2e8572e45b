//! What each joint model says: how it moves, buckles and sags, and what governs in it.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use crate::assess::results::{Verdict, WorstAt};

/// A motion that meets no stiffness.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct MechanismResult {
    /// In words: which joints, which way.
    pub words: String,
    /// What would stop it.
    pub remedy: String,
    /// Movement of every joint, largest 1.
    pub shape: Vec<[f64; 3]>,
}

/// The smallest buckling factor.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct BucklingResult {
    /// Load factor of the linear eigenvalue; absent where no combination compresses it.
    pub factor: Option<f64>,
    /// Combination it belongs to.
    pub combination: String,
    /// The lowest few factors of that combination, this one first.
    pub factors: Vec<f64>,
    /// Lowest load factor at the limit of the nonlinear paths that were followed, where any was.
    pub limit_factor: Option<f64>,
    /// Combination it belongs to, which may be another than that of the linear factor.
    pub limit_combination: Option<String>,
    /// How many combinations were followed.
    pub paths_followed: usize,
    /// Whether the path reached a limit there; otherwise it still stood where the search ended, and
    /// `limit_factor` is a lower bound.
    pub limit_reached: bool,
    /// Whether `limit_factor` counts in the verdict: a limit was reached, or the path was lost before it had been followed as far as
    /// anybody asks.
    pub limit_met: bool,
    /// How the pair is to be read.
    pub reading: String,
    /// Movement of every joint in the lowest shape, largest 1.
    pub shape: Vec<[f64; 3]>,
}

/// Sag and sway.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct SagResult {
    /// Greatest downward movement at once \[m\].
    pub sag: f64,
    /// With creep \[m\]; absent where the basis has none.
    pub sag_final: Option<f64>,
    /// Greatest sideways movement \[m\].
    pub sway: f64,
    /// Joint of the greatest sag.
    pub joint: String,
    /// Combination of the greatest sag at once.
    pub combination: String,
    /// Combination of the greatest sway.
    pub sway_combination: String,
    /// Movement of every joint in that combination \[m\].
    pub shape: Vec<[f64; 3]>,
}

/// What one joint model says.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct ModelResult {
    /// "pinned", "seam", "rigid" or "semi-rigid".
    pub name: String,
    /// Its stiffness and where that comes from.
    pub stiffness: String,
    /// Whether the verdict is taken from it.
    pub governs: bool,
    /// Independent mechanisms.
    pub mechanisms: usize,
    /// Each of them (at most six are described).
    pub mechanism_shapes: Vec<MechanismResult>,
    /// Maxwell–Calladine count: 3·joints − bars − holds (mechanisms minus states of self-stress); bars between two feet that are held
    /// are left out, as they restrain nothing.
    pub maxwell_count: i64,
    /// Unknowns solved for.
    pub unknowns: usize,
    /// Whole-shell buckling; absent for a mechanism.
    pub buckling: Option<BucklingResult>,
    /// Whether second-order forces were used.
    pub second_order: bool,
    /// What keeps its verdict from being better than "near", beside its feet and the loads: movements so large, or a limit so close, that
    /// forces may be greater than those told.
    pub doubts: Vec<String>,
    /// Sag and sway; absent for a mechanism.
    pub sag: Option<SagResult>,
    /// The worst timber; absent for a mechanism.
    pub worst: Option<WorstAt>,
    /// The worst seam fixing.
    pub worst_fixing: Option<WorstAt>,
    /// Verdict of this model alone.
    pub verdict: Verdict,
    /// Movements per case, `displacements[case][joint]`; only with `--full`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub displacements: Option<BTreeMap<String, BTreeMap<String, [f64; 6]>>>,
    /// Bar forces per case; only with `--full`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bar_forces: Option<BTreeMap<String, BTreeMap<String, BarForcesResult>>>,
}

/// N, Vy, Vz, T, My, Mz at either end of a member, tension positive.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[allow(missing_docs, reason = "the names say it")]
pub struct BarForcesResult {
    pub from: [f64; 6],
    pub to: [f64; 6],
}
