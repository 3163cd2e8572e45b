//! The working form of a shell while it is made: points, panels over them, loose bars.

use crate::shell::{Role, ShellError};
use crate::vector::Vec3;
use std::collections::BTreeMap;

/// A timber of no panel.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct LooseBar {
    pub(crate) ends: [usize; 2],
    pub(crate) role: Role,
    pub(crate) outward: Vec3,
}

/// Points \[m\], panels (anticlockwise seen from outside) and bars, both by position in `points`.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Net {
    pub(crate) points: Vec<Vec3>,
    pub(crate) panels: Vec<Vec<usize>>,
    pub(crate) bars: Vec<LooseBar>,
}

/// An edge of panels: its ends, the lower number first.
pub(crate) type Edge = (usize, usize);

/// The edge between two points.
pub(crate) fn edge(a: usize, b: usize) -> Edge {
    (a.min(b), a.max(b))
}

impl Net {
    /// Adds a point.
    pub(crate) fn point(&mut self, at: Vec3) -> usize {
        self.points.push(at);
        self.points.len() - 1
    }

    /// Adds a panel, wound so that its normal points the way `outward` does.
    pub(crate) fn panel_facing(&mut self, mut corners: Vec<usize>, outward: &Vec3) {
        if area_vector(&self.points, &corners).dot(outward) < 0.0 {
            corners.reverse();
        }
        self.panels.push(corners);
    }

    /// The edges of all panels, each with the panels that run along it: (panel, whether it runs from the
    /// lower number to the higher).
    pub(crate) fn edges(&self) -> BTreeMap<Edge, Vec<(usize, bool)>> {
        let mut edges: BTreeMap<Edge, Vec<(usize, bool)>> = BTreeMap::new();
        for (number, corners) in self.panels.iter().enumerate() {
            for (a, b) in sides(corners) {
                edges.entry(edge(a, b)).or_default().push((number, a < b));
            }
        }
        edges
    }

    /// Drops points that no panel and no bar uses.
    pub(crate) fn drop_unused(&mut self) {
        let mut used = vec![false; self.points.len()];
        for corner in self.panels.iter().flatten().chain(self.bars.iter().flat_map(|bar| &bar.ends)) {
            used[*corner] = true;
        }
        let mut new_number = vec![0; self.points.len()];
        let mut points = Vec::new();
        for (number, at) in self.points.iter().enumerate() {
            if used[number] {
                new_number[number] = points.len();
                points.push(*at);
            }
        }
        self.points = points;
        self.renumber(&new_number);
    }

    /// Puts `new_number[i]` for every point number i.
    pub(crate) fn renumber(&mut self, new_number: &[usize]) {
        let corners = self.panels.iter_mut().flatten();
        for corner in corners.chain(self.bars.iter_mut().flat_map(|bar| &mut bar.ends)) {
            *corner = new_number[*corner];
        }
    }

    /// Which piece each panel belongs to (pieces hold together by seams), and how many pieces.
    pub(crate) fn pieces(&self) -> (Vec<usize>, usize) {
        let mut beside = vec![Vec::new(); self.panels.len()];
        for along in self.edges().values() {
            for pair in along.windows(2) {
                beside[pair[0].0].push(pair[1].0);
                beside[pair[1].0].push(pair[0].0);
            }
        }
        let mut piece = vec![usize::MAX; self.panels.len()];
        let mut count = 0;
        for start in 0..piece.len() {
            if piece[start] != usize::MAX {
                continue;
            }
            let mut queue = vec![start];
            piece[start] = count;
            while let Some(at) = queue.pop() {
                for &next in &beside[at] {
                    if piece[next] == usize::MAX {
                        piece[next] = count;
                        queue.push(next);
                    }
                }
            }
            count += 1;
        }
        (piece, count)
    }

    /// Points where the panels round them make more than one fan.
    pub(crate) fn pinched(&self) -> Vec<usize> {
        // A fan that is open has two rims at its point; a closed one has none.
        let mut rims = vec![0_usize; self.points.len()];
        for (&(a, b), along) in &self.edges() {
            if along.len() == 1 {
                rims[a] += 1;
                rims[b] += 1;
            }
        }
        (0..rims.len()).filter(|&point| rims[point] > 2).collect()
    }

