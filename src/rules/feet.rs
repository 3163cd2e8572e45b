//! Feet: lift, slide, thrust, ground and timber under them, and the whole shell tipping over.
//!
//! Resistances of anchors, ties and ground are the user's own. No friction is counted while a foot lifts. A check
//! whose resistance nobody gave is not made, and [`remarks`] says so.

use crate::rules::ask::FeetAsk;
use crate::rules::fasteners::nds;
use crate::rules::recorder::{Paper, Recorder, Silent};
use crate::rules::seams::SeamBasis;
use crate::rules::{Check, Worst};
use crate::tables::Tables;

/// What one foot is asked for in one combination, design values \[N\], of a moment \[N·m\].
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct FootDemand {
    /// Lift; 0 where it presses.
    pub uplift: f64,
    /// Push into the ground; 0 where it lifts.
    pub down: f64,
    /// Sideways, any direction.
    pub slide: f64,
    /// Of that, away from the shell's inside; 0 where it pulls inward.
    pub outward: f64,
    /// Tension in the tie or base ring that belongs to the foot.
    pub tie: f64,
    /// Size of the moment that holds it against turning; 0 where it turns freely \[N·m\].
    pub moment: f64,
}

impl FootDemand {
    /// From what the shell does to the ground \[N\] (x, y, z up) and the level direction away from its inside.
    #[must_use]
    pub fn of_push(push: [f64; 3], outward: [f64; 2]) -> Self {
        let length = outward[0].hypot(outward[1]);
        let out = if length > 0.0 { (push[0] * outward[0] + push[1] * outward[1]) / length } else { 0.0 };
        Self {
            uplift: push[2].max(0.0),
            down: (-push[2]).max(0.0),
            slide: push[0].hypot(push[1]),
            outward: out.max(0.0),
            tie: 0.0,
            moment: 0.0,
        }
    }
}

/// One foot in one combination.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FootInput {
    /// What is asked.
    pub demand: FootDemand,
    /// What holds it.
    pub feet: FeetAsk,
    /// Strength of the foot's timber across the grain: `f_c,90,k`, or the reference `F_c⊥` \[Pa\].
    pub compression_across: f64,
    /// Whether the timber is glued laminated, for wet service under the NDS.
    pub glued: bool,
    /// Width of timber that bears, across its grain \[m\].
    pub breadth: f64,
    /// Basis and duration.
    pub basis: SeamBasis,
}

/// Factor on weight that holds down: 0.9 (EN 1990 Table A1.2(A); ASCE 7 strength), 0.6 (ASCE 7 allowable stress).
#[must_use]
pub fn holding_weight_factor(basis: &SeamBasis) -> f64 {
    match basis {
        SeamBasis::Nds(nds::Service { format: nds::Format::Asd { .. }, .. }) => 0.6,
        SeamBasis::Eurocode { .. } | SeamBasis::Nds(_) => 0.9,
    }
}

/// What one foot is held down by, design value: the lower of its anchor and of the pad that hangs on it, as far as they were
/// entered \[N\].
#[must_use]
pub fn held_down(feet: &FeetAsk, basis: &SeamBasis) -> Option<f64> {
    let pad = feet.pad_weight.map(|weight| holding_weight_factor(basis) * weight);
    feet.uplift.into_iter().chain(pad).reduce(f64::min)
}

/// Factor on weight that presses: 1.35 (EN 1990 Table A1.2(B)); 1 (ASCE 7 allowable stress), 1.2 (ASCE 7 strength) and 1.4 beside weight
/// alone (2.3.1, 1), which is told by its time effect factor.
#[must_use]
pub fn pressing_weight_factor(basis: &SeamBasis) -> f64 {
    match basis {
        SeamBasis::Eurocode { .. } => 1.35,
        SeamBasis::Nds(nds::Service { format: nds::Format::Lrfd { time_effect }, .. }) => {
            if *time_effect <= Tables::built_in().nds.time_effect.dead { 1.4 } else { 1.2 }
        }
        SeamBasis::Nds(_) => 1.0,
    }
}

