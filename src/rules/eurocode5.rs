//! Timbers to EN 1995-1-1:2004+A1:2008+A2:2014, in newtons and millimetres.
//!
//! Clauses and expressions are from memory (high), those of chapter 6 also seen in the LVL Handbook
//! Europe 2025; where this goes beyond the standard's letter the clause says so:
//!
//! - shear from both directions adds as a resultant: both peak at the centroid of a rectangle;
//! - torsion with shear: `τ_tor/(k_shape f_v) + (τ/f_v)² ≤ 1`, the German national annex (NCI to 6.1.9,
//!   from memory, medium); EN 1995-1-1 has no interaction. The utilisation is the η with which both stresses over η
//!   reach 1 there, so that a hint of torsion leaves shear what it is;
//! - bending, tension and shear go by what holes leave (5.2), torsion and compression by the whole section;
//! - (6.35) has the bending about the other axis added linearly; without it that bending would go
//!   unseen (German national annex, NCI to 6.3.3, from memory, medium).

use crate::rules::eurocode5_strengths::common;
use crate::rules::members::{MemberInput, RuleError, SideHold};
use crate::rules::recorder::Recorder;
use crate::section::forces::StripForces;
use crate::tables::grade::EurocodeGrade;

pub use crate::rules::eurocode5_stability::torsion_modulus;
pub(crate) use crate::rules::eurocode5_strengths::{Common, load_duration, modification};

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
    let mut close = |(formula, value, rule, clause): Expression| {
        let value = r.derived("utilisation", "η", formula, value, "–", clause);
        r.close(rule, clause, value);
    };
    // With k_m = 1 both expressions of a pair are one, and the first that is made gives it its name: that of the greater bending.
    let mut close_both = |out_of: Expression, within: Expression| {
        let [first, second] = if z > y { [within, out_of] } else { [out_of, within] };
        close(first);
        close(second);
    };
    if forces.n > 0.0 && !bent {
        let rule = "tension along the grain";
        close(("σ_t,0,d / f_t,0,d", s.axial / c.f_t_0_d, rule, "EN 1995-1-1 6.1.2 (6.1)"));
    } else if forces.n > 0.0 {
        let t = s.axial / c.f_t_0_d;
        close_both(
            (
                "σ_t,0,d / f_t,0,d + σ_m,y,d / f_m,y,d + k_m·σ_m,z,d / f_m,z,d",
                t + y + c.k_m * z,
                "tension with bending, mostly out of the surface",
                "EN 1995-1-1 6.2.3 (6.17)",
            ),
            (
                "σ_t,0,d / f_t,0,d + k_m·σ_m,y,d / f_m,y,d + σ_m,z,d / f_m,z,d",
                t + c.k_m * y + z,
                "tension with bending, mostly in the surface",
                "EN 1995-1-1 6.2.3 (6.18)",
            ),
        );
    } else if forces.n == 0.0 {
        if bent {
            close_both(
                (
                    "σ_m,y,d / f_m,y,d + k_m·σ_m,z,d / f_m,z,d",
                    y + c.k_m * z,
                    "bending, mostly out of the surface",
                    "EN 1995-1-1 6.1.6 (6.11)",
                ),
                (
                    "k_m·σ_m,y,d / f_m,y,d + σ_m,z,d / f_m,z,d",
                    c.k_m * y + z,
                    "bending, mostly in the surface",
                    "EN 1995-1-1 6.1.6 (6.12)",
                ),
            );
        }
    } else if c.stocky {
        let n = s.axial / c.f_c_0_d;
        close_both(
            (
                "(σ_c,0,d / f_c,0,d)^2 + σ_m,y,d / f_m,y,d + k_m·σ_m,z,d / f_m,z,d",
                n * n + y + c.k_m * z,
                "compression with bending, mostly out of the surface",
                "EN 1995-1-1 6.2.4 (6.19)",
            ),
            (
                "(σ_c,0,d / f_c,0,d)^2 + k_m·σ_m,y,d / f_m,y,d + σ_m,z,d / f_m,z,d",
                n * n + c.k_m * y + z,
                "compression with bending, mostly in the surface",
                "EN 1995-1-1 6.2.4 (6.20)",
            ),
        );
        close(("σ_c,0,d / f_c,0,d", n, "compression along the grain", "EN 1995-1-1 6.1.4 (6.2)"));
    } else {
        let (rule_y, rule_z) = if bent {
            (
                "bending with compression, buckling out of the surface",
                "bending with compression, buckling in the surface",
            )
        } else {
            ("compression, buckling out of the surface", "compression, buckling in the surface")
        };
        close((
            "σ_c,0,d / (k_c,y·f_c,0,d) + σ_m,y,d / f_m,y,d + k_m·σ_m,z,d / f_m,z,d",
            s.axial / (c.k_c_y * c.f_c_0_d) + y + c.k_m * z,
            rule_y,
            "EN 1995-1-1 6.3.2 (6.23)",
        ));
        close((
            "σ_c,0,d / (k_c,z·f_c,0,d) + k_m·σ_m,y,d / f_m,y,d + σ_m,z,d / f_m,z,d",
            s.axial / (c.k_c_z * c.f_c_0_d) + c.k_m * y + z,
            rule_z,
            "EN 1995-1-1 6.3.2 (6.24)",
        ));
    }
}

/// Formula, value, rule and clause of one expression.
type Expression = (&'static str, f64, &'static str, &'static str);

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

/// Torsion up to this part of shear, each of its limit, leaves the name to shear (own choice).
const HINT: f64 = 0.01;

/// Shear of both directions, with torsion.
fn shear<R: Recorder>(r: &mut R, forces: &StripForces, c: &Common) {
    if forces.vy == 0.0 && forces.vz == 0.0 && forces.t == 0.0 {
        return;
    }
    let v_y = r.input("shear in the surface", "V_y,d", forces.vy.abs(), "N", "");
    let v_z = r.input("shear out of the surface", "V_z,d", forces.vz.abs(), "N", "");
    let formula = "k_τ·√(V_y,d^2 + V_z,d^2) / (k_cr·A_net)";
    let v = v_y.hypot(v_z);
    let tau = if v > 0.0 { c.k_tau * v / (c.k_cr * c.area_net) } else { 0.0 };
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
    let clause =
        "EN 1995-1-1 6.1.8 (6.14), 6.1.7; German national annex, NCI to 6.1.9, solved for the share of both";
    let u_tor = tor / (t.k_shape * c.f_v_d);
    let u_tor = r.derived("torsion alone", "u_tor", "τ_tor,d / (k_shape·f_v,d)", u_tor, "–", clause);
    let shear = r.derived("shear alone", "u_v", "τ_d / f_v,d", tau / c.f_v_d, "–", clause);
    let formula = "(u_tor + √(u_tor^2 + 4·u_v^2)) / 2";
    let value = 0.5 * (u_tor + u_tor.hypot(2.0 * shear));
    let value = r.derived("utilisation", "η", formula, value, "–", clause);
    // What hardly adds to shear gives it no other name.
    let rule = if u_tor > HINT * shear { "torsion with shear" } else { "shear" };
    r.close(rule, clause, value);
    let clause = "EN 1995-1-1 6.1.7 (6.13)";
    let value = r.derived("utilisation", "η", "τ_d / f_v,d", shear, "–", clause);
    r.close("shear", clause, value);
}
