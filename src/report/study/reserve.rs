//! `reserve` in words: how much of each load is left, what a small change does, what is left without one part.

use super::grid::{Grid, paragraph};
use super::{folds, governing, head, of_doubts, share, tail};
use crate::assess::results::Verdict;
use crate::report::show::{self, figures, tame, utilisation};
use crate::study::Title;
use crate::study::loss::Losses;
use crate::study::reserve::{Reserves, Standing};
use crate::study::row::First;
use crate::study::sensitivity::Sensitivity;

/// `reserve` on a terminal.
#[must_use]
pub fn reserve_text(
    project: &Title,
    study: &Reserves,
    sensitivity: Option<&Sensitivity>,
    losses: Option<&Losses>,
) -> String {
    let show = super::show(project);
    let mut out = head(project, "how much more of each load until the first limit");
    let entered = &study.entered;
    out.push_str(&paragraph(
        &format!(
            "As entered: {}, {}{}. The verdict is of the {} (all else as entered in what follows).",
            show::verdict(entered.verdict),
            entered.worst.filter(|_| !folds(entered.first.as_ref())).map_or_else(
                || entered.governs(),
                |w| format!("worst {}, {}", utilisation(w), entered.governs())
            ),
            // What governs is of one model; the others that count may hold.
            entered.first.as_ref().map_or_else(String::new, |f| format!(" ({})", f.model_words())),
            governing(entered)
        ),
        0,
    ));
    out.push_str(&of_doubts(std::iter::once(entered)));
    out.push('\n');
    for one in &study.loads {
        let entered =
            one.entered.map_or_else(|| "as entered".to_owned(), |v| format!("{} entered", show.pressure(v)));
        let at = |factor: f64| {
            let times = format!("{} times", figures(factor, 3, 2));
            one.entered.map_or_else(|| times.clone(), |v| format!("{} ({times})", show.pressure(v * factor)))
        };
        let first = one.first.as_ref();
        let gives = first.map_or_else(String::new, |f| {
            format!("{} ({}{}; {})", f.words(), f.clause, under(f), f.model_words())
        });
        let line = match (one.standing, one.factor) {
            (Standing::Above, Some(f)) => format!("first limit at {}: {gives}", at(f)),
            (Standing::Below, Some(f)) => {
                format!(
                    "OVER as entered; within the limits up to {}, where the first limit is {gives}",
                    at(f)
                )
            }
            (Standing::OverWithoutIt, _) => {
                format!("OVER as entered, and with none of this load too, when what is worst is {gives}")
            }
            _ => format!("no limit found up to {}", at(one.tried)),
        };
        out.push_str(&paragraph(&format!("{}: {entered}; {line}", one.name), 2));
    }
    if let Some(grid) = &study.grid {
        let value = |load, factor: f64| {
            let entered = study.loads.iter().find(|r| r.load == load).and_then(|r| r.entered);
            entered.map_or_else(|| format!("{factor} times"), |v| show.pressure(v * factor))
        };
        let mut heads = vec!["snow \\ wind".to_owned()];
        heads.extend(grid.wind.iter().map(|&w| value(crate::study::vary::Load::Wind, w)));
        let mut table = Grid::new(&heads);
        for (s, &factor) in grid.snow.iter().enumerate() {
            let mut cells = vec![value(crate::study::vary::Load::Snow, factor)];
            cells.extend(grid.verdict[s].iter().zip(&grid.worst[s]).map(|(verdict, worst)| {
                match (verdict, worst) {
                    (None, _) => "stopped".to_owned(),
                    (Some(Verdict::Unstable), _) => "unstable".to_owned(),
                    (Some(v), Some(w)) => format!("{} {}", show::verdict(*v), utilisation(*w)),
                    (Some(v), None) => format!("{} beyond", show::verdict(*v)),
                }
            }));
            table.row(cells);
        }
        out.push_str("\nSnow against wind, the verdict and the worst utilisation\n");
        out.push_str(&table.text());
    }
    if let Some(s) = sensitivity {
        out.push_str(&sensitivity_text(s));
    }
    if let Some(l) = losses {
        out.push_str(&losses_text(l));
    }
    out + &tail(study.left_out + losses.map_or(0, |l| l.left_out))
}

/// "; under 1.35 weight + 1.5 snow"; a mechanism folds under no combination in particular.
fn under(first: &First) -> String {
    if first.combination.is_empty() {
        return String::new();
    }
    format!("; under {}", tame(&first.combination, 120))
}

fn sensitivity_text(study: &Sensitivity) -> String {
    let mut out = format!(
        "\nWhat a small change does to the worst utilisation, {} as entered\n",
        share(study.worst, None)
    );
    let mut table = Grid::new(&["change", "#worst", "#by", "#timber", "#by", "what governs then"]);
    let by = |growth: Option<f64>| {
        growth.map_or_else(
            || "–".to_owned(),
            |g| {
                let percent = figures((g * 100.0).abs(), 2, 1);
                let sign = if g < 0.0 { "−" } else { "+" };
                if percent == "0" || g.abs() < 5e-4 { "0 %".to_owned() } else { format!("{sign}{percent} %") }
            },
        )
    };
    for c in study.changes.iter().filter(|c| c.fault.is_none()) {
        let governs = tame(&c.governs, 23);
        table.row(vec![
            c.what.clone(),
            share(c.worst, None),
            by(c.growth),
            c.timber.map_or_else(|| "–".to_owned(), utilisation),
            by(c.timber_growth),
            governs,
        ]);
    }
    out.push_str(&table.text());
    for c in &study.changes {
        if let Some(fault) = &c.fault {
            out.push_str(&paragraph(&format!("{}: cannot be tried: {}", c.what, tame(fault, 200)), 2));
        }
    }
    out
}

/// Losses told one by one.
const LOSSES: usize = 3;

fn losses_text(study: &Losses) -> String {
    let count = |verdict| study.losses.iter().filter(|l| l.verdict == verdict).count();
    let mut out = format!(
        "\nLoss of one part, under {} ({} with nothing lost)\n",
        if study.by_strength {
            "the combinations of strength, as the project's own list has none of service"
        } else {
            "service loads"
        },
        share(study.whole.worst, study.whole.first.as_ref())
    );
    for l in study.losses.iter().take(LOSSES) {
        let gives =
            l.first.as_ref().map_or_else(String::new, |f| format!(", {} ({})", f.words(), f.model_words()));
        // What folds says so in what governs.
        let figure = if folds(l.first.as_ref()) {
            String::new()
        } else {
            format!(", {}", share(l.worst, l.first.as_ref()))
        };
        let (id, verdict) = (tame(&l.id, 20), show::verdict(l.verdict));
        out.push_str(&paragraph(&format!("without {} {id}: {verdict}{figure}{gives}", l.what), 2));
    }
    let more = study.losses.len().saturating_sub(LOSSES);
    if more > 0 {
        out.push_str(&paragraph(
            &format!(
                "These are the worst {LOSSES}; {more} more are not shown here (--json has all of them)."
            ),
            0,
        ));
    }
    out.push_str(&paragraph(
        &format!(
            "Of {} parts taken away in turn {} leave it unstable and {} over. What a lost timber carried goes to its \
             ends; the load of a lost panel stays on the timbers around it. Partial factors as for an accident.",
            study.losses.len(),
            count(Verdict::Unstable),
            count(Verdict::Over)
        ),
        0,
    ));
    out
}
