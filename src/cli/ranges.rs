//! Projects whose inputs are ranges: each command works at the worst point of them and says which.

use std::path::Path;

use super::output::complain;
use super::progress::Progress;
use crate::assess::ranged::Ranges;
use crate::error::Error;
use crate::project::{Project, Ranged};
use crate::study::ranges;

/// A project with a value for every input.
#[derive(Debug)]
pub(crate) struct Settled {
    pub(crate) project: Box<Project>,
    /// Where inputs are ranges: what was found of them.
    pub(crate) ranges: Option<Ranges>,
}

impl Settled {
    /// A project without ranges.
    pub(crate) fn plain(project: Box<Project>) -> Self {
        Self { project, ranges: None }
    }

    /// What a picture calls the project, where no more than its name has room.
    pub(crate) fn name(&self) -> String {
        let of = if self.ranges.is_some() { ", worst of its ranges" } else { "" };
        format!("{}{of}", self.project.name)
    }

    /// The point of the ranges that it stands at, in words.
    pub(crate) fn point(&self) -> Option<String> {
        self.ranges.as_ref().map(|ranges| ranges.worst_words.clone())
    }
}

/// Tries the corners of the ranges and takes the worst point; a stopped run is an answer of its own.
pub(crate) fn settle(file: &Path, ranged: &Ranged) -> Result<Settled, Error> {
    let progress = Progress::new();
    let found = ranges::worst(ranged, &progress);
    progress.done();
    let worst = found.map_err(|error| Error::ranges(file, error))?;
    if worst.ranges.left_out > 0 {
        complain(&format!("stopped: {} points of the ranges were not tried", worst.ranges.left_out));
    }
    Ok(Settled { project: Box::new(worst.project), ranges: Some(worst.ranges) })
}

/// As [`settle`] for what comes after: nothing is made of ranges that were not tried to the end.
pub(crate) fn settle_whole(file: &Path, ranged: &Ranged) -> Result<Settled, Error> {
    let settled = settle(file, ranged)?;
    match &settled.ranges {
        Some(ranges) if ranges.left_out > 0 => Err(Error::Stopped { file: file.to_path_buf() }),
        Some(ranges) => {
            let tried = ranges.corners.len();
            let point = &ranges.worst_words;
            complain(&format!(
                "inputs are ranges: at the worst point of their {tried} corners and within, {point}"
            ));
            Ok(settled)
        }
        None => Ok(settled),
    }
}
