//! What a picture of how hard the timbers are worked cannot show, in words: a calm picture beside a verdict of
//! "over" or "unstable" would mislead.

use crate::assess::results::Assessment;
use crate::report::show::{capital, lowest_factor, tame, utilisation};

/// The sentences to put under such a picture, each with a space before it; empty where nothing is worse than
/// what is drawn. `model` is the joint model that is drawn, `None` all those that count.
pub(crate) fn undrawn(assessment: &Assessment, model: Option<&str>) -> String {
    let mut said = String::new();
    for one in &assessment.models {
        let asked = model.map_or(one.governs, |name| one.name == name);
        if asked && one.mechanisms > 0 {
            said.push_str(&format!(
                " {} model: unstable, a mechanism, so it has no figures to draw.",
                capital(&tame(&one.name, 30))
            ));
        }
    }
    let worse = match model {
        Some(name) => worse_in(assessment, name),
        None => assessment.worst_list.first().filter(|item| item.what != "timber").map(|worst| {
            let what = match worst.what.as_str() {
                "shell" => "the whole shell".to_owned(),
                what => format!("{what} {}", tame(&worst.id, 20)),
            };
            (worst.utilisation, what)
        }),
    };
    if let Some((worked, what)) = worse {
        said.push_str(&format!(" Not drawn, and worse: {what}, {}.", utilisation(worked)));
    }
    said
}

/// What of one model is worked harder than its worst timber: a fixing, a foot, or the whole shell that buckles.
fn worse_in(assessment: &Assessment, name: &str) -> Option<(f64, String)> {
    let model = assessment.models.iter().find(|model| model.name == name)?;
    let timber = model.worst.as_ref()?.utilisation;
    let named = |what: &str, id: Option<&str>| format!("{what} {}", tame(id.unwrap_or_default(), 20));
    let fixing = model.worst_fixing.as_ref().map(|w| (w.utilisation, named("fixing", w.member.as_deref())));
    let feet = assessment.feet.iter().filter_map(|foot| {
        let worst = foot.by_model.get(name)?.worst.as_ref()?;
        Some((worst.utilisation, named("foot", Some(&foot.joint))))
    });
    let whole = lowest_factor(model).map(|factor| (1.0 / factor, "the whole shell".to_owned()));
    let all = fixing.into_iter().chain(feet).chain(whole).filter(|(worked, _)| *worked > timber);
    all.reduce(|a, b| if b.0 > a.0 { b } else { a })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::sample::sample;

    #[test]
    fn a_mechanism_that_counts_is_told_and_another_is_not() {
        let mut assessment = sample();
        for model in &mut assessment.models {
            model.mechanisms = 1;
            model.governs = model.name == "pinned";
        }
        let told = undrawn(&assessment, None);
        assert_eq!(told.matches("Pinned model: unstable").count(), 1, "{told}");
        assert_eq!(told.matches("unstable").count(), 1, "{told}");
        assert!(undrawn(&assessment, Some("seam")).starts_with(" Seam model: unstable"));
        for model in &mut assessment.models {
            model.mechanisms = 0;
        }
        assert!(!undrawn(&assessment, None).contains("unstable"));
    }

    /// A picture of one model tells of that model, whatever stands first among those that count.
    #[test]
    fn of_one_model_what_is_worse_in_it_is_named() {
        let mut assessment = sample();
        assessment.worst_list[0].what = "foot".to_owned();
        for model in &mut assessment.models {
            model.buckling = None;
            model.worst_fixing = model.worst.clone();
            let rigid = model.name == "rigid";
            if let Some(fixing) = &mut model.worst_fixing {
                fixing.utilisation += if rigid { 0.5 } else { -0.5 };
            }
        }
        assessment.feet.iter_mut().for_each(|foot| foot.by_model.clear());
        let told = |model: &str| undrawn(&assessment, Some(model));
        assert!(told("rigid").starts_with(" Not drawn, and worse: fixing "), "{}", told("rigid"));
        assert_eq!(told("seam"), "");
    }

    #[test]
    fn what_is_worse_than_any_timber_is_named() {
        let mut assessment = sample();
        assessment.worst_list[0].what = "foot".to_owned();
        assessment.worst_list[0].id = "j9".to_owned();
        assert!(undrawn(&assessment, None).contains("Not drawn, and worse: foot j9"));
        assessment.worst_list[0].what = "timber".to_owned();
        assert!(!undrawn(&assessment, None).contains("Not drawn"));
    }
}
