//! Loads with pictures and the audit, and their combinations.

use std::collections::BTreeSet;

use rayon::prelude::{IntoParallelRefIterator, ParallelIterator};

use super::{Block, Builder, COMBINATION, Cell, Table};
use crate::assess::results::{Assessment, CaseResult, CombinationResult};
use crate::report::draw::{DrawOptions, Shown, View, draw};
use crate::report::picture::Picture;
use crate::report::show::{sentences, tame};

/// Cases that get a picture each.
const MOST_PICTURES: usize = 8;
/// Combinations listed one by one, where not more of them have something that is worst.
const MOST_COMBINATIONS: usize = 40;

impl Builder<'_> {
    pub(super) fn loads(&mut self) {
        let (a, show) = (self.assessment, self.show);
        self.heading("Loads");
        self.say(
            "How they travel: what lies or blows on a panel goes to its nearest edge, along the timbers of that seam \
             to the joints, from joint to joint down the shell, and by the feet and their anchors into the ground. \
             Snow and weight press the feet down and outward; wind pushes one side, pulls the other and lifts. Pulls \
             cross from frame to frame through the fixings of the seams.",
        );
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
             the reactions were added up after the solution. The largest gap is over all joint models, as a share of the \
             load: 1e-15, fourteen noughts behind the point and then a one, is the rounding of the machine.",
        );
        // A remark that many cases share is said once, with the cases.
        let mut shared: Vec<(String, Vec<String>)> = Vec::new();
        for case in &a.cases {
            let said = |words: &String| sentences(&show.sentence(words), 700);
            let doubts = case.provisional.iter().map(|doubt| format!("PROVISIONAL: {}", said(doubt)));
            for remark in case.remarks.iter().map(said).chain(doubts) {
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
        let pictured: Vec<&CaseResult> =
            a.cases.iter().filter(|case| case.panel_traction.iter().flatten().any(|&v| v != 0.0)).collect();
        let chosen = of_each_kind(&pictured, MOST_PICTURES);
        let picture = |name: &String| {
            let options = DrawOptions {
                view: View::Isometric,
                show: Shown::Case(name.clone()),
                model: None,
                width: 400.0,
                height: 340.0,
            };
            draw(a, &options).ok()
        };
        let pair: Vec<Picture> = chosen.par_iter().filter_map(picture).collect();
        if !pair.is_empty() {
            self.gallery(pair, "Direction and place of each load, before any factor.");
        }
        if pictured.len() > MOST_PICTURES {
            self.say(format!(
                "{} further cases are like these; \"draw --show case:NAME\" draws any of them.",
                pictured.len() - chosen.len()
            ));
        }
    }

    fn combinations(&mut self) {
        let a = self.assessment;
        self.heading("Combinations");
        let mut states: Vec<(&str, usize)> = Vec::new();
        for combination in &a.combinations {
            match states.iter_mut().find(|(state, _)| *state == combination.state) {
                Some((_, count)) => *count += 1,
                None => states.push((&combination.state, 1)),
            }
        }
        let states: Vec<String> = states.iter().map(|(state, count)| format!("{count} {state}")).collect();
        let count = a.combinations.len();
        self.say(format!(
            "{count} combination{} on the {} basis: {}. Those under which something in these notes is worst come first.",
            if count == 1 { "" } else { "s" },
            tame(&a.basis, 30),
            states.join(", ")
        ));
        let govern = governing(a);
        let (first, rest): (Vec<&CombinationResult>, Vec<&CombinationResult>) =
            a.combinations.iter().partition(|c| govern.contains(c.name.as_str()));
        let most = MOST_COMBINATIONS.max(first.len());
        let mut table = Table::new(
            "Combinations (weight: the timbers and the cover)",
            &["Combination", "State", "Duration", "Clause"],
        );
        for combination in first.into_iter().chain(rest).take(most) {
            table.row([
                Cell::plain(tame(&combination.name, COMBINATION)),
                Cell::plain(combination.state.clone()),
                Cell::plain(combination.duration.clone()),
                Cell::plain(combination.clause.clone()),
            ]);
        }
        self.table(table, "There are no combinations.");
        if a.combinations.len() > most {
            self.say(format!(
                "The first {most} are shown; \"check --csv\" writes all, with the factor of every case."
            ));
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
    // Winds that differ in their direction alone are told together: "wind from 0° and 180°, door open".
    let mut winds: Vec<(String, Vec<String>)> = Vec::new();
    for name in left {
        let Some((from, rest)) = name.strip_prefix("wind from ").and_then(|name| name.split_once(", "))
        else {
            words.push(name.clone());
            continue;
        };
        match winds.iter_mut().find(|(known, _)| known == rest) {
            Some((_, directions)) => directions.push(from.to_owned()),
            None => winds.push((rest.to_owned(), vec![from.to_owned()])),
        }
    }
    let (every, states): (BTreeSet<&str>, BTreeSet<&str>) =
        cases.iter().filter_map(|case| case.name.strip_prefix("wind from ")?.split_once(", ")).unzip();
    // And those of the same directions once more: "wind from 0° and 180°: door open; pressure inside".
    let mut told: Vec<(Vec<String>, Vec<String>)> = Vec::new();
    for (rest, directions) in winds {
        match told.iter_mut().find(|(known, _)| *known == directions) {
            Some((_, rests)) => rests.push(rest),
            None => told.push((directions, vec![rest])),
        }
    }
    for (directions, rests) in told {
        let from = if directions.len() == every.len() && every.len() > 1 {
            "wind from every side".to_owned()
        } else {
            format!("wind from {}", directions.join(", "))
        };
        words.push(if rests.len() == states.len() {
            from
        } else {
            format!("{from}: {}", rests.join(" or "))
        });
    }
    words.join("; ")
}

/// Names of cases of every kind, so many in all, spread evenly over each kind, in their order.
fn of_each_kind(cases: &[&CaseResult], most: usize) -> Vec<String> {
    let mut kinds: Vec<(&str, Vec<usize>)> = Vec::new();
    for (n, case) in cases.iter().enumerate() {
        match kinds.iter_mut().find(|(kind, _)| *kind == case.kind) {
            Some((_, of_kind)) => of_kind.push(n),
            None => kinds.push((&case.kind, vec![n])),
        }
    }
    // One more of each kind in turn, until there are enough.
    let mut shares = vec![0_usize; kinds.len()];
    while shares.iter().sum::<usize>() < most.min(cases.len()) {
        for (share, (_, of_kind)) in shares.iter_mut().zip(&kinds).rev() {
            if *share < of_kind.len() {
                *share += 1;
            }
        }
    }
    let mut chosen: Vec<usize> = shares
        .iter()
        .zip(&kinds)
        .flat_map(|(&share, (_, of_kind))| (0..share).map(move |n| of_kind[n * of_kind.len() / share]))
        .collect();
    chosen.sort_unstable();
    chosen.truncate(most);
    chosen.into_iter().map(|n| cases[n].name.clone()).collect()
}

/// Combinations under which something that the notes print is worst.
fn governing(a: &Assessment) -> BTreeSet<&str> {
    let mut names: BTreeSet<&str> = a.worst_list.iter().map(|item| item.combination.as_str()).collect();
    names.extend(a.members.iter().filter_map(|m| m.worst.as_ref()).map(|worst| worst.combination.as_str()));
    names.extend(a.feet.iter().flat_map(|foot| foot.combination.values()).map(String::as_str));
    for model in &a.models {
        names.extend(model.buckling.as_ref().map(|buckling| buckling.combination.as_str()));
        names.extend(model.sag.as_ref().map(|sag| sag.combination.as_str()));
    }
    names
}

/// Round-off of a total shown as nothing.
fn tidy(value: f64) -> f64 {
    if value.abs() < 1e-3 { 0.0 } else { value }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::sample::sample;

    /// Cases that blow from four sides with two pressures inside, after two of snow.
    fn cases() -> Vec<CaseResult> {
        let like = sample().cases.remove(0);
        let named = |kind: &str, name: String| CaseResult { kind: kind.to_owned(), name, ..like.clone() };
        let mut out =
            vec![named("snow", "snow undrifted".to_owned()), named("snow", "snow drifted".to_owned())];
        for from in [0, 90, 180, 270] {
            for state in ["pressure inside", "door open"] {
                out.push(named("wind", format!("wind from {from}°, {state}")));
            }
        }
        out
    }

    #[test]
    fn winds_alike_are_told_together() {
        let cases = cases();
        let names =
            |wanted: &[usize]| -> Vec<String> { wanted.iter().map(|&n| cases[n].name.clone()).collect() };
        assert_eq!(which_cases(&cases, &names(&[2, 3, 4, 5, 6, 7, 8, 9])), "all wind cases");
        assert_eq!(which_cases(&cases, &names(&[2, 4, 6, 8])), "wind from every side: pressure inside");
        assert_eq!(which_cases(&cases, &names(&[2, 3, 6, 7])), "wind from 0°, 180°");
        assert_eq!(which_cases(&cases, &names(&[0, 5])), "snow undrifted; wind from 90°: door open");
    }

    #[test]
    fn pictures_are_of_every_kind_of_load() {
        let cases = cases();
        let all: Vec<&CaseResult> = cases.iter().collect();
        let chosen = of_each_kind(&all, 6);
        assert_eq!(chosen.len(), 6);
        assert_eq!(chosen.iter().filter(|name| name.starts_with("wind")).count(), 4);
        for from in ["0°", "90°", "180°", "270°"] {
            assert!(chosen.iter().any(|name| name.starts_with(&format!("wind from {from}"))), "{chosen:?}");
        }
        assert_eq!(of_each_kind(&all, 50).len(), cases.len());
        assert!(of_each_kind(&[], 8).is_empty());
    }
}
