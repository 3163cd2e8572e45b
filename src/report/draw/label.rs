//! Where labels stand: off the lines, clear of each other, and the same at every run.

use super::crowd::{Area, Crowd, Segment};
use super::layers::{Label, Layers, Place};
use super::paint::{median_length, span};
use super::scene::Scene;
use super::view::{Fit, Flat, Room};
use super::words;
use crate::report::font;
use crate::report::picture::{Anchor, Words};
use crate::report::show::tame;

/// How far from a foot its label begins: past the arrow.
const PAST_ARROW: f64 = 24.0;
/// Up to so many labels each stands beside what it tells of, with a thin line to it.
const FEW: usize = 8;
/// Where not more labels than this are asked for, none is smaller than can be read on paper.
const READ_ON_PAPER: usize = 420;
/// The size that is some 6 points in the notes.
const LEAST: f64 = 9.3;
/// What a line through a label counts, against a distance of one from what it tells of.
const CROSSING: f64 = 60.0;

/// Labels with their places.
pub(super) struct Placed {
    pub(super) words: Vec<Words>,
    /// Thin lines from labels to what they tell of.
    pub(super) leaders: Vec<Segment>,
    /// The lines, and the places that the labels take.
    pub(super) crowd: Crowd,
    /// Labels for which there was no room.
    pub(super) left_out: usize,
}

/// A place that a label may take.
struct Choice {
    /// Middle of the label.
    middle: [f64; 2],
    /// What it tells of, where a line is to lead there.
    from: Option<[f64; 2]>,
    /// How far it is from the best place.
    off: f64,
}

impl Layers<'_> {
    /// Finds the places of all labels, first those that are named first.
    pub(super) fn place(
        &self,
        [width, height]: [f64; 2],
        room: Room,
        scene: &Scene<'_>,
        flat: &Flat,
        fit: &Fit,
    ) -> Placed {
        let room =
            Area { left: room.x, top: room.y, right: room.x + room.width, bottom: room.y + room.height };
        let mut placed = Placed {
            words: Vec::new(),
            leaders: Vec::new(),
            crowd: Crowd::new(width, height, room),
            left_out: 0,
        };
        if self.labels.is_empty() {
            return placed;
        }
        for (member, ends) in scene.ends.iter().enumerate() {
            let Some(ends) = ends else { continue };
            let weight = if flat.near[member] { 1.0 } else { 0.35 };
            placed.crowd.line(ends.map(|joint| fit.at(flat.points[joint])), weight, member);
            if self.moved.is_some() {
                placed.crowd.line(ends.map(|joint| fit.at(flat.still[joint])), 0.5, member);
            }
        }
        for arrow in &self.arrows {
            let (at, by) = (flat.direction(&arrow.at), flat.direction(&arrow.by));
            let sign = if arrow.pushes { -1.0 } else { 1.0 };
            let far = [at[0] + sign * by[0], at[1] + sign * by[1]];
            placed.crowd.line([fit.at(at), fit.at(far)], 1.0, usize::MAX);
        }
        let size = self.label_size(median_length(scene, flat) * fit.scale);
        let few = self.labels.len() <= FEW;
        let named = NamedJoints::new(scene, flat);
        let middle = {
            let ((left, right), (low, high)) = (span(&flat.points, 0), span(&flat.points, 1));
            fit.at([f64::midpoint(left, right), f64::midpoint(low, high)])
        };
        for label in &self.labels {
            if !few && named.hides(label, flat) {
                continue;
            }
            let Some(at) = label_place(label, scene, flat, fit) else { continue };
            let said = label_words(label, scene, flat, few);
            let wide = font::width(&said, size, label.bold);
            if let Place::Panel(_) = label.at {
                placed.words.push(set(label, &said, size, at));
                continue;
            }
            let line = shown_of(&label.at, flat)
                .and_then(|member| scene.ends[member])
                .map(|ends| ends.map(|joint| fit.at(flat.points[joint])));
            let area = [wide + 4.0 + 0.2 * size, size + 2.0];
            let choices = match (few, line) {
                _ if !self.arrows.is_empty() && line.is_none() => past_arrows(at, middle, area),
                (true, Some(line)) => beside_line(line, area),
                (true, None) => round_point(at, area),
                (false, Some(line)) => on_line(line, area),
                (false, None) => on_point(at, area),
            };
            // A name stands in a gap of its own line; what is told beside a line keeps off all of them.
            let mine = |member: usize| match label.at {
                Place::Member(own) => !few && member == own,
                Place::Joint(joint) => {
                    !few && scene
                        .ends
                        .get(member)
                        .is_some_and(|ends| ends.is_some_and(|e| e.contains(&joint)))
                }
                Place::OneOf(_) | Place::Panel(_) => false,
            };
            placed.choose(label, &said, size, area, &choices, few, mine);
        }
        placed
    }

    /// Size of the labels where members are so long on the page.
    fn label_size(&self, spacing: f64) -> f64 {
        if self.labels.len() <= FEW {
            return 12.0;
        }
        let least = if self.labels.len() <= READ_ON_PAPER { LEAST } else { 3.2 };
        (spacing / 5.0).clamp(least, 11.0)
    }

    /// Room that the labels of feet want at either side of a shell drawn to this scale.
    pub(super) fn beside(&self, scene: &Scene<'_>, flat: &Flat, scale: f64) -> f64 {
        if self.arrows.is_empty() {
            return 0.0;
        }
        let size = self.label_size(median_length(scene, flat) * scale);
        let of_joints = self.labels.iter().filter(|label| matches!(label.at, Place::Joint(_)));
        let widest = of_joints.map(|label| font::width(&label.words, size, label.bold)).fold(0.0, f64::max);
        if widest > 0.0 { widest + PAST_ARROW + 8.0 } else { 0.0 }
    }
}

