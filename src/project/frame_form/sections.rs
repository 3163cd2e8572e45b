//! `[section.NAME]` of a plain frame.

use std::collections::BTreeMap;

use crate::frame::BarSection;
use crate::project::key::Key;
use crate::project::table::Table;
use crate::units::Dimension;

const AREA: Key = Key::quantity("area", Dimension::Area, "area").single();
const SECOND_Y: Key = Key::quantity(
    "second_moment_y",
    Dimension::SecondMoment,
    "bending about local y, deflection along local z",
)
.within(0.0, f64::MAX)
.single();
const SECOND_Z: Key = Key::quantity(
    "second_moment_z",
    Dimension::SecondMoment,
    "bending about local z, deflection along local y",
)
.within(0.0, f64::MAX)
.single();
const TORSION: Key = Key::quantity("torsion", Dimension::SecondMoment, "St Venant torsion constant")
    .within(0.0, f64::MAX)
    .single();
const ELASTIC: Key = Key::quantity("elastic", Dimension::Pressure, "Young's modulus").single();
const SHEAR: Key =
    Key::quantity("shear", Dimension::Pressure, "shear modulus, for torsion").within(0.0, f64::MAX).single();
const DENSITY: Key =
    Key::quantity("density", Dimension::Density, "density, for frequencies").within(0.0, f64::MAX).single();

/// Keys of `[section.NAME]`.
pub const SECTION_KEYS: &[Key] = &[AREA, SECOND_Y, SECOND_Z, TORSION, ELASTIC, SHEAR, DENSITY];

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
        let [y, z, torsion, shear, density] =
            [SECOND_Y, SECOND_Z, TORSION, SHEAR, DENSITY].map(|key| section.quantity_or(&key, 0.0));
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
