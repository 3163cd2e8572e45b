//! `check` and `explain`.

use std::io::IsTerminal;
use std::path::Path;

use super::args::{Check, Explain};
use super::output::{self, Folder};
use super::progress::Doing;
use super::ranges::{Settled, settle, settle_whole};
use crate::assess::results::{Assessment, Verdict};
use crate::assess::{self, AssessError, Options, plain_frame, workings};
use crate::error::{Error, Exit};
use crate::project::{self, Asked, Project};
use crate::report::explain::{explain as explained, on_screen};
use crate::report::explain_html::explain_html;
use crate::report::plain_frame as told;
use crate::report::{csv, json, text};
use crate::shell;
use crate::shell::export::{edges_csv, faces_csv};
use crate::study;

/// Columns of a screen.
const COLUMNS: usize = 80;

/// Reads a project of timber.
///
/// Where inputs are ranges it is the project at the worst point of them; a command that sets one of them itself
/// (`sets`) would drop what the range says of it, and refuses.
pub(crate) fn shell_project(
    file: &Path,
    command: &'static str,
    sets: impl FnOnce(&Project) -> Vec<&'static str>,
) -> Result<Settled, Error> {
    match read(file)? {
        Asked::Shell(project) => Ok(Settled::plain(project)),
        Asked::Ranged(ranged) => {
            let sets = sets(&ranged.lowest);
            if let Some(input) = ranged.inputs.iter().find(|input| sets.contains(&input.key.as_str())) {
                return Err(Error::Asked {
                    what: format!(
                        "{}: {} is a range, and strutwise {command} sets that value itself",
                        file.display(),
                        input.key
                    ),
                    help: format!("write one value for {}; strutwise check tries the range", input.key),
                });
            }
            settle_whole(file, &ranged)
        }
        Asked::Frame(_) => Err(Error::Asked {
            what: format!("{}: form = \"frame\" has no timbers for strutwise {command}", file.display()),
            help: "strutwise check reads it".to_owned(),
        }),
    }
}

/// Reads any project; nothing that is written afterwards takes the place of what it was read from.
fn read(file: &Path) -> Result<Asked, Error> {
    let asked = project::read(file)?;
    let files = match &asked {
        Asked::Shell(project) => &project.files,
        Asked::Ranged(ranged) => &ranged.lowest.files,
        Asked::Frame(project) => &project.files,
    };
    let folder = file.parent().unwrap_or(Path::new(""));
    let companions = files.iter().skip(1).map(|companion| folder.join(&companion.name));
    output::protect(std::iter::once(file.to_path_buf()).chain(companions));
    Ok(asked)
}

/// The exit code that a verdict gives.
pub(crate) fn exit_of(verdict: Verdict) -> Exit {
    match verdict {
        Verdict::Within | Verdict::Near => Exit::Within,
        Verdict::Over | Verdict::Unstable => Exit::Over,
    }
}

