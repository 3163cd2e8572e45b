//! A low guess at the limit of every combination's nonlinear path, from its first-order answer: what decides which are followed.
//!
//! Each joint gives way in two manners, with its neighbours standing still: compression takes stiffness off it, and movement
//! inward presses it flat. Both are linear in the answer, so that they add up over cases.

use rayon::prelude::{IntoParallelIterator, ParallelIterator};

use crate::assess::AssessError;
use crate::assess::dents::{self, Around, FLAT};
use crate::assess::run::Run;
use crate::assess::setup::Setup;
use crate::assess::stability::{Stability, counts};
use crate::frame::fold::gradient;
use crate::frame::{EndFix, Response};
use crate::loads::Combination;
use crate::vector::{Mat3, Vec3};

/// Combinations whose joints give way alike to this cosine stand for each other: the one of the lower guess is followed.
const ALIKE: f64 = 0.95;

/// Guesses as close as this, relative, of joints that give way as much altogether, are mirror images of each other.
const TWINS: f64 = 1e-6;

/// What the limit of a frame with its imperfection is at least, as a share of its linear factor: with hinged bars, and with joints that
/// pass moments. Our own guess, after domes, caps and barrels of which every combination was followed (0.09 to 0.4 of the factor were
/// found, and 0.9 and more); it decides what is followed, and is in no answer.
const KNOCKED_DOWN: [f64; 2] = [0.1, 0.3];

/// The same where the imperfection dents joints nearly as deep as they stand above their neighbours: 0.005 of the factor was found.
const DENTED: f64 = 0.005;

/// A joint on shallow hinged bars snaps at this share of the load that would push it flat, were its stiffness to stay what it is
/// at first: P = 2/(3√3) · EA β³ over 2 EA β³ is 1/(3√3) = 0.19 (R. von Mises 1923; derived in
/// `tests/published/two_bar_truss.rs`).
const SNAPS_AT: f64 = 0.19;

/// The stiffness of a joint on shallow hinged bars falls by its first one, to none, and at the plane of its neighbours by half as much
/// again: below nothing by this share of it (the second derivative of the same).
const LOST: f64 = 0.5;

/// The share of its height that an imperfection leaves a joint at least, in the guess.
const LEFT: f64 = 0.1;

/// A low guess at every combination's limit.
pub(super) struct Guesses {
    /// By combination; infinite for those that do not count.
    pub(super) at: Vec<f64>,
    /// By combination: how much each joint gives way, 1 / the guess of that joint alone.
    ways: Vec<Vec<f64>>,
    /// Combinations that count, from the lowest guess on.
    pub(super) order: Vec<usize>,
}

/// What lets a joint give way, linear in the answer to a load.
#[derive(Clone, Copy)]
struct Giving {
    /// What its bars' compression takes off its stiffness where they hold it least, its neighbours standing still, as a share of that
    /// stiffness \[1\].
    pushed: f64,
    /// How far it moves into the plane of its neighbours, as a share of the movement at which it would snap \[1\].
    flattened: f64,
}

impl Guesses {
    /// `deep`: whether the imperfection dents joints so deep that a part of it may be worse.
    ///
    /// # Errors
    /// A fold without area.
    pub(super) fn new(
        run: &Run,
        setup: &Setup,
        stability: &Stability,
        design: f64,
        (imperfection, deep): (f64, bool),
    ) -> Result<Self, AssessError> {
        let joints = Joint::all(run, setup, design, imperfection)?;
        let knocked_down = if deep { DENTED } else { KNOCKED_DOWN[usize::from(run.model.kind.is_stiff())] };
        let cases: Vec<Vec<Giving>> = run
            .responses
            .iter()
            .map(|response| joints.iter().map(|joint| joint.giving(response, design)).collect())
            .collect();
        let count = setup.combinations.len();
        let (mut at, mut ways) = (vec![f64::INFINITY; count], vec![Vec::new(); count]);
        let counted = (0..count).filter(|&i| counts(&setup.combinations[i])).collect::<Vec<usize>>();
        let each: Vec<Vec<f64>> = counted
            .clone()
            .into_par_iter()
            .map(|i| ways_of(&cases, &setup.combinations[i], knocked_down))
            .collect();
        for (&i, way) in counted.iter().zip(each) {
            let whole = 1.0 / (knocked_down * stability.at_most[i]);
            at[i] = 1.0 / way.iter().fold(whole, |most, w| most.max(*w));
            ways[i] = way;
        }
        let mut order = counted;
        order.sort_by(|&a, &b| at[a].total_cmp(&at[b]).then(a.cmp(&b)));
        Ok(Self { at, ways, order })
    }

