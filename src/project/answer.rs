//! Answers of a table that are no quantities: counts, texts, words, flags.

use toml::de::DeValue;

use super::fault::Place;
use super::key::Key;
use super::near::{nearest, shorten};
use super::quantity::between;
use super::table::{At, Table, a_type};

impl Table<'_, '_> {
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
}
