//! Fixings of the seams and anchors of the feet: demand against resistance.

use std::collections::BinaryHeap;

use rayon::prelude::{IndexedParallelIterator, IntoParallelIterator, ParallelIterator};

use crate::assess::AssessError;
use crate::assess::check::{Bound, Found};
use crate::assess::conditions::conditions;
use crate::assess::feet::{FootDemand, moment_of};
use crate::assess::fill::model_name;
use crate::assess::findings::{Findings, ModelFindings};
use crate::assess::ready::{Look, Ready};
use crate::assess::results::Working;
use crate::assess::run::{Run, State};
use crate::assess::seams_asked::SeamsAsked;
use crate::assess::setup::Setup;
use crate::assess::tie::{Tie, tie};
use crate::assess::words;
use crate::assess::workings::{SECOND_ORDER_ELSEWHERE, note_of};
use crate::frame::Response;
use crate::loads::LimitState;
use crate::project::Project;
use crate::rules::ask::FixingsAsk;
use crate::rules::fasteners::JointTimber;
use crate::rules::feet::{self as feet_rules, FootInput};
use crate::rules::members::{self, Conditions, MemberInput};
use crate::rules::seams::{self, SeamBasis, SeamDemand, SeamInput};
use crate::rules::spacing::Strip;
use crate::section::forces::StripForces;
use crate::shell::{MemberId, Role};
use crate::vector::Vec3;

/// One foot against what holds it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct FootFound {
    /// Lift over the anchor's capacity, where one is given.
    pub uplift: Option<f64>,
    /// Slide over the anchor's capacity, where one is given.
    pub slide: Option<f64>,
    /// Moment over what the anchor holds of it, where that is given.
    pub moment: Option<f64>,
    /// The worst of them.
    pub worst: Option<Found>,
}

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
                let forces =
                    StripForces { n: demand.end_opening, my: demand.moment, ..StripForces::default() };
                worst_of = Some(Found { worst, combination, x: None, forces });
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
    let strip = setup.timbers[m].strip;
    let timber = JointTimber::of(&setup.grade);
    Strip {
        count: setup.timbers[m].count,
        corner: setup.corners.sharpest(m),
        wood: timber.wood,
        density_k: timber.density_k,
        breadth: strip.breadth,
        depth: strip.depth,
        fold: setup.shell.members[m].fold,
        bevelled: project.timber.bevelled,
        length: setup.shell.length(MemberId(m)),
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
        second_order: false,
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
        note: note_of(state, SECOND_ORDER_ELSEWHERE, as_drawn),
        checks: seams::working_seam(&input),
    }))
}

/// Every foot against what holds it, over the combinations for strength, uplift and accidents.
///
/// # Errors
/// Conditions and a duration that do not go together.
pub fn feet(
    project: &Project,
    setup: &Setup,
    run: &Run,
    states: &[State],
    feet: &[FootDemand],
) -> Result<Vec<FootFound>, AssessError> {
    let mut out = vec![FootFound::default(); feet.len()];
    let holds: Vec<FootHold> = feet.iter().map(|foot| FootHold::new(project, setup, run, foot)).collect();
    for (i, (combination, state)) in setup.combinations.iter().zip(states).enumerate() {
        if matches!(combination.state, LimitState::Service | LimitState::LongTerm) {
            continue;
        }
        let basis = SeamBasis::of(&conditions(project, combination), &setup.grade)?;
        for ((foot, hold), slot) in feet.iter().zip(&holds).zip(&mut out) {
            for way in state.ways() {
                let input = foot_input(project, setup, basis, (run, way), foot, hold);
                let worst = feet_rules::worst_foot(&input);
                if slot.worst.as_ref().is_none_or(|f| worst.utilisation > f.worst.utilisation) {
                    slot.worst =
                        Some(Found { worst, combination: i, x: None, forces: StripForces::default() });
                }
            }
        }
    }
    let asked = &project.rules.feet;
    for (foot, slot) in feet.iter().zip(&mut out) {
        slot.uplift = asked.uplift.map(|capacity| foot.uplift.value / capacity);
        slot.slide = asked.slide.map(|capacity| foot.slide.value / capacity);
        slot.moment = asked.moment.map(|capacity| foot.moment.value / capacity);
        // Nothing was given to check against.
        slot.worst = slot.worst.filter(|f| f.worst.utilisation > 0.0);
    }
    Ok(out)
}

