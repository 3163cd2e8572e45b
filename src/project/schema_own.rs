//! `[timber.own]`: own values in place of a grade of the tables.

use super::key::Key;
use super::table::Table;
use crate::loads::ask::Basis;
use crate::tables::grade::{EurocodeGrade, Grade, Material};
use crate::tables::nds::{NdsGrade, SizeGroup, Sized, Values};
use crate::tables::provenance::{Seen, Source, Sure};
use crate::units::Dimension;

/// The greatest `E_min` over E: NDS Appendix D (D-4) has 0.53 with a coefficient of variation of 0.10 (glulam, LVL), and 0.37 with 0.25 (sawn); a little is left
/// for products that vary less.
const MOST_E_MIN: f64 = 0.6;

/// `E_min` over E from which on values are hardly those of sawn lumber; between 0.37 and 0.53, see [`MOST_E_MIN`] (own choice).
const MOST_OF_SAWN: f64 = 0.45;

const OWN_NAME: Key = Key::text("name", "what the timber is called");
const OWN_SOURCE: Key = Key::text("source", "where the values come from");
const OWN_MATERIAL: Key = Key::word(
    "material",
    "softwood (where nothing is said), hardwood, glulam or lvl; under the NDS the last two for what moisture leaves of them",
);

const fn strength(name: &'static str, about: &'static str) -> Key {
    Key::quantity(name, Dimension::Pressure, about).within(1e4, 2e8).usually(2e5, 1e8)
}

const fn modulus(name: &'static str, about: &'static str) -> Key {
    Key::quantity(name, Dimension::Pressure, about).within(1e7, 5e10).usually(1e8, 2e10)
}

const fn density(name: &'static str, about: &'static str) -> Key {
    Key::quantity(name, Dimension::Density, about).within(50.0, 1500.0).usually(250.0, 1000.0)
}

const F_M_K: Key = strength("f_m_k", "characteristic bending strength");
const F_T_0_K: Key = strength("f_t_0_k", "characteristic tension along the grain");
const F_T_90_K: Key = strength("f_t_90_k", "characteristic tension across the grain").usually(2e5, 2e6);
const F_C_0_K: Key = strength("f_c_0_k", "characteristic compression along the grain");
const F_C_90_K: Key = strength("f_c_90_k", "characteristic compression across the grain").usually(1e6, 1.5e7);
const F_V_K: Key = strength("f_v_k", "characteristic shear strength").usually(1e6, 1e7);
const E_0_MEAN: Key = modulus("e_0_mean", "mean modulus along the grain");
const E_0_05: Key = modulus("e_0_05", "5 % modulus along the grain");
const E_90_MEAN: Key = modulus("e_90_mean", "mean modulus across the grain");
const G_MEAN: Key = modulus("g_mean", "mean shear modulus").usually(2e8, 1.5e9);
const G_05: Key = modulus("g_05", "5 % shear modulus").usually(1e8, 1.5e9);
const RHO_K: Key = density("rho_k", "characteristic density");
const RHO_MEAN: Key = density("rho_mean", "mean density");
const F_B: Key = strength("f_b", "reference bending value (NDS)");
const F_T: Key = strength("f_t", "reference tension value (NDS)");
const F_V: Key = strength("f_v", "reference shear value (NDS)");
const F_C_PERP: Key = strength("f_c_perp", "reference compression value across the grain (NDS)");
const F_C: Key = strength("f_c", "reference compression value along the grain (NDS)");
const E: Key = modulus("e", "reference modulus (NDS)");
const E_MIN: Key = modulus("e_min", "reference modulus for stability (NDS)");
const HIGHEST_CLASS: Key = Key::whole(
    "highest_service_class",
    "highest service class that the material may be used in, as its maker says (3 where nothing is said)",
)
.within(1.0, 3.0);
const SPECIFIC_GRAVITY: Key =
    Key::number("specific_gravity", "specific gravity G, for fixings (NDS)").within(0.1, 1.3);

/// Keys of `[timber.own]`.
pub(super) const OWN_KEYS: &[Key] = &[
    OWN_NAME,
    OWN_SOURCE,
    OWN_MATERIAL,
    F_M_K,
    F_T_0_K,
    F_T_90_K,
    F_C_0_K,
    F_C_90_K,
    F_V_K,
    E_0_MEAN,
    E_0_05,
    E_90_MEAN,
    G_MEAN,
    G_05,
    RHO_K,
    RHO_MEAN,
    HIGHEST_CLASS,
    F_B,
    F_T,
    F_V,
    F_C_PERP,
    F_C,
    E,
    E_MIN,
    SPECIFIC_GRAVITY,
];

/// A grade of the user's own values.
pub(super) fn own_grade(table: &Table<'_, '_>, basis: Option<Basis>) -> Option<Grade> {
    let name = table.text(&OWN_NAME).unwrap_or_else(|| "own values".to_owned());
    let words =
        table.text(&OWN_SOURCE).unwrap_or_else(|| "the user's own values, no source given".to_owned());
    let source = Source { seen: Seen::Own, sure: Sure::Low, words };
    let grade = match basis {
        Some(Basis::UsLrfd | Basis::UsAsd) => own_nds(table, name, source).map(Grade::Nds),
        Some(Basis::Eurocode) => own_eurocode(table, name, source).map(Grade::Eurocode),
        None => return None,
    };
    table.finish(OWN_KEYS, "under this basis");
    grade
}

