//! What the fixings of a seam are worked by at most, from what each part of the demand alone asks of them.
//!
//! Every check grows in step with the demand. Forces in one direction add up; those at right angles make a root of squares, and
//! pull and shear together ask no more than that of what each asks: by the Eurocode (8.28) just that, and by the NDS, (V²/Z + T²/W) over
//! √(V² + T²), no more (Cauchy). The pull of a corner across its mitre is a check by itself. Only the resistance to shear
//! turns with the force; the bound takes it where it is least. So most combinations of a seam can be told apart from
//! the worst without working their checks.

use crate::rules::prepared::ROUNDING;
use crate::rules::recorder::Silent;
use crate::rules::seams::{Laid, SeamBasis, SeamDemand};
use crate::rules::spacing::Shear;

/// Utilisation by each part of a demand, no less than it is in any direction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SeamBound {
    /// Of distances that may not fit, and of nothing that holds.
    room: f64,
    /// Of 1 N·m of turning moment, and 1 N of each of the others, in the order of [`SeamDemand`].
    slopes: [f64; 8],
}

impl SeamBound {
    /// Of a seam, whatever its demand.
    #[must_use]
    pub fn new(laid: &Laid, basis: SeamBasis) -> Self {
        if laid.nothing_holds() {
            return Self { room: f64::INFINITY, slopes: [0.0; 8] };
        }
        // Edges are wanted widest across the grain, ends by a pull along it.
        let mut distances = Silent::new();
        laid.distances(&mut distances, Shear { angle_deg: 90.0, any: true, pulled: true });
        // A row counts for least along the grain (Eurocode), the yield of the steel across it (NDS).
        let row_deg = match basis {
            SeamBasis::Eurocode { .. } => 0.0,
            SeamBasis::Nds(_) => 90.0,
        };
        let slope = |demand: SeamDemand, angle_deg: f64| {
            let mut silent = Silent::new();
            laid.resistances(&mut silent, demand, [angle_deg, row_deg]);
            silent.worst().map_or(0.0, |worst| worst.utilisation)
        };
        let none = SeamDemand::default();
        let along = SeamDemand { along: 1.0, ..none };
        // Wood bears least along the grain or across it, and between the two in between.
        let [with, across] = [0.0, 90.0].map(|angle| slope(along, angle));
        let weakest = if with > across { 0.0 } else { 90.0 };
        let end_along = SeamDemand { end_along: 1.0, ..none };
        Self {
            room: distances.worst().map_or(0.0, |worst| worst.utilisation),
            slopes: [
                slope(SeamDemand { moment: 1.0, ..none }, weakest),
                slope(SeamDemand { opening: 1.0, ..none }, weakest),
                with.max(across),
                slope(SeamDemand { through: 1.0, ..none }, weakest),
                slope(SeamDemand { end_opening: 1.0, ..none }, weakest),
                slope(end_along, 0.0).max(slope(end_along, 90.0)),
                slope(SeamDemand { end_through: 1.0, ..none }, weakest),
                slope(SeamDemand { mitre: 1.0, ..none }, weakest),
            ],
        }
    }

