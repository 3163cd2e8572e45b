//! NDS-2018 chapters 11 and 12: dowel-type fasteners, wood to wood. Pounds, inches, psi, degrees.
//!
//! All from memory; the yield equations were compared with the printed values of Table 12A that are remembered (21
//! of them agree to the rounding of the table), withdrawal with printed figures (see the tests).

use crate::rules::recorder::Recorder;
use crate::tables::Tables;
use crate::tables::fasteners::{Fasteners, NdsFastener};

fn printed() -> &'static Fasteners {
    Tables::built_in().fasteners()
}

/// How the strength level is reached (NDS Table 11.3.1).
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Format {
    /// Allowable stress: load duration factor `C_D`, at most 1.6 for connections.
    Asd {
        /// `C_D` of the shortest load.
        duration: f64,
    },
    /// Strength: `K_F` 3.32, φ 0.65 and the time effect factor λ.
    Lrfd {
        /// λ of the combination, at most 1.0 for connections.
        time_effect: f64,
    },
}

/// `K_F` of connections (Table 2.3.5).
pub(crate) fn conversion() -> f64 {
    Tables::built_in().nds.connections[0]
}

/// φ of connections (Table 2.3.6).
pub(crate) fn resistance() -> f64 {
    Tables::built_in().nds.connections[1]
}

/// What is common to lateral and withdrawal adjustments (Table 11.3.1).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Service {
    /// Allowable stress or strength, with its duration factor.
    pub format: Format,
    /// More than 19 % moisture in service.
    pub wet: bool,
    /// More than 19 % moisture when made.
    pub made_wet: bool,
    /// Sustained temperature \[°F\].
    pub temperature_f: f64,
}

/// Temperature factor `C_t` of connections (Table 11.3.4); `None` above 150 °F.
#[must_use]
pub fn temperature_factor(temperature_f: f64, wet: bool) -> Option<f64> {
    let row = printed().temperature[usize::from(wet)];
    match temperature_f {
        t if t <= 100.0 => Some(row[0]),
        t if t <= 125.0 => Some(row[1]),
        t if t <= 150.0 => Some(row[2]),
        _ => None,
    }
}

/// Wet service factor `C_M` of lateral loads (Table 11.3.3). `one_line`: a single fastener or a single row
/// parallel to the grain. Row exceptions about 85 % sure.
#[must_use]
pub fn wet_factor_lateral(diameter: f64, wet: bool, made_wet: bool, one_line: bool) -> f64 {
    let factors = &printed().wet;
    if wet {
        factors.wet
    } else if !made_wet {
        factors.dry
    } else if diameter < 0.25 {
        factors.made_wet_thin
    } else if one_line {
        factors.made_wet_one_line
    } else {
        factors.made_wet
    }
}

/// Wet service factor `C_M` of lag and wood screws in withdrawal (Table 11.3.3).
#[must_use]
pub fn wet_factor_withdrawal(wet: bool) -> f64 {
    let factors = &printed().wet;
    if wet { factors.withdrawal_wet } else { factors.withdrawal_dry }
}

/// Wet service factor `C_M` on `F_c⊥` of sawn or glued laminated timber (Supplement, Tables 4A, 5A).
#[must_use]
pub fn wet_factor_across(wet: bool, glued: bool) -> f64 {
    if wet { Tables::built_in().nds.wet(glued).f_c_perp } else { 1.0 }
}

/// Factor of the format on `F_c⊥`: `K_F·φ` under strength design, neither duration nor time effect (Table 4.3.1).
#[must_use]
pub fn format_factor_across(format: Format) -> f64 {
    let factors = &Tables::built_in().nds;
    match format {
        Format::Asd { .. } => 1.0,
        Format::Lrfd { .. } => factors.k_f.f_c_perp * factors.phi.f_c_perp,
    }
}

/// The factor of the format, recorded: `C_D`, or `K_F·φ·λ`.
pub fn format_factor<R: Recorder>(r: &mut R, format: Format) -> f64 {
    match format {
        Format::Asd { duration } => {
            let cd = duration.min(1.6);
            r.input("load duration factor, at most 1.6 for connections", "C_D", cd, "–", "NDS 2.3.2, 11.3.2");
            r.derived("factor of the format", "K", "C_D", cd, "–", "NDS Table 11.3.1")
        }
        Format::Lrfd { time_effect } => {
            let lambda = time_effect.min(1.0);
            r.input("format conversion factor", "K_F", conversion(), "–", "NDS Table 2.3.5");
            r.input("resistance factor", "φ", resistance(), "–", "NDS Table 2.3.6");
            r.input("time effect factor, at most 1.0 for connections", "λ", lambda, "–", "NDS N.3.3");
            let k = conversion() * resistance() * lambda;
            r.derived("factor of the format", "K", "K_F·φ·λ", k, "–", "NDS Table 11.3.1")
        }
    }
}

