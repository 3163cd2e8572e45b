//! What a project leaves out, in sentences: loads that the user left out, and parts of which no strength was entered. The one home of
//! these words: the notes say them beside the verdict, and every study beside its title.

use crate::loads::ask::{Given, LoadsAsk, WindStrength};
use crate::project::Project;
use crate::rules::ask::FeetAsk;

/// Of fixings that were not entered.
pub(super) const NO_FIXINGS: &str = "The fixings were not entered, and nothing is said of them.";

/// Everything of the kind.
#[must_use]
pub fn of(project: &Project) -> Vec<String> {
    let mut out = loads(project);
    if project.rules.fixings.is_none() {
        out.push(NO_FIXINGS.to_owned());
    }
    out.extend(anchors(&project.rules.feet));
    out
}

/// As [`of`], and what studies do not look at.
#[must_use]
pub fn of_study(project: &Project) -> Vec<String> {
    let mut out = of(project);
    out.extend(as_nothing(&project.loads).into_iter().map(|what| {
        format!("The {what} is entered as 0: nothing of it acts, and no study goes further with it.")
    }));
    if !project.loads.stages.is_empty() {
        out.push(
            "The stages of the assembly ([[stage]]) are not looked at here; strutwise check does.".to_owned(),
        );
    }
    out
}

/// The loads alone, each with the user's reason.
pub(super) fn loads(project: &Project) -> Vec<String> {
    fn why<T>(given: &Given<T>) -> Option<&str> {
        match given {
            Given::Value(_) => None,
            Given::LeftOut(why) => Some(why.trim()),
        }
    }
    let loads = &project.loads;
    [("cover", why(&loads.cover)), ("snow", why(&loads.snow)), ("wind", why(&loads.wind))]
        .into_iter()
        .filter_map(|(what, why)| {
            let why = why?;
            let end = if why.ends_with(['.', '!', '?']) { "" } else { "." };
            Some(format!("The {what} is left out, and nothing is said of it. Reason given: {why}{end}"))
        })
        .collect()
}

/// The loads that were entered, with nothing in them.
fn as_nothing(loads: &LoadsAsk) -> Vec<&'static str> {
    let none = |value: f64| value <= 0.0;
    let of = [
        (
            "cover",
            matches!(&loads.cover, Given::Value(cover) if none(cover.weight) && cover.leaf.is_none_or(none)),
        ),
        (
            "snow",
            matches!(&loads.snow, Given::Value(snow) if none(snow.ground) && snow.valley.is_none_or(none)),
        ),
        (
            "wind",
            matches!(&loads.wind, Given::Value(wind) if match &wind.strength {
                WindStrength::Pressure(pressure) => none(*pressure),
                WindStrength::Speed(ask) => none(ask.speed),
            }),
        ),
    ];
    of.into_iter().filter(|(_, is)| *is).map(|(what, _)| what).collect()
}

/// What anchors hold, as far as it was not entered.
fn anchors(feet: &FeetAsk) -> Option<String> {
    let (what, keys) = match (feet.checks_lift(), feet.checks_slide()) {
        (false, false) => ("lift and sliding", "uplift, slide"),
        (false, true) => ("lift", "uplift"),
        (true, false) => ("sliding", "slide"),
        (true, true) => return None,
    };
    Some(format!(
        "What anchors hold against {what} was not entered ([feet] {keys}), and nothing is said of whether they do."
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::assess::example;
    use crate::loads::ask::StageAsk;

    /// A project that enters everything leaves nothing out; each thing taken from it is said, and once.
    #[test]
    fn each_thing_left_out_is_said_once() {
        let mut project = example("propagation-tunnel.toml");
        assert_eq!(of(&project), Vec::<String>::new());
        project.loads.cover = Given::LeftOut("none yet".to_owned());
        project.loads.snow = Given::LeftOut(" it never snows. ".to_owned());
        project.loads.wind = Given::LeftOut("inside a barn".to_owned());
        project.rules.fixings = None;
        assert_eq!(
            of(&project),
            [
                "The cover is left out, and nothing is said of it. Reason given: none yet.",
                "The snow is left out, and nothing is said of it. Reason given: it never snows.",
                "The wind is left out, and nothing is said of it. Reason given: inside a barn.",
                NO_FIXINGS,
            ]
        );
        let feet = &mut project.rules.feet;
        (feet.uplift, feet.pad_weight, feet.slide, feet.friction) = (None, None, None, None);
        assert!(of(&project)[4].contains("against lift and sliding was not entered ([feet] uplift, slide)"));
        project.rules.feet.pad_weight = Some(500.0);
        assert!(of(&project)[4].contains("against sliding was not entered ([feet] slide)"));
        (project.rules.feet.pad_weight, project.rules.feet.friction) = (None, Some(0.4));
        assert!(of(&project)[4].contains("against lift was not entered ([feet] uplift)"));
        assert_eq!(of(&project).len(), 5);
    }

    /// Studies leave the stages to the check.
    #[test]
    fn studies_say_that_stages_are_not_in_them() {
        let mut project = example("propagation-tunnel.toml");
        project.loads.stages.clear();
        assert_eq!(of_study(&project), of(&project));
        let stage =
            StageAsk { name: "half".to_owned(), panels: vec!["p1".to_owned()], person: None, wind: None };
        project.loads.stages = vec![stage];
        assert_eq!(of(&project), Vec::<String>::new());
        let Given::Value(snow) = &mut project.loads.snow else { panic!("the example has snow") };
        snow.ground = 0.0;
        assert!(of_study(&project)[0].starts_with("The snow is entered as 0"));
        assert!(of_study(&project)[1].starts_with("The stages of the assembly ([[stage]]) are not"));
    }
}
