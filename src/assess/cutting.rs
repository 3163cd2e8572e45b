//! What to cut and what to assemble: distinct timbers and distinct panels with their masses, and the fixings of the seams.

use crate::assess::demand::fixings_of;
use crate::assess::results::{PanelKind, PanelSide, SeamFixings, TimberKind};
use crate::assess::setup::Setup;
use crate::loads::ask::Given;
use crate::project::Project;
use crate::rules::seams::standard_of;
use crate::rules::spacing;
use crate::shell::timbers::{
    Hand, Likeness, StripKind, TWO_PEOPLE_MASS, panel_kinds, strip_kinds, strips_on_side,
};
use crate::shell::{MemberId, MemberKind, PanelId};
use crate::units::{Kind, Show};

fn hand(hand: Hand) -> &'static str {
    match hand {
        Hand::Either => "either",
        Hand::Left => "left",
        Hand::Right => "right",
    }
}

/// What there is to cut, and where each of it goes.
pub(super) struct Cut {
    /// Distinct timbers, whatever part they play.
    pub kinds: Vec<TimberKind>,
    /// Names of the kinds of every member's strips: "T1", or "T1 and T2" where they are unlike.
    pub of_member: Vec<String>,
    /// Names of the kinds of strips of every panel's sides, from the edge inward.
    of_side: Vec<Vec<Vec<String>>>,
    /// Where the mitres of a strip meet before its inner edge, by panel.
    without_room: Vec<bool>,
}

/// Sticks out less than this are left to the plane \[m\] (this project's own choice).
const TRIM: f64 = 0.001;

/// Every strip of a shell by kind.
pub(super) fn timbers(project: &Project, setup: &Setup) -> Cut {
    let shell = &setup.shell;
    let mut of_member = vec![Vec::<String>::new(); shell.members.len()];
    let mut of_side: Vec<Vec<Vec<String>>> =
        shell.panels.iter().map(|panel| vec![Vec::new(); panel.joints.len()]).collect();
    let mut without_room = vec![false; shell.panels.len()];
    let mut out: Vec<TimberKind> = Vec::new();
    let mut kinds = strip_kinds(shell, project.timber.bevelled, |id| setup.timbers[id.0].count);
    // What lies along the edges comes first.
    kinds.sort_by_key(|kind| kind.row);
    for kind in kinds {
        let Some(first) = kind.members.first() else { continue };
        let timber = &setup.timbers[first.0];
        let (breadth, depth) = (timber.strip.breadth, timber.strip.depth);
        // A group's own values are those of every strip; else what lies inside the ripped one is a rectangle.
        let own = project.timber.groups.iter().find(|group| group.roles.contains(&kind.role));
        let own = own.is_some_and(|group| group.own.is_some());
        let area = if kind.row == 0 || own { timber.strip.area } else { breadth * depth };
        let trim_inside = depth * kind.past;
        let strip = TimberKind {
            id: format!("T{}", out.len() + 1),
            length: kind.length(breadth, depth),
            section: [breadth, depth],
            bevel_deg: crate::units::degrees(kind.bevel),
            end_cuts_deg: kind.end_cuts.map(crate::units::degrees),
            hand: hand(kind.hand).into(),
            count: kind.count,
            mass: area * kind.mean_length(breadth, depth) * setup.material.density,
            long_point: kind.long_point(breadth, depth),
            trim_inside,
            note: note(&kind, trim_inside),
        };
        if kind.inner_edge(breadth, depth) <= 0.0 {
            kind.sides.iter().for_each(|(panel, _)| without_room[panel.0] = true);
        }
        let place = out.iter().position(|other| cut_alike(other, &strip)).unwrap_or(out.len());
        if let Some(other) = out.get_mut(place) {
            other.count += strip.count;
            other.trim_inside = other.trim_inside.max(strip.trim_inside);
        } else {
            out.push(strip);
        }
        for member in &kind.members {
            let names = &mut of_member[member.0];
            if !names.contains(&out[place].id) {
                names.push(out[place].id.clone());
            }
        }
        for &(panel, side) in &kind.sides {
            of_side[panel.0][side].push(out[place].id.clone());
        }
    }
    let of_member = of_member.into_iter().map(|names| names.join(" and ")).collect();
    Cut { kinds: out, of_member, of_side, without_room }
}

/// What to note of a kind of strip.
fn note(kind: &StripKind, trim_inside: f64) -> String {
    let row = match kind.row {
        0 => None,
        1 => Some("second strip of its side, inside the first".to_owned()),
        row => Some(format!("strip {} of its side, inside the others", row + 1)),
    };
    let trim = (trim_inside > TRIM).then(|| "trim on the inside where it runs past its neighbour".to_owned());
    let ends = (kind.of == MemberKind::Bar).then(|| "cut the ends to what they meet".to_owned());
    [row, trim, ends].into_iter().flatten().collect::<Vec<_>>().join("; ")
}

