//! What acts beside the weight that holds: with it and without it, whether it lifts or presses.

use crate::loads::LimitState;
use crate::loads::ask::{AsceEdition, Basis, Given, HangingAsk, LoadsAsk, UserRole};
use crate::loads::combine::combinations;
use crate::loads::combine::tests::{everywhere, names_of};
use crate::loads::tests::{all, asce, dome, eurocode};

/// A permanent load that is not counted on acts beside the weight that holds, whether it lifts or presses as a whole, as what presses on
/// one side levers up the other: each by itself and all.
#[test]
fn what_is_there_all_the_time_is_in_the_balance() {
    let shell = dome(1);
    let joint = shell.joints.iter().find(|j| !j.foot).unwrap().name.clone();
    let wind = "wind from 0°, case A, suction inside";
    for (mut ask, wanted) in [
        (
            eurocode(),
            [
                "0.9 H + 1.1 X",
                "0.9 H + 1.5 wind from 0°, pressure inside + 1.1 X",
                "0.9 H + 1.5 snow undrifted + 1.1 X",
            ]
            .map(str::to_owned),
        ),
        (
            LoadsAsk { basis: Basis::UsLrfd, ..asce(AsceEdition::Seven16) },
            [
                "0.9 H + 1.2 X".to_owned(),
                format!("0.9 H + 1.0 {wind} + 1.2 X"),
                format!("0.9 H + 1.0 {wind}"),
            ],
        ),
        (
            LoadsAsk { basis: Basis::UsAsd, ..asce(AsceEdition::Seven16) },
            [
                "0.6 H + 1.0 X".to_owned(),
                format!("0.6 H + 0.6 {wind} + 1.0 X"),
                format!("0.6 H + 0.6 {wind}"),
            ],
        ),
    ] {
        let pot =
            HangingAsk { name: "pot".into(), joints: vec![joint.clone()], force: 900.0, permanent: true };
        for force in [-100.0, 100.0] {
            ask.user = vec![everywhere("rope", UserRole::Permanent, force)];
            ask.imposed.hanging = vec![pot.clone()];
            let names = names_of(&ask, LimitState::Uplift);
            let [alone, lead, calm] = wanted.clone();
            for name in [&alone, &lead, &calm].map(|name| name.replace('H', "weight")) {
                let (Some((before, _)), true) = (name.split_once('X'), name.contains('X')) else {
                    assert!(names.contains(&name), "{name}: {names:#?}");
                    continue;
                };
                let factor = before.trim_end().rsplit(' ').next().unwrap();
                for set in ["pot".to_owned(), "rope".to_owned(), format!("pot + {factor} rope")] {
                    let name = name.replace('X', &set);
                    assert!(names.contains(&name), "{name}: {names:#?}");
                }
            }
        }
        // A cover that may go, beside the timbers that hold.
        (ask.user, ask.imposed.hanging) = (Vec::new(), Vec::new());
        let with_cover = alone_with_cover(&ask);
        assert!(!names_of(&ask, LimitState::Uplift).contains(&with_cover));
        if let Given::Value(cover) = &mut ask.cover {
            cover.removable = true;
        }
        assert!(names_of(&ask, LimitState::Uplift).contains(&with_cover), "{with_cover}");
    }
}

/// Name of the balance of a cover that may go beside the timbers.
fn alone_with_cover(ask: &LoadsAsk) -> String {
    match ask.basis {
        Basis::Eurocode => "0.9 timbers + 1.1 cover",
        Basis::UsLrfd => "0.9 timbers + 1.2 cover",
        Basis::UsAsd => "0.6 timbers + 1.0 cover",
    }
    .to_owned()
}

/// Doors that nobody counts on to hold may still lever up the feet beside them, in an accident too.
#[test]
fn the_weight_of_doors_is_in_the_balance_with_and_without() {
    use crate::shell::ask::{Form, OpeningAsk, OpeningForm, ShellAsk, Up};
    let form = Form::Dome { radius: 2.5, frequency: 3, up: Up::Vertex, base: 0.0 };
    let door = OpeningForm::Door { width: 0.9, height: 1.5, facing: 0.0 };
    let openings = vec![OpeningAsk { form: door, rim_strips: 1, sill: false, leaf: true }];
    let shell = crate::shell::build(&ShellAsk { form, openings, mend: false }).unwrap();
    let ask = eurocode();
    let made = combinations(&ask, &all(&ask, &shell)).unwrap();
    for (state, name) in [
        (LimitState::Uplift, "0.9 timbers and cover + 1.5 wind from 0°, pressure inside"),
        (
            LimitState::Uplift,
            "0.9 timbers and cover + 1.1 doors and ends + 1.5 wind from 0°, pressure inside",
        ),
        (LimitState::Strength, "1.0 timbers and cover + 1.35 doors and ends + 1.5 snow undrifted"),
        (LimitState::Accidental, "1.0 timbers and cover + 1.0 wind from 0°, door open"),
        (LimitState::Accidental, "1.0 weight + 1.0 wind from 0°, door open"),
    ] {
        assert!(
            made.iter().any(|c| c.state == state && c.name.split(" (").next() == Some(name)),
            "{name}: {:#?}",
            made.iter().map(|c| &c.name).collect::<Vec<_>>()
        );
    }
}

/// A variable case of the user's own, and what hangs and comes and goes, are held by no more than what holds against wind, not by a cover
/// that may be gone: what lifts anywhere, and what presses, as on one side it levers up the other.
#[test]
fn variable_cases_are_in_the_balance_of_asce() {
    let wind = "wind from 0°, case A, suction inside";
    let shell = dome(1);
    let joint = shell.joints.iter().find(|j| !j.foot).unwrap().name.clone();
    for (basis, full, beside) in [
        (Basis::UsLrfd, "0.9 timbers + 1.6 ".to_owned(), format!("0.9 timbers + 1.0 {wind} + 1.0 ")),
        (Basis::UsAsd, "0.6 timbers + 1.0 ".to_owned(), format!("0.6 timbers + 0.45 {wind} + 0.75 ")),
    ] {
        for force in [-100.0, 100.0] {
            let mut ask = LoadsAsk { basis, ..asce(AsceEdition::Seven16) };
            if let Given::Value(cover) = &mut ask.cover {
                cover.removable = true;
            }
            ask.user = vec![everywhere("sail", UserRole::Variable([0.6, 0.5, 0.3]), force)];
            let pot = HangingAsk {
                name: "pot".into(),
                joints: vec![joint.clone()],
                force: 900.0,
                permanent: false,
            };
            ask.imposed.hanging = vec![pot];
            for state in [LimitState::Uplift, LimitState::Strength] {
                let names = names_of(&ask, state);
                for name in [&full, &beside].into_iter().flat_map(|lead| {
                    let factor = lead.trim_end().rsplit(' ').next().unwrap_or_default();
                    [format!("{lead}sail"), format!("{lead}pot"), format!("{lead}pot + {factor} sail")]
                }) {
                    assert!(names.contains(&name), "{name}: {names:#?}");
                }
            }
        }
    }
}
