//! Grades and adjustment factors of NDS-2018 and its Supplement.

use crate::tables::provenance::Source;
use crate::tables::read::{Table, to_si};
use crate::tables::{NotInTable, Tables, named, near, plain};

/// Reference design values \[Pa\], with the standard's symbols.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[allow(missing_docs, reason = "the symbols of the NDS say it")]
pub struct Values {
    pub f_b: f64,
    pub f_t: f64,
    pub f_v: f64,
    pub f_c_perp: f64,
    pub f_c: f64,
    pub e: f64,
    pub e_min: f64,
}

/// Which rows of the size-factor table a grade uses.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum SizeGroup {
    /// Select Structural, No.1 & Btr, No.1, No.2, No.3 and the like.
    General,
    /// Stud, below 8 inches wide.
    Stud,
    /// Construction and Standard.
    ConstructionStandard,
    /// Utility.
    Utility,
    /// The values have the size factor in them (Southern Pine), or it is 1 (own values).
    Included,
}

impl SizeGroup {
    /// Widest nominal width that the grade is for \[in\]; 255 is no limit.
    pub(crate) fn widest(self) -> u8 {
        match self {
            Self::General | Self::Included => u8::MAX,
            Self::Stud => 6,
            Self::ConstructionStandard | Self::Utility => 4,
        }
    }

    fn in_table(self) -> Option<&'static str> {
        match self {
            Self::General => Some("general"),
            Self::Stud => Some("Stud"),
            Self::ConstructionStandard => Some("Construction, Standard"),
            Self::Utility => Some("Utility"),
            Self::Included => None,
        }
    }
}

/// Values of a grade over a range of nominal widths.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct Sized {
    /// Least nominal width \[in\].
    pub from_in: u8,
    /// Greatest nominal width \[in\]; 255 is no limit.
    pub to_in: u8,
    /// Values.
    pub values: Values,
    /// Rows of the size-factor table.
    pub group: SizeGroup,
}

/// A grade of a species.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct NdsGrade {
    /// "DF-L No.2", or the project's own name.
    pub name: String,
    /// "Douglas Fir-Larch".
    pub species: String,
    /// "No.2".
    pub grade: String,
    /// Values by width, narrowest first; never empty.
    pub sizes: Vec<Sized>,
    /// Whether it is glued laminated timber, which moisture weakens more than sawn lumber.
    pub glued: bool,
    /// Specific gravity G, for fixings.
    pub specific_gravity: f64,
    /// Weight as a density \[kg/m³\].
    pub density: f64,
    /// Where the values come from.
    pub source: Source,
}

impl NdsGrade {
    /// Values of the narrowest size, for stiffness and weight.
    ///
    /// # Panics
    ///
    /// Where a grade has no sizes, which no constructor makes.
    #[must_use]
    pub fn reference(&self) -> &Values {
        &self.sizes.first().expect("a grade has at least one size").values
    }

    /// Values for a nominal width \[in\].
    #[must_use]
    pub fn at(&self, width_in: u8) -> Option<&Sized> {
        self.sizes.iter().find(|s| (s.from_in..=s.to_in).contains(&width_in))
    }
}

/// `C_F` on bending, tension and compression.
#[derive(Debug, Clone, Copy, PartialEq)]
#[allow(missing_docs, reason = "the names say it")]
pub struct SizeFactor {
    pub bending: f64,
    pub tension: f64,
    pub compression: f64,
}

/// Factors by property.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
#[allow(missing_docs, reason = "the symbols of the NDS say it")]
pub struct ByProperty {
    pub f_b: f64,
    pub f_t: f64,
    pub f_v: f64,
    pub f_c_perp: f64,
    pub f_c: f64,
    pub e: f64,
    pub e_min: f64,
}

/// Sustained temperature of the timber.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Temperature {
    /// Up to 100 °F (38 °C).
    #[default]
    Usual,
    /// Above 100 and up to 125 °F (52 °C).
    Warm,
    /// Above 125 and up to 150 °F (66 °C).
    Hot,
}

/// The adjustment factors, ready for the inner loop.
#[derive(Debug)]
pub(crate) struct Factors {
    size: Vec<(SizeGroup, u8, u8, [Option<f64>; 4])>,
    flat: Vec<(u8, u8, [Option<f64>; 2])>,
    /// Of sawn lumber, then of glued laminated timber.
    wet: [ByProperty; 2],
    /// `C_M` of bending is 1 up to this `F_b C_F`, of compression up to this `F_c C_F` \[Pa\].
    pub(crate) wet_limits: [f64; 2],
    temperature: [[[f64; 3]; 2]; 2],
    pub(crate) incised: ByProperty,
    pub(crate) k_f: ByProperty,
    pub(crate) phi: ByProperty,
    /// `K_F` and φ of connections.
    pub(crate) connections: [f64; 2],
    pub(crate) load_duration: LoadDurations,
    pub(crate) time_effect: TimeEffects,
}

