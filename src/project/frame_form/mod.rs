//! A plain frame: sheets of joints, bars and loads, `[section.*]` and `[analysis]`.
//!
//! Beyond the agreed columns: springs to ground (`kx` … `krz`) and lumped `mass` in the sheet of joints;
//! end springs (`from_krx` … `to_krz`) in that of bars; settlements of held freedoms (`ux` … `rz`) in that of
//! loads; the intensity at the far end (`wx_end` …) in that of line loads; and sheets of `springs` between
//! joints and of `folds` between panels.

mod analysis;
mod bars;
mod cells;
mod joints;
mod loads;
mod sections;
mod sheets;
mod springs;
mod trial;

pub use analysis::{ANALYSIS_KEYS, Analysis, Kind, WATCH_KEYS};
pub use joints::FREEDOMS;
pub use sections::SECTION_KEYS;
pub(crate) use sheets::SHEETS;

use super::csv;
use super::reading::Reading;
use super::schema_shell;
use super::table::Table;
use crate::frame::{Frame, FrameLoads};
use crate::vector::Vec3;
use cells::Names;

/// A plain frame as asked for: the frame, the names, the cases and what to do.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct PlainFrame {
    /// The frame.
    pub frame: Frame,
    /// Name of every node.
    pub joints: Vec<String>,
    /// Name of every bar.
    pub bars: Vec<String>,
    /// Lumped mass of every node \[kg\].
    pub masses: Vec<f64>,
    /// Load cases by name, in the order of the sheets.
    pub cases: Vec<(String, FrameLoads)>,
    /// What to do.
    pub analysis: Analysis,
}

/// Warns of a size and of loads that few frames have: most likely they are in another unit.
fn unusual(reading: &Reading, plain: &PlainFrame) {
    let words = |value: f64| crate::units::significant(value, 3);
    let mut ends = [Vec3::repeat(f64::INFINITY), Vec3::repeat(f64::NEG_INFINITY)];
    for node in &plain.frame.nodes {
        ends = [ends[0].inf(&node.at), ends[1].sup(&node.at)];
    }
    let size = (ends[1] - ends[0]).max();
    let (low, high) = USUAL_SIZE;
    if !(low..=high).contains(&size) {
        let size = words(size);
        reading.warn(format!(
            "the frame is {size} m across, usually {low} to {high} m: bare coordinates are in metres"
        ));
    }
    for (name, case) in &plain.cases {
        let joints = case.nodes.iter().flat_map(|(_, force)| force[..3].iter().copied());
        let bars = case.bars.iter().flat_map(|load| load.intensity).flat_map(|at| [at.x, at.y, at.z]);
        let most = joints.chain(bars).fold(0.0, |most: f64, value| most.max(value.abs()));
        let (low, high) = USUAL_LOAD;
        if most > 0.0 && !(low..=high).contains(&most) {
            let most = words(most);
            reading.warn(format!(
                "case {name:?}: its largest load is {most} N (or N/m), usually {low} to {high:e}: bare loads are in newtons"
            ));
        }
    }
}

/// Size that a frame usually has \[m\].
const USUAL_SIZE: (f64, f64) = (0.1, 500.0);
/// Largest load that a case usually has \[N, or N/m\].
const USUAL_LOAD: (f64, f64) = (1.0, 1e7);

