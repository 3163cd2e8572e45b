//! Where labels stand: off the lines, clear of each other, and the same at every run.

use super::choices::{Choice, PAST_ARROW, beside_line, on_line, on_point, past_arrows, round_point};
use super::crowd::{Area, Crowd, Segment};
use super::ends::Caption;
use super::hidden::Hidden;
use super::layers::{Label, Layers, Place};
use super::paint::{median_length, span};
use super::scene::Scene;
use super::view::{Fit, Flat, Room};
use super::{leader, words};
use crate::report::font;
use crate::report::picture::{Anchor, Words, tint::Tint};
use crate::report::show::tame;

/// Up to so many labels each stands beside what it tells of, with a thin line to it.
const FEW: usize = 8;
/// Where not more labels than this are asked for, none is smaller than can be read on paper.
const READ_ON_PAPER: usize = 420;
/// The size that is some 6 points in the notes, and in a drawing that fills a sheet.
const LEAST: f64 = 9.3;
/// A picture narrower than this stands beside another in the notes, where 6 points are so much of it.
const BESIDE_ANOTHER: f64 = 500.0;
const LEAST_BESIDE_ANOTHER: f64 = 10.0;
/// How much it matters that the joint of one name does not lie under another.
const ON_JOINT: f64 = 1.5;
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
    /// Labels of what is seen end-on or behind something else.
    pub(super) hidden: usize,
    /// Whether they are names, which stand among lines as thin as those that lead to them.
    pub(super) names: bool,
}

