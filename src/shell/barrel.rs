//! A barrel: arches along x with panels between them.
//!
//! Staggered: every other arch is turned by half a step, so its lowest panels meet the ground in the
//! middle of their edges and are cut there. Plain: all arches alike, each bay split by a diagonal, or by
//! two that meet in a joint.

use crate::shell::ShellError;
use crate::shell::ask::{EndForm, MOST_SEGMENTS, Pattern, Profile};
use crate::shell::build::Made;
use crate::shell::clip::cut;
use crate::shell::dome::widest;
use crate::shell::net::{Net, middle};
use crate::shell::profile::Curve;
use crate::shell::sphere::sphere_along_x;
use crate::shell::tunnel::{HalfDome, half_dome};
use crate::shell::{Outline, Shape};
use crate::vector::Vec3;

const MOST_BAYS: usize = 1000;

/// What is asked of a barrel; see [`crate::shell::ask::Form::Barrel`].
#[derive(Debug, Clone, Copy)]
pub(crate) struct BarrelAsk {
    pub(crate) profile: Profile,
    pub(crate) span: f64,
    pub(crate) rise: f64,
    pub(crate) segments: usize,
    pub(crate) bays: usize,
    pub(crate) bay_length: f64,
    pub(crate) pattern: Pattern,
    pub(crate) ends: [EndForm; 2],
}

/// Builds the barrel, centred on x = 0, without gables.
pub(crate) fn barrel(ask: &BarrelAsk) -> Result<Made, ShellError> {
    for (what, value) in [("span", ask.span), ("rise", ask.rise), ("bay_length", ask.bay_length)] {
        if !(value.is_finite() && value > 0.0) {
            return Err(ShellError::NotPositive { what, value });
        }
    }
    for (what, value, least, most) in
        [("segments", ask.segments, 2, MOST_SEGMENTS), ("bays", ask.bays, 1, MOST_BAYS)]
    {
        if value < least || value > most {
            return Err(ShellError::Count { what, value, least, most });
        }
    }
    // A circle with more of it below the ground than above is no arch; the others only get tall.
    let most = if ask.profile == Profile::Circular { 2.0 } else { 5.0 };
    if ask.rise < 0.01 * ask.span || ask.rise > most * ask.span {
        return Err(ShellError::Rise { rise: ask.rise, span: ask.span, most });
    }
    let curve = Curve::new(ask.profile, ask.span, ask.rise);
    let straight = curve.straight_joints(ask.segments);
    let turned = curve.turned_joints(&straight);
    let starts: &[bool] = if ask.pattern == Pattern::Staggered { &[false, true] } else { &[false] };
    // A staggered barrel starts with a straight arch unless a half-dome fits only the turned one.
    let mut made = Err(ShellError::NoHalfDome);
    for &start_turned in starts {
        made = laid(ask, &curve, [&straight, &turned], start_turned);
        if !matches!(made, Err(ShellError::NoHalfDome)) {
            break;
        }
    }
    made
}

