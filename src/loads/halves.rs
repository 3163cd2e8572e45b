//! Halves of the plan: what may lie on a part of the shell alone is laid on these, whatever it is.

use std::f64::consts::{FRAC_PI_2, PI};

use crate::loads::ask::{Given, LoadsAsk};
use crate::loads::integrate::{Cut, Field};
use crate::loads::section_line::{degrees, towards};
use crate::loads::snow::Ground;
use crate::shell::{PanelId, Shape, Shell};
use crate::vector::Vec3;

/// The directions that snow drifts from (domes) or that halves lie towards: those of the snow, or else of the wind.
pub(crate) fn directions(ask: &LoadsAsk) -> Vec<f64> {
    if let Given::Value(snow) = &ask.snow
        && !snow.directions.is_empty()
    {
        return snow.directions.clone();
    }
    match &ask.wind {
        Given::Value(wind) if !wind.directions.is_empty() => wind.directions.clone(),
        _ => (0..4).map(|k| f64::from(k) * FRAC_PI_2).collect(),
    }
}

/// The four sides of a vault, the directions asked for of anything else: (words, unit vector).
pub(crate) fn sides(ground: &Ground<'_>, ask: &LoadsAsk) -> Vec<(String, Vec3)> {
    if ground.shape == Shape::Vault {
        return [
            ("+y side", Vec3::y()),
            ("−y side", -Vec3::y()),
            ("+x end", Vec3::x()),
            ("−x end", -Vec3::x()),
        ]
        .map(|(words, unit)| (words.to_owned(), unit))
        .into();
    }
    let mut all = directions(ask);
    if ground.shape == Shape::Free {
        // Nothing of a free shape is a mirror image: both halves of each line, and those square to the first.
        let first = all.first().copied().unwrap_or(0.0);
        let more: Vec<f64> =
            all.iter().map(|way| way + PI).chain([first + FRAC_PI_2, first - FRAC_PI_2]).collect();
        for way in more {
            if all.iter().all(|known| (known - way).cos() < 1.0 - 1e-9) {
                all.push(way);
            }
        }
    }
    all.into_iter().map(|angle| (format!("side towards {}", degrees(angle)), towards(angle))).collect()
}

/// Where the line between two halves runs through: the centre of the base, of a free shape that of the plan of what faces up, which
/// turns with the shape as the middle of what it spans along the axes does not.
pub(crate) fn middle(shell: &Shell) -> Vec3 {
    let centre = shell.outline.centre;
    if shell.outline.shape != Shape::Free {
        return centre;
    }
    let (mut whole, mut moment) = (0.0, Vec3::zeros());
    for panel in (0..shell.panels.len()).map(PanelId).filter(|&panel| shell.area_vector(panel).z > 0.0) {
        let corners: Vec<Vec3> = shell.panels[panel.0].joints.iter().map(|&joint| shell.at(joint)).collect();
        for pair in corners[1..].windows(2) {
            let plan = 0.5 * (pair[0] - corners[0]).cross(&(pair[1] - corners[0])).z;
            whole += plan;
            moment += (corners[0] + pair[0] + pair[1]) * (plan / 3.0);
        }
    }
    if whole > 0.0 { Vec3::new(moment.x / whole, moment.y / whole, 0.0) } else { centre }
}

