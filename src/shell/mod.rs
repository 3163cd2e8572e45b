//! The shell as geometry: joints, panels, and the members (seams, rims, bars) between joints.
//!
//! Panels are wound anticlockwise seen from outside, so their normals point out. No timber, no load.

pub mod ask;
mod barrel;
pub mod build;
mod clip;
pub mod count;
mod dome;
pub mod error;
pub mod export;
pub mod fold;
mod gable;
mod mesh;
pub mod mesh_fault;
mod mesh_feet;
#[cfg(test)]
mod mesh_tests;
mod net;
mod opening;
mod order;
pub mod plan;
mod profile;
#[cfg(test)]
mod properties;
mod sphere;
#[cfg(test)]
mod sphere_tests;
pub mod timbers;
mod tunnel;

pub use build::build;
pub use error::ShellError;
pub use mesh_fault::MeshFault;

use crate::vector::Vec3;

/// A joint, by position in [`Shell::joints`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct JointId(pub usize);

/// A panel, by position in [`Shell::panels`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PanelId(pub usize);

/// A member, by position in [`Shell::members`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct MemberId(pub usize);

/// A point where seams meet.
#[derive(Debug, Clone, PartialEq)]
pub struct Joint {
    /// "j1", "j2", … from the base upward.
    pub name: String,
    /// Position \[m\]; the base plane is z = 0.
    pub at: Vec3,
    /// Whether it stands on the base plane.
    pub foot: bool,
}

/// A flat frame of timbers: a triangle, or what clipping left of one.
#[derive(Debug, Clone, PartialEq)]
pub struct Panel {
    /// "p1", "p2", …
    pub name: String,
    /// Corners, anticlockwise seen from outside.
    pub joints: Vec<JointId>,
    /// Whether the project's own mesh has them the other way round: what it says of corner after corner goes backward.
    pub turned: bool,
}

/// What a member is between.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum MemberKind {
    /// Between two panels.
    Seam,
    /// The edge of one panel only.
    Rim,
    /// Of no panel: a stud, a sill, a gable's diagonal.
    Bar,
}

/// The part a member plays, by which a project may give it a timber of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Role {
    /// A seam of a dome, or any seam with no better name.
    Seam,
    /// A seam along an arch of a tunnel or barrel (in a plane square to x).
    Arch,
    /// A seam that runs from one arch to the next.
    Diagonal,
    /// A seam parallel to x.
    Purlin,
    /// The rim on the base plane.
    BaseRim,
    /// The rim of an open or framed end.
    EndRim,
    /// The rim of an opening.
    DoorRim,
    /// An upright of a framed gable.
    Stud,
    /// The bottom timber of a framed gable or an opening.
    Sill,
    /// A diagonal of a framed gable.
    Brace,
}

impl Role {
    /// The parts that seams play. A rim with one of them is half a seam, while the other panel does not stand yet.
    pub const OF_SEAMS: [Self; 4] = [Self::Seam, Self::Arch, Self::Diagonal, Self::Purlin];
}

/// A line between two joints, made of one or more strips.
#[derive(Debug, Clone, PartialEq)]
pub struct Member {
    /// "s1", … for seams, "r1", … for rims, "b1", … for bars.
    pub name: String,
    /// Its ends.
    pub joints: [JointId; 2],
    /// Seam, rim or bar.
    pub kind: MemberKind,
    /// Its part, for timbers by group.
    pub role: Role,
    /// The panels it borders: two, one or none. The first lies to the left of joints\[0\] → joints\[1\]
    /// seen from outside.
    pub panels: Vec<PanelId>,
    /// Fold angle of a seam \[rad\], positive at a ridge; 0 for a rim or bar.
    pub fold: f64,
    /// Unit normal of the surface along it (the mean of its panels' normals): the depth's direction.
    pub outward: Vec3,
}

/// The kind of shape, for the rules that go by shape.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shape {
    /// A cap of a sphere standing on the base plane.
    Dome,
    /// A vault along x, with or without domed ends.
    Vault,
    /// A user's own mesh.
    Free,
}