/// The worst check of a foot; no allocation. Utilisation 0 where nothing was given to check against.
#[must_use]
pub fn worst_foot(input: &FootInput) -> Worst {
    let mut silent = Silent::new();
    checks(&mut silent, input);
    silent.worst().unwrap_or(Worst {
        utilisation: 0.0,
        rule: "no resistance of the feet given",
        clause: "",
        place: 0,
    })
}

/// Every check of a foot with its working.
#[must_use]
pub fn working_foot(input: &FootInput) -> Vec<Check> {
    let mut paper = Paper::new();
    checks(&mut paper, input);
    paper.into_checks()
}

/// The units that a standard's working is written in.
struct Units {
    newtons: f64,
    force: &'static str,
    newton_metres: f64,
    moment: &'static str,
    square_metres: f64,
    area: &'static str,
    pascals: f64,
    stress: &'static str,
    /// Where the factor on weight that holds down is from.
    holding: &'static str,
    /// Where the factor on weight that presses is from.
    pressing: &'static str,
}

impl Units {
    fn of(basis: &SeamBasis) -> Self {
        use crate::units::{INCH, POUND_FORCE, PSI};
        match basis {
            SeamBasis::Eurocode { .. } => Self {
                newtons: 1.0,
                force: "N",
                newton_metres: 1.0,
                moment: "N·m",
                square_metres: 1e-6,
                area: "mm²",
                pascals: 1e6,
                stress: "N/mm²",
                holding: "EN 1990 A1.2(A)",
                pressing: "EN 1990 A1.2(B)",
            },
            SeamBasis::Nds(_) => Self {
                newtons: POUND_FORCE,
                force: "lb",
                newton_metres: POUND_FORCE * INCH,
                moment: "lb·in",
                square_metres: INCH * INCH,
                area: "in²",
                pascals: PSI,
                stress: "psi",
                holding: "ASCE 7",
                pressing: "ASCE 7",
            },
        }
    }
}

