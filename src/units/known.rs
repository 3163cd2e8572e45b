//! The units that are known, and products and quotients of them.

use super::error::{UnitError, shorten};
use super::parse::to_wanted;
use super::{Dimension, FOOT, INCH, KIP, POUND, POUND_FORCE, Powers, STANDARD_GRAVITY};

/// Whether a unit's mass may be read as a weight.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Weighed {
    No,
    Kilogram,
    Pound,
}

/// A unit, or a product of several.
#[derive(Debug, Clone, Copy)]
pub(super) struct Unit {
    pub(super) factor: f64,
    pub(super) powers: Powers,
    pub(super) weighed: Weighed,
}

/// Why a text is no product of known units.
enum Failure {
    /// A part that is not known.
    Unknown(String),
    /// Nothing behind a "/" or "per".
    Dangling,
}

/// A product and quotient of known units; every "/" or "per" divides by the one unit after it, or by
/// the bracket after it.
pub(super) fn unit(text: &str, wanted: Dimension) -> Result<Unit, UnitError> {
    composed(text).map_err(|failure| match failure {
        Failure::Unknown(token) => unknown(&token, text, wanted),
        Failure::Dangling => {
            UnitError::Malformed { text: shorten(text), why: "nothing follows the \"/\" or \"per\"", wanted }
        }
    })
}

fn composed(text: &str) -> Result<Unit, Failure> {
    let mut answer = Unit { factor: 1.0, powers: [0; 4], weighed: Weighed::No };
    let mut divide = false;
    let mut bracket = false;
    let spaced = text
        .replace('/', " / ")
        .replace('(', " ( ")
        .replace(')', " ) ")
        .replace(['*', '·', '⋅', '.'], " ")
        .replace("-", " ");
    for token in spaced.split_whitespace() {
        match token {
            "/" | "per" => divide = true,
            "(" => bracket = divide,
            ")" => {
                bracket = false;
                divide = false;
            }
            _ => {
                let one = single(token).ok_or_else(|| Failure::Unknown(token.to_owned()))?;
                let sign = if divide || bracket { -1 } else { 1 };
                for (sum, power) in answer.powers.iter_mut().zip(one.powers) {
                    *sum = sum.saturating_add(power.saturating_mul(sign));
                }
                answer.factor *= if sign < 0 { 1.0 / one.factor } else { one.factor };
                if one.weighed != Weighed::No {
                    answer.weighed = if sign > 0 { one.weighed } else { Weighed::No };
                }
                divide = bracket;
            }
        }
    }
    if divide && !bracket {
        return Err(Failure::Dangling);
    }
    Ok(answer)
}

fn unknown(token: &str, whole: &str, wanted: Dimension) -> UnitError {
    let bare = token.trim_end_matches(|c: char| c.is_ascii_digit() || "²³⁴^".contains(c));
    let same = NAMES.iter().map(|row| row.0).find(|name| name.eq_ignore_ascii_case(bare));
    let close = || {
        NAMES
            .iter()
            .map(|row| (strsim::damerau_levenshtein(row.0, bare), row.0))
            .filter(|(distance, name)| *distance == 1 && name.len() > 1 && bare.len() > 1)
            .min()
            .map(|(_, name)| name)
    };
    // Advice that is taken must be of what is wanted: "kg" for "kgm2" is not.
    let fits =
        |text: &str| composed(text).is_ok_and(|unit| to_wanted(unit.powers, unit.weighed, wanted).is_some());
    if let Some(near) = same.or_else(close).filter(|near| fits(&whole.replacen(bare, near, 1))) {
        return UnitError::UnknownUnit { unit: shorten(bare), near: Some(near.to_owned()), wanted };
    }
    // "kgm2" for "kg/m2".
    let parted = token.char_indices().skip(1).map(|(at, _)| format!("{}/{}", &token[..at], &token[at..]));
    let near = parted.into_iter().find(|text| fits(&whole.replacen(token, text, 1)));
    UnitError::UnknownUnit { unit: shorten(if near.is_some() { token } else { whole.trim() }), near, wanted }
}

