//! Sag under service loads with creep.
//!
//! EN 1995-1-1 2.2.3: each action's final movement is `u_inst (1 + ψ_2 k_def)` for the leading one,
//! `u_inst (ψ_0 + ψ_2 k_def)` for the others, `u_inst (1 + k_def)` for permanent ones. Summed up that is the
//! movement of the characteristic combination plus `k_def` times that of the quasi-permanent one, as long as all
//! timbers share one `k_def`. The NDS (3.5.2, from memory, high) multiplies the long-term part by `K_cr`: 1.5 for
//! seasoned timber kept dry, 2.0 for unseasoned or wet.

use crate::loads::ask::Basis;
use crate::rules::members::Conditions;
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::loads::Duration;

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
    fn creep_of_the_nds_goes_by_moisture() {
        let spf = Tables::built_in().grade("SPF No.2").unwrap();
        let of = |wet| creep(spf, &Conditions::nds(wet, Duration::LoadDurationFactor(1.0))).unwrap().factor;
        assert!((of(false) - 0.5).abs() < 1e-12 && (of(true) - 1.0).abs() < 1e-12);
    }
}
