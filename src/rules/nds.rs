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

use crate::rules::members::{MemberInput, RuleError, SideHold, is_rectangle};
use crate::rules::nds_stability::{beam, column};
use crate::rules::recorder::Recorder;
use crate::section::forces::StripForces;
use crate::tables::nds::NdsGrade;
use crate::units::{INCH, POUND_FORCE, PSI};

pub(crate) use crate::rules::nds_adjust::{Adjust, adjust, modulus_factor};
pub use crate::rules::nds_stability::{beam_stability, column_stability};

/// Values that do not depend on the place, in lb and in.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Common {
    strong_y: bool,
    area: f64,
    area_net: f64,
    s_1: f64,
    s_2: f64,
    s_1_net: f64,
    s_2_net: f64,
    f_t: f64,
    f_v: f64,
    f_c_star: f64,
    f_c: f64,
    f_b1_star: f64,
    f_b2: f64,
    c_l: f64,
    r_b: f64,
    f_be: f64,
    f_ce1: f64,
    f_ce2: f64,
    slender: f64,
    k_tau: f64,
    torsion: Option<[f64; 3]>,
}

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

/// An adjusted value: the formula of the method, and its factors' product.
struct Adjusted {
    words: &'static str,
    symbol: &'static str,
    asd: &'static str,
    lrfd: &'static str,
    clause: &'static str,
}

impl Adjusted {
    fn write<R: Recorder>(&self, r: &mut R, a: &Adjust, common: f64, k_f: f64, phi: f64) -> f64 {
        let (formula, value) =
            if a.lrfd { (self.lrfd, common * k_f * phi * a.time) } else { (self.asd, common * a.time) };
        r.derived(self.words, self.symbol, formula, value, "psi", self.clause)
    }
}

