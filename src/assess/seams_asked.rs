//! What the states of one joint model ask of its seams: of their fixings, and of the strips that the fixings bend and twist.

use rayon::prelude::{IntoParallelRefIterator, ParallelIterator};

use crate::assess::demand::{fixings_in, seam_strip};
use crate::assess::run::{Run, State};
use crate::assess::setup::Setup;
use crate::frame::{BarForces, Response};
use crate::loads::Combination;
use crate::model::ask::JointModel;
use crate::model::back;
use crate::model::corners::{AtCorners, NUMBERS};
use crate::model::seam_demand::ModelCrossing;
use crate::model::transfer;
use crate::project::Project;
use crate::rules::ask::FixingsAsk;
use crate::rules::fasteners::JointTimber;
use crate::rules::first_fixing::FirstFixing;
use crate::rules::seams::{SeamDemand, standard_of};
use crate::rules::spacing;
use crate::section::forces::StripForces;

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
        out[2..].copy_from_slice(&self.setup.corners.at(m, &response.bar_ends).numbers());
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
        let most = |pair: &[f64; 2]| pair[0].abs().max(pair[1].abs());
        SeamDemand {
            moment,
            opening: crossing.opening,
            along: crossing.along.abs() + together,
            through: crossing.through,
            end_opening: at.opening[0].max(at.opening[1]),
            end_along: most(&at.along) + couple,
            end_through: most(&at.through),
            mitre: at.mitre.as_flattened().iter().copied().fold(f64::NEG_INFINITY, f64::max),
        }
    }

    /// What bends and twists the strips of one seam besides the forces of the model.
    fn in_strips(&self, state: &State, m: usize) -> InStrips {
        let (moment, at) = self.numbers(state, m);
        // Where joints are stiff something else than the strips' twist passes the moment on to the frames.
        let moment = if matches!(self.turning[m], Turning::Fold(_)) { moment } else { 0.0 };
        InStrips { moment: moment.abs(), opening: at.opening.map(|force| force.max(0.0)) }
    }
}

/// What bends and twists the strips of a seam besides the forces of the model, sizes alone.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct InStrips {
    /// Moment that turns the seam \[N·m\].
    moment: f64,
    /// Opening of its halves by the frames' corners \[N\].
    opening: [f64; 2],
}

/// Where the fixings hold the strips of a seam.
///
/// A corner that pulls away from its neighbour bends the strip in the surface: nothing at the corner, force times lever at
/// the first fixing, and nothing again where the strip touches its neighbour. It shears it on the way, by the force itself up to the
/// fixing and by what the strip presses its neighbour with from there to the touch. The moment that turns a seam of the seam model
/// comes into its strips at the fixings, in equal parts, and leaves by torsion to the corners of the frames at both ends,
/// half of it to each.
#[derive(Debug, Clone, Default)]
pub(super) struct Held {
    length: f64,
    /// From the first joint \[m\].
    fixings: Vec<f64>,
    first: Option<FirstFixing>,
    /// Strips on that side of the seam that has fewer; 0 where nothing is held.
    strips: f64,
}

/// Strips of a seam's timber on the side that has fewer: of an odd number one frame has one less, and each of its strips bends by more
/// of what its corner is pulled with.
fn on_the_lesser_side(count: usize) -> f64 {
    (count / 2).max(1) as f64
}

/// What the fixings bring to one strip at a place, sizes alone.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Brought {
    /// Moment in the surface \[N·m\].
    pub(super) bends: f64,
    /// Torsion \[N·m\].
    pub(super) twists: f64,
    /// Shear in the surface \[N\].
    pub(super) shears: f64,
}

impl Held {
    /// Of one member; what is no seam between two frames holds nothing.
    pub(super) fn new(project: &Project, setup: &Setup, m: usize) -> Self {
        if !setup.corners.has(m) {
            return Self::default();
        }
        let strip = seam_strip(project, setup, m);
        let strips = on_the_lesser_side(setup.timbers[m].count);
        let mut out = Self { length: strip.length, strips, ..Self::default() };
        if let Some(fixings) = project.rules.fixings {
            let per_seam = fixings_in(fixings.per_seam, strip.length, setup.longest_seam);
            let fixings = FixingsAsk { per_seam, ..fixings };
            let standard = standard_of(&setup.grade);
            out.fixings = spacing::places(&fixings, &strip, standard);
            let corner = setup.corners.widest(m);
            let timber = JointTimber::of(&setup.grade);
            out.first = Some(FirstFixing::of(&fixings, &strip, corner, &timber, standard));
        }
        out
    }

