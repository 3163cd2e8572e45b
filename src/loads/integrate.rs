//! Integrals of a load intensity over the panels, worked out in two ways that share no code but the
//! intensity itself: by cutting panels into pieces on which it is smooth (what is applied), and by
//! strips across the panel (what was asked for).
//!
//! A panel carries the *mean* of the intensity over it, so totals do not depend on the mesh; how the
//! intensity varies within one panel is lost.

use crate::shell::{PanelId, Shell};
use crate::vector::Vec3;

/// Where an intensity jumps or kinks. Values are distances or less than distances (their slope is at most 1),
/// so that a panel far from a cut is known not to meet it.
pub(crate) enum Cut<'a> {
    /// A plane: normal·p = offset, with a unit normal.
    Plane(Vec3, f64),
    /// The zero of a function of position.
    Level(Box<dyn Fn(&Vec3) -> f64 + Sync + 'a>),
}

impl Cut<'_> {
    fn at(&self, point: &Vec3) -> f64 {
        match self {
            Cut::Plane(normal, offset) => normal.dot(point) - offset,
            Cut::Level(level) => level(point),
        }
    }
}

/// Value of an intensity on a panel at a point.
pub(crate) type Value<'a> = Box<dyn Fn(PanelId, &Vec3) -> f64 + Sync + 'a>;

/// An intensity over the shell, piecewise smooth.
pub(crate) struct Field<'a> {
    /// Value on a panel at a point \[the user's unit\].
    pub(crate) value: Value<'a>,
    /// Where it is not smooth.
    pub(crate) cuts: Vec<Cut<'a>>,
    /// Whether it is far from a polynomial between the cuts, so that panels are split once more.
    pub(crate) curved: bool,
    /// Whether it is the same all over a panel between the cuts, so that one look at a piece is enough.
    pub(crate) stepped: bool,
}

impl<'a> Field<'a> {
    /// An intensity with its cuts.
    pub(crate) fn new(value: impl Fn(PanelId, &Vec3) -> f64 + Sync + 'a, cuts: Vec<Cut<'a>>) -> Field<'a> {
        Field { value: Box::new(value), cuts, curved: false, stepped: false }
    }

    /// The same field, which is the same all over a panel between its cuts.
    pub(crate) fn stepped(self) -> Field<'a> {
        Field { stepped: true, ..self }
    }

    /// The same everywhere.
    pub(crate) fn uniform(value: f64) -> Field<'a> {
        Field::new(move |_, _| value, Vec::new()).stepped()
    }
}

/// Corners of a panel.
fn corners(shell: &Shell, panel: PanelId) -> Vec<Vec3> {
    shell.panels[panel.0].joints.iter().map(|&joint| shell.at(joint)).collect()
}

/// The cuts that a panel may meet.
fn met<'f, 'a>(corners: &[Vec3], field: &'f Field<'a>) -> Vec<&'f Cut<'a>> {
    let centre = corners.iter().sum::<Vec3>() / corners.len() as f64;
    let reach = corners.iter().map(|p| (p - centre).norm()).fold(0.0, f64::max) * (1.0 + 1e-9);
    field.cuts.iter().filter(|cut| cut.at(&centre).abs() <= reach).collect()
}

type Triangle = [Vec3; 3];

fn area(triangle: &Triangle) -> f64 {
    0.5 * (triangle[1] - triangle[0]).cross(&(triangle[2] - triangle[0])).norm()
}

/// A piece of a panel.
#[derive(Clone, Copy)]
struct Piece {
    corners: Triangle,
    /// No cut runs through it: it lies wholly on one side of each (of a curved cut by its slope, which is at most 1).
    clear: bool,
}

/// Mean of the field over a panel, by pieces.
pub(crate) fn mean(shell: &Shell, panel: PanelId, field: &Field<'_>) -> f64 {
    let mut whole = 0.0;
    let mut sum = 0.0;
    for piece in &pieces(&corners(shell, panel), field) {
        let area = area(&piece.corners);
        let value = |p: &Vec3| (field.value)(panel, p);
        if field.stepped && piece.clear {
            sum += area * value(&(piece.corners.iter().sum::<Vec3>() / 3.0));
        } else if field.curved {
            for part in quarters(&piece.corners) {
                sum += seven_points(&part, value);
            }
        } else {
            sum += seven_points(&piece.corners, value);
        }
        whole += area;
    }
    if whole > 0.0 { sum / whole } else { 0.0 }
}

