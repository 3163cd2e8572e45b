//! EN 1990: strength by 6.10 or 6.10a and b, balance (uplift, sliding), service, long-term, accident.

use crate::loads::ask::{Given, LastsAsk, LoadsAsk, StrengthExpression, UserRole};
use crate::loads::combine::{List, Sorted, with};
use crate::loads::figures::figure;
use crate::loads::{Action, Case, CaseId, CaseKind, Combination, Duration, LimitState};

/// Partial and combination factors of the project.
pub(crate) struct Factors {
    pub(crate) permanent: f64,
    pub(crate) favourable: f64,
    pub(crate) balance: f64,
    /// What lifts or pushes, beside that.
    pub(crate) unbalancing: f64,
    pub(crate) variable: f64,
    pub(crate) xi: f64,
    pub(crate) snow: [f64; 3],
    pub(crate) wind: [f64; 3],
    /// People, maintenance, points and water (category H).
    roof: [f64; 3],
    snow_lasts: Duration,
    wind_lasts: Duration,
}

impl Factors {
    pub(crate) fn new(ask: &LoadsAsk) -> Factors {
        let column = if ask.combine.uk { "UK" } else { "recommended" };
        let value = |row: &str| figure("en1990_factors", row, column);
        let long_lying = matches!(&ask.snow, Given::Value(snow) if snow.long_lying);
        let north = if long_lying { ", northern" } else { "" };
        Factors {
            permanent: value("gamma_G unfavourable, strength"),
            favourable: value("gamma_G favourable, strength"),
            balance: value("gamma_G favourable, balance"),
            unbalancing: value("gamma_G unfavourable, balance"),
            variable: value("gamma_Q"),
            xi: value("xi"),
            snow: [0, 1, 2].map(|k| value(&format!("psi{k} snow{north}"))),
            wind: [0, 1, 2].map(|k| value(&format!("psi{k} wind"))),
            // ψ1 and ψ2 are 0 in every annex held (EN 1990 Table A1.1).
            roof: [value("psi0 roof, category H"), 0.0, 0.0],
            // EN 1995-1-1 Table 2.2: snow and wind are short-term; where snow lies for weeks it is
            // medium-term. The UK annex has wind instantaneous.
            snow_lasts: if long_lying { Duration::MediumTerm } else { Duration::ShortTerm },
            wind_lasts: if ask.combine.uk { Duration::Instantaneous } else { Duration::ShortTerm },
        }
    }
}

/// Rank by length: the greater lasts less.
pub(crate) fn rank(duration: Duration) -> u8 {
    match duration {
        Duration::Permanent => 0,
        Duration::LongTerm => 1,
        Duration::MediumTerm => 2,
        Duration::ShortTerm => 3,
        Duration::Instantaneous => 4,
        Duration::LoadDurationFactor(_) | Duration::TimeEffectFactor(_) => 0,
    }
}

pub(crate) fn lasts(ask: LastsAsk) -> Duration {
    match ask {
        LastsAsk::Permanent => Duration::Permanent,
        LastsAsk::LongTerm => Duration::LongTerm,
        LastsAsk::MediumTerm => Duration::MediumTerm,
        LastsAsk::ShortTerm => Duration::ShortTerm,
        LastsAsk::Instantaneous => Duration::Instantaneous,
    }
}

/// How long a case lasts.
pub(crate) fn lasts_of(ask: &LoadsAsk, factors: &Factors, case: &Case) -> Duration {
    match case.kind {
        CaseKind::SelfWeight | CaseKind::Cover => Duration::Permanent,
        CaseKind::Snow => factors.snow_lasts,
        CaseKind::Wind if case.action == Action::Accidental => Duration::Instantaneous,
        CaseKind::Wind => factors.wind_lasts,
        CaseKind::Imposed => match ask.imposed.hanging.iter().find(|hung| hung.name == case.name) {
            Some(hung) if hung.permanent => Duration::Permanent,
            Some(_) => Duration::MediumTerm,
            None => Duration::ShortTerm,
        },
        // It is in every combination, whatever is said of it.
        CaseKind::User if case.action == Action::Permanent => Duration::Permanent,
        CaseKind::User => ask
            .user
            .iter()
            .find(|user| user.name == case.name)
            .map_or(Duration::ShortTerm, |user| lasts(user.lasts)),
    }
}

