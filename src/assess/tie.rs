//! What a tie from foot to foot, or the ring of a base, is asked for.

use crate::rules::ask::FeetAsk;
use crate::shell::{JointId, MemberId, Opening, Role, Shape, Shell};
use crate::vector::Vec3;

/// A base rim that turns less than this at a foot is straight: a ring along it could hold the foot against nothing.
const STRAIGHT: f64 = 1.0_f64.to_radians();

/// How a foot asks its tie for what it pushes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tie {
    /// Of the outward push, as a share.
    pub share: f64,
    /// Level unit vector outward that a tie from foot to foot across lies along; `None` where a ring holds the foot.
    pub across: Option<Vec3>,
}

impl Tie {
    /// What a level push of a foot asks of it \[N\]; `outward`: the part of the push away from the inside, as the foot has it.
    #[must_use]
    pub fn asked(&self, push: &Vec3, outward: f64) -> f64 {
        // In the corner of a straight side and an end the foot's own outward lies between the two, and hides some of what goes across.
        let across = self.across.map_or(0.0, |across| push.dot(&across));
        (self.share * outward).max(across).max(0.0)
    }
}

/// That of a foot: the feet do not move in the model, so that what ties them is not seen there.
///
/// On a round base, of domed ends too, a ring takes thrust per metre × radius (equilibrium of a ring): the push over the
/// length of base rim that belongs to the foot, times its distance from the middle. Elsewhere a tie from foot to foot
/// across takes the push itself: a straight rim takes none (this project's own reading). On the base of an own mesh, whose form
/// nobody named, the rim is a ring where it turns at the foot: it takes push / (2 sin(turn / 2)) (equilibrium of the foot between two
/// rims), and no more than a round base of its size would.
#[must_use]
pub fn tie(shell: &Shell, foot: JointId) -> Tie {
    let at = shell.at(foot);
    let outline = &shell.outline;
    let ring = |share: f64| Tie { share: share.max(1.0), across: None };
    match (outline.shape, outline.barrel) {
        (Shape::Dome, _) => ring(round(shell, foot, at - outline.centre)),
        (Shape::Vault, Some([low, high])) => {
            let end = if at.x < low { 0 } else { 1 };
            if !outline.domed_ends[end] || (low..=high).contains(&at.x) {
                let side = (at.y - outline.centre.y).signum();
                return Tie { share: 1.0, across: Some(Vec3::y() * side) };
            }
            let beyond = if end == 0 { at.x - low } else { at.x - high };
            ring(round(shell, foot, Vec3::new(beyond, at.y - outline.centre.y, 0.0)))
        }
        _ => match turn(shell, foot) {
            Some(turn) if turn > STRAIGHT => {
                let corner = 0.5 / (0.5 * turn).sin();
                ring(corner.min(round(shell, foot, at - outline.centre)))
            }
            _ => ring(1.0),
        },
    }
}

/// A warning where a ring was entered and openings take the base rim away that it would run along.
#[must_use]
pub fn warning(feet: &FeetAsk, shell: &Shell) -> Option<String> {
    feet.tie?;
    let on_ground = |at: &Vec3| at.z < 1e-6;
    let cut = |opening: &Opening| {
        opening.outlines.iter().any(|corners| {
            let next = corners.iter().cycle().skip(1);
            corners.iter().zip(next).any(|(a, b)| on_ground(a) && on_ground(b))
        })
    };
    let beside = |opening: &Opening| {
        let ends = opening.rim.iter().flat_map(|member| shell.members[member.0].joints);
        let mut feet = ends.filter(|joint| shell.joints[joint.0].foot);
        feet.any(|foot| tie(shell, foot).across.is_none())
    };
    let all = shell.openings.iter().enumerate();
    let numbers: Vec<String> = all
        .filter(|(_, opening)| cut(opening) && beside(opening))
        .map(|(number, _)| (number + 1).to_string())
        .collect();
    (!numbers.is_empty()).then(|| {
        format!(
            "A base ring was entered ([feet] tie), and the base timbers that it would run along are gone at {} {}. A ring holds only \
             where it is whole: it has to run on across the opening, under or in the floor, and nothing was checked of that.",
            if numbers.len() == 1 { "opening" } else { "openings" },
            numbers.join(", ")
        )
    })
}

fn rims(shell: &Shell, foot: JointId) -> impl Iterator<Item = MemberId> + '_ {
    let members = shell.members.iter().enumerate();
    members
        .filter(move |(_, member)| member.role == Role::BaseRim && member.joints.contains(&foot))
        .map(|(i, _)| MemberId(i))
}

/// Thrust per metre × radius, as a share of the push of a foot that lies so far from the middle of a round base.
fn round(shell: &Shell, foot: JointId, from_middle: Vec3) -> f64 {
    let of_foot: f64 = rims(shell, foot).map(|rim| 0.5 * shell.length(rim)).sum();
    // Beside a door there may be no rim on either side: the foot pushes alone.
    if of_foot > 0.0 { from_middle.xy().norm() / of_foot } else { 1.0 }
}

