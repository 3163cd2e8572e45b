//! People, things hung on, points on panels, water in the cover.

use std::collections::BTreeMap;

use crate::loads::ask::{Basis, ImposedAsk, LoadsAsk, WaterAsk};
use crate::loads::build::{Push, case};
use crate::loads::halves::{on_half, sides};
use crate::loads::integrate::Field;
use crate::loads::points;
use crate::loads::snow::{Ground, positive};
use crate::loads::{Action, Case, CaseKind, JointLoad, LoadError, PanelLoad};
use crate::shell::{JointId, MemberId, MemberKind, PanelId, Shell};
use crate::vector::Vec3;

/// Weight of water \[N/m³\]: 1000 kg/m³ × 9.81 m/s².
const WATER_WEIGHT: f64 = 9810.0;

/// How the cases of water, of people and of maintenance loads are named, or begin.
pub(crate) const WATER: &str = "water in the cover";
/// See [`WATER`].
pub(crate) const PERSON: &str = "person";
/// See [`WATER`].
pub(crate) const MAINTENANCE: &str = "maintenance load";
/// See [`WATER`].
pub(crate) const POINT: &str = "force on panel";

/// A joint by name.
///
/// # Errors
///
/// [`LoadError::Unknown`] with the nearest names.
pub(crate) fn joint(shell: &Shell, name: &str, place: &str) -> Result<JointId, LoadError> {
    shell
        .joints
        .iter()
        .position(|joint| joint.name == name)
        .map(JointId)
        .ok_or_else(|| unknown("joint", name, place, shell.joints.iter().map(|joint| joint.name.as_str())))
}

/// A panel by name.
///
/// # Errors
///
/// [`LoadError::Unknown`] with the nearest names.
pub(crate) fn panel(shell: &Shell, name: &str, place: &str) -> Result<PanelId, LoadError> {
    shell
        .panels
        .iter()
        .position(|panel| panel.name == name)
        .map(PanelId)
        .ok_or_else(|| unknown("panel", name, place, shell.panels.iter().map(|panel| panel.name.as_str())))
}

/// A member by name.
///
/// # Errors
///
/// [`LoadError::Unknown`] with the nearest names.
pub(crate) fn member(shell: &Shell, name: &str, place: &str) -> Result<MemberId, LoadError> {
    shell.members.iter().position(|member| member.name == name).map(MemberId).ok_or_else(|| {
        unknown("member", name, place, shell.members.iter().map(|member| member.name.as_str()))
    })
}

pub(crate) fn unknown<'a>(
    what: &'static str,
    name: &str,
    place: &str,
    known: impl Iterator<Item = &'a str>,
) -> LoadError {
    LoadError::Unknown {
        what,
        name: name.into(),
        place: place.into(),
        near: crate::tables::near(name, known),
    }
}

/// Every imposed load that is asked for, a case each; what lies all over the roof lies on the shell that is `shut`.
///
/// # Errors
///
/// [`LoadError`] for a value that cannot be or a name that the shell does not have.
pub(crate) fn cases(
    ask: &LoadsAsk,
    imposed: &ImposedAsk,
    (shell, shut): (&Shell, &Shell),
) -> Result<Vec<Case>, LoadError> {
    let mut cases = Vec::new();
    if let Some(weight) = imposed.person {
        cases.extend(people(ask.basis, shell, weight, &imposed.person_joints)?);
    }
    if let Some(load) = imposed.roof {
        positive("imposed.roof", load)?;
        cases.extend(maintenance(ask, load, shut));
    }
    for hung in &imposed.hanging {
        positive("imposed.hanging.force", hung.force)?;
        let action = if hung.permanent { Action::Permanent } else { Action::Variable };
        let mut case = Case::empty(hung.name.clone(), CaseKind::Imposed, action);
        for name in &hung.joints {
            let force = Vec3::new(0.0, 0.0, -hung.force);
            case.joints.push(JointLoad { joint: joint(shell, name, &hung.name)?, force });
            case.asked += force;
        }
        if case.joints.is_empty() {
            return Err(LoadError::TouchesNothing {
                name: hung.name.clone(),
                why: ": it names no joint".into(),
            });
        }
        cases.push(case.remarked([format!(
            "{:.0} N hung from each of {}",
            hung.force,
            hung.joints.join(", ")
        )]));
    }
    cases.extend(points::on_panels(shell, &imposed.points)?);
    for water in &imposed.water {
        positive("imposed.water.depth", water.depth)?;
    }
    for (index, water) in imposed.water.iter().enumerate() {
        let name = if imposed.water.len() == 1 { WATER.to_owned() } else { format!("{WATER} {}", index + 1) };
        cases.push(pools(shell, name, std::slice::from_ref(water))?);
    }
    // Rain fills all pools at once, and one alone may be the worse for an arch.
    if imposed.water.len() > 1 {
        cases.push(pools(shell, format!("{WATER}, all"), &imposed.water)?);
    }
    Ok(cases)
}