/// Dowel bearing strength at an angle to the grain `F_e` \[psi\], not rounded (Table 12.3.3; 12.3-11).
///
/// `diameter` is the nominal one, of lag and wood screws too, though the yield equations take their root: only so are
/// the printed values of Table 12K met (see the tests). Below 1/4 in it does not depend on the angle. In end grain
/// use 90°.
#[must_use]
pub fn dowel_bearing(gravity: f64, diameter: f64, angle_deg: f64) -> f64 {
    if diameter < 0.25 {
        return 16_600.0 * gravity.powf(1.84);
    }
    let along = 11_200.0 * gravity;
    let across = 6100.0 * gravity.powf(1.45) / diameter.sqrt();
    let (sin, cos) = crate::units::radians(angle_deg).sin_cos();
    along * across / (along * sin * sin + across * cos * cos)
}

/// Reduction term of one yield mode (Table 12.3.1B).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reduction {
    /// Modes Im, Is.
    pub bearing: f64,
    /// Mode II.
    pub rotation: f64,
    /// Modes `IIIm`, IIIs, IV.
    pub hinge: f64,
}

/// `R_d` of every mode: `diameter` is that in the yield equations (root diameter of screws), `nominal` the outer one.
#[must_use]
pub fn reduction(diameter: f64, nominal: f64, largest_angle_deg: f64) -> Reduction {
    let k_theta = 1.0 + 0.25 * (largest_angle_deg / 90.0);
    if diameter < 0.25 {
        let kd = if diameter <= 0.17 { 2.2 } else { 10.0 * diameter + 0.5 };
        // A threaded fastener whose nominal diameter is 1/4 in or more takes the angle as well (footnote).
        let all = if nominal >= 0.25 { kd * k_theta } else { kd };
        Reduction { bearing: all, rotation: all, hinge: all }
    } else {
        Reduction { bearing: 4.0 * k_theta, rotation: 3.6 * k_theta, hinge: 3.2 * k_theta }
    }
}

/// One shear plane: main member (point side) m, side member s.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plane {
    /// Diameter in the yield equations \[in\] (12.3.7).
    pub diameter: f64,
    /// Bearing lengths `l_m`, `l_s` \[in\].
    pub lengths: (f64, f64),
    /// Dowel bearing strengths `F_em`, `F_es` \[psi\].
    pub bearing: (f64, f64),
    /// Bending yield strength `F_yb` \[psi\].
    pub bending: f64,
    /// `R_d`.
    pub reduction: Reduction,
}

