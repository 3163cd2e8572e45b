//! Tables of a project file as they are read: each question asked of a key either has its answer or
//! leaves a fault behind, so that one run tells every fault.

use std::cell::{Cell, RefCell};
use std::collections::BTreeSet;
use std::ops::Range;
use std::path::PathBuf;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::fault::{Fault, Place, SourceText};
use super::key::{Key, Wants};
use crate::units::{self, Dimension};
use crate::vector::Vec3;

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
    files: RefCell<Vec<SourceText>>,
    faults: RefCell<Vec<Fault>>,
    warnings: RefCell<Vec<String>>,
    inputs: RefCell<Vec<Input>>,
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
    /// Inputs in the order asked.
    pub inputs: Vec<Input>,
}

impl Reading {
    /// A reading of a project file that lies in `folder`.
    #[must_use]
    pub fn new(folder: PathBuf, project: SourceText) -> Self {
        Self {
            folder,
            allow_large: Cell::new(false),
            files: RefCell::new(vec![project]),
            faults: RefCell::default(),
            warnings: RefCell::default(),
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
        let mut faults = self.faults.into_inner();
        faults.sort_by(|a, b| a.place.cmp(&b.place));
        Outcome {
            files: self.files.into_inner(),
            faults,
            warnings: self.warnings.into_inner(),
            inputs: self.inputs.into_inner(),
        }
    }
}

/// An answer with the place that it was found at.
#[derive(Debug, Clone, PartialEq)]
pub struct At<T> {
    /// The answer.
    pub value: T,
    /// Where it stands.
    pub place: Place,
}

/// A table of the project file, or the want of one.
#[derive(Debug)]
pub struct Table<'r, 'd> {
    /// The reading that it belongs to.
    pub reading: &'r Reading,
    /// "shell", "timber.group 2"; empty for the root.
    pub path: String,
    entries: Option<&'r DeTable<'d>>,
    span: Range<usize>,
    asked: RefCell<BTreeSet<&'static str>>,
    /// Something stands where the table should, and has been told.
    mistaken: bool,
}

impl<'r, 'd> Table<'r, 'd> {
    /// The root of a file.
    #[must_use]
    pub fn root(reading: &'r Reading, root: &'r Spanned<DeTable<'d>>) -> Self {
        Self {
            reading,
            path: String::new(),
            entries: Some(root.get_ref()),
            span: 0..0,
            asked: RefCell::default(),
            mistaken: false,
        }
    }

    /// Whether the file has this table.
    #[must_use]
    pub fn is_present(&self) -> bool {
        self.entries.is_some()
    }

    /// Whether something else stands where the table should; that has been told, so that nothing in it is missing.
    #[must_use]
    pub fn is_mistaken(&self) -> bool {
        self.mistaken
    }

    /// Whether a fault of the table or of what is under it has been told: what follows from a slip is no other one.
    #[must_use]
    pub fn is_faulty(&self) -> bool {
        let start = format!("{}.", self.path);
        self.reading.faults.borrow().iter().any(|fault| fault.message.starts_with(&start))
    }

    /// Whether the table has a key.
    #[must_use]
    pub fn has(&self, key: &Key) -> bool {
        self.entries.is_some_and(|entries| entries.contains_key(key.name))
    }

    /// The key with its table: "shell.radius".
    #[must_use]
    pub fn name_of(&self, key: &Key) -> String {
        if self.path.is_empty() { key.name.to_owned() } else { format!("{}.{}", self.path, key.name) }
    }

    /// Where the table begins.
    #[must_use]
    pub fn place(&self) -> Place {
        Place::project(self.span.clone())
    }

    /// Where a key's value stands; the table's own place where it is missing.
    #[must_use]
    pub fn place_of(&self, key: &Key) -> Place {
        self.entry(key).map_or_else(|| self.place(), |value| Place::project(value.span()))
    }

