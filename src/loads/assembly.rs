//! A stage of the assembly: the shell of the panels that stand so far, and what loads it.

use std::collections::{BTreeMap, BTreeSet};

use crate::loads::LoadError;
use crate::loads::ask::{
    CombinationAsk, DoorAsk, Given, ImposedAsk, InternalAsk, LoadsAsk, StageAsk, WindAsk, WindStrength,
};
use crate::loads::imposed::panel;
use crate::shell::{JointId, MemberId, MemberKind, Opening, Outline, PanelId, Shape, Shell};

/// Coefficients inside of a shell that stands open to the wind: caught by the hollow side, and behind it.
/// This project's own rule: 0.9 × 0.8 as a dominant opening to windward, and the suction of a leeward wall.
const OPEN_INSIDE: [f64; 2] = [0.72, -0.5];

/// The part of a shell that stands at a stage, and its loads: weight of the timbers, a person on any joint,
/// a light wind from every direction asked for (four where none is), no cover and no snow.
///
/// Panels, joints and members keep their names. Bars of no panel (studs, sills, braces) stand where both
/// their joints do. A part that rests on no foot, or only leans, comes out as a mechanism of the model.
///
/// # Errors
///
/// [`LoadError`]: a panel that the shell does not have, or a stage without panels.
pub fn stage(ask: &LoadsAsk, shell: &Shell, stage: &StageAsk) -> Result<(Shell, LoadsAsk), LoadError> {
    let mut standing: BTreeSet<PanelId> = BTreeSet::new();
    for name in &stage.panels {
        standing.insert(panel(shell, name, &stage.name)?);
    }
    if standing.is_empty() {
        return Err(LoadError::TouchesNothing { name: stage.name.clone(), why: ": no panel stands".into() });
    }
    Ok((part(shell, &standing, &stage.name), loads(ask, stage)))
}

fn part(shell: &Shell, standing: &BTreeSet<PanelId>, name: &str) -> Shell {
    let mut used: BTreeSet<JointId> =
        standing.iter().flat_map(|panel| shell.panels[panel.0].joints.iter().copied()).collect();
    used.extend(feet_of_bars(shell, &used));
    let joint_ids: BTreeMap<JointId, JointId> =
        used.iter().enumerate().map(|(new, &old)| (old, JointId(new))).collect();
    let panel_ids: BTreeMap<PanelId, PanelId> =
        standing.iter().enumerate().map(|(new, &old)| (old, PanelId(new))).collect();
    let mut members = Vec::new();
    let mut member_ids: BTreeMap<MemberId, MemberId> = BTreeMap::new();
    for (old, member) in shell.members.iter().enumerate() {
        let [Some(&from), Some(&to)] = member.joints.map(|joint| joint_ids.get(&joint)) else { continue };
        let panels: Vec<PanelId> =
            member.panels.iter().filter_map(|panel| panel_ids.get(panel).copied()).collect();
        if panels.is_empty() && member.kind != MemberKind::Bar {
            continue;
        }
        let mut member = member.clone();
        let first_stands = member.panels.first().is_some_and(|panel| panel_ids.contains_key(panel));
        member.joints = [from, to];
        if member.kind == MemberKind::Seam && panels.len() == 1 {
            // Half a seam is the rim of the panel that stands; that panel lies to the left.
            member.kind = MemberKind::Rim;
            member.fold = 0.0;
            if !first_stands {
                member.joints = [to, from];
            }
        }
        member.panels = panels;
        member_ids.insert(MemberId(old), MemberId(members.len()));
        members.push(member);
    }
    let outline = Outline { shape: Shape::Free, profile: Vec::new(), ..shell.outline.clone() };
    Shell {
        joints: used.iter().map(|id| shell.joints[id.0].clone()).collect(),
        panels: standing
            .iter()
            .map(|id| {
                let mut panel = shell.panels[id.0].clone();
                panel.joints = panel.joints.iter().map(|joint| joint_ids[joint]).collect();
                panel
            })
            .collect(),
        members,
        outline,
        openings: shell.openings.iter().map(|opening| still(opening, &member_ids)).collect(),
        remarks: vec![format!("stage of the assembly: {name}, {} panels stand", standing.len())],
    }
}

/// Feet of no panel, such as those of the studs of a framed end, of which a bar reaches a joint that stands: an end is framed as far
/// as its arch stands.
fn feet_of_bars(shell: &Shell, stand: &BTreeSet<JointId>) -> Vec<JointId> {
    let panelled: BTreeSet<JointId> =
        shell.panels.iter().flat_map(|panel| panel.joints.iter().copied()).collect();
    let bars = shell.members.iter().filter(|member| member.kind == MemberKind::Bar);
    bars.flat_map(|bar| [(bar.joints[0], bar.joints[1]), (bar.joints[1], bar.joints[0])])
        .filter(|(foot, other)| {
            shell.joints[foot.0].foot && !panelled.contains(foot) && stand.contains(other)
        })
        .map(|(foot, _)| foot)
        .collect()
}

