//! St Venant torsion constants of rectangles and right trapezia.

use nalgebra::{SMatrix, SVector};
use std::sync::LazyLock;

/// St Venant torsion constant of a rectangle \[m⁴\], from its sides \[m\].
///
/// ```text
/// J = a b³ [1/3 − (64/π⁵)(b/a) Σ tanh((2k−1) π a / 2b) / (2k−1)⁵],   a ≥ b
/// ```
///
/// The sum is cut where its terms fall below 1e-13 of the answer.
///
/// # Source
///
/// Saint-Venant's series as in S. Timoshenko and J. N. Goodier, *Theory of Elasticity*, chapter on
/// torsion (from memory; checked here against a numerical solution of Prandtl's problem).
#[must_use]
pub fn torsion_of_rectangle(side: f64, other: f64) -> f64 {
    let (a, b) = if side >= other { (side, other) } else { (other, side) };
    let mut sum = 0.0;
    for k in 0..200 {
        let odd = f64::from(2 * k + 1);
        let term = (odd * std::f64::consts::PI * a / (2.0 * b)).tanh() / odd.powi(5);
        sum += term;
        if term < 1e-13 * sum {
            break;
        }
    }
    a * b.powi(3) * (1.0 / 3.0 - 64.0 / std::f64::consts::PI.powi(5) * (b / a) * sum)
}

/// St Venant torsion constant \[m⁴\] of a right trapezium with parallel faces `wide` and `narrow`, `depth`
/// apart \[m\].
///
/// Ritz's method on Prandtl's stress function (∇²φ = −2 inside, φ = 0 on the outline, J = 2 ∫ φ), the
/// section mapped to the unit square, with few polynomials; times the ratio of the exact to the Ritz
/// value of the rectangle of mean breadth, which takes out most of what few polynomials leave.
///
/// **Error**: against a solution by finite elements (the test), less than [`TORSION_ERROR`] for faces in
/// the ratio 0.2 to 1 and depths of 0.4 to 4 times the wide face, less than a tenth of that for depths of
/// 1 to 2.5; without error for a rectangle.
#[must_use]
pub fn torsion_of_trapezium(wide: f64, narrow: f64, depth: f64) -> f64 {
    let mean = 0.5 * (wide + narrow);
    let exact = torsion_of_rectangle(mean, depth);
    if (wide - narrow).abs() <= 1e-12 * wide {
        return exact;
    }
    match (ritz(wide, narrow, depth), ritz(mean, mean, depth)) {
        (Some(trapezium), Some(rectangle)) => exact * trapezium / rectangle,
        // The matrix is positive definite for every real section; a section too thin for the
        // arithmetic gets the thin strip's value, which is then right.
        _ => depth * (wide + narrow) * (wide * wide + narrow * narrow) / 12.0,
    }
}

/// Largest relative error of [`torsion_of_trapezium`] over the range that its test covers.
pub const TORSION_ERROR: f64 = 3e-3;

/// Polynomials across the breadth and along the depth.
const ACROSS: usize = 3;
const ALONG: usize = 5;
const UNKNOWNS: usize = ACROSS * ALONG;
/// Gauss points, enough for 1 / width times the products of the polynomials.
const POINTS: usize = 12;

/// Integrals over the breadth and values at the Gauss points of the depth, the same for every section.
struct Reference {
    /// ∫ f′f′, ∫ f f, ∫ η f′f, ∫ η² f′f′ and ∫ f over the unit breadth.
    slopes: SMatrix<f64, ACROSS, ACROSS>,
    values: SMatrix<f64, ACROSS, ACROSS>,
    mixed: SMatrix<f64, ACROSS, ACROSS>,
    moments: SMatrix<f64, ACROSS, ACROSS>,
    sums: SVector<f64, ACROSS>,
    /// (ζ, weight, value and slope of each g) at the Gauss points of the unit depth.
    points: Vec<(f64, f64, Vec<[f64; 2]>)>,
}

static REFERENCE: LazyLock<Reference> = LazyLock::new(|| {
    let gauss = gauss_points(POINTS);
    let mut reference = Reference {
        slopes: SMatrix::zeros(),
        values: SMatrix::zeros(),
        mixed: SMatrix::zeros(),
        moments: SMatrix::zeros(),
        sums: SVector::zeros(),
        points: gauss.iter().map(|&(at, weight)| (at, weight, bubbles(at, ALONG))).collect(),
    };
    for &(eta, weight) in &gauss {
        let f = bubbles(eta, ACROSS);
        for i in 0..ACROSS {
            reference.sums[i] += weight * f[i][0];
            for j in 0..ACROSS {
                reference.slopes[(i, j)] += weight * f[i][1] * f[j][1];
                reference.values[(i, j)] += weight * f[i][0] * f[j][0];
                reference.mixed[(i, j)] += weight * eta * f[i][1] * f[j][0];
                reference.moments[(i, j)] += weight * eta * eta * f[i][1] * f[j][1];
            }
        }
    }
    reference
});

