//! The notation that formulas of the working are written in: numbers put in for symbols, and, in the
//! tests, the whole worked out again from what is printed.

/// A number as the working prints it: five significant figures, no trailing noughts.
#[must_use]
pub fn number(value: f64) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    if !value.is_finite() {
        return if value.is_nan() { "?".to_owned() } else { "∞".to_owned() };
    }
    let size = value.abs().log10().floor();
    if (5.0..7.0).contains(&size) {
        return format!("{value:.0}");
    }
    if !(-4.0..7.0).contains(&size) {
        let power = 10.0_f64.powf(size);
        return format!("{}·10^{}", number(value / power), parenthesised(size));
    }
    let places = (4.0 - size).max(0.0);
    let text = format!("{value:.*}", places as usize);
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

/// As [`number`], in brackets where it is negative or written with a power of ten.
fn parenthesised(value: f64) -> String {
    let text = number(value);
    if value < 0.0 || text.contains('^') { format!("({text})") } else { text }
}

/// One piece of a formula.
#[derive(Debug, Clone, PartialEq)]
enum Piece<'a> {
    /// A symbol or a function's name.
    Name(&'a str),
    /// Anything else, one character or a whole number.
    Other(&'a str),
}

const FUNCTIONS: [&str; 8] = ["min", "max", "sin", "cos", "tan", "abs", "atan", "π"];

/// Whether a character ends a symbol.
fn breaks(c: char) -> bool {
    c.is_whitespace() || "+−·/^()√;-".contains(c)
}

/// A formula in pieces, white space kept.
fn pieces(formula: &str) -> Vec<Piece<'_>> {
    let mut found = Vec::new();
    let mut rest = formula;
    while let Some(first) = rest.chars().next() {
        let length = if breaks(first) { first.len_utf8() } else { rest.find(breaks).unwrap_or(rest.len()) };
        let (piece, after) = rest.split_at(length);
        rest = after;
        if breaks(first) || first.is_ascii_digit() {
            found.push(Piece::Other(piece));
        } else {
            found.push(Piece::Name(piece));
        }
    }
    found
}

/// The symbols that a formula uses, functions left out.
pub(crate) fn symbols(formula: &str) -> impl Iterator<Item = &str> {
    pieces(formula).into_iter().filter_map(|piece| match piece {
        Piece::Name(name) if !FUNCTIONS.contains(&name) => Some(name),
        _ => None,
    })
}

/// The formula with each symbol replaced by its value; a symbol that nobody knows stays as it is.
pub fn with_numbers(formula: &str, value_of: impl Fn(&str) -> Option<f64>) -> String {
    pieces(formula)
        .into_iter()
        .map(|piece| match piece {
            Piece::Other(text) => text.to_owned(),
            Piece::Name(name) if FUNCTIONS.contains(&name) => name.to_owned(),
            Piece::Name(name) => value_of(name).map_or_else(|| name.to_owned(), parenthesised),
        })
        .collect()
}

#[cfg(test)]
pub(crate) use arithmetic::recompute;

#[cfg(test)]
mod arithmetic {
    use super::{Piece, pieces};

    /// Works a formula out. Panics on anything that it cannot read: a formula that nobody can
    /// work out again is not a working.
    pub(crate) fn evaluate(formula: &str, value_of: &dyn Fn(&str) -> Option<f64>) -> f64 {
        let tokens: Vec<Piece<'_>> = pieces(formula)
            .into_iter()
            .filter(|p| !matches!(p, Piece::Other(text) if text.trim().is_empty()))
            .collect();
        let mut reader = Reader { tokens: &tokens, place: 0, value_of, formula };
        let value = reader.sum();
        assert_eq!(reader.place, tokens.len(), "left over in {formula:?} at {:?}", &tokens[reader.place..]);
        value
    }

