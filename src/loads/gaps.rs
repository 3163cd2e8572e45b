//! What may make the loads greater than those that the combinations hold, so that no verdict on them is told as better than
//! near: openings that let the wind in while the pressure inside is that of a closed shell, a shell without pressure inside that the wind
//! cannot blow through, and loads that a list of the user's own leaves out.

use std::f64::consts::FRAC_PI_4;

use crate::loads::ask::{Basis, Given, InternalAsk, LoadsAsk};
use crate::loads::doubt::open_ends;
use crate::loads::imposed::{MAINTENANCE, PERSON, WATER};
use crate::loads::weight::BESIDES;
use crate::loads::{Action, Case, CaseId, CaseKind, Combination, JointLoad, LimitState};
use crate::shell::{Opening, Shape, Shell};
use crate::vector::Vec3;

/// Everything of the kind, in sentences without a capital and a full stop.
#[must_use]
pub fn gaps(ask: &LoadsAsk, shell: &Shell, cases: &[Case], combinations: &[Combination]) -> Vec<String> {
    let mut words: Vec<String> = never_shut(ask, shell).into_iter().collect();
    words.extend(open_end(ask, shell));
    words.extend(not_through(ask, shell));
    words.extend(off_the_ground(ask, shell));
    words.extend(on_feet(ask, shell, cases));
    if !ask.combine.own.is_empty() {
        words.extend(left_out_of(ask, cases, combinations));
    }
    words
}

/// Of forces that the project puts on feet, which carry them straight into the ground.
fn on_feet(ask: &LoadsAsk, shell: &Shell, cases: &[Case]) -> Option<String> {
    let foot = |load: &&JointLoad| shell.joints[load.joint.0].foot && load.force.norm() > 0.0;
    let of_case = |case: &Case| -> Option<(String, String)> {
        let hung = ask.imposed.hanging.iter().any(|hung| hung.name == case.name);
        // What people and points on panels put on feet is a part of it, or a load among many; all of it is a slip.
        let one = match case.kind {
            CaseKind::User => case.joints.iter().find(foot),
            CaseKind::Imposed if hung => case.joints.iter().find(foot),
            CaseKind::Imposed if case.panels.is_empty() && case.members.is_empty() => {
                case.joints.first().filter(|_| case.joints.iter().all(|load| foot(&load)))
            }
            _ => None,
        };
        one.map(|load| (case.name.clone(), shell.joints[load.joint.0].name.clone()))
    };
    let (case, foot) = cases.iter().find_map(of_case)?;
    Some(format!(
        "the load `{case}` is on {foot}, which is a foot: it goes straight into the ground and asks the shell for nothing; is another joint meant?"
    ))
}

/// Whether the pressure inside is that of a closed shell, with nothing open as a rule.
fn closed(ask: &LoadsAsk) -> bool {
    matches!(&ask.wind, Given::Value(wind) if wind.internal == InternalAsk::Closed && !wind.door_usual)
}

/// Of openings that nothing shuts, while the pressure inside is that of a closed shell.
fn never_shut(ask: &LoadsAsk, shell: &Shell) -> Option<String> {
    (closed(ask) && shell.openings.iter().any(|opening| !opening.leaf)).then(|| {
        format!(
            "an opening that nothing shuts (leaf = false) lets the wind in whenever it blows, but the pressure inside is that of a closed \
             shell: {}, or give the coefficients inside",
            if ask.basis == Basis::Eurocode {
                "say which way it faces (wind.door) and that it is usual (wind.door_usual)"
            } else {
                PARTLY_ENCLOSED
            }
        )
    })
}

/// What under ASCE 7 stands for an open door that is usual.
const PARTLY_ENCLOSED: &str = "say that it is partly enclosed or open (wind.internal)";

/// Of a vault whose snow is that of an eave clear of the ground while the wind's coefficients are those of an arch that springs from it.
fn off_the_ground(ask: &LoadsAsk, shell: &Shell) -> Option<String> {
    let (Given::Value(snow), Given::Value(wind)) = (&ask.snow, &ask.wind) else { return None };
    let by_height = shell.outline.shape == Shape::Vault && wind.coefficients.is_none();
    (by_height && snow.clear_of_ground && wind.wall_height <= 0.0).then(|| {
        "the eave is clear of the ground for snow (snow.clear_of_ground), and the wind's coefficients are those of an arch that springs \
         from it, which presses where one on walls is sucked: say how high it stands (wind.wall_height)"
            .into()
    })
}

