//! Studies for readers: text of 80 columns, JSON, CSV and one picture each. Nothing here works a
//! result out.

mod grid;
mod picture;
mod reserve;
mod reserve_picture;
mod sheet;
#[cfg(test)]
mod tests;

pub use picture::{compare_picture, seams_picture, span_picture};
pub use reserve::reserve_text;
pub(crate) use reserve_picture::load_reserves_picture;
pub use reserve_picture::reserve_picture;
pub use sheet::{compare_csv, seams_csv, span_csv};

use serde::Serialize;

use crate::assess::words::INDICATIVE;
use crate::report::show::{self, Show, buckling_factor, figures, tame, utilisation};
use crate::study::Title;
use crate::study::compare::{Candidate, Compared};
use crate::study::row::{First, Row};
use crate::study::seams::SeamStudy;
use crate::study::span::{Crossing, Swept};
use crate::units::System;
use grid::{Grid, Legend, paragraph};

fn show(project: &Title) -> Show {
    Show::new(if project.units == System::Imperial { "imperial" } else { "metric" })
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

fn head(project: &Title, what: &str) -> String {
    let point = project.point.as_ref().map_or_else(String::new, |point| {
        let words = "Inputs are ranges; this is at the worst point of them that `check` found, and elsewhere \
                     in them the answer may differ: ";
        paragraph(&format!("{words}{}.", tame(point, 600)), 0)
    });
    let left_out: String =
        project.not_in_it.iter().map(|words| paragraph(&show::sentences(words, 400), 0)).collect();
    paragraph(&format!("{}: {what}", tame(&project.name, 60)), 0) + &point + &left_out + "\n"
}

fn tail(left_out: usize) -> String {
    let mut out = String::from("\n");
    if left_out > 0 {
        out.push_str(&paragraph(
            &format!("STOPPED: {left_out} rows were not worked out and are missing."),
            0,
        ));
    }
    out + &paragraph(INDICATIVE, 0)
}

fn timber(show: Show, breadth: f64, depth: f64) -> String {
    let short = |metres: f64| show.size(metres).split(' ').next().unwrap_or_default().to_owned();
    format!("{} x {}", short(breadth), show.size(depth))
}

fn name(show: Show, c: &Candidate) -> String {
    let strips = c.strips.map_or_else(String::new, |n| format!(" x{n}"));
    format!("{} {}{strips}", timber(show, c.breadth, c.depth), tame(&c.grade, 14))
}

/// The name without the grade that all share, and without the unit, which stands in the heading.
fn short_name(show: Show, c: &Candidate, shared: bool) -> String {
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
fn sag(show: Show, row: &Row, form: impl Fn(&str) -> String) -> String {
    row.sag.map_or_else(
        || "–".to_owned(),
        |sag| {
            let mark = if show::beyond_linear(sag, row.span) { "!" } else { "" };
            format!("{}{mark}", form(&show.movement(sag)))
        },
    )
}

/// What the sags are, and what their mark means where one has it.
fn of_sags<'a>(mut rows: impl Iterator<Item = &'a Row>) -> String {
    let marked = rows.any(|row| row.sag.is_some_and(|sag| show::beyond_linear(sag, row.span)));
    let mark = if marked { format!(" ! {}", show::BEYOND_LINEAR) } else { String::new() };
    paragraph(&format!("Sags are linear figures, at once under service loads.{mark}"), 0)
}

/// Doubts told in full, at most.
const DOUBTS: usize = 3;

/// What keeps rows from being told as better than near: that they rest on feet whose moment was compared with nothing, and what else
/// is in doubt of them; empty where nothing is.
fn of_doubts<'a>(rows: impl Iterator<Item = &'a Row> + Clone) -> String {
    let mut out = of_feet(rows.clone());
    let mut seen: Vec<&String> = Vec::new();
    for doubt in rows.flat_map(|row| &row.doubts) {
        if !seen.contains(&doubt) {
            seen.push(doubt);
        }
    }
    for doubt in seen.iter().take(DOUBTS) {
        out.push_str(&paragraph(&format!("Told as no better than near: {}", show::sentences(doubt, 700)), 0));
    }
    if seen.len() > DOUBTS {
        let more = seen.len() - DOUBTS;
        let s = if more == 1 { "" } else { "s" };
        out.push_str(&paragraph(&format!("{more} more doubt{s} of the kind: see --json."), 0));
    }
    out
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
    let order = if study.candidates.iter().any(Candidate::holds) {
        "lightest first among those that hold"
    } else {
        "none of them holds; those over their limits first, least over first, then what is unstable"
    };
    let mut out = head(project, &format!("timbers side by side, {order}"));
    let models: Vec<String> = study
        .candidates
        .iter()
        .find_map(|c| c.row.as_ref())
        .map(|row| row.models.iter().map(|m| m.name.clone()).collect())
        .unwrap_or_default();
    let priced = study.candidates.iter().any(|c| c.price.is_some());
    let imperial = project.units == System::Imperial;
    let shared = shared_grade(&study.candidates);
    let lengths: Vec<String> =
        study.candidates.iter().filter_map(|c| c.metres.map(|m| metres(m, imperial))).collect();
    let one_length = lengths.windows(2).all(|two| two[0] == two[1]);
    // What is the same for all of them is said under the table.
    let table = |with_lift: bool| {
        let mut heads: Vec<String> = vec![if imperial { "timber, in" } else { "timber, mm" }.into()];
        heads.push(if imperial { "#lb" } else { "#kg" }.into());
        if !one_length {
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
        heads.extend(["#buckles", if imperial { "#sag, in" } else { "#sag, mm" }].map(str::to_owned));
        if with_lift {
            heads.push(format!("#lift, {}", show.force_unit()));
        }
        heads.push("verdict".to_owned());
        let mut table = Grid::new(&heads);
        let mut legend = Legend::default();
        for c in &study.candidates {
            let Some(row) = &c.row else { continue };
            let mut cells = vec![short_name(show, c, shared.is_some())];
            cells.push(c.mass.map_or_else(String::new, |m| bare(&show.mass(m))));
            if !one_length {
                cells.push(c.metres.map_or_else(String::new, |m| metres(m, imperial)));
            }
            if priced {
                cells.push(c.price.map_or_else(|| "–".to_owned(), |p| format!("{p:.0}")));
            }
            cells.extend(row.models.iter().map(|m| lettered(&mut legend, m.worst, m.first.as_ref())));
            cells.push(row.buckling.map_or_else(|| "–".to_owned(), buckling_factor));
            cells.push(sag(show, row, bare));
            if with_lift {
                cells.push(row.uplift.map_or_else(|| "–".to_owned(), |lift| show.force_bare(lift)));
            }
            cells.push(format!("{}{}", show::verdict(row.verdict), if c.dominated { " *" } else { "" }));
            table.row(cells);
        }
        (table, legend)
    };
    let faults = study.candidates.iter().filter(|c| c.row.is_none());
    let faults: Vec<String> =
        faults.map(|c| format!("{}: {}", name(show, c), c.fault.as_deref().unwrap_or_default())).collect();
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
        out.push_str(&paragraph(&format!("cannot be made: {}", tame(fault, 300)), 3));
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
             the verdict, buckling factor, {lift} are of the {governs}. {of_all}Mass and length are of all strips \
             between joints, without waste. Fixings, feet and loads stay as entered."
        ),
        0,
    ));
    let rows = || study.candidates.iter().filter_map(|c| c.row.as_ref());
    out.push_str(&of_sags(rows()));
    out.push_str(&of_doubts(rows()));
    if study.stocked {
        out.push_str(&paragraph(
            "The file names no sections: these are the stocked sizes of the tables and the project's own. Name \
             yours: [compare] sections = [\"47x75 mm\", \"47x97 mm\"].",
            0,
        ));
    }
    out + &tail(study.left_out)
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

