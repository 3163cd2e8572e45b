//! Random shapes: domes, tunnels, barrels, meshes, with and without openings.

use std::fmt::Write;

use proptest::prelude::*;

use super::written::Written;

type Files = Vec<(String, String)>;

pub(crate) fn shell(written: Written) -> impl Strategy<Value = (String, Files)> {
    let made = prop_oneof![3 => dome(written), 2 => tunnel(written), 3 => barrel(written)];
    // Most have no opening, so that most can be had.
    let made = (made, prop_oneof![3 => Just(String::new()), 1 => opening(written)])
        .prop_map(|(shell, opening)| (shell + &opening, Files::new()));
    prop_oneof![4 => made, 1 => mesh(written)]
}

fn dome(written: Written) -> BoxedStrategy<String> {
    let frequency = prop_oneof![2 => Just(1), 3 => Just(2), 2 => Just(3)];
    (0.8_f64..5.0, frequency, prop::sample::select(vec!["vertex", "edge", "face"]), -0.5_f64..0.6)
        .prop_map(move |(radius, frequency, up, base)| {
            format!(
                "form = \"dome\"\nradius = {}\nfrequency = {frequency}\nup = \"{up}\"\nbase = {:.3}\n",
                written.length(radius),
                base * radius
            )
        })
        .boxed()
}

fn tunnel(written: Written) -> BoxedStrategy<String> {
    let ends = prop::sample::select(vec![
        "",
        "ends = [\"half-dome\", \"open\"]\n",
        "ends = [\"framed\", \"half-dome\"]\nstuds = 1\n",
        "ends = [\"framed\"]\nstuds = 2\nsill = false\n",
    ]);
    (1.0_f64..3.5, 0_usize..4, -0.3_f64..0.3, ends, prop::option::of(0.8_f64..1.3))
        .prop_map(move |(radius, bands, base, ends, spacing)| {
            // Between two half-domes the bands are even; without half-domes there is at least one.
            let bands = if ends.is_empty() { 2 * bands.div_ceil(2) } else { bands.max(1) };
            let mut text = format!(
                "form = \"tunnel\"\nradius = {}\nfrequency = 2\nbands = {bands}\nbase = {:.3}\n{ends}",
                written.length(radius),
                base * radius
            );
            if let Some(times) = spacing {
                let _ = writeln!(text, "spacing = {}", written.length(0.5 * times * radius));
            }
            text
        })
        .boxed()
}

fn barrel(written: Written) -> BoxedStrategy<String> {
    let sizes = (1.5_f64..6.0, 0.2_f64..0.7, 3_usize..7, 1_usize..4, 0.5_f64..1.6);
    let any_barrel = (
        sizes.clone(),
        prop::sample::select(vec!["circular", "elliptical", "pointed", "catenary"]),
        prop::sample::select(vec!["staggered", "plain-left", "plain-right", "plain-crossed"]),
        any::<[bool; 2]>(),
    )
        .prop_map(move |((span, rise, segments, bays, bay), profile, pattern, [framed, plain])| {
            let rise = if profile == "circular" { rise.min(0.5) } else { rise };
            let mut text = format!(
                "form = \"barrel\"\nprofile = \"{profile}\"\nspan = {}\nrise = {}\nsegments = {segments}\n\
                 bays = {bays}\nbay_length = {}\npattern = \"{pattern}\"\n",
                written.length(span),
                written.length(rise * span),
                written.length(bay)
            );
            text += match (framed, plain) {
                (true, true) => "ends = [\"framed\", \"open\"]\nstuds = 0\n",
                (true, false) => {
                    "ends = [\"framed\", \"framed\"]\nstuds = 1\nsill = true\ngable_diagonals = true\n"
                }
                (false, _) => "ends = [\"open\", \"open\"]\n",
            };
            text
        });
    // A half-dome goes on the end of a half circle in steps of 36 degrees.
    let domed = sizes.prop_map(move |(span, _, _, bays, bay)| {
        // As written, so that the rise is half the span and no more.
        let span = (span * 100.0).round() / 100.0;
        format!(
            "form = \"barrel\"\nspan = {span:.2}\nrise = {:.3}\nsegments = 5\nbays = {bays}\nbay_length = {}\n\
             ends = [\"half-dome\", \"open\"]\n",
            0.5 * span,
            written.length(bay)
        )
    });
    prop_oneof![6 => any_barrel, 1 => domed].boxed()
}

