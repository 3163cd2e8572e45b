//! A plain frame through the solver: `form = "frame"` and its `[analysis]`.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use crate::assess::crooked::crooked;
use crate::frame::linear::Solver;
use crate::frame::mechanism::{self, movers};
use crate::frame::path::{PathEnd, PathOptions, trace};
use crate::frame::{BarForces, BarId, BarLoad, FrameError, FrameLoads, NodeId, Response, bar};
use crate::project::FrameProject;
use crate::project::frame_form::{FREEDOMS, Kind, PlainFrame};

/// Six numbers of every joint, by name.
pub type ByJoint = BTreeMap<String, [f64; 6]>;
/// Forces of every bar, by name.
pub type ByBar = BTreeMap<String, BarEnds>;

/// Why a plain frame has no answer.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PlainFrameError {
    /// The solver's words, with the names of the project.
    #[error("{}{words}", .case.as_ref().map_or(String::new(), |name| format!("case {name:?}: ")))]
    Frame {
        /// The case it happened in, if any.
        case: Option<String>,
        /// What is wrong and what to do.
        words: String,
    },
}

/// N, Vy, Vz, T, My, Mz at either end of a bar, tension positive \[N, N·m\].
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
#[allow(missing_docs, reason = "the names say it")]
pub struct BarEnds {
    pub from: [f64; 6],
    pub to: [f64; 6],
}

/// N, Vy, Vz, T, My, Mz at a place of a bar, in the axes of its ends \[N, N·m\].
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct BarPlace {
    /// From its first joint \[m\].
    pub x: f64,
    /// The six.
    pub forces: [f64; 6],
}

/// A point of a path.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct PathPoint {
    /// Load factor λ.
    pub factor: f64,
    /// The watched movement \[m or rad\].
    pub watched: f64,
    /// Unstable directions there.
    pub unstable: usize,
}

/// A limit or branch point of a path.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PathEvent {
    /// "limit" or "branch".
    pub kind: String,
    /// Load factor.
    pub factor: f64,
    /// The watched movement \[m or rad\].
    pub watched: f64,
}

/// The movement that a path watches.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Watched {
    /// Joint.
    pub joint: String,
    /// "x", "y", "z", "rx", "ry" or "rz".
    pub direction: String,
}

/// A motion that meets no stiffness.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LooseMotion {
    /// In words: which joints, which way.
    pub words: String,
    /// What would stop it.
    pub remedy: String,
    /// Movement of every joint that moves, largest 1.
    pub shape: ByJoint,
}

/// What one load case comes to.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
pub struct CaseAnswer {
    /// Name.
    pub name: String,
    /// Movements \[m, rad\].
    pub displacements: ByJoint,
    /// Forces in bars.
    pub bar_forces: ByBar,
    /// Forces along every bar that has line loads, where they may be greatest: at its ends, where loads begin and end, and where a shear is
    /// zero. Those of other bars go evenly from end to end.
    pub along: BTreeMap<String, Vec<BarPlace>>,
    /// Forces of the ground on joints with a held freedom or a spring \[N, N·m\].
    pub reactions: ByJoint,
    /// Largest unbalanced force over the largest force.
    pub residual: f64,
    /// Lowest buckling factors; empty where nothing buckles.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub buckling_factors: Option<Vec<f64>>,
    /// An inertia count shows that no other factor lies between 0 and here.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub buckling_complete_below: Option<f64>,
    /// Nonlinear path.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub path: Option<Vec<PathPoint>>,
    /// Limit and branch points of the path.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub events: Option<Vec<PathEvent>>,
    /// Factor of the first of them; null where the path has none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub limit_factor: Option<Option<f64>>,
    /// What the path watches.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub watch: Option<Watched>,
    /// Why the path ends: "steps" (as many as asked for), "event" (the first limit or branch point) or
    /// "lost" (no equilibrium was found further on).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub path_end: Option<String>,
}

/// Everything found out about a plain frame.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
pub struct FrameResults {
    /// Version of the program.
    pub strutwise: String,
    /// Name of the project.
    pub project: String,
    /// The caution in a sentence.
    pub indicative: String,
    /// "linear", "second-order", "buckling", "modes" or "path".
    pub analysis: String,
    /// "unstable" for a mechanism, or where a case has no second-order equilibrium; "computed" otherwise: a plain frame has no limits to be held to.
    pub verdict: String,
    /// Unknowns solved for.
    pub unknowns: usize,
    /// Independent motions that meet no stiffness.
    pub mechanisms: usize,
    /// Unknowns − resisted deformations: mechanisms minus states of self-stress.
    pub maxwell_count: i64,
    /// The first of them in words (six at most).
    pub mechanism_shapes: Vec<LooseMotion>,
    /// One entry a load case.
    pub cases: Vec<CaseAnswer>,
    /// `displacements[case][joint]`, as in the cases.
    pub displacements: BTreeMap<String, ByJoint>,
    /// `bar_forces[case][bar]`.
    pub bar_forces: BTreeMap<String, ByBar>,
    /// `reactions[case][joint]`.
    pub reactions: BTreeMap<String, ByJoint>,
    /// Buckling factors of the first case analysed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub buckling_factors: Option<Vec<f64>>,
    /// Natural frequencies \[Hz\].
    #[serde(skip_serializing_if = "Option::is_none")]
    pub frequencies_hz: Option<Vec<f64>>,
    /// Path of the first case analysed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub path: Option<Vec<PathPoint>>,
    /// Limit and branch points of that path.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub events: Option<Vec<PathEvent>>,
    /// Factor of its first limit or branch point; null where it has none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub limit_factor: Option<Option<f64>>,
    /// Suspicious inputs.
    pub warnings: Vec<String>,
}

