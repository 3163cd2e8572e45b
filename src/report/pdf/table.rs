//! A table on paper: columns as wide as they need, rows that stay whole, headings on every page.

use pdf_writer::types::StructRole;

use super::LEADING;
use super::sheet::{SIDE, Sheets, spaced};
use crate::report::document::{Cell, Table};
use crate::report::font;
use crate::report::html::standing_word;
use crate::report::picture::tint::Tint;
use crate::rules::Standing;

const SIZE: f64 = 7.8;
const GAP: f64 = 7.0;

/// Sets a table.
pub(super) fn set(sheets: &mut Sheets, table: &Table) {
    sheets.tagged(StructRole::Table, |sheets| whole(sheets, table));
}

/// Rows up to which a table is not parted over pages.
const SHORT: usize = 6;

/// The height that a table wants where it begins: all of a short one, of others the caption, the heads and a few rows.
pub(super) fn begin(sheets: &Sheets, table: &Table) -> f64 {
    const LEAST: f64 = 70.0;
    if table.rows.len() > SHORT {
        return LEAST;
    }
    let widths = widths(table, sheets.width());
    let rows: f64 = table.rows.iter().map(|row| height(&lines_of(row, &widths)) + 4.0).sum();
    let heads: Vec<Vec<String>> = table
        .heads
        .iter()
        .zip(&widths)
        .map(|(head, &width)| font::wrap(&head.text, SIZE, true, width))
        .collect();
    #[allow(clippy::cast_precision_loss, reason = "a few lines")]
    let caption = font::wrap(&table.caption, SIZE + 1.0, true, sheets.width()).len() as f64;
    let all = rows + height(&heads) + 2.0 + caption * (SIZE + 1.0) * LEADING + 1.0;
    // A few rows of long words are as tall as a table of many.
    if all < sheets.height() * 0.35 { all.max(LEAST) } else { LEAST }
}

/// The lines of every cell of a row.
fn lines_of(row: &[Cell], widths: &[f64]) -> Vec<Vec<String>> {
    row.iter()
        .zip(widths)
        .map(|(cell, &width)| spaced(font::wrap(&words(cell), SIZE, cell.standing.is_some(), width)))
        .collect()
}

fn whole(sheets: &mut Sheets, table: &Table) {
    let widths = widths(table, sheets.width());
    sheets.gap(5.0);
    sheets.keep(begin(sheets, table));
    if !table.caption.is_empty() {
        sheets.tagged(StructRole::Caption, |sheets| {
            sheets.text(&table.caption, SIZE + 1.0, true, Tint::Ink, 0.0);
        });
        sheets.gap(1.0);
    }
    sheets.tagged(StructRole::TR, |sheets| head(sheets, table, &widths));
    // The last row does not stand alone on a page.
    let last = table.rows.last().map_or(0.0, |row| height(&lines_of(row, &widths)) + 4.0);
    for (n, row) in table.rows.iter().enumerate() {
        let lines = lines_of(row, &widths);
        let tall = height(&lines);
        let before = sheets.here().0;
        sheets.keep(tall + 4.0 + if n + 2 == table.rows.len() { last } else { 0.0 });
        if sheets.here().0 != before {
            sheets.aside(|sheets| head(sheets, table, &widths));
        }
        let top = sheets.here().1 + 2.0;
        sheets.tagged(StructRole::TR, |sheets| {
            let mut x = SIDE;
            for (((cell, lines), head), &width) in row.iter().zip(&lines).zip(&table.heads).zip(&widths) {
                let bold = cell.standing.is_some();
                let tint = if cell.standing == Some(Standing::Over) { Tint::Worked(5) } else { Tint::Ink };
                let mut y = top + SIZE;
                sheets.tagged(StructRole::TD, |sheets| {
                    for line in lines {
                        let back =
                            if head.numeric { width - font::width(line.trim_end(), SIZE, bold) } else { 0.0 };
                        sheets.line_at(line, SIZE, bold, tint, [x + back, y]);
                        y += SIZE * LEADING;
                    }
                });
                x += width + GAP;
            }
        });
        sheets.down(tall + 4.0);
        let y = sheets.here().1;
        let right = SIDE + sheets.width();
        sheets.stroke([SIDE, y], [right, y], 0.4, Tint::Faint);
    }
    sheets.gap(8.0);
}

fn words(cell: &Cell) -> String {
    match cell.standing {
        Some(standing) if standing != Standing::Within => {
            format!("{} {}", cell.text, standing_word(standing))
        }
        _ => cell.text.clone(),
    }
}

#[allow(clippy::cast_precision_loss, reason = "a few lines")]
fn height(lines: &[Vec<String>]) -> f64 {
    lines.iter().map(Vec::len).max().unwrap_or(1) as f64 * SIZE * LEADING
}

