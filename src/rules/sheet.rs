//! Working of many checks that share their beginnings: each check keeps only the lines it needs.

use std::collections::BTreeSet;

use crate::rules::recorder::Recorder;
use crate::rules::{Check, Standing, Step, notation};

/// Symbol of the place along the timber; every check keeps it.
pub(crate) const PLACE: &str = "x";

/// Takes down every line; a check that is closed takes with it the lines that its last line rests on.
/// Of several checks of one rule, the worst is kept.
#[derive(Debug, Clone, Default)]
pub struct Sheet {
    steps: Vec<Step>,
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
        self.steps[..before].iter().rposition(|s| s.symbol == symbol)
    }

    fn value(&self, symbol: &str) -> Option<f64> {
        self.latest(self.steps.len(), symbol).map(|at| self.steps[at].value)
    }

    /// The lines that the last one rests on, itself included.
    fn needed(&self) -> Vec<Step> {
        let Some(last) = self.steps.len().checked_sub(1) else { return Vec::new() };
        let mut keep = BTreeSet::new();
        let mut open = vec![last];
        open.extend(self.latest(last, PLACE));
        while let Some(at) = open.pop() {
            if keep.insert(at) {
                for symbol in notation::symbols(&self.steps[at].formula) {
                    open.extend(self.latest(at, symbol));
                }
            }
        }
        keep.into_iter().map(|at| self.steps[at].clone()).collect()
    }

    #[allow(clippy::too_many_arguments, reason = "one argument for each column of a line of working")]
    fn push(
        &mut self,
        words: &str,
        symbol: &str,
        formula: &str,
        numbers: String,
        value: f64,
        unit: &str,
        clause: &str,
    ) -> f64 {
        self.steps.push(Step {
            words: words.to_owned(),
            symbol: symbol.to_owned(),
            formula: formula.to_owned(),
            numbers,
            value,
            unit: unit.to_owned(),
            clause: clause.to_owned(),
        });
        value
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
        self.push(words, symbol, "", String::new(), value, unit, clause)
    }

    fn step(
        &mut self,
        words: &'static str,
        symbol: &'static str,
        formula: &'static str,
        numbers: impl FnOnce() -> String,
        value: f64,
        unit: &'static str,
        clause: &'static str,
    ) -> f64 {
        self.push(words, symbol, formula, numbers(), value, unit, clause)
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
        let numbers = notation::with_numbers(formula, |name| self.value(name));
        self.push(words, symbol, formula, numbers, value, unit, clause)
    }

    fn at(&mut self, _place: usize) {}

    fn close(&mut self, rule: &'static str, clause: &'static str, utilisation: f64) {
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
            standing: Standing::of(utilisation),
        };
        match known {
            Some(at) => self.checks[at] = check,
            None => self.checks.push(check),
        }
    }
}
