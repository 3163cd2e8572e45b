//! Putting the layers on the page: far side first, near side over it, then arrows and labels.

use std::collections::BTreeMap;

use super::crowd::Crowd;
use super::label::Placed;
use super::layers::Layers;
use super::scene::Scene;
use super::view::{Fit, Flat, Room};
use super::{View, words};
use crate::report::font;
use crate::report::picture::{Anchor, Pen, Picture, tint::Tint};
use crate::report::show::{Printer, figures};

/// Closed polygons on the page.
type Outlines = Vec<Vec<[f64; 2]>>;

/// A mesh with more members or panels than this is drawn without its far side and bare fills.
const FINE: usize = 2500;

/// How far the ground goes on beside an elevation.
pub(super) const OVER_GROUND: f64 = 14.0;

/// The shell as one view shows it at one place of the page.
pub(super) struct Seen<'a> {
    pub(super) flat: &'a Flat,
    pub(super) fit: &'a Fit,
    pub(super) view: View,
    /// Where labels may stand.
    pub(super) room: Room,
    /// Whether the overall sizes across and upright are drawn.
    pub(super) dimensions: [bool; 2],
}

/// Labels that are not on the page.
#[derive(Debug, Default, Clone, Copy, PartialEq, Eq)]
pub(super) struct Untold {
    /// For which no room was found.
    pub(super) without_room: usize,
    /// Which tell of what the view shows end-on or behind something else.
    pub(super) hidden: usize,
}

impl Untold {
    pub(super) fn add(&mut self, other: Self) {
        self.without_room += other.without_room;
        self.hidden += other.hidden;
    }

    /// What a drawing says of them; `None` where all are told.
    pub(super) fn words(self) -> Option<String> {
        let count = |count: usize, one: &str, many: &str| match count {
            0 => None,
            1 => Some(format!("1 {one}")),
            _ => Some(format!("{count} {many}")),
        };
        let said: Vec<String> = [
            count(
                self.hidden,
                "name is of what is end-on or behind another",
                "names are of what is end-on or behind another",
            ),
            count(self.without_room, "label has no room here", "labels have no room here"),
        ]
        .into_iter()
        .flatten()
        .collect();
        if said.is_empty() { None } else { Some(format!("{}: see the tables", said.join(", "))) }
    }
}

