//! The sheet of joints: places, what holds them, springs to ground, lumped masses.

use super::PlainFrame;
use super::cells::{GROUND, Names, all, length, six_springs, stiffness, take_name};
use crate::frame::{Node, NodeId};
use crate::project::csv::{Column, Row};
use crate::vector::Vec3;

/// Freedoms by name, in order.
pub const FREEDOMS: [(&str, usize); 6] = [("x", 0), ("y", 1), ("z", 2), ("rx", 3), ("ry", 4), ("rz", 5)];

/// Columns of the sheet.
pub(super) const COLUMNS: &[Column] = &[
    Column::required("joint"),
    Column::required("x"),
    Column::required("y"),
    Column::required("z"),
    Column::optional("held"),
    Column::optional("kx"),
    Column::optional("ky"),
    Column::optional("kz"),
    Column::optional("krx"),
    Column::optional("kry"),
    Column::optional("krz"),
    Column::optional("mass"),
];

/// Reads the rows into the frame.
pub(super) fn read(rows: &[Row<'_>], plain: &mut PlainFrame) -> Names {
    let mut names = Names::new();
    for row in rows {
        let position = plain.joints.len();
        let name = take_name(row, "joint", &mut names, position);
        let at = all([length(row, "x"), length(row, "y"), length(row, "z")]);
        let mut held = [false; 6];
        for word in row.text("held").split_whitespace() {
            match FREEDOMS.iter().find(|(freedom, _)| *freedom == word) {
                Some((_, freedom)) => held[*freedom] = true,
                None => {
                    let help = "write the held freedoms with spaces between them: x y z rx ry rz";
                    row.fault("unknown-word", "held", format!("{word:?} is no freedom"), help);
                }
            }
        }
        let ground = six_springs(row, GROUND);
        let mass = stiffness(row, "mass", 0.0);
        // A row with a fault keeps its place, so that what names it is not blamed as well.
        let at = at.unwrap_or([f64::from(u32::try_from(position).unwrap_or(0)), 0.0, 0.0]);
        plain.frame.nodes.push(Node {
            at: Vec3::new(at[0], at[1], at[2]),
            held,
            ground: ground.unwrap_or_default(),
        });
        plain.masses.push(mass.unwrap_or(0.0));
        plain.joints.push(name.unwrap_or_default());
    }
    names
}

/// Joints that nothing touches and nothing holds.
pub(super) fn loose(rows: &[Row<'_>], plain: &PlainFrame) {
    let mut touched: Vec<bool> = plain
        .frame
        .nodes
        .iter()
        .map(|n| n.held[..3].iter().all(|h| *h) || n.ground.iter().any(|k| *k > 0.0))
        .collect();
    let mut touch = |node: NodeId| touched[node.0] = true;
    for bar in &plain.frame.bars {
        touch(bar.from);
        touch(bar.to);
    }
    plain.frame.links.iter().flat_map(|link| link.nodes).for_each(&mut touch);
    for fold in &plain.frame.folds {
        fold.hinge.into_iter().for_each(&mut touch);
        fold.wings.iter().flatten().for_each(|(node, _)| touch(*node));
    }
    for (row, touched) in rows.iter().zip(&touched) {
        if !touched {
            let message = format!("joint {:?} is in the air: no bar or spring reaches it", row.text("joint"));
            row.fault("loose-joint", "joint", message, "join it to a bar, hold it, or take the row out");
        }
    }
}

/// Joints at the same place that no spring joins: nearly always a slip.
pub(super) fn twins(rows: &[Row<'_>], plain: &PlainFrame) {
    let nodes = &plain.frame.nodes;
    let size = nodes.iter().map(|node| node.at.amax()).fold(0.0, f64::max);
    let mut order: Vec<usize> = (0..nodes.len()).collect();
    order.sort_by(|a, b| nodes[*a].at.x.total_cmp(&nodes[*b].at.x).then(a.cmp(b)));
    for (position, a) in order.iter().enumerate() {
        for b in &order[position + 1..] {
            if nodes[*b].at.x - nodes[*a].at.x > 1e-9 * size {
                break;
            }
            if (nodes[*a].at - nodes[*b].at).norm() > 1e-9 * size {
                continue;
            }
            let ends = [[NodeId(*a), NodeId(*b)], [NodeId(*b), NodeId(*a)]];
            if !plain.frame.links.iter().any(|link| ends.contains(&link.nodes)) {
                let (first, second) = (*a.min(b), *a.max(b));
                let message = format!(
                    "joint {:?} is at the same place as joint {:?}",
                    plain.joints[second], plain.joints[first]
                );
                let help = "use one joint, or join the two with a row in a sheet of springs";
                rows[second].fault("twin", "joint", message, help);
            }
        }
    }
}
