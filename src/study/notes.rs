//! What the notes print of the studies: the curve of the seams, the reserves, the anchors.

use crate::assess::AssessError;
use crate::assess::feet;
use crate::assess::findings::Findings;
use crate::assess::results::{AnchorLine, Assessment, Reserve, SeamPoint};
use crate::loads::LimitState;
use crate::project::Project;
use crate::study::reserve::{self, Standing};
use crate::study::seams;
use crate::study::watch::Quiet;

/// Points of the curve: a tenth, through 1, to ten times.
const POINTS: usize = 9;
/// How close the reserves are worked out, as a share: the notes print two figures.
const CLOSE: f64 = 2e-3;

/// A shell with more members than this is not solved again and again for its notes: the curve and the
/// reserves of a dome of 16 divisions take minutes. The notes say that the commands work them out.
const MOST_MEMBERS: usize = 1200;

/// Fills in the curve of the seams, the reserves of the loads, and what each anchor is to hold.
///
/// Where no stiffness of the seams is known, or the shell is very large, the curve stays empty, and the
/// notes say why.
///
/// # Errors
/// Any station's error.
pub fn for_notes(
    project: &Project,
    found: &Findings,
    assessment: &mut Assessment,
) -> Result<(), AssessError> {
    assessment.anchors = anchors(found);
    if assessment.members.len() > MOST_MEMBERS {
        return Ok(());
    }
    let (curve, reserves) = rayon::join(
        || found.setup.stiffness.seam.gt(&0.0).then(|| seams::curve(project, POINTS)).transpose(),
        || reserve::loads_only(project, CLOSE, &Quiet),
    );
    if let Some(points) = curve? {
        assessment.seam_curve = points
            .iter()
            .filter_map(|p| {
                let model = p.row.models.first()?;
                Some(SeamPoint {
                    times: p.times?,
                    stiffness: p.stiffness,
                    utilisation: model.timber,
                    buckling: model.buckling,
                    gives_way: p.row.gives_way_as_followed(),
                    sag: model.sag,
                })
            })
            .collect();
    }
    assessment.reserves = reserves?
        .loads
        .into_iter()
        .map(|r| Reserve {
            limit: r.words(),
            gives: r.gives(),
            factor: r.factor.filter(|_| r.standing != Standing::NoneFound),
            entered: r.entered,
            entered_speed: r.entered_speed,
            standing: r.standing,
            tried: r.tried,
            load: r.name,
        })
        .collect();
    Ok(())
}

/// What each anchor is to hold with the door shut, and with it open where that was looked at; a shell that is open
/// anyway has the one state "open".
#[must_use]
pub fn anchors(found: &Findings) -> Vec<AnchorLine> {
    let setup = &found.setup;
    let is_open: Vec<bool> = setup
        .combinations
        .iter()
        .map(|c| c.terms.iter().any(|(case, _)| setup.cases[case.0].name.contains("door open")))
        .collect();
    let mut out = Vec::new();
    // A shell that the wind blows through has no door to shut.
    let blown_through = setup.cases.iter().any(|case| case.name.ends_with(", open"));
    let usual = if blown_through { "open" } else { "door shut" };
    for (state, open) in [(usual, false), ("door open", true)] {
        if open && !is_open.contains(&true) {
            continue;
        }
        let mut feet = feet::feet(&setup.shell);
        let mut any = false;
        for &k in &found.governing {
            for (i, taken) in found.models[k].states.iter().enumerate() {
                let limit = setup.combinations[i].state;
                if is_open[i] == open && !matches!(limit, LimitState::Service | LimitState::LongTerm) {
                    for way in taken.ways() {
                        feet::take(&mut feet, &found.models[k].run.reactions(way), limit, i);
                    }
                    any = true;
                }
            }
        }
        out.extend(feet.iter().filter(|_| any).map(|foot| AnchorLine {
            joint: setup.shell.joints[foot.joint.0].name.clone(),
            state: state.to_owned(),
            up: foot.uplift.value,
            down: foot.down.value,
            out: foot.outward.value,
            inward: foot.inward.value,
            along: foot.along.value,
            moment: foot.moment.value,
            level: foot.slide.value,
        }));
    }
    // Both states of a foot stand together.
    let place = |line: &AnchorLine| setup.shell.joints.iter().position(|j| j.name == line.joint);
    out.sort_by_key(place);
    out
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
            let anchors = anchors(&found);
            let feet = found.setup.shell.joints.iter().filter(|j| anchors.iter().any(|a| a.joint == j.name));
            assert_eq!(anchors.len(), states.len() * feet.count(), "{file}");
            for (line, state) in anchors.iter().zip(states.iter().cycle()) {
                assert_eq!(line.state, *state, "{file}");
            }
        }
    }
}
