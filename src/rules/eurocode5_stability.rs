//! What can buckle and twist in a timber to EN 1995-1-1: `k_c`, `k_crit`, and torsion of its section. Newtons and
//! millimetres; sources as in [`crate::rules::eurocode5`].

use std::f64::consts::PI;

use crate::rules::members::{LoadEdge, MemberInput, is_rectangle};
use crate::rules::recorder::Recorder;
use crate::tables::grade::{EurocodeGrade, Material};

/// What torsion of a section goes by, in mm.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Torsion {
    pub(crate) alpha: f64,
    pub(crate) h_t: f64,
    pub(crate) b_t: f64,
    pub(crate) k_shape: f64,
}

/// What buckling goes by, in N and mm.
pub(crate) struct Strut {
    pub(crate) length: f64,
    pub(crate) area: f64,
    pub(crate) f_c_0_k: f64,
    pub(crate) e_0_05: f64,
}

impl Strut {
    /// Slenderness, relative slenderness, k and `k_c` for an effective length and a radius of gyration.
    fn reduction(&self, length: f64, radius: f64, beta: f64) -> [f64; 4] {
        let slender = length / radius;
        let rel = slender / PI * (self.f_c_0_k / self.e_0_05).sqrt();
        let k = 0.5 * (1.0 + beta * (rel - 0.3) + rel * rel);
        [slender, rel, k, (1.0 / (k + (k * k - rel * rel).sqrt())).min(1.0)]
    }
}

fn straightness<R: Recorder>(r: &mut R, material: Material) -> f64 {
    let beta = if matches!(material, Material::Glulam | Material::Lvl) { 0.1 } else { 0.2 };
    r.input("straightness", "β_c", beta, "–", "6.3.2 (6.29)")
}

/// `k_c,y` and the relative slenderness, out of the surface.
pub(crate) fn buckling_y<R: Recorder>(
    r: &mut R,
    strut: &Strut,
    second_moment: f64,
    factor: f64,
    material: Material,
) -> (f64, f64) {
    let beta = straightness(r, material);
    let l = r.input("length between joints", "l", strut.length, "mm", "");
    let factor = r.input("effective length out of the surface over length", "k_l,y", factor, "–", "");
    let length = r.derived("effective length out of the surface", "l_ef,y", "k_l,y·l", factor * l, "mm", "");
    let radius = (second_moment / strut.area).sqrt();
    r.derived("radius of gyration about y", "i_y", "√(I_y / A)", radius, "mm", "");
    let [slender, rel, k, k_c] = strut.reduction(length, radius, beta);
    r.derived("slenderness about y", "λ_y", "l_ef,y / i_y", slender, "–", "6.3.2");
    let clause = "6.3.2 (6.21)";
    let words = "relative slenderness about y";
    r.derived(words, "λ_rel,y", "λ_y / π·√(f_c,0,k / E_0,05)", rel, "–", clause);
    let formula = "0.5·(1 + β_c·(λ_rel,y − 0.3) + λ_rel,y^2)";
    r.derived("instability factor", "k_y", formula, k, "–", "6.3.2 (6.27)");
    let formula = "min(1 / (k_y + √(k_y^2 − λ_rel,y^2)); 1)";
    r.derived("buckling out of the surface", "k_c,y", formula, k_c, "–", "6.3.2 (6.25)");
    (k_c, rel)
}

/// `k_c,z` and the relative slenderness, in the surface.
pub(crate) fn buckling_z<R: Recorder>(
    r: &mut R,
    strut: &Strut,
    second_moment: f64,
    factor: f64,
    material: Material,
) -> (f64, f64) {
    let beta = straightness(r, material);
    let l = r.input("length between joints", "l", strut.length, "mm", "");
    let words = if factor == 0.0 {
        "held by the cover all along (the user's choice)"
    } else {
        "effective length in the surface over length"
    };
    let factor = r.input(words, "k_l,z", factor, "–", "");
    let length = r.derived("effective length in the surface", "l_ef,z", "k_l,z·l", factor * l, "mm", "");
    let radius = (second_moment / strut.area).sqrt();
    r.derived("radius of gyration about z", "i_z", "√(I_z / A)", radius, "mm", "");
    let [slender, rel, k, k_c] = strut.reduction(length, radius, beta);
    r.derived("slenderness about z", "λ_z", "l_ef,z / i_z", slender, "–", "6.3.2");
    let clause = "6.3.2 (6.22)";
    let words = "relative slenderness about z";
    r.derived(words, "λ_rel,z", "λ_z / π·√(f_c,0,k / E_0,05)", rel, "–", clause);
    let formula = "0.5·(1 + β_c·(λ_rel,z − 0.3) + λ_rel,z^2)";
    r.derived("instability factor", "k_z", formula, k, "–", "6.3.2 (6.28)");
    let formula = "min(1 / (k_z + √(k_z^2 − λ_rel,z^2)); 1)";
    r.derived("buckling in the surface", "k_c,z", formula, k_c, "–", "6.3.2 (6.26)");
    (k_c, rel)
}

