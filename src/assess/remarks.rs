//! What was assumed of fixings and feet where nothing was given, and which of their checks were not made and why.

use std::collections::BTreeSet;

use crate::assess::check::is_strength;
use crate::assess::conditions::conditions;
use crate::assess::demand::seam_input;
use crate::assess::setup::Setup;
use crate::model::ask::FeetHeld;
use crate::project::Project;
use crate::rules::seams::{self, SeamDemand, SeamInput};
use crate::rules::{feet, spacing};
use crate::shell::MemberKind;

/// Of the fixings, in sentences: none where no fixings are given.
///
/// Measures differ from seam to seam; those told are of the seam where the fixings have the least room, and what
/// is true only of a folded seam is taken from the most sharply folded one.
#[must_use]
pub fn of_fixings(project: &Project, setup: &Setup) -> Vec<String> {
    let Some(fixings) = project.rules.fixings else { return Vec::new() };
    // Any combination will do: the remarks ask for the standard alone. A grade that does not go with its
    // conditions has ended the assessment before.
    let Some(conditions) = setup.combinations.iter().find(|c| is_strength(c)).map(|c| conditions(project, c))
    else {
        return Vec::new();
    };
    let inputs: Vec<(usize, SeamInput)> = (0..setup.shell.members.len())
        .filter(|&m| setup.shell.members[m].kind == MemberKind::Seam)
        .filter_map(|m| {
            let input = seam_input(project, setup, fixings, &conditions, m, SeamDemand::default());
            Some((m, input.ok()?))
        })
        .collect();
    let worst_distance = |input: &SeamInput| {
        spacing::distances(&input.fixings, &input.strip, input.basis.standard(), 0.0)
            .iter()
            .map(spacing::Distance::utilisation)
            .fold(0.0, f64::max)
    };
    let tightest = inputs.iter().max_by(|a, b| worst_distance(&a.1).total_cmp(&worst_distance(&b.1)));
    let folded = inputs.iter().max_by(|a, b| a.1.strip.fold.abs().total_cmp(&b.1.strip.fold.abs()));
    let (Some(tightest), Some(folded)) = (tightest, folded) else { return Vec::new() };
    let mut told = BTreeSet::new();
    let name = |seam: &(usize, SeamInput)| setup.shell.members[seam.0].name.as_str();
    let place = if tightest.0 == folded.0 {
        format!("seam {}, where they have the least room", name(tightest))
    } else {
        format!(
            "seam {}, where they have the least room, or at seam {}, which is folded most",
            name(tightest),
            name(folded)
        )
    };
    let mut out = vec![format!("Measures of the fixings in the lines that follow are those at {place}.")];
    for remark in [tightest, folded].into_iter().flat_map(|(_, input)| seams::remarks(input, project.units)) {
        // The same remark with other figures is not said twice.
        if told.insert(remark.replace(|c: char| c.is_ascii_digit() || c == '.', "")) {
            out.push(sentence(&remark));
        }
    }
    // A heading of nothing.
    if out.len() == 1 {
        out.clear();
    }
    out
}

/// Of the feet, in sentences.
#[must_use]
pub fn of_feet(project: &Project) -> Vec<String> {
    let asked = &project.rules.feet;
    let mut out: Vec<String> = feet::remarks(asked).iter().map(|remark| sentence(remark)).collect();
    if project.joints.feet == FeetHeld::Fixed && asked.moment.is_none() {
        out.push(
            "The moment that holds the feet against turning was not checked: enter feet.moment, what one anchor holds of it."
                .to_owned(),
        );
    }
    out
}

/// With a capital and a full stop.
pub(super) fn sentence(remark: &str) -> String {
    let mut letters = remark.chars();
    match letters.next() {
        // A question has its mark.
        Some(first) => {
            let point = if remark.ends_with('?') { "" } else { "." };
            format!("{}{}{point}", first.to_uppercase(), letters.as_str())
        }
        None => String::new(),
    }
}
