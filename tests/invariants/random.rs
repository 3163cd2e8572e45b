//! Random projects, as a person would write them down: the text of a project file.

use std::fmt::Write;

use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};

/// What varies. A project is its text; the parts are kept so that tests can change one and keep the rest.
#[derive(Debug, Clone)]
pub(crate) struct Parts {
    pub(crate) basis: &'static str,
    pub(crate) shell: String,
    pub(crate) timber: String,
    pub(crate) joints: String,
    pub(crate) loads: String,
    pub(crate) rest: String,
}

impl Parts {
    pub(crate) fn text(&self) -> String {
        format!(
            "[project]\nname = \"Larkfold trial\"\nbasis = \"{}\"\n\n[shell]\n{}\n[timber]\n{}\n[joints]\n{}\n{}{}",
            self.basis, self.shell, self.timber, self.joints, self.loads, self.rest
        )
    }
}

fn shell() -> impl Strategy<Value = String> {
    let dome = (0.8_f64..5.0, 1_usize..4, prop::sample::select(vec!["vertex", "edge", "face"]), -0.5_f64..0.6)
        .prop_map(|(radius, frequency, up, base)| {
            format!(
                "form = \"dome\"\nradius = {radius:.3}\nfrequency = {frequency}\nup = \"{up}\"\nbase = {:.3}\n",
                base * radius
            )
        });
    let tunnel = (1.0_f64..3.5, 1_usize..3, -0.3_f64..0.3).prop_map(|(radius, pairs, base)| {
        format!(
            "form = \"tunnel\"\nradius = {radius:.3}\nfrequency = 2\nbands = {}\nbase = {:.3}\n",
            2 * pairs,
            base * radius
        )
    });
    let barrel = (
        (1.5_f64..6.0, 0.2_f64..0.7, 3_usize..8, 1_usize..5, 0.5_f64..1.6),
        prop::sample::select(vec!["circular", "elliptical", "pointed", "catenary"]),
        prop::sample::select(vec!["staggered", "plain-left", "plain-right", "plain-crossed"]),
        any::<bool>(),
    )
        .prop_map(|((span, rise, segments, bays, bay), profile, pattern, framed)| {
            let rise = if profile == "circular" { rise.min(0.5) } else { rise };
            let mut text = format!(
                "form = \"barrel\"\nprofile = \"{profile}\"\nspan = {span:.3}\nrise = {:.3}\nsegments = {segments}\n\
                 bays = {bays}\nbay_length = {bay:.3}\npattern = \"{pattern}\"\n",
                rise * span
            );
            if framed {
                text += "ends = [\"framed\", \"framed\"]\nstuds = 1\nsill = true\ngable_diagonals = true\n";
            } else {
                text += "ends = [\"open\", \"open\"]\n";
            }
            text
        });
    prop_oneof![3 => dome, 2 => tunnel, 2 => barrel]
}

fn joints() -> impl Strategy<Value = (String, bool)> {
    (prop::option::of(2.0_f64..5.5), prop::option::of(2.0_f64..5.0)).prop_map(|(seam, end)| {
        let mut text = String::new();
        if let Some(power) = seam {
            let _ = writeln!(text, "seam_stiffness = {:.1}", 10.0_f64.powf(power));
        }
        if let Some(power) = end {
            let models = if seam.is_some() { "\"pinned\", \"seam\"" } else { "\"pinned\"" };
            let _ = writeln!(
                text,
                "models = [{models}, \"semi-rigid\", \"rigid\"]\nend_stiffness = {:.1}",
                10.0_f64.powf(power)
            );
        }
        (text, seam.is_some())
    })
}

fn loads(basis: &'static str) -> impl Strategy<Value = String> {
    let snow = prop::option::of(50.0_f64..2500.0);
    let wind = prop::option::of((100.0_f64..1500.0, prop::sample::subsequence(vec![0, 45, 90, 180], 1..3)));
    (0.0_f64..300.0, snow, wind, prop::option::of(300.0_f64..1200.0)).prop_map(
        move |(cover, snow, wind, person)| {
            let mut text = format!("[cover]\nweight = {cover:.1}\n\n");
            text += &match snow {
                Some(ground) => format!("[snow]\nground = {ground:.1}\n\n"),
                None => "[snow]\nleft_out = \"a trial without snow\"\n\n".to_owned(),
            };
            text += &match wind {
                Some((pressure, directions)) if basis == "eurocode" => {
                    format!("[wind]\npressure = {pressure:.1}\ndirections_deg = {directions:?}\n\n")
                }
                _ => "[wind]\nleft_out = \"a trial without wind\"\n\n".to_owned(),
            };
            if let Some(person) = person {
                let _ = writeln!(text, "[imposed]\nperson = {person:.1}\n");
            }
            text
        },
    )
}

/// A project under a basis.
fn under(basis: &'static str) -> impl Strategy<Value = Parts> {
    let grade: Vec<&str> = if basis == "eurocode" {
        vec!["C16", "C24", "C30", "D30", "GL24h"]
    } else {
        vec!["Douglas Fir-Larch No.2"]
    };
    let timber = (prop::sample::select(grade), 0.025_f64..0.12, 0.045_f64..0.22, any::<bool>(), 1_usize..4).prop_map(
        move |(grade, breadth, depth, bevelled, class)| {
            let class =
                if basis == "eurocode" { format!("service_class = {class}\n") } else { String::new() };
            format!(
                "grade = \"{grade}\"\nbreadth = {breadth:.4}\ndepth = {depth:.4}\nbevelled = {bevelled}\n{class}"
            )
        },
    );
    let feet = (any::<bool>(), prop::option::of(500.0_f64..20_000.0)).prop_map(|(fixed, uplift)| {
        let held = if fixed { "fixed" } else { "pinned" };
        let uplift = uplift.map_or(String::new(), |force| format!("uplift = {force:.0}\n"));
        format!("[feet]\nheld = \"{held}\"\n{uplift}\n")
    });
    let fixings = prop::option::of((0.006_f64..0.0101, 2_usize..6));
    (shell(), timber, joints(), loads(basis), feet, fixings).prop_map(
        move |(shell, timber, (joints, _), loads, feet, fixings)| {
            let fixings = fixings.map_or(String::new(), |(diameter, count)| {
                format!(
                    "[fixings]\nkind = \"bolt\"\ndiameter = {diameter:.4}\nwasher = {:.4}\nper_seam = {count}\n\
                     lever = 0.03\n\n",
                    5.0 * diameter
                )
            });
            Parts { basis, shell, timber, joints, loads, rest: feet + &fixings }
        },
    )
}

/// Any project.
pub(crate) fn project() -> BoxedStrategy<Parts> {
    under("eurocode").boxed()
}

/// The value of a strategy that belongs to a number: the same on every machine and thread.
pub(crate) fn numbered<S: Strategy>(strategy: &S, number: usize) -> S::Value {
    let mut seed = [0_u8; 32];
    seed[..8].copy_from_slice(&(number as u64).to_le_bytes());
    let rng = TestRng::from_seed(RngAlgorithm::ChaCha, &seed);
    let mut runner = TestRunner::new_with_rng(Config::default(), rng);
    strategy.new_tree(&mut runner).unwrap().current()
}

/// How many cases to run: `STRUTWISE_CASES`, or what goes quickly in a debug build.
pub(crate) fn cases(quick: usize) -> usize {
    std::env::var("STRUTWISE_CASES").ok().and_then(|text| text.parse().ok()).unwrap_or(quick)
}
