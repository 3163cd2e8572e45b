//! Figures of the load tables, by table, row and column. The tables are built in, so a name that is
//! not there is a slip of this program, caught by the test below and by every case that is built.

use crate::tables::Tables;
use crate::tables::read::Table;

/// A built-in table.
pub(crate) fn table(name: &str) -> &'static Table {
    Tables::built_in().find(name).expect("load tables are listed in tables::FILES")
}

/// A figure in the units that the table prints.
pub(crate) fn figure(name: &str, row: &str, column: &str) -> f64 {
    let table = table(name);
    let row = table.row(row).expect("rows of load tables are named as printed");
    table.printed(row, column).expect("the cell holds a number")
}

/// A figure in SI units.
pub(crate) fn figure_si(name: &str, row: &str, column: &str) -> f64 {
    let table = table(name);
    let row = table.row(row).expect("rows of load tables are named as printed");
    table.si(row, column).expect("the cell holds a number")
}

/// A curve given by points: straight between them, the nearest end beyond them (never extrapolated).
/// Rows without a number in the column are passed over.
///
/// The second part of the answer is the nearest place that the table holds, where `at` lies outside.
pub(crate) fn curve(name: &str, place: &str, column: &str, at: f64) -> (f64, Option<f64>) {
    let table = table(name);
    let points: Vec<(f64, f64)> = table
        .rows
        .iter()
        .filter_map(|row| Some((table.printed(row, place)?, table.printed(row, column)?)))
        .collect();
    let (first, last) = (points[0], points[points.len() - 1]);
    if at <= first.0 {
        return (first.1, (at < first.0 - 1e-9).then_some(first.0));
    }
    if at >= last.0 {
        return (last.1, (at > last.0 + 1e-9).then_some(last.0));
    }
    for pair in points.windows(2) {
        if at <= pair[1].0 {
            let t = (at - pair[0].0) / (pair[1].0 - pair[0].0);
            return (pair[0].1 + (pair[1].1 - pair[0].1) * t, None);
        }
    }
    (last.1, None)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_vault_figure_keeps_its_published_reading() {
        // f/d 0.26 and h/d 0.33: A +0.25, B −0.96, C −0.40 (published reading of EN 1991-1-4 Figure 7.11).
        let (ground, _) = curve("en1991_wind_vault", "f/d", "A h/d 0", 0.26);
        let (wall, _) = curve("en1991_wind_vault", "f/d", "A h/d 0.5", 0.26);
        let between = ground + (wall - ground) * (0.33 / 0.5);
        assert!((between - 0.25).abs() < 0.005, "{between}");
        assert!((curve("en1991_wind_vault", "f/d", "B", 0.26).0 + 0.96).abs() < 1e-12);
        assert_eq!(curve("en1991_wind_vault", "f/d", "B", 0.7).1, Some(0.5));
    }
}
