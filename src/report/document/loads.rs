//! Loads with pictures and the audit, and their combinations.

use super::{Block, Builder, Cell, Table};
use crate::assess::results::CaseResult;
use crate::report::draw::{DrawOptions, Shown, View, draw};
use crate::report::show::tame;

/// Cases that get a picture each.
const MOST_PICTURES: usize = 8;
/// Combinations listed one by one.
const MOST_COMBINATIONS: usize = 40;

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
        let notes: Vec<String> = shared
            .into_iter()
            .map(|(remark, names)| format!("{remark} ({})", which_cases(&a.cases, &names)))
            .collect();
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
        let mut pair = Vec::new();
        for name in pictured.iter().take(MOST_PICTURES) {
            let options = DrawOptions {
                view: View::Isometric,
                show: Shown::Case(name.clone()),
                model: None,
                width: 460.0,
                height: 370.0,
            };
            pair.extend(draw(a, &options).ok());
        }
        if !pair.is_empty() {
            self.gallery(pair, "Direction and place of each load, before any factor.");
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
        let mut table = Table::new(
            "Combinations (weight: the timbers and the cover)",
            &["Combination", "State", "Duration", "Clause"],
        );
        for combination in a.combinations.iter().take(MOST_COMBINATIONS) {
            table.row([
                Cell::plain(tame(&combination.name, 200)),
                Cell::plain(combination.state.clone()),
                Cell::plain(combination.duration.clone()),
                Cell::plain(combination.clause.clone()),
            ]);
        }
        self.table(table, "There are no combinations.");
        if a.combinations.len() > MOST_COMBINATIONS {
            self.say(format!("The first {MOST_COMBINATIONS} are shown; `check --csv` writes all, with the factor of every case."));
        }
    }
}

/// Cases in few words: "all wind cases" where every one of a kind is among them.
fn which_cases(cases: &[CaseResult], names: &[String]) -> String {
    let mut words: Vec<String> = Vec::new();
    let mut left: Vec<&String> = names.iter().collect();
    let mut kinds: Vec<&str> = cases.iter().map(|case| case.kind.as_str()).collect();
    kinds.dedup();
    for kind in kinds {
        let of_kind: Vec<String> =
            cases.iter().filter(|case| case.kind == kind).map(|case| tame(&case.name, 120)).collect();
        if of_kind.len() > 1 && of_kind.iter().all(|name| left.contains(&name)) {
            left.retain(|name| !of_kind.contains(name));
            words.push(format!("all {kind} cases"));
        }
    }
    words.extend(left.into_iter().cloned());
    words.join("; ")
}

/// Round-off of a total shown as nothing.
fn tidy(value: f64) -> f64 {
    if value.abs() < 1e-3 { 0.0 } else { value }
}
