//! Studies for readers: text of 80 columns, JSON, CSV and one picture each. Nothing here works a
//! result out.

mod amount;
mod grid;
mod picture;
mod reserve;
mod reserve_picture;
mod seams;
mod sheet;
mod span;
#[cfg(test)]
mod tests;

pub use picture::{compare_picture, seams_picture, span_picture};
pub use reserve::reserve_text;
pub(crate) use reserve_picture::load_reserves_picture;
pub use reserve_picture::reserve_picture;
pub use seams::seams_text;
pub use sheet::{compare_csv, seams_csv, span_csv};
pub use span::span_text;

use serde::Serialize;

use crate::assess::words::INDICATIVE;
use crate::report::misfit;
use crate::report::show::{self, Printer, figures, tame, utilisation};
use crate::study::Title;
use crate::study::compare::{Candidate, Compared};
use crate::study::row::{First, Row};
use crate::study::vary::OwnTimber;
use crate::units::System;
use grid::{Grid, Legend, paragraph};

fn show(project: &Title) -> Printer {
    Printer::new(if project.units == System::Imperial { "imperial" } else { "metric" })
}

#[derive(Debug, Serialize)]
struct Document<'a, T> {
    strutwise: &'static str,
    project: &'a str,
    indicative: &'static str,
    study: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    worst_of_ranges: Option<&'a str>,
    not_in_it: &'a [String],
    #[serde(flatten)]
    content: &'a T,
}

/// A study as one JSON document, SI throughout.
#[must_use]
pub fn json<T: Serialize>(project: &Title, study: &'static str, content: &T) -> String {
    let document = Document {
        strutwise: env!("CARGO_PKG_VERSION"),
        project: &project.name,
        indicative: INDICATIVE,
        study,
        worst_of_ranges: project.point.as_deref(),
        not_in_it: &project.not_in_it,
        content,
    };
    let mut text = serde_json::to_string_pretty(&document).unwrap_or_default();
    text.push('\n');
    text
}

/// What stands above a study. `left_out`: rows that are missing, as the work was stopped.
fn head(project: &Title, what: &str, left_out: usize) -> String {
    let stopped = if left_out > 0 { paragraph(&stopped(left_out), 0) } else { String::new() };
    let asides: String = asides(project).iter().map(|words| paragraph(words, 0)).collect();
    paragraph(&format!("{}: {what}", tame(&project.name, 60)), 0) + &stopped + &asides + "\n"
}

/// What a reader of a study, or of its picture alone, is to know beforehand: where in the ranges of its inputs it stands, and what
/// is not in it.
fn asides(project: &Title) -> Vec<String> {
    let point = project.point.as_ref().map(|point| {
        let words = "Inputs are ranges; this is at the worst point of them that `check` found, and elsewhere \
                     in them the answer may differ: ";
        format!("{words}{}.", tame(point, 600))
    });
    let left_out = project.not_in_it.iter().map(|words| show::sentences(words, 400));
    point.into_iter().chain(left_out).collect()
}

fn stopped(left_out: usize) -> String {
    let rows = if left_out == 1 { "1 row was" } else { &format!("{left_out} rows were") };
    format!("STOPPED, not finished: {rows} not worked out.")
}

/// Whose a picture is, and whether it is finished.
fn whose(name: &str, left_out: usize) -> String {
    let name = tame(name, 60);
    if left_out > 0 { format!("{name}. {}", stopped(left_out)) } else { name }
}

/// The groups that keep their own timber, whatever is tried. `of`: "timbers tried".
fn own_sizes(show: Printer, groups: &[OwnTimber], of: &str) -> String {
    if groups.is_empty() {
        return String::new();
    }
    let told = |own: &OwnTimber| {
        let size = match (own.breadth, own.depth) {
            _ if own.values => "section values of their own".to_owned(),
            (Some(breadth), Some(depth)) => timber(show, breadth, depth),
            (Some(breadth), None) => format!("{} broad", show.size(breadth)),
            (None, Some(depth)) => format!("{} deep", show.size(depth)),
            (None, None) => String::new(),
        };
        format!("{} ({size})", own.roles.join(", "))
    };
    let groups: Vec<String> = groups.iter().map(told).collect();
    paragraph(&format!("Of their own size, whatever the {of} ([[timber.group]]): {}.", groups.join("; ")), 0)
}

fn tail(left_out: usize) -> String {
    let mut out = String::from("\n");
    if left_out > 0 {
        out.push_str(&paragraph(&stopped(left_out), 0));
    }
    out + &paragraph(INDICATIVE, 0)
}

fn timber(show: Printer, breadth: f64, depth: f64) -> String {
    let short = |metres: f64| show.size(metres).split(' ').next().unwrap_or_default().to_owned();
    format!("{} x {}", short(breadth), show.size(depth))
}

