//! The notes as a tree of blocks. HTML, Markdown and PDF are three ways to write the same tree, so
//! that what they say cannot differ.

mod anchors;
mod answer;
mod closing;
mod curve;
mod groups;
mod loads;
mod others;
mod places;
mod ranges;
mod results;
mod shell;
mod whole;
mod working;

use rayon::prelude::{IntoParallelRefIterator, ParallelIterator};

use crate::assess::results::Assessment;
use crate::report::draw::{DrawOptions, Shown, View, draw};
use crate::report::picture::Picture;
use crate::report::show::{Printer, sentences, tame};
use crate::rules::Standing;

/// The whole of the notes.
#[derive(Debug, Clone)]
pub struct Document {
    /// Name of the project, tamed.
    pub title: String,
    /// Feet and pounds, on Letter paper.
    pub imperial: bool,
    /// A line for the foot of every page.
    pub running: String,
    /// In reading order.
    pub blocks: Vec<Block>,
}

/// A piece of the notes.
#[derive(Debug, Clone)]
pub enum Block {
    /// A heading; level 1 is a numbered section.
    Heading {
        /// 1, 2 or 3.
        level: u8,
        /// With its number.
        text: String,
        /// Unique name to link to.
        id: String,
    },
    /// Running text.
    Paragraph(String),
    /// A framed statement.
    Callout {
        /// How it is marked.
        tone: Tone,
        /// First line.
        title: String,
        /// Further lines.
        lines: Vec<String>,
    },
    /// Bulleted lines.
    List(Vec<String>),
    /// Name and value pairs.
    Facts(Vec<(String, String)>),
    /// A table.
    Table(Table),
    /// A picture with its caption.
    Figure {
        /// Unique name.
        id: String,
        /// What is drawn.
        picture: Picture,
        /// What it shows and how to read it.
        caption: String,
    },
    /// Pictures side by side with one caption.
    Gallery {
        /// Unique name; the pictures take it with a number.
        id: String,
        /// What is drawn.
        pictures: Vec<Picture>,
        /// What they show and how to read them.
        caption: String,
    },
    /// Text as it stands in a file.
    Code {
        /// What file.
        title: String,
        /// Its text.
        text: String,
    },
    /// Where the turning view stands in HTML; other forms leave it out, for the figure that follows
    /// shows the same.
    Turning,
    /// On paper the next block begins a page.
    NewPage,
}

/// How a callout is marked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tone {
    /// The verdict, by how it stands.
    Verdict(Standing),
    /// The caution.
    Caution,
    /// Something to look at.
    Notice,
}

/// A table.
#[derive(Debug, Clone)]
pub struct Table {
    /// What it holds.
    pub caption: String,
    /// Headings.
    pub heads: Vec<Head>,
    /// Rows as long as `heads`.
    pub rows: Vec<Vec<Cell>>,
}

/// A column.
#[derive(Debug, Clone)]
pub struct Head {
    /// With its unit.
    pub text: String,
    /// Set to the right.
    pub numeric: bool,
}

/// A cell.
#[derive(Debug, Clone)]
pub struct Cell {
    /// What it says.
    pub text: String,
    /// A utilisation is marked by where it stands.
    pub standing: Option<Standing>,
}

/// Characters of what the program says itself; what is longer ends with a sentence.
const LONGEST: usize = 1500;
/// Characters of the name of a combination, which has those of own cases in it.
const COMBINATION: usize = 300;

/// Characters up to which the text of a cell keeps to one line: "47 mm × 95 mm", "EN 1995-1-1 (8.30)".
const SHORT: usize = 20;

impl Cell {
    /// Whether its text keeps to one line.
    pub(crate) fn is_short(&self) -> bool {
        self.text.chars().count() <= SHORT
    }

    fn plain(text: impl Into<String>) -> Self {
        Self { text: text.into(), standing: None }
    }

    fn utilisation(value: f64) -> Self {
        Self { text: crate::report::show::utilisation(value), standing: Some(Standing::of(value)) }
    }

