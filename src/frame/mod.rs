//! A 3D frame: nodes, bars, springs, loads; what a solver answers. It knows no timber and no mesh.
//!
//! Global axes x, y, z. A bar's local x runs from → to; local z is the part of `up` square to x;
//! y = z × x. SI units throughout.
//!
//! Forces *inside* a bar are stress resultants on the face whose outward normal is +x: N tension
//! positive; Vy, Vz the shear along +y, +z; T, My, Mz the moment vector's components. The same
//! convention holds at both ends, so a bar in uniform tension has N equal at both ends.

// The package's own paths read as they did inside the whole: `crate::frame`, `crate::vector`.
#[path = "../vector.rs"]
pub mod vector;
#[doc(hidden)]
pub use crate as frame;

pub mod assemble;
pub mod bar;
pub mod beam_column;
pub mod bow;
pub mod buckling;
mod check;
pub(crate) mod corotational;
pub mod eigen;
pub mod error;
pub mod exact;
mod exact_factors;
pub mod factor;
pub mod fold;
pub mod geometric;
pub mod halved;
pub mod indefinite;
mod krylov;
pub mod limit;
pub mod line_loads;
pub mod linear;
#[cfg(test)]
mod link_tests;
pub mod low_rank;
pub mod mechanism;
pub mod modes;
pub(crate) mod nodal;
mod order;
pub mod path;
#[cfg(test)]
mod properties;
pub mod random;
pub mod recover;
mod reduced;
pub mod second_order;
pub mod snap;
mod sums;
pub(crate) mod supernodal;
#[cfg(test)]
mod timber;
pub mod verify;

pub use error::FrameError;

use crate::vector::Vec3;

/// A node of the frame, by position in [`Frame::nodes`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct NodeId(pub usize);

/// A bar of the frame, by position in [`Frame::bars`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct BarId(pub usize);

/// A point with up to six freedoms: x, y, z, rx, ry, rz in that order.
#[derive(Debug, Clone, PartialEq)]
pub struct Node {
    /// Position \[m\], global.
    pub at: Vec3,
    /// Which freedoms are held.
    pub held: [bool; 6],
    /// Springs to ground along and about the global axes \[N/m, N·m/rad\]; 0 is none.
    pub ground: [f64; 6],
}

/// How one end of a bar meets its node.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum EndFix {
    /// Turns with the node.
    Rigid,
    /// Passes no moment about any axis.
    Hinged,
    /// Passes moment through springs about the bar's own x, y, z \[N·m/rad\]; infinite is rigid.
    Springs([f64; 3]),
}

/// Stiffness and mass of a bar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BarSection {
    /// Area \[m²\].
    pub area: f64,
    /// Second moment for bending about local y, deflection along local z \[m⁴\].
    pub second_moment_y: f64,
    /// Second moment for bending about local z, deflection along local y \[m⁴\].
    pub second_moment_z: f64,
    /// St Venant torsion constant \[m⁴\].
    pub torsion: f64,
    /// Young's modulus \[Pa\].
    pub elastic: f64,
    /// Shear modulus, for torsion \[Pa\].
    pub shear: f64,
    /// Mass per length \[kg/m\].
    pub mass: f64,
}

impl BarSection {
    /// Of a hinged bar that is only pulled and pushed: its axial stiffness EA \[N\], and nothing else.
    pub(crate) const fn axial(stiffness: f64) -> Self {
        Self {
            area: 1.0,
            second_moment_y: 0.0,
            second_moment_z: 0.0,
            torsion: 0.0,
            elastic: stiffness,
            shear: 0.0,
            mass: 0.0,
        }
    }
}

/// A straight prismatic Euler–Bernoulli bar.
#[derive(Debug, Clone, PartialEq)]
pub struct Bar {
    /// Start node.
    pub from: NodeId,
    /// End node.
    pub to: NodeId,
    /// Stiffness.
    pub section: BarSection,
    /// Direction whose part square to the bar is local z; any length.
    pub up: Vec3,
    /// Fixity at `from` and `to`.
    pub ends: [EndFix; 2],
}

