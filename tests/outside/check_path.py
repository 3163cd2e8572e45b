"""Nonlinear paths of plain frames against a second version in NumPy: large movements up to the first limit or branch.

    STRUTWISE=path/to/strutwise python tests/outside/check_path.py

Random frames (seeded: rigid caps and arches, an arch on hinged stays, hinged caps) are written as form = "frame" projects
and followed by `strutwise check --json`. The factor and kind of the first event, and the factors of two points on the
way, are compared with those found here: as drawn, and with every bar that bends in four pieces. Exits with 1 where any
differs by more than the tolerance.

Both versions take the same energy of a bar, the one that src/frame/corotational/beam.rs states, so they should agree as
far as either is solved. All that follows from the energy is derived and solved anew, in other ways: forces by virtual
work in vectors, held to differences of the energy before anything else; the tangent by differences of the forces; a
plane for every step of the path; an event where the lowest eigenvalue of the tangent is nought.

Four pieces a bar say what one shape a bar leaves out: that figure is printed, since docs/limits.md speaks of it.
"""

import os
import pathlib
import sys
import tempfile

# The matrices are small: more threads only wait for each other. To be said before NumPy is there.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np
import scipy.linalg
from check_frame import compare, run, write
from scipy.spatial.transform import Rotation

# The program balances forces to 1e-8 of the largest in any bar. It pins events to 1e-4 of the factor (PathOptions) at a
# branch and to a hundredth of that at a limit, where the factor hardly changes along the path. With other steps for the
# differences and more halvings this version's own limits move by 2e-7 at most, its branches by 6e-7.
POINT, LIMIT, BRANCH = 1e-7, 2e-6, 1e-4
# How far the limit of four pieces may lie below the lower of path and linear factor with one: a cubic between hinges
# buckles 12/π² = 1.22 times too late, 18 % off. In fifty random caps of unlike bars it was up to 24 %, most where a cap
# sways and its bars bow at about one load. More than a quarter would be something else.
MOST_FALL = 0.25
# Four pieces can also bear more than one, whose bending does not turn with its twist: the arches here rise by a hundredth,
# and fall instead if they are ten times as stiff in torsion. (Four of the fifty caps rose by 4 to 15 %. In the one that was
# looked at the limit of one piece is none with four, and the next lies higher. None of them is here.)
MOST_RISE = 0.02


def matrix(vector):
    """Rotation matrices of rotation vectors, in arrays of any shape."""
    return Rotation.from_rotvec(vector.reshape(-1, 3)).as_matrix().reshape(*vector.shape, 3)


def rotation_vector(turn):
    return Rotation.from_matrix(turn.reshape(-1, 3, 3)).as_rotvec().reshape(turn.shape[:-1])


def dot(a, b):
    return np.sum(a * b, axis=-1)


def times(matrices, vectors):
    return (matrices @ vectors[..., None])[..., 0]


def cubic():
    """Integrals of curvature² and of slope² of a bar of length 1, its ends on its chord, by the turns of its two ends."""
    curvature, slope = np.zeros((2, 2)), np.zeros((2, 2))
    points, weights = np.polynomial.legendre.leggauss(4)
    for t, w in zip((points + 1) / 2, weights / 2):
        first, second = np.array([1 - 4 * t + 3 * t**2, 3 * t**2 - 2 * t]), np.array([6 * t - 4, 6 * t - 2])
        slope += w * np.outer(first, first)
        curvature += w * np.outer(second, second)
    return curvature, slope


CURVATURE, SLOPE = cubic()


