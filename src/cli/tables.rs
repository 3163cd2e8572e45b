//! `tables`: the built-in tables with their sources.

use std::fmt::Write;
use std::io::IsTerminal;

use comfy_table::{CellAlignment, ContentArrangement, presets};

use super::args::Tables as Arguments;
use super::output;
use crate::error::{Error, Exit};
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
    let mut grid = grid(vec!["name".to_owned(), "what".to_owned(), "standard".to_owned(), "rows".to_owned()]);
    // In a file or a pipe a row stays on its line.
    if std::io::stdout().is_terminal() {
        grid.set_content_arrangement(ContentArrangement::Dynamic).set_width(80);
    }
    for table in tables.list() {
        grid.add_row(vec![
            table.name.to_owned(),
            table.title.clone(),
            table.standard.clone(),
            table.rows.len().to_string(),
        ]);
    }
    format!("{}\n\nstrutwise tables NAME prints one of them with its sources.\n", trimmed(&grid))
}

fn one(table: &Table) -> String {
    let mut text = format!("{}\n{}\n\n", table.title, table.standard);
    let heads = table
        .columns
        .iter()
        .zip(&table.units)
        .map(|(name, unit)| if unit.is_empty() { name.clone() } else { format!("{name}\n{unit}") });
    let mut grid = grid(heads.collect());
    for row in &table.rows {
        grid.add_row(row.cells.iter().map(Cell::text));
    }
    for (number, column) in grid.column_iter_mut().enumerate() {
        let numeric =
            table.rows.iter().all(|row| row.cells.get(number).is_some_and(|cell| cell.number().is_some()));
        if numeric {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    let _ = writeln!(text, "{}\n\nSource: {}", trimmed(&grid), table.source);
    for row in table.rows.iter().filter(|row| row.source != table.source) {
        let _ = writeln!(text, "  {}: {}", row.name, row.source);
    }
    for note in &table.notes {
        let _ = writeln!(text, "Note: {note}");
    }
    text
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
