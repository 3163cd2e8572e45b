//! The checks of a seam by NDS-2018 chapters 11 and 12. Pounds, inches, psi.

use crate::rules::ask::{FixingKind, FixingsAsk};
use crate::rules::fasteners::nds::{self, Format, Service};
use crate::rules::recorder::Recorder;
use crate::rules::seams::{ELSEWHERE, Work, first_of_end, in_half, pulled};
use crate::rules::spacing;
use crate::units::{INCH, POUND_FORCE, PSI};

/// All checks but the distances.
pub(crate) fn checks<R: Recorder>(r: &mut R, work: &Work<'_>, service: Service) {
    let demand = &work.seam.demand;
    let Some(hot) = nds::temperature_factor(service.temperature_f, service.wet) else {
        r.input("temperature", "T", service.temperature_f, "°F", "NDS Table 11.3.4");
        let u = r.input("utilisation: no factor above 150 °F", "η", f64::INFINITY, "–", "NDS Table 11.3.4");
        r.close("temperature beyond the table", "NDS Table 11.3.4", u);
        return;
    };
    let pulls = pulled(demand);
    let pull = if pulls { axial_checks(r, work, service, hot) } else { f64::INFINITY };
    let lateral = lateral_check(r, work, service, hot);
    if pulls {
        bearing_edge(r, work, service, hot);
    }
    if let Some(strength) = work.seam.shear_strength {
        tear_out(r, work, strength / PSI);
        shear_at_fixings(r, work, strength / PSI);
    }
    if pulls && lateral.0 > 0.0 {
        let t = r.input("pull in one fixing", "T", pull_per_fixing(work), "lb", ELSEWHERE);
        let w = r.input("least resistance to pull", "W'p", pull, "lb", ELSEWHERE);
        let v = r.input("shear in one fixing", "V", lateral.0, "lb", ELSEWHERE);
        let z = r.input("resistance to shear", "Z'", lateral.1, "lb", ELSEWHERE);
        let u = nds::combined(t, v, w, z);
        let u = r.derived(
            "utilisation: load over Z'α",
            "η",
            "(V^2/Z' + T^2/W'p)/√(V^2 + T^2)",
            u,
            "–",
            "NDS (12.4-1); bolts by analogy",
        );
        r.close("fixings pulled and sheared", "NDS 12.4.1 (12.4-1)", u);
    }
}

fn pull_per_fixing(work: &Work<'_>) -> f64 {
    let n = work.seam.fixings.per_seam as f64;
    let demand = &work.seam.demand;
    let corner = demand.end_opening.max(0.0) * work.first.prying();
    (demand.moment.abs() / (work.layout.lever * n) + demand.opening.max(0.0) / n + corner) / POUND_FORCE
}

fn record_pull<R: Recorder>(r: &mut R, work: &Work<'_>) -> f64 {
    let demand = &work.seam.demand;
    r.input("turning moment of the seam", "M", demand.moment.abs() / (POUND_FORCE * INCH), "lb·in", "");
    r.input("force that opens the seam", "F_o", demand.opening.max(0.0) / POUND_FORCE, "lb", "");
    r.input("fixing to the nearer edge that may bear", "a", work.layout.lever / INCH, "in", "");
    r.input("fixings in the seam", "n", work.seam.fixings.per_seam as f64, "–", "");
    let corner = demand.end_opening.max(0.0) / POUND_FORCE;
    r.input(
        "opening by the corners at one end, with forces in one place",
        "F_e",
        corner,
        "lb",
        "balance of a corner",
    );
    r.input(
        "from the corner to the first fixing",
        "c_1",
        work.first.lever / INCH,
        "in",
        "centre lines of the strips",
    );
    r.input(
        "on to where the bent strip touches",
        "a_1",
        work.first.touch / INCH,
        "in",
        "own: beam on a spring",
    );
    let pull = pull_per_fixing(work);
    let formula = "M/(a·n) + F_o/n + F_e·(1 + c_1/a_1)";
    r.derived("pull in one fixing", "T", formula, pull, "lb", "mechanics: moment over lever")
}

