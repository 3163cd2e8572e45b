//! One joint model: frame, solver, responses of every case, and what a combination makes of them.

use std::borrow::Cow;

use crate::assess::AssessError;
use crate::assess::setup::Setup;
use crate::frame::linear::Solver;
use crate::frame::{BarForces, FrameLoads, NodeId, Response};
use crate::loads::Combination;
use crate::model::ask::{FeetHeld, JointModel};
use crate::model::back::{self, Along, Kept, Numbers};
use crate::model::joints::{Model, build};
use crate::shell::Shell;
use crate::vector::Vec3;

/// A joint model with its answers.
#[derive(Debug)]
pub struct Run {
    /// Frame and the way back.
    pub model: Model,
    /// The factorised frame.
    pub solver: Solver,
    /// Linear response of every case; empty where the model is a mechanism.
    pub responses: Vec<Response>,
    /// Forces along every member under every case; empty where the model is a mechanism.
    pub along: Along,
}

/// The state of a whole frame under one combination. A first-order one is the weighted sum of the cases, and is summed
/// where it is read ([`Run::end`] and what stands beside it): hundreds of them written out would fill the memory.
#[derive(Debug, Clone)]
pub struct State {
    /// The cases, by position, and their factors.
    terms: Vec<(usize, f64)>,
    /// An answer of its own, where the state is second-order.
    pub second_order: Option<Own>,
    /// The same combination with the imperfection the other way, where the state is second-order: what moves less as a
    /// whole may still ask more of one timber or foot, so both are checked.
    pub other_way: Option<Box<State>>,
}

/// A second-order answer to one combination.
#[derive(Debug, Clone)]
pub struct Own {
    /// Movements, end forces, reactions, fold moments.
    pub response: Response,
    /// Forces along every member, as its only case.
    pub along: Along,
}

impl State {
    /// The first-order state of a combination.
    #[must_use]
    pub fn of(combination: &Combination) -> Self {
        let terms = combination.terms.iter().map(|&(case, factor)| (case.0, factor)).collect();
        Self { terms, second_order: None, other_way: None }
    }

    /// The sum of what `of` reads in each of the cases, by their factors, or what it reads in the state's own answer.
    fn sum<const N: usize>(&self, run: &Run, of: impl Fn(&Response) -> [f64; N]) -> [f64; N] {
        self.numbers(|case| of(&run.responses[case]), &of)
    }

    /// Numbers that are linear in a response, from what they are in each case (by position) or from the state's own answer.
    pub(super) fn numbers<const N: usize>(
        &self,
        by_case: impl Fn(usize) -> [f64; N],
        of: impl Fn(&Response) -> [f64; N],
    ) -> [f64; N] {
        if let Some(own) = &self.second_order {
            return of(&own.response);
        }
        let mut sum = [0.0; N];
        for &(case, factor) in &self.terms {
            for (sum, part) in sum.iter_mut().zip(by_case(case)) {
                *sum += factor * part;
            }
        }
        sum
    }

    /// How many times a case, by position, is in it.
    pub(super) fn factor(&self, case: usize) -> f64 {
        self.terms.iter().filter(|term| term.0 == case).map(|term| term.1).sum()
    }

    /// What the forces along a member keep between in this state, from what they do in every case
    /// ([`Run::kept_by_case`]).
    #[must_use]
    pub fn kept(&self, by_case: &[Kept], at: &[f64], member: usize) -> Kept {
        match &self.second_order {
            Some(own) => Kept::of(at, own.along.at(0, member)),
            None => Kept::sum(by_case, &self.terms),
        }
    }

    /// The state, and the one with the imperfection the other way where there is one: everything is checked in both.
    pub fn ways(&self) -> impl Iterator<Item = &Self> {
        std::iter::successors(Some(self), |state| state.other_way.as_deref())
    }

    /// What `of` makes of that way whose utilisation, given first, is the greater; of equals the first.
    pub(super) fn worse_way<T>(
        &self,
        of: impl Fn(&Self) -> Result<(f64, T), AssessError>,
    ) -> Result<T, AssessError> {
        let mut worst = of(self)?;
        for way in self.ways().skip(1) {
            let other = of(way)?;
            if other.0 > worst.0 {
                worst = other;
            }
        }
        Ok(worst.1)
    }
}

impl Run {
    /// Builds and solves one joint model.
    ///
    /// # Errors
    /// A member with no length; a solve that does not satisfy equilibrium. A mechanism is no error:
    /// [`Run::is_mechanism`].
    pub fn new(setup: &Setup, kind: JointModel, feet: FeetHeld) -> Result<Self, AssessError> {
        Self::like(setup, kind, feet, None)
    }

