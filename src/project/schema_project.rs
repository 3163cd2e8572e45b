//! `[project]`: what it is called, the basis it goes by, the units that a person reads.

use super::key::Key;
use super::table::Table;
use crate::loads::ask::Basis;
use crate::units::System;

const NAME: Key = Key::text("name", "what the project is called");
const BASIS: Key = Key::word("basis", "the codes that loads and rules go by: eurocode, us-lrfd or us-asd");
const UNITS: Key = Key::word(
    "units",
    "metric or imperial, for what a person reads; as the basis has it where nothing is said",
);
const SITE: Key = Key::text("site", "where it stands");
const AUTHOR: Key = Key::text("author", "who wrote the project down");
const ALLOW_LARGE: Key =
    Key::flag("allow_large", "lift the ordinary limits on the number of joints and panels");

/// Keys of `[project]`.
pub const KEYS: &[Key] = &[NAME, BASIS, UNITS, SITE, AUTHOR, ALLOW_LARGE];

/// What `[project]` says.
#[derive(Debug, Clone, PartialEq)]
pub struct Heading {
    /// Name; the file's own where none is given.
    pub name: String,
    /// Basis; `None` where it is missing (a frame needs none).
    pub basis: Option<Basis>,
    /// Units for people.
    pub units: System,
}

/// Reads `[project]`. `needs_basis` is false for a plain frame.
pub(crate) fn read(table: &Table<'_, '_>, file_stem: &str, needs_basis: bool) -> Heading {
    let name = table.text(&NAME).unwrap_or_else(|| file_stem.to_owned());
    let choices = [("eurocode", Basis::Eurocode), ("us-lrfd", Basis::UsLrfd), ("us-asd", Basis::UsAsd)];
    let basis = if needs_basis { table.need_word(&BASIS, &choices) } else { table.word(&BASIS, &choices) };
    let units = table.word(&UNITS, &[("metric", System::Metric), ("imperial", System::Imperial)]).unwrap_or(
        match basis {
            Some(Basis::UsLrfd | Basis::UsAsd) => System::Imperial,
            Some(Basis::Eurocode) | None => System::Metric,
        },
    );
    table.reading.units.set(units);
    let _ = table.text(&SITE);
    let _ = table.text(&AUTHOR);
    table.reading.allow_large.set(table.flag(&ALLOW_LARGE).unwrap_or(false));
    table.finish(KEYS, "");
    Heading { name, basis, units }
}
