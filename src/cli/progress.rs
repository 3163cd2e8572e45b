//! How far a long run has come, and whether it is to stop.

use std::io::IsTerminal;
use std::sync::OnceLock;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

use super::output;
use crate::study::Watch;

/// A bar with the time left on a terminal, and the first Ctrl-C as a wish to stop.
pub(crate) struct Progress {
    bar: OnceLock<ProgressBar>,
}

impl Progress {
    pub(crate) fn new() -> Self {
        output::stop_gently();
        Self { bar: OnceLock::new() }
    }

    fn bar(&self) -> &ProgressBar {
        self.bar.get_or_init(|| {
            let target = if std::io::stderr().is_terminal() {
                ProgressDrawTarget::stderr()
            } else {
                ProgressDrawTarget::hidden()
            };
            let bar = ProgressBar::with_draw_target(Some(0), target);
            let style = ProgressStyle::with_template("{bar:30} {pos} of {len}, {eta} left");
            style.map_or_else(|_| bar.clone(), |style| bar.clone().with_style(style))
        })
    }

    pub(crate) fn done(&self) {
        if let Some(bar) = self.bar.get() {
            bar.finish_and_clear();
        }
    }
}

impl Watch for Progress {
    fn more(&self, rows: usize) {
        self.bar().inc_length(rows as u64);
    }

    fn row(&self) {
        self.bar().inc(1);
    }

    fn stop(&self) -> bool {
        output::stopping()
    }
}
