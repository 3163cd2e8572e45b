"""The solver beside general sparse solvers: same matrices, one thread, interleaved rounds, medians of ratios.

    cargo bench -p strutwise-frame --bench rounds --no-run      # prints where the program is
    python tests/outside/bench_solver.py PROGRAM [--most F] [--part solve|buckling|memory] [--minutes M] [--least]

Needs NumPy and SciPy (tests/outside/requirements.txt); takes scikit-sparse (< 0.5, over libsuitesparse-dev; install
OpenBLAS, or it runs on the reference BLAS) and pypardiso along where they are installed. Matrices go to a temporary
folder. Prints tables in Markdown. Nothing here is a test: it asserts only that all answers are the same.

Each round times every solver once on the same matrix, one after the other, so that whatever else the machine is
doing meets all of them; a ratio is another solver's time over this one's in the same round, and the median of the
rounds is printed. Below 2 000 unknowns a time is the mean of some repetitions. The whole takes about ten minutes on a
quiet machine; once `--minutes` are over, no further round is begun beyond the first of each size.

On a busy machine a time is mostly that of waiting. `--least` then takes many short rounds of the solve and prints the
ratio of the least time of either side, which is that of a round that nothing broke into; of milliseconds there are such,
of seconds hardly.
"""

import os

for name in "OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS":
    os.environ[name] = "1"

import argparse
import json
import pathlib
import statistics
import subprocess
import tempfile
import time
import warnings

import numpy as np
import scipy.io
import scipy.sparse as sp
import scipy.sparse.linalg as sla

CASES = 24
#            frequency: rounds and repetitions of the solve, rounds of buckling
ROUNDS = {2: (15, 20, 9), 4: (15, 10, 9), 8: (15, 5, 7), 16: (9, 1, 5), 32: (5, 1, 2), 64: (2, 1, 1)}
START = time.monotonic()


def late(minutes):
    return time.monotonic() - START > 60 * minutes


