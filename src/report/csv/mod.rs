//! The results value as tables for a spreadsheet: one file a table, SI, a unit in every heading.

pub mod frames;
mod lists;
pub mod sheets;

use std::collections::BTreeMap;

use crate::assess::results::{Assessment, WorstAt};

/// Every table as (file name, contents). Numbers are SI and read back to the same f64; text that a
/// spreadsheet would take for a formula is led by an apostrophe.
#[must_use]
pub fn write_csv(assessment: &Assessment) -> Vec<(String, String)> {
    let mut files = vec![
        ("joints.csv".to_owned(), joints(assessment)),
        ("members.csv".to_owned(), members(assessment)),
        ("members_by_model.csv".to_owned(), members_by_model(assessment)),
        ("panels.csv".to_owned(), panels(assessment)),
        ("cases.csv".to_owned(), cases(assessment)),
        ("reactions.csv".to_owned(), reactions(assessment)),
        ("combinations.csv".to_owned(), combinations(assessment)),
        ("models.csv".to_owned(), models(assessment)),
        ("feet.csv".to_owned(), feet(assessment)),
        ("anchors.csv".to_owned(), lists::anchors(assessment)),
        ("worst.csv".to_owned(), lists::worst_list(assessment)),
        ("workings.csv".to_owned(), lists::workings(assessment)),
        ("seam_curve.csv".to_owned(), lists::seam_curve(assessment)),
        ("reserves.csv".to_owned(), lists::reserves(assessment)),
        ("timbers.csv".to_owned(), lists::timbers(assessment)),
        ("panel_kinds.csv".to_owned(), lists::panel_kinds(assessment)),
        ("seam_fixings.csv".to_owned(), lists::seam_fixings(assessment)),
        ("inputs.csv".to_owned(), lists::inputs(assessment)),
        ("hand_checks.csv".to_owned(), lists::hand_checks(assessment)),
        ("words.csv".to_owned(), lists::words(assessment)),
    ];
    if let Some(ranges) = &assessment.ranges {
        files.push(("ranges.csv".to_owned(), lists::ranges(ranges)));
        files.push(("range_results.csv".to_owned(), lists::range_results(ranges)));
    }
    if assessment.models.iter().any(|model| model.displacements.is_some() || model.bar_forces.is_some()) {
        files.push(("displacements.csv".to_owned(), lists::displacements(assessment)));
        files.push(("bar_forces.csv".to_owned(), lists::bar_forces(assessment)));
    }
    files
}

/// A table under way.
struct Table(csv::Writer<Vec<u8>>);

impl Table {
    fn new(heading: &[&str]) -> Self {
        let mut table = Self(csv::Writer::from_writer(Vec::new()));
        table.row(&heading.iter().map(|&h| text(h)).collect::<Vec<_>>());
        table
    }

    fn row(&mut self, cells: &[String]) {
        // Writing to memory with rows of one length cannot fail; `flexible` is off to show a slip.
        let written = self.0.write_record(cells);
        debug_assert!(written.is_ok(), "{written:?}");
    }

    fn done(self) -> String {
        self.0.into_inner().ok().and_then(|bytes| String::from_utf8(bytes).ok()).unwrap_or_default()
    }
}

fn text(value: &str) -> String {
    if value.starts_with(['=', '+', '-', '@', '\t', '\r']) { format!("'{value}") } else { value.to_owned() }
}

/// Fewest digits that read back to the same number; empty where there is none.
fn number(value: f64) -> String {
    if value.is_finite() {
        serde_json::Number::from_f64(value).map_or_else(String::new, |n| n.to_string())
    } else {
        String::new()
    }
}

fn maybe(value: Option<f64>) -> String {
    value.map_or_else(String::new, number)
}

fn count(value: usize) -> String {
    value.to_string()
}

fn worst_cells(worst: Option<&WorstAt>) -> [String; 5] {
    worst.map_or_else(Default::default, |w| {
        [number(w.utilisation), text(&w.rule), text(&w.clause), text(&w.combination), text(&w.model)]
    })
}

fn joints(a: &Assessment) -> String {
    let mut table = Table::new(&["joint", "x_m", "y_m", "z_m", "foot"]);
    for j in &a.joints {
        table.row(&[text(&j.id), number(j.at[0]), number(j.at[1]), number(j.at[2]), j.foot.to_string()]);
    }
    table.done()
}

