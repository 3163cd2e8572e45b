//! Sag under service loads, at once and with creep, and the ranges that EN 1995-1-1 gives for it.
//!
//! EN 1995-1-1 2.2.3: each action's final movement is `u_inst (1 + ψ_2 k_def)` for the leading one,
//! `u_inst (ψ_0 + ψ_2 k_def)` for the others, `u_inst (1 + k_def)` for permanent ones. Summed up that is the
//! movement of the characteristic combination plus `k_def` times that of the quasi-permanent one, as long as all
//! timbers share one `k_def`. The NDS (3.5.2, from memory, high) multiplies the long-term part by `K_cr`: 1.5 for
//! seasoned timber kept dry, 2.0 for unseasoned or wet.

use crate::loads::ask::Basis;
use crate::rules::members::Conditions;
use crate::rules::recorder::{Recorder, Silent};
use crate::rules::sheet::Sheet;
use crate::rules::{Check, Worst};
use crate::tables::Tables;
use crate::tables::grade::Grade;

/// What creep adds, as a share of the movement under the quasi-permanent loads.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Creep {
    /// `k_def`, or `K_cr` − 1.
    pub factor: f64,
    /// Clause.
    pub clause: &'static str,
}

/// Creep of a grade under conditions; `None` where its service class is not known.
#[must_use]
pub fn creep(grade: &Grade, conditions: &Conditions) -> Option<Creep> {
    match (conditions.basis, grade) {
        (Basis::Eurocode, Grade::Eurocode(g)) => Some(Creep {
            factor: Tables::built_in().k_def(g.material, conditions.service_class?)?,
            clause: "EN 1995-1-1 2.2.3 (2.2) to (2.5), Table 3.2",
        }),
        (_, Grade::Nds(_)) => {
            Some(Creep { factor: if conditions.wet { 1.0 } else { 0.5 }, clause: "NDS 3.5.2 (3.5-1)" })
        }
        (_, Grade::Eurocode(_)) => None,
    }
}

/// Final movement from that of the characteristic and of the quasi-permanent combination, same unit.
#[must_use]
pub fn final_movement(characteristic: f64, quasi_permanent: f64, creep: Creep) -> f64 {
    characteristic + creep.factor * quasi_permanent
}

/// Sag against a share of the span.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SagInput {
    /// Movement under the characteristic combination \[m\].
    pub characteristic: f64,
    /// Movement under the quasi-permanent combination \[m\].
    pub quasi_permanent: f64,
    /// Creep.
    pub creep: Creep,
    /// Span that the movement is measured against \[m\].
    pub span: f64,
    /// The limit is the span over this: the user's own, within the ranges of Table 7.2 or not.
    pub denominator: f64,
}

/// The final sag over its limit.
#[must_use]
pub fn worst(input: &SagInput) -> Worst {
    let mut silent = Silent::new();
    check(&mut silent, input);
    silent.worst().unwrap_or(Worst { utilisation: 0.0, rule: "sag", clause: "", place: 0 })
}

/// The final sag with its working.
#[must_use]
pub fn working(input: &SagInput) -> Vec<Check> {
    let mut sheet = Sheet::new();
    check(&mut sheet, input);
    sheet.into_checks()
}

fn check<R: Recorder>(r: &mut R, input: &SagInput) {
    let u =
        r.input("sag at once, characteristic combination", "u_inst", input.characteristic * 1e3, "mm", "");
    let q = r.input("sag, quasi-permanent combination", "u_qp", input.quasi_permanent * 1e3, "mm", "");
    let k = r.input("creep", "k_def", input.creep.factor, "–", input.creep.clause);
    let last = r.derived("final sag", "u_fin", "u_inst + k_def·u_qp", u + k * q, "mm", input.creep.clause);
    let l = r.input("span", "l", input.span * 1e3, "mm", "");
    let n = r.input("limit as a share of the span, one over", "n", input.denominator, "–", "EN 1995-1-1 7.2");
    let limit = r.derived("limit", "u_lim", "l / n", l / n, "mm", "EN 1995-1-1 7.2");
    let value = r.derived("utilisation", "η", "u_fin / u_lim", last / limit, "–", "EN 1995-1-1 7.2");
    r.close("final sag", "EN 1995-1-1 2.2.3, 7.2", value);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::loads::Duration;
    use crate::rules::notation::recompute;

    /// E9 of the project's Eurocode sheet: C24 47 × 145 over 2.4 m, g 0.3 and q 0.9 kN/m, bending only.
    #[test]
    fn e9_final_sag() {
        let c24 = Tables::built_in().grade("C24").unwrap();
        let i = 0.047 * 0.145_f64.powi(3) / 12.0;
        let beam = |w: f64| 5.0 * w * 2.4_f64.powi(4) / (384.0 * c24.elastic_mean() * i);
        let (g, q) = (beam(300.0), beam(900.0));
        assert!((i * 1e12 - 1.194e7).abs() < 1e4);
        assert!((g * 1e3 - 0.9867).abs() < 6e-4 && (q * 1e3 - 2.960).abs() < 2e-3);
        for (class, psi_2, printed) in [(2, 0.0, 4.736), (2, 0.2, 5.210), (3, 0.2, 7.104)] {
            let creep = creep(c24, &Conditions::eurocode(class, Duration::MediumTerm)).unwrap();
            let found = final_movement(g + q, g + psi_2 * q, creep) * 1e3;
            assert!((found - printed).abs() < 6e-4 * printed, "{found} for {printed}");
        }
        // Shear adds 1.2 w l² / (8 G A): 0.2205 mm of both loads together.
        let shear = 1.2 * 1200.0 * 2.4 * 2.4 / (8.0 * c24.shear_mean() * 0.047 * 0.145) * 1e3;
        assert!((shear - 0.2205).abs() < 6e-4);
    }

    #[test]
    fn the_working_is_the_check() {
        let input = SagInput {
            characteristic: 0.004,
            quasi_permanent: 0.0015,
            creep: Creep { factor: 2.0, clause: "EN 1995-1-1 Table 3.2" },
            span: 4.2,
            denominator: 250.0,
        };
        let checks = working(&input);
        recompute(&checks[0]);
        assert_eq!(checks[0].utilisation.to_bits(), worst(&input).utilisation.to_bits());
        assert!((worst(&input).utilisation - 0.007 / (4.2 / 250.0)).abs() < 1e-12);
    }

    #[test]
    fn creep_of_the_nds_goes_by_moisture() {
        let spf = Tables::built_in().grade("SPF No.2").unwrap();
        let of = |wet| creep(spf, &Conditions::nds(wet, Duration::LoadDurationFactor(1.0))).unwrap().factor;
        assert!((of(false) - 0.5).abs() < 1e-12 && (of(true) - 1.0).abs() < 1e-12);
    }
}
