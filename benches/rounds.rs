//! The solver's side of `tests/outside/bench_solver.py`: writes its matrices and times itself on demand.
//!
//! Takes a folder and reads orders from standard input, one a line; answers each with a line of JSON:
//!
//! - `export F`: `k_F.mtx` and `b_F.mtx` (stiffness, and geometric stiffness with its sign turned) in Matrix
//!   Market form, unknowns in the order of the joints;
//! - `solve F N [nodes|supernodes]`: seconds for ordering, analysis, factor and 24 right-hand sides, the mean of N
//!   repetitions; by nodes or by supernodes, or as the solver chooses by size;
//! - `buckle F`: seconds for the same up to the factor, four buckling factors and the inertia count;
//! - `memory F`: largest resident memory while factorising beyond what was there before, and the size of the factor.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stdout,
    missing_docs,
    unreachable_pub,
    reason = "a benchmark may stop at the first surprise and is nobody's library"
)]

mod dome;

use std::fs;
use std::io::{self, BufRead, BufWriter, Write};
use std::path::{Path, PathBuf};
use std::time::Instant;

use faer::Mat;
use strutwise_frame::assemble::Assembly;
use strutwise_frame::eigen::Pencil;
use strutwise_frame::factor::Symbolic;
use strutwise_frame::linear::Solver;
use strutwise_frame::{Frame, geometric};

fn main() {
    // `cargo bench` without a folder: nothing to do.
    let Some(folder) = std::env::args().skip(1).find(|a| !a.starts_with("--")).map(PathBuf::from) else {
        return;
    };
    for line in io::stdin().lock().lines() {
        let line = line.unwrap();
        let words: Vec<&str> = line.split_whitespace().collect();
        let frequency: usize = words[1].parse().unwrap();
        let frame = dome::frame(frequency);
        match words[0] {
            "export" => export(&folder, frequency, &frame),
            "solve" => solve(&frame, words[2].parse().unwrap(), words.get(3).copied()),
            "buckle" => buckle(&frame),
            "memory" => memory(&frame),
            other => panic!("unknown order {other}"),
        }
        io::stdout().flush().unwrap();
    }
}

/// Position of every unknown counted joint by joint, so that other solvers do not start from this one's order.
fn natural(assembly: &Assembly) -> Vec<usize> {
    let mut order: Vec<usize> = (0..assembly.unknowns).collect();
    order.sort_by_key(|u| (assembly.freedom[*u].0, assembly.freedom[*u].1));
    let mut place = vec![0; order.len()];
    for (position, unknown) in order.into_iter().enumerate() {
        place[unknown] = position;
    }
    place
}

/// Right-hand sides that both sides of the comparison can write down.
fn right(place: &[usize]) -> Mat<f64> {
    Mat::from_fn(place.len(), dome::CASES, |i, c| (1.0 + place[i] as f64 + 0.37 * c as f64).cos())
}

fn destabilising(frame: &Frame, solver: &Solver) -> Vec<f64> {
    let response = solver.solve(&[dome::load(frame)]).unwrap().remove(0);
    let turned: Vec<f64> = geometric::axial_forces(&response).iter().map(|n| -n).collect();
    geometric::PerUnit::new(frame, solver.assembly()).assemble(solver.assembly(), &turned)
}

fn export(folder: &Path, frequency: usize, frame: &Frame) {
    let solver = Solver::new(frame).unwrap();
    let assembly = solver.assembly();
    let place = natural(assembly);
    let b = destabilising(frame, &solver);
    for (name, values) in [("k", solver.stiffness()), ("b", &b)] {
        let file = fs::File::create(folder.join(format!("{name}_{frequency}.mtx"))).unwrap();
        let mut out = BufWriter::new(file);
        let n = assembly.unknowns;
        writeln!(out, "%%MatrixMarket matrix coordinate real symmetric").unwrap();
        writeln!(out, "{n} {n} {}", values.len()).unwrap();
        for column in 0..n {
            for at in assembly.column_start[column] as usize..assembly.column_start[column + 1] as usize {
                let (i, j) = (place[assembly.row[at] as usize], place[column]);
                writeln!(out, "{} {} {:e}", i.max(j) + 1, i.min(j) + 1, values[at]).unwrap();
            }
        }
        out.flush().unwrap();
    }
    println!("{{\"unknowns\": {}}}", assembly.unknowns);
}

fn solve(frame: &Frame, repetitions: usize, way: Option<&str>) {
    let values = {
        let assembly = Assembly::new(frame).unwrap();
        assembly.stiffness(frame)
    };
    let rights = right(&natural(&Assembly::new(frame).unwrap()));
    let mut parts = [0.0; 4];
    let mut size = 0.0;
    for _ in 0..repetitions {
        let mut answer = rights.clone();
        let start = Instant::now();
        // The order of elimination is found here, with the pattern and the geometry of the bars.
        let assembly = Assembly::new(frame).unwrap();
        let ordered = start.elapsed().as_secs_f64();
        let symbolic = match way {
            Some("nodes") => Symbolic::by_nodes(&assembly),
            Some("supernodes") => Symbolic::by_supernodes(&assembly).unwrap(),
            _ => Symbolic::new(&assembly).unwrap(),
        };
        let analysed = start.elapsed().as_secs_f64();
        let factor = symbolic.cholesky(&assembly, &values).unwrap();
        let factored = start.elapsed().as_secs_f64();
        factor.solve(answer.as_mut());
        let solved = start.elapsed().as_secs_f64();
        for (part, time) in
            parts.iter_mut().zip([ordered, analysed - ordered, factored - analysed, solved - factored])
        {
            *part += time / repetitions as f64;
        }
        size = answer.norm_l2();
    }
    let [order, analyse, factor, solve] = parts;
    println!(
        "{{\"order\": {order}, \"analyse\": {analyse}, \"factor\": {factor}, \"solve\": {solve}, \"size\": {size}}}"
    );
}

fn buckle(frame: &Frame) {
    let b = destabilising(frame, &Solver::new(frame).unwrap());
    let k = Assembly::new(frame).unwrap().stiffness(frame);
    let start = Instant::now();
    let assembly = Assembly::new(frame).unwrap();
    let symbolic = Symbolic::new(&assembly).unwrap();
    let factor = symbolic.cholesky(&assembly, &k).unwrap();
    let pencil = Pencil { assembly: &assembly, symbolic: &symbolic, factor: &factor, k: &k, b: &b };
    let found = pencil.lowest(4).unwrap();
    let seconds = start.elapsed().as_secs_f64();
    println!(
        "{{\"seconds\": {seconds}, \"factors\": {:?}, \"applications\": {}}}",
        found.values, found.applications
    );
}

fn memory(frame: &Frame) {
    let assembly = Assembly::new(frame).unwrap();
    let values = assembly.stiffness(frame);
    let before = resident("VmRSS:");
    // Forgets the largest so far (proc(5), clear_refs).
    fs::write("/proc/self/clear_refs", "5").unwrap();
    let symbolic = Symbolic::new(&assembly).unwrap();
    let factor = symbolic.cholesky(&assembly, &values).unwrap();
    let beyond = resident("VmHWM:") - before;
    drop(factor);
    println!("{{\"beyond\": {beyond}, \"factor\": {}}}", 8 * symbolic.stored());
}

/// A line of the process's own account \[bytes\].
fn resident(key: &str) -> f64 {
    let status = fs::read_to_string("/proc/self/status").unwrap();
    let line = status.lines().find(|l| l.starts_with(key)).unwrap();
    1024.0 * line.split_whitespace().nth(1).unwrap().parse::<f64>().unwrap()
}
