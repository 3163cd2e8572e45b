//! What to cut and what to assemble: distinct timbers and distinct panels, with their masses.

use crate::assess::results::{PanelKind, TimberKind};
use crate::assess::setup::Setup;
use crate::project::Project;

/// Distinct timbers, and the kind of every member by name.
pub(super) fn timbers(_project: &Project, _setup: &Setup) -> (Vec<TimberKind>, Vec<String>) {
    (Vec::new(), Vec::new())
}

/// Distinct panels, and the kind of every panel by name.
pub(super) fn panels(_project: &Project, _setup: &Setup) -> (Vec<PanelKind>, Vec<String>) {
    (Vec::new(), Vec::new())
}
