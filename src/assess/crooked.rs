//! The initial crookedness of a plain frame.

use crate::frame::bow::largest_bow;
use crate::frame::geometric::buckling_forces;
use crate::frame::linear::Solver;
use crate::frame::second_order::crookedness;
use crate::frame::{FrameError, Response};

/// The lowest buckling shape in which joints move or turn; the largest departure from the shape drawn, of a joint or of a bar
/// off its chord, is `amplitude` \[m\]. By the movement of joints alone a shape that mainly turns them would bend bars by any
/// amount.
///
/// # Errors
/// As [`Solver::buckling`].
pub(super) fn crooked(
    solver: &Solver,
    first: &Response,
    amplitude: f64,
) -> Result<Vec<[f64; 6]>, FrameError> {
    let axial = buckling_forces(solver.frame(), first);
    let moves = |shape: &Vec<[f64; 6]>| shape.iter().flatten().any(|v| v.abs() > 0.0);
    let mut shape = solver.buckling_under(&axial, 1)?.shapes.into_iter().find(moves);
    if shape.is_none() {
        shape = solver.buckling_of_nodes(&axial, 1)?.shapes.into_iter().next();
    }
    let Some(shape) = shape else { return Ok(Vec::new()) };
    let mut whole = crookedness(&shape, 1.0);
    // Its joints turn and hardly move, or do not move at all.
    let moved = whole.iter().map(|six| six[0].hypot(six[1]).hypot(six[2])).fold(0.0, f64::max);
    let scale = amplitude / moved.max(largest_bow(solver.frame(), &whole));
    if scale.is_finite() {
        whole.iter_mut().flatten().for_each(|v| *v *= scale);
    }
    Ok(whole)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::frame::{Bar, BarSection, EndFix, Frame, FrameLoads, Node, NodeId};
    use crate::vector::Vec3;

    /// A post of two bars between a foot and a head that hold it, and a beam that holds or does not hold its middle.
    fn post(middle_held: bool) -> Frame {
        let section = BarSection {
            area: 4e-3,
            second_moment_y: 3e-6,
            second_moment_z: 2e-6,
            torsion: 3e-6,
            elastic: 11e9,
            shear: 0.69e9,
            mass: 0.0,
        };
        let node = |z: f64, held: [bool; 6]| Node { at: Vec3::new(0.0, 0.0, z), held, ground: [0.0; 6] };
        let middle = [middle_held, middle_held, false, false, false, false];
        let nodes = vec![
            node(0.0, [true, true, true, false, false, true]),
            node(1.0, middle),
            node(2.0, [true, true, false, false, false, false]),
        ];
        let (ends, up) = ([EndFix::Rigid; 2], Vec3::x());
        let bar = |k: usize| Bar { from: NodeId(k), to: NodeId(k + 1), section, up, ends };
        Frame { nodes, bars: vec![bar(0), bar(1)], ..Frame::default() }
    }

    /// Where the middle is held, its turn alone is the lowest shape: it is the bars' bow that is as large as asked for, not the
    /// rounding of a movement.
    #[test]
    fn what_departs_most_is_as_large_as_asked_for() {
        for (held, moved, bowed) in [(false, 0.01, 0.0..0.01), (true, 0.0, 0.01..0.010_001)] {
            let solver = Solver::new(&post(held)).unwrap();
            let down = [0.0, 0.0, -1e3, 0.0, 0.0, 0.0];
            let loads = FrameLoads { nodes: vec![(NodeId(2), down)], ..FrameLoads::default() };
            let first = solver.solve(&[loads]).unwrap().remove(0);
            let crooked = crooked(&solver, &first, 0.01).unwrap();
            let most = crooked.iter().map(|six| six[0].hypot(six[1])).fold(0.0, f64::max);
            assert!((most - moved).abs() < 1e-8, "{crooked:?}");
            let bow = largest_bow(solver.frame(), &crooked);
            assert!(bow > bowed.start - 1e-9 && bow < bowed.end, "{bow} {crooked:?}");
        }
    }
}