    /// A utilisation that [`Laid::worst`] does not exceed under this demand.
    #[must_use]
    pub fn at_most(&self, demand: &SeamDemand) -> f64 {
        let parts = [
            demand.moment.abs(),
            demand.opening.max(0.0),
            demand.along.abs(),
            demand.through.abs(),
            demand.end_opening.max(0.0),
            demand.end_along.abs(),
            demand.end_through.abs(),
            demand.mitre.max(0.0),
        ];
        // What asks for nothing needs no resistance, not even where there is none.
        let part = |k: usize| if parts[k] == 0.0 { 0.0 } else { self.slopes[k] * parts[k] };
        let pull = part(0) + part(1) + part(4);
        let (along, through) = (part(2) + part(5), part(3) + part(6));
        // Asked for each combination of each seam, and far from the ends of the range.
        #[allow(
            clippy::imprecise_flops,
            reason = "a hypotenuse by the library takes a tenth of the fixings' time"
        )]
        let together = (pull * pull + along * along + through * through).sqrt();
        let sum = together.max(part(7));
        if sum.is_finite() { self.room.max(sum * ROUNDING) } else { f64::INFINITY }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::ask::{FixingKind, FixingsAsk};
    use crate::rules::fasteners::nds::{Format, Service};
    use crate::rules::fasteners::{JointTimber, WoodKind};
    use crate::rules::seams::{self, SeamInput};
    use crate::rules::spacing::Strip;
    use crate::units::{INCH, PSI};
    use proptest::prelude::{any, prop_assert, proptest};
    use proptest::sample::select;

    fn bound_of(input: &SeamInput) -> SeamBound {
        SeamBound::new(&Laid::new(input), input.basis)
    }

    proptest! {
        #![proptest_config(proptest::prelude::ProptestConfig::with_cases(2000))]
        /// Nothing exceeds the bound: of any kind of fixing, by either standard, in any direction.
        #[test]
        fn the_bound_holds(
            us in any::<bool>(),
            hardwood in any::<bool>(),
            kind in select(vec![FixingKind::Bolt, FixingKind::CoachScrew, FixingKind::Screw]),
            diameter in select(vec![0.0045, 0.006, 0.008, 0.01, 0.012]),
            per_seam in 1_usize..6,
            sides in (0.038_f64..0.1, 0.089_f64..0.2, 0.8_f64..3.0),
            corner in select(vec![None, Some(50.0), Some(3000.0)]),
            predrilled in any::<bool>(),
            parts in proptest::collection::vec(-1.0_f64..1.0, 8),
            flat in any::<[bool; 8]>(),
            size in select(vec![0.1, 10.0, 1000.0]),
        ) {
            let (breadth, depth, length) = sides;
            let wood = if hardwood { WoodKind::Hardwood } else { WoodKind::Softwood };
            let strip = Strip { count: 2, corner: 1.1, breadth, depth, fold: 0.2, bevelled: true, length, wood, density_k: 350.0 };
            let timber = JointTimber {
                wood,
                density_k: 350.0,
                compression_across: 2.5e6,
                specific_gravity: 0.42,
                elastic: 11e9,
                elastic_across: 370e6,
                glued: false,
            };
            let diameter = if us { INCH * 0.25 * (diameter / 0.006) } else { diameter };
            let fixings = FixingsAsk {
                corner_pull: corner,
                predrilled,
                withdrawal: (kind == FixingKind::Screw).then_some(12e6),
                head: Some(2.0 * diameter),
                ..FixingsAsk::new(kind, diameter, per_seam, 0.5 * depth)
            };
            let basis = if us {
                let format = if hardwood { Format::Asd { duration: 1.15 } } else { Format::Lrfd { time_effect: 0.8 } };
                SeamBasis::Nds(Service { format, wet: false, made_wet: false, temperature_f: 70.0 })
            } else {
                SeamBasis::Eurocode { k_mod: 0.9, gamma_m: 1.3 }
            };
            let part = |k: usize| if flat[k] { 0.0 } else { size * parts[k] };
            let demand = SeamDemand {
                moment: 0.1 * part(0),
                opening: part(1),
                along: part(2),
                through: part(3),
                end_opening: part(4),
                end_along: part(5),
                end_through: part(6),
                mitre: part(7),
            };
            let input =
                SeamInput { strip, corner: 1.1, fixings, timber, shear_strength: us.then_some(180.0 * PSI), basis, demand };
            let worst = seams::worst_seam(&input);
            let bound = bound_of(&input).at_most(&demand);
            prop_assert!(bound >= worst.utilisation, "{} above {bound}: {}", worst.utilisation, worst.rule);
        }
    }

    /// A bound is of use only where it is close: of one part alone that acts in one direction it is the utilisation itself, and
    /// it grows in step with the demand.
    #[test]
    fn of_one_part_alone_the_bound_is_the_utilisation() {
        let strip = Strip {
            count: 2,
            corner: 1.1,
            breadth: 0.047,
            depth: 0.12,
            fold: 0.2,
            bevelled: true,
            length: 1.5,
            wood: WoodKind::Softwood,
            density_k: 350.0,
        };
        let timber = JointTimber {
            wood: WoodKind::Softwood,
            density_k: 350.0,
            compression_across: 2.5e6,
            specific_gravity: 0.42,
            elastic: 11e9,
            elastic_across: 370e6,
            glued: false,
        };
        let none = SeamDemand::default();
        let input = SeamInput {
            strip,
            corner: 1.1,
            fixings: FixingsAsk::new(FixingKind::Bolt, 0.008, 3, 0.06),
            timber,
            shear_strength: None,
            basis: SeamBasis::Eurocode { k_mod: 0.9, gamma_m: 1.3 },
            demand: none,
        };
        let bound = bound_of(&input);
        assert!(bound.at_most(&none) <= 0.0, "every distance is kept, and nothing is asked");
        for demand in [
            SeamDemand { moment: 70.0, ..none },
            SeamDemand { opening: 900.0, ..none },
            SeamDemand { end_opening: 300.0, ..none },
        ] {
            let worst = seams::worst_seam(&SeamInput { demand, ..input }).utilisation;
            let most = bound.at_most(&demand);
            assert!(worst > 0.05 && (most - worst * ROUNDING).abs() < 1e-9 * worst, "{most} {worst}");
        }
        let all = SeamDemand {
            moment: 70.0,
            opening: 900.0,
            along: 300.0,
            through: 200.0,
            end_opening: 100.0,
            end_along: 500.0,
            end_through: 50.0,
            mitre: 80.0,
        };
        let twice = SeamDemand {
            moment: 140.0,
            opening: 1800.0,
            along: 600.0,
            through: 400.0,
            end_opening: 200.0,
            end_along: 1000.0,
            end_through: 100.0,
            mitre: 160.0,
        };
        let (once, twice) = (bound.at_most(&all), bound.at_most(&twice));
        assert!((twice - 2.0 * once).abs() < 1e-9 * once, "{once} {twice}");
        // Sixty in a row stand too near each other: that is its least whatever is asked.
        let crowded = SeamInput { fixings: FixingsAsk { per_seam: 60, ..input.fixings }, ..input };
        assert!(bound_of(&crowded).at_most(&none) > 1.0);
    }
}
