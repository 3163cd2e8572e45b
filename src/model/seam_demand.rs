//! What the fixings of a seam are asked for: turning moment, pull, and shear along the seam.
//!
//! The seam model gives the turning moment itself. A rigid centre-line model has no seam to turn;
//! what its nodes pass across the seam's line stands in for it (derived in
//! docs/engineering-basis.md): at each end of the seam, the members on one side bring moments whose
//! components along the seam add up to what crosses the line there. Those on the other side bring the same but for the
//! torsion of bars in the line and for loads on the joint; the side that brings more is asked. Where another seam carries the
//! line on beyond the joint, half of it belongs to that one.

use crate::frame::BarForces;
use crate::model::joints::Model;
use crate::shell::{JointId, MemberId, MemberKind, Shell};
use crate::vector::{Vec3, line_axes};

/// For every seam, the members at either end that lie on either side of it, with the
/// axes needed to turn their end moments into global ones. Geometry only: made once a shell.
#[derive(Debug, Clone)]
pub struct Crossing {
    /// The seam.
    pub seam: MemberId,
    /// Unit vector along it.
    along: Vec3,
    /// On the side of its first panel and on the other, at either end: bar, which of its ends meets the joint.
    sides: [[Vec<(usize, usize)>; 2]; 2],
    /// At either end: the share of what crosses there that this seam takes, 1, or ½ where another seam
    /// carries the line on.
    share: [f64; 2],
}

/// Cosine of the angle (45°) within which a seam beyond the joint carries the line on.
const CARRIES_ON: f64 = std::f64::consts::FRAC_1_SQRT_2;

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
            let side = |joint: JointId, towards: Vec3| {
                at_joint[joint.0]
                    .iter()
                    .copied()
                    .filter(|&(k, end)| {
                        let far = shell.members[k].joints[1 - end];
                        let away = shell.at(far) - shell.at(joint);
                        k != i && away.dot(&towards) > 1e-6 * away.norm()
                    })
                    .collect()
            };
            let share = |joint: JointId, outward: Vec3| {
                let carried_on = at_joint[joint.0].iter().any(|&(k, end)| {
                    let far = shell.members[k].joints[1 - end];
                    let away = (shell.at(far) - shell.at(joint)).normalize();
                    k != i && shell.members[k].kind == MemberKind::Seam && away.dot(&outward) > CARRIES_ON
                });
                if carried_on { 0.5 } else { 1.0 }
            };
            Crossing {
                seam: MemberId(i),
                along,
                sides: [leftward, -leftward].map(|towards| [side(a, towards), side(b, towards)]),
                share: [share(a, -along), share(b, along)],
            }
        })
        .collect()
}

/// A crossing in one model: what its bars' moments count in it, made once for every state.
#[derive(Debug, Clone)]
pub struct ModelCrossing {
    /// On either side: bar, end, and the seam's share in each of the moments `t`, `my`, `mz` there, with the sign of that end.
    sides: [Vec<(usize, usize, Vec3)>; 2],
}

impl Crossing {
    /// With the axes of a model's bars. A bar without axes passes nothing.
    #[must_use]
    pub fn in_model(&self, model: &Model) -> ModelCrossing {
        let of = |side: &[Vec<(usize, usize)>; 2]| {
            let mut ends = Vec::new();
            for (at, share) in side.iter().zip(self.share) {
                for &(bar, end) in at {
                    let b = &model.frame.bars[bar];
                    let from = &model.frame.nodes[b.from.0].at;
                    let to = &model.frame.nodes[b.to.0].at;
                    let Some(axes) = line_axes(from, to, &b.up) else { continue };
                    // On the face +x at the start the rest of the bar acts on the node; at the end the
                    // bar itself does, with the opposite sign.
                    let sign = if end == 0 { 1.0 } else { -1.0 };
                    ends.push((bar, end, axes * self.along * (sign * share)));
                }
            }
            ends
        };
        let [first, other] = &self.sides;
        ModelCrossing { sides: [of(first), of(other)] }
    }
}

