//! A table on paper: columns as wide as they need, rows that stay whole, headings on every page.

use super::LEADING;
use super::sheet::{SIDE, Sheets};
use crate::report::document::{Cell, Table};
use crate::report::font;
use crate::report::html::standing_word;
use crate::report::picture::tint::Tint;
use crate::rules::Standing;

const SIZE: f64 = 7.8;
const GAP: f64 = 7.0;

/// Sets a table.
pub(super) fn set(sheets: &mut Sheets, table: &Table) {
    let widths = widths(table, sheets.width());
    sheets.gap(5.0);
    sheets.keep(70.0);
    if !table.caption.is_empty() {
        sheets.text(&table.caption, SIZE + 1.0, true, Tint::Ink, 0.0);
        sheets.gap(1.0);
    }
    head(sheets, table, &widths);
    for row in &table.rows {
        let lines: Vec<Vec<String>> = row
            .iter()
            .zip(&widths)
            .map(|(cell, &width)| font::wrap(&words(cell), SIZE, cell.standing.is_some(), width))
            .collect();
        let tall = height(&lines);
        let before = sheets.here().0;
        sheets.keep(tall + 4.0);
        if sheets.here().0 != before {
            head(sheets, table, &widths);
        }
        let top = sheets.here().1 + 2.0;
        let mut x = SIDE;
        for (((cell, lines), head), &width) in row.iter().zip(&lines).zip(&table.heads).zip(&widths) {
            let bold = cell.standing.is_some();
            let tint = if cell.standing == Some(Standing::Over) { Tint::Worked(5) } else { Tint::Ink };
            let mut y = top + SIZE;
            for line in lines {
                let back = if head.numeric { width - font::width(line, SIZE, bold) } else { 0.0 };
                sheets.line_at(line, SIZE, bold, tint, [x + back, y]);
                y += SIZE * LEADING;
            }
            x += width + GAP;
        }
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
        .map(|(head, &width)| font::wrap(&head.text, SIZE, true, width))
        .collect();
    let tall = height(&lines);
    let top = sheets.here().1;
    let mut x = SIDE;
    for ((head, lines), &width) in table.heads.iter().zip(&lines).zip(widths) {
        // Headings stand on the rule below them.
        #[allow(clippy::cast_precision_loss, reason = "a few lines")]
        let mut y = top + tall - lines.len() as f64 * SIZE * LEADING + SIZE;
        for line in lines {
            let back = if head.numeric { width - font::width(line, SIZE, true) } else { 0.0 };
            sheets.line_at(line, SIZE, true, Tint::Ink, [x + back, y]);
            y += SIZE * LEADING;
        }
        x += width + GAP;
    }
    sheets.down(tall + 2.0);
    let y = sheets.here().1;
    let right = SIDE + sheets.width();
    sheets.stroke([SIDE, y], [right, y], 0.9, Tint::Ink);
}

/// Every column gets its longest word; what is left goes to the narrow columns first.
fn widths(table: &Table, whole: f64) -> Vec<f64> {
    #[allow(clippy::cast_precision_loss, reason = "a few columns")]
    let room = whole - GAP * (table.heads.len().max(1) - 1) as f64;
    let mut least = Vec::new();
    let mut wanted = Vec::new();
    for (n, head) in table.heads.iter().enumerate() {
        let longest_word = |text: &str, bold: bool| {
            text.split_whitespace().map(|word| font::width(word, SIZE, bold)).fold(0.0, f64::max)
        };
        let mut low = longest_word(&head.text, true);
        let mut high = font::width(&head.text, SIZE, true);
        for row in &table.rows {
            let Some(cell) = row.get(n) else { continue };
            let text = words(cell);
            low = low.max(longest_word(&text, cell.standing.is_some()));
            high = high.max(font::width(&text, SIZE, cell.standing.is_some()));
        }
        // No one word may take more than a third of the page; a longer one is cut.
        least.push(low.min(room / 3.0) + 0.5);
        wanted.push(high + 0.5);
    }
    let sum_least: f64 = least.iter().sum();
    if sum_least >= room {
        return least.iter().map(|w| w * room / sum_least).collect();
    }
    let sum_wanted: f64 = wanted.iter().zip(&least).map(|(w, l)| w.max(*l)).sum();
    if sum_wanted <= room {
        return wanted.iter().zip(&least).map(|(w, l)| w.max(*l)).collect();
    }
    // Every column up to a common width gets what it wants; only those that want more are wrapped.
    let wide = |cap: f64| -> f64 { wanted.iter().zip(&least).map(|(w, l)| w.min(cap).max(*l)).sum() };
    let (mut low, mut high) = (0.0, room);
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        if wide(middle) > room { high = middle } else { low = middle }
    }
    wanted.iter().zip(&least).map(|(w, l)| w.min(low).max(*l)).collect()
}
