//! Halves of the plan: what may lie on a part of the shell alone is laid on these, whatever it is.

use std::f64::consts::FRAC_PI_2;

use crate::loads::ask::{Given, LoadsAsk};
use crate::loads::integrate::{Cut, Field};
use crate::loads::section_line::{degrees, towards};
use crate::loads::snow::Ground;
use crate::shell::{Shape, Shell};
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
    directions(ask)
        .into_iter()
        .map(|angle| (format!("side towards {}", degrees(angle)), towards(angle)))
        .collect()
}

/// Where the line between two halves runs through.
pub(crate) fn middle(shell: &Shell) -> Vec3 {
    shell.outline.centre
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
    use crate::loads::test_shells::pyramid;
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
