//! The anchor schedule, for the installer.

use super::results::MOST_FEET;
use super::{Builder, Cell, Table};
use crate::assess::results::{AnchorLine, ModelResult, Verdict};
use crate::report::show::tame;

impl Builder<'_> {
    /// `turned`: whether feet are held against turning.
    pub(super) fn anchor_schedule(&mut self, turned: bool) {
        let (a, show) = (self.assessment, self.show);
        let lines = &a.anchors;
        self.subheading("Anchor schedule");
        self.say("For the installer: what each anchor is to hold, as a design value. Out is level and away from the inside, as the \
             arrows above point, in is the other way, and along is level and square to both. Each is the greatest of its own, \
             not all at once; the level force of any direction is the greatest of what comes together, and an anchor may \
             have to hold it while it holds the lift. The greatest are those of the verdict's models, and of all others that carry their \
             loads, as nobody knows which of them the finished shell is nearest to; so they may be more than the table above has.");
        let folding: Vec<&str> = a.models.iter().filter(|m| folds(m)).map(|m| m.name.as_str()).collect();
        if !folding.is_empty() {
            let [model, are] = if folding.len() == 1 { ["model", "is"] } else { ["models", "are"] };
            self.say(format!(
                "The {} {model}, of which the verdict is as well, {are} unstable below the full load. Its forces are in the lines all the \
                 same: they are what its feet would have to hold if it stood, and no anchor makes it stand.",
                folding.join(" and ")
            ));
        }
        if a.ranges.as_ref().is_some_and(|ranges| !ranges.anchors.is_empty()) {
            let stages = if a.stages.is_empty() { "" } else { " Stages are of the worst point alone." };
            self.say(format!(
                "Inputs are ranges: each figure of the finished shell is the greatest over all points of them that were tried.{stages}"
            ));
        } else if a.ranges.is_some() {
            self.say(
                "Inputs are ranges, and this is of the worst point of them alone: at the others the shell stands on other feet. Another \
                 point may ask more of a foot.",
            );
        }
        let wind = a.cases.iter().any(|case| case.kind == "wind");
        if wind {
            self.say(
                "The wind was looked at from the directions that were entered, and from between them it may ask more of a foot than its \
                 own line says: give every foot of a kind what the greatest of its kind asks, as the lines of \"any foot\" have it.",
            );
        }
        if turned {
            self.say(
                "Feet are held against turning, so each anchor is to hold a moment as well, about any axis: its greatest, which \
                 may come with the lift and the level force.",
            );
        }
        let moment_head = format!("#Moment, {}", show.moment_unit());
        let mut heads = vec!["Foot", "State", "#Up", "#Down", "#Out", "#In", "#Along", "#Level, any way"];
        heads.extend(turned.then_some(moment_head.as_str()));
        heads.push("Anchor chosen");
        let mut schedule = Table::new(&format!("Anchors, in {}", show.force_unit()), &heads);
        let listed = lines.chunk_by(|a, b| a.joint == b.joint).take(MOST_FEET).flatten();
        for line in any_foot(lines).iter().chain(listed) {
            let mut row = vec![
                Cell::plain(tame(&line.joint, 20)),
                Cell::plain(tame(&line.state, 40)),
                Cell::plain(show.force_bare(line.up)),
                Cell::plain(show.force_bare(line.down)),
                Cell::plain(show.force_bare(line.out)),
                Cell::plain(show.force_bare(line.inward)),
                Cell::plain(show.force_bare(line.along)),
                Cell::plain(show.force_bare(line.level)),
            ];
            row.extend(turned.then(|| Cell::plain(show.moment_bare(line.moment))));
            row.push(Cell::plain(""));
            schedule.row(row);
        }
        self.table(
            schedule,
            "No schedule was worked out; the table of feet above gives the greatest values.",
        );
        if a.feet.len() > MOST_FEET {
            self.say(format!("The first {MOST_FEET} feet are shown; \"check --csv\" writes all."));
        }
    }
}

/// Whether a model has its forces in the schedule though it does not carry its loads.
fn folds(model: &ModelResult) -> bool {
    model.governs && model.mechanisms == 0 && model.verdict == Verdict::Unstable
}

/// The greatest of each figure of all feet, a line a state.
fn any_foot(lines: &[AnchorLine]) -> Vec<AnchorLine> {
    let mut out: Vec<AnchorLine> = Vec::new();
    for line in lines {
        match out.iter_mut().find(|any| any.state == line.state) {
            Some(any) => any.raise_to(line),
            None => out.push(AnchorLine { joint: "any foot".to_owned(), ..line.clone() }),
        }
    }
    out
}
