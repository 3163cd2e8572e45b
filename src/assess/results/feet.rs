//! What is told of the feet: each foot, what its anchor is to hold, and the balance of the whole on them.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use crate::assess::results::WorstAt;

/// A foot.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct FootResult {
    /// Joint.
    pub joint: String,
    /// Greatest lift, design value, positive or 0 \[N\].
    pub uplift: f64,
    /// Greatest push into the ground \[N\].
    pub down: f64,
    /// Greatest sideways force \[N\].
    pub slide: f64,
    /// Greatest push outward, towards `outward_deg` \[N\].
    pub outward: f64,
    /// Greatest pull inward, the other way \[N\].
    pub inward: f64,
    /// Which way is outward at this foot: level, away from the inside, square to the surface there on the whole; degrees,
    /// anticlockwise from x in plan.
    pub outward_deg: f64,
    /// Greatest level force square to outward, along the base rim \[N\].
    pub along: f64,
    /// Greatest moment that holds the foot against turning, about all three axes together; 0 where it turns freely \[N·m\].
    pub moment: f64,
    /// Combination of each: "uplift", "down", "slide", "outward", "inward", "along", "moment".
    pub combination: BTreeMap<String, String>,
    /// Model that each is from.
    pub model: BTreeMap<String, String>,
    /// Utilisation of the anchor in uplift, where its capacity is given.
    pub uplift_utilisation: Option<f64>,
    /// Utilisation of the anchor sideways, where its capacity is given.
    pub slide_utilisation: Option<f64>,
    /// Utilisation of the anchor in moment, where what it holds is given.
    pub moment_utilisation: Option<f64>,
    /// The worst of all that the foot is checked for, over the models that count; absent where nothing was given to check
    /// against, or nothing is asked.
    pub worst: Option<WorstAt>,
    /// The same in each joint model alone, those that do not govern too; no entry for a mechanism.
    pub by_model: BTreeMap<String, FootInModel>,
}

/// A foot in one joint model.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct FootInModel {
    /// Greatest lift, design value, positive or 0 \[N\].
    pub uplift: f64,
    /// Greatest push into the ground \[N\].
    pub down: f64,
    /// Greatest sideways force \[N\].
    pub slide: f64,
    /// Greatest push outward \[N\].
    pub outward: f64,
    /// Greatest pull inward \[N\].
    pub inward: f64,
    /// Greatest level force square to outward, along the base rim \[N\].
    pub along: f64,
    /// Greatest moment that holds the foot against turning, about all three axes together; 0 where it turns freely \[N·m\].
    pub moment: f64,
    /// Utilisation of the anchor in uplift, where its capacity is given.
    pub uplift_utilisation: Option<f64>,
    /// Utilisation of the anchor sideways, where its capacity is given.
    pub slide_utilisation: Option<f64>,
    /// Utilisation of the anchor in moment, where what it holds is given.
    pub moment_utilisation: Option<f64>,
    /// The worst of all that the foot is checked for (anchor, pad, sliding, tie, ground, timber); absent where nothing was
    /// given to check against, or nothing is asked.
    pub worst: Option<WorstAt>,
}

/// Balance of the whole shell, from the loads and the feet's reactions.
#[derive(Debug, Clone, PartialEq, Default, Serialize, JsonSchema)]
pub struct Balance {
    /// Net lift, strength, uplift and accidental combinations, greatest first.
    pub uplift: Vec<UpliftLine>,
    /// Tipping over, worst combination and direction; absent without feet.
    pub tipping: Option<TippingResult>,
}

/// Net lift under one combination.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct UpliftLine {
    /// Combination.
    pub combination: String,
    /// Sum of all feet, upward positive: the whole would lift without anchors \[N\].
    pub net: f64,
    /// Sum over the feet that lift \[N\].
    pub lifting: f64,
    /// How many feet lift.
    pub feet_lifting: usize,
    /// Greatest lift of one foot \[N\].
    pub greatest: f64,
    /// Its joint; empty where none lifts.
    pub joint: String,
}

/// The whole shell tipping over an edge of its base.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct TippingResult {
    /// Combination.
    pub combination: String,
    /// Direction towards which it tips, anticlockwise from x in plan.
    pub towards_deg: f64,
    /// Overturning moment less what holds down, about the edge; negative stands by its own weight \[N·m\].
    pub moment: f64,
    /// What the anchors can add, or the pads that hang on them where these give first, where either was given \[N·m\].
    pub anchors: f64,
    /// Which of them that is: "anchors" or "pads"; absent where neither was given.
    pub held_by: Option<String>,
    /// Utilisation; absent where it needs anchors and none are given.
    pub utilisation: Option<f64>,
}

/// What one anchor is to hold in one state of the building, design values.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct AnchorLine {
    /// Joint.
    pub joint: String,
    /// "door shut", "door open"; "open" of a shell that the wind blows through; "stage: " and the name of a stage of the assembly.
    pub state: String,
    /// Greatest lift, positive or 0 \[N\].
    pub up: f64,
    /// Greatest push into the ground \[N\].
    pub down: f64,
    /// Greatest push outward \[N\].
    pub out: f64,
    /// Greatest pull inward \[N\].
    pub inward: f64,
    /// Greatest level force square to outward, along the base rim \[N\].
    pub along: f64,
    /// Greatest moment that holds the foot against turning, about all three axes together; 0 where it turns freely \[N·m\].
    pub moment: f64,
    /// Greatest level force in any direction: out or in, and along, as they come together \[N\].
    pub level: f64,
}

impl AnchorLine {
    /// Whether it is of the same foot in the same state.
    #[must_use]
    pub fn is_of(&self, other: &Self) -> bool {
        self.joint == other.joint && self.state == other.state
    }

    /// Raises each figure to another's where that is the greater.
    pub fn raise_to(&mut self, other: &Self) {
        for (mine, its) in [
            (&mut self.up, other.up),
            (&mut self.down, other.down),
            (&mut self.out, other.out),
            (&mut self.inward, other.inward),
            (&mut self.along, other.along),
            (&mut self.moment, other.moment),
            (&mut self.level, other.level),
        ] {
            *mine = mine.max(its);
        }
    }
}