/// A cut that passes a corner by less than this share of the panel passes through it: without it, a joint that
/// rounding puts a hair off the crown leaves slivers without size, which every further cut there would divide into
/// thousands more.
const SNAPPED: f64 = 1e-12;

/// A panel in pieces on which the field is smooth.
fn pieces(corners: &[Vec3], field: &Field<'_>) -> Vec<Piece> {
    let size = corners[1..].iter().map(|p| (p - corners[0]).norm()).fold(0.0, f64::max);
    let mut pieces: Vec<Piece> = fan(corners).map(|corners| Piece { corners, clear: true }).collect();
    for cut in met(corners, field) {
        let at = |point: &Vec3| Some(cut.at(point)).filter(|v| v.abs() > SNAPPED * size).unwrap_or(0.0);
        let mut next = Vec::with_capacity(2 * pieces.len() + 2);
        for piece in &pieces {
            match cut {
                Cut::Plane(..) => halves(piece, &at, &mut next),
                Cut::Level(_) => {
                    // What an earlier cut has made small is not quartered as often again.
                    let depth = (size / widest(&piece.corners)).log2().max(0.0) as usize;
                    let values = piece.corners.map(|p| at(&p));
                    quartered(piece, values, &at, depth.min(CURVED_DEPTH), &mut next);
                }
            }
        }
        pieces = next;
    }
    pieces
}

fn fan(corners: &[Vec3]) -> impl Iterator<Item = Triangle> + '_ {
    corners[1..].windows(2).map(|pair| [corners[0], pair[0], pair[1]])
}

/// Longest side \[m\].
fn widest([a, b, c]: &Triangle) -> f64 {
    [b - a, c - b, a - c].iter().map(|side| side.norm_squared()).fold(0.0, f64::max).sqrt()
}

fn quarters(t: &Triangle) -> [Triangle; 4] {
    let [a, b, c] = *t;
    let (ab, bc, ca) = ((a + b) * 0.5, (b + c) * 0.5, (c + a) * 0.5);
    [[a, ab, ca], [ab, b, bc], [ca, bc, c], [ab, bc, ca]]
}

/// How often a panel on a curved cut is quartered before the cut is taken as straight.
const CURVED_DEPTH: usize = 6;

/// How often a panel is quartered at least where a curve may bow in between the corners and middles of its sides.
const LOOKED_DEPTH: usize = 3;

/// Cuts a piece at a curve: by quarters down to [`CURVED_DEPTH`] wherever the curve may run, then by its chord.
///
/// `values` are those of the cut at the corners; those at the middles of the sides are looked at only where the
/// corners leave it open.
fn quartered(piece: &Piece, values: [f64; 3], at: &dyn Fn(&Vec3) -> f64, depth: usize, out: &mut Vec<Piece>) {
    let one_side = |values: &[f64]| values.iter().all(|&v| v >= 0.0) || values.iter().all(|&v| v <= 0.0);
    let widest = widest(&piece.corners);
    // From a corner farther off than the piece is wide the cut cannot be reached: its slope is at most 1.
    if values.iter().any(|v| v.abs() > widest * (1.0 + 1e-9)) {
        out.push(*piece);
        return;
    }
    if depth == CURVED_DEPTH {
        if one_side(&values) {
            out.push(Piece { clear: false, ..*piece });
        } else {
            chord(piece, values, false, out);
        }
        return;
    }
    let parts = quarters(&piece.corners);
    // The last quarter has the middles for corners.
    let [ab, bc, ca] = parts[3].map(|p| at(&p));
    let six = [values[0], values[1], values[2], ab, bc, ca];
    // Every point is within a quarter's circle of one of the six: farther from 0 than that, the cut cannot dip in
    // between them. On a piece of some size that is wanted, as a shallow bow of the curve would be lost with it.
    let apart = six.iter().all(|v| v.abs() > widest * 0.5 / 3.0_f64.sqrt());
    if one_side(&six) && (apart || depth >= LOOKED_DEPTH) {
        out.push(Piece { clear: false, ..*piece });
        return;
    }
    let own = [[values[0], ab, ca], [ab, values[1], bc], [ca, bc, values[2]], [ab, bc, ca]];
    for (corners, values) in parts.into_iter().zip(own) {
        quartered(&Piece { corners, ..*piece }, values, at, depth + 1, out);
    }
}

