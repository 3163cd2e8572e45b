//! What the fixings of a seam bring to its strips besides the forces of the model.

use crate::assess::demand::{fixings_of, seam_strip};
use crate::assess::run::State;
use crate::assess::seams_asked::SeamsAsked;
use crate::assess::setup::Setup;
use crate::frame::BarForces;
use crate::project::Project;
use crate::rules::fasteners::JointTimber;
use crate::rules::first_fixing::FirstFixing;
use crate::rules::seams::standard_of;
use crate::rules::spacing;
use crate::section::forces::StripForces;

/// What bends and twists the strips of a seam besides the forces of the model, sizes alone.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct InStrips {
    /// Moment that turns the seam \[N·m\].
    pub(super) moment: f64,
    /// Opening of its halves by the frames' corners \[N\].
    pub(super) opening: [f64; 2],
    /// What crosses its halves through the shell at the frames' corners \[N\].
    pub(super) through: [f64; 2],
    /// What forces that stand in one place bend one strip by between its holds, in the surface and through the shell \[N·m\].
    pub(super) bends_between: [f64; 2],
    /// What they shear it by there, likewise \[N\].
    pub(super) shears_between: [f64; 2],
}

/// Where the fixings hold the strips of a seam.
///
/// A corner that pulls away from its neighbour bends the strip in the surface: nothing at the corner, force times lever at
/// the first fixing, and nothing again where the strip touches its neighbour. It shears it on the way, by the force itself up to the
/// fixing and by what the strip presses its neighbour with from there to the touch. What crosses through the shell at a corner does so
/// at the first fixing too, and bends the strip through the shell: nothing at that corner, force times lever at the fixing, and nothing at
/// the other corner. The moment that turns a seam of the seam model
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

/// Where the corners at the ends of a seam bring their forces into its strips.
#[derive(Debug, Clone, Copy)]
pub(super) struct Corner {
    pub(super) first: FirstFixing,
    /// Of the first fixing, from the joint \[m\].
    pub(super) place: f64,
    /// Strips that share it.
    pub(super) strips: f64,
}

/// What the fixings bring to one strip at a place, sizes alone.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Brought {
    /// Moment in the surface \[N·m\].
    pub(super) bends: f64,
    /// Moment through the shell \[N·m\].
    pub(super) bends_through: f64,
    /// Torsion \[N·m\].
    pub(super) twists: f64,
    /// Shear in the surface \[N\].
    pub(super) shears: f64,
    /// Shear through the shell \[N\].
    pub(super) shears_through: f64,
}

/// Moment and shear through the shell at `x` from a corner, of 1 N that crosses there at the first fixing, which stands at `place`: the
/// strip is a beam from corner to corner.
fn through_at(first: &FirstFixing, place: f64, length: f64, x: f64) -> [f64; 2] {
    // Where the centre lines meet, at either end.
    let (near, far) = (place - first.lever, length - place + first.lever);
    let beside = far - place;
    let within = |ahead: f64| f64::from(u8::from(ahead >= -TOUCHES));
    let before = [(x - near).max(0.0), within(x - near)];
    let beyond = if beside > 0.0 {
        let back = first.lever / beside;
        [(far - x).max(0.0) * back, within(far - x) * back.min(1.0)]
    } else {
        [0.0; 2]
    };
    // The shear steps at the fixing, and the place of the far one is a difference that rounding may put on either side of it.
    if x < place - TOUCHES {
        before
    } else if x > place + TOUCHES {
        beyond
    } else {
        [before[0].max(beyond[0]), before[1].max(beyond[1])]
    }
}

/// Places nearer to each other than this are one \[m\].
const TOUCHES: f64 = 1e-9;

impl Held {
    /// Of one member; what is no seam between two frames holds nothing.
    pub(super) fn new(project: &Project, setup: &Setup, m: usize) -> Self {
        if !setup.corners.has(m) {
            return Self::default();
        }
        let strip = seam_strip(project, setup, m);
        let strips = (0.5 * setup.timbers[m].sharing()).max(1.0);
        let mut out = Self { length: strip.length, strips, ..Self::default() };
        if let Some(fixings) = project.rules.fixings {
            let (fixings, strip) = fixings_of(project, setup, &fixings, m);
            let standard = standard_of(&setup.grade);
            out.fixings = spacing::places(&fixings, &strip, standard);
            let corner = setup.corners.widest(m);
            let timber = JointTimber::of(&setup.grade);
            out.first = Some(FirstFixing::of(&fixings, &strip, corner, &timber, standard));
        }
        out
    }

    /// Where the corners' forces meet the strips; `None` where no fixing does.
    pub(super) fn corner(&self) -> Option<Corner> {
        let (first, place) = self.first.zip(self.fixings.first().copied())?;
        Some(Corner { first, place, strips: self.strips })
    }