/// A spring between two nodes, along and about the global axes \[N/m, N·m/rad\].
#[derive(Debug, Clone, PartialEq)]
pub struct Link {
    /// The two nodes; they may coincide in space.
    pub nodes: [NodeId; 2],
    /// Stiffness of the relative motion, one a freedom.
    pub stiffness: [f64; 6],
}

/// A turning spring on the fold between two flat panels that share the line `hinge`.
///
/// Each wing is a point given as a weighted sum of nodes (weights sum to 1), so that a panel of
/// more than three corners can take part. Fold angle: between the outward normals of the wings,
/// positive where convex seen from the side from which `hinge[0]`, `hinge[1]`, `wings[0]` runs
/// anticlockwise.
#[derive(Debug, Clone, PartialEq)]
pub struct Fold {
    /// The shared line.
    pub hinge: [NodeId; 2],
    /// The far point of either panel; `wings[0]` lies to the left of the hinge seen from outside.
    pub wings: [Vec<(NodeId, f64)>; 2],
    /// Stiffness \[N·m/rad\].
    pub stiffness: f64,
}

/// A frame to solve.
///
/// A node all of whose bar ends are hinged and which no rotational spring touches has no rotations
/// (they are left out of the unknowns), so a truss is not a mechanism for that.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Frame {
    /// Nodes.
    pub nodes: Vec<Node>,
    /// Bars.
    pub bars: Vec<Bar>,
    /// Springs between nodes.
    pub links: Vec<Link>,
    /// Turning springs on folds.
    pub folds: Vec<Fold>,
}

/// A line load on part of a bar, varying linearly, in global directions, per metre of the bar.
#[derive(Debug, Clone, PartialEq)]
pub struct BarLoad {
    /// The loaded bar.
    pub bar: BarId,
    /// Where it starts and ends, from the bar's start \[m\].
    pub span: [f64; 2],
    /// Intensity at either end of that stretch \[N/m\], global.
    pub intensity: [Vec3; 2],
}

/// One load case on a frame.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct FrameLoads {
    /// Forces and moments on nodes \[N, N·m\], global.
    pub nodes: Vec<(NodeId, [f64; 6])>,
    /// Line loads.
    pub bars: Vec<BarLoad>,
    /// Prescribed movements of held freedoms \[m, rad\]: node, freedom 0..6, value.
    pub settlements: Vec<(NodeId, usize, f64)>,
}

/// What a cut through a bar carries (see the module's sign convention) \[N, N·m\].
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct BarForces {
    /// Axial force, tension positive.
    pub n: f64,
    /// Shear along local y.
    pub vy: f64,
    /// Shear along local z.
    pub vz: f64,
    /// Torsion about local x.
    pub t: f64,
    /// Bending moment about local y.
    pub my: f64,
    /// Bending moment about local z.
    pub mz: f64,
}

/// The linear answer to one load case.
#[derive(Debug, Clone, PartialEq)]
pub struct Response {
    /// Movements of every node: ux, uy, uz, rx, ry, rz \[m, rad\]; 0 where a freedom does not exist.
    pub displacements: Vec<[f64; 6]>,
    /// Forces at the start and end of every bar.
    pub bar_ends: Vec<[BarForces; 2]>,
    /// Force and moment of the ground on every node with a held freedom or a ground spring.
    pub reactions: Vec<(NodeId, [f64; 6])>,
    /// Moment in every fold spring \[N·m\]: stiffness × growth of the fold angle, so positive where the
    /// frame's movement sharpens a convex fold (tension on the outside).
    pub fold_moments: Vec<f64>,
    /// Largest unbalanced force over the largest force, after the solve.
    pub residual: f64,
}

/// A motion that meets no stiffness, scaled so that its largest translation is 1 (its largest rotation
/// where nothing but rotations move).
#[derive(Debug, Clone, PartialEq)]
pub struct Mechanism {
    /// Movement of every node: translations and rotations.
    pub shape: Vec<[f64; 6]>,
    /// A node and a freedom (0..6) of it that would stop this motion if held, and none of the others.
    pub stop: (NodeId, usize),
}