/// Reference lateral value Z of one fastener in single shear \[lb\] (Table 12.3.1A): the least of six modes.
pub fn single_shear<R: Recorder>(r: &mut R, p: &Plane) -> f64 {
    let d = r.input("diameter in the yield equations", "D", p.diameter, "in", "NDS 12.3.7");
    let lm = r.input("bearing length, main member", "l_m", p.lengths.0, "in", "");
    let ls = r.input("bearing length, side member", "l_s", p.lengths.1, "in", "");
    let fem = r.input("dowel bearing strength, main", "F_em", p.bearing.0, "psi", "NDS Table 12.3.3");
    let fes = r.input("dowel bearing strength, side", "F_es", p.bearing.1, "psi", "NDS Table 12.3.3");
    let fyb = r.input("bending yield strength", "F_yb", p.bending, "psi", "NDS Appendix I");
    let rd1 =
        r.input("reduction term, modes Im and Is", "R_d1", p.reduction.bearing, "–", "NDS Table 12.3.1B");
    let rd2 = r.input("reduction term, mode II", "R_d2", p.reduction.rotation, "–", "NDS Table 12.3.1B");
    let rd3 =
        r.input("reduction term, modes III and IV", "R_d3", p.reduction.hinge, "–", "NDS Table 12.3.1B");
    let re = r.derived("ratio of bearing strengths", "R_e", "F_em/F_es", fem / fes, "–", "");
    let rt = r.derived("ratio of bearing lengths", "R_t", "l_m/l_s", lm / ls, "–", "");
    let k1 = ((re + 2.0 * re * re * (1.0 + rt + rt * rt) + rt * rt * re.powi(3)).sqrt() - re * (1.0 + rt))
        / (1.0 + re);
    let k1 = r.derived(
        "k₁",
        "k_1",
        "(√(R_e + 2·R_e^2·(1 + R_t + R_t^2) + R_t^2·R_e^3) − R_e·(1 + R_t))/(1 + R_e)",
        k1,
        "–",
        "NDS Table 12.3.1A",
    );
    let k2 = -1.0 + (2.0 * (1.0 + re) + 2.0 * fyb * (1.0 + 2.0 * re) * d * d / (3.0 * fem * lm * lm)).sqrt();
    let k2 = r.derived(
        "k₂",
        "k_2",
        "√(2·(1 + R_e) + 2·F_yb·(1 + 2·R_e)·D^2/(3·F_em·l_m^2)) − 1",
        k2,
        "–",
        "NDS Table 12.3.1A",
    );
    let k3 = -1.0 + (2.0 * (1.0 + re) / re + 2.0 * fyb * (2.0 + re) * d * d / (3.0 * fem * ls * ls)).sqrt();
    let k3 = r.derived(
        "k₃",
        "k_3",
        "√(2·(1 + R_e)/R_e + 2·F_yb·(2 + R_e)·D^2/(3·F_em·l_s^2)) − 1",
        k3,
        "–",
        "NDS Table 12.3.1A",
    );
    let im = r.derived("mode Im", "Z_Im", "D·l_m·F_em/R_d1", d * lm * fem / rd1, "lb", "NDS (12.3-1)");
    let is = r.derived("mode Is", "Z_Is", "D·l_s·F_es/R_d1", d * ls * fes / rd1, "lb", "NDS (12.3-2)");
    let ii =
        r.derived("mode II", "Z_II", "k_1·D·l_s·F_es/R_d2", k1 * d * ls * fes / rd2, "lb", "NDS (12.3-3)");
    let iiim = k2 * d * lm * fem / ((1.0 + 2.0 * re) * rd3);
    let iiim =
        r.derived("mode IIIm", "Z_IIIm", "k_2·D·l_m·F_em/((1 + 2·R_e)·R_d3)", iiim, "lb", "NDS (12.3-4)");
    // F_em, not F_es: R_e is inside.
    let iiis = k3 * d * ls * fem / ((2.0 + re) * rd3);
    let iiis =
        r.derived("mode IIIs", "Z_IIIs", "k_3·D·l_s·F_em/((2 + R_e)·R_d3)", iiis, "lb", "NDS (12.3-5)");
    let iv = d * d / rd3 * (2.0 * fem * fyb / (3.0 * (1.0 + re))).sqrt();
    let iv = r.derived("mode IV", "Z_IV", "D^2/R_d3·√(2·F_em·F_yb/(3·(1 + R_e)))", iv, "lb", "NDS (12.3-6)");
    let least = im.min(is).min(ii).min(iiim).min(iiis).min(iv);
    r.derived(
        "reference lateral value",
        "Z",
        "min(Z_Im; Z_Is; Z_II; Z_IIIm; Z_IIIs; Z_IV)",
        least,
        "lb",
        "NDS Table 12.3.1A",
    )
}

/// Group action factor `C_g` (11.3-1); 1 below 1/4 in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Group {
    /// Fasteners in the row along the load.
    pub number: usize,
    /// Between their centres \[in\].
    pub spacing: f64,
    /// Fastener diameter \[in\].
    pub diameter: f64,
    /// `E·A` of main and side member \[lb\].
    pub stiffness: (f64, f64),
}

/// `C_g` for wood to wood.
#[must_use]
pub fn group_factor(g: &Group) -> f64 {
    if g.number <= 1 || g.diameter < 0.25 {
        return 1.0;
    }
    let n = g.number as f64;
    let (m_ea, s_ea) = g.stiffness;
    let ratio = (s_ea / m_ea).min(m_ea / s_ea);
    let gamma = 180_000.0 * g.diameter.powf(1.5);
    let u = 1.0 + gamma * g.spacing / 2.0 * (1.0 / m_ea + 1.0 / s_ea);
    let m = u - (u * u - 1.0).sqrt();
    let mn = m.powf(n);
    m * (1.0 - mn * mn) / (n * ((1.0 + ratio * mn) * (1.0 + m) - 1.0 + mn * mn)) * (1.0 + ratio) / (1.0 - m)
}

