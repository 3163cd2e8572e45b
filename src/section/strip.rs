//! One strip: a rectangle whose side is ripped to half the fold angle, and strips side by side.

use crate::section::torsion::torsion_of_trapezium;
use crate::section::{Section, SectionError};

/// What a rip to half a fold leaves of the narrow face of a strip \[m\]: none where it is negative.
#[must_use]
pub fn narrow_face(breadth: f64, depth: f64, fold: f64) -> f64 {
    breadth - depth * (0.5 * fold.abs()).tan()
}

/// The finished section of one strip.
///
/// The blank is a rectangle `breadth` × `depth`. With `bevelled` its seam side is ripped to half the
/// fold angle, which leaves a right trapezium: `breadth` on one face and
/// `breadth − depth · tan(|fold| / 2)` on the other, the far side square to both. Whether the seam is
/// a ridge or a valley turns the section over and changes none of its values.
///
/// The product of inertia about y and z is left out: the two strips of a seam are mirror images, so
/// theirs cancel, and a strip by itself is held to its panel.
///
/// **Units**: m, `fold` in rad. The torsion constant is numerical; its error is stated at
/// [`torsion_of_trapezium`].
///
/// # Errors
///
/// [`SectionError::Size`] for a breadth or depth that is not a positive number,
/// [`SectionError::Fold`] for a fold of half a turn or more, [`SectionError::Vanishes`] where the
/// bevel would take the narrow face away.
///
/// # Source
///
/// Centroid and second moments by Green's theorem on the outline (derived here).
pub fn strip(breadth: f64, depth: f64, fold: f64, bevelled: bool) -> Result<Section, SectionError> {
    for (name, value) in [("breadth", breadth), ("depth", depth)] {
        if !(value.is_finite() && value > 0.0) {
            return Err(SectionError::Size { name, value });
        }
    }
    if fold.is_nan() || fold.abs() >= std::f64::consts::PI {
        return Err(SectionError::Fold { fold });
    }
    let narrow = if bevelled { narrow_face(breadth, depth, fold) } else { breadth };
    // A feather edge cannot be made or fixed to: a thousandth of the breadth is taken as nothing.
    if narrow <= 1e-3 * breadth {
        return Err(SectionError::Vanishes { breadth, depth, fold_deg: fold.to_degrees(), narrow });
    }
    let outline = [[0.0, 0.0], [breadth, 0.0], [narrow, depth], [0.0, depth]];
    let plane = plane_values(&outline);
    Ok(Section {
        breadth,
        depth,
        area: plane.area,
        second_moment_y: plane.second_moment_y,
        second_moment_z: plane.second_moment_z,
        torsion: torsion_of_trapezium(breadth, narrow, depth),
        modulus_y: plane.second_moment_y / plane.reach_z,
        modulus_z: plane.second_moment_z / plane.reach_y,
    })
}

/// How far apart strips lie that are side by side \[m\]: their mean breadth, area over depth.
#[must_use]
pub fn pitch(one: &Section) -> f64 {
    one.area / one.depth
}

/// `count` equal strips side by side, bending together.
///
/// Areas, second moments, moduli and torsion constants add. For bending about z, `composite` (γ, from
/// 0 for no shear between the strips to 1 for solid) adds `γ Σ A e²` with `e` the distance of each
/// strip from the middle of the row, the strips lying one [`pitch`] apart. With the
/// strips of a bevelled seam that pitch is right to a few per cent. The modulus about z is that of the
/// outermost fibre, `I / (γ e + y)`, as in the gamma method. `composite` is held to 0..1; a `count`
/// of 0 is taken as 1.
///
/// # Source
///
/// The gamma method of EN 1995-1-1:2004 annex B (from memory), with one γ for all strips.
#[must_use]
pub fn together(one: &Section, count: usize, composite: f64) -> Section {
    let number = count.max(1) as f64;
    let gamma = if composite.is_finite() { composite.clamp(0.0, 1.0) } else { 0.0 };
    let pitch = pitch(one);
    // Σ e² of a row of n at unit pitch is n (n² − 1) / 12.
    let steiner = one.area * pitch * pitch * number * (number * number - 1.0) / 12.0;
    let second_moment_z = number * one.second_moment_z + gamma * steiner;
    let reach = one.second_moment_z / one.modulus_z + gamma * pitch * (number - 1.0) / 2.0;
    Section {
        breadth: one.breadth * number,
        depth: one.depth,
        area: number * one.area,
        second_moment_y: number * one.second_moment_y,
        second_moment_z,
        torsion: number * one.torsion,
        modulus_y: number * one.modulus_y,
        modulus_z: second_moment_z / reach,
    }
}

/// What follows from an outline alone.
struct PlaneValues {
    area: f64,
    second_moment_y: f64,
    second_moment_z: f64,
    reach_y: f64,
    reach_z: f64,
}

