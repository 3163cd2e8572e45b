//! The solver: one factorisation, any number of load cases.

use std::sync::{Arc, OnceLock};

use faer::{Mat, MatMut};

use crate::frame::assemble::Assembly;
use crate::frame::error::FrameError;
use crate::frame::factor::{Factor, NoFactor, Symbolic};
use crate::frame::geometric::PerUnit;
use crate::frame::mechanism::{self, Count};
use crate::frame::recover;
use crate::frame::{Bar, Fold, Frame, FrameLoads, Link, Mechanism, Response};

/// Smallest eigenvalue of the diagonally scaled stiffness below which mechanisms are looked for.
const SUSPICIOUS: f64 = 1e-9;

/// A frame made ready to solve: its unknowns, its factor, and its mechanisms where it has any.
#[derive(Debug, Clone)]
pub struct Solver {
    frame: Arc<Frame>,
    assembly: Arc<Assembly>,
    /// Absent where there are no unknowns.
    symbolic: Option<Symbolic>,
    stiffness: Vec<f64>,
    /// Absent where there are no unknowns, and for a mechanism.
    factor: Option<Factor>,
    mechanisms: Vec<Mechanism>,
    /// Made when first asked for.
    geometric: OnceLock<Arc<PerUnit>>,
}

impl Solver {
    /// Numbers, assembles and factorises a frame.
    ///
    /// A mechanism is no error here: it is found, and [`Solver::mechanisms`] tells it.
    ///
    /// # Errors
    /// What is wrong with the frame, and [`FrameError::TooSoft`] where nothing moves freely but
    /// stiffnesses differ by more than double precision holds.
    pub fn new(frame: &Frame) -> Result<Self, FrameError> {
        let assembly = Assembly::new(frame)?;
        let symbolic = if assembly.unknowns > 0 { Some(Symbolic::new(&assembly)?) } else { None };
        Self::prepare(frame, Arc::new(assembly), symbolic, None)
    }

    /// The same for a frame whose nodes, bars, links, folds and supports join up as this one's do (only
    /// places, stiffnesses and masses differ): the symbolic work is kept. Falls back to [`Solver::new`]
    /// where they do not.
    ///
    /// # Errors
    /// As [`Solver::new`].
    pub fn again(&self, frame: &Frame) -> Result<Self, FrameError> {
        if differs_in_stiffness_alone(&self.frame, frame) {
            crate::frame::check::check(frame)?;
            let known = (!self.mechanisms.is_empty()).then_some(self.mechanisms.as_slice());
            return Self::prepare(frame, Arc::clone(&self.assembly), self.symbolic.clone(), known);
        }
        let assembly = Assembly::new(frame)?;
        let same = assembly.column_start == self.assembly.column_start && assembly.row == self.assembly.row;
        if same {
            Self::prepare(frame, Arc::new(assembly), self.symbolic.clone(), None)
        } else {
            Self::new(frame)
        }
    }

    /// `known` are the mechanisms of a frame of the same shape, if it has any: only the shape counts for them.
    fn prepare(
        frame: &Frame,
        assembly: Arc<Assembly>,
        symbolic: Option<Symbolic>,
        known: Option<&[Mechanism]>,
    ) -> Result<Self, FrameError> {
        let stiffness = assembly.stiffness(frame);
        let mut solver = Self {
            frame: Arc::new(frame.clone()),
            assembly,
            symbolic,
            stiffness,
            factor: None,
            mechanisms: Vec::new(),
            geometric: OnceLock::new(),
        };
        solver.factorise(known)?;
        Ok(solver)
    }

    fn factorise(&mut self, known: Option<&[Mechanism]>) -> Result<(), FrameError> {
        let Some(symbolic) = &self.symbolic else { return Ok(()) };
        let assembly = &self.assembly;
        let diagonal = assembly.diagonal(&self.stiffness);
        let tried = symbolic.cholesky(assembly, &self.stiffness);
        if let Err(NoFactor::TooLarge) = tried {
            return Err(FrameError::TooLarge { unknowns: assembly.unknowns });
        }
        let clear = tried.as_ref().is_ok_and(|factor| smallest_scaled(factor, &diagonal) > SUSPICIOUS);
        if !clear {
            self.mechanisms = match known {
                Some(known) => known.to_vec(),
                None => mechanism::count(&self.frame, assembly, Some(symbolic))?.mechanisms,
            };
            if !self.mechanisms.is_empty() {
                return Ok(());
            }
        }
        match tried {
            Ok(factor) => {
                self.factor = Some(factor);
                Ok(())
            }
            Err(NoFactor::Pivot(unknown)) => {
                Err(FrameError::TooSoft { node: assembly.freedom[unknown].0, ratio: f64::EPSILON })
            }
            Err(NoFactor::TooLarge) => Err(FrameError::TooLarge { unknowns: assembly.unknowns }),
        }
    }

    /// The frame.
    #[must_use]
    pub fn frame(&self) -> &Frame {
        &self.frame
    }

    /// Unknowns and pattern.
    #[must_use]
    pub fn assembly(&self) -> &Assembly {
        &self.assembly
    }

    /// How many unknowns are solved for.
    #[must_use]
    pub fn unknowns(&self) -> usize {
        self.assembly.unknowns
    }

    /// Values of the stiffness in the pattern of the assembly.
    #[must_use]
    pub fn stiffness(&self) -> &[f64] {
        &self.stiffness
    }

    /// Geometric stiffness of every bar for an axial force of 1 N.
    #[must_use]
    pub fn geometric(&self) -> &PerUnit {
        self.geometric.get_or_init(|| Arc::new(PerUnit::new(&self.frame, &self.assembly)))
    }

