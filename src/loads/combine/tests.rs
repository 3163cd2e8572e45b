//! Combinations of whole shells under each basis, and how long their loads last.

use crate::loads::ask::{
    AsceEdition, Basis, CombinationAsk, Given, HangingAsk, LastsAsk, LoadsAsk, OwnCombinationAsk,
    PatternLoad, RegionAsk, UserCaseAsk, UserRole,
};
use crate::loads::combine::combinations;
use crate::loads::tests::{all, asce, dome, eurocode};
use crate::loads::{Duration, LimitState, LoadError, cases};
use crate::shell::Shell;

#[test]
fn combinations_are_those_of_the_list_and_read_well() {
    let shell = dome(2);
    let mut ask = eurocode();
    if let Given::Value(wind) = &mut ask.wind {
        wind.directions = vec![0.0];
    }
    if let Given::Value(snow) = &mut ask.snow {
        snow.directions = vec![0.0];
    }
    let cases = all(&ask, &shell);
    let made = combinations(&ask, &cases).unwrap();
    let find = |name: &str| {
        made.iter()
            .find(|c| c.name == name)
            .unwrap_or_else(|| panic!("{name}: {:#?}", made.iter().map(|c| &c.name).collect::<Vec<_>>()))
    };
    assert_eq!(find("1.35 weight").duration, Duration::Permanent);
    assert_eq!(find("1.35 weight + 1.5 snow undrifted").duration, Duration::ShortTerm);
    // Leading snow with 0.9 of wind, leading wind with 0.75 of snow (EN 1990 6.10, ψ0 0.6 and 0.5).
    let both = find("1.35 weight + 1.5 snow undrifted + 0.9 wind from 0°, pressure inside");
    assert_eq!((both.state, both.terms.len()), (LimitState::Strength, 4));
    find("1.35 weight + 0.75 snow undrifted + 1.5 wind from 0°, suction inside");
    assert_eq!(find("0.9 weight + 1.5 wind from 0°, pressure inside").state, LimitState::Uplift);
    assert_eq!(find("1.0 weight + 1.0 wind from 0°, door open").state, LimitState::Accidental);
    // Weight that helps, beside every set.
    for set in [
        "1.5 wind from 0°, suction inside",
        "1.5 snow undrifted",
        "1.5 snow undrifted + 0.9 wind from 0°, pressure inside",
        "0.75 snow undrifted + 1.5 wind from 0°, pressure inside",
    ] {
        assert_eq!(find(&format!("1.0 weight + {set}")).state, LimitState::Strength);
        assert_eq!(find(&format!("0.9 weight + {set}")).state, LimitState::Uplift);
    }
    assert!(
        made.iter().any(|c| c.state == LimitState::Service)
            && made.iter().any(|c| c.state == LimitState::LongTerm)
    );
    // Names are one's own, and no factor is 0.
    let mut names: Vec<&str> = made.iter().map(|c| c.name.as_str()).collect();
    names.sort_unstable();
    assert!(names.windows(2).all(|w| w[0] != w[1]), "{names:#?}");
    assert!(made.iter().flat_map(|c| &c.terms).all(|(_, f)| *f != 0.0));

    // 6.10a and b (G 0.30, S 0.48 kN/m²: 0.765 and 1.064, UK 1.095), and the cover that may go.
    ask.combine.expression = crate::loads::ask::StrengthExpression::SixTenAB;
    for (uk, b) in [(false, 1.064), (true, 1.095)] {
        ask.combine.uk = uk;
        let made = combinations(&ask, &cases).unwrap();
        let value = |clause: &str| {
            let found = made
                .iter()
                .find(|c| {
                    c.clause.contains(clause)
                        && c.terms.iter().any(|(id, _)| cases[id.0].name == "snow undrifted")
                        && c.terms.len() == 3
                })
                .unwrap();
            // Timbers and cover share a factor: together 0.30.
            let snow = found.terms.iter().find(|(id, _)| cases[id.0].name == "snow undrifted").unwrap().1;
            0.30 * found.terms[0].1 + 0.48 * snow
        };
        assert!((value("6.10a") - 0.765).abs() < 1e-9);
        assert!((value("6.10b") - b).abs() < 5.1e-4, "{}", value("6.10b"));
    }
    ask.combine = CombinationAsk::default();
    if let Given::Value(cover) = &mut ask.cover {
        cover.removable = true;
    }
    let made = combinations(&ask, &cases).unwrap();
    assert!(made.iter().any(|c| c.name == "0.9 timbers + 1.5 wind from 0°, pressure inside"));
}

