//! Putting the layers on the page: far side first, near side over it, then arrows and labels.

use std::collections::BTreeMap;

use super::layers::{Label, Layers, Place};
use super::scene::Scene;
use super::view::{Fit, Flat, Room};
use super::{View, words};
use crate::report::font;
use crate::report::picture::{Anchor, Pen, Picture, Words, tint::Tint};
use crate::report::show::{Show, figures, tame};

/// Closed polygons on the page.
type Outlines = Vec<Vec<[f64; 2]>>;

/// How far from a foot its label begins: past the arrow.
const PAST_ARROW: f64 = 24.0;

/// A mesh with more members or panels than this is drawn without its far side and bare fills.
const FINE: usize = 2500;

impl Layers<'_> {
    /// Paints the shell as one view shows it.
    pub(super) fn paint(&self, picture: &mut Picture, scene: &Scene<'_>, flat: &Flat, fit: &Fit, view: View) {
        self.ground(picture, flat, fit, view);
        self.paint_panels(picture, scene, flat, fit);
        if self.moved.is_some() {
            let mut still = Vec::new();
            for (ends, &near) in scene.ends.iter().zip(&flat.near) {
                let Some(ends) = ends else { continue };
                if !near && scene.ends.len() > FINE {
                    continue;
                }
                still.push(ends.map(|joint| fit.at(flat.still[joint])).to_vec());
            }
            picture.lines(still, Pen::dashed(Tint::Soft, 0.8, &[3.0, 3.0]).faint(0.8));
        }
        // The finer the mesh, the finer the lines.
        let middle_length = median_length(scene, flat) * fit.scale;
        let thin = (middle_length / 34.0).clamp(0.22, 1.0);
        // The far side of a fine mesh is a grey blur that tells nothing.
        let sides: &[bool] = if scene.ends.len() > FINE { &[true] } else { &[false, true] };
        for &near in sides {
            for (class, pens) in self.classes.iter().enumerate() {
                let strokes: Vec<Vec<[f64; 2]>> = scene
                    .ends
                    .iter()
                    .enumerate()
                    .filter(|(n, _)| self.class_of[*n] == class && flat.near[*n] == near)
                    .filter_map(|(_, ends)| {
                        ends.map(|ends| ends.map(|joint| fit.at(flat.points[joint])).to_vec())
                    })
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
        if self.dimensions && view != View::Isometric && view != View::Unrolled {
            dimensions(picture, scene, flat, fit, view);
        }
        self.paint_labels(picture, scene, flat, fit, middle_length);
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

    fn paint_labels(&self, picture: &mut Picture, scene: &Scene<'_>, flat: &Flat, fit: &Fit, spacing: f64) {
        let few = self.labels.len() <= 8;
        let size = self.label_size(spacing);
        let mut taken: Vec<[f64; 4]> = Vec::new();
        let middle = {
            let ((left, right), (low, high)) = (span(&flat.points, 0), span(&flat.points, 1));
            fit.at([f64::midpoint(left, right), f64::midpoint(low, high)])
        };
        for label in &self.labels {
            let Some(at) = self.label_place(label, scene, flat, fit) else { continue };
            let said = label_words(label, scene, flat, few);
            let wide = font::width(&said, size, label.bold);
            if !self.arrows.is_empty() && matches!(label.at, Place::Joint(_)) {
                picture.words(beside_arrows(label, at, size, wide, middle, &mut taken));
                continue;
            }
            let mut spot = [at[0], at[1] + size * 0.35];
            if few {
                // On the page, and aside from labels already there.
                let room = wide / 2.0 + 4.0;
                let x = at[0].min(picture.width - room).max(room);
                let box_of =
                    |spot: &[f64; 2]| [spot[0] - room, spot[1] - size, spot[0] + room, spot[1] + 2.0];
                let shifts = [0.0, 1.4, -1.4, 2.8, -2.8, 4.2, -4.2];
                spot = shifts
                    .iter()
                    .map(|shift| [x, at[1] + size * (0.35 + shift)])
                    .find(|spot| free(&box_of(spot), &taken))
                    .unwrap_or([x, spot[1]]);
                taken.push(box_of(&spot));
            }
            let mut text = words(spot, &said, size);
            text.anchor = Anchor::Middle;
            text.bold = label.bold;
            text.tint = label.tint;
            text.haloed = size >= 6.0 && !matches!(label.at, Place::Panel(_));
            picture.words(text);
        }
    }

    /// Size of the labels where members are so long on the page.
    fn label_size(&self, spacing: f64) -> f64 {
        if self.labels.len() <= 8 { 12.0 } else { (spacing / 5.2).clamp(3.2, 10.0) }
    }

    /// Room that the labels of feet want at either side of a shell drawn to this scale.
    pub(super) fn beside(&self, scene: &Scene<'_>, flat: &Flat, scale: f64) -> f64 {
        if self.arrows.is_empty() {
            return 0.0;
        }
        let size = self.label_size(median_length(scene, flat) * scale);
        let of_joints = self.labels.iter().filter(|label| matches!(label.at, Place::Joint(_)));
        let widest = of_joints.map(|label| font::width(&label.words, size, label.bold)).fold(0.0, f64::max);
        if widest > 0.0 { widest + PAST_ARROW } else { 0.0 }
    }

    /// Where a label goes; nothing for the far side where all are labelled.
    fn label_place(&self, label: &Label, scene: &Scene<'_>, flat: &Flat, fit: &Fit) -> Option<[f64; 2]> {
        let all = self.labels.len() > 8;
        let point = match label.at {
            Place::Joint(n) => {
                let hidden = all
                    && scene
                        .ends
                        .iter()
                        .enumerate()
                        .filter(|(_, ends)| ends.is_some_and(|ends| ends.contains(&n)))
                        .all(|(member, _)| !flat.near[member]);
                if hidden {
                    return None;
                }
                flat.points[n]
            }
            Place::Member(n) => {
                if all && !flat.near[n] {
                    return None;
                }
                let [a, b] = scene.ends[n]?;
                let (a, b) = (flat.points[a], flat.points[b]);
                [f64::midpoint(a[0], b[0]), f64::midpoint(a[1], b[1])]
            }
            Place::OneOf(_) => {
                let [a, b] = scene.ends[shown_of(&label.at, flat)?]?;
                let (a, b) = (flat.points[a], flat.points[b]);
                [f64::midpoint(a[0], b[0]), f64::midpoint(a[1], b[1])]
            }
            Place::Panel(n) => {
                if !flat.front[n] {
                    return None;
                }
                let corners = &scene.corners[n];
                #[allow(clippy::cast_precision_loss, reason = "a panel has a few corners")]
                let count = corners.len().max(1) as f64;
                let sum = corners.iter().fold([0.0, 0.0], |sum, &joint| {
                    [sum[0] + flat.points[joint][0], sum[1] + flat.points[joint][1]]
                });
                [sum[0] / count, sum[1] / count]
            }
        };
        Some(fit.at(point))
    }

    /// The ground under an elevation.
    fn ground(&self, picture: &mut Picture, flat: &Flat, fit: &Fit, view: View) {
        if !matches!(view, View::End | View::Side) {
            return;
        }
        let (low, high) = span(&flat.still, 0);
        if low > high {
            return;
        }
        let over = (high - low) * 0.04;
        let (a, b) = (fit.at([low - over, 0.0]), fit.at([high + over, 0.0]));
        picture.line(a, b, Pen::solid(Tint::Soft, 1.2));
        let mut hatch = Vec::new();
        let mut x = a[0] + 4.0;
        while x < b[0] {
            hatch.push(vec![[x, a[1]], [x - 5.0, a[1] + 6.0]]);
            x += 9.0;
        }
        picture.lines(hatch, Pen::solid(Tint::Faint, 0.8));
    }

    /// The scale bar's length, in metres, and its words.
    fn bar(&self, show: Show, scale: f64, room: Room) -> (f64, String) {
        let unit = if show.imperial() { crate::units::FOOT } else { 1.0 };
        let steps = [0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0];
        let wanted = room.width * 0.2;
        let step = steps.iter().rev().find(|&&step| step * unit * scale <= wanted).copied().unwrap_or(0.5);
        (step * unit, format!("{} {}", figures(step, 2, 1), if show.imperial() { "ft" } else { "m" }))
    }

    /// A bar of a round length at the lower left of a room; gives where it ends, its words counted.
    pub(super) fn scale_bar(&self, picture: &mut Picture, fit: &Fit, room: Room, show: Show) -> f64 {
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

/// Whether a rectangle (left, top, right, bottom) lies clear of those taken.
fn free(mine: &[f64; 4], taken: &[[f64; 4]]) -> bool {
    taken
        .iter()
        .all(|other| mine[2] < other[0] || mine[0] > other[2] || mine[3] < other[1] || mine[1] > other[3])
}

/// The member that a label stands on, where it stands on one.
fn shown_of(place: &Place, flat: &Flat) -> Option<usize> {
    match place {
        Place::Member(n) => Some(*n),
        Place::OneOf(list) => list.iter().find(|&&n| flat.near[n]).or(list.first()).copied(),
        Place::Joint(_) | Place::Panel(_) => None,
    }
}

/// What a label says: with few of them, those of the far side are told too, and say that they are.
fn label_words(label: &Label, scene: &Scene<'_>, flat: &Flat, few: bool) -> String {
    let Some(member) = shown_of(&label.at, flat) else { return label.words.clone() };
    let name = match label.at {
        Place::OneOf(_) => format!("{} ", tame(&scene.results.members[member].id, 16)),
        _ => String::new(),
    };
    let far = if few && !flat.near[member] { " (far side)" } else { "" };
    format!("{name}{}{far}", label.words)
}

/// The label of a foot, away from the middle of the drawing and from the arrows, where there is room.
fn beside_arrows(
    label: &Label,
    at: [f64; 2],
    size: f64,
    wide: f64,
    middle: [f64; 2],
    taken: &mut Vec<[f64; 4]>,
) -> Words {
    let away = [at[0] - middle[0], at[1] - middle[1]];
    let long = away[0].hypot(away[1]).max(1e-9);
    let away = away.map(|v| v / long);
    // Above and below the shell a label stands to the right of the arrows, which run up and down there.
    let upright = away[0].abs() <= 0.5;
    let anchor = if away[0] < -0.5 { Anchor::End } else { Anchor::Start };
    let place = |step: f64| {
        let x = if upright { at[0] + 8.0 } else { at[0] + away[0] * PAST_ARROW };
        let spot = [x, at[1] + away[1] * PAST_ARROW + away[1].signum() * step * size * 1.3 + size * 0.35];
        let left = if anchor == Anchor::End { spot[0] - wide } else { spot[0] };
        (spot, [left - 3.0, spot[1] - size, left + wide + 3.0, spot[1] + 1.0])
    };
    let (spot, mine) = [0.0, 1.0, 2.0, 3.0]
        .map(place)
        .into_iter()
        .find(|(_, mine)| free(mine, taken))
        .unwrap_or_else(|| place(0.0));
    taken.push(mine);
    let mut text = words(spot, &label.words, size);
    text.anchor = anchor;
    text.bold = label.bold;
    text.tint = label.tint;
    text.haloed = size >= 6.0;
    text
}

/// Least and greatest of one component.
fn span(points: &[[f64; 2]], component: usize) -> (f64, f64) {
    points
        .iter()
        .map(|point| point[component])
        .filter(|value| value.is_finite())
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| (low.min(value), high.max(value)))
}

/// Length of the middle member as seen \[m\].
fn median_length(scene: &Scene<'_>, flat: &Flat) -> f64 {
    let mut lengths: Vec<f64> = scene
        .ends
        .iter()
        .flatten()
        .map(|&[a, b]| (flat.points[a][0] - flat.points[b][0]).hypot(flat.points[a][1] - flat.points[b][1]))
        .collect();
    lengths.sort_by(f64::total_cmp);
    lengths.get(lengths.len() / 2).copied().unwrap_or(1.0)
}

/// Overall sizes with dimension lines.
fn dimensions(picture: &mut Picture, scene: &Scene<'_>, flat: &Flat, fit: &Fit, view: View) {
    let size = &scene.results.size;
    let show = Show::new(&scene.results.units);
    let (left, right) = span(&flat.still, 0);
    let (low, high) = span(&flat.still, 1);
    if left > right || low > high {
        return;
    }
    let ([x0, y0], [x1, y1]) = (fit.at([left, low]), fit.at([right, high]));
    let (across, upright) = match view {
        View::Plan => (show.length(size.length), show.length(size.span)),
        View::Side => (show.length(size.length), show.length(size.rise)),
        _ => (show.length(size.span), show.length(size.rise)),
    };
    let pen = Pen::solid(Tint::Soft, 0.8);
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
