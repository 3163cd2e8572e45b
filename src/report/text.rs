//! The answer on a terminal: what a person reads in half a minute on a screen of 80 columns.

use crate::assess::results::{Assessment, InputLine, ModelResult, Verdict, WorstItem};
use crate::assess::verdict;
use crate::report::alike::{self, Alike};
use crate::report::feet::{foot_words, greatest_words, worst_feet};
use crate::report::misfit;
use crate::report::ranges;
use crate::report::screen::{GUTTER, Page, Paint, WIDTH, cut, wrap};
use crate::report::show::{self, Printer, lowest_factor, tame, utilisation};

/// Kinds of timber among the things worked hardest.
const TIMBERS: usize = 3;
/// Things worked hardest, in all.
const THINGS: usize = 5;
/// Warnings said in full.
const WARNINGS: usize = 4;
/// Characters of a warning or a doubt; longer ones end with a sentence.
const LONGEST: usize = 700;

/// The terminal answer. `colour` puts in terminal colours; without it the text is plain.
#[must_use]
pub fn text(assessment: &Assessment, colour: bool) -> String {
    let show = Printer::new(&assessment.units);
    let paint = Paint { colour };
    let mut page = Page::default();

    page.plain(&paint.strong(&cut(&tame(&assessment.project, 200), WIDTH)));
    page.entry("shell", &shell_words(assessment, show));
    for opening in &assessment.openings {
        page.entry("opening", opening);
    }
    page.entry("checked", &checked_words(assessment));
    if let Some(ranges) = &assessment.ranges {
        page.entry("ranges", &ranges::opening(ranges));
    }
    page.gap();

    let phrase = format!("{}.", show::first_line(assessment));
    page.plain(&paint.verdict(assessment.verdict, &phrase));
    // The list below says the rest of the headline in figures; only what it cannot say is said here.
    if assessment.worst_list.is_empty() || !assessment.headline_parts.names_worst {
        page.block(0, &show::capital(&assessment.headline_parts.why));
    }
    let stages_told = assessment.stages_told();
    for words in &stages_told {
        page.block(0, &show.sentence(&show::sentences(words, LONGEST)));
    }
    if assessment.rests_on_seams {
        page.block(0, &verdict::rests_words(&assessment.models));
    }
    if assessment.rests_on_feet {
        page.block(0, &rests_on_feet_words(assessment, show));
    }
    let doubted = assessment.finished_verdict == Verdict::Near;
    for doubt in assessment.doubts.iter().filter(|_| doubted) {
        page.block(0, &format!("Told as no better than near: {}", show::sentences(doubt, LONGEST)));
    }
    page.gap();

    page.plain(&paint.strong(&format!(
        "Worked hardest, {} (1.00 is the limit)",
        show::verdict_models(&assessment.verdict_model)
    )));
    let mut worst = alike::telling(&assessment.worst_list, TIMBERS);
    worst.truncate(THINGS);
    if worst.is_empty() {
        page.block(2, "Nothing could be checked.");
    }
    for (n, group) in worst.iter().enumerate() {
        let before = n.checked_sub(1).map(|n| worst[n].first);
        worst_lines(&mut page, group, before, assessment, &paint);
    }
    page.gap();

    for (name, foot) in worst_feet(&assessment.feet, show) {
        page.entry(name, &foot_words(foot, show));
    }
    if let Some(words) = greatest_words(assessment, show) {
        page.entry("any foot", &words);
    }
    if assessment.feet.is_empty() {
        page.entry("feet", "what they are to hold was not worked out: no model could be solved");
    }
    page.entry("models", &model_words(assessment));
    let seams =
        verdict::seam_words(assessment.finished_verdict, assessment.rests_on_seams, &assessment.models);
    page.entry("seams", &seams);
    for line in whole_words(assessment, show) {
        page.entry("whole", &line);
    }
    for stage in &assessment.stages {
        // The words begin with the verdict; those of a stage that does not hold stand at the top.
        let words = if verdict::holds(stage.verdict) {
            show.sentence(&stage.headline)
        } else {
            format!("{}, see above", show::verdict(stage.verdict))
        };
        page.entry("stage", &format!("{}: {words}", tame(&stage.name, 40)));
    }
    page.entry("audit", &audit_words(assessment));
    let told = if doubted { assessment.doubts.as_slice() } else { &[] };
    let said = |warning: &&String| told.contains(warning) || stages_told.contains(warning);
    warnings(&mut page, assessment.warnings.iter().filter(|warning| !said(warning)));
    page.gap();
    if let Some(ranges) = &assessment.ranges {
        page.plain(&paint.strong("Over the ranges of the inputs"));
        for (name, words) in ranges::results(ranges, show) {
            page.entry(&name, &words);
        }
        for (id, words) in ranges::named(ranges) {
            page.entry(&format!("  {id}"), &words);
        }
        for remark in ranges::remarks(ranges, show) {
            page.block(0, &remark);
        }
        page.gap();
    }
    page.block(0, &assessment.indicative);
    page.out
}

