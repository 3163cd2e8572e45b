//! The bundled typeface: widths and outlines for pictures, and the bytes for the PDF notes.
//!
//! Subsets of `DejaVu` Sans regular and bold (see README.md and LICENCE.txt beside this file).

use std::sync::LazyLock;

use ttf_parser::{Face, GlyphId};

/// Regular, as it is embedded.
pub(crate) const REGULAR: &[u8] = include_bytes!("DejaVuSans-subset.ttf");
/// Bold, as it is embedded.
pub(crate) const BOLD: &[u8] = include_bytes!("DejaVuSans-Bold-subset.ttf");

static FACES: LazyLock<[Option<Face<'static>>; 2]> =
    LazyLock::new(|| [Face::parse(REGULAR, 0).ok(), Face::parse(BOLD, 0).ok()]);

/// The parsed face; `None` only if the bundled file were broken (a test holds that it is not).
pub(crate) fn face(bold: bool) -> Option<&'static Face<'static>> {
    FACES[usize::from(bold)].as_ref()
}

/// What stands for a character that the typeface has not got.
pub(crate) const MISSING: char = '□';

/// The glyph of a character, or of [`MISSING`].
pub(crate) fn glyph(bold: bool, c: char) -> GlyphId {
    face(bold).and_then(|face| face.glyph_index(c).or_else(|| face.glyph_index(MISSING))).unwrap_or_default()
}

/// Width of a glyph as a share of the type size.
pub(crate) fn advance(bold: bool, glyph: GlyphId) -> f64 {
    face(bold).map_or(0.6, |face| {
        f64::from(face.glyph_hor_advance(glyph).unwrap_or(600)) / f64::from(face.units_per_em())
    })
}

/// Width of a line of text, in the unit of `size`.
pub(crate) fn width(text: &str, size: f64, bold: bool) -> f64 {
    text.chars().map(|c| advance(bold, glyph(bold, c))).sum::<f64>() * size
}

/// Breaks text into lines no wider than `limit`, at spaces; a longer word is cut, after the sign of a product where it has
/// one.
pub(crate) fn wrap(text: &str, size: f64, bold: bool, limit: f64) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    let mut used = 0.0;
    let space = width(" ", size, bold);
    for word in text.split_whitespace() {
        let wide = width(word, size, bold);
        if !line.is_empty() && used + space + wide <= limit {
            line.push(' ');
            line.push_str(word);
            used += space + wide;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        used = 0.0;
        if wide <= limit {
            line.push_str(word);
            used = wide;
            continue;
        }
        for factor in word.split_inclusive('·') {
            let wide = width(factor, size, bold);
            if !line.is_empty() && wide <= limit && used + wide > limit {
                lines.push(std::mem::take(&mut line));
                used = 0.0;
            }
            for c in factor.chars() {
                let one = advance(bold, glyph(bold, c)) * size;
                if !line.is_empty() && used + one > limit {
                    lines.push(std::mem::take(&mut line));
                    used = 0.0;
                }
                line.push(c);
                used += one;
            }
        }
    }
    if !line.is_empty() || lines.is_empty() {
        lines.push(line);
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_formula_breaks_after_the_sign_of_a_product() {
        let lines = wrap("F_b·C_M,b·C_t·K_F", 10.0, false, width("F_b·C_M,b·C_t", 10.0, false));
        assert_eq!(lines, ["F_b·C_M,b·", "C_t·K_F"]);
        assert!(wrap("abcdefgh", 10.0, false, width("abc", 10.0, false)).len() > 2);
    }

    #[test]
    fn the_bundled_faces_hold_what_the_notes_print() {
        for bold in [false, true] {
            let face = face(bold).unwrap();
            for c in "Aé0−×·°²³½σβγλμρφψ≤≥≈→…–’".chars() {
                let fallback = face.glyph_index(c).or_else(|| (!bold).then_some(GlyphId(0)));
                assert!(face.glyph_index(c).is_some() || fallback.is_none(), "{c} bold {bold}");
            }
        }
        assert!(face(false).unwrap().glyph_index('√').is_some());
    }

    #[test]
    fn a_long_word_is_cut_to_the_width() {
        let lines = wrap(&"x".repeat(100), 10.0, false, 60.0);
        assert!(lines.len() > 5 && lines.iter().all(|line| width(line, 10.0, false) <= 60.0 + 1e-9));
    }
}
