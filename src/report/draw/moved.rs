//! Shapes that move, and what the feet are to hold.

use std::collections::BTreeMap;

use super::layers::{Arrow, Label, Layers, Place, nothing};
use super::legend::{Entry, Mark};
use super::scene::Scene;
use super::{DrawError, DrawOptions, View};
use crate::assess::held_feet::TELLING;
use crate::assess::results::{FootResult, ModelResult};
use crate::report::picture::{Pen, tint::Tint};
use crate::report::show::{Printer, capital, figures, tame};
use crate::vector::Vec3;

/// Feet up to which all figures of each stand on the drawing; of more of them there is room for three.
const FULLY_TOLD: usize = 16;

impl<'a> Layers<'a> {
    /// The model whose shape is drawn: the one asked for, else the one of the verdict, else the first
    /// that has one.
    fn shape_of<'m, T>(
        scene: &Scene<'m>,
        options: &DrawOptions,
        of: impl Fn(&'m ModelResult) -> Option<T>,
    ) -> Option<(&'m ModelResult, T)> {
        let models = &scene.results.models;
        if let Some(name) = &options.model {
            return models.iter().find(|m| &m.name == name).and_then(|m| of(m).map(|shape| (m, shape)));
        }
        let verdict = models.iter().filter(|m| m.name == scene.results.verdict_model);
        verdict.chain(models.iter()).find_map(|m| of(m).map(|shape| (m, shape)))
    }

    /// The shell in its moved shape, in heavier lines over itself; gives how many times enlarged.
    fn moved(&mut self, scene: &Scene<'a>, shape: &[[f64; 3]]) -> f64 {
        let largest = shape.iter().map(|by| Vec3::from(*by).norm()).fold(0.0, f64::max);
        let wanted = if largest > 0.0 { 0.075 * scene.extent() / largest } else { 1.0 };
        let times = round_factor(wanted);
        let none = [0.0; 3];
        self.moved =
            Some((0..scene.at.len()).map(|n| Vec3::from(*shape.get(n).unwrap_or(&none)) * times).collect());
        self.fills = vec![None; scene.corners.len()];
        self.classes = vec![vec![Pen::solid(Tint::Moved, 1.9)]];
        self.legend_line(vec![Pen::solid(Tint::Moved, 1.9)], "moved");
        self.legend_line(vec![Pen::dashed(Tint::Soft, 0.8, &[3.0, 3.0])], "as built");
        times
    }

    pub(super) fn sag(scene: &Scene<'a>, show: Printer, options: &DrawOptions) -> Result<Self, DrawError> {
        let Some((model, sag)) = Self::shape_of(scene, options, |m| m.sag.as_ref()) else {
            return Err(nothing("sag", options));
        };
        let mut layers = Self::bare(scene, "movement under service load");
        let times = layers.moved(scene, &sag.shape);
        layers.note = format!(
            "{} model, {}. Greatest sag {} at {}; greatest sway {}{}. Drawn {} times as large.",
            capital(&model.name),
            tame(&sag.combination, 300),
            show.linear_movement(sag.sag, scene.results.size.span),
            tame(&sag.joint, 20),
            show.linear_movement(sag.sway, scene.results.size.span),
            if sag.sway_combination == sag.combination {
                String::new()
            } else {
                format!(" under {}", tame(&sag.sway_combination, 300))
            },
            figures(times, 2, 1)
        );
        layers.description = layers.note.clone();
        if let Some(joint) = scene.results.joints.iter().position(|j| j.id == sag.joint) {
            layers.labels.push(Label {
                at: Place::Joint(joint),
                words: show.movement(sag.sag),
                bold: true,
                tint: Tint::Moved,
            });
        }
        Ok(layers)
    }

    pub(super) fn buckling(scene: &Scene<'a>, options: &DrawOptions) -> Result<Self, DrawError> {
        let of = |m: &'a ModelResult| m.buckling.as_ref().filter(|b| !b.shape.is_empty());
        let Some((model, buckling)) = Self::shape_of(scene, options, of) else {
            return Err(nothing("a buckling shape", options));
        };
        let mut layers = Self::bare(scene, "lowest buckling shape");
        layers.moved(scene, &buckling.shape);
        let factor =
            buckling.factor.map_or_else(|| "none found".to_owned(), crate::report::show::buckling_factor);
        layers.note = format!(
            "{} model, {}. Linear factor {factor}, which flatters. The shape has no scale of its own.",
            capital(&model.name),
            tame(&buckling.combination, 300)
        );
        layers.description = layers.note.clone();
        Ok(layers)
    }

    pub(super) fn mechanism(scene: &Scene<'a>, options: &DrawOptions) -> Result<Self, DrawError> {
        let Some((model, mechanism)) = Self::shape_of(scene, options, |m| m.mechanism_shapes.first()) else {
            return Err(DrawError::Nothing { what: "a mechanism", why: "no model has one".to_owned() });
        };
        let mut layers = Self::bare(scene, "a motion that meets no stiffness");
        layers.moved(scene, &mechanism.shape);
        layers.note = format!(
            "{} model, {} in all. {} What would stop it: {}.",
            capital(&model.name),
            if model.mechanisms == 1 {
                "1 mechanism".to_owned()
            } else {
                format!("{} mechanisms", model.mechanisms)
            },
            mechanism.words,
            mechanism.remedy
        );
        layers.description = layers.note.clone();
        Ok(layers)
    }

