//! `notes`: what a builder takes to the building-control officer.

use super::args::Notes;
use super::check::shell_project;
use super::output::Output;
use crate::error::{Error, Exit};

/// The ending of an output's name, in small letters, where it is one of those known.
pub(crate) fn ending(path: &std::path::Path, known: &[&'static str]) -> Result<&'static str, Error> {
    let ending = path.extension().map(|ending| ending.to_string_lossy().to_lowercase()).unwrap_or_default();
    known.iter().find(|name| **name == ending).copied().ok_or_else(|| {
        let names: Vec<String> = known.iter().map(|name| format!(".{name}")).collect();
        Error::Asked {
            what: format!(
                "-o {}: the ending says what is written, and this one is not known",
                path.display()
            ),
            help: format!("end it in one of {}", names.join(", ")),
        }
    })
}

pub(crate) fn run(notes: &Notes) -> Result<Exit, Error> {
    let _format = ending(&notes.output, &["html", "md", "pdf"])?;
    let _project = shell_project(&notes.file, "notes")?;
    let _output = Output::begin(&notes.output)?;
    Err(Error::NotYet { what: "strutwise notes" })
}
