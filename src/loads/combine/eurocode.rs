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
            // As storage (EN 1995-1-1 Table 2.2), as its ψ are.
            Some(_) => Duration::LongTerm,
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
    // With both at once: each that hangs and all of it, and each of the user's own with and without it. What hangs loses nothing as a
    // companion, and need not lead.
    for company in &companions {
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
    let made = Making::new(ask, cases);
    let mut list = List::new(cases);
    made.strength(&mut list);
    made.weight_that_helps(&mut list);
    made.service(&mut list);
    made.long_term(&mut list);
    for &accident in &made.sorted.accidental {
        made.accident(accident, &mut list);
    }
    list.finish()
}

type Terms = Vec<(CaseId, f64)>;

fn in_order(mut terms: Terms) -> Terms {
    terms.sort_by_key(|(id, _)| *id);
    terms
}

/// What all combinations are made from.
struct Making<'a> {
    ask: &'a LoadsAsk,
    cases: &'a [Case],
    factors: Factors,
    sorted: Sorted,
    /// Variable cases that act together, the leading one first.
    sets: Vec<Vec<CaseId>>,
}

impl<'a> Making<'a> {
    fn new(ask: &'a LoadsAsk, cases: &'a [Case]) -> Self {
        let (factors, sorted) = (Factors::new(ask), Sorted::new(ask, cases));
        let sets = sets(&sorted, &factors);
        Self { ask, cases, factors, sorted, sets }
    }

    /// ψ0, ψ1, ψ2 of a case.
    fn psi(&self, id: CaseId) -> [f64; 3] {
        psi(self.ask, &self.factors, &self.cases[id.0])
    }

    /// How long the one lasts that lasts shortest.
    fn shortest(&self, ids: &[CaseId]) -> Duration {
        ids.iter()
            .map(|id| lasts_of(self.ask, &self.factors, &self.cases[id.0]))
            .fold(Duration::Permanent, |a, b| if rank(b) > rank(a) { b } else { a })
    }

    /// The first of a set in full, the others at their ψ0, all times a factor.
    fn led_by_first(&self, factor: f64, set: &[CaseId]) -> Terms {
        let share = |place: usize, id: CaseId| if place == 0 { 1.0 } else { self.psi(id)[0] };
        set.iter().enumerate().map(|(place, &id)| (id, share(place, id) * factor)).collect()
    }

    /// Strength under all of the weight, by 6.10 or 6.10a and b.
    fn strength(&self, list: &mut List<'_>) {
        let Self { factors, sorted, .. } = self;
        let mut push = |terms: Terms, lasts: Duration, expression: &str| {
            let clause = format!("EN 1990 {expression}, Table A1.2(B)");
            list.push(LimitState::Strength, in_order(terms), lasts, &clause);
        };
        let weight = |factor: f64| with(factor, &sorted.permanent);
        push(weight(factors.permanent), Duration::Permanent, "6.10");
        for set in &self.sets {
            let variable = self.led_by_first(factors.variable, set);
            match self.ask.combine.expression {
                StrengthExpression::SixTen => {
                    push([weight(factors.permanent), variable].concat(), self.shortest(set), "6.10");
                }
                StrengthExpression::SixTenAB => {
                    let mut a = weight(factors.permanent);
                    a.extend(set.iter().map(|&id| (id, factors.variable * self.psi(id)[0])));
                    let acting: Vec<CaseId> =
                        set.iter().copied().filter(|&id| self.psi(id)[0] != 0.0).collect();
                    push(a, self.shortest(&acting), "6.10a");
                    let b = [weight(factors.permanent * factors.xi), variable].concat();
                    push(b, self.shortest(set), "6.10b");
                }
            }
        }
    }

    /// Weight that helps, beside every set: snow on one side bends an arch that weight would straighten, and lifts feet too.
    fn weight_that_helps(&self, list: &mut List<'_>) {
        let Self { factors, sorted, .. } = self;
        for loose in &sorted.loose_sets() {
            // What is there all the time needs nothing else to lift, and where some of it may be gone, what holds is another thing than all.
            let alone = (!sorted.loose.is_empty()).then(Vec::new);
            for set in alone.iter().chain(&self.sets) {
                let variable = self.led_by_first(factors.variable, set);
                let mut push = |state, holds: f64, lifts: f64, clause: &str| {
                    let weight = [with(holds, &sorted.holding), with(lifts, loose)].concat();
                    list.push(state, in_order([&weight[..], &variable].concat()), self.shortest(set), clause);
                };
                push(
                    LimitState::Strength,
                    factors.favourable,
                    factors.permanent,
                    "EN 1990 6.10, Table A1.2(B), weight favourable",
                );
                push(LimitState::Uplift, factors.balance, factors.unbalancing, "EN 1990 6.10, Table A1.2(A)");
            }
        }
    }

