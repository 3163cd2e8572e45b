//! A timber bearing on a pad or a sill: across the grain, or at an angle to it.
//!
//! Eurocode in newtons and millimetres (6.1.5, 6.2.2), NDS in pounds and inches (3.10). Clauses from
//! memory, high.

use crate::loads::ask::Basis;
use crate::rules::eurocode5;
use crate::rules::members::{Conditions, MemberInput, Restraint, RuleError};
use crate::rules::nds;
use crate::rules::recorder::{Recorder, Silent};
use crate::rules::sheet::Sheet;
use crate::rules::{Check, Worst};
use crate::section::Section;
use crate::tables::grade::{EurocodeGrade, Grade, Material};
use crate::tables::nds::NdsGrade;
use crate::units::{INCH, POUND_FORCE, PSI, degrees};

/// How the bearing is supported; raises the strength across the grain (EN 1995-1-1 6.1.5(3), (4)).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Support {
    /// Nothing known: `k_c,90` = 1.
    #[default]
    Unknown,
    /// A sill on a continuous support, at least two depths from the next load.
    Continuous,
    /// A discrete support, at least two depths from the next load.
    Discrete,
}

/// One bearing.
#[derive(Debug, Clone, Copy)]
pub struct BearingInput<'a> {
    /// Section of the timber that is borne on; its breadth is the width of the contact.
    pub section: Section,
    /// Its grade.
    pub grade: &'a Grade,
    /// Surroundings and choices.
    pub conditions: Conditions,
    /// Force, pressing \[N\].
    pub force: f64,
    /// Length of contact along the grain \[m\].
    pub contact: f64,
    /// From the contact to the timber's nearer end \[m\]; 0 at the end.
    pub to_end: f64,
    /// Angle of the force to the grain \[rad\]: π/2 is across it.
    pub angle: f64,
    /// Support.
    pub support: Support,
}

/// The utilisation.
///
/// # Errors
/// [`RuleError`] where the grade, the conditions and the size do not go together.
pub fn worst(input: &BearingInput<'_>) -> Result<Worst, RuleError> {
    let mut silent = Silent::new();
    check(&mut silent, input)?;
    Ok(silent.worst().unwrap_or(Worst { utilisation: 0.0, rule: "bearing", clause: "", place: 0 }))
}

/// The check with its working.
///
/// # Errors
/// As [`worst`].
pub fn working(input: &BearingInput<'_>) -> Result<Vec<Check>, RuleError> {
    let mut sheet = Sheet::new();
    check(&mut sheet, input)?;
    Ok(sheet.into_checks())
}

/// Writes the check into a recorder, so that the rules of the feet can use it.
///
/// # Errors
/// As [`worst`].
pub fn check<R: Recorder>(r: &mut R, input: &BearingInput<'_>) -> Result<(), RuleError> {
    if !(input.contact.is_finite() && input.contact > 0.0) {
        return Err(RuleError::Value { what: "the length of a bearing", value: input.contact });
    }
    // Only the conditions and the size matter to the look-up of the factors.
    let member = MemberInput {
        section: input.section,
        length: 1.0,
        grade: input.grade,
        conditions: input.conditions,
        restraint: Restraint::default(),
        hole: None,
        forces: &[],
        places: &[],
    };
    crate::rules::members::acceptable(&member)?;
    match (input.conditions.basis, input.grade) {
        (Basis::Eurocode, Grade::Eurocode(grade)) => eurocode(r, input, &member, grade),
        (_, Grade::Nds(grade)) => american(r, input, &member, grade),
        // `acceptable` has refused the rest.
        (_, Grade::Eurocode(_)) => Ok(()),
    }
}

