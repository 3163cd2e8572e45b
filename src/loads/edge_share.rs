//! Pressure on a panel to line loads on its edges: every point goes to its nearest edge.
//!
//! On a triangle that is the incentre rule: each edge carries a triangular load that peaks at the foot
//! of the incentre. On any other convex panel the load on an edge is piecewise linear and concave.
//! The sum over the edges is traction × area, and its first moment is that of the panel: the shift of a
//! point to its edge is d·∇d of the distance d to the boundary, and ∫ ∇(d²/2) over the panel is 0
//! because d vanishes on the boundary.

use std::collections::BTreeMap;

use crate::loads::{MemberLoad, PanelLoad};
use crate::shell::{JointId, MemberId, PanelId, Shell};
use crate::vector::Vec3;

/// One stretch of one edge: the width of panel that reaches it, at either end of the stretch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Stretch {
    pub(crate) member: MemberId,
    /// From the member's first joint \[m\].
    pub(crate) span: [f64; 2],
    /// Width of panel per metre of member \[m\].
    pub(crate) width: [f64; 2],
}

/// The shares of every panel, worked out once and used for every case.
#[derive(Debug, Clone, PartialEq)]
pub struct EdgeShares {
    panels: Vec<Vec<Stretch>>,
}

impl EdgeShares {
    /// Works out which stretch of which member carries what width of each panel.
    ///
    /// A panel edge that is no member carries nothing; the audit of the case then does not close.
    #[must_use]
    pub fn new(shell: &Shell) -> EdgeShares {
        let mut edges: BTreeMap<(JointId, JointId), MemberId> = BTreeMap::new();
        for (index, member) in shell.members.iter().enumerate() {
            let [a, b] = member.joints;
            edges.entry((a.min(b), a.max(b))).or_insert(MemberId(index));
        }
        let panels = (0..shell.panels.len()).map(|panel| stretches(shell, PanelId(panel), &edges)).collect();
        EdgeShares { panels }
    }

    /// Of shares that are worked out elsewhere, by panel.
    pub(crate) fn of(panels: Vec<Vec<Stretch>>) -> EdgeShares {
        EdgeShares { panels }
    }

    /// Which members a panel's load goes to, and the area of the panel that each takes \[m²\]; a member may come twice.
    pub fn areas(&self, panel: PanelId) -> impl Iterator<Item = (MemberId, f64)> {
        self.panels[panel.0].iter().map(|stretch| {
            let [from, to] = stretch.span;
            (stretch.member, 0.5 * (stretch.width[0] + stretch.width[1]) * (to - from))
        })
    }

    /// Line loads of tractions on panels, in the order of the panels.
    #[must_use]
    pub fn share(&self, loads: &[PanelLoad]) -> Vec<MemberLoad> {
        let mut shared = Vec::with_capacity(loads.len() * 6);
        for load in loads {
            for stretch in &self.panels[load.panel.0] {
                shared.push(MemberLoad {
                    member: stretch.member,
                    span: stretch.span,
                    intensity: stretch.width.map(|width| load.traction * width),
                    panel: Some(load.panel),
                });
            }
        }
        shared
    }
}

/// Line loads on members that carry tractions on panels.
#[must_use]
pub fn share(shell: &Shell, loads: &[PanelLoad]) -> Vec<MemberLoad> {
    if loads.is_empty() {
        return Vec::new();
    }
    EdgeShares::new(shell).share(loads)
}

fn stretches(shell: &Shell, panel: PanelId, edges: &BTreeMap<(JointId, JointId), MemberId>) -> Vec<Stretch> {
    let joints = &shell.panels[panel.0].joints;
    let area = shell.area_vector(panel);
    let normal = area.normalize();
    // A quadrilateral of a user's mesh may be a little out of flat: work in the plane of its area
    // vector, whose projected area is the area itself.
    let origin = shell.at(joints[0]);
    let flat: Vec<Vec3> = joints
        .iter()
        .map(|&joint| {
            let at = shell.at(joint);
            at - normal * normal.dot(&(at - origin))
        })
        .collect();
    let heights = edge_heights(&flat, &normal);
    let total: f64 = heights.iter().flat_map(|edge| edge.windows(2)).map(|w| trapezium(w[0], w[1])).sum();
    // 1 to rounding for a convex panel; keeps the total of one that is not.
    let scale = area.norm() / total;

    let mut stretches = Vec::new();
    for (index, heights) in heights.iter().enumerate() {
        let (from, to) = (joints[index], joints[(index + 1) % joints.len()]);
        let Some(&member) = edges.get(&(from.min(to), from.max(to))) else { continue };
        let along = shell.members[member.0].joints[0] == from;
        let true_length = shell.length(member);
        let flat_length = (flat[(index + 1) % flat.len()] - flat[index]).norm();
        let stretch = true_length / flat_length;
        let point = |(s, width): (f64, f64)| {
            let s = (s * stretch).min(true_length);
            (if along { s } else { true_length - s }, width * scale / stretch)
        };
        for pair in heights.windows(2) {
            let (mut start, mut end) = (point(pair[0]), point(pair[1]));
            if !along {
                std::mem::swap(&mut start, &mut end);
            }
            stretches.push(Stretch { member, span: [start.0, end.0], width: [start.1, end.1] });
        }
    }
    stretches
}

