//! The notes as PDF: the same tree of blocks set on A4 or Letter, the typeface embedded.

mod file;
mod sheet;
mod table;

use crate::assess::results::Assessment;
use crate::report::document::{Block, Document, Tone, notes};
use crate::report::font;
use crate::report::picture::{Picture, tint::Tint};
use crate::rules::Standing;

use sheet::{Mark, Sheets};

/// Type size of running text \[points\].
const BODY: f64 = 9.5;
/// From one line to the next, as a share of the type size.
const LEADING: f64 = 1.4;

/// The notes of an assessment as one PDF file.
#[must_use]
pub fn to_pdf(assessment: &Assessment) -> Vec<u8> {
    write(&notes(assessment))
}

fn write(document: &Document) -> Vec<u8> {
    let mut sheets = Sheets::new(document.imperial);
    sheets.text("Notes of a preliminary load check", BODY, false, Tint::Soft, 0.0);
    sheets.text(&document.title, 19.0, true, Tint::Ink, 0.0);
    sheets.rule(1.6, Tint::Ink);
    sheets.gap(6.0);
    for (n, block) in document.blocks.iter().enumerate() {
        // A heading stays with the picture under it.
        if let (Block::Heading { .. }, Some(Block::Figure { picture, caption, .. })) =
            (block, document.blocks.get(n + 1))
        {
            sheets.keep(60.0 + figure_height(&sheets, picture, caption));
        }
        // And with a short text between them.
        if let [Block::Heading { .. }, Block::Paragraph(text), Block::Figure { picture, caption, .. }, ..] =
            &document.blocks[n..]
            && text.len() < 400
        {
            sheets.keep(110.0 + figure_height(&sheets, picture, caption));
        }
        if let (Block::Heading { .. }, Some(Block::Gallery { pictures, .. })) =
            (block, document.blocks.get(n + 1))
        {
            sheets.keep(60.0 + sheets.row_height(&pictures[..pictures.len().min(2)]));
        }
        set(&mut sheets, block);
    }
    file::assemble(sheets, document)
}

fn set(sheets: &mut Sheets, block: &Block) {
    match block {
        Block::Heading { level: 1, text, .. } => {
            sheets.gap(16.0);
            sheets.keep(90.0);
            sheets.bookmark(text);
            sheets.rule(0.6, Tint::Faint);
            sheets.text(text, 14.0, true, Tint::Ink, 0.0);
            sheets.gap(3.0);
        }
        Block::Heading { text, .. } => {
            sheets.gap(9.0);
            sheets.keep(60.0);
            sheets.text(text, 11.0, true, Tint::Ink, 0.0);
            sheets.gap(1.0);
        }
        Block::Paragraph(text) => {
            sheets.text(text, BODY, false, Tint::Ink, 0.0);
            sheets.gap(4.0);
        }
        Block::Callout { tone, title, lines } => callout(sheets, *tone, title, lines),
        Block::List(lines) => {
            for line in lines {
                sheets.keep(BODY * LEADING);
                sheets.mark(Mark::Bullet);
                sheets.text(line, BODY, false, Tint::Ink, 12.0);
                sheets.gap(1.5);
            }
            sheets.gap(4.0);
        }
        Block::Facts(pairs) => {
            for (name, value) in pairs {
                let wide = sheets.width() * 0.3;
                let lines = font::wrap(value, BODY, true, sheets.width() - wide).len();
                #[allow(clippy::cast_precision_loss, reason = "a few lines")]
                sheets.keep(lines as f64 * BODY * LEADING);
                let top = sheets.here();
                sheets.text(name, BODY, false, Tint::Soft, 0.0);
                sheets.back_to(top);
                sheets.text(value, BODY, true, Tint::Ink, wide);
            }
            sheets.gap(5.0);
        }
        Block::Table(table) => table::set(sheets, table),
        Block::Figure { picture, caption, .. } => {
            sheets.gap(4.0);
            sheets.keep(figure_height(sheets, picture, caption));
            sheets.picture(picture, figure_scale(sheets, picture));
            sheets.gap(2.0);
            sheets.text(caption, BODY - 1.0, false, Tint::Soft, 0.0);
            sheets.gap(8.0);
        }
        Block::Gallery { pictures, caption, .. } => {
            sheets.gap(4.0);
            for row in pictures.chunks(2) {
                sheets.row(row);
            }
            sheets.keep(14.0);
            sheets.text(caption, BODY - 1.0, false, Tint::Soft, 0.0);
            sheets.gap(8.0);
        }
        Block::Code { title, text } => {
            sheets.text(title, BODY, true, Tint::Ink, 0.0);
            sheets.gap(2.0);
            for line in text.lines() {
                // Spaces at the start of a line keep their place.
                let indent = line.chars().take_while(|c| *c == ' ').count();
                #[allow(clippy::cast_precision_loss, reason = "a line's indent")]
                let left = (indent as f64 * 4.0).min(120.0);
                let line = line.replace('\t', "    ");
                if line.trim().is_empty() {
                    sheets.gap(5.0);
                } else {
                    sheets.text(line.trim(), 7.5, false, Tint::Ink, left + 6.0);
                }
            }
            sheets.gap(6.0);
        }
        Block::Turning => {}
        Block::NewPage => sheets.new_page(),
    }
}

