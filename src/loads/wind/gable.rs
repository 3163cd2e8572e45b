//! Wind on the framed flat ends of a vault, taken as clad.
//!
//! A gable has no panels. Its cladding is taken to span level, from upright to upright and to the arch beside them: at every
//! height each of these carries the wind on half the way to its neighbours, as a line load on its length. (Cladding that stands on
//! a sill and spans upward puts half of that on the ground, and bends the uprights less.)

use crate::loads::ask::{LoadsAsk, WindAsk};
use crate::loads::doubt::framed;
use crate::loads::wind::outside::{at_foot, edge_of_side_wall};
use crate::loads::wind::pressure::Pressure;
use crate::loads::{Case, MemberLoad};
use crate::shell::{JointId, MemberId, Role, Shell};
use crate::vector::Vec3;

/// Adds the wind on framed ends to a case.
pub(crate) fn add(
    ask: &LoadsAsk,
    wind: &WindAsk,
    shell: &Shell,
    pressure: &Pressure,
    (direction, inside): (f64, f64),
    case: &mut Case,
) {
    for (end, plane) in framed_ends(shell) {
        let facing = if end == 0 { std::f64::consts::PI } else { 0.0 };
        // Inward positive; inward is away from the end's outside.
        let net = |outside: f64| pressure.value * (pressure.gust * outside - inside);
        let outside = at_foot(ask, wind, shell, direction, facing);
        let arch = end_arch(shell, plane);
        let mut blown = Blown { everywhere: net(outside), more: 0.0, within: [0.0; 2] };
        let mut words = format!("outside {outside:+.2}");
        if let Some((width, at_edge)) = edge_of_side_wall(ask, wind, shell, direction, facing) {
            let side = direction.sin().signum();
            let edge = arch.iter().map(|&joint| side * shell.at(joint).y).fold(f64::NEG_INFINITY, f64::max);
            let ends = [side * (edge - width), side * edge];
            blown.more = net(at_edge) - net(outside);
            blown.within = [ends[0].min(ends[1]), ends[0].max(ends[1])];
            words += &format!(", {at_edge:+.2} within {width:.2} m of its windward edge,");
        }
        let area = put(shell, plane, &inward(end), &blown, case);
        case.remarks.push(format!(
            "framed end at {} x taken as clad: {words} on {area:.2} m², cladding level between its uprights and its arch",
            if end == 0 { "lower" } else { "higher" }
        ));
    }
}

/// Adds a pressure \[N/m²\] along the wind, of which every framed end that faces it takes what lies across the wind; `travel`: where
/// the wind blows to.
pub(crate) fn along_wind(shell: &Shell, travel: &Vec3, pressure: f64, case: &mut Case) {
    for (end, plane) in framed_ends(shell) {
        let across = travel.dot(&inward(end));
        if across > 1e-9 {
            let blown = Blown { everywhere: pressure * across, more: 0.0, within: [0.0; 2] };
            put(shell, plane, &inward(end), &blown, case);
        }
    }
}

/// Adds the weight \[N/m²\] of the cladding of framed ends, and tells their area \[m²\].
pub(crate) fn weigh(shell: &Shell, weight: f64, case: &mut Case) -> f64 {
    let blown = Blown { everywhere: weight, more: 0.0, within: [0.0; 2] };
    let ends = framed_ends(shell).into_iter();
    ends.map(|(_, plane)| put(shell, plane, &-Vec3::z(), &blown, case)).sum()
}

/// Which ends of a vault are framed under a whole arch, and the x of each: nobody clads the end of a shell that is half built.
fn framed_ends(shell: &Shell) -> Vec<(usize, f64)> {
    let ends = shell.outline.barrel.into_iter().flatten().enumerate();
    let clad = |(end, plane): &(usize, f64)| {
        !shell.outline.domed_ends[*end] && framed(shell, *plane) && whole_arch(shell, *plane)
    };
    ends.filter(clad).collect()
}

