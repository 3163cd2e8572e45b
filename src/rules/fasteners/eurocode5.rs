//! EN 1995-1-1:2004+A1+A2 section 8: dowel-type fasteners, timber to timber. Newtons, millimetres, kg/m³, degrees.
//!
//! All formulas from memory, each about 95 % sure unless it says less; the letters of the failure modes agree with
//! Porteous and Kermani, *Structural Timber Design to Eurocode 5*.

use crate::rules::fasteners::WoodKind;
use crate::rules::recorder::Recorder;
use crate::tables::Tables;

/// How a fastener bears on the wood around it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Dowel {
    /// Bolt, dowel, or screw with an effective diameter above 6 mm (8.5.1, 8.7.1(4)).
    Bolt,
    /// Nail, or screw with an effective diameter up to 6 mm (8.3.1, 8.7.1(5)), driven.
    Driven,
    /// The same in a drilled hole.
    Predrilled,
}

/// First (head side) or second (point side, or middle) member; both where they are alike.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Member {
    /// Head side.
    One,
    /// Point side, or the middle one in double shear.
    Two,
}

struct Signs {
    density: &'static str,
    angle: &'static str,
    along: &'static str,
    embedment: &'static str,
    driven: &'static str,
    bolt: &'static str,
    turned: &'static str,
}

macro_rules! signs {
    ($n:literal) => {
        Signs {
            density: concat!("ρ_k,", $n),
            angle: concat!("α_", $n),
            along: concat!("f_h,0,", $n, ",k"),
            embedment: concat!("f_h,", $n, ",k"),
            driven: concat!("0.082·ρ_k,", $n, "·d^(−0.3)"),
            bolt: concat!("0.082·(1 − 0.01·d)·ρ_k,", $n),
            turned: concat!("f_h,0,", $n, ",k/(k_90·sin(α_", $n, ")^2 + cos(α_", $n, ")^2)"),
        }
    };
}

const ONE: Signs = signs!("1");
const TWO: Signs = signs!("2");

/// Embedment strength `f_h,k` at an angle to the grain \[N/mm²\].
///
/// `diameter` is recorded by the caller as "d". Driven and predrilled fasteners up to 6 mm do not ask for the
/// angle (8.15, 8.16).
pub fn embedment<R: Recorder>(
    r: &mut R,
    member: Member,
    dowel: Dowel,
    diameter: f64,
    wood: (WoodKind, f64),
    angle_deg: f64,
) -> f64 {
    let signs = match member {
        Member::One => &ONE,
        Member::Two => &TWO,
    };
    let (kind, density) = wood;
    let d = diameter;
    let rho = r.input("characteristic density", signs.density, density, "kg/m³", "EN 338");
    match dowel {
        Dowel::Driven => r.derived(
            "embedment strength, driven",
            signs.embedment,
            signs.driven,
            0.082 * rho * d.powf(-0.3),
            "N/mm²",
            "EN 1995-1-1 (8.15)",
        ),
        Dowel::Predrilled => r.derived(
            "embedment strength, drilled hole",
            signs.embedment,
            signs.bolt,
            0.082 * (1.0 - 0.01 * d) * rho,
            "N/mm²",
            "EN 1995-1-1 (8.16)",
        ),
        Dowel::Bolt => {
            let along = r.derived(
                "embedment strength along the grain",
                signs.along,
                signs.bolt,
                0.082 * (1.0 - 0.01 * d) * rho,
                "N/mm²",
                "EN 1995-1-1 (8.32)",
            );
            let k_90 = k90(r, kind, d);
            let a = r.input("angle of the force to the grain", signs.angle, angle_deg, "°", "");
            let (sin, cos) = crate::units::radians(a).sin_cos();
            r.derived(
                "embedment strength at that angle",
                signs.embedment,
                signs.turned,
                along / (k_90 * sin * sin + cos * cos),
                "N/mm²",
                "EN 1995-1-1 (8.31)",
            )
        }
    }
}

fn k90<R: Recorder>(r: &mut R, kind: WoodKind, d: f64) -> f64 {
    let (formula, base) = match kind {
        WoodKind::Softwood => ("1.35 + 0.015·d", 1.35),
        WoodKind::Hardwood => ("0.90 + 0.015·d", 0.90),
    };
    r.derived(
        "loss of embedment across the grain",
        "k_90",
        formula,
        base + 0.015 * d,
        "–",
        "EN 1995-1-1 (8.33)",
    )
}