    /// What a state asks of the strips besides the forces of the model; nothing where nothing is held.
    pub(super) fn asked(&self, asked: &SeamsAsked<'_>, state: &State, m: usize) -> InStrips {
        if self.strips <= 0.0 {
            return InStrips::default();
        }
        let mut out = asked.in_strips(state, m);
        for spot in asked.spots(m) {
            let factor = state.factor(spot.case).abs();
            let bends = self.between_holds(spot.place);
            for (i, half) in spot.half.iter().enumerate() {
                out.bends_between[i] += factor * half.abs() * bends;
                out.shears_between[i] += factor * half.abs();
            }
        }
        out
    }

    /// Moment of 1 N at a place of one strip, over what both strips carry alike: the half of its own force that it does not have in common
    /// with the other goes to the fixings or corners on either side, as a beam that they hold up without bending it back.
    fn between_holds(&self, place: f64) -> f64 {
        let holds = self.fixings.iter().copied().filter(|x| (0.0..=self.length).contains(x));
        let (mut before, mut after) = (0.0_f64, self.length);
        for x in holds {
            if x <= place {
                before = before.max(x);
            } else {
                after = after.min(x);
            }
        }
        let span = after - before;
        if span > 0.0 { ((place - before) * (after - place) / span).max(0.0) } else { 0.0 }
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
        let through = if self.first.is_some() { asked.through[0] + asked.through[1] } else { 0.0 };
        let corners = Brought {
            bends,
            bends_through: through * self.first.map_or(0.0, |first| first.lever),
            twists: 0.5 * asked.moment,
            shears: if self.first.is_some() { opening.max(presses) } else { 0.0 },
            shears_through: through,
        };
        self.in_one(corners, asked)
    }

