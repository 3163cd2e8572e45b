//! Inputs given as ranges: every corner of them tried, and points within.
//!
//! Corners hold the worst only of what grows (or falls) with each input all the way. Lift does not where a
//! heavier cover holds the feet down, and seams need not get worse with either end. So the middle is tried as
//! well: of all ranges together, and of each alone from the worst corner. Should one of these be worse than
//! every corner, it is the one that counts; that none is proves nothing of the values between.

use rayon::prelude::*;

use crate::assess::feet::FootPeaks;
use crate::assess::findings::{Findings, find};
use crate::assess::held_feet::TELLING;
use crate::assess::ranged::{
    Beyond, ModelSpread, PointModel, PointResult, RangeLine, RangeResults, Ranges, Spread, VerdictCounts,
};
use crate::assess::results::{AnchorLine, Balance, Verdict};
use crate::assess::{AssessError, anchors, balance, notes, verdict};
use crate::project::{End, Project, ProjectError, Ranged};
use crate::study::row::{Row, row};
use crate::study::vary;
use crate::study::watch::Watch;

/// Why there is no answer over the ranges.
#[derive(Debug, thiserror::Error)]
pub enum RangesError {
    /// Values that each may stand alone and do not go together.
    #[error(transparent)]
    Project(#[from] ProjectError),
    /// One point cannot be assessed.
    #[error("with {at}: {error}")]
    Assess {
        /// The point in words.
        at: String,
        /// Why.
        error: AssessError,
        /// The project there.
        project: Box<Project>,
    },
    /// The work was stopped before any point was tried.
    #[error("stopped before any corner was tried")]
    Stopped,
}

impl RangesError {
    /// Whether the input is at fault (exit code 2) rather than the program (3).
    #[must_use]
    pub fn is_input(&self) -> bool {
        match self {
            Self::Project(_) => true,
            Self::Assess { error, .. } => error.is_input(),
            Self::Stopped => false,
        }
    }
}

/// The study: the project at the worst point tried, and what goes into its results.
#[derive(Debug)]
pub struct Worst {
    /// The project with every input at its value there.
    pub project: Project,
    /// Where each input stands.
    pub ends: Vec<End>,
    /// What the results say of the ranges.
    pub ranges: Ranges,
}

/// One point tried.
#[derive(Debug, Clone, PartialEq)]
pub struct Tried {
    /// Where each input stands, in the order of the file.
    pub ends: Vec<End>,
    /// What `check` says there.
    pub row: Row,
    /// Greatest lift of a foot in the models that the verdict is taken from and that could be solved \[N\].
    pub uplift: f64,
    /// Greatest sideways push at a foot in the models that the verdict is taken from \[N\].
    pub slide: f64,
    /// Greatest moment in a foot in those models \[N·m\].
    pub foot_moment: f64,
    /// Whether any of those models could be solved.
    pub solved: bool,
    /// What each anchor is to hold.
    pub anchors: Vec<AnchorLine>,
    /// How the whole stands on its feet.
    pub balance: Balance,
    /// What is warned of.
    pub warnings: Vec<String>,
}

/// What `check` finds at one point, as deep as `check` itself looks.
///
/// # Errors
/// Any station's error, with the point in words.
pub fn try_one(ranged: &Ranged, ends: &[End]) -> Result<Tried, RangesError> {
    let project = ranged.at(ends)?;
    let found = find(&project).map_err(|error| RangesError::Assess {
        at: ranged.words(ends),
        error,
        project: Box::new(project.clone()),
    })?;
    let governing = || found.governing.iter().map(|&i| &found.models[i]);
    // What the lowest corner names by number may be another part here.
    let low = ranged.at(&vec![End::Low; ends.len()])?;
    let moved = vary::names_moved(&low, &found.setup.shell);
    let mut warnings = notes::warnings(&project, &found);
    warnings.extend(moved.map(|words| format!("Not the shell of the low ends: {words}.")));
    Ok(Tried {
        ends: ends.to_vec(),
        row: row(&found),
        uplift: greatest_of_feet(&found, |foot| foot.uplift.value),
        slide: greatest_of_feet(&found, |foot| foot.slide.value),
        foot_moment: greatest_of_feet(&found, |foot| foot.moment.value),
        solved: governing().any(|model| !model.run.is_mechanism()),
        anchors: anchors::schedule(&found),
        balance: balance::results(&project, &found),
        warnings,
    })
}

fn greatest_of_feet(found: &Findings, of: impl Fn(&FootPeaks) -> f64) -> f64 {
    let feet = found.governing.iter().flat_map(|&i| &found.models[i].feet);
    feet.map(of).fold(0.0, f64::max)
}

/// Tries every corner and the points within, and takes the worst.
///
/// # Errors
/// A point that cannot be read or assessed: then nothing is known of the range. Of several the first.
pub fn worst(ranged: &Ranged, watch: &dyn Watch) -> Result<Worst, RangesError> {
    let all = ranged.corners();
    watch.more(all.len() + points_within(&vec![End::Middle; ranged.inputs.len()]).len());
    let (corners, mut left_out) = try_all(ranged, &all, watch)?;
    let worst_corner = worst_of(&corners).ok_or(RangesError::Stopped)?;
    let inside = points_within(&corners[worst_corner].ends);
    let (within, more) = try_all(ranged, &inside, watch)?;
    left_out += more;
    // Of equals a corner counts: it is what a person can write down and look at.
    let worst = worst_of(&within)
        .map(|i| &within[i])
        .filter(|tried| worse(tried, &corners[worst_corner]))
        .unwrap_or(&corners[worst_corner]);
    let ends = worst.ends.clone();
    // Positions among all corners, so that a point has the same name however many were tried.
    let number = |tried: &Tried| all.iter().position(|ends| *ends == tried.ends).unwrap_or_default();
    let corner_results: Vec<PointResult> =
        corners.iter().map(|tried| point(ranged, format!("c{}", number(tried) + 1), tried)).collect();
    let within_number =
        |tried: &Tried| inside.iter().position(|ends| *ends == tried.ends).unwrap_or_default();
    let within_results: Vec<PointResult> =
        within.iter().map(|tried| point(ranged, format!("m{}", within_number(tried)), tried)).collect();
    let points = || corner_results.iter().chain(&within_results);
    let named = ends.iter().map(|end| end.name());
    let id = points().find(|p| p.ends.iter().map(String::as_str).eq(named.clone())).map(|p| p.id.clone());
    let inputs = ranged.inputs.iter().zip(&ends).map(|(input, end)| RangeLine {
        key: input.key.clone(),
        words: input.words(),
        unit: input.unit.to_owned(),
        low: input.value(End::Low),
        high: input.value(End::High),
        worst_end: end.name().to_owned(),
    });
    let ranges = Ranges {
        inputs: inputs.collect(),
        worst: id.unwrap_or_default(),
        worst_words: ranged.words(&ends),
        verdicts: counts(&corner_results),
        beyond_corners: beyond(&corner_results, &within_results),
        results: results(&points().collect::<Vec<_>>()),
        warnings: warned_elsewhere(
            worst,
            &points().map(|point| point.id.clone()).zip(corners.iter().chain(&within)).collect::<Vec<_>>(),
        ),
        anchors: anchors::greatest(corners.iter().chain(&within).map(|tried| &tried.anchors[..])),
        left_out,
        corners: corner_results,
        within: within_results,
    };
    Ok(Worst { project: ranged.at(&ends)?, ends, ranges })
}

/// Every middle together, then each alone from the worst corner.
fn points_within(corner: &[End]) -> Vec<Vec<End>> {
    let one = |input: usize| {
        let mut ends = corner.to_vec();
        ends[input] = End::Middle;
        ends
    };
    let mut out = vec![vec![End::Middle; corner.len()]];
    // Of a single range both are the same point.
    if corner.len() > 1 {
        out.extend((0..corner.len()).map(one));
    }
    out
}

/// What was tried, in order, and how many were left out.
fn try_all(
    ranged: &Ranged,
    points: &[Vec<End>],
    watch: &dyn Watch,
) -> Result<(Vec<Tried>, usize), RangesError> {
    let tried: Vec<Option<Result<Tried, RangesError>>> = points
        .par_iter()
        .map(|ends| {
            if watch.stop() {
                return None;
            }
            let tried = try_one(ranged, ends);
            watch.row();
            Some(tried)
        })
        .collect();
    // In order, so that of several errors the first is told whatever the threads did.
    let out = tried.into_iter().flatten().collect::<Result<Vec<_>, _>>()?;
    let left_out = points.len() - out.len();
    Ok((out, left_out))
}

/// How bad a point is, after its verdict: its utilisation (none, as of a mechanism, is the worst), then its worst timber (where a rule
/// of geometry governs, it governs at many points alike, and loads show in the timbers alone), then what its feet are asked for: where
/// weight and snow govern the timbers, wind shows at the feet alone.
fn rank(tried: &Tried) -> [f64; 6] {
    let timbers = tried.row.models.iter().filter(|model| model.governs).filter_map(|model| model.timber);
    let timber = timbers.reduce(f64::max).unwrap_or(f64::INFINITY);
    let tipping = tried.balance.tipping.as_ref().map_or(f64::NEG_INFINITY, |tipping| tipping.moment);
    [tried.row.worst.unwrap_or(f64::INFINITY), timber, tried.uplift, tried.slide, tried.foot_moment, tipping]
}

/// Whether one point is worse than another; what differs by rounding alone is the same.
fn worse(a: &Tried, b: &Tried) -> bool {
    const ROUNDING: f64 = 1e-9;
    if a.row.verdict != b.row.verdict {
        return a.row.verdict > b.row.verdict;
    }
    let same =
        |(a, b): &(f64, f64)| a.total_cmp(b).is_eq() || (a - b).abs() <= ROUNDING * a.abs().max(b.abs());
    let differs = rank(a).into_iter().zip(rank(b)).find(|pair| !same(pair));
    differs.is_some_and(|(a, b)| a > b)
}

/// Position of the worst; of equals the first.
fn worst_of(tried: &[Tried]) -> Option<usize> {
    (0..tried.len()).reduce(|best, i| if worse(&tried[i], &tried[best]) { i } else { best })
}

/// What other points are warned of and the worst one is not, each kind once: figures and names in one sentence differ from point to
/// point, so that the words it begins with tell its kind.
fn warned_elsewhere(worst: &Tried, all: &[(String, &Tried)]) -> Vec<String> {
    const KIND: usize = 5;
    let kind = |words: &str| -> Vec<String> {
        let plain = words.split_whitespace().filter(|word| word.chars().all(|c| !c.is_ascii_digit()));
        plain.take(KIND).map(str::to_owned).collect()
    };
    let mut known: Vec<Vec<String>> = worst.warnings.iter().map(|words| kind(words)).collect();
    let mut out = Vec::new();
    for (id, tried) in all {
        for words in &tried.warnings {
            let of_it = kind(words);
            if !known.contains(&of_it) {
                known.push(of_it);
                out.push(format!("At the point {id} of the ranges: {words}"));
            }
        }
    }
    out
}

fn point(ranged: &Ranged, id: String, tried: &Tried) -> PointResult {
    let row = &tried.row;
    PointResult {
        id,
        ends: tried.ends.iter().map(|end| end.name().to_owned()).collect(),
        values: ranged.inputs.iter().zip(&tried.ends).map(|(input, &end)| input.value(end)).collect(),
        words: ranged.words(&tried.ends),
        verdict: row.verdict,
        rests_on_seams: row.rests_on_seams,
        utilisation: row.worst,
        governs: row.governs(),
        combination: row.first.as_ref().map_or_else(String::new, |first| first.combination.clone()),
        buckling: row.buckling,
        gives_way: row.gives_way_as_followed(),
        sag: row.sag,
        uplift: tried.solved.then_some(tried.uplift),
        slide: tried.solved.then_some(tried.slide),
        foot_moment: tried.solved.then_some(tried.foot_moment),
        net_lift: tried.balance.uplift.iter().map(|line| line.net).reduce(f64::max),
        tipping: tried.balance.tipping.as_ref().map(|tipping| tipping.moment),
        models: row
            .models
            .iter()
            .map(|model| PointModel {
                name: model.name.clone(),
                governs: model.governs,
                verdict: model.verdict,
                mechanisms: model.mechanisms,
                utilisation: model.worst,
                timber: model.timber,
                buckling: model.buckling,
                sag: model.sag,
            })
            .collect(),
    }
}

fn counts(corners: &[PointResult]) -> VerdictCounts {
    let of = |verdict: Verdict| corners.iter().filter(|corner| corner.verdict == verdict).count();
    VerdictCounts {
        within: of(Verdict::Within),
        near: of(Verdict::Near),
        over: of(Verdict::Over),
        unstable: of(Verdict::Unstable),
    }
}

fn spread(points: &[&PointResult], of: impl Fn(&PointResult) -> Option<f64>) -> Spread {
    let mut out = Spread::default();
    for point in points {
        let Some(value) = of(point) else {
            out.without += 1;
            continue;
        };
        if out.least.is_none_or(|least| value < least) {
            out.least = Some(value);
            out.least_at.clone_from(&point.id);
        }
        if out.greatest.is_none_or(|greatest| value > greatest) {
            out.greatest = Some(value);
            out.greatest_at.clone_from(&point.id);
        }
    }
    out
}

fn results(points: &[&PointResult]) -> RangeResults {
    let names = points.first().map_or(&[][..], |point| &point.models[..]);
    let model = |i: usize, model: &PointModel| {
        let verdicts = || points.iter().filter_map(|point| point.models.get(i)).map(|m| m.verdict);
        ModelSpread {
            name: model.name.clone(),
            governs: model.governs,
            verdicts: [verdicts().min().unwrap_or(model.verdict), verdicts().max().unwrap_or(model.verdict)],
            utilisation: spread(points, |point| point.models.get(i).and_then(|m| m.utilisation)),
            timber: spread(points, |point| point.models.get(i).and_then(|m| m.timber)),
        }
    };
    RangeResults {
        utilisation: spread(points, |point| point.utilisation),
        buckling: spread(points, |point| point.buckling),
        gives_way: spread(points, |point| point.gives_way),
        sag: spread(points, |point| point.sag),
        uplift: spread(points, |point| point.uplift),
        slide: spread(points, |point| point.slide),
        foot_moment: spread(points, |point| point.foot_moment),
        net_lift: spread(points, |point| point.net_lift),
        tipping: spread(points, |point| point.tipping),
        models: names.iter().enumerate().map(|(i, m)| model(i, m)).collect(),
    }
}

/// Results that a point within makes worse than every corner does.
fn beyond(corners: &[PointResult], within: &[PointResult]) -> Vec<Beyond> {
    let mut out = Vec::new();
    let verdict = |points: &[PointResult]| points.iter().map(|p| p.verdict).max();
    if let Some(point) = within.iter().find(|p| Some(p.verdict) > verdict(corners)) {
        let worst = corners.iter().filter_map(|p| p.utilisation).reduce(f64::max);
        out.push(Beyond {
            result: "verdict".to_owned(),
            point: point.id.clone(),
            value: point.utilisation,
            corners: worst,
        });
    }
    type Of = fn(&PointResult) -> Option<f64>;
    // Of what the whole gives way at the least is the worst: looked at upside down.
    let kinds: [(&str, Of, f64); 6] = [
        ("utilisation", |p| p.utilisation, 1.0),
        ("gives way", |p| p.gives_way, -1.0),
        ("sag", |p| p.sag, 1.0),
        ("uplift", |p| p.uplift, 1.0),
        ("slide", |p| p.slide, 1.0),
        ("foot moment", |p| p.foot_moment, 1.0),
    ];
    for (result, of, sign) in kinds {
        let worst = |points: &[PointResult]| {
            let all = points.iter().filter_map(|p| of(p).map(|value| (sign * value, p.id.clone())));
            all.reduce(|a, b| if b.0 > a.0 { b } else { a })
        };
        // A corner that folds has no number, and nothing is worse than that; one that stands and does not give way has none either.
        let folds =
            |p: &PointResult| of(p).is_none() && (result != "gives way" || p.verdict == Verdict::Unstable);
        let folds = corners.iter().any(folds);
        if let (Some((at_corners, _)), Some((value, point))) = (worst(corners), worst(within))
            && value > at_corners
            && (result != "foot moment" || value >= TELLING)
            && !folds
        {
            out.push(Beyond {
                result: result.to_owned(),
                point,
                value: Some(sign * value),
                corners: Some(sign * at_corners),
            });
        }
    }
    out
}

/// Whether nothing is over its limit or unstable at the worst point, and every point was tried.
#[must_use]
pub fn holds(ranges: &Ranges) -> bool {
    let mut points = ranges.corners.iter().chain(&ranges.within);
    ranges.left_out == 0 && points.all(|point| verdict::holds(point.verdict))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn point(
        id: &str,
        verdict: Verdict,
        utilisation: Option<f64>,
        gives_way: f64,
        uplift: f64,
    ) -> PointResult {
        // What folds has no figures.
        let gives_way = utilisation.map(|_| gives_way);
        PointResult {
            id: id.to_owned(),
            ends: Vec::new(),
            values: Vec::new(),
            words: String::new(),
            verdict,
            rests_on_seams: false,
            utilisation,
            governs: String::new(),
            combination: String::new(),
            buckling: gives_way.map(|factor| 2.0 * factor),
            gives_way,
            sag: Some(0.001),
            uplift: utilisation.map(|_| uplift),
            slide: utilisation.map(|_| 10.0),
            foot_moment: utilisation.map(|_| 0.0),
            net_lift: None,
            tipping: None,
            models: Vec::new(),
        }
    }

    #[test]
    fn what_is_worse_within_is_told_and_nothing_else() {
        let corners = [
            point("c1", Verdict::Within, Some(0.5), 4.0, 100.0),
            point("c2", Verdict::Near, Some(0.9), 3.0, 80.0),
        ];
        assert_eq!(beyond(&corners, &[point("m0", Verdict::Near, Some(0.9), 3.0, 100.0)]), []);
        let told = beyond(&corners, &[point("m0", Verdict::Over, Some(1.1), 2.5, 90.0)]);
        let told: Vec<_> = told.iter().map(|b| (b.result.as_str(), b.value, b.corners)).collect();
        let wanted = [
            ("verdict", Some(1.1), Some(0.9)),
            ("utilisation", Some(1.1), Some(0.9)),
            ("gives way", Some(2.5), Some(3.0)),
        ];
        assert_eq!(told, wanted);
    }

    #[test]
    fn nothing_is_worse_than_a_corner_that_folds() {
        let corners = [
            point("c1", Verdict::Unstable, None, 4.0, 0.0),
            point("c2", Verdict::Within, Some(0.5), 3.0, 80.0),
        ];
        assert_eq!(beyond(&corners, &[point("m0", Verdict::Over, Some(1.1), 2.5, 90.0)]), []);
        let told = beyond(&corners[1..], &[point("m0", Verdict::Unstable, None, 3.5, 0.0)]);
        assert_eq!(told.len(), 1);
        assert_eq!((told[0].result.as_str(), told[0].value), ("verdict", None));
    }

    #[test]
    fn points_within_are_the_middle_and_each_middle_alone() {
        use End::{High, Low, Middle};
        assert_eq!(points_within(&[Low]), [vec![Middle]]);
        assert_eq!(
            points_within(&[Low, High]),
            [vec![Middle, Middle], vec![Middle, High], vec![Low, Middle]]
        );
    }
}
