//! Random projects, as a person would write them down: the text of a project file, and a mesh where it names one.
//!
//! What is written here is meant to be taken; where a shell cannot be had of it (a door beyond the shell, a base
//! above the apex) the program says so, and that is counted. What must be refused is the business of `tests/bad`.

mod loads;
mod more;
mod shell;
mod timber;
mod written;

use std::path::Path;

use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use tempfile::TempDir;

use written::Written;

/// What varies. A project is its text; the parts are kept so that tests can change one and keep the rest.
#[derive(Debug, Clone)]
pub(crate) struct Parts {
    pub(crate) basis: &'static str,
    /// What `[project]` says beside name and basis.
    pub(crate) heading: String,
    pub(crate) shell: String,
    pub(crate) timber: String,
    pub(crate) joints: String,
    pub(crate) loads: String,
    pub(crate) rest: String,
    /// The files that the project names, by their names.
    pub(crate) files: Vec<(String, String)>,
}

impl Parts {
    pub(crate) fn text(&self) -> String {
        // A cover that is left out holds nothing.
        let bare = self.loads.contains("[cover]\nleft_out");
        let held = |line: &&str| !(bare && line.starts_with("cover_holds"));
        let rest: String = self.rest.split_inclusive('\n').filter(held).collect();
        format!(
            "[project]\nname = \"Larkfold trial\"\nbasis = \"{}\"\n{}\n[shell]\n{}\n[timber]\n{}\n[joints]\n{}\n{}{}",
            self.basis, self.heading, self.shell, self.timber, self.joints, self.loads, rest
        )
    }

    /// Puts the files that the project names into a folder.
    pub(crate) fn put_down(&self, folder: &Path) {
        for (name, text) in &self.files {
            std::fs::write(folder.join(name), text).unwrap();
        }
    }

    /// A folder with the files; none where the project names none.
    pub(crate) fn ground(&self) -> Option<TempDir> {
        let folder = (!self.files.is_empty()).then(|| tempfile::tempdir().unwrap());
        if let Some(folder) = &folder {
            self.put_down(folder.path());
        }
        folder
    }
}

fn joints(written: Written) -> impl Strategy<Value = String> {
    (prop::option::of(2.0_f64..5.5), prop::option::of(2.0_f64..5.0)).prop_map(move |(seam, end)| {
        let mut text = String::new();
        if let Some(power) = seam {
            let stiffness = written.per_length(10.0_f64.powf(power));
            text += &format!("seam_stiffness = {stiffness}\n");
        }
        if let Some(power) = end {
            let models = if seam.is_some() { "\"pinned\", \"seam\"" } else { "\"pinned\"" };
            text += &format!(
                "models = [{models}, \"semi-rigid\", \"rigid\"]\nend_stiffness = {:.1}\n",
                10.0_f64.powf(power)
            );
        }
        text
    })
}

/// A project under a basis.
fn under(basis: &'static str, written: Written) -> impl Strategy<Value = Parts> {
    (
        shell::shell(written).boxed(),
        timber::timber(basis, written),
        joints(written).boxed(),
        loads::loads(basis, written).boxed(),
        timber::feet(written).boxed(),
        prop::option::of(timber::fixings().boxed()),
        timber::rules(basis, written),
        loads::combine(basis).boxed(),
        more::heading().boxed(),
    )
        .prop_map(move |(shell, timber, joints, loads, feet, fixings, rules, combine, heading)| {
            let (shell, mut files) = shell;
            let (timber, depth) = timber;
            let fixings = fixings.map(|fixings| fixings.text(depth, written));
            // Joints and panels of a mesh go by its own names.
            let mesh = files.first().map(|(name, _)| name.clone());
            let (loads, sheet) = loads;
            // An opening takes out panels that a stage would name.
            let opened = shell.contains("[[shell.opening]]");
            let loads = if opened { loads.split("[[stage]]").next().unwrap().to_owned() } else { loads };
            let loads = more::renamed(&loads::of_edition(&loads, &combine), mesh.as_deref());
            if let Some(sheet) = sheet {
                files.push((more::SHEET.to_owned(), more::renamed(&sheet, mesh.as_deref())));
            }
            let rest = feet + &fixings.unwrap_or_default() + &rules + &combine;
            Parts { basis, heading, shell, timber, joints, loads, rest, files }
        })
}

/// Any project.
pub(crate) fn project() -> BoxedStrategy<Parts> {
    let basis = prop_oneof![3 => Just("eurocode"), 1 => Just("us-lrfd"), 1 => Just("us-asd")];
    (basis, written::any()).prop_flat_map(|(basis, written)| under(basis, written)).boxed()
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