/// A label that is still to be placed.
struct Wanted<'a> {
    label: &'a Label,
    said: String,
    /// What it tells of, on the page.
    at: [f64; 2],
    /// The line of the member that it tells of.
    line: Option<Segment>,
    /// Whether it tells of a joint where that stands a second time.
    again: bool,
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
        let few = self.labels.len() <= FEW;
        let mut placed = Placed {
            words: Vec::new(),
            leaders: Vec::new(),
            crowd: Crowd::new(width, height, room),
            left_out: 0,
            hidden: 0,
            names: !few && self.arrows.is_empty(),
        };
        for caption in &flat.captions {
            placed.caption(caption, fit);
        }
        if self.labels.is_empty() {
            return placed;
        }
        let size = self.label_size(median_length(flat) * fit.scale, width);
        let middle = {
            let ((left, right), (low, high)) = (span(&flat.points, 0), span(&flat.points, 1));
            fit.at([f64::midpoint(left, right), f64::midpoint(low, high)])
        };
        // Names stand on top of each other where what they tell of does.
        let hidden = (!few && self.arrows.is_empty()).then(|| Hidden::new(scene, flat, fit));
        self.lines(&mut placed.crowd, flat, fit, hidden.as_ref());
        let wanted;
        (wanted, placed.hidden) = self.wanted(scene, flat, fit, hidden.as_ref());
        if !few && self.arrows.is_empty() {
            // A name keeps off the joints of others: a line may have to lead there.
            for want in &wanted {
                if let Place::Joint(joint) = want.label.at {
                    placed.crowd.line([want.at; 2], ON_JOINT, usize::MAX - 1 - joint);
                }
            }
        }
        let feet: Vec<[f64; 2]> =
            wanted.iter().filter(|w| matches!(w.label.at, Place::Joint(_))).map(|w| w.at).collect();
        let mut without = Vec::new();
        let mut letters =
            Crowd::new(width, height, Area { left: 0.0, top: 0.0, right: width, bottom: height });
        for want in wanted {
            let Wanted { label, said, at, line, .. } = &want;
            let wide = font::width(said, size, label.bold);
            if let Place::Panel(_) = label.at {
                // Letters of thin panels would stand on each other; lines run on behind them.
                let area = Area::about(*at, wide, size);
                if letters.is_free(&area) {
                    letters.take(area);
                    placed.words.push(set(label, said, size, *at));
                } else {
                    placed.left_out += 1;
                }
                continue;
            }
            let area = [wide + 4.0 + 0.2 * size, size + 2.0];
            // Under a framed end that stands beside the surface what its feet hold is told under them.
            let under = flat
                .captions
                .iter()
                .map(|caption| fit.at(caption.at))
                .find(|foot| (foot[1] - at[1]).abs() < 1.0 && line.is_none());
            let middle = under.map_or(middle, |foot| [foot[0], foot[1] - 1e4]);
            let choices = match (few, *line) {
                _ if !self.arrows.is_empty() && line.is_none() => past_arrows(*at, middle, area, &feet),
                // What is seen end-on is a point, and has no side.
                (true, Some(line)) if !end_on(line) => beside_line(line, area),
                (true, _) => round_point(*at, area),
                (false, Some(line)) => on_line(line, area),
                (false, None) => on_point(*at, area),
            };
            // A name stands in a gap of its own line; what is told beside a line keeps off all of them.
            let mine = |member: usize| match label.at {
                Place::Member(own) => !few && member == own,
                Place::Joint(joint) => {
                    !few && (member == usize::MAX - 1 - joint
                        || scene
                            .ends
                            .get(member)
                            .is_some_and(|ends| ends.is_some_and(|e| e.contains(&joint))))
                }
                Place::OneOf(_) | Place::Panel(_) => false,
            };
            if !placed.choose(label, said, size, area, &choices, few, mine) {
                without.push((want, area));
            }
        }
        placed.lead(without, size, self.labels.len() <= READ_ON_PAPER && self.arrows.is_empty());
        placed
    }

    /// The lines that labels keep off.
    fn lines(&self, crowd: &mut Crowd, flat: &Flat, fit: &Fit, hidden: Option<&Hidden>) {
        for (member, ends) in flat.lines() {
            // A line behind another one is met with that.
            if hidden.is_some_and(|hidden| hidden.members[member]) {
                continue;
            }
            let weight = if flat.near[member] { 1.0 } else { 0.35 };
            crowd.line(ends.map(|point| fit.at(flat.points[point])), weight, member);
            if self.moved.is_some() {
                crowd.line(ends.map(|point| fit.at(flat.still[point])), 0.5, member);
            }
        }
        for arrow in &self.arrows {
            let (at, by) = (flat.direction(&arrow.at), flat.direction(&arrow.by));
            let sign = if arrow.pushes { -1.0 } else { 1.0 };
            let far = [at[0] + sign * by[0], at[1] + sign * by[1]];
            crowd.line([fit.at(at), fit.at(far)], 1.0, usize::MAX);
        }
    }

    /// The labels that this view tells, and how many it could only tell on top of others.
    fn wanted(
        &self,
        scene: &Scene<'_>,
        flat: &Flat,
        fit: &Fit,
        hidden: Option<&Hidden>,
    ) -> (Vec<Wanted<'_>>, usize) {
        let few = self.labels.len() <= FEW;
        let named = NamedJoints::new(scene, flat);
        let mut count = 0;
        let mut wanted = Vec::new();
        for label in &self.labels {
            if !few && named.hides(label, flat) {
                continue;
            }
            if let Some(hidden) = hidden
                && match label.at {
                    Place::Joint(joint) => hidden.joints[joint],
                    Place::Member(member) => hidden.members[member],
                    Place::OneOf(_) | Place::Panel(_) => false,
                }
            {
                count += 1;
                continue;
            }
            let Some(at) = label_place(label, scene, flat, fit) else { continue };
            let said = label_words(label, scene, flat, few);
            let line = shown_of(&label.at, flat)
                .and_then(|member| flat.ends[member])
                .map(|ends| ends.map(|point| fit.at(flat.points[point])));
            if let Place::Joint(joint) = label.at
                && hidden.is_some()
            {
                for (_, point) in flat.again.iter().filter(|(of, _)| *of == joint) {
                    let at = fit.at(flat.points[*point]);
                    wanted.push(Wanted { label, said: said.clone(), at, line: None, again: true });
                }
            }
            wanted.push(Wanted { label, said, at, line, again: false });
        }
        (wanted, count)
    }

    /// Size of the labels where members are so long on the page.
    fn label_size(&self, spacing: f64, width: f64) -> f64 {
        if self.labels.len() <= FEW {
            return 12.0;
        }
        let least = match self.labels.len() {
            0..=READ_ON_PAPER if width < BESIDE_ANOTHER => LEAST_BESIDE_ANOTHER,
            0..=READ_ON_PAPER => LEAST,
            _ => 3.2,
        };
        (spacing / 5.0).clamp(least, 11.0)
    }

    /// Room that the labels of feet want at either side of a shell drawn to this scale.
    pub(super) fn beside(&self, flat: &Flat, scale: f64, width: f64) -> f64 {
        self.beside_at(self.label_size(median_length(flat) * scale, width))
    }

    /// Room that the labels of feet want at either side of a view on a sheet of several.
    pub(super) fn beside_on_sheet(&self) -> f64 {
        self.beside_at(LEAST)
    }

    fn beside_at(&self, size: f64) -> f64 {
        if self.arrows.is_empty() {
            return 0.0;
        }
        let of_joints = self.labels.iter().filter(|label| matches!(label.at, Place::Joint(_)));
        let widest = of_joints.map(|label| font::width(&label.words, size, label.bold)).fold(0.0, f64::max);
        if widest > 0.0 { widest + PAST_ARROW + 8.0 } else { 0.0 }
    }
}

