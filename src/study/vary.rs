//! Variations of a project: a copy with one thing changed.

use crate::loads;
use crate::loads::ask::{Given, ImposedAsk, LoadsAsk, OwnCombinationAsk, PatternLoad, WindAsk, WindStrength};
use crate::loads::imposed::{PERSON, POINT};
use crate::model::ask::SeamStiffness;
use crate::project::Project;
use crate::project::schema_study::Vary;
use crate::project::schema_timber::role_key;
use crate::section::ask::GroupAsk;
use crate::shell::ask::{EndForm, Form, OpeningForm};
use crate::shell::{self, Role, Shell};
use crate::tables::grade::Grade;

/// Another section. Groups with a size or values of their own keep them.
#[must_use]
pub fn section(project: &Project, breadth: f64, depth: f64) -> Project {
    let mut out = project.clone();
    // A group that says no size of its own was read with the project's.
    for group in out.timber.groups.iter_mut().filter(|group| group.own.is_none()) {
        if !group.said[0] {
            group.breadth = breadth;
        }
        if !group.said[1] {
            group.depth = depth;
        }
    }
    out.timber.breadth = breadth;
    out.timber.depth = depth;
    out
}

/// A group of members that keeps a timber of its own where another section is tried.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct OwnTimber {
    /// Its members, as the file names them.
    pub roles: Vec<String>,
    /// b \[m\]; absent where it goes with the project's.
    pub breadth: Option<f64>,
    /// d \[m\]; absent where it goes with the project's.
    pub depth: Option<f64>,
    /// Whether it has section values of its own.
    pub values: bool,
}

fn names(roles: &[Role]) -> Vec<String> {
    roles.iter().map(|&role| role_key(role).to_owned()).collect()
}

/// The groups that [`section`] leaves as they are, in whole or in part.
#[must_use]
pub fn keep_their_own(project: &Project) -> Vec<OwnTimber> {
    let kept = |group: &GroupAsk| {
        let values = group.own.is_some();
        let own = |size: f64, said: bool| Some(size).filter(|_| values || said);
        let (breadth, depth) = (own(group.breadth, group.said[0]), own(group.depth, group.said[1]));
        OwnTimber { roles: names(&group.roles), breadth, depth, values }
    };
    let all = project.timber.groups.iter().map(kept);
    all.filter(|own| own.values || own.breadth.is_some() || own.depth.is_some()).collect()
}

/// The members whose number of strips, said in their groups, [`strips`] sets aside.
#[must_use]
pub fn strips_set_aside(project: &Project) -> Vec<String> {
    let groups = project.timber.groups.iter().filter(|group| group.strips.is_some());
    let roles: Vec<Role> =
        groups.flat_map(|group| &group.roles).copied().filter(|role| Role::OF_SEAMS.contains(role)).collect();
    names(&roles)
}

/// Another grade.
#[must_use]
pub fn grade(project: &Project, grade: &Grade) -> Project {
    let mut out = project.clone();
    out.timber.grade = grade.name().to_owned();
    out.grade = grade.clone();
    out
}

/// Another number of strips in every seam.
#[must_use]
pub fn strips(project: &Project, count: usize) -> Project {
    strips_of(project, &Role::OF_SEAMS, count)
}

/// Another number of strips in the members of some roles.
#[must_use]
pub fn strips_of(project: &Project, roles: &[Role], count: usize) -> Project {
    let mut out = project.clone();
    let mut groups = Vec::new();
    // A group may name these roles and others: it is split, so that only these change.
    for group in &project.timber.groups {
        let (of, other): (Vec<Role>, Vec<Role>) = group.roles.iter().partition(|role| roles.contains(role));
        if !of.is_empty() {
            groups.push(GroupAsk { roles: of, strips: Some(count), ..group.clone() });
        }
        if !other.is_empty() {
            groups.push(GroupAsk { roles: other, ..group.clone() });
        }
    }
    let (breadth, depth) = (project.timber.breadth, project.timber.depth);
    groups.push(GroupAsk {
        roles: roles.to_vec(),
        breadth,
        depth,
        said: [false; 2],
        strips: Some(count),
        own: None,
    });
    out.timber.groups = groups;
    out
}

/// Another seam stiffness \[N·m/rad per m\].
#[must_use]
pub fn seam(project: &Project, stiffness: f64) -> Project {
    let mut out = project.clone();
    out.joints.seam_stiffness = SeamStiffness::Entered(stiffness);
    out
}

/// A load that can be varied on its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Load {
    /// Weight of the cover.
    Cover,
    /// Snow.
    Snow,
    /// Wind.
    Wind,
    /// People and things.
    Imposed,
    /// The user's own cases.
    User,
}

impl Load {
    /// All of them.
    pub const ALL: [Self; 5] = [Self::Snow, Self::Wind, Self::Cover, Self::Imposed, Self::User];

