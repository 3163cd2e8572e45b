//! Shell + strips + joint model → frame, with the way back from bar forces to strips.
//!
//! Node *i* of the frame is joint *i* of the shell, and bar *i* is member *i*: this is the one place
//! that knows both families, and it keeps them aligned.

pub mod ask;
pub mod back;
pub mod corners;
pub mod joints;
pub mod load;
pub mod seam_demand;
pub mod timbers;
pub mod transfer;

pub use joints::{Material, Model, build};
pub use timbers::{ModelError, Timber, timbers};
