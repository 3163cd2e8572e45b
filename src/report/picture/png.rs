//! A picture as PNG.

use tiny_skia::{
    Color, FillRule, LineCap, LineJoin, Paint, Path, PathBuilder, Pixmap, Stroke, StrokeDash, Transform,
};
use ttf_parser::OutlineBuilder;

use super::{Anchor, HALO, Item, Picture, Words, tint::Tint};
use crate::report::font;

/// Why a picture could not be made.
#[derive(Debug, thiserror::Error)]
pub enum PngError {
    /// Zero, or too large for memory.
    #[error("a picture of {width} × {height} pixels cannot be made; ask for a smaller one")]
    Size {
        /// \[pixels\]
        width: u32,
        /// \[pixels\]
        height: u32,
    },
    /// The PNG writer failed.
    #[error("the PNG could not be written: {reason}")]
    Encode {
        /// What it said.
        reason: String,
    },
}

/// PNG of a picture, `scale` pixels to a unit, on the light ground.
///
/// # Errors
/// [`PngError`] where the size is none or more than memory allows.
pub fn png(picture: &Picture, scale: f64) -> Result<Vec<u8>, PngError> {
    let (width, height) = (pixels(picture.width * scale), pixels(picture.height * scale));
    let size = PngError::Size { width, height };
    if width > 20_000 || height > 20_000 {
        return Err(size);
    }
    let mut map = Pixmap::new(width, height).ok_or(size)?;
    map.fill(solid(Tint::Ground, 1.0));
    let whole = Transform::from_scale(single(scale), single(scale));
    for item in &picture.items {
        match item {
            Item::Lines { strokes, pen } => {
                if let Some(path) = outline(strokes, false) {
                    let dash = if pen.dash.is_empty() {
                        None
                    } else {
                        let mut lengths: Vec<f32> = pen.dash.iter().map(|&d| single(d)).collect();
                        if lengths.len() % 2 == 1 {
                            lengths.extend_from_within(..);
                        }
                        StrokeDash::new(lengths, 0.0)
                    };
                    let line_cap = if dash.is_some() { LineCap::Butt } else { LineCap::Round };
                    let stroke = Stroke {
                        width: single(pen.width),
                        line_cap,
                        line_join: LineJoin::Round,
                        dash,
                        ..Stroke::default()
                    };
                    map.stroke_path(&path, &paint(pen.tint, pen.opacity), &stroke, whole, None);
                }
            }
            Item::Areas { outlines, fill, opacity } => {
                if let Some(path) = outline(outlines, true) {
                    map.fill_path(&path, &paint(*fill, *opacity), FillRule::Winding, whole, None);
                }
            }
            Item::Text(words) => text(&mut map, words, whole),
        }
    }
    map.encode_png().map_err(|error| PngError::Encode { reason: error.to_string() })
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to a sane range first")]
fn pixels(value: f64) -> u32 {
    if value.is_finite() { value.round().clamp(0.0, 1e6) as u32 } else { 0 }
}

/// f64 → f32: pixels need no more.
#[allow(clippy::cast_possible_truncation, reason = "pixels need no more")]
fn single(value: f64) -> f32 {
    value as f32
}

fn solid(tint: Tint, opacity: f64) -> Color {
    let [r, g, b] = tint.light();
    let mut colour = Color::from_rgba8(r, g, b, 255);
    colour.set_alpha(single(opacity.clamp(0.0, 1.0)));
    colour
}

fn paint(tint: Tint, opacity: f64) -> Paint<'static> {
    let mut paint = Paint::default();
    paint.set_color(solid(tint, opacity));
    paint.anti_alias = true;
    paint
}

fn outline(lists: &[Vec<[f64; 2]>], close: bool) -> Option<Path> {
    let mut builder = PathBuilder::new();
    for points in lists {
        if points.iter().flatten().any(|v| !v.is_finite()) {
            continue;
        }
        for (n, point) in points.iter().enumerate() {
            if n == 0 {
                builder.move_to(single(point[0]), single(point[1]));
            } else {
                builder.line_to(single(point[0]), single(point[1]));
            }
        }
        if close {
            builder.close();
        }
    }
    builder.finish()
}

