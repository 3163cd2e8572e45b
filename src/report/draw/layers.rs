//! What is shown: which pens, fills, arrows and labels the results ask for.

use std::collections::BTreeMap;

use super::legend::{Entry, Mark};
use super::scene::Scene;
use super::{DrawError, DrawOptions, Shown, View};
use crate::assess::results::CaseResult;
use crate::report::picture::{Pen, tint::Tint};
use crate::report::show::{Printer, of_its, tame, utilisation};
use crate::vector::Vec3;

/// A label that belongs to a place on the shell.
pub(super) struct Label {
    pub(super) at: Place,
    pub(super) words: String,
    pub(super) bold: bool,
    pub(super) tint: Tint,
}

/// Where a label stands.
pub(super) enum Place {
    Joint(usize),
    Member(usize),
    /// On the first of these members that is on the near side, with its name.
    OneOf(Vec<usize>),
    Panel(usize),
}

/// An arrow of the results: a load on a panel, a force at a foot.
pub(super) struct Arrow {
    pub(super) at: Vec3,
    /// \[m\] as drawn.
    pub(super) by: Vec3,
    /// Whether the head is at `at`.
    pub(super) pushes: bool,
    pub(super) pen: Pen,
}

/// Everything to paint on the shell.
pub(super) struct Layers<'a> {
    pub(super) title: String,
    pub(super) description: String,
    pub(super) note: String,
    pub(super) legend: Vec<Entry>,
    /// Movement of every joint as drawn \[m\].
    pub(super) moved: Option<Vec<Vec3>>,
    /// Fill of every panel; `None` is bare.
    pub(super) fills: Vec<Option<(Tint, f64)>>,
    /// Pens by class, painted in order.
    pub(super) classes: Vec<Vec<Pen>>,
    /// Class of every member.
    pub(super) class_of: Vec<usize>,
    pub(super) arrows: Vec<Arrow>,
    pub(super) labels: Vec<Label>,
    pub(super) dimensions: bool,
    results: std::marker::PhantomData<&'a ()>,
}

/// Pens of a class of utilisation: wider as it rises, dashed when near, cross-tied when over.
fn worked_pens(step: u8) -> Vec<Pen> {
    let tint = Tint::Worked(step);
    match step {
        0 => vec![Pen::solid(tint, 1.2)],
        1 => vec![Pen::solid(tint, 1.7)],
        2 => vec![Pen::solid(tint, 2.3)],
        3 => vec![Pen::solid(tint, 3.0)],
        4 => vec![Pen::solid(Tint::Ground, 4.4), Pen::dashed(tint, 3.8, &[9.0, 3.5])],
        _ => vec![Pen::solid(tint, 5.6), Pen::dashed(Tint::Ground, 2.0, &[4.0, 4.0])],
    }
}

/// What each class of utilisation is called in the legend.
fn worked_words() -> [String; 6] {
    let [first, second, third, within, near] = Tint::STEPS;
    [
        format!("up to {first:.2}"),
        format!("to {second:.2}"),
        format!("to {third:.2}"),
        format!("to {within:.2} (within)"),
        format!("to {near:.2} (near)"),
        format!("above {near:.2} (over)"),
    ]
}

impl<'a> Layers<'a> {
    /// Reads what is asked for out of the results.
    pub(super) fn choose(scene: &Scene<'a>, show: Printer, options: &DrawOptions) -> Result<Self, DrawError> {
        match &options.show {
            Shown::Shape => Ok(Self::shape(scene)),
            Shown::Utilisation => Self::utilisation(scene, options),
            Shown::Axial => Self::axial(scene, show, options),
            Shown::Moment => Self::moment(scene, show, options),
            Shown::Case(name) => Self::case(scene, show, name),
            Shown::Sag => Self::sag(scene, show, options),
            Shown::Buckling => Self::buckling(scene, options),
            Shown::Mechanism => Self::mechanism(scene, options),
            Shown::Reactions => Self::reactions(scene, show, options.view),
            Shown::Seams => Ok(Self::seams(scene)),
            Shown::Panels => Ok(Self::panels(scene)),
            Shown::Ids => Ok(Self::ids(scene, options.view == View::Unrolled)),
        }
    }

