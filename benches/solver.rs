//! Assembly, factorisation, solve of 24 cases and four buckling factors of geodesic shells.
//!
//! `cargo bench --bench solver`, or one part of it: `cargo bench --bench solver -- solve/8`. The comparison with
//! other solvers on the same matrices is `tests/outside/bench_solver.py`.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    missing_docs,
    unreachable_pub,
    reason = "a benchmark may stop at the first surprise and is nobody's library"
)]

mod dome;

use std::hint::black_box;
use std::time::Duration;

use criterion::{BenchmarkId, Criterion, SamplingMode, criterion_group, criterion_main};
use dome::{CASES, FREQUENCIES};
use faer::Mat;
use strutwise_frame::BarId;
use strutwise_frame::assemble::Assembly;
use strutwise_frame::factor::Symbolic;
use strutwise_frame::linear::Solver;
use strutwise_frame::low_rank::without_bars;

fn solver(criterion: &mut Criterion) {
    for frequency in FREQUENCIES {
        let frame = dome::frame(frequency);
        let load = dome::load(&frame);
        let ready = Solver::new(&frame).unwrap();
        let id = |part: &str| BenchmarkId::new(part, format!("{frequency} ({} unknowns)", ready.unknowns()));
        let mut group = criterion.benchmark_group("solver");
        group.sample_size(10).sampling_mode(SamplingMode::Flat);
        group.warm_up_time(Duration::from_millis(300)).measurement_time(Duration::from_secs(2));

        group.bench_function(id("assembly"), |b| {
            b.iter(|| {
                let assembly = Assembly::new(black_box(&frame)).unwrap();
                assembly.stiffness(&frame)
            });
        });
        group.bench_function(id("factorisation"), |b| {
            b.iter(|| {
                let symbolic = Symbolic::new(ready.assembly()).unwrap();
                symbolic.cholesky(ready.assembly(), black_box(ready.stiffness())).unwrap()
            });
        });
        // With all that belongs to it: right-hand sides, refinement, forces of bars, the check of equilibrium.
        let loads = vec![load.clone(); CASES];
        group.bench_function(id("solve 24 cases"), |b| b.iter(|| ready.solve(black_box(&loads)).unwrap()));
        let response = ready.solve(std::slice::from_ref(&load)).unwrap().remove(0);
        group.bench_function(id("four buckling factors"), |b| {
            b.iter(|| ready.buckling(black_box(&response), 4).unwrap());
        });
        // Loss of one bar, 24 cases: from the factor of the whole frame, and from a factor of its own (pattern kept). The
        // first must agree with the second, or the comparison is of nothing.
        let gone = [BarId(frame.bars.len() / 2)];
        let mut softer = frame.clone();
        softer.bars[gone[0].0].section.area *= 1e-12;
        softer.bars[gone[0].0].section.elastic *= 1e-12;
        softer.bars[gone[0].0].section.shear *= 1e-12;
        let reduced = ready.assembly().stiffness(&softer);
        let (symbolic, factor) = ready.factor().unwrap().unwrap();
        let right = Mat::from_fn(ready.unknowns(), CASES, |i, j| ((i * 31 + j * 17) % 23) as f64 - 11.0);
        let mut whole = right.clone();
        factor.solve(whole.as_mut());
        let low = without_bars(&ready, &gone, &whole).unwrap();
        let mut full = right.clone();
        symbolic.cholesky(ready.assembly(), &reduced).unwrap().solve(full.as_mut());
        assert!((&low - &full).norm_l2() <= 1e-9 * full.norm_l2(), "the two ways differ");
        group.bench_function(id("loss of a bar, low rank"), |b| {
            b.iter(|| without_bars(&ready, &gone, black_box(&whole)).unwrap());
        });
        group.bench_function(id("loss of a bar, refactorised"), |b| {
            b.iter(|| {
                let mut out = right.clone();
                symbolic.cholesky(ready.assembly(), black_box(&reduced)).unwrap().solve(out.as_mut());
                out
            });
        });
        group.finish();
    }
}

criterion_group!(benches, solver);
criterion_main!(benches);
