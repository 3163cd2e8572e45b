//! A picture as a list of what to draw. One list, three back ends: SVG, PNG and PDF.
//!
//! Unit: 1/96 inch on screen, x to the right, y downward, origin at the upper left.

pub mod chart;
mod page;
pub mod png;
pub mod svg;
pub mod tint;

pub(crate) use page::{BOLD, OPACITIES, REGULAR, draw_into, fill_colour, show, single, stroke_colour};

use tint::Tint;

/// A picture.
#[derive(Debug, Clone, PartialEq)]
pub struct Picture {
    /// Width.
    pub width: f64,
    /// Height.
    pub height: f64,
    /// What it shows, in a few words.
    pub title: String,
    /// What it shows, for one who cannot see it.
    pub description: String,
    /// What to draw, back to front.
    pub items: Vec<Item>,
}

/// How a line is drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct Pen {
    /// Colour.
    pub tint: Tint,
    /// Width.
    pub width: f64,
    /// Lengths of dash and gap; empty is solid.
    pub dash: Vec<f64>,
    /// 0 is invisible, 1 is solid.
    pub opacity: f64,
}

impl Pen {
    /// A solid line.
    #[must_use]
    pub fn solid(tint: Tint, width: f64) -> Self {
        Self { tint, width, dash: Vec::new(), opacity: 1.0 }
    }

    /// A dashed line.
    #[must_use]
    pub fn dashed(tint: Tint, width: f64, dash: &[f64]) -> Self {
        Self { dash: dash.to_vec(), ..Self::solid(tint, width) }
    }

    /// The same line, fainter.
    #[must_use]
    pub fn faint(mut self, opacity: f64) -> Self {
        self.opacity = opacity;
        self
    }
}

/// Width of the line round text that has a rim of the ground's colour.
pub(crate) const HALO: f32 = 4.0;

/// Where a line of text hangs from its point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// Begins there.
    Start,
    /// Centred there.
    Middle,
    /// Ends there.
    End,
}

/// A line of text.
#[derive(Debug, Clone, PartialEq)]
pub struct Words {
    /// Point on the baseline.
    pub at: [f64; 2],
    /// The text.
    pub text: String,
    /// Type size.
    pub size: f64,
    /// Bold.
    pub bold: bool,
    /// Colour.
    pub tint: Tint,
    /// Which end of the text is at the point.
    pub anchor: Anchor,
    /// Quarter turns anticlockwise.
    pub turned: bool,
    /// A rim in the ground's colour, so that it reads over lines.
    pub haloed: bool,
}

/// One thing in a picture.
#[derive(Debug, Clone, PartialEq)]
pub enum Item {
    /// Open lines of one pen.
    Lines {
        /// Each a list of points.
        strokes: Vec<Vec<[f64; 2]>>,
        /// How they are drawn.
        pen: Pen,
    },
    /// Filled polygons of one colour.
    Areas {
        /// Each a closed polygon.
        outlines: Vec<Vec<[f64; 2]>>,
        /// Colour.
        fill: Tint,
        /// 0 is invisible, 1 is solid.
        opacity: f64,
    },
    /// A line of text.
    Text(Words),
}

impl Picture {
    /// An empty picture.
    #[must_use]
    pub fn new(width: f64, height: f64, title: &str) -> Self {
        Self { width, height, title: title.to_owned(), description: String::new(), items: Vec::new() }
    }

    /// Adds open lines.
    pub fn lines(&mut self, strokes: Vec<Vec<[f64; 2]>>, pen: Pen) {
        if !strokes.is_empty() {
            self.items.push(Item::Lines { strokes, pen });
        }
    }

    /// Adds one straight line.
    pub fn line(&mut self, from: [f64; 2], to: [f64; 2], pen: Pen) {
        self.lines(vec![vec![from, to]], pen);
    }

    /// Adds filled polygons.
    pub fn areas(&mut self, outlines: Vec<Vec<[f64; 2]>>, fill: Tint, opacity: f64) {
        if !outlines.is_empty() {
            self.items.push(Item::Areas { outlines, fill, opacity });
        }
    }

    /// Adds plain text and gives it back for its details to be set.
    pub fn text(&mut self, at: [f64; 2], text: &str, size: f64, anchor: Anchor) {
        self.words(Words {
            at,
            text: text.to_owned(),
            size,
            bold: false,
            tint: Tint::Ink,
            anchor,
            turned: false,
            haloed: false,
        });
    }

    /// Adds text with every detail given.
    pub fn words(&mut self, words: Words) {
        self.items.push(Item::Text(words));
    }

    /// Says in the lower right corner what every picture says, with a note behind it where there is one. It may be all that one is
    /// given, so it says who decides; where other words stand on that line, or the picture is narrow, its beginning stands alone.
    pub fn caution(&mut self, at: [f64; 2], note: &str) {
        let said =
            |caution: &str| if note.is_empty() { caution.to_owned() } else { format!("{caution} {note}") };
        let whole =
            said("Indicative only: local codes, the building authority and a licensed engineer decide.");
        let taken = self.items.iter().filter_map(|item| match item {
            Item::Text(words) if !words.turned && (words.at[1] - at[1]).abs() < words.size => {
                let wide = super::font::width(&words.text, words.size, words.bold);
                Some(match words.anchor {
                    Anchor::Start => words.at[0] + wide,
                    Anchor::Middle => words.at[0] + wide / 2.0,
                    Anchor::End => words.at[0],
                })
            }
            _ => None,
        });
        let left = taken.fold(0.0, f64::max) + 20.0;
        let fits = left + super::font::width(&whole, 10.0, false) <= at[0];
        let text = if fits { whole } else { said("Indicative only.") };
        self.words(Words {
            at,
            text,
            size: 10.0,
            bold: false,
            tint: Tint::Soft,
            anchor: Anchor::End,
            turned: false,
            haloed: false,
        });
    }

    /// Adds an arrow whose head is at `to`.
    pub fn arrow(&mut self, from: [f64; 2], to: [f64; 2], pen: &Pen) {
        self.arrows(&[[from, to]], pen);
    }

    /// Adds arrows of one pen; those too short to be seen are left out.
    pub fn arrows(&mut self, arrows: &[[[f64; 2]; 2]], pen: &Pen) {
        let mut shafts = Vec::new();
        let mut heads = Vec::new();
        for &[from, to] in arrows {
            let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
            let length = dx.hypot(dy);
            if length < 1.0 {
                continue;
            }
            let (ux, uy) = (dx / length, dy / length);
            let head = (3.0 + 2.2 * pen.width).min(length * 0.6);
            let neck = [to[0] - ux * head, to[1] - uy * head];
            let half = head * 0.42;
            shafts.push(vec![from, neck]);
            heads.push(vec![
                to,
                [neck[0] - uy * half, neck[1] + ux * half],
                [neck[0] + uy * half, neck[1] - ux * half],
            ]);
        }
        self.lines(shafts, pen.clone());
        self.areas(heads, pen.tint, pen.opacity);
    }

    /// Puts another picture into this one, its upper left corner at `at`.
    pub fn place(&mut self, other: Picture, at: [f64; 2]) {
        let shift = |points: &mut Vec<[f64; 2]>| {
            for point in points {
                point[0] += at[0];
                point[1] += at[1];
            }
        };
        for mut item in other.items {
            match &mut item {
                Item::Lines { strokes, .. } => strokes.iter_mut().for_each(shift),
                Item::Areas { outlines, .. } => outlines.iter_mut().for_each(shift),
                Item::Text(words) => {
                    words.at[0] += at[0];
                    words.at[1] += at[1];
                }
            }
            self.items.push(item);
        }
    }
}
