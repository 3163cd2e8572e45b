//! Wind on the framed flat ends of a vault, taken as clad.
//!
//! A gable has no panels: its area is cut into strips between the joints of the end arch, each strip's
//! upper half goes to the arch, its lower half to the ground. Upright timbers span from ground to arch, so
//! that is a simply supported upright's share; bending of the uprights themselves is not in the cases.

use crate::loads::ask::{LoadsAsk, WindAsk};
use crate::loads::doubt::framed;
use crate::loads::wind::outside::at_foot;
use crate::loads::wind::pressure::Pressure;
use crate::loads::{Case, JointLoad};
use crate::shell::{JointId, Shell};
use crate::vector::Vec3;

/// Adds the wind on framed ends to a case.
pub(crate) fn add(
    ask: &LoadsAsk,
    wind: &WindAsk,
    shell: &Shell,
    pressure: &Pressure,
    (direction, inside): (f64, f64),
    case: &mut Case,
) {
    let Some(barrel) = shell.outline.barrel else { return };
    for (end, &plane) in barrel.iter().enumerate() {
        if shell.outline.domed_ends[end] || !framed(shell, plane) {
            continue;
        }
        let facing = if end == 0 { std::f64::consts::PI } else { 0.0 };
        let outside = at_foot(ask, wind, shell, direction, facing);
        // Inward positive; inward is away from the end's outside.
        let net = pressure.value * (pressure.gust * outside - inside);
        let inward = if end == 0 { Vec3::x() } else { -Vec3::x() };
        let arch = end_arch(shell, plane);
        let mut upper = vec![0.0; arch.len()];
        let mut area = 0.0;
        for k in 0..arch.len().saturating_sub(1) {
            let (a, b) = (shell.at(arch[k]), shell.at(arch[k + 1]));
            let width = b.y - a.y;
            // Half the trapezium's height, by the linear shape function of either joint; a stretch that
            // leans back over its foot takes off what its neighbour has too much.
            upper[k] += 0.5 * width * (2.0 * a.z + b.z) / 6.0;
            upper[k + 1] += 0.5 * width * (a.z + 2.0 * b.z) / 6.0;
            area += 0.5 * width * (a.z + b.z);
        }
        for (&joint, part) in arch.iter().zip(&upper) {
            if *part != 0.0 {
                case.joints.push(JointLoad { joint, force: inward * (net * part) });
            }
        }
        case.asked += inward * (net * 0.5 * area);
        case.remarks.push(format!(
            "framed end at {} x taken as clad: outside {outside:+.2} on {area:.2} m², half of it to the arch, half to the ground",
            if end == 0 { "lower" } else { "higher" }
        ));
    }
}

/// Joints of the end arch from −y to +y along the arch.
fn end_arch(shell: &Shell, x: f64) -> Vec<JointId> {
    let size = shell.outline.length.max(shell.outline.span);
    let middle = shell.outline.centre.y;
    let mut joints: Vec<(f64, JointId)> = shell
        .members
        .iter()
        .filter(|member| !member.panels.is_empty())
        .flat_map(|member| member.joints)
        .filter(|&joint| (shell.at(joint).x - x).abs() < 1e-6 * size)
        .map(|joint| {
            let at = shell.at(joint);
            // The angle from −y over the crown to +y, about the middle of the base.
            ((middle - at.y).atan2(at.z.max(0.0)), joint)
        })
        .collect();
    joints.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    joints.dedup_by_key(|(_, joint)| *joint);
    joints.into_iter().map(|(_, joint)| joint).collect()
}