/// What is told of panels whose strips do not fit into them; none where all do.
pub(super) fn no_room(project: &Project, setup: &Setup) -> Option<String> {
    let cut = timbers(project, setup);
    let panel = cut.without_room.iter().position(|&without| without)?;
    let (_, of_panel) = panels(project, setup, &cut);
    let mut kinds: Vec<&str> = of_panel
        .iter()
        .zip(&cut.without_room)
        .filter(|(_, without)| **without)
        .map(|(kind, _)| &kind[..])
        .collect();
    kinds.sort_by_key(|kind| (kind.len(), *kind));
    kinds.dedup();
    let member = setup.shell.members.iter().position(|member| member.panels.contains(&PanelId(panel)))?;
    let called = match kinds[..] {
        [one] => format!("panel kind {one} has"),
        _ if cut.without_room.iter().all(|&without| without) => "all kinds of panel have".to_owned(),
        _ => format!("panel kinds {} have", kinds.join(", ")),
    };
    Some(format!(
        "{called} no room for the strips ({} broad): at a side of such a panel the mitres meet before the strip's inner \
         edge, so no such frame can be made, though it was checked like the others. Move the base plane, divide otherwise, \
         or take narrower timber",
        Show::new(project.units).text(Kind::Size, setup.timbers[member].strip.breadth)
    ))
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

/// Distinct panels, and the kind of every panel by name. The mass is that of its own strips, unmitred, and its cover.
pub(super) fn panels(project: &Project, setup: &Setup, cut: &Cut) -> (Vec<PanelKind>, Vec<String>) {
    let shell = &setup.shell;
    let cover = match &project.loads.cover {
        Given::Value(cover) => cover.weight / crate::units::STANDARD_GRAVITY,
        Given::LeftOut(_) => 0.0,
    };
    let mut of_panel = vec![String::new(); shell.panels.len()];
    let mut out = Vec::new();
    for kind in panel_kinds(shell, Likeness::Finished) {
        // Of one shape, but of other timber where the project gives it to some roles.
        let mut made: Vec<(Vec<&[String]>, PanelKind)> = Vec::new();
        for (&panel, &start) in kind.panels.iter().zip(&kind.starts) {
            let strips = in_order(&cut.of_side[panel.0], start);
            if let Some((_, other)) = made.iter_mut().find(|(other, _)| turned_alike(other, &strips)) {
                other.count += 1;
                of_panel[panel.0].clone_from(&other.id);
                continue;
            }
            let id = format!("P{}", out.len() + made.len() + 1);
            of_panel[panel.0].clone_from(&id);
            let mass = frame_mass(setup, panel) + cover * kind.area;
            let around = (0..kind.sides.len()).map(|i| PanelSide {
                strips: strips[i].to_vec(),
                length: kind.sides[i],
                bevel_deg: if project.timber.bevelled {
                    0.5 * crate::units::degrees(kind.folds[i])
                } else {
                    0.0
                },
                corner_deg: crate::units::degrees(kind.corners[i]),
            });
            let panel = PanelKind {
                id,
                sides: kind.sides.clone(),
                hand: hand(kind.hand).into(),
                count: 1,
                mass,
                around: around.collect(),
                note: if mass > TWO_PEOPLE_MASS { "two people to lift" } else { "" }.into(),
            };
            made.push((strips, panel));
        }
        out.extend(made.into_iter().map(|(_, panel)| panel));
    }
    (out, of_panel)
}

/// A cycle from one of its places on.
fn in_order(cycle: &[Vec<String>], start: usize) -> Vec<&[String]> {
    (0..cycle.len()).map(|i| &cycle[(start + i) % cycle.len()][..]).collect()
}

/// Whether two cycles agree from some place on.
fn turned_alike(a: &[&[String]], b: &[&[String]]) -> bool {
    a.len() == b.len() && (0..a.len()).any(|by| (0..a.len()).all(|i| a[i] == b[(i + by) % b.len()]))
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

/// Mass of one panel's own strips, from joint to joint \[kg\].
fn frame_mass(setup: &Setup, panel: PanelId) -> f64 {
    let shell = &setup.shell;
    shell
        .members
        .iter()
        .enumerate()
        .filter(|(_, m)| m.panels.contains(&panel))
        .map(|(i, _)| {
            let (id, timber) = (MemberId(i), &setup.timbers[i]);
            let strips = strips_on_side(shell, id, panel, timber.count);
            strips as f64 * timber.strip.area * shell.length(id) * setup.material.density
        })
        .sum()
}

#[cfg(test)]
#[path = "cutting_tests.rs"]
mod tests;
