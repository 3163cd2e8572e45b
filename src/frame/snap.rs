//! Snap-through of one joint, its neighbours held: the flat corner that pops in.
//!
//! The joint stands on hinged bars to fixed neighbours, so that this is a lower bound on the stiffness
//! that rigid joints add and an upper bound where the neighbours give way. Slip in the seams at the
//! ends of a bar is a spring in series with it.

use crate::frame::error::FrameError;
use crate::frame::limit::{LimitKind, LimitOptions, limit_of};
use crate::frame::{Bar, BarSection, EndFix, Frame, FrameLoads, Node, NodeId};
use crate::vector::Vec3;

/// A bar from the joint to a held neighbour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SnapBar {
    /// Where the neighbour is \[m\].
    pub neighbour: Vec3,
    /// Axial stiffness EA of the bar \[N\].
    pub axial_stiffness: f64,
    /// Stiffness of the slip at both ends together, in series with the bar \[N/m\]; infinite is none.
    pub slip_stiffness: f64,
}

impl SnapBar {
    /// EA of the bar and its slip in series, for a bar that starts at `joint` \[N\].
    #[must_use]
    pub fn effective(&self, joint: &Vec3) -> f64 {
        let length = (self.neighbour - joint).norm();
        if self.slip_stiffness.is_infinite() {
            self.axial_stiffness
        } else if self.slip_stiffness <= 0.0 {
            0.0
        } else {
            self.axial_stiffness / (1.0 + self.axial_stiffness / (self.slip_stiffness * length))
        }
    }

    /// How much the bar falls away from the joint along `load`, as the sine of its slope \[1\]:
    /// positive where pushing the joint along `load` shortens the bar.
    #[must_use]
    pub fn slope(&self, joint: &Vec3, load: &Vec3) -> f64 {
        (self.neighbour - joint).normalize().dot(&load.normalize())
    }
}

/// The snap of one joint.
#[derive(Debug, Clone, PartialEq)]
pub struct Snap {
    /// Force along the load at which the joint snaps \[N\], by following its equilibrium; none where it
    /// does not snap below 1000 times the load.
    pub force: Option<f64>,
    /// That force over the load; with none, at least 1000.
    pub factor: f64,
    /// Whether it snaps along the load or slips away to the side.
    pub kind: LimitKind,
    /// The shallow-pyramid formula for the mean slope β: n EA β³ / (3√3) = 0.192 n EA β³ \[N\].
    pub formula: f64,
    /// Mean slope β of the bars against the plane square to the load \[rad\].
    pub slope: f64,
}

/// Factor beyond which a joint is said not to snap.
const ENOUGH: f64 = 1000.0;

/// Snap-through of the joint at `joint` under the force `load` \[N\], all neighbours held.
///
/// A joint that stands above its neighbours (seen along the load) snaps at a limit; one that hangs
/// below them does not; one in their plane is a mechanism in the first instant, and so an error.
///
/// The formula: mechanics of the two-bar truss (R. von Mises 1923), derived for n bars and small
/// slopes; exact closed form in `tests/published/two_bar_truss.rs`.
///
/// # Errors
/// [`FrameError::BadNumber`] for a load of nothing or stiffnesses that are not positive;
/// [`FrameError::NoLength`]; [`FrameError::Mechanism`] where the bars do not hold the joint.
pub fn single_joint(joint: &Vec3, bars: &[SnapBar], load: &Vec3) -> Result<Snap, FrameError> {
    let size = load.norm();
    if !(size.is_finite() && size > 0.0) {
        return Err(bad("load", 0, "force", size));
    }
    let mut frame = Frame::default();
    frame.nodes.push(Node { at: *joint, held: [false; 6], ground: [0.0; 6] });
    let mut total = 0.0;
    let mut mean = 0.0;
    for (index, bar) in bars.iter().enumerate() {
        let stiffness = bar.effective(joint);
        if !(stiffness.is_finite() && stiffness > 0.0) {
            return Err(bad("bar", index, "axial stiffness with slip", stiffness));
        }
        frame.nodes.push(Node { at: bar.neighbour, held: [true; 6], ground: [0.0; 6] });
        frame.bars.push(Bar {
            from: NodeId(0),
            to: NodeId(index + 1),
            section: BarSection::axial(stiffness),
            up: crate::vector::default_up(joint, &bar.neighbour),
            ends: [EndFix::Hinged; 2],
        });
        total += stiffness;
        mean += bar.slope(joint, load).asin() / bars.len() as f64;
    }
    let formula = total * mean.max(0.0).powi(3) / (3.0 * 3.0_f64.sqrt());
    let forces = [load.x, load.y, load.z, 0.0, 0.0, 0.0];
    let loads = FrameLoads { nodes: vec![(NodeId(0), forces)], ..FrameLoads::default() };
    let options = LimitOptions { enough: ENOUGH, closeness: 1e-4, steps: 200, ..LimitOptions::default() };
    let found = limit_of(&frame, &loads, None, &options)?;
    let snaps = matches!(found.kind, LimitKind::Limit | LimitKind::Branch);
    Ok(Snap {
        force: snaps.then_some(found.factor * size),
        factor: found.factor,
        kind: found.kind,
        formula,
        slope: mean,
    })
}

