//! The arguments of every command, with an example each that works.

use std::path::PathBuf;

use clap::builder::styling::{AnsiColor, Styles};
use clap::{Args, Parser, Subcommand, ValueEnum, ValueHint};

/// What a drawing shows where nothing is asked for.
pub(crate) const SHOWN: &str = "utilisation";
/// From where it is seen where nothing is asked for.
pub(crate) const VIEW: &str = "isometric";

const STYLES: Styles =
    Styles::styled().header(AnsiColor::Green.on_default().bold()).literal(AnsiColor::Cyan.on_default());

const AFTER: &str = "\
Every answer is indicative: local codes, the building authority and a licensed engineer have the last word.

Exit codes: 0 within or near the indicative limits, 1 something is over or
unstable, 2 the input cannot be used and nothing was written, 3 the program
itself failed, 130 stopped by Ctrl-C (a study writes the rows that are done).

As well: strutwise completions SHELL, strutwise man FOLDER.

Examples:
  strutwise new store.toml --form tunnel
  strutwise check store.toml";

/// An indicative structural check for small timber shells.
#[derive(Debug, Parser)]
#[command(name = "strutwise", version, about, after_help = AFTER, styles = STYLES, max_term_width = 80)]
pub(crate) struct Arguments {
    #[command(subcommand)]
    pub(crate) command: Command,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Write a commented project to start from
    #[command(after_help = "Example:\n  strutwise new store.toml --form tunnel")]
    New(New),
    /// Check every timber and every foot: the main job
    #[command(
        after_help = "Examples:\n  strutwise check store.toml\n  strutwise check store.toml --json > store.json\n  strutwise check store.toml --csv sheets"
    )]
    Check(Check),
    /// One timber's check with its working
    #[command(
        after_help = "Examples:\n  strutwise explain store.toml s12\n  strutwise explain store.toml s12 --html > s12.html"
    )]
    Explain(Explain),
    /// Timbers side by side
    #[command(
        after_help = "Examples:\n  strutwise compare store.toml --csv timbers.csv\n  strutwise compare store.toml --picture timbers.svg\n\nThe exit code is 0 where at least one timber holds, 1 where none does."
    )]
    Compare(Study),
    /// How far it can go: sizes against the first limit
    #[command(
        after_help = "Example:\n  strutwise span store.toml --picture span.svg\n\nThe exit code is 0 where at least one size holds, 1 where none does."
    )]
    Span(Study),
    /// How much more of each load until the first limit
    #[command(
        after_help = "Examples:\n  strutwise reserve store.toml\n  strutwise reserve store.toml --sensitivity --loss\n  strutwise reserve store.toml --picture reserve.svg"
    )]
    Reserve(Reserve),
    /// How much the answer rests on the stiffness of the seams
    #[command(
        after_help = "Example:\n  strutwise seams store.toml --picture seams.svg\n\nThe exit code is that of the verdict of check: of the seams as entered,\nand of the other models where nothing is known of the seams; stages are left to\ncheck."
    )]
    Seams(Study),
    /// The notes for building control
    #[command(
        after_help = "Examples:\n  strutwise notes store.toml -o store.html\n  strutwise notes store.toml -o store.pdf"
    )]
    Notes(Notes),
    /// One drawing
    #[command(
        after_help = "Examples:\n  strutwise draw store.toml -o store.svg\n  strutwise draw store.toml -o feet.png --view plan --show reactions"
    )]
    Draw(Draw),
    /// The built-in tables with their sources
    #[command(after_help = "Examples:\n  strutwise tables\n  strutwise tables en338_softwood")]
    Tables(Tables),
    /// The JSON Schema of what check --json prints
    #[command(after_help = "Examples:\n  strutwise schema > check.schema.json\n  strutwise schema frame")]
    Schema(Schema),
    /// Completions for a shell
    #[command(after_help = "Example:\n  strutwise completions bash > strutwise.bash", hide = true)]
    Completions {
        /// Which shell
        shell: clap_complete::Shell,
    },
    /// Manual pages into a folder
    #[command(after_help = "Example:\n  strutwise man pages", hide = true)]
    Man {
        /// Where the pages go
        folder: PathBuf,
    },
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum StarterForm {
    /// Part of a sphere
    Dome,
    /// Half-domes with bands between
    Tunnel,
    /// Arches in a row
    Barrel,
    /// Your own mesh (writes a small one beside it)
    Mesh,
    /// A plain frame or truss (writes its sheets beside it)
    Frame,
}