fn checks<R: Recorder>(r: &mut R, input: &FootInput) {
    const OWN: &str = "the user's own value";
    // What nobody entered counts for nothing, and says so.
    let own = |given: Option<f64>| if given.is_some() { OWN } else { "none entered" };
    let (demand, feet) = (&input.demand, &input.feet);
    let unit = &Units::of(&input.basis);
    if let Some(anchor) = feet.uplift {
        let up = r.input("lift", "U_Ed", demand.uplift / unit.newtons, unit.force, "");
        let hold = r.input("what one anchor holds upward", "U_Rd", anchor / unit.newtons, unit.force, OWN);
        let u = r.derived("utilisation", "η", "U_Ed/U_Rd", share(up, hold), "–", "");
        r.close("lift of a foot against its anchor", "equilibrium", u);
    }
    if let Some(weight) = feet.pad_weight {
        let up = r.input("lift", "U_Ed", demand.uplift / unit.newtons, unit.force, "");
        let pad = r.input("weight that hangs on the anchor", "G_p", weight / unit.newtons, unit.force, OWN);
        let factor = holding_weight_factor(&input.basis);
        let factor = r.input("factor on weight that holds down", "γ_G", factor, "–", unit.holding);
        let hold = r.derived("holds down", "G_Rd", "γ_G·G_p", factor * pad, unit.force, "");
        let u = r.derived("utilisation", "η", "U_Ed/G_Rd", share(up, hold), "–", "");
        r.close("lift of a foot against its pad", "equilibrium", u);
    }
    if feet.checks_slide() {
        let h = r.input("sideways force", "H_Ed", demand.slide / unit.newtons, unit.force, "");
        let hold = r.input(
            "what one anchor holds sideways",
            "H_a,Rd",
            feet.slide.unwrap_or(0.0) / unit.newtons,
            unit.force,
            own(feet.slide),
        );
        let friction = r.input("friction", "μ", feet.friction.unwrap_or(0.0), "–", own(feet.friction));
        let down = r.input("push into the ground", "N_Ed", demand.down / unit.newtons, unit.force, "");
        let up = r.input("lift", "U_Ed", demand.uplift / unit.newtons, unit.force, "");
        let pressing = (down - up).max(0.0);
        let hold = r.derived(
            "holds sideways; no friction while lifting, nor by a pad's weight",
            "H_Rd",
            "H_a,Rd + μ·max(N_Ed − U_Ed; 0)",
            hold + friction * pressing,
            unit.force,
            "",
        );
        let u = r.derived("utilisation", "η", "H_Ed/H_Rd", share(h, hold), "–", "");
        r.close("sliding of a foot", "equilibrium", u);
    }
    if let (Some(anchor), Some(sideways)) = (feet.uplift, feet.slide)
        && demand.uplift > 0.0
        && demand.slide > 0.0
    {
        let up = r.input("lift", "U_Ed", demand.uplift / unit.newtons, unit.force, "");
        let hold_up = r.input("what one anchor holds upward", "U_Rd", anchor / unit.newtons, unit.force, OWN);
        let h = r.input("sideways force", "H_Ed", demand.slide / unit.newtons, unit.force, "");
        let hold =
            r.input("what one anchor holds sideways", "H_a,Rd", sideways / unit.newtons, unit.force, OWN);
        let u = share(up, hold_up).hypot(share(h, hold));
        let u = r.derived("utilisation", "η", "√((U_Ed/U_Rd)^2 + (H_Ed/H_a,Rd)^2)", u, "–", "");
        r.close("anchor pulled up and sideways together", "own reading: no rule for an unknown anchor", u);
    }
    if let (Some(weight), Some(sideways)) = (feet.pad_weight, feet.slide)
        && demand.uplift > 0.0
        && demand.slide > 0.0
    {
        let up = r.input("lift", "U_Ed", demand.uplift / unit.newtons, unit.force, "");
        let pad = r.input("weight that hangs on the anchor", "G_p", weight / unit.newtons, unit.force, OWN);
        let factor = holding_weight_factor(&input.basis);
        let factor =
            r.input("factor on weight that holds down", "γ_G", factor, "–", "EN 1990 A1.2(A), ASCE 7");
        let hold_up = r.derived("holds down", "G_Rd", "γ_G·G_p", factor * pad, unit.force, "");
        let h = r.input("sideways force", "H_Ed", demand.slide / unit.newtons, unit.force, "");
        let hold =
            r.input("what one anchor holds sideways", "H_a,Rd", sideways / unit.newtons, unit.force, OWN);
        let u = share(up, hold_up) + share(h, hold);
        let u = r.derived("utilisation", "η", "U_Ed/G_Rd + H_Ed/H_a,Rd", u, "–", "");
        let reading = "own reading: a pad holds sideways by the weight that is left on it";
        r.close("pad lifted and pushed sideways together", reading, u);
    }
    if let Some(anchor) = feet.moment
        && demand.moment > 0.0
    {
        let m = r.input(
            "moment that holds the foot",
            "M_Ed",
            demand.moment / unit.newton_metres,
            unit.moment,
            "",
        );
        let words = "what one anchor holds against turning";
        let hold = r.input(words, "M_Rd", anchor / unit.newton_metres, unit.moment, OWN);
        let u = r.derived("utilisation", "η", "M_Ed/M_Rd", share(m, hold), "–", "");
        r.close("moment in the foot", "equilibrium", u);
    }
    if let Some(tie) = feet.tie {
        let words = "outward push in the tie; of a round base, per metre × radius in its ring";
        let t = r.input(words, "T_Ed", demand.tie.max(0.0) / unit.newtons, unit.force, "own reading");
        let hold = r.input("what the tie holds", "T_Rd", tie / unit.newtons, unit.force, OWN);
        let u = r.derived("utilisation", "η", "T_Ed/T_Rd", share(t, hold), "–", "");
        r.close("thrust on the tie", "equilibrium", u);
    }
    if let (Some(pressure), Some(area)) = (feet.ground_pressure, feet.pad_area) {
        let down = r.input("push into the ground", "N_Ed", demand.down / unit.newtons, unit.force, "");
        let pad = r.input(
            "weight of the pad",
            "G_p",
            feet.pad_weight.unwrap_or(0.0) / unit.newtons,
            unit.force,
            OWN,
        );
        let a = r.input("area of the pad", "A_p", area / unit.square_metres, unit.area, OWN);
        let may =
            r.input("pressure that the ground may carry", "p_Rd", pressure / unit.pascals, unit.stress, OWN);
        let factor = pressing_weight_factor(&input.basis);
        let factor = r.input("factor on weight that presses", "γ_G,p", factor, "–", unit.pressing);
        let p = if a > 0.0 { (down + factor * pad) / a } else { f64::INFINITY };
        let p = r.derived("pressure", "p_Ed", "(N_Ed + γ_G,p·G_p)/A_p", p, unit.stress, "");
        let u = r.derived("utilisation", "η", "p_Ed/p_Rd", share(p, may), "–", "");
        r.close("pressure on the ground", "equilibrium", u);
    }
    if let Some(length) = feet.bearing_length
        && demand.down > 0.0
    {
        bearing(r, input, length);
    }
}

