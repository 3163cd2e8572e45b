//! Feet that are held against turning: what their anchors then hold in moment, where that was compared with nothing.
//!
//! Holding a foot makes a shell stiffer and takes moment out of its arches, so that a verdict may turn from over to within
//! on the claim alone. Where no strength of it was entered, the answer says what it rests on.

use crate::assess::feet::FootPeaks;
use crate::assess::fill::model_name;
use crate::assess::findings::{Findings, ModelFindings};
use crate::project::Project;
use crate::units::{Kind, Show};

/// From this moment on a foot is told to be held against turning \[N·m\] (own choice: less is the rounding of a solution,
/// and any fixing holds it).
pub const TELLING: f64 = 1.0;

/// Of a model's feet the one that holds the greatest moment, where it is worth telling and nobody entered what an anchor
/// holds of it.
#[must_use]
pub fn unchecked<'f>(project: &Project, feet: &'f [FootPeaks]) -> Option<&'f FootPeaks> {
    if project.rules.feet.moment.is_some() {
        return None;
    }
    let most = feet.iter().reduce(|a, b| if b.moment.value > a.moment.value { b } else { a })?;
    (most.moment.value >= TELLING).then_some(most)
}

/// The worst such foot of some models.
fn worst<'f>(
    project: &Project,
    models: impl Iterator<Item = &'f ModelFindings>,
) -> Option<(&'f ModelFindings, &'f FootPeaks)> {
    models
        .filter_map(|model| Some((model, unchecked(project, &model.feet)?)))
        .reduce(|a, b| if b.1.moment.value > a.1.moment.value { b } else { a })
}

/// What the headline says of it, where the verdict rests on it.
#[must_use]
pub fn headline(project: &Project, found: &Findings) -> Option<String> {
    if !found.rests_on_feet {
        return None;
    }
    let (_, foot) = worst(project, found.governing.iter().map(|&i| &found.models[i]))?;
    Some(format!(
        "It rests on the feet being held against turning by up to {} (foot {}), which was compared with nothing.",
        Show::new(project.units).text(Kind::Moment, foot.moment.value),
        found.setup.shell.joints[foot.joint.0].name
    ))
}

/// The worst of those feet in any model that was run, in words.
#[must_use]
pub fn warning(project: &Project, found: &Findings) -> Option<String> {
    let (model, foot) = worst(project, found.models.iter())?;
    let rests = if found.rests_on_feet {
        " The verdict rests on it, and is told as no better than near for that."
    } else {
        ""
    };
    Some(format!(
        "The feet are entered as held against turning: foot {} then holds {} ({} model, {}). No strength of that was entered \
         ([feet] moment), so nothing was compared with it; an anchor or a bolt through a sill alone holds little.{rests} Enter \
         what an anchor holds, or hold the feet pinned.",
        found.setup.shell.joints[foot.joint.0].name,
        Show::new(project.units).text(Kind::Moment, foot.moment.value),
        model_name(model.run.model.kind),
        found.setup.combinations[foot.moment.combination].name
    ))
}

#[cfg(test)]
#[path = "held_feet_tests.rs"]
mod tests;