/// Yield moment of a bolt, screw or round nail, `M_y,Rk` \[N·mm\], from its tensile strength `f_u` \[N/mm²\].
pub fn yield_moment<R: Recorder>(r: &mut R, diameter: f64, steel: f64) -> f64 {
    let f = r.input("tensile strength of the steel", "f_u,k", steel, "N/mm²", "");
    let moment = 0.3 * f * diameter.powf(2.6);
    r.derived("yield moment", "M_y,Rk", "0.3·f_u,k·d^2.6", moment, "N·mm", "EN 1995-1-1 (8.30), (8.14)")
}

/// One shear plane.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plane {
    /// Diameter; effective diameter of a screw \[mm\].
    pub diameter: f64,
    /// Embedment strength of the head-side member \[N/mm²\].
    pub embedment_1: f64,
    /// Embedment strength of the point-side member, or of the middle one in double shear \[N/mm²\].
    pub embedment_2: f64,
    /// Thickness of the head-side member \[mm\].
    pub thickness_1: f64,
    /// Penetration into the point-side member; thickness of the middle one in double shear \[mm\].
    pub thickness_2: f64,
    /// Yield moment \[N·mm\].
    pub yield_moment: f64,
    /// What it holds along its axis, characteristic \[N\]; 0 where that is not known (8.2.2(2)).
    pub axial: f64,
    /// Greatest rope effect as a share of the yield term: [`rope_share`].
    pub rope_share: f64,
}

/// Rope effect at most this share of the yield term (8.2.2(2)): of bolts, else of screws.
#[must_use]
pub fn rope_share(bolt: bool) -> f64 {
    let rope = &Tables::built_in().fasteners().rope;
    if bolt { rope.bolt } else { rope.screw }
}

fn plane_inputs<R: Recorder>(r: &mut R, p: &Plane) -> f64 {
    r.input("thickness on the head side", "t_1", p.thickness_1, "mm", "");
    r.input("thickness on the point side (in double shear the middle)", "t_2", p.thickness_2, "mm", "");
    r.input("axial resistance that the rope effect may use", "F_ax,Rk", p.axial, "N", "EN 1995-1-1 8.2.2(2)");
    r.input("greatest share of the yield term", "κ", p.rope_share, "–", "EN 1995-1-1 8.2.2(2)");
    let beta = p.embedment_2 / p.embedment_1;
    r.derived("ratio of embedment strengths", "β", "f_h,2,k/f_h,1,k", beta, "–", "EN 1995-1-1 (8.8)")
}

fn with_rope(term: f64, p: &Plane) -> f64 {
    term + (p.axial / 4.0).min(p.rope_share * term)
}

/// Resistance of one fastener in single shear, characteristic \[N\] (8.6). The rope effect is added to each mode
/// that may have it, and only then the least is taken.
///
/// The caller has recorded "d", "`f_h,1,k`", "`f_h,2,k`" and "`M_y,Rk`".
pub fn single_shear<R: Recorder>(r: &mut R, p: &Plane) -> f64 {
    const CLAUSE: &str = "EN 1995-1-1 (8.6)";
    let b = plane_inputs(r, p);
    let (d, f1, f2, t1, t2, my) =
        (p.diameter, p.embedment_1, p.embedment_2, p.thickness_1, p.thickness_2, p.yield_moment);
    let q = t2 / t1;
    let a = r.derived("mode a", "F_a", "f_h,1,k·t_1·d", f1 * t1 * d, "N", CLAUSE);
    let bb = r.derived("mode b", "F_b", "f_h,2,k·t_2·d", f2 * t2 * d, "N", CLAUSE);
    let root = (b + 2.0 * b * b * (1.0 + q + q * q) + b.powi(3) * q * q).sqrt();
    let c = r.derived(
        "mode c, yield term",
        "F_c0",
        "f_h,1,k·t_1·d/(1 + β)·(√(β + 2·β^2·(1 + t_2/t_1 + (t_2/t_1)^2) + β^3·(t_2/t_1)^2) − β·(1 + t_2/t_1))",
        f1 * t1 * d / (1.0 + b) * (root - b * (1.0 + q)),
        "N",
        CLAUSE,
    );
    let dd = mode_one_hinge(r, p, b);
    let root = (2.0 * b * b * (1.0 + b) + 4.0 * b * (1.0 + 2.0 * b) * my / (f1 * d * t2 * t2)).sqrt();
    let e = r.derived(
        "mode e, yield term",
        "F_e0",
        "1.05·f_h,1,k·t_2·d/(1 + 2·β)·(√(2·β^2·(1 + β) + 4·β·(1 + 2·β)·M_y,Rk/(f_h,1,k·d·t_2^2)) − β)",
        1.05 * f1 * t2 * d / (1.0 + 2.0 * b) * (root - b),
        "N",
        CLAUSE,
    );
    let f = mode_two_hinges(r, p, b);
    let c = rope(r, ("mode c with rope effect", "F_c", "F_c0 + min(F_ax,Rk/4; κ·F_c0)"), with_rope(c, p));
    let dd = rope(r, ("mode d with rope effect", "F_d", "F_d0 + min(F_ax,Rk/4; κ·F_d0)"), with_rope(dd, p));
    let e = rope(r, ("mode e with rope effect", "F_e", "F_e0 + min(F_ax,Rk/4; κ·F_e0)"), with_rope(e, p));
    let f = rope(r, ("mode f with rope effect", "F_f", "F_f0 + min(F_ax,Rk/4; κ·F_f0)"), with_rope(f, p));
    r.derived(
        "shear resistance of one fastener",
        "F_v,Rk",
        "min(F_a; F_b; F_c; F_d; F_e; F_f)",
        a.min(bb).min(c).min(dd).min(e).min(f),
        "N",
        CLAUSE,
    )
}

