//! The feet that `check` names, in words.

use crate::assess::results::{AnchorLine, Assessment, FootResult};
use crate::report::show::{Printer, of_its, tame};

/// The feet that are told: where anchors were entered, the one whose anchor is worked hardest, by lift, slide or what else it was
/// checked for; where none were, the one that lifts most, and the one that slides most where that is another.
pub(super) fn worst_feet(feet: &[FootResult], show: Printer) -> Vec<(&'static str, &FootResult)> {
    let checked = feet.iter().filter_map(|foot| Some((foot, foot.worst.as_ref()?.utilisation)));
    // Of equals the one named first stays.
    if let Some((worst, _)) = checked.reduce(|a, b| if b.1 > a.1 { b } else { a }) {
        return vec![("worst foot", worst)];
    }
    let lifts = feet.iter().reduce(|a, b| if b.uplift > a.uplift { b } else { a });
    let slides = feet.iter().reduce(|a, b| if b.slide > a.slide { b } else { a });
    // Feet that are alike differ by rounding alone: what prints the same is no other foot.
    let other = slides.filter(|s| lifts.is_some_and(|l| show.force(l.slide) != show.force(s.slide)));
    lifts.map(|foot| ("worst foot", foot)).into_iter().chain(other.map(|foot| ("and foot", foot))).collect()
}

/// What a foot is to hold, in a line.
pub(super) fn foot_words(foot: &FootResult, show: Printer) -> String {
    let share = |value: Option<f64>| {
        value.map_or_else(
            || " (no anchor strength given)".to_owned(),
            |u| format!(" ({})", of_its(u, "anchor")),
        )
    };
    let lift = if foot.uplift > 0.0 {
        format!("lifts {}{}", show.force(foot.uplift), share(foot.uplift_utilisation))
    } else {
        "does not lift".to_owned()
    };
    let turned = if foot.moment > 0.0 {
        format!(
            ", is held against turning by {} {}{}",
            show.moment_bare(foot.moment),
            show.moment_unit(),
            share(foot.moment_utilisation)
        )
    } else {
        String::new()
    };
    let checked = foot
        .worst
        .as_ref()
        .map_or_else(String::new, |worst| format!(" (at {})", of_its(worst.utilisation, "limit")));
    format!(
        "{}{checked} {lift}, slides {}{}, presses {}{turned}",
        tame(&foot.joint, 24),
        show.force(foot.slide),
        foot.slide_utilisation.map_or_else(String::new, |_| share(foot.slide_utilisation)),
        show.force(foot.down)
    )
}

/// The greatest lift and the greatest level force over all feet, each with the joint that it is at, as the anchor schedule of the notes
/// has them: the foot whose anchor is worked hardest is not always either. None where nothing lifts or pushes.
pub(super) fn greatest_words(a: &Assessment, show: Printer) -> Option<String> {
    let lines = &a.anchors;
    let of = |value: fn(&AnchorLine) -> f64| {
        let most = lines.iter().reduce(|a, b| if value(b) > value(a) { b } else { a })?;
        (value(most) > 0.0).then(|| format!("{} ({})", show.force(value(most)), tame(&most.joint, 24)))
    };
    let told: Vec<String> = [("lift up to", of(|line| line.up)), ("level up to", of(|line| line.level))]
        .into_iter()
        .filter_map(|(what, most)| most.map(|most| format!("{what} {most}")))
        .collect();
    (!told.is_empty()).then(|| format!("{}; buy anchors by the schedule in the notes", told.join(", ")))
}

#[cfg(test)]
mod tests {
    use crate::assess::results::Assessment;
    use crate::report::sample::sample;
    use crate::report::text::text;

    /// The greatest lift of all is told, whichever foot is the worst.
    #[test]
    fn the_greatest_of_all_feet_is_told() {
        let mut assessment = sample();
        let line = |joint: &str, up: f64, level: f64| crate::assess::results::AnchorLine {
            joint: joint.to_owned(),
            state: "door shut".to_owned(),
            up,
            down: 0.0,
            out: 0.0,
            inward: 0.0,
            along: 0.0,
            moment: 0.0,
            level,
        };
        assessment.anchors = vec![line("j1", 1810.0, 900.0), line("j2", 2120.0, 0.0)];
        let told = |a: &Assessment| text(a, false).split_whitespace().collect::<Vec<_>>().join(" ");
        let said = told(&assessment);
        assert!(
            said.contains("any foot lift up to 2.12 kN (j2), level up to 0.9 kN (j1); buy anchors by"),
            "{said}"
        );
        assessment.anchors = vec![line("j1", 0.0, 0.0)];
        assert!(!told(&assessment).contains("any foot"));
    }

    #[test]
    fn the_foot_whose_anchor_is_worked_hardest_is_told() {
        let mut assessment = sample();
        let told = |a: &Assessment| text(a, false).split_whitespace().collect::<Vec<_>>().join(" ");
        // Nothing entered: what lifts most, and what slides most where that is another.
        let [first, second] = [0, 1].map(|n: usize| assessment.feet[n].joint.clone());
        assert!(told(&assessment).contains(&format!("worst foot {first} lifts 2.5 kN")));
        assert!(!text(&assessment, false).contains("and foot"));
        assessment.feet[1].slide = 79_300.0;
        let said = told(&assessment);
        assert!(said.contains(&format!("worst foot {first} lifts 2.5 kN")), "{said}");
        assert!(
            said.contains(&format!("and foot {second} lifts 2.41 kN")) && said.contains("slides 79.3 kN"),
            "{said}"
        );
        // Entered: the one that slides, though another lifts more.
        let worst = |utilisation: f64| {
            Some(crate::assess::results::WorstAt {
                utilisation,
                rule: "anchor pulled up and sideways together".to_owned(),
                clause: "own".to_owned(),
                combination: "0.9 weight + 1.5 wind".to_owned(),
                model: "seam".to_owned(),
                member: None,
                at: None,
            })
        };
        assessment.feet[0].worst = worst(1.25);
        assessment.feet[1].worst = worst(4.14);
        let said = told(&assessment);
        assert!(
            said.contains(&format!("worst foot {second} (at 4.14 of its limit) lifts 2.41 kN")),
            "{said}"
        );
        assert!(!said.contains("and foot"), "{said}");
    }
}
