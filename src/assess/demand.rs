//! Fixings of the seams and anchors of the feet: demand against resistance.

use crate::assess::check::{Found, is_strength};
use crate::assess::conditions;
use crate::assess::feet::FootDemand;
use crate::assess::fill::model_name;
use crate::assess::findings::{Findings, ModelFindings};
use crate::assess::results::Working;
use crate::assess::run::{Run, State};
use crate::assess::setup::Setup;
use crate::assess::words;
use crate::loads::{Combination, Duration, LimitState};
use crate::model::ask::JointModel;
use crate::project::Project;
use crate::rules::Worst;
use crate::rules::ask::FixingsAsk;
use crate::rules::fasteners::{JointTimber, nds};
use crate::rules::seams::{self, SeamBasis, SeamDemand, SeamInput};
use crate::rules::spacing::Strip;
use crate::section::forces::StripForces;
use crate::shell::{MemberId, MemberKind};
use crate::tables::Tables;
use crate::tables::eurocode::LoadDuration;
use crate::tables::grade::Grade;

/// One foot against what holds it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct FootFound {
    /// Lift over the anchor's capacity, where one is given.
    pub uplift: Option<f64>,
    /// Slide over the anchor's capacity, where one is given.
    pub slide: Option<f64>,
    /// The worst of them.
    pub worst: Option<Found>,
}

/// The worst of every seam's fixings, by member; none where no fixings are given.
#[must_use]
pub fn fixings(project: &Project, setup: &Setup, run: &Run, states: &[State]) -> Vec<Option<Found>> {
    let mut out = vec![None; setup.shell.members.len()];
    let Some(fixings) = project.rules.fixings else { return out };
    let mut crossing = vec![None; setup.shell.members.len()];
    for c in &setup.crossings {
        crossing[c.seam.0] = Some(c);
    }
    let mut fold = vec![None; setup.shell.members.len()];
    for (i, seam) in run.model.fold_seams.iter().enumerate() {
        fold[seam.0] = Some(i);
    }
    for (i, (combination, state)) in setup.combinations.iter().zip(states).enumerate() {
        if !is_strength(combination) {
            continue;
        }
        for (m, slot) in out.iter_mut().enumerate() {
            if setup.shell.members[m].kind != MemberKind::Seam {
                continue;
            }
            let demand = seam_demand(setup, run, state, m, fold[m], crossing[m]);
            let input = seam_input(project, setup, fixings, combination, m, demand);
            let worst = seams::worst_seam(&input);
            if slot.as_ref().is_none_or(|f: &Found| worst.utilisation > f.worst.utilisation) {
                let forces =
                    StripForces { n: demand.pull, mz: 0.0, my: demand.moment, ..StripForces::default() };
                *slot = Some(Found { worst, combination: i, x: None, forces });
            }
        }
    }
    out
}

/// What a state asks of one seam's fixings.
///
/// The turning moment is the fold spring's in the seam model and the one passed across the seam's
/// line in a stiff-jointed one; the pinned model passes none. The pull is the tension of one strip,
/// the greater of its two ends. Shear along and through the seam is not seen by centre lines and
/// stays 0.
fn seam_demand(
    setup: &Setup,
    run: &Run,
    state: &State,
    m: usize,
    fold: Option<usize>,
    crossing: Option<&crate::model::seam_demand::Crossing>,
) -> SeamDemand {
    let moment = match run.model.kind {
        JointModel::Pinned => 0.0,
        JointModel::Seam => fold.and_then(|i| state.response.fold_moments.get(i)).copied().unwrap_or(0.0),
        JointModel::Rigid | JointModel::SemiRigid => {
            crossing.map_or(0.0, |c| c.moment(&run.model, &|bar| state.response.bar_ends[bar]))
        }
    };
    let ends = &state.response.bar_ends[m];
    let pull = ends[0].n.max(ends[1].n) / setup.timbers[m].count as f64;
    SeamDemand { moment, pull, ..SeamDemand::default() }
}