/// The Ritz value, a lower bound.
fn ritz(wide: f64, narrow: f64, depth: f64) -> Option<f64> {
    let reference = &*REFERENCE;
    let taper = narrow - wide;
    let mut over_width = SMatrix::<f64, ALONG, ALONG>::zeros();
    let mut by_width = SMatrix::<f64, ALONG, ALONG>::zeros();
    let mut mixed = SMatrix::<f64, ALONG, ALONG>::zeros();
    let mut sums = SVector::<f64, ALONG>::zeros();
    for (zeta, weight, g) in &reference.points {
        let width = wide + taper * zeta;
        for k in 0..ALONG {
            sums[k] += weight * width * g[k][0];
            for l in 0..ALONG {
                over_width[(k, l)] += weight * g[k][0] * g[l][0] / width;
                by_width[(k, l)] += weight * g[k][1] * g[l][1] * width;
                mixed[(k, l)] += weight * g[k][1] * g[l][0];
            }
        }
    }
    let mut stiffness = SMatrix::<f64, UNKNOWNS, UNKNOWNS>::zeros();
    let mut load = SVector::<f64, UNKNOWNS>::zeros();
    for i in 0..ACROSS {
        for k in 0..ALONG {
            let row = i * ALONG + k;
            load[row] = 2.0 * depth * reference.sums[i] * sums[k];
            for j in 0..ACROSS {
                for l in 0..ALONG {
                    let straight = depth * reference.slopes[(i, j)] * over_width[(k, l)];
                    let sloped = reference.values[(i, j)] * by_width[(k, l)]
                        - taper
                            * (reference.mixed[(j, i)] * mixed[(k, l)]
                                + reference.mixed[(i, j)] * mixed[(l, k)])
                        + taper * taper * reference.moments[(i, j)] * over_width[(k, l)];
                    stiffness[(row, j * ALONG + l)] = straight + sloped / depth;
                }
            }
        }
    }
    Some(load.dot(&stiffness.cholesky()?.solve(&load)))
}

/// Values and slopes of x (1 − x) Pᵢ(2x − 1), i = 0, 1, …, which vanish at both ends of 0..1.
fn bubbles(x: f64, count: usize) -> Vec<[f64; 2]> {
    legendre(2.0 * x - 1.0, count)
        .into_iter()
        .map(|[p, slope]| [x * (1.0 - x) * p, (1.0 - 2.0 * x) * p + 2.0 * x * (1.0 - x) * slope])
        .collect()
}

/// Legendre polynomials and their slopes, from degree 0.
fn legendre(t: f64, count: usize) -> Vec<[f64; 2]> {
    let mut all = vec![[1.0, 0.0], [t, 1.0]];
    for n in 1..count {
        let k = n as f64;
        let [p, dp] = all[n];
        let [q, dq] = all[n - 1];
        let next = ((2.0 * k + 1.0) * t * p - k * q) / (k + 1.0);
        let slope = ((2.0 * k + 1.0) * (p + t * dp) - k * dq) / (k + 1.0);
        all.push([next, slope]);
    }
    all.truncate(count);
    all
}