    /// The bare shell, which every drawing starts from.
    pub(super) fn bare(scene: &Scene<'a>, title: &str) -> Self {
        Self {
            title: title.to_owned(),
            description: format!(
                "{} panels, {} members, {} feet",
                scene.results.counts.panels, scene.results.counts.members, scene.results.counts.feet
            ),
            note: String::new(),
            legend: Vec::new(),
            moved: None,
            fills: vec![Some((Tint::Panel, 0.5)); scene.corners.len()],
            classes: vec![vec![Pen::solid(Tint::Ink, 1.2)]],
            class_of: vec![0; scene.ends.len()],
            arrows: Vec::new(),
            labels: Vec::new(),
            dimensions: false,
            results: std::marker::PhantomData,
        }
    }

    /// Space kept round the shell for arrows and dimension lines.
    pub(super) fn margin(&self, view: View) -> f64 {
        let arrows = if self.arrows.is_empty() { 0.0 } else { 52.0 };
        let dimensions = if self.dimensions && view != View::Isometric { 44.0 } else { 12.0 };
        f64::max(arrows, dimensions)
    }

    pub(super) fn legend_line(&mut self, pens: Vec<Pen>, words: &str) {
        self.legend.push(Entry { mark: Mark::Line(pens), words: words.to_owned() });
    }

    pub(super) fn shape(scene: &Scene<'a>) -> Self {
        let mut layers = Self::bare(scene, "the shell");
        layers.dimensions = true;
        layers.classes.push(vec![Pen::solid(Tint::Ink, 2.2)]);
        for (class, member) in layers.class_of.iter_mut().zip(&scene.results.members) {
            *class = usize::from(member.kind != "seam");
        }
        layers
    }

    fn utilisation(scene: &Scene<'a>, options: &DrawOptions) -> Result<Self, DrawError> {
        let mut layers = Self::bare(scene, "how hard each timber is worked");
        let of = |n: usize| {
            let member = &scene.results.members[n];
            match &options.model {
                Some(model) => member.by_model.get(model),
                None => member.worst.as_ref(),
            }
            .map(|worst| worst.utilisation)
        };
        if (0..scene.ends.len()).all(|n| of(n).is_none()) {
            return Err(DrawError::Nothing {
                what: "utilisation",
                why: match &options.model {
                    Some(model) if scene.results.models.iter().any(|m| m.name == *model) => format!(
                        "the {model} model folds and has no figures; `--show mechanism` draws how, and `--model` another model"
                    ),
                    Some(model) => format!("no timber was checked in a model called `{}`", tame(model, 30)),
                    None => "no model could be solved; `--show mechanism` shows why".to_owned(),
                },
            });
        }
        layers.classes = (0..6).map(worked_pens).collect();
        layers.classes.push(vec![Pen::dashed(Tint::Soft, 1.0, &[1.5, 3.0])]);
        let mut used = [false; 7];
        for n in 0..scene.ends.len() {
            let class = match of(n).map(Tint::of_utilisation) {
                Some(Tint::Worked(step)) => usize::from(step),
                _ => 6,
            };
            layers.class_of[n] = class;
            used[class] = true;
        }
        for (step, words) in (0_u8..6).zip(worked_words()) {
            layers.legend_line(worked_pens(step), &words);
        }
        if used[6] {
            layers.legend_line(vec![Pen::dashed(Tint::Soft, 1.0, &[1.5, 3.0])], "not checked");
        }
        layers.note = match &options.model {
            Some(model) => format!("Worst check of each timber in the {model} model; 1.00 is the limit."),
            None => "Worst check of each timber over the models that count; 1.00 is the limit.".to_owned(),
        };
        let undrawn = crate::report::undrawn::undrawn(scene.results, options.model.as_deref());
        layers.note.push_str(&undrawn);
        let index: BTreeMap<&str, usize> =
            scene.results.members.iter().enumerate().map(|(n, m)| (m.id.as_str(), n)).collect();
        let worst: Vec<usize> = if options.model.is_some() {
            let mut all: Vec<usize> = (0..scene.ends.len()).filter(|&n| of(n).is_some()).collect();
            all.sort_by(|&a, &b| of(b).unwrap_or(0.0).total_cmp(&of(a).unwrap_or(0.0)));
            all
        } else {
            let alike = crate::report::alike::together(&scene.results.worst_list);
            let timbers = alike.iter().map(|group| group.first).filter(|item| item.what == "timber");
            timbers.filter_map(|item| index.get(item.id.as_str()).copied()).collect()
        };
        for &member in worst.iter().take(5) {
            let Some(value) = of(member) else { continue };
            layers.labels.push(Label {
                at: Place::Member(member),
                words: format!("{} {}", tame(&scene.results.members[member].id, 16), utilisation(value)),
                bold: true,
                tint: Tint::Ink,
            });
        }
        if let Some((first, value)) = worst.first().and_then(|&n| Some((&scene.results.members[n], of(n)?))) {
            let known =
                scene.results.worst_list.iter().find(|item| item.what == "timber" && item.id == first.id);
            let place = known.map_or_else(String::new, |item| format!(", {},", item.place));
            layers.description = format!(
                "The hardest worked timber is {}{place} at {}",
                tame(&first.id, 20),
                of_its(value, "limit")
            );
            if !undrawn.is_empty() {
                layers.description = format!("{}.{}", layers.description, undrawn.trim_end_matches('.'));
            }
        }
        Ok(layers)
    }

