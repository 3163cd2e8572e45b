//! Timbers to NDS-2018, allowable stress and LRFD, in pounds and inches.
//!
//! Clauses are from memory (high) unless a line says otherwise. Axis 1 is edgewise bending, about the
//! stronger axis, with the wider side `d_1`; axis 2 is flatwise. Where this goes beyond the letter:
//!
//! - sides in slendernesses are `√(12 I/A)`, which is the side itself for a rectangle (the NDS puts `r √12`
//!   for `d` in sections of other shapes);
//! - (3.9-1) and (3.9-2) have the flatwise bending added linearly; the NDS writes them for one axis;
//! - shear from both directions adds as a resultant;
//! - the NDS has no torsion: two thirds of `F_v'` is taken for it, added linearly to shear (USDA Wood
//!   Handbook, mechanical properties; from memory, medium);
//! - forces of a second-order analysis set the bracketed amplifiers of (3.9-3) to 1 and keep `C_P`.

use crate::rules::members::{MemberInput, RuleError, SideHold};
use crate::rules::nds_strengths::common;
use crate::rules::recorder::Recorder;
use crate::section::forces::StripForces;
use crate::tables::nds::NdsGrade;
use crate::units::{INCH, POUND_FORCE};

pub(crate) use crate::rules::nds_adjust::{adjust, modulus_factor, strength_factor_on_e_min};
pub use crate::rules::nds_stability::{beam_stability, column_stability};
pub(crate) use crate::rules::nds_strengths::{Common, shear_strength};

/// Checks one timber.
pub(crate) fn check<R: Recorder>(
    r: &mut R,
    input: &MemberInput<'_>,
    grade: &NdsGrade,
) -> Result<(), RuleError> {
    let twisted = input.forces.iter().any(|f| f.t != 0.0);
    let common = prepare(r, input, grade, twisted)?;
    for (at, forces) in input.forces.iter().enumerate() {
        r.at(at);
        if let Some(x) = input.places.get(at) {
            r.input("place along the timber", "x", x / INCH, "in", "");
        }
        place(r, input, forces, &common);
    }
    Ok(())
}

/// What all places have in common; with the torsion of the section where it is `twisted` at one of them.
pub(crate) fn prepare<R: Recorder>(
    r: &mut R,
    input: &MemberInput<'_>,
    grade: &NdsGrade,
    twisted: bool,
) -> Result<Common, RuleError> {
    let adjust = adjust(input, grade)?;
    Ok(common(r, input, &adjust, twisted))
}

/// Checks one place of a timber.
pub(crate) fn place<R: Recorder>(r: &mut R, input: &MemberInput<'_>, forces: &StripForces, common: &Common) {
    let forces = &without_noise(forces, common);
    along(r, input, forces, common);
    shear(r, forces, common);
}

/// The forces without what is only rounding: an axial, bending or torsion stress below a millionth of its
/// strength is none, so that noise cannot break a limit of validity.
fn without_noise(forces: &StripForces, c: &Common) -> StripForces {
    const NOISE: f64 = 1e-6;
    let inch_pounds = POUND_FORCE * INCH;
    let (s_y, s_z) = if c.strong_y { (c.s_1, c.s_2) } else { (c.s_2, c.s_1) };
    let keep = |value: f64, limit: f64| if value.abs() <= NOISE * limit { 0.0 } else { value };
    StripForces {
        n: keep(forces.n, c.f_c_star.min(c.f_t) * c.area * POUND_FORCE),
        my: keep(forces.my, c.f_b1_star * s_y * inch_pounds),
        mz: keep(forces.mz, c.f_b1_star * s_z * inch_pounds),
        t: c.torsion.map_or(forces.t, |[alpha, long, short]| {
            keep(forces.t, c.f_v * alpha * long * short * short * inch_pounds)
        }),
        ..*forces
    }
}

/// A limit of validity that is broken: nothing can be said, so the utilisation is infinite.
fn broken<R: Recorder>(r: &mut R, rule: &'static str, clause: &'static str) {
    r.input("limit of validity broken: no utilisation can be given", "η", f64::INFINITY, "–", clause);
    r.close(rule, clause, f64::INFINITY);
}