impl Layers<'_> {
    /// Paints the shell as one view shows it; tells which labels are not on the page.
    pub(super) fn paint(&self, picture: &mut Picture, scene: &Scene<'_>, seen: &Seen<'_>) -> Untold {
        let &Seen { flat, fit, view, room, .. } = seen;
        let placed = self.place([picture.width, picture.height], room, scene, flat, fit);
        Self::ground(picture, &placed.crowd, flat, fit, view);
        self.paint_panels(picture, scene, flat, fit);
        if self.moved.is_some() {
            let mut still = Vec::new();
            for (member, ends) in flat.lines() {
                if !flat.near[member] && scene.ends.len() > FINE {
                    continue;
                }
                still.extend(stroke(&placed.crowd, ends.map(|joint| fit.at(flat.still[joint]))));
            }
            picture.lines(still, Pen::dashed(Tint::Soft, 0.8, &[3.0, 3.0]).faint(0.8));
        }
        // The finer the mesh, the finer the lines.
        let middle_length = median_length(flat) * fit.scale;
        let thin = (middle_length / 34.0).clamp(0.22, 1.0);
        // The far side of a fine mesh is a grey blur that tells nothing.
        let sides: &[bool] = if scene.ends.len() > FINE { &[true] } else { &[false, true] };
        for &near in sides {
            for (class, pens) in self.classes.iter().enumerate() {
                let strokes: Vec<Vec<[f64; 2]>> = flat
                    .lines()
                    .filter(|(n, _)| self.class_of[*n] == class && flat.near[*n] == near)
                    .flat_map(|(_, ends)| stroke(&placed.crowd, ends.map(|joint| fit.at(flat.points[joint]))))
                    .collect();
                for pen in pens {
                    let mut pen = pen.clone();
                    pen.width *= if near { thin } else { thin * 0.7 };
                    for dash in &mut pen.dash {
                        *dash *= thin.max(0.5);
                    }
                    if !near {
                        pen.opacity *= 0.3;
                    }
                    picture.lines(strokes.clone(), pen);
                }
            }
        }
        self.paint_arrows(picture, flat, fit, scene);
        dimensions(picture, scene, seen);
        let untold = Untold { without_room: placed.left_out, hidden: placed.hidden };
        Self::paint_labels(picture, placed);
        untold
    }

    fn paint_panels(&self, picture: &mut Picture, scene: &Scene<'_>, flat: &Flat, fit: &Fit) {
        // Fills of one colour and opacity go together; opacity in hundredths keeps the key exact.
        let mut fills: BTreeMap<(bool, Tint, u8), Outlines> = BTreeMap::new();
        for (n, corners) in scene.corners.iter().enumerate() {
            let Some((tint, opacity)) = self.fills[n] else { continue };
            let front = flat.front[n];
            if tint == Tint::Panel && (!front || scene.corners.len() > FINE) {
                continue;
            }
            let opacity = if front { opacity } else { opacity * 0.25 };
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to 20")]
            let step = (opacity * 20.0).round().clamp(0.0, 20.0) as u8;
            let outline = corners.iter().map(|&joint| fit.at(flat.points[joint])).collect();
            fills.entry((front, tint, step)).or_default().push(outline);
        }
        for ((_, tint, step), outlines) in fills {
            picture.areas(outlines, tint, f64::from(step) / 20.0);
        }
    }

    fn paint_arrows(&self, picture: &mut Picture, flat: &Flat, fit: &Fit, scene: &Scene<'_>) {
        let index = |at: &crate::vector::Vec3| flat.direction(at);
        let mut batches: Vec<(&Pen, Vec<[[f64; 2]; 2]>)> = Vec::new();
        for arrow in &self.arrows {
            let here = index(&arrow.at);
            let by = flat.direction(&arrow.by);
            let (from, to) = if arrow.pushes {
                ([here[0] - by[0], here[1] - by[1]], here)
            } else {
                (here, [here[0] + by[0], here[1] + by[1]])
            };
            let ends = [fit.at(from), fit.at(to)];
            match batches.iter_mut().find(|(pen, _)| *pen == &arrow.pen) {
                Some((_, list)) => list.push(ends),
                None => batches.push((&arrow.pen, vec![ends])),
            }
        }
        let many = scene.corners.len() > 600;
        for (pen, list) in batches {
            let mut pen = pen.clone();
            if many {
                pen.width *= 0.7;
            }
            picture.arrows(&list, &pen);
        }
    }

    /// Thin lines to what labels tell of, and the labels.
    fn paint_labels(picture: &mut Picture, placed: Placed) {
        let ends: Vec<Vec<[f64; 2]>> = placed.leaders.iter().map(|[_, at]| dot(*at, 2.0)).collect();
        let leaders = placed.leaders.into_iter().flat_map(|leader| placed.crowd.cut(leader));
        // Among names the lines of the shell are thin as well, so the lines that lead to them are dotted.
        let pen =
            if placed.names { Pen::dashed(Tint::Ink, 0.9, &[1.2, 2.0]) } else { Pen::solid(Tint::Soft, 0.9) };
        let tint = pen.tint;
        picture.lines(leaders.map(Vec::from).collect(), pen);
        if !ends.is_empty() {
            picture.areas(ends, tint, 1.0);
        }
        for text in placed.words {
            picture.words(text);
        }
    }

    /// The ground under an elevation; it stops at what is written on it.
    fn ground(picture: &mut Picture, crowd: &Crowd, flat: &Flat, fit: &Fit, view: View) {
        if !matches!(view, View::End | View::Side) {
            return;
        }
        let (low, high) = span(&flat.still, 0);
        if low > high {
            return;
        }
        let over = ((high - low) * 0.04).min(OVER_GROUND / fit.scale.max(1e-9));
        let (a, b) = (fit.at([low - over, 0.0]), fit.at([high + over, 0.0]));
        picture.lines(stroke(crowd, [a, b]), Pen::solid(Tint::Soft, 1.2));
        let mut hatch = Vec::new();
        let mut x = a[0] + 4.0;
        while x < b[0] {
            hatch.extend(stroke(crowd, [[x, a[1]], [x - 5.0, a[1] + 6.0]]));
            x += 9.0;
        }
        picture.lines(hatch, Pen::solid(Tint::Faint, 0.8));
    }

    /// The scale bar's length, in metres, and its words.
    fn bar(&self, show: Printer, scale: f64, room: Room) -> (f64, String) {
        let unit = if show.imperial() { crate::units::FOOT } else { 1.0 };
        let steps = [0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0];
        let wanted = room.width * 0.2;
        let step = steps.iter().rev().find(|&&step| step * unit * scale <= wanted).copied().unwrap_or(0.5);
        (step * unit, format!("{} {}", figures(step, 2, 1), if show.imperial() { "ft" } else { "m" }))
    }

    /// A bar of a round length at the lower left of a room; gives where it ends, its words counted.
    pub(super) fn scale_bar(&self, picture: &mut Picture, fit: &Fit, room: Room, show: Printer) -> f64 {
        let (metres, text) = self.bar(show, fit.scale, room);
        let long = metres * fit.scale;
        let (x, y) = (room.x + 6.0, room.y + room.height - 18.0);
        picture.lines(
            vec![vec![[x, y - 4.0], [x, y], [x + long, y], [x + long, y - 4.0]]],
            Pen::solid(Tint::Ink, 1.2),
        );
        let mut label = words([x + long + 6.0, y + 1.0], &text, 10.5);
        label.haloed = true;
        picture.words(label);
        x + long + 6.0 + font::width(&text, 10.5, false)
    }
}

