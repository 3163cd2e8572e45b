//! What the rules need of every member that neither a joint model nor a load changes: worked out once for all models.

use rayon::prelude::{IndexedParallelIterator, IntoParallelIterator, ParallelIterator};

use crate::assess::AssessError;
use crate::assess::check::{hole, is_strength};
use crate::assess::conditions::conditions;
use crate::assess::demand::seam_input;
use crate::assess::in_strips::Held;
use crate::assess::run::State;
use crate::assess::setup::Setup;
use crate::project::Project;
use crate::rules::members::{Conditions, MemberInput, RuleError};
use crate::rules::prepared::Prepared;
use crate::rules::seams::{Laid, SeamDemand};
use crate::rules::seams_bound::SeamBound;
use crate::shell::{MemberId, MemberKind};

/// Every member, ready to be checked under any combination.
#[derive(Debug)]
pub struct Ready<'a> {
    /// By combination: which of the few different conditions it has; `None` where it is none for strength.
    kinds: Vec<Option<usize>>,
    /// By member.
    pub(super) members: Vec<ReadyMember<'a>>,
}

/// One of them.
#[derive(Debug)]
pub(super) struct ReadyMember<'a> {
    /// Its timber, by kind of conditions.
    pub(super) prepared: Vec<Prepared<'a>>,
    /// Where fixings hold its strips.
    pub(super) held: Held,
    /// Its fixings, by kind of conditions; empty where it has none.
    pub(super) seams: Vec<ReadySeam>,
}

/// The fixings of a seam under one kind of conditions.
#[derive(Debug)]
pub(super) struct ReadySeam {
    pub(super) laid: Laid,
    pub(super) most: SeamBound,
}

/// A state to check in.
#[derive(Debug)]
pub(super) struct Look<'s> {
    pub(super) combination: usize,
    /// Which of the few different conditions.
    pub(super) kind: usize,
    pub(super) state: &'s State,
}

impl<'a> Ready<'a> {
    /// Works it out.
    ///
    /// # Errors
    /// A grade, section, conditions and durations that do not go together.
    pub fn new(project: &Project, setup: &'a Setup) -> Result<Self, AssessError> {
        let mut different: Vec<Conditions> = Vec::new();
        let mut kind_of = |combination| {
            let conditions = conditions(project, combination);
            different.iter().position(|c| *c == conditions).unwrap_or_else(|| {
                different.push(conditions);
                different.len() - 1
            })
        };
        let kinds = setup.combinations.iter().map(|c| is_strength(c).then(|| kind_of(c))).collect();
        let all = (0..setup.shell.members.len()).into_par_iter().with_min_len(8);
        let one = |m: usize| ReadyMember::new(project, setup, &different, m);
        let members = all.map(one).collect::<Result<_, AssessError>>()?;
        Ok(Self { kinds, members })
    }

    /// Every state to check in; a second-order combination is looked at twice, with the imperfection either way.
    pub(super) fn looks<'s>(&self, states: &'s [State]) -> Vec<Look<'s>> {
        let counted = self.kinds.iter().zip(states).enumerate();
        let of = |(combination, (kind, state)): (usize, (&Option<usize>, &'s State))| {
            let kind = *kind;
            state.ways().filter_map(move |state| kind.map(|kind| Look { combination, kind, state }))
        };
        counted.flat_map(of).collect()
    }
}

impl<'a> ReadyMember<'a> {
    fn new(
        project: &Project,
        setup: &'a Setup,
        different: &[Conditions],
        m: usize,
    ) -> Result<Self, AssessError> {
        let prepared = different
            .iter()
            .map(|&conditions| {
                Prepared::new(&MemberInput {
                    section: setup.timbers[m].strip,
                    length: setup.shell.length(MemberId(m)),
                    grade: &setup.grade,
                    conditions,
                    restraint: project.rules.members.restraint,
                    hole: hole(project, setup, m),
                    forces: &[],
                    places: &[],
                })
            })
            .collect::<Result<_, RuleError>>()?;
        // A seam that has lost a panel has nothing to fasten to.
        let member = &setup.shell.members[m];
        let fastened = member.kind == MemberKind::Seam && member.panels.len() == 2;
        let fixings = project.rules.fixings.filter(|_| fastened);
        let mut seams = Vec::new();
        for (fixings, conditions) in
            fixings.iter().flat_map(|fixings| different.iter().map(move |c| (fixings, c)))
        {
            // All but the demand is the same under the same conditions.
            let input = seam_input(project, setup, *fixings, conditions, m, SeamDemand::default())?;
            let laid = Laid::new(&input);
            seams.push(ReadySeam { laid, most: SeamBound::new(&laid, input.basis) });
        }
        Ok(Self { prepared, held: Held::new(project, setup, m), seams })
    }
}
