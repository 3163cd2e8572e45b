//! Working of single things, as a person would write it on paper.

use crate::assess::check::{self, Found};
use crate::assess::conditions::conditions;
use crate::assess::fill::{finite, force_result, model_name};
use crate::assess::findings::{Findings, ModelFindings};
use crate::assess::results::{Working, WorkingPart, WorstItem};
use crate::assess::{AssessError, demand, words};
use crate::frame::BarForces;
use crate::model::back;
use crate::project::Project;
use crate::rules::members::{self, Hole, MemberInput};
use crate::section::forces::StripForces;
use crate::shell::MemberId;

/// The worst timbers worked in full, then the worst fixing and the worst foot.
pub(super) fn workings(
    project: &Project,
    found: &Findings,
    worst: &[WorstItem],
    timbers: usize,
) -> Result<Vec<Working>, AssessError> {
    let mut out = Vec::new();
    // On a symmetric shell the next worst is often the same timber again on the other side: of those
    // that agree in check and figure one is worked.
    let mut told: Vec<(&str, f64)> = Vec::new();
    for item in worst.iter().filter(|w| w.what == "timber") {
        if told.len() >= timbers {
            break;
        }
        let alike =
            |&(rule, figure): &(&str, f64)| rule == item.rule && (figure - item.utilisation).abs() < 0.005;
        if told.iter().any(alike) {
            continue;
        }
        told.push((&item.rule, item.utilisation));
        let Some(member) = found.setup.shell.members.iter().position(|m| m.name == item.id) else { continue };
        if let Some((model, f)) = governing(found, member) {
            out.push(timber(project, found, model, member, f.combination)?);
        }
    }
    if timbers > 0
        && let Some(item) = worst.iter().find(|w| w.what == "fixing")
        && let Some(member) = found.setup.shell.members.iter().position(|m| m.name == item.id)
    {
        out.extend(demand::working(project, found, member)?);
    }
    if timbers > 0 {
        out.extend(demand::feet_working(project, found)?);
    }
    for working in &mut out {
        // Worst first; what only has to fit, and does, comes last.
        working
            .checks
            .sort_by(|a, b| a.fits().cmp(&b.fits()).then_with(|| b.utilisation.total_cmp(&a.utilisation)));
        // Documents have no infinity: beyond a limit of validity is 1e9, as everywhere in them.
        for check in &mut working.checks {
            check.utilisation = finite(check.utilisation);
            for step in &mut check.steps {
                step.value = finite(step.value);
            }
        }
    }
    Ok(out)
}

/// The governing model's worst of a member.
pub(super) fn governing(found: &Findings, member: usize) -> Option<(&ModelFindings, &Found)> {
    found
        .governing
        .iter()
        .map(|&k| &found.models[k])
        .filter_map(|m| m.timbers.worst.get(member)?.as_ref().map(|f| (m, f)))
        .fold(None, |best: Option<(&ModelFindings, &Found)>, (m, f)| match best {
            Some((_, b)) if b.worst.utilisation >= f.worst.utilisation => best,
            _ => Some((m, f)),
        })
}

/// One timber's checks under one combination in one model.
pub(super) fn timber(
    project: &Project,
    found: &Findings,
    model: &ModelFindings,
    member: usize,
    combination: usize,
) -> Result<Working, AssessError> {
    let setup = &found.setup;
    let state = &model.states[combination];
    let timber = &setup.timbers[member];
    let mut places = Vec::new();
    back::places(&setup.stations[member], &state.along[member], &mut places);
    let mut forces = Vec::new();
    check::strips(&places, timber, &mut forces);
    let mut at: Vec<f64> = places.iter().map(|p| p.0).collect();
    if forces.len() > at.len() {
        at.extend_from_within(..);
    }
    let input = MemberInput {
        section: timber.strip,
        length: setup.shell.length(MemberId(member)),
        grade: &setup.grade,
        conditions: conditions(project, &setup.combinations[combination]),
        restraint: project.rules.members.restraint,
        hole: project.rules.members.hole.map(|diameter| Hole { diameter }),
        second_order: false,
        forces: &forces,
        places: &at,
    };
    let checks = members::working(&input)?;
    let worst = members::worst(&input)?;
    let x = at.get(worst.place).copied().unwrap_or(0.0);
    Ok(Working {
        what: "timber".into(),
        id: setup.shell.members[member].name.clone(),
        place: format!(
            "{}; {} mm from {}",
            words::member_place(&setup.shell, MemberId(member)),
            (x * 1e3).round(),
            setup.shell.joints[setup.shell.members[member].joints[0].0].name
        ),
        model: model_name(model.run.model.kind).into(),
        combination: setup.combinations[combination].name.clone(),
        parts: parts(found, model, member, combination, x),
        checks,
    })
}