/// Water in pools at once; where two name one panel it stands as deep as both together.
fn pools(shell: &Shell, name: String, all: &[WaterAsk]) -> Result<Case, LoadError> {
    let mut deep = vec![0.0; shell.panels.len()];
    let mut remarks = Vec::new();
    for water in all {
        let mut chosen = Vec::new();
        for panel_name in &water.panels {
            chosen.push(panel(shell, panel_name, &name)?);
        }
        // A panel that one pool names twice is as deep as it says.
        chosen.sort_unstable();
        chosen.dedup();
        chosen.iter().for_each(|panel| deep[panel.0] += water.depth);
        remarks.push(format!(
            "water standing {:.0} mm deep on the mean over the plan of {}; a cover that sags more takes more: this does not follow it",
            water.depth * 1e3,
            water.panels.join(", ")
        ));
    }
    let depth = |panel: PanelId, _: &Vec3| deep[panel.0] * WATER_WEIGHT;
    let field = Field::new(depth, Vec::new()).stepped();
    let case = case(shell, name.clone(), CaseKind::Imposed, &field, Push::DownPerPlan);
    if case.panels.is_empty() {
        return Err(LoadError::TouchesNothing { name, why: ": no panel that faces up is named".into() });
    }
    Ok(case.remarked(remarks))
}

/// What people and maintenance loads never act beside (EN 1991-1-1 3.3.2; ASCE 7 2.3.1 and 2.4.1: "`L_r` or S or R", and wind with any of them).
fn company(basis: Basis) -> &'static str {
    if basis == Basis::Eurocode { "not together with snow or wind" } else { "not together with snow" }
}

/// Maintenance load on the whole, and on each half of the plan with nothing on the other: it is a free action, and the worst of an arch
/// or a dome is one half of it.
fn maintenance(ask: &LoadsAsk, load: f64, shut: &Shell) -> Vec<Case> {
    let (clause, part) = if ask.basis == Basis::Eurocode {
        ("EN 1991-1-1 6.3.4, category H", "EN 1991-1-1 6.2.1, 6.3.4.2")
    } else {
        ("ASCE 7 4.8, Lr", "ASCE 7 4.3.3")
    };
    let whole = Field::uniform(load);
    let words = format!("{load:.0} N/m² of plan ({clause}); {}", company(ask.basis));
    let name = MAINTENANCE;
    let mut cases =
        vec![case(shut, name.into(), CaseKind::Imposed, &whole, Push::DownPerPlan).remarked([words.clone()])];
    cases.extend(sides(&Ground::new(shut), ask).into_iter().map(|(side, unit)| {
        let half = on_half(shut, Field::uniform(load), unit, 0.0);
        case(shut, format!("{name} on the {side}"), CaseKind::Imposed, &half, Push::DownPerPlan)
            .remarked([words.clone(), format!("on one half alone, as it may lie on any part ({part}); which halves is this project's own rule")])
    }));
    cases
}

/// A person on every joint in turn, and in the middle of every timber off the ground: on one strip, over the width of a foot. EN 1991-1-1 6.3.4.2 has
/// Qk on a square of 50 mm, ASCE 7 Table 4.3-1 on any place of a main timber (both from memory).
pub(crate) fn people(
    basis: Basis,
    shell: &Shell,
    weight: f64,
    only: &[String],
) -> Result<Vec<Case>, LoadError> {
    positive("imposed.person", weight)?;
    let mut joints = Vec::new();
    for name in only {
        joints.push(joint(shell, name, "imposed.person")?);
    }
    if only.is_empty() {
        joints = (0..shell.joints.len()).map(JointId).filter(|id| !shell.joints[id.0].foot).collect();
    }
    let force = Vec3::new(0.0, 0.0, -weight);
    let company = company(basis);
    let source = if basis == Basis::Eurocode { "EN 1991-1-1 6.3.4.2: Qk; " } else { "ASCE 7: Lr; " };
    let on = |name: &str, remark: String| {
        let mut case = Case::empty(format!("{PERSON} on {name}"), CaseKind::Imposed, Action::Variable);
        case.asked = force;
        case.remarked([remark])
    };
    let at_joint = |joint: JointId| {
        let mut case = on(&shell.joints[joint.0].name, format!("{weight:.0} N ({source}{company})"));
        case.joints.push(JointLoad { joint, force });
        case
    };
    let at_member = |member: MemberId| {
        let one = &shell.members[member.0];
        let words = format!("{weight:.0} N in the middle, on one strip ({source}{company})");
        let mut case = on(&format!("timber {}", one.name), words);
        // Of two panels the flatter one.
        let panel = one.panels.iter().copied().max_by(|&a, &b| {
            let level = |panel| shell.area_vector(panel).normalize().z;
            level(a).total_cmp(&level(b)).then(b.cmp(&a))
        });
        case.members.extend(points::on_patch(shell, member, 0.5 * shell.length(member), force, panel));
        case
    };
    let members = stood_on(shell, (!only.is_empty()).then_some(&joints));
    Ok(joints.iter().copied().map(at_joint).chain(members.into_iter().map(at_member)).collect())
}

