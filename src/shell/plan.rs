//! A shell seen from above: the hull of points, and how wide it is whichever way the axes lie.

use crate::shell::{PanelId, Shell};

/// Corners of the convex hull of points, anticlockwise; what lies in an edge but for rounding is none (Andrew's monotone chain).
pub(crate) fn hull(mut points: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    points.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    let turn = |o: &[f64; 2], a: &[f64; 2], b: &[f64; 2]| {
        let (to_a, to_b) = ([a[0] - o[0], a[1] - o[1]], [b[0] - o[0], b[1] - o[1]]);
        let size = to_a[0].hypot(to_a[1]) * to_b[0].hypot(to_b[1]);
        to_a[0] * to_b[1] - to_a[1] * to_b[0] > 1e-9 * size
    };
    let half = |points: &mut dyn Iterator<Item = [f64; 2]>| {
        let mut chain: Vec<[f64; 2]> = Vec::new();
        for point in points {
            while chain.len() > 1 && !turn(&chain[chain.len() - 2], &chain[chain.len() - 1], &point) {
                chain.pop();
            }
            chain.push(point);
        }
        chain.pop();
        chain
    };
    let mut all = half(&mut points.iter().copied());
    all.extend(half(&mut points.iter().rev().copied()));
    all
}

/// The least and the greatest width of all joints in plan, whichever way they lie \[m\]: the least between two lines that touch them, the
/// greatest between two joints.
#[must_use]
pub fn widths(shell: &Shell) -> [f64; 2] {
    let hull = hull(shell.joints.iter().map(|joint| [joint.at.x, joint.at.y]).collect());
    let greatest =
        hull.iter().flat_map(|a| hull.iter().map(|b| (b[0] - a[0]).hypot(b[1] - a[1]))).fold(0.0, f64::max);
    // The narrowest way stands square to an edge of the hull.
    let edges = hull.iter().zip(hull.iter().cycle().skip(1));
    let across = edges.map(|(a, b)| {
        let (x, y) = (b[0] - a[0], b[1] - a[1]);
        let length = x.hypot(y);
        hull.iter().map(|c| ((c[0] - a[0]) * y - (c[1] - a[1]) * x).abs() / length).fold(0.0, f64::max)
    });
    let least = if hull.len() < 3 { 0.0 } else { across.fold(f64::INFINITY, f64::min) };
    [least, greatest]
}

/// From this share of the panels' lean on, the lean the other way makes a shell one that arches both ways (own choice).
const BOTH_WAYS: f64 = 0.5;

/// How far a shell reaches the way that it arches, whichever way the axes lie \[m\]: the way in which its panels lean most, by area; where they
/// lean both ways, its greatest width.
#[must_use]
pub fn arched_over(shell: &Shell) -> f64 {
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
    if least >= BOTH_WAYS * most {
        return widths(shell)[1];
    }
    let way = 0.5 * (2.0 * xy).atan2(xx - yy);
    let along = shell.joints.iter().map(|joint| joint.at.x * way.cos() + joint.at.y * way.sin());
    let [low, high] =
        along.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], at| [low.min(at), high.max(at)]);
    (high - low).max(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shell::ask::{Form, ShellAsk, Up};
    use crate::shell::build;

    /// Turned about the vertical a shell is as wide as it was.
    #[test]
    fn widths_do_not_turn_with_the_axes() {
        let form = Form::Dome { radius: 2.0, frequency: 1, up: Up::Edge, base: 0.0 };
        let mut shell = build(&ShellAsk { form, openings: Vec::new(), mend: false }).unwrap();
        shell.joints.iter_mut().for_each(|joint| joint.at.x *= 2.5);
        let [least, greatest] = widths(&shell);
        assert!(least > 1.0 && greatest > 1.5 * least, "{least} {greatest}");
        for angle in [0.3_f64, 1.2, 2.9] {
            let mut turned = shell.clone();
            for joint in &mut turned.joints {
                let (x, y) = (joint.at.x, joint.at.y);
                joint.at.x = x * angle.cos() - y * angle.sin();
                joint.at.y = x * angle.sin() + y * angle.cos();
            }
            let again = widths(&turned);
            assert!((again[0] - least).abs() < 1e-9 && (again[1] - greatest).abs() < 1e-9);
        }
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
            for joint in &mut shell.joints {
                let (x, y) = (joint.at.x, joint.at.y);
                (joint.at.x, joint.at.y) = (x * 0.8 - y * 0.6, x * 0.6 + y * 0.8);
            }
            assert!((arched_over(&shell) - 4.0).abs() < 1e-9);
        }
        let form = Form::Dome { radius: 2.0, frequency: 2, up: Up::Vertex, base: 0.0 };
        let dome = build(&ShellAsk { form, openings: Vec::new(), mend: false }).unwrap();
        assert!((arched_over(&dome) - widths(&dome)[1]).abs() < 1e-12);
        let flat = hull(vec![[0.0, 0.0], [1.0, 0.0], [2.0, 0.0]]);
        assert!(flat.len() < 3);
    }
}