    pub(super) fn reactions(scene: &Scene<'a>, show: Printer, view: View) -> Result<Self, DrawError> {
        let feet = &scene.results.feet;
        if feet.is_empty() {
            // Noughts would read as feet that hold nothing.
            return Err(DrawError::Nothing {
                what: "what the feet are to hold",
                why: "no model could be solved; `--show mechanism` shows why".to_owned(),
            });
        }
        let mut layers = Self::bare(scene, "what the feet are to hold");
        let of_one = |f: &FootResult| f.uplift.max(f.down).max(f.outward).max(f.inward).max(f.along);
        let largest = feet.iter().map(of_one).fold(0.0, f64::max);
        let reach = 0.1 * scene.extent() / if largest > 0.0 { largest } else { 1.0 };
        let index: BTreeMap<&str, usize> =
            scene.results.joints.iter().enumerate().map(|(n, j)| (j.id.as_str(), n)).collect();
        let up = Pen::solid(Tint::Worked(5), 2.4);
        let down = Pen::solid(Tint::Ink, 1.6);
        let out = Pen::dashed(Tint::Push, 1.6, &[4.0, 2.0]);
        let inward = Pen::dashed(Tint::Pull, 1.6, &[1.5, 2.0]);
        let along = Pen::dashed(Tint::Moved, 1.6, &[7.0, 2.0, 1.5, 2.0]);
        let few = feet.len() <= 40;
        // On a sheet of four views long labels would leave the shell no room.
        let fully = feet.len() <= FULLY_TOLD && view != View::Sheet;
        for foot in feet {
            let Some(&joint) = index.get(foot.joint.as_str()) else { continue };
            let at = scene.at[joint];
            let (sin, cos) = crate::units::radians(foot.outward_deg).sin_cos();
            let outward = Vec3::new(cos, sin, 0.0);
            // It is known by its size alone, and may act either way.
            let aside = Vec3::new(-sin, cos, 0.0);
            for (by, pen) in [
                (Vec3::z() * foot.uplift * reach, &up),
                (-Vec3::z() * foot.down * reach, &down),
                (outward * foot.outward * reach, &out),
                (-outward * foot.inward * reach, &inward),
                (aside * foot.along * reach, &along),
                (-aside * foot.along * reach, &along),
            ] {
                layers.arrows.push(Arrow { at, by, pushes: false, pen: pen.clone() });
            }
            if few {
                let mut words = format!(
                    "{} ↑{} ↓{}",
                    tame(&foot.joint, 12),
                    show.force_bare(foot.uplift),
                    show.force_bare(foot.down)
                );
                if fully {
                    let [out, inward, along] =
                        [foot.outward, foot.inward, foot.along].map(|force| show.force_bare(force));
                    words.push_str(&format!(" →{out} ←{inward} ↔{along}"));
                }
                words.push_str(&format!(" ○{}", show.force_bare(foot.slide)));
                layers.labels.push(Label { at: Place::Joint(joint), words, bold: false, tint: Tint::Ink });
            }
        }
        layers.classes = vec![vec![Pen::solid(Tint::Soft, 1.0)]];
        for (pen, words) in [
            (up, "lift to hold down ↑"),
            (down, "push into the ground ↓"),
            (out, "push outward →"),
            (inward, "pull inward ←"),
            (along, "along the base line, either way ↔"),
        ] {
            layers.legend.push(Entry { mark: Mark::Arrow(pen), words: words.to_owned() });
        }
        layers.note = format!(
            "Greatest design value of each over the combinations, not all at once; figures in {}.{}",
            show.force_unit(),
            match few {
                _ if fully =>
                    " ○ is the level force of any way: out or in, and along, as they come together.",
                true =>
                    " ○ is the level force of any way. What acts outward, inward and along is drawn; its figures are in the \
                     tables.",
                false => " The figures are in the tables.",
            }
        );
        let most = feet.iter().reduce(|a, b| if b.moment > a.moment { b } else { a });
        if let Some(most) = most.filter(|foot| foot.moment >= TELLING) {
            layers.note.push_str(&format!(
                " Held against turning, a foot holds up to {} {} too ({}), which is not drawn.",
                show.moment_bare(most.moment),
                show.moment_unit(),
                tame(&most.joint, 20)
            ));
        }
        if let Some(worst) = feet.first() {
            layers.description = format!(
                "The foot that lifts most is {}: lift {}, push {}, outward {}, inward {}, along {}, level any way {}",
                tame(&worst.joint, 20),
                show.force(worst.uplift),
                show.force(worst.down),
                show.force(worst.outward),
                show.force(worst.inward),
                show.force(worst.along),
                show.force(worst.slide)
            );
        }
        if let Some(most) = feet.iter().reduce(|a, b| if b.slide > a.slide { b } else { a }) {
            layers.description.push_str(&format!(
                ". The greatest level force of any way is {} at {}",
                show.force(most.slide),
                tame(&most.joint, 20)
            ));
        }
        Ok(layers)
    }
}

/// The nearest of 1, 2, 5 times a power of ten below.
fn round_factor(wanted: f64) -> f64 {
    if !wanted.is_finite() || wanted <= 0.0 {
        return 1.0;
    }
    let power = 10_f64.powf(wanted.log10().floor());
    let lead = wanted / power;
    power
        * if lead >= 5.0 {
            5.0
        } else if lead >= 2.0 {
            2.0
        } else {
            1.0
        }
}
