//! Whether the design relies on the stiffness of its seams, in words.

use crate::assess::results::Verdict;
use crate::study::row::Row;
use crate::study::seams::{Point, Turn};
use crate::units::significant;

/// How a row stands, in words.
fn told(row: &Row) -> String {
    match row.verdict {
        Verdict::Within | Verdict::Near => "it holds".to_owned(),
        Verdict::Over => format!("it is over its limits ({})", row.governs()),
        Verdict::Unstable => format!("it is unstable ({})", row.governs()),
    }
}

/// "at 0.53 times as stiff", of a known stiffness.
fn times(turn: &Turn) -> String {
    turn.times.map_or_else(String::new, |times| format!("{} times", significant(times, 2)))
}

/// Of a whole sweep, its turns and the pinned model. `stretches`: how many there are in which one and the same thing gives.
pub(super) fn words(
    known: Option<f64>,
    points: &[Point],
    turns: &[Turn],
    stretches: usize,
    pinned: &Row,
) -> String {
    let Some(first) = points.first() else { return "Nothing was worked out.".to_owned() };
    if turns.is_empty() {
        return throughout(known.is_some(), &first.row, stretches, pinned);
    }
    let Some(k) = known else {
        return "No stiffness of the seams is known, and the answer turns within the range tried: enter one, \
                measure it on a bench (two panels, a weight and a ruler), or enter the fixings."
            .to_owned();
    };
    // The nearest turns either side of the stiffness that the verdict uses.
    let below = turns.iter().rev().find(|t| t.stiffness <= k);
    let above = turns.iter().find(|t| t.stiffness > k);
    let holds = points.iter().find(|p| p.times == Some(1.0)).is_some_and(|p| p.row.holds());
    match (holds, below, above) {
        (true, Some(below), Some(above)) => format!(
            "The design relies on the stiffness of the seams: it holds as entered, and neither with seams below {} as \
             stiff nor with those above {}.",
            times(below),
            times(above)
        ),
        (true, Some(below), None) => format!(
            "The design relies on the stiffness of the seams: below {} as stiff it does not hold. Test a seam before \
             believing the answer.",
            times(below)
        ),
        (true, None, above) => {
            let stiffer = above.map_or_else(String::new, |above| {
                format!(" Above {} as stiff they draw more moment, and it does not hold.", times(above))
            });
            if pinned.holds() {
                format!(
                    "The design does not rely on stiff seams: softer ones hold as well, and none at all (the pinned \
                     model).{stiffer}"
                )
            } else {
                format!("{}{stiffer}", some_stiffness(pinned))
            }
        }
        (false, _, Some(above)) => {
            let further = turns.iter().find(|t| t.stiffness > above.stiffness);
            let where_it_holds = further.map_or_else(
                || format!("from {} as stiff", times(above)),
                |further| format!("only from {} to {} as stiff", times(above), times(further)),
            );
            format!(
                "It does not hold as entered and would {where_it_holds}, if such seams can be made and their fixings hold."
            )
        }
        (false, Some(below), None) => {
            let none = if first.row.holds() && !pinned.holds() {
                format!(" With none at all (the pinned model) {}.", told(pinned))
            } else {
                String::new()
            };
            format!(
                "It does not hold as entered; seams just below {} as stiff would draw less moment and hold.{none}",
                times(below)
            )
        }
        (false, None, None) => "It does not hold as entered.".to_owned(),
    }
}

/// Where the softest seams that were tried hold, and those of no stiffness do not.
fn some_stiffness(pinned: &Row) -> String {
    format!(
        "The design relies on some stiffness of the seams: it holds down to a tenth of that above, the softest that was \
         tried, and with none at all (the pinned model) {}.",
        told(pinned)
    )
}

