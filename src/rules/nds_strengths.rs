//! What NDS-2018 makes of one section under its conditions, the same at every place of a timber: adjusted values, what holes leave,
//! and the factors of stability, in pounds and inches. Sources: see `nds.rs`.

use crate::rules::members::{MemberInput, is_rectangle};
use crate::rules::nds_adjust::Adjust;
use crate::rules::nds_stability::{beam, column};
use crate::rules::recorder::Recorder;
use crate::units::{INCH, PSI};

/// Values that do not depend on the place, in lb and in.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Common {
    pub(super) strong_y: bool,
    pub(super) area: f64,
    pub(super) area_net: f64,
    pub(super) s_1: f64,
    pub(super) s_2: f64,
    pub(super) s_1_net: f64,
    pub(super) s_2_net: f64,
    pub(super) f_t: f64,
    pub(super) f_v: f64,
    pub(super) f_c_star: f64,
    pub(super) f_c: f64,
    pub(super) f_b1_star: f64,
    pub(super) f_b2: f64,
    pub(super) c_l: f64,
    pub(super) r_b: f64,
    pub(super) f_be: f64,
    pub(super) f_ce1: f64,
    pub(super) f_ce2: f64,
    pub(super) slender: f64,
    pub(super) k_tau: f64,
    pub(super) torsion: Option<[f64; 3]>,
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

/// What all places have in common; with the torsion of the section where it is `twisted` at one of them.
#[allow(clippy::too_many_lines, reason = "the list of factors of Table 4.3.1, one after the other")]
pub(super) fn common<R: Recorder>(r: &mut R, input: &MemberInput<'_>, a: &Adjust, twisted: bool) -> Common {
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