#[test]
fn combinations_of_asce_keep_their_editions_apart() {
    let shell = dome(1);
    for (edition, basis, snow, companion) in [
        (
            AsceEdition::Seven16,
            Basis::UsLrfd,
            "1.2 weight + 1.6 snow balanced",
            "1.2 weight + 0.5 snow balanced + 1.0 wind from 0°, case A, suction inside",
        ),
        (
            AsceEdition::Seven22,
            Basis::UsLrfd,
            "1.2 weight + 1.0 snow balanced",
            "1.2 weight + 0.3 snow balanced + 1.0 wind from 0°, case A, suction inside",
        ),
        (
            AsceEdition::Seven16,
            Basis::UsAsd,
            "1.0 weight + 1.0 snow balanced",
            "1.0 weight + 0.75 snow balanced + 0.45 wind from 0°, case A, suction inside",
        ),
        (
            AsceEdition::Seven22,
            Basis::UsAsd,
            "1.0 weight + 0.7 snow balanced",
            "1.0 weight + 0.525 snow balanced + 0.45 wind from 0°, case A, suction inside",
        ),
    ] {
        let ask = LoadsAsk { basis, ..asce(edition) };
        let cases = all(&ask, &shell);
        let made = combinations(&ask, &cases).unwrap();
        let names: Vec<&str> = made.iter().map(|c| c.name.as_str()).collect();
        assert!(names.contains(&snow), "{snow}: {names:#?}");
        assert!(names.contains(&companion), "{companion}: {names:#?}");
        let lasts = made.iter().find(|c| c.name == companion).unwrap().duration;
        assert_eq!(
            lasts,
            if basis == Basis::UsLrfd {
                Duration::TimeEffectFactor(1.0)
            } else {
                Duration::LoadDurationFactor(1.6)
            }
        );
        // Table N3: beside leading snow the wind at a half leaves λ at 0.8.
        let lasts = |name: &str| {
            let one =
                made.iter().find(|c| c.name == format!("{name} + 0.5 wind from 0°, case A, suction inside"));
            one.map(|c| c.duration)
        };
        let expected = (basis == Basis::UsLrfd).then_some(Duration::TimeEffectFactor(0.8));
        assert_eq!(lasts(snow), expected, "{snow}");
    }
    let mut mixed = asce(AsceEdition::Seven22);
    if let Given::Value(snow) = &mut mixed.snow {
        snow.map_edition = Some(AsceEdition::Seven16);
    }
    let refused = cases(&mixed, &shell, &vec![1.0; shell.members.len()]);
    assert!(matches!(refused, Err(LoadError::Editions { .. })), "{refused:?}");
    let mut nameless = asce(AsceEdition::Seven16);
    nameless.edition = None;
    assert!(matches!(
        cases(&nameless, &shell, &vec![1.0; shell.members.len()]),
        Err(LoadError::Missing { .. })
    ));
}

