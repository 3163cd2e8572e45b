//! Cutting a net at a level plane.

use crate::shell::ShellError;
use crate::shell::net::{Edge, Net, area_vector, edge, sides};
use std::collections::BTreeMap;

/// A cut that passes this near to a joint, as a share of the size, goes through the joint: 2 mm in a
/// metre, about what a saw and a wet timber hold (common practice, no source).
pub(crate) const SNAP: f64 = 2e-3;

/// Below this share of the size a distance is rounding and nothing is said about it.
const ROUNDING: f64 = 1e-9;

/// A net that stands on z = 0, what became of the plane, and what is to be said.
#[derive(Debug)]
pub(crate) struct Cut {
    pub(crate) net: Net,
    /// Height of the plane that was cut at, in the axes before the cut \[m\].
    pub(crate) height: f64,
    pub(crate) remarks: Vec<String>,
}

/// Cuts at z = `height`, keeps what is above, and moves it so that the plane is z = 0.
///
/// `size` \[m\] is the length that tolerances are shares of. A joint within [`SNAP`] of the plane would
/// leave slivers, so the plane is moved to it; where such joints have several heights they are moved to
/// the plane instead, straight up or down. Both are said. Panels that lie in the plane are ground, not
/// shell, and go.
pub(crate) fn cut(net: &Net, height: f64, size: f64) -> Result<Cut, ShellError> {
    if !height.is_finite() {
        return Err(ShellError::NotANumber { what: "base", value: height });
    }
    let top = net.points.iter().map(|at| at.z).fold(f64::NEG_INFINITY, f64::max);
    let bottom = net.points.iter().map(|at| at.z).fold(f64::INFINITY, f64::min);
    if top <= height + SNAP * size {
        return Err(ShellError::BaseTooHigh { base: height, top });
    }
    if bottom > height + SNAP * size {
        return Err(ShellError::BaseTooLow { base: height, bottom });
    }
    let mut remarks = Vec::new();
    let plane = plane_through_near_joints(net, height, size, &mut remarks);
    let above = heights_above(net, plane, size, &mut remarks);

    let mut points = net.points.clone();
    for (at, &rise) in points.iter_mut().zip(&above) {
        at.z = rise;
    }
    let mut left = Net { points, panels: Vec::new(), bars: Vec::new() };
    let mut cuts: BTreeMap<Edge, usize> = BTreeMap::new();
    for corners in &net.panels {
        if corners.iter().all(|&corner| above[corner] <= 0.0) {
            continue;
        }
        let mut kept = Vec::with_capacity(corners.len() + 1);
        for (a, b) in sides(corners) {
            if above[a] >= 0.0 {
                kept.push(a);
            }
            if above[a] * above[b] < 0.0 {
                kept.push(*cuts.entry(edge(a, b)).or_insert_with(|| {
                    // From the upper end always, so that mirrored edges are cut in mirrored points.
                    let (up, down) = if above[a] > 0.0 { (a, b) } else { (b, a) };
                    let share = above[up] / (above[up] - above[down]);
                    let mut at = left.points[up] + (left.points[down] - left.points[up]) * share;
                    at.z = 0.0;
                    left.points.push(at);
                    left.points.len() - 1
                }));
            }
        }
        left.panels.push(kept);
    }
    left.drop_unused();
    if let Some(smallest) = smallest_height(&left).filter(|&smallest| smallest < 0.02 * size) {
        remarks.push(format!(
            "the cut leaves panels as little as {:.0} mm high: a base plane a little higher or lower would \
             spare the workshop those",
            smallest * 1e3
        ));
    }
    Ok(Cut { net: left, height: plane, remarks })
}

/// The plane, moved to the joints that it passes close to if those all have one height.
fn plane_through_near_joints(net: &Net, height: f64, size: f64, remarks: &mut Vec<String>) -> f64 {
    let near = || net.points.iter().map(|at| at.z).filter(|z| (z - height).abs() < SNAP * size);
    let low = near().fold(f64::INFINITY, f64::min);
    let high = near().fold(f64::NEG_INFINITY, f64::max);
    if low > high || high - low > ROUNDING * size {
        return height;
    }
    let level = 0.5 * (low + high);
    if (level - height).abs() > ROUNDING * size {
        remarks.push(format!(
            "the base plane was moved {:.1} mm {}, on to the joints that it nearly met, so that no slivers are \
             left (closer than {:.1} mm counts as met)",
            (level - height).abs() * 1e3,
            if level > height { "up" } else { "down" },
            SNAP * size * 1e3
        ));
    }
    level
}

/// Heights above the plane, 0 for joints that the plane nearly meets.
fn heights_above(net: &Net, plane: f64, size: f64, remarks: &mut Vec<String>) -> Vec<f64> {
    let (mut moved, mut most) = (0, 0.0_f64);
    let mut above = Vec::with_capacity(net.points.len());
    for at in &net.points {
        let rise = at.z - plane;
        if rise.abs() >= SNAP * size {
            above.push(rise);
            continue;
        }
        above.push(0.0);
        if rise.abs() > ROUNDING * size {
            moved += 1;
            most = most.max(rise.abs());
        }
    }
    if moved > 0 {
        remarks.push(format!(
            "{moved} joints lay within {:.1} mm of the base plane and were moved to it, by {:.1} mm at most, so \
             that no slivers are left",
            SNAP * size * 1e3,
            most * 1e3
        ));
    }
    above
}

/// The smallest altitude of any panel: twice its area over its longest side \[m\].
fn smallest_height(net: &Net) -> Option<f64> {
    net.panels
        .iter()
        .map(|corners| {
            let longest = sides(corners)
                .map(|(a, b)| (net.points[b] - net.points[a]).norm())
                .fold(f64::MIN_POSITIVE, f64::max);
            let share = if corners.len() == 3 { 2.0 } else { 1.0 };
            share * area_vector(&net.points, corners).norm() / longest
        })
        .reduce(f64::min)
}