fn along<R: Recorder>(r: &mut R, input: &MemberInput<'_>, forces: &StripForces, c: &Common) {
    let inch_pounds = POUND_FORCE * INCH;
    let (m_1, m_2) = if c.strong_y { (forces.my, forces.mz) } else { (forces.mz, forces.my) };
    let m_1 = r.input("bending edgewise", "M_1", m_1.abs() / inch_pounds, "in·lb", "");
    let m_2 = r.input("bending flatwise", "M_2", m_2.abs() / inch_pounds, "in·lb", "");
    let words = "bending stress edgewise";
    let fb1 = r.derived(words, "f_b1", "M_1 / S_1,n", m_1 / c.s_1_net, "psi", "NDS 3.3.2");
    let words = "bending stress flatwise";
    let fb2 = r.derived(words, "f_b2", "M_2 / S_2,n", m_2 / c.s_2_net, "psi", "NDS 3.3.2");
    // M_y positive stretches the outside face and compresses the inside one.
    let held = match input.restraint.side {
        SideHold::None => false,
        SideHold::OutsideFace => c.strong_y && forces.my < 0.0,
        SideHold::BothFaces => c.strong_y,
    };
    let (c_l, f_be) = if held {
        (
            r.derived("beam stability, compressed edge held", "C_L1", "1", 1.0, "–", "NDS 3.3.3.3"),
            f64::INFINITY,
        )
    } else {
        (r.derived("beam stability", "C_L1", "C_L", c.c_l, "–", "NDS 3.3.3"), c.f_be)
    };
    let f_b1 = c.f_b1_star * c_l;
    let f_b1 = r.derived("adjusted bending edgewise", "F_b1′", "F_b1*·C_L1", f_b1, "psi", "NDS Table 4.3.1");
    if m_1 > 0.0 && !held && c.r_b > 50.0 {
        broken(r, "bending: slenderness R_B above 50", "NDS 3.3.3.7");
        return;
    }
    if forces.n < 0.0 {
        compressed(r, -forces.n / POUND_FORCE, [fb1, fb2, f_b1, f_be], held, c);
        return;
    }
    let n = r.input("tension", "T", forces.n / POUND_FORCE, "lb", "");
    let ft = r.derived("tension stress", "f_t", "T / A_n", n / c.area_net, "psi", "NDS 3.8.1");
    let bent = m_1 > 0.0 || m_2 > 0.0;
    let mut close = |formula: &'static str, value: f64, rule: &'static str, clause: &'static str| {
        let value = r.derived("utilisation", "η", formula, value, "–", clause);
        r.close(rule, clause, value);
    };
    if !bent {
        if n > 0.0 {
            close("f_t / F_t′", ft / c.f_t, "tension along the grain", "NDS 3.8.1");
        }
        return;
    }
    if n > 0.0 {
        close(
            "f_t / F_t′ + f_b1 / F_b1* + f_b2 / F_b2′",
            ft / c.f_t + fb1 / c.f_b1_star + fb2 / c.f_b2,
            "bending with tension, tension side",
            "NDS 3.9.1 (3.9-1), flatwise bending added",
        );
        close(
            "max(f_b1 − f_t; 0) / F_b1′ + f_b2 / F_b2′",
            (fb1 - ft).max(0.0) / f_b1 + fb2 / c.f_b2,
            "bending with tension, compression side",
            "NDS 3.9.1 (3.9-2), flatwise bending added",
        );
        return;
    }
    bent_only(r, [fb1, fb2, f_b1, f_be], held, c);
}

/// Bending without axial force: (3.9-3) with `f_c` = 0.
fn bent_only<R: Recorder>(r: &mut R, bending: [f64; 4], held: bool, c: &Common) {
    let [fb1, fb2, f_b1, f_be] = bending;
    if fb2 == 0.0 || fb1 == 0.0 {
        let clause = "NDS 3.3.1";
        let value = fb1 / f_b1 + fb2 / c.f_b2;
        let value = r.derived("utilisation", "η", "f_b1 / F_b1′ + f_b2 / F_b2′", value, "–", clause);
        r.close("bending", clause, value);
        return;
    }
    let clause = "NDS 3.9.2 (3.9-3) without compression";
    if fb1 >= f_be {
        broken(r, "bending: f_b1 reaches the critical F_bE", "NDS 3.9.2");
        return;
    }
    let (formula, away) = if held {
        ("f_b1 / F_b1′ + f_b2 / F_b2′", 1.0)
    } else {
        ("f_b1 / F_b1′ + f_b2 / (F_b2′·(1 − (f_b1 / F_bE)^2))", 1.0 - (fb1 / f_be).powi(2))
    };
    let value = fb1 / f_b1 + fb2 / (c.f_b2 * away);
    let value = r.derived("utilisation", "η", formula, value, "–", clause);
    r.close("bending about both axes", clause, value);
}

