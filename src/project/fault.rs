//! What is wrong with a project, and where: every fault of a run together.

use std::fmt;
use std::ops::Range;
use std::path::PathBuf;

/// A file as read, for messages and for the checksum.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SourceText {
    /// As the project (or the command line) names it.
    pub name: String,
    /// Its contents.
    pub text: String,
}

impl SourceText {
    /// Line and column of a byte, both from 1; columns count characters.
    #[must_use]
    pub fn line_and_column(&self, at: usize) -> (usize, usize) {
        let mut at = at.min(self.text.len());
        while !self.text.is_char_boundary(at) {
            at -= 1;
        }
        let before = &self.text[..at];
        let line_start = before.rfind('\n').map_or(0, |newline| newline + 1);
        (before.matches('\n').count() + 1, before[line_start..].chars().count() + 1)
    }
}

/// A stretch of one of the files read.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    /// Which file: position in [`Faulty::files`]; 0 is the project file.
    pub file: usize,
    /// Bytes; may be empty.
    pub start: usize,
    /// Past the last byte.
    pub end: usize,
}

impl Place {
    /// A stretch of the project file itself.
    #[must_use]
    pub fn project(span: Range<usize>) -> Self {
        Self { file: 0, start: span.start, end: span.end.max(span.start) }
    }
}

/// One fault.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// Short name that stays the same: "unknown-key", "wrong-unit".
    pub code: &'static str,
    /// Where.
    pub place: Place,
    /// What is wrong, a sentence without a full stop: "shell.radius wants a length; "47 kg" is a mass".
    pub message: String,
    /// What to do about it.
    pub help: String,
}

/// A file that could be read, with everything that is wrong with it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Faulty {
    /// The files read, the project file first.
    pub files: Vec<SourceText>,
    /// The faults in the order of the file.
    pub faults: Vec<Fault>,
}

/// Why there is no project. Every one of them means exit code 2.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ProjectError {
    /// No such file.
    #[error("{}: there is no such file; name the one that you mean, or let strutwise new write one to start from", .path.display())]
    NoSuchFile {
        /// As asked for.
        path: PathBuf,
    },
    /// A folder where a file is wanted.
    #[error("{}: this is a folder; name the project file in it", .path.display())]
    Folder {
        /// As asked for.
        path: PathBuf,
    },
    /// The system does not let it be read.
    #[error("{}: cannot be read: {why}", .path.display())]
    Unreadable {
        /// As asked for.
        path: PathBuf,
        /// In the system's words.
        why: String,
    },
    /// Too large to be meant.
    #[error("{}:1:1: the file is larger than {limit_mb} MB; is it a project file?", .path.display())]
    TooLarge {
        /// As asked for.
        path: PathBuf,
        /// The limit \[10⁶ bytes\].
        limit_mb: u64,
    },
    /// Not UTF-8.
    #[error(
        "{}:{line}:{column}: the file is not UTF-8 text (byte {byte:#04x}); save it as plain text in UTF-8",
        .path.display()
    )]
    NotUtf8 {
        /// As asked for.
        path: PathBuf,
        /// From 1.
        line: usize,
        /// From 1.
        column: usize,
        /// The first byte that does not belong.
        byte: u8,
    },
    /// It was read and cannot be used.
    #[error("{0}")]
    Faulty(Box<Faulty>),
}

impl fmt::Display for Faulty {
    /// One line a fault: `file:line:column: message; help`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (number, fault) in self.faults.iter().enumerate() {
            if number > 0 {
                writeln!(f)?;
            }
            let (name, line, column) = self.place(fault);
            write!(f, "{name}:{line}:{column}: {}; {}", fault.message, fault.help)?;
        }
        Ok(())
    }
}

impl Faulty {
    /// The same with words behind every message: at which point of the ranges a fault shows.
    #[must_use]
    pub fn at_point(mut self, words: &str) -> Self {
        for fault in &mut self.faults {
            fault.message = format!("{} (with {words})", fault.message);
        }
        self
    }

    /// File name, line and column of a fault.
    #[must_use]
    pub fn place(&self, fault: &Fault) -> (&str, usize, usize) {
        self.files.get(fault.place.file).map_or(("", 1, 1), |file| {
            let (line, column) = file.line_and_column(fault.place.start);
            (file.name.as_str(), line, column)
        })
    }
}
