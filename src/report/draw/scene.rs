//! The shell of a results value with names looked up: positions in lists instead of ids.

use std::collections::BTreeMap;

use crate::assess::results::Assessment;
use crate::vector::Vec3;

/// The shell, ready to draw.
pub(super) struct Scene<'a> {
    pub(super) results: &'a Assessment,
    /// Position of every joint.
    pub(super) at: Vec<Vec3>,
    /// Joints of every member; `None` where a name is not among the joints.
    pub(super) ends: Vec<Option<[usize; 2]>>,
    /// Joints of every panel.
    pub(super) corners: Vec<Vec<usize>>,
    /// Outward normal of every panel, of length 1 (0 for a panel without area).
    pub(super) normals: Vec<Vec3>,
    /// Panels on either side of every member.
    pub(super) sides: Vec<Vec<usize>>,
    /// Middle of the base, on the ground.
    pub(super) centre: Vec3,
}

impl<'a> Scene<'a> {
    pub(super) fn new(results: &'a Assessment) -> Self {
        let index: BTreeMap<&str, usize> =
            results.joints.iter().enumerate().map(|(n, joint)| (joint.id.as_str(), n)).collect();
        let at: Vec<Vec3> = results.joints.iter().map(|joint| Vec3::from(joint.at)).collect();
        let find = |id: &String| index.get(id.as_str()).copied();
        let corners: Vec<Vec<usize>> =
            results.panels.iter().map(|panel| panel.joints.iter().filter_map(find).collect()).collect();
        let normals = corners
            .iter()
            .map(|list| {
                let mut sum = Vec3::zeros();
                for pair in list.get(1..).unwrap_or_default().windows(2) {
                    sum += (at[pair[0]] - at[list[0]]).cross(&(at[pair[1]] - at[list[0]]));
                }
                sum.try_normalize(0.0).unwrap_or_else(Vec3::zeros)
            })
            .collect();
        let mut by_edge: BTreeMap<[usize; 2], Vec<usize>> = BTreeMap::new();
        for (panel, list) in corners.iter().enumerate() {
            for (n, &from) in list.iter().enumerate() {
                let to = list[(n + 1) % list.len()];
                by_edge.entry([from.min(to), from.max(to)]).or_default().push(panel);
            }
        }
        let ends: Vec<Option<[usize; 2]>> = results
            .members
            .iter()
            .map(|member| Some([find(&member.joints[0])?, find(&member.joints[1])?]))
            .collect();
        let sides = ends
            .iter()
            .map(|pair| {
                pair.and_then(|[a, b]| by_edge.get(&[a.min(b), a.max(b)]).cloned()).unwrap_or_default()
            })
            .collect();
        let mut low = Vec3::repeat(f64::INFINITY);
        let mut high = Vec3::repeat(f64::NEG_INFINITY);
        for point in &at {
            low = low.inf(point);
            high = high.sup(point);
        }
        let mut centre = if at.is_empty() { Vec3::zeros() } else { (low + high) / 2.0 };
        centre.z = 0.0;
        Self { results, at, ends, corners, normals, sides, centre }
    }

    /// Middle of a panel.
    pub(super) fn panel_centre(&self, panel: usize) -> Vec3 {
        let list = &self.corners[panel];
        let sum: Vec3 = list.iter().map(|&joint| self.at[joint]).sum();
        #[allow(clippy::cast_precision_loss, reason = "a panel has a few corners")]
        let count = list.len().max(1) as f64;
        sum / count
    }

    /// Whether the base is round, as a dome's: all feet equally far from its centre, to 3 %.
    pub(super) fn round(&self) -> bool {
        let mut least = f64::INFINITY;
        let mut most = 0.0_f64;
        for (joint, at) in self.results.joints.iter().zip(&self.at) {
            if joint.foot {
                let away = (at - self.centre).xy().norm();
                least = least.min(away);
                most = most.max(away);
            }
        }
        most > 0.0 && least >= 0.97 * most
    }

    /// Largest extent of the shell \[m\].
    pub(super) fn extent(&self) -> f64 {
        self.at.iter().map(|point| (point - self.centre).norm()).fold(0.0, f64::max) * 2.0
    }
}
