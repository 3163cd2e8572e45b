//! One `tables/*.toml` file: rows laid out as printed, in the source's own units, with provenance.
//!
//! A file says `title`, `standard`, `source` (seen, sure, words), `notes`, how many leading columns
//! are the `key` of a row, `columns` and their `units`, `rows`, and `exceptions`: rows whose source
//! is another. A row is named by its key cells joined with a space; an exception's name also covers
//! every row whose first key cell it is.

use crate::tables::provenance::{Seen, Source, Sure};

/// One cell as printed.
#[derive(Debug, Clone, PartialEq, serde::Deserialize)]
#[serde(untagged)]
pub enum Cell {
    /// A number in the column's unit.
    Whole(i64),
    /// A number in the column's unit.
    Number(f64),
    /// Words; "-" is no value.
    Text(String),
}

impl Cell {
    /// The number, in the column's unit.
    #[must_use]
    #[allow(clippy::cast_precision_loss, reason = "printed figures have at most eight digits")]
    pub fn number(&self) -> Option<f64> {
        match self {
            Self::Whole(value) => Some(*value as f64),
            Self::Number(value) => Some(*value),
            Self::Text(_) => None,
        }
    }

    /// As text.
    #[must_use]
    pub fn text(&self) -> String {
        match self {
            Self::Whole(value) => value.to_string(),
            Self::Number(value) => value.to_string(),
            Self::Text(text) => text.clone(),
        }
    }
}

#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields)]
struct Written {
    title: String,
    standard: String,
    source: Source,
    #[serde(default)]
    notes: Vec<String>,
    key: usize,
    columns: Vec<String>,
    units: Vec<String>,
    rows: Vec<Vec<Cell>>,
    #[serde(default)]
    exceptions: Vec<Exception>,
}

#[derive(Debug, serde::Deserialize)]
#[serde(deny_unknown_fields)]
struct Exception {
    rows: Vec<String>,
    seen: Seen,
    sure: Sure,
    words: String,
}

/// One row.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Its key cells joined with a space.
    pub name: String,
    /// Its cells as printed.
    pub cells: Vec<Cell>,
    /// Where it comes from.
    pub source: Source,
}

/// One built-in table.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// Short name, that of its file: `en338_softwood`.
    pub name: &'static str,
    /// What it holds.
    pub title: String,
    /// Standard and table.
    pub standard: String,
    /// Where the table as a whole comes from.
    pub source: Source,
    /// What to know before using it.
    pub notes: Vec<String>,
    /// Names of the columns.
    pub columns: Vec<String>,
    /// Unit of each column, empty where it has none.
    pub units: Vec<String>,
    /// Rows in the order of the source.
    pub rows: Vec<Row>,
    /// The file as it stands.
    pub text: &'static str,
}

/// A table file that cannot be used. Built-in files are all read by a test.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ReadError {
    /// Not TOML, or not laid out as a table.
    #[error("table `{table}` cannot be read: {reason}")]
    Layout {
        /// Name of the table.
        table: &'static str,
        /// What the reader said.
        reason: String,
    },
    /// A row with more or fewer cells than there are columns.
    #[error("table `{table}`, row {row}: {cells} cells for {columns} columns")]
    Cells {
        /// Name of the table.
        table: &'static str,
        /// Position from 1.
        row: usize,
        /// Cells found.
        cells: usize,
        /// Columns named.
        columns: usize,
    },
    /// A unit that is not known.
    #[error("table `{table}`: unit `{unit}` is not known")]
    Unit {
        /// Name of the table.
        table: &'static str,
        /// As written.
        unit: String,
    },
    /// Two rows of one name.
    #[error("table `{table}`: two rows are named `{row}`")]
    Twice {
        /// Name of the table.
        table: &'static str,
        /// The name.
        row: String,
    },
    /// An exception that names no row.
    #[error("table `{table}`: the exception for `{row}` matches no row")]
    NoSuchRow {
        /// Name of the table.
        table: &'static str,
        /// The name.
        row: String,
    },
}

