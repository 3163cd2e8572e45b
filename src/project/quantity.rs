//! Quantities of a table: numbers with units, their limits, and what is unusual.

use toml::Spanned;
use toml::de::DeValue;

use super::fault::Place;
use super::key::{Key, Wants};
use super::near::shorten;
use super::table::{Table, a_type};
use crate::units::{self, Dimension, Kind, Show, System};
use crate::vector::Vec3;

impl<'d> Table<'_, 'd> {
    /// Plain numbers by names that the user chooses, in the order of their names.
    #[must_use]
    pub fn named_numbers(&self) -> Vec<(String, f64)> {
        let key = Key::number("factor", "a factor").within(-1e3, 1e3);
        let mut numbers = Vec::new();
        for (name, value) in self.entries.into_iter().flatten() {
            let full = format!("{}.{:?}", self.path, shorten(name.get_ref()));
            if let Some(number) = self.read_named(&key, &full, value) {
                numbers.push((name.get_ref().to_string(), number));
            }
        }
        numbers
    }

    /// A quantity, if it is there. Limits are checked, unusual values warned of; of a range, one end.
    #[must_use]
    pub fn quantity(&self, key: &Key) -> Option<f64> {
        let value = self.ask(key)?;
        let (number, text) = match value.get_ref() {
            DeValue::Array(list) => self.range(key, value.span(), list)?,
            _ => (self.read_quantity(key, value)?, printed(key, value)),
        };
        self.note_input(key, &text, "entered");
        Some(number)
    }

    /// A quantity that must be there.
    #[must_use]
    pub fn need_quantity(&self, key: &Key) -> Option<f64> {
        self.need(key)?;
        self.quantity(key)
    }

    /// A quantity, or the default, which the notes print as such.
    #[must_use]
    pub fn quantity_or(&self, key: &Key, default: f64) -> f64 {
        if self.has(key) {
            return self.quantity(key).unwrap_or(default);
        }
        let _ = self.ask(key);
        self.note_input(key, &in_si(key, default), "default");
        default
    }

    /// A list of quantities, if it is there.
    #[must_use]
    pub fn quantities(&self, key: &Key) -> Option<Vec<f64>> {
        let values = self.list(key)?;
        let texts: Vec<String> = values.iter().map(|value| printed(key, value)).collect();
        let read: Option<Vec<f64>> = values.iter().map(|value| self.read_quantity(key, value)).collect();
        self.note_input(key, &texts.join(", "), "entered");
        read
    }

    /// A quantity or a list of them that must be there.
    #[must_use]
    pub fn need_one_or_more(&self, key: &Key) -> Option<Vec<f64>> {
        self.need(key)?;
        match self.ask(key)?.get_ref() {
            DeValue::Array(_) => self.quantities(key),
            _ => self.quantity(key).map(|one| vec![one]),
        }
    }

    /// So many quantities, if they are there; `wants` and `help` tell how many.
    #[must_use]
    pub fn quantities_of<const N: usize>(&self, key: &Key, wants: &str, help: &str) -> Option<[f64; N]> {
        let list = <[f64; N]>::try_from(self.quantities(key)?).ok();
        if list.is_none() {
            self.fault("wrong-count", key, wants, help);
        }
        list
    }

    /// A point [x, y, z] of lengths, if it is there.
    #[must_use]
    pub fn point(&self, key: &Key) -> Option<Vec3> {
        let list = self.quantities(key)?;
        if let [x, y, z] = list[..] {
            return Some(Vec3::new(x, y, z));
        }
        self.fault(
            "wrong-count",
            key,
            format!("wants three lengths; found {}", list.len()),
            "write [x, y, z]",
        );
        None
    }

    pub(super) fn read_quantity(&self, key: &Key, value: &Spanned<DeValue<'d>>) -> Option<f64> {
        self.read_named(key, &self.name_of(key), value)
    }

    fn read_named(&self, key: &Key, name: &str, value: &Spanned<DeValue<'d>>) -> Option<f64> {
        let place = Place::project(value.span());
        let dimension = dimension(key);
        let (number, text) = match value.get_ref() {
            DeValue::String(text) => match units::read(text, dimension) {
                // A text without a unit is bare, so degrees where the key says so.
                Ok((number, false)) if key.is_in_degrees() => (number, text.to_string()),
                Ok((number, _)) if key.is_in_degrees() => (units::degrees(number), text.to_string()),
                Ok((number, _)) => (number, text.to_string()),
                Err(error) => {
                    let code = match error {
                        units::UnitError::WrongDimension { .. } => "wrong-unit",
                        units::UnitError::UnknownUnit { .. } => "unknown-unit",
                        units::UnitError::NextToNothing { .. } => "out-of-range",
                        _ => "not-a-quantity",
                    };
                    // Examples of the key's own size.
                    let own = |words: String| words.replace(dimension.examples(), key.examples());
                    let message = own(format!("{name} {error}"));
                    self.reading.fault(code, place, message, own(error.help()));
                    return None;
                }
            },
            DeValue::Integer(integer) => {
                let digits = integer.as_str().replace('_', "");
                let parsed = i64::from_str_radix(&digits, integer.radix()).ok();
                // Large whole numbers lose digits that no measure has.
                #[allow(clippy::cast_precision_loss, reason = "a measure, not a count")]
                let number = parsed.map_or(f64::INFINITY, |n| n as f64);
                (number, digits)
            }
            DeValue::Float(float) => {
                let digits = float.as_str().replace('_', "");
                (digits.parse().unwrap_or(f64::NAN), digits)
            }
            other => {
                let help = format!("write it as {}", key.examples());
                let message = format!("{name} wants {}; found {}", dimension.with_article(), a_type(other));
                self.reading.fault("wrong-type", place, message, help);
                return None;
            }
        };
        if !number.is_finite() {
            let message = format!("{name} is {}, which is not a finite number", shorten(&text));
            self.reading.fault("not-finite", place, message, "write an ordinary number");
            return None;
        }
        if units::is_next_to_nothing(number) {
            let error = units::UnitError::NextToNothing { text: shorten(&text) };
            self.reading.fault("out-of-range", place, format!("{name} {error}"), error.help());
            return None;
        }
        let shown = || shorten(&printed(key, value));
        let unit = if key.is_in_degrees() { "°" } else { dimension.si_unit() };
        // Bounds are told in the unit that was written, unless that is the slip and makes them unreadable.
        let bounds = |low: f64, high: f64| match own_unit(&text, number) {
            Some((scale, own)) if (1.0..1e4).contains(&(high / scale)) => {
                between(low / scale, high / scale, own)
            }
            _ => between(low, high, unit),
        };
        let system = self.reading.units.get();
        let slip = |low: f64, high: f64| {
            units::in_other_units(&text, dimension, system)
                .into_iter()
                .map(|(other, value)| {
                    (other, if key.is_in_degrees() { units::degrees(value) } else { value })
                })
                .find(|(_, other)| (low..=high).contains(other))
                .map(|(other, _)| other)
        };
        let (low, high) = key.limits;
        let (usual_low, usual_high) = key.usual;
        let bare = matches!(units::read(&text, dimension), Ok((_, false)));
        // Of a pressure either way, by its size.
        let small = bare && number != 0.0 && number.abs() < key.usual_bare;
        let usual_low = if bare { usual_low.max(key.usual_bare) } else { usual_low };
        if number < low || number > high {
            // What speed is usual goes by the basis, and a gale in km/h is meant as that all the same.
            let meant = slip(low.max(usual_low), high.min(usual_high))
                .or_else(|| if dimension == Dimension::Speed { slip(low, high) } else { None });
            let help = match meant {
                Some(other) if bare && !unit.is_empty() => {
                    format!("a number without a unit is in {unit}; did you mean \"{other}\"?")
                }
                Some(other) => format!("did you mean \"{other}\"?"),
                None if key.is_in_degrees() && high >= 360.0 => {
                    let within = units::significant(number.rem_euclid(360.0), 6);
                    format!("a whole turn is 360°: {} is {within}° ({})", shown(), key.about)
                }
                None => format!("{}: {}", key.name, key.about),
            };
            let message = format!("{name} is {}; it must be {}", shown(), bounds(low, high));
            self.reading.fault("out-of-range", place, message, help);
            return None;
        }
        if small || number < key.usual.0 || number > usual_high {
            let (line, column) = self.reading.line_and_column(&place);
            let guess =
                slip(usual_low, usual_high).map_or(String::new(), |other| format!("; is it \"{other}\"?"));
            let usual = bounds(usual_low, usual_high);
            if !key.is_load || number == 0.0 {
                self.reading.warn(format!(
                    "{name} is {} (line {line}, column {column}); it is usually {usual}{guess}",
                    shown()
                ));
                return Some(number);
            }
            // Nobody measures wind in m/s where it is told in mph.
            let told = in_own_system(dimension, number, system).filter(|_| bare);
            let told = told.map_or(String::new(), |told| format!(", which is {told}"));
            let rest = if bare && !unit.is_empty() {
                let start = if guess.is_empty() { "; a" } else { " A" };
                format!(
                    "{start} number without a unit is in {unit}: write the unit, and nothing is taken for what it is not"
                )
            } else {
                String::new()
            };
            self.reading.doubt(format!(
                "the load {name} is {} (line {line}){told}; it is usually {usual}{guess}{rest}",
                shown()
            ));
        }
        Some(number)
    }
}

