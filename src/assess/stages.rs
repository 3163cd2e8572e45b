//! Stages of the assembly: the part that stands, checked as a shell of its own.
//!
//! The verdict of the whole is that of the finished shell. A stage that is over its limits or unstable brings down what is being
//! built all the same, so it is told with the verdict, and in the exit code.

use std::collections::BTreeMap;

use crate::assess::findings::{Findings, find_in};
use crate::assess::results::{AnchorLine, StageResult};
use crate::assess::setup::Setup;
use crate::assess::{AssessError, anchors, notes, setup, verdict};
use crate::loads::ask::StageAsk;
use crate::loads::assembly;
use crate::model::timbers::Timber;
use crate::project::Project;
use crate::rules::ask::SideHold;
use crate::section::strip::together;
use crate::shell::timbers::strips_on_side;
use crate::shell::{MemberId, PanelId, Shell};

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
            let (standing, setup) = standing(project, &whole.setup, stage)?;
            let panels = setup.shell.panels.len();
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

/// What stands at a stage, as a project of its own, and its setup.
fn standing(project: &Project, whole: &Setup, stage: &StageAsk) -> Result<(Project, Setup), AssessError> {
    let (part, loads) = assembly::stage(&project.loads, &whole.shell, stage)?;
    let mut standing = Project { loads, ..project.clone() };
    // The cover, which holds the finished timbers, is not there yet.
    standing.rules.members.restraint.side = SideHold::None;
    let timbers = of_part(&part, whole, project.timber.composite);
    let setup = setup::finish_of(&standing, part, timbers, whole.longest_seam)?;
    Ok((standing, setup))
}

