//! Unknowns of a frame, the pattern of its matrices, and their values.
//!
//! A node has its three translations and, where anything turns it, three rotations; held freedoms are
//! left out. Unknowns are numbered node by node in an order that keeps the factor sparse (approximate
//! minimum degree on the graph of nodes, since the freedoms of a node share their neighbours), so the
//! matrix is factorised in the order in which it stands. Only the lower triangle is kept.

use crate::frame::bar::{self, BarLine, Matrix12};
use crate::frame::check::check;
use crate::frame::error::FrameError;
use crate::frame::order::{Near, minimum_degree};
use crate::frame::{BarId, EndFix, Frame, NodeId};
use crate::vector::Vec3;

/// Index type of the sparse matrices: half the memory of `usize`, and enough for 4·10⁹ entries.
pub type Index = u32;

/// Vectors that are multiplied side by side.
const LANES: usize = 6;

/// Stands for "no unknown": the freedom is held or does not exist.
pub const NONE: usize = usize::MAX;

/// Where every unknown and every entry of the matrices stands.
#[derive(Debug, Clone)]
pub struct Assembly {
    /// Number of unknowns.
    pub unknowns: usize,
    /// Unknown of every freedom of every node, [`NONE`] where there is none.
    pub unknown: Vec<[usize; 6]>,
    /// Whether a node has rotations.
    pub turns: Vec<bool>,
    /// Node and freedom of every unknown.
    pub freedom: Vec<(NodeId, usize)>,
    /// Where every bar lies.
    pub lines: Vec<BarLine>,
    /// Gradient of every fold's angle.
    pub gradients: Vec<Vec<(NodeId, Vec3)>>,
    /// Lower triangle by columns: where each starts.
    pub column_start: Vec<Index>,
    /// Row of every entry, ascending in a column.
    pub row: Vec<Index>,
    /// Position of every node in the order of elimination.
    rank: Vec<usize>,
    /// Freedoms of the node at every rank that are unknown.
    size: Vec<usize>,
    /// Later neighbours of every rank: where each list starts, ranks, and row offsets.
    later_start: Vec<usize>,
    later: Vec<(usize, usize)>,
    /// A length typical of the frame \[m\]: the mean bar length.
    pub length: f64,
}

/// Which nodes have rotations: a bar end that passes some moment, or a rotational spring.
fn turning(frame: &Frame) -> Vec<bool> {
    let mut turns: Vec<bool> =
        frame.nodes.iter().map(|node| node.ground[3..].iter().any(|k| *k > 0.0)).collect();
    for bar in &frame.bars {
        for (node, end) in [(bar.from, &bar.ends[0]), (bar.to, &bar.ends[1])] {
            turns[node.0] |= match end {
                EndFix::Rigid => true,
                EndFix::Hinged => false,
                EndFix::Springs(k) => k.iter().any(|k| *k > 0.0),
            };
        }
    }
    for link in &frame.links {
        if link.stiffness[3..].iter().any(|k| *k > 0.0) {
            turns[link.nodes[0].0] = true;
            turns[link.nodes[1].0] = true;
        }
    }
    turns
}

