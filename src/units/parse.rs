//! Text to quantity: "47 mm", "7 ft 6 1/2 in", "3 kN m/rad per m", "9 kg/m2".

use super::error::{UnitError, shorten};
use super::known::{Weighed, unit};
use super::number::{split_at_number, take_number};
use super::{Dimension, Powers, STANDARD_GRAVITY, System};

/// Longest text that is read as a quantity \[bytes\]: far beyond any that is meant.
const LONGEST: usize = 120;

/// A text as a quantity of the wanted dimension, in SI base units.
///
/// A text without a unit is in SI base units. "kg/m2", "kg/m" and "kg" serve as pressure, force per
/// length and force by [`STANDARD_GRAVITY`]; "lb" is a mass or a force, whichever is wanted.
///
/// # Errors
/// [`UnitError`], which names both dimensions where they differ.
pub fn parse(text: &str, wanted: Dimension) -> Result<f64, UnitError> {
    read(text, wanted).map(|(value, _)| value)
}

/// As [`parse`], and whether the text named a unit.
///
/// # Errors
/// See [`parse`].
pub fn read(text: &str, wanted: Dimension) -> Result<(f64, bool), UnitError> {
    let shown = shorten(text);
    let trimmed = text.trim();
    if trimmed.is_empty() {
        return Err(UnitError::Empty { wanted });
    }
    let malformed = |why| UnitError::Malformed { text: shown.clone(), why, wanted };
    if trimmed.len() > LONGEST {
        return Err(malformed("it is far too long"));
    }
    let joined = feet_dash_inches(trimmed);
    let mut rest = joined.as_str();
    let negative = rest.starts_with(['-', '−']);
    if negative || rest.starts_with('+') {
        rest = rest.strip_prefix(['-', '−', '+']).unwrap_or(rest).trim_start();
    }
    if rest.is_empty() {
        return Err(UnitError::NotANumber { text: shown, wanted });
    }
    let mut with_unit = false;
    let mut total = 0.0;
    let mut found: Option<Powers> = None;
    let mut parts = 0;
    let mut weighed = Weighed::No;
    let mut last_factor = f64::INFINITY;
    let mut last_unit = "";
    while !rest.is_empty() {
        let (number, after) = take_number(rest).ok_or_else(|| not_a_number(&shown, rest, wanted))?;
        if after.starts_with(',') {
            return Err(UnitError::Comma { text: shown, wanted });
        }
        let after = after.trim_start();
        let (unit_text, next) = split_at_number(after);
        // 6'-2 is six feet and two inches; "6 ft 2" might be anything.
        let after_feet = last_unit.trim_end().ends_with(['\'', '′']) && wanted == Dimension::Length;
        let unit_text = match unit_text.trim() {
            "" if after_feet && number < 12.0 => "in",
            "" if after_feet => {
                return Err(malformed("what follows the feet has no unit, and is too much for inches"));
            }
            "" if parts > 0 => return Err(malformed("its second number has no unit, as in \"7 ft 6 in\"")),
            _ => unit_text,
        };
        last_unit = unit_text;
        let unit = unit(unit_text, wanted)?;
        with_unit |= !unit_text.trim().is_empty();
        // "7 ft 6 in": each further part must be of the same dimension and a smaller unit.
        if found.is_some_and(|powers| powers != unit.powers) {
            return Err(malformed("its parts are of different kinds"));
        }
        if unit.factor >= last_factor {
            return Err(malformed("a second number needs a smaller unit, as in \"7 ft 6 in\""));
        }
        last_factor = unit.factor;
        total += number * unit.factor;
        found = Some(unit.powers);
        weighed = unit.weighed;
        parts += 1;
        rest = next.trim_start();
        if parts > 3 {
            return Err(malformed("it has too many parts"));
        }
    }
    if negative {
        total = -total;
    }
    let powers = found.unwrap_or([0; 4]);
    let value = if with_unit {
        total
            * to_wanted(powers, weighed, wanted).ok_or_else(|| UnitError::WrongDimension {
                text: shown.clone(),
                wanted,
                found: named(powers),
            })?
    } else {
        total
    };
    if !value.is_finite() {
        return Err(UnitError::NotFinite { text: shown });
    }
    if is_next_to_nothing(value) {
        return Err(UnitError::NextToNothing { text: shown });
    }
    Ok((value, with_unit))
}

