//! Forces that stand on panels: to the nearest places of the edges.

use crate::loads::ask::PointAsk;
use crate::loads::imposed::{POINT, panel};
use crate::loads::snow::positive;
use crate::loads::{Action, Case, CaseKind, JointLoad, LoadError, MemberLoad};
use crate::shell::{JointId, MemberId, PanelId, Shell};
use crate::vector::Vec3;

/// Width over which a point on a panel reaches an edge timber \[m\]: a hand or a foot; common practice, no source.
pub(super) const PATCH: f64 = 0.1;

/// Forces on panels, each by itself and all at once, as pools of water are. Of several on one panel the later ones have a number.
pub(super) fn on_panels(shell: &Shell, points: &[PointAsk]) -> Result<Vec<Case>, LoadError> {
    let mut cases: Vec<Case> = Vec::new();
    for (number, point) in points.iter().enumerate() {
        let mut case = on_panel(shell, point)?;
        let before = points[..number].iter().filter(|other| other.panel == point.panel).count();
        if before > 0 {
            case.name = format!("{} ({})", case.name, before + 1);
        }
        cases.push(case);
    }
    if cases.len() > 1 {
        let mut all = Case::empty(format!("{POINT}s, all"), CaseKind::Imposed, Action::Variable);
        for case in &cases {
            all.asked += case.asked;
            all.members.extend(case.members.iter().cloned());
            all.joints.extend(case.joints.iter().cloned());
        }
        cases.push(all.remarked(["all forces on panels at once".to_owned()]));
    }
    Ok(cases)
}

/// A force on a panel: to the nearest places of its edges, in parts that keep its place, each over a short stretch.
fn on_panel(shell: &Shell, ask: &PointAsk) -> Result<Case, LoadError> {
    let name = format!("{POINT} {}", ask.panel);
    positive("imposed.points.force", ask.force)?;
    let id = panel(shell, &ask.panel, &name)?;
    let joints = &shell.panels[id.0].joints;
    let corners: Vec<Vec3> = joints.iter().map(|&j| shell.at(j)).collect();
    let mut weights = weights_of(ask, &corners)?;
    if shell.panels[id.0].turned {
        weights.reverse();
    }
    let at = corners.iter().zip(&weights).fold(Vec3::zeros(), |sum, (corner, weight)| sum + corner * *weight);
    let force = Vec3::new(0.0, 0.0, -ask.force);
    let mut case = Case::empty(name, CaseKind::Imposed, Action::Variable);
    case.asked = force;
    let words = match to_edges(shell, &corners, joints, &at) {
        Some(parts) => {
            for (member, along, part) in parts {
                match on_patch(shell, member, along, force * part, Some(id)) {
                    Some(load) => case.members.push(load),
                    None => {
                        let end = usize::from(along > 0.5 * shell.length(member));
                        let joint = shell.members[member.0].joints[end];
                        case.joints.push(JointLoad { joint, force: force * part });
                    }
                }
            }
            "carried to the nearest places of the edge timbers"
        }
        None => {
            for (joint, weight) in joints.iter().zip(&weights) {
                if *weight != 0.0 {
                    case.joints.push(JointLoad { joint: *joint, force: force * *weight });
                }
            }
            "carried to the corners"
        }
    };
    Ok(case.remarked([format!("{:.0} N on the panel, {words}", ask.force)]))
}

/// A force on a timber, over the width of a foot as far as the timber reaches; `None` at its very end, where it is the joint's.
pub(super) fn on_patch(
    shell: &Shell,
    member: MemberId,
    along: f64,
    force: Vec3,
    panel: Option<PanelId>,
) -> Option<MemberLoad> {
    let half = (0.5 * PATCH).min(along).min(shell.length(member) - along);
    (half > 1e-6).then(|| MemberLoad {
        member,
        span: [along - half, along + half],
        intensity: [force / (2.0 * half); 2],
        panel,
    })
}

