//! The largest factor that a load can have before the frame snaps or branches, found quickly.

#![allow(clippy::needless_range_loop, reason = "an index runs over several arrays of one formula")]

use crate::frame::error::FrameError;
use crate::frame::path::{EventKind, PathEnd, PathOptions, trace};
use crate::frame::{Frame, FrameLoads, NodeId, sums};

/// How the limit is sought.
#[derive(Debug, Clone, PartialEq)]
pub struct LimitOptions {
    /// Load that is not multiplied, such as dead weight.
    pub constant: Option<FrameLoads>,
    /// Factor beyond which nobody asks: the search stops there.
    pub enough: f64,
    /// The linear buckling factor of these loads, where it is known: see [`PathOptions::linear_factor`].
    pub linear_factor: Option<f64>,
    /// Relative width to which the factor is pinned down.
    pub closeness: f64,
    /// The first step, as a share of the factor that is enough.
    pub first: f64,
    /// Steps at most; where they do not suffice the search is made again, with shorter steps and four times as many.
    pub steps: usize,
}

impl Default for LimitOptions {
    fn default() -> Self {
        Self { constant: None, enough: 20.0, linear_factor: None, closeness: 5e-3, first: 0.1, steps: 60 }
    }
}

/// A flaw in the shape: movements of the nodes and the size of the largest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Imperfection<'a> {
    /// Movement of every node (only the translations count); its scale does not matter.
    pub shape: &'a [[f64; 6]],
    /// Largest translation \[m\]; its sign matters, a flaw inward and one outward differ.
    pub amplitude: f64,
}

impl<'a> Imperfection<'a> {
    /// A shape that is as large as it is meant \[m\].
    #[must_use]
    pub fn of(shape: &'a [[f64; 6]]) -> Self {
        let amplitude = shape.iter().map(|s| s[0].hypot(s[1]).hypot(s[2])).fold(0.0, f64::max);
        Self { shape, amplitude }
    }
}

/// What was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LimitKind {
    /// The load can rise no further.
    Limit,
    /// The frame leaves its shape in a motion square to the load.
    Branch,
    /// Neither, up to the factor that was enough.
    NotReached,
    /// Neither, but the search could not go on: the factor is only a lower bound.
    Lost,
}

/// The limit of one load on one frame.
#[derive(Debug, Clone, PartialEq)]
pub struct LimitResult {
    /// The factor: of the limit or branch point, or how far the search came.
    pub factor: f64,
    /// What it is.
    pub kind: LimitKind,
    /// The node that moves most in the softest shape at a limit or branch point.
    pub node: Option<NodeId>,
    /// The softest shape there, its largest translation 1; empty where nothing was found.
    pub shape: Vec<[f64; 6]>,
    /// Points of equilibrium that were computed on the way.
    pub steps: usize,
}

/// Below this share of how far bars swing by the turns of a shape, its movements are rounding.
const ROUNDING: f64 = 1e-6;

/// The largest movement of a node in a shape; none where nodes only turn and their movement is the rounding of a solution.
#[must_use]
pub(crate) fn largest_movement(frame: &Frame, shape: &[[f64; 6]]) -> Option<f64> {
    let largest = shape.iter().map(|s| s[0].hypot(s[1]).hypot(s[2])).fold(0.0, f64::max);
    let turned = sums::largest(shape.iter().flat_map(|s| &s[3..]));
    // What names no node is for the check of the frame to tell.
    let place = |node: NodeId| frame.nodes.get(node.0).map(|node| node.at);
    let lengths = frame.bars.iter().filter_map(|bar| Some((place(bar.to)? - place(bar.from)?).norm()));
    let by_turns = turned * lengths.fold(0.0, f64::max);
    (largest.is_finite() && largest > ROUNDING * by_turns).then_some(largest)
}

/// The frame with its nodes moved by an imperfection, free of stress in the moved shape. Held
/// freedoms are not moved; nor is anything by a shape in which nodes turn and their movement is the rounding of a solution.
#[must_use]
pub fn with_imperfection(frame: &Frame, imperfection: &Imperfection<'_>) -> Frame {
    let mut moved = frame.clone();
    let Some(largest) = largest_movement(frame, imperfection.shape) else { return moved };
    for (node, shape) in moved.nodes.iter_mut().zip(imperfection.shape) {
        for axis in 0..3 {
            if !node.held[axis] {
                node.at[axis] += shape[axis] * imperfection.amplitude / largest;
            }
        }
    }
    moved
}

