//! The answer over ranges of inputs in words, the same for the terminal and for the notes.

use std::collections::BTreeSet;

use crate::assess::held_feet::TELLING;
use crate::assess::ranged::{Beyond, PointResult, RangeResults, Ranges, Spread};
use crate::assess::results::Verdict;
use crate::report::show::{self, Printer, sentences, tame, utilisation};

/// What the ranges are, how many points were tried, and which of them the rest is about.
pub(crate) fn opening(r: &Ranges) -> String {
    let inputs: Vec<String> =
        r.inputs.iter().map(|input| format!("{} {}", tame(&input.key, 60), tame(&input.words, 60))).collect();
    let tried = if r.left_out > 0 {
        format!(
            "STOPPED: only {} of their corners and {} points within were tried, {} were not, so nothing is said of \
             the whole range",
            r.corners.len(),
            r.within.len(),
            r.left_out
        )
    } else {
        let s = if r.within.len() == 1 { "" } else { "s" };
        format!("all {} corners and {} point{s} within were tried", r.corners.len(), r.within.len())
    };
    let are = if inputs.len() == 1 {
        "1 input is a range".to_owned()
    } else {
        format!("{} inputs are ranges", inputs.len())
    };
    format!(
        "{are} ({}); {tried}. All else here is of the worst, {}: {}.",
        inputs.join("; "),
        r.worst,
        sentences(&r.worst_words, 2000)
    )
}

/// Results over the ranges: name and words.
pub(crate) fn results(r: &Ranges, show: Printer) -> Vec<(String, String)> {
    let folds = "folds";
    let mut out = vec![("verdict".to_owned(), verdicts(r))];
    for model in &r.results.models {
        let governs = if model.governs { "" } else { ", not in the verdict" };
        let [best, worst] = model.verdicts.map(show::verdict);
        let verdicts = if best == worst { best.to_owned() } else { format!("{best} to {worst}") };
        let words = spread(&model.utilisation, utilisation, folds);
        out.push((model.name.clone(), format!("{words} of the limit ({verdicts}{governs})")));
        if model.timber.least.is_some() && model.timber != model.utilisation {
            let words = spread(&model.timber, utilisation, folds);
            out.push((String::new(), format!("its timbers {words}")));
        }
    }
    let whole = &r.results;
    out.push(("gives way".to_owned(), spread(&whole.gives_way, show::gives_way, "no factor")));
    out.push(("sag".to_owned(), spread(&whole.sag, |v| show.movement(v), folds)));
    out.push(("uplift".to_owned(), spread(&whole.uplift, |v| show.force(v), folds)));
    out.push(("slide".to_owned(), spread(&whole.slide, |v| show.force(v), folds)));
    if whole.net_lift.greatest.is_some_and(|net| net > 0.0) {
        out.push((
            "net lift".to_owned(),
            format!("of the whole {}", spread(&whole.net_lift, |v| show.force(v), folds)),
        ));
    }
    if whole.tipping.greatest.is_some_and(|moment| moment > 0.0) {
        let words = spread(&whole.tipping, |v| show.large_moment(v), folds);
        out.push(("tipping".to_owned(), format!("{words}, less what weight holds")));
    }
    if feet_turn(whole) {
        out.push(("feet hold".to_owned(), spread(&whole.foot_moment, |v| moment(show, v), folds)));
    }
    out
}

/// Whether feet that are held against turning hold a moment worth telling.
fn feet_turn(whole: &RangeResults) -> bool {
    whole.foot_moment.greatest.is_some_and(|moment| moment >= TELLING)
}

fn moment(show: Printer, value: f64) -> String {
    format!("{} {}", show.moment_bare(value), show.moment_unit())
}

/// "within at 1, over at 3 of the 4 corners".
fn verdicts(r: &Ranges) -> String {
    let counts = &r.verdicts;
    let mut all = vec![
        (counts.within, Verdict::Within),
        (counts.near, Verdict::Near),
        (counts.over, Verdict::Over),
        (counts.unstable, Verdict::Unstable),
    ];
    all.retain(|(count, _)| *count > 0);
    if let [(count, verdict)] = all[..] {
        return format!("{} at each of the {count} corners", show::verdict(verdict));
    }
    let parts: Vec<String> =
        all.iter().map(|(count, verdict)| format!("{} at {count}", show::verdict(*verdict))).collect();
    format!("{} of the {} corners", parts.join(", "), r.corners.len())
}

