//! The turning stiffness that the seams of a shell are given: as entered, or as their fixings say.

use std::collections::BTreeMap;

use crate::assess::demand::{fixings_in, strip_of};
use crate::model::ask::SeamStiffness;
use crate::model::corners::Corners;
use crate::model::timbers::Timber;
use crate::project::Project;
use crate::rules::ask::FixingsAsk;
use crate::rules::fasteners::JointTimber;
use crate::rules::seams::standard_of;
use crate::rules::seams_stiffness::{self, SeamStiffnessEstimate};
use crate::shell::{MemberId, MemberKind, Shell};
use crate::tables::grade::Grade;

/// The seams of a shell, before their stiffness is known.
pub(super) struct Seams<'a> {
    pub project: &'a Project,
    pub shell: &'a Shell,
    pub corners: &'a Corners,
    /// Length of the longest seam \[m\].
    pub longest: f64,
    pub grade: &'a Grade,
    pub timbers: &'a [Timber],
}

impl Seams<'_> {
    /// Turning stiffness of a seam \[N·m/rad per m\] where it is known, in words where it comes from, and
    /// whether it is an estimate.
    ///
    /// The estimate is that of the softest seam, at the low end of what it spreads over: seams that turn easily are what folds a shell.
    pub(super) fn stiffness(&self) -> (Option<f64>, String, bool) {
        match self.project.joints.seam_stiffness {
            SeamStiffness::Entered(k) => (Some(k), seams_stiffness::entered(k, self.project.units), false),
            SeamStiffness::Unknown => (None, "not known".into(), false),
            SeamStiffness::FromFixings => match self.softest() {
                Some(e) => (Some(e.low), e.words, true),
                None => (None, "not known: the fixings give nothing to turn about".into(), true),
            },
        }
    }

    /// The estimate of the seam that turns most easily, for its length.
    fn softest(&self) -> Option<SeamStiffnessEstimate> {
        // A shell has few kinds of seam, told apart to a thousandth of a millimetre and of a milliradian; what rounding leaves is no kind.
        let mut kinds: BTreeMap<[u64; 6], usize> = BTreeMap::new();
        let members = self.shell.members.iter().enumerate();
        for (m, member) in members.filter(|(_, m)| m.kind == MemberKind::Seam) {
            let Timber { count, strip, .. } = &self.timbers[m];
            let fold = std::f64::consts::PI + member.fold;
            let told =
                [self.shell.length(MemberId(m)), fold, self.corners.sharpest(m), strip.breadth, strip.depth];
            let [length, fold, corner, breadth, depth] = told.map(|value| (value * 1e6).round() as u64);
            kinds.entry([length, fold, corner, *count as u64, breadth, depth]).or_insert(m);
        }
        let all = kinds.into_values().filter_map(|m| self.estimate(m));
        all.reduce(|softest, next| if next.low < softest.low { next } else { softest })
    }

    /// That of one seam.
    fn estimate(&self, m: usize) -> Option<SeamStiffnessEstimate> {
        let Self { project, grade, .. } = self;
        let asked = project.rules.fixings?;
        let strip = strip_of(project, (self.shell, self.corners), (&self.timbers[m], grade), m);
        let fixings =
            FixingsAsk { per_seam: fixings_in(asked.per_seam, strip.length, self.longest), ..asked };
        let timber = JointTimber::of(grade);
        seams_stiffness::estimate(&fixings, &strip, &timber, standard_of(grade), project.units)
    }
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
            let seams = Seams {
                project: &project,
                shell: &setup.shell,
                corners: &setup.corners,
                longest: setup.longest_seam,
                grade: &setup.grade,
                timbers: &setup.timbers,
            };
            let each: Vec<f64> = (0..setup.shell.members.len())
                .filter(|&m| setup.shell.members[m].kind == MemberKind::Seam)
                .map(|m| seams.estimate(m).unwrap().low)
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
