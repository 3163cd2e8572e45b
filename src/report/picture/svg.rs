//! A picture as SVG: alone in a file, or inside the page of the notes.

use std::fmt::Write;

use super::{Anchor, HALO, Item, Picture, Words, tint::Tint};

/// Where the SVG will stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Place {
    /// In a file of its own, on its own ground.
    File,
    /// In a page whose style sheet has the tints as variables.
    Page,
}

/// A file of its own.
#[must_use]
pub fn svg(picture: &Picture) -> String {
    write(picture, Place::File, "p")
}

/// For a page that holds other pictures as well: colours are the page's variables, and ids begin
/// with `id`, which must be the picture's own.
#[must_use]
pub fn inline_svg(picture: &Picture, id: &str) -> String {
    write(picture, Place::Page, id)
}

fn write(picture: &Picture, place: Place, id: &str) -> String {
    let (w, h) = (number(picture.width), number(picture.height));
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {w} {h}\" width=\"{w}\" height=\"{h}\" role=\"img\" \
         aria-labelledby=\"{id}-t {id}-d\"><title id=\"{id}-t\">{}</title><desc id=\"{id}-d\">{}</desc>",
        escape(&picture.title),
        escape(&picture.description)
    );
    if place == Place::File {
        let _ = write!(out, "<rect width=\"{w}\" height=\"{h}\" fill=\"{}\"/>", colour(Tint::Ground, place));
    }
    let _ = write!(
        out,
        "<g fill=\"none\" stroke-linecap=\"round\" stroke-linejoin=\"round\" font-family=\"'DejaVu Sans',Verdana,\
         sans-serif\">"
    );
    for item in &picture.items {
        match item {
            Item::Lines { strokes, pen } => {
                out.push_str("<path d=\"");
                for stroke in strokes {
                    path(&mut out, stroke, false);
                }
                let _ = write!(
                    out,
                    "\" style=\"stroke:{};stroke-width:{}",
                    colour(pen.tint, place),
                    number(pen.width)
                );
                if !pen.dash.is_empty() {
                    let dash: Vec<String> = pen.dash.iter().map(|&d| number(d)).collect();
                    let _ = write!(out, ";stroke-dasharray:{};stroke-linecap:butt", dash.join(" "));
                }
                if pen.opacity < 1.0 {
                    let _ = write!(out, ";stroke-opacity:{}", number(pen.opacity));
                }
                out.push_str("\"/>");
            }
            Item::Areas { outlines, fill, opacity } => {
                out.push_str("<path d=\"");
                for outline in outlines {
                    path(&mut out, outline, true);
                }
                let _ = write!(out, "\" style=\"fill:{}", colour(*fill, place));
                if *opacity < 1.0 {
                    let _ = write!(out, ";fill-opacity:{}", number(*opacity));
                }
                out.push_str("\"/>");
            }
            Item::Text(words) => text(&mut out, words, place),
        }
    }
    out.push_str("</g></svg>");
    if place == Place::File {
        out.push('\n');
    }
    out
}

fn text(out: &mut String, words: &Words, place: Place) {
    let (x, y) = (number(words.at[0]), number(words.at[1]));
    let _ = write!(out, "<text x=\"{x}\" y=\"{y}\" font-size=\"{}\"", number(words.size));
    match words.anchor {
        Anchor::Start => {}
        Anchor::Middle => out.push_str(" text-anchor=\"middle\""),
        Anchor::End => out.push_str(" text-anchor=\"end\""),
    }
    if words.bold {
        out.push_str(" font-weight=\"bold\"");
    }
    if words.turned {
        let _ = write!(out, " transform=\"rotate(-90 {x} {y})\"");
    }
    let _ = write!(out, " style=\"fill:{}", colour(words.tint, place));
    if words.haloed {
        let _ = write!(out, ";stroke:{};stroke-width:{HALO};paint-order:stroke", colour(Tint::Ground, place));
    }
    let _ = write!(out, "\">{}</text>", escape(&words.text));
}

/// `Mx yldx dy …`, relative after the first point, with no separator that can be left out.
fn path(out: &mut String, points: &[[f64; 2]], close: bool) {
    let mut before: Option<[i64; 2]> = None;
    for point in points {
        let here = [tenths(point[0]), tenths(point[1])];
        match before {
            None => {
                out.push('M');
                put(out, here[0], true);
                put(out, here[1], false);
                if points.len() > 1 {
                    out.push('l');
                }
            }
            Some(last) => {
                put(out, here[0] - last[0], out.ends_with('l'));
                put(out, here[1] - last[1], false);
            }
        }
        before = Some(here);
    }
    if close {
        out.push('Z');
    }
}

/// A number after another one: a minus sign parts them by itself.
fn put(out: &mut String, tenths: i64, first: bool) {
    if !first && tenths >= 0 {
        out.push(' ');
    }
    out.push_str(&shown(tenths));
}

/// Tenths of a unit; anything that is not finite becomes 0 so that the file stays well-formed.
#[allow(clippy::cast_possible_truncation, reason = "a picture is a few thousand units wide")]
fn tenths(value: f64) -> i64 {
    if value.is_finite() { (value.clamp(-1e6, 1e6) * 10.0).round() as i64 } else { 0 }
}

fn shown(tenths: i64) -> String {
    let sign = if tenths < 0 { "-" } else { "" };
    let (whole, part) = (tenths.abs() / 10, tenths.abs() % 10);
    match (whole, part) {
        (_, 0) => format!("{sign}{whole}"),
        (0, _) => format!("{sign}.{part}"),
        _ => format!("{sign}{whole}.{part}"),
    }
}

fn number(value: f64) -> String {
    let text = format!("{:.2}", if value.is_finite() { value } else { 0.0 });
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

fn colour(tint: Tint, place: Place) -> String {
    let [r, g, b] = tint.light();
    match place {
        Place::File => format!("#{r:02x}{g:02x}{b:02x}"),
        Place::Page => format!("var(--{})", tint.variable()),
    }
}

/// Text made fit for XML: markup is written out, characters that XML forbids are left out.
pub(crate) fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\t' | '\n' => out.push(c),
            c if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') => {}
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::picture::Pen;

    #[test]
    fn markup_in_text_stays_text_and_nan_stays_out() {
        let mut picture = Picture::new(100.0, 50.0, "<script>alert(1)</script>");
        picture.text([f64::NAN, 10.0], "a & <b>\u{0}", 12.0, Anchor::Start);
        picture.line([0.0, f64::INFINITY], [1.25, -0.04], Pen::solid(Tint::Ink, 1.0));
        let out = svg(&picture);
        assert!(!out.contains("<script>") && !out.contains("NaN") && !out.contains("inf"));
        assert!(out.contains("a &amp; &lt;b&gt;</text>"));
    }

    #[test]
    fn paths_are_relative_and_close() {
        let mut out = String::new();
        path(&mut out, &[[1.0, 2.0], [3.5, 1.0], [0.0, 0.0]], true);
        assert_eq!(out, "M1 2l2.5-1-3.5-1Z");
    }
}
