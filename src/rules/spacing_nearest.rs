//! What to do about a fixing that does not fit its strip: the nearest that would.

use crate::rules::ask::{FixingKind, FixingsAsk};
use crate::rules::spacing::{Distance, Shear, Standard, Strip, distances, fits, hole_wanted, printed};
use crate::units::{Kind, Show, System, a_or_an};

/// Diameters in common sale, smallest first \[m\]: metric bolts and coach screws, metric screws, inch bolts and
/// lag screws, inch wood screws No. 6 to 14 (common practice, no source).
fn sizes(kind: FixingKind, standard: Standard) -> Vec<f64> {
    use crate::units::{INCH, MILLIMETRE};
    match (standard, kind) {
        (Standard::Eurocode5, FixingKind::Screw) => {
            [4.0, 4.5, 5.0, 6.0, 8.0, 10.0].iter().map(|d| d * MILLIMETRE).collect()
        }
        (Standard::Eurocode5, _) => [6.0, 8.0, 10.0, 12.0, 16.0].iter().map(|d| d * MILLIMETRE).collect(),
        (Standard::Nds, FixingKind::Screw) => printed().wood_screws.iter().map(|row| row.0 * INCH).collect(),
        (Standard::Nds, _) => printed().lag_screws.iter().map(|row| row.0 * INCH).collect(),
    }
}

fn noun(kind: FixingKind) -> &'static str {
    match kind {
        FixingKind::Bolt => "bolt",
        FixingKind::Screw => "screw",
        FixingKind::CoachScrew => "coach screw",
    }
}

/// The same fixings of a smaller diameter, root and washer in proportion, the washer no smaller than allowed.
fn thinned(fixings: &FixingsAsk, diameter: f64) -> FixingsAsk {
    let scale = diameter / fixings.diameter;
    FixingsAsk {
        diameter,
        root: fixings.root.map(|root| root * scale),
        washer: fixings.washer.map(|washer| (washer * scale).max(3.0 * diameter)),
        ..*fixings
    }
}

/// The thickest fixing in common sale, no thicker than the one asked for, that keeps every distance. Its washer is
/// the one asked for, or the least allowed.
#[must_use]
pub fn nearest_that_fits(
    fixings: &FixingsAsk,
    strip: &Strip,
    standard: Standard,
    shear: impl Into<Shear>,
) -> Option<f64> {
    let shear = shear.into();
    sizes(fixings.kind, standard)
        .into_iter()
        .rev()
        .filter(|d| *d < fixings.diameter)
        .find(|&diameter| fits(&thinned(fixings, diameter), strip, standard, shear))
}

/// In a sentence, where a fixing does not fit: what is short, and the nearest that would do. Sizes in `units`.
#[must_use]
pub fn why_not(
    fixings: &FixingsAsk,
    strip: &Strip,
    standard: Standard,
    shear: impl Into<Shear>,
    units: System,
) -> Option<String> {
    let shear = shear.into();
    let size = |metres: f64| Show::new(units).text(Kind::Size, metres);
    let noun = noun(fixings.kind);
    let worst = distances(fixings, strip, standard, shear)
        .into_iter()
        .filter(|d| d.utilisation() > 1.0 + 1e-9)
        .max_by(|a, b| a.utilisation().total_cmp(&b.utilisation()));
    let Some(worst) = worst else {
        let why = hole_wanted(fixings, strip).filter(|_| standard == Standard::Eurocode5)?;
        return Some(format!(
            "{} screw wants a drilled hole {why} (EN 1995-1-1 10.4.5): drill and set fixings.predrilled, or enter \
             the maker's declared withdrawal and drive it by the maker's assessment",
            one(size(fixings.diameter))
        ));
    };
    let none_thinner = format!("no thinner {noun} in common sale would do");
    let middle = FixingsAsk { lever: strip.depth / 2.0, ..*fixings };
    let remedy = if let Some(d) = nearest_that_fits(fixings, strip, standard, shear) {
        format!("{} {noun} would do", one(size(d)))
    } else if fits(&middle, strip, standard, shear) {
        format!("{none_thinner}; at mid-depth, {} from either face, it would fit", size(middle.lever))
    } else if let Some(depth) = depth_that_fits(fixings, strip, standard, shear) {
        format!("{none_thinner}; a strip {} deep with the {noun} at mid-depth would", size(depth))
    } else {
        none_thinner
    };
    Some(format!(
        "{} {noun} does not fit a strip of {}: {}; {remedy}",
        one(size(fixings.diameter)),
        Show::new(units).sizes(strip.breadth, strip.depth),
        short_of(&worst, units),
    ))
}

