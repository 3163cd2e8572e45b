//! The reference of the project file, printed from the keys that are read, so that it cannot go stale.

use std::fmt::Write;

use super::key::{Key, Wants};
use super::quantity::readable;
use super::{
    TABLES, frame_form, schema_joints, schema_loads, schema_more, schema_own, schema_project, schema_rules,
    schema_shell, schema_study, schema_timber,
};
use crate::units::{Dimension, significant};

/// Every table with its keys, in the order of the file.
#[must_use]
pub fn tables() -> Vec<(&'static str, &'static [Key])> {
    vec![
        ("[project]", schema_project::KEYS),
        ("[shell]", schema_shell::KEYS),
        ("[[shell.opening]]", schema_shell::OPENING_KEYS),
        ("[timber]", schema_timber::KEYS),
        ("[[timber.group]]", schema_timber::GROUP_KEYS),
        ("[timber.own]", schema_own::OWN_KEYS),
        ("[joints]", schema_joints::JOINT_KEYS),
        ("[fixings]", schema_joints::FIXING_KEYS),
        ("[cover]", schema_loads::COVER_KEYS),
        ("[snow]", schema_loads::SNOW_KEYS),
        ("[wind]", schema_loads::WIND_KEYS),
        ("[feet]", schema_joints::FEET_KEYS),
        ("[rules]", schema_rules::KEYS),
        ("[imposed]", schema_more::IMPOSED_KEYS),
        ("[[imposed.hanging]]", schema_more::HANGING_KEYS),
        ("[[imposed.point]]", schema_more::POINT_KEYS),
        ("[[imposed.water]]", schema_more::WATER_KEYS),
        ("[[case]]", schema_more::CASE_KEYS),
        ("[[case.pattern]]", schema_more::PATTERN_KEYS),
        ("[[case.joint]]", schema_more::CASE_JOINT_KEYS),
        ("[[case.panel]]", schema_more::CASE_PANEL_KEYS),
        ("[[case.member]]", schema_more::CASE_MEMBER_KEYS),
        ("[[stage]]", schema_more::STAGE_KEYS),
        ("[combine]", schema_more::COMBINE_KEYS),
        ("[[combine.own]]", schema_more::OWN_KEYS),
        ("[compare]", schema_study::COMPARE_KEYS),
        ("[prices]", schema_study::PRICES_KEYS),
        ("[span]", schema_study::SPAN_KEYS),
        ("[section.NAME]", frame_form::SECTION_KEYS),
        ("[analysis]", frame_form::ANALYSIS_KEYS),
        ("[analysis] watch", frame_form::WATCH_KEYS),
    ]
}

/// The reference as Markdown: a section a table, a line a key.
#[must_use]
pub fn markdown() -> String {
    let mut text = String::new();
    for (table, keys) in tables() {
        let name = table.trim_matches(['[', ']']);
        let about = TABLES.iter().find(|key| key.name == name).map_or("", |key| key.about);
        let _ = writeln!(text, "### `{table}`\n");
        if !about.is_empty() {
            let _ = writeln!(text, "{about}\n");
        }
        text.push_str("| key | wants | taken | what it is |\n|---|---|---|---|\n");
        for key in keys {
            let about = key.about.replace('|', "\\|");
            let _ = writeln!(text, "| `{}` | {} | {} | {about} |", key.name, wants(key), taken(key));
        }
        text.push('\n');
    }
    sheets(&mut text);
    text
}

/// The sheets of a plain frame, column by column.
fn sheets(text: &mut String) {
    text.push_str(
        "## Sheets of a plain frame\n\nOf `form = \"frame\"`: CSV, the columns by the names of the first row, in any \
         order. What is bare is in SI units.\n\n",
    );
    for sheet in frame_form::SHEETS {
        let _ = writeln!(text, "### Sheet `{}`\n\n{}\n", sheet.key.name, sheet.about);
        text.push_str("| columns | must be there | what they are |\n|---|---|---|\n");
        for (names, about) in sheet.words {
            let required =
                |name: &str| sheet.columns.iter().any(|column| column.name == name && column.required);
            let must = if names.iter().all(|name| required(name)) { "yes" } else { "" };
            let names: Vec<String> = names.iter().map(|name| format!("`{name}`")).collect();
            let _ = writeln!(text, "| {} | {must} | {about} |", names.join(", "));
        }
        text.push('\n');
    }
}

fn wants(key: &Key) -> String {
    let wants = match key.wants {
        Wants::Quantity(dimension) => dimension.with_article(),
        Wants::Degrees => "an angle, in degrees where bare",
        Wants::Whole => "a whole number",
        Wants::Text => "a text",
        Wants::Word => "a word",
        Wants::Flag if key.about.contains("where nothing is said") => "true or false",
        Wants::Flag => "true or false; false where nothing is said",
        Wants::Quantities(_) => "a list of quantities",
        Wants::DegreesList => "a list of angles, in degrees where bare",
        Wants::DegreesOrList => "an angle or a list of angles, in degrees where bare",
        Wants::List => "a list of texts",
        Wants::Table => "a table",
    };
    if key.takes_range() { format!("{wants} or range") } else { wants.to_owned() }
}

fn taken(key: &Key) -> String {
    let unit = match key.wants {
        Wants::Quantity(dimension) | Wants::Quantities(dimension) => dimension.si_unit(),
        _ if key.is_in_degrees() => "°",
        _ => Dimension::Number.si_unit(),
    };
    let (low, high) = key.limits;
    if !low.is_finite() || !high.is_finite() {
        return String::new();
    }
    let (scale, unit) = readable(high, unit);
    let (low, high) = (low / scale, high / scale);
    // The largest float stands for no upper limit.
    let text = if high >= f64::MAX {
        format!("{} {unit} or more", significant(low, 6))
    } else {
        format!("{} to {} {unit}", significant(low, 6), significant(high, 6))
    };
    text.trim_end().to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_key_stands_once_in_its_table_and_says_what_it_is() {
        for (table, keys) in tables() {
            for (number, key) in keys.iter().enumerate() {
                assert!(!key.about.is_empty(), "{table} {}", key.name);
                assert!(
                    keys[..number].iter().all(|other| other.name != key.name),
                    "{table} {} twice",
                    key.name
                );
                assert!(key.limits.0 <= key.limits.1 && key.usual.0 <= key.usual.1, "{table} {}", key.name);
            }
        }
        assert!(markdown().contains("| `ground` | a pressure or range | 0 to 50000 N/m2 |"));
    }
}
