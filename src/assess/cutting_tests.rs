//! What is listed to cut is what is checked, fits together, and can be put together from the list.

use super::*;
use crate::assess::example;
use crate::assess::setup::setup;

/// The shed's strips of one length and one pair of cuts are one kind, in a seam, at the end and by the door; every strip is
/// counted once.
#[test]
fn strips_that_are_cut_alike_are_one_kind() {
    let project = example("potting-shed-barrel.toml");
    let setup = setup(&project).unwrap();
    let Cut { kinds, of_member, .. } = timbers(&project, &setup);
    let by_part = strip_kinds(&setup.shell, project.timber.bevelled, |id| setup.timbers[id.0].count);
    assert!(kinds.len() < by_part.len(), "{} {}", kinds.len(), by_part.len());
    let together: usize = kinds.iter().map(|kind| kind.count).sum();
    assert_eq!(together, by_part.iter().map(|kind| kind.count).sum::<usize>());
    for (n, kind) in kinds.iter().enumerate() {
        assert!(kinds[..n].iter().all(|other| !cut_alike(other, kind)), "{kind:?}");
        assert_eq!(kind.id, format!("T{}", n + 1));
    }
    assert!(of_member.iter().all(|names| !names.is_empty()));
}

/// Four bolts in the shed's longest seam, 185 mm from its joints and as much further as the mitre of its sharpest corner is longer
/// than that of 60°, evenly between; fewer in shorter seams; and every seam between two frames once.
#[test]
fn fixings_are_told_seam_by_seam() {
    let project = example("potting-shed-barrel.toml");
    let setup = setup(&project).unwrap();
    let kinds = seam_fixings(&project, &setup);
    let longest = &kinds[0];
    let first = longest.places[0];
    let apart = (longest.length - 2.0 * first) / 3.0;
    for (n, at) in longest.places.iter().enumerate() {
        assert!((at - first - apart * n as f64).abs() < 1e-12, "{longest:?}");
    }
    let seam = |m: &usize| (setup.shell.length(MemberId(*m)) - longest.length).abs() < 1e-9;
    let corner = setup.corners.sharpest((0..setup.shell.members.len()).find(seam).unwrap());
    assert!(corner < 1.0, "sharper than 60°: {corner}");
    assert!((first - 0.185 - 0.060 * (1.0 / (0.5 * corner).tan() - 1.732)).abs() < 1e-12, "{first}");
    assert_eq!(longest.places.len(), 4);
    assert!(kinds.last().unwrap().places.len() < 4);
    let seams = (0..setup.shell.members.len()).filter(|m| setup.corners.has(*m)).count();
    assert_eq!(kinds.iter().map(|kind| kind.seams).sum::<usize>(), seams);
}

/// The list of places is what the check compares, seam by seam, also where seams of one length end in unlike corners.
#[test]
fn the_list_of_places_is_what_is_checked() {
    for name in ["propagation-tunnel.toml", "potting-shed-barrel.toml", "grafting-dome-us.toml"] {
        let mut project = example(name);
        let asked = project.rules.fixings.as_mut().unwrap();
        asked.end = asked.end.or(Some(0.2));
        let asked = *asked;
        let setup = setup(&project).unwrap();
        let kinds = seam_fixings(&project, &setup);
        let mut listed = 0;
        for kind in &kinds {
            assert_eq!(kind.members.len(), kind.seams);
            for name in &kind.members {
                let m = setup.shell.members.iter().position(|member| &member.name == name).unwrap();
                let (fixings, strip) = fixings_of(&project, &setup, &asked, m);
                let checked = spacing::places(&fixings, &strip, standard_of(&setup.grade));
                assert_eq!(checked.len(), kind.places.len(), "{name}");
                let off = checked.iter().zip(&kind.places).map(|(a, b)| (a - b).abs());
                assert!(off.fold(0.0, f64::max) <= SAME_PLACE, "{name}: {checked:?} {kind:?}");
                listed += 1;
            }
        }
        assert_eq!(listed, setup.shell.members.iter().filter(|m| m.panels.len() == 2).count());
        // The first example's long seams end in corners of 56° and of 60°.
        let longest = kinds.iter().filter(|kind| kind.length.to_bits() == kinds[0].length.to_bits());
        assert!(name != "propagation-tunnel.toml" || longest.count() > 1);
    }
}

/// The panels that a change of an example leaves, as the results tell them.
fn listed(project: &Project) -> (Setup, Cut, Vec<PanelKind>, Vec<String>) {
    let setup = setup(project).unwrap();
    let cut = timbers(project, &setup);
    let (kinds, of_panel) = panels(project, &setup, &cut);
    (setup, cut, kinds, of_panel)
}

