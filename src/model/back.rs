//! The way back: bar forces → forces along members → forces in strips.

use crate::frame::bar::{self, BarLine};
use crate::frame::line_loads::{in_order, take};
use crate::frame::{BarForces, BarLoad, FrameLoads, Response};
use crate::model::timbers::Timber;
use crate::section::forces::StripForces;
use crate::section::strip::pitch;
use crate::shell::{MemberId, Shell};

/// Where each member is looked at, from its first joint \[m\]: quarter points, and every place at which
/// a line load starts, ends or bends. Between two neighbours every load is linear, so shear is
/// quadratic and moment cubic.
#[must_use]
pub fn stations(shell: &Shell, loads: &[FrameLoads]) -> Vec<Vec<f64>> {
    let mut at: Vec<Vec<f64>> = (0..shell.members.len())
        .map(|i| {
            let length = shell.length(MemberId(i));
            (0..=4).map(|k| length * f64::from(k) / 4.0).collect()
        })
        .collect();
    for load in loads.iter().flat_map(|l| &l.bars) {
        at[load.bar.0].extend(load.span);
    }
    for (i, list) in at.iter_mut().enumerate() {
        let length = shell.length(MemberId(i));
        list.retain(|x| (0.0..=length).contains(x));
        list.sort_by(f64::total_cmp);
        list.dedup_by(|b, a| *b - *a <= 1e-6 * length);
    }
    at
}

/// Forces at the stations of every member under every case, one after the other in memory.
#[derive(Debug, Clone, Default)]
pub struct Along {
    /// Where each member's stations begin among those of one case, and where the last one's end.
    starts: Vec<usize>,
    /// Case after case, member after member, station after station.
    forces: Vec<Numbers>,
}

/// Forces in a bar as numbers in a row: N, Vy, Vz, T, My, Mz.
pub type Numbers = [f64; 6];

/// Forces in a bar, from numbers in a row.
#[must_use]
pub fn forces(&[n, vy, vz, t, my, mz]: &Numbers) -> BarForces {
    BarForces { n, vy, vz, t, my, mz }
}

/// The same the other way round.
#[must_use]
pub fn numbers(f: &BarForces) -> Numbers {
    [f.n, f.vy, f.vz, f.t, f.my, f.mz]
}

impl Along {
    /// With no case yet.
    #[must_use]
    pub fn new(stations: &[Vec<f64>]) -> Self {
        let mut starts = vec![0];
        let mut end = 0;
        starts.extend(stations.iter().map(|list| {
            end += list.len();
            end
        }));
        Self { starts, forces: Vec::new() }
    }

    /// Adds a case.
    pub fn push(
        &mut self,
        lines: &[BarLine],
        (response, loads): (&Response, &FrameLoads),
        stations: &[Vec<f64>],
    ) {
        along((lines, response, loads), stations, |_, _, _| [0.0; 2], &mut self.forces);
    }

    /// Adds a second-order answer as a case: its moments are those of both ends of a member, whichever is the first.
    pub fn push_second_order(
        &mut self,
        lines: &[BarLine],
        (response, loads): (&Response, &FrameLoads),
        stations: &[Vec<f64>],
    ) {
        along((lines, response, loads), stations, bar::turned_with_chord, &mut self.forces);
    }

    /// Forces of one member at its stations under one case.
    #[must_use]
    pub fn at(&self, case: usize, member: usize) -> &[Numbers] {
        let all = self.starts.last().copied().unwrap_or(0);
        &self.forces[case * all + self.starts[member]..case * all + self.starts[member + 1]]
    }

    /// The same for a weighted sum of cases.
    pub fn sum(&self, terms: impl Iterator<Item = (usize, f64)>, member: usize, out: &mut Vec<Numbers>) {
        out.clear();
        out.resize(self.starts[member + 1] - self.starts[member], Numbers::default());
        for (case, factor) in terms {
            // Plain rows of numbers, so that several are added at a time.
            let from = self.at(case, member).as_flattened();
            for (sum, part) in out.as_flattened_mut().iter_mut().zip(from) {
                *sum += factor * part;
            }
        }
    }
}

