//! A user's own mesh: looked over, mended where that is safe and not forbidden, and stood on z = 0.
//!
//! Safe are: welding points that coincide, dropping points that nothing uses, and turning over panels so
//! that all normals point out. Everything else that is wrong is a fault and is for the user to put right;
//! all faults are found in one go.

use crate::shell::ShellError;
use crate::shell::ask::{MeshAsk, MeshLines};
use crate::shell::build::{Made, Own};
use crate::shell::mesh_fault::MeshFault;
use crate::shell::mesh_feet::all_but_feet;
use crate::shell::net::{
    Net, area_vector, boundary_loops, convex, edge, joints_on_rims, middle, out_of_plane, sides, size_of,
};
use crate::shell::{Outline, Shape};
use crate::vector::Vec3;
use std::collections::{BTreeMap, BTreeSet};

/// Points closer than this share of the size coincide.
pub(crate) const WELD: f64 = 1e-6;
/// Points closer than this share of the size, though apart, are probably meant as one.
pub(crate) const NEAR: f64 = 1e-3;
/// Corners may lie off their panel's plane by this share of its longest side: a millimetre in a metre,
/// which a timber frame takes up (common practice, no source).
const OUT_OF_PLANE: f64 = 1e-3;

/// A piece whose area seen from above, what looks down taken off, is less than this share of its area tells no up from down: walls that stand
/// upright, and what is closed all round (own choice).
const LEVEL: f64 = 0.05;

/// Corners of a panel: its strips, its loads and its kind are worked out for three and four.
const MOST_CORNERS: usize = 4;

/// The mesh on its way through.
struct Work {
    names: Vec<String>,
    panel_names: Vec<String>,
    lines: MeshLines,
    net: Net,
    faults: Vec<MeshFault>,
    remarks: Vec<String>,
    /// Panels that were turned over.
    turned: Vec<usize>,
    mend: bool,
}

fn said(name: &str, line: Option<&usize>) -> String {
    line.map_or_else(|| name.to_owned(), |line| format!("{name} (line {line})"))
}

/// Looks over a user's own mesh and makes it ready.
pub(crate) fn own_mesh(ask: &MeshAsk, mend: bool) -> Result<Made, ShellError> {
    let mut work = Work {
        names: ask.joints.iter().map(|(name, _)| name.clone()).collect(),
        panel_names: ask.panels.iter().map(|(name, _)| name.clone()).collect(),
        lines: ask.lines.clone(),
        net: Net {
            points: ask.joints.iter().map(|(_, at)| *at).collect(),
            panels: ask.panels.iter().map(|(_, corners)| corners.clone()).collect(),
            bars: Vec::new(),
        },
        faults: Vec::new(),
        remarks: Vec::new(),
        turned: Vec::new(),
        mend,
    };
    work.check_names();
    work.check_numbers(&ask.feet);
    // Later steps count on sound numbers.
    work.give_up_on_faults()?;
    let size = work.net.size();
    let moved = work.weld(size);
    work.check_polygons(size);
    work.give_up_on_faults()?;
    work.check_edges();
    work.give_up_on_faults()?;
    work.turn_over();
    let mut feet: Vec<bool> = vec![false; work.net.points.len()];
    for &foot in &ask.feet {
        feet[moved[foot]] = true;
    }
    work.drop_strays(&mut feet, &moved);
    work.give_up_on_faults()?;
    work.stand(&mut feet, ask.feet.is_empty(), size);
    work.check_hold(&feet);
    work.give_up_on_faults()?;
    work.remarks.extend(all_but_feet(&work.net, &work.names, &feet));
    work.describe(&feet);

    let Work { names, panel_names, net, remarks, turned, .. } = work;
    let outline = outline(&net, &feet);
    Ok(Made { net, outline, remarks, own: Some(Own { joints: names, panels: panel_names, turned, feet }) })
}

impl Work {
    fn give_up_on_faults(&mut self) -> Result<(), ShellError> {
        if self.faults.is_empty() {
            return Ok(());
        }
        Err(ShellError::Mesh { faults: std::mem::take(&mut self.faults) })
    }

    /// A joint as a fault names it: with its line, where that is known.
    fn joint(&self, number: usize) -> String {
        said(&self.names[number], self.lines.joints.get(number))
    }

    /// See [`Work::joint`].
    fn panel(&self, number: usize) -> String {
        said(&self.panel_names[number], self.lines.panels.get(number))
    }

    fn check_names(&mut self) {
        for (what, letter, names) in
            [("joints", 'j', &mut self.names), ("panels", 'p', &mut self.panel_names)]
        {
            let mut seen = BTreeSet::new();
            for (number, name) in names.iter_mut().enumerate() {
                if name.is_empty() {
                    *name = format!("{letter}{}", number + 1);
                }
                if !seen.insert(name.clone()) {
                    self.faults.push(MeshFault::NameTwice { what, name: name.clone() });
                }
            }
        }
    }

