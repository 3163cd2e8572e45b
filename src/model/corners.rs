//! What the frames of panels pass to each other at their corners.
//!
//! Nothing ties the frames together at a joint. A model of centre lines lets the timbers' forces meet there; in panel
//! frames every corner must be in balance by itself: what its own strips bring to it has to be met by what its two
//! neighbours give it through the half seams next to the joint. Where all timbers at a joint pull, each by T a strip, and
//! the corners are α wide, that is an opening of T/tan(α/2) in every half seam and no shear at all, and a pull of
//! T/sin(α/2) across the mitre of every corner.
//!
//! Each strip takes its share of its member's force. Round a joint the frames and half seams form a ring or, at a rim,
//! a row. In a row what crosses each half seam follows from equilibrium alone; in a ring one vector stays free, and is
//! chosen so that the sum of the squares of what crosses is least (own reading: half seams that give alike in all
//! directions). The moment of a seam's fold spring is in the frames of its two panels: what it does at their corners goes to each. What
//! a foot, a bar or a load on the joint brings goes to the frames with a rim there, else to all frames
//! alike; a foot's anchor, and the end of a bar, tie those frames to each other besides. A second model, made panel by panel with bolts as springs and stiff corners, gave 0.85 to 1.17 times the openings
//! found here on a dome blown up (own comparison).

use nalgebra::DMatrix;

use crate::frame::BarForces;
use crate::frame::fold::by_panel;
use crate::model::joints::fold;
use crate::shell::{JointId, Member, MemberId, Shell};
use crate::vector::{Mat3, Vec3, line_axes};

/// What crosses the halves of one seam, signed so that cases add up \[N\]; of pairs the first is at the seam's first joint.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct AtCorners {
    /// Pulls the two frames apart; negative presses them together.
    pub opening: [f64; 2],
    /// Along the seam, on the first panel's side.
    pub along: [f64; 2],
    /// Through the shell, outward on the first panel's side.
    pub through: [f64; 2],
    /// Pull across the mitre of the corner where this seam's strip ends: at either end, of its first and its second panel.
    pub mitre: [[f64; 2]; 2],
}

/// How many numbers [`AtCorners`] is.
pub const NUMBERS: usize = 10;

impl AtCorners {
    /// As numbers in a row.
    #[must_use]
    pub fn numbers(&self) -> [f64; NUMBERS] {
        let [a, b] = self.mitre;
        let mut out = [0.0; NUMBERS];
        let parts = self.opening.iter().chain(&self.along).chain(&self.through).chain(&a).chain(&b);
        for (into, part) in out.iter_mut().zip(parts) {
            *into = *part;
        }
        out
    }

    /// From numbers in a row.
    #[must_use]
    pub fn of(&[a, b, c, d, e, f, g, h, i, j]: &[f64; NUMBERS]) -> Self {
        Self { opening: [a, b], along: [c, d], through: [e, f], mitre: [[g, h], [i, j]] }
    }
}

/// The ends of bars that count at one end of a seam, and how much of each crosses there.
#[derive(Debug, Clone, Default)]
struct Half {
    /// Bar, which of its ends, and the share of its force that crosses to the first panel's frame.
    crosses: Vec<(usize, usize, f64)>,
    /// Seam, and what 1 N·m that sharpens its fold makes cross to the first panel's frame \[1/m\].
    folds: Vec<(usize, Vec3)>,
    /// In the planes of the first and the second panel: across the mitre, from the seam's strip to the other one.
    mitres: [Vec3; 2],
}

/// A seam between two panels.
#[derive(Debug, Clone)]
struct Seam {
    member: MemberId,
    along: Vec3,
    leftward: Vec3,
    outward: Vec3,
    halves: [Half; 2],
    /// The widest of the corners in which its strips end \[rad\].
    widest: f64,
    /// The sharpest of them \[rad\].
    sharpest: f64,
}

