//! The checks of a seam by EN 1995-1-1 section 8. Newtons and millimetres.

use crate::rules::ask::FixingKind;
use crate::rules::fasteners::eurocode5::{self as ec5, Dowel, Member};
use crate::rules::recorder::Recorder;
use crate::rules::seams::{ELSEWHERE, Work, first_of_end, in_half, pulled, withdrawal_holds};

/// Partial factor of steel in tension (EN 1993-1-8 Table 2.1, from memory).
const GAMMA_STEEL: f64 = 1.25;

/// Design value of one axial resistance and the rule that gives it.
#[derive(Debug, Clone, Copy)]
struct Axial {
    value: f64,
    characteristic: f64,
}

/// All checks but the distances.
pub(crate) fn checks<R: Recorder>(r: &mut R, work: &Work<'_>, k_mod: f64, gamma_m: f64) {
    let pulls = pulled(&work.seam.demand);
    let axial = axial_checks(r, work, (k_mod, gamma_m), pulls);
    let lateral = lateral_check(r, work, (k_mod, gamma_m), axial.characteristic);
    if pulls {
        bearing_edge(r, work, (k_mod, gamma_m));
    }
    if pulls && lateral.0 > 0.0 {
        let pull = pull_per_fixing(work);
        r.input("pull in one fixing", "F_ax,Ed", pull, "N", ELSEWHERE);
        r.input("least resistance to pull", "F_ax,Rd", axial.value, "N", ELSEWHERE);
        r.input("shear in one fixing", "F_v,Ed", lateral.0, "N", ELSEWHERE);
        r.input("resistance to shear", "F_v,Rd", lateral.1, "N", ELSEWHERE);
        let u = ec5::combined(pull / axial.value, lateral.0 / lateral.1);
        let u = r.derived(
            "utilisation, as the root of the standard's sum of squares",
            "η",
            "√((F_ax,Ed/F_ax,Rd)^2 + (F_v,Ed/F_v,Rd)^2)",
            u,
            "–",
            "EN 1995-1-1 (8.28)",
        );
        r.close("fixings pulled and sheared", "EN 1995-1-1 (8.28)", u);
    }
    if work.seam.demand.through.abs() > 0.0 || work.seam.demand.end_through.abs() > 0.0 {
        splitting(r, work, (k_mod, gamma_m));
    }
}

fn pull_per_fixing(work: &Work<'_>) -> f64 {
    let n = work.seam.fixings.per_seam as f64;
    let demand = &work.seam.demand;
    demand.moment.abs() * 1e3 / (work.layout.lever * 1e3 * n)
        + demand.opening.max(0.0) / n
        + demand.end_opening.max(0.0) * work.first.prying()
}

/// Records the pull in one fixing. Zero demand is recorded too: the resistance is wanted for the rope effect.
fn record_pull<R: Recorder>(r: &mut R, work: &Work<'_>) -> f64 {
    let demand = &work.seam.demand;
    r.input("turning moment of the seam", "M_Ed", demand.moment.abs() * 1e3, "N·mm", "");
    r.input("force that opens the seam", "F_o,Ed", demand.opening.max(0.0), "N", "");
    r.input("fixing to the nearer edge that may bear", "a", work.layout.lever * 1e3, "mm", "");
    r.input("fixings in the seam", "n", work.seam.fixings.per_seam as f64, "–", "");
    r.input(
        "opening by the corners at one end, with forces in one place",
        "F_e,Ed",
        demand.end_opening.max(0.0),
        "N",
        "balance of a corner",
    );
    r.input(
        "from the corner to the first fixing",
        "c_1",
        work.first.lever * 1e3,
        "mm",
        "centre lines of the strips",
    );
    r.input(
        "on to where the bent strip touches",
        "a_1",
        work.first.touch * 1e3,
        "mm",
        "own: beam on a spring",
    );
    let pull = pull_per_fixing(work);
    r.derived(
        "pull in one fixing",
        "F_ax,Ed",
        "M_Ed/(a·n) + F_o,Ed/n + F_e,Ed·(1 + c_1/a_1)",
        pull,
        "N",
        "mechanics: moment over lever",
    )
}

