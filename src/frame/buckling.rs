//! Linear buckling: the load factors λ at which K(λN) has no stiffness left in some shape.
//!
//! N are the axial forces of a first-order answer, which grow with λ. Where bars bend, K is their exact stiffness under an
//! axial force (`exact.rs`); where all of them are hinged at both ends it is K + λ·Kg. The factors are those of a perfect
//! frame that keeps its shape until it buckles; shallow shells snap through well below ([`crate::frame`] has a nonlinear path
//! for that).
//!
//! A bar that line loads push along its axis has another axial force at every place; one that bends is taken as if the more
//! compressed of its ends were all of it. That errs on the safe side whatever the frame is, since K falls with every axial
//! force at every place: a free-standing column under its own weight comes out at a third as one bar, and at 0.9 of what it
//! is in sixteen. The mean is closer for most bars, and errs the other way for a bar whose more compressed end is the one that
//! slopes more: by 42 % for one that is free at that end. A bar hinged at both ends is straight, and the mean is exact.

use crate::frame::Response;
use crate::frame::eigen::{Lowest, Pencil};
use crate::frame::error::FrameError;
use crate::frame::exact::telling;
use crate::frame::exact_factors::Search;
use crate::frame::geometric;
use crate::frame::linear::Solver;

/// The lowest buckling factors and what proves them.
#[derive(Debug, Clone, PartialEq)]
pub struct Buckling {
    /// Load factors, ascending, repeated ones repeated; empty where nothing buckles.
    pub factors: Vec<f64>,
    /// Shape of each: movement of every node, the largest translation 1. All zero where bars bow and every node stands still, as
    /// in a bar with both ends clamped; [`Solver::buckling_of_nodes`] has shapes that always move nodes.
    pub shapes: Vec<Vec<[f64; 6]>>,
    /// |K(λN) φ| / |K φ| of each, 0 where no node moves.
    pub residuals: Vec<f64>,
    /// An inertia count shows that exactly the factors listed exist between 0 and here.
    pub below: f64,
    /// Applications of the operator, and solves of one right-hand side; 0 where the problem was solved densely and at once.
    pub applications: usize,
}

/// What one shape, bars between their nodes included, says of the buckling factor under any axial forces: Rayleigh's quotient
/// of its strain energy over the work −Σ N ∫w′² is never below the lowest positive factor (any text on the calculus of
/// variations).
#[derive(Debug, Clone, PartialEq)]
pub struct Rayleigh {
    /// Twice the strain energy.
    stiffness: f64,
    /// ∫w′² of every bar.
    per_force: Vec<f64>,
}

impl Rayleigh {
    /// What the lowest positive buckling factor under these axial forces \[N\], tension positive, does not exceed: infinity
    /// where they stiffen the shape.
    #[must_use]
    pub fn at_most(&self, axial: &[f64]) -> f64 {
        let gained: f64 = self.per_force.iter().zip(axial).map(|(q, n)| q * n).sum();
        if gained < 0.0 { self.stiffness / -gained } else { f64::INFINITY }
    }
}

/// Movements of every node with the largest translation 1 (the largest rotation where nothing moves).
#[must_use]
pub(crate) fn scaled(mut shape: Vec<[f64; 6]>) -> Vec<[f64; 6]> {
    let largest = |from: usize| {
        shape
            .iter()
            .flat_map(|six| &six[from..from + 3])
            .fold(0.0_f64, |a, b| if b.abs() > a.abs() { *b } else { a })
    };
    let (moved, turned) = (largest(0), largest(3));
    let scale = if moved.abs() > 1e-12 * turned.abs() { moved } else { turned };
    if scale != 0.0 {
        shape.iter_mut().flatten().for_each(|v| *v /= scale);
    }
    shape
}

/// Shapes of an eigenvalue problem as movements of nodes.
pub(crate) fn shapes(solver: &Solver, found: &Lowest) -> Vec<Vec<[f64; 6]>> {
    (0..found.values.len())
        .map(|column| scaled(solver.assembly().spread(found.vectors.col_as_slice(column))))
        .collect()
}

