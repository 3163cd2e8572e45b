//! What a study keeps of one assessment.

use serde::Serialize;

use crate::assess::check::{Found, worst_of};
use crate::assess::fill::model_name;
use crate::assess::findings::{Findings, ModelFindings};
use crate::assess::results::Verdict;
use crate::assess::snap::SnapFound;
use crate::assess::{verdict, words};
use crate::shell::count::extents;
use crate::shell::{JointId, MemberId};

/// What is worked hardest, by name.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct First {
    /// "timber", "fixing", "foot", "joint" (its snap) or "shell".
    pub what: String,
    /// Its name: "s17", "j4", "whole".
    pub id: String,
    /// Where it is, in words.
    pub place: String,
    /// Demand over resistance; absent where no number says it (a mechanism).
    pub utilisation: Option<f64>,
    /// Plain words.
    pub rule: String,
    /// Clause.
    pub clause: String,
    /// Combination; empty for a mechanism.
    pub combination: String,
    /// Model.
    pub model: String,
}

impl First {
    /// "pinned model"; the snap of one joint is of no model.
    #[must_use]
    pub fn model_words(&self) -> String {
        if self.model == words::BARS_ALONE { self.model.clone() } else { format!("{} model", self.model) }
    }

    /// "fixing s59, end distance of the fixings".
    #[must_use]
    pub fn words(&self) -> String {
        if self.what == "shell" {
            self.rule.clone()
        } else {
            format!("{} {}, {}", self.what, self.id, self.rule)
        }
    }

    /// The same without the name of the part: "fixing: end distance of the fixings".
    #[must_use]
    pub fn kind(&self) -> String {
        if self.what == "shell" { self.rule.clone() } else { format!("{}: {}", self.what, self.rule) }
    }
}

/// One joint model of a row.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ModelRow {
    /// "pinned", "seam", "semi-rigid", "rigid".
    pub name: String,
    /// Whether the verdict is taken from it.
    pub governs: bool,
    /// Independent mechanisms.
    pub mechanisms: usize,
    /// Worst of timbers, fixings, feet and buckling; absent for a mechanism, and beyond every limit of
    /// validity.
    pub worst: Option<f64>,
    /// Worst timber; absent for a mechanism.
    pub timber: Option<f64>,
    /// What governs.
    pub first: Option<First>,
    /// Lowest linear buckling factor; absent where nothing buckles.
    pub buckling: Option<f64>,
    /// Factor at the limit of the nonlinear path, or as far as it was followed; absent for a mechanism.
    pub limit: Option<f64>,
    /// Whether that factor counts: a limit, or where a search was lost, and not the end of a path that met none.
    pub limit_met: bool,
    /// Greatest sag at once under service loads \[m\].
    pub sag: Option<f64>,
    /// Verdict of this model alone.
    pub verdict: Verdict,
}

/// What one variation of a project comes to.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Row {
    /// The verdict.
    pub verdict: Verdict,
    /// Whether only stiffer seams keep it within.
    pub rests_on_seams: bool,
    /// Whether it is not over only because feet are held against turning, by a moment that was compared with nothing.
    pub rests_on_feet: bool,
    /// What else keeps the verdict from being better than near.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub doubts: Vec<String>,
    /// Worst of the models that the verdict is taken from, and of the snap of one joint; absent
    /// for a mechanism.
    pub worst: Option<f64>,
    /// What governs there.
    pub first: Option<First>,
    /// Greatest sag at once in those models \[m\]; absent where one of them is a mechanism, which sags without end.
    pub sag: Option<f64>,
    /// Span of the shell between its outermost joints \[m\], which a sag is read against.
    pub span: f64,
    /// Lowest buckling factor in those models; absent where one of them is a mechanism, which no load makes buckle.
    pub buckling: Option<f64>,
    /// Greatest lift of a foot in those models, design value \[N\]; absent where one of them is a mechanism.
    pub uplift: Option<f64>,
    /// Every model, softest first.
    pub models: Vec<ModelRow>,
}

impl Row {
    /// Whether nothing is over its limit or unstable.
    #[must_use]
    pub fn holds(&self) -> bool {
        verdict::holds(self.verdict)
    }

