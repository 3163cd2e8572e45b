//! One drawing of the shell: a view of it, and what is shown on it.
//!
//! Width and dash carry the meaning as well as colour, so a drawing reads in black and white.

mod crowd;
mod label;
mod layers;
mod legend;
mod moved;
mod paint;
mod scene;
mod view;

use crate::assess::results::Assessment;
use crate::report::picture::{Anchor, Picture, Words, tint::Tint};
use crate::report::show::{Show, capital, tame};

use layers::Layers;
use legend::Legend;
use scene::Scene;
use view::{Fit, Flat, Room};

/// From where the shell is seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum View {
    /// From above, x to the right.
    Plan,
    /// Along the shell, from its far end in x: y to the right, z up.
    End,
    /// Across the shell: x to the right, z up.
    Side,
    /// From above one corner, without perspective.
    Isometric,
    /// The surface laid out flat: a vault about its length, a dome about its crown.
    Unrolled,
    /// Plan, end, side and isometric on one sheet; the first three to one scale.
    Sheet,
}

impl View {
    /// Every view with the word for it on the command line.
    pub const ALL: [(&'static str, Self); 6] = [
        ("plan", Self::Plan),
        ("end", Self::End),
        ("side", Self::Side),
        ("isometric", Self::Isometric),
        ("unrolled", Self::Unrolled),
        ("sheet", Self::Sheet),
    ];

    fn words(self) -> &'static str {
        match self {
            Self::Plan => "plan",
            Self::End => "end elevation, seen along the shell",
            Self::Side => "side elevation",
            Self::Isometric => "isometric view",
            Self::Unrolled => "surface laid flat",
            Self::Sheet => "plan, elevations and isometric view",
        }
    }
}

impl std::str::FromStr for View {
    type Err = DrawError;

    fn from_str(text: &str) -> Result<Self, DrawError> {
        Self::ALL.iter().find(|(word, _)| *word == text).map(|(_, view)| *view).ok_or_else(|| {
            let known: Vec<&str> = Self::ALL.iter().map(|(word, _)| *word).collect();
            DrawError::Unknown { what: "view", given: tame(text, 40), known: known.join(", ") }
        })
    }
}

/// What is shown on the shell.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Shown {
    /// The shape with its dimensions.
    Shape,
    /// How hard each timber is worked.
    Utilisation,
    /// Axial force.
    Axial,
    /// Bending moment out of the surface.
    Moment,
    /// One load case, by name.
    Case(String),
    /// Movement under service load.
    Sag,
    /// Lowest buckling shape.
    Buckling,
    /// A mechanism.
    Mechanism,
    /// What the feet are to hold.
    Reactions,
    /// Ridge seams, valley seams and rims.
    Seams,
    /// Kinds of panel.
    Panels,
    /// Names of joints and members.
    Ids,
}

impl Shown {
    /// The words on the command line; `case:NAME` takes a case's name.
    pub const WORDS: &'static str = "shape, utilisation, axial, moment, case:NAME, sag, buckling, mechanism, reactions, seams, panels, ids";
}

impl std::str::FromStr for Shown {
    type Err = DrawError;

    fn from_str(text: &str) -> Result<Self, DrawError> {
        if let Some(name) = text.strip_prefix("case:") {
            return Ok(Self::Case(name.to_owned()));
        }
        Ok(match text {
            "shape" => Self::Shape,
            "utilisation" => Self::Utilisation,
            "axial" => Self::Axial,
            "moment" => Self::Moment,
            "sag" => Self::Sag,
            "buckling" => Self::Buckling,
            "mechanism" => Self::Mechanism,
            "reactions" => Self::Reactions,
            "seams" => Self::Seams,
            "panels" => Self::Panels,
            "ids" => Self::Ids,
            _ => {
                return Err(DrawError::Unknown {
                    what: "thing to show",
                    given: tame(text, 40),
                    known: Self::WORDS.to_owned(),
                });
            }
        })
    }
}

/// What to draw, and how large.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawOptions {
    /// From where.
    pub view: View,
    /// What.
    pub show: Shown,
    /// Of which joint model; `None` is the one that the verdict is taken from, or the first that has
    /// what is to be shown.
    pub model: Option<String>,
    /// Width of the picture.
    pub width: f64,
    /// Height of the picture.
    pub height: f64,
}

