//! `[timber]`: grade and sizes, groups with sizes of their own.

use super::key::{Key, Wants};
use super::schema_own;
use super::sides;
use super::table::Table;
use crate::loads::ask::Basis;
use crate::section::Section;
use crate::section::ask::{GroupAsk, TimberAsk};
use crate::section::strip::strip;
use crate::shell::Role;
use crate::tables::Tables;
use crate::tables::grade::Grade;
use crate::units::Dimension;

pub(crate) const GRADE: Key =
    Key::text("grade", "a strength class or grade of the tables (strutwise tables), \"C24\"");
pub(crate) const BREADTH: Key =
    Key::length("breadth", "b, along the panel").within(0.005, 0.6).usually(0.018, 0.2);
pub(crate) const DEPTH: Key =
    Key::length("depth", "d, through the shell").within(0.005, 1.5).usually(0.03, 0.35);
const BEVELLED: Key =
    Key::flag("bevelled", "whether sides are ripped to half the fold angle; true where nothing is said");
const COMPOSITE: Key = Key::number(
    "composite",
    "how far the strips of a seam act as one in bending about the shell's normal: 0 apart, 1 as one",
)
.within(0.0, 1.0);
const FIXINGS_ALLOWANCE: Key = Key::number(
    "fixings_allowance",
    "weight of bolts and screws as a share of the timber's; 0.05 where nothing is said",
)
.within(0.0, 1.0);
const GROUP: Key = Key::table("group", "timbers of particular parts, [[timber.group]] for each");
pub(crate) const OWN: Key = Key::table("own", "your own values in place of a grade of the tables");
pub(crate) const SERVICE_CLASS: Key =
    Key::whole("service_class", "EN 1995-1-1: 1 heated, 2 sheltered, 3 exposed to the weather")
        .within(1.0, 3.0);

/// Keys of `[timber]`.
pub const KEYS: &[Key] =
    &[GRADE, BREADTH, DEPTH, BEVELLED, COMPOSITE, FIXINGS_ALLOWANCE, GROUP, OWN, SERVICE_CLASS];

const ROLES: Key = Key::list(
    "roles",
    "which timbers: seam, arch, diagonal, purlin, base-rim, end-rim, opening-rim (door-rim means the same), stud, sill, brace",
);
const STRIPS: Key =
    Key::whole("strips", "timbers side by side; two to a seam and one elsewhere where nothing is said")
        .within(1.0, 6.0);

/// Keys of `[[timber.group]]`.
pub const GROUP_KEYS: &[Key] =
    &[ROLES, BREADTH, DEPTH, STRIPS, AREA, SECOND_MOMENT_Y, SECOND_MOMENT_Z, TORSION, MODULUS_Y, MODULUS_Z];

const AREA: Key = Key::quantity(
    "area",
    Dimension::Area,
    "your own values of one finished strip in place of the rectangle's, all six or none: its area",
)
.within(1e-5, 1.0);
const SECOND_MOMENT_Y: Key = Key::quantity(
    "second_moment_y",
    Dimension::SecondMoment,
    "own second moment of area, bending through the shell",
)
.within(1e-11, 0.2);
const SECOND_MOMENT_Z: Key = Key::quantity(
    "second_moment_z",
    Dimension::SecondMoment,
    "own second moment of area, bending along the panel",
)
.within(1e-11, 0.2);
const TORSION: Key =
    Key::quantity("torsion", Dimension::SecondMoment, "own St Venant torsion constant").within(1e-12, 0.2);
const MODULUS_Y: Key =
    Key::quantity("modulus_y", Dimension::Volume, "own section modulus, bending through the shell")
        .within(1e-9, 0.5);
const MODULUS_Z: Key =
    Key::quantity("modulus_z", Dimension::Volume, "own section modulus, bending along the panel")
        .within(1e-9, 0.5);

const ROLE_NAMES: [(&str, Role); 11] = [
    ("seam", Role::Seam),
    ("arch", Role::Arch),
    ("diagonal", Role::Diagonal),
    ("purlin", Role::Purlin),
    ("base-rim", Role::BaseRim),
    ("end-rim", Role::EndRim),
    ("opening-rim", Role::DoorRim),
    // What it was called before it was that of windows and skylights as well.
    ("door-rim", Role::DoorRim),
    ("stud", Role::Stud),
    ("sill", Role::Sill),
    ("brace", Role::Brace),
];

/// The word of a role in the file.
pub(crate) fn role_key(role: Role) -> &'static str {
    ROLE_NAMES.iter().find(|(_, known)| *known == role).map_or("", |(name, _)| name)
}

