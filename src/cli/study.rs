//! `compare`, `span`, `reserve`, `seams`: many assessments of one project.

use std::path::Path;

use serde::Serialize;

use super::args::{Reserve, Study};
use super::check::{exit_of, shell_project};
use super::notes::ending;
use super::output::{self, Output, complain};
use super::progress::Progress;
use crate::assess::AssessError;
use crate::error::{Error, Exit};
use crate::project::Project;
use crate::project::schema_study::Vary;
use crate::report::picture::{Picture, png, svg};
use crate::report::study as report;
use crate::shell::ask::OpeningForm;
use crate::study::compare::Candidate;
use crate::study::loss::{self, Losses};
use crate::study::reserve::{self, Reserves};
use crate::study::row::Row;
use crate::study::sensitivity::{self, Sensitivity};
use crate::study::{Title, compare as timbers, seams as stiffness, span as sizes};

/// How close reserves are worked out, as a share of the factor.
const CLOSE: f64 = 1e-6;
/// Points of the curve of the seams.
const POINTS: usize = 17;
/// Pixels to a unit of a picture.
const PIXELS: f64 = 2.0;

/// What a sweep of sizes does with a door.
const DOOR_STAYS: &str = "A door keeps its size while the shell is swept: at each size it takes other panels, and more or fewer of them, so that \
                          results jump from one size to the next.";

/// What a study command begins: its project, its files, its progress.
struct Begun<'a> {
    study: &'a Study,
    project: Box<Project>,
    point: Option<String>,
    /// What a picture calls it.
    name: String,
    csv: Option<Output>,
    picture: Option<(Output, &'static str)>,
    progress: Progress,
}

fn begin<'a>(
    study: &'a Study,
    command: &'static str,
    sets: impl FnOnce(&Project) -> Vec<&'static str>,
) -> Result<Begun<'a>, Error> {
    let picture_format = study.picture.as_deref().map(picture_ending).transpose()?;
    let csv = study.csv.as_deref().map(Output::begin).transpose()?;
    let picture = study.picture.as_deref().map(Output::begin).transpose()?.zip(picture_format);
    let settled = shell_project(&study.file, command, sets)?;
    let (point, name, project) = (settled.point(), settled.name(), settled.project);
    output::warn(&project.warnings);
    if command == "span"
        && project.shell.openings.iter().any(|opening| matches!(opening.form, OpeningForm::Door { .. }))
    {
        output::warn(&[DOOR_STAYS.to_owned()]);
    }
    Ok(Begun { study, project, point, name, csv, picture, progress: Progress::new() })
}

impl Begun<'_> {
    fn failed(&self) -> impl Fn(AssessError) -> Error + '_ {
        |error| {
            self.progress.done();
            Error::assess(&self.study.file, &self.project, error)
        }
    }

    fn finish<T: Serialize>(
        self,
        name: &'static str,
        content: &T,
        text: impl FnOnce(&Title) -> String,
        csv: impl FnOnce() -> String,
        picture: impl FnOnce(&Title) -> Option<Picture>,
    ) -> Result<(), Error> {
        self.progress.done();
        if let Some(output) = self.csv {
            output.finish(csv().as_bytes())?;
        }
        let title = Title { point: self.point, ..Title::of(&self.project) };
        if let Some((output, format)) = self.picture {
            let drawn = picture(&Title { name: self.name, ..title.clone() });
            write_picture(output, format, drawn, &self.study.file)?;
        }
        output::answer(&if self.study.json { report::json(&title, name, content) } else { text(&title) })
    }
}

fn picture_ending(path: &Path) -> Result<&'static str, Error> {
    ending(path, &["svg", "png"])
}

fn write_picture(
    output: Output,
    format: &'static str,
    drawn: Option<Picture>,
    file: &Path,
) -> Result<(), Error> {
    let drawn = drawn.ok_or_else(|| Error::Asked {
        what: format!("{}: there is nothing to draw", file.display()),
        help: "the text says why".to_owned(),
    })?;
    let bytes = match format {
        "svg" => svg::svg(&drawn).into_bytes(),
        _ => png::png(&drawn, PIXELS).map_err(|error| Error::Own { what: error.to_string() })?,
    };
    output.finish(&bytes)
}

/// 0 where something holds, 1 where nothing does.
fn exit(holds: bool) -> Exit {
    if holds { Exit::Within } else { Exit::Over }
}

/// A study that left rows out has no answer of its own: what is missing might have held, or not.
fn unless_stopped(left_out: usize, exit: Exit) -> Exit {
    if left_out > 0 { Exit::Stopped } else { exit }
}

/// A stopped study says so, whatever the form of its answer.
fn say_stopped(left_out: usize) {
    if left_out > 0 {
        complain(&format!("stopped: {left_out} rows were not worked out; those that were are written"));
    }
}

