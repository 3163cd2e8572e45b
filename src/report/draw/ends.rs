//! The framed ends of a surface that is laid flat: each is drawn as its own elevation beside the surface, for on the
//! line of its arch its timbers would all lie on each other.

use super::paint::{extent, span};
use super::scene::Scene;
use super::view::UPRIGHT;
use crate::report::show::Printer;

/// A framed end: timbers of no panel in one plane across the shell.
struct End {
    /// 1 at the end towards x, −1 at the other.
    side: f64,
    /// Where along x it stands \[m\].
    plane: f64,
    /// Its joints, each with its place as seen from outside: to the right and up from the ground \[m\].
    joints: Vec<(usize, [f64; 2])>,
    /// Its arch, which is drawn with it as well as with the surface.
    arch: Vec<usize>,
    /// Its own timbers.
    bars: Vec<usize>,
    /// Joints that are of this end only.
    own: Vec<usize>,
}

/// Where the ends stand to the surface.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Beside {
    /// Each where the surface meets it.
    AtIts,
    /// Over each other at the right of the surface.
    Right,
    /// Side by side under the surface.
    Under,
}

/// What is laid flat, in the plane of the page \[m\].
pub(super) struct Laid {
    /// Every joint, and behind them the joints that stand a second time.
    pub(super) points: Vec<[f64; 2]>,
    /// Joints that stand a second time, each with its point.
    pub(super) again: Vec<(usize, usize)>,
    /// Points of every member.
    pub(super) ends: Vec<Option<[usize; 2]>>,
    /// Members that are drawn a second time, each with its points there.
    pub(super) copies: Vec<(usize, [usize; 2])>,
    /// What stands under each framed end.
    pub(super) captions: Vec<Caption>,
    /// Whether x runs up the page.
    pub(super) turned: bool,
}

/// Room for what stands under a framed end, on the page.
pub(super) const CAPTION: f64 = 34.0;

/// Words under a framed end.
pub(super) struct Caption {
    /// Which end it is, and from where it is seen.
    pub(super) lines: [String; 2],
    /// Middle of its foot \[m\].
    pub(super) at: [f64; 2],
}

impl Laid {
    /// Lays a surface and its ends so that they are as large as they can be in a room of a width and a height;
    /// it is turned only where the room is taller than wide.
    pub(super) fn new(scene: &Scene<'_>, surface: Vec<[f64; 2]>, [width, height]: [f64; 2]) -> Self {
        let ends = if scene.round() { Vec::new() } else { framed_ends(scene) };
        let of_surface: Vec<[f64; 2]> = (0..surface.len())
            .filter(|joint| !ends.iter().any(|end| end.own.contains(joint)))
            .map(|joint| surface[joint])
            .collect();
        let [wide, tall] = extent(&of_surface);
        let turned = height > width && wide > UPRIGHT * tall;
        let turn = |point: &[f64; 2]| if turned { [-point[1], point[0]] } else { *point };
        let outline: Vec<[f64; 2]> = of_surface.iter().map(turn).collect();
        let mut laid = Self {
            points: surface.iter().map(turn).collect(),
            again: Vec::new(),
            ends: scene.ends.clone(),
            copies: Vec::new(),
            captions: Vec::new(),
            turned,
        };
        if ends.is_empty() || outline.is_empty() {
            return laid;
        }
        let scale = |beside: Beside| {
            let all: Vec<[f64; 2]> = feet(&outline, &ends, beside, turned)
                .iter()
                .zip(&ends)
                .flat_map(|(foot, end)| end.joints.iter().map(|(_, at)| [foot[0] + at[0], foot[1] + at[1]]))
                .chain(outline.iter().copied())
                .collect();
            let [wide, tall] = extent(&all);
            (width / wide.max(1e-9)).min(height / tall.max(1e-9))
        };
        // An end reads best where it belongs: a little of the size is given up for that.
        let mut beside = Beside::AtIts;
        for other in [Beside::Right, Beside::Under] {
            if scale(other) > 1.08 * scale(beside) {
                beside = other;
            }
        }
        for (end, foot) in ends.iter().zip(feet(&outline, &ends, beside, turned)) {
            laid.put(scene, end, foot);
        }
        laid
    }

    /// Puts an end with the middle of its foot at a point.
    fn put(&mut self, scene: &Scene<'_>, end: &End, foot: [f64; 2]) {
        let mut point_of = std::collections::BTreeMap::new();
        for &(joint, at) in &end.joints {
            let at = [foot[0] + at[0], foot[1] + at[1]];
            if end.own.contains(&joint) {
                self.points[joint] = at;
                point_of.insert(joint, joint);
            } else {
                point_of.insert(joint, self.points.len());
                self.again.push((joint, self.points.len()));
                self.points.push(at);
            }
        }
        let find = |member: usize| {
            let [a, b] = scene.ends[member]?;
            Some([*point_of.get(&a)?, *point_of.get(&b)?])
        };
        for &bar in &end.bars {
            self.ends[bar] = find(bar);
        }
        self.copies.extend(end.arch.iter().filter_map(|&rim| Some((rim, find(rim)?))));
        let show = Printer::new(&scene.results.units);
        let sign = if end.plane < 0.0 { "−" } else { "" };
        let place = format!("Framed end at x = {sign}{},", show.length(end.plane.abs()));
        self.captions.push(Caption { lines: [place, "seen from outside".to_owned()], at: foot });
    }
}

