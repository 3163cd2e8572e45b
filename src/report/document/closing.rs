//! Hand checks, what is not covered, questions, sources, and what is needed to repeat it.

use super::{Block, Builder, Cell, Table};
use crate::report::show::{figures, sentences, tame};

/// Characters of the input file that the notes carry; a longer one is cut and said to be.
const MOST_INPUT: usize = 200_000;

/// A share as per cent, to two figures and no finer than a hundredth.
fn percent(share: f64) -> String {
    let percent = share * 100.0;
    format!("{} %", if percent.abs() < 0.005 { "0".to_owned() } else { figures(percent, 2, 2) })
}

impl Builder<'_> {
    pub(super) fn hand_checks(&mut self) {
        let (a, show) = (self.assessment, self.show);
        self.heading("Hand checks beside the solver");
        self.say(
            "Rough formulas that a checker can tick with a pencil. They leave things out, so they need not agree \
             closely; where one differs wildly without a reason, distrust both.",
        );
        let mut table = Table::new(
            "Hand checks",
            &["What", "Working", "#By hand", "#By solver", "Unit", "#Difference", "Remark"],
        );
        for check in &a.hand_checks {
            let difference = if !check.applies {
                "does not apply".to_owned()
            } else if check.hand.abs() > 0.0 {
                percent(check.solver / check.hand - 1.0)
            } else {
                "–".to_owned()
            };
            // Forces in the project's units; what else a formula gives stays in its own.
            let (hand, solver, unit) = if check.unit == "N" {
                (show.force_bare(check.hand), show.force_bare(check.solver), show.force_unit().to_owned())
            } else {
                (figures(check.hand, 3, 3), figures(check.solver, 3, 3), check.unit.clone())
            };
            let mut working = show.sentence(&check.working);
            if show.imperial() {
                // Pounds of mass weigh pounds of force.
                working = working.replace(" × 9.81 m/s²", "");
            }
            table.row([
                Cell::plain(tame(&check.what, 120)),
                Cell::plain(tame(&working, 300)),
                Cell::plain(hand),
                Cell::plain(solver),
                Cell::plain(unit),
                Cell::plain(difference),
                Cell::plain(sentences(&show.sentence(&check.remark), 1000)),
            ]);
        }
        self.table(table, "None was made for this shape.");
    }

    pub(super) fn closing(&mut self) {
        let a = self.assessment;
        self.heading("What is not covered");
        self.list(&a.not_covered, "No list was made. That does not mean that everything is covered.");
        self.heading("Questions to put to an engineer");
        self.list(&a.questions, "None beyond the above.");
        self.heading("Sources");
        self.list(&a.sources, "None were listed.");
        self.heading("To repeat this");
        self.blocks.push(Block::Facts(vec![
            ("Program".to_owned(), format!("strutwise {}", tame(&a.strutwise, 30))),
            ("Basis".to_owned(), tame(&a.basis, 30)),
            ("Input, SHA-256".to_owned(), tame(&a.input_sha256, 80)),
        ]));
        self.say("The input file as it was read follows. Files that it names are covered by the checksum.");
        let mut text: String = a.input_text.chars().take(MOST_INPUT).collect();
        if text.len() < a.input_text.len() {
            text.push_str("\n… (cut here; the file is longer)\n");
        }
        self.blocks.push(Block::Code { title: "Project file".to_owned(), text });
    }
}

#[cfg(test)]
mod tests {
    use super::percent;

    #[test]
    fn a_small_difference_is_no_power_of_ten() {
        for (share, told) in [
            (-0.0018, "−0.18 %"),
            (0.05, "5 %"),
            (-0.484, "−48 %"),
            (1.1, "110 %"),
            (-1e-12, "0 %"),
            (0.0, "0 %"),
        ] {
            assert_eq!(percent(share), told);
        }
    }
}