/// `span` on a terminal.
#[must_use]
pub fn span_text(project: &Title, study: &Swept) -> String {
    let show = show(project);
    let mut out = head(project, &format!("how far it can go, by its {}", study.vary));
    let value = |v: f64| if study.counted { format!("{v}") } else { show.length(v) };
    let mut governs = None;
    let mut told: Vec<String> = Vec::new();
    for sweep in &study.sweeps {
        let called = format!("{} {}", timber(show, sweep.breadth, sweep.depth), tame(&sweep.grade, 30));
        out.push_str(&format!("{called}\n"));
        let mut table = Grid::new(&[
            format!("#{}", study.vary),
            "#across".into(),
            "#worst".into(),
            "#buckles".into(),
            "#sag".into(),
            "verdict".into(),
        ]);
        // The sizes that one and the same fault keeps from being worked out.
        let mut faults: Vec<(&str, Vec<String>)> = Vec::new();
        for step in &sweep.steps {
            let Some(row) = &step.row else {
                let fault = step.fault.as_deref().unwrap_or_default();
                match faults.iter_mut().find(|(known, _)| *known == fault) {
                    Some((_, at)) => at.push(value(step.value)),
                    None => faults.push((fault, vec![value(step.value)])),
                }
                continue;
            };
            governs = governs.or_else(|| Some(governing(row)));
            table.row(vec![
                value(step.value),
                step.span.map_or_else(String::new, |s| show.length(s)),
                share(row.worst, row.first.as_ref()),
                row.buckling.map_or_else(|| "–".to_owned(), buckling_factor),
                sag(show, row, str::to_owned),
                show::verdict(row.verdict).to_owned(),
            ]);
        }
        out.push_str(&table.text());
        for stretch in &sweep.stretches {
            let [a, b] = stretch.values.map(value);
            let range = if a == b { format!("at {a}") } else { format!("from {a} to {b}") };
            out.push_str(&paragraph(&format!("{range} what governs is {}", stretch.governs), 2));
        }
        for (fault, at) in faults {
            let line = format!("not worked out at {}: {}", at.join(", "), tame(fault, 300));
            // What other timbers were not worked out for as well is said with the first.
            if !told.contains(&line) {
                out.push_str(&paragraph(&line, 2));
                told.push(line);
            }
        }
        out.push_str(&paragraph(&crossing_words(&called, sweep, study, show), 2));
        out.push('\n');
    }
    let models = governs.unwrap_or_else(|| "models of the verdict".to_owned());
    out.push_str(&paragraph(
        &format!(
            "Worst of timbers, fixings, feet and buckling in the {models}. Loads stay as entered; so do the \
             fixings, and in longer seams there are no more of them than entered. A sphere's base plane goes \
             with its radius. Between two values that both hold nothing was looked at."
        ),
        0,
    ));
    let rows = || study.sweeps.iter().flat_map(|s| &s.steps).filter_map(|s| s.row.as_ref());
    out.push_str(&of_sags(rows()));
    out.push_str(&of_doubts(rows()));
    out + &tail(study.left_out)
}