    /// Notes a fault at a key: the message reads on from the key's name.
    pub fn fault(
        &self,
        code: &'static str,
        key: &Key,
        message: impl std::fmt::Display,
        help: impl Into<String>,
    ) {
        self.reading.fault(code, self.place_of(key), format!("{} {message}", self.name_of(key)), help);
    }

    /// A table under this one; present or not.
    #[must_use]
    pub fn child(&self, key: &Key) -> Table<'r, 'd> {
        let path = self.name_of(key);
        let found = self.ask(key).and_then(|value| match value.get_ref() {
            DeValue::Table(entries) => Some((entries, value.span())),
            other => {
                self.wrong_type(
                    key,
                    "a table",
                    other,
                    format!("write a line [{}] and its keys under it", header(&path)),
                );
                None
            }
        });
        let mistaken = found.is_none() && self.has(key);
        let span = found.as_ref().map_or(self.span.clone(), |(_, span)| span.clone());
        let entries = found.map(|(entries, _)| entries);
        Table { reading: self.reading, path, entries, span, asked: RefCell::default(), mistaken }
    }

    /// A list of tables, `[[timber.group]]`; empty where there is none.
    #[must_use]
    pub fn children(&self, key: &Key) -> Vec<Table<'r, 'd>> {
        let path = self.name_of(key);
        let Some(value) = self.ask(key) else { return Vec::new() };
        let help = || format!("write [[{}]] in double brackets for each of them", header(&path));
        let DeValue::Array(list) = value.get_ref() else {
            self.wrong_type(key, "a list of tables", value.get_ref(), help());
            return Vec::new();
        };
        let mut tables = Vec::new();
        for (number, item) in list.iter().enumerate() {
            if let DeValue::Table(entries) = item.get_ref() {
                tables.push(Table {
                    reading: self.reading,
                    path: format!("{path} {}", number + 1),
                    entries: Some(entries),
                    span: item.span(),
                    asked: RefCell::default(),
                    mistaken: false,
                });
            } else {
                self.wrong_type(key, "a list of tables", item.get_ref(), help());
            }
        }
        tables
    }

    /// Tables by names that the user chooses, `[section.A]`, in the order of their names.
    #[must_use]
    pub fn named_children(&self) -> Vec<(String, Table<'r, 'd>)> {
        let mut tables = Vec::new();
        for (name, value) in self.entries.into_iter().flatten() {
            let path = format!("{}.{}", self.path, name.get_ref());
            if let DeValue::Table(entries) = value.get_ref() {
                let table = Table {
                    reading: self.reading,
                    path,
                    entries: Some(entries),
                    span: value.span(),
                    asked: RefCell::default(),
                    mistaken: false,
                };
                tables.push((name.get_ref().to_string(), table));
            } else {
                let message = format!("{path} wants a table; found {}", a_type(value.get_ref()));
                let help = format!("write a line [{path}] and its keys under it");
                self.reading.fault("wrong-type", Place::project(value.span()), message, help);
            }
        }
        tables
    }

    /// Plain numbers by names that the user chooses, in the order of their names.
    #[must_use]
    pub fn named_numbers(&self) -> Vec<(String, f64)> {
        let key = Key::number("factor", "a factor").within(-1e3, 1e3);
        let mut numbers = Vec::new();
        for (name, value) in self.entries.into_iter().flatten() {
            let full = format!("{}.{:?}", self.path, shorten(name.get_ref()));
            if let Some(number) = self.read_named(&key, &full, value) {
                numbers.push((name.get_ref().to_string(), number));
            }
        }
        numbers
    }

    /// A quantity, if it is there. Limits are checked, unusual values warned of.
    #[must_use]
    pub fn quantity(&self, key: &Key) -> Option<f64> {
        let value = self.ask(key)?;
        let number = self.read_quantity(key, value)?;
        self.note_input(key, &printed(key, value), "entered");
        Some(number)
    }

    /// A quantity that must be there.
    #[must_use]
    pub fn need_quantity(&self, key: &Key) -> Option<f64> {
        self.need(key)?;
        self.quantity(key)
    }

