//! What the states of one joint model ask of its seams: of their fixings, and of the strips that the fixings bend and twist (`in_strips.rs`).

use rayon::prelude::{IntoParallelRefIterator, ParallelIterator};

use crate::assess::in_strips::InStrips;
use crate::assess::run::{Run, State};
use crate::assess::setup::Setup;
use crate::frame::{BarForces, Response};
use crate::loads::Combination;
use crate::model::ask::JointModel;
use crate::model::back;
use crate::model::corners::{AtCorners, NUMBERS};
use crate::model::seam_demand::ModelCrossing;
use crate::model::transfer::{self, Spot};
use crate::rules::seams::SeamDemand;

/// The moment that turns a seam by what either side of it brings, and what crosses it at its ends, in a row: all that adds up over the
/// cases.
type Numbers = [f64; NUMBERS + 2];

/// What the states of one joint model ask of its seams.
#[derive(Debug)]
pub struct SeamsAsked<'a> {
    setup: &'a Setup,
    run: &'a Run,
    /// By member: what turns its seam in this kind of model.
    turning: Vec<Turning>,
    /// By case and member; empty where only a few are asked for.
    by_case: Vec<Vec<Numbers>>,
}

/// Where a model has the moment that turns a seam.
#[derive(Debug, Clone)]
enum Turning {
    /// It passes none.
    None,
    /// In a fold spring.
    Fold(usize),
    /// In the bars that meet at the seam's line, of stiff-jointed models.
    Crossing(ModelCrossing),
}

impl Turning {
    fn moments(&self, response: &Response) -> [f64; 2] {
        match self {
            Self::None => [0.0; 2],
            Self::Fold(i) => [response.fold_moments.get(*i).copied().unwrap_or(0.0); 2],
            Self::Crossing(crossing) => crossing.moments(&response.bar_ends),
        }
    }
}

impl<'a> SeamsAsked<'a> {
    /// For a few seams, worked out as they are asked for.
    #[must_use]
    pub fn new(setup: &'a Setup, run: &'a Run) -> Self {
        let mut turning = vec![Turning::None; setup.shell.members.len()];
        match run.model.kind {
            JointModel::Pinned => {}
            JointModel::Seam => {
                for (i, seam) in run.model.fold_seams.iter().enumerate() {
                    turning[seam.0] = Turning::Fold(i);
                }
            }
            JointModel::Rigid | JointModel::SemiRigid => {
                for crossing in &setup.crossings {
                    turning[crossing.seam.0] = Turning::Crossing(crossing.in_model(&run.model));
                }
            }
        }
        Self { setup, run, turning, by_case: Vec::new() }
    }

    /// For all seams under many combinations: what each case asks is worked out once.
    #[must_use]
    pub fn of_all(setup: &'a Setup, run: &'a Run) -> Self {
        let mut out = Self::new(setup, run);
        let all = 0..setup.shell.members.len();
        let of_case = |response: &Response| all.clone().map(|m| out.read(m, response)).collect();
        let by_case = run.responses.par_iter().map(of_case).collect();
        out.by_case = by_case;
        out
    }

    fn read(&self, m: usize, response: &Response) -> Numbers {
        let mut out = [0.0; NUMBERS + 2];
        out[..2].copy_from_slice(&self.turning[m].moments(response));
        let fold = |seam: usize| match self.turning[seam] {
            Turning::Fold(i) => response.fold_moments.get(i).copied().unwrap_or(0.0),
            Turning::None | Turning::Crossing(_) => 0.0,
        };
        out[2..].copy_from_slice(&self.setup.corners.at(m, &response.bar_ends, fold).numbers());
        out
    }

    fn numbers(&self, state: &State, m: usize) -> (f64, AtCorners) {
        let in_case = |case: usize| match self.by_case.get(case) {
            Some(row) => row[m],
            None => self.read(m, &self.run.responses[case]),
        };
        let [one, other, corners @ ..] = state.numbers(in_case, |response| self.read(m, response));
        (if other.abs() > one.abs() { other } else { one }, AtCorners::of(&corners))
    }

