//! Whole-shell stability of one joint model: second-order states where a buckling factor is low, and how the factor is to be read
//! beside the limit of the nonlinear paths (`paths.rs`).

use rayon::prelude::{IntoParallelRefIterator, ParallelIterator};

use crate::assess::AssessError;
use crate::assess::paths::Limit;
use crate::assess::run::{Own, Run, State, combined_loads};
use crate::assess::setup::Setup;
use crate::assess::verdict;
use crate::frame::bow::greatest_bow;
use crate::frame::buckling::Rayleigh;
use crate::frame::error::FrameError;
use crate::frame::geometric::force_of;
use crate::frame::halved::Halved;
use crate::frame::limit::{Imperfection, refitted, with_imperfection};
use crate::frame::linear::Solver;
use crate::frame::second_order::{FirstOrder, crookedness, softened};
use crate::frame::{EndFix, Frame, FrameLoads};
use crate::loads::{Combination, LimitState};
use crate::model::back::Along;
use crate::shell::Shape;
use crate::shell::plan::arched_over;

/// Below this factor (with design stiffness), lowered as the model's path lowers that of the combination that gives way there, forces are taken from a second-order analysis.
///
/// Common practice for frames, no source for timber shells: EN 1995-1-1 5.4.4 asks for second order where
/// it matters and gives no figure.
pub const SECOND_ORDER_BELOW: f64 = 10.0;

/// What was found of a model's stability.
#[derive(Debug, Clone, Default)]
pub struct Stability {
    /// Lowest factor of the worst combination, design stiffness; none where nothing compresses it enough to buckle.
    pub factor: Option<f64>,
    /// The worst combination.
    pub combination: Option<usize>,
    /// Lowest shape in which joints move, largest translation 1.
    pub shape: Vec<[f64; 6]>,
    /// For every combination: whether forces are taken from a second-order analysis (see [`second_order_below`]); none is, until that
    /// is looked at.
    pub low: Vec<bool>,
    /// For every combination: what its factor does not exceed, by the shapes found under others, design stiffness; infinite for those
    /// that do not count.
    pub at_most: Vec<f64>,
    /// What that was told by.
    pub known: Vec<Rayleigh>,
}

impl Stability {
    /// Whether no combination is of second order by its own factor, so that only the nonlinear path may ask for it.
    fn is_asked_by_path_alone(&self) -> bool {
        self.factor.is_none_or(|factor| factor >= SECOND_ORDER_BELOW)
    }
}

/// The linear factor of a combination below which its forces are of second order: [`SECOND_ORDER_BELOW`], and higher as the limit that
/// the model's nonlinear paths met is lower than the linear factor of the combination that gives way there. A shallow shell that is soon to snap has a high linear
/// factor, and forces far from those of first order all the same (a dome of a linear factor of 10.4 and a limit of 2.4 pushed a foot
/// outward with twice what first order says). Where the path gives way below the load itself the model is unstable, and what its forces
/// would be is not asked on its account.
#[must_use]
pub fn second_order_below(stability: &Stability, limit: Option<&Limit>) -> f64 {
    let met = verdict::met(limit).filter(|limit| *limit >= 1.0);
    let Some((limit, met)) = limit.zip(met) else { return SECOND_ORDER_BELOW };
    // No less than its own, and where nothing is told of that, the lowest of all.
    let own = stability.at_most.get(limit.combination).copied().filter(|factor| factor.is_finite());
    let flattery = own.or(stability.factor).map_or(1.0, |factor| factor / met);
    SECOND_ORDER_BELOW * flattery.max(1.0)
}

/// Whether a model stands though second order found no equilibrium: its linear factor asks for none, and its nonlinear paths, that did,
/// stand under the whole load. Small turns know nothing of dents as deep as joints stand out of their neighbours.
#[must_use]
pub fn stands(stability: &Stability, limit: Option<&Limit>) -> bool {
    stability.is_asked_by_path_alone() && verdict::met(limit).is_none_or(|limit| limit >= 1.0)
}

