//! Where along a step stability is lost or won: limit points and branch points, told apart.
//!
//! A limit point turns the sense of the load; a branch point changes the number of negative pivots
//! without that. The step is halved until the change is pinned down.

use super::EventKind;
use super::arc::{Point, Tracer};
use crate::frame::error::FrameError;

/// Steps that may be tried to pin an event down.
const TRIES: usize = 60;
/// Halvings at least, whatever the width in the load factor: it is nothing at a limit.
const HALVINGS: usize = 3;

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

/// Follows the path on from `a` in ever shorter steps until what changes within `arc` is pinned down to a
/// relative width `closeness` in the load factor.
///
/// Only steps from the near side are trusted: the far end of a long step may lie on another path.
pub(crate) fn pin(
    tracer: &Tracer<'_>,
    a: &Point,
    arc: f64,
    closeness: f64,
    smooth: impl Fn(&Point, &Point, f64) -> bool,
) -> Result<Option<Pinned>, FrameError> {
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
        let width = (next.factor - near.factor).abs();
        let enough = width <= closeness * near.factor.abs().max(next.factor.abs());
        let done = enough && halvings >= HALVINGS;
        best = Some((near.clone(), next, step));
        if done {
            break;
        }
        step *= 0.5;
        halvings += 1;
    }
    Ok(best.map(|(before, after, length)| {
        let mut found = Vec::new();
        push(tracer, &before, &after, length, &mut found);
        Pinned { found, on: after }
    }))
}

/// Writes down what happens between two points that are close enough.
fn push(tracer: &Tracer<'_>, a: &Point, b: &Point, arc: f64, found: &mut Vec<Found>) {
    let change = b.negatives.abs_diff(a.negatives);
    let mut others = change;
    if turns(a, b) {
        // The slope of load over arc falls through zero: nearly a straight line this close.
        let (before, after) = (a.stiffness(tracer.system), b.stiffness(tracer.system));
        let share = (before / (before - after)).clamp(0.0, 1.0);
        let factor = a.factor + 0.5 * before * share * arc;
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
