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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::frame::EndFix;
    use crate::frame::linear::tests::frame;

    /// Every number out of its range is refused by its name, and what is at the edge of its range is not.
    #[test]
    fn numbers_out_of_their_range_are_refused() {
        type Place = (&'static str, &'static dyn Fn(&mut Frame, f64), bool);
        let places: &[Place] = &[
            ("a spring to ground", &|f, v| f.nodes[1].ground[4] = v, true),
            ("area", &|f, v| f.bars[0].section.area = v, false),
            ("second moment about y", &|f, v| f.bars[0].section.second_moment_y = v, true),
            ("second moment about z", &|f, v| f.bars[0].section.second_moment_z = v, true),
            ("torsion constant", &|f, v| f.bars[0].section.torsion = v, true),
            ("Young's modulus", &|f, v| f.bars[0].section.elastic = v, false),
            ("shear modulus", &|f, v| f.bars[0].section.shear = v, true),
            ("mass", &|f, v| f.bars[0].section.mass = v, true),
            ("stiffness", &|f, v| f.links[0].stiffness[3] = v, true),
            ("stiffness", &|f, v| f.folds[0].stiffness = v, true),
        ];
        assert_eq!(check(&frame()), Ok(()));
        for (name, put, may_be_zero) in places {
            let with = |value: f64| {
                let mut frame = frame();
                put(&mut frame, value);
                check(&frame)
            };
            for bad in [-1.0, -f64::MIN_POSITIVE, f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
                let fault = with(bad).unwrap_err();
                assert!(
                    matches!(fault, FrameError::BadNumber { quantity, .. } if quantity == *name),
                    "{name} {bad}: {fault:?}"
                );
            }
            assert_eq!(with(0.0).is_ok(), *may_be_zero, "{name}");
            assert_eq!(with(1.0), Ok(()), "{name}");
        }
        // An end spring may be infinite, nothing else.
        for (value, good) in
            [(f64::INFINITY, true), (0.0, true), (5.0, true), (-1.0, false), (f64::NAN, false)]
        {
            let mut frame = frame();
            frame.bars[0].ends[1] = EndFix::Springs([1.0, value, 1.0]);
            assert_eq!(check(&frame).is_ok(), good, "{value}");
        }
        for (axis, value) in [(0, f64::NAN), (1, f64::INFINITY), (2, f64::NEG_INFINITY)] {
            let (mut at, mut up) = (frame(), frame());
            at.nodes[2].at[axis] = value;
            up.bars[1].up[axis] = value;
            for frame in [at, up] {
                assert!(matches!(check(&frame), Err(FrameError::BadNumber { .. })));
            }
        }
    }

    #[test]
    fn wings_weigh_one_and_links_join_two() {
        for (weights, good) in [([0.25, 0.75], true), ([0.25, 0.7], false), ([f64::NAN, 0.5], false)] {
            let mut frame = frame();
            frame.folds[0].wings[0] = vec![(NodeId(5), weights[0]), (NodeId(6), weights[1])];
            assert_eq!(check(&frame).is_ok(), good);
        }
        // A node that there is none of, by one.
        let unknown = NodeId(frame().nodes.len());
        for what in ["bar", "link", "fold"] {
            for place in 0..if what == "fold" { 3 } else { 2 } {
                let mut frame = frame();
                match (what, place) {
                    ("bar", 0) => frame.bars[1].from = unknown,
                    ("bar", _) => frame.bars[1].to = unknown,
                    ("link", place) => frame.links[0].nodes[place] = unknown,
                    (_, 2) => frame.folds[0].wings[1] = vec![(unknown, 1.0)],
                    (_, place) => frame.folds[0].hinge[place] = unknown,
                }
                let fault = check(&frame).unwrap_err();
                assert!(
                    matches!(fault, FrameError::UnknownNode { what: of, node, .. } if of == what && node == unknown),
                    "{fault:?}"
                );
            }
        }
        let mut frame = frame();
        frame.links[0].nodes[1] = frame.links[0].nodes[0];
        assert!(matches!(check(&frame), Err(FrameError::Degenerate { what: "link", .. })));
    }
}
