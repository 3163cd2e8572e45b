//! Wind on the framed flat ends of a vault, taken as clad.
//!
//! A gable has no panels. Its cladding is taken to span level, from upright to upright and to the arch beside them: at every
//! height each of these carries the wind on half the way to its neighbours, as a line load on its length. (Cladding that stands on
//! a sill and spans upward puts half of that on the ground, and bends the uprights less.) Where an opening took a timber of the arch
//! with its panel, the end is as large as before, and what would go to that timber goes to its neighbour.

use crate::loads::ask::{LoadsAsk, WindAsk};
use crate::loads::doubt::framed;
use crate::loads::wind::outside::{at_foot, edge_of_side_wall};
use crate::loads::wind::pressure::Pressure;
use crate::loads::{Case, JointLoad, MemberLoad};
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
        let arch = points(&end_arch(shell, plane), shell);
        let mut blown = Blown { everywhere: net(outside), more: 0.0, within: [0.0; 2] };
        let mut words = format!("outside {outside:+.2}");
        if let Some((width, at_edge)) = edge_of_side_wall(ask, wind, shell, direction, facing) {
            let side = direction.sin().signum();
            let edge = arch.iter().map(|at| side * at.y).fold(f64::NEG_INFINITY, f64::max);
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

/// Adds a pressure \[N/m²\] along the wind, of which the framed end that faces it takes what lies across the wind, or the one behind
/// where the wind blows in at an open end before it; `travel`: where the wind blows to.
pub(crate) fn along_wind(shell: &Shell, travel: &Vec3, pressure: f64, case: &mut Case) {
    let framed = framed_ends(shell);
    for &(end, plane) in &framed {
        let across = travel.dot(&inward(end));
        let other = 1 - end;
        let sheltered = shell.outline.domed_ends[other] || framed.iter().any(|(end, _)| *end == other);
        if across > 1e-9 || (across < -1e-9 && !sheltered) {
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

/// Whether the end arch goes on from one edge to the next, from the ground to the ground.
fn whole_arch(shell: &Shell, plane: f64) -> bool {
    let arch = end_arch(shell, plane);
    let near = near(shell);
    let all: Vec<Vec3> = arch.iter().flat_map(|edge| edge.at).collect();
    let met = |at: &Vec3| all.iter().filter(|other| (*other - at).norm() < near).count();
    arch.len() > 1 && all.iter().all(|at| met(at) == if at.z < near { 1 } else { 2 })
}

/// What is nearer than this is in one place \[m\].
fn near(shell: &Shell) -> f64 {
    1e-6 * shell.outline.length.max(shell.outline.span)
}

fn in_plane(shell: &Shell, at: &Vec3, plane: f64) -> bool {
    (at.x - plane).abs() < near(shell)
}

/// Away from an end's outside.
fn inward(end: usize) -> Vec3 {
    if end == 0 { Vec3::x() } else { -Vec3::x() }
}

/// Puts what pushes one way on the end in a plane of x, and tells its area \[m²\].
fn put(shell: &Shell, plane: f64, way: &Vec3, blown: &Blown, case: &mut Case) -> f64 {
    let arch = end_arch(shell, plane);
    let (lines, points_between) = level(shell, &supports(shell, plane, &arch), blown);
    for load in lines {
        let intensity = load.intensity.map(|w| way * w);
        case.members.push(MemberLoad { member: load.member, span: load.span, intensity });
    }
    for (at, force) in points_between {
        let at = Vec3::new(plane, at[0], at[1]);
        let off = |joint: &JointId| (shell.at(*joint) - at).norm();
        let nearest = ends(shell, plane).min_by(|a, b| off(a).total_cmp(&off(b)));
        case.joints.extend(nearest.map(|joint| JointLoad { joint, force: way * force }));
    }
    let [area, at_edge] = areas(&points(&arch, shell), blown.within);
    case.asked += way * (blown.everywhere * area + blown.more * at_edge);
    area
}

/// Joints of the frame in the plane of an end; those of a leaf's corners are none.
fn ends(shell: &Shell, plane: f64) -> impl Iterator<Item = JointId> + '_ {
    let joints = shell.members.iter().flat_map(|member| member.joints);
    joints.filter(move |&joint| in_plane(shell, &shell.at(joint), plane))
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
fn supports(shell: &Shell, plane: f64, arch: &[Edge]) -> Vec<Support> {
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
struct LineLoad {
    member: MemberId,
    span: [f64; 2],
    intensity: [f64; 2],
}

/// Line loads, and forces \[N\] at places (y and z) between edges that are both gone.
type Level = (Vec<LineLoad>, Vec<([f64; 2], f64)>);

/// The wind on every support, height by height: between two heights at which nothing ends or crosses, all widths change
/// evenly.
fn level(shell: &Shell, supports: &[Support], blown: &Blown) -> Level {
    let (mut loads, mut between) = (Vec::new(), Vec::new());
    let heights = supports.iter().flat_map(|support| support.ends.map(|[_, z]| z)).collect();
    for stretch in stretches(heights) {
        let pairs = neighbours(supports, stretch);
        for part in stretches(cut(stretch, &pairs, blown.within)) {
            for pair in &pairs {
                let [left, right] = pair;
                let to_left = part.map(|z| blown.along(left.y(z), half_way(pair, z)));
                let to_right = part.map(|z| blown.along(half_way(pair, z), right.y(z)));
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

/// Area under the arch, of all of it and of a strip between two y: apart from the loads, for what is asked \[m²\]. A stretch
/// that leans back over its foot takes off what its neighbour has too much.
fn areas(arch: &[Vec3], [from, to]: [f64; 2]) -> [f64; 2] {
    let mut areas = [0.0; 2];
    for pair in arch.windows(2) {
        let [a, b] = [pair[0], pair[1]];
        areas[0] += 0.5 * (b.y - a.y) * (a.z + b.z);
        let [c, d] = [a.y.clamp(from, to), b.y.clamp(from, to)];
        if (d - c).abs() > 0.0 {
            let z = |y: f64| a.z + (b.z - a.z) * (y - a.y) / (b.y - a.y);
            areas[1] += 0.5 * (d - c) * (z(c) + z(d));
        }
    }
    areas
}

/// An edge of an end arch: its ends, and the member that runs there; none where an opening took it.
struct Edge {
    at: [Vec3; 2],
    member: Option<MemberId>,
}

/// Edges of the end arch in a plane of x, those among them that openings took.
fn end_arch(shell: &Shell, plane: f64) -> Vec<Edge> {
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
fn points(arch: &[Edge], shell: &Shell) -> Vec<Vec3> {
    let middle = shell.outline.centre.y;
    // The angle from −y over the crown to +y, about the middle of the base.
    let angle = |at: &Vec3| (middle - at.y).atan2(at.z.max(0.0));
    let mut points: Vec<Vec3> = arch.iter().flat_map(|edge| edge.at).collect();
    points.sort_by(|a, b| angle(b).total_cmp(&angle(a)));
    let near = near(shell);
    points.dedup_by(|b, a| (*b - *a).norm() < near);
    points
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use super::*;
    use crate::loads::ask::AsceEdition;
    use crate::loads::audit::audit;
    use crate::loads::edge_share::EdgeShares;
    use crate::loads::tests::{all, asce, barrel_between, eurocode, named, no_inside, total};
    use crate::shell::ask::EndForm;

    /// A door beside an end takes a panel, and with it a timber of the end's arch: the end is as large as before, and everything on it
    /// is carried; its uprights carry no less.
    #[test]
    fn a_door_beside_an_end_leaves_the_wind_on_it() {
        let framed = EndForm::Framed { studs: 3, sill: true, diagonals: false };
        let form = crate::shell::ask::Form::Barrel {
            profile: crate::shell::ask::Profile::Circular,
            span: 4.0,
            rise: 2.0,
            segments: 8,
            bays: 2,
            bay_length: 1.2,
            pattern: crate::shell::ask::Pattern::Staggered,
            ends: [framed, framed],
        };
        let door = |side: f64| crate::shell::ask::OpeningAsk {
            form: crate::shell::ask::OpeningForm::Door { width: 2.2, height: 1.2, facing: side },
            rim_strips: 2,
            sill: false,
            leaf: true,
        };
        let build = |openings| {
            let ask = crate::shell::ask::ShellAsk { form: form.clone(), openings, mend: false };
            crate::shell::build(&ask).unwrap()
        };
        let (whole, pierced) = (build(Vec::new()), build(vec![door(PI / 2.0)]));
        let gone = |shell: &Shell| {
            shell
                .outline
                .barrel
                .unwrap()
                .iter()
                .map(|&plane| end_arch(shell, plane).iter().filter(|edge| edge.member.is_none()).count())
                .sum::<usize>()
        };
        assert!(gone(&whole) == 0 && gone(&pierced) > 0);
        for ask in [eurocode(), asce(AsceEdition::Seven22)] {
            let (before, after) = (all(&ask, &whole), all(&ask, &pierced));
            for case in before
                .iter()
                .filter(|case| case.name.starts_with("wind from 180°") && !case.name.contains("door"))
            {
                let now = named(&after, &case.name);
                let [a, b] = [total(&whole, case), total(&pierced, now)];
                assert!((a - b).norm() < 1e-6 * a.norm(), "{}: {a} {b}", case.name);
                assert!(audit(&pierced, &EdgeShares::new(&pierced), now).residual < 2e-3, "{}", case.name);
                let on_uprights = |shell: &Shell, case: &Case| -> f64 {
                    let studs =
                        case.members.iter().filter(|load| shell.members[load.member.0].role == Role::Stud);
                    studs
                        .map(|load| {
                            0.5 * (load.intensity[0] + load.intensity[1]).norm()
                                * (load.span[1] - load.span[0])
                        })
                        .sum()
                };
                assert!(
                    on_uprights(&pierced, now) >= on_uprights(&whole, case) * (1.0 - 1e-9),
                    "{}",
                    case.name
                );
            }
        }
    }

    /// What the cover weighs on the polygon under the arch, all of it downward and on uprights and arch alone.
    #[test]
    fn the_cladding_of_a_framed_end_weighs_what_the_cover_does() {
        let ends = [EndForm::Framed { studs: 3, sill: true, diagonals: true }, EndForm::Open];
        let shell = barrel_between(2.0, 12, 3, ends);
        let cases = all(&eurocode(), &shell);
        let case = named(&cases, crate::loads::weight::BESIDES);
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
