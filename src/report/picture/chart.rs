//! Charts: the plotting library draws into a [`Picture`], so that a chart reaches all back ends.

use std::convert::Infallible;

use plotters_backend::{
    BackendColor, BackendCoord, BackendStyle, BackendTextStyle, DrawingBackend, DrawingErrorKind, FontStyle,
    FontTransform,
    text_anchor::{HPos, VPos},
};

use super::{Anchor, Item, Pen, Picture, Words, tint::Tint};
use crate::report::font;

/// The library counts in whole pixels; a pixel of it is so small a part of a unit.
pub(crate) const FINE: f64 = 10.0;

/// A picture as a canvas of the plotting library. Sizes given to the library are [`FINE`] times ours.
#[derive(Debug)]
pub(crate) struct Canvas<'a> {
    picture: &'a mut Picture,
}

impl<'a> Canvas<'a> {
    pub(crate) fn new(picture: &'a mut Picture) -> Self {
        Self { picture }
    }
}

/// Puts a title, whose it is, and what a reader is to know beforehand (`asides`, in sentences) at the head of a chart, as the
/// drawings have them; answers with the height that they take.
pub(crate) fn head(picture: &mut Picture, title: &str, whose: &str, asides: &[String]) -> f64 {
    picture.title = format!("{whose}: {title}");
    let mut lines = vec![
        (30.0, title.to_owned(), 17.0, true, Tint::Ink),
        (48.0, whose.to_owned(), 11.5, false, Tint::Soft),
    ];
    let said = asides.iter().flat_map(|aside| font::wrap(aside, 10.5, false, picture.width - 40.0));
    lines.extend(said.enumerate().map(|(n, line)| (63.0 + 13.5 * n as f64, line, 10.5, false, Tint::Ink)));
    let above = lines.last().map_or(0.0, |line| line.0) + 12.0;
    for (y, text, size, bold, tint) in lines {
        picture.words(Words {
            at: [20.0, y],
            text,
            size,
            bold,
            tint,
            anchor: Anchor::Start,
            turned: false,
            haloed: false,
        });
    }
    above
}

/// The library's colour for a tint; [`Canvas`] finds the tint again from it.
pub(crate) fn colour(tint: Tint) -> plotters::style::RGBColor {
    let [r, g, b] = tint.light();
    plotters::style::RGBColor(r, g, b)
}

fn tint(colour: BackendColor) -> Tint {
    let (r, g, b) = colour.rgb;
    Tint::all().into_iter().find(|tint| tint.light() == [r, g, b]).unwrap_or(Tint::Ink)
}

fn place(at: BackendCoord) -> [f64; 2] {
    [f64::from(at.0) / FINE, f64::from(at.1) / FINE]
}

fn pen<S: BackendStyle>(style: &S) -> Pen {
    let colour = style.color();
    let width = (f64::from(style.stroke_width()) / FINE).max(0.6);
    Pen { opacity: colour.alpha, ..Pen::solid(tint(colour), width) }
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a picture is a few thousand units wide"
)]
fn whole(value: f64) -> u32 {
    (value * FINE).round().clamp(0.0, 1e8) as u32
}

type Done = Result<(), DrawingErrorKind<Infallible>>;

impl DrawingBackend for Canvas<'_> {
    type ErrorType = Infallible;

    fn get_size(&self) -> (u32, u32) {
        (whole(self.picture.width), whole(self.picture.height))
    }

    fn ensure_prepared(&mut self) -> Done {
        Ok(())
    }

    fn present(&mut self) -> Done {
        Ok(())
    }

    fn draw_pixel(&mut self, at: BackendCoord, colour: BackendColor) -> Done {
        let [x, y] = place(at);
        let side = 1.0 / FINE;
        let square = vec![[x, y], [x + side, y], [x + side, y + side], [x, y + side]];
        self.picture.areas(vec![square], tint(colour), colour.alpha);
        Ok(())
    }

    fn draw_line<S: BackendStyle>(&mut self, from: BackendCoord, to: BackendCoord, style: &S) -> Done {
        if style.color().alpha > 0.0 {
            self.picture.line(place(from), place(to), pen(style));
        }
        Ok(())
    }

    fn draw_rect<S: BackendStyle>(
        &mut self,
        upper_left: BackendCoord,
        lower_right: BackendCoord,
        style: &S,
        fill: bool,
    ) -> Done {
        let ([a, b], [c, d]) = (place(upper_left), place(lower_right));
        let corners = vec![[a, b], [c, b], [c, d], [a, d]];
        self.polygon(corners, style, fill);
        Ok(())
    }

    fn draw_path<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        path: I,
        style: &S,
    ) -> Done {
        if style.color().alpha > 0.0 {
            self.picture.lines(vec![path.into_iter().map(place).collect()], pen(style));
        }
        Ok(())
    }

    fn draw_circle<S: BackendStyle>(
        &mut self,
        centre: BackendCoord,
        radius: u32,
        style: &S,
        fill: bool,
    ) -> Done {
        let [x, y] = place(centre);
        let r = f64::from(radius) / FINE;
        let around = (0..24).map(|n| {
            let angle = f64::from(n) * std::f64::consts::TAU / 24.0;
            [x + r * angle.cos(), y + r * angle.sin()]
        });
        self.polygon(around.collect(), style, fill);
        Ok(())
    }

    fn fill_polygon<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        corners: I,
        style: &S,
    ) -> Done {
        self.polygon(corners.into_iter().map(place).collect(), style, true);
        Ok(())
    }

    fn draw_text<T: BackendTextStyle>(&mut self, text: &str, style: &T, at: BackendCoord) -> Done {
        let size = style.size() / FINE;
        let bold = matches!(style.style(), FontStyle::Bold);
        let turned = matches!(style.transform(), FontTransform::Rotate90 | FontTransform::Rotate270);
        let anchor = match style.anchor().h_pos {
            HPos::Left => Anchor::Start,
            HPos::Center => Anchor::Middle,
            HPos::Right => Anchor::End,
        };
        // Share of the type size from the anchor down to the baseline.
        let drop = match style.anchor().v_pos {
            VPos::Top => 0.9,
            VPos::Center => 0.35,
            VPos::Bottom => -0.15,
        } * size;
        let [x, y] = place(at);
        let at = if turned { [x + drop, y] } else { [x, y + drop] };
        let tint = tint(style.color());
        self.picture.words(Words {
            at,
            text: text.to_owned(),
            size,
            bold,
            tint,
            anchor,
            turned,
            haloed: false,
        });
        Ok(())
    }

    fn estimate_text_size<T: BackendTextStyle>(
        &self,
        text: &str,
        style: &T,
    ) -> Result<(u32, u32), DrawingErrorKind<Infallible>> {
        let size = style.size() / FINE;
        let bold = matches!(style.style(), FontStyle::Bold);
        Ok((whole(font::width(text, size, bold)), whole(size)))
    }
}

impl Canvas<'_> {
    fn polygon<S: BackendStyle>(&mut self, mut corners: Vec<[f64; 2]>, style: &S, fill: bool) {
        let colour = style.color();
        if colour.alpha <= 0.0 {
            return;
        }
        if fill {
            self.picture.items.push(Item::Areas {
                outlines: vec![corners],
                fill: tint(colour),
                opacity: colour.alpha,
            });
        } else {
            corners.extend(corners.first().copied());
            self.picture.lines(vec![corners], pen(style));
        }
    }
}
