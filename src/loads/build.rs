//! From an intensity over the shell to a case: mean on every panel, and the total asked for by strips.

use rayon::prelude::{IndexedParallelIterator, IntoParallelIterator, ParallelIterator};

use crate::loads::integrate::{Field, by_strips, mean};
use crate::loads::{Action, Case, CaseKind, Inlet, PanelLoad};
use crate::shell::{PanelId, Shell};
use crate::vector::Vec3;

/// Which way an intensity pushes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Push {
    /// Down, per plan area; panels that face down or stand upright carry none.
    DownPerPlan,
    /// Down, per true area.
    DownPerArea,
    /// Inward, along the panel's normal.
    Inward,
    /// One way, per true area.
    Way(Vec3),
}

impl Push {
    /// Traction of a unit intensity on a panel with that area vector.
    fn unit(self, area: &Vec3) -> Vec3 {
        let size = area.norm();
        match self {
            Push::DownPerPlan => Vec3::new(0.0, 0.0, -(area.z / size).max(0.0)),
            Push::DownPerArea => Vec3::new(0.0, 0.0, -1.0),
            Push::Inward => -area / size,
            Push::Way(way) => way,
        }
    }
}

/// An intensity on one panel.
#[derive(Debug, Clone, Copy)]
struct Integral {
    panel: PanelId,
    /// Traction of a unit intensity.
    unit: Vec3,
    /// Mean over the panel, by pieces.
    mean: f64,
    /// Integral over its true area, by strips.
    whole: f64,
}

/// An intensity on every panel that it pushes.
pub(crate) struct Integrals(Vec<Integral>);

impl Integrals {
    /// Works an intensity out, panel by panel.
    pub(crate) fn new(shell: &Shell, field: &Field<'_>, push: Push) -> Integrals {
        let one = |panel: PanelId| {
            let unit = push.unit(&shell.area_vector(panel));
            // A panel within a rounding of upright carries no snow.
            (unit.norm() >= 1e-9).then(|| Integral {
                panel,
                unit,
                mean: mean(shell, panel, field),
                whole: by_strips(shell, panel, field),
            })
        };
        let all = 0..shell.panels.len();
        // Panels do not know each other; what is the same all over one is not worth the parting.
        let done: Vec<Option<Integral>> = if field.cuts.is_empty() {
            all.map(|panel| one(PanelId(panel))).collect()
        } else {
            all.into_par_iter().with_min_len(4).map(|panel| one(PanelId(panel))).collect()
        };
        Integrals(done.into_iter().flatten().collect())
    }

    /// The intensity times a factor, and a uniform one added \[the user's unit\].
    pub(crate) fn scaled(&self, shell: &Shell, factor: f64, added: f64) -> Integrals {
        let one = |integral: &Integral| Integral {
            mean: factor * integral.mean + added,
            whole: factor * integral.whole + added * shell.area_vector(integral.panel).norm(),
            ..*integral
        };
        Integrals(self.0.iter().map(one).collect())
    }

    /// All but those of some panels.
    pub(crate) fn without(&self, left_out: impl Fn(PanelId) -> bool) -> Integrals {
        Integrals(self.0.iter().filter(|integral| !left_out(integral.panel)).copied().collect())
    }

    /// Loads on panels and the total asked for.
    pub(crate) fn loads(&self) -> (Vec<PanelLoad>, Vec3) {
        let loaded = self.0.iter().filter(|integral| integral.mean != 0.0);
        let loads = loaded.map(|one| PanelLoad { panel: one.panel, traction: one.unit * one.mean }).collect();
        (loads, self.0.iter().map(|integral| integral.unit * integral.whole).sum())
    }
}

/// A case of one intensity.
pub(crate) fn case(shell: &Shell, name: String, kind: CaseKind, field: &Field<'_>, push: Push) -> Case {
    Case::of(name, kind, &Integrals::new(shell, field, push))
}

impl Case {
    /// A case with no loads yet.
    pub(crate) fn empty(name: String, kind: CaseKind, action: Action) -> Case {
        Case {
            name,
            kind,
            action,
            inlet: Inlet::Shut,
            panels: Vec::new(),
            members: Vec::new(),
            joints: Vec::new(),
            asked: Vec3::zeros(),
            remarks: Vec::new(),
            provisional: Vec::new(),
        }
    }

    /// A case of one intensity that is worked out.
    pub(crate) fn of(name: String, kind: CaseKind, integrals: &Integrals) -> Case {
        let (panels, asked) = integrals.loads();
        Case { panels, asked, ..Case::empty(name, kind, Action::Variable) }
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