    /// Motions that meet no stiffness; empty where the frame can carry any load.
    #[must_use]
    pub fn mechanisms(&self) -> &[Mechanism] {
        &self.mechanisms
    }

    /// The kinematic count: mechanisms, states of self-stress, Maxwell's number, and how clear the gap is.
    ///
    /// # Errors
    /// As [`mechanism::count`].
    pub fn count(&self) -> Result<Count, FrameError> {
        mechanism::count(&self.frame, &self.assembly, self.symbolic.as_ref())
    }

    /// Unknowns − resisted deformations: mechanisms minus states of self-stress (Maxwell, Calladine).
    #[must_use]
    pub fn maxwell_count(&self) -> i64 {
        mechanism::maxwell(&self.frame, &self.assembly)
    }

    /// The factor; `None` where there are no unknowns.
    ///
    /// # Errors
    /// [`FrameError::Mechanism`].
    pub fn factor(&self) -> Result<Option<(&Symbolic, &Factor)>, FrameError> {
        if !self.mechanisms.is_empty() {
            return Err(FrameError::Mechanism { count: self.mechanisms.len() });
        }
        Ok(self.symbolic.as_ref().zip(self.factor.as_ref()))
    }

    /// Solves all load cases, one [`Response`] a case, each verified.
    ///
    /// # Errors
    /// [`FrameError::Mechanism`], what is wrong with the loads, and [`FrameError::Unbalanced`] where the
    /// answer would not satisfy equilibrium.
    pub fn solve(&self, loads: &[FrameLoads]) -> Result<Vec<Response>, FrameError> {
        let factor = self.factor()?;
        let n = self.unknowns();
        let prepared = loads
            .iter()
            .map(|load| recover::prepare(&self.frame, &self.assembly, load))
            .collect::<Result<Vec<_>, _>>()?;
        let mut right = Mat::<f64>::zeros(n, prepared.len());
        for (case, load) in prepared.iter().enumerate() {
            let column = recover::right_hand_side(&self.frame, &self.assembly, load);
            right.col_as_slice_mut(case).copy_from_slice(&column);
        }
        let mut answer = right.clone();
        if let Some((_, factor)) = factor {
            factor.solve(answer.as_mut());
            // One step of refinement: it costs one more solve and takes the residual to the rounding
            // level where stiffnesses differ widely.
            let mut change = right;
            let mut product = vec![0.0; n];
            for case in 0..prepared.len() {
                self.assembly.multiply(&self.stiffness, answer.col_as_slice(case), &mut product);
                for (left, product) in change.col_as_slice_mut(case).iter_mut().zip(&product) {
                    *left -= product;
                }
            }
            factor.solve(change.as_mut());
            answer += change;
        }
        prepared
            .iter()
            .enumerate()
            .map(|(case, load)| {
                let unknowns = answer.col_as_slice(case);
                let solve = |right: &mut [f64]| {
                    if let Some((_, factor)) = factor {
                        factor.solve(MatMut::from_column_major_slice_mut(right, n, 1));
                    }
                };
                recover::corrected(&self.frame, &self.assembly, load, unknowns, &solve)
            })
            .collect()
    }
}

/// Whether two frames have the same places, joints and supports, and stiffness in the same things if not as much of it:
/// then numbering, pattern and mechanisms are the same.
fn differs_in_stiffness_alone(a: &Frame, b: &Frame) -> bool {
    let resists = |bar: &Bar| {
        let s = &bar.section;
        [s.shear * s.torsion, s.second_moment_y, s.second_moment_z].map(|k| k > 0.0)
    };
    let same_bar = |(x, y): (&Bar, &Bar)| {
        (x.from, x.to, x.up, x.ends) == (y.from, y.to, y.up, y.ends) && resists(x) == resists(y)
    };
    let same_link = |(x, y): (&Link, &Link)| {
        x.nodes == y.nodes && x.stiffness.map(|k| k > 0.0) == y.stiffness.map(|k| k > 0.0)
    };
    let same_fold = |(x, y): (&Fold, &Fold)| {
        x.hinge == y.hinge && x.wings == y.wings && (x.stiffness > 0.0) == (y.stiffness > 0.0)
    };
    a.nodes == b.nodes
        && (a.bars.len(), a.links.len(), a.folds.len()) == (b.bars.len(), b.links.len(), b.folds.len())
        && a.bars.iter().zip(&b.bars).all(same_bar)
        && a.links.iter().zip(&b.links).all(same_link)
        && a.folds.iter().zip(&b.folds).all(same_fold)
}

/// Smallest eigenvalue of D^-½ K D^-½, D its diagonal, from above, by a few inverse iterations.
fn smallest_scaled(factor: &Factor, diagonal: &[f64]) -> f64 {
    let n = diagonal.len();
    let (_, pivot) = factor.smallest_pivot(diagonal);
    let mut block = crate::frame::random::block(n, 2, 0xa5eed);
    let root: Vec<f64> = diagonal.iter().map(|d| d.sqrt()).collect();
    let mut smallest = pivot;
    for _ in 0..3 {
        for column in 0..block.ncols() {
            let slice = block.col_as_slice_mut(column);
            let norm = slice.iter().map(|v| v * v).sum::<f64>().sqrt();
            for (value, root) in slice.iter_mut().zip(&root) {
                *value *= root / norm;
            }
        }
        factor.solve(block.as_mut());
        for column in 0..block.ncols() {
            let slice = block.col_as_slice_mut(column);
            for (value, root) in slice.iter_mut().zip(&root) {
                *value *= root;
            }
            let grown = slice.iter().map(|v| v * v).sum::<f64>().sqrt();
            smallest = if grown.is_finite() { smallest.min(1.0 / grown) } else { 0.0 };
        }
    }
    smallest
}
