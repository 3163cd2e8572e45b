//! Where along a step stability is lost or won: limit points and branch points, told apart.
//!
//! A limit point turns the sense of the load; a branch point changes the number of negative pivots
//! without that. The step is shortened until the change is pinned down.

use super::EventKind;
use super::arc::{Point, Tracer};
use crate::frame::error::FrameError;

/// Steps that may be tried to pin an event down.
const TRIES: usize = 60;
/// How often the step is shortened at least where a branch point lies in it, whatever its width in the load factor: that is nothing
/// where a limit lies near.
const HALVINGS: usize = 3;
/// How far apart the limits may lie that the slopes on either side of it lead to, over the closeness that is asked for.
const APART: f64 = 0.01;
/// How far beyond a limit that is foreseen the next step reaches, as a share of the way there.
const BEYOND: f64 = 1.2;

/// One event between two points of equilibrium close together.
#[derive(Debug)]
pub(crate) struct Found {
    /// What it is.
    pub(crate) kind: EventKind,
    /// Load factor there.
    pub(crate) factor: f64,
    /// Eigenvalues that change sign there.
    pub(crate) modes: usize,
    /// How far from `before` to `after` it lies, 0 to 1.
    pub(crate) share: f64,
    /// Equilibrium just before.
    pub(crate) before: Point,
    /// Equilibrium just after.
    pub(crate) after: Point,
}

/// Whether anything happens between two points.
pub(crate) fn differs(a: &Point, b: &Point) -> bool {
    a.negatives != b.negatives || turns(a, b)
}

/// Whether the load turns between two points.
fn turns(a: &Point, b: &Point) -> bool {
    a.sense * b.sense < 0.0
}

/// What lies within a step that seemed to change something.
#[derive(Debug)]
pub(crate) struct Pinned {
    /// The events, in order; none where the long step had left the path and shorter ones find nothing.
    pub(crate) found: Vec<Found>,
    /// Where to go on from.
    pub(crate) on: Point,
}

/// Pins down what changes between two points of the path that are `arc` apart, to a relative `closeness` in the load factor, by
/// following the path on from `a` in ever shorter steps. `None` where it is lost.
///
/// Only steps from the near side are trusted: the far end of a long step may lie on another path.
pub(crate) fn pin(
    tracer: &Tracer<'_>,
    a: &Point,
    b: &Point,
    arc: f64,
    closeness: f64,
    smooth: impl Fn(&Point, &Point, f64) -> bool,
) -> Result<Option<Pinned>, FrameError> {
    let of = |before: &Point, after: &Point, length: f64| {
        let mut found = Vec::new();
        push(tracer, before, after, length, &mut found);
        Pinned { found, on: after.clone() }
    };
    if Summit::of(tracer, a, b, arc).is_some_and(|summit| summit.within(closeness)) {
        return Ok(Some(of(a, b, arc)));
    }
    let (mut near, mut step, mut gone, mut halvings) = (a.clone(), 0.5 * arc, 0.0, 1);
    let mut best: Option<(Point, Point, f64)> = None;
    for _ in 0..TRIES {
        let next = tracer.advance(&near, step)?.filter(|next| smooth(&near, next, step));
        let Some(next) = next else {
            step *= 0.5;
            halvings += 1;
            continue;
        };
        if !differs(&near, &next) {
            near = next;
            gone += step;
            if best.is_none() && gone >= 2.0 * arc {
                return Ok(Some(Pinned { found: Vec::new(), on: near }));
            }
            continue;
        }
        let summit = Summit::of(tracer, &near, &next, step);
        let width = (next.factor - near.factor).abs();
        let narrow = width <= closeness * near.factor.abs().max(next.factor.abs()) && halvings >= HALVINGS;
        let done = summit.as_ref().map_or(narrow, |summit| summit.within(closeness));
        let ahead = summit.map_or(0.5, |summit| (BEYOND * summit.share).clamp(0.1, 0.5));
        best = Some((near.clone(), next, step));
        if done {
            break;
        }
        step *= ahead;
        halvings += 1;
    }
    Ok(best.map(|(before, after, length)| of(&before, &after, length)))
}

/// A limit foreseen between two points, the slope of load over arc falling through zero along a straight line.
struct Summit {
    /// How far along, 0 to 1.
    share: f64,
    /// Load factor there, from the slopes before and after it.
    factors: [f64; 2],
    /// Load factors of the two points.
    ends: [f64; 2],
    /// Whether other eigenvalues change their signs as well: another event lies near, before it perhaps.
    alone: bool,
}

impl Summit {
    /// The one between two points; none where the load does not turn.
    fn of(tracer: &Tracer<'_>, a: &Point, b: &Point, arc: f64) -> Option<Self> {
        if !turns(a, b) {
            return None;
        }
        // The slope of load over arc falls through zero: nearly a straight line this close.
        let (before, after) = (a.stiffness(tracer.system), b.stiffness(tracer.system));
        let share = (before / (before - after)).clamp(0.0, 1.0);
        let factors = [a.factor + 0.5 * before * share * arc, b.factor - 0.5 * after * (1.0 - share) * arc];
        let alone = a.negatives.abs_diff(b.negatives) == 1;
        Some(Self { share, factors, ends: [a.factor, b.factor], alone })
    }

    /// Whether both slopes lead to the same limit, and it lies hardly beyond what was seen: beyond the nearer of the two
    /// points, and where it is not alone beyond both.
    fn within(&self, closeness: f64) -> bool {
        let [from_before, from_after] = self.factors;
        let most = closeness * from_before.abs().max(from_after.abs());
        let [to_before, to_after] = self.ends.map(|end| (from_before - end).abs());
        let beyond = if self.alone { to_before.min(to_after) } else { to_before.max(to_after) };
        (from_before - from_after).abs() <= APART * most && beyond <= most
    }
}

/// Writes down what happens between two points that are close enough.
fn push(tracer: &Tracer<'_>, a: &Point, b: &Point, arc: f64, found: &mut Vec<Found>) {
    let change = b.negatives.abs_diff(a.negatives);
    let mut others = change;
    if let Some(Summit { share, factors: [factor, _], .. }) = Summit::of(tracer, a, b, arc) {
        found.push(Found {
            kind: EventKind::Limit,
            factor,
            modes: 1,
            share,
            before: a.clone(),
            after: b.clone(),
        });
        // A limit takes one change of sign; where none is left over there was no branch.
        others = change.abs_diff(1);
    }
    if others > 0 {
        found.push(Found {
            kind: EventKind::Branch,
            factor: 0.5 * (a.factor + b.factor),
            modes: others,
            share: 0.5,
            before: a.clone(),
            after: b.clone(),
        });
    }
}