    struct Reader<'a> {
        tokens: &'a [Piece<'a>],
        place: usize,
        value_of: &'a dyn Fn(&str) -> Option<f64>,
        formula: &'a str,
    }

    impl Reader<'_> {
        fn take(&mut self, text: &str) -> bool {
            let here = matches!(self.tokens.get(self.place), Some(Piece::Other(t)) if *t == text);
            self.place += usize::from(here);
            here
        }

        fn sum(&mut self) -> f64 {
            let mut total = self.product();
            loop {
                if self.take("+") {
                    total += self.product();
                } else if self.take("−") || self.take("-") {
                    total -= self.product();
                } else {
                    return total;
                }
            }
        }

        fn product(&mut self) -> f64 {
            let mut total = self.signed();
            loop {
                if self.take("·") {
                    total *= self.signed();
                } else if self.take("/") {
                    total /= self.signed();
                } else {
                    return total;
                }
            }
        }

        fn signed(&mut self) -> f64 {
            if self.take("−") || self.take("-") { -self.signed() } else { self.power() }
        }

        fn power(&mut self) -> f64 {
            let base = self.atom();
            if self.take("^") { base.powf(self.signed()) } else { base }
        }

        fn list(&mut self) -> Vec<f64> {
            assert!(self.take("("), "bracket missing in {:?}", self.formula);
            let mut values = vec![self.sum()];
            while self.take(";") {
                values.push(self.sum());
            }
            assert!(self.take(")"), "bracket not closed in {:?}", self.formula);
            values
        }

        fn atom(&mut self) -> f64 {
            if matches!(self.tokens.get(self.place), Some(Piece::Other("("))) {
                return self.list()[0];
            }
            if self.take("√") {
                return self.list()[0].sqrt();
            }
            let Some(token) = self.tokens.get(self.place) else {
                panic!("{:?} ends too soon", self.formula);
            };
            self.place += 1;
            match token {
                Piece::Other(text) => {
                    text.parse().unwrap_or_else(|_| panic!("{text:?} in {:?} is no number", self.formula))
                }
                Piece::Name("π") => std::f64::consts::PI,
                Piece::Name("∞") => f64::INFINITY,
                Piece::Name("min") => self.list().into_iter().fold(f64::INFINITY, f64::min),
                Piece::Name("max") => self.list().into_iter().fold(f64::NEG_INFINITY, f64::max),
                Piece::Name("sin") => self.list()[0].to_radians().sin(),
                Piece::Name("cos") => self.list()[0].to_radians().cos(),
                Piece::Name("tan") => self.list()[0].to_radians().tan(),
                Piece::Name("atan") => self.list()[0].atan().to_degrees(),
                Piece::Name("abs") => self.list()[0].abs(),
                Piece::Name(name) => (self.value_of)(name)
                    .unwrap_or_else(|| panic!("{name:?} in {:?} was never recorded", self.formula)),
            }
        }
    }

    /// Works out every formula of a check from the lines above it (to rounding), and every line of
    /// numbers (to the figures printed), and compares with the value given. Its last line must be the utilisation.
    pub(crate) fn recompute(check: &crate::rules::Check) {
        for (i, step) in check.steps.iter().enumerate() {
            if step.formula.is_empty() {
                continue;
            }
            let known =
                |name: &str| check.steps[..i].iter().rev().find(|s| s.symbol == name).map(|s| s.value);
            let by_symbols = evaluate(&step.formula, &known);
            let by_numbers = evaluate(&step.numbers, &|_| None);
            let near = |a: f64, tolerance: f64| {
                if !step.value.is_finite() {
                    return a.to_bits() == step.value.to_bits();
                }
                (a - step.value).abs() <= tolerance * (step.value.abs() + 1e-9)
            };
            assert!(near(by_symbols, 1e-9), "{step:?}: formula gives {by_symbols}");
            assert!(near(by_numbers, 2e-3), "{step:?}: numbers give {by_numbers}");
        }
        let last = check.steps.last().unwrap();
        assert_eq!(last.value.to_bits(), check.utilisation.to_bits(), "{last:?}");
    }

    #[test]
    fn arithmetic_reads_as_a_person_would() {
        let none = |_: &str| None;
        assert!((evaluate("1 + 2·3^2 / 2 − 4", &none) - 6.0).abs() < 1e-12);
        assert!((evaluate("√(16) + min(3; 2) + sin(30)", &none) - 6.5).abs() < 1e-12);
        assert!((evaluate("2·10^(−3)", &none) - 0.002).abs() < 1e-12);
        assert!((evaluate("f_h,0,k·d", &|n| Some(if n == "d" { 2.0 } else { 3.0 })) - 6.0).abs() < 1e-12);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_printed_to_five_figures() {
        assert_eq!(number(76_745.123), "76745");
        assert_eq!(number(1_234_567.0), "1234567");
        assert_eq!(number(22.3696), "22.37");
        assert_eq!(number(0.5), "0.5");
        assert_eq!(number(0.0), "0");
        assert_eq!(number(-3.25), "-3.25");
        assert_eq!(with_numbers("a·b + c", |n| (n != "c").then_some(-2.0)), "(-2)·(-2) + c");
        // Names of functions are no symbols, not even to somebody who knows a value for every name.
        assert_eq!(with_numbers("min(a; 2)·π", |_| Some(0.0)), "min(0; 2)·π");
        assert_eq!(symbols("min(a; b_1)·π/sin(30)").collect::<Vec<_>>(), ["a", "b_1"]);
    }
}
