//! What can be asked of the timbers: data only.

use crate::section::Section;
use crate::shell::Role;

/// The timber of one group of members.
#[derive(Debug, Clone, PartialEq)]
pub struct GroupAsk {
    /// Which members; the first group that names a member's role gives its timber.
    pub roles: Vec<Role>,
    /// b, along the panel \[m\].
    pub breadth: f64,
    /// d, through the shell \[m\].
    pub depth: f64,
    /// Whether the breadth and the depth are the group's own; else they are the project's.
    pub said: [bool; 2],
    /// Strips side by side; `None`: two to a seam, one to a rim or bar.
    pub strips: Option<usize>,
    /// Values of one finished strip in place of those worked out from breadth and depth, which stay the
    /// sizes that rules, holes and fixings ask for. A bevel takes nothing more off.
    pub own: Option<Section>,
}

/// Everything asked of the timbers.
#[derive(Debug, Clone, PartialEq)]
pub struct TimberAsk {
    /// Name of a grade in the tables, or of the project's own.
    pub grade: String,
    /// b, along the panel \[m\].
    pub breadth: f64,
    /// d, through the shell \[m\].
    pub depth: f64,
    /// Whether sides are ripped to half the fold angle.
    pub bevelled: bool,
    /// Composite action of a seam's strips in bending about the shell normal, 0 (none) to 1 (solid).
    pub composite: f64,
    /// Timbers of particular groups.
    pub groups: Vec<GroupAsk>,
    /// Allowance for fixings as a share of the timber's weight (0.05 is five per cent).
    pub fixings_allowance: f64,
}