/// `k_crit` for bending about the stronger axis, as if nothing held the edges (the place decides).
pub(crate) fn lateral_factor<R: Recorder>(
    r: &mut R,
    input: &MemberInput<'_>,
    grade: &EurocodeGrade,
    strong_y: bool,
    values: [f64; 8],
) -> f64 {
    let [b, h, w_y, w_z, i_y, i_z, f_m_k, e_0_05] = values;
    let l = input.length * 1e3;
    let k_l = r.input(
        "effective over unheld length in bending",
        "k_l,m",
        input.restraint.lateral_factor,
        "–",
        "6.3.3, Table 6.1",
    );
    let (wide, tall) = if strong_y { (b, h) } else { (h, b) };
    let share = match input.restraint.load_edge {
        LoadEdge::Compression => 2.0,
        LoadEdge::Middle => 0.0,
        LoadEdge::Tension => -0.5,
    };
    r.input("for the edge that is loaded, in depths", "k_edge", share, "–", "6.3.3, Table 6.1 note");
    let formula = if strong_y { "max(k_l,m·l + k_edge·h; h)" } else { "max(k_l,m·l + k_edge·b; b)" };
    let l_ef = (k_l * l + share * tall).max(tall);
    r.derived("effective length in bending", "l_ef,m", formula, l_ef, "mm", "6.3.3, Table 6.1");
    let critical = if grade.material == Material::Softwood && is_rectangle(&input.section) {
        let formula =
            if strong_y { "0.78·b^2·E_0,05 / (h·l_ef,m)" } else { "0.78·h^2·E_0,05 / (b·l_ef,m)" };
        let value = 0.78 * wide * wide * e_0_05 / (tall * l_ef);
        r.derived("critical bending stress", "σ_m,crit", formula, value, "N/mm²", "6.3.3 (6.32)")
    } else {
        let g = r.input("shear modulus, 5 %", "G_0,05", grade.g_05 * 1e-6, "N/mm²", "");
        let tor = input.section.torsion * 1e12;
        let tor = r.input("torsion constant", "I_tor", tor, "mm⁴", "St Venant");
        let (formula, weak, w) = if strong_y {
            ("π·√(E_0,05·I_z·G_0,05·I_tor) / (l_ef,m·W_y)", i_z, w_y)
        } else {
            ("π·√(E_0,05·I_y·G_0,05·I_tor) / (l_ef,m·W_z)", i_y, w_z)
        };
        let value = PI * (e_0_05 * weak * g * tor).sqrt() / (l_ef * w);
        r.derived("critical bending stress", "σ_m,crit", formula, value, "N/mm²", "6.3.3 (6.31)")
    };
    let rel = (f_m_k / critical).sqrt();
    let words = "relative slenderness in bending";
    r.derived(words, "λ_rel,m", "√(f_m,k / σ_m,crit)", rel, "–", "6.3.3 (6.30)");
    let (formula, value) = if rel <= 0.75 {
        ("1", 1.0)
    } else if rel <= 1.4 {
        ("1.56 − 0.75·λ_rel,m", 1.56 - 0.75 * rel)
    } else {
        ("1 / λ_rel,m^2", 1.0 / (rel * rel))
    };
    r.derived("lateral buckling", "k_crit", formula, value, "–", "6.3.3 (6.34)")
}

/// Torsion of the rectangle that fits inside the finished section (the trapezium is no weaker).
pub(crate) fn twist<R: Recorder>(r: &mut R, b: f64, h: f64, area: f64) -> Torsion {
    let narrow = 2.0 * area / h - b;
    let narrow = r.derived("narrow face of the finished section", "b_n", "2·A / h − b", narrow, "mm", "");
    let words = "sides of the rectangle inside it";
    let h_t = r.derived(words, "h_t", "max(b_n; h)", narrow.max(h), "mm", "");
    let b_t = r.derived(words, "b_t", "min(b_n; h)", narrow.min(h), "mm", "");
    let clause = "St Venant's series (Timoshenko and Goodier, Theory of Elasticity, from memory)";
    let alpha = r.input("torsion modulus over h·b²", "α_t", torsion_modulus(h_t / b_t), "–", clause);
    let k_shape = (1.0 + 0.05 * h_t / b_t).min(1.3);
    let formula = "min(1 + 0.05·h_t / b_t; 1.3)";
    let k_shape = r.derived("shape in torsion", "k_shape", formula, k_shape, "–", "6.1.8 (6.15), A2:2014");
    Torsion { alpha, h_t, b_t, k_shape }
}

/// `T / (τ_max h b²)` of a rectangle whose longer side is `ratio` times its shorter.
///
/// # Source
///
/// St Venant's series for J and for the greatest stress, at the middle of the longer side (Timoshenko
/// and Goodier, *Theory of Elasticity*, torsion of rectangular bars; from memory). Of the series for J, whose terms fall
/// only as `1/n⁵`, the sum without the tanh is taken whole, `(31/32) ζ(5)` over the odd n; what is left falls as fast as
/// the other series. The terms left out are below 1e-7 for a ratio of 1 or more.
#[must_use]
pub fn torsion_modulus(ratio: f64) -> f64 {
    /// Riemann's zeta of 5.
    const ZETA_5: f64 = 1.036_927_755_143_37;
    let (mut j, mut k) = (31.0 / 32.0 * ZETA_5, 0.0);
    for n in [1.0_f64, 3.0, 5.0, 7.0] {
        let turn = n * PI / 2.0 * ratio;
        j -= (1.0 - turn.tanh()) / n.powi(5);
        k += 1.0 / (n * n * turn.cosh());
    }
    let j = (1.0 - 192.0 / PI.powi(5) / ratio * j) / 3.0;
    let k = 1.0 - 8.0 / (PI * PI) * k;
    j / k
}
