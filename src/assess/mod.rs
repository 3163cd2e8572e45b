//! One assessment: the whole line from a project to what is said of it.

pub mod results;