/// Cuts a piece at a plane.
fn halves(piece: &Piece, at: &dyn Fn(&Vec3) -> f64, out: &mut Vec<Piece>) {
    let values = piece.corners.map(|p| at(&p));
    if values.iter().all(|&v| v >= 0.0) || values.iter().all(|&v| v <= 0.0) {
        out.push(*piece);
    } else {
        chord(piece, values, piece.clear, out);
    }
}

/// The parts of a piece on either side of the straight line where values given at its corners are 0.
fn chord(piece: &Piece, values: [f64; 3], clear: bool, out: &mut Vec<Piece>) {
    let corners = &piece.corners;
    for sign in [1.0, -1.0] {
        let mut polygon = [Vec3::zeros(); 4];
        let mut count = 0;
        let mut push = |point: Vec3| {
            polygon[count] = point;
            count += 1;
        };
        for k in 0..3 {
            let (a, b) = (sign * values[k], sign * values[(k + 1) % 3]);
            if a >= 0.0 {
                push(corners[k]);
            }
            if (a > 0.0 && b < 0.0) || (a < 0.0 && b > 0.0) {
                push(corners[k] + (corners[(k + 1) % 3] - corners[k]) * (a / (a - b)));
            }
        }
        if count >= 3 {
            out.extend(fan(&polygon[..count]).map(|corners| Piece { corners, clear }));
        }
    }
}

/// Radon's seven-point rule, exact to degree 5 (J. Radon, Monatshefte für Mathematik 52, 1948; weights from memory,
/// held by a test).
fn seven_points(triangle: &Triangle, value: impl Fn(&Vec3) -> f64) -> f64 {
    let root = 15.0_f64.sqrt();
    let at = |a: f64, b: f64, c: f64| value(&(triangle[0] * a + triangle[1] * b + triangle[2] * c));
    let mut sum = 9.0 / 40.0 * at(1.0 / 3.0, 1.0 / 3.0, 1.0 / 3.0);
    for sign in [1.0, -1.0] {
        let near = (6.0 + sign * root) / 21.0;
        let far = 1.0 - 2.0 * near;
        let weight = (155.0 + sign * root) / 1200.0;
        sum += weight * (at(near, near, far) + at(near, far, near) + at(far, near, near));
    }
    sum * area(triangle)
}

const GAUSS: [(f64, f64); 6] = [
    (-0.932_469_514_203_152, 0.171_324_492_379_170),
    (-0.661_209_386_466_265, 0.360_761_573_048_139),
    (-0.238_619_186_083_197, 0.467_913_934_572_691),
    (0.238_619_186_083_197, 0.467_913_934_572_691),
    (0.661_209_386_466_265, 0.360_761_573_048_139),
    (0.932_469_514_203_152, 0.171_324_492_379_170),
];

/// Slabs between two corners where a cut is curved.
const SLABS: usize = 4;

/// Integral of the field over the true area of a panel, by strips: slices across an axis, each cut
/// where the field is not smooth.
pub(crate) fn by_strips(shell: &Shell, panel: PanelId, field: &Field<'_>) -> f64 {
    let corners = corners(shell, panel);
    let n = corners.len();
    let normal = shell.area_vector(panel).normalize();
    let mut axis = (corners[1] - corners[0]).normalize();
    let cuts = met(&corners, field);
    for cut in &cuts {
        if let Cut::Plane(direction, _) = cut {
            let inside = direction - normal * normal.dot(direction);
            if inside.norm() > 0.2 * direction.norm() {
                axis = inside.normalize();
                break;
            }
        }
    }
    let mut levels: Vec<f64> = corners.iter().map(|p| axis.dot(p)).collect();
    for k in 0..n {
        for crossing in crossings(&corners[k], &corners[(k + 1) % n], &cuts) {
            let at = corners[k] + (corners[(k + 1) % n] - corners[k]) * crossing;
            levels.push(axis.dot(&at));
        }
    }
    levels.sort_by(f64::total_cmp);
    levels.dedup_by(|a, b| (*a - *b).abs() < 1e-12);
    if cuts.iter().any(|cut| matches!(cut, Cut::Level(_))) {
        // A strip's end on a curve grows like a root where the curve touches the slab: narrower slabs.
        let last = levels.last().copied();
        let parts = |w: &[f64]| {
            std::array::from_fn::<f64, SLABS, _>(|k| w[0] + (w[1] - w[0]) * k as f64 / SLABS as f64)
        };
        levels = levels.windows(2).flat_map(parts).chain(last).collect();
    }
    let mut sum = 0.0;
    for slab in levels.windows(2) {
        let (middle, half) = (0.5 * (slab[0] + slab[1]), 0.5 * (slab[1] - slab[0]));
        for (node, weight) in GAUSS {
            if let Some((p, q)) = slice(&corners, &axis, middle + half * node) {
                sum += weight * half * along(panel, [&p, &q], field, &cuts);
            }
        }
    }
    sum
}

