//! From what is asked to the finished shell: make the net, number it, take out openings, name the
//! members.

use crate::shell::ask::{EndForm, Form, ShellAsk};
use crate::shell::barrel::{BarrelAsk, barrel};
use crate::shell::dome::dome;
use crate::shell::fold::fold_angle;
use crate::shell::gable::{GableAsk, frame};
use crate::shell::mesh::own_mesh;
use crate::shell::net::{Edge, Net, area_vector, middle};
use crate::shell::opening::{Taken, take_out};
use crate::shell::order::order;
use crate::shell::tunnel::{TunnelAsk, tunnel};
use crate::shell::{
    Joint, JointId, Member, MemberId, MemberKind, Opening, Outline, Panel, PanelId, Role, Shell, ShellError,
};
use crate::vector::{Vec3, up};

/// What a generator makes: a net that stands on z = 0 and the smooth shape behind it.
#[derive(Debug)]
pub(crate) struct Made {
    pub(crate) net: Net,
    pub(crate) outline: Outline,
    pub(crate) remarks: Vec<String>,
    /// A user's own mesh keeps its own order, names and feet.
    pub(crate) own: Option<Own>,
}

impl Made {
    /// The name of a panel of the numbered net.
    pub(crate) fn panel_name(&self, panel: usize) -> String {
        self.own.as_ref().map_or_else(|| format!("p{}", panel + 1), |own| own.panels[panel].clone())
    }

    /// The name of a joint of the numbered net.
    pub(crate) fn joint_name(&self, joint: usize) -> String {
        self.own.as_ref().map_or_else(|| format!("j{}", joint + 1), |own| own.joints[joint].clone())
    }
}

/// Names and feet of a user's own mesh, by position in the net.
#[derive(Debug, Clone)]
pub(crate) struct Own {
    pub(crate) joints: Vec<String>,
    pub(crate) panels: Vec<String>,
    /// Panels that were turned over, by number.
    pub(crate) turned: Vec<usize>,
    pub(crate) feet: Vec<bool>,
}

/// Builds the shell that is asked for.
///
/// Joints, panels, seams and rims are numbered from the base upward, then by angle about the middle
/// from x toward y. Openings do not renumber: what they take out leaves gaps, and the rims round them
/// get the numbers after the last rim. The base plane is z = 0.
///
/// # Errors
///
/// [`ShellError`] with what was asked, the limit, and what to do.
pub fn build(ask: &ShellAsk) -> Result<Shell, ShellError> {
    let made = make(ask)?;
    let made = numbered(made);
    let taken = take_out(&made, &ask.openings)?;
    Ok(finish(&made, &taken))
}

fn make(ask: &ShellAsk) -> Result<Made, ShellError> {
    match &ask.form {
        Form::Dome { radius, frequency, up, base } => {
            let made = dome(*radius, *frequency, *up, *base)?;
            made.net.check_whole(*base)?;
            Ok(made)
        }
        &Form::Tunnel { radius, frequency, bands, base, spacing, ends } => {
            let mut made = tunnel(&TunnelAsk { radius, frequency, bands, base, spacing, ends })?;
            made.net.check_whole(base)?;
            frame_ends(&mut made, ends)?;
            Ok(made)
        }
        &Form::Barrel { profile, span, rise, segments, bays, bay_length, pattern, ends } => {
            let ask = BarrelAsk { profile, span, rise, segments, bays, bay_length, pattern, ends };
            let mut made = barrel(&ask)?;
            made.net.check_whole(0.0)?;
            frame_ends(&mut made, ends)?;
            Ok(made)
        }
        Form::Mesh(mesh) => own_mesh(mesh, ask.mend),
    }
}

/// Frames the flat ends that ask for it.
fn frame_ends(made: &mut Made, ends: [EndForm; 2]) -> Result<(), ShellError> {
    let Some(planes) = made.outline.barrel else { return Ok(()) };
    for (end, side) in [(0, -1.0), (1, 1.0)] {
        if let EndForm::Framed { studs, sill, diagonals } = ends[end] {
            let told = frame(&mut made.net, planes[end], side, &GableAsk { studs, sill, diagonals })?;
            made.remarks.extend(told);
        }
    }
    Ok(())
}

