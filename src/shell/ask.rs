//! What can be asked of the shell: data only, no functions.

use crate::vector::Vec3;

/// Finest division of a sphere: beyond it the joints come closer than a timber is broad.
pub const MOST_DIVISIONS: usize = 128;
/// Most straight pieces of an arch, for the same reason.
pub const MOST_SEGMENTS: usize = 200;

/// Which part of the icosahedron is uppermost.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Up {
    /// A vertex.
    Vertex,
    /// The middle of an edge.
    Edge,
    /// The middle of a face.
    Face,
}

/// The curve of a barrel's arch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Profile {
    /// Part of a circle.
    Circular,
    /// Half an ellipse.
    Elliptical,
    /// Two arcs that meet at the crown. Each turns half as much as the circular arc of the same span and
    /// rise, or, where that would lean outward at the foot, just as much as leaves the foot upright.
    Pointed,
    /// A catenary.
    Catenary,
}

/// How the panels of a barrel are laid.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pattern {
    /// Every other arch turned by half a step.
    Staggered,
    /// All arches alike, each bay split by a diagonal leaning one way, the other way, or both.
    PlainLeft,
    /// See `PlainLeft`.
    PlainRight,
    /// Both diagonals, which meet at a joint in the middle of the bay.
    PlainCrossed,
}

/// How an end of a tunnel or barrel is closed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum EndForm {
    /// Nothing.
    Open,
    /// A flat gable of timbers between the end arch and the ground.
    Framed {
        /// Uprights between sill and arch, at arch joints.
        studs: usize,
        /// Whether a sill runs along the ground.
        sill: bool,
        /// Whether each bay between uprights has a diagonal.
        diagonals: bool,
    },
    /// Half a sphere.
    HalfDome,
}

/// The shape asked for.
#[derive(Debug, Clone, PartialEq)]
pub enum Form {
    /// A class I icosahedral dome.
    Dome {
        /// To the joints \[m\].
        radius: f64,
        /// Divisions of an icosahedron edge, at least 1.
        frequency: usize,
        /// What is uppermost.
        up: Up,
        /// Height of the base plane above the sphere's centre \[m\], may be negative.
        base: f64,
    },
    /// A sphere split on its vertical great circle with bands put between (edge uppermost).
    Tunnel {
        /// To the joints \[m\].
        radius: f64,
        /// Even.
        frequency: usize,
        /// How many bands.
        bands: usize,
        /// Height of the base plane above the axis \[m\].
        base: f64,
        /// Distance between arches \[m\]; `None` makes the mean diagonal equal the mean arch edge.
        spacing: Option<f64>,
        /// Ends at lower and higher x.
        ends: [EndForm; 2],
    },
    /// A barrel of arches.
    Barrel {
        /// Curve of the arch.
        profile: Profile,
        /// Across, foot to foot \[m\].
        span: f64,
        /// Crown above the feet \[m\].
        rise: f64,
        /// Segments of an arch.
        segments: usize,
        /// Bays along x.
        bays: usize,
        /// Length of a bay \[m\].
        bay_length: f64,
        /// How panels are laid.
        pattern: Pattern,
        /// Ends at lower and higher x.
        ends: [EndForm; 2],
    },
    /// The user's own mesh, already read.
    Mesh(MeshAsk),
}

/// A user's own mesh as read from a file.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct MeshAsk {
    /// Name and position of each joint \[m\].
    pub joints: Vec<(String, Vec3)>,
    /// Name and corners (positions in `joints`) of each panel, in the file's winding.
    pub panels: Vec<(String, Vec<usize>)>,
    /// Joints to hold, by position in `joints`; empty: those on the lowest plane.
    pub feet: Vec<usize>,
    /// Where they were read.
    pub lines: MeshLines,
}

/// Lines of the files that a mesh was read from, so that a fault found afterwards can be gone to; empty where there are
/// none.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct MeshLines {
    /// Of each joint, from 1.
    pub joints: Vec<usize>,
    /// Of each panel, from 1.
    pub panels: Vec<usize>,
}

/// What to take out.
#[derive(Debug, Clone, PartialEq)]
pub enum OpeningForm {
    /// Panels by name.
    Panels(Vec<String>),
    /// Every panel whose centroid lies in a box \[m\].
    Inside {
        /// Lower corner.
        low: Vec3,
        /// Upper corner.
        high: Vec3,
    },
    /// The panels that a door's outline would cut.
    Door {
        /// \[m\]
        width: f64,
        /// \[m\]
        height: f64,
        /// Direction the door faces, anticlockwise from x in plan \[rad\].
        facing: f64,
    },
}

/// An opening and how its rim is framed.
#[derive(Debug, Clone, PartialEq)]
pub struct OpeningAsk {
    /// What goes.
    pub form: OpeningForm,
    /// Strips in its rim, 1 or more.
    pub rim_strips: usize,
    /// Whether a timber runs along the ground where the base rim was.
    pub sill: bool,
    /// Whether a door, a window or a skylight shuts it.
    pub leaf: bool,
}

/// Everything asked of the shell.
#[derive(Debug, Clone, PartialEq)]
pub struct ShellAsk {
    /// The shape.
    pub form: Form,
    /// Openings, in order.
    pub openings: Vec<OpeningAsk>,
    /// A user's own mesh: whether flipped panels and doubled points may be mended.
    pub mend: bool,
}