/// Which way the axes run in a view, from a point on the page: loads and places are told by them.
pub(super) fn axes_mark(picture: &mut Picture, flat: &Flat, at: [f64; 2], size: f64) {
    for (name, by) in flat.axes() {
        let long = by[0].hypot(by[1]);
        let to = [at[0] + by[0] * size, at[1] - by[1] * size];
        picture.arrows(&[[at, to]], &Pen::solid(Tint::Soft, 1.2));
        let past = 7.0 / long;
        let mut label = words([to[0] + by[0] * past, to[1] - by[1] * past + 3.5], name, 10.5);
        label.anchor = Anchor::Middle;
        label.haloed = true;
        picture.words(label);
    }
}

/// A member's line, which stops where a label stands.
fn stroke(crowd: &Crowd, ends: [[f64; 2]; 2]) -> Vec<Vec<[f64; 2]>> {
    crowd.cut(ends).into_iter().map(Vec::from).collect()
}

/// A small disc.
fn dot(at: [f64; 2], radius: f64) -> Vec<[f64; 2]> {
    (0..8_u8)
        .map(|n| {
            let (sin, cos) = (f64::from(n) * std::f64::consts::FRAC_PI_4).sin_cos();
            [at[0] + cos * radius, at[1] + sin * radius]
        })
        .collect()
}

/// Least and greatest of one component.
pub(super) fn span(points: &[[f64; 2]], component: usize) -> (f64, f64) {
    points
        .iter()
        .map(|point| point[component])
        .filter(|value| value.is_finite())
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| (low.min(value), high.max(value)))
}

/// Width and height of what points take up.
pub(super) fn extent(points: &[[f64; 2]]) -> [f64; 2] {
    [0, 1].map(|k| {
        let (low, high) = span(points, k);
        (high - low).max(0.0)
    })
}

/// Length of the middle member as seen \[m\].
pub(super) fn median_length(flat: &Flat) -> f64 {
    let mut lengths: Vec<f64> = flat
        .ends
        .iter()
        .flatten()
        .map(|&[a, b]| (flat.points[a][0] - flat.points[b][0]).hypot(flat.points[a][1] - flat.points[b][1]))
        .collect();
    lengths.sort_by(f64::total_cmp);
    lengths.get(lengths.len() / 2).copied().unwrap_or(1.0)
}

/// Overall sizes with dimension lines.
fn dimensions(picture: &mut Picture, scene: &Scene<'_>, seen: &Seen<'_>) {
    let &Seen { flat, fit, dimensions: [tell_across, tell_upright], .. } = seen;
    let show = Printer::new(&scene.results.units);
    let (left, right) = span(&flat.still, 0);
    let (low, high) = span(&flat.still, 1);
    if left > right || low > high {
        return;
    }
    let ([x0, y0], [x1, y1]) = (fit.at([left, low]), fit.at([right, high]));
    // What stands on a line is that line's own length.
    let (across, upright) = (show.length(right - left), show.length(high - low));
    let pen = Pen::solid(Tint::Soft, 0.8);
    if tell_across {
        let y = y0 + 24.0;
        picture.lines(
            vec![
                vec![[x0, y], [x1, y]],
                vec![[x0, y - 6.0], [x0, y + 4.0]],
                vec![[x1, y - 6.0], [x1, y + 4.0]],
                vec![[x0 - 3.0, y + 3.0], [x0 + 3.0, y - 3.0]],
                vec![[x1 - 3.0, y + 3.0], [x1 + 3.0, y - 3.0]],
            ],
            pen.clone(),
        );
        let mut text = words([f64::midpoint(x0, x1), y - 4.0], &across, 11.0);
        text.anchor = Anchor::Middle;
        text.haloed = true;
        picture.words(text);
    }
    if tell_upright {
        let x = x1 + 18.0;
        picture.lines(
            vec![
                vec![[x, y0], [x, y1]],
                vec![[x - 6.0, y0], [x + 4.0, y0]],
                vec![[x - 6.0, y1], [x + 4.0, y1]],
                vec![[x - 3.0, y0 + 3.0], [x + 3.0, y0 - 3.0]],
                vec![[x - 3.0, y1 + 3.0], [x + 3.0, y1 - 3.0]],
            ],
            pen,
        );
        let mut text = words([x - 5.0, f64::midpoint(y0, y1)], &upright, 11.0);
        text.anchor = Anchor::Middle;
        text.turned = true;
        text.haloed = true;
        picture.words(text);
    }
}
