//! How much is left: with softer and stiffer seams, and of each load.

use schemars::JsonSchema;
use serde::Serialize;

/// The answer at one seam stiffness.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct SeamPoint {
    /// Times the stiffness that the verdict uses.
    pub times: f64,
    /// Turning stiffness per metre of seam \[N·m/rad per m\].
    pub stiffness: f64,
    /// Worst utilisation of any timber; absent where the model is a mechanism.
    pub utilisation: Option<f64>,
    /// Lowest linear buckling factor; absent where no combination compresses it.
    pub buckling: Option<f64>,
    /// Times the loads at which the whole gives way: the lower of linear factor and nonlinear path, and no more than the
    /// path was followed to (10).
    pub gives_way: Option<f64>,
    /// Greatest sag \[m\]; absent where the model is a mechanism.
    pub sag: Option<f64>,
}

/// Where the limit of one load lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum ReserveStanding {
    /// Holds as entered; the limit lies above.
    Above,
    /// Over or unstable as entered; within the limits with less of this load.
    Below,
    /// Over or unstable as entered, and also without this load.
    OverWithoutIt,
    /// Holds up to the largest value tried.
    NoneFound,
}

/// How much more of one load until the first limit.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct Reserve {
    /// "snow", "wind", …
    pub load: String,
    /// As entered, where it is a pressure \[N/m²\].
    pub entered: Option<f64>,
    /// As entered, where it is a wind speed \[m/s\], of whose pressure `factor` is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub entered_speed: Option<f64>,
    /// Where the limit lies.
    pub standing: ReserveStanding,
    /// Times the entered value at which the first utilisation reaches 1; absent where nothing found
    /// up to the largest value tried.
    pub factor: Option<f64>,
    /// The largest factor tried.
    pub tried: f64,
    /// What reaches its limit first, in words.
    pub limit: String,
    /// What gives first, its model and combination; empty where no limit was found.
    pub gives: String,
}
