//! The notes as PDF: the same tree of blocks set on A4 or Letter, the typeface embedded.

mod file;
mod sheet;
mod table;
mod tags;

use pdf_writer::types::StructRole;

use crate::assess::results::Assessment;
use crate::report::document::{Block, Document, Tone, notes};
use crate::report::font;
use crate::report::picture::{Picture, tint::Tint};
use crate::rules::Standing;

use sheet::{SIDE, Sheets};

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
    let mut contents = Vec::new();
    sheets.tagged(StructRole::Document, |sheets| {
        paragraph(sheets, "Notes of a preliminary load check", BODY, false, Tint::Soft);
        sheets.tagged(StructRole::H1, |sheets| sheets.text(&document.title, 19.0, true, Tint::Ink, 0.0));
        sheets.rule(1.6, Tint::Ink);
        sheets.gap(6.0);
        for (n, block) in document.blocks.iter().enumerate() {
            sheets.keep(together(sheets, &document.blocks[n..]));
            if matches!(block, Block::Turning) {
                contents = contents_of(sheets, document);
            }
            set(sheets, block);
        }
        number_contents(sheets, &contents);
    });
    file::assemble(sheets, document)
}

/// The height that is to stay on one page from here on: a heading goes with what follows it.
fn together(sheets: &Sheets, blocks: &[Block]) -> f64 {
    let figure = |block: Option<&Block>| match block {
        Some(Block::Figure { picture, caption, .. }) => Some(figure_height(sheets, picture, caption)),
        Some(Block::Gallery { pictures, .. }) => Some(sheets.row_height(&pictures[..pictures.len().min(2)])),
        _ => None,
    };
    match blocks {
        // With the picture under it, or with a short text between them.
        [Block::Heading { .. }, next, ..] if figure(Some(next)).is_some() => {
            60.0 + figure(Some(next)).unwrap_or_default()
        }
        [Block::Heading { .. }, Block::Table(table), ..] => 60.0 + table::begin(sheets, table).max(80.0),
        // Up to three short texts stand between a heading and what it is of.
        [Block::Heading { .. }, rest @ ..] => {
            let mut between = 60.0;
            for (n, block) in rest.iter().enumerate() {
                match block {
                    Block::Paragraph(text) if n < 3 && text.len() < 400 => {
                        between += text_height(sheets, text, BODY) + 4.0;
                    }
                    Block::Table(table) if n > 0 => return between + table::begin(sheets, table).max(90.0),
                    other if n > 0 => return between + figure(Some(other)).unwrap_or_default(),
                    _ => break,
                }
            }
            0.0
        }
        _ => 0.0,
    }
}

/// Where a line of the contents stands: its element, page, baseline and right edge.
struct ContentsLine {
    element: usize,
    page: usize,
    y: f64,
    right: f64,
}

/// The sections in two columns; their pages are put in when they are known.
fn contents_of(sheets: &mut Sheets, document: &Document) -> Vec<ContentsLine> {
    const BETWEEN: f64 = 24.0;
    let sections: Vec<&String> = document
        .blocks
        .iter()
        .filter_map(|block| match block {
            Block::Heading { level: 1, text, .. } => Some(text),
            _ => None,
        })
        .collect();
    let rows = sections.len().div_ceil(2);
    let step = BODY * LEADING;
    let wide = (sheets.width() - BETWEEN) / 2.0;
    let mut lines = Vec::new();
    sheets.gap(8.0);
    #[allow(clippy::cast_precision_loss, reason = "a few lines")]
    let tall = rows as f64 * step;
    sheets.keep(tall + 20.0);
    paragraph(sheets, "Contents", BODY, true, Tint::Ink);
    let (page, top) = sheets.here();
    sheets.tagged(StructRole::TOC, |sheets| {
        for (n, text) in sections.into_iter().enumerate() {
            #[allow(clippy::cast_precision_loss, reason = "a few lines")]
            let (column, row) = ((n / rows) as f64, (n % rows) as f64);
            sheets.back_to((page, top + row * step));
            let left = column * (wide + BETWEEN);
            let element = sheets.tagged(StructRole::TOCI, |sheets| {
                sheets.beside(&format!("{text} "), BODY - 0.5, false, Tint::Ink, left);
            });
            let y = top + row * step + BODY - 0.5;
            lines.push(ContentsLine { element, page: page - 1, y, right: SIDE + left + wide });
        }
    });
    sheets.back_to((page, top + tall));
    sheets.gap(8.0);
    lines
}

