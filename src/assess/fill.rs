//! From findings to the results value: names for positions, words for numbers.

use std::collections::BTreeMap;

use rayon::prelude::{
    IndexedParallelIterator, IntoParallelIterator, IntoParallelRefIterator, ParallelIterator,
};

use crate::assess::buckling::further;
use crate::assess::check::{Found, worst_of};
use crate::assess::conditions::design_stiffness;
use crate::assess::findings::{Findings, ModelFindings};
use crate::assess::remarks::sentence;
use crate::assess::results::{
    Assessment, BarForcesResult, BucklingResult, CaseResult, CombinationResult, Counts, ForceResult,
    JointResult, MemberResult, ModelResult, PanelResult, SagResult, Size, WorstAt,
};
use crate::assess::{
    AssessError, Options, anchors, balance, cutting, left_out, notes, openings, snap, stages, verdict, words,
    workings,
};
use crate::loads::{CaseKind, Duration, LimitState};
use crate::model::ask::JointModel;
use crate::model::load;
use crate::project::Project;
use crate::section::forces::StripForces;
use crate::shell::count::{counts, extents, measures, other_than};
use crate::shell::{MemberId, MemberKind, PanelId};
use crate::vector::Vec3;

/// What stands for a number beyond every limit of validity, as documents have no infinity.
pub(crate) const INFINITE: f64 = 1e9;

/// A utilisation as printed: a number beyond every limit of validity is 10⁹.
pub(super) fn finite(utilisation: f64) -> f64 {
    if utilisation.is_finite() { utilisation } else { INFINITE }
}

/// Name of a joint model.
#[must_use]
pub fn model_name(kind: JointModel) -> &'static str {
    match kind {
        JointModel::Pinned => "pinned",
        JointModel::Seam => "seam",
        JointModel::SemiRigid => "semi-rigid",
        JointModel::Rigid => "rigid",
    }
}

/// Name of a limit state.
#[must_use]
pub fn state_name(state: LimitState) -> &'static str {
    match state {
        LimitState::Strength => "strength",
        LimitState::Uplift => "uplift",
        LimitState::Service => "service",
        LimitState::LongTerm => "long-term",
        LimitState::Accidental => "accidental",
    }
}

/// How long the shortest load of a combination lasts, in words.
pub(super) fn duration_words(duration: Duration) -> String {
    match duration {
        Duration::Permanent => "permanent".into(),
        Duration::LongTerm => "long-term".into(),
        Duration::MediumTerm => "medium-term".into(),
        Duration::ShortTerm => "short-term".into(),
        Duration::Instantaneous => "instantaneous".into(),
        Duration::LoadDurationFactor(cd) => format!("CD {cd}"),
        Duration::TimeEffectFactor(lambda) => format!("λ {lambda}"),
    }
}

fn three(v: Vec3) -> [f64; 3] {
    [v.x, v.y, v.z]
}

pub(super) fn force_result(f: &StripForces) -> ForceResult {
    ForceResult { n: f.n, vy: f.vy, vz: f.vz, t: f.t, my: f.my, mz: f.mz }
}

impl Findings {
    pub(super) fn combination_name(&self, i: usize) -> String {
        self.setup.combinations[i].name.clone()
    }

    /// A [`Found`] in words.
    pub(super) fn worst_at(&self, found: &Found, kind: JointModel, member: Option<usize>) -> WorstAt {
        WorstAt {
            utilisation: finite(found.worst.utilisation),
            rule: found.worst.rule.into(),
            clause: found.worst.clause.into(),
            combination: self.combination_name(found.combination),
            model: model_name(kind).into(),
            member: member.map(|m| self.setup.shell.members[m].name.clone()),
            at: found.x,
        }
    }

    pub(super) fn joints(&self) -> Vec<JointResult> {
        let joint =
            |j: &crate::shell::Joint| JointResult { id: j.name.clone(), at: three(j.at), foot: j.foot };
        self.setup.shell.joints.iter().map(joint).collect()
    }