/// Appends the forces of one case at the stations of every member, whose bars lie along `lines`; `turned` says what the moments of
/// each gain per metre ([`bar::turned_with_chord`]).
fn along(
    (lines, response, loads): (&[BarLine], &Response, &FrameLoads),
    stations: &[Vec<f64>],
    turned: impl Fn(&BarLine, &[BarForces; 2], &[BarLoad]) -> [f64; 2],
    out: &mut Vec<Numbers>,
) {
    let ordered = in_order(&loads.bars);
    let mut rest = &*ordered;
    for (i, line) in lines.iter().enumerate() {
        let (own, ends) = (take(&mut rest, i), &response.bar_ends[i]);
        let gain = turned(line, ends, own);
        let at = |&x: &f64| numbers(&bar::forces_on_chord(line, ends, own, gain, x));
        out.extend(stations[i].iter().map(at));
    }
}

/// The places of one member that a check must look at: its stations, and the peaks of either moment
/// between them.
pub fn places(at: &[f64], along: &[Numbers], out: &mut Vec<(f64, BarForces)>) {
    out.clear();
    out.extend(at.iter().copied().zip(along.iter().map(forces)));
    peaks(at, along, |x, f| out.push((x, f)));
}

/// Shears below this share of the greatest along a member are rounding.
const SHEAR_NOISE: f64 = 1e-9;

/// The peaks of either moment of one member between its stations.
///
/// A peak is where the shear changes sign; its place is taken from the straight line between the
/// two shears and the moment there from the cubic that fits both ends' moments and shears
/// (dMy/dx = Vz, dMz/dx = −Vy), which is exact wherever the load is uniform between stations.
pub fn peaks(at: &[f64], along: &[Numbers], mut visit: impl FnMut(f64, BarForces)) {
    // A shear that is rounding changes its sign by chance.
    let most = along.iter().flat_map(|f| [f[1].abs(), f[2].abs()]).fold(0.0, f64::max);
    for (x, f) in at.windows(2).zip(along.windows(2)) {
        let ([_, vy_a, vz_a, ..], [_, vy_b, vz_b, ..]) = (f[0], f[1]);
        for (a, b) in [(vz_a, vz_b), (vy_a, vy_b)] {
            if a * b < 0.0 && a.abs().max(b.abs()) > SHEAR_NOISE * most {
                let peak = x[0] + (x[1] - x[0]) * a / (a - b);
                visit(peak, between(x[0], x[1], &forces(&f[0]), &forces(&f[1]), peak));
            }
        }
    }
}

/// What the forces along a member keep between, from end to end: N, Vy, Vz, T, My, Mz.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Kept {
    /// Nowhere less.
    pub least: Numbers,
    /// Nowhere more.
    pub most: Numbers,
}

/// Share of what is summed that rounding may move a sum of [`Kept`] by: far more than it does.
const SUMMED: f64 = 1e-12;

impl Kept {
    /// Of forces at stations and, as [`between`] has them, between those: a cubic keeps within its four Bézier points, at
    /// its ends and a third of the way along the slopes there.
    #[must_use]
    pub fn of(at: &[f64], along: &[Numbers]) -> Self {
        let mut kept = Self { least: [f64::INFINITY; 6], most: [f64::NEG_INFINITY; 6] };
        let mut take = |part: usize, value: f64| {
            kept.least[part] = kept.least[part].min(value);
            kept.most[part] = kept.most[part].max(value);
        };
        for station in along {
            for (part, value) in station.iter().enumerate() {
                take(part, *value);
            }
        }
        for (x, f) in at.windows(2).zip(along.windows(2)) {
            let third = (x[1] - x[0]) / 3.0;
            let ([_, vy_a, vz_a, _, my_a, mz_a], [_, vy_b, vz_b, _, my_b, mz_b]) = (f[0], f[1]);
            take(4, my_a + third * vz_a);
            take(4, my_b - third * vz_b);
            take(5, mz_a - third * vy_a);
            take(5, mz_b + third * vy_b);
        }
        // Least and most pass over what is no number.
        if !along.iter().flatten().map(|value| value.abs()).sum::<f64>().is_finite() {
            return Self { least: [f64::NEG_INFINITY; 6], most: [f64::INFINITY; 6] };
        }
        kept
    }

    /// Of a weighted sum of cases.
    #[must_use]
    pub fn sum(cases: &[Self], terms: &[(usize, f64)]) -> Self {
        let (mut least, mut most, mut size) = ([0.0; 6], [0.0; 6], [0.0; 6]);
        for &(case, factor) in terms {
            let Self { least: low, most: high } = &cases[case];
            let (low, high) = if factor < 0.0 { (high, low) } else { (low, high) };
            for part in 0..6 {
                least[part] += factor * low[part];
                most[part] += factor * high[part];
                size[part] += factor.abs() * low[part].abs().max(high[part].abs());
            }
        }
        for part in 0..6 {
            least[part] -= SUMMED * size[part];
            most[part] += SUMMED * size[part];
        }
        Self { least, most }
    }
}