/// Of ends of a vault that are open, likewise.
fn open_end(ask: &LoadsAsk, shell: &Shell) -> Option<String> {
    let ends = open_ends(shell).len();
    (ends > 0 && closed(ask)).then(|| {
        format!(
            "{} open, but the pressure inside is that of a closed shell: {}, or give coefficients inside",
            if ends == 1 { "one end is" } else { "both ends are" },
            if ask.basis == Basis::Eurocode {
                "say that the open door is usual (wind.door_usual)"
            } else {
                PARTLY_ENCLOSED
            }
        )
    })
}

/// Of a shell through which the wind cannot blow, as far as is known, while no pressure inside is taken: none of what is open looks the
/// other way of another, to an eighth of a turn, so that the wind is caught inside or kept out.
fn not_through(ask: &LoadsAsk, shell: &Shell) -> Option<String> {
    let Given::Value(wind) = &ask.wind else { return None };
    if shell.outline.shape == Shape::Free {
        // Where an own mesh is open nobody has said.
        return None;
    }
    let ends = open_ends(shell).into_iter().map(|end| Vec3::new(if end == 0 { -1.0 } else { 1.0 }, 0.0, 0.0));
    let holes = shell.openings.iter().filter(|opening| !opening.leaf).map(Opening::area_vector);
    let open: Vec<Vec3> = ends.chain(holes).map(|out| out.normalize()).collect();
    let opposite = |a: &Vec3| open.iter().any(|b| a.dot(b) < -FRAC_PI_4.cos());
    (wind.internal == InternalAsk::Open && !open.iter().any(opposite)).then(|| {
        format!(
            "no pressure inside is taken (wind.internal = \"open\"), but {}: give the coefficients inside (wind.internal_coefficients), \
             [0] and door = \"none\" where all of it lets the wind through as netting does",
            if open.is_empty() {
                "nothing of the shell is open"
            } else {
                "it is open towards one side only, and the wind does not blow through"
            }
        )
    })
}

/// A load that acts by less than this share of it in every combination is as good as left out (own choice: no code's leading load has a
/// factor below 0.6).
const HALF: f64 = 0.5;

/// Loads that a list has to have, each with its cases, of which one does for all: those of snow, wind, maintenance and people exclude each
/// other. What is named by itself has to act by itself.
fn loads(ask: &LoadsAsk, cases: &[Case]) -> Vec<(String, Vec<usize>)> {
    let named = |case: &Case| match case.kind {
        CaseKind::SelfWeight => "the weight of the timbers".to_owned(),
        CaseKind::Cover if case.name == BESIDES => "the weight of doors and ends".to_owned(),
        CaseKind::Cover => "the weight of the cover".to_owned(),
        CaseKind::Snow => "snow".to_owned(),
        CaseKind::Wind => "wind".to_owned(),
        CaseKind::Imposed if ask.imposed.hanging.iter().any(|hung| hung.name == case.name) => {
            format!("what hangs as `{}`", case.name)
        }
        CaseKind::Imposed if case.name.starts_with(MAINTENANCE) => format!("the {MAINTENANCE}"),
        CaseKind::Imposed if case.name.starts_with(WATER) => format!("the {WATER}"),
        CaseKind::Imposed if case.name.starts_with(PERSON) => format!("a {PERSON}"),
        CaseKind::Imposed => format!("the {}", case.name),
        CaseKind::User => format!("the project's own case `{}`", case.name),
    };
    let mut out: Vec<(String, Vec<usize>)> = Vec::new();
    for (number, case) in cases.iter().enumerate() {
        let name = named(case);
        match out.iter_mut().find(|(known, _)| *known == name) {
            Some((_, all)) => all.push(number),
            None => out.push((name, vec![number])),
        }
    }
    out
}

