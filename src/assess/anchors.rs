//! The anchor schedule: what each anchor is to hold, in each state of the building.

use crate::assess::feet::{self, FootPeaks};
use crate::assess::findings::{Findings, ModelFindings};
use crate::assess::results::{AnchorLine, Verdict};
use crate::loads::{CaseId, Inlet};

/// What each anchor is to hold with the door shut, and with it open where that was looked at; a shell that is open
/// anyway has the one state "open".
///
/// An anchor is bought once, and nobody knows which joint model the finished shell is nearest to: each figure is the greatest of
/// all models that were looked at. One that does not carry its loads, and is not the verdict's, says nothing of forces; those of the
/// verdict's models are in it whether they carry their loads or not, so that it never has less than the table of the feet.
#[must_use]
pub fn schedule(found: &Findings) -> Vec<AnchorLine> {
    let setup = &found.setup;
    let by_door = |case: &CaseId| setup.cases[case.0].inlet == Inlet::Door;
    let is_open: Vec<bool> =
        setup.combinations.iter().map(|c| c.terms.iter().any(|(case, _)| by_door(case))).collect();
    // A shell that the wind blows through has no door to shut.
    let blown_through = setup.cases.iter().any(|case| case.inlet == Inlet::Everywhere);
    let usual = if blown_through { "open" } else { "door shut" };
    let mut out = lines(found, usual, |i| !is_open[i]);
    if is_open.contains(&true) {
        out.extend(lines(found, "door open", |i| is_open[i]));
    }
    by_foot(found, out)
}

/// The same lines with all states of a foot together, in plan order.
fn by_foot(found: &Findings, mut lines: Vec<AnchorLine>) -> Vec<AnchorLine> {
    lines.sort_by_key(|line| found.setup.shell.joints.iter().position(|joint| joint.name == line.joint));
    lines
}

/// The schedule of the finished shell with those of the stages of its assembly, all of a foot together.
pub(super) fn with_stages(found: &Findings, of_stages: Vec<Vec<AnchorLine>>) -> Vec<AnchorLine> {
    by_foot(found, [schedule(found), of_stages.concat()].concat())
}

/// What each anchor is to hold while a stage of the assembly stands; empty where it folds.
pub(super) fn of_stage(name: &str, found: &Findings) -> Vec<AnchorLine> {
    lines(found, &format!("stage: {name}"), |_| true)
}

/// The greatest of each figure over several schedules of the same feet and states; empty where they are not the same. An empty
/// one, of a shell that folds, counts for nothing.
#[must_use]
pub fn greatest<'a>(all: impl Iterator<Item = &'a [AnchorLine]>) -> Vec<AnchorLine> {
    let mut all = all.filter(|lines| !lines.is_empty());
    let mut out = all.next().unwrap_or_default().to_vec();
    for other in all {
        if out.len() != other.len() || out.iter().zip(other).any(|(a, b)| !a.is_of(b)) {
            return Vec::new();
        }
        for (line, other) in out.iter_mut().zip(other) {
            line.raise_to(other);
        }
    }
    out
}

/// One line a foot for the combinations that `counts` keeps, those of service apart.
fn lines(found: &Findings, state: &str, counts: impl Fn(usize) -> bool) -> Vec<AnchorLine> {
    let setup = &found.setup;
    let mut feet = feet::feet(&setup.shell);
    let mut any = false;
    for model in believed(found) {
        for (i, taken) in model.states.iter().enumerate() {
            let limit = setup.combinations[i].state;
            if counts(i) && !limit.is_service() {
                for way in taken.ways() {
                    feet::take(&mut feet, &model.run.reactions(way), limit, i);
                    any = true;
                }
            }
        }
    }
    let line = |foot: &FootPeaks| AnchorLine {
        joint: setup.shell.joints[foot.joint.0].name.clone(),
        state: state.to_owned(),
        up: foot.uplift.value,
        down: foot.down.value,
        out: foot.outward.value,
        inward: foot.inward.value,
        along: foot.along.value,
        moment: foot.moment.value,
        level: foot.slide.value,
    };
    feet.iter().filter(|_| any).map(line).collect()
}

