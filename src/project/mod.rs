//! A project file to what is asked of every station, or every fault of it with its place.
//!
//! In: the path of a TOML file. Out: [`Asked`], or a [`ProjectError`] whose faults each have file, line,
//! column, what was found and what to do. One file a station reads that station's tables.

pub mod answer;
pub mod built;
pub mod csv;
pub mod fault;
pub mod file;
pub mod frame_form;
pub mod key;
pub mod near;
pub mod obj;
pub mod quantity;
pub mod range;
pub mod reading;
pub mod reference;
pub mod render;
pub mod schema_joints;
pub mod schema_loads;
pub mod schema_more;
mod schema_own;
pub mod schema_project;
pub mod schema_rules;
pub mod schema_shell;
pub mod schema_study;
pub mod schema_timber;
mod sides;
pub mod starter;
pub mod table;

use std::path::Path;

use toml::de::DeTable;

pub use fault::{Fault, Faulty, Place, ProjectError, SourceText};
use key::Key;
pub use range::{End, RangeInput, Ranged};
pub use reading::Input;
use reading::{Outcome, Reading};
use schema_shell::FormName;
use table::Table;

use crate::loads::ask::{Given, LoadsAsk};
use crate::model::ask::JointsAsk;
use crate::rules::ask::RulesAsk;
use crate::section::ask::TimberAsk;
use crate::shell::ask::ShellAsk;
use crate::tables::grade::Grade;
use crate::units::System;

/// What a project file asks for.
#[derive(Debug, Clone, PartialEq)]
pub enum Asked {
    /// A shell of timber.
    Shell(Box<Project>),
    /// A shell of timber some of whose inputs are ranges: a project for each choice of their ends.
    Ranged(Box<Ranged>),
    /// A plain frame.
    Frame(Box<FrameProject>),
}

/// A shell of timber: everything that is asked of every station.
#[derive(Debug, Clone, PartialEq)]
pub struct Project {
    /// Name.
    pub name: String,
    /// The project file first, then its companions, as read: for the notes and the checksum.
    pub files: Vec<SourceText>,
    /// Units for people.
    pub units: System,
    /// Shape.
    pub shell: ShellAsk,
    /// Timbers.
    pub timber: TimberAsk,
    /// Grade of the timber, from the tables or the user's own.
    pub grade: Grade,
    /// Joint models.
    pub joints: JointsAsk,
    /// Loads and how they are combined.
    pub loads: LoadsAsk,
    /// Service class, fixings, feet.
    pub rules: RulesAsk,
    /// What the studies try.
    pub study: schema_study::StudyAsk,
    /// Inputs as entered or defaulted, in the order of the file's tables.
    pub inputs: Vec<Input>,
    /// Suspicious values.
    pub warnings: Vec<String>,
    /// Loads that are likely slips, in words without a capital and a full stop: no verdict on them is better than near.
    pub doubts: Vec<String>,
}

impl Project {
    /// The project file as written.
    #[must_use]
    pub fn text(&self) -> &str {
        self.files.first().map_or("", |file| file.text.as_str())
    }
}

/// A plain frame.
#[derive(Debug, Clone, PartialEq)]
pub struct FrameProject {
    /// Name.
    pub name: String,
    /// The project file first, then its companions, as read.
    pub files: Vec<SourceText>,
    /// Units for people.
    pub units: System,
    /// The frame, its names, cases and analysis.
    pub plain: frame_form::PlainFrame,
    /// Inputs as entered or defaulted.
    pub inputs: Vec<Input>,
    /// Suspicious values.
    pub warnings: Vec<String>,
}

const PROJECT: Key = Key::table("project", "name, basis, units");
const SHELL: Key = Key::table("shell", "the shape");
const TIMBER: Key = Key::table("timber", "grade and sizes");
const JOINTS: Key = Key::table("joints", "joint models and the stiffness of seams");
const FIXINGS: Key = Key::table("fixings", "what joins two frames along a seam");
const COVER: Key = Key::table("cover", "weight of the cover");
const SNOW: Key = Key::table("snow", "snow of the site");
const WIND: Key = Key::table("wind", "wind of the site");
const FEET: Key = Key::table("feet", "what holds the feet");
const IMPOSED: Key = Key::table("imposed", "people and things hung on");
const CASE: Key = Key::table("case", "your own load cases, [[case]] for each");
const STAGE: Key = Key::table("stage", "stages of the assembly, [[stage]] for each");
const COMBINE: Key = Key::table("combine", "how cases are combined");
const RULES: Key = Key::table("rules", "effective lengths and other choices of the timber rules");
const COMPARE: Key = Key::table("compare", "timbers to put side by side");
const PRICES: Key = Key::table("prices", "what timber costs, for the comparison");
const SPAN: Key = Key::table("span", "a size to sweep until the first limit");
const SECTION: Key = Key::table("section", "sections of a plain frame, [section.NAME] for each");
const ANALYSIS: Key = Key::table("analysis", "what to do with a plain frame");