fn spread(s: &Spread, words: impl Fn(f64) -> String, without: &str) -> String {
    let missing = match s.without {
        0 => String::new(),
        1 => format!(", {without} at 1 point"),
        count => format!(", {without} at {count} points"),
    };
    match (s.least, s.greatest) {
        (Some(least), Some(greatest)) if words(least) != words(greatest) => {
            format!("{} ({}) to {} ({}){missing}", words(least), s.least_at, words(greatest), s.greatest_at)
        }
        (Some(least), _) => format!("{}{missing}", words(least)),
        _ => format!("{without} at every point"),
    }
}

/// How far the corners bracket the answer, told of this run and of any.
pub(crate) fn remarks(r: &Ranges, show: Printer) -> Vec<String> {
    let mut out: Vec<String> = r.beyond_corners.iter().map(|beyond| beyond_words(beyond, show)).collect();
    if r.beyond_corners.is_empty() && !r.within.is_empty() {
        out.push("No point tried within the ranges is worse than every corner.".to_owned());
    }
    out.push(
        "Values between those tried may be worse still: lift, and what stiffer seams do, need not grow or fall all \
         the way from one end of a range to the other."
            .to_owned(),
    );
    out
}

fn beyond_words(beyond: &Beyond, show: Printer) -> String {
    let value = |v: Option<f64>| {
        v.map_or_else(
            || "no resistance".to_owned(),
            |v| match beyond.result.as_str() {
                "gives way" => show::gives_way(v),
                "sag" => show.movement(v),
                "uplift" | "slide" => show.force(v),
                "foot moment" => moment(show, v),
                _ => utilisation(v),
            },
        )
    };
    format!(
        "WORSE WITHIN than at any corner: {} at {} ({}; corners {}).",
        beyond.result,
        beyond.point,
        value(beyond.value),
        value(beyond.corners)
    )
}

/// The points that [`results`] and [`remarks`] name: id and where the inputs stand.
pub(crate) fn named(r: &Ranges) -> Vec<(String, String)> {
    let whole = &r.results;
    let spreads = [&whole.gives_way, &whole.sag, &whole.uplift, &whole.slide];
    let spreads = spreads
        .into_iter()
        .chain(feet_turn(whole).then_some(&whole.foot_moment))
        .chain(whole.models.iter().flat_map(|m| [&m.utilisation, &m.timber]));
    let mut ids: BTreeSet<&str> = spreads
        .filter(|s| s.least < s.greatest)
        .flat_map(|s| [s.least_at.as_str(), s.greatest_at.as_str()])
        .collect();
    ids.insert(&r.worst);
    ids.extend(r.beyond_corners.iter().map(|beyond| beyond.point.as_str()));
    let points = r.corners.iter().chain(&r.within);
    points.filter(|p| ids.contains(p.id.as_str())).map(|p| (p.id.clone(), ends(r, p))).collect()
}

/// "high snow.ground, wind.pressure; low fixings.lever", or "every input low".
pub(crate) fn ends(r: &Ranges, point: &PointResult) -> String {
    let of = |end: &str| -> Vec<String> {
        let at = r.inputs.iter().zip(&point.ends).filter(|(_, e)| *e == end);
        at.map(|(input, _)| tame(&input.key, 60)).collect()
    };
    let parts: Vec<String> = ["low", "middle", "high"]
        .iter()
        .map(|end| (end, of(end)))
        .filter(|(_, keys)| !keys.is_empty())
        .map(|(end, keys)| {
            if keys.len() == r.inputs.len() && keys.len() > 1 {
                format!("every input {end}")
            } else {
                format!("{end} {}", keys.join(", "))
            }
        })
        .collect();
    parts.join("; ")
}