    /// The model to read forces from: the one asked for, or the one of the verdict, or the first.
    fn model_with<'m, T>(
        scene: &'m Scene<'a>,
        options: &DrawOptions,
        of: impl Fn(usize) -> &'m BTreeMap<String, T>,
    ) -> Option<String>
    where
        T: 'm,
        'a: 'm,
    {
        let wanted = options.model.clone().unwrap_or_else(|| scene.results.verdict_model.clone());
        let maps = || (0..scene.ends.len()).map(&of);
        if maps().any(|map| map.contains_key(&wanted)) {
            return Some(wanted);
        }
        if options.model.is_some() {
            return None;
        }
        maps().find_map(|map| map.keys().next().cloned())
    }

    /// Five classes by share of the largest, thin to thick.
    fn graded(&mut self, values: &[Option<f64>], pen: impl Fn(f64, bool) -> Pen, largest: f64) {
        self.classes = Vec::new();
        for sign in [false, true] {
            for step in 0..5_u8 {
                self.classes.push(vec![pen(0.9 + 1.15 * f64::from(step), sign)]);
            }
        }
        self.classes.push(vec![Pen::dashed(Tint::Soft, 0.9, &[1.5, 3.0])]);
        for (class, value) in self.class_of.iter_mut().zip(values) {
            *class = match value {
                Some(value) if largest > 0.0 && value.is_finite() => {
                    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to 4")]
                    let step = (value.abs() / largest * 5.0).floor().clamp(0.0, 4.0) as usize;
                    step + if *value > 0.0 { 5 } else { 0 }
                }
                Some(_) => 0,
                None => 10,
            };
        }
    }

    fn axial(scene: &Scene<'a>, show: Printer, options: &DrawOptions) -> Result<Self, DrawError> {
        let members = &scene.results.members;
        let Some(model) = Self::model_with(scene, options, |n| &members[n].axial) else {
            return Err(nothing("axial force", options));
        };
        let mut layers = Self::bare(scene, "greatest axial force");
        let values: Vec<Option<f64>> = members
            .iter()
            .map(|m| m.axial.get(&model).map(|[low, high]| if low.abs() > high.abs() { *low } else { *high }))
            .collect();
        let largest = values.iter().flatten().map(|v| v.abs()).fold(0.0, f64::max);
        let pen = |width: f64, pulled: bool| {
            if pulled { Pen::dashed(Tint::Pull, width, &[7.0, 3.0]) } else { Pen::solid(Tint::Push, width) }
        };
        layers.graded(&values, pen, largest);
        layers.legend_line(vec![pen(5.5, false)], &format!("pushed, {}", show.force(largest)));
        layers.legend_line(vec![pen(3.2, false)], "pushed, half of that");
        layers.legend_line(vec![pen(5.5, true)], "pulled");
        layers.note = format!(
            "Of the whole member (all its strips), over the strength combinations, {model} model. Width by \
             force; the widest is {}.",
            show.force(largest)
        );
        layers.description = layers.note.clone();
        layers.label_largest(members.len(), &values, |v| show.force(v));
        Ok(layers)
    }

    fn moment(scene: &Scene<'a>, show: Printer, options: &DrawOptions) -> Result<Self, DrawError> {
        let members = &scene.results.members;
        let Some(model) = Self::model_with(scene, options, |n| &members[n].moment) else {
            return Err(nothing("bending moment", options));
        };
        let mut layers = Self::bare(scene, "greatest bending out of the surface");
        let values: Vec<Option<f64>> =
            members.iter().map(|m| m.moment.get(&model).map(|v| -v.abs())).collect();
        let largest = values.iter().flatten().map(|v| v.abs()).fold(0.0, f64::max);
        let say = |v: f64| format!("{} {}", show.moment_bare(v.abs()), show.moment_unit());
        layers.graded(&values, |width, _| Pen::solid(Tint::Moved, width), largest);
        layers.legend_line(vec![Pen::solid(Tint::Moved, 5.5)], &say(largest));
        layers.legend_line(vec![Pen::solid(Tint::Moved, 3.2)], &format!("about {}", say(largest / 2.0)));
        layers.note = format!(
            "Of the whole member (all its strips), over the strength combinations, {model} model. Width by \
             moment; the widest is {}.",
            say(largest)
        );
        layers.description = layers.note.clone();
        layers.label_largest(members.len(), &values, say);
        Ok(layers)
    }

    /// Names the members of the four largest values; those of one printed value share a label.
    fn label_largest(&mut self, count: usize, values: &[Option<f64>], say: impl Fn(f64) -> String) {
        let mut order: Vec<usize> = (0..count).filter(|&n| values[n].is_some()).collect();
        order.sort_by(|&a, &b| {
            let size = |n: usize| values[n].unwrap_or(0.0).abs();
            size(b).total_cmp(&size(a))
        });
        let mut groups: Vec<(String, Vec<usize>)> = Vec::new();
        for n in order {
            let Some(value) = values[n] else { continue };
            let words = say(value);
            if let Some((_, alike)) = groups.iter_mut().find(|(known, _)| *known == words) {
                alike.push(n);
            } else if groups.len() < 4 {
                groups.push((words, vec![n]));
            } else {
                break;
            }
        }
        for (words, alike) in groups {
            self.labels.push(Label { at: Place::OneOf(alike), words, bold: true, tint: Tint::Ink });
        }
    }

    fn case(scene: &Scene<'a>, show: Printer, name: &str) -> Result<Self, DrawError> {
        let cases = &scene.results.cases;
        let Some(case) = cases.iter().find(|case| case.name == name) else {
            let known: Vec<&str> = cases.iter().map(|case| case.name.as_str()).collect();
            return Err(DrawError::Unknown {
                what: "load case",
                given: tame(name, 60),
                known: known.join("; "),
            });
        };
        let mut layers = Self::bare(scene, &tame(&case.name, 80));
        let traction = |n: usize| case.panel_traction.get(n).map_or_else(Vec3::zeros, |t| Vec3::from(*t));
        let largest = (0..scene.corners.len()).map(|n| traction(n).norm()).fold(0.0, f64::max);
        let total = Vec3::from(case.applied).norm();
        layers.note = format!(
            "Resultant {}, {}.",
            show.force(total),
            if largest > 0.0 {
                format!("up to {} of true surface; not multiplied by any factor", show.pressure(largest))
            } else {
                "on joints or timbers, as its name says, so no arrows are drawn; not multiplied by any factor"
                    .to_owned()
            }
        );
        layers.description = layers.note.clone();
        if largest > 0.0 {
            layers.load_arrows(scene, case, largest);
        }
        layers.classes = vec![vec![Pen::solid(Tint::Soft, 1.0)]];
        Ok(layers)
    }

    fn load_arrows(&mut self, scene: &Scene<'a>, case: &CaseResult, largest: f64) {
        let reach = 0.11 * scene.extent();
        let stride = scene.corners.len().div_ceil(170).max(1);
        let mut seen = [false; 2];
        for (n, traction) in case.panel_traction.iter().enumerate().take(scene.corners.len()) {
            let traction = Vec3::from(*traction);
            let share = traction.norm() / largest;
            if share <= 1e-3 || !share.is_finite() {
                self.fills[n] = Some((Tint::Panel, 0.35));
                continue;
            }
            let presses = traction.dot(&scene.normals[n]) <= 0.0;
            let tint = if presses { Tint::Load } else { Tint::Suction };
            seen[usize::from(!presses)] = true;
            self.fills[n] = Some((tint, 0.12 + 0.43 * share));
            if n % stride == 0 {
                self.arrows.push(Arrow {
                    at: scene.panel_centre(n),
                    by: traction / largest * reach,
                    pushes: presses,
                    pen: Pen::solid(tint, 1.3),
                });
            }
        }
        for (seen, tint, words) in
            [(seen[0], Tint::Load, "presses on the surface"), (seen[1], Tint::Suction, "pulls away from it")]
        {
            if seen {
                self.legend.push(Entry { mark: Mark::Arrow(Pen::solid(tint, 1.3)), words: words.to_owned() });
                self.legend
                    .push(Entry { mark: Mark::Fill(tint, 0.55), words: "greatest intensity".to_owned() });
            }
        }
    }
}

pub(super) fn nothing(what: &'static str, options: &DrawOptions) -> DrawError {
    DrawError::Nothing {
        what,
        why: match &options.model {
            Some(model) => format!("the results of a model called `{}` hold none", tame(model, 30)),
            None => "no model could be solved".to_owned(),
        },
    }
}