/// Puts joints and panels into the order of their numbers.
fn numbered(mut made: Made) -> Made {
    if made.own.is_some() {
        return made;
    }
    let size = made.net.size();
    let joints = order(&made.net.points, size);
    let mut new_number = vec![0; joints.len()];
    for (new, &old) in joints.iter().enumerate() {
        new_number[old] = new;
    }
    made.net.points = joints.iter().map(|&old| made.net.points[old]).collect();
    made.net.renumber(&new_number);
    for corners in &mut made.net.panels {
        let first = (0..corners.len()).min_by_key(|&i| corners[i]).unwrap_or(0);
        corners.rotate_left(first);
    }
    let middles: Vec<Vec3> =
        made.net.panels.iter().map(|corners| middle(&made.net.points, corners)).collect();
    made.net.panels = order(&middles, size).iter().map(|&old| made.net.panels[old].clone()).collect();
    made
}

/// An edge on its way to becoming a member.
struct Line {
    name: String,
    /// In the direction that has the first panel on the left.
    ends: [usize; 2],
    /// Left first; by position in the whole net's panels.
    panels: Vec<usize>,
}

fn finish(made: &Made, taken: &Taken) -> Shell {
    let Made { net, outline, own, .. } = made;
    let size = net.size();
    let feet: Vec<bool> = match own {
        Some(own) => own.feet.clone(),
        None => net.points.iter().map(|at| at.z.abs() <= 1e-9 * size).collect(),
    };
    let (members, rim_of) = members(made, taken, &feet);
    // Leave out what the openings took, keeping names.
    let mut joint_used = vec![false; net.points.len()];
    for (_, ends) in &members {
        joint_used[ends[0]] = true;
        joint_used[ends[1]] = true;
    }
    let new_joint = positions(&joint_used);
    let panel_kept: Vec<bool> = taken.by_panel.iter().map(Option::is_none).collect();
    let new_panel = positions(&panel_kept);
    let members: Vec<Member> = members
        .into_iter()
        .map(|(mut member, ends)| {
            member.joints = ends.map(|end| JointId(new_joint[end]));
            for panel in &mut member.panels {
                panel.0 = new_panel[panel.0];
            }
            member
        })
        .collect();
    let openings = openings(made, taken, rim_of);
    let rims = openings.iter().enumerate().map(|(at, opening)| rim_words(at + 1, opening, &members));
    let remarks = made.remarks.iter().chain(&taken.remarks).cloned().chain(rims).collect();
    Shell {
        joints: (0..net.points.len())
            .filter(|&joint| joint_used[joint])
            .map(|joint| Joint { name: made.joint_name(joint), at: net.points[joint], foot: feet[joint] })
            .collect(),
        panels: (0..net.panels.len())
            .filter(|&panel| panel_kept[panel])
            .map(|panel| Panel {
                name: made.panel_name(panel),
                joints: net.panels[panel].iter().map(|&corner| JointId(new_joint[corner])).collect(),
                turned: made.own.as_ref().is_some_and(|own| own.turned.contains(&panel)),
            })
            .collect(),
        members,
        outline: outline.clone(),
        openings,
        remarks,
    }
}

/// A member with its ends in the whole net.
type InNet = (Member, [usize; 2]);

