//! Working of many checks that share their beginnings: each check keeps only the lines it needs.

use std::collections::BTreeSet;

use crate::rules::recorder::{Paper, Recorder};
use crate::rules::{Check, Compares, Step, notation};

/// Symbol of the place along the timber; every check keeps it.
pub(crate) const PLACE: &str = "x";

/// Takes down every line; a check that is closed takes with it the lines that its last line rests on.
/// Of several checks of one rule, the worst is kept.
#[derive(Debug, Clone, Default)]
pub struct Sheet {
    /// Every line, never closed: the checks take theirs from it.
    lines: Paper,
    checks: Vec<Check>,
}

impl Sheet {
    /// A blank sheet.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// The checks, worst first; equals in the order in which they were made.
    #[must_use]
    pub fn into_checks(mut self) -> Vec<Check> {
        self.checks.sort_by(|a, b| b.utilisation.total_cmp(&a.utilisation));
        self.checks
    }

    fn latest(&self, before: usize, symbol: &str) -> Option<usize> {
        self.lines.steps()[..before].iter().rposition(|s| s.symbol == symbol)
    }

    /// The lines that the last one rests on, itself included.
    fn needed(&self) -> Vec<Step> {
        let Some(last) = self.lines.steps().len().checked_sub(1) else { return Vec::new() };
        let mut keep = BTreeSet::new();
        let mut open = vec![last];
        open.extend(self.latest(last, PLACE));
        while let Some(at) = open.pop() {
            if keep.insert(at) {
                for symbol in notation::symbols(&self.lines.steps()[at].formula) {
                    open.extend(self.latest(at, symbol));
                }
            }
        }
        keep.into_iter().map(|at| self.lines.steps()[at].clone()).collect()
    }
}

impl Recorder for Sheet {
    fn input(
        &mut self,
        words: &'static str,
        symbol: &'static str,
        value: f64,
        unit: &'static str,
        clause: &'static str,
    ) -> f64 {
        self.lines.input(words, symbol, value, unit, clause)
    }

    fn derived(
        &mut self,
        words: &'static str,
        symbol: &'static str,
        formula: &'static str,
        value: f64,
        unit: &'static str,
        clause: &'static str,
    ) -> f64 {
        self.lines.derived(words, symbol, formula, value, unit, clause)
    }

    fn at(&mut self, _place: usize) {}

    fn end(&mut self, compares: Compares, rule: &'static str, clause: &'static str, utilisation: f64) {
        let utilisation = if utilisation.is_nan() { f64::INFINITY } else { utilisation };
        let known = self.checks.iter().position(|c| c.rule == rule && c.clause == clause);
        if known.is_some_and(|at| self.checks[at].utilisation >= utilisation) {
            return;
        }
        let check = Check {
            rule: rule.to_owned(),
            clause: clause.to_owned(),
            steps: self.needed(),
            utilisation,
            standing: compares.standing(utilisation),
            compares,
        };
        match known {
            Some(at) => self.checks[at] = check,
            None => self.checks.push(check),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Of one rule under one clause at several places the worst is kept; another clause or rule is a check of its own.
    #[test]
    fn the_worst_place_of_each_rule_is_kept() {
        let mut sheet = Sheet::new();
        for (rule, clause, utilisation) in [
            ("bending", "(6.11)", 0.3),
            ("bending", "(6.11)", 0.8),
            ("bending", "(6.11)", 0.5),
            ("bending", "(6.12)", 0.6),
            ("shear", "(6.11)", 0.7),
        ] {
            let value = sheet.input("utilisation", "η", utilisation, "–", "");
            sheet.close(rule, clause, value);
        }
        let kept: Vec<_> =
            sheet.into_checks().into_iter().map(|c| (c.rule, c.clause, c.steps[0].value)).collect();
        let wanted = [("bending", "(6.11)", 0.8), ("shear", "(6.11)", 0.7), ("bending", "(6.12)", 0.6)];
        assert_eq!(kept, wanted.map(|(rule, clause, value)| (rule.to_owned(), clause.to_owned(), value)));
    }
}