/// The caution that goes with every plain frame.
const CAUTION: &str = "Indicative only: figures of a mathematical model, held to no code. Local codes, the building authority and a \
                       licensed engineer decide.";

/// What buckling factors of a plain frame do not know.
const AXIAL_ALONE: &str =
    " Buckling factors know axial forces alone: neither bending that turns a beam over nor twisting.";

/// Solves a plain frame as its project asks.
///
/// # Errors
/// [`PlainFrameError`]: the solver refused, in the project's names.
pub fn solve(project: &FrameProject) -> Result<FrameResults, PlainFrameError> {
    let plain = &project.plain;
    let analysis = &plain.analysis;
    let fail = |case: Option<&str>| {
        let case = case.map(str::to_owned);
        move |error: FrameError| PlainFrameError::Frame { case, words: named(&error, plain) }
    };
    let word = Kind::ALL.iter().find(|(_, kind)| *kind == analysis.kind).map_or("", |(word, _)| word);
    let solver = Solver::new(&plain.frame).map_err(fail(None))?;
    let mut results = FrameResults {
        strutwise: env!("CARGO_PKG_VERSION").to_owned(),
        project: project.name.clone(),
        indicative: CAUTION.to_owned() + if analysis.kind == Kind::Buckling { AXIAL_ALONE } else { "" },
        analysis: word.to_owned(),
        verdict: "computed".to_owned(),
        unknowns: solver.unknowns(),
        mechanisms: solver.mechanisms().len(),
        maxwell_count: solver.kinematic_surplus(),
        warnings: project.warnings.clone(),
        ..FrameResults::default()
    };
    if !solver.mechanisms().is_empty() {
        "unstable".clone_into(&mut results.verdict);
        results.mechanism_shapes = solver.mechanisms().iter().take(6).map(|m| loose(m, plain)).collect();
        return Ok(results);
    }
    if analysis.kind == Kind::Modes {
        let modes = solver.modes(&plain.masses, analysis.count).map_err(fail(None))?;
        if modes.frequencies_hz.is_empty() {
            results
                .warnings
                .push("nothing in this frame has mass: give sections a density or joints a mass".to_owned());
        }
        results.frequencies_hz = Some(modes.frequencies_hz);
    }
    let chosen: Vec<&(String, FrameLoads)> = match analysis.case {
        Some(position) => plain.cases.get(position).into_iter().collect(),
        None => plain.cases.iter().collect(),
    };
    let loads: Vec<FrameLoads> = chosen.iter().map(|(_, loads)| loads.clone()).collect();
    let responses = solver.solve(&loads).map_err(fail(None))?;
    for ((name, loads), first) in chosen.into_iter().zip(responses) {
        let answer = match case(plain, &solver, name, loads, &first) {
            Err(FrameError::BeyondBuckling) => {
                "unstable".clone_into(&mut results.verdict);
                results
                    .warnings
                    .push(format!("case {name}: {}; it has no answer", FrameError::BeyondBuckling));
                CaseAnswer { name: name.clone(), ..CaseAnswer::default() }
            }
            answer => answer.map_err(fail(Some(name)))?,
        };
        results.displacements.insert(name.clone(), answer.displacements.clone());
        results.bar_forces.insert(name.clone(), answer.bar_forces.clone());
        results.reactions.insert(name.clone(), answer.reactions.clone());
        results.cases.push(answer);
    }
    if let Some(first) = results.cases.first() {
        results.buckling_factors.clone_from(&first.buckling_factors);
        results.path.clone_from(&first.path);
        results.events.clone_from(&first.events);
        results.limit_factor = first.limit_factor;
    }
    Ok(results)
}