impl ModelCrossing {
    /// Moment that the rigid model passes across the seam's line by what either side brings \[N·m\], from the forces at the ends of
    /// every bar. Linear in them; the fixings are asked for the greater size of the two, whichever its sign.
    #[must_use]
    pub fn moments(&self, ends: &[[BarForces; 2]]) -> [f64; 2] {
        self.sides.each_ref().map(|side| {
            let mut sum = 0.0;
            for (bar, end, counts) in side {
                let f = &ends[*bar][*end];
                sum += counts.dot(&Vec3::new(f.t, f.my, f.mz));
            }
            sum
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::frame::linear::Solver;
    use crate::frame::{FrameLoads, NodeId, Response};
    use crate::model::ask::{FeetHeld, JointModel};
    use crate::model::joints::{JointStiffness, Material, build};
    use crate::model::timbers::timbers;
    use crate::shell::ask::{Form, MeshAsk, ShellAsk};

    /// Two triangles hinged or stiff along the line x = 0, feet at x = ±2, a load P on the middle of the line:
    /// by statics the line passes P·4/4 = P·1 m, whatever the joints do.
    fn tent(kind: JointModel, seam: f64) -> (Shell, Model, Response) {
        let points =
            [("a", 0.0, -1.0, 0.4), ("b", 0.0, 1.0, 0.4), ("c", -2.0, 0.0, 0.0), ("d", 2.0, 0.0, 0.0)];
        let mesh = MeshAsk {
            joints: points.iter().map(|p| (p.0.to_owned(), Vec3::new(p.1, p.2, p.3))).collect(),
            panels: vec![("p".into(), vec![0, 1, 2]), ("q".into(), vec![1, 0, 3])],
            feet: vec![2, 3],
            ..MeshAsk::default()
        };
        let ask = ShellAsk { form: Form::Mesh(mesh), openings: Vec::new(), mend: true };
        let shell = crate::shell::build(&ask).unwrap();
        let timbers = timbers(&shell, &crate::model::corners::tests::timber()).unwrap();
        let material = Material { elastic: 11e9, shear: 0.69e9, density: 420.0 };
        let stiffness = JointStiffness { seam, end: 0.0 };
        let mut model = build(&shell, &timbers, &material, kind, stiffness, FeetHeld::Pinned).unwrap();
        // One foot rolls, so that statics alone gives the moment; the tent may not fall over sideways.
        for (joint, node) in shell.joints.iter().zip(&mut model.frame.nodes) {
            if joint.foot {
                node.held = [joint.at.x < 0.0, true, true, true, false, true];
            } else {
                node.held = [false, true, false, false, false, false];
            }
        }
        let solver = Solver::new(&model.frame).unwrap();
        let down = [0.0, 0.0, -500.0, 0.0, 0.0, 0.0];
        let top = (0..shell.joints.len()).filter(|&j| !shell.joints[j].foot);
        let loads = FrameLoads { nodes: top.map(|j| (NodeId(j), down)).collect(), ..FrameLoads::default() };
        let response = solver.solve(&[loads]).unwrap().remove(0);
        (shell, model, response)
    }

    #[test]
    fn what_crosses_the_line_is_what_statics_says() {
        let (shell, model, response) = tent(JointModel::Rigid, 0.0);
        let crossing = &crossings(&shell)[0];
        for moment in crossing.in_model(&model).moments(&response.bar_ends) {
            assert!((moment.abs() - 1000.0).abs() < 1e-6 * 1000.0, "{moment}");
        }
    }

    #[test]
    fn the_fold_spring_carries_the_same_moment() {
        let (_, _, response) = tent(JointModel::Seam, 5e3);
        assert!(
            (response.fold_moments[0].abs() - 1000.0).abs() < 1e-6 * 1000.0,
            "{:?}",
            response.fold_moments
        );
    }
}