#[derive(Debug, Args)]
pub(crate) struct New {
    /// Project file to write; it must not be there yet
    #[arg(value_hint = ValueHint::FilePath)]
    pub(crate) file: PathBuf,
    /// Shape to start from
    #[arg(long, value_enum, default_value = "dome")]
    pub(crate) form: StarterForm,
}

#[derive(Debug, Args)]
pub(crate) struct Check {
    /// Project file
    #[arg(value_hint = ValueHint::FilePath)]
    pub(crate) file: PathBuf,
    /// One JSON document in place of the text (strutwise schema describes it)
    #[arg(long)]
    pub(crate) json: bool,
    /// Folder for sheets of everything as CSV, the bare mesh (faces.csv, edges.csv) among them
    #[arg(long, value_name = "DIR", value_hint = ValueHint::DirPath)]
    pub(crate) csv: Option<PathBuf>,
    /// Movements and bar forces of every case as well (with --json or --csv)
    #[arg(long)]
    pub(crate) full: bool,
    /// Reserves and the curve of the seams as well, as the notes have them (with --json or --csv)
    #[arg(long)]
    pub(crate) reserves: bool,
}

#[derive(Debug, Args)]
pub(crate) struct Explain {
    /// Project file
    #[arg(value_hint = ValueHint::FilePath)]
    pub(crate) file: PathBuf,
    /// Name of the timber: s12, r3, b1
    pub(crate) member: String,
    /// Combination to look at; the worst where nothing is said
    #[arg(long, value_name = "NAME")]
    pub(crate) combination: Option<String>,
    /// A fragment of HTML in place of the text, to set into a page of your own
    #[arg(long)]
    pub(crate) html: bool,
}

#[derive(Debug, Args)]
pub(crate) struct Study {
    /// Project file
    #[arg(value_hint = ValueHint::FilePath)]
    pub(crate) file: PathBuf,
    /// One JSON document in place of the text
    #[arg(long)]
    pub(crate) json: bool,
    /// Sheet to write as CSV
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub(crate) csv: Option<PathBuf>,
    /// Picture to write: .svg or .png
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub(crate) picture: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(crate) struct Reserve {
    /// Project file
    #[arg(value_hint = ValueHint::FilePath)]
    pub(crate) file: PathBuf,
    /// One JSON document in place of the text
    #[arg(long)]
    pub(crate) json: bool,
    /// What a change of a tenth in each input does, ranked (always in --json)
    #[arg(long)]
    pub(crate) sensitivity: bool,
    /// Each seam, panel and foot taken away in turn, under service loads
    #[arg(long)]
    pub(crate) loss: bool,
    /// Picture to write: .svg or .png
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub(crate) picture: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub(crate) struct Notes {
    /// Project file
    #[arg(value_hint = ValueHint::FilePath)]
    pub(crate) file: PathBuf,
    /// File to write: .html, .md or .pdf
    #[arg(short, long, value_name = "OUT", value_hint = ValueHint::FilePath)]
    pub(crate) output: PathBuf,
}

#[derive(Debug, Args)]
pub(crate) struct Draw {
    /// Project file
    #[arg(value_hint = ValueHint::FilePath)]
    pub(crate) file: PathBuf,
    /// File to write: .svg, .png or .obj
    #[arg(short, long, value_name = "OUT", value_hint = ValueHint::FilePath)]
    pub(crate) output: PathBuf,
    /// What is shown: shape, utilisation, axial, moment, case:NAME, sag, buckling, mechanism, reactions, seams,
    /// panels, ids
    #[arg(long, default_value = SHOWN, value_hint = ValueHint::Other)]
    pub(crate) show: String,
    /// From where: plan, end, side, isometric, unrolled, sheet
    #[arg(long, default_value = VIEW, value_hint = ValueHint::Other)]
    pub(crate) view: String,
    /// Of which joint model: pinned, seam, semi-rigid, rigid
    #[arg(long, value_hint = ValueHint::Other)]
    pub(crate) model: Option<String>,
}

#[derive(Debug, Args)]
pub(crate) struct Tables {
    /// Table to print; without it, the list of them
    pub(crate) name: Option<String>,
}

#[derive(Debug, Args)]
pub(crate) struct Schema {
    /// Of which document
    #[arg(value_enum, default_value = "shell")]
    pub(crate) document: Document,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Document {
    /// A shell of timber: dome, tunnel, barrel, mesh
    Shell,
    /// A plain frame
    Frame,
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn the_arguments_are_sound_and_every_command_has_an_example() {
        Arguments::command().debug_assert();
        for command in Arguments::command().get_subcommands() {
            let after = command.get_after_help().map(ToString::to_string).unwrap_or_default();
            assert!(after.contains("strutwise "), "{} has no example", command.get_name());
        }
    }
}