fn seam_input(
    project: &Project,
    setup: &Setup,
    fixings: FixingsAsk,
    combination: &Combination,
    m: usize,
    demand: SeamDemand,
) -> SeamInput {
    let member = &setup.shell.members[m];
    let strip = setup.timbers[m].strip;
    SeamInput {
        strip: Strip {
            breadth: strip.breadth,
            depth: strip.depth,
            fold: member.fold,
            bevelled: project.timber.bevelled,
            length: setup.shell.length(MemberId(m)),
        },
        fixings,
        timber: JointTimber::of(&setup.grade),
        basis: seam_basis(project, setup, combination),
        demand,
    }
}

fn seam_basis(project: &Project, setup: &Setup, combination: &Combination) -> SeamBasis {
    let service = |format| {
        let wet = conditions::is_wet(project);
        SeamBasis::Nds(nds::Service { format, wet, made_wet: wet, temperature_f: 70.0 })
    };
    let duration = match combination.duration {
        Duration::LoadDurationFactor(duration) => return service(nds::Format::Asd { duration }),
        Duration::TimeEffectFactor(time_effect) => return service(nds::Format::Lrfd { time_effect }),
        Duration::Permanent => LoadDuration::Permanent,
        Duration::LongTerm => LoadDuration::Long,
        Duration::MediumTerm => LoadDuration::Medium,
        Duration::ShortTerm => LoadDuration::Short,
        Duration::Instantaneous => LoadDuration::Instantaneous,
    };
    let tables = Tables::built_in();
    let class = project.rules.service_class.unwrap_or(3);
    let k_mod = match &setup.grade {
        Grade::Eurocode(g) => tables.k_mod(g.material, class, duration),
        Grade::Nds(_) => None,
    };
    let gamma_m = match combination.state {
        LimitState::Accidental => 1.0,
        _ => tables.gamma_m_of("connections").unwrap_or(1.3),
    };
    // No k_mod in that class means the material is not permitted there: nothing may be carried.
    SeamBasis::Eurocode { k_mod: k_mod.unwrap_or(0.0), gamma_m }
}

/// Working of one seam's fixings in the governing model; `None` where there are none.
pub(super) fn working(project: &Project, found: &Findings, m: usize) -> Option<Working> {
    let fixings = project.rules.fixings?;
    let worst = found
        .governing
        .iter()
        .map(|&k| &found.models[k])
        .filter_map(|model| model.fixings.get(m)?.as_ref().map(|f| (model, f)))
        .max_by(|a, b| a.1.worst.utilisation.total_cmp(&b.1.worst.utilisation));
    let (model, f): (&ModelFindings, &Found) = worst?;
    let setup = &found.setup;
    let demand = SeamDemand { moment: f.forces.my, pull: f.forces.n, ..SeamDemand::default() };
    let combination = &setup.combinations[f.combination];
    let input = seam_input(project, setup, fixings, combination, m, demand);
    Some(Working {
        what: "fixing".into(),
        id: setup.shell.members[m].name.clone(),
        place: words::member_place(&setup.shell, MemberId(m)),
        model: model_name(model.run.model.kind).into(),
        combination: combination.name.clone(),
        parts: Vec::new(),
        checks: seams::working_seam(&input),
    })
}

/// Every foot against its anchor.
#[must_use]
pub fn feet(project: &Project, feet: &[FootDemand]) -> Vec<FootFound> {
    let asked = &project.rules.feet;
    feet.iter()
        .map(|demand| {
            let against = |capacity: Option<f64>, value: f64| capacity.map(|c| value / c);
            let uplift = against(asked.uplift, demand.uplift.value);
            let slide = against(asked.slide, demand.slide.value);
            let line = |utilisation: f64, rule: &'static str, combination: usize| Found {
                worst: Worst { utilisation, rule, clause: "anchor value entered by the user", place: 0 },
                combination,
                x: None,
                forces: StripForces::default(),
            };
            let worst = [
                uplift.map(|u| line(u, "lift against the anchor", demand.uplift.combination)),
                slide.map(|u| line(u, "slide against the anchor", demand.slide.combination)),
            ]
            .into_iter()
            .flatten()
            .max_by(|a, b| a.worst.utilisation.total_cmp(&b.worst.utilisation));
            FootFound { uplift, slide, worst }
        })
        .collect()
}

/// Working of the worst foot.
pub(super) fn feet_working(_project: &Project, _found: &Findings) -> Option<Working> {
    None
}