/// The factor on `loads` at which `frame`, with or without a flaw, first loses its stability.
///
/// Line loads act on the nodes (as the forces that hold the first shape). Bars hinged at both ends do
/// not buckle between their nodes here; that is for the rules of each bar.
///
/// # Errors
/// As [`trace`]: a frame or loads that cannot be used, a mechanism, or a constant part that the frame
/// cannot carry.
pub fn limit_of(
    frame: &Frame,
    loads: &FrameLoads,
    imperfection: Option<Imperfection<'_>>,
    options: &LimitOptions,
) -> Result<LimitResult, FrameError> {
    let Some(flaw) = imperfection else { return sought(frame, loads, options) };
    let flawed = with_imperfection(frame, &flaw);
    let constant = options.constant.as_ref().map(|constant| refitted(constant, frame, &flawed));
    let options = LimitOptions { constant, ..options.clone() };
    sought(&flawed, &refitted(loads, frame, &flawed), &options)
}

/// The loads on a frame whose bars are of other lengths: at the same share of each bar, and the same force in all.
#[must_use]
pub fn refitted(loads: &FrameLoads, frame: &Frame, other: &Frame) -> FrameLoads {
    let mut fitted = loads.clone();
    for load in &mut fitted.bars {
        let length = |frame: &Frame| {
            let bar = frame.bars.get(load.bar.0)?;
            let [from, to] = [bar.from, bar.to].map(|node| frame.nodes.get(node.0));
            Some((to?.at - from?.at).norm())
        };
        // What names no bar is for the check of the loads to tell.
        let (Some(was), Some(is)) = (length(frame), length(other)) else { continue };
        load.span = load.span.map(|at| at * is / was);
        load.intensity = load.intensity.map(|line| line * (was / is));
    }
    fitted
}

fn sought(frame: &Frame, loads: &FrameLoads, options: &LimitOptions) -> Result<LimitResult, FrameError> {
    let quick = search(frame, loads, options, options.first, 0.3)?;
    if quick.kind == LimitKind::Lost {
        // Once more with shorter steps and as many more of them, before the answer is only a lower bound.
        let longer = LimitOptions { steps: 4 * options.steps, ..options.clone() };
        let slow = search(frame, loads, &longer, 0.01, 0.1)?;
        return Ok(further(quick, slow));
    }
    Ok(quick)
}

/// Of a search that was lost and a slower one: what the slower found, or where both were lost the one that came further.
fn further(quick: LimitResult, slow: LimitResult) -> LimitResult {
    if slow.kind == LimitKind::Lost && slow.factor < quick.factor { quick } else { slow }
}

