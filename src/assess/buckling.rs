//! The lowest buckling factor of one joint model over all combinations, and which of them are low; and the next few above it.
//!
//! Few combinations are solved for eigenvalues. The others are told from them in two ways, both of them proofs:
//!
//! - K(λN) still being positive definite, and no bar buckling while its nodes stand still, shows that no factor lies below λ.
//!   The exact stiffness of a bar grows with its axial force, as K + λ·Kg does: its energy is the least over all shapes
//!   between its nodes of a sum that grows with the force. So a test with the least force of each bar over several
//!   combinations holds for them all; the more alike they are, the more likely it is to.
//! - A shape that buckled under one combination, the bow of the bars included, bounds the factor of every other from above
//!   (Rayleigh's quotient), which spares the tests that would fail.

use rayon::prelude::{IndexedParallelIterator, IntoParallelIterator, ParallelIterator};

use crate::assess::AssessError;
use crate::assess::run::Run;
use crate::assess::stability::{Stability, counts};
use crate::frame::buckling::{Buckling, Rayleigh};
use crate::frame::geometric::{force_of, is_string};
use crate::frame::{FrameError, Response};
use crate::loads::Combination;

/// Halvings of what lies between no load and the cubic factor, where the exact list does not close.
const HALVINGS: usize = 50;

/// A factor beyond which buckling is nobody's concern.
const NEVER: f64 = 1e6;

/// Factors told of the combination with the lowest.
const TOLD: usize = 4;

/// Lowest buckling factors over all combinations that count.
///
/// `design` is the ratio of design to mean stiffness (1/γM, or `E_min`/E): the whole stiffness
/// matrix scales with it, so a factor found with mean stiffness is multiplied by it.
///
/// # Errors
/// A factor that cannot be proven.
pub fn buckling(run: &Run, combinations: &[Combination], design: f64) -> Result<Stability, AssessError> {
    let (order, axial) = by_compression(run, combinations);
    let mut search = Search { run, design, axial: &axial, outlines: outlines(&axial), known: Vec::new() };
    let mut found = Stability { low: vec![false; combinations.len()], ..Stability::default() };
    if let Some((k, lowest)) = search.lowest()? {
        found.factor = lowest.factors.first().map(|factor| factor * design);
        found.combination = Some(order[k]);
        found.shape = moving(run, &axial[k], lowest.shapes)?;
    }
    found.at_most = vec![f64::INFINITY; combinations.len()];
    for (i, axial) in order.iter().zip(&axial) {
        found.at_most[*i] = search.at_most(axial);
    }
    found.known = search.known;
    Ok(found)
}

/// Which combinations have a factor below `level`.
///
/// # Errors
/// A factor that cannot be proven.
pub fn low(
    run: &Run,
    combinations: &[Combination],
    design: f64,
    stability: &Stability,
    level: f64,
) -> Result<Vec<bool>, AssessError> {
    let mut low = vec![false; combinations.len()];
    if stability.factor.is_some_and(|lowest| lowest < level) {
        let (order, axial) = by_compression(run, combinations);
        let known = stability.known.clone();
        let search = Search { run, design, axial: &axial, outlines: outlines(&axial), known };
        search.low(&order, level, &mut low)?;
    }
    Ok(low)
}

/// The lowest shape of one combination with one cubic shape a timber, which is what a nonlinear path knows; none where nothing is
/// compressed enough.
///
/// # Errors
/// A factor that cannot be proven.
pub fn shape_of_nodes(run: &Run, combination: &Combination) -> Result<Vec<[f64; 6]>, AssessError> {
    let axial = Ends::new(run).pushed(combination).1;
    Ok(run.solver.buckling_of_nodes(&axial, 1)?.shapes.into_iter().next().unwrap_or_default())
}

