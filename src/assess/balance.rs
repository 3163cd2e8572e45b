//! Balance of the whole: net lift by combination, and tipping over an edge of the base.

use rayon::prelude::{IndexedParallelIterator, IntoParallelIterator, ParallelIterator};

use crate::assess::conditions::conditions;
use crate::assess::findings::{Findings, ModelFindings};
use crate::assess::results::{Balance, TippingResult, UpliftLine};
use crate::assess::run::{State, lumped_in};
use crate::project::Project;
use crate::rules::feet::held_down;
use crate::rules::feet_whole::{Held, Overturning, PointLoad, overturning, uplift_table, ways_over};
use crate::rules::seams::SeamBasis;

/// Both tables, from the first governing model that could be solved (the totals are the same in all).
pub(crate) fn results(project: &Project, found: &Findings) -> Balance {
    let solvable = |m: &&ModelFindings| !m.run.is_mechanism();
    let governing = found.governing.iter().map(|&k| &found.models[k]).find(solvable);
    let Some(model) = governing.or_else(|| found.models.iter().find(solvable)) else {
        return Balance::default();
    };
    Balance { uplift: uplift(found, model), tipping: tipping(project, found, model) }
}

fn counted(found: &Findings) -> impl Iterator<Item = usize> + '_ {
    let combinations = &found.setup.combinations;
    (0..combinations.len()).filter(|&i| !combinations[i].state.is_service())
}

fn uplift(found: &Findings, model: &ModelFindings) -> Vec<UpliftLine> {
    let setup = &found.setup;
    let lifts: Vec<(usize, Vec<f64>)> = counted(found)
        .map(|i| {
            let in_way = |way: &State| -> Vec<f64> {
                let reactions = model.run.reactions(way);
                let of =
                    |joint: usize| reactions.iter().find(|(n, _)| n.0 == joint).map_or(0.0, |(_, r)| -r[2]);
                model.feet.iter().map(|foot| of(foot.joint.0)).collect()
            };
            // The total is the same with the imperfection either way; the line is that of the greater lift of a foot.
            let greatest = |lifts: &[f64]| lifts.iter().fold(f64::NEG_INFINITY, |a, b| a.max(*b));
            let mut ways = model.states[i].ways().map(in_way);
            let first = ways.next().unwrap_or_default();
            (i, ways.fold(first, |a, b| if greatest(&b) > greatest(&a) { b } else { a }))
        })
        .collect();
    let rows = lifts.iter().map(|(i, l)| (setup.combinations[*i].name.as_str(), l.as_slice()));
    let mut out: Vec<UpliftLine> = uplift_table(rows)
        .into_iter()
        .map(|row| UpliftLine {
            combination: row.combination,
            net: row.net,
            lifting: row.lifting,
            feet_lifting: row.feet_lifting,
            greatest: row.greatest.map_or(0.0, |(_, f)| f),
            joint: row
                .greatest
                .map(|(k, _)| setup.shell.joints[model.feet[k].joint.0].name.clone())
                .unwrap_or_default(),
        })
        .collect();
    out.sort_by(|a, b| b.net.total_cmp(&a.net).then(b.greatest.total_cmp(&a.greatest)));
    out
}

fn tipping(project: &Project, found: &Findings, model: &ModelFindings) -> Option<TippingResult> {
    let setup = &found.setup;
    let counted: Vec<usize> = counted(found).collect();
    let feet_asked = &project.rules.feet;
    let entered = counted
        .first()
        .and_then(|&i| SeamBasis::of(&conditions(project, &setup.combinations[i]), &setup.grade).ok())
        .and_then(|basis| held_down(feet_asked, &basis))
        .filter(|held| *held > 0.0);
    // The lower of the two: where anchors hold no more than is held, they give first.
    let held_by = entered.map(|held| {
        let anchors = feet_asked.uplift.is_some_and(|uplift| uplift <= held);
        if anchors { "anchors" } else { "pads" }.to_owned()
    });
    // Which way asks most of anchors that are alike does not hang on what each holds.
    let anchor = entered.unwrap_or(1.0);
    let feet: Vec<Held> = model
        .feet
        .iter()
        .map(|foot| {
            let at = setup.shell.at(foot.joint);
            Held { at: [at.x, at.y, at.z], uplift: anchor }
        })
        .collect();
    let ways = ways_over(&feet);
    let each = counted.into_par_iter().with_min_len(8);
    let tips = each.filter_map(|i| Some((i, overturning(&points(found, i), &feet, &ways)?)));
    let mut worst: Option<(usize, Overturning)> = None;
    for (i, found_here) in tips.collect::<Vec<_>>() {
        if worst.is_none_or(|(_, worst)| found_here.worse_than(&worst)) {
            worst = Some((i, found_here));
        }
    }
    worst.map(|(i, worst)| {
        let needed = worst.tipping > 0.0;
        let utilisation = worst.utilisation();
        TippingResult {
            combination: setup.combinations[i].name.clone(),
            towards_deg: worst.towards_deg,
            moment: worst.tipping,
            anchors: entered.map_or(0.0, |_| worst.anchors),
            held_by: held_by.clone(),
            utilisation: (utilisation.is_finite() && (entered.is_some() || !needed)).then_some(utilisation),
        }
    })
}

/// A combination's loads as forces on the joints: what tips the whole depends on force and moment alone.
fn points(found: &Findings, combination: usize) -> Vec<PointLoad> {
    let setup = &found.setup;
    let forces = lumped_in(&setup.lumps, &setup.combinations[combination]);
    let joints = setup.shell.joints.iter();
    joints
        .zip(forces)
        .map(|(j, f)| PointLoad { at: [j.at.x, j.at.y, j.at.z], force: [f.x, f.y, f.z] })
        .collect()
}