/// What `[timber]` says.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Timber {
    pub(crate) ask: TimberAsk,
    pub(crate) grade: Grade,
    pub(crate) service_class: Option<u8>,
}

/// Reads `[timber]`.
pub(crate) fn read(table: &Table<'_, '_>, basis: Option<Basis>) -> Option<Timber> {
    let own = table.child(&OWN);
    let grade = match (own.is_present(), table.has(&GRADE)) {
        (true, true) => {
            let _ = (table.text(&GRADE), schema_own::own_grade(&own, basis));
            table.fault("both", &GRADE, "stands beside [timber.own]", "give one or the other");
            None
        }
        (true, false) => schema_own::own_grade(&own, basis),
        // What stands in place of a table has been told.
        (false, false) if own.is_mistaken() => None,
        (false, _) => listed_grade(table, basis),
    };
    let (breadth, depth) = sides_of(table, true);
    let bevelled = table.flag_or(&BEVELLED, true);
    let composite = table.quantity_or(&COMPOSITE, 0.0);
    // Common practice, no source: bolts, washers and screws weigh about a twentieth of the timber.
    let fixings_allowance = table.quantity_or(&FIXINGS_ALLOWANCE, 0.05);
    let service_class = service_class(table, basis);
    let mut groups = Some(Vec::new());
    let mut grouped = Vec::new();
    for group in table.children(&GROUP) {
        match (read_group(&group, breadth, depth, &mut grouped), groups.as_mut()) {
            (Some(group), Some(list)) => list.push(group),
            _ => groups = None,
        }
    }
    table.finish(KEYS, "");
    let grade = grade?;
    let ask = TimberAsk {
        grade: grade.name().to_owned(),
        breadth: breadth?,
        depth: depth?,
        bevelled,
        composite,
        groups: groups?,
        fixings_allowance,
    };
    Some(Timber { ask, grade, service_class })
}

fn service_class(table: &Table<'_, '_>, basis: Option<Basis>) -> Option<u8> {
    if basis == Some(Basis::Eurocode) && !table.has(&SERVICE_CLASS) {
        let help = "write 1 (heated inside), 2 (sheltered, unheated) or 3 (exposed to the weather): EN 1995-1-1 2.3.1.3";
        table.missing(&SERVICE_CLASS, help);
    }
    table.whole(&SERVICE_CLASS).and_then(|class| u8::try_from(class).ok())
}

fn listed_grade(table: &Table<'_, '_>, basis: Option<Basis>) -> Option<Grade> {
    let name = table.need_text(&GRADE)?;
    match Tables::built_in().grade(&name) {
        Ok(grade) => {
            let fits = match (grade, basis) {
                (Grade::Eurocode(_), Some(Basis::UsLrfd | Basis::UsAsd)) => Some((
                    "a Eurocode class",
                    "take a US grade (strutwise tables lists them), or basis = \"eurocode\" if those rules are meant",
                )),
                (Grade::Nds(_), Some(Basis::Eurocode)) => Some((
                    "a grade of the NDS",
                    "take the strength class that it is sold as here (strutwise tables lists them), or basis = \
                     \"us-lrfd\" or \"us-asd\" if US rules are meant",
                )),
                _ => None,
            };
            if let Some((kind, help)) = fits {
                table.fault(
                    "wrong-basis",
                    &GRADE,
                    format!("is {name:?}, {kind}; the basis is another"),
                    help,
                );
                return None;
            }
            Some(grade.clone())
        }
        Err(error) => {
            let of_basis = |name: &&String| {
                let grade = Tables::built_in().grade(name);
                basis.is_none_or(|basis| {
                    grade.is_ok_and(|grade| (basis == Basis::Eurocode) == matches!(grade, Grade::Eurocode(_)))
                })
            };
            let near: Vec<&str> = error.near.iter().filter(of_basis).map(String::as_str).collect();
            let help = match near[..] {
                [one] => format!("did you mean {one:?}? strutwise tables lists them all"),
                [first, ..] => format!("did you mean {first:?}? Nearest: {}", near.join(", ")),
                [] => "strutwise tables lists them; [timber.own] takes your own values".to_owned(),
            };
            let why = if error.why.is_empty() { String::new() } else { format!(" ({})", error.why) };
            let message = format!("is {:?}, which is not in the tables{why}", super::near::shorten(&name));
            table.fault("unknown-grade", &GRADE, message, help);
            None
        }
    }
}

/// Breadth and depth; where the file has them in a form of its own, that is told once, and they are not asked for.
fn sides_of(table: &Table<'_, '_>, needed: bool) -> (Option<f64>, Option<f64>) {
    if sides::told(table, &BREADTH, &DEPTH) {
        return (None, None);
    }
    if needed {
        (table.need_quantity(&BREADTH), table.need_quantity(&DEPTH))
    } else {
        (table.quantity(&BREADTH), table.quantity(&DEPTH))
    }
}

