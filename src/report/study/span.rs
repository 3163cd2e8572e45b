//! `span` in words.

use super::grid::{Grid, paragraph};
use super::{gives_way, governing, head, of_doubts, of_sags, own_sizes, sag, share, tail, timber};
use crate::report::show::{self, Printer, tame};
use crate::study::Title;
use crate::study::row::Row;
use crate::study::span::{Crossing, Sweep, Swept};

/// `span` on a terminal.
#[must_use]
pub fn span_text(project: &Title, study: &Swept) -> String {
    let show = super::show(project);
    let mut out = head(project, &format!("how far it can go, by its {}", study.vary), study.left_out);
    let own = own_sizes(show, &study.keep_their_own, "timber tried");
    if !own.is_empty() {
        out.push_str(&format!("{own}\n"));
    }
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
            "#gives way".into(),
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
                gives_way(row),
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
            let fault = show.sentence(&tame(fault, 300));
            let line = format!("not worked out at {}: {fault}", at.join(", "));
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
    let steps = || study.sweeps.iter().flat_map(|s| &s.steps);
    if steps().any(|step| step.span_of_curve.is_some()) {
        out.push_str(&paragraph(
            "Across is between the outermost joints; the curve that they stand on reaches further.",
            0,
        ));
    }
    let rows = || steps().filter_map(|s| s.row.as_ref());
    out.push_str(&of_sags(rows()));
    out.push_str(&of_doubts(rows()));
    out + &tail(study.left_out)
}

fn crossing_words(called: &str, sweep: &Sweep, study: &Swept, show: Printer) -> String {
    let place = |c: &Crossing| {
        let value = if study.counted {
            format!("{}", c.between[0])
        } else {
            show.length_rounded(c.between[0], !c.holds_below)
        };
        let across =
            c.span.map_or_else(String::new, |s| format!(", {} across", show.extent(s, c.span_of_curve)));
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
        words.push(match (rows().next(), rows().all(Row::holds), rows().any(Row::holds)) {
            (None, ..) => "Nothing could be worked out.".to_owned(),
            (_, true, _) => format!("{called} holds at every value tried."),
            (_, _, false) => format!("{called} holds at no value tried."),
            // Stopped before it was looked for, or what lies between could not be worked out.
            _ => format!("{called} holds at some values tried; where between them it turns is not known."),
        });
    }
    words.join(" ")
}