/// The corners of a whole shell: geometry only, made once.
#[derive(Debug, Clone)]
pub struct Corners {
    /// By member: its seam's place among them.
    place: Vec<Option<usize>>,
    seams: Vec<Seam>,
    /// Axes of every member.
    axes: Vec<Mat3>,
}

/// A part that is no more than this share of the forces that meet at a joint is what rounding leaves: its direction means
/// nothing, and a direction alone can want the distance of a loaded edge.
const ROUNDING: f64 = 1e-9;

/// Square root of how much stiffer a tie of two frames by a foot or a bar is than a half seam (own judgement: stiff).
const TIE: f64 = 30.0;

impl Corners {
    /// Of a shell.
    #[must_use]
    pub fn new(shell: &Shell) -> Self {
        let axes = shell.members.iter().map(|member| {
            let [a, b] = member.joints;
            line_axes(&shell.at(a), &shell.at(b), &member.outward).unwrap_or_else(Mat3::identity)
        });
        let mut place = vec![None; shell.members.len()];
        let mut seams = Vec::new();
        for (m, member) in shell.members.iter().enumerate().filter(|(_, member)| two_panels(member)) {
            place[m] = Some(seams.len());
            let [a, b] = member.joints;
            let along = (shell.at(b) - shell.at(a)).try_normalize(1e-12).unwrap_or_else(Vec3::x);
            // The first panel lies to the left of a → b seen from outside.
            let leftward = member.outward.cross(&along);
            seams.push(Seam {
                member: MemberId(m),
                along,
                leftward,
                outward: member.outward,
                halves: [Half::default(), Half::default()],
                widest: 0.0,
                sharpest: std::f64::consts::PI,
            });
        }
        let mut out = Self { place, seams, axes: axes.collect() };
        let mut at_joint: Vec<Vec<(usize, usize)>> = vec![Vec::new(); shell.joints.len()];
        for (m, member) in shell.members.iter().enumerate().filter(|(_, member)| !member.panels.is_empty()) {
            for (end, joint) in member.joints.iter().enumerate() {
                at_joint[joint.0].push((m, end));
            }
        }
        let mut tied: Vec<bool> = shell.joints.iter().map(|joint| joint.foot).collect();
        for member in shell.members.iter().filter(|member| member.panels.is_empty()) {
            member.joints.iter().for_each(|joint| tied[joint.0] = true);
        }
        let folds = folds_at(shell);
        for (joint, ends) in at_joint.iter().enumerate() {
            out.joint(shell, JointId(joint), ends, &folds[joint], tied[joint]);
        }
        out
    }

