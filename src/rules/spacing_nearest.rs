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

/// A change that would let a fixing fit, in figures as they are printed, so that what is read is what was tried.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Advice {
    /// A thinner fixing; a washer of its own where the one asked for is too wide.
    Thinner {
        /// Its diameter \[m\].
        diameter: f64,
        /// Washer to go with it \[m\]; `None`: as asked for.
        washer: Option<f64>,
    },
    /// The fixing at mid-depth.
    Middle {
        /// Distance from either face \[m\].
        lever: f64,
    },
    /// A deeper strip, the fixing at mid-depth.
    Deeper {
        /// Depth of the strip \[m\].
        depth: f64,
    },
}

impl Advice {
    /// Fixings and strip with the advice taken.
    #[must_use]
    pub fn taken(&self, fixings: &FixingsAsk, strip: &Strip) -> (FixingsAsk, Strip) {
        match *self {
            Self::Thinner { diameter, washer } => {
                let root = fixings.root.map(|root| root * diameter / fixings.diameter);
                (FixingsAsk { diameter, root, washer: washer.or(fixings.washer), ..*fixings }, *strip)
            }
            Self::Middle { lever } => (FixingsAsk { lever, ..*fixings }, *strip),
            Self::Deeper { depth } => {
                (FixingsAsk { lever: depth / 2.0, ..*fixings }, Strip { depth, ..*strip })
            }
        }
    }

    /// "an 8 mm bolt would do", up to what it is said under.
    fn words(&self, noun: &str, units: System) -> String {
        let size = |metres: f64| Show::new(units).text(Kind::Size, metres);
        match *self {
            Self::Thinner { .. } => format!("{} would do", self.fixing(noun, units)),
            Self::Middle { lever } => format!("at mid-depth, {} from either face, it would fit", size(lever)),
            Self::Deeper { depth } => {
                format!("a strip {} deep with the {noun} at mid-depth would do", size(depth))
            }
        }
    }

    /// "an 8 mm bolt with a washer of 24 mm"; the noun alone where the fixing stays what it is.
    fn fixing(&self, noun: &str, units: System) -> String {
        let size = |metres: f64| Show::new(units).text(Kind::Size, metres);
        match *self {
            Self::Thinner { diameter, washer: None } => format!("{} {noun}", one(size(diameter))),
            Self::Thinner { diameter, washer: Some(washer) } => {
                format!("{} {noun} with a washer of {}", one(size(diameter)), size(washer))
            }
            _ => noun.to_owned(),
        }
    }
}

/// Edges are wanted widest for a force across the grain, ends for a pull along it (which counts at any angle).
const WIDEST: Shear = Shear { angle_deg: 90.0, any: true, pulled: true };

/// Where a fixing is asked to fit.
#[derive(Clone, Copy)]
struct Seam<'a> {
    fixings: &'a FixingsAsk,
    strip: &'a Strip,
    standard: Standard,
    shear: Shear,
    units: System,
}

impl Seam<'_> {
    /// The advice where it does let the fixing fit.
    fn tried(&self, advice: Advice) -> Option<Advice> {
        let (fixings, strip) = advice.taken(self.fixings, self.strip);
        fits(&fixings, &strip, self.standard, self.shear).then_some(advice)
    }

    /// A length as it is printed, and so as it would be entered.
    fn entered(&self, metres: f64) -> f64 {
        let text = Show::new(self.units).text(Kind::Size, metres);
        crate::units::parse(&text, crate::units::Dimension::Length).unwrap_or(metres)
    }

    /// The thickest fixing in common sale, thinner than the one asked for, that keeps every distance: with the washer
    /// asked for, or the least allowed.
    fn thinner(&self) -> Option<Advice> {
        let thinner = sizes(self.fixings.kind, self.standard).into_iter().rev();
        thinner.map(|d| self.entered(d)).filter(|d| *d < self.fixings.diameter).find_map(|diameter| {
            let washers = [None, self.fixings.washer.map(|_| self.entered(3.0 * diameter))];
            let tried = |washer| self.tried(Advice::Thinner { diameter, washer });
            tried(washers[0]).or_else(|| washers[1].and_then(|least| tried(Some(least))))
        })
    }

    fn middle(&self) -> Option<Advice> {
        self.tried(Advice::Middle { lever: self.entered(self.strip.depth / 2.0) })
    }

    /// The least depth above the strip's own, in steps of 5 mm up to 300, that lets the fixing fit at mid-depth.
    fn deeper(&self) -> Option<Advice> {
        depths(self.strip).find_map(|depth| self.tried(Advice::Deeper { depth: self.entered(depth) }))
    }
}

