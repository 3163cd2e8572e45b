//! What there is to cut and to put together: kinds of strip and of panel, and where the fixings of the seams stand.

use schemars::JsonSchema;
use serde::Serialize;

/// A kind of strip to cut.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct TimberKind {
    /// "T1", …
    pub id: String,
    /// Between joints \[m\].
    pub length: f64,
    /// b × d \[m\].
    pub section: [f64; 2],
    /// Half the fold angle, positive ridge, negative valley.
    pub bevel_deg: f64,
    /// End cut angles from square, first and second end.
    pub end_cuts_deg: [f64; 2],
    /// "left", "right" or "either".
    pub hand: String,
    /// How many.
    pub count: usize,
    /// Mass of one \[kg\].
    pub mass: f64,
    /// What to note: "trim on the inside".
    pub note: String,
}

/// The fixings of seams of one length in which they stand alike.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct SeamFixings {
    /// Between joints \[m\].
    pub length: f64,
    /// How many such seams there are.
    pub seams: usize,
    /// Where the fixings of one stand, from a joint \[m\]: the same from either end.
    pub places: Vec<f64>,
    /// The sharpest corner of a panel in which such a seam ends: the sharper, the further stands the first fixing.
    pub corner_deg: f64,
    /// Which seams they are.
    pub members: Vec<String>,
}

/// A kind of panel.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct PanelKind {
    /// "P1", …
    pub id: String,
    /// Side lengths in order \[m\].
    pub sides: Vec<f64>,
    /// "left", "right" or "either".
    pub hand: String,
    /// How many.
    pub count: usize,
    /// Mass of frame and cover \[kg\].
    pub mass: f64,
    /// "two people to lift".
    pub note: String,
}