fn design<R: Recorder>(
    r: &mut R,
    factors: (f64, f64),
    symbols: (&'static str, &'static str),
    characteristic: f64,
) -> f64 {
    r.input("duration and moisture", "k_mod", factors.0, "–", "EN 1995-1-1 Table 3.1");
    r.input("partial factor of connections", "γ_M", factors.1, "–", "EN 1995-1-1 Table 2.3");
    let value = factors.0 * characteristic / factors.1;
    r.derived("design resistance", symbols.0, symbols.1, value, "N", "EN 1995-1-1 (2.17)")
}

/// Each way a fixing may give under pull; closes a check for each where `asked`, and answers the least.
fn axial_checks<R: Recorder>(r: &mut R, work: &Work<'_>, factors: (f64, f64), asked: bool) -> Axial {
    let fixings = &work.seam.fixings;
    let timber = &work.seam.timber;
    let layout = &work.layout;
    let d = fixings.diameter * 1e3;
    // Where nobody said which timber the maker's values belong to, denser timber gains nothing by them.
    let declared_density = fixings.declared_density.unwrap_or(timber.density_k.max(350.0));
    let mut least = Axial { value: f64::INFINITY, characteristic: f64::INFINITY };
    let mut take = |value: f64, characteristic: f64| {
        least.value = least.value.min(value);
        least.characteristic = least.characteristic.min(characteristic);
    };
    // Nobody reads the lines of a check that is not closed: they go nowhere.
    let mut nowhere = crate::rules::recorder::Silent::new();
    let mut head_known = fixings.kind != FixingKind::Screw;
    if fixings.kind != FixingKind::Screw {
        let (value, characteristic) = if asked {
            washer(r, work, factors, timber.compression_across)
        } else {
            washer(&mut nowhere, work, factors, timber.compression_across)
        };
        take(value, characteristic);
    }
    if fixings.kind != FixingKind::Bolt {
        let n = fixings.per_seam as f64;
        let screw = ec5::Withdrawal {
            diameter: d,
            // 8.7.2(2): nothing below six diameters of thread. One diameter is taken off (sources disagree).
            // Without a declared value nothing is claimed either for a root outside the rule's range (8.7.2(4)).
            length: if layout.thread * 1e3 + 1e-9 < 6.0 * d
                || (fixings.withdrawal.is_none() && !withdrawal_holds(fixings.diameter, layout.root))
            {
                0.0
            } else {
                layout.thread * 1e3 - d
            },
            density: timber.density_k,
            angle_deg: 90.0,
            number: n,
            declared: fixings.withdrawal.map(|f| (f / 1e6, declared_density)),
        };
        let (value, characteristic) = if asked {
            withdrawal(r, work, factors, &screw)
        } else {
            withdrawal(&mut nowhere, work, factors, &screw)
        };
        take(value, characteristic);
        if let (FixingKind::Screw, Some(parameter), Some(head)) =
            (fixings.kind, fixings.head_pull, fixings.head)
        {
            head_known = true;
            let what = (head * 1e3, (parameter / 1e6, declared_density), timber.density_k);
            let (value, characteristic) = if asked {
                head_pull_through(r, work, factors, what)
            } else {
                head_pull_through(&mut nowhere, work, factors, what)
            };
            take(value, characteristic);
        }
    }
    let (value, characteristic) = if asked { steel(r, work) } else { steel(&mut nowhere, work) };
    take(value, characteristic);
    if !head_known {
        // A screw holds along its axis no more than its head does; what is not known adds no rope effect (8.2.2(2)).
        least.characteristic = 0.0;
    }
    least
}

fn close_pull<R: Recorder>(
    r: &mut R,
    values: (f64, f64),
    formula: &'static str,
    rule: &'static str,
    clause: &'static str,
) {
    let (pull, resistance) = values;
    let u = if pull <= 0.0 { 0.0 } else { pull / resistance };
    let u = r.derived("utilisation", "η", formula, u, "–", "");
    r.close(rule, clause, u);
}