    /// The same beside an earlier model of the same shell with other timbers or joints: what depends on the shape
    /// alone is taken over.
    ///
    /// # Errors
    /// As [`Run::new`].
    pub fn like(
        setup: &Setup,
        kind: JointModel,
        feet: FeetHeld,
        earlier: Option<&Solver>,
    ) -> Result<Self, AssessError> {
        let model = build(&setup.shell, &setup.timbers, &setup.material, kind, setup.stiffness, feet)?;
        let solver = earlier.map_or_else(|| Solver::new(&model.frame), |e| e.again(&model.frame))?;
        let mut along = Along::new(&setup.stations);
        if !solver.mechanisms().is_empty() {
            return Ok(Self { model, solver, responses: Vec::new(), along });
        }
        let responses = solver.solve(&setup.loads)?;
        for case in responses.iter().zip(&setup.loads) {
            along.push(&solver.assembly().lines, case, &setup.stations);
        }
        Ok(Self { model, solver, responses, along })
    }

    /// Whether the model can move without stiffness.
    #[must_use]
    pub fn is_mechanism(&self) -> bool {
        self.responses.is_empty()
    }

    /// Forces at the stations of one member in a state.
    pub fn forces_along(&self, state: &State, member: usize, out: &mut Vec<Numbers>) {
        match &state.second_order {
            Some(own) => own.along.sum(std::iter::once((0, 1.0)), member, out),
            None => self.along.sum(state.terms.iter().copied(), member, out),
        }
    }

    /// What the forces along a member keep between in every case.
    #[must_use]
    pub fn kept_by_case(&self, at: &[f64], member: usize) -> Vec<Kept> {
        (0..self.responses.len()).map(|case| Kept::of(at, self.along.at(case, member))).collect()
    }

    /// Forces at the start (0) or end (1) of a bar in a state.
    #[must_use]
    pub fn end(&self, state: &State, bar: usize, end: usize) -> BarForces {
        back::forces(&state.sum(self, |response| back::numbers(&response.bar_ends[bar][end])))
    }

    /// Axial force at the start and end of every bar in a state \[N\].
    #[must_use]
    pub fn axial_ends(&self, state: &State) -> Vec<[f64; 2]> {
        let of = |bar: usize| state.sum(self, |response| response.bar_ends[bar].map(|end| end.n));
        (0..self.model.frame.bars.len()).map(of).collect()
    }

    /// Force and moment of the ground on every node that is held, in a state.
    #[must_use]
    pub fn reactions<'a>(&self, state: &'a State) -> Cow<'a, [(NodeId, [f64; 6])]> {
        if let Some(own) = &state.second_order {
            return Cow::Borrowed(&own.response.reactions);
        }
        let nodes = self.responses.first().map_or(&[][..], |response| &response.reactions);
        let of = |(k, (node, _)): (usize, &(NodeId, [f64; 6]))| (*node, self.reaction(state, k));
        nodes.iter().enumerate().map(of).collect()
    }

    /// The same at one of them, by its place among the reactions.
    #[must_use]
    pub fn reaction(&self, state: &State, place: usize) -> [f64; 6] {
        state.sum(self, |response| response.reactions[place].1)
    }

    /// Movement of every node in a state \[m\].
    #[must_use]
    pub fn translations(&self, state: &State) -> Vec<[f64; 3]> {
        let of = |node: usize| {
            state.sum(self, |response| {
                let [x, y, z, ..] = response.displacements[node];
                [x, y, z]
            })
        };
        (0..self.model.frame.nodes.len()).map(of).collect()
    }
}

/// Forces on the joints that stand for a case's loads \[N\], by joint: each line load split between the ends
/// of its member as a simple beam would, so that total and moment of the whole stay what they are.
#[must_use]
pub fn lumped(shell: &Shell, loads: &FrameLoads) -> Vec<Vec3> {
    let mut at = vec![Vec3::zeros(); shell.joints.len()];
    for load in &loads.bars {
        let [from, to] = shell.members[load.bar.0].joints;
        let length = (shell.at(to) - shell.at(from)).norm();
        let part = load.span[1] - load.span[0];
        // A load from a to b along the stretch: ∫ w x dx split at the far end, the rest at the near one.
        let far =
            |a: f64, b: f64| part / length * (load.span[0] * 0.5 * (a + b) + part * (a + 2.0 * b) / 6.0);
        let whole = (load.intensity[0] + load.intensity[1]) * (0.5 * part);
        let there = load.intensity[0].zip_map(&load.intensity[1], far);
        at[from.0] += whole - there;
        at[to.0] += there;
    }
    for (node, f) in &loads.nodes {
        at[node.0] += Vec3::new(f[0], f[1], f[2]);
    }
    at
}

/// The same for a combination, from those of its cases.
#[must_use]
pub fn lumped_in(cases: &[Vec<Vec3>], combination: &Combination) -> Vec<Vec3> {
    let mut sum = vec![Vec3::zeros(); cases.first().map_or(0, Vec::len)];
    for &(case, factor) in &combination.terms {
        for (into, from) in sum.iter_mut().zip(&cases[case.0]) {
            *into += from * factor;
        }
    }
    sum
}

