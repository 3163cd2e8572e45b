//! Motions that meet no stiffness: how many, which, and how they are told from merely soft ones.
//!
//! Every deformation that a bar, link, spring or fold resists at all is one row of the compatibility
//! matrix C, scaled to unit length whatever its stiffness, with rotations measured as movements at the
//! frame's mean bar length. A mechanism is a motion v with C v = 0: nothing in the frame is strained. So
//! stiffness ratios, however large, cannot hide or fake one; only geometry counts. A motion is taken
//! for a mechanism where |C v| ≤ [`THRESHOLD`] · (largest singular value of C); the gap to the next motion
//! is reported, so that anyone can see how clear the case was. A joint that is flat to one part in 10⁸
//! counts as flat.
//!
//! Candidates come from the smallest eigenvalues of `CᵀC` (dense up to [`DENSE_LIMIT`] unknowns, a block
//! shift-inverse iteration beyond); the verdict from the singular values of C on those candidates, which
//! resolve far smaller numbers than the eigenvalues do.
//!
//! The count beside it, mechanisms − states of self-stress = unknowns − rows, is that of C. R. Calladine,
//! International Journal of Solids and Structures 14 (1978) 161–172 (from memory), with bending,
//! twisting and springs counted as further bars.

use faer::Mat;

use crate::frame::assemble::{Assembly, NONE};
use crate::frame::bar::{self, Vector12};
use crate::frame::error::FrameError;
use crate::frame::factor::Symbolic;
use crate::frame::sums::largest;
use crate::frame::{Frame, Mechanism, NodeId};
use crate::vector::Vec3;

/// Relative strain below which a motion counts as unresisted.
pub const THRESHOLD: f64 = 1e-8;

/// Unknowns up to which the eigenvalues are found densely.
pub const DENSE_LIMIT: usize = 400;

/// The kinematic count of a frame.
#[derive(Debug, Clone, PartialEq)]
pub struct Count {
    /// Independent motions that meet no stiffness (rigid motions included).
    pub mechanisms: Vec<Mechanism>,
    /// Independent states of self-stress.
    pub self_stresses: usize,
    /// Unknowns − resisted deformations = mechanisms − states of self-stress (Maxwell, Calladine).
    pub kinematic_surplus: i64,
    /// Largest relative strain among the mechanisms; 0 where there are none.
    pub largest_zero: f64,
    /// Relative strain of the softest motion that is not a mechanism; infinite where none was looked at.
    pub smallest_strain: f64,
}

/// A node that a mechanism moves.
#[derive(Debug, Clone, PartialEq)]
pub struct Mover {
    /// The node.
    pub node: NodeId,
    /// Its movement, the largest movement in the mechanism being 1.
    pub movement: Vec3,
    /// Its rotation, at the same scale \[rad/m, or rad where nothing but rotations move\].
    pub rotation: Vec3,
}

/// The nodes that move most, largest first, those that stand still (below one part in 10⁶) left out.
#[must_use]
pub fn movers(mechanism: &Mechanism) -> Vec<Mover> {
    let mut movers: Vec<Mover> = mechanism
        .shape
        .iter()
        .enumerate()
        .map(|(index, six)| Mover {
            node: NodeId(index),
            movement: Vec3::new(six[0], six[1], six[2]),
            rotation: Vec3::new(six[3], six[4], six[5]),
        })
        .filter(|m| m.movement.norm() > 1e-6 || m.rotation.norm() > 1e-6)
        .collect();
    movers.sort_by(|a, b| {
        (b.movement.norm(), b.rotation.norm())
            .partial_cmp(&(a.movement.norm(), a.rotation.norm()))
            .unwrap_or(std::cmp::Ordering::Equal)
    });
    movers
}

/// A direction in words: "up", "along -x and down".
#[must_use]
pub fn way(movement: &Vec3) -> String {
    words(movement, [["along -x", "along x"], ["along -y", "along y"], ["down", "up"]])
}

/// An axis of turning in words: "about x and z".
#[must_use]
pub fn about(rotation: &Vec3) -> String {
    words(&rotation.map(f64::abs), [["", "about x"], ["", "about y"], ["", "about z"]])
}

