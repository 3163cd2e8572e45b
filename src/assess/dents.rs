//! How deep an imperfection dents a shell, beside how far its joints stand above their neighbours.
//!
//! A joint of a fine and shallow net stands out by little: struts that are a millimetre too short press it flat. A dent as deep as that
//! leaves nothing to snap, so that the deepest imperfection is not the worst one.

use crate::shell::Shell;
use crate::vector::Vec3;

/// A joint that stands above its neighbours by less than this share of its distance from them is not looked at: it is flat as drawn.
pub(super) const FLAT: f64 = 0.02;

/// A depth of a dent, over how far the joint stands above its neighbours, up to which the deepest imperfection is the worst.
const DEEP: f64 = 0.5;

/// Depths at which a path is followed as well where the imperfection dents joints deeper: that a smaller imperfection may be worse, and the
/// worst one is to be looked for, is EN 1993-1-6 8.7.2 (from memory; there by steps of a tenth). The steps are this project's own: first
/// these, and of the combination that gives way before the others those between.
pub(super) const DEPTHS: [f64; 2] = [0.6, 0.8];
/// See [`DEPTHS`].
pub(super) const BETWEEN: [f64; 3] = [0.5, 0.7, 0.9];

/// What stands around a joint.
#[derive(Debug, Clone, Default)]
pub(super) struct Around {
    /// The outward directions of its members, added up.
    pub(super) outward: Vec3,
    /// Its members, each with the joint at the other end.
    pub(super) members: Vec<(usize, usize)>,
}

/// What stands around every joint.
pub(super) fn around(shell: &Shell) -> Vec<Around> {
    let mut all = vec![Around::default(); shell.joints.len()];
    for (number, member) in shell.members.iter().enumerate() {
        let [a, b] = member.joints.map(|joint| joint.0);
        for (near, far) in [(a, b), (b, a)] {
            all[near].outward += member.outward;
            all[near].members.push((number, far));
        }
    }
    all
}

/// How deep a shape dents the joint that it moves most against its neighbours, either way, over how far that joint stands above them; 0
/// where it is flat or the shape moves none.
///
/// `shape`: movement of every joint \[m\]; empty where none moves.
pub(super) fn depth(shell: &Shell, shape: &[[f64; 6]]) -> f64 {
    if shape.is_empty() {
        return 0.0;
    }
    let moved = |joint: usize| Vec3::new(shape[joint][0], shape[joint][1], shape[joint][2]);
    let mut deepest = (0.0, 0.0);
    for (joint, Around { outward, members }) in around(shell).iter().enumerate() {
        let Some(outward) = outward.try_normalize(1e-9).filter(|_| !shell.joints[joint].foot) else {
            continue;
        };
        let count = members.len() as f64;
        let (mut height, mut distance, mut dent) = (0.0, 0.0, 0.0);
        for &(_, far) in members {
            let chord = shell.joints[joint].at - shell.joints[far].at;
            height += chord.dot(&outward) / count;
            distance += chord.norm() / count;
            dent += (moved(joint) - moved(far)).dot(&outward) / count;
        }
        if height > FLAT * distance && dent.abs() > deepest.0 {
            deepest = (dent.abs(), dent.abs() / height);
        }
    }
    deepest.1
}

/// Whether an imperfection dents joints so deep that a smaller one may be worse.
pub(super) fn is_deep(depth: f64) -> bool {
    depth > DEEP
}

/// The sizes of an imperfection that dent the shell by these depths, of those that are less than what the whole does; none where that is not
/// deep.
pub(super) fn parts(whole: f64, depth: f64, depths: &[f64]) -> Vec<f64> {
    let shallower = depths.iter().filter(|at| is_deep(depth) && **at < depth);
    shallower.map(|at| whole * at / depth).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A crown pushed in by half of how far it stands above its neighbours, and by as much with all of them; and of its neighbours.
    #[test]
    fn a_dent_is_measured_against_the_neighbours() {
        let project = crate::assess::example("apple-store-dome.toml");
        let shell = crate::assess::setup::setup(&project).unwrap().shell;
        let crown = (0..shell.joints.len())
            .max_by(|&a, &b| shell.joints[a].at.z.total_cmp(&shell.joints[b].at.z))
            .unwrap();
        let around: Vec<usize> = shell
            .members
            .iter()
            .filter_map(|m| {
                let [a, b] = m.joints.map(|joint| joint.0);
                (a == crown).then_some(b).or((b == crown).then_some(a))
            })
            .collect();
        let height = shell.joints[crown].at.z
            - around.iter().map(|&far| shell.joints[far].at.z).sum::<f64>() / around.len() as f64;
        let pushed = |joints: &[usize], by: f64| {
            let mut shape = vec![[0.0; 6]; shell.joints.len()];
            joints.iter().for_each(|&joint| shape[joint][2] = by);
            depth(&shell, &shape)
        };
        for by in [-0.5, 0.5, -0.01] {
            assert!((pushed(&[crown], by * height) - f64::abs(by)).abs() < 1e-9);
        }
        let all: Vec<usize> = (0..shell.joints.len()).collect();
        assert!(pushed(&all, -height) < 1e-9 && pushed(&[], -height) < 1e-12 && depth(&shell, &[]) < 1e-12);
    }

    #[test]
    fn deep_dents_are_followed_at_smaller_sizes_too() {
        assert!(parts(0.02, 0.5, &DEPTHS).is_empty());
        assert!((parts(0.02, 0.7, &DEPTHS)[0] - 0.02 * 0.6 / 0.7).abs() < 1e-12);
        assert_eq!(parts(0.02, 0.7, &DEPTHS).len(), 1);
        assert_eq!(parts(0.02, 2.0, &BETWEEN).len(), 3);
    }
}
