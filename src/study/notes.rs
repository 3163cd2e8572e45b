//! What the notes print of the studies: the curve of the seams and the reserves.

use crate::assess::AssessError;
use crate::assess::findings::Findings;
use crate::assess::results::{Assessment, Reserve, SeamPoint};
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
pub const MOST_MEMBERS: usize = 1200;

/// Fills in the curve of the seams and the reserves of the loads.
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
