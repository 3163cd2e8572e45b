//! What is worked hardest: everything that has a utilisation in one list.

use crate::assess::check::Found;
use crate::assess::fill::{finite, model_name};
use crate::assess::findings::Findings;
use crate::assess::results::WorstItem;
use crate::assess::{verdict, words};
use crate::shell::{JointId, MemberId};

impl Findings {
    /// The worst of everything over the governing models.
    pub(super) fn worst_list(&self) -> Vec<WorstItem> {
        let shell = &self.setup.shell;
        let mut out = Vec::new();
        for &k in &self.governing {
            let model = &self.models[k];
            let kind = model.run.model.kind;
            let name = model_name(kind);
            let mut push = |what: &str, i: usize, found: &Found| {
                out.push(WorstItem {
                    what: what.into(),
                    id: shell.members[i].name.clone(),
                    place: words::member_place(shell, MemberId(i)),
                    utilisation: finite(found.worst.utilisation),
                    rule: found.worst.rule.into(),
                    clause: found.worst.clause.into(),
                    combination: self.combination_name(found.combination),
                    model: name.into(),
                });
            };
            for (i, found) in model.timbers.worst.iter().enumerate() {
                if let Some(found) = found {
                    push("timber", i, found);
                }
            }
            for (i, found) in model.fixings.iter().enumerate() {
                if let Some(found) = found {
                    push("fixing", i, found);
                }
            }
            for (demand, found) in model.feet.iter().zip(&model.feet_found) {
                if let Some(worst) = &found.worst {
                    out.push(WorstItem {
                        what: "foot".into(),
                        id: shell.joints[demand.joint.0].name.clone(),
                        place: words::joint_place(shell, demand.joint),
                        utilisation: finite(worst.worst.utilisation),
                        rule: worst.worst.rule.into(),
                        clause: worst.worst.clause.into(),
                        combination: self.combination_name(worst.combination),
                        model: name.into(),
                    });
                }
            }
            if let (Some(factor), Some(i)) = (model.stability.factor, model.stability.combination) {
                out.push(WorstItem {
                    what: "shell".into(),
                    id: "whole".into(),
                    place: "the whole shell".into(),
                    utilisation: finite(1.0 / factor),
                    rule: words::BUCKLING.0.into(),
                    clause: words::BUCKLING.1.into(),
                    combination: self.combination_name(i),
                    model: name.into(),
                });
            }
            if let Some((limit, (rule, clause))) = verdict::met_as(model.limit.as_ref()) {
                out.push(WorstItem {
                    what: "shell".into(),
                    id: "whole".into(),
                    place: "the whole shell".into(),
                    utilisation: finite(1.0 / limit.factor),
                    rule: rule.into(),
                    clause: clause.into(),
                    combination: self.combination_name(limit.combination),
                    model: name.into(),
                });
            }
        }
        if let Some(found) = &self.snap
            && found.snap.force.is_some()
        {
            out.push(WorstItem {
                what: "joint".into(),
                id: shell.joints[found.joint].name.clone(),
                place: words::joint_place(shell, JointId(found.joint)),
                utilisation: finite(1.0 / found.snap.factor),
                rule: words::SNAP.0.into(),
                clause: words::SNAP.1.into(),
                combination: self.combination_name(found.combination),
                model: words::BARS_ALONE.into(),
            });
        }
        out.sort_by(|a, b| b.utilisation.total_cmp(&a.utilisation));
        // One line a thing: the worst model's.
        let mut seen = std::collections::BTreeSet::new();
        out.retain(|item| seen.insert((item.what.clone(), item.id.clone(), item.clause == words::LIMIT.1)));
        out
    }
}