class Bars:
    """Bars that bend, rigid with their joints, and bars hinged at both ends; a row a bar in every array."""

    def __init__(self, p, q, up, sections, hinged):
        self.length = np.linalg.norm(q - p, axis=1)
        x = (q - p) / self.length[:, None]
        z = up - x * dot(up, x)[:, None]
        z /= np.linalg.norm(z, axis=1)[:, None]
        self.axes = np.stack([x, np.cross(z, x), z], axis=2)
        # A hinged bar only stretches.
        self.bends = np.where(hinged, 0.0, 1.0)
        e, shear, area, iy, iz, j = (np.array([s[key] for s in sections]) for key in (
            "elastic", "shear", "area", "second_moment_y", "second_moment_z", "torsion"))
        self.ea, self.gj, self.ei = e * area, self.bends * shear * j, {1: self.bends * e * iy, 2: self.bends * e * iz}

    def deform(self, p, q, turn_p, turn_q):
        """Length, riding axes, the ends' own y axes, and the ends' turns in the riding axes as rotation vectors.

        The riding x is the chord; y lies in the plane of the chord and the mean of the ends' own y axes.
        """
        length = np.linalg.norm(q - p, axis=-1)
        ends = turn_p @ self.axes, turn_q @ self.axes
        own_y = [end[..., 1] for end in ends]
        x = (q - p) / length[..., None]
        z = np.cross(x, own_y[0] + own_y[1])
        z /= np.linalg.norm(z, axis=-1)[..., None]
        riding = np.stack([x, np.cross(z, x), z], axis=-1)
        theta = [rotation_vector(np.swapaxes(riding, -1, -2) @ end) for end in ends]
        return length, riding, own_y, np.stack(theta, axis=-2)

    def strain(self, length, theta):
        """Mean strain of a bar: that of its chord, and half the mean square of its slope against the chord."""
        slope2 = sum(dot(theta[..., k] @ SLOPE, theta[..., k]) for k in (1, 2))
        return length / self.length - 1 + 0.5 * self.bends * slope2

    def energy(self, *ends):
        length, _, _, theta = self.deform(*ends)
        bent = sum(self.ei[k] * dot(theta[..., k] @ CURVATURE, theta[..., k]) for k in (1, 2))
        twisted = self.gj * (theta[..., 1, 0] - theta[..., 0, 0])**2
        return 0.5 * (self.ea * self.length * self.strain(length, theta)**2 + (bent + twisted) / self.length)

    def force(self, *ends):
        """Force and moment at both ends, twelve numbers a bar in global axes.

        By virtual work: the axial force on what the chord lengthens, and each end's moment on the spin of that end less
        the spin of the riding axes. Those spin with the chord, and about it so that y stays with the mean of the own y.
        """
        length, riding, own_y, theta = self.deform(*ends)
        x, y, z = (riding[..., i] for i in range(3))
        axial = self.ea * self.strain(length, theta)
        by_theta = np.zeros_like(theta)
        by_theta[..., 1, 0] = self.gj / self.length * (theta[..., 1, 0] - theta[..., 0, 0])
        by_theta[..., 0, 0] = -by_theta[..., 1, 0]
        for k, ei in self.ei.items():
            straightened = (axial * self.length * self.bends)[..., None] * (theta[..., k] @ SLOPE)
            by_theta[..., k] = (ei / self.length)[:, None] * (theta[..., k] @ CURVATURE) + straightened
        moments = [times(riding, by_spin(theta[..., end, :], by_theta[..., end, :])) for end in (0, 1)]
        total, mean = moments[0] + moments[1], 0.5 * (own_y[0] + own_y[1])
        about_x = dot(total, x) / dot(mean, y)
        along_z = (dot(total, y) + about_x * dot(mean, x)) / length
        pull = axial[..., None] * x - (dot(total, z) / length)[..., None] * y + along_z[..., None] * z
        moments = [m - 0.5 * about_x[..., None] * np.cross(own, z) for m, own in zip(moments, own_y)]
        return np.concatenate([-pull, moments[0], pull, moments[1]], axis=-1)

    def tangent(self, p, q, turn_p, turn_q, step=4e-6):
        """Change of these forces, by central differences; symmetric, as their sum at a joint is where it is in balance."""
        def force(d):
            return self.force(p + d[..., :3], q + d[..., 6:9], matrix(d[..., 3:6]) @ turn_p, matrix(d[..., 9:]) @ turn_q)

        each = step * np.eye(12)[:, None]
        k = np.moveaxis(force(each) - force(-each), 0, -1) / (2 * step)
        return 0.5 * (k + np.swapaxes(k, -1, -2))


def by_spin(theta, moment):
    """The moment that does work on the spin of an end, from the one that does work on changes of its rotation vector."""
    angle = np.linalg.norm(theta, axis=-1)
    large = np.where(angle < 1e-3, 1.0, angle)
    share = np.where(angle < 1e-3, 1 / 12 + angle**2 / 720, (1 - 0.5 * large / np.tan(0.5 * large)) / large**2)
    once = np.cross(theta, moment)
    return moment + 0.5 * once + share[..., None] * np.cross(theta, once)


