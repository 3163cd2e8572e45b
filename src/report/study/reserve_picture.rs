//! The picture of `reserve`: a bar a load against the entered value, and snow against wind as a grid.
//!
//! What is entered is solid, what is left is hatched one way, what is over is hatched both ways, and every
//! verdict stands in words: no meaning rests on a colour alone.

use super::amount::Amount;
use super::{asides, show, whose};
use crate::assess::results::{Reserve, ReserveStanding as Standing, Verdict};
use crate::report::font;
use crate::report::picture::chart::head;
use crate::report::picture::{Anchor, Item, Pen, Picture, Words, tint::Tint};
use crate::report::show::{self as showing, Printer, figures, tame, utilisation};
use crate::study::Title;
use crate::study::reserve::{Grid, Reserves};
use crate::study::vary::Load;

/// Width of the picture.
const WIDE: f64 = 820.0;
/// Where bars and the grid begin: room for the names of loads at their left.
const LEFT: f64 = 196.0;
/// Where bars end.
const RIGHT: f64 = WIDE - 40.0;
/// Height of a bar.
const BAR: f64 = 18.0;
/// Height of a line of words.
const LINE: f64 = 14.0;
/// Size of the words.
const SIZE: f64 = 10.5;
/// Height of a cell of the grid.
const CELL: f64 = 34.0;
/// Times the entered value up to which the axis goes at most; a longer bar ends in an arrow.
const MOST: f64 = 6.0;

/// Left, top, right, bottom.
type Box4 = [f64; 4];

/// Reserves as bars, and snow against wind as a grid of verdicts.
#[must_use]
pub fn reserve_picture(project: &Title, study: &Reserves) -> Option<Picture> {
    let show = show(project);
    let bars = study.loads.iter().map(|one| Bar {
        name: one.name.clone(),
        amount: Amount::of(show, one),
        standing: one.standing,
        factor: one.factor,
        tried: one.tried,
        gives: one.gives(),
    });
    draw(&project.name, show, &bars.collect::<Vec<_>>(), Some((study, &asides(project))))
}

/// Reserves as bars alone, of what the notes hold of them.
pub(crate) fn load_reserves_picture(name: &str, units: &str, reserves: &[Reserve]) -> Option<Picture> {
    let show = Printer::new(units);
    let bars = reserves.iter().map(|one| Bar {
        name: one.load.clone(),
        amount: Amount::of_notes(show, one),
        standing: one.standing,
        factor: one.factor,
        tried: one.tried,
        gives: one.gives.clone(),
    });
    draw(name, show, &bars.collect::<Vec<_>>(), None)
}

/// One load as it is drawn.
struct Bar {
    name: String,
    amount: Amount,
    standing: Standing,
    factor: Option<f64>,
    tried: f64,
    gives: String,
}

fn draw(name: &str, show: Printer, bars: &[Bar], study: Option<(&Reserves, &[String])>) -> Option<Picture> {
    if bars.is_empty() {
        return None;
    }
    let title = "How much more of each load until the first limit";
    let mut picture = Picture::new(WIDE, 0.0, title);
    let (study, asides) = study.map_or((None, &[][..]), |(study, asides)| (Some(study), asides));
    let whose = whose(name, study.map_or(0, |study| study.left_out));
    let mut y = head(&mut picture, title, &whose, asides);
    let most = bars.iter().filter_map(|one| one.factor).fold(1.0, f64::max);
    let top = (most * 1.12).clamp(1.6, MOST);
    let axis = Axis { top };
    y = key(&mut picture, y);
    for one in bars {
        y = bar(&mut picture, &axis, one, y);
    }
    y = axis.draw(&mut picture, bars.iter().any(|one| one.amount.is_speed()), y);
    picture.description = bars.iter().map(describe).collect::<Vec<_>>().join(" ");
    if let Some((study, grid)) = study.and_then(|study| Some((study, study.grid.as_ref()?))) {
        y = table(&mut picture, show, study, grid, y + 26.0);
        picture.description += &describe_grid(show, study, grid);
    }
    picture.caution([WIDE - 14.0, y + 14.0], "");
    picture.height = (y + 26.0).ceil();
    Some(picture)
}

fn write(picture: &mut Picture, at: [f64; 2], text: &str, size: f64, anchor: Anchor, tint: Tint) {
    picture.words(Words {
        at,
        text: text.to_owned(),
        size,
        bold: false,
        tint,
        anchor,
        turned: false,
        haloed: false,
    });
}

