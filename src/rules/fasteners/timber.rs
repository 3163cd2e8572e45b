//! Timbers of joints for the tests of seams.

use crate::rules::fasteners::{JointTimber, WoodKind};
use crate::units::PSI;

/// C16 (EN 338).
pub(crate) const C16: JointTimber = JointTimber {
    wood: WoodKind::Softwood,
    density_k: 310.0,
    compression_across: 2.2e6,
    specific_gravity: 0.33,
    elastic: 8.0e9,
    elastic_across: 270e6,
    glued: false,
};

/// Fir of G 0.50: 625 psi across the grain, 1.6e6 psi along it; the density plays no part under the NDS.
pub(crate) const FIR: JointTimber = JointTimber {
    wood: WoodKind::Softwood,
    density_k: 400.0,
    compression_across: 625.0 * PSI,
    specific_gravity: 0.50,
    elastic: 1.6e6 * PSI,
    elastic_across: 0.08e6 * PSI,
    glued: false,
};
