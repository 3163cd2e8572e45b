//! What EN 1995-1-1:2004+A1:2008+A2:2014 makes of one section under its conditions, the same at every place of a timber: design
//! strengths, what holes leave, and the factors of buckling, in newtons and millimetres. Sources: see `eurocode5.rs`.

use crate::loads::Duration;
use crate::rules::eurocode5_stability::{Strut, Torsion, buckling_y, buckling_z, lateral_factor, twist};
use crate::rules::members::{MemberInput, RuleError, SideHold, is_rectangle};
use crate::rules::recorder::Recorder;
use crate::tables::Tables;
use crate::tables::eurocode::LoadDuration;
use crate::tables::grade::{EurocodeGrade, Material};

/// The load-duration class of a combination's duration.
pub(crate) fn load_duration(duration: Duration) -> Option<LoadDuration> {
    Some(match duration {
        Duration::Permanent => LoadDuration::Permanent,
        Duration::LongTerm => LoadDuration::Long,
        Duration::MediumTerm => LoadDuration::Medium,
        Duration::ShortTerm => LoadDuration::Short,
        Duration::Instantaneous => LoadDuration::Instantaneous,
        Duration::LoadDurationFactor(_) | Duration::TimeEffectFactor(_) => return None,
    })
}

/// `k_mod` and `gamma_M` for a grade under conditions.
pub(crate) fn modification(input: &MemberInput<'_>, grade: &EurocodeGrade) -> Result<(f64, f64), RuleError> {
    let c = &input.conditions;
    let duration = load_duration(c.duration)
        .ok_or_else(|| RuleError::Duration { duration: format!("{:?}", c.duration), basis: "eurocode" })?;
    let class = c.service_class.ok_or(RuleError::ServiceClass { class: None })?;
    let tables = Tables::built_in();
    let k_mod = tables
        .k_mod(grade.material, class, duration)
        .ok_or(RuleError::ServiceClass { class: Some(class) })?;
    if class > grade.highest_service_class {
        return Err(RuleError::NotPermitted {
            grade: grade.name.clone(),
            class,
            highest: grade.highest_service_class,
        });
    }
    let gamma = if c.accidental {
        tables.gamma_m_accidental()
    } else {
        c.partial_factor.unwrap_or_else(|| tables.gamma_m(grade.material))
    };
    if !(gamma.is_finite() && gamma >= 1.0) {
        return Err(RuleError::Value { what: "the partial factor of the material", value: gamma });
    }
    Ok((k_mod, gamma))
}

/// Values that do not depend on the place, in N and mm.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Common {
    pub(super) area: f64,
    pub(super) area_net: f64,
    pub(super) w_y: f64,
    pub(super) w_z: f64,
    pub(super) w_y_net: f64,
    pub(super) w_z_net: f64,
    pub(super) k_m: f64,
    pub(super) f_m_y_d: f64,
    pub(super) f_m_z_d: f64,
    pub(super) f_t_0_d: f64,
    pub(super) f_c_0_d: f64,
    pub(super) f_v_d: f64,
    pub(super) k_c_y: f64,
    pub(super) k_c_z: f64,
    pub(super) stocky: bool,
    pub(super) k_crit: f64,
    pub(super) strong_y: bool,
    pub(super) k_cr: f64,
    pub(super) k_tau: f64,
    pub(super) torsion: Option<Torsion>,
}

