//! Timbers to EN 1995-1-1:2004+A1:2008+A2:2014, in newtons and millimetres.
//!
//! Clauses and expressions are from memory (high), those of chapter 6 also seen in the LVL Handbook
//! Europe 2025; where this goes beyond the standard's letter the clause says so:
//!
//! - shear from both directions adds as a resultant: both peak at the centroid of a rectangle;
//! - torsion with shear: `τ_tor/(k_shape f_v) + (τ/f_v)² ≤ 1`, the German national annex (NCI to 6.1.9,
//!   from memory, medium); EN 1995-1-1 has no interaction;
//! - (6.35) has the bending about the other axis added linearly; without it that bending would go
//!   unseen (German national annex, NCI to 6.3.3, from memory, medium).

use crate::loads::Duration;
use crate::rules::eurocode5_stability::{Strut, Torsion, buckling_y, buckling_z, lateral_factor, twist};
use crate::rules::members::{MemberInput, RuleError, SideHold, is_rectangle};
use crate::rules::recorder::Recorder;
use crate::section::forces::StripForces;
use crate::tables::Tables;
use crate::tables::eurocode::LoadDuration;
use crate::tables::grade::{EurocodeGrade, Material};

pub use crate::rules::eurocode5_stability::torsion_modulus;

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
    let gamma =
        if c.accidental { 1.0 } else { c.partial_factor.unwrap_or_else(|| tables.gamma_m(grade.material)) };
    if !(gamma.is_finite() && gamma >= 1.0) {
        return Err(RuleError::Value { what: "the partial factor of the material", value: gamma });
    }
    Ok((k_mod, gamma))
}

/// Values that do not depend on the place, in N and mm.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Common {
    area: f64,
    area_net: f64,
    w_y: f64,
    w_z: f64,
    w_y_net: f64,
    w_z_net: f64,
    k_m: f64,
    f_m_y_d: f64,
    f_m_z_d: f64,
    f_t_0_d: f64,
    f_c_0_d: f64,
    f_v_d: f64,
    k_c_y: f64,
    k_c_z: f64,
    stocky: bool,
    k_crit: f64,
    strong_y: bool,
    k_cr: f64,
    k_tau: f64,
    torsion: Option<Torsion>,
}

/// Checks one timber.
pub(crate) fn check<R: Recorder>(
    r: &mut R,
    input: &MemberInput<'_>,
    grade: &EurocodeGrade,
) -> Result<(), RuleError> {
    let twisted = input.forces.iter().any(|f| f.t != 0.0);
    let common = prepare(r, input, grade, twisted)?;
    for (at, forces) in input.forces.iter().enumerate() {
        r.at(at);
        if let Some(x) = input.places.get(at) {
            r.input("place along the timber", "x", x * 1e3, "mm", "");
        }
        place(r, input, forces, &common);
    }
    Ok(())
}

/// What all places have in common; with the torsion of the section where it is `twisted` at one of them.
pub(crate) fn prepare<R: Recorder>(
    r: &mut R,
    input: &MemberInput<'_>,
    grade: &EurocodeGrade,
    twisted: bool,
) -> Result<Common, RuleError> {
    let factors = modification(input, grade)?;
    Ok(common(r, input, grade, factors, twisted))
}

/// Checks one place of a timber.
pub(crate) fn place<R: Recorder>(r: &mut R, input: &MemberInput<'_>, forces: &StripForces, common: &Common) {
    let forces = &without_noise(forces, common);
    let stresses = stresses(r, forces, common);
    along(r, forces, common, &stresses);
    lateral(r, input, forces, common, &stresses);
    shear(r, forces, common);
}

/// The forces without what is only rounding: an axial, bending or torsion stress below a millionth of its
/// strength is none, so that the rule named is the one that matters.
fn without_noise(forces: &StripForces, c: &Common) -> StripForces {
    const NOISE: f64 = 1e-6;
    let keep = |value: f64, limit: f64| if value.abs() <= NOISE * limit { 0.0 } else { value };
    StripForces {
        n: keep(forces.n, c.f_c_0_d.min(c.f_t_0_d) * c.area),
        my: keep(forces.my, c.f_m_y_d * c.w_y * 1e-3),
        mz: keep(forces.mz, c.f_m_z_d * c.w_z * 1e-3),
        t: c.torsion.map_or(forces.t, |t| keep(forces.t, c.f_v_d * t.alpha * t.h_t * t.b_t * t.b_t * 1e-3)),
        ..*forces
    }
}

