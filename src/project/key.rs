//! Keys of the project file: name, what each wants, its limits, and a line about it. The reference
//! of the project file is printed from these, so it cannot differ from what is read.

use crate::units::Dimension;

/// What a key wants.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wants {
    /// A quantity: a text with its unit, or a bare number in SI base units.
    Quantity(Dimension),
    /// An angle: a bare number is in degrees.
    Degrees,
    /// A whole number.
    Whole,
    /// A text.
    Text,
    /// One of a few words.
    Word,
    /// true or false.
    Flag,
    /// A list of quantities.
    Quantities(Dimension),
    /// A list of angles: bare numbers are in degrees.
    DegreesList,
    /// An angle, or a list of them: bare numbers are in degrees.
    DegreesOrList,
    /// A list of texts.
    List,
    /// A table of its own, or a list of such.
    Table,
}

/// One key of one table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Key {
    /// As written in the file, without its table.
    pub name: &'static str,
    /// What it wants.
    pub wants: Wants,
    /// What it is, in a line.
    pub about: &'static str,
    /// Least and greatest value that is taken, in SI base units (degrees for [`Wants::Degrees`]).
    pub limits: (f64, f64),
    /// Beyond these a value is taken with a warning.
    pub usual: (f64, f64),
    /// Below this, up or down, a number without a unit is taken with a warning.
    pub usual_bare: f64,
    /// Whether it is a load: an unusual one is in doubt, and no verdict on it is better than near.
    pub is_load: bool,
    /// Whether a quantity is one value always, and no range.
    pub single: bool,
}

impl Key {
    const fn new(name: &'static str, wants: Wants, about: &'static str) -> Self {
        let all = (f64::NEG_INFINITY, f64::INFINITY);
        Self {
            name,
            wants,
            about,
            limits: all,
            usual: all,
            usual_bare: f64::NEG_INFINITY,
            is_load: false,
            single: false,
        }
    }

    /// A key that wants a quantity.
    #[must_use]
    pub const fn quantity(name: &'static str, dimension: Dimension, about: &'static str) -> Self {
        Self::new(name, Wants::Quantity(dimension), about)
    }

    /// A key that wants a length.
    #[must_use]
    pub const fn length(name: &'static str, about: &'static str) -> Self {
        Self::quantity(name, Dimension::Length, about)
    }

    /// A key that wants a plain number.
    #[must_use]
    pub const fn number(name: &'static str, about: &'static str) -> Self {
        Self::quantity(name, Dimension::Number, about)
    }

    /// A key that wants an angle, bare numbers in degrees; its name ends in `_deg`.
    #[must_use]
    pub const fn degrees(name: &'static str, about: &'static str) -> Self {
        Self::new(name, Wants::Degrees, about)
    }

    /// A key that wants a whole number.
    #[must_use]
    pub const fn whole(name: &'static str, about: &'static str) -> Self {
        Self::new(name, Wants::Whole, about)
    }

    /// A key that wants a text.
    #[must_use]
    pub const fn text(name: &'static str, about: &'static str) -> Self {
        Self::new(name, Wants::Text, about)
    }

    /// A key that wants one of a few words.
    #[must_use]
    pub const fn word(name: &'static str, about: &'static str) -> Self {
        Self::new(name, Wants::Word, about)
    }

    /// A key that wants true or false.
    #[must_use]
    pub const fn flag(name: &'static str, about: &'static str) -> Self {
        Self::new(name, Wants::Flag, about)
    }

    /// A key that wants a point or another list of lengths.
    #[must_use]
    pub const fn lengths(name: &'static str, about: &'static str) -> Self {
        Self::new(name, Wants::Quantities(Dimension::Length), about)
    }

    /// A key that wants a list of quantities.
    #[must_use]
    pub const fn quantities(name: &'static str, dimension: Dimension, about: &'static str) -> Self {
        Self::new(name, Wants::Quantities(dimension), about)
    }

    /// A key that wants a list of plain numbers.
    #[must_use]
    pub const fn numbers(name: &'static str, about: &'static str) -> Self {
        Self::new(name, Wants::Quantities(Dimension::Number), about)
    }

    /// A key that wants a list of angles, bare numbers in degrees.
    #[must_use]
    pub const fn degrees_list(name: &'static str, about: &'static str) -> Self {
        Self::new(name, Wants::DegreesList, about)
    }

    /// A key that wants an angle or a list of them, bare numbers in degrees.
    #[must_use]
    pub const fn degrees_or_list(name: &'static str, about: &'static str) -> Self {
        Self::new(name, Wants::DegreesOrList, about)
    }

    /// A key that wants a list of texts.
    #[must_use]
    pub const fn list(name: &'static str, about: &'static str) -> Self {
        Self::new(name, Wants::List, about)
    }

    /// A key that is a table or a list of tables.
    #[must_use]
    pub const fn table(name: &'static str, about: &'static str) -> Self {
        Self::new(name, Wants::Table, about)
    }

    /// How a value may be written, of the key's own kind and about its size: `"2.4 m" or "7 ft 6 in"`.
    ///
    /// Of strengths and stiffnesses the units alone: a figure would look like advice.
    #[must_use]
    pub fn examples(&self) -> &'static str {
        let dimension = match self.wants {
            Wants::Quantity(dimension) | Wants::Quantities(dimension) => dimension,
            _ if self.is_in_degrees() => return "90 or \"90 deg\"",
            _ => Dimension::Number,
        };
        match dimension {
            Dimension::Pressure if self.limits.0 >= 1e4 || self.usual.0 >= 1e6 => "\"… N/mm2\" or \"… psi\"",
            Dimension::Pressure if self.usual.0 >= 1e4 => "\"100 kN/m2\" or \"2000 psf\"",
            Dimension::Density if self.limits.0 >= 50.0 => "\"… kg/m3\" or \"… pcf\"",
            Dimension::Length if self.usual.1 <= 0.05 || self.limits.1 <= 0.05 => "\"8 mm\" or \"5/16 in\"",
            Dimension::Length if self.usual.1 <= 0.5 || self.limits.1 <= 0.6 => "\"47 mm\" or \"1 1/2 in\"",
            Dimension::Length => "\"2.4 m\" or \"7 ft 6 in\"",
            other => other.examples(),
        }
    }

    /// Whether bare numbers are in degrees.
    #[must_use]
    pub const fn is_in_degrees(&self) -> bool {
        matches!(self.wants, Wants::Degrees | Wants::DegreesList | Wants::DegreesOrList)
    }

    /// A load, which is in doubt where it is unusual.
    #[must_use]
    pub const fn load(mut self) -> Self {
        self.is_load = true;
        self
    }

    /// One value and no range: what a study sweeps, what a file is measured in.
    #[must_use]
    pub const fn single(mut self) -> Self {
        self.single = true;
        self
    }

    /// Whether a value may be a range, [low, high].
    #[must_use]
    pub const fn takes_range(&self) -> bool {
        matches!(self.wants, Wants::Quantity(_)) && !self.single
    }

    /// Values outside are refused (ends included in what is taken).
    #[must_use]
    pub const fn within(mut self, low: f64, high: f64) -> Self {
        self.limits = (low, high);
        self
    }

    /// Values outside are taken with a warning.
    #[must_use]
    pub const fn usually(mut self, low: f64, high: f64) -> Self {
        self.usual = (low, high);
        self
    }

    /// A number without a unit below this is taken with a warning: it would be an ordinary one in another unit.
    #[must_use]
    pub const fn usually_bare_from(mut self, low: f64) -> Self {
        self.usual_bare = low;
        self
    }
}
