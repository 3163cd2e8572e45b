//! Faults as a person reads them: the sentence, the line of the file with a caret, what to do.

use ariadne::{CharSet, Config, IndexType, Label, Report, ReportKind, Source};

use super::fault::{Fault, Faulty, ProjectError};

/// Most faults that are shown in full.
const SHOWN: usize = 20;
/// Longest line of a file that is shown \[characters\].
const LONGEST_LINE: usize = 200;

/// The error as text for a terminal, with every fault's place marked in its file.
#[must_use]
pub fn render(error: &ProjectError, colour: bool) -> String {
    let ProjectError::Faulty(faulty) = error else {
        return format!("error: {error}\n");
    };
    let mut text = String::new();
    for fault in faulty.faults.iter().take(SHOWN) {
        text.push_str(&one(faulty, fault, colour));
        text.push('\n');
    }
    let more = faulty.faults.len().saturating_sub(SHOWN);
    if more > 0 {
        text.push_str(&format!("… and {more} more faults\n"));
    }
    let count = match faulty.faults.len() {
        1 => "1 fault; nothing was written".to_owned(),
        count => format!("{count} faults; nothing was written"),
    };
    text.push_str(&count);
    text.push('\n');
    text
}

fn one(faulty: &Faulty, fault: &Fault, colour: bool) -> String {
    let (name, line, column) = faulty.place(fault);
    let name = harmless(name);
    let message = harmless(&fault.message);
    let help = harmless(&fault.help);
    let plain = format!("error[{}]: {message}\n  --> {name}:{line}:{column}\n   = {help}\n", fault.code);
    let Some(file) = faulty.files.get(fault.place.file) else { return plain };
    let lines = file.text.lines().skip(line.saturating_sub(1));
    let span_end = fault.place.end.min(file.text.len());
    let last = file.line_and_column(span_end).0;
    if lines.take(last + 1 - line.min(last)).any(|line| line.chars().count() > LONGEST_LINE)
        || last > line + 8
    {
        return plain;
    }
    let mut out = Vec::new();
    // What the whole file lacks stands at its head, for want of another place.
    let nowhere = fault.code == "missing" && span_end == 0;
    let label = if nowhere { "nowhere in this file" } else { "here" };
    let span = (name.clone(), fault.place.start.min(file.text.len())..span_end);
    let config = Config::default()
        .with_index_type(IndexType::Byte)
        .with_color(colour)
        .with_char_set(CharSet::Unicode)
        .with_compact(false);
    let report = Report::build(ReportKind::Error, span.clone())
        .with_code(fault.code)
        .with_config(config)
        .with_message(message)
        .with_label(Label::new(span).with_message(label).with_color(ariadne::Color::Red))
        .with_help(help)
        .finish();
    let source = (name, Source::from(harmless_same_length(&file.text)));
    match report.write(source, &mut out) {
        Ok(()) => String::from_utf8(out).unwrap_or(plain),
        Err(_) => plain,
    }
}

fn is_harmful(c: char) -> bool {
    (c.is_control() && c != '\t' && c != '\n')
        || matches!(c, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}')
}

/// Without characters that would move a terminal's cursor or turn the direction of the text.
#[must_use]
pub fn harmless(text: &str) -> String {
    text.chars().map(|c| if is_harmful(c) { '\u{fffd}' } else { c }).collect()
}

/// As [`harmless`], every byte keeping its place.
fn harmless_same_length(text: &str) -> String {
    text.chars()
        .map(|c| match (is_harmful(c), c.len_utf8()) {
            (false, _) => c,
            (true, 1) => ' ',
            (true, 2) => '¿',
            (true, _) => '\u{fffd}',
        })
        .collect()
}
