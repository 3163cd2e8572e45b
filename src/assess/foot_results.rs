//! What is told of every foot: the greatest that the governing models ask of it, and each model's own.

use std::collections::BTreeMap;

use crate::assess::feet::{FootPeaks, Peak};
use crate::assess::fill::{finite, model_name};
use crate::assess::findings::{Findings, ModelFindings};
use crate::assess::results::{FootInModel, FootResult, WorstAt};
use crate::model::ask::JointModel;
use crate::shell::JointId;

impl Findings {
    /// Feet over the governing models, greatest lift first; none where every model is a mechanism: their noughts would read as
    /// feet that hold nothing.
    pub(super) fn feet(&self) -> Vec<FootResult> {
        let Some(first) = self.foot_models().first().copied() else { return Vec::new() };
        let mut out: Vec<FootResult> = (0..first.feet.len()).map(|f| self.foot(f)).collect();
        out.sort_by(|a, b| b.uplift.total_cmp(&a.uplift).then(b.slide.total_cmp(&a.slide)));
        out
    }

    fn foot(&self, f: usize) -> FootResult {
        let solvable: Vec<&ModelFindings> = self.foot_models();
        let mut combination = BTreeMap::new();
        let mut from_model = BTreeMap::new();
        let mut take = |key: &str, of: fn(&FootPeaks) -> Peak| {
            let mut best: Option<(f64, usize, JointModel)> = None;
            for model in &solvable {
                let peak = of(&model.feet[f]);
                if best.is_none_or(|b| peak.value > b.0) {
                    best = Some((peak.value, peak.combination, model.run.model.kind));
                }
            }
            let (value, i, kind) = best.unwrap_or((0.0, 0, JointModel::Pinned));
            if value > 0.0 {
                combination.insert(key.to_string(), self.combination_name(i));
                from_model.insert(key.to_string(), model_name(kind).to_string());
            }
            value
        };
        let uplift = take("uplift", |d| d.uplift);
        let down = take("down", |d| d.down);
        let slide = take("slide", |d| d.slide);
        let outward = take("outward", |d| d.outward);
        let inward = take("inward", |d| d.inward);
        let along = take("along", |d| d.along);
        let moment = take("moment", |d| d.moment);
        let joint: JointId = self.models[0].feet[f].joint;
        let away = self.models[0].feet[f].outward_direction;
        let greatest = |of: fn(&crate::assess::feet_check::FootFound) -> Option<f64>| {
            solvable
                .iter()
                .filter_map(|m| m.feet_found.get(f).and_then(of))
                .fold(None, |best: Option<f64>, v| Some(best.map_or(v, |b| b.max(v))))
        };
        FootResult {
            joint: self.setup.shell.joints[joint.0].name.clone(),
            uplift,
            down,
            slide,
            outward,
            inward,
            outward_deg: crate::units::degrees(away.y.atan2(away.x)),
            along,
            moment,
            combination,
            model: from_model,
            uplift_utilisation: greatest(|c| c.uplift).map(finite),
            slide_utilisation: greatest(|c| c.slide).map(finite),
            moment_utilisation: greatest(|c| c.moment).map(finite),
            worst: self.worst_of_foot(f),
            by_model: self.foot_by_model(f),
        }
    }

    /// The worst that a foot is checked for, over the models whose reactions count.
    fn worst_of_foot(&self, f: usize) -> Option<WorstAt> {
        self.foot_models()
            .into_iter()
            .filter_map(|model| {
                let found = model.feet_found.get(f)?.worst.as_ref()?;
                Some((found, model.run.model.kind))
            })
            .reduce(|a, b| if b.0.worst.utilisation > a.0.worst.utilisation { b } else { a })
            .map(|(found, kind)| self.worst_at(found, kind, None))
    }

    fn foot_by_model(&self, f: usize) -> BTreeMap<String, FootInModel> {
        self.models
            .iter()
            .filter(|model| !model.run.is_mechanism())
            .map(|model| {
                let (kind, demand) = (model.run.model.kind, &model.feet[f]);
                let found = model.feet_found.get(f);
                let one = FootInModel {
                    uplift: demand.uplift.value,
                    down: demand.down.value,
                    slide: demand.slide.value,
                    outward: demand.outward.value,
                    inward: demand.inward.value,
                    along: demand.along.value,
                    moment: demand.moment.value,
                    uplift_utilisation: found.and_then(|c| c.uplift).map(finite),
                    slide_utilisation: found.and_then(|c| c.slide).map(finite),
                    moment_utilisation: found.and_then(|c| c.moment).map(finite),
                    worst: found.and_then(|c| c.worst.as_ref()).map(|w| self.worst_at(w, kind, None)),
                };
                (model_name(kind).to_owned(), one)
            })
            .collect()
    }

    /// The models whose reactions count: the governing ones that are no mechanism, or any that is
    /// not where all the governing ones are.
    fn foot_models(&self) -> Vec<&ModelFindings> {
        let governing: Vec<&ModelFindings> =
            self.governing.iter().map(|&i| &self.models[i]).filter(|m| !m.run.is_mechanism()).collect();
        if governing.is_empty() {
            self.models.iter().filter(|m| !m.run.is_mechanism()).collect()
        } else {
            governing
        }
    }
}
