//! Published and derived cases, one file a case: the source and the tolerance stand at its head.
//!
//! "Printed" is a figure of the source named; "derived" is a figure computed from a closed form or by
//! an independent model for this purpose. Where a source was not read again but remembered, it says so.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::tests_outside_test_module,
    reason = "an integration test may stop at the first surprise"
)]

mod frames;

mod logan_plane_truss;
mod logan_portal;

mod plane;

mod bend_45;
mod hexagonal_cap;
mod lee_frame;
mod roll_up;
mod two_bar_truss;
mod williams_toggle;