/// Whether the members of the end arch go on from one to the next, from the ground to the ground.
fn whole_arch(shell: &Shell, plane: f64) -> bool {
    let mut met = vec![0_usize; shell.joints.len()];
    for member in shell.members.iter().filter(|member| !member.panels.is_empty()) {
        if member.joints.iter().all(|&joint| in_plane(shell, joint, plane)) {
            member.joints.iter().for_each(|joint| met[joint.0] += 1);
        }
    }
    let arch = end_arch(shell, plane);
    arch.len() > 2 && arch.iter().all(|joint| met[joint.0] == if shell.joints[joint.0].foot { 1 } else { 2 })
}

fn in_plane(shell: &Shell, joint: JointId, plane: f64) -> bool {
    (shell.at(joint).x - plane).abs() < 1e-6 * shell.outline.length.max(shell.outline.span)
}

/// Away from an end's outside.
fn inward(end: usize) -> Vec3 {
    if end == 0 { Vec3::x() } else { -Vec3::x() }
}

/// Puts what pushes one way on the end in a plane of x, and tells its area \[m²\].
fn put(shell: &Shell, plane: f64, way: &Vec3, blown: &Blown, case: &mut Case) -> f64 {
    for load in level(shell, &supports(shell, plane), blown) {
        let intensity = load.intensity.map(|w| way * w);
        case.members.push(MemberLoad { member: load.member, span: load.span, intensity });
    }
    let [area, at_edge] = areas(shell, &end_arch(shell, plane), blown.within);
    case.asked += way * (blown.everywhere * area + blown.more * at_edge);
    area
}

/// What pushes an end, inward where it is wind \[N/m²\]: everywhere, and how much more on a strip of it, between two y \[m\].
struct Blown {
    everywhere: f64,
    more: f64,
    within: [f64; 2],
}

impl Blown {
    /// On a level line from one y to another \[N/m\].
    fn along(&self, from: f64, to: f64) -> f64 {
        let edge = (to.min(self.within[1]) - from.max(self.within[0])).max(0.0);
        self.everywhere * (to - from) + self.more * edge
    }
}