/// What a list of the user's own has no combination for.
fn left_out_of(ask: &LoadsAsk, cases: &[Case], combinations: &[Combination]) -> Vec<String> {
    let of = |state: LimitState| combinations.iter().any(|combination| combination.state == state);
    // Timbers and fixings are looked at under strength alone, and under accidents.
    let acts = |case: usize| {
        let accident = cases[case].action == Action::Accidental;
        combinations.iter().any(|one| {
            let looked_at =
                one.state == LimitState::Strength || accident && one.state == LimitState::Accidental;
            looked_at && one.terms.iter().any(|(id, factor)| *id == CaseId(case) && factor.abs() >= HALF)
        })
    };
    let mut words = Vec::new();
    for (name, there) in loads(ask, cases) {
        if !there.iter().any(|&case| acts(case)) {
            let state = if cases[there[0]].action == Action::Accidental {
                "strength or accident"
            } else {
                "strength"
            };
            words.push(format!(
                "{name} stands in no combination of {state} of the project's own ([[combine.own]]) by half of it or more: nothing here \
                 says what it does to timbers and fixings"
            ));
        }
    }
    if !of(LimitState::Strength) {
        words.push(
            "the project's own combinations ([[combine.own]]) have none of state strength: add those that the code asks for"
                .to_owned(),
        );
    }
    if !of(LimitState::Uplift) && cases.iter().any(|case| case.kind == CaseKind::Wind) {
        words.push(
            "the project's own combinations ([[combine.own]]) have none of state uplift: how feet lift and slide under wind with the least \
             weight is not looked at"
                .to_owned(),
        );
    }
    words
}

