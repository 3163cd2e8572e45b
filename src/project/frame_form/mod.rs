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
mod springs;
mod trial;

pub use analysis::{ANALYSIS_KEYS, Analysis, Kind, WATCH_KEYS};
pub use joints::FREEDOMS;
pub use sections::SECTION_KEYS;

use super::csv;
use super::schema_shell;
use super::table::Table;
use crate::frame::{Frame, FrameLoads};
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
    }
    (reading.fault_count() == before).then_some(plain)
}