/// The loads of a combination on the frame.
#[must_use]
pub fn combined_loads(loads: &[FrameLoads], combination: &Combination) -> FrameLoads {
    let mut sum = FrameLoads::default();
    for &(case, factor) in &combination.terms {
        let part = &loads[case.0];
        sum.nodes.extend(part.nodes.iter().map(|&(node, f)| (node, f.map(|v| v * factor))));
        sum.bars.extend(part.bars.iter().map(|load| {
            let mut load = load.clone();
            load.intensity[0] *= factor;
            load.intensity[1] *= factor;
            load
        }));
        sum.settlements.extend(part.settlements.iter().map(|&(n, d, v)| (n, d, v * factor)));
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::frame::{BarId, BarLoad};
    use crate::shell::ask::{Form, ShellAsk, Up};

    #[test]
    fn lumps_keep_force_and_moment() {
        let form = Form::Dome { radius: 2.1, frequency: 2, up: Up::Vertex, base: 0.0 };
        let ask = ShellAsk { form, openings: Vec::new(), mend: false };
        let shell = crate::shell::build(&ask).unwrap();
        let intensity = [Vec3::new(30.0, -10.0, -200.0), Vec3::new(-5.0, 40.0, -90.0)];
        let load = BarLoad { bar: BarId(7), span: [0.2, 0.9], intensity };
        let loads = FrameLoads { bars: vec![load], ..FrameLoads::default() };
        let lumps = lumped(&shell, &loads);
        let [from, to] = shell.members[7].joints.map(|j| shell.at(j));
        let along = (to - from).normalize();
        let (mut force, mut moment) = (Vec3::zeros(), Vec3::zeros());
        let steps = 20_000;
        for k in 0..steps {
            let t = (f64::from(k) + 0.5) / f64::from(steps);
            let df = (intensity[0] * (1.0 - t) + intensity[1] * t) * (0.7 / f64::from(steps));
            force += df;
            moment += (from + along * (0.2 + 0.7 * t)).cross(&df);
        }
        let total: Vec3 = lumps.iter().sum();
        let turned: Vec3 = lumps.iter().zip(&shell.joints).map(|(f, j)| j.at.cross(f)).sum();
        assert!((total - force).norm() < 1e-9 * force.norm());
        assert!((turned - moment).norm() < 1e-7 * moment.norm());
    }

    /// What is read in a first-order state, part by part, is what the frame answers to the combination's loads at once.
    #[test]
    fn a_state_reads_as_the_answer_to_its_loads() {
        let project = crate::assess::example("propagation-tunnel.toml");
        let setup = crate::assess::setup::setup(&project).unwrap();
        for kind in [JointModel::Seam, JointModel::Rigid] {
            let run = Run::new(&setup, kind, project.joints.feet).unwrap();
            for combination in setup.combinations.iter().step_by(61) {
                let state = State::of(combination);
                let loads = combined_loads(&setup.loads, combination);
                let answer = run.solver.solve(std::slice::from_ref(&loads)).unwrap().remove(0);
                let close = |found: &[f64], wanted: &[f64], most: f64, what: &str| {
                    assert_eq!(found.len(), wanted.len());
                    for (a, b) in found.iter().zip(wanted) {
                        assert!((a - b).abs() <= 1e-8 * most, "{what}: {a} {b} of {most}");
                    }
                };
                let largest = |all: &mut dyn Iterator<Item = f64>| all.fold(0.0_f64, |a, b| a.max(b.abs()));
                let ends = |bar: usize| [0, 1].map(|end| back::numbers(&run.end(&state, bar, end)));
                let most = largest(&mut answer.bar_ends.iter().flatten().flat_map(back::numbers));
                let axial = run.axial_ends(&state);
                for (bar, wanted) in answer.bar_ends.iter().enumerate() {
                    let wanted = wanted.each_ref().map(back::numbers);
                    close(ends(bar).as_flattened(), wanted.as_flattened(), most, "ends");
                    close(&axial[bar], &[wanted[0][0], wanted[1][0]], most, "axial");
                }
                let most = largest(&mut answer.reactions.iter().flat_map(|(_, r)| *r));
                let reactions = run.reactions(&state);
                for (k, (node, wanted)) in answer.reactions.iter().enumerate() {
                    assert_eq!(reactions[k].0, *node);
                    close(&reactions[k].1, wanted, most, "reactions");
                    close(&run.reaction(&state, k), wanted, most, "reaction");
                }
                let moved = run.translations(&state);
                let wanted: Vec<[f64; 3]> = answer.displacements.iter().map(|d| [d[0], d[1], d[2]]).collect();
                let most = largest(&mut wanted.iter().flatten().copied());
                close(moved.as_flattened(), wanted.as_flattened(), most, "movements");
                for fold in 0..answer.fold_moments.len() {
                    let [found] =
                        state.numbers(|case| [run.responses[case].fold_moments[fold]], |_| [f64::NAN]);
                    let most = largest(&mut answer.fold_moments.iter().copied());
                    close(&[found], &[answer.fold_moments[fold]], most, "folds");
                }
            }
        }
    }
}
