//! The command line: arguments to a command, its outcome to an exit code.
//!
//! Standard output is the answer; standard error is for people. Outputs are looked at before the work and
//! written whole or not at all.

mod args;
mod check;
mod draw;
mod new;
mod notes;
mod output;
mod progress;
mod ranges;
mod study;
mod tables;

use std::ffi::OsString;
use std::panic;
use std::process::ExitCode;

use clap::{CommandFactory, Parser};

use crate::error::{Error, Exit};
use crate::project::render;
use args::{Arguments, Command, Document};

/// Runs the program on its arguments, the first of which is its name.
#[must_use]
pub fn main(arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    ExitCode::from(guarded(|| run(arguments)).code())
}

/// Does the work; a panic in it ends with [`Exit::Failed`], in words, and with nothing half written.
fn guarded(work: impl FnOnce() -> Exit) -> Exit {
    panic::set_hook(Box::new(|information| {
        let place =
            information.location().map_or(String::new(), |at| format!(" ({}:{})", at.file(), at.line()));
        output::complain(&format!(
            "strutwise failed: this is a fault of the program{place}, not of your project.\n\
             Nothing is to be concluded from this run. A report with the project file would help to mend it."
        ));
    }));
    output::on_interrupt();
    output::on_termination();
    let outcome = panic::catch_unwind(panic::AssertUnwindSafe(work));
    // What a panic left half written goes.
    output::clear_unfinished();
    outcome.unwrap_or(Exit::Failed)
}

fn run(arguments: impl IntoIterator<Item = OsString>) -> Exit {
    let arguments = match Arguments::try_parse_from(arguments) {
        Ok(arguments) => arguments,
        Err(error) => {
            // Help and version are answers; anything else is a fault of the command line.
            let asked = !error.use_stderr();
            let _ = error.print();
            return if asked { Exit::Within } else { Exit::Input };
        }
    };
    let outcome = match arguments.command {
        Command::New(new) => new::run(&new),
        Command::Check(check) => check::check(&check),
        Command::Explain(explain) => check::explain(&explain),
        Command::Compare(study) => study::compare(&study),
        Command::Span(study) => study::span(&study),
        Command::Reserve(study) => study::reserve(&study),
        Command::Seams(study) => study::seams(&study),
        Command::Notes(notes) => notes::run(&notes),
        Command::Draw(draw) => draw::run(&draw),
        Command::Tables(tables) => tables::run(&tables),
        Command::Schema(schema) => output::answer(&match schema.document {
            Document::Shell => crate::report::json::schema(),
            Document::Frame => crate::report::json::frame_schema(),
        })
        .map(|()| Exit::Within),
        Command::Completions { shell } => {
            let mut script = Vec::new();
            clap_complete::generate(shell, &mut Arguments::command(), "strutwise", &mut script);
            output::answer(&String::from_utf8_lossy(&script)).map(|()| Exit::Within)
        }
        Command::Man { folder } => man(&folder),
    };
    outcome.unwrap_or_else(|error| {
        let words = match &error {
            Error::Project(error) => render::render(error, output::colour(&std::io::stderr())),
            other => format!("error: {}\n", render::harmless(&other.to_string())),
        };
        output::complain(words.trim_end());
        error.exit()
    })
}

fn man(folder: &std::path::Path) -> Result<Exit, Error> {
    let mut pages = Vec::new();
    // There is no page for `help`, which says what the pages say.
    let command = Arguments::command().disable_help_subcommand(true);
    let mut all = vec![("strutwise".to_owned(), command.clone())];
    for sub in command.get_subcommands().filter(|sub| !sub.is_hide_set()) {
        let name = format!("strutwise-{}", sub.get_name());
        let typed = format!("strutwise {}", sub.get_name());
        all.push((name.clone(), sub.clone().display_name(name).bin_name(typed)));
    }
    for (name, command) in all {
        let mut page = Vec::new();
        let writing =
            |error: std::io::Error| Error::Own { what: format!("a man page cannot be made: {error}") };
        clap_mangen::Man::new(command)
            .source(concat!("strutwise ", env!("CARGO_PKG_VERSION")))
            .render(&mut page)
            .map_err(writing)?;
        pages.push((format!("{name}.1"), page));
    }
    let folder = output::Folder::look_at(folder)?;
    folder.write(pages)?;
    Ok(Exit::Within)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Run in a process of its own by the test below: a hook is the whole process's.
    #[test]
    #[ignore = "panics on purpose; another test runs it as a program"]
    #[allow(clippy::panic, reason = "what is tried is a panic")]
    fn work_that_panics() {
        let folder = std::env::var("STRUTWISE_PANIC_FOLDER").expect("told by the test that runs this");
        let path = std::path::Path::new(&folder).join("half.html");
        let exit = guarded(|| {
            let _begun = std::mem::ManuallyDrop::new(output::Output::begin(&path));
            assert_eq!(std::fs::read_dir(&folder).unwrap().count(), 1, "a file was begun");
            panic!("a slip of the program");
        });
        std::process::exit(i32::from(exit.code()));
    }

    #[test]
    fn a_panic_is_told_as_the_program_s_fault_and_leaves_nothing_half_written() {
        let folder = tempfile::tempdir().unwrap();
        let output = std::process::Command::new(std::env::current_exe().unwrap())
            .args(["cli::tests::work_that_panics", "--exact", "--ignored", "--nocapture"])
            .env("STRUTWISE_PANIC_FOLDER", folder.path())
            .output()
            .unwrap();
        let said = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(3), "{said}");
        assert!(said.contains("strutwise failed: this is a fault of the program (src"), "{said}");
        assert!(said.contains("Nothing is to be concluded from this run"), "{said}");
        assert!(!said.contains("RUST_BACKTRACE"), "{said}");
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
    }
}
