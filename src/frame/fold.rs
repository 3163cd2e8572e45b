//! The fold between two panels: its angle, and how the angle changes with the nodes.
//!
//! The gradient follows from plane geometry: a wing that rises by w, at distance d from the hinge,
//! turns by w/d. It is checked against finite differences of the angle in the tests. Bar-and-hinge
//! models of folded plates use the same quantity.

use crate::frame::error::FrameError;
use crate::frame::{Fold, Frame, NodeId};
use crate::vector::Vec3;

/// The four points of a fold: hinge start, hinge end, left wing, right wing.
fn points(fold: &Fold, at: impl Fn(NodeId) -> Vec3) -> [Vec3; 4] {
    let wing = |side: usize| fold.wings[side].iter().map(|(node, weight)| at(*node) * *weight).sum::<Vec3>();
    [at(fold.hinge[0]), at(fold.hinge[1]), wing(0), wing(1)]
}

/// Fold angle \[rad\] with every node at `at`: positive where convex.
#[must_use]
pub fn angle(fold: &Fold, at: impl Fn(NodeId) -> Vec3) -> f64 {
    let [start, end, left, right] = points(fold, at);
    let hinge = end - start;
    let (n_left, n_right) = (hinge.cross(&(left - start)), (right - start).cross(&hinge));
    f64::atan2(hinge.normalize().dot(&n_left.cross(&n_right)), n_left.dot(&n_right))
}

/// Rate of the fold angle with each node's position \[rad/m\], one entry a node, in order of node.
///
/// # Errors
/// [`FrameError::Degenerate`] where the hinge has no length or a wing lies on it.
pub fn gradient(frame: &Frame, index: usize) -> Result<Vec<(NodeId, Vec3)>, FrameError> {
    let at = |node: NodeId| frame.nodes[node.0].at;
    let bad = |reason| FrameError::Degenerate { what: "fold", index, reason };
    let [mut entries, right] = by_panel(&frame.folds[index], at).map_err(bad)?;
    entries.extend(right);
    entries.sort_by_key(|entry| entry.0);
    let mut merged: Vec<(NodeId, Vec3)> = Vec::with_capacity(entries.len());
    for (node, part) in entries {
        match merged.last_mut() {
            Some(last) if last.0 == node => last.1 += part,
            _ => merged.push((node, part)),
        }
    }
    Ok(merged)
}

/// Rates of the fold angle with each node's position as a corner of one panel and of the other \[rad/m\]: in balance by themselves but
/// for a turn about the hinge. A node may come more than once.
///
/// # Errors
/// Why there are none: the hinge has no length, or a wing lies on it.
pub fn by_panel(fold: &Fold, at: impl Fn(NodeId) -> Vec3) -> Result<[Vec<(NodeId, Vec3)>; 2], &'static str> {
    let [start, end, left, right] = points(fold, at);
    let hinge = end - start;
    let length = hinge.norm();
    let size = length.max((left - start).norm()).max((right - start).norm());
    if !length.is_finite() || length <= 1e-9 * size {
        return Err("the two nodes of its hinge coincide");
    }
    let along = hinge / length;
    let side = |wing: Vec3, nodes: &[(NodeId, f64)], sign: f64| {
        let reach = wing - start;
        // The foot of the wing on the hinge, and the unit outward normal over its distance from it.
        let foot = reach.dot(&along) / length;
        let out = along.cross(&reach) * sign;
        let distance = out.norm();
        if !distance.is_finite() || distance <= 1e-9 * size {
            return Err("the far point of a panel lies on the hinge");
        }
        let rises = out / (distance * distance);
        let mut entries = vec![(fold.hinge[0], rises * (1.0 - foot)), (fold.hinge[1], rises * foot)];
        entries.extend(nodes.iter().map(|(node, weight)| (*node, -rises * *weight)));
        Ok(entries)
    };
    Ok([side(left, &fold.wings[0], 1.0)?, side(right, &fold.wings[1], -1.0)?])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::frame::Node;

    fn frame() -> Frame {
        let node = |x, y, z| Node { at: Vec3::new(x, y, z), held: [false; 6], ground: [0.0; 6] };
        Frame {
            nodes: vec![
                node(0.1, 0.0, 0.2),
                node(0.0, 2.0, 0.1),
                node(-1.1, 0.7, -0.4),
                node(1.3, 1.2, -0.3),
                node(1.6, 0.3, -0.5),
            ],
            folds: vec![Fold {
                hinge: [NodeId(0), NodeId(1)],
                // The right panel is a quadrilateral; its far point leans on a hinge node as well.
                wings: [vec![(NodeId(2), 1.0)], vec![(NodeId(3), 0.5), (NodeId(4), 0.6), (NodeId(0), -0.1)]],
                stiffness: 1.0,
            }],
            ..Frame::default()
        }
    }

    #[test]
    fn a_roof_is_convex_and_a_gutter_is_not() {
        let mut frame = frame();
        let now = |frame: &Frame| angle(&frame.folds[0], |node| frame.nodes[node.0].at);
        assert!(now(&frame) > 0.1);
        for wing in 2..5 {
            frame.nodes[wing].at.z += 1.5;
        }
        assert!(now(&frame) < -0.1);
    }

    #[test]
    fn gradient_agrees_with_finite_differences() {
        let right = frame();
        // The other panel as the one of several nodes.
        let mut left = frame();
        left.folds[0].wings[0] = vec![(NodeId(2), 0.7), (NodeId(0), 0.3)];
        for frame in [right, left] {
            gradient_agrees(&frame);
        }
    }

    fn gradient_agrees(frame: &Frame) {
        let gradient = gradient(frame, 0).unwrap();
        assert_eq!(gradient.len(), 5);
        let h = 1e-6;
        for (node, rate) in gradient {
            for axis in 0..3 {
                let moved = |by: f64| {
                    angle(&frame.folds[0], |n| {
                        let mut at = frame.nodes[n.0].at;
                        if n == node {
                            at[axis] += by;
                        }
                        at
                    })
                };
                let difference = (moved(h) - moved(-h)) / (2.0 * h);
                assert!(
                    (difference - rate[axis]).abs() < 1e-8,
                    "{node:?} {axis}: {difference} {}",
                    rate[axis]
                );
            }
        }
    }

    #[test]
    fn a_panel_without_width_is_refused() {
        let mut frame = frame();
        frame.nodes[2].at = (frame.nodes[0].at + frame.nodes[1].at) * 0.5;
        assert!(matches!(gradient(&frame, 0), Err(FrameError::Degenerate { what: "fold", index: 0, .. })));
        // Nor has a hinge without length.
        frame.nodes[1].at = frame.nodes[0].at;
        let fault = gradient(&frame, 0).unwrap_err();
        assert!(matches!(fault, FrameError::Degenerate { reason, .. } if reason.contains("hinge coincide")));
    }
}