fn close_pull<R: Recorder>(
    r: &mut R,
    values: (f64, f64),
    formula: &'static str,
    rule: &'static str,
    clause: &'static str,
) {
    let u = if values.0 <= 0.0 { 0.0 } else { values.0 / values.1 };
    let u = r.derived("utilisation", "η", formula, u, "–", "");
    r.close(rule, clause, u);
}

/// `F_c⊥'` \[psi\]: no load-duration or time-effect factor on it; strength takes `K_F` 1.67 and φ 0.90.
fn across<R: Recorder>(r: &mut R, work: &Work<'_>, service: Service, hot: f64, length: f64) -> f64 {
    let f = r.input(
        "compression across the grain",
        "F_c⊥",
        work.seam.timber.compression_across / PSI,
        "psi",
        "NDS Supplement",
    );
    let wet = r.input(
        "wet service",
        "C_M",
        nds::wet_factor_across(service.wet, work.seam.timber.glued),
        "–",
        "NDS Supplement, wet service",
    );
    let hot = r.input("temperature", "C_t", hot, "–", "NDS Table 2.3.3");
    r.input("length of bearing", "l_b", length, "in", "");
    // Bearing nearer than 3 in to an end gets none (3.10.4).
    let clear = work.layout.end / INCH - length / 2.0;
    let area = if clear < 3.0 { 1.0 } else { nds::bearing_area_factor(length) };
    let area = r.input("bearing area", "C_b", area, "–", "NDS (3.10-2)");
    let strength = nds::format_factor_across(service.format);
    let k = r.input("K_F·φ under strength design, else 1", "K_c", strength, "–", "NDS Tables 2.3.5, 2.3.6");
    let value = f * wet * hot * area * k;
    r.derived("adjusted", "F_c⊥'", "F_c⊥·C_M·C_t·C_b·K_c", value, "psi", "NDS Table 4.3.1")
}