    pub(super) fn panels(&self, kinds: &[String]) -> Vec<PanelResult> {
        let shell = &self.setup.shell;
        shell
            .panels
            .iter()
            .enumerate()
            .map(|(i, panel)| {
                let area = shell.area_vector(PanelId(i));
                let slope = (area.z / area.norm()).clamp(-1.0, 1.0).acos();
                PanelResult {
                    id: panel.name.clone(),
                    joints: panel.joints.iter().map(|j| shell.joints[j.0].name.clone()).collect(),
                    area: area.norm(),
                    slope_deg: slope.to_degrees(),
                    kind: kinds.get(i).cloned().unwrap_or_default(),
                }
            })
            .collect()
    }

    pub(super) fn members(&self, kinds: &[String]) -> Vec<MemberResult> {
        let shell = &self.setup.shell;
        (0..shell.members.len())
            .into_par_iter()
            .with_min_len(64)
            .map(|i| {
                let member = &shell.members[i];
                let timber = &self.setup.timbers[i];
                let mut by_model = BTreeMap::new();
                let mut axial = BTreeMap::new();
                let mut moment = BTreeMap::new();
                let mut worst: Option<(f64, WorstAt)> = None;
                let mut forces = None;
                let mut fixings: Option<(f64, WorstAt)> = None;
                for (k, model) in self.models.iter().enumerate() {
                    let kind = model.run.model.kind;
                    if model.run.is_mechanism() {
                        continue;
                    }
                    let name = model_name(kind).to_string();
                    axial.insert(name.clone(), model.timbers.axial[i]);
                    moment.insert(name.clone(), model.timbers.moment[i]);
                    let counts = self.governing.contains(&k);
                    if let Some(found) = &model.timbers.worst[i] {
                        let at = self.worst_at(found, kind, None);
                        by_model.insert(name, at.clone());
                        let beats = worst.as_ref().is_none_or(|w| found.worst.utilisation > w.0);
                        if counts && beats {
                            worst = Some((found.worst.utilisation, at));
                            forces = Some(force_result(&found.forces));
                        }
                    }
                    if let Some(found) = &model.fixings[i]
                        && counts
                        && fixings.as_ref().is_none_or(|w| found.worst.utilisation > w.0)
                    {
                        fixings = Some((found.worst.utilisation, self.worst_at(found, kind, None)));
                    }
                }
                MemberResult {
                    id: member.name.clone(),
                    joints: member.joints.map(|j| shell.joints[j.0].name.clone()),
                    kind: match member.kind {
                        MemberKind::Seam => "seam",
                        MemberKind::Rim => "rim",
                        MemberKind::Bar => "bar",
                    }
                    .into(),
                    role: words::role(member.role).into(),
                    length: shell.length(MemberId(i)),
                    fold_deg: member.fold.to_degrees(),
                    timber: kinds.get(i).cloned().unwrap_or_default(),
                    strips: timber.count,
                    breadth: timber.strip.breadth,
                    depth: timber.strip.depth,
                    area: timber.whole.area,
                    worst: worst.map(|w| w.1),
                    by_model,
                    axial,
                    moment,
                    forces,
                    fixings: fixings.map(|w| w.1),
                }
            })
            .collect()
    }

