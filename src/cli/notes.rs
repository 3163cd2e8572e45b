//! `notes`: what a builder takes to the building-control officer.

use super::args::Notes;
use super::check::{exit_of, shell_project};
use super::output::{self, Output, complain};
use super::progress::Doing;
use super::ranges::Settled;
use crate::assess::{self, Options};
use crate::error::{Error, Exit};
use crate::report::{html, markdown, pdf};
use crate::study;

/// The ending of an output's name, in small letters, where it is one of those known.
pub(crate) fn ending(path: &std::path::Path, known: &[&'static str]) -> Result<&'static str, Error> {
    let ending = path.extension().map(|ending| ending.to_string_lossy().to_lowercase()).unwrap_or_default();
    known.iter().find(|name| **name == ending).copied().ok_or_else(|| {
        let names: Vec<String> = known.iter().map(|name| format!(".{name}")).collect();
        Error::Asked {
            what: format!("{}: the ending says what is written, and this one is not known", path.display()),
            help: format!("end it in one of {}", names.join(", ")),
        }
    })
}

pub(crate) fn run(notes: &Notes) -> Result<Exit, Error> {
    let format = ending(&notes.output, &["html", "md", "pdf"])?;
    let output = Output::begin(&notes.output)?;
    let Settled { project, ranges } = shell_project(&notes.file, "notes", |_| Vec::new())?;
    let options = Options { workings: 3, ..Options::default() };
    let failed = |error| Error::assess(&notes.file, &project, error);
    let doing = Doing::new("working out the shell");
    let found = assess::find(&project).map_err(failed)?;
    let mut assessment = assess::fill::results(&project, &found, &options).map_err(failed)?.over(ranges);
    doing.now("trying softer seams and more load for the notes");
    study::for_notes(&project, &found, &mut assessment).map_err(failed)?;
    doing.now("drawing");
    let bytes = match format {
        "html" => html::to_html(&assessment).into_bytes(),
        "md" => markdown::to_markdown(&assessment).into_bytes(),
        _ => pdf::to_pdf(&assessment),
    };
    drop(doing);
    output::warn(&assessment.warnings);
    output.finish(&bytes)?;
    complain(&format!("wrote {}", notes.output.display()));
    Ok(exit_of(assessment.verdict))
}
