//! Quantities: what they are measured in, how they are read, how they are printed.
//!
//! Everything inside the program is in SI base units (m, N, Pa, kg, rad, s). Every conversion factor
//! of the crate is in this folder. The inch, the pound and standard gravity are exact by definition:
//! international yard and pound agreement (1959) and the 3rd General Conference on Weights and
//! Measures (1901), as listed in NIST Special Publication 811 (2008), appendix B (from memory).

mod error;
mod known;
mod number;
mod parse;
mod show;
mod words;

pub use error::UnitError;
pub use parse::{in_other_units, is_next_to_nothing, parse, read, split};
pub use show::{Kind, Show, System, significant};
pub use words::{a_or_an, imperial_words};

/// Standard gravity \[m/s²\], exact: by it a kilogram on a square metre becomes a pressure.
pub const STANDARD_GRAVITY: f64 = 9.806_65;
/// One millimetre \[m\].
pub const MILLIMETRE: f64 = 1e-3;
/// One inch \[m\], exact.
pub const INCH: f64 = 0.0254;
/// One foot \[m\], exact.
pub const FOOT: f64 = 0.3048;
/// One pound of mass \[kg\], exact.
pub const POUND: f64 = 0.453_592_37;
/// One pound of force \[N\]: the weight of a pound under standard gravity.
pub const POUND_FORCE: f64 = POUND * STANDARD_GRAVITY;
/// One kip, a thousand pounds of force \[N\].
pub const KIP: f64 = 1000.0 * POUND_FORCE;
/// One pound a square foot \[Pa\].
pub const PSF: f64 = POUND_FORCE / (FOOT * FOOT);
/// One pound a square inch \[Pa\].
pub const PSI: f64 = POUND_FORCE / (INCH * INCH);
/// One newton a square millimetre \[Pa\].
pub const NEWTON_PER_SQUARE_MILLIMETRE: f64 = 1e6;
/// One kilonewton \[N\].
pub const KILONEWTON: f64 = 1e3;
/// One mile an hour \[m/s\], exact.
pub const MILE_PER_HOUR: f64 = 1609.344 / 3600.0;
/// One kilometre an hour \[m/s\].
pub const KILOMETRE_PER_HOUR: f64 = 1.0 / 3.6;

/// Degrees to radians.
#[must_use]
pub fn radians(degrees: f64) -> f64 {
    degrees * (std::f64::consts::PI / 180.0)
}

/// Radians to degrees.
#[must_use]
pub fn degrees(radians: f64) -> f64 {
    radians * (180.0 / std::f64::consts::PI)
}

/// What a key of the project file wants.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Dimension {
    /// A plain number; "5 %" is 0.05.
    Number,
    /// \[m\]
    Length,
    /// \[m²\]
    Area,
    /// \[m³\]
    Volume,
    /// \[m⁴\]
    SecondMoment,
    /// \[kg\]
    Mass,
    /// \[kg/m\]
    MassPerLength,
    /// \[kg/m³\]
    Density,
    /// \[N\]
    Force,
    /// \[N/m\]
    LineLoad,
    /// \[N/m²\]
    Pressure,
    /// \[N·m\]
    Moment,
    /// \[N·m/rad\]
    TurningStiffness,
    /// \[N·m/rad per m\]
    TurningStiffnessPerLength,
    /// \[m/s\]
    Speed,
    /// \[rad\]
    Angle,
    /// \[s\]
    Time,
    /// \[Hz\]
    Frequency,
}

/// Powers of metre, kilogram, second and radian.
type Powers = [i8; 4];

impl Dimension {
    /// Every dimension, in the order of the enum.
    pub const ALL: [Self; 18] = [
        Self::Number,
        Self::Length,
        Self::Area,
        Self::Volume,
        Self::SecondMoment,
        Self::Mass,
        Self::MassPerLength,
        Self::Density,
        Self::Force,
        Self::LineLoad,
        Self::Pressure,
        Self::Moment,
        Self::TurningStiffness,
        Self::TurningStiffnessPerLength,
        Self::Speed,
        Self::Angle,
        Self::Time,
        Self::Frequency,
    ];