    pub(super) fn cases(&self) -> Vec<CaseResult> {
        let shell = &self.setup.shell;
        self.setup
            .cases
            .iter()
            .enumerate()
            .map(|(c, case)| {
                let applied = load::total(&self.setup.loads[c]);
                let mut reactions = BTreeMap::new();
                let mut residual = BTreeMap::new();
                for model in self.models.iter().filter(|m| !m.run.is_mechanism()) {
                    let name = model_name(model.run.model.kind).to_string();
                    let total = total_reaction(&model.run.responses[c].reactions);
                    let size = applied.norm().max(f64::MIN_POSITIVE);
                    residual.insert(name.clone(), (applied + total).norm() / size);
                    reactions.insert(name, three(total));
                }
                let mut panel_traction = vec![[0.0; 3]; shell.panels.len()];
                let mut intensity: Option<[f64; 2]> = None;
                let mut area = 0.0;
                for load in &case.panels {
                    for (a, b) in panel_traction[load.panel.0].iter_mut().zip(three(load.traction)) {
                        *a += b;
                    }
                    let panel = shell.area_vector(load.panel);
                    area += panel.norm();
                    let value = match case.kind {
                        // Pressure toward the surface is positive.
                        CaseKind::Wind => -load.traction.dot(&(panel / panel.norm())),
                        _ => load.traction.norm(),
                    };
                    let range = intensity.get_or_insert([value, value]);
                    *range = [range[0].min(value), range[1].max(value)];
                }
                CaseResult {
                    name: case.name.clone(),
                    kind: serde_name(case.kind).into(),
                    asked: three(case.asked),
                    applied: three(applied),
                    reactions,
                    residual,
                    intensity: intensity.unwrap_or_default(),
                    area,
                    panel_traction,
                    remarks: case.remarks.clone(),
                    provisional: case.provisional.clone(),
                }
            })
            .collect()
    }

    pub(super) fn combinations(&self) -> Vec<CombinationResult> {
        let setup = &self.setup;
        setup
            .combinations
            .iter()
            .map(|c| CombinationResult {
                name: c.name.clone(),
                state: state_name(c.state).into(),
                factors: c.terms.iter().map(|&(case, f)| (setup.cases[case.0].name.clone(), f)).collect(),
                duration: duration_words(c.duration),
                clause: c.clause.clone(),
            })
            .collect()
    }

    pub(super) fn model_results(&self) -> Vec<ModelResult> {
        (0..self.models.len()).map(|k| self.model_result(k)).collect()
    }

    fn model_result(&self, k: usize) -> ModelResult {
        let model = &self.models[k];
        let kind = model.run.model.kind;
        let setup = &self.setup;
        let worst = worst_of(&model.timbers.worst).map(|(m, found)| self.worst_at(found, kind, Some(m)));
        let worst_fixing = worst_of(&model.fixings).map(|(m, found)| self.worst_at(found, kind, Some(m)));
        ModelResult {
            name: model_name(kind).into(),
            stiffness: match kind {
                JointModel::Pinned => "no stiffness in the seams".into(),
                JointModel::Seam => setup.stiffness_words.clone(),
                JointModel::SemiRigid => {
                    format!("{:.3} kN·m/rad at every bar's end", setup.stiffness.end * 1e-3)
                }
                JointModel::Rigid => "joints that turn as one".into(),
            },
            governs: self.governing.contains(&k),
            mechanisms: model.run.solver.mechanisms().len(),
            mechanism_shapes: crate::assess::mechanism::describe(setup, &model.run),
            maxwell_count: crate::assess::mechanism::maxwell(&model.run),
            unknowns: model.run.solver.unknowns(),
            buckling: (!model.run.is_mechanism()).then(|| self.buckling_result(model)),
            doubts: model.doubts.iter().map(|words| sentence(words)).collect(),
            second_order: model.states.iter().any(|s| s.second_order.is_some()),
            sag: model.sag.as_ref().map(|s| SagResult {
                sag: s.sag,
                sag_final: s.sag_final,
                sway: s.sway,
                joint: setup.shell.joints[s.joint].name.clone(),
                combination: self.combination_name(s.combination),
                sway_combination: self.combination_name(s.sway_combination),
                shape: model.run.translations(&model.states[s.combination]),
            }),
            worst,
            worst_fixing,
            verdict: model.verdict,
            displacements: None,
            bar_forces: None,
        }
    }

