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

/// The worst of tipping towards `directions` (evenly spread, from x) for one combination. `None` without feet or
/// directions.
#[must_use]
pub fn overturning(loads: &[PointLoad], feet: &[Held], directions: usize) -> Option<Overturning> {
    if feet.is_empty() {
        return None;
    }
    let mut worst: Option<Overturning> = None;
    for i in 0..directions {
        let towards_deg = 360.0 * i as f64 / directions as f64;
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
        let o = overturning(&loads, &square(1000.0), 8).unwrap();
        assert!(o.towards_deg.abs() < 1e-9);
        assert!((o.tipping - 1000.0).abs() < 1e-9 && (o.anchors - 4000.0).abs() < 1e-9);
        assert!((o.utilisation() - 0.25).abs() < 1e-12);
        recompute(&o);
        let loose = overturning(&loads, &square(0.0), 8).unwrap();
        assert!(loose.utilisation().is_infinite(), "nothing holds it");
        let heavy = [loads[0], PointLoad { force: [0.0, 0.0, -4000.0], ..loads[1] }];
        let o = overturning(&heavy, &square(0.0), 8).unwrap();
        assert!(o.utilisation() <= 0.0 && o.tipping < 0.0, "weight alone holds");
        recompute(&o);
        assert!(overturning(&loads, &[], 8).is_none());
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
            let o = overturning(&[push, weight], &feet, 8).unwrap();
            assert!((o.towards_deg - towards).abs() < 1e-9, "{o:?}");
            assert!((o.tipping - 2000.0 * 0.5_f64.sqrt()).abs() < 1e-9, "{o:?}");
            assert!((o.anchors - 2000.0 * 2.0_f64.sqrt()).abs() < 1e-9, "{o:?}");
            let loose = feet.map(|foot| Held { uplift: 0.0, ..foot });
            let o = overturning(&[push, weight], &loose, 8).unwrap();
            assert!(
                o.utilisation().is_infinite() && (o.towards_deg - towards).abs() < 1e-9,
                "of all that fail {o:?}"
            );
            // Wherever it stands.
            let moved = |at: [f64; 3]| [at[0] + 5.0, at[1] - 3.0, at[2]];
            let loads = [push, weight].map(|load| PointLoad { at: moved(load.at), ..load });
            let there =
                overturning(&loads, &feet.map(|foot| Held { at: moved(foot.at), ..foot }), 8).unwrap();
            assert!(
                (there.tipping - o.tipping).abs() < 1e-9
                    && (there.anchors - 2000.0 * 2.0_f64.sqrt()).abs() < 1e-9
            );
            // Nearer to that edge by its √½ m and beyond by as much again, the weight tips where it held.
            let beyond = PointLoad { at: [x, y, 1.0], ..weight };
            let o = overturning(&[push, beyond], &feet, 8).unwrap();
            assert!((o.tipping - 4000.0 * 0.5_f64.sqrt()).abs() < 1e-9, "{o:?}");
        }
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
        let o = overturning(&loads, &square(1000.0), 4).unwrap();
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