/// "12'-6\"" as "12' 6\"": a dash between feet and inches is no minus.
fn feet_dash_inches(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find(['-', '–']) {
        let (before, dash) = rest.split_at(at);
        let after = dash.trim_start_matches(['-', '–']);
        let feet = before.trim_end().ends_with(['\'', '′']) || before.trim_end().ends_with("ft");
        // " -6" is a minus all the same.
        let apart = before.ends_with(' ') == after.starts_with(' ');
        let joins = feet && apart && after.trim_start().starts_with(|c: char| c.is_ascii_digit());
        out.push_str(before);
        out.push_str(if joins { " " } else { &dash[..dash.len() - after.len()] });
        rest = after;
    }
    out.push_str(rest);
    out
}

/// Whether a quantity in SI base units is neither 0 nor of any size that is measured: nothing here is, below 1e-30.
#[must_use]
pub fn is_next_to_nothing(value: f64) -> bool {
    value != 0.0 && value.abs() < 1e-30
}

/// A text that is one number and a unit: the number, its text, the unit's text (empty where none stands);
/// `None` for anything else ("7 ft 6 in", "-1 m").
#[must_use]
pub fn split(text: &str) -> Option<(f64, &str, &str)> {
    let text = text.trim();
    let (number, rest) = take_number(text)?;
    let (unit, more) = split_at_number(rest.trim_start());
    more.is_empty().then(|| (number, text[..text.len() - rest.len()].trim_end(), unit.trim()))
}

/// The same number in other units of the same dimension, for "did you mean": text and SI value, those first that a reader
/// of the system would write.
///
/// Empty where the text is no single number with a unit.
#[must_use]
pub fn in_other_units(text: &str, wanted: Dimension, system: System) -> Vec<(String, f64)> {
    let imperial = system == System::Imperial;
    let units: &[&str] = match wanted {
        Dimension::Length if imperial => &["in", "ft", "mm", "cm", "m"],
        Dimension::Length => &["mm", "cm", "m", "in", "ft"],
        Dimension::Pressure if imperial => &["psf", "psi", "kN/m2", "kg/m2", "N/m2", "N/mm2"],
        Dimension::Pressure => &["N/m2", "kN/m2", "kg/m2", "psf", "N/mm2", "psi"],
        Dimension::Force if imperial => &["lb", "kip", "N", "kN", "kg"],
        Dimension::Force => &["N", "kN", "kg", "lb"],
        Dimension::LineLoad if imperial => &["plf", "kN/m", "kg/m", "N/m"],
        Dimension::LineLoad => &["kN/m", "kg/m", "N/m", "plf"],
        Dimension::Speed if imperial => &["mph", "m/s", "km/h"],
        Dimension::Speed => &["m/s", "km/h", "mph"],
        Dimension::Mass if imperial => &["lb", "kg", "g"],
        Dimension::Mass => &["g", "kg", "lb"],
        Dimension::TurningStiffness => &["N m/rad", "kN m/rad"],
        Dimension::TurningStiffnessPerLength => &["N m/rad per m", "kN m/rad per m"],
        Dimension::Angle => &["deg", "rad"],
        Dimension::Number => &["%"],
        _ => &[],
    };
    let Some((number, rest)) = take_number(text.trim()) else { return Vec::new() };
    let (own, more) = split_at_number(rest.trim_start());
    if !more.is_empty() {
        return Vec::new();
    }
    let own = own.trim();
    let mut units = units.to_vec();
    if !own.is_empty() {
        // The likeliest slip first: psf for psi, N/m2 for kN/m2.
        units.sort_by_key(|name| strsim::damerau_levenshtein(name, own));
    }
    units
        .iter()
        .filter(|name| **name != own)
        .filter_map(|name| {
            let other = format!("{number} {name}");
            let value = parse(&other, wanted).ok()?;
            Some((other, value))
        })
        .collect()
}

