//! What must hold for every shell, on random ones.

use crate::shell::ask::{EndForm, Form, OpeningAsk, OpeningForm, Pattern, Profile, ShellAsk, Up};
use crate::shell::clip::{SNAP, cut};
use crate::shell::count::{counts, measures};
use crate::shell::net::{Net, area_vector};
use crate::shell::sphere::{sphere, sphere_along_x};
use crate::shell::timbers::{Hand, Likeness, panel_kinds, strip_kinds, usual_strips};
use crate::shell::{MemberKind, PanelId, Shell, ShellError, build};
use crate::vector::Vec3;
use proptest::prelude::*;
use std::collections::BTreeMap;

fn ups() -> impl Strategy<Value = Up> {
    prop_oneof![Just(Up::Vertex), Just(Up::Edge), Just(Up::Face)]
}

fn domes() -> impl Strategy<Value = Form> {
    (0.5..5.0, 1_usize..9, ups(), -0.9..0.75).prop_map(|(radius, frequency, up, base)| Form::Dome {
        radius,
        frequency,
        up,
        base: base * radius,
    })
}

fn flat() -> impl Strategy<Value = EndForm> {
    prop_oneof![
        Just(EndForm::Open),
        (0_usize..3, any::<bool>(), any::<bool>()).prop_map(|(studs, sill, diagonals)| EndForm::Framed {
            studs,
            sill,
            diagonals
        })
    ]
}

fn ends() -> impl Strategy<Value = [EndForm; 2]> {
    prop_oneof![
        Just([EndForm::HalfDome; 2]),
        flat().prop_map(|end| [EndForm::HalfDome, end]),
        flat().prop_map(|end| [end, EndForm::HalfDome]),
        (flat(), flat()).prop_map(|(a, b)| [a, b]),
    ]
}

fn tunnels() -> impl Strategy<Value = Form> {
    (0.5..5.0, 1_usize..5, 0_usize..4, -0.6..0.3, proptest::option::of(0.3..1.5), ends()).prop_map(
        |(radius, half_frequency, half_bands, base, spacing, ends)| Form::Tunnel {
            radius,
            frequency: 2 * half_frequency,
            bands: 2 * half_bands + usize::from(!ends.contains(&EndForm::HalfDome)),
            base: base * radius,
            spacing,
            ends,
        },
    )
}

fn barrels() -> impl Strategy<Value = Form> {
    let profile = prop_oneof![
        Just(Profile::Circular),
        Just(Profile::Elliptical),
        Just(Profile::Pointed),
        Just(Profile::Catenary)
    ];
    let pattern = prop_oneof![
        Just(Pattern::Staggered),
        Just(Pattern::PlainLeft),
        Just(Pattern::PlainRight),
        Just(Pattern::PlainCrossed)
    ];
    (profile, 2.0..8.0, 0.15..0.9, 4_usize..12, 1_usize..7, 0.5..1.5, pattern, (flat(), flat())).prop_map(
        |(profile, span, rise, segments, bays, bay_length, pattern, (low, high))| Form::Barrel {
            profile,
            span,
            rise: rise * span,
            segments,
            bays,
            bay_length,
            pattern,
            ends: [low, high],
        },
    )
}

fn built(form: Form, openings: Vec<OpeningAsk>) -> Result<Shell, ShellError> {
    build(&ShellAsk { form, openings, mend: false })
}

