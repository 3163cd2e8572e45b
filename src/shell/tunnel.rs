//! A sphere split on its vertical great circle, with bands put between.
//!
//! For an even frequency, with an edge uppermost and a five-fold axis along x, the plane x = 0 cuts the
//! sphere along 5 f whole edges: the arch polygon P. Q is P turned by half a step: its joints stand on
//! the same circle in the middle of P's arcs. For f = 2 and 4 the steps are equal, so Q is P turned as
//! a whole; for finer divisions P's steps differ a little, the middle of each arc is the one turning
//! that keeps all of P's symmetries, and there are two kinds of ring. Arches alternate P, Q, P, …, so
//! between two half-domes the number of bands is even.

use crate::shell::ShellError;
use crate::shell::ask::{EndForm, MOST_DIVISIONS};
use crate::shell::build::Made;
use crate::shell::clip::cut;
use crate::shell::dome::{arc, dome_of, ring_radius, widest};
use crate::shell::net::{Net, middle};
use crate::shell::sphere::sphere_along_x;
use crate::shell::{Outline, Shape};
use crate::vector::Vec3;
use std::f64::consts::TAU;

/// Most bands: a tunnel longer than this is studied in lengths.
const MOST_BANDS: usize = 1000;

/// What is asked of a tunnel.
#[derive(Debug, Clone, Copy)]
pub(crate) struct TunnelAsk {
    pub(crate) radius: f64,
    pub(crate) frequency: usize,
    pub(crate) bands: usize,
    pub(crate) base: f64,
    pub(crate) spacing: Option<f64>,
    pub(crate) ends: [EndForm; 2],
}

/// Builds the tunnel, its straight stretch centred on x = 0, without gables.
pub(crate) fn tunnel(ask: &TunnelAsk) -> Result<Made, ShellError> {
    let &TunnelAsk { radius, frequency, bands, base, .. } = ask;
    let domed = ask.ends.map(|end| end == EndForm::HalfDome);
    // The sphere's own limits first, so that frequency 0 is not called odd.
    if frequency == 0 || frequency > MOST_DIVISIONS {
        return Err(ShellError::Count {
            what: "frequency",
            value: frequency,
            least: 2,
            most: MOST_DIVISIONS,
        });
    }
    if frequency % 2 == 1 {
        return Err(ShellError::OddFrequency { frequency });
    }
    if bands > MOST_BANDS {
        return Err(ShellError::Count { what: "bands", value: bands, least: 0, most: MOST_BANDS });
    }
    if domed == [true; 2] && bands % 2 == 1 {
        return Err(ShellError::OddBands { bands });
    }
    let sphere = sphere_along_x(radius, frequency)?;
    if domed == [true; 2] && bands == 0 {
        return dome_of(&sphere, radius, base);
    }
    let angles = great_circle(&sphere, radius);
    let spacing = match ask.spacing {
        Some(spacing) if spacing.is_finite() && spacing > 0.0 => spacing,
        Some(value) => return Err(ShellError::NotPositive { what: "spacing", value }),
        None => even_spacing(&angles, radius),
    };
    if domed == [false; 2] && bands == 0 {
        return Err(ShellError::Count { what: "bands", value: 0, least: 1, most: MOST_BANDS });
    }

    let half = 0.5 * spacing * bands as f64;
    let mut net = Net::default();
    // Arches are counted from a domed end, where the first must be P.
    let turned = |arch: usize| if domed[0] || !domed[1] { arch % 2 == 1 } else { (bands - arch) % 2 == 1 };
    let arches: Vec<Vec<usize>> = (0..=bands)
        .map(|arch| {
            let x = spacing * arch as f64 - half;
            ring(&angles, turned(arch)).iter().map(|angle| net.point(on_circle(radius, *angle, x))).collect()
        })
        .collect();
    for (arch, pair) in arches.windows(2).enumerate() {
        band(&mut net, [&pair[0], &pair[1]], turned(arch));
    }
    for (end, side) in [(0, -1.0), (1, 1.0)] {
        if domed[end] {
            let arch = if end == 0 { &arches[0] } else { &arches[bands] };
            half_dome(&mut net, &HalfDome { sphere: &sphere, radius, side, half, lift: 0.0 }, arch);
        }
    }
    net.drop_unused();

    let cut = cut(&net, base, radius)?;
    let reach = |end: usize| half + if domed[end] { widest(radius, cut.height) } else { 0.0 };
    let outline = Outline {
        shape: Shape::Vault,
        span: 2.0 * ring_radius(radius, cut.height),
        rise: radius - cut.height,
        length: reach(0) + reach(1),
        centre: Vec3::new(0.5 * (reach(1) - reach(0)), 0.0, 0.0),
        barrel: Some([-half, half]),
        domed_ends: domed,
        profile: arc(radius, cut.height),
        radius: Some(radius),
    };
    Ok(Made { net: cut.net, outline, remarks: cut.remarks, own: None })
}