/// Demand over resistance; 0 where nothing is asked, infinite where something is and nothing holds.
pub(crate) fn share(asked: f64, holds: f64) -> f64 {
    if asked <= 0.0 {
        0.0
    } else if holds > 0.0 {
        asked / holds
    } else {
        f64::INFINITY
    }
}

/// Timber of the foot pressed across its grain; no help from the timber beside the contact, as the foot is an end.
fn bearing<R: Recorder>(r: &mut R, input: &FootInput, length: f64) {
    match input.basis {
        SeamBasis::Eurocode { k_mod, gamma_m } => {
            let contact = Contact {
                breadth: input.breadth * 1e3,
                length: length * 1e3,
                beside: 0.0,
                k_c90: 1.0,
                strength: input.compression_across / 1e6,
                factors: (k_mod, gamma_m),
            };
            let hold = bearing_across(r, &contact);
            let n = r.input("push into the ground", "N_Ed", input.demand.down, "N", "");
            let u = r.derived("utilisation", "η", "N_Ed/F_c,90,Rd", share(n, hold), "–", "");
            r.close("foot's timber pressed across the grain", "EN 1995-1-1 6.1.5 (6.3)", u);
        }
        SeamBasis::Nds(service) => {
            use crate::units::{INCH, POUND_FORCE, PSI};
            let n = r.input("push into the ground", "P", input.demand.down / POUND_FORCE, "lb", "");
            let b = r.input("width that bears", "b", input.breadth / INCH, "in", "");
            let l = r.input("length that bears, at an end: no C_b", "l_b", length / INCH, "in", "NDS 3.10.4");
            let f =
                r.input("across the grain", "F_c⊥", input.compression_across / PSI, "psi", "NDS Supplement");
            let wet = r.input(
                "wet service",
                "C_M",
                nds::wet_factor_across(service.wet, input.glued),
                "–",
                "NDS Supplement, wet service",
            );
            let hot = nds::temperature_factor(service.temperature_f, service.wet).unwrap_or(0.0);
            let hot = r.input("temperature", "C_t", hot, "–", "NDS Table 2.3.3");
            let k = nds::format_factor_across(service.format);
            let k = r.input("K_F·φ under strength design, else 1", "K_c", k, "–", "NDS Tables 2.3.5, 2.3.6");
            let hold = f * wet * hot * k * b * l;
            let hold = r.derived("bears", "P'", "F_c⊥·C_M·C_t·K_c·b·l_b", hold, "lb", "NDS 3.10.2");
            let u = r.derived("utilisation", "η", "P/P'", share(n, hold), "–", "");
            r.close("foot's timber pressed across the grain", "NDS 3.10.2", u);
        }
    }
}

