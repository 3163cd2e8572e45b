//! Geometrically nonlinear equilibrium paths: how a frame moves under a growing load, up to and past
//! the point where it snaps.
//!
//! The load is a constant part plus a factor times a reference part, dead in direction. The path is
//! followed by arc length, so that it may fall and turn back. Two kinds of point are reported:
//!
//! - a **limit**: the load can rise no further (or fall no further) along the path;
//! - a **branch**: the stiffness is lost in a motion square to the load, so that a frame with the
//!   least flaw leaves the path there.
//!
//! Under dead loads the frame is unstable beyond the first of either. Strains are engineering strains
//! and small; turns may be of any size. Line loads act as the nodal forces and moments that hold the
//! first shape, and keep their direction. Plasticity, contact and creep are not in it.

mod arc;
mod event;
pub(crate) mod system;

use crate::frame::error::FrameError;
use crate::frame::{Frame, FrameLoads, NodeId};
use crate::vector::Vec3;
use arc::{Point, Tracer};
use event::{Found, differs, pin};
use system::{State, System};

/// How a path is traced.
#[derive(Debug, Clone, PartialEq)]
pub struct PathOptions {
    /// The movement to watch: node and freedom 0..6; the one that moves most at first if none.
    pub watch: Option<(NodeId, usize)>,
    /// Steps at most, beside the points put in at events.
    pub steps: usize,
    /// Stop at the first limit or branch point.
    pub limit_only: bool,
    /// Stop where the factor reaches this; the last step lies exactly there.
    pub highest_factor: Option<f64>,
    /// Load factor of the first step; chosen from the first movement if none.
    pub first_factor: Option<f64>,
    /// A factor by which the frame is known to buckle, as linear analysis has it: below it a step gains no more than a small share of it.
    /// Where a limit is soon made good by a rise beyond it, a longer step fits the path before and after both and sees neither.
    pub linear_factor: Option<f64>,
    /// Load that is there throughout, such as dead weight.
    pub constant: Option<FrameLoads>,
    /// Largest unbalanced force over the largest force in any element.
    pub tolerance: f64,
    /// Relative width in the load factor to which events are pinned down.
    pub closeness: f64,
    /// How much the stiffness along the path may change in a step, over the first stiffness: smaller
    /// steps give a smoother curve.
    pub coarseness: f64,
    /// Keep the displacements of every node at every step.
    pub keep_displacements: bool,
}

impl Default for PathOptions {
    fn default() -> Self {
        Self {
            watch: None,
            steps: 60,
            limit_only: false,
            highest_factor: None,
            first_factor: None,
            linear_factor: None,
            constant: None,
            tolerance: 1e-8,
            closeness: 1e-4,
            coarseness: 0.25,
            keep_displacements: false,
        }
    }
}

/// A point of the path.
#[derive(Debug, Clone, PartialEq)]
pub struct PathStep {
    /// Load factor.
    pub factor: f64,
    /// The watched movement \[m or rad\].
    pub watched: f64,
    /// Negative eigenvalues of the tangent: 0 where the frame is stable under dead load.
    pub unstable: usize,
    /// Movements of every node, turns as rotation vectors \[m, rad\]; only if asked for.
    pub displacements: Option<Vec<[f64; 6]>>,
}

/// What happens at an event.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EventKind {
    /// The load turns.
    Limit,
    /// Stiffness is lost or won in a motion square to the load.
    Branch,
}

impl EventKind {
    /// The word for it in output.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Limit => "limit",
            Self::Branch => "branch",
        }
    }
}

/// A limit or branch point.
#[derive(Debug, Clone, PartialEq)]
pub struct Event {
    /// Which of the two.
    pub kind: EventKind,
    /// Load factor there.
    pub factor: f64,
    /// The watched movement there \[m or rad\].
    pub watched: f64,
    /// Position in the steps of the point put in for it.
    pub step: usize,
    /// How many eigenvalues change sign there.
    pub modes: usize,
    /// Share of the reference load in the softest shape there: towards 0 for a branch.
    pub load_share: f64,
    /// The softest shape, its largest translation 1.
    pub shape: Vec<[f64; 6]>,
}

/// Why a path ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PathEnd {
    /// As many steps as asked for.
    Steps,
    /// The highest factor asked for.
    HighestFactor,
    /// The first limit or branch point.
    FirstEvent,
    /// No equilibrium was found further on, however short the step.
    Lost,
}

/// A traced path.
#[derive(Debug, Clone, PartialEq)]
pub struct Path {
    /// Points in order, the first unloaded (or under the constant part only).
    pub steps: Vec<PathStep>,
    /// Limit and branch points in order.
    pub events: Vec<Event>,
    /// Factor of the first event of either kind: beyond it the frame is unstable under dead load.
    pub limit_factor: Option<f64>,
    /// What was watched.
    pub watch: (NodeId, usize),
    /// Why it ends.
    pub end: PathEnd,
}