    /// Lowest limit of the nonlinear paths in the models that the verdict is taken from, where one was met.
    #[must_use]
    pub fn limit(&self) -> Option<f64> {
        // As with the linear factor, a mechanism has none, and the figure of another model would not be its own.
        if self.models.iter().any(|m| m.governs && m.mechanisms > 0) {
            return None;
        }
        self.models.iter().filter(|m| m.governs && m.limit_met).filter_map(|m| m.limit).reduce(f64::min)
    }

    /// Times the loads at which the whole gives way: the lower of linear factor and path.
    #[must_use]
    pub fn gives_way(&self) -> Option<f64> {
        self.buckling.into_iter().chain(self.limit()).reduce(f64::min)
    }

    /// The same, and no more than paths were followed to that met no limit: beyond, the linear factor alone flatters.
    #[must_use]
    pub fn gives_way_as_followed(&self) -> Option<f64> {
        self.gives_way().map(|factor| self.followed_to().map_or(factor, |end| factor.min(end)))
    }

    /// Times the loads up to which paths were followed that met no limit, of the models that the verdict is taken from; beyond it the linear
    /// factor stands alone, and flatters.
    #[must_use]
    pub fn followed_to(&self) -> Option<f64> {
        self.models.iter().filter(|m| m.governs && !m.limit_met).filter_map(|m| m.limit).reduce(f64::min)
    }

    /// What governs, in words.
    #[must_use]
    pub fn governs(&self) -> String {
        self.first.as_ref().map_or_else(|| "nothing is checked".to_owned(), First::words)
    }
}

fn number(value: f64) -> Option<f64> {
    value.is_finite().then_some(value)
}

/// What gives first in the seam model, a part and a rule, for tests.
#[cfg(test)]
pub(crate) fn first_by_hand(what: &str, rule: &str) -> First {
    First {
        what: what.to_owned(),
        id: "s1".to_owned(),
        place: String::new(),
        utilisation: None,
        rule: rule.to_owned(),
        clause: String::new(),
        combination: String::new(),
        model: "seam".to_owned(),
    }
}

/// A row of a verdict and what gives, with nothing else in it, for tests.
#[cfg(test)]
pub(crate) fn by_hand(verdict: Verdict, first: First) -> Row {
    Row {
        verdict,
        rests_on_seams: false,
        rests_on_feet: false,
        doubts: Vec::new(),
        worst: None,
        first: Some(first),
        sag: None,
        span: 4.0,
        buckling: None,
        uplift: Some(0.0),
        models: Vec::new(),
    }
}

/// Takes from an assessment what a row needs.
#[must_use]
pub fn row(found: &Findings) -> Row {
    let models: Vec<ModelRow> = found
        .models
        .iter()
        .enumerate()
        .map(|(i, model)| model_row(found, model, found.governing.contains(&i)))
        .collect();
    let governing = || found.governing.iter().map(|&i| &models[i]);
    // The model with the worst verdict, then the worst utilisation, says what governs.
    let decisive = governing().max_by(|a, b| {
        let rank = |m: &ModelRow| m.worst.unwrap_or(f64::INFINITY);
        a.verdict.cmp(&b.verdict).then(rank(a).total_cmp(&rank(b)))
    });
    let worst = found.governing.iter().map(|&i| found.models[i].worst).fold(0.0_f64, f64::max);
    // The snap of one joint belongs to no model and counts in the verdict all the same.
    let snap = found.snap.as_ref().filter(|s| s.utilisation() > worst);
    let worst = snap.map_or(worst, |s| s.utilisation());
    // Where a model that counts is a mechanism, the figures of another would stand beside a verdict that is not theirs.
    let solved = governing().all(|model| model.mechanisms == 0);
    Row {
        verdict: found.verdict,
        rests_on_seams: found.rests_on_seams,
        rests_on_feet: found.rests_on_feet,
        doubts: found.doubts(),
        worst: number(worst),
        first: snap.map(|s| snap_first(found, s)).or_else(|| decisive.and_then(|m| m.first.clone())),
        sag: governing().filter(|_| solved).filter_map(|m| m.sag).reduce(f64::max),
        span: extents(&found.setup.shell).across,
        buckling: governing().filter(|_| solved).filter_map(|m| m.buckling).reduce(f64::min),
        uplift: solved.then(|| {
            let feet = found.governing.iter().flat_map(|&i| &found.models[i].feet);
            feet.map(|foot| foot.uplift.value).fold(0.0, f64::max)
        }),
        models,
    }
}

