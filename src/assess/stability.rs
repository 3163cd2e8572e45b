//! Whole-shell stability of one joint model: second-order states where a buckling factor is low, and how the factor is to be read
//! beside the limit of the nonlinear paths (`paths.rs`).

use rayon::prelude::{IntoParallelRefIterator, ParallelIterator};

use crate::assess::AssessError;
use crate::assess::paths::Limit;
use crate::assess::run::{Own, Run, State, combined_loads};
use crate::assess::setup::Setup;
use crate::frame::EndFix;
use crate::frame::bow::greatest_bow;
use crate::frame::error::FrameError;
use crate::frame::geometric::force_of;
use crate::frame::linear::Solver;
use crate::frame::second_order::{FirstOrder, SecondOrder, crookedness, softened};
use crate::loads::{Combination, LimitState};
use crate::model::back::Along;

/// Below this factor (with design stiffness) forces are taken from a second-order analysis.
///
/// Common practice for frames, no source for timber shells: EN 1995-1-1 5.4.4 asks for second order where
/// it matters and gives no figure.
pub const SECOND_ORDER_BELOW: f64 = 10.0;

/// What was found of a model's stability.
#[derive(Debug, Clone, Default)]
pub struct Stability {
    /// Lowest factor of the worst combination, design stiffness; none where nothing compresses it enough to buckle.
    pub factor: Option<f64>,
    /// The worst combination.
    pub combination: Option<usize>,
    /// Lowest shape in which joints move, largest translation 1.
    pub shape: Vec<[f64; 6]>,
    /// For every combination: whether its factor is below [`SECOND_ORDER_BELOW`].
    pub low: Vec<bool>,
    /// For every combination: what its factor does not exceed, by the shapes found under others, design stiffness; infinite for those
    /// that do not count.
    pub at_most: Vec<f64>,
}

/// Which combinations can buckle a shell: all but those of service. What lifts one side of a shell presses on the other.
#[must_use]
pub fn counts(combination: &Combination) -> bool {
    matches!(combination.state, LimitState::Strength | LimitState::Accidental | LimitState::Uplift)
}

/// The size of the imperfection: the lowest buckling shape, its largest movement the greater of
/// 0.005 × rise (EN 1995-1-1 5.4.4 (5.1), sway of a frame no higher than 5 m) and 0.0025 × half the
/// developed arch (5.4.4 (5.2), bow); both from memory \[m\].
#[must_use]
pub fn imperfection_size(setup: &Setup) -> f64 {
    let outline = &setup.shell.outline;
    let developed: f64 =
        outline.profile.windows(2).map(|p| (p[1][0] - p[0][0]).hypot(p[1][1] - p[0][1])).sum();
    let arch = if developed > 0.0 { developed } else { outline.span + 2.0 * outline.rise };
    (0.005 * outline.rise).max(0.0025 * 0.5 * arch)
}

/// Greatest bow of a timber between its joints over its length in the imperfection (EN 1995-1-1 5.4.4 (5.2), bow; from
/// memory).
pub const TIMBER_BOW: f64 = 0.0025;

/// The lowest shapes among which one is looked for that moves joints more than it bows timbers.
const LOOKED_THROUGH: usize = 6;