fn members(a: &Assessment) -> String {
    let mut table = Table::new(&[
        "member",
        "from",
        "to",
        "kind",
        "role",
        "timber",
        "length_m",
        "fold_deg",
        "strips",
        "breadth_m",
        "depth_m",
        "area_m2",
        "utilisation",
        "rule",
        "clause",
        "combination",
        "model",
        "n_N",
        "vy_N",
        "vz_N",
        "t_Nm",
        "my_Nm",
        "mz_Nm",
        "fixings_utilisation",
        "fixings_rule",
    ]);
    for m in &a.members {
        let mut row = vec![
            text(&m.id),
            text(&m.joints[0]),
            text(&m.joints[1]),
            text(&m.kind),
            text(&m.role),
            text(&m.timber),
            number(m.length),
            number(m.fold_deg),
            count(m.strips),
            number(m.breadth),
            number(m.depth),
            number(m.area),
        ];
        row.extend(worst_cells(m.worst.as_ref()));
        let f = m.forces.as_ref();
        row.extend([
            maybe(f.map(|f| f.n)),
            maybe(f.map(|f| f.vy)),
            maybe(f.map(|f| f.vz)),
            maybe(f.map(|f| f.t)),
            maybe(f.map(|f| f.my)),
            maybe(f.map(|f| f.mz)),
        ]);
        row.push(maybe(m.fixings.as_ref().map(|w| w.utilisation)));
        row.push(m.fixings.as_ref().map_or_else(String::new, |w| text(&w.rule)));
        table.row(&row);
    }
    table.done()
}

fn members_by_model(a: &Assessment) -> String {
    let mut table = Table::new(&[
        "member",
        "model",
        "utilisation",
        "rule",
        "clause",
        "combination",
        "least_axial_N",
        "greatest_axial_N",
        "greatest_moment_Nm",
    ]);
    for m in &a.members {
        let mut names: Vec<&String> =
            m.by_model.keys().chain(m.axial.keys()).chain(m.moment.keys()).collect();
        names.sort();
        names.dedup();
        for name in names {
            let worst = worst_cells(m.by_model.get(name));
            let axial = m.axial.get(name);
            table.row(&[
                text(&m.id),
                text(name),
                worst[0].clone(),
                worst[1].clone(),
                worst[2].clone(),
                worst[3].clone(),
                maybe(axial.map(|x| x[0])),
                maybe(axial.map(|x| x[1])),
                maybe(m.moment.get(name).copied()),
            ]);
        }
    }
    table.done()
}

fn panels(a: &Assessment) -> String {
    let mut table = Table::new(&["panel", "kind", "joints", "area_m2", "slope_deg"]);
    for p in &a.panels {
        table.row(&[
            text(&p.id),
            text(&p.kind),
            text(&p.joints.join(" ")),
            number(p.area),
            number(p.slope_deg),
        ]);
    }
    table.done()
}

fn cases(a: &Assessment) -> String {
    let mut table = Table::new(&[
        "case",
        "kind",
        "asked_x_N",
        "asked_y_N",
        "asked_z_N",
        "applied_x_N",
        "applied_y_N",
        "applied_z_N",
        "area_m2",
        "least_N_per_m2",
        "greatest_N_per_m2",
        "remarks",
        "provisional",
    ]);
    for c in &a.cases {
        let mut row = vec![text(&c.name), text(&c.kind)];
        row.extend(c.asked.iter().chain(&c.applied).map(|&v| number(v)));
        row.extend([number(c.area), number(c.intensity[0]), number(c.intensity[1])]);
        row.extend([text(&c.remarks.join("; ")), text(&c.provisional.join("; "))]);
        table.row(&row);
    }
    table.done()
}

fn reactions(a: &Assessment) -> String {
    let mut table = Table::new(&["case", "model", "x_N", "y_N", "z_N", "residual_over_load"]);
    for c in &a.cases {
        for (model, r) in &c.reactions {
            table.row(&[
                text(&c.name),
                text(model),
                number(r[0]),
                number(r[1]),
                number(r[2]),
                maybe(c.residual.get(model).copied()),
            ]);
        }
    }
    table.done()
}

