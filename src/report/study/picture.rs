//! One picture a study: utilisation against mass, size or stiffness, the limits drawn.

use plotters::{
    chart::{ChartBuilder, LabelAreaPosition},
    coord::Shift,
    drawing::{DrawingArea, IntoDrawingArea},
    element::{Circle, Cross, Text, TriangleMarker},
    prelude::IntoLogRange,
    series::LineSeries,
    style::{Color, IntoFont, ShapeStyle, TextStyle},
};

use super::{asides, name, show, timber, whose};
use crate::assess::results::Verdict;
use crate::report::font;
use crate::report::picture::chart::{Canvas, FINE, colour, head};
use crate::report::picture::{Picture, tint::Tint};
use crate::report::show::{figures, tame, utilisation, verdict};
use crate::rules::Standing;
use crate::study::Title;
use crate::study::compare::Compared;
use crate::study::row::Row;
use crate::study::seams::SeamStudy;
use crate::study::span::{Crossing, Swept};

/// Size of a picture.
const WIDE: f64 = 820.0;
/// See [`WIDE`].
const TALL: f64 = 470.0;
/// Height of a head that says nothing beside the title.
const BARE_HEAD: f64 = 60.0;
/// Room at the left for the figures of the axis.
const LEFT: f64 = 52.0;
/// Room below for those of the other.
const BELOW: f64 = 46.0;
/// Room under the axis for the note at the foot.
const NOTE: f64 = 10.0;
/// Room at the edges.
const EDGE: f64 = 14.0;

/// Above this a utilisation is drawn at the upper edge.
const TOP: f64 = 2.5;

/// Colours of lines, told apart by their width too.
const LINES: [Tint; 6] = [Tint::Pull, Tint::Push, Tint::Ink, Tint::Ridge, Tint::Valley, Tint::Moved];

struct Series {
    name: String,
    /// Across and up; infinite where no figure says how far over it is, or where it is unstable.
    points: Vec<(f64, f64)>,
    /// How each is marked.
    marks: Vec<Mark>,
    labels: Vec<String>,
    joined: bool,
}

/// What a point of a series is.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Mark {
    /// Something that was worked out.
    Dot,
    /// The same, and unstable.
    Unstable,
    /// The last place that holds before the limit is crossed.
    Crossing,
    /// The first place beyond it: the line goes there, and nothing is marked.
    Beyond,
}

impl Series {
    fn new(name: String, joined: bool) -> Self {
        Self { name, points: Vec::new(), marks: Vec::new(), labels: Vec::new(), joined }
    }

    fn point(&mut self, at: (f64, f64), mark: Mark, label: String) {
        self.points.push(at);
        self.marks.push(mark);
        self.labels.push(label);
    }

    /// Adds what a row comes to. Something unstable has no height of its own, whatever its other figures are.
    fn row(&mut self, across: f64, row: &Row, label: String) {
        let unstable = row.verdict == Verdict::Unstable;
        let up = row.worst.filter(|_| !unstable).unwrap_or(f64::INFINITY);
        self.point((across, up), if unstable { Mark::Unstable } else { Mark::Dot }, label);
    }

    /// Adds where the limit is crossed, both sides of it, in the order of the sizes.
    fn crossing(&mut self, across: f64, crossing: &Crossing) {
        let up = |k: usize| {
            let figure = crossing.worst[k].filter(|_| crossing.verdicts[k] != Verdict::Unstable);
            (across, figure.unwrap_or(f64::INFINITY))
        };
        let mut sides = [(up(0), Mark::Crossing), (up(1), Mark::Beyond)];
        if !crossing.holds_below {
            sides.reverse();
        }
        sides.into_iter().for_each(|(at, mark)| self.point(at, mark, String::new()));
    }
}

struct Chart {
    title: &'static str,
    across: String,
    log: bool,
    series: Vec<Series>,
    /// Rows that are missing, as the work was stopped.
    left_out: usize,
}

