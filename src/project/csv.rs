//! Sheets of comma-separated values that a project names, with a place for every cell.

use std::collections::BTreeMap;
use std::ops::Range;

use super::fault::Place;
use super::file;
use super::key::Key;
use super::near::{nearest, shorten};
use super::reading::Reading;
use super::table::Table;
use crate::units::{self, Dimension};

/// A column that a sheet may have.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Column {
    /// As in the header.
    pub name: &'static str,
    /// Whether it must be there.
    pub required: bool,
}

impl Column {
    /// A column that must be there.
    #[must_use]
    pub const fn required(name: &'static str) -> Self {
        Self { name, required: true }
    }

    /// A column that may be missing.
    #[must_use]
    pub const fn optional(name: &'static str) -> Self {
        Self { name, required: false }
    }
}

/// A sheet as read.
#[derive(Debug)]
pub struct Sheet<'r> {
    /// Its rows, without the header.
    pub rows: Vec<Row<'r>>,
    /// Number of the file, for [`Place::file`].
    pub file: usize,
}

/// One row of a sheet.
#[derive(Debug)]
pub struct Row<'r> {
    /// Its line in the file, from 1.
    pub line: usize,
    reading: &'r Reading,
    file: usize,
    whole: Range<usize>,
    /// How many cells it has, and how many its header.
    counts: [usize; 2],
    cells: BTreeMap<&'static str, (String, Range<usize>)>,
}

impl<'r> Row<'r> {
    /// Notes a fault at a cell.
    pub fn fault(
        &self,
        code: &'static str,
        column: &str,
        message: impl Into<String>,
        help: impl Into<String>,
    ) {
        let span = self.cells.get(column).map_or(self.whole.clone(), |cell| cell.1.clone());
        let place = Place { file: self.file, start: span.start, end: span.end };
        self.reading.fault(code, place, message, help);
    }

    /// The name of its file.
    #[must_use]
    pub fn sheet(&self) -> String {
        self.reading.files.borrow()[self.file].name.clone()
    }

    /// A cell's text without its outer spaces; empty where it has none.
    #[must_use]
    pub fn text(&self, column: &str) -> &str {
        self.cells.get(column).map_or("", |cell| cell.0.as_str())
    }

    /// A cell's text that must not be empty.
    #[must_use]
    pub fn need_text(&self, column: &str) -> Option<String> {
        let text = self.text(column);
        if text.is_empty() {
            self.fault(
                "empty-cell",
                column,
                format!("{column} is empty"),
                format!("write a {column} in this row"),
            );
            return None;
        }
        Some(text.to_owned())
    }

    /// Tells of a row of loads in which all are nothing: a fault where cells are missing, as the load may have been meant for one of those.
    pub fn loads_nothing(&self) {
        let [here, header] = self.counts;
        if here < header {
            let message = format!(
                "this row has {here} cells, the header has {header}, and those that are here load nothing"
            );
            let place = Place { file: self.file, start: self.whole.start, end: self.whole.end };
            self.reading.fault(
                "too-few-cells",
                place,
                message,
                "write every cell of the row, 0 where there is no load",
            );
        } else {
            self.reading.warn(format!(
                "A row of loads adds nothing (line {} of {}).",
                self.line,
                self.sheet()
            ));
        }
    }

    /// A cell's quantity, bare numbers in SI base units; `default` where the cell is empty.
    #[must_use]
    pub fn quantity_or(&self, column: &str, dimension: Dimension, default: f64) -> Option<f64> {
        if self.text(column).is_empty() { Some(default) } else { self.quantity(column, dimension) }
    }

    /// A cell's quantity that must be there.
    #[must_use]
    pub fn quantity(&self, column: &str, dimension: Dimension) -> Option<f64> {
        match units::parse(self.text(column), dimension) {
            Ok(value) => Some(value),
            Err(error) => {
                self.fault("bad-cell", column, format!("{column} {error}"), error.help());
                None
            }
        }
    }
}

