//! `draw`: one drawing.

use super::args::{Draw, SHOWN, VIEW};
use super::check::shell_project;
use super::notes::ending;
use super::output::{Output, complain};
use crate::assess::{self, Options};
use crate::error::{Error, Exit};
use crate::report::draw::{self, DrawError, DrawOptions, Shown, View};
use crate::report::obj;
use crate::report::picture::{png, svg};

/// Pixels to a unit of a picture.
const PIXELS: f64 = 2.0;

pub(crate) fn run(arguments: &Draw) -> Result<Exit, Error> {
    let format = ending(&arguments.output, &["svg", "png", "obj"])?;
    let asked = |error: DrawError| Error::Asked {
        what: error.to_string(),
        help: "see strutwise draw --help".to_owned(),
    };
    let view: View = arguments.view.parse().map_err(asked)?;
    let show: Shown = arguments.show.parse().map_err(asked)?;
    if format == "obj"
        && (![SHOWN, "shape"].contains(&arguments.show.as_str())
            || arguments.view != VIEW
            || arguments.model.is_some())
    {
        return Err(Error::Asked {
            what: format!(
                "{}: an OBJ file holds the shape alone; --show, --view and --model say nothing of it",
                arguments.output.display()
            ),
            help: "take them out, or draw an SVG or PNG".to_owned(),
        });
    }
    let output = Output::begin(&arguments.output)?;
    let settled = shell_project(&arguments.file, "draw", |_| Vec::new())?;
    let options = Options { workings: 0, ..Options::default() };
    let failed = |error| Error::assess(&arguments.file, &settled.project, error);
    let mut assessment = assess::assess(&settled.project, &options).map_err(failed)?;
    assessment.project = settled.name();
    let bytes = if format == "obj" {
        obj::to_obj(&assessment).into_bytes()
    } else {
        let options = DrawOptions::of_its_own(&assessment, view, show, arguments.model.clone());
        let picture = draw::draw(&assessment, &options).map_err(asked)?;
        match format {
            "svg" => svg::svg(&picture).into_bytes(),
            _ => png::png(&picture, PIXELS).map_err(|error| Error::Own { what: error.to_string() })?,
        }
    };
    output.finish(&bytes)?;
    complain(&format!("wrote {}", arguments.output.display()));
    // A drawing is no verdict: its exit code says only that it was drawn.
    Ok(Exit::Within)
}