/// The timbers of a part of a shell: those that it has in the whole, and of half a seam the ripped strips of the panel that stands.
fn of_part(part: &Shell, whole: &Setup, composite: f64) -> Vec<Timber> {
    let places: BTreeMap<&str, usize> =
        whole.shell.members.iter().enumerate().map(|(m, member)| (&member.name[..], m)).collect();
    let panels: BTreeMap<&str, usize> =
        whole.shell.panels.iter().enumerate().map(|(p, panel)| (&panel.name[..], p)).collect();
    part.members
        .iter()
        .map(|member| {
            let m = places[&member.name[..]];
            let timber = whole.timbers[m];
            let count = match member.panels[..] {
                [panel] => {
                    let panel = PanelId(panels[&part.panels[panel.0].name[..]]);
                    strips_on_side(&whole.shell, MemberId(m), panel, timber.count).max(1)
                }
                _ => timber.count,
            };
            if member.panels.len() == whole.shell.members[m].panels.len() {
                return timber;
            }
            Timber { count, whole: together(&timber.strip, count, composite), parted: false, ..timber }
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
    use super::StageAsk;
    use crate::assess::results::Verdict;
    use crate::assess::{Options, assess, example};

    /// A ring alone folds on its feet: the finished dome is within, and what is being built falls in.
    #[test]
    fn a_stage_that_does_not_hold_is_told_with_the_verdict() {
        let mut project = example("apple-store-dome.toml");
        let panels = (1..=5).map(|n| format!("p{n}")).collect();
        project.loads.stages =
            vec![StageAsk { name: "lower ring stands".to_owned(), panels, person: None, wind: None }];
        let found = assess(&project, &Options { workings: 0, ..Options::default() }).unwrap();
        assert_eq!((found.finished_verdict, found.stages[0].verdict), (Verdict::Within, Verdict::Unstable));
        assert_eq!(found.verdict, Verdict::Unstable);
        assert_eq!(found.stages[0].uplift, None, "nothing was worked out of its feet");
        let told = "The stage \"lower ring stands\" of the assembly does not hold. Unstable";
        assert!(found.headline.starts_with("Within the indicative limits") && found.headline.contains(told));
        assert!(found.warnings[0].starts_with(told), "{:?}", found.warnings);
    }

    /// A part has its seams' fixings of the whole, however long its own longest seam is; and no cover holds its timbers yet.
    #[test]
    fn a_stage_has_the_fixings_of_the_whole_and_no_cover_that_holds() {
        let mut project = example("fruit-cage-barrel.toml");
        project.rules.members.restraint.side = crate::rules::ask::SideHold::BothFaces;
        let setup = crate::assess::setup::setup(&project).unwrap();
        let shell = &setup.shell;
        let length = |m: usize| shell.length(super::MemberId(m));
        let seams = (0..shell.members.len()).filter(|&m| shell.members[m].panels.len() == 2);
        let short = seams.min_by(|&a, &b| length(a).total_cmp(&length(b))).unwrap();
        assert!(length(short) < 0.9 * setup.longest_seam);
        let panels =
            shell.members[short].panels.iter().map(|panel| shell.panels[panel.0].name.clone()).collect();
        let stage = StageAsk { name: "two".to_owned(), panels, person: None, wind: None };
        let (standing, part) = super::standing(&project, &setup, &stage).unwrap();
        assert!((part.longest_seam - setup.longest_seam).abs() < 1e-12);
        assert_eq!(standing.rules.members.restraint.side, crate::rules::ask::SideHold::None);
    }

    /// Where the next panel is not there yet half a seam stands: the strip of the panel that is, ripped to its bevel and drilled, however
    /// many strips the seam is said to have and whether that is said or not.
    #[test]
    fn the_border_of_a_stage_is_one_ripped_strip_with_its_holes() {
        let worst = |group: &str| {
            let text = format!(
                "[project]\nname = \"dome\"\nbasis = \"eurocode\"\n\
                 [shell]\nform = \"dome\"\nradius = \"2 m\"\nfrequency = 2\n\
                 [timber]\ngrade = \"C24\"\nbreadth = \"47 mm\"\ndepth = \"95 mm\"\nservice_class = 2\n{group}\
                 [joints]\nseam_stiffness = \"3 kN m/rad per m\"\n\
                 [fixings]\nkind = \"bolt\"\ndiameter = \"8 mm\"\nwasher = \"30 mm\"\nper_seam = 3\nlever = \"47 mm\"\n\
                 [cover]\nweight = \"9 kg/m2\"\n[snow]\nleft_out = \"made up\"\n[wind]\nleft_out = \"made up\"\n\
                 [[stage]]\nname = \"half of it\"\npanels = [\"p1\", \"p2\", \"p3\", \"p4\", \"p5\", \"p6\", \"p7\"]\nperson = \"1 kN\"\n"
            );
            let project = crate::assess::shell_of(&text);
            let setup = crate::assess::setup::setup(&project).unwrap();
            let (standing, stage) = super::standing(&project, &setup, &project.loads.stages[0]).unwrap();
            let mut borders = 0;
            for (m, member) in stage.shell.members.iter().enumerate() {
                let in_whole =
                    setup.shell.members.iter().position(|other| other.name == member.name).unwrap();
                let (timber, whole) = (&stage.timbers[m], &setup.timbers[in_whole]);
                assert_eq!(timber.strip, whole.strip);
                let was_seam = setup.shell.members[in_whole].panels.len() == 2;
                assert_eq!(crate::assess::check::hole(&standing, &stage, m).is_some(), was_seam);
                if was_seam && member.panels.len() == 1 {
                    borders += 1;
                    let first = setup.shell.members[in_whole].panels[0];
                    let on_first =
                        setup.shell.panels[first.0].name == stage.shell.panels[member.panels[0].0].name;
                    let wanted = if on_first { whole.count.div_ceil(2) } else { whole.count / 2 };
                    assert_eq!(timber.count, wanted);
                    assert!((timber.whole.area - wanted as f64 * whole.strip.area).abs() < 1e-12);
                }
            }
            assert!(borders > 0);
            let found = assess(&project, &Options { workings: 0, ..Options::default() }).unwrap();
            (found.stages[0].verdict, found.stages[0].worst.as_ref().map(|worst| worst.utilisation))
        };
        let group = |strips: usize| {
            format!(
                "[[timber.group]]\nroles = [\"seam\"]\nbreadth = \"47 mm\"\ndepth = \"95 mm\"\nstrips = {strips}\n"
            )
        };
        assert_eq!(worst(""), worst(&group(2)));
        // Of three the panel on the left has two: what is asserted in there holds of either side.
        let _ = worst(&group(3));
    }
}
