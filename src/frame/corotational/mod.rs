//! Elements that turn with the structure: each is an energy of the moved nodes, whose exact first
//! derivative is the force and whose symmetrised second derivative is the tangent.
//!
//! A bar's own axes ride on its chord, so that what is left to measure inside it is small (the
//! corotational idea). The elements:
//!
//! - [`bar`]: hinged at both ends; *engineering* strain, (length − first length) / first length.
//! - [`beam`]: Euler–Bernoulli with finite turns of its ends, end springs and hinges condensed in
//!   the bar's own axes, and the shortening by bowing included on average.
//! - [`fold`]: moment = stiffness × change of the true fold angle.
//! - [`spring`]: links and ground springs along and about the global axes.
//!
//! Turns of a node are finite rotations; an increment is a spin about global axes, applied from
//! the left. The second derivative along spins is not symmetric away from equilibrium; its
//! symmetric part is the Hessian along geodesics and is what is used here.

pub(crate) mod bar;
pub(crate) mod beam;
pub(crate) mod fold;
pub(crate) mod rotation;
pub(crate) mod spring;