/// Everything of a plain frame; faults are noted, and `None` says that there were some.
pub(crate) fn read(
    shell: &Table<'_, '_>,
    section: &Table<'_, '_>,
    analysis: &Table<'_, '_>,
) -> Option<PlainFrame> {
    let reading = shell.reading;
    let before = reading.fault_count();
    let sections = sections::read(section);
    let mut plain = PlainFrame::default();
    let joint_sheet = csv::read(shell, &schema_shell::JOINTS, joints::COLUMNS);
    if joint_sheet.is_none() {
        // Without joints every other sheet would name what is not there: their own faults alone.
        let _ = csv::read(shell, &schema_shell::BARS, bars::COLUMNS);
        for (key, columns) in [
            (&schema_shell::SPRINGS, springs::COLUMNS),
            (&schema_shell::FOLDS, springs::FOLD_COLUMNS),
            (&schema_shell::LOADS, loads::COLUMNS),
            (&schema_shell::BAR_LOADS, loads::LINE_COLUMNS),
        ] {
            let _ = shell.has(key).then(|| csv::read(shell, key, columns));
        }
        shell.finish(schema_shell::KEYS, "for form = \"frame\"");
        return None;
    }
    let joints = joint_sheet.as_ref().map_or_else(Names::new, |sheet| joints::read(&sheet.rows, &mut plain));
    let bar_sheet = csv::read(shell, &schema_shell::BARS, bars::COLUMNS);
    let bars = bar_sheet
        .as_ref()
        .map_or_else(Names::new, |sheet| bars::read(&sheet.rows, &mut plain, &joints, &sections));
    let spring_sheet = shell
        .has(&schema_shell::SPRINGS)
        .then(|| csv::read(shell, &schema_shell::SPRINGS, springs::COLUMNS))
        .flatten();
    if let Some(sheet) = &spring_sheet {
        springs::read(&sheet.rows, &mut plain, &joints);
    }
    let fold_sheet = shell
        .has(&schema_shell::FOLDS)
        .then(|| csv::read(shell, &schema_shell::FOLDS, springs::FOLD_COLUMNS))
        .flatten();
    if let Some(sheet) = &fold_sheet {
        springs::read_folds(&sheet.rows, &mut plain, &joints);
    }
    let before_loads = reading.fault_count();
    let load_sheet = shell
        .has(&schema_shell::LOADS)
        .then(|| csv::read(shell, &schema_shell::LOADS, loads::COLUMNS))
        .flatten();
    if let Some(sheet) = &load_sheet {
        loads::read(&sheet.rows, &mut plain, &joints);
    }
    let line_sheet = shell
        .has(&schema_shell::BAR_LOADS)
        .then(|| csv::read(shell, &schema_shell::BAR_LOADS, loads::LINE_COLUMNS))
        .flatten();
    // Without bars every line load would name one that is not there.
    if let Some(sheet) = line_sheet.as_ref().filter(|_| bar_sheet.is_some()) {
        loads::read_lines(&sheet.rows, &mut plain, &bars, reading.fault_count() == before);
    }
    shell.finish(schema_shell::KEYS, "for form = \"frame\"");
    // Sheets that cannot be read are why a case is not there.
    let unread = (shell.has(&schema_shell::LOADS) && load_sheet.is_none())
        || (shell.has(&schema_shell::BAR_LOADS) && (line_sheet.is_none() || bar_sheet.is_none()));
    if !unread {
        plain.analysis = analysis::read(analysis, &plain, &joints);
        // A faulty row may be what was to make the case.
        if plain.cases.is_empty() && !analysis.is_present() && reading.fault_count() == before_loads {
            let help = "name a sheet of loads (case,joint,fx,fy,fz,mx,my,mz) or of bar_loads in [shell]";
            let key =
                if shell.has(&schema_shell::LOADS) { &schema_shell::LOADS } else { &schema_shell::BAR_LOADS };
            let message = "there is no load case, so nothing to work out";
            reading.fault("missing", shell.place_of(key), message, help);
        }
    }
    if reading.fault_count() > before {
        return None;
    }
    if let (Some(joint_sheet), Some(_)) = (&joint_sheet, &bar_sheet) {
        joints::loose(&joint_sheet.rows, &plain);
        joints::twins(&joint_sheet.rows, &plain);
    }
    if let (Some(joint_sheet), Some(bar_sheet)) = (&joint_sheet, &bar_sheet)
        && reading.fault_count() == before
    {
        let load_rows = load_sheet.as_ref().map_or(&[][..], |sheet| &sheet.rows);
        trial::try_out(reading, &plain, &joint_sheet.rows, &bar_sheet.rows, load_rows);
        sections::bending(section, &bar_sheet.rows, &plain);
        unusual(reading, &plain);
    }
    (reading.fault_count() == before).then_some(plain)
}