    /// Whether the path of one combination stands for that of another, which is then not followed.
    pub(super) fn stands_for(&self, one: usize, other: usize) -> bool {
        let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();
        let [a, b] = [one, other].map(|i| self.ways[i].as_slice());
        let (aa, bb) = (dot(a, a), dot(b, b));
        let near = |x: f64, y: f64| (x - y).abs() <= TWINS * x.abs().max(y.abs());
        let twins = near(self.at[one], self.at[other]) && near(aa, bb);
        let not_before = self.at[other] >= self.at[one] * (1.0 - TWINS);
        twins || (not_before && dot(a, b) >= ALIKE * (aa * bb).sqrt())
    }
}

/// How much every joint gives way under a combination.
fn ways_of(cases: &[Vec<Giving>], combination: &Combination, knocked_down: f64) -> Vec<f64> {
    let mut sum = vec![Giving { pushed: 0.0, flattened: 0.0 }; cases.first().map_or(0, Vec::len)];
    for &(case, factor) in &combination.terms {
        for (sum, part) in sum.iter_mut().zip(&cases[case.0]) {
            sum.pushed += factor * part.pushed;
            sum.flattened += factor * part.flattened;
        }
    }
    sum.iter().map(|g| g.pushed.max(0.0) / knocked_down + g.flattened.max(0.0)).collect()
}

/// A joint that is free to move, seen along the direction in which its bars hold it least.
struct Joint {
    node: usize,
    way: Vec3,
    bars: Vec<BarAt>,
    /// How far inward it would move before it snaps, its stiffness staying what it is at first \[m\]; none where it does not stand above
    /// its neighbours.
    snaps_after: Option<f64>,
    /// Stiffness of its bars and folds in that direction, its neighbours standing still \[N/m\].
    stiffness: f64,
}

/// A bar at a joint.
struct BarAt {
    bar: usize,
    far: usize,
    /// (1 − s²)/L, with s the sine of its slope: what its axial force takes off the joint's stiffness, per newton \[1/m\].
    per_force: f64,
}

/// EA of a bar \[N\].
fn along(run: &Run, bar: usize) -> f64 {
    let section = &run.model.frame.bars[bar].section;
    section.elastic * section.area
}

/// What holds a bar's end across it, its other end clamped and this one free to turn, times its length cubed: 3EI by the weaker
/// axis where its ends are rigid, nothing else \[N·m²\].
fn across(run: &Run, bar: usize) -> f64 {
    let bar = &run.model.frame.bars[bar];
    let section = &bar.section;
    if bar.ends.iter().all(|end| matches!(end, EndFix::Rigid)) {
        3.0 * section.elastic * section.second_moment_y.min(section.second_moment_z)
    } else {
        0.0
    }
}