def force_off_energy(rng, count=5):
    """How far the forces of bars much turned and bent are from differences of their energy, over the largest."""
    p, up, along = rng.normal(size=(3, count, 3))
    bars = Bars(p, p + along, up, [section(rng) for _ in p], np.arange(count) == 0)
    # Turned as a whole and little strained, so that the axial force does not drown all else.
    whole = matrix(rng.normal(size=3))
    q = times(whole, p + along) + rng.normal(size=(count, 3)) * 2e-3
    p, turns = times(whole, p), matrix(rng.normal(size=(2, count, 3)) * 0.3) @ whole

    def energy(d):
        return bars.energy(p + d[:3], q + d[6:9], matrix(d[3:6]) @ turns[0], matrix(d[9:]) @ turns[1])

    slope = np.stack([(energy(d) - energy(-d)) / 2e-5 for d in 1e-5 * np.eye(12)], axis=-1)
    return np.abs(slope - bars.force(p, q, *turns)).max() / np.abs(slope).max()


class Frame:
    """A frame to be solved. Its state is the movement and the rotation matrix of every joint."""

    def __init__(self, f):
        self.places, self.ends = np.array(f["places"]), np.array(f["bars"])
        hinged = np.array(f["hinges"]) == "both"
        self.bars = Bars(*self.places[self.ends.T], np.array(f["ups"]), [f["sections"][name] for name in f["names"]], hinged)
        free, load = np.ones((len(self.places), 6), bool), np.zeros((len(self.places), 6))
        for node, held in enumerate(f["held"]):
            free[node, ["x y z rx ry rz".split().index(word) for word in held.split()]] = False
        # Joints of hinged bars alone do not turn.
        free[np.setdiff1d(np.arange(len(free)), self.ends[~hinged]), 3:] = False
        for node, force in f["loads"].items():
            load[node] = force
        self.free = np.flatnonzero(free)
        self.load, self.moves = load.ravel()[self.free], self.free % 6 < 3
        self.at = (6 * self.ends[:, :, None] + np.arange(6)).reshape(-1, 12)

    def start(self):
        return np.zeros_like(self.places), np.tile(np.eye(3), (len(self.places), 1, 1))

    def moved(self, state, step):
        whole = np.zeros(2 * self.places.size)
        whole[self.free] = step
        whole = whole.reshape(-1, 6)
        return state[0] + whole[:, :3], matrix(whole[:, 3:]) @ state[1]

    def of_ends(self, state):
        (a, b), (shift, turn) = self.ends.T, state
        return self.places[a] + shift[a], self.places[b] + shift[b], turn[a], turn[b]

    def force(self, state):
        whole = np.zeros(2 * self.places.size)
        np.add.at(whole, self.at, self.bars.force(*self.of_ends(state)))
        return whole[self.free]

    def tangent(self, state):
        whole = np.zeros((2 * self.places.size,) * 2)
        np.add.at(whole, (self.at[:, :, None], self.at[:, None, :]), self.bars.tangent(*self.of_ends(state)))
        return whole[np.ix_(self.free, self.free)]

    def shift(self, state):
        """The free movements, with noughts for the turns, which do not add up."""
        return np.pad(state[0], ((0, 0), (0, 3))).ravel()[self.free]

    def balance(self, state, factor, row, target):
        """Equilibrium where row · movements is the target, by Newton's method: state and factor; None if it finds none."""
        # The factor is an unknown beside the movements, so that it may turn at a limit.
        whole = np.zeros((len(row) + 1,) * 2)
        whole[:-1, -1], whole[-1, :-1] = -self.load, row
        for _ in range(15):
            whole[:-1, :-1] = self.tangent(state)
            out = np.append(factor * self.load - self.force(state), target - row @ self.shift(state))
            *step, more = np.linalg.solve(whole, out)
            if not np.abs(step).max() < 0.5:
                return None
            state, factor = self.moved(state, step), factor + more
            if np.abs(step).max() < 1e-10:
                return state, factor
        return None

    def lowest(self, state):
        return scipy.linalg.eigh(self.tangent(state), eigvals_only=True, subset_by_index=[0, 0])[0]

    def direction(self, state):
        """Movements under more load, of length 1."""
        row = np.where(self.moves, np.linalg.solve(self.tangent(state), self.load), 0.0)
        return row / np.linalg.norm(row)

    def follow(self):
        """The stable path from no load: its points (state, factor), the last of them the first limit or branch."""
        points, step = [(self.start(), 0.0)], 1e-3
        row = self.direction(points[0][0])
        while len(points) < 400:
            state, factor = points[-1]

            def onward(length):
                return self.balance(state, factor, row, row @ self.shift(state) + length)

            point = onward(step)
            if point and self.lowest(point[0]) < 0:
                event = self.pinned(onward, (0.0, points[-1]), (step, point))
                if event:
                    return [*points, event]
                point = None
            # While it is stable the load rises, and the path is to bend little: else the step leapt to somewhere else.
            after = self.direction(point[0]) if point and point[1] > factor else None
            if after is None or after @ row < 0.95:
                step *= 0.5
                continue
            points.append(point)
            step *= 1.6 if after @ row > 0.99 else 1.0
            row = after
        raise SystemExit("no limit or branch found here")

    def pinned(self, onward, near, far):
        """Where between two points onward the lowest eigenvalue is nought; None if they are not on one path.

        A bar that bows nearly as at a fork has two prongs close together, and a step easily ends on the other: a gap is left
        however near the points come. At a branch itself the equations are singular, so it is not gone to: it lies on the
        straight line between.
        """
        for _ in range(10):
            middle = 0.5 * (near[0] + far[0])
            point = onward(middle)
            if point is None:
                return None
            near, far = (near, (middle, point)) if self.lowest(point[0]) < 0 else ((middle, point), far)
        (state, factor), (beyond, after) = near[1], far[1]
        if np.linalg.norm(self.shift(beyond) - self.shift(state)) > 3 * (far[0] - near[0]):
            return None
        before, behind = self.lowest(state), self.lowest(beyond)
        return state, factor + (after - factor) * before / (before - behind)

    def kind(self, state):
        """Of an event: a limit if the softest shape takes up load."""
        shape = scipy.linalg.eigh(self.tangent(state), subset_by_index=[0, 0])[1][:, 0]
        share = abs(shape @ self.load) / (np.linalg.norm(self.load) * np.linalg.norm(shape[self.moves]))
        return "limit" if share > 1e-4 else "branch"


