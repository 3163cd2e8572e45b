//! How many parts the shell has, and how large it is.

use schemars::JsonSchema;
use serde::Serialize;

/// How many of everything.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, JsonSchema)]
#[allow(missing_docs, reason = "the names say it")]
pub struct Counts {
    pub joints: usize,
    pub members: usize,
    pub panels: usize,
    pub seams: usize,
    pub rims: usize,
    pub feet: usize,
    pub ridge_seams: usize,
    pub valley_seams: usize,
}

/// Overall sizes, between joints. A shell's joints stand on the curve that was asked for, or are cut off by the ground: they may fall
/// short of its own sizes, which are told where they differ by more than one per cent.
#[derive(Debug, Clone, Default, PartialEq, Serialize, JsonSchema)]
pub struct Size {
    /// Across, along y, between the outermost joints \[m\].
    pub span: f64,
    /// Height of the highest joint \[m\].
    pub rise: f64,
    /// Along x between the outermost joints \[m\].
    pub length: f64,
    /// Across the curve at the base \[m\].
    #[serde(skip_serializing_if = "Option::is_none")]
    pub span_of_curve: Option<f64>,
    /// Height of the curve \[m\].
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rise_of_curve: Option<f64>,
    /// Length of the smooth shape \[m\].
    #[serde(skip_serializing_if = "Option::is_none")]
    pub length_of_curve: Option<f64>,
    /// Area of the panels \[m²\].
    pub surface: f64,
    /// Area of the base \[m²\].
    pub floor: f64,
    /// Enclosed volume \[m³\].
    pub volume: f64,
    /// Mass of the timber \[kg\].
    pub timber_mass: f64,
    /// Length of all strips \[m\].
    pub timber_length: f64,
}
