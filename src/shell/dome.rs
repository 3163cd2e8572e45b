//! A sphere cut by the base plane.

use crate::shell::ask::Up;
use crate::shell::build::Made;
use crate::shell::clip::cut;
use crate::shell::net::Net;
use crate::shell::sphere::sphere;
use crate::shell::{Outline, Shape, ShellError};
use crate::vector::Vec3;

/// A dome of `radius` \[m\] on a plane `base` \[m\] above the sphere's centre.
pub(crate) fn dome(radius: f64, frequency: usize, up: Up, base: f64) -> Result<Made, ShellError> {
    dome_of(&sphere(radius, frequency, up)?, radius, base)
}

/// A dome from a sphere that stands ready.
pub(crate) fn dome_of(sphere: &Net, radius: f64, base: f64) -> Result<Made, ShellError> {
    let cut = cut(sphere, base, radius)?;
    let ring = ring_radius(radius, cut.height);
    let outline = Outline {
        shape: Shape::Dome,
        span: 2.0 * ring,
        rise: radius - cut.height,
        length: 2.0 * widest(radius, cut.height),
        centre: Vec3::zeros(),
        barrel: None,
        domed_ends: [false; 2],
        profile: arc(radius, cut.height),
        radius: Some(radius),
    };
    Ok(Made { net: cut.net, outline, remarks: cut.remarks, own: None })
}

/// Radius of the circle in which a plane at `height` above the centre cuts a sphere \[m\].
pub(crate) fn ring_radius(radius: f64, height: f64) -> f64 {
    (radius * radius - height * height).max(0.0).sqrt()
}

/// Largest radius in plan of what stands above the plane \[m\].
pub(crate) fn widest(radius: f64, height: f64) -> f64 {
    if height < 0.0 { radius } else { ring_radius(radius, height) }
}

/// Points (y, z) of a circle of `radius` above a plane `height` over its centre, from −y over the crown
/// to +y, z from the plane \[m\].
pub(crate) fn arc(radius: f64, height: f64) -> Vec<[f64; 2]> {
    const PARTS: i32 = 128;
    let half = (height / radius).clamp(-1.0, 1.0).acos();
    (-PARTS / 2..=PARTS / 2)
        .map(|i| {
            let angle = half * f64::from(i) / f64::from(PARTS / 2);
            [radius * angle.sin(), radius * angle.cos() - height]
        })
        .collect()
}