/// The lowest few factors of one combination, design stiffness, where `lowest` is the first of them; that alone where their list does
/// not close.
///
/// # Errors
/// A factor that cannot be proven.
pub fn further(
    run: &Run,
    combination: &Combination,
    design: f64,
    lowest: f64,
) -> Result<Vec<f64>, AssessError> {
    let list = match run.solver.buckling_under(&Ends::new(run).pushed(combination).1, TOLD) {
        Err(FrameError::NotConverged { .. }) => return Ok(vec![lowest]),
        list => list?.factors,
    };
    let others = list.iter().skip(1).map(|factor| (factor * design).max(lowest));
    Ok(std::iter::once(lowest).chain(others).collect())
}

/// The lowest shape in which joints move: a timber that bows between joints that stand still is no crookedness of the
/// shell.
fn moving(run: &Run, axial: &[f64], shapes: Vec<Vec<[f64; 6]>>) -> Result<Vec<[f64; 6]>, AssessError> {
    let moves = |shape: &Vec<[f64; 6]>| shape.iter().flatten().any(|v| v.abs() > 0.0);
    let first = |shapes: Vec<Vec<[f64; 6]>>| shapes.into_iter().find(moves);
    if let Some(shape) = first(shapes) {
        return Ok(shape);
    }
    let more = match run.solver.buckling_under(axial, TOLD) {
        Err(FrameError::NotConverged { .. }) => None,
        list => first(list?.shapes),
    };
    match more {
        Some(shape) => Ok(shape),
        None => Ok(first(run.solver.buckling_of_nodes(axial, 1)?.shapes).unwrap_or_default()),
    }
}

/// What is known of the combinations; they go by their place in the order of compression.
struct Search<'a> {
    run: &'a Run,
    design: f64,
    axial: &'a [Vec<f64>],
    outlines: Vec<Vec<f64>>,
    /// Bounds by the shapes found so far.
    known: Vec<Rayleigh>,
}

impl Search<'_> {
    /// The combination with the lowest factor of all, and that factor.
    fn lowest(&mut self) -> Result<Option<(usize, Buckling)>, AssessError> {
        let mut found: Option<(f64, usize, Buckling)> = None;
        // Sets of combinations still to look at, the next one last.
        let mut left = vec![(0..self.axial.len()).collect::<Vec<usize>>()];
        while let Some(mut set) = left.pop() {
            if set.is_empty() {
                continue;
            }
            let mut next = 0;
            if let Some((lowest, ..)) = found {
                let lower = set.iter().map(|&k| self.at_most(&self.axial[k])).enumerate();
                let (least, bound) =
                    lower.fold((0, f64::INFINITY), |best, one| if one.1 < best.1 { one } else { best });
                if surely(bound, lowest) {
                    next = least;
                } else if self.at_least(&self.envelope(&set), lowest)? {
                    continue;
                } else if set.len() > 1 {
                    let (near, far) = apart(&set, &self.outlines);
                    left.push(far);
                    left.push(near);
                    continue;
                }
            }
            let k = set.remove(next);
            left.push(set);
            let buckling = match self.run.solver.buckling_under(&self.axial[k], 1) {
                Err(FrameError::NotConverged { .. }) => self.bounded(k)?,
                list => list?,
            };
            let Some(&first) = buckling.factors.first() else { continue };
            for (shape, factor) in buckling.shapes.iter().zip(&buckling.factors) {
                let buckled: Vec<f64> = self.axial[k].iter().map(|n| factor * n).collect();
                self.known.push(self.run.solver.rayleigh(shape, &buckled));
            }
            if found.as_ref().is_none_or(|(lowest, ..)| first * self.design < *lowest) {
                found = Some((first * self.design, k, buckling));
            }
        }
        Ok(found.map(|(_, k, buckling)| (k, buckling)))
    }

    /// Where the list of factors does not close: a factor that none is proven to lie below, with the lowest shape of the
    /// nodes. It is the lowest one but for halvings too small to tell.
    fn bounded(&self, k: usize) -> Result<Buckling, AssessError> {
        let mut found = self.run.solver.buckling_of_nodes(&self.axial[k], 1)?;
        // Where no node moves in any shape bars may bow all the same.
        let (mut low, mut high) = (0.0, found.factors.first().copied().unwrap_or(NEVER));
        if found.factors.is_empty() && self.run.solver.buckling_at_least_under(&self.axial[k], NEVER)? {
            return Ok(found);
        }
        for _ in 0..HALVINGS {
            let middle = 0.5 * (low + high);
            if self.run.solver.buckling_at_least_under(&self.axial[k], middle)? {
                low = middle;
            } else {
                high = middle;
            }
        }
        found.factors = vec![low];
        found.shapes.truncate(1);
        Ok(found)
    }

    /// Which combinations have a factor below `level`.
    fn low(&self, order: &[usize], level: f64, low: &mut [bool]) -> Result<(), AssessError> {
        let mut open = Vec::new();
        for (k, axial) in self.axial.iter().enumerate() {
            if surely(self.at_most(axial), level) {
                low[order[k]] = true;
            } else {
                open.push(k);
            }
        }
        let mut left = vec![open];
        while let Some(set) = left.pop() {
            if set.is_empty() || self.at_least(&self.envelope(&set), level)? {
                continue;
            }
            if let [one] = set[..] {
                low[order[one]] = true;
            } else {
                let (near, far) = apart(&set, &self.outlines);
                left.extend([far, near]);
            }
        }
        Ok(())
    }

    /// What the factor under these axial forces does not exceed, by the shapes known.
    fn at_most(&self, axial: &[f64]) -> f64 {
        self.known.iter().map(|shape| shape.at_most(axial)).fold(f64::INFINITY, f64::min) * self.design
    }

    /// Whether no factor under these axial forces lies below `level`.
    fn at_least(&self, axial: &[f64], level: f64) -> Result<bool, AssessError> {
        if surely(self.at_most(axial), level) {
            return Ok(false);
        }
        Ok(self.run.solver.buckling_at_least_under(axial, level / self.design)?)
    }

    /// The least force of every bar over several combinations.
    fn envelope(&self, set: &[usize]) -> Vec<f64> {
        let mut least = self.axial[set[0]].clone();
        for &k in &set[1..] {
            for (a, b) in least.iter_mut().zip(&self.axial[k]) {
                *a = a.min(*b);
            }
        }
        least
    }
}

