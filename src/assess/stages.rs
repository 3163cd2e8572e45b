//! Stages of the assembly: the part that stands, checked as a shell of its own.
//!
//! The verdict of the whole is that of the finished shell. A stage that is over its limits or unstable brings down what is being
//! built all the same, so it is told with the verdict, and in the exit code.

use crate::assess::findings::{Findings, find_in};
use crate::assess::results::{AnchorLine, StageResult};
use crate::assess::{AssessError, anchors, notes, setup, verdict};
use crate::loads::assembly;
use crate::project::Project;

/// Every stage that the project asks for, and what each anchor is to hold while it stands.
pub(super) fn results(
    project: &Project,
    whole: &Findings,
) -> Result<Vec<(StageResult, Vec<AnchorLine>)>, AssessError> {
    project
        .loads
        .stages
        .iter()
        .map(|stage| {
            let (part, loads) = assembly::stage(&project.loads, &whole.setup.shell, stage)?;
            let panels = part.panels.len();
            let standing = Project { loads, ..project.clone() };
            let setup = setup::finish(&standing, part)?;
            // As deep as the check of the whole: its worst thing is printed beside its verdict.
            let found = find_in(&standing, setup)?;
            let worst = found.worst_list().into_iter().next();
            let uplift = found.feet().first().map(|foot| foot.uplift);
            let result = StageResult {
                name: stage.name.clone(),
                panels,
                verdict: found.verdict,
                headline: notes::headline(&standing, &found, worst.as_ref()).whole(),
                worst,
                uplift,
            };
            Ok((result, anchors::of_stage(&stage.name, &found)))
        })
        .collect()
}

/// What is told with the verdict of the finished shell: every stage that is over its limits or unstable, in a sentence or two.
#[must_use]
pub fn told(stages: &[StageResult]) -> Vec<String> {
    let failing = stages.iter().filter(|stage| !verdict::holds(stage.verdict));
    failing
        .map(|stage| {
            format!("The stage \"{}\" of the assembly does not hold. {}", stage.name, stage.headline)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use crate::assess::results::Verdict;
    use crate::assess::{Options, assess, example};
    use crate::loads::ask::StageAsk;

    /// A ring alone folds on its feet: the finished dome is within, and what is being built falls in.
    #[test]
    fn a_stage_that_does_not_hold_is_told_with_the_verdict() {
        let mut project = example("apple-store-dome.toml");
        let panels = (1..=5).map(|n| format!("p{n}")).collect();
        project.loads.stages =
            vec![StageAsk { name: "lower ring stands".to_owned(), panels, person: None, wind: None }];
        let found = assess(&project, &Options { workings: 0, ..Options::default() }).unwrap();
        assert_eq!((found.verdict, found.stages[0].verdict), (Verdict::Within, Verdict::Unstable));
        assert_eq!(found.verdict_with_stages(), Verdict::Unstable);
        assert_eq!(found.stages[0].uplift, None, "nothing was worked out of its feet");
        let told = "The stage \"lower ring stands\" of the assembly does not hold. Unstable";
        assert!(found.headline.starts_with("Within the indicative limits") && found.headline.contains(told));
        assert!(found.warnings[0].starts_with(told), "{:?}", found.warnings);
    }
}
