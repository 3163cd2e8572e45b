//! What keeps a verdict from being told as better than near, beside feet that are held against turning: loads that may be
//! greater than those looked at, and movements so large that forces are greater than second order says.

use crate::assess::fill::model_name;
use crate::assess::paths::Limit;
use crate::assess::run::{Run, State};
use crate::assess::setup::Setup;
use crate::units::{Kind, Show, System};

/// Movement of a joint under design loads over the span beyond which forces by small movements are told to be too low. Own choice:
/// a soft barrel that moved by a fortieth of its span pressed on a foot half as much again by large movements.
const MOVES_FAR: f64 = 1.0 / 50.0;

/// Limit of the nonlinear path below which forces of second order are told to be too low. Own choice: a dome whose limit was 1.006
/// pulled a fifth more on a foot by large movements, and at 1.26 hardly more.
const CLOSE: f64 = 1.25;

/// What of one model is in doubt, in sentences without a capital and a full stop.
#[must_use]
pub fn of_model(
    run: &Run,
    setup: &Setup,
    states: &[State],
    limit: Option<&Limit>,
    units: System,
) -> Vec<String> {
    let name = model_name(run.model.kind);
    let mut words = Vec::new();
    let most = states
        .iter()
        .enumerate()
        .flat_map(|(i, state)| state.ways().filter_map(move |way| Some((i, way.second_order.as_ref()?))))
        .map(|(i, own)| {
            let moved = own.response.displacements.iter().map(|six| six[0].hypot(six[1]).hypot(six[2]));
            (i, moved.fold(0.0, f64::max))
        })
        .reduce(|a, b| if b.1 > a.1 { b } else { a });
    if let Some((i, moved)) = most
        && moved > MOVES_FAR * setup.shell.outline.span
    {
        words.push(format!(
            "joints of the {name} model move by up to {} under {}, more than a fiftieth of the span: forces are taken by small movements, and by \
             such large ones feet may be pressed and pulled half as much again",
            Show::new(units).text_to(Kind::Size, moved, 2),
            setup.combinations[i].name
        ));
    }
    if let Some(limit) = limit
        && limit.reached
        && limit.factor < CLOSE
    {
        words.push(format!(
            "the {name} model gives way at {} times {}: as close to it as that, feet and timbers are asked for up to a fifth more than second \
             order says",
            crate::assess::stability::two_figures(limit.factor),
            setup.combinations[limit.combination].name
        ));
    }
    words
}
