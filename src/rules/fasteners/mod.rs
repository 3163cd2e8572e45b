//! What one bolt, wood screw or coach screw holds.
//!
//! [`eurocode5`] is EN 1995-1-1 section 8 in newtons and millimetres, [`nds`] is NDS-2018 chapters 11 and 12 in
//! pounds and inches: both standards' formulas carry constants that belong to their own units, so the formulas
//! stand here as printed there, and [`crate::rules::seams`] converts at the door.
//!
//! None of it was read from the standards themselves; every clause is from memory unless it says otherwise, and
//! `docs/engineering-basis-fixings.md` says how sure each is.

pub mod eurocode5;
pub mod nds;
#[cfg(test)]
pub(crate) mod timber;

/// Softwood or hardwood: the embedment across the grain differs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WoodKind {
    /// Coniferous.
    Softwood,
    /// Deciduous.
    Hardwood,
}

/// What the fixings must know of the timber.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JointTimber {
    /// Softwood or hardwood.
    pub wood: WoodKind,
    /// Characteristic density `ρ_k` \[kg/m³\] (EN 338).
    pub density_k: f64,
    /// Strength across the grain: characteristic `f_c,90,k` (EN 338), or the reference value `F_c⊥` (NDS) \[Pa\].
    pub compression_across: f64,
    /// Specific gravity G (NDS 12.3.3A); not used under the Eurocode.
    pub specific_gravity: f64,
    /// Mean modulus of elasticity along the grain \[Pa\].
    pub elastic: f64,
    /// Mean modulus of elasticity across the grain \[Pa\] (EN 338 `E_90`; for NDS take E/20).
    pub elastic_across: f64,
    /// Whether it is glued laminated timber, for wet service under the NDS; not used under the Eurocode.
    pub glued: bool,
}

impl JointTimber {
    /// What the tables say of a grade. NDS grades have no characteristic density, nor a modulus across the grain (`E`/20:
    /// common practice).
    #[must_use]
    pub fn of(grade: &crate::tables::grade::Grade) -> Self {
        use crate::tables::grade::{Grade, Material};
        match grade {
            Grade::Eurocode(grade) => Self {
                wood: match grade.material {
                    Material::Hardwood => WoodKind::Hardwood,
                    // LVL has 1.30 in place of 1.35 (8.33): taking softwood's is the careful side.
                    Material::Softwood | Material::Glulam | Material::Lvl => WoodKind::Softwood,
                },
                density_k: grade.rho_k,
                compression_across: grade.f_c_90_k,
                // Oven-dry weight over oven-dry volume; about the mean density at 12 % over 1.12 t/m³.
                specific_gravity: grade.rho_mean / 1120.0,
                elastic: grade.e_0_mean,
                elastic_across: grade.e_90_mean,
                glued: grade.material == Material::Glulam,
            },
            Grade::Nds(grade) => {
                let values = grade.reference();
                Self {
                    wood: WoodKind::Softwood,
                    density_k: grade.density / 1.2,
                    compression_across: values.f_c_perp,
                    specific_gravity: grade.specific_gravity,
                    elastic: values.e,
                    elastic_across: values.e / 20.0,
                    glued: grade.glued,
                }
            }
        }
    }
}