impl Assembly {
    /// Numbers the unknowns of a frame and lays out its matrices.
    ///
    /// # Errors
    /// What is wrong with the frame: see [`FrameError`].
    pub fn new(frame: &Frame) -> Result<Self, FrameError> {
        check(frame)?;
        let lines =
            (0..frame.bars.len()).map(|i| bar::line(frame, BarId(i))).collect::<Result<Vec<_>, _>>()?;
        let gradients = (0..frame.folds.len())
            .map(|i| crate::frame::fold::gradient(frame, i))
            .collect::<Result<Vec<_>, _>>()?;
        let turns = turning(frame);
        let count = frame.nodes.len();
        let free = |node: usize, axis: usize| !frame.nodes[node].held[axis] && (axis < 3 || turns[node]);
        let near = Near::new(frame, &gradients);
        let order = minimum_degree(&near)?;
        let mut rank = vec![0; count];
        for (position, node) in order.iter().enumerate() {
            rank[*node] = position;
        }
        let mut unknown = vec![[NONE; 6]; count];
        let mut freedom = Vec::with_capacity(6 * count);
        let mut size = vec![0; count];
        for (position, node) in order.iter().enumerate() {
            for (axis, place) in unknown[*node].iter_mut().enumerate() {
                if free(*node, axis) {
                    *place = freedom.len();
                    freedom.push((NodeId(*node), axis));
                    size[position] += 1;
                }
            }
        }
        let mut later_start = Vec::with_capacity(count + 1);
        let mut later: Vec<(usize, usize)> = Vec::with_capacity(near.nodes.len() / 2);
        later_start.push(0);
        for (mine, node) in order.iter().enumerate() {
            let from = later.len();
            let ranks = near.of(*node).iter().map(|n| rank[*n as usize]);
            later.extend(ranks.filter(|r| *r > mine).map(|r| (r, 0)));
            later[from..].sort_unstable();
            let mut offset = 0;
            for (r, place) in &mut later[from..] {
                *place = offset;
                offset += size[*r];
            }
            later_start.push(later.len());
        }
        let mean = if lines.is_empty() {
            1.0
        } else {
            lines.iter().map(|l| l.length).sum::<f64>() / lines.len() as f64
        };
        let mut assembly = Self {
            unknowns: freedom.len(),
            unknown,
            turns,
            freedom,
            lines,
            gradients,
            column_start: Vec::new(),
            row: Vec::new(),
            rank,
            size,
            later_start,
            later,
            length: mean,
        };
        assembly.lay_out(&order)?;
        Ok(assembly)
    }

    /// Fills the pattern: for every column its node's later rows, then those of the later neighbours.
    fn lay_out(&mut self, order: &[usize]) -> Result<(), FrameError> {
        let too_large = FrameError::TooLarge { unknowns: self.unknowns };
        // First unknown of every rank.
        let mut first = Vec::with_capacity(self.size.len());
        let mut next = 0;
        for size in &self.size {
            first.push(next);
            next += size;
        }
        let mut entries = 0;
        for rank in 0..order.len() {
            let own = self.size[rank];
            entries += own * (own + 1) / 2 + own * self.rows_of_later(rank);
        }
        Index::try_from(entries.max(self.unknowns)).map_err(|_| too_large)?;
        let mut start = Vec::with_capacity(self.unknowns + 1);
        let mut row: Vec<Index> = Vec::with_capacity(entries);
        start.push(0);
        for rank in 0..order.len() {
            let own = first[rank] as Index..(first[rank] + self.size[rank]) as Index;
            let others = row.len() + self.size[rank];
            let others = others..others + self.rows_of_later(rank);
            for within in own.clone() {
                row.extend(within..own.end);
                if within == own.start {
                    for (r, _) in &self.later[self.later_start[rank]..self.later_start[rank + 1]] {
                        row.extend(first[*r] as Index..(first[*r] + self.size[*r]) as Index);
                    }
                } else {
                    // The same as in the node's first column.
                    row.extend_from_within(others.clone());
                }
                start.push(row.len() as Index);
            }
        }
        self.column_start = start;
        self.row = row;
        Ok(())
    }

    /// Unknowns of the later neighbours of a rank.
    fn rows_of_later(&self, rank: usize) -> usize {
        let list = &self.later[self.later_start[rank]..self.later_start[rank + 1]];
        list.last().map_or(0, |(r, offset)| offset + self.size[*r])
    }

    /// Number of stored entries (lower triangle).
    #[must_use]
    pub fn entries(&self) -> usize {
        self.row.len()
    }

