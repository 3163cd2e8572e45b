//! What the shell is made of: its seams, the kinds of its panels, and what joints and members are called.

use std::collections::BTreeMap;
use std::fmt::Write;

use super::layers::{Label, Layers, Place};
use super::legend::{Entry, Mark};
use super::scene::Scene;
use crate::report::picture::{Pen, tint::Tint};
use crate::report::show::tame;

/// Kinds that a legend has room for.
const KINDS_IN_LEGEND: usize = 48;

impl<'a> Layers<'a> {
    pub(super) fn seams(scene: &Scene<'a>) -> Self {
        let mut layers = Self::bare(scene, "ridge and valley seams");
        let pens = [
            (Pen::solid(Tint::Ridge, 2.2), "ridge seam (folds outward)"),
            (Pen::dashed(Tint::Valley, 2.6, &[8.0, 4.0]), "valley seam (folds inward)"),
            (Pen::solid(Tint::Soft, 1.0), "flat seam (fold under half a degree)"),
            (Pen::solid(Tint::Ink, 3.4), "rim"),
            (Pen::dashed(Tint::Ink, 2.0, &[2.0, 2.5]), "bar of no panel"),
        ];
        let mut used = [false; 5];
        for (class, member) in layers.class_of.iter_mut().zip(&scene.results.members) {
            *class = match member.kind.as_str() {
                "rim" => 3,
                "bar" => 4,
                _ if member.fold_deg.abs() < 0.5 => 2,
                _ if member.fold_deg < 0.0 => 1,
                _ => 0,
            };
            used[*class] = true;
        }
        layers.classes = pens.iter().map(|(pen, _)| vec![pen.clone()]).collect();
        for ((pen, words), used) in pens.into_iter().zip(used) {
            if used {
                layers.legend_line(vec![pen], words);
            }
        }
        let counts = &scene.results.counts;
        layers.description = format!(
            "{} ridge seams, {} valley seams, {} rims",
            counts.ridge_seams, counts.valley_seams, counts.rims
        );
        layers
    }

    pub(super) fn panels(scene: &Scene<'a>) -> Self {
        let mut layers = Self::bare(scene, "kinds of panel");
        let kinds = &scene.results.panel_kinds;
        let tint = |n: usize| Tint::Kind(u8::try_from(n % 8).unwrap_or(7));
        let index: BTreeMap<&str, usize> =
            kinds.iter().enumerate().map(|(n, k)| (k.id.as_str(), n)).collect();
        let few = scene.corners.len() <= 420;
        for (n, panel) in scene.results.panels.iter().enumerate() {
            let Some(&kind) = index.get(panel.kind.as_str()) else { continue };
            layers.fills[n] = Some((tint(kind), 0.9));
            if few {
                layers.labels.push(Label {
                    at: Place::Panel(n),
                    words: tame(&panel.kind, 8),
                    bold: false,
                    tint: Tint::Ink,
                });
            }
        }
        for (n, kind) in kinds.iter().enumerate().take(KINDS_IN_LEGEND) {
            let hand = if kind.hand == "either" { String::new() } else { format!(" {}", kind.hand) };
            layers.legend.push(Entry {
                mark: Mark::Fill(tint(n), 0.9),
                words: format!("{}{hand} × {}", tame(&kind.id, 8), kind.count),
            });
        }
        if kinds.len() > 8 {
            layers.note = "Eight fills serve in turn; the letters tell the kinds apart.".to_owned();
        }
        if let Some(kind) = kinds.get(KINDS_IN_LEGEND) {
            let _ = write!(
                layers.note,
                " {} more kinds, from {} on, are not counted here: the notes list them.",
                kinds.len() - KINDS_IN_LEGEND,
                tame(&kind.id, 8)
            );
        }
        layers.description = format!("{} kinds of panel", kinds.len());
        layers
    }

    /// Names; a surface that is laid out flat has no far side.
    pub(super) fn ids(scene: &Scene<'a>, flat: bool) -> Self {
        let mut layers = Self::bare(scene, "names of joints and members");
        for (n, joint) in scene.results.joints.iter().enumerate() {
            layers.labels.push(Label {
                at: Place::Joint(n),
                words: tame(&joint.id, 12),
                bold: true,
                tint: Tint::Push,
            });
        }
        for (n, member) in scene.results.members.iter().enumerate() {
            layers.labels.push(Label {
                at: Place::Member(n),
                words: tame(&member.id, 12),
                bold: false,
                tint: Tint::Ink,
            });
        }
        layers.classes = vec![vec![Pen::solid(Tint::Soft, 0.8)]];
        let far = if flat { "" } else { " The far side is not named." };
        layers.note = format!(
            "Bold brown: joints. Plain: members, in gaps of their lines or at the end of a dotted line.{far}"
        );
        layers
    }
}
