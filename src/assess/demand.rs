//! Fixings of the seams: demand against resistance.

use std::collections::BinaryHeap;

use rayon::prelude::{IndexedParallelIterator, IntoParallelIterator, ParallelIterator};

use crate::assess::AssessError;
use crate::assess::check::{Bound, Found};
use crate::assess::conditions::conditions;
use crate::assess::fill::model_name;
use crate::assess::findings::Findings;
use crate::assess::ready::{Look, Ready};
use crate::assess::results::Working;
use crate::assess::run::State;
use crate::assess::seams_asked::SeamsAsked;
use crate::assess::setup::Setup;
use crate::assess::words;
use crate::assess::workings::{SECOND_ORDER_ELSEWHERE, note_of};
use crate::model::corners::Corners;
use crate::model::timbers::Timber;
use crate::project::Project;
use crate::rules::ask::FixingsAsk;
use crate::rules::fasteners::JointTimber;
use crate::rules::members::{self, Conditions, MemberInput};
use crate::rules::seams::{self, SeamBasis, SeamDemand, SeamInput};
use crate::rules::spacing::Strip;
use crate::section::forces::StripForces;
use crate::shell::{MemberId, Shell};
use crate::tables::grade::Grade;

/// What was found at the seams.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Fixings {
    /// The worst of every seam's fixings, by member; none where no fixings are given.
    pub worst: Vec<Option<Found>>,
    /// The corner of a frame that is pulled most, where one is and fixings are given.
    pub mitre: Option<Mitre>,
}

/// A pull across the mitre of one corner of a frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mitre {
    /// \[N\]
    pub pull: f64,
    /// The seam whose strip ends there.
    pub member: usize,
    /// Under which combination, by position.
    pub combination: usize,
}

/// The worst of every seam's fixings, by member; none where no fixings are given. As with the timbers, combinations that
/// cannot be the worst are not worked, and of equals the first in the list counts.
#[must_use]
pub fn fixings(setup: &Setup, states: &[State], asked: &SeamsAsked<'_>, ready: &Ready<'_>) -> Fixings {
    let looks = ready.looks(states);
    let one = |(bounds, demands): &mut (Vec<Bound>, Vec<SeamDemand>), m: usize| {
        let seams = &ready.members[m].seams;
        if seams.is_empty() {
            return (None, None);
        }
        demands.clear();
        demands
            .extend(looks.iter().map(|look| asked.of(&setup.combinations[look.combination], look.state, m)));
        let pulled =
            demands.iter().zip(&looks).fold(None, |most: Option<Mitre>, (demand, look)| match most {
                Some(most) if most.pull >= demand.mitre => Some(most),
                _ => Some(Mitre { pull: demand.mitre, member: m, combination: look.combination }),
            });
        bounds.clear();
        let most = |(k, demand): (usize, &SeamDemand)| seams[looks[k].kind].most.at_most(demand);
        bounds.extend(demands.iter().enumerate().map(|one| Bound { most: most(one), k: one.0 }));
        let mut left = BinaryHeap::from(std::mem::take(bounds));
        let mut worst_of: Option<Found> = None;
        while let Some(Bound { most, k }) = left.pop() {
            let Look { combination, kind, .. } = looks[k];
            // Where a distance does not fit many are equal, the first of them first.
            let earlier = |f: &Found| combination < f.combination;
            if worst_of
                .as_ref()
                .is_some_and(|f| most < f.worst.utilisation || (most <= f.worst.utilisation && !earlier(f)))
            {
                break;
            }
            let demand = demands[k];
            let worst = seams[kind].laid.worst(demand);
            if worst_of.as_ref().is_none_or(|f| f.gives_way_to(&worst, combination)) {
                worst_of = Some(Found { worst, combination, x: None, forces: StripForces::default() });
            }
        }
        *bounds = left.into_vec();
        (worst_of, pulled)
    };
    let all = (0..setup.shell.members.len()).into_par_iter();
    let found: Vec<(Option<Found>, Option<Mitre>)> =
        all.with_min_len(8).map_init(Default::default, one).collect();
    let mitre = found.iter().filter_map(|(_, mitre)| *mitre).filter(|mitre| mitre.pull > 0.0);
    let mitre = mitre.reduce(|a, b| if b.pull > a.pull { b } else { a });
    Fixings { worst: found.into_iter().map(|(worst, _)| worst).collect(), mitre }
}

