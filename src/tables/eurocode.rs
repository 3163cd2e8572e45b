//! Look-ups of EN 1995-1-1: `k_mod`, `k_def`, `gamma_M`.

use crate::tables::grade::Material;
use crate::tables::read::Table;
use crate::tables::{NotInTable, Tables, named, near, plain};

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
}

impl Modification {
    pub(crate) fn from_tables(tables: &[Table]) -> Self {
        let mod_table = named(tables, "en1995_kmod");
        let def_table = named(tables, "en1995_kdef");
        let gamma_table = named(tables, "en1995_gamma_m");
        let mut all = Self { k_mod: [[None; 3]; 4], k_def: [[None; 3]; 4], gamma_m: [1.3; 4] };
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
            all.gamma_m[at] = gamma_table
                .row(name)
                .and_then(|row| gamma_table.printed(row, "gamma_M"))
                .expect("every timber has a partial factor (tested)");
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

    /// `gamma_M` of an item of Table 2.3 by its name: "connections", "plywood".
    ///
    /// # Errors
    ///
    /// [`NotInTable`] with the nearest names.
    pub fn gamma_m_of(&self, item: &str) -> Result<f64, NotInTable> {
        let table = self.find("en1995_gamma_m")?;
        let wanted = plain(item);
        table
            .rows
            .iter()
            .find(|r| plain(&r.name) == wanted)
            .and_then(|r| table.printed(r, "gamma_M"))
            .ok_or_else(|| NotInTable {
                what: "item of Table 2.3",
                name: item.to_owned(),
                near: near(item, table.rows.iter().map(|r| r.name.as_str())),
                why: String::new(),
            })
    }

    /// `k_mod` of any material of Table 3.1 by its name: "plywood EN 636-2", "OSB/3".
    ///
    /// # Errors
    ///
    /// [`NotInTable`] where the material is not named, or has no value in that class: it is not
    /// permitted there, and the nearest that is are named.
    pub fn k_mod_of(
        &self,
        material: &str,
        service_class: u8,
        duration: LoadDuration,
    ) -> Result<f64, NotInTable> {
        let table = self.find("en1995_kmod")?;
        let wanted = plain(material);
        let is_it = |name: &str| plain(name) == wanted;
        let of = |name: &str| name.rsplit_once(' ').map_or(name, |(m, _)| m).to_owned();
        let known = table.rows.iter().any(|r| is_it(&of(&r.name)));
        let class = service_class.to_string();
        let in_class = |r: &str| r.rsplit_once(' ').is_some_and(|(_, c)| c == class);
        if let Some(row) = table.rows.iter().find(|r| is_it(&of(&r.name)) && in_class(&r.name))
            && let Some(value) = table.printed(row, COLUMNS[duration as usize])
        {
            return Ok(value);
        }
        if known {
            let there: Vec<String> =
                table.rows.iter().filter(|r| in_class(&r.name)).map(|r| of(&r.name)).collect();
            return Err(NotInTable {
                what: "k_mod of",
                name: format!("{material} in service class {service_class}"),
                near: near(material, there.iter().map(String::as_str)),
                why: "the material is not permitted in that class".to_owned(),
            });
        }
        let all: Vec<String> = table.rows.iter().map(|r| of(&r.name)).collect();
        Err(NotInTable {
            what: "material",
            name: material.to_owned(),
            near: near(material, all.iter().map(String::as_str)),
            why: String::new(),
        })
    }
}
