//! Timbers side by side: sections × grades × strips of one shell.

use rayon::prelude::*;
use serde::Serialize;

use crate::assess::AssessError;
use crate::assess::findings::find_in;
use crate::assess::results::Verdict;
use crate::assess::setup::{Loaded, Setup};
use crate::loads::ask::Basis;
use crate::project::Project;
use crate::project::schema_study::SectionAsk;
use crate::shell::{self, MemberId};
use crate::study::row::{Row, row};
use crate::study::vary::OwnTimber;
use crate::study::watch::Watch;
use crate::study::{Kept, vary};
use crate::tables::Tables;
use crate::tables::grade::Grade;

/// One timber and what the shell of it comes to.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Candidate {
    /// b \[m\].
    pub breadth: f64,
    /// d \[m\].
    pub depth: f64,
    /// Grade.
    pub grade: String,
    /// Strips in a seam, where they were varied.
    pub strips: Option<usize>,
    /// Mass of all timber \[kg\], without fixings.
    pub mass: Option<f64>,
    /// Length of all strips between joints, no waste \[m\].
    pub metres: Option<f64>,
    /// Price of it, where every section has one.
    pub price: Option<f64>,
    /// What `check` would say; absent where the timber cannot be made into this shell.
    pub row: Option<Row>,
    /// Why there is no row.
    pub fault: Option<String>,
    /// Another one that holds is as good in mass, price and utilisation and better in one.
    pub dominated: bool,
}

impl Candidate {
    /// Whether it was worked out and nothing is over or unstable.
    #[must_use]
    pub fn holds(&self) -> bool {
        self.row.as_ref().is_some_and(Row::holds)
    }
}

/// All of them.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Compared {
    /// Lightest first among those that hold, then those over their limits by how far they are over, then what is
    /// unstable.
    pub candidates: Vec<Candidate>,
    /// Whether the list was the stocked sizes, since the file names none.
    pub stocked: bool,
    /// Groups of timbers that keep their own size in every row.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub keep_their_own: Vec<OwnTimber>,
    /// Members whose strips, said in their groups, those of `[compare]` take the place of.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub strips_set_aside: Vec<String>,
    /// Rows left out because the work was stopped.
    pub left_out: usize,
    /// Currency of the prices.
    pub currency: String,
}

/// A timber to try.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// Section.
    pub section: SectionAsk,
    /// Grade.
    pub grade: Grade,
    /// Strips in a seam; `None`: as the project has them.
    pub strips: Option<usize>,
}

/// What will be tried, and whether the sections are the stocked ones of the tables.
#[must_use]
pub fn choices(project: &Project) -> (Vec<Choice>, bool) {
    let ask = &project.study.compare;
    let stocked = ask.sections.is_empty();
    let own = SectionAsk { breadth: project.timber.breadth, depth: project.timber.depth };
    let mut sections = if stocked { stocked_sizes(project.loads.basis) } else { ask.sections.clone() };
    if stocked && !sections.contains(&own) {
        sections.push(own);
    }
    let grades = if ask.grades.is_empty() { vec![project.grade.clone()] } else { ask.grades.clone() };
    let strips: Vec<Option<usize>> =
        if ask.strips.is_empty() { vec![None] } else { ask.strips.iter().copied().map(Some).collect() };
    let mut out: Vec<Choice> = Vec::new();
    for section in &sections {
        for grade in &grades {
            for &strips in &strips {
                let choice = Choice { section: section.clone(), grade: grade.clone(), strips };
                if !out.contains(&choice) {
                    out.push(choice);
                }
            }
        }
    }
    (out, stocked)
}

fn stocked_sizes(basis: Basis) -> Vec<SectionAsk> {
    let name = if basis == Basis::Eurocode { "metric_sizes" } else { "nds_dressed" };
    let Ok(table) = Tables::built_in().find(name) else { return Vec::new() };
    let mut out: Vec<SectionAsk> = Vec::new();
    for row in &table.rows {
        if let (Some(breadth), Some(depth)) = (table.si(row, "b"), table.si(row, "d")) {
            let section = SectionAsk { breadth, depth };
            if !out.contains(&section) {
                out.push(section);
            }
        }
    }
    out
}

/// The project with one choice made.
#[must_use]
pub fn with(project: &Project, choice: &Choice) -> Project {
    let out = vary::section(project, choice.section.breadth, choice.section.depth);
    let out = vary::grade(&out, &choice.grade);
    choice.strips.map_or_else(|| out.clone(), |count| vary::strips(&out, count))
}