/// Timbers times combinations beyond which second order that the path alone asks for is taken of the combinations that were followed only.
/// Own choice, for time: each takes several factors, and a dome of thousands of timbers has a thousand combinations.
const MANY: usize = 400_000;

/// Leaves of the combinations of second order those that were followed, where the path alone asks for it and they are too many: the ones that
/// give way first, each of its kind. What is far from giving way is hardly moved by a dent.
pub fn spare(setup: &Setup, stability: &mut Stability, limit: Option<&Limit>) {
    let count = stability.low.iter().filter(|low| **low).count();
    let by_path = stability.is_asked_by_path_alone();
    if let Some(limit) = limit.filter(|_| by_path && count * setup.shell.members.len() > MANY) {
        let followed = |(i, low): (usize, &mut bool)| *low &= limit.followed.contains(&i);
        stability.low.iter_mut().enumerate().for_each(followed);
    }
}

/// Which combinations can buckle a shell: all but those of service. What lifts one side of a shell presses on the other.
#[must_use]
pub fn counts(combination: &Combination) -> bool {
    matches!(combination.state, LimitState::Strength | LimitState::Accidental | LimitState::Uplift)
}

/// The size of the imperfection: the lowest buckling shape, its largest movement the greater of
/// 0.005 × rise (EN 1995-1-1 5.4.4 (5.1), sway of a frame no higher than 5 m) and 0.0025 × half the
/// developed arch (5.4.4 (5.2), bow); both from memory \[m\].
#[must_use]
pub fn imperfection_size(setup: &Setup) -> f64 {
    let outline = &setup.shell.outline;
    let developed: f64 =
        outline.profile.windows(2).map(|p| (p[1][0] - p[0][0]).hypot(p[1][1] - p[0][1])).sum();
    let arch = match outline.shape {
        _ if developed > 0.0 => developed,
        Shape::Free => arched_over(&setup.shell) + 2.0 * outline.rise,
        Shape::Dome | Shape::Vault => outline.span + 2.0 * outline.rise,
    };
    (0.005 * outline.rise).max(0.0025 * 0.5 * arch)
}

/// Greatest bow of a timber between its joints over its length in the imperfection (EN 1995-1-1 5.4.4 (5.2), bow; from
/// memory).
pub const TIMBER_BOW: f64 = 0.0025;

/// The lowest shapes among which one is looked for that moves joints more than it bows timbers.
const LOOKED_THROUGH: usize = 6;

/// The imperfections, each either way: the lowest shape by [`imperfection_size`], or by less where it would bow a timber by more
/// than [`TIMBER_BOW`]. A shape in which joints turn more than they move would bend timbers by any amount otherwise; as it
/// leaves the places of the joints next to no imperfection, what moves them comes behind it in whole: the lowest shape of the frame
/// that bows no timber by more, and that of the joints alone.
///
/// # Errors
/// A factor that cannot be proven.
fn imperfections(run: &Run, setup: &Setup, stability: &Stability) -> Result<Vec<Vec<[f64; 6]>>, AssessError> {
    let size = imperfection_size(setup);
    let mut shapes = vec![crookedness(&stability.shape, size)];
    let bow = greatest_bow(&run.model.frame, &shapes[0]);
    if bow > TIMBER_BOW {
        shapes[0].iter_mut().flatten().for_each(|v| *v *= TIMBER_BOW / bow);
        if let Some(worst) = stability.combination.map(|i| &setup.combinations[i]) {
            let whole = |shape: &Vec<[f64; 6]>| crookedness(shape, size);
            let lowest = run.solver.buckling_of_nodes(&mean_axial(run, worst), LOOKED_THROUGH)?.shapes;
            let straight = |shape: &Vec<[f64; 6]>| greatest_bow(&run.model.frame, shape) <= TIMBER_BOW;
            shapes.extend(lowest.iter().map(whole).find(straight));
            shapes
                .extend(Some(joints_alone(run, worst)?).filter(|shape| !shape.is_empty()).iter().map(whole));
        }
    }
    let either = |shape: Vec<[f64; 6]>| {
        let other = shape.iter().map(|six| six.map(|v| -v)).collect();
        [shape, other]
    };
    Ok(shapes.into_iter().flat_map(either).collect())
}