/// Mass against utilisation.
#[must_use]
pub fn compare_picture(project: &Title, study: &Compared) -> Option<Picture> {
    let show = show(project);
    let mut series = Series::new(String::new(), false);
    for c in &study.candidates {
        let Some((mass, row)) = c.mass.zip(c.row.as_ref()) else { continue };
        // Those that nothing beats are named; the others are told by the table.
        let named = c.holds() && !c.dominated || study.candidates.len() <= 8;
        let label = if named { name(show, c) } else { String::new() };
        series.row(if show.imperial() { mass / crate::units::POUND } else { mass }, row, label);
    }
    let unit = if show.imperial() { "lb" } else { "kg" };
    draw(
        project,
        &Chart {
            title: "Worst utilisation against the mass of the timber",
            across: format!("mass of all timber, {unit}"),
            log: false,
            series: vec![series],
            left_out: study.left_out,
        },
    )
}

/// Utilisation against the swept size, a line a timber.
#[must_use]
pub fn span_picture(project: &Title, study: &Swept) -> Option<Picture> {
    let show = show(project);
    let series = study.sweeps.iter().map(|sweep| {
        let name = format!("{} {}", timber(show, sweep.breadth, sweep.depth), tame(&sweep.grade, 20));
        let mut series = Series::new(name, true);
        let size = |value: f64, span: f64| match (study.counted, show.imperial()) {
            (true, _) => value,
            (false, true) => span / crate::units::FOOT,
            (false, false) => span,
        };
        for (n, step) in sweep.steps.iter().enumerate() {
            if let Some((span, row)) = step.span.zip(step.row.as_ref()) {
                series.row(size(step.value, span), row, String::new());
            }
            // Counts cross between two points that are there already.
            let Some(next) = sweep.steps.get(n + 1).filter(|_| !study.counted) else { continue };
            let here =
                |c: &&Crossing| (step.value..=next.value).contains(&(0.5 * (c.between[0] + c.between[1])));
            for crossing in sweep.crossings.iter().filter(here) {
                if let Some(span) = crossing.span {
                    series.crossing(size(crossing.between[0], span), crossing);
                }
            }
        }
        series
    });
    let unit = if show.imperial() { "ft" } else { "m" };
    draw(
        project,
        &Chart {
            title: "Worst utilisation against the size",
            across: if study.counted {
                study.vary.clone()
            } else {
                format!("across, between outermost joints, {unit}")
            },
            log: false,
            series: series.collect(),
            left_out: study.left_out,
        },
    )
}

/// Utilisation against the stiffness of the seams.
#[must_use]
pub fn seams_picture(project: &Title, study: &SeamStudy) -> Option<Picture> {
    let (one, unit) = if show(project).imperial() {
        (crate::units::POUND_FORCE, "lbf·ft/rad per ft")
    } else {
        (crate::units::KILONEWTON, "kN·m/rad per m")
    };
    let mut worst = Series::new("worst of all".to_owned(), true);
    let mut timbers = Series::new("worst timber".to_owned(), true);
    for point in &study.points {
        worst.row(point.stiffness / one, &point.row, String::new());
        if let Some(timber) = point.row.models.first().and_then(|m| m.timber) {
            timbers.point((point.stiffness / one, timber), Mark::Dot, String::new());
        }
    }
    // Nothing has no place on this axis.
    let none = study.pinned.as_ref().map_or_else(String::new, |pinned| {
        let figure = pinned.worst.filter(|_| pinned.verdict != Verdict::Unstable).map(utilisation);
        let figure = figure.map_or_else(String::new, |figure| format!(" {figure}"));
        format!(" (with none, pinned: {}{figure})", verdict(pinned.verdict))
    });
    draw(
        project,
        &Chart {
            title: "Worst utilisation against the stiffness of the seams",
            across: format!("stiffness of the seams, {unit}{none}"),
            log: true,
            series: vec![worst, timbers],
            left_out: study.left_out,
        },
    )
}