/// Puts the pages into the contents.
fn number_contents(sheets: &mut Sheets, contents: &[ContentsLine]) {
    let pages: Vec<usize> = sheets.bookmarks.iter().map(|mark| mark.page + 1).collect();
    for (line, page) in contents.iter().zip(pages) {
        let number = page.to_string();
        let x = line.right - font::width(&number, BODY - 0.5, false);
        sheets.add_to(line.element, line.page, |sheets| {
            sheets.line_at(&number, BODY - 0.5, false, Tint::Soft, [x, line.y]);
        });
    }
}

fn paragraph(sheets: &mut Sheets, text: &str, size: f64, bold: bool, tint: Tint) {
    sheets.tagged(StructRole::P, |sheets| sheets.text(text, size, bold, tint, 0.0));
}

fn set(sheets: &mut Sheets, block: &Block) {
    match block {
        Block::Heading { level: 1, text, .. } => {
            sheets.gap(16.0);
            sheets.keep(90.0);
            sheets.bookmark(text);
            sheets.rule(0.6, Tint::Faint);
            sheets.tagged(StructRole::H2, |sheets| sheets.text(text, 14.0, true, Tint::Ink, 0.0));
            sheets.gap(3.0);
        }
        Block::Heading { text, .. } => {
            sheets.gap(9.0);
            sheets.keep(60.0);
            sheets.tagged(StructRole::H3, |sheets| sheets.text(text, 11.0, true, Tint::Ink, 0.0));
            sheets.gap(1.0);
        }
        Block::Paragraph(text) => {
            paragraph(sheets, text, BODY, false, Tint::Ink);
            sheets.gap(4.0);
        }
        Block::Callout { tone, title, lines } => {
            sheets.tagged(StructRole::Div, |sheets| callout(sheets, *tone, title, lines));
        }
        Block::List(lines) => {
            sheets.tagged(StructRole::L, |sheets| {
                for line in lines {
                    sheets.keep(BODY * LEADING);
                    sheets.tagged(StructRole::LI, |sheets| {
                        sheets.tagged(StructRole::Lbl, |sheets| {
                            sheets.beside("– ", BODY, false, Tint::Soft, 2.0);
                        });
                        sheets.tagged(StructRole::LBody, |sheets| {
                            sheets.text(line, BODY, false, Tint::Ink, 12.0);
                        });
                    });
                    sheets.gap(1.5);
                }
            });
            sheets.gap(4.0);
        }
        Block::Facts(pairs) => {
            #[allow(clippy::cast_precision_loss, reason = "a few lines")]
            let tall = (pairs.len() + 1) as f64 * BODY * LEADING;
            if tall < sheets.height() * 0.5 {
                sheets.keep(tall);
            }
            let left = beside_names(sheets.width(), pairs);
            sheets.tagged(StructRole::L, |sheets| {
                for (name, value) in pairs {
                    fact(sheets, name, value, left);
                }
            });
            sheets.gap(5.0);
        }
        Block::Table(table) => table::set(sheets, table),
        Block::Figure { picture, caption, .. } => {
            sheets.gap(4.0);
            sheets.keep(figure_height(sheets, picture, caption));
            sheets.tagged(StructRole::Div, |sheets| {
                sheets.picture(picture, figure_scale(sheets, picture));
                sheets.gap(2.0);
                caption_of(sheets, caption);
            });
            sheets.gap(8.0);
        }
        Block::Gallery { pictures, caption, .. } => {
            sheets.gap(4.0);
            sheets.tagged(StructRole::Div, |sheets| {
                for row in pictures.chunks(2) {
                    sheets.row(row);
                }
                sheets.keep(14.0);
                caption_of(sheets, caption);
            });
            sheets.gap(8.0);
        }
        Block::Code { title, text } => code(sheets, title, text),
        Block::Turning => {}
        Block::NewPage => sheets.new_page(),
    }
}

