//! What can be asked of the rules: data only.

/// What joins two frames along a seam.
#[derive(Debug, Clone, PartialEq)]
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

/// What holds the feet down.
#[derive(Debug, Clone, PartialEq)]
pub struct FeetAsk {
    /// What one anchor holds upward \[N\], the user's own value.
    pub uplift: Option<f64>,
    /// What one anchor holds sideways \[N\], the user's own value.
    pub slide: Option<f64>,
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
}
