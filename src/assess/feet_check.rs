//! Anchors of the feet: demand against resistance.

use crate::assess::AssessError;
use crate::assess::check::Found;
use crate::assess::conditions::conditions;
use crate::assess::feet::{FootPeaks, moment_of};
use crate::assess::fill::model_name;
use crate::assess::findings::{Findings, ModelFindings};
use crate::assess::results::Working;
use crate::assess::run::{Run, State};
use crate::assess::setup::Setup;
use crate::assess::tie::{Tie, tie};
use crate::assess::words;
use crate::assess::workings::{SECOND_ORDER_ELSEWHERE, note_of};
use crate::frame::Response;
use crate::project::Project;
use crate::rules::fasteners::JointTimber;
use crate::rules::feet::{self as feet_rules, FootInput};
use crate::rules::seams::SeamBasis;
use crate::section::forces::StripForces;
use crate::shell::Role;
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

/// Every foot against what holds it, over the combinations for strength, uplift and accidents.
///
/// # Errors
/// Conditions and a duration that do not go together.
pub(super) fn feet(
    project: &Project,
    setup: &Setup,
    run: &Run,
    states: &[State],
    feet: &[FootPeaks],
) -> Result<Vec<FootFound>, AssessError> {
    let mut out = vec![FootFound::default(); feet.len()];
    let holds: Vec<FootHold> = feet.iter().map(|foot| FootHold::new(project, setup, run, foot)).collect();
    for (i, (combination, state)) in setup.combinations.iter().zip(states).enumerate() {
        if combination.state.is_service() {
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
        slot.uplift = asked.uplift.map(|holds| feet_rules::share(foot.uplift.value, holds));
        slot.slide = asked.slide.map(|holds| feet_rules::share(foot.slide.value, holds));
        slot.moment = asked.moment.map(|holds| feet_rules::share(foot.moment.value, holds));
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
    fn new(project: &Project, setup: &Setup, run: &Run, foot: &FootPeaks) -> Self {
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
    foot: &FootPeaks,
    hold: &FootHold,
) -> FootInput {
    let reaction = hold.reaction.map_or([0.0; 6], |place| run.reaction(state, place));
    let push = [-reaction[0], -reaction[1], -reaction[2]];
    let outward = [foot.outward_direction.x, foot.outward_direction.y];
    let ends = hold.rims.iter().flat_map(|&m| [0, 1].map(|end| run.end(state, m, end).n));
    let rim = ends.fold(0.0_f64, f64::max);
    let demand = feet_rules::FootDemand::of_push(push, outward);
    let timber = JointTimber::of(&setup.grade);
    FootInput {
        demand: feet_rules::FootDemand {
            tie: rim.max(hold.tie.asked(&Vec3::new(push[0], push[1], 0.0), demand.outward)),
            moment: moment_of(&reaction),
            ..demand
        },
        feet: project.rules.feet,
        compression_across: timber.compression_across,
        glued: timber.glued,
        breadth: hold.breadth,
        basis,
    }
}

/// Width of the timber that a foot bears with \[m\]: the narrower side of the narrowest strip of the rim on the ground there, as a steep panel
/// stands on the outer side of its strip, which is as wide as the strip is deep, and a flat one on its breadth.
fn foot_breadth(project: &Project, setup: &Setup, foot: &FootPeaks) -> f64 {
    setup
        .shell
        .members
        .iter()
        .zip(&setup.timbers)
        .filter(|(m, _)| matches!(m.role, Role::BaseRim | Role::Sill) && m.joints.contains(&foot.joint))
        .map(|(_, timber)| timber.strip.breadth.min(timber.strip.depth))
        .reduce(f64::min)
        .unwrap_or(project.timber.breadth.min(project.timber.depth))
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
        note: note_of((model, w.combination), state, SECOND_ORDER_ELSEWHERE, as_drawn),
        checks: feet_rules::working_foot(&input),
    }))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::assess::{example, find};

    /// A strip that lies flat is no wider where it stands on the ground on its edge; the deeper of two upright ones is no wider than it is broad.
    #[test]
    fn a_foot_bears_on_the_narrower_side() {
        for ([breadth, depth], width) in [([0.047, 0.075], 0.047), ([0.120, 0.036], 0.036)] {
            let mut project = example("apple-store-dome.toml");
            (project.timber.breadth, project.timber.depth, project.timber.bevelled) = (breadth, depth, false);
            let found = find(&project).unwrap();
            let foot = &found.models[found.governing[0]].feet[0];
            assert!((foot_breadth(&project, &found.setup, foot) - width).abs() < 1e-12);
        }
    }
}
