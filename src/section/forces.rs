//! What one timber carries, in its own axes.

/// Forces in one strip at one place along it \[N, N·m\].
///
/// Axes: the strip's own, x along, y along the breadth, z through the shell. Tension positive.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct StripForces {
    /// Axial force, tension positive.
    pub n: f64,
    /// Shear along y.
    pub vy: f64,
    /// Shear along z.
    pub vz: f64,
    /// Torsion.
    pub t: f64,
    /// Bending about y (out of the shell's surface).
    pub my: f64,
    /// Bending about z (in the surface).
    pub mz: f64,
}
