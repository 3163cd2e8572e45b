//! Loads with pictures and the audit, and their combinations.

use super::{Block, Builder, Cell, Table};
use crate::report::draw::{Shown, View};
use crate::report::show::{figures, tame};

/// Cases that get a picture each.
const MOST_PICTURES: usize = 8;
/// Combinations listed one by one.
const MOST_COMBINATIONS: usize = 80;

impl Builder<'_> {
    pub(super) fn loads(&mut self) {
        let (a, show) = (self.assessment, self.show);
        self.heading("Loads");
        let left_out: Vec<String> = a
            .inputs
            .iter()
            .filter(|line| line.key.ends_with(".left_out"))
            .map(|line| {
                let load = line.key.trim_end_matches(".left_out");
                format!("{}: {}", tame(load, 30), tame(&line.value, 300))
            })
            .collect();
        if !left_out.is_empty() {
            self.notice("Loads left out by the user, with the reason given", left_out);
        }
        let mut table = Table::new(
            &format!("Cases, without factors: totals in {} along x, y and z (up)", show.force_unit()),
            &["Case", "Kind", "#Asked for", "#Applied", "#Reactions", "#Largest gap over the load"],
        );
        for case in &a.cases {
            let triple = |v: &[f64; 3]| v.map(|x| show.force_bare(tidy(x))).join(", ");
            let (model, reaction) = case
                .reactions
                .iter()
                .next()
                .map_or((String::new(), "–".to_owned()), |(m, r)| (m.clone(), triple(r)));
            let gap = case.residual.values().copied().fold(None, |most: Option<f64>, value| {
                Some(most.map_or(value, |most| if value.total_cmp(&most).is_gt() { value } else { most }))
            });
            let reactions = if model.is_empty() { reaction } else { format!("{reaction} ({model})") };
            table.row([
                Cell::plain(tame(&case.name, 120)),
                Cell::plain(case.kind.clone()),
                Cell::plain(triple(&case.asked)),
                Cell::plain(triple(&case.applied)),
                Cell::plain(reactions),
                Cell::plain(gap.map_or_else(|| "not solved".to_owned(), |gap| format!("{gap:.0e}"))),
            ]);
        }
        self.table(table, "No case was made.");
        self.say(
            "The audit: what each case asked for was worked out apart from the loads that went onto the frame, and \
             the reactions were added up after the solution. The largest gap is over all joint models.",
        );
        // A remark that many cases share is said once, with the cases.
        let mut shared: Vec<(String, Vec<String>)> = Vec::new();
        for case in &a.cases {
            let doubts = case.provisional.iter().map(|doubt| format!("PROVISIONAL: {}", tame(doubt, 400)));
            for remark in case.remarks.iter().map(|remark| tame(remark, 400)).chain(doubts) {
                let name = tame(&case.name, 120);
                match shared.iter_mut().find(|(known, _)| *known == remark) {
                    Some((_, names)) => names.push(name),
                    None => shared.push((remark, vec![name])),
                }
            }
        }
        let notes: Vec<String> =
            shared.into_iter().map(|(remark, names)| format!("{remark} ({})", names.join("; "))).collect();
        if !notes.is_empty() {
            self.subheading("Coefficients and choices");
            self.blocks.push(Block::List(notes));
        }
        self.load_pictures();
        self.combinations();
    }

    fn load_pictures(&mut self) {
        let a = self.assessment;
        self.subheading("Pictures of the loads");
        let pictured: Vec<String> = a
            .cases
            .iter()
            .filter(|case| case.panel_traction.iter().flatten().any(|&v| v != 0.0))
            .map(|case| case.name.clone())
            .collect();
        for name in pictured.iter().take(MOST_PICTURES) {
            self.drawing(
                View::Isometric,
                Shown::Case(name.clone()),
                None,
                [900.0, 470.0],
                &format!("{}: direction and place of the load, before any factor.", tame(name, 120)),
            );
        }
        if pictured.len() > MOST_PICTURES {
            self.say(format!(
                "{} further cases are like these; `draw --show case:NAME` draws any of them.",
                pictured.len() - MOST_PICTURES
            ));
        }
    }

    fn combinations(&mut self) {
        let a = self.assessment;
        self.heading("Combinations");
        self.say(format!("{} combinations on the {} basis.", a.combinations.len(), tame(&a.basis, 30)));
        let mut table = Table::new("Combinations", &["State", "Factors", "Duration", "Clause"]);
        for combination in a.combinations.iter().take(MOST_COMBINATIONS) {
            let factors: Vec<String> = combination
                .factors
                .iter()
                .map(|(case, factor)| format!("{} × {}", figures(*factor, 4, 3), tame(case, 80)))
                .collect();
            table.row([
                Cell::plain(combination.state.clone()),
                Cell::plain(factors.join(" + ")),
                Cell::plain(combination.duration.clone()),
                Cell::plain(combination.clause.clone()),
            ]);
        }
        self.table(table, "There are no combinations.");
        if a.combinations.len() > MOST_COMBINATIONS {
            self.say(format!("The first {MOST_COMBINATIONS} are shown; `check --csv` writes all."));
        }
    }
}

/// Round-off of a total shown as nothing.
fn tidy(value: f64) -> f64 {
    if value.abs() < 1e-3 { 0.0 } else { value }
}