fn eurocode<R: Recorder>(
    r: &mut R,
    input: &BearingInput<'_>,
    member: &MemberInput<'_>,
    grade: &EurocodeGrade,
) -> Result<(), RuleError> {
    let (k_mod, gamma_m) = eurocode5::modification(member, grade)?;
    let b = r.input("breadth of the contact", "b", input.section.breadth * 1e3, "mm", "");
    let l = r.input("length of the contact along the grain", "l_c", input.contact * 1e3, "mm", "");
    let a = r.input("from the contact to the timber's end", "a_1", input.to_end.max(0.0) * 1e3, "mm", "");
    let force = r.input("pressing force", "F_c,d", input.force.max(0.0), "N", "");
    let k_mod = r.input("load duration and moisture", "k_mod", k_mod, "–", "3.1.3, Table 3.1");
    let gamma_m = r.input("partial factor of the material", "γ_M", gamma_m, "–", "2.4.1, Table 2.3");
    let f90 = r.input("compression across the grain", "f_c,90,k", grade.f_c_90_k * 1e-6, "N/mm²", "");
    let f0 = r.input("compression along the grain", "f_c,0,k", grade.f_c_0_k * 1e-6, "N/mm²", "");
    let k_c90 = match (grade.material, input.support) {
        (_, Support::Unknown) | (Material::Hardwood | Material::Lvl, _) => 1.0,
        (Material::Softwood, Support::Continuous) => 1.25,
        (Material::Softwood, Support::Discrete) => 1.5,
        (Material::Glulam, Support::Continuous) => 1.5,
        (Material::Glulam, Support::Discrete) => {
            if input.contact <= 0.4 {
                1.75
            } else {
                1.0
            }
        }
    };
    let k_c90 = r.input("support", "k_c,90", k_c90, "–", "6.1.5(2) to (4)");
    let f90d = k_mod * f90 / gamma_m;
    let f90d = r.derived(
        "design strength across",
        "f_c,90,d",
        "k_mod·f_c,90,k / γ_M",
        f90d,
        "N/mm²",
        "2.4.1 (2.14)",
    );
    let f0d = k_mod * f0 / gamma_m;
    let f0d =
        r.derived("design strength along", "f_c,0,d", "k_mod·f_c,0,k / γ_M", f0d, "N/mm²", "2.4.1 (2.14)");
    let angle = degrees(input.angle);
    let angle = r.input("angle of the force to the grain", "α", angle, "°", "");
    let (sin, cos) = (angle.to_radians().sin(), angle.to_radians().cos());
    if (angle - 90.0).abs() < 1e-9 {
        // 30 mm each way, but not past the end, nor more than the contact itself (6.1.5(1)).
        let more = 30.0_f64.min(a).min(l) + 30.0_f64.min(l);
        let formula = "l_c + min(30; a_1; l_c) + min(30; l_c)";
        let l_ef = r.derived("length that carries", "l_ef", formula, l + more, "mm", "6.1.5(1)");
        let stress =
            r.derived("stress", "σ_c,90,d", "F_c,d / (b·l_ef)", force / (b * l_ef), "N/mm²", "6.1.5 (6.4)");
        let clause = "EN 1995-1-1 6.1.5 (6.3)";
        let u = stress / (k_c90 * f90d);
        let u = r.derived("utilisation", "η", "σ_c,90,d / (k_c,90·f_c,90,d)", u, "–", clause);
        r.close("bearing across the grain", clause, u);
    } else {
        let stress = r.derived("stress", "σ_c,α,d", "F_c,d / (b·l_c)", force / (b * l), "N/mm²", "6.2.2");
        let strength = f0d / (f0d / (k_c90 * f90d) * sin * sin + cos * cos);
        let formula = "f_c,0,d / (f_c,0,d / (k_c,90·f_c,90,d)·sin(α)^2 + cos(α)^2)";
        let strength =
            r.derived("strength at that angle", "f_c,α,d", formula, strength, "N/mm²", "6.2.2 (6.16)");
        let clause = "EN 1995-1-1 6.2.2 (6.16)";
        let u = r.derived("utilisation", "η", "σ_c,α,d / f_c,α,d", stress / strength, "–", clause);
        r.close("bearing at an angle to the grain", clause, u);
    }
    Ok(())
}