/// The imperfections, each either way: the lowest shape by [`imperfection_size`], or by less where it would bow a timber by more
/// than [`TIMBER_BOW`]. A shape in which joints turn more than they move would bend timbers by any amount otherwise; as it
/// leaves the places of the joints next to no imperfection, what moves them comes behind it in whole: the lowest shape of the frame
/// that bows no timber by more, and that of the joints alone.
///
/// # Errors
/// A factor that cannot be proven.
fn imperfections(run: &Run, setup: &Setup, stability: &Stability) -> Result<Vec<Vec<[f64; 6]>>, AssessError> {
    let size = imperfection_size(setup);
    let mut shapes = vec![crookedness(&stability.shape, size)];
    let bow = greatest_bow(&run.model.frame, &shapes[0]);
    if bow > TIMBER_BOW {
        shapes[0].iter_mut().flatten().for_each(|v| *v *= TIMBER_BOW / bow);
        if let Some(worst) = stability.combination.map(|i| &setup.combinations[i]) {
            let whole = |shape: &Vec<[f64; 6]>| crookedness(shape, size);
            let lowest = run.solver.buckling_of_nodes(&pushed(run, worst), LOOKED_THROUGH)?.shapes;
            let straight = |shape: &Vec<[f64; 6]>| greatest_bow(&run.model.frame, shape) <= TIMBER_BOW;
            shapes.extend(lowest.iter().map(whole).find(straight));
            shapes
                .extend(Some(joints_alone(run, worst)?).filter(|shape| !shape.is_empty()).iter().map(whole));
        }
    }
    let either = |shape: Vec<[f64; 6]>| {
        let other = shape.iter().map(|six| six.map(|v| -v)).collect();
        [shape, other]
    };
    Ok(shapes.into_iter().flat_map(either).collect())
}

/// The axial force that every bar buckles under in a combination, to first order \[N\].
fn pushed(run: &Run, combination: &Combination) -> Vec<f64> {
    run.axial_ends(&State::of(combination)).into_iter().map(|ends| force_of(true, ends)).collect()
}

/// The lowest shape of the frame as if its bars were hinged, under the axial forces of a combination: joints move and do not turn. Empty
/// where nothing buckles; the first mechanism where the hinged frame is one.
///
/// # Errors
/// A factor that cannot be proven.
pub(crate) fn joints_alone(run: &Run, combination: &Combination) -> Result<Vec<[f64; 6]>, AssessError> {
    let mut hinged = run.model.frame.clone();
    hinged.bars.iter_mut().for_each(|bar| bar.ends = [EndFix::Hinged; 2]);
    let solver = Solver::new(&hinged)?;
    if let Some(mechanism) = solver.mechanisms().first() {
        return Ok(mechanism.shape.clone());
    }
    let shapes = solver.buckling_of_nodes(&pushed(run, combination), 1)?.shapes;
    Ok(shapes.into_iter().next().unwrap_or_default())
}

/// Replaces the states of combinations with a low factor by second-order ones, with every imperfection
/// either way: all are kept ([`State::ways`]), and every timber, seam and foot is checked in each.
///
/// The answer lists the combinations under which no second-order equilibrium was found: they lie
/// above the buckling load of the design stiffness.
///
/// # Errors
/// A solve that does not satisfy equilibrium.
pub fn amplify(
    run: &Run,
    setup: &Setup,
    states: &mut [State],
    stability: &Stability,
    design: f64,
) -> Result<Vec<usize>, AssessError> {
    let mut lost = Vec::new();
    if !stability.low.contains(&true) {
        return Ok(lost);
    }
    let soft = run.solver.again(&softened(&run.model.frame, design))?;
    let either = imperfections(run, setup, stability)?;
    let crooked: Vec<&[[f64; 6]]> = either.iter().map(Vec::as_slice).collect();
    let cases: Vec<FirstOrder> = soft.solve(&setup.loads)?.iter().map(|r| soft.first_order(r)).collect();
    let low: Vec<usize> = (0..states.len()).filter(|&i| stability.low[i]).collect();
    // Combinations do not know each other.
    let amplified = |&i: &usize| amplified(run, setup, (&soft, &cases), &setup.combinations[i], &crooked);
    let found: Vec<Result<Option<State>, AssessError>> = low.par_iter().map(amplified).collect();
    for (i, state) in low.into_iter().zip(found) {
        match state? {
            Some(state) => states[i] = state,
            None => lost.push(i),
        }
    }
    Ok(lost)
}