/// The members of the whole net that the openings leave, and those in the rim of each opening.
fn members(made: &Made, taken: &Taken, feet: &[bool]) -> (Vec<InNet>, Vec<Vec<MemberId>>) {
    let Made { net, outline, .. } = made;
    let size = net.size();
    let normals: Vec<Vec3> =
        net.panels.iter().map(|corners| area_vector(&net.points, corners).normalize()).collect();
    let ground = |ends: [usize; 2]| feet[ends[0]] && feet[ends[1]];

    let (seams, rims) = lines(net, size);
    let mut next_rim = rims.len();
    // The opening each panel went with, if any.
    let gone = |panel: usize| taken.by_panel[panel];
    let mut members: Vec<InNet> = Vec::new();
    let mut rim_of: Vec<Vec<MemberId>> = vec![Vec::new(); taken.openings.len()];
    let mut bars: Vec<(Role, [usize; 2], Vec3)> =
        net.bars.iter().map(|bar| (bar.role, bar.ends, bar.outward)).collect();
    let mut sills: Vec<(usize, usize)> = Vec::new();

    for line in &seams {
        if line.panels.iter().all(|&panel| gone(panel).is_none()) {
            let [left, right] = [normals[line.panels[0]], normals[line.panels[1]]];
            let along = net.points[line.ends[1]] - net.points[line.ends[0]];
            members.push((
                Member {
                    name: line.name.clone(),
                    joints: line.ends.map(JointId),
                    kind: MemberKind::Seam,
                    role: seam_role(&net.points, line.ends, outline, size),
                    panels: line.panels.iter().map(|&panel| PanelId(panel)).collect(),
                    fold: fold_angle(&left, &right, &along),
                    outward: outward_of(left + right, left),
                },
                line.ends,
            ));
        }
    }
    for line in &rims {
        let panel = line.panels[0];
        if let Some(opening) = gone(panel) {
            if taken.openings[opening].sill && ground(line.ends) {
                sills.push((bars.len(), opening));
                bars.push((Role::Sill, line.ends, up()));
            }
            continue;
        }
        let role = rim_role(&net.points, line.ends, outline, ground(line.ends), size);
        members.push((rim(line.name.clone(), line.ends, panel, role, normals[panel]), line.ends));
    }
    for line in &seams {
        let kept: Vec<usize> = line.panels.iter().copied().filter(|&panel| gone(panel).is_none()).collect();
        let lost = line.panels.iter().find_map(|&panel| gone(panel));
        if let (&[panel], Some(opening)) = (kept.as_slice(), lost) {
            // The panel that stays has the rim on its left.
            let [a, b] = line.ends;
            let ends = if panel == line.panels[0] { [a, b] } else { [b, a] };
            next_rim += 1;
            rim_of[opening].push(MemberId(members.len()));
            members.push((rim(format!("r{next_rim}"), ends, panel, Role::DoorRim, normals[panel]), ends));
        }
    }
    for (number, (role, ends, outward)) in bars.into_iter().enumerate() {
        if let Some(&(_, opening)) = sills.iter().find(|&&(bar, _)| bar == number) {
            rim_of[opening].push(MemberId(members.len()));
        }
        let member = Member {
            name: format!("b{}", number + 1),
            joints: ends.map(JointId),
            kind: MemberKind::Bar,
            role,
            panels: Vec::new(),
            fold: 0.0,
            outward,
        };
        members.push((member, ends));
    }
    (members, rim_of)
}

/// The openings, each with its rim.
fn openings(made: &Made, taken: &Taken, rim_of: Vec<Vec<MemberId>>) -> Vec<Opening> {
    let net = &made.net;
    taken
        .openings
        .iter()
        .zip(rim_of)
        .map(|(opening, rim)| Opening {
            panels: opening.panels.iter().map(|&panel| made.panel_name(panel)).collect(),
            outlines: opening
                .panels
                .iter()
                .map(|&panel| net.panels[panel].iter().map(|&corner| net.points[corner]).collect())
                .collect(),
            rim,
            strips: opening.strips,
            leaf: opening.leaf,
        })
        .collect()
}

/// What an opening's rim is made of, in words.
fn rim_words(number: usize, opening: &Opening, members: &[Member]) -> String {
    let names: Vec<&str> = opening.rim.iter().map(|id| members[id.0].name.as_str()).collect();
    format!(
        "opening {number}: its rim is {} in {} {}",
        names.join(", "),
        opening.strips,
        if opening.strips == 1 { "strip" } else { "strips each" }
    )
}

/// The edges of a whole net as seams and rims, each in the order of their numbers.
fn lines(net: &Net, size: f64) -> (Vec<Line>, Vec<Line>) {
    let edges: Vec<(Edge, Vec<(usize, bool)>)> = net.edges().into_iter().collect();
    let middles: Vec<Vec3> = edges.iter().map(|&((a, b), _)| 0.5 * (net.points[a] + net.points[b])).collect();
    let (mut seams, mut rims) = (Vec::new(), Vec::new());
    for number in order(&middles, size) {
        let ((a, b), along) = &edges[number];
        if let [(panel, forward)] = along[..] {
            let ends = if forward { [*a, *b] } else { [*b, *a] };
            rims.push(Line { name: format!("r{}", rims.len() + 1), ends, panels: vec![panel] });
        } else {
            let mut panels: Vec<(usize, bool)> = along.clone();
            panels.sort_by_key(|&(panel, forward)| (!forward, panel));
            seams.push(Line {
                name: format!("s{}", seams.len() + 1),
                ends: [*a, *b],
                panels: panels.into_iter().map(|(panel, _)| panel).collect(),
            });
        }
    }
    (seams, rims)
}