fn bold(picture: &mut Picture, at: [f64; 2], text: &str, size: f64) {
    write(picture, at, text, size, Anchor::Start, Tint::Ink);
    if let Some(Item::Text(words)) = picture.items.last_mut() {
        words.bold = true;
    }
}

fn outline(picture: &mut Picture, [l, t, r, b]: Box4, pen: Pen) {
    picture.lines(vec![vec![[l, t], [r, t], [r, b], [l, b], [l, t]]], pen);
}

fn fill(picture: &mut Picture, [l, t, r, b]: Box4, tint: Tint, opacity: f64) {
    if r > l {
        picture.areas(vec![vec![[l, t], [r, t], [r, b], [l, b]]], tint, opacity);
    }
}

/// Parallel lines at 45 degrees within a box, rising to the right or falling.
fn hatch(picture: &mut Picture, [l, t, r, b]: Box4, apart: f64, rising: bool, pen: Pen) {
    let (wide, tall) = (r - l, b - t);
    if wide <= 0.0 || apart <= 0.0 {
        return;
    }
    let mut strokes = Vec::new();
    let mut at = apart - tall;
    while at < wide {
        // From the point `at` along the lower edge, up to the right, cut to the box.
        let (from, to) = (at.max(0.0), (at + tall).min(wide));
        let up = |x: f64| if rising { b - (x - at) } else { t + (x - at) };
        strokes.push(vec![[l + from, up(from)], [l + to, up(to)]]);
        at += apart;
    }
    picture.lines(strokes, pen);
}

/// What is left: a hatch one way. What is over: a hatch both ways.
fn left_of(picture: &mut Picture, of: Box4) {
    fill(picture, of, Tint::Worked(1), 0.2);
    hatch(picture, of, 7.0, true, Pen::solid(Tint::Worked(2), 0.9));
}

fn over(picture: &mut Picture, of: Box4) {
    fill(picture, of, Tint::Worked(5), 0.1);
    for rising in [true, false] {
        hatch(picture, of, 7.0, rising, Pen::solid(Tint::Worked(5), 0.8));
    }
}

/// What the marks of the bars mean.
fn key(picture: &mut Picture, y: f64) -> f64 {
    let mut x = 20.0;
    let (t, b) = (y + 4.0, y + 14.0);
    for (n, words) in [
        "entered, within the limits",
        "room until the first limit",
        "over its limit",
        "first limit",
        "as entered",
    ]
    .into_iter()
    .enumerate()
    {
        let of = [x, t, x + 26.0, b];
        match n {
            0 => fill(picture, of, Tint::Worked(3), 1.0),
            1 => left_of(picture, of),
            2 => over(picture, of),
            3 => tick(picture, x + 13.0, t - 2.0, b + 2.0),
            _ => picture.line(
                [x + 13.0, t - 4.0],
                [x + 13.0, b + 4.0],
                Pen::dashed(Tint::Ink, 1.4, &[3.0, 2.0]),
            ),
        }
        if n < 3 {
            outline(picture, of, Pen::solid(Tint::Ink, 0.8));
        }
        write(picture, [x + 32.0, b - 1.0], words, SIZE, Anchor::Start, Tint::Ink);
        x += 52.0 + font::width(words, SIZE, false);
    }
    b + 22.0
}

/// The mark of a limit: a thick line with a triangle on it.
fn tick(picture: &mut Picture, x: f64, top: f64, bottom: f64) {
    picture.line([x, top], [x, bottom], Pen::solid(Tint::Worked(5), 2.8));
    picture.areas(
        vec![vec![[x - 5.0, top - 5.0], [x + 5.0, top - 5.0], [x, top + 3.0]]],
        Tint::Worked(5),
        1.0,
    );
}

struct Axis {
    top: f64,
}

impl Axis {
    fn at(&self, factor: f64) -> f64 {
        LEFT + (RIGHT - LEFT) * factor.min(self.top) / self.top
    }

    /// The axis under the bars, with its figures.
    fn draw(&self, picture: &mut Picture, with_speed: bool, y: f64) -> f64 {
        let step = if self.top > 3.0 { 1.0 } else { 0.5 };
        let mut value = 0.0;
        while value <= self.top + 1e-9 {
            let x = self.at(value);
            picture.line([x, y], [x, y + 5.0], Pen::solid(Tint::Soft, 1.0));
            write(picture, [x, y + 17.0], &figures(value, 2, 1), SIZE, Anchor::Middle, Tint::Soft);
            value += step;
        }
        picture.line([LEFT, y], [RIGHT, y], Pen::solid(Tint::Soft, 1.0));
        let words = if with_speed {
            "times the entered value, each load alone (of the wind: times the pressure of the speed entered)"
        } else {
            "times the entered value, each load alone"
        };
        write(picture, [0.5 * (LEFT + RIGHT), y + 33.0], words, 12.0, Anchor::Middle, Tint::Ink);
        y + 38.0
    }
}