/// Fixings in one seam: as many as the project says in the longest seam, and in shorter ones as many
/// as keep their spacing about the same, at least one (this program's own reading of `per_seam`).
#[must_use]
pub fn fixings_in(per_seam: usize, length: f64, longest: f64) -> usize {
    let share = if longest > 0.0 { length / longest } else { 1.0 };
    // Half a fixing is rounded up, whatever rounding made of the half: half a seam gets two of three.
    let count = (per_seam as f64 * share + 0.5 + 1e-9).floor();
    if count < 1.0 { 1 } else { (count as usize).min(per_seam.max(1)) }
}

/// The strip of a seam as its fixings meet it.
#[must_use]
pub fn seam_strip(project: &Project, setup: &Setup, m: usize) -> Strip {
    strip_of(project, (&setup.shell, &setup.corners), (&setup.timbers[m], &setup.grade), m)
}

/// As [`seam_strip`], while a setup is still being made.
pub(super) fn strip_of(
    project: &Project,
    (shell, corners): (&Shell, &Corners),
    (timber, grade): (&Timber, &Grade),
    m: usize,
) -> Strip {
    let JointTimber { wood, density_k, .. } = JointTimber::of(grade);
    Strip {
        count: timber.count,
        corner: corners.sharpest(m),
        wood,
        density_k,
        breadth: timber.strip.breadth,
        depth: timber.strip.depth,
        fold: shell.members[m].fold,
        bevelled: project.timber.bevelled,
        length: shell.length(MemberId(m)),
    }
}

/// The fixings of one seam, as many as it gets, and its strip as they meet it: what a check compares and what a list of places says.
#[must_use]
pub fn fixings_of(project: &Project, setup: &Setup, asked: &FixingsAsk, m: usize) -> (FixingsAsk, Strip) {
    let strip = seam_strip(project, setup, m);
    let per_seam = fixings_in(asked.per_seam, strip.length, setup.longest_seam);
    (FixingsAsk { per_seam, ..*asked }, strip)
}

/// One seam's fixings as the rules ask for them.
///
/// # Errors
/// A grade, conditions and a duration that do not go together.
pub(super) fn seam_input(
    project: &Project,
    setup: &Setup,
    fixings: FixingsAsk,
    conditions: &Conditions,
    m: usize,
    demand: SeamDemand,
) -> Result<SeamInput, AssessError> {
    let (fixings, strip) = fixings_of(project, setup, &fixings, m);
    let timber = MemberInput {
        section: setup.timbers[m].strip,
        length: strip.length,
        grade: &setup.grade,
        conditions: *conditions,
        restraint: project.rules.members.restraint,
        hole: None,
        forces: &[],
        places: &[],
    };
    Ok(SeamInput {
        strip,
        corner: setup.corners.widest(m),
        fixings,
        timber: JointTimber::of(&setup.grade),
        shear_strength: members::shear_strength(&timber)?,
        basis: SeamBasis::of(conditions, &setup.grade)?,
        demand,
    })
}

/// Working of one seam's fixings in the governing model; `None` where there are none.
///
/// # Errors
/// As [`seam_input`].
pub(super) fn working(project: &Project, found: &Findings, m: usize) -> Result<Option<Working>, AssessError> {
    let Some(fixings) = project.rules.fixings else { return Ok(None) };
    let worst = found
        .governing
        .iter()
        .map(|&k| &found.models[k])
        .filter_map(|model| model.fixings.get(m)?.as_ref().map(|f| (model, f)))
        .max_by(|a, b| a.1.worst.utilisation.total_cmp(&b.1.worst.utilisation));
    let Some((model, f)) = worst else { return Ok(None) };
    let setup = &found.setup;
    let combination = &setup.combinations[f.combination];
    let asked = SeamsAsked::new(setup, &model.run);
    let conditions = conditions(project, combination);
    let state = &model.states[f.combination];
    let (input, as_drawn) = state.worse_way(|way| {
        let demand = asked.of(combination, way, m);
        let input = seam_input(project, setup, fixings, &conditions, m, demand)?;
        Ok((seams::worst_seam(&input).utilisation, (input, std::ptr::eq(way, state))))
    })?;
    Ok(Some(Working {
        what: "fixing".into(),
        id: setup.shell.members[m].name.clone(),
        place: words::member_place(&setup.shell, MemberId(m)),
        model: model_name(model.run.model.kind).into(),
        combination: combination.name.clone(),
        parts: Vec::new(),
        note: note_of((model, f.combination), state, SECOND_ORDER_ELSEWHERE, as_drawn),
        checks: seams::working_seam(&input),
    }))
}
