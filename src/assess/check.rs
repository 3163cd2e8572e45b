//! Every timber, seam and foot of one joint model against the rules, over all combinations.

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use rayon::prelude::{IndexedParallelIterator, IntoParallelIterator, ParallelIterator};

use crate::assess::in_strips::{Brought, Held, InStrips};
use crate::assess::ready::{Ready, ReadyMember};
use crate::assess::run::{Run, State};
use crate::assess::seams_asked::SeamsAsked;
use crate::assess::setup::Setup;
use crate::frame::BarForces;
use crate::loads::{Combination, LimitState};
use crate::model::back::{self, Kept, Numbers};
use crate::model::timbers::Timber;
use crate::project::Project;
use crate::rules::Worst;
use crate::rules::members::Hole;
use crate::rules::prepared::Envelope;
use crate::section::forces::StripForces;
use crate::shell::Role;

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

impl Found {
    /// Whether another one is to be told instead: a worse one, or an equal one of an earlier combination.
    pub(super) fn gives_way_to(&self, other: &Worst, combination: usize) -> bool {
        other.utilisation > self.worst.utilisation
            || (other.utilisation >= self.worst.utilisation && combination < self.combination)
    }
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
/// A timber's combinations are taken from the one whose greatest forces together would be worst, down to the first
/// that even so stays below the worst found: the others cannot be worse. The greatest forces are first those that the
/// cases' own add up to, and where that is not enough those of the combination. Of equals the first in the list counts.
#[must_use]
pub fn timbers(
    setup: &Setup,
    run: &Run,
    states: &[State],
    asked: &SeamsAsked<'_>,
    ready: &Ready<'_>,
) -> Timbers {
    let looks = ready.looks(states);
    let one = |buffers: &mut Buffers, m: usize| {
        let timber = &setup.timbers[m];
        let ReadyMember { prepared, held, .. } = &ready.members[m];
        let at = &setup.stations[m];
        let by_case = run.kept_by_case(at, m);
        let mut of_all = Envelope::NOTHING;
        let look = |k: usize, along: &mut Vec<Numbers>| {
            run.forces_along(looks[k].state, m, along);
            along_the_whole(at, along)
        };
        let (mut bounds, mut kept) = (std::mem::take(&mut buffers.bounds), std::mem::take(&mut buffers.kept));
        let mut besides = std::mem::take(&mut buffers.besides);
        bounds.clear();
        kept.clear();
        besides.clear();
        kept.extend(looks.iter().map(|look| envelope(&look.state.kept(&by_case, at, m))));
        besides.extend(looks.iter().map(|look| held.asked(asked, look.state, m)));
        let at_most = |k: usize, whole: &Envelope, besides: &[InStrips]| {
            let mut strip = in_strip(whole, timber);
            let Brought { bends, bends_through, twists, shears, shears_through } = held.most(&besides[k]);
            let more = [shears, shears_through, twists, bends_through, bends];
            strip.sizes.iter_mut().zip(more).for_each(|(size, more)| *size += more);
            strip.total += more.iter().sum::<f64>();
            prepared[looks[k].kind].at_most(&strip)
        };
        bounds.extend(kept.iter().enumerate().map(|(k, kept)| Bound { most: at_most(k, kept, &besides), k }));
        // The worst bound is taken first each time: most are never asked for, and need not be in order.
        let mut left = BinaryHeap::from(bounds);
        let mut best: Option<Found> = None;
        while let Some(bound) = left.peek() {
            let milder = |most: f64| best.as_ref().is_some_and(|b| most < b.worst.utilisation);
            if milder(bound.most) {
                break;
            }
            let k = bound.k;
            left.pop();
            let whole = look(k, &mut buffers.along);
            of_all.join(&whole);
            if milder(at_most(k, &whole, &besides)) {
                continue;
            }
            let Buffers { along, places, forces, .. } = &mut *buffers;
            strips_along(setup, m, (held, &besides[k]), along, (places, forces));
            let worst = prepared[looks[k].kind].worst(&buffers.forces);
            if best.as_ref().is_none_or(|b| b.gives_way_to(&worst, looks[k].combination)) {
                let (places, place) = (&buffers.places, worst.place);
                best = Some(Found {
                    worst,
                    combination: looks[k].combination,
                    x: places.get(place % places.len().max(1)).map(|p| p.0),
                    forces: buffers.forces.get(place).copied().unwrap_or_default(),
                });
            }
        }
        let bounds = left.into_vec();
        // The greatest axial forces and moment of all, which are told, may still be among the others.
        for &Bound { k, .. } in &bounds {
            let Envelope { n, sizes, .. } = kept[k];
            if n[0] < of_all.n[0] || n[1] > of_all.n[1] || sizes[3] > of_all.sizes[3] {
                of_all.join(&look(k, &mut buffers.along));
            }
        }
        (buffers.bounds, buffers.kept, buffers.besides) = (bounds, kept, besides);
        (best, of_all)
    };
    let all = 0..setup.shell.members.len();
    let found: Vec<(Option<Found>, Envelope)> =
        all.into_par_iter().with_min_len(8).map_init(Buffers::default, one).collect();
    Timbers {
        worst: found.iter().map(|(worst, _)| *worst).collect(),
        axial: found.iter().map(|(_, all)| all.n).collect(),
        moment: found.iter().map(|(_, all)| all.sizes[3]).collect(),
    }
}

/// A bound of the utilisation of one look, by its place among them. The greatest is the worst, of equals the first.
#[derive(Debug, Clone, Copy)]
pub(super) struct Bound {
    pub(super) most: f64,
    pub(super) k: usize,
}

impl Ord for Bound {
    fn cmp(&self, other: &Self) -> Ordering {
        self.most.total_cmp(&other.most).then(other.k.cmp(&self.k))
    }
}

impl PartialOrd for Bound {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Bound {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Bound {}

/// What is used again from timber to timber.
#[derive(Default)]
struct Buffers {
    along: Vec<Numbers>,
    places: Vec<(f64, BarForces)>,
    forces: Vec<StripForces>,
    /// Of every look: a bound of its utilisation.
    bounds: Vec<Bound>,
    /// Of every look: what its forces keep within.
    kept: Vec<Envelope>,
    /// Of every look: what its seams ask of the strips besides.
    besides: Vec<InStrips>,
}

/// Forces in the strips of a member at every place that is looked at: stations, peaks between them, and the first
/// fixings of a seam, with what the fixings bend and twist them by.
pub(super) fn strips_along(
    setup: &Setup,
    m: usize,
    (held, besides): (&Held, &InStrips),
    along: &[Numbers],
    (places, forces): (&mut Vec<(f64, BarForces)>, &mut Vec<StripForces>),
) {
    let at = &setup.stations[m];
    back::places(at, along, places);
    places.extend(held.places().map(|x| (x, back::at_place(at, along, x))));
    strips(places, &setup.timbers[m], forces);
    held.add(besides, places, forces);
}

/// What forces at the stations of a timber, and between them, nowhere exceed.
fn along_the_whole(at: &[f64], along: &[Numbers]) -> Envelope {
    let mut whole = Envelope::NOTHING;
    for f in along {
        whole.take(f);
    }
    back::peaks(at, along, |_, f| whole.take(&back::numbers(&f)));
    whole
}

/// The same of forces that keep between two values each.
fn envelope(kept: &Kept) -> Envelope {
    let mut whole = Envelope::NOTHING;
    whole.take(&kept.least);
    whole.take(&kept.most);
    whole
}

/// What no strip exceeds where the whole timber stays within an envelope: an equal share of everything, and the
/// couple of composite action either way ([`back::strip_forces`]).
fn in_strip(whole: &Envelope, timber: &Timber) -> Envelope {
    let [vy, vz, t, my, mz] = whole.sizes;
    let most = |n: f64| BarForces { n, vy, vz, t, my, mz };
    let pushed = back::strip_forces(&most(whole.n[0]), timber, -1.0);
    let pulled = back::strip_forces(&most(whole.n[1]), timber, 1.0);
    Envelope {
        // Without a couple both are the plain shares, 0 among them.
        n: [pushed.n.min(0.0), pulled.n.max(0.0)],
        sizes: [pulled.vy, pulled.vz, pulled.t, pulled.my, pulled.mz],
        total: whole.total,
    }
}

/// The hole in a member's strips: as entered, or what the fixings of a seam make where that is wider.
#[must_use]
pub fn hole(project: &Project, setup: &Setup, m: usize) -> Option<Hole> {
    let depth = setup.timbers[m].strip.depth;
    // The holes of half a seam are there before its other panel is.
    let seam = Role::OF_SEAMS.contains(&setup.shell.members[m].role);
    let fixed = project
        .rules
        .fixings
        .filter(|_| seam)
        .and_then(|fixings| Hole::of(&fixings, depth, project.loads.basis));
    match (project.rules.members.hole, fixed) {
        (Some(entered), fixed) => {
            let made = fixed.map_or(0.0, |hole| hole.diameter);
            Some(Hole { diameter: entered.max(made), off: fixed.map_or(0.0, |hole| hole.off) })
        }
        (None, fixed) => fixed,
    }
}

/// Forces in the strips at the given places: one list where the strips share alike, and where they
/// act together in part (composite action) the pulled strip at every place, then the pushed one.
fn strips(places: &[(f64, BarForces)], timber: &Timber, out: &mut Vec<StripForces>) {
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::assess::{example, setup};

    /// A hole that was entered is no less than the one that the bolts make.
    #[test]
    fn a_hole_is_no_less_than_that_of_the_bolts() {
        let mut project = example("propagation-tunnel.toml");
        // In millimetres, to a tenth.
        let of = |project: &Project, role: fn(&Role) -> bool| {
            let setup = setup::setup(project).unwrap();
            let m = setup.shell.members.iter().position(|m| role(&m.role)).unwrap();
            hole(project, &setup, m).map(|hole| (hole.diameter * 1e4).round() / 10.0)
        };
        let seam = |role: &Role| Role::OF_SEAMS.contains(role);
        let rim = |role: &Role| *role == Role::BaseRim;
        assert_eq!((of(&project, seam), of(&project, rim)), (Some(9.0), None));
        for (entered, in_seam) in [(4.0, 9.0), (12.0, 12.0)] {
            project.rules.members.hole = Some(1e-3 * entered);
            assert_eq!((of(&project, seam), of(&project, rim)), (Some(in_seam), Some(entered)));
        }
    }
}
