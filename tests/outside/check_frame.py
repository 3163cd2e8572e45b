"""Plain frames against SciPy: seeded random frames, assembled here independently and solved with splu and eigsh.

    STRUTWISE=path/to/strutwise python tests/outside/check_frame.py [--most UNKNOWNS]

Writes form = "frame" projects into a temporary folder, runs `strutwise check --json` on each, and compares
displacements, reactions, buckling factors and natural frequencies. Exits with 1 where any differs by more than
the tolerance: 1e-8 of the largest value of its kind, eased only where the condition number itself does not allow
it (estimated here; the eased figure is printed).

Buckling factors of frames whose bars bend are those of the exact stiffness of bars under their axial forces, which
is no eigenvalue problem of matrices: just below and just above every factor, frame and bars are counted out here (the
differential equation of every bar by a matrix exponential, its own shapes by the roots of tan x = x).
"""

import argparse
import csv
import json
import os
import pathlib
import subprocess
import sys
import tempfile

import numpy as np
import scipy.linalg
import scipy.optimize
import scipy.sparse as sp
import scipy.sparse.linalg as sla

TOLERANCE = 1e-8


def elements(p, q, section, up, hinges):
    """Stiffness, mass and geometric stiffness (for N = 1) of bars in global axes, by integrating shape functions.

    Independent of the program under test: curvatures are integrated by Gauss quadrature, hinges are taken out by
    static condensation, and the same reduction carries mass and geometric stiffness. All bars at once: p, q and up
    are a row a bar, values of the section a number a bar, hinges the same for all of them.
    """
    d = q - p
    length = np.linalg.norm(d, axis=1)
    x = d / length[:, None]
    z = up - x * np.sum(up * x, axis=1)[:, None]
    z /= np.linalg.norm(z, axis=1)[:, None]
    axes = np.stack([x, np.cross(z, x), z], axis=1)
    k, m, g = (np.zeros((len(p), 12, 12)) for _ in range(3))
    e, shear = section["elastic"], section["shear"]
    area, iy, iz, j = (section[n] for n in ("area", "second_moment_y", "second_moment_z", "torsion"))
    rho = section["density"] * area

    def outer(a, scale):
        return scale[:, None, None] * a[:, :, None] * a[:, None, :]

    one = np.ones_like(length)
    points, weights = np.polynomial.legendre.leggauss(5)
    for t, w in zip((points + 1) / 2, weights / 2):
        # Shapes of the four freedoms of a plane bend and their derivatives in x.
        shape = np.stack([one * (1 - 3 * t**2 + 2 * t**3), length * (t - 2 * t**2 + t**3),
                          one * (3 * t**2 - 2 * t**3), length * (t**3 - t**2)], axis=1)
        slope = np.stack([one * (-6 * t + 6 * t**2), length * (1 - 4 * t + 3 * t**2),
                          one * (6 * t - 6 * t**2), length * (3 * t**2 - 2 * t)], axis=1) / length[:, None]
        bend = np.stack([one * (-6 + 12 * t), length * (-4 + 6 * t), one * (6 - 12 * t), length * (6 * t - 2)],
                        axis=1) / length[:, None]**2
        for index, sign, second in ([1, 5, 7, 11], 1.0, iz), ([2, 4, 8, 10], -1.0, iy):
            s = np.array([1, sign, 1, sign])
            at = np.ix_(range(len(p)), index, index)
            k[at] += outer(bend * s, w * length * e * second)
            m[at] += outer(shape * s, w * length * rho)
            g[at] += outer(slope * s, w * length)
        lin = np.tile([1 - t, t], (len(p), 1))
        apart = np.tile([1.0, -1.0], (len(p), 1))
        at = np.ix_(range(len(p)), [0, 6], [0, 6])
        k[at] += outer(apart, w * e * area / length)
        m[at] += outer(lin, w * length * rho)
        at = np.ix_(range(len(p)), [3, 9], [3, 9])
        k[at] += outer(apart, w * shear * j / length)
        m[at] += outer(lin, w * length * rho * (iy + iz) / area)
    released = [3, 4, 5] * ("from" in hinges) + [9, 10, 11] * ("to" in hinges)
    if released:
        # One twist is kept where both ends are free, or the condensation is singular; it carries nothing.
        inner = [i for i in released if not (i == 9 and 3 in released)]
        kept = [i for i in range(12) if i not in inner]
        full = np.zeros((len(p), 12, 12))
        full[:, kept, kept] = 1.0
        every = range(len(p))
        full[np.ix_(every, inner, kept)] = -np.linalg.solve(k[np.ix_(every, inner, inner)], k[np.ix_(every, inner, kept)])
        if 3 in released and 9 in released:
            full[:, :, 9] = 0.0
        k, m, g = (full.transpose(0, 2, 1) @ a @ full for a in (k, m, g))
    turn = np.zeros((len(p), 12, 12))
    for part in range(4):
        turn[:, 3 * part:3 * part + 3, 3 * part:3 * part + 3] = axes
    return [turn.transpose(0, 2, 1) @ a @ turn for a in (k, m, g)], turn


