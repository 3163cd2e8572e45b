//! The shell, its parts, and what was entered and assumed.

use super::{Block, Builder, Cell, LONGEST, Table};
use crate::assess::results::{InputLine, TimberKind};
use crate::report::draw::{DrawOptions, Shown, View, draw, height_laid_flat, height_of_sheet};
use crate::report::show::{Printer, figures, sentences, tame};

/// Panels up to which seams and kinds of panel are drawn side by side.
const MOST_SIDE_BY_SIDE: usize = 48;
/// Rows of a table of kinds before the rest is left to the tables for a spreadsheet.
pub(super) const MOST_KINDS: usize = 60;

/// An angle \[°\].
fn angle(degrees: f64) -> String {
    format!("{}°", figures(degrees, 3, 1))
}

/// What to note of a kind of strip, with how much.
fn strip_note(kind: &TimberKind, show: Printer) -> String {
    let mut note = sentences(&kind.note, LONGEST);
    // The last words of those that tell of it.
    if note.contains("runs past its neighbour") {
        note = note.replace(
            "past its neighbour",
            &format!("past its neighbour, by up to {}", show.size(kind.trim_inside)),
        );
    }
    if kind.long_point > kind.length + 0.0005 {
        let long = format!("inside face {} from long point to long point", show.length(kind.long_point));
        note = if note.is_empty() { long } else { format!("{long}; {note}") };
    }
    note
}

