//! One reading of one project: the faults, warnings and inputs that it gathers on its way.

use std::cell::{Cell, RefCell};
use std::collections::BTreeMap;
use std::path::PathBuf;

use super::fault::{Fault, Place, SourceText};
use super::range::{End, RangeInput};
use crate::units::System;

/// An input as entered or defaulted, for the notes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Input {
    /// Key in the file: "snow.ground".
    pub key: String,
    /// As printed.
    pub value: String,
    /// "entered" or "default".
    pub origin: &'static str,
    /// The user's source, or a remark.
    pub note: String,
}

/// One reading of one project: what it has found so far.
#[derive(Debug)]
pub struct Reading {
    /// The folder of the project file, where companion files are.
    pub folder: PathBuf,
    /// `[project] allow_large`: whether the ordinary limits on size are lifted.
    pub allow_large: Cell<bool>,
    /// The units that a person reads: a guess at what was meant goes by them.
    pub units: Cell<System>,
    /// Companion files read before: they are not read again, so that every reading is of the same text.
    pub known: Vec<SourceText>,
    /// Which end of a range is taken, by the byte that the range begins at; the low end of any other.
    pub ends: BTreeMap<usize, End>,
    ranges: RefCell<Vec<RangeInput>>,
    pub(super) files: RefCell<Vec<SourceText>>,
    pub(super) faults: RefCell<Vec<Fault>>,
    warnings: RefCell<Vec<String>>,
    doubts: RefCell<Vec<String>>,
    pub(super) inputs: RefCell<Vec<Input>>,
}

/// What is left of a reading once everything is asked.
#[derive(Debug)]
pub struct Outcome {
    /// The files read, the project file first.
    pub files: Vec<SourceText>,
    /// In the order of the file.
    pub faults: Vec<Fault>,
    /// Suspicious values.
    pub warnings: Vec<String>,
    /// Suspicious loads.
    pub doubts: Vec<String>,
    /// Inputs in the order asked.
    pub inputs: Vec<Input>,
    /// Inputs given as ranges, in the order of the file.
    pub ranges: Vec<RangeInput>,
}

impl Reading {
    /// A reading of a project file that lies in `folder`.
    #[must_use]
    pub fn new(folder: PathBuf, project: SourceText) -> Self {
        Self {
            folder,
            allow_large: Cell::new(false),
            units: Cell::default(),
            known: Vec::new(),
            ends: BTreeMap::new(),
            ranges: RefCell::default(),
            files: RefCell::new(vec![project]),
            faults: RefCell::default(),
            warnings: RefCell::default(),
            doubts: RefCell::default(),
            inputs: RefCell::default(),
        }
    }

    /// Notes a fault at a place.
    pub fn fault(
        &self,
        code: &'static str,
        place: Place,
        message: impl Into<String>,
        help: impl Into<String>,
    ) {
        let fault = Fault { code, place, message: message.into(), help: help.into() };
        let mut faults = self.faults.borrow_mut();
        if !faults.contains(&fault) {
            faults.push(fault);
        }
    }

    /// Notes something suspicious that does not stop the work.
    pub fn warn(&self, words: impl Into<String>) {
        self.warnings.borrow_mut().push(words.into());
    }

    /// Notes a load that is likely a slip, in words without a capital and a full stop: no verdict on it is better than near.
    pub fn doubt(&self, words: String) {
        let mut doubts = self.doubts.borrow_mut();
        if !doubts.contains(&words) {
            doubts.push(words);
        }
    }

    /// What a part of the reading gives, and the doubts that it raised, which are not noted.
    pub fn doubts_of<T>(&self, part: impl FnOnce() -> T) -> (T, Vec<String>) {
        let before = self.doubts.take();
        let given = part();
        (given, self.doubts.replace(before))
    }

    /// As [`Self::warn`], of what may be met in several places.
    pub fn warn_once(&self, words: String) {
        if !self.warnings.borrow().contains(&words) {
            self.warn(words);
        }
    }

    /// Notes an input for the notes.
    pub fn input(
        &self,
        key: impl Into<String>,
        value: impl Into<String>,
        origin: &'static str,
        note: impl Into<String>,
    ) {
        self.inputs.borrow_mut().push(Input {
            key: key.into(),
            value: value.into(),
            origin,
            note: note.into(),
        });
    }

    /// Notes a range, once however often it is asked for, and tells the end to be taken.
    pub fn range(&self, input: &RangeInput) -> End {
        let mut ranges = self.ranges.borrow_mut();
        if ranges.iter().all(|known| known.place != input.place) {
            ranges.push(input.clone());
        }
        self.ends.get(&input.place.start).copied().unwrap_or(End::Low)
    }

    /// The ranges found so far, in the order of the file.
    #[must_use]
    pub fn ranges(&self) -> Vec<RangeInput> {
        let mut ranges = self.ranges.borrow().clone();
        ranges.sort_by(|a, b| a.place.cmp(&b.place));
        ranges
    }

    /// Line and column of a place in the project file.
    #[must_use]
    pub fn line_and_column(&self, place: &Place) -> (usize, usize) {
        self.files.borrow().get(place.file).map_or((1, 1), |file| file.line_and_column(place.start))
    }

    /// Keeps a companion file; the answer is its number, for [`Place::file`].
    pub fn keep(&self, file: SourceText) -> usize {
        let mut files = self.files.borrow_mut();
        files.push(file);
        files.len() - 1
    }

    /// How many faults so far.
    #[must_use]
    pub fn fault_count(&self) -> usize {
        self.faults.borrow().len()
    }

    /// Ends the reading.
    #[must_use]
    pub fn finish(self) -> Outcome {
        let ranges = self.ranges();
        let mut faults = self.faults.into_inner();
        faults.sort_by(|a, b| a.place.cmp(&b.place));
        Outcome {
            files: self.files.into_inner(),
            faults,
            warnings: self.warnings.into_inner(),
            doubts: self.doubts.into_inner(),
            inputs: self.inputs.into_inner(),
            ranges,
        }
    }
}