/// The mean axial force of every bar in a combination, to first order \[N\]: what second order and the path, which have one force a
/// piece, see of it.
pub(crate) fn mean_axial(run: &Run, combination: &Combination) -> Vec<f64> {
    run.axial_ends(&State::of(combination)).into_iter().map(|ends| force_of(true, ends)).collect()
}

/// The lowest shape of the frame as if its bars were hinged, under the axial forces of a combination: joints move and do not turn. Empty
/// where nothing buckles; the first mechanism where the hinged frame is one.
///
/// # Errors
/// A factor that cannot be proven.
pub(crate) fn joints_alone(run: &Run, combination: &Combination) -> Result<Vec<[f64; 6]>, AssessError> {
    let mut hinged = run.model.frame.clone();
    hinged.bars.iter_mut().for_each(|bar| bar.ends = [EndFix::Hinged; 2]);
    let solver = Solver::new(&hinged)?;
    if let Some(mechanism) = solver.mechanisms().first() {
        return Ok(mechanism.shape.clone());
    }
    let shapes = solver.buckling_of_nodes(&mean_axial(run, combination), 1)?.shapes;
    Ok(shapes.into_iter().next().unwrap_or_default())
}

/// Replaces the states of combinations with a low factor by second-order ones, with every imperfection
/// either way: all are kept ([`State::ways`]), and every timber, seam and foot is checked in each.
///
/// The answer lists the combinations under which no second-order equilibrium was found: they lie
/// above the buckling load of the design stiffness, or their dents are as deep as the joints stand out of their neighbours, which
/// small turns know nothing of. `worst`: the combination under which the model's path gave way, if it did.
///
/// # Errors
/// A solve that does not satisfy equilibrium.
pub fn amplify(
    run: &Run,
    setup: &Setup,
    states: &mut [State],
    stability: &Stability,
    design: f64,
    worst: Option<usize>,
) -> Result<Vec<usize>, AssessError> {
    let mut lost = Vec::new();
    if !stability.low.contains(&true) {
        return Ok(lost);
    }
    let frame = softened(&run.model.frame, design);
    let shapes = imperfections(run, setup, stability)?;
    let frames = if run.model.kind.is_stiff() {
        vec![Crooked::by_forces(run, setup, stability, frame, &shapes)?]
    } else {
        let dented = shapes
            .iter()
            .map(|shape| Crooked::by_shape(setup, &frame, shape))
            .collect::<Result<Vec<_>, _>>()?;
        match dented.into_iter().collect() {
            Some(all) => all,
            // Dented flat it is a mechanism.
            None => return Ok((0..states.len()).filter(|&i| stability.low[i]).collect()),
        }
    };
    let low: Vec<usize> = (0..states.len()).filter(|&i| stability.low[i]).collect();
    // Combinations do not know each other.
    let amplified = |&i: &usize| amplified(run, setup, &frames, &setup.combinations[i]);
    // Where the path alone asks for second order and the combination that it gives way under finds no equilibrium, nor do most others, each
    // after as many factors as it takes to see that: the model is in doubt whatever they do.
    let by_path = stability.is_asked_by_path_alone();
    if let Some(first) = worst.filter(|worst| by_path && low.contains(worst))
        && amplified(&first)?.is_none()
    {
        return Ok(vec![first]);
    }
    let found: Vec<Result<Option<State>, AssessError>> = low.par_iter().map(amplified).collect();
    for (i, state) in low.into_iter().zip(found) {
        match state? {
            Some(state) => states[i] = state,
            None => lost.push(i),
        }
    }
    Ok(lost)
}