/// Shells with no more timbers than this have a person on each; in larger ones cases would fill the memory.
const FEW: usize = 400;

/// Timbers that are alike in part, length, slope and height, of which a large shell has a person on the first ones (own choice: mirror images
/// may bend either way).
const OF_A_KIND: usize = 2;

/// The timbers that a person may stand on, off the ground: all, or between the joints that are named, and from these to the ground.
fn stood_on(shell: &Shell, only: Option<&Vec<JointId>>) -> Vec<MemberId> {
    let stands = |m: &MemberId| {
        let member = &shell.members[m.0];
        let foot = |joint: &JointId| shell.joints[joint.0].foot;
        let named = |joint: &JointId| only.is_none_or(|only| only.contains(joint));
        let [a, b] = member.joints.map(|joint| shell.at(joint));
        let reaches = (b - a).xy().norm() > points::PATCH;
        let ends = member.joints.iter().all(|joint| named(joint) || foot(joint));
        member.kind != MemberKind::Bar && ends && reaches && !member.joints.iter().all(foot)
    };
    let mut all: Vec<MemberId> = (0..shell.members.len()).map(MemberId).filter(stands).collect();
    if all.len() > FEW {
        let mut known = BTreeMap::new();
        all.retain(|m| {
            let member = &shell.members[m.0];
            let [a, b] = member.joints.map(|joint| shell.at(joint));
            // To the millimetre: mirror images differ by rounding.
            let sizes = [(b - a).norm(), (b - a).z.abs(), a.z + b.z].map(|size| (size * 1e3).round() as i64);
            let count: &mut usize = known.entry((member.role, sizes)).or_default();
            *count += 1;
            *count <= OF_A_KIND
        });
    }
    all
}