/// Points to a unit of a picture: as wide as the text, but not higher than two fifths of the page.
fn figure_scale(sheets: &Sheets, picture: &Picture) -> f64 {
    (sheets.width() / picture.width).min(sheets.height() * 0.42 / picture.height)
}

/// Height of a picture with its caption.
fn figure_height(sheets: &Sheets, picture: &Picture, caption: &str) -> f64 {
    let lines = font::wrap(caption, BODY - 1.0, false, sheets.width()).len();
    #[allow(clippy::cast_precision_loss, reason = "a few lines")]
    let below = lines as f64 * (BODY - 1.0) * LEADING + 8.0;
    picture.height * figure_scale(sheets, picture) + below
}

fn callout(sheets: &mut Sheets, tone: Tone, title: &str, lines: &[String]) {
    let (tint, bar, size) = match tone {
        Tone::Verdict(Standing::Within) => (Tint::Worked(3), 4.0, 15.0),
        Tone::Verdict(Standing::Near) => (Tint::Worked(4), 6.0, 15.0),
        Tone::Verdict(Standing::Over) => (Tint::Worked(5), 9.0, 15.0),
        Tone::Caution => (Tint::Ink, 5.0, BODY),
        Tone::Notice => (Tint::Worked(4), 3.0, BODY),
    };
    let left = 16.0;
    let height = |text: &str, size: f64, bold: bool| {
        #[allow(clippy::cast_precision_loss, reason = "a few lines")]
        let count = font::wrap(text, size, bold, sheets.width() - left).len() as f64;
        count * size * LEADING
    };
    let bold = tone == Tone::Caution;
    let tall =
        height(title, size, true) + lines.iter().map(|line| height(line, BODY, bold)).sum::<f64>() + 10.0;
    sheets.gap(4.0);
    if tall < sheets.height() * 0.5 {
        sheets.keep(tall);
    }
    let top = sheets.here();
    sheets.gap(3.0);
    sheets.text(title, size, true, Tint::Ink, left);
    for line in lines {
        sheets.text(line, BODY, bold, Tint::Ink, left);
    }
    sheets.gap(3.0);
    sheets.side_bar(top, bar, tint);
    sheets.gap(6.0);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::sample::{sample, vault};

    fn look(name: &str, bytes: &[u8]) {
        if let Ok(folder) = std::env::var("STRUTWISE_LOOK") {
            std::fs::write(format!("{folder}/{name}"), bytes).unwrap();
        }
    }

    #[test]
    fn a_file_comes_out_with_its_parts() {
        let bytes = to_pdf(&sample());
        look("notes.pdf", &bytes);
        assert!(bytes.starts_with(b"%PDF-"));
        assert!(bytes.ends_with(b"%%EOF") || bytes.ends_with(b"%%EOF\n"));
        let text = String::from_utf8_lossy(&bytes);
        for wanted in ["/ToUnicode", "/FontFile2", "/Outlines", "/Lang"] {
            assert!(text.contains(wanted), "{wanted}");
        }
    }

    #[test]
    fn imperial_notes_are_on_letter_paper() {
        let mut assessment = sample();
        assessment.units = "imperial".to_owned();
        let bytes = to_pdf(&assessment);
        look("letter.pdf", &bytes);
        assert!(String::from_utf8_lossy(&bytes).contains("[0 0 612 792]"));
    }

    #[test]
    fn hostile_and_huge_inputs_make_a_file() {
        let mut assessment = vault(20, 20);
        assessment.project = format!("\u{202e}){}", "(".repeat(10_000));
        assessment.input_text = "x".repeat(300_000);
        look("hostile.pdf", &to_pdf(&assessment));
        assert!(to_pdf(&assessment).len() < 5_000_000);
    }
}
