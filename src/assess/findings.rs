//! What was found, in numbers and positions: one assessment before it is put into words.
//!
//! Studies read this; reports read [`crate::assess::results::Assessment`], which is filled from it.

use crate::assess::AssessError;
use crate::assess::buckling::{buckling, low};
use crate::assess::check::{self, Found, Timbers, worst_of};
use crate::assess::conditions;
use crate::assess::demand::{self, Fixings, Mitre};
use crate::assess::doubts;
use crate::assess::feet::{self, FootPeaks};
use crate::assess::feet_check::{self, FootFound};
use crate::assess::fill::total_reaction;
use crate::assess::hand::{self, Solved};
use crate::assess::hand_column;
use crate::assess::held_feet;
use crate::assess::paths::{self, Limit};
use crate::assess::ready::Ready;
use crate::assess::remarks::sentence;
use crate::assess::results::{HandCheck, Verdict};
use crate::assess::run::{Run, State};
use crate::assess::sag::{Sag, sag};
use crate::assess::seams_asked::SeamsAsked;
use crate::assess::setup::{Setup, setup};
use crate::assess::snap::{self, SnapFound};
use crate::assess::stability::{self, Stability};
use crate::assess::verdict;
use crate::frame::BarForces;
use crate::model::ask::{JointModel, SeamStiffness};
use crate::project::Project;
use crate::vector::Vec3;

/// What one joint model says.
#[derive(Debug)]
pub struct ModelFindings {
    /// Frame, solver, responses.
    pub run: Run,
    /// State under every combination, second-order where the factor is low; empty for a mechanism.
    pub states: Vec<State>,
    /// Buckling.
    pub stability: Stability,
    /// Combinations under which no second-order equilibrium was found.
    pub lost: Vec<usize>,
    /// Worst of every timber; empty for a mechanism.
    pub timbers: Timbers,
    /// Worst of every seam's fixings, by member; empty for a mechanism.
    pub fixings: Vec<Option<Found>>,
    /// The corner of a frame that is pulled most.
    pub mitre: Option<Mitre>,
    /// What the feet are asked for.
    pub feet: Vec<FootPeaks>,
    /// The feet against their anchors, in the same order; empty for a mechanism.
    pub feet_found: Vec<FootFound>,
    /// Sag and sway.
    pub sag: Option<Sag>,
    /// The lowest limit of the nonlinear paths that were followed, design stiffness.
    pub limit: Option<Limit>,
    /// What keeps its verdict from being better than near, beside its feet and the loads.
    pub doubts: Vec<String>,
    /// Verdict of this model alone.
    pub verdict: Verdict,
    /// Worst utilisation of this model: timbers, fixings, feet with a capacity, buckling.
    pub worst: f64,
}

/// What was found of one project.
#[derive(Debug)]
pub struct Findings {
    /// The first half of the line.
    pub setup: Setup,
    /// Models, softest first.
    pub models: Vec<ModelFindings>,
    /// Positions of the models that the verdict is taken from.
    pub governing: Vec<usize>,
    /// Snap-through of the joint that snaps first; `None` where no joint is pushed inward.
    pub snap: Option<SnapFound>,
    /// The verdict.
    pub verdict: Verdict,
    /// Whether only stiffer seams keep it within.
    pub rests_on_seams: bool,
    /// Whether it is not over only because feet are held against turning, by a moment that was compared with nothing.
    pub rests_on_feet: bool,
}

/// Works through the whole line.
///
/// # Errors
/// Any station's error. A mechanism, an over-used timber, a low buckling factor are findings, not
/// errors.
pub fn find(project: &Project) -> Result<Findings, AssessError> {
    let setup = setup(project)?;
    find_in(project, setup)
}

/// As [`find`], from a setup that is already made.
///
/// # Errors
/// As [`find`].
pub fn find_in(project: &Project, setup: Setup) -> Result<Findings, AssessError> {
    find_like(project, setup, None)
}

