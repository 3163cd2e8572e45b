//! The first fixing of a seam from a corner: what it holds where the corner is pulled off its neighbour.

use crate::rules::ask::FixingsAsk;
use crate::rules::fasteners::JointTimber;
use crate::rules::seams_stiffness;
use crate::rules::spacing::{self, Standard, Strip};

/// How the first fixing of a seam holds the corner of a frame that pulls away from its neighbour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FirstFixing {
    /// From the middle of the corner, where the centre lines of its strips meet, to the fixing \[m\].
    pub lever: f64,
    /// From the fixing on to where the strip, bent round it, touches its neighbour \[m\].
    pub touch: f64,
}

impl FirstFixing {
    /// Of a strip that bears on its neighbour from `touch` on: one end of it is pulled off by F at the lever, the fixing
    /// holds F·(1 + lever/touch), and moves as a spring by what a beam bends between the two. The centre lines of a corner α wide
    /// meet half a breadth over tan(α/2) along the seam. The spring is taken at the stiff end
    /// of its estimate, which pries most; where there is none, a touch as short as the lever is taken. So is it for a single fixing, which
    /// holds both ends: of pulls F₁ ≥ F₂ that is F₁·(1 + lever/touch) + F₂·(1 − lever/touch), no more than 2·F₁ or the one end's alone. Own reading.
    #[must_use]
    pub fn of(
        fixings: &FixingsAsk,
        strip: &Strip,
        corner: f64,
        timber: &JointTimber,
        standard: Standard,
    ) -> Self {
        let layout = spacing::layout(fixings, strip, standard);
        let first = spacing::first(fixings, strip);
        let lever = (first - 0.5 * strip.breadth / (0.5 * corner).tan()).max(0.0);
        let most = if fixings.per_seam == 1 { lever } else { strip.length - first }.max(1e-3);
        let axial = seams_stiffness::axial(fixings, strip, timber, standard);
        let Some(axial) = axial.filter(|_| lever > 0.0) else {
            return Self { lever, touch: most.min(lever.max(1e-3)) };
        };
        let spring = seams_stiffness::SPREAD * axial;
        let bending = timber.elastic * strip.depth * layout.thickness.powi(3) / 12.0;
        // F/(2·K) = p·c·t²/(6·E·I) with F = p·(t + c)/t: t³/(t + c) = 3·E·I/(K·c), the left side growing with t.
        let wanted = 3.0 * bending / (spring * lever);
        // From above, where the cubic is convex: half of it takes either term there.
        let mut touch = (2.0 * wanted).sqrt().max((2.0 * wanted * lever).cbrt());
        for _ in 0..30 {
            let step = (touch.powi(3) - wanted * (touch + lever)) / (3.0 * touch * touch - wanted);
            touch -= step;
            if step <= 1e-14 * touch {
                break;
            }
        }
        Self { lever, touch: touch.min(most) }
    }

    /// Pull in the fixing over the pull on the corner.
    #[must_use]
    pub fn prying(&self) -> f64 {
        1.0 + self.lever / self.touch
    }
}

#[cfg(test)]
mod tests {
    use crate::rules::ask::{FixingKind, FixingsAsk};
    use crate::rules::seams::tests::{check, seam, value};
    use crate::rules::seams::{SeamInput, working_seam};
    use crate::rules::seams_stiffness;
    use crate::rules::spacing::{self, Standard, Strip};

    fn first_of(input: &SeamInput) -> super::FirstFixing {
        let standard = input.basis.standard();
        super::FirstFixing::of(&input.fixings, &input.strip, input.corner, &input.timber, standard)
    }

