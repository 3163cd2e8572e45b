//! Quantity to text, in metric or imperial.

use super::{
    FOOT, INCH, KILONEWTON, MILE_PER_HOUR, MILLIMETRE, NEWTON_PER_SQUARE_MILLIMETRE, POUND, POUND_FORCE, PSF,
    PSI,
};

/// The units that a person reads.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "lowercase")]
pub enum System {
    /// m, mm, kN, kN/m², N/mm², kg.
    #[default]
    Metric,
    /// ft, in, lb, psf, psi.
    Imperial,
}

/// What a printed figure is of: it decides the unit that a person expects.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// A plain number.
    Number,
    /// Spans and heights \[m\].
    Length,
    /// Timber sizes, sags, diameters \[m\].
    Size,
    /// Floors and surfaces \[m²\].
    Area,
    /// Areas of sections \[m²\].
    SectionArea,
    /// Section moduli \[m³\].
    SectionModulus,
    /// Second moments \[m⁴\].
    SecondMoment,
    /// Enclosed volume \[m³\].
    Volume,
    /// \[N\]
    Force,
    /// \[N/m\]
    LineLoad,
    /// Loads on surfaces \[Pa\].
    Pressure,
    /// Stresses and strengths \[Pa\].
    Stress,
    /// Stiffness of a material \[Pa\].
    Modulus,
    /// \[N·m\]
    Moment,
    /// \[N·m/rad\]
    TurningStiffness,
    /// \[N·m/rad per m\]
    TurningStiffnessPerLength,
    /// \[kg\]
    Mass,
    /// \[kg/m³\]
    Density,
    /// \[m/s\]
    Speed,
    /// \[rad\]
    Angle,
    /// \[Hz\]
    Frequency,
}

/// Prints quantities in one system of units.
///
/// ```
/// use strutwise::units::{Kind, Show, System};
/// let show = Show::new(System::Metric);
/// assert_eq!(show.text(Kind::Force, 2345.6), "2.35 kN");
/// assert_eq!(Show::new(System::Imperial).text(Kind::Length, 2.286), "7 ft 6 in");
/// ```
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Show {
    /// The system.
    pub system: System,
}

impl Show {
    /// A printer for one system.
    #[must_use]
    pub fn new(system: System) -> Self {
        Self { system }
    }

    /// The unit's printed name; empty for a plain number.
    #[must_use]
    pub fn unit(self, kind: Kind) -> &'static str {
        self.row(kind).0
    }

    /// An SI value in the printed unit.
    #[must_use]
    pub fn number(self, kind: Kind, value: f64) -> f64 {
        value / self.row(kind).1
    }

    /// With its unit, to three significant figures (lengths in feet and inches to an eighth).
    #[must_use]
    pub fn text(self, kind: Kind, value: f64) -> String {
        self.text_to(kind, value, 3)
    }

    /// With its unit, to the significant figures given. Stiffness-dependent results take two.
    #[must_use]
    pub fn text_to(self, kind: Kind, value: f64, figures: usize) -> String {
        if !value.is_finite() {
            return "–".to_owned();
        }
        if self.system == System::Imperial && kind == Kind::Length {
            return feet_and_inches(value);
        }
        let (unit, factor) = self.row(kind);
        let number = significant(value / factor, figures);
        match unit {
            "" => number,
            "°" => format!("{number}°"),
            _ => format!("{number} {unit}"),
        }
    }

    /// Two sizes: "47 × 75 mm".
    #[must_use]
    pub fn sizes(self, breadth: f64, depth: f64) -> String {
        let (unit, factor) = self.row(Kind::Size);
        format!("{} × {} {unit}", significant(breadth / factor, 4), significant(depth / factor, 4))
    }

    fn row(self, kind: Kind) -> (&'static str, f64) {
        let cube = MILLIMETRE.powi(3);
        match (self.system, kind) {
            (_, Kind::Number) => ("", 1.0),
            (_, Kind::Angle) => ("°", super::radians(1.0)),
            (_, Kind::Frequency) => ("Hz", 1.0),
            (System::Metric, Kind::Length) => ("m", 1.0),
            (System::Metric, Kind::Size) => ("mm", MILLIMETRE),
            (System::Metric, Kind::Area) => ("m²", 1.0),
            (System::Metric, Kind::SectionArea) => ("mm²", MILLIMETRE.powi(2)),
            (System::Metric, Kind::SectionModulus) => ("mm³", cube),
            (System::Metric, Kind::SecondMoment) => ("cm⁴", 1e-8),
            (System::Metric, Kind::Volume) => ("m³", 1.0),
            (System::Metric, Kind::Force) => ("kN", KILONEWTON),
            (System::Metric, Kind::LineLoad) => ("kN/m", KILONEWTON),
            (System::Metric, Kind::Pressure) => ("kN/m²", KILONEWTON),
            (System::Metric, Kind::Stress | Kind::Modulus) => ("N/mm²", NEWTON_PER_SQUARE_MILLIMETRE),
            (System::Metric, Kind::Moment) => ("kN·m", KILONEWTON),
            (System::Metric, Kind::TurningStiffness) => ("kN·m/rad", KILONEWTON),
            (System::Metric, Kind::TurningStiffnessPerLength) => ("kN·m/rad per m", KILONEWTON),
            (System::Metric, Kind::Mass) => ("kg", 1.0),
            (System::Metric, Kind::Density) => ("kg/m³", 1.0),
            (System::Metric, Kind::Speed) => ("m/s", 1.0),
            (System::Imperial, Kind::Length) => ("ft", FOOT),
            (System::Imperial, Kind::Size) => ("in", INCH),
            (System::Imperial, Kind::Area) => ("ft²", FOOT.powi(2)),
            (System::Imperial, Kind::SectionArea) => ("in²", INCH.powi(2)),
            (System::Imperial, Kind::SectionModulus) => ("in³", INCH.powi(3)),
            (System::Imperial, Kind::SecondMoment) => ("in⁴", INCH.powi(4)),
            (System::Imperial, Kind::Volume) => ("ft³", FOOT.powi(3)),
            (System::Imperial, Kind::Force) => ("lbf", POUND_FORCE),
            (System::Imperial, Kind::LineLoad) => ("plf", POUND_FORCE / FOOT),
            (System::Imperial, Kind::Pressure) => ("psf", PSF),
            (System::Imperial, Kind::Stress | Kind::Modulus) => ("psi", PSI),
            (System::Imperial, Kind::Moment) => ("lbf·ft", POUND_FORCE * FOOT),
            (System::Imperial, Kind::TurningStiffness) => ("lbf·ft/rad", POUND_FORCE * FOOT),
            (System::Imperial, Kind::TurningStiffnessPerLength) => ("lbf·ft/rad per ft", POUND_FORCE),
            (System::Imperial, Kind::Mass) => ("lb", POUND),
            (System::Imperial, Kind::Density) => ("pcf", POUND / FOOT.powi(3)),
            (System::Imperial, Kind::Speed) => ("mph", MILE_PER_HOUR),
        }
    }
}