/// `C_D` by how long a load lasts in all (Table 2.3.2); impact, which no case is, left out.
#[derive(Debug, Clone, Copy, PartialEq)]
#[allow(missing_docs, reason = "the names are the table's")]
pub(crate) struct LoadDurations {
    pub(crate) permanent: f64,
    pub(crate) ten_years: f64,
    pub(crate) two_months: f64,
    pub(crate) seven_days: f64,
    pub(crate) ten_minutes: f64,
}

/// λ by the load that leads (Table N3); impact, which no case is, left out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct TimeEffects {
    /// Dead load alone.
    pub(crate) dead: f64,
    /// Live load that is stored things.
    pub(crate) storage: f64,
    /// Snow, and live load that is people.
    pub(crate) usual: f64,
    /// Wind at its full factor.
    pub(crate) wind: f64,
}

/// "2, 3, 4" → (2, 4); "10+" → (10, 255).
fn widths(text: &str) -> (u8, u8) {
    let numbers: Vec<u8> =
        text.split(|c: char| !c.is_ascii_digit()).filter_map(|part| part.parse().ok()).collect();
    let from = numbers.first().copied().unwrap_or(0);
    let to = if text.contains('+') { u8::MAX } else { numbers.last().copied().unwrap_or(0) };
    (from, to)
}

impl Factors {
    pub(crate) fn from_tables(tables: &[Table]) -> Self {
        let size = named(tables, "nds_size_factor");
        let groups =
            [SizeGroup::General, SizeGroup::Stud, SizeGroup::ConstructionStandard, SizeGroup::Utility];
        let mut sizes = Vec::new();
        for row in &size.rows {
            let (from, to) = widths(&size.words(row, "width").unwrap_or_default());
            let of = size.words(row, "grades").unwrap_or_default();
            if let Some(group) = groups.into_iter().find(|g| g.in_table() == Some(of.as_str())) {
                let get = ["Fb 2 and 3 thick", "Fb 4 thick", "Ft", "Fc"].map(|c| size.printed(row, c));
                sizes.push((group, from, to, get));
            }
        }
        let flat_table = named(tables, "nds_flat_use");
        let flat = flat_table
            .rows
            .iter()
            .map(|row| {
                let (from, to) = widths(&row.name);
                (from, to, ["2 and 3 thick", "4 thick"].map(|c| flat_table.printed(row, c)))
            })
            .collect();
        let one = |table: &str, row: &str, column: &str| {
            let table = named(tables, table);
            let row = table.row(row).expect("the row is in the table (tested)");
            table.si(row, column).expect("the cell is a number (tested)")
        };
        let wet = |table: &str| {
            let of = |row: &str| one(table, row, "C_M");
            let (f_b, f_t, f_v, f_c_perp) = (of("Fb"), of("Ft"), of("Fv"), of("Fc_perp"));
            ByProperty { f_b, f_t, f_v, f_c_perp, f_c: of("Fc"), e: of("E"), e_min: of("Emin") }
        };
        let limit = |row: &str| one("nds_wet_service", row, "1.0 up to");
        let heat =
            |row: &str| ["up to 100 F", "up to 125 F", "up to 150 F"].map(|c| one("nds_temperature", row, c));
        let cut = |row: &str| one("nds_incising", row, "C_i");
        let lrfd = |column: &str| ByProperty {
            f_b: one("nds_lrfd", "Fb", column),
            f_t: one("nds_lrfd", "Ft", column),
            f_v: one("nds_lrfd", "Fv", column),
            f_c_perp: one("nds_lrfd", "Fc_perp", column),
            f_c: one("nds_lrfd", "Fc", column),
            e: 1.0,
            e_min: one("nds_lrfd", "Emin", column),
        };
        let lasting = |row: &str| one("nds_load_duration", row, "C_D");
        let leading = |row: &str| one("nds_time_effect", row, "lambda");
        Self {
            size: sizes,
            flat,
            wet: [wet("nds_wet_service"), wet("nds_wet_service_glulam")],
            wet_limits: [limit("Fb"), limit("Fc")],
            temperature: [
                [heat("Ft, E, Emin dry"), heat("Ft, E, Emin wet")],
                [heat("Fb, Fv, Fc, Fc_perp dry"), heat("Fb, Fv, Fc, Fc_perp wet")],
            ],
            incised: ByProperty {
                f_b: cut("Fb, Ft, Fc, Fv"),
                f_t: cut("Fb, Ft, Fc, Fv"),
                f_v: cut("Fb, Ft, Fc, Fv"),
                f_c_perp: cut("Fc_perp"),
                f_c: cut("Fb, Ft, Fc, Fv"),
                e: cut("E, Emin"),
                e_min: cut("E, Emin"),
            },
            k_f: lrfd("K_F"),
            phi: lrfd("phi"),
            connections: ["K_F", "phi"].map(|column| one("nds_lrfd", "all connections", column)),
            load_duration: LoadDurations {
                permanent: lasting("permanent"),
                ten_years: lasting("ten years"),
                two_months: lasting("two months"),
                seven_days: lasting("seven days"),
                ten_minutes: lasting("ten minutes"),
            },
            time_effect: TimeEffects {
                dead: leading("1.4D"),
                storage: leading("1.2D + 1.6L + 0.5(Lr or S or R), storage"),
                usual: leading("1.2D + 1.6(Lr or S or R) + (L or 0.5W)"),
                wind: leading("1.2D + 1.0W + L + 0.5(Lr or S or R)"),
            },
        }
    }