/// What stands of the rim round an opening, with as many strips as in the whole.
fn still(opening: &Opening, member_ids: &BTreeMap<MemberId, MemberId>) -> Opening {
    Opening {
        panels: opening.panels.clone(),
        outlines: opening.outlines.clone(),
        rim: opening.rim.iter().filter_map(|member| member_ids.get(member).copied()).collect(),
        strips: opening.strips,
        // Doors are hung last.
        leaf: false,
    }
}

fn loads(ask: &LoadsAsk, stage: &StageAsk) -> LoadsAsk {
    let why = || format!("stage of the assembly: {}", stage.name);
    let wind = match stage.wind {
        None => Given::LeftOut(why()),
        Some(pressure) => {
            let directions = match &ask.wind {
                Given::Value(wind) if !wind.directions.is_empty() => wind.directions.clone(),
                _ => (0..4).map(|k| f64::from(k) * std::f64::consts::FRAC_PI_2).collect(),
            };
            Given::Value(WindAsk {
                strength: WindStrength::Pressure(pressure),
                source: Some("a light wind during assembly, the project's own".into()),
                directions,
                internal: InternalAsk::Own(OPEN_INSIDE.to_vec()),
                door: DoorAsk::None,
                ..WindAsk::default()
            })
        }
    };
    LoadsAsk {
        basis: ask.basis,
        edition: ask.edition,
        risk: ask.risk,
        cover: Given::LeftOut(why()),
        snow: Given::LeftOut(why()),
        wind,
        imposed: ImposedAsk { person: stage.person, ..ImposedAsk::default() },
        user: Vec::new(),
        stages: Vec::new(),
        combine: CombinationAsk { uk: ask.combine.uk, expression: ask.combine.expression, own: Vec::new() },
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shell::Role;
    use crate::shell::ask::{EndForm, Form, OpeningAsk, OpeningForm, ShellAsk, Up};

    /// Found by random projects: the rim round a door had single strips at a stage.
    #[test]
    fn a_rim_round_an_opening_keeps_its_strips_at_a_stage() {
        let form = Form::Dome { radius: 3.0, frequency: 4, up: Up::Vertex, base: 0.0 };
        let opening = OpeningAsk {
            form: OpeningForm::Door { facing: 0.0, width: 1.0, height: 1.9 },
            rim_strips: 3,
            sill: false,
            leaf: true,
        };
        let shell = crate::shell::build(&ShellAsk { form, openings: vec![opening], mend: false }).unwrap();
        let strips = |shell: &Shell| -> BTreeMap<String, Option<usize>> {
            let named = |(i, member): (usize, &crate::shell::Member)| {
                (member.name.clone(), shell.rim_strips(MemberId(i)))
            };
            shell.members.iter().enumerate().map(named).collect()
        };
        let whole = strips(&shell);
        assert!(whole.values().any(|strips| *strips == Some(3)));
        // Without the panels beside the crown, and without one that the opening's rim runs along.
        let beside = shell.members.iter().find(|m| m.role == Role::DoorRim).unwrap().panels[0];
        for gone in [vec![], vec![PanelId(0)], vec![beside]] {
            let standing = (0..shell.panels.len()).map(PanelId).filter(|p| !gone.contains(p)).collect();
            let part = part(&shell, &standing, "a trial");
            let of_part = strips(&part);
            assert!(of_part.values().any(|strips| *strips == Some(3)));
            assert!(of_part.iter().all(|(name, strips)| whole[name] == *strips), "{gone:?}");
        }
    }

    /// A stage of all panels is the shell, framed ends and all; of half of them, an end is framed as far as its arch stands.
    #[test]
    fn framed_ends_stand_as_far_as_their_arches() {
        let framed = EndForm::Framed { studs: 3, sill: true, diagonals: true };
        let shell = crate::loads::test_shells::barrel([framed, EndForm::Open], Vec::new());
        let all: BTreeSet<PanelId> = (0..shell.panels.len()).map(PanelId).collect();
        let whole = part(&shell, &all, "all");
        let names = |shell: &Shell| shell.members.iter().map(|m| m.name.clone()).collect::<BTreeSet<_>>();
        assert_eq!((whole.joints.len(), names(&whole)), (shell.joints.len(), names(&shell)));
        let near =
            |panel: &PanelId| shell.panels[panel.0].joints.iter().all(|&joint| shell.at(joint).y < 0.1);
        let half = part(&shell, &all.iter().copied().filter(near).collect(), "half");
        let bars = |shell: &Shell| shell.members.iter().filter(|m| m.kind == MemberKind::Bar).count();
        assert!(bars(&half) > 0 && bars(&half) < bars(&shell), "{} {}", bars(&half), bars(&shell));
        // Whatever stands on one side stands on feet or panels.
        for member in half.members.iter().filter(|m| m.kind == MemberKind::Bar) {
            assert!(
                member.joints.iter().any(|joint| half
                    .panels
                    .iter()
                    .any(|panel| panel.joints.contains(joint))
                    || half.joints[joint.0].foot)
            );
        }
    }
}
