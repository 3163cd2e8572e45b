//! Random timbers, fixings, feet and choices of the rules.

use std::fmt::Write;

use proptest::prelude::*;

use super::written::Written;

/// A value now and then.
fn some<S: Strategy>(strategy: S) -> impl Strategy<Value = Option<S::Value>> {
    prop::option::weighted(0.25, strategy)
}

/// `[timber]`, and the depth of its strips \[m\].
pub(crate) fn timber(basis: &'static str, written: Written) -> BoxedStrategy<(String, f64)> {
    let size = if basis == "eurocode" {
        (0.025_f64..0.12, 0.045_f64..0.22).boxed()
    } else {
        // Dressed sizes of the NDS Supplement (inches); its grades have values for these alone.
        let inches = vec![(1.5, 3.5), (1.5, 5.5), (1.5, 7.25), (2.5, 3.5), (3.5, 3.5), (3.5, 5.5)];
        prop::sample::select(inches).prop_map(|(b, d)| (0.0254 * b, 0.0254 * d)).boxed()
    };
    let roles = prop::sample::select(vec!["seam", "base-rim", "arch", "end-rim"]);
    let group = some((roles, 1_usize..4, some(0.8_f64..1.0)));
    (size, grade(basis, written), any::<[bool; 2]>(), 1_usize..4, some(0.0_f64..1.0), group)
        .prop_map(move |((breadth, depth), (grade, own), [bevelled, allowance], class, composite, group)| {
            // A deep thin strip has nothing left once it is ripped to a bevel.
            let bevelled = bevelled && depth < 2.0 * breadth;
            let mut text = format!(
                "{grade}breadth = {}\ndepth = {}\nbevelled = {bevelled}\n",
                written.size(breadth),
                written.size(depth)
            );
            if basis == "eurocode" {
                let _ = writeln!(text, "service_class = {class}");
            }
            if let Some(composite) = composite {
                let _ = writeln!(text, "composite = {composite:.2}");
            }
            if allowance {
                text += "fixings_allowance = 0.1\n";
            }
            text += &own;
            if let Some((role, strips, own)) = group {
                let _ = writeln!(text, "\n[[timber.group]]\nroles = [\"{role}\"]\nstrips = {strips}");
                let mut sizes = [breadth, depth];
                if basis == "eurocode" && allowance {
                    sizes[1] *= 1.3;
                    let _ = writeln!(text, "depth = {}", written.size(sizes[1]));
                }
                if let Some(own) = own {
                    if basis == "eurocode" {
                        sizes[0] *= 1.1;
                        let _ = writeln!(text, "breadth = {}", written.size(sizes[0]));
                    }
                    text += &section(sizes, own);
                }
            }
            (text, depth)
        })
        .boxed()
}

/// Own section values of a group: a share of the rectangle's.
fn section([b, d]: [f64; 2], share: f64) -> String {
    let (thin, wide) = (b.min(d), b.max(d));
    // The torsion constant of a rectangle by its usual approximation, to well within what is taken off.
    let ratio = thin / wide;
    let torsion = thin.powi(3) * wide * (1.0 / 3.0 - 0.21 * ratio * (1.0 - ratio.powi(4) / 12.0));
    let values = [
        ("area", b * d),
        ("second_moment_y", b * d.powi(3) / 12.0),
        ("second_moment_z", d * b.powi(3) / 12.0),
        ("torsion", 0.9 * torsion),
        ("modulus_y", b * d * d / 6.0),
        ("modulus_z", d * b * b / 6.0),
    ];
    values.iter().fold(String::new(), |text, (key, value)| text + &format!("{key} = {:e}\n", share * value))
}

