//! `tables`: the built-in tables with their sources.

use std::fmt::Write;
use std::io::IsTerminal;

use comfy_table::{CellAlignment, ContentArrangement, presets};

use super::args::Tables as Arguments;
use super::output;
use crate::error::{Error, Exit};
use crate::report::screen::wrap;
use crate::tables::Tables;
use crate::tables::read::{Cell, Table};

pub(crate) fn run(arguments: &Arguments) -> Result<Exit, Error> {
    let tables = Tables::built_in();
    let text = match &arguments.name {
        None => list(tables),
        Some(name) => {
            let table = tables.find(name).map_err(|error| Error::Asked {
                what: error.to_string(),
                help: "strutwise tables lists them".to_owned(),
            })?;
            one(table)
        }
    };
    output::answer(&text)?;
    Ok(Exit::Within)
}

fn list(tables: &Tables) -> String {
    // In a file or a pipe a row stays on its line; a screen is too narrow for that.
    if std::io::stdout().is_terminal() { for_screen(tables) } else { for_sheet(tables) }
}

/// What a reader does with the list.
const AFTER: &str = "strutwise tables NAME prints one of them with its sources.";

fn for_screen(tables: &Tables) -> String {
    let mut text = String::new();
    for table in tables.list() {
        let rows = table.rows.len();
        let _ = writeln!(text, "{} ({rows} {})", table.name, if rows == 1 { "row" } else { "rows" });
        paragraph(&mut text, &format!("    {}; {}", table.title, table.standard), 4);
    }
    format!("{text}\n{AFTER}\n")
}

fn for_sheet(tables: &Tables) -> String {
    let mut grid = grid(vec!["name".to_owned(), "what".to_owned(), "standard".to_owned(), "rows".to_owned()]);
    for table in tables.list() {
        grid.add_row(vec![
            table.name.to_owned(),
            table.title.clone(),
            table.standard.clone(),
            table.rows.len().to_string(),
        ]);
    }
    format!("{}\n\n{AFTER}\n", trimmed(&grid))
}

/// Columns of the screen.
const WIDE: usize = 80;
/// A column of words is broken at about so many.
const WORDS: usize = 30;

fn one(table: &Table) -> String {
    let mut text = String::new();
    paragraph(&mut text, &table.title, 0);
    paragraph(&mut text, &table.standard, 0);
    for block in blocks(table) {
        let _ = writeln!(text, "\n{}", trimmed(&part(table, &block)));
    }
    text.push('\n');
    paragraph(&mut text, &format!("Source: {}", table.source), 2);
    for row in table.rows.iter().filter(|row| row.source != table.source) {
        paragraph(&mut text, &format!("  {}: {}", row.name, row.source), 4);
    }
    for note in &table.notes {
        paragraph(&mut text, &format!("Note: {note}"), 2);
    }
    text
}

/// Words of 80 columns, their lines after the first set in by `hang`; the first as far as the words are.
fn paragraph(text: &mut String, words: &str, hang: usize) {
    let first = words.chars().take_while(|c| *c == ' ').count();
    for (n, line) in wrap(words, WIDE - hang).iter().enumerate() {
        let left = if n == 0 { first } else { hang };
        let _ = writeln!(text, "{:left$}{line}", "");
    }
}

/// A heading's lines: broken at its underscores where it is long, its unit under it.
fn head(table: &Table, column: usize) -> Vec<String> {
    let (name, unit) = (&table.columns[column], &table.units[column]);
    let mut lines = vec![String::new()];
    for piece in name.split_inclusive('_') {
        let last = lines.len() - 1;
        if !lines[last].is_empty() && lines[last].chars().count() + piece.chars().count() > 14 {
            lines.push(piece.to_owned());
        } else {
            lines[last].push_str(piece);
        }
    }
    if !unit.is_empty() {
        lines.extend(wrap(unit, WORDS));
    }
    lines
}

