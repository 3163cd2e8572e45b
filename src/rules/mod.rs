//! Rules: what a timber, a fixing or a foot may carry. Each check is a value. No mesh, no solver.

pub mod ask;
pub mod bearing;
pub mod eurocode5;
mod eurocode5_stability;
mod eurocode5_strengths;
pub mod fasteners;
pub mod feet;
pub mod feet_whole;
pub mod first_fixing;
pub mod members;
pub mod nds;
mod nds_adjust;
mod nds_stability;
mod nds_strengths;
pub mod notation;
mod placing;
pub mod prepared;
pub mod recorder;
pub mod sag;
pub mod seams;
pub mod seams_bound;
mod seams_eurocode5;
mod seams_nds;
pub mod seams_stiffness;
pub mod sheet;
pub mod spacing;
mod spacing_nearest;

/// How a utilisation stands. Never "safe", never "passes".
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, schemars::JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Standing {
    /// Up to 0.85.
    Within,
    /// Up to 1.00.
    Near,
    /// Above 1.00, or not a number at all.
    Over,
}

impl Standing {
    /// Upper end of "within" (design rule of this project, no outside source).
    pub const WITHIN: f64 = 0.85;
    /// Upper end of "near".
    pub const NEAR: f64 = 1.00;

    /// Where a utilisation stands; anything that is not a finite number is over.
    #[must_use]
    pub fn of(utilisation: f64) -> Self {
        if utilisation <= Self::WITHIN {
            Self::Within
        } else if utilisation <= Self::NEAR {
            Self::Near
        } else {
            Self::Over
        }
    }
}

impl Compares {
    /// What is taken up by rounding where a length is wanted that is just there.
    const ROUNDING: f64 = 1e-9;

    /// Where a utilisation of this kind stands.
    #[must_use]
    pub fn standing(self, utilisation: f64) -> Standing {
        match self {
            Self::Load => Standing::of(utilisation),
            Self::Room if utilisation <= 1.0 + Self::ROUNDING => Standing::Within,
            Self::Room => Standing::Over,
        }
    }
}

/// The worst of a set of checks, small enough to make by the million.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Worst {
    /// Demand over resistance; infinite where a limit of validity is broken.
    pub utilisation: f64,
    /// Plain words: "bending with compression, buckling out of the surface".
    pub rule: &'static str,
    /// Standard, clause and expression: "EN 1995-1-1 6.3.2 (6.23)".
    pub clause: &'static str,
    /// Which of the places looked at governs (position in the list of forces given).
    pub place: usize,
}

/// One line of working, as a person would write it by hand.
#[derive(Debug, Clone, PartialEq, serde::Serialize, schemars::JsonSchema)]
pub struct Step {
    /// In words: "slenderness about y".
    pub words: String,
    /// Symbol: `λ_y`.
    pub symbol: String,
    /// Formula in symbols; empty for an input.
    pub formula: String,
    /// The formula with the numbers put in; empty for an input.
    pub numbers: String,
    /// Its value in `unit`.
    pub value: f64,
    /// "N/mm²", "mm", "–".
    pub unit: String,
    /// Clause or table that it comes from; empty for a definition.
    pub clause: String,
}

/// What a check compares.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Compares {
    /// A load against what resists it: the nearer to 1, the harder worked.
    Load,
    /// A length that is wanted against the length that is there. It fits or it does not: what fits is not worked,
    /// however close, so it is never "near" and never the worst of a set.
    Room,
}

/// One check with its working.
#[derive(Debug, Clone, PartialEq, serde::Serialize, schemars::JsonSchema)]
pub struct Check {
    /// Plain words.
    pub rule: String,
    /// Standard, clause and expression.
    pub clause: String,
    /// Inputs and formulas in the order of the working; the last is the utilisation.
    pub steps: Vec<Step>,
    /// Demand over resistance; of a room, wanted over there.
    pub utilisation: f64,
    /// Where it stands.
    pub standing: Standing,
    /// What it compares.
    pub compares: Compares,
}

impl Check {
    /// Whether it asks only for room, and the room is there: nothing is worked.
    #[must_use]
    pub fn fits(&self) -> bool {
        self.compares == Compares::Room && self.standing != Standing::Over
    }
}

#[cfg(test)]
#[allow(clippy::doc_markdown, reason = "symbols of the standards")]
mod eurocode5_choices_tests;
#[cfg(test)]
#[allow(clippy::doc_markdown, reason = "symbols of the standards")]
mod eurocode5_holes_tests;
#[cfg(test)]
#[allow(clippy::doc_markdown, clippy::approx_constant, reason = "symbols of the standards; k_c of 0.3183")]
mod eurocode5_tests;
#[cfg(test)]
mod member_properties;
#[cfg(test)]
#[allow(clippy::doc_markdown, reason = "symbols of the standards")]
mod members_tests;
#[cfg(test)]
#[allow(clippy::doc_markdown, reason = "symbols of the standards")]
mod nds_sizes_tests;
#[cfg(test)]
#[allow(clippy::doc_markdown, clippy::approx_constant, reason = "symbols of the standards; k_c of 0.3183")]
mod nds_tests;
#[cfg(test)]
#[allow(clippy::panic, reason = "a sheet that cannot be read")]
mod recomputed;