/// Whether a bound lies below a level by more than rounding.
fn surely(bound: f64, level: f64) -> bool {
    bound < level * (1.0 - 1e-9)
}

/// Bars by which combinations are told apart, about.
const LOOKED_AT: usize = 64;

/// The forces in some bars, by which combinations are told apart.
fn outlines(axial: &[Vec<f64>]) -> Vec<Vec<f64>> {
    let of = |forces: &Vec<f64>| {
        let stride = (forces.len() / LOOKED_AT).max(1);
        forces.iter().step_by(stride).copied().collect()
    };
    axial.iter().map(of).collect()
}

/// Two halves of a set of two or more, each of its combinations more like one of two that differ much: the one that
/// differs most from the first, and the one that differs most from that. The half with the first comes first.
fn apart(set: &[usize], outlines: &[Vec<f64>]) -> (Vec<usize>, Vec<usize>) {
    let between = |a: usize, b: usize| -> f64 {
        outlines[a].iter().zip(&outlines[b]).map(|(x, y)| (x - y) * (x - y)).sum()
    };
    let furthest = |from: usize| {
        let distances = set.iter().map(|&k| (k, between(from, k)));
        distances.fold((from, -1.0), |best, one| if one.1 > best.1 { one } else { best }).0
    };
    let one = furthest(set[0]);
    let other = furthest(one);
    let (near, far): (Vec<usize>, Vec<usize>) =
        set.iter().partition(|&&k| between(k, other) <= between(k, one));
    match (near.is_empty() || far.is_empty(), far.contains(&set[0])) {
        // All alike.
        (true, _) => (set[..set.len() / 2].to_vec(), set[set.len() / 2..].to_vec()),
        (false, true) => (far, near),
        (false, false) => (near, far),
    }
}