/// Puts timbers side by side.
///
/// # Errors
/// The shell cannot be built, or the program itself fails. A timber that cannot be made into this shell
/// is a row that says why.
pub fn compare(project: &Project, watch: &dyn Watch) -> Result<Compared, AssessError> {
    let (choices, stocked) = choices(project);
    let loaded = Loaded::new(project, shell::build(&project.shell)?)?;
    // What depends on the shape alone is worked out once, on the project's own timber where that can be made.
    let own = loaded.with_timber(project).and_then(|setup| find_in(project, setup)).ok();
    let kept = Kept { loaded, own };
    watch.more(choices.len());
    let tried: Vec<Option<Result<Candidate, AssessError>>> = choices
        .par_iter()
        .map(|choice| {
            if watch.stop() {
                return None;
            }
            let candidate = candidate(project, &kept, choice);
            watch.row();
            Some(candidate)
        })
        .collect();
    let all = tried.len();
    let mut candidates = tried.into_iter().flatten().collect::<Result<Vec<_>, _>>()?;
    let left_out = all - candidates.len();
    mark_dominated(&mut candidates);
    // A stable sort: equals stay in the order of the file.
    candidates.sort_by(|a, b| {
        let rank = |c: &Candidate| match (&c.row, c.holds()) {
            (_, true) => (0, c.mass.unwrap_or(f64::INFINITY)),
            (Some(row), false) => {
                let unstable = row.verdict == Verdict::Unstable;
                (1 + usize::from(unstable), row.worst.unwrap_or(f64::INFINITY))
            }
            (None, _) => (3, 0.0),
        };
        let ((a0, a1), (b0, b1)) = (rank(a), rank(b));
        a0.cmp(&b0).then(a1.total_cmp(&b1))
    });
    let varies_strips = !project.study.compare.strips.is_empty();
    Ok(Compared {
        candidates,
        stocked,
        keep_their_own: vary::keep_their_own(project),
        strips_set_aside: if varies_strips { vary::strips_set_aside(project) } else { Vec::new() },
        left_out,
        currency: project.study.prices.currency.clone(),
    })
}

fn candidate(project: &Project, kept: &Kept, choice: &Choice) -> Result<Candidate, AssessError> {
    let mut out = Candidate {
        breadth: choice.section.breadth,
        depth: choice.section.depth,
        grade: choice.grade.name().to_owned(),
        strips: choice.strips,
        mass: None,
        metres: None,
        price: None,
        row: None,
        fault: None,
        dominated: false,
    };
    match kept.look(&with(project, choice)) {
        Ok(found) => {
            let (mass, metres) = timber(&found.setup);
            out.mass = Some(mass);
            out.metres = Some(metres);
            out.price = price(project, &found.setup);
            out.row = Some(row(&found));
        }
        Err(error) if error.is_input() => out.fault = Some(error.to_string()),
        Err(error) => return Err(error),
    }
    Ok(out)
}

/// Mass \[kg\] and length of strips \[m\] of all timber.
#[must_use]
pub fn timber(setup: &Setup) -> (f64, f64) {
    let density = setup.grade.density_mean();
    let of = |m: usize| (setup.shell.length(MemberId(m)), &setup.timbers[m]);
    let count = setup.timbers.len();
    let mass = (0..count).map(of).map(|(length, t)| t.whole.area * length * density).sum();
    let metres = (0..count).map(of).map(|(length, t)| t.count as f64 * length).sum();
    (mass, metres)
}

fn price(project: &Project, setup: &Setup) -> Option<f64> {
    setup.timbers.iter().enumerate().try_fold(0.0, |sum, (m, t)| {
        let metre = project.study.prices.of_metre(t.strip.breadth, t.strip.depth)?;
        Some(sum + metre * t.count as f64 * setup.shell.length(MemberId(m)))
    })
}

fn mark_dominated(candidates: &mut [Candidate]) {
    let key = |c: &Candidate| {
        let worst = c.row.as_ref().and_then(|r| r.worst).unwrap_or(f64::INFINITY);
        [c.mass.unwrap_or(f64::INFINITY), worst]
    };
    let keys: Vec<_> = candidates.iter().map(|c| (c.holds(), key(c), c.price)).collect();
    for (i, candidate) in candidates.iter_mut().enumerate() {
        let (within, own, price) = &keys[i];
        candidate.dominated = *within
            && keys.iter().any(|(holds, key, other)| {
                // What is not priced may cost less or more than anything that is.
                let prices = match (other, price) {
                    (Some(a), Some(b)) => [*a, *b],
                    (None, None) => [0.0, 0.0],
                    _ => return false,
                };
                let pairs = || key.iter().zip(own).map(|(a, b)| [*a, *b]).chain([prices]);
                *holds && pairs().all(|[a, b]| a <= b) && pairs().any(|[a, b]| a < b)
            });
    }
}
