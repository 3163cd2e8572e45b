//! Shell + strips + joint model → frame, with the way back from bar forces to strips.

pub mod ask;