    /// `C_M` of every property in wet service, of sawn lumber (Supplement, Tables 4A and 4B) or glued laminated timber (Table 5A); the
    /// exceptions for low values of sawn lumber are left to the caller.
    pub(crate) fn wet(&self, glued: bool) -> &ByProperty {
        &self.wet[usize::from(glued)]
    }

    /// `C_t` of every property (Table 2.3.3).
    pub(crate) fn heat(&self, temperature: Temperature, wet: bool) -> ByProperty {
        let stiff = self.temperature[0][usize::from(wet)][temperature as usize];
        let strong = self.temperature[1][usize::from(wet)][temperature as usize];
        ByProperty {
            f_b: strong,
            f_t: stiff,
            f_v: strong,
            f_c_perp: strong,
            f_c: strong,
            e: stiff,
            e_min: stiff,
        }
    }
}

/// Dressed width of each nominal width of dimension lumber \[in\].
///
/// # Source
///
/// PS 20; NDS Supplement Tables 1A and 1B (from memory, high).
pub const DRESSED_IN: [(u8, f64); 10] = [
    (2, 1.5),
    (3, 2.5),
    (4, 3.5),
    (5, 4.5),
    (6, 5.5),
    (8, 7.25),
    (10, 9.25),
    (12, 11.25),
    (14, 13.25),
    (16, 15.25),
];

/// The nominal width that a finished width belongs to \[in\]: the least whose dressed size is at
/// least as wide, so that a size between two takes the smaller strength. A millimetre of shrinkage
/// or planing is let pass. `None` above 15¼ in or below ½ in.
#[must_use]
pub fn nominal_in(width: f64) -> Option<u8> {
    let inches = width / to_si("in").unwrap_or(1.0);
    if inches < 0.5 {
        return None;
    }
    DRESSED_IN.iter().find(|(_, dressed)| inches <= dressed + PLANED).map(|(nominal, _)| *nominal)
}

/// What may be missing of a dressed width \[in\]: about a millimetre.
const PLANED: f64 = 0.04;

/// The widest nominal width whose dressed size a finished width reaches \[in\], or else the narrowest: beside [`nominal_in`] for what
/// grows with the width. A millimetre may be missing.
fn nominal_within(width: f64) -> u8 {
    let inches = width / to_si("in").unwrap_or(1.0);
    let reached = DRESSED_IN.iter().rev().find(|(_, dressed)| inches >= dressed - PLANED);
    reached.unwrap_or(&DRESSED_IN[0]).0
}

impl Tables {
    /// `C_F` for a nominal width and thickness \[in\]; `None` where the table has no value.
    #[must_use]
    pub fn size_factor(&self, group: SizeGroup, width_in: u8, thick_in: u8) -> Option<SizeFactor> {
        if group == SizeGroup::Included {
            return Some(SizeFactor { bending: 1.0, tension: 1.0, compression: 1.0 });
        }
        let (_, _, _, row) =
            self.nds.size.iter().find(|(g, from, to, _)| *g == group && (*from..=*to).contains(&width_in))?;
        let bending = if thick_in >= 4 { row[1]? } else { row[0]? };
        Some(SizeFactor { bending, tension: row[2]?, compression: row[3]? })
    }

    /// `C_fu` for a finished width \[m\] and a nominal thickness \[in\]; 1 where the table has no value. It grows with the width: a
    /// width between two sizes takes the narrower one's.
    #[must_use]
    pub fn flat_use(&self, width: f64, thick_in: u8) -> f64 {
        self.flat_use_of(nominal_within(width), thick_in)
    }

    fn flat_use_of(&self, width_in: u8, thick_in: u8) -> f64 {
        self.nds
            .flat
            .iter()
            .find(|(from, to, _)| (*from..=*to).contains(&width_in))
            .and_then(|(_, _, row)| row[usize::from(thick_in >= 4)])
            .unwrap_or(1.0)
    }

    /// Breadth and depth of a stocked size by its name, "2x4", "47x97" \[m\].
    ///
    /// # Errors
    ///
    /// [`NotInTable`] with the nearest names.
    pub fn stocked(&self, name: &str) -> Result<(f64, f64), NotInTable> {
        let wanted = plain(&name.replace('×', "x"));
        let mut names = Vec::new();
        for (table, column) in [("nds_dressed", "nominal"), ("metric_sizes", "name")] {
            let table = self.find(table)?;
            for row in &table.rows {
                let printed = table.words(row, column).unwrap_or_default();
                if plain(&printed) == wanted
                    && let (Some(b), Some(d)) = (table.si(row, "b"), table.si(row, "d"))
                {
                    return Ok((b, d));
                }
                names.push(printed);
            }
        }
        Err(NotInTable {
            what: "size",
            name: name.to_owned(),
            near: near(name, names.iter().map(String::as_str)),
            why: "write the finished size in mm or in".to_owned(),
        })
    }
}
