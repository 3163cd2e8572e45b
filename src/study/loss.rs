//! Loss of one part: each seam, panel and foot taken away in turn, the rest looked at under service
//! loads. A talking point for an engineer, not a check that any code asks of a shell of this size.
//!
//! The characteristic service combinations are taken as an accidental situation (partial factors 1.0,
//! EN 1990 6.4.3.3 from memory: what is left standing under loads of an ordinary day). What the part
//! carried goes on: the load on a lost timber to its ends, the load on a lost panel to the timbers
//! left around it. The reduced frame is factorised anew: its buckling needs the factor in any case, so that a low-rank
//! change of the whole one, faster for the movements alone, would spare nothing (measured in `docs/solver.md`).

use std::sync::Arc;

use rayon::prelude::*;
use serde::Serialize;

use crate::assess::AssessError;
use crate::assess::findings::{Findings, find_in};
use crate::assess::results::Verdict;
use crate::assess::setup::{Setup, setup};
use crate::frame::{BarId, FrameLoads, NodeId};
use crate::loads::combine::with_and_without;
use crate::loads::{Combination, LimitState};
use crate::model::corners::Corners;
use crate::model::seam_demand::crossings;
use crate::model::transfer::{Spot, Transfer};
use crate::project::Project;
use crate::section::strip::together;
use crate::shell::timbers::strips_on_side;
use crate::shell::{MemberId, MemberKind, PanelId};
use crate::study::row::{First, Row, row};
use crate::study::watch::Watch;
use crate::study::{governing_only, rests_on_seams};

/// What is taken away.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Part {
    /// Both strips of a seam.
    Seam(usize),
    /// A panel with its own strips.
    Panel(usize),
    /// A foot's hold.
    Foot(usize),
}

/// One loss.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Loss {
    /// "seam", "panel", "foot".
    pub what: String,
    /// Its name.
    pub id: String,
    /// Verdict of what is left.
    pub verdict: Verdict,
    /// Worst utilisation of what is left; absent for a mechanism.
    pub worst: Option<f64>,
    /// What governs.
    pub first: Option<First>,
}

/// The study.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Losses {
    /// Whether it is looked at under combinations of strength, as a list of the project's own has none of service.
    pub by_strength: bool,
    /// With nothing lost, under the same loads.
    pub whole: Row,
    /// Worst first.
    pub losses: Vec<Loss>,
    /// Parts left out because the work was stopped.
    pub left_out: usize,
}

/// Every part of a shell that can be lost.
#[must_use]
pub fn parts(setup: &Setup) -> Vec<Part> {
    let shell = &setup.shell;
    let seams =
        (0..shell.members.len()).filter(|&m| shell.members[m].kind == MemberKind::Seam).map(Part::Seam);
    let panels = (0..shell.panels.len()).map(Part::Panel);
    let feet = (0..shell.joints.len()).filter(|&j| shell.joints[j].foot).map(Part::Foot);
    seams.chain(panels).chain(feet).collect()
}

/// Takes every part away in turn.
///
/// # Errors
/// Any station's error.
pub fn losses(project: &Project, watch: &dyn Watch) -> Result<Losses, AssessError> {
    let lean = governing_only(project);
    let (base, by_strength) = in_service(&lean, setup(&lean)?);
    let mut whole = row(&find_in(&lean, base.clone())?);
    whole.rests_on_seams =
        rests_on_seams(project, &whole, |stiffer| find_in(stiffer, in_service(stiffer, setup(stiffer)?).0))?;
    let parts = parts(&base);
    watch.more(parts.len());
    let tried: Vec<Option<Loss>> = parts
        .par_iter()
        .map(|&part| {
            if watch.stop() {
                return Ok(None);
            }
            let row = row(&look_without(&lean, &base, part)?);
            watch.row();
            let shell = &base.shell;
            let (what, id) = match part {
                Part::Seam(m) => ("seam", &shell.members[m].name),
                Part::Panel(p) => ("panel", &shell.panels[p].name),
                Part::Foot(j) => ("foot", &shell.joints[j].name),
            };
            let Row { verdict, worst, first, .. } = row;
            Ok(Some(Loss { what: what.to_owned(), id: id.clone(), verdict, worst, first }))
        })
        .collect::<Result<_, AssessError>>()?;
    let left_out = tried.iter().filter(|l| l.is_none()).count();
    let mut losses: Vec<Loss> = tried.into_iter().flatten().collect();
    losses.sort_by(|a, b| {
        let rank = |l: &Loss| l.worst.unwrap_or(f64::INFINITY);
        b.verdict.cmp(&a.verdict).then(rank(b).total_cmp(&rank(a)))
    });
    Ok(Losses { by_strength, whole, losses, left_out })
}

/// Assesses what is left without a part.
///
/// # Errors
/// As [`losses`].
pub fn look_without(project: &Project, base: &Setup, part: Part) -> Result<Findings, AssessError> {
    find_in(project, without(project, base, part))
}