    fn check_numbers(&mut self, feet: &[usize]) {
        let count = self.net.points.len();
        if self.net.panels.is_empty() {
            self.faults.push(MeshFault::NoPanels);
        }
        for (at, name) in self.net.points.iter().zip(&self.names) {
            if !at.iter().all(|value| value.is_finite()) {
                self.faults.push(MeshFault::NotANumber { joint: name.clone() });
            }
        }
        for (corners, name) in self.net.panels.iter().zip(&self.panel_names) {
            for &corner in corners.iter().filter(|&&corner| corner >= count) {
                self.faults.push(MeshFault::NoSuchJoint { panel: name.clone(), number: corner + 1, count });
            }
        }
        for &foot in feet.iter().filter(|&&foot| foot >= count) {
            self.faults.push(MeshFault::NoSuchFoot { number: foot + 1, count });
        }
    }

    /// Makes coinciding points one where that is asked for; answers with each point's new number.
    fn weld(&mut self, size: f64) -> Vec<usize> {
        let count = self.net.points.len();
        let mut by_x: Vec<usize> = (0..count).collect();
        by_x.sort_by(|&a, &b| self.net.points[a].x.total_cmp(&self.net.points[b].x).then(a.cmp(&b)));
        let mut pairs = Vec::new();
        for (i, &a) in by_x.iter().enumerate() {
            for &b in &by_x[i + 1..] {
                if self.net.points[b].x - self.net.points[a].x > NEAR * size {
                    break;
                }
                let apart = (self.net.points[a] - self.net.points[b]).norm();
                if apart <= NEAR * size {
                    pairs.push((a.min(b), a.max(b), apart));
                }
            }
        }
        pairs.sort_by_key(|&(a, b, _)| (a, b));
        let mut moved: Vec<usize> = (0..count).collect();
        let mut welded = Vec::new();
        for (a, b, apart) in pairs {
            if apart > WELD * size {
                self.remarks.push(format!(
                    "joints {} and {} are only {:.2} mm apart and were left apart",
                    self.names[a],
                    self.names[b],
                    apart * 1e3
                ));
            } else if self.mend {
                let into = moved[a];
                moved[b] = into;
                welded.push(format!("{} into {}", self.names[b], self.names[into]));
            } else {
                self.faults.push(MeshFault::DoubledJoints { first: self.joint(a), second: self.joint(b) });
            }
        }
        if !welded.is_empty() {
            self.remarks.push(format!(
                "mended: joints in one place (within {:.4} mm) were made one: {}",
                WELD * size * 1e3,
                welded.join(", ")
            ));
        }
        self.net.renumber(&moved);
        moved
    }

    fn check_polygons(&mut self, size: f64) {
        let mut seen: BTreeMap<Vec<usize>, usize> = BTreeMap::new();
        for (number, corners) in self.net.panels.iter().enumerate() {
            let mut sorted = corners.clone();
            sorted.sort_unstable();
            let fault = if corners.len() < 3 {
                Some("has fewer than three corners")
            } else if corners.len() > MOST_CORNERS {
                Some("has more than four corners: divide it into panels of three or four")
            } else if sorted.windows(2).any(|pair| pair[0] == pair[1]) {
                Some("has a corner twice")
            } else if area_vector(&self.net.points, corners).norm() < WELD * size * size {
                Some("has no area to speak of")
            } else if !convex(&self.net.points, corners, OUT_OF_PLANE) {
                Some(
                    "has sides that cross, or a corner that points inward: name its corners in the order in which they stand round it, or \
                     divide it into panels of three",
                )
            } else {
                None
            };
            if let Some(why) = fault {
                let panel = self.panel(number);
                self.faults.push(MeshFault::NoPolygon { panel, why });
                continue;
            }
            if let Some(&first) = seen.get(&sorted) {
                let first = self.panel(first);
                let second = self.panel(number);
                self.faults.push(MeshFault::DoubledPanels { first, second });
            }
            seen.entry(sorted).or_insert(number);
            let (off, longest) = out_of_plane(&self.net.points, corners);
            if off > OUT_OF_PLANE * longest {
                self.faults.push(MeshFault::OutOfPlane {
                    panel: self.panel(number),
                    off,
                    limit: OUT_OF_PLANE * longest,
                });
            } else if off > 1e-2 * OUT_OF_PLANE * longest {
                self.remarks.push(format!(
                    "panel {} is out of plane by {:.2} mm",
                    self.panel_names[number],
                    off * 1e3
                ));
            }
        }
    }

