//! From numbers to a verdict. It never says more than within, near, over or unstable.

use crate::assess::findings::ModelFindings;
use crate::assess::paths::{Limit, PATH_ENOUGH};
use crate::assess::results::Verdict;
use crate::assess::stability::Stability;
use crate::model::ask::JointModel;
use crate::rules::Standing;

/// The models that the verdict is taken from: the seam model's where its stiffness is known,
/// otherwise every model that was run (so the worse of pinned and rigid).
#[must_use]
pub fn governing(models: &[JointModel], seam_known: bool) -> Vec<usize> {
    if seam_known && let Some(i) = models.iter().position(|&m| m == JointModel::Seam) {
        return vec![i];
    }
    (0..models.len()).collect()
}

/// Verdict and worst utilisation of one solvable model.
///
/// A buckling or limit factor counts as the utilisation 1/factor; below 1, or where no
/// second-order equilibrium was found, the model is unstable.
#[must_use]
pub fn of_model(
    utilisation: f64,
    stability: &Stability,
    limit: Option<&Limit>,
    lost: &[usize],
) -> (Verdict, f64) {
    // Where the paths were followed as far as anybody asks, and no limit was met, that is no limit.
    let met = limit.filter(|l| l.reached || l.factor < PATH_ENOUGH).map(|l| l.factor);
    let lowest = stability.factor.into_iter().chain(met).fold(f64::INFINITY, f64::min);
    let worst = utilisation.max(1.0 / lowest);
    if !lost.is_empty() || lowest < 1.0 {
        return (Verdict::Unstable, worst);
    }
    (verdict_of(worst), worst)
}

/// Within, near or over.
#[must_use]
pub fn verdict_of(utilisation: f64) -> Verdict {
    match Standing::of(utilisation) {
        Standing::Within => Verdict::Within,
        Standing::Near => Verdict::Near,
        Standing::Over => Verdict::Over,
    }
}

/// The verdict with the snap of the flattest joint counted: a joint that snaps below its load is
/// unstable, no matter how stiff the joints are taken.
#[must_use]
pub fn with_snap(verdict: Verdict, snap: f64) -> Verdict {
    verdict.max(if snap > 1.0 { Verdict::Unstable } else { verdict_of(snap) })
}

/// The verdict of a model of which something is in doubt, such as feet that hold a moment against turning which was compared with
/// nothing: not better than near, whatever the figures, as it rests on what nobody has shown.
#[must_use]
pub fn with_doubt(verdict: Verdict, in_doubt: bool) -> Verdict {
    if in_doubt { verdict.max(Verdict::Near) } else { verdict }
}

/// Whether nothing is over its limit or unstable.
#[must_use]
pub fn holds(verdict: Verdict) -> bool {
    matches!(verdict, Verdict::Within | Verdict::Near)
}

/// The whole verdict, and whether the answer rests on the stiffness of the seams: the governing
/// models do not hold, and a stiffer one does.
#[must_use]
pub fn overall(kinds: &[JointModel], models: &[ModelFindings], governing: &[usize]) -> (Verdict, bool) {
    let verdict = governing.iter().map(|&i| models[i].verdict).max().unwrap_or(Verdict::Unstable);
    let failing = governing.iter().filter(|&&i| !holds(models[i].verdict)).map(|&i| kinds[i]).max();
    let rests = failing
        .is_some_and(|stiffest| (0..kinds.len()).any(|i| kinds[i] > stiffest && holds(models[i].verdict)));
    (verdict, rests)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Where the paths end without a limit, their end is none; a search that was lost on the way counts as far as it came.
    #[test]
    fn the_end_of_a_path_is_no_limit() {
        let stability = Stability { factor: Some(200.0), ..Stability::default() };
        for (factor, reached, worst) in
            [(PATH_ENOUGH, false, 0.05), (5.0, true, 0.2), (2.0, false, 0.5), (PATH_ENOUGH, true, 0.1)]
        {
            let limit = Limit { factor, reached, combination: 0, followed: 1 };
            let (verdict, found) = of_model(0.05, &stability, Some(&limit), &[]);
            assert!((found - worst).abs() < 1e-12 && verdict == Verdict::Within, "{factor} {found}");
        }
    }
}
