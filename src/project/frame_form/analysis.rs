//! `[analysis]`: what to do with a plain frame.

use super::PlainFrame;
use super::cells::Names;
use super::joints::FREEDOMS;
use crate::frame::NodeId;
use crate::project::key::Key;
use crate::project::near::nearest;
use crate::project::table::Table;

/// What to do with a plain frame.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Kind {
    /// First-order statics.
    #[default]
    Linear,
    /// Second-order statics.
    SecondOrder,
    /// Linear buckling.
    Buckling,
    /// Natural frequencies.
    Modes,
    /// Geometrically nonlinear path.
    Path,
}

impl Kind {
    /// Every kind with its word.
    pub const ALL: [(&'static str, Self); 5] = [
        ("linear", Self::Linear),
        ("second-order", Self::SecondOrder),
        ("buckling", Self::Buckling),
        ("modes", Self::Modes),
        ("path", Self::Path),
    ];
}

/// `[analysis]`.
#[derive(Debug, Clone, PartialEq)]
pub struct Analysis {
    /// Kind.
    pub kind: Kind,
    /// The case alone, by position; all of them if none.
    pub case: Option<usize>,
    /// How many buckling factors or frequencies.
    pub count: usize,
    /// Movement to watch on a path: node and freedom.
    pub watch: Option<(NodeId, usize)>,
    /// Steps of a path at most.
    pub steps: usize,
    /// Stop a path at its first limit or branch point.
    pub limit_only: bool,
    /// Second order: amplitude of the lowest buckling shape as initial crookedness \[m\].
    pub crookedness: f64,
}

impl Default for Analysis {
    fn default() -> Self {
        Self {
            kind: Kind::Linear,
            case: None,
            count: 6,
            watch: None,
            steps: 100,
            limit_only: false,
            crookedness: 0.0,
        }
    }
}

const KIND: Key = Key::word("kind", "linear (where nothing is said), second-order, buckling, modes or path");
const CASE: Key = Key::text("case", "the load case to analyse; all of them if left out");
const COUNT: Key =
    Key::whole("count", "how many buckling factors or frequencies, 6 if left out").within(1.0, 200.0);
const WATCH: Key = Key::table("watch", "the movement to watch on a path");
const STEPS: Key = Key::whole("steps", "steps of a path at most; 100 if left out").within(1.0, 100_000.0);
const LIMIT_ONLY: Key = Key::flag("limit_only", "stop a path at its first limit or branch point");
const CROOKEDNESS: Key =
    Key::length("crookedness", "second-order: amplitude of the lowest buckling shape as initial crookedness")
        .within(0.0, f64::MAX)
        .single();

/// Keys of `[analysis]`.
pub const ANALYSIS_KEYS: &[Key] = &[KIND, CASE, COUNT, WATCH, STEPS, LIMIT_ONLY, CROOKEDNESS];

const JOINT: Key = Key::text("joint", "joint to watch");
const DIRECTION: Key = Key::word("direction", "x, y, z, rx, ry or rz");

/// Keys of `[analysis.watch]`.
pub const WATCH_KEYS: &[Key] = &[JOINT, DIRECTION];

/// Warns of keys that the kind of analysis does not read.
fn idle(table: &Table<'_, '_>, kind: Kind) {
    let read = |key: &Key| match key.name {
        "count" => matches!(kind, Kind::Buckling | Kind::Modes),
        "watch" | "steps" | "limit_only" => kind == Kind::Path,
        "crookedness" => kind == Kind::SecondOrder,
        _ => true,
    };
    let name = Kind::ALL.iter().find(|(_, known)| *known == kind).map_or("", |(name, _)| *name);
    for key in ANALYSIS_KEYS.iter().filter(|key| table.has(key) && !read(key)) {
        let (line, column) = table.reading.line_and_column(&table.place_of(key));
        table.reading.warn(format!(
            "analysis.{} says nothing for kind = {name:?} (line {line}, column {column})",
            key.name
        ));
    }
}

/// Reads the table; its defaults where it is left out.
pub(super) fn read(table: &Table<'_, '_>, plain: &PlainFrame, joints: &Names) -> Analysis {
    let mut analysis = Analysis::default();
    if !table.is_present() {
        return analysis;
    }
    analysis.kind = table.word_or_first(&KIND, &Kind::ALL);
    if let Some(name) = table.text(&CASE) {
        analysis.case = plain.cases.iter().position(|(known, _)| *known == name);
        if analysis.case.is_none() {
            let help = nearest(&name, plain.cases.iter().map(|(known, _)| known.as_str())).map_or_else(
                || "name a case of the load sheets".to_owned(),
                |near| format!("did you mean {near:?}?"),
            );
            table.fault("unknown-name", &CASE, format!("is {name:?}, which is no load case"), help);
        }
    }
    if let Some(count) = table.whole(&COUNT) {
        analysis.count = count;
    }
    if let Some(steps) = table.whole(&STEPS) {
        analysis.steps = steps;
    }
    analysis.limit_only = table.flag(&LIMIT_ONLY).unwrap_or(false);
    analysis.crookedness = table.quantity(&CROOKEDNESS).unwrap_or(0.0);
    let watch = table.child(&WATCH);
    if watch.is_present() {
        let joint = watch.need_text(&JOINT);
        let direction = watch.need_word(&DIRECTION, &FREEDOMS);
        watch.finish(WATCH_KEYS, "");
        if let Some(name) = joint {
            match joints.get(&name) {
                Some(position) => analysis.watch = direction.map(|freedom| (NodeId(*position), freedom)),
                None => {
                    let help = nearest(&name, joints.keys().map(String::as_str)).map_or_else(
                        || "name a joint of its sheet".to_owned(),
                        |near| format!("did you mean {near:?}?"),
                    );
                    watch.fault("unknown-name", &JOINT, format!("is {name:?}, which is no joint"), help);
                }
            }
        }
    }
    table.finish(ANALYSIS_KEYS, "");
    idle(table, analysis.kind);
    if let Some((NodeId(node), freedom)) = analysis.watch.filter(|_| analysis.kind == Kind::Path)
        && plain.frame.nodes.get(node).is_some_and(|node| node.held[freedom])
    {
        let (line, column) = table.reading.line_and_column(&watch.place_of(&JOINT));
        table.reading.warn(format!(
            "analysis.watch: joint {:?} is held along what is watched (line {line}, column {column}): it moves only where \
             its support does",
            plain.joints[node]
        ));
    }
    if plain.cases.is_empty() && analysis.kind != Kind::Modes {
        let message = "needs a load case, and there is none";
        table.fault("missing", &KIND, message, "name a sheet of loads or bar_loads in [shell]");
    }
    analysis
}