    /// A quantity, or the default, which the notes print as such.
    #[must_use]
    pub fn quantity_or(&self, key: &Key, default: f64) -> f64 {
        if self.has(key) {
            return self.quantity(key).unwrap_or(default);
        }
        let _ = self.ask(key);
        self.note_input(key, &in_si(key, default), "default");
        default
    }

    /// A list of quantities, if it is there.
    #[must_use]
    pub fn quantities(&self, key: &Key) -> Option<Vec<f64>> {
        let values = self.list(key)?;
        let texts: Vec<String> = values.iter().map(|value| printed(key, value)).collect();
        let read: Option<Vec<f64>> = values.iter().map(|value| self.read_quantity(key, value)).collect();
        self.note_input(key, &texts.join(", "), "entered");
        read
    }

    /// So many quantities, if they are there; `wants` and `help` tell how many.
    #[must_use]
    pub fn quantities_of<const N: usize>(&self, key: &Key, wants: &str, help: &str) -> Option<[f64; N]> {
        let list = <[f64; N]>::try_from(self.quantities(key)?).ok();
        if list.is_none() {
            self.fault("wrong-count", key, wants, help);
        }
        list
    }

    /// A point [x, y, z] of lengths, if it is there.
    #[must_use]
    pub fn point(&self, key: &Key) -> Option<Vec3> {
        let list = self.quantities(key)?;
        if let [x, y, z] = list[..] {
            return Some(Vec3::new(x, y, z));
        }
        self.fault(
            "wrong-count",
            key,
            format!("wants three lengths; found {}", list.len()),
            "write [x, y, z]",
        );
        None
    }

    /// A whole number, if it is there.
    #[must_use]
    pub fn whole(&self, key: &Key) -> Option<usize> {
        let value = self.ask(key)?;
        let limits = format!("a whole number {}", between(key.limits.0, key.limits.1, ""));
        let help = || format!("write {limits}, without quotation marks");
        let DeValue::Integer(integer) = value.get_ref() else {
            self.wrong_type(key, "a whole number", value.get_ref(), help());
            return None;
        };
        let number = i64::from_str_radix(&integer.as_str().replace('_', ""), integer.radix()).ok();
        let taken = number.filter(|n| {
            // Limits of counts are small whole numbers, so that the cast is exact.
            #[allow(clippy::cast_precision_loss, reason = "limits are far below 2^53")]
            let n = *n as f64;
            n >= key.limits.0.max(0.0) && n <= key.limits.1
        });
        if taken.is_none() {
            let found = integer.as_str();
            let least = if key.limits.0.is_finite() { key.limits.0 } else { 0.0 };
            let message =
                format!("is {found}; it must be a whole number {}", between(least, key.limits.1, ""));
            self.fault("out-of-range", key, message, key.about);
        } else {
            self.note_input(key, integer.as_str(), "entered");
        }
        taken.and_then(|n| usize::try_from(n).ok())
    }

    /// A whole number that must be there.
    #[must_use]
    pub fn need_whole(&self, key: &Key) -> Option<usize> {
        self.need(key)?;
        self.whole(key)
    }

    /// A whole number, or the default.
    #[must_use]
    pub fn whole_or(&self, key: &Key, default: usize) -> usize {
        if self.has(key) {
            return self.whole(key).unwrap_or(default);
        }
        let _ = self.ask(key);
        self.note_input(key, &default.to_string(), "default");
        default
    }

    /// A text, if it is there; never empty.
    #[must_use]
    pub fn text(&self, key: &Key) -> Option<String> {
        let text = self.quiet_text(key)?;
        self.note_input(key, &text, "entered");
        Some(text)
    }

    /// A text that must be there.
    #[must_use]
    pub fn need_text(&self, key: &Key) -> Option<String> {
        self.need(key)?;
        self.text(key)
    }