/// Compression, with or without bending.
fn compressed<R: Recorder>(r: &mut R, n: f64, bending: [f64; 4], held: bool, c: &Common) {
    let [fb1, fb2, f_b1, f_be] = bending;
    let n = r.input("compression", "P", n, "lb", "");
    let fc = r.derived("compression stress", "f_c", "P / A_n", n / c.area_net, "psi", "NDS 3.6.3");
    if c.slender > 50.0 {
        broken(r, "compression: slenderness l_e/d above 50", "NDS 3.7.1.4");
        return;
    }
    let clause = "NDS 3.6.3, 3.7.1";
    let value = r.derived("utilisation", "η", "f_c / F_c′", fc / c.f_c, "–", clause);
    r.close("compression with column stability", clause, value);
    if fb1 == 0.0 && fb2 == 0.0 {
        return;
    }
    if fb1 > 0.0 && fc >= c.f_ce1 {
        broken(r, "bending with compression: f_c reaches F_cE1", "NDS 3.9.2");
        return;
    }
    if fb2 > 0.0 && fc >= c.f_ce2 {
        broken(r, "bending with compression: f_c reaches F_cE2", "NDS 3.9.2");
        return;
    }
    if fb1 >= f_be {
        broken(r, "bending with compression: f_b1 reaches F_bE", "NDS 3.9.2");
        return;
    }
    let twist = (fb1 / f_be).powi(2);
    if fb2 > 0.0 {
        let clause = "NDS 3.9.2 (3.9-4)";
        let formula = if held { "f_c / F_cE2" } else { "f_c / F_cE2 + (f_b1 / F_bE)^2" };
        let value = fc / c.f_ce2 + twist;
        if value >= 1.0 {
            broken(r, "bending with compression: (3.9-4) reaches 1", clause);
            return;
        }
        let value = r.derived("utilisation", "η", formula, value, "–", clause);
        r.close("stability of flatwise bending with compression", clause, value);
    }
    let clause = "NDS 3.9.2 (3.9-3)";
    let first = (fc / c.f_c).powi(2);
    let (formula, edge, flat) = if held {
        (
            "(f_c / F_c′)^2 + f_b1 / (F_b1′·(1 − f_c / F_cE1)) + f_b2 / (F_b2′·(1 − f_c / F_cE2))",
            1.0 - fc / c.f_ce1,
            1.0 - fc / c.f_ce2,
        )
    } else {
        (
            "(f_c / F_c′)^2 + f_b1 / (F_b1′·(1 − f_c / F_cE1)) + f_b2 / (F_b2′·(1 − f_c / F_cE2 − (f_b1 / F_bE)^2))",
            1.0 - fc / c.f_ce1,
            1.0 - fc / c.f_ce2 - twist,
        )
    };
    // Without flatwise bending the last bracket may be anything: its term is 0.
    let flatwise = if fb2 == 0.0 { 0.0 } else { fb2 / (c.f_b2 * flat) };
    let value = first + fb1 / (f_b1 * edge) + flatwise;
    let value = r.derived("utilisation", "η", formula, value, "–", clause);
    r.close("bending with compression", clause, value);
    debug_assert!(c.f_c <= c.f_c_star);
}

fn shear<R: Recorder>(r: &mut R, forces: &StripForces, c: &Common) {
    if forces.vy == 0.0 && forces.vz == 0.0 && forces.t == 0.0 {
        return;
    }
    let v_y = r.input("shear in the surface", "V_y", forces.vy.abs() / POUND_FORCE, "lb", "");
    let v_z = r.input("shear out of the surface", "V_z", forces.vz.abs() / POUND_FORCE, "lb", "");
    let v = v_y.hypot(v_z);
    let fv = if v > 0.0 { c.k_tau * v / c.area_net } else { 0.0 };
    let formula = "k_τ·√(V_y^2 + V_z^2) / A_n";
    let fv = r.derived("shear stress, both directions", "f_v", formula, fv, "psi", "NDS 3.4.2 (3.4-2)");
    let clause = "NDS 3.4.1";
    let value = r.derived("utilisation", "η", "f_v / F_v′", fv / c.f_v, "–", clause);
    r.close("shear", clause, value);
    let Some([alpha, long, short]) = c.torsion.filter(|_| forces.t != 0.0) else { return };
    let moment = forces.t.abs() / (POUND_FORCE * INCH);
    let moment = r.input("torsion", "T_x", moment, "in·lb", "");
    let ft = moment / (alpha * long * short * short);
    let ft = r.derived("torsion stress", "f_tor", "T_x / (α_t·h_t·b_t^2)", ft, "psi", "");
    let clause = "no NDS rule: two thirds of F_v′ (USDA Wood Handbook, from memory)";
    let value = 1.5 * ft / c.f_v + fv / c.f_v;
    let value = r.derived("utilisation", "η", "1.5·f_tor / F_v′ + f_v / F_v′", value, "–", clause);
    r.close("torsion with shear", clause, value);
}