/// Places 0..1 between p and q where a cut is crossed, in order.
fn crossings(p: &Vec3, q: &Vec3, cuts: &[&Cut<'_>]) -> Vec<f64> {
    let mut places = Vec::new();
    for cut in cuts {
        match cut {
            Cut::Plane(..) => {
                let (a, b) = (cut.at(p), cut.at(q));
                if a * b < 0.0 {
                    places.push(a / (a - b));
                }
            }
            Cut::Level(level) => level_crossings(p, q, level, &mut places),
        }
    }
    places.sort_by(f64::total_cmp);
    places
}

/// Places 0..1 between p and q where a level is 0: where it changes sign between twelve looks, by halving.
///
/// Where the level is farther from 0 than the next looks are away it cannot change sign before them, for its slope
/// is at most 1: those looks are passed over.
fn level_crossings(p: &Vec3, q: &Vec3, level: &dyn Fn(&Vec3) -> f64, places: &mut Vec<f64>) {
    const LOOKS: usize = 12;
    let way = q - p;
    let at = |t: f64| level(&(p + way * t));
    let stride = way.norm() / LOOKS as f64 * (1.0 + 1e-9);
    let mut look = 0;
    let mut before = at(0.0);
    while look < LOOKS {
        let passed = before.abs() / stride;
        if passed > 1.0 {
            look += if passed < LOOKS as f64 { passed as usize } else { LOOKS };
            if look < LOOKS {
                before = at(look as f64 / LOOKS as f64);
            }
            continue;
        }
        let (mut low, mut high) = (look as f64 / LOOKS as f64, (look + 1) as f64 / LOOKS as f64);
        let after = at(high);
        if before * after < 0.0 {
            let mut value = before;
            for _ in 0..40 {
                let middle = 0.5 * (low + high);
                let there = at(middle);
                if value * there <= 0.0 {
                    high = middle;
                } else {
                    low = middle;
                    value = there;
                }
            }
            places.push(0.5 * (low + high));
        }
        before = after;
        look += 1;
    }
}

fn slice(corners: &[Vec3], axis: &Vec3, level: f64) -> Option<(Vec3, Vec3)> {
    let n = corners.len();
    let mut met = Vec::with_capacity(2);
    for k in 0..n {
        let (p, q) = (corners[k], corners[(k + 1) % n]);
        let (a, b) = (axis.dot(&p) - level, axis.dot(&q) - level);
        if (a > 0.0) != (b > 0.0) {
            met.push(p + (q - p) * (a / (a - b)));
        }
    }
    if met.len() == 2 { Some((met[0], met[1])) } else { None }
}

fn along(panel: PanelId, [p, q]: [&Vec3; 2], field: &Field<'_>, cuts: &[&Cut<'_>]) -> f64 {
    let length = (q - p).norm();
    let mut places = crossings(p, q, cuts);
    places.insert(0, 0.0);
    places.push(1.0);
    let mut sum = 0.0;
    for part in places.windows(2) {
        let (middle, half) = (0.5 * (part[0] + part[1]), 0.5 * (part[1] - part[0]));
        if field.stepped {
            sum += 2.0 * half * (field.value)(panel, &(p + (q - p) * middle));
            continue;
        }
        for (node, weight) in GAUSS {
            sum += weight * half * (field.value)(panel, &(p + (q - p) * (middle + half * node)));
        }
    }
    sum * length
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::loads::test_shells::one_panel;

    #[test]
    fn both_ways_are_exact_for_a_polynomial_and_agree_on_a_jump() {
        let shell = one_panel(&[[0.0, 0.0, 0.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0]]);
        let field = Field::new(|_, p: &Vec3| p.x * p.x * p.y, Vec::new());
        // ∫ x² y over the unit triangle = 2!·1!/5! = 1/60.
        assert!((mean(&shell, PanelId(0), &field) * 0.5 - 1.0 / 60.0).abs() < 1e-14);
        assert!((by_strips(&shell, PanelId(0), &field) - 1.0 / 60.0).abs() < 1e-14);
        let jump =
            Field::new(|_, p: &Vec3| if p.x > 0.25 { 2.0 } else { -1.0 }, vec![Cut::Plane(Vec3::x(), 0.25)]);
        let exact = 2.0 * (0.5 * 0.75 * 0.75) - (0.5 - 0.5 * 0.75 * 0.75);
        assert!((mean(&shell, PanelId(0), &jump) * 0.5 - exact).abs() < 1e-13);
        assert!((by_strips(&shell, PanelId(0), &jump) - exact).abs() < 1e-13);
    }

    #[test]
    fn a_circle_is_found_by_both() {
        let shell = one_panel(&[[0.0, 0.0, 0.0], [2.0, 0.0, 0.0], [0.0, 2.0, 0.0]]);
        let inside = |p: &Vec3| 1.0 - p.x.hypot(p.y);
        let field = Field::new(
            move |_, p: &Vec3| if inside(p) > 0.0 { 1.0 } else { 0.0 },
            vec![Cut::Level(Box::new(inside))],
        );
        let quarter = std::f64::consts::FRAC_PI_4;
        // Chords of at most 2√2/64 m leave segments of chord²·arc/12 = 2.6e-4 m² beyond them.
        let chord = 2.0 * std::f64::consts::SQRT_2 / 64.0;
        let left = chord * chord * std::f64::consts::FRAC_PI_2 / 12.0;
        let found = mean(&shell, PanelId(0), &field) * 2.0;
        assert!(found <= quarter && found > quarter - left, "{found}");
        assert!((by_strips(&shell, PanelId(0), &field) - quarter).abs() < 5e-4 * quarter);
    }

    /// Found by random projects: the edge of the steep part of a coarse shell bowed into a panel between the corners
    /// and middles that were looked at, and a thousandth of the snow was lost.
    #[test]
    fn a_shallow_bow_between_the_looks_is_found_by_both() {
        let shell = one_panel(&[[0.0, 0.0, 0.0], [2.0, 0.0, 0.0], [0.0, 2.0, 0.0]]);
        let (radius, below): (f64, f64) = (3.04, 3.0);
        let inside = move |p: &Vec3| radius - (p.x - 0.5).hypot(p.y + below);
        let field = Field::new(
            move |_, p: &Vec3| if inside(p) > 0.0 { 1.0 } else { 0.0 },
            vec![Cut::Level(Box::new(inside))],
        );
        let segment =
            radius * radius * (below / radius).acos() - below * (radius * radius - below * below).sqrt();
        let found = mean(&shell, PanelId(0), &field) * 2.0;
        assert!((found - segment).abs() < 0.01 * segment, "{found} for {segment}");
        let asked = by_strips(&shell, PanelId(0), &field);
        assert!((asked - segment).abs() < 0.01 * segment, "{asked} for {segment}");
    }

    /// Found by random projects: sectors of drifted snow all meet at the crown, and a joint there is a hair off it.
    #[test]
    fn cuts_that_meet_a_hair_off_a_corner_do_not_multiply_the_pieces() {
        let corners = [Vec3::new(1.0e-17, -3.0e-17, 0.0), Vec3::new(1.0, 0.0, 0.0), Vec3::new(0.6, 0.8, 0.0)];
        let angles = [-0.3, 0.0, 0.2, 0.5, 0.7, (0.8_f64).atan2(0.6), 1.2];
        let cuts = angles.into_iter().map(|angle: f64| {
            let (sin, cos) = angle.sin_cos();
            Cut::Level(Box::new(move |p: &Vec3| p.x * sin - p.y * cos) as Box<dyn Fn(&Vec3) -> f64 + Sync>)
        });
        let field = Field::new(|_, _: &Vec3| 1.0, cuts.collect());
        let pieces = pieces(&corners, &field);
        assert!(pieces.len() < 5000, "{}", pieces.len());
        let whole: f64 = pieces.iter().map(|piece| area(&piece.corners)).sum();
        assert!((whole - 0.4).abs() < 1e-13, "{whole}");
        assert!(pieces.iter().all(|piece| area(&piece.corners) > 1e-14), "a piece without size");
    }
}