fn head(sheets: &mut Sheets, table: &Table, widths: &[f64]) {
    let lines: Vec<Vec<String>> = table
        .heads
        .iter()
        .zip(widths)
        .map(|(head, &width)| spaced(font::wrap(&head.text, SIZE, true, width)))
        .collect();
    let tall = height(&lines);
    let top = sheets.here().1;
    let mut x = SIDE;
    for ((head, lines), &width) in table.heads.iter().zip(&lines).zip(widths) {
        // Headings stand on the rule below them.
        #[allow(clippy::cast_precision_loss, reason = "a few lines")]
        let mut y = top + tall - lines.len() as f64 * SIZE * LEADING + SIZE;
        sheets.tagged(StructRole::TH, |sheets| {
            for line in lines {
                let back = if head.numeric { width - font::width(line.trim_end(), SIZE, true) } else { 0.0 };
                sheets.line_at(line, SIZE, true, Tint::Ink, [x + back, y]);
                y += SIZE * LEADING;
            }
        });
        x += width + GAP;
    }
    sheets.down(tall + 2.0);
    let y = sheets.here().1;
    let right = SIDE + sheets.width();
    sheets.stroke([SIDE, y], [right, y], 0.9, Tint::Ink);
}

/// Every column gets its longest word, and its longest short cell where there is room for that in all of them; what is
/// left goes, bit by bit, where it saves most lines.
fn widths(table: &Table, whole: f64) -> Vec<f64> {
    widths_of(table, whole, true).or_else(|| widths_of(table, whole, false)).unwrap_or_default()
}

/// As [`widths`]; none where short cells are to keep to one line and cannot.
fn widths_of(table: &Table, whole: f64, keep_short: bool) -> Option<Vec<f64>> {
    const STEP: f64 = 4.0;
    #[allow(clippy::cast_precision_loss, reason = "a few columns")]
    let room = whole - GAP * (table.heads.len().max(1) - 1) as f64;
    let longest_word = |text: &str, bold: bool| {
        let factors = text.split_whitespace().flat_map(|word| word.split_inclusive('·'));
        factors.map(|factor| font::width(factor, SIZE, bold)).fold(0.0, f64::max)
    };
    // No one word may take more than a third of the page; a longer one is cut.
    let mut least: Vec<f64> = table.heads.iter().map(|head| longest_word(&head.text, true)).collect();
    let mut rows: Vec<Vec<f64>> =
        vec![table.heads.iter().map(|head| font::width(&head.text, SIZE, true) + 0.5).collect()];
    for row in &table.rows {
        let texts = row.iter().map(|cell| (words(cell), cell.standing.is_some()));
        let (long, full): (Vec<f64>, Vec<f64>) = texts
            .map(|(text, bold)| (longest_word(&text, bold), font::width(&text, SIZE, bold) + 0.5))
            .unzip();
        // A figure stays with its unit.
        let alone =
            table.heads.iter().zip(row).map(|(head, cell)| head.numeric || keep_short && cell.is_short());
        for (((least, long), full), alone) in least.iter_mut().zip(long).zip(&full).zip(alone) {
            *least = least.max(if alone { *full } else { long });
        }
        rows.push(full);
    }
    let wanted: Vec<f64> = (0..least.len())
        .map(|n| rows.iter().filter_map(|row| row.get(n)).copied().fold(0.0, f64::max))
        .collect();
    let mut widths: Vec<f64> = least.iter().map(|low| low.min(room / 3.0) + 0.5).collect();
    let sum: f64 = widths.iter().sum();
    if sum >= room {
        return (!keep_short).then(|| widths.iter().map(|w| w * room / sum).collect());
    }
    if wanted.iter().zip(&widths).map(|(want, width)| want.max(*width)).sum::<f64>() <= room {
        return Some(wanted.iter().zip(&widths).map(|(want, width)| want.max(*width)).collect());
    }
    let mut left = room - sum;
    while left >= STEP {
        // How much of the height each column alone is to blame for: rows in which it is the tallest.
        let mut blame = vec![0.0; widths.len()];
        for row in &rows {
            let tall = |n: usize| (row[n] / widths[n]).max(1.0);
            let tallest = (0..row.len().min(widths.len())).max_by(|&a, &b| tall(a).total_cmp(&tall(b)));
            if let Some(n) = tallest.filter(|&n| tall(n) > 1.0) {
                blame[n] += tall(n) - row[n] / (widths[n] + STEP);
            }
        }
        let Some(most) = (0..blame.len()).max_by(|&a, &b| blame[a].total_cmp(&blame[b])) else { break };
        if blame[most] <= 0.0 {
            break;
        }
        widths[most] += STEP;
        left -= STEP;
    }
    Some(widths)
}
