//! What the cases cannot know of the shell and of what is asked.

use crate::loads::ask::{Basis, DoorAsk, Given, InternalAsk, LoadsAsk, WindAsk};
use crate::loads::section_line::degrees;
use crate::loads::wind::pressure::terrain_is_not_the_annexs;
use crate::loads::wind::upright::quarter;
use crate::shell::{Member, MemberKind, Role, Shape, Shell};

/// Warnings on what is asked, in words that a person can act on.
#[must_use]
pub fn warnings(ask: &LoadsAsk, shell: &Shell) -> Vec<String> {
    let mut words = Vec::new();
    words.extend(of_snow(ask, shell));
    if ask.basis != Basis::Eurocode && ask.imposed.roof.is_none() {
        words.push(
            "no roof live load is entered (ASCE 7 4.8): where snow is light it may be what is worst; enter it, reduced by the \
             code for your shape, as imposed.roof"
                .into(),
        );
    }
    if let Given::Value(wind) = &ask.wind {
        words.extend(terrain_is_not_the_annexs(ask, wind));
        let sides = sides_blown_at(wind, shell);
        if sides < 4 && shell.outline.shape != Shape::Dome {
            words
                .push(format!("wind from {sides} of the four sides only: the other sides are not looked at"));
        }
        if shell.outline.shape == Shape::Dome
            && !wind.directions.iter().all(|d| opposed(*d, &wind.directions))
        {
            words.push(
                "the wind does not come from both ends of every direction: the feet and timbers on the other side of a dome \
                 are no mirror image, and their figures hold for the directions entered alone; enter 0, 90, 180 and 270°"
                    .into(),
            );
        }
        if wind.internal == InternalAsk::Open {
            words.push(
                "no pressure inside is taken (open): that is so only where the wind blows right through, as through netting; a \
                 shell that is open on one side has more, inward or outward: give the coefficients inside"
                    .into(),
            );
        }
        let ways = if let DoorAsk::Facing(ways) = &wind.door { ways.as_slice() } else { &[] };
        for facing in ways {
            if !wind.directions.iter().any(|d| (d - facing).cos() > 1.0 - 1e-6) {
                words.push(format!(
                    "the door faces {}, and no wind is entered from there: with the door open that is the wind that lifts most; \
                     add it to the directions",
                    degrees(*facing)
                ));
            }
        }
        let ends =
            shell.outline.barrel.map_or(0, |barrel| barrel.iter().filter(|x| framed(shell, **x)).count());
        if ends > 0 {
            words.push(
                "the cladding of a framed end is taken to weigh what the cover weighs, and to span level between the uprights and the \
                 arch, a door in it too: cladding that bears on a frame of its own loads other timbers"
                    .into(),
            );
        }
        if wind.door == DoorAsk::None {
            words.push(
                "no case with the door open: a door that is missing or open in a storm governs uplift".into(),
            );
        }
    }
    words
}

/// How many sides the wind blows at: of a vault those that its directions count as, of anything else as many as there are directions.
fn sides_blown_at(wind: &WindAsk, shell: &Shell) -> usize {
    if shell.outline.shape != Shape::Vault {
        return wind.directions.len();
    }
    wind.directions
        .iter()
        .map(|direction| quarter(*direction))
        .collect::<std::collections::BTreeSet<i32>>()
        .len()
}

/// Of snow on shapes for which no arrangement was taken that may be worse.
fn of_snow(ask: &LoadsAsk, shell: &Shell) -> Vec<String> {
    let Given::Value(snow) = &ask.snow else { return Vec::new() };
    let mut words = Vec::new();
    if shell.outline.shape == Shape::Vault && !snow.directions.is_empty() {
        words.push(
            "The key snow.directions_deg is not read on a vault: its snow drifts to both sides, and to domed ends"
                .to_owned(),
        );
    }
    // Snow slides down a steep valley and lies in a level one.
    let level = |member: &Member| {
        let [a, b] = member.joints.map(|joint| shell.at(joint));
        (b.z - a.z).abs() < LEVEL.sin() * (b - a).norm()
    };
    let valleys = shell.members.iter().filter(|member| {
        member.kind == MemberKind::Seam && member.fold < -1e-6 && member.outward.z > 0.1 && level(member)
    });
    let count = valleys.count();
    if shell.outline.shape == Shape::Free && count > 0 && snow.valley.is_none() {
        words.push(format!(
            "{count} valley seams lie nearly level, where snow slides together (EN 1991-1-3 5.3.4 has up to twice the load there), and \
             no load along them is entered: enter snow.valley, or the drift as a case of your own"
        ));
    }
    words
}

/// A seam less steep than this counts as level \[rad\].
const LEVEL: f64 = 30.0 * std::f64::consts::PI / 180.0;