impl Default for DrawOptions {
    fn default() -> Self {
        Self { view: View::Isometric, show: Shown::Utilisation, model: None, width: 960.0, height: 720.0 }
    }
}

/// Why a drawing could not be made.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum DrawError {
    /// A word that is none of those known.
    #[error("`{given}` is no {what}{}; there are: {known}", meant(given, known))]
    Unknown {
        /// "view", "load case", …
        what: &'static str,
        /// As given.
        given: String,
        /// Those that there are.
        known: String,
    },
    /// The result holds nothing of the kind.
    #[error("{what} cannot be drawn: {why}")]
    Nothing {
        /// "a mechanism", …
        what: &'static str,
        /// Why.
        why: String,
    },
}

/// The nearest of the words that there are, where one is near.
fn meant(given: &str, known: &str) -> String {
    // Names of cases have commas of their own.
    let known = known.split(if known.contains("; ") { "; " } else { ", " });
    let near = crate::tables::near(given, known);
    near.first().map_or_else(String::new, |near| format!("; did you mean `{near}`"))
}

/// The height of a picture so wide that the surface laid flat fills it, between a least and a greatest.
pub(crate) fn height_laid_flat(assessment: &Assessment, width: f64, [least, most]: [f64; 2]) -> f64 {
    /// What stands above, below and beside the surface.
    const ROUND: [f64; 2] = [64.0, 150.0];
    let flat = Flat::new(&Scene::new(assessment), View::Unrolled, None);
    let [wide, tall] = flat.extent();
    let share = if wide > view::UPRIGHT * tall && most > width { wide / tall } else { tall / wide };
    let wanted = (width - ROUND[0]) * share + ROUND[1];
    if wanted.is_finite() { wanted.clamp(least, most).round() } else { least }
}

/// Draws one picture from the results.
///
/// # Errors
/// [`DrawError`] where the case or model is not known, or the results hold nothing of the kind.
pub fn draw(assessment: &Assessment, options: &DrawOptions) -> Result<Picture, DrawError> {
    if let Some(name) = &options.model
        && !assessment.models.iter().any(|model| &model.name == name)
    {
        let known: Vec<&str> = assessment.models.iter().map(|model| model.name.as_str()).collect();
        let given = tame(name, 40);
        return Err(DrawError::Unknown {
            what: "joint model of this project",
            given,
            known: known.join(", "),
        });
    }
    let scene = Scene::new(assessment);
    let show = Show::new(&assessment.units);
    let layers = Layers::choose(&scene, show, options)?;
    let name = tame(&assessment.project, 60);
    let mut picture = Picture::new(options.width, options.height, &format!("{name}: {}", layers.title));
    picture.description =
        format!("{}, {}. {}", capital(options.view.words()), layers.title, layers.description);

    let (width, height) = (options.width, options.height);
    let mut heading = words([20.0, 30.0], &capital(&layers.title), 17.0);
    heading.bold = true;
    picture.words(heading);
    let mut sub = words([20.0, 48.0], &format!("{name} · {}", options.view.words()), 11.5);
    sub.tint = Tint::Soft;
    picture.words(sub);
    let mut y = 48.0;
    for line in crate::report::font::wrap(&layers.note, 11.5, false, width - 40.0).into_iter().take(3) {
        if !line.is_empty() {
            y += 16.0;
            let mut note = words([20.0, y], &line, 11.5);
            note.tint = Tint::Soft;
            picture.words(note);
        }
    }
    let legend = Legend { entries: layers.legend.clone() };
    let below = legend.draw(&mut picture, width, height - 30.0);
    let mut foot = words([width - 20.0, height - 10.0], "Indicative only", 10.0);
    foot.anchor = Anchor::End;
    foot.tint = Tint::Soft;
    picture.words(foot);

    let room = Room { x: 20.0, y: y + 14.0, width: width - 40.0, height: below - y - 24.0 };
    if options.view == View::Sheet {
        sheet(&mut picture, &scene, &layers, room, show);
    } else {
        let mut flat = Flat::new(&scene, options.view, layers.moved.as_deref());
        if room.height > room.width {
            flat.fill_upright();
        }
        let above_bar = Room { height: (room.height - 40.0).max(20.0), ..room };
        let inner = above_bar.inset(layers.margin(options.view).min(0.14 * above_bar.height));
        // Where the shell is drawn moved, the shell as built has to stay on the page as well.
        let points = if layers.moved.is_some() {
            [&flat.points[..], &flat.still].concat()
        } else {
            flat.points.clone()
        };
        let mut fit = Fit::into(&points, inner);
        // What stands beside the shell has to stay on the page: a narrower shell has no wider labels.
        let beside = layers.beside(&scene, &flat, fit.scale).min(0.4 * above_bar.width);
        let edge = beside - (inner.x - above_bar.x);
        if edge > 0.0 {
            fit = Fit::into(&points, Room { x: inner.x + edge, width: inner.width - 2.0 * edge, ..inner });
        }
        let left_out = layers.paint(&mut picture, &scene, (&flat, &fit), options.view, above_bar);
        // A curved surface laid flat keeps no lengths: a bar would lie.
        let end = if options.view == View::Unrolled {
            let at = [room.x + 6.0, room.y + room.height - 17.0];
            picture.words(words(at, "not to scale", 10.5));
            at[0] + crate::report::font::width("not to scale", 10.5, false)
        } else {
            layers.scale_bar(&mut picture, &fit, room, show)
        };
        let mark = [end + 36.0, room.y + room.height - 18.0];
        paint::axes_mark(&mut picture, &flat, mark, 18.0);
        if left_out > 0 {
            let s = if left_out == 1 { "label has" } else { "labels have" };
            let said = format!("{left_out} {s} no room here: see the tables");
            picture.words(words([mark[0] + 48.0, mark[1] + 1.0], &said, 10.5));
        }
    }
    Ok(picture)
}