/// The bar of one load and what gives first; answers with where the next begins.
fn bar(picture: &mut Picture, axis: &Axis, one: &Bar, y: f64) -> f64 {
    let (t, b) = (y + 6.0, y + 6.0 + BAR);
    let part = |from: f64, to: f64| [axis.at(from), t, axis.at(to), b];
    let limit = one.factor.unwrap_or(0.0);
    match one.standing {
        Standing::Above | Standing::NoneFound => {
            fill(picture, part(0.0, 1.0), Tint::Worked(3), 1.0);
            let end = if one.standing == Standing::Above { limit } else { one.tried };
            left_of(picture, part(1.0, end));
            outline(picture, part(0.0, end), Pen::solid(Tint::Ink, 0.9));
            if end > axis.top {
                let middle = 0.5 * (t + b);
                picture.arrow([RIGHT - 2.0, middle], [RIGHT + 24.0, middle], &Pen::solid(Tint::Ink, 1.6));
            } else if one.standing == Standing::Above {
                tick(picture, axis.at(limit), t - 3.0, b + 3.0);
            }
        }
        Standing::Below => {
            fill(picture, part(0.0, limit), Tint::Worked(3), 1.0);
            over(picture, part(limit, 1.0));
            outline(picture, part(0.0, 1.0), Pen::solid(Tint::Ink, 0.9));
            tick(picture, axis.at(limit), t - 3.0, b + 3.0);
        }
        Standing::OverWithoutIt => {
            over(picture, part(0.0, 1.0));
            outline(picture, part(0.0, 1.0), Pen::solid(Tint::Ink, 0.9));
        }
    }
    // Where the load is as entered; not through the words.
    picture.line([axis.at(1.0), t - 6.0], [axis.at(1.0), b + 6.0], Pen::dashed(Tint::Ink, 1.4, &[3.0, 2.0]));
    bold(picture, [20.0, t + 8.0], &showing::capital(&one.name), 11.5);
    let entered = font::wrap(&one.amount.entered(), SIZE, false, LEFT - 24.0);
    for (n, words) in entered.iter().enumerate() {
        let line = t + 8.0 + LINE * (n as f64 + 1.0);
        write(picture, [20.0, line], words, SIZE, Anchor::Start, Tint::Soft);
    }
    let mut line = b + 4.0;
    for words in font::wrap(&told(one), SIZE, false, RIGHT - LEFT) {
        line += LINE;
        write(picture, [LEFT, line - 1.0], &words, SIZE, Anchor::Start, Tint::Ink);
    }
    line + 12.0
}

/// The reserve of one load in words.
fn told(one: &Bar) -> String {
    let at = |factor: f64| one.amount.at(factor);
    let gives = tame(&one.gives, 600);
    match (one.standing, one.factor) {
        (Standing::Above, Some(f)) => format!("First limit at {}: {gives}.", at(f)),
        (Standing::Below, Some(f)) => {
            format!("Over as entered; it is within the limits up to {}: {gives}.", at(f))
        }
        (Standing::OverWithoutIt, _) => format!("Over as entered, and with none of this load too: {gives}."),
        _ => format!("No limit found up to {}.", at(one.tried)),
    }
}

/// One load at a factor of it.
fn value(show: Printer, study: &Reserves, load: Load, factor: f64) -> String {
    let one = study.loads.iter().find(|r| r.load == load);
    one.map_or_else(String::new, |one| Amount::of(show, one).head(factor))
}

/// Verdict and worst utilisation of a cell, in words.
fn cell_words(verdict: Option<Verdict>, worst: Option<f64>) -> String {
    match (verdict, worst) {
        (None, _) => "stopped".to_owned(),
        (Some(Verdict::Unstable), _) => "unstable".to_owned(),
        (Some(v), Some(w)) => format!("{} {}", showing::verdict(v), utilisation(w)),
        (Some(v), None) => format!("{} beyond", showing::verdict(v)),
    }
}

