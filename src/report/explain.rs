//! One timber's checks with their working, as a person would write them by hand, for a terminal.

use std::fmt::Write;

use crate::assess::results::Working;
use crate::report::alike::{above, new_steps};
use crate::report::screen::wrap;
use crate::report::show::{Printer, figures, outcome, sentences, tame, working_value};

/// Lines of a working on a screen of so many columns: what goes on is set in further than its beginning.
#[must_use]
pub fn on_screen(text: &str, columns: usize) -> String {
    let mut out = String::with_capacity(text.len());
    for line in text.lines() {
        if line.chars().count() <= columns {
            out.push_str(line);
            out.push('\n');
            continue;
        }
        let indent = line.chars().take_while(|c| *c == ' ').count().min(columns / 2);
        let hang = indent + 4;
        for (n, part) in wrap(line.trim_start(), columns.saturating_sub(hang)).iter().enumerate() {
            let left = if n == 0 { indent } else { hang };
            let _ = writeln!(out, "{:left$}{part}", "");
        }
    }
    out
}

/// The workings of one timber as text. `units` is "metric" or "imperial", as in the results.
#[must_use]
pub fn explain(workings: &[Working], units: &str, indicative: &str) -> String {
    let show = Printer::new(units);
    let mut text = String::new();
    for working in workings {
        let _ = writeln!(text, "{} {}, {}", working.what, tame(&working.id, 24), tame(&working.place, 80));
        let _ = writeln!(text, "{} model, under {}", working.model, tame(&working.combination, 300));
        if !working.note.is_empty() {
            let _ = writeln!(text, "  {}", sentences(&working.note, 2000));
        }
        if !working.parts.is_empty() {
            let _ = writeln!(
                text,
                "\n  what each case brings to one strip here, before its factor ({}, {}; N pulls where positive):",
                show.force_unit(),
                show.moment_unit()
            );
            for part in &working.parts {
                let _ = writeln!(
                    text,
                    "    {:>6} × {}: N {}, V {}, M out of the surface {}, M in it {}",
                    figures(part.factor, 4, 3),
                    tame(&part.case, 60),
                    show.fine_force_bare(part.forces.n),
                    show.fine_force_bare(part.forces.vz),
                    show.moment_bare(part.forces.my),
                    show.moment_bare(part.forces.mz),
                );
            }
        }
        let mut told = Vec::new();
        for check in &working.checks {
            let _ = writeln!(text, "\n  {} ({}): {}", check.rule, check.clause, outcome(check));
            let (steps, repeated) = new_steps(check, &mut told);
            if repeated > 0 {
                let _ = writeln!(text, "    ({})", above(repeated));
            }
            for step in steps {
                let mut line = format!("    {}: {}", step.words, step.symbol);
                let value = working_value(step.value);
                for side in [&step.formula, &step.numbers] {
                    // A formula that is a number, 1 for instance, is said once.
                    if !side.is_empty() && *side != value {
                        let _ = write!(line, " = {side}");
                    }
                }
                let unit = if step.unit == "–" { String::new() } else { format!(" {}", step.unit) };
                let _ = write!(line, " = {value}{unit}");
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_lines_go_on_further_in() {
        let text = "head\n    slenderness about z: l / i = 1210.7 / 11.958 = 101.3   [6.3.2]\n";
        let shown = on_screen(text, 40);
        assert!(shown.lines().all(|line| line.chars().count() <= 40), "{shown}");
        assert!(shown.lines().nth(2).is_some_and(|line| line.starts_with("        ")), "{shown}");
        let words = |text: &str| text.split_whitespace().map(str::to_owned).collect::<Vec<_>>();
        assert_eq!(words(&shown), words(text));
        assert_eq!(on_screen(text, 200), text);
    }
}
