//! How much the answer rests on the stiffness of the seams.

use rayon::prelude::*;
use serde::Serialize;

use crate::assess::results::Verdict;
use crate::assess::{AssessError, setup};
use crate::model::ask::{JointModel, SeamStiffness};
use crate::project::Project;
use crate::shell::{self, Shell};
use crate::study::row::{Row, row};
use crate::study::watch::Watch;
use crate::study::{look, vary};

/// Range that is swept where no stiffness is known \[N·m/rad per m\]: from a seam that hardly turns
/// back to one that is nearly rigid beside timbers of this size. This project's own choice, no source.
pub const UNKNOWN_RANGE: [f64; 2] = [50.0, 50_000.0];

/// The answer at one stiffness.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Point {
    /// Times the stiffness that the verdict uses; absent where none is known.
    pub times: Option<f64>,
    /// \[N·m/rad per m\]
    pub stiffness: f64,
    /// What `check` would say of the seam model.
    pub row: Row,
}

/// A stiffness at which the verdict turns.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Turn {
    /// \[N·m/rad per m\]
    pub stiffness: f64,
    /// Times the stiffness that the verdict uses; absent where none is known.
    pub times: Option<f64>,
    /// Verdict just below and just above.
    pub verdicts: [Verdict; 2],
    /// What gives on the side that does not hold.
    pub gives: String,
}

/// The study.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SeamStudy {
    /// The stiffness that the verdict uses; absent where none is known.
    pub stiffness: Option<f64>,
    /// Where it comes from, in words.
    pub origin: String,
    /// Softest first.
    pub points: Vec<Point>,
    /// Between "holds" and "does not hold", softest first.
    pub turns: Vec<Turn>,
    /// Whether the design relies on the stiffness, in words.
    pub words: String,
    /// Points left out because the work was stopped.
    pub left_out: usize,
}

fn seam_only(project: &Project) -> Project {
    let mut out = project.clone();
    out.joints.models = vec![JointModel::Seam];
    out
}

fn at(project: &Project, shell: &Shell, stiffness: f64) -> Result<Row, AssessError> {
    Ok(row(&look(&vary::seam(project, stiffness), shell)?))
}

/// Sweeps the stiffness over `count` points.
///
/// # Errors
/// Any station's error.
pub fn seams(project: &Project, count: usize, watch: &dyn Watch) -> Result<SeamStudy, AssessError> {
    let shell = shell::build(&project.shell)?;
    let set = setup::finish(project, shell.clone())?;
    let known = match project.joints.seam_stiffness {
        SeamStiffness::Unknown => None,
        _ => Some(set.stiffness.seam).filter(|k| *k > 0.0),
    };
    let lean = seam_only(project);
    let last = count.max(3) - 1;
    let share = |i: usize| i as f64 / last as f64;
    let values: Vec<(Option<f64>, f64)> = (0..=last)
        .map(|i| match known {
            Some(k) => {
                // The middle is exactly the stiffness of the verdict.
                let times = if 2 * i == last { 1.0 } else { 10f64.powf(2.0 * share(i) - 1.0) };
                (Some(times), k * times)
            }
            None => (None, UNKNOWN_RANGE[0] * (UNKNOWN_RANGE[1] / UNKNOWN_RANGE[0]).powf(share(i))),
        })
        .collect();
    watch.more(values.len());
    let tried: Vec<Option<Point>> = values
        .par_iter()
        .map(|&(times, stiffness)| {
            if watch.stop() {
                return Ok(None);
            }
            let row = at(&lean, &shell, stiffness)?;
            watch.row();
            Ok(Some(Point { times, stiffness, row }))
        })
        .collect::<Result<_, AssessError>>()?;
    let left_out = tried.iter().filter(|p| p.is_none()).count();
    let points: Vec<Point> = tried.into_iter().flatten().collect();
    let turns = if left_out > 0 {
        Vec::new()
    } else {
        points
            .par_windows(2)
            .filter(|pair| pair[0].row.holds() != pair[1].row.holds())
            .map(|pair| turn(&lean, &shell, known, pair))
            .collect::<Result<_, AssessError>>()?
    };
    let words = words(known, &points, &turns);
    Ok(SeamStudy { stiffness: known, origin: set.stiffness_words, points, turns, words, left_out })
}

/// Bisects the logarithm to a thousandth.
fn turn(project: &Project, shell: &Shell, known: Option<f64>, pair: &[Point]) -> Result<Turn, AssessError> {
    let (mut low, mut high) = (pair[0].stiffness, pair[1].stiffness);
    let (mut below, mut above) = (pair[0].row.clone(), pair[1].row.clone());
    while high / low > 1.001 {
        let middle = (low * high).sqrt();
        let row = at(project, shell, middle)?;
        if row.holds() == below.holds() {
            (low, below) = (middle, row);
        } else {
            (high, above) = (middle, row);
        }
    }
    let stiffness = (low * high).sqrt();
    let gives = if below.holds() { above.governs() } else { below.governs() };
    Ok(Turn {
        stiffness,
        times: known.map(|k| stiffness / k),
        verdicts: [below.verdict, above.verdict],
        gives,
    })
}

fn words(known: Option<f64>, points: &[Point], turns: &[Turn]) -> String {
    let Some(first) = points.first() else { return "Nothing was worked out.".to_owned() };
    let range = if known.is_some() { "from a tenth to ten times as stiff" } else { "over the range tried" };
    if turns.is_empty() {
        return if first.row.holds() {
            format!(
                "Within or near its limits with seams {range}: as far as was tried, the answer does not rely on \
                 their stiffness."
            )
        } else {
            format!(
                "Over its limits or unstable with seams {range}: their stiffness is not what decides. What \
                 gives is {}.",
                first.row.governs()
            )
        };
    }
    let Some(k) = known else {
        return "No stiffness of the seams is known, and the answer turns within the range tried: enter one, \
                measure it on a bench (two panels, a weight and a ruler), or enter the fixings."
            .to_owned();
    };
    // The nearest turns either side of the stiffness that the verdict uses.
    let below = turns.iter().rev().find(|t| t.stiffness <= k);
    let above = turns.iter().find(|t| t.stiffness > k);
    let holds = points.iter().find(|p| p.times == Some(1.0)).is_some_and(|p| p.row.holds());
    match (holds, below, above) {
        (true, Some(_), Some(_)) => {
            "The design relies on the stiffness of the seams: it holds as entered, and \
             neither with much softer seams nor with much stiffer ones."
                .to_owned()
        }
        (true, Some(_), None) => {
            "The design relies on the stiffness of the seams: with softer ones it does not \
             hold. Test a seam before believing the answer."
                .to_owned()
        }
        (true, None, _) => "The design does not rely on stiff seams: softer ones hold as well. Much stiffer \
             ones draw more moment and would not hold."
            .to_owned(),
        (false, _, Some(_)) => {
            "It does not hold as entered and would with stiffer seams, if they can be made and \
             their fixings hold."
                .to_owned()
        }
        (false, _, None) => {
            "It does not hold as entered; softer seams would draw less moment and hold.".to_owned()
        }
    }
}
