//! One step along the path: an arc of given length, or a given load factor.
//!
//! The arc is cylindrical: the length of a step is that of its movement (turns weighted by the mean
//! bar length), not of its load (M. A. Crisfield, Comput. Struct. 13 (1981) 55-62, and E. Ramm 1981,
//! both from memory). Load and movement are found together by Newton's method on equilibrium and
//! arc, so that no root has to be chosen, and the sense of travel is kept by the last movement.

use super::system::{State, System};
use crate::frame::error::FrameError;
use crate::frame::indefinite::Indefinite;

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
    /// Newton steps that it took.
    pub(crate) rounds: usize,
}

impl Point {
    /// 1 over the movement per load, positive where the load rises: 0 at a limit point.
    pub(crate) fn stiffness(&self, system: &System) -> f64 {
        self.sense / system.dot(&self.per_load, &self.per_load).sqrt()
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

/// Newton steps before a step is given up.
const ROUNDS: usize = 9;

impl Tracer<'_> {
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
        rounds: usize,
    ) -> Result<Point, FrameError> {
        let factored = self.factorise(tangent)?;
        let mut per_load = self.reference.clone();
        factored.solve(&mut per_load);
        let along = if last.is_empty() { 1.0 } else { self.system.dot(&last, &per_load) };
        let sense = if along < 0.0 { -1.0 } else { 1.0 };
        let (negatives, tiny) = (factored.negatives, factored.tiny);
        Ok(Point { state, factor, per_load, negatives, tiny, sense, last, rounds })
    }

    /// Equilibrium at a given factor, starting from `from`. `None` where it is not found.
    pub(crate) fn at_factor(
        &self,
        from: &State,
        guess: &[f64],
        factor: f64,
    ) -> Result<Option<Point>, FrameError> {
        let mut total = guess.to_vec();
        let mut state = self.system.moved(from, guess);
        let mut before = f64::INFINITY;
        for round in 0..=ROUNDS {
            let Some(here) = self.system.evaluate(&state) else { return Ok(None) };
            let (mut left, size) = self.unbalanced(factor, &here.force, here.scale);
            if size <= self.tolerance {
                return self.close(state, factor, &here.tangent, total, round).map(Some);
            }
            if !size.is_finite() || (round > 3 && size > 1e3 * before) || round == ROUNDS {
                return Ok(None);
            }
            before = size;
            let factored = self.factorise(&here.tangent)?;
            factored.solve(&mut left);
            state = self.system.moved(&state, &left);
            add(&mut total, 1.0, &left);
        }
        Ok(None)
    }

    /// A step of length `arc` from `from`. `None` where none is found, or where the path would turn
    /// back on itself within the step.
    pub(crate) fn advance(&self, from: &Point, arc: f64) -> Result<Option<Point>, FrameError> {
        let system = self.system;
        let pace = arc * from.sense / system.dot(&from.per_load, &from.per_load).sqrt();
        if !pace.is_finite() {
            return Ok(None);
        }
        let ahead: Vec<f64> = from.per_load.iter().map(|x| x * pace).collect();
        let mut total = ahead.clone();
        let mut factor = from.factor + pace;
        let mut state = system.moved(&from.state, &ahead);
        for round in 0..=ROUNDS {
            let Some(here) = system.evaluate(&state) else { return Ok(None) };
            let (mut left, size) = self.unbalanced(factor, &here.force, here.scale);
            let excess = system.dot(&total, &total) - arc * arc;
            if size <= self.tolerance && excess.abs() <= 1e-3 * arc * arc {
                if system.dot(&total, &ahead) < 0.7 * arc * arc {
                    return Ok(None);
                }
                return self.close(state, factor, &here.tangent, total, round).map(Some);
            }
            if !size.is_finite() || round == ROUNDS || (round > 3 && size > 1.0) {
                return Ok(None);
            }
            let factored = self.factorise(&here.tangent)?;
            let mut per_load = self.reference.clone();
            factored.solve(&mut left);
            factored.solve(&mut per_load);
            let slope = 2.0 * system.dot(&total, &per_load);
            let change = -(excess + 2.0 * system.dot(&total, &left)) / slope;
            if !change.is_finite() {
                return Ok(None);
            }
            add(&mut left, change, &per_load);
            factor += change;
            state = system.moved(&state, &left);
            add(&mut total, 1.0, &left);
        }
        Ok(None)
    }

    /// The shape that meets least stiffness at a point, by inverse iteration, of unit length; and the
    /// reference load's share in it: 1 where the shape is along the load, 0 square to it.
    pub(crate) fn softest(&self, point: &Point) -> Result<(Vec<f64>, f64), FrameError> {
        let system = self.system;
        let Some(here) = system.evaluate(&point.state) else {
            return Ok((vec![0.0; system.size()], 0.0));
        };
        let factored = self.factorise(&here.tangent)?;
        // A start that favours nothing, the same every time.
        let mut shape: Vec<f64> =
            (0..system.size()).map(|i| ((i * 7919 + 13) % 101) as f64 / 101.0 - 0.4).collect();
        for _ in 0..6 {
            for (x, w) in shape.iter_mut().zip(&system.weights) {
                *x *= w;
            }
            factored.solve(&mut shape);
            let size = system.dot(&shape, &shape).sqrt();
            if !(size.is_finite() && size > 0.0) {
                break;
            }
            shape.iter_mut().for_each(|x| *x /= size);
        }
        let work: f64 = shape.iter().zip(&self.reference).map(|(a, b)| a * b).sum();
        let load: f64 =
            self.reference.iter().zip(&system.weights).map(|(q, w)| q * q / w).sum::<f64>().sqrt();
        Ok((shape, if load > 0.0 { work.abs() / load } else { 0.0 }))
    }
}

/// `target` += `share` × `step`.
fn add(target: &mut [f64], share: f64, step: &[f64]) {
    for (a, b) in target.iter_mut().zip(step) {
        *a += share * b;
    }
}
