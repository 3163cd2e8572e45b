//! Hand checks, what is not covered, questions, sources, and what is needed to repeat it.

use super::{Block, Builder, Cell, LONGEST, Table};
use crate::report::show::{figures, sentences, tame};

/// Characters of the input file that the notes carry; a longer one is cut and said to be.
const MOST_INPUT: usize = 200_000;

/// A ratio as per cent more or less, to two figures and no finer than a hundredth; as a multiple where it is far from one.
fn beside(ratio: f64) -> String {
    if ratio > 3.0 {
        return format!("{} times", figures(ratio, 2, 1));
    }
    let percent = (ratio - 1.0) * 100.0;
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
            let difference =
                if check.hand.abs() > 0.0 { beside(check.solver / check.hand) } else { "–".to_owned() };
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
                Cell::plain(sentences(&working, LONGEST)),
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
        self.places_of_joints();
        self.heading("To repeat this");
        let mut facts = vec![
            ("Program".to_owned(), format!("strutwise {}", tame(&a.strutwise, 30))),
            ("Basis".to_owned(), tame(&a.basis, 30)),
            ("Project file, SHA-256".to_owned(), tame(&a.input_sha256, 80)),
        ];
        let further = a.further_files.iter();
        facts.extend(
            further.map(|file| (format!("{}, SHA-256", tame(&file.name, 80)), tame(&file.sha256, 80))),
        );
        self.blocks.push(Block::Facts(facts));
        self.say(
            "Each checksum is of one file alone, as sha256sum (certutil -hashfile FILE SHA256, shasum -a 256) gives it. The project file \
             as it was read follows.",
        );
        let mut text: String = a.input_text.chars().take(MOST_INPUT).collect();
        if text.len() < a.input_text.len() {
            text.push_str("\n… (cut here; the file is longer)\n");
        }
        self.blocks.push(Block::Code { title: "Project file".to_owned(), text });
    }
}

#[cfg(test)]
mod tests {
    use super::beside;

    #[test]
    fn a_small_difference_is_no_power_of_ten() {
        for (ratio, told) in [
            (0.9982, "−0.18 %"),
            (1.05, "5 %"),
            (0.516, "−48 %"),
            (2.1, "110 %"),
            (1.0 - 1e-12, "0 %"),
            (1.0, "0 %"),
            (7.3, "7.3 times"),
            (121.0, "120 times"),
            (-0.5, "−150 %"),
        ] {
            assert_eq!(beside(ratio), told);
        }
    }
}