/// ψ0, ψ1, ψ2 of a variable case.
fn psi(ask: &LoadsAsk, factors: &Factors, case: &Case) -> [f64; 3] {
    match case.kind {
        CaseKind::Snow => factors.snow,
        CaseKind::Wind => factors.wind,
        CaseKind::User => {
            ask.user.iter().find(|user| user.name == case.name).map_or([1.0; 3], |user| match user.role {
                UserRole::Variable(psi) => psi,
                UserRole::Permanent | UserRole::Accidental => [1.0; 3],
            })
        }
        // Things hung on that come and go: as storage (EN 1990 Table A1.1, category E).
        CaseKind::Imposed if ask.imposed.hanging.iter().any(|hung| hung.name == case.name) => [1.0, 0.9, 0.8],
        _ => factors.roof,
    }
}

/// Sets of variable cases that act together, the leading one first; the order within a set is by case.
fn sets(sorted: &Sorted, factors: &Factors) -> Vec<Vec<CaseId>> {
    let mut sets: Vec<Vec<CaseId>> = Vec::new();
    let one = |ids: &[CaseId]| ids.iter().map(|&id| vec![id]).collect::<Vec<_>>();
    sets.extend(one(&sorted.snow));
    sets.extend(one(&sorted.wind));
    sets.extend(one(&sorted.user));
    sets.extend(one(&sorted.imposed));
    for &snow in &sorted.snow {
        for &wind in &sorted.wind {
            sets.push(vec![snow, wind]);
            sets.push(vec![wind, snow]);
        }
    }
    // The user's own and what hangs act with snow and with wind, and with both. All that hangs may hang
    // at once; of the user's own one at a time, which may be several pictures of one thing.
    let mut companions: Vec<Vec<CaseId>> = one(&sorted.hung);
    if sorted.hung.len() > 1 {
        companions.push(sorted.hung.clone());
        sets.extend(led(&sorted.hung));
    }
    for &own in &sorted.user {
        companions.push(vec![own]);
        if !sorted.hung.is_empty() {
            let with_hung = [&[own], &sorted.hung[..]].concat();
            sets.extend(led(&with_hung));
            companions.push(with_hung);
        }
    }
    // People, maintenance, points and water (category H) keep apart from snow and wind alone (EN 1991-1-1 3.3.2): with the rest they act,
    // leading, and where their ψ0 is not 0 (UK annex: 0.7) as companions too; where it is, the sets without them are these.
    // A person has a case for every joint: of what hangs all at once only, with each of the user's own and without, and those alone.
    let all_hung = |company: &[CaseId]| sorted.hung.iter().all(|id| company.contains(id));
    let beside_roof = |company: &&Vec<CaseId>| {
        all_hung(company) || company.first().is_some_and(|first| sorted.user.contains(first))
    };
    for &roof in sorted.imposed.iter().filter(|id| !sorted.hung.contains(id)) {
        let companions = companions.iter().filter(beside_roof);
        for set in companions.map(|company| [&[roof], &company[..]].concat()) {
            let leading = if factors.roof[0] == 0.0 { 1 } else { set.len() };
            sets.extend(led(&set).into_iter().take(leading));
        }
    }
    for company in &companions {
        for &other in sorted.snow.iter().chain(&sorted.wind) {
            sets.extend(led(&[&[other], &company[..]].concat()));
        }
    }
    // With both at once: all that hangs, and each of the user's own beside it. What hangs loses nothing as a companion, and need not lead.
    let all_at_once = companions.iter().filter(|company| all_hung(company));
    for company in all_at_once {
        for &snow in &sorted.snow {
            for &wind in &sorted.wind {
                sets.push([&[snow, wind], &company[..]].concat());
                sets.push([&[wind, snow], &company[..]].concat());
                if company.first().is_some_and(|first| sorted.user.contains(first)) {
                    sets.push([&company[..], &[snow, wind]].concat());
                }
            }
        }
    }
    sets
}

