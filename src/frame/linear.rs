//! The solver: one factorisation, any number of load cases.

use std::sync::{Arc, OnceLock};

use faer::{Mat, MatMut};

use crate::frame::assemble::Assembly;
use crate::frame::error::FrameError;
use crate::frame::exact::Exact;
use crate::frame::factor::{Factor, NoFactor, Symbolic};
use crate::frame::geometric::PerUnit;
use crate::frame::mechanism::{self, Count};
use crate::frame::recover;
use crate::frame::sums::length;
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
    /// The same; none where every bar is a string.
    exact: OnceLock<Option<Arc<Exact>>>,
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
            exact: OnceLock::new(),
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

    /// Stiffness under axial forces by the stability functions; `None` where all bars are hinged at both ends, for which
    /// K + Kg is exact.
    #[must_use]
    pub fn exact(&self) -> Option<&Exact> {
        self.exact.get_or_init(|| Exact::new(&self.frame, &self.assembly).map(Arc::new)).as_deref()
    }

    /// Motions that meet no stiffness; empty where the frame can carry any load.
    #[must_use]
    pub fn mechanisms(&self) -> &[Mechanism] {
        &self.mechanisms
    }

    /// The kinematic count: mechanisms, states of self-stress, the surplus of unknowns, and how clear the gap is.
    ///
    /// # Errors
    /// As [`mechanism::count`].
    pub fn count(&self) -> Result<Count, FrameError> {
        mechanism::count(&self.frame, &self.assembly, self.symbolic.as_ref())
    }

    /// Unknowns − resisted deformations: mechanisms minus states of self-stress (Maxwell, Calladine).
    #[must_use]
    pub fn kinematic_surplus(&self) -> i64 {
        mechanism::kinematic_surplus(&self.frame, &self.assembly)
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
    let pivot = factor.smallest_pivot(diagonal);
    let mut block = crate::frame::random::block(n, 2, 0xa5eed);
    let root: Vec<f64> = diagonal.iter().map(|d| d.sqrt()).collect();
    let mut smallest = pivot;
    for _ in 0..3 {
        for column in 0..block.ncols() {
            let slice = block.col_as_slice_mut(column);
            let norm = length(slice);
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
            let grown = length(slice);
            smallest = if grown.is_finite() { smallest.min(1.0 / grown) } else { 0.0 };
        }
    }
    smallest
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;
    use crate::frame::timber::TIMBER;
    use crate::frame::{EndFix, Node, NodeId};
    use crate::vector::Vec3;

    /// A cantilever with a node linked to its end, and beside it a node that two hinged bars and a fold hold.
    pub(crate) fn frame() -> Frame {
        let node =
            |x: f64, y: f64, z: f64, held: [bool; 6]| Node { at: Vec3::new(x, y, z), held, ground: [0.0; 6] };
        let pinned = [true, true, true, false, false, false];
        let section = TIMBER;
        let bar = |from, to, end| Bar {
            from: NodeId(from),
            to: NodeId(to),
            section,
            up: Vec3::new(0.1, 0.2, 1.0),
            ends: [end; 2],
        };
        Frame {
            nodes: vec![
                node(0.0, 0.0, 0.0, [true; 6]),
                node(1.0, 0.0, 0.0, [false; 6]),
                node(1.0, 0.5, 0.0, [false; 6]),
                node(3.0, 0.0, 0.0, pinned),
                node(4.0, 0.0, 0.0, pinned),
                node(3.5, 1.0, 0.0, pinned),
                node(3.5, -1.0, 0.2, [false; 6]),
            ],
            bars: vec![bar(0, 1, EndFix::Rigid), bar(3, 6, EndFix::Hinged), bar(4, 6, EndFix::Hinged)],
            links: vec![Link { nodes: [NodeId(1), NodeId(2)], stiffness: [1e6, 1e6, 1e6, 1e4, 1e4, 1e4] }],
            folds: vec![Fold {
                hinge: [NodeId(3), NodeId(4)],
                wings: [vec![(NodeId(5), 1.0)], vec![(NodeId(6), 1.0)]],
                stiffness: 2e3,
            }],
        }
    }

    /// Whatever is changed in a frame, and the other way round, the symbolic work that is kept changes no answer: neither
    /// places nor mechanisms of the frame before are taken for those of the new one.
    #[test]
    fn a_frame_solved_again_is_a_frame_solved_anew() {
        type Change = (&'static str, usize, &'static dyn Fn(&mut Frame));
        let loads = FrameLoads {
            nodes: vec![
                (NodeId(2), [30.0, -20.0, 50.0, 2.0, 3.0, -1.0]),
                (NodeId(6), [10.0, 20.0, -60.0, 0.0, 0.0, 0.0]),
            ],
            ..FrameLoads::default()
        };
        let of = |solver: &Solver| {
            format!("{:?} {:?}", solver.mechanisms(), solver.solve(std::slice::from_ref(&loads)))
        };
        let changes: [Change; 22] = [
            ("stiffer", 0, &|f| f.bars[0].section.elastic *= 2.0),
            ("a softer link", 0, &|f| f.links[0].stiffness[1] *= 0.1),
            ("a softer fold", 0, &|f| f.folds[0].stiffness *= 0.1),
            ("another place", 0, &|f| f.nodes[1].at.x += 0.3),
            ("a spring to ground", 0, &|f| f.nodes[6].ground[2] = 1e3),
            ("held", 0, &|f| f.nodes[2].held[0] = true),
            ("turned about its line", 0, &|f| f.bars[0].up = Vec3::y()),
            ("a springy end", 0, &|f| f.bars[0].ends[0] = EndFix::Springs([5e3; 3])),
            ("no fold", 1, &|f| f.folds[0].stiffness = 0.0),
            ("no link upward", 1, &|f| f.links[0].stiffness[2] = 0.0),
            ("no bending about y", 2, &|f| f.bars[0].section.second_moment_y = 0.0),
            ("no bending about z", 2, &|f| f.bars[0].section.second_moment_z = 0.0),
            ("no twisting", 1, &|f| f.bars[0].section.torsion = 0.0),
            ("every bar turned", 0, &|f| {
                f.bars.iter_mut().for_each(|bar| bar.up = Vec3::new(0.3, -1.0, 0.2));
            }),
            ("no bar twists", 1, &|f| f.bars.iter_mut().for_each(|bar| bar.section.torsion = 0.0)),
            ("no bar bends", 2, &|f| f.bars.iter_mut().for_each(|bar| bar.section.second_moment_y = 0.0)),
            ("another hinge", 0, &|f| {
                f.folds[0].hinge[1] = NodeId(5);
                f.folds[0].wings[0] = vec![(NodeId(4), 1.0)];
            }),
            ("a longer hinge", 0, &|f| f.folds[0].hinge[0] = NodeId(0)),
            ("another wing", 0, &|f| f.folds[0].wings[1] = vec![(NodeId(6), 0.5), (NodeId(1), 0.5)]),
            ("a link to what is held", 0, &|f| f.links[0].nodes[0] = NodeId(0)),
            ("no bar", 1, &|f| f.bars.truncate(2)),
            ("another end", 1, &|f| f.bars[2].to = NodeId(5)),
        ];
        let base = frame();
        let first = Solver::new(&base).unwrap();
        assert!(first.mechanisms().is_empty());
        let mut all = vec![("as it was", base.clone(), Solver::new(&base).unwrap())];
        for (what, mechanisms, change) in changes {
            let mut other = base.clone();
            change(&mut other);
            let new = Solver::new(&other).unwrap();
            assert_eq!(new.mechanisms().len(), mechanisms, "{what}");
            assert_ne!(of(&new), of(&first), "{what} changes nothing");
            all.push((what, other, new));
            // The same beside a mechanism that both have.
            let mut loose = base.clone();
            loose.bars.iter_mut().for_each(|bar| bar.section.torsion = 0.0);
            change(&mut loose);
            let new = Solver::new(&loose).unwrap();
            all.push((what, loose, new));
        }
        for (from, _, before) in &all {
            for (to, other, new) in &all {
                assert_eq!(of(&before.again(other).unwrap()), of(new), "from {from} to {to}");
            }
        }
    }

    /// Two links that resist opposite things, or one that resists nothing any more, are not of the same kind; half as
    /// stiff they are.
    #[test]
    fn links_are_alike_where_they_resist_the_same() {
        let with = |stiffness: [f64; 6]| {
            let mut frame = frame();
            frame.links[0].stiffness = stiffness;
            frame
        };
        let along = with([1e6, 1e6, 1e6, 0.0, 0.0, 0.0]);
        assert!(differs_in_stiffness_alone(&along, &with([2.0, 3.0, 4.0, 0.0, 0.0, 0.0])));
        for other in [[0.0, 0.0, 0.0, 1.0, 1.0, 1.0], [0.0; 6], [1.0; 6]] {
            assert!(!differs_in_stiffness_alone(&along, &with(other)), "{other:?}");
            assert!(!differs_in_stiffness_alone(&with(other), &along), "{other:?}");
        }
    }

    /// Every movement of this frame is resisted once: take one away or hold one more.
    #[test]
    fn the_surplus_counts_what_resists() {
        let of = |change: &dyn Fn(&mut Frame)| {
            let mut changed = frame();
            change(&mut changed);
            Solver::new(&changed).unwrap().kinematic_surplus()
        };
        assert_eq!(of(&|_| ()), 0);
        assert_eq!(of(&|f| f.folds.clear()), 1);
        assert_eq!(of(&|f| f.links.clear()), 3);
        assert_eq!(of(&|f| f.nodes[6].ground[2] = 1e3), -1);
        assert_eq!(of(&|f| f.nodes[1].held = [true; 6]), -6);
    }

    /// The estimate is of the smallest eigenvalue of the scaled stiffness, from above: of a long cantilever, whose pivots are all a
    /// thousand times as large, and of a short one, by the eigenvalues of the full matrix.
    #[test]
    fn the_smallest_scaled_eigenvalue_is_met_from_above() {
        for count in [1, 4, 24] {
            let base = frame();
            let node = |k: usize| Node {
                at: Vec3::new(k as f64, 0.0, 0.0),
                held: [k == 0; 6],
                ..base.nodes[1].clone()
            };
            let bar = |k: usize| Bar { from: NodeId(k), to: NodeId(k + 1), ..base.bars[0].clone() };
            let long = Frame {
                nodes: (0..=count).map(node).collect(),
                bars: (0..count).map(bar).collect(),
                ..Frame::default()
            };
            let solver = Solver::new(&long).unwrap();
            let diagonal = solver.assembly().diagonal(solver.stiffness());
            let full = solver.assembly().dense(solver.stiffness());
            let scaled = Mat::from_fn(full.nrows(), full.ncols(), |i, j| {
                full[(i, j)] / (diagonal[i] * diagonal[j]).sqrt()
            });
            let eigen = scaled.self_adjoint_eigen(faer::Side::Lower).unwrap();
            let exact = eigen.S().column_vector()[0];
            let found = smallest_scaled(solver.factor().unwrap().unwrap().1, &diagonal);
            assert!(found >= exact * (1.0 - 1e-6) && found < 1.5 * exact, "{count}: {found:e} {exact:e}");
            let pivot = solver.factor().unwrap().unwrap().1.smallest_pivot(&diagonal);
            assert!(count < 24 || pivot > 1e3 * exact, "{pivot:e} {exact:e}");
        }
    }
}
