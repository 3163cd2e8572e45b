//! What the widths, dashes and colours of a drawing mean.

use crate::report::font;
use crate::report::picture::{Anchor, Pen, Picture, tint::Tint};

/// One mark and its meaning.
#[derive(Debug, Clone)]
pub(super) struct Entry {
    pub(super) mark: Mark,
    pub(super) words: String,
}

/// A line or a fill.
#[derive(Debug, Clone)]
pub(super) enum Mark {
    Line(Vec<Pen>),
    Fill(Tint, f64),
    Arrow(Pen),
}

/// All of them.
#[derive(Debug, Default)]
pub(super) struct Legend {
    pub(super) entries: Vec<Entry>,
}

const SIZE: f64 = 11.0;
const SWATCH: f64 = 30.0;
const ROW: f64 = 19.0;

impl Legend {
    /// Draws the entries in rows that end at `bottom`; gives the y above them.
    pub(super) fn draw(&self, picture: &mut Picture, width: f64, bottom: f64) -> f64 {
        if self.entries.is_empty() {
            return bottom;
        }
        let mut rows: Vec<Vec<(f64, &Entry)>> = vec![Vec::new()];
        let mut x = 20.0;
        for entry in &self.entries {
            let wide = SWATCH + 8.0 + font::width(&entry.words, SIZE, false) + 22.0;
            if x + wide > width - 10.0 && x > 20.0 {
                rows.push(Vec::new());
                x = 20.0;
            }
            if let Some(row) = rows.last_mut() {
                row.push((x, entry));
            }
            x += wide;
        }
        #[allow(clippy::cast_precision_loss, reason = "a few rows")]
        let top = bottom - rows.len() as f64 * ROW;
        let mut y = top + ROW - 6.0;
        for row in rows {
            for (x, entry) in row {
                let middle = y - 4.0;
                match &entry.mark {
                    Mark::Line(pens) => {
                        for pen in pens {
                            picture.line([x, middle], [x + SWATCH, middle], pen.clone());
                        }
                    }
                    Mark::Fill(tint, opacity) => {
                        let box_ = vec![
                            [x, middle - 6.0],
                            [x + SWATCH, middle - 6.0],
                            [x + SWATCH, middle + 6.0],
                            [x, middle + 6.0],
                        ];
                        let mut rim = box_.clone();
                        rim.push(box_[0]);
                        picture.areas(vec![box_], *tint, *opacity);
                        picture.lines(vec![rim], Pen::solid(Tint::Soft, 0.6));
                    }
                    Mark::Arrow(pen) => picture.arrow([x, middle], [x + SWATCH, middle], pen),
                }
                picture.text([x + SWATCH + 8.0, y], &entry.words, SIZE, Anchor::Start);
            }
            y += ROW;
        }
        top
    }
}
