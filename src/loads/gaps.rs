//! What may make the loads greater than those that the combinations hold, so that no verdict on them is told as better than
//! near: openings that let the wind in while the pressure inside is that of a closed shell, a shell without pressure inside that the wind
//! cannot blow through, and loads that a list of the user's own leaves out.

use std::f64::consts::FRAC_PI_4;

use crate::loads::ask::{
    Basis, DoorAsk, Given, InternalAsk, LoadsAsk, PatternLoad, SpeedAsk, UserRole, WindAsk, WindStrength,
};
use crate::loads::doubt::open_ends;
use crate::loads::imposed::{MAINTENANCE, PERSON, WATER};
use crate::loads::section_line::degrees;
use crate::loads::weight::BESIDES;
use crate::loads::wind::pressure;
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
    words.extend(below_the_top(ask, shell));
    words.extend(free_snow(ask, shell));
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

/// Whether the pressure inside is that of a closed shell, though there is something open; no ordinary case has it as an open door where
/// `there` says whether it looks a way.
fn closed(ask: &LoadsAsk, there: impl Fn(f64) -> bool) -> bool {
    let Given::Value(wind) = &ask.wind else { return false };
    let let_in = wind.door_usual
        && match &wind.door {
            DoorAsk::None => false,
            DoorAsk::Windward => true,
            DoorAsk::Facing(ways) => ways.iter().any(|way| there(*way)),
        };
    wind.internal == InternalAsk::Closed && !let_in
}

/// Of openings that nothing shuts, while the pressure inside is that of a closed shell.
fn never_shut(ask: &LoadsAsk, shell: &Shell) -> Option<String> {
    let mut holes = shell.openings.iter().filter(|opening| !opening.leaf);
    holes.any(|hole| closed(ask, |way| hole.faces(way))).then(|| {
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

/// A pressure that is more by this share at the top than where it is taken is told (own choice: less is within what it is known by).
const MORE: f64 = 0.01;

/// Of a pressure that is worked out for a height below the top, where it is less than there; under ASCE 7 that of a vault is wanted at the
/// mean height of the roof (Figure 27.3-3).
fn below_the_top(ask: &LoadsAsk, shell: &Shell) -> Option<String> {
    let Given::Value(wind) = &ask.wind else { return None };
    let WindStrength::Speed(speed) = &wind.strength else { return None };
    let height = speed.height?;
    let of_roof = ask.basis != Basis::Eurocode && shell.outline.shape == Shape::Vault;
    let top = wind.wall_height + shell.outline.rise * if of_roof { 0.5 } else { 1.0 };
    let at = |height: f64| {
        let strength = WindStrength::Speed(SpeedAsk { height: Some(height), ..speed.clone() });
        pressure::of(ask, &WindAsk { strength, ..wind.clone() }, shell).ok()
    };
    let [there, wanted] = [at(height)?.value, at(top)?.value];
    (wanted > there * (1.0 + MORE)).then(|| {
        format!(
            "the wind's pressure is that at {height:.2} m above the ground (wind.height), {there:.0} N/m2, and at {top:.2} m, where it is wanted, it is {:.0} % \
             more: leave wind.height out",
            100.0 * (wanted / there - 1.0)
        )
    })
}

/// Share of the ground snow that a case of the user's own has to have somewhere to count as what drifts: μ1 of a flat roof (EN 1991-1-3 Table 5.2).
const FLAT_ROOF: f64 = 0.8;

/// Of snow on a free shape, for which no code has an arrangement of what drifts.
fn free_snow(ask: &LoadsAsk, shell: &Shell) -> Option<String> {
    let Given::Value(snow) = &ask.snow else { return None };
    // As much as lies on a flat roof, somewhere, and at times: that somebody thought of drifts.
    let lies =
        |load: &PatternLoad| matches!(load, PatternLoad::PerPlan(value) if *value >= FLAT_ROOF * snow.ground);
    let mut variable = ask.user.iter().filter(|case| matches!(case.role, UserRole::Variable(_)));
    let own = variable.any(|case| case.patterns.iter().any(|(_, load)| lies(load)));
    (shell.outline.shape == Shape::Free && snow.ground > 0.0 && !own).then(|| {
        let halves = if snow.no_half_shell && ask.basis == Basis::Eurocode {
            ", and that it lies on one side alone was left out (snow.no_half_shell)"
        } else {
            ""
        };
        format!(
            "how snow drifts on a shape of your own no code says, and no drift is taken{halves}: a vault has up to 2.5 times as much on one side; \
             enter what may lie as a variable case of your own ([[case]] with per_plan, somewhere at least 0.8 of the ground snow)"
        )
    })
}

/// Of ends of a vault that are open, likewise.
fn open_end(ask: &LoadsAsk, shell: &Shell) -> Option<String> {
    let open = open_ends(shell);
    let looks = |end: usize| move |way: f64| if end == 0 { -way.cos() } else { way.cos() } > FRAC_PI_4.cos();
    let ends = open.iter().filter(|end| closed(ask, looks(**end))).count();
    (ends > 0).then(|| {
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
    // What blows through does so along a line between two of them.
    let through = |direction: f64| {
        let way = Vec3::new(direction.cos(), direction.sin(), 0.0);
        let mut open = open.iter().filter(|a| opposite(a));
        open.any(|a| a.dot(&way).abs() > FRAC_PI_4.cos() - 1e-9)
    };
    let across = wind.directions.iter().find(|direction| !through(**direction));
    if wind.internal == InternalAsk::Open
        && let (true, Some(across)) = (open.iter().any(opposite), across)
    {
        return Some(format!(
            "no pressure inside is taken (wind.internal = \"open\"), which is so for wind that blows through: that from {} meets shut sides, and \
             what is open sucks or presses the shell from inside ({}): give the coefficients inside (wind.internal_coefficients), [0] and door = \"none\" \
             where all of it lets the wind through as netting does",
            degrees(*across),
            if ask.basis == Basis::Eurocode {
                "EN 1991-1-4 7.2.9"
            } else {
                "ASCE 7 26.2: each wall is open of an open building, or it is partially open, ±0.18"
            }
        ));
    }
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
#[path = "gaps_tests.rs"]
mod tests;
