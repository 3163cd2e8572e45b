//! The turning stiffness that the seams of a shell are given: as entered, or as their fixings say.

use std::collections::BTreeMap;

use crate::assess::conditions;
use crate::assess::demand::fixings_in;
use crate::model::ask::SeamStiffness;
use crate::model::timbers::Timber;
use crate::project::Project;
use crate::rules::ask::FixingsAsk;
use crate::rules::fasteners::JointTimber;
use crate::rules::seams::standard_of;
use crate::rules::seams_stiffness::{self, SeamStiffnessEstimate};
use crate::rules::spacing::{Strip, WIDE};
use crate::shell::{MemberId, MemberKind, Shell};
use crate::tables::grade::Grade;

/// Turning stiffness of a seam \[N·m/rad per m\] where it is known, in words where it comes from, and
/// whether it is an estimate.
///
/// The estimate is that of the softest seam, at the low end of what it spreads over: seams that turn easily are what folds a shell.
/// `longest`: length of the longest seam \[m\].
pub(super) fn seam_stiffness(
    project: &Project,
    shell: &Shell,
    longest: f64,
    grade: &Grade,
    timbers: &[Timber],
) -> (Option<f64>, String, bool) {
    match project.joints.seam_stiffness {
        SeamStiffness::Entered(k) => (Some(k), seams_stiffness::entered(k, project.units), false),
        SeamStiffness::Unknown => (None, "not known".into(), false),
        SeamStiffness::FromFixings => match softest(project, shell, longest, grade, timbers) {
            Some(e) => (Some(e.low), e.words, true),
            None => (None, "not known: the fixings give nothing to turn about".into(), true),
        },
    }
}

/// The estimate of the seam that turns most easily, for its length.
fn softest(
    project: &Project,
    shell: &Shell,
    longest: f64,
    grade: &Grade,
    timbers: &[Timber],
) -> Option<SeamStiffnessEstimate> {
    let fixings = project.rules.fixings?;
    let timber = JointTimber::of(grade);
    let standard = standard_of(grade);
    let creep = conditions::creep(grade, project.rules.service_class);
    // A shell has few kinds of seam, told apart to a thousandth of a millimetre and of a milliradian; what rounding leaves is no kind.
    let mut kinds: BTreeMap<[u64; 5], usize> = BTreeMap::new();
    for (m, member) in shell.members.iter().enumerate().filter(|(_, m)| m.kind == MemberKind::Seam) {
        let Timber { count, strip, .. } = &timbers[m];
        let told =
            [shell.length(MemberId(m)), std::f64::consts::PI + member.fold, strip.breadth, strip.depth];
        let [length, fold, breadth, depth] = told.map(|value| (value * 1e6).round() as u64);
        kinds.entry([length, fold, *count as u64, breadth, depth]).or_insert(m);
    }
    let of = |m: usize| {
        let length = shell.length(MemberId(m));
        let strip = Strip {
            count: timbers[m].count,
            corner: WIDE,
            wood: timber.wood,
            density_k: timber.density_k,
            breadth: timbers[m].strip.breadth,
            depth: timbers[m].strip.depth,
            fold: shell.members[m].fold,
            bevelled: project.timber.bevelled,
            length,
        };
        let fixings = FixingsAsk { per_seam: fixings_in(fixings.per_seam, length, longest), ..fixings };
        seams_stiffness::estimate(&fixings, &strip, &timber, standard, creep, project.units)
    };
    let all = kinds.into_values().filter_map(of);
    all.reduce(|softest, next| if next.low < softest.low { next } else { softest })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::assess::setup::setup;

    /// A tunnel's longest seams are as long but for rounding and fold by 2° to 21°; whichever of them rounding makes the longest, the
    /// softest is taken, and a millimetre more of radius changes the estimate by about as much.
    #[test]
    fn the_softest_seam_is_taken_whatever_rounding_does() {
        let mut project = crate::assess::example("propagation-tunnel.toml");
        project.joints.seam_stiffness = SeamStiffness::FromFixings;
        let mut found = Vec::new();
        for step in 0..8 {
            if let crate::shell::ask::Form::Tunnel { radius, .. } = &mut project.shell.form {
                *radius = 2.1 + 1e-3 * f64::from(step);
            } else {
                panic!("{:?}", project.shell.form)
            }
            let setup = setup(&project).unwrap();
            let each: Vec<f64> = (0..setup.shell.members.len())
                .filter(|&m| setup.shell.members[m].kind == MemberKind::Seam)
                .map(|m| {
                    let mut one = setup.shell.clone();
                    one.members = vec![one.members[m].clone()];
                    let timbers = [setup.timbers[m]];
                    softest(&project, &one, setup.longest_seam, &setup.grade, &timbers).unwrap().low
                })
                .collect();
            let least = each.iter().copied().fold(f64::INFINITY, f64::min);
            let most = each.iter().copied().fold(0.0, f64::max);
            assert!(
                (setup.stiffness.seam / least - 1.0).abs() < 1e-4 && most > 1.3 * least,
                "{least} {most}"
            );
            found.push(setup.stiffness.seam);
        }
        assert!(found.windows(2).all(|w| (w[1] / w[0] - 1.0).abs() < 0.005), "{found:?}");
    }
}
