//! The answer to a plain frame as sheets.

use super::{Table, count, number, text};
use crate::assess::plain_frame::FrameResults;

/// Name and contents of every sheet; a quantity that was not asked for leaves its sheet with a heading alone.
#[must_use]
pub fn frame_sheets(results: &FrameResults) -> Vec<(String, String)> {
    let sheets = [
        ("displacements.csv", displacements(results)),
        ("bar_forces.csv", bar_forces(results)),
        ("along_bars.csv", along(results)),
        ("reactions.csv", reactions(results)),
        ("factors.csv", factors(results)),
        ("path.csv", path(results)),
        ("events.csv", events(results)),
    ];
    sheets.into_iter().map(|(name, sheet)| (name.to_owned(), sheet.done())).collect()
}

fn row(table: &mut Table, names: &[&str], values: &[f64]) {
    let names = names.iter().map(|name| text(name));
    table.row(&names.chain(values.iter().map(|value| number(*value))).collect::<Vec<_>>());
}

fn displacements(results: &FrameResults) -> Table {
    let mut table = Table::new(&["case", "joint", "ux_m", "uy_m", "uz_m", "rx_rad", "ry_rad", "rz_rad"]);
    for case in &results.cases {
        for (joint, moved) in &case.displacements {
            row(&mut table, &[&case.name, joint], moved);
        }
    }
    table
}

fn bar_forces(results: &FrameResults) -> Table {
    let heads = ["case", "bar", "end", "n_N", "vy_N", "vz_N", "t_Nm", "my_Nm", "mz_Nm"];
    let mut table = Table::new(&heads);
    for case in &results.cases {
        for (bar, ends) in &case.bar_forces {
            for (end, forces) in [("from", &ends.from), ("to", &ends.to)] {
                row(&mut table, &[&case.name, bar, end], forces);
            }
        }
    }
    table
}

fn along(results: &FrameResults) -> Table {
    let mut table = Table::new(&["case", "bar", "x_m", "n_N", "vy_N", "vz_N", "t_Nm", "my_Nm", "mz_Nm"]);
    for case in &results.cases {
        for (bar, places) in &case.along {
            for place in places {
                let six = place.forces;
                row(
                    &mut table,
                    &[&case.name, bar],
                    &[place.x, six[0], six[1], six[2], six[3], six[4], six[5]],
                );
            }
        }
    }
    table
}

fn reactions(results: &FrameResults) -> Table {
    let mut table = Table::new(&["case", "joint", "fx_N", "fy_N", "fz_N", "mx_Nm", "my_Nm", "mz_Nm"]);
    for case in &results.cases {
        for (joint, force) in &case.reactions {
            row(&mut table, &[&case.name, joint], force);
        }
    }
    table
}

fn factors(results: &FrameResults) -> Table {
    let mut table = Table::new(&["what", "case", "number", "value"]);
    let mut list = |what: &str, case: &str, values: &[f64]| {
        for (place, value) in values.iter().enumerate() {
            table.row(&[text(what), text(case), count(place + 1), number(*value)]);
        }
    };
    list("frequency_hz", "", results.frequencies_hz.as_deref().unwrap_or_default());
    for case in &results.cases {
        list("buckling_factor", &case.name, case.buckling_factors.as_deref().unwrap_or_default());
    }
    table
}

fn path(results: &FrameResults) -> Table {
    let mut table = Table::new(&["case", "factor", "watched", "unstable"]);
    for case in &results.cases {
        for point in case.path.iter().flatten() {
            let cells = [number(point.factor), number(point.watched), point.unstable.to_string()];
            table.row(&[&[text(&case.name)], &cells[..]].concat());
        }
    }
    table
}

fn events(results: &FrameResults) -> Table {
    let mut table = Table::new(&["case", "kind", "factor", "watched"]);
    for case in &results.cases {
        for event in case.events.iter().flatten() {
            row(&mut table, &[&case.name, &event.kind], &[event.factor, event.watched]);
        }
    }
    table
}
