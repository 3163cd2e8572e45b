//! Quantities inside a sentence, from SI to the units of a reader in feet and pounds.

use super::{FOOT, INCH, KILONEWTON, MILE_PER_HOUR, MILLIMETRE, POUND, POUND_FORCE, PSF, PSI};

/// Units as they stand in sentences, what one of them is in SI and in the other unit, and that unit.
const UNITS: [(&str, f64, &str); 14] = [
    ("N/m²", 1.0 / PSF, "psf"),
    ("kN/m²", KILONEWTON / PSF, "psf"),
    ("N/mm²", 1e6 / PSI, "psi"),
    // Of a seam: for each metre of it, and for each foot.
    ("kN·m/rad", KILONEWTON / POUND_FORCE, "lbf·ft/rad"),
    ("kN/mm", KILONEWTON / MILLIMETRE * INCH / POUND_FORCE, "lbf/in"),
    ("kN", KILONEWTON / POUND_FORCE, "lbf"),
    ("N", 1.0 / POUND_FORCE, "lbf"),
    ("kg/m³", FOOT * FOOT * FOOT / POUND, "lb/ft³"),
    ("m³", 1.0 / (FOOT * FOOT * FOOT), "ft³"),
    ("cm⁴", 1e-8 / (INCH * INCH * INCH * INCH), "in⁴"),
    ("m²", 1.0 / (FOOT * FOOT), "ft²"),
    ("m/s", 1.0 / MILE_PER_HOUR, "mph"),
    ("mm", MILLIMETRE / INCH, "in"),
    ("m", 1.0 / FOOT, "ft"),
];

/// "a" or "an" before a size as it is spoken: "an 8 mm bolt", "a 10 mm bolt", "an 18 mm bolt".
///
/// ```
/// use strutwise::units::a_or_an;
/// assert_eq!(["8 mm", "6 mm", "11 mm", "110 mm", "18.5 mm", "80 mm"].map(a_or_an), ["an", "a", "an", "a", "an", "an"]);
/// ```
#[must_use]
pub fn a_or_an(size: &str) -> &'static str {
    let whole = size.split(|c: char| !c.is_ascii_digit()).next().unwrap_or_default();
    if whole.starts_with('8') || whole == "11" || whole == "18" { "an" } else { "a" }
}

/// How a sentence says that a stiffness is of a length of seam.
const PER_METRE: &str = " per metre of seam";

/// A sentence with its quantities in feet, pounds, psf and mph: each number that one of the known units
/// follows, after a space. Feet are decimal, so that a sum in the sentence can be done again.
///
/// ```
/// use strutwise::units::imperial_words;
/// assert_eq!(imperial_words("outside −0.50 on 5.63 m², half of it"), "outside −0.50 on 60.6 ft², half of it");
/// assert_eq!(imperial_words("V 44.7 m/s (EN 1991-1-4 6.2)"), "V 100 mph (EN 1991-1-4 6.2)");
/// ```
#[must_use]
pub fn imperial_words(sentence: &str) -> String {
    let seam = sentence.contains(PER_METRE);
    let mut words: Vec<String> = sentence.split(' ').map(str::to_owned).collect();
    for n in 1..words.len() {
        let end = |c: char| matches!(c, ',' | ';' | ':' | ')' | '.');
        let bare = words[n].trim_end_matches(end).to_owned();
        let Some((_, mut factor, unit)) = UNITS.iter().find(|(unit, ..)| *unit == bare).copied() else {
            continue;
        };
        if unit == "lbf·ft/rad" && !seam {
            // Of a metre that is told otherwise: left as it stands.
            if words.get(n + 1).is_some_and(|next| next == "per") {
                continue;
            }
            // At the end of one bar there is a moment, with its length.
            factor /= FOOT;
        }
        let [opening, number] = split_opening(&words[n - 1]);
        let Ok(value) = number.replace('−', "-").parse::<f64>() else { continue };
        let printed = roundest(value, &number, factor).replace('-', "−");
        let tail = words[n][bare.len()..].to_owned();
        words[n - 1] = format!("{opening}{printed}");
        words[n] = format!("{unit}{tail}");
    }
    // The factor of dynamic pressure goes with its units: ASCE 7-16 26.10-1 (0.613 in SI, 0.00256 in psf and mph).
    words.join(" ").replace("0.613·", "0.00256·").replace(PER_METRE, " per foot of seam")
}

/// Brackets in front of a number, and the number.
fn split_opening(word: &str) -> [String; 2] {
    let number = word.trim_start_matches('(');
    [word[..word.len() - number.len()].to_owned(), number.to_owned()]
}

/// A printed number in another unit: with the fewest figures that it may stand for, as a size of 7 ft printed as 2.13 m is told as
/// 7 ft and not as 6.99; where there is none, with as many as it has.
fn roundest(value: f64, number: &str, factor: f64) -> String {
    /// No farther from what is printed than this share of it.
    const NEAR: f64 = 0.005;
    let decimals = number.split_once('.').map_or(0, |(_, behind)| behind.len());
    let rounding = 0.5 * 10_f64.powi(-i32::try_from(decimals).unwrap_or(i32::MAX));
    let room = rounding.min(NEAR * value.abs()) * (1.0 + 1e-9);
    let most = figures_of(number);
    let short = (1..most).map(|figures| super::significant(value * factor, figures));
    let stands = |text: &String| text.parse::<f64>().is_ok_and(|told| (told / factor - value).abs() <= room);
    short.into_iter().find(stands).unwrap_or_else(|| super::significant(value * factor, most))
}

/// As many figures as the number has, but at least two and at most four.
fn figures_of(number: &str) -> usize {
    let digits = number.trim_start_matches(['-', '−', '+', '0', '.']);
    digits.chars().filter(char::is_ascii_digit).count().clamp(2, 4)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quantities_are_turned_and_all_else_is_kept() {
        // 804 / 47.880 = 16.79; 1 m³ = 35.315 ft³; 538 kg/m³ = 33.59 lb/ft³.
        assert_eq!(imperial_words("pg 804 N/m² (ASCE 7-16 7.3)"), "pg 16.8 psf (ASCE 7-16 7.3)");
        assert_eq!(imperial_words("V ρ g = 0.4087 m³ × 538 kg/m³"), "V ρ g = 14.43 ft³ × 33.6 lb/ft³");
        assert_eq!(imperial_words("2 × 4.58 kN / (8 × 1.90 m)"), "2 × 1030 lbf / (8 × 6.23 ft)");
        // 5 kN·m = 5000 / (4.448 222 × 0.3048) lbf·ft = 3687.8; of a seam the length goes out.
        assert_eq!(imperial_words("5.000 kN·m/rad at every bar's end"), "3688 lbf·ft/rad at every bar's end");
        assert_eq!(imperial_words("3.000 kN·m/rad per m"), "3.000 kN·m/rad per m");
        // 7 ft = 2.1336 m, 3.5 ft = 1.0668 m, 21 psf = 1005.49 N/m².
        assert_eq!(imperial_words("above 2.13 m, 2.134 m, 1.07 m"), "above 7 ft, 7 ft, 3.5 ft");
        assert_eq!(imperial_words("pf 1005 N/m² and 10 m"), "pf 21 psf and 33 ft");
        assert_eq!(imperial_words("no unit, 3 of them; case m"), "no unit, 3 of them; case m");
    }
}