/// The first few warnings; of doubtful figures only how many there are. The notes and `--json` hold all.
fn warnings<'a>(page: &mut Page, warnings: impl Iterator<Item = &'a String>) {
    let (doubts, plain): (Vec<&String>, Vec<&String>) =
        warnings.partition(|warning| warning.starts_with("Provisional"));
    // What is of this project before what stands with nearly every one, which is cut to its first sentence.
    let (standing, own): (Vec<&String>, Vec<&String>) =
        plain.iter().copied().partition(|warning| stands(warning));
    for warning in own.iter().take(WARNINGS) {
        page.entry("warning", &show::sentences(warning, LONGEST));
    }
    for warning in standing.iter().take(WARNINGS.saturating_sub(own.len())) {
        page.entry("warning", first_sentence(warning));
    }
    let more = plain.len().saturating_sub(WARNINGS);
    let further = match (more, doubts.len()) {
        (0, 0) => return,
        (0, count) => provisional(count),
        (more, 0) => format!("{more} further"),
        (more, count) => format!("{more} further; {}", provisional(count)),
    };
    page.entry("warning", &format!("{further} (`notes` and --json list them)"));
}

/// How warnings begin that are true of nearly every project.
const STANDING: [&str; 5] = [
    "Where timbers pull, the corners",
    "The seams' stiffness is an estimate",
    "The cladding of a framed end is taken",
    "No roof live load is entered",
    "The wind does not come from both ends",
];

fn stands(warning: &str) -> bool {
    STANDING.iter().any(|start| warning.starts_with(start))
}

/// The first sentence of a warning; the notes hold all of it.
fn first_sentence(words: &str) -> &str {
    words.find(". ").map_or(words, |end| &words[..=end])
}

fn provisional(count: usize) -> String {
    if count == 1 {
        "1 kind of figure is provisional".to_owned()
    } else {
        format!("{count} kinds of figure are provisional")
    }
}

fn shell_words(a: &Assessment, show: Printer) -> String {
    let size = &a.size;
    let across = show.extent(size.span, size.span_of_curve);
    let long = Some(show.extent(size.length, size.length_of_curve)).filter(|long| *long != across);
    format!(
        "{across} across, {} high{}; {} joints, {} panels, {} members, {} feet",
        show.extent(size.rise, size.rise_of_curve),
        long.map_or_else(String::new, |long| format!(", {long} long")),
        a.counts.joints,
        a.counts.panels,
        a.counts.members,
        a.counts.feet
    )
}

