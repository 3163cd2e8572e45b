//! Cross-sections of timbers, in their own axes: y along the breadth, z along the depth.

pub mod ask;
pub mod forces;
pub mod strip;
pub mod torsion;

/// A solid cross-section about its own centroid.
///
/// y runs along the breadth b (in the panel's plane), z along the depth d (through the shell). For
/// a frame bar whose `up` is the outward normal these are the bar's local y and z, so
/// `second_moment_y` is bending out of the shell's surface.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Section {
    /// Breadth of the rectangle that it was cut from \[m\].
    pub breadth: f64,
    /// Depth of the rectangle that it was cut from \[m\].
    pub depth: f64,
    /// Area of the finished section \[m²\].
    pub area: f64,
    /// Second moment about y \[m⁴\].
    pub second_moment_y: f64,
    /// Second moment about z \[m⁴\].
    pub second_moment_z: f64,
    /// St Venant torsion constant \[m⁴\].
    pub torsion: f64,
    /// Smaller elastic modulus for bending about y \[m³\].
    pub modulus_y: f64,
    /// Smaller elastic modulus for bending about z \[m³\].
    pub modulus_z: f64,
}

/// A section that cannot be made.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum SectionError {
    /// A breadth or depth that is not a positive number.
    #[error("the {name} of a timber is {value} m; it must be a positive number: enter the finished size")]
    Size {
        /// "breadth" or "depth".
        name: &'static str,
        /// What was given \[m\].
        value: f64,
    },
    /// A fold of half a turn or more.
    #[error("a fold angle of {fold} rad was asked for; it must be less than half a turn either way")]
    Fold {
        /// What was given \[rad\].
        fold: f64,
    },
    /// The bevel leaves nothing of the narrow face.
    #[error(
        "a strip {:.0} mm broad and {:.0} mm deep, ripped to half a fold of {fold_deg:.1} degrees, would \
         have a narrow face of {:.1} mm: take a broader or shallower timber, a finer division, or \
         bevelled = false",
        breadth * 1e3, depth * 1e3, narrow * 1e3
    )]
    Vanishes {
        /// Blank's breadth \[m\].
        breadth: f64,
        /// Blank's depth \[m\].
        depth: f64,
        /// Fold angle \[degrees\].
        fold_deg: f64,
        /// What would be left of the narrow face \[m\].
        narrow: f64,
    },
}
