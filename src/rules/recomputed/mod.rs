//! The rules against a second version of them: `tests/outside/rules/*.py` works random timbers and fixings out again from
//! the reference sheets and the words of `docs/`, by someone who had not read these formulas, and lays its figures down
//! in sheets. Here they are held to 1e-9 of each other.

mod bearing;
mod distances;
mod feet;
mod fixings;
mod members_eurocode;
mod members_nds;
mod seams;

use std::collections::BTreeMap;

/// A row of a sheet, by the names of its columns.
struct Row {
    at: usize,
    cells: BTreeMap<&'static str, &'static str>,
}

impl Row {
    fn text(&self, name: &str) -> &'static str {
        self.cells.get(name).unwrap_or_else(|| panic!("no column {name}"))
    }

    /// A number, where the cell has one.
    fn maybe(&self, name: &str) -> Option<f64> {
        let text = self.text(name);
        (!text.is_empty())
            .then(|| text.parse().unwrap_or_else(|_| panic!("row {}: {name} is {text}", self.at)))
    }

    fn number(&self, name: &str) -> f64 {
        self.maybe(name).unwrap_or_else(|| panic!("row {}: no {name}", self.at))
    }

    fn yes(&self, name: &str) -> bool {
        self.text(name) == "1"
    }

    /// What the sheet expects: columns `u_…` with a number in them, by what follows the mark.
    fn expected(&self) -> BTreeMap<&'static str, f64> {
        let named = self.cells.keys().filter_map(|name| Some((*name, name.strip_prefix("u_")?)));
        named.filter_map(|(name, short)| Some((short, self.maybe(name)?))).collect()
    }

    /// That nothing that is expected was left out; of a check that asks nothing it does not matter.
    fn all(&self, made: &[&str], expected: &BTreeMap<&'static str, f64>) {
        for (name, value) in expected {
            assert!(*value == 0.0 || made.contains(name), "row {}: no {name}, only {made:?}", self.at);
        }
    }

    /// That a figure is what the sheet says, to `tolerance` of it.
    fn same(&self, what: &str, found: f64, expected: f64, tolerance: f64) {
        let near = (found - expected).abs() <= tolerance * expected.abs()
            || (found.is_infinite() && expected.is_infinite());
        assert!(near, "row {}: {what} is {found}, recomputed {expected}: {:?}", self.at, self.cells);
    }
}

/// The rows of a sheet; none of its cells has a comma in it.
fn rows(sheet: &'static str) -> Vec<Row> {
    let mut lines = sheet.lines();
    let names: Vec<&str> = lines.next().unwrap_or_default().split(',').collect();
    let row = |(at, line): (usize, &'static str)| {
        let cells: Vec<&str> = line.split(',').collect();
        assert_eq!(cells.len(), names.len(), "row {}", at + 2);
        Row { at: at + 2, cells: names.iter().copied().zip(cells).collect() }
    };
    lines.enumerate().map(row).collect()
}