/// `F_yb` of a bolt (SAE J429 grade 1, ASTM A307) \[psi\].
#[must_use]
pub fn bending_yield_bolt(nominal: f64) -> f64 {
    printed().bending_yield(NdsFastener::Bolt, nominal)
}

/// `F_yb` of a lag screw by nominal diameter \[psi\] (Appendix I).
#[must_use]
pub fn bending_yield_lag(nominal: f64) -> f64 {
    printed().bending_yield(NdsFastener::LagScrew, nominal)
}

/// `F_yb` of a wood screw by nominal diameter \[psi\] (Appendix I).
#[must_use]
pub fn bending_yield_wood_screw(nominal: f64) -> f64 {
    printed().bending_yield(NdsFastener::WoodScrew, nominal)
}

/// Root diameter and length of the tapered tip of a lag screw of any size \[in\]: a straight line between the table's
/// rows (metric sizes); outside them the root in proportion and the tip of the nearest row.
#[must_use]
pub fn lag_screw(nominal: f64) -> (f64, f64) {
    let rows = &printed().lag_screws;
    let at = rows.partition_point(|row| row.0 < nominal);
    match at {
        0 => (rows[0].1 / rows[0].0 * nominal, rows[0].2),
        n if n >= rows.len() => {
            let last = rows[rows.len() - 1];
            (last.1 / last.0 * nominal, last.2)
        }
        n => {
            let (low, high) = (rows[n - 1], rows[n]);
            let share = (nominal - low.0) / (high.0 - low.0);
            (low.1 + share * (high.1 - low.1), low.2 + share * (high.2 - low.2))
        }
    }
}

/// Root diameter of a wood screw of any size \[in\], straight line between rows as in [`lag_screw`].
#[must_use]
pub fn wood_screw_root(nominal: f64) -> f64 {
    let rows = &printed().wood_screws;
    let at = rows.partition_point(|row| row.0 < nominal);
    match at {
        0 => rows[0].1 / rows[0].0 * nominal,
        n if n >= rows.len() => {
            let last = rows[rows.len() - 1];
            last.1 / last.0 * nominal
        }
        n => {
            let (low, high) = (rows[n - 1], rows[n]);
            low.1 + (nominal - low.0) / (high.0 - low.0) * (high.1 - low.1)
        }
    }
}

/// Reference withdrawal of a lag screw from side grain \[lb per inch of thread without the tip\] (12.2-1).
#[must_use]
pub fn withdrawal_lag(gravity: f64, nominal: f64) -> f64 {
    1800.0 * gravity.powf(1.5) * nominal.powf(0.75)
}

/// Reference withdrawal of a wood screw from side grain \[lb/in\] (12.2-2). Not allowed in end grain.
#[must_use]
pub fn withdrawal_wood_screw(gravity: f64, nominal: f64) -> f64 {
    2850.0 * gravity * gravity * nominal
}

/// Reference head pull-through \[lb\] (12.2.5, about 85 % sure): `side` is the net thickness under the head.
#[must_use]
pub fn head_pull_through(gravity: f64, head: f64, side: f64) -> f64 {
    use std::f64::consts::PI;
    if side <= 2.5 * head {
        690.0 * PI * head * gravity * gravity * side
    } else {
        1725.0 * PI * head * head * gravity * gravity
    }
}

/// Utilisation under lateral and withdrawal load together, (12.4-1) solved for the share used:
/// P/Z'α with P cos α lateral and P sin α in withdrawal.
#[must_use]
pub fn combined(pull: f64, lateral: f64, pull_resistance: f64, lateral_resistance: f64) -> f64 {
    let total = pull.hypot(lateral);
    if total <= 0.0 {
        return 0.0;
    }
    lateral * lateral / (total * lateral_resistance) + pull * pull / (total * pull_resistance)
}

/// `C_b` of a round washer (3.10-2): bearing length is its diameter \[in\].
#[must_use]
pub fn bearing_area_factor(length: f64) -> f64 {
    if length < 6.0 { (length + 0.375) / length } else { 1.0 }
}

#[cfg(test)]
#[path = "nds_tests.rs"]
mod tests;
