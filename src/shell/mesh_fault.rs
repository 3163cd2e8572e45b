//! What can be wrong with a user's own mesh, and what to do about it.

/// Something wrong with a user's own mesh.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum MeshFault {
    /// No panels.
    #[error("the mesh has no panels")]
    NoPanels,
    /// A coordinate that is not a number.
    #[error("joint {joint} has a coordinate that is not a number")]
    NotANumber {
        /// Its name.
        joint: String,
    },
    /// A name given twice.
    #[error("the name {name} is given to two {what}")]
    NameTwice {
        /// "joints" or "panels".
        what: &'static str,
        /// The name.
        name: String,
    },
    /// A panel that uses a joint that is not there.
    #[error("panel {panel} uses joint number {number}, and there are {count}")]
    NoSuchJoint {
        /// The panel's name.
        panel: String,
        /// The number, from 1.
        number: usize,
        /// How many joints there are.
        count: usize,
    },
    /// A panel of fewer than three corners, with a corner twice, or with no area.
    #[error("panel {panel} is no polygon: it {why}")]
    NoPolygon {
        /// Its name.
        panel: String,
        /// What is wrong.
        why: &'static str,
    },
    /// Corners off the panel's plane.
    #[error(
        "panel {panel} is out of plane by {:.1} mm, more than {:.1} mm: split it into triangles",
        off * 1e3, limit * 1e3
    )]
    OutOfPlane {
        /// Its name.
        panel: String,
        /// Largest distance of a corner from the mean plane \[m\].
        off: f64,
        /// Allowed for a panel of its size \[m\].
        limit: f64,
    },
    /// Two points in one place.
    #[error("joints {first} and {second} lie in one place; make them one, or set mend = true")]
    DoubledJoints {
        /// A name.
        first: String,
        /// A name.
        second: String,
    },
    /// A point that no panel uses.
    #[error("joint {joint} belongs to no panel; remove it, or set mend = true")]
    StrayJoint {
        /// Its name.
        joint: String,
    },
    /// Two panels over the same joints.
    #[error("panels {first} and {second} have the same corners; remove one")]
    DoubledPanels {
        /// A name.
        first: String,
        /// A name.
        second: String,
    },
    /// An edge of three or more panels.
    #[error("the edge {from}-{to} belongs to {} panels ({}); a shell's edge has one or two", panels.len(), panels.join(", "))]
    NonManifold {
        /// An end.
        from: String,
        /// An end.
        to: String,
        /// Names of the panels.
        panels: Vec<String>,
    },
    /// Panels wound against their neighbours.
    #[error("panels wound against the others (inside out): {}; reverse their corners, or set mend = true", panels.join(", "))]
    Flipped {
        /// Names of the panels.
        panels: Vec<String>,
    },
    /// A one-sided surface.
    #[error("panel {panel} closes a one-sided band: no winding gives the shell an outside")]
    OneSided {
        /// The panel at which that shows.
        panel: String,
    },
    /// Panels that nothing joins to the ground.
    #[error("panels that no foot holds, nor any panel beside them: {}; join them to the rest, or name a foot of theirs", panels.join(", "))]
    Adrift {
        /// Names of the panels.
        panels: Vec<String>,
    },
    /// A foot that is not there.
    #[error("feet name joint number {number}, and there are {count}")]
    NoSuchFoot {
        /// The number, from 1.
        number: usize,
        /// How many joints there are.
        count: usize,
    },
    /// A joint to hold that belongs to no panel.
    #[error("joint {joint} is to be a foot, but belongs to no panel")]
    StrayFoot {
        /// Its name.
        joint: String,
    },
}

/// What a fault of a mesh is about, as the fault names it (with its line, where that is known).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MeshPart<'a> {
    /// A joint.
    Joint(&'a str),
    /// A panel.
    Panel(&'a str),
}

impl MeshFault {
    /// The joint or panel where the fault is to be looked for; `None` where it is the whole mesh's.
    #[must_use]
    pub fn about(&self) -> Option<MeshPart<'_>> {
        match self {
            Self::NotANumber { joint } | Self::StrayJoint { joint } | Self::StrayFoot { joint } => {
                Some(MeshPart::Joint(joint))
            }
            // The second is the one that came too much.
            Self::DoubledJoints { second, .. } => Some(MeshPart::Joint(second)),
            Self::DoubledPanels { second, .. } => Some(MeshPart::Panel(second)),
            Self::NoSuchJoint { panel, .. }
            | Self::NoPolygon { panel, .. }
            | Self::OutOfPlane { panel, .. }
            | Self::OneSided { panel } => Some(MeshPart::Panel(panel)),
            Self::NonManifold { panels, .. } => panels.last().map(|panel| MeshPart::Panel(panel)),
            Self::Flipped { panels } | Self::Adrift { panels } => {
                panels.first().map(|panel| MeshPart::Panel(panel))
            }
            Self::NameTwice { what: "joints", name } => Some(MeshPart::Joint(name)),
            Self::NameTwice { name, .. } => Some(MeshPart::Panel(name)),
            Self::NoPanels | Self::NoSuchFoot { .. } => None,
        }
    }
}