/// The barrel whose first arch is straight or turned.
fn laid(ask: &BarrelAsk, curve: &Curve, joints: [&[f64]; 2], start_turned: bool) -> Result<Made, ShellError> {
    let half = 0.5 * ask.bay_length * ask.bays as f64;
    let size = ask.rise.max(0.5 * ask.span);
    let mut net = Net::default();
    let is_turned = |arch: usize| {
        let odd = (arch % 2 == 1) != start_turned;
        ask.pattern == Pattern::Staggered && odd
    };
    let arches: Vec<Vec<usize>> = (0..=ask.bays)
        .map(|arch| {
            let x = ask.bay_length * arch as f64 - half;
            joints[usize::from(is_turned(arch))]
                .iter()
                .map(|&u| {
                    let [y, z] = curve.at(u);
                    net.point(Vec3::new(x, y, z))
                })
                .collect()
        })
        .collect();
    for (bay, pair) in arches.windows(2).enumerate() {
        let [near, far] = [pair[0].as_slice(), pair[1].as_slice()];
        match ask.pattern {
            Pattern::Staggered if is_turned(bay) => staggered(&mut net, far, near),
            Pattern::Staggered => staggered(&mut net, near, far),
            plain => plain_bay(&mut net, near, far, plain),
        }
    }
    let domed = ask.ends.map(|end| end == EndForm::HalfDome);
    for (end, side) in [(0, -1.0), (1, 1.0)] {
        if domed[end] {
            let arch = if end == 0 { &arches[0] } else { &arches[ask.bays] };
            add_half_dome(&mut net, curve, ask.rise, arch, [side, half])?;
        }
    }
    net.drop_unused();
    let cut = cut(&net, 0.0, size)?;

    let radius = curve.radius();
    let reach = |end: usize| match radius {
        Some(radius) if domed[end] => half + widest(radius, radius - ask.rise),
        _ => half,
    };
    let outline = Outline {
        shape: Shape::Vault,
        span: ask.span,
        rise: ask.rise,
        length: reach(0) + reach(1),
        centre: Vec3::new(0.5 * (reach(1) - reach(0)), 0.0, 0.0),
        barrel: Some([-half, half]),
        domed_ends: domed,
        profile: curve.outline(),
        radius,
    };
    Ok(Made { net: cut.net, outline, remarks: cut.remarks, own: None })
}

/// Panels between a straight arch and a turned one, which has a joint more and starts below the ground.
fn staggered(net: &mut Net, straight: &[usize], turned: &[usize]) {
    for i in 0..straight.len() {
        facing_out(net, vec![turned[i], turned[i + 1], straight[i]]);
        if i + 1 < straight.len() {
            facing_out(net, vec![straight[i], straight[i + 1], turned[i + 1]]);
        }
    }
}

/// Panels between two like arches. A right-hand diagonal rises to the right seen from outside.
fn plain_bay(net: &mut Net, near: &[usize], far: &[usize], pattern: Pattern) {
    for i in 0..near.len() - 1 {
        let [a, b, c, d] = [near[i], far[i], far[i + 1], near[i + 1]];
        match pattern {
            Pattern::PlainCrossed => {
                let centre = net.point(middle(&net.points, &[a, b, c, d]));
                for (from, to) in [(a, b), (b, c), (c, d), (d, a)] {
                    facing_out(net, vec![from, to, centre]);
                }
            }
            Pattern::PlainLeft => {
                facing_out(net, vec![a, b, d]);
                facing_out(net, vec![b, c, d]);
            }
            Pattern::PlainRight | Pattern::Staggered => {
                facing_out(net, vec![a, b, c]);
                facing_out(net, vec![a, c, d]);
            }
        }
    }
}

/// Adds a panel with its normal outward: away from the middle of the base, which every arch sees from
/// inside, its first step under the ground included.
fn facing_out(net: &mut Net, corners: Vec<usize>) {
    let at = middle(&net.points, &corners);
    net.panel_facing(corners, &Vec3::new(0.0, at.y, at.z));
}

/// Puts half a sphere on an end arch, if the sphere's great circle has the arch's joints.
fn add_half_dome(
    net: &mut Net,
    curve: &Curve,
    rise: f64,
    arch: &[usize],
    [side, half]: [f64; 2],
) -> Result<(), ShellError> {
    let Some(radius) = curve.radius() else { return Err(ShellError::NoHalfDome) };
    let lift = rise - radius;
    let near = 1e-6 * radius;
    for frequency in [2, 4] {
        let sphere = sphere_along_x(radius, frequency)?;
        let ring: Vec<Vec3> = sphere
            .points
            .iter()
            .filter(|at| at.x.abs() < 1e-9 * radius)
            .map(|at| Vec3::new(side * half, at.y, at.z + lift))
            .collect();
        let on_arch = |at: &Vec3| arch.iter().any(|&joint| (net.points[joint] - at).norm() < near);
        let on_ring = |joint: usize| ring.iter().any(|at| (net.points[joint] - at).norm() < near);
        if arch.iter().all(|&joint| on_ring(joint)) && ring.iter().all(|at| at.z < -near || on_arch(at)) {
            half_dome(net, &HalfDome { sphere: &sphere, radius, side, half, lift }, arch);
            return Ok(());
        }
    }
    Err(ShellError::NoHalfDome)
}

