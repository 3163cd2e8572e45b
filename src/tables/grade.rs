//! Strength classes and grades: one type for all, in SI, with where the values come from.

use crate::tables::nds::{NdsGrade, SizeGroup, Sized, Values};
use crate::tables::provenance::Source;
use crate::tables::read::{Row, Table};
use crate::tables::{NotInTable, Tables, named, near, numbers, plain};

/// What a Eurocode class is made of; `k_mod`, `k_def` and `gamma_M` go by it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Material {
    /// Sawn softwood (C classes).
    Softwood,
    /// Sawn hardwood (D classes).
    Hardwood,
    /// Glued laminated timber (GL classes).
    Glulam,
    /// Laminated veneer lumber (own values only).
    Lvl,
}

impl Material {
    /// Every material, in the order of the look-up arrays.
    pub const ALL: [Self; 4] = [Self::Softwood, Self::Hardwood, Self::Glulam, Self::Lvl];

    /// Its name in the tables of EN 1995-1-1.
    #[must_use]
    pub fn in_tables(self) -> &'static str {
        match self {
            Self::Softwood | Self::Hardwood => "solid timber",
            Self::Glulam => "glulam",
            Self::Lvl => "LVL",
        }
    }
}

/// Characteristic values of a Eurocode class \[Pa, kg/m³\], with the standard's symbols.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
#[allow(missing_docs, reason = "the symbols of EN 338, EN 14080 and EN 1995-1-1 say it")]
pub struct EurocodeGrade {
    /// "C24", or the project's own name.
    pub name: String,
    /// What it is made of.
    pub material: Material,
    pub f_m_k: f64,
    pub f_t_0_k: f64,
    pub f_t_90_k: f64,
    pub f_c_0_k: f64,
    pub f_c_90_k: f64,
    pub f_v_k: f64,
    pub e_0_mean: f64,
    pub e_0_05: f64,
    pub e_90_mean: f64,
    pub g_mean: f64,
    /// `G_0,05`: of the table for glulam; `E_0,05`/16 for sawn timber (the ratio of EN 384 for the means).
    pub g_05: f64,
    pub rho_k: f64,
    pub rho_mean: f64,
    /// Highest service class that the material may be used in (3 for sawn timber).
    pub highest_service_class: u8,
    /// Where the values come from.
    pub source: Source,
}

/// A strength class or grade.
#[derive(Debug, Clone, PartialEq)]
pub enum Grade {
    /// EN 338, EN 14080 or own values with the same names.
    Eurocode(EurocodeGrade),
    /// NDS Supplement or own values with the same names.
    Nds(NdsGrade),
}

impl Grade {
    /// Its name as the tables or the project have it.
    #[must_use]
    pub fn name(&self) -> &str {
        match self {
            Self::Eurocode(grade) => &grade.name,
            Self::Nds(grade) => &grade.name,
        }
    }

    /// Mean density, for weight \[kg/m³\].
    #[must_use]
    pub fn density_mean(&self) -> f64 {
        match self {
            Self::Eurocode(grade) => grade.rho_mean,
            Self::Nds(grade) => grade.density,
        }
    }

    /// Mean modulus along the grain, for the frame \[Pa\]: `E_0,mean`, or the NDS reference E without
    /// wet-service, temperature or incising factors.
    #[must_use]
    pub fn elastic_mean(&self) -> f64 {
        match self {
            Self::Eurocode(grade) => grade.e_0_mean,
            Self::Nds(grade) => grade.reference().e,
        }
    }

    /// Mean shear modulus, for the frame \[Pa\]: `G_mean`; for NDS grades E/16 (common practice).
    #[must_use]
    pub fn shear_mean(&self) -> f64 {
        match self {
            Self::Eurocode(grade) => grade.g_mean,
            Self::Nds(grade) => grade.reference().e / 16.0,
        }
    }

    /// Where the values come from.
    #[must_use]
    pub fn source(&self) -> &Source {
        match self {
            Self::Eurocode(grade) => &grade.source,
            Self::Nds(grade) => &grade.source,
        }
    }
}

/// A built-in grade under every name that it goes by.
#[derive(Debug)]
pub(crate) struct Listed {
    pub(crate) names: Vec<String>,
    pub(crate) grade: Grade,
}

impl Tables {
    /// The built-in grade of that name; case, spaces, dots and hyphens do not matter, and "#2" is
    /// "No.2". Eurocode: "C24", "D30", `GL28h`. NDS: species and grade, "DF-L No.2".
    ///
    /// # Errors
    ///
    /// [`NotInTable`] with the nearest names.
    pub fn grade(&self, name: &str) -> Result<&Grade, NotInTable> {
        let wanted = plain(name);
        let found = self.grades.iter().find(|l| l.names.iter().any(|n| plain(n) == wanted));
        found.map(|l| &l.grade).ok_or_else(|| {
            let near = self.near_grades(name);
            let why = if wanted.starts_with("spfs") || wanted.contains("sprucepinefirsouth") {
                "SPF (South) is weaker than SPF and is not held; give its values as own values".to_owned()
            } else {
                String::new()
            };
            NotInTable { what: "grade", name: name.to_owned(), near, why }
        })
    }

