//! ASCE 7 strength (2.3.1) and allowable stress (2.4.1), editions 7-16 and 7-22, never mixed.

use crate::loads::ask::{AsceEdition, LastsAsk, LoadsAsk};
use crate::loads::combine::{List, Sorted, with};
use crate::loads::snow::asce::edition;
use crate::loads::{Action, Case, CaseId, CaseKind, Combination, Duration, LimitState, LoadError};
use crate::tables::Tables;
use crate::tables::nds::{LoadDurations, TimeEffects};

/// `C_D` of NDS-2018 Table 2.3.2.
fn load_durations() -> &'static LoadDurations {
    &Tables::built_in().nds.load_duration
}

/// λ of NDS-2018 Table N3.
fn time_effects() -> &'static TimeEffects {
    &Tables::built_in().nds.time_effect
}

/// NDS time effect factor λ (NDS-2018 Table N3): 1.0 where the wind leads, 0.6 dead alone,
/// 0.7 where storage leads, else 0.8. Wind at 0.5 beside snow (combination 3) only goes with it: that keeps 0.8. What hangs
/// and comes and goes is taken as storage (own reading, as under the Eurocode); of the user's own cases, which do not say whether
/// they store, those that last as long as that, accidents too.
/// Of several that lead the one that lasts longest counts (own).
pub(crate) fn time_effect(ask: &LoadsAsk, cases: &[Case], terms: &[(CaseId, f64)]) -> f64 {
    let table = time_effects();
    let has = |test: &dyn Fn(&Case, f64) -> bool| terms.iter().any(|&(id, f)| test(&cases[id.0], f));
    if has(&|case, factor| case.kind == CaseKind::Wind && factor > 1.0 - 1e-9) {
        table.wind
    } else if has(&|case, _| case.action != Action::Permanent) {
        let leads = |case: &Case, factor: f64| match case.action {
            Action::Permanent => false,
            Action::Variable => factor > 1.5,
            Action::Accidental => true,
        };
        let all = terms.iter().map(|&(id, factor)| (&cases[id.0], factor));
        all.filter(|(case, factor)| leads(case, *factor)).fold(table.usual, |so_far, (case, _)| {
            match case.kind {
                CaseKind::Imposed if ask.imposed.hanging.iter().any(|hung| hung.name == case.name) => {
                    f64::min(so_far, table.storage)
                }
                CaseKind::User => time_effect_of(own_lasts(ask, case), so_far),
                _ => so_far,
            }
        })
    } else {
        table.dead
    }
}

/// How long a case of the user's own lasts; a permanent one, whatever is said of it, lasts as long as the shell: it is in every
/// combination.
fn own_lasts(ask: &LoadsAsk, case: &Case) -> LastsAsk {
    if case.action == Action::Permanent {
        return LastsAsk::Permanent;
    }
    ask.user.iter().find(|user| user.name == case.name).map_or(LastsAsk::ShortTerm, |user| user.lasts)
}

/// NDS load duration factor CD of what lasts so long (NDS-2018 Table 2.3.2).
pub(crate) fn duration_of(lasts: LastsAsk) -> f64 {
    let table = load_durations();
    match lasts {
        LastsAsk::Permanent => table.permanent,
        LastsAsk::LongTerm => table.ten_years,
        LastsAsk::MediumTerm => table.two_months,
        LastsAsk::ShortTerm => table.seven_days,
        LastsAsk::Instantaneous => table.ten_minutes,
    }
}

/// NDS time effect factor λ where a combination, or a case that leads one, of the project's own says how long it lasts: 0.6 permanent
/// and 0.7 long-term, as dead load alone and storage have (NDS-2018 Table N3); for shorter ones what is so far made of it, where that is
/// less than 1.
pub(crate) fn time_effect_of(lasts: LastsAsk, so_far: f64) -> f64 {
    let table = time_effects();
    match lasts {
        LastsAsk::Permanent => so_far.min(table.dead),
        LastsAsk::LongTerm => so_far.min(table.storage),
        LastsAsk::MediumTerm | LastsAsk::ShortTerm => so_far.min(table.usual),
        LastsAsk::Instantaneous => so_far,
    }
}

/// NDS load duration factor CD of the shortest load (NDS-2018 Table 2.3.2).
pub(crate) fn load_duration(ask: &LoadsAsk, acting: &[&Case]) -> f64 {
    let table = load_durations();
    acting
        .iter()
        .map(|case| match case.kind {
            CaseKind::SelfWeight | CaseKind::Cover => table.permanent,
            CaseKind::Snow => table.two_months,
            CaseKind::Wind => table.ten_minutes,
            CaseKind::Imposed => match ask.imposed.hanging.iter().find(|hung| hung.name == case.name) {
                Some(hung) if hung.permanent => table.permanent,
                Some(_) => table.ten_years,
                None => table.seven_days,
            },
            CaseKind::User => duration_of(own_lasts(ask, case)),
        })
        .fold(table.permanent, f64::max)
}