fn draw(project: &Title, chart: &Chart) -> Option<Picture> {
    let points = || chart.series.iter().flat_map(|s| &s.points);
    let low = points().map(|p| p.0).reduce(f64::min)?;
    let high = points().map(|p| p.0).reduce(f64::max)?;
    let range = if chart.log {
        [low / 1.1, high * (high / low).max(1.1).powf(0.12)]
    } else {
        let room = (0.06 * (high - low)).max(0.02 * high.abs()).max(1e-6);
        [low - room, high + 2.2 * room]
    };
    // Room above for the names of the lines.
    let named = chart.series.iter().filter(|s| s.joined).count().min(6) as f64;
    let top = points().map(|p| p.1).fold(1.2, f64::max).min(TOP) * (1.06 + 0.05 * named);
    let mut picture = Picture::new(WIDE, TALL, chart.title);
    let above = head(&mut picture, chart.title, &whose(&project.name, chart.left_out), &asides(project));
    let tall = TALL + above - BARE_HEAD;
    picture.height = tall;
    let tell = |s: &Series| {
        let told = s.points.iter().zip(&s.labels).zip(&s.marks).filter(|(_, mark)| **mark != Mark::Beyond);
        let each = told.map(|((p, l), mark)| {
            let of_limit = match mark {
                Mark::Unstable => "unstable".to_owned(),
                Mark::Crossing => format!("{}, where the limit is crossed", utilisation(p.1)),
                Mark::Dot | Mark::Beyond => utilisation(p.1),
            };
            format!("{} {}: {of_limit}", l, figures(p.0, 3, 2)).trim().to_owned()
        });
        format!("{} {}", s.name, each.collect::<Vec<_>>().join("; ")).trim().to_owned()
    };
    picture.description = chart.series.iter().map(tell).collect::<Vec<_>>().join(". ");
    let area = Canvas::new(&mut picture).into_drawing_area();
    let done = if chart.log {
        plot(&area, chart, above, top, (range[0]..range[1]).log_scale())
    } else {
        plot(&area, chart, above, top, range[0]..range[1])
    };
    done.ok()?;
    drop(area);
    let cut = chart.series.iter().flat_map(|s| &s.points).any(|p| p.1 > top);
    let has = |mark| chart.series.iter().flat_map(|s| &s.marks).any(|m| *m == mark);
    let note = match (cut, has(Mark::Unstable)) {
        (_, true) => "Higher ones sit on the upper edge; crosses are unstable.",
        (true, false) => "Higher ones sit on the upper edge.",
        (false, false) => "",
    };
    let crossed = if has(Mark::Crossing) { "Triangles: the limit is crossed." } else { "" };
    let note = [note, crossed].join(" ");
    let note = note.trim();
    picture.caution([WIDE - 14.0, tall - 10.0], note);
    Some(picture)
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "sizes in a small picture")]
fn fine(units: f64) -> u32 {
    (units * FINE) as u32
}

fn text(units: f64, tint: Tint) -> TextStyle<'static> {
    ("sans-serif", units * FINE).into_font().color(&colour(tint))
}