/// By what angle the base rim turns at a foot, in plan \[rad\]; `None` where it does not run on to both sides.
fn turn(shell: &Shell, foot: JointId) -> Option<f64> {
    let at = shell.at(foot);
    let away = rims(shell, foot).map(|rim| {
        let [a, b] = shell.members[rim.0].joints;
        (shell.at(if a == foot { b } else { a }) - at).xy()
    });
    match away.collect::<Vec<_>>()[..] {
        [a, b] => Some((-a).angle(&b)),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::assess::example;

    fn shell(file: &str) -> Shell {
        crate::shell::build(&example(file).shell).unwrap()
    }

    /// A regular polygon pushed outward by F at every corner has F / (2 sin(π/n)) in its sides (a joint in equilibrium).
    #[test]
    fn a_ring_of_a_dome_is_asked_for_what_its_polygon_carries() {
        let shell = shell("apple-store-dome.toml");
        let feet: Vec<usize> = (0..shell.joints.len()).filter(|&i| shell.joints[i].foot).collect();
        assert_eq!(feet.len(), 10);
        for &foot in &feet {
            let share = tie(&shell, JointId(foot)).share;
            assert!((share - 0.5 / (std::f64::consts::PI / 10.0).sin()).abs() < 1e-6, "{share}");
        }
    }

    /// Found by its figures: with feet that do not move the rim between them has no force, and a tie of one newton held.
    #[test]
    fn a_tie_too_weak_for_the_outward_push_is_over() {
        let mut project = example("apple-store-dome.toml");
        project.rules.feet = FeetAsk { tie: Some(1.0), ..Default::default() };
        let found = crate::assess::find(&project).unwrap();
        for model in &found.models {
            for (foot, held) in model.feet.iter().zip(&model.feet_found) {
                let asked = foot.outward.value * tie(&found.setup.shell, foot.joint).share;
                let worst = held.worst.as_ref().unwrap().worst;
                assert_eq!(worst.rule, "thrust on the tie");
                assert!(asked > 100.0 && (worst.utilisation / asked - 1.0).abs() < 1e-9, "{asked} {worst:?}");
            }
            assert_eq!(model.verdict, crate::assess::results::Verdict::Over);
        }
    }

    /// On the straight sides of a tunnel a tie across takes the push; round its domed ends the ring takes more.
    #[test]
    fn a_tunnel_is_tied_across_and_round_its_ends() {
        let shell = shell("propagation-tunnel.toml");
        let [low, high] = shell.outline.barrel.unwrap();
        let mut round = 0;
        for (i, joint) in shell.joints.iter().enumerate().filter(|(_, j)| j.foot) {
            let share = tie(&shell, JointId(i)).share;
            let domed = joint.at.x < low && shell.outline.domed_ends[0]
                || joint.at.x > high && shell.outline.domed_ends[1];
            assert!(if domed { share > 1.2 } else { (share - 1.0).abs() < 1e-12 }, "{} {share}", joint.name);
            round += usize::from(domed);
        }
        assert!(round > 0);
    }

    /// The same dome entered as a mesh, whose form nobody named, is asked for the same; a straight side of a mesh for the push alone.
    #[test]
    fn the_ring_of_an_own_mesh_is_asked_for_what_that_of_a_dome_is() {
        for file in ["apple-store-dome.toml", "propagation-tunnel.toml"] {
            let named = shell(file);
            let mut own = named.clone();
            own.outline.shape = Shape::Free;
            own.outline.barrel = None;
            for (i, joint) in named.joints.iter().enumerate().filter(|(_, joint)| joint.foot) {
                let (wanted, found) = (tie(&named, JointId(i)), tie(&own, JointId(i)));
                let straight = turn(&own, JointId(i)).is_some_and(|turn| turn < STRAIGHT);
                assert!(!straight || (found.share - 1.0).abs() < 1e-12, "{file} {}", joint.name);
                if file.starts_with("apple") {
                    assert!((found.share - wanted.share).abs() < 1e-6, "{} {found:?} {wanted:?}", joint.name);
                }
            }
        }
    }

    /// Between a side and an end a foot's own outward hides a part of what goes across.
    #[test]
    fn a_tie_across_takes_what_goes_across() {
        let shell = shell("potting-shed-barrel.toml");
        let feet = (0..shell.joints.len()).filter(|&i| shell.joints[i].foot);
        for foot in feet {
            let side = (shell.joints[foot].at.y - shell.outline.centre.y).signum();
            let tie = tie(&shell, JointId(foot));
            let push = Vec3::new(-300.0, 800.0 * side, 0.0);
            // Half-way between the two.
            let outward = (800.0 - 300.0) / 2.0_f64.sqrt();
            assert!((tie.asked(&push, outward) - 800.0).abs() < 1e-9, "{tie:?}");
            assert!(tie.asked(&-push, -outward).abs() < 1e-12);
        }
    }

    /// A door cuts the ring of a dome; no tie across is cut, and without a tie nothing is.
    #[test]
    fn a_ring_that_a_door_cuts_is_warned_of() {
        let tied = FeetAsk { tie: Some(5e3), ..FeetAsk::default() };
        let with_door = shell("potting-shed-barrel.toml");
        assert!(with_door.openings.iter().any(Opening::on_ground));
        assert_eq!(warning(&tied, &with_door), None);
        let file = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/apple-store-dome.toml");
        let door = "[[shell.opening]]\nwidth = 0.8\nheight = 1.2\nfacing_deg = 90\n\n[timber]";
        let text = std::fs::read_to_string(file).unwrap().replace("[timber]", door);
        let dome = crate::shell::build(&crate::assess::shell_of(&text).shell).unwrap();
        assert!(warning(&tied, &dome).is_some_and(|words| words.contains("are gone at opening 1. A ring")));
        assert_eq!(warning(&FeetAsk::default(), &dome), None);
        assert_eq!(warning(&tied, &shell("apple-store-dome.toml")), None);
    }
}
