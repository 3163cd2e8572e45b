//! The whole on its feet: tipping over, and the table of net uplift.

use crate::rules::Check;
use crate::rules::recorder::{Paper, Recorder, Silent};

/// A force at a point \[m, N\], z up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PointLoad {
    /// Where.
    pub at: [f64; 3],
    /// Design value, weight included.
    pub force: [f64; 3],
}

/// A foot as far as tipping goes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Held {
    /// Where \[m\].
    pub at: [f64; 3],
    /// What its anchor holds upward, design value \[N\]; 0 for none.
    pub uplift: f64,
}

/// The shell tipping over one edge of its base.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Overturning {
    /// Direction it tips towards, level, from x towards y \[°\].
    pub towards_deg: f64,
    /// Tipping moment of all loads about the edge, weight's own included \[N·m\]; negative where weight holds it.
    pub tipping: f64,
    /// What the anchors hold about the edge \[N·m\].
    pub anchors: f64,
}

impl Overturning {
    /// Tipping over holding; 0 where weight alone holds.
    #[must_use]
    pub fn utilisation(&self) -> f64 {
        let mut silent = Silent::new();
        check(&mut silent, self);
        silent.worst().map_or(0.0, |worst| worst.utilisation)
    }

    /// Whether it is nearer to tipping than another. Of equals, where weight alone holds both or nothing holds either, the
    /// one with the greater moment. Mirror images, which differ by rounding alone, are equals.
    #[must_use]
    pub fn worse_than(&self, other: &Self) -> bool {
        let above = |a: f64, b: f64| a > b + 1e-9 * b.abs();
        let (mine, its) = (self.utilisation(), other.utilisation());
        above(mine, its) || (!above(its, mine) && above(self.tipping, other.tipping))
    }

    /// With its working.
    #[must_use]
    pub fn working(&self) -> Vec<Check> {
        let mut paper = Paper::new();
        check(&mut paper, self);
        paper.into_checks()
    }
}

fn check<R: Recorder>(r: &mut R, o: &Overturning) {
    r.input("tips towards", "φ", o.towards_deg, "°", "level, from x towards y");
    let m =
        r.input("moment of all loads about the leeward feet", "M_Ed", o.tipping * 1e-3, "kN·m", "factored");
    let hold =
        r.input("moment that the anchors hold", "M_Rd", o.anchors * 1e-3, "kN·m", "Σ anchor × distance");
    let (formula, u) = if m <= 0.0 {
        ("max(M_Ed; 0)", 0.0)
    } else if hold > 0.0 {
        ("M_Ed/M_Rd", m / hold)
    } else {
        ("M_Ed/M_Rd", f64::INFINITY)
    };
    let u = r.derived("utilisation", "η", formula, u, "–", "");
    r.close("tipping over of the whole", "equilibrium", u);
}

/// Ways in which feet may be tipped over \[°\]: across each edge of their convex hull in plan. Between two of these the whole turns over
/// one foot, and moment and anchors, both as a cosine of the way, bring a share between those of the two. Feet that stand in one line or
/// point have no edges: for these a way every 15°.
#[must_use]
pub fn ways_over(feet: &[Held]) -> Vec<f64> {
    let hull = hull(feet.iter().map(|foot| [foot.at[0], foot.at[1]]).collect());
    if hull.len() < 3 {
        return (0..24).map(|k| 15.0 * f64::from(k)).collect();
    }
    let ends = hull.iter().zip(hull.iter().cycle().skip(1));
    ends.map(|([x, y], [u, v])| whole((x - u).atan2(v - y).to_degrees())).collect()
}

/// A whole degree where an angle is one but for rounding, from 0 on.
fn whole(degrees: f64) -> f64 {
    let near = degrees.round();
    let degrees = if (degrees - near).abs() < 1e-9 { near } else { degrees };
    // No minus before a nought.
    degrees.rem_euclid(360.0) + 0.0
}

