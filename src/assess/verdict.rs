//! From numbers to a verdict. It never says more than within, near, over or unstable.

use crate::assess::findings::ModelFindings;
use crate::assess::paths::{Limit, PATH_ENOUGH};
use crate::assess::results::{ModelResult, Verdict};
use crate::assess::stability::Stability;
use crate::assess::words::{self, OfTheWhole};
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
    let lowest = stability.factor.into_iter().chain(met(limit)).fold(f64::INFINITY, f64::min);
    let worst = utilisation.max(1.0 / lowest);
    if !lost.is_empty() || lowest < 1.0 {
        return (Verdict::Unstable, worst);
    }
    (verdict_of(worst), worst)
}

/// The factor of the nonlinear paths that counts. Where they were followed as far as anybody asks, and no limit was met, that is no
/// limit; a search that was lost on the way counts as far as it came.
#[must_use]
pub fn met(limit: Option<&Limit>) -> Option<f64> {
    limit.filter(|l| l.reached || l.factor < PATH_ENOUGH).map(|l| l.factor)
}

/// As [`met`], with what it is called.
#[must_use]
pub fn met_as(limit: Option<&Limit>) -> Option<(&Limit, OfTheWhole)> {
    met(limit)?;
    limit.map(|l| (l, if l.reached { words::LIMIT } else { words::NO_WAY_ON }))
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

/// The verdict with the snap of one joint counted: a joint that snaps below its load is
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

/// What is told first of an answer that rests on the stiffness of the seams: which of the models hold all the same. Those have stiff joints,
/// ends of timbers too, which is more than stiffer seams give.
#[must_use]
pub fn rests_words(models: &[ModelResult]) -> String {
    let failing = models.iter().rposition(|model| model.governs && !holds(model.verdict));
    let stiffer: Vec<String> = models
        .iter()
        .skip(failing.map_or(0, |last| last + 1))
        .filter(|model| holds(model.verdict))
        .map(|model| {
            let standing = if model.verdict == Verdict::Near { "near" } else { "within" };
            format!("{}: {standing}", model.name)
        })
        .collect();
    format!(
        "{RESTS_ON_SEAMS} It holds only where joints are stiff, the ends of timbers among them ({}): whether stiffer seams \
         alone would do, strutwise seams tells.",
        stiffer.join(", ")
    )
}

/// How an answer begins that holds in stiffer models alone.
pub const RESTS_ON_SEAMS: &str = "This rests on the stiffness of the seams and joints.";

/// What is known of how much the answer rests on the stiffness of the seams, from the models that were run, softest first.
#[must_use]
pub fn seam_words(verdict: Verdict, rests_on_seams: bool, models: &[ModelResult]) -> String {
    let governing: Vec<usize> = (0..models.len()).filter(|&k| models[k].governs).collect();
    let failing = |k: &usize| !holds(models[*k].verdict);
    if let [only] = models {
        return format!(
            "only the {} model was run, so nothing is known of what softer or stiffer ones would do",
            only.name
        );
    }
    if rests_on_seams {
        return "only stiffer joints would do; whether stiffer seams alone are enough, strutwise seams tells"
            .to_owned();
    }
    let (first, last) = (governing.first().copied().unwrap_or(0), governing.last().copied().unwrap_or(0));
    if !holds(verdict) && !governing.iter().any(failing) {
        // The snap of one joint is the same in all models.
        return "what gives is one joint that snaps through, however stiffly they turn".to_owned();
    }
    if !holds(verdict) {
        // A stiffer model that was run, or the stiffest there is, and does not hold.
        let rigid =
            (last..models.len()).find(|k| failing(k) && models[*k].name == "rigid").map(|k| &models[k]);
        let timbers_hold =
            |m: &ModelResult| m.worst.as_ref().is_some_and(|worst| worst.utilisation <= Standing::NEAR);
        return if let Some(rigid) = rigid {
            let of = if rigid.verdict == Verdict::Over && timbers_hold(rigid) {
                "its timbers do with rigid joints, its fixings or feet do not"
            } else {
                "it does not with rigid joints"
            };
            format!("stiffer ones alone would not make it hold: {of}")
        } else {
            "no model with rigid joints was run, so nothing is known of what stiffer ones would do".to_owned()
        };
    }
    let names =
        |list: Vec<usize>| list.iter().map(|&k| models[k].name.clone()).collect::<Vec<_>>().join(" and ");
    let softer = names((0..first).filter(failing).collect());
    let stiffer = names((last + 1..models.len()).filter(failing).collect());
    let fails = "does it hold";
    match (softer.is_empty(), stiffer.is_empty()) {
        (true, true) => "in these models the answer does not rest on how stiffly they turn".to_owned(),
        (false, true) => {
            format!("it relies on seams at least as stiff as entered: not with {softer} joints {fails}")
        }
        (true, false) => format!(
            "with {stiffer} joints it does not hold, as stiff ones draw forces to them: it relies on joints that give as the seams do"
        ),
        (false, false) => format!(
            "it relies on seams as stiff as entered: neither with {softer} joints nor with {stiffer} ones {fails}"
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Models of a name, whether they count, and a verdict.
    fn models(list: &[(&str, bool, Verdict)]) -> Vec<ModelResult> {
        let one = |&(name, governs, verdict): &(&str, bool, Verdict)| ModelResult {
            name: name.to_owned(),
            stiffness: String::new(),
            governs,
            mechanisms: 0,
            mechanism_shapes: Vec::new(),
            maxwell_count: 0,
            unknowns: 0,
            buckling: None,
            second_order: false,
            doubts: Vec::new(),
            sag: None,
            worst: None,
            worst_fixing: None,
            verdict,
            displacements: None,
            bar_forces: None,
        };
        list.iter().map(one).collect()
    }

    /// Nothing is said of seams but what the models that were run compare; stiff ends of timbers are no stiffer seams.
    #[test]
    fn what_is_said_of_seams_is_what_was_compared() {
        use Verdict::{Near, Over, Unstable, Within};
        for (verdict, rests, list, told) in [
            (
                Within,
                false,
                &[("pinned", true, Within)][..],
                "only the pinned model was run, so nothing is known",
            ),
            (
                Unstable,
                false,
                &[("pinned", true, Unstable)],
                "only the pinned model was run, so nothing is known",
            ),
            (
                Over,
                false,
                &[("pinned", true, Over), ("seam", true, Over)],
                "no model with rigid joints was run",
            ),
            (Over, false, &[("seam", true, Over), ("rigid", false, Over)], "it does not with rigid joints"),
            (
                Unstable,
                false,
                &[("seam", true, Near), ("rigid", false, Within)],
                "one joint that snaps through",
            ),
            (
                Near,
                false,
                &[("pinned", false, Within), ("seam", true, Near), ("rigid", false, Within)],
                "does not rest",
            ),
            (
                Within,
                false,
                &[("pinned", false, Over), ("seam", true, Within)],
                "at least as stiff as entered",
            ),
            (
                Within,
                false,
                &[("seam", true, Within), ("rigid", false, Over)],
                "joints that give as the seams do",
            ),
            (
                Within,
                false,
                &[("pinned", false, Over), ("seam", true, Within), ("rigid", false, Over)],
                "neither with pinned joints nor with rigid ones",
            ),
            (
                Unstable,
                true,
                &[("pinned", true, Unstable), ("rigid", true, Within)],
                "only stiffer joints would do",
            ),
        ] {
            let said = seam_words(verdict, rests, &models(list));
            assert!(said.contains(told), "{list:?}: {said}");
        }
        let said = rests_words(&models(&[("pinned", true, Unstable), ("rigid", true, Near)]));
        assert!(said.contains("(rigid: near)") && !said.contains("within"), "{said}");
    }

    /// Where the paths end without a limit, their end is none; a search that was lost on the way counts as far as it came.
    #[test]
    fn the_end_of_a_path_is_no_limit() {
        let stability = Stability { factor: Some(200.0), ..Stability::default() };
        for (factor, reached, worst) in
            [(PATH_ENOUGH, false, 0.05), (5.0, true, 0.2), (2.0, false, 0.5), (PATH_ENOUGH, true, 0.1)]
        {
            let limit = Limit { factor, reached, combination: 0, followed: vec![0] };
            let (verdict, found) = of_model(0.05, &stability, Some(&limit), &[]);
            assert!((found - worst).abs() < 1e-12 && verdict == Verdict::Within, "{factor} {found}");
        }
    }
}