    /// What a state asks of the strips besides the forces of the model; nothing where nothing is held.
    pub(super) fn asked(&self, asked: &SeamsAsked<'_>, state: &State, m: usize) -> InStrips {
        if self.strips > 0.0 { asked.in_strips(state, m) } else { InStrips::default() }
    }

    /// Places besides the stations where the strips may be worked hardest: the first fixing from either end.
    pub(super) fn places(&self) -> impl Iterator<Item = f64> {
        let first = self.fixings.first().filter(|x| (0.0..=self.length).contains(*x)).copied();
        first.into_iter().flat_map(|x| [x, self.length - x])
    }

    /// The most that comes to one strip, anywhere.
    pub(super) fn most(&self, asked: &InStrips) -> Brought {
        if self.strips <= 0.0 {
            return Brought::default();
        }
        let opening = asked.opening[0].max(asked.opening[1]);
        let (bends, presses) = self
            .first
            .map_or((0.0, 0.0), |first| (opening * first.lever, opening * first.lever / first.touch));
        Brought {
            bends: bends / self.strips,
            twists: 0.5 * asked.moment / self.strips,
            shears: if self.first.is_some() { opening.max(presses) / self.strips } else { 0.0 },
        }
    }

    /// What comes to one strip at a place; beside a fixing, on the side of it where it is more.
    pub(super) fn at(&self, asked: &InStrips, x: f64) -> Brought {
        if self.strips <= 0.0 {
            return Brought::default();
        }
        let mut out = Brought::default();
        if let (Some(first), Some(&place)) = (self.first, self.fixings.first()) {
            for (opening, x) in asked.opening.iter().zip([x, self.length - x]) {
                let presses = opening * first.lever / first.touch;
                let beyond = x - place;
                let arm = if beyond <= 0.0 {
                    first.lever + beyond
                } else {
                    first.lever * (1.0 - beyond / first.touch)
                };
                out.bends = out.bends.max(opening * arm);
                if beyond <= 1e-9 && arm >= 0.0 {
                    out.shears = out.shears.max(*opening);
                }
                if beyond >= -1e-9 && beyond <= first.touch {
                    out.shears = out.shears.max(presses);
                }
            }
        }
        let left = if self.fixings.is_empty() {
            (0.5 - x / self.length).abs()
        } else {
            let n = self.fixings.len() as f64;
            let passed = |within: &dyn Fn(f64) -> bool| {
                let count = self.fixings.iter().filter(|&&place| within(place)).count() as f64;
                (0.5 - count / n).abs()
            };
            passed(&|place| place < x - 1e-9).max(passed(&|place| place <= x + 1e-9))
        };
        Brought {
            bends: out.bends / self.strips,
            twists: left * asked.moment / self.strips,
            shears: out.shears / self.strips,
        }
    }

