//! What can be asked of the loads: data only. Values are the user's own; there is no silent default.

/// A load that is given, or left out in words that the notes print.
#[derive(Debug, Clone, PartialEq)]
pub enum Given<T> {
    /// Its value.
    Value(T),
    /// Why it is left out.
    LeftOut(String),
}

/// The basis that loads and rules go by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Basis {
    /// EN 1990, EN 1991, EN 1995-1-1.
    Eurocode,
    /// ASCE 7 strength combinations and NDS LRFD.
    UsLrfd,
    /// ASCE 7 and NDS allowable stress.
    UsAsd,
}

/// Snow as asked.
#[derive(Debug, Clone, PartialEq)]
pub struct SnowAsk {
    /// Characteristic ground snow \[N/m²\].
    pub ground: f64,
    /// Where the value comes from.
    pub source: Option<String>,
    /// Exposure coefficient Ce.
    pub exposure: f64,
    /// Thermal coefficient Ct.
    pub thermal: f64,
}

/// Wind as asked.
#[derive(Debug, Clone, PartialEq)]
pub struct WindAsk {
    /// Peak velocity pressure \[N/m²\].
    pub pressure: f64,
    /// Where the value comes from.
    pub source: Option<String>,
    /// Directions the wind blows from, anticlockwise from +x in plan \[rad\].
    pub directions: Vec<f64>,
}

/// The cover as asked.
#[derive(Debug, Clone, PartialEq)]
pub struct CoverAsk {
    /// Weight per true area \[N/m²\].
    pub weight: f64,
    /// Where the value comes from.
    pub source: Option<String>,
}

/// Everything asked of the loads.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadsAsk {
    /// Basis.
    pub basis: Basis,
    /// Cover, or why there is none.
    pub cover: Given<CoverAsk>,
    /// Snow, or why it is left out.
    pub snow: Given<SnowAsk>,
    /// Wind, or why it is left out.
    pub wind: Given<WindAsk>,
}
