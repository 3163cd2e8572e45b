//! The curve of a barrel's arch, and joints set out along it.

use crate::shell::ask::Profile;

/// A curve (y, z) \[m\] with its feet on z = 0 and its crown over y = 0, mirrored in y.
///
/// Its parameter u is 0 at the crown, −1 and 1 at the feet, and runs on beyond them under the ground.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Curve {
    rise: f64,
    kind: Kind,
}

#[derive(Debug, Clone, Copy)]
enum Kind {
    Circular { radius: f64, half_angle: f64 },
    Elliptical { half_span: f64 },
    Pointed { radius: f64, slope_at_crown: f64, turn: f64 },
    Catenary { half_span: f64, parameter: f64 },
}

impl Curve {
    /// The curve of a profile over `span` with `rise` \[m\], both positive.
    pub(crate) fn new(profile: Profile, span: f64, rise: f64) -> Curve {
        let half_span = 0.5 * span;
        let slope = rise.atan2(half_span);
        let kind = match profile {
            Profile::Circular => Kind::Circular {
                radius: (half_span * half_span + rise * rise) / (2.0 * rise),
                half_angle: 2.0 * slope,
            },
            Profile::Elliptical => Kind::Elliptical { half_span },
            Profile::Pointed => {
                // Half the turn of the circular arc (2 × slope), but no overhang at the foot.
                let turn = slope.min(std::f64::consts::PI - 2.0 * slope);
                let chord = half_span.hypot(rise);
                Kind::Pointed {
                    radius: chord / (2.0 * (0.5 * turn).sin()),
                    slope_at_crown: slope - 0.5 * turn,
                    turn,
                }
            }
            Profile::Catenary => Kind::Catenary { half_span, parameter: catenary(half_span, rise) },
        };
        Curve { rise, kind }
    }

    /// The point (y, z) at u.
    pub(crate) fn at(&self, u: f64) -> [f64; 2] {
        let side = u.abs();
        let (y, z) = match self.kind {
            Kind::Circular { radius, half_angle } => {
                let angle = side * half_angle;
                (radius * angle.sin(), self.rise - radius * (1.0 - angle.cos()))
            }
            Kind::Elliptical { half_span } => {
                let angle = side * std::f64::consts::FRAC_PI_2;
                (half_span * angle.sin(), self.rise * angle.cos())
            }
            Kind::Pointed { radius, slope_at_crown, turn } => {
                let slope = slope_at_crown + side * turn;
                (
                    radius * (slope.sin() - slope_at_crown.sin()),
                    self.rise - radius * (slope_at_crown.cos() - slope.cos()),
                )
            }
            Kind::Catenary { half_span, parameter } => {
                let y = side * half_span;
                (y, self.rise - parameter * ((y / parameter).cosh() - 1.0))
            }
        };
        // The feet stand on the ground exactly, not to rounding.
        let z = if (side - 1.0).abs() < 1e-15 { 0.0 } else { z };
        [y.copysign(u) * f64::from(u != 0.0), z]
    }

    /// Radius of a circular profile \[m\].
    pub(crate) fn radius(&self) -> Option<f64> {
        match self.kind {
            Kind::Circular { radius, .. } => Some(radius),
            _ => None,
        }
    }

    /// At least 65 points from the foot at −y to the foot at +y.
    pub(crate) fn outline(&self) -> Vec<[f64; 2]> {
        (-64..=64).map(|i| self.at(f64::from(i) / 64.0)).collect()
    }

    fn distance(&self, u: f64, v: f64) -> f64 {
        let ([a, b], [c, d]) = (self.at(u), self.at(v));
        (a - c).hypot(b - d)
    }

    /// The joints of an arch of `segments` equal chords from foot to foot, as values of u.
    pub(crate) fn straight_joints(&self, segments: usize) -> Vec<f64> {
        // From the crown outward on one side, then mirrored, so that the mirror plane is exact.
        let one_side = |chord: f64| -> Option<Vec<f64>> {
            let mut side = Vec::new();
            let mut at = 0.0;
            if segments % 2 == 1 {
                at = self.beyond(0.0, 1.0, |u| 2.0 * self.at(u)[0] - chord)?;
                side.push(at);
            }
            for _ in 0..segments / 2 {
                at = self.beyond(at, 1.0, |u| self.distance(at, u) - chord)?;
                side.push(at);
            }
            Some(side)
        };
        let (mut short, mut long) = (0.0, 4.0 * (self.at(1.0)[0] + self.rise));
        for _ in 0..200 {
            let chord = 0.5 * (short + long);
            if one_side(chord).is_some() { short = chord } else { long = chord }
        }
        let mut side = one_side(short).unwrap_or_default();
        if let Some(foot) = side.last_mut() {
            *foot = 1.0;
        }
        let mut joints: Vec<f64> = side.iter().rev().map(|u| -u).collect();
        if segments.is_multiple_of(2) {
            joints.push(0.0);
        }
        joints.extend(side);
        joints
    }