/// Whether the direction opposite to one is among them \[rad\].
fn opposed(direction: f64, all: &[f64]) -> bool {
    all.iter().any(|other| ((direction - other).cos() + 1.0).abs() < 1e-6)
}

/// Ends of a vault that are neither domed nor framed: 0 that at lower x, 1 that at higher x.
pub(crate) fn open_ends(shell: &Shell) -> Vec<usize> {
    let Some(barrel) = shell.outline.barrel else { return Vec::new() };
    (0..2).filter(|&end| !shell.outline.domed_ends[end] && !framed(shell, barrel[end])).collect()
}

/// Whether a framed gable stands in the plane across x.
pub(crate) fn framed(shell: &Shell, x: f64) -> bool {
    let size = shell.outline.length.max(shell.outline.span);
    shell.members.iter().any(|member| {
        matches!(member.role, Role::Stud | Role::Sill | Role::Brace)
            && member.joints.iter().all(|&joint| (shell.at(joint).x - x).abs() < 1e-6 * size)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::loads::ask::{AsceEdition, SpeedAsk, Terrain, WindStrength};
    use crate::loads::tests::{asce, eurocode};
    use crate::shell::ask::EndForm;

    /// Each is said where it is so and nowhere else.
    #[test]
    fn what_no_case_holds_is_said_where_it_is_so() {
        let dome = crate::loads::tests::dome(2);
        let said = |ask: &LoadsAsk, shell: &Shell, part: &str| {
            warnings(ask, shell).iter().filter(|words| words.contains(part)).count()
        };
        let with = |change: fn(&mut WindAsk)| {
            let mut ask = eurocode();
            if let Given::Value(wind) = &mut ask.wind {
                change(wind);
            }
            ask
        };
        let plain = eurocode();
        let open = with(|wind| wind.internal = InternalAsk::Open);
        let missed = with(|wind| wind.door = DoorAsk::Facing(vec![0.0, 0.8]));
        let met = with(|wind| wind.door = DoorAsk::Facing(vec![0.0]));
        let one_end = with(|wind| wind.directions = vec![0.0, 1.0]);
        let by_terrain = |uk: bool| {
            let mut ask = with(|wind| {
                wind.strength = WindStrength::Speed(SpeedAsk {
                    speed: 24.0,
                    terrain: Terrain::II,
                    height: None,
                    orography: 1.0,
                    air_density: None,
                    elevation: None,
                });
            });
            ask.combine.uk = uk;
            ask
        };
        let (in_uk, elsewhere) = (by_terrain(true), by_terrain(false));
        // And every wind by it is provisional.
        let provisional = |ask: &LoadsAsk| {
            let cases = crate::loads::tests::all(ask, &dome);
            let winds = cases.iter().filter(|case| case.kind == crate::loads::CaseKind::Wind);
            winds.map(|case| case.provisional.iter().filter(|why| why.contains("UK annex")).count()).max()
        };
        assert_eq!([&in_uk, &elsewhere].map(provisional), [Some(1), Some(0)]);
        let us = asce(AsceEdition::Seven16);
        let mut people = us.clone();
        people.imposed.roof = Some(500.0);
        for (part, so, not) in [
            ("no pressure inside is taken", &open, &plain),
            ("no wind is entered from there", &missed, &met),
            ("no mirror image", &one_end, &plain),
            ("not those of the UK annex", &in_uk, &elsewhere),
            ("no roof live load", &us, &people),
            ("no roof live load", &us, &plain),
        ] {
            assert_eq!((said(so, &dome, part), said(not, &dome, part)), (1, 0), "{part}");
        }
        // Four directions that all count as along a vault leave its sides out.
        let skew = with(|wind| wind.directions = [45.0, 135.0, 225.0, 315.0].map(f64::to_radians).to_vec());
        let vault = crate::loads::test_shells::barrel([EndForm::Open; 2], Vec::new());
        assert_eq!([&skew, &plain].map(|ask| said(ask, &vault, "wind from 2 of the four sides")), [1, 0]);
        let gable = EndForm::Framed { studs: 3, sill: true, diagonals: false };
        let shed = crate::loads::test_shells::barrel([gable, EndForm::Open], Vec::new());
        let part = "the cladding of a framed end is taken to";
        assert_eq!([&shed, &dome].map(|shell| said(&plain, shell, part)), [1, 0]);
    }

    #[test]
    fn a_direction_is_opposed_by_the_one_half_a_turn_on() {
        let turned = |degrees: &[f64]| degrees.iter().map(|d| d.to_radians()).collect::<Vec<f64>>();
        for (degrees, all) in [
            (&[0.0, 90.0][..], false),
            (&[0.0, 180.0], true),
            (&[0.0, 90.0, 180.0], false),
            (&[30.0, -150.0, 300.0, 120.0], true),
        ] {
            let directions = turned(degrees);
            assert_eq!(directions.iter().all(|d| opposed(*d, &directions)), all, "{degrees:?}");
        }
    }
}
