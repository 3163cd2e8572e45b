//! Studies against the plain loop of whole checks, in one run: `cargo bench --bench study -- [TIMBERS]`. What it printed is
//! in `docs/solver.md`.
//!
//! One thread and two give the same rows, and every row that the loop works out again, on its own and from the shape on, is
//! the study's to the last bit; or this ends with an error.

#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    clippy::panic,
    reason = "a measurement prints and may end"
)]

use std::path::Path;
use std::time::Instant;

use strutwise::assess::{find, findings};
use strutwise::project::schema_study::SectionAsk;
use strutwise::project::{Asked, Project, read};
use strutwise::shell;
use strutwise::study::compare::{choices, compare, with};
use strutwise::study::row::row;
use strutwise::study::{Quiet, loss};

fn project() -> Project {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/propagation-tunnel.toml");
    match read(&file) {
        Ok(Asked::Shell(project)) => *project,
        other => panic!("{other:?}"),
    }
}

fn main() {
    let count: usize = std::env::args().skip(1).find_map(|a| a.parse().ok()).unwrap_or(100);
    let mut project = project();
    project.study.compare.sections = (0..count)
        .map(|i| SectionAsk {
            breadth: 0.036 + 0.001 * (i % 25) as f64,
            depth: 0.070 + 0.005 * (i / 25) as f64,
        })
        .collect();
    let (list, _) = choices(&project);
    let time = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        let start = Instant::now();
        let found = pool.install(|| compare(&project, &Quiet)).unwrap();
        (start.elapsed().as_secs_f64(), found)
    };
    let (one, first) = time(1);
    let (two, second) = time(2);
    assert!(first == second, "one and two threads differ");
    println!("{} timbers, all combinations, all models", list.len());
    println!("  study, one thread   {one:8.3} s");
    println!("  study, two threads  {two:8.3} s   ({:.2} times)", one / two);
    // The plain loop on some of them, spread over the list: it is the same work each time.
    let some: Vec<_> = list.iter().step_by(list.len().div_ceil(20)).collect();
    let mut loop_time = 0.0;
    for choice in &some {
        let own = with(&project, choice);
        let start = Instant::now();
        let single = row(&find(&own).unwrap());
        loop_time += start.elapsed().as_secs_f64();
        let same = second.candidates.iter().find(|c| {
            c.breadth.to_bits() == choice.section.breadth.to_bits()
                && c.depth.to_bits() == choice.section.depth.to_bits()
        });
        assert!(same.and_then(|c| c.row.as_ref()) == Some(&single), "rows differ");
    }
    let all = list.len() as f64 / some.len() as f64;
    println!(
        "  plain loop of whole checks, two threads in each, {:8.3} s   (from {})",
        loop_time * all,
        some.len()
    );
    println!("  loop of whole checks over study, two threads: {:.2} times", loop_time * all / two);
    // Parts of one row.
    let built = shell::build(&project.shell).unwrap();
    let start = Instant::now();
    for _ in 0..10 {
        let _ = shell::build(&project.shell).unwrap();
    }
    println!("  shell::build  {:8.3} ms", start.elapsed().as_secs_f64() * 100.0);
    let start = Instant::now();
    for _ in 0..10 {
        let _ = strutwise::assess::setup::finish(&project, built.clone()).unwrap();
    }
    println!("  setup::finish {:8.3} ms", start.elapsed().as_secs_f64() * 100.0);
    for kind in project.joints.models.clone() {
        let mut lean = project.clone();
        lean.joints.models = vec![kind];
        let setup = strutwise::assess::setup::finish(&lean, built.clone()).unwrap();
        let start = Instant::now();
        for _ in 0..5 {
            let _ = findings::find_in(&lean, setup.clone()).unwrap();
        }
        println!("  find_in {kind:?} {:8.3} ms", start.elapsed().as_secs_f64() * 200.0);
        let run = strutwise::assess::run::Run::new(&setup, kind, lean.joints.feet).unwrap();
        if run.is_mechanism() {
            continue;
        }
        let start = Instant::now();
        for _ in 0..5 {
            let _ = strutwise::assess::run::Run::new(&setup, kind, lean.joints.feet).unwrap();
        }
        println!("    Run::new  {:8.3} ms", start.elapsed().as_secs_f64() * 200.0);
        let states: Vec<_> = setup.combinations.iter().map(strutwise::assess::run::State::of).collect();
        let design = strutwise::assess::conditions::design_stiffness(&lean, &setup.grade);
        let start = Instant::now();
        let stability = strutwise::assess::buckling::buckling(&run, &setup.combinations, design).unwrap();
        println!("    buckling  {:8.3} ms", start.elapsed().as_secs_f64() * 1e3);
        let start = Instant::now();
        let asked = strutwise::assess::seams_asked::SeamsAsked::of_all(&setup, &run);
        let ready = strutwise::assess::ready::Ready::new(&lean, &setup).unwrap();
        println!("    seams     {:8.3} ms", start.elapsed().as_secs_f64() * 1e3);
        let start = Instant::now();
        let _ = strutwise::assess::check::timbers(&setup, &run, &states, &asked, &ready);
        println!("    timbers   {:8.3} ms", start.elapsed().as_secs_f64() * 1e3);
        let start = Instant::now();
        let _ = strutwise::assess::demand::fixings(&setup, &states, &asked, &ready);
        println!("    fixings   {:8.3} ms", start.elapsed().as_secs_f64() * 1e3);
        let start = Instant::now();
        let _ = strutwise::assess::paths::limit(&run, &setup, &stability, design).unwrap();
        println!("    path      {:8.3} ms", start.elapsed().as_secs_f64() * 1e3);
    }
    let start = Instant::now();
    let lost = loss::losses(&project, &Quiet).unwrap();
    let took = start.elapsed().as_secs_f64();
    println!("loss of each of {} parts by refactorisation {took:8.3} s", lost.losses.len());
}
