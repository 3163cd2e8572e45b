//! One formula, two uses: fast without words, or with every line of working.
//!
//! A rule is written once, generic over [`Recorder`]. With [`Silent`] the words compile to nothing
//! and only the worst utilisation is kept; with [`Paper`] each input and formula becomes a
//! [`crate::rules::Step`]. So the numbers that are explained are the numbers that are checked.
//!
//! Notation of a formula (it is read back by machine, see [`crate::rules::notation`]): symbols as in the
//! standard with `_` before subscripts (`f_h,0,k`), `+ − · / ^ ( )`, `√(…)`, `min(a; b)`, `max(a; b)`,
//! `sin(…) cos(…) tan(…)` of degrees, `|a|` written `abs(a)`. A formula uses only symbols that were recorded
//! before it in the same check.

use crate::rules::notation;
use crate::rules::{Check, Compares, Standing, Step, Worst};

/// Takes down what a rule does while it does it.
pub trait Recorder {
    /// A value that the check starts from, in `unit`. Gives the value back.
    fn input(
        &mut self,
        words: &'static str,
        symbol: &'static str,
        value: f64,
        unit: &'static str,
        clause: &'static str,
    ) -> f64;

    /// A value that follows from earlier ones by `formula`, whose numbers the recorder puts in itself. Gives the value back.
    #[allow(clippy::too_many_arguments, reason = "one argument for each column of a line of working")]
    fn derived(
        &mut self,
        words: &'static str,
        symbol: &'static str,
        formula: &'static str,
        value: f64,
        unit: &'static str,
        clause: &'static str,
    ) -> f64;

    /// Which of the places looked at the next checks are for.
    fn at(&mut self, place: usize);

    /// Ends one check of what is compared. Anything that is not a number counts as infinite.
    fn end(&mut self, compares: Compares, rule: &'static str, clause: &'static str, utilisation: f64);

    /// Ends one check of a load against its resistance.
    #[inline]
    fn close(&mut self, rule: &'static str, clause: &'static str, utilisation: f64) {
        self.end(Compares::Load, rule, clause, utilisation);
    }
}

/// Keeps the worst utilisation and nothing else.
#[derive(Debug, Clone, Copy, Default)]
pub struct Silent {
    place: usize,
    worst: Option<Worst>,
}

impl Silent {
    /// A recorder that has seen no check.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// The worst check so far; the first of equals. `None` where no check was closed.
    #[must_use]
    pub fn worst(&self) -> Option<Worst> {
        self.worst
    }
}

impl Recorder for Silent {
    #[inline(always)]
    fn input(
        &mut self,
        _words: &'static str,
        _symbol: &'static str,
        value: f64,
        _unit: &'static str,
        _clause: &'static str,
    ) -> f64 {
        value
    }

    #[inline(always)]
    fn derived(
        &mut self,
        _words: &'static str,
        _symbol: &'static str,
        _formula: &'static str,
        value: f64,
        _unit: &'static str,
        _clause: &'static str,
    ) -> f64 {
        value
    }

    #[inline]
    fn at(&mut self, place: usize) {
        self.place = place;
    }

    #[inline]
    fn end(&mut self, compares: Compares, rule: &'static str, clause: &'static str, utilisation: f64) {
        let utilisation = if utilisation.is_nan() { f64::INFINITY } else { utilisation };
        if compares == Compares::Room && compares.standing(utilisation) == Standing::Within {
            return;
        }
        if self.worst.is_none_or(|worst| utilisation > worst.utilisation) {
            self.worst = Some(Worst { utilisation, rule, clause, place: self.place });
        }
    }
}

/// Takes down every line.
#[derive(Debug, Clone, Default)]
pub struct Paper {
    steps: Vec<Step>,
    checks: Vec<Check>,
}

impl Paper {
    /// A blank sheet.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// The checks closed so far, in order.
    #[must_use]
    pub fn into_checks(self) -> Vec<Check> {
        self.checks
    }

    /// The lines of the check that is still open, for tests.
    #[cfg(test)]
    pub(crate) fn into_steps(self) -> Vec<Step> {
        self.steps
    }

    /// The lines taken down since the last check was closed.
    pub(crate) fn steps(&self) -> &[Step] {
        &self.steps
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

impl Recorder for Paper {
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

    fn derived(
        &mut self,
        words: &'static str,
        symbol: &'static str,
        formula: &'static str,
        value: f64,
        unit: &'static str,
        clause: &'static str,
    ) -> f64 {
        let numbers = notation::with_numbers(formula, |name| {
            self.steps.iter().rev().find(|step| step.symbol == name).map(|step| step.value)
        });
        self.push(words, symbol, formula, numbers, value, unit, clause)
    }

    fn at(&mut self, _place: usize) {}

    fn end(&mut self, compares: Compares, rule: &'static str, clause: &'static str, utilisation: f64) {
        let utilisation = if utilisation.is_nan() { f64::INFINITY } else { utilisation };
        self.checks.push(Check {
            rule: rule.to_owned(),
            clause: clause.to_owned(),
            steps: std::mem::take(&mut self.steps),
            utilisation,
            standing: compares.standing(utilisation),
            compares,
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rule<R: Recorder>(r: &mut R, force: f64) {
        let f = r.input("force", "F_d", force, "N", "");
        let a = r.input("area", "A", 20.0, "mm²", "");
        let u = r.derived("utilisation", "η", "F_d / (A·10)", f / (a * 10.0), "–", "");
        r.close("example", "no clause", u);
    }

    #[test]
    fn both_recorders_see_the_same_number() {
        let mut silent = Silent::new();
        let mut paper = Paper::new();
        rule(&mut silent, 100.0);
        rule(&mut paper, 100.0);
        let checks = paper.into_checks();
        assert_eq!(silent.worst().unwrap().utilisation.to_bits(), checks[0].utilisation.to_bits());
        assert_eq!(checks[0].steps[2].numbers, "100 / (20·10)");
        notation::recompute(&checks[0]);
    }

    #[test]
    fn what_fits_is_never_the_worst_and_what_does_not_is_over() {
        let mut silent = Silent::new();
        silent.close("load", "", 0.1);
        silent.end(Compares::Room, "fits", "", 1.0);
        assert_eq!(silent.worst().unwrap().rule, "load");
        silent.end(Compares::Room, "does not fit", "", 1.01);
        assert_eq!(silent.worst().unwrap().rule, "does not fit");
        let mut paper = Paper::new();
        paper.end(Compares::Room, "fits", "", 0.99);
        paper.end(Compares::Room, "does not fit", "", 1.01);
        let standings: Vec<Standing> = paper.into_checks().iter().map(|check| check.standing).collect();
        assert_eq!(standings, [Standing::Within, Standing::Over]);
    }

    #[test]
    fn the_worst_is_the_first_of_equals_and_says_its_place() {
        let mut silent = Silent::new();
        for (place, utilisation) in [(0, 0.2), (1, 0.7), (2, 0.7), (3, 0.1)] {
            silent.at(place);
            silent.close("load", "", utilisation);
        }
        assert_eq!(silent.worst().unwrap().place, 1);
    }

    #[test]
    fn not_a_number_counts_as_over() {
        let mut silent = Silent::new();
        silent.close("a", "b", 0.5);
        silent.close("c", "d", f64::NAN);
        assert_eq!(silent.worst().unwrap().rule, "c");
        let mut paper = Paper::new();
        paper.close("c", "d", f64::NAN);
        assert_eq!(paper.into_checks()[0].standing, Standing::Over);
    }
}
