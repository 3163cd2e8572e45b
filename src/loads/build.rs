//! From an intensity over the shell to a case: mean on every panel, and the total asked for by strips.

use crate::loads::integrate::{Field, by_strips, mean};
use crate::loads::{Action, Case, CaseKind, PanelLoad};
use crate::shell::{PanelId, Shell};
use crate::vector::Vec3;

/// Which way an intensity pushes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Push {
    /// Down, per plan area; panels that face down or stand upright carry none.
    DownPerPlan,
    /// Down, per true area.
    DownPerArea,
    /// Inward, along the panel's normal.
    Inward,
}

impl Push {
    /// Traction of a unit intensity on a panel with that area vector.
    fn unit(self, area: &Vec3) -> Vec3 {
        let size = area.norm();
        match self {
            Push::DownPerPlan => Vec3::new(0.0, 0.0, -(area.z / size).max(0.0)),
            Push::DownPerArea => Vec3::new(0.0, 0.0, -1.0),
            Push::Inward => -area / size,
        }
    }
}

/// Loads on panels and the total asked for.
pub(crate) fn panels(shell: &Shell, field: &Field<'_>, push: Push) -> (Vec<PanelLoad>, Vec3) {
    let mut loads = Vec::with_capacity(shell.panels.len());
    let mut asked = Vec3::zeros();
    for panel in (0..shell.panels.len()).map(PanelId) {
        let unit = push.unit(&shell.area_vector(panel));
        // A panel within a rounding of upright carries no snow.
        if unit.norm() < 1e-9 {
            continue;
        }
        let intensity = mean(shell, panel, field);
        if intensity != 0.0 {
            loads.push(PanelLoad { panel, traction: unit * intensity });
        }
        asked += unit * by_strips(shell, panel, field);
    }
    (loads, asked)
}

/// A case of one intensity.
pub(crate) fn case(shell: &Shell, name: String, kind: CaseKind, field: &Field<'_>, push: Push) -> Case {
    let (panels, asked) = panels(shell, field, push);
    Case {
        name,
        kind,
        action: Action::Variable,
        panels,
        members: Vec::new(),
        joints: Vec::new(),
        asked,
        remarks: Vec::new(),
        provisional: Vec::new(),
    }
}

impl Case {
    /// A case with no loads yet.
    pub(crate) fn empty(name: String, kind: CaseKind, action: Action) -> Case {
        Case {
            name,
            kind,
            action,
            panels: Vec::new(),
            members: Vec::new(),
            joints: Vec::new(),
            asked: Vec3::zeros(),
            remarks: Vec::new(),
            provisional: Vec::new(),
        }
    }

    /// Adds remarks.
    pub(crate) fn remarked(mut self, remarks: impl IntoIterator<Item = String>) -> Case {
        self.remarks.extend(remarks);
        self
    }

    /// Adds reasons why figures are provisional.
    pub(crate) fn provisionally(mut self, reasons: impl IntoIterator<Item = String>) -> Case {
        self.provisional.extend(reasons);
        self
    }
}