fn name(show: Printer, c: &Candidate) -> String {
    let strips = c.strips.map_or_else(String::new, |n| format!(" x{n}"));
    format!("{} {}{strips}", timber(show, c.breadth, c.depth), tame(&c.grade, 14))
}

/// The name without the grade that all share, and without the unit, which stands in the heading.
fn short_name(show: Printer, c: &Candidate, shared: bool) -> String {
    let sizes = timber(show, c.breadth, c.depth);
    let sizes = sizes.rsplit_once(' ').map_or(sizes.as_str(), |(sizes, _)| sizes);
    let strips = c.strips.map_or_else(String::new, |n| format!(" x{n}"));
    if shared { format!("{sizes}{strips}") } else { format!("{sizes} {}{strips}", tame(&c.grade, 14)) }
}

/// Whether what governs is that the shell folds, which no utilisation says.
fn folds(first: Option<&First>) -> bool {
    first.is_some_and(|f| f.what == "shell" && f.utilisation.is_none())
}

/// A utilisation, or that a limit of validity is broken where there is no number. What folds has no figure that means
/// anything: under loads that it finds no equilibrium with, the others are those of a shape that it does not keep.
fn share(value: Option<f64>, first: Option<&First>) -> String {
    if folds(first) {
        return "folds".to_owned();
    }
    value.map_or_else(|| "beyond".to_owned(), utilisation)
}

/// What governs, without the part's name, so that rows share it.
fn kind(first: &First) -> String {
    let clause = if first.clause.is_empty() { String::new() } else { format!(" ({})", first.clause) };
    if first.what == "shell" {
        format!("{}{clause}", first.rule)
    } else {
        format!("{}: {}{clause}", first.what, first.rule)
    }
}

/// The sag of a row, marked where it is too large for a linear figure to mean anything.
fn sag(show: Printer, row: &Row, form: impl Fn(&str) -> String) -> String {
    row.sag.map_or_else(
        || "–".to_owned(),
        |sag| {
            let mark = if show::beyond_linear(sag, row.span) { "!" } else { "" };
            format!("{}{mark}", form(&show.movement(sag)))
        },
    )
}

/// What the sags are, what their mark means where one has it, and at what the whole gives way.
fn of_sags<'a>(mut rows: impl Iterator<Item = &'a Row>) -> String {
    let marked = rows.any(|row| row.sag.is_some_and(|sag| show::beyond_linear(sag, row.span)));
    let mark = if marked { format!(" ! {}", show::BEYOND_LINEAR) } else { String::new() };
    let words = "Gives way: at so many times the loads, the lower of the linear buckling factor and the nonlinear path, which is \
                 followed up to 10 times. Sags are linear figures, at once under service loads.";
    paragraph(&format!("{words}{mark}"), 0)
}

/// Times the loads at which a row gives way, for a column; beyond where its path was followed no more than that.
fn gives_way(row: &Row) -> String {
    row.gives_way_as_followed().map_or_else(|| "–".to_owned(), show::gives_way)
}

/// Doubts told in full, at most.
const DOUBTS: usize = 3;

/// What keeps rows from being told as better than near: that they rest on feet whose moment was compared with nothing, and what else
/// is in doubt of them; empty where nothing is.
fn of_doubts<'a>(rows: impl Iterator<Item = &'a Row> + Clone) -> String {
    let mut out = of_feet(rows.clone());
    // One and the same doubt of several rows differs in its figures alone.
    let mut seen: Vec<(&str, Vec<&String>)> = Vec::new();
    for doubt in rows.flat_map(|row| &row.doubts) {
        let kind = kind_of_doubt(doubt);
        match seen.iter_mut().find(|(known, _)| *known == kind) {
            Some((_, all)) if all.contains(&doubt) => {}
            Some((_, all)) => all.push(doubt),
            None => seen.push((kind, vec![doubt])),
        }
    }
    for (_, all) in seen.iter().take(DOUBTS) {
        let Some(first) = all.first() else { continue };
        let more = match all.len() - 1 {
            0 => "",
            1 => " Another row likewise, with figures of its own (--json).",
            _ => " Other rows likewise, with figures of their own (--json).",
        };
        let words = show::sentences(first, 700);
        out.push_str(&paragraph(&format!("Told as no better than near: {words}{more}"), 0));
    }
    if seen.len() > DOUBTS {
        let more = seen.len() - DOUBTS;
        let s = if more == 1 { "" } else { "s" };
        out.push_str(&paragraph(&format!("{more} more doubt{s} of other kinds: see --json."), 0));
    }
    out
}

/// What two doubts that differ in their figures alone share: their words up to the first figure, where those say enough.
fn kind_of_doubt(words: &str) -> &str {
    let figure = words.find(|c: char| c.is_ascii_digit()).unwrap_or(words.len());
    if figure > 20 { &words[..figure] } else { words }
}