/// One search: the first step as a share of the factor that is enough, and how sharply the path may bend
/// in a step.
fn search(
    frame: &Frame,
    loads: &FrameLoads,
    options: &LimitOptions,
    first: f64,
    coarseness: f64,
) -> Result<LimitResult, FrameError> {
    let path_options = PathOptions {
        watch: None,
        steps: options.steps,
        limit_only: true,
        highest_factor: Some(options.enough),
        first_factor: Some(first * options.enough),
        linear_factor: options.linear_factor,
        constant: options.constant.clone(),
        tolerance: 1e-6,
        closeness: options.closeness,
        coarseness,
        keep_displacements: false,
    };
    let path = trace(frame, loads, &path_options)?;
    let steps = path.steps.len();
    if let Some(event) = path.events.into_iter().next() {
        let size = |s: &[f64; 6]| s[0].hypot(s[1]).hypot(s[2]);
        let most = event.shape.iter().map(size).enumerate().max_by(|a, b| a.1.total_cmp(&b.1));
        let kind = match event.kind {
            EventKind::Limit => LimitKind::Limit,
            EventKind::Branch => LimitKind::Branch,
        };
        let node = most.map(|(node, _)| NodeId(node));
        return Ok(LimitResult { factor: event.factor, kind, node, shape: event.shape, steps });
    }
    let factor = path.steps.last().map_or(0.0, |step| step.factor);
    let kind = match path.end {
        PathEnd::HighestFactor => LimitKind::NotReached,
        PathEnd::Steps | PathEnd::FirstEvent | PathEnd::Lost => LimitKind::Lost,
    };
    Ok(LimitResult { factor, kind, node: None, shape: Vec::new(), steps })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::frame::{Bar, BarSection, EndFix, Node};
    use crate::vector::Vec3;

    /// A shape in which a node turns and its movement is rounding moves nothing; any other moves by all that is asked.
    #[test]
    fn rounding_is_no_imperfection() {
        let mut frame = Frame::default();
        for x in [0.0, 2.0] {
            frame.nodes.push(Node { at: Vec3::new(x, 0.0, 0.0), held: [false; 6], ground: [0.0; 6] });
        }
        let (section, up) = (BarSection::axial(1.0), Vec3::z());
        frame.bars.push(Bar { from: NodeId(0), to: NodeId(1), section, up, ends: [EndFix::Rigid; 2] });
        for (moved, turned, by) in [(1e-9, 1.0, 0.0), (1e-5, 1.0, 0.01), (1e-9, 0.0, 0.01), (0.0, 0.0, 0.0)] {
            let shape = [[0.0, 0.0, moved, turned, 0.0, 0.0], [0.0; 6]];
            let flawed = with_imperfection(&frame, &Imperfection { shape: &shape, amplitude: 0.01 });
            assert!((flawed.nodes[0].at.z - by).abs() < 1e-12, "{moved} {turned}");
        }
    }

    /// A joint on three hinged bars to a circle of feet, which snaps at n EA (1 − cos^(2/3) β)^1.5 under what is pressed on it
    /// (derived in `tests/published/two_bar_truss.rs`): with too few steps the search is lost, and made again it is found.
    #[test]
    fn a_search_that_runs_out_of_steps_is_made_again() {
        let (radius, rise, stiffness) = (10.0_f64, 1.0_f64, 1e6);
        let section = BarSection::axial(stiffness);
        let mut frame = Frame::default();
        frame.nodes.push(Node { at: Vec3::new(0.0, 0.0, rise), held: [false; 6], ground: [0.0; 6] });
        for foot in 1..=3_u32 {
            let (sine, cosine) = (std::f64::consts::TAU * f64::from(foot) / 3.0).sin_cos();
            let at = Vec3::new(radius * cosine, radius * sine, 0.0);
            frame.nodes.push(Node { at, held: [true; 6], ground: [0.0; 6] });
            let (from, to, up) = (NodeId(0), NodeId(foot as usize), Vec3::z());
            frame.bars.push(Bar { from, to, section, up, ends: [EndFix::Hinged; 2] });
        }
        let snap = 3.0 * stiffness * (1.0 - (radius / rise.hypot(radius)).powf(2.0 / 3.0)).powf(1.5);
        let down = |force: f64| FrameLoads {
            nodes: vec![(NodeId(0), [0.0, 0.0, -force, 0.0, 0.0, 0.0])],
            ..FrameLoads::default()
        };
        for (factor, steps) in [(0.1, 3), (3.0, 3), (12.0, 4), (19.0, 4)] {
            let loads = down(snap / factor);
            let options = LimitOptions { steps, closeness: 1e-4, ..LimitOptions::default() };
            let quick = search(&frame, &loads, &options, 0.1, 0.3).unwrap();
            assert!(quick.kind == LimitKind::Lost && quick.factor < factor, "{quick:?}");
            let found = limit_of(&frame, &loads, None, &options).unwrap();
            assert_eq!((found.kind, found.node), (LimitKind::Limit, Some(NodeId(0))));
            assert!((found.factor - factor).abs() < 1e-5 * factor, "{} {factor}", found.factor);
        }
    }

    #[test]
    fn the_slower_search_is_believed_but_where_it_is_lost_sooner() {
        let result = |kind, factor| LimitResult { factor, kind, node: None, shape: Vec::new(), steps: 0 };
        let quick = || result(LimitKind::Lost, 3.0);
        for (slow, want) in [
            (result(LimitKind::Lost, 2.0), 3.0),
            (result(LimitKind::Lost, 4.0), 4.0),
            // The quick one had gone past it.
            (result(LimitKind::Limit, 2.0), 2.0),
            (result(LimitKind::Branch, 4.0), 4.0),
            (result(LimitKind::NotReached, 20.0), 20.0),
        ] {
            let kind = slow.kind;
            let found = further(quick(), slow);
            assert_eq!(found.kind, kind);
            assert!((found.factor - want).abs() <= 0.0, "{kind:?}");
        }
    }
}
