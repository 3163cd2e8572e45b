//! What each joint model says, in a line, and how much the difference between them counts for this shell.

use crate::assess::results::{Assessment, ModelResult, Verdict};
use crate::report::show::{beyond_number, buckling_factor, lowest_factor, utilisation, verdict};

/// A worst figure of one model so many times that of another counts as another answer.
const TELLS: f64 = 1.1;

/// What the models say of which the verdict is not; where it is the worst of all of them, what each says. `None` where one was run.
pub(super) fn line(a: &Assessment) -> Option<String> {
    let others: Vec<&ModelResult> = a.models.iter().filter(|model| !model.governs).collect();
    let (what, listed) = if others.is_empty() {
        ("By joint model", a.models.iter().collect())
    } else {
        ("Other joint models", others)
    };
    (a.models.len() > 1)
        .then(|| format!("{what}: {}.", listed.into_iter().map(said).collect::<Vec<_>>().join("; ")))
}

/// "rigid over (timbers 1.03, fixings 1.12)".
fn said(model: &ModelResult) -> String {
    let figure =
        |value: f64| if beyond_number(value) { "beyond any limit".to_owned() } else { utilisation(value) };
    let mut figures: Vec<String> = Vec::new();
    if model.mechanisms > 0 {
        let s = if model.mechanisms == 1 { "" } else { "s" };
        figures.push(format!("{} mechanism{s}", model.mechanisms));
    } else {
        let lowest = lowest_factor(model).filter(|factor| *factor < 1.0);
        figures.extend(
            lowest.map(|factor| format!("buckles or folds at {} of the load", buckling_factor(factor))),
        );
        if model.verdict == Verdict::Unstable && lowest.is_none() {
            figures.push("no equilibrium".to_owned());
        }
        figures.extend(model.worst.as_ref().map(|w| format!("timbers {}", figure(w.utilisation))));
        figures.extend(model.worst_fixing.as_ref().map(|w| format!("fixings {}", figure(w.utilisation))));
    }
    if figures.is_empty() {
        return format!("{} {}", model.name, verdict(model.verdict));
    }
    format!("{} {} ({})", model.name, verdict(model.verdict), figures.join(", "))
}

/// How much the difference between the models counts for this shell, from their figures.
pub(super) fn difference(a: &Assessment) -> String {
    let named = |wanted: &dyn Fn(&ModelResult) -> bool| {
        let names: Vec<&str> = a.models.iter().filter(|m| wanted(m)).map(|m| m.name.as_str()).collect();
        names.join(" and ")
    };
    let falls = |model: &ModelResult| model.verdict == Verdict::Unstable;
    if a.models.len() < 2 {
        return "One model alone was run, so nothing is known of how much the others would differ."
            .to_owned();
    }
    let (fall, stand) = (named(&falls), named(&|model| !falls(model)));
    if stand.is_empty() {
        return "This shell is unstable in every one of them that was run.".to_owned();
    }
    if !fall.is_empty() {
        return format!(
            "This shell lives on the difference: it is unstable with {fall} joints, and not with {stand} ones."
        );
    }
    let worst: Vec<(&str, f64)> = a
        .models
        .iter()
        .filter_map(|model| {
            let most =
                model.worst.iter().chain(&model.worst_fixing).map(|w| w.utilisation).reduce(f64::max)?;
            Some((model.name.as_str(), most))
        })
        .collect();
    let least = worst.iter().map(|(_, value)| *value).fold(f64::INFINITY, f64::min);
    let most = worst.iter().map(|(_, value)| *value).fold(0.0, f64::max);
    let figures: Vec<String> = worst
        .iter()
        .map(|(name, value)| {
            let value =
                if beyond_number(*value) { "beyond any limit".to_owned() } else { utilisation(*value) };
            format!("{name} {value}")
        })
        .collect();
    let figures = figures.join(", ");
    let verdicts = a.models.iter().any(|model| model.verdict != a.models[0].verdict);
    if worst.len() < 2 {
        "Their figures do not tell how much this shell notices of the difference.".to_owned()
    } else if most > TELLS * least || verdicts {
        format!("For this shell the difference counts: its worst timber or fixing is at {figures}.")
    } else {
        format!("This shell hardly notices the difference: its worst timber or fixing is at {figures}.")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::sample::sample;

    #[test]
    fn what_the_other_models_say_stands_in_a_line() {
        let mut a = sample();
        let model = |name: &str, verdict, governs| {
            let mut model = a.models.iter().find(|m| m.worst.is_some()).unwrap().clone();
            (model.name, model.verdict, model.governs) = (name.to_owned(), verdict, governs);
            (model.mechanisms, model.buckling, model.worst_fixing) = (0, None, None);
            model
        };
        let (mut pinned, seam) =
            (model("pinned", Verdict::Within, false), model("seam", Verdict::Within, true));
        let mut rigid = model("rigid", Verdict::Over, false);
        for (model, at) in [(&mut pinned, 0.41), (&mut rigid, 1.03)] {
            model.worst.as_mut().unwrap().utilisation = at;
        }
        rigid.worst_fixing = rigid.worst.clone();
        rigid.worst_fixing.as_mut().unwrap().utilisation = 1.12;
        a.models = vec![pinned, seam, rigid];
        assert_eq!(
            line(&a).unwrap(),
            "Other joint models: pinned within (timbers 0.41); rigid over (timbers 1.03, fixings 1.12)."
        );
        assert!(difference(&a).starts_with("For this shell the difference counts: "), "{}", difference(&a));
        (a.models[0].mechanisms, a.models[0].verdict) = (3, Verdict::Unstable);
        assert!(line(&a).unwrap().contains("pinned unstable (3 mechanisms)"));
        assert!(difference(&a).contains("unstable with pinned joints, and not with seam and rigid ones"));
        a.models.truncate(1);
        assert!(line(&a).is_none() && difference(&a).starts_with("One model alone"));
    }
}
