//! A timber that is checked for many sets of forces: what they share is worked out once, and most sets are told
//! by a bound to be milder than one that was seen before.
//!
//! The formulas are those of [`members::worst`], run by the same lines of code: so is the bound, which is what they say of
//! forces that are nowhere exceeded.

use crate::rules::members::{self, Fitting, MemberInput, RuleError};
use crate::rules::recorder::{Recorder, Silent};
use crate::rules::{Worst, eurocode5, nds};
use crate::section::forces::StripForces;

/// A timber under conditions, ready for forces.
#[derive(Debug, Clone, Copy)]
pub struct Prepared<'a> {
    input: MemberInput<'a>,
    shared: Shared,
}

#[derive(Debug, Clone, Copy)]
enum Shared {
    Eurocode(eurocode5::Common),
    Nds(nds::Common),
}

/// What forces at some places nowhere exceed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Envelope {
    /// Least and greatest axial force, 0 among them \[N\].
    pub n: [f64; 2],
    /// Greatest size of the shears along y and z \[N\], and of torsion, moment about y and about z \[N·m\].
    pub sizes: [f64; 5],
    /// Sum of the sizes of all of them, which is no number where one of them is none.
    pub total: f64,
}

/// What rounding may put between a bound and what it holds: far more than it does.
pub(super) const ROUNDING: f64 = 1.0 + 1e-9;

impl<'a> Prepared<'a> {
    /// Works out what does not depend on the forces; those of `input` are not looked at.
    ///
    /// # Errors
    /// As [`members::worst`].
    pub fn new(input: &MemberInput<'a>) -> Result<Self, RuleError> {
        let input = MemberInput { forces: &[], places: &[], ..*input };
        let r = &mut Silent::new();
        let shared = match members::fitting(&input)? {
            Fitting::Eurocode(grade) => Shared::Eurocode(eurocode5::prepare(r, &input, grade, true)?),
            Fitting::Nds(grade) => Shared::Nds(nds::prepare(r, &input, grade, true)?),
        };
        Ok(Self { input, shared })
    }

    fn place(&self, r: &mut Silent, forces: &StripForces) {
        match &self.shared {
            Shared::Eurocode(common) => eurocode5::place(r, &self.input, forces, common),
            Shared::Nds(common) => nds::place(r, &self.input, forces, common),
        }
    }

    /// The worst check over all places: to the last bit that of [`members::worst`].
    #[must_use]
    pub fn worst(&self, forces: &[StripForces]) -> Worst {
        let mut silent = Silent::new();
        for (at, forces) in forces.iter().enumerate() {
            silent.at(at);
            self.place(&mut silent, forces);
        }
        members::worst_of(&silent)
    }

    /// A utilisation that no place within the envelope exceeds.
    ///
    /// Every formula grows with the size of each force, once the sign of the axial force is settled; where tension
    /// takes from what bending asks it is the place without axial force that bounds it. An edge that the cover holds
    /// only on one side is taken as the other one.
    #[must_use]
    pub fn at_most(&self, envelope: &Envelope) -> f64 {
        let [vy, vz, t, my, mz] = envelope.sizes;
        let [pushed, pulled] = envelope.n;
        if !envelope.total.is_finite() {
            return f64::INFINITY;
        }
        let forces = StripForces { n: 0.0, vy, vz, t, my, mz };
        let mut silent = Silent::new();
        // By the Eurocode tension only adds to what bending asks.
        if pulled == 0.0 || matches!(self.shared, Shared::Nds(_)) {
            self.place(&mut silent, &forces);
        }
        for n in [pushed, pulled] {
            if n != 0.0 {
                self.place(&mut silent, &StripForces { n, ..forces });
            }
        }
        members::worst_of(&silent).utilisation * ROUNDING
    }
}

impl Envelope {
    /// Of nothing.
    pub const NOTHING: Self = Self { n: [0.0; 2], sizes: [0.0; 5], total: 0.0 };

    /// Takes another set of forces in: N, Vy, Vz, T, My, Mz.
    pub fn take(&mut self, forces: &[f64; 6]) {
        let larger = |a: f64, b: f64| if b > a { b } else { a };
        let [n, others @ ..] = forces;
        self.n = [-larger(-self.n[0], -n), larger(self.n[1], *n)];
        let mut total = n.abs();
        for (size, other) in self.sizes.iter_mut().zip(others) {
            *size = larger(*size, other.abs());
            total += other.abs();
        }
        self.total += total;
    }