    fn check_edges(&mut self) {
        for ((a, b), along) in self.net.edges() {
            if along.len() > 2 {
                self.faults.push(MeshFault::NonManifold {
                    from: self.names[a].clone(),
                    to: self.names[b].clone(),
                    panels: along.iter().map(|&(panel, _)| self.panel(panel)).collect(),
                });
            }
        }
    }

    /// Winds every piece one way, outward. Which panels that turns over is a fault or is mended.
    fn turn_over(&mut self) {
        let edges = self.net.edges();
        let count = self.net.panels.len();
        let mut turned: Vec<Option<bool>> = vec![None; count];
        let mut flipped = Vec::new();
        for start in 0..count {
            if turned[start].is_some() {
                continue;
            }
            turned[start] = Some(false);
            let mut piece = vec![start];
            let mut next = 0;
            while next < piece.len() {
                let panel = piece[next];
                next += 1;
                for (a, b) in sides(&self.net.panels[panel]) {
                    let along = &edges[&edge(a, b)];
                    if along.len() != 2 {
                        continue;
                    }
                    let same_way = along[0].1 == along[1].1;
                    let other = if along[0].0 == panel { along[1].0 } else { along[0].0 };
                    let wanted = (turned[panel] == Some(true)) != same_way;
                    match turned[other] {
                        None => {
                            turned[other] = Some(wanted);
                            piece.push(other);
                        }
                        Some(is) if is != wanted => {
                            self.faults.push(MeshFault::OneSided { panel: self.panel(other) });
                            return;
                        }
                        Some(_) => {}
                    }
                }
            }
            if self.inward(&piece, &turned) {
                for &panel in &piece {
                    turned[panel] = turned[panel].map(|is| !is);
                }
            }
            flipped.extend(piece.into_iter().filter(|&panel| turned[panel] == Some(true)));
        }
        if flipped.is_empty() {
            return;
        }
        flipped.sort_unstable();
        let panels: Vec<String> = flipped.iter().map(|&panel| self.panel(panel)).collect();
        if self.mend {
            for &panel in &flipped {
                self.net.panels[panel].reverse();
            }
            self.turned = flipped;
            self.remarks
                .push(format!("mended: panels that were inside out were turned over: {}", panels.join(", ")));
        } else {
            self.faults.push(MeshFault::Flipped { panels });
        }
    }

    /// Every piece of the mesh has to stand on a foot of its own.
    fn check_hold(&mut self, feet: &[bool]) {
        let mut of_joint: Vec<Vec<usize>> = vec![Vec::new(); self.net.points.len()];
        for (panel, corners) in self.net.panels.iter().enumerate() {
            for &corner in corners {
                of_joint[corner].push(panel);
            }
        }
        // From the feet along the panels, joint by joint.
        let mut held = vec![false; self.net.panels.len()];
        let mut reached = feet.to_vec();
        let mut next: Vec<usize> = (0..feet.len()).filter(|&joint| feet[joint]).collect();
        while let Some(joint) = next.pop() {
            for &panel in &of_joint[joint] {
                held[panel] = true;
                for &corner in &self.net.panels[panel] {
                    if !std::mem::replace(&mut reached[corner], true) {
                        next.push(corner);
                    }
                }
            }
        }
        let panels: Vec<String> =
            (0..held.len()).filter(|&panel| !held[panel]).map(|panel| self.panel(panel)).collect();
        if !panels.is_empty() {
            self.faults.push(MeshFault::Adrift { panels });
        }
    }

    /// Whether a piece, wound one way, looks inward: downward on the whole, as nothing that snow lies on does, whether it bulges or is hollow
    /// like a gutter; of what looks as much up as down, by the volume between it and the middle of its foot.
    fn inward(&self, piece: &[usize], turned: &[Option<bool>]) -> bool {
        let points = &self.net.points;
        let corners =
            || piece.iter().flat_map(|&panel| &self.net.panels[panel]).map(|&corner| points[corner]);
        let low = corners().fold(Vec3::repeat(f64::INFINITY), |low, at| low.inf(&at));
        let high = corners().fold(Vec3::repeat(f64::NEG_INFINITY), |high, at| high.sup(&at));
        let foot = Vec3::new(0.5 * (low.x + high.x), 0.5 * (low.y + high.y), low.z);
        let (mut volume, mut area, mut upward) = (0.0, 0.0, 0.0);
        for &panel in piece {
            let sign = if turned[panel] == Some(true) { -1.0 } else { 1.0 };
            let vector = area_vector(points, &self.net.panels[panel]) * sign;
            volume += vector.dot(&(middle(points, &self.net.panels[panel]) - foot)) / 3.0;
            area += vector.norm();
            upward += vector.z;
        }
        if upward.abs() > LEVEL * area { upward < 0.0 } else { volume < 0.0 }
    }