    /// The joints of the arch turned by half a step: on the curve, each as far from one straight joint as
    /// from the next, and one beyond each foot, as far from it as the nearest joint inside.
    pub(crate) fn turned_joints(&self, straight: &[f64]) -> Vec<f64> {
        let mut inside: Vec<f64> = straight
            .windows(2)
            .map(|pair| {
                if (pair[0] + pair[1]).abs() < 1e-15 {
                    return 0.0;
                }
                let towards = |u: f64| self.distance(pair[0], u) - self.distance(pair[1], u);
                root(pair[0], pair[1], towards)
            })
            .collect();
        // Mirrored by construction rather than by luck of the bisection.
        let count = inside.len();
        for i in 0..count / 2 {
            let mean = 0.5 * (inside[count - 1 - i] - inside[i]);
            inside[i] = -mean;
            inside[count - 1 - i] = mean;
        }
        let last = inside.last().copied().unwrap_or(0.0);
        let step = self.distance(1.0, last);
        let mut far = 2.0 - last;
        for _ in 0..60 {
            if self.distance(1.0, far) >= step {
                break;
            }
            far += 1.0 - last;
        }
        let outside = root(1.0, far, |u| self.distance(1.0, u) - step);
        let mut joints = vec![-outside];
        joints.extend(inside);
        joints.push(outside);
        joints
    }

    /// Where a rising function passes 0 between two values of u, or nothing where it does not.
    fn beyond(&self, from: f64, to: f64, rising: impl Fn(f64) -> f64) -> Option<f64> {
        if rising(to) < 0.0 { None } else { Some(root(from, to, rising)) }
    }
}

/// The root of a rising function by halving, to rounding.
fn root(mut low: f64, mut high: f64, rising: impl Fn(f64) -> f64) -> f64 {
    for _ in 0..100 {
        let middle = 0.5 * (low + high);
        if rising(middle) < 0.0 { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}

/// The parameter a of `z = a cosh(y / a)` that sags by `rise` over `half_span` \[m\].
fn catenary(half_span: f64, rise: f64) -> f64 {
    // (cosh t − 1) / t = rise / half span, with t = half span / a; the left side rises with t. The
    // half-angle form keeps its digits where the arch is flat.
    let t = root(0.0, 50.0, |t| 2.0 * (0.5 * t).sinh().powi(2) - t * rise / half_span);
    half_span / t
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    const ALL: [Profile; 4] = [Profile::Circular, Profile::Elliptical, Profile::Pointed, Profile::Catenary];

    #[test]
    fn every_profile_stands_on_its_span_and_reaches_its_rise() {
        for profile in ALL {
            for (span, rise) in [(4.0, 2.0), (4.0, 0.7), (3.0, 4.0), (6.0, 3.0 * 3.0_f64.sqrt())] {
                let curve = Curve::new(profile, span, rise);
                assert_relative_eq!(curve.at(0.0)[1], rise, max_relative = 1e-12);
                for u in [0.999_999_999_999, 1.0] {
                    assert_relative_eq!(curve.at(u)[0], span / 2.0, max_relative = 1e-9);
                    assert_relative_eq!(curve.at(u)[1], 0.0, epsilon = 1e-9);
                }
            }
        }
    }

    #[test]
    fn equilateral_pointed_arch_has_its_centre_in_the_other_foot() {
        let curve = Curve::new(Profile::Pointed, 2.0, 3.0_f64.sqrt());
        for u in [0.0, 0.3, 0.8, 1.0] {
            let [y, z] = curve.at(u);
            assert_relative_eq!((y + 1.0).hypot(z), 2.0, max_relative = 1e-12);
        }
    }

    #[test]
    fn chords_are_equal_and_turned_joints_lie_between() {
        for profile in ALL {
            for segments in 2..14 {
                let curve = Curve::new(profile, 4.0, 2.6);
                let joints = curve.straight_joints(segments);
                assert_eq!(joints.len(), segments + 1);
                let first = curve.distance(joints[0], joints[1]);
                for pair in joints.windows(2) {
                    assert_relative_eq!(curve.distance(pair[0], pair[1]), first, max_relative = 1e-9);
                }
                let turned = curve.turned_joints(&joints);
                assert_eq!(turned.len(), segments + 2);
                for (i, &u) in joints.iter().enumerate() {
                    assert!(turned[i] < u && u < turned[i + 1]);
                }
                assert!(curve.at(turned[0])[1] < 0.0);
            }
        }
    }
}
