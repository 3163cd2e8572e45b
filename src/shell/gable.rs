//! A flat framed end: uprights, a sill, diagonals.

use crate::shell::net::{LooseBar, Net};
use crate::shell::{Role, ShellError};
use crate::vector::Vec3;
use std::collections::BTreeMap;

/// What is asked of a gable.
#[derive(Debug, Clone, Copy)]
pub(crate) struct GableAsk {
    pub(crate) studs: usize,
    pub(crate) sill: bool,
    pub(crate) diagonals: bool,
}

/// Frames the open end of a net in the plane x = `plane`, whose outside is toward `side` (−1 or 1).
///
/// Uprights stand under joints of the end arch, mirrored where that can be and as evenly in metres as the
/// joints allow; each has a foot of its own. A diagonal runs in each bay from the outer upright's foot to the
/// inner one's head, in the middle bay from left to right, and not where the arch itself makes that line.
/// Left and right are as seen from outside, so that a shell with its ends changed over is the same shell turned
/// by half a turn. What is to be said of uprights that cannot be mirrored is handed back.
pub(crate) fn frame(
    net: &mut Net,
    plane: f64,
    side: f64,
    ask: &GableAsk,
) -> Result<Option<String>, ShellError> {
    let size = net.size();
    let arch = end_arch(net, plane, 1e-7 * size);
    let [Some(&first), Some(&last)] = [arch.first(), arch.last()] else { return Ok(None) };
    let between = net.points[first].y..net.points[last].y;
    // An arch that overhangs its feet has joints that no upright can stand under within the sill.
    let heads: Vec<usize> = arch[1..arch.len() - 1]
        .iter()
        .copied()
        .filter(|&joint| {
            let y = net.points[joint].y;
            y > between.start + 1e-3 * size && y < between.end - 1e-3 * size
        })
        .collect();
    if ask.studs > heads.len() {
        return Err(ShellError::Studs { studs: ask.studs, most: heads.len() });
    }
    let outward = Vec3::new(side, 0.0, 0.0);
    let add = |bars: &mut Vec<LooseBar>, a: usize, b: usize, role: Role| {
        bars.push(LooseBar { ends: [a, b], role, outward });
    };
    // Feet along the ground from −y to +y, each with the joint above it (an arch foot is its own).
    let mut posts = vec![(first, first)];
    let places: Vec<f64> = heads.iter().map(|&joint| net.points[joint].y).collect();
    let ends = [between.start, between.end];
    // Seen from outside, left is −y at the end at higher x and +y at the other.
    let left_is_low = side > 0.0;
    let (picks, mirrored) = spread(&places, ends, ask.studs, left_is_low);
    for &pick in &picks {
        let head = heads[pick];
        let foot = net.point(Vec3::new(plane, net.points[head].y, 0.0));
        add(&mut net.bars, foot, head, Role::Stud);
        posts.push((foot, head));
    }
    posts.push((last, last));
    if ask.sill {
        for pair in posts.windows(2) {
            add(&mut net.bars, pair[0].0, pair[1].0, Role::Sill);
        }
    }
    if ask.diagonals {
        let bays = posts.len() - 1;
        for (bay, pair) in posts.windows(2).enumerate() {
            let rising = if 2 * bay + 1 == bays { left_is_low } else { 2 * bay < bays };
            let (low, high) = if rising { (pair[0].0, pair[1].1) } else { (pair[1].0, pair[0].1) };
            let along_arch = arch.windows(2).any(|edge| edge == [low, high] || edge == [high, low]);
            let along_sill = net.points[high].z <= 1e-9 * size;
            if !along_arch && !along_sill {
                add(&mut net.bars, low, high, Role::Brace);
            }
        }
    }
    let stand: Vec<f64> = picks.iter().map(|&pick| places[pick]).collect();
    Ok((!mirrored).then(|| uneven(plane, &stand, ends, places.len())))
}

/// That the uprights stand unevenly, by how much, and what would mend it.
fn uneven(plane: f64, stand: &[f64], ends: [f64; 2], heads: usize) -> String {
    let posts: Vec<f64> = std::iter::once(ends[0]).chain(stand.iter().copied()).chain([ends[1]]).collect();
    let widest = posts.windows(2).map(|pair| pair[1] - pair[0]).fold(0.0, f64::max);
    let named: Vec<String> = stand.iter().map(|y| format!("{y:.2}")).collect();
    let count = stand.len();
    let even =
        if count < heads { format!("{} or {}", count - 1, count + 1) } else { (count - 1).to_string() };
    format!(
        "the studs of the framed end at x = {plane:.2} m stand unevenly, at y = {} m, with a widest bay of \
         {widest:.2} m: its arch has no joint in the middle for an odd one of {count}; an even count ({even}) stands \
         mirrored",
        named.join(", ")
    )
}