/// As [`find_in`], beside what was found of the same shell with other timbers or joints: what depends on the shape
/// alone is taken over from there.
///
/// # Errors
/// As [`find`].
pub fn find_like(
    project: &Project,
    setup: Setup,
    earlier: Option<&Findings>,
) -> Result<Findings, AssessError> {
    let solver = |kind: JointModel| {
        let model = earlier?.models.iter().find(|m| m.run.model.kind == kind)?;
        Some(&model.run.solver)
    };
    // Models do not know each other. Each is done in two parts, all first parts before any second one: in a first part
    // little is done side by side, so that the last one shares the cores with the second parts of the others.
    let ready = Ready::new(project, &setup)?;
    let mut models: Vec<Option<Result<ModelFindings, AssessError>>> =
        setup.models.iter().map(|_| None).collect();
    rayon::scope_fifo(|scope| {
        for (place, &kind) in models.iter_mut().zip(&setup.models) {
            let (setup, ready) = (&setup, &ready);
            scope.spawn_fifo(move |scope| {
                let run = Run::like(setup, kind, project.joints.feet, solver(kind));
                match run.and_then(|run| Moved::new(project, setup, run)) {
                    Ok(moved) => {
                        scope.spawn_fifo(move |_| {
                            *place = Some(judged(project, (setup, ready), moved));
                        });
                    }
                    Err(fault) => *place = Some(Err(fault)),
                }
            });
        }
    });
    let models = models.into_iter().flatten().collect::<Result<Vec<_>, _>>()?;
    let seam_known = !matches!(project.joints.seam_stiffness, SeamStiffness::Unknown);
    let governing = verdict::governing(&setup.models, seam_known);
    let (verdict, rests_on_seams) = verdict::overall(&setup.models, &models, &governing);
    let snap = snap::found(project, &setup);
    let snapped = snap.as_ref().map_or(0.0, SnapFound::utilisation);
    let verdict = verdict::with_snap(verdict, snapped);
    // Stiffer joints do not keep one from snapping.
    let rests_on_seams = rests_on_seams && snapped <= 1.0;
    let unchecked = |&k: &usize| held_feet::unchecked(project, &models[k].feet).is_some();
    let rests_on_feet = verdict::holds(verdict) && governing.iter().any(unchecked);
    Ok(Findings { setup, models, governing, snap, verdict, rests_on_seams, rests_on_feet })
}

/// The first part of a model: how it moves under every combination, whether it stands, and up to what.
struct Moved {
    run: Run,
    states: Vec<State>,
    stability: Stability,
    limit: Option<Limit>,
    lost: Vec<usize>,
    /// Whether second order found no equilibrium where the nonlinear path alone asked for it, and stands.
    unsettled: bool,
}

impl Moved {
    fn new(project: &Project, setup: &Setup, run: Run) -> Result<Self, AssessError> {
        let design = conditions::design_stiffness(project, &setup.grade);
        if run.is_mechanism() {
            return Ok(Self {
                run,
                states: Vec::new(),
                stability: Stability::default(),
                limit: None,
                lost: Vec::new(),
                unsettled: false,
            });
        }
        let mut states: Vec<State> = setup.combinations.iter().map(State::of).collect();
        let mut stability = buckling(&run, &setup.combinations, design)?;
        let limit = paths::limit(&run, setup, &stability, design)?;
        let below = stability::second_order_below(&stability, limit.as_ref());
        stability.low = low(&run, &setup.combinations, design, &stability, below)?;
        stability::spare(setup, &mut stability, limit.as_ref());
        let worst = limit.as_ref().map(|limit| limit.combination);
        let lost = stability::amplify(&run, setup, &mut states, &stability, design, worst)?;
        let unsettled = !lost.is_empty() && stability::stands(&stability, limit.as_ref());
        let lost = if unsettled { Vec::new() } else { lost };
        Ok(Self { run, states, stability, limit, lost, unsettled })
    }
}