fn common<R: Recorder>(
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
    let stocky = input.second_order || (rel_y <= 0.3 && rel_z <= 0.3);
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

/// Stresses at one place \[N/mm²\], compression and tension apart.
struct Stresses {
    axial: f64,
    y: f64,
    z: f64,
}

fn stresses<R: Recorder>(r: &mut R, forces: &StripForces, c: &Common) -> Stresses {
    let tension = forces.n >= 0.0;
    let m_y = r.input("bending out of the surface", "M_y,d", forces.my.abs() * 1e3, "N·mm", "");
    let m_z = r.input("bending in the surface", "M_z,d", forces.mz.abs() * 1e3, "N·mm", "");
    // Bending goes by the net moduli beside compression too: its pulled side has the hole in it (5.2), and a hint of
    // compression must not bring back what the hole took.
    let axial = if tension {
        let n = r.input("tension", "N_t,d", forces.n, "N", "");
        r.derived("tension stress", "σ_t,0,d", "N_t,d / A_net", n / c.area_net, "N/mm²", "6.1.2")
    } else {
        let n = r.input("compression", "N_c,d", -forces.n, "N", "");
        r.derived("compression stress", "σ_c,0,d", "N_c,d / A", n / c.area, "N/mm²", "6.1.4")
    };
    let (words_y, words_z) = ("bending stress, out of the surface", "bending stress, in the surface");
    Stresses {
        axial,
        y: r.derived(words_y, "σ_m,y,d", "M_y,d / W_y,net", m_y / c.w_y_net, "N/mm²", "6.1.6"),
        z: r.derived(words_z, "σ_m,z,d", "M_z,d / W_z,net", m_z / c.w_z_net, "N/mm²", "6.1.6"),
    }
}

/// Axial force with bending about both axes.
fn along<R: Recorder>(r: &mut R, forces: &StripForces, c: &Common, s: &Stresses) {
    let bent = forces.my != 0.0 || forces.mz != 0.0;
    let (y, z) = (s.y / c.f_m_y_d, s.z / c.f_m_z_d);
    let mut close = |formula: &'static str, value: f64, rule: &'static str, clause: &'static str| {
        let value = r.derived("utilisation", "η", formula, value, "–", clause);
        r.close(rule, clause, value);
    };
    if forces.n > 0.0 && !bent {
        let rule = "tension along the grain";
        close("σ_t,0,d / f_t,0,d", s.axial / c.f_t_0_d, rule, "EN 1995-1-1 6.1.2 (6.1)");
    } else if forces.n > 0.0 {
        let t = s.axial / c.f_t_0_d;
        close(
            "σ_t,0,d / f_t,0,d + σ_m,y,d / f_m,y,d + k_m·σ_m,z,d / f_m,z,d",
            t + y + c.k_m * z,
            "tension with bending, mostly out of the surface",
            "EN 1995-1-1 6.2.3 (6.17)",
        );
        close(
            "σ_t,0,d / f_t,0,d + k_m·σ_m,y,d / f_m,y,d + σ_m,z,d / f_m,z,d",
            t + c.k_m * y + z,
            "tension with bending, mostly in the surface",
            "EN 1995-1-1 6.2.3 (6.18)",
        );
    } else if forces.n == 0.0 {
        if bent {
            close(
                "σ_m,y,d / f_m,y,d + k_m·σ_m,z,d / f_m,z,d",
                y + c.k_m * z,
                "bending, mostly out of the surface",
                "EN 1995-1-1 6.1.6 (6.11)",
            );
            close(
                "k_m·σ_m,y,d / f_m,y,d + σ_m,z,d / f_m,z,d",
                c.k_m * y + z,
                "bending, mostly in the surface",
                "EN 1995-1-1 6.1.6 (6.12)",
            );
        }
    } else if c.stocky {
        let n = s.axial / c.f_c_0_d;
        close(
            "(σ_c,0,d / f_c,0,d)^2 + σ_m,y,d / f_m,y,d + k_m·σ_m,z,d / f_m,z,d",
            n * n + y + c.k_m * z,
            "compression with bending, mostly out of the surface",
            "EN 1995-1-1 6.2.4 (6.19)",
        );
        close(
            "(σ_c,0,d / f_c,0,d)^2 + k_m·σ_m,y,d / f_m,y,d + σ_m,z,d / f_m,z,d",
            n * n + c.k_m * y + z,
            "compression with bending, mostly in the surface",
            "EN 1995-1-1 6.2.4 (6.20)",
        );
        close("σ_c,0,d / f_c,0,d", n, "compression along the grain", "EN 1995-1-1 6.1.4 (6.2)");
    } else {
        let (rule_y, rule_z) = if bent {
            (
                "bending with compression, buckling out of the surface",
                "bending with compression, buckling in the surface",
            )
        } else {
            ("compression, buckling out of the surface", "compression, buckling in the surface")
        };
        close(
            "σ_c,0,d / (k_c,y·f_c,0,d) + σ_m,y,d / f_m,y,d + k_m·σ_m,z,d / f_m,z,d",
            s.axial / (c.k_c_y * c.f_c_0_d) + y + c.k_m * z,
            rule_y,
            "EN 1995-1-1 6.3.2 (6.23)",
        );
        close(
            "σ_c,0,d / (k_c,z·f_c,0,d) + k_m·σ_m,y,d / f_m,y,d + σ_m,z,d / f_m,z,d",
            s.axial / (c.k_c_z * c.f_c_0_d) + c.k_m * y + z,
            rule_z,
            "EN 1995-1-1 6.3.2 (6.24)",
        );
    }
}