impl End {
    /// Width and height \[m\].
    fn size(&self) -> [f64; 2] {
        let places: Vec<[f64; 2]> = self.joints.iter().map(|(_, at)| *at).collect();
        extent(&places)
    }
}

/// Middles of the feet of the ends about a surface.
fn feet(outline: &[[f64; 2]], ends: &[End], beside: Beside, turned: bool) -> Vec<[f64; 2]> {
    let ((left, right), (low, high)) = (span(outline, 0), span(outline, 1));
    let middle = [f64::midpoint(left, right), f64::midpoint(low, high)];
    // Room for the names at their edges and for what is written under them.
    let most = ends.iter().map(|end| end.size()[0]).fold((right - left).max(high - low), f64::max);
    let (gap, under) = (0.1 * most, 0.15 * most);
    let across: f64 = ends.iter().map(|end| end.size()[0] + gap).sum::<f64>() - gap;
    let upright: f64 = ends.iter().map(|end| end.size()[1] + under).sum::<f64>() - under;
    let mut from = match beside {
        Beside::Under => middle[0] - across / 2.0,
        // The end towards x stands lowest of those at the right, as it stands last in a row.
        _ => middle[1] + upright / 2.0,
    };
    ends.iter()
        .map(|end| {
            let [wide, tall] = end.size();
            let outer = end.side > 0.0;
            match beside {
                Beside::AtIts if turned && outer => [middle[0], high + under],
                Beside::AtIts if turned => [middle[0], low - gap - tall],
                Beside::AtIts if outer => [right + gap + wide / 2.0, middle[1] - tall / 2.0],
                Beside::AtIts => [left - gap - wide / 2.0, middle[1] - tall / 2.0],
                Beside::Right => {
                    from -= tall;
                    let foot = [right + gap + wide / 2.0, from];
                    from -= under;
                    foot
                }
                Beside::Under => {
                    let foot = [from + wide / 2.0, low - gap - tall];
                    from += wide + gap;
                    foot
                }
            }
        })
        .collect()
}

/// The framed ends of a shell, that away from x first.
fn framed_ends(scene: &Scene<'_>) -> Vec<End> {
    let x: Vec<[f64; 2]> = scene.at.iter().map(|at| [at.x, 0.0]).collect();
    let (low, high) = span(&x, 0);
    let near = 1e-4 * (high - low).max(1e-9);
    let end = |side: f64, plane: f64| {
        let inside = |joint: usize| (scene.at[joint].x - plane).abs() <= near;
        let lies_in = |member: &usize| scene.ends[*member].is_some_and(|ends| ends.into_iter().all(inside));
        let kind = |member: usize| scene.results.members[member].kind.as_str();
        let (bars, arch): (Vec<usize>, Vec<usize>) = (0..scene.ends.len())
            .filter(lies_in)
            .filter(|&member| matches!(kind(member), "bar" | "rim"))
            .partition(|&member| kind(member) == "bar");
        if bars.is_empty() {
            return None;
        }
        let mut joints: Vec<usize> =
            bars.iter().chain(&arch).filter_map(|&member| scene.ends[member]).flatten().collect();
        joints.sort_unstable();
        joints.dedup();
        let own = joints
            .iter()
            .copied()
            .filter(|joint| {
                let of_it = |member: &usize| scene.ends[*member].is_some_and(|ends| ends.contains(joint));
                (0..scene.ends.len()).filter(of_it).all(|member| bars.contains(&member))
            })
            .collect();
        let joints: Vec<(usize, [f64; 2])> = joints
            .into_iter()
            .map(|joint| (joint, [side * (scene.at[joint].y - scene.centre.y), scene.at[joint].z]))
            .collect();
        Some(End { side, plane, joints, arch, bars, own })
    };
    [end(-1.0, low), end(1.0, high)].into_iter().flatten().collect()
}

#[cfg(test)]
mod tests {
    use super::super::View;
    use super::super::view::Flat;
    use super::*;
    use crate::assess::results::{Assessment, JointResult};
    use crate::report::sample::vault;
    use crate::vector::Vec3;

    /// A vault with a frame in both ends: a post under each of three joints of the arch, and a sill.
    fn framed() -> Assessment {
        let mut shell = vault(8, 3);
        let low = shell.joints.iter().map(|joint| joint.at[0]).fold(f64::INFINITY, f64::min);
        let high = shell.joints.iter().map(|joint| joint.at[0]).fold(f64::NEG_INFINITY, f64::max);
        for plane in [low, high] {
            let mut arch: Vec<JointResult> =
                shell.joints.iter().filter(|joint| (joint.at[0] - plane).abs() < 1e-9).cloned().collect();
            arch.sort_by(|a, b| a.at[1].total_cmp(&b.at[1]));
            let mut sill = vec![arch[0].id.clone()];
            for head in [2, 4, 6] {
                let id = format!("j{}", shell.joints.len() + 1);
                let at = [plane, arch[head].at[1], 0.0];
                shell.joints.push(JointResult { id: id.clone(), at, foot: true });
                bar(&mut shell, [id.clone(), arch[head].id.clone()]);
                sill.push(id);
            }
            sill.push(arch[8].id.clone());
            for pair in sill.windows(2) {
                bar(&mut shell, [pair[0].clone(), pair[1].clone()]);
            }
        }
        shell
    }