/// Reads one table file.
///
/// # Errors
///
/// [`ReadError`] with the table, the row and what is wrong.
pub fn table(name: &'static str, text: &'static str) -> Result<Table, ReadError> {
    let written: Written =
        toml::from_str(text).map_err(|e| ReadError::Layout { table: name, reason: e.to_string() })?;
    let width = written.columns.len();
    if written.units.len() != width {
        return Err(ReadError::Cells { table: name, row: 0, cells: written.units.len(), columns: width });
    }
    for unit in &written.units {
        if to_si(unit).is_none() {
            return Err(ReadError::Unit { table: name, unit: unit.clone() });
        }
    }
    let mut rows: Vec<Row> = Vec::with_capacity(written.rows.len());
    for (at, cells) in written.rows.into_iter().enumerate() {
        if cells.len() != width {
            return Err(ReadError::Cells { table: name, row: at + 1, cells: cells.len(), columns: width });
        }
        let keys: Vec<String> = cells.iter().take(written.key).map(Cell::text).collect();
        let row_name = keys.join(" ");
        if rows.iter().any(|row| row.name == row_name) {
            return Err(ReadError::Twice { table: name, row: row_name });
        }
        rows.push(Row { name: row_name, cells, source: written.source.clone() });
    }
    for exception in written.exceptions {
        for wanted in exception.rows {
            let mut hit = false;
            for row in &mut rows {
                if row.name == wanted || row.cells.first().is_some_and(|c| c.text() == wanted) {
                    row.source =
                        Source { seen: exception.seen, sure: exception.sure, words: exception.words.clone() };
                    hit = true;
                }
            }
            if !hit {
                return Err(ReadError::NoSuchRow { table: name, row: wanted });
            }
        }
    }
    Ok(Table {
        name,
        title: written.title,
        standard: written.standard,
        source: written.source,
        notes: written.notes,
        columns: written.columns,
        units: written.units,
        rows,
        text,
    })
}

impl Table {
    /// Position of a column.
    #[must_use]
    pub fn column(&self, name: &str) -> Option<usize> {
        self.columns.iter().position(|c| c == name)
    }

    /// The row of that name, exactly.
    #[must_use]
    pub fn row(&self, name: &str) -> Option<&Row> {
        self.rows.iter().find(|r| r.name == name)
    }

    /// A number of a row in SI units.
    #[must_use]
    pub fn si(&self, row: &Row, column: &str) -> Option<f64> {
        let at = self.column(column)?;
        Some(row.cells.get(at)?.number()? * to_si(self.units.get(at)?)?)
    }

    /// A number of a row as printed.
    #[must_use]
    pub fn printed(&self, row: &Row, column: &str) -> Option<f64> {
        row.cells.get(self.column(column)?)?.number()
    }

    /// The words in a cell.
    #[must_use]
    pub fn words(&self, row: &Row, column: &str) -> Option<String> {
        Some(row.cells.get(self.column(column)?)?.text())
    }
}

/// What one of a table's unit is in SI; the unit of a plain number is empty.
///
/// # Source
///
/// International yard and pound agreement of 1959 (0.0254 m, 0.45359237 kg) and standard gravity
/// 9.80665 m/s² of the 3rd CGPM, 1901; exact.
#[must_use]
pub fn to_si(unit: &str) -> Option<f64> {
    const INCH: f64 = 0.0254;
    const FOOT: f64 = 0.3048;
    const POUND: f64 = 0.453_592_37;
    const POUND_FORCE: f64 = POUND * 9.806_65;
    Some(match unit {
        "" | "in nominal" | "kg/m3" | "kg/m2" | "kN/m" => match unit {
            "kN/m" => 1e3,
            _ => 1.0,
        },
        "N/mm2" => 1e6,
        "kN/m2" => 1e3,
        "kN/m3" => 1e3,
        "kN" => 1e3,
        "mm" => 1e-3,
        "mm2" => 1e-6,
        "m" => 1.0,
        "in" => INCH,
        "ft" => FOOT,
        "in2" => INCH * INCH,
        "in3" => INCH * INCH * INCH,
        "in4" => INCH * INCH * INCH * INCH,
        "psi" => POUND_FORCE / (INCH * INCH),
        "psf" => POUND_FORCE / (FOOT * FOOT),
        "lb" => POUND_FORCE,
        "lb/ft3" => POUND / (FOOT * FOOT * FOOT),
        "deg" => std::f64::consts::PI / 180.0,
        _ => return None,
    })
}