/// Models whose forces say something: those of the verdict, and all others that carry their loads.
fn believed(found: &Findings) -> impl Iterator<Item = &ModelFindings> {
    let carries = |k: usize, model: &ModelFindings| {
        !model.run.is_mechanism() && (found.governing.contains(&k) || model.verdict != Verdict::Unstable)
    };
    found.models.iter().enumerate().filter(move |(k, model)| carries(*k, model)).map(|(_, model)| model)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::assess::findings::find;
    use crate::project::Asked;

    #[test]
    fn a_shell_that_is_open_anyway_has_no_door_to_shut() {
        let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
        for (file, states) in [
            ("examples/fruit-cage-barrel.toml", &["open"][..]),
            ("examples/bee-shelter-mesh.toml", &["door shut", "door open"]),
        ] {
            let Asked::Shell(project) = crate::project::read(&root.join(file)).unwrap() else {
                panic!("{file}")
            };
            let found = find(&project).unwrap();
            let anchors = schedule(&found);
            let feet = found.setup.shell.joints.iter().filter(|j| anchors.iter().any(|a| a.joint == j.name));
            assert_eq!(anchors.len(), states.len() * feet.count(), "{file}");
            for (line, state) in anchors.iter().zip(states.iter().cycle()) {
                assert_eq!(line.state, *state, "{file}");
            }
        }
    }

    /// No model that carries its loads asks more of a foot than the schedule has, and a stage has its lines beside the finished shell's.
    #[test]
    fn the_schedule_has_the_greatest_of_all_models_and_the_stages() {
        let mut project = crate::assess::example("wider-longer-tunnel.toml");
        let panels = (1..=40).map(|n| format!("p{n}")).collect();
        let stage =
            crate::loads::ask::StageAsk { name: "half".to_owned(), panels, person: Some(800.0), wind: None };
        project.loads.stages = vec![stage];
        let found = find(&project).unwrap();
        let alone = schedule(&found);
        let mut more = 0;
        for (k, model) in found.models.iter().enumerate() {
            if model.verdict == Verdict::Unstable && !found.governing.contains(&k) {
                continue;
            }
            for foot in &model.feet {
                let name = &found.setup.shell.joints[foot.joint.0].name;
                let lines = alone.iter().filter(|line| line.joint == *name);
                let told = lines.map(|line| line.up).fold(0.0, f64::max);
                assert!(told >= foot.uplift.value * (1.0 - 1e-12), "{name}: {told} {:?}", foot.uplift);
                more += usize::from(!found.governing.contains(&k) && told > 1.0);
            }
        }
        assert!(more > 0, "another model than the verdict's was looked at");
        let stages = crate::assess::stages::results(&project, &found).unwrap();
        let of_stages: Vec<_> = stages.into_iter().map(|(_, lines)| lines).collect();
        let count = of_stages[0].len();
        let all = with_stages(&found, of_stages);
        assert!(count > 0 && all.len() == alone.len() + count);
        assert!(all.iter().any(|line| line.state == "stage: half"));
    }

    #[test]
    fn over_several_points_each_figure_is_the_greatest() {
        let line = |joint: &str, up, down| AnchorLine {
            joint: joint.to_owned(),
            state: "open".to_owned(),
            up,
            down,
            out: 0.0,
            inward: 0.0,
            along: 0.0,
            moment: 0.0,
            level: 0.0,
        };
        let (heavy, light) = ([line("j1", 40.0, 900.0)], [line("j1", 540.0, 300.0)]);
        assert_eq!(greatest([&heavy[..], &[], &light[..]].into_iter()), [line("j1", 540.0, 900.0)]);
        // Other feet are not told apart by their names.
        assert_eq!(greatest([&heavy[..], &[line("j2", 1.0, 1.0)][..]].into_iter()), []);
    }
}