/// Combinations that count, with the axial force that every bar buckles under \[N\], the one with the greatest compression
/// first: it most likely has the lowest factor, which spares the others.
fn by_compression(run: &Run, combinations: &[Combination]) -> (Vec<usize>, Vec<Vec<f64>>) {
    let counted: Vec<usize> = (0..combinations.len()).filter(|&i| counts(&combinations[i])).collect();
    let ends = Ends::new(run);
    let each = counted.into_par_iter().with_min_len(16).map(|i| {
        let (squeeze, axial) = ends.pushed(&combinations[i]);
        (squeeze, i, axial)
    });
    let mut order: Vec<(f64, usize, Vec<f64>)> = each.collect();
    order.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    order.into_iter().map(|(_, i, axial)| (i, axial)).unzip()
}

/// Axial forces at both ends of every bar in every case, in rows that are summed many at a time.
struct Ends {
    /// By case: bar after bar \[N\].
    by_case: Vec<Vec<[f64; 2]>>,
    /// By bar.
    strings: Vec<bool>,
}

impl Ends {
    fn new(run: &Run) -> Self {
        let of_case =
            |response: &Response| response.bar_ends.iter().map(|ends| ends.map(|end| end.n)).collect();
        Self {
            by_case: run.responses.iter().map(of_case).collect(),
            strings: run.model.frame.bars.iter().map(is_string).collect(),
        }
    }

