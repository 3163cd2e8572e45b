//! The sheets of springs between joints and of turning springs on folds.

use super::PlainFrame;
use super::cells::{GROUND, Names, find, six_springs, stiffness, take_name};
use crate::frame::{Fold, FrameError, Link, NodeId};
use crate::project::csv::{Column, Row};

/// Columns of the sheet of springs.
pub(super) const COLUMNS: &[Column] = &[
    Column::required("spring"),
    Column::required("from"),
    Column::required("to"),
    Column::optional("kx"),
    Column::optional("ky"),
    Column::optional("kz"),
    Column::optional("krx"),
    Column::optional("kry"),
    Column::optional("krz"),
];

/// Reads the rows into the frame.
pub(super) fn read(rows: &[Row<'_>], plain: &mut PlainFrame, joints: &Names) {
    let mut names = Names::new();
    for (position, row) in rows.iter().enumerate() {
        let _ = take_name(row, "spring", &mut names, position);
        let ends = (find(row, "from", "joint", joints), find(row, "to", "joint", joints));
        let stiffness = six_springs(row, GROUND);
        if let ((Some(a), Some(b)), Some(stiffness)) = (ends, stiffness) {
            if a == b {
                row.fault("no-length", "to", "this spring joins a joint to itself", "name two joints");
            }
            plain.frame.links.push(Link { nodes: [NodeId(a), NodeId(b)], stiffness });
        }
    }
}

/// Columns of the sheet of folds.
pub(super) const FOLD_COLUMNS: &[Column] = &[
    Column::required("fold"),
    Column::required("from"),
    Column::required("to"),
    Column::required("left"),
    Column::required("right"),
    Column::required("stiffness"),
];

/// Reads the rows into the frame.
pub(super) fn read_folds(rows: &[Row<'_>], plain: &mut PlainFrame, joints: &Names) {
    let mut names = Names::new();
    for (position, row) in rows.iter().enumerate() {
        let _ = take_name(row, "fold", &mut names, position);
        let corners = ["from", "to", "left", "right"].map(|column| find(row, column, "joint", joints));
        let stiffness = stiffness(row, "stiffness", 0.0);
        if let ([Some(from), Some(to), Some(left), Some(right)], Some(stiffness)) = (corners, stiffness) {
            plain.frame.folds.push(Fold {
                hinge: [NodeId(from), NodeId(to)],
                wings: [vec![(NodeId(left), 1.0)], vec![(NodeId(right), 1.0)]],
                stiffness,
            });
            if let Err(FrameError::Degenerate { reason, .. }) =
                crate::frame::fold::gradient(&plain.frame, plain.frame.folds.len() - 1)
            {
                row.fault("degenerate", "left", reason, "name the far corners of the two panels");
            }
        }
    }
}
