//! The lowest factors λ at which the exact stiffness K(λN) of `exact.rs` loses its definiteness, and the proof that none is
//! missing: the count of Wittrick & Williams (1971, from memory), negative pivots of K(λN) and shapes of the bars whose nodes
//! stand still, is the number of factors below λ (Sylvester's law of inertia, with the bars' interiors eliminated).
//!
//! Kept between nodes to the shape that it has at some λ₀, every bar is part of a linear problem K(λ₀) + (λ − λ₀)·dK/dλ, which is
//! right to the square of λ − λ₀; what it is without force, K(λ₀) − λ₀·dK/dλ, is the strain energy of those shapes and so
//! positive definite. So each factorisation of K(λ₀N) gives a count, and by a step or two of inverse iteration on a block
//! of vectors the factors of that problem nearest to λ₀, where to look next. That goes on until as many pairs have
//! converged as the counts say there are. Where counts close in on a factor and no shape of the nodes belongs to it, bars
//! bow there while all nodes stand still.

use faer::Mat;

use crate::frame::assemble::Assembly;
use crate::frame::buckling::{Buckling, scaled};
use crate::frame::eigen::Pencil;
use crate::frame::error::FrameError;
use crate::frame::exact::{Exact, telling};
use crate::frame::factor::{Factor, Symbolic};
use crate::frame::indefinite::Indefinite;
use crate::frame::krylov::{REACH, orthonormal};
use crate::frame::linear::Solver;
use crate::frame::reduced::reduced;
use crate::frame::sums::{dot, length};

/// |K(λ)φ| / |Kφ| at which a pair has converged; the factor is then good to about the square.
const CONVERGED: f64 = 1e-8;
/// And what rounding leaves of K(λ)φ, over the machine epsilon and |K|·|φ|: more where a frame hardly shortens.
const ROUNDING: f64 = 4.0;
/// Relative step of Newton's with which a factor counts as found.
const ARRIVED: f64 = 1e-5;
/// |K(λ)φ| / |Kφ| up to which a shape belongs to a factor that counts have closed in on; if it is more, no node moves in that.
const STILL: f64 = 1e-4;
/// Relative width to which counts close a factor in.
const WIDTH: f64 = 1e-8;
/// Relative distance from a shift within which pairs may have converged.
const IN_REACH: f64 = 1e-2;
/// Relative distance to which two factors may be the same one.
const SAME: f64 = 1e-6;
/// Looks for more shapes of a factor that was found.
const COPIES: usize = 4;
/// Factorisations at most, for every factor that is asked for.
const STEPS: usize = 60;
/// Vectors beside those that are asked for.
const SPARE: usize = 3;
/// What start vectors are made from.
const SEED: u64 = 0xbeef;

/// One problem: a frame and its axial forces.
pub(super) struct Search<'a> {
    solver: &'a Solver,
    exact: &'a Exact,
    /// Symbolic factor and the factor of the elastic stiffness; none where nothing is unknown.
    elastic: Option<(&'a Symbolic, &'a Factor)>,
    axial: Vec<f64>,
    /// Solves of one right-hand side.
    applications: usize,
    /// Factors that were looked at, and how many lie below each.
    known: Vec<(f64, usize)>,
    /// Pairs that have converged, ascending.
    found: Vec<Pair>,
    /// Vectors that the next step begins with, and how many it is to have.
    block: Mat<f64>,
    many: usize,
    /// Whether the linear problem said where to look last.
    turn: bool,
    /// Looks in a row in gaps so narrow that all factors in them may be one.
    narrow: usize,
}

/// Where to look next.
enum Next {
    Look(f64),
    /// Nowhere: the list is whole up to here.
    Whole(f64),
}

/// What keeps a first look off the places where bars alone buckle, near which counts lose digits: before and behind them.
const BEFORE: f64 = 0.963;
const BESIDE: f64 = 1.037;
/// How much further to look where nothing says where.
const FURTHER: f64 = 1.93;

/// A factor and its shape, the unknowns; none where nodes stand still in it.
struct Pair {
    factor: f64,
    shape: Option<Vec<f64>>,
    residual: f64,
    /// Whether the residual is what convergence or rounding leaves.
    converged: bool,
}