    /// In words.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Cover => "weight of the cover",
            Self::Snow => "ground snow",
            Self::Wind => "wind pressure",
            Self::Imposed => "people and things",
            Self::User => "your own cases",
        }
    }

    /// Whether the project has it.
    #[must_use]
    pub fn is_in(self, project: &Project) -> bool {
        let loads = &project.loads;
        match self {
            Self::Cover => {
                matches!(&loads.cover, Given::Value(c) if c.weight > 0.0 || c.leaf.is_some_and(|leaf| leaf > 0.0))
            }
            Self::Snow => {
                matches!(&loads.snow, Given::Value(s) if s.ground > 0.0 || s.valley.is_some_and(|valley| valley > 0.0))
            }
            Self::Wind => match &loads.wind {
                Given::Value(w) => match &w.strength {
                    WindStrength::Pressure(p) => *p > 0.0,
                    WindStrength::Speed(s) => s.speed > 0.0,
                },
                Given::LeftOut(_) => false,
            },
            Self::Imposed => {
                let i = &loads.imposed;
                i.person.is_some()
                    || i.roof.is_some()
                    || !(i.hanging.is_empty() && i.points.is_empty() && i.water.is_empty())
            }
            Self::User => !loads.user.is_empty(),
        }
    }

    /// The entered value as a wind speed \[m/s\], where it is one.
    #[must_use]
    pub fn entered_speed(self, project: &Project) -> Option<f64> {
        match (self, &project.loads.wind) {
            (Self::Wind, Given::Value(WindAsk { strength: WindStrength::Speed(ask), .. })) => Some(ask.speed),
            _ => None,
        }
    }

    /// The entered value as a pressure \[N/m²\], where it is one.
    #[must_use]
    pub fn entered(self, project: &Project) -> Option<f64> {
        match (self, &project.loads.cover, &project.loads.snow, &project.loads.wind) {
            (Self::Cover, Given::Value(c), _, _) => Some(c.weight),
            (Self::Snow, _, Given::Value(s), _) => Some(s.ground),
            (Self::Wind, _, _, Given::Value(w)) => match &w.strength {
                WindStrength::Pressure(p) => Some(*p),
                WindStrength::Speed(_) => None,
            },
            _ => None,
        }
    }
}

/// A load times a factor; 0 leaves it out. A wind speed goes with the root of the factor, so that the
/// pressure goes with the factor.
#[must_use]
pub fn load(project: &Project, load: Load, factor: f64) -> Project {
    let mut out = project.clone();
    let loads = &mut out.loads;
    if factor <= 0.0 {
        let why = || "left out in this trial".to_owned();
        match load {
            Load::Cover => loads.cover = Given::LeftOut(why()),
            Load::Snow => loads.snow = Given::LeftOut(why()),
            Load::Wind => loads.wind = Given::LeftOut(why()),
            Load::Imposed => loads.imposed = ImposedAsk::default(),
            // Combinations may name them, so they stay with nothing in them.
            Load::User => own_cases(loads, 0.0),
        }
        return out;
    }
    match load {
        Load::Cover => {
            if let Given::Value(cover) = &mut loads.cover {
                cover.weight *= factor;
                cover.leaf = cover.leaf.map(|leaf| leaf * factor);
            }
        }
        Load::Snow => {
            if let Given::Value(snow) = &mut loads.snow {
                snow.ground *= factor;
                snow.valley = snow.valley.map(|valley| valley * factor);
            }
        }
        Load::Wind => {
            if let Given::Value(wind) = &mut loads.wind {
                match &mut wind.strength {
                    WindStrength::Pressure(p) => *p *= factor,
                    WindStrength::Speed(s) => s.speed *= factor.sqrt(),
                }
            }
        }
        Load::Imposed => {
            let imposed = &mut loads.imposed;
            imposed.person = imposed.person.map(|p| p * factor);
            imposed.roof = imposed.roof.map(|r| r * factor);
            imposed.hanging.iter_mut().for_each(|h| h.force *= factor);
            imposed.points.iter_mut().for_each(|p| p.force *= factor);
            imposed.water.iter_mut().for_each(|w| w.depth *= factor);
        }
        Load::User => own_cases(loads, factor),
    }
    out
}

/// The project with its own list of combinations as if cases that it does not have any more had nothing in them: a load that is left
/// out takes its cases along, and the list names them.
#[must_use]
pub fn without_missing_cases(mut project: Project, shell: &Shell) -> Project {
    let own = &project.loads.combine.own;
    if own.is_empty() {
        return project;
    }
    let weightless = vec![0.0; shell.members.len()];
    // What is wrong with the loads is told where they are looked at.
    let Ok(cases) = loads::cases(&project.loads, shell, &weightless) else { return project };
    let is_there = |name: &str| name == "weight" || cases.iter().any(|case| case.name == name);
    let of_strength = |one: &OwnCombinationAsk| !one.state.is_service();
    let mut kept: Vec<OwnCombinationAsk> = own.iter().map(|one| without(one, is_there)).collect();
    kept.retain(|one| !one.terms.is_empty());
    if !kept.iter().any(of_strength)
        && let Some(first) = own.iter().find(|one| of_strength(one))
    {
        // Nothing of strength acts at all, and the list must hold something of it: as good as nothing.
        kept.push(OwnCombinationAsk { terms: vec![("weight".to_owned(), 1e-9)], ..first.clone() });
    }
    project.loads.combine.own = kept;
    project
}

