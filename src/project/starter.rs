//! Commented starter files.
