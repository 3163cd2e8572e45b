//! An indicative structural check for small timber shells.
//!
//! The words used throughout:
//!
//! - **Joint**: a point where seams meet. **Foot**: a joint on the base plane.
//! - **Panel**: a triangle of timber frame, or a quadrilateral that clipping left.
//! - **Seam**: an edge shared by two panels. **Rim**: an edge of one panel only.
//! - **Fold angle** of a seam: the angle between its panels' normals, positive where the shell is
//!   convex seen from outside (a *ridge seam*), negative where it is concave (a *valley seam*).
//! - **Strip**: one timber of one panel's frame. A seam has two side by side; a rim has one.
//!
//! Axes: x along a tunnel, y across it, z up; the base plane is z = 0. Everything inside is in SI
//! base units (m, N, Pa, kg, rad, s); a name with any other unit carries it as a suffix.
//!
//! The line that a project file travels, one folder a station, none of which knows the next:
//!
//! ```text
//! project file -> Shell -> Frame + cases -> responses -> checks -> notes
//!    (TOML)      geometry  mechanics input    solver      rules    text, JSON, HTML, drawings
//! ```
//!
//! Nothing here is a verdict on safety: every result is *indicative* and defers to local codes, the
//! building authority and a licensed engineer.

pub mod error;
pub mod units;
/// Points and axes; they live with the solver, which uses nothing else of the house.
pub use strutwise_frame::vector;

pub mod tables;

pub mod shell;

pub mod section;

/// The solver: a package of its own in the same place (`src/frame`).
pub use strutwise_frame as frame;

pub mod loads;

pub mod model;

pub mod rules;

pub mod project;

pub mod assess;

pub mod study;

pub mod report;

pub mod cli;