fn weights_of(ask: &PointAsk, corners: &[Vec3]) -> Result<Vec<f64>, LoadError> {
    if ask.weights.is_empty() {
        if let [a, b, c] = corners {
            // The incentre: weights in the ratio of the opposite sides.
            let sides = [(c - b).norm(), (a - c).norm(), (b - a).norm()];
            let whole: f64 = sides.iter().sum();
            return Ok(sides.iter().map(|side| side / whole).collect());
        }
        return Ok(vec![1.0 / corners.len() as f64; corners.len()]);
    }
    let whole: f64 = ask.weights.iter().sum();
    let fits = ask.weights.len() == corners.len() && ask.weights.iter().all(|w| w.is_finite() && *w >= 0.0);
    if !fits || whole <= 0.0 {
        return Err(LoadError::OutOfRange {
            what: format!("the sum of the weights of the point on panel {}", ask.panel),
            value: whole,
            limit: "above zero, with one weight of zero or more for each corner",
        });
    }
    Ok(ask.weights.iter().map(|weight| weight / whole).collect())
}

/// Members, places along them and parts of a force at a point of a panel; `None` where an edge is no member.
fn to_edges(
    shell: &Shell,
    corners: &[Vec3],
    joints: &[JointId],
    at: &Vec3,
) -> Option<Vec<(MemberId, f64, f64)>> {
    let (mut feet, mut members) = (Vec::new(), Vec::new());
    for (k, from) in corners.iter().enumerate() {
        let next = (k + 1) % corners.len();
        let along = corners[next] - from;
        let t = ((at - from).dot(&along) / along.norm_squared()).clamp(0.0, 1.0);
        feet.push(from + along * t);
        let pair = [joints[k], joints[next]];
        let index = shell.members.iter().position(|m| m.joints == pair || m.joints == [pair[1], pair[0]])?;
        let member = MemberId(index);
        let place = if shell.members[index].joints[0] == pair[0] { t } else { 1.0 - t };
        members.push((member, place * shell.length(member)));
    }
    let parts = shares(&feet, at)?;
    let on_edges = members.into_iter().zip(parts).filter(|(_, part)| *part > 0.0);
    Some(on_edges.map(|((member, along), part)| (member, along, part)).collect())
}

/// Nearer than this two places are one, and a line or a triangle is none \[m, m²\].
const TOUCHES: f64 = 1e-9;