fn rope<R: Recorder>(r: &mut R, what: (&'static str, &'static str, &'static str), value: f64) -> f64 {
    r.derived(what.0, what.1, what.2, value, "N", "EN 1995-1-1 8.2.2(2)")
}

fn mode_one_hinge<R: Recorder>(r: &mut R, p: &Plane, b: f64) -> f64 {
    let (d, f1, t1, my) = (p.diameter, p.embedment_1, p.thickness_1, p.yield_moment);
    let root = (2.0 * b * (1.0 + b) + 4.0 * b * (2.0 + b) * my / (f1 * d * t1 * t1)).sqrt();
    r.derived(
        "one plastic hinge (mode d), yield term",
        "F_d0",
        "1.05·f_h,1,k·t_1·d/(2 + β)·(√(2·β·(1 + β) + 4·β·(2 + β)·M_y,Rk/(f_h,1,k·d·t_1^2)) − β)",
        1.05 * f1 * t1 * d / (2.0 + b) * (root - b),
        "N",
        "EN 1995-1-1 (8.6 d)",
    )
}

fn mode_two_hinges<R: Recorder>(r: &mut R, p: &Plane, b: f64) -> f64 {
    r.derived(
        "two plastic hinges (mode f), yield term",
        "F_f0",
        "1.15·√(2·β/(1 + β))·√(2·M_y,Rk·f_h,1,k·d)",
        1.15 * (2.0 * b / (1.0 + b)).sqrt() * (2.0 * p.yield_moment * p.embedment_1 * p.diameter).sqrt(),
        "N",
        "EN 1995-1-1 (8.6 f)",
    )
}

/// What the wood under a washer holds, characteristic \[N\]: `3·f_c,90,k` over the contact area, of which the hole
/// \[mm\] takes its part (8.5.2(2); the formula as Porteous and Kermani have it, with a hole one millimetre wider than the bolt).
pub fn washer<R: Recorder>(r: &mut R, washer: f64, hole: f64, across: f64) -> f64 {
    let dw = r.input("washer's diameter", "d_w", washer, "mm", "");
    let f = r.input("strength across the grain", "f_c,90,k", across, "N/mm²", "EN 338");
    let hole = r.input("diameter of the hole", "d_0", hole, "mm", "EN 1995-1-1 10.4.3, or as entered");
    let area = std::f64::consts::FRAC_PI_4 * (dw * dw - hole * hole);
    let area = r.derived("area under the washer", "A_w", "π/4·(d_w^2 − d_0^2)", area, "mm²", "");
    let value = 3.0 * f * area.max(0.0);
    r.derived(
        "crushing under the washer",
        "F_w,Rk",
        "3·f_c,90,k·max(A_w; 0)",
        value,
        "N",
        "EN 1995-1-1 8.5.2(2)",
    )
}

/// A screw pulled along its axis out of side grain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Withdrawal {
    /// Outer diameter of the thread d \[mm\].
    pub diameter: f64,
    /// Effective length of thread in the point-side member `l_ef` \[mm\]. The standard's A1 takes the whole
    /// threaded penetration, older text and a 2025 handbook take off one diameter; callers here take it off.
    pub length: f64,
    /// Characteristic density of the member `ρ_k` \[kg/m³\].
    pub density: f64,
    /// Between screw axis and grain \[°\].
    pub angle_deg: f64,
    /// How many screws act together.
    pub number: f64,
    /// Maker's `f_ax,k` \[N/mm²\] and the density that it belongs to \[kg/m³\].
    pub declared: Option<(f64, f64)>,
}