/// One case, analysed as asked. Beside buckling factors and a path, the movements and forces are those of
/// the first-order answer under the load as it stands.
fn case(
    plain: &PlainFrame,
    solver: &Solver,
    name: &str,
    loads: &FrameLoads,
    first: &Response,
) -> Result<CaseAnswer, FrameError> {
    let analysis = &plain.analysis;
    let mut answer = CaseAnswer { name: name.to_owned(), ..CaseAnswer::default() };
    match analysis.kind {
        Kind::Linear | Kind::Modes => put(&mut answer, plain, (loads, false), first)?,
        Kind::Buckling => {
            put(&mut answer, plain, (loads, false), first)?;
            let buckling = solver.buckling(first, analysis.count)?;
            // A bound beyond all numbers has no place in a document.
            answer.buckling_complete_below = Some(buckling.below).filter(|below| below.is_finite());
            answer.buckling_factors = Some(buckling.factors);
        }
        Kind::SecondOrder => {
            let crooked = if analysis.crookedness > 0.0 {
                crooked(solver, first, analysis.crookedness)?
            } else {
                Vec::new()
            };
            put(&mut answer, plain, (loads, true), &solver.second_order(loads, &crooked)?.response)?;
        }
        Kind::Path => {
            put(&mut answer, plain, (loads, false), first)?;
            let options = PathOptions {
                watch: analysis.watch,
                steps: analysis.steps,
                limit_only: analysis.limit_only,
                ..PathOptions::default()
            };
            let path = trace(&plain.frame, loads, &options)?;
            let point = |step: &crate::frame::path::PathStep| PathPoint {
                factor: step.factor,
                watched: step.watched,
                unstable: step.unstable,
            };
            answer.path = Some(path.steps.iter().map(point).collect());
            answer.events = Some(
                path.events
                    .iter()
                    .map(|event| PathEvent {
                        kind: event.kind.word().to_owned(),
                        factor: event.factor,
                        watched: event.watched,
                    })
                    .collect(),
            );
            answer.limit_factor = Some(path.limit_factor);
            answer.watch = Some(Watched {
                joint: plain.joints[path.watch.0.0].clone(),
                direction: FREEDOMS[path.watch.1].0.to_owned(),
            });
            let end = match path.end {
                PathEnd::Steps | PathEnd::HighestFactor => "steps",
                PathEnd::FirstEvent => "event",
                PathEnd::Lost => "lost",
            };
            answer.path_end = Some(end.to_owned());
        }
    }
    Ok(answer)
}

/// Takes a response into the answer; `second_order` says that its forces stand on chords that have turned.
fn put(
    answer: &mut CaseAnswer,
    plain: &PlainFrame,
    (loads, second_order): (&FrameLoads, bool),
    response: &Response,
) -> Result<(), FrameError> {
    answer.displacements = plain.joints.iter().cloned().zip(response.displacements.iter().copied()).collect();
    let six = |f: &BarForces| [f.n, f.vy, f.vz, f.t, f.my, f.mz];
    for (number, (name, ends)) in plain.bars.iter().zip(&response.bar_ends).enumerate() {
        answer.bar_forces.insert(name.clone(), BarEnds { from: six(&ends[0]), to: six(&ends[1]) });
        let on_it: Vec<BarLoad> = loads.bars.iter().filter(|load| load.bar.0 == number).cloned().collect();
        if on_it.is_empty() {
            continue;
        }
        let line = bar::line(&plain.frame, BarId(number))?;
        let turned = if second_order { bar::turned_with_chord(&line, ends, &on_it) } else { [0.0; 2] };
        let at = |x: f64| BarPlace { x, forces: six(&bar::forces_on_chord(&line, ends, &on_it, turned, x)) };
        let places = bar::stations(&line, ends, &on_it).into_iter().map(at).collect();
        answer.along.insert(name.clone(), places);
    }
    answer.reactions =
        response.reactions.iter().map(|(node, force)| (plain.joints[node.0].clone(), *force)).collect();
    answer.residual = response.residual;
    Ok(())
}

/// A mechanism with the project's names.
fn loose(mechanism: &crate::frame::Mechanism, plain: &PlainFrame) -> LooseMotion {
    let movers = movers(mechanism);
    let mut words: Vec<String> = movers
        .iter()
        .take(3)
        .map(|mover| {
            let joint = &plain.joints[mover.node.0];
            if mover.movement.norm() > 1e-3 * mover.rotation.norm() {
                format!("joint {joint} moves {}", mechanism::way(&mover.movement))
            } else {
                format!("joint {joint} turns {}", mechanism::about(&mover.rotation))
            }
        })
        .collect();
    if movers.len() > 3 {
        words.push(format!("{} other joints move with them", movers.len() - 3));
    }
    let (node, freedom) = mechanism.stop;
    let freedom = FREEDOMS[freedom].0;
    let remedy = format!(
        "a bar, a support or a spring that holds {freedom} of joint {} would stop it",
        plain.joints[node.0]
    );
    let shape = movers.iter().map(|m| (plain.joints[m.node.0].clone(), mechanism.shape[m.node.0])).collect();
    LooseMotion { words: words.join("; "), remedy, shape }
}

/// The solver's words, its numbers replaced by the project's names.
fn named(error: &FrameError, plain: &PlainFrame) -> String {
    let joint = |node: &NodeId| plain.joints.get(node.0).map_or("?", String::as_str);
    match error {
        FrameError::TooSoft { node, ratio } => format!(
            "joint {:?} is so soft against its neighbours that the arithmetic cannot resolve it (pivot ratio \
             {ratio:.1e}); bring the stiffest and the softest parts closer together, or leave one out",
            joint(node)
        ),
        FrameError::Unbalanced { node, residual, limit } => format!(
            "the answer does not satisfy equilibrium at joint {:?} (unbalanced {residual:.1e} of the largest force, \
             limit {limit:.0e}): stiffnesses differ too much; bring the stiffest and the softest parts closer together",
            joint(node)
        ),
        other => other.to_string(),
    }
}
