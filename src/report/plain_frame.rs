//! The answer to a plain frame: short tables for a terminal, and JSON.

use crate::assess::plain_frame::{BarEnds, CaseAnswer, FrameResults};
use crate::units;

/// The answer as short tables for a terminal.
#[must_use]
pub fn text(results: &FrameResults) -> String {
    let mut out =
        format!("{}: {} analysis, {} unknowns\n", results.project, results.analysis, results.unknowns);
    if results.mechanisms > 0 {
        out += &format!(
            "unstable: {} independent motion(s) meet no stiffness (Maxwell count {})\n",
            results.mechanisms, results.maxwell_count
        );
        for motion in &results.mechanism_shapes {
            out += &format!("  {}; {}\n", motion.words, motion.remedy);
        }
    }
    if let Some(frequencies) = &results.frequencies_hz {
        out += &format!("natural frequencies: {} Hz\n", list(frequencies));
    }
    for case in &results.cases {
        out += &format!("\ncase {}\n", case.name);
        if case.displacements.is_empty() {
            out += "  unstable: beyond the buckling load, no second-order equilibrium\n";
        }
        if let Some((joint, moved)) = case.displacements.iter().max_by(|a, b| size(a.1).total_cmp(&size(b.1)))
        {
            out += &format!("  largest movement: joint {joint}, {} mm\n", figure(1e3 * size(moved)));
        }
        let axial =
            |ends: &BarEnds| if ends.from[0].abs() > ends.to[0].abs() { ends.from[0] } else { ends.to[0] };
        let pull = case.bar_forces.iter().max_by(|a, b| axial(a.1).total_cmp(&axial(b.1)));
        let push = case.bar_forces.iter().min_by(|a, b| axial(a.1).total_cmp(&axial(b.1)));
        for (word, bar) in [("tension", pull), ("compression", push)] {
            if let Some((bar, ends)) = bar
                && (axial(ends) > 0.0) == (word == "tension")
                && axial(ends) != 0.0
            {
                out += &format!("  largest {word}: bar {bar}, {} kN\n", figure(1e-3 * axial(ends).abs()));
            }
        }
        out += &largest_moment(case);
        for (joint, force) in case.reactions.iter().take(24) {
            let part = |n: usize, name: &str| format!("{name} {}", figure(1e-3 * force[n]));
            let forces = [part(0, "Fx"), part(1, "Fy"), part(2, "Fz")].join(", ");
            let moments = [part(3, "Mx"), part(4, "My"), part(5, "Mz")].join(", ");
            out += &format!("  reaction at {joint}: {forces} kN; {moments} kN m\n");
        }
        if case.reactions.len() > 24 {
            out += &format!("  … and {} more reactions (--json has all)\n", case.reactions.len() - 24);
        }
        if let Some(factors) = &case.buckling_factors {
            let words = if factors.is_empty() { "none".to_owned() } else { list(factors) };
            out += &format!("  buckling factors: {words}\n");
        }
        if let Some(path) = &case.path {
            out += &format!("  path of {} points", path.len());
            out += &case.watch.as_ref().map_or_else(String::new, |watch| {
                format!(" (watching {} of joint {})", watch.direction, watch.joint)
            });
            out += &match case.limit_factor.flatten() {
                Some(factor) => format!("; first limit or branch point at factor {}\n", figure(factor)),
                None => "; no limit or branch point on it\n".to_owned(),
            };
            for event in case.events.iter().flatten() {
                // A turn is watched in radians.
                let turns = case.watch.as_ref().is_some_and(|watch| watch.direction.starts_with('r'));
                let moved = if turns {
                    format!("{} rad", figure(event.watched))
                } else {
                    format!("{} mm", figure(1e3 * event.watched))
                };
                out += &format!(
                    "    {} at factor {}, watched movement {moved}\n",
                    event.kind,
                    figure(event.factor)
                );
            }
            if case.path_end.as_deref() == Some("lost") {
                out += "    no equilibrium was found beyond its last point\n";
            }
        }
    }
    // Lines of a screen.
    out + "\n" + &results.indicative.replacen(": ", ":\n", 1).replacen(". ", ".\n", 1) + "\n"
}

/// The largest bending moment about either axis of any bar, at its ends or between them; nothing where nothing bends.
fn largest_moment(case: &CaseAnswer) -> String {
    let ends = case.bar_forces.iter().flat_map(|(bar, ends)| {
        [(bar, ends.from, "at its first joint".to_owned()), (bar, ends.to, "at its second joint".to_owned())]
    });
    let between = case.along.iter().flat_map(|(bar, places)| {
        places
            .iter()
            .map(move |place| (bar, place.forces, format!("{} m from its first joint", figure(place.x))))
    });
    let most = |forces: &[f64; 6]| forces[4].abs().max(forces[5].abs());
    // At an end both lists have it: the first counts.
    let found = ends.chain(between).fold(None, |best: Option<(&String, [f64; 6], String)>, one| match best {
        Some(best) if most(&best.1) >= most(&one.1) => Some(best),
        _ => Some(one),
    });
    let Some((bar, forces, place)) = found.filter(|(_, forces, _)| most(forces) > 0.0) else {
        return String::new();
    };
    let about = if forces[4].abs() >= forces[5].abs() { "y" } else { "z" };
    format!("  largest moment: bar {bar}, {} kN m about its {about}, {place}\n", figure(1e-3 * most(&forces)))
}

fn size(six: &[f64; 6]) -> f64 {
    six[0].hypot(six[1]).hypot(six[2])
}

fn figure(value: f64) -> String {
    units::significant(value, 4)
}

fn list(values: &[f64]) -> String {
    values.iter().map(|v| figure(*v)).collect::<Vec<_>>().join(", ")
}

/// One JSON document of the answer, indented; every number reads back to the same f64.
#[must_use]
pub fn json(results: &FrameResults) -> String {
    // A String does not fail and every map here is keyed by strings, so that this cannot.
    serde_json::to_string_pretty(results).unwrap_or_default() + "\n"
}