    /// `moved` says which joint each was welded into; those have been spoken of.
    fn drop_strays(&mut self, feet: &mut Vec<bool>, moved: &[usize]) {
        let used: BTreeSet<usize> = self.net.panels.iter().flatten().copied().collect();
        let mut dropped = Vec::new();
        for joint in 0..self.names.len() {
            if used.contains(&joint) || moved[joint] != joint {
                continue;
            }
            if feet[joint] {
                self.faults.push(MeshFault::StrayFoot { joint: self.joint(joint) });
            } else if self.mend {
                dropped.push(self.names[joint].clone());
            } else {
                self.faults.push(MeshFault::StrayJoint { joint: self.joint(joint) });
            }
        }
        if !self.faults.is_empty() {
            return;
        }
        if !dropped.is_empty() {
            self.remarks.push(format!("mended: joints of no panel were left out: {}", dropped.join(", ")));
        }
        self.names = used.iter().map(|&joint| self.names[joint].clone()).collect();
        *feet = used.iter().map(|&joint| feet[joint]).collect();
        self.net.drop_unused();
    }

    /// Finds the feet where none are named, and moves the lowest foot to z = 0.
    fn stand(&mut self, feet: &mut [bool], find: bool, size: f64) {
        if find {
            let lowest = self.net.points.iter().map(|at| at.z).fold(f64::INFINITY, f64::min);
            for (foot, at) in feet.iter_mut().zip(&self.net.points) {
                *foot = at.z - lowest <= NEAR * size;
            }
        }
        let ground = self
            .net
            .points
            .iter()
            .zip(feet.iter())
            .filter(|(_, foot)| **foot)
            .map(|(at, _)| at.z)
            .fold(f64::INFINITY, f64::min);
        if ground.is_finite() && ground.abs() > 1e-12 * size {
            self.remarks.push(format!(
                "the mesh was moved {} by {:.3} m, so that its lowest foot stands on z = 0",
                if ground > 0.0 { "down" } else { "up" },
                ground.abs()
            ));
            for at in &mut self.net.points {
                at.z -= ground;
            }
        }
        let below = self.net.points.iter().filter(|at| at.z < -1e-6 * size).count();
        if below > 0 {
            self.remarks.push(format!("{below} joints lie below the lowest foot"));
        }
    }

    /// Says what is open, in pieces, or touches itself only in a point.
    fn describe(&mut self, feet: &[bool]) {
        let size = self.net.size();
        for ring in boundary_loops(&self.net) {
            let within = joints_on_rims(&self.net.points, &ring, NEAR * size);
            for (joint, [a, b]) in &within {
                self.remarks.push(format!(
                    "joint {} lies on the edge from {} to {} of a panel that has no corner there: nothing joins it to that \
                     panel. Divide the panel at the joint",
                    self.names[*joint], self.names[*a], self.names[*b]
                ));
            }
            // A crack that such a joint leaves is no hole.
            if !within.is_empty() && area_vector(&self.net.points, &ring).norm() < NEAR * size * size {
                continue;
            }
            let on_ground = (0..ring.len()).any(|i| feet[ring[i]] && feet[ring[(i + 1) % ring.len()]]);
            if !on_ground {
                let names: Vec<&str> = ring.iter().map(|&joint| self.names[joint].as_str()).collect();
                self.remarks.push(format!(
                    "the mesh has a hole with {} edges, off the ground, round {}: taken as an opening",
                    ring.len(),
                    names.join(", ")
                ));
            }
        }
        let (_, pieces) = self.net.pieces();
        if pieces > 1 {
            self.remarks.push(format!("the mesh is in {pieces} pieces that share no seam"));
        }
        for point in self.net.pinched() {
            self.remarks.push(format!("the mesh touches itself only in joint {}", self.names[point]));
        }
    }
}

fn outline(net: &Net, feet: &[bool]) -> Outline {
    let standing: Vec<Vec3> =
        net.points.iter().zip(feet).filter(|(_, foot)| **foot).map(|(at, _)| *at).collect();
    let box_of = |points: &[Vec3]| {
        points
            .iter()
            .fold((Vec3::repeat(f64::INFINITY), Vec3::repeat(f64::NEG_INFINITY)), |(low, high), at| {
                (low.inf(at), high.sup(at))
            })
    };
    let (low, high) = box_of(&net.points);
    let (base_low, base_high) = if size_of(&standing) > 0.0 { box_of(&standing) } else { (low, high) };
    let centre = 0.5 * (base_low + base_high);
    Outline {
        shape: Shape::Free,
        span: base_high.y - base_low.y,
        rise: high.z,
        length: high.x - low.x,
        centre: Vec3::new(centre.x, centre.y, 0.0),
        barrel: None,
        domed_ends: [false; 2],
        profile: Vec::new(),
        radius: None,
    }
}