    /// The grades that may be meant by a name, best first, at most four, by their own names.
    ///
    /// A grade of another number is another strength: of a name with a number only those of that number are told, or, of the same
    /// letters, of the next number below it, as a stronger one must not stand in for what was asked. A name that holds the whole
    /// name of a grade, "Spruce C24", means that one.
    fn near_grades(&self, name: &str) -> Vec<String> {
        let asked = numbers(name);
        let words: Vec<String> = name.split_whitespace().map(plain).collect();
        let held = |l: &&Listed| l.names.iter().any(|n| words.contains(&plain(n)));
        let mut found: Vec<String> =
            self.grades.iter().filter(held).map(|l| l.grade.name().to_owned()).collect();
        // Of the same letters, the next weaker: C24 for C25, and never C27.
        let letters = |text: &str| plain(text).chars().filter(|c| c.is_alphabetic()).collect::<String>();
        if found.is_empty() && asked.len() == 1 {
            let weaker =
                |l: &&Listed| letters(l.grade.name()) == letters(name) && numbers(l.grade.name()) < asked;
            let next = self.grades.iter().filter(weaker).max_by_key(|l| numbers(l.grade.name()));
            found.extend(next.map(|l| l.grade.name().to_owned()));
        }
        if found.is_empty() {
            let shares = |l: &&Listed| asked.is_empty() || l.names.iter().any(|n| numbers(n) == asked);
            let kept: Vec<&Listed> = self.grades.iter().filter(shares).collect();
            let known = kept.iter().flat_map(|l| l.names.iter().map(String::as_str));
            // "No.2 Douglas Fir" is "Douglas Fir No.2".
            let (numbered, others): (Vec<&str>, Vec<&str>) =
                name.split_whitespace().partition(|word| word.contains(|c: char| c.is_ascii_digit()));
            let turned = [others, numbered].concat().join(" ");
            // Of a name without a number the grade is a guess, unless it is all but spelt.
            let close = |alias: &String| {
                !asked.is_empty()
                    || strsim::normalized_damerau_levenshtein(&plain(name), &plain(alias)) >= 0.75
            };
            // An alias says no more than the grade's own name.
            for alias in near(&turned, known).into_iter().filter(close) {
                let listed = kept.iter().find(|l| l.names.contains(&alias));
                let own = listed.map_or(alias, |l| l.grade.name().to_owned());
                if !found.contains(&own) {
                    found.push(own);
                }
            }
        }
        found.truncate(4);
        found
    }

    /// Names of all built-in grades, in the order of the tables.
    pub fn grade_names(&self) -> impl Iterator<Item = &str> {
        self.grades.iter().map(|l| l.grade.name())
    }
}

/// All built-in grades.
pub(crate) fn listed(tables: &[Table]) -> Vec<Listed> {
    let mut all = Vec::new();
    for (name, material) in [
        ("en338_softwood", Material::Softwood),
        ("en338_hardwood", Material::Hardwood),
        ("en14080_glulam", Material::Glulam),
    ] {
        let table = named(tables, name);
        for row in &table.rows {
            let grade = eurocode(table, row, material);
            all.push(Listed { names: vec![grade.name.clone()], grade: Grade::Eurocode(grade) });
        }
    }
    nds_4a(tables, &mut all);
    nds_4b(tables, &mut all);
    all
}

/// `G_05` of every glulam class (EN 14080:2013; found, see the table's notes) \[Pa\].
const GLULAM_G_05: f64 = 540e6;

fn eurocode(table: &Table, row: &Row, material: Material) -> EurocodeGrade {
    let get = |column: &str| table.si(row, column).expect("every class has every column (tested)");
    let e_0_05 = table.si(row, "E0_k").unwrap_or_else(|| get("E0_05"));
    EurocodeGrade {
        name: row.name.clone(),
        material,
        f_m_k: get("fm_k"),
        f_t_0_k: get("ft0_k"),
        f_t_90_k: get("ft90_k"),
        f_c_0_k: get("fc0_k"),
        f_c_90_k: get("fc90_k"),
        f_v_k: get("fv_k"),
        e_0_mean: get("E0_mean"),
        e_0_05,
        e_90_mean: get("E90_mean"),
        g_mean: get("G_mean"),
        g_05: if material == Material::Glulam { GLULAM_G_05 } else { e_0_05 / 16.0 },
        rho_k: get("rho_k"),
        rho_mean: get("rho_mean"),
        highest_service_class: 3,
        source: Source { words: format!("{}: {}", table.standard, row.source.words), ..row.source.clone() },
    }
}

