//! A timber for tests whose figures do not matter.

use crate::frame::BarSection;

/// About 47 × 95 mm of softwood.
pub(crate) const TIMBER: BarSection = BarSection {
    area: 4e-3,
    second_moment_y: 3e-6,
    second_moment_z: 2e-6,
    torsion: 3e-6,
    elastic: 11e9,
    shear: 0.69e9,
    mass: 2.0,
};