/// The second-order state of one combination on the softened frame, from its first-order answers to the cases, and behind it those with the other imperfections; `None`
/// where there is no such equilibrium.
fn amplified(
    run: &Run,
    setup: &Setup,
    (soft, cases): (&Solver, &[FirstOrder]),
    combination: &Combination,
    crooked: &[&[[f64; 6]]],
) -> Result<Option<State>, AssessError> {
    let loads = combined_loads(&setup.loads, combination);
    let first = FirstOrder::sum(combination.terms.iter().map(|&(case, factor)| (&cases[case.0], factor)));
    let answers = match soft.second_order_after(&loads, first, crooked) {
        Ok(answers) => answers,
        Err(FrameError::BeyondBuckling | FrameError::NotConverged { .. }) => return Ok(None),
        Err(other) => return Err(other.into()),
    };
    // The way that is asked for first comes first.
    let mut ways = None;
    for SecondOrder { response, .. } in answers.into_iter().rev() {
        let mut along = Along::new(&setup.stations);
        along.push_second_order(&run.solver.assembly().lines, (&response, &loads), &setup.stations);
        let mut state = State::of(combination);
        (state.second_order, state.other_way) = (Some(Own { response, along }), ways);
        ways = Some(Box::new(state));
    }
    Ok(ways.map(|state| *state))
}

/// Beyond this a linear buckling factor says nothing more by its size.
pub const TELLING: f64 = 100.0;

/// How the linear factor and the limit of the path are to be read, in a sentence.
///
/// `limit`: that of the paths that were followed, and the name of its combination where it is another than that of the linear factor.
#[must_use]
pub fn reading(factor: Option<f64>, limit: Option<(&Limit, Option<&str>)>, lost: &[usize]) -> String {
    if !lost.is_empty() {
        return "Under at least one combination the imperfect shell finds no equilibrium: it folds."
            .to_owned();
    }
    let linear = match factor {
        None => return "No combination compresses the shell enough to buckle it.".to_owned(),
        Some(f) => format!(
            "A perfect shell with design stiffness would buckle at {} times the combination; a linear \
             factor flatters shallow and imperfect shells several times over and is not a margin.",
            if f > TELLING { format!("over {TELLING}") } else { two_figures(f) }
        ),
    };
    let Some((l, other)) = limit else { return linear };
    let others = match l.followed {
        1 => String::new(),
        many => {
            let before = if factor.is_some_and(|f| f < l.factor) { "the linear factor" } else { "that" };
            format!(" Of {many} combinations that were followed, none gives way before {before}.")
        }
    };
    let under = other.map_or_else(String::new, |name| format!(", under {name}"));
    match l {
        l if l.reached => format!(
            "{linear} Followed with its imperfection and large movements it gives way at {} times{under}.{others}",
            two_figures(l.factor)
        ),
        // The search ends at a set factor, which may lie beyond the linear one, and knows one shape of every timber.
        l if factor.is_some_and(|f| f < l.factor) => format!(
            "{linear} Followed with its imperfection and large movements it still stands at {} times{under}, where the \
             search ended: large movements stiffen it against that shape, or the path did not turn into it; how far \
             timbers bow between stiff joints is in the linear factor alone. Take the lower of the two.{others}",
            two_figures(l.factor)
        ),
        l => format!(
            "{linear} Followed with its imperfection and large movements it still stands at {} times{under}, \
             where the search ended.{others}",
            two_figures(l.factor)
        ),
    }
}

