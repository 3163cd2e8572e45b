//! What concerns the shell as one body: lift, tipping, and the snap of one joint.

use super::{Builder, COMBINATION, Cell, LONGEST, Table};
use crate::assess::results::UpliftLine;
use crate::report::show::{beyond_number, buckling_factor, figures, sentences, tame, utilisation, verdict};

/// Combinations listed that lift feet.
const MOST_LIFTS: usize = 8;

impl Builder<'_> {
    /// Net lift and tipping of the shell as one body.
    pub(super) fn whole_on_its_feet(&mut self) {
        let (a, show) = (self.assessment, self.show);
        let mut lifts: Vec<&UpliftLine> = Vec::new();
        for line in a.balance.uplift.iter().filter(|line| line.lifting > 0.0) {
            // A combination for uplift may be one for strength over again.
            let same = |old: &&UpliftLine| {
                old.joint == line.joint
                    && old.net.to_bits() == line.net.to_bits()
                    && old.greatest.to_bits() == line.greatest.to_bits()
            };
            if lifts.len() < MOST_LIFTS && !lifts.iter().any(same) {
                lifts.push(line);
            }
        }
        if lifts.is_empty() && a.balance.tipping.is_none() {
            return;
        }
        self.subheading("The whole on its feet");
        if let Some(tipping) = &a.balance.tipping {
            let under = tame(&tipping.combination, COMBINATION);
            let towards = figures(tipping.towards_deg, 3, 0);
            let ranged = a.ranges.is_some();
            let point = if ranged {
                "At the worst point of the ranges (for others see there), nearest"
            } else {
                "Nearest"
            };
            let about = format!(
                "{point} to tipping over is the whole towards {towards}° (in plan, from x towards y) under {under}"
            );
            if tipping.moment <= 0.0 {
                self.say(format!(
                    "{about}: weight holds it with {} to spare, without its anchors.",
                    show.large_moment(-tipping.moment)
                ));
            } else {
                let left = show.large_moment(tipping.moment);
                let held = tipping.utilisation.map_or_else(
                    || {
                        ", and neither the strength of an anchor nor the weight of a pad was entered"
                            .to_owned()
                    },
                    |u| {
                        let held = show.large_moment(tipping.anchors);
                        if beyond_number(u) {
                            format!(", which hold {held}: nothing beside it")
                        } else {
                            format!(", which hold {held}: {} of their limit", utilisation(u))
                        }
                    },
                );
                let by = tipping.held_by.as_deref().unwrap_or("anchors");
                self.say(format!("{about}: beyond what weight holds, {left} is left to its {by}{held}."));
            }
        }
        let unit = show.force_unit();
        let mut table = Table::new(
            &format!("Lift of the whole, greatest first, in {unit}"),
            &[
                "Under",
                "#Net of weight",
                "#Of the feet that lift",
                "#Feet that lift",
                "#Greatest of one",
                "Foot",
            ],
        );
        for line in lifts {
            table.row([
                Cell::plain(tame(&line.combination, COMBINATION)),
                Cell::plain(show.force_bare(line.net)),
                Cell::plain(show.force_bare(line.lifting)),
                Cell::plain(line.feet_lifting.to_string()),
                Cell::plain(show.force_bare(line.greatest)),
                Cell::plain(tame(&line.joint, 20)),
            ]);
        }
        self.table(table, "No foot lifts under any combination.");
    }

    /// The joint that snaps first turning inside out, its neighbours held.
    pub(super) fn snap(&mut self) {
        let (a, show) = (self.assessment, self.show);
        let Some(snap) = &a.snap else { return };
        let factor = buckling_factor(snap.factor);
        let at = snap.force.map_or_else(
            // The search ends at the factor that is given then.
            || format!("it does not snap through up to {} times that load", figures(snap.factor, 2, 0)),
            |force| format!("it snaps through at {}, {factor} times that load", show.force(force)),
        );
        self.say(format!(
            "The joint nearest to snapping through inward is {}, whose bars slope by {}°. Pushed by {} under {}, {at}. {}",
            tame(&snap.joint, 20),
            figures(snap.slope_deg, 2, 1),
            show.force(snap.load),
            tame(&snap.combination, COMBINATION),
            show.sentence(&snap.words)
        ));
    }

    /// What stands while the rest is still to come.
    pub(super) fn stages(&mut self) {
        let (a, show) = (self.assessment, self.show);
        if a.stages.is_empty() {
            return;
        }
        self.subheading("While it is put up");
        let unit = show.force_unit();
        let mut table = Table::new(
            "Stages of the assembly, each checked as it stands",
            &[
                "Stage",
                "#Panels",
                "Verdict",
                "#Of its limit",
                &format!("#Lift of a foot, {unit}"),
                "In words",
            ],
        );
        for stage in &a.stages {
            table.row([
                Cell::plain(tame(&stage.name, 60)),
                Cell::plain(stage.panels.to_string()),
                Cell::plain(verdict(stage.verdict)),
                Cell::maybe(stage.worst.as_ref().map(|worst| worst.utilisation)),
                Cell::plain(stage.uplift.map_or_else(|| "–".to_owned(), |lift| show.force_bare(lift))),
                Cell::plain(sentences(&show.sentence(&stage.headline), LONGEST)),
            ]);
        }
        self.table(table, "");
    }
}
