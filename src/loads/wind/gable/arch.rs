//! The arch over the flat end of a vault, as it was before any opening.

use crate::shell::{MemberId, Shell};
use crate::vector::Vec3;

/// Whether the end arch goes on from one edge to the next, from the ground to the ground.
pub(super) fn whole_arch(shell: &Shell, plane: f64) -> bool {
    let arch = end_arch(shell, plane);
    let near = near(shell);
    let all: Vec<Vec3> = arch.iter().flat_map(|edge| edge.at).collect();
    let met = |at: &Vec3| all.iter().filter(|other| (*other - at).norm() < near).count();
    arch.len() > 1 && all.iter().all(|at| met(at) == if at.z < near { 1 } else { 2 })
}

/// What is nearer than this is in one place \[m\].
pub(super) fn near(shell: &Shell) -> f64 {
    1e-6 * shell.outline.length.max(shell.outline.span)
}

pub(super) fn in_plane(shell: &Shell, at: &Vec3, plane: f64) -> bool {
    (at.x - plane).abs() < near(shell)
}

/// An edge of an end arch: its ends, and the member that runs there; none where an opening took it.
pub(super) struct Edge {
    pub(super) at: [Vec3; 2],
    pub(super) member: Option<MemberId>,
}

/// Edges of the end arch in a plane of x, those among them that openings took.
pub(super) fn end_arch(shell: &Shell, plane: f64) -> Vec<Edge> {
    let flat = |at: &[Vec3; 2]| at.iter().all(|at| in_plane(shell, at, plane));
    let members = shell.members.iter().enumerate().filter(|(_, member)| !member.panels.is_empty());
    let mut arch: Vec<Edge> = members
        .map(|(index, member)| Edge {
            at: member.joints.map(|joint| shell.at(joint)),
            member: Some(MemberId(index)),
        })
        .filter(|edge| flat(&edge.at))
        .collect();
    let near = near(shell);
    for outline in shell.openings.iter().flat_map(|opening| &opening.outlines) {
        for (place, from) in outline.iter().enumerate() {
            let at = [*from, outline[(place + 1) % outline.len()]];
            let same = |edge: &Edge| at.iter().all(|p| edge.at.iter().any(|q| (p - q).norm() < near));
            // Along the ground a panel has a rim and no arch.
            let on_ground = at.iter().all(|at| at.z < near);
            if flat(&at) && !on_ground && !arch.iter().any(same) {
                arch.push(Edge { at, member: None });
            }
        }
    }
    arch
}

/// The ends of an arch's edges from −y to +y along it, each once.
pub(super) fn points(arch: &[Edge], shell: &Shell) -> Vec<Vec3> {
    let middle = shell.outline.centre.y;
    // The angle from −y over the crown to +y, about the middle of the base.
    let angle = |at: &Vec3| (middle - at.y).atan2(at.z.max(0.0));
    let mut points: Vec<Vec3> = arch.iter().flat_map(|edge| edge.at).collect();
    points.sort_by(|a, b| angle(b).total_cmp(&angle(a)));
    let near = near(shell);
    points.dedup_by(|b, a| (*b - *a).norm() < near);
    points
}

/// Area under the arch, of all of it and of what lies within a width of one edge of it: at every height, from the arch
/// inward \[m²\]. Apart from the loads, for what is asked: a stretch that leans back over its foot takes off what its
/// neighbour has too much.
pub(super) fn areas(arch: &[Vec3], width: f64) -> [f64; 2] {
    let whole = arch.windows(2).map(|pair| 0.5 * (pair[1].y - pair[0].y) * (pair[0].z + pair[1].z)).sum();
    let mut heights: Vec<f64> = arch.iter().map(|at| at.z.max(0.0)).collect();
    heights.sort_by(f64::total_cmp);
    let crossed = |pair: &[Vec3], z: f64| {
        let [a, b] = [pair[0], pair[1]];
        let y = a.y + (b.y - a.y) * (z - a.z) / (b.z - a.z);
        if b.z > a.z { -y } else { y }
    };
    let mut at_edge = 0.0;
    for pair in heights.windows(2) {
        let [low, high] = [pair[0], pair[1]];
        let middle = 0.5 * (low + high);
        let there = arch.windows(2).filter(|p| (p[0].z - middle) * (p[1].z - middle) < 0.0);
        // How wide the end is at the ends of this stretch of heights: it changes evenly between.
        let [below, above] =
            there.fold([0.0; 2], |wide, p| [wide[0] + crossed(p, low), wide[1] + crossed(p, high)]);
        let most = |wide: f64| wide.min(width);
        let height = high - low;
        at_edge += if (below - width) * (above - width) < 0.0 {
            let part = (width - below) / (above - below);
            0.5 * height * (part * (most(below) + width) + (1.0 - part) * (width + most(above)))
        } else {
            0.5 * height * (most(below) + most(above))
        };
    }
    [whole, at_edge]
}