    /// A list of texts with their places, if it is there.
    #[must_use]
    pub fn texts(&self, key: &Key) -> Option<Vec<At<String>>> {
        let values = self.list(key)?;
        let mut texts = Vec::new();
        for value in values {
            let place = Place::project(value.span());
            if let DeValue::String(text) = value.get_ref() {
                texts.push(At { value: text.to_string(), place });
            } else {
                let message = format!("{} wants texts; found {}", self.name_of(key), a_type(value.get_ref()));
                self.reading.fault("wrong-type", place, message, "put each in quotation marks");
            }
        }
        let joined: Vec<&str> = texts.iter().map(|text| text.value.as_str()).collect();
        self.note_input(key, &joined.join(", "), "entered");
        Some(texts)
    }

    /// One of a few words, if it is there.
    #[must_use]
    pub fn word<T: Copy>(&self, key: &Key, choices: &[(&str, T)]) -> Option<T> {
        let text = self.quiet_text(key)?;
        let place = self.place_of(key);
        let answer = self.choose(key, &At { value: text.clone(), place }, choices);
        if answer.is_some() {
            self.note_input(key, &text, "entered");
        }
        answer
    }

    /// One of a few words that must be there.
    #[must_use]
    pub fn need_word<T: Copy>(&self, key: &Key, choices: &[(&str, T)]) -> Option<T> {
        if !self.has(key) {
            let _ = self.ask(key);
            let names: Vec<String> = choices.iter().map(|choice| format!("{:?}", choice.0)).collect();
            self.missing(key, &format!("write {} = one of {}", key.name, names.join(", ")));
            return None;
        }
        self.word(key, choices)
    }

    /// One of a few words, or the first of them.
    #[must_use]
    pub fn word_or_first<T: Copy>(&self, key: &Key, choices: &[(&str, T)]) -> T {
        if self.has(key) {
            return self.word(key, choices).unwrap_or(choices[0].1);
        }
        let _ = self.ask(key);
        self.note_input(key, choices[0].0, "default");
        choices[0].1
    }

    /// Finds a text among a few words; a fault with the nearest word where it is none of them.
    #[must_use]
    pub fn choose<T: Copy>(&self, key: &Key, text: &At<String>, choices: &[(&str, T)]) -> Option<T> {
        if let Some(choice) = choices.iter().find(|choice| choice.0 == text.value) {
            return Some(choice.1);
        }
        let names: Vec<String> = choices.iter().map(|choice| format!("{:?}", choice.0)).collect();
        let help = match nearest(&text.value, choices.iter().map(|choice| choice.0)) {
            Some(near) => format!("did you mean {near:?}? It may be {}", names.join(", ")),
            None => format!("it may be {}", names.join(", ")),
        };
        let message = format!("{} is {:?}, which is not known", self.name_of(key), shorten(&text.value));
        self.reading.fault("unknown-word", text.place.clone(), message, help);
        None
    }

    /// true or false, if it is there.
    #[must_use]
    pub fn flag(&self, key: &Key) -> Option<bool> {
        let value = self.ask(key)?;
        if let DeValue::Boolean(flag) = value.get_ref() {
            self.note_input(key, if *flag { "true" } else { "false" }, "entered");
            return Some(*flag);
        }
        let help = format!("write {} = true or {} = false, without quotation marks", key.name, key.name);
        self.wrong_type(key, "true or false", value.get_ref(), help);
        None
    }

    /// true or false, or the default.
    #[must_use]
    pub fn flag_or(&self, key: &Key, default: bool) -> bool {
        if self.has(key) {
            return self.flag(key).unwrap_or(default);
        }
        let _ = self.ask(key);
        self.note_input(key, if default { "true" } else { "false" }, "default");
        default
    }

    /// Adds the user's source (or its absence) to the last input of a key.
    pub fn note_source(&self, key: &Key, source: Option<&str>) {
        let name = self.name_of(key);
        if let Some(input) = self.reading.inputs.borrow_mut().iter_mut().rev().find(|input| input.key == name)
        {
            source.unwrap_or("no source given").clone_into(&mut input.note);
        }
    }