/// NDS Table N3 in every row that can come up: 0.6 weight alone, 0.7 storage leading, 1.0 only where the wind leads.
#[test]
fn the_time_effect_goes_by_what_leads() {
    let shell = dome(1);
    let mut ask = LoadsAsk { basis: Basis::UsLrfd, ..asce(AsceEdition::Seven16) };
    let joint = shell.joints.iter().find(|j| !j.foot).unwrap().name.clone();
    let hung = HangingAsk { name: "baskets".into(), joints: vec![joint], force: 200.0, permanent: false };
    ask.imposed.hanging = vec![hung];
    let wind = "wind from 0°, case A, suction inside";
    let own = |terms: &[(&str, f64)]| OwnCombinationAsk {
        name: None,
        state: LimitState::Strength,
        terms: terms.iter().map(|(name, factor)| ((*name).to_owned(), *factor)).collect(),
        lasts: None,
    };
    let list = [
        (vec![("weight", 1.4)], 0.6),
        (vec![("weight", 1.2), ("baskets", 1.6), ("snow balanced", 0.5)], 0.7),
        (vec![("weight", 1.2), ("baskets", 1.0), ("snow balanced", 1.6)], 0.8),
        (vec![("weight", 1.2), ("snow balanced", 1.6), (wind, 0.5)], 0.8),
        (vec![("weight", 1.2), ("baskets", 1.0), ("snow balanced", 0.5), (wind, 1.0)], 1.0),
        (vec![("weight", 0.9), (wind, 1.0)], 1.0),
    ];
    let cases = all(&ask, &shell);
    let made = combinations(&ask, &cases).unwrap();
    let same = |name: &str| made.iter().find(|c| c.name == name).map(|c| c.duration);
    for (terms, lambda) in list {
        ask.combine = CombinationAsk { own: vec![own(&terms)], ..CombinationAsk::default() };
        let one = combinations(&ask, &cases).unwrap().remove(0);
        assert_eq!(one.duration, Duration::TimeEffectFactor(lambda), "{}", one.name);
        // The basis' own list, where it has the same.
        assert!(same(&one.name).is_none_or(|d| d == one.duration), "{}", one.name);
    }
}

/// What a combination of the project's own says of how long it lasts counts under the bases of the United States too: CD of NDS Table
/// 2.3.2 and λ of Table N3, which a word of a long time only lowers, and the class of the Eurocode: never less long than the shortest of
/// its loads, which is snow here.
#[test]
fn own_combinations_last_as_long_as_they_say() {
    let shell = dome(1);
    let words = [
        (LastsAsk::Permanent, 0.9, 0.6, Duration::Permanent),
        (LastsAsk::LongTerm, 1.0, 0.7, Duration::LongTerm),
        (LastsAsk::MediumTerm, 1.15, 0.8, Duration::MediumTerm),
        (LastsAsk::ShortTerm, 1.15, 0.8, Duration::ShortTerm),
        (LastsAsk::Instantaneous, 1.15, 0.8, Duration::ShortTerm),
    ];
    for (lasts, load_duration, time_effect, class) in words {
        let mut ask = eurocode();
        ask.combine.own = vec![OwnCombinationAsk {
            name: None,
            state: LimitState::Strength,
            terms: vec![("weight".into(), 1.0), ("snow undrifted".into(), 1.0)],
            lasts: Some(lasts),
        }];
        assert_eq!(combinations(&ask, &all(&ask, &shell)).unwrap()[0].duration, class);
        for basis in [Basis::UsAsd, Basis::UsLrfd] {
            let mut ask = LoadsAsk { basis, ..asce(AsceEdition::Seven16) };
            ask.combine.own = vec![OwnCombinationAsk {
                name: None,
                state: LimitState::Strength,
                terms: vec![("weight".into(), 1.0), ("snow balanced".into(), 1.0)],
                lasts: Some(lasts),
            }];
            let wanted = match basis {
                Basis::UsAsd => Duration::LoadDurationFactor(load_duration),
                _ => Duration::TimeEffectFactor(time_effect),
            };
            let made = combinations(&ask, &all(&ask, &shell)).unwrap();
            assert_eq!(made[0].duration, wanted, "{lasts:?}");
        }
    }
}

