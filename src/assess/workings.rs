//! Working of single things, as a person would write it on paper.

use crate::assess::check::{self, Found};
use crate::assess::conditions::conditions;
use crate::assess::fill::{finite, force_result, model_name};
use crate::assess::findings::{Findings, ModelFindings};
use crate::assess::in_strips::Held;
use crate::assess::results::{Working, WorkingPart, WorstItem};
use crate::assess::run::State;
use crate::assess::seams_asked::SeamsAsked;
use crate::assess::{AssessError, besides, demand, feet_check, words};
use crate::model::back;
use crate::project::Project;
use crate::rules::members::{self, MemberInput};
use crate::section::forces::StripForces;
use crate::shell::ask::ShellAsk;
use crate::shell::{self, JointId, Member, MemberId, Opening, Shell};
use crate::units::{INCH, Kind, MILLIMETRE, Show, System};

/// What a working says of second-order forces.
pub(super) const SECOND_ORDER: &str = "Forces here are second-order, with design stiffness and the shell's imperfection; \
those of the cases are first-order, so they do not add up to them. The imperfection is the shell's, not a bow of this timber, \
so that its buckling between joints is checked on top (k_c, C_P): none of it is left out, and some may be counted twice, \
to the careful side.";

/// As [`SECOND_ORDER`], of what has no buckling of its own.
pub(super) const SECOND_ORDER_ELSEWHERE: &str =
    "Forces here are second-order, with design stiffness and the shell's imperfection.";

/// Which of the two ways of the imperfection asks for more, and was taken.
pub(super) fn way_taken(as_drawn: bool) -> &'static str {
    if as_drawn {
        "Of its two ways, the one taken is that of this model's lowest buckling shape as \"draw --show buckling\" draws it."
    } else {
        "Of its two ways, the one taken is against this model's lowest buckling shape as \"draw --show buckling\" draws it."
    }
}

/// What is said of the forces of a combination in a model: nothing of first-order ones that are meant to be so.
pub(super) fn note_of(
    (model, combination): (&ModelFindings, usize),
    state: &State,
    words: &str,
    as_drawn: bool,
) -> String {
    if model.stability.low[combination] && state.second_order.is_none() {
        let what = if model.lost.is_empty() {
            "they may be too low"
        } else {
            "they are those of a shape that does not last"
        };
        return format!(
            "Forces here are first-order: by small turns no equilibrium of the imperfect shell was found under this load, or under that \
             which the model gives way under first, and {what}."
        );
    }
    if state.second_order.is_some() { format!("{words} {}", way_taken(as_drawn)) } else { String::new() }
}

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
        out.extend(feet_check::feet_working(project, found)?);
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
    let empty = MemberInput {
        section: timber.strip,
        length: setup.shell.length(MemberId(member)),
        grade: &setup.grade,
        conditions: conditions(project, &setup.combinations[combination]),
        restraint: project.rules.members.restraint,
        hole: check::hole(project, setup, member),
        forces: &[],
        places: &[],
    };
    let (asked, held) = (SeamsAsked::new(setup, &model.run), Held::new(project, setup, member));
    let (worst, at, forces, brought, as_drawn) = state.worse_way(|way| {
        let (mut along, mut places, mut forces) = (Vec::new(), Vec::new(), Vec::new());
        model.run.forces_along(way, member, &mut along);
        let besides = held.asked(&asked, way, member);
        check::strips_along(setup, member, (&held, &besides), &along, (&mut places, &mut forces));
        let mut at: Vec<f64> = places.iter().map(|p| p.0).collect();
        if forces.len() > at.len() {
            at.extend_from_within(..);
        }
        let worst = members::worst(&MemberInput { forces: &forces, places: &at, ..empty })?;
        Ok((worst.utilisation, (worst, at, forces, besides, std::ptr::eq(way, state))))
    })?;
    let checks = members::working(&MemberInput { forces: &forces, places: &at, ..empty })?;
    let x = at.get(worst.place).copied().unwrap_or(0.0);
    let joints = setup.shell.members[member].joints.map(|joint| setup.shell.joints[joint.0].name.as_str());
    Ok(Working {
        what: "timber".into(),
        id: setup.shell.members[member].name.clone(),
        place: format!(
            "{}; {} from {}",
            words::member_place(&setup.shell, MemberId(member)),
            place_along(project.units, x),
            joints[0]
        ),
        model: model_name(model.run.model.kind).into(),
        combination: setup.combinations[combination].name.clone(),
        parts: parts(found, model, member, combination, x),
        note: [
            besides::note(project.units, held.at(&brought, x)),
            besides::of_corners(project.units, &held, &brought, joints),
            besides::of_forces_in_one_place(project.units, &brought),
            note_of((model, combination), state, SECOND_ORDER, as_drawn),
        ]
        .into_iter()
        .filter(|words| !words.is_empty())
        .collect::<Vec<_>>()
        .join(" "),
        checks,
    })
}