/// Timber and loads as entered, in the order of the project file.
fn checked_words(a: &Assessment) -> String {
    let mut parts: Vec<String> = vec![format!("to the {} basis", tame(&a.basis, 20))];
    let find = |key: &str| a.inputs.iter().find(|line| line.key == key);
    let value = |key: &str| find(key).map(|line| tame(&line.value, 40));
    let mut timber: Vec<String> = Vec::new();
    timber.extend(value("timber.grade"));
    timber.extend(match (value("timber.breadth"), value("timber.depth")) {
        (Some(breadth), Some(depth)) => Some(section_words(&breadth, &depth)),
        (one, other) => one.or(other),
    });
    timber.extend(value("timber.service_class").map(|class| format!("service class {class}")));
    if !timber.is_empty() {
        parts.push(format!("timber {}", timber.join(", ")));
    }
    for load in ["cover", "snow", "wind"] {
        parts.extend(load_words(load, &a.inputs));
    }
    parts.join("; ")
}

/// "47 × 95 mm" where both are in one unit.
fn section_words(breadth: &str, depth: &str) -> String {
    match (breadth.rsplit_once(' '), depth.rsplit_once(' ')) {
        (Some((figure, unit)), Some((_, same))) if unit == same && !figure.contains(' ') => {
            format!("{figure} × {depth}")
        }
        _ => format!("{breadth} × {depth}"),
    }
}

fn load_words(load: &str, inputs: &[InputLine]) -> Option<String> {
    let of = |key: &str| inputs.iter().find(|line| line.key == format!("{load}.{key}"));
    if let Some(line) = of("left_out") {
        return Some(format!("{load} LEFT OUT ({})", tame(&line.value, 60)));
    }
    ["weight", "ground", "pressure", "speed"]
        .iter()
        .find_map(|key| of(key))
        .map(|line| format!("{load} {}", tame(&line.value, 40)))
}

/// One thing on two or three lines; what it shares with the one before it is not said again.
fn worst_lines(
    page: &mut Page,
    group: &Alike<'_>,
    before: Option<&WorstItem>,
    assessment: &Assessment,
    paint: &Paint,
) {
    let verdict_model = &assessment.verdict_model;
    let item = group.first;
    let head = if item.what == "shell" {
        group.name()
    } else {
        let others = match group.others.len() {
            0 => String::new(),
            count => format!(" (and {count} alike)"),
        };
        let place =
            if item.place.is_empty() { String::new() } else { format!(", {}", tame(&item.place, 60)) };
        format!("{} {}{place}{others}", item.what, tame(&item.id, 24))
    };
    let figure = format!("{:>8}", utilisation(item.utilisation));
    let head = wrap(&head, WIDTH - GUTTER);
    page.plain(&format!("{}  {}", paint.figure(item.utilisation, &figure), head[0]));
    for line in &head[1..] {
        page.plain(&format!("{:GUTTER$}{line}", ""));
    }
    let same = |of: fn(&WorstItem) -> &String| before.is_some_and(|b| of(b) == of(item));
    let rule = if same(|i| &i.rule) && same(|i| &i.clause) {
        "the same check".to_owned()
    } else {
        format!("{} ({})", item.rule, item.clause)
    };
    // No load makes it: a length that is missing.
    if let Some(misfit) = misfit::words(item, assessment) {
        page.block(GUTTER, &format!("{rule} {misfit}"));
        return;
    }
    let model = if item.model == *verdict_model { String::new() } else { format!(", {} model", item.model) };
    // What does not fit had no load to refer to.
    let loaded = before.is_some_and(|before| misfit::words(before, assessment).is_none());
    let load = if loaded && same(|i| &i.combination) && same(|i| &i.model) {
        "the same load".to_owned()
    } else {
        format!("under {}{model}", tame(&item.combination, 200))
    };
    page.block(GUTTER, &format!("{rule}, {load}"));
}

/// That the answer rests on feet that are held against turning, and by how much.
fn rests_on_feet_words(a: &Assessment, show: Printer) -> String {
    let most = a.feet.iter().max_by(|a, b| a.moment.total_cmp(&b.moment));
    let how_much = most.map_or_else(String::new, |foot| {
        format!(
            " by up to {} {} (at {})",
            show.moment_bare(foot.moment),
            show.moment_unit(),
            tame(&foot.joint, 24)
        )
    });
    format!(
        "This rests on the feet being held against turning{how_much}, which was compared with nothing: enter feet.moment, or \
         hold the feet pinned. As long as it is not, no answer is told as better than near."
    )
}