/// NDS Table N3 gives 0.7 where L is from storage: a case of the user's own that leads is taken by how long it lasts, and one that only
/// goes along changes nothing.
#[test]
fn an_own_case_that_lasts_takes_the_time_effect_of_storage() {
    let shell = dome(1);
    let mut ask = LoadsAsk { basis: Basis::UsLrfd, ..asce(AsceEdition::Seven16) };
    for (lasts, leading) in [
        (LastsAsk::Permanent, 0.6),
        (LastsAsk::LongTerm, 0.7),
        (LastsAsk::MediumTerm, 0.8),
        (LastsAsk::ShortTerm, 0.8),
        (LastsAsk::Instantaneous, 0.8),
    ] {
        let sacks = everywhere("sacks", UserRole::Variable([0.6, 0.5, 0.3]), 100.0);
        let fall = everywhere("fall", UserRole::Accidental, 100.0);
        let passing = everywhere("passing", UserRole::Variable([0.6, 0.5, 0.3]), 100.0);
        ask.user = vec![UserCaseAsk { lasts, ..sacks }, UserCaseAsk { lasts, ..fall }, passing];
        let made = combinations(&ask, &all(&ask, &shell)).unwrap();
        let of = |name: &str| made.iter().find(|c| c.name == name).map(|c| c.duration);
        for (name, lambda) in [
            ("1.2 weight + 1.6 sacks", leading),
            ("1.2 weight + 0.5 snow balanced + 1.6 sacks", leading),
            ("1.2 weight + 1.0 fall", leading),
            ("1.2 weight + 1.6 snow balanced + 1.0 sacks", 0.8),
            ("1.2 weight + 1.0 wind from 0°, case A, suction inside + 1.0 sacks", 1.0),
            ("1.2 weight + 1.6 passing", 0.8),
        ] {
            assert_eq!(of(name), Some(Duration::TimeEffectFactor(lambda)), "{lasts:?}: {name}");
        }
    }
}

/// What is there all the time is in every combination, and makes none of them short, whatever is said of how long it lasts.
#[test]
fn a_permanent_case_of_ones_own_lasts_as_long_as_the_shell() {
    let shell = dome(1);
    for ask in [
        eurocode(),
        LoadsAsk { basis: Basis::UsAsd, ..asce(AsceEdition::Seven16) },
        LoadsAsk { basis: Basis::UsLrfd, ..asce(AsceEdition::Seven16) },
    ] {
        let durations = |lasts: LastsAsk| -> Vec<Duration> {
            let sign = everywhere("sign", UserRole::Permanent, 50.0);
            let ask = LoadsAsk { user: vec![UserCaseAsk { lasts, ..sign }], ..ask.clone() };
            combinations(&ask, &all(&ask, &shell)).unwrap().into_iter().map(|one| one.duration).collect()
        };
        assert_eq!(durations(LastsAsk::Instantaneous), durations(LastsAsk::Permanent));
    }
}

/// Something that hangs from the first joint above the ground, and comes and goes \[N\].
fn hung(shell: &Shell, name: &str) -> HangingAsk {
    let joint = shell.joints.iter().find(|joint| !joint.foot).unwrap().name.clone();
    HangingAsk { name: name.into(), joints: vec![joint], force: 200.0, permanent: false }
}

/// A case of the user's own, down per plan all over the shell \[N/m²\].
pub(crate) fn everywhere(name: &str, role: UserRole, force: f64) -> UserCaseAsk {
    UserCaseAsk {
        name: name.into(),
        patterns: vec![(RegionAsk::default(), PatternLoad::PerPlan(force))],
        joints: Vec::new(),
        panels: Vec::new(),
        members: Vec::new(),
        role,
        lasts: LastsAsk::ShortTerm,
    }
}

