//! Built-in tables: what the standards print, with where each row was seen and how sure it is.
//!
//! The files in `tables/` keep the source's layout and units so that a book can be laid beside
//! them; conversion to SI happens here, on look-up. Adding a table is a file and a line in
//! [`FILES`]. Values that a look-up cannot give come as [`NotInTable`] with the nearest names.

pub mod eurocode;
pub mod fasteners;
pub mod grade;
pub mod nds;
pub mod provenance;
pub mod read;

use std::sync::LazyLock;

use crate::tables::read::Table;

/// Every built-in file: its name and its text.
pub const FILES: &[(&str, &str)] = &[
    ("en338_softwood", include_str!("../../tables/en338_softwood.toml")),
    ("en338_hardwood", include_str!("../../tables/en338_hardwood.toml")),
    ("en14080_glulam", include_str!("../../tables/en14080_glulam.toml")),
    ("en1995_kmod", include_str!("../../tables/en1995_kmod.toml")),
    ("en1995_kdef", include_str!("../../tables/en1995_kdef.toml")),
    ("en1995_gamma_m", include_str!("../../tables/en1995_gamma_m.toml")),
    ("en1995_lateral_length", include_str!("../../tables/en1995_lateral_length.toml")),
    ("en1995_deflection", include_str!("../../tables/en1995_deflection.toml")),
    ("nds_4a", include_str!("../../tables/nds_4a.toml")),
    ("nds_4b", include_str!("../../tables/nds_4b.toml")),
    ("nds_species", include_str!("../../tables/nds_species.toml")),
    ("nds_size_factor", include_str!("../../tables/nds_size_factor.toml")),
    ("nds_load_duration", include_str!("../../tables/nds_load_duration.toml")),
    ("nds_wet_service", include_str!("../../tables/nds_wet_service.toml")),
    ("nds_wet_service_glulam", include_str!("../../tables/nds_wet_service_glulam.toml")),
    ("nds_temperature", include_str!("../../tables/nds_temperature.toml")),
    ("nds_flat_use", include_str!("../../tables/nds_flat_use.toml")),
    ("nds_incising", include_str!("../../tables/nds_incising.toml")),
    ("nds_lrfd", include_str!("../../tables/nds_lrfd.toml")),
    ("nds_time_effect", include_str!("../../tables/nds_time_effect.toml")),
    ("nds_lateral_length", include_str!("../../tables/nds_lateral_length.toml")),
    ("nds_dressed", include_str!("../../tables/nds_dressed.toml")),
    ("fasteners_en1995_rope", include_str!("../../tables/fasteners_en1995_rope.toml")),
    ("fasteners_en1995_kef", include_str!("../../tables/fasteners_en1995_kef.toml")),
    ("fasteners_en1995_nails", include_str!("../../tables/fasteners_en1995_nails.toml")),
    ("fasteners_en1995_bolts", include_str!("../../tables/fasteners_en1995_bolts.toml")),
    ("fasteners_en1995_pulled_screws", include_str!("../../tables/fasteners_en1995_pulled_screws.toml")),
    ("fasteners_nds_wood_screws", include_str!("../../tables/fasteners_nds_wood_screws.toml")),
    ("fasteners_nds_lag_screws", include_str!("../../tables/fasteners_nds_lag_screws.toml")),
    ("fasteners_nds_bending_yield", include_str!("../../tables/fasteners_nds_bending_yield.toml")),
    ("fasteners_nds_wet_service", include_str!("../../tables/fasteners_nds_wet_service.toml")),
    ("fasteners_nds_temperature", include_str!("../../tables/fasteners_nds_temperature.toml")),
    ("fasteners_nds_distances", include_str!("../../tables/fasteners_nds_distances.toml")),
    ("fasteners_steel", include_str!("../../tables/fasteners_steel.toml")),
    ("en1990_factors", include_str!("../../tables/en1990_factors.toml")),
    ("en1991_snow_shape", include_str!("../../tables/en1991_snow_shape.toml")),
    ("en1991_wind_vault", include_str!("../../tables/en1991_wind_vault.toml")),
    ("en1991_wind_dome", include_str!("../../tables/en1991_wind_dome.toml")),
    ("en1991_wind_along", include_str!("../../tables/en1991_wind_along.toml")),
    ("en1991_wind_friction", include_str!("../../tables/en1991_wind_friction.toml")),
    ("en1991_wind_inside", include_str!("../../tables/en1991_wind_inside.toml")),
    ("en1991_terrain", include_str!("../../tables/en1991_terrain.toml")),
    ("asce7_snow_constants", include_str!("../../tables/asce7_snow_constants.toml")),
    ("asce7_snow_slope", include_str!("../../tables/asce7_snow_slope.toml")),
    ("asce7_wind_arch", include_str!("../../tables/asce7_wind_arch.toml")),
    ("asce7_wind_dome", include_str!("../../tables/asce7_wind_dome.toml")),
    ("asce7_wind_along", include_str!("../../tables/asce7_wind_along.toml")),
    ("asce7_wind_exposure", include_str!("../../tables/asce7_wind_exposure.toml")),
    ("asce7_wind_constants", include_str!("../../tables/asce7_wind_constants.toml")),
    ("metric_sizes", include_str!("../../tables/metric_sizes.toml")),
];

