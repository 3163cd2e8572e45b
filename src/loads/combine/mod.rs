//! Combinations of cases: EN 1990, ASCE 7 strength and allowable stress, or the user's own list.

mod eurocode;
pub(crate) mod own;
mod us;

#[cfg(test)]
mod balance_tests;
#[cfg(test)]
pub(crate) mod tests;

use crate::loads::ask::{Basis, Given, LoadsAsk};
use crate::loads::weight::BESIDES;
use crate::loads::{Action, Case, CaseId, CaseKind, Combination, Duration, LimitState, LoadError};

/// Every combination that the basis asks for, or the user's own list.
///
/// # Errors
///
/// [`LoadError`]: no edition of ASCE 7, a case that does not exist in the user's list.
pub fn combinations(ask: &LoadsAsk, cases: &[Case]) -> Result<Vec<Combination>, LoadError> {
    if !ask.combine.own.is_empty() {
        return own::combinations(ask, cases);
    }
    match ask.basis {
        Basis::Eurocode => Ok(eurocode::combinations(ask, cases)),
        Basis::UsLrfd => us::strength(ask, cases),
        Basis::UsAsd => us::allowable(ask, cases),
    }
}

/// Combinations as they are, and each without what of the permanent is not counted on (a cover that may go, doors and framed ends, what hangs,
/// permanent cases of the user's own): without all of it, and with each part of it alone.
#[must_use]
pub fn with_and_without(ask: &LoadsAsk, cases: &[Case], combinations: &[Combination]) -> Vec<Combination> {
    let sorted = Sorted::new(ask, cases);
    let mut out = combinations.to_vec();
    for set in sorted.loose_sets() {
        let goes = |id: &CaseId| sorted.loose.contains(id) && !set.contains(id);
        for one in combinations.iter().filter(|one| one.terms.iter().any(|(id, _)| goes(id))) {
            let terms: Vec<(CaseId, f64)> = one.terms.iter().copied().filter(|(id, _)| !goes(id)).collect();
            if !terms.is_empty() {
                out.push(Combination { name: name(cases, &terms), terms, ..one.clone() });
            }
        }
    }
    out
}

/// Cases by how they enter.
pub(crate) struct Sorted {
    pub(crate) permanent: Vec<CaseId>,
    /// Permanent ones that hold the shell down for certain.
    pub(crate) holding: Vec<CaseId>,
    /// Permanent ones that are not counted on: what hangs, a cover that may go, doors and ends, the user's own. Whatever they do as a
    /// whole, beside the weight that holds they may lever feet up, or straighten what bends.
    pub(crate) loose: Vec<CaseId>,
    pub(crate) snow: Vec<CaseId>,
    pub(crate) wind: Vec<CaseId>,
    /// Imposed: alone with the weight.
    pub(crate) imposed: Vec<CaseId>,
    /// Those of the imposed that hang and may act with snow and wind.
    pub(crate) hung: Vec<CaseId>,
    /// Those of the permanent that hang.
    hung_for_good: Vec<CaseId>,
    pub(crate) user: Vec<CaseId>,
    pub(crate) accidental: Vec<CaseId>,
}

impl Sorted {
    pub(crate) fn new(ask: &LoadsAsk, cases: &[Case]) -> Sorted {
        let removable = matches!(&ask.cover, Given::Value(cover) if cover.removable);
        let mut sorted = Sorted {
            permanent: Vec::new(),
            holding: Vec::new(),
            loose: Vec::new(),
            snow: Vec::new(),
            wind: Vec::new(),
            imposed: Vec::new(),
            hung: Vec::new(),
            hung_for_good: Vec::new(),
            user: Vec::new(),
            accidental: Vec::new(),
        };
        for (index, case) in cases.iter().enumerate() {
            let id = CaseId(index);
            match (case.action, case.kind) {
                (Action::Permanent, kind) => {
                    sorted.permanent.push(id);
                    // What hangs may be taken down, a cover may blow off, a door that nobody entered may be light: none is counted on.
                    let covers = kind == CaseKind::Cover && !removable && case.name != BESIDES;
                    let holds = kind == CaseKind::SelfWeight || covers;
                    if holds { &mut sorted.holding } else { &mut sorted.loose }.push(id);
                    if kind == CaseKind::Imposed {
                        sorted.hung_for_good.push(id);
                    }
                }
                (Action::Accidental, _) => sorted.accidental.push(id),
                (Action::Variable, CaseKind::Snow) => sorted.snow.push(id),
                (Action::Variable, CaseKind::Wind) => sorted.wind.push(id),
                (Action::Variable, CaseKind::User) => sorted.user.push(id),
                (Action::Variable, _) => {
                    sorted.imposed.push(id);
                    if ask.imposed.hanging.iter().any(|hung| hung.name == case.name) {
                        sorted.hung.push(id);
                    }
                }
            }
        }
        sorted
    }

