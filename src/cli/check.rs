//! `check` and `explain`.

use std::path::Path;

use super::args::{Check, Explain};
use super::output::{self, Folder};
use crate::error::{Error, Exit};
use crate::project::{self, Asked, Project};

/// Reads a project of timber; says its warnings to people.
pub(crate) fn shell_project(file: &Path, command: &'static str) -> Result<Box<Project>, Error> {
    match project::read(file)? {
        Asked::Shell(project) => Ok(project),
        Asked::Frame(_) => Err(Error::Asked {
            what: format!("{}: form = \"frame\" has no timbers for strutwise {command}", file.display()),
            help: "strutwise check reads it".to_owned(),
        }),
    }
}

pub(crate) fn check(check: &Check) -> Result<Exit, Error> {
    let asked = project::read(&check.file)?;
    let _folder = check.csv.as_deref().map(Folder::look_at).transpose()?;
    match asked {
        Asked::Shell(project) => {
            output::warn(&project.warnings);
            Err(Error::NotYet { what: "the check of a shell" })
        }
        Asked::Frame(_) => Err(Error::NotYet { what: "the check of a plain frame" }),
    }
}

pub(crate) fn explain(explain: &Explain) -> Result<Exit, Error> {
    let _project = shell_project(&explain.file, "explain")?;
    let _ = (&explain.member, &explain.combination);
    Err(Error::NotYet { what: "strutwise explain" })
}
