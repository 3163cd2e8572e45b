//! `seams` in words.

use super::grid::{Grid, Legend, paragraph};
use super::{gives_way, governing, head, lettered, of_doubts, of_sags, sag, tail};
use crate::report::show::{self, Printer, figures, utilisation};
use crate::study::Title;
use crate::study::row::Row;
use crate::study::seams::SeamStudy;

/// `seams` on a terminal.
#[must_use]
pub fn seams_text(project: &Title, study: &SeamStudy) -> String {
    let show = super::show(project);
    let mut out = head(project, "how much rests on the stiffness of the seams", study.left_out);
    out.push_str(&paragraph(&of_stiffness(study, show), 0));
    if study.entered.rests_on_feet && !study.points.iter().any(|point| point.row.rests_on_feet) {
        let words = "The verdict of check rests on feet that are entered as held against turning, by moments that were \
                     compared with nothing ([feet] moment).";
        out.push_str(&paragraph(words, 0));
    }
    out.push('\n');
    let mut table =
        Grid::new(&["#times", "#stiffness", "#worst", "#timber", "#gives way", "#sag", "verdict"]);
    let mut legend = Legend::default();
    let mut line = |times: String, stiffness: String, row: &Row| {
        table.row(vec![
            times,
            stiffness,
            lettered(&mut legend, row.worst, row.first.as_ref()),
            row.models.first().and_then(|m| m.timber).map_or_else(|| "–".to_owned(), utilisation),
            gives_way(row),
            sag(show, row, str::to_owned),
            show::verdict(row.verdict).to_owned(),
        ]);
    };
    if let Some(pinned) = &study.pinned {
        line("0".to_owned(), "none (pinned)".to_owned(), pinned);
    }
    for p in &study.points {
        let times = p.times.map_or_else(|| "–".to_owned(), |t| figures(t, 2, 2));
        line(times, show.seam_stiffness(p.stiffness), &p.row);
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
    out.push_str(&of_sags(study.points.iter().map(|p| &p.row).chain(&study.pinned)));
    out.push_str(&of_doubts(study.points.iter().map(|p| &p.row)));
    out + &tail(study.left_out)
}

/// Which stiffness the figures go out from, and what the verdict of `check` has to do with it.
fn of_stiffness(study: &SeamStudy, show: Printer) -> String {
    let known = match study.stiffness {
        Some(_) if study.is_of_verdict() => {
            return format!("The stiffness of the verdict is {}.", show.sentence(&study.origin));
        }
        Some(_) => format!("The stiffness is {}.", show.sentence(&study.origin)),
        None => {
            "No stiffness of the seams is known: the sweep goes over a range of this program's own choice."
                .to_owned()
        }
    };
    format!(
        "{known} The verdict of check, {}, is of the {}; the seam model was added here.",
        show::verdict(study.entered.verdict),
        governing(&study.entered)
    )
}