fn cases_of<'a>(cases: &'a [Case], ids: &[CaseId]) -> Vec<&'a Case> {
    ids.iter().map(|id| &cases[id.0]).collect()
}

/// Loads of the kind "Lr or S or R": snow and the imposed that is no occupancy (people on the roof, maintenance).
fn roof_loads(sorted: &Sorted) -> Vec<(CaseId, bool)> {
    let mut loads: Vec<(CaseId, bool)> = sorted.snow.iter().map(|&id| (id, true)).collect();
    loads.extend(sorted.imposed.iter().filter(|id| !sorted.hung.contains(id)).map(|&id| (id, false)));
    loads
}

/// Loads of the kind "L": what hangs and comes and goes, each and all at once, and the user's own, one at a time and with all that
/// hangs.
fn live_loads(sorted: &Sorted) -> Vec<Vec<CaseId>> {
    let mut loads: Vec<Vec<CaseId>> = sorted.hung.iter().chain(&sorted.user).map(|&id| vec![id]).collect();
    if sorted.hung.len() > 1 {
        loads.push(sorted.hung.clone());
    }
    if !sorted.hung.is_empty() {
        loads.extend(sorted.user.iter().map(|&own| [&[own], &sorted.hung[..]].concat()));
    }
    loads
}

/// What acts beside the whole weight at allowable-stress level, and the number of the combination in ASCE 7 2.4.1: nothing (1), live
/// loads (2), a load of the roof (3), both (4), wind (5), wind with either or both (6).
fn beside_dead(sorted: &Sorted, snow_factor: f64) -> Vec<(Vec<(CaseId, f64)>, &'static str)> {
    let live = live_loads(sorted);
    let factor = |snow| if snow { snow_factor } else { 1.0 };
    let roof: Vec<_> = roof_loads(sorted).into_iter().map(|(id, snow)| (id, factor(snow))).collect();
    let mut out = vec![(Vec::new(), "1")];
    out.extend(live.iter().map(|l| (with(1.0, l), "2")));
    for &(r, factor) in &roof {
        out.push((vec![(r, factor)], "3"));
        out.extend(live.iter().map(|l| ([&with(0.75, l)[..], &[(r, 0.75 * factor)]].concat(), "4")));
    }
    for &w in &sorted.wind {
        out.push((vec![(w, 0.6)], "5"));
        let wind = (w, 0.75 * 0.6);
        out.extend(live.iter().map(|l| ([&with(0.75, l)[..], &[wind]].concat(), "6")));
        for &(r, factor) in &roof {
            let both = [wind, (r, 0.75 * factor)];
            out.push((both.to_vec(), "6"));
            out.extend(live.iter().map(|l| ([&both[..], &with(0.75, l)].concat(), "6")));
        }
    }
    out
}

/// Weight that holds, by its factor, and beside it, by its own, what of the permanent is not counted on.
fn held(sorted: &Sorted, (holds, loose): (f64, f64)) -> Vec<Vec<(CaseId, f64)>> {
    let beside = |set: &Vec<CaseId>| [&with(holds, &sorted.holding)[..], &with(loose, set)].concat();
    sorted.loose_sets().iter().map(beside).collect()
}

/// What hangs and the user's own variable cases at their full factor, and with every wind at the factors (live, wind) that the
/// combinations of both have, beside the weight that holds: they may lift, and what presses on one side may lever up the other. ASCE 7
/// writes 0.9 D and 0.6 D for wind; that what else lifts is held by no more is this project's own reading.
fn lifted(
    (live, winds): (&[Vec<CaseId>], &[CaseId]),
    held: &[(CaseId, f64)],
    full: f64,
    beside: (f64, f64),
) -> Vec<Vec<(CaseId, f64)>> {
    let mut lifted = Vec::new();
    for live in live {
        lifted.push([held, &with(full, live)].concat());
        let winds = winds.iter().map(|&w| [held, &with(beside.0, live), &[(w, beside.1)]].concat());
        lifted.extend(winds);
    }
    lifted
}

/// Every wind, and none where some of the weight is not counted on.
fn winds(sorted: &Sorted) -> Vec<Vec<CaseId>> {
    let calm = (!sorted.loose.is_empty()).then(Vec::new);
    calm.into_iter().chain(sorted.wind.iter().map(|&w| vec![w])).collect()
}