/// The point of a circle about the x axis at `angle` from the crown toward y.
fn on_circle(radius: f64, angle: f64, x: f64) -> Vec3 {
    Vec3::new(x, radius * angle.sin(), radius * angle.cos())
}

/// The joints of the sphere in the plane x = 0, by angle from the crown toward y, 0 to 2π.
pub(crate) fn great_circle(sphere: &Net, radius: f64) -> Vec<f64> {
    let mut angles: Vec<f64> = sphere
        .points
        .iter()
        .filter(|at| at.x.abs() < 1e-9 * radius)
        .map(|at| {
            let angle = at.y.atan2(at.z).rem_euclid(TAU);
            if TAU - angle < 1e-9 { 0.0 } else { angle }
        })
        .collect();
    angles.sort_by(f64::total_cmp);
    angles
}

/// Angles of P, or of Q, whose joint i lies between P's i and i + 1.
fn ring(angles: &[f64], turned: bool) -> Vec<f64> {
    if !turned {
        return angles.to_vec();
    }
    (0..angles.len())
        .map(|i| {
            let next = if i + 1 < angles.len() { angles[i + 1] } else { angles[0] + TAU };
            0.5 * (angles[i] + next)
        })
        .collect()
}

/// The spacing of arches at which the mean diagonal equals the mean arch edge of both kinds of ring
/// \[m\], found by Newton's rule to rounding. For f = 2 every band panel is then equilateral.
fn even_spacing(angles: &[f64], radius: f64) -> f64 {
    let chords = |ring: &[f64]| -> Vec<f64> {
        (0..ring.len())
            .map(|i| {
                let next = if i + 1 < ring.len() { ring[i + 1] } else { ring[0] + TAU };
                2.0 * radius * (0.5 * (next - ring[i])).sin()
            })
            .collect()
    };
    let turned = ring(angles, true);
    let mean = |values: &[f64]| values.iter().sum::<f64>() / values.len() as f64;
    let edge = 0.5 * (mean(&chords(angles)) + mean(&chords(&turned)));
    // A diagonal reaches in its arch's plane from P's i to Q's i; the one to P's i + 1 is as long.
    let across: Vec<f64> =
        angles.iter().zip(&turned).map(|(p, q)| 2.0 * radius * (0.5 * (q - p)).sin()).collect();
    let mut spacing = (edge * edge - mean(&across).powi(2)).sqrt();
    for _ in 0..50 {
        let lengths: Vec<f64> = across.iter().map(|reach| reach.hypot(spacing)).collect();
        let slope = spacing * mean(&lengths.iter().map(|length| 1.0 / length).collect::<Vec<_>>());
        let step = (mean(&lengths) - edge) / slope;
        spacing -= step;
        if step.abs() < 1e-15 * radius {
            break;
        }
    }
    spacing
}

