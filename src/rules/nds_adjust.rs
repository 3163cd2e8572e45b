//! Adjustment factors of NDS-2018 (Table 4.3.1), looked up for one timber under its conditions.

use crate::loads::Duration;
use crate::loads::ask::Basis;
use crate::rules::members::{Conditions, MemberInput, RuleError};
use crate::tables::Tables;
use crate::tables::nds::{ByProperty, NdsGrade, SizeFactor, Values, nominal_in};
use crate::tables::provenance::Seen;
use crate::units::INCH;

/// What every adjusted value needs.
pub(crate) struct Adjust {
    pub(crate) values: Values,
    pub(crate) lrfd: bool,
    /// `C_D`, or λ.
    pub(crate) time: f64,
    pub(crate) wet: ByProperty,
    pub(crate) heat: ByProperty,
    pub(crate) incised: ByProperty,
    pub(crate) size: SizeFactor,
    pub(crate) flat_use: f64,
    pub(crate) repetitive: f64,
    pub(crate) k_f: ByProperty,
    pub(crate) phi: ByProperty,
}

/// Looks every factor up.
pub(crate) fn adjust(input: &MemberInput<'_>, grade: &NdsGrade) -> Result<Adjust, RuleError> {
    let c = &input.conditions;
    let lrfd = c.basis == Basis::UsLrfd;
    let basis = if lrfd { "us-lrfd" } else { "us-asd" };
    let time = match (lrfd, c.duration) {
        (false, Duration::LoadDurationFactor(value)) | (true, Duration::TimeEffectFactor(value)) => value,
        (_, other) => return Err(RuleError::Duration { duration: format!("{other:?}"), basis }),
    };
    if !(time.is_finite() && time > 0.0) {
        return Err(RuleError::Value { what: "the duration factor", value: time });
    }
    let s = &input.section;
    let (thick, wide) = (s.breadth.min(s.depth), s.breadth.max(s.depth));
    let outside = |limits: &'static str, nearest: String| RuleError::Size {
        grade: grade.name.clone(),
        limits,
        breadth: s.breadth,
        depth: s.depth,
        nearest,
    };
    let own = grade.source.seen == Seen::Own;
    let nominal = (nominal_in(thick), nominal_in(wide));
    let (thick_in, wide_in) = match nominal {
        (Some(t), Some(w)) if own || (t <= 4 && thick >= 1.46 * INCH) => (t, w),
        _ if own => (4, 16),
        (t, _) => {
            let nearest = if t.is_some_and(|t| t <= 4) { "2x4, 1.5 by 3.5 in" } else { "4x6, 3.5 by 5.5 in" };
            return Err(outside("dimension lumber, 2 to 4 in thick (nominal)", nearest.to_owned()));
        }
    };
    let tables = Tables::built_in();
    let Some(sized) = grade.at(wide_in) else {
        let narrow = grade.sizes.iter().all(|s| s.to_in < wide_in);
        let widest = grade.sizes.iter().map(|s| s.to_in).max().unwrap_or(4);
        let nearest = if narrow {
            format!("a width of {widest} in (nominal), or No.2 of the same species")
        } else {
            "a width of 4 in (nominal)".to_owned()
        };
        return Err(outside("the nominal widths of its table", nearest));
    };
    // Lumber planed to less than 3 1/2 in is none of the column 4 in thick, whose C_F is greater; of C_fu that column has the lesser.
    let column = if thick_in == 4 && thick < 3.46 * INCH { 3 } else { thick_in };
    let Some(size) = tables.size_factor(sized.group, wide_in, column) else {
        return Err(outside(
            "the nominal sizes that its size-factor table defines",
            "a width of 4 in (nominal), or No.2 of the same species".to_owned(),
        ));
    };
    // What is not sawn dimension lumber need not gain by lying flat: own values gain nothing.
    let flat_use = tables.flat_use(wide, thick_in);
    let one = ByProperty { f_b: 1.0, f_t: 1.0, f_v: 1.0, f_c_perp: 1.0, f_c: 1.0, e: 1.0, e_min: 1.0 };
    let mut wet = one;
    if c.wet {
        wet = *tables.nds.wet(grade.glued);
        // The exceptions of the wet-service table of sawn lumber: low values need no reduction.
        let [bending, compression] = tables.nds.wet_limits;
        if !grade.glued && sized.values.f_b * size.bending <= bending * (1.0 + 1e-9) {
            wet.f_b = 1.0;
        }
        if !grade.glued && sized.values.f_c * size.compression <= compression * (1.0 + 1e-9) {
            wet.f_c = 1.0;
        }
    }
    Ok(Adjust {
        values: sized.values,
        lrfd,
        time,
        wet,
        heat: tables.nds.heat(c.temperature, c.wet),
        incised: if c.incised { tables.nds.incised } else { one },
        size,
        flat_use: if own { flat_use.min(1.0) } else { flat_use },
        repetitive: if c.repetitive { 1.15 } else { 1.0 },
        k_f: tables.nds.k_f,
        phi: tables.nds.phi,
    })
}

/// `K_F φ_s` on `E_min` (Tables 2.3.5, 2.3.6).
pub(crate) fn strength_factor_on_e_min() -> f64 {
    let factors = &Tables::built_in().nds;
    factors.k_f.e_min * factors.phi.e_min
}

/// `C_M C_t C_i` on E (Table 4.3.1).
pub(crate) fn modulus_factor(grade: &NdsGrade, conditions: &Conditions) -> f64 {
    let factors = &Tables::built_in().nds;
    let wet = if conditions.wet { factors.wet(grade.glued).e } else { 1.0 };
    let incised = if conditions.incised { factors.incised.e } else { 1.0 };
    wet * factors.heat(conditions.temperature, conditions.wet).e * incised
}