/// Closes a check for each way to give under pull; the least resistance of one fixing \[lb\].
fn axial_checks<R: Recorder>(r: &mut R, work: &Work<'_>, service: Service, hot: f64) -> f64 {
    let (seam, layout) = (work.seam, &work.layout);
    let (fixings, gravity) = (&seam.fixings, seam.timber.specific_gravity);
    let nominal = fixings.diameter / INCH;
    let mut least = f64::INFINITY;

    if fixings.kind != FixingKind::Screw {
        let pull = record_pull(r, work);
        let f = across(r, work, service, hot, layout.washer / INCH);
        let dw = r.input("washer's diameter", "d_w", layout.washer / INCH, "in", "");
        let wider = fixings.clearance.map_or(1.0 / 16.0, |wider| (wider / INCH).max(1.0 / 16.0));
        let hole = r.input("diameter of the hole", "D_h", nominal + wider, "in", "NDS 12.1.3, or as entered");
        let area = std::f64::consts::FRAC_PI_4 * (dw * dw - hole * hole);
        let area =
            r.derived("area under the washer", "A_w", "π/4·(d_w^2 − D_h^2)", area, "in²", "NDS 12.1.3");
        let value = f * area.max(0.0);
        let value =
            r.derived("bearing under the washer", "P_w'", "F_c⊥'·max(A_w; 0)", value, "lb", "NDS 3.10");
        close_pull(r, (pull, value), "T/P_w'", "crushing under the washers", "NDS 3.10.2");
        least = least.min(value);
    }
    if fixings.kind != FixingKind::Bolt {
        let pull = record_pull(r, work);
        let g = r.input("specific gravity", "G", gravity, "–", "NDS Table 12.3.3A");
        let d = r.input("nominal diameter", "D_n", nominal, "in", "");
        let (reference, tip) = match fixings.kind {
            FixingKind::CoachScrew => (
                r.derived(
                    "withdrawal per inch",
                    "W",
                    "1800·G^1.5·D_n^0.75",
                    nds::withdrawal_lag(g, d),
                    "lb/in",
                    "NDS (12.2-1)",
                ),
                nds::lag_screw(d).1,
            ),
            _ => (
                r.derived(
                    "withdrawal per inch",
                    "W",
                    "2850·G^2·D_n",
                    nds::withdrawal_wood_screw(g, d),
                    "lb/in",
                    "NDS (12.2-2)",
                ),
                0.0,
            ),
        };
        let p = r.input(
            "thread in the far strip, tip of coach screws taken off",
            "p",
            (layout.thread / INCH - tip).max(0.0),
            "in",
            "NDS 12.2.1, 12.2.2",
        );
        let k = nds::format_factor(r, service.format);
        let wet = nds::wet_factor_withdrawal(service.wet);
        let wet = r.input("wet service", "C_M", wet, "–", "NDS Table 11.3.3");
        let hot = r.input("temperature", "C_t", hot, "–", "NDS Table 11.3.4");
        let value = reference * p * k * wet * hot;
        let value = r.derived("withdrawal", "W'p", "W·p·K·C_M·C_t", value, "lb", "NDS Table 11.3.1");
        close_pull(r, (pull, value), "T/W'p", "withdrawal of the screws", "NDS 12.2");
        least = least.min(value);

        if let (FixingKind::Screw, Some(head)) = (fixings.kind, fixings.head) {
            let pull = record_pull(r, work);
            r.input("specific gravity", "G", gravity, "–", "NDS Table 12.3.3A");
            let dh = r.input("head's diameter", "D_H", head / INCH, "in", "");
            let t = r.input("thickness under the head", "t_ns", layout.thickness / INCH, "in", "");
            let formula = if t <= 2.5 * dh { "690·π·D_H·G^2·t_ns" } else { "1725·π·D_H^2·G^2" };
            let reference = nds::head_pull_through(gravity, dh, t);
            let reference = r.derived("head pull-through", "W_H", formula, reference, "lb", "NDS 12.2.5");
            let k = nds::format_factor(r, service.format);
            let wet = r.input("wet service", "C_M", wet, "–", "NDS Table 11.3.3");
            let hot = r.input("temperature", "C_t", hot, "–", "NDS Table 11.3.4");
            let value =
                r.derived("adjusted", "W_H'", "W_H·K·C_M·C_t", reference * k * wet * hot, "lb", "NDS 12.2.5");
            close_pull(r, (pull, value), "T/W_H'", "pull-through of the heads", "NDS 12.2.5");
            least = least.min(value);
        }
    }
    least.min(steel(r, work, service))
}

/// Steel of the fixing in tension by AISC 360 J3.6 (from memory): `0.75·F_u` on the nominal area of a bolt, φ 0.75
/// or Ω 2.00; screws by their root area.
fn steel<R: Recorder>(r: &mut R, work: &Work<'_>, service: Service) -> f64 {
    let pull = record_pull(r, work);
    let fixings = &work.seam.fixings;
    let across = if fixings.kind == FixingKind::Bolt { fixings.diameter } else { work.layout.root } / INCH;
    let d = r.input("diameter of the area that counts", "D_t", across, "in", "");
    let f = r.input("tensile strength of the steel", "F_u", work.layout.steel / PSI, "psi", "");
    let (k, words) = match service.format {
        Format::Asd { .. } => (0.5, "1/Ω"),
        Format::Lrfd { .. } => (0.75, "φ"),
    };
    r.input(words, "K_s", k, "–", "AISC 360 J3.6");
    let value = 0.75 * f * std::f64::consts::FRAC_PI_4 * d * d * k;
    let value = r.derived("steel in tension", "R_s", "0.75·F_u·π/4·D_t^2·K_s", value, "lb", "AISC 360 J3.6");
    close_pull(r, (pull, value), "T/R_s", "steel of the fixings in tension", "AISC 360 J3.6");
    value
}

