//! Where along a step stability is lost or won: limit points and branch points, told apart.
//!
//! A limit point turns the sense of the load; a branch point changes the number of negative pivots
//! without that. The step is halved until the change is pinned down.

use super::EventKind;
use super::arc::{Point, Tracer};
use crate::frame::error::FrameError;

/// How closely an event is pinned down.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Closeness {
    /// Relative width in the load factor.
    pub(crate) factor: f64,
    /// Halvings still to be done whatever the width.
    pub(crate) least: usize,
    /// Halvings that may still be done.
    pub(crate) most: usize,
}

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

/// Finds the events between `a` and `b`, `arc` apart, in order; only the first where `first_only`.
pub(crate) fn locate(
    tracer: &Tracer<'_>,
    (a, b): (&Point, &Point),
    arc: f64,
    closeness: Closeness,
    first_only: bool,
    found: &mut Vec<Found>,
) -> Result<(), FrameError> {
    if !differs(a, b) || (first_only && !found.is_empty()) {
        return Ok(());
    }
    let width = (b.factor - a.factor).abs();
    let pinned = width <= closeness.factor * a.factor.abs().max(b.factor.abs());
    let done = closeness.most == 0 || (pinned && closeness.least == 0);
    let middle = if done { None } else { tracer.advance(a, 0.5 * arc)? };
    let Some(middle) = middle else {
        push(tracer, a, b, arc, found);
        return Ok(());
    };
    let least = closeness.least.saturating_sub(1);
    let closer = Closeness { least, most: closeness.most - 1, ..closeness };
    locate(tracer, (a, &middle), 0.5 * arc, closer, first_only, found)?;
    locate(tracer, (&middle, b), 0.5 * arc, closer, first_only, found)
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
