//! What a picture of how hard the timbers are worked cannot show, in words: a calm picture beside a verdict of
//! "over" or "unstable" would mislead.

use crate::assess::results::Assessment;
use crate::report::show::{capital, tame, utilisation};

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
    if let Some(worst) = assessment.worst_list.first().filter(|item| item.what != "timber") {
        let what = match worst.what.as_str() {
            "shell" => "the whole shell".to_owned(),
            what => format!("{what} {}", tame(&worst.id, 20)),
        };
        said.push_str(&format!(" Not drawn, and worse: {what}, {}.", utilisation(worst.utilisation)));
    }
    said
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