/// A place along a timber, to a millimetre or a tenth of an inch.
fn place_along(units: System, x: f64) -> String {
    let least = if units == System::Imperial { 0.1 * INCH } else { MILLIMETRE };
    Show::new(units).text_to(Kind::Size, (x / least).round() * least, 4)
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
            let at = back::at_place(&setup.stations[member], model.run.along.at(case.0, member), x);
            let forces: StripForces = back::strip_forces(&at, timber, 1.0);
            WorkingPart { case: setup.cases[case.0].name.clone(), factor, forces: force_result(&forces) }
        })
        .collect()
}

/// What a name is that no timber of the shell has: a foot, a joint, a panel, or a timber that an opening took.
fn something_else(project: &Project, shell: &Shell, name: &str) -> Option<AssessError> {
    let not_a_timber =
        |what, where_told| AssessError::NotATimber { asked: name.to_owned(), what, where_told };
    if let Some(joint) = shell.joints.iter().find(|joint| joint.name.eq_ignore_ascii_case(name)) {
        return Some(if joint.foot {
            let told = "what it is to hold is under \"Feet and holding down\" in strutwise notes, and in feet.csv of \
                        strutwise check --csv";
            not_a_timber("a foot", told)
        } else {
            not_a_timber(
                "a joint",
                "joints.csv and members.csv of strutwise check --csv say which timbers meet there",
            )
        });
    }
    if shell.panels.iter().any(|panel| panel.name.eq_ignore_ascii_case(name)) {
        return Some(not_a_timber(
            "a panel",
            "panels.csv and members.csv of strutwise check --csv have its timbers",
        ));
    }
    if shell.openings.is_empty() {
        return None;
    }
    let whole = shell::build(&ShellAsk { openings: Vec::new(), ..project.shell.clone() }).ok()?;
    let taken = |panels: &mut dyn Iterator<Item = &String>, what, instead| {
        let names: Vec<&String> = panels.collect();
        let by = |opening: &Opening| names.iter().any(|name| opening.panels.contains(name));
        let opening = shell.openings.iter().position(by)? + 1;
        Some(AssessError::Taken { asked: name.to_owned(), opening, what, instead })
    };
    let called = |known: &str| known.eq_ignore_ascii_case(name);
    if let Some(joint) = whole.joints.iter().position(|joint| called(&joint.name)) {
        let mut there = whole.panels.iter().filter(|panel| panel.joints.contains(&JointId(joint)));
        return taken(&mut there.by_ref().map(|panel| &panel.name), "that joint", String::new());
    }
    if let Some(panel) = whole.panels.iter().find(|panel| called(&panel.name)) {
        return taken(&mut std::iter::once(&panel.name), "that panel", String::new());
    }
    let gone = whole.members.iter().find(|member| called(&member.name))?;
    let ends = |shell: &Shell, member: &Member| {
        let mut ends = member.joints.map(|joint| shell.joints[joint.0].name.clone());
        ends.sort();
        ends
    };
    let instead = shell.members.iter().find(|member| ends(shell, member) == ends(&whole, gone));
    let instead =
        instead.map_or_else(String::new, |rim| format!("; in its place stands {}, of its rim", rim.name));
    taken(&mut gone.panels.iter().map(|panel| &whole.panels[panel.0].name), "it", instead)
}

