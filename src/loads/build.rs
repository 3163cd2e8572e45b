//! From an intensity over the shell to a case: mean on every panel, and the total asked for by strips.

use rayon::prelude::{IndexedParallelIterator, IntoParallelIterator, ParallelIterator};

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
    let one = |panel: PanelId| {
        let unit = push.unit(&shell.area_vector(panel));
        // A panel within a rounding of upright carries no snow.
        (unit.norm() >= 1e-9).then(|| (unit, mean(shell, panel, field), by_strips(shell, panel, field)))
    };
    let all = 0..shell.panels.len();
    // Panels do not know each other; what is the same all over one is not worth the parting.
    let done: Vec<_> = if field.cuts.is_empty() {
        all.map(|panel| one(PanelId(panel))).collect()
    } else {
        all.into_par_iter().with_min_len(4).map(|panel| one(PanelId(panel))).collect()
    };
    let mut loads = Vec::with_capacity(shell.panels.len());
    let mut asked = Vec3::zeros();
    for (panel, found) in done.into_iter().enumerate() {
        let Some((unit, intensity, strips)) = found else { continue };
        if intensity != 0.0 {
            loads.push(PanelLoad { panel: PanelId(panel), traction: unit * intensity });
        }
        asked += unit * strips;
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