impl Placed {
    /// Takes the best of the places offered; of many labels, one that has none of its own is left out.
    #[allow(clippy::too_many_arguments, reason = "what a label is, and where it may stand")]
    fn choose(
        &mut self,
        label: &Label,
        said: &str,
        size: f64,
        [wide, tall]: [f64; 2],
        choices: &[Choice],
        few: bool,
        mine: impl Fn(usize) -> bool,
    ) {
        let mut best: Option<(f64, &Choice, Area, [f64; 2])> = None;
        for choice in choices {
            // What is told beside a line moves onto the page; a name stands where its line is.
            let middle =
                if few { self.crowd.moved_into_room(choice.middle, [wide, tall]) } else { choice.middle };
            let area = Area::about(middle, wide, tall);
            let free = self.crowd.is_free(&area);
            if !free && !few {
                continue;
            }
            let mut cost = choice.off + CROSSING * self.crowd.crossed(&area, &mine);
            if !free {
                cost += 1e4;
            }
            if let Some(from) = choice.from {
                #[allow(clippy::cast_precision_loss, reason = "a few labels")]
                let struck = self.crowd.struck([area.nearest(from), from]) as f64;
                // What a thin line to a label crosses tells against it as well, but for the line that it leads to.
                let crossed = self.crowd.met([area.nearest(from), from]);
                cost += 300.0 * struck + 0.2 * CROSSING * crossed;
            }
            if best.as_ref().is_none_or(|(least, ..)| cost < *least) {
                best = Some((cost, choice, area, middle));
            }
        }
        let Some((_, choice, area, middle)) = best else {
            self.left_out += 1;
            return;
        };
        self.crowd.take(area);
        if let Some(from) = choice.from {
            let leader = [area.nearest(from), from];
            self.crowd.line(leader, 2.0, usize::MAX);
            self.leaders.push(leader);
        }
        self.words.push(set(label, said, size, middle));
    }
}

/// A label whose middle is at a point.
fn set(label: &Label, said: &str, size: f64, middle: [f64; 2]) -> Words {
    let mut text = words([middle[0], middle[1] + size * 0.35], said, size);
    text.anchor = Anchor::Middle;
    text.bold = label.bold;
    text.tint = label.tint;
    text.haloed = size >= 6.0 && !matches!(label.at, Place::Panel(_));
    text
}

/// Beside a line, on both its sides and along it, near first.
fn beside_line([a, b]: Segment, area: [f64; 2]) -> Vec<Choice> {
    let by = [b[0] - a[0], b[1] - a[1]];
    let long = by[0].hypot(by[1]).max(1e-9);
    let normal = [-by[1] / long, by[0] / long];
    // Above the line first.
    let up = if normal[1] > 0.0 { -1.0 } else { 1.0 };
    let reach = (normal[0].abs() * area[0] + normal[1].abs() * area[1]) / 2.0;
    let mut choices = Vec::new();
    for step in 0..12_u8 {
        let gap = 6.0 + 10.0 * f64::from(step);
        for share in [0.5, 0.36, 0.64, 0.22, 0.78] {
            let on = [a[0] + by[0] * share, a[1] + by[1] * share];
            for side in [up, -up] {
                let away = side * (reach + gap);
                choices.push(Choice {
                    middle: [on[0] + normal[0] * away, on[1] + normal[1] * away],
                    from: Some(on),
                    off: gap + 20.0 * (share - 0.5_f64).abs(),
                });
            }
        }
    }
    choices
}

