//! What a frame must be before anything is made of it: every number finite and in its range, every node known.

use crate::frame::error::FrameError;
use crate::frame::{Frame, NodeId, bar};

#[inline]
fn check_number(
    ok: bool,
    what: &'static str,
    index: usize,
    quantity: &'static str,
    value: f64,
    must: &'static str,
) -> Result<(), FrameError> {
    if ok { Ok(()) } else { Err(FrameError::BadNumber { what, index, quantity, value, must }) }
}

fn check_node(frame: &Frame, what: &'static str, index: usize, node: NodeId) -> Result<(), FrameError> {
    let count = frame.nodes.len();
    if node.0 < count { Ok(()) } else { Err(FrameError::UnknownNode { what, index, node, count }) }
}

/// Every number of a frame finite and in its range, every node known.
pub(super) fn check(frame: &Frame) -> Result<(), FrameError> {
    for (index, node) in frame.nodes.iter().enumerate() {
        for value in node.at.iter() {
            check_number(value.is_finite(), "node", index, "a coordinate", *value, "finite")?;
        }
        for value in node.ground {
            check_number(
                value.is_finite() && value >= 0.0,
                "node",
                index,
                "a spring to ground",
                value,
                "finite and not negative",
            )?;
        }
    }
    for (index, bar) in frame.bars.iter().enumerate() {
        check_node(frame, "bar", index, bar.from)?;
        check_node(frame, "bar", index, bar.to)?;
        let s = &bar.section;
        for (quantity, value, may_be_zero) in [
            ("area", s.area, false),
            ("second moment about y", s.second_moment_y, true),
            ("second moment about z", s.second_moment_z, true),
            ("torsion constant", s.torsion, true),
            ("Young's modulus", s.elastic, false),
            ("shear modulus", s.shear, true),
            ("mass", s.mass, true),
        ] {
            let must = if may_be_zero { "finite and not negative" } else { "finite and above zero" };
            check_number(
                value.is_finite() && (value > 0.0 || (may_be_zero && value >= 0.0)),
                "bar",
                index,
                quantity,
                value,
                must,
            )?;
        }
        for value in bar.ends.iter().flat_map(bar::end_springs) {
            check_number(
                value >= 0.0,
                "bar",
                index,
                "an end spring",
                value,
                "zero or more, infinite for rigid",
            )?;
        }
        check_number(bar.up.iter().all(|v| v.is_finite()), "bar", index, "`up`", bar.up.x, "finite")?;
    }
    for (index, link) in frame.links.iter().enumerate() {
        for node in link.nodes {
            check_node(frame, "link", index, node)?;
        }
        if link.nodes[0] == link.nodes[1] {
            return Err(FrameError::Degenerate { what: "link", index, reason: "it joins a node to itself" });
        }
        for value in link.stiffness {
            check_number(
                value.is_finite() && value >= 0.0,
                "link",
                index,
                "stiffness",
                value,
                "finite and not negative",
            )?;
        }
    }
    for (index, fold) in frame.folds.iter().enumerate() {
        for node in fold.hinge {
            check_node(frame, "fold", index, node)?;
        }
        for wing in &fold.wings {
            for (node, weight) in wing {
                check_node(frame, "fold", index, *node)?;
                check_number(weight.is_finite(), "fold", index, "a wing's weight", *weight, "finite")?;
            }
            let sum: f64 = wing.iter().map(|(_, weight)| weight).sum();
            check_number((sum - 1.0).abs() <= 1e-9, "fold", index, "the sum of a wing's weights", sum, "1")?;
        }
        check_number(
            fold.stiffness.is_finite() && fold.stiffness >= 0.0,
            "fold",
            index,
            "stiffness",
            fold.stiffness,
            "finite and not negative",
        )?;
    }
    Ok(())
}