/// Corners of the convex hull of points, anticlockwise; what lies in an edge but for rounding is none (Andrew's monotone chain).
fn hull(mut points: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    points.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    let turn = |o: &[f64; 2], a: &[f64; 2], b: &[f64; 2]| {
        let (to_a, to_b) = ([a[0] - o[0], a[1] - o[1]], [b[0] - o[0], b[1] - o[1]]);
        let size = to_a[0].hypot(to_a[1]) * to_b[0].hypot(to_b[1]);
        to_a[0] * to_b[1] - to_a[1] * to_b[0] > 1e-9 * size
    };
    let half = |points: &mut dyn Iterator<Item = [f64; 2]>| {
        let mut chain: Vec<[f64; 2]> = Vec::new();
        for point in points {
            while chain.len() > 1 && !turn(&chain[chain.len() - 2], &chain[chain.len() - 1], &point) {
                chain.pop();
            }
            chain.push(point);
        }
        chain.pop();
        chain
    };
    let mut all = half(&mut points.iter().copied());
    all.extend(half(&mut points.iter().rev().copied()));
    all
}

/// The worst of tipping each of these ways \[°\] for one combination. `None` without feet or ways.
#[must_use]
pub fn overturning(loads: &[PointLoad], feet: &[Held], ways: &[f64]) -> Option<Overturning> {
    if feet.is_empty() {
        return None;
    }
    let mut worst: Option<Overturning> = None;
    for &towards_deg in ways {
        let (sin, cos) = crate::units::radians(towards_deg).sin_cos();
        let reach = |at: &[f64; 3]| at[0] * cos + at[1] * sin;
        let edge = feet.iter().map(|foot| reach(&foot.at)).fold(f64::NEG_INFINITY, f64::max);
        let tipping = loads
            .iter()
            .map(|load| {
                let push = load.force[0] * cos + load.force[1] * sin;
                push * load.at[2] - load.force[2] * (reach(&load.at) - edge)
            })
            .sum();
        let anchors = feet.iter().map(|foot| foot.uplift * (edge - reach(&foot.at))).sum();
        let this = Overturning { towards_deg, tipping, anchors };
        if worst.is_none_or(|w| this.worse_than(&w)) {
            worst = Some(this);
        }
    }
    worst
}

/// A row of the table of net uplift.
#[derive(Debug, Clone, PartialEq)]
pub struct UpliftRow {
    /// Combination.
    pub combination: String,
    /// Sum of all feet, upward \[N\]: positive where the whole would lift without anchors.
    pub net: f64,
    /// Sum of the feet that lift \[N\].
    pub lifting: f64,
    /// Sum of the feet that press \[N\].
    pub pressing: f64,
    /// How many lift.
    pub feet_lifting: usize,
    /// Greatest lift of one foot \[N\] and its position; absent where none lifts.
    pub greatest: Option<(usize, f64)>,
}

