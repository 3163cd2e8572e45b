"""Feet, recomputed from the words of docs/engineering-basis-fixings.md (equilibrium; the user's own resistances), by someone
who had not read the program's formulas. One foot a row. The program's reading, taken over after it was seen: the pad lies on the
ground while the foot lifts; a foot that lifts with nothing but friction against sliding has nothing.
"""

import math
import random

from fixings import nds_temperature

CHECKS = ["anchor", "pad", "slide", "both", "both_pad", "moment", "tie", "ground", "timber"]


def utilisations(row):
    out = {}
    holding, pressing = {"eurocode": (0.9, 1.35), "lrfd": (0.9, 1.2), "asd": (0.6, 1.0)}[row["basis"]]
    if row["basis"] == "lrfd" and row["time"] < 0.61:
        pressing = 1.4  # weight alone: 1.4 D
    up, down, aside = row["up"], row["down"], row["aside"]
    if up > 0 and row["uplift"] is not None:
        out["anchor"] = up / row["uplift"]
    if up > 0 and row["pad_weight"] is not None:
        out["pad"] = up / (holding * row["pad_weight"])
    rubbed = (row["friction"] or 0.0) * down if up == 0 else 0.0
    held = (row["slide"] or 0.0) + rubbed
    if aside > 0 and (row["slide"] is not None or row["friction"] is not None):
        out["slide"] = aside / held if held > 0 else math.inf  # only friction, and the foot lifts
    if up > 0 and aside > 0 and row["uplift"] is not None and row["slide"] is not None:
        out["both"] = math.hypot(up / row["uplift"], aside / row["slide"])
    if up > 0 and aside > 0 and row["pad_weight"] is not None and row["slide"] is not None:
        # What is left of its weight holds the pad sideways: H/H_a may be no more than 1 - U/(factor * G).
        out["both_pad"] = up / (holding * row["pad_weight"]) + aside / row["slide"]
    if row["turn"] > 0 and row["moment"] is not None:
        out["moment"] = row["turn"] / row["moment"]
    if row["tie_pull"] > 0 and row["tie"] is not None:
        out["tie"] = row["tie_pull"] / row["tie"]
    if down + (row["pad_weight"] or 0.0) > 0 and row["pad_area"] is not None and row["ground_pressure"] is not None:
        # The pad lies there while the foot lifts, too.
        out["ground"] = (down + pressing * (row["pad_weight"] or 0.0)) / row["pad_area"] / row["ground_pressure"]
    if down > 0 and row["bearing_length"] is not None:
        strength = row["compression_across"]
        if row["basis"] == "eurocode":
            strength *= row["k_mod"] / row["gamma_m"]
        else:
            strength *= (0.67 if row["wet"] else 1.0) * nds_temperature(row["temperature"], row["wet"] == 1)
            strength *= 1.67 * 0.90 if row["basis"] == "lrfd" else 1.0
        out["timber"] = down / (strength * row["breadth"] * row["bearing_length"])
    return out


def rows(count, seed):
    draw = random.Random(seed + 4)

    def between(low, high, digits=4):
        return round(draw.uniform(low, high), digits)

    def maybe(low, high, digits=4):
        return draw.choice([None, between(low, high, digits), between(low, high, digits)])

    for at in range(count):
        lifts = at % 2 == 0
        row = {
            "basis": ["eurocode", "lrfd", "asd"][at % 3], "k_mod": draw.choice([0.6, 0.9, 1.1]), "gamma_m": draw.choice([1.3, 1.0]),
            "time": [1.0, 0.6, 0.8][at // 3 % 3], "wet": draw.choice([0, 1]), "temperature": draw.choice([100.0, 125.0, 150.0]),
            "up": between(10, 6000, 1) if lifts else 0.0, "down": 0.0 if lifts else between(10, 9000, 1),
            "aside": draw.choice([0.0, between(1, 3000, 1), between(1, 3000, 1)]), "tie_pull": draw.choice([0.0, between(1, 4000, 1)]),
            "uplift": maybe(500, 8000, 1), "slide": maybe(500, 5000, 1), "pad_weight": maybe(200, 4000, 1), "pad_area": maybe(0.02, 0.4),
            "ground_pressure": maybe(4e4, 2e5, 0), "friction": maybe(0.1, 0.6, 2), "tie": maybe(500, 6000, 1),
            "bearing_length": maybe(0.03, 0.12), "compression_across": between(2e6, 6e6, 0), "breadth": between(0.03, 0.09),
            "turn": draw.choice([0.0, between(1, 900, 1)]), "moment": maybe(50, 1500, 1),
        }
        yield row | {f"u_{name}": value for name, value in utilisations(row).items()}


COLUMNS = [f"u_{name}" for name in CHECKS]