class Rounds:
    """The program's side: one process that answers orders."""

    def __init__(self, program, folder):
        self.process = subprocess.Popen([program, str(folder)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)

    def ask(self, order):
        self.process.stdin.write(order + "\n")
        self.process.stdin.flush()
        return json.loads(self.process.stdout.readline())

    def close(self):
        self.process.stdin.close()
        self.process.wait()


def splu(spec):
    def run(k, right):
        return sla.splu(k, permc_spec=spec, diag_pivot_thresh=0.0, options=dict(SymmetricMode=spec == "MMD_AT_PLUS_A")).solve(right)
    return run


def others():
    """Name and (k as csc, right) -> answer, for what is installed."""
    found = {
        "SciPy splu, minimum degree": splu("MMD_AT_PLUS_A"),
        "SciPy splu, its default order": splu("COLAMD"),
    }
    try:
        from sksparse.cholmod import cholesky
        found["supernodal Cholesky in C, minimum degree"] = lambda k, r: cholesky(k, mode="supernodal", ordering_method="amd")(r)
        found["supernodal Cholesky in C, dissection"] = lambda k, r: cholesky(k, mode="supernodal", ordering_method="metis")(r)
    except ImportError as error:
        print(f"scikit-sparse is left out: {error}")
    try:
        from pypardiso import PyPardisoSolver

        def tuned(order):
            # Made once: the wrapper searches the disk for its library each time.
            solver = PyPardisoSolver(mtype=2)

            def run(k, right):
                solver.set_iparm(1, 1)
                solver.set_iparm(2, order)
                solver._check_A(k)
                solver.set_iparm(12, 0)
                solver.set_phase(12)
                solver._call_pardiso(k, np.zeros((k.shape[0], 1)))
                solver.set_phase(33)
                answer = solver._call_pardiso(k, right)
                solver.free_memory(everything=True)
                return answer
            run.upper = True
            return run
        found["vendor-tuned direct solver, minimum degree"] = tuned(0)
        found["vendor-tuned direct solver, dissection"] = tuned(2)
    except ImportError as error:
        print(f"pypardiso is left out: {error}")
    return found


def timed(run, *arguments, repetitions=1):
    start = time.perf_counter()
    for _ in range(repetitions):
        answer = run(*arguments)
    return (time.perf_counter() - start) / repetitions, answer


def matrix(folder, name):
    return scipy.io.mmread(folder / name).tocsc()


def solve(rounds, folder, frequencies, minutes, least=False):
    table, own = {}, {}
    solvers = others()
    for f in frequencies:
        n = rounds.ask(f"export {f}")["unknowns"]
        k = matrix(folder, f"k_{f}.mtx")
        upper = sp.triu(k, format="csr")
        upper.sort_indices()
        right = np.asfortranarray(np.cos(1.0 + np.arange(n)[:, None] + 0.37 * np.arange(CASES)))
        many, repetitions, _ = ROUNDS[f]
        if least:
            many, repetitions = (20 if f <= 4 else 5 if f <= 16 else 1) * many, 3 if f <= 4 else 1
        ratios = {name: [] for name in solvers}
        seconds_of, mine_of = {name: [] for name in solvers}, []
        times = []
        for number in range(many + (f < 64)):
            if times and late(0.4 * minutes):
                break
            here = rounds.ask(f"solve {f} {repetitions}")
            mine = sum(here[part] for part in ("order", "analyse", "factor", "solve"))
            mine_of.append(mine)
            for name, run in solvers.items():
                if f == 64 and "default order" in name:
                    continue
                seconds, answer = timed(run, upper if hasattr(run, "upper") else k, right, repetitions=repetitions)
                size = np.linalg.norm(answer)
                assert abs(size - here["size"]) < 1e-6 * size, (name, f, size, here["size"])
                seconds_of[name].append(seconds)
                # The first round warms everything up, but for the largest, where it is all there is time for.
                if number or f == 64:
                    ratios[name].append(seconds / mine)
            if number or f == 64:
                times.append(here)
        middle = min if least else statistics.median
        own[f] = n, {part: middle(t[part] for t in times) for part in ("order", "analyse", "factor", "solve")}
        for name in solvers:
            ratio = min(seconds_of[name]) / min(mine_of) if least and ratios[name] else None
            table.setdefault(name, {})[f] = ratio or (statistics.median(ratios[name]) if ratios[name] else None)
        print(f"solve, {n} unknowns: done", flush=True)
    head(frequencies, own)
    for name, row in table.items():
        print(f"| {name} | " + " | ".join("–" if row[f] is None else f"{row[f]:.2f}" for f in frequencies) + " |")
    for part in "order", "analyse", "factor", "solve":
        print(f"| this solver, {part} \\[ms\\] | " + " | ".join(f"{1e3 * own[f][1][part]:.3g}" for f in frequencies) + " |")


def head(frequencies, own):
    print("\n| time over this solver's | " + " | ".join(f"{own[f][0]}" for f in frequencies) + " |")
    print("| --- |" + " --- |" * len(frequencies))


def buckling(rounds, folder, frequencies, minutes):
    table, own, wrong = {}, {}, {}
    try:
        from sksparse.cholmod import cholesky
    except ImportError:
        cholesky = None
    for f in frequencies:
        n = rounds.ask(f"export {f}")["unknowns"]
        k, b = matrix(folder, f"k_{f}.mtx"), matrix(folder, f"b_{f}.mtx")
        first = rounds.ask(f"buckle {f}")["factors"]
        shift = 0.8 * first[0]

        def operator(a, with_cholesky):
            if with_cholesky:
                return sla.LinearOperator(a.shape, matvec=cholesky(a, mode="supernodal", ordering_method="amd"), dtype=float)
            factor = sla.splu(a, permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0, options=dict(SymmetricMode=True))
            return sla.LinearOperator(a.shape, matvec=factor.solve, dtype=float)

        def regular(given):
            def run():
                inverse = None if given is None else operator(k, given)
                return 1.0 / sla.eigsh(b, k=4, M=k, Minv=inverse, which="LA", tol=1e-8, return_eigenvectors=True)[0]
            return run

        def shifted(given):
            def run():
                inverse = None if given is None else operator((k - shift * b).tocsc(), given)
                return sla.eigsh(k, k=4, M=b, sigma=shift, mode="buckling", OPinv=inverse, which="LA", tol=1e-8)[0]
            return run

        ways = {
            "eigsh, its default": regular(None),
            "eigsh, minimum degree": regular(False),
            "eigsh, buckling mode, shift told": shifted(None),
            "eigsh, buckling mode, shift told, minimum degree": shifted(False),
        }
        if cholesky:
            ways["eigsh, supernodal Cholesky in C"] = regular(True)
            ways["eigsh, buckling mode, shift told, supernodal Cholesky in C"] = shifted(True)
        ratios = {name: [] for name in ways}
        times = []
        for number in range(ROUNDS[f][2] + (f < 32)):
            if times and late(0.7 * minutes):
                break
            here = rounds.ask(f"buckle {f}")
            if number or f >= 32:
                times.append(here["seconds"])
            for name, run in ways.items():
                # With its own factor SciPy takes many minutes there.
                if f == 64 and ("default" in name or name.endswith("shift told")):
                    continue
                with warnings.catch_warnings():
                    warnings.simplefilter("ignore")
                    seconds, values = timed(run)
                if number or f >= 32:
                    ratios[name].append(seconds / here["seconds"])
                values = np.sort(values)
                if not np.allclose(values[:4], np.array(here["factors"])[:4], rtol=1e-6):
                    wrong.setdefault((name, f), 0)
                    wrong[name, f] += 1
        own[f] = n, statistics.median(times)
        for name in ways:
            table.setdefault(name, {})[f] = statistics.median(ratios[name]) if ratios[name] else None
        print(f"buckling, {n} unknowns: done, {here['applications']} applications", flush=True)
    head(frequencies, own)
    for name, row in table.items():
        mark = {f: " !" if (name, f) in wrong else "" for f in frequencies}
        print(f"| {name} | " + " | ".join("–" if row[f] is None else f"{row[f]:.2f}{mark[f]}" for f in frequencies) + " |")
    print("| this solver \\[ms\\] | " + " | ".join(f"{1e3 * own[f][1]:.3g}" for f in frequencies) + " |")
    print("! the list of four was not the lowest four in at least one round")


def memory(program, folder, frequencies):
    heads, values = [], []
    for f in frequencies:
        rounds = Rounds(program, folder)
        here = rounds.ask(f"memory {f}")
        rounds.close()
        heads.append(f"frequency {f} ({here['factor'] / 2**20:.3g} MiB)")
        values.append(f"{here['beyond'] / here['factor']:.2f}")
    print("\n| memory while factorising, over the factor itself | " + " | ".join(heads) + " |")
    print("| --- |" + " --- |" * len(heads))
    print("| this solver | " + " | ".join(values) + " |")


def main():
    arguments = argparse.ArgumentParser()
    arguments.add_argument("program")
    arguments.add_argument("--most", type=int, default=64, help="highest frequency")
    arguments.add_argument("--part", choices=["solve", "buckling", "memory"])
    arguments.add_argument("--least", action="store_true", help="many short rounds, least times: for a busy machine")
    arguments.add_argument("--minutes", type=float, default=10.0, help="about how long the whole may take")
    options = arguments.parse_args()
    frequencies = [f for f in ROUNDS if f <= options.most]
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        rounds = Rounds(options.program, folder)
        if options.part in (None, "solve"):
            solve(rounds, folder, frequencies, options.minutes, options.least)
        if options.part in (None, "buckling"):
            buckling(rounds, folder, frequencies, options.minutes)
        rounds.close()
        if options.part in (None, "memory"):
            memory(options.program, folder, [f for f in frequencies if f >= 8])


if __name__ == "__main__":
    main()
