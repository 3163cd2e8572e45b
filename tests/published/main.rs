//! Published and derived cases, one file a case: the source and the tolerance stand at its head.
//!
//! "Printed" is a figure of the source named; "derived" is a figure computed from a closed form or by
//! an independent model for this purpose. Where a source was not read again but remembered, it says so.
//!
//! Tables of geometry (chord lengths, folds and distinct triangles of class I spheres, closed forms of the staggered
//! cylinder) are held in `src/shell/sphere_tests.rs`, beside the nets that they need before anything is cut off.

#![allow(clippy::needless_range_loop, reason = "joints and axes by number, as in the sources' tables")]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::tests_outside_test_module,
    reason = "an integration test may stop at the first surprise"
)]

mod frames;
mod plane;

mod arch_buckling;
mod beam_columns;
mod bend_45;
mod determinacy;
mod end_releases;
mod end_springs;
mod euler_columns;
mod ferreira_space_frame;
mod geodesic_sphere_buckling;
mod hexagonal_cap;
mod lee_frame;
mod logan_plane_truss;
mod logan_portal;
mod logan_space_truss;
mod membrane;
mod portal_buckling;
mod ring_buckling;
mod roll_up;
mod tower_25_bars;
mod tower_72_bars;
mod two_bar_truss;
mod vibration;
mod williams_toggle;
