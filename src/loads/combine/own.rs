//! The user's own list of combinations.

use crate::loads::ask::{Basis, LoadsAsk, OwnCombinationAsk};
use crate::loads::combine::eurocode::{Factors, lasts, lasts_of, rank};
use crate::loads::combine::{name, us};
use crate::loads::imposed::unknown;
use crate::loads::{Case, CaseId, CaseKind, Combination, Duration, LoadError};

/// What stands as the clause of a combination that the project names itself.
pub(crate) const OWN_COMBINATION: &str = "the project's own";

pub(crate) fn combinations(ask: &LoadsAsk, cases: &[Case]) -> Result<Vec<Combination>, LoadError> {
    let mut made: Vec<Combination> = Vec::new();
    for own in &ask.combine.own {
        let one = one(ask, own, cases)?;
        if made.iter().any(|other| other.name == one.name) {
            return Err(LoadError::Twice { name: one.name });
        }
        made.push(one);
    }
    if made.iter().all(|one| one.state.is_service()) {
        return Err(LoadError::Missing {
            what: "combine.own of state \"strength\"",
            why: "under combinations of service alone no timber, fixing or foot is checked; add what the code asks for, or leave the list \
                  out and the code's own are taken"
                .into(),
        });
    }
    Ok(made)
}

/// Whether a load can only press: taken backwards it would be another load.
fn presses(kind: CaseKind) -> bool {
    matches!(kind, CaseKind::SelfWeight | CaseKind::Cover | CaseKind::Snow | CaseKind::Imposed)
}

fn one(ask: &LoadsAsk, own: &OwnCombinationAsk, cases: &[Case]) -> Result<Combination, LoadError> {
    let mut terms: Vec<(CaseId, f64)> = Vec::new();
    let place = own.name.clone().unwrap_or_else(|| "a combination of the project's own".into());
    for (case_name, factor) in &own.terms {
        if !factor.is_finite() {
            return Err(LoadError::OutOfRange {
                what: format!("the factor of `{case_name}` in `{place}`"),
                value: *factor,
                limit: "a number",
            });
        }
        let found: Vec<CaseId> = if case_name == "weight" {
            (0..cases.len())
                .map(CaseId)
                .filter(|id| matches!(cases[id.0].kind, CaseKind::SelfWeight | CaseKind::Cover))
                .collect()
        } else {
            let at = cases.iter().position(|case| &case.name == case_name).ok_or_else(|| {
                unknown("case", case_name, &place, cases.iter().map(|case| case.name.as_str()))
            })?;
            vec![CaseId(at)]
        };
        for id in found {
            if *factor < 0.0 && presses(cases[id.0].kind) {
                return Err(LoadError::OutOfRange {
                    what: format!("the factor of `{case_name}` in `{place}`"),
                    value: *factor,
                    limit: "0 or more: weight, snow and people do not lift",
                });
            }
            match terms.iter_mut().find(|(known, _)| *known == id) {
                Some((_, sum)) => *sum += factor,
                None => terms.push((id, *factor)),
            }
        }
    }
    terms.retain(|(_, factor)| *factor != 0.0);
    if terms.is_empty() {
        return Err(LoadError::TouchesNothing {
            name: place,
            why: ": the combination has no case with a factor".into(),
        });
    }
    let acting: Vec<&Case> = terms.iter().map(|(id, _)| &cases[id.0]).collect();
    // What is said of it may make it last longer than the shortest of its loads, and never less long.
    let duration = match (ask.basis, own.lasts) {
        (Basis::Eurocode, asked) => {
            let factors = Factors::new(ask);
            let each = acting.iter().map(|case| lasts_of(ask, &factors, case));
            let by_cases = each.max_by_key(|duration| rank(*duration)).unwrap_or(Duration::Permanent);
            asked.map(lasts).filter(|asked| rank(*asked) < rank(by_cases)).unwrap_or(by_cases)
        }
        (Basis::UsLrfd, asked) => {
            let by_cases = us::time_effect(ask, cases, &terms);
            Duration::TimeEffectFactor(asked.map_or(by_cases, |asked| us::time_effect_of(asked, by_cases)))
        }
        (Basis::UsAsd, asked) => {
            let by_cases = us::load_duration(ask, &acting);
            Duration::LoadDurationFactor(asked.map_or(by_cases, |asked| us::duration_of(asked).min(by_cases)))
        }
    };
    Ok(Combination {
        name: own.name.clone().unwrap_or_else(|| name(cases, &terms)),
        state: own.state,
        terms,
        duration,
        clause: OWN_COMBINATION.into(),
    })
}