impl<'a> Search<'a> {
    /// `exact` is that of the solver.
    ///
    /// # Errors
    /// [`FrameError::Mechanism`].
    pub(super) fn new(solver: &'a Solver, exact: &'a Exact, axial: &[f64]) -> Result<Self, FrameError> {
        Ok(Self {
            solver,
            exact,
            elastic: solver.factor()?,
            axial: telling(axial),
            applications: 0,
            known: vec![(0.0, 0)],
            found: Vec::new(),
            block: Mat::zeros(solver.unknowns(), 0),
            many: 0,
            turn: false,
            narrow: 0,
        })
    }

    fn assembly(&self) -> &'a Assembly {
        self.solver.assembly()
    }

    /// K(λN).
    fn stiffness(&self, factor: f64) -> Vec<f64> {
        let mut values = self.solver.stiffness().to_vec();
        self.exact.add(&mut values, |bar| factor * self.axial[bar]);
        values
    }

    /// −dK/dλ.
    fn loss(&self, factor: f64) -> Vec<f64> {
        let mut values = vec![0.0; self.assembly().entries()];
        self.exact.add_change(&mut values, -1.0, &self.axial, factor);
        values
    }

    /// The factor of K(λN); `None` where a buckling factor lies below λ.
    fn definite(&self, factor: f64) -> Option<(Vec<f64>, Factor)> {
        let (symbolic, _) = self.elastic?;
        if self.exact.still_up_to(&self.axial) <= factor {
            return None;
        }
        let values = self.stiffness(factor);
        let done = symbolic.cholesky(self.assembly(), &values).ok()?;
        Some((values, done))
    }

    /// Whether no factor lies below this one.
    pub(super) fn none_below(&self, factor: f64) -> bool {
        match self.elastic {
            Some(_) => self.definite(factor).is_some(),
            None => self.exact.still_up_to(&self.axial) > factor,
        }
    }

    /// How many factors lie between 0 and this one; `None` where the count itself lost its digits.
    #[cfg(test)]
    fn count(&self, factor: f64) -> Option<usize> {
        let still = self.exact.still_shapes(&self.axial, factor);
        let Some((symbolic, _)) = self.elastic else { return Some(still) };
        Some(still + symbolic.negative_count(self.assembly(), &self.stiffness(factor))?)
    }

    /// The lowest `count` factors (more where a repeated one would be cut in half).
    ///
    /// # Errors
    /// [`FrameError::NotConverged`] where counts contradict each other.
    pub(super) fn lowest(mut self, count: usize) -> Result<Buckling, FrameError> {
        if count == 0 || self.axial.iter().all(|n| *n >= 0.0) {
            // Nothing was looked for; or nothing is pushed, and then K only grows.
            return Ok(self.listed(if count == 0 { 0.0 } else { f64::INFINITY }));
        }
        let first = self.start(count);
        let (mut at, end) = (self.clear(first), first * REACH);
        for _ in 0..STEPS * (count + 1) {
            let (ritz, counted) = self.look(at)?;
            at = match self.next(&ritz, count) {
                Next::Whole(below) if self.known.contains(&(below, self.found_below(below))) => {
                    return Ok(self.listed(below));
                }
                // More were found than there are.
                Next::Whole(_) => break,
                // There are no more in reach.
                Next::Look(next) if next > end && self.found.len() == counted => {
                    return Ok(self.listed(at));
                }
                Next::Look(next) => self.clear(next),
            };
        }
        Err(FrameError::NotConverged {
            what: "the list of buckling factors against its count",
            steps: STEPS * (count + 1),
            residual: f64::NAN,
            tolerance: CONVERGED,
        })
    }

    fn listed(&self, below: f64) -> Buckling {
        let assembly = self.assembly();
        let pairs: Vec<&Pair> = self.found.iter().filter(|pair| pair.factor < below).collect();
        let still = vec![[0.0; 6]; self.solver.frame().nodes.len()];
        let shape = |pair: &&Pair| match &pair.shape {
            Some(x) => scaled(assembly.spread(x)),
            None => still.clone(),
        };
        Buckling {
            factors: pairs.iter().map(|pair| pair.factor).collect(),
            residuals: pairs.iter().map(|pair| pair.residual).collect(),
            shapes: pairs.iter().map(shape).collect(),
            below,
            applications: self.applications,
        }
    }

    /// Where to look first, and the vectors to begin with: by the cubic problem, whose shapes bound the lowest factor.
    fn start(&mut self, count: usize) -> f64 {
        let still = self.exact.still_up_to(&self.axial);
        let Some((symbolic, factor)) = self.elastic else { return BESIDE * still };
        let assembly = self.assembly();
        self.many = (count + SPARE).min(assembly.unknowns);
        let cubic = Pencil { assembly, symbolic, factor, k: self.solver.stiffness(), b: &self.loss(0.0) };
        let Ok(cubic) = cubic.lowest(count) else { return BESIDE * still.min(f64::MAX / REACH / REACH) };
        self.applications += cubic.applications;
        let bounds = cubic.values.iter().enumerate().map(|(column, factor)| {
            self.at_most(&assembly.spread(cubic.vectors.col_as_slice(column)), *factor)
        });
        let least = bounds.fold(BEFORE * still, f64::min);
        self.block = cubic.vectors;
        if least.is_finite() { least } else { cubic.below }
    }

    /// Factorises K at a factor: the count there, and pairs of the linear problem by which to look on.
    fn look(&mut self, at: f64) -> Result<(Vec<Pair>, usize), FrameError> {
        let still = self.exact.still_shapes(&self.axial, at);
        let Some((symbolic, _)) = self.elastic else {
            self.known.push((at, still));
            return Ok((Vec::new(), still));
        };
        let assembly = self.assembly();
        let values = self.stiffness(at);
        let indefinite = Indefinite::new(symbolic, assembly, &values)?;
        let counted = still + indefinite.negatives;
        self.known.push((at, counted));
        let loss = self.loss(at);
        let ritz = self.ritz(at, (&values, &loss), &indefinite);
        for pair in &ritz {
            if pair.converged {
                self.take(pair);
            }
        }
        Ok((ritz, counted))
    }

    /// Two steps of inverse iteration on the block, and what it says of the factors near `at`, ascending.
    fn ritz(&mut self, at: f64, (values, loss): (&[f64], &[f64]), indefinite: &Indefinite) -> Vec<Pair> {
        let (assembly, n) = (self.assembly(), self.assembly().unknowns);
        let known = self.block.ncols();
        let random = crate::frame::random::block(n, self.many, SEED + self.known.len() as u64);
        let block = &self.block;
        let mut block =
            Mat::from_fn(n, self.many, |i, j| if j < known { block[(i, j)] } else { random[(i, j)] });
        let mut image = Mat::zeros(n, self.many);
        for _ in 0..2 {
            assembly.multiply_block(loss, &block, &mut image);
            for column in 0..self.many {
                indefinite.solve(image.col_as_slice_mut(column));
            }
            std::mem::swap(&mut block, &mut image);
            if !(0..self.many).all(|column| block.col(column).norm_l2().is_finite()) {
                self.block = Mat::zeros(n, 0);
                return Vec::new();
            }
            orthonormal(&mut block);
        }
        self.applications += 2 * self.many;
        assembly.multiply_block(values, &block, &mut image);
        let stiff = block.transpose() * &image;
        assembly.multiply_block(loss, &block, &mut image);
        let lost = block.transpose() * &image;
        // K(λ₀) is the strain energy less λ₀ times the loss.
        let strain = Mat::from_fn(self.many, self.many, |i, j| stiff[(i, j)] + at * lost[(i, j)]);
        let Some((factors, within)) = reduced(&strain, &lost) else {
            self.block = Mat::zeros(n, 0);
            return Vec::new();
        };
        self.block = &block * within;
        let pair = |(column, &factor): (usize, &f64)| {
            if (factor - at).abs() > IN_REACH * at {
                return Pair { factor, shape: None, residual: f64::INFINITY, converged: false };
            }
            let x = self.block.col_as_slice(column);
            let pair = self.closer(x.to_vec(), factor, loss);
            if pair.converged {
                return pair;
            }
            // The small problem may have lost digits of a stiff frame's shape, which one more step brings back.
            let mut solved = vec![0.0; n];
            assembly.multiply(loss, x, &mut solved);
            indefinite.solve(&mut solved);
            let size = length(&solved);
            solved.iter_mut().for_each(|v| *v /= size);
            let again = self.closer(solved, factor, loss);
            if again.residual < pair.residual { again } else { pair }
        };
        let mut pairs: Vec<Pair> = factors.iter().enumerate().map(pair).collect();
        pairs.retain(|pair| pair.factor.is_finite());
        pairs
    }

    /// Keeps a pair, but for what the same factor's pairs already have of it.
    fn take(&mut self, pair: &Pair) {
        let Some(mut x) = pair.shape.clone() else { return };
        let same = |other: &&Pair| (other.factor - pair.factor).abs() <= SAME * pair.factor;
        for _ in 0..2 {
            for other in self.found.iter().filter(same).filter_map(|other| other.shape.as_ref()) {
                let along = dot(&x, other);
                x.iter_mut().zip(other).for_each(|(a, b)| *a -= along * b);
            }
        }
        let left = length(&x);
        if left > 1e-3 {
            x.iter_mut().for_each(|v| *v /= left);
            self.found.push(Pair { shape: Some(x), ..*pair });
            self.found.sort_by(|a, b| a.factor.total_cmp(&b.factor));
        }
    }

    /// How many of those found lie below.
    fn found_below(&self, at: f64) -> usize {
        self.found.iter().filter(|pair| pair.factor < at).count()
    }

    /// Where to look next.
    fn next(&mut self, ritz: &[Pair], count: usize) -> Next {
        loop {
            self.known.sort_by(|a, b| a.0.total_cmp(&b.0));
            // At a factor its own count is a matter of rounding.
            let found = &self.found;
            self.known.retain(|(at, _)| {
                found.iter().all(|pair| pair.shape.is_none() || (pair.factor - at).abs() > WIDTH * at)
            });
            let gap = self.known.iter().position(|(at, counted)| *counted > self.found_below(*at));
            let Some(place) = gap else { break };
            let (low, high) = (self.known[place.max(1) - 1].0, self.known[place].0);
            let missing = self.known[place].1 - self.found_below(high);
            if !self.closed_in(low, high) {
                // Copies of a factor that are still missing are met by other vectors than those that have met it.
                self.many = self.many.max((missing + SPARE).min(self.assembly().unknowns));
                self.narrow = if high - low < SAME * high { self.narrow + 1 } else { 0 };
                if self.narrow > 0 {
                    self.block = Mat::zeros(self.block.nrows(), 0);
                }
                return Next::Look(self.within(low, high, ritz));
            }
            // Closed in: what there is of shapes is taken, the others move no node.
            let before = self.found.len();
            for pair in ritz.iter().filter(|pair| pair.residual <= STILL) {
                if (pair.factor / high - 1.0).abs() <= SAME {
                    self.take(pair);
                }
            }
            for more in (self.found.len() - before).min(missing)..missing {
                // Below the count that says so, by however little: else it would be missing for ever.
                let factor = self.exact.still_shape_at(&self.axial, [low, high], more).min(high.next_down());
                self.found.push(Pair { factor, shape: None, residual: 0.0, converged: true });
            }
            self.found.sort_by(|a, b| a.factor.total_cmp(&b.factor));
        }
        let top = self.known[self.known.len() - 1].0;
        let top = self.found.last().map_or(top, |pair| top.max(pair.factor));
        if let Some(last) = self.found.get(count - 1) {
            // Just above the last, repeated ones included.
            let repeated = self.found.iter().filter(|pair| pair.factor <= last.factor * (1.0 + SAME));
            let last = repeated.map(|pair| pair.factor).fold(last.factor, f64::max);
            // Nearer to it a count is a matter of rounding.
            return match self.known.iter().find(|(at, _)| *at > last * (1.0 + WIDTH)) {
                Some((below, _)) => Next::Whole(*below),
                None => Next::Look(last * (1.0 + 1e-7)),
            };
        }
        let above = ritz.iter().map(|pair| pair.factor).filter(|factor| *factor > top * (1.0 + WIDTH));
        let above = above.fold(f64::INFINITY, f64::min);
        Next::Look(above.min(FURTHER * top))
    }

    /// Where a count holds: this place, or the edge of the stretch about it where it would not.
    fn clear(&self, at: f64) -> f64 {
        let Some([below, above]) = self.exact.blind(&self.axial, at) else { return at };
        let known = |edge: f64| self.known.iter().any(|(at, _)| at.total_cmp(&edge).is_eq());
        if known(above) && !known(below) { below } else { above }
    }

    /// Whether there is nowhere to look between these two: or beside a factor that was found no more use in it.
    fn closed_in(&self, low: f64, high: f64) -> bool {
        let blind = || self.exact.blind(&self.axial, 0.5 * (low + high));
        let copies =
            || self.narrow >= COPIES && self.found.iter().any(|pair| pair.factor > low && pair.factor < high);
        high - low <= WIDTH * high
            || blind().is_some_and(|[below, above]| below <= low && high <= above)
            || (high - low < SAME * high && copies())
    }

    /// Where to look for a factor between these two.
    fn within(&mut self, low: f64, high: f64, ritz: &[Pair]) -> f64 {
        let middle = 0.5 * (low + high);
        // Counts take over where the linear problems do not halve the gap in a few steps.
        let tried =
            self.known.iter().filter(|(at, _)| *at > 0.0 && (at - middle).abs() <= high - low).count();
        let found = |factor: f64| {
            self.found.iter().any(|pair| (pair.factor / factor - 1.0).abs() < WIDTH && pair.shape.is_some())
        };
        let inside = ritz.iter().map(|pair| pair.factor).filter(|f| *f > low && *f < high && !found(*f));
        let first = inside.fold(f64::INFINITY, f64::min);
        self.turn = !self.turn || tried < 3;
        // From above steps come down slowly where bars are about to bow by themselves: twice as far may come out below, from
        // where they go fast.
        let further = high - 2.0 * (high - first);
        // A shape more of a factor that was found: close about that.
        let copy = self.found.iter().map(|pair| pair.factor).find(|factor| *factor > low && *factor < high);
        let beside = copy.map(|factor| [factor * (1.0 + 0.2 * SAME), factor * (1.0 - 0.2 * SAME)]);
        let beside = beside.into_iter().flatten().find(|at| *at > low && *at < high);
        match (first.is_finite(), self.turn) {
            (true, true) => first,
            (true, false) if tried < 8 && further > low => further,
            (false, _) if beside.is_some() => beside.unwrap_or(middle),
            // Where a bar bows by itself the counts about that close in at once.
            (false, true) => self.exact.still_shape_at(&self.axial, [low, high], 0),
            (_, false) => middle,
        }
    }

    /// The factor at which xᵀK(λ)x vanishes, no more than `bound`, where it is well below all shapes of bars whose nodes stand
    /// still: no less than the lowest factor (the shape of nodes is that of the trial, the bars between them are free).
    fn at_most(&self, shape: &[[f64; 6]], bound: f64) -> f64 {
        let assembly = self.assembly();
        let x = assembly.gather(shape);
        let mut kx = vec![0.0; x.len()];
        assembly.multiply(self.solver.stiffness(), &x, &mut kx);
        let elastic = dot(&x, &kx);
        let turns = self.exact.turns(shape);
        let mut factor = bound.min(BEFORE * self.exact.still_up_to(&self.axial));
        // Concave and falling at the root: Newton's steps from above come down to it.
        for _ in 0..30 {
            let [gained, change] = self.exact.gained(&turns, &self.axial, factor);
            let step = (elastic + gained) / change;
            if !(step > 1e-4 * factor && step < factor) {
                break;
            }
            factor -= step;
        }
        factor
    }

    /// The pair that two steps of Newton's make of a shape and a factor near which xᵀK(λ)x vanishes. `loss`: −dK/dλ nearby.
    fn closer(&self, x: Vec<f64>, factor: f64, loss: &[f64]) -> Pair {
        let times = |values: &[f64], x: &[f64]| {
            let mut product = vec![0.0; x.len()];
            self.assembly().multiply(values, x, &mut product);
            product
        };
        let (left, lost) = (times(&self.stiffness(factor), &x), times(loss, &x));
        let step = dot(&x, &left) / dot(&x, &lost);
        // What Newton's step leaves is about its square: one that is not small has not arrived.
        if step.is_nan() || step.abs() > ARRIVED * factor {
            return Pair { factor, shape: Some(x), residual: f64::INFINITY, converged: false };
        }
        let factor = factor + step;
        let values = self.stiffness(factor);
        let off = times(&values, &x);
        let factor = factor + dot(&x, &off) / dot(&x, &lost);
        let whole = length(&times(self.solver.stiffness(), &x));
        let sizes = |x: &[f64]| x.iter().map(|v| v.abs()).collect::<Vec<_>>();
        let rounding = ROUNDING * f64::EPSILON * length(&times(&sizes(&values), &sizes(&x)));
        let residual = length(&off) / whole;
        Pair { factor, residual, converged: residual <= CONVERGED.max(rounding / whole), shape: Some(x) }
    }
}

#[cfg(test)]
#[path = "exact_tests.rs"]
pub(crate) mod tests;
