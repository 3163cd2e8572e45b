//! The worst timbers with their whole working, as a person would write it by hand.

use super::{Builder, Cell, LONGEST, Table};
use crate::report::alike::new_steps;
use crate::report::show::{capital, figures, outcome, sentences, tame, working_value};
use crate::rules::seams::ELSEWHERE;
use crate::rules::{Check, Compares, Standing, Step};

/// Things worked in full.
const MOST_WORKINGS: usize = 6;

impl Builder<'_> {
    pub(super) fn workings(&mut self) {
        let (a, show) = (self.assessment, self.show);
        self.heading("The worst of each, worked in full");
        if a.workings.is_empty() {
            self.say("No model could be solved, so there is nothing to work through.");
            return;
        }
        self.say(
            "Symbols are those of the document that is named beside them. min and max take the least and the greatest of \
             what stands in their brackets, sin, cos and tan are of degrees, ^ raises to a power. Of the forces: N pulls \
             where it is positive and pushes where it is negative; V out and M out bend the strip through the shell, M in \
             surface sideways, one way where positive and the other where negative.",
        );
        if show.imperial() {
            self.say(
                "A working keeps the units of the document that it follows, so that its coefficients hold.",
            );
        }
        for working in a.workings.iter().take(MOST_WORKINGS) {
            self.subheading(&format!(
                "{} {}, {}",
                capital(&working.what),
                tame(&working.id, 24),
                tame(&working.place, 80)
            ));
            self.say(format!(
                "{} model, under {}.",
                capital(&working.model),
                tame(&working.combination, 300)
            ));
            if !working.note.is_empty() {
                self.say(sentences(&working.note, LONGEST));
            }
            if !working.parts.is_empty() {
                let mut parts = Table::new(
                    "What each case brings to one strip at this place, before its factor",
                    &[
                        "Case",
                        "#Factor",
                        &format!("#N, {}", show.force_unit()),
                        &format!("#V out, {}", show.force_unit()),
                        &format!("#M out, {}", show.moment_unit()),
                        &format!("#M in surface, {}", show.moment_unit()),
                    ],
                );
                for part in &working.parts {
                    parts.row([
                        Cell::plain(tame(&part.case, 120)),
                        Cell::plain(figures(part.factor, 4, 3)),
                        Cell::plain(show.fine_force_bare(part.forces.n)),
                        Cell::plain(show.fine_force_bare(part.forces.vz)),
                        Cell::plain(show.moment_bare(part.forces.my)),
                        Cell::plain(show.moment_bare(part.forces.mz)),
                    ]);
                }
                self.table(parts, "");
            }
            // The governing check in full, after what it starts from, or else before the next as far as it differs; the
            // others as lines.
            let mut told: Vec<&Step> = Vec::new();
            let full = in_order_of_argument(&working.checks);
            if let (Some(governs), true) = (working.checks.first(), full.first() != Some(&0)) {
                self.say(format!(
                    "What governs, {}, comes last: the tables before it work out what it starts from.",
                    governs.rule
                ));
            }
            for &check in &full {
                self.check(&working.checks[check], &mut told);
            }
            if working.checks.len() > full.len() {
                let mut rest = Table::new("Its other checks", &["#Of its limit", "Check", "Clause"]);
                for (_, check) in working.checks.iter().enumerate().filter(|(n, _)| !full.contains(n)) {
                    rest.row([
                        match check.compares {
                            Compares::Load => Cell::utilisation(check.utilisation),
                            Compares::Room => Cell::plain(
                                if check.standing == Standing::Over { "no room" } else { "fits" }.to_owned(),
                            ),
                        },
                        Cell::plain(check.rule.clone()),
                        Cell::plain(check.clause.clone()),
                    ]);
                }
                self.table(rest, "");
            }
        }
        self.say("The command \"explain\" writes the same for any other timber.");
    }

    /// One check: the values that it starts from, then its steps. What stands in an earlier check of the
    /// same thing is not said again.
    fn check<'c>(&mut self, check: &'c Check, told: &mut Vec<&'c Step>) {
        let (fresh, repeated) = new_steps(check, told);
        let repeats = repeated > 0;
        let title = format!("{} ({}): {}", capital(&check.rule), check.clause, outcome(check));
        let mut given =
            Table::new(&format!("{title}; starting from"), &["What", "Symbol", "#Value", "Clause"]);
        let mut steps = Table::new(
            &if repeats { format!("{title}; what differs from the above") } else { title },
            &["What", "Symbol", "Formula", "With numbers", "#Value", "Clause"],
        );
        // A few values are read soonest in one table.
        let bare = |step: &&Step| step.formula.is_empty() && step.numbers.is_empty();
        let apart = check.steps.iter().filter(bare).count() > 5;
        for step in fresh {
            let unit = if step.unit == "–" { String::new() } else { format!(" {}", step.unit) };
            let bare_value = working_value(step.value);
            let value = Cell::plain(format!("{bare_value}{unit}"));
            // A formula that is a number, 1 for instance, is said once.
            let side = |text: &str| Cell::plain(if text == bare_value { "" } else { text });
            if apart && bare(&step) {
                given.row([
                    Cell::plain(step.words.clone()),
                    Cell::plain(step.symbol.clone()),
                    value,
                    Cell::plain(step.clause.clone()),
                ]);
            } else {
                steps.row([
                    Cell::plain(step.words.clone()),
                    Cell::plain(step.symbol.clone()),
                    side(&step.formula),
                    side(&step.numbers),
                    value,
                    Cell::plain(step.clause.clone()),
                ]);
            }
        }
        if !given.rows.is_empty() {
            self.table(given, "");
        }
        if !steps.rows.is_empty() {
            self.table(steps, "");
        }
    }
}

