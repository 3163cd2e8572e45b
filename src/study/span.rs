//! How far it can go: one size swept against the first limit.

use rayon::prelude::*;
use serde::Serialize;

use crate::assess::AssessError;
use crate::assess::results::Verdict;
use crate::project::Project;
use crate::project::schema_study::{SectionAsk, SpanAsk, TimberChoice, Vary};
use crate::shell;
use crate::shell::ask::{EndForm, Form};
use crate::shell::count::{extents, other_than};
use crate::study::row::{Row, row};
use crate::study::vary::OwnTimber;
use crate::study::watch::Watch;
use crate::study::{governing_only, look, look_whole, rests_on_seams, vary};

/// Half a millimetre of the swept size: a span that is twice a radius is then known to 1 mm.
const CLOSE: f64 = 0.0005;

/// One value of the swept size.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Step {
    /// The swept size \[m, or a count\].
    pub value: f64,
    /// Across the shell there, between its outermost joints \[m\]; absent where it cannot be built.
    pub span: Option<f64>,
    /// Across the curve that they stand on, where it is another \[m\].
    #[serde(skip_serializing_if = "Option::is_none")]
    pub span_of_curve: Option<f64>,
    /// What `check` would say of the models that the verdict is taken from.
    pub row: Option<Row>,
    /// Why there is no row.
    pub fault: Option<String>,
}

/// Where a timber crosses its limit.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Crossing {
    /// Last value that holds, first that does not \[m, or a count\].
    pub between: [f64; 2],
    /// Across at the last value that holds, between the outermost joints \[m\].
    pub span: Option<f64>,
    /// Across the curve there, where it is another \[m\].
    #[serde(skip_serializing_if = "Option::is_none")]
    pub span_of_curve: Option<f64>,
    /// Worst utilisation at both, in the order of `between`; absent for a mechanism, and beyond every limit of validity.
    pub worst: [Option<f64>; 2],
    /// Verdicts at both.
    pub verdicts: [Verdict; 2],
    /// Whether it holds below (and not above), or the other way round.
    pub holds_below: bool,
    /// What gives there.
    pub gives: String,
}

/// What governs over a stretch of steps.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Stretch {
    /// First and last value.
    pub values: [f64; 2],
    /// What governs, without the name of the part.
    pub governs: String,
}

/// One timber over the sweep.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Sweep {
    /// b \[m\].
    pub breadth: f64,
    /// d \[m\].
    pub depth: f64,
    /// Grade.
    pub grade: String,
    /// In the order of the values.
    pub steps: Vec<Step>,
    /// Every crossing between two steps, in order.
    pub crossings: Vec<Crossing>,
    /// What governs where.
    pub stretches: Vec<Stretch>,
}

/// The study.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Swept {
    /// "radius", "span", "rise", "bands", "frequency".
    pub vary: String,
    /// Whether the size is a count.
    pub counted: bool,
    /// One a timber.
    pub sweeps: Vec<Sweep>,
    /// Groups of timbers that keep their own size whatever timber is tried.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub keep_their_own: Vec<OwnTimber>,
    /// Rows left out because the work was stopped.
    pub left_out: usize,
}

/// Name of a swept size.
#[must_use]
pub fn name(vary: Vary) -> &'static str {
    match vary {
        Vary::Radius => "radius",
        Vary::Span => "span",
        Vary::Rise => "rise",
        Vary::Bands => "bands",
        Vary::Frequency => "frequency",
    }
}

/// What is swept where the file says nothing: the size that spans, from half to twice as entered, with
/// the project's own timber; `None` for a mesh, whose size is not ours to change.
#[must_use]
pub fn usual(project: &Project) -> Option<SpanAsk> {
    let (vary, size) = match &project.shell.form {
        Form::Dome { radius, .. } | Form::Tunnel { radius, .. } => (Vary::Radius, *radius),
        Form::Barrel { span, .. } => (Vary::Span, *span),
        Form::Mesh(_) => return None,
    };
    Some(SpanAsk { vary, range: [0.5 * size, 2.0 * size], steps: 9, timbers: Vec::new() })
}

/// Values of the sweep: evenly spaced sizes, or every count that the form takes.
#[must_use]
pub fn values(project: &Project, ask: &SpanAsk) -> Vec<f64> {
    let [from, to] = ask.range;
    if !is_counted(ask.vary) {
        let last = ask.steps.max(2) - 1;
        return (0..=last).map(|i| from + (to - from) * i as f64 / last as f64).collect();
    }
    // A tunnel wants an even frequency, and between two half-domes an even number of bands.
    let even = match &project.shell.form {
        Form::Tunnel { ends, .. } => ask.vary == Vary::Frequency || *ends == [EndForm::HalfDome; 2],
        _ => false,
    };
    let stride = if even { 2.0 } else { 1.0 };
    let mut value = (from / stride).ceil() * stride;
    let mut out = Vec::new();
    while value <= to + 1e-9 {
        out.push(value);
        value += stride;
    }
    out
}

fn is_counted(vary: Vary) -> bool {
    matches!(vary, Vary::Bands | Vary::Frequency)
}

/// The project with one timber and one value of the swept size.
#[must_use]
pub fn with(project: &Project, vary: Vary, choice: &TimberChoice, value: f64) -> Option<Project> {
    let out = vary::section(project, choice.section.breadth, choice.section.depth);
    let out = choice.grade.as_ref().map_or_else(|| out.clone(), |grade| vary::grade(&out, grade));
    vary::shape(&out, vary, value)
}

