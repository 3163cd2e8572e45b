//! `[section.NAME]` of a plain frame.

use std::collections::BTreeMap;

use toml::de::DeValue;

use super::PlainFrame;
use crate::frame::{BarId, BarSection, EndFix};
use crate::project::csv::Row;
use crate::project::key::Key;
use crate::project::table::Table;
use crate::units::Dimension;

const AREA: Key = Key::quantity("area", Dimension::Area, "area").usually(1e-6, 1.0).single();
const SECOND_Y: Key = Key::quantity(
    "second_moment_y",
    Dimension::SecondMoment,
    "bending about local y, deflection along local z",
)
.within(0.0, f64::MAX)
.usually(1e-12, 0.1)
.single();
const SECOND_Z: Key = Key::quantity(
    "second_moment_z",
    Dimension::SecondMoment,
    "bending about local z, deflection along local y",
)
.within(0.0, f64::MAX)
.usually(1e-12, 0.1)
.single();
const TORSION: Key = Key::quantity("torsion", Dimension::SecondMoment, "St Venant torsion constant")
    .within(0.0, f64::MAX)
    .usually(1e-12, 0.1)
    .single();
const ELASTIC: Key =
    Key::quantity("elastic", Dimension::Pressure, "Young's modulus").usually(1e8, 1e12).single();
const SHEAR: Key = Key::quantity("shear", Dimension::Pressure, "shear modulus, for torsion")
    .within(0.0, f64::MAX)
    .usually(1e7, 1e12)
    .single();
const DENSITY: Key = Key::quantity("density", Dimension::Density, "density, for frequencies")
    .within(0.0, f64::MAX)
    .usually(50.0, 2e4)
    .single();

/// Keys of `[section.NAME]`.
pub const SECTION_KEYS: &[Key] = &[AREA, SECOND_Y, SECOND_Z, TORSION, ELASTIC, SHEAR, DENSITY];

/// The key without its usual values where 0 is written: that is meant.
fn but_nought(section: &Table<'_, '_>, key: Key) -> Key {
    let number = section.entry(&key).and_then(|value| match value.get_ref() {
        DeValue::Integer(number) => number.as_str().parse::<f64>().ok(),
        DeValue::Float(number) => number.as_str().parse::<f64>().ok(),
        _ => None,
    });
    if number == Some(0.0) { Key { usual: (f64::NEG_INFINITY, f64::INFINITY), ..key } } else { key }
}

/// Second moments that nobody wrote, of sections whose bars bend: told, and not taken for nothing; of torsion there is a warning,
/// as what a bar does without it is a fair model of some.
pub(super) fn bending(table: &Table<'_, '_>, rows: &[Row<'_>], plain: &PlainFrame) {
    for (name, section) in table.named_children() {
        // Rows of the bar's axes: the one it bends about, the one it deflects along.
        for (key, about, along) in [(SECOND_Y, 1, 2), (SECOND_Z, 2, 1)] {
            if section.has(&key) {
                continue;
            }
            let bends = |bar: &usize| bends(plain, *bar, about, along);
            let bars = rows.iter().enumerate().filter(|(_, row)| row.text("section") == name);
            if let Some(bar) = bars.map(|(bar, _)| bar).find(bends) {
                let message =
                    format!("{}.{} is missing, and bar {:?} bends", section.path, key.name, plain.bars[bar]);
                let help = format!(
                    "write {} ({}), 0 if the bar is to have none; or hinge it at both ends",
                    key.name, key.about
                );
                table.reading.fault("missing", section.place(), message, help);
            }
        }
        if section.has(&TORSION) && section.has(&SHEAR) {
            continue;
        }
        let bars = rows.iter().enumerate().filter(|(_, row)| row.text("section") == name);
        if let Some(bar) = bars.map(|(bar, _)| bar).find(|bar| twists(plain, *bar)) {
            table.reading.warn(format!(
                "{}: without a torsion constant and a shear modulus bar {:?} twists as if it met nothing; write torsion and shear, \
                 0 if that is meant",
                section.path, plain.bars[bar]
            ));
        }
    }
}

/// Whether both ends of a bar are stiff and one of its joints is free to turn about it.
fn twists(plain: &PlainFrame, bar: usize) -> bool {
    let Ok(line) = crate::frame::bar::line(&plain.frame, BarId(bar)) else { return false };
    let asked = &plain.frame.bars[bar];
    asked.ends.iter().all(|end| *end != EndFix::Hinged)
        && [asked.from, asked.to].iter().any(|node| {
            let held = plain.frame.nodes[node.0].held;
            (0..3).any(|freedom| !held[3 + freedom] && line.axes[(0, freedom)].abs() > 1e-9)
        })
}

/// Whether a bar that is not hinged at both ends has a joint that is free to move along one of its axes or to turn
/// about another.
fn bends(plain: &PlainFrame, bar: usize, about: usize, along: usize) -> bool {
    let Ok(line) = crate::frame::bar::line(&plain.frame, BarId(bar)) else { return false };
    let asked = &plain.frame.bars[bar];
    if asked.ends.iter().all(|end| *end == EndFix::Hinged) {
        return false;
    }
    let axis = |axis: usize, freedom: usize| line.axes[(axis, freedom)].abs() > 1e-9;
    [asked.from, asked.to].iter().any(|node| {
        let held = plain.frame.nodes[node.0].held;
        (0..3).any(|freedom| {
            (!held[freedom] && axis(along, freedom)) || (!held[3 + freedom] && axis(about, freedom))
        })
    })
}

/// Every section by name; one with a fault of its own stands in, so that no bar is blamed for naming it.
pub(super) fn read(table: &Table<'_, '_>) -> BTreeMap<String, BarSection> {
    let mut sections = BTreeMap::new();
    for (name, section) in table.named_children() {
        let positive = |key: &Key| {
            let value = section.need_quantity(key)?;
            if value > 0.0 {
                return Some(value);
            }
            section.fault("out-of-range", key, "must be above zero", key.about);
            None
        };
        let (area, elastic) = (positive(&AREA), positive(&ELASTIC));
        let [y, z, torsion, shear, density] = [SECOND_Y, SECOND_Z, TORSION, SHEAR, DENSITY]
            .map(|key| section.quantity_or(&but_nought(&section, key), 0.0));
        section.finish(SECTION_KEYS, "");
        if let (Some(area), Some(elastic)) = (area, elastic) {
            let mass = density * area;
            sections.insert(
                name,
                BarSection { area, second_moment_y: y, second_moment_z: z, torsion, elastic, shear, mass },
            );
        } else {
            // A section with a fault of its own, so that no bar is blamed for naming it.
            sections.insert(
                name,
                BarSection {
                    area: 1.0,
                    second_moment_y: 0.0,
                    second_moment_z: 0.0,
                    torsion: 0.0,
                    elastic: 1.0,
                    shear: 0.0,
                    mass: 0.0,
                },
            );
        }
    }
    sections
}