/// Parts of a force that supports round a place take, so that the parts together act at that place; `None` where none does.
///
/// One, two or three supports carry it in one way only, as far as none of them would have to pull. Every such set counts, by how near its
/// supports are: by the inverse square of their distances, weighted as they carry. A place on one of the supports is that one's alone, and
/// what stands alike is asked for alike. In a convex panel the nearest places of its edges always have the place among them.
fn shares(supports: &[Vec3], at: &Vec3) -> Option<Vec<f64>> {
    let n = supports.len();
    let mut ways: Vec<Vec<(usize, f64)>> = Vec::new();
    for i in 0..n {
        if (supports[i] - at).norm() < TOUCHES {
            return Some((0..n).map(|k| f64::from(u8::from(k == i))).collect());
        }
        for j in i + 1..n {
            let line = supports[j] - supports[i];
            let t = (at - supports[i]).dot(&line) / line.norm_squared();
            if line.norm() > TOUCHES
                && (0.0..=1.0).contains(&t)
                && (supports[i] + line * t - at).norm() < TOUCHES
            {
                ways.push(vec![(i, 1.0 - t), (j, t)]);
            }
            for k in j + 1..n {
                let [p, q, r] = [i, j, k].map(|place| supports[place]);
                let normal = (q - p).cross(&(r - p));
                if normal.norm() < TOUCHES {
                    continue;
                }
                // Area coordinates of the place in the triangle of the three.
                let part =
                    |a: &Vec3, b: &Vec3| (a - at).cross(&(b - at)).dot(&normal) / normal.norm_squared();
                let parts = [part(&q, &r), part(&r, &p), part(&p, &q)];
                if parts.iter().all(|part| *part >= -TOUCHES) {
                    ways.push([i, j, k].into_iter().zip(parts.map(|part| part.max(0.0))).collect());
                }
            }
        }
    }
    let mut out = vec![0.0; n];
    let mut whole = 0.0;
    for way in ways {
        let distance: f64 = way.iter().map(|(k, part)| part * (supports[*k] - at).norm()).sum();
        let counts = distance.powi(-2);
        whole += counts;
        way.iter().for_each(|(k, part)| out[*k] += counts * part);
    }
    (whole > 0.0).then(|| out.into_iter().map(|part| part / whole).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::loads::tests::{all, dome, eurocode};

    /// A place within a square is carried by its four sides alike where it is in the middle, by one side where it is on it; the corner of
    /// an obtuse triangle that no perpendicular reaches takes no more than balance asks.
    #[test]
    fn a_place_is_carried_by_what_is_near() {
        let flat = |points: &[(f64, f64)]| -> Vec<Vec3> {
            points.iter().map(|(x, y)| Vec3::new(*x, *y, 0.3 * x - 0.2 * y)).collect()
        };
        let sides = flat(&[(1.0, 0.0), (2.0, 1.0), (1.0, 2.0), (0.0, 1.0)]);
        let middle = shares(&sides, &flat(&[(1.0, 1.0)])[0]).unwrap();
        // On a slope no two sides are as near as in plan, but opposite ones are.
        assert!((middle[0] - middle[2]).abs() < 1e-12 && (middle[1] - middle[3]).abs() < 1e-12, "{middle:?}");
        assert!(middle.iter().all(|part| *part > 0.2) && (middle.iter().sum::<f64>() - 1.0).abs() < 1e-12);
        assert_eq!(shares(&sides, &sides[1]), Some(vec![0.0, 1.0, 0.0, 0.0]));
        // Between two of three in a line.
        let line = flat(&[(0.0, 0.0), (3.0, 3.0), (4.0, 4.0)]);
        let [one, other, far] = shares(&line, &flat(&[(1.0, 1.0)])[0]).unwrap()[..] else { panic!() };
        assert!((one + other + far - 1.0).abs() < 1e-12 && (3.0 * other + 4.0 * far - 1.0).abs() < 1e-12);
        assert_eq!(shares(&line, &flat(&[(5.0, 5.0)])[0]), None, "beyond all of them");
    }

    /// Several forces act one by one and together; two on one panel have names of their own. A panel that was turned over when the mesh was
    /// mended has its force where the file says.
    #[test]
    fn forces_on_panels_act_one_by_one_and_all_at_once() {
        let shell = dome(2);
        let top = shell.panels.last().unwrap().name.clone();
        let point = |panel: &str, force, weights: &[f64]| PointAsk {
            panel: panel.into(),
            force,
            weights: weights.to_vec(),
        };
        let mut ask = eurocode();
        ask.imposed.points =
            vec![point(&top, 500.0, &[]), point(&top, 700.0, &[1.0, 1.0, 0.0]), point("p1", 300.0, &[])];
        let told: Vec<(String, f64)> = all(&ask, &shell)
            .into_iter()
            .filter(|case| case.name.starts_with(POINT))
            .map(|case| (case.name, -case.asked.z))
            .collect();
        let by_hand = [
            (format!("force on panel {top}"), 500.0),
            (format!("force on panel {top} (2)"), 700.0),
            ("force on panel p1".into(), 300.0),
            ("force on panels, all".into(), 1500.0),
        ];
        assert_eq!(told, by_hand);
        let mut turned = shell.clone();
        let panel = turned.panels.len() - 1;
        let weights = [0.7, 0.3, 0.1];
        let whole = on_panel(&shell, &point(&top, 500.0, &weights)).unwrap();
        turned.panels[panel].turned = true;
        let backward: Vec<f64> = weights.iter().rev().copied().collect();
        assert_eq!(on_panel(&turned, &point(&top, 500.0, &backward)).unwrap(), whole);
    }

    /// Two flat triangles 3 m × 0.8 m over one edge: a force on the middle of that edge bends it alone, whichever panel names it. By hand
    /// the feet of the perpendiculars on the two shorter sides are beyond them.
    #[test]
    fn a_force_on_an_edge_is_that_edges_alone() {
        use crate::shell::ask::{Form, MeshAsk, ShellAsk};
        let points =
            [("a", 0.0, 0.0, 0.0), ("b", 3.0, 0.0, 0.0), ("c", 1.5, 0.8, 0.45), ("d", 0.0, 1.6, 0.0)];
        let mesh = MeshAsk {
            joints: points.iter().map(|p| (p.0.to_owned(), Vec3::new(p.1, p.2, p.3))).collect(),
            panels: vec![("p".into(), vec![0, 1, 2]), ("q".into(), vec![0, 2, 3])],
            feet: vec![0, 1, 3],
            ..MeshAsk::default()
        };
        let shell =
            crate::shell::build(&ShellAsk { form: Form::Mesh(mesh), openings: Vec::new(), mend: true })
                .unwrap();
        let seam = shell.members.iter().position(|member| member.panels.len() == 2).unwrap();
        for (panel, between) in [("p", ["a", "c"]), ("q", ["a", "c"])] {
            let id = super::panel(&shell, panel, "").unwrap();
            let on = |joint: &JointId| between.contains(&&shell.joints[joint.0].name[..]);
            let weights = shell.panels[id.0].joints.iter().map(|j| f64::from(u8::from(on(j)))).collect();
            let case = on_panel(&shell, &PointAsk { panel: panel.into(), force: 1000.0, weights }).unwrap();
            assert!(case.joints.is_empty() && case.members.len() == 1, "{case:?}");
            let load = &case.members[0];
            assert_eq!(load.member, MemberId(seam));
            let middle = 0.5 * (load.span[0] + load.span[1]);
            assert!((middle - 0.5 * shell.length(MemberId(seam))).abs() < 1e-9);
            assert!((load.intensity[0].z * (load.span[1] - load.span[0]) + 1000.0).abs() < 1e-9);
        }
    }

    proptest::proptest! {
        /// Wherever a force stands in a convex panel of three to six corners, its parts on the edges act where it stands.
        #[test]
        fn parts_on_the_edges_act_where_the_force_stands(
            turns in proptest::collection::vec(0.1_f64..1.0, 3..7),
            squash in 0.1_f64..1.0,
            weights in proptest::collection::vec(0.0_f64..1.0, 7),
            slope in -2.0_f64..2.0,
        ) {
            let whole: f64 = turns.iter().sum();
            let mut angle = 0.0;
            let corners: Vec<Vec3> = turns.iter().map(|turn| {
                angle += turn / whole * std::f64::consts::TAU;
                let (x, y) = (angle.cos(), squash * angle.sin());
                Vec3::new(x, y, slope * x)
            }).collect();
            let sum: f64 = weights[..corners.len()].iter().sum();
            proptest::prop_assume!(sum > 0.01);
            let at = corners.iter().zip(&weights).fold(Vec3::zeros(), |at, (corner, weight)| at + corner * (weight / sum));
            let nearest: Vec<Vec3> = (0..corners.len()).map(|k| {
                let (from, along) = (corners[k], corners[(k + 1) % corners.len()] - corners[k]);
                from + along * ((at - from).dot(&along) / along.norm_squared()).clamp(0.0, 1.0)
            }).collect();
            let parts = shares(&nearest, &at);
            proptest::prop_assert!(parts.is_some(), "{corners:?} {at:?}");
            let parts = parts.unwrap();
            let acts = nearest.iter().zip(&parts).fold(Vec3::zeros(), |sum, (place, part)| sum + place * *part);
            proptest::prop_assert!((acts - at).norm() < 1e-6 && parts.iter().all(|part| *part >= 0.0), "{parts:?}");
        }
    }
}
