//! What every foot is asked for: lift, push, slide, and the directions of the slide.

use crate::frame::NodeId;
use crate::loads::LimitState;
use crate::shell::{JointId, Shell};
use crate::vector::Vec3;

/// A greatest value and the combination it comes from (position in the list).
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Peak {
    /// The value, 0 where nothing asked for it \[N\]; of a moment \[N·m\].
    pub value: f64,
    /// Combination.
    pub combination: usize,
}

impl Peak {
    fn take(&mut self, value: f64, combination: usize) {
        if value > self.value {
            *self = Self { value, combination };
        }
    }
}

/// What one foot is asked for over a set of combinations, design values.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FootPeaks {
    /// The joint.
    pub joint: JointId,
    /// Horizontal unit vector away from the shell's inside.
    pub outward_direction: Vec3,
    /// Lift.
    pub uplift: Peak,
    /// Push into the ground.
    pub down: Peak,
    /// Sideways, any direction.
    pub slide: Peak,
    /// Sideways while the foot is lifting or only just loaded: no friction to help.
    pub slide_while_lifting: Peak,
    /// Push outward.
    pub outward: Peak,
    /// Pull inward.
    pub inward: Peak,
    /// Along the base rim.
    pub along: Peak,
    /// Size of the moment that the ground holds the foot with against turning, about all three axes together; 0 where
    /// feet turn freely.
    pub moment: Peak,
}

/// The feet of a shell with nothing asked of them yet.
#[must_use]
pub fn feet(shell: &Shell) -> Vec<FootPeaks> {
    let mut outward = vec![Vec3::zeros(); shell.joints.len()];
    for member in &shell.members {
        for joint in member.joints {
            outward[joint.0] += Vec3::new(member.outward.x, member.outward.y, 0.0);
        }
    }
    (0..shell.joints.len())
        .filter(|&i| shell.joints[i].foot)
        .map(|i| {
            let from_centre = shell.joints[i].at - shell.outline.centre;
            let fallback = Vec3::new(from_centre.x, from_centre.y, 0.0);
            let direction = if outward[i].norm() > 1e-6 { outward[i] } else { fallback };
            FootPeaks {
                joint: JointId(i),
                outward_direction: direction.try_normalize(1e-12).unwrap_or_else(Vec3::x),
                uplift: Peak::default(),
                down: Peak::default(),
                slide: Peak::default(),
                slide_while_lifting: Peak::default(),
                outward: Peak::default(),
                inward: Peak::default(),
                along: Peak::default(),
                moment: Peak::default(),
            }
        })
        .collect()
}

/// Takes one combination's reactions into account.
///
/// Strength, uplift and accidental combinations count; service ones do not.
pub fn take(feet: &mut [FootPeaks], reactions: &[(NodeId, [f64; 6])], state: LimitState, combination: usize) {
    if state.is_service() {
        return;
    }
    for foot in feet {
        let Some((_, r)) = reactions.iter().find(|(node, _)| node.0 == foot.joint.0) else {
            continue;
        };
        // What the shell does to the ground is the opposite of the reaction.
        let push = Vec3::new(-r[0], -r[1], 0.0);
        let lift = -r[2];
        let across = push.dot(&foot.outward_direction);
        let slide = push.norm();
        foot.uplift.take(lift, combination);
        foot.down.take(-lift, combination);
        foot.slide.take(slide, combination);
        if lift >= 0.0 {
            foot.slide_while_lifting.take(slide, combination);
        }
        foot.outward.take(across, combination);
        foot.inward.take(-across, combination);
        foot.along.take((push - foot.outward_direction * across).norm(), combination);
        foot.moment.take(moment_of(r), combination);
    }
}

/// Size of the moment in the ground's answer to a foot, about all three axes together \[N·m\].
#[must_use]
pub fn moment_of(reaction: &[f64; 6]) -> f64 {
    Vec3::new(reaction[3], reaction[4], reaction[5]).norm()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::assess::example;

    fn shell(file: &str) -> Shell {
        crate::shell::build(&example(file).shell).unwrap()
    }

    /// What pulls a foot inward is told as that, and with what runs along it makes up the level force of any way.
    #[test]
    fn a_foot_pulled_inward_is_told_so() {
        let shell = shell("apple-store-dome.toml");
        let mut all = feet(&shell);
        let (foot, out) = (all[0].joint, all[0].outward_direction);
        let (inward, aside, lift) = (30.0, 40.0, 7.0);
        // The ground's answer is the opposite of what the shell does to it.
        let push = -inward * out + aside * Vec3::new(-out.y, out.x, 0.0);
        // About three axes together: 3, 4, 12 are 13.
        let reaction = [-push.x, -push.y, -lift, 3.0, -4.0, 12.0];
        take(&mut all, &[(NodeId(foot.0), reaction)], LimitState::Strength, 3);
        let told = all[0];
        for (peak, value) in [
            (told.inward, inward),
            (told.along, aside),
            (told.slide, 50.0),
            (told.slide_while_lifting, 50.0),
            (told.uplift, lift),
            (told.moment, 13.0),
        ] {
            assert!((peak.value - value).abs() < 1e-9 && peak.combination == 3, "{told:?}");
        }
        assert_eq!(told.outward, Peak::default());
        assert_eq!(told.down, Peak::default());
        // What service asks is not what an anchor is sized by.
        take(&mut all, &[(NodeId(foot.0), [0.0, 0.0, 0.0, 0.0, 99.0, 0.0])], LimitState::Service, 4);
        assert_eq!(all[0].moment, told.moment);
    }
}