impl Solver {
    /// The lowest `count` positive buckling factors of the load case behind `response` (more where a
    /// repeated factor would be cut in half; none where nothing compresses the frame enough).
    ///
    /// # Errors
    /// [`FrameError::Mechanism`], [`FrameError::NotConverged`].
    pub fn buckling(&self, response: &Response, count: usize) -> Result<Buckling, FrameError> {
        self.buckling_under(&geometric::buckling_forces(self.frame(), response), count)
    }

    /// The same for axial forces bar by bar \[N\], tension positive.
    ///
    /// # Errors
    /// As [`Solver::buckling`].
    pub fn buckling_under(&self, axial: &[f64], count: usize) -> Result<Buckling, FrameError> {
        match self.exact() {
            Some(exact) => Search::new(self, exact, axial)?.lowest(count),
            None => self.buckling_of_nodes(axial, count),
        }
    }

    /// The same with every bar held to one cubic shape between its nodes, K + λ·Kg: shapes that move nodes, and factors that
    /// are too high where bars bow between them.
    ///
    /// # Errors
    /// As [`Solver::buckling`].
    pub fn buckling_of_nodes(&self, axial: &[f64], count: usize) -> Result<Buckling, FrameError> {
        let empty = |below| Buckling {
            factors: Vec::new(),
            shapes: Vec::new(),
            residuals: Vec::new(),
            below,
            applications: 0,
        };
        let Some((symbolic, factor)) = self.factor()? else { return Ok(empty(f64::INFINITY)) };
        let b = self.destabilising(axial);
        let pencil = Pencil { assembly: self.assembly(), symbolic, factor, k: self.stiffness(), b: &b };
        let found = pencil.lowest(count)?;
        let shapes = shapes(self, &found);
        Ok(Buckling {
            factors: found.values,
            shapes,
            residuals: found.residuals,
            below: found.below,
            applications: found.applications,
        })
    }

    /// Whether no buckling factor lies between 0 and `factor`: one factorisation of K(factor·N), far
    /// cheaper than the factors themselves.
    ///
    /// # Errors
    /// [`FrameError::Mechanism`].
    pub fn buckling_at_least(&self, response: &Response, factor: f64) -> Result<bool, FrameError> {
        self.buckling_at_least_under(&geometric::buckling_forces(self.frame(), response), factor)
    }

    /// The same for axial forces bar by bar \[N\], tension positive.
    ///
    /// K(N) grows with every axial force (the energy of a bar is the least over all its shapes of strain energy + N·∫w′²/2), so
    /// that the answer for the least force of each bar over several load cases, where it is yes, holds for every one of them.
    ///
    /// # Errors
    /// [`FrameError::Mechanism`].
    pub fn buckling_at_least_under(&self, axial: &[f64], factor: f64) -> Result<bool, FrameError> {
        if let Some(exact) = self.exact() {
            return Ok(Search::new(self, exact, axial)?.none_below(factor));
        }
        let Some((symbolic, k_factor)) = self.factor()? else { return Ok(true) };
        let b = self.destabilising(axial);
        let pencil =
            Pencil { assembly: self.assembly(), symbolic, factor: k_factor, k: self.stiffness(), b: &b };
        Ok(pencil.none_below(factor))
    }

    /// The bound that a shape, movements of every node, sets to buckling factors. Between the nodes the bars have the shape
    /// that they take under these axial forces \[N\]: those at which the shape buckled make the closest bound.
    #[must_use]
    pub fn rayleigh(&self, shape: &[[f64; 6]], axial: &[f64]) -> Rayleigh {
        let assembly = self.assembly();
        let x = assembly.gather(shape);
        let mut kx = vec![0.0; x.len()];
        let mut work = |values: &[f64]| {
            assembly.multiply(values, &x, &mut kx);
            x.iter().zip(&kx).map(|(x, k)| x * k).sum::<f64>()
        };
        let Some(exact) = self.exact() else {
            return Rayleigh {
                stiffness: work(self.stiffness()),
                per_force: self.geometric().works(assembly, &x),
            };
        };
        // The energy under N is strain energy + N·∫w′², and ∫w′² its change with N.
        let mut values = self.stiffness().to_vec();
        exact.add(&mut values, |bar| axial[bar]);
        let per_force = exact.works(shape, |bar| axial[bar]);
        let pushed: f64 = per_force.iter().zip(axial).map(|(q, n)| q * n).sum();
        Rayleigh { stiffness: work(&values) - pushed, per_force }
    }

