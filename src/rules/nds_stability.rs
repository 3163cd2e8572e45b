//! Column and beam stability to NDS-2018: `C_P`, `C_L` and their critical stresses. Pounds and inches; sources as in
//! [`crate::rules::nds`].

use crate::rules::members::{MemberInput, NdsLoading, SideHold};
use crate::rules::recorder::Recorder;
use crate::units::INCH;

/// `F_cE` of each axis, the greater slenderness, and `C_P` by the worse axis.
pub(crate) fn column<R: Recorder>(
    r: &mut R,
    input: &MemberInput<'_>,
    strong_y: bool,
    values: [f64; 4],
) -> (f64, f64, f64, f64) {
    let [d_1, d_2, e_min, f_c_star] = values;
    let length = r.input("length between joints", "l", input.length / INCH, "in", "");
    let in_surface =
        if input.restraint.side == SideHold::None { input.restraint.length_factor_z } else { 0.0 };
    let (k_1, k_2) = if strong_y {
        (input.restraint.length_factor_y, in_surface)
    } else {
        (in_surface, input.restraint.length_factor_y)
    };
    let held = "effective length over length (0: held all along by the cover)";
    let k_1 = r.input(held, "K_e1", k_1, "–", "NDS 3.7.1.2");
    let k_2 = r.input(held, "K_e2", k_2, "–", "NDS 3.7.1.2");
    let r_1 =
        r.derived("slenderness edgewise", "λ_1", "K_e1·l / d_1", k_1 * length / d_1, "–", "NDS 3.7.1.3");
    let r_2 =
        r.derived("slenderness flatwise", "λ_2", "K_e2·l / d_2", k_2 * length / d_2, "–", "NDS 3.7.1.3");
    let words = "critical stress edgewise";
    let f_ce1 = 0.822 * e_min / (r_1 * r_1);
    let f_ce1 = r.derived(words, "F_cE1", "0.822·E_min′ / λ_1^2", f_ce1, "psi", "NDS 3.9.2");
    let words = "critical stress flatwise";
    let f_ce2 = 0.822 * e_min / (r_2 * r_2);
    let f_ce2 = r.derived(words, "F_cE2", "0.822·E_min′ / λ_2^2", f_ce2, "psi", "NDS 3.9.2");
    let slender = r_1.max(r_2);
    let words = "critical stress of the worse axis";
    let f_ce = r.derived(words, "F_cE", "min(F_cE1; F_cE2)", f_ce1.min(f_ce2), "psi", "NDS 3.7.1.5");
    let c = r.input("sawn lumber", "c", 0.8, "–", "NDS 3.7.1.5");
    let ratio = r.derived("ratio", "α_c", "F_cE / F_c*", f_ce / f_c_star, "–", "NDS 3.7.1.5");
    r.derived("half sum", "p_c", "(1 + α_c) / (2·c)", (1.0 + ratio) / (2.0 * c), "–", "NDS 3.7.1.5");
    let c_p = column_stability(ratio, c);
    let formula = "p_c − √(p_c^2 − α_c / c)";
    let c_p = r.derived("column stability", "C_P", formula, c_p, "–", "NDS 3.7.1.5 (3.7-1)");
    (f_ce1, f_ce2, slender, c_p)
}

/// `C_L`, `R_B` and `F_bE` for edgewise bending with nothing holding the compressed edge.
pub(crate) fn beam<R: Recorder>(
    r: &mut R,
    input: &MemberInput<'_>,
    strong_y: bool,
    values: [f64; 3],
) -> (f64, f64, f64) {
    let [d, e_min, f_b1_star] = values;
    let s = &input.section;
    let mean = if strong_y { s.area / s.depth } else { s.area / s.breadth } / INCH;
    let wide = r.input("mean thickness", "b_m", mean, "in", "");
    let l_u = r.derived("unheld length in bending", "l_u", "l", input.length / INCH, "in", "NDS 3.3.3");
    let ratio = l_u / d;
    let (formula, l_e) = match input.restraint.nds_loading {
        NdsLoading::EndMoments => ("1.84·l_u", 1.84 * l_u),
        _ if ratio < 7.0 => ("2.06·l_u", 2.06 * l_u),
        NdsLoading::AnyOther if ratio > 14.3 => ("1.84·l_u", 1.84 * l_u),
        _ => ("1.63·l_u + 3·d_1", 1.63 * l_u + 3.0 * d),
    };
    let l_e = r.derived("effective length in bending", "l_e", formula, l_e, "in", "NDS Table 3.3.3");
    let r_b = (l_e * d).sqrt() / wide;
    let r_b = r.derived("slenderness in bending", "R_B", "√(l_e·d_1) / b_m", r_b, "–", "NDS 3.3.3 (3.3-5)");
    let f_be = 1.2 * e_min / (r_b * r_b);
    let words = "critical bending stress";
    let f_be = r.derived(words, "F_bE", "1.20·E_min′ / R_B^2", f_be, "psi", "NDS 3.3.3.8");
    if d <= wide * (1.0 + 1e-9) {
        let words = "beam stability, no deeper than broad";
        return (r.derived(words, "C_L", "1", 1.0, "–", "NDS 3.3.3.1"), r_b, f_be);
    }
    let ratio = r.derived("ratio", "α_b", "F_bE / F_b1*", f_be / f_b1_star, "–", "NDS 3.3.3.8");
    r.derived("half sum", "p_b", "(1 + α_b) / 1.9", (1.0 + ratio) / 1.9, "–", "NDS 3.3.3.8");
    let c_l = beam_stability(ratio);
    let formula = "p_b − √(p_b^2 − α_b / 0.95)";
    (r.derived("beam stability", "C_L", formula, c_l, "–", "NDS 3.3.3.8 (3.3-6)"), r_b, f_be)
}

/// `C_L` from `F_bE / F_b*` (3.3-6), in the form that does not take two near numbers from each other.
#[must_use]
pub fn beam_stability(ratio: f64) -> f64 {
    let p = (1.0 + ratio) / 1.9;
    (ratio / 0.95 / (p + (p * p - ratio / 0.95).sqrt())).min(1.0)
}

/// `C_P` from `F_cE / F_c*` (3.7-1), in the form that does not take two near numbers from each other.
#[must_use]
pub fn column_stability(ratio: f64, c: f64) -> f64 {
    let p = (1.0 + ratio) / (2.0 * c);
    (ratio / c / (p + (p * p - ratio / c).sqrt())).min(1.0)
}