/// `F_yb` of a fixing \[psi\]: that of the table (NDS-2018 Appendix I), or less where the steel that was entered is softer than such fixings are
/// made of: the 45 ksi of the table go with 60 ksi of tensile strength (Appendix I.4, from memory), and softer steel is taken in proportion (own
/// reading).
fn bending_yield(fixings: &FixingsAsk, nominal: f64) -> f64 {
    let printed = match fixings.kind {
        FixingKind::Bolt => nds::bending_yield_bolt(nominal),
        FixingKind::CoachScrew => nds::bending_yield_lag(nominal),
        FixingKind::Screw => nds::bending_yield_wood_screw(nominal),
    };
    fixings.steel.map_or(printed, |steel| printed.min(YIELD_OF_STEEL * steel / PSI))
}

/// `F_yb` over the tensile strength of the steel that it goes with; see [`bending_yield`].
const YIELD_OF_STEEL: f64 = 0.75;

/// Shear of one fixing: demand and adjusted resistance \[lb\].
fn lateral_check<R: Recorder>(r: &mut R, work: &Work<'_>, service: Service, hot: f64) -> (f64, f64) {
    let (seam, layout) = (work.seam, &work.layout);
    let (fixings, demand) = (&seam.fixings, &seam.demand);
    let number = fixings.per_seam as f64;
    let half = in_half(fixings.per_seam);
    let corner = demand.end_along.abs() / POUND_FORCE;
    let along = demand.along.abs() / POUND_FORCE;
    let asked = corner / half + along / number;
    if asked <= 0.0 && demand.through.abs() <= 0.0 && demand.end_through.abs() <= 0.0 {
        return (0.0, f64::INFINITY);
    }
    r.input("shear along by the corners at one end", "V_e", corner, "lb", "balance of a corner");
    r.input("fixings of a half seam, half of a single one", "n_1", half, "–", "own reading");
    r.input("shear along the seam", "V_s", along, "lb", "");
    let n = r.input("fixings in the seam", "n", number, "–", "");
    let along = r.derived("along the grain, one fixing", "V_0", "V_e/n_1 + V_s/n", asked, "lb", "");
    let across = through_one(r, work, n);
    let force = r.derived("shear in one fixing", "V", "√(V_0^2 + V_90^2)", along.hypot(across), "lb", "");

    let nominal = fixings.diameter / INCH;
    let d = layout.bearing / INCH;
    let theta = r.input("angle of the force to the grain", "θ", work.angle_deg, "°", "");
    let gravity = r.input("specific gravity", "G", seam.timber.specific_gravity, "–", "NDS Table 12.3.3A");
    // By the nominal diameter, though the yield equations take the root (Table 12K, printed, agrees).
    let bearing = nds::dowel_bearing(gravity, nominal, theta);
    let thickness = layout.thickness / INCH;
    let plane = nds::Plane {
        diameter: d,
        lengths: match fixings.kind {
            FixingKind::Bolt => (thickness, thickness),
            FixingKind::CoachScrew => {
                ((layout.penetration / INCH - nds::lag_screw(nominal).1).max(0.0), thickness)
            }
            FixingKind::Screw => (screw_bearing(layout.penetration / INCH, nominal), thickness),
        },
        bearing: (bearing, bearing),
        bending: bending_yield(fixings, nominal),
        reduction: nds::reduction(d, nominal, work.row_deg),
    };
    let z = nds::single_shear(r, &plane);
    let k = nds::format_factor(r, service.format);
    let one_line = true;
    let wet = nds::wet_factor_lateral(nominal, service.wet, service.made_wet, one_line);
    let wet = r.input("wet service", "C_M", wet, "–", "NDS Table 11.3.3");
    let hot = r.input("temperature", "C_t", hot, "–", "NDS Table 11.3.4");
    let ea = seam.timber.elastic * layout.thickness * seam.strip.depth / POUND_FORCE;
    let group = nds::group_factor(&nds::Group {
        number: fixings.per_seam,
        spacing: if layout.spacing.is_finite() { layout.spacing / INCH } else { 0.0 },
        diameter: nominal,
        stiffness: (ea, ea),
    });
    let group = r.input("group action", "C_g", group, "–", "NDS (11.3-1)");
    let geometry = spacing::geometry_factor(fixings.diameter, layout.end, layout.spacing);
    let geometry = r.input("geometry", "C_Δ", geometry, "–", "NDS 12.5.1");
    let value = z * k * wet * hot * group * geometry;
    let value = r.derived("adjusted", "Z'", "Z·K·C_M·C_t·C_g·C_Δ", value, "lb", "NDS Table 11.3.1");
    let u = r.derived("utilisation", "η", "V/Z'", force / value, "–", "");
    r.close("fixings in shear", "NDS 12.3.1", u);
    (force, value)
}

