//! Tests of [`super`].

use super::*;
use crate::loads::ask::{HangingAsk, OwnCombinationAsk, SnowAsk, SpeedAsk, Terrain, UserRole, WindAsk};
use crate::loads::combine::tests::everywhere;
use crate::loads::test_shells;
use crate::loads::tests::{all, dome, eurocode};
use crate::shell::ask::{EndForm, OpeningAsk, OpeningForm};

fn barrel(ends: [EndForm; 2], leaf: Option<bool>) -> Shell {
    let form = OpeningForm::Panels(vec!["p5".to_owned()]);
    let opening = |leaf| OpeningAsk { form, rim_strips: 1, sill: false, leaf };
    test_shells::barrel(ends, leaf.map(opening).into_iter().collect())
}

fn with(change: impl Fn(&mut WindAsk)) -> LoadsAsk {
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
        ([EndForm::Open; 2], vec![], Some("that from 90° meets shut sides")),
        ([framed, EndForm::Open], vec![], Some("one side only")),
        ([EndForm::Open, framed], vec![door(left, false)], Some("one side only")),
        ([framed; 2], vec![], Some("nothing of the shell is open")),
        ([framed; 2], vec![door(left, false), door(right, false)], Some("that from 0° meets shut sides")),
        ([framed; 2], vec![door(left, false), door(right, true)], Some("one side only")),
    ] {
        let shell = test_shells::barrel(ends, doors);
        let found = told(&through, &shell);
        assert_eq!(found.len(), usize::from(part.is_some()), "{ends:?} {found:?}");
        assert!(found.iter().all(|word| word.contains(part.unwrap_or_default())), "{found:?}");
        assert_eq!(told(&netting, &shell).len() + told(&eurocode(), &shell).len(), 0);
    }
    let along = with(|wind| {
        wind.internal = InternalAsk::Open;
        wind.directions = vec![0.0, std::f64::consts::PI];
    });
    assert!(told(&along, &test_shells::barrel([EndForm::Open; 2], vec![])).is_empty());
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
    for part in ["snow stands in no combination of strength", "wind stands in no", "none of state uplift"] {
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
    assert!(none("none of state strength") && none("the weight of the timbers stands in no"), "{words:?}");
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
        let hung =
            HangingAsk { name: "baskets".into(), joints: vec![joint.into()], force: 200.0, permanent: true };
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

/// That a door is usual lets the wind in where it is a door that some case has open: none, or one that looks another way, does not.
#[test]
fn a_usual_door_that_no_case_opens_shuts_nothing() {
    let usual = |door: DoorAsk| with(|wind| (wind.door_usual, wind.door) = (true, door.clone()));
    let hole = OpeningAsk {
        form: OpeningForm::Door { width: 0.8, height: 1.2, facing: std::f64::consts::FRAC_PI_2 },
        rim_strips: 1,
        sill: false,
        leaf: false,
    };
    let framed = EndForm::Framed { studs: 3, sill: true, diagonals: false };
    let shells =
        [test_shells::barrel([framed; 2], vec![hole]), test_shells::barrel([framed, EndForm::Open], vec![])];
    // The hole looks to +y, the end to +x.
    for (shell, way) in shells.iter().zip([std::f64::consts::FRAC_PI_2, 0.0]) {
        for (door, told) in [
            (DoorAsk::None, 1),
            (DoorAsk::Windward, 0),
            (DoorAsk::Facing(vec![way]), 0),
            (DoorAsk::Facing(vec![way + std::f64::consts::PI]), 1),
        ] {
            let words = gaps(&usual(door.clone()), shell, &[], &[]);
            let count =
                words.iter().filter(|word| word.contains("the pressure inside is that of a closed")).count();
            assert_eq!(count, told, "{door:?} {words:?}");
        }
    }
}

/// On a shape of the user's own no code says how snow drifts; a case of their own may. A height below the top has less wind.
#[test]
fn drifts_of_free_shapes_and_heights_below_the_top_are_told() {
    let mut free = dome(2);
    free.outline.shape = Shape::Free;
    let drift = |ask: &LoadsAsk, shell: &Shell| {
        gaps(ask, shell, &[], &[]).iter().filter(|word| word.starts_with("how snow drifts")).count()
    };
    let mut ask = eurocode();
    let Given::Value(SnowAsk { ground, .. }) = ask.snow else { panic!("snow") };
    assert_eq!((drift(&ask, &free), drift(&ask, &dome(2))), (1, 0));
    ask.user = vec![everywhere("drift", UserRole::Variable([0.5, 0.2, 0.0]), 300.0)];
    // Less than 0.8 of the ground snow, or what lies for good, is nothing that drifts.
    assert_eq!(drift(&ask, &free), 1);
    ask.user[0].patterns[0].1 = PatternLoad::PerPlan(0.9 * ground);
    assert_eq!(drift(&ask, &free), 0);
    ask.user[0].role = UserRole::Permanent;
    assert_eq!(drift(&ask, &free), 1);
    // Below 2 m the pressure of terrain II is that at 2 m.
    let walls = 4.0;
    let top = dome(2).outline.rise + walls;
    for (height, told) in
        [(None, 0), (Some(top), 0), (Some(0.8 * top), 1), (Some(2.0 * top), 0), (Some(0.999 * top), 0)]
    {
        let ask = with(|wind| {
            wind.wall_height = walls;
            wind.strength = WindStrength::Speed(SpeedAsk {
                speed: 25.0,
                terrain: Terrain::II,
                height,
                orography: 1.0,
                air_density: None,
                elevation: None,
            });
        });
        let words = gaps(&ask, &dome(2), &[], &[]);
        assert_eq!(words.iter().filter(|word| word.contains("wind.height")).count(), told, "{height:?}");
    }
}