    /// Position of an entry of the lower triangle; `None` outside the pattern.
    #[must_use]
    pub fn place(&self, row: usize, column: usize) -> Option<usize> {
        let start = self.column_start[column] as usize;
        let rows = &self.row[start..self.column_start[column + 1] as usize];
        rows.binary_search(&(row as Index)).ok().map(|found| start + found)
    }

    /// Adds a symmetric element matrix; `entry(i, j)` with freedoms counted 6 a node of `nodes`.
    pub fn add(&self, values: &mut [f64], nodes: &[usize], entry: impl Fn(usize, usize) -> f64) {
        self.places(nodes, |place, row, column| values[place] += entry(row, column));
    }

    /// Where the entries of a symmetric element matrix go: `visit(place, i, j)` with freedoms counted 6 a node of
    /// `nodes`.
    pub fn places(&self, nodes: &[usize], mut visit: impl FnMut(usize, usize, usize)) {
        for (a, node_a) in nodes.iter().enumerate() {
            for (b, node_b) in nodes.iter().enumerate() {
                let (row_rank, column_rank) = (self.rank[*node_a], self.rank[*node_b]);
                if row_rank < column_rank {
                    continue;
                }
                let shift = if row_rank == column_rank {
                    0
                } else {
                    let list = &self.later[self.later_start[column_rank]..self.later_start[column_rank + 1]];
                    let Ok(found) = list.binary_search_by_key(&row_rank, |item| item.0) else { continue };
                    list[found].1
                };
                let mut column_within = 0;
                for column in 0..6 {
                    let unknown = self.unknown[*node_b][column];
                    if unknown == NONE {
                        continue;
                    }
                    let start = self.column_start[unknown] as usize;
                    let mut row_within = 0;
                    for row in 0..6 {
                        if self.unknown[*node_a][row] == NONE {
                            continue;
                        }
                        if row_rank != column_rank {
                            let place = start + self.size[column_rank] - column_within + shift + row_within;
                            visit(place, 6 * a + row, 6 * b + column);
                        } else if row_within >= column_within {
                            visit(start + row_within - column_within, 6 * a + row, 6 * b + column);
                        }
                        row_within += 1;
                    }
                    column_within += 1;
                }
            }
        }
    }

    /// Values of a matrix made of one 12 × 12 matrix a bar, in global axes.
    #[must_use]
    pub fn from_bars(&self, frame: &Frame, of_bar: impl Fn(usize) -> Option<Matrix12>) -> Vec<f64> {
        let mut values = vec![0.0; self.entries()];
        for (index, bar) in frame.bars.iter().enumerate() {
            if let Some(k) = of_bar(index) {
                self.add(&mut values, &[bar.from.0, bar.to.0], |i, j| k[(i, j)]);
            }
        }
        values
    }

    /// Stiffness of the whole frame.
    #[must_use]
    pub fn stiffness(&self, frame: &Frame) -> Vec<f64> {
        let mut values = self.from_bars(frame, |index| {
            let line = &self.lines[index];
            Some(line.matrix_to_global(&bar::stiffness(&frame.bars[index], line.length)))
        });
        for (index, node) in frame.nodes.iter().enumerate() {
            if node.ground.iter().any(|k| *k > 0.0) {
                self.add(&mut values, &[index], |i, j| if i == j { node.ground[i] } else { 0.0 });
            }
        }
        for link in &frame.links {
            self.add(&mut values, &[link.nodes[0].0, link.nodes[1].0], |i, j| {
                let k = link.stiffness[i % 6];
                if i == j {
                    k
                } else if i % 6 == j % 6 {
                    -k
                } else {
                    0.0
                }
            });
        }
        for (fold, gradient) in frame.folds.iter().zip(&self.gradients) {
            if fold.stiffness <= 0.0 {
                continue;
            }
            let nodes: Vec<usize> = gradient.iter().map(|(node, _)| node.0).collect();
            self.add(&mut values, &nodes, |i, j| {
                if i % 6 < 3 && j % 6 < 3 {
                    fold.stiffness * gradient[i / 6].1[i % 6] * gradient[j / 6].1[j % 6]
                } else {
                    0.0
                }
            });
        }
        values
    }