/// Stiffness-dependent results are printed to two figures.
#[must_use]
pub fn two_figures(value: f64) -> String {
    if value == 0.0 || !value.is_finite() {
        return format!("{value}");
    }
    let digits = 1 - value.abs().log10().floor() as i32;
    let scale = 10f64.powi(digits);
    let rounded = (value * scale).round() / scale;
    format!("{rounded:.*}", digits.max(0) as usize)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::assess::seams_asked::SeamsAsked;

    /// The two figures are set against each other only where the path went beyond the linear factor.
    #[test]
    fn a_path_beyond_the_linear_factor_is_told_with_the_lower_of_the_two() {
        let beyond = |linear: f64, reached: bool| {
            let limit = Limit { factor: 10.0, reached, combination: 0, followed: 1 };
            reading(Some(linear), Some((&limit, None)), &[]).contains("Take the lower of the two")
        };
        assert!(beyond(8.5, false));
        assert!(!beyond(12.0, false) && !beyond(8.5, true));
    }

    use crate::assess::buckling::buckling;
    use crate::assess::check::{self, Found};
    use crate::assess::conditions::design_stiffness;
    use crate::assess::setup::setup;
    use crate::assess::{demand, feet};
    use crate::model::ask::JointModel;
    use crate::project::{Asked, SourceText, read_text};

    /// Found in the notes of an example: joints of its rigid model turn in the lowest shape and hardly move, and 17 mm of
    /// movement bent its timbers until no equilibrium was left.
    #[test]
    fn an_imperfection_bows_no_timber_beyond_its_limit() {
        let project = crate::assess::example("wider-longer-tunnel.toml");
        let setup = setup(&project).unwrap();
        for (kind, limited) in [(JointModel::Rigid, true), (JointModel::Pinned, false)] {
            let run = Run::new(&setup, kind, project.joints.feet).unwrap();
            let mut states: Vec<State> = setup.combinations.iter().map(State::of).collect();
            let design = design_stiffness(&project, &setup.grade);
            let found = buckling(&run, &setup.combinations, design).unwrap();
            let whole = crookedness(&found.shape, imperfection_size(&setup));
            let all = imperfections(&run, &setup, &found).unwrap();
            let either = &all[..2];
            let bow = greatest_bow(&run.model.frame, &either[0]);
            assert_eq!(greatest_bow(&run.model.frame, &whole) > 2.0 * TIMBER_BOW, limited);
            assert!(if limited { (bow / TIMBER_BOW - 1.0).abs() < 1e-9 } else { either[0] == whole });
            assert!(
                either[0].iter().flatten().zip(either[1].iter().flatten()).all(|(a, b)| (a + b).abs() <= 0.0)
            );
            // What the limit takes off the joints comes behind, in whole: at the end without turns.
            assert_eq!(all.len(), if limited { 4 } else { 2 });
            for [places, other] in all[2..].as_chunks().0 {
                let most = places.iter().flatten().fold(0.0_f64, |most, v| most.max(v.abs()));
                assert!((most / imperfection_size(&setup) - 1.0).abs() < 1e-9);
                assert!(greatest_bow(&run.model.frame, places) <= TIMBER_BOW);
                assert!(
                    places.iter().flatten().zip(other.iter().flatten()).all(|(a, b)| (a + b).abs() <= 0.0)
                );
            }
            if limited {
                assert!(all[all.len() - 1].iter().flat_map(|six| &six[3..]).all(|turn| turn.abs() <= 0.0));
            }
            let squeezed =
                |state: &State| -> f64 { run.axial_ends(state).iter().flatten().map(|n| n.abs()).sum() };
            let before = squeezed(&states[0]);
            assert!(amplify(&run, &setup, &mut states, &found, design).unwrap().is_empty());
            let after = squeezed(&states[0]);
            assert!((after / before - 1.0).abs() < 0.2, "{before} {after}");
        }
    }

    /// A barrel whose timbers bow just before it sways: the sway stands among its imperfections in whole, and asks more of its timbers
    /// than the bow and any way in which the hinged frame folds.
    #[test]
    fn a_barrel_sways_where_its_timbers_bow_first() {
        let text = "[project]\nname = \"barrel\"\nbasis = \"eurocode\"\n\
                    [shell]\nform = \"barrel\"\nspan = \"5 m\"\nrise = \"1.2 m\"\nsegments = 6\nbays = 3\n\
                    bay_length = \"1.2 m\"\npattern = \"staggered\"\n\
                    [timber]\ngrade = \"C24\"\nbreadth = \"26 mm\"\ndepth = \"100 mm\"\nservice_class = 2\n\
                    [cover]\nweight = \"9 kg/m2\"\nsource = \"made up\"\n\
                    [snow]\nground = \"4 kN/m2\"\nsource = \"made up\"\n[wind]\nleft_out = \"made up\"\n";
        let source = SourceText { name: "barrel.toml".to_owned(), text: text.to_owned() };
        let Asked::Shell(project) = read_text(source, std::path::Path::new("."), "barrel").unwrap() else {
            panic!()
        };
        let setup = setup(&project).unwrap();
        let run = Run::new(&setup, JointModel::Rigid, project.joints.feet).unwrap();
        let design = design_stiffness(&project, &setup.grade);
        let found = buckling(&run, &setup.combinations, design).unwrap();
        let all = imperfections(&run, &setup, &found).unwrap();
        assert_eq!(all.len(), 6);
        let soft = Solver::new(&softened(&run.model.frame, design)).unwrap();
        let loads = combined_loads(&setup.loads, &setup.combinations[found.combination.unwrap()]);
        let first = soft.first_order(&soft.solve(std::slice::from_ref(&loads)).unwrap()[0]);
        let crooked: Vec<&[[f64; 6]]> = all.iter().map(Vec::as_slice).collect();
        let most: Vec<f64> = soft
            .second_order_after(&loads, first, &crooked)
            .unwrap()
            .iter()
            .map(|way| way.response.bar_ends.iter().flatten().fold(0.0, |most, end| end.my.abs().max(most)))
            .collect();
        let of = |ways: &[usize]| ways.iter().fold(0.0_f64, |worst, &way| worst.max(most[way]));
        assert!(of(&[2, 3]) > 1.05 * of(&[0, 1, 4, 5]), "{most:?}");
    }

    /// Moments of second order along a timber are those of both its ends, whichever its numbering begins with: what the axial force
    /// does as the chord turns had been left out from the first end on.
    #[test]
    fn moments_along_a_timber_meet_both_its_ends() {
        let project = crate::assess::example("wider-longer-tunnel.toml");
        let setup = setup(&project).unwrap();
        let design = design_stiffness(&project, &setup.grade);
        for kind in [JointModel::Pinned, JointModel::Rigid] {
            let run = Run::new(&setup, kind, project.joints.feet).unwrap();
            let mut states: Vec<State> = setup.combinations.iter().map(State::of).collect();
            let found = buckling(&run, &setup.combinations, design).unwrap();
            amplify(&run, &setup, &mut states, &found, design).unwrap();
            let (mut along, mut turned) = (Vec::new(), 0.0_f64);
            let low = states.iter().filter(|state| state.second_order.is_some()).step_by(7);
            for state in low.flat_map(State::ways) {
                for m in 0..setup.shell.members.len() {
                    run.forces_along(state, m, &mut along);
                    let ends = [0, 1].map(|end| run.end(state, m, end));
                    let size = along.iter().fold(1.0_f64, |most, f| most.max(f[4].abs()).max(f[5].abs()));
                    for (station, end) in [along[0], along[along.len() - 1]].iter().zip(ends) {
                        assert!((station[4] - end.my).abs() < 1e-7 * size, "{station:?} {end:?}");
                        assert!((station[5] - end.mz).abs() < 1e-7 * size, "{station:?} {end:?}");
                    }
                    turned = turned.max((along[0][2] - ends[0].vz).abs());
                }
            }
            assert!(found.low.contains(&true) == (turned > 1.0), "{kind:?}: {turned}");
        }
    }

    /// A shell that moves more with its imperfection one way may ask more of a timber, a seam or a foot the other way:
    /// every one is as bad as the worse of both, whichever comes first.
    #[test]
    fn everything_is_checked_with_every_imperfection() {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
        let text = std::fs::read_to_string(folder.join("wider-longer-tunnel.toml")).unwrap();
        // Much snow: that of the example leaves the fixings to the wind, which is no second-order combination.
        let text = text.replace("ground = \"0.5 kN/m2\"", "ground = \"1.5 kN/m2\"");
        let source = SourceText { name: "more-snow.toml".to_owned(), text };
        let Asked::Shell(project) = read_text(source, &folder, "more-snow").unwrap() else { panic!() };
        let found = crate::assess::find(&project, crate::assess::Depth::STUDY).unwrap();
        let setup = &found.setup;
        let mut other_way_governs = [[0; 3]; 3];
        for model in found.models.iter().filter(|m| m.stability.low.contains(&true)) {
            for (i, (low, state)) in model.stability.low.iter().zip(&model.states).enumerate() {
                let count = state.ways().count();
                assert!(if *low && !model.lost.contains(&i) { count % 2 == 0 } else { count == 1 });
            }
            let alone = |way: usize| -> Vec<State> {
                let pick = |s: &State| {
                    let mut one = s.ways().nth(way).unwrap_or(s).clone();
                    one.other_way = None;
                    one
                };
                model.states.iter().map(pick).collect()
            };
            let asked = SeamsAsked::of_all(setup, &model.run);
            let ready = crate::assess::ready::Ready::new(&project, setup).unwrap();
            let all = |states: &[State]| -> [Vec<f64>; 3] {
                let of = |list: &[Option<Found>]| {
                    list.iter().map(|f| f.as_ref().map_or(0.0, |f| f.worst.utilisation)).collect()
                };
                let mut demand = feet::feet(&setup.shell);
                // Others ask more of the feet here: only what the two ways make of them is looked at.
                let low = (0..states.len()).filter(|i| model.stability.low[*i]);
                for (i, way) in low.flat_map(|i| states[i].ways().map(move |way| (i, way))) {
                    feet::take(&mut demand, &model.run.reactions(way), setup.combinations[i].state, i);
                }
                let held = demand::feet(&project, setup, &model.run, states, &demand).unwrap();
                [
                    of(&check::timbers(setup, &model.run, states, &asked, &ready).worst),
                    of(&demand::fixings(setup, states, &asked, &ready).worst),
                    demand
                        .iter()
                        .zip(&held)
                        .flat_map(|(d, h)| {
                            [
                                d.down.value,
                                d.slide.value,
                                h.worst.as_ref().map_or(0.0, |w| w.worst.utilisation),
                            ]
                        })
                        .collect(),
                ]
            };
            let count = model.states.iter().map(|state| state.ways().count()).max().unwrap();
            let (together, ways) =
                (all(&model.states), (0..count).map(|way| all(&alone(way))).collect::<Vec<_>>());
            for kind in 0..3 {
                for (i, together) in together[kind].iter().enumerate() {
                    let each = ways.iter().map(|way| way[kind][i]);
                    let worst = each.clone().fold(f64::NEG_INFINITY, f64::max);
                    assert_eq!(together.to_bits(), worst.to_bits());
                    for (governs, way) in other_way_governs[kind].iter_mut().zip(each.skip(1)) {
                        *governs += usize::from(way >= worst && way > ways[0][kind][i]);
                    }
                }
            }
        }
        // With the first shape the other way, and with the joints alone either way.
        assert!(other_way_governs.iter().all(|[_, a, b]| *a > 0 && *b > 0), "{other_way_governs:?}");
        assert!(other_way_governs.iter().any(|[other, ..]| *other > 0), "{other_way_governs:?}");
    }

    /// The sentence and the table of the notes say one thing of a factor that is beyond telling.
    #[test]
    fn a_large_factor_is_not_told_by_its_size() {
        let said = reading(Some(2900.0), None, &[]);
        assert!(said.contains("buckle at over 100 times") && !said.contains("2900"), "{said}");
        assert!(reading(Some(62.3), None, &[]).contains("buckle at 62 times"));
    }
}