fn trapezium(a: (f64, f64), b: (f64, f64)) -> f64 {
    0.5 * (a.1 + b.1) * (b.0 - a.0)
}

/// For every edge of a flat convex polygon, corners of the piecewise linear width that reaches it:
/// (distance along the edge, width).
///
/// A point at (s, t) of edge i goes to it if t ≤ its distance to the line of every other edge, which is
/// linear in s and t; so the width is the least of n − 1 straight lines in s.
fn edge_heights(corners: &[Vec3], normal: &Vec3) -> Vec<Vec<(f64, f64)>> {
    let n = corners.len();
    let edge = |i: usize| {
        let from = corners[i];
        let along = corners[(i + 1) % n] - from;
        let length = along.norm();
        (from, along / length, normal.cross(&along) / length, length)
    };
    (0..n)
        .map(|i| {
            let (from, along, inward, length) = edge(i);
            let mut lines = Vec::with_capacity(n - 1);
            for j in (0..n).filter(|&j| j != i) {
                let (other, _, other_inward, _) = edge(j);
                let closing = 1.0 - other_inward.dot(&inward);
                // An edge in line with this one shares its own line: it bounds nothing.
                if closing > 1e-12 {
                    lines.push((
                        other_inward.dot(&(from - other)) / closing,
                        other_inward.dot(&along) / closing,
                    ));
                }
            }
            let mut places = vec![0.0, length];
            for (k, (a, b)) in lines.iter().enumerate() {
                for (c, d) in &lines[k + 1..] {
                    let s = (c - a) / (b - d);
                    if s.is_finite() && s > 1e-9 * length && s < length * (1.0 - 1e-9) {
                        places.push(s);
                    }
                }
            }
            places.sort_by(f64::total_cmp);
            places.dedup_by(|a, b| (*a - *b).abs() <= 1e-12 * length);
            let points: Vec<(f64, f64)> = places
                .iter()
                .map(|&s| {
                    let least = lines.iter().map(|(a, b)| a + b * s).fold(f64::INFINITY, f64::min);
                    (s, if least.is_finite() { least.max(0.0) } else { 0.0 })
                })
                .collect();
            without_straight_points(points)
        })
        .collect()
}