fn own_eurocode(table: &Table<'_, '_>, name: String, source: Source) -> Option<EurocodeGrade> {
    let material = table.word_or_first(
        &OWN_MATERIAL,
        &[
            ("softwood", Material::Softwood),
            ("hardwood", Material::Hardwood),
            ("glulam", Material::Glulam),
            ("lvl", Material::Lvl),
        ],
    );
    let [f_m_k, f_t_0_k, f_c_0_k, f_c_90_k, f_v_k] =
        [F_M_K, F_T_0_K, F_C_0_K, F_C_90_K, F_V_K].map(|key| table.need_quantity(&key));
    let [e_0_mean, e_0_05, g_mean] = [E_0_MEAN, E_0_05, G_MEAN].map(|key| table.need_quantity(&key));
    let [rho_k, rho_mean] = [RHO_K, RHO_MEAN].map(|key| table.need_quantity(&key));
    // EN 338 gives 0.4 N/mm² for softwood classes; nothing checked here rests on it.
    let f_t_90_k = table.quantity_or(&F_T_90_K, 0.4e6);
    for (lower, low, higher, high) in
        [(&E_0_05, e_0_05, &E_0_MEAN, e_0_mean), (&RHO_K, rho_k, &RHO_MEAN, rho_mean)]
    {
        if let (Some(low), Some(high)) = (low, high)
            && low > high
        {
            let message = format!(
                "is above {}: of what is sold one in twenty pieces has less, so that the mean is higher",
                higher.name
            );
            table.fault("out-of-range", lower, message, "are the two swapped?");
        }
    }
    let (e_0_mean, e_0_05, g_mean) = (e_0_mean?, e_0_05?, g_mean?);
    Some(EurocodeGrade {
        name,
        material,
        f_m_k: f_m_k?,
        f_t_0_k: f_t_0_k?,
        f_t_90_k,
        f_c_0_k: f_c_0_k?,
        f_c_90_k: f_c_90_k?,
        f_v_k: f_v_k?,
        e_0_mean,
        e_0_05,
        // EN 384: E_90 = E_0 / 30 for softwoods (from memory).
        e_90_mean: table.quantity_or(&E_90_MEAN, e_0_mean / 30.0),
        g_mean,
        // The ratio of EN 384 for the means, kept for the 5 % values.
        g_05: table.quantity_or(&G_05, e_0_05 / 16.0),
        rho_k: rho_k?,
        rho_mean: rho_mean?,
        highest_service_class: u8::try_from(table.whole_or(&HIGHEST_CLASS, 3)).unwrap_or(3),
        source,
    })
}

/// Whether values for the NDS are of glued laminated timber: moisture weakens it more than sawn lumber.
fn of_glued(table: &Table<'_, '_>) -> bool {
    let kinds = [("softwood", false), ("hardwood", false), ("glulam", true), ("lvl", true)];
    table.word_or_first(&OWN_MATERIAL, &kinds)
}

fn own_nds(table: &Table<'_, '_>, name: String, source: Source) -> Option<NdsGrade> {
    let [f_b, f_t, f_v, f_c_perp, f_c] = [F_B, F_T, F_V, F_C_PERP, F_C].map(|key| table.need_quantity(&key));
    let [e, e_min] = [E, E_MIN].map(|key| table.need_quantity(&key));
    let glued = of_glued(table);
    if let (Some(e), Some(e_min)) = (e, e_min)
        && e_min > MOST_OF_SAWN * e
        && e_min <= MOST_E_MIN * e
        && !table.has(&OWN_MATERIAL)
    {
        table.reading.doubt(format!(
            "timber.own.e_min is {:.2} of e: glued laminated timber and LVL have that, of which moisture leaves less than of sawn lumber, and so has \
             lumber that was graded by machine (MSR, MEL): say which by timber.own.material (\"softwood\" is sawn)",
            e_min / e
        ));
    }
    if let (Some(e), Some(e_min)) = (e, e_min)
        && e_min > MOST_E_MIN * e
    {
        let message = format!(
            "is more than {MOST_E_MIN} of e: it is the modulus of stability checks, about 0.37 of it"
        );
        table.fault(
            "out-of-range",
            &E_MIN,
            message,
            "take it from the supplement, or as e·(1 − 1.645·COV)·1.03/1.66 (NDS Appendix D)",
        );
    }
    let specific_gravity = table.need_quantity(&SPECIFIC_GRAVITY);
    let density = table.need_quantity(&RHO_MEAN);
    let values =
        Values { f_b: f_b?, f_t: f_t?, f_v: f_v?, f_c_perp: f_c_perp?, f_c: f_c?, e: e?, e_min: e_min? };
    let sizes = vec![Sized { from_in: 0, to_in: u8::MAX, values, group: SizeGroup::Included }];
    Some(NdsGrade {
        species: name.clone(),
        grade: "own values".to_owned(),
        name,
        sizes,
        glued,
        specific_gravity: specific_gravity?,
        density: density?,
        source,
    })
}
