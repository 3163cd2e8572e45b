//! Shell, timbers and a joint model → a frame.

use crate::frame::{Bar, BarSection, EndFix, Fold, Frame, Node, NodeId};
use crate::model::ask::{FeetHeld, JointModel};
use crate::model::timbers::{ModelError, Timber};
use crate::shell::{JointId, Member, MemberId, MemberKind, Shell};
use crate::vector::line_axes;

/// Mean stiffness and density of the timber.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Material {
    /// Mean modulus of elasticity along the grain \[Pa\].
    pub elastic: f64,
    /// Mean shear modulus \[Pa\].
    pub shear: f64,
    /// Mean density \[kg/m³\].
    pub density: f64,
}

/// A frame made of a shell, and what is needed to find the way back.
#[derive(Debug, Clone, PartialEq)]
pub struct Model {
    /// Rung of the ladder.
    pub kind: JointModel,
    /// The frame: node i is joint i, bar i is member i.
    pub frame: Frame,
    /// The seam of every fold spring, in the order of the frame's folds.
    pub fold_seams: Vec<MemberId>,
}

/// Stiffness of the joints, for the rungs that need one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JointStiffness {
    /// Turning stiffness of a seam per metre of it \[N·m/rad per m\].
    pub seam: f64,
    /// Turning stiffness of a bar's end about each of its axes \[N·m/rad\].
    pub end: f64,
}

/// Builds the frame of one joint model.
///
/// *Pinned* hinges every bar's ends; *seam* adds a turning spring to the fold of every seam;
/// *semi-rigid* puts rotational springs at every bar's ends; *rigid* has neither. Feet are held
/// against movement, and against turning where the project says `fixed`.
///
/// # Errors
/// [`ModelError::NoAxes`] where a member has no length.
pub fn build(
    shell: &Shell,
    timbers: &[Timber],
    material: &Material,
    kind: JointModel,
    stiffness: JointStiffness,
    feet: FeetHeld,
) -> Result<Model, ModelError> {
    let turning = kind.is_stiff();
    let nodes = shell
        .joints
        .iter()
        .map(|joint| {
            let moved = joint.foot;
            let turned = joint.foot && turning && feet == FeetHeld::Fixed;
            Node { at: joint.at, held: [moved, moved, moved, turned, turned, turned], ground: [0.0; 6] }
        })
        .collect();
    let end = match kind {
        JointModel::Pinned | JointModel::Seam => EndFix::Hinged,
        JointModel::SemiRigid => EndFix::Springs([stiffness.end; 3]),
        JointModel::Rigid => EndFix::Rigid,
    };
    let mut bars = Vec::with_capacity(shell.members.len());
    for (member, timber) in shell.members.iter().zip(timbers) {
        bars.push(bar(shell, member, timber, material, end)?);
    }
    let mut folds = Vec::new();
    let mut fold_seams = Vec::new();
    if kind == JointModel::Seam && stiffness.seam > 0.0 {
        for (i, member) in shell.members.iter().enumerate() {
            if member.kind == MemberKind::Seam && member.panels.len() == 2 {
                let id = MemberId(i);
                folds.push(fold(shell, member, stiffness.seam * shell.length(id)));
                fold_seams.push(id);
            }
        }
    }
    Ok(Model { kind, frame: Frame { nodes, bars, links: Vec::new(), folds }, fold_seams })
}

fn node(joint: JointId) -> NodeId {
    NodeId(joint.0)
}

fn bar(
    shell: &Shell,
    member: &Member,
    timber: &Timber,
    material: &Material,
    end: EndFix,
) -> Result<Bar, ModelError> {
    let [a, b] = member.joints;
    if line_axes(&shell.at(a), &shell.at(b), &member.outward).is_none() {
        return Err(ModelError::NoAxes { member: member.name.clone() });
    }
    let whole = &timber.whole;
    let section = BarSection {
        area: whole.area,
        second_moment_y: whole.second_moment_y,
        second_moment_z: whole.second_moment_z,
        torsion: whole.torsion,
        elastic: material.elastic,
        shear: material.shear,
        mass: whole.area * material.density,
    };
    Ok(Bar { from: node(a), to: node(b), section, up: member.outward, ends: [end; 2] })
}

/// The far point of a panel is the mean of its corners off the seam: exact for a triangle, and for
/// a panel of four corners the line through that mean still lies in the panel's plane.
pub(super) fn fold(shell: &Shell, member: &Member, stiffness: f64) -> Fold {
    let wing = |side: usize| {
        let corners = &shell.panels[member.panels[side].0].joints;
        let far: Vec<NodeId> =
            corners.iter().filter(|j| !member.joints.contains(j)).map(|&j| node(j)).collect();
        let weight = 1.0 / far.len() as f64;
        far.into_iter().map(|n| (n, weight)).collect()
    };
    Fold { hinge: member.joints.map(node), wings: [wing(0), wing(1)], stiffness }
}