/// The factor on the load at which a model buckles or gives way, where that is below 1.
fn lowest(model: &ModelResult) -> Option<f64> {
    lowest_factor(model).filter(|lowest| *lowest < 1.0)
}

fn model_words(a: &Assessment) -> String {
    let one = |model: &ModelResult| {
        let result = if model.mechanisms > 0 {
            let s = if model.mechanisms == 1 { "" } else { "s" };
            format!("unstable ({} mechanism{s})", model.mechanisms)
        } else if let (Verdict::Unstable, Some(at)) = (model.verdict, lowest(model)) {
            format!("unstable (at {} of the load)", show::buckling_factor(at))
        } else if model.verdict == Verdict::Unstable {
            "unstable (no equilibrium)".to_owned()
        } else {
            model.worst.as_ref().map_or_else(
                || show::verdict(model.verdict).to_owned(),
                |w| {
                    let fixings = model.worst_fixing.as_ref().map_or_else(String::new, |f| {
                        if show::beyond_number(f.utilisation) {
                            " (fixings beyond any limit)".to_owned()
                        } else {
                            format!(" (fixings {})", utilisation(f.utilisation))
                        }
                    });
                    format!("{}{fixings}", utilisation(w.utilisation))
                },
            )
        };
        format!("{} {result}", model.name)
    };
    let range: Vec<String> = a.models.iter().map(one).collect();
    let seams = if a.rests_on_seams { "; test a seam, or add a rib, a tie or an end wall" } else { "" };
    format!(
        "timbers {}; the verdict is by {}{seams}",
        range.join(", "),
        show::verdict_models(&a.verdict_model)
    )
}

/// Buckling and sag of the models that count.
fn whole_words(a: &Assessment, show: Printer) -> Vec<String> {
    let mut lines = Vec::new();
    for model in a.models.iter().filter(|model| model.governs) {
        let mut parts = Vec::new();
        for mechanism in model.mechanism_shapes.iter().take(1) {
            parts.push(format!("{} What would stop it: {}.", mechanism.words, mechanism.remedy));
        }
        if let Some(buckling) = &model.buckling
            && let Some(factor) = buckling.factor
        {
            let path = buckling.limit_factor.map_or_else(String::new, |limit| {
                let limit = show::buckling_factor(limit);
                if buckling.limit_reached {
                    let other =
                        buckling.limit_combination.as_ref().filter(|name| **name != buckling.combination);
                    let under = other.map_or_else(String::new, |name| format!(" under {name}"));
                    format!(", at {limit} by the nonlinear path{under}")
                } else {
                    let bows = buckling.limit_factor > buckling.factor;
                    let bows = if bows { ", which does not see timbers bow" } else { "" };
                    format!("; none up to {limit} by the nonlinear path{bows}")
                }
            });
            let factor = show::buckling_factor(factor);
            // Bars with hinged ends cannot bow in their model.
            parts.push(if matches!(model.name.as_str(), "pinned" | "seam") {
                format!(
                    "its joints buckle at {factor} times the load (linear, flatters; timbers that bow between them are in \
                     their own checks){path}"
                )
            } else {
                format!("buckles at {factor} times the load (linear, flatters){path}")
            });
        }
        if let Some(sag) = &model.sag {
            let (sags, sways) = (show.movement(sag.sag), show.movement(sag.sway));
            let creep = sag
                .sag_final
                .map(|creep| show.movement(creep))
                .filter(|creep| *creep != sags)
                .map_or_else(String::new, |creep| format!(", {creep} with creep"));
            let large = [sag.sag, sag.sway].into_iter().any(|m| show::beyond_linear(m, a.size.span));
            parts.push(if large {
                format!(
                    "sags {sags}, sways {sways} as linear figures, which mean nothing at that size: it is close to \
                     folding"
                )
            } else {
                format!("sags {sags}{creep}, sways {sways}")
            });
        }
        if !parts.is_empty() {
            let name = if model.name == a.verdict_model {
                String::new()
            } else {
                format!("({} model) ", model.name)
            };
            lines.push(format!("{name}{}", parts.join("; ")));
        }
    }
    lines
}

