//! What only the frame itself can tell: bars of no length, `up` along a bar, moments on hinges.

use super::PlainFrame;
use crate::frame::assemble::Assembly;
use crate::frame::{BarId, FrameError, recover};
use crate::project::csv::Row;
use crate::project::fault::Place;
use crate::project::reading::Reading;

/// Tries the frame and its cases out and lays each fault at its row.
pub(super) fn try_out(
    reading: &Reading,
    plain: &PlainFrame,
    joints: &[Row<'_>],
    bars: &[Row<'_>],
    loads: &[Row<'_>],
) {
    let mut clear = true;
    for (index, row) in bars.iter().enumerate() {
        if let Err(error) = crate::frame::bar::line(&plain.frame, BarId(index)) {
            clear = false;
            let name = row.text("bar");
            match error {
                FrameError::UpAlongBar { .. } => row.fault(
                    "up-along-bar",
                    "up_x",
                    format!("`up` of bar {name:?} runs along the bar"),
                    "give a direction across the bar, or leave the three cells empty",
                ),
                _ => row.fault(
                    "no-length",
                    "to",
                    format!("bar {name:?} has no length: its two joints are at the same place"),
                    "move one of the joints, or take the bar out",
                ),
            }
        }
    }
    if !clear {
        return;
    }
    let assembly = match Assembly::new(&plain.frame) {
        Ok(assembly) => assembly,
        Err(error) => {
            reading.fault("frame", Place::project(0..0), error.to_string(), "mend the sheets");
            return;
        }
    };
    for (name, case) in &plain.cases {
        let Err(error) = recover::prepare(&plain.frame, &assembly, case) else { continue };
        let help = "hinge fewer of its bars, or put the moment on a joint that turns";
        match error {
            FrameError::MomentOnHinge { node } => {
                let joint = &plain.joints[node.0];
                let row = loads.iter().find(|row| {
                    row.text("joint") == joint
                        && row.text("case") == name
                        && ["mx", "my", "mz"].iter().any(|m| !matches!(row.text(m), "" | "0" | "0.0"))
                });
                let message = format!(
                    "a moment is put on joint {joint:?}, which has no rotations: every bar end there is hinged"
                );
                match row.or(joints.get(node.0)) {
                    Some(row) => row.fault("moment-on-hinge", "mx", message, help),
                    None => reading.fault("moment-on-hinge", Place::project(0..0), message, help),
                }
            }
            other => reading.fault(
                "load",
                Place::project(0..0),
                format!("case {name:?}: {other}"),
                "mend the sheets",
            ),
        }
    }
}