/// How wide a column is set: as wide as what stands in it, but words are broken.
fn width(table: &Table, column: usize) -> usize {
    let size = |text: &str| text.chars().count();
    let heads = head(table, column).iter().map(|line| size(line)).max().unwrap_or(0);
    let cells = table.rows.iter().filter_map(|row| row.cells.get(column)).map(Cell::text);
    let of = |text: String| wrap(&text, WORDS).iter().map(|line| size(line)).max().unwrap_or(0);
    cells.map(of).max().unwrap_or(0).max(heads)
}

/// The columns as they fit beside each other; those that name a row stand at the left of every part.
fn blocks(table: &Table) -> Vec<Vec<usize>> {
    let names = |row: &crate::tables::read::Row, count: usize| {
        row.cells[..count].iter().map(Cell::text).collect::<Vec<_>>().join(" ") == row.name
    };
    let keys = (1..=table.columns.len())
        .find(|&count| table.rows.iter().all(|row| row.cells.len() >= count && names(row, count)))
        .unwrap_or(1);
    // A blank at either side of each column, of which the last one's right is cut off.
    let wide = |columns: &[usize]| columns.iter().map(|&c| width(table, c) + 2).sum::<usize>();
    let mut out = Vec::new();
    let mut block: Vec<usize> = (0..keys).collect();
    for column in keys..table.columns.len() {
        if block.len() > keys && wide(&block) + width(table, column) + 1 > WIDE {
            out.push(std::mem::replace(&mut block, (0..keys).collect()));
        }
        block.push(column);
    }
    out.push(block);
    out
}

/// Some columns of a table.
fn part(table: &Table, columns: &[usize]) -> comfy_table::Table {
    let mut grid = grid(columns.iter().map(|&column| head(table, column).join("\n")).collect());
    for row in &table.rows {
        grid.add_row(columns.iter().map(|&column| {
            let words = row.cells.get(column).map(Cell::text).unwrap_or_default();
            wrap(&words, WORDS).join("\n")
        }));
    }
    for (column, set) in columns.iter().zip(grid.column_iter_mut()) {
        let number =
            |row: &crate::tables::read::Row| row.cells.get(*column).is_some_and(|c| c.number().is_some());
        if table.rows.iter().all(number) {
            set.set_cell_alignment(CellAlignment::Right);
        }
    }
    grid
}

fn grid(heads: Vec<String>) -> comfy_table::Table {
    let mut grid = comfy_table::Table::new();
    grid.load_style(presets::NOTHING).set_content_arrangement(ContentArrangement::Disabled).set_header(heads);
    grid
}

/// Without the blanks that a grid puts at the ends of its lines.
fn trimmed(grid: &comfy_table::Table) -> String {
    let lines: Vec<String> = grid.to_string().lines().map(|line| line.trim_end().to_owned()).collect();
    lines.join("\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_list_fits_a_screen_and_names_every_table() {
        let text = for_screen(Tables::built_in());
        assert!(text.lines().all(|line| line.chars().count() <= WIDE), "{text}");
        for table in Tables::built_in().list() {
            let head = format!("{} ({} row", table.name, table.rows.len());
            assert!(text.lines().any(|line| line.starts_with(&head)), "{head}");
        }
        assert_eq!(for_sheet(Tables::built_in()).lines().count(), Tables::built_in().list().len() + 3);
    }

    #[test]
    fn every_table_fits_a_screen_and_loses_no_cell() {
        for table in Tables::built_in().list() {
            let text = one(table);
            for line in text.lines() {
                assert!(line.chars().count() <= WIDE, "{}: {line}", table.name);
            }
            let words: Vec<&str> = text.split_whitespace().collect();
            for cell in table.rows.iter().flat_map(|row| &row.cells) {
                for word in cell.text().split_whitespace().filter(|word| word.chars().count() <= WORDS) {
                    assert!(words.contains(&word), "{}: {word} is missing", table.name);
                }
            }
        }
    }
}