fn bad(what: &'static str, index: usize, quantity: &'static str, value: f64) -> FrameError {
    FrameError::BadNumber { what, index, quantity, value, must: "a number above 0" }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pyramid(count: usize, slope: f64, slip: f64) -> Vec<SnapBar> {
        let foot = |i: usize| {
            let angle = std::f64::consts::TAU * i as f64 / count as f64;
            Vec3::new(1000.0 * angle.cos(), 1000.0 * angle.sin(), -1000.0 * slope)
        };
        (0..count)
            .map(|i| SnapBar { neighbour: foot(i), axial_stiffness: 1e6, slip_stiffness: slip })
            .collect()
    }

    #[test]
    fn regular_pyramid_snaps_at_the_closed_form() {
        let bars = pyramid(5, 0.05, f64::INFINITY);
        let snap = single_joint(&Vec3::zeros(), &bars, &Vec3::new(0.0, 0.0, -3.0)).unwrap();
        let want = 47.992_524 * 2.5;
        assert!((snap.force.unwrap() - want).abs() < 1e-4 * want);
        assert!((snap.formula - want).abs() < 1e-2 * want);
        assert_eq!(snap.kind, LimitKind::Limit);
    }

    /// However far beyond its snap a load is, or below it, the joint snaps at the same force.
    #[test]
    fn the_size_of_the_load_does_not_matter() {
        let want = 47.992_524 * 2.5;
        for share in [1e-2, 0.1, 1.0, 3.0, 10.0, 1e2, 1e3, 1e4, 1e6, 1e8] {
            let bars = pyramid(5, 0.05, f64::INFINITY);
            let snap = single_joint(&Vec3::zeros(), &bars, &Vec3::new(0.0, 0.0, -want * share)).unwrap();
            assert_eq!(snap.kind, LimitKind::Limit, "{share}");
            assert!((snap.force.unwrap() - want).abs() < 1e-5 * want, "{share}: {:?}", snap.force);
        }
    }

    #[test]
    fn slip_in_series_lowers_it_in_proportion() {
        let load = Vec3::new(0.0, 0.0, -10.0);
        let stiff = single_joint(&Vec3::zeros(), &pyramid(6, 0.1, f64::INFINITY), &load).unwrap();
        // A slip as soft as the bar itself halves the stiffness.
        let length = (1.0_f64 + 0.01).sqrt() * 1000.0;
        let soft = single_joint(&Vec3::zeros(), &pyramid(6, 0.1, 1e6 / length), &load).unwrap();
        let ratio = soft.factor / stiff.factor;
        assert!((ratio - 0.5).abs() < 1e-3, "{ratio}");
    }

    #[test]
    fn pulled_outward_it_does_not_snap() {
        let up = Vec3::new(0.0, 0.0, 0.01);
        let snap = single_joint(&Vec3::zeros(), &pyramid(5, 0.05, f64::INFINITY), &up).unwrap();
        assert_eq!(snap.kind, LimitKind::NotReached);
        assert!(snap.force.is_none() && snap.slope < 0.0);
    }

    #[test]
    fn flat_joint_is_a_mechanism() {
        let load = Vec3::new(0.0, 0.0, -1.0);
        let fault = single_joint(&Vec3::zeros(), &pyramid(5, 0.0, f64::INFINITY), &load);
        assert!(matches!(fault, Err(FrameError::Mechanism { .. })), "{fault:?}");
    }

    /// Where the whole stands changes nothing, slip and all.
    #[test]
    fn the_place_of_the_joint_does_not_matter() {
        let load = Vec3::new(0.0, 0.0, -10.0);
        let here = single_joint(&Vec3::zeros(), &pyramid(6, 0.1, 1500.0), &load).unwrap();
        let away = Vec3::new(700.0, -300.0, 450.0);
        let mut bars = pyramid(6, 0.1, 1500.0);
        for bar in &mut bars {
            bar.neighbour += away;
        }
        let there = single_joint(&away, &bars, &load).unwrap();
        assert!((there.factor - here.factor).abs() < 1e-6 * here.factor, "{} {}", there.factor, here.factor);
        assert!((there.formula - here.formula).abs() < 1e-9 * here.formula);
        assert!((there.slope - here.slope).abs() < 1e-12);
    }

    #[test]
    fn loads_of_nothing_or_beyond_numbers_are_refused() {
        for z in [0.0, f64::INFINITY, f64::NAN] {
            let fault =
                single_joint(&Vec3::zeros(), &pyramid(5, 0.05, f64::INFINITY), &Vec3::new(0.0, 0.0, z));
            assert!(
                matches!(fault, Err(FrameError::BadNumber { what: "load", quantity: "force", .. })),
                "{fault:?}"
            );
        }
        for slip in [0.0, -1.0] {
            let fault = single_joint(&Vec3::zeros(), &pyramid(5, 0.05, slip), &Vec3::new(0.0, 0.0, -1.0));
            assert!(
                matches!(fault, Err(FrameError::BadNumber { quantity: "axial stiffness with slip", .. })),
                "{fault:?}"
            );
        }
    }
}