/// Round a point in every direction, near first.
fn round_point(at: [f64; 2], area: [f64; 2]) -> Vec<Choice> {
    let mut choices = Vec::new();
    for step in 0..12_u8 {
        let gap = 6.0 + 10.0 * f64::from(step);
        for turn in 0..16_u8 {
            let (sin, cos) = (f64::from(turn) * std::f64::consts::TAU / 16.0 - 1.0).sin_cos();
            let reach = ((area[0] / 2.0) / cos.abs().max(1e-9)).min((area[1] / 2.0) / sin.abs().max(1e-9));
            choices.push(Choice {
                middle: [at[0] + cos * (reach + gap), at[1] + sin * (reach + gap)],
                from: Some(at),
                off: gap,
            });
        }
    }
    choices
}

/// In a gap of a line, in its middle first; beside it where there is no room on it.
fn on_line([a, b]: Segment, area: [f64; 2]) -> Vec<Choice> {
    let on = |share: f64| [a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share];
    let mut choices: Vec<Choice> = [0.5, 0.42, 0.58, 0.34, 0.66, 0.27, 0.73]
        .into_iter()
        .map(|share| Choice { middle: on(share), from: None, off: 40.0 * (share - 0.5_f64).abs() })
        .collect();
    let by = [b[0] - a[0], b[1] - a[1]];
    let long = by[0].hypot(by[1]).max(1e-9);
    let normal = [-by[1] / long, by[0] / long];
    let reach = (normal[0].abs() * area[0] + normal[1].abs() * area[1]) / 2.0 + 1.5;
    for share in [0.5, 0.35, 0.65] {
        for side in [-1.0, 1.0] {
            let at = on(share);
            let middle = [at[0] + normal[0] * side * reach, at[1] + normal[1] * side * reach];
            choices.push(Choice { middle, from: None, off: 100.0 });
        }
    }
    choices
}

/// On a point, or close by.
fn on_point(at: [f64; 2], area: [f64; 2]) -> Vec<Choice> {
    let (x, y) = (area[0] * 0.62, area[1] * 0.85);
    [[0.0, 0.0], [0.0, -y], [0.0, y], [x, 0.0], [-x, 0.0], [x, -y], [-x, -y], [x, y], [-x, y]]
        .into_iter()
        .map(|by: [f64; 2]| Choice {
            middle: [at[0] + by[0], at[1] + by[1]],
            from: None,
            off: 4.0 * by[0].hypot(by[1]),
        })
        .collect()
}

/// Away from the middle of the drawing and past the arrows of a foot.
fn past_arrows(at: [f64; 2], middle: [f64; 2], area: [f64; 2]) -> Vec<Choice> {
    let away = [at[0] - middle[0], at[1] - middle[1]];
    let long = away[0].hypot(away[1]).max(1e-9);
    let away = away.map(|v| v / long);
    let side = if away[0] < 0.0 { -1.0 } else { 1.0 };
    let below = if away[1] < 0.0 { -1.0 } else { 1.0 };
    let mut choices = Vec::new();
    for step in 0..7_u8 {
        // Above and below the shell a label stands to a side of the arrows, which run up and down there.
        for side in [side, -side] {
            let upright = away[0].abs() <= 0.5;
            if !upright && side * away[0] < 0.0 {
                continue;
            }
            let start = if upright { 8.0 * side } else { away[0] * PAST_ARROW };
            for along in [1.0, -1.0] {
                let shift = f64::from(step) * area[1] * 1.05;
                let x = at[0] + start + side * area[0] / 2.0;
                let y = at[1] + away[1] * PAST_ARROW + below * along * shift;
                choices.push(Choice {
                    middle: [x, y],
                    from: (step > 1).then_some(at),
                    off: shift + if along < 0.0 { 10.0 } else { 0.0 },
                });
            }
        }
    }
    choices
}

/// Which joints have a member on the near side.
struct NamedJoints {
    near: Vec<bool>,
}

impl NamedJoints {
    fn new(scene: &Scene<'_>, flat: &Flat) -> Self {
        let mut near = vec![false; scene.at.len()];
        for (ends, _) in scene.ends.iter().zip(&flat.near).filter(|(_, near)| **near) {
            for joint in ends.iter().flatten() {
                near[*joint] = true;
            }
        }
        Self { near }
    }

    /// Whether a label tells of the far side, which is not told where all is told.
    fn hides(&self, label: &Label, flat: &Flat) -> bool {
        match label.at {
            Place::Joint(joint) => !self.near[joint],
            Place::Member(member) => !flat.near[member],
            Place::OneOf(_) | Place::Panel(_) => false,
        }
    }
}

/// What a label tells of, on the page; nothing for a panel that is turned away.
fn label_place(label: &Label, scene: &Scene<'_>, flat: &Flat, fit: &Fit) -> Option<[f64; 2]> {
    let point = match label.at {
        Place::Joint(n) => flat.points[n],
        Place::Member(_) | Place::OneOf(_) => {
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
