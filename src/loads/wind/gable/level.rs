//! Cladding that spans level: what of the wind each upright, and the arch, carries at every height.

use crate::loads::wind::gable::arch::{Edge, in_plane, near};
use crate::shell::{MemberId, Role, Shell};
use crate::vector::Vec3;

/// What pushes an end, inward where it is wind \[N/m²\]: everywhere, and how much more within a width of one edge of it.
pub(super) struct Blown {
    pub(super) everywhere: f64,
    pub(super) more: f64,
    pub(super) beside: Option<Beside>,
}

/// What lies beside one edge of an end: at every height, so far from the arch inward.
#[derive(Debug, Clone, Copy)]
pub(super) struct Beside {
    /// On which side the edge is, the sign of its y.
    pub(super) side: f64,
    /// \[m\]
    pub(super) width: f64,
}

impl Beside {
    /// Between which two y it lies at a height, by the pairs that cladding spans between there.
    fn within(&self, pairs: &[[Support; 2]], z: f64) -> [f64; 2] {
        let edge = if self.side > 0.0 { pairs.last().map(|p| p[1]) } else { pairs.first().map(|p| p[0]) };
        edge.map_or([0.0; 2], |edge| {
            let y = edge.y(z);
            if self.side > 0.0 { [y - self.width, y] } else { [y, y + self.width] }
        })
    }
}

impl Blown {
    /// Everywhere alike.
    pub(super) fn evenly(everywhere: f64) -> Self {
        Self { everywhere, more: 0.0, beside: None }
    }

    fn within(&self, pairs: &[[Support; 2]], z: f64) -> [f64; 2] {
        self.beside.map_or([0.0; 2], |beside| beside.within(pairs, z))
    }

    /// On a level line from one y to another, with more between two others \[N/m\].
    fn along(&self, from: f64, to: f64, within: [f64; 2]) -> f64 {
        let edge = (to.min(within[1]) - from.max(within[0])).max(0.0);
        self.everywhere * (to - from) + self.more * edge
    }
}

/// What cladding can reach to: an upright, or a member of the end arch.
#[derive(Clone, Copy)]
pub(super) struct Support {
    /// None where an opening took it.
    member: Option<MemberId>,
    upright: bool,
    /// y and z of its joints \[m\].
    ends: [[f64; 2]; 2],
}

impl Support {
    fn y(&self, z: f64) -> f64 {
        let [[y0, z0], [y1, z1]] = self.ends;
        y0 + (y1 - y0) * (z - z0) / (z1 - z0)
    }

    fn reaches(&self, [low, high]: [f64; 2]) -> bool {
        let [a, b] = [self.ends[0][1], self.ends[1][1]];
        let middle = 0.5 * (low + high);
        a.min(b) < middle && a.max(b) > middle
    }
}

/// Edges of the end arch that rise, and the uprights under it.
pub(super) fn supports(shell: &Shell, plane: f64, arch: &[Edge]) -> Vec<Support> {
    let level = |at: &[Vec3; 2]| (at[0].z - at[1].z).abs() < near(shell) * 1e-3;
    let of = |member, upright, at: [Vec3; 2]| {
        (!level(&at)).then(|| Support { member, upright, ends: at.map(|at| [at.y, at.z]) })
    };
    let uprights = shell.members.iter().enumerate().filter(|(_, member)| member.role == Role::Stud);
    let uprights = uprights
        .map(|(index, member)| (MemberId(index), member.joints.map(|joint| shell.at(joint))))
        .filter(|(_, at)| at.iter().all(|at| in_plane(shell, at, plane)))
        .filter_map(|(member, at)| of(Some(member), true, at));
    arch.iter().filter_map(|edge| of(edge.member, false, edge.at)).chain(uprights).collect()
}

/// A line load inward \[N/m\], between two places from a member's first joint \[m\].
pub(super) struct LineLoad {
    pub(super) member: MemberId,
    pub(super) span: [f64; 2],
    pub(super) intensity: [f64; 2],
}

/// Line loads, and forces \[N\] at places (y and z) between edges that are both gone.
pub(super) type Level = (Vec<LineLoad>, Vec<([f64; 2], f64)>);