/// The direction in which the bars at a joint, each along itself, hold it least, the way that is rather outward; none where it has no
/// bar.
fn softest(run: &Run, setup: &Setup, node: usize, bars: &[(usize, usize)], outward: &Vec3) -> Option<Vec3> {
    let joints = &setup.shell.joints;
    let mut stiffness = Mat3::zeros();
    for &(bar, far) in bars {
        let chord = joints[node].at - joints[far].at;
        stiffness += chord * chord.transpose() * (along(run, bar) / chord.norm().powi(3));
    }
    let found = stiffness.symmetric_eigen();
    let least = found.eigenvalues.imin();
    let way: Vec3 = found.eigenvectors.column(least).into();
    (!bars.is_empty()).then(|| if way.dot(outward) < 0.0 { -way } else { way })
}

/// By node: stiffness of every fold that it touches and how its angle changes with the node's place \[N·m/rad, rad/m\].
///
/// # Errors
/// A fold without area.
fn folds_at(run: &Run, design: f64) -> Result<Vec<Vec<(f64, Vec3)>>, AssessError> {
    let frame = &run.model.frame;
    let mut at = vec![Vec::new(); frame.nodes.len()];
    for (index, fold) in frame.folds.iter().enumerate() {
        for (node, rate) in gradient(frame, index)? {
            at[node.0].push((design * fold.stiffness, rate));
        }
    }
    Ok(at)
}

impl Joint {
    /// # Errors
    /// A fold without area.
    fn all(run: &Run, setup: &Setup, design: f64, imperfection: f64) -> Result<Vec<Self>, AssessError> {
        let shell = &setup.shell;
        let folds = folds_at(run, design)?;
        let mut joints = Vec::new();
        for (node, Around { outward, members: bars }) in dents::around(shell).into_iter().enumerate() {
            let Some(outward) = outward.try_normalize(1e-9) else { continue };
            if shell.joints[node].foot {
                continue;
            }
            let Some(way) = softest(run, setup, node, &bars, &outward) else { continue };
            let (mut height, mut distance, mut shallow, mut bending) = (0.0, 0.0, 0.0, 0.0);
            let mut at = Vec::new();
            for (bar, far) in bars {
                let chord = shell.joints[node].at - shell.joints[far].at;
                let length = chord.norm();
                let rises = chord.dot(&way);
                let slope = rises / length;
                shallow += design * along(run, bar) / length * slope * slope;
                bending += design * across(run, bar) / length.powi(3);
                (height, distance) = (height + rises, distance + length);
                at.push(BarAt { bar, far, per_force: (1.0 - slope * slope) / length });
            }
            bending +=
                folds[node].iter().map(|(stiffness, rate)| stiffness * rate.dot(&way).powi(2)).sum::<f64>();
            let count = at.len() as f64;
            let (height, distance) = (height / count, distance / count);
            // An imperfection takes off the height, and off the stiffness by its square: off the limit by its cube.
            // What bending adds stays as it is, and where it outweighs what the bars lose along themselves nothing snaps.
            let lost = 1.0 - bending / (LOST * shallow);
            let snaps_after = (height > FLAT * distance && lost > 0.0)
                .then(|| height * SNAPS_AT * (1.0 - imperfection / height).max(LEFT).powi(3) / lost);
            let stiffness = shallow + bending;
            joints.push(Self { node, way, bars: at, snaps_after, stiffness });
        }
        Ok(joints)
    }

    fn giving(&self, response: &Response, design: f64) -> Giving {
        let moved = |node: usize| {
            let [x, y, z, ..] = response.displacements[node];
            Vec3::new(x, y, z).dot(&self.way)
        };
        let pushed: f64 = self
            .bars
            .iter()
            .map(|at| {
                let ends = &response.bar_ends[at.bar];
                -0.5 * (ends[0].n + ends[1].n) * at.per_force
            })
            .sum();
        let neighbours = self.bars.iter().map(|at| moved(at.far)).sum::<f64>() / self.bars.len() as f64;
        let inward = (neighbours - moved(self.node)) / design;
        let flattened = self.snaps_after.map_or(0.0, |after| inward / after);
        Giving { pushed: if self.stiffness > 0.0 { pushed / self.stiffness } else { 0.0 }, flattened }
    }
}
