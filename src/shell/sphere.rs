//! Class I icosahedral spheres: every face divided into f² flat triangles, their corners then pushed
//! out to the sphere ("method 1").

use crate::shell::ShellError;
use crate::shell::ask::{MOST_DIVISIONS, Up};
use crate::shell::net::Net;
use crate::vector::{Mat3, Vec3};
use std::collections::BTreeMap;

/// The whole sphere of `radius` \[m\] about the origin, with what is asked uppermost.
///
/// y = 0 is a mirror plane of every orientation; edge uppermost has x = 0 as well (its uppermost edge
/// lies along y).
pub(crate) fn sphere(radius: f64, frequency: usize, up: Up) -> Result<Net, ShellError> {
    let turn = match up {
        // The vertex and edge frames hold one of the vertices next to the top in the plane y = 0.
        Up::Vertex => upright(corners()[0], corners()[8]),
        Up::Edge => Mat3::identity(),
        Up::Face => {
            let face = faces()[0];
            upright(face.iter().map(|&corner| corners()[corner]).sum(), corners()[face[0]])
        }
    };
    turned_sphere(radius, frequency, &turn)
}

/// The sphere of a tunnel: edge uppermost and a five-fold axis along x, so that for an even frequency
/// the plane x = 0 cuts it along whole edges.
pub(crate) fn sphere_along_x(radius: f64, frequency: usize) -> Result<Net, ShellError> {
    let axis = corners()[4].normalize();
    let turn =
        Mat3::from_rows(&[axis.transpose(), Vec3::z().cross(&axis).transpose(), Vec3::z().transpose()]);
    turned_sphere(radius, frequency, &turn)
}

fn turned_sphere(radius: f64, frequency: usize, turn: &Mat3) -> Result<Net, ShellError> {
    if !radius.is_finite() || radius <= 0.0 {
        return Err(ShellError::NotPositive { what: "radius", value: radius });
    }
    if frequency == 0 || frequency > MOST_DIVISIONS {
        return Err(ShellError::Count {
            what: "frequency",
            value: frequency,
            least: 1,
            most: MOST_DIVISIONS,
        });
    }
    let corners = corners();
    let mut net = Net::default();
    // A point is known by the corners that it is a mean of and their weights, so that neighbouring
    // faces share it without any comparing of numbers.
    let mut known: BTreeMap<Vec<(usize, usize)>, usize> = BTreeMap::new();
    for face in faces() {
        let mut at = |i: usize, j: usize| {
            let mut weights: Vec<(usize, usize)> = [(face[0], frequency - i - j), (face[1], i), (face[2], j)]
                .into_iter()
                .filter(|&(_, weight)| weight > 0)
                .collect();
            weights.sort_unstable();
            *known.entry(weights).or_insert_with_key(|weights| {
                let sum: Vec3 = weights.iter().map(|&(corner, weight)| corners[corner] * weight as f64).sum();
                net.points.push(without_noise(turn * sum.normalize() * radius, radius));
                net.points.len() - 1
            })
        };
        let mut triangles = Vec::new();
        for i in 0..frequency {
            for j in 0..frequency - i {
                triangles.push(vec![at(i, j), at(i + 1, j), at(i, j + 1)]);
                if i + j + 2 <= frequency {
                    triangles.push(vec![at(i + 1, j), at(i + 1, j + 1), at(i, j + 1)]);
                }
            }
        }
        net.panels.append(&mut triangles);
    }
    Ok(net)
}

/// Puts 0 for coordinates that are 0 but for rounding.
pub(crate) fn without_noise(at: Vec3, size: f64) -> Vec3 {
    at.map(|value| if value.abs() < 1e-13 * size { 0.0 } else { value })
}

/// The rotation that takes `top` to z and keeps `front` in the half-plane x > 0, y = 0.
fn upright(top: Vec3, front: Vec3) -> Mat3 {
    let z = top.normalize();
    let x = (front - z * z.dot(&front)).normalize();
    Mat3::from_rows(&[x.transpose(), z.cross(&x).transpose(), z.transpose()])
}

/// Corners of an icosahedron of edge 2 whose coordinate planes are mirror planes and whose uppermost
/// edge runs along y.
fn corners() -> [Vec3; 12] {
    let phi = 0.5 * (1.0 + 5.0_f64.sqrt());
    [
        Vec3::new(0.0, 1.0, phi),
        Vec3::new(0.0, -1.0, phi),
        Vec3::new(0.0, 1.0, -phi),
        Vec3::new(0.0, -1.0, -phi),
        Vec3::new(1.0, phi, 0.0),
        Vec3::new(-1.0, phi, 0.0),
        Vec3::new(1.0, -phi, 0.0),
        Vec3::new(-1.0, -phi, 0.0),
        Vec3::new(phi, 0.0, 1.0),
        Vec3::new(-phi, 0.0, 1.0),
        Vec3::new(phi, 0.0, -1.0),
        Vec3::new(-phi, 0.0, -1.0),
    ]
}

/// The twenty faces, anticlockwise seen from outside: the triples of corners that lie 2 apart.
fn faces() -> Vec<[usize; 3]> {
    let at = corners();
    let near = |a: usize, b: usize| ((at[a] - at[b]).norm() - 2.0).abs() < 1e-9;
    let mut faces = Vec::with_capacity(20);
    for a in 0..12 {
        for b in a + 1..12 {
            for c in b + 1..12 {
                if near(a, b) && near(b, c) && near(a, c) {
                    let out = (at[b] - at[a]).cross(&(at[c] - at[a])).dot(&at[a]) > 0.0;
                    faces.push(if out { [a, b, c] } else { [a, c, b] });
                }
            }
        }
    }
    faces
}