/// The unit that follows the number in a text such as "47 cm", and how many SI units one of it is, from what the whole came
/// to. None where there is no unit, more than one word after the number ("5 ft 3 in"), or nothing to tell the size by.
fn own_unit(text: &str, si: f64) -> Option<(f64, &str)> {
    let text = text.trim();
    let end = text.find(|c: char| !(c.is_ascii_digit() || matches!(c, '+' | '-' | '.' | '_')))?;
    let unit = text[end..].trim();
    let entered: f64 = text[..end].trim().parse().ok()?;
    let scale = si / entered;
    let plain = !unit.starts_with(['e', 'E']) && !unit.contains(char::is_whitespace);
    (plain && scale.is_finite() && scale > 0.0).then_some((scale, unit))
}

/// A load in the units of those who think in pounds and miles, where a bare number is in others.
fn in_own_system(dimension: Dimension, value: f64, system: System) -> Option<String> {
    let kind = match dimension {
        Dimension::Pressure => Kind::Pressure,
        Dimension::Speed => Kind::Speed,
        Dimension::Force => Kind::Force,
        Dimension::LineLoad => Kind::LineLoad,
        _ => return None,
    };
    (system == System::Imperial).then(|| Show::new(system).text_to(kind, value, 2))
}

/// What a key is measured in.
pub(super) fn dimension(key: &Key) -> Dimension {
    match key.wants {
        Wants::Quantity(dimension) | Wants::Quantities(dimension) => dimension,
        Wants::Degrees | Wants::DegreesList | Wants::DegreesOrList => Dimension::Angle,
        _ => Dimension::Number,
    }
}