/// The components that count (a quarter of the largest or more), the largest first.
fn words(vector: &Vec3, names: [[&'static str; 2]; 3]) -> String {
    let mut axes = [0, 1, 2];
    axes.sort_by(|a, b| vector[*b].abs().total_cmp(&vector[*a].abs()));
    let largest = vector.amax();
    let kept = axes.iter().filter(|axis| vector[**axis].abs() >= 0.25 * largest);
    kept.map(|axis| names[*axis][usize::from(vector[*axis] > 0.0)]).collect::<Vec<_>>().join(" and ")
}

/// The compatibility matrix by rows.
struct Rows {
    start: Vec<usize>,
    entries: Vec<(usize, f64)>,
}

impl Rows {
    fn push(&mut self, row: impl Iterator<Item = (usize, f64)>) {
        self.entries.extend(row.filter(|(unknown, value)| *unknown != NONE && *value != 0.0));
        self.start.push(self.entries.len());
    }

    fn count(&self) -> usize {
        self.start.len() - 1
    }

    fn row(&self, index: usize) -> &[(usize, f64)] {
        &self.entries[self.start[index]..self.start[index + 1]]
    }
}

/// Rows of every resisted deformation; the unknown rotations stand for movements at `assembly.length`.
fn rows(frame: &Frame, assembly: &Assembly) -> Rows {
    let mut rows = Rows { start: vec![0], entries: Vec::new() };
    let arm = assembly.length;
    let scale = |freedom: usize| if freedom < 3 { 1.0 } else { 1.0 / arm };
    for (bar, line) in frame.bars.iter().zip(&assembly.lines) {
        for local in bar_rows(bar, line.length) {
            let mut global = line.to_global(&local);
            for (freedom, value) in global.iter_mut().enumerate() {
                *value *= scale(freedom % 6);
            }
            // Scaled before held freedoms drop out, so that a nearly held motion keeps its small share.
            let norm = global.norm();
            rows.push((0..12).map(|i| {
                let node = if i < 6 { bar.from } else { bar.to };
                (assembly.unknown[node.0][i % 6], global[i] / norm)
            }));
        }
    }
    for (index, node) in frame.nodes.iter().enumerate() {
        for freedom in 0..6 {
            if node.ground[freedom] > 0.0 && !node.held[freedom] {
                rows.push(std::iter::once((assembly.unknown[index][freedom], 1.0)));
            }
        }
    }
    for link in &frame.links {
        for freedom in 0..6 {
            if link.stiffness[freedom] > 0.0 {
                let [a, b] = link.nodes.map(|node| assembly.unknown[node.0][freedom]);
                let half = std::f64::consts::FRAC_1_SQRT_2;
                rows.push([(a, half), (b, -half)].into_iter());
            }
        }
    }
    for (fold, gradient) in frame.folds.iter().zip(&assembly.gradients) {
        if fold.stiffness <= 0.0 {
            continue;
        }
        let norm = gradient.iter().map(|(_, rate)| rate.norm_squared()).sum::<f64>().sqrt();
        rows.push(
            gradient.iter().flat_map(|(node, rate)| {
                (0..3).map(|axis| (assembly.unknown[node.0][axis], rate[axis] / norm))
            }),
        );
    }
    rows
}

/// The deformations that one bar resists, as rows on its twelve local movements.
fn bar_rows(bar: &crate::frame::Bar, length: f64) -> Vec<Vector12> {
    let section = &bar.section;
    let springs = [bar::end_springs(&bar.ends[0]), bar::end_springs(&bar.ends[1])];
    let mut rows = Vec::with_capacity(6);
    let mut difference = |freedom: usize| {
        let mut row = Vector12::zeros();
        row[freedom] = -1.0;
        row[6 + freedom] = 1.0;
        rows.push(row);
    };
    difference(0);
    if section.shear * section.torsion > 0.0 && springs[0][0] > 0.0 && springs[1][0] > 0.0 {
        difference(3);
    }
    for (axis, second_moment, deflection, sign) in
        [(1, section.second_moment_y, 2, -1.0), (2, section.second_moment_z, 1, 1.0)]
    {
        if second_moment <= 0.0 {
            continue;
        }
        for end in 0..2 {
            if springs[end][axis] <= 0.0 {
                continue;
            }
            // Rotation of this end against the chord.
            let mut row = Vector12::zeros();
            row[6 * end + 3 + axis] = 1.0;
            row[deflection] = sign / length;
            row[6 + deflection] = -sign / length;
            rows.push(row);
        }
    }
    rows
}

/// Unknowns − resisted deformations of a frame: mechanisms minus states of self-stress.
#[must_use]
pub fn kinematic_surplus(frame: &Frame, assembly: &Assembly) -> i64 {
    assembly.unknowns as i64 - rows(frame, assembly).count() as i64
}

/// Counts the mechanisms of a frame and finds their shapes.
///
/// # Errors
/// [`FrameError::TooLarge`], [`FrameError::NotConverged`] where an eigenvalue routine gave up.
pub fn count(frame: &Frame, assembly: &Assembly, symbolic: Option<&Symbolic>) -> Result<Count, FrameError> {
    let rows = rows(frame, assembly);
    let n = assembly.unknowns;
    let kinematic_surplus = n as i64 - rows.count() as i64;
    let mut answer = Count {
        mechanisms: Vec::new(),
        self_stresses: 0,
        kinematic_surplus,
        largest_zero: 0.0,
        smallest_strain: f64::INFINITY,
    };
    if let (true, Some(symbolic)) = (n > 0, symbolic) {
        let normal = normal_matrix(assembly, &rows);
        let (candidates, top) = if n <= DENSE_LIMIT {
            dense_candidates(assembly, &normal)?
        } else {
            sparse_candidates(assembly, symbolic, &normal, &rows)?
        };
        if candidates.ncols() > 0 {
            let (strains, motions) = least_strained(&rows, &candidates)?;
            let zeros = strains.iter().take_while(|s| **s <= THRESHOLD * top.sqrt()).count();
            answer.largest_zero = strains[..zeros].last().map_or(0.0, |s| s / top.sqrt());
            answer.smallest_strain = strains.get(zeros).map_or(f64::INFINITY, |s| s / top.sqrt());
            answer.mechanisms = shapes(assembly, motions.subcols(0, zeros).to_owned());
        }
    }
    let found = answer.mechanisms.len() as i64;
    answer.self_stresses = usize::try_from(found - kinematic_surplus).unwrap_or(0);
    Ok(answer)
}

/// `CᵀC` in the pattern of the assembly.
fn normal_matrix(assembly: &Assembly, rows: &Rows) -> Vec<f64> {
    let mut values = vec![0.0; assembly.entries()];
    for index in 0..rows.count() {
        for (a, x) in rows.row(index) {
            for (b, y) in rows.row(index) {
                if a >= b
                    && let Some(place) = assembly.place(*a, *b)
                {
                    values[place] += x * y;
                }
            }
        }
    }
    values
}

/// Eigenvectors of `CᵀC` with small eigenvalues and one more, and the largest eigenvalue.
fn dense_candidates(assembly: &Assembly, normal: &[f64]) -> Result<(Mat<f64>, f64), FrameError> {
    let n = assembly.unknowns;
    let eigen = assembly.dense(normal).self_adjoint_eigen(faer::Side::Lower).map_err(|_| gave_up())?;
    let values = eigen.S().column_vector();
    let top = values[n - 1].max(f64::MIN_POSITIVE);
    // Rounding of an eigenvalue is about 1e-15 of the largest; one more shows the gap.
    let small = (0..n).take_while(|i| values[*i] <= 1e-10 * top).count();
    Ok((eigen.U().subcols(0, (small + 1).min(n)).to_owned(), top))
}

fn gave_up() -> FrameError {
    FrameError::NotConverged {
        what: "the search for mechanisms",
        steps: 0,
        residual: f64::NAN,
        tolerance: THRESHOLD,
    }
}

/// The same by block inverse iteration on `CᵀC` + εI, the block doubled until it holds resisted motions.
fn sparse_candidates(
    assembly: &Assembly,
    symbolic: &Symbolic,
    normal: &[f64],
    rows: &Rows,
) -> Result<(Mat<f64>, f64), FrameError> {
    let n = assembly.unknowns;
    // Gershgorin: a bound above the largest eigenvalue, at most a few times too high.
    let mut sums = vec![0.0; n];
    let absolute: Vec<f64> = normal.iter().map(|v| v.abs()).collect();
    assembly.multiply(&absolute, &vec![1.0; n], &mut sums);
    let top = sums.iter().copied().fold(f64::MIN_POSITIVE, f64::max);
    let shift = 1e-10 * top;
    let mut shifted = normal.to_vec();
    for column in 0..n {
        shifted[assembly.column_start[column] as usize] += shift;
    }
    let factor = symbolic.cholesky(assembly, &shifted).map_err(|_| FrameError::TooLarge { unknowns: n })?;
    let mut width = 8_usize;
    loop {
        width = width.min(n);
        let mut block = crate::frame::random::block(n, width, 0x5eed);
        for _ in 0..5 {
            factor.solve(block.as_mut());
            block = block.qr().compute_thin_Q();
        }
        let (strains, motions) = least_strained(rows, &block)?;
        let softest_resisted = strains.last().copied().unwrap_or(0.0);
        // The last of the block must be well above the shift, or softer ones may be outside it.
        if width == n || softest_resisted * softest_resisted > 100.0 * shift {
            return Ok((motions, top));
        }
        width *= 2;
    }
}

/// Singular values, ascending, of C on the space of orthonormal `candidates`, with the motions they belong to.
fn least_strained(rows: &Rows, candidates: &Mat<f64>) -> Result<(Vec<f64>, Mat<f64>), FrameError> {
    let width = candidates.ncols();
    let mut strained = Mat::<f64>::zeros(rows.count().max(width), width);
    for index in 0..rows.count() {
        for column in 0..width {
            strained[(index, column)] =
                rows.row(index).iter().map(|(unknown, value)| value * candidates[(*unknown, column)]).sum();
        }
    }
    let svd = strained.thin_svd().map_err(|_| gave_up())?;
    let values = svd.S().column_vector();
    let strains: Vec<f64> = (0..width).rev().map(|i| values[i]).collect();
    let turned = Mat::from_fn(width, width, |i, j| svd.V()[(i, width - 1 - j)]);
    Ok((strains, candidates * &turned))
}

/// A basis of the motions as local as elimination with full pivoting makes it, in the frame's own units.
fn shapes(assembly: &Assembly, mut basis: Mat<f64>) -> Vec<Mechanism> {
    let (n, count) = (basis.nrows(), basis.ncols());
    let mut pivots: Vec<usize> = Vec::new();
    for column in 0..count {
        // Largest entry of the columns not yet done; translations first, rotations where nothing else moves.
        let mut best = (0, column, 0.0_f64);
        for other in column..count {
            for row in 0..n {
                let weight = if assembly.freedom[row].1 < 3 { 1.0 } else { 1e-3 };
                let size = basis[(row, other)].abs() * weight;
                // A clear margin, so that rounding does not choose between equals.
                if size > best.2 * (1.0 + 1e-6) {
                    best = (row, other, size);
                }
            }
        }
        let (row, other, _) = best;
        for i in 0..n {
            let swap = basis[(i, column)];
            basis[(i, column)] = basis[(i, other)];
            basis[(i, other)] = swap;
        }
        let pivot = basis[(row, column)];
        for i in 0..n {
            basis[(i, column)] /= pivot;
        }
        for another in 0..count {
            if another != column {
                let factor = basis[(row, another)];
                for i in 0..n {
                    let step = factor * basis[(i, column)];
                    basis[(i, another)] -= step;
                }
            }
        }
        pivots.push(row);
    }
    pivots.iter().enumerate().map(|(column, row)| shape(assembly, &basis, column, *row)).collect()
}

fn shape(assembly: &Assembly, basis: &Mat<f64>, column: usize, pivot: usize) -> Mechanism {
    let x: Vec<f64> = (0..basis.nrows())
        .map(|i| {
            let value = basis[(i, column)];
            // Rounding of the elimination, not movement.
            let value = if value.abs() < 1e-9 { 0.0 } else { value };
            if assembly.freedom[i].1 < 3 { value } else { value / assembly.length }
        })
        .collect();
    let mut shape = assembly.spread(&x);
    let of = |from: usize| largest(shape.iter().flat_map(|six| &six[from..from + 3]));
    let (moved, turned) = (of(0), of(3));
    let scale = if moved > 1e-6 * turned * assembly.length { moved } else { turned };
    for value in shape.iter_mut().flatten() {
        *value /= scale;
    }
    Mechanism { shape, stop: assembly.freedom[pivot] }
}

#[cfg(test)]
#[path = "mechanism_tests.rs"]
mod tests;