    /// Takes all of another envelope in.
    pub fn join(&mut self, other: &Self) {
        self.n = [self.n[0].min(other.n[0]), self.n[1].max(other.n[1])];
        for (size, other) in self.sizes.iter_mut().zip(&other.sizes) {
            *size = size.max(*other);
        }
        self.total += other.total;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::loads::Duration;
    use crate::rules::members::{Conditions, Hole, Restraint, SideHold};
    use crate::section::strip::strip;
    use crate::tables::Tables;
    use proptest::prelude::{any, prop_assert, prop_assert_eq, proptest};
    use proptest::sample::select;

    proptest! {
        /// What is prepared says the same to the last bit, and nothing exceeds the bound.
        #[test]
        fn prepared_says_the_same_and_the_bound_holds(
            us in any::<bool>(),
            holed in any::<bool>(),
            side in select(vec![SideHold::None, SideHold::OutsideFace, SideHold::BothFaces]),
            fold in select(vec![0.0, 0.4, -0.3]),
            length in 0.3_f64..3.0,
            size in select(vec![0.01, 1.0, 30.0, 300.0]),
            places in proptest::collection::vec(proptest::collection::vec(-1.0_f64..1.0, 6), 1..9),
            flat in any::<[bool; 6]>(),
        ) {
            let name = if us { "SPF No.1/No.2" } else { "C24" };
            let grade = Tables::built_in().grade(name).unwrap().clone();
            let (b, d) = if us { (0.038, 0.089) } else { (0.047, 0.095) };
            let conditions = if us {
                Conditions::nds(false, Duration::LoadDurationFactor(1.15))
            } else {
                Conditions::eurocode(2, Duration::ShortTerm)
            };
            let forces: Vec<StripForces> = places
                .iter()
                .map(|p| {
                    let f: Vec<f64> = (0..6).map(|k| if flat[k] { 0.0 } else { p[k] * size }).collect();
                    StripForces { n: 40.0 * f[0], vy: 5.0 * f[1], vz: 5.0 * f[2], t: 0.1 * f[3], my: f[4], mz: f[5] }
                })
                .collect();
            let input = MemberInput {
                section: strip(b, d, fold, fold != 0.0).unwrap(),
                length,
                grade: &grade,
                conditions,
                restraint: Restraint { side, ..Restraint::default() },
                hole: holed.then_some(Hole { diameter: 0.009, off: 0.004 }),
                forces: &forces,
                places: &[],
            };
            let prepared = Prepared::new(&input).unwrap();
            let worst = members::worst(&input).unwrap();
            let again = prepared.worst(&forces);
            prop_assert_eq!(worst, again);
            prop_assert_eq!(worst.utilisation.to_bits(), again.utilisation.to_bits());
            let mut envelope = Envelope::NOTHING;
            for f in &forces {
                envelope.take(&[f.n, f.vy, f.vz, f.t, f.my, f.mz]);
            }
            let bound = prepared.at_most(&envelope);
            prop_assert!(bound >= worst.utilisation, "{} above {bound}: {}", worst.utilisation, worst.rule);
        }
    }

    /// Of one place the bound is that place: were it looser, nothing would be passed over. No number has no bound.
    #[test]
    fn the_bound_of_one_place_is_what_the_place_says() {
        let grade = Tables::built_in().grade("C24").unwrap();
        let forces = [StripForces { n: -900.0, vy: 60.0, vz: -80.0, t: 2.0, my: 90.0, mz: -20.0 }];
        let input = MemberInput {
            section: strip(0.047, 0.095, 0.0, false).unwrap(),
            length: 1.2,
            grade,
            conditions: Conditions::eurocode(2, Duration::ShortTerm),
            restraint: Restraint::default(),
            hole: None,
            forces: &forces,
            places: &[],
        };
        let prepared = Prepared::new(&input).unwrap();
        let mut envelope = Envelope::NOTHING;
        envelope.take(&[-900.0, 60.0, -80.0, 2.0, 90.0, -20.0]);
        let worst = members::worst(&input).unwrap().utilisation;
        assert!(worst > 0.1 && (prepared.at_most(&envelope) / worst - ROUNDING).abs() < 1e-12);
        envelope.take(&[f64::NAN, 0.0, 0.0, 0.0, 0.0, 0.0]);
        assert!(prepared.at_most(&envelope).is_infinite());
    }

    #[test]
    fn two_envelopes_joined_are_that_of_all_their_forces() {
        let forces = [
            [-5.0, 1.0, -7.0, 0.0, 3.0, 2.0],
            [4.0, -2.0, 1.0, 6.0, -1.0, 0.0],
            [9.0, 0.0, 0.0, -1.0, -8.0, 1.0],
        ];
        let of = |forces: &[[f64; 6]]| {
            let mut envelope = Envelope::NOTHING;
            forces.iter().for_each(|force| envelope.take(force));
            envelope
        };
        for cut in 0..=forces.len() {
            let (some, rest) = forces.split_at(cut);
            let mut joined = of(some);
            joined.join(&of(rest));
            assert_eq!(joined, Envelope { n: [-5.0, 9.0], sizes: [2.0, 7.0, 6.0, 8.0, 2.0], total: 51.0 });
        }
        let mut joined = of(&forces);
        joined.join(&of(&[[f64::INFINITY, 0.0, 0.0, 0.0, 0.0, 0.0]]));
        assert!(joined.total.is_infinite() && joined.n[1].is_infinite());
    }

    #[test]
    fn no_number_is_no_bound() {
        let mut envelope = Envelope::NOTHING;
        envelope.take(&[1.0, 1.0, 1.0, f64::NAN, 1.0, 1.0]);
        envelope.take(&[2.0; 6]);
        assert!(!envelope.total.is_finite());
        assert_eq!((envelope.n, envelope.sizes), ([0.0, 2.0], [2.0; 5]));
    }
}
