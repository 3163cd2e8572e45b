//! One drawing of the shell: a view of it, and what is shown on it.
//!
//! Width and dash carry the meaning as well as colour, so a drawing reads in black and white.

mod choices;
mod crowd;
mod ends;
mod hidden;
mod label;
mod layers;
mod leader;
mod legend;
mod moved;
mod paint;
mod parts;
mod scene;
mod sheet;
mod view;

use crate::assess::results::Assessment;
use crate::report::picture::{Anchor, Picture, Words, tint::Tint};
use crate::report::show::{Printer, capital, tame};

use layers::Layers;
use legend::Legend;
use paint::Seen;
use scene::Scene;
use sheet::Board;
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

/// As wide and as high as A4 on its side between margins of 10 mm, with the smallest text at 6 points: what has to be
/// as large as paper allows is drawn on it.
const PAPER: [f64; 2] = [1200.0, 823.0];
/// Lines of what is said over a drawing. A mechanism and what would stop it takes five at the width of the notes.
const MOST_NOTE: usize = 8;
/// More names than this want [`PAPER`].
const MANY_NAMES: usize = 120;

impl DrawOptions {
    /// The options for a drawing of its own, on a larger sheet where it shows four views or many names.
    #[must_use]
    pub fn of_its_own(assessment: &Assessment, view: View, show: Shown, model: Option<String>) -> Self {
        let names = assessment.joints.len() + assessment.members.len();
        let many = show == Shown::Ids && names > MANY_NAMES;
        let usual = Self::default();
        let [width, height] = if view == View::Sheet || many { PAPER } else { [usual.width, usual.height] };
        Self { view, show, model, width, height }
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
    let room = [width - AROUND_FLAT[0], most - AROUND_FLAT[1]];
    let flat = Flat::laid(&Scene::new(assessment), room);
    let [wide, tall] = flat.extent();
    let under = if flat.captions.is_empty() { 0.0 } else { ends::CAPTION };
    let wanted = room[0] * tall / wide + AROUND_FLAT[1] + under;
    if wanted.is_finite() { wanted.clamp(least, most).round() } else { least }
}

/// What stands beside a surface laid flat, and above and below it.
const AROUND_FLAT: [f64; 2] = [64.0, 150.0];

/// The height of a picture so wide in which the views of a sheet are as large as they can be, between a least and a
/// greatest.
pub(crate) fn height_of_sheet(assessment: &Assessment, width: f64, between: [f64; 2]) -> f64 {
    let scene = Scene::new(assessment);
    Board::new(&scene, &Layers::shape(&scene)).height(width, between)
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
    let show = Printer::new(&assessment.units);
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
    for line in crate::report::font::wrap(&layers.note, 11.5, false, width - 40.0).into_iter().take(MOST_NOTE)
    {
        if !line.is_empty() {
            y += 16.0;
            let mut note = words([20.0, y], &line, 11.5);
            note.tint = Tint::Soft;
            picture.words(note);
        }
    }
    let legend = Legend { entries: layers.legend.clone() };
    let below = legend.draw(&mut picture, width, height - 30.0);
    let room = Room { x: 20.0, y: y + 14.0, width: width - 40.0, height: below - y - 24.0 };
    if options.view == View::Sheet {
        let untold = Board::new(&scene, &layers).paint(&mut picture, &scene, &layers, room, show);
        if let Some(said) = untold.words() {
            picture.words(words([20.0, height - 10.0], &said, 10.5));
        }
    } else {
        one_view(&mut picture, &scene, &layers, options.view, room);
    }
    picture.caution([width - 20.0, height - 10.0], "");
    Ok(picture)
}

/// One view in the whole of the room.
fn one_view(picture: &mut Picture, scene: &Scene<'_>, layers: &Layers<'_>, view: View, room: Room) {
    let show = Printer::new(&scene.results.units);
    let mut above_bar = Room { height: (room.height - 40.0).max(20.0), ..room };
    let flat = match view {
        View::Unrolled => Flat::laid(scene, [above_bar.width, above_bar.height]),
        _ => Flat::new(scene, view, layers.moved.as_deref()),
    };
    if !flat.captions.is_empty() {
        // The lowest of them stand under what is fitted into the room.
        above_bar.height = (above_bar.height - ends::CAPTION).max(20.0);
    }
    let inner = above_bar.inset(layers.margin(view).min(0.14 * above_bar.height));
    // Where the shell is drawn moved, the shell as built has to stay on the page as well.
    let points =
        if layers.moved.is_some() { [&flat.points[..], &flat.still].concat() } else { flat.points.clone() };
    let mut fit = Fit::into(&points, inner);
    // What stands beside the shell has to stay on the page: a narrower shell has no wider labels.
    let beside = layers.beside(&flat, fit.scale, picture.width).min(0.4 * above_bar.width);
    let edge = beside - (inner.x - above_bar.x);
    if edge > 0.0 {
        fit = Fit::into(&points, Room { x: inner.x + edge, width: inner.width - 2.0 * edge, ..inner });
    }
    let dimensions = layers.dimensions && !matches!(view, View::Isometric | View::Unrolled);
    let seen = Seen { flat: &flat, fit: &fit, view, room: above_bar, dimensions: [dimensions; 2] };
    let untold = layers.paint(picture, scene, &seen);
    let end = if view == View::Unrolled {
        // A curved surface laid flat keeps no lengths: a bar would lie. Framed ends are flat as they stand.
        let said = if flat.captions.is_empty() { "not to scale" } else { "the surface is not to scale" };
        let start = if flat.captions.is_empty() {
            room.x + 6.0
        } else {
            let part = Room { width: 0.5 * room.width, ..room };
            let end = layers.scale_bar(picture, &fit, part, show);
            let framed = words([end + 6.0, room.y + room.height - 17.0], "in the framed ends;", 10.5);
            picture.words(framed);
            end + 10.0 + crate::report::font::width("in the framed ends;", 10.5, false)
        };
        picture.words(words([start, room.y + room.height - 17.0], said, 10.5));
        start + crate::report::font::width(said, 10.5, false)
    } else {
        layers.scale_bar(picture, &fit, room, show)
    };
    let mark = [end + 36.0, room.y + room.height - 18.0];
    paint::axes_mark(picture, &flat, mark, 18.0);
    if let Some(said) = untold.words() {
        // Where it would leave the page it takes the line of the foot.
        let wide = crate::report::font::width(&said, 10.5, false);
        let beside = [mark[0] + 48.0, mark[1] + 1.0];
        let at = if beside[0] + wide < picture.width { beside } else { [room.x, picture.height - 10.0] };
        picture.words(words(at, &said, 10.5));
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