/// A grade of the tables, or one's own values: what goes at the head of `[timber]`, and what behind it.
fn grade(basis: &'static str, written: Written) -> BoxedStrategy<(String, String)> {
    let listed = if basis == "eurocode" {
        vec!["C16", "C24", "C30", "D30", "GL24h"]
    } else {
        vec!["Douglas Fir-Larch No.2", "DF-L Select Structural", "Hem-Fir No.1", "SP No.2", "SPF No.1/No.2"]
    };
    let listed =
        prop::sample::select(listed).prop_map(|name| (format!("grade = \"{name}\"\n"), String::new()));
    let own = (0.6_f64..1.6, prop::sample::select(vec!["softwood", "hardwood", "glulam", "lvl"])).prop_map(
        move |(times, material)| {
            let mut text = String::from("\n[timber.own]\nname = \"orchard larch\"\n");
            let strengths: &[(&str, f64)] = if basis == "eurocode" {
                let _ =
                    writeln!(text, "material = \"{material}\"\nrho_k = {}", written.density(350.0 * times));
                // What makers say beyond the least that is wanted.
                if times > 1.1 {
                    text += "source = \"the sawmill\"\nhighest_service_class = 3\n";
                    for (key, value) in [("f_t_90_k", 0.4e6), ("e_90_mean", 0.37e9), ("g_05", 0.46e9)] {
                        let _ = writeln!(text, "{key} = {}", written.strength(times * value));
                    }
                }
                &[
                    ("f_m_k", 24e6),
                    ("f_t_0_k", 14e6),
                    ("f_c_0_k", 21e6),
                    ("f_c_90_k", 2.5e6),
                    ("f_v_k", 4e6),
                    ("e_0_mean", 11e9),
                    ("e_0_05", 7.4e9),
                    ("g_mean", 0.69e9),
                ]
            } else {
                let _ = writeln!(text, "specific_gravity = {:.3}", 0.5 * times);
                &[
                    ("f_b", 6e6),
                    ("f_t", 4e6),
                    ("f_v", 1.2e6),
                    ("f_c_perp", 4.3e6),
                    ("f_c", 9e6),
                    ("e", 11e9),
                    ("e_min", 4e9),
                ]
            };
            let _ = writeln!(text, "rho_mean = {}", written.density(420.0 * times));
            for (key, value) in strengths {
                let _ = writeln!(text, "{key} = {}", written.strength(times * value));
            }
            (String::new(), text)
        },
    );
    prop_oneof![4 => listed, 1 => own].boxed()
}

pub(crate) fn feet(written: Written) -> impl Strategy<Value = String> {
    let force = || some(500.0_f64..20_000.0);
    let ground = some((0.02_f64..0.3, 5e4_f64..3e5));
    let moment = some(50.0_f64..2000.0);
    let forces = (force(), force(), force(), force(), moment);
    (any::<bool>(), forces, ground, some(0.2_f64..0.6), some(0.04_f64..0.2)).prop_map(
        move |(fixed, (uplift, slide, pad, tie, moment), ground, friction, bearing)| {
            let mut text = format!("[feet]\nheld = \"{}\"\n", if fixed { "fixed" } else { "pinned" });
            for (key, value) in [("uplift", uplift), ("slide", slide), ("pad_weight", pad), ("tie", tie)] {
                if let Some(value) = value {
                    let _ = writeln!(text, "{key} = {}", written.force(value));
                }
            }
            if let Some(moment) = moment {
                let _ = writeln!(text, "moment = {}", written.moment(moment));
            }
            if let Some((area, pressure)) = ground {
                let _ =
                    writeln!(text, "pad_area = {area:.3}\nground_pressure = {}", written.pressure(pressure));
            }
            if let Some(friction) = friction {
                let _ = writeln!(text, "friction = {friction:.2}");
            }
            if let Some(length) = bearing {
                let _ = writeln!(text, "bearing_length = {}", written.size(length));
            }
            text + "\n"
        },
    )
}

/// `[fixings]` before the depth of the strips is known.
#[derive(Debug, Clone)]
pub(crate) struct Fixings {
    kind: &'static str,
    diameter: f64,
    count: usize,
    end: Option<f64>,
    drilled: bool,
    corner: Option<f64>,
    declared: Option<(f64, f64)>,
}

pub(crate) fn fixings() -> impl Strategy<Value = Fixings> {
    let kind = prop_oneof![3 => Just("bolt"), 1 => Just("screw"), 1 => Just("coach screw")];
    let declared = some((400e6_f64..1000e6, 0.0_f64..0.002));
    (
        kind,
        0.006_f64..0.0101,
        2_usize..6,
        some(0.02_f64..0.3),
        any::<bool>(),
        some(500.0_f64..4000.0),
        declared,
    )
        .prop_map(|(kind, diameter, count, end, drilled, corner, declared)| Fixings {
            kind,
            diameter,
            count,
            end,
            drilled,
            corner,
            declared,
        })
}