/// A name or a value that a table does not hold, with the nearest that it does.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{what} `{name}` is not in the tables{}{}", hint(.near), reason(.why))]
pub struct NotInTable {
    /// Kind of thing: "grade", "table".
    pub what: &'static str,
    /// What was asked for.
    pub name: String,
    /// Nearest names, best first; may be empty.
    pub near: Vec<String>,
    /// What else to know, or empty.
    pub why: String,
}

fn hint(near: &[String]) -> String {
    if near.is_empty() { String::new() } else { format!("; nearest: {}", near.join(", ")) }
}

fn reason(why: &str) -> String {
    if why.is_empty() { String::new() } else { format!(" ({why})") }
}

/// All built-in tables.
#[derive(Debug)]
pub struct Tables {
    tables: Vec<Table>,
    pub(crate) grades: Vec<grade::Listed>,
    pub(crate) k_mod: eurocode::Modification,
    pub(crate) nds: nds::Factors,
    pub(crate) fasteners: fasteners::Fasteners,
}

static BUILT_IN: LazyLock<Tables> = LazyLock::new(|| {
    let tables: Vec<Table> = FILES
        .iter()
        .map(|(name, text)| read::table(name, text).expect("built-in tables are all read by a test"))
        .collect();
    let grades = grade::listed(&tables);
    let k_mod = eurocode::Modification::from_tables(&tables);
    let nds = nds::Factors::from_tables(&tables);
    let fasteners = fasteners::Fasteners::from_tables(&tables);
    Tables { tables, grades, k_mod, nds, fasteners }
});

impl Tables {
    /// The built-in tables, read once.
    #[must_use]
    pub fn built_in() -> &'static Self {
        &BUILT_IN
    }

    /// Every table, in the order of [`FILES`].
    #[must_use]
    pub fn list(&self) -> &[Table] {
        &self.tables
    }

    /// The table of that name.
    ///
    /// # Errors
    ///
    /// [`NotInTable`] with the nearest names.
    pub fn find(&self, name: &str) -> Result<&Table, NotInTable> {
        let wanted = plain(name);
        self.tables.iter().find(|t| plain(t.name) == wanted).ok_or_else(|| {
            let names = || self.tables.iter().map(|t| t.name);
            let mut near = near(name, names());
            // A word of a name, "snow", is nearer to it than its length says.
            if wanted.chars().count() > 2 {
                let holding = names().filter(|name| plain(name).contains(&wanted)).map(str::to_owned);
                near = holding.collect::<Vec<_>>().into_iter().chain(near).collect();
                let mut seen = std::collections::BTreeSet::new();
                near.retain(|name| seen.insert(name.clone()));
                near.truncate(8);
            }
            NotInTable { what: "table", name: name.to_owned(), near, why: String::new() }
        })
    }
}

/// A table that is known to be built in.
///
/// # Panics
///
/// If it is not: a slip in this program, caught by the tests of the tables.
pub(crate) fn named<'a>(tables: &'a [Table], name: &str) -> &'a Table {
    tables.iter().find(|t| t.name == name).expect("the table is named in FILES")
}

/// Letters and digits only, lower case, "#" read as "no": names are compared so.
#[must_use]
pub(crate) fn plain(name: &str) -> String {
    name.replace('#', "no").chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}

/// The numbers in a name, in order: 24 of "C24", 2 of "No.2 Douglas Fir", 1 and 2 of "No.1/No.2".
pub(crate) fn numbers(name: &str) -> Vec<u64> {
    name.split(|c: char| !c.is_ascii_digit()).filter_map(|digits| digits.parse().ok()).collect()
}

/// The nearest of some names, best first, at most four, none that is unlike. Of names as near as each other first the one
/// whose number is nearer: C24 before C20 for C25.
pub(crate) fn near<'a>(wanted: &str, names: impl Iterator<Item = &'a str>) -> Vec<String> {
    let wanted = plain(wanted);
    let number = |name: &str| -> f64 {
        let digits: String = name.chars().filter(char::is_ascii_digit).take(6).collect();
        digits.parse().unwrap_or(0.0)
    };
    let off = |name: &str| (number(name) - number(&wanted)).abs();
    let mut scored: Vec<(f64, &str)> = names
        .map(|name| (strsim::normalized_damerau_levenshtein(&wanted, &plain(name)), name))
        .filter(|(score, _)| *score >= 0.4)
        .collect();
    scored.sort_by(|a, b| b.0.total_cmp(&a.0).then(off(a.1).total_cmp(&off(b.1))).then(a.1.cmp(b.1)));
    scored.dedup_by(|a, b| a.1 == b.1);
    scored.into_iter().take(4).map(|(_, name)| name.to_owned()).collect()
}