    /// The shell must hold together by seams and touch itself nowhere in a point.
    pub(crate) fn check_whole(&self, base: f64) -> Result<(), ShellError> {
        let (_, pieces) = self.pieces();
        if pieces > 1 {
            return Err(ShellError::Pieces { pieces });
        }
        if let Some(&point) = self.pinched().first() {
            let at = self.points[point];
            return Err(ShellError::Pinched {
                base,
                joint: format!("x {:.3}, y {:.3}, z {:.3} m", at.x, at.y, at.z),
            });
        }
        Ok(())
    }

    /// Half the diagonal of the box round all points \[m\]: the size that tolerances are shares of.
    pub(crate) fn size(&self) -> f64 {
        size_of(&self.points)
    }
}

/// Half the diagonal of the box round some points \[m\].
pub(crate) fn size_of(points: &[Vec3]) -> f64 {
    let Some(first) = points.first() else { return 0.0 };
    let (mut low, mut high) = (*first, *first);
    for at in points {
        low = low.inf(at);
        high = high.sup(at);
    }
    0.5 * (high - low).norm()
}

/// The sides of a panel in its winding.
pub(crate) fn sides(corners: &[usize]) -> impl Iterator<Item = (usize, usize)> + '_ {
    (0..corners.len()).map(|i| (corners[i], corners[(i + 1) % corners.len()]))
}

/// Area of a polygon as a vector along its normal \[m²\].
pub(crate) fn area_vector(points: &[Vec3], corners: &[usize]) -> Vec3 {
    crate::shell::area_vector(corners.iter().map(|&corner| points[corner]))
}

/// Mean of a panel's corners \[m\].
pub(crate) fn middle(points: &[Vec3], corners: &[usize]) -> Vec3 {
    corners.iter().map(|&corner| points[corner]).sum::<Vec3>() / corners.len() as f64
}

/// Whether all corners of a polygon turn the same way, as seen along its normal; one that points inward by no more than this share of the
/// longest side is as good as on a straight side.
pub(crate) fn convex(points: &[Vec3], corners: &[usize], spare: f64) -> bool {
    let normal = area_vector(points, corners).normalize();
    let at = |n: usize| points[corners[n % corners.len()]];
    let longest = longest_side(points, corners);
    (0..corners.len()).all(|n| {
        let (into, out) = (at(n + 1) - at(n), at(n + 2) - at(n + 1));
        into.cross(&out).dot(&normal) > -spare * longest * (into + out).norm()
    })
}

/// Largest distance of a corner from the mean plane, and the longest side \[m\].
pub(crate) fn out_of_plane(points: &[Vec3], corners: &[usize]) -> (f64, f64) {
    let normal = area_vector(points, corners).normalize();
    let at = middle(points, corners);
    let off = corners.iter().map(|&corner| (points[corner] - at).dot(&normal).abs()).fold(0.0, f64::max);
    (if corners.len() == 3 { 0.0 } else { off }, longest_side(points, corners))
}

fn longest_side(points: &[Vec3], corners: &[usize]) -> f64 {
    sides(corners).map(|(a, b)| (points[b] - points[a]).norm()).fold(0.0, f64::max)
}

/// The rims as closed rings of joints, in the direction that has the panels on the left.
pub(crate) fn boundary_loops(net: &Net) -> Vec<Vec<usize>> {
    let mut next: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for ((a, b), along) in net.edges() {
        if let [(_, forward)] = along[..] {
            let (from, to) = if forward { (a, b) } else { (b, a) };
            next.entry(from).or_default().push(to);
        }
    }
    let mut loops = Vec::new();
    while let Some((&start, _)) = next.iter().find(|(_, to)| !to.is_empty()) {
        let mut ring = Vec::new();
        let mut at = start;
        while let Some(to) = next.get_mut(&at).and_then(Vec::pop) {
            ring.push(at);
            at = to;
            if at == start {
                break;
            }
        }
        loops.push(ring);
    }
    loops
}

/// Joints of a ring of rims that lie on one of its rims without being an end of it, nearer than `near`: joint and ends of the
/// rim, each once.
pub(crate) fn joints_on_rims(points: &[Vec3], ring: &[usize], near: f64) -> Vec<(usize, [usize; 2])> {
    let mut found = Vec::new();
    for (a, b) in sides(ring) {
        let along = points[b] - points[a];
        for &joint in ring.iter().filter(|&&joint| joint != a && joint != b) {
            let from = points[joint] - points[a];
            let share = from.dot(&along) / along.dot(&along);
            if (0.0..=1.0).contains(&share) && (from - along * share).norm() <= near {
                found.push((joint, [a, b]));
            }
        }
    }
    found
}
