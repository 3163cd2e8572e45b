//! Cells of the sheets of a plain frame: numbers, springs, names.

use std::collections::BTreeMap;

use crate::project::csv::Row;
use crate::project::near::nearest;
use crate::units::Dimension;

/// Names to positions in the list of joints, bars or sections.
pub(super) type Names = BTreeMap<String, usize>;

/// A plain number of a cell, finite.
pub(super) fn number(row: &Row<'_>, column: &'static str, default: Option<f64>) -> Option<f64> {
    let value = match default {
        Some(default) => row.quantity_or(column, Dimension::Number, default)?,
        None => row.quantity(column, Dimension::Number)?,
    };
    if value.is_finite() {
        return Some(value);
    }
    row.fault("not-finite", column, format!("{column} is {}", row.text(column)), "write an ordinary number");
    None
}

pub(super) fn length(row: &Row<'_>, column: &'static str) -> Option<f64> {
    let value = row.quantity(column, Dimension::Length)?;
    if value.is_finite() {
        return Some(value);
    }
    row.fault("not-finite", column, format!("{column} is {}", row.text(column)), "write an ordinary number");
    None
}

/// A number that must not be negative; empty is `default`.
pub(super) fn stiffness(row: &Row<'_>, column: &'static str, default: f64) -> Option<f64> {
    if row.text(column).is_empty() {
        return Some(default);
    }
    let value = number(row, column, None)?;
    if value >= 0.0 {
        return Some(value);
    }
    row.fault("out-of-range", column, format!("{column} is {value}"), "a spring's stiffness is zero or more");
    None
}

pub(super) fn six(row: &Row<'_>, columns: [&'static str; 6]) -> Option<[f64; 6]> {
    let values = columns.map(|column| number(row, column, Some(0.0)));
    all(values)
}

pub(super) fn six_springs(row: &Row<'_>, columns: [&'static str; 6]) -> Option<[f64; 6]> {
    all(columns.map(|column| stiffness(row, column, 0.0)))
}

pub(super) fn all<const N: usize>(values: [Option<f64>; N]) -> Option<[f64; N]> {
    let mut out = [0.0; N];
    for (out, value) in out.iter_mut().zip(values) {
        *out = value?;
    }
    Some(out)
}

/// Takes a name into the list; a fault where it is empty or there already.
pub(super) fn take_name(
    row: &Row<'_>,
    column: &'static str,
    names: &mut Names,
    position: usize,
) -> Option<String> {
    let name = row.need_text(column)?;
    if names.insert(name.clone(), position).is_some() {
        row.fault(
            "twice",
            column,
            format!("{column} {name:?} is there twice"),
            "give every row a name of its own",
        );
        return None;
    }
    Some(name)
}

/// The position of a name; a fault with the nearest known one where it is unknown.
pub(super) fn find(row: &Row<'_>, column: &'static str, what: &str, names: &Names) -> Option<usize> {
    let name = row.need_text(column)?;
    if let Some(position) = names.get(&name) {
        return Some(*position);
    }
    let help = nearest(&name, names.keys().map(String::as_str))
        .map_or_else(|| format!("name a {what} of its sheet"), |near| format!("did you mean {near:?}?"));
    row.fault("unknown-name", column, format!("{what} {name:?} is not known"), help);
    None
}

/// Columns of springs to ground and of springs between joints.
pub(super) const GROUND: [&str; 6] = ["kx", "ky", "kz", "krx", "kry", "krz"];
