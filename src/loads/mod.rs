//! Loads on the shell: cases, what each asked for, and their combinations. No timber rules.
//!
//! What comes in: what is asked ([`ask::LoadsAsk`]), the shell, and the timbers' weight per metre of
//! each member. What goes out: cases with their loads, each with the total that was *asked for* worked
//! out apart from the loads, and the combinations of the basis.

mod all;
pub mod ask;
pub mod assembly;
pub mod audit;
mod build;
pub mod combine;
pub mod doubt;
pub mod edge_share;
mod error;
mod figures;
pub mod gaps;
mod halves;
pub mod imposed;
mod integrate;
mod leaf;
mod points;
mod section_line;
pub mod snow;
pub mod user;
pub mod weight;
pub mod wind;

pub use all::cases;
pub use doubt::warnings;
pub use error::LoadError;
pub(crate) use section_line::degrees as direction_words;

#[cfg(test)]
pub(crate) mod test_shells;
#[cfg(test)]
mod tests;

use crate::shell::{JointId, MemberId, PanelId};
use crate::vector::Vec3;

/// A case, by position in the list of cases.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct CaseId(pub usize);

/// Where a load comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "lowercase")]
pub enum CaseKind {
    /// Weight of the timbers.
    #[serde(rename = "self")]
    SelfWeight,
    /// Weight of the cover.
    Cover,
    /// Snow (every arrangement is a case; they exclude each other).
    Snow,
    /// Wind (every direction and internal pressure is a case; they exclude each other).
    Wind,
    /// People, things hung on.
    Imposed,
    /// The user's own.
    User,
}

/// A uniform traction on a panel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PanelLoad {
    /// The panel.
    pub panel: PanelId,
    /// Force per true area of the panel \[N/m²\], global axes.
    pub traction: Vec3,
}

/// A line load on a member, varying linearly, per metre of its true length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MemberLoad {
    /// The member.
    pub member: MemberId,
    /// Start and end from the member's first joint \[m\].
    pub span: [f64; 2],
    /// Intensity at either end of that stretch \[N/m\], global.
    pub intensity: [Vec3; 2],
    /// The panel whose strip it comes onto; none where all strips of the member get the same.
    pub panel: Option<PanelId>,
}

/// A force on a joint.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JointLoad {
    /// The joint.
    pub joint: JointId,
    /// Force \[N\], global.
    pub force: Vec3,
}

/// How a case enters combinations.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Action {
    /// With the weight.
    Permanent,
    /// Comes and goes.
    Variable,
    /// An accident: alone with the weight, at factor 1.
    Accidental,
}

/// What lets the wind in, of a case of wind.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Inlet {
    /// Nothing but cracks; of every other case too.
    #[default]
    Shut,
    /// A door that stands open.
    Door,
    /// The shell itself, which is open anyway.
    Everywhere,
}

/// One load case.
#[derive(Debug, Clone, PartialEq)]
pub struct Case {
    /// Reads well in a sentence: "snow drifted east", "wind from 90°, suction inside".
    pub name: String,
    /// Source.
    pub kind: CaseKind,
    /// How it enters combinations.
    pub action: Action,
    /// What lets the wind in.
    pub inlet: Inlet,
    /// On panels.
    pub panels: Vec<PanelLoad>,
    /// On members (self-weight, surcharges).
    pub members: Vec<MemberLoad>,
    /// On joints.
    pub joints: Vec<JointLoad>,
    /// Total that was asked for, worked out apart from the loads above \[N\].
    pub asked: Vec3,
    /// Coefficients used, clauses, choices; printed beside the case.
    pub remarks: Vec<String>,
    /// Why a figure in it is provisional, where one is.
    pub provisional: Vec<String>,
}

/// What a combination is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum LimitState {
    /// Strength of timbers and fixings (EN 1990 STR; ASCE strength or allowable stress).
    Strength,
    /// Balance of the whole: uplift, sliding, overturning (EN 1990 EQU; 0.9 D + W; 0.6 D + 0.6 W).
    Uplift,
    /// Sag and sway at once.
    Service,
    /// Sag with creep (quasi-permanent part).
    LongTerm,
    /// Accidental: exceptional snow, a door left open in a storm.
    Accidental,
}

impl LimitState {
    /// Whether only movements are looked at under it, at once or with creep: no strength, and no hold of the feet.
    #[must_use]
    pub fn is_service(self) -> bool {
        matches!(self, Self::Service | Self::LongTerm)
    }
}

/// How long the shortest load of a combination lasts, in the terms of the basis.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Duration {
    /// EN 1995-1-1 2.3.1.2: more than ten years.
    Permanent,
    /// Six months to ten years.
    LongTerm,
    /// A week to six months.
    MediumTerm,
    /// Less than a week.
    ShortTerm,
    /// Moments.
    Instantaneous,
    /// NDS allowable stress: the factor `CD` itself.
    LoadDurationFactor(f64),
    /// NDS LRFD: the time effect factor λ itself.
    TimeEffectFactor(f64),
}

/// A weighted sum of cases.
#[derive(Debug, Clone, PartialEq)]
pub struct Combination {
    /// "1.35 weight + 1.5 snow drifted east + 0.9 wind from 180°".
    pub name: String,
    /// What it is for.
    pub state: LimitState,
    /// Cases and their factors; none is 0.
    pub terms: Vec<(CaseId, f64)>,
    /// Duration of its shortest load.
    pub duration: Duration,
    /// Clause.
    pub clause: String,
}