impl Fixings {
    /// For strips of a depth \[m\]: as thick as keeps the least distance to either face (3 diameters of a bolt, 7 of a
    /// screw that is driven into dense timber), or the file is refused.
    pub(crate) fn text(&self, depth: f64, written: Written) -> String {
        let reach = if self.kind == "bolt" { 3.05 } else { 7.05 };
        let diameter = self.diameter.min(0.5 * depth / reach);
        let mut text = format!(
            "[fixings]\nkind = \"{}\"\ndiameter = {}\nper_seam = {}\nlever = {}\n",
            self.kind,
            written.size(diameter),
            self.count,
            written.size(0.5 * depth)
        );
        if self.kind == "screw" {
            let _ = writeln!(
                text,
                "length = {}\nthread = {}\nhead = {}\npredrilled = {}",
                written.size(0.09),
                written.size(0.055),
                written.size(2.0 * diameter),
                self.drilled
            );
        } else {
            let _ = writeln!(text, "washer = {}", written.size(5.0 * diameter));
            if self.kind == "coach screw" {
                let _ = writeln!(
                    text,
                    "length = {}\nthread = {}\nroot = {}",
                    written.size(0.09),
                    written.size(0.055),
                    written.size(0.75 * diameter)
                );
            }
        }
        if let Some((steel, clearance)) = self.declared {
            let _ = writeln!(text, "steel = {}", written.strength(steel));
            if self.kind == "bolt" {
                let _ = writeln!(text, "clearance = {}", written.size(clearance));
            } else {
                let _ = writeln!(
                    text,
                    "withdrawal = {}\nhead_pull = {}\ndeclared_density = {}",
                    written.strength(0.02 * steel),
                    written.strength(0.025 * steel),
                    written.density(350.0)
                );
            }
        }
        if let Some(end) = self.end {
            let _ = writeln!(text, "end = {}", written.size(end));
        }
        if let Some(force) = self.corner {
            let _ = writeln!(text, "corner_pull = {}", written.force(force));
        }
        text + "\n"
    }
}

pub(crate) fn rules(basis: &'static str, written: Written) -> BoxedStrategy<String> {
    let factors = (some(0.5_f64..1.2), some(0.5_f64..1.2), some(0.5_f64..1.0));
    let held = some(prop::sample::select(vec!["no", "outside", "both faces"]));
    let edge = some(prop::sample::select(vec!["compression", "middle", "tension"]));
    let us = (
        any::<[bool; 3]>(),
        prop::sample::select(vec!["usual", "warm", "hot"]),
        prop::sample::select(vec!["any", "uniform", "end-moments"]),
    );
    let values = (some(0.004_f64..0.012), some(1.0_f64..1.1), some(1.1_f64..1.4));
    prop::option::weighted(0.7, (factors, held, edge, us, values))
        .prop_map(move |rules| {
            let Some(((out, inside, lateral), held, edge, us, (hole, k_sys, partial))) = rules else {
                return String::new();
            };
            let ([wet, incised, repetitive], temperature, loading) = us;
            let mut text = String::from("[rules]\n");
            let mut number = |key: &str, value: Option<f64>| {
                if let Some(value) = value {
                    let _ = writeln!(text, "{key} = {value:.3}");
                }
            };
            number("length_factor_out", out);
            number("length_factor_in", inside);
            if basis == "eurocode" {
                number("lateral_factor", lateral);
                number("k_sys", k_sys);
                number("partial_factor", partial);
            }
            if let Some(held) = held {
                let _ = writeln!(text, "cover_holds = \"{held}\"");
            }
            if let Some(hole) = hole {
                let _ = writeln!(text, "hole = {}", written.size(hole));
            }
            if basis != "eurocode" {
                let _ = writeln!(
                    text,
                    "wet = {wet}\nincised = {incised}\nrepetitive = {repetitive}\ntemperature = \"{temperature}\"\n\
                     bending_loading = \"{loading}\""
                );
            } else if let Some(edge) = edge {
                let _ = writeln!(text, "load_edge = \"{edge}\"");
            }
            text + "\n"
        })
        .boxed()
}
