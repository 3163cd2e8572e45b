//! A shell seen from above: how far it reaches, whichever way the axes lie.

use crate::shell::{PanelId, Shell};

/// From this share of the panels' lean on, the lean the other way makes a shell one that arches both ways (own choice).
const BOTH_WAYS: f64 = 0.5;

/// How far a shell reaches the way that it arches, and square to that \[m\]. It arches the way in which its panels lean most, by area, whichever
/// way the axes lie.
fn reaches(shell: &Shell) -> ([f64; 2], bool) {
    let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
    for panel in (0..shell.panels.len()).map(PanelId) {
        let area = shell.area_vector(panel);
        let size = area.norm().max(f64::MIN_POSITIVE);
        xx += area.x * area.x / size;
        xy += area.x * area.y / size;
        yy += area.y * area.y / size;
    }
    let apart = (xx - yy).hypot(2.0 * xy);
    let [most, least] = [0.5 * (xx + yy + apart), 0.5 * (xx + yy - apart)];
    let way = 0.5 * (2.0 * xy).atan2(xx - yy);
    let reach = |x: f64, y: f64| {
        let along = shell.joints.iter().map(|joint| joint.at.x * x + joint.at.y * y);
        let [low, high] =
            along.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], at| [low.min(at), high.max(at)]);
        (high - low).max(0.0)
    };
    ([reach(way.cos(), way.sin()), reach(-way.sin(), way.cos())], least >= BOTH_WAYS * most)
}

/// How far a shell reaches the way that it arches \[m\]; where it arches both ways, how far its joints are apart in plan at most.
#[must_use]
pub fn arched_over(shell: &Shell) -> f64 {
    let (reaches, both_ways) = reaches(shell);
    if !both_ways {
        return reaches[0];
    }
    let apart = |a: usize, b: usize| (shell.joints[a].at - shell.joints[b].at).xy().norm();
    let count = shell.joints.len();
    (0..count).flat_map(|a| (0..a).map(move |b| (a, b))).map(|(a, b)| apart(a, b)).fold(0.0, f64::max)
}

/// How far a shell spans \[m\]: the way that it arches; where it arches both ways, the lesser of the two.
#[must_use]
pub fn spanned(shell: &Shell) -> f64 {
    let ([along, across], both_ways) = reaches(shell);
    if both_ways { along.min(across) } else { along }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shell::ask::{Form, ShellAsk, Up};
    use crate::shell::build;

    /// Turned about the vertical a shell is as wide as it was.
    #[test]
    fn widths_do_not_turn_with_the_axes() {
        // A vault arches over its span, however long it is and whichever way it lies; a dome over all of it.
        let vault = |length: f64| {
            let form = Form::Barrel {
                profile: crate::shell::ask::Profile::Circular,
                span: 4.0,
                rise: 1.5,
                segments: 6,
                bays: 3,
                bay_length: length / 3.0,
                pattern: crate::shell::ask::Pattern::PlainLeft,
                ends: [crate::shell::ask::EndForm::Open; 2],
            };
            build(&ShellAsk { form, openings: Vec::new(), mend: false }).unwrap()
        };
        for length in [1.5, 12.0] {
            let mut shell = vault(length);
            assert!((arched_over(&shell) - 4.0).abs() < 1e-9);
            assert!((spanned(&shell) - 4.0).abs() < 1e-9);
            for joint in &mut shell.joints {
                let (x, y) = (joint.at.x, joint.at.y);
                (joint.at.x, joint.at.y) = (x * 0.8 - y * 0.6, x * 0.6 + y * 0.8);
            }
            assert!((arched_over(&shell) - 4.0).abs() < 1e-9);
        }
        let form = Form::Dome { radius: 2.0, frequency: 2, up: Up::Vertex, base: 0.0 };
        let dome = build(&ShellAsk { form, openings: Vec::new(), mend: false }).unwrap();
        let across = arched_over(&dome);
        assert!((3.9..=4.0 + 1e-9).contains(&across), "{across}");
    }
}
