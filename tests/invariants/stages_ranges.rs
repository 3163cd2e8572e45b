//! Stages of the assembly and inputs as ranges, on random projects: both are the plain check of another project.

use rayon::prelude::*;
use strutwise::assess::Options;
use strutwise::assess::findings::find;
use strutwise::assess::results::{Assessment, ModelResult, WorstItem};
use strutwise::assess::setup::setup;
use strutwise::project::{Asked, End, SourceText, read_text};
use strutwise::shell::MemberKind;
use strutwise::study::Quiet;
use strutwise::study::ranges::worst;
use strutwise::study::row::row;

use crate::random::{self, Parts, cases, numbered};
use crate::{read_in, read_parts};

const BARE: &str = "[cover]\nleft_out = \"a trial\"\n\n[snow]\nleft_out = \"a trial\"\n\n\
                    [wind]\nleft_out = \"a trial\"\n\n";

/// The stage at which every panel stands, without wind and people, is the shell under its own weight.
#[test]
fn a_stage_of_every_panel_is_the_whole_shell_under_its_weight() {
    let count = cases(12).min(250);
    let complaints: Vec<Option<String>> = (0..count)
        .into_par_iter()
        .map(|number| {
            let drawn = numbered(&random::project(), number);
            // Own combinations are not those of a stage.
            let rest = drawn.rest.split("\n[[combine.own]]").next().unwrap();
            // Nor is its tie: no ring is closed at a stage, which asks for the push of the foot alone.
            let rest = rest.split_inclusive('\n').filter(|line| !line.starts_with("tie = ")).collect();
            let bare = Parts { loads: BARE.to_owned(), rest, ..drawn };
            let project = read_parts(&bare).unwrap();
            let shell = setup(&project).ok()?.shell;
            // A stud or a sill stands on joints of its own, which are not the panels'.
            if shell.members.iter().any(|member| member.kind == MemberKind::Bar) {
                return None;
            }
            let names: Vec<&str> = shell.panels.iter().map(|panel| panel.name.as_str()).collect();
            let all = Parts {
                rest: format!("{}\n[[stage]]\nname = \"all\"\npanels = {names:?}\n", bare.rest),
                ..bare
            };
            let whole: Assessment = crate::assessed(&read_parts(&all).unwrap(), false)?;
            let stage = &whole.stages[0];
            let worst = whole.worst_list.first();
            let lift = whole.feet.first().map_or(0.0, |foot| foot.uplift);
            // A part has no curve of its own: its imperfection is taken from span and rise. So figures are the same where
            // none is of second order and none of the nonlinear path; elsewhere the verdict is compared alone.
            let met = |model: &ModelResult| model.buckling.as_ref().is_some_and(|b| b.limit_met);
            let first_order =
                whole.models.iter().all(|model| model.mechanisms == 0 && !model.second_order && !met(model));
            let path = |worst: &WorstItem| worst.rule.contains("limit factor");
            let near =
                |part: f64, whole: f64| !first_order || (part - whole).abs() <= 1e-9 * whole.abs().max(1e-9);
            let same = stage.panels == shell.panels.len()
                && stage.verdict == whole.finished_verdict
                && stage.uplift.is_none_or(|part| near(part, lift))
                && match (&stage.worst, worst) {
                    (Some(a), Some(b)) => path(a) || path(b) || near(a.utilisation, b.utilisation),
                    (a, b) => a.is_none() && b.is_none(),
                };
            Some(if same {
                String::new()
            } else {
                format!(
                    "project {number}: {stage:?}\n{:?} {lift} {worst:?}\n{}",
                    whole.finished_verdict,
                    all.text()
                )
            })
        })
        .collect();
    let looked: Vec<&String> = complaints.iter().flatten().collect();
    assert!(3 * looked.len() > count, "only {} of {count} looked at", looked.len());
    let wrong: Vec<&&String> = looked.iter().filter(|words| !words.is_empty()).collect();
    assert!(wrong.is_empty(), "{} of {}; the first:\n{}", wrong.len(), looked.len(), wrong[0]);
}