/// The smooth shape behind the panels, for load rules and hand checks.
#[derive(Debug, Clone, PartialEq)]
pub struct Outline {
    /// Dome, vault or free.
    pub shape: Shape,
    /// Across the shell at the base, along y (a dome: its base diameter) \[m\].
    pub span: f64,
    /// Highest point above the base plane \[m\].
    pub rise: f64,
    /// Overall along x \[m\].
    pub length: f64,
    /// Centre of the base in plan \[m\] (z = 0).
    pub centre: Vec3,
    /// The stretch of x that is a straight vault \[m\]; `None` for a dome.
    pub barrel: Option<[f64; 2]>,
    /// Whether the end at lower x and the end at higher x is a half-dome.
    pub domed_ends: [bool; 2],
    /// The smooth cross-section (y, z) from the foot at −y over the crown to the foot at +y \[m\], at
    /// least 65 points for a smooth curve; empty for a free mesh.
    pub profile: Vec<[f64; 2]>,
    /// Radius of the sphere or of the circular profile, where there is one \[m\].
    pub radius: Option<f64>,
}

/// What one opening took out.
#[derive(Debug, Clone, PartialEq)]
pub struct Opening {
    /// Names of the panels that are gone; the others keep the names they had.
    pub panels: Vec<String>,
    /// Corners of the panels that are gone, anticlockwise seen from outside \[m\].
    pub outlines: Vec<Vec<Vec3>>,
    /// The rims left round it (role [`Role::DoorRim`]) and its sill, where it has one.
    pub rim: Vec<MemberId>,
    /// Strips in each of those.
    pub strips: usize,
    /// Whether a door, a window or a skylight shuts it.
    pub leaf: bool,
}

impl Opening {
    /// Sum of the areas of the panels that are gone, as vectors along their outward normals \[m²\].
    #[must_use]
    pub fn area_vector(&self) -> Vec3 {
        self.outlines.iter().map(|outline| area_vector(outline.iter().copied())).sum()
    }

    /// Area of the panels that are gone \[m²\].
    #[must_use]
    pub fn area(&self) -> f64 {
        self.outlines.iter().map(|outline| area_vector(outline.iter().copied()).norm()).sum()
    }

    /// Whether it looks in a direction, anticlockwise from x in plan \[rad\], to an eighth of a turn.
    #[must_use]
    pub fn faces(&self, direction: f64) -> bool {
        let out = self.area_vector();
        let along = out.x * direction.cos() + out.y * direction.sin();
        along > std::f64::consts::FRAC_PI_4.cos() * out.xy().norm() && along > 1e-9
    }

    /// Whether it reaches down to the base plane.
    #[must_use]
    pub fn on_ground(&self) -> bool {
        self.outlines.iter().flatten().any(|at| at.z < 1e-6)
    }
}

/// Area of a polygon, given by its corners, as a vector along its normal \[m²\] (exact for a flat one).
pub(crate) fn area_vector(mut corners: impl Iterator<Item = Vec3>) -> Vec3 {
    let (Some(origin), Some(first)) = (corners.next(), corners.next()) else { return Vec3::zeros() };
    let mut sum = Vec3::zeros();
    let mut before = first - origin;
    for corner in corners {
        let next = corner - origin;
        sum += before.cross(&next);
        before = next;
    }
    sum * 0.5
}

/// A whole shell.
#[derive(Debug, Clone, PartialEq)]
pub struct Shell {
    /// Joints, from the base upward.
    pub joints: Vec<Joint>,
    /// Panels.
    pub panels: Vec<Panel>,
    /// Seams, rims and bars.
    pub members: Vec<Member>,
    /// The smooth shape behind it.
    pub outline: Outline,
    /// What the openings took out, in the order asked for.
    pub openings: Vec<Opening>,
    /// What the builder of the shell wants said: welds, repairs, what an opening cut.
    pub remarks: Vec<String>,
}

impl Shell {
    /// A joint's position \[m\].
    #[must_use]
    pub fn at(&self, joint: JointId) -> Vec3 {
        self.joints[joint.0].at
    }

    /// Length of a member between its joints \[m\].
    #[must_use]
    pub fn length(&self, member: MemberId) -> f64 {
        let [a, b] = self.members[member.0].joints;
        (self.at(b) - self.at(a)).norm()
    }

    /// Strips that an opening asks for in a member of its rim; `None` elsewhere.
    #[must_use]
    pub fn rim_strips(&self, member: MemberId) -> Option<usize> {
        self.openings.iter().find(|opening| opening.rim.contains(&member)).map(|opening| opening.strips)
    }

    /// Area of a panel as a vector along its outward normal \[m²\] (exact for a flat polygon).
    #[must_use]
    pub fn area_vector(&self, panel: PanelId) -> Vec3 {
        area_vector(self.panels[panel.0].joints.iter().map(|&joint| self.at(joint)))
    }
}