/// Only the characteristic service combinations, as an accidental situation; those of strength where there are none of service, which
/// ask for more, and whether it is those. What of the permanent is not counted on elsewhere is not counted on here.
#[must_use]
pub fn in_service(project: &Project, mut setup: Setup) -> (Setup, bool) {
    let of = |state| -> Arc<[Combination]> {
        let these = setup.combinations.iter().filter(|c| c.state == state).cloned();
        these.map(|c| Combination { state: LimitState::Accidental, ..c }).collect()
    };
    let service = of(LimitState::Service);
    let by_strength = service.is_empty();
    let these = if by_strength { of(LimitState::Strength) } else { service };
    setup.combinations = with_and_without(&project.loads, &setup.cases, &these).into();
    (setup, by_strength)
}

/// The setup of what is left.
#[must_use]
pub fn without(project: &Project, base: &Setup, part: Part) -> Setup {
    let mut out = base.clone();
    match part {
        Part::Seam(m) => keep(&mut out, |member| member != m),
        Part::Panel(p) => {
            let gone = PanelId(p);
            let mut lost = vec![false; out.shell.members.len()];
            // Half a seam passes nothing on.
            let passes = |m: usize| !base.shell.members[m].panels.contains(&gone);
            let kept =
                |(m, transfer): (usize, &Transfer)| if passes(m) { *transfer } else { Transfer::default() };
            out.transfers =
                base.transfers.iter().map(|case| case.iter().enumerate().map(kept).collect()).collect();
            let of_kept = |(m, list): (usize, &Vec<Spot>)| if passes(m) { list.clone() } else { Vec::new() };
            out.spots = base.spots.iter().enumerate().map(of_kept).collect();
            for (m, member) in out.shell.members.iter_mut().enumerate() {
                if !member.panels.contains(&gone) {
                    continue;
                }
                let strips = strips_on_side(&base.shell, MemberId(m), gone, out.timbers[m].count);
                member.panels.retain(|panel| *panel != gone);
                let timber = &mut out.timbers[m];
                // A seam has strips of either panel; a rim that is this panel's own goes with it.
                if member.panels.is_empty() || timber.count <= strips {
                    lost[m] = true;
                } else {
                    let composite = project.timber.composite;
                    timber.count -= strips;
                    timber.parted = false;
                    timber.whole = together(&timber.strip, timber.count, composite);
                }
            }
            keep(&mut out, |member| !lost[member]);
        }
        Part::Foot(j) => out.shell.joints[j].foot = false,
    }
    out.crossings = crossings(&out.shell);
    out.corners = Arc::new(Corners::new(&out.shell));
    out
}

/// Keeps some members; what lay on the others goes to their ends.
fn keep(setup: &mut Setup, kept: impl Fn(usize) -> bool) {
    let count = setup.shell.members.len();
    let mut place = vec![None; count];
    let mut next = 0;
    for (m, place) in place.iter_mut().enumerate() {
        if kept(m) {
            *place = Some(next);
            next += 1;
        }
    }
    let shell = &setup.shell;
    for loads in &mut setup.loads {
        let old = std::mem::take(loads);
        let mut new = FrameLoads { nodes: old.nodes, bars: Vec::new(), settlements: old.settlements };
        for mut load in old.bars {
            if let Some(bar) = place[load.bar.0] {
                load.bar = BarId(bar);
                new.bars.push(load);
            } else {
                let member = MemberId(load.bar.0);
                let length = load.span[1] - load.span[0];
                let total = (load.intensity[0] + load.intensity[1]) * (0.5 * length);
                // As a beam brings it to its ends, by its moment about the first.
                let [q0, q1] = load.intensity;
                let about = total * load.span[0] + (q0 / 6.0 + q1 / 3.0) * (length * length);
                let far = about / shell.length(member);
                for (joint, part) in shell.members[member.0].joints.into_iter().zip([total - far, far]) {
                    new.nodes.push((NodeId(joint.0), [part.x, part.y, part.z, 0.0, 0.0, 0.0]));
                }
            }
        }
        *loads = new;
    }
    let mut at = 0..count;
    setup.shell.members.retain(|_| at.next().is_some_and(&kept));
    let mut at = 0..count;
    setup.timbers.retain(|_| at.next().is_some_and(&kept));
    setup.stations = (0..count).filter(|&m| kept(m)).map(|m| setup.stations[m].clone()).collect();
    setup.spots = (0..count).filter(|&m| kept(m)).map(|m| setup.spots[m].clone()).collect();
    let of_kept = |case: &Vec<Transfer>| {
        case.iter().enumerate().filter(|(m, _)| kept(*m)).map(|(_, transfer)| *transfer).collect()
    };
    setup.transfers = setup.transfers.iter().map(of_kept).collect();
    // A joint that nothing holds any longer carries nothing: it is held so that it is no mechanism.
    let mut met = vec![false; setup.shell.joints.len()];
    for joint in setup.shell.members.iter().flat_map(|m| m.joints) {
        met[joint.0] = true;
    }
    for (joint, met) in setup.shell.joints.iter_mut().zip(met) {
        joint.foot |= !met;
    }
}