    /// What of the permanent that is not counted on may be there beside the weight that holds: nothing, each by itself, all that hangs, and all. One may
    /// lever up the foot that another holds down; of three and more not every mixture is looked at.
    pub(crate) fn loose_sets(&self) -> Vec<Vec<CaseId>> {
        let mut sets = vec![Vec::new()];
        sets.extend(self.loose.iter().map(|&id| vec![id]));
        // All that hangs is one thing more: a load in two lines is no other than in one.
        let hung: Vec<CaseId> =
            self.loose.iter().filter(|id| self.hung_for_good.contains(id)).copied().collect();
        if hung.len() > 1 && hung.len() < self.loose.len() {
            sets.push(hung);
        }
        if self.loose.len() > 1 {
            sets.push(self.loose.clone());
        }
        sets
    }
}

/// A factor as a person writes it: at least one decimal, at most three.
pub(crate) fn factor_words(factor: f64) -> String {
    let text = format!("{factor:.3}");
    let text = text.trim_end_matches('0');
    // "1." reads as 1.0.
    if text.ends_with('.') { format!("{text}0") } else { text.to_owned() }
}

/// "1.35 weight + 1.5 snow undrifted": timbers and cover go together where they share a factor.
pub(crate) fn name(cases: &[Case], terms: &[(CaseId, f64)]) -> String {
    let mut parts: Vec<(f64, String)> = Vec::new();
    for &(id, factor) in terms {
        let case = &cases[id.0];
        let words = match case.kind {
            CaseKind::SelfWeight => "weight".to_owned(),
            CaseKind::Cover => {
                let with_timbers = terms.iter().any(|&(other, f)| {
                    cases[other.0].kind == CaseKind::SelfWeight && (f - factor).abs() < 1e-12
                });
                if with_timbers {
                    continue;
                }
                if case.name == BESIDES { "doors and ends".to_owned() } else { "cover".to_owned() }
            }
            _ => case.name.clone(),
        };
        // Without a cover in the terms, "weight" would promise more than is there.
        let all_covers = cases.iter().filter(|c| c.kind == CaseKind::Cover).count();
        let covers = terms
            .iter()
            .filter(|&&(other, f)| cases[other.0].kind == CaseKind::Cover && (f - factor).abs() < 1e-12)
            .count();
        let words = match (words.as_str(), covers) {
            ("weight", 0) if all_covers > 0 => "timbers".to_owned(),
            ("weight", covers) if covers < all_covers => "timbers and cover".to_owned(),
            _ => words,
        };
        parts.push((factor, words));
    }
    let mut text = String::new();
    for (index, (factor, words)) in parts.iter().enumerate() {
        if index > 0 {
            text.push_str(if *factor < 0.0 { " − " } else { " + " });
        } else if *factor < 0.0 {
            text.push('−');
        }
        text.push_str(&format!("{} {words}", factor_words(factor.abs())));
    }
    text
}

/// Terms of one factor.
pub(crate) fn with(factor: f64, ids: &[CaseId]) -> Vec<(CaseId, f64)> {
    if factor == 0.0 { Vec::new() } else { ids.iter().map(|&id| (id, factor)).collect() }
}

/// The list under construction: drops a combination whose terms and state are already there.
pub(crate) struct List<'a> {
    cases: &'a [Case],
    made: Vec<Combination>,
}

impl<'a> List<'a> {
    pub(crate) fn new(cases: &'a [Case]) -> List<'a> {
        List { cases, made: Vec::new() }
    }

    pub(crate) fn push(
        &mut self,
        state: LimitState,
        terms: Vec<(CaseId, f64)>,
        duration: Duration,
        clause: &str,
    ) {
        let terms: Vec<(CaseId, f64)> = terms.into_iter().filter(|(_, factor)| *factor != 0.0).collect();
        if terms.is_empty() || self.made.iter().any(|made| made.state == state && made.terms == terms) {
            return;
        }
        self.made.push(Combination {
            name: name(self.cases, &terms),
            state,
            terms,
            duration,
            clause: clause.to_owned(),
        });
    }

    pub(crate) fn finish(mut self) -> Vec<Combination> {
        // One name a combination over all limit states: those that repeat say what they are for.
        let mut seen: std::collections::BTreeMap<String, usize> = std::collections::BTreeMap::new();
        for made in &self.made {
            *seen.entry(made.name.clone()).or_default() += 1;
        }
        for made in &mut self.made {
            let tag = match made.state {
                LimitState::Strength => continue,
                LimitState::Uplift => "uplift",
                LimitState::Service => "service",
                LimitState::LongTerm => "long-term",
                LimitState::Accidental => "accident",
            };
            if seen.get(&made.name).copied().unwrap_or(0) > 1 {
                made.name = format!("{} ({tag})", made.name);
            }
        }
        self.made
    }
}