/// One unit with its power: "mm", "m2", "m²", "m^2".
fn single(token: &str) -> Option<Unit> {
    let stem = token.trim_end_matches(|c: char| c.is_ascii_digit() || "²³⁴^".contains(c));
    let power = match token[stem.len()..].trim_start_matches('^') {
        "" if stem.len() == token.len() => 1,
        "2" | "²" => 2,
        "3" | "³" => 3,
        "4" | "⁴" => 4,
        _ => return None,
    };
    let (name, factor, powers) = NAMES.iter().find(|row| row.0 == stem)?;
    let weighed = match *name {
        "kg" | "g" | "t" if power == 1 => Weighed::Kilogram,
        "lb" | "lbs" | "pcf" if power == 1 => Weighed::Pound,
        _ => Weighed::No,
    };
    Some(Unit {
        factor: factor.powi(power),
        powers: powers.map(|p| p * i8::try_from(power).unwrap_or(1)),
        weighed,
    })
}

const LENGTH: Powers = [1, 0, 0, 0];
const MASS: Powers = [0, 1, 0, 0];
const TIME: Powers = [0, 0, 1, 0];
const ANGLE: Powers = [0, 0, 0, 1];
const FORCE: Powers = [1, 1, -2, 0];
const LINE: Powers = [0, 1, -2, 0];
const PRESSURE: Powers = [-1, 1, -2, 0];
const MOMENT: Powers = [2, 1, -2, 0];
const SPEED: Powers = [1, 0, -1, 0];

/// Name, factor to SI, powers. Capitals count: "kN" is a kilonewton, "mm" a millimetre.
const NAMES: &[(&str, f64, Powers)] = &[
    ("m", 1.0, LENGTH),
    ("mm", 1e-3, LENGTH),
    // Micrometres by either sign and by what is typed for it: one letter from "mm", and a thousandth of it.
    ("µm", 1e-6, LENGTH),
    ("μm", 1e-6, LENGTH),
    ("um", 1e-6, LENGTH),
    ("cm", 1e-2, LENGTH),
    ("km", 1e3, LENGTH),
    ("in", INCH, LENGTH),
    ("inch", INCH, LENGTH),
    ("inches", INCH, LENGTH),
    ("\"", INCH, LENGTH),
    ("″", INCH, LENGTH),
    ("ft", FOOT, LENGTH),
    ("foot", FOOT, LENGTH),
    ("feet", FOOT, LENGTH),
    ("'", FOOT, LENGTH),
    ("′", FOOT, LENGTH),
    ("yd", 3.0 * FOOT, LENGTH),
    ("kg", 1.0, MASS),
    ("g", 1e-3, MASS),
    ("t", 1e3, MASS),
    ("lb", POUND, MASS),
    ("lbs", POUND, MASS),
    ("s", 1.0, TIME),
    ("min", 60.0, TIME),
    ("h", 3600.0, TIME),
    ("Hz", 1.0, [0, 0, -1, 0]),
    ("rad", 1.0, ANGLE),
    ("deg", std::f64::consts::PI / 180.0, ANGLE),
    ("degree", std::f64::consts::PI / 180.0, ANGLE),
    ("degrees", std::f64::consts::PI / 180.0, ANGLE),
    ("°", std::f64::consts::PI / 180.0, ANGLE),
    ("N", 1.0, FORCE),
    ("kN", 1e3, FORCE),
    ("MN", 1e6, FORCE),
    ("kgf", STANDARD_GRAVITY, FORCE),
    ("lbf", POUND_FORCE, FORCE),
    ("kip", KIP, FORCE),
    ("kips", KIP, FORCE),
    ("Nm", 1.0, MOMENT),
    ("kNm", 1e3, MOMENT),
    ("Pa", 1.0, PRESSURE),
    ("hPa", 1e2, PRESSURE),
    ("kPa", 1e3, PRESSURE),
    ("MPa", 1e6, PRESSURE),
    ("GPa", 1e9, PRESSURE),
    ("psf", super::PSF, PRESSURE),
    ("psi", super::PSI, PRESSURE),
    ("ksf", 1000.0 * super::PSF, PRESSURE),
    ("ksi", 1000.0 * super::PSI, PRESSURE),
    ("plf", POUND_FORCE / FOOT, LINE),
    ("pcf", POUND / (FOOT * FOOT * FOOT), [-3, 1, 0, 0]),
    ("mph", super::MILE_PER_HOUR, SPEED),
    ("kph", super::KILOMETRE_PER_HOUR, SPEED),
    ("kmh", super::KILOMETRE_PER_HOUR, SPEED),
    ("knots", 1852.0 / 3600.0, SPEED),
    ("%", 0.01, [0; 4]),
];
