//! The order in which the nodes are eliminated.

use faer::dyn_stack::{MemBuffer, MemStack};
use faer::sparse::SymbolicSparseColMatRef;
use faer::sparse::linalg::amd;

use crate::frame::assemble::Index;
use crate::frame::error::FrameError;
use crate::frame::{Frame, NodeId};
use crate::vector::Vec3;

/// Neighbours of every node through bars, links and folds, ascending, without itself: those of one node after those of
/// the other.
pub(super) struct Near {
    start: Vec<Index>,
    /// All lists, one after the other.
    pub(super) nodes: Vec<Index>,
}

impl Near {
    pub(super) fn new(frame: &Frame, gradients: &[Vec<(NodeId, Vec3)>]) -> Self {
        let visit = |join: &mut dyn FnMut(usize, usize)| {
            for bar in &frame.bars {
                join(bar.from.0, bar.to.0);
            }
            for link in &frame.links {
                join(link.nodes[0].0, link.nodes[1].0);
            }
            for gradient in gradients {
                for (position, (a, _)) in gradient.iter().enumerate() {
                    for (b, _) in &gradient[position + 1..] {
                        join(a.0, b.0);
                    }
                }
            }
        };
        let count = frame.nodes.len();
        let mut start: Vec<Index> = vec![0; count + 1];
        visit(&mut |a, b| {
            if a != b {
                start[a + 1] += 1;
                start[b + 1] += 1;
            }
        });
        for i in 0..count {
            start[i + 1] += start[i];
        }
        let mut nodes: Vec<Index> = vec![0; start[count] as usize];
        let mut next = start.clone();
        visit(&mut |a, b| {
            if a != b {
                for (a, b) in [(a, b), (b, a)] {
                    nodes[next[a] as usize] = b as Index;
                    next[a] += 1;
                }
            }
        });
        // Each list in order, and each neighbour once.
        let mut kept = 0;
        let mut from = 0;
        for i in 0..count {
            let to = start[i + 1] as usize;
            nodes[from..to].sort_unstable();
            start[i] = kept as Index;
            for k in from..to {
                if k == from || nodes[k] != nodes[k - 1] {
                    nodes[kept] = nodes[k];
                    kept += 1;
                }
            }
            from = to;
        }
        start[count] = kept as Index;
        nodes.truncate(kept);
        Self { start, nodes }
    }

    pub(super) fn of(&self, node: usize) -> &[Index] {
        &self.nodes[self.start[node] as usize..self.start[node + 1] as usize]
    }
}

/// Order of elimination of the graph that keeps the factor sparse: approximate minimum degree. Nodes that are held
/// altogether are left in: without them the rim of a shell looks easier to eliminate than it is, and large shells were seen
/// to fill in by up to a tenth more.
pub(super) fn minimum_degree(near: &Near) -> Result<Vec<usize>, FrameError> {
    let count = near.start.len() - 1;
    if count == 0 {
        return Ok(Vec::new());
    }
    let too_large = || FrameError::TooLarge { unknowns: count };
    let mut start: Vec<Index> = Vec::with_capacity(count + 1);
    let mut row: Vec<Index> = Vec::with_capacity(near.nodes.len() / 2);
    start.push(0);
    for column in 0..count {
        row.extend(near.of(column).iter().take_while(|r| (**r as usize) < column));
        start.push(row.len() as Index);
    }
    let pattern = SymbolicSparseColMatRef::new_checked(count, count, &start, None, &row);
    let (mut forward, mut inverse): (Vec<Index>, Vec<Index>) = (vec![0; count], vec![0; count]);
    let mut memory = MemBuffer::try_new(amd::order_maybe_unsorted_scratch::<Index>(count, row.len()))
        .map_err(|_| too_large())?;
    amd::order_maybe_unsorted(
        &mut forward,
        &mut inverse,
        pattern,
        amd::Control::default(),
        MemStack::new(&mut memory),
    )
    .map_err(|_| too_large())?;
    Ok(forward.into_iter().map(|i| i as usize).collect())
}