fn washer<R: Recorder>(r: &mut R, work: &Work<'_>, factors: (f64, f64), across: f64) -> (f64, f64) {
    let pull = record_pull(r, work);
    let d = work.seam.fixings.diameter * 1e3;
    let hole = d + work.seam.fixings.clearance.map_or(1.0, |wider| (wider * 1e3).max(1.0));
    let characteristic = ec5::washer(r, work.layout.washer * 1e3, hole, across / 1e6);
    let value = design(r, factors, ("F_w,Rd", "k_mod·F_w,Rk/γ_M"), characteristic);
    close_pull(r, (pull, value), "F_ax,Ed/F_w,Rd", "crushing under the washers", "EN 1995-1-1 8.5.2(2)");
    (value, characteristic)
}

fn withdrawal<R: Recorder>(
    r: &mut R,
    work: &Work<'_>,
    factors: (f64, f64),
    screw: &ec5::Withdrawal,
) -> (f64, f64) {
    let pull = record_pull(r, work);
    let group = ec5::withdrawal(r, screw);
    let n = screw.number;
    let characteristic = r.derived("one screw of the group", "F_ax,1,Rk", "F_ax,w,Rk/n", group / n, "N", "");
    let value = design(r, factors, ("F_ax,1,Rd", "k_mod·F_ax,1,Rk/γ_M"), characteristic);
    close_pull(r, (pull, value), "F_ax,Ed/F_ax,1,Rd", "withdrawal of the screws", "EN 1995-1-1 8.7.2 (8.38)");
    (value, characteristic)
}

fn head_pull_through<R: Recorder>(
    r: &mut R,
    work: &Work<'_>,
    factors: (f64, f64),
    what: (f64, (f64, f64), f64),
) -> (f64, f64) {
    let pull = record_pull(r, work);
    let share = share_of_group(r, work);
    let characteristic = share * ec5::head_pull_through(r, what.0, what.1, what.2);
    let value = design(r, factors, ("F_head,Rd", "k_n·k_mod·F_head,Rk/γ_M"), characteristic);
    close_pull(r, (pull, value), "F_ax,Ed/F_head,Rd", "pull-through of the heads", "EN 1995-1-1 (8.40b)");
    (value, characteristic)
}

/// What each screw of a group counts for, whichever way it gives (8.7.2 has `n_ef` = n^0.9 in all of (8.38), (8.40a) to (8.40c)).
fn share_of_group<R: Recorder>(r: &mut R, work: &Work<'_>) -> f64 {
    let n = r.input("screws acting together", "n_s", work.seam.fixings.per_seam as f64, "–", "");
    r.derived(
        "what each of them counts for",
        "k_n",
        "n_s^0.9/n_s",
        n.powf(0.9) / n,
        "–",
        "EN 1995-1-1 (8.41)",
    )
}

fn steel<R: Recorder>(r: &mut R, work: &Work<'_>) -> (f64, f64) {
    let pull = record_pull(r, work);
    let root = r.input("diameter of the stress area", "d_r", work.layout.root * 1e3, "mm", "");
    let f = r.input("tensile strength of the steel", "f_u,k", work.layout.steel / 1e6, "N/mm²", "");
    r.input("partial factor of steel", "γ_M2", GAMMA_STEEL, "–", "EN 1993-1-8 Table 2.1");
    let screws = work.seam.fixings.kind != FixingKind::Bolt;
    let share = if screws { share_of_group(r, work) } else { 1.0 };
    let characteristic = share * 0.9 * f * std::f64::consts::FRAC_PI_4 * root * root;
    let value = r.derived(
        "steel in tension",
        "F_t,Rd",
        if screws { "k_n·0.9·f_u,k·π/4·d_r^2/γ_M2" } else { "0.9·f_u,k·π/4·d_r^2/γ_M2" },
        characteristic / GAMMA_STEEL,
        "N",
        "EN 1993-1-8 Table 3.4",
    );
    close_pull(
        r,
        (pull, value),
        "F_ax,Ed/F_t,Rd",
        "steel of the fixings in tension",
        "EN 1993-1-8 Table 3.4",
    );
    (value, characteristic)
}