/// The wind on every support, height by height: between two heights at which nothing ends or crosses, all widths change
/// evenly.
pub(super) fn level(shell: &Shell, supports: &[Support], blown: &Blown) -> Level {
    let (mut loads, mut between) = (Vec::new(), Vec::new());
    let heights = supports.iter().flat_map(|support| support.ends.map(|[_, z]| z)).collect();
    for stretch in stretches(heights) {
        let pairs = neighbours(supports, stretch);
        for part in stretches(cut(stretch, &pairs, blown)) {
            for pair in &pairs {
                let [left, right] = pair;
                let within = part.map(|z| blown.within(&pairs, z));
                let to_left = [0, 1].map(|k| {
                    let z = part[k];
                    blown.along(left.y(z), half_way(pair, z), within[k])
                });
                let to_right = [0, 1].map(|k| {
                    let z = part[k];
                    blown.along(half_way(pair, z), right.y(z), within[k])
                });
                let both = [to_left[0] + to_right[0], to_left[1] + to_right[1]];
                match (left.member, right.member) {
                    (Some(l), Some(r)) => {
                        loads.extend([
                            on(shell, (l, left), part, to_left),
                            on(shell, (r, right), part, to_right),
                        ]);
                    }
                    (Some(l), None) => loads.push(on(shell, (l, left), part, both)),
                    (None, Some(r)) => loads.push(on(shell, (r, right), part, both)),
                    (None, None) => {
                        let z = 0.5 * (part[0] + part[1]);
                        between
                            .push(([half_way(pair, z), z], 0.5 * (both[0] + both[1]) * (part[1] - part[0])));
                    }
                }
            }
        }
    }
    (loads, between)
}

/// Which supports the cladding spans between at these heights, the one at less y first.
fn neighbours(supports: &[Support], heights: [f64; 2]) -> Vec<[Support; 2]> {
    let middle = 0.5 * (heights[0] + heights[1]);
    let mut there: Vec<Support> = supports.iter().filter(|s| s.reaches(heights)).copied().collect();
    there.sort_by(|a, b| a.y(middle).total_cmp(&b.y(middle)));
    // Under the arch: from one member of it to the next.
    let mut under = false;
    let mut pairs = Vec::new();
    for pair in there.windows(2) {
        under ^= !pair[0].upright;
        if under {
            pairs.push([pair[0], pair[1]]);
        }
    }
    pairs
}

fn half_way([left, right]: &[Support; 2], z: f64) -> f64 {
    0.5 * (left.y(z) + right.y(z))
}

/// These heights, and those between at which an end of a width comes upon an end of the strip that is blown at otherwise.
fn cut([low, high]: [f64; 2], pairs: &[[Support; 2]], blown: &Blown) -> Vec<f64> {
    let mut heights = vec![low, high];
    let strips = [low, high].map(|z| blown.within(pairs, z));
    for pair in pairs {
        let ends = |z: f64| [pair[0].y(z), half_way(pair, z), pair[1].y(z)];
        for (from, to) in ends(low).into_iter().zip(ends(high)) {
            for (below, above) in strips[0].into_iter().zip(strips[1]) {
                let [below, above] = [from - below, to - above];
                if below * above < 0.0 {
                    heights.push(low + (high - low) * below / (below - above));
                }
            }
        }
    }
    heights
}

/// The stretches between heights, those of no height left out.
fn stretches(mut heights: Vec<f64>) -> Vec<[f64; 2]> {
    heights.sort_by(f64::total_cmp);
    let least = 1e-9 * heights.last().copied().unwrap_or_default();
    heights.dedup_by(|b, a| *b - *a <= least);
    heights.windows(2).map(|pair| [pair[0], pair[1]]).collect()
}

/// A load per metre of height as one along a member.
fn on(
    shell: &Shell,
    (member, support): (MemberId, &Support),
    heights: [f64; 2],
    per_height: [f64; 2],
) -> LineLoad {
    let length = shell.length(member);
    let [from, to] = [support.ends[0][1], support.ends[1][1]];
    let mut span = heights.map(|z| ((z - from) / (to - from)).clamp(0.0, 1.0) * length);
    let mut intensity = per_height.map(|w| w * (to - from).abs() / length);
    if span[0] > span[1] {
        span.reverse();
        intensity.reverse();
    }
    LineLoad { member, span, intensity }
}