/// The panels between two rings, the first of them turned or not.
fn band(net: &mut Net, rings: [&[usize]; 2], first_turned: bool) {
    let [p, q] = if first_turned { [rings[1], rings[0]] } else { rings };
    for i in 0..p.len() {
        let next = (i + 1) % p.len();
        for corners in [vec![p[i], p[next], q[i]], vec![q[i], p[next], q[next]]] {
            let mut outward = middle(&net.points, &corners);
            outward.x = 0.0;
            net.panel_facing(corners, &outward);
        }
    }
}

/// Where a half-dome goes.
#[derive(Debug, Clone, Copy)]
pub(crate) struct HalfDome<'a> {
    pub(crate) sphere: &'a Net,
    pub(crate) radius: f64,
    /// −1 or 1: the side of x that it lies on.
    pub(crate) side: f64,
    /// Distance of its great circle from x = 0 \[m\].
    pub(crate) half: f64,
    /// Height of its centre \[m\].
    pub(crate) lift: f64,
}

/// Adds half a sphere on the joints of the end arch.
pub(crate) fn half_dome(net: &mut Net, ask: &HalfDome<'_>, arch: &[usize]) {
    let &HalfDome { sphere, radius, side, half, lift } = ask;
    let tiny = 1e-9 * radius;
    let numbers: Vec<usize> = sphere
        .points
        .iter()
        .map(|at| {
            let moved = Vec3::new(at.x + side * half, at.y, at.z + lift);
            if at.x.abs() >= tiny {
                return net.point(moved);
            }
            let near = arch
                .iter()
                .copied()
                .min_by(|&a, &b| (net.points[a] - moved).norm().total_cmp(&(net.points[b] - moved).norm()));
            near.unwrap_or_else(|| net.point(moved))
        })
        .collect();
    for corners in &sphere.panels {
        if middle(&sphere.points, corners).x * side > 0.0 {
            net.panels.push(corners.iter().map(|&corner| numbers[corner]).collect());
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::shell::ask::{EndForm, Form, ShellAsk, Up};
    use crate::shell::fold::{Bend, bend};
    use crate::shell::{MemberKind, PanelId, Role, Shell, ShellError, build};
    use approx::assert_relative_eq;

    const HALF_DOMES: [EndForm; 2] = [EndForm::HalfDome; 2];

    fn asked(frequency: usize, bands: usize, base: f64, ends: [EndForm; 2]) -> Result<Shell, ShellError> {
        let form = Form::Tunnel { radius: 2.1, frequency, bands, base, spacing: None, ends };
        build(&ShellAsk { form, openings: Vec::new(), mend: false })
    }

    /// How many members there are of each length and fold (both to 1e-9), seams and rims alike.
    fn measures(shell: &Shell) -> std::collections::BTreeMap<(i64, i64), usize> {
        let mut all = std::collections::BTreeMap::new();
        for member in &shell.members {
            let [a, b] = member.joints.map(|joint| shell.at(joint));
            let rounded = |value: f64| (value * 1e8).round() as i64;
            *all.entry((rounded((b - a).norm()), rounded(member.fold))).or_insert(0) += 1;
        }
        all
    }

    #[test]
    fn no_bands_give_the_plain_dome() {
        for (frequency, base) in [(2, 0.0), (2, -0.4), (4, 0.3), (6, 0.0)] {
            let tunnel = asked(frequency, 0, base, HALF_DOMES).unwrap();
            let form = Form::Dome { radius: 2.1, frequency, up: Up::Edge, base };
            let dome = build(&ShellAsk { form, openings: Vec::new(), mend: false }).unwrap();
            assert_eq!(tunnel.joints.len(), dome.joints.len());
            assert_eq!(tunnel.panels.len(), dome.panels.len());
            assert_eq!(measures(&tunnel), measures(&dome));
            assert_eq!(tunnel.outline, dome.outline);
        }
    }

    #[test]
    fn at_frequency_two_the_band_has_its_closed_forms() {
        // Common practice, no source for the panels; the angles are the reference sheet's for n = 10.
        let radius = 2.1;
        let edge = 2.0 * radius * (std::f64::consts::PI / 10.0).sin();
        let tan = (std::f64::consts::PI / 20.0).tan();
        let sin = (std::f64::consts::PI / 20.0).sin();
        let valley = -2.0 * (tan / 3.0_f64.sqrt()).asin();
        let ridge = 2.0 * (2.0 / 3.0_f64.sqrt() * sin).asin();
        for bands in [2, 4, 6] {
            let shell = asked(2, bands, 0.0, HALF_DOMES).unwrap();
            let [low, high] = shell.outline.barrel.unwrap();
            let spacing = (high - low) / bands as f64;
            let drop = radius * (1.0 - (std::f64::consts::PI / 10.0).cos());
            assert_relative_eq!(valley, -2.0 * (drop / spacing).atan(), max_relative = 1e-12);
            for member in &shell.members {
                let [a, b] = member.joints.map(|joint| shell.at(joint));
                let inner = |x: f64| x > low + 1e-6 && x < high - 1e-6;
                if member.role == Role::Arch && inner(a.x) {
                    assert_relative_eq!(member.fold, valley, epsilon = 1e-9);
                } else if member.role == Role::Diagonal {
                    assert_relative_eq!(member.fold, ridge, epsilon = 1e-9);
                } else if member.role == Role::Arch {
                    assert!(
                        member.fold > 0.0 && member.fold < 0.2,
                        "the join folds a little: {}",
                        member.fold
                    );
                }
                if matches!(member.role, Role::Arch | Role::Diagonal) && a.z > 1e-9 && b.z > 1e-9 {
                    assert_relative_eq!((b - a).norm(), edge, max_relative = 1e-12);
                }
            }
        }
    }

    #[test]
    fn whole_band_panels_are_equilateral_and_halves_pair_up() {
        let shell = asked(2, 4, 0.0, HALF_DOMES).unwrap();
        let edge = 2.0 * 2.1 * (std::f64::consts::PI / 10.0).sin();
        let equilateral = 3.0_f64.sqrt() / 4.0 * edge * edge;
        let [low, high] = shell.outline.barrel.unwrap();
        let (mut whole, mut hands) = (0, [0, 0]);
        for number in 0..shell.panels.len() {
            let corners: Vec<_> = shell.panels[number].joints.iter().map(|&joint| shell.at(joint)).collect();
            if corners.iter().any(|at| at.x < low - 1e-6 || at.x > high + 1e-6) {
                continue;
            }
            let area = shell.area_vector(PanelId(number)).norm();
            if (area - equilateral).abs() < 1e-9 {
                whole += 1;
                let folds: Vec<Bend> = shell
                    .members
                    .iter()
                    .filter(|m| m.kind == MemberKind::Seam && m.panels.contains(&PanelId(number)))
                    .map(|m| bend(m.fold))
                    .collect();
                let joins = corners.iter().filter(|at| (at.x.abs() - high).abs() < 1e-9).count() == 2;
                let valleys = folds.iter().filter(|&&bend| bend == Bend::Valley).count();
                assert_eq!(valleys, usize::from(!joins));
            } else {
                assert_relative_eq!(area, 0.5 * equilateral, max_relative = 1e-9);
                // The short side stands on the base or is the half arch edge; hand by order of sides.
                let mut sides: Vec<f64> =
                    (0..3).map(|i| (corners[(i + 1) % 3] - corners[i]).norm()).collect();
                let first = sides.iter().enumerate().min_by(|a, b| a.1.total_cmp(b.1)).unwrap().0;
                sides.rotate_left(first);
                hands[usize::from(sides[1] > sides[2])] += 1;
            }
        }
        assert!(whole > 0);
        assert_eq!(hands[0], hands[1]);
        assert_eq!(hands[0] + hands[1], 8);
    }

    #[test]
    fn a_capsule_has_a_half_turn_and_no_mirror_plane() {
        for frequency in [2, 4, 6, 8] {
            let shell = asked(frequency, 2, -0.2, HALF_DOMES).unwrap();
            let has = |x: f64, y: f64, z: f64| {
                shell.joints.iter().any(|joint| (joint.at - crate::vector::Vec3::new(x, y, z)).norm() < 1e-9)
            };
            assert!(shell.joints.iter().all(|joint| has(-joint.at.x, -joint.at.y, joint.at.z)));
            assert!(!shell.joints.iter().all(|joint| has(-joint.at.x, joint.at.y, joint.at.z)));
            assert!(!shell.joints.iter().all(|joint| has(joint.at.x, -joint.at.y, joint.at.z)));
        }
    }

    #[test]
    fn the_even_spacing_makes_mean_diagonal_and_mean_arch_edge_equal() {
        for frequency in [2, 4, 6, 8, 12, 16] {
            // Nearly the whole sphere, so that both kinds of ring are there but for the lowest edges.
            let sphere = crate::shell::sphere::sphere_along_x(1.0, frequency).unwrap();
            let angles = super::great_circle(&sphere, 1.0);
            assert_eq!(angles.len(), 5 * frequency);
            let spacing = super::even_spacing(&angles, 1.0);
            let mut net = crate::shell::net::Net::default();
            let rings: Vec<Vec<usize>> = [false, true]
                .iter()
                .map(|&turned| {
                    super::ring(&angles, turned)
                        .iter()
                        .map(|&angle| {
                            net.point(super::on_circle(1.0, angle, if turned { spacing } else { 0.0 }))
                        })
                        .collect()
                })
                .collect();
            super::band(&mut net, [&rings[0], &rings[1]], false);
            let (mut arch, mut diagonal) = (Vec::new(), Vec::new());
            for &(a, b) in net.edges().keys() {
                let length = (net.points[b] - net.points[a]).norm();
                if (net.points[a].x - net.points[b].x).abs() < 1e-12 {
                    arch.push(length);
                } else {
                    diagonal.push(length);
                }
            }
            let mean = |values: &[f64]| values.iter().sum::<f64>() / values.len() as f64;
            assert_eq!(diagonal.len(), arch.len());
            assert_relative_eq!(mean(&arch), mean(&diagonal), max_relative = 1e-12);
        }
    }

    #[test]
    fn what_a_tunnel_cannot_be_is_refused() {
        assert!(matches!(asked(3, 2, 0.0, HALF_DOMES), Err(ShellError::OddFrequency { frequency: 3 })));
        assert!(matches!(asked(2, 3, 0.0, HALF_DOMES), Err(ShellError::OddBands { bands: 3 })));
        assert!(matches!(asked(0, 2, 0.0, HALF_DOMES), Err(ShellError::Count { .. })));
        assert!(matches!(asked(2, 2, 2.2, HALF_DOMES), Err(ShellError::BaseTooHigh { .. })));
        assert!(matches!(asked(2, 2, -2.2, HALF_DOMES), Err(ShellError::BaseTooLow { .. })));
        // Near the crown the plane leaves an island at each arch.
        assert!(asked(2, 4, 2.05, HALF_DOMES).is_err());
    }

    #[test]
    fn one_end_may_be_flat_and_then_odd_bands_fit() {
        for bands in 0..5 {
            for ends in [[EndForm::HalfDome, EndForm::Open], [EndForm::Open, EndForm::HalfDome]] {
                let shell = asked(2, bands, 0.0, ends).unwrap();
                let rims = |role: Role| shell.members.iter().filter(|member| member.role == role).count();
                assert!(rims(Role::EndRim) >= 5);
                assert_eq!(rims(Role::DoorRim), 0);
            }
        }
    }
}