    /// The lowest few factors of every model's worst combination.
    fn buckling_factors(&self, project: &Project) -> Result<Vec<Vec<f64>>, AssessError> {
        let setup = &self.setup;
        let design = design_stiffness(project, &setup.grade);
        let of = |model: &ModelFindings| match (model.stability.factor, model.stability.combination) {
            (Some(factor), Some(i)) => further(&model.run, &setup.combinations[i], design, factor),
            _ => Ok(Vec::new()),
        };
        self.models.par_iter().map(of).collect()
    }

    fn buckling_result(&self, model: &ModelFindings) -> BucklingResult {
        let stability = &model.stability;
        let limit = model.limit.as_ref();
        let path = limit.map(|l| (l, self.combination_name(l.combination)));
        let path = path
            .as_ref()
            .map(|(l, name)| (*l, (stability.combination != Some(l.combination)).then_some(name.as_str())));
        let reading = crate::assess::stability::reading(stability.factor, path, &model.lost);
        BucklingResult {
            factor: stability.factor,
            combination: stability.combination.map(|i| self.combination_name(i)).unwrap_or_default(),
            factors: stability.factor.into_iter().collect(),
            limit_factor: limit.map(|l| l.factor),
            limit_combination: limit.map(|l| self.combination_name(l.combination)),
            paths_followed: limit.map_or(0, |l| l.followed.len()),
            limit_reached: limit.is_some_and(|l| l.reached),
            limit_met: verdict::met(limit).is_some(),
            reading,
            shape: stability.shape.iter().map(|d| [d[0], d[1], d[2]]).collect(),
        }
    }
}

/// Total force of the ground on the frame \[N\].
pub(super) fn total_reaction(reactions: &[(crate::frame::NodeId, [f64; 6])]) -> Vec3 {
    reactions.iter().map(|(_, r)| Vec3::new(r[0], r[1], r[2])).sum()
}

fn serde_name(kind: CaseKind) -> &'static str {
    match kind {
        CaseKind::SelfWeight => "self",
        CaseKind::Cover => "cover",
        CaseKind::Snow => "snow",
        CaseKind::Wind => "wind",
        CaseKind::Imposed => "imposed",
        CaseKind::User => "user",
    }
}