    /// Works out what crosses the half seams at one joint.
    fn joint(
        &mut self,
        shell: &Shell,
        joint: JointId,
        ends: &[(usize, usize)],
        folds: &[AtFrame],
        tied: bool,
    ) {
        let mut frames: Vec<usize> = Vec::new();
        for (m, _) in ends {
            for panel in &shell.members[*m].panels {
                if !frames.contains(&panel.0) {
                    frames.push(panel.0);
                }
            }
        }
        let frame = |panel: usize| frames.iter().position(|&f| f == panel);
        let seams: Vec<(usize, usize)> =
            ends.iter().copied().filter(|(m, _)| two_panels(&shell.members[*m])).collect();
        if seams.is_empty() {
            return;
        }
        // What each end of a bar brings to each frame: its share, and what the rest of the joint takes of the sum.
        let mut brings = DMatrix::<f64>::zeros(frames.len(), ends.len());
        let mut rims = vec![0.0; frames.len()];
        for (column, (m, _)) in ends.iter().enumerate() {
            let panels = &shell.members[*m].panels;
            for row in panels.iter().filter_map(|panel| frame(panel.0)) {
                brings[(row, column)] += 1.0 / panels.len() as f64;
                if panels.len() == 1 {
                    rims[row] += 1.0;
                }
            }
        }
        let with_rim: Vec<usize> = (0..frames.len()).filter(|&row| rims[row] > 0.0).collect();
        if with_rim.is_empty() {
            rims.fill(1.0);
        }
        let ties = if tied { with_rim.len().saturating_sub(1) } else { 0 };
        let all: f64 = rims.iter().sum();
        for (row, rim) in rims.iter().enumerate() {
            for column in 0..ends.len() {
                brings[(row, column)] -= rim / all;
            }
        }
        // Force on the first panel's frame through every half seam, and the reverse on the second's.
        let mut meets = DMatrix::<f64>::zeros(frames.len(), seams.len() + ties);
        for (column, (m, _)) in seams.iter().enumerate() {
            if let [first, second] = shell.members[*m].panels.as_slice()
                && let (Some(first), Some(second)) = (frame(first.0), frame(second.0))
            {
                meets[(first, column)] += 1.0;
                meets[(second, column)] -= 1.0;
            }
        }
        for tie in 0..ties {
            meets[(with_rim[tie], seams.len() + tie)] = TIE;
            meets[(with_rim[tie + 1], seams.len() + tie)] = -TIE;
        }
        let Ok(least) = meets.pseudo_inverse(1e-9) else { return };
        // What comes to one frame alone is not the rest's, which goes to all.
        let alone = DMatrix::from_fn(frames.len(), frames.len(), |row, own| {
            f64::from(u8::from(row == own)) - rims[row] / all
        });
        let (crossing, of_frame) = (-(&least * brings), -(least * alone));
        for (row, &(m, end)) in seams.iter().enumerate() {
            let Some(place) = self.place[m] else { continue };
            let half = &mut self.seams[place].halves[end];
            half.crosses = ends
                .iter()
                .enumerate()
                .map(|(column, &(bar, at))| (bar, at, crossing[(row, column)]))
                .filter(|(_, _, share)| share.abs() > 1e-12)
                .collect();
            half.folds.clear();
            for &AtFrame { seam, panel, force } in folds {
                let Some(own) = frame(panel) else { continue };
                let part = force * of_frame[(row, own)];
                match half.folds.iter_mut().find(|(other, _)| *other == seam) {
                    Some((_, sum)) => *sum += part,
                    None => half.folds.push((seam, part)),
                }
            }
            let corners = others(shell, &shell.members[m], end, joint);
            let own = away(shell, joint, shell.members[m].joints[1 - end]);
            half.mitres = corners.map(|other| (other - own).try_normalize(1e-12).unwrap_or_default());
            let widest =
                corners.iter().map(|other| other.dot(&own).clamp(-1.0, 1.0).acos()).fold(0.0, f64::max);
            let angles = corners.iter().map(|other| other.dot(&own).clamp(-1.0, 1.0).acos());
            let sharpest = angles.fold(f64::INFINITY, f64::min);
            let seam = &mut self.seams[place];
            seam.widest = seam.widest.max(widest);
            seam.sharpest = seam.sharpest.min(sharpest);
        }
    }

    /// Whether a member is a seam between two frames.
    #[must_use]
    pub fn has(&self, member: usize) -> bool {
        self.place.get(member).is_some_and(Option::is_some)
    }

    /// The widest of the corners in which the strips of a seam end \[rad\]; a right angle of what is no seam.
    #[must_use]
    pub fn widest(&self, member: usize) -> f64 {
        let seam = self.place.get(member).copied().flatten();
        seam.map_or(std::f64::consts::FRAC_PI_2, |place| self.seams[place].widest)
    }

    /// The sharpest of them \[rad\]; a right angle of what is no seam.
    #[must_use]
    pub fn sharpest(&self, member: usize) -> f64 {
        let seam = self.place.get(member).copied().flatten();
        seam.map_or(std::f64::consts::FRAC_PI_2, |place| self.seams[place].sharpest)
    }

