//! Studies as CSV, SI throughout, one row a line; numbers read back to the same f64.

use crate::report::show;
use crate::study::compare::Compared;
use crate::study::row::Row;
use crate::study::seams::SeamStudy;
use crate::study::span::Swept;

fn number(value: Option<f64>) -> String {
    value.map_or_else(String::new, |v| v.to_string())
}

/// What every row says at its end, as a row may be all that is passed on.
const CAUTION: &str = "indicative only";

fn write(heads: &[&str], rows: Vec<Vec<String>>) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    // Writing to memory does not fail, and rows are as long as the heads.
    let _ = writer.write_record(heads.iter().chain(&["caution"]));
    for row in rows {
        let _ = writer.write_record(row.iter().map(String::as_str).chain([CAUTION]));
    }
    writer.into_inner().ok().and_then(|bytes| String::from_utf8(bytes).ok()).unwrap_or_default()
}

const ROW: [&str; 10] = [
    "verdict",
    "worst",
    "governs",
    "rule",
    "clause",
    "combination",
    "buckling_factor",
    "limit_factor",
    "sag_m",
    "uplift_N",
];

/// A text that a spreadsheet would take for a formula is set off by an apostrophe.
fn text(words: &str) -> String {
    if words.starts_with(['=', '+', '-', '@', '\t', '\r']) { format!("'{words}") } else { words.to_owned() }
}

fn row_cells(row: Option<&Row>) -> Vec<String> {
    let Some(row) = row else { return vec![String::new(); ROW.len()] };
    let first = row.first.as_ref();
    vec![
        show::verdict(row.verdict).to_owned(),
        number(row.worst),
        first.map_or_else(String::new, |f| text(&format!("{} {}", f.what, f.id))),
        first.map_or_else(String::new, |f| f.rule.clone()),
        first.map_or_else(String::new, |f| f.clause.clone()),
        first.map_or_else(String::new, |f| text(&f.combination)),
        number(row.buckling),
        number(row.limit()),
        number(row.sag),
        row.uplift.map_or_else(String::new, |lift| lift.to_string()),
    ]
}

/// `compare`: a line a timber.
#[must_use]
pub fn compare_csv(study: &Compared) -> String {
    let models: Vec<String> = study
        .candidates
        .iter()
        .find_map(|c| c.row.as_ref())
        .map(|r| r.models.iter().map(|m| m.name.replace('-', "_")).collect())
        .unwrap_or_default();
    let columns: Vec<String> =
        models.iter().flat_map(|m| [format!("{m}_worst"), format!("{m}_governs")]).collect();
    let mut heads =
        vec!["breadth_m", "depth_m", "grade", "strips", "mass_kg", "length_m", "price", "dominated"];
    heads.extend(ROW);
    heads.extend(columns.iter().map(String::as_str));
    heads.push("fault");
    let rows = study.candidates.iter().map(|c| {
        let mut cells = vec![
            c.breadth.to_string(),
            c.depth.to_string(),
            text(&c.grade),
            c.strips.map_or_else(String::new, |n| n.to_string()),
            number(c.mass),
            number(c.metres),
            number(c.price),
            c.dominated.to_string(),
        ];
        cells.extend(row_cells(c.row.as_ref()));
        for i in 0..models.len() {
            let model = c.row.as_ref().and_then(|r| r.models.get(i));
            cells.push(number(model.and_then(|m| m.worst)));
            cells.push(model.and_then(|m| m.first.as_ref()).map_or_else(String::new, |f| text(&f.words())));
        }
        cells.push(text(c.fault.as_deref().unwrap_or_default()));
        cells
    });
    write(&heads, rows.collect())
}

/// `span`: a line a timber and value.
#[must_use]
pub fn span_csv(study: &Swept) -> String {
    let mut heads = vec!["breadth_m", "depth_m", "grade", study.vary.as_str(), "span_m", "span_of_curve_m"];
    heads.extend(ROW);
    heads.push("fault");
    let mut rows = Vec::new();
    for sweep in &study.sweeps {
        for step in &sweep.steps {
            let mut cells = vec![
                sweep.breadth.to_string(),
                sweep.depth.to_string(),
                text(&sweep.grade),
                step.value.to_string(),
                number(step.span),
                number(step.span_of_curve),
            ];
            cells.extend(row_cells(step.row.as_ref()));
            cells.push(text(step.fault.as_deref().unwrap_or_default()));
            rows.push(cells);
        }
    }
    write(&heads, rows)
}

/// `seams`: a line a stiffness, before them that of no stiffness, which is the pinned model's.
#[must_use]
pub fn seams_csv(study: &SeamStudy) -> String {
    let mut heads = vec!["times", "stiffness_Nm_per_rad_per_m", "timber"];
    heads.extend(ROW);
    let none = study.pinned.iter().map(|row| (study.stiffness.map(|_| 0.0), 0.0, row));
    let points = study.points.iter().map(|p| (p.times, p.stiffness, &p.row));
    let rows = none.chain(points).map(|(times, stiffness, row)| {
        let timber = row.models.first().and_then(|m| m.timber);
        let mut cells = vec![number(times), stiffness.to_string(), number(timber)];
        cells.extend(row_cells(Some(row)));
        cells
    });
    write(&heads, rows.collect())
}