/// A uniform traction on named panels (user cases).
pub(crate) fn tractions(
    shell: &Shell,
    named: &[(String, [f64; 3])],
    place: &str,
) -> Result<Vec<PanelLoad>, LoadError> {
    named
        .iter()
        .map(|(name, [x, y, z])| {
            Ok(PanelLoad { panel: panel(shell, name, place)?, traction: Vec3::new(*x, *y, *z) })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    use crate::loads::ask::AsceEdition;
    use crate::loads::audit::audit;
    use crate::loads::edge_share::EdgeShares;
    use crate::loads::tests::{all, asce, dome, eurocode};

    /// Pools written down each by itself fill together too, as deep as all of them where they share a panel.
    #[test]
    fn pools_fill_one_by_one_and_all_at_once() {
        let shell = dome(2);
        let tops: Vec<String> = shell.panels.iter().rev().take(3).map(|panel| panel.name.clone()).collect();
        let pool = |panels: &[usize], depth| WaterAsk {
            panels: panels.iter().map(|&n| tops[n].clone()).collect(),
            depth,
        };
        let weights = |water: Vec<WaterAsk>| -> Vec<(String, f64)> {
            let mut ask = eurocode();
            ask.imposed.water = water;
            let cases = all(&ask, &shell).into_iter().filter(|case| case.name.starts_with(WATER));
            cases.map(|case| (case.name, -case.asked.z)).collect()
        };
        let one = weights(vec![pool(&[0, 1, 2, 2], 0.1)]);
        assert_eq!(one.len(), 1);
        let each = weights(vec![pool(&[0, 1], 0.1), pool(&[2], 0.1)]);
        let names: Vec<&str> = each.iter().map(|(name, _)| name.as_str()).collect();
        assert_eq!(names, ["water in the cover 1", "water in the cover 2", "water in the cover, all"]);
        assert!(each[0].1 > 0.0 && (each[0].1 + each[1].1 - each[2].1).abs() < 1e-9 * each[2].1);
        assert!((each[2].1 - one[0].1).abs() < 1e-9 * one[0].1, "{each:?} {one:?}");
        // On one panel they stand on each other.
        let deep = weights(vec![pool(&[0, 1, 2], 0.04), pool(&[0, 1, 2], 0.06)]);
        assert!((deep[2].1 - one[0].1).abs() < 1e-9 * one[0].1, "{deep:?}");
    }

    /// A person stands on every joint and every timber off the ground, and of those that are named on no others.
    #[test]
    fn people_stand_on_joints_and_in_the_middle_of_timbers() {
        let shell = dome(4);
        let mut ask = eurocode();
        ask.imposed.person = Some(1000.0);
        let cases = all(&ask, &shell);
        let shares = EdgeShares::new(&shell);
        assert!(cases.iter().all(|case| audit(&shell, &shares, case).residual < 1e-3));
        let people: Vec<&Case> = cases.iter().filter(|c| c.name.starts_with("person on ")).collect();
        let on_joints = people.iter().filter(|c| c.joints.len() == 1 && c.members.is_empty()).count();
        assert_eq!(on_joints, shell.joints.iter().filter(|j| !j.foot).count());
        // In the middle of every timber off the ground, on one strip.
        let grounded = |m: &crate::shell::Member| m.joints.iter().all(|j| shell.joints[j.0].foot);
        // Upright ones offer no place.
        let level = |m: &&crate::shell::Member| {
            let [a, b] = m.joints.map(|joint| shell.at(joint));
            (b - a).xy().norm() > 0.1
        };
        let timbers = shell.members.iter().filter(|m| !grounded(m)).filter(level).count();
        let on_timbers: Vec<&&Case> =
            people.iter().filter(|c| c.joints.is_empty() && c.members.len() == 1).collect();
        assert_eq!((on_timbers.len(), people.len()), (timbers, on_joints + timbers));
        for case in on_timbers {
            let load = &case.members[0];
            let length = shell.length(load.member);
            assert!((load.span[0] + load.span[1] - length).abs() < 1e-9 && load.panel.is_some());
            let force = load.intensity[0] * (load.span[1] - load.span[0]);
            assert!((force - Vec3::new(0.0, 0.0, -1000.0)).norm() < 1e-9);
        }
        // Of joints that are named none is asked for more than of all.
        ask.imposed.person_joints =
            shell.joints[..].iter().filter(|j| !j.foot).take(2).map(|j| j.name.clone()).collect();
        let names: Vec<&str> = people.iter().map(|case| case.name.as_str()).collect();
        let few = all(&ask, &shell);
        let few: Vec<&Case> = few.iter().filter(|c| c.name.starts_with("person on ")).collect();
        assert!(
            few.len() > 2
                && few.len() < people.len()
                && few.iter().all(|case| names.contains(&case.name.as_str()))
        );
    }

    /// What is said of the company of people is what the combinations of the basis have: under ASCE 7 wind acts beside `L_r`.
    #[test]
    fn what_is_said_of_a_person_is_by_the_basis() {
        for (mut ask, clause, beside_wind) in
            [(eurocode(), "EN 1991-1-1", false), (asce(AsceEdition::Seven16), "ASCE 7", true)]
        {
            ask.imposed.person = Some(1000.0);
            ask.imposed.roof = Some(500.0);
            let shell = dome(1);
            let cases = all(&ask, &shell);
            let roofs: Vec<&Case> = cases.iter().filter(|case| case.kind == CaseKind::Imposed).collect();
            assert!(roofs.len() > 5);
            for case in roofs {
                let said = case.remarks.concat();
                assert!(said.contains(clause) && said.contains("not together with snow"), "{said}");
                assert_eq!(!said.contains("snow or wind"), beside_wind, "{said}");
            }
            let made = crate::loads::combine::combinations(&ask, &cases).unwrap();
            let met = made.iter().any(|one| one.name.contains("person") && one.name.contains("wind"));
            assert_eq!(met, beside_wind);
        }
    }

    /// On a large dome a person stands on the first timbers of each kind, and on one of every length at every height.
    #[test]
    fn a_large_shell_has_people_on_timbers_of_every_kind() {
        let shell = dome(6);
        let mut ask = eurocode();
        ask.imposed.person = Some(1000.0);
        let cases = all(&ask, &shell);
        let stood: BTreeSet<usize> = cases
            .iter()
            .filter(|case| case.name.starts_with("person on timber"))
            .map(|case| case.members[0].member.0)
            .collect();
        let kind = |m: usize| {
            let [a, b] = shell.members[m].joints.map(|joint| shell.at(joint));
            [(b - a).norm(), a.z + b.z].map(|size| (size * 100.0).round() as i64)
        };
        // Upright ones offer no place.
        let stands = |m: &usize| {
            let joints = shell.members[*m].joints;
            let [a, b] = joints.map(|joint| shell.at(joint));
            joints.iter().any(|joint| !shell.joints[joint.0].foot) && (b - a).xy().norm() > 0.1
        };
        let kinds: BTreeSet<[i64; 2]> = (0..shell.members.len()).filter(stands).map(kind).collect();
        let with_people: BTreeSet<[i64; 2]> = stood.iter().map(|&m| kind(m)).collect();
        assert_eq!(kinds, with_people);
        assert!(stood.len() < shell.members.len() / 2, "{} of {}", stood.len(), shell.members.len());
    }
}