def element(p, q, section, up, hinges):
    """The same for one bar."""
    one = {name: np.array([value]) for name, value in section.items()}
    matrices, turn = elements(p[None], q[None], one, np.asarray(up)[None], hinges)
    return [a[0] for a in matrices], turn[0]


def random_frame(rng, wanted, pinned):
    """A braced grid of boxes with jittered joints: about `wanted` unknowns."""
    per = 3 if pinned else 6
    side = max(2, round((wanted / per / 2) ** 0.5))
    # A two-layer grid for trusses (stiff), one braced layer of beams on columns for frames.
    index, places, held = {}, [], []
    for layer in range(2):
        for i in range(side + 1):
            for j in range(side + 1):
                index[i, j, layer] = len(places)
                jitter = rng.uniform(-0.1, 0.1, 3)
                places.append(np.array([i, j, layer], float) + jitter)
                held.append("x y z" if layer == 0 and (i in (0, side) or j in (0, side)) else "")
    bars = []
    for layer in range(2):
        for i in range(side + 1):
            for j in range(side + 1):
                here = index[i, j, layer]
                for di, dj in (1, 0), (0, 1), (1, 1):
                    other = index.get((i + di, j + dj, layer))
                    if other is not None:
                        bars.append((here, other))
                if layer == 0:
                    for di, dj in (0, 0), (1, 0), (0, 1), (-1, 0), (0, -1):
                        other = index.get((i + di, j + dj, 1))
                        if other is not None:
                            bars.append((here, other))
    sections = {}
    for name in "ABC":
        area = rng.uniform(2e-3, 6e-3)
        sections[name] = dict(area=area, second_moment_y=rng.uniform(1e-6, 9e-6), second_moment_z=rng.uniform(1e-6, 9e-6),
                              torsion=rng.uniform(1e-6, 4e-6), elastic=11e9, shear=0.69e9, density=420.0)
    hinges = ["both" if pinned else rng.choice(["", "", "", "from", "to"]) for _ in bars]
    if not pinned:
        # A joint must keep one stiff bar: the first at each joint is never hinged there.
        seen = set()
        for n, (a, b) in enumerate(bars):
            if a not in seen or b not in seen:
                hinges[n] = ""
            seen.update((a, b))
    names = [str(rng.choice(list("ABC"))) for _ in bars]
    ups = rng.normal(size=(len(bars), 3))
    ground = {int(n): rng.uniform(1e4, 1e6, 3) for n in rng.choice(len(places), 5, replace=False) if not held[n]}
    loads = {int(n): rng.normal(size=6) * [1e3, 1e3, 2e3, 0 if pinned else 50, 0 if pinned else 50, 0 if pinned else 50]
             for n in range(len(places)) if not held[n]}
    for load in loads.values():
        load[2] = -abs(load[2])
    lines = [] if pinned else [(int(n), rng.normal(size=3) * 300, rng.normal(size=3) * 300)
                               for n in rng.choice(len(bars), len(bars) // 4, replace=False)]
    return dict(places=places, held=held, bars=bars, sections=sections, hinges=hinges, names=names, ups=ups,
                ground=ground, loads=loads, lines=lines, pinned=pinned)


def write(folder, f, kind, count):
    def sheet(name, header, rows):
        with open(folder / name, "w", newline="") as out:
            writer = csv.writer(out)
            writer.writerow(header)
            writer.writerows(rows)

    r = repr
    sheet("joints.csv", ["joint", "x", "y", "z", "held", "kx", "ky", "kz"],
          [[f"j{n}", *map(r, map(float, p)), f["held"][n], *(r(float(v)) for v in f["ground"].get(n, (0.0, 0.0, 0.0)))]
           for n, p in enumerate(f["places"])])
    sheet("bars.csv", ["bar", "from", "to", "section", "hinges", "up_x", "up_y", "up_z"],
          [[f"b{n}", f"j{a}", f"j{b}", f["names"][n], f["hinges"][n], *(r(float(u)) for u in f["ups"][n])]
           for n, (a, b) in enumerate(f["bars"])])
    sheet("loads.csv", ["case", "joint", "fx", "fy", "fz", "mx", "my", "mz"],
          [["all", f"j{n}", *(r(float(v)) for v in load)] for n, load in f["loads"].items()])
    line = ""
    if f["lines"]:
        sheet("lines.csv", ["case", "bar", "wx", "wy", "wz", "wx_end", "wy_end", "wz_end"],
              [["all", f"b{n}", *(r(float(v)) for v in a), *(r(float(v)) for v in b)] for n, a, b in f["lines"]])
        line = 'bar_loads = "lines.csv"\n'
    text = '[shell]\nform = "frame"\njoints = "joints.csv"\nbars = "bars.csv"\nloads = "loads.csv"\n' + line
    for name, section in f["sections"].items():
        text += f"[section.{name}]\n" + "".join(f"{key} = {value!r}\n" for key, value in section.items())
    text += f'[analysis]\nkind = "{kind}"\ncount = {count}\n'
    path = folder / f"{kind}.toml"
    path.write_text(text)
    return path


ENDS = {"": (), "from": ("from",), "to": ("to",), "both": ("from", "to")}


def assemble(f):
    n = 6 * len(f["places"])
    load = np.zeros(n)
    for node, value in f["loads"].items():
        load[6 * node:6 * node + 6] += value
    fixed = {}
    places, pairs, ups = np.array(f["places"]), np.array(f["bars"]), np.array(f["ups"])
    values = {key: np.array([f["sections"][name][key] for name in f["names"]]) for key in f["sections"]["A"]}
    k, m, g, turns = (np.zeros((len(pairs), 12, 12)) for _ in range(4))
    for hinge, ends in ENDS.items():
        these = np.flatnonzero([h == hinge for h in f["hinges"]])
        if len(these):
            own = {key: value[these] for key, value in values.items()}
            (k[these], m[these], g[these]), turns[these] = elements(
                places[pairs[these, 0]], places[pairs[these, 1]], own, ups[these], ends)
    at = (6 * pairs[:, :, None] + np.arange(6)).reshape(-1, 12)
    geometry = list(zip(at, g, turns, k))
    rows, columns = np.repeat(at, 12, axis=1).ravel(), np.tile(at, (1, 12)).ravel()
    for number, first, last in f["lines"]:
        (a, b), hinge = f["bars"][number], f["hinges"][number]
        p, q = f["places"][a], f["places"][b]
        length = np.linalg.norm(q - p)
        at, _, turn, _ = geometry[number]
        axes = turn[:3, :3]
        force = np.zeros(12)
        points, weights = np.polynomial.legendre.leggauss(6)
        for t, w in zip((points + 1) / 2, weights / 2):
            q_here = axes @ (first + (last - first) * t) * w * length
            shape = np.array([1 - 3 * t**2 + 2 * t**3, length * (t - 2 * t**2 + t**3),
                              3 * t**2 - 2 * t**3, length * (t**3 - t**2)])
            force[[0, 6]] += q_here[0] * np.array([1 - t, t])
            force[[1, 5, 7, 11]] += q_here[1] * shape
            force[[2, 4, 8, 10]] += q_here[2] * shape * [1, -1, 1, -1]
        hinged = {"": [], "from": [3, 4, 5], "to": [9, 10, 11], "both": [3, 4, 5, 9, 10, 11]}[f["hinges"][number]]
        if hinged:
            stiff, _ = element(p, q, f["sections"][f["names"][number]], f["ups"][number], ())
            whole = turn @ stiff[0] @ turn.T
            outer = [i for i in range(12) if i not in hinged]
            give = np.linalg.lstsq(whole[np.ix_(hinged, hinged)], force[hinged], rcond=None)[0]
            force[outer] -= whole[np.ix_(outer, hinged)] @ give
            force[hinged] = 0.0
        fixed[number] = turn.T @ force
        load[at] += fixed[number]
    shape = (n, n)
    k = sp.csc_matrix((k.ravel(), (rows, columns)), shape)
    m = sp.csc_matrix((m.ravel(), (rows, columns)), shape)
    ground = np.zeros(n)
    for node, value in f["ground"].items():
        ground[6 * node:6 * node + 3] = value
    k = k + sp.diags(ground).tocsc()
    free = np.ones(n, bool)
    for node, words in enumerate(f["held"]):
        for word in words.split():
            free[6 * node + "x y z".split().index(word)] = False
    if f["pinned"]:
        free.reshape(-1, 6)[:, 3:] = False
    return k, m, load, ground, np.flatnonzero(free), geometry, fixed, rows, columns


def symmetric(a):
    """Factor of a symmetric matrix with its pivots on the diagonal, so that their signs are those of its eigenvalues."""
    factor = sla.splu(a.tocsc(), permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0, options=dict(SymmetricMode=True))
    assert np.array_equal(factor.perm_r, factor.perm_c), "a pivot off the diagonal"
    return factor


def lowest(k, b, count, hint):
    """Lowest positive eigenvalues of K x = l B x (B of any sign), each verified by its residual.

    `hint` is where the program under test says the lowest is. It only says where to look: that none lies below nine
    tenths of it is shown here by the pivots of K - s B, and the values themselves are found here.
    """
    shift = 0.9 * hint
    moved = (k - shift * b).tocsc()
    factor = symmetric(moved)
    assert (factor.U.diagonal() > 0).all(), f"there is a value below {shift}, nine tenths of the lowest that is claimed"
    operator = sla.LinearOperator(k.shape, matvec=factor.solve)
    # Wanted a few more than asked, since single vectors can miss repeated ones.
    values, vectors = sla.eigsh(b, k=count + 4, M=moved, Minv=operator, which="LA", tol=1e-11,
                                v0=np.cos(np.arange(k.shape[0])), ncv=max(40, 4 * count), maxiter=5000)
    values = shift + 1 / values[values > 0]
    for value, x in zip(values, vectors.T[-len(values):]):
        assert np.linalg.norm(k @ x - value * (b @ x)) <= 1e-7 * np.linalg.norm(k @ x)
    return np.sort(values)[:count]


def bending(length, bending_stiffness, n):
    """Stiffness of bars in one plane under axial forces `n`, tension positive: w, its slope, at both ends.

    By the differential equation of (w, slope, moment, force across), from one end to the other: the moment is E I
    times the curvature, its slope N times the slope less the force across, which is the same all along.
    """
    a = np.zeros((len(length), 4, 4))
    a[:, 0, 1] = length
    a[:, 1, 2] = length / bending_stiffness
    a[:, 2, 1] = n * length
    a[:, 2, 3] = -length
    t = scipy.linalg.expm(a)
    inverse = np.linalg.inv(t[:, :2, 2:])
    first = np.concatenate([-inverse @ t[:, :2, :2], inverse], axis=2)
    second = np.concatenate([t[:, 2:, :2], np.zeros_like(inverse)], axis=2) + t[:, 2:, 2:] @ first
    return np.stack([-first[:, 1], -first[:, 0], second[:, 1], second[:, 0]], axis=1)


def turning_point(k):
    """The k-th root of tan x = x above nought."""
    return scipy.optimize.brentq(lambda x: np.sin(x) - x * np.cos(x), k * np.pi, (k + 0.5) * np.pi, xtol=1e-15, rtol=1e-15)


# L·√(−N/EI) at which a bar buckles while its nodes stand still: held at both ends, and with one end hinged. One that is
# hinged at both ends is a string, whose own buckling is no matter of the frame.
TURNING = [turning_point(k) for k in range(1, 20)]
HELD = np.sort([*(2 * np.pi * np.arange(1, 20)), *(2 * x for x in TURNING)])
INTERIOR = {"": HELD, "from": np.array(TURNING), "to": np.array(TURNING), "both": np.zeros(0)}


def interior(length, bending_stiffness, n, hinge):
    """How many shapes of each bar, its nodes held and turning at its hinged ends, have lost their stiffness."""
    return np.searchsorted(INTERIOR[hinge], length * np.sqrt(np.maximum(-n, 0.0) / bending_stiffness))


def count_below(f, k0, free, axial, factor, geometry):
    """How many factors lie below this one: negative pivots of the frame, and shapes of bars between held nodes."""
    places, pairs = np.array(f["places"]), np.array(f["bars"])
    length = np.linalg.norm(places[pairs[:, 1]] - places[pairs[:, 0]], axis=1)
    local, count = np.zeros((len(pairs), 12, 12)), 0
    for hinge, ends in ENDS.items():
        these = np.flatnonzero([h == hinge for h in f["hinges"]])
        if not len(these):
            continue
        own = length[these]
        sections = [f["sections"][f["names"][i]] for i in these]
        for index, sign, second in ([1, 5, 7, 11], 1.0, "second_moment_z"), ([2, 4, 8, 10], -1.0, "second_moment_y"):
            stiff = np.array([section["elastic"] * section[second] for section in sections])
            s = np.array([1, sign, 1, sign])
            for at, add in (factor, 1.0), (0.0, -1.0):
                b = bending(own, stiff, at * axial[these])
                for end in ends:
                    r = 1 if end == "from" else 3
                    b = b - b[:, :, r:r + 1] @ b[:, r:r + 1, :] / b[:, r, r][:, None, None]
                local[np.ix_(these, index, index)] += add * b * s[:, None] * s
            count += interior(own, stiff, factor * axial[these], hinge).sum()
    turn = np.array([t for _, _, t, _ in geometry])
    values = turn.transpose(0, 2, 1) @ local @ turn
    at = np.array([at for at, _, _, _ in geometry])
    rows, columns = np.repeat(at, 12, axis=1).ravel(), np.tile(at, (1, 12)).ravel()
    change = sp.csc_matrix((values.ravel(), (rows, columns)), k0.shape)
    return count + (symmetric((k0 + change)[free][:, free]).U.diagonal() < 0).sum()


def counted(f, k0, free, axial, factors, complete, geometry):
    """Whether as many factors as are claimed lie below and above every one of them."""
    good = True
    for factor in factors:
        for at in factor * (1 - 1e-7), min(factor * (1 + 1e-7), complete):
            claimed, there = (factors < at).sum(), count_below(f, k0, free, axial, at, geometry)
            if claimed != there:
                print(f"  buckling         {claimed} factors claimed below {at}, and there are {there}  <-- DIFFERS")
                good = False
    if good:
        print(f"  buckling         {len(factors)} factors counted out to 1e-7")
    return good


def run(program, path):
    done = subprocess.run([program, "check", "--json", str(path)], capture_output=True, text=True)
    if done.returncode != 0:
        raise SystemExit(f"{path}: exit {done.returncode}: {done.stderr.strip()} {done.stdout[:300]}")
    return json.loads(done.stdout)


def compare(what, got, want, allowed):
    got, want = np.asarray(got, float), np.asarray(want, float)
    scale = np.abs(want).max()
    off = np.abs(got - want).max() / scale if scale else np.abs(got).max()
    ok = off <= allowed
    print(f"  {what:<16} off by {off:.1e} (allowed {allowed:.0e}) {'' if ok else '  <-- DIFFERS'}")
    return ok


def main():
    arguments = argparse.ArgumentParser()
    arguments.add_argument("--most", type=int, default=20000, help="leave out what has more unknowns than this")
    options = arguments.parse_args()
    program = os.environ["STRUTWISE"]
    sizes = [size for size in (200, 800, 3000, 8000, 20000) if size <= options.most]
    good = True
    for seed, size in enumerate(sizes):
        for pinned in False, True:
            rng = np.random.default_rng(1000 * seed + pinned)
            f = random_frame(rng, size, pinned)
            k, m, load, ground, free, geometry, fixed, rows, columns = assemble(f)
            kff = k[free][:, free].tocsc()
            factor = symmetric(kff)
            u = np.zeros(k.shape[0])
            u[free] = factor.solve(load[free])
            u[free] += factor.solve(load[free] - kff @ u[free])
            # Rounding grows with the condition: eased only where the estimate says that it must be.
            norm = sla.norm(kff, 1) * sla.onenormest(sla.LinearOperator(kff.shape, matvec=factor.solve, rmatvec=factor.solve))
            allowed = max(TOLERANCE, 1e-15 * norm)
            reaction = k @ u - load
            n_bars, most = np.zeros(len(f["bars"])), np.zeros(len(f["bars"]))
            for number, (at, _, turn, kb) in enumerate(geometry):
                end = turn @ (kb @ u[at] - fixed.get(number, 0.0))
                # Bars that bend buckle under the more compressed of their ends, strings under the mean.
                n_bars[number], most[number] = 0.5 * (end[6] - end[0]), min(end[6], -end[0])
            kg = sp.csc_matrix((np.concatenate([(n * g).ravel() for n, (_, g, _, _) in zip(n_bars, geometry)]),
                                (rows, columns)), k.shape)[free][:, free]
            count = 4
            print(f"seed {seed}, {'pinned' if pinned else 'rigid'}, {len(free)} unknowns, condition {norm:.0e}", flush=True)
            with tempfile.TemporaryDirectory() as name:
                folder = pathlib.Path(name)
                b = run(program, write(folder, f, "buckling", count))
                got = b["displacements"]["all"]
                moved = np.array([got[f"j{i}"] for i in range(len(f["places"]))])
                want = u.reshape(-1, 6)
                good &= compare("translations", moved[:, :3], want[:, :3], allowed)
                if not pinned:
                    good &= compare("rotations", moved[:, 3:], want[:, 3:], allowed)
                back = np.array([b["reactions"]["all"][f"j{i}"] for i, h in enumerate(f["held"]) if h])
                full = np.array([reaction.reshape(-1, 6)[i] for i, h in enumerate(f["held"]) if h])
                good &= compare("reactions", back[:, :3], full[:, :3], allowed)
                found = np.array(b["buckling_factors"])
                if pinned:
                    factors = lowest(kff, -kg, count, found[0])
                    good &= compare("buckling", found[:count], factors, max(TOLERANCE, allowed))
                else:
                    complete = b["cases"][0]["buckling_complete_below"]
                    good &= counted(f, k, free, most, found, complete, geometry)
                modes = run(program, write(folder, f, "modes", count))
                hertz = np.array(modes["frequencies_hz"])
                omega = np.sqrt(lowest(kff, m[free][:, free], count, (2 * np.pi * hertz[0])**2)) / (2 * np.pi)
                good &= compare("frequencies", hertz[:count], omega, allowed)
    print("indicative comparison:", "all within the tolerance" if good else "DIFFERENCES, see above")
    sys.exit(0 if good else 1)


if __name__ == "__main__":
    main()
