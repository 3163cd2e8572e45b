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
/// Uprights stand under joints of the end arch, spread evenly among them and mirrored; each has a foot of
/// its own. A diagonal runs in each bay from the outer upright's foot to the inner one's head, in the
/// middle bay from left to right, and not where the arch itself makes that line.
pub(crate) fn frame(net: &mut Net, plane: f64, side: f64, ask: &GableAsk) -> Result<(), ShellError> {
    let size = net.size();
    let arch = end_arch(net, plane, 1e-7 * size);
    let [Some(&first), Some(&last)] = [arch.first(), arch.last()] else { return Ok(()) };
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
    for pick in spread(ask.studs, heads.len()) {
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
            let (low, high) = if 2 * bay < bays { (pair[0].0, pair[1].1) } else { (pair[1].0, pair[0].1) };
            let along_arch = arch.windows(2).any(|edge| edge == [low, high] || edge == [high, low]);
            let along_sill = net.points[high].z <= 1e-9 * size;
            if !along_arch && !along_sill {
                add(&mut net.bars, low, high, Role::Brace);
            }
        }
    }
    Ok(())
}

/// `count` of `of` places, spread evenly and mirrored where that can be.
fn spread(count: usize, of: usize) -> Vec<usize> {
    let mut picks = vec![0; count];
    for k in 0..count / 2 {
        // Places from 1; the nearest to (k + 1) (of + 1) / (count + 1), a half rounded down.
        let place = (2 * (k + 1) * (of + 1) - (count + 1)).div_ceil(2 * (count + 1));
        picks[k] = place - 1;
        picks[count - 1 - k] = of - place;
    }
    if count % 2 == 1 {
        picks[count / 2] = of.div_ceil(2) - 1;
    }
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

    #[test]
    fn picks_are_distinct_and_mirrored() {
        for of in 0..30 {
            for count in 0..=of {
                let picks = spread(count, of);
                assert!(picks.windows(2).all(|pair| pair[0] < pair[1]), "{count} of {of}: {picks:?}");
                assert!(picks.iter().all(|&pick| pick < of));
                if count % 2 == 0 || of % 2 == 1 {
                    let mirrored: Vec<usize> = picks.iter().rev().map(|pick| of - 1 - pick).collect();
                    assert_eq!(picks, mirrored, "{count} of {of}");
                }
            }
        }
    }
}