/// The greatest compression \[N\] of every bar under the combinations of a low factor, to first order; none where joints pass no
/// moments, and bars stay straight.
fn most_pressed(run: &Run, setup: &Setup, stability: &Stability) -> Vec<f64> {
    if !run.model.kind.is_stiff() {
        return Vec::new();
    }
    let low = setup.combinations.iter().zip(&stability.low).filter(|(_, low)| **low);
    let each = low.map(|(combination, _)| mean_axial(run, combination));
    let deepest = each.reduce(|a, b| a.into_iter().zip(b).map(|(a, b)| a.min(b)).collect());
    deepest.unwrap_or_default().into_iter().map(|force| -force).collect()
}

/// A softened frame with its imperfections, and its first-order answers to the cases.
struct Crooked {
    halved: Halved,
    /// The frame as drawn, that loads are refitted from; none where its joints stand as drawn.
    drawn: Option<Frame>,
    solver: Solver,
    cases: Vec<FirstOrder>,
    /// The imperfections that its axial forces push on; one that is empty where they are in its joints' places.
    shapes: Vec<Vec<[f64; 6]>>,
}

impl Crooked {
    /// Between stiff joints timbers bow, which straight pieces do not show: the frame as drawn, pushed across by its axial forces as far as
    /// each imperfection goes.
    fn by_forces(
        run: &Run,
        setup: &Setup,
        stability: &Stability,
        frame: Frame,
        shapes: &[Vec<[f64; 6]>],
    ) -> Result<Self, AssessError> {
        let halved = Halved::new(&frame, &most_pressed(run, setup, stability));
        let solver = if halved.is_whole() { run.solver.again(&frame)? } else { Solver::new(&halved.frame)? };
        let shapes = shapes.iter().map(|shape| halved.shape(&frame, shape)).collect();
        Self { halved, drawn: None, solver, cases: Vec::new(), shapes }.answered(setup)
    }

    /// Between hinges timbers are straight: the frame with its joints where the imperfection has them. How steep its struts are then is in
    /// its stiffness too: a joint that is dented to half of how far it stands out moves twice as far, and its seams are asked for twice as
    /// much, as if the dent only pushed across. None where so dented a frame is a mechanism.
    fn by_shape(setup: &Setup, frame: &Frame, shape: &[[f64; 6]]) -> Result<Option<Self>, AssessError> {
        let dented = with_imperfection(frame, &Imperfection::of(shape));
        let solver = Solver::new(&dented)?;
        if !solver.mechanisms().is_empty() {
            return Ok(None);
        }
        let (halved, drawn) = (Halved::new(&dented, &[]), Some(frame.clone()));
        match (Self { halved, drawn, solver, cases: Vec::new(), shapes: vec![Vec::new()] }).answered(setup) {
            // All but one: too soft for its answers to balance.
            Err(AssessError::Frame(_)) => Ok(None),
            answered => answered.map(Some),
        }
    }

    fn answered(mut self, setup: &Setup) -> Result<Self, AssessError> {
        let loads: Vec<FrameLoads> = setup.loads.iter().map(|case| self.loads(case)).collect();
        self.cases = self.solver.solve(&loads)?.iter().map(|r| self.solver.first_order(r)).collect();
        Ok(self)
    }

    /// Loads of the shell on its bars.
    fn loads(&self, loads: &FrameLoads) -> FrameLoads {
        match &self.drawn {
            Some(drawn) => refitted(loads, drawn, &self.halved.frame),
            None => self.halved.loads(loads),
        }
    }
}