fn snap_first(found: &Findings, snap: &SnapFound) -> First {
    let shell = &found.setup.shell;
    First {
        what: "joint".to_owned(),
        id: shell.joints[snap.joint].name.clone(),
        place: words::joint_place(shell, JointId(snap.joint)),
        utilisation: number(snap.utilisation()),
        rule: words::SNAP.0.to_owned(),
        clause: words::SNAP.1.to_owned(),
        combination: found.setup.combinations[snap.combination].name.clone(),
        model: words::BARS_ALONE.to_owned(),
    }
}

fn model_row(found: &Findings, model: &ModelFindings, governs: bool) -> ModelRow {
    let timber = worst_of(&model.timbers.worst).map(|(_, f)| f.worst.utilisation);
    ModelRow {
        name: model_name(model.run.model.kind).to_owned(),
        governs,
        mechanisms: model.run.solver.mechanisms().len(),
        worst: number(model.worst),
        timber: timber.and_then(number),
        first: first(found, model),
        buckling: model.stability.factor,
        limit: model.limit.as_ref().map(|l| l.factor),
        limit_met: verdict::met(model.limit.as_ref()).is_some(),
        sag: model.sag.as_ref().map(|s| s.sag),
        verdict: model.verdict,
    }
}

/// What governs one model.
fn first(found: &Findings, model: &ModelFindings) -> Option<First> {
    let setup = &found.setup;
    let shell = &setup.shell;
    let name = model_name(model.run.model.kind);
    let combination = |i: usize| setup.combinations[i].name.clone();
    let whole = |rule: &str, clause: &str, utilisation: Option<f64>, combination: String| First {
        what: "shell".to_owned(),
        id: "whole".to_owned(),
        place: "the whole shell".to_owned(),
        utilisation,
        rule: rule.to_owned(),
        clause: clause.to_owned(),
        combination,
        model: name.to_owned(),
    };
    if model.run.is_mechanism() {
        let rule = "folds without resistance: the joints hold no shape";
        return Some(whole(rule, "a mechanism of the joint model", None, String::new()));
    }
    if let Some(&i) = model.lost.first() {
        let rule = "folds: no equilibrium with its imperfection";
        return Some(whole(rule, "second order, design stiffness", None, combination(i)));
    }
    let of = |what: &str, id: String, place: String, f: &Found| First {
        what: what.to_owned(),
        id,
        place,
        utilisation: number(f.worst.utilisation),
        rule: f.worst.rule.to_owned(),
        clause: f.worst.clause.to_owned(),
        combination: combination(f.combination),
        model: name.to_owned(),
    };
    let member = |what: &str, m: usize, f: &Found| {
        (
            f.worst.utilisation,
            of(what, shell.members[m].name.clone(), words::member_place(shell, MemberId(m)), f),
        )
    };
    let mut all: Vec<(f64, First)> = Vec::new();
    all.extend(worst_of(&model.timbers.worst).map(|(m, f)| member("timber", m, f)));
    all.extend(worst_of(&model.fixings).map(|(m, f)| member("fixing", m, f)));
    all.extend(model.feet.iter().zip(&model.feet_found).filter_map(|(foot, one)| {
        let f = one.worst.as_ref()?;
        let joint = shell.joints[foot.joint.0].name.clone();
        Some((f.worst.utilisation, of("foot", joint, words::joint_place(shell, foot.joint), f)))
    }));
    if let (Some(factor), Some(i)) = (model.stability.factor, model.stability.combination) {
        let (rule, clause) = words::BUCKLING;
        all.push((1.0 / factor, whole(rule, clause, number(1.0 / factor), combination(i))));
    }
    if let Some((limit, (rule, clause))) = verdict::met_as(model.limit.as_ref()) {
        let u = 1.0 / limit.factor;
        all.push((u, whole(rule, clause, number(u), combination(limit.combination))));
    }
    // Of equals the one named first stays.
    all.into_iter().reduce(|a, b| if b.0 > a.0 { b } else { a }).map(|(_, first)| first)
}
