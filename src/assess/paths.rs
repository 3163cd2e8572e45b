//! The lowest limit of the nonlinear paths of one joint model, and which combinations are followed to find it.
//!
//! The combination of the lowest buckling factor need not give way first: a person on one joint of a shallow cap snaps it
//! through far below its factor, where a snow of a lower factor spreads and holds. To follow all of them would take longer than
//! everything else together. So each gets a low guess at its limit from its first-order answer (`guesses.rs`), and they are
//! followed from the lowest guess on, up to the lowest limit found or the linear factor, until no guess lies below that, six
//! at most, and six of those with people, things that hang or cases of one's own in them. A guess is no proof; it only says what is worth following.

use rayon::prelude::{IntoParallelIterator, ParallelIterator};

use crate::assess::AssessError;
use crate::assess::buckling::shape_of_nodes;
use crate::assess::dents;
use crate::assess::guesses::Guesses;
use crate::assess::run::{Run, combined_loads};
use crate::assess::setup::Setup;
use crate::assess::stability::{Stability, TIMBER_BOW, imperfection_size, joints_alone, mean_axial};
use crate::frame::halved::Halved;
use crate::frame::limit::{Imperfection, LimitKind, LimitOptions, limit_of};
use crate::frame::second_order::{crookedness, softened};
use crate::loads::{Action, CaseKind};

/// How far a nonlinear path is followed, as a factor on the combination.
pub const PATH_ENOUGH: f64 = 10.0;

/// Combinations of one model that are followed, at most, of those with people, things or cases of one's own in them and of the others.
const MOST: usize = 6;

/// The first step of a path, as a share of how far it is followed: up to [`PATH_ENOUGH`], and where it is only to be seen whether it
/// gives way before another. Most stand there, and two or three steps show it.
const SHORT: f64 = 0.1;
/// See [`SHORT`].
const LONGER: f64 = 0.5;

/// A combination is followed where this share of its guess lies below the lowest limit found: 0.7 times a guess was found to give way,
/// and no less.
const SPREAD: f64 = 0.6;

/// The lowest limit of the nonlinear paths that were followed.
#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    /// Factor on the combination at the limit or branch point, or as far as the paths were followed.
    pub factor: f64,
    /// Whether a limit was reached; otherwise `factor` is a lower bound.
    pub reached: bool,
    /// The combination.
    pub combination: usize,
    /// The combinations that were followed.
    pub followed: Vec<usize>,
}

/// Whether a combination has something variable in it that is neither snow nor wind.
fn comes_and_goes(setup: &Setup, combination: usize) -> bool {
    setup.combinations[combination].terms.iter().any(|(case, _)| {
        let case = &setup.cases[case.0];
        case.action != Action::Permanent && matches!(case.kind, CaseKind::Imposed | CaseKind::User)
    })
}