/// Withdrawal of a group of screws, characteristic \[N\]: (8.38) to (8.41), or with the maker's value (8.40a).
///
/// 0 where no rule holds: below 30° to the grain, or outside 6 to 12 mm without a declared value.
pub fn withdrawal<R: Recorder>(r: &mut R, w: &Withdrawal) -> f64 {
    let d = r.input("outer diameter of the thread", "d_s", w.diameter, "mm", "");
    let l = r.input("effective length of the thread", "l_ef", w.length.max(0.0), "mm", "EN 1995-1-1 8.7.2");
    let rho = r.input("characteristic density", "ρ_k", w.density, "kg/m³", "EN 338");
    let a = r.input("screw's angle to the grain", "α_s", w.angle_deg, "°", "");
    let n = r.input("screws acting together", "n_s", w.number, "–", "");
    let group = n.powf(0.9);
    let group = r.derived("effective number", "n_ef,s", "n_s^0.9", group, "–", "EN 1995-1-1 (8.41)");
    let (sin, cos) = crate::units::radians(a).sin_cos();
    let turn = 1.2 * cos * cos + sin * sin;
    let turn = r.derived(
        "angle to the grain",
        "k_α",
        "1.2·cos(α_s)^2 + sin(α_s)^2",
        turn,
        "–",
        "EN 1995-1-1 (8.38)",
    );
    if a < 30.0 - 1e-9 {
        return r.input(
            "no withdrawal rule below 30° to the grain",
            "F_ax,w,Rk",
            0.0,
            "N",
            "EN 1995-1-1 8.7.2",
        );
    }
    if let Some((f, rho_a)) = w.declared {
        let f = r.input("declared withdrawal parameter", "f_ax,k", f, "N/mm²", "maker's declaration");
        let rho_a =
            r.input("density that it belongs to", "ρ_a", rho_a, "kg/m³", "maker's declaration, else assumed");
        let value = group * f * d * l / turn * (rho / rho_a).powf(0.8);
        return r.derived(
            "withdrawal",
            "F_ax,w,Rk",
            "n_ef,s·f_ax,k·d_s·l_ef/k_α·(ρ_k/ρ_a)^0.8",
            value,
            "N",
            "EN 1995-1-1 (8.40a)",
        );
    }
    if !(6.0 - 1e-6..=12.0 + 1e-6).contains(&d) {
        return r.input(
            "no withdrawal rule outside 6 to 12 mm without a declared value",
            "F_ax,w,Rk",
            0.0,
            "N",
            "EN 1995-1-1 8.7.2",
        );
    }
    if l <= 0.0 {
        return r.input("no thread in the far strip", "F_ax,w,Rk", 0.0, "N", "EN 1995-1-1 8.7.2");
    }
    let f = r.derived(
        "withdrawal parameter",
        "f_ax,k",
        "0.52·d_s^(−0.5)·l_ef^(−0.1)·ρ_k^0.8",
        0.52 * d.powf(-0.5) * l.powf(-0.1) * rho.powf(0.8),
        "N/mm²",
        "EN 1995-1-1 (8.39)",
    );
    let kd = r.derived("thin screws", "k_d", "min(d_s/8; 1)", (d / 8.0).min(1.0), "–", "EN 1995-1-1 (8.40)");
    let value = group * f * d * l * kd / turn;
    r.derived("withdrawal", "F_ax,w,Rk", "n_ef,s·f_ax,k·d_s·l_ef·k_d/k_α", value, "N", "EN 1995-1-1 (8.38)")
}