#[cfg(test)]
mod tests {
    use crate::shell::ask::{EndForm, Form, Pattern, Profile, ShellAsk};
    use crate::shell::{MemberKind, Role, Shell, ShellError, build};
    use crate::vector::Vec3;
    use approx::assert_relative_eq;

    const OPEN: [EndForm; 2] = [EndForm::Open; 2];
    const PROFILES: [Profile; 4] =
        [Profile::Circular, Profile::Elliptical, Profile::Pointed, Profile::Catenary];
    const PATTERNS: [Pattern; 4] =
        [Pattern::Staggered, Pattern::PlainLeft, Pattern::PlainRight, Pattern::PlainCrossed];

    fn asked(
        profile: Profile,
        sizes: [f64; 3],
        [segments, bays]: [usize; 2],
        pattern: Pattern,
        ends: [EndForm; 2],
    ) -> Result<Shell, ShellError> {
        let [span, rise, bay_length] = sizes;
        let form = Form::Barrel { profile, span, rise, segments, bays, bay_length, pattern, ends };
        build(&ShellAsk { form, openings: Vec::new(), mend: false })
    }

    fn mirrored(shell: &Shell, sign: [f64; 2]) -> bool {
        let turn = |at: Vec3| Vec3::new(sign[0] * at.x, sign[1] * at.y, at.z);
        let ends = |member: &crate::shell::Member| member.joints.map(|joint| shell.at(joint));
        shell.members.iter().all(|member| {
            let [a, b] = ends(member).map(turn);
            shell.members.iter().any(|other| {
                let [c, d] = ends(other);
                let near = |p: Vec3, q: Vec3| (p - q).norm() < 1e-7;
                let same = (near(a, c) && near(b, d)) || (near(a, d) && near(b, c));
                same && (other.fold - member.fold).abs() < 1e-7
            })
        })
    }

    #[test]
    fn barrels_keep_their_symmetries() {
        for profile in PROFILES {
            for pattern in PATTERNS {
                for [segments, bays] in [[4, 2], [5, 2], [6, 4], [7, 3]] {
                    let shell = asked(profile, [4.0, 2.3, 1.1], [segments, bays], pattern, OPEN).unwrap();
                    let plain_diagonals = matches!(pattern, Pattern::PlainLeft | Pattern::PlainRight);
                    assert_eq!(mirrored(&shell, [1.0, -1.0]), !plain_diagonals, "{profile:?} {pattern:?}");
                    if plain_diagonals || bays % 2 == 0 {
                        assert!(mirrored(&shell, [-1.0, -1.0]), "{profile:?} {pattern:?} {segments} {bays}");
                    }
                    assert!(shell.members.iter().all(|member| member.role != Role::DoorRim));
                    let arch = shell.members.iter().filter(|member| member.role == Role::EndRim).count();
                    assert!(arch >= 2 * segments);
                }
            }
        }
    }

    #[test]
    fn hands_of_diagonals_are_mirror_images() {
        let left = asked(Profile::Circular, [4.0, 2.0, 1.0], [6, 3], Pattern::PlainLeft, OPEN).unwrap();
        let right = asked(Profile::Circular, [4.0, 2.0, 1.0], [6, 3], Pattern::PlainRight, OPEN).unwrap();
        let diagonals = |shell: &Shell, sign: f64| -> Vec<(i64, i64, i64)> {
            let mut all: Vec<(i64, i64, i64)> = shell
                .members
                .iter()
                .filter(|member| member.role == Role::Diagonal)
                .map(|member| {
                    let [a, b] = member.joints.map(|joint| shell.at(joint));
                    let at = (a + b) * 0.5e6;
                    // The way it leans, turned with the mirror.
                    let lean = (b.x - a.x) * (b.y - a.y) * sign;
                    (at.x.round() as i64, (at.y * sign).round() as i64, lean.signum() as i64)
                })
                .collect();
            all.sort_unstable();
            all
        };
        assert_eq!(diagonals(&left, 1.0), diagonals(&right, -1.0));
        // On the side of +y, seen from outside, right is −x: a right-hand diagonal rises with falling x.
        for member in right.members.iter().filter(|member| member.role == Role::Diagonal) {
            let [a, b] = member.joints.map(|joint| right.at(joint));
            if a.y > 0.1 && b.y > 0.1 {
                assert!((b.z - a.z) * (b.x - a.x) < 0.0);
            }
        }
    }