    /// A strip bends round its first fixing: in balance about the place where it touches its neighbour the fixing holds F (1 +
    /// lever/touch), and moves as a spring by what the beam from there to the touch bends, which a beam is computed for here
    /// by integrating its curvature. The stiffer the fixing, the shorter the touch; a single fixing holds twice the pull or more.
    #[test]
    fn a_strip_pries_at_its_first_fixing() {
        let input = seam(FixingKind::Bolt, 0.008);
        let (fixings, strip, timber) = (input.fixings, input.strip, input.timber);
        let first = first_of(&input);
        assert!((first.lever - (1.22 / 6.0 - 0.019 * 3.0_f64.sqrt())).abs() < 1e-12, "a corner of 60°");
        let spring = 2.0 * seams_stiffness::axial(&fixings, &strip, &timber, Standard::Eurocode5).unwrap();
        let thickness = spacing::layout(&fixings, &strip, Standard::Eurocode5).thickness;
        let bending = timber.elastic * strip.depth * thickness.powi(3) / 12.0;
        // A pull of 1 N at the corner: the moment falls from the lever at the fixing to nothing at the touch, from where the
        // strip lies straight.
        let steps = 20_000;
        let step = first.touch / f64::from(steps);
        let (mut slope, mut moved) = (0.0, 0.0);
        for k in 0..steps {
            let from_touch = (f64::from(k) + 0.5) * step;
            let turn = first.lever * from_touch / first.touch / bending * step;
            moved += slope * step + 0.5 * turn * step;
            slope += turn;
        }
        // Either strip moves by half of what the fixing stretches.
        assert!((2.0 * moved * spring / first.prying() - 1.0).abs() < 1e-3, "{first:?}");
        let stiffer = FixingsAsk { washer: Some(0.05), ..fixings };
        assert!(first_of(&SeamInput { fixings: stiffer, ..input }).prying() > first.prying());
        let single = first_of(&SeamInput { fixings: FixingsAsk { per_seam: 1, ..fixings }, ..input });
        assert!(single.touch <= single.lever && single.prying() >= 2.0 - 1e-12, "{single:?}");
        let pull = value(check(&working_seam(&input), "crushing under the washers"), "F_ax,Ed");
        let hand = 60.0 / (0.0445 * 3.0) + 100.0 / 3.0 + 150.0 * first.prying();
        assert!((pull - hand).abs() < 1e-6, "{pull} {hand}");
    }

    /// Where the bent strip touches solves t³/(t + c) = 3·E·I/(K·c) to the last figures: for fixings close to the corner (c of 2 mm: the
    /// touch is beyond a metre off) and far from it, thin strips and thick.
    #[test]
    fn the_touch_solves_its_equation() {
        let input = seam(FixingKind::Bolt, 0.008);
        for breadth in [0.020, 0.038, 0.075] {
            for lever in [0.002, 0.01, 0.05, 0.2, 0.5] {
                // A seam so long that the strip's other end is never reached first.
                let strip = Strip { breadth, length: 20.0, ..input.strip };
                let end = Some(lever + 0.5 * breadth * 3.0_f64.sqrt());
                let fixings = FixingsAsk { end, per_seam: 9, ..input.fixings };
                let first = first_of(&SeamInput { strip, fixings, ..input });
                assert!((first.lever - lever).abs() < 1e-12);
                let spring = 2.0
                    * seams_stiffness::axial(&fixings, &strip, &input.timber, Standard::Eurocode5).unwrap();
                let thickness = spacing::layout(&fixings, &strip, Standard::Eurocode5).thickness;
                let bending = input.timber.elastic * strip.depth * thickness.powi(3) / 12.0;
                let by_hand = 3.0 * bending / (spring * first.lever);
                let found = first.touch.powi(3) / (first.touch + first.lever);
                assert!((found / by_hand - 1.0).abs() < 1e-11, "{breadth} {lever} {first:?}");
            }
        }
    }

    /// A fixing at the corner itself, or before it, has nothing to pry with, and holds the pull as it comes.
    #[test]
    fn a_fixing_at_the_corner_does_not_pry() {
        let input = seam(FixingKind::Bolt, 0.008);
        // Half of 38 mm over tan 30° is 32.9 mm.
        for end in [0.0, 0.03, 0.0329] {
            let first =
                first_of(&SeamInput { fixings: FixingsAsk { end: Some(end), ..input.fixings }, ..input });
            assert!(first.lever <= 0.0 && first.prying() <= 1.0 && first.touch <= 1e-3, "{end} {first:?}");
        }
        let beyond = FixingsAsk { end: Some(0.034), ..input.fixings };
        assert!(first_of(&SeamInput { fixings: beyond, ..input }).prying() > 1.0);
    }
}