/// What each case of a combination brings to a strip at x: first-order values, so that under a
/// second-order combination they do not add up to the forces checked (the difference is the
/// amplification).
fn parts(
    found: &Findings,
    model: &ModelFindings,
    member: usize,
    combination: usize,
    x: f64,
) -> Vec<WorkingPart> {
    let setup = &found.setup;
    let timber = &setup.timbers[member];
    setup.combinations[combination]
        .terms
        .iter()
        .map(|&(case, factor)| {
            let at = interpolate(&setup.stations[member], &model.run.along[case.0][member], x);
            let forces: StripForces = back::strip_forces(&at, timber, 1.0);
            WorkingPart { case: setup.cases[case.0].name.clone(), factor, forces: force_result(&forces) }
        })
        .collect()
}

/// Forces at x between the stations on either side (exact at a station and for uniform load).
fn interpolate(stations: &[f64], forces: &[BarForces], x: f64) -> BarForces {
    let Some(i) = stations.windows(2).position(|w| x <= w[1] + 1e-12) else {
        return forces.last().copied().unwrap_or_default();
    };
    back::between(stations[i], stations[i + 1], &forces[i], &forces[i + 1], x)
}

/// A member's name, or the nearest there is.
pub(super) fn member_named(found: &Findings, name: &str) -> Result<usize, AssessError> {
    let members = &found.setup.shell.members;
    members.iter().position(|m| m.name.eq_ignore_ascii_case(name)).ok_or_else(|| {
        let nearest = members
            .iter()
            .max_by(|a, b| {
                strsim::jaro_winkler(&a.name, name).total_cmp(&strsim::jaro_winkler(&b.name, name))
            })
            .map(|m| m.name.clone())
            .unwrap_or_default();
        AssessError::NoMember { asked: name.to_owned(), nearest }
    })
}

/// One timber explained: under the combination named, or its worst one; in the governing model, or
/// in the softest that can be solved.
///
/// # Errors
/// An unknown member or combination; [`AssessError::NothingSolved`] where every model is a mechanism.
pub fn explain(
    project: &Project,
    found: &Findings,
    member: &str,
    combination: Option<&str>,
) -> Result<Vec<Working>, AssessError> {
    let m = member_named(found, member)?;
    let worst = governing(found, m).or_else(|| {
        found.models.iter().find_map(|model| model.timbers.worst.get(m)?.as_ref().map(|f| (model, f)))
    });
    let Some((model, worst)) = worst else { return Err(AssessError::NothingSolved) };
    let i = match combination {
        None => worst.combination,
        Some(name) => {
            let all = &found.setup.combinations;
            all.iter().position(|c| c.name.eq_ignore_ascii_case(name)).ok_or_else(|| {
                let like = |c: &str| strsim::normalized_levenshtein(&c.to_lowercase(), &name.to_lowercase());
                let nearest =
                    all.iter().max_by(|a, b| like(&a.name).total_cmp(&like(&b.name))).map(|c| c.name.clone());
                AssessError::NoCombination { asked: name.to_owned(), nearest: nearest.unwrap_or_default() }
            })?
        }
    };
    let mut out = vec![timber(project, found, model, m, i)?];
    out.extend(demand::working(project, found, m)?);
    Ok(out)
}