/// Forces at `x` between two stations `a` and `b`: straight lines, and for the moments the cubic
/// that fits both ends' moments and shears (dMy/dx = Vz, dMz/dx = −Vy).
#[must_use]
pub fn between(a: f64, b: f64, fa: &BarForces, fb: &BarForces, x: f64) -> BarForces {
    let h = b - a;
    let t = if h > 0.0 { ((x - a) / h).clamp(0.0, 1.0) } else { 0.0 };
    let line = |a: f64, b: f64| a + (b - a) * t;
    let (t2, t3) = (t * t, t * t * t);
    let cubic = |m0: f64, s0: f64, m1: f64, s1: f64| {
        (2.0 * t3 - 3.0 * t2 + 1.0) * m0
            + (t3 - 2.0 * t2 + t) * h * s0
            + (3.0 * t2 - 2.0 * t3) * m1
            + (t3 - t2) * h * s1
    };
    BarForces {
        n: line(fa.n, fb.n),
        vy: line(fa.vy, fb.vy),
        vz: line(fa.vz, fb.vz),
        t: line(fa.t, fb.t),
        my: cubic(fa.my, fa.vz, fb.my, fb.vz),
        mz: cubic(fa.mz, -fa.vy, fb.mz, -fb.vy),
    }
}

/// Forces at x between the stations on either side (exact at a station and for uniform load).
#[must_use]
pub fn at_place(stations: &[f64], along: &[Numbers], x: f64) -> BarForces {
    let Some(i) = stations.windows(2).position(|w| x <= w[1] + 1e-12) else {
        return along.last().map(forces).unwrap_or_default();
    };
    let [from, to] = [i, i + 1].map(|i| forces(&along[i]));
    between(stations[i], stations[i + 1], &from, &to, x)
}

/// What one strip carries of a member's forces.
///
/// Strips lie side by side along y and act in parallel: each takes an equal share of everything ([`Timber::sharing`]),
/// but for composite action: of the moment about z the strips' own stiffness takes
/// `count × I_strip / I_whole`, and the rest is a couple of axial forces in the outer strips.
/// The answer is the strip in which that couple pulls (`couple` +1) or pushes (−1).
#[must_use]
pub fn strip_forces(whole: &BarForces, timber: &Timber, couple: f64) -> StripForces {
    let (n, sharing) = (timber.count as f64, timber.sharing());
    let own = n * timber.strip.second_moment_z / timber.whole.second_moment_z;
    let coupled = whole.mz * (1.0 - own);
    // Strips at y_k = (k − (n − 1)/2)·p: the outer one carries M·y_max / Σ y².
    let pitch = pitch(&timber.strip);
    let reach = 0.5 * (n - 1.0) * pitch;
    let spread = n * (n * n - 1.0) / 12.0 * pitch * pitch;
    let pair = if spread > 0.0 { couple * coupled.abs() * reach / spread } else { 0.0 };
    StripForces {
        n: whole.n / sharing + pair,
        vy: whole.vy / sharing,
        vz: whole.vz / sharing,
        t: whole.t / sharing,
        my: whole.my / sharing,
        mz: whole.mz * own / sharing,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A uniform load w on a span L between two stations at its ends only: the peak must be w L²/8.
    #[test]
    fn the_peak_between_two_stations_is_exact_for_a_uniform_load() {
        let (w, l) = (3.0, 4.0);
        let ends = [[0.0, 0.0, 0.5 * w * l, 0.0, 0.0, 0.0], [0.0, 0.0, -0.5 * w * l, 0.0, 0.0, 0.0]];
        let mut out = Vec::new();
        places(&[0.0, l], &ends, &mut out);
        assert_eq!(out.len(), 3);
        let (x, f) = out[2];
        assert!((x - 2.0).abs() < 1e-12 && (f.my - w * l * l / 8.0).abs() < 1e-12);
        // What is rounding beside the shear of the other direction has no peak.
        let noise = ends.map(|[n, _, v, t, my, mz]| [n, -1e-16 * v, v, t, my, mz]);
        places(&[0.0, l], &noise, &mut out);
        assert_eq!(out.len(), 3);
    }
}