/// Every edge has one or two panels that run along it in opposite directions; every joint has one fan; the
/// shell is in one piece with the boundary loops that it should have; ids and names hold together.
fn is_sound(shell: &Shell) {
    let mut along: BTreeMap<(usize, usize), usize> = BTreeMap::new();
    for panel in &shell.panels {
        for (i, a) in panel.joints.iter().enumerate() {
            let b = panel.joints[(i + 1) % panel.joints.len()];
            *along.entry((a.0, b.0)).or_default() += 1;
        }
    }
    assert!(along.values().all(|&times| times == 1));
    let mut rims = vec![0; shell.joints.len()];
    for member in &shell.members {
        let [a, b] = member.joints.map(|joint| joint.0);
        let (forward, backward) = (along.contains_key(&(a, b)), along.contains_key(&(b, a)));
        match member.kind {
            MemberKind::Seam => assert!(forward && backward && member.panels.len() == 2),
            MemberKind::Rim => {
                assert!(forward && !backward && member.panels.len() == 1);
                rims[a] += 1;
                rims[b] += 1;
            }
            MemberKind::Bar => assert!(member.panels.is_empty()),
        }
        assert!((member.outward.norm() - 1.0).abs() < 1e-9);
    }
    assert!(rims.iter().all(|&count| count == 0 || count == 2));
    let found = counts(shell);
    assert_eq!(found.euler, 2 - found.boundary_loops as i64);
    assert_eq!(found.seams, found.ridge_seams + found.valley_seams + found.flat_seams);
    for joint in &shell.joints {
        assert!(joint.at.z >= 0.0 && joint.foot == (joint.at.z == 0.0));
    }
    for names in [
        shell.joints.iter().map(|joint| &joint.name).collect::<Vec<_>>(),
        shell.members.iter().map(|member| &member.name).collect(),
        shell.panels.iter().map(|panel| &panel.name).collect(),
    ] {
        let mut sorted = names.clone();
        sorted.sort();
        sorted.dedup();
        assert_eq!(sorted.len(), names.len());
    }
    // Every strip is in the cut list once.
    let strips: usize =
        strip_kinds(shell, true, |id| usual_strips(shell, id)).iter().map(|kind| kind.count).sum();
    let asked: usize = (0..shell.members.len())
        .map(|number| match shell.members[number].kind {
            MemberKind::Seam => 2,
            _ => shell.rim_strips(crate::shell::MemberId(number)).unwrap_or(1),
        })
        .sum();
    assert_eq!(strips, asked);
    let panels: usize = panel_kinds(shell, Likeness::Finished).iter().map(|kind| kind.panels.len()).sum();
    assert_eq!(panels, shell.panels.len());
}

fn symmetric(shell: &Shell, image: impl Fn(Vec3) -> Vec3) -> bool {
    shell.joints.iter().all(|joint| {
        let wanted = image(joint.at);
        shell.joints.iter().any(|other| (other.at - wanted).norm() < 1e-7)
    })
}

