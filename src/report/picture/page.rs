//! A picture drawn into the content of a PDF page.

use pdf_writer::{
    Content, Name, Str,
    types::{LineCapStyle, LineJoinStyle, TextRenderingMode},
};

use super::{Anchor, HALO, Item, Picture, Words, tint::Tint};
use crate::report::font;

/// Names of the two faces in the page's resources.
pub(crate) const REGULAR: Name<'static> = Name(b"R");
/// See [`REGULAR`].
pub(crate) const BOLD: Name<'static> = Name(b"B");

/// Opacities that a page offers, in tenths, by the names of their graphics states.
pub(crate) const OPACITIES: [Name<'static>; 11] = [
    Name(b"O0"),
    Name(b"O1"),
    Name(b"O2"),
    Name(b"O3"),
    Name(b"O4"),
    Name(b"O5"),
    Name(b"O6"),
    Name(b"O7"),
    Name(b"O8"),
    Name(b"O9"),
    Name(b"O10"),
];

/// Draws a picture with its upper left corner at `at` (points, y upward), `scale` points to a unit.
pub(crate) fn draw_into(content: &mut Content, picture: &Picture, at: [f64; 2], scale: f64) {
    content.save_state();
    content.transform([single(scale), 0.0, 0.0, single(-scale), single(at[0]), single(at[1])]);
    content.set_line_join(LineJoinStyle::RoundJoin);
    for item in &picture.items {
        content.save_state();
        match item {
            Item::Lines { strokes, pen } => {
                fade(content, pen.opacity);
                stroke_colour(content, pen.tint);
                content.set_line_width(single(pen.width));
                if pen.dash.is_empty() {
                    content.set_line_cap(LineCapStyle::RoundCap);
                } else {
                    content.set_dash_pattern(pen.dash.iter().map(|&d| single(d)), 0.0);
                }
                paths(content, strokes, false);
                content.stroke();
            }
            Item::Areas { outlines, fill, opacity } => {
                fade(content, *opacity);
                fill_colour(content, *fill);
                paths(content, outlines, true);
                content.fill_nonzero();
            }
            Item::Text(words) => text(content, words),
        }
        content.restore_state();
    }
    content.restore_state();
}

/// Shows a line of text in the two-byte glyph encoding of the embedded faces.
pub(crate) fn show(content: &mut Content, text: &str, bold: bool) {
    let bytes: Vec<u8> = text.chars().flat_map(|c| font::glyph(bold, c).0.to_be_bytes()).collect();
    content.show(Str(&bytes));
}

/// Sets the colour of fills and letters.
pub(crate) fn fill_colour(content: &mut Content, tint: Tint) {
    let [r, g, b] = share(tint);
    content.set_fill_rgb(r, g, b);
}

/// Sets the colour of lines.
pub(crate) fn stroke_colour(content: &mut Content, tint: Tint) {
    let [r, g, b] = share(tint);
    content.set_stroke_rgb(r, g, b);
}

/// f64 → f32: a page is a few hundred points wide.
#[allow(clippy::cast_possible_truncation, reason = "a page is a few hundred points wide")]
pub(crate) fn single(value: f64) -> f32 {
    if value.is_finite() { value as f32 } else { 0.0 }
}

fn share(tint: Tint) -> [f32; 3] {
    tint.light().map(|v| f32::from(v) / 255.0)
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to 0..=10 first")]
fn fade(content: &mut Content, opacity: f64) {
    if opacity < 1.0 {
        let step = (opacity * 10.0).round().clamp(0.0, 10.0) as usize;
        content.set_parameters(OPACITIES[step]);
    }
}

fn paths(content: &mut Content, lists: &[Vec<[f64; 2]>], close: bool) {
    for points in lists {
        for (n, point) in points.iter().enumerate() {
            let (x, y) = (single(point[0]), single(point[1]));
            if n == 0 {
                content.move_to(x, y);
            } else {
                content.line_to(x, y);
            }
        }
        if close {
            content.close_path();
        }
    }
}

fn text(content: &mut Content, words: &Words) {
    let width = font::width(&words.text, words.size, words.bold);
    let back = match words.anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => width / 2.0,
        Anchor::End => width,
    };
    let matrix = if words.turned {
        [0.0, -1.0, -1.0, 0.0, single(words.at[0]), single(words.at[1] + back)]
    } else {
        [1.0, 0.0, 0.0, -1.0, single(words.at[0] - back), single(words.at[1])]
    };
    let face = if words.bold { BOLD } else { REGULAR };
    let passes: &[bool] = if words.haloed { &[true, false] } else { &[false] };
    for &halo in passes {
        content.begin_text();
        content.set_font(face, single(words.size));
        content.set_text_matrix(matrix);
        if halo {
            // Drawn as invisible-to-search strokes: the letters themselves follow in the second pass.
            content.set_text_rendering_mode(TextRenderingMode::Stroke);
            stroke_colour(content, Tint::Ground);
            content.set_line_width(HALO);
        } else {
            content.set_text_rendering_mode(TextRenderingMode::Fill);
            fill_colour(content, words.tint);
        }
        show(content, &words.text, words.bold);
        content.end_text();
    }
}
