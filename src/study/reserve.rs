//! How much of each load alone until the first limit, and snow against wind.

use rayon::prelude::*;
use serde::Serialize;

use crate::assess::AssessError;
pub use crate::assess::results::ReserveStanding as Standing;
use crate::assess::results::Verdict;
use crate::project::Project;
use crate::shell::{self, Shell};
use crate::study::row::{First, Row, row};
use crate::study::vary::{self, Load};
use crate::study::watch::Watch;
use crate::study::{governing_only, look, rests_on_seams};

/// Factors tried upward from the entered value before a limit is bracketed.
const UPWARD: [f64; 11] = [1.25, 1.5, 2.0, 2.5, 3.0, 4.0, 6.0, 8.0, 12.0, 18.0, 25.0];
/// Factors of the table of snow against wind.
pub const GRID: [f64; 5] = [0.0, 0.5, 1.0, 1.5, 2.0];

/// One load.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LoadReserve {
    /// Which.
    pub load: Load,
    /// In words.
    pub name: String,
    /// As entered, where it is a pressure \[N/m²\].
    pub entered: Option<f64>,
    /// As entered, where it is a wind speed \[m/s\], of whose pressure `factor` is.
    pub entered_speed: Option<f64>,
    /// Where the limit lies.
    pub standing: Standing,
    /// Times the entered value (of a wind speed: its pressure) at which it still just holds; absent for [`Standing::OverWithoutIt`] and
    /// [`Standing::NoneFound`].
    pub factor: Option<f64>,
    /// The largest factor tried where no limit was found, the least known to be over where one was, and 0 where it is over without the load.
    pub tried: f64,
    /// What gives first, just beyond the limit (with none of this load, where it is over without it too).
    pub first: Option<First>,
}

impl LoadReserve {
    /// What gives first, with its model and combination; empty where no limit was found.
    #[must_use]
    pub fn gives(&self) -> String {
        let told = |f: &First| {
            let under = if f.combination.is_empty() { String::new() } else { format!("; {}", f.combination) };
            format!("{}; {}{under}", f.words(), f.model_words())
        };
        self.first.as_ref().map_or_else(String::new, told)
    }

    /// The answer in a sentence without the entered value.
    #[must_use]
    pub fn words(&self) -> String {
        let gives = self.first.as_ref().map_or_else(String::new, First::words);
        match self.standing {
            Standing::Above => gives,
            Standing::Below => format!("over as entered: {gives}"),
            Standing::OverWithoutIt => format!("over even without it: {gives}"),
            Standing::NoneFound => format!("no limit found up to {} times", self.tried),
        }
    }
}

/// Verdicts of snow against wind.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Grid {
    /// Factors on the entered snow, one a row.
    pub snow: Vec<f64>,
    /// Factors on the entered wind, one a column.
    pub wind: Vec<f64>,
    /// `verdict[snow][wind]`; absent where the work was stopped.
    pub verdict: Vec<Vec<Option<Verdict>>>,
    /// Worst utilisation of each; absent for a mechanism.
    pub worst: Vec<Vec<Option<f64>>>,
}

/// The study.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Reserves {
    /// Models that were looked at: those that the verdict is taken from.
    pub models: Vec<String>,
    /// As entered.
    pub entered: Row,
    /// One a load that the project has.
    pub loads: Vec<LoadReserve>,
    /// Snow against wind, where the project has both.
    pub grid: Option<Grid>,
    /// Rows left out because the work was stopped.
    pub left_out: usize,
}

/// Finds the reserve of every load, to `close` of the factor, and snow against wind.
///
/// # Errors
/// Any station's error.
pub fn reserves(project: &Project, close: f64, watch: &dyn Watch) -> Result<Reserves, AssessError> {
    let lean = governing_only(project);
    let shell = shell::build(&lean.shell)?;
    let mut out = of_loads(&lean, &shell, close, watch)?;
    out.entered.rests_on_seams = rests_on_seams(project, &out.entered, |stiffer| look(stiffer, &shell))?;
    let has = |load| out.loads.iter().any(|r| r.load == load);
    if has(Load::Snow) && has(Load::Wind) {
        let grid = grid(&lean, &shell, watch)?;
        out.left_out += grid.verdict.iter().flatten().filter(|v| v.is_none()).count();
        out.grid = Some(grid);
    }
    Ok(out)
}