    /// Asks for a key that is missing.
    pub fn missing(&self, key: &Key, help: &str) {
        if self.mistaken {
            return;
        }
        let message = format!("{} is missing", self.name_of(key));
        self.reading.fault("missing", self.place(), message, help);
    }

    /// Ends the table: keys that nobody asked for are faults, with the nearest known key.
    ///
    /// `known` is every key the table can have; `where_used` completes "… says nothing": "for form = "dome"".
    pub fn finish(&self, known: &[Key], where_used: &str) {
        let asked = self.asked.borrow();
        let mut unused = Vec::new();
        for (name, _) in self.entries.into_iter().flatten() {
            let text = name.get_ref().as_ref();
            if asked.contains(text) {
                continue;
            }
            let place = Place::project(name.span());
            let full = if self.path.is_empty() { text.to_owned() } else { format!("{}.{text}", self.path) };
            if known.iter().any(|key| key.name == text) {
                unused.push((place, full));
                continue;
            }
            let help = match nearest(text, known.iter().map(|key| key.name)) {
                Some(near) => {
                    self.take_back_missing(near);
                    format!("did you mean {near}?")
                }
                None => {
                    let names: Vec<&str> = known.iter().map(|key| key.name).collect();
                    let table = if self.path.is_empty() { "the file" } else { &self.path };
                    format!("{table} may have: {}", names.join(", "))
                }
            };
            self.reading.fault("unknown-key", place, format!("{} is not known", shorten(&full)), help);
        }
        // A slip in what was read may be why another key was not asked for.
        if where_used.is_empty() || (!self.path.is_empty() && self.is_faulty()) {
            return;
        }
        for (place, full) in unused {
            let message = format!("{} says nothing {where_used}", shorten(&full));
            self.reading.fault("unused-key", place, message, "take the line out");
        }
    }

    /// A key that is there under a misspelt name is not missing as well: one slip, one fault.
    fn take_back_missing(&self, name: &str) {
        let missing = format!("{}.{name} is missing", self.path);
        let neither = format!("[{}] says neither", self.path);
        self.reading.faults.borrow_mut().retain(|fault| {
            fault.code != "missing" || !(fault.message == missing || fault.message.starts_with(&neither))
        });
    }

    fn entry(&self, key: &Key) -> Option<&'r Spanned<DeValue<'d>>> {
        self.entries.and_then(|entries| entries.get(key.name))
    }

    fn ask(&self, key: &Key) -> Option<&'r Spanned<DeValue<'d>>> {
        self.asked.borrow_mut().insert(key.name);
        self.entry(key)
    }

    fn need(&self, key: &Key) -> Option<()> {
        if self.has(key) {
            return Some(());
        }
        let _ = self.ask(key);
        let example = match key.wants {
            Wants::Quantity(Dimension::Pressure) if key.limits.0 >= 1e4 => {
                " = \"24 N/mm2\" or \"1500 psi\"".to_owned()
            }
            Wants::Quantity(dimension) => format!(" = {}", dimension.examples()),
            Wants::Degrees => " = an angle in degrees".to_owned(),
            Wants::Whole => " = a whole number".to_owned(),
            Wants::Text | Wants::Word => " = a text in quotation marks".to_owned(),
            Wants::Flag => " = true or false".to_owned(),
            Wants::Quantities(_) | Wants::DegreesList | Wants::List => " = [ … ]".to_owned(),
            Wants::Table => String::new(),
        };
        self.missing(key, &format!("write {}{example} ({})", key.name, key.about));
        None
    }

    fn quiet_text(&self, key: &Key) -> Option<String> {
        let value = self.ask(key)?;
        let DeValue::String(text) = value.get_ref() else {
            let help = format!("put it in quotation marks: {} = \"…\"", key.name);
            self.wrong_type(key, "a text", value.get_ref(), help);
            return None;
        };
        if text.trim().is_empty() {
            self.fault("empty", key, "is empty", format!("write {}, or take the line out", key.about));
            return None;
        }
        Some(text.to_string())
    }