/// As entered, with the SI unit put to a bare number, in quotation marks or not: nobody is to take it for another.
pub(super) fn printed(key: &Key, value: &Spanned<DeValue<'_>>) -> String {
    let unit = if key.is_in_degrees() { "°" } else { dimension(key).si_unit() };
    match value.get_ref() {
        DeValue::String(text) => match units::read(text, dimension(key)) {
            Ok((_, false)) => with_unit(text.trim(), unit),
            _ => text.trim().to_owned(),
        },
        DeValue::Integer(integer) => with_unit(integer.as_str(), unit),
        DeValue::Float(float) => with_unit(float.as_str(), unit),
        other => a_type(other).to_owned(),
    }
}

fn in_si(key: &Key, value: f64) -> String {
    written(key, value, 6)
}

/// A value as it could be written in the file, to so many figures.
pub(super) fn written(key: &Key, value: f64, figures: usize) -> String {
    let unit = if key.is_in_degrees() { "°" } else { dimension(key).si_unit() };
    with_unit(&units::significant(value, figures), unit)
}

fn with_unit(number: &str, unit: &str) -> String {
    match unit {
        "" => number.to_owned(),
        "°" => format!("{number}°"),
        _ => format!("{number} {unit}"),
    }
}

/// The unit to tell bounds in, and how many of `unit` it is: nobody reads a strength in N/m².
pub(super) fn readable(high: f64, unit: &str) -> (f64, &str) {
    if unit == "N/m2" && (STRONG..f64::MAX).contains(&high) { (1e6, "N/mm2") } else { (1.0, unit) }
}

/// A pressure from which on it is the strength or the stiffness of a material \[N/m²\].
const STRONG: f64 = 1e8;

/// "between 0.3 m and 60 m", "at least 1", "at most 5".
pub(super) fn between(low: f64, high: f64, unit: &str) -> String {
    let (scale, unit) = readable(high, unit);
    let text = |value: f64| with_unit(&units::significant(value / scale, 4), unit);
    match (low.is_finite(), high.is_finite()) {
        (true, true) => format!("between {} and {}", text(low), text(high)),
        (true, false) => format!("at least {}", text(low)),
        (false, true) => format!("at most {}", text(high)),
        (false, false) => "a number".to_owned(),
    }
}