impl Builder<'_> {
    pub(super) fn shell(&mut self) {
        let (a, show) = (self.assessment, self.show);
        self.heading("The shell");
        // As high as its views ask for, up to what leaves half a page to what follows.
        let tall = height_of_sheet(a, 760.0, [420.0, 720.0]);
        self.drawing(
            View::Sheet,
            Shown::Shape,
            None,
            [760.0, tall],
            "Plan, elevations and isometric view. Sizes are those of the lines drawn, between outermost joints; x runs along the shell.",
        );
        let (s, c) = (&a.size, &a.counts);
        let flat = match c.seams.saturating_sub(c.ridge_seams + c.valley_seams) {
            0 => String::new(),
            count => format!(", {count} flat"),
        };
        self.blocks.push(Block::Facts(vec![
            ("Across, between outermost joints".to_owned(), show.extent(s.span, s.span_of_curve)),
            ("Height of the highest joint".to_owned(), show.extent(s.rise, s.rise_of_curve)),
            ("Length, between outermost joints".to_owned(), show.extent(s.length, s.length_of_curve)),
            ("Area of the panels".to_owned(), show.area(s.surface)),
            ("Area of the base".to_owned(), show.area(s.floor)),
            ("Enclosed".to_owned(), show.volume(s.volume)),
            ("Mass of the timber".to_owned(), show.mass(s.timber_mass)),
            ("Length of all strips".to_owned(), show.length(s.timber_length)),
            (
                "Made of".to_owned(),
                format!(
                    "{} panels, {} joints, {} feet, {} seams ({} ridge, {} valley{}), {} rims",
                    c.panels, c.joints, c.feet, c.seams, c.ridge_seams, c.valley_seams, flat, c.rims
                ),
            ),
        ]));
        self.laid_flat();
        self.pieces();
    }

    /// What to cut, and which strips make which panel.
    fn pieces(&mut self) {
        let (a, show) = (self.assessment, self.show);
        let mut panels =
            Table::new("Kinds of panel", &["Panel", "#Count", "Hand", "Sides", "#Mass of one", "Note"]);
        for kind in a.panel_kinds.iter().take(MOST_KINDS) {
            let sides = kind.around.iter().map(|side| {
                let strips =
                    if side.strips.is_empty() { "no strip".to_owned() } else { side.strips.join(" + ") };
                format!("{} {} at {}", tame(&strips, 40), show.length(side.length), angle(side.bevel_deg))
            });
            // Three corners follow from the sides; four do not.
            let corners = if kind.around.len() > 3 {
                let corners: Vec<String> = kind.around.iter().map(|side| angle(side.corner_deg)).collect();
                format!("; corners before them {}", corners.join(", "))
            } else {
                String::new()
            };
            panels.row([
                Cell::plain(tame(&kind.id, 16)),
                Cell::plain(kind.count.to_string()),
                Cell::plain(kind.hand.clone()),
                Cell::plain(format!("{}{corners}", sides.collect::<Vec<_>>().join(", "))),
                Cell::plain(show.mass(kind.mass)),
                Cell::plain(sentences(&kind.note, LONGEST)),
            ]);
        }
        self.table(panels, "Kinds of panel were not counted.");
        if !a.panel_kinds.is_empty() {
            self.say(
                "Sides go anticlockwise seen from outside, each with its strip, its length and its bevel. A right panel is the mirror \
                 image of a left one. Mass: the cover, and the strips as long as between joints.",
            );
        }
        self.panels_by_kind();
        let mut timbers = Table::new(
            "Kinds of strip to cut (lengths along the seam side, on the outside face)",
            &["Strip", "#Length", "Section", "#Bevel", "#End cuts", "Hand", "#Count", "Note"],
        );
        for kind in a.timbers.iter().take(MOST_KINDS) {
            timbers.row([
                Cell::plain(tame(&kind.id, 16)),
                Cell::plain(show.length(kind.length)),
                Cell::plain(format!("{} × {}", show.size(kind.section[0]), show.size(kind.section[1]))),
                Cell::plain(angle(kind.bevel_deg)),
                Cell::plain(kind.end_cuts_deg.map(angle).join(", ")),
                Cell::plain(kind.hand.clone()),
                Cell::plain(kind.count.to_string()),
                Cell::plain(strip_note(kind, show)),
            ]);
        }
        self.table(timbers, "Kinds of strip were not counted.");
        if !a.timbers.is_empty() {
            self.say(
                "Bevel: half the fold, from square. Of a ridge, a rim and a square strip the outside face is the wide one, and the length \
                 is that from long point to long point. A negative bevel is a valley's: the outside face is the narrow one, and the \
                 wide inside one is longer, as noted. End cuts: the angle between the cut and the length of the strip, so that 90° is \
                 a square end; cut square to the face. Laid with its outside face up and its seam side towards you, a left strip has \
                 its sharper end on the left; a right one is its mirror image. A strip that runs past its neighbour sticks out on the \
                 inside of that one's seam side by so much: plane it flush before the frames go together.",
            );
        }
        if a.panel_kinds.len() > MOST_KINDS || a.timbers.len() > MOST_KINDS {
            self.say(format!(
                "The first {MOST_KINDS} kinds are shown; \"check --csv\" writes all {} kinds of panel and {} of strip.",
                a.panel_kinds.len(),
                a.timbers.len()
            ));
        }
    }

    /// Seams and kinds of panel on the surface laid flat: side by side where it is taller than wide.
    fn laid_flat(&mut self) {
        let a = self.assessment;
        // The letters of many panels want the whole width.
        let upright =
            a.panels.len() <= MOST_SIDE_BY_SIDE && height_laid_flat(a, 400.0, [340.0, 600.0]) >= 480.0;
        let tall = height_laid_flat(a, 760.0, [470.0, 640.0]);
        let [width, height] = if upright { [400.0, 480.0] } else { [760.0, tall] };
        let picture = |show: Shown| {
            let options = DrawOptions { view: View::Unrolled, show, model: None, width, height };
            draw(a, &options).ok()
        };
        let seams = picture(Shown::Seams);
        let panels = if a.panel_kinds.is_empty() { None } else { picture(Shown::Panels) };
        match (seams, panels) {
            (Some(seams), Some(panels)) if upright => self.gallery(
                vec![seams, panels],
                "The surface laid flat: ridge and valley seams, told apart by dash as well as colour, and kinds of panel.",
            ),
            (seams, panels) => {
                if let Some(seams) = seams {
                    self.figure(
                        seams,
                        "The surface laid flat, with ridge and valley seams told apart by dash as well as colour.",
                    );
                }
                if let Some(panels) = panels {
                    self.figure(panels, "The surface laid flat: kinds of panel.");
                }
            }
        }
    }

    pub(super) fn inputs(&mut self) {
        let a = self.assessment;
        self.heading("What was entered");
        self.say(
            "Each value with where it comes from: entered is the user's own; default is this program's, to be \
             confirmed; code is from the document named; estimate was worked out and is to be measured.",
        );
        let mut table = Table::new("Inputs", &["Key", "Value", "Origin", "Source or remark"]);
        // A value for which a source is asked: a number for a load, an anchor or a stiffness.
        let asked = |line: &InputLine| {
            ["snow.", "wind.", "cover.", "feet.", "joints."].iter().any(|start| line.key.starts_with(start))
                && line.value.starts_with(|c: char| c.is_ascii_digit())
                && !line.key.ends_with("directions_deg")
                && !line.key.ends_with("edition")
        };
        // A source stands beside the value that it is for.
        for line in a.inputs.iter().filter(|line| !line.key.ends_with(".source")) {
            let note = if line.note.is_empty() && line.origin == "entered" && asked(line) {
                "no source given".to_owned()
            } else {
                sentences(&line.note, 300)
            };
            // What the program says itself is in the reader's units and to its end; what was entered stands as it was.
            let value = if line.origin == "entered" {
                tame(&line.value, 400)
            } else {
                sentences(&self.show.sentence(&line.value), LONGEST)
            };
            table.row([
                Cell::plain(tame(&line.key, 60)),
                Cell::plain(value),
                Cell::plain(line.origin.clone()),
                Cell::plain(note),
            ]);
        }
        self.table(table, "No inputs were recorded with the results.");
        self.subheading("Assumed");
        self.list(&a.assumptions, "Nothing beyond the inputs above.");
    }
}