/// What cladding can reach to: an upright, or a member of the end arch.
#[derive(Clone, Copy)]
struct Support {
    member: MemberId,
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

/// Members of the end arch that rise, and the uprights under it.
fn supports(shell: &Shell, plane: f64) -> Vec<Support> {
    let size = shell.outline.length.max(shell.outline.span);
    let mut found = Vec::new();
    for (index, member) in shell.members.iter().enumerate() {
        let at = member.joints.map(|joint| shell.at(joint));
        let upright = member.role == Role::Stud;
        if member.joints.iter().all(|&joint| in_plane(shell, joint, plane))
            && (upright || !member.panels.is_empty())
            && (at[0].z - at[1].z).abs() > 1e-9 * size
        {
            found.push(Support { member: MemberId(index), upright, ends: at.map(|at| [at.y, at.z]) });
        }
    }
    found
}

/// A line load inward \[N/m\], between two places from a member's first joint \[m\].
struct LineLoad {
    member: MemberId,
    span: [f64; 2],
    intensity: [f64; 2],
}

/// The wind on every support, height by height: between two heights at which nothing ends or crosses, all widths change
/// evenly.
fn level(shell: &Shell, supports: &[Support], blown: &Blown) -> Vec<LineLoad> {
    let mut loads = Vec::new();
    let heights = supports.iter().flat_map(|support| support.ends.map(|[_, z]| z)).collect();
    for stretch in stretches(heights) {
        let pairs = neighbours(supports, stretch);
        for part in stretches(cut(stretch, &pairs, blown.within)) {
            for pair in &pairs {
                let [left, right] = pair;
                let to_left = part.map(|z| blown.along(left.y(z), half_way(pair, z)));
                let to_right = part.map(|z| blown.along(half_way(pair, z), right.y(z)));
                loads.extend([on(shell, left, part, to_left), on(shell, right, part, to_right)]);
            }
        }
    }
    loads
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
fn cut([low, high]: [f64; 2], pairs: &[[Support; 2]], strip: [f64; 2]) -> Vec<f64> {
    let mut heights = vec![low, high];
    for pair in pairs {
        let ends = |z: f64| [pair[0].y(z), half_way(pair, z), pair[1].y(z)];
        for (from, to) in ends(low).into_iter().zip(ends(high)) {
            for edge in strip {
                if (from - edge) * (to - edge) < 0.0 {
                    heights.push(low + (high - low) * (edge - from) / (to - from));
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
fn on(shell: &Shell, support: &Support, heights: [f64; 2], per_height: [f64; 2]) -> LineLoad {
    let length = shell.length(support.member);
    let [from, to] = [support.ends[0][1], support.ends[1][1]];
    let mut span = heights.map(|z| ((z - from) / (to - from)).clamp(0.0, 1.0) * length);
    let mut intensity = per_height.map(|w| w * (to - from).abs() / length);
    if span[0] > span[1] {
        span.reverse();
        intensity.reverse();
    }
    LineLoad { member: support.member, span, intensity }
}

/// Area under the arch, of all of it and of a strip between two y: apart from the loads, for what is asked \[m²\]. A stretch
/// that leans back over its foot takes off what its neighbour has too much.
fn areas(shell: &Shell, arch: &[JointId], [from, to]: [f64; 2]) -> [f64; 2] {
    let mut areas = [0.0; 2];
    for pair in arch.windows(2) {
        let [a, b] = [shell.at(pair[0]), shell.at(pair[1])];
        areas[0] += 0.5 * (b.y - a.y) * (a.z + b.z);
        let [c, d] = [a.y.clamp(from, to), b.y.clamp(from, to)];
        if (d - c).abs() > 0.0 {
            let z = |y: f64| a.z + (b.z - a.z) * (y - a.y) / (b.y - a.y);
            areas[1] += 0.5 * (d - c) * (z(c) + z(d));
        }
    }
    areas
}

/// Joints of the end arch from −y to +y along the arch.
fn end_arch(shell: &Shell, x: f64) -> Vec<JointId> {
    let middle = shell.outline.centre.y;
    let mut joints: Vec<(f64, JointId)> = shell
        .members
        .iter()
        .filter(|member| !member.panels.is_empty())
        .flat_map(|member| member.joints)
        .filter(|&joint| in_plane(shell, joint, x))
        .map(|joint| {
            let at = shell.at(joint);
            // The angle from −y over the crown to +y, about the middle of the base.
            ((middle - at.y).atan2(at.z.max(0.0)), joint)
        })
        .collect();
    joints.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    joints.dedup_by_key(|(_, joint)| *joint);
    joints.into_iter().map(|(_, joint)| joint).collect()
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use super::*;
    use crate::loads::audit::audit;
    use crate::loads::edge_share::EdgeShares;
    use crate::loads::tests::{all, barrel_between, eurocode, named, no_inside, total};
    use crate::shell::ask::EndForm;

    /// What the cover weighs on the polygon under the arch, all of it downward and on uprights and arch alone.
    #[test]
    fn the_cladding_of_a_framed_end_weighs_what_the_cover_does() {
        let ends = [EndForm::Framed { studs: 3, sill: true, diagonals: true }, EndForm::Open];
        let shell = barrel_between(2.0, 12, 3, ends);
        let cases = all(&eurocode(), &shell);
        let case = named(&cases, "weight of the cover");
        let area: f64 = 0.5 * 12.0 * 4.0 * (PI / 12.0).sin();
        let on_end: f64 = case
            .members
            .iter()
            .map(|load| {
                assert!(!matches!(shell.members[load.member.0].role, Role::Sill | Role::Brace));
                -0.5 * (load.intensity[0] + load.intensity[1]).z * (load.span[1] - load.span[0])
            })
            .sum();
        assert!((on_end - 90.0 * area).abs() < 1e-9 * area, "{on_end} on {area}");
        assert!(audit(&shell, &EdgeShares::new(&shell), case).residual < 1e-12);
    }

    #[test]
    fn a_framed_end_takes_wind_and_an_open_one_is_warned_of() {
        let ends = [EndForm::Framed { studs: 3, sill: true, diagonals: false }, EndForm::Open];
        let shell = barrel_between(2.0, 12, 3, ends);
        let ask = no_inside(eurocode());
        let cases = all(&ask, &shell);
        // Wind from −x blows on the framed end: +0.8 on the polygon under the arch.
        let area: f64 = 0.5 * 12.0 * 4.0 * (PI / 12.0).sin();
        let case = named(&cases, "wind from 180°, open");
        assert!((total(&shell, case).x - 0.8 * 1000.0 * area).abs() < 1e-6 * area);
        // The upright in the middle has half the way to its neighbours at either side, at ±√2, up to their heads at √2; above it
        // half the way to the arch.
        let middle = shell.members.iter().position(|member| {
            member.role == Role::Stud && member.joints.iter().all(|joint| shell.at(*joint).y.abs() < 1e-9)
        });
        let on_middle: Vec<&MemberLoad> =
            case.members.iter().filter(|load| load.member == MemberId(middle.unwrap())).collect();
        let side = 2.0_f64.sqrt();
        let low: f64 =
            on_middle.iter().filter(|load| load.span[1] < side + 1e-9).map(|l| l.intensity[0].x).sum();
        let stretches = 3.0; // of heights below √2: the arch's joints part them
        assert!((low - stretches * 0.8 * 1000.0 * side).abs() < 1e-6, "{low}");
        let top = on_middle.iter().find(|load| (load.span[1] - 2.0).abs() < 1e-9).unwrap();
        assert!(top.intensity[1].norm() < 1e-6 && top.intensity[0].x > 0.0);
        // From +x it draws on it: −0.5, outward, which is towards −x.
        let lee = total(&shell, named(&cases, "wind from 0°, open"));
        assert!((lee.x + 0.5 * 1000.0 * area).abs() < 1e-6 * area);
        // From +y it draws along it: −0.8, and −1.2 within a fifth of 3 m of its edge at y = 2.
        let corner = |k: f64| [2.0 * (k * PI / 12.0).cos(), 2.0 * (k * PI / 12.0).sin()];
        let between = |[y, z]: [f64; 2], [y2, z2]: [f64; 2]| 0.5 * (y - y2) * (z + z2);
        let ([y, z], [y2, z2]) = (corner(3.0), corner(4.0));
        let cut = [1.4, z + (z2 - z) * (y - 1.4) / (y - y2)];
        let whole: f64 = [0.0, 1.0, 2.0].map(|k| between(corner(k), corner(k + 1.0))).iter().sum();
        let edge = whole + between([y, z], cut);
        let beside = named(&cases, "wind from 90°, open");
        let wanted = -1000.0 * (0.8 * area + 0.4 * edge);
        assert!((total(&shell, beside).x - wanted).abs() < 1e-6 * area, "{wanted}");
        assert!(cases.iter().all(|case| audit(&shell, &EdgeShares::new(&shell), case).residual < 1e-3));
        // Where panels of the arch are missing nothing is clad yet.
        let mut half = shell.clone();
        let crown = shell.members.iter().position(|member| {
            !member.panels.is_empty() && member.joints.iter().all(|joint| shell.at(*joint).x < -1.4)
        });
        half.members[crown.unwrap()].panels.clear();
        let bare = named(&all(&ask, &half), "wind from 180°, open").members.len();
        assert_eq!(bare, 0);
        let words = crate::loads::warnings(&eurocode(), &shell);
        assert!(words.iter().any(|w| w.starts_with("one end is open")), "{words:?}");
    }
}