/// Which of the places from −y to +y the uprights take, and whether they are mirrored.
///
/// The bays are as even as the places allow: the sum of the squares of their widths is the least that it can
/// be. On a mirrored arch only mirrored choices count, where there are any; else, of two choices that are each
/// other's image, the one is taken that has more of its uprights on the left.
fn spread(places: &[f64], ends: [f64; 2], count: usize, left_is_low: bool) -> (Vec<usize>, bool) {
    let of = places.len();
    let middle = 0.5 * (ends[0] + ends[1]);
    let near = 1e-6 * (ends[1] - ends[0]);
    let arch_mirrored =
        places.iter().zip(places.iter().rev()).all(|(a, b)| (a + b - 2.0 * middle).abs() <= near);
    let image = |picks: &[usize]| -> Vec<usize> { picks.iter().rev().map(|pick| of - 1 - pick).collect() };
    if arch_mirrored && (count.is_multiple_of(2) || of % 2 == 1) {
        // The bay in the middle is one, the others are two each; half of it is 2 · half² beside the squares of those.
        let across = if count.is_multiple_of(2) { 2.0 } else { 1.0 };
        let mut picks = evenest(&places[..of / 2], [ends[0], middle], count / 2, across);
        let others = image(&picks);
        if count % 2 == 1 {
            picks.push(of / 2);
        }
        picks.extend(others);
        return (picks, true);
    }
    let picks = evenest(places, ends, count, 1.0);
    let lean: f64 = picks.iter().map(|&pick| places[pick] - middle).sum();
    let turn = arch_mirrored && lean.abs() > near && (lean < 0.0) != left_is_low;
    (if turn { image(&picks) } else { picks }, count == 0)
}

/// `count` of some places between two ends whose bays have the least sum of squares, the last bay's square
/// times a weight. There are at least `count` places, in order.
fn evenest(places: &[f64], ends: [f64; 2], count: usize, last: f64) -> Vec<usize> {
    // Row k: the least sum from the first end to each place as upright k, and the upright before it there.
    let mut rows: Vec<Vec<(f64, usize)>> = Vec::with_capacity(count);
    // Sums that differ by rounding alone are equal, and the first stays.
    let slack = 1e-9 * (ends[1] - ends[0]).powi(2);
    let least = |sums: &mut dyn Iterator<Item = (f64, usize)>| {
        sums.fold((f64::INFINITY, 0), |best, one| if one.0 < best.0 - slack { one } else { best })
    };
    for k in 0..count {
        let row = places.iter().enumerate().map(|(at, place)| match rows.last() {
            None => ((place - ends[0]).powi(2), 0),
            Some(before) => least(
                &mut before[..at]
                    .iter()
                    .enumerate()
                    .skip(k - 1)
                    .map(|(from, (sum, _))| (sum + (place - places[from]).powi(2), from)),
            ),
        });
        let row = row.collect();
        rows.push(row);
    }
    let Some(end) = rows.last() else { return Vec::new() };
    let mut ways = end
        .iter()
        .enumerate()
        .skip(count - 1)
        .map(|(at, (sum, _))| (sum + last * (ends[1] - places[at]).powi(2), at));
    let mut picks = vec![least(&mut ways).1];
    for row in rows[1..].iter().rev() {
        picks.push(row[picks[picks.len() - 1]].1);
    }
    picks.reverse();
    picks
}