/// A contact across the grain (EN 1995-1-1 6.1.5), N and mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contact {
    /// Width of the contact across the grain \[mm\].
    pub breadth: f64,
    /// Length of the contact along the grain \[mm\].
    pub length: f64,
    /// By how much the effective length reaches past the contact in all: up to 30 mm a side, not more than the
    /// free length there, the contact, or half the distance to the next \[mm\].
    pub beside: f64,
    /// `k_c,90`: 1; softwood on a continuous support 1.25, on separate ones 1.5.
    pub k_c90: f64,
    /// `f_c,90,k` \[N/mm²\].
    pub strength: f64,
    /// `k_mod` and `γ_M`.
    pub factors: (f64, f64),
}

/// Design resistance of a contact across the grain \[N\] (6.3, 6.4).
pub fn bearing_across<R: Recorder>(r: &mut R, c: &Contact) -> f64 {
    let b = r.input("width that bears", "b", c.breadth, "mm", "");
    let l = r.input("length that bears", "l", c.length, "mm", "");
    let more = r.input("timber beside it that helps", "Δl", c.beside, "mm", "EN 1995-1-1 6.1.5(1)");
    let k = r.input("bearing factor", "k_c,90", c.k_c90, "–", "EN 1995-1-1 6.1.5(2)");
    let f = r.input("strength across the grain", "f_c,90,k", c.strength, "N/mm²", "EN 338");
    r.input("duration and moisture", "k_mod", c.factors.0, "–", "EN 1995-1-1 Table 3.1");
    r.input("partial factor", "γ_M", c.factors.1, "–", "EN 1995-1-1 Table 2.3");
    let value = k * c.factors.0 * f / c.factors.1 * b * (l + more);
    r.derived(
        "bears",
        "F_c,90,Rd",
        "k_c,90·k_mod·f_c,90,k/γ_M·b·(l + Δl)",
        value,
        "N",
        "EN 1995-1-1 (6.3), (6.4)",
    )
}

/// What nobody gave, so that it was not checked.
#[must_use]
pub fn remarks(feet: &FeetAsk) -> Vec<String> {
    let mut said = Vec::new();
    if !feet.checks_lift() {
        said.push("lift of the feet was not checked: enter feet.uplift, what one anchor holds".to_owned());
    }
    if !feet.checks_slide() {
        said.push(
            "sliding of the feet was not checked: enter feet.slide, what one anchor holds sideways"
                .to_owned(),
        );
    }
    if feet.slide.is_some() && feet.uplift.is_none() {
        said.push(format!(
            "an anchor that is pulled up and sideways at once was not compared{}: enter feet.uplift, what one anchor holds upward",
            if feet.pad_weight.is_some() { " but with the weight of its pad" } else { "" }
        ));
    }
    if feet.uplift.is_some() && feet.slide.is_none() {
        said.push(
            "an anchor that is pulled up and sideways at once was not compared: enter feet.slide, what one anchor holds sideways"
                .to_owned(),
        );
    }
    if feet.pad_weight.is_some() {
        said.push(
            "the anchor is taken to hold in its pad, which lifts with it; of one that goes through the pad into the ground leave feet.pad_weight \
             out"
                .to_owned(),
        );
    }
    if feet.friction.is_some() {
        said.push("friction is counted only where a foot presses down in that same combination".to_owned());
    }
    if feet.moment.is_some() {
        said.push(
            "the moment in a foot was compared on its own: enter as feet.moment what an anchor holds against turning while \
             it holds its lift and slide as well"
                .to_owned(),
        );
    }
    if feet.tie.is_none() {
        said.push("no tie or base ring was checked against the outward thrust".to_owned());
    }
    if feet.ground_pressure.is_none() || feet.pad_area.is_none() {
        said.push(
            "pressure on the ground was not checked: no pad area or ground pressure was given".to_owned(),
        );
    }
    if feet.bearing_length.is_none() {
        said.push(
            "the feet's timber across the grain was not checked: no bearing length was given".to_owned(),
        );
    }
    said
}

#[cfg(test)]
#[path = "feet_tests.rs"]
mod tests;