fn values(table: &Table, row: &Row) -> Values {
    let get = |column: &str| table.si(row, column).expect("every grade has every column (tested)");
    Values {
        f_b: get("Fb"),
        f_t: get("Ft"),
        f_v: get("Fv"),
        f_c_perp: get("Fc_perp"),
        f_c: get("Fc"),
        e: get("E"),
        e_min: get("Emin"),
    }
}

/// Names of a species and its weight.
fn species(tables: &[Table], short: &str) -> (Vec<String>, f64) {
    let table = named(tables, "nds_species");
    let row = table.row(short).expect("every species of the grades is named (tested)");
    let mut names = vec![short.to_owned(), table.words(row, "name").unwrap_or_default()];
    names.extend(table.words(row, "other names").unwrap_or_default().split(", ").map(str::to_owned));
    (names, table.si(row, "weight").expect("every species has a weight (tested)"))
}

fn grade_names(grade: &str) -> Vec<String> {
    let mut names = vec![grade.to_owned()];
    match grade {
        "Select Structural" => names.push("SS".to_owned()),
        "No.1/No.2" => names.extend(["No.1".to_owned(), "No.2".to_owned()]),
        "No.1 & Btr" => names.push("No.1 and better".to_owned()),
        "No.3 and Stud" => names.extend(["No.3".to_owned(), "Stud".to_owned()]),
        _ => {}
    }
    names
}

fn push_nds(all: &mut Vec<Listed>, species: &(Vec<String>, f64), grade: NdsGrade) {
    let (species_names, _) = species;
    let mut names = Vec::new();
    for s in species_names {
        for g in grade_names(&grade.grade) {
            names.push(format!("{s} {g}"));
        }
    }
    all.push(Listed { names, grade: Grade::Nds(grade) });
}

fn nds_4a(tables: &[Table], all: &mut Vec<Listed>) {
    let table = named(tables, "nds_4a");
    for row in &table.rows {
        let short = table.words(row, "species").unwrap_or_default();
        let grade = table.words(row, "grade").unwrap_or_default();
        let named_species = species(tables, &short);
        let group = match grade.as_str() {
            "Stud" => SizeGroup::Stud,
            "Construction" | "Standard" => SizeGroup::ConstructionStandard,
            "Utility" => SizeGroup::Utility,
            _ => SizeGroup::General,
        };
        let mut sizes = vec![Sized { from_in: 2, to_in: group.widest(), values: values(table, row), group }];
        if group == SizeGroup::Stud {
            // Stud 8 inches and wider takes No.3 (Table 4A, note on Stud).
            if let Some(third) = table.row(&format!("{short} No.3")) {
                let group = SizeGroup::General;
                sizes.push(Sized { from_in: 8, to_in: group.widest(), values: values(table, third), group });
            }
        }
        let grade = NdsGrade {
            name: format!("{short} {grade}"),
            species: named_species.0.get(1).cloned().unwrap_or_default(),
            grade,
            sizes,
            glued: false,
            specific_gravity: table.printed(row, "G").unwrap_or(0.0),
            density: named_species.1,
            source: Source {
                words: format!("{}: {}", table.standard, row.source.words),
                ..row.source.clone()
            },
        };
        push_nds(all, &named_species, grade);
    }
}

fn nds_4b(tables: &[Table], all: &mut Vec<Listed>) {
    let table = named(tables, "nds_4b");
    let southern_pine = species(tables, "SP");
    let mut grades: Vec<NdsGrade> = Vec::new();
    for row in &table.rows {
        let width = table.words(row, "width class (nominal)").unwrap_or_default();
        let grade = table.words(row, "grade").unwrap_or_default();
        let (from_in, to_in) = match width.as_str() {
            "2-4 in" => (2, 4),
            "4 in" => (4, 4),
            "5-6 in" => (5, 6),
            "8 in" => (8, 8),
            "10 in" => (10, 10),
            _ => (12, 12),
        };
        let sized = Sized { from_in, to_in, values: values(table, row), group: SizeGroup::Included };
        match grades.iter_mut().find(|g| g.grade == grade) {
            Some(known) => {
                known.sizes.push(sized);
                // The grade is no surer than its least sure row.
                if row.source.sure > known.source.sure {
                    known.source.sure = row.source.sure;
                }
            }
            None => grades.push(NdsGrade {
                name: format!("SP {grade}"),
                species: southern_pine.0.get(1).cloned().unwrap_or_default(),
                grade,
                sizes: vec![sized],
                glued: false,
                specific_gravity: table.printed(row, "G").unwrap_or(0.0),
                density: southern_pine.1,
                source: Source {
                    words: format!("{}: {}", table.standard, row.source.words),
                    ..row.source.clone()
                },
            }),
        }
    }
    for grade in grades {
        push_nds(all, &southern_pine, grade);
    }
}