/// The joints of the open end in a plane, from the foot at −y over the crown to the foot at +y.
pub(crate) fn end_arch(net: &Net, plane: f64, near: f64) -> Vec<usize> {
    let ground = |point: usize| net.points[point].z.abs() <= near;
    let mut beside: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for ((a, b), along) in net.edges() {
        let inside = [a, b].iter().all(|&end| (net.points[end].x - plane).abs() <= near);
        if along.len() == 1 && inside && !(ground(a) && ground(b)) {
            beside.entry(a).or_default().push(b);
            beside.entry(b).or_default().push(a);
        }
    }
    let start = beside
        .iter()
        .filter(|(point, next)| next.len() == 1 && ground(**point))
        .map(|(&point, _)| point)
        .min_by(|&a, &b| net.points[a].y.total_cmp(&net.points[b].y));
    let Some(start) = start else { return Vec::new() };
    let mut arch = vec![start];
    while let Some(&next) =
        beside[&arch[arch.len() - 1]].iter().find(|&&next| arch.len() < 2 || arch[arch.len() - 2] != next)
    {
        arch.push(next);
        if next == start {
            break;
        }
    }
    arch
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shell::ask::{EndForm, Form, ShellAsk};
    use crate::shell::{Shell, build};

    /// Joints of a half circle of radius 1 without its feet.
    fn circle(of: usize) -> Vec<f64> {
        (1..=of).map(|i| -(std::f64::consts::PI * i as f64 / (of + 1) as f64).cos()).collect()
    }

    #[test]
    fn picks_are_distinct_and_mirrored() {
        for of in 0..30 {
            let places = circle(of);
            for count in 0..=of {
                let (picks, mirrored) = spread(&places, [-1.0, 1.0], count, true);
                assert_eq!(picks.len(), count);
                assert!(picks.windows(2).all(|pair| pair[0] < pair[1]), "{count} of {of}: {picks:?}");
                assert!(picks.iter().all(|&pick| pick < of));
                assert_eq!(mirrored, count % 2 == 0 || of % 2 == 1, "{count} of {of}");
                let image: Vec<usize> = picks.iter().rev().map(|pick| of - 1 - pick).collect();
                assert_eq!(picks == image, mirrored, "{count} of {of}");
                let (other, _) = spread(&places, [-1.0, 1.0], count, false);
                assert_eq!(other, image, "{count} of {of}");
            }
        }
    }

    /// Every choice tried, on arches small enough for it.
    #[test]
    fn no_other_choice_has_evener_bays() {
        for of in 1..9_usize {
            let places = circle(of);
            for count in 1..=of {
                let sum = |picks: &[usize]| -> f64 {
                    let stand = picks.iter().map(|&pick| places[pick]);
                    let posts: Vec<f64> = std::iter::once(-1.0).chain(stand).chain([1.0]).collect();
                    posts.windows(2).map(|pair| (pair[1] - pair[0]).powi(2)).sum()
                };
                let (picks, mirrored) = spread(&places, [-1.0, 1.0], count, true);
                let best = (0..1_usize << of)
                    .map(|set| (0..of).filter(|at| set >> at & 1 == 1).collect::<Vec<_>>())
                    .filter(|set| set.len() == count)
                    .filter(|set| {
                        let image = set.iter().rev().map(|pick| of - 1 - pick);
                        !mirrored || image.eq(set.iter().copied())
                    })
                    .map(|set| sum(&set))
                    .fold(f64::INFINITY, f64::min);
                assert!((sum(&picks) - best).abs() < 1e-9, "{count} of {of}: {picks:?}");
            }
        }
    }

    fn tunnel(studs: usize, framed_first: bool) -> Shell {
        let framed = EndForm::Framed { studs, sill: true, diagonals: true };
        let ends = if framed_first { [framed, EndForm::HalfDome] } else { [EndForm::HalfDome, framed] };
        let form = Form::Tunnel { radius: 2.1, frequency: 2, bands: 3, base: 0.0, spacing: None, ends };
        build(&ShellAsk { form, openings: Vec::new(), mend: false }).unwrap()
    }

    /// Where the uprights stand.
    fn stand(shell: &Shell) -> Vec<f64> {
        let studs = shell.members.iter().filter(|member| member.role == Role::Stud);
        studs.map(|member| shell.at(member.joints[0]).y).collect()
    }

    /// An arch of five edges has two joints either side of its middle and none in it.
    #[test]
    fn an_odd_count_without_a_joint_in_the_middle_is_told() {
        let three = tunnel(3, false);
        let told: Vec<&String> = three.remarks.iter().filter(|told| told.contains("unevenly")).collect();
        assert_eq!(told.len(), 1, "{:?}", three.remarks);
        assert!(told[0].contains("an even count (2 or 4)"), "{}", told[0]);
        let posts: Vec<f64> = [-2.1].into_iter().chain(stand(&three)).chain([2.1]).collect();
        let widest = posts.windows(2).map(|pair| pair[1] - pair[0]).fold(0.0, f64::max);
        assert!(told[0].contains(&format!("a widest bay of {widest:.2} m")), "{}", told[0]);
        // Two bays left of a fifth of the turn and one right of it: no bay wider than from a foot to the second joint.
        assert!(widest < 1.5, "{posts:?}");
        for even in [2, 4] {
            let shell = tunnel(even, false);
            assert!(shell.remarks.iter().all(|told| !told.contains("unevenly")), "{:?}", shell.remarks);
            let at = stand(&shell);
            assert!(at.iter().zip(at.iter().rev()).all(|(a, b)| (a + b).abs() < 1e-9), "{at:?}");
        }
    }

    /// With its ends changed over it is the same shell, turned by half a turn about the vertical.
    #[test]
    fn ends_changed_over_are_half_a_turn() {
        for studs in 0..=4 {
            let [one, other] = [false, true].map(|first| tunnel(studs, first));
            assert_eq!(one.members.len(), other.members.len());
            let turned = |at: Vec3| Vec3::new(-at.x, -at.y, at.z);
            for member in &one.members {
                let [a, b] = member.joints.map(|joint| turned(one.at(joint)));
                let near = |p: Vec3, q: Vec3| (p - q).norm() < 1e-7;
                let found = other.members.iter().any(|same| {
                    let [c, d] = same.joints.map(|joint| other.at(joint));
                    same.role == member.role && (near(a, c) && near(b, d) || near(a, d) && near(b, c))
                });
                assert!(found, "{studs} studs: {} has no image", member.name);
            }
        }
    }
}
