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
            styled(&bar, "{bar:30} {pos} of {len}");
            bar
        })
    }

    pub(crate) fn done(&self) {
        if let Some(bar) = self.bar.get() {
            bar.finish_and_clear();
        }
    }
}

fn styled(bar: &ProgressBar, template: &str) {
    if let Ok(style) = ProgressStyle::with_template(template) {
        bar.set_style(style);
    }
}

/// What is being done, on a terminal, while it takes its time; taken away when it is dropped.
pub(crate) struct Doing(ProgressBar);

impl Doing {
    pub(crate) fn new(what: &'static str) -> Self {
        let bar =
            if std::io::stderr().is_terminal() { ProgressBar::new_spinner() } else { ProgressBar::hidden() };
        styled(&bar, "{spinner} {msg}, {elapsed}");
        bar.set_message(what);
        bar.enable_steady_tick(std::time::Duration::from_millis(250));
        Self(bar)
    }

    pub(crate) fn now(&self, what: &'static str) {
        self.0.set_message(what);
    }
}

impl Drop for Doing {
    fn drop(&mut self) {
        self.0.finish_and_clear();
    }
}

impl Watch for Progress {
    fn more(&self, rows: usize) {
        self.bar().inc_length(rows as u64);
    }

    fn row(&self) {
        let bar = self.bar();
        // Before the first row there is nothing to tell the time left by.
        if bar.position() == 0 {
            styled(bar, "{bar:30} {pos} of {len}, {eta} left");
        }
        bar.inc(1);
    }

    fn stop(&self) -> bool {
        output::stopping()
    }
}
