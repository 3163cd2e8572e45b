//! Where the first fixing of a seam stands, and how much of the strip the mitre at its end takes.

use crate::rules::ask::{FixingKind, FixingsAsk};
use crate::rules::spacing::Strip;

/// How far the shorter side of a strip falls short of the joint, in breadths, at corners of 60° and wider: the mitre of a 60°
/// corner cuts it by b / tan 30° (geometry).
pub const MITRE: f64 = 1.732;

/// A corner no sharper than 60° \[rad\], where it is not known which.
pub const WIDE: f64 = std::f64::consts::FRAC_PI_2;

/// How far the shorter side of a strip falls short of the joint \[m\]: a corner α cuts it by b / tan(α/2), and by no less than one
/// of 60° is taken to.
#[must_use]
pub fn mitre(strip: &Strip) -> f64 {
    strip.breadth * (0.5 * strip.corner).tan().recip().max(MITRE)
}

/// What is left clear of a strip's end and between fixings where nobody said where they stand, in diameters, and the least end \[m\]: as
/// much as any direction of shear asks for (EN 1995-1-1 Table 8.4: 7d and 80 mm, 5d; driven screws of Table 8.2: 15d, 12d). The NDS asks for no more
/// (Table 12.5.1A, B).
const CLEAR_BOLT: [f64; 3] = [7.0, 5.0, 0.08];
/// See [`CLEAR_BOLT`].
const CLEAR_SCREW: [f64; 3] = [15.0, 12.0, 0.0];

/// From the joint to the first fixing \[m\]: as entered; else half a spacing of fixings that are spread evenly, or as much further as its end
/// distance wants where the others then still stand far enough apart; a lone one stands in the
/// middle. What is entered is for corners of 60° and wider: where a corner is sharper, its mitre takes wood away, and the fixing stands as
/// much further as it does (own reading).
#[must_use]
pub fn first(fixings: &FixingsAsk, strip: &Strip) -> f64 {
    let n = fixings.per_seam.max(1) as f64;
    let even = strip.length / (2.0 * n);
    match fixings.end {
        _ if fixings.per_seam <= 1 => even,
        Some(end) => end + mitre(strip) - MITRE * strip.breadth,
        None => {
            let [end, apart, least] =
                if fixings.kind == FixingKind::Screw { CLEAR_SCREW } else { CLEAR_BOLT };
            let clear = mitre(strip) + (end * fixings.diameter).max(least);
            let most = 0.5 * (strip.length - (n - 1.0) * apart * fixings.diameter);
            if clear <= most { even.max(clear) } else { even }
        }
    }
}