/// Shear of one fixing through the shell, all on one side of it \[lb\].
fn through_one<R: Recorder>(r: &mut R, work: &Work<'_>, n: f64) -> f64 {
    let demand = &work.seam.demand;
    let end = demand.end_through.abs() / POUND_FORCE;
    let end = r.input(
        "shear through by the corners at one end, with forces in one place",
        "Q_e",
        end,
        "lb",
        "balance of a corner",
    );
    let first = first_of_end(work.seam.fixings.per_seam);
    let first = r.input("fixings that take it, half of a single one", "n_2", first, "–", "own reading");
    let q = r.input("shear through the shell", "Q", demand.through.abs() / POUND_FORCE, "lb", "");
    r.derived("across the grain, one fixing", "V_90", "Q_e/n_2 + Q/n", end / first + q / n, "lb", "")
}

/// Length of a wood screw that bears in the far strip \[in\]: of one that goes in by less than ten diameters half of the
/// tapered tip, two diameters long, does not count (NDS 12.3.5, Appendix L, from memory).
fn screw_bearing(penetration: f64, nominal: f64) -> f64 {
    if penetration < 10.0 * nominal { (penetration - nominal).max(0.0) } else { penetration }
}

/// The bevel's edge, bearing across the grain, as under the Eurocode: own reading.
fn bearing_edge<R: Recorder>(r: &mut R, work: &Work<'_>, service: Service, hot: f64) {
    let seam = work.seam;
    let moment = seam.demand.moment.abs() / (POUND_FORCE * INCH);
    if moment <= 0.0 {
        return;
    }
    let round = if work.layout.washer > 0.0 {
        work.layout.washer
    } else {
        seam.fixings.head.unwrap_or(seam.fixings.diameter)
    } / INCH;
    let thickness = work.layout.thickness / INCH;
    let n = seam.fixings.per_seam as f64;
    let share = seam.strip.length / INCH / n;
    let length = (round + 2.0 * thickness).min(share);
    r.input("fixings in the seam", "n", n, "–", "");
    let m = r.input("turning moment of the seam", "M", moment, "lb·in", "");
    let a = r.input("fixing to the nearer edge that may bear", "a", work.layout.lever / INCH, "in", "");
    let push =
        r.derived("push on the edge at one fixing", "C", "M/(a·n)", m / (a * n), "lb", "moment over lever");
    r.input("washer or head", "d_w", round, "in", "");
    r.input("thickness of the strip at the fixing", "t", thickness, "in", "");
    r.input("length of seam to one fixing", "l_1", share, "in", "");
    let f = across(r, work, service, hot, length);
    let length = r.derived(
        "length that bears",
        "l_e",
        "min(d_w + 2·t; l_1)",
        length,
        "in",
        "45° spread: common practice",
    );
    let value = f * length * a / 2.0;
    let value =
        r.derived("what the edge bears", "C'", "F_c⊥'·l_e·a/2", value, "lb", "NDS 3.10, block: own reading");
    let u = r.derived("utilisation", "η", "C/C'", push / value, "–", "");
    r.close("bearing of the bevel's edge", "NDS 3.10, own reading", u);
}

