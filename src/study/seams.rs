//! How much the answer rests on the stiffness of the seams.

use rayon::prelude::*;
use serde::Serialize;

use crate::assess::findings::find_in;
use crate::assess::results::Verdict;
use crate::assess::setup::Setup;
use crate::assess::{AssessError, setup, verdict};
use crate::model::ask::{JointModel, SeamStiffness};
use crate::project::Project;
use crate::shell::{self, Shell};
use crate::study::row::{First, Row, row};
use crate::study::seams_words::words;
use crate::study::watch::{Quiet, Watch};
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

/// Neighbouring points at which the same thing gives.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Stretch {
    /// First and last \[N·m/rad per m\]
    pub stiffness: [f64; 2],
    /// Times the stiffness that the verdict uses; absent where none is known.
    pub times: Option<[f64; 2]>,
    /// The verdict all along it.
    pub verdict: Verdict,
    /// What gives, without the name of the part.
    pub gives: String,
}

/// The study.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SeamStudy {
    /// What `check` says of the project, by the models that it asks for.
    pub entered: Row,
    /// The stiffness that the points are multiples of: that of the verdict, where it is the seam model's; absent where none is known.
    pub stiffness: Option<f64>,
    /// Where it comes from, in words.
    pub origin: String,
    /// Softest first.
    pub points: Vec<Point>,
    /// The pinned model, whose seams have no stiffness at all; absent where the work was stopped before it.
    pub pinned: Option<Row>,
    /// Between "holds" and "does not hold", softest first.
    pub turns: Vec<Turn>,
    /// What gives where, softest first; empty where something holds, or where one and the same gives all along.
    pub stretches: Vec<Stretch>,
    /// Whether the design relies on the stiffness, in words.
    pub words: String,
    /// Points left out because the work was stopped.
    pub left_out: usize,
}

impl SeamStudy {
    /// Whether the verdict of `check` is the seam model's.
    #[must_use]
    pub fn is_of_verdict(&self) -> bool {
        self.entered.models.iter().any(|model| model.governs && model.name == "seam")
    }
}

fn only(project: &Project, model: JointModel) -> Project {
    let mut out = project.clone();
    out.joints.models = vec![model];
    out
}

fn at(project: &Project, shell: &Shell, stiffness: f64) -> Result<Row, AssessError> {
    Ok(row(&look(&vary::seam(project, stiffness), shell)?))
}

/// The stiffness that the points are multiples of.
fn known(project: &Project, set: &Setup) -> Option<f64> {
    match project.joints.seam_stiffness {
        SeamStiffness::Unknown => None,
        _ => Some(set.stiffness.seam).filter(|k| *k > 0.0),
    }
}

/// Multiples of the known stiffness, and the stiffnesses.
fn values(known: Option<f64>, count: usize) -> Vec<(Option<f64>, f64)> {
    let last = count.max(3) - 1;
    let share = |i: usize| i as f64 / last as f64;
    let value = |i: usize| match known {
        Some(k) => {
            // The middle is exactly the stiffness of the verdict.
            let times = if 2 * i == last { 1.0 } else { 10f64.powf(2.0 * share(i) - 1.0) };
            (Some(times), k * times)
        }
        None => (None, UNKNOWN_RANGE[0] * (UNKNOWN_RANGE[1] / UNKNOWN_RANGE[0]).powf(share(i))),
    };
    (0..=last).map(value).collect()
}

/// The points of a sweep; absent where the work was stopped before one.
fn sweep(
    lean: &Project,
    shell: &Shell,
    values: &[(Option<f64>, f64)],
    watch: &dyn Watch,
) -> Result<Vec<Option<Point>>, AssessError> {
    watch.more(values.len());
    values
        .par_iter()
        .map(|&(times, stiffness)| {
            if watch.stop() {
                return Ok(None);
            }
            let row = at(lean, shell, stiffness)?;
            watch.row();
            Ok(Some(Point { times, stiffness, row }))
        })
        .collect()
}