fn combinations(a: &Assessment) -> String {
    let mut table = Table::new(&["combination", "state", "case", "factor", "duration", "clause"]);
    for c in &a.combinations {
        for (case, factor) in &c.factors {
            table.row(&[
                text(&c.name),
                text(&c.state),
                text(case),
                number(*factor),
                text(&c.duration),
                text(&c.clause),
            ]);
        }
    }
    table.done()
}

fn models(a: &Assessment) -> String {
    let mut table = Table::new(&[
        "model",
        "stiffness",
        "governs",
        "verdict",
        "mechanisms",
        "unknowns",
        "second_order",
        "buckling_factor",
        "limit_factor",
        "limit_combination",
        "sag_m",
        "sag_final_m",
        "sway_m",
        "sag_combination",
        "sway_combination",
        "worst_member",
        "utilisation",
        "rule",
        "clause",
        "combination",
        "fixings_utilisation",
    ]);
    for m in &a.models {
        let mut row = vec![
            text(&m.name),
            text(&m.stiffness),
            m.governs.to_string(),
            crate::report::show::verdict(m.verdict).to_owned(),
            count(m.mechanisms),
            count(m.unknowns),
            m.second_order.to_string(),
            maybe(m.buckling.as_ref().and_then(|b| b.factor)),
            maybe(m.buckling.as_ref().and_then(|b| b.limit_factor)),
            m.buckling.as_ref().and_then(|b| b.limit_combination.as_deref()).map_or_else(String::new, text),
            maybe(m.sag.as_ref().map(|s| s.sag)),
            maybe(m.sag.as_ref().and_then(|s| s.sag_final)),
            maybe(m.sag.as_ref().map(|s| s.sway)),
            m.sag.as_ref().map_or_else(String::new, |s| text(&s.combination)),
            m.sag.as_ref().map_or_else(String::new, |s| text(&s.sway_combination)),
            m.worst.as_ref().and_then(|w| w.member.as_deref()).map_or_else(String::new, text),
        ];
        row.extend(worst_cells(m.worst.as_ref()).into_iter().take(4));
        row.push(maybe(m.worst_fixing.as_ref().map(|w| w.utilisation)));
        table.row(&row);
    }
    table.done()
}

fn feet(a: &Assessment) -> String {
    let mut table = Table::new(&[
        "joint",
        "uplift_N",
        "down_N",
        "slide_N",
        "outward_N",
        "inward_N",
        "outward_deg",
        "along_N",
        "moment_Nm",
        "uplift_utilisation",
        "slide_utilisation",
        "moment_utilisation",
        "uplift_combination",
        "down_combination",
        "slide_combination",
        "moment_combination",
        "uplift_model",
        "down_model",
        "slide_model",
        "moment_model",
    ]);
    let of = |map: &BTreeMap<String, String>, key: &str| map.get(key).map_or_else(String::new, |v| text(v));
    for f in &a.feet {
        let mut row = vec![
            text(&f.joint),
            number(f.uplift),
            number(f.down),
            number(f.slide),
            number(f.outward),
            number(f.inward),
            number(f.outward_deg),
            number(f.along),
            number(f.moment),
            maybe(f.uplift_utilisation),
            maybe(f.slide_utilisation),
            maybe(f.moment_utilisation),
        ];
        for map in [&f.combination, &f.model] {
            row.extend(["uplift", "down", "slide", "moment"].map(|key| of(map, key)));
        }
        table.row(&row);
    }
    table.done()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::sample::sample;

    #[test]
    fn every_table_reads_back_with_rows_of_one_length() {
        let assessment = sample();
        for (name, contents) in write_csv(&assessment) {
            let mut reader = csv::Reader::from_reader(contents.as_bytes());
            let rows =
                reader.records().collect::<Result<Vec<_>, _>>().unwrap_or_else(|e| panic!("{name}: {e}"));
            assert!(!rows.is_empty(), "{name}");
        }
    }

    #[test]
    fn a_name_that_looks_like_a_formula_is_led_by_an_apostrophe() {
        let mut assessment = sample();
        assessment.members[0].id = "=cmd()".to_owned();
        let files = write_csv(&assessment);
        let members = &files.iter().find(|(name, _)| name == "members.csv").unwrap().1;
        assert!(members.contains("\n'=cmd(),"));
    }
}