/// What forces the sentence is about where advice does not hold for all of them.
fn under(shear: Shear) -> &'static str {
    if shear.angle_deg.abs() < 1e-9 { "where forces run along the grain" } else { "as it is sheared here" }
}

/// Advice in a sentence: what holds whichever way the fixing is sheared, and what more holds as `seam` says.
fn told<'a>(seam: &Seam<'a>, of: impl Fn(&Seam<'a>) -> Option<Advice>) -> Option<String> {
    let noun = noun(seam.fixings.kind);
    let here = of(seam)?;
    let words = here.words(noun, seam.units);
    let any = of(&Seam { shear: WIDEST, ..*seam });
    Some(match any {
        Some(any) if any == here => words,
        Some(any) => {
            format!("{words} {}, {} whichever way they run", under(seam.shear), any.fixing(noun, seam.units))
        }
        None => format!("{words} {}", under(seam.shear)),
    })
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
    // What fits as this one is sheared may not fit as the next one is.
    let seam = Seam { fixings, strip, standard, shear, units };
    let remedy = told(&seam, Seam::thinner).unwrap_or_else(|| {
        let none_thinner = format!("no thinner {noun} in common sale would do");
        match told(&seam, Seam::middle).or_else(|| told(&Seam { shear: WIDEST, ..seam }, Seam::deeper)) {
            Some(words) => format!("{none_thinner}; {words}"),
            None => none_thinner,
        }
    });
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

/// Why a fixing cannot stand in a strip whatever its seam is asked for, even a flat one: its edge distance, or its washer
/// hanging over the face; `None` where it can. `strip` has the sharpest fold of the shell: what is advised fits there too.
#[must_use]
pub fn outside(fixings: &FixingsAsk, strip: &Strip, standard: Standard, units: System) -> Option<String> {
    let idle = Shear { angle_deg: 0.0, any: false, pulled: false };
    let flat = Strip { fold: 0.0, ..*strip };
    let [edge, _, _, _, washer, ..] = distances(fixings, &flat, standard, idle);
    let worst = if washer.utilisation() > edge.utilisation() { washer } else { edge };
    if worst.utilisation() <= 1.0 + 1e-9 {
        return None;
    }
    let noun = noun(fixings.kind);
    let along = Seam { fixings, strip, standard, shear: Shear::from(0.0), units };
    let remedy = told(&along, Seam::middle)
        .or_else(|| told(&along, Seam::thinner))
        .or_else(|| told(&Seam { shear: WIDEST, ..along }, Seam::deeper));
    Some(format!(
        "of {} {noun} in a strip of {} the {}{}",
        one(Show::new(units).text(Kind::Size, fixings.diameter)),
        Show::new(units).sizes(strip.breadth, strip.depth),
        short_of(&worst, units),
        remedy.map_or_else(String::new, |words| format!("; {words}")),
    ))
}

/// Depths above a strip's, in steps of 5 mm up to 300 \[m\].
fn depths(strip: &Strip) -> impl Iterator<Item = f64> + use<> {
    let depth = strip.depth;
    (4..=60).map(|i| f64::from(i) * 0.005).filter(move |more| *more > depth)
}

#[cfg(test)]
#[path = "spacing_nearest_tests.rs"]
mod tests;