/// Mitres stand square to the panel: at a corner the strip with less bevel runs past the inside of the other's seam side by
/// the difference of what both are ripped by, found here from the panels' normals alone.
#[test]
fn strips_that_run_past_their_neighbours_are_marked_with_how_far() {
    for (name, most) in [("apple-store-dome.toml", 0.0149), ("potting-shed-barrel.toml", 0.038)] {
        let (setup, cut, ..) = listed(&example(name));
        let shell = &setup.shell;
        // How far the inside of a member's strips is ripped back.
        let back = |m: &crate::shell::Member| match m.panels[..] {
            [a, b] => {
                let (a, b) = (shell.area_vector(a).normalize(), shell.area_vector(b).normalize());
                (0.5 * a.dot(&b).clamp(-1.0, 1.0).acos()).tan() * m.fold.signum()
            }
            _ => 0.0,
        };
        let mut expected = std::collections::BTreeMap::<&str, f64>::new();
        for (p, panel) in shell.panels.iter().enumerate() {
            for &joint in &panel.joints {
                let at: Vec<usize> = (0..shell.members.len())
                    .filter(|&m| {
                        shell.members[m].panels.contains(&PanelId(p))
                            && shell.members[m].joints.contains(&joint)
                    })
                    .collect();
                let [a, b] = at[..] else { panic!("{name}: two sides meet in a corner") };
                for (own, other) in [(a, b), (b, a)] {
                    let past = back(&shell.members[other]) - back(&shell.members[own]);
                    let depth = setup.timbers[own].strip.depth;
                    for kind in cut.of_member[own].split(" and ") {
                        let most = expected.entry(kind).or_default();
                        *most = most.max(depth * past);
                    }
                }
            }
        }
        for kind in cut.kinds.iter().filter(|kind| !kind.note.contains("cut the ends")) {
            // A member's two strips may be of two kinds, of which only one runs past.
            let shared = cut
                .of_member
                .iter()
                .any(|names| names.contains(" and ") && names.split(" and ").any(|n| n == kind.id));
            let limit = expected[&kind.id[..]];
            assert!(kind.trim_inside <= limit + 1e-9, "{name} {kind:?} {limit}");
            assert!(shared || (kind.trim_inside - limit).abs() < 1e-9, "{name} {kind:?} {limit}");
            assert_eq!(kind.note.contains("trim on the inside"), kind.trim_inside > TRIM);
        }
        let found = cut.kinds.iter().map(|kind| kind.trim_inside).fold(0.0, f64::max);
        assert!((found - most).abs() < 5e-4, "{name} {found}");
    }
}

/// Four strips to a seam are two to each of its panels; the inner ones are as much shorter as the mitres take, and square.
#[test]
fn all_strips_of_a_group_are_listed_the_inner_ones_shorter() {
    let mut project = example("apple-store-dome.toml");
    let (breadth, depth) = (project.timber.breadth, project.timber.depth);
    project.timber.groups.push(crate::section::ask::GroupAsk {
        said: [true; 2],
        roles: vec![crate::shell::Role::Seam],
        breadth,
        depth,
        strips: Some(4),
        own: None,
    });
    let (setup, cut, kinds, of_panel) = listed(&project);
    let all: usize = setup.timbers.iter().map(|timber| timber.count).sum();
    assert_eq!(cut.kinds.iter().map(|kind| kind.count).sum::<usize>(), all);
    // The dome's equilateral panels have corners of 60°: each mitre takes b √3.
    let inner = cut
        .kinds
        .iter()
        .find(|kind| kind.note.starts_with("second") && (kind.end_cuts_deg[0] - 30.0).abs() < 1e-6);
    let inner = inner.unwrap();
    let outer = cut
        .kinds
        .iter()
        .find(|kind| kind.note.is_empty() && (kind.end_cuts_deg[0] - 30.0).abs() < 1e-6)
        .unwrap();
    assert!(
        (outer.length - inner.length - 2.0 * breadth * 3.0_f64.sqrt()).abs() < 1e-9,
        "{outer:?} {inner:?}"
    );
    assert!(inner.bevel_deg.abs() < 1e-9 && inner.hand == "either");
    // Panels by panels the list has as many.
    let of_panels: usize = kinds
        .iter()
        .map(|kind| kind.count * kind.around.iter().map(|side| side.strips.len()).sum::<usize>())
        .sum();
    assert_eq!(of_panels, all);
    assert!(of_panel.iter().all(|kind| !kind.is_empty()));
}

/// Every kind of panel names the strip of each of its sides, which is as long and ripped as the side; no two kinds say the same.
#[test]
fn panels_can_be_put_together_from_the_list() {
    for name in ["propagation-tunnel.toml", "potting-shed-barrel.toml", "cider-shed-barrel.toml"] {
        let (_, cut, kinds, _) = listed(&example(name));
        for (n, kind) in kinds.iter().enumerate() {
            for side in &kind.around {
                let strip = cut.kinds.iter().find(|strip| strip.id == side.strips[0]).unwrap();
                assert!((strip.length - side.length).abs() < 1e-6 * side.length, "{name} {side:?} {strip:?}");
                assert!((strip.bevel_deg - side.bevel_deg).abs() < 1e-3, "{name} {side:?} {strip:?}");
            }
            let says = |kind: &PanelKind| format!("{:?} {:?}", kind.hand, kind.around);
            assert!(kinds[..n].iter().all(|other| says(other) != says(kind)), "{name} {kind:?}");
        }
    }
}

