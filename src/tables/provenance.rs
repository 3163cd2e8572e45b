//! Where a figure comes from and how sure that is.

use std::fmt;

/// How a figure was come by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Seen {
    /// Read in the source that is named.
    Found,
    /// Worked out from other figures by a rule that is named.
    Computed,
    /// Remembered; the standard's own page was not open.
    Memory,
    /// What people do; no source.
    CommonPractice,
    /// The user's own value.
    Own,
}

/// How sure a figure is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Sure {
    /// About 95 % or better.
    High,
    /// About 80 to 95 %.
    Medium,
    /// Below 80 %: hold it against the standard before relying on it.
    Low,
}

/// Source of one figure, row or table.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Source {
    /// How it was come by.
    pub seen: Seen,
    /// How sure it is.
    pub sure: Sure,
    /// In words: author, title, page, address.
    pub words: String,
}

impl fmt::Display for Seen {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Found => "found",
            Self::Computed => "computed",
            Self::Memory => "from memory",
            Self::CommonPractice => "common practice, no source",
            Self::Own => "the user's own",
        })
    }
}

impl fmt::Display for Sure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::High => "high",
            Self::Medium => "medium",
            Self::Low => "low",
        })
    }
}

impl fmt::Display for Source {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} ({}, {} confidence)", self.words.trim_end_matches('.'), self.seen, self.sure)
    }
}
