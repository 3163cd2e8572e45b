//! What a small change in each input does to the worst utilisation, ranked.

use rayon::prelude::*;
use serde::Serialize;

use crate::assess::{AssessError, setup};
use crate::model::ask::SeamStiffness;
use crate::project::Project;
use crate::shell;
use crate::shell::Role;
use crate::study::row::{Row, row};
use crate::study::vary::{self, Load, OwnTimber};
use crate::study::watch::Watch;
use crate::study::{governing_only, look_whole};

/// One change.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Change {
    /// In words: "depth of the timber + 10 %".
    pub what: String,
    /// Worst utilisation after it; absent for a mechanism, or where it could not be worked out.
    pub worst: Option<f64>,
    /// Growth of the worst utilisation as a share of what it was; negative helps.
    pub growth: Option<f64>,
    /// Worst timber after it; absent for a mechanism.
    pub timber: Option<f64>,
    /// Growth of the worst timber as a share of what it was.
    pub timber_growth: Option<f64>,
    /// What governs after it.
    pub governs: String,
    /// Why there is no number.
    pub fault: Option<String>,
}

/// The study.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Sensitivity {
    /// Worst utilisation as entered; absent for a mechanism.
    pub worst: Option<f64>,
    /// Greatest effect first.
    pub changes: Vec<Change>,
    /// Groups of timbers that keep their own size where that of the timber is changed.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub keep_their_own: Vec<OwnTimber>,
    /// Changes that were not tried, as the work was stopped.
    pub left_out: usize,
}

/// Tries every change.
///
/// # Errors
/// The project itself cannot be assessed.
pub fn sensitivity(project: &Project, watch: &dyn Watch) -> Result<Sensitivity, AssessError> {
    let lean = governing_only(project);
    let entered = row(&look_whole(&lean)?);
    let variants = variants(&lean)?;
    watch.more(variants.len());
    let mut changes: Vec<Change> = variants
        .par_iter()
        .filter(|_| !watch.stop())
        .map(|(what, varied)| {
            let change = match look_whole(varied) {
                Ok(found) => changed(what, &entered, &row(&found)),
                Err(error) if error.is_input() => Change {
                    what: what.clone(),
                    worst: None,
                    growth: None,
                    timber: None,
                    timber_growth: None,
                    governs: String::new(),
                    fault: Some(error.to_string()),
                },
                Err(error) => return Err(error),
            };
            watch.row();
            Ok(change)
        })
        .collect::<Result<_, AssessError>>()?;
    // A change into or out of a mechanism is beyond any number: it comes first.
    changes.sort_by(|a, b| {
        let size =
            |c: &Change| if c.fault.is_some() { -1.0 } else { c.growth.map_or(f64::INFINITY, f64::abs) };
        // Where a rule of geometry governs, loads and sizes change nothing: the timbers tell them apart.
        let timbers = |c: &Change| c.timber_growth.map_or(0.0, f64::abs);
        size(b).total_cmp(&size(a)).then(timbers(b).total_cmp(&timbers(a)))
    });
    let left_out = variants.len() - changes.len();
    let keep_their_own = vary::keep_their_own(project);
    Ok(Sensitivity { worst: entered.worst, changes, keep_their_own, left_out })
}

fn changed(what: &str, entered: &Row, row: &Row) -> Change {
    let share = |before: Option<f64>, after: Option<f64>| {
        before.zip(after).filter(|(before, _)| *before > 0.0).map(|(before, after)| after / before - 1.0)
    };
    Change {
        what: what.to_owned(),
        worst: row.worst,
        growth: share(entered.worst, row.worst),
        timber: timber(row),
        timber_growth: share(timber(entered), timber(row)),
        governs: row.governs(),
        fault: None,
    }
}

/// Worst timber of the models that the verdict is taken from; absent where one of them folds.
fn timber(row: &Row) -> Option<f64> {
    if row.models.iter().any(|m| m.governs && m.mechanisms > 0) {
        return None;
    }
    row.models.iter().filter(|m| m.governs).filter_map(|m| m.timber).reduce(f64::max)
}

/// The changes that a project can have.
fn variants(project: &Project) -> Result<Vec<(String, Project)>, AssessError> {
    let mut out = Vec::new();
    let signs = [(1.1, "+ 10 %"), (0.9, "− 10 %")];
    let (b, d) = (project.timber.breadth, project.timber.depth);
    for (factor, sign) in signs {
        out.push((format!("depth of the timber {sign}"), vary::section(project, b, d * factor)));
        out.push((format!("breadth of the timber {sign}"), vary::section(project, b * factor, d)));
    }
    for load in Load::ALL.into_iter().filter(|load| load.is_in(project)) {
        for (factor, sign) in signs {
            out.push((format!("{} {sign}", load.name()), vary::load(project, load, factor)));
        }
    }
    if !matches!(project.joints.seam_stiffness, SeamStiffness::Unknown) {
        let stiffness = setup::setup(project)?.stiffness.seam;
        for (factor, sign) in signs.iter().filter(|_| stiffness > 0.0) {
            let words = format!("stiffness of the seams {sign}");
            out.push((words, vary::seam(project, stiffness * factor)));
        }
    }
    if let Some(end) = project.joints.end_stiffness {
        for (factor, sign) in signs {
            let mut varied = project.clone();
            varied.joints.end_stiffness = Some(end * factor);
            out.push((format!("stiffness of the timbers' ends {sign}"), varied));
        }
    }
    if let Some(fixings) = project.rules.fixings {
        for (factor, sign) in signs {
            let mut varied = project.clone();
            varied.rules.fixings =
                Some(crate::rules::ask::FixingsAsk { diameter: fixings.diameter * factor, ..fixings });
            out.push((format!("diameter of the fixings {sign}"), varied));
            let mut varied = project.clone();
            varied.rules.fixings =
                Some(crate::rules::ask::FixingsAsk { lever: fixings.lever * factor, ..fixings });
            out.push((format!("lever of the fixings {sign}"), varied));
        }
        let mut varied = project.clone();
        varied.rules.fixings =
            Some(crate::rules::ask::FixingsAsk { per_seam: fixings.per_seam + 1, ..fixings });
        out.push(("one fixing more in every seam".to_owned(), varied));
    }
    let rims = [(Role::BaseRim, "base rim"), (Role::EndRim, "end rim"), (Role::DoorRim, "rims of openings")];
    let built = shell::build(&project.shell)?;
    for (role, name) in rims {
        if built.members.iter().any(|m| m.role == role) {
            let group = project.timber.groups.iter().find(|g| g.roles.contains(&role));
            let words = format!("one strip more in the {name}");
            let of_group = group.and_then(|g| g.strips);
            // An opening says itself how many strips its rim has.
            let varied = if role == Role::DoorRim && of_group.is_none() {
                let mut varied = project.clone();
                varied.shell.openings.iter_mut().for_each(|opening| opening.rim_strips += 1);
                varied
            } else {
                vary::strips_of(project, &[role], of_group.unwrap_or(1) + 1)
            };
            out.push((words, varied));
        }
    }
    if let Some(closed) = vary::closed_ends(project)
        // Loads that name joints would stand elsewhere.
        && vary::names_moved(project, &shell::build(&closed.shell)?).is_none()
    {
        out.push(("open ends closed by framed gables".to_owned(), closed));
    }
    Ok(out)
}