    fn powers(self) -> Powers {
        match self {
            Self::Number => [0, 0, 0, 0],
            Self::Length => [1, 0, 0, 0],
            Self::Area => [2, 0, 0, 0],
            Self::Volume => [3, 0, 0, 0],
            Self::SecondMoment => [4, 0, 0, 0],
            Self::Mass => [0, 1, 0, 0],
            Self::MassPerLength => [-1, 1, 0, 0],
            Self::Density => [-3, 1, 0, 0],
            Self::Force => [1, 1, -2, 0],
            Self::LineLoad => [0, 1, -2, 0],
            Self::Pressure => [-1, 1, -2, 0],
            Self::Moment => [2, 1, -2, 0],
            Self::TurningStiffness => [2, 1, -2, -1],
            Self::TurningStiffnessPerLength => [1, 1, -2, -1],
            Self::Speed => [1, 0, -1, 0],
            Self::Angle => [0, 0, 0, 1],
            Self::Time => [0, 0, 1, 0],
            Self::Frequency => [0, 0, -1, 0],
        }
    }

    /// With its article: "a force".
    #[must_use]
    pub fn with_article(self) -> &'static str {
        match self {
            Self::Number => "a plain number",
            Self::Length => "a length",
            Self::Area => "an area",
            Self::Volume => "a volume",
            Self::SecondMoment => "a second moment of area",
            Self::Mass => "a mass",
            Self::MassPerLength => "a mass per length",
            Self::Density => "a density",
            Self::Force => "a force",
            Self::LineLoad => "a force per length",
            Self::Pressure => "a pressure",
            Self::Moment => "a moment",
            Self::TurningStiffness => "a turning stiffness",
            Self::TurningStiffnessPerLength => "a turning stiffness per length",
            Self::Speed => "a speed",
            Self::Angle => "an angle",
            Self::Time => "a time",
            Self::Frequency => "a frequency",
        }
    }

    /// The SI unit that a bare number has.
    #[must_use]
    pub fn si_unit(self) -> &'static str {
        match self {
            Self::Number => "",
            Self::Length => "m",
            Self::Area => "m2",
            Self::Volume => "m3",
            Self::SecondMoment => "m4",
            Self::Mass => "kg",
            Self::MassPerLength => "kg/m",
            Self::Density => "kg/m3",
            Self::Force => "N",
            Self::LineLoad => "N/m",
            Self::Pressure => "N/m2",
            Self::Moment => "N m",
            Self::TurningStiffness => "N m/rad",
            Self::TurningStiffnessPerLength => "N m/rad per m",
            Self::Speed => "m/s",
            Self::Angle => "rad",
            Self::Time => "s",
            Self::Frequency => "Hz",
        }
    }

    /// Two ways to write one, for messages.
    #[must_use]
    pub fn examples(self) -> &'static str {
        match self {
            Self::Number => "0.8 or \"80 %\"",
            Self::Length => "\"2.4 m\", \"47 mm\" or \"7 ft 6 in\"",
            Self::Area => "\"35 cm2\" or \"5.4 in2\"",
            Self::Volume => "\"12 m3\" or \"420 ft3\"",
            Self::SecondMoment => "\"165 cm4\" or \"4 in4\"",
            Self::Mass => "\"9 kg\" or \"20 lb\"",
            Self::MassPerLength => "\"1.5 kg/m\"",
            Self::Density => "\"420 kg/m3\" or \"26 pcf\"",
            Self::Force => "\"4 kN\" or \"900 lb\"",
            Self::LineLoad => "\"0.3 kN/m\" or \"20 plf\"",
            Self::Pressure => "\"0.6 kN/m2\", \"30 psf\" or \"9 kg/m2\"",
            Self::Moment => "\"0.4 kN m\" or \"300 lb ft\"",
            Self::TurningStiffness => "\"5 kN m/rad\"",
            Self::TurningStiffnessPerLength => "\"3 kN m/rad per m\"",
            Self::Speed => "\"25 m/s\" or \"70 mph\"",
            Self::Angle => "\"12 deg\" or \"0.2 rad\"",
            Self::Time => "\"0.5 s\"",
            Self::Frequency => "\"4 Hz\"",
        }
    }

    fn of(powers: Powers) -> Option<Self> {
        Self::ALL.into_iter().find(|dimension| dimension.powers() == powers)
    }
}
