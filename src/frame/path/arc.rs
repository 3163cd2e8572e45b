//! One step along the path: an arc of given length, or a given load factor.
//!
//! The arc is cylindrical: the length of a step is that of its movement (turns weighted by the mean
//! bar length), not of its load (M. A. Crisfield, Comput. Struct. 13 (1981) 55-62, and E. Ramm 1981,
//! both from memory). Load and movement are found together by Newton's method on equilibrium and
//! arc, so that no root has to be chosen, and the sense of travel is kept by the last movement.

use std::sync::Arc;

use super::system::{State, System};
use crate::frame::error::FrameError;
use crate::frame::indefinite::Indefinite;
use crate::frame::sums::dot;

/// A point of equilibrium, with what its tangent says.
#[derive(Debug, Clone)]
pub(crate) struct Point {
    /// Where the frame is.
    pub(crate) state: State,
    /// Load factor.
    pub(crate) factor: f64,
    /// Movement for one more reference load, by the tangent.
    pub(crate) per_load: Vec<f64>,
    /// Negative pivots of the tangent.
    pub(crate) negatives: usize,
    /// Pivots that are nothing beside their diagonals.
    pub(crate) tiny: usize,
    /// +1 where the load rises along the path, −1 where it falls.
    pub(crate) sense: f64,
    /// Movement from the point before (empty at the start).
    pub(crate) last: Vec<f64>,
    /// Tangents that it took.
    pub(crate) tangents: usize,
    /// Factor of its own tangent.
    pub(crate) factored: Arc<Indefinite>,
}

impl Point {
    /// 1 over the movement per load, positive where the load rises: 0 at a limit point.
    pub(crate) fn stiffness(&self, system: &System) -> f64 {
        self.sense / system.dot(&self.per_load, &self.per_load).sqrt()
    }

    /// The same equilibrium as the start of a path under another load.
    pub(crate) fn under(&self, load: &[f64]) -> Self {
        let mut per_load = load.to_vec();
        self.factored.solve(&mut per_load);
        Self { per_load, ..self.clone() }
    }

    /// How much the load grows over a step of some length, by the tangent.
    pub(crate) fn pace(&self, system: &System, arc: f64) -> f64 {
        arc * self.stiffness(system)
    }
}

/// What is being traced: the equations, loads and tolerances.
#[derive(Debug)]
pub(crate) struct Tracer<'a> {
    /// The equations.
    pub(crate) system: &'a System,
    /// Reference load, multiplied by the factor.
    pub(crate) reference: Vec<f64>,
    /// Load that is there throughout.
    pub(crate) constant: Vec<f64>,
    /// Largest unbalanced force over the largest force in an element.
    pub(crate) tolerance: f64,
}

/// Tangents made before a step is given up, and corrections.
const TANGENTS: usize = 9;
const CORRECTIONS: usize = 27;
/// Share of the unbalanced force before at which a tangent serves once more: a correction by it takes a
/// fraction of the time of a new one.
const SERVES: f64 = 0.1;
/// Unbalanced force after a step along the tangent below which the step's first correction goes by the tangent where it
/// began: further off, that tangent leads further away.
const NEAR: f64 = 1e-2;

/// The tangent that corrections go by: Newton's method, but for keeping a tangent while it does nearly as well as a new one.
#[derive(Debug)]
struct Held {
    factored: Option<Arc<Indefinite>>,
    /// Movement for one more reference load.
    per_load: Vec<f64>,
    /// New tangents that it took.
    tangents: usize,
    corrections: usize,
    /// Unbalanced force at the correction before.
    before: f64,
}

impl Held {
    const fn none() -> Self {
        Self { factored: None, per_load: Vec::new(), tangents: 0, corrections: 0, before: f64::INFINITY }
    }

    /// That of a point.
    fn of(point: &Point) -> Self {
        Self { factored: Some(Arc::clone(&point.factored)), per_load: point.per_load.clone(), ..Self::none() }
    }

    /// Whether to give up where the unbalanced force is `size` and should not be above `most`.
    fn lost(&self, size: f64, most: f64) -> bool {
        let spent = self.tangents == TANGENTS && size > SERVES * self.before;
        !size.is_finite() || spent || self.corrections == CORRECTIONS || (self.tangents > 3 && size > most)
    }
}