    fn list(&self, key: &Key) -> Option<&'r [Spanned<DeValue<'d>>]> {
        let value = self.ask(key)?;
        match value.get_ref() {
            DeValue::Array(list) if list.is_empty() => {
                self.fault(
                    "empty",
                    key,
                    "is an empty list",
                    format!("write {}, or take the line out", key.about),
                );
                None
            }
            DeValue::Array(list) => Some(list),
            other => {
                self.wrong_type(key, "a list", other, "put it in square brackets: [ … ]".to_owned());
                None
            }
        }
    }

    fn wrong_type(&self, key: &Key, wanted: &str, found: &DeValue<'_>, help: String) {
        self.fault("wrong-type", key, format!("wants {wanted}; found {}", a_type(found)), help);
    }

    fn note_input(&self, key: &Key, value: &str, origin: &'static str) {
        self.reading.input(self.name_of(key), value, origin, "");
    }

    fn read_quantity(&self, key: &Key, value: &Spanned<DeValue<'d>>) -> Option<f64> {
        self.read_named(key, &self.name_of(key), value)
    }

    fn read_named(&self, key: &Key, name: &str, value: &Spanned<DeValue<'d>>) -> Option<f64> {
        let place = Place::project(value.span());
        let dimension = dimension(key);
        let (number, text) = match value.get_ref() {
            DeValue::String(text) => match units::read(text, dimension) {
                // A text without a unit is bare, so degrees where the key says so.
                Ok((number, false)) if key.is_in_degrees() => (number, text.to_string()),
                Ok((number, _)) if key.is_in_degrees() => (units::degrees(number), text.to_string()),
                Ok((number, _)) => (number, text.to_string()),
                Err(error) => {
                    let code = match error {
                        units::UnitError::WrongDimension { .. } => "wrong-unit",
                        units::UnitError::UnknownUnit { .. } => "unknown-unit",
                        _ => "not-a-quantity",
                    };
                    self.reading.fault(code, place, format!("{name} {error}"), error.help());
                    return None;
                }
            },
            DeValue::Integer(integer) => {
                let digits = integer.as_str().replace('_', "");
                let parsed = i64::from_str_radix(&digits, integer.radix()).ok();
                // Large whole numbers lose digits that no measure has.
                #[allow(clippy::cast_precision_loss, reason = "a measure, not a count")]
                let number = parsed.map_or(f64::INFINITY, |n| n as f64);
                (number, digits)
            }
            DeValue::Float(float) => {
                let digits = float.as_str().replace('_', "");
                (digits.parse().unwrap_or(f64::NAN), digits)
            }
            other => {
                let help = format!("write it as {}", dimension.examples());
                let message = format!("{name} wants {}; found {}", dimension.with_article(), a_type(other));
                self.reading.fault("wrong-type", place, message, help);
                return None;
            }
        };
        if !number.is_finite() {
            let message = format!("{name} is {}, which is not a finite number", shorten(&text));
            self.reading.fault("not-finite", place, message, "write an ordinary number");
            return None;
        }
        let shown = || shorten(&printed(key, value));
        let unit = if key.is_in_degrees() { "°" } else { dimension.si_unit() };
        let slip = |low: f64, high: f64| {
            units::in_other_units(&text, dimension)
                .into_iter()
                .find(|(_, other)| (low..=high).contains(other))
                .map(|(other, _)| other)
        };
        let (low, high) = key.limits;
        let (usual_low, usual_high) = key.usual;
        if number < low || number > high {
            let help = match slip(low.max(usual_low), high.min(usual_high)) {
                Some(other) if text.trim().parse::<f64>().is_ok() && !unit.is_empty() => {
                    format!("a number without a unit is in {unit}; did you mean \"{other}\"?")
                }
                Some(other) => format!("did you mean \"{other}\"?"),
                None => format!("{}: {}", key.name, key.about),
            };
            let message = format!("{name} is {}; it must be {}", shown(), between(low, high, unit));
            self.reading.fault("out-of-range", place, message, help);
            return None;
        }
        if number < usual_low || number > usual_high {
            let (line, column) = self.reading.files.borrow()[0].line_and_column(place.start);
            let guess =
                slip(usual_low, usual_high).map_or(String::new(), |other| format!("; is it \"{other}\"?"));
            let usual = between(usual_low, usual_high, unit);
            self.reading.warn(format!(
                "{name} is {} (line {line}, column {column}); it is usually {usual}{guess}",
                shown()
            ));
        }
        Some(number)
    }
}

