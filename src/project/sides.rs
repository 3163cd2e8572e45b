//! Timbers as a workshop writes them: both sides in one text, and sides by other names.

use toml::de::DeValue;

use super::fault::Place;
use super::key::Key;
use super::schema_study::section;
use super::table::Table;
use crate::units::{Kind, Show, System};

/// What a workshop calls sides and sections.
const OTHER_NAMES: [&str; 5] = ["width", "thickness", "height", "section", "size"];

/// Tells of sides that stand together in one text, "47x75 mm" or "2x4", and under names of their own. What is told here is not told
/// again as missing or as not known. Whether anything was.
pub(super) fn told(table: &Table<'_, '_>, breadth: &Key, depth: &Key) -> bool {
    let mut told = false;
    for key in [breadth, depth] {
        if let Some(DeValue::String(text)) = table.entry(key).map(toml::Spanned::get_ref)
            && let Some(sides) = sides(text)
        {
            told = true;
            table.fault("both-sides", key, format!("is {:?}, both sides at once", text.as_ref()), sides);
        }
    }
    for name in OTHER_NAMES {
        let Some((written, value)) = table.entries.and_then(|entries| entries.get_key_value(name)) else {
            continue;
        };
        table.tell(name);
        let sides = match value.get_ref() {
            DeValue::String(text) => sides(text),
            _ => None,
        };
        let help = sides.unwrap_or_else(|| {
            "the sides are breadth, b, along the panel (of a plank on edge its thickness), and depth, d, through the shell: \
             breadth = \"47 mm\", depth = \"75 mm\""
                .to_owned()
        });
        told = true;
        let message = format!("{}.{name} is not known", table.path);
        table.reading.fault("unknown-key", Place::project(written.span()), message, help);
    }
    if told {
        for key in [breadth, depth] {
            let _ = table.ask(key);
        }
    }
    told
}

/// What to write for a text that has both sides.
fn sides(text: &str) -> Option<String> {
    let lower = text.to_lowercase().replace(" by ", "x");
    let (first, second) = lower.split_once(['x', '×'])?;
    let digit = |part: &str| part.trim().starts_with(|c: char| c.is_ascii_digit());
    if !(digit(first) && digit(second)) {
        return None;
    }
    let of = match section(&lower) {
        Ok(read) => {
            let inches = lower.contains("in")
                || lower.contains('"')
                || read.depth < 0.3 && second.trim().parse::<f64>().is_ok_and(|side| side <= 16.0);
            let show = Show::new(if inches { System::Imperial } else { System::Metric });
            let [breadth, depth] = [read.breadth, read.depth].map(|side| show.text_to(Kind::Size, side, 4));
            format!("breadth = {breadth:?}, depth = {depth:?}")
        }
        Err(_) => "breadth = \"47 mm\", depth = \"75 mm\"".to_owned(),
    };
    Some(format!("one side each, as finished: {of}"))
}