/// To the significant figures given, without an exponent where that reads well, never "-0".
///
/// Whole digits are never cut: 12345 to three figures prints "12300".
#[must_use]
pub fn significant(value: f64, figures: usize) -> String {
    if value.is_nan() {
        return "–".to_owned();
    }
    if value.is_infinite() {
        return if value > 0.0 { "∞" } else { "-∞" }.to_owned();
    }
    if value == 0.0 {
        return "0".to_owned();
    }
    let figures = figures.clamp(1, 17);
    let rounded: f64 = format!("{:.*e}", figures - 1, value).parse().unwrap_or(value);
    if !(1e-6..1e12).contains(&rounded.abs()) {
        return format!("{rounded:e}");
    }
    // The exponent of the rounded value, so that 0.9996 prints 1.00 and not 1.000.
    let exponent = format!("{rounded:e}").split('e').nth(1).and_then(|e| e.parse::<i32>().ok()).unwrap_or(0);
    let decimals = usize::try_from(i32::try_from(figures).unwrap_or(17) - 1 - exponent).unwrap_or(0);
    let text = format!("{rounded:.decimals$}");
    // Whole sizes read better without a tail: "47 mm", "0.6 kN/m²".
    let text = if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    text.to_owned()
}

/// "7 ft 6 1/2 in", to the nearest eighth of an inch.
fn feet_and_inches(value: f64) -> String {
    let eighths = (value.abs() / INCH * 8.0).round();
    let sign = if value < 0.0 && eighths > 0.0 { "-" } else { "" };
    let feet = (eighths / 96.0).floor();
    let inches = ((eighths - feet * 96.0) / 8.0).floor();
    let left = eighths - feet * 96.0 - inches * 8.0;
    let fraction = match left.round() {
        x if x < 0.5 => "",
        x if x < 1.5 => "1/8",
        x if x < 2.5 => "1/4",
        x if x < 3.5 => "3/8",
        x if x < 4.5 => "1/2",
        x if x < 5.5 => "5/8",
        x if x < 6.5 => "3/4",
        _ => "7/8",
    };
    let mut parts = Vec::new();
    if feet > 0.0 {
        parts.push(format!("{feet:.0} ft"));
    }
    match (inches > 0.0, fraction) {
        (true, "") => parts.push(format!("{inches:.0} in")),
        (true, _) => parts.push(format!("{inches:.0} {fraction} in")),
        (false, "") => {}
        (false, _) => parts.push(format!("{fraction} in")),
    }
    if parts.is_empty() { "0 ft".to_owned() } else { format!("{sign}{}", parts.join(" ")) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn significant_figures() {
        for (value, figures, text) in [
            (0.0, 3, "0"),
            (-0.0, 3, "0"),
            (1.0, 3, "1"),
            (0.99964, 3, "1"),
            (0.8472, 2, "0.85"),
            (12345.0, 3, "12300"),
            (47.0, 3, "47"),
            (-2.3456, 3, "-2.35"),
            (0.000_123_4, 3, "0.000123"),
            (1e300, 3, "1e300"),
            (f64::NAN, 3, "–"),
            (f64::INFINITY, 3, "∞"),
        ] {
            assert_eq!(significant(value, figures), text);
        }
    }

    #[test]
    fn prints_in_both_systems() {
        let metric = Show::new(System::Metric);
        let imperial = Show::new(System::Imperial);
        assert_eq!(metric.text(Kind::Pressure, 600.0), "0.6 kN/m²");
        assert_eq!(imperial.text(Kind::Pressure, 30.0 * PSF), "30 psf");
        assert_eq!(metric.text(Kind::Stress, 24e6), "24 N/mm²");
        assert_eq!(imperial.text(Kind::Length, 2.2987), "7 ft 6 1/2 in");
        assert_eq!(imperial.text(Kind::Length, 12.0 * FOOT), "12 ft");
        assert_eq!(imperial.text(Kind::Length, 0.0), "0 ft");
        assert_eq!(metric.sizes(0.047, 0.075), "47 × 75 mm");
        assert_eq!(imperial.sizes(1.5 * INCH, 3.5 * INCH), "1.5 × 3.5 in");
        assert_eq!(metric.text(Kind::Angle, super::super::radians(18.0)), "18°");
    }

    #[test]
    fn feet_carry_over() {
        // 11.97 in rounds to 12 in, which is a foot.
        assert_eq!(feet_and_inches(11.97 * INCH), "1 ft");
    }
}
