//! A table on a terminal, and paragraphs of 80 columns.

/// Columns of the screen.
pub(super) const WIDTH: usize = 80;

/// Rows of cells under headings. A heading that begins with "#" is of figures, set to the right.
#[derive(Debug)]
pub(super) struct Grid {
    heads: Vec<String>,
    right: Vec<bool>,
    rows: Vec<Vec<String>>,
}

impl Grid {
    pub(super) fn new<S: AsRef<str>>(heads: &[S]) -> Self {
        let plain = |h: &S| h.as_ref().trim_start_matches('#').to_owned();
        Self {
            heads: heads.iter().map(plain).collect(),
            right: heads.iter().map(|h| h.as_ref().starts_with('#')).collect(),
            rows: Vec::new(),
        }
    }

    pub(super) fn row(&mut self, cells: Vec<String>) {
        self.rows.push(cells);
    }

    fn widths(&self) -> Vec<usize> {
        let width = |column: usize| {
            let of = |row: &Vec<String>| row.get(column).map_or(0, |c| c.chars().count());
            self.rows.iter().map(of).chain([self.heads[column].chars().count()]).max().unwrap_or(0)
        };
        (0..self.heads.len()).map(width).collect()
    }

    /// Columns with so many spaces between them.
    fn wide(&self, between: usize) -> usize {
        self.widths().iter().sum::<usize>() + between * self.heads.len().saturating_sub(1)
    }

    /// Whether it fits a screen, if need be with one space between its columns.
    pub(super) fn fits(&self) -> bool {
        self.wide(1) <= WIDTH
    }

    pub(super) fn text(&self) -> String {
        let widths = self.widths();
        let between = if self.wide(2) <= WIDTH { "  " } else { " " };
        let line = |cells: &[String]| {
            let mut out = String::new();
            for (column, cell) in cells.iter().enumerate() {
                let blank = " ".repeat(widths[column].saturating_sub(cell.chars().count()));
                if column > 0 {
                    out.push_str(between);
                }
                let parts = if self.right[column] { [&blank, cell] } else { [cell, &blank] };
                parts.iter().for_each(|p| out.push_str(p));
            }
            out.truncate(out.trim_end().len());
            out.push('\n');
            out
        };
        let mut out = line(&self.heads);
        self.rows.iter().for_each(|row| out.push_str(&line(row)));
        out
    }
}

/// A paragraph, its lines after the first set in by `hang`.
pub(super) fn paragraph(text: &str, hang: usize) -> String {
    let mut out = String::new();
    let mut length = 0;
    for word in text.split_whitespace() {
        let size = word.chars().count();
        if length > 0 && length + 1 + size > WIDTH {
            out.push('\n');
            out.push_str(&" ".repeat(hang));
            length = hang;
        } else if length > 0 {
            out.push(' ');
            length += 1;
        }
        out.push_str(word);
        length += size;
    }
    out.push('\n');
    out
}

/// Letters that stand for what governs, told under the table.
#[derive(Debug, Default)]
pub(super) struct Legend {
    entries: Vec<String>,
}

impl Legend {
    /// The letter of an entry: a, b, … z, then numbers.
    pub(super) fn letter(&mut self, entry: String) -> String {
        let at = self.entries.iter().position(|e| *e == entry).unwrap_or_else(|| {
            self.entries.push(entry);
            self.entries.len() - 1
        });
        Self::name(at)
    }

    fn name(at: usize) -> String {
        u8::try_from(at)
            .ok()
            .filter(|n| *n < 26)
            .map_or_else(|| at.to_string(), |n| char::from(b'a' + n).to_string())
    }

    pub(super) fn text(&self) -> String {
        self.entries
            .iter()
            .enumerate()
            .map(|(i, e)| paragraph(&format!("{:<2} {e}", Self::name(i)), 3))
            .collect()
    }
}