/// A combination without the terms of cases that are not there, by the name that it had with them.
fn without(one: &OwnCombinationAsk, is_there: impl Fn(&str) -> bool) -> OwnCombinationAsk {
    let mut out = one.clone();
    out.terms.retain(|(name, _)| is_there(name));
    if out.name.is_none() && out.terms.len() < one.terms.len() {
        let words = one.terms.iter().map(|(name, factor)| format!("{factor} {name}"));
        out.name = Some(words.collect::<Vec<_>>().join(" + "));
    }
    out
}

fn own_cases(loads: &mut LoadsAsk, factor: f64) {
    for case in &mut loads.user {
        for (_, pattern) in &mut case.patterns {
            match pattern {
                PatternLoad::PerPlan(v) | PatternLoad::PerArea(v) | PatternLoad::Pressure(v) => *v *= factor,
            }
        }
        let named = case.joints.iter_mut().chain(&mut case.panels).chain(&mut case.members);
        named.for_each(|(_, force)| force.iter_mut().for_each(|v| *v *= factor));
    }
}

/// Another size of the shape; `None` where the form has no such size. A sphere's base plane goes with
/// its radius, so that the shape stays similar; counts are rounded.
#[must_use]
pub fn shape(project: &Project, vary: Vary, value: f64) -> Option<Project> {
    let mut out = project.clone();
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to 0..=1000 first")]
    let count = value.round().clamp(if vary == Vary::Bands { 0.0 } else { 1.0 }, 1000.0) as usize;
    match (&mut out.shell.form, vary) {
        (Form::Dome { radius, base, .. } | Form::Tunnel { radius, base, .. }, Vary::Radius) => {
            *base *= value / *radius;
            *radius = value;
        }
        (Form::Dome { frequency, .. } | Form::Tunnel { frequency, .. }, Vary::Frequency) => {
            *frequency = count;
        }
        (Form::Tunnel { bands, .. }, Vary::Bands) => *bands = count,
        (Form::Barrel { span, .. }, Vary::Span) => *span = value,
        (Form::Barrel { rise, .. }, Vary::Rise) => *rise = value,
        (Form::Barrel { bays, .. }, Vary::Bands) => *bays = count,
        (Form::Barrel { segments, .. }, Vary::Frequency) => *segments = count,
        _ => return None,
    }
    Some(out)
}

/// What a part of the shell is named for in the project: a load, or an opening.
fn named(project: &Project) -> Option<&'static str> {
    let imposed = &project.loads.imposed;
    let own = project.loads.user.iter().any(|case| {
        let by_name = case.joints.len() + case.panels.len() + case.members.len();
        by_name > 0 || case.patterns.iter().any(|(region, _)| !region.panels.is_empty())
    });
    let on = [imposed.hanging.len(), imposed.person_joints.len(), imposed.points.len(), imposed.water.len()];
    // Cases of people and forces are called by what they stand on.
    let listed = project.loads.combine.own.iter().flat_map(|one| &one.terms);
    let own = own
        || listed.into_iter().any(|(name, _)| [PERSON, POINT].iter().any(|begin| name.starts_with(begin)));
    if own || on.iter().any(|count| *count > 0) {
        return Some("loads name joints, panels or timbers");
    }
    let opening = project.shell.openings.iter().any(|one| matches!(one.form, OpeningForm::Panels(_)));
    opening.then_some("an opening names its panels")
}

/// Why names that the project has for parts of its own shell are no longer those parts in another: joints, panels and timbers are numbered
/// anew where there are more or fewer of them. Nothing where none is named, or the numbers are the same.
#[must_use]
pub fn names_moved(project: &Project, other: &Shell) -> Option<String> {
    let what = named(project)?;
    let own = shell::build(&project.shell).ok()?;
    let counts = |shell: &Shell| [shell.joints.len(), shell.members.len(), shell.panels.len()];
    (counts(&own) != counts(other)).then(|| {
        format!("{what} by name, and such a shell has other ones by those names: name them in a project of that size")
    })
}

/// Open ends closed by a frame of timbers; `None` where no end is open.
#[must_use]
pub fn closed_ends(project: &Project) -> Option<Project> {
    let mut out = project.clone();
    let ends = match &mut out.shell.form {
        Form::Tunnel { ends, .. } | Form::Barrel { ends, .. } => ends,
        Form::Dome { .. } | Form::Mesh(_) => return None,
    };
    let mut any = false;
    for end in ends.iter_mut().filter(|end| **end == EndForm::Open) {
        *end = EndForm::Framed { studs: 2, sill: true, diagonals: true };
        any = true;
    }
    any.then_some(out)
}