/// Keys that are made ranges, and by how much the upper end is above the lower.
const RANGED: [(&str, f64); 6] = [
    ("ground", 1.6),
    ("weight", 1.3),
    ("depth", 1.05),
    ("seam_stiffness", 8.0),
    ("pressure", 1.5),
    ("uplift", 1.4),
];

/// The text with the first `count` of such keys as ranges, and the two values of each as it is written.
fn with_ranges(text: &str, count: usize) -> (String, Vec<[String; 2]>) {
    let (mut out, mut values) = (String::new(), Vec::new());
    for line in text.lines() {
        let times = line.split_once(" = ").and_then(|(key, value)| {
            let times = RANGED.iter().find(|(known, _)| *known == key)?.1;
            let (number, unit) = value.trim_matches('"').split_once(' ').unwrap_or((value, ""));
            let number: f64 = number.parse().ok()?;
            let written =
                |v: f64| if unit.is_empty() { format!("{v:.6}") } else { format!("\"{v:.6} {unit}\"") };
            Some((key, [written(number), written(times * number)]))
        });
        match times {
            Some((key, [low, high])) if values.len() < count && low != high => {
                out += &format!("{key} = [{low}, {high}]\n");
                values.push([low, high]);
            }
            _ => out += &format!("{line}\n"),
        }
    }
    (out, values)
}

/// Every corner of the ranges is the check of the project with those values written in; the answer is the worst.
#[test]
fn a_corner_of_ranges_is_the_check_of_that_project() {
    let count = cases(160).div_ceil(40).min(100);
    let done: usize = (0..count)
        .into_par_iter()
        .map(|number| {
            let parts = numbered(&random::project(), number);
            let ground = tempfile::tempdir().unwrap();
            parts.put_down(ground.path());
            let (text, values) = with_ranges(&parts.text(), 2);
            let source = SourceText { name: "trial.toml".to_owned(), text: text.clone() };
            let ranged = match read_text(source, ground.path(), "trial") {
                Ok(Asked::Ranged(ranged)) => *ranged,
                // Snow, wind and cover left out, seams unknown: nothing to make a range of but the depth.
                Ok(_) => return 0,
                // A depth that is no size of the tables, or too thin for the fixings at one end.
                Err(error) => {
                    assert!(parts.basis != "eurocode", "{error}\n{text}");
                    return 0;
                }
            };
            let Ok(found) = worst(&ranged, &Quiet) else { return 0 };
            for ends in ranged.corners() {
                let mut single = String::new();
                let mut next = values.iter().zip(&ends);
                for line in text.lines() {
                    match line.split_once(" = ") {
                        Some((key, value))
                            if value.starts_with('[') && RANGED.iter().any(|(known, _)| *known == key) =>
                        {
                            let ([low, high], end) = next.next().unwrap();
                            single += &format!("{key} = {}\n", if *end == End::Low { low } else { high });
                        }
                        _ => single += &format!("{line}\n"),
                    }
                }
                let plain = read_in(&single, ground.path()).unwrap();
                let at = ranged.at(&ends).unwrap();
                assert_eq!(
                    (&at.shell, &at.loads, &at.joints),
                    (&plain.shell, &plain.loads, &plain.joints),
                    "{single}"
                );
                let (one, two) = (find(&at).unwrap(), find(&plain).unwrap());
                assert_eq!(row(&one), row(&two), "{single}");
                assert!(one.verdict <= found.ranges.corners.iter().map(|c| c.verdict).max().unwrap());
            }
            // The project of the answer is assessed to the verdict that the study gives it.
            // A stage may name a panel that the shell does not have, which only the whole check meets.
            let Ok(answer) = strutwise::assess::assess(&found.project, &Options::default()) else { return 1 };
            let points = found.ranges.corners.iter().chain(&found.ranges.within);
            let worst_verdict = points.clone().map(|point| point.verdict).max().unwrap();
            assert_eq!(answer.finished_verdict, worst_verdict, "{text}");
            for point in points {
                let (Some(used), Some(greatest)) =
                    (point.utilisation, found.ranges.results.utilisation.greatest)
                else {
                    continue;
                };
                assert!(used <= greatest, "{text}");
            }
            1
        })
        .sum();
    assert!(2 * done >= count, "only {done} of {count} have ranges");
}