/// A door, a box, or panels by name: more than one of a kind now and then.
fn opening(written: Written) -> BoxedStrategy<String> {
    let door = (0.4_f64..1.2, 0.5_f64..1.9, -180_i32..180, 1_usize..4, any::<bool>()).prop_map(
        move |(width, height, facing, strips, sill)| {
            format!(
                "[[shell.opening]]\nwidth = {}\nheight = {}\nfacing_deg = {facing}\nrim_strips = {strips}\n\
                 sill = {sill}\n",
                written.length(width),
                written.length(height)
            )
        },
    );
    let panels = (prop::sample::subsequence(vec!["p1", "p2", "p4", "p7", "p11"], 1..3), any::<bool>())
        .prop_map(|(names, leaf)| format!("[[shell.opening]]\npanels = {names:?}\nleaf = {leaf}\n"));
    // About the middle, where there are panels.
    let inside = (-1.5_f64..-0.2, 0.8_f64..2.5, 1.0_f64..4.0).prop_map(move |(low, wide, high)| {
        format!(
            "[[shell.opening]]\nlow = [{low:.3}, {low:.3}, -1.0]\nhigh = [{:.3}, {:.3}, {high:.3}]\n",
            low + wide,
            low + wide
        )
    });
    let one = prop_oneof![4 => door.clone(), 2 => panels, 1 => inside];
    (one, prop::option::weighted(0.2, door))
        .prop_map(|(one, other)| {
            format!("\n{one}{}", other.map_or(String::new(), |other| format!("\n{other}")))
        })
        .boxed()
}

/// A cap over a polygon: rings of joints, each a little out of place, drawn in another program's units and axes.
fn mesh(written: Written) -> impl Strategy<Value = (String, Files)> {
    (
        (3_usize..8, 1_usize..3, 0.8_f64..4.0, 0.2_f64..0.9),
        prop::collection::vec(-0.06_f64..0.06, 40),
        any::<[bool; 3]>(),
        prop::sample::select(vec![("m", 1.0), ("mm", 1e-3), ("ft", 0.3048)]),
    )
        .prop_map(move |((sides, rings, radius, rise), slips, [y_up, sheets, other_diagonal], unit)| {
            let mut joints: Vec<[f64; 3]> = Vec::new();
            let number = |count: usize| f64::from(u32::try_from(count).unwrap());
            for ring in 0..rings {
                let up = std::f64::consts::FRAC_PI_2 * number(ring) / number(rings);
                for side in 0..sides {
                    let slip = slips[(7 * ring + side) % slips.len()];
                    let turn = std::f64::consts::TAU * (number(side) + 0.5 * number(ring)) / number(sides);
                    let out = radius * up.cos() * (1.0 + slip);
                    joints.push([out * turn.cos(), out * turn.sin(), rise * radius * up.sin()]);
                }
            }
            joints.push([slips[38] * radius, slips[39] * radius, rise * radius]);
            let at = |ring: usize, side: usize| ring * sides + side % sides;
            let mut panels: Vec<[usize; 3]> = Vec::new();
            for side in 0..sides {
                for ring in 1..rings {
                    let [a, b, c, d] =
                        [at(ring - 1, side), at(ring - 1, side + 1), at(ring, side), at(ring, side + 1)];
                    // A ring is turned by half a side, so that the diagonal from b to c is the short one.
                    if other_diagonal && ring % 2 == 1 && side == 0 {
                        panels.extend([[a, b, d], [a, d, c]]);
                    } else {
                        panels.extend([[a, b, c], [b, d, c]]);
                    }
                }
                panels.push([at(rings - 1, side), at(rings - 1, side + 1), joints.len() - 1]);
            }
            let (unit_name, unit) = unit;
            let file: Vec<[f64; 3]> = joints
                .iter()
                .map(|at| if y_up { [at[0], at[2], -at[1]] } else { *at }.map(|v| v / unit))
                .collect();
            let mut text = format!(
                "form = \"mesh\"\nfile_unit = \"1 {unit_name}\"\nfile_up = \"{}\"\n",
                if y_up { "y" } else { "z" }
            );
            let (mut points, mut faces) = (String::new(), String::new());
            if sheets {
                text += "joints = \"joints.csv\"\npanels = \"panels.csv\"\n";
                points += "joint,x,y,z,held\n";
                faces += "panel,a,b,c\n";
                for (n, [x, y, z]) in file.iter().enumerate() {
                    let held = if n < sides { "yes" } else { "" };
                    let _ = writeln!(points, "k{n},{x:.9},{y:.9},{z:.9},{held}");
                }
                for (n, [a, b, c]) in panels.iter().enumerate() {
                    let _ = writeln!(faces, "panel {n},k{a},k{b},k{c}");
                }
                return (text, vec![("joints.csv".to_owned(), points), ("panels.csv".to_owned(), faces)]);
            }
            text += "file = \"shell.obj\"\n";
            if other_diagonal {
                text += "mend = true\n";
            }
            for [x, y, z] in &file {
                let _ = writeln!(points, "v {x:.9} {y:.9} {z:.9}");
            }
            for (n, [a, b, c]) in panels.iter().enumerate() {
                // Some panels the other way round: flipped panels are mended.
                let [a, b, c] = if n == 1 && written == Written::Bare { [b, a, c] } else { [a, b, c] };
                let _ = writeln!(faces, "f {} {} {}", a + 1, b + 1, c + 1);
            }
            (text, vec![("shell.obj".to_owned(), points + &faces)])
        })
}
