//! Why a text is no quantity, and what to do about it.

use super::Dimension;

/// Why a text is not the quantity wanted. Each reads on from the key: "snow.ground " + message.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum UnitError {
    /// Nothing there.
    #[error("is empty; it wants {}, such as {}", .wanted.with_article(), .wanted.examples())]
    Empty {
        /// What is wanted.
        wanted: Dimension,
    },
    /// Not a number where one should stand.
    #[error("wants {}; {text:?} does not start with a number", .wanted.with_article())]
    NotANumber {
        /// As found.
        text: String,
        /// What is wanted.
        wanted: Dimension,
    },
    /// Infinite or not a number.
    #[error("is {text}, which is not a finite number")]
    NotFinite {
        /// As found.
        text: String,
    },
    /// So small that it is a slip, and that sums with it lose all their digits.
    #[error("is {text}, next to nothing; it must be 0, or 1e-30 at least in SI units")]
    NextToNothing {
        /// As found.
        text: String,
    },
    /// A comma in a number.
    #[error("has a comma in {text:?}; a comma can mean a decimal or a thousand")]
    Comma {
        /// As found.
        text: String,
        /// What is wanted.
        wanted: Dimension,
    },
    /// A unit that is not known.
    #[error("is in {unit:?}, a unit that is not known here")]
    UnknownUnit {
        /// The unit as found.
        unit: String,
        /// A known unit that looks like it.
        near: Option<String>,
        /// What is wanted.
        wanted: Dimension,
    },
    /// A unit of another dimension.
    #[error("wants {}; {text:?} is {found}", .wanted.with_article())]
    WrongDimension {
        /// As found.
        text: String,
        /// What is wanted.
        wanted: Dimension,
        /// What it is, with article.
        found: String,
    },
    /// Number and unit do not make sense together.
    #[error("cannot be read from {text:?}: {why}")]
    Malformed {
        /// As found.
        text: String,
        /// What stands in the way.
        why: &'static str,
        /// What is wanted.
        wanted: Dimension,
    },
}

impl UnitError {
    /// What to do about it.
    #[must_use]
    pub fn help(&self) -> String {
        match self {
            Self::UnknownUnit { unit, near: Some(near), .. } => format!("write {near} for {unit}"),
            Self::Comma { wanted, .. } => {
                format!("write a decimal point and no thousands mark: {}", wanted.examples())
            }
            Self::NextToNothing { .. } => "write 0 for nothing".to_owned(),
            Self::NotFinite { .. } => "write an ordinary number".to_owned(),
            Self::WrongDimension { wanted: Dimension::Pressure, found, .. } if found == "a force" => {
                "a pressure is a force on an area: \"0.6 kN/m2\" or \"30 psf\"".to_owned()
            }
            Self::WrongDimension { wanted, found, .. }
                if found == "a moment"
                    && matches!(
                        wanted,
                        Dimension::TurningStiffness | Dimension::TurningStiffnessPerLength
                    ) =>
            {
                format!("a stiffness is a moment for each radian of turning: {}", wanted.examples())
            }
            Self::Empty { wanted }
            | Self::NotANumber { wanted, .. }
            | Self::UnknownUnit { wanted, .. }
            | Self::WrongDimension { wanted, .. }
            | Self::Malformed { wanted, .. } => {
                format!("write it as {}", wanted.examples())
            }
        }
    }
}

/// A long text cut short for a message.
pub(super) fn shorten(text: &str) -> String {
    if text.chars().count() <= 40 {
        return text.to_owned();
    }
    let mut short: String = text.chars().take(37).collect();
    short.push('…');
    short
}