/// Drops the points that lie on the line between their neighbours.
fn without_straight_points(points: Vec<(f64, f64)>) -> Vec<(f64, f64)> {
    let top = points.iter().map(|p| p.1).fold(0.0, f64::max);
    let mut kept: Vec<(f64, f64)> = Vec::with_capacity(points.len());
    for (index, &point) in points.iter().enumerate() {
        let (Some(&before), Some(&after)) = (kept.last(), points.get(index + 1)) else {
            kept.push(point);
            continue;
        };
        let between = before.1 + (after.1 - before.1) * (point.0 - before.0) / (after.0 - before.0);
        if (between - point.1).abs() > 1e-9 * top {
            kept.push(point);
        }
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::loads::audit;
    use crate::loads::test_shells::{one_panel, pyramid};

    fn moments(shell: &Shell, loads: &[MemberLoad]) -> (Vec3, Vec3) {
        let mut force = Vec3::zeros();
        let mut moment = Vec3::zeros();
        for load in loads {
            let (f, m) = audit::member_load(shell, load);
            force += f;
            moment += m;
        }
        (force, moment)
    }

    fn centroid(corners: &[Vec3]) -> Vec3 {
        let mut sum = Vec3::zeros();
        let mut area = 0.0;
        for pair in corners[1..].windows(2) {
            let part = (pair[0] - corners[0]).cross(&(pair[1] - corners[0])).norm();
            sum += (corners[0] + pair[0] + pair[1]) / 3.0 * part;
            area += part;
        }
        sum / area
    }

    #[test]
    fn a_triangle_peaks_at_the_foot_of_the_incentre_with_the_inradius() {
        // 3-4-5: inradius 1; the incentre's foot on the edge of 4 is 1 from the right angle.
        let shell = one_panel(&[[0.0, 0.0, 0.0], [4.0, 0.0, 0.0], [0.0, 3.0, 0.0]]);
        let load = PanelLoad { panel: PanelId(0), traction: Vec3::new(0.0, 0.0, -2.0) };
        let shared = share(&shell, &[load]);
        let on_base: Vec<_> = shared.iter().filter(|l| l.member == MemberId(0)).collect();
        assert_eq!(on_base.len(), 2);
        assert!((on_base[0].span[1] - 1.0).abs() < 1e-12);
        assert!((on_base[0].intensity[1].z + 2.0).abs() < 1e-12);
        assert!(on_base[0].intensity[0].norm() < 1e-12 && on_base[1].intensity[1].norm() < 1e-12);
    }

    #[test]
    fn any_convex_panel_keeps_total_and_first_moment() {
        let panels: [&[[f64; 3]]; 5] = [
            &[[0.0, 0.0, 0.0], [4.0, 0.0, 1.0], [0.5, 0.3, 2.0]],
            &[[0.0, 0.0, 0.0], [4.0, 0.0, 0.0], [3.0, 1.0, 0.0], [0.2, 1.7, 0.0]],
            &[[0.0, 0.0, 0.0], [10.0, 0.0, 0.0], [10.0, 1.0, 0.0], [0.0, 1.0, 0.0]],
            // A corner in the middle of a straight edge.
            &[[0.0, 0.0, 0.0], [1.0, 0.0, 0.0], [3.0, 0.0, 0.0], [1.5, 2.0, 0.0]],
            &[[0.0, 0.0, 0.0], [2.0, -1.0, 0.0], [4.0, 0.0, 0.0], [3.5, 2.0, 0.0], [0.5, 2.5, 0.0]],
        ];
        for corners in panels {
            let shell = one_panel(corners);
            let traction = Vec3::new(30.0, -20.0, -50.0);
            let (force, moment) =
                moments(&shell, &share(&shell, &[PanelLoad { panel: PanelId(0), traction }]));
            let wanted = traction * shell.area_vector(PanelId(0)).norm();
            let at: Vec<Vec3> = corners.iter().map(|c| Vec3::new(c[0], c[1], c[2])).collect();
            assert!((force - wanted).norm() < 1e-10 * wanted.norm(), "{force} {wanted}");
            let wanted_moment = centroid(&at).cross(&wanted);
            assert!((moment - wanted_moment).norm() < 1e-9 * wanted.norm(), "{moment} {wanted_moment}");
        }
    }

    #[test]
    fn members_that_run_the_other_way_carry_the_same() {
        let mut shell = pyramid(2.0, 1.0);
        let loads: Vec<PanelLoad> = (0..4)
            .map(|i| PanelLoad { panel: PanelId(i), traction: Vec3::new(0.0, 1.0, -3.0) * (i as f64) })
            .collect();
        let before = moments(&shell, &share(&shell, &loads));
        for member in &mut shell.members {
            member.joints.reverse();
        }
        let after = moments(&shell, &share(&shell, &loads));
        assert!((before.0 - after.0).norm() < 1e-12 && (before.1 - after.1).norm() < 1e-12);
    }

    proptest::proptest! {
        #[test]
        fn random_triangles_and_quads_close(seed in proptest::collection::vec(0.05_f64..1.0, 8), tilt in -1.0_f64..1.0) {
            // Corners on a circle at increasing angles make a convex quadrilateral.
            let gaps: f64 = seed[..4].iter().sum();
            let mut angle = seed[4];
            let mut corners = Vec::new();
            for gap in &seed[..4] {
                angle += gap / gaps * std::f64::consts::TAU;
                let (x, y) = (3.0 * angle.cos(), (1.0 + seed[5]) * angle.sin());
                corners.push([x, y, tilt * x]);
            }
            let shell = one_panel(&corners);
            let traction = Vec3::new(1.0, 2.0, -3.0);
            let (force, moment) = moments(&shell, &share(&shell, &[PanelLoad { panel: PanelId(0), traction }]));
            let wanted = traction * shell.area_vector(PanelId(0)).norm();
            let at: Vec<Vec3> = corners.iter().map(|c| Vec3::new(c[0], c[1], c[2])).collect();
            proptest::prop_assert!((force - wanted).norm() < 1e-9 * wanted.norm());
            proptest::prop_assert!((moment - centroid(&at).cross(&wanted)).norm() < 1e-8 * wanted.norm());
        }
    }
}