/// Of loads with several cases, as snow and wind are, how many a list of the user's own does not name; they may be left out on purpose.
#[must_use]
pub fn not_all(ask: &LoadsAsk, cases: &[Case], combinations: &[Combination]) -> Option<String> {
    if ask.combine.own.is_empty() {
        return None;
    }
    let acts =
        |case: usize| combinations.iter().any(|one| one.terms.iter().any(|(id, _)| *id == CaseId(case)));
    let told: Vec<String> = loads(ask, cases)
        .into_iter()
        .filter_map(|(name, all)| {
            let named = all.iter().filter(|&&case| acts(case)).count();
            (named > 0 && named < all.len()).then(|| format!("{named} of {} cases of {name}", all.len()))
        })
        .collect();
    (!told.is_empty())
        .then(|| format!("the project's own combinations ([[combine.own]]) name {} only", told.join(" and ")))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::loads::ask::{HangingAsk, OwnCombinationAsk, WindAsk};
    use crate::loads::test_shells;
    use crate::loads::tests::{all, dome, eurocode};
    use crate::shell::ask::{EndForm, OpeningAsk, OpeningForm};

    fn barrel(ends: [EndForm; 2], leaf: Option<bool>) -> Shell {
        let form = OpeningForm::Panels(vec!["p5".to_owned()]);
        let opening = |leaf| OpeningAsk { form, rim_strips: 1, sill: false, leaf };
        test_shells::barrel(ends, leaf.map(opening).into_iter().collect())
    }

    fn with(change: fn(&mut WindAsk)) -> LoadsAsk {
        let mut ask = eurocode();
        if let Given::Value(wind) = &mut ask.wind {
            change(wind);
        }
        ask
    }

    /// Told where the wind comes in and the pressure inside is that of a closed shell, and nowhere else.
    #[test]
    fn what_lets_the_wind_in_is_told() {
        let framed = EndForm::Framed { studs: 3, sill: true, diagonals: false };
        let open = || [framed, EndForm::Open];
        let plain = eurocode();
        let usual = with(|wind| wind.door_usual = true);
        let inside = with(|wind| wind.internal = InternalAsk::Own(vec![0.6]));
        for (ask, ends, leaf, told) in [
            (&plain, [framed, framed], None, 0),
            (&plain, [framed, framed], Some(true), 0),
            (&plain, [framed, framed], Some(false), 1),
            (&plain, open(), None, 1),
            (&plain, open(), Some(false), 2),
            (&usual, open(), Some(false), 0),
            (&inside, open(), Some(false), 0),
        ] {
            assert_eq!(gaps(ask, &barrel(ends, leaf), &[], &[]).len(), told, "{leaf:?}");
        }
    }

    /// With no pressure inside the wind has to blow through: in at one end or hole and out at another that looks the other way.
    #[test]
    fn a_shell_that_the_wind_does_not_blow_through_is_told() {
        let framed = EndForm::Framed { studs: 3, sill: true, diagonals: false };
        let through = with(|wind| wind.internal = InternalAsk::Open);
        let netting = with(|wind| wind.internal = InternalAsk::Own(vec![0.0]));
        let told = |ask: &LoadsAsk, shell: &Shell| -> Vec<String> {
            let words = gaps(ask, shell, &[], &[]);
            words.into_iter().filter(|word| word.starts_with("no pressure inside")).collect()
        };
        let door = |facing: f64, leaf: bool| {
            let form = OpeningForm::Door { width: 0.8, height: 1.2, facing };
            OpeningAsk { form, rim_strips: 1, sill: false, leaf }
        };
        let [left, right] = [0.5, 1.5].map(|turns| turns * std::f64::consts::PI);
        for (ends, doors, part) in [
            ([EndForm::Open; 2], vec![], None),
            ([framed, EndForm::Open], vec![], Some("one side only")),
            ([EndForm::Open, framed], vec![door(left, false)], Some("one side only")),
            ([framed; 2], vec![], Some("nothing of the shell is open")),
            ([framed; 2], vec![door(left, false), door(right, false)], None),
            ([framed; 2], vec![door(left, false), door(right, true)], Some("one side only")),
        ] {
            let shell = test_shells::barrel(ends, doors);
            let found = told(&through, &shell);
            assert_eq!(found.len(), usize::from(part.is_some()), "{ends:?} {found:?}");
            assert!(found.iter().all(|word| word.contains(part.unwrap_or_default())), "{found:?}");
            assert_eq!(told(&netting, &shell).len() + told(&eurocode(), &shell).len(), 0);
        }
    }

    fn own(state: LimitState, terms: &[(&str, f64)]) -> OwnCombinationAsk {
        let terms = terms.iter().map(|(name, factor)| ((*name).to_owned(), *factor)).collect();
        OwnCombinationAsk { name: None, state, terms, lasts: None }
    }

    /// Each load and state that a list leaves out is told, and of the code's own combinations none.
    #[test]
    fn what_an_own_list_leaves_out_is_told() {
        let shell = dome(2);
        let told = |list: Vec<OwnCombinationAsk>| {
            let mut ask = eurocode();
            ask.combine.own = list;
            let cases = all(&ask, &shell);
            let combinations = crate::loads::combine::combinations(&ask, &cases).unwrap();
            let not_all = not_all(&ask, &cases, &combinations);
            (gaps(&ask, &shell, &cases, &combinations), not_all.unwrap_or_default())
        };
        assert_eq!(told(Vec::new()), (Vec::new(), String::new()));
        let cases = all(&eurocode(), &shell);
        let wind = cases.iter().find(|case| case.kind == CaseKind::Wind).unwrap().name.clone();
        let (strength, uplift) = (LimitState::Strength, LimitState::Uplift);
        let (words, _) = told(vec![own(strength, &[("weight", 1.35)])]);
        for part in ["snow stands in no combination of strength", "wind stands in no", "none of state uplift"]
        {
            assert_eq!(words.iter().filter(|word| word.contains(part)).count(), 1, "{part} {words:?}");
        }
        assert_eq!(words.len(), 3, "{words:?}");
        let all_snow: Vec<(&str, f64)> = cases
            .iter()
            .filter(|case| case.kind == CaseKind::Snow)
            .map(|case| (case.name.as_str(), 1.5))
            .collect();
        let snow = [&[("weight", 1.35)], all_snow.as_slice()].concat();
        let lifted = || own(uplift, &[("weight", 0.9), (&wind, 1.5)]);
        // Under uplift no timber is looked at, and a trace of a load is none.
        for trace in [None, Some(1e-9), Some(0.49)] {
            let blown = trace.map(|factor| own(strength, &[("weight", 1.0), (&wind, factor)]));
            let list = [own(strength, &snow), lifted()].into_iter().chain(blown).collect();
            let (words, _) = told(list);
            assert!(words.len() == 1 && words[0].starts_with("wind stands in no"), "{words:?}");
        }
        let blown = own(strength, &[("weight", 1.0), (&wind, 1.5)]);
        let (words, some) = told(vec![own(strength, &snow), blown, lifted()]);
        assert!(words.is_empty() && some.contains("name 1 of "), "{words:?} {some}");
        assert!(some.contains("cases of wind") && !some.contains("snow"), "{some}");
        let (words, _) = told(vec![own(LimitState::Accidental, &snow), own(uplift, &[(&wind, 1.5)])]);
        let none = |part: &str| words.iter().any(|word| word.contains(part));
        assert!(
            none("none of state strength") && none("the weight of the timbers stands in no"),
            "{words:?}"
        );
    }

    /// One load of a kind does not stand for another: a lamp for a stove, one person for men at work, timbers for what lies on them.
    #[test]
    fn each_load_has_to_act_by_itself() {
        let shell = dome(2);
        let mut ask = eurocode();
        let joint = shell.joints.iter().find(|joint| !joint.foot).unwrap().name.clone();
        let hung = |name: &str, force| HangingAsk {
            name: name.into(),
            joints: vec![joint.clone()],
            force,
            permanent: false,
        };
        ask.imposed.hanging = vec![hung("lamp", 50.0), hung("stove", 8e3)];
        (ask.imposed.person, ask.imposed.person_joints, ask.imposed.roof) =
            (Some(1e3), vec![joint.clone()], Some(600.0));
        let cases = all(&ask, &shell);
        let person = format!("person on {joint}");
        let mut terms: Vec<(&str, f64)> = cases.iter().map(|case| (case.name.as_str(), 1.5)).collect();
        let left_out = ["stove", "maintenance load"];
        let cover = cases.iter().find(|case| case.kind == CaseKind::Cover).unwrap().name.clone();
        terms.retain(|(name, _)| !left_out.iter().any(|out| name.starts_with(out)) && *name != cover);
        assert!(terms.iter().any(|(name, _)| *name == person));
        let named = OwnCombinationAsk { name: Some("balance".into()), ..own(LimitState::Uplift, &terms) };
        ask.combine.own = vec![own(LimitState::Strength, &terms), named];
        let combinations = crate::loads::combine::combinations(&ask, &cases).unwrap();
        let words = gaps(&ask, &shell, &cases, &combinations);
        assert_eq!(words.len(), 3, "{words:?}");
        for part in
            ["what hangs as `stove` stands", "the maintenance load stands", "the weight of the cover stands"]
        {
            assert!(words.iter().any(|word| word.starts_with(part)), "{part} {words:?}");
        }
    }

    /// What hangs from a foot goes into the ground, and says so; a person who stands on every joint does not.
    #[test]
    fn a_load_on_a_foot_is_doubted() {
        let shell = dome(3);
        let foot = shell.joints.iter().find(|joint| joint.foot).unwrap().name.clone();
        let top = shell.joints.iter().find(|joint| !joint.foot).unwrap().name.clone();
        let told = |joint: &str| {
            let mut ask = eurocode();
            ask.imposed.person = Some(1000.0);
            let hung = HangingAsk {
                name: "baskets".into(),
                joints: vec![joint.into()],
                force: 200.0,
                permanent: true,
            };
            ask.imposed.hanging = vec![hung];
            let cases = all(&ask, &shell);
            gaps(&ask, &shell, &cases, &[])
                .iter()
                .any(|words| words.contains("`baskets` is on") && words.contains(joint))
        };
        assert!(told(&foot) && !told(&top));
        // Whatever it is called, and of people where they stand on feet alone.
        let mut ask = eurocode();
        ask.imposed.person = Some(1000.0);
        let on_foot = |ask: &LoadsAsk| {
            gaps(ask, &shell, &all(ask, &shell), &[]).iter().any(|words| words.contains("is a foot"))
        };
        assert!(!on_foot(&ask), "on every joint in turn");
        ask.imposed.person_joints = vec![foot];
        assert!(on_foot(&ask));
        ask.imposed.person_joints = vec![top];
        assert!(!on_foot(&ask));
    }
}