    #[test]
    fn half_domes_fit_where_they_should() {
        let domes = [EndForm::HalfDome; 2];
        for (segments, bays, pattern) in [
            (10, 2, Pattern::Staggered),
            (10, 3, Pattern::PlainLeft),
            (10, 1, Pattern::PlainCrossed),
            (5, 2, Pattern::Staggered),
            (5, 4, Pattern::Staggered),
        ] {
            let shell = asked(Profile::Circular, [4.2, 2.1, 1.0], [segments, bays], pattern, domes).unwrap();
            assert!(shell.members.iter().all(|m| m.kind != MemberKind::Rim || m.role == Role::BaseRim));
            assert_eq!(shell.outline.domed_ends, [true; 2]);
        }
        let one = [EndForm::HalfDome, EndForm::Open];
        assert!(asked(Profile::Circular, [4.2, 2.1, 1.0], [5, 3], Pattern::Staggered, one).is_ok());
        for (profile, segments, bays) in
            [(Profile::Circular, 5, 3), (Profile::Circular, 6, 2), (Profile::Pointed, 10, 2)]
        {
            let refused = asked(profile, [4.2, 2.1, 1.0], [segments, bays], Pattern::Staggered, domes);
            assert!(matches!(refused, Err(ShellError::NoHalfDome)), "{profile:?} {segments} {bays}");
        }
    }

    #[test]
    fn a_semicircle_of_five_with_half_domes_is_the_tunnel_of_frequency_two() {
        let radius = 2.1;
        let form = Form::Tunnel {
            radius,
            frequency: 2,
            bands: 4,
            base: 0.0,
            spacing: Some(1.1),
            ends: [EndForm::HalfDome; 2],
        };
        let tunnel = build(&ShellAsk { form, openings: Vec::new(), mend: false }).unwrap();
        let domes = [EndForm::HalfDome; 2];
        let barrel = asked(Profile::Circular, [4.2, 2.1, 1.1], [5, 4], Pattern::Staggered, domes).unwrap();
        assert_eq!(tunnel.joints.len(), barrel.joints.len());
        for (a, b) in tunnel.joints.iter().zip(&barrel.joints) {
            assert_relative_eq!((a.at - b.at).norm(), 0.0, epsilon = 1e-9);
        }
        assert_eq!(tunnel.members.len(), barrel.members.len());
    }

    #[test]
    fn gables_are_framed() {
        let framed = EndForm::Framed { studs: 3, sill: true, diagonals: true };
        let ends = [framed, EndForm::Open];
        let shell = asked(Profile::Circular, [4.0, 2.0, 1.0], [6, 2], Pattern::PlainLeft, ends).unwrap();
        let bars =
            |role: Role| shell.members.iter().filter(move |m| m.role == role && m.kind == MemberKind::Bar);
        assert_eq!(bars(Role::Stud).count(), 3);
        assert_eq!(bars(Role::Sill).count(), 4);
        assert!(bars(Role::Brace).count() >= 2);
        for member in bars(Role::Stud) {
            assert!((member.outward - Vec3::new(-1.0, 0.0, 0.0)).norm() < 1e-12);
            let [a, b] = member.joints.map(|joint| &shell.joints[joint.0]);
            assert!(a.foot && !b.foot);
            assert!((a.at.x - b.at.x).abs() < 1e-12 && (a.at.y - b.at.y).abs() < 1e-12);
        }
        let many = [EndForm::Framed { studs: 6, sill: true, diagonals: true }, EndForm::Open];
        let refused = asked(Profile::Circular, [4.0, 2.0, 1.0], [6, 2], Pattern::PlainLeft, many);
        assert!(matches!(refused, Err(ShellError::Studs { studs: 6, most: 5 })));
    }
}