def section(rng):
    """A lath or batten, from 25 by 38 to 47 by 75 mm."""
    b, d = rng.uniform(0.025, 0.047), rng.uniform(0.038, 0.075)
    return dict(area=b * d, second_moment_y=b * d**3 / 12, second_moment_z=d * b**3 / 12, torsion=0.2 * d * b**3,
                elastic=11e9, shear=0.69e9)


def frame(rng, places, bars, hinges, held, pushes, rough):
    """A frame as check_frame.py has them, its joints strewn by `rough` (m); without that all is alike, and it may branch."""
    names = [f"s{i if rough else 0}" for i in range(len(bars))]
    return dict(places=np.array(places) + rng.normal(size=(len(places), 3)) * rough, bars=bars, hinges=hinges, held=held,
                names=names, sections={name: section(rng) for name in sorted(set(names))}, lines=[], ground={},
                ups=np.array([0.0, 0.0, 1.0]) + rng.normal(size=(len(bars), 3)) * (0.3 if rough else 0.0),
                loads={node: np.array([0.0, 0.0, -push, 0.0, 0.0, 0.0]) for node, push in pushes.items()}, watch=min(pushes))


def cap(rng, sides, rise, feet, hinges="", rough=0.02):
    """A shallow cap of triangles, 4 m across: a crown, a ring of joints, and feet between them."""
    def ring(radius, height, turned):
        angle = 2 * np.pi * (np.arange(sides) + turned) / sides
        return [[radius * np.cos(a), radius * np.sin(a), height] for a in angle]

    places, bars = [[0.0, 0.0, rise], *ring(1.0, 0.75 * rise, 0.0), *ring(2.0, 0.0, 0.5)], []
    for i in range(sides):
        here, after, foot = 1 + i, 1 + (i + 1) % sides, 1 + sides + i
        bars += [(0, here), (here, after), (here, foot), (after, foot)]
    pushes = {node: rng.uniform(500, 1000) if rough else 700.0 for node in range(1 + sides)}
    return frame(rng, places, bars, [hinges] * len(bars), [""] * (1 + sides) + [feet] * sides, pushes, rough)