/// The factor that takes a unit's dimension to the wanted one: 1, or standard gravity.
pub(super) fn to_wanted(powers: Powers, weighed: Weighed, wanted: Dimension) -> Option<f64> {
    let target = wanted.powers();
    if powers == target {
        return Some(1.0);
    }
    let as_weight = [powers[0] + 1, powers[1], powers[2] - 2, powers[3]];
    let kilograms = matches!(wanted, Dimension::Force | Dimension::LineLoad | Dimension::Pressure);
    if as_weight == target && (weighed == Weighed::Pound || (weighed == Weighed::Kilogram && kilograms)) {
        return Some(STANDARD_GRAVITY);
    }
    // A weight density, "4.2 kN/m3", is a mass density under standard gravity.
    let as_mass = [powers[0] - 1, powers[1], powers[2] + 2, powers[3]];
    if wanted == Dimension::Density && as_mass == target {
        return Some(1.0 / STANDARD_GRAVITY);
    }
    None
}

/// "a force", or the powers spelled out where the dimension has no name here.
fn named(powers: Powers) -> String {
    if let Some(dimension) = Dimension::of(powers) {
        return dimension.with_article().to_owned();
    }
    if powers == [-2, 1, 0, 0] {
        return "a mass per area".to_owned();
    }
    if powers == [-2, 1, -2, 0] {
        return "a weight per volume".to_owned();
    }
    let spelled: Vec<String> = ["m", "kg", "s", "rad"]
        .iter()
        .zip(powers)
        .filter(|(_, power)| *power != 0)
        .map(|(name, power)| if power == 1 { (*name).to_owned() } else { format!("{name}^{power}") })
        .collect();
    format!("in {}", spelled.join(" "))
}