/// Of rows where a fixing that does not fit stands before all else, which no load, no grade and no other size of the same depth changes:
/// that it does, and what the timbers alone come to; empty where none is.
fn of_misfits<'a>(rows: impl Iterator<Item = &'a Row>) -> String {
    let mut most: Option<(&str, Option<f64>)> = None;
    let mut count = 0;
    for row in rows {
        let Some(first) = row.first.as_ref().filter(|f| f.what == "fixing") else { continue };
        let Some(key) = misfit::key_of(&first.rule) else { continue };
        count += 1;
        let alone = row.models.iter().filter(|m| m.governs).filter_map(|m| m.timber).reduce(f64::max);
        if count == 1 {
            most = Some((key, alone));
        }
    }
    let Some((key, alone)) = most else { return String::new() };
    let alone = match alone {
        Some(alone) if count == 1 => format!(" Its timbers alone: {}.", utilisation(alone)),
        Some(alone) => {
            format!(" Timbers alone, in the first of these rows: {} (others in --json).", utilisation(alone))
        }
        None => String::new(),
    };
    let rows = if count == 1 { "one row".to_owned() } else { format!("{count} rows") };
    paragraph(
        &format!(
            "In {rows} a fixing that does not fit its timber stands before all else: that is a length, which no load changes. Change \
             [fixings] {key} first.{alone}"
        ),
        0,
    )
}

fn of_feet<'a>(mut rows: impl Iterator<Item = &'a Row>) -> String {
    if !rows.any(|row| row.rests_on_feet) {
        return String::new();
    }
    let words = "Feet are entered as held against turning, by moments that were compared with nothing ([feet] moment): what \
                 rests on them is told as near at best.";
    paragraph(words, 0)
}

fn lettered(legend: &mut Legend, value: Option<f64>, first: Option<&First>) -> String {
    first
        .map_or_else(|| share(value, None), |f| format!("{} {}", share(value, first), legend.letter(kind(f))))
}

/// `compare` on a terminal.
#[must_use]
pub fn compare_text(project: &Title, study: &Compared) -> String {
    let show = show(project);
    let order = match (study.candidates.iter().any(Candidate::holds), study.left_out > 0) {
        (true, false) => "lightest first among those that hold",
        (true, true) => "not finished; of those that were worked out, lightest first among those that hold",
        (false, true) => "not finished; of those that were worked out none holds, least over first",
        (false, false) => {
            "none of them holds; those over their limits first, least over first, then what is unstable"
        }
    };
    let mut out = head(project, &format!("timbers side by side, {order}"), study.left_out);
    let own = own_sizes(show, &study.keep_their_own, "timber compared");
    let strips = if study.strips_set_aside.is_empty() {
        String::new()
    } else {
        let words = "[compare] strips stand in place of those that [[timber.group]] says of";
        paragraph(&format!("{words}: {}.", study.strips_set_aside.join(", ")), 0)
    };
    if !(own.is_empty() && strips.is_empty()) {
        out.push_str(&format!("{own}{strips}\n"));
    }
    let imperial = project.units == System::Imperial;
    let shared = shared_grade(&study.candidates);
    // What is the same for all of them is said under the table.
    let lengths: Vec<String> =
        study.candidates.iter().filter_map(|c| c.metres.map(|m| metres(m, imperial))).collect();
    let one_length = lengths.windows(2).all(|two| two[0] == two[1]);
    let table = |with_lift: bool| {
        let columns = Columns { grades: shared.is_none(), lengths: !one_length, lift: with_lift };
        side_by_side(study, show, columns)
    };
    let faults = study.candidates.iter().filter(|c| c.row.is_none());
    let fault = |c: &Candidate| show.sentence(&tame(c.fault.as_deref().unwrap_or_default(), 300));
    let faults: Vec<String> = faults.map(|c| format!("{}: {}", name(show, c), fault(c))).collect();
    let (mut grid, mut legend) = table(true);
    let with_lift = grid.fits();
    if !with_lift {
        (grid, legend) = table(false);
    }
    out.push_str(&grid.text());
    out.push('\n');
    out.push_str(&legend.text());
    if study.candidates.iter().any(|c| c.dominated) {
        out.push_str(&paragraph("*  another that holds is no heavier, no dearer and worked no harder", 3));
    }
    for fault in &faults {
        out.push_str(&paragraph(&format!("cannot be made: {fault}"), 3));
    }
    out.push('\n');
    let governs = study.candidates.iter().find_map(|c| c.row.as_ref()).map(governing).unwrap_or_default();
    let grade = shared.map_or_else(String::new, |grade| format!("All are of {}. ", tame(grade, 40)));
    let lift = if with_lift { "sag and lift" } else { "and sag (the lift is in --csv)" };
    let of_all = match lengths.first() {
        Some(length) if one_length => {
            format!("Each takes {length} {} of strips. ", if imperial { "ft" } else { "m" })
        }
        _ => String::new(),
    };
    out.push_str(&paragraph(
        &format!(
            "{grade}Each figure is the worst of timbers, fixings, feet and buckling over its limit, by joint model; \
             the verdict, where it gives way, {lift} are of the {governs}. {of_all}Mass and length are of all strips \
             between joints, without waste. Fixings, feet and loads stay as entered."
        ),
        0,
    ));
    let rows = || study.candidates.iter().filter_map(|c| c.row.as_ref());
    out.push_str(&of_sags(rows()));
    out.push_str(&of_misfits(rows()));
    out.push_str(&of_doubts(rows()));
    if study.stocked {
        out.push_str(&paragraph(
            &format!(
                "The file names no sections: these are the stocked sizes of the tables and the project's own. Name \
                 yours: [compare] sections = {}.",
                if imperial { "[\"2x4\", \"2x6\"]" } else { "[\"47x75 mm\", \"47x97 mm\"]" }
            ),
            0,
        ));
    }
    out + &tail(study.left_out)
}