/// The results value of a set of findings.
///
/// # Errors
/// As [`crate::assess::assess`].
pub fn results(project: &Project, found: &Findings, options: &Options) -> Result<Assessment, AssessError> {
    let setup = &found.setup;
    let shell = &setup.shell;
    // What takes long on a large shell, side by side.
    let ((cut, members, (panel_kinds, panel_of)), (worst_list, balance)) = rayon::join(
        || {
            let cut = cutting::timbers(project, setup);
            let (members, panels) =
                rayon::join(|| found.members(&cut.of_member), || cutting::panels(project, setup, &cut));
            (cut, members, panels)
        },
        || rayon::join(|| found.worst_list(), || balance::results(project, found)),
    );
    let mut models = found.model_results();
    for (result, factors) in models.iter_mut().zip(found.buckling_factors(project)?) {
        if let Some(buckling) = &mut result.buckling {
            buckling.factors = factors;
        }
    }
    if options.full {
        full(found, &mut models);
    }
    let (stages, of_stages): (Vec<_>, Vec<_>) = stages::results(project, found)?.into_iter().unzip();
    let stages_told = stages::told(&stages);
    let headline_parts = notes::headline(project, found, worst_list.first());
    let headline = [vec![headline_parts.whole()], stages_told.clone()].concat().join(" ");
    let counts = counts(shell);
    let measures = measures(shell);
    let extents = extents(shell);
    let volume: f64 =
        setup.timbers.iter().enumerate().map(|(m, t)| t.whole.area * shell.length(MemberId(m))).sum();
    let timber_length =
        setup.timbers.iter().enumerate().map(|(m, t)| t.count as f64 * shell.length(MemberId(m))).sum();
    Ok(Assessment {
        strutwise: env!("CARGO_PKG_VERSION").into(),
        project: project.name.clone(),
        basis: notes::basis_name(project.loads.basis).into(),
        units: notes::units_name(project.units).into(),
        indicative: words::INDICATIVE.into(),
        verdict: stages.iter().map(|stage| stage.verdict).fold(found.verdict, Ord::max),
        finished_verdict: found.verdict,
        verdict_model: notes::verdict_model(found),
        headline,
        headline_parts,
        rests_on_seams: found.rests_on_seams,
        rests_on_feet: found.rests_on_feet,
        doubts: found.doubts(),
        not_in_it: left_out::of(project),
        openings: openings::words(project, shell),
        ranges: None,
        counts: Counts {
            joints: shell.joints.len(),
            members: shell.members.len(),
            panels: shell.panels.len(),
            seams: counts.seams,
            rims: counts.rims,
            feet: counts.feet,
            ridge_seams: counts.ridge_seams,
            valley_seams: counts.valley_seams,
        },
        size: Size {
            span: extents.across,
            rise: extents.height,
            length: extents.along,
            span_of_curve: other_than(shell, extents.across, shell.outline.span),
            rise_of_curve: other_than(shell, extents.height, shell.outline.rise),
            length_of_curve: other_than(shell, extents.along, shell.outline.length),
            surface: measures.surface,
            floor: measures.floor,
            volume: measures.volume,
            timber_mass: volume * setup.material.density,
            timber_length,
        },
        joints: found.joints(),
        panels: found.panels(&panel_of),
        members,
        cases: found.cases(),
        combinations: found.combinations(),
        models,
        feet: found.feet(),
        balance,
        snap: snap::result(project, found),
        stages,
        workings: workings::workings(project, found, &worst_list, options.workings)?,
        worst_list,
        seam_curve: Vec::new(),
        reserves: Vec::new(),
        anchors: anchors::with_stages(found, of_stages),
        timbers: cut.kinds,
        panel_kinds,
        seam_fixings: cutting::seam_fixings(project, setup),
        inputs: notes::inputs(project, setup),
        assumptions: notes::assumptions(project, setup),
        hand_checks: found.hand_checks(project),
        not_covered: words::NOT_COVERED.iter().map(|s| (*s).to_owned()).collect(),
        questions: words::QUESTIONS
            .iter()
            .copied()
            .chain((!setup.shell.openings.is_empty()).then_some(words::QUESTION_OF_AN_OPENING))
            .map(str::to_owned)
            .collect(),
        sources: notes::sources(project, setup),
        // A terminal shows few: what may be a slip comes first, as all else may follow from it.
        warnings: [stages_told, project.warnings.clone(), notes::warnings(project, found)].concat(),
        input_sha256: notes::checksum(project.text()),
        further_files: notes::further_files(project),
        input_text: project.text().to_owned(),
    })
}

fn full(found: &Findings, models: &mut [ModelResult]) {
    let setup = &found.setup;
    for (result, model) in models.iter_mut().zip(&found.models) {
        if model.run.is_mechanism() {
            continue;
        }
        let mut displacements = BTreeMap::new();
        let mut forces = BTreeMap::new();
        for (case, response) in setup.cases.iter().zip(&model.run.responses) {
            let joints = setup.shell.joints.iter().zip(&response.displacements);
            displacements.insert(case.name.clone(), joints.map(|(j, d)| (j.name.clone(), *d)).collect());
            let six = |f: &crate::frame::BarForces| [f.n, f.vy, f.vz, f.t, f.my, f.mz];
            let members = setup.shell.members.iter().zip(&response.bar_ends);
            let ends = members
                .map(|(m, [from, to])| (m.name.clone(), BarForcesResult { from: six(from), to: six(to) }));
            forces.insert(case.name.clone(), ends.collect());
        }
        result.displacements = Some(displacements);
        result.bar_forces = Some(forces);
    }
}