/// Where a state says what one foot is asked for: the same places in every state of a model.
struct FootHold {
    /// Among the reactions.
    reaction: Option<usize>,
    /// Members of the base rim that meet it; none where no tie is to be checked.
    rims: Vec<usize>,
    /// Width of the timber that it bears with \[m\].
    breadth: f64,
    /// How it asks its tie.
    tie: Tie,
}

impl FootHold {
    fn new(project: &Project, setup: &Setup, run: &Run, foot: &FootDemand) -> Self {
        let at = |case: &Response| case.reactions.iter().position(|(node, _)| node.0 == foot.joint.0);
        let members = setup.shell.members.iter().enumerate();
        // Only a tie is asked for what is in the rims.
        let tied = project.rules.feet.tie.is_some();
        let rims = members.filter(|(_, m)| tied && m.role == Role::BaseRim && m.joints.contains(&foot.joint));
        Self {
            reaction: run.responses.first().and_then(at),
            rims: rims.map(|(i, _)| i).collect(),
            breadth: foot_breadth(project, setup, foot),
            tie: tie(&setup.shell, foot.joint),
        }
    }
}

fn foot_input(
    project: &Project,
    setup: &Setup,
    basis: SeamBasis,
    (run, state): (&Run, &State),
    foot: &FootDemand,
    hold: &FootHold,
) -> FootInput {
    let reaction = hold.reaction.map_or([0.0; 6], |place| run.reaction(state, place));
    let push = [-reaction[0], -reaction[1], -reaction[2]];
    let outward = [foot.outward_direction.x, foot.outward_direction.y];
    let ends = hold.rims.iter().flat_map(|&m| [0, 1].map(|end| run.end(state, m, end).n));
    let rim = ends.fold(0.0_f64, f64::max);
    let demand = feet_rules::FootDemand::of_push(push, outward);
    FootInput {
        demand: feet_rules::FootDemand {
            tie: rim.max(hold.tie.asked(&Vec3::new(push[0], push[1], 0.0), demand.outward)),
            moment: moment_of(&reaction),
            ..demand
        },
        feet: project.rules.feet,
        compression_across: JointTimber::of(&setup.grade).compression_across,
        breadth: hold.breadth,
        basis,
    }
}

/// Width of the timber that a foot bears with \[m\]: the narrowest strip of the rim on the ground there.
fn foot_breadth(project: &Project, setup: &Setup, foot: &FootDemand) -> f64 {
    setup
        .shell
        .members
        .iter()
        .zip(&setup.timbers)
        .filter(|(m, _)| matches!(m.role, Role::BaseRim | Role::Sill) && m.joints.contains(&foot.joint))
        .map(|(_, timber)| timber.strip.breadth)
        .reduce(f64::min)
        .unwrap_or(project.timber.breadth)
}

/// Working of the worst foot in the governing models; `None` where nothing was given to check against.
///
/// # Errors
/// As [`seam_input`].
pub(super) fn feet_working(project: &Project, found: &Findings) -> Result<Option<Working>, AssessError> {
    let mut worst: Option<(&ModelFindings, usize, Found)> = None;
    for &k in &found.governing {
        let model = &found.models[k];
        for (f, one) in model.feet_found.iter().enumerate() {
            if let Some(w) = one.worst
                && worst.as_ref().is_none_or(|b| w.worst.utilisation > b.2.worst.utilisation)
            {
                worst = Some((model, f, w));
            }
        }
    }
    let Some((model, f, w)) = worst else { return Ok(None) };
    let setup = &found.setup;
    let foot = &model.feet[f];
    let combination = &setup.combinations[w.combination];
    let basis = SeamBasis::of(&conditions(project, combination), &setup.grade)?;
    let hold = FootHold::new(project, setup, &model.run, foot);
    let state = &model.states[w.combination];
    let (input, as_drawn) = state.worse_way(|way| {
        let input = foot_input(project, setup, basis, (&model.run, way), foot, &hold);
        Ok((feet_rules::worst_foot(&input).utilisation, (input, std::ptr::eq(way, state))))
    })?;
    Ok(Some(Working {
        what: "foot".into(),
        id: setup.shell.joints[foot.joint.0].name.clone(),
        place: words::joint_place(&setup.shell, foot.joint),
        model: model_name(model.run.model.kind).into(),
        combination: combination.name.clone(),
        parts: Vec::new(),
        note: note_of(state, SECOND_ORDER_ELSEWHERE, as_drawn),
        checks: feet_rules::working_foot(&input),
    }))
}
