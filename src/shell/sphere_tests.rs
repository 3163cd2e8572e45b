//! Spheres and rings against tables and closed forms.
//!
//! Source: the chord factors of class I icosahedral spheres, "method 1", printed in H. Kenner, *Geodesic
//! Math and How to Use It* (1976), and *Domebook 2* (1971) (from memory), derived again for the project's
//! reference sheet with dihedral angles; lengths to 5e-6 of the radius, angles to 0.001 degree. The
//! rings are closed forms derived there, to 1e-6 degree.

use crate::shell::ask::Up;
use crate::shell::build::bare;
use crate::shell::count::counts;
use crate::shell::sphere::sphere;
use crate::shell::timbers::{Hand, Likeness, panel_kinds, strip_kinds, usual_strips};
use crate::shell::{MemberId, MemberKind, Shell};

/// (length / R, count, dihedral angles in degrees).
type Row = (f64, usize, &'static [f64]);

const TABLES: [(usize, &[Row]); 6] = [
    (1, &[(1.05146, 30, &[138.190])]),
    (2, &[(0.54653, 60, &[157.541]), (0.61803, 60, &[161.971])]),
    (3, &[(0.34862, 60, &[165.565]), (0.40355, 90, &[165.542, 168.641]), (0.41241, 120, &[166.421])]),
    (
        4,
        &[
            (0.25318, 60, &[169.490]),
            (0.29453, 120, &[169.617]),
            (0.29524, 60, &[172.198]),
            (0.29859, 60, &[169.506]),
            (0.31287, 120, &[169.982]),
            (0.32492, 60, &[169.642]),
        ],
    ),
    (
        6,
        &[
            (0.16257, 60, &[173.241]),
            (0.18191, 120, &[173.171]),
            (0.18738, 60, &[173.255]),
            (0.19048, 60, &[175.412]),
            (0.19801, 120, &[172.857]),
            (0.20282, 180, &[173.318, 174.132]),
            (0.20591, 240, &[173.179]),
            (0.21535, 120, &[173.203]),
            (0.21663, 120, &[172.843]),
        ],
    ),
    (
        8,
        &[
            (0.11946, 60, &[175.030]),
            (0.13033, 120, &[174.966]),
            (0.13424, 60, &[175.038]),
            (0.14018, 60, &[176.808]),
            (0.14056, 120, &[174.680]),
            (0.14548, 120, &[174.969]),
            (0.14628, 60, &[175.083]),
            (0.14803, 120, &[176.051]),
            (0.14862, 120, &[174.618]),
            (0.15267, 120, &[175.355]),
            (0.15296, 120, &[174.846]),
            (0.15315, 60, &[175.124]),
            (0.15477, 120, &[174.657]),
            (0.15636, 120, &[174.998]),
            (0.15639, 60, &[175.383]),
            (0.16033, 120, &[174.605]),
            (0.16036, 60, &[175.014]),
            (0.16088, 120, &[174.863]),
            (0.16300, 120, &[174.658]),
            (0.16465, 60, &[174.606]),
        ],
    ),
];

fn whole(frequency: usize, up: Up) -> Shell {
    bare(sphere(1.0, frequency, up).unwrap())
}

#[test]
fn chord_factors_and_dihedral_angles_are_those_of_the_tables() {
    for (frequency, rows) in TABLES {
        let shell = whole(frequency, Up::Vertex);
        let mut unclaimed: Vec<MemberId> = (0..shell.members.len()).map(MemberId).collect();
        for &(length, count, dihedrals) in rows {
            let (row, rest): (Vec<_>, Vec<_>) =
                unclaimed.into_iter().partition(|&id| (shell.length(id) - length).abs() <= 5.01e-6);
            unclaimed = rest;
            assert_eq!(row.len(), count, "f{frequency} {length}");
            let mut seen = vec![false; dihedrals.len()];
            for id in row {
                let dihedral = 180.0 - shell.members[id.0].fold.to_degrees();
                let near = dihedrals.iter().position(|printed| (printed - dihedral).abs() <= 1e-3);
                seen[near.unwrap_or_else(|| panic!("f{frequency} {length}: {dihedral}"))] = true;
            }
            assert!(seen.into_iter().all(|one| one), "f{frequency} {length}");
        }
        assert!(unclaimed.is_empty(), "f{frequency}");
    }
}

#[test]
fn whole_spheres_have_their_counts_and_kinds() {
    // Distinct triangles by side lengths: from the same sheet.
    for (frequency, triangles) in [(1, 1), (2, 2), (3, 2), (4, 5), (5, 7), (6, 6), (8, 15)] {
        for up in [Up::Vertex, Up::Edge, Up::Face] {
            let shell = whole(frequency, up);
            let found = counts(&shell);
            let f2 = frequency * frequency;
            assert_eq!((found.joints, found.seams, found.panels), (10 * f2 + 2, 30 * f2, 20 * f2));
            assert_eq!((found.rims, found.boundary_loops, found.euler), (0, 0, 2));
            assert_eq!((found.ridge_seams, found.valley_seams), (30 * f2, 0));
            let kinds = panel_kinds(&shell, Likeness::Shape);
            let shapes = kinds.iter().filter(|kind| kind.hand != Hand::Right).count();
            assert_eq!(shapes, triangles, "f{frequency}");
            assert_eq!(kinds.iter().map(|kind| kind.panels.len()).sum::<usize>(), 20 * f2);
            let strips: usize =
                strip_kinds(&shell, true, |id| usual_strips(&shell, id)).iter().map(|kind| kind.count).sum();
            assert_eq!(strips, 60 * f2);
        }
    }
}

#[test]
fn equal_lengths_with_unlike_bevels_are_different_strips() {
    let shell = whole(3, Up::Vertex);
    let of_length = |bevelled: bool| {
        let kinds = strip_kinds(&shell, bevelled, |id| usual_strips(&shell, id));
        let mut bevels: Vec<i64> = kinds
            .iter()
            .filter(|kind| (kind.between - 0.40355).abs() < 1e-5)
            .map(|kind| (kind.bevel.to_degrees() * 1e4).round() as i64)
            .collect();
        bevels.sort_unstable();
        bevels.dedup();
        bevels.len()
    };
    assert_eq!(of_length(true), 2);
    assert_eq!(of_length(false), 1);
}

#[test]
fn a_staggered_cylinder_has_its_closed_forms() {
    use crate::shell::net::{Net, middle};
    use crate::vector::Vec3;
    use std::f64::consts::{PI, TAU};
    for (n, radius, spacing, ring, diagonal) in [
        (6_usize, 1.000000, 0.855600, 197.798858, 145.221891),
        (8, 1.306563, 0.860296, 193.189036, 153.962383),
        (12, 1.931852, 0.863520, 188.718468, 162.662847),
    ] {
        let exact_radius = 0.5 / (PI / n as f64).sin();
        let exact_spacing = (1.0 - 0.25 / (PI / (2 * n) as f64).cos().powi(2)).sqrt();
        assert!((exact_radius - radius).abs() < 1e-6 && (exact_spacing - spacing).abs() < 1e-6);
        let mut net = Net::default();
        let rings: Vec<Vec<usize>> = (0..5)
            .map(|k| {
                (0..n)
                    .map(|i| {
                        let angle = TAU * (i as f64 + 0.5 * f64::from(k % 2)) / n as f64;
                        let (sin, cos) = angle.sin_cos();
                        net.point(Vec3::new(
                            f64::from(k) * exact_spacing,
                            exact_radius * sin,
                            exact_radius * cos,
                        ))
                    })
                    .collect()
            })
            .collect();
        for (k, pair) in rings.windows(2).enumerate() {
            let [p, q] = if k % 2 == 0 { [&pair[0], &pair[1]] } else { [&pair[1], &pair[0]] };
            for i in 0..n {
                let next = (i + 1) % n;
                for corners in [vec![p[i], p[next], q[i]], vec![q[i], p[next], q[next]]] {
                    let at = middle(&net.points, &corners);
                    net.panel_facing(corners, &Vec3::new(0.0, at.y, at.z));
                }
            }
        }
        let shell = bare(net);
        for (number, member) in shell.members.iter().enumerate() {
            assert!((shell.length(MemberId(number)) - 1.0).abs() < 1e-12);
            if member.kind == MemberKind::Seam {
                let [a, b] = member.joints.map(|joint| shell.at(joint));
                let along_ring = (a.x - b.x).abs() < 1e-9;
                let inside = 180.0 - member.fold.to_degrees();
                let wanted = if along_ring { ring } else { diagonal };
                assert!((inside - wanted).abs() < 1e-6, "n {n}: {inside} for {wanted}");
            }
        }
    }
}
