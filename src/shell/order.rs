//! One order for everything that gets a number: from the base upward, then by angle, then from the
//! middle outward.

use crate::vector::Vec3;

/// Positions in `points` in the order of their numbers. `size` \[m\] is what tolerances are shares of.
///
/// Heights and angles that differ by rounding only count as equal, so that the order does not hang on
/// the last digit.
pub(crate) fn order(points: &[Vec3], size: f64) -> Vec<usize> {
    let levels = classes(&points.iter().map(|at| at.z).collect::<Vec<_>>(), 1e-7 * size);
    let whole = std::f64::consts::TAU;
    let angles: Vec<f64> = points
        .iter()
        .map(|at| {
            if at.x.hypot(at.y) < 1e-7 * size {
                return 0.0;
            }
            let angle = at.y.atan2(at.x).rem_euclid(whole);
            if angle > whole - 1e-7 { 0.0 } else { angle }
        })
        .collect();
    let angles = classes(&angles, 1e-7);
    let radii = classes(&points.iter().map(|at| at.x.hypot(at.y)).collect::<Vec<_>>(), 1e-7 * size);
    let mut numbers: Vec<usize> = (0..points.len()).collect();
    numbers.sort_by_key(|&i| (levels[i], angles[i], radii[i], i));
    numbers
}

/// A class number for each value, rising with it; neighbours in order closer than `tolerance` share one.
pub(crate) fn classes(values: &[f64], tolerance: f64) -> Vec<usize> {
    let mut order: Vec<usize> = (0..values.len()).collect();
    order.sort_by(|&a, &b| values[a].total_cmp(&values[b]));
    let mut class = vec![0; values.len()];
    let mut current = 0;
    for pair in order.windows(2) {
        if values[pair[1]] - values[pair[0]] > tolerance {
            current += 1;
        }
        class[pair[1]] = current;
    }
    class
}