/// Lateral buckling in bending about the stronger axis, with compression where there is any.
fn lateral<R: Recorder>(r: &mut R, input: &MemberInput<'_>, forces: &StripForces, c: &Common, s: &Stresses) {
    let (strong, stress) = if c.strong_y { (forces.my, s.y) } else { (forces.mz, s.z) };
    if strong == 0.0 {
        return;
    }
    // M_y positive stretches the outside face and compresses the inside one.
    let held = match input.restraint.side {
        SideHold::None => false,
        SideHold::OutsideFace => c.strong_y && forces.my < 0.0,
        SideHold::BothFaces => c.strong_y,
    };
    let k_crit = if held {
        r.derived(
            "lateral buckling, compressed edge held by the cover",
            "k_crit,x",
            "1",
            1.0,
            "–",
            "6.3.3(5)",
        )
    } else {
        r.derived("lateral buckling", "k_crit,x", "k_crit", c.k_crit, "–", "6.3.3 (6.34)")
    };
    let strength = if c.strong_y { c.f_m_y_d } else { c.f_m_z_d };
    if forces.n >= 0.0 {
        let formula =
            if c.strong_y { "σ_m,y,d / (k_crit,x·f_m,y,d)" } else { "σ_m,z,d / (k_crit,x·f_m,z,d)" };
        let clause = "EN 1995-1-1 6.3.3 (6.33)";
        let value = r.derived("utilisation", "η", formula, stress / (k_crit * strength), "–", clause);
        r.close("lateral buckling in bending", clause, value);
        return;
    }
    let (formula, k_c, other) = match (c.strong_y, c.stocky) {
        (true, false) => (
            "(σ_m,y,d / (k_crit,x·f_m,y,d))^2 + σ_c,0,d / (k_c,z·f_c,0,d) + σ_m,z,d / f_m,z,d",
            c.k_c_z,
            s.z / c.f_m_z_d,
        ),
        (true, true) => {
            ("(σ_m,y,d / (k_crit,x·f_m,y,d))^2 + σ_c,0,d / f_c,0,d + σ_m,z,d / f_m,z,d", 1.0, s.z / c.f_m_z_d)
        }
        (false, false) => (
            "(σ_m,z,d / (k_crit,x·f_m,z,d))^2 + σ_c,0,d / (k_c,y·f_c,0,d) + σ_m,y,d / f_m,y,d",
            c.k_c_y,
            s.y / c.f_m_y_d,
        ),
        (false, true) => {
            ("(σ_m,z,d / (k_crit,x·f_m,z,d))^2 + σ_c,0,d / f_c,0,d + σ_m,y,d / f_m,y,d", 1.0, s.y / c.f_m_y_d)
        }
    };
    let bending = stress / (k_crit * strength);
    let value = bending * bending + s.axial / (k_c * c.f_c_0_d) + other;
    let clause = "EN 1995-1-1 6.3.3 (6.35), bending about the other axis added";
    let value = r.derived("utilisation", "η", formula, value, "–", clause);
    r.close("lateral buckling in bending with compression", clause, value);
}

/// Shear of both directions, with torsion.
fn shear<R: Recorder>(r: &mut R, forces: &StripForces, c: &Common) {
    if forces.vy == 0.0 && forces.vz == 0.0 && forces.t == 0.0 {
        return;
    }
    let v_y = r.input("shear in the surface", "V_y,d", forces.vy.abs(), "N", "");
    let v_z = r.input("shear out of the surface", "V_z,d", forces.vz.abs(), "N", "");
    let formula = "k_τ·√(V_y,d^2 + V_z,d^2) / (k_cr·A)";
    let tau = c.k_tau * v_y.hypot(v_z) / (c.k_cr * c.area);
    let tau = r.derived("shear stress, both directions", "τ_d", formula, tau, "N/mm²", "6.1.7 (6.13a)");
    let Some(t) = c.torsion.filter(|_| forces.t != 0.0) else {
        let clause = "EN 1995-1-1 6.1.7 (6.13)";
        let value = r.derived("utilisation", "η", "τ_d / f_v,d", tau / c.f_v_d, "–", clause);
        r.close("shear", clause, value);
        return;
    };
    let moment = r.input("torsion", "T_d", forces.t.abs() * 1e3, "N·mm", "");
    let tor = moment / (t.alpha * t.h_t * t.b_t * t.b_t);
    let formula = "T_d / (α_t·h_t·b_t^2)";
    let tor = r.derived("torsion stress", "τ_tor,d", formula, tor, "N/mm²", "6.1.8");
    let clause = "EN 1995-1-1 6.1.8 (6.14), 6.1.7; German national annex, NCI to 6.1.9";
    let shear = tau / c.f_v_d;
    let value = r.derived(
        "utilisation",
        "η",
        "τ_tor,d / (k_shape·f_v,d) + (τ_d / f_v,d)^2",
        tor / (t.k_shape * c.f_v_d) + shear * shear,
        "–",
        clause,
    );
    r.close("torsion with shear", clause, value);
    let clause = "EN 1995-1-1 6.1.7 (6.13)";
    let value = r.derived("utilisation", "η", "τ_d / f_v,d", shear, "–", clause);
    r.close("shear", clause, value);
}