    /// What crosses the halves of one seam, from the forces at the ends of every bar and the moment in the fold spring of every seam
    /// \[N·m\] (0 where it has none), positive where its fold sharpens; nothing for what is no seam.
    #[must_use]
    pub fn at(&self, member: usize, ends: &[[BarForces; 2]], fold: impl Fn(usize) -> f64) -> AtCorners {
        let mut out = AtCorners::default();
        let Some(seam) = self.place.get(member).copied().flatten().map(|place| &self.seams[place]) else {
            return out;
        };
        for (end, half) in seam.halves.iter().enumerate() {
            let (mut force, mut size) = (Vec3::zeros(), 0.0);
            for &(bar, at, share) in &half.crosses {
                let brought = self.brought(bar, at, ends);
                force += brought * share;
                size += brought.norm();
            }
            for &(seam, per_moment) in &half.folds {
                let brought = per_moment * fold(seam);
                force += brought;
                size += brought.norm();
            }
            let part = |value: f64| if value.abs() > ROUNDING * size { value } else { 0.0 };
            out.opening[end] = part(-force.dot(&seam.leftward));
            out.along[end] = part(force.dot(&seam.along));
            out.through[end] = part(force.dot(&seam.outward));
            let own = self.brought(seam.member.0, end, ends) * 0.5;
            for (side, sign) in [1.0, -1.0].into_iter().enumerate() {
                out.mitre[end][side] = part(-(own + force * sign).dot(&half.mitres[side]));
            }
        }
        out
    }

    /// Force of a bar on the joint at one of its ends, in global components \[N\].
    fn brought(&self, bar: usize, end: usize, ends: &[[BarForces; 2]]) -> Vec3 {
        let f = &ends[bar][end];
        // On the face +x at the start the rest of the bar acts on the joint; at the end the bar itself does, with the
        // opposite sign.
        let sign = if end == 0 { 1.0 } else { -1.0 };
        self.axes[bar].tr_mul(&Vec3::new(f.n, f.vy, f.vz)) * sign
    }
}

/// What 1 N·m that sharpens the fold of a seam does to one of its two frames at a joint.
#[derive(Debug, Clone, Copy)]
struct AtFrame {
    seam: usize,
    panel: usize,
    /// \[1/m\]
    force: Vec3,
}

/// By joint. A seam without a fold, of panels without area, does nothing.
fn folds_at(shell: &Shell) -> Vec<Vec<AtFrame>> {
    let mut at = vec![Vec::new(); shell.joints.len()];
    for (seam, member) in shell.members.iter().enumerate().filter(|(_, member)| two_panels(member)) {
        let spring = fold(shell, member, 1.0);
        let Ok(sides) = by_panel(&spring, |node| shell.joints[node.0].at) else { continue };
        for (panel, entries) in member.panels.iter().zip(sides) {
            for (node, rate) in entries {
                // The spring resists the growth of its angle.
                at[node.0].push(AtFrame { seam, panel: panel.0, force: -rate });
            }
        }
    }
    at
}

fn two_panels(member: &Member) -> bool {
    matches!(member.panels.as_slice(), [first, second] if first != second)
}

/// Unit vector from a joint to another.
fn away(shell: &Shell, joint: JointId, far: JointId) -> Vec3 {
    (shell.at(far) - shell.at(joint)).try_normalize(1e-12).unwrap_or_default()
}

/// At one end of a seam, the unit vectors along the other strip of the corner there, of its first and its second panel. The mitre
/// is crossed along the line between the two strips' unit vectors, square to the line that halves the corner.
fn others(shell: &Shell, member: &Member, end: usize, joint: JointId) -> [Vec3; 2] {
    let mut out = [Vec3::zeros(); 2];
    for (other, panel) in out.iter_mut().zip(&member.panels) {
        let corners = &shell.panels[panel.0].joints;
        let Some(at) = corners.iter().position(|&corner| corner == joint) else { continue };
        let next = corners[(at + 1) % corners.len()];
        let before = corners[(at + corners.len() - 1) % corners.len()];
        *other = away(shell, joint, if next == member.joints[1 - end] { before } else { next });
    }
    out
}

#[cfg(test)]
#[path = "corners_tests.rs"]
pub(super) mod tests;