/// Gauss points and weights on 0..1, by Newton's rule on the Legendre polynomial.
fn gauss_points(count: usize) -> Vec<(f64, f64)> {
    (0..count)
        .map(|i| {
            let mut t = (std::f64::consts::PI * (i as f64 + 0.75) / (count as f64 + 0.5)).cos();
            let mut slope = 1.0;
            for _ in 0..20 {
                let [p, dp] = legendre(t, count + 1)[count];
                slope = dp;
                t -= p / dp;
            }
            (0.5 * (t + 1.0), 1.0 / ((1.0 - t * t) * slope * slope))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// The same problem by linear triangles and conjugate gradients, to have a solution that shares
    /// nothing with the code above.
    fn elements(wide: f64, narrow: f64, depth: f64, parts: usize) -> f64 {
        let node = |i: usize, j: usize| j * (parts + 1) + i;
        let at = |i: usize, j: usize| {
            let zeta = j as f64 / parts as f64;
            [(wide + (narrow - wide) * zeta) * i as f64 / parts as f64, depth * zeta]
        };
        // Two linear triangles to a cell: exact integrals, no mapping inside.
        let mut rows: Vec<Vec<(usize, f64)>> = vec![Vec::new(); (parts + 1) * (parts + 1)];
        let mut load = vec![0.0; rows.len()];
        for j in 0..parts {
            for i in 0..parts {
                let corners = [(i, j), (i + 1, j), (i + 1, j + 1), (i, j + 1)];
                for triangle in [[0, 1, 2], [0, 2, 3]] {
                    let p = triangle.map(|c| at(corners[c].0, corners[c].1));
                    let n = triangle.map(|c| node(corners[c].0, corners[c].1));
                    let twice =
                        (p[1][0] - p[0][0]) * (p[2][1] - p[0][1]) - (p[2][0] - p[0][0]) * (p[1][1] - p[0][1]);
                    let slope = [0, 1, 2].map(|k: usize| {
                        let (a, b) = (p[(k + 1) % 3], p[(k + 2) % 3]);
                        [(a[1] - b[1]) / twice, (b[0] - a[0]) / twice]
                    });
                    for k in 0..3 {
                        load[n[k]] += twice / 3.0;
                        for l in 0..3 {
                            let value = (slope[k][0] * slope[l][0] + slope[k][1] * slope[l][1]) * twice / 2.0;
                            rows[n[k]].push((n[l], value));
                        }
                    }
                }
            }
        }
        let free: Vec<bool> = (0..rows.len())
            .map(|n| {
                let (i, j) = (n % (parts + 1), n / (parts + 1));
                i > 0 && i < parts && j > 0 && j < parts
            })
            .collect();
        let times = |x: &[f64]| -> Vec<f64> {
            (0..x.len())
                .map(|n| if free[n] { rows[n].iter().map(|&(m, value)| value * x[m]).sum() } else { 0.0 })
                .collect()
        };
        let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();
        let mut x = vec![0.0; rows.len()];
        let mut r: Vec<f64> = (0..x.len()).map(|n| if free[n] { load[n] } else { 0.0 }).collect();
        let mut p = r.clone();
        let start = dot(&r, &r);
        while dot(&r, &r) > 1e-20 * start {
            let ap = times(&p);
            let alpha = dot(&r, &r) / dot(&p, &ap);
            let before = dot(&r, &r);
            for n in 0..x.len() {
                x[n] += alpha * p[n];
                r[n] -= alpha * ap[n];
            }
            let beta = dot(&r, &r) / before;
            for n in 0..p.len() {
                p[n] = r[n] + beta * p[n];
            }
        }
        dot(&load, &x)
    }

    /// Richardson's extrapolation of second-order values.
    fn prandtl(wide: f64, narrow: f64, depth: f64) -> f64 {
        let (coarse, fine) = (elements(wide, narrow, depth, 24), elements(wide, narrow, depth, 48));
        (4.0 * fine - coarse) / 3.0
    }

    #[test]
    fn the_numerical_solution_agrees_with_what_is_known() {
        for (a, b) in [(1.0, 1.0), (1.0, 2.0), (1.0, 4.0)] {
            assert_relative_eq!(prandtl(a, a, b), torsion_of_rectangle(a, b), max_relative = 3e-4);
        }
        // Half a square along its diagonal: 0.0261 a⁴ (handbooks; from memory).
        assert_relative_eq!(prandtl(1.0, 1e-9, 1.0), 0.0261, max_relative = 3e-3);
    }

    #[test]
    fn rectangles_have_the_book_values() {
        // Timoshenko & Goodier's table for a square and for 2 to 1: 0.1406 and 0.229 (from memory).
        assert_relative_eq!(torsion_of_rectangle(1.0, 1.0), 0.1406, max_relative = 1e-3);
        assert_relative_eq!(torsion_of_rectangle(1.0, 2.0), 2.0 * 0.229, max_relative = 2e-3);
    }

    #[test]
    fn the_torsion_of_a_trapezium_is_as_near_as_it_says() {
        let mut worst = 0.0_f64;
        for depth in [0.4, 0.7, 1.0, 1.6, 2.5, 4.0] {
            for narrow in [0.2, 0.35, 0.5, 0.7, 0.9] {
                let error = torsion_of_trapezium(1.0, narrow, depth) / prandtl(1.0, narrow, depth) - 1.0;
                worst = worst.max(error.abs());
            }
        }
        assert!(worst < TORSION_ERROR, "{worst}");
    }
}
