//! Names that have no room at their place: each stands in the nearest room that is free, with a line that leads to it.

use super::crowd::{Area, Crowd, Segment};

/// How far from its place a name may stand.
const FARTHEST: f64 = 420.0;
/// Between the distances that are tried.
const STEP: f64 = 7.0;
/// What a line of the shell through a name, or under the line to it, counts against a unit of the distance.
const THROUGH: f64 = 45.0;
const UNDER: f64 = 9.0;
/// What another leader counts: names on one would be read as its names, and two that cross mislead.
const LEADER: f64 = 12.0;
/// A place that counts more than this is none.
const MOST: f64 = 520.0;

/// Where a name stands and what leads to it.
pub(super) struct Led {
    pub(super) middle: [f64; 2],
    pub(super) area: Area,
    pub(super) leader: Segment,
}

/// The best free place for a name of a width and a height that tells of one of some points.
///
/// `None` where the points are all under other names, or nothing is free that can be reached without crossing one.
pub(super) fn lead(crowd: &Crowd, points: &[[f64; 2]], [wide, tall]: [f64; 2]) -> Option<Led> {
    let mut best: Option<(f64, Led)> = None;
    // So far that the line to it is seen.
    let shortest = 12.0;
    let mut away = shortest;
    while away < FARTHEST {
        // What is farther than the best found can only be worse.
        if best.as_ref().is_some_and(|(cost, _)| *cost <= away - shortest) {
            break;
        }
        for (n, &from) in points.iter().enumerate() {
            for turn in 0..32_u8 {
                let (sin, cos) = (f64::from(turn) * std::f64::consts::TAU / 32.0 + 0.05).sin_cos();
                // The distance counts from the edge of the name, not from its middle.
                let reach = ((wide / 2.0) / cos.abs().max(1e-9)).min((tall / 2.0) / sin.abs().max(1e-9));
                let middle = [from[0] + cos * (reach + away), from[1] + sin * (reach + away)];
                let area = Area::about(middle, wide, tall);
                if !crowd.is_free(&area) {
                    continue;
                }
                let leader = [area.nearest(from), from];
                if crowd.struck(leader) > 0 {
                    continue;
                }
                #[allow(clippy::cast_precision_loss, reason = "a few points")]
                let less_wanted = 6.0 * n as f64;
                let cost = away - shortest
                    + less_wanted
                    + THROUGH * crowd.crossed(&area, |_| false)
                    + UNDER * crowd.met(leader);
                if cost < MOST && best.as_ref().is_none_or(|(least, _)| cost < *least) {
                    best = Some((cost, Led { middle, area, leader }));
                }
            }
        }
        away += STEP;
    }
    best.map(|(_, led)| led)
}

/// Keeps what is led to later off a line that leads to a name.
pub(super) fn keep_off(crowd: &mut Crowd, leader: Segment) {
    crowd.line(leader, LEADER, usize::MAX);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_stands_in_the_nearest_free_place_and_its_line_crosses_no_other() {
        let room = Area { left: 0.0, top: 0.0, right: 300.0, bottom: 300.0 };
        let mut crowd = Crowd::new(300.0, 300.0, room);
        // A ring of names about the middle that is open to the right alone.
        for n in 0..14_u8 {
            let (sin, cos) = (0.6 + f64::from(n) * 0.38).sin_cos();
            crowd.take(Area::about([150.0 + 45.0 * cos, 150.0 + 45.0 * sin], 26.0, 18.0));
        }
        let led = lead(&crowd, &[[150.0, 150.0]], [40.0, 12.0]).unwrap();
        assert!(led.middle[0] > 170.0 && (led.middle[1] - 150.0).abs() < 30.0, "{:?}", led.middle);
        assert_eq!(crowd.struck(led.leader), 0);
        assert!(crowd.is_free(&led.area));
        // A point under another name is led to by nothing.
        crowd.take(Area::about([150.0, 150.0], 10.0, 10.0));
        assert!(lead(&crowd, &[[150.0, 150.0]], [40.0, 12.0]).is_none());
    }
}
