//! What there is to cut and to put together: kinds of strip and of panel, and where the fixings of the seams stand.

use schemars::JsonSchema;
use serde::Serialize;

/// A kind of strip to cut.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct TimberKind {
    /// "T1", …
    pub id: String,
    /// Along its seam side on the outside face \[m\]: between joints, and of what lies further inside a panel so much less as
    /// the mitres take.
    pub length: f64,
    /// b × d \[m\].
    pub section: [f64; 2],
    /// Half the fold angle, to which its seam side is ripped, from square: positive ridge (the outside face is the wide one),
    /// negative valley (the inside face is).
    pub bevel_deg: f64,
    /// End cuts, sharper and blunter end: the angle between the cut and the length of the strip, half the panel's corner; 90 is a
    /// square end.
    pub end_cuts_deg: [f64; 2],
    /// "left", "right" or "either". Laid with its outside face up and its seam side towards you, a left one has its sharper end on
    /// the left; the right one is its mirror image.
    pub hand: String,
    /// How many.
    pub count: usize,
    /// Mass of one \[kg\].
    pub mass: f64,
    /// From long point to long point on its wide face \[m\]: of a valley strip that is the inside face, and longer than `length`.
    pub long_point: f64,
    /// How far it runs past the seam side of a neighbour in its panel on the inside face, and is trimmed there: the most at any
    /// end of any such strip, square to the neighbour's side \[m\]; 0 where it does not.
    pub trim_inside: f64,
    /// What to note: "trim on the inside where it runs past its neighbour".
    pub note: String,
}

/// The fixings of seams of one length in which they stand alike.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct SeamFixings {
    /// Between joints \[m\].
    pub length: f64,
    /// How many such seams there are.
    pub seams: usize,
    /// Where the fixings of one stand, from a joint \[m\]: the same from either end.
    pub places: Vec<f64>,
    /// The sharpest corner of a panel in which such a seam ends: the sharper, the further stands the first fixing.
    pub corner_deg: f64,
    /// Which seams they are.
    pub members: Vec<String>,
}

/// A kind of panel: of one shape, bevels and strips.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct PanelKind {
    /// "P1", …
    pub id: String,
    /// Side lengths, anticlockwise seen from outside \[m\].
    pub sides: Vec<f64>,
    /// "left", "right" or "either"; a right one is the mirror image of a left one.
    pub hand: String,
    /// How many.
    pub count: usize,
    /// Mass of frame and cover \[kg\], the strips from joint to joint before their mitres are cut.
    pub mass: f64,
    /// The sides one by one, in the order of `sides`.
    pub around: Vec<PanelSide>,
    /// "two people to lift".
    pub note: String,
}

/// One side of a kind of panel.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct PanelSide {
    /// Kinds of its strips in `timbers`, from the edge inward; empty where the neighbour's timber serves both.
    pub strips: Vec<String>,
    /// Between joints \[m\].
    pub length: f64,
    /// To which its first strip is ripped: positive ridge, negative valley.
    pub bevel_deg: f64,
    /// The panel's corner between the side before and this one.
    pub corner_deg: f64,
}
