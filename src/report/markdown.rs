//! The notes as Markdown: one file, pictures carried at its end.

use std::fmt::Write;

use crate::assess::results::Assessment;
use crate::report::base64::base64;
use crate::report::document::{Block, Cell, Document, Table, notes};
use crate::report::picture::svg::svg;

/// The notes of an assessment as one Markdown file; pictures are SVG in data addresses at its end.
#[must_use]
pub fn to_markdown(assessment: &Assessment) -> String {
    write(&notes(assessment))
}

fn write(document: &Document) -> String {
    let mut out = format!("# {}\n\n*{}*\n", escape(&document.title), escape(&document.running));
    let mut pictures = String::new();
    for block in &document.blocks {
        match block {
            Block::Heading { level, text, .. } => {
                let _ = write!(out, "\n{} {}\n", "#".repeat(usize::from(*level) + 1), escape(text));
            }
            Block::Paragraph(text) => {
                let _ = write!(out, "\n{}\n", escape(text));
            }
            Block::Callout { title, lines, .. } => {
                let _ = write!(out, "\n> **{}**\n", escape(title));
                for line in lines {
                    let _ = write!(out, ">\n> {}\n", escape(line));
                }
            }
            Block::List(lines) => {
                out.push('\n');
                for line in lines {
                    let _ = writeln!(out, "- {}", escape(line));
                }
            }
            Block::Facts(pairs) => {
                out.push('\n');
                for (name, value) in pairs {
                    let _ = writeln!(out, "- **{}**: {}", escape(name), escape(value));
                }
            }
            Block::Table(table) => rows(&mut out, table),
            Block::Figure { id, picture, caption } => {
                let _ = write!(out, "\n![{}][{id}]\n\n*{}*\n", escape(&picture.description), escape(caption));
                let _ = writeln!(
                    pictures,
                    "[{id}]: data:image/svg+xml;base64,{}",
                    base64(svg(picture).as_bytes())
                );
            }
            Block::Gallery { id, pictures: drawn, caption } => {
                for (n, picture) in drawn.iter().enumerate() {
                    let _ = write!(out, "\n![{}][{id}-{n}]\n", escape(&picture.description));
                    let data = base64(svg(picture).as_bytes());
                    let _ = writeln!(pictures, "[{id}-{n}]: data:image/svg+xml;base64,{data}");
                }
                let _ = write!(out, "\n*{}*\n", escape(caption));
            }
            Block::Code { title, text } => {
                let fence = "`".repeat(longest_run(text, '`').max(2) + 1);
                let _ = write!(out, "\n{}:\n\n{fence}toml\n{}\n{fence}\n", escape(title), text.trim_end());
            }
            Block::Turning | Block::NewPage => {}
        }
    }
    out.push('\n');
    out.push_str(&pictures);
    out
}

fn rows(out: &mut String, table: &Table) {
    if !table.caption.is_empty() {
        let _ = write!(out, "\n*{}*\n", escape(&table.caption));
    }
    out.push_str("\n|");
    for head in &table.heads {
        let _ = write!(out, " {} |", escape(&head.text));
    }
    out.push_str("\n|");
    for head in &table.heads {
        out.push_str(if head.numeric { "---:|" } else { "---|" });
    }
    out.push('\n');
    for row in &table.rows {
        out.push('|');
        for cell in row {
            let _ = write!(out, " {} |", cell_text(cell));
        }
        out.push('\n');
    }
}

fn cell_text(cell: &Cell) -> String {
    let text = escape(&cell.text);
    match cell.standing {
        Some(standing) if standing != crate::rules::Standing::Within => {
            format!("**{text}** {}", crate::report::html::standing_word(standing))
        }
        _ => text,
    }
}

/// Text with nothing left that Markdown or HTML would act on.
fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '\\' | '`' | '*' | '_' | '[' | ']' | '|' | '#' | '~' | '!' => {
                out.push('\\');
                out.push(c);
            }
            '\n' | '\r' | '\t' => out.push(' '),
            c if c.is_control() => {}
            c => out.push(c),
        }
    }
    out
}

fn longest_run(text: &str, of: char) -> usize {
    let mut longest = 0;
    let mut run = 0;
    for c in text.chars() {
        run = if c == of { run + 1 } else { 0 };
        longest = longest.max(run);
    }
    longest
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::sample::sample;

    #[test]
    fn the_notes_say_the_verdict_and_the_caution() {
        let text = to_markdown(&sample());
        for wanted in ["Over its indicative limit", "Indicative only", "## 1 What this is and is not", "s5"] {
            assert!(text.contains(wanted), "{wanted}");
        }
    }

    #[test]
    fn an_input_with_fences_stays_in_its_own() {
        let mut assessment = sample();
        assessment.input_text = "````\n<script>alert(1)</script>".to_owned();
        assessment.project = "<script>alert(1)</script> [x](javascript:alert(1))".to_owned();
        let text = to_markdown(&assessment);
        assert!(text.contains("`````toml"));
        let before = text.split("`````toml").next().unwrap();
        assert!(!before.contains("<script>") && !before.contains("[x]("));
    }

    /// Moments of feet have columns where there are any.
    #[test]
    fn held_feet_tell_their_moment() {
        let mut assessment = sample();
        assert!(!to_markdown(&assessment).contains("Moment, N·m"));
        assessment.feet[0].moment = 522.0;
        assessment.anchors[0].moment = 522.0;
        let text = to_markdown(&assessment);
        assert_eq!(text.matches("Moment, N·m").count(), 2, "the table of feet and the anchor schedule");
        assert!(
            text.matches("| 522 ").count() >= 2 && text.contains("Feet are held against turning"),
            "{text}"
        );
        rows_have_their_columns(&text);
    }

    #[test]
    fn every_row_of_a_table_has_its_columns() {
        rows_have_their_columns(&to_markdown(&sample()));
    }

    fn rows_have_their_columns(text: &str) {
        let mut columns = None;
        for line in text.lines() {
            if line.starts_with('|') {
                let bars = line.replace("\\|", "").matches('|').count();
                assert_eq!(*columns.get_or_insert(bars), bars, "{line}");
            } else {
                columns = None;
            }
        }
    }
}