/// A member's name, or the nearest there is.
pub(super) fn member_named(project: &Project, found: &Findings, name: &str) -> Result<usize, AssessError> {
    let members = &found.setup.shell.members;
    members.iter().position(|m| m.name.eq_ignore_ascii_case(name)).ok_or_else(|| {
        if let Some(other) = something_else(project, &found.setup.shell, name) {
            return other;
        }
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
    let m = member_named(project, found, member)?;
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::assess::example;
    use crate::assess::{Options, find};
    use crate::rules::notation::recompute;

    #[test]
    fn what_is_no_timber_is_said_to_be_what_it_is() {
        let (project, found) = found("potting-shed-barrel.toml", &|_| {});
        let shell = &found.setup.shell;
        let said = |name: &str| member_named(&project, &found, name).unwrap_err().to_string();
        let foot = shell.joints.iter().find(|joint| joint.foot).unwrap();
        assert!(
            said(&foot.name)
                .starts_with(&format!("{} is a foot, not a timber; what it is to hold", foot.name))
        );
        let joint = shell.joints.iter().find(|joint| !joint.foot).unwrap();
        assert!(said(&joint.name).contains("is a joint, not a timber"));
        assert!(said(&shell.panels[0].name).contains("is a panel, not a timber"));
        assert!(said("s9999").contains("there is no timber \"s9999\"; the nearest is"));
        // Of what an opening took the one that became its rim has another name now.
        let whole = shell::build(&ShellAsk { openings: Vec::new(), ..project.shell.clone() }).unwrap();
        let gone: Vec<&Member> = whole
            .members
            .iter()
            .filter(|member| shell.members.iter().all(|other| other.name != member.name))
            .collect();
        assert!(!gone.is_empty(), "the example has no opening");
        for member in &gone {
            let words = said(&member.name);
            assert!(
                words.starts_with(&format!("there is no timber {}: opening 1 took it", member.name)),
                "{words}"
            );
        }
        assert!(gone.iter().any(|member| said(&member.name).contains("in its place stands r")));
        let rim = words::member_place(shell, shell.openings[0].rim[0]);
        assert!(rim.starts_with("rim of an opening"), "{rim}");
        assert!(said(&shell.openings[0].panels[0]).ends_with("opening 1 took that panel"));
        for joint in whole.joints.iter().filter(|joint| shell.joints.iter().all(|at| at.name != joint.name)) {
            assert!(said(&joint.name).ends_with("opening 1 took that joint"));
        }
    }

    fn found(file: &str, spoil: &dyn Fn(&mut Project)) -> (Box<Project>, Findings) {
        let mut project = example(file);
        spoil(&mut project);
        let found = find(&project).unwrap();
        (project, found)
    }

    /// What is printed is what was checked, on whole shells of either basis: every formula of the workings of timbers,
    /// fixings and feet gives its printed value again, and the worst of each working is the figure in the list of the
    /// worst.
    #[test]
    fn the_workings_of_a_shell_can_be_worked_again_and_are_its_checks() {
        let feet = |project: &mut Project| {
            let feet = &mut project.rules.feet;
            feet.pad_weight = Some(900.0);
            feet.pad_area = Some(0.09);
            feet.ground_pressure = Some(1e5);
            feet.friction = Some(0.3);
            feet.tie = Some(4e3);
            feet.bearing_length = Some(0.06);
        };
        for file in ["apple-store-dome.toml", "grafting-dome-us.toml"] {
            let (project, found) = found(file, &feet);
            let options = Options { workings: 3, ..Options::default() };
            let results = crate::assess::fill::results(&project, &found, &options).unwrap();
            let mut kinds = std::collections::BTreeSet::new();
            for working in &results.workings {
                kinds.insert(working.what.clone());
                assert!(!working.checks.is_empty(), "{file} {}", working.id);
                for check in working.checks.iter().filter(|c| c.utilisation < 1e9) {
                    recompute(check);
                }
                let listed = results
                    .worst_list
                    .iter()
                    .find(|w| w.what == working.what && w.id == working.id && w.model == working.model)
                    .unwrap_or_else(|| panic!("{file}: {} {} is in no list", working.what, working.id));
                assert_eq!(listed.utilisation.to_bits(), working.checks[0].utilisation.to_bits(), "{file}");
                let metric = ["N", "N/mm²", "mm", "mm²", "N·mm"];
                for step in working.checks.iter().flat_map(|c| &c.steps).filter(|_| file.contains("us")) {
                    assert!(!metric.contains(&step.unit.as_str()), "{file}: {step:?}");
                }
                assert!(!file.contains("us") || !working.place.contains("mm"), "{}", working.place);
            }
            assert_eq!(kinds.into_iter().collect::<Vec<_>>(), ["fixing", "foot", "timber"], "{file}");
        }
    }

    /// A foot's figures in every model, those that do not govern too; the foot's own are the greatest of those that do.
    #[test]
    fn feet_are_told_model_by_model() {
        let (project, found) = found("apple-store-dome.toml", &|_| ());
        let results = crate::assess::fill::results(&project, &found, &Options::default()).unwrap();
        let governing: Vec<&str> =
            found.governing.iter().map(|&k| model_name(found.models[k].run.model.kind)).collect();
        assert!(!results.feet.is_empty() && found.models.len() > governing.len());
        for foot in &results.feet {
            assert_eq!(foot.by_model.len(), found.models.len());
            let greatest = |of: &dyn Fn(&crate::assess::results::FootInModel) -> f64| {
                governing.iter().map(|name| of(&foot.by_model[*name])).fold(0.0, f64::max)
            };
            assert_eq!(greatest(&|f| f.uplift).to_bits(), foot.uplift.to_bits());
            assert_eq!(greatest(&|f| f.down).to_bits(), foot.down.to_bits());
            let share = greatest(&|f| f.uplift_utilisation.unwrap());
            assert_eq!(share.to_bits(), foot.uplift_utilisation.unwrap().to_bits());
            for (name, one) in &foot.by_model {
                assert_eq!(one.worst.as_ref().map_or(name, |w| &w.model), name);
                assert!(one.worst.as_ref().is_none_or(|w| w.utilisation >= one.uplift_utilisation.unwrap()));
            }
        }
    }

    /// Forces of second order say so, and say that buckling between joints is checked on top.
    #[test]
    fn second_order_forces_are_told_in_the_working() {
        let (project, found) = found("wider-longer-tunnel.toml", &|_| ());
        let low = |model: &&ModelFindings| model.states.iter().any(|s| s.second_order.is_some());
        let model = found.models.iter().find(low).expect("one model is soft enough");
        let i = model.states.iter().position(|s| s.second_order.is_some()).unwrap();
        let first = model.states.iter().position(|s| s.second_order.is_none());
        let note = timber(&project, &found, model, 0, i).unwrap().note;
        assert!(note.contains(SECOND_ORDER), "{note}");
        // The notes print so much of it.
        assert!(note.chars().count() <= 1500, "{note}");
        // Of all timbers, some are asked for more the one way and some the other.
        let notes: Vec<String> = (0..found.setup.shell.members.len())
            .map(|m| timber(&project, &found, model, m, i).unwrap().note)
            .collect();
        for as_drawn in [true, false] {
            assert!(notes.iter().any(|note| note.ends_with(way_taken(as_drawn))), "{as_drawn}");
        }
        if let Some(first) = first {
            let note = timber(&project, &found, model, 0, first).unwrap().note;
            assert!(!note.contains("second-order"), "{note}");
        }
    }
}