/// What lies on the whole, on one half, and so much of it on the other.
pub(crate) fn on_half<'f>(shell: &Shell, whole: Field<'f>, towards: Vec3, lesser: f64) -> Field<'f> {
    let line = middle(shell).dot(&towards);
    let mut cuts = vec![Cut::Plane(towards, line)];
    cuts.extend(whole.cuts);
    let value = whole.value;
    Field::new(
        move |panel, p: &Vec3| value(panel, p) * if towards.dot(p) >= line { 1.0 } else { lesser },
        cuts,
    )
    .stepped()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::loads::ask::AsceEdition;
    use crate::loads::audit::audit;
    use crate::loads::edge_share::EdgeShares;
    use crate::loads::test_shells::{free, of_panels, pyramid};
    use crate::loads::tests::{all, asce, barrel, close, dome, eurocode, named, total};

    /// A free action lies on the most unfavourable part: on either half alone, of the same halves as the snow.
    #[test]
    fn maintenance_lies_on_the_whole_and_on_each_half() {
        for us in [false, true] {
            let mut ask = if us { asce(AsceEdition::Seven16) } else { eurocode() };
            ask.imposed.roof = Some(600.0);
            for (shell, plan) in [(barrel(1.2, 6, 4), 16.0), (dome(3), 0.0), (pyramid(2.0, 1.0), 16.0)] {
                let cases = all(&ask, &shell);
                let down = |name: &str| {
                    let case = named(&cases, name);
                    assert!(audit(&shell, &EdgeShares::new(&shell), case).residual < 1e-9);
                    -total(&shell, case).z
                };
                let whole = down("maintenance load");
                if plan > 0.0 {
                    close(whole, 600.0 * plan, 1e-9, "whole");
                }
                let halves = cases.iter().filter_map(|c| c.name.strip_prefix("maintenance load on the "));
                let halves: Vec<&str> = halves.collect();
                assert_eq!(halves.len(), 4, "{halves:?}");
                for half in &halves {
                    close(down(&format!("maintenance load on the {half}")), 0.5 * whole, 2e-3, half);
                }
                let snow: Vec<&str> =
                    cases.iter().filter_map(|c| c.name.strip_prefix("snow on the ")).collect();
                assert!(us || halves.iter().all(|half| snow.contains(half)), "{snow:?}");
            }
        }
    }

    /// A roof of one wide and one narrow side, turned: each half towards a turned direction carries what it did.
    #[test]
    fn turning_a_mesh_turns_its_halves() {
        let halves = |turn: f64| -> Vec<f64> {
            let (sin, cos) = turn.to_radians().sin_cos();
            let at =
                [[3.0, -1.0, 0.0], [3.0, 2.0, 0.0], [-1.0, 2.0, 0.0], [-1.0, -1.0, 0.0], [0.0, 0.0, 1.5]]
                    .map(|[x, y, z]| Vec3::new(x * cos - y * sin, x * sin + y * cos, z));
            let mut shell =
                of_panels(&at, &[vec![0, 1, 4], vec![1, 2, 4], vec![2, 3, 4], vec![3, 0, 4]], free(4.0, 1.5));
            // As a mesh has it: the middle of what it spans along the axes.
            let span = |of: fn(&Vec3) -> f64| {
                let all = at.iter().map(of);
                0.5 * (all.clone().fold(f64::INFINITY, f64::min) + all.fold(f64::NEG_INFINITY, f64::max))
            };
            shell.outline.centre = Vec3::new(span(|p| p.x), span(|p| p.y), 0.0);
            let mut ask = eurocode();
            if let Given::Value(snow) = &mut ask.snow {
                snow.directions = [0.0, 90.0, 180.0, 270.0].map(|d: f64| (d + turn).to_radians()).to_vec();
            }
            let cases = all(&ask, &shell);
            let halves = cases.iter().filter(|case| case.name.starts_with("snow on the side"));
            halves.map(|case| total(&shell, case).z).collect()
        };
        let plain = halves(0.0);
        assert_eq!(plain.len(), 4);
        for turn in [7.5, 30.0, 45.0] {
            for (one, other) in halves(turn).iter().zip(&plain) {
                close(*one, *other, 1e-9, "turned");
            }
        }
    }

    /// One half is as empty as the other is full: on a barrel of even segments no panel of one side carries the other's.
    #[test]
    fn the_other_half_is_bare() {
        let mut ask = eurocode();
        ask.imposed.roof = Some(600.0);
        let shell = barrel(1.2, 6, 4);
        let cases = all(&ask, &shell);
        for (name, sign) in
            [("maintenance load on the +y side", 1.0), ("maintenance load on the −y side", -1.0)]
        {
            let case = named(&cases, name);
            assert_eq!(case.panels.len(), shell.panels.len() / 2);
            for load in &case.panels {
                let joints = &shell.panels[load.panel.0].joints;
                assert!(joints.iter().all(|&joint| sign * shell.at(joint).y > -1e-9), "{name}");
            }
        }
    }
}