/// The points alone, softest first, without anything said of them.
///
/// # Errors
/// Any station's error.
pub fn curve(project: &Project, count: usize) -> Result<Vec<Point>, AssessError> {
    let shell = shell::build(&project.shell)?;
    let known = known(project, &setup::finish(project, shell.clone())?);
    let points = sweep(&only(project, JointModel::Seam), &shell, &values(known, count), &Quiet)?;
    Ok(points.into_iter().flatten().collect())
}

/// Sweeps the stiffness over `count` points, and looks at seams of no stiffness.
///
/// # Errors
/// Any station's error.
pub fn seams(project: &Project, count: usize, watch: &dyn Watch) -> Result<SeamStudy, AssessError> {
    let shell = shell::build(&project.shell)?;
    let set = setup::finish(project, shell.clone())?;
    let (known, origin) = (known(project, &set), set.stiffness_words.clone());
    let found = find_in(project, set)?;
    let entered = row(&found);
    // Stiffer models are the same at every point.
    let stiffer = found.setup.models.iter().zip(&found.models);
    let stiffer_holds =
        stiffer.filter(|(kind, _)| **kind > JointModel::Seam).any(|(_, model)| verdict::holds(model.verdict));
    let lean = only(project, JointModel::Seam);
    let mut tried = sweep(&lean, &shell, &values(known, count), watch)?;
    for row in tried.iter_mut().flatten().map(|point| &mut point.row) {
        let fails = row.models.iter().any(|model| !verdict::holds(model.verdict));
        row.rests_on_seams = fails && stiffer_holds;
    }
    watch.more(1);
    let pinned = if watch.stop() {
        None
    } else {
        let pinned = row(&look(&only(project, JointModel::Pinned), &shell)?);
        watch.row();
        Some(pinned)
    };
    let left_out = tried.iter().filter(|p| p.is_none()).count() + usize::from(pinned.is_none());
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
    let never = left_out == 0 && points.iter().all(|point| !point.row.holds());
    let mut stretches = if never { stretches(&points) } else { Vec::new() };
    let words = match &pinned {
        Some(pinned) if left_out == 0 => words(known, &points, &turns, stretches.len(), pinned),
        _ => "Stopped before the whole range was worked out: nothing is said of it as a whole.".to_owned(),
    };
    if stretches.len() == 1 {
        stretches.clear();
    }
    Ok(SeamStudy { entered, stiffness: known, origin, points, pinned, turns, stretches, words, left_out })
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

/// Neighbouring points with the same verdict and the same kind of thing that gives.
fn stretches(points: &[Point]) -> Vec<Stretch> {
    let mut out: Vec<Stretch> = Vec::new();
    for point in points {
        let gives = point.row.first.as_ref().map_or_else(|| point.row.governs(), First::kind);
        let verdict = point.row.verdict;
        match out.last_mut() {
            Some(last) if last.gives == gives && last.verdict == verdict => {
                last.stiffness[1] = point.stiffness;
                last.times = last.times.zip(point.times).map(|([from, _], to)| [from, to]);
            }
            _ => out.push(Stretch {
                stiffness: [point.stiffness; 2],
                times: point.times.map(|times| [times; 2]),
                verdict,
                gives,
            }),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::study::row::{by_hand, first_by_hand};

    fn point(times: f64, verdict: Verdict, what: &str, rule: &str) -> Point {
        let row = by_hand(verdict, first_by_hand(what, rule));
        Point { times: Some(times), stiffness: 1000.0 * times, row }
    }

    #[test]
    fn where_nothing_holds_each_stretch_says_what_gives() {
        let points = [
            point(0.1, Verdict::Unstable, "shell", "folds"),
            point(0.3, Verdict::Unstable, "shell", "folds"),
            point(1.0, Verdict::Over, "timber", "torsion with shear"),
            point(3.0, Verdict::Over, "timber", "torsion with shear"),
            point(10.0, Verdict::Over, "fixing", "end distance"),
        ];
        let found = stretches(&points);
        let gives: Vec<(&str, [f64; 2])> =
            found.iter().map(|s| (s.gives.as_str(), s.times.unwrap_or_default())).collect();
        assert_eq!(
            gives,
            [
                ("folds", [0.1, 0.3]),
                ("timber: torsion with shear", [1.0, 3.0]),
                ("fixing: end distance", [10.0; 2])
            ]
        );
    }
}
