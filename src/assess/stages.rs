//! Stages of the assembly: the part that stands, checked as a shell of its own.

use crate::assess::findings::{Depth, Findings, find_in};
use crate::assess::results::StageResult;
use crate::assess::{AssessError, notes, setup};
use crate::loads::assembly;
use crate::project::Project;

/// Every stage that the project asks for.
pub(super) fn results(project: &Project, whole: &Findings) -> Result<Vec<StageResult>, AssessError> {
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
            let found = find_in(&standing, setup, Depth::CHECK)?;
            let worst = found.worst_list().into_iter().next();
            let uplift = found.feet().first().map_or(0.0, |foot| foot.uplift);
            Ok(StageResult {
                name: stage.name.clone(),
                panels,
                verdict: found.verdict,
                headline: notes::headline(&standing, &found, worst.as_ref()),
                worst,
                uplift,
            })
        })
        .collect()
}
