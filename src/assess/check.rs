//! Every timber, seam and foot of one joint model against the rules, over all combinations.

use crate::assess::AssessError;
use crate::assess::conditions::conditions;
use crate::assess::run::State;
use crate::assess::setup::Setup;
use crate::loads::{Combination, LimitState};
use crate::model::back;
use crate::model::timbers::Timber;
use crate::project::Project;
use crate::rules::Worst;
use crate::rules::members::{self, Hole, MemberInput};
use crate::section::forces::StripForces;
use crate::shell::{MemberId, MemberKind};

/// The worst that was found of one thing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Found {
    /// Utilisation, rule, clause.
    pub worst: Worst,
    /// Combination, by position.
    pub combination: usize,
    /// Place along a member, from its first joint \[m\].
    pub x: Option<f64>,
    /// Forces in the strip there.
    pub forces: StripForces,
}

/// The worst of every member.
#[derive(Debug, Clone, Default)]
pub struct Timbers {
    /// By member.
    pub worst: Vec<Option<Found>>,
    /// Least and greatest axial force of the whole member \[N\].
    pub axial: Vec<[f64; 2]>,
    /// Greatest moment about the member's own y, out of the surface \[N·m\].
    pub moment: Vec<f64>,
}

/// Whether a combination is checked for strength.
#[must_use]
pub fn is_strength(combination: &Combination) -> bool {
    matches!(combination.state, LimitState::Strength | LimitState::Accidental)
}

/// Checks every timber over the combinations for strength.
///
/// # Errors
/// A grade, section and conditions that do not go together.
pub fn timbers(project: &Project, setup: &Setup, states: &[State]) -> Result<Timbers, AssessError> {
    let count = setup.shell.members.len();
    let mut out =
        Timbers { worst: vec![None; count], axial: vec![[0.0; 2]; count], moment: vec![0.0; count] };
    let mut places = Vec::new();
    let mut forces = Vec::new();
    for (i, (combination, state)) in setup.combinations.iter().zip(states).enumerate() {
        if !is_strength(combination) {
            continue;
        }
        let conditions = conditions(project, combination);
        for m in 0..count {
            let timber = &setup.timbers[m];
            back::places(&setup.stations[m], &state.along[m], &mut places);
            for (_, f) in &places {
                let [least, greatest] = &mut out.axial[m];
                *least = least.min(f.n);
                *greatest = greatest.max(f.n);
                out.moment[m] = out.moment[m].max(f.my.abs());
            }
            strips(&places, timber, &mut forces);
            let input = MemberInput {
                section: timber.strip,
                length: setup.shell.length(MemberId(m)),
                grade: &setup.grade,
                conditions,
                restraint: project.rules.members.restraint,
                hole: hole(project, setup, m),
                second_order: false,
                forces: &forces,
                places: &[],
            };
            let worst = members::worst(&input)?;
            if out.worst[m].as_ref().is_none_or(|f| worst.utilisation > f.worst.utilisation) {
                let place = worst.place;
                out.worst[m] = Some(Found {
                    worst,
                    combination: i,
                    x: places.get(place % places.len().max(1)).map(|p| p.0),
                    forces: forces.get(place).copied().unwrap_or_default(),
                });
            }
        }
    }
    Ok(out)
}

/// The hole in a member's strips: as entered, else what the fixings of a seam make.
#[must_use]
pub fn hole(project: &Project, setup: &Setup, m: usize) -> Option<Hole> {
    let depth = setup.timbers[m].strip.depth;
    let seam = setup.shell.members[m].kind == MemberKind::Seam;
    let fixed = project
        .rules
        .fixings
        .filter(|_| seam)
        .and_then(|fixings| Hole::of(&fixings, depth, project.loads.basis));
    match (project.rules.members.hole, fixed) {
        (Some(diameter), fixed) => Some(Hole { diameter, off: fixed.map_or(0.0, |hole| hole.off) }),
        (None, fixed) => fixed,
    }
}

/// Forces in the strips at the given places: one list where the strips share alike, and where they
/// act together in part (composite action) the pulled strip at every place, then the pushed one.
pub fn strips(places: &[(f64, crate::frame::BarForces)], timber: &Timber, out: &mut Vec<StripForces>) {
    out.clear();
    let own = timber.count as f64 * timber.strip.second_moment_z / timber.whole.second_moment_z;
    out.extend(places.iter().map(|(_, f)| back::strip_forces(f, timber, 1.0)));
    if own < 1.0 - 1e-9 {
        out.extend(places.iter().map(|(_, f)| back::strip_forces(f, timber, -1.0)));
    }
}

/// The member of the worst utilisation.
#[must_use]
pub fn worst_of(list: &[Option<Found>]) -> Option<(usize, &Found)> {
    list.iter().enumerate().filter_map(|(i, f)| f.as_ref().map(|f| (i, f))).fold(None, |best, (i, f)| {
        match best {
            Some((_, b)) if b.worst.utilisation >= f.worst.utilisation => best,
            _ => Some((i, f)),
        }
    })
}
