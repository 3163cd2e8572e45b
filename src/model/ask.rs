//! What can be asked of the joint models: data only.

/// A rung of the ladder of joint models.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum JointModel {
    /// No stiffness in the seams: bars with three freedoms a joint.
    Pinned,
    /// The pinned bars plus a turning spring on the fold of every seam.
    Seam,
    /// Rigid bars with springs at their ends.
    SemiRigid,
    /// Six freedoms a joint.
    Rigid,
}

impl JointModel {
    /// Whether joints pass moments to the timbers.
    #[must_use]
    pub const fn is_stiff(self) -> bool {
        matches!(self, Self::SemiRigid | Self::Rigid)
    }
}

/// How feet are held.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FeetHeld {
    /// Against movement only.
    Pinned,
    /// Against movement and turning.
    Fixed,
}

/// Where the seam's stiffness comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SeamStiffness {
    /// Entered or measured, N·m/rad per metre of seam.
    Entered(f64),
    /// To be estimated from the fixings.
    FromFixings,
    /// Not known.
    Unknown,
}

/// Everything asked of the joint models.
#[derive(Debug, Clone, PartialEq)]
pub struct JointsAsk {
    /// Which models, in the order of the ladder.
    pub models: Vec<JointModel>,
    /// Turning stiffness of a seam.
    pub seam_stiffness: SeamStiffness,
    /// Semi-rigid: turning stiffness of a bar's end about every axis \[N·m/rad\].
    pub end_stiffness: Option<f64>,
    /// How feet are held.
    pub feet: FeetHeld,
}