fn crossing_words(called: &str, sweep: &crate::study::span::Sweep, study: &Swept, show: Show) -> String {
    let place = |c: &Crossing| {
        let value = if study.counted { format!("{}", c.between[0]) } else { show.length(c.between[0]) };
        let across = c.span.map_or_else(String::new, |s| format!(", {} across", show.length(s)));
        format!("{} {value}{across}", study.vary)
    };
    let mut words: Vec<String> = sweep
        .crossings
        .iter()
        .map(|c| {
            if c.holds_below {
                format!("{called} reaches its limit at {}: beyond it {} gives.", place(c), c.gives)
            } else {
                format!("{called} holds only from {} up: below it {} gives.", place(c), c.gives)
            }
        })
        .collect();
    if words.is_empty() {
        let rows = || sweep.steps.iter().filter_map(|s| s.row.as_ref());
        words.push(match (rows().next(), rows().all(Row::holds)) {
            (None, _) => "Nothing could be worked out.".to_owned(),
            (_, true) => format!("{called} holds at every value tried."),
            (_, false) => format!("{called} holds at no value tried."),
        });
    }
    words.join(" ")
}

/// `seams` on a terminal.
#[must_use]
pub fn seams_text(project: &Title, study: &SeamStudy) -> String {
    let show = show(project);
    let mut out = head(project, "how much rests on the stiffness of the seams");
    out.push_str(&paragraph(
        &match study.stiffness {
            Some(_) => format!("The stiffness of the verdict is {}.", show.sentence(&study.origin)),
            None => "No stiffness of the seams is known: the sweep goes over a range of this program's own choice."
                .to_owned(),
        },
        0,
    ));
    out.push('\n');
    let mut table = Grid::new(&["#times", "#stiffness", "#worst", "#timber", "#buckles", "#sag", "verdict"]);
    let mut legend = Legend::default();
    for p in &study.points {
        let model = p.row.models.first();
        table.row(vec![
            p.times.map_or_else(|| "–".to_owned(), |t| figures(t, 2, 2)),
            show.seam_stiffness(p.stiffness),
            lettered(&mut legend, p.row.worst, p.row.first.as_ref()),
            model.and_then(|m| m.timber).map_or_else(|| "–".to_owned(), utilisation),
            p.row.buckling.map_or_else(|| "–".to_owned(), buckling_factor),
            sag(show, &p.row, str::to_owned),
            show::verdict(p.row.verdict).to_owned(),
        ]);
    }
    out.push_str(&table.text());
    out.push('\n');
    out.push_str(&legend.text());
    out.push('\n');
    for t in &study.turns {
        let times = t.times.map_or_else(String::new, |t| format!(" ({} times)", figures(t, 2, 2)));
        out.push_str(&paragraph(
            &format!(
                "The verdict turns from {} to {} at {}{times}: {}.",
                show::verdict(t.verdicts[0]),
                show::verdict(t.verdicts[1]),
                show.seam_stiffness(t.stiffness),
                t.gives
            ),
            2,
        ));
    }
    out.push_str(&paragraph(&study.words, 0));
    for stretch in &study.stretches {
        let [from, to] = stretch.stiffness.map(|stiffness| show.seam_stiffness(stiffness));
        let times = stretch.times.map(|times| times.map(|t| figures(t, 2, 2)));
        let times = times.map_or_else(String::new, |[a, b]| {
            if a == b { format!(" ({a} times)") } else { format!(" ({a} to {b} times)") }
        });
        let range = if from == to { format!("At {from}") } else { format!("From {from} to {to}") };
        out.push_str(&paragraph(
            &format!(
                "{range}{times} it is {}: what gives is {}.",
                show::verdict(stretch.verdict),
                stretch.gives
            ),
            2,
        ));
    }
    out.push_str(&of_sags(study.points.iter().map(|p| &p.row)));
    out.push_str(&of_doubts(study.points.iter().map(|p| &p.row)));
    out + &tail(study.left_out)
}