def arch(rng, count, rise, feet, stays=(), rough=0.02):
    """An even number of bars along a parabola 3 m wide, its crown pushed, and hinged stays from there to the ground."""
    places = [[x, 0.0, rise * (1 - (x / 1.5)**2)] for x in np.linspace(-1.5, 1.5, count + 1)] + list(stays)
    bars = [(i, i + 1) for i in range(count)] + [(count // 2, count + 1 + i) for i in range(len(stays))]
    held = [feet] + [""] * (count - 1) + [feet] + ["x y z"] * len(stays)
    return frame(rng, places, bars, [""] * count + ["both"] * len(stays), held, {count // 2: 1000.0}, rough)


def frames():
    clamped, in_plane, pinned = "x y z rx ry rz", "x y z rx rz", "x y z"

    def rng(seed):
        return np.random.default_rng(seed)

    yield "rigid cap of 5, pinned feet", cap(rng(1), 5, 0.25, pinned)
    yield "rigid cap of 4, clamped feet", cap(rng(2), 4, 0.35, clamped)
    yield "rigid cap of 4 that sways as its bars bow", cap(rng(21), 4, 0.23, pinned)
    yield "rigid cap of 5, all alike", cap(rng(3), 5, 0.3, pinned, rough=0.0)
    yield "arch of 4, clamped", arch(rng(4), 4, 0.5, clamped)
    yield "arch of 6, turning at its feet", arch(rng(5), 6, 0.5, in_plane)
    yield "arch of 8, all alike", arch(rng(6), 8, 0.6, in_plane, rough=0.0)
    yield "arch of 6 on hinged stays", arch(rng(7), 6, 0.7, clamped, [[0.1, 2.0, 0.0], [-0.1, -2.0, 0.0]])
    yield "hinged cap of 6", cap(rng(8), 6, 0.3, pinned, "both")
    yield "hinged cap of 4", cap(rng(9), 4, 0.4, pinned, "both")


def divided(f, pieces):
    """The same frame with every bar that bends in so many pieces, joined rigidly."""
    places, bars, kinds = list(f["places"]), [], []
    for number, (a, b) in enumerate(f["bars"]):
        count = 1 if f["hinges"][number] else pieces
        line = [a, *range(len(places), len(places) + count - 1), b]
        places += [places[a] + (places[b] - places[a]) * i / count for i in range(1, count)]
        bars += zip(line, line[1:])
        kinds += [number] * count
    return dict(f, places=places, bars=bars, held=f["held"] + [""] * (len(places) - len(f["places"])),
                **{key: [f[key][kind] for kind in kinds] for key in ("hinges", "names", "ups")})


def answer(f, kind):
    with tempfile.TemporaryDirectory() as name:
        path = write(pathlib.Path(name), f, kind, 1)
        if kind == "path":
            with path.open("a") as project:
                project.write(f'steps = 1000\nlimit_only = true\nwatch = {{ joint = "j{f["watch"]}", direction = "z" }}\n')
        return run(os.environ["STRUTWISE"], path)


def same_path(f):
    """Whether the program's event and two points of its path are those found here; and the factor of the event."""
    found, here = answer(f, "path"), Frame(f)
    points = here.follow()
    state, factor = points[-1]
    kind, (event, *_) = here.kind(state), found["events"]
    good = compare(f"{kind} {factor:.4f}", found["limit_factor"], factor, LIMIT if kind == "limit" else BRANCH)
    if (event["kind"], found["cases"][0]["path_end"]) != (kind, "event"):
        print(f"  a {event['kind']}, and the path ends by {found['cases'][0]['path_end']}  <-- DIFFERS")
        good = False
    watched = (here.free == 6 * f["watch"] + 2).astype(float)
    for share in 0.5, 0.9:
        point = min(found["path"], key=lambda point: abs(point["factor"] - share * factor))
        # On the stable path the factor only rises: from the last point below it, in short strides.
        near = [known for known in points[:-1] if known[1] <= point["factor"]][-1]
        for target in np.linspace(watched @ here.shift(near[0]), point["watched"], 5)[1:]:
            near = here.balance(*near, watched, target)
        good &= compare(f"at {1000 * point['watched']:.3f} mm", point["factor"], near[1], POINT)
    return good, factor


def main():
    print("forces of this version against its energy")
    good = compare("forces", 1 + force_off_energy(np.random.default_rng(0)), 1, 1e-7)
    alone, lower = [], []
    for name, f in frames():
        print(f"{name}: {len(f['bars'])} bars", flush=True)
        same, one = same_path(f)
        good &= same
        if "" in f["hinges"]:
            print("  in four pieces a bar:")
            same, four = same_path(divided(f, 4))
            good &= same
            linear = answer(f, "buckling")["buckling_factors"][0]
            alone.append(1 - four / one)
            lower.append(1 - four / min(one, linear))
            print(f"  {alone[-1]:.1%} below one piece, {lower[-1]:.1%} below the lower of that and linear {linear:.4f}")
    print(f"four pieces a bar: {min(alone):.1%} to {max(alone):.1%} below the limit of one, "
          f"up to {max(lower):.1%} below the lower of it and the linear factor")
    if max(lower) > MOST_FALL or min(alone) < -MOST_RISE:
        print("  out of bounds  <-- DIFFERS")
        good = False
    print("indicative comparison:", "all within the tolerance" if good else "DIFFERENCES, see above")
    sys.exit(0 if good else 1)


if __name__ == "__main__":
    main()
