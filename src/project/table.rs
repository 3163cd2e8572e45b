//! Tables of a project file as they are read: each question asked of a key either has its answer or
//! leaves a fault behind, so that one run tells every fault.

use std::cell::RefCell;
use std::collections::BTreeSet;
use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::fault::Place;
use super::key::{Key, Wants};
use super::near::{nearest, shorten};
use super::reading::Reading;

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
    pub(super) entries: Option<&'r DeTable<'d>>,
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
        if self.path.is_empty() {
            // A table of the file: it, and what it was found to lack.
            let (missing, within) = (format!("[{name}] is missing"), format!("{name}."));
            self.reading.faults.borrow_mut().retain(|fault| {
                fault.code != "missing" || !(fault.message == missing || fault.message.starts_with(&within))
            });
            return;
        }
        let missing = format!("{}.{name} is missing", self.path);
        let neither = format!("[{}] says neither", self.path);
        self.reading.faults.borrow_mut().retain(|fault| {
            fault.code != "missing" || !(fault.message == missing || fault.message.starts_with(&neither))
        });
    }

    pub(super) fn entry(&self, key: &Key) -> Option<&'r Spanned<DeValue<'d>>> {
        self.entries.and_then(|entries| entries.get(key.name))
    }

    pub(super) fn ask(&self, key: &Key) -> Option<&'r Spanned<DeValue<'d>>> {
        self.asked.borrow_mut().insert(key.name);
        self.entry(key)
    }

    /// A key that is none, and has been told: [`Self::finish`] does not tell it again.
    pub(super) fn tell(&self, name: &'static str) {
        self.asked.borrow_mut().insert(name);
    }

    pub(super) fn need(&self, key: &Key) -> Option<()> {
        if self.has(key) {
            return Some(());
        }
        let _ = self.ask(key);
        let example = match key.wants {
            Wants::Quantity(_) => format!(" = {}", key.examples()),
            Wants::Degrees | Wants::DegreesOrList => " = an angle in degrees".to_owned(),
            Wants::Whole => " = a whole number".to_owned(),
            Wants::Text | Wants::Word => " = a text in quotation marks".to_owned(),
            Wants::Flag => " = true or false".to_owned(),
            Wants::Quantities(_) | Wants::DegreesList | Wants::List => " = [ … ]".to_owned(),
            Wants::Table => String::new(),
        };
        self.missing(key, &format!("write {}{example} ({})", key.name, key.about));
        None
    }

    pub(super) fn list(&self, key: &Key) -> Option<&'r [Spanned<DeValue<'d>>]> {
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

    pub(super) fn wrong_type(&self, key: &Key, wanted: &str, found: &DeValue<'_>, help: String) {
        let counted = matches!(key.wants, Wants::Whole | Wants::Text | Wants::Word | Wants::Flag);
        let help = match found {
            DeValue::Array(_) if counted => format!("{help}; only a quantity takes a range, [low, high]"),
            _ => help,
        };
        self.fault("wrong-type", key, format!("wants {wanted}; found {}", a_type(found)), help);
    }

    pub(super) fn note_input(&self, key: &Key, value: &str, origin: &'static str) {
        self.reading.input(self.name_of(key), value, origin, "");
    }
}

/// A table's path as a header of the file has it: "combine.own 1.terms" is under `[[combine.own]]`.
fn header(path: &str) -> String {
    let names: Vec<&str> = path.split('.').map(|part| part.split(' ').next().unwrap_or(part)).collect();
    names.join(".")
}

/// What a value is, in words.
pub(super) fn a_type(value: &DeValue<'_>) -> &'static str {
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
