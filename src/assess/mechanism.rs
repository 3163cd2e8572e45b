//! A mechanism is a finding: which joints move, which way, and what would stop it.

use crate::assess::results::MechanismResult;
use crate::assess::run::Run;
use crate::assess::setup::Setup;
use crate::assess::words;
use crate::frame::{EndFix, Mechanism};
use crate::model::ask::JointModel;
use crate::shell::{JointId, Shape};

/// At most so many mechanisms are described one by one.
const DESCRIBED: usize = 6;

/// Every mechanism of a model (at most six) in words, with its shape.
#[must_use]
pub fn describe(setup: &Setup, run: &Run) -> Vec<MechanismResult> {
    let kind = run.model.kind;
    run.solver
        .mechanisms()
        .iter()
        .take(DESCRIBED)
        .map(|m| MechanismResult {
            words: movement(setup, m),
            remedy: remedy(setup, kind).into(),
            shape: m.shape.iter().map(|d| [d[0], d[1], d[2]]).collect(),
        })
        .collect()
}

fn movement(setup: &Setup, mechanism: &Mechanism) -> String {
    let size = |d: &[f64; 6]| d[0].hypot(d[1]).hypot(d[2]);
    let mut order: Vec<usize> = (0..mechanism.shape.len()).collect();
    order.sort_by(|&a, &b| size(&mechanism.shape[b]).total_cmp(&size(&mechanism.shape[a])).then(a.cmp(&b)));
    let moving = mechanism.shape.iter().filter(|d| size(d) > 0.05).count();
    if moving == 0 {
        return "Joints turn without moving.".into();
    }
    let named: Vec<String> = order
        .iter()
        .take(3.min(moving))
        .map(|&i| {
            format!("{} {} ({})", setup.shell.joints[i].name, way(&mechanism.shape[i]), place(setup, i))
        })
        .collect();
    let others = moving.saturating_sub(named.len());
    let rest = match others {
        0 => String::new(),
        1 => " and one joint more".into(),
        n => format!(" and {n} joints more"),
    };
    format!("Moves most: {}{rest}.", named.join("; "))
}

fn place(setup: &Setup, joint: usize) -> String {
    words::joint_place(&setup.shell, JointId(joint))
}

/// The main direction of a movement in words.
fn way(d: &[f64; 6]) -> &'static str {
    let (x, y, z) = (d[0], d[1], d[2]);
    let (ax, ay, az) = (x.abs(), y.abs(), z.abs());
    if az >= ax && az >= ay {
        if z < 0.0 { "down" } else { "up" }
    } else if ax >= ay {
        "lengthwise"
    } else {
        "sideways"
    }
}

fn remedy(setup: &Setup, kind: JointModel) -> &'static str {
    match (setup.shell.outline.shape, kind) {
        (_, JointModel::Rigid | JointModel::SemiRigid) => {
            "hold the feet, or join the part that moves to the rest"
        }
        (Shape::Vault, _) => {
            "seams that resist turning (more or larger fixings, larger washers, a longer lever), a framed \
             gable or a half-dome on each open end, a rib under an arch, or a skin of sheets screwed on"
        }
        (Shape::Dome, _) => {
            "a frame round the opening, seams that resist turning, or the missing panels put back"
        }
        (Shape::Free, _) => "seams that resist turning, a rib, a skin, or panels that close the shape",
    }
}

/// Maxwell–Calladine count of the bars: freedoms − bars − holds = mechanisms − states of self-stress
/// (C. R. Calladine, Int. J. Solids Struct. 14 (1978) 161–172), for joints taken as pins.
#[must_use]
pub fn maxwell(run: &Run) -> i64 {
    let frame = &run.model.frame;
    let free: i64 = frame.nodes.iter().map(|n| n.held[..3].iter().filter(|&&h| !h).count() as i64).sum();
    // A bar between two held joints restrains nothing and carries no count.
    let bars = frame
        .bars
        .iter()
        .filter(|b| {
            let fixed = |n: usize| frame.nodes[n].held[..3].iter().all(|&h| h);
            !(fixed(b.from.0) && fixed(b.to.0))
        })
        .count() as i64;
    let folds = frame.folds.len() as i64;
    let pinned = frame.bars.iter().all(|b| b.ends == [EndFix::Hinged; 2]);
    free - bars - if pinned { folds } else { 0 }
}