    /// What the fixings of one seam are asked for.
    ///
    /// The turning moment is the fold spring's in the seam model and the one passed across the seam's line in a
    /// stiff-jointed one; the pinned model passes none. What leaves the corners of the frames is that of the end where
    /// it is more, part by part. Shear and opening of the whole seam are what the strips pass to each other as their panels
    /// are loaded unlike, and where they are said to act together ([`transfer`]).
    pub(super) fn of(&self, combination: &Combination, state: &State, m: usize) -> SeamDemand {
        let (moment, at) = self.numbers(state, m);
        let timber = &self.setup.timbers[m];
        let (mut together, mut couple) = (0.0, 0.0);
        if transfer::acts_together(timber) {
            let mut along = Vec::new();
            self.run.forces_along(state, m, &mut along);
            let along: Vec<BarForces> = along.iter().map(back::forces).collect();
            together = transfer::composite_shear(&along, timber);
            let at_end = |end| transfer::couple(&self.run.end(state, m, end), timber).abs();
            couple = at_end(0).max(at_end(1));
        }
        let crossing = transfer::combined(&self.setup.transfers, combination, m);
        // The fixing that has most of a corner to hold may have a force that stands in one place besides.
        let (end_opening, at_one) = (at.opening[0].max(at.opening[1]), crossing.opening_at_one);
        let most = |pair: &[f64; 2]| pair[0].abs().max(pair[1].abs());
        SeamDemand {
            moment,
            opening: crossing.opening,
            along: crossing.along.abs() + together,
            through: crossing.through,
            end_opening: if at_one > 0.0 { end_opening.max(0.0) + at_one } else { end_opening },
            end_along: most(&at.along) + couple,
            end_through: most(&at.through) + crossing.through_at_one.abs(),
            mitre: at.mitre.as_flattened().iter().copied().fold(f64::NEG_INFINITY, f64::max),
        }
    }

    /// Forces that stand in one place of one strip of a seam.
    pub(super) fn spots(&self, m: usize) -> &[Spot] {
        &self.setup.spots[m]
    }

    /// What bends and twists the strips of one seam besides the forces of the model.
    pub(super) fn in_strips(&self, state: &State, m: usize) -> InStrips {
        let (moment, at) = self.numbers(state, m);
        // Where joints are stiff something else than the strips' twist passes the moment on to the frames.
        let moment = if matches!(self.turning[m], Turning::Fold(_)) { moment } else { 0.0 };
        InStrips {
            moment: moment.abs(),
            opening: at.opening.map(|force| force.max(0.0)),
            through: at.through.map(f64::abs),
            ..InStrips::default()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Mirror images ask the same of their seams, whichever side of a seam comes first.
    #[test]
    fn mirror_images_ask_the_same_of_stiff_seams() {
        let worst = |pattern: &str| {
            let text = format!(
                "[project]\nname = \"barrel\"\nbasis = \"eurocode\"\n\
                 [shell]\nform = \"barrel\"\nspan = \"4 m\"\nrise = \"1.5 m\"\nsegments = 6\nbays = 3\n\
                 bay_length = \"1.1 m\"\npattern = \"{pattern}\"\n\
                 [timber]\ngrade = \"C24\"\nbreadth = \"47 mm\"\ndepth = \"95 mm\"\nservice_class = 2\n\
                 [cover]\nweight = \"9 kg/m2\"\n[snow]\nleft_out = \"made up\"\n[wind]\nleft_out = \"made up\"\n"
            );
            let source = crate::project::SourceText { name: "barrel.toml".to_owned(), text };
            let asked = crate::project::read_text(source, std::path::Path::new("."), "barrel").unwrap();
            let crate::project::Asked::Shell(project) = asked else { panic!() };
            let setup = crate::assess::setup::setup(&project).unwrap();
            let run = Run::new(&setup, JointModel::Rigid, project.joints.feet).unwrap();
            let asked = SeamsAsked::of_all(&setup, &run);
            let combination = &setup.combinations[0];
            let state = State::of(combination);
            let seams = (0..setup.shell.members.len()).filter(|&m| setup.corners.has(m));
            let mut moments: Vec<f64> =
                seams.map(|m| asked.of(combination, &state, m).moment.abs()).collect();
            moments.sort_by(f64::total_cmp);
            moments
        };
        let (left, right) = (worst("plain-left"), worst("plain-right"));
        let most = left[left.len() - 1];
        assert!(most > 1.0 && left.len() == right.len());
        for (a, b) in left.iter().zip(&right) {
            assert!((a - b).abs() < 1e-6 * most, "{a} {b}");
        }
    }
}
