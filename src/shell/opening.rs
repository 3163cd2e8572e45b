//! Openings: which panels go.

use crate::shell::ShellError;
use crate::shell::ask::OpeningAsk;
use crate::shell::build::Made;

/// What the openings take out of a numbered net.
#[derive(Debug)]
pub(crate) struct Taken {
    /// For each panel the opening that it goes with.
    pub(crate) by_panel: Vec<Option<usize>>,
    pub(crate) openings: Vec<TakenOpening>,
    pub(crate) remarks: Vec<String>,
}

/// One opening.
#[derive(Debug)]
pub(crate) struct TakenOpening {
    pub(crate) panels: Vec<usize>,
    pub(crate) strips: usize,
    pub(crate) sill: bool,
}

/// Finds what each opening takes.
pub(crate) fn take_out(made: &Made, asks: &[OpeningAsk]) -> Result<Taken, ShellError> {
    if !asks.is_empty() {
        return Err(ShellError::NotYet);
    }
    Ok(Taken { by_panel: vec![None; made.net.panels.len()], openings: Vec::new(), remarks: Vec::new() })
}