/// A row of fixings that pulls its plug of wood out of the strip's end (Appendix E.3). One row: a group tears out as
/// its row does (E.4); the net section (E.2) is a check of the timber itself.
fn tear_out<R: Recorder>(r: &mut R, work: &Work<'_>, strength: f64) {
    let (seam, layout) = (work.seam, &work.layout);
    let number = seam.fixings.per_seam as f64;
    let at_end = in_half(seam.fixings.per_seam);
    let corner = seam.demand.end_along.abs() / POUND_FORCE;
    let shared = seam.demand.along.abs() / POUND_FORCE;
    let asked = corner + shared * at_end / number;
    if asked <= 0.0 {
        return;
    }
    r.input("shear along by the corners at one end", "V_e", corner, "lb", "balance of a corner");
    r.input("shear along the seam", "V_s", shared, "lb", "");
    r.input("fixings of a half seam, half of a single one", "n_1", at_end, "–", "own reading");
    r.input("fixings in the seam", "n", number, "–", "");
    let formula = "V_e + V_s·n_1/n";
    let asked = r.derived("pull of their row along the grain", "R", formula, asked, "lb", "");
    let f = r.input(
        "shear strength of the timber",
        "F_v'",
        strength,
        "psi",
        "NDS Table 4.3.1, as for the timber",
    );
    let t = r.input("thickness of the strip at the fixing", "t", layout.thickness / INCH, "in", "");
    let end = r.input("end distance", "e", layout.end.max(0.0) / INCH, "in", "strip as bevelled");
    let (formula, reach) = if at_end > 1.0 {
        let spacing = r.input("spacing", "s", layout.spacing / INCH, "in", "");
        ("min(e; s)", end.min(spacing))
    } else {
        ("e", end)
    };
    let clause = "NDS Appendix E.3";
    let reach = r.derived("critical spacing", "s_c", formula, reach, "in", clause);
    let value = at_end * f * t * reach;
    let value = r.derived("the row tears out at", "Z_RT'", "n_1·F_v'·t·s_c", value, "lb", clause);
    let u = r.derived("utilisation", "η", "R/Z_RT'", asked / value, "–", "");
    r.close("row of fixings tearing out of the strip's end", "NDS Appendix E.3, E.4", u);
}

/// Shear in the strip beside a fixing that is pushed across the grain (3.4.3.3): only the depth from the loaded edge to
/// the fixing counts, and nearer to the end than five depths less of it.
fn shear_at_fixings<R: Recorder>(r: &mut R, work: &Work<'_>, strength: f64) {
    let (seam, layout) = (work.seam, &work.layout);
    if seam.demand.through.abs() <= 0.0 && seam.demand.end_through.abs() <= 0.0 {
        return;
    }
    let n = r.input("fixings in the seam", "n", seam.fixings.per_seam as f64, "–", "");
    let force = through_one(r, work, n);
    let f = r.input(
        "shear strength of the timber",
        "F_v'",
        strength,
        "psi",
        "NDS Table 4.3.1, as for the timber",
    );
    let t = r.input("thickness of the strip at the fixing", "t", layout.thickness / INCH, "in", "");
    let d = r.input("depth of the strip", "d", seam.strip.depth / INCH, "in", "");
    // Either face may be the loaded edge: the nearer one leaves less.
    let de = r.input("loaded edge to the fixing", "d_e", layout.lever / INCH, "in", "");
    let (formula, clause, value) = if layout.end < 5.0 * seam.strip.depth {
        ("2/3·F_v'·t·d_e·(d_e/d)^2", "NDS 3.4.3.3 (3.4-6)", 2.0 / 3.0 * f * t * de * (de / d).powi(2))
    } else {
        ("2/3·F_v'·t·d_e", "NDS 3.4.3.3 (3.4-7)", 2.0 / 3.0 * f * t * de)
    };
    let value = r.derived("carries beside the fixing", "V_r'", formula, value, "lb", clause);
    let u = r.derived("utilisation", "η", "V_90/V_r'", force / value, "–", "");
    r.close("shear in the strip at the fixings", clause, u);
}

#[cfg(test)]
#[path = "seams_nds_tests.rs"]
mod tests;