/// Roles that are given other timber part panels of one shape.
#[test]
fn panels_of_one_shape_and_two_timbers_are_two_kinds() {
    let mut project = example("propagation-tunnel.toml");
    let before = listed(&project).2.len();
    project.timber.groups.push(crate::section::ask::GroupAsk {
        said: [true; 2],
        roles: vec![crate::shell::Role::Arch],
        breadth: 0.06,
        depth: 0.095,
        strips: None,
        own: None,
    });
    let (setup, cut, kinds, of_panel) = listed(&project);
    assert!(kinds.len() >= before);
    for (p, name) in of_panel.iter().enumerate() {
        let kind = kinds.iter().find(|kind| &kind.id == name).unwrap();
        let mut own: Vec<&Vec<String>> = cut.of_side[p].iter().collect();
        let mut listed: Vec<&Vec<String>> = kind.around.iter().map(|side| &side.strips).collect();
        own.sort();
        listed.sort();
        assert_eq!(own, listed, "{}", setup.shell.panels[p].name);
    }
}

/// A valley strip's wide face is the inside one, and reaches past the line between the joints at both mitres.
#[test]
fn valley_strips_are_longer_on_their_wide_face() {
    let project = example("propagation-tunnel.toml");
    let (_, cut, ..) = listed(&project);
    let valley = cut.kinds.iter().find(|kind| kind.bevel_deg < -1.0).unwrap();
    let mitres: f64 = valley.end_cuts_deg.iter().map(|cut| cut.to_radians().tan().recip()).sum();
    let more = valley.section[1] * valley.bevel_deg.abs().to_radians().tan() * mitres;
    assert!((valley.long_point - valley.length - more).abs() < 1e-9 && more > 0.02, "{valley:?}");
    let others = cut.kinds.iter().filter(|kind| kind.bevel_deg >= 0.0);
    assert!(others.into_iter().all(|kind| (kind.long_point - kind.length).abs() < 1e-12));
}

/// A base plane that leaves slivers leaves panels that no timber goes into; a triangle has room for its strips where they
/// are narrower than the circle in it has radius.
#[test]
fn panels_without_room_for_their_strips_are_warned_of() {
    let mut project = example("apple-store-dome.toml");
    assert_eq!(no_room(&project, &setup(&project).unwrap()), None);
    project.shell.form = crate::shell::ask::Form::Dome {
        radius: 2.4,
        frequency: 4,
        up: crate::shell::ask::Up::Face,
        base: 0.7,
    };
    project.timber.breadth = 0.06;
    let (setup, cut, _, of_panel) = listed(&project);
    let told = no_room(&project, &setup).unwrap();
    let mut without = 0;
    for (p, panel) in setup.shell.panels.iter().enumerate().filter(|(_, panel)| panel.joints.len() == 3) {
        let round: f64 = (0..3)
            .map(|i| (setup.shell.at(panel.joints[i]) - setup.shell.at(panel.joints[(i + 1) % 3])).norm())
            .sum();
        let radius = 2.0 * setup.shell.area_vector(PanelId(p)).norm() / round;
        assert_eq!(cut.without_room[p], radius <= 0.06, "{} {radius}", panel.name);
        if radius <= 0.06 {
            assert!(told.contains(&of_panel[p]) && told.contains("60 mm broad"), "{told}");
            without += 1;
        }
    }
    assert!(without > 0);
}

/// An end cut is told as the angle to the strip's length, half the panel's corner, and the words of the JSON say so.
#[test]
fn end_cuts_are_told_from_the_strip_s_length() {
    let (_, cut, kinds, _) = listed(&example("apple-store-dome.toml"));
    // P1's corners are 60°, so its strips end at 30° to their length, and 60° from square.
    let side = &kinds[0].around[0];
    let strip = cut.kinds.iter().find(|kind| kind.id == side.strips[0]).unwrap();
    assert!(
        (side.corner_deg - 60.0).abs() < 1e-6 && (strip.end_cuts_deg[0] - 30.0).abs() < 1e-6,
        "{side:?} {strip:?}"
    );
    let schema = serde_json::to_value(schemars::schema_for!(TimberKind)).unwrap();
    let words = schema["properties"]["end_cuts_deg"]["description"].as_str().unwrap();
    assert!(words.contains("the angle between the cut and the length of the strip"), "{words}");
}

/// Half a fixing is a whole one, whatever rounding makes of the half.
#[test]
fn half_a_seam_gets_two_of_three() {
    use crate::assess::demand::fixings_in;
    for half in [0.649, 0.649 - 1e-13, 0.649 + 1e-13] {
        assert_eq!(fixings_in(3, half, 1.298), 2);
    }
    assert_eq!(
        [fixings_in(3, 0.6, 1.298), fixings_in(3, 0.01, 1.298), fixings_in(3, 1.298, 1.298)],
        [1, 1, 3]
    );
}
