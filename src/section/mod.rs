//! Cross-sections of timbers, in their own axes: y along the breadth, z along the depth.

pub mod ask;
pub mod forces;

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