/// Net uplift, a combination a row, in the order given. `lifts` are what the shell does to each foot, upward
/// positive \[N\].
#[must_use]
pub fn uplift_table<'a>(combinations: impl IntoIterator<Item = (&'a str, &'a [f64])>) -> Vec<UpliftRow> {
    combinations
        .into_iter()
        .map(|(name, lifts)| {
            let greatest = lifts
                .iter()
                .copied()
                .enumerate()
                .filter(|(_, f)| *f > 0.0)
                .max_by(|a, b| a.1.total_cmp(&b.1));
            UpliftRow {
                combination: name.to_owned(),
                net: lifts.iter().sum(),
                lifting: lifts.iter().map(|f| f.max(0.0)).sum(),
                pressing: lifts.iter().map(|f| (-f).max(0.0)).sum(),
                feet_lifting: lifts.iter().filter(|f| **f > 0.0).count(),
                greatest,
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(uplift: f64) -> Vec<Held> {
        [[1.0, 1.0, 0.0], [-1.0, 1.0, 0.0], [-1.0, -1.0, 0.0], [1.0, -1.0, 0.0]]
            .map(|at| Held { at, uplift })
            .to_vec()
    }

    /// 2 × 2 m base, 1 kN sideways at 3 m, 2 kN weight at the middle: 3000 − 2000 = 1000 N·m; two anchors of 1 kN at 2 m.
    #[test]
    fn a_box_tips_as_statics_says() {
        let loads = [
            PointLoad { at: [0.0, 0.0, 3.0], force: [1000.0, 0.0, 0.0] },
            PointLoad { at: [0.0, 0.0, 1.0], force: [0.0, 0.0, -2000.0] },
        ];
        let o = tipped(&loads, &square(1000.0)).unwrap();
        assert!(o.towards_deg.abs() < 1e-9);
        assert!((o.tipping - 1000.0).abs() < 1e-9 && (o.anchors - 4000.0).abs() < 1e-9);
        assert!((o.utilisation() - 0.25).abs() < 1e-12);
        recompute(&o);
        let loose = tipped(&loads, &square(0.0)).unwrap();
        assert!(loose.utilisation().is_infinite(), "nothing holds it");
        let heavy = [loads[0], PointLoad { force: [0.0, 0.0, -4000.0], ..loads[1] }];
        let o = tipped(&heavy, &square(0.0)).unwrap();
        assert!(o.utilisation() <= 0.0 && o.tipping < 0.0, "weight alone holds");
        recompute(&o);
        assert!(tipped(&loads, &[]).is_none());
    }

    fn tipped(loads: &[PointLoad], feet: &[Held]) -> Option<Overturning> {
        overturning(loads, feet, &ways_over(feet))
    }

    fn recompute(o: &Overturning) {
        let checks = o.working();
        assert_eq!(checks.len(), 1);
        assert_eq!(checks[0].utilisation.to_bits(), o.utilisation().to_bits());
        crate::rules::notation::recompute(&checks[0]);
    }

    /// Feet at 1 m along each axis, so the nearest edges lie at √½ m on the diagonals. 0.5 kN each way at 3 m height, 1 kN of weight:
    /// √½·3 − √½ = √2 kN·m about that edge; the two anchors behind it, 1 kN each, stand √2 m off: 2·√2, so a half of it.
    /// Whichever of the four diagonals it is pushed along, it tips along that one.
    #[test]
    fn it_tips_over_the_edge_that_it_is_pushed_towards() {
        let feet = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [-1.0, 0.0, 0.0], [0.0, -1.0, 0.0]];
        let feet = feet.map(|at| Held { at, uplift: 1000.0 });
        for (x, y, towards) in [(1.0, 1.0, 45.0), (-1.0, 1.0, 135.0), (-1.0, -1.0, 225.0), (1.0, -1.0, 315.0)]
        {
            let push = PointLoad { at: [0.0, 0.0, 3.0], force: [500.0 * x, 500.0 * y, 0.0] };
            let weight = PointLoad { at: [0.0, 0.0, 1.0], force: [0.0, 0.0, -1000.0] };
            let o = tipped(&[push, weight], &feet).unwrap();
            assert!((o.towards_deg - towards).abs() < 1e-9, "{o:?}");
            assert!((o.tipping - 2000.0 * 0.5_f64.sqrt()).abs() < 1e-9, "{o:?}");
            assert!((o.anchors - 2000.0 * 2.0_f64.sqrt()).abs() < 1e-9, "{o:?}");
            let loose = feet.map(|foot| Held { uplift: 0.0, ..foot });
            let o = tipped(&[push, weight], &loose).unwrap();
            assert!(
                o.utilisation().is_infinite() && (o.towards_deg - towards).abs() < 1e-9,
                "of all that fail {o:?}"
            );
            // Wherever it stands.
            let moved = |at: [f64; 3]| [at[0] + 5.0, at[1] - 3.0, at[2]];
            let loads = [push, weight].map(|load| PointLoad { at: moved(load.at), ..load });
            let there = tipped(&loads, &feet.map(|foot| Held { at: moved(foot.at), ..foot })).unwrap();
            assert!(
                (there.tipping - o.tipping).abs() < 1e-9
                    && (there.anchors - 2000.0 * 2.0_f64.sqrt()).abs() < 1e-9
            );
            // Nearer to that edge by its √½ m and beyond by as much again, the weight tips where it held.
            let beyond = PointLoad { at: [x, y, 1.0], ..weight };
            let o = tipped(&[push, beyond], &feet).unwrap();
            assert!((o.tipping - 4000.0 * 0.5_f64.sqrt()).abs() < 1e-9, "{o:?}");
        }
    }

    /// However a base is turned under its loads, the same share of the anchors is used, over the same edge: 3 by 2 m with a foot within it
    /// and one on an edge, 1 kN across the long side at 3 m, 1 kN of weight: 3 − 1 = 2 kN·m over 2·2 + 1 = 5, by the edge that it is pushed to.
    #[test]
    fn turning_the_whole_turns_the_answer() {
        let feet = [[1.5, 1.0], [-1.5, 1.0], [-1.5, -1.0], [1.5, -1.0], [0.2, 0.0], [0.0, 1.0]];
        for turn in [0.0_f64, 3.0, 7.5, 15.0, 37.0, 90.0, 211.3] {
            let (sin, cos) = turn.to_radians().sin_cos();
            let turned = |[x, y]: [f64; 2], z: f64| [x * cos - y * sin, x * sin + y * cos, z];
            let feet = feet.map(|at| Held { at: turned(at, 0.0), uplift: 1000.0 });
            let loads = [
                PointLoad { at: turned([0.0, 0.0], 3.0), force: turned([0.0, 1000.0], 0.0) },
                PointLoad { at: turned([0.0, 0.0], 1.0), force: [0.0, 0.0, -1000.0] },
            ];
            assert_eq!(ways_over(&feet).len(), 4, "{turn}");
            let o = tipped(&loads, &feet).unwrap();
            assert!((o.towards_deg - (90.0 + turn).rem_euclid(360.0)).abs() < 1e-9, "{turn}: {o:?}");
            assert!((o.tipping - 2000.0).abs() < 1e-6 && (o.anchors - 5000.0).abs() < 1e-6, "{turn}: {o:?}");
            // No way between the edges is worse.
            let every: Vec<f64> = (0..720).map(|k| 0.5 * f64::from(k)).collect();
            let between = overturning(&loads, &feet, &every).unwrap();
            assert!(between.utilisation() <= o.utilisation() * (1.0 + 1e-9), "{turn}: {between:?}");
        }
        // Feet in one line have no edges, and nothing holds them across it.
        let line = [-1.0, 0.0, 1.0].map(|x| Held { at: [x, 0.0, 0.0], uplift: 1000.0 });
        let push = PointLoad { at: [0.0, 0.0, 1.0], force: [0.0, 10.0, 0.0] };
        assert!(tipped(&[push], &line).unwrap().utilisation() > 1e6);
    }

    /// The share of what the anchors hold comes first, then the moment; what differs by rounding alone is no worse.
    #[test]
    fn the_worse_of_two_is_so_by_more_than_rounding() {
        let of = |tipping: f64, anchors: f64| Overturning { towards_deg: 0.0, tipping, anchors };
        let worse = |a: (f64, f64), b: (f64, f64)| of(a.0, a.1).worse_than(&of(b.0, b.1));
        // 1100 of 2000 N·m against 1000 of 2000; 900 of 1000 against 1100 of 2000.
        assert!(worse((1100.0, 2000.0), (1000.0, 2000.0)) && !worse((1000.0, 2000.0), (1100.0, 2000.0)));
        assert!(worse((900.0, 1000.0), (1100.0, 2000.0)) && !worse((1100.0, 2000.0), (900.0, 1000.0)));
        // Nothing holds: the greater moment.
        assert!(worse((1100.0, 0.0), (1000.0, 0.0)) && !worse((1000.0, 0.0), (1100.0, 0.0)));
        // Mirror images.
        for anchors in [2000.0, 0.0] {
            let (one, other) = ((1000.0, anchors), (1000.0 * (1.0 + 1e-12), anchors));
            assert!(!worse(one, one) && !worse(other, one) && !worse(one, other), "{anchors}");
        }
    }

    #[test]
    fn lifting_straight_up_counts_as_tipping() {
        let loads = [PointLoad { at: [0.0, 0.0, 1.0], force: [0.0, 0.0, 500.0] }];
        let o = tipped(&loads, &square(1000.0)).unwrap();
        assert!((o.tipping - 500.0).abs() < 1e-9 && o.utilisation() > 0.0);
    }

    #[test]
    fn the_uplift_table_adds_up() {
        let lifts = [("a", &[500.0, -200.0, 300.0][..]), ("b", &[-1.0, -2.0][..]), ("c", &[0.0, -1.0][..])];
        let rows = uplift_table(lifts);
        assert!((rows[0].net - 600.0).abs() < 1e-12 && rows[0].feet_lifting == 2);
        assert!((rows[0].lifting - rows[0].pressing - rows[0].net).abs() < 1e-12);
        assert_eq!(rows[0].greatest.unwrap().0, 0);
        assert!(rows[1].greatest.is_none() && rows[1].feet_lifting == 0);
        assert!(rows[2].greatest.is_none() && rows[2].feet_lifting == 0, "what only stands does not lift");
    }
}