/// What hangs acts all at once, beside snow and wind together (EN 1990 6.10 sums over all); the user's own one at a time.
#[test]
fn what_hangs_acts_all_at_once_with_snow_and_wind() {
    let shell = dome(1);
    for (mut ask, wanted, unwanted) in [
        (
            eurocode(),
            [
                "1.35 weight + 1.5 snow undrifted + 0.9 wind from 0°, pressure inside + 1.5 baskets + 1.5 lamps",
                "0.9 weight + 0.75 snow undrifted + 1.5 wind from 0°, pressure inside + 1.5 baskets + 1.5 lamps",
                "1.0 weight + 0.8 baskets + 0.8 lamps",
                "1.35 weight + 0.75 snow undrifted + 0.9 wind from 0°, pressure inside + 1.5 baskets + 1.5 lamps + 1.5 sign",
                "1.0 weight + 0.2 snow undrifted + 0.8 baskets + 0.8 lamps + 1.0 crash",
            ],
            "1.35 weight + 1.5 sign + 1.5 bell",
        ),
        (
            asce(AsceEdition::Seven16),
            [
                "1.2 weight + 0.5 snow balanced + 1.0 wind from 0°, case A, suction inside + 1.0 baskets + 1.0 lamps",
                "1.2 weight + 1.6 baskets + 1.6 lamps",
                "1.2 weight + 0.5 baskets + 0.5 lamps + 1.0 crash",
                "1.2 weight + 0.5 snow balanced + 1.0 wind from 0°, case A, suction inside + 1.0 baskets + 1.0 lamps + 1.0 sign",
                "1.2 weight + 0.2 snow balanced + 0.5 baskets + 0.5 lamps + 1.0 crash",
            ],
            "1.2 weight + 1.6 sign + 1.6 bell",
        ),
    ] {
        if let Given::Value(wind) = &mut ask.wind {
            wind.directions = vec![0.0];
        }
        ask.imposed.hanging = vec![hung(&shell, "baskets"), hung(&shell, "lamps")];
        let own = |name: &str, role| everywhere(name, role, 100.0);
        ask.user = vec![
            own("sign", UserRole::Variable([0.6, 0.5, 0.3])),
            own("bell", UserRole::Variable([1.0, 0.5, 0.3])),
            own("crash", UserRole::Accidental),
        ];
        let made = combinations(&ask, &all(&ask, &shell)).unwrap();
        let plain = |name: &str| {
            name.trim_end_matches(" (long-term)")
                .trim_end_matches(" (uplift)")
                .trim_end_matches(" (accident)")
                .to_owned()
        };
        for name in wanted {
            assert!(
                made.iter().any(|c| plain(&c.name) == name),
                "{name}: {:#?}",
                made.iter().map(|c| &c.name).collect::<Vec<_>>()
            );
        }
        assert!(made.iter().all(|c| plain(&c.name) != unwanted));
    }
}

/// Names of the combinations of a state, without the word that tells it from another state's.
pub(super) fn names_of(ask: &LoadsAsk, state: LimitState) -> Vec<String> {
    let made = combinations(ask, &all(ask, &dome(1))).unwrap();
    let plain = |name: &str| name.split(" (").next().unwrap_or(name).to_owned();
    made.iter().filter(|c| c.state == state).map(|c| plain(&c.name)).collect()
}

/// EN 1990 6.11b: ψ1 of the leading one, ψ2 of the rest, the user's own among them; ASCE 7 2.5: 0.5 L.
#[test]
fn own_variable_cases_act_beside_an_accident() {
    let lists = [
        (
            eurocode(),
            vec![
                "1.0 weight + 0.5 sign + 1.0 crash",
                "1.0 weight + 0.2 snow undrifted + 0.3 sign + 1.0 crash",
                "1.0 weight + 1.0 wind from 0°, door open + 0.5 sign",
            ],
        ),
        (
            asce(AsceEdition::Seven16),
            vec![
                "1.2 weight + 0.5 sign + 1.0 crash",
                "1.2 weight + 0.2 snow balanced + 0.5 sign + 1.0 crash",
                "0.9 weight + 0.5 sign + 1.0 crash",
            ],
        ),
    ];
    for (mut ask, wanted) in lists {
        // Lifts, so that it counts beside the weight that holds, too.
        ask.user = vec![
            everywhere("sign", UserRole::Variable([0.6, 0.5, 0.3]), -100.0),
            everywhere("crash", UserRole::Accidental, 100.0),
        ];
        let names = names_of(&ask, LimitState::Accidental);
        for name in wanted {
            assert!(names.iter().any(|one| one == name), "{name}: {names:#?}");
        }
    }
}