    /// −Kg.
    fn destabilising(&self, axial: &[f64]) -> Vec<f64> {
        let axial: Vec<f64> = telling(axial).iter().map(|n| -n).collect();
        self.geometric().assemble(self.assembly(), &axial)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::frame::timber::TIMBER;
    use crate::frame::{Bar, EndFix, Frame, Node, NodeId};
    use crate::vector::Vec3;

    /// Rayleigh's quotient of the lowest shape is the lowest factor, of any other shape it is no less; under other forces
    /// it is what K and Kg say of the shape, and nothing where they pull.
    #[test]
    fn a_shape_bounds_the_factor_from_above() {
        let held = |at: f64| [at <= 0.0 || at >= 3.0; 6];
        let nodes = [0.0, 0.9, 2.1, 3.0].map(|at: f64| Node {
            at: Vec3::new(at, 0.1 * at, 0.0),
            held: held(at),
            ground: [0.0; 6],
        });
        let bar = |from: usize| Bar {
            from: NodeId(from),
            to: NodeId(from + 1),
            section: TIMBER,
            up: Vec3::new(0.0, 0.0, 1.0),
            ends: [EndFix::Rigid, EndFix::Rigid],
        };
        let frame = Frame { nodes: nodes.to_vec(), bars: (0..3).map(bar).collect(), ..Frame::default() };
        let solver = Solver::new(&frame).unwrap();
        let (pushed, mixed) = ([-1e3, -2e3, -1500.0], [500.0, -3e3, -100.0]);
        let lowest = solver.buckling_under(&pushed, 3).unwrap();
        let bounds: Vec<Rayleigh> = lowest
            .shapes
            .iter()
            .zip(&lowest.factors)
            .map(|(shape, factor)| solver.rayleigh(shape, &pushed.map(|n| factor * n)))
            .collect();
        for (factor, bound) in lowest.factors.iter().zip(&bounds) {
            assert!(
                (bound.at_most(&pushed) / factor - 1.0).abs() < 1e-9,
                "{} {factor} {:?} {:?} {:?}",
                bound.at_most(&pushed),
                lowest.factors,
                lowest.residuals,
                lowest.shapes
            );
        }
        let other = solver.buckling_under(&mixed, 1).unwrap().factors[0];
        assert!(bounds.iter().all(|bound| bound.at_most(&mixed) >= other * (1.0 - 1e-9)));
        // Without axial force the bars have their cubic shapes.
        let cubic: Vec<Rayleigh> =
            lowest.shapes.iter().map(|shape| solver.rayleigh(shape, &[0.0; 3])).collect();
        assert!(cubic[0].at_most(&pushed) > lowest.factors[0]);
        for (shape, bound) in lowest.shapes.iter().zip(&cubic) {
            let (assembly, x) = (solver.assembly(), solver.assembly().gather(shape));
            let work = |values: &[f64]| {
                let mut product = vec![0.0; x.len()];
                assembly.multiply(values, &x, &mut product);
                x.iter().zip(&product).map(|(a, b)| a * b).sum::<f64>()
            };
            let quotient = work(solver.stiffness()) / work(&solver.destabilising(&mixed));
            assert!((bound.at_most(&mixed) / quotient - 1.0).abs() < 1e-12);
            assert!(bound.at_most(&mixed) >= other * (1.0 - 1e-9));
            assert!(bound.at_most(&pushed.map(|n| -n)).is_infinite());
        }
    }

    /// The size of a shape does not matter, only its proportions: what only turns, but for rounding, is scaled by its turns.
    #[test]
    fn a_shape_is_scaled_by_what_moves_in_it_whatever_its_size() {
        for size in [1e-6, 1.0, 1e6] {
            let of = |moved: f64, turned: f64| {
                let shape = vec![[0.2 * moved, -moved, 0.0, 0.0, turned, 0.0], [0.0; 6]].into_iter();
                let shape = shape.map(|six: [f64; 6]| six.map(|v| v * size)).collect();
                scaled(shape)[0]
            };
            let near =
                |found: [f64; 6], hand: [f64; 6]| found.iter().zip(hand).all(|(a, b)| (a - b).abs() < 1e-9);
            assert!(near(of(2.0, 5.0), [-0.2, 1.0, 0.0, 0.0, -2.5, 0.0]), "the largest translation is 1");
            assert!(near(of(1e-13, -4.0), [0.0, 0.0, 0.0, 0.0, 1.0, 0.0]), "{:?}", of(1e-13, -4.0));
            assert!((of(1e-10, 1.0)[1] - 1.0).abs() < 1e-9);
        }
        assert_eq!(scaled(vec![[0.0; 6]]), [[0.0; 6]]);
    }

    /// Two rods in a line, askew, between supports, and springs k that hold the node between them every way: it moves across the line at
    /// k over N/a + N/b, either way across. Of any shape a rod's work is N·across²/a, and its energy E·A·along²/a.
    #[test]
    fn rods_between_springs_buckle_and_bound_as_by_hand() {
        let along = Vec3::new(1.0, 2.0, 2.0) / 3.0;
        let (a, b, k) = (1.5, 2.5, 4e4);
        let node = |at: f64| Node {
            at: Vec3::new(0.3, -0.1, 0.2) + along * at,
            held: if at > 0.0 && at < a + b { [false, false, false, true, true, true] } else { [true; 6] },
            ground: if at > 0.0 && at < a + b { [k, k, k, 0.0, 0.0, 0.0] } else { [0.0; 6] },
        };
        let bar = |from: usize| Bar {
            from: NodeId(from),
            to: NodeId(from + 1),
            section: TIMBER,
            up: Vec3::x(),
            ends: [EndFix::Hinged; 2],
        };
        let nodes = [0.0, a, a + b].map(node).to_vec();
        let frame = Frame { nodes, bars: vec![bar(0), bar(1)], ..Frame::default() };
        let solver = Solver::new(&frame).unwrap();
        let axial = [-300.0, -700.0];
        let wanted = k / (300.0 / a + 700.0 / b);
        let found = solver.buckling_under(&axial, 1).unwrap();
        assert_eq!((found.factors.len(), found.shapes.len()), (2, 2), "either way across");
        for (factor, shape) in found.factors.iter().zip(&found.shapes) {
            assert!((factor / wanted - 1.0).abs() < 1e-9, "{factor} {wanted}");
            let moved = Vec3::new(shape[1][0], shape[1][1], shape[1][2]);
            assert!((moved.amax() - 1.0).abs() < 1e-12 && moved.dot(&along).abs() < 1e-9);
        }
        assert!(solver.buckling_at_least_under(&axial, 0.999 * wanted).unwrap());
        assert!(!solver.buckling_at_least_under(&axial, 1.001 * wanted).unwrap());
        // Pulled as hard, nothing buckles up to far beyond where it does when pushed.
        let pulled = solver.buckling_under(&axial.map(|n| -n), 1).unwrap();
        assert!(pulled.factors.is_empty() && pulled.below > 1e7 * wanted, "{}", pulled.below);
        let moved = Vec3::new(0.3, -0.5, 0.8);
        let shape = [[0.0; 6], [moved.x, moved.y, moved.z, 0.0, 0.0, 0.0], [0.0; 6]];
        let (on, across) = (along.dot(&moved), (moved - along * along.dot(&moved)).norm_squared());
        let stiff = TIMBER.elastic * TIMBER.area;
        let energy = k * moved.norm_squared() + stiff * on * on * (1.0 / a + 1.0 / b);
        for [first, second] in [axial, [-300.0, 200.0], [100.0, -900.0]] {
            let bound = solver.rayleigh(&shape, &axial).at_most(&[first, second]);
            let wanted = energy / -(across * (first / a + second / b));
            assert!((bound / wanted - 1.0).abs() < 1e-12, "{bound} {wanted}");
        }
    }
}