fn american<R: Recorder>(
    r: &mut R,
    input: &BearingInput<'_>,
    member: &MemberInput<'_>,
    grade: &NdsGrade,
) -> Result<(), RuleError> {
    let a = nds::adjust(member, grade)?;
    let b = r.input("breadth of the contact", "b", input.section.breadth / INCH, "in", "");
    let l = r.input("length of the contact along the grain", "l_b", input.contact / INCH, "in", "");
    let to_end = r.input("from the contact to the timber's end", "a_1", input.to_end / INCH, "in", "");
    let force = r.input("pressing force", "P", input.force.max(0.0) / POUND_FORCE, "lb", "");
    let across = r.input("compression across the grain", "F_c⊥", a.values.f_c_perp / PSI, "psi", "");
    r.input("wet service, moisture", "C_M,⊥", a.wet.f_c_perp, "–", "NDS Supplement, wet service");
    r.input("temperature", "C_t", a.heat.f_c_perp, "–", "NDS Table 2.3.3");
    r.input("incising", "C_i,⊥", a.incised.f_c_perp, "–", "NDS Table 4.3.8");
    let long = l >= 6.0 || to_end < 3.0;
    let c_b = if long { 1.0 } else { (l + 0.375) / l };
    let formula = if long { "1" } else { "(l_b + 0.375) / l_b" };
    let c_b = r.derived("bearing area", "C_b", formula, c_b, "–", "NDS 3.10.4 (3.10-2)");
    let common = across * a.wet.f_c_perp * a.heat.f_c_perp * a.incised.f_c_perp * c_b;
    // No C_D and no λ across the grain.
    let across = if a.lrfd {
        r.input("format conversion", "K_F,⊥", a.k_f.f_c_perp, "–", "NDS Table 2.3.5");
        r.input("resistance factor", "φ_⊥", a.phi.f_c_perp, "–", "NDS Table 2.3.6");
        let formula = "F_c⊥·C_M,⊥·C_t·C_i,⊥·C_b·K_F,⊥·φ_⊥";
        let value = common * a.k_f.f_c_perp * a.phi.f_c_perp;
        r.derived("adjusted strength across", "F_c⊥′", formula, value, "psi", "NDS Table 4.3.1")
    } else {
        let formula = "F_c⊥·C_M,⊥·C_t·C_i,⊥·C_b";
        r.derived("adjusted strength across", "F_c⊥′", formula, common, "psi", "NDS Table 4.3.1")
    };
    let stress = r.derived("stress", "f_c⊥", "P / (b·l_b)", force / (b * l), "psi", "NDS 3.10.2");
    let angle = r.input("angle of the force to the grain", "θ", degrees(input.angle), "°", "");
    if (angle - 90.0).abs() < 1e-9 {
        let clause = "NDS 3.10.2";
        let u = r.derived("utilisation", "η", "f_c⊥ / F_c⊥′", stress / across, "–", clause);
        r.close("bearing across the grain", clause, u);
        return Ok(());
    }
    let (sin, cos) = (angle.to_radians().sin(), angle.to_radians().cos());
    let along = a.values.f_c / PSI * a.wet.f_c * a.heat.f_c * a.size.compression * a.incised.f_c * a.time;
    let along = if a.lrfd { along * a.k_f.f_c * a.phi.f_c } else { along };
    let words = "compression along the grain, all factors but column stability";
    let along = r.input(words, "F_c*", along, "psi", "NDS Table 4.3.1");
    let strength = along * across / (along * sin * sin + across * cos * cos);
    let formula = "F_c*·F_c⊥′ / (F_c*·sin(θ)^2 + F_c⊥′·cos(θ)^2)";
    let strength =
        r.derived("strength at that angle", "F_θ′", formula, strength, "psi", "NDS 3.10.3 (3.10-1)");
    let clause = "NDS 3.10.3 (3.10-1)";
    let u = r.derived("utilisation", "η", "f_c⊥ / F_θ′", stress / strength, "–", clause);
    r.close("bearing at an angle to the grain", clause, u);
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::loads::Duration;
    use crate::rules::notation::recompute;
    use crate::section::strip::strip;
    use crate::tables::Tables;

    fn input(grade: &Grade, conditions: Conditions) -> BearingInput<'_> {
        BearingInput {
            section: strip(0.047, 0.095, 0.0, false).unwrap(),
            grade,
            conditions,
            force: 10_880.0,
            contact: 0.047,
            to_end: 0.5,
            angle: std::f64::consts::FRAC_PI_2,
            support: Support::Continuous,
        }
    }

    fn one(input: &BearingInput<'_>) -> Check {
        let checks = working(input).unwrap();
        recompute(&checks[0]);
        assert_eq!(worst(input).unwrap().utilisation.to_bits(), checks[0].utilisation.to_bits());
        checks[0].clone()
    }

    /// E23 of the project's Eurocode sheet: 47 × 47 on a plate, contact 107 long, 10.88 kN.
    #[test]
    fn e23_bearing_on_a_plate() {
        let c24 = Tables::built_in().grade("C24").unwrap();
        let usual = input(c24, Conditions::eurocode(2, Duration::ShortTerm));
        assert!((one(&usual).utilisation - 1.0).abs() < 6e-4);
        // At the very end only one side spreads: 77 of 107 mm.
        let at_end = one(&BearingInput { to_end: 0.0, ..usual });
        assert!((at_end.utilisation - 107.0 / 77.0).abs() < 1e-3);
    }

    /// E23: 14.54, 9.720, 5.101, 3.093, 2.220 N/mm² at 0 to 60 degrees, `k_c,90` = 1.
    #[test]
    fn e23_strength_at_an_angle() {
        let c24 = Tables::built_in().grade("C24").unwrap();
        for (deg, printed) in [(0.0, 14.54), (15.0, 9.720), (30.0, 5.101), (45.0, 3.093), (60.0, 2.220)] {
            let check = one(&BearingInput {
                angle: f64::to_radians(deg),
                support: Support::Unknown,
                ..input(c24, Conditions::eurocode(2, Duration::ShortTerm))
            });
            let strength = check.steps.iter().find(|s| s.symbol == "f_c,α,d").unwrap().value;
            assert!((strength - printed).abs() <= 6e-4 * printed, "{deg}: {strength}");
        }
    }

    /// Example 1 of the project's US sheet, published: a 2x4 stud on its plate, 231.6 psi, bearing area factor 1.25: 0.4575 with Hem-Fir
    /// (printed 0.46), 0.2965 with Douglas Fir-Larch (printed 0.30). No `C_D` enters.
    #[test]
    fn example_1_plate_bearing() {
        for (name, ratio) in [("HF No.2", 0.4575), ("DF-L No.2", 0.2965)] {
            let grade = Tables::built_in().grade(name).unwrap();
            for c_d in [1.0, 1.6] {
                let check = one(&BearingInput {
                    section: strip(3.5 * INCH, 1.5 * INCH, 0.0, false).unwrap(),
                    force: 1216.0 * POUND_FORCE,
                    contact: 1.5 * INCH,
                    ..input(grade, Conditions::nds(false, Duration::LoadDurationFactor(c_d)))
                });
                assert!((check.utilisation - ratio).abs() < 6e-4 * ratio, "{}", check.utilisation);
            }
        }
    }

    /// NDS 3.10.4: a bearing "not nearer than 3 in" to the end has the bearing area factor; (1.5 + 0.375)/1.5 = 1.25.
    #[test]
    fn the_bearing_area_factor_begins_three_inches_from_the_end() {
        let grade = Tables::built_in().grade("HF No.2").unwrap();
        let at = |inches: f64| {
            one(&BearingInput {
                section: strip(3.5 * INCH, 1.5 * INCH, 0.0, false).unwrap(),
                contact: 1.5 * INCH,
                to_end: inches * INCH,
                ..input(grade, Conditions::nds(false, Duration::LoadDurationFactor(1.0)))
            })
            .utilisation
        };
        assert!((at(2.99) / at(3.01) - 1.25).abs() < 1e-9 && (at(0.0) / at(12.0) - 1.25).abs() < 1e-9);
    }
    /// Nothing bears on no length, and no number comes of one that is none; a breadth is refused with the timber.
    #[test]
    fn a_bearing_without_a_size_is_refused() {
        let (eurocode, us) =
            (Tables::built_in().grade("C24").unwrap(), Tables::built_in().grade("DF-L No.2").unwrap());
        for usual in [
            input(eurocode, Conditions::eurocode(2, Duration::ShortTerm)),
            BearingInput {
                section: strip(1.5 * INCH, 3.5 * INCH, 0.0, false).unwrap(),
                ..input(us, Conditions::nds(false, Duration::LoadDurationFactor(1.0)))
            },
        ] {
            assert!(worst(&usual).is_ok());
            for value in [0.0, -0.047, f64::INFINITY, f64::NAN] {
                let refused = |input: &BearingInput<'_>, words: &str| matches!(worst(input), Err(RuleError::Value { what, .. }) if what == words);
                assert!(
                    refused(&BearingInput { contact: value, ..usual }, "the length of a bearing"),
                    "{value}"
                );
                let section = Section { breadth: value, ..usual.section };
                assert!(refused(&BearingInput { section, ..usual }, "the breadth of a timber"), "{value}");
            }
        }
    }
}
