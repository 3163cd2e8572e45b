//! `draw`: one drawing.

use super::args::Draw;
use super::check::shell_project;
use super::notes::ending;
use super::output::Output;
use crate::error::{Error, Exit};
use crate::report::draw::{DrawError, Shown, View};

pub(crate) fn run(draw: &Draw) -> Result<Exit, Error> {
    let _format = ending(&draw.output, &["svg", "png", "obj"])?;
    let asked = |error: DrawError| Error::Asked {
        what: error.to_string(),
        help: "see strutwise draw --help".to_owned(),
    };
    let _view: View = draw.view.parse().map_err(asked)?;
    let _show: Shown = draw.show.parse().map_err(asked)?;
    let _project = shell_project(&draw.file, "draw")?;
    let _output = Output::begin(&draw.output)?;
    Err(Error::NotYet { what: "strutwise draw" })
}