pub(crate) fn compare(study: &Study) -> Result<Exit, Error> {
    let begun = begin(study, "compare", |_| vec!["timber.breadth", "timber.depth"])?;
    let found = timbers::compare(&begun.project, &begun.progress).map_err(begun.failed())?;
    say_stopped(found.left_out);
    begun.finish(
        "compare",
        &found,
        |title| report::compare_text(title, &found),
        || report::compare_csv(&found),
        |title| report::compare_picture(title, &found),
    )?;
    Ok(unless_stopped(found.left_out, exit(found.candidates.iter().any(Candidate::holds))))
}

/// The sizes that a sweep sets: the one swept, and where timbers are listed, their sections. A base plane goes
/// with its radius.
fn sizes_set(project: &Project) -> Vec<&'static str> {
    let ask = project.study.span.clone().or_else(|| sizes::usual(project));
    let mut sets = match ask.as_ref().map(|ask| ask.vary) {
        Some(Vary::Radius) => vec!["shell.radius", "shell.base"],
        Some(Vary::Span) => vec!["shell.span"],
        Some(Vary::Rise) => vec!["shell.rise"],
        // Counts are no ranges.
        Some(Vary::Bands | Vary::Frequency) | None => Vec::new(),
    };
    if ask.is_some_and(|ask| !ask.timbers.is_empty()) {
        sets.extend(["timber.breadth", "timber.depth"]);
    }
    sets
}

pub(crate) fn span(study: &Study) -> Result<Exit, Error> {
    let begun = begin(study, "span", sizes_set)?;
    let ask = begun.project.study.span.clone().or_else(|| sizes::usual(&begun.project)).ok_or_else(|| {
        Error::Asked {
            what: format!("{}: a mesh of your own has no size to sweep", study.file.display()),
            help: "strutwise compare and strutwise reserve read it".to_owned(),
        }
    })?;
    let found = sizes::sweep(&begun.project, &ask, &begun.progress).map_err(begun.failed())?;
    say_stopped(found.left_out);
    begun.finish(
        "span",
        &found,
        |title| report::span_text(title, &found),
        || report::span_csv(&found),
        |title| report::span_picture(title, &found),
    )?;
    let mut rows = found.sweeps.iter().flat_map(|s| &s.steps).filter_map(|s| s.row.as_ref());
    Ok(unless_stopped(found.left_out, exit(rows.any(Row::holds))))
}

pub(crate) fn seams(study: &Study) -> Result<Exit, Error> {
    let begun = begin(study, "seams", |_| Vec::new())?;
    let found = stiffness::seams(&begun.project, POINTS, &begun.progress).map_err(begun.failed())?;
    say_stopped(found.left_out);
    begun.finish(
        "seams",
        &found,
        |title| report::seams_text(title, &found),
        || report::seams_csv(&found),
        |title| report::seams_picture(title, &found),
    )?;
    Ok(unless_stopped(found.left_out, exit_of(found.entered.verdict)))
}

#[derive(Serialize)]
struct ReserveContent<'a> {
    #[serde(flatten)]
    reserves: &'a Reserves,
    sensitivity: &'a Sensitivity,
    #[serde(skip_serializing_if = "Option::is_none")]
    loss: Option<&'a Losses>,
}

pub(crate) fn reserve(reserve: &Reserve) -> Result<Exit, Error> {
    let format = reserve.picture.as_deref().map(picture_ending).transpose()?;
    let picture = reserve.picture.as_deref().map(Output::begin).transpose()?.zip(format);
    let settled = shell_project(&reserve.file, "reserve", |_| Vec::new())?;
    let (point, name, project) = (settled.point(), settled.name(), settled.project);
    output::warn(&project.warnings);
    let progress = Progress::new();
    let failed = |error| {
        progress.done();
        Error::assess(&reserve.file, &project, error)
    };
    let found = reserve::reserves(&project, CLOSE, &progress).map_err(failed)?;
    let wanted = reserve.sensitivity || reserve.json;
    let changes =
        wanted.then(|| sensitivity::sensitivity(&project, &progress)).transpose().map_err(failed)?;
    let losses = reserve.loss.then(|| loss::losses(&project, &progress)).transpose().map_err(failed)?;
    progress.done();
    let left_out = found.left_out
        + losses.as_ref().map_or(0, |l| l.left_out)
        + changes.as_ref().map_or(0, |changes| changes.left_out);
    say_stopped(left_out);
    let title = Title { point, ..Title::of(&project) };
    if let Some((output, format)) = picture {
        let drawn = report::reserve_picture(&Title { name, ..title.clone() }, &found);
        write_picture(output, format, drawn, &reserve.file)?;
    }
    let text = match (&changes, reserve.json) {
        (Some(sensitivity), true) => {
            let content = ReserveContent { reserves: &found, sensitivity, loss: losses.as_ref() };
            report::json(&title, "reserve", &content)
        }
        _ => report::reserve_text(&title, &found, changes.as_ref(), losses.as_ref()),
    };
    output::answer(&text)?;
    Ok(unless_stopped(left_out, exit_of(found.entered.verdict)))
}
