//! What the basis makes of the timber: conditions of a combination's checks, design stiffness, creep.

use crate::loads::ask::Basis;
use crate::loads::{Combination, Duration, LimitState};
use crate::project::Project;
use crate::rules::members::{self, Conditions};
use crate::tables::Tables;
use crate::tables::grade::Grade;

/// Conditions of one combination, from what the project asks.
#[must_use]
pub fn conditions(project: &Project, combination: &Combination) -> Conditions {
    let accidental = combination.state == LimitState::Accidental;
    Conditions { accidental, ..lasting(project, combination.duration) }
}

/// Surroundings of the timbers, for what does not go by one combination.
#[must_use]
pub fn surroundings(project: &Project) -> Conditions {
    let nds = &Tables::built_in().nds;
    lasting(
        project,
        match project.loads.basis {
            Basis::Eurocode => Duration::Permanent,
            Basis::UsAsd => Duration::LoadDurationFactor(nds.load_duration.permanent),
            Basis::UsLrfd => Duration::TimeEffectFactor(nds.time_effect.dead),
        },
    )
}

fn lasting(project: &Project, duration: Duration) -> Conditions {
    let base = match project.loads.basis {
        Basis::Eurocode => Conditions::eurocode(project.rules.service_class.unwrap_or(3), duration),
        // Without a word about moisture a garden shell is taken as wet: the careful side.
        Basis::UsLrfd | Basis::UsAsd => Conditions::nds(project.rules.service_class != Some(1), duration),
    };
    base.with(&project.rules.members)
}

/// Design stiffness over the mean stiffness that the frame is solved with, for stability.
///
/// Eurocode: `E_d = E_mean / γM` (EN 1995-1-1 2.4.1 (2.15)). NDS: `E_min / E`, with the factors of
/// the format ([`members::stability_format_factor`]).
#[must_use]
pub fn design_stiffness(project: &Project, grade: &Grade) -> f64 {
    match grade {
        Grade::Eurocode(g) => {
            let table = Tables::built_in().gamma_m(g.material);
            1.0 / project.rules.members.partial_factor.unwrap_or(table)
        }
        Grade::Nds(g) => {
            let reference = g.reference();
            reference.e_min / reference.e * members::stability_format_factor(project.loads.basis)
        }
    }
}