/// What all places have in common; with the torsion of the section where it is `twisted` at one of them.
pub(super) fn common<R: Recorder>(
    r: &mut R,
    input: &MemberInput<'_>,
    grade: &EurocodeGrade,
    (k_mod, gamma_m): (f64, f64),
    twisted: bool,
) -> Common {
    let s = &input.section;
    let rectangle = is_rectangle(s);
    let b = r.input("breadth of the rectangle, along the panel", "b", s.breadth * 1e3, "mm", "");
    let h = r.input("depth of the rectangle, through the shell", "h", s.depth * 1e3, "mm", "");
    let area = r.input("area of the finished section", "A", s.area * 1e6, "mm²", "");
    let w_y = r.input("section modulus, bending out of the surface", "W_y", s.modulus_y * 1e9, "mm³", "");
    let w_z = r.input("section modulus, bending in the surface", "W_z", s.modulus_z * 1e9, "mm³", "");
    let i_y2 = r.input("second moment about y", "I_y", s.second_moment_y * 1e12, "mm⁴", "");
    let i_z2 = r.input("second moment about z", "I_z", s.second_moment_z * 1e12, "mm⁴", "");
    let (area_net, w_y_net, w_z_net) = net(r, input, [b, area, w_y, w_z, i_y2, i_z2]);

    r.input("load duration and moisture", "k_mod", k_mod, "–", "3.1.3, Table 3.1");
    r.input("partial factor of the material", "γ_M", gamma_m, "–", "2.4.1, Table 2.3");
    let k_sys = r.input("load sharing", "k_sys", input.conditions.k_sys, "–", "6.6");
    let (k_h_y, k_h_z, k_h_t) = size_factors(r, grade, b, h);
    let f = |pa: f64| pa * 1e-6;
    let f_m_k = r.input("bending strength", "f_m,k", f(grade.f_m_k), "N/mm²", "");
    let f_t_0_k = r.input("tension strength", "f_t,0,k", f(grade.f_t_0_k), "N/mm²", "");
    let f_c_0_k = r.input("compression strength", "f_c,0,k", f(grade.f_c_0_k), "N/mm²", "");
    let f_v_k = r.input("shear strength", "f_v,k", f(grade.f_v_k), "N/mm²", "");
    let e_0_05 = r.input("modulus along the grain, 5 %", "E_0,05", f(grade.e_0_05), "N/mm²", "");
    let f_m_y_d = r.derived(
        "design bending strength, out of the surface",
        "f_m,y,d",
        "k_mod·k_sys·k_h,y·f_m,k / γ_M",
        k_mod * k_sys * k_h_y * f_m_k / gamma_m,
        "N/mm²",
        "2.4.1 (2.14)",
    );
    let f_m_z_d = r.derived(
        "design bending strength, in the surface",
        "f_m,z,d",
        "k_mod·k_sys·k_h,z·f_m,k / γ_M",
        k_mod * k_sys * k_h_z * f_m_k / gamma_m,
        "N/mm²",
        "2.4.1 (2.14)",
    );
    let f_t_0_d = r.derived(
        "design tension strength",
        "f_t,0,d",
        "k_mod·k_sys·k_h,t·f_t,0,k / γ_M",
        k_mod * k_sys * k_h_t * f_t_0_k / gamma_m,
        "N/mm²",
        "2.4.1 (2.14)",
    );
    let f_c_0_d = r.derived(
        "design compression strength",
        "f_c,0,d",
        "k_mod·k_sys·f_c,0,k / γ_M",
        k_mod * k_sys * f_c_0_k / gamma_m,
        "N/mm²",
        "2.4.1 (2.14)",
    );
    let f_v_d = r.derived(
        "design shear strength",
        "f_v,d",
        "k_mod·k_sys·f_v,k / γ_M",
        k_mod * k_sys * f_v_k / gamma_m,
        "N/mm²",
        "2.4.1 (2.14)",
    );
    // Trapezia count as "other sections" (6.1.6(2)).
    let k_m = if rectangle { 0.7 } else { 1.0 };
    r.input(
        if rectangle {
            "bending about two axes, rectangle"
        } else {
            "bending about two axes, not a rectangle"
        },
        "k_m",
        k_m,
        "–",
        "6.1.6(2)",
    );
    let k_cr = r.input(
        "cracks in shear",
        "k_cr",
        if grade.material == Material::Lvl { 1.0 } else { 0.67 },
        "–",
        "6.1.7(2) (6.13a)",
    );
    // The greatest of V S A / (I b) over right trapezia of every taper is 1.509 (computed here).
    let k_tau = r.input(
        if rectangle { "peak over mean shear, rectangle" } else { "peak over mean shear, trapezium" },
        "k_τ",
        if rectangle { 1.5 } else { 1.51 },
        "–",
        "6.1.7",
    );

    let strut = Strut { length: input.length * 1e3, area, f_c_0_k, e_0_05 };
    let held = input.restraint.side != SideHold::None;
    let (k_c_y, rel_y) = buckling_y(r, &strut, i_y2, input.restraint.length_factor_y, grade.material);
    let factor_z = if held { 0.0 } else { input.restraint.length_factor_z };
    let (k_c_z, rel_z) = buckling_z(r, &strut, i_z2, factor_z, grade.material);
    let strong_y = i_y2 >= i_z2;
    let k_crit = lateral_factor(r, input, grade, strong_y, [b, h, w_y, w_z, i_y2, i_z2, f_m_k, e_0_05]);
    let torsion = twisted.then(|| twist(r, b, h, area));
    let stocky = rel_y <= 0.3 && rel_z <= 0.3;
    Common {
        area,
        area_net,
        w_y,
        w_z,
        w_y_net,
        w_z_net,
        k_m,
        f_m_y_d,
        f_m_z_d,
        f_t_0_d,
        f_c_0_d,
        f_v_d,
        k_c_y,
        k_c_z,
        stocky,
        k_crit,
        strong_y,
        k_cr,
        k_tau,
        torsion,
    }
}

