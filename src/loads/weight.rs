//! Weight of the timbers and of the cover.

use crate::loads::ask::CoverAsk;
use crate::loads::leaf::Shut;
use crate::loads::wind::gable;
use crate::loads::{Action, Case, CaseKind, Inlet, MemberLoad, PanelLoad};
use crate::shell::{MemberId, PanelId, Shell};
use crate::vector::Vec3;

/// Weight of the timbers: a uniform line load on every member.
///
/// `timber_weight`: weight per metre of each member, all its strips and the allowance for fixings
/// \[N/m\], in the order of [`Shell::members`].
#[must_use]
pub fn timbers(shell: &Shell, timber_weight: &[f64]) -> Case {
    let mut members = Vec::with_capacity(timber_weight.len());
    let mut asked = 0.0;
    for (index, &weight) in timber_weight.iter().enumerate() {
        let [from, to] = shell.members[index].joints.map(|joint| shell.at(joint));
        asked += weight * nalgebra::distance(&from.into(), &to.into());
        if weight != 0.0 {
            let intensity = Vec3::new(0.0, 0.0, -weight);
            let member = MemberId(index);
            let span = [0.0, shell.length(member)];
            members.push(MemberLoad { member, span, intensity: [intensity; 2], panel: None });
        }
    }
    Case {
        name: "weight of the timbers".into(),
        kind: CaseKind::SelfWeight,
        action: Action::Permanent,
        inlet: Inlet::Shut,
        panels: Vec::new(),
        members,
        joints: Vec::new(),
        asked: Vec3::new(0.0, 0.0, -asked),
        remarks: vec!["finished sections × mean density, lengths between joints".into()],
        provisional: Vec::new(),
    }
}

/// The weight of doors, windows and framed ends as a case by itself: where it is taken and not entered nobody counts on it to hold the
/// shell down.
pub(crate) const BESIDES: &str = "weight of doors, windows and framed ends";

/// Weight of the cover, and of what shuts the openings and clads framed ends: per true area; those that weigh anything.
pub(crate) fn cover(shut: &Shut, ask: &CoverAsk) -> Vec<Case> {
    let shell = &shut.shell;
    let mut cover = Case::empty("weight of the cover".into(), CaseKind::Cover, Action::Permanent);
    let mut besides = Case::empty(BESIDES.into(), CaseKind::Cover, Action::Permanent);
    cover.remarks.push(format!("{:.1} N/m² of true area", ask.weight));
    if ask.removable {
        cover.remarks.push("may be taken off or blown off: not counted against uplift".into());
    }
    let of_leaf = ask.leaf.unwrap_or(ask.weight);
    for panel in (0..shell.panels.len()).map(PanelId) {
        let (case, weight) =
            if shut.is_leaf(panel) { (&mut besides, of_leaf) } else { (&mut cover, ask.weight) };
        if weight > 0.0 {
            let down = Vec3::new(0.0, 0.0, -weight);
            case.panels.push(PanelLoad { panel, traction: down });
            // Apart from the area vectors: triangles by the lengths of their sides (Heron, in Kahan's order).
            let at: Vec<Vec3> = shell.panels[panel.0].joints.iter().map(|&joint| shell.at(joint)).collect();
            let area: f64 = at[1..].windows(2).map(|pair| heron(&at[0], &pair[0], &pair[1])).sum();
            case.asked += down * area;
        }
    }
    if !besides.panels.is_empty() {
        let whose = if ask.leaf.is_some() { "as entered" } else { "as the cover" };
        besides.remarks.push(format!("what shuts openings: {of_leaf:.1} N/m², {whose}"));
    }
    if ask.weight > 0.0 {
        let area = gable::weigh(shell, ask.weight, &mut besides);
        if area > 0.0 {
            besides
                .remarks
                .push(format!("{area:.2} m² of framed ends as the cover, on their uprights and arches"));
        }
    }
    besides.remarks.push("not counted against uplift".into());
    [cover, besides].into_iter().filter(|case| case.asked.z < 0.0).collect()
}

fn heron(a: &Vec3, b: &Vec3, c: &Vec3) -> f64 {
    let mut sides = [(b - a).norm(), (c - b).norm(), (a - c).norm()];
    sides.sort_by(f64::total_cmp);
    let [least, middle, most] = sides;
    let product = (most + (middle + least))
        * (least - (most - middle))
        * (least + (most - middle))
        * (most + (middle - least));
    0.25 * product.max(0.0).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::loads::audit::audit;
    use crate::loads::edge_share::EdgeShares;
    use crate::loads::test_shells::pyramid;

    #[test]
    fn weight_and_cover_close_their_audit() {
        let shell = pyramid(2.0, 1.5);
        let weights: Vec<f64> = (0..shell.members.len()).map(|i| 10.0 + i as f64).collect();
        let shares = EdgeShares::new(&shell);
        let own = audit(&shell, &shares, &timbers(&shell, &weights));
        assert!(own.asked.z < 0.0 && own.residual < 1e-12);
        let asked = CoverAsk { weight: 90.0, ..CoverAsk::default() };
        let cover = audit(&shell, &shares, &cover(&Shut::new(&shell), &asked)[0]);
        // Four faces of base 2·2 m and slant √(2² + 1.5²) = 2.5 m: 20 m².
        assert!((cover.asked.z + 90.0 * 20.0).abs() < 1e-9 && cover.residual < 1e-12);
        assert!((cover.area - 20.0).abs() < 1e-9);
    }
}
