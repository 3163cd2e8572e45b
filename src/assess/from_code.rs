//! Values that nobody entered and that are no choice of this program's either: what the answer takes from the codes' own
//! tables, so that a checker sees them beside what was entered.

use crate::assess::conditions::surroundings;
use crate::assess::fill::{duration_words, state_name};
use crate::assess::results::InputLine;
use crate::assess::setup::Setup;
use crate::loads::ask::Basis;
use crate::loads::combine::factor_words;
use crate::loads::combine::own::OWN_COMBINATION;
use crate::loads::{CaseKind, Duration, LimitState};
use crate::project::Project;
use crate::rules::eurocode5::load_duration;
use crate::tables::Tables;
use crate::tables::grade::{EurocodeGrade, Grade};
use crate::tables::nds::NdsGrade;
use crate::units::{Kind, Show};

/// What the answer takes from the codes' tables, in the order timber, then loads.
#[must_use]
pub(super) fn inputs(project: &Project, setup: &Setup) -> Vec<InputLine> {
    let mut out = Vec::new();
    let from_table = Tables::built_in().grade(setup.grade.name()).is_ok_and(|held| *held == setup.grade);
    if from_table {
        let value = values(&setup.grade, Show::new(project.units));
        out.push(line(
            format!("values of {}", setup.grade.name()),
            value,
            setup.grade.source().words.clone(),
        ));
    }
    out.extend(match &setup.grade {
        Grade::Eurocode(grade) => of_timber(project, setup, grade),
        Grade::Nds(grade) => of_lumber(project, setup, grade.glued),
    });
    out.extend(factors(setup));
    out
}

fn line(key: impl Into<String>, value: String, note: impl Into<String>) -> InputLine {
    InputLine { key: key.into(), value, origin: "code".into(), note: note.into() }
}

/// Strengths, stiffnesses and densities of a grade, by the symbols of its standard.
fn values(grade: &Grade, show: Show) -> String {
    let stress = |(symbol, value): (&str, f64)| format!("{symbol} {}", show.text(Kind::Stress, value));
    let modulus = |(symbol, value): (&str, f64)| format!("{symbol} {}", show.text(Kind::Modulus, value));
    let density = |(symbol, value): (&str, f64)| format!("{symbol} {}", show.text(Kind::Density, value));
    let all: Vec<String> = match grade {
        Grade::Eurocode(g) => {
            let strengths = [
                ("f_m,k", g.f_m_k),
                ("f_t,0,k", g.f_t_0_k),
                ("f_c,0,k", g.f_c_0_k),
                ("f_c,90,k", g.f_c_90_k),
                ("f_v,k", g.f_v_k),
            ];
            let moduli = [("E_0,mean", g.e_0_mean), ("E_0,05", g.e_0_05), ("G_mean", g.g_mean)];
            let densities = [("ρ_k", g.rho_k), ("ρ_mean", g.rho_mean)];
            let strengths = strengths.map(stress).into_iter();
            strengths.chain(moduli.map(modulus)).chain(densities.map(density)).collect()
        }
        Grade::Nds(g) => of_widths(g, &stress, &modulus)
            .into_iter()
            .chain([format!("G {}", g.specific_gravity), density(("density", g.density))])
            .collect(),
    };
    all.join(", ")
}

