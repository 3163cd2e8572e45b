//! What the fixings of a seam bring to its strips besides the forces of the model.

use crate::assess::demand::{fixings_of, seam_strip};
use crate::assess::run::State;
use crate::assess::seams_asked::SeamsAsked;
use crate::assess::setup::Setup;
use crate::frame::BarForces;
use crate::project::Project;
use crate::rules::ask::FixingKind;
use crate::rules::fasteners::JointTimber;
use crate::rules::first_fixing::FirstFixing;
use crate::rules::members::Hole;
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
    slip: Slip,
}

/// How a fixing brings a force across to the other strip: not at once, and not without moving.
#[derive(Debug, Clone, Copy, Default)]
struct Slip {
    /// Bending stiffness of the strips of a side, in the surface and through the shell \[N·m²\].
    bending: [f64; 2],
    /// Of one fixing in shear \[N/m\].
    stiffness: f64,
    /// How far the strips move on each other before it bears \[m\].
    clearance: f64,
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

/// Slip modulus of one fixing between two strips for strength \[N/m\], `⅔·ρ_m^1.5·d/23` (EN 1995-1-1 Table 7.1, 2.2.2(2): bolts and
/// screws, with and without holes), under the NDS too, which has none. ρ in kg/m³, d in m.
fn slip_modulus(density: f64, diameter: f64) -> f64 {
    2.0 / 3.0 * density.powf(1.5) * (diameter * 1e3) / 23.0 * 1e3
}

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
            let section = &setup.timbers[m].strip;
            let of_side = |moment: f64| setup.material.elastic * moment * strips;
            let hole = Hole::of(&fixings, strip.depth, project.loads.basis)
                .filter(|_| fixings.kind == FixingKind::Bolt);
            out.slip = Slip {
                bending: [of_side(section.second_moment_z), of_side(section.second_moment_y)],
                stiffness: slip_modulus(setup.material.density, fixings.diameter),
                clearance: hole.map_or(0.0, |hole| (hole.diameter - fixings.diameter).max(0.0)),
            };
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
            for (i, half) in spot.half.iter().enumerate() {
                let half = factor * half.abs();
                out.bends_between[i] += self.not_shared(half, self.slip.bending[i], spot.place);
                out.shears_between[i] += half;
            }
        }
        out
    }

    /// Moment that a force at a place of one strip bends it by over what both strips carry alike, from the half of it that has to reach the
    /// other \[N·m\]: between the fixings as [`Held::between_holds`]; on the whole strip by as much of it as a fixing does not take, which is as stiff
    /// against the strip as its slip modulus has it; and by half of what closes the clearance of a bolt, which the loaded strip does
    /// alone. No more than the whole half, without fixings. Own reading.
    fn not_shared(&self, half: f64, bending: f64, place: f64) -> f64 {
        let (before, after) = (place, self.length - place);
        if before <= TOUCHES || after <= TOUCHES {
            return 0.0;
        }
        let alone = before * after / self.length;
        let whole = half * alone;
        if self.fixings.is_empty() {
            return whole;
        }
        // A beam on two supports under one force: 3·E·I·L/(a²·b²).
        let stiffness = 3.0 * bending * self.length / (before * after).powi(2);
        let left = stiffness / (stiffness + 2.0 * self.slip.stiffness);
        let closes = if half > 0.0 { 0.5 * stiffness * self.slip.clearance * alone } else { 0.0 };
        whole.min(half * (self.between_holds(place) + alone * left) + closes)
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
#[path = "in_strips_tests.rs"]
mod tests;