impl Tracer<'_> {
    /// Turns the unbalanced forces `left` into the movement that makes them good, by the tangent held or a new one
    /// where that no longer serves. False where the frame is out of its range.
    fn correct(
        &self,
        held: &mut Held,
        size: f64,
        state: &State,
        left: &mut [f64],
    ) -> Result<bool, FrameError> {
        let most = if held.corrections == 0 { NEAR } else { SERVES * held.before };
        if size > most {
            held.factored = None;
        }
        if held.factored.is_none() {
            let Some(tangent) = self.system.tangent(state) else { return Ok(false) };
            let factored = self.factorise(&tangent)?;
            held.per_load.clone_from(&self.reference);
            factored.solve(&mut held.per_load);
            held.factored = Some(Arc::new(factored));
            held.tangents += 1;
        }
        if let Some(factored) = &held.factored {
            factored.solve(left);
        }
        held.corrections += 1;
        held.before = size;
        Ok(true)
    }

    fn factorise(&self, tangent: &[f64]) -> Result<Indefinite, FrameError> {
        Indefinite::new(&self.system.symbolic, &self.system.assembly, tangent)
    }

    /// Unbalanced force at a factor, and its largest component over the scale.
    fn unbalanced(&self, factor: f64, force: &[f64], scale: f64) -> (Vec<f64>, f64) {
        let left: Vec<f64> =
            (0..force.len()).map(|i| factor * self.reference[i] + self.constant[i] - force[i]).collect();
        let load = factor.abs() * self.system.largest(&self.reference);
        let scale = scale.max(load).max(self.system.largest(&self.constant)).max(self.system.floor);
        let size = self.system.largest(&left) / scale;
        (left, size)
    }

    /// Closes a point off: factorises there and finds the movement per load.
    fn close(
        &self,
        state: State,
        factor: f64,
        tangent: &[f64],
        last: Vec<f64>,
        tangents: usize,
    ) -> Result<Point, FrameError> {
        let factored = Arc::new(self.factorise(tangent)?);
        let mut per_load = self.reference.clone();
        factored.solve(&mut per_load);
        let along = if last.is_empty() { 1.0 } else { self.system.dot(&last, &per_load) };
        let sense = if along < 0.0 { -1.0 } else { 1.0 };
        let (negatives, tiny) = (factored.negatives, factored.tiny);
        Ok(Point { state, factor, per_load, negatives, tiny, sense, last, tangents, factored })
    }

    /// Equilibrium at a given factor, starting from `from`. `None` where it is not found.
    pub(crate) fn at_factor(&self, from: &State, factor: f64) -> Result<Option<Point>, FrameError> {
        self.settle(from.clone(), vec![0.0; self.system.size()], Held::none(), factor)
    }

    /// The same from a point of the path, by way of a `share` of a movement.
    pub(crate) fn land(
        &self,
        from: &Point,
        movement: &[f64],
        share: f64,
        factor: f64,
    ) -> Result<Option<Point>, FrameError> {
        let ahead: Vec<f64> = movement.iter().map(|x| x * share).collect();
        self.settle(self.system.moved(&from.state, &ahead), ahead, Held::of(from), factor)
    }

    /// Equilibrium at a given factor near `state`, which is `total` from where the step began.
    fn settle(
        &self,
        mut state: State,
        mut total: Vec<f64>,
        mut held: Held,
        factor: f64,
    ) -> Result<Option<Point>, FrameError> {
        loop {
            let Some((force, scale)) = self.system.forces(&state) else { return Ok(None) };
            let (mut left, size) = self.unbalanced(factor, &force, scale);
            if size <= self.tolerance {
                let Some(tangent) = self.system.tangent(&state) else { return Ok(None) };
                return self.close(state, factor, &tangent, total, held.tangents).map(Some);
            }
            if held.lost(size, 1e3 * held.before) {
                return Ok(None);
            }
            if !self.correct(&mut held, size, &state, &mut left)? {
                return Ok(None);
            }
            state = self.system.moved(&state, &left);
            add(&mut total, 1.0, &left);
        }
    }

    /// A step of length `arc` from `from`. `None` where none is found, or where the path would turn
    /// back on itself within the step.
    pub(crate) fn advance(&self, from: &Point, arc: f64) -> Result<Option<Point>, FrameError> {
        let system = self.system;
        let pace = from.pace(system, arc);
        if !pace.is_finite() {
            return Ok(None);
        }
        let ahead: Vec<f64> = from.per_load.iter().map(|x| x * pace).collect();
        let mut total = ahead.clone();
        let mut factor = from.factor + pace;
        let mut state = system.moved(&from.state, &ahead);
        let mut held = Held::of(from);
        loop {
            let Some((force, scale)) = system.forces(&state) else { return Ok(None) };
            let (mut left, size) = self.unbalanced(factor, &force, scale);
            let excess = system.dot(&total, &total) - arc * arc;
            if size <= self.tolerance && excess.abs() <= 1e-3 * arc * arc {
                if system.dot(&total, &ahead) < 0.7 * arc * arc {
                    return Ok(None);
                }
                let Some(tangent) = system.tangent(&state) else { return Ok(None) };
                return self.close(state, factor, &tangent, total, held.tangents).map(Some);
            }
            if held.lost(size, 1.0) {
                return Ok(None);
            }
            if !self.correct(&mut held, size, &state, &mut left)? {
                return Ok(None);
            }
            let per_load = &held.per_load;
            let slope = 2.0 * system.dot(&total, per_load);
            let change = -(excess + 2.0 * system.dot(&total, &left)) / slope;
            if !change.is_finite() {
                return Ok(None);
            }
            add(&mut left, change, per_load);
            factor += change;
            state = system.moved(&state, &left);
            add(&mut total, 1.0, &left);
        }
    }

    /// The shape that meets least stiffness at a point, by inverse iteration, of unit length; and the
    /// reference load's share in it: 1 where the shape is along the load, 0 square to it.
    pub(crate) fn softest(&self, point: &Point) -> (Vec<f64>, f64) {
        let system = self.system;
        // A start that favours nothing, the same every time.
        let mut shape: Vec<f64> =
            (0..system.size()).map(|i| ((i * 7919 + 13) % 101) as f64 / 101.0 - 0.4).collect();
        for _ in 0..6 {
            for (x, w) in shape.iter_mut().zip(&system.weights) {
                *x *= w;
            }
            point.factored.solve(&mut shape);
            let size = system.dot(&shape, &shape).sqrt();
            if !(size.is_finite() && size > 0.0) {
                break;
            }
            shape.iter_mut().for_each(|x| *x /= size);
        }
        let work = dot(&shape, &self.reference);
        let load: f64 =
            self.reference.iter().zip(&system.weights).map(|(q, w)| q * q / w).sum::<f64>().sqrt();
        (shape, if load > 0.0 { work.abs() / load } else { 0.0 })
    }
}

/// `target` += `share` × `step`.
fn add(target: &mut [f64], share: f64, step: &[f64]) {
    for (a, b) in target.iter_mut().zip(step) {
        *a += share * b;
    }
}
