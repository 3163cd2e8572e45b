//! Answers of a frame without some of its bars, from the factor of the whole frame: a bar's stiffness touches twelve
//! unknowns at most, so that taking it away changes the matrix by little.
//!
//! With K the whole stiffness, U the columns of the identity at the bars' unknowns and k the bars' stiffness there,
//! (K − U k Uᵀ) x = b is solved by x = y + S k w, where y = K⁻¹ b, S = K⁻¹ U and (I − `UᵀS` k) w = Uᵀy
//! (W. W. Hager, SIAM Review 31 (1989) 221–239, from memory). How it measures against a new factor is in `docs/solver.md`.

use faer::Mat;
use faer::linalg::solvers::Solve;

use crate::frame::assemble::NONE;
use crate::frame::bar;
use crate::frame::error::FrameError;
use crate::frame::linear::Solver;
use crate::frame::{BarId, Frame};

/// Movements of the unknowns of a frame without some bars. `whole` are those of the whole frame under the same
/// forces on the unknowns, a column each.
///
/// A frame that the loss makes a mechanism, or nearly, is not told from others here: its numbers are large or none.
///
/// # Errors
/// [`FrameError::Mechanism`] where the whole frame is one; [`FrameError::UnknownBar`].
pub fn without_bars(solver: &Solver, bars: &[BarId], whole: &Mat<f64>) -> Result<Mat<f64>, FrameError> {
    let Some((_, factor)) = solver.factor()? else { return Ok(whole.clone()) };
    let frame: &Frame = solver.frame();
    let assembly = solver.assembly();
    let mut touched: Vec<usize> = Vec::new();
    for (index, &id) in bars.iter().enumerate() {
        let count = frame.bars.len();
        let one = frame.bars.get(id.0).ok_or(FrameError::UnknownBar { index, bar: id, count })?;
        touched.extend([one.from, one.to].into_iter().flat_map(|node| assembly.unknown[node.0]));
    }
    touched.retain(|unknown| *unknown != NONE);
    touched.sort_unstable();
    touched.dedup();
    let rank = touched.len();
    let mut stiffness = Mat::<f64>::zeros(rank, rank);
    for id in bars {
        let (one, line) = (&frame.bars[id.0], &assembly.lines[id.0]);
        let own = line.matrix_to_global(&bar::stiffness(one, line.length));
        let place = |freedom: usize| {
            let node = if freedom < 6 { one.from } else { one.to };
            touched.binary_search(&assembly.unknown[node.0][freedom % 6]).ok()
        };
        for i in 0..12 {
            for j in 0..12 {
                if let (Some(row), Some(column)) = (place(i), place(j)) {
                    stiffness[(row, column)] += own[(i, j)];
                }
            }
        }
    }
    let mut unit = Mat::<f64>::zeros(assembly.unknowns, rank);
    for (column, row) in touched.iter().enumerate() {
        unit[(*row, column)] = 1.0;
    }
    factor.solve(unit.as_mut());
    let at = |of: &Mat<f64>| Mat::from_fn(rank, of.ncols(), |i, j| of[(touched[i], j)]);
    let held = Mat::<f64>::identity(rank, rank) - at(&unit) * &stiffness;
    let moved = held.partial_piv_lu().solve(at(whole));
    Ok(whole + unit * (stiffness * moved))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::frame::{Bar, BarSection, EndFix, FrameLoads, Node, NodeId};
    use crate::vector::Vec3;

    /// A stiff-jointed space frame of two storeys, feet held.
    fn tower() -> Frame {
        let section = BarSection {
            area: 4.5e-3,
            second_moment_y: 3.5e-6,
            second_moment_z: 0.9e-6,
            torsion: 2.1e-6,
            elastic: 11e9,
            shear: 0.69e9,
            mass: 1.9,
        };
        let mut frame = Frame::default();
        for storey in 0..3_u32 {
            for corner in [[0.0, 0.0], [2.0, 0.1], [2.2, 1.7], [-0.1, 1.6]] {
                let at = Vec3::new(corner[0], corner[1], 2.3 * f64::from(storey));
                frame.nodes.push(Node { at, held: [storey == 0; 6], ground: [0.0; 6] });
            }
        }
        let mut join = |from: usize, to: usize| {
            let up = Vec3::new(0.3, 0.5, 0.9);
            let ends = [EndFix::Rigid; 2];
            frame.bars.push(Bar { from: NodeId(from), to: NodeId(to), section, up, ends });
        };
        for base in [0, 4] {
            for corner in 0..4 {
                join(base + corner, base + 4 + corner);
                join(base + 4 + corner, base + 4 + (corner + 1) % 4);
            }
            join(base, base + 5);
        }
        frame
    }

    #[test]
    fn taking_bars_away_is_the_whole_answer_of_the_frame_without_them() {
        let frame = tower();
        let solver = Solver::new(&frame).unwrap();
        let load = FrameLoads {
            nodes: vec![
                (NodeId(8), [300.0, -200.0, -900.0, 20.0, 5.0, -8.0]),
                (NodeId(6), [0.0, 400.0, -100.0, 0.0, 0.0, 3.0]),
            ],
            ..FrameLoads::default()
        };
        let whole = solver.solve(std::slice::from_ref(&load)).unwrap().remove(0);
        let column = |moved: &[[f64; 6]]| {
            let unknown = &solver.assembly().freedom;
            Mat::from_fn(unknown.len(), 1, |i, _| moved[unknown[i].0.0][unknown[i].1])
        };
        let whole = column(&whole.displacements);
        for gone in [vec![1], vec![8], vec![0, 1], vec![3, 9, 14]] {
            let bars: Vec<BarId> = gone.iter().map(|&i| BarId(i)).collect();
            let low = without_bars(&solver, &bars, &whole).unwrap();
            let mut reduced = frame.clone();
            let mut index = 0;
            reduced.bars.retain(|_| {
                index += 1;
                !gone.contains(&(index - 1))
            });
            let full = Solver::new(&reduced).unwrap().solve(std::slice::from_ref(&load)).unwrap().remove(0);
            let full = column(&full.displacements);
            let largest = full.col_as_slice(0).iter().fold(0.0_f64, |m, v| m.max(v.abs()));
            for (a, b) in low.col_as_slice(0).iter().zip(full.col_as_slice(0)) {
                assert!((a - b).abs() <= 1e-9 * largest, "{a} {b} of {largest} without {gone:?}");
            }
        }
    }
}