/// Sweeps a size.
///
/// # Errors
/// The program itself fails. A size that cannot be built is a step that says why.
pub fn sweep(project: &Project, ask: &SpanAsk, watch: &dyn Watch) -> Result<Swept, AssessError> {
    let lean = governing_only(project);
    let own = SectionAsk { breadth: project.timber.breadth, depth: project.timber.depth };
    let timbers = if ask.timbers.is_empty() {
        vec![TimberChoice { section: own, grade: None }]
    } else {
        ask.timbers.clone()
    };
    let values = values(project, ask);
    let jobs: Vec<(usize, f64)> =
        (0..timbers.len()).flat_map(|t| values.iter().map(move |&v| (t, v))).collect();
    watch.more(jobs.len());
    let tried: Vec<Option<(usize, Result<Step, AssessError>)>> = jobs
        .par_iter()
        .map(|&(t, value)| {
            if watch.stop() {
                return None;
            }
            let step = step(&lean, ask.vary, &timbers[t], value)
                .and_then(|step| resting(project, ask.vary, &timbers[t], step));
            watch.row();
            Some((t, step))
        })
        .collect();
    let mut steps: Vec<Vec<Step>> = vec![Vec::new(); timbers.len()];
    let mut left_out = 0;
    for one in tried {
        match one {
            Some((t, step)) => steps[t].push(step?),
            None => left_out += 1,
        }
    }
    let sweeps: Vec<Sweep> = timbers
        .par_iter()
        .zip(steps)
        .map(|(timber, steps)| {
            let crossings =
                if watch.stop() { Vec::new() } else { crossings(&lean, ask.vary, timber, &steps)? };
            let stretches = stretches(&steps);
            Ok(Sweep {
                breadth: timber.section.breadth,
                depth: timber.section.depth,
                grade: timber.grade.as_ref().unwrap_or(&project.grade).name().to_owned(),
                steps,
                crossings,
                stretches,
            })
        })
        .collect::<Result<_, AssessError>>()?;
    // A limit that was not looked for is a row that is missing.
    let unsought = |sweep: &&Sweep| {
        let holds = |step: &Step| step.row.as_ref().map(Row::holds);
        let turns = sweep.steps.windows(2).any(|pair| holds(&pair[0]) != holds(&pair[1]));
        turns && sweep.crossings.is_empty()
    };
    if watch.stop() {
        left_out += sweeps.iter().filter(unsought).count();
    }
    // The project's own timber changes no size.
    let keep_their_own = if ask.timbers.is_empty() { Vec::new() } else { vary::keep_their_own(project) };
    Ok(Swept {
        vary: name(ask.vary).to_owned(),
        counted: is_counted(ask.vary),
        sweeps,
        keep_their_own,
        left_out,
    })
}

fn step(project: &Project, vary: Vary, timber: &TimberChoice, value: f64) -> Result<Step, AssessError> {
    let fault =
        |fault: String| Step { value, span: None, span_of_curve: None, row: None, fault: Some(fault) };
    let Some(varied) = with(project, vary, timber, value) else {
        return Ok(fault("the form has no such size".to_owned()));
    };
    let built = match shell::build(&varied.shell) {
        Ok(shell) => shell,
        Err(error) => return Ok(fault(error.to_string())),
    };
    if let Some(why) = vary::names_moved(project, &built) {
        return Ok(fault(why));
    }
    match look(&varied, &built) {
        Ok(found) => {
            let across = extents(&built).across;
            let span_of_curve = other_than(&built, across, built.outline.span);
            Ok(Step { value, span: Some(across), span_of_curve, row: Some(row(&found)), fault: None })
        }
        Err(error) if error.is_input() => Ok(fault(error.to_string())),
        Err(error) => Err(error),
    }
}

/// Says of a step whether it rests on the stiffness of the seams.
fn resting(
    project: &Project,
    vary: Vary,
    timber: &TimberChoice,
    mut step: Step,
) -> Result<Step, AssessError> {
    if let (Some(row), Some(varied)) = (&mut step.row, with(project, vary, timber, step.value)) {
        row.rests_on_seams = rests_on_seams(&varied, row, look_whole)?;
    }
    Ok(step)
}

fn crossings(
    project: &Project,
    vary: Vary,
    timber: &TimberChoice,
    steps: &[Step],
) -> Result<Vec<Crossing>, AssessError> {
    let mut out = Vec::new();
    for pair in steps.windows(2) {
        let (Some(a), Some(b)) = (&pair[0].row, &pair[1].row) else { continue };
        if a.holds() == b.holds() {
            continue;
        }
        let holds_below = a.holds();
        let (mut low, mut high) = (pair[0].clone(), pair[1].clone());
        while !is_counted(vary) && high.value - low.value > CLOSE {
            let middle = step(project, vary, timber, 0.5 * (low.value + high.value))?;
            let Some(row) = &middle.row else { break };
            if row.holds() == holds_below {
                low = middle;
            } else {
                high = middle;
            }
        }
        let (holding, over) = if holds_below { (low, high) } else { (high, low) };
        let (Some(holds), Some(fails)) = (&holding.row, &over.row) else { continue };
        out.push(Crossing {
            between: [holding.value, over.value],
            span: holding.span,
            span_of_curve: holding.span_of_curve,
            worst: [holds.worst, fails.worst],
            verdicts: [holds.verdict, fails.verdict],
            holds_below,
            gives: fails.governs(),
        });
    }
    Ok(out)
}

fn stretches(steps: &[Step]) -> Vec<Stretch> {
    let mut out: Vec<Stretch> = Vec::new();
    for step in steps {
        let Some(first) = step.row.as_ref().and_then(|r| r.first.as_ref()) else { continue };
        let governs = first.kind();
        match out.last_mut() {
            Some(last) if last.governs == governs => last.values[1] = step.value,
            _ => out.push(Stretch { values: [step.value, step.value], governs }),
        }
    }
    out
}