    /// Product of a symmetric matrix of this pattern with a vector.
    pub fn multiply(&self, values: &[f64], x: &[f64], out: &mut [f64]) {
        out.fill(0.0);
        for column in 0..self.unknowns {
            let range = self.column_start[column] as usize..self.column_start[column + 1] as usize;
            let here = x[column];
            let mut sum = 0.0;
            for (row, value) in self.row[range.clone()].iter().zip(&values[range]) {
                let row = *row as usize;
                if row != column {
                    out[row] += value * here;
                }
                sum += value * x[row];
            }
            out[column] += sum;
        }
    }

    /// The same for every column of a block at once, each summed in the same order: the pattern is read once.
    pub fn multiply_block(&self, values: &[f64], x: &faer::Mat<f64>, out: &mut faer::Mat<f64>) {
        let mut column = 0;
        while column < x.ncols() {
            let many = (x.ncols() - column).min(LANES);
            self.multiply_lanes(values, x, out, column..column + many);
            column += many;
        }
    }

    fn multiply_lanes(
        &self,
        values: &[f64],
        x: &faer::Mat<f64>,
        out: &mut faer::Mat<f64>,
        columns: std::ops::Range<usize>,
    ) {
        let mut from = vec![[0.0; LANES]; self.unknowns];
        for (lane, column) in columns.clone().enumerate() {
            for (row, value) in from.iter_mut().zip(x.col_as_slice(column)) {
                row[lane] = *value;
            }
        }
        let mut into = vec![[0.0; LANES]; self.unknowns];
        for column in 0..self.unknowns {
            let range = self.column_start[column] as usize..self.column_start[column + 1] as usize;
            let here = from[column];
            let mut sum = [0.0; LANES];
            for (row, value) in self.row[range.clone()].iter().zip(&values[range]) {
                let row = *row as usize;
                let (there, to) = (&from[row], &mut into[row]);
                if row != column {
                    for lane in 0..LANES {
                        to[lane] += value * here[lane];
                    }
                }
                for lane in 0..LANES {
                    sum[lane] += value * there[lane];
                }
            }
            for lane in 0..LANES {
                into[column][lane] += sum[lane];
            }
        }
        for (lane, column) in columns.enumerate() {
            for (row, value) in into.iter().zip(out.col_as_slice_mut(column)) {
                *value = row[lane];
            }
        }
    }

    /// Diagonal of a matrix of this pattern.
    #[must_use]
    pub fn diagonal(&self, values: &[f64]) -> Vec<f64> {
        (0..self.unknowns).map(|c| values[self.column_start[c] as usize]).collect()
    }

    /// A matrix of this pattern written out, both triangles.
    #[must_use]
    pub fn dense(&self, values: &[f64]) -> faer::Mat<f64> {
        let mut full = faer::Mat::zeros(self.unknowns, self.unknowns);
        for column in 0..self.unknowns {
            let range = self.column_start[column] as usize..self.column_start[column + 1] as usize;
            for (row, value) in self.row[range.clone()].iter().zip(&values[range]) {
                let row = *row as usize;
                full[(row, column)] = *value;
                full[(column, row)] = *value;
            }
        }
        full
    }

    /// Movements of every node from the unknowns.
    #[must_use]
    pub fn spread(&self, x: &[f64]) -> Vec<[f64; 6]> {
        self.unknown.iter().map(|list| list.map(|u| if u == NONE { 0.0 } else { x[u] })).collect()
    }

    /// The unknowns of movements or forces of every node.
    #[must_use]
    pub fn gather(&self, nodes: &[[f64; 6]]) -> Vec<f64> {
        self.freedom.iter().map(|(node, axis)| nodes[node.0][*axis]).collect()
    }
}
