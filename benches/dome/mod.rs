//! The frames that the solver is measured on: class I geodesic hemispheres, vertex up, feet on the equator.
//!
//! Struts of 1.1 m on average, 47 × 97 mm, E = 11e9 Pa, G = 0.69e9 Pa, the depth along the radius, rigid joints;
//! the joints on the equator held altogether. The load is 1 kN/m² of the surface, straight down.

use std::collections::BTreeMap;
use std::f64::consts::TAU;

use strutwise_frame::vector::Vec3;
use strutwise_frame::{Bar, BarSection, EndFix, Frame, FrameLoads, Node, NodeId};

/// Frequencies measured: 96 to 121 926 unknowns.
#[allow(dead_code, reason = "one of the two benchmarks is told its frequency")]
pub const FREQUENCIES: [usize; 6] = [2, 4, 8, 16, 32, 64];
/// Load cases solved together.
pub const CASES: usize = 24;

/// The frame of a frequency.
pub fn frame(frequency: usize) -> Frame {
    let (places, pairs) = hemisphere(frequency);
    let mean = pairs.iter().map(|(a, b)| (places[*a] - places[*b]).norm()).sum::<f64>() / pairs.len() as f64;
    let radius = 1.1 / mean;
    let (breadth, depth) = (0.047_f64, 0.097_f64);
    let section = BarSection {
        area: breadth * depth,
        second_moment_y: breadth * depth.powi(3) / 12.0,
        second_moment_z: depth * breadth.powi(3) / 12.0,
        torsion: 0.23 * depth * breadth.powi(3),
        elastic: 11e9,
        shear: 0.69e9,
        mass: 420.0 * breadth * depth,
    };
    let nodes = places
        .iter()
        .map(|p| Node { at: *p * radius, held: [p.z < 1e-9; 6], ground: [0.0; 6] })
        .collect::<Vec<_>>();
    let bars = pairs
        .iter()
        .map(|(a, b)| Bar {
            from: NodeId(*a),
            to: NodeId(*b),
            section,
            up: places[*a] + places[*b],
            ends: [EndFix::Rigid; 2],
        })
        .collect();
    Frame { nodes, bars, ..Frame::default() }
}

/// The load, shared by the surface of the hemisphere over its joints.
pub fn load(frame: &Frame) -> FrameLoads {
    let free: Vec<usize> = (0..frame.nodes.len()).filter(|n| !frame.nodes[*n].held[0]).collect();
    let each = -1e3 * TAU * frame.nodes[0].at.norm_squared() / frame.nodes.len() as f64;
    let nodes = free.iter().map(|n| (NodeId(*n), [0.0, 0.0, each, 0.0, 0.0, 0.0])).collect();
    FrameLoads { nodes, ..FrameLoads::default() }
}

/// Joints and struts of a hemisphere of radius 1.
fn hemisphere(frequency: usize) -> (Vec<Vec3>, Vec<(usize, usize)>) {
    let (z, r) = (1.0 / 5.0_f64.sqrt(), 2.0 / 5.0_f64.sqrt());
    let mut corners = vec![Vec3::new(0.0, 0.0, 1.0)];
    for ring in 0..2 {
        for i in 0..5 {
            let angle = TAU * (f64::from(i) + 0.5 * f64::from(ring)) / 5.0;
            corners.push(Vec3::new(r * angle.cos(), r * angle.sin(), if ring == 0 { z } else { -z }));
        }
    }
    corners.push(Vec3::new(0.0, 0.0, -1.0));
    let mut faces = Vec::new();
    for i in 0..5 {
        let j = (i + 1) % 5;
        faces.extend([[0, 1 + i, 1 + j], [1 + i, 6 + i, 1 + j], [6 + i, 6 + j, 1 + j], [11, 6 + j, 6 + i]]);
    }
    let mut known: BTreeMap<[i64; 3], usize> = BTreeMap::new();
    let mut places: Vec<Vec3> = Vec::new();
    let mut pairs = Vec::new();
    let f = frequency as f64;
    for face in faces {
        let [a, b, c] = face.map(|i: usize| corners[i]);
        let mut index = |i: usize, j: usize| {
            let (i, j) = (i as f64, j as f64);
            let at = ((a * (f - i - j) + b * i + c * j) / f).normalize();
            // Joints lie no nearer than 0.01 of the radius: a grid a thousand times finer, set off from zero.
            let key = [at.x, at.y, at.z].map(|v| (v * 1e5 + 0.319).round() as i64);
            *known.entry(key).or_insert_with(|| {
                places.push(at);
                places.len() - 1
            })
        };
        for i in 0..frequency {
            for j in 0..frequency - i {
                let corner = [index(i, j), index(i + 1, j), index(i, j + 1)];
                for k in 0..3 {
                    let (p, q) = (corner[k], corner[(k + 1) % 3]);
                    pairs.push((p.min(q), p.max(q)));
                }
            }
        }
    }
    pairs.sort_unstable();
    pairs.dedup();
    let keep: Vec<usize> = (0..places.len()).filter(|i| places[*i].z > -1e-9).collect();
    let pairs = pairs
        .iter()
        .filter_map(|(a, b)| Some((keep.binary_search(a).ok()?, keep.binary_search(b).ok()?)))
        .collect();
    (keep.iter().map(|i| places[*i]).collect(), pairs)
}
