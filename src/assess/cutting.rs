//! What to cut and what to assemble: distinct timbers and distinct panels with their masses, and the fixings of the seams.

use crate::assess::demand::fixings_of;
use crate::assess::results::{PanelKind, SeamFixings, TimberKind};
use crate::assess::setup::Setup;
use crate::loads::ask::Given;
use crate::project::Project;
use crate::rules::seams::standard_of;
use crate::rules::spacing;
use crate::shell::PanelId;
use crate::shell::timbers::{Hand, Likeness, TWO_PEOPLE_MASS, panel_kinds, strip_kinds};

fn hand(hand: Hand) -> &'static str {
    match hand {
        Hand::Either => "either",
        Hand::Left => "left",
        Hand::Right => "right",
    }
}

/// Distinct timbers, whatever part they play, and the kinds of every member's strips by name ("T1", or "T1 and T2" where the
/// two strips of a seam are a pair of hands).
pub(super) fn timbers(project: &Project, setup: &Setup) -> (Vec<TimberKind>, Vec<String>) {
    let shell = &setup.shell;
    let mut of_member = vec![Vec::<String>::new(); shell.members.len()];
    let mut out: Vec<TimberKind> = Vec::new();
    for kind in strip_kinds(shell, project.timber.bevelled) {
        let Some(first) = kind.members.first() else { continue };
        let timber = &setup.timbers[first.0];
        let length = kind.mean_length(timber.strip.breadth);
        let note = if kind.trim_inside { "trim on the inside where it runs past its neighbour" } else { "" };
        let strip = TimberKind {
            id: format!("T{}", out.len() + 1),
            length: kind.length,
            section: [timber.strip.breadth, timber.strip.depth],
            bevel_deg: crate::units::degrees(kind.bevel),
            end_cuts_deg: kind.end_cuts.map(crate::units::degrees),
            hand: hand(kind.hand).into(),
            count: kind.count,
            mass: timber.strip.area * length * setup.material.density,
            note: note.into(),
        };
        let place = out.iter().position(|other| cut_alike(other, &strip)).unwrap_or(out.len());
        if let Some(other) = out.get_mut(place) {
            other.count += strip.count;
        } else {
            out.push(strip);
        }
        for member in &kind.members {
            let names = &mut of_member[member.0];
            if !names.contains(&out[place].id) {
                names.push(out[place].id.clone());
            }
        }
    }
    (out, of_member.into_iter().map(|names| names.join(" and ")).collect())
}

/// Whether two kinds are the same piece of wood: all but rounding of their sizes.
fn cut_alike(a: &TimberKind, b: &TimberKind) -> bool {
    let sizes = |kind: &TimberKind| {
        let ([breadth, depth], [from, to]) = (kind.section, kind.end_cuts_deg);
        [kind.length, breadth, depth, kind.bevel_deg, from, to]
    };
    a.hand == b.hand
        && a.note == b.note
        && sizes(a).iter().zip(sizes(b)).all(|(a, b)| (a - b).abs() <= 1e-6 * a.abs().max(1.0))
}

/// Distinct panels, and the kind of every panel by name. The mass is that of its own strips and its cover.
pub(super) fn panels(project: &Project, setup: &Setup) -> (Vec<PanelKind>, Vec<String>) {
    let shell = &setup.shell;
    let cover = match &project.loads.cover {
        Given::Value(cover) => cover.weight / crate::units::STANDARD_GRAVITY,
        Given::LeftOut(_) => 0.0,
    };
    let mut of_panel = vec![String::new(); shell.panels.len()];
    let mut out = Vec::new();
    for kind in panel_kinds(shell, Likeness::Finished) {
        let Some(&first) = kind.panels.first() else { continue };
        let id = format!("P{}", out.len() + 1);
        for panel in &kind.panels {
            of_panel[panel.0].clone_from(&id);
        }
        let mass = frame_mass(setup, first) + cover * kind.area;
        out.push(PanelKind {
            id,
            sides: kind.sides.clone(),
            hand: hand(kind.hand).into(),
            count: kind.panels.len(),
            mass,
            note: if mass > TWO_PEOPLE_MASS { "two people to lift" } else { "" }.into(),
        });
    }
    (out, of_panel)
}

/// Places that differ by less than this are printed alike \[m\].
const SAME_PLACE: f64 = 0.000_05;

/// Where the fixings stand in the seams as they are checked, those of one length and the same places together, the longest
/// first; nothing where none are entered. Seams of one length may end in unlike corners, and so have unlike places.
pub(super) fn seam_fixings(project: &Project, setup: &Setup) -> Vec<SeamFixings> {
    let Some(asked) = project.rules.fixings else { return Vec::new() };
    let mut out: Vec<SeamFixings> = Vec::new();
    for (m, member) in setup.shell.members.iter().enumerate().filter(|&(m, _)| setup.corners.has(m)) {
        let (fixings, strip) = fixings_of(project, setup, &asked, m);
        let places = spacing::places(&fixings, &strip, standard_of(&setup.grade));
        // Lengths that differ by rounding are one, that of the first of them.
        let same = out.iter().find(|other| (other.length - strip.length).abs() <= 1e-6 * strip.length);
        let length = same.map_or(strip.length, |other| other.length);
        let alike = |other: &&mut SeamFixings| {
            other.length.to_bits() == length.to_bits()
                && other.places.len() == places.len()
                && other.places.iter().zip(&places).all(|(a, b)| (a - b).abs() <= SAME_PLACE)
        };
        if let Some(other) = out.iter_mut().find(alike) {
            other.seams += 1;
            other.members.push(member.name.clone());
        } else {
            out.push(SeamFixings {
                length,
                seams: 1,
                places,
                corner_deg: crate::units::degrees(strip.corner),
                members: vec![member.name.clone()],
            });
        }
    }
    let first = |kind: &SeamFixings| kind.places.first().copied().unwrap_or(0.0);
    out.sort_by(|a, b| b.length.total_cmp(&a.length).then(first(a).total_cmp(&first(b))));
    out
}

/// Mass of one panel's own strips: one of each side \[kg\].
fn frame_mass(setup: &Setup, panel: PanelId) -> f64 {
    let shell = &setup.shell;
    shell
        .members
        .iter()
        .enumerate()
        .filter(|(_, m)| m.panels.contains(&panel))
        .map(|(i, _)| {
            let length = shell.length(crate::shell::MemberId(i));
            setup.timbers[i].strip.area * length * setup.material.density
        })
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::assess::example;
    use crate::assess::setup::setup;

    /// The shed's strips of one length and one pair of cuts are one kind, in a seam, at the end and by the door; every strip is
    /// counted once.
    #[test]
    fn strips_that_are_cut_alike_are_one_kind() {
        let project = example("potting-shed-barrel.toml");
        let setup = setup(&project).unwrap();
        let (kinds, of_member) = timbers(&project, &setup);
        let by_part = strip_kinds(&setup.shell, project.timber.bevelled);
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
        let seam = |m: &usize| (setup.shell.length(crate::shell::MemberId(*m)) - longest.length).abs() < 1e-9;
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
        for name in ["propagation-tunnel.toml", "potting-shed-barrel.toml", "cider-shed-barrel.toml"] {
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
}