fn order(mut terms: Vec<(CaseId, f64)>) -> Vec<(CaseId, f64)> {
    terms.sort_by_key(|(id, _)| *id);
    terms
}

pub(crate) fn strength(ask: &LoadsAsk, cases: &[Case]) -> Result<Vec<Combination>, LoadError> {
    let edition = edition(ask)?;
    let sorted = Sorted::new(ask, cases);
    let mut list = List::new(cases);
    // Factors of S: leading, companion. Roof live load is the same in both editions.
    let (lead, companion) = match edition {
        AsceEdition::Seven16 => (1.6, 0.5),
        AsceEdition::Seven22 => (1.0, 0.3),
    };
    let clause = |number: &str| {
        let letter = if edition == AsceEdition::Seven22 { "a" } else { "" };
        format!("ASCE {} 2.3.1, {number}{letter}", edition.name())
    };
    let push = |list: &mut List<'_>, state, terms: Vec<(CaseId, f64)>, number: &str| {
        let factor = time_effect(ask, cases, &terms);
        list.push(state, order(terms), Duration::TimeEffectFactor(factor), &clause(number));
    };
    let dead = |factor: f64| with(factor, &sorted.permanent);
    let roof = roof_loads(&sorted);
    let live = live_loads(&sorted);
    push(&mut list, LimitState::Strength, dead(1.4), "1");
    for l in &live {
        let mut terms = dead(1.2);
        terms.extend(with(1.6, l));
        push(&mut list, LimitState::Strength, terms.clone(), "2");
        for &(r, snow) in &roof {
            let mut terms = terms.clone();
            terms.push((r, if snow { companion } else { 0.5 }));
            push(&mut list, LimitState::Strength, terms, "2");
        }
    }
    for &(r, snow) in &roof {
        let mut terms = dead(1.2);
        terms.push((r, if snow { lead } else { 1.6 }));
        push(&mut list, LimitState::Strength, terms.clone(), "3");
        for l in &live {
            let mut terms = terms.clone();
            terms.extend(with(1.0, l));
            push(&mut list, LimitState::Strength, terms, "3");
        }
        for &w in &sorted.wind {
            let mut terms = terms.clone();
            terms.push((w, 0.5));
            push(&mut list, LimitState::Strength, terms, "3");
        }
    }
    for &w in &sorted.wind {
        let mut terms = dead(1.2);
        terms.push((w, 1.0));
        push(&mut list, LimitState::Strength, terms.clone(), "4");
        for l in &live {
            let mut terms = terms.clone();
            terms.extend(with(1.0, l));
            push(&mut list, LimitState::Strength, terms, "4");
        }
        for &(r, snow) in &roof {
            let mut terms = terms.clone();
            terms.push((r, if snow { companion } else { 0.5 }));
            push(&mut list, LimitState::Strength, terms.clone(), "4");
            for l in &live {
                let mut terms = terms.clone();
                terms.extend(with(1.0, l));
                push(&mut list, LimitState::Strength, terms, "4");
            }
        }
    }
    // What is there all the time and not counted on keeps its 1.2 beside weight that holds (own reading).
    for held in held(&sorted, (0.9, 1.2)) {
        for w in winds(&sorted) {
            let terms = [&held[..], &with(1.0, &w)].concat();
            push(&mut list, LimitState::Strength, terms.clone(), "5");
            push(&mut list, LimitState::Uplift, terms, "5");
        }
        for terms in lifted((&live, &sorted.wind), &held, 1.6, (1.0, 1.0)) {
            push(&mut list, LimitState::Strength, terms.clone(), "as 5");
            push(&mut list, LimitState::Uplift, terms, "as 5");
        }
    }
    common(ask, cases, &sorted, edition, true, &mut list);
    Ok(list.finish())
}

pub(crate) fn allowable(ask: &LoadsAsk, cases: &[Case]) -> Result<Vec<Combination>, LoadError> {
    let edition = edition(ask)?;
    let sorted = Sorted::new(ask, cases);
    let mut list = List::new(cases);
    let snow_factor = match edition {
        AsceEdition::Seven16 => 1.0,
        AsceEdition::Seven22 => 0.7,
    };
    let clause = |number: &str| {
        let letter = if edition == AsceEdition::Seven22 { "a" } else { "" };
        format!("ASCE {} 2.4.1, {number}{letter}", edition.name())
    };
    let push = |list: &mut List<'_>, state, terms: Vec<(CaseId, f64)>, number: &str| {
        let ids: Vec<CaseId> = terms.iter().map(|(id, _)| *id).collect();
        let factor = load_duration(ask, &cases_of(cases, &ids));
        list.push(state, order(terms), Duration::LoadDurationFactor(factor), &clause(number));
    };
    let dead = |factor: f64| with(factor, &sorted.permanent);
    let live = live_loads(&sorted);
    for (beside, number) in beside_dead(&sorted, snow_factor) {
        push(&mut list, LimitState::Strength, [dead(1.0), beside].concat(), number);
    }
    for held in held(&sorted, (0.6, 1.0)) {
        for w in winds(&sorted) {
            let terms = [&held[..], &with(0.6, &w)].concat();
            push(&mut list, LimitState::Strength, terms.clone(), "7");
            push(&mut list, LimitState::Uplift, terms, "7");
        }
        for terms in lifted((&live, &sorted.wind), &held, 1.0, (0.75, 0.75 * 0.6)) {
            push(&mut list, LimitState::Strength, terms.clone(), "as 7");
            push(&mut list, LimitState::Uplift, terms, "as 7");
        }
    }
    common(ask, cases, &sorted, edition, false, &mut list);
    Ok(list.finish())
}

