//! Look-ups of EN 1995-1-1: `k_mod`, `k_def`, `gamma_M`.

use crate::tables::grade::Material;
use crate::tables::read::Table;
use crate::tables::{Tables, named};

/// Load-duration classes of EN 1995-1-1 2.3.1.2, longest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum LoadDuration {
    /// More than ten years.
    Permanent,
    /// Six months to ten years.
    Long,
    /// A week to six months.
    Medium,
    /// Less than a week.
    Short,
    /// Moments.
    Instantaneous,
}

const COLUMNS: [&str; 5] = ["permanent", "long", "medium", "short", "instantaneous"];

/// `k_mod`, `k_def` and `gamma_M` of the timbers, ready for the inner loop.
#[derive(Debug)]
pub(crate) struct Modification {
    k_mod: [[Option<[f64; 5]>; 3]; 4],
    k_def: [[Option<f64>; 3]; 4],
    gamma_m: [f64; 4],
    gamma_m_connections: f64,
    gamma_m_accidental: f64,
}

impl Modification {
    pub(crate) fn from_tables(tables: &[Table]) -> Self {
        let mod_table = named(tables, "en1995_kmod");
        let def_table = named(tables, "en1995_kdef");
        let gamma_table = named(tables, "en1995_gamma_m");
        let gamma_m = |item: &str| {
            let row = gamma_table.row(item);
            row.and_then(|row| gamma_table.printed(row, "gamma_M")).expect("the item has a factor (tested)")
        };
        let mut all = Self {
            k_mod: [[None; 3]; 4],
            k_def: [[None; 3]; 4],
            gamma_m: [0.0; 4],
            gamma_m_connections: gamma_m("connections"),
            gamma_m_accidental: gamma_m("accidental combinations"),
        };
        for (at, material) in Material::ALL.into_iter().enumerate() {
            let name = material.in_tables();
            for class in 0..3 {
                all.k_mod[at][class] = mod_table.row(&format!("{name} {}", class + 1)).map(|row| {
                    COLUMNS.map(|c| mod_table.printed(row, c).expect("every duration has a value (tested)"))
                });
                all.k_def[at][class] = def_table
                    .row(name)
                    .and_then(|row| def_table.printed(row, &format!("class {}", class + 1)));
            }
            all.gamma_m[at] = gamma_m(name);
        }
        all
    }
}

fn position(material: Material) -> usize {
    match material {
        Material::Softwood => 0,
        Material::Hardwood => 1,
        Material::Glulam => 2,
        Material::Lvl => 3,
    }
}

impl Tables {
    /// `k_mod` of a timber (Table 3.1); `None` for a class that is not 1, 2 or 3.
    #[must_use]
    pub fn k_mod(&self, material: Material, service_class: u8, duration: LoadDuration) -> Option<f64> {
        let class = usize::from(service_class).checked_sub(1)?;
        let row = (*self.k_mod.k_mod[position(material)].get(class)?)?;
        row.get(duration as usize).copied()
    }

    /// `k_def` of a timber (Table 3.2); `None` for a class that is not 1, 2 or 3.
    #[must_use]
    pub fn k_def(&self, material: Material, service_class: u8) -> Option<f64> {
        let class = usize::from(service_class).checked_sub(1)?;
        *self.k_mod.k_def[position(material)].get(class)?
    }

    /// `gamma_M` of a timber (Table 2.3).
    #[must_use]
    pub fn gamma_m(&self, material: Material) -> f64 {
        self.k_mod.gamma_m[position(material)]
    }

    /// `gamma_M` of connections (Table 2.3).
    #[must_use]
    pub fn gamma_m_connections(&self) -> f64 {
        self.k_mod.gamma_m_connections
    }

    /// `gamma_M` in accidental combinations, of timber and connections alike (Table 2.3).
    #[must_use]
    pub fn gamma_m_accidental(&self) -> f64 {
        self.k_mod.gamma_m_accidental
    }
}