    fn maybe(value: Option<f64>) -> Self {
        value.map_or_else(|| Self::plain("–"), Self::utilisation)
    }
}

impl Table {
    /// An empty table. A heading that begins with `#` is a column of numbers.
    fn new(caption: &str, heads: &[&str]) -> Self {
        let heads = heads
            .iter()
            .map(|head| Head {
                text: head.trim_start_matches('#').to_owned(),
                numeric: head.starts_with('#'),
            })
            .collect();
        Self { caption: caption.to_owned(), heads, rows: Vec::new() }
    }

    fn row(&mut self, cells: impl Into<Vec<Cell>>) {
        let cells = cells.into();
        debug_assert_eq!(cells.len(), self.heads.len(), "{}", self.caption);
        self.rows.push(cells);
    }
}

/// The parts of the notes in the order in which a checker reads them.
const PARTS: [fn(&mut Builder<'_>); 16] = [
    |notes| notes.answer(),
    |notes| notes.ranges(),
    |notes| notes.shell(),
    |notes| notes.inputs(),
    |notes| notes.loads(),
    |notes| notes.models(),
    |notes| notes.groups(),
    |notes| notes.workings(),
    |notes| notes.stability(),
    |notes| notes.feet(),
    |notes| notes.fixings(),
    |notes| notes.sag(),
    |notes| notes.reserves(),
    |notes| notes.seam_curve(),
    |notes| notes.hand_checks(),
    |notes| notes.closing(),
];

/// Builds the notes. Drawings of a large shell take long: the parts are made side by side and numbered when all are there.
#[must_use]
pub fn notes(assessment: &Assessment) -> Document {
    let show = Printer::new(&assessment.units);
    let part = |write: &fn(&mut Builder<'_>)| {
        let mut builder = Builder { assessment, show, blocks: Vec::new() };
        write(&mut builder);
        builder.blocks
    };
    let parts: Vec<Vec<Block>> = PARTS.par_iter().map(part).collect();
    let mut blocks = parts.concat();
    number(&mut blocks);
    Document {
        imperial: show.imperial(),
        running: format!("{} · indicative only", tame(&assessment.project, 60)),
        title: tame(&assessment.project, 120),
        blocks,
    }
}

/// Numbers sections and figures, and gives everything that can be linked to its name.
fn number(blocks: &mut [Block]) {
    let (mut sections, mut figures) = (0, 0);
    for (place, block) in blocks.iter_mut().enumerate() {
        match block {
            Block::Heading { level: 1, text, id } => {
                sections += 1;
                *id = format!("section-{sections}");
                *text = format!("{sections} {text}");
            }
            Block::Heading { id, .. } => *id = format!("part-{place}"),
            Block::Figure { id, caption, .. } | Block::Gallery { id, caption, .. } => {
                figures += 1;
                *id = format!("figure-{figures}");
                *caption = format!("Figure {figures}. {caption}");
            }
            _ => {}
        }
    }
}

/// A part of the notes under way; [`number`] numbers its headings and figures.
struct Builder<'a> {
    assessment: &'a Assessment,
    show: Printer,
    blocks: Vec<Block>,
}

