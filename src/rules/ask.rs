//! What can be asked of the rules: data only.

use crate::tables::nds::Temperature;

/// What joins two frames along a seam. Values that are `None` are assumed where that errs to the careful
/// side, and the working says what was assumed; else the check that needs them is reported as not made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FixingsAsk {
    /// Bolt, screw or coach screw.
    pub kind: FixingKind,
    /// Nominal diameter \[m\].
    pub diameter: f64,
    /// Washer's outer diameter \[m\].
    pub washer: Option<f64>,
    /// How many in a seam.
    pub per_seam: usize,
    /// From the fixing to the edge that bears \[m\].
    pub lever: f64,
    /// Length under the head \[m\]; screws only. Assumed: 10 mm short of coming through.
    pub length: Option<f64>,
    /// Length of the thread \[m\]; screws only. Assumed: all of what is in the far strip.
    pub thread: Option<f64>,
    /// Diameter at the root of the thread \[m\]. Assumed: 0.7 of the nominal (screws).
    pub root: Option<f64>,
    /// Head's diameter \[m\].
    pub head: Option<f64>,
    /// Tensile strength of the steel \[Pa\]. Assumed: 400 N/mm², the softest in common sale.
    pub steel: Option<f64>,
    /// The maker's declared withdrawal parameter `f_ax,k` \[Pa\].
    pub withdrawal: Option<f64>,
    /// The maker's declared head pull-through parameter `f_head,k` \[Pa\].
    pub head_pull: Option<f64>,
    /// Density that the declared values belong to \[kg/m³\]. Assumed: 350.
    pub declared_density: Option<f64>,
    /// From the joint to the first fixing \[m\]. Assumed: spread evenly (half a spacing at each end), or further in where the end distance wants it.
    pub end: Option<f64>,
    /// How much wider than the bolt its hole is \[m\]. Assumed: 1 mm (bolts).
    pub clearance: Option<f64>,
    /// Whether screws are put into drilled holes.
    pub predrilled: bool,
    /// What one corner of a panel's frame holds in pull by a test, as a characteristic value \[N\]. Without
    /// one, corner screws in end grain carry no pull.
    pub corner_pull: Option<f64>,
}

impl FixingsAsk {
    /// Fixings with nothing more said of them.
    #[must_use]
    pub fn new(kind: FixingKind, diameter: f64, per_seam: usize, lever: f64) -> Self {
        Self {
            kind,
            diameter,
            washer: None,
            per_seam,
            lever,
            length: None,
            thread: None,
            root: None,
            head: None,
            steel: None,
            withdrawal: None,
            head_pull: None,
            declared_density: None,
            end: None,
            clearance: None,
            predrilled: false,
            corner_pull: None,
        }
    }
}

/// Kind of fixing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FixingKind {
    /// Through bolt with nut and washers.
    Bolt,
    /// Wood screw.
    Screw,
    /// Coach (lag) screw.
    CoachScrew,
}

/// What holds the feet down. All values are the user's own, taken as design resistances for the basis of the
/// project (so for allowable stress they are allowable loads).
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct FeetAsk {
    /// What one anchor holds upward \[N\].
    pub uplift: Option<f64>,
    /// What one anchor holds sideways \[N\].
    pub slide: Option<f64>,
    /// What one anchor holds against turning, about any axis \[N·m\]; only where feet are held against it.
    pub moment: Option<f64>,
    /// Weight of the pad or ballast that hangs on one foot's anchor \[N\].
    pub pad_weight: Option<f64>,
    /// Area of the pad on the ground at one foot \[m²\].
    pub pad_area: Option<f64>,
    /// Pressure that the ground may carry \[Pa\].
    pub ground_pressure: Option<f64>,
    /// Friction under the foot, used only while it presses down; 0 where not given.
    pub friction: Option<f64>,
    /// What a tie or base ring holds along itself \[N\].
    pub tie: Option<f64>,
    /// Length of timber that bears on the pad or sill, along the grain \[m\].
    pub bearing_length: Option<f64>,
}