/// Shear of one fixing: demand and design resistance \[N\]. Closes a check where there is any.
fn lateral_check<R: Recorder>(r: &mut R, work: &Work<'_>, factors: (f64, f64), axial: f64) -> (f64, f64) {
    let seam = work.seam;
    let (fixings, demand, layout) = (&seam.fixings, &seam.demand, &work.layout);
    let number = fixings.per_seam as f64;
    let (half, first) = (in_half(fixings.per_seam), first_of_end(fixings.per_seam));
    let asked = demand.end_along.abs() / half + demand.along.abs() / number;
    if asked <= 0.0 && demand.through.abs() <= 0.0 && demand.end_through.abs() <= 0.0 {
        return (0.0, f64::INFINITY);
    }
    r.input(
        "shear along by the corners at one end",
        "V_e,Ed",
        demand.end_along.abs(),
        "N",
        "balance of a corner",
    );
    r.input("fixings of a half seam, half of a single one", "n_1", half, "–", "own reading");
    r.input("shear along the seam", "V_Ed", demand.along.abs(), "N", "");
    let n = r.input("fixings in the seam", "n", number, "–", "");
    let along = r.derived("along the grain, one fixing", "F_0,Ed", "V_e,Ed/n_1 + V_Ed/n", asked, "N", "");
    let through = across(r, work, n, first);
    let force =
        r.derived("shear in one fixing", "F_v,Ed", "√(F_0,Ed^2 + F_90,Ed^2)", along.hypot(through), "N", "");

    let d_bearing = layout.bearing * 1e3;
    let d = r.input("diameter that bears", "d", d_bearing, "mm", "EN 1995-1-1 8.5.1, 8.7.1(3)");
    let dowel = if fixings.kind == FixingKind::Bolt || d_bearing > 6.0 {
        Dowel::Bolt
    } else if fixings.predrilled {
        Dowel::Predrilled
    } else {
        Dowel::Driven
    };
    let wood = (seam.timber.wood, seam.timber.density_k);
    let embedment_1 = ec5::embedment(r, Member::One, dowel, d, wood, work.angle_deg);
    let embedment_2 = ec5::embedment(r, Member::Two, dowel, d, wood, work.angle_deg);
    let yield_moment = ec5::yield_moment(r, d, layout.steel / 1e6);
    let plane = ec5::Plane {
        diameter: d,
        embedment_1,
        embedment_2,
        thickness_1: layout.thickness * 1e3,
        thickness_2: if fixings.kind == FixingKind::Bolt { layout.thickness } else { layout.penetration }
            * 1e3,
        yield_moment,
        axial: if axial.is_finite() { axial } else { 0.0 },
        rope_share: ec5::rope_share(fixings.kind == FixingKind::Bolt),
    };
    let characteristic = ec5::single_shear(r, &plane);
    let spacing = layout.spacing * 1e3;
    let effective = match dowel {
        // The nominal diameter, as the spacings themselves go by it.
        Dowel::Bolt => ec5::effective_number(number, spacing, fixings.diameter * 1e3, work.row_deg),
        _ => ec5::effective_number_nails(number, spacing, fixings.diameter * 1e3, fixings.predrilled),
    };
    r.input("effective number in the row", "n_ef", effective, "–", "EN 1995-1-1 (8.34), (8.17)");
    r.input("duration and moisture", "k_mod", factors.0, "–", "EN 1995-1-1 Table 3.1");
    r.input("partial factor of connections", "γ_M", factors.1, "–", "EN 1995-1-1 Table 2.3");
    let resistance = r.derived(
        "design resistance of one fixing in the row",
        "F_v,Rd",
        "k_mod·F_v,Rk/γ_M·n_ef/n",
        factors.0 * characteristic / factors.1 * effective / n,
        "N",
        "EN 1995-1-1 (2.17), (8.1)",
    );
    let u = r.derived("utilisation", "η", "F_v,Ed/F_v,Rd", force / resistance, "–", "");
    r.close("fixings in shear", "EN 1995-1-1 8.2.2 (8.6)", u);
    (force, resistance)
}

