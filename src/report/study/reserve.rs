//! `reserve` in words: how much of each load is left, what a small change does, what is left without one part.

use super::amount::Amount;
use super::grid::{Grid, Legend, paragraph};
use super::{folds, governing, head, of_doubts, of_misfits, own_sizes, share, tail};
use crate::assess::results::Verdict;
use crate::assess::verdict::RESTS_ON_SEAMS;
use crate::report::misfit;
use crate::report::show::{self, Printer, figures, tame, utilisation};
use crate::study::Title;
use crate::study::loss::Losses;
use crate::study::reserve::{Reserves, Standing};
use crate::study::row::First;
use crate::study::sensitivity::Sensitivity;
use crate::study::vary::Load;

/// `reserve` on a terminal.
#[must_use]
pub fn reserve_text(
    project: &Title,
    study: &Reserves,
    sensitivity: Option<&Sensitivity>,
    losses: Option<&Losses>,
) -> String {
    let show = super::show(project);
    let mut out = head(project, "how much more of each load until the first limit", study.left_out);
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
    if entered.rests_on_seams {
        out.push_str(&paragraph(
            &format!(
                "{RESTS_ON_SEAMS} It holds only where joints are stiff: strutwise check says in which models."
            ),
            0,
        ));
    }
    out.push_str(&of_misfits(std::iter::once(entered)));
    out.push_str(&of_doubts(std::iter::once(entered)));
    out.push('\n');
    if study.loads.is_empty() && study.left_out == 0 {
        out.push_str(&paragraph(
            "No load was entered that could grow: what is left out or 0 says so above.",
            0,
        ));
    }
    for one in &study.loads {
        let amount = Amount::of(show, one);
        let first = one.first.as_ref();
        let gives = first.map_or_else(String::new, |f| {
            format!("{} ({}{}; {})", f.words(), f.clause, under(f), f.model_words())
        });
        let line = match (one.standing, one.factor) {
            (Standing::Above, Some(f)) => format!("first limit at {}: {gives}", amount.at(f)),
            (Standing::Below, Some(f)) => {
                format!(
                    "OVER as entered; within the limits up to {}, where the first limit is {gives}",
                    amount.at(f)
                )
            }
            (Standing::OverWithoutIt, _) => {
                format!("OVER as entered, and with none of this load too, when what is worst is {gives}")
            }
            _ => format!("no limit found up to {}", amount.at(one.tried)),
        };
        out.push_str(&paragraph(&format!("{}: {}; {line}", one.name, amount.entered()), 2));
    }
    if let Some(grid) = &study.grid {
        let of = |load| study.loads.iter().find(|r| r.load == load).map(|one| Amount::of(show, one));
        let (snow, wind) = (of(Load::Snow), of(Load::Wind));
        let value = |amount: Option<Amount>, factor: f64| amount.map_or_else(String::new, |a| a.head(factor));
        let mut heads = vec!["snow \\ wind".to_owned()];
        heads.extend(grid.wind.iter().map(|&w| value(wind, w)));
        let mut table = Grid::new(&heads);
        for (s, &factor) in grid.snow.iter().enumerate() {
            let mut cells = vec![value(snow, factor)];
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
        if wind.is_some_and(|wind| wind.is_speed()) {
            let times: Vec<String> = grid.wind.iter().map(|w| figures(*w, 2, 1)).collect();
            out.push_str(&paragraph(
                &format!(
                    "The wind is told as its speed; its pressure goes with the square of it, from left to right {} \
                     times that of the speed entered.",
                    times.join(", ")
                ),
                0,
            ));
        }
    }
    if let Some(s) = sensitivity {
        out.push_str(&sensitivity_text(show, s));
    }
    if let Some(l) = losses {
        out.push_str(&losses_text(l));
    }
    out + &tail(study.left_out + losses.map_or(0, |l| l.left_out))
}

/// "; under 1.35 weight + 1.5 snow"; a mechanism folds under no combination in particular, and no load makes what does not fit.
fn under(first: &First) -> String {
    let misfit = first.what == "fixing" && misfit::key_of(&first.rule).is_some();
    if first.combination.is_empty() || misfit {
        return String::new();
    }
    format!("; under {}", tame(&first.combination, 600))
}

fn sensitivity_text(show: Printer, study: &Sensitivity) -> String {
    let mut out = format!(
        "\nWhat a small change does to the worst utilisation, {} as entered\n",
        share(study.worst, None)
    );
    let mut table = Grid::new(&["change", "#worst", "#by", "#timber", "#by", "governs"]);
    let mut legend = Legend::default();
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
        let governs = legend.letter(tame(&c.governs, 300));
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
    out.push('\n');
    out.push_str(&legend.text());
    out.push_str(&own_sizes(show, &study.keep_their_own, "change of the timber"));
    for c in &study.changes {
        if let Some(fault) = &c.fault {
            let fault = show.sentence(&tame(fault, 300));
            out.push_str(&paragraph(&format!("{}: cannot be tried: {fault}", c.what), 2));
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