/// The sheet that a key of a table names. Faults of the file are noted; rows that could be read are given.
#[must_use]
pub fn read<'r>(table: &Table<'r, '_>, key: &Key, columns: &[Column]) -> Option<Sheet<'r>> {
    let (file, text) = file::companion(table, key)?;
    let reading = table.reading;
    let fault = |span: Range<usize>, code, message: String, help: String| {
        reading.fault(code, Place { file, start: span.start, end: span.end }, message, help);
    };
    let all_names: Vec<&str> = columns.iter().map(|column| column.name).collect();
    if let Some((span, cells)) = parted_otherwise(&text, &all_names) {
        let message = format!("cells are parted by {cells}; a sheet here goes by commas");
        let help = "save the sheet with commas between cells and points in decimals (2.4, not 2,4)";
        fault(span, "bad-csv", message, help.to_owned());
        return None;
    }
    if let Some(span) = open_quote(&text) {
        let message = "a quotation mark is opened here and not closed".to_owned();
        fault(span, "bad-csv", message, "close it behind the cell, or take it out".to_owned());
        return None;
    }
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .comment(Some(b'#'))
        .from_reader(text.as_bytes());
    let first_line = format!("the first line names the columns: {}", all_names.join(","));
    let before = reading.fault_count();
    let mut header: Option<Vec<Option<&'static str>>> = None;
    let mut rows = Vec::new();
    // Line ends are counted once: how far, and the line there.
    let (mut counted, mut line) = (0, 1);
    for record in reader.records() {
        let record = match record {
            Ok(record) => record,
            Err(error) => {
                let at = error.position().map_or(0, |position| usize::try_from(position.byte()).unwrap_or(0));
                fault(at..at, "bad-csv", format!("this line cannot be read: {error}"), first_line.clone());
                return None;
            }
        };
        let start = record.position().map_or(0, |position| usize::try_from(position.byte()).unwrap_or(0));
        let spans = cell_spans(&text, start, record.len());
        let whole = spans.first().map_or(start, |s| s.start)..spans.last().map_or(start, |s| s.end);
        if record.iter().all(|cell| cell.trim().is_empty()) {
            continue;
        }
        let Some(names) = &header else {
            let mut names: Vec<Option<&'static str>> = Vec::new();
            // What a faulty name was meant for is not missing as well.
            let mut meant: Vec<&str> = Vec::new();
            for (cell, span) in record.iter().zip(&spans) {
                let known = all_names.iter().find(|name| **name == cell.trim()).copied();
                match known {
                    None => {
                        let (near, help) = meant_for(cell.trim(), &all_names, &first_line);
                        meant.extend(near);
                        let message = format!("column {:?} is not known", shorten(cell.trim()));
                        fault(span.clone(), "unknown-column", message, help);
                    }
                    Some(name) if names.contains(&Some(name)) => {
                        let message = format!("column {name:?} is there twice");
                        fault(span.clone(), "column-twice", message, "take one of them out".to_owned());
                    }
                    Some(_) => {}
                }
                names.push(known);
            }
            let missing = |column: &&Column| {
                column.required && !names.contains(&Some(column.name)) && !meant.contains(&column.name)
            };
            for column in columns.iter().filter(missing) {
                let message = format!("column {:?} is missing", column.name);
                fault(whole.clone(), "missing-column", message, first_line.clone());
            }
            // Under a header that is wrong every row would be wrong, too.
            if reading.fault_count() > before {
                return None;
            }
            header = Some(names);
            continue;
        };
        if record.len() > names.len() {
            let message = format!("this row has {} cells; the header has {}", record.len(), names.len());
            fault(whole, "too-many-cells", message, "take the surplus out, or name its column".to_owned());
            continue;
        }
        let mut cells = BTreeMap::new();
        for ((name, cell), span) in names.iter().zip(record.iter()).zip(&spans) {
            if let Some(name) = name {
                cells.insert(*name, (cell.trim().to_owned(), span.clone()));
            }
        }
        line += text.as_bytes()[counted..whole.start].iter().filter(|byte| **byte == b'\n').count();
        counted = whole.start;
        let counts = [record.len(), names.len()];
        rows.push(Row { line, reading, file, whole, counts, cells });
    }
    if header.is_none() {
        fault(0..0, "empty", "the sheet is empty".to_owned(), first_line);
        return None;
    }
    Some(Sheet { rows, file })
}