fn text(map: &mut Pixmap, words: &Words, whole: Transform) {
    let Some(face) = font::face(words.bold) else { return };
    let scale = words.size / f64::from(face.units_per_em());
    let width = font::width(&words.text, words.size, words.bold);
    let mut x = match words.anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => -width / 2.0,
        Anchor::End => -width,
    };
    let mut pen = Glyphs { builder: PathBuilder::new(), x: 0.0, scale: single(scale) };
    for c in words.text.chars() {
        let glyph = font::glyph(words.bold, c);
        pen.x = single(x);
        face.outline_glyph(glyph, &mut pen);
        x += font::advance(words.bold, glyph) * words.size;
    }
    let Some(path) = pen.builder.finish() else { return };
    let mut place = whole.pre_translate(single(words.at[0]), single(words.at[1]));
    if words.turned {
        place = place.pre_rotate(-90.0);
    }
    if words.haloed {
        let halo = Stroke { width: HALO, line_join: LineJoin::Round, ..Stroke::default() };
        map.stroke_path(&path, &paint(Tint::Ground, 1.0), &halo, place, None);
    }
    map.fill_path(&path, &paint(words.tint, 1.0), FillRule::Winding, place, None);
}

/// Collects glyph outlines (y upward in the font, downward here).
struct Glyphs {
    builder: PathBuilder,
    x: f32,
    scale: f32,
}

impl Glyphs {
    fn at(&self, x: f32, y: f32) -> (f32, f32) {
        (self.x + x * self.scale, -y * self.scale)
    }
}

impl OutlineBuilder for Glyphs {
    fn move_to(&mut self, x: f32, y: f32) {
        let (x, y) = self.at(x, y);
        self.builder.move_to(x, y);
    }

    fn line_to(&mut self, x: f32, y: f32) {
        let (x, y) = self.at(x, y);
        self.builder.line_to(x, y);
    }

    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        let ((x1, y1), (x, y)) = (self.at(x1, y1), self.at(x, y));
        self.builder.quad_to(x1, y1, x, y);
    }

    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        let ((x1, y1), (x2, y2), (x, y)) = (self.at(x1, y1), self.at(x2, y2), self.at(x, y));
        self.builder.cubic_to(x1, y1, x2, y2, x, y);
    }

    fn close(&mut self) {
        self.builder.close();
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::picture::Pen;

    #[test]
    fn lines_areas_and_letters_leave_marks() {
        let mut picture = Picture::new(60.0, 40.0, "marks");
        picture.areas(vec![vec![[5.0, 5.0], [15.0, 5.0], [15.0, 15.0], [5.0, 15.0]]], Tint::Ink, 1.0);
        picture.line([20.0, 10.0], [55.0, 10.0], Pen::solid(Tint::Push, 4.0));
        picture.text([20.0, 35.0], "m", 20.0, Anchor::Start);
        let map = Pixmap::decode_png(&png(&picture, 1.0).unwrap()).unwrap();
        let at = |x, y| {
            let p = map.pixel(x, y).unwrap();
            [p.red(), p.green(), p.blue()]
        };
        assert_eq!(at(10, 10), Tint::Ink.light());
        assert_eq!(at(40, 10), Tint::Push.light());
        assert_eq!(at(2, 2), Tint::Ground.light());
        assert!((20..40).any(|x| at(x, 32) == Tint::Ink.light()));
    }

    #[test]
    fn a_size_that_memory_cannot_hold_is_an_error() {
        assert!(matches!(png(&Picture::new(0.0, 10.0, ""), 1.0), Err(PngError::Size { .. })));
        assert!(matches!(png(&Picture::new(1e9, 10.0, ""), 1.0), Err(PngError::Size { .. })));
    }
}
