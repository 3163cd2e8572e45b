//! Who watches a study: told of its rows, and asked whether to go on.

/// Follows a study while it runs, from any of its threads.
pub trait Watch: Sync {
    /// So many more rows are to come.
    fn more(&self, rows: usize);
    /// One row is finished.
    fn row(&self);
    /// Whether to stop: rows not begun are left out.
    fn stop(&self) -> bool;
}

/// Nobody watches.
#[derive(Debug, Clone, Copy, Default)]
pub struct Quiet;

impl Watch for Quiet {
    fn more(&self, _rows: usize) {}
    fn row(&self) {}
    fn stop(&self) -> bool {
        false
    }
}