pub(crate) fn check(check: &Check) -> Result<Exit, Error> {
    let asked = read(&check.file)?;
    for (asked, flag) in [(check.full, "--full"), (check.reserves, "--reserves")] {
        if asked && !check.json && check.csv.is_none() {
            output::complain(&format!(
                "warning: {flag} adds to --json and --csv alone: nothing more is shown here"
            ));
        }
    }
    let folder = check.csv.as_deref().map(Folder::look_at).transpose()?;
    let settled = match asked {
        Asked::Shell(project) => Settled::plain(project),
        Asked::Ranged(ranged) => settle(&check.file, &ranged)?,
        Asked::Frame(project) => return plain(check, &project, folder),
    };
    let Settled { project, ranges } = settled;
    let options = Options { full: check.full, ..Options::default() };
    let failed = |error| Error::assess(&check.file, &project, error);
    let found = assess::find(&project).map_err(failed)?;
    let mut assessment = assess::fill::results(&project, &found, &options).map_err(failed)?.over(ranges);
    if check.reserves {
        let doing = Doing::new("trying softer seams and more load");
        study::for_notes(&project, &found, &mut assessment).map_err(failed)?;
        drop(doing);
        if assessment.members.len() > study::MOST_MEMBERS {
            assessment.warnings.push(format!(
                "Reserves and the curve of the seams were not worked out, as the shell has more than {} timbers: strutwise reserve and \
                 strutwise seams do.",
                study::MOST_MEMBERS
            ));
        }
    }
    if let Some(folder) = folder {
        let mut sheets = csv::write_csv(&assessment);
        sheets.extend(mesh_sheets(&project).map_err(|error| Error::assess(&check.file, &project, error))?);
        folder.write_sheets(sheets.into_iter().map(|(name, sheet)| (name, sheet.into_bytes())).collect())?;
    }
    let answer = if check.json {
        output::warn(&assessment.warnings);
        json::to_json(&assessment)
    } else {
        text::text(&assessment, output::colour(&std::io::stdout()))
    };
    output::answer(&answer)?;
    Ok(exit_of_all(&assessment))
}

/// The exit code of an answer, that of a stage of the assembly where it is worse than the finished shell; ranges that were not tried to the end have none of their own.
fn exit_of_all(assessment: &Assessment) -> Exit {
    match &assessment.ranges {
        Some(ranges) if ranges.left_out > 0 => Exit::Stopped,
        _ => exit_of(assessment.verdict),
    }
}

/// The bare mesh, for programs that know nothing of timber: faces and edges by the names of joints.csv.
fn mesh_sheets(project: &Project) -> Result<[(String, String); 2], AssessError> {
    let shell = shell::build(&project.shell)?;
    Ok([("faces.csv".to_owned(), faces_csv(&shell)), ("edges.csv".to_owned(), edges_csv(&shell))])
}

/// A plain frame: solved as its `[analysis]` asks.
fn plain(check: &Check, project: &project::FrameProject, folder: Option<Folder>) -> Result<Exit, Error> {
    let results = plain_frame::solve(project)
        .map_err(|error| Error::Frame { file: check.file.clone(), error: Box::new(error) })?;
    output::warn(&results.warnings);
    if let Some(folder) = folder {
        let files =
            csv::frames::frame_sheets(&results).into_iter().map(|(name, text)| (name, text.into_bytes()));
        folder.write_sheets(files.collect())?;
    }
    output::answer(&if check.json { told::json(&results) } else { told::text(&results) })?;
    Ok(if results.verdict == "unstable" { Exit::Over } else { Exit::Within })
}

pub(crate) fn explain(explain: &Explain) -> Result<Exit, Error> {
    let settled = shell_project(&explain.file, "explain", |_| Vec::new())?;
    let project = &settled.project;
    let failed = |error| Error::assess(&explain.file, project, error);
    let found = assess::find(project).map_err(failed)?;
    let worked = workings::explain(project, &found, &explain.member, explain.combination.as_deref())
        .map_err(failed)?;
    output::warn(&project.warnings);
    let units = match project.units {
        crate::units::System::Metric => "metric",
        crate::units::System::Imperial => "imperial",
    };
    let over = worked
        .iter()
        .flat_map(|working| &working.checks)
        .any(|check| check.standing == crate::rules::Standing::Over);
    let caution =
        "Indicative only: local codes, the building authority and a licensed engineer have the last word.";
    let caution = settled.point().map_or_else(
        || caution.to_owned(),
        |point| format!("Inputs are ranges; this is worked at the worst point of them, {point}. {caution}"),
    );
    let text = if explain.html {
        explain_html(&worked, units, &caution)
    } else {
        let text = explained(&worked, units, &caution);
        // In a file or a pipe a formula stays on its line.
        if std::io::stdout().is_terminal() { on_screen(&text, COLUMNS) } else { text }
    };
    output::answer(&text)?;
    Ok(if over { Exit::Over } else { Exit::Within })
}
