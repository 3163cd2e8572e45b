//! Wind on the framed flat ends of a vault, taken as clad.
//!
//! A gable has no panels. Its cladding is taken to span level, from upright to upright and to the arch beside them: at every
//! height each of these carries the wind on half the way to its neighbours, as a line load on its length. (Cladding that stands on
//! a sill and spans upward puts half of that on the ground, and bends the uprights less.) Where an opening took a timber of the arch
//! with its panel, the end is as large as before, and what would go to that timber goes to its neighbour.

mod arch;
mod level;
#[cfg(test)]
mod tests;

use crate::loads::ask::{Basis, LoadsAsk, WindAsk};
use crate::loads::doubt::framed;
use crate::loads::wind::gable::arch::{areas, end_arch, in_plane, points, whole_arch};
use crate::loads::wind::gable::level::{Beside, Blown, level, supports};
use crate::loads::wind::pressure::Pressure;
use crate::loads::wind::upright::{at_foot, edge_of_side_wall};
use crate::loads::{Case, JointLoad, MemberLoad};
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
    let source = match ask.basis {
        Basis::Eurocode => "walls of EN 1991-1-4 7.2.2, Table 7.1",
        _ => "walls of ASCE 7 Figure 27.3-1",
    };
    for (end, plane) in framed_ends(shell) {
        let facing = if end == 0 { std::f64::consts::PI } else { 0.0 };
        // Inward positive; inward is away from the end's outside.
        let net = |outside: f64| pressure.value * (pressure.gust * outside - inside);
        let outside = at_foot(ask, wind, shell, direction, facing);
        let mut blown = Blown::evenly(net(outside));
        let mut words = format!("outside {outside:+.2}");
        if let Some((width, at_edge)) = edge_of_side_wall(ask, wind, shell, direction, facing) {
            blown.more = net(at_edge) - net(outside);
            blown.beside = Some(Beside { side: direction.sin().signum(), width });
            words += &format!(", {at_edge:+.2} within {width:.2} m of its windward edge");
        }
        let area = put(shell, plane, &inward(end), &blown, case);
        case.remarks.push(format!(
            "framed end at {} x taken as clad: {words} ({source}) on {area:.2} m², cladding level between its uprights and its arch",
            if end == 0 { "lower" } else { "higher" }
        ));
    }
}

/// Adds a pressure \[N/m²\] along the wind, of which the framed end that faces it takes what lies across the wind, or the one behind
/// where the wind blows in at an open end before it; `travel`: where the wind blows to.
pub(crate) fn along_wind(shell: &Shell, travel: &Vec3, pressure: f64, case: &mut Case) {
    let framed = framed_ends(shell);
    for &(end, plane) in &framed {
        let across = travel.dot(&inward(end));
        let other = 1 - end;
        let sheltered = shell.outline.domed_ends[other] || framed.iter().any(|(end, _)| *end == other);
        if across > 1e-9 || (across < -1e-9 && !sheltered) {
            let blown = Blown::evenly(pressure * across);
            put(shell, plane, &inward(end), &blown, case);
        }
    }
}

/// Adds the weight \[N/m²\] of the cladding of framed ends, and tells their area \[m²\].
pub(crate) fn weigh(shell: &Shell, weight: f64, case: &mut Case) -> f64 {
    let blown = Blown::evenly(weight);
    let ends = framed_ends(shell).into_iter();
    ends.map(|(_, plane)| put(shell, plane, &-Vec3::z(), &blown, case)).sum()
}

/// Which ends of a vault are framed under a whole arch, and the x of each: nobody clads the end of a shell that is half built.
fn framed_ends(shell: &Shell) -> Vec<(usize, f64)> {
    let ends = shell.outline.barrel.into_iter().flatten().enumerate();
    let clad = |(end, plane): &(usize, f64)| {
        !shell.outline.domed_ends[*end] && framed(shell, *plane) && whole_arch(shell, *plane)
    };
    ends.filter(clad).collect()
}

/// Away from an end's outside.
fn inward(end: usize) -> Vec3 {
    if end == 0 { Vec3::x() } else { -Vec3::x() }
}

/// Puts what pushes one way on the end in a plane of x, and tells its area \[m²\].
fn put(shell: &Shell, plane: f64, way: &Vec3, blown: &Blown, case: &mut Case) -> f64 {
    let arch = end_arch(shell, plane);
    let (lines, points_between) = level(shell, &supports(shell, plane, &arch), blown);
    for load in lines {
        let intensity = load.intensity.map(|w| way * w);
        case.members.push(MemberLoad { member: load.member, span: load.span, intensity, panel: None });
    }
    for (at, force) in points_between {
        let at = Vec3::new(plane, at[0], at[1]);
        let off = |joint: &JointId| (shell.at(*joint) - at).norm();
        let nearest = ends(shell, plane).min_by(|a, b| off(a).total_cmp(&off(b)));
        case.joints.extend(nearest.map(|joint| JointLoad { joint, force: way * force }));
    }
    let [area, at_edge] = areas(&points(&arch, shell), blown.beside.map_or(0.0, |beside| beside.width));
    case.asked += way * (blown.everywhere * area + blown.more * at_edge);
    area
}

/// Joints of the frame in the plane of an end; those of a leaf's corners are none.
fn ends(shell: &Shell, plane: f64) -> impl Iterator<Item = JointId> + '_ {
    let joints = shell.members.iter().flat_map(|member| member.joints);
    joints.filter(move |&joint| in_plane(shell, &shell.at(joint), plane))
}
