//! Pages under way: a cursor that goes down the page and begins a new one when there is no room.

use pdf_writer::Content;

use super::LEADING;
use crate::report::font;
use crate::report::picture::tint::Tint;
use crate::report::picture::{BOLD, Picture, REGULAR, draw_into, fill_colour, show, single, stroke_colour};

/// A mark in front of a line.
#[derive(Debug, Clone, Copy)]
pub(super) enum Mark {
    /// Of a list.
    Bullet,
}

/// A bookmark: its words, page and height.
pub(super) struct Bookmark {
    pub(super) text: String,
    pub(super) page: usize,
    pub(super) y: f64,
}

/// All pages.
pub(super) struct Sheets {
    /// Width and height of the paper \[points\].
    pub(super) paper: [f64; 2],
    pub(super) pages: Vec<Content>,
    pub(super) bookmarks: Vec<Bookmark>,
    /// Distance of the cursor from the top of the paper.
    y: f64,
}

/// Margins: left and right, top, bottom.
pub(super) const SIDE: f64 = 48.0;
/// Between pictures side by side.
const BETWEEN: f64 = 10.0;
const TOP: f64 = 46.0;
const BOTTOM: f64 = 56.0;

impl Sheets {
    pub(super) fn new(letter: bool) -> Self {
        let paper = if letter { [612.0, 792.0] } else { [595.0, 842.0] };
        Self { paper, pages: vec![Content::new()], bookmarks: Vec::new(), y: TOP }
    }

    /// Width of the text.
    pub(super) fn width(&self) -> f64 {
        self.paper[0] - 2.0 * SIDE
    }

    /// Height of the text.
    pub(super) fn height(&self) -> f64 {
        self.paper[1] - TOP - BOTTOM
    }

    /// Where the cursor is: page and distance from its top.
    pub(super) fn here(&self) -> (usize, f64) {
        (self.pages.len(), self.y)
    }

    /// Goes back up on the same page.
    pub(super) fn back_to(&mut self, (page, y): (usize, f64)) {
        if page == self.pages.len() {
            self.y = y;
        }
    }

    pub(super) fn gap(&mut self, points: f64) {
        if self.y > TOP {
            self.y += points;
        }
    }

    pub(super) fn new_page(&mut self) {
        self.pages.push(Content::new());
        self.y = TOP;
    }

    /// Begins a new page unless so much is still free on this one.
    pub(super) fn keep(&mut self, points: f64) {
        if self.y + points > self.paper[1] - BOTTOM && self.y > TOP {
            self.new_page();
        }
    }

    /// The content of the page under way.
    pub(super) fn page(&mut self) -> &mut Content {
        if self.pages.is_empty() {
            self.pages.push(Content::new());
        }
        let last = self.pages.len() - 1;
        &mut self.pages[last]
    }

    pub(super) fn bookmark(&mut self, text: &str) {
        let (page, y) = (self.pages.len() - 1, self.paper[1] - self.y + 4.0);
        self.bookmarks.push(Bookmark { text: text.to_owned(), page, y });
    }

    /// A line across the text.
    pub(super) fn rule(&mut self, width: f64, tint: Tint) {
        let (from, to) = (SIDE, self.paper[0] - SIDE);
        self.y += 3.0;
        let y = self.paper[1] - self.y;
        let page = self.page();
        stroke_colour(page, tint);
        page.set_line_width(single(width));
        page.move_to(single(from), single(y));
        page.line_to(single(to), single(y));
        page.stroke();
        self.y += 3.0;
    }

    /// Wrapped text, set in by `left`.
    pub(super) fn text(&mut self, text: &str, size: f64, bold: bool, tint: Tint, left: f64) {
        for line in font::wrap(text, size, bold, self.width() - left) {
            self.keep(size * LEADING);
            self.line_at(&line, size, bold, tint, [SIDE + left, self.y + size]);
            self.y += size * LEADING;
        }
    }

    /// One line with its baseline at a distance from the top of the page.
    pub(super) fn line_at(&mut self, line: &str, size: f64, bold: bool, tint: Tint, [x, y]: [f64; 2]) {
        let y = self.paper[1] - y;
        let page = self.page();
        page.begin_text();
        page.set_font(if bold { BOLD } else { REGULAR }, single(size));
        fill_colour(page, tint);
        page.set_text_matrix([1.0, 0.0, 0.0, 1.0, single(x), single(y)]);
        show(page, line, bold);
        page.end_text();
    }

    /// A straight line between points given from the top of the page.
    pub(super) fn stroke(&mut self, from: [f64; 2], to: [f64; 2], width: f64, tint: Tint) {
        let tall = self.paper[1];
        let page = self.page();
        stroke_colour(page, tint);
        page.set_line_width(single(width));
        page.move_to(single(from[0]), single(tall - from[1]));
        page.line_to(single(to[0]), single(tall - to[1]));
        page.stroke();
    }

    /// A mark in front of the line that comes next.
    pub(super) fn mark(&mut self, mark: Mark) {
        match mark {
            Mark::Bullet => {
                let y = self.y + super::BODY;
                self.line_at("–", super::BODY, false, Tint::Soft, [SIDE + 2.0, y]);
            }
        }
    }

    /// A bar at the left from `top` down to the cursor, where both are on this page.
    pub(super) fn side_bar(&mut self, top: (usize, f64), width: f64, tint: Tint) {
        let from = if top.0 == self.pages.len() { top.1 } else { TOP };
        let (tall, to) = (self.paper[1], self.y);
        let page = self.page();
        fill_colour(page, tint);
        page.rect(single(SIDE), single(tall - to), single(width), single(to - from));
        page.fill_nonzero();
    }

    /// A picture at the cursor, in the middle of the text.
    pub(super) fn picture(&mut self, picture: &Picture, scale: f64) {
        let x = SIDE + (self.width() - picture.width * scale) / 2.0;
        let y = self.paper[1] - self.y;
        draw_into(self.page(), picture, [x, y], scale);
        self.y += picture.height * scale;
    }

    /// Width of one of two pictures side by side.
    fn half(&self) -> f64 {
        (self.width() - BETWEEN) / 2.0
    }

    /// Height of pictures side by side.
    pub(super) fn row_height(&self, pictures: &[Picture]) -> f64 {
        pictures.iter().map(|p| p.height * self.half() / p.width).fold(0.0, f64::max)
    }

    /// Pictures side by side, each at half the text's width.
    pub(super) fn row(&mut self, pictures: &[Picture]) {
        let half = self.half();
        let tall = self.row_height(pictures);
        self.keep(tall);
        let y = self.paper[1] - self.y;
        let mut x = SIDE;
        for picture in pictures {
            draw_into(self.page(), picture, [x, y], half / picture.width);
            x += half + BETWEEN;
        }
        self.y += tall + 4.0;
    }

    pub(super) fn down(&mut self, points: f64) {
        self.y += points;
    }
}