fn smallest_side(shell: &Shell) -> f64 {
    (0..shell.members.len())
        .map(|number| shell.length(crate::shell::MemberId(number)))
        .fold(f64::INFINITY, f64::min)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn domes_are_sound_mirrored_and_stand_on_one_ring(form in domes()) {
        let Form::Dome { radius, up, .. } = form else { unreachable!() };
        match built(form, Vec::new()) {
            Ok(shell) => {
                is_sound(&shell);
                prop_assert_eq!(counts(&shell).boundary_loops, 1);
                prop_assert!(symmetric(&shell, |at| Vec3::new(at.x, -at.y, at.z)));
                if up == Up::Edge {
                    prop_assert!(symmetric(&shell, |at| Vec3::new(-at.x, at.y, at.z)));
                }
                // No sliver: nothing shorter than the cut's own tolerance.
                prop_assert!(smallest_side(&shell) > SNAP * radius);
                // A mirror plane makes left and right hands equal in number.
                let mut hands = [0_usize; 2];
                for kind in panel_kinds(&shell, Likeness::Finished) {
                    match kind.hand {
                        Hand::Left => hands[0] += kind.panels.len(),
                        Hand::Right => hands[1] += kind.panels.len(),
                        Hand::Either => {}
                    }
                }
                prop_assert_eq!(hands[0], hands[1]);
                // A closed surface: what faces one way in plan faces the other way as much.
                let sum: Vec3 = (0..shell.panels.len()).map(|p| shell.area_vector(PanelId(p))).sum();
                prop_assert!(sum.x.hypot(sum.y) < 1e-9 * radius * radius);
                prop_assert!((sum.z - measures(&shell).floor).abs() < 1e-9 * radius * radius);
            }
            Err(error) => prop_assert!(
                matches!(error, ShellError::BaseTooLow { .. } | ShellError::BaseTooHigh { .. }), "{}", error
            ),
        }
    }

    #[test]
    fn tunnels_are_sound_and_capsules_have_a_half_turn(form in tunnels()) {
        let Form::Tunnel { ends, bands, frequency, .. } = form else { unreachable!() };
        match built(form, Vec::new()) {
            Ok(shell) => {
                is_sound(&shell);
                prop_assert_eq!(counts(&shell).boundary_loops, 1);
                if ends == [EndForm::HalfDome; 2] {
                    prop_assert!(symmetric(&shell, |at| Vec3::new(-at.x, -at.y, at.z)));
                    if bands > 0 {
                        prop_assert!(!symmetric(&shell, |at| Vec3::new(at.x, -at.y, at.z)), "{}", frequency);
                    }
                }
            }
            Err(error) => prop_assert!(matches!(error, ShellError::Studs { .. } | ShellError::Pieces { .. } | ShellError::Pinched { .. }), "{}", error),
        }
    }

    #[test]
    fn barrels_are_sound(form in barrels()) {
        match built(form, Vec::new()) {
            Ok(shell) => {
                is_sound(&shell);
                prop_assert_eq!(counts(&shell).boundary_loops, 1);
                let outline = &shell.outline;
                prop_assert_eq!(outline.profile.len(), 129);
            }
            Err(error) => prop_assert!(matches!(error, ShellError::Studs { .. }), "{}", error),
        }
    }

    #[test]
    fn cutting_keeps_the_area(
        up in ups(), frequency in 1_usize..9, base in -0.9..0.9, along_x in any::<bool>()
    ) {
        let whole = if along_x { sphere_along_x(1.0, frequency) } else { sphere(1.0, frequency, up) }.unwrap();
        let below = Net {
            points: whole.points.iter().map(|at| Vec3::new(at.x, at.y, -at.z)).collect(),
            panels: whole.panels.iter().map(|corners| corners.iter().rev().copied().collect()).collect(),
            bars: Vec::new(),
        };
        let area = |net: &Net| net.panels.iter().map(|corners| area_vector(&net.points, corners).norm()).sum::<f64>();
        if let (Ok(upper), Ok(lower)) = (cut(&whole, base, 1.0), cut(&below, -base, 1.0)) {
            let moved = |remarks: &[String]| remarks.iter().any(|said| said.contains("were moved to it"));
            let near = if moved(&upper.remarks) || moved(&lower.remarks) { 2.0 * SNAP } else { 1e-12 };
            // Panels that lie in the plane go from both sides.
            let flat: f64 = whole
                .panels
                .iter()
                .filter(|corners| corners.iter().all(|&c| (whole.points[c].z - base).abs() < SNAP))
                .map(|corners| area_vector(&whole.points, corners).norm())
                .sum();
            let total = area(&whole);
            prop_assert!((area(&upper.net) + area(&lower.net) + flat - total).abs() <= near * total);
        }
    }

    #[test]
    fn doors_leave_sound_shells(form in prop_oneof![domes(), tunnels(), barrels()], facing in 0.0..std::f64::consts::TAU) {
        let Ok(whole) = built(form.clone(), Vec::new()) else { return Ok(()) };
        let door = OpeningAsk {
            form: OpeningForm::Door { width: 0.3 * whole.outline.rise, height: 0.5 * whole.outline.rise, facing },
            rim_strips: 2,
            sill: false,
            leaf: true,
        };
        match built(form, vec![door]) {
            Ok(shell) => {
                let pinched = shell.remarks.iter().any(|said| said.contains("touches itself only"));
                if !pinched {
                    is_sound(&shell);
                }
                let before = counts(&whole);
                let after = counts(&shell);
                prop_assert_eq!(before.panels, after.panels + shell.openings[0].panels.len());
                // Closed again for these two.
                let (a, b) = (measures(&whole), measures(&shell));
                prop_assert!((a.volume - b.volume).abs() < 1e-9 * a.volume);
                prop_assert!((a.floor - b.floor).abs() < 1e-9 * a.floor);
                prop_assert!(b.surface < a.surface);
            }
            Err(error) => prop_assert!(
                matches!(error, ShellError::OpeningMissed { .. } | ShellError::DoorTooLarge { .. } | ShellError::Pieces { .. } | ShellError::OpeningsTakeAll), "{}", error
            ),
        }
    }
}