/// The second-order state of one combination on the softened frame, and behind it those with the other imperfections; `None`
/// where there is no such equilibrium.
fn amplified(
    run: &Run,
    setup: &Setup,
    frames: &[Crooked],
    combination: &Combination,
) -> Result<Option<State>, AssessError> {
    let loads = combined_loads(&setup.loads, combination);
    let mut answers = Vec::new();
    for frame in frames {
        let terms = combination.terms.iter().map(|&(case, factor)| (&frame.cases[case.0], factor));
        let crooked: Vec<&[[f64; 6]]> = frame.shapes.iter().map(Vec::as_slice).collect();
        match frame.solver.second_order_after(&frame.loads(&loads), FirstOrder::sum(terms), &crooked) {
            Ok(found) => answers.extend(found.into_iter().map(|one| frame.halved.whole(one.response))),
            Err(FrameError::BeyondBuckling | FrameError::NotConverged { .. }) => return Ok(None),
            Err(other) => return Err(other.into()),
        }
    }
    // The way that is asked for first comes first.
    let mut ways = None;
    for response in answers.into_iter().rev() {
        let mut along = Along::new(&setup.stations);
        along.push_second_order(&run.solver.assembly().lines, (&response, &loads), &setup.stations);
        let mut state = State::of(combination);
        (state.second_order, state.other_way) = (Some(Own { response, along }), ways);
        ways = Some(Box::new(state));
    }
    Ok(ways.map(|state| *state))
}

/// Beyond this a linear buckling factor says nothing more by its size.
pub const TELLING: f64 = 100.0;

/// How the linear factor and the limit of the path are to be read, in a sentence.
///
/// `limit`: that of the paths that were followed, and the name of its combination where it is another than that of the linear factor.
#[must_use]
pub fn reading(factor: Option<f64>, limit: Option<(&Limit, Option<&str>)>, lost: &[usize]) -> String {
    if !lost.is_empty() {
        return "Under at least one combination the imperfect shell finds no equilibrium: it folds."
            .to_owned();
    }
    let linear = match factor {
        None => return "No combination compresses the shell enough to buckle it.".to_owned(),
        Some(f) => format!(
            "A perfect shell with design stiffness would buckle at {} times the combination; a linear \
             factor flatters shallow and imperfect shells several times over and is not a margin.",
            if f > TELLING { format!("over {TELLING}") } else { two_figures(f) }
        ),
    };
    let Some((l, other)) = limit else { return linear };
    let others = match l.followed.len() {
        1 => String::new(),
        many => {
            let before = if factor.is_some_and(|f| f < l.factor) { "the linear factor" } else { "that" };
            format!(" Of {many} combinations that were followed, none gives way before {before}.")
        }
    };
    let under = other.map_or_else(String::new, |name| format!(", under {name}"));
    match l {
        l if l.reached => format!(
            "{linear} Followed with its imperfection and large movements it gives way at {} times{under}.{others}",
            two_figures(l.factor)
        ),
        // The search ends at a set factor, which may lie beyond the linear one.
        l if factor.is_some_and(|f| f < l.factor) => format!(
            "{linear} Followed with its imperfection and large movements it still stands at {} times{under}, where the \
             search ended: large movements stiffen it against that shape, or the path did not turn into it. Take the \
             lower of the two.{others}",
            two_figures(l.factor)
        ),
        l => format!(
            "{linear} Followed with its imperfection and large movements it still stands at {} times{under}, \
             where the search ended.{others}",
            two_figures(l.factor)
        ),
    }
}

/// Stiffness-dependent results are printed to two figures.
#[must_use]
pub fn two_figures(value: f64) -> String {
    if value == 0.0 || !value.is_finite() {
        return format!("{value}");
    }
    let digits = 1 - value.abs().log10().floor() as i32;
    let scale = 10f64.powi(digits);
    let rounded = (value * scale).round() / scale;
    format!("{rounded:.*}", digits.max(0) as usize)
}

#[cfg(test)]
#[path = "stability_tests.rs"]
mod tests;