    fn service(&self, list: &mut List<'_>) {
        let weight = with(1.0, &self.sorted.permanent);
        let clause = "EN 1990 6.14b";
        list.push(LimitState::Service, weight.clone(), Duration::Permanent, clause);
        for set in &self.sets {
            let terms = [&weight[..], &self.led_by_first(1.0, set)].concat();
            list.push(LimitState::Service, in_order(terms), self.shortest(set), clause);
        }
    }

    fn long_term(&self, list: &mut List<'_>) {
        let weight = with(1.0, &self.sorted.permanent);
        let clause = "EN 1990 6.16b";
        list.push(LimitState::LongTerm, weight.clone(), Duration::Permanent, clause);
        for set in &self.sets {
            let stay: Vec<CaseId> = set.iter().copied().filter(|&id| self.psi(id)[2] != 0.0).collect();
            if !stay.is_empty() {
                let lasting: Terms = stay.iter().map(|&id| (id, self.psi(id)[2])).collect();
                let terms = [&weight[..], &lasting].concat();
                list.push(LimitState::LongTerm, in_order(terms), self.shortest(&stay), clause);
            }
        }
    }

    fn accident(&self, accident: CaseId, list: &mut List<'_>) {
        let sorted = &self.sorted;
        let mut push = |weight: Terms, others: &[(CaseId, f64)]| {
            let acts = others.iter().filter(|(_, factor)| *factor != 0.0);
            let acting: Vec<CaseId> = acts.map(|(id, _)| *id).chain([accident]).collect();
            let terms = [&weight[..], &[(accident, 1.0)], others].concat();
            let clause = "EN 1990 6.11b, Table A1.3";
            list.push(LimitState::Accidental, in_order(terms), self.shortest(&acting), clause);
        };
        for others in &self.beside_an_accident(self.cases[accident.0].kind) {
            push(with(1.0, &sorted.permanent), others);
        }
        // What may be gone does not hold the shell down; beside what does, what hangs may lever a foot up as well as what lifts.
        let mut beside = vec![Vec::new()];
        beside.extend(sorted.user.iter().map(|&own| vec![(own, self.psi(own)[1])]));
        let beside = self.hung_or_not(beside);
        for loose in &sorted.loose_sets() {
            for others in &beside {
                push([with(1.0, &sorted.holding), with(1.0, loose)].concat(), others);
            }
        }
    }

    /// What may act beside an accident of a kind: snow, wind or one of the user's own leading at its frequent value, snow and wind unless
    /// the accident is that; beside it what of the user's own and of what hangs is always there.
    fn beside_an_accident(&self, kind: CaseKind) -> Vec<Terms> {
        let sorted = &self.sorted;
        let frequent = sorted.snow.iter().chain(&sorted.wind).filter(|id| self.cases[id.0].kind != kind);
        let mut beside: Vec<Terms> = vec![Vec::new()];
        beside.extend(frequent.clone().map(|&id| vec![(id, self.psi(id)[1])]));
        // Of the user's own one at a time, as elsewhere; what is written twice for a factor of 0 falls out of the list.
        let accompanied: Vec<_> = sorted
            .user
            .iter()
            .flat_map(|&own| beside.iter().map(move |others| (own, others)))
            .map(|(own, others)| [&others[..], &[(own, self.psi(own)[2])]].concat())
            .collect();
        for &own in &sorted.user {
            beside.push(vec![(own, self.psi(own)[1])]);
            beside.extend(frequent.clone().map(|&id| vec![(id, self.psi(id)[2]), (own, self.psi(own)[1])]));
        }
        beside.extend(accompanied);
        self.hung_or_not(beside)
    }

    /// Each of these, and each with what always hangs, where anything does.
    fn hung_or_not(&self, mut beside: Vec<Terms>) -> Vec<Terms> {
        let hung: Terms = self.sorted.hung.iter().map(|&id| (id, self.psi(id)[2])).collect();
        if !hung.is_empty() {
            let with_hung: Vec<_> = beside.iter().map(|others| [&others[..], &hung[..]].concat()).collect();
            beside.extend(with_hung);
        }
        beside
    }
}