#[allow(clippy::too_many_lines, reason = "the list of factors of Table 4.3.1, one after the other")]
fn common<R: Recorder>(r: &mut R, input: &MemberInput<'_>, a: &Adjust, twisted: bool) -> Common {
    let s = &input.section;
    let strong_y = s.second_moment_y >= s.second_moment_z;
    let in2 = INCH * INCH;
    let area = r.input("area of the finished section", "A", s.area / in2, "in²", "");
    let (i_1, i_2) = if strong_y {
        (s.second_moment_y, s.second_moment_z)
    } else {
        (s.second_moment_z, s.second_moment_y)
    };
    let (w_1, w_2) = if strong_y { (s.modulus_y, s.modulus_z) } else { (s.modulus_z, s.modulus_y) };
    let i_1 = r.input("second moment, edgewise", "I_1", i_1 / (in2 * in2), "in⁴", "");
    let i_2 = r.input("second moment, flatwise", "I_2", i_2 / (in2 * in2), "in⁴", "");
    let s_1 = r.input("section modulus, edgewise", "S_1", w_1 / (in2 * INCH), "in³", "");
    let s_2 = r.input("section modulus, flatwise", "S_2", w_2 / (in2 * INCH), "in³", "");
    let d_1 = (12.0 * i_1 / area).sqrt();
    let d_1 = r.derived("side in edgewise bending", "d_1", "√(12·I_1 / A)", d_1, "in", "");
    let d_2 = (12.0 * i_2 / area).sqrt();
    let d_2 = r.derived("side in flatwise bending", "d_2", "√(12·I_2 / A)", d_2, "in", "");
    let Net { area: area_net, s_1: s_1_net, s_2: s_2_net } =
        net(r, input, &Gross { strong_y, area, i_1, i_2, s_1, s_2 });

    if a.lrfd {
        r.input("time effect", "λ", a.time, "–", "NDS Table N3");
    } else {
        r.input("load duration", "C_D", a.time, "–", "NDS Table 2.3.2");
    }
    let psi = |pa: f64| pa / PSI;
    let v = &a.values;
    let f_b = r.input("bending", "F_b", psi(v.f_b), "psi", "");
    let f_t = r.input("tension", "F_t", psi(v.f_t), "psi", "");
    let f_v = r.input("shear", "F_v", psi(v.f_v), "psi", "");
    let f_c = r.input("compression", "F_c", psi(v.f_c), "psi", "");
    let e_min = r.input("modulus for stability", "E_min", psi(v.e_min), "psi", "");
    let wet = "NDS Supplement, wet service";
    r.input("wet service, bending", "C_M,b", a.wet.f_b, "–", wet);
    r.input("wet service, tension", "C_M,t", a.wet.f_t, "–", wet);
    r.input("wet service, shear", "C_M,v", a.wet.f_v, "–", wet);
    r.input("wet service, compression", "C_M,c", a.wet.f_c, "–", wet);
    r.input("wet service, modulus", "C_M,E", a.wet.e_min, "–", wet);
    let heat = "NDS Table 2.3.3";
    r.input("temperature", "C_t", a.heat.f_b, "–", heat);
    r.input("temperature, tension and modulus", "C_t,E", a.heat.e_min, "–", heat);
    r.input("incising", "C_i", a.incised.f_b, "–", "NDS Table 4.3.8");
    r.input("incising, modulus", "C_i,E", a.incised.e_min, "–", "NDS Table 4.3.8");
    let size = "NDS Supplement Table 4A, size factor";
    r.input("size, bending", "C_F,b", a.size.bending, "–", size);
    r.input("size, tension", "C_F,t", a.size.tension, "–", size);
    r.input("size, compression", "C_F,c", a.size.compression, "–", size);
    r.input("flat use", "C_fu", a.flat_use, "–", "NDS Supplement Table 4A, flat use");
    r.input("repetitive members", "C_r", a.repetitive, "–", "NDS 4.3.9");
    if a.lrfd {
        let clause = "NDS Tables 2.3.5, 2.3.6";
        r.input("format conversion, bending", "K_F,b", a.k_f.f_b, "–", clause);
        r.input("resistance factor, bending", "φ_b", a.phi.f_b, "–", clause);
        r.input("format conversion, tension", "K_F,t", a.k_f.f_t, "–", clause);
        r.input("resistance factor, tension", "φ_t", a.phi.f_t, "–", clause);
        r.input("format conversion, shear", "K_F,v", a.k_f.f_v, "–", clause);
        r.input("resistance factor, shear", "φ_v", a.phi.f_v, "–", clause);
        r.input("format conversion, compression", "K_F,c", a.k_f.f_c, "–", clause);
        r.input("resistance factor, compression", "φ_c", a.phi.f_c, "–", clause);
        r.input("format conversion, stability", "K_F,s", a.k_f.e_min, "–", clause);
        r.input("resistance factor, stability", "φ_s", a.phi.e_min, "–", clause);
    }
    let bending = f_b * a.wet.f_b * a.heat.f_b * a.size.bending * a.incised.f_b * a.repetitive;
    let f_b1_star = Adjusted {
        words: "bending edgewise, all factors but beam stability",
        symbol: "F_b1*",
        asd: "F_b·C_D·C_M,b·C_t·C_F,b·C_i·C_r",
        lrfd: "F_b·C_M,b·C_t·C_F,b·C_i·C_r·K_F,b·φ_b·λ",
        clause: "NDS Table 4.3.1",
    }
    .write(r, a, bending, a.k_f.f_b, a.phi.f_b);
    let f_b2 = Adjusted {
        words: "adjusted bending flatwise",
        symbol: "F_b2′",
        asd: "F_b·C_D·C_M,b·C_t·C_F,b·C_fu·C_i·C_r",
        lrfd: "F_b·C_M,b·C_t·C_F,b·C_fu·C_i·C_r·K_F,b·φ_b·λ",
        clause: "NDS Table 4.3.1",
    }
    .write(r, a, bending * a.flat_use, a.k_f.f_b, a.phi.f_b);
    let f_t = Adjusted {
        words: "adjusted tension",
        symbol: "F_t′",
        asd: "F_t·C_D·C_M,t·C_t,E·C_F,t·C_i",
        lrfd: "F_t·C_M,t·C_t,E·C_F,t·C_i·K_F,t·φ_t·λ",
        clause: "NDS Table 4.3.1",
    }
    .write(r, a, f_t * a.wet.f_t * a.heat.f_t * a.size.tension * a.incised.f_t, a.k_f.f_t, a.phi.f_t);
    let f_v = Adjusted {
        words: "adjusted shear",
        symbol: "F_v′",
        asd: "F_v·C_D·C_M,v·C_t·C_i",
        lrfd: "F_v·C_M,v·C_t·C_i·K_F,v·φ_v·λ",
        clause: "NDS Table 4.3.1",
    }
    .write(r, a, f_v * a.wet.f_v * a.heat.f_v * a.incised.f_v, a.k_f.f_v, a.phi.f_v);
    let f_c_star = Adjusted {
        words: "compression, all factors but column stability",
        symbol: "F_c*",
        asd: "F_c·C_D·C_M,c·C_t·C_F,c·C_i",
        lrfd: "F_c·C_M,c·C_t·C_F,c·C_i·K_F,c·φ_c·λ",
        clause: "NDS Table 4.3.1",
    }
    .write(r, a, f_c * a.wet.f_c * a.heat.f_c * a.size.compression * a.incised.f_c, a.k_f.f_c, a.phi.f_c);
    let stiff = e_min * a.wet.e_min * a.heat.e_min * a.incised.e_min;
    let (formula, e_min) = if a.lrfd {
        ("E_min·C_M,E·C_t,E·C_i,E·K_F,s·φ_s", stiff * a.k_f.e_min * a.phi.e_min)
    } else {
        ("E_min·C_M,E·C_t,E·C_i,E", stiff)
    };
    let words = "adjusted modulus for stability";
    let e_min = r.derived(words, "E_min′", formula, e_min, "psi", "NDS Table 4.3.1");

    let (f_ce1, f_ce2, slender, c_p) = column(r, input, strong_y, [d_1, d_2, e_min, f_c_star]);
    let f_c = r.derived("adjusted compression", "F_c′", "F_c*·C_P", f_c_star * c_p, "psi", "NDS Table 4.3.1");
    let (c_l, r_b, f_be) = beam(r, input, strong_y, [d_1, e_min, f_b1_star]);
    let rectangle = is_rectangle(s);
    let k_tau = r.input(
        if rectangle { "peak over mean shear, rectangle" } else { "peak over mean shear, trapezium" },
        "k_τ",
        if rectangle { 1.5 } else { 1.51 },
        "–",
        "NDS 3.4.2",
    );
    let torsion = twisted.then(|| {
        let narrow = 2.0 * s.area / s.depth - s.breadth;
        let (long, short) = (narrow.max(s.depth) / INCH, narrow.min(s.depth) / INCH);
        let words = "sides of the rectangle inside the finished section";
        let long = r.input(words, "h_t", long, "in", "");
        let short = r.input(words, "b_t", short, "in", "");
        let alpha = crate::rules::eurocode5::torsion_modulus(long / short);
        let clause = "St Venant's series (Timoshenko and Goodier, Theory of Elasticity, from memory)";
        [r.input("torsion modulus over h·b²", "α_t", alpha, "–", clause), long, short]
    });
    Common {
        strong_y,
        area,
        area_net,
        s_1,
        s_2,
        s_1_net,
        s_2_net,
        f_t,
        f_v,
        f_c_star,
        f_c,
        f_b1_star,
        f_b2,
        c_l,
        r_b,
        f_be,
        f_ce1,
        f_ce2,
        slender,
        k_tau,
        torsion,
    }
}