/// Where nothing turns: `first` is as all of them are.
fn throughout(known: bool, first: &Row, stretches: usize, pinned: &Row) -> String {
    let range = if known { "from a tenth to ten times as stiff" } else { "over the range tried" };
    match (first.holds(), pinned.holds()) {
        (true, true) => format!(
            "Within or near its limits with seams {range}, and with none at all (the pinned model): the answer does not \
             rely on their stiffness."
        ),
        (true, false) if known => some_stiffness(pinned),
        (true, false) => format!(
            "Within or near its limits with seams {range}: the answer relies on some stiffness of them, as with none at \
             all (the pinned model) {}.",
            told(pinned)
        ),
        (false, true) => format!(
            "Over its limits or unstable with seams {range}; with no stiffness at all (the pinned model) it holds: stiff \
             seams draw moment, and what gives is {}.",
            first.governs()
        ),
        (false, false) if stretches > 1 => format!(
            "Over its limits or unstable with seams {range}, and with none at all (the pinned model): no stiffness that \
             was tried makes it hold, though what gives changes with it."
        ),
        (false, false) => format!(
            "Over its limits or unstable with seams {range}, and with none at all (the pinned model): their stiffness is \
             not what decides. What gives is {}.",
            first.governs()
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::study::row::{by_hand, first_by_hand};

    fn row(verdict: Verdict, rule: &str) -> Row {
        by_hand(verdict, first_by_hand("shell", rule))
    }

    fn point(times: f64, verdict: Verdict) -> Point {
        Point { times: Some(times), stiffness: 1000.0 * times, row: row(verdict, "buckling") }
    }

    fn turn(times: f64, verdicts: [Verdict; 2]) -> Turn {
        Turn { stiffness: 1000.0 * times, times: Some(times), verdicts, gives: "buckling".to_owned() }
    }

    /// Seams of a tenth are not none: what is said of relying on them looks at the pinned model too.
    #[test]
    fn nothing_is_said_not_to_rely_on_seams_that_folds_without_them() {
        use Verdict::{Near, Over, Unstable, Within};
        let all = |verdicts: [Verdict; 3]| {
            [0.1, 1.0, 10.0].iter().zip(verdicts).map(|(t, v)| point(*t, v)).collect::<Vec<_>>()
        };
        let folds = row(Unstable, "folds without resistance");
        let over = row(Over, "buckling");
        let within = row(Within, "buckling");
        let said = words(Some(1000.0), &all([Within; 3]), &[], 0, &folds);
        assert!(
            said.contains("holds down to a tenth") && said.contains("it is unstable (folds without"),
            "{said}"
        );
        assert!(!said.contains("not rely"), "{said}");
        let said = words(Some(1000.0), &all([Near; 3]), &[], 0, &over);
        assert!(said.contains("(the pinned model) it is over its limits (buckling)."), "{said}");
        let said = words(Some(1000.0), &all([Within; 3]), &[], 0, &within);
        assert!(said.contains("and with none at all (the pinned model): the answer does not rely"), "{said}");
        let said = words(None, &all([Within; 3]), &[], 0, &folds);
        assert!(!said.contains("not rely") && !said.contains("a tenth"), "{said}");
        // Stiffer seams draw moment.
        let stiff = [turn(3.16, [Near, Over])];
        let said = words(Some(1000.0), &all([Within, Within, Over]), &stiff, 0, &within);
        assert!(
            said.contains("does not rely on stiff seams") && said.contains("Above 3.2 times as stiff"),
            "{said}"
        );
        let said = words(Some(1000.0), &all([Within, Within, Over]), &stiff, 0, &folds);
        assert!(!said.contains("not rely") && said.contains("Above 3.2 times as stiff"), "{said}");
        let soft = [turn(0.53, [Over, Near])];
        let said = words(Some(1000.0), &all([Over, Within, Within]), &soft, 0, &folds);
        assert!(
            said.contains("relies on the stiffness") && said.contains("below 0.53 times as stiff"),
            "{said}"
        );
        let said = words(Some(1000.0), &all([Within, Over, Over]), &[turn(0.5, [Near, Over])], 0, &folds);
        assert!(
            said.contains("just below 0.5 times") && said.contains("none at all (the pinned model) it is"),
            "{said}"
        );
    }

    #[test]
    fn where_nothing_holds_the_pinned_model_may() {
        let points = [point(0.1, Verdict::Over), point(1.0, Verdict::Over)];
        let (over, within) = (row(Verdict::Over, "buckling"), row(Verdict::Within, "buckling"));
        let said = words(Some(1000.0), &points, &[], 2, &over);
        assert!(!said.contains("not what decides") && !said.contains("What gives is"), "{said}");
        let said = words(Some(1000.0), &points, &[], 1, &over);
        assert!(said.contains("not what decides. What gives is buckling"), "{said}");
        let said = words(Some(1000.0), &points, &[], 1, &within);
        assert!(said.contains("(the pinned model) it holds: stiff seams draw moment"), "{said}");
    }
}