impl Builder<'_> {
    fn heading(&mut self, text: &str) {
        self.blocks.push(Block::Heading { level: 1, text: text.to_owned(), id: String::new() });
    }

    fn subheading(&mut self, text: &str) {
        self.blocks.push(Block::Heading { level: 2, text: text.to_owned(), id: String::new() });
    }

    fn say(&mut self, text: impl Into<String>) {
        self.blocks.push(Block::Paragraph(text.into()));
    }

    fn notice(&mut self, title: &str, lines: Vec<String>) {
        self.blocks.push(Block::Callout { tone: Tone::Notice, title: title.to_owned(), lines });
    }

    fn list(&mut self, lines: &[String], none: &str) {
        if lines.is_empty() {
            self.say(none);
        } else {
            self.blocks.push(Block::List(lines.iter().map(|line| sentences(line, 1000)).collect()));
        }
    }

    fn table(&mut self, table: Table, none: &str) {
        if table.rows.is_empty() {
            self.say(none);
        } else {
            self.blocks.push(Block::Table(table));
        }
    }

    fn figure(&mut self, picture: Picture, caption: &str) {
        self.blocks.push(Block::Figure { id: String::new(), picture, caption: caption.to_owned() });
    }

    /// Pictures of one size side by side.
    fn gallery(&mut self, pictures: Vec<Picture>, caption: &str) {
        self.blocks.push(Block::Gallery { id: String::new(), pictures, caption: caption.to_owned() });
    }

    /// A drawing of the shell; where the results hold nothing of the kind, nothing is drawn.
    fn drawing(
        &mut self,
        view: View,
        show: Shown,
        model: Option<String>,
        size: [f64; 2],
        caption: &str,
    ) -> bool {
        let options = DrawOptions { view, show, model, width: size[0], height: size[1] };
        match draw(self.assessment, &options) {
            Ok(picture) => {
                self.figure(picture, caption);
                true
            }
            Err(_) => false,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::sample::sample;

    #[test]
    fn every_table_has_rows_of_its_own_width() {
        for block in notes(&sample()).blocks {
            if let Block::Table(table) = block {
                for row in &table.rows {
                    assert_eq!(row.len(), table.heads.len(), "{}", table.caption);
                }
            }
        }
    }

    #[test]
    fn sections_that_the_text_names_have_those_numbers() {
        let document = notes(&sample());
        for wanted in ["6 Joint models and their range", "16 What is not covered"] {
            let there = |block: &Block| matches!(block, Block::Heading { text, .. } if text == wanted);
            assert!(document.blocks.iter().any(there), "{wanted}");
        }
    }

    #[test]
    fn the_reserves_are_drawn_and_listed() {
        let blocks = notes(&sample()).blocks;
        let drawn = blocks.iter().find_map(|block| match block {
            Block::Figure { picture, .. } if picture.title.contains("How much more") => Some(picture),
            _ => None,
        });
        let words = &drawn.unwrap().description;
        assert!(
            words
                .contains("Over as entered; it is within the limits up to 0.534 kN/m² (0.89 times): bending"),
            "{words}"
        );
        assert!(words.contains("No limit found up to 5 kN/m² (10 times)"), "{words}");
    }

    #[test]
    fn a_default_is_told_in_the_readers_units_and_what_was_entered_as_it_was() {
        let mut assessment = sample();
        assessment.units = "imperial".to_owned();
        let line = |key: &str, value: &str, origin: &str| crate::assess::results::InputLine {
            key: key.to_owned(),
            value: value.to_owned(),
            origin: origin.to_owned(),
            note: String::new(),
        };
        assessment.inputs =
            vec![line("wind.wall_height", "0 m", "default"), line("shell.span", "4 m", "entered")];
        let cells = notes(&assessment).blocks.into_iter().find_map(|block| match block {
            Block::Table(table) if table.caption == "Inputs" => Some(table.rows),
            _ => None,
        });
        let values: Vec<String> = cells.unwrap().iter().map(|row| row[1].text.clone()).collect();
        assert_eq!(values, ["0 ft", "4 m"]);
    }

    #[test]
    fn ids_are_unique() {
        let mut seen = std::collections::BTreeSet::new();
        for block in notes(&sample()).blocks {
            if let Block::Heading { id, .. } | Block::Figure { id, .. } = block {
                assert!(seen.insert(id.clone()), "{id}");
            }
        }
    }

    #[test]
    fn a_result_with_nothing_solved_still_makes_notes() {
        let mut assessment = sample();
        assessment.models.clear();
        assessment.worst_list.clear();
        assessment.workings.clear();
        assessment.feet.clear();
        assessment.anchors.clear();
        assessment.seam_curve.clear();
        for member in &mut assessment.members {
            member.worst = None;
            member.by_model.clear();
            member.axial.clear();
            member.moment.clear();
            member.fixings = None;
        }
        assert!(notes(&assessment).blocks.len() > 20);
    }
}