/// Area, second moments about the centroid and distances of the outermost fibres of an anticlockwise
/// outline of (y, z).
fn plane_values(outline: &[[f64; 2]]) -> PlaneValues {
    let mut sums = [0.0; 5];
    for (i, &[y0, z0]) in outline.iter().enumerate() {
        let [y1, z1] = outline[(i + 1) % outline.len()];
        let cross = y0 * z1 - y1 * z0;
        sums[0] += cross / 2.0;
        sums[1] += cross * (y0 + y1) / 6.0;
        sums[2] += cross * (z0 + z1) / 6.0;
        sums[3] += cross * (z0 * z0 + z0 * z1 + z1 * z1) / 12.0;
        sums[4] += cross * (y0 * y0 + y0 * y1 + y1 * y1) / 12.0;
    }
    let [area, first_y, first_z, about_y, about_z] = sums;
    let (y, z) = (first_y / area, first_z / area);
    let reach = |axis: usize, middle: f64| {
        outline.iter().map(|corner| (corner[axis] - middle).abs()).fold(0.0, f64::max)
    };
    PlaneValues {
        area,
        second_moment_y: about_y - area * z * z,
        second_moment_z: about_z - area * y * y,
        reach_y: reach(0, y),
        reach_z: reach(1, z),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn a_rectangle_has_the_book_values() {
        for (fold, bevelled) in [(0.0, true), (0.7, false)] {
            let s = strip(0.047, 0.075, fold, bevelled).unwrap();
            assert_relative_eq!(s.area, 0.047 * 0.075, max_relative = 1e-12);
            assert_relative_eq!(s.second_moment_y, 0.047 * 0.075_f64.powi(3) / 12.0, max_relative = 1e-12);
            assert_relative_eq!(s.second_moment_z, 0.075 * 0.047_f64.powi(3) / 12.0, max_relative = 1e-12);
            assert_relative_eq!(s.modulus_y, 0.047 * 0.075_f64.powi(2) / 6.0, max_relative = 1e-12);
            assert_relative_eq!(s.modulus_z, 0.075 * 0.047_f64.powi(2) / 6.0, max_relative = 1e-12);
        }
    }

    #[test]
    fn a_trapezium_has_the_closed_forms() {
        let (a, h, fold) = (0.06, 0.1, 0.5_f64);
        let b = a - h * (fold / 2.0).tan();
        for signed in [fold, -fold] {
            let s = strip(a, h, signed, true).unwrap();
            assert_relative_eq!(s.area, h * (a + b) / 2.0, max_relative = 1e-12);
            let about_y = h.powi(3) * (a * a + 4.0 * a * b + b * b) / (36.0 * (a + b));
            assert_relative_eq!(s.second_moment_y, about_y, max_relative = 1e-12);
            let z = h * (a + 2.0 * b) / (3.0 * (a + b)); // from the broad face
            assert_relative_eq!(s.modulus_y, about_y / (h - z), max_relative = 1e-12);
            // About z: h/12 (a³ + a²b + ab² + b³) about the square side, less A y².
            let y = (a * a + a * b + b * b) / (3.0 * (a + b));
            let about_z = h / 12.0 * (a.powi(3) + a * a * b + a * b * b + b.powi(3)) - s.area * y * y;
            assert_relative_eq!(s.second_moment_z, about_z, max_relative = 1e-12);
            assert_relative_eq!(s.modulus_z, about_z / (a - y), max_relative = 1e-12);
        }
    }

    #[test]
    fn strips_together_add_and_become_solid() {
        let one = strip(0.047, 0.075, 0.0, true).unwrap();
        let loose = together(&one, 2, 0.0);
        assert_relative_eq!(loose.second_moment_z, 2.0 * one.second_moment_z, max_relative = 1e-12);
        assert_relative_eq!(loose.modulus_z, 2.0 * one.modulus_z, max_relative = 1e-12);
        for count in 1..5 {
            let solid = together(&one, count, 1.0);
            let block = strip(0.047 * count as f64, 0.075, 0.0, true).unwrap();
            assert_relative_eq!(solid.area, block.area, max_relative = 1e-12);
            assert_relative_eq!(solid.second_moment_z, block.second_moment_z, max_relative = 1e-12);
            assert_relative_eq!(solid.modulus_z, block.modulus_z, max_relative = 1e-12);
        }
    }

    #[test]
    fn sizes_that_cannot_be_are_refused() {
        assert!(matches!(strip(0.0, 0.1, 0.0, true), Err(SectionError::Size { name: "breadth", .. })));
        assert!(matches!(strip(0.1, f64::NAN, 0.0, true), Err(SectionError::Size { name: "depth", .. })));
        assert!(matches!(strip(0.1, 0.1, 4.0, true), Err(SectionError::Fold { .. })));
        assert!(matches!(strip(0.04, 0.1, 1.0, true), Err(SectionError::Vanishes { .. })));
        assert!(strip(0.04, 0.1, 1.0, false).is_ok());
    }
}
