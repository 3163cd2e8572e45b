//! Values that can be but are unlikely, with the slip that would explain them; and what the cases cannot
//! know of the shell.

use crate::loads::ask::{Basis, DoorAsk, Given, InternalAsk, LoadsAsk, WindStrength};
use crate::shell::{Role, Shape, Shell};

/// Warnings on what is asked, in words that a person can act on.
#[must_use]
pub fn warnings(ask: &LoadsAsk, shell: &Shell) -> Vec<String> {
    let mut words = Vec::new();
    let mut doubt = |what: &str, value: f64, usual: [f64; 2], unit: &str, slips: &[(f64, &str)]| {
        if value == 0.0 || (usual[0]..=usual[1]).contains(&value) {
            return;
        }
        let slip = slips
            .iter()
            .find(|(times, _)| (usual[0]..=usual[1]).contains(&(value * times)))
            .map(|(times, slip)| format!("; {slip} would make it {}", short(value * times)))
            .unwrap_or_default();
        words.push(format!(
            "{what} is {} {unit}; it is usually {} to {}{slip}",
            short(value),
            short(usual[0]),
            short(usual[1])
        ));
    };
    let pressure_slips: &[(f64, &str)] = &[
        (1000.0, "kN/m² written as N/m²"),
        (47.880_259, "psf written as N/m²"),
        (9.806_65, "kg/m² written as N/m²"),
        (0.001, "N/m² written as kN/m²"),
    ];
    if let Given::Value(cover) = &ask.cover {
        doubt("the weight of the cover", cover.weight, [2.0, 3000.0], "N/m²", pressure_slips);
    }
    if let Given::Value(snow) = &ask.snow {
        doubt("the ground snow", snow.ground, [100.0, 10_000.0], "N/m²", pressure_slips);
        if let Some(exposure) = snow.exposure {
            doubt("Ce", exposure, [0.7, 1.2], "", &[]);
        }
        if let Some(thermal) = snow.thermal {
            doubt("Ct", thermal, [0.8, 1.3], "", &[]);
        }
    }
    if let Given::Value(wind) = &ask.wind {
        match &wind.strength {
            WindStrength::Pressure(value) => {
                doubt("the wind pressure", *value, [200.0, 3000.0], "N/m²", pressure_slips);
            }
            WindStrength::Speed(speed) => {
                let usual = if ask.basis == Basis::Eurocode { [18.0, 40.0] } else { [35.0, 90.0] };
                let slips: &[(f64, &str)] = &[
                    (0.447_04, "mph written as m/s"),
                    (1.0 / 3.6, "km/h written as m/s"),
                    (2.236_936, "m/s written as mph"),
                ];
                doubt("the wind speed", speed.speed, usual, "m/s", slips);
            }
        }
        if wind.directions.len() < 4 && shell.outline.shape != Shape::Dome {
            words.push(format!(
                "wind from {} of the four sides only: the other sides are not looked at",
                wind.directions.len()
            ));
        }
        let open_ends = open_ends(shell);
        if open_ends > 0 && wind.internal == InternalAsk::Closed {
            words.push(format!(
                "{} open, but the pressure inside is that of a closed shell: say that the open door is usual (wind.door_usual), or give coefficients inside",
                if open_ends == 1 { "one end is" } else { "both ends are" }
            ));
        }
        if wind.door == DoorAsk::None {
            words.push(
                "no case with the door open: a door that is missing or open in a storm governs uplift".into(),
            );
        }
    }
    words
}

/// Ends of a vault that are neither domed nor framed.
pub(crate) fn open_ends(shell: &Shell) -> usize {
    let Some(barrel) = shell.outline.barrel else { return 0 };
    (0..2).filter(|&end| !shell.outline.domed_ends[end] && !framed(shell, barrel[end])).count()
}

/// Whether a framed gable stands in the plane across x.
pub(crate) fn framed(shell: &Shell, x: f64) -> bool {
    let size = shell.outline.length.max(shell.outline.span);
    shell.members.iter().any(|member| {
        matches!(member.role, Role::Stud | Role::Sill | Role::Brace)
            && member.joints.iter().all(|&joint| (shell.at(joint).x - x).abs() < 1e-6 * size)
    })
}

fn short(value: f64) -> String {
    let digits = if value.abs() >= 100.0 {
        0
    } else if value.abs() >= 1.0 {
        1
    } else {
        3
    };
    let text = format!("{value:.digits$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}