/// Snow against wind; answers with where it ends.
fn table(picture: &mut Picture, show: Printer, study: &Reserves, grid: &Grid, y: f64) -> f64 {
    bold(picture, [20.0, y], "Snow against wind: the verdict and the worst utilisation", 13.0);
    let wide = (RIGHT - LEFT) / grid.wind.len().max(1) as f64;
    let top = y + 40.0;
    let wind = study.loads.iter().find(|r| r.load == Load::Wind);
    let wind = if wind.is_some_and(|wind| wind.entered_speed.is_some()) {
        "wind speed (its pressure goes with the square of it)"
    } else {
        "wind pressure"
    };
    write(picture, [LEFT, y + 18.0], wind, SIZE, Anchor::Start, Tint::Soft);
    write(picture, [20.0, top - 6.0], "ground snow", SIZE, Anchor::Start, Tint::Soft);
    for (w, &factor) in grid.wind.iter().enumerate() {
        let middle = LEFT + (w as f64 + 0.5) * wide;
        let words = value(show, study, Load::Wind, factor);
        write(picture, [middle, top - 6.0], &words, SIZE, Anchor::Middle, Tint::Ink);
    }
    let mut entered = None;
    for (s, &factor) in grid.snow.iter().enumerate() {
        let t = top + s as f64 * CELL;
        let words = value(show, study, Load::Snow, factor);
        write(picture, [LEFT - 10.0, t + 0.5 * CELL + 4.0], &words, SIZE, Anchor::End, Tint::Ink);
        for (w, &wind) in grid.wind.iter().enumerate() {
            let of = [LEFT + w as f64 * wide, t, LEFT + (w as f64 + 1.0) * wide, t + CELL];
            cell(picture, of, grid.verdict[s][w], grid.worst[s][w]);
            if (factor - 1.0).abs() < 1e-9 && (wind - 1.0).abs() < 1e-9 {
                entered = Some(of);
            }
        }
    }
    let mut end = top + grid.snow.len() as f64 * CELL;
    if let Some(of) = entered {
        outline(picture, of, Pen::solid(Tint::Ink, 3.0));
        end += 18.0;
        let words = "Thick outline: as entered. Plain: within; lines one way: near; both ways: over; close \
                     both ways: unstable.";
        write(picture, [LEFT, end], words, SIZE, Anchor::Start, Tint::Soft);
    }
    end
}

fn cell(picture: &mut Picture, of: Box4, verdict: Option<Verdict>, worst: Option<f64>) {
    match verdict {
        None => {}
        Some(Verdict::Within) => fill(picture, of, Tint::Worked(1), 0.15),
        Some(Verdict::Near) => {
            fill(picture, of, Tint::Worked(4), 0.15);
            hatch(picture, of, 9.0, true, Pen::solid(Tint::Worked(4), 0.8).faint(0.8));
        }
        Some(Verdict::Over | Verdict::Unstable) => {
            fill(picture, of, Tint::Worked(5), 0.1);
            let apart = if verdict == Some(Verdict::Unstable) { 4.5 } else { 9.0 };
            for rising in [true, false] {
                hatch(picture, of, apart, rising, Pen::solid(Tint::Worked(5), 0.7).faint(0.7));
            }
        }
    }
    outline(picture, of, Pen::solid(Tint::Soft, 0.8));
    // A plate under the words, so that they read over the lines.
    let words = cell_words(verdict, worst);
    let half = 0.5 * font::width(&words, 11.0, true) + 5.0;
    let (x, y) = (0.5 * (of[0] + of[2]), 0.5 * (of[1] + of[3]));
    fill(picture, [x - half, y - 8.5, x + half, y + 8.5], Tint::Ground, 1.0);
    picture.words(Words {
        at: [x, y + 4.0],
        text: words,
        size: 11.0,
        bold: true,
        tint: Tint::Ink,
        anchor: Anchor::Middle,
        turned: false,
        haloed: false,
    });
}

/// A bar in words, for one who cannot see it.
fn describe(one: &Bar) -> String {
    let entered = one.amount.entered();
    let entered = if entered == "as entered" { String::new() } else { format!(", {entered}") };
    format!("{}{entered}: {}", showing::capital(&one.name), told(one))
}

/// The grid in words.
fn describe_grid(show: Printer, study: &Reserves, grid: &Grid) -> String {
    let mut out = String::new();
    for (s, &snow) in grid.snow.iter().enumerate() {
        let cells: Vec<String> = grid
            .wind
            .iter()
            .enumerate()
            .map(|(w, &wind)| {
                let words = cell_words(grid.verdict[s][w], grid.worst[s][w]);
                format!("wind {} {words}", value(show, study, Load::Wind, wind))
            })
            .collect();
        out += &format!(" Snow {}: {}.", value(show, study, Load::Snow, snow), cells.join(", "));
    }
    out
}
