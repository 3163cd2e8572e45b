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
    /// Mean density `ρ_mean` \[kg/m³\].
    pub density_mean: f64,
    /// Strength across the grain: characteristic `f_c,90,k` (EN 338), or the reference value `F_c⊥` (NDS) \[Pa\].
    pub compression_across: f64,
    /// Specific gravity G (NDS 12.3.3A); not used under the Eurocode.
    pub specific_gravity: f64,
    /// Mean modulus of elasticity along the grain \[Pa\].
    pub elastic: f64,
    /// Mean modulus of elasticity across the grain \[Pa\] (EN 338 `E_90`; for NDS take E/20).
    pub elastic_across: f64,
}