/// Begins a little to the right of its point.
fn beside(style: TextStyle<'static>) -> TextStyle<'static> {
    use plotters::style::text_anchor::{HPos, Pos, VPos};
    style.pos(Pos::new(HPos::Left, VPos::Top))
}

fn line(tint: Tint, units: f64) -> ShapeStyle {
    ShapeStyle::from(colour(tint)).stroke_width(fine(units))
}

/// Where across a chart names of a width stand above a height clear of every curve, as far left as can be; at the left where they
/// nowhere do. Widths and places are shares of the chart.
pub(super) fn clear(curves: &[Vec<(f64, f64)>], wide: f64, height: f64) -> f64 {
    let places = (0..=40).map(|k| f64::from(k) / 40.0 * (1.0 - wide).max(0.0));
    let free = |from: f64| curves.iter().all(|curve| highest(curve, from, from + wide) < height);
    places.into_iter().find(|&from| free(from)).unwrap_or(0.0)
}

/// The highest that a curve of straight pieces comes between two places.
pub(super) fn highest(curve: &[(f64, f64)], from: f64, to: f64) -> f64 {
    let mut most = f64::NEG_INFINITY;
    for pair in curve.windows(2) {
        let [(x0, y0), (x1, y1)] = [pair[0], pair[1]];
        let (start, end) = (from.max(x0), to.min(x1));
        if start <= end {
            let at = |x: f64| if x1 > x0 { y0 + (y1 - y0) * (x - x0) / (x1 - x0) } else { y0.max(y1) };
            most = most.max(at(start)).max(at(end));
        }
    }
    most
}

/// A label near its point.
struct Placed {
    label: String,
    /// Upper left corner.
    corner: (f64, f64),
    /// From the point to the label's nearer edge.
    leader: [(f64, f64); 2],
}

/// Labels beside their points, where they meet neither another label nor a point.
/// `across` is how much of the axis a unit of the picture is.
fn apart(points: &[(f64, f64)], labels: &[String], across: f64, top: f64) -> Vec<Placed> {
    let tall = 0.042 * top;
    let dot = 0.014 * top;
    let mut taken: Vec<[f64; 4]> = points
        .iter()
        .map(|&(x, y)| [x - 4.0 * across, y.min(top) - dot, x + 4.0 * across, y.min(top) + dot])
        .collect();
    let mut placed = Vec::new();
    for (&(x, y), label) in points.iter().zip(labels).filter(|(_, label)| !label.is_empty()) {
        let y = y.min(top);
        let wide = font::width(label, 10.0, false) * across;
        let at = |rise: f64| [x, y + rise - tall, x + wide, y + rise];
        let free = |spot: &[f64; 4]| {
            spot[3] < top
                && spot[1] > 0.0
                && taken.iter().all(|o| o[0] > spot[2] || o[2] < spot[0] || o[1] > spot[3] || o[3] < spot[1])
        };
        let rises = [0.06, -0.02, 0.11, -0.07, 0.16, -0.12, 0.21, -0.17].map(|share| share * top);
        let spot = rises.into_iter().map(at).find(free).unwrap_or_else(|| at(rises[0]));
        taken.push(spot);
        let edge = if spot[1] > y { spot[1] } else { spot[3] };
        placed.push(Placed { label: label.clone(), corner: (spot[0], spot[3]), leader: [(x, y), (x, edge)] });
    }
    placed
}

fn plot<R>(
    area: &DrawingArea<Canvas<'_>, Shift>,
    chart: &Chart,
    above: f64,
    top: f64,
    range: R,
) -> Result<(), Box<dyn std::error::Error>>
where
    R: plotters::coord::ranged1d::AsRangedCoord<Value = f64>,
    R::CoordDescType: plotters::coord::ranged1d::ValueFormatter<f64>,
{
    let mut drawn = ChartBuilder::on(area)
        .margin(fine(EDGE))
        .margin_top(fine(above))
        .margin_bottom(fine(EDGE + NOTE))
        .set_label_area_size(LabelAreaPosition::Left, fine(LEFT))
        .set_label_area_size(LabelAreaPosition::Bottom, fine(BELOW))
        .build_cartesian_2d(range, 0.0..top)?;
    drawn
        .configure_mesh()
        .bold_line_style(line(Tint::Faint, 0.6))
        .light_line_style(line(Tint::Faint, 0.01).color.mix(0.0))
        .axis_style(line(Tint::Soft, 1.0))
        .label_style(text(11.0, Tint::Soft))
        .axis_desc_style(text(12.0, Tint::Ink))
        .x_desc(chart.across.as_str())
        .y_desc("of its limit")
        .x_label_formatter(&|x| figures(*x, 3, 2))
        .y_label_formatter(&|y| format!("{y:.1}"))
        .draw()?;
    let points = || chart.series.iter().flat_map(|s| &s.points);
    let low = points().map(|p| p.0).fold(f64::INFINITY, f64::min);
    let high = points().map(|p| p.0).fold(f64::NEG_INFINITY, f64::max);
    let (near, limit) = (Standing::WITHIN, Standing::NEAR);
    for (limit, tint, width) in [(limit, Tint::Worked(5), 1.8), (near, Tint::Worked(4), 1.2)] {
        drawn.draw_series(LineSeries::new([(low, limit), (high, limit)], line(tint, width)))?;
    }
    let limits =
        [(limit, format!("limit {limit:.2}"), Tint::Worked(5)), (near, format!("near {near:.2}"), Tint::Ink)];
    // Past the last point, so that they stand on none.
    let past = if chart.log { high * (high / low).max(1.1).powf(0.01) } else { high + 0.012 * (high - low) };
    drawn.draw_series(
        limits.map(|(at, words, tint)| Text::new(words, (past, at + 0.045 * top), beside(text(10.0, tint)))),
    )?;
    // Across the chart, from its first point to its last, as shares.
    let share =
        |x: f64| if chart.log { (x / low).ln() / (high / low).ln() } else { (x - low) / (high - low) };
    let joined = || chart.series.iter().filter(|series| series.joined);
    let curves: Vec<Vec<(f64, f64)>> =
        joined().map(|s| s.points.iter().map(|p| (share(p.0), p.1.min(top))).collect()).collect();
    let wide =
        joined().map(|s| font::width(&s.name, 11.0, false)).fold(0.0, f64::max) / (WIDE - LEFT - 2.0 * EDGE);
    let names = clear(&curves, 1.2 * wide, top * (0.95 - 0.07 * curves.len() as f64));
    let names = if chart.log { low * (high / low).powf(names) } else { low + names * (high - low) };
    for (n, series) in chart.series.iter().enumerate() {
        let at = |p: &(f64, f64)| (p.0, p.1.min(top));
        let tint = LINES[n % LINES.len()];
        if series.joined {
            let width = 1.6 + 0.7 * (n % 3) as f64;
            drawn.draw_series(LineSeries::new(series.points.iter().map(at), line(tint, width)))?;
        }
        let across = (high - low).max(f64::MIN_POSITIVE) / (WIDE - LEFT - 2.0 * EDGE);
        let placed = apart(&series.points, &series.labels, across, top);
        // Which label is whose, where it had to give way to others.
        for Placed { leader, .. } in &placed {
            drawn.draw_series(LineSeries::new(*leader, line(Tint::Soft, 0.6)))?;
        }
        let dot = |p: &(f64, f64)| Circle::new(at(p), fine(3.6), colour(Tint::of_utilisation(p.1)).filled());
        let marked = |mark| {
            let these = series.points.iter().zip(&series.marks).filter(move |(_, m)| **m == mark);
            these.map(|(p, _)| p)
        };
        drawn.draw_series(marked(Mark::Dot).map(dot))?;
        let cross = |p: &(f64, f64)| Cross::new(at(p), fine(4.5), line(Tint::of_utilisation(p.1), 2.0));
        drawn.draw_series(marked(Mark::Unstable).map(cross))?;
        let triangle = |p: &(f64, f64)| TriangleMarker::new(at(p), fine(5.0), colour(Tint::Ink).filled());
        drawn.draw_series(marked(Mark::Crossing).map(triangle))?;
        drawn.draw_series(placed.into_iter().map(|p| Text::new(p.label, p.corner, text(10.0, Tint::Ink))))?;
        if series.joined {
            // Names stand under one another, as far left as the curves leave room.
            let at = top * (0.97 - 0.07 * n as f64);
            let style = text(11.0, tint);
            drawn.draw_series([Text::new(series.name.clone(), (names, at), style)])?;
        }
    }
    area.present()?;
    Ok(())
}
