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
    /// The stiffness that the verdict uses; absent where none is known.
    pub stiffness: Option<f64>,
    /// Where it comes from, in words.
    pub origin: String,
    /// Softest first.
    pub points: Vec<Point>,
    /// Between "holds" and "does not hold", softest first.
    pub turns: Vec<Turn>,
    /// What gives where, softest first; empty where something holds, or where one and the same gives all along.
    pub stretches: Vec<Stretch>,
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
    let never = left_out == 0 && points.iter().all(|point| !point.row.holds());
    let mut stretches = if never { stretches(&points) } else { Vec::new() };
    let words = if left_out > 0 {
        "Stopped before the whole range was worked out: nothing is said of it as a whole.".to_owned()
    } else {
        words(known, &points, &turns, stretches.len())
    };
    if stretches.len() == 1 {
        stretches.clear();
    }
    Ok(SeamStudy { stiffness: known, origin: set.stiffness_words, points, turns, stretches, words, left_out })
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
        let gives = point.row.first.as_ref().map_or_else(
            || point.row.governs(),
            |first| {
                if first.what == "shell" {
                    first.rule.clone()
                } else {
                    format!("{}: {}", first.what, first.rule)
                }
            },
        );
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

/// `stretches`: how many there are of those in which one and the same thing gives.
fn words(known: Option<f64>, points: &[Point], turns: &[Turn], stretches: usize) -> String {
    let Some(first) = points.first() else { return "Nothing was worked out.".to_owned() };
    let range = if known.is_some() { "from a tenth to ten times as stiff" } else { "over the range tried" };
    if turns.is_empty() {
        return if first.row.holds() {
            format!(
                "Within or near its limits with seams {range}: as far as was tried, the answer does not rely on \
                 their stiffness."
            )
        } else if stretches > 1 {
            format!(
                "Over its limits or unstable with seams {range}: no stiffness that was tried makes it hold, though what \
                 gives changes with it."
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::study::row::{First, by_hand};

    fn point(times: f64, verdict: Verdict, what: &str, rule: &str) -> Point {
        let first = First {
            what: what.to_owned(),
            id: format!("s{times}"),
            place: String::new(),
            utilisation: None,
            rule: rule.to_owned(),
            clause: String::new(),
            combination: String::new(),
            model: "seam".to_owned(),
        };
        let row = by_hand(verdict, first);
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
        let said = words(Some(1000.0), &points, &[], found.len());
        assert!(!said.contains("not what decides") && !said.contains("What gives is"), "{said}");
        let said = words(Some(1000.0), &points[..2], &[], 1);
        assert!(said.contains("not what decides. What gives is folds"), "{said}");
    }
}
