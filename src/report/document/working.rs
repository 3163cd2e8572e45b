//! The worst timbers with their whole working, as a person would write it by hand.

use super::{Builder, Cell, Table};
use crate::report::show::{figures, tame, utilisation, working_value};

/// Things worked in full.
const MOST_WORKINGS: usize = 6;

impl Builder<'_> {
    pub(super) fn workings(&mut self) {
        let (a, show) = (self.assessment, self.show);
        self.heading("The worst timbers, worked in full");
        if a.workings.is_empty() {
            self.say("No model could be solved, so there is nothing to work through.");
            return;
        }
        for working in a.workings.iter().take(MOST_WORKINGS) {
            self.subheading(&format!(
                "{} {}, {}",
                working.what,
                tame(&working.id, 24),
                tame(&working.place, 80)
            ));
            self.say(format!("{} model, under {}.", working.model, tame(&working.combination, 300)));
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
            // The governing check in full; the others of the same thing follow as lines.
            for (n, check) in working.checks.iter().enumerate() {
                if n >= 2 {
                    break;
                }
                let mut table = Table::new(
                    &format!("{} ({}): {}", check.rule, check.clause, utilisation(check.utilisation)),
                    &["What", "Symbol", "Formula", "With numbers", "#Value", "Unit", "Clause"],
                );
                for step in &check.steps {
                    table.row([
                        Cell::plain(step.words.clone()),
                        Cell::plain(step.symbol.clone()),
                        Cell::plain(step.formula.clone()),
                        Cell::plain(step.numbers.clone()),
                        Cell::plain(working_value(step.value)),
                        Cell::plain(step.unit.clone()),
                        Cell::plain(step.clause.clone()),
                    ]);
                }
                self.table(table, "");
            }
            if working.checks.len() > 2 {
                let mut rest = Table::new("Its other checks", &["#Of its limit", "Check", "Clause"]);
                for check in &working.checks[2..] {
                    rest.row([
                        Cell::utilisation(check.utilisation),
                        Cell::plain(check.rule.clone()),
                        Cell::plain(check.clause.clone()),
                    ]);
                }
                self.table(rest, "");
            }
        }
        self.say("The command `explain` writes the same for any other timber.");
    }
}