/// "an 8 mm", "a 10 mm".
fn one(size: String) -> String {
    format!("{} {size}", a_or_an(&size))
}

/// "edge distance of the fixings is 20 mm and 24 mm is wanted (EN 1995-1-1 Table 8.4)".
fn short_of(distance: &Distance, units: System) -> String {
    let size = |metres: f64| Show::new(units).text(Kind::Size, metres);
    let there = size(distance.there.max(0.0));
    format!("{} is {there} and {} is wanted ({})", distance.rule, size(distance.wanted), distance.clause)
}

/// What to do about a fixing that [`outside`] tells of.
pub const OUTSIDE_HELP: &str = "take a thinner fixing or a deeper strip, or give as lever the distance from the fixing to \
                                the nearer face, about half of the depth";

/// Why a fixing cannot stand in a strip whatever its seam is asked for: its edge distance, or its washer hanging over the
/// face; `None` where it can.
#[must_use]
pub fn outside(fixings: &FixingsAsk, strip: &Strip, standard: Standard, units: System) -> Option<String> {
    let short = |fixings: &FixingsAsk, strip: &Strip| {
        let idle = Shear { angle_deg: 0.0, any: false, pulled: false };
        let [edge, _, _, _, washer, ..] = distances(fixings, strip, standard, idle);
        let worse = if washer.utilisation() > edge.utilisation() { washer } else { edge };
        (worse.utilisation() > 1.0 + 1e-9).then_some(worse)
    };
    let worst = short(fixings, strip)?;
    let size = |metres: f64| Show::new(units).text(Kind::Size, metres);
    let noun = noun(fixings.kind);
    let middle = |fixings: &FixingsAsk, depth: f64| FixingsAsk { lever: depth / 2.0, ..*fixings };
    let thinner = || {
        sizes(fixings.kind, standard)
            .into_iter()
            .rev()
            .find(|&d| d < fixings.diameter && short(&thinned(fixings, d), strip).is_none())
    };
    let deeper =
        || depths(strip).find(|&depth| short(&middle(fixings, depth), &Strip { depth, ..*strip }).is_none());
    let remedy = if short(&middle(fixings, strip.depth), strip).is_none() {
        format!("at mid-depth, {} from either face, it would fit", size(strip.depth / 2.0))
    } else if let Some(d) = thinner() {
        format!("{} {noun} would do", one(size(d)))
    } else if let Some(depth) = deeper() {
        format!("a strip {} deep with the {noun} at mid-depth would do", size(depth))
    } else {
        format!("no thinner {noun} in common sale would do")
    };
    Some(format!(
        "of {} {noun} in a strip of {} the {}; {remedy}",
        one(size(fixings.diameter)),
        Show::new(units).sizes(strip.breadth, strip.depth),
        short_of(&worst, units),
    ))
}

/// Depths above a strip's, in steps of 5 mm up to 300 \[m\].
fn depths(strip: &Strip) -> impl Iterator<Item = f64> + use<> {
    let depth = strip.depth;
    (4..=60).map(|i| f64::from(i) * 0.005).filter(move |more| *more > depth)
}

/// The least depth above the strip's own, in steps of 5 mm up to 300, that lets the fixing fit at mid-depth.
#[must_use]
pub fn depth_that_fits(
    fixings: &FixingsAsk,
    strip: &Strip,
    standard: Standard,
    shear: impl Into<Shear>,
) -> Option<f64> {
    let shear = shear.into();
    depths(strip).find(|&depth| {
        let middle = FixingsAsk { lever: depth / 2.0, ..*fixings };
        fits(&middle, &Strip { depth, ..*strip }, standard, shear)
    })
}

#[cfg(test)]
#[path = "spacing_nearest_tests.rs"]
mod tests;
