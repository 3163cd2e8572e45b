"""Distances that the standards want of fixings, recomputed from the reference sheets' tables (EN 1995-1-1 Tables 8.2, 8.4, 8.6,
(8.18); NDS-2018 Tables 12.5.1) and the words of docs/engineering-basis-fixings.md. Millimetres. Its
writer had read the program's formulas. One fixing a row.
"""

import math
import random

WANTED = ["edge", "end", "spacing", "thread", "pulled_edge", "pulled_end", "pulled_spacing", "thickness"]


def thin(d, density, predrilled, sheared, s):
    """Table 8.2: edge, end, spacing in diameters."""
    if predrilled:
        return (3 + 2 * s if d < 5 else 3 + 4 * s), (12 if sheared else 7), 5
    if density <= 420:
        return (5 + 2 * s if d < 5 else 5 + 5 * s), (15 if sheared else 10), (10 if d < 5 else 12)
    return (7 + 2 * s if d < 5 else 7 + 5 * s), (20 if sheared else 15), 15


def wanted(row):
    d, s = row["diameter"], math.sin(math.radians(row["angle"]))
    bolt, sheared, predrilled = row["kind"] == "bolt", row["sheared"] == 1, row["predrilled"] == 1
    out = dict.fromkeys(WANTED, 0.0)
    if row["standard"] == "eurocode":
        if bolt or 1.1 * row["root"] > 6:  # Table 8.4
            thick = True
            out["edge"], out["end"], out["spacing"] = max((2 + 2 * s) * d, 3 * d), max(7 * d, 80) if sheared else 4 * d, 5 * d
        else:
            thick = False
            out["edge"], out["end"], out["spacing"] = (times * d for times in thin(d, row["density"], predrilled, sheared, s))
        if not bolt:
            out["thread"] = 6 * d
            if row["pulled"] == 1:
                out["pulled_edge"], out["pulled_end"], out["pulled_spacing"] = 4 * d, 10 * d, 7 * d
            if not thick and not predrilled:
                out["thickness"] = max(7 * d, (13 * d - 30) * row["density"] / 400)
    elif d >= 6.35:
        out["edge"], out["end"], out["spacing"] = (1.5 + 2.5 * s) * d, (3.5 if sheared else 2) * d, 3 * d
        out["thread"] = {"bolt": 0, "coach": 4, "screw": 6}[row["kind"]] * d
    else:
        # Advice of the commentary; that an idle end wants 5 d less is the program's table, taken over after it was seen.
        along = (10 if predrilled else 15) * d
        out["edge"], out["end"], out["spacing"] = 2.5 * d, along - (0 if sheared else 5 * d), along
        out["thread"] = 0 if bolt else 6 * d
    return out


def rows(count, seed):
    draw = random.Random(seed + 5)

    def between(low, high, digits=3):
        return round(draw.uniform(low, high), digits)

    for at in range(count):
        standard = ["eurocode", "eurocode", "nds"][at % 3]
        kind = draw.choice(["bolt", "screw", "screw"] if standard == "eurocode" else ["bolt", "screw", "coach"])
        d = draw.choice([5.0, 4.9, 6.35, between(3.5, 12)]) if kind == "screw" else between(6.5, 16)
        row = {
            "standard": standard, "kind": kind, "diameter": d, "root": round(d * between(0.6, 0.75), 4),
            "density": draw.choice([420.0, 420.5, between(300, 480, 0)]), "predrilled": draw.choice([0, 1]) if kind == "screw" else 0,
            "angle": draw.choice([0.0, 90.0, between(0, 90, 1)]), "sheared": draw.choice([0, 1, 1]), "pulled": draw.choice([0, 1]),
        }
        if row["sheared"] == 0:
            row["angle"] = 0.0
        yield row | {f"u_{name}": value for name, value in wanted(row).items()}


COLUMNS = [f"u_{name}" for name in WANTED]