/// Largest spin of a node in a step \[rad\].
const LONGEST_SPIN: f64 = 0.3;
/// Largest movement in a step, over the extent of the frame.
const LONGEST_MOVE: f64 = 0.1;

/// Traces the path of `frame` under a factor times `reference`.
///
/// # Errors
/// [`FrameError`] for a frame or loads that cannot be used, a mechanism, a reference load that does
/// nothing, or a constant load that the frame cannot carry. A path that cannot be followed further is
/// not an error: see [`Path::end`].
pub fn trace(frame: &Frame, reference: &FrameLoads, options: &PathOptions) -> Result<Path, FrameError> {
    let system = System::new(frame)?;
    let constant = match &options.constant {
        Some(loads) => system.loads(frame, loads)?,
        None => vec![0.0; system.size()],
    };
    let tracer = Tracer {
        reference: system.loads(frame, reference)?,
        constant,
        system: &system,
        tolerance: options.tolerance,
    };
    let mut point = start(&tracer)?;
    let watch = watched(&system, &point, options.watch, frame.nodes.len())?;
    let mut log = Log::new(&system, options, watch);
    log.push(&point);
    let first = system.dot(&point.per_load, &point.per_load).sqrt();
    if !(first.is_finite() && first > 0.0) {
        return Err(FrameError::BadNumber {
            what: "load",
            index: 0,
            quantity: "movement that the reference load causes",
            value: first,
            must: "more than nothing",
        });
    }
    let scale = 1.0 / first;
    // Of the longest step at most, however far the first factor reaches: else the shortest would leap over a snap.
    let mut arc = (first_arc(&system, &point, options) * first).min(longest_arc(&system, &point));
    let shortest = 1e-6 * arc;
    let smooth = |a: &Point, b: &Point, length: f64| smooth(&system, a, b, length, scale);
    let mut done = 0;
    // After a step that was refused the next is no longer than what held: the way is no easier there.
    let mut refused = false;
    let end = loop {
        if done >= options.steps {
            break PathEnd::Steps;
        }
        arc = arc.min(longest_arc(&system, &point)).min(known_arc(&system, &point, options));
        if arc < shortest {
            break PathEnd::Lost;
        }
        // Where the tangent says that the step ends beyond the highest factor, it goes there and no further.
        let mut landed =
            options.highest_factor.filter(|highest| point.factor + point.pace(&system, arc) >= *highest);
        let mut step = match landed {
            Some(highest) => tracer.land(&point, &point.per_load, highest - point.factor, highest)?,
            None => tracer.advance(&point, arc)?,
        };
        if let (None, Some(highest), Some(beyond)) = (landed, options.highest_factor, &step)
            && beyond.factor >= highest
        {
            let share = (highest - point.factor) / (beyond.factor - point.factor);
            step = tracer.land(&point, &beyond.last, share, highest)?;
            landed = Some(highest);
        }
        let Some(next) = step else {
            // A first step knows nothing of the path yet and may be far too long.
            arc *= if done == 0 { 0.1 } else { 0.4 };
            refused = true;
            continue;
        };
        let change = (point.stiffness(&system) - next.stiffness(&system)).abs()
            / point.stiffness(&system).abs().max(scale);
        // A load that is simply set may leap to another path: then a shorter step is always taken first.
        let length = if landed.is_some() { system.dot(&next.last, &next.last).sqrt() } else { arc };
        let strays = change > 2.0 * options.coarseness || !smooth(&point, &next, length);
        if strays && (landed.is_some() || arc > 1e2 * shortest) {
            arc *= 0.5;
            refused = true;
            continue;
        }
        if differs(&point, &next) {
            let length = system.dot(&next.last, &next.last).sqrt();
            let Some(pinned) = pin(&tracer, &point, &next, length, options.closeness, smooth)? else {
                arc *= 0.25;
                continue;
            };
            for item in &pinned.found {
                log.event(&tracer, item);
            }
            if options.limit_only && !pinned.found.is_empty() {
                break PathEnd::FirstEvent;
            }
            // The next steps show whether the end asked for still lies ahead.
            point = pinned.on;
            if pinned.found.is_empty() {
                arc *= 2.0;
            }
            log.push(&point);
            done += 1;
            continue;
        }
        let by_tangents = (2.5 / next.tangents.max(1) as f64).sqrt();
        let by_change = options.coarseness / change.max(1e-12);
        let run_out = run_out(point.stiffness(&system), next.stiffness(&system), length);
        point = next;
        log.push(&point);
        done += 1;
        if landed.is_some() {
            break PathEnd::HighestFactor;
        }
        arc *= by_tangents.min(by_change).clamp(0.4, if refused { 1.0 } else { 2.5 });
        arc = arc.min(RUN_OUT * run_out);
        refused = false;
    };
    Ok(log.finish(end))
}