/// As [`reserves`], without the table of snow against wind.
///
/// # Errors
/// Any station's error.
pub fn loads_only(project: &Project, close: f64, watch: &dyn Watch) -> Result<Reserves, AssessError> {
    let lean = governing_only(project);
    let shell = shell::build(&lean.shell)?;
    of_loads(&lean, &shell, close, watch)
}

fn of_loads(lean: &Project, shell: &Shell, close: f64, watch: &dyn Watch) -> Result<Reserves, AssessError> {
    let entered = row(&look(lean, shell)?);
    let loads: Vec<Load> = Load::ALL.into_iter().filter(|load| load.is_in(lean)).collect();
    watch.more(loads.len());
    let found: Vec<Option<Result<LoadReserve, AssessError>>> = loads
        .par_iter()
        .map(|&load| {
            let found = (!watch.stop()).then(|| reserve(lean, shell, &entered, load, close));
            watch.row();
            found
        })
        .collect();
    let left_out = found.iter().filter(|f| f.is_none()).count();
    let loads = found.into_iter().flatten().collect::<Result<Vec<_>, _>>()?;
    let models = entered.models.iter().filter(|m| m.governs).map(|m| m.name.clone()).collect();
    Ok(Reserves { models, entered, loads, grid: None, left_out })
}

/// The reserve of one load.
///
/// # Errors
/// Any station's error.
pub fn reserve(
    project: &Project,
    shell: &Shell,
    entered: &Row,
    load: Load,
    close: f64,
) -> Result<LoadReserve, AssessError> {
    let at = |factor: f64| {
        let varied = vary::without_missing_cases(vary::load(project, load, factor), shell);
        look(&varied, shell).map(|found| row(&found))
    };
    let mut out = LoadReserve {
        load,
        name: load.name().to_owned(),
        entered: load.entered(project),
        entered_speed: load.entered_speed(project),
        standing: Standing::NoneFound,
        factor: None,
        tried: UPWARD[UPWARD.len() - 1],
        first: None,
    };
    let (mut low, mut high, mut over) = if entered.holds() {
        let mut low = 1.0;
        let mut found = None;
        for factor in UPWARD {
            let row = at(factor)?;
            if !row.holds() {
                found = Some((factor, row));
                break;
            }
            low = factor;
        }
        let Some((high, over)) = found else { return Ok(out) };
        out.standing = Standing::Above;
        (low, high, over)
    } else {
        let none = at(0.0)?;
        if !none.holds() {
            out.standing = Standing::OverWithoutIt;
            out.first = none.first;
            out.tried = 0.0;
            return Ok(out);
        }
        out.standing = Standing::Below;
        (0.0, 1.0, entered.clone())
    };
    while high - low > close * high && high > 1e-6 {
        let middle = 0.5 * (low + high);
        let row = at(middle)?;
        if row.holds() {
            low = middle;
        } else {
            high = middle;
            over = row;
        }
    }
    out.tried = high;
    out.factor = Some(low);
    out.first = over.first;
    Ok(out)
}

fn grid(project: &Project, shell: &Shell, watch: &dyn Watch) -> Result<Grid, AssessError> {
    let cells: Vec<(f64, f64)> = GRID.iter().flat_map(|&s| GRID.iter().map(move |&w| (s, w))).collect();
    watch.more(cells.len());
    let rows: Vec<Option<Row>> = cells
        .par_iter()
        .map(|&(s, w)| {
            if watch.stop() {
                return Ok(None);
            }
            let varied = vary::load(&vary::load(project, Load::Snow, s), Load::Wind, w);
            let varied = vary::without_missing_cases(varied, shell);
            let found = row(&look(&varied, shell)?);
            watch.row();
            Ok(Some(found))
        })
        .collect::<Result<_, AssessError>>()?;
    let by_snow = || rows.chunks(GRID.len());
    Ok(Grid {
        snow: GRID.to_vec(),
        wind: GRID.to_vec(),
        verdict: by_snow().map(|c| c.iter().map(|r| r.as_ref().map(|r| r.verdict)).collect()).collect(),
        worst: by_snow().map(|c| c.iter().map(|r| r.as_ref().and_then(|r| r.worst)).collect()).collect(),
    })
}