    /// The compression of all bars together, and the axial force that each buckles under \[N\].
    fn pushed(&self, combination: &Combination) -> (f64, Vec<f64>) {
        let mut ends = vec![[0.0; 2]; self.strings.len()];
        for &(case, factor) in &combination.terms {
            let from = self.by_case[case.0].as_flattened();
            for (sum, part) in ends.as_flattened_mut().iter_mut().zip(from) {
                *sum += factor * part;
            }
        }
        let squeeze = ends.iter().map(|[a, b]| a.min(*b).min(0.0)).sum::<f64>();
        (squeeze, self.strings.iter().zip(&ends).map(|(string, ends)| force_of(*string, *ends)).collect())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::assess::conditions::design_stiffness;
    use crate::assess::example;
    use crate::assess::run::{State, combined_loads};
    use crate::assess::setup::setup;
    use crate::assess::stability::SECOND_ORDER_BELOW;
    use crate::frame::linear::Solver;
    use crate::frame::{Bar, Frame, Node, NodeId};
    use crate::model::ask::JointModel;

    /// Every combination is in one half, and neither is empty, however alike they are.
    #[test]
    fn a_set_is_split_in_two() {
        let alike = vec![vec![-3.0; 130]; 5];
        assert_eq!(apart(&[4, 1, 2], &alike), (vec![4], vec![1, 2]));
        let mut two_kinds = vec![vec![-3.0; 130]; 6];
        for k in [1, 2, 5] {
            two_kinds[k] = vec![4.0; 130];
        }
        assert_eq!(apart(&[0, 1, 2, 3, 4, 5], &two_kinds), (vec![0, 3, 4], vec![1, 2, 5]));
        assert_eq!(apart(&[5, 0], &two_kinds), (vec![5], vec![0]));
    }

    /// What is told where the list does not close is the lowest factor, from below.
    #[test]
    fn where_the_list_does_not_close_the_lowest_factor_is_closed_in_on() {
        let project = example("propagation-tunnel.toml");
        let setup = setup(&project).unwrap();
        let run = Run::new(&setup, JointModel::Rigid, project.joints.feet).unwrap();
        let (_, axial) = by_compression(&run, &setup.combinations);
        let search =
            Search { run: &run, design: 1.0, axial: &axial, outlines: Vec::new(), known: Vec::new() };
        let (listed, bounded) =
            (run.solver.buckling_under(&axial[0], 1).unwrap(), search.bounded(0).unwrap());
        let (wanted, found) = (listed.factors[0], bounded.factors[0]);
        assert!(found <= wanted * (1.0 + 1e-9) && found > wanted * (1.0 - 1e-6), "{found} {wanted}");
        assert!(bounded.shapes.len() == 1 && bounded.shapes[0].iter().flatten().any(|v| v.abs() > 0.5));
    }

    /// Testing many combinations at once finds what solving every one of them finds.
    #[test]
    fn the_lowest_factor_and_the_low_ones_are_those_of_every_combination_alone() {
        for (file, kind, weaker) in [
            ("cider-shed-barrel.toml", JointModel::Rigid, 0.3),
            ("propagation-tunnel.toml", JointModel::Pinned, 1.0),
        ] {
            let project = example(file);
            let setup = setup(&project).unwrap();
            let run = Run::new(&setup, kind, project.joints.feet).unwrap();
            let design = design_stiffness(&project, &setup.grade) * weaker;
            let found = buckling(&run, &setup.combinations, design).unwrap();
            let alone: Vec<Option<f64>> = setup
                .combinations
                .iter()
                .map(|combination| {
                    let solved = run.solver.solve(&[combined_loads(&setup.loads, combination)]).unwrap();
                    let factors = run.solver.buckling(&solved[0], 1).unwrap().factors;
                    factors.first().filter(|_| counts(combination)).map(|f| f * design)
                })
                .collect();
            let lowest = alone.iter().flatten().fold(f64::INFINITY, |a, b| a.min(*b));
            let factor = found.factor.unwrap();
            assert!((factor / lowest - 1.0).abs() < 1e-6, "{file}: {factor} {lowest}");
            for level in [SECOND_ORDER_BELOW, 2.5 * SECOND_ORDER_BELOW] {
                let told = low(&run, &setup.combinations, design, &found, level).unwrap();
                for (low, factor) in told.iter().zip(&alone) {
                    assert_eq!(*low, factor.is_some_and(|f| f < level), "{file}: {factor:?}");
                }
            }
        }
    }

    /// Every bar of a frame in `pieces` that are rigid together.
    fn divided(frame: &Frame, pieces: usize) -> Frame {
        let mut new = Frame { bars: Vec::new(), ..frame.clone() };
        for bar in &frame.bars {
            let [a, b] = [bar.from, bar.to].map(|node| frame.nodes[node.0].at);
            let mut from = bar.from;
            for piece in 1..=pieces {
                let mut to = bar.to;
                if piece < pieces {
                    let at = a + (b - a) * (piece as f64 / pieces as f64);
                    new.nodes.push(Node { at, held: [false; 6], ground: [0.0; 6] });
                    to = NodeId(new.nodes.len() - 1);
                }
                new.bars.push(Bar { from, to, ..bar.clone() });
                from = to;
            }
        }
        new
    }

    /// Timbers of the stiff-jointed wider tunnel bow between joints: its factor is that of timbers divided in eight, where one cubic
    /// shape a timber gives 2.7 times as much under the same combination.
    #[test]
    fn a_rigid_tunnel_buckles_as_one_of_divided_timbers() {
        let project = example("wider-longer-tunnel.toml");
        let setup = setup(&project).unwrap();
        let run = Run::new(&setup, JointModel::Rigid, project.joints.feet).unwrap();
        let design = design_stiffness(&project, &setup.grade);
        let found = buckling(&run, &setup.combinations, design).unwrap();
        let state = State::of(&setup.combinations[found.combination.unwrap()]);
        let axial: Vec<f64> = run.axial_ends(&state).iter().map(|[a, b]| a.min(*b)).collect();
        let lowest = |pieces: usize| {
            let solver = Solver::new(&divided(&run.model.frame, pieces)).unwrap();
            let axial: Vec<f64> = axial.iter().flat_map(|n| vec![*n; pieces]).collect();
            solver.buckling_of_nodes(&axial, 1).unwrap().factors[0] * design / found.factor.unwrap()
        };
        let (whole, fine) = (lowest(1), lowest(8));
        assert!(fine > 1.0 && fine < 1.0005 && whole > 2.5, "{fine} {whole}");
    }
}
