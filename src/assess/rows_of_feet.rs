//! Feet that stand in two rows a hand apart along a side of a vault: stiff models hold the arch from turning
//! by pushing one row down and pulling the other up, on a lever that no ground keeps.

use crate::assess::fill::model_name;
use crate::assess::findings::{Findings, ModelFindings};
use crate::shell::Shape;
use crate::units::{Kind, Show, System};

/// How the warning begins.
pub const TWO_ROWS: &str = "Two rows of feet";

/// Rows that are nearer to each other than this count as one line of ground \[m\] (own choice: about two
/// hands; a sill or a pad that carries both is no wider).
const NEAR: f64 = 0.2;

/// The two forces are told where the smaller is at least this share of what the rows bear together (own
/// choice): below, each row carries its part of the load and nothing else.
const SHARE: f64 = 0.5;

/// What two rows of one side do to each other under one combination.
struct Pair {
    model: usize,
    combination: usize,
    apart: f64,
    pushed: f64,
    pulled: f64,
}

/// A warning where a model that carries its loads has such a pair of forces; the greatest is told.
#[must_use]
pub fn warning(found: &Findings, units: System) -> Option<String> {
    let worst = found
        .carrying()
        .flat_map(|(n, model)| pairs(found, n, model))
        .max_by(|a, b| a.pulled.total_cmp(&b.pulled))?;
    let show = Show::new(units);
    Some(format!(
        "{TWO_ROWS} {} apart along a side: in the {} model, under {}, one row in all is pushed down with {} and the \
         other row in all pulled up with {}, to hold the arch from turning. Ground gives more than that lever allows: size no anchor by it \
         without an engineer.",
        show.text(Kind::Size, worst.apart),
        model_name(found.models[worst.model].run.model.kind),
        found.setup.combinations[worst.combination].name,
        show.text(Kind::Force, worst.pushed),
        show.text(Kind::Force, worst.pulled),
    ))
}

fn pairs(found: &Findings, n: usize, model: &ModelFindings) -> Vec<Pair> {
    let shell = &found.setup.shell;
    if !matches!(shell.outline.shape, Shape::Vault) {
        return Vec::new();
    }
    let mut out = Vec::new();
    for side in [1.0, -1.0] {
        let across = |i: usize| (shell.joints[i].at.y - shell.outline.centre.y) * side;
        // Those of a domed end stand round it, in no row.
        let straight = |i: &usize| {
            let x = shell.joints[*i].at.x;
            shell.outline.barrel.is_none_or(|[low, high]| x > low - 1e-6 && x < high + 1e-6)
        };
        let feet: Vec<usize> =
            (0..shell.joints.len()).filter(|&i| shell.joints[i].foot).filter(straight).collect();
        let outer = feet.iter().map(|&i| across(i)).fold(0.0_f64, f64::max);
        let inner: Vec<usize> =
            feet.iter().copied().filter(|&i| across(i) > outer - NEAR && across(i) < outer - 1e-3).collect();
        let Some(apart) = inner.iter().map(|&i| outer - across(i)).reduce(f64::max) else { continue };
        let edge: Vec<usize> = feet.into_iter().filter(|&i| across(i) > outer - 1e-3).collect();
        for (combination, state) in model.states.iter().enumerate() {
            let limit = found.setup.combinations[combination].state;
            if limit.is_service() {
                continue;
            }
            for way in state.ways() {
                let reactions = model.run.reactions(way);
                let up = |row: &[usize]| -> f64 {
                    let of_row = reactions.iter().filter(|(node, _)| row.contains(&node.0));
                    of_row.map(|(_, r)| r[2]).sum()
                };
                let [a, b] = [up(&edge), up(&inner)];
                if a * b < 0.0 && a.abs().min(b.abs()) > SHARE * (a + b).abs() {
                    out.push(Pair { model: n, combination, apart, pushed: a.max(b), pulled: -a.min(b) });
                }
            }
        }
    }
    out
}
