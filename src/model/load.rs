//! Loads on the shell → loads on the frame's bars and nodes.

use crate::frame::{BarId, BarLoad, FrameLoads, NodeId};
use crate::loads::edge_share::EdgeShares;
use crate::loads::{Case, MemberLoad};
use crate::shell::Shell;
use crate::vector::Vec3;

/// The loads of one case on the frame. The same for every joint model, since nodes and bars are.
#[must_use]
pub fn frame_loads(shell: &Shell, case: &Case) -> FrameLoads {
    frame_loads_shared(&EdgeShares::new(shell), case)
}

/// As [`frame_loads`], with the shares of the panels' edges worked out once for all cases.
#[must_use]
pub fn frame_loads_shared(shares: &EdgeShares, case: &Case) -> FrameLoads {
    on_frame(&shares.share(&case.panels), case)
}

/// The loads of a case that has none on its panels, such as the weight of the timbers.
#[must_use]
pub fn frame_loads_of_members(case: &Case) -> FrameLoads {
    on_frame(&[], case)
}

fn on_frame(shared: &[MemberLoad], case: &Case) -> FrameLoads {
    let mut bars: Vec<BarLoad> = shared
        .iter()
        .chain(&case.members)
        .map(|load| BarLoad { bar: BarId(load.member.0), span: load.span, intensity: load.intensity })
        .collect();
    // Every solution and every look along a timber asks for them by bar.
    bars.sort_by_key(|load| load.bar.0);
    let nodes = case
        .joints
        .iter()
        .map(|load| (NodeId(load.joint.0), [load.force.x, load.force.y, load.force.z, 0.0, 0.0, 0.0]))
        .collect();
    FrameLoads { nodes, bars, settlements: Vec::new() }
}

/// Total force of a frame's loads \[N\], global: each line load is intensity times length.
#[must_use]
pub fn total(loads: &FrameLoads) -> Vec3 {
    let on_bars: Vec3 =
        loads.bars.iter().map(|l| (l.intensity[0] + l.intensity[1]) * (0.5 * (l.span[1] - l.span[0]))).sum();
    let on_nodes: Vec3 = loads.nodes.iter().map(|(_, f)| Vec3::new(f[0], f[1], f[2])).sum();
    on_bars + on_nodes
}