/// Plan, side and end to one scale, as on a drawing board, and the isometric in the last quarter.
fn sheet(picture: &mut Picture, scene: &Scene<'_>, layers: &Layers<'_>, room: Room, show: Show) {
    // Rows as tall as what stands in them: the rise above, the span below.
    let size = &scene.results.size;
    let share = ((size.rise + 0.8) / (size.rise + size.span + 1.6)).clamp(0.3, 0.55);
    let top = room.height * if share.is_finite() { share } else { 0.5 };
    let half = |i: f64, j: f64| Room {
        x: room.x + i * room.width / 2.0,
        y: room.y + j * top,
        width: room.width / 2.0,
        height: if j > 0.0 { room.height - top } else { top },
    };
    let places = [
        (View::Side, half(0.0, 0.0)),
        (View::End, half(1.0, 0.0)),
        (View::Plan, half(0.0, 1.0)),
        (View::Isometric, half(1.0, 1.0)),
    ];
    let flats: Vec<Flat> =
        places.iter().map(|(view, _)| Flat::new(scene, *view, layers.moved.as_deref())).collect();
    let fits: Vec<Fit> = flats
        .iter()
        .zip(&places)
        .map(|(flat, (view, place))| {
            let inner = place.inset(layers.margin(*view) + 8.0);
            // Under each stand its name and its axes.
            Fit::into(&flat.points, Room { height: (inner.height - 22.0).max(20.0), ..inner })
        })
        .collect();
    let common = fits.iter().take(3).map(|fit| fit.scale).fold(f64::INFINITY, f64::min);
    for ((flat, fit), (view, place)) in flats.iter().zip(fits).zip(places) {
        let fit = if view == View::Isometric { fit } else { fit.rescaled(common) };
        layers.paint(picture, scene, (flat, &fit), view, place);
        let named = capital(view.words());
        let mut caption = words([place.x + 4.0, place.y + place.height - 4.0], &named, 10.5);
        caption.tint = Tint::Soft;
        caption.haloed = true;
        picture.words(caption);
        let beside = place.x + crate::report::font::width(&named, 10.5, false) + 34.0;
        paint::axes_mark(picture, flat, [beside, place.y + place.height - 6.0], 14.0);
        if view == View::Plan {
            let bar = Room { x: place.x + place.width * 0.55, ..place };
            layers.scale_bar(picture, &fit, bar, show);
        }
    }
}

/// Plain ink text that begins at a point.
fn words(at: [f64; 2], text: &str, size: f64) -> Words {
    Words {
        at,
        text: text.to_owned(),
        size,
        bold: false,
        tint: Tint::Ink,
        anchor: Anchor::Start,
        turned: false,
        haloed: false,
    }
}

#[cfg(test)]
mod golden;
#[cfg(test)]
mod tests;