/// Head pull-through with the maker's parameter, one screw, characteristic \[N\] (8.40b).
pub fn head_pull_through<R: Recorder>(r: &mut R, head: f64, declared: (f64, f64), density: f64) -> f64 {
    let dh = r.input("head's diameter", "d_h", head, "mm", "");
    let f =
        r.input("declared pull-through parameter", "f_head,k", declared.0, "N/mm²", "maker's declaration");
    let rho_a = r.input(
        "density that it belongs to",
        "ρ_a",
        declared.1,
        "kg/m³",
        "maker's declaration, else assumed",
    );
    let rho = r.input("characteristic density", "ρ_k", density, "kg/m³", "EN 338");
    let value = f * dh * dh * (rho / rho_a).powf(0.8);
    r.derived(
        "head pull-through",
        "F_head,Rk",
        "f_head,k·d_h^2·(ρ_k/ρ_a)^0.8",
        value,
        "N",
        "EN 1995-1-1 (8.40b)",
    )
}

/// Effective number of bolts in a row along the grain, a force at an angle to it (8.34, 8.35; straight line between).
pub fn effective_number(number: f64, spacing: f64, diameter: f64, angle_deg: f64) -> f64 {
    if number <= 1.0 {
        return number;
    }
    let along = number.min(number.powf(0.9) * (spacing / (13.0 * diameter)).powf(0.25));
    let share = (angle_deg / 90.0).clamp(0.0, 1.0);
    along + (number - along) * share
}

/// Effective number of nails in a row along the grain, a₁ between centres (8.17 with Table 8.1, straight line
/// between its rows; at 4d only in drilled holes).
pub fn effective_number_nails(number: f64, spacing: f64, diameter: f64, predrilled: bool) -> f64 {
    let rows = &Tables::built_in().fasteners().k_ef;
    let ratio = spacing / diameter;
    let at = rows.partition_point(|row| row.0 <= ratio);
    let power = match (at.checked_sub(1).map(|below| rows[below]), rows.get(at)) {
        (Some(last), None) => last.2,
        // Driven, the closest row has no value; closer than the table allows: one fastener's worth.
        (Some(low), Some(high)) if predrilled || low.1 > 0.0 => {
            let ((x0, y0), (x1, y1)) = ((low.0, low.2), (high.0, high.2));
            y0 + (y1 - y0) * (ratio - x0) / (x1 - x0)
        }
        _ => 0.0,
    };
    number.max(1.0).powf(power).min(number)
}

/// Splitting by a force across the grain, characteristic \[N\] (8.4, w = 1): the shear on either side of the
/// joint may not exceed the design value. `loaded` is from the loaded edge to the farthest fastener.
pub fn splitting<R: Recorder>(r: &mut R, width: f64, depth: f64, loaded: f64) -> f64 {
    let b = r.input("thickness of the strip", "b", width, "mm", "");
    let h = r.input("depth of the strip", "h", depth, "mm", "");
    let he = r.input("loaded edge to the farthest fixing", "h_e", loaded.min(h), "mm", "");
    // Infinite where the whole depth is loaded: then nothing is left to split off.
    let value = 14.0 * b * (he / (1.0 - he / h)).sqrt();
    r.derived(
        "splitting by a force across the grain",
        "F_90,Rk",
        "14·b·√(h_e/(1 − h_e/h))",
        value,
        "N",
        "EN 1995-1-1 (8.4)",
    )
}

/// Slip modulus per fastener and shear plane, `K_ser` \[N/mm\] (Table 7.1); the clearance of a bolt's hole comes on top.
#[must_use]
pub fn slip_modulus(dowel: Dowel, density_mean: f64, diameter: f64) -> f64 {
    match dowel {
        Dowel::Bolt | Dowel::Predrilled => density_mean.powf(1.5) * diameter / 23.0,
        Dowel::Driven => density_mean.powf(1.5) * diameter.powf(0.8) / 30.0,
    }
}

/// `K_u` = 2/3 `K_ser`, for strength (2.1).
#[must_use]
pub fn slip_modulus_ultimate(serviceability: f64) -> f64 {
    serviceability * 2.0 / 3.0
}

/// Utilisation under pull and shear together, bolts and screws (8.28), as the length of the vector: 1 where
/// the standard's sum of squares is 1, and in proportion to the load.
#[must_use]
pub fn combined(axial: f64, lateral: f64) -> f64 {
    axial.hypot(lateral)
}

#[cfg(test)]
#[path = "eurocode5_tests.rs"]
mod tests;