/// A table's path as a header of the file has it: "combine.own 1.terms" is under `[[combine.own]]`.
fn header(path: &str) -> String {
    let names: Vec<&str> = path.split('.').map(|part| part.split(' ').next().unwrap_or(part)).collect();
    names.join(".")
}

fn dimension(key: &Key) -> Dimension {
    match key.wants {
        Wants::Quantity(dimension) | Wants::Quantities(dimension) => dimension,
        Wants::Degrees | Wants::DegreesList => Dimension::Angle,
        _ => Dimension::Number,
    }
}

/// As entered, with the SI unit put to a bare number.
fn printed(key: &Key, value: &Spanned<DeValue<'_>>) -> String {
    let unit = if key.is_in_degrees() { "°" } else { dimension(key).si_unit() };
    match value.get_ref() {
        DeValue::String(text) => text.trim().to_owned(),
        DeValue::Integer(integer) => with_unit(integer.as_str(), unit),
        DeValue::Float(float) => with_unit(float.as_str(), unit),
        other => a_type(other).to_owned(),
    }
}

fn in_si(key: &Key, value: f64) -> String {
    let unit = if key.is_in_degrees() { "°" } else { dimension(key).si_unit() };
    with_unit(&units::significant(value, 6), unit)
}

fn with_unit(number: &str, unit: &str) -> String {
    match unit {
        "" => number.to_owned(),
        "°" => format!("{number}°"),
        _ => format!("{number} {unit}"),
    }
}

fn a_type(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "a text",
        DeValue::Integer(_) => "a whole number",
        DeValue::Float(_) => "a number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}

/// "between 0.3 m and 60 m", "at least 1", "at most 5".
fn between(low: f64, high: f64, unit: &str) -> String {
    let text = |value: f64| with_unit(&units::significant(value, 6), unit);
    match (low.is_finite(), high.is_finite()) {
        (true, true) => format!("between {} and {}", text(low), text(high)),
        (true, false) => format!("at least {}", text(low)),
        (false, true) => format!("at most {}", text(high)),
        (false, false) => "a number".to_owned(),
    }
}

/// A long text cut short for a message.
#[must_use]
pub fn shorten(text: &str) -> String {
    if text.chars().count() <= 60 {
        return text.to_owned();
    }
    let mut short: String = text.chars().take(57).collect();
    short.push('…');
    short
}

/// The known name nearest to one that is not known, if any is near enough to be meant.
#[must_use]
pub fn nearest<'a>(text: &str, known: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    if text.len() > 60 {
        return None;
    }
    let lower = text.to_lowercase();
    known
        .map(|name| {
            let small = name.to_lowercase();
            let whole = strsim::damerau_levenshtein(&lower, &small);
            // "facing" for "facing_deg", "annexes" for "annex".
            let starts =
                small.len().min(lower.len()) >= 3 && (small.starts_with(&lower) || lower.starts_with(&small));
            (if starts { 1 } else { whole }, whole, name)
        })
        .filter(|(distance, _, name)| {
            let length = name.chars().count();
            *distance <= 1 + length / 4 && *distance < length
        })
        .min_by_key(|(distance, whole, _)| (*distance, *whole))
        .map(|(_, _, name)| name)
}
