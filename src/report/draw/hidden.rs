//! What a view cannot show apart: members seen end-on, and joints and members that lie behind others of the near side.

use std::collections::BTreeMap;

use super::scene::Scene;
use super::view::{Fit, Flat};
use crate::vector::Vec3;

/// As near to each other on the page two points are one.
const ONE: f64 = 1.5;
/// A member not longer than this on the page is seen end-on.
const END_ON: f64 = 3.0;
/// In a shell of more members than this only those are looked for that lie behind one other.
const FEW_ENOUGH: usize = 1000;

/// Joints and members that have no place of their own in a view.
pub(super) struct Hidden {
    pub(super) joints: Vec<bool>,
    pub(super) members: Vec<bool>,
}

impl Hidden {
    pub(super) fn new(scene: &Scene<'_>, flat: &Flat, fit: &Fit) -> Self {
        let mut hidden = Self { joints: vec![false; scene.at.len()], members: vec![false; scene.ends.len()] };
        // A surface laid flat hides nothing.
        let Some(out) = flat.out() else { return hidden };
        let page: Vec<[f64; 2]> =
            scene.at.iter().zip(&flat.points).map(|(_, point)| fit.at(*point)).collect();
        let mut has_near = vec![false; scene.at.len()];
        for (ends, near) in scene.ends.iter().zip(&flat.near) {
            for joint in ends.iter().flatten().filter(|_| *near) {
                has_near[*joint] = true;
            }
        }
        let mut order: Vec<usize> = (0..scene.at.len()).filter(|&joint| has_near[joint]).collect();
        let depth = |joint: usize| scene.at[joint].dot(&out);
        // Nearest first, and of equally near ones the first in the list.
        order.sort_by(|&a, &b| depth(b).total_cmp(&depth(a)).then(a.cmp(&b)));
        let mut front: Vec<usize> = Vec::new();
        let mut stands_for: Vec<usize> = (0..scene.at.len()).collect();
        for joint in order {
            let [x, y] = page[joint];
            match front.iter().find(|&&other| (page[other][0] - x).hypot(page[other][1] - y) <= ONE) {
                Some(&other) => {
                    hidden.joints[joint] = true;
                    stands_for[joint] = other;
                }
                None => front.push(joint),
            }
        }
        let mut nearest: BTreeMap<[usize; 2], (f64, usize)> = BTreeMap::new();
        for (member, ends) in scene.ends.iter().enumerate().filter(|(member, _)| flat.near[*member]) {
            let Some([a, b]) = *ends else { continue };
            if (page[a][0] - page[b][0]).hypot(page[a][1] - page[b][1]) <= END_ON {
                hidden.members[member] = true;
                continue;
            }
            let (one, other) = (stands_for[a], stands_for[b]);
            let here = depth(a) + depth(b);
            let first = nearest.entry([one.min(other), one.max(other)]).or_insert((here, member));
            if first.1 == member {
                continue;
            }
            let behind =
                if here > first.0 + 1e-9 { std::mem::replace(first, (here, member)).1 } else { member };
            hidden.members[behind] = true;
        }
        if scene.ends.len() <= FEW_ENOUGH {
            hidden.cover(scene, flat, &page, &out);
        }
        hidden
    }

    /// Finds the members that lie behind several others together, as a sill behind the arch in plan.
    fn cover(&mut self, scene: &Scene<'_>, flat: &Flat, page: &[[f64; 2]], out: &Vec3) {
        let shown: Vec<(usize, [usize; 2])> =
            flat.lines().filter(|&(member, _)| flat.near[member] && !self.members[member]).collect();
        let depth = |[a, b]: [usize; 2], share: f64| {
            let (a, b) = (scene.at[a].dot(out), scene.at[b].dot(out));
            a + (b - a) * share
        };
        for &(member, ends) in &shown {
            let [a, b] = ends.map(|joint| page[joint]);
            let covered = |step: u8| {
                let share = (f64::from(step) + 0.5) / 12.0;
                let [x, y] = [0, 1].map(|k| a[k] + (b[k] - a[k]) * share);
                shown.iter().any(|&(other, other_ends)| {
                    let [c, d] = other_ends.map(|joint| page[joint]);
                    let by = [d[0] - c[0], d[1] - c[1]];
                    let along = ((x - c[0]) * by[0] + (y - c[1]) * by[1]) / (by[0] * by[0] + by[1] * by[1]);
                    let along = along.clamp(0.0, 1.0);
                    other != member
                        && (c[0] + by[0] * along - x).hypot(c[1] + by[1] * along - y) <= ONE
                        && depth(other_ends, along) > depth(ends, share) + 1e-6
                })
            };
            self.members[member] = (0..12).all(covered);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::View;
    use super::super::view::Room;
    use super::*;
    use crate::report::sample::vault;

    const ROOM: Room = Room { x: 0.0, y: 0.0, width: 900.0, height: 600.0 };

    fn hidden(view: View) -> (Hidden, Vec<bool>) {
        let shell = vault(8, 3);
        let scene = Scene::new(&shell);
        let flat = Flat::new(&scene, view, None);
        let fit = Fit::into(&flat.points, ROOM);
        (Hidden::new(&scene, &flat, &fit), flat.near)
    }

    #[test]
    fn of_arches_in_line_the_nearest_alone_is_named() {
        let shell = vault(8, 3);
        let (hidden, _) = hidden(View::End);
        let nearest = 3.0 * 1.2;
        for (n, joint) in shell.joints.iter().enumerate() {
            assert_eq!(hidden.joints[n], joint.at[0] < nearest - 0.1, "{}", joint.id);
        }
        // Of each line of the outline one member is told, and what runs along the shell is end-on.
        let told = hidden.members.iter().filter(|hidden| !**hidden).count();
        assert_eq!(told, 8, "{told}");
    }

    #[test]
    fn what_stands_apart_is_not_hidden() {
        for view in [View::Isometric, View::Unrolled] {
            let (hidden, _) = hidden(view);
            assert!(!hidden.joints.contains(&true) && !hidden.members.contains(&true), "{view:?}");
        }
    }

    #[test]
    fn a_sill_under_two_timbers_of_the_arch_is_behind_them() {
        let mut shell = vault(8, 1);
        let foot = |y: f64| shell.joints.iter().find(|j| j.at[0] == 0.0 && j.foot && j.at[1] * y > 0.0);
        let ends = [foot(-1.0).unwrap().id.clone(), foot(1.0).unwrap().id.clone()];
        let mut sill = shell.members[0].clone();
        (sill.id, sill.kind, sill.joints) = ("b1".to_owned(), "bar".to_owned(), ends);
        shell.members.push(sill);
        let scene = Scene::new(&shell);
        for (view, behind) in [(View::Plan, true), (View::End, false)] {
            let flat = Flat::new(&scene, view, None);
            let fit = Fit::into(&flat.points, ROOM);
            let hidden = Hidden::new(&scene, &flat, &fit);
            assert_eq!(hidden.members.last(), Some(&behind), "{view:?}");
        }
    }
}