/// EN 1991-1-1 3.3.2 keeps roof loads of category H from snow and wind alone.
#[test]
fn people_act_with_what_hangs_and_the_users_own_but_not_with_snow() {
    let shell = dome(1);
    let mut ask = eurocode();
    let joint = shell.joints.iter().find(|j| !j.foot).unwrap().name.clone();
    ask.imposed.hanging =
        vec![HangingAsk { name: "baskets".into(), joints: vec![joint], force: 200.0, permanent: false }];
    ask.user = vec![everywhere("sign", UserRole::Variable([0.6, 0.5, 0.3]), 100.0)];
    ask.imposed.person = Some(1000.0);
    ask.imposed.roof = Some(400.0);
    let cases = all(&ask, &shell);
    let roofs: Vec<&str> = cases
        .iter()
        .filter(|c| c.kind == crate::loads::CaseKind::Imposed && c.name != "baskets")
        .map(|c| c.name.as_str())
        .collect();
    assert!(!roofs.is_empty());
    let names = names_of(&ask, LimitState::Strength);
    for roof in roofs {
        let met = |other: &str| names.iter().any(|name| name.contains(roof) && name.contains(other));
        let lead = format!("1.5 {roof}");
        assert!(
            names.iter().any(|n| n.contains(&lead) && n.contains("1.5 baskets") && n.contains("0.9 sign"))
        );
        assert!(met("baskets") && met("sign") && !met("snow") && !met("wind"), "{roof}: {names:#?}");
    }
}

/// ψ0 of category H is 0 in EN 1990 and 0.7 in the UK annex: there people and maintenance accompany what else leads, but for snow and wind.
#[test]
fn in_the_uk_people_accompany_what_leads() {
    let mut ask = eurocode();
    ask.user = vec![everywhere("sign", UserRole::Variable([0.6, 0.5, 0.3]), 100.0)];
    ask.imposed.roof = Some(400.0);
    let with = |ask: &LoadsAsk, part: &str| {
        names_of(ask, LimitState::Strength).iter().filter(|name| name.contains(part)).count()
    };
    let beside = "1.05 maintenance load + 1.5 sign";
    assert_eq!(with(&ask, beside), 0);
    ask.combine.uk = true;
    assert_eq!(with(&ask, &format!("1.35 weight + {beside}")), 1);
    assert_eq!(with(&ask, "1.5 maintenance load + 0.9 sign"), 2, "with the weight at 1.35 and at 1.0");
    for name in names_of(&ask, LimitState::Strength) {
        assert!(
            !(name.contains("maintenance") && (name.contains("snow") || name.contains("wind"))),
            "{name}"
        );
    }
}

/// One of two things that hang acts with snow and wind by itself as well: the other may straighten what it bends.
#[test]
fn one_of_what_hangs_acts_with_snow_and_wind() {
    let shell = dome(1);
    let mut ask = eurocode();
    let names = |ask: &LoadsAsk| names_of(ask, LimitState::Strength);
    ask.imposed.hanging = vec![hung(&shell, "hoist")];
    let one = names(&ask);
    ask.imposed.hanging.push(hung(&shell, "basket"));
    let two = names(&ask);
    assert!(one.iter().all(|name| two.contains(name)), "{:?}", one.iter().find(|name| !two.contains(name)));
}
