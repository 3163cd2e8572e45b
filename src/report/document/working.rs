//! The worst timbers with their whole working, as a person would write it by hand.

use super::{Builder, Cell, Table};
use crate::report::alike::new_steps;
use crate::report::show::{capital, figures, outcome, tame, working_value};
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
                self.say(tame(&working.note, 800));
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
                        Cell::plain(show.force_bare(part.forces.n)),
                        Cell::plain(show.force_bare(part.forces.vz)),
                        Cell::plain(show.moment_bare(part.forces.my)),
                        Cell::plain(show.moment_bare(part.forces.mz)),
                    ]);
                }
                self.table(parts, "");
            }
            // The governing check in full, the next as far as it differs; the others as lines.
            let mut told: Vec<&Step> = Vec::new();
            for check in working.checks.iter().take(2) {
                self.check(check, &mut told);
            }
            if working.checks.len() > 2 {
                let mut rest = Table::new("Its other checks", &["#Of its limit", "Check", "Clause"]);
                for check in &working.checks[2..] {
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
