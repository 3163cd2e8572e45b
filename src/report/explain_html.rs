//! One timber's checks with their working as a fragment of HTML, to be set into a page of the reader's own.
//!
//! The same values and the same words as [`crate::report::explain`]; no style, script, identifier or address, so
//! that it goes into any page, and twice into one.

use maud::{Markup, html};

use crate::assess::results::Working;
use crate::report::alike::{above, new_steps};
use crate::report::html::breakable;
use crate::report::show::{Printer, figures, outcome, sentences, tame, working_value};
use crate::rules::{Check, Step};

/// The workings of one timber as an HTML fragment. `units` is "metric" or "imperial", as in the results.
#[must_use]
pub fn explain_html(workings: &[Working], units: &str, indicative: &str) -> String {
    let show = Printer::new(units);
    let fragment = html! {
        article class="strutwise-working" lang="en" {
            @for working in workings { (one(working, show)) }
            p role="note" { (indicative) }
        }
    };
    format!("{}\n", fragment.into_string())
}

fn one(working: &Working, show: Printer) -> Markup {
    let name = format!("{} {}", working.what, tame(&working.id, 24));
    let mut told = Vec::new();
    let fresh: Vec<_> = working.checks.iter().map(|check| (check, new_steps(check, &mut told))).collect();
    html! {
        section aria-label=(name) {
            h2 { bdi { (name) } ", " bdi { (tame(&working.place, 80)) } }
            p { (working.model) " model, under " bdi { (tame(&working.combination, 300)) } }
            @if !working.note.is_empty() { p { (sentences(&working.note, 2000)) } }
            @if !working.parts.is_empty() { (parts(working, show)) }
            @for (check, (steps, repeated)) in &fresh { (worked(check, steps, *repeated)) }
        }
    }
}

fn parts(working: &Working, show: Printer) -> Markup {
    let (force, moment) = (show.force_unit(), show.moment_unit());
    html! {
        table {
            caption { "What each case brings to one strip here, before its factor; N pulls where positive" }
            thead { tr {
                th scope="col" { "Case" }
                th scope="col" { "Factor" }
                th scope="col" { "N, " (force) }
                th scope="col" { "V, " (force) }
                th scope="col" { "M out of the surface, " (moment) }
                th scope="col" { "M in it, " (moment) }
            } }
            tbody {
                @for part in &working.parts { tr {
                    th scope="row" { bdi { (tame(&part.case, 60)) } }
                    td { (figures(part.factor, 4, 3)) }
                    td { (show.fine_force_bare(part.forces.n)) }
                    td { (show.fine_force_bare(part.forces.vz)) }
                    td { (show.moment_bare(part.forces.my)) }
                    td { (show.moment_bare(part.forces.mz)) }
                } }
            }
        }
    }
}

fn worked(check: &Check, steps: &[&Step], repeated: usize) -> Markup {
    html! {
        h3 { (check.rule) " (" (check.clause) ")" }
        p { strong { (outcome(check)) } }
        @if !steps.is_empty() {
            table {
                caption {
                    "Working: " (check.rule)
                    @if repeated > 0 { " (" (above(repeated)) ")" }
                }
                thead { tr {
                    @for head in ["What", "Symbol", "Formula", "With numbers", "Value", "Clause"] {
                        th scope="col" { (head) }
                    }
                } }
                tbody { @for step in steps { (row(step)) } }
            }
        }
    }
}

fn row(step: &Step) -> Markup {
    // A figure stays with its unit; a formula may break after each sign of a product.
    let unit = if step.unit == "–" { String::new() } else { format!("\u{a0}{}", step.unit) };
    html! {
        tr {
            th scope="row" { (step.words) }
            td { (step.symbol) }
            td { (breakable(&step.formula)) }
            td { (breakable(&step.numbers)) }
            td { (working_value(step.value)) (unit) }
            td { (step.clause) }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::explain::explain;
    use crate::report::sample::sample;

    const CAUTION: &str = "Indicative only.";

    /// A reader's text of a fragment: tags out, the five written-out signs back.
    fn plain(fragment: &str) -> String {
        let mut inside = false;
        let text: String = fragment
            .chars()
            .filter_map(|c| {
                let shown = (!inside && c != '<').then_some(c);
                inside = if c == '<' { true } else { inside && c != '>' };
                shown.or((c == '<').then_some('\n'))
            })
            .collect();
        text.replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", "\"").replace("&amp;", "&")
    }

    #[test]
    fn it_says_what_the_text_says() {
        let workings = sample().workings;
        let (text, fragment) =
            (explain(&workings, "metric", CAUTION), explain_html(&workings, "metric", CAUTION));
        let shown = plain(&fragment);
        let mut steps = 0;
        for working in &workings {
            assert!(text.contains(&working.id) && shown.contains(&working.id));
            for check in &working.checks {
                let standing = outcome(check);
                assert!(text.contains(&standing), "{standing}");
                assert!(shown.replace('\n', "").contains(&standing), "{standing} in {shown}");
                for step in &check.steps {
                    steps += 1;
                    for piece in [&step.words, &step.symbol, &step.formula, &step.numbers, &step.clause] {
                        assert!(text.contains(piece.as_str()) && shown.contains(piece.as_str()), "{piece}");
                    }
                    let value = working_value(step.value);
                    assert!(text.contains(&value) && shown.contains(&value), "{value}");
                }
            }
        }
        assert!(steps > 3, "the sample has workings");
        assert!(fragment.contains(CAUTION));
    }

    /// A formula has no spaces: one that cannot break makes its table wider than a telephone.
    #[test]
    fn a_formula_may_break_and_a_figure_stays_with_its_unit() {
        let mut workings = sample().workings;
        let step = &mut workings[0].checks[0].steps[0];
        step.formula = "k_mod·f_m,k".to_owned();
        step.unit = "N/mm²".into();
        let fragment = explain_html(&workings, "metric", CAUTION);
        assert!(fragment.contains("k_mod·<wbr>f_m,k"));
        assert!(fragment.contains("\u{a0}N/mm²</td>"));
    }

    #[test]
    fn hostile_names_stay_text() {
        let mut workings = sample().workings;
        let hostile = "</td><script>alert(1)</script><img src=x onerror=\"alert(1)\">\u{202e}gnp";
        workings[0].id = hostile.to_owned();
        workings[0].place = hostile.to_owned();
        workings[0].combination = hostile.to_owned();
        if let Some(part) = workings[0].parts.first_mut() {
            part.case = hostile.to_owned();
        }
        let fragment = explain_html(&workings, "metric", CAUTION);
        for bad in ["<script", "<img", "\u{202e}"] {
            assert!(!fragment.contains(bad), "{bad}");
        }
        assert!(fragment.contains("&lt;script"));
    }
}