fn not_a_number(shown: &str, rest: &str, wanted: Dimension) -> UnitError {
    let word = rest.to_ascii_lowercase();
    if ["nan", "inf"].iter().any(|name| word.starts_with(name) && !word[3..].starts_with("ch")) {
        return UnitError::NotFinite { text: shown.to_owned() };
    }
    UnitError::NotANumber { text: shown.to_owned(), wanted }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::FOOT;
    use approx::assert_relative_eq;

    #[test]
    fn reads_every_form_of_the_contract() {
        for (text, wanted, value) in [
            ("47 mm", Dimension::Length, 0.047),
            ("47mm", Dimension::Length, 0.047),
            ("47000 µm", Dimension::Length, 0.047),
            ("47000 um", Dimension::Length, 0.047),
            ("2.4 m", Dimension::Length, 2.4),
            ("7 ft 6 in", Dimension::Length, 2.286),
            ("7ft 6in", Dimension::Length, 2.286),
            ("7' 6\"", Dimension::Length, 2.286),
            ("7'6\"", Dimension::Length, 2.286),
            ("12'-6\"", Dimension::Length, 3.81),
            ("12' - 6 1/2\"", Dimension::Length, 3.8227),
            ("12 ft-6 in", Dimension::Length, 3.81),
            ("6'-2", Dimension::Length, 1.8796),
            ("6' 2 1/2", Dimension::Length, 1.8923),
            ("1 1/2 in", Dimension::Length, 0.0381),
            ("1-1/2 in", Dimension::Length, 0.0381),
            ("3/4 in", Dimension::Length, 0.01905),
            ("5 ½ in", Dimension::Length, 0.1397),
            ("7 ft 6 1/2 in", Dimension::Length, 2.2987),
            ("0.6 kN/m2", Dimension::Pressure, 600.0),
            ("0.6 kN/m²", Dimension::Pressure, 600.0),
            ("0.6 kN / m^2", Dimension::Pressure, 600.0),
            ("0.6 kPa", Dimension::Pressure, 600.0),
            // psf: 47.880259 Pa, NIST SP 811 (2008) appendix B.8 "pound-force per square foot" (from memory).
            ("30 psf", Dimension::Pressure, 30.0 * 47.880_259),
            ("30 lb/ft2", Dimension::Pressure, 30.0 * 47.880_259),
            ("30 lbf/ft2", Dimension::Pressure, 30.0 * 47.880_259),
            ("25 m/s", Dimension::Speed, 25.0),
            ("70 mph", Dimension::Speed, 31.2928),
            ("90 km/h", Dimension::Speed, 25.0),
            ("9 kg/m2", Dimension::Pressure, 88.259_85),
            ("80 kg", Dimension::Force, 784.532),
            ("12 deg", Dimension::Angle, 0.209_439_510_239_319_5),
            ("12°", Dimension::Angle, 0.209_439_510_239_319_5),
            ("3 kN m/rad per m", Dimension::TurningStiffnessPerLength, 3000.0),
            ("3 kN m/rad/m", Dimension::TurningStiffnessPerLength, 3000.0),
            ("3 kN·m/(rad·m)", Dimension::TurningStiffnessPerLength, 3000.0),
            ("3 kN/rad", Dimension::TurningStiffnessPerLength, 3000.0),
            ("5 kNm/rad", Dimension::TurningStiffness, 5000.0),
            ("4 kN", Dimension::Force, 4000.0),
            ("900 lb", Dimension::Force, 4_003.399_4),
            ("900 lb", Dimension::Mass, 408.233_1),
            ("26 pcf", Dimension::Density, 416.480_046),
            ("4.2 kN/m3", Dimension::Density, 428.280_8),
            ("11 GPa", Dimension::Pressure, 11e9),
            ("165 cm4", Dimension::SecondMoment, 1.65e-6),
            ("5 %", Dimension::Number, 0.05),
            ("0.6", Dimension::Pressure, 0.6),
            ("-1.2 m", Dimension::Length, -1.2),
            ("-7 ft 6 in", Dimension::Length, -2.286),
            ("1.5e3 mm", Dimension::Length, 1.5),
            (".5 m", Dimension::Length, 0.5),
        ] {
            let read = parse(text, wanted).unwrap_or_else(|e| panic!("{text}: {e}"));
            assert_relative_eq!(read, value, max_relative = 1e-6);
        }
    }

    #[test]
    fn names_both_dimensions() {
        let fault = parse("0.6 kN", Dimension::Pressure).unwrap_err();
        assert_eq!(fault.to_string(), "wants a pressure; \"0.6 kN\" is a force");
        let fault = parse("47 kg", Dimension::Length).unwrap_err();
        assert_eq!(fault.to_string(), "wants a length; \"47 kg\" is a mass");
        let fault = parse("5 kN m", Dimension::TurningStiffness).unwrap_err();
        assert_eq!(fault.to_string(), "wants a turning stiffness; \"5 kN m\" is a moment");
        assert!(parse("3 deg", Dimension::Length).is_err());
        assert!(parse("9 kg/m2", Dimension::Mass).unwrap_err().to_string().contains("a mass per area"));
    }

    #[test]
    fn refuses_what_is_no_quantity() {
        for text in [
            "",
            "  ",
            "mm",
            "abc",
            "nan",
            "inf",
            "NaN m",
            "1e400 m",
            "2,4 m",
            "4,500 mm",
            "1/0 in",
            "47 mmm",
            "5 KN",
            "6 in 7 ft",
            "1 m 2 m",
            "7 ft 6 kN",
            "5 kN/",
            "5 kN per",
            "1 2 3 4 5 m",
            "--",
            "-",
            "0x10 m",
            "5 m5",
            "5 m9",
            "½",
            "6'-14",
            "6 ft 2",
            "6'--2 m",
            "6 ft -2 in",
        ] {
            assert!(parse(text, Dimension::Length).is_err(), "{text:?} was read");
        }
        let fault = parse("5 KN", Dimension::Force).unwrap_err();
        assert_eq!(fault.help(), "write kN for KN");
        assert!(matches!(parse("2,4 m", Dimension::Length), Err(UnitError::Comma { .. })));
        assert!(matches!(parse("1e400 m", Dimension::Length), Err(UnitError::NotFinite { .. })));
    }

    proptest::proptest! {
        #[test]
        fn never_panics(text in "\\PC{0,40}") {
            for wanted in Dimension::ALL {
                if let Ok(value) = parse(&text, wanted) {
                    assert!(value.is_finite());
                }
            }
        }

        #[test]
        fn a_printed_length_reads_back(value in 0.001f64..900.0) {
            let text = format!("{value} m");
            assert!((parse(&text, Dimension::Length).unwrap() - value).abs() <= 1e-12 * value);
            let text = format!("{value} ft");
            assert!((parse(&text, Dimension::Length).unwrap() - value * FOOT).abs() <= 1e-12 * value);
        }
    }
}