/// Service, long-term and the open door, alike in both formats.
fn common(
    ask: &LoadsAsk,
    cases: &[Case],
    sorted: &Sorted,
    edition: AsceEdition,
    lrfd: bool,
    list: &mut List<'_>,
) {
    let duration = |terms: &[(CaseId, f64)]| {
        if lrfd {
            Duration::TimeEffectFactor(time_effect(ask, cases, terms))
        } else {
            let ids: Vec<CaseId> = terms.iter().map(|(id, _)| *id).collect();
            Duration::LoadDurationFactor(load_duration(ask, &cases_of(cases, &ids)))
        }
    };
    // Service is not ruled by ASCE 7; its commentary (appendix C) goes by what people use. Loads at
    // strength level are brought back by the factors of allowable stress.
    let snow_factor = if edition == AsceEdition::Seven22 { 0.7 } else { 1.0 };
    let clause = format!("ASCE {} appendix C (commentary), service level as in 2.4.1", edition.name());
    let dead = with(1.0, &sorted.permanent);
    for (beside, _) in beside_dead(sorted, snow_factor) {
        let terms = [&dead[..], &beside].concat();
        let lasts = duration(&terms);
        list.push(LimitState::Service, order(terms), lasts, &clause);
    }
    // What is stored, and cases of the user's own that last, creep as weight does (NDS 3.5.2: the part of the load that stays for long).
    let stays =
        |id: &&CaseId| matches!(own_lasts(ask, &cases[id.0]), LastsAsk::Permanent | LastsAsk::LongTerm);
    let stored = sorted.hung.iter().chain(sorted.user.iter().filter(stays));
    let stored: Vec<CaseId> = stored.copied().collect();
    let staying = [&dead[..], &with(1.0, &stored)].concat();
    let lasts = duration(&staying);
    list.push(LimitState::LongTerm, order(staying), lasts, &clause);
    // ASCE 7 2.5 (extraordinary events) is written for strength: (0.9 or 1.2) D + Ak + 0.5 L + 0.2 S (from memory). For allowable
    // stress the same event is brought to that level by 0.6, as wind is; this project's own reading.
    for &accident in &sorted.accidental {
        let (level, dead) = if lrfd { (1.0, [1.2, 0.9]) } else { (0.6, [1.0, 0.6]) };
        let clause = format!(
            "ASCE {} 2.5{}",
            edition.name(),
            if lrfd { "" } else { ", brought to allowable level by 0.6" }
        );
        let mut push = |mut terms: Vec<(CaseId, f64)>| {
            terms.push((accident, level));
            let lasts = duration(&terms);
            list.push(LimitState::Accidental, order(terms), lasts, &clause);
        };
        push(with(dead[0], &sorted.permanent));
        let snows = sorted.snow.iter().filter(|_| cases[accident.0].kind != CaseKind::Snow);
        let beside: Vec<Vec<(CaseId, f64)>> =
            std::iter::once(Vec::new()).chain(snows.map(|&s| vec![(s, 0.2 * level)])).collect();
        // L of 2.5: all that hangs, and the user's own one at a time, by itself and with all that hangs.
        let mut lives = vec![sorted.hung.clone()];
        lives.extend(sorted.user.iter().map(|&own| vec![own]));
        lives.extend(sorted.user.iter().map(|&own| [&[own], &sorted.hung[..]].concat()));
        for snow in beside {
            for live in &lives {
                let terms = [&with(dead[0], &sorted.permanent), &snow[..], &with(0.5 * level, live)].concat();
                push(terms);
            }
        }
        for held in held(sorted, (dead[1], dead[0])) {
            for live in &lives {
                push([&held[..], &with(0.5 * level, live)].concat());
            }
            push(held);
        }
    }
}