/// Least cosine between a step and the tangents at either end of it.
const ALONG: f64 = 0.85;
/// Most that the load may differ from what the tangents at either end say, over the steeper of them.
const BENT: f64 = 0.1;
/// Share of the first slope that counts at least as the steeper one: near a limit there is hardly any. Own choice, as [`BENT`] is: with
/// the whole of the first slope, and 0.15, barrels that had grown soft snapped and stood again within one step, up to a third of their load
/// further on in one of some three hundred; smaller shares and angles find no more.
const FLAT: f64 = 0.1;
/// How far beyond where the slope runs out, as it fell over the step before, the next step reaches, as a share of the way there. Own choice:
/// a slope that recovers soon after is not leapt over, and where it does not the limit is pinned down sooner.
const RUN_OUT: f64 = 1.2;

/// Whether a step of some length stays on the path: a long one can leap over a snap to equilibrium on the far
/// side, which is as good a solution of the equations. There the tangents at the two ends do not fit the step
/// between them, neither in their direction nor in the load that their slopes add up to.
fn smooth(system: &System, a: &Point, b: &Point, length: f64, first_slope: f64) -> bool {
    let along = |tangent: &Point| {
        let (own, step) = (system.dot(&tangent.per_load, &tangent.per_load), system.dot(&b.last, &b.last));
        tangent.sense * system.dot(&tangent.per_load, &b.last) >= ALONG * (own * step).sqrt()
    };
    let (before, after) = (a.stiffness(system), b.stiffness(system));
    let off = (b.factor - a.factor - 0.5 * (before + after) * length).abs();
    let slope = before.abs().max(after.abs()).max(FLAT * first_slope);
    along(a) && along(b) && off <= BENT * slope * length
}

/// How far on the slope of the load runs out, by a straight line through what it was before and after a step of some length; never where it
/// does not flatten.
fn run_out(before: f64, after: f64, length: f64) -> f64 {
    let flattened = (before - after) * after.signum();
    if flattened > 0.0 { length * after.abs() / flattened } else { f64::INFINITY }
}

/// Equilibrium under the constant load alone, followed from nothing as a path is, in as many parts as it takes: a load
/// above what the frame can carry has an equilibrium too, on the far side of a snap.
fn start(tracer: &Tracer<'_>) -> Result<Point, FrameError> {
    let system = tracer.system;
    let lost = FrameError::BeyondBuckling;
    let nothing = vec![0.0; system.size()];
    let none = Tracer { constant: nothing.clone(), reference: tracer.reference.clone(), ..*tracer };
    let unloaded = none.at_factor(&system.start(), 0.0)?.ok_or_else(|| lost.clone())?;
    if unloaded.tiny > 0 {
        return Err(FrameError::Mechanism { count: unloaded.tiny });
    }
    let growing = Tracer { constant: nothing, reference: tracer.constant.clone(), ..*tracer };
    let mut point = unloaded.under(&growing.reference);
    let first = system.dot(&point.per_load, &point.per_load).sqrt();
    // A load on held freedoms alone moves nothing.
    if first <= 0.0 {
        return Ok(unloaded);
    }
    let mut part = 1.0_f64;
    while point.factor < 1.0 {
        let share = (point.factor + part).min(1.0);
        let next = growing.land(&point, &point.per_load, share - point.factor, share)?;
        let kept = next.filter(|next| {
            let length = system.dot(&next.last, &next.last).sqrt();
            next.negatives == 0 && smooth(system, &point, next, length, 1.0 / first)
        });
        if let Some(next) = kept {
            point = next;
            continue;
        }
        part *= 0.5;
        if part < 1e-3 {
            return Err(lost);
        }
    }
    Ok(Point { factor: 0.0, last: Vec::new(), sense: 1.0, ..point.under(&tracer.reference) })
}

/// The watched freedom; by default the translation that moves most at first.
fn watched(
    system: &System,
    point: &Point,
    asked: Option<(NodeId, usize)>,
    count: usize,
) -> Result<(NodeId, usize), FrameError> {
    if let Some((node, freedom)) = asked {
        if node.0 >= count {
            return Err(FrameError::UnknownNode { what: "watch", index: 0, node, count });
        }
        return Ok((node, freedom.min(5)));
    }
    let mut best = (NodeId(0), 0, -1.0);
    for (node, freedoms) in system.unknowns.iter().enumerate() {
        for (freedom, unknown) in freedoms.iter().enumerate().take(3) {
            let size = unknown.map_or(-1.0, |u| point.per_load[u].abs());
            if size > best.2 * (1.0 + 1e-9) {
                best = (NodeId(node), freedom, size);
            }
        }
    }
    Ok((best.0, best.1))
}