/// The second part: what the rules say of it.
fn judged(
    project: &Project,
    (setup, ready): (&Setup, &Ready<'_>),
    moved: Moved,
) -> Result<ModelFindings, AssessError> {
    let mut feet = feet::feet(&setup.shell);
    let Moved { run, states, stability, limit, lost, unsettled } = moved;
    if run.is_mechanism() {
        return Ok(ModelFindings {
            run,
            states,
            stability,
            lost,
            timbers: Timbers::default(),
            fixings: Vec::new(),
            mitre: None,
            feet,
            feet_found: Vec::new(),
            sag: None,
            limit: None,
            doubts: Vec::new(),
            verdict: Verdict::Unstable,
            worst: f64::INFINITY,
        });
    }
    for (i, (combination, state)) in setup.combinations.iter().zip(&states).enumerate() {
        for way in state.ways() {
            feet::take(&mut feet, &run.reactions(way), combination.state, i);
        }
    }
    let asked = SeamsAsked::of_all(setup, &run);
    let timbers = check::timbers(setup, &run, &states, &asked, ready);
    let Fixings { worst: fixings, mitre } = demand::fixings(setup, &states, &asked, ready);
    let feet_found = feet_check::feet(project, setup, &run, &states, &feet)?;
    let sag = sag(project, setup, &run, &states);
    let utilisation = [worst_of(&timbers.worst), worst_of(&fixings)]
        .into_iter()
        .flatten()
        .map(|(_, found)| found.worst.utilisation)
        .chain(feet_found.iter().filter_map(|f| f.worst.as_ref()).map(|f| f.worst.utilisation))
        .fold(0.0_f64, f64::max);
    let (verdict, worst) = verdict::of_model(utilisation, &stability, limit.as_ref(), &lost);
    let mut doubts = doubts::of_model(&run, setup, &states, &stability, limit.as_ref(), project.units);
    if unsettled {
        doubts.push(doubts::unsettled(run.model.kind, limit.as_ref()));
    }
    let much = mitre.filter(|mitre| doubts::is_much_for_a_corner(project, *mitre));
    doubts.extend(much.and_then(|mitre| doubts::corners_pulled(project, setup, run.model.kind, mitre)));
    let bars = doubts::bar_ends(setup, run.model.kind, &timbers.axial, project.units);
    doubts.extend(bars.filter(|(_, much)| *much).map(|(words, _)| words));
    doubts.extend(doubts::of_holds(project, setup, &feet));
    let held = held_feet::unchecked(project, &feet).is_some();
    let verdict = verdict::with_doubt(verdict, held || !doubts.is_empty() || !setup.gaps.is_empty());
    Ok(ModelFindings {
        run,
        states,
        stability,
        lost,
        timbers,
        fixings,
        mitre,
        feet,
        feet_found,
        sag,
        limit,
        doubts,
        verdict,
        worst,
    })
}

impl Findings {
    /// Models that carry their loads, with their positions: the forces of one that folds are of a shape that does not last.
    pub(super) fn carrying(&self) -> impl Iterator<Item = (usize, &ModelFindings)> {
        self.models.iter().enumerate().filter(|(_, model)| model.verdict != Verdict::Unstable)
    }

    /// What keeps the verdict from being told as better than near, beside feet that are held against turning.
    #[must_use]
    pub fn doubts(&self) -> Vec<String> {
        let models = self.governing.iter().flat_map(|&i| &self.models[i].doubts);
        let mut out: Vec<String> = Vec::new();
        for words in self.setup.gaps.iter().chain(models).map(|words| sentence(words)) {
            if !out.contains(&words) {
                out.push(words);
            }
        }
        out
    }

    /// Hand formulas beside the softest model that could be solved.
    #[must_use]
    pub fn hand_checks(&self, project: &Project) -> Vec<HandCheck> {
        let Some(model) = self.models.iter().find(|m| !m.run.is_mechanism()) else { return Vec::new() };
        let setup = &self.setup;
        let responses = &model.run.responses;
        let reactions: Vec<Vec3> = responses.iter().map(|r| total_reaction(&r.reactions)).collect();
        let middle = |ends: &[BarForces; 2]| 0.5 * (ends[0].n + ends[1].n);
        let axial: Vec<Vec<f64>> =
            responses.iter().map(|r| r.bar_ends.iter().map(middle).collect()).collect();
        let thrust: Vec<f64> = responses
            .iter()
            .map(|r| {
                let inward = |foot: &FootPeaks| {
                    let found = r.reactions.iter().find(|(node, _)| node.0 == foot.joint.0);
                    found.map_or(0.0, |(_, f)| -Vec3::new(f[0], f[1], 0.0).dot(&foot.outward_direction))
                };
                model.feet.iter().map(inward).sum()
            })
            .collect();
        let solved = Solved { reactions: &reactions, axial: &axial, thrust: &thrust };
        let mut out = hand::checks(&setup.shell, &setup.timbers, &setup.material, &setup.cases, solved);
        out.extend(hand_column::column(project, self, model).into_iter().flatten());
        out
    }
}
