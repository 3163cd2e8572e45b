//! Things of the list of worst ones that say the same are told once, with how many there are: on a
//! symmetric shell the five worst timbers are one timber five times.

use crate::assess::results::WorstItem;
use crate::report::show::{tame, utilisation};
use crate::rules::{Check, Step};

/// One thing and those that say the same.
#[derive(Debug)]
pub(crate) struct Alike<'a> {
    /// The first of them in the list.
    pub first: &'a WorstItem,
    /// Names of the others, in the list's order.
    pub others: Vec<&'a str>,
    /// Whether all of them are at places of the same words.
    one_place: bool,
}

impl Alike<'_> {
    /// "timber s75 and 3 alike", or "the whole shell".
    pub(crate) fn name(&self) -> String {
        if self.first.what == "shell" {
            return "the whole shell".to_owned();
        }
        let others = match self.others.len() {
            0 => String::new(),
            count => format!(" and {count} alike"),
        };
        format!("{} {}{others}", self.first.what, tame(&self.first.id, 24))
    }

    /// Where it is, in words; those alike may be elsewhere, and then it says so.
    pub(crate) fn place(&self) -> String {
        let place = &self.first.place;
        if self.first.what == "shell" || place.is_empty() {
            return String::new();
        }
        let elsewhere = if self.one_place { "" } else { " and elsewhere" };
        format!("{}{elsewhere}", tame(place, 60))
    }
}

/// The list with everything alike told once: what it is, its check, its model and its printed
/// utilisation agree. Load combinations may differ, as they do on either side of a shell.
pub(crate) fn together(list: &[WorstItem]) -> Vec<Alike<'_>> {
    // A large list is worst first, so equal figures stand near each other: looking back over the
    // groups of the same figure keeps this quick.
    let mut groups: Vec<(String, Alike<'_>)> = Vec::new();
    for item in list {
        let figure = utilisation(item.utilisation);
        let same = groups.iter_mut().rev().take_while(|(known, _)| *known == figure).find(|(_, group)| {
            let first = group.first;
            first.what == item.what
                && first.rule == item.rule
                && first.clause == item.clause
                && first.model == item.model
        });
        if let Some((_, group)) = same {
            group.one_place &= group.first.place == item.place;
            group.others.push(&item.id);
        } else {
            groups.push((figure, Alike { first: item, others: Vec::new(), one_place: true }));
        }
    }
    groups.into_iter().map(|(_, group)| group).collect()
}

/// Up to `timbers` kinds of timber, and of everything else one of each check (at most three), in the
/// list's own order. What is far from buckling or snapping through is left to its own line.
pub(crate) fn telling(list: &[WorstItem], timbers: usize) -> Vec<Alike<'_>> {
    let mut chosen: Vec<Alike<'_>> = Vec::new();
    for group in together(list) {
        let item = group.first;
        let timber = item.what == "timber";
        let count = chosen.iter().filter(|other| (other.first.what == "timber") == timber).count();
        let seen = chosen.iter().any(|other| other.first.what == item.what && other.first.rule == item.rule);
        let far = matches!(item.what.as_str(), "shell" | "joint") && item.utilisation < 0.1;
        if !far && ((timber && count < timbers) || (!timber && count < 3 && !seen)) {
            chosen.push(group);
        }
    }
    chosen
}

/// Whether a line of working stands already above: the last one told of that symbol is the same.
pub(crate) fn told_before(told: &[&Step], step: &Step) -> bool {
    told.iter().rev().find(|old| old.symbol == step.symbol).is_some_and(|old| {
        old.words == step.words && old.numbers == step.numbers && old.value.to_bits() == step.value.to_bits()
    })
}

/// The lines of a check that are new beside those told, which they join; and how many stand above already.
pub(crate) fn new_steps<'c>(check: &'c Check, told: &mut Vec<&'c Step>) -> (Vec<&'c Step>, usize) {
    let mut fresh = Vec::new();
    for step in &check.steps {
        if !told_before(told, step) {
            told.push(step);
            fresh.push(step);
        }
    }
    let above = check.steps.len() - fresh.len();
    (fresh, above)
}

/// What is said where lines are left out.
pub(crate) fn above(count: usize) -> String {
    let (lines, stand) = if count == 1 { ("line", "stands") } else { ("lines", "stand") };
    format!("what differs from the above; {count} {lines} of it {stand} there")
}

/// Names with their runs told by their ends: "s1 to s4, s7, s9".
pub(crate) fn in_runs(names: &[String]) -> String {
    let parts = |name: &str| {
        let digits = name.find(|c: char| c.is_ascii_digit()).unwrap_or(name.len());
        name[digits..].parse::<usize>().ok().map(|number| (name[..digits].to_owned(), number))
    };
    let next = |a: &str, b: &str| match (parts(a), parts(b)) {
        (Some((a, m)), Some((b, n))) => a == b && Some(n) == m.checked_add(1),
        _ => false,
    };
    let runs = names.chunk_by(|a, b| next(a, b));
    let told = runs.map(|run| match run {
        [first, .., last] if run.len() > 2 => format!("{first} to {last}"),
        _ => run.join(", "),
    });
    told.collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::sample::sample;

    #[test]
    fn copies_of_one_thing_are_told_once() {
        let mut list = sample().worst_list;
        let mut copy = list[0].clone();
        copy.id = "s6".to_owned();
        copy.combination = "its mirror image".to_owned();
        copy.utilisation += 1e-9;
        list.insert(1, copy);
        let groups = together(&list);
        assert_eq!(groups.len(), list.len() - 1);
        assert_eq!(groups[0].name(), "timber s5 and 1 alike");
        assert_eq!(groups[0].place(), "arch seam at the quarter point");
        list[1].place = "end rim".to_owned();
        assert_eq!(together(&list)[0].place(), "arch seam at the quarter point and elsewhere");
    }

    #[test]
    fn runs_of_names_are_told_by_their_ends() {
        let names = ["s1", "s2", "s3", "s5", "s6", "top", "r7", "s8"].map(str::to_owned);
        assert_eq!(in_runs(&names), "s1 to s3, s5, s6, top, r7, s8");
        assert_eq!(in_runs(&[]), "");
    }

    #[test]
    fn a_shell_far_from_buckling_is_not_among_the_worst() {
        let mut list = sample().worst_list;
        assert!(telling(&list, 5).iter().any(|group| group.first.what == "shell"));
        for item in &mut list {
            if item.what == "shell" {
                item.utilisation = 0.003;
            }
        }
        assert!(!telling(&list, 5).iter().any(|group| group.first.what == "shell"));
    }
}
