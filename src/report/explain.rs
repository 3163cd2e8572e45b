//! One timber's checks with their working, as a person would write them by hand, for a terminal.

use std::fmt::Write;

use crate::assess::results::Working;
use crate::report::show::{Show, figures, outcome, tame, working_value};

/// The workings of one timber as text. `units` is "metric" or "imperial", as in the results.
#[must_use]
pub fn explain(workings: &[Working], units: &str, indicative: &str) -> String {
    let show = Show::new(units);
    let mut text = String::new();
    for working in workings {
        let _ = writeln!(text, "{} {}, {}", working.what, tame(&working.id, 24), tame(&working.place, 80));
        let _ = writeln!(text, "{} model, under {}", working.model, tame(&working.combination, 300));
        if !working.note.is_empty() {
            let _ = writeln!(text, "  {}", tame(&working.note, 600));
        }
        if !working.parts.is_empty() {
            let _ = writeln!(
                text,
                "\n  what each case brings to one strip here, before its factor ({}, {}):",
                show.force_unit(),
                show.moment_unit()
            );
            for part in &working.parts {
                let _ = writeln!(
                    text,
                    "    {:>6} × {}: N {}, V {}, M out of the surface {}, M in it {}",
                    figures(part.factor, 4, 3),
                    tame(&part.case, 60),
                    show.force_bare(part.forces.n),
                    show.force_bare(part.forces.vz),
                    show.moment_bare(part.forces.my),
                    show.moment_bare(part.forces.mz),
                );
            }
        }
        for check in &working.checks {
            let _ = writeln!(text, "\n  {} ({}): {}", check.rule, check.clause, outcome(check));
            for step in &check.steps {
                let mut line = format!("    {}: {}", step.words, step.symbol);
                for side in [&step.formula, &step.numbers] {
                    if !side.is_empty() {
                        let _ = write!(line, " = {side}");
                    }
                }
                let unit = if step.unit == "–" { String::new() } else { format!(" {}", step.unit) };
                let _ = write!(line, " = {}{unit}", working_value(step.value));
                if !step.clause.is_empty() {
                    let _ = write!(line, "   [{}]", step.clause);
                }
                let _ = writeln!(text, "{line}");
            }
        }
        text.push('\n');
    }
    let _ = writeln!(text, "{indicative}");
    text
}
