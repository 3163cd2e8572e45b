//! What to cut and what to assemble: distinct timbers and distinct panels, with their masses.

use crate::assess::results::{PanelKind, TimberKind};
use crate::assess::setup::Setup;
use crate::loads::ask::Given;
use crate::project::Project;
use crate::shell::PanelId;
use crate::shell::timbers::{Hand, Likeness, TWO_PEOPLE_MASS, panel_kinds, strip_kinds};

fn hand(hand: Hand) -> &'static str {
    match hand {
        Hand::Either => "either",
        Hand::Left => "left",
        Hand::Right => "right",
    }
}

/// Distinct timbers, and the kinds of every member's strips by name ("T1", or "T1 and T2" where the
/// two strips of a seam are a pair of hands).
pub(super) fn timbers(project: &Project, setup: &Setup) -> (Vec<TimberKind>, Vec<String>) {
    let shell = &setup.shell;
    let mut of_member = vec![Vec::<String>::new(); shell.members.len()];
    let mut out = Vec::new();
    for kind in strip_kinds(shell, project.timber.bevelled) {
        let Some(first) = kind.members.first() else { continue };
        let timber = &setup.timbers[first.0];
        let id = format!("T{}", out.len() + 1);
        for member in &kind.members {
            let names = &mut of_member[member.0];
            if !names.contains(&id) {
                names.push(id.clone());
            }
        }
        let length = kind.mean_length(timber.strip.breadth);
        let note = if kind.trim_inside { "trim on the inside where it runs past its neighbour" } else { "" };
        out.push(TimberKind {
            id,
            length: kind.length,
            section: [timber.strip.breadth, timber.strip.depth],
            bevel_deg: crate::units::degrees(kind.bevel),
            end_cuts_deg: kind.end_cuts.map(crate::units::degrees),
            hand: hand(kind.hand).into(),
            count: kind.count,
            mass: timber.strip.area * length * setup.material.density,
            note: note.into(),
        });
    }
    (out, of_member.into_iter().map(|names| names.join(" and ")).collect())
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
