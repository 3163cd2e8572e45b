//! What the fixings of a seam are asked for: turning moment, pull, and shear along the seam.
//!
//! The seam model gives the turning moment itself. A rigid centre-line model has no seam to turn;
//! what its nodes pass across the seam's line stands in for it (derived in
//! docs/engineering-basis.md): at each end of the seam, the members on one side bring moments whose
//! components along the seam add up to what crosses the line there, and half of it belongs to this
//! seam (the other half to the line's continuation beyond the joint).

use crate::frame::{BarForces, Response};
use crate::model::joints::Model;
use crate::shell::{JointId, MemberId, MemberKind, Shell};
use crate::vector::{Vec3, line_axes};

/// For every seam, the members at either end that lie on the side of its first panel, with the
/// axes needed to turn their end moments into global ones. Geometry only: made once a shell.
#[derive(Debug, Clone)]
pub struct Crossing {
    /// The seam.
    pub seam: MemberId,
    /// Unit vector along it.
    along: Vec3,
    /// At either end: bar, which of its ends meets the joint.
    left: [Vec<(usize, usize)>; 2],
}

/// Finds what crosses every seam.
#[must_use]
pub fn crossings(shell: &Shell) -> Vec<Crossing> {
    let mut at_joint: Vec<Vec<(usize, usize)>> = vec![Vec::new(); shell.joints.len()];
    for (i, member) in shell.members.iter().enumerate() {
        at_joint[member.joints[0].0].push((i, 0));
        at_joint[member.joints[1].0].push((i, 1));
    }
    shell
        .members
        .iter()
        .enumerate()
        .filter(|(_, m)| m.kind == MemberKind::Seam)
        .map(|(i, member)| {
            let [a, b] = member.joints;
            let along = (shell.at(b) - shell.at(a)).normalize();
            // The first panel lies to the left of a → b seen from outside.
            let leftward = member.outward.cross(&along);
            let side = |joint: JointId| {
                at_joint[joint.0]
                    .iter()
                    .copied()
                    .filter(|&(k, end)| {
                        let far = shell.members[k].joints[1 - end];
                        let away = shell.at(far) - shell.at(joint);
                        k != i && away.dot(&leftward) > 1e-6 * away.norm()
                    })
                    .collect()
            };
            Crossing { seam: MemberId(i), along, left: [side(a), side(b)] }
        })
        .collect()
}

impl Crossing {
    /// Moment that the rigid model passes across the seam's line \[N·m\], from the forces at the ends of
    /// every bar (global sign of no meaning to the fixings: only its size counts).
    #[must_use]
    pub fn moment(&self, model: &Model, ends: &dyn Fn(usize) -> [BarForces; 2]) -> f64 {
        let mut sum = 0.0;
        for side in &self.left {
            for &(bar, end) in side {
                let b = &model.frame.bars[bar];
                let from = &model.frame.nodes[b.from.0].at;
                let to = &model.frame.nodes[b.to.0].at;
                let Some(axes) = line_axes(from, to, &b.up) else { continue };
                let f = ends(bar)[end];
                // On the face +x at the start the rest of the bar acts on the node; at the end the
                // bar itself does, with the opposite sign.
                let sign = if end == 0 { 1.0 } else { -1.0 };
                let moment = axes.transpose() * Vec3::new(f.t, f.my, f.mz) * sign;
                sum += 0.5 * moment.dot(&self.along);
            }
        }
        sum
    }
}

/// Turning moment of every fold spring's seam in a response of the seam model \[N·m\].
#[must_use]
pub fn fold_moment(response: &Response, fold: usize) -> f64 {
    response.fold_moments.get(fold).copied().unwrap_or(0.0)
}
