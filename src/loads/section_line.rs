//! The smooth shape behind the panels as the load rules need it: places along a vault's cross-section,
//! slopes, and the sphere of a dome.

use crate::shell::Outline;
use crate::vector::Vec3;

/// A vault's cross-section, from the foot at −y over the crown to the foot at +y.
#[derive(Debug, Clone)]
pub(crate) struct SectionLine {
    points: Vec<[f64; 2]>,
    /// y of the middle of the base \[m\].
    pub(crate) middle: f64,
    /// Radius and height of the centre, where it is a circle \[m\].
    circle: Option<[f64; 2]>,
    /// Greatest distance from the middle \[m\].
    pub(crate) half_width: f64,
}

impl SectionLine {
    /// From the outline; `None` where there is no profile.
    pub(crate) fn new(outline: &Outline) -> Option<SectionLine> {
        let points = outline.profile.clone();
        let (first, last) = (points.first()?, points.last()?);
        let middle = 0.5 * (first[0] + last[0]);
        let circle = outline.radius.map(|radius| [radius, outline.rise - radius]);
        let widest = points.iter().map(|p| (p[0] - middle).abs()).fold(0.0, f64::max);
        let half_width = match circle {
            Some([radius, height]) if height > 0.0 => radius,
            _ => widest,
        };
        Some(SectionLine { points, middle, circle, half_width })
    }

    /// The point at a part 0..1 of the length of the line from the foot at −y.
    pub(crate) fn at_part(&self, part: f64) -> [f64; 2] {
        let length = |a: &[f64; 2], b: &[f64; 2]| (b[0] - a[0]).hypot(b[1] - a[1]);
        let whole: f64 = self.points.windows(2).map(|w| length(&w[0], &w[1])).sum();
        let mut left = part * whole;
        for pair in self.points.windows(2) {
            let step = length(&pair[0], &pair[1]);
            if left <= step {
                let t = if step > 0.0 { left / step } else { 0.0 };
                return [
                    pair[0][0] + (pair[1][0] - pair[0][0]) * t,
                    pair[0][1] + (pair[1][1] - pair[0][1]) * t,
                ];
            }
            left -= step;
        }
        self.points[self.points.len() - 1]
    }

    /// Slope of the tangent at a distance from the middle, the steeper of both sides \[rad\].
    pub(crate) fn slope(&self, distance: f64) -> f64 {
        if let Some([radius, _]) = self.circle {
            return (distance.abs() / radius).min(1.0).asin();
        }
        let mut steepest = 0.0_f64;
        for side in [distance.abs(), -distance.abs()] {
            steepest = steepest.max(self.chord_slope(self.middle + side));
        }
        steepest
    }

    fn chord_slope(&self, y: f64) -> f64 {
        // Slopes hold at the middles of the chords; linear between them.
        let mut before: Option<(f64, f64)> = None;
        for pair in self.points.windows(2) {
            let run = pair[1][0] - pair[0][0];
            let slope = (pair[1][1] - pair[0][1]).abs().atan2(run.max(0.0));
            let here = (0.5 * (pair[0][0] + pair[1][0]), slope);
            if here.0 >= y {
                return match before {
                    Some((at, value)) if here.0 > at => value + (here.1 - value) * (y - at) / (here.0 - at),
                    _ => slope,
                };
            }
            before = Some(here);
        }
        before.map_or(0.0, |(_, slope)| slope)
    }

    /// Height at a distance from the middle, the lower of both sides \[m\].
    pub(crate) fn height_at(&self, distance: f64) -> f64 {
        [distance, -distance]
            .iter()
            .map(|side| self.chord_height(self.middle + side))
            .fold(f64::INFINITY, f64::min)
    }

    fn chord_height(&self, y: f64) -> f64 {
        for pair in self.points.windows(2) {
            let (low, high) = (pair[0][0].min(pair[1][0]), pair[0][0].max(pair[1][0]));
            if y >= low && y <= high && high > low {
                return pair[0][1] + (pair[1][1] - pair[0][1]) * (y - pair[0][0]) / (pair[1][0] - pair[0][0]);
            }
        }
        0.0
    }

    /// Half the width over which the slope is no steeper than a limit \[m\].
    pub(crate) fn reach(&self, limit: f64) -> f64 {
        if let Some([radius, height]) = self.circle {
            let foot =
                if height >= 0.0 { radius } else { (radius * radius - height * height).max(0.0).sqrt() };
            return (radius * limit.sin()).min(foot);
        }
        let (mut low, mut high) = (0.0, self.half_width);
        if self.slope(high * (1.0 - 1e-9)) <= limit {
            return high;
        }
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if self.slope(middle) <= limit { low = middle } else { high = middle }
        }
        low
    }
}

/// The sphere of a dome or of a vault's domed ends.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Ball {
    /// Centre in plan \[m\].
    pub(crate) centre: Vec3,
    /// Radius \[m\].
    pub(crate) radius: f64,
    /// Plan radius of the shell: at its widest \[m\].
    pub(crate) plan: f64,
    /// Angle at the sphere's centre from the crown to the shell at its widest \[rad\].
    pub(crate) half_angle: f64,
    /// Height of the sphere's centre above the base \[m\].
    height: f64,
}

impl Ball {
    /// The sphere through rim and crown, at a centre in plan.
    pub(crate) fn new(outline: &Outline, centre: Vec3) -> Ball {
        let half = 0.5 * outline.span;
        // A mesh may have no joint above its feet.
        let rise = outline.rise.max(1e-6 * half);
        let radius = outline.radius.unwrap_or((half * half + rise * rise) / (2.0 * rise));
        let plan = if rise >= radius { radius } else { half.min(radius) };
        Ball { centre, radius, plan, half_angle: (plan / radius).min(1.0).asin(), height: rise - radius }
    }

    /// The sphere's own centre \[m\].
    pub(crate) fn middle(&self) -> Vec3 {
        Vec3::new(self.centre.x, self.centre.y, self.height)
    }

    /// How far downwind of the centre the piece of the sphere lies that a point of a flat panel stands for: the one on its ray from the
    /// sphere's centre \[m\].
    pub(crate) fn downwind(&self, p: &Vec3, downwind: &Vec3) -> f64 {
        let ray = p - self.middle();
        let length = ray.norm();
        if length > 0.0 { self.radius * (ray.dot(downwind) / length) } else { 0.0 }
    }
}

/// Unit vector in plan towards an angle anticlockwise from +x.
pub(crate) fn towards(angle: f64) -> Vec3 {
    // Whole quarters come out exact, so that symmetric patterns are symmetric to the last digit.
    let quarter = angle / std::f64::consts::FRAC_PI_2;
    if (quarter - quarter.round()).abs() < 1e-12 {
        return match (quarter.round() as i64).rem_euclid(4) {
            0 => Vec3::x(),
            1 => Vec3::y(),
            2 => -Vec3::x(),
            _ => -Vec3::y(),
        };
    }
    Vec3::new(angle.cos(), angle.sin(), 0.0)
}

/// An angle as a person writes it: whole degrees 0..360 where it is whole.
pub(crate) fn degrees(angle: f64) -> String {
    let degrees = angle.to_degrees().rem_euclid(360.0);
    let whole = degrees.round().rem_euclid(360.0);
    if (degrees - degrees.round()).abs() < 1e-6 { format!("{whole:.0}°") } else { format!("{degrees:.1}°") }
}
