//! Numbers off the front of a text: decimals, fractions, mixed numbers.

/// A decimal number, a fraction "3/4" or a mixed number "1 1/2" or "1-1/2" off the front.
pub(super) fn take_number(text: &str) -> Option<(f64, &str)> {
    let (whole, rest) = take_decimal(text)?;
    if let Some(denominator) = rest.strip_prefix('/')
        && let Some((below, after)) = take_integer(denominator)
    {
        return Some((whole / below, after));
    }
    let gap = rest.strip_prefix([' ', '-']).map(str::trim_start);
    if let Some(fraction) = gap
        && let Some((above, after)) = take_integer(fraction)
        && let Some(denominator) = after.strip_prefix('/')
        && let Some((below, after)) = take_integer(denominator)
    {
        return Some((whole + above / below, after));
    }
    for (sign, value) in [("½", 0.5), ("¼", 0.25), ("¾", 0.75)] {
        if let Some(after) = rest.trim_start().strip_prefix(sign) {
            return Some((whole + value, after));
        }
    }
    Some((whole, rest))
}

fn take_integer(text: &str) -> Option<(f64, &str)> {
    let end = text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len());
    Some((text[..end].parse().ok()?, &text[end..]))
}

fn take_decimal(text: &str) -> Option<(f64, &str)> {
    let bytes = text.as_bytes();
    let digits = |mut at: usize| {
        while bytes.get(at).is_some_and(u8::is_ascii_digit) {
            at += 1;
        }
        at
    };
    let mut end = digits(0);
    if bytes.get(end) == Some(&b'.') {
        end = digits(end + 1);
    }
    if !text[..end].bytes().any(|b| b.is_ascii_digit()) {
        return None;
    }
    if matches!(bytes.get(end), Some(b'e' | b'E')) {
        let start = end + 1 + usize::from(matches!(bytes.get(end + 1), Some(b'+' | b'-')));
        let stop = digits(start);
        if stop > start {
            end = stop;
        }
    }
    Some((text[..end].parse().ok()?, &text[end..]))
}

/// Splits "ft 6 in" into "ft" and "6 in": at the first digit that follows a gap or a foot mark.
pub(super) fn split_at_number(text: &str) -> (&str, &str) {
    let mut previous = ' ';
    for (at, c) in text.char_indices() {
        let starts =
            c.is_ascii_digit() || (c == '.' && text[at + 1..].starts_with(|d: char| d.is_ascii_digit()));
        if starts && at > 0 && matches!(previous, ' ' | '\'' | '′') {
            return (&text[..at], &text[at..]);
        }
        previous = c;
    }
    (text, "")
}
