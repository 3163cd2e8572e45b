//! Joints of a user's own mesh that all but stand on the ground.

use std::collections::BTreeSet;

use crate::shell::mesh::{NEAR, WELD};
use crate::shell::net::Net;

/// A joint of the mesh's edge no higher than this above the lowest foot was probably meant to stand on the ground \[m\] (own choice).
const NEAR_GROUND: f64 = 0.05;

/// So many such joints are named.
const NAMED: usize = 6;

/// What there is to say of joints at the edge of a mesh, stood on z = 0, that are near the ground and no feet.
pub(crate) fn all_but_feet(net: &Net, names: &[String], feet: &[bool]) -> Option<String> {
    let size = net.size();
    let edges = net.edges();
    let rims = edges.iter().filter(|(_, along)| along.len() == 1);
    let on_rims: BTreeSet<usize> = rims.flat_map(|((a, b), _)| [*a, *b]).collect();
    let near = |height: f64| (-WELD * size..=NEAR_GROUND).contains(&height);
    let low: Vec<String> = on_rims
        .into_iter()
        .filter(|&joint| !feet[joint] && near(net.points[joint].z))
        .map(|joint| {
            let at = net.points[joint];
            format!("{} (x {:.3} m, y {:.3} m, {:.1} mm up)", names[joint], at.x, at.y, at.z.abs() * 1e3)
        })
        .collect();
    if low.is_empty() {
        return None;
    }
    let more = match low.len().saturating_sub(NAMED) {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    let (joints, are, them) =
        if low.len() == 1 { ("joint", "is no foot", "it") } else { ("joints", "are no feet", "them") };
    Some(format!(
        "{joints} at the edge of the mesh less than {:.0} mm above the lowest foot {are}, and nothing holds {them}: {}{more}. Feet are the joints \
         within {:.1} mm of the lowest, or those that are named as held: level what is meant to stand on the ground",
        NEAR_GROUND * 1e3,
        low[..low.len().min(NAMED)].join("; "),
        NEAR * size * 1e3
    ))
}