fn caption_of(sheets: &mut Sheets, caption: &str) {
    sheets.tagged(StructRole::Caption, |sheets| {
        sheets.text(caption, BODY - 1.0, false, Tint::Soft, 0.0);
    });
}

/// Where values begin beside their names: at one place of every list, further right where a name is longer.
fn beside_names(width: f64, pairs: &[(String, String)]) -> f64 {
    let names = pairs.iter().map(|(name, _)| font::width(name, BODY, false) + BODY);
    names.fold(0.3 * width, f64::max)
}

/// A name and its value beside it.
fn fact(sheets: &mut Sheets, name: &str, value: &str, wide: f64) {
    let lines = font::wrap(value, BODY, true, sheets.width() - wide).len();
    #[allow(clippy::cast_precision_loss, reason = "a few lines")]
    sheets.keep(lines as f64 * BODY * LEADING);
    let top = sheets.here();
    sheets.tagged(StructRole::LI, |sheets| {
        sheets.tagged(StructRole::Lbl, |sheets| sheets.text(name, BODY, false, Tint::Soft, 0.0));
        sheets.back_to(top);
        sheets.tagged(StructRole::LBody, |sheets| sheets.text(value, BODY, true, Tint::Ink, wide));
    });
}

/// Lines as they stand in a file.
fn code(sheets: &mut Sheets, title: &str, text: &str) {
    // The title stays with the first lines.
    sheets.keep(BODY * LEADING + 2.0 + 4.0 * 7.5 * LEADING);
    paragraph(sheets, title, BODY, true, Tint::Ink);
    sheets.gap(2.0);
    for line in text.lines() {
        let line = line.replace('\t', "    ");
        if line.trim().is_empty() {
            sheets.gap(5.0);
        } else {
            sheets.tagged(StructRole::P, |sheets| code_line(sheets, line.trim_end()));
        }
    }
    sheets.gap(6.0);
}

/// One line of a file. What follows two spaces or more, and the value of a key, begins at its column, as in type of one width, so that values
/// below each other stay below each other; the spaces themselves are set too, for whoever copies the text.
fn code_line(sheets: &mut Sheets, line: &str) {
    const SIZE: f64 = 7.5;
    /// Width of a column.
    const COLUMN: f64 = 4.4;
    /// From the left of the text.
    const LEFT: f64 = 6.0;
    let pieces = columns(line);
    let wide = sheets.width() - LEFT;
    let mut places: Vec<(f64, String)> = Vec::new();
    let mut end = 0.0_f64;
    for (column, piece) in pieces {
        #[allow(clippy::cast_precision_loss, reason = "a column of a line")]
        let at = (column as f64 * COLUMN).max(end);
        end = at + font::width(piece, SIZE, false);
        places.push((at, piece.to_owned()));
    }
    let trailing = places.last().map_or(0.0, |(at, piece)| at + font::width(piece.trim_end(), SIZE, false));
    if trailing > wide {
        // Too long for its columns: it is broken like any text, from where it begins.
        let left = places.first().map_or(0.0, |(at, _)| *at).min(120.0);
        sheets.text(line.trim(), SIZE, false, Tint::Ink, left + LEFT);
        return;
    }
    sheets.keep(SIZE * LEADING);
    for (at, piece) in places {
        sheets.beside(&piece, SIZE, false, Tint::Ink, at + LEFT);
    }
    sheets.down(SIZE * LEADING);
}