/// `F_v′` \[Pa\], for the fixings.
pub(crate) fn shear_strength(a: &Adjust) -> f64 {
    let common = a.values.f_v * a.wet.f_v * a.heat.f_v * a.incised.f_v;
    if a.lrfd { common * a.k_f.f_v * a.phi.f_v * a.time } else { common * a.time }
}

/// The whole section, in and lb.
struct Gross {
    strong_y: bool,
    area: f64,
    i_1: f64,
    i_2: f64,
    s_1: f64,
    s_2: f64,
}

/// What is left of it beside a hole.
struct Net {
    area: f64,
    s_1: f64,
    s_2: f64,
}

/// What is left beside a hole through the breadth (3.1.2; in compression too, as fixings stand in the part of the
/// length that buckles: 3.6.3).
fn net<R: Recorder>(r: &mut R, input: &MemberInput<'_>, whole: &Gross) -> Net {
    let Gross { strong_y, area, i_1, i_2, s_1, s_2 } = *whole;
    let clause = "NDS 3.1.2";
    let Some(hole) = input.hole else {
        return Net {
            area: r.derived("net area, no holes taken off", "A_n", "A", area, "in²", clause),
            s_1: r.derived("net modulus edgewise", "S_1,n", "S_1", s_1, "in³", clause),
            s_2: r.derived("net modulus flatwise", "S_2,n", "S_2", s_2, "in³", clause),
        };
    };
    let d = r.input("hole through the breadth", "d_0", hole.diameter / INCH, "in", "");
    let b = r.input("breadth that it goes through", "b_0", input.section.breadth / INCH, "in", "");
    let off = r.input("from its middle to mid-depth", "e_0", hole.off / INCH, "in", "");
    let area = r.derived("net area", "A_n", "max(A − d_0·b_0; 0)", (area - d * b).max(0.0), "in²", clause);
    // Across the depth the hole takes a slot near the middle, across the breadth a strip of every fibre.
    let (slot, strip) = (b * d * (d * d / 12.0 + off * off), d * b.powi(3) / 12.0);
    let (edge, flat) = if strong_y { (slot, strip) } else { (strip, slot) };
    let (edge_words, flat_words) = if strong_y {
        ("S_1·max(1 − b_0·d_0·(d_0^2 / 12 + e_0^2) / I_1; 0)", "S_2·max(1 − d_0·b_0^3 / (12·I_2); 0)")
    } else {
        ("S_1·max(1 − d_0·b_0^3 / (12·I_1); 0)", "S_2·max(1 − b_0·d_0·(d_0^2 / 12 + e_0^2) / I_2; 0)")
    };
    let s_1 = s_1 * (1.0 - edge / i_1).max(0.0);
    let s_2 = s_2 * (1.0 - flat / i_2).max(0.0);
    Net {
        area,
        s_1: r.derived("net modulus edgewise", "S_1,n", edge_words, s_1, "in³", clause),
        s_2: r.derived("net modulus flatwise", "S_2,n", flat_words, s_2, "in³", clause),
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
        compressed(r, input, -forces.n / POUND_FORCE, [fb1, fb2, f_b1, f_be], held, c);
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
fn compressed<R: Recorder>(
    r: &mut R,
    input: &MemberInput<'_>,
    n: f64,
    bending: [f64; 4],
    held: bool,
    c: &Common,
) {
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
    let (formula, edge, flat) = if input.second_order && held {
        ("(f_c / F_c′)^2 + f_b1 / F_b1′ + f_b2 / F_b2′", 1.0, 1.0)
    } else if input.second_order {
        // What compression adds to the moments is in them; what edgewise bending adds sideways is not.
        ("(f_c / F_c′)^2 + f_b1 / F_b1′ + f_b2 / (F_b2′·(1 − (f_b1 / F_bE)^2))", 1.0, 1.0 - twist)
    } else if held {
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
    let fv = c.k_tau * v_y.hypot(v_z) / c.area;
    let formula = "k_τ·√(V_y^2 + V_z^2) / A";
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
