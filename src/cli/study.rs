//! `compare`, `span`, `reserve`, `seams`: many assessments of one project.

use super::args::{Reserve, Study};
use super::check::shell_project;
use super::output::Output;
use crate::error::{Error, Exit};

pub(crate) fn compare(study: &Study) -> Result<Exit, Error> {
    not_yet(study, "compare", "strutwise compare")
}

pub(crate) fn span(study: &Study) -> Result<Exit, Error> {
    not_yet(study, "span", "strutwise span")
}

pub(crate) fn seams(study: &Study) -> Result<Exit, Error> {
    not_yet(study, "seams", "strutwise seams")
}

pub(crate) fn reserve(reserve: &Reserve) -> Result<Exit, Error> {
    let _project = shell_project(&reserve.file, "reserve")?;
    Err(Error::NotYet { what: "strutwise reserve" })
}

fn not_yet(study: &Study, command: &'static str, what: &'static str) -> Result<Exit, Error> {
    let _project = shell_project(&study.file, command)?;
    let _csv = study.csv.as_deref().map(Output::begin).transpose()?;
    Err(Error::NotYet { what })
}