/// Reads one group; `grouped` are the roles that those before it have.
fn read_group(
    table: &Table<'_, '_>,
    breadth: Option<f64>,
    depth: Option<f64>,
    grouped: &mut Vec<Role>,
) -> Option<GroupAsk> {
    let mut roles = Vec::new();
    let names = table.texts(&ROLES);
    if !table.has(&ROLES) {
        table.missing(&ROLES, "write roles = [\"arch\", …]: which timbers are meant");
    }
    let mut known = names.is_some();
    for name in names.unwrap_or_default() {
        match table.choose(&ROLES, &name, &ROLE_NAMES) {
            Some(role) if grouped.contains(&role) => {
                known = false;
                let message = format!("{} names {:?}, which is in a group already", table.path, name.value);
                let help = "a timber has one size: name each role in one group";
                table.reading.fault("twice", name.place, message, help);
            }
            Some(role) => {
                grouped.push(role);
                roles.push(role);
            }
            None => known = false,
        }
    }
    let (own_breadth, own_depth) = sides_of(table, false);
    let strips = table.whole(&STRIPS);
    let said = [own_breadth.is_some(), own_depth.is_some()];
    let (breadth, depth) = (own_breadth.or(breadth), own_depth.or(depth));
    let keys = [AREA, SECOND_MOMENT_Y, SECOND_MOMENT_Z, TORSION, MODULUS_Y, MODULUS_Z];
    // A value that is missing or wrong is told at its key; so is a size.
    let values =
        keys.iter().any(|key| table.has(key)).then(|| keys.each_ref().map(|key| table.need_quantity(key)));
    table.finish(GROUP_KEYS, "");
    // Beside sizes that are wrong, or under another name, every value would look wrong as well.
    let own =
        values.map(
            |values| {
                if table.is_faulty() { None } else { own_section(table, &keys, values, breadth, depth) }
            },
        );
    if !known || own == Some(None) {
        return None;
    }
    Some(GroupAsk { roles, breadth: breadth?, depth: depth?, said, strips, own: own.flatten() })
}

/// A group's own section values, all six of them.
///
/// What lies within the rectangle cannot exceed its values (a hundredth is left for rounding): more is a
/// slip of unit. The rules take shear as that of a solid section and torsion from the rectangle inside it,
/// so that values which only a thin web has are refused.
fn own_section(
    table: &Table<'_, '_>,
    keys: &[Key; 6],
    values: [Option<f64>; 6],
    breadth: Option<f64>,
    depth: Option<f64>,
) -> Option<Section> {
    let [
        Some(area),
        Some(second_moment_y),
        Some(second_moment_z),
        Some(torsion),
        Some(modulus_y),
        Some(modulus_z),
    ] = values
    else {
        return None;
    };
    let (breadth, depth) = (breadth?, depth?);
    // Sizes out of range have been told.
    let full = strip(breadth, depth, 0.0, false).ok()?;
    let own =
        Section { breadth, depth, area, second_moment_y, second_moment_z, torsion, modulus_y, modulus_z };
    // The outermost fibre is at least a radius of gyration away and at most the whole side.
    let moduli = |second: f64, side: f64| [second / side, (second * area).sqrt()];
    let (in_y, in_z) = (moduli(second_moment_y, depth), moduli(second_moment_z, breadth));
    // Own judgement: from three quarters on (a round has 0.785) a section is near enough to solid.
    let limits = [
        (0.75 * full.area, full.area),
        (0.0, full.second_moment_y),
        (0.0, full.second_moment_z),
        (0.0, full.torsion),
        (in_y[0], in_y[1]),
        (in_z[0], in_z[1]),
    ];
    for ((key, value), (least, most)) in keys.iter().zip(values.into_iter().flatten()).zip(limits) {
        if value < 0.99 * least || value > 1.01 * most {
            let unit = if let Wants::Quantity(dimension) = key.wants { dimension.si_unit() } else { "" };
            let message = format!(
                "is {value:.3e} {unit}; a solid section within the group's breadth and depth, with its other \
                 values, has {least:.3e} to {most:.3e}"
            );
            let help =
                "give the values of one finished strip; a hollow or thin-webbed one has no shear rule here";
            table.fault("own-section", key, message, help);
            return None;
        }
    }
    table.reading.warn(format!(
        "{}: your own section values are taken as those of a solid section: shear as in a rectangle of that area, \
         torsion as of the rectangle inside",
        table.path
    ));
    Some(own)
}