/// What is left beside a hole through the breadth for tension and bending (5.2; an axial compression keeps the whole
/// area, for holes in columns, and filled ones on the pressed side, are not taken off).
fn net<R: Recorder>(r: &mut R, input: &MemberInput<'_>, whole: [f64; 6]) -> (f64, f64, f64) {
    let [b, area, w_y, w_z, i_y, i_z] = whole;
    let Some(hole) = input.hole else {
        r.derived("net area, no holes taken off", "A_net", "A", area, "mm²", "");
        r.derived("net modulus about y", "W_y,net", "W_y", w_y, "mm³", "");
        r.derived("net modulus about z", "W_z,net", "W_z", w_z, "mm³", "");
        return (area, w_y, w_z);
    };
    let d = r.input("hole through the breadth", "d_0", hole.diameter * 1e3, "mm", "5.2");
    let off = r.input("from its middle to mid-depth", "e_0", hole.off * 1e3, "mm", "");
    let net = r.derived("net area", "A_net", "max(A − d_0·b; 0)", (area - d * b).max(0.0), "mm²", "5.2");
    let y = r.derived(
        "net modulus about y",
        "W_y,net",
        "W_y·max(1 − b·d_0·(d_0^2 / 12 + e_0^2) / I_y; 0)",
        w_y * (1.0 - b * d * (d * d / 12.0 + off * off) / i_y).max(0.0),
        "mm³",
        "5.2",
    );
    let z = r.derived(
        "net modulus about z",
        "W_z,net",
        "W_z·max(1 − d_0·b^3 / (12·I_z); 0)",
        w_z * (1.0 - d * b.powi(3) / (12.0 * i_z)).max(0.0),
        "mm³",
        "5.2",
    );
    (net, y, z)
}

/// `k_h` for bending out of the surface, bending in it, and tension: each with its own dimension.
fn size_factors<R: Recorder>(r: &mut R, grade: &EurocodeGrade, b: f64, h: f64) -> (f64, f64, f64) {
    match grade.material {
        Material::Softwood | Material::Hardwood if grade.rho_k <= 700.0 => {
            let k = |size: f64| (150.0 / size).powf(0.2).clamp(1.0, 1.3);
            let clause = "3.2(3) (3.1)";
            let y = "max(1; min((150 / h)^0.2; 1.3))";
            let z = "max(1; min((150 / b)^0.2; 1.3))";
            let t = "max(1; min((150 / max(b; h))^0.2; 1.3))";
            let in_depth = r.derived("size, depth in bending", "k_h,y", y, k(h), "–", clause);
            let in_breadth = r.derived("size, breadth in bending", "k_h,z", z, k(b), "–", clause);
            let larger = if b > h { in_breadth } else { in_depth };
            (in_depth, in_breadth, r.derived("size, larger side in tension", "k_h,t", t, larger, "–", clause))
        }
        Material::Glulam => {
            let k = |size: f64| (600.0 / size).powf(0.1).clamp(1.0, 1.1);
            let clause = "3.3(3) (3.2)";
            let y = "max(1; min((600 / h)^0.1; 1.1))";
            let z = "max(1; min((600 / b)^0.1; 1.1))";
            let t = "max(1; min((600 / max(b; h))^0.1; 1.1))";
            (
                r.derived("size, depth in bending", "k_h,y", y, k(h), "–", clause),
                r.derived("size, breadth in bending", "k_h,z", z, k(b), "–", clause),
                r.derived("size, larger side in tension", "k_h,t", t, k(b.max(h)), "–", clause),
            )
        }
        // Laminated veneer lumber has a maker's exponent, dense hardwood none: no gain is taken.
        _ => (
            r.input("size, no gain taken", "k_h,y", 1.0, "–", "3.2(3), 3.4"),
            r.input("size, no gain taken", "k_h,z", 1.0, "–", "3.2(3), 3.4"),
            r.input("size, no gain taken", "k_h,t", 1.0, "–", "3.2(3), 3.4"),
        ),
    }
}