/// Shear of one fixing through the shell, all on one side of it \[N\].
fn across<R: Recorder>(r: &mut R, work: &Work<'_>, n: f64, first: f64) -> f64 {
    let demand = &work.seam.demand;
    let end = r.input(
        "shear through by the corners at one end, with forces in one place",
        "Q_e,Ed",
        demand.end_through.abs(),
        "N",
        "balance of a corner",
    );
    let first = r.input("fixings that take it, half of a single one", "n_2", first, "–", "own reading");
    let q = r.input("shear through the shell", "Q_Ed", demand.through.abs(), "N", "");
    r.derived(
        "across the grain, one fixing",
        "F_90,Ed",
        "Q_e,Ed/n_2 + Q_Ed/n",
        end / first + q / n,
        "N",
        "EN 1995-1-1 (8.2), (8.3)",
    )
}

/// The bevel's edge, bearing across the grain: a block up to half the lever, spread from the washer at 45° through
/// the strip (own reading; the lever shortens by up to a quarter, which the pull leaves out).
fn bearing_edge<R: Recorder>(r: &mut R, work: &Work<'_>, factors: (f64, f64)) {
    let seam = work.seam;
    let moment = seam.demand.moment.abs();
    if moment <= 0.0 {
        return;
    }
    let n = r.input("fixings in the seam", "n", seam.fixings.per_seam as f64, "–", "");
    let m = r.input("turning moment of the seam", "M_Ed", moment * 1e3, "N·mm", "");
    let a = r.input("fixing to the nearer edge that may bear", "a", work.layout.lever * 1e3, "mm", "");
    let push = r.derived(
        "push on the edge at one fixing",
        "C_Ed",
        "M_Ed/(a·n)",
        m / (a * n),
        "N",
        "moment over lever",
    );
    let round = if work.layout.washer > 0.0 {
        work.layout.washer
    } else {
        seam.fixings.head.unwrap_or(seam.fixings.diameter)
    };
    let w = r.input("washer or head", "d_w", round * 1e3, "mm", "");
    let t = r.input("thickness of the strip at the fixing", "t", work.layout.thickness * 1e3, "mm", "");
    let l = r.input("length of seam to one fixing", "l_1", seam.strip.length * 1e3 / n, "mm", "");
    let length = r.derived(
        "length that bears",
        "l_b",
        "min(d_w + 2·t; l_1)",
        (w + 2.0 * t).min(l),
        "mm",
        "45° spread: common practice",
    );
    let f =
        r.input("strength across the grain", "f_c,90,k", seam.timber.compression_across / 1e6, "N/mm²", "");
    r.input("duration and moisture", "k_mod", factors.0, "–", "EN 1995-1-1 Table 3.1");
    r.input("partial factor", "γ_M", factors.1, "–", "EN 1995-1-1 Table 2.3");
    let resistance = r.derived(
        "what the edge bears",
        "C_Rd",
        "k_mod·f_c,90,k/γ_M·l_b·a/2",
        factors.0 * f / factors.1 * length * a / 2.0,
        "N",
        "EN 1995-1-1 (6.3), block: own reading",
    );
    let u = r.derived("utilisation", "η", "C_Ed/C_Rd", push / resistance, "–", "");
    r.close("bearing of the bevel's edge", "EN 1995-1-1 6.1.5 (6.3), own reading", u);
}

fn splitting<R: Recorder>(r: &mut R, work: &Work<'_>, factors: (f64, f64)) {
    let seam = work.seam;
    let layout = &work.layout;
    let n = r.input("fixings in the seam", "n", seam.fixings.per_seam as f64, "–", "");
    let force = across(r, work, n, first_of_end(seam.fixings.per_seam));
    // Either face may be the loaded edge: the nearer fixing distance gives the smaller h_e.
    let characteristic =
        ec5::splitting(r, layout.thickness * 1e3, seam.strip.depth * 1e3, layout.lever * 1e3);
    let resistance = design(r, factors, ("F_90,Rd", "k_mod·F_90,Rk/γ_M"), characteristic);
    let u = r.derived("utilisation", "η", "F_90,Ed/F_90,Rd", force / resistance, "–", "");
    r.close("splitting by force across the grain", "EN 1995-1-1 8.1.4 (8.4)", u);
}

#[cfg(test)]
#[path = "seams_eurocode5_tests.rs"]
mod tests;
