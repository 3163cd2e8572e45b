//! Wind on curved shells: outside coefficients by place, pressure inside, and the open door.
//!
//! Pressures act along the outward normal of each panel, inward positive. A vault takes the code's
//! quarters of the arc for wind across it; domes and domed ends take coefficients that are equal on
//! planes across the wind; wind along a vault takes the code's roof with wind along the ridge. A shell
//! of free shape is read panel by panel, by the angle between its normal and the wind, as on a
//! hemisphere. Long vaults are rubbed by wind along them; elsewhere friction is left out, and the cases say so.

pub(crate) mod coefficients;
mod door;
mod friction;
pub(crate) mod gable;
mod least;
pub(crate) mod outside;
pub(crate) mod pressure;
#[cfg(test)]
mod tests;
pub(crate) mod upright;

use crate::loads::ask::{Basis, InternalAsk, LoadsAsk, WindAsk};
use crate::loads::build::{Integrals, Push};
use crate::loads::figures::figure;
use crate::loads::leaf::Shut;
use crate::loads::section_line::degrees;
use crate::loads::snow::positive;
use crate::loads::wind::outside::Outside;
use crate::loads::{Action, Case, CaseKind, Inlet, LoadError};
use crate::shell::Shell;
pub(crate) use door::door_and_openings;

/// Every direction with every pressure inside, a case each, and the open door; on leaves as on panels, but for that of the door
/// that is open.
///
/// # Errors
///
/// [`LoadError`] where a value is missing or cannot be.
pub(crate) fn cases(ask: &LoadsAsk, wind: &WindAsk, shut: &Shut) -> Result<Vec<Case>, LoadError> {
    let shell = &shut.shell;
    let pressure = pressure::of(ask, wind, shell)?;
    positive("wind.wall_height", wind.wall_height)?;
    if wind.directions.is_empty() {
        return Err(LoadError::Missing {
            what: "wind.directions_deg",
            why: "name at least one direction that the wind blows from, in degrees anticlockwise from +x: [0, 90, 180, 270]".into(),
        });
    }
    let mut cases = Vec::new();
    for &direction in &wind.directions {
        for outside in outside::arrangements(ask, wind, shell, direction) {
            let coefficients = Integrals::new(shell, &outside.field, Push::Inward);
            let of = |coefficients: &Integrals, name: String, inside: f64| {
                let mut case = one(shell, &pressure, &outside, coefficients, name, inside);
                gable::add(ask, wind, shell, &pressure, (direction, inside), &mut case);
                friction::add(ask, wind, shell, (pressure.value, direction), &mut case);
                case
            };
            let named = |inside: &str| {
                let extra = outside.name.map(|name| format!(", {name}")).unwrap_or_default();
                format!("wind from {}{extra}, {inside}", degrees(direction))
            };
            for (words, inside) in inside(ask, wind)? {
                let mut case = of(&coefficients, named(&words), inside);
                if wind.internal == InternalAsk::Open {
                    case.inlet = Inlet::Everywhere;
                }
                cases.push(case);
            }
            for open in door::open(ask, wind, shell, (direction, outside.windward))? {
                let ajar = coefficients.without(|panel| shut.shuts(panel, open.leaf));
                let mut case = of(&ajar, named(&open.name), open.inside);
                case.inlet = Inlet::Door;
                case.remarks.push(open.words);
                // ASCE 7 knows the open door as a partially enclosed building, an ordinary case.
                if !wind.door_usual && ask.basis == Basis::Eurocode {
                    case.action = Action::Accidental;
                    case.remarks.push("an open or missing door in the storm is taken as an accident (EN 1991-1-4 7.2.9(3)); say that it is usual to have it as an ordinary case".into());
                }
                cases.push(case);
            }
        }
        cases.extend(least::case(ask, wind, shell, direction));
    }
    Ok(cases)
}

/// A case of one pressure inside; `coefficients` are those outside, worked out.
fn one(
    shell: &Shell,
    pressure: &pressure::Pressure,
    outside: &Outside<'_>,
    coefficients: &Integrals,
    name: String,
    inside: f64,
) -> Case {
    let net = coefficients.scaled(shell, pressure.value * pressure.gust, -pressure.value * inside);
    Case::of(name, CaseKind::Wind, &net)
        .remarked(pressure.words.clone())
        .remarked(outside.words.clone())
        .remarked([format!("inside {inside:+.3}")])
        .provisionally(pressure.provisional.clone())
        .provisionally(outside.provisional.clone())
}

/// Names and coefficients of the pressure inside.
fn inside(ask: &LoadsAsk, wind: &WindAsk) -> Result<Vec<(String, f64)>, LoadError> {
    let both = |pressure: f64, suction: f64| {
        vec![("pressure inside".to_owned(), pressure), ("suction inside".to_owned(), suction)]
    };
    let us = ask.basis != Basis::Eurocode;
    Ok(match &wind.internal {
        InternalAsk::Closed if us => {
            let value = figure("asce7_wind_constants", "GCpi enclosed", "value");
            both(value, -value)
        }
        InternalAsk::Closed => both(
            figure("en1991_wind_inside", "closed, pressure", "value"),
            figure("en1991_wind_inside", "closed, suction", "value"),
        ),
        InternalAsk::PartlyEnclosed if us => {
            let value = figure("asce7_wind_constants", "GCpi partially enclosed", "value");
            both(value, -value)
        }
        InternalAsk::PartlyEnclosed => {
            return Err(LoadError::Basis {
                what: "the enclosure \"partially enclosed\"".into(),
                belongs: "ASCE 7",
                basis: "eurocode; give the coefficients inside, or the door",
            });
        }
        InternalAsk::Open => vec![("open".to_owned(), 0.0)],
        InternalAsk::Own(values) => {
            if values.is_empty() {
                return Err(LoadError::Missing {
                    what: "wind.internal",
                    why: "an empty list of coefficients inside: give at least one, or 0".into(),
                });
            }
            for &value in values {
                if !(value.is_finite() && value.abs() <= 2.0) {
                    return Err(LoadError::OutOfRange {
                        what: "wind.internal".into(),
                        value,
                        limit: "between −2 and 2",
                    });
                }
            }
            values.iter().map(|value| (format!("inside {value:+}"), *value)).collect()
        }
    })
}