fn rim(name: String, ends: [usize; 2], panel: usize, role: Role, normal: Vec3) -> Member {
    Member {
        name,
        joints: ends.map(JointId),
        kind: MemberKind::Rim,
        role,
        panels: vec![PanelId(panel)],
        fold: 0.0,
        outward: normal,
    }
}

/// The unit vector along `sum`, or `otherwise` where two panels lie back to back.
fn outward_of(sum: Vec3, otherwise: Vec3) -> Vec3 {
    if sum.norm() > 1e-9 { sum.normalize() } else { otherwise }
}

/// A seam in the straight stretch is an arch, a purlin or a diagonal; elsewhere it has no better name.
fn seam_role(points: &[Vec3], ends: [usize; 2], outline: &Outline, size: f64) -> Role {
    let Some([low, high]) = outline.barrel else { return Role::Seam };
    let near = 1e-7 * size;
    let [a, b] = ends.map(|end| points[end]);
    if high - low <= near || [a, b].iter().any(|at| at.x < low - near || at.x > high + near) {
        return Role::Seam;
    }
    if (a.x - b.x).abs() <= near {
        Role::Arch
    } else if (a.y - b.y).hypot(a.z - b.z) <= near {
        Role::Purlin
    } else {
        Role::Diagonal
    }
}

fn rim_role(points: &[Vec3], ends: [usize; 2], outline: &Outline, ground: bool, size: f64) -> Role {
    if ground {
        return Role::BaseRim;
    }
    let near = 1e-7 * size;
    if let Some(planes) = outline.barrel {
        for (plane, domed) in planes.into_iter().zip(outline.domed_ends) {
            if !domed && ends.iter().all(|&end| (points[end].x - plane).abs() <= near) {
                return Role::EndRim;
            }
        }
    }
    Role::DoorRim
}

/// New positions of what is kept.
fn positions(kept: &[bool]) -> Vec<usize> {
    kept.iter()
        .scan(0, |next, &keep| {
            let at = *next;
            *next += usize::from(keep);
            Some(at)
        })
        .collect()
}

/// A net as a shell without openings, for tests of whole spheres and rings that stand on nothing.
#[cfg(test)]
pub(crate) fn bare(net: Net) -> Shell {
    let outline = Outline {
        shape: crate::shell::Shape::Free,
        span: 1.0,
        rise: 1.0,
        length: 1.0,
        centre: Vec3::zeros(),
        barrel: None,
        domed_ends: [false; 2],
        profile: Vec::new(),
        radius: None,
    };
    let made = numbered(Made { net, outline, remarks: Vec::new(), own: None });
    let taken =
        Taken { by_panel: vec![None; made.net.panels.len()], openings: Vec::new(), remarks: Vec::new() };
    finish(&made, &taken)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shell::ask::Up;

    pub(crate) fn dome_ask(radius: f64, frequency: usize, up: Up, base: f64) -> ShellAsk {
        ShellAsk { form: Form::Dome { radius, frequency, up, base }, openings: Vec::new(), mend: false }
    }

    #[test]
    fn hemispheres_have_the_known_counts() {
        // Source: the reference sheet's determinacy table: f = 2 has 26 joints, 65 members, 10 on the
        // base; f = 4 has 91, 250 and 20.
        for (f, joints, members, feet) in [(2, 26, 65, 10), (4, 91, 250, 20)] {
            let shell = build(&dome_ask(2.1, f, Up::Vertex, 0.0)).unwrap();
            assert_eq!(shell.joints.len(), joints);
            assert_eq!(shell.members.len(), members);
            assert_eq!(shell.joints.iter().filter(|joint| joint.foot).count(), feet);
            assert!(shell.remarks.is_empty(), "{:?}", shell.remarks);
        }
    }

    #[test]
    fn members_lie_to_the_right_of_their_first_panel_and_ridges_are_positive() {
        let shell = build(&dome_ask(2.1, 3, Up::Edge, 0.3)).unwrap();
        for (id, member) in shell.members.iter().enumerate() {
            let [a, b] = member.joints;
            let corners = &shell.panels[member.panels[0].0].joints;
            let at = corners.iter().position(|&corner| corner == a).unwrap();
            assert_eq!(corners[(at + 1) % corners.len()], b, "member {id}");
            if member.kind == MemberKind::Seam {
                assert!(member.fold > 0.0);
            }
            assert!((member.outward.norm() - 1.0).abs() < 1e-12);
        }
    }
}