/// Columns of the comparison that are not always there.
#[derive(Clone, Copy)]
struct Columns {
    /// The grade behind each timber.
    grades: bool,
    /// The length of timber.
    lengths: bool,
    /// The lift of a foot.
    lift: bool,
}

/// The timbers that could be worked out, a row each, and what the letters in it stand for.
fn side_by_side(study: &Compared, show: Printer, columns: Columns) -> (Grid, Legend) {
    let imperial = show.imperial();
    let priced = study.candidates.iter().any(|c| c.price.is_some());
    let models: Vec<String> = study
        .candidates
        .iter()
        .find_map(|c| c.row.as_ref())
        .map(|row| row.models.iter().map(|m| m.name.clone()).collect())
        .unwrap_or_default();
    let mut heads: Vec<String> = vec![if imperial { "timber, in" } else { "timber, mm" }.into()];
    heads.push(if imperial { "#lb" } else { "#kg" }.into());
    if columns.lengths {
        heads.push(if imperial { "#ft" } else { "#m" }.into());
    }
    if priced {
        heads.push(if study.currency.is_empty() {
            "#price".into()
        } else {
            format!("#{}", tame(&study.currency, 6))
        });
    }
    heads.extend(models.iter().map(|m| format!("#{m}")));
    heads.extend(["#gives way", if imperial { "#sag, in" } else { "#sag, mm" }].map(str::to_owned));
    if columns.lift {
        heads.push(format!("#lift, {}", show.force_unit()));
    }
    heads.push("verdict".to_owned());
    let mut table = Grid::new(&heads);
    let mut legend = Legend::default();
    for c in &study.candidates {
        let Some(row) = &c.row else { continue };
        let mut cells = vec![short_name(show, c, !columns.grades)];
        cells.push(c.mass.map_or_else(String::new, |m| bare(&show.mass(m))));
        if columns.lengths {
            cells.push(c.metres.map_or_else(String::new, |m| metres(m, imperial)));
        }
        if priced {
            cells.push(c.price.map_or_else(|| "–".to_owned(), |p| format!("{p:.0}")));
        }
        cells.extend(row.models.iter().map(|m| lettered(&mut legend, m.worst, m.first.as_ref())));
        cells.push(gives_way(row));
        cells.push(sag(show, row, bare));
        if columns.lift {
            cells.push(row.uplift.map_or_else(|| "–".to_owned(), |lift| show.force_bare(lift)));
        }
        cells.push(format!("{}{}", show::verdict(row.verdict), if c.dominated { " *" } else { "" }));
        table.row(cells);
    }
    (table, legend)
}

/// A figure without its unit; "under 0.1 mm" is "<0.1".
fn bare(text: &str) -> String {
    let figure = text.strip_prefix("under ").map_or_else(|| text.to_owned(), |rest| format!("<{rest}"));
    figure.split(' ').next().unwrap_or_default().to_owned()
}

/// A length of strips, whole.
fn metres(metres: f64, imperial: bool) -> String {
    figures(if imperial { metres / crate::units::FOOT } else { metres }, 3, 0)
}

/// The grade of all candidates, where it is one.
fn shared_grade(candidates: &[Candidate]) -> Option<&str> {
    let first = candidates.first()?;
    candidates.iter().all(|c| c.grade == first.grade).then_some(first.grade.as_str())
}

fn governing(row: &Row) -> String {
    let names: Vec<&str> = row.models.iter().filter(|m| m.governs).map(|m| m.name.as_str()).collect();
    format!("{} model{}", names.join(" and "), if names.len() > 1 { "s" } else { "" })
}