/// Which checks are written in full, and in what order. One that starts from what others work out, as fixings pulled and
/// sheared at once do, follows those; else the worst comes first and the next after it.
fn in_order_of_argument(checks: &[Check]) -> Vec<usize> {
    let Some(governs) = checks.first() else { return Vec::new() };
    let mut order: Vec<usize> = Vec::new();
    let taken = governs.steps.iter().filter(|step| step.formula.is_empty() && step.clause == ELSEWHERE);
    for step in taken {
        let works_it_out = |check: &Check| {
            check.steps.iter().any(|other| {
                !other.formula.is_empty()
                    && other.unit == step.unit
                    && other.value.to_bits() == step.value.to_bits()
            })
        };
        let found = checks.iter().enumerate().skip(1).find(|(_, check)| works_it_out(check));
        if let Some((number, _)) = found
            && !order.contains(&number)
        {
            order.push(number);
        }
    }
    let alone = order.is_empty();
    order.push(0);
    if alone && checks.len() > 1 {
        order.push(1);
    }
    order
}

#[cfg(test)]
mod tests {
    use super::*;

    fn step(symbol: &str, formula: &str, value: f64, clause: &str) -> Step {
        Step {
            words: String::new(),
            symbol: symbol.to_owned(),
            formula: formula.to_owned(),
            numbers: String::new(),
            value,
            unit: "N".to_owned(),
            clause: clause.to_owned(),
        }
    }

    #[test]
    fn what_a_check_starts_from_comes_before_it() {
        let like = crate::report::sample::sample().workings.remove(0).checks.remove(0);
        let with = |steps: Vec<Step>| Check { steps, ..like.clone() };
        let both = with(vec![
            step("F_ax,Rd", "", 4818.0, ELSEWHERE),
            step("F_v,Ed", "", 741.5, ELSEWHERE),
            step("η", "√(a^2 + b^2)", 0.65, ""),
        ]);
        let crushing = with(vec![step("F_w,Rd", "k·F", 4818.0, "")]);
        let shear = with(vec![step("F_v,Ed", "√(c^2 + d^2)", 741.5, "")]);
        let other = with(vec![step("a", "", 4818.0, "")]);
        let order = in_order_of_argument(&[both, shear.clone(), other.clone(), crushing]);
        assert_eq!(order, [3, 1, 0]);
        assert_eq!(in_order_of_argument(&[shear, other]), [0, 1]);
        assert!(in_order_of_argument(&[]).is_empty());
    }
}