/// Tables of the file.
pub const TABLES: &[Key] = &[
    PROJECT, SHELL, TIMBER, JOINTS, FIXINGS, COVER, SNOW, WIND, FEET, IMPOSED, CASE, STAGE, COMBINE, RULES,
    COMPARE, PRICES, SPAN, SECTION, ANALYSIS,
];

/// Reads a project file and everything that it names.
///
/// # Errors
/// [`ProjectError`]: the file cannot be read, or it has faults; all of them are told at once.
pub fn read(path: &Path) -> Result<Asked, ProjectError> {
    let source = file::read(path, file::PROJECT_LIMIT_MB)?;
    let folder = path.parent().filter(|parent| !parent.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let stem =
        path.file_stem().map_or_else(|| "project".to_owned(), |stem| stem.to_string_lossy().into_owned());
    read_text(source, folder, &stem)
}

/// Reads a project from its text; companions are looked for in `folder`.
///
/// # Errors
/// As [`read`].
pub fn read_text(source: SourceText, folder: &Path, stem: &str) -> Result<Asked, ProjectError> {
    let (asked, ranges) = read_all(Reading::new(folder.to_path_buf(), source), stem)?;
    Ok(match asked {
        Asked::Shell(project) if !ranges.is_empty() => {
            Asked::Ranged(Box::new(Ranged::new(ranges, project, stem)))
        }
        other => other,
    })
}

/// One reading from end to end: what is asked, at the ends of the ranges that the reading takes, and the ranges.
fn read_all(reading: Reading, stem: &str) -> Result<(Asked, Vec<RangeInput>), ProjectError> {
    let text = reading.files.borrow().first().map_or_else(String::new, |file| file.text.clone());
    if text.trim().is_empty() {
        let help = "strutwise new FILE writes a project to start from";
        reading.fault("empty", Place::project(0..0), "the file is empty", help);
        return Err(refuse(reading));
    }
    let (root, errors) = DeTable::parse_recoverable(&text);
    // The parser goes on after a fault, but what it stumbles over next is mostly the same slip again.
    if let Some(error) = errors.first() {
        let span = error.span().unwrap_or(0..0);
        let after = text.get(span.start..).unwrap_or("");
        let (message, help) = syntax(error.message(), text.get(span.clone()).unwrap_or(""), after);
        reading.fault("syntax", Place::project(span), message, help);
    }
    // Where the text itself is broken, what follows from it would only confuse.
    if !errors.is_empty() {
        return Err(refuse(reading));
    }
    let asked = ask(&reading, &Table::root(&reading, &root), stem);
    range::refuse(&reading, &reading.ranges(), matches!(asked, Some(Asked::Frame(_))));
    let outcome = reading.finish();
    match asked {
        Some(asked) if outcome.faults.is_empty() => Ok(with_outcome(asked, outcome)),
        _ => Err(ProjectError::Faulty(Box::new(Faulty { files: outcome.files, faults: outcome.faults }))),
    }
}

fn refuse(reading: Reading) -> ProjectError {
    let outcome = reading.finish();
    ProjectError::Faulty(Box::new(Faulty { files: outcome.files, faults: outcome.faults }))
}

fn with_outcome(mut asked: Asked, mut outcome: Outcome) -> (Asked, Vec<RangeInput>) {
    // The form is read before the rest; a reader begins with the project.
    outcome.inputs.sort_by_key(|input| !input.key.starts_with("project."));
    match &mut asked {
        Asked::Shell(project) => {
            project.files = outcome.files;
            project.inputs = outcome.inputs;
            project.warnings = outcome.warnings;
            project.doubts = outcome.doubts;
        }
        Asked::Frame(project) => {
            project.files = outcome.files;
            project.inputs = outcome.inputs;
            project.warnings = outcome.warnings;
        }
        // Made of a shell afterwards, never read as one.
        Asked::Ranged(_) => {}
    }
    (asked, outcome.ranges)
}

/// Every table in turn; `None` only where a fault says why.
fn ask(reading: &Reading, root: &Table<'_, '_>, stem: &str) -> Option<Asked> {
    let shell = root.child(&SHELL);
    if !shell.is_present() {
        if !root.has(&SHELL) {
            let help = "write [shell] with form = \"dome\", \"tunnel\", \"barrel\", \"mesh\" or \"frame\"";
            reading.fault("missing", Place::project(0..0), "[shell] is missing", help);
        }
        for key in TABLES {
            // Only to tell unknown tables apart.
            let _ = root.has(key);
        }
        let _ = schema_project::read(&root.child(&PROJECT), stem, false);
        root.finish(TABLES, "");
        return None;
    }
    let form = schema_shell::form(&shell);
    let is_frame = form == Some(FormName::Frame);
    // A frame whose form is misspelt lacks nothing that a shell of timber has.
    if form.is_none() && ![TIMBER, COVER, SNOW, WIND].iter().any(|key| root.has(key)) {
        shell.finish(schema_shell::KEYS, "");
        let _ = schema_project::read(&root.child(&PROJECT), stem, false);
        root.finish(TABLES, "");
        return None;
    }
    let heading = root.child(&PROJECT);
    if !heading.is_present() && !root.has(&PROJECT) && !is_frame {
        let help = "write [project] with name = \"…\" and basis = \"eurocode\", \"us-lrfd\" or \"us-asd\"";
        reading.fault("missing", Place::project(0..0), "[project] is missing", help);
    }
    let heading = schema_project::read(&heading, stem, !is_frame && heading.is_present());
    if is_frame {
        return frame(root, &shell, heading);
    }
    let basis = heading.basis;
    let ask_shell = match form {
        Some(form) => schema_shell::read(&shell, form),
        None => {
            shell.finish(schema_shell::KEYS, "");
            None
        }
    };
    let timber_table = root.child(&TIMBER);
    let timber = if timber_table.is_present() {
        schema_timber::read(&timber_table, basis)
    } else {
        if !root.has(&TIMBER) {
            let help = "write [timber] with grade, breadth and depth";
            reading.fault("missing", Place::project(0..0), "[timber] is missing", help);
        }
        None
    };
    let fixings_table = root.child(&FIXINGS);
    let fixings = schema_joints::fixings(&fixings_table);
    let (held, feet) = schema_joints::feet(&root.child(&FEET));
    let has_fixings = root.has(&FIXINGS);
    let joints = schema_joints::joints(&root.child(&JOINTS), held, has_fixings);
    let cover = schema_loads::cover(&root.child(&COVER));
    let snow = schema_loads::snow(&root.child(&SNOW), basis);
    let wind = schema_loads::wind(&root.child(&WIND), basis);
    let imposed = schema_more::imposed(&root.child(&IMPOSED));
    let user: Vec<_> = root.children(&CASE).iter().map(|table| schema_more::case(table, basis)).collect();
    let stages = schema_more::stages(&root.children(&STAGE));
    let combine = schema_more::combine(&root.child(&COMBINE), basis);
    let rules = root.child(&RULES);
    let members = schema_rules::read(&rules, basis);
    if let (Some(members), Some(Given::LeftOut(_))) = (&members, &cover) {
        schema_rules::held_by_nothing(&rules, members);
    }
    let study = schema_study::read(
        &root.child(&COMPARE),
        &root.child(&PRICES),
        &root.child(&SPAN),
        basis,
        ask_shell.as_ref(),
    );
    root.finish(TABLES, if form.is_some() { "for a shell of timber" } else { "" });

    let timber = timber?;
    if let (Some(basis), Some(members)) = (basis, members) {
        schema_rules::fitting(&timber_table, &timber, basis, &members);
        if let Some(Some(fixings)) = &fixings {
            schema_joints::fitting(&fixings_table, fixings, &timber, basis, heading.units, || {
                built::sharpest_fold(ask_shell.as_ref())
            });
        }
    }
    if let Some(shell) = &ask_shell {
        built::without_members(reading, &timber.ask, shell);
    }
    let loads = LoadsAsk {
        basis: basis?,
        edition: combine.edition,
        risk: combine.risk,
        cover: cover?,
        snow: snow?,
        wind: wind?,
        imposed,
        user,
        stages,
        combine: combine.ask,
    };
    Some(Asked::Shell(Box::new(Project {
        name: heading.name,
        files: Vec::new(),
        units: heading.units,
        shell: ask_shell?,
        timber: timber.ask,
        grade: timber.grade,
        joints: joints?,
        loads,
        rules: RulesAsk { service_class: timber.service_class, fixings: fixings?, feet, members: members? },
        study: study?,
        inputs: Vec::new(),
        warnings: Vec::new(),
        doubts: Vec::new(),
    })))
}

/// A plain frame.
fn frame(root: &Table<'_, '_>, shell: &Table<'_, '_>, heading: schema_project::Heading) -> Option<Asked> {
    let plain = frame_form::read(shell, &root.child(&SECTION), &root.child(&ANALYSIS));
    root.finish(TABLES, "for form = \"frame\"");
    Some(Asked::Frame(Box::new(FrameProject {
        name: heading.name,
        files: Vec::new(),
        units: heading.units,
        plain: plain?,
        inputs: Vec::new(),
        warnings: Vec::new(),
    })))
}

/// The parser's words, with what to do.
///
/// `after`: the text from where it stopped.
fn syntax(message: &str, found: &str, after: &str) -> (String, String) {
    let help = if after.strip_prefix(',').is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit())) {
        "write a decimal point: 2.4"
    } else if after.starts_with(',') {
        "take the comma out: TOML has none between the keys of a table, one key a line"
    } else if message.contains("duplicate key") {
        "a key stands once in a table: take one of the two out"
    } else if message.contains("unclosed")
        || message.contains("unterminated")
        || message.contains("newline")
        || message.contains("basic string, expected `\"`")
    {
        "close the quotation marks or brackets on this line"
    } else if message.contains("string values must be quoted") || message.contains("must be quoted") {
        "put texts and quantities with units in quotation marks: radius = \"2.1 m\""
    } else if found.contains(';') {
        "one key a line; TOML has no semicolons"
    } else {
        "the file is TOML: [table] lines, and key = value lines with texts in quotation marks"
    };
    (format!("this is not TOML: {}", message.replace('\n', "; ")), help.to_owned())
}

#[cfg(test)]
mod tests;