/// The pieces of a line between runs of spaces, each with the column where it begins and the spaces that follow it.
fn columns(line: &str) -> Vec<(usize, &str)> {
    let mut pieces = Vec::new();
    let (mut begin, mut begin_column) = (None, 0);
    let mut spaces = 0;
    // The equals sign of a key keeps its column with one space before it as well.
    let equals = line.find(" = ").map(|at| at + 1);
    for (column, (at, c)) in line.char_indices().enumerate() {
        if c == ' ' {
            spaces += 1;
            continue;
        }
        match begin {
            Some(from) if spaces > 1 || Some(at) == equals => {
                pieces.push((begin_column, &line[from..at]));
                (begin, begin_column) = (Some(at), column);
            }
            None => (begin, begin_column) = (Some(at), column),
            Some(_) => {}
        }
        spaces = 0;
    }
    if let Some(from) = begin {
        pieces.push((begin_column, &line[from..]));
    }
    pieces
}

/// Height of wrapped text.
fn text_height(sheets: &Sheets, text: &str, size: f64) -> f64 {
    #[allow(clippy::cast_precision_loss, reason = "a few lines")]
    let lines = font::wrap(text, size, false, sheets.width()).len() as f64;
    lines * size * LEADING
}

/// Points to a unit of a picture: as wide as the text, but not higher than half the page where its words can still be
/// read at that. One that is taller than wide may have a page of its own, but for its heading and its caption.
fn figure_scale(sheets: &Sheets, picture: &Picture) -> f64 {
    /// The smallest words of a picture, at 9.3 units, have 6 points then.
    const READ: f64 = 0.646;
    let page = sheets.height() - 64.0;
    let tall = if picture.height > picture.width { page } else { sheets.height() * 0.5 };
    (sheets.width() / picture.width).min((tall / picture.height).max(READ)).min(page / picture.height)
}

/// Height of a picture with its caption.
fn figure_height(sheets: &Sheets, picture: &Picture, caption: &str) -> f64 {
    picture.height * figure_scale(sheets, picture) + text_height(sheets, caption, BODY - 1.0) + 8.0
}

/// Room between the statements of a callout.
const BETWEEN: f64 = 2.5;

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
    let tall = height(title, size, true)
        + lines.iter().map(|line| height(line, BODY, bold) + BETWEEN).sum::<f64>()
        + 10.0;
    sheets.gap(4.0);
    if tall < sheets.height() * 0.5 {
        sheets.keep(tall);
    }
    let top = sheets.here();
    sheets.gap(3.0);
    sheets.tagged(StructRole::P, |sheets| sheets.text(title, size, true, Tint::Ink, left));
    for line in lines {
        // So that one statement stands off from the next.
        sheets.gap(BETWEEN);
        sheets.tagged(StructRole::P, |sheets| sheets.text(line, BODY, bold, Tint::Ink, left));
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
        for wanted in ["/ToUnicode", "/FontFile2", "/Outlines", "/Lang", "/StructTreeRoot", "/ParentTree"] {
            assert!(text.contains(wanted), "{wanted}");
        }
    }

    #[test]
    fn a_line_of_a_file_keeps_its_columns() {
        let pieces = columns("  name  = \"ä b\"   # said");
        assert_eq!(pieces, [(2, "name  "), (8, "= \"ä b\"   "), (18, "# said")]);
        assert_eq!(columns("sill = true"), [(0, "sill "), (5, "= true")]);
        assert_eq!(columns("[shell]"), [(0, "[shell]")]);
        assert!(columns("   ").is_empty());
    }

    /// No name runs into its value, on either paper.
    #[test]
    fn values_begin_beyond_the_longest_name() {
        for wide in [Sheets::new(false).width(), Sheets::new(true).width()] {
            let of =
                |name: &str| vec![("Height".to_owned(), "2 m".to_owned()), (name.to_owned(), String::new())];
            assert!((beside_names(wide, &of("Length")) - 0.3 * wide).abs() < 1e-9);
            let long = "Length, between outermost joints";
            let left = beside_names(wide, &of(long));
            assert!(
                left > 0.3 * wide && left > font::width(long, BODY, false) && left < 0.5 * wide,
                "{left}"
            );
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