    /// Adds it to the forces in one strip at places along it (the list of places once or more): it may act either way, and is
    /// taken the way that adds up.
    pub(super) fn add(&self, asked: &InStrips, places: &[(f64, BarForces)], forces: &mut [StripForces]) {
        if self.strips <= 0.0 {
            return;
        }
        let adds = |value: &mut f64, size: f64| *value += if *value < 0.0 { -size } else { size };
        for (f, (x, _)) in forces.iter_mut().zip(places.iter().cycle()) {
            let Brought { bends, twists, shears } = self.at(asked, *x);
            adds(&mut f.mz, bends);
            adds(&mut f.t, twists);
            adds(&mut f.vy, shears);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn of_an_odd_number_of_strips_one_frame_has_fewer() {
        let found = [1, 2, 3, 4, 5].map(|count| on_the_lesser_side(count) as usize);
        assert_eq!(found, [1, 1, 1, 2, 2]);
    }

    fn held() -> Held {
        let first = FirstFixing { lever: 0.16, touch: 0.3 };
        Held { length: 1.2, fixings: vec![0.2, 0.6, 1.0], first: Some(first), strips: 1.0 }
    }

    fn near(found: Brought, hand: [f64; 3]) -> bool {
        let found = [found.bends, found.twists, found.shears];
        (0..3).all(|i| (found[i] - hand[i]).abs() < 1e-9)
    }

    /// By hand: an opening of 500 N at the first end alone bends the strip by 500 · 0.16 = 80 N·m at its first fixing, half of
    /// that half way to the corner's middle and half way to the touch, and nothing beyond either. It shears it by 500 N up to the
    /// fixing and by 500 · 0.16/0.3 from there to the touch.
    #[test]
    fn a_corner_that_opens_bends_the_strip_round_its_first_fixing() {
        let asked = InStrips { moment: 0.0, opening: [500.0, 0.0] };
        let held = held();
        let presses = 500.0 * 0.16 / 0.3;
        for (x, bends, shears) in [
            (0.04, 0.0, 500.0),
            (0.0, 0.0, 0.0),
            (0.12, 40.0, 500.0),
            (0.2, 80.0, 500.0),
            (0.35, 40.0, presses),
            (0.51, 0.0, 0.0),
            (0.9, 0.0, 0.0),
        ] {
            let found = held.at(&asked, x);
            assert!(
                near(Brought { bends: found.bends.max(0.0), ..found }, [bends, 0.0, shears]),
                "{x}: {found:?}"
            );
        }
        assert!(near(held.most(&asked), [80.0, 0.0, 500.0]));
        // A touch nearer than the lever presses by more than the opening.
        let close = Held { first: Some(FirstFixing { lever: 0.16, touch: 0.08 }), ..held.clone() };
        assert!(near(close.most(&asked), [80.0, 0.0, 1000.0]));
        assert!(near(close.at(&asked, 0.2), [80.0, 0.0, 1000.0]));
        let places: Vec<f64> = held.places().collect();
        assert!(places.len() == 2 && (places[0] - 0.2).abs() < 1e-9 && (places[1] - 1.0).abs() < 1e-9);
        // The other end's opening mirrors it.
        let other = InStrips { opening: [0.0, 500.0], ..asked };
        assert!((held.at(&other, 1.2 - 0.12).bends - 40.0).abs() < 1e-9);
        // Two strips on either side share it.
        assert!((Held { strips: 2.0, ..held }.at(&asked, 0.2).bends - 40.0).abs() < 1e-9);
    }

    /// By hand: of 60 N·m that turn the seam 30 leave by either end; a third of it comes in at every fixing.
    #[test]
    fn the_moment_of_a_seam_twists_its_strips_from_the_fixings_to_both_ends() {
        let asked = InStrips { moment: 60.0, opening: [0.0; 2] };
        let held = held();
        for (x, twists) in
            [(0.0, 30.0), (0.1, 30.0), (0.2, 30.0), (0.4, 10.0), (0.6, 10.0), (0.8, 10.0), (1.2, 30.0)]
        {
            assert!(near(held.at(&asked, x), [0.0, twists, 0.0]), "{x}");
        }
        assert!(near(held.most(&asked), [0.0, 30.0, 0.0]));
        // Without fixings it comes in all along the seam.
        let even = Held { fixings: Vec::new(), first: None, ..held };
        assert!((even.at(&asked, 0.3).twists - 15.0).abs() < 1e-9 && even.at(&asked, 0.6).twists < 1e-9);
    }

    /// It is added the way that adds up, to every list of places in turn; what is no seam has none of it.
    #[test]
    fn what_the_fixings_bring_adds_to_the_forces_of_the_model() {
        let asked = InStrips { moment: 60.0, opening: [500.0, 0.0] };
        let places = [(0.2, BarForces::default()), (0.6, BarForces::default())];
        let mut forces = vec![
            StripForces { mz: 5.0, t: -1.0, vy: -7.0, ..StripForces::default() },
            StripForces::default(),
            StripForces { mz: -5.0, ..StripForces::default() },
            StripForces::default(),
        ];
        let plain = forces.clone();
        held().add(&asked, &places, &mut forces);
        assert!((forces[0].mz - 85.0).abs() < 1e-9 && (forces[0].t + 31.0).abs() < 1e-9);
        assert!((forces[0].vy + 507.0).abs() < 1e-9 && (forces[2].vy - 500.0).abs() < 1e-9);
        assert!((forces[2].mz + 85.0).abs() < 1e-9 && (forces[3].t - 10.0).abs() < 1e-9);
        let mut none = plain.clone();
        Held::default().add(&asked, &places, &mut none);
        assert_eq!(none, plain);
        assert_eq!(Held::default().most(&asked), Brought::default());
    }

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

    /// Nothing at any place is beyond the most.
    #[test]
    fn the_most_is_nowhere_exceeded() {
        for touch in [0.05, 0.3, 0.9] {
            let held = Held { first: Some(FirstFixing { lever: 0.16, touch }), ..held() };
            let asked = InStrips { moment: 60.0, opening: [500.0, 300.0] };
            let most = held.most(&asked);
            for k in 0..=120 {
                let at = held.at(&asked, 0.01 * f64::from(k));
                assert!(
                    at.bends <= most.bends + 1e-9
                        && at.twists <= most.twists + 1e-9
                        && at.shears <= most.shears + 1e-9
                );
            }
        }
    }
}