    fn bar(shell: &mut Assessment, joints: [String; 2]) {
        let mut bar = shell.members[0].clone();
        bar.id = format!("b{}", shell.members.len() + 1);
        bar.kind = "bar".to_owned();
        bar.joints = joints;
        shell.members.push(bar);
    }

    fn length(points: &[[f64; 2]], [a, b]: [usize; 2]) -> f64 {
        (points[a][0] - points[b][0]).hypot(points[a][1] - points[b][1])
    }

    #[test]
    fn the_timbers_of_a_framed_end_stand_apart_in_their_true_shape() {
        let shell = framed();
        let scene = Scene::new(&shell);
        let flat = Flat::new(&scene, View::Unrolled, None);
        let bars: Vec<usize> =
            (0..shell.members.len()).filter(|&member| shell.members[member].kind == "bar").collect();
        assert_eq!((bars.len(), flat.captions.len()), (14, 2));
        let drawn: Vec<(usize, [usize; 2])> = flat.lines().collect();
        for &bar in &bars {
            // Once, and as long as it is.
            let ends: Vec<[usize; 2]> =
                drawn.iter().filter(|(member, _)| *member == bar).map(|(_, ends)| *ends).collect();
            assert_eq!(ends.len(), 1, "{bar}");
            let [a, b] = scene.ends[bar].unwrap();
            let wanted = (scene.at[a] - scene.at[b]).norm();
            assert!((length(&flat.points, ends[0]) - wanted).abs() < 1e-9, "{bar}");
        }
        // The posts and sills of one end are not all on one line, and no two lie on each other.
        for (n, &bar) in bars.iter().enumerate() {
            let middle = |bar: usize| {
                let [a, b] = flat.ends[bar].unwrap().map(|point| flat.points[point]);
                [f64::midpoint(a[0], b[0]), f64::midpoint(a[1], b[1])]
            };
            for &other in &bars[n + 1..] {
                let (one, two) = (middle(bar), middle(other));
                assert!((one[0] - two[0]).hypot(one[1] - two[1]) > 0.1, "{bar} {other}");
            }
        }
        let upright = |bar: &usize| {
            let [a, b] = flat.ends[*bar].unwrap().map(|point| flat.points[point]);
            (a[0] - b[0]).abs() < 1e-9
        };
        assert_eq!(bars.iter().filter(|bar| upright(bar)).count(), 6);
    }

    #[test]
    fn an_end_is_seen_from_outside_with_its_arch_and_beside_the_surface() {
        let shell = framed();
        let scene = Scene::new(&shell);
        for room in [[900.0, 500.0], [400.0, 400.0], [500.0, 1000.0]] {
            let flat = Flat::laid(&scene, room);
            // The arch of eight rims stands a second time at each end, with its nine joints.
            assert_eq!((flat.lines().count() - shell.members.len(), flat.again.len()), (16, 18));
            let sides: Vec<Vec<[f64; 2]>> = flat
                .captions
                .iter()
                .map(|caption| {
                    let near = |point: &[f64; 2]| (point[0] - caption.at[0]).abs() < 2.2;
                    let up = |point: &[f64; 2]| (-0.01..2.2).contains(&(point[1] - caption.at[1]));
                    flat.points.iter().copied().filter(|point| near(point) && up(point)).collect()
                })
                .collect();
            // Nine joints of the arch and three feet of posts, and nothing of the surface or the other end.
            assert_eq!(sides.iter().map(Vec::len).collect::<Vec<_>>(), [12, 12], "{room:?}");
            // Away from x one looks along x, so that y runs to the left.
            for (caption, way) in flat.captions.iter().zip([-1.0, 1.0]) {
                for &(joint, point) in &flat.again {
                    let [x, up] = flat.points[point];
                    let at: Vec3 = scene.at[joint];
                    let of_this = (at.x - scene.centre.x) * way > 0.0;
                    if of_this {
                        assert!((x - caption.at[0] - way * (at.y - scene.centre.y)).abs() < 1e-9);
                        assert!((up - caption.at[1] - at.z).abs() < 1e-9);
                    }
                }
            }
        }
    }

    #[test]
    fn a_surface_without_frames_lies_alone() {
        let shell = vault(8, 3);
        let flat = Flat::laid(&Scene::new(&shell), [900.0, 500.0]);
        assert!(flat.captions.is_empty() && flat.again.is_empty());
        assert_eq!(flat.lines().count(), shell.members.len());
    }
}