/// "1 case", "2 cases".
fn counted(count: usize, what: &str) -> String {
    if count == 1 { format!("1 {what}") } else { format!("{count} {what}s") }
}

fn audit_words(a: &Assessment) -> String {
    let mut worst: Option<(f64, &str, &str)> = None;
    for case in &a.cases {
        for (model, &residual) in &case.residual {
            if worst.is_none_or(|(so_far, ..)| residual.total_cmp(&so_far).is_gt()) {
                worst = Some((residual, &case.name, model));
            }
        }
    }
    worst.map_or_else(
        || "no case could be solved, so nothing is balanced".to_owned(),
        |(residual, case, model)| {
            let place =
                if residual > 1e-8 { format!(" ({}, {model} model)", tame(case, 60)) } else { String::new() };
            format!(
                "{} of {}, balanced to {residual:.0e} of the load{place}",
                counted(a.combinations.len(), "combination"),
                counted(a.cases.len(), "case")
            )
        },
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::sample::sample;

    #[test]
    fn the_answer_fits_a_screen() {
        let text = text(&sample(), false);
        println!("{text}");
        assert!(text.lines().all(|line| line.chars().count() <= WIDTH), "{text}");
        assert!(text.lines().count() <= 45, "{} lines", text.lines().count());
    }

    #[test]
    fn the_answer_says_what_a_builder_asks() {
        let text = text(&sample(), false);
        for wanted in [
            "Larkfold apple store",
            "Over its indicative limit.",
            "This rests on the stiffness of the seams",
            "1.12  timber s5, arch seam",
            "worst foot",
            "lifts 2.5 kN (0.62 of its anchor)",
            "pinned unstable (2 mechanisms)",
            "rigid",
            "balanced to 8e-13",
            "Indicative only",
            "wind LEFT OUT",
        ] {
            assert!(text.contains(wanted), "{wanted} is missing from\n{text}");
        }
    }

    #[test]
    fn an_answer_that_rests_on_held_feet_says_so() {
        let mut assessment = sample();
        assert!(!text(&assessment, false).contains("turning by"));
        assessment.rests_on_feet = true;
        assessment.feet[0].moment = 522.0;
        let told = |a: &Assessment| text(a, false).split_whitespace().collect::<Vec<_>>().join(" ");
        let said = told(&assessment);
        let place = &assessment.feet[0].joint;
        assert!(
            said.contains(&format!(
                "rests on the feet being held against turning by up to 522 N·m (at {place}), which was compared with nothing"
            )),
            "{said}"
        );
        assert!(said.contains("is held against turning by 522 N·m (no anchor strength given)"), "{said}");
        assessment.units = "imperial".to_owned();
        assert!(told(&assessment).contains("held against turning by up to 385 lbf·ft"));
        assessment.feet[0].moment_utilisation = Some(0.5);
        assert!(told(&assessment).contains("385 lbf·ft (0.50 of its anchor)"));
    }

    #[test]
    fn no_word_promises_anything() {
        let text = text(&sample(), false).to_lowercase();
        for word in ["safe", "pass", "complian", "approve", "certif", "guarant"] {
            assert!(!text.contains(word), "{word}");
        }
    }

    #[test]
    fn a_hostile_name_stays_one_short_line() {
        let mut assessment = sample();
        assessment.project = format!("\u{1b}[31m\u{202e}{}", "x".repeat(10_000));
        let text = text(&assessment, false);
        assert!(!text.contains('\u{1b}') && !text.contains('\u{202e}'));
        assert!(text.lines().all(|line| line.chars().count() <= WIDTH));
    }
}