/// Follows the nonlinear path of the combination with the lowest linear factor, and of those that may give way before it, with
/// design stiffness and the imperfection either way, in the combination's own shape (of stiff joints in that of the first, and of the
/// same frame hinged, too); the lowest limit of all that lie below the linear factor.
///
/// # Errors
/// A frame that cannot be followed at all.
pub fn limit(
    run: &Run,
    setup: &Setup,
    stability: &Stability,
    design: f64,
) -> Result<Option<Limit>, AssessError> {
    let Some(first) = stability.combination else { return Ok(None) };
    let frame = softened(&run.model.frame, design);
    let size = imperfection_size(setup);
    let stiff = run.model.kind.is_stiff();
    // Between stiff joints timbers bow and joints turn in the lowest shape; what moves one joint alone may press a dome in long before.
    let dented = if stiff { joints_alone(run, &setup.combinations[first])? } else { Vec::new() };
    // Stiff joints bend their timbers, which does not let a dent snap as hinges do.
    let depth = |shape: &[[f64; 6]]| {
        if stiff { 0.0 } else { dents::depth(&setup.shell, &crookedness(shape, size)) }
    };
    // The lowest limit of one combination up to a factor that is enough, with the whole imperfection or without, and with its parts.
    let follow = |i: usize,
                  shapes: &[&[[f64; 6]]],
                  enough: f64,
                  (wholly, depths): (bool, &[f64])|
     -> Result<Limit, AssessError> {
        let combination = &setup.combinations[i];
        // Beyond the linear factor the lower of the two counts.
        let up_to = enough.min(stability.factor.unwrap_or(enough));
        let pressed: Vec<f64> = match stiff {
            true => mean_axial(run, combination).iter().map(|force| -up_to * force).collect(),
            false => Vec::new(),
        };
        let halved = Halved::new(&frame, &pressed);
        let loads = halved.loads(&combined_loads(&setup.loads, combination));
        let dented = Some(dented.as_slice()).filter(|dented| !dented.is_empty());
        // Takes over the lowest limit of the shapes, each at the sizes that are told of it, either way.
        let search =
            |lower: &mut Limit, sizes: &dyn Fn(&[[f64; 6]]) -> Vec<f64>| -> Result<(), AssessError> {
                let flaws: Vec<Vec<[f64; 6]>> = shapes
                    .iter()
                    .copied()
                    .chain(dented)
                    .flat_map(|shape| sizes(shape).into_iter().map(move |size| (shape, size)))
                    .flat_map(|(shape, size)| {
                        [size, -size].map(|size| halved.crooked(&frame, shape, size, TIMBER_BOW))
                    })
                    .collect();
                let enough = enough.min(lower.factor);
                let first = if enough < PATH_ENOUGH { LONGER } else { SHORT };
                let linear_factor = stability.factor;
                let options = LimitOptions { enough, first, linear_factor, ..LimitOptions::default() };
                let found: Vec<_> = flaws
                    .into_par_iter()
                    .map(|flaw| limit_of(&halved.frame, &loads, Some(Imperfection::of(&flaw)), &options))
                    .collect();
                for result in found {
                    let result = result?;
                    if result.factor < lower.factor {
                        lower.factor = result.factor;
                        lower.reached = matches!(result.kind, LimitKind::Limit | LimitKind::Branch);
                    }
                }
                Ok(())
            };
        let mut lower = Limit { factor: f64::INFINITY, reached: false, combination: i, followed: Vec::new() };
        if wholly {
            search(&mut lower, &|_| vec![size])?;
        }
        // Where the whole dents joints as deep as they stand out, a part of it may be worse.
        search(&mut lower, &|shape| dents::parts(size, depth(shape), depths))?;
        Ok(lower)
    };
    let mut lowest = follow(first, &[&stability.shape], PATH_ENOUGH, (true, &dents::DEPTHS))?;
    let deep = dents::is_deep(depth(&stability.shape));
    let guesses = Guesses::new(run, setup, stability, design, (size, deep))?;
    let mut worst_shapes = vec![stability.shape.clone()];
    let mut followed = vec![first];
    for &i in &guesses.order {
        // What gives way beyond the linear factor tells nothing more: the lower of the two counts.
        let enough = stability.factor.into_iter().fold(lowest.factor.min(PATH_ENOUGH), f64::min);
        if SPREAD * guesses.at[i] >= enough {
            break;
        }
        // What people, things and cases of one's own add takes no place of the others, nor stands for them: more load would be told as a
        // higher limit.
        let kind = comes_and_goes(setup, i);
        let of_its_kind = || followed.iter().filter(|&&other| comes_and_goes(setup, other) == kind);
        if of_its_kind().count() >= MOST || of_its_kind().any(|&other| guesses.stands_for(other, i)) {
            continue;
        }
        followed.push(i);
        let own = shape_of_nodes(run, &setup.combinations[i])?;
        // Timbers between stiff joints bow in their exact shapes, which those of nodes alone do not know.
        let shapes: &[&[[f64; 6]]] = if stiff { &[&own, &stability.shape] } else { &[&own] };
        let other = follow(i, shapes, enough, (true, &dents::DEPTHS))?;
        if other.factor < enough {
            lowest = other;
            worst_shapes = shapes.iter().map(|shape| shape.to_vec()).collect();
        }
    }
    let shapes: Vec<&[[f64; 6]]> = worst_shapes.iter().map(Vec::as_slice).collect();
    let between = follow(lowest.combination, &shapes, lowest.factor, (false, &dents::BETWEEN))?;
    if between.factor < lowest.factor {
        lowest = between;
    }
    lowest.followed = followed;
    Ok(Some(lowest))
}

#[cfg(test)]
#[path = "paths_tests.rs"]
mod tests;