/// Reference values of a grade of lumber; those of the narrowest width that its table gives.
fn of_widths(
    grade: &NdsGrade,
    stress: &dyn Fn((&'static str, f64)) -> String,
    modulus: &dyn Fn((&'static str, f64)) -> String,
) -> Vec<String> {
    let v = grade.reference();
    let strengths = [("F_b", v.f_b), ("F_t", v.f_t), ("F_c", v.f_c), ("F_c⊥", v.f_c_perp), ("F_v", v.f_v)];
    let mut out: Vec<String> = strengths.map(stress).into_iter().collect();
    out.extend([("E", v.e), ("E_min", v.e_min)].map(modulus));
    if grade.sizes.len() > 1 {
        out.push("wider sections by their own rows of the table".to_owned());
    }
    out
}

/// Durations of the combinations that are compared with a strength, each once, longest first as they stand.
fn durations(setup: &Setup) -> Vec<Duration> {
    let mut out = Vec::new();
    for combination in setup.combinations.iter().filter(|c| !c.state.is_service()) {
        if !out.contains(&combination.duration) {
            out.push(combination.duration);
        }
    }
    out
}

fn of_timber(project: &Project, setup: &Setup, grade: &EurocodeGrade) -> Vec<InputLine> {
    let tables = Tables::built_in();
    let conditions = surroundings(project);
    let class = conditions.service_class.unwrap_or(3);
    let each: Vec<String> = durations(setup)
        .into_iter()
        .filter_map(|duration| {
            let k_mod = tables.k_mod(grade.material, class, load_duration(duration)?)?;
            Some(format!("{} {k_mod}", duration_words(duration)))
        })
        .collect();
    let mut out = vec![line(
        "k_mod",
        each.join(", "),
        format!("EN 1995-1-1 Table 3.1, {}, service class {class}", grade.material.in_tables()),
    )];
    if let Some(k_def) = tables.k_def(grade.material, class) {
        out.push(line("k_def", k_def.to_string(), "EN 1995-1-1 Table 3.2; creep of the sag"));
    }
    let connections = tables.gamma_m_connections();
    let accident = tables.gamma_m_accidental();
    let value = match conditions.partial_factor {
        None => format!(
            "timber {}, connections {connections}, accidental {accident}",
            tables.gamma_m(grade.material)
        ),
        Some(_) => format!("connections at least {connections}, accidental {accident}"),
    };
    out.push(line("γ_M", value, "EN 1995-1-1 Table 2.3"));
    out
}

fn of_lumber(project: &Project, setup: &Setup, glued: bool) -> Vec<InputLine> {
    let nds = &Tables::built_in().nds;
    let each: Vec<String> = durations(setup).into_iter().map(duration_words).collect();
    let mut out = Vec::new();
    if project.loads.basis == Basis::UsLrfd {
        out.push(line("time effect", each.join(", "), "NDS-2018 Table N3"));
        let (k, phi) = (&nds.k_f, &nds.phi);
        let pairs = [
            ("F_b", k.f_b, phi.f_b),
            ("F_t", k.f_t, phi.f_t),
            ("F_v", k.f_v, phi.f_v),
            ("F_c", k.f_c, phi.f_c),
            ("F_c⊥", k.f_c_perp, phi.f_c_perp),
            ("E_min", k.e_min, phi.e_min),
            ("connections", nds.connections[0], nds.connections[1]),
        ];
        let pairs = pairs.map(|(name, k, phi)| format!("{name} {k} × {phi}"));
        out.push(line("K_F × φ", pairs.join(", "), "NDS-2018 Tables 2.3.5, 2.3.6"));
    } else {
        out.push(line("load duration", each.join(", "), "NDS-2018 Table 2.3.2"));
    }
    if surroundings(project).wet {
        let m = nds.wet(glued);
        let mut value = format!(
            "F_b {}, F_t {}, F_v {}, F_c⊥ {}, F_c {}, E and E_min {}",
            m.f_b, m.f_t, m.f_v, m.f_c_perp, m.f_c, m.e
        );
        if !glued {
            let show = Show::new(project.units);
            let [bending, compression] = nds.wet_limits.map(|limit| show.text(Kind::Stress, limit));
            value += &format!("; 1 for F_b·C_F up to {bending} and F_c·C_F up to {compression}");
        }
        let table = if glued { "5A" } else { "4A" };
        out.push(line(
            "wet service, C_M",
            value,
            format!("NDS Supplement Table {table}, adjustment factors"),
        ));
    }
    out
}

/// The factors that one clause puts on kinds of load in one limit state.
struct Factors<'a> {
    state: LimitState,
    clause: &'a str,
    kinds: Vec<(&'static str, Vec<f64>)>,
}

/// Factors on the cases, limit state by limit state and clause by clause, as the combinations have them.
fn factors(setup: &Setup) -> Vec<InputLine> {
    let mut all: Vec<Factors<'_>> = Vec::new();
    // What the project's own combinations say was entered.
    for combination in setup.combinations.iter().filter(|c| c.clause != OWN_COMBINATION) {
        let (state, clause) = (combination.state, combination.clause.as_str());
        let at = all.iter().position(|f| f.state == state && f.clause == clause).unwrap_or_else(|| {
            all.push(Factors { state, clause, kinds: Vec::new() });
            all.len() - 1
        });
        for &(case, factor) in &combination.terms {
            all[at].add(kind_words(setup.cases[case.0].kind), factor);
        }
    }
    all.into_iter().map(Factors::told).collect()
}

impl Factors<'_> {
    fn add(&mut self, kind: &'static str, factor: f64) {
        let at = self.kinds.iter().position(|(known, _)| *known == kind).unwrap_or_else(|| {
            self.kinds.push((kind, Vec::new()));
            self.kinds.len() - 1
        });
        let known = &mut self.kinds[at].1;
        if known.iter().all(|known| (known - factor).abs() > 1e-12) {
            known.push(factor);
        }
    }

    fn told(self) -> InputLine {
        let each = self.kinds.into_iter().map(|(kind, mut factors)| {
            factors.sort_by(f64::total_cmp);
            let words: Vec<String> = factors.into_iter().map(factor_words).collect();
            format!("{kind} {}", words.join(", "))
        });
        let value = each.collect::<Vec<_>>().join("; ");
        line(format!("factors, {}", state_name(self.state)), value, self.clause)
    }
}

fn kind_words(kind: CaseKind) -> &'static str {
    match kind {
        CaseKind::SelfWeight | CaseKind::Cover => "weight",
        CaseKind::Snow => "snow",
        CaseKind::Wind => "wind",
        CaseKind::Imposed => "people and things hung on",
        CaseKind::User => "your own cases",
    }
}

#[cfg(test)]
mod tests {
    use crate::assess::{example, find};

    fn told(file: &str) -> Vec<(String, String, String)> {
        let project = example(file);
        let found = find(&project).unwrap();
        let lines = super::inputs(&project, &found.setup);
        lines.into_iter().map(|line| (line.key, line.value, line.note)).collect()
    }

    fn of<'a>(told: &'a [(String, String, String)], key: &str) -> &'a str {
        told.iter().find(|line| line.0 == key).map_or("", |line| &line.1)
    }

    /// EN 338:2016 Table 1 and EN 1995-1-1 Tables 2.3, 3.1, 3.2, as the reference sheets have them.
    #[test]
    fn timber_and_factors_of_the_eurocodes_are_told() {
        let told = told("propagation-tunnel.toml");
        assert!(of(&told, "values of C24").starts_with("f_m,k 24 N/mm²"), "{told:#?}");
        assert_eq!(of(&told, "k_mod"), "permanent 0.5, short-term 0.7, instantaneous 0.9");
        assert_eq!(of(&told, "k_def"), "2");
        assert_eq!(of(&told, "γ_M"), "timber 1.3, connections 1.3, accidental 1");
        assert_eq!(of(&told, "factors, strength"), "weight 1.35; snow 0.75, 1.5; wind 0.9, 1.5");
        assert!(told.iter().all(|line| !line.2.is_empty()), "{told:#?}");
    }

    #[test]
    fn lumber_and_factors_of_asce_are_told() {
        let told = told("grafting-dome-us.toml");
        assert!(of(&told, "values of DF-L No.2").starts_with("F_b 900 psi"), "{told:#?}");
        assert_eq!(of(&told, "time effect"), "λ 0.6, λ 0.8, λ 1");
        assert!(of(&told, "K_F × φ").starts_with("F_b 2.54 × 0.85, F_t 2.7 × 0.8"), "{told:#?}");
        assert!(of(&told, "wet service, C_M").starts_with("F_b 0.85, F_t 1"), "{told:#?}");
        assert_eq!(of(&told, "factors, uplift"), "weight 0.9; wind 1.0");
    }
}