/// A set with each of its cases leading in turn.
fn led(set: &[CaseId]) -> Vec<Vec<CaseId>> {
    let lead = |place: usize| {
        let mut set = set.to_vec();
        let first = set.remove(place);
        set.insert(0, first);
        set
    };
    (0..set.len()).map(lead).collect()
}

pub(crate) fn combinations(ask: &LoadsAsk, cases: &[Case]) -> Vec<Combination> {
    let sorted = Sorted::new(ask, cases);
    let factors = Factors::new(ask);
    let psi = |id: CaseId| psi(ask, &factors, &cases[id.0]);
    let shortest = |ids: &[CaseId]| {
        ids.iter()
            .map(|id| lasts_of(ask, &factors, &cases[id.0]))
            .fold(Duration::Permanent, |a, b| if rank(b) > rank(a) { b } else { a })
    };
    let mut list = List::new(cases);
    let sets = sets(&sorted, &factors);
    let accompanied = |lead: f64, others: fn(&[f64; 3]) -> f64, set: &[CaseId]| {
        let mut terms: Vec<(CaseId, f64)> = Vec::new();
        for (place, &id) in set.iter().enumerate() {
            terms.push((id, if place == 0 { lead } else { others(&psi(id)) }));
        }
        terms
    };
    let scaled = |factor: f64, terms: Vec<(CaseId, f64)>| {
        terms.into_iter().map(|(id, f)| (id, f * factor)).collect::<Vec<_>>()
    };
    let in_order = |mut terms: Vec<(CaseId, f64)>| {
        terms.sort_by_key(|(id, _)| *id);
        terms
    };

    // Strength.
    list.push(
        LimitState::Strength,
        with(factors.permanent, &sorted.permanent),
        Duration::Permanent,
        "EN 1990 6.10, Table A1.2(B)",
    );
    for set in &sets {
        match ask.combine.expression {
            StrengthExpression::SixTen => {
                let mut terms = with(factors.permanent, &sorted.permanent);
                terms.extend(scaled(factors.variable, accompanied(1.0, |psi| psi[0], set)));
                list.push(
                    LimitState::Strength,
                    in_order(terms),
                    shortest(set),
                    "EN 1990 6.10, Table A1.2(B)",
                );
            }
            StrengthExpression::SixTenAB => {
                let mut a = with(factors.permanent, &sorted.permanent);
                a.extend(set.iter().map(|&id| (id, factors.variable * psi(id)[0])));
                let acting: Vec<CaseId> = set.iter().copied().filter(|&id| psi(id)[0] != 0.0).collect();
                list.push(
                    LimitState::Strength,
                    in_order(a),
                    shortest(&acting),
                    "EN 1990 6.10a, Table A1.2(B)",
                );
                let mut b = with(factors.permanent * factors.xi, &sorted.permanent);
                b.extend(scaled(factors.variable, accompanied(1.0, |psi| psi[0], set)));
                list.push(LimitState::Strength, in_order(b), shortest(set), "EN 1990 6.10b, Table A1.2(B)");
            }
        }
    }
    // Weight that helps, beside every set: snow on one side bends an arch that weight would straighten, and lifts feet too.
    let loose_sets = sorted.loose_sets();
    for loose in &loose_sets {
        // What is there all the time needs nothing else to lift, and where some of it may be gone, what holds is another thing than all.
        let alone = (!sorted.loose.is_empty()).then(Vec::new);
        for set in alone.iter().chain(&sets) {
            let variable = scaled(factors.variable, accompanied(1.0, |psi| psi[0], set));
            let mut terms = with(factors.favourable, &sorted.holding);
            terms.extend(with(factors.permanent, loose));
            terms.extend(&variable);
            list.push(
                LimitState::Strength,
                in_order(terms),
                shortest(set),
                "EN 1990 6.10, Table A1.2(B), weight favourable",
            );
            let mut balance = with(factors.balance, &sorted.holding);
            balance.extend(with(factors.unbalancing, loose));
            balance.extend(&variable);
            list.push(LimitState::Uplift, in_order(balance), shortest(set), "EN 1990 6.10, Table A1.2(A)");
        }
    }
    // Service.
    list.push(LimitState::Service, with(1.0, &sorted.permanent), Duration::Permanent, "EN 1990 6.14b");
    for set in &sets {
        let mut terms = with(1.0, &sorted.permanent);
        terms.extend(accompanied(1.0, |psi| psi[0], set));
        list.push(LimitState::Service, in_order(terms), shortest(set), "EN 1990 6.14b");
    }
    // Long-term.
    list.push(LimitState::LongTerm, with(1.0, &sorted.permanent), Duration::Permanent, "EN 1990 6.16b");
    for set in &sets {
        let stay: Vec<CaseId> = set.iter().copied().filter(|&id| psi(id)[2] != 0.0).collect();
        if !stay.is_empty() {
            let mut terms = with(1.0, &sorted.permanent);
            terms.extend(stay.iter().map(|&id| (id, psi(id)[2])));
            list.push(LimitState::LongTerm, in_order(terms), shortest(&stay), "EN 1990 6.16b");
        }
    }
    // Accident.
    for &accident in &sorted.accidental {
        // With snow, wind or one of the user's own leading at its frequent value, snow and wind unless the accident is that; beside it
        // what of the user's own and of what hangs is always there.
        let not = cases[accident.0].kind;
        let frequent = sorted.snow.iter().chain(&sorted.wind).filter(|id| cases[id.0].kind != not);
        let hung: Vec<(CaseId, f64)> = sorted.hung.iter().map(|&id| (id, psi(id)[2])).collect();
        let mut beside: Vec<Vec<(CaseId, f64)>> = vec![Vec::new()];
        beside.extend(frequent.clone().map(|&id| vec![(id, psi(id)[1])]));
        // Of the user's own one at a time, as elsewhere; what is written twice for a factor of 0 falls out of the list.
        let accompanied: Vec<_> = sorted
            .user
            .iter()
            .flat_map(|&own| beside.iter().map(move |others| (own, others)))
            .map(|(own, others)| [&others[..], &[(own, psi(own)[2])]].concat())
            .collect();
        for &own in &sorted.user {
            beside.push(vec![(own, psi(own)[1])]);
            beside.extend(frequent.clone().map(|&id| vec![(id, psi(id)[2]), (own, psi(own)[1])]));
        }
        beside.extend(accompanied);
        if !hung.is_empty() {
            let with_hung: Vec<_> = beside.iter().map(|others| [&others[..], &hung[..]].concat()).collect();
            beside.extend(with_hung);
        }
        let mut push = |weight: Vec<(CaseId, f64)>, others: &[(CaseId, f64)]| {
            let acts = others.iter().filter(|(_, factor)| *factor != 0.0);
            let acting: Vec<CaseId> = acts.map(|(id, _)| *id).chain([accident]).collect();
            let terms = [&weight[..], &[(accident, 1.0)], others].concat();
            let clause = "EN 1990 6.11b, Table A1.3";
            list.push(LimitState::Accidental, in_order(terms), shortest(&acting), clause);
        };
        for others in &beside {
            push(with(1.0, &sorted.permanent), others);
        }
        // What may be gone does not hold the shell down; beside what does, what hangs may lever a foot up as well as what lifts.
        let mut beside = vec![Vec::new()];
        beside.extend(sorted.user.iter().map(|&own| vec![(own, psi(own)[1])]));
        let with_hung: Vec<_> = beside.iter().map(|others| [&others[..], &hung[..]].concat()).collect();
        beside.extend(with_hung);
        for loose in &loose_sets {
            for others in &beside {
                push([with(1.0, &sorted.holding), with(1.0, loose)].concat(), others);
            }
        }
    }
    list.finish()
}