/// The column that an unknown name was meant for, and what to do about it.
fn meant_for<'a>(cell: &str, known: &[&'a str], first_line: &str) -> (Option<&'a str>, String) {
    // "X", "x [mm]", "x (m)", "x/m".
    let base = cell.split([' ', '[', '(', '/']).next().unwrap_or(cell);
    if let Some(name) = known.iter().find(|name| name.eq_ignore_ascii_case(base)) {
        let help = if base == cell {
            format!("write it as {name}")
        } else {
            format!(
                "write {name} alone; a unit goes into each cell, as in \"47 mm\"; a bare number is in SI base units"
            )
        };
        return (Some(name), help);
    }
    match nearest(cell, known.iter().copied()) {
        Some(near) => (Some(near), format!("did you mean {near}?")),
        None => (None, first_line.to_owned()),
    }
}

/// The header of a sheet whose cells are parted by something else than commas, and by what.
fn parted_otherwise(text: &str, known: &[&str]) -> Option<(Range<usize>, &'static str)> {
    let mut start = 0;
    for raw in text.split_inclusive('\n') {
        let line = raw.trim();
        let lead = start + raw.len() - raw.trim_start().len();
        start += raw.len();
        if line.is_empty() || line.starts_with('#') {
            continue;
        }
        let marks = [(';', "semicolons"), ('\t', "tabs"), ('|', "bars")];
        return marks
            .into_iter()
            .find(|(mark, _)| {
                let names = line.split(*mark).map(|name| name.trim().trim_matches('"'));
                !line.contains(',')
                    && line.contains(*mark)
                    && names.filter(|name| known.iter().any(|known| known.eq_ignore_ascii_case(name))).count()
                        > 1
            })
            .map(|(_, cells)| (lead..lead + line.len(), cells));
    }
    None
}

/// The rest of the line behind a quotation mark that opens a cell and is closed nowhere.
fn open_quote(text: &str) -> Option<Range<usize>> {
    let bytes = text.as_bytes();
    let (mut at, mut opened) = (0, None);
    let mut at_start = true;
    while let Some(&byte) = bytes.get(at) {
        match opened {
            None if byte == b'#' && (at == 0 || bytes[at - 1] == b'\n') => {
                // The line end behind a remark begins a cell.
                at = bytes[at..].iter().position(|b| *b == b'\n').map_or(bytes.len(), |end| at + end);
                at_start = true;
                continue;
            }
            None if byte == b'"' && at_start => opened = Some(at),
            None => at_start = matches!(byte, b',' | b'\n' | b'\r'),
            Some(_) if byte == b'"' && bytes.get(at + 1) == Some(&b'"') => at += 1,
            Some(_) if byte == b'"' => {
                opened = None;
                at_start = false;
            }
            Some(_) => {}
        }
        at += 1;
    }
    opened.map(|from| {
        let end = text[from..].find(['\n', '\r']).map_or(text.len(), |end| from + end);
        from..end
    })
}

/// Where each cell of a record lies in the file, without outer spaces.
fn cell_spans(text: &str, start: usize, count: usize) -> Vec<Range<usize>> {
    let bytes = text.as_bytes();
    let mut at = start;
    // A record is told to begin behind the one before it: empty lines and remarks come first.
    while let Some(byte) = bytes.get(at) {
        match byte {
            b'\n' | b'\r' => at += 1,
            b'#' => at += bytes[at..].iter().position(|byte| *byte == b'\n').unwrap_or(bytes.len() - at),
            _ => break,
        }
    }
    let mut spans = Vec::with_capacity(count);
    let mut cell = at;
    let mut quoted = false;
    while spans.len() < count {
        let end = match bytes.get(at) {
            Some(b'"') => {
                quoted = !quoted;
                false
            }
            Some(b',') => !quoted,
            Some(b'\n' | b'\r') => !quoted,
            None => true,
            Some(_) => false,
        };
        if end {
            let raw = text.get(cell..at).unwrap_or("");
            let lead = raw.len() - raw.trim_start().len();
            spans.push(cell + lead..cell + lead + raw.trim().len());
            if at >= bytes.len() {
                break;
            }
            cell = at + 1;
        }
        at += 1;
    }
    spans.resize(count, at.min(bytes.len())..at.min(bytes.len()));
    spans
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cell_behind_a_remark_is_found_where_it_stands() {
        let text = "a,b\n1,2\n\n# a remark, with a comma\n# another\r\n3, 4 \n# the last";
        let spans = cell_spans(text, 8, 2);
        assert_eq!(spans.into_iter().map(|span| &text[span]).collect::<Vec<_>>(), ["3", "4"]);
        assert_eq!(cell_spans("# only", 0, 1)[0], 6..6);
    }
}
