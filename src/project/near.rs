//! Names that are not known: the nearest that is, and long ones cut short.

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