    /// What comes to one strip at a place; beside a fixing, on the side of it where it is more.
    pub(super) fn at(&self, asked: &InStrips, x: f64) -> Brought {
        if self.strips <= 0.0 {
            return Brought::default();
        }
        let mut out = Brought::default();
        if let (Some(first), Some(&place)) = (self.first, self.fixings.first()) {
            for (through, x) in asked.through.iter().zip([x, self.length - x]) {
                let [bends, shears] = through_at(&first, place, self.length, x);
                out.bends_through += through * bends;
                out.shears_through += through * shears;
            }
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
        self.in_one(Brought { twists: left * asked.moment, ..out }, asked)
    }

    /// What comes to one strip of what comes to all of a side, with what forces in one place bend them by, wherever that is.
    fn in_one(&self, all: Brought, asked: &InStrips) -> Brought {
        let [surface, through] = [0, 1].map(|i| (asked.bends_between[i], asked.shears_between[i]));
        Brought {
            bends: (all.bends + surface.0) / self.strips,
            bends_through: (all.bends_through + through.0) / self.strips,
            twists: all.twists / self.strips,
            shears: (all.shears + surface.1) / self.strips,
            shears_through: (all.shears_through + through.1) / self.strips,
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
            let Brought { bends, bends_through, twists, shears, shears_through } = self.at(asked, *x);
            adds(&mut f.mz, bends);
            adds(&mut f.my, bends_through);
            adds(&mut f.vz, shears_through);
            adds(&mut f.t, twists);
            adds(&mut f.vy, shears);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn held() -> Held {
        let first = FirstFixing { lever: 0.16, touch: 0.3 };
        Held { length: 1.2, fixings: vec![0.2, 0.6, 1.0], first: Some(first), strips: 1.0 }
    }

    fn near(found: Brought, hand: [f64; 3]) -> bool {
        let found = [found.bends, found.twists, found.shears];
        (0..3).all(|i| (found[i] - hand[i]).abs() < 1e-9)
    }

    /// The shear steps at a fixing, and how far that is from the other end is a difference: it may come out a last digit too far.
    #[test]
    fn both_ends_are_alike_whatever_the_length() {
        let mut rounded = 0;
        for step in 0..400 {
            let length = 1.2 + 1e-3 * f64::from(step);
            let place = 0.2 + 3.7e-4 * f64::from(step);
            let fixings = vec![place, length - place];
            let held = Held { length, fixings, ..held() };
            let far = length - place;
            rounded += usize::from(length - far > place);
            let one = held.at(&InStrips { through: [700.0, 0.0], ..InStrips::default() }, place);
            let other = held.at(&InStrips { through: [0.0, 700.0], ..InStrips::default() }, far);
            assert!((one.shears_through - 700.0).abs() < 1e-6, "{length} {place} {one:?}");
            assert!((one.shears_through - other.shears_through).abs() < 1e-6, "{length} {place} {other:?}");
            assert!((one.bends_through - other.bends_through).abs() < 1e-6, "{length} {place} {other:?}");
        }
        assert!(rounded > 20, "{rounded}");
    }

    /// By hand: an opening of 500 N at the first end alone bends the strip by 500 · 0.16 = 80 N·m at its first fixing, half of
    /// that half way to the corner's middle and half way to the touch, and nothing beyond either. It shears it by 500 N up to the
    /// fixing and by 500 · 0.16/0.3 from there to the touch.
    #[test]
    fn a_corner_that_opens_bends_the_strip_round_its_first_fixing() {
        let asked = InStrips { opening: [500.0, 0.0], ..InStrips::default() };
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

    /// By hand: 100 N that cross at the first end bend the strip by 100 · 0.16 = 16 N·m at its first fixing, half as much half way to where
    /// the centre lines meet, 0.04 m from the end, and half as much half way to the other such place, 0.96 m on.
    #[test]
    fn a_corner_that_is_held_through_the_shell_bends_the_strip() {
        let held = held();
        let first = InStrips { through: [100.0, 0.0], ..InStrips::default() };
        let back = 16.0 / 0.96;
        for (x, bends, shears) in [
            (0.0, 0.0, 0.0),
            (0.04, 0.0, 100.0),
            (0.12, 8.0, 100.0),
            (0.2, 16.0, 100.0),
            (0.68, 8.0, back),
            (1.16, 0.0, back),
            (1.2, 0.0, 0.0),
        ] {
            let found = held.at(&first, x);
            let near = |a: f64, b: f64| (a - b).abs() < 1e-9;
            assert!(near(found.bends_through, bends) && near(found.shears_through, shears), "{x}: {found:?}");
            // From the other end it is the same, and both add up.
            let other = held.at(&InStrips { through: [0.0, 100.0], ..first }, 1.2 - x);
            assert!(near(other.bends_through, bends) && near(other.shears_through, shears), "{x}: {other:?}");
        }
        let both = held.at(&InStrips { through: [100.0, 100.0], ..first }, 0.2);
        assert!((both.bends_through - 16.0 - 0.16 * back).abs() < 1e-9, "{both:?}");
        assert!((held.most(&first).bends_through - 16.0).abs() < 1e-9);
        // Nothing is fixed: nothing is held.
        assert_eq!(Held { fixings: Vec::new(), first: None, ..held }.at(&first, 0.2), Brought::default());
    }

    /// By hand: of 60 N·m that turn the seam 30 leave by either end; a third of it comes in at every fixing.
    #[test]
    fn the_moment_of_a_seam_twists_its_strips_from_the_fixings_to_both_ends() {
        let asked = InStrips { moment: 60.0, ..InStrips::default() };
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
        let asked =
            InStrips { moment: 60.0, opening: [500.0, 0.0], through: [100.0, 0.0], ..InStrips::default() };
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
        assert!((forces[0].my - 16.0).abs() < 1e-9 && (forces[0].vz - 100.0).abs() < 1e-9);
        assert!((forces[0].vy + 507.0).abs() < 1e-9 && (forces[2].vy - 500.0).abs() < 1e-9);
        assert!((forces[2].mz + 85.0).abs() < 1e-9 && (forces[3].t - 10.0).abs() < 1e-9);
        let mut none = plain.clone();
        Held::default().add(&asked, &places, &mut none);
        assert_eq!(none, plain);
        assert_eq!(Held::default().most(&asked), Brought::default());
    }

    /// Nothing at any place is beyond the most.
    #[test]
    fn the_most_is_nowhere_exceeded() {
        for touch in [0.05, 0.3, 0.9] {
            let held = Held { first: Some(FirstFixing { lever: 0.16, touch }), ..held() };
            let asked = InStrips {
                moment: 60.0,
                opening: [500.0, 300.0],
                through: [200.0, 100.0],
                ..InStrips::default()
            };
            let most = held.most(&asked);
            for k in 0..=120 {
                let at = held.at(&asked, 0.01 * f64::from(k));
                assert!(
                    at.bends <= most.bends + 1e-9
                        && at.twists <= most.twists + 1e-9
                        && at.shears <= most.shears + 1e-9
                        && at.bends_through <= most.bends_through + 1e-9
                        && at.shears_through <= most.shears_through + 1e-9
                );
            }
        }
    }

    /// The half of a force that a strip does not share with the other stands between two fixings, or a fixing and the corner, as on a
    /// beam of that span; at a fixing it bends nothing.
    #[test]
    fn a_force_in_one_place_bends_its_strip_between_the_holds() {
        let held = held();
        // 0 | 0.2 | 0.6 | 1.0 | 1.2
        for (place, by_hand) in
            [(0.4, 0.2 * 0.2 / 0.4), (0.3, 0.1 * 0.3 / 0.4), (0.05, 0.05 * 0.15 / 0.2), (0.6, 0.0)]
        {
            assert!((held.between_holds(place) - by_hand).abs() < 1e-12, "{place}");
        }
        let loose = Held { fixings: Vec::new(), ..held.clone() };
        assert!((loose.between_holds(0.6) - 1.2 / 4.0).abs() < 1e-12, "the whole of it");
        let asked =
            InStrips { bends_between: [3.0, 50.0], shears_between: [20.0, 250.0], ..InStrips::default() };
        for found in [held.at(&asked, 0.4), held.most(&asked)] {
            let found = [found.bends, found.bends_through, found.shears, found.shears_through, found.twists];
            assert_eq!(found, [3.0, 50.0, 20.0, 250.0, 0.0]);
        }
    }
}
