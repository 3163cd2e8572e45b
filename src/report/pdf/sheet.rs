//! Pages under way: a cursor that goes down the page and begins a new one when there is no room.

use pdf_writer::types::StructRole;
use pdf_writer::{Content, Name};

use super::LEADING;
use super::tags::Tags;
use crate::report::font;
use crate::report::picture::tint::Tint;
use crate::report::picture::{BOLD, Picture, REGULAR, draw_into, fill_colour, show, single, stroke_colour};

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
    /// What the marks on the pages are.
    pub(super) tags: Tags,
    /// The marked content under way: of an element, or of none.
    marking: Option<Option<usize>>,
    /// The page that is drawn on, where it is not the last.
    target: Option<usize>,
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
        Self {
            paper,
            pages: vec![Content::new()],
            bookmarks: Vec::new(),
            tags: Tags::default(),
            marking: None,
            target: None,
            y: TOP,
        }
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
        self.unmark();
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
        &mut self.pages[self.target.map_or(last, |page| page.min(last))]
    }

    /// Sets what is one element of the text.
    pub(super) fn tagged(&mut self, role: StructRole, set: impl FnOnce(&mut Self)) -> usize {
        self.tagged_as(role, "", set)
    }

    /// As [`Sheets::tagged`], with words for one who cannot see it.
    pub(super) fn tagged_as(
        &mut self,
        role: StructRole,
        alternative: &str,
        set: impl FnOnce(&mut Self),
    ) -> usize {
        // What is no part of the text has no parts of its own.
        if self.tags.is_aside() {
            set(self);
            return 0;
        }
        let element = self.tags.open(role, alternative);
        set(self);
        self.tags.close();
        element
    }

    /// Draws what is no part of the text: rules, bars, headings said again.
    pub(super) fn aside(&mut self, set: impl FnOnce(&mut Self)) {
        self.tags.step_aside();
        set(self);
        self.tags.step_back();
    }

    /// Adds to an element on a page that was left.
    pub(super) fn add_to(&mut self, element: usize, page: usize, set: impl FnOnce(&mut Self)) {
        self.unmark();
        self.target = Some(page);
        self.tags.reopen(element);
        set(self);
        self.tags.close();
        self.unmark();
        self.target = None;
    }

    /// The page under way, in marked content of the element that is open.
    fn marked(&mut self) -> &mut Content {
        let wanted = self.tags.wanted();
        if self.marking != Some(wanted) {
            self.unmark();
            let page = self.target.unwrap_or(self.pages.len().saturating_sub(1));
            match wanted.map(|element| self.tags.claim(element, page)) {
                Some((name, number)) => {
                    let mut begin = self.page().begin_marked_content_with_properties(name);
                    begin.properties().identify(number);
                }
                None => {
                    self.page().begin_marked_content(Name(b"Artifact"));
                }
            }
            self.marking = Some(wanted);
        }
        self.page()
    }

    /// Ends the marked content under way.
    pub(super) fn unmark(&mut self) {
        if self.marking.take().is_some() {
            self.page().end_marked_content();
        }
    }

    pub(super) fn bookmark(&mut self, text: &str) {
        let (page, y) = (self.pages.len() - 1, self.paper[1] - self.y + 4.0);
        self.bookmarks.push(Bookmark { text: text.to_owned(), page, y });
    }

    /// A line across the text.
    pub(super) fn rule(&mut self, width: f64, tint: Tint) {
        let (from, to) = (SIDE, self.paper[0] - SIDE);
        self.y += 3.0;
        self.stroke([from, self.y], [to, self.y], width, tint);
        self.y += 3.0;
    }

    /// Wrapped text, set in by `left`.
    pub(super) fn text(&mut self, text: &str, size: f64, bold: bool, tint: Tint, left: f64) {
        for line in spaced(font::wrap(text, size, bold, self.width() - left)) {
            self.keep(size * LEADING);
            self.line_at(&line, size, bold, tint, [SIDE + left, self.y + size]);
            self.y += size * LEADING;
        }
    }

    /// A line beside the cursor, set in by `left`.
    pub(super) fn beside(&mut self, line: &str, size: f64, bold: bool, tint: Tint, left: f64) {
        let y = self.y + size;
        self.line_at(line, size, bold, tint, [SIDE + left, y]);
    }

    /// One line with its baseline at a distance from the top of the page.
    pub(super) fn line_at(&mut self, line: &str, size: f64, bold: bool, tint: Tint, [x, y]: [f64; 2]) {
        let y = self.paper[1] - y;
        let page = self.marked();
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
        self.aside(|sheets| {
            let page = sheets.marked();
            stroke_colour(page, tint);
            page.set_line_width(single(width));
            page.move_to(single(from[0]), single(tall - from[1]));
            page.line_to(single(to[0]), single(tall - to[1]));
            page.stroke();
        });
    }

    /// A bar at the left from `top` down to the cursor, where both are on this page.
    pub(super) fn side_bar(&mut self, top: (usize, f64), width: f64, tint: Tint) {
        let from = if top.0 == self.pages.len() { top.1 } else { TOP };
        let (tall, to) = (self.paper[1], self.y);
        self.aside(|sheets| {
            let page = sheets.marked();
            fill_colour(page, tint);
            page.rect(single(SIDE), single(tall - to), single(width), single(to - from));
            page.fill_nonzero();
        });
    }

    /// A picture at the cursor, in the middle of the text.
    pub(super) fn picture(&mut self, picture: &Picture, scale: f64) {
        let x = SIDE + (self.width() - picture.width * scale) / 2.0;
        let y = self.paper[1] - self.y;
        self.tagged_as(StructRole::Figure, alternative(picture), |sheets| {
            draw_into(sheets.marked(), picture, [x, y], scale);
        });
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
            self.tagged_as(StructRole::Figure, alternative(picture), |sheets| {
                draw_into(sheets.marked(), picture, [x, y], half / picture.width);
            });
            x += half + BETWEEN;
        }
        self.y += tall + 4.0;
    }

    /// Goes down without drawing.
    pub(super) fn down(&mut self, points: f64) {
        self.y += points;
    }
}

/// Lines that go on with a space at their ends, so that words do not run together when they are read out.
pub(super) fn spaced(mut lines: Vec<String>) -> Vec<String> {
    if let Some((_, rest)) = lines.split_last_mut() {
        rest.iter_mut().for_each(|line| line.push(' '));
    }
    lines
}

/// What a picture shows, for one who cannot see it.
fn alternative(picture: &Picture) -> &str {
    if picture.description.is_empty() { &picture.title } else { &picture.description }
}