/// Load factor of the first step.
fn first_arc(system: &System, point: &Point, options: &PathOptions) -> f64 {
    if let Some(factor) = options.first_factor {
        return factor.abs();
    }
    let (shift, spin) = system.largest_parts(&point.per_load);
    (1e-3 * system.extent / shift.max(f64::MIN_POSITIVE)).min(0.02 / spin.max(f64::MIN_POSITIVE))
}

/// Longest step that the turns and movements allow.
fn longest_arc(system: &System, point: &Point) -> f64 {
    let (shift, spin) = system.largest_parts(&point.per_load);
    let per_load = system.dot(&point.per_load, &point.per_load).sqrt();
    let room = (LONGEST_MOVE * system.extent / shift.max(f64::MIN_POSITIVE))
        .min(LONGEST_SPIN / spin.max(f64::MIN_POSITIVE));
    room * per_load
}

/// Share of a linear buckling factor that a step gains at most below it. Own choice: barrels that give way at two thirds of theirs were
/// leapt over by steps of a half, and of a fifth no more.
const GAIN: f64 = 0.06;

/// Longest step that a linear buckling factor allows, by the tangent.
fn known_arc(system: &System, point: &Point, options: &PathOptions) -> f64 {
    match options.linear_factor {
        Some(linear) if point.factor.abs() < linear => GAIN * linear / point.stiffness(system).abs(),
        _ => f64::INFINITY,
    }
}

/// Writes the path down as it goes.
struct Log<'a> {
    system: &'a System,
    keep: bool,
    watch: (NodeId, usize),
    /// Rotation vectors at the point before, so that turns beyond half a circle stay continuous.
    turns: Vec<Vec3>,
    steps: Vec<PathStep>,
    events: Vec<Event>,
}

impl<'a> Log<'a> {
    fn new(system: &'a System, options: &PathOptions, watch: (NodeId, usize)) -> Self {
        let turns = vec![Vec3::zeros(); system.unknowns.len()];
        let keep = options.keep_displacements;
        Self { system, keep, watch, turns, steps: Vec::new(), events: Vec::new() }
    }

    fn push(&mut self, point: &Point) {
        for (node, turn) in point.state.turn.iter().enumerate() {
            self.turns[node] = continued(&self.turns[node], turn.scaled_axis());
        }
        let watched = self.watched(&point.state);
        let of = |node: usize| {
            let (u, r) = (point.state.shift[node], self.turns[node]);
            [u.x, u.y, u.z, r.x, r.y, r.z]
        };
        let count = self.turns.len();
        self.steps.push(PathStep {
            factor: point.factor,
            watched,
            unstable: point.negatives,
            displacements: self.keep.then(|| (0..count).map(of).collect()),
        });
    }

    /// The watched movement at a state near the last one written down.
    fn watched(&self, state: &State) -> f64 {
        let (NodeId(node), freedom) = self.watch;
        if freedom < 3 {
            state.shift[node][freedom]
        } else {
            continued(&self.turns[node], state.turn[node].scaled_axis())[freedom - 3]
        }
    }

    /// Puts in the point just before an event and the event itself.
    fn event(&mut self, tracer: &Tracer<'_>, found: &Found) {
        self.push(&found.before);
        let step = self.steps.len() - 1;
        let (softest, load_share) = tracer.softest(&found.before);
        let (from, to) = (self.watched(&found.before.state), self.watched(&found.after.state));
        let (shift, _) = self.system.largest_parts(&softest);
        let shape =
            self.system.unknowns.iter().map(|freedoms| {
                freedoms.map(|unknown| unknown.map_or(0.0, |u| softest[u] / shift.max(1e-300)))
            });
        self.events.push(Event {
            kind: found.kind,
            factor: found.factor,
            watched: from + found.share * (to - from),
            step,
            modes: found.modes,
            load_share,
            shape: shape.collect(),
        });
    }

    fn finish(self, end: PathEnd) -> Path {
        let limit_factor = self.events.first().map(|e| e.factor);
        Path { steps: self.steps, events: self.events, limit_factor, watch: self.watch, end }
    }
}

/// The rotation vector of the same turn that lies nearest to `before`.
fn continued(before: &Vec3, vector: Vec3) -> Vec3 {
    let angle = vector.norm();
    if before.norm() < 1.0 {
        return vector;
    }
    // A whole turn has no axis of its own.
    let axis = if angle < 1e-6 { before.normalize() } else { vector / angle };
    let turns = ((before.dot(&axis) - angle) / std::f64::consts::TAU).round();
    vector + axis * (turns * std::f64::consts::TAU)
}

#[cfg(test)]
mod pyramid_tests;
#[cfg(test)]
mod tests;