impl Placed {
    /// Writes what stands under a framed end, and keeps labels off it.
    fn caption(&mut self, caption: &Caption, fit: &Fit) {
        /// The words are as large as those under the views of a sheet.
        const SIZE: f64 = 10.5;
        let [x, y] = fit.at(caption.at);
        for (line, down) in caption.lines.iter().zip([24.0, 37.0]) {
            let mut text = words([x, y + down], line, SIZE);
            text.anchor = Anchor::Middle;
            text.tint = Tint::Soft;
            self.words.push(text);
            let wide = font::width(line, SIZE, false) + 6.0;
            self.crowd.take(Area::about([x, y + down - 4.0], wide, SIZE + 3.0));
        }
    }

    /// Leads lines to the names that have no room at their place; the rest is left out.
    fn lead(&mut self, without: Vec<(Wanted<'_>, [f64; 2])>, size: f64, leads: bool) {
        for (want, area) in without {
            let points = match want.line {
                Some([a, b]) => [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.12, 0.88]
                    .map(|share| [a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share])
                    .to_vec(),
                None => vec![want.at],
            };
            let led = if leads { leader::lead(&self.crowd, &points, area) } else { None };
            let Some(led) = led else {
                // A joint that stands a second time has its name at its other place.
                self.left_out += usize::from(!want.again);
                continue;
            };
            self.crowd.take(led.area);
            leader::keep_off(&mut self.crowd, led.leader);
            self.leaders.push(led.leader);
            self.words.push(set(want.label, &want.said, size, led.middle));
        }
    }

    /// Takes the best of the places offered; of many labels one may find none of its own, and is told so.
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
    ) -> bool {
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
            return false;
        };
        self.crowd.take(area);
        if let Some(from) = choice.from {
            let leader = [area.nearest(from), from];
            self.crowd.line(leader, 2.0, usize::MAX);
            self.leaders.push(leader);
        }
        self.words.push(set(label, said, size, middle));
        true
    }
}

/// Whether a line is so short on the page that it is seen as a point.
fn end_on([a, b]: Segment) -> bool {
    (b[0] - a[0]).hypot(b[1] - a[1]) < 6.0
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
            let [a, b] = flat.ends[shown_of(&label.at, flat)?]?;
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