impl FeetAsk {
    /// Whether anything was entered that lift is compared with.
    #[must_use]
    pub fn checks_lift(&self) -> bool {
        self.uplift.is_some() || self.pad_weight.is_some()
    }

    /// Whether anything was entered that sliding is compared with.
    #[must_use]
    pub fn checks_slide(&self) -> bool {
        self.slide.is_some() || self.friction.is_some()
    }
}

/// Where the loads that bend a timber act on it; moves its effective length for lateral buckling.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum LoadEdge {
    /// On the edge in compression: `+ 2 h` (the careful choice).
    #[default]
    Compression,
    /// At mid-depth, or as end moments.
    Middle,
    /// On the edge in tension: `− 0.5 h`.
    Tension,
}

/// What holds the timber sideways between its ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum SideHold {
    /// Nothing: it may buckle in the surface, and sideways in bending, over its whole length.
    #[default]
    None,
    /// A cover along its outside face, by the user's choice: no buckling in the surface, and the outside
    /// edge is held where bending compresses it. The inside edge is not.
    OutsideFace,
    /// Covers along both faces.
    BothFaces,
}

/// How a timber is held; every number is open to the user.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Restraint {
    /// Effective length over length for buckling out of the surface (about y).
    pub length_factor_y: f64,
    /// Effective length over length for buckling in the surface (about z).
    pub length_factor_z: f64,
    /// Effective over unheld length for lateral buckling in bending, before the load edge is counted:
    /// 1.0 for equal end moments, 0.9 for a uniform load (EN 1995-1-1 Table 6.1). NDS has its own rule.
    pub lateral_factor: f64,
    /// Where the bending loads act.
    pub load_edge: LoadEdge,
    /// What holds it sideways.
    pub side: SideHold,
    /// NDS: which row of Table 3.3.3 gives the effective length in bending.
    pub nds_loading: NdsLoading,
}

impl Default for Restraint {
    /// Ends held against movement and twist only, nothing between.
    fn default() -> Self {
        Self {
            length_factor_y: 1.0,
            length_factor_z: 1.0,
            lateral_factor: 1.0,
            load_edge: LoadEdge::Compression,
            side: SideHold::None,
            nds_loading: NdsLoading::AnyOther,
        }
    }
}

/// Row of NDS Table 3.3.3 for a single span.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum NdsLoading {
    /// Any other loading: never less than the others.
    #[default]
    AnyOther,
    /// Uniform load.
    Uniform,
    /// Equal end moments.
    EndMoments,
}

/// Choices about the timbers that change what their checks say; every one is at its careful default
/// unless the project says otherwise.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MembersAsk {
    /// Effective lengths and what holds the timbers sideways.
    pub restraint: Restraint,
    /// Diameter of holes through the breadth, to be taken off in tension and bending with it \[m\].
    pub hole: Option<f64>,
    /// Eurocode: `k_sys`.
    pub k_sys: f64,
    /// Eurocode: `gamma_M` of a national annex.
    pub partial_factor: Option<f64>,
    /// NDS: moisture in service above 19 %; `None` where the project does not say.
    pub wet: Option<bool>,
    /// NDS: sustained temperature.
    pub temperature: Temperature,
    /// NDS: incised for treatment.
    pub incised: bool,
    /// NDS: repetitive members.
    pub repetitive: bool,
}

impl Default for MembersAsk {
    fn default() -> Self {
        Self {
            restraint: Restraint::default(),
            hole: None,
            k_sys: 1.0,
            partial_factor: None,
            wet: None,
            temperature: Temperature::Usual,
            incised: false,
            repetitive: false,
        }
    }
}

/// Everything asked of the rules.
#[derive(Debug, Clone, PartialEq)]
pub struct RulesAsk {
    /// EN 1995-1-1 service class 1, 2 or 3 (always asked under the Eurocode basis).
    pub service_class: Option<u8>,
    /// Fixings along the seams, where given.
    pub fixings: Option<FixingsAsk>,
    /// The feet.
    pub feet: FeetAsk,
    /// Choices about the timbers.
    pub members: MembersAsk,
}
