"""Timbers that bear on something, EN 1995-1-1 6.1.5 and 6.2.2 and NDS-2018 3.10, recomputed from the reference sheets. Its writer had
read the program's formulas. One bearing a row.
"""

import math
import random

from fixings import nds_area
from members_eurocode import GAMMA_M, K_MOD
from members_nds import HOT, INCH, POUND, PSI, SIZE, nominal

CHECKS = ["across", "angle"]
K_C_90 = {("softwood", "continuous"): 1.25, ("softwood", "discrete"): 1.5, ("glulam", "continuous"): 1.5, ("glulam", "discrete"): 1.75}


def eurocode(row):
    design = K_MOD[row["service_class"]][row["duration"]] / GAMMA_M[row["material"]]
    k = K_C_90.get((row["material"], row["support"]), 1.0)
    if (row["material"], row["support"]) == ("glulam", "discrete") and row["contact"] > 0.4:
        k = 1.0
    across, along = row["across"] * design * k, row["along"] * design
    if row["angle"] == 90:
        length = row["contact"] + min(0.030, row["to_end"], row["contact"]) + min(0.030, row["contact"])
        return {"across": row["force"] / (row["breadth"] * length) / across}
    a = math.radians(row["angle"])
    strength = along / (along / across * math.sin(a) ** 2 + math.cos(a) ** 2)
    return {"angle": row["force"] / (row["breadth"] * row["contact"]) / strength}


def us(row):
    wet, lrfd = row["wet"] == 1, row["method"] == "lrfd"
    _, dry_heat, wet_heat = HOT[row["temperature"]]
    heat = wet_heat if wet else dry_heat
    length, b, d = row["contact"] / INCH, row["breadth"] / INCH, row["depth"] / INCH
    across = row["across"] / PSI * (0.67 if wet else 1.0) * heat * (1.67 * 0.90 if lrfd else 1.0)
    if row["to_end"] / INCH >= 3:
        across *= nds_area(length)
    stress = row["force"] / POUND / (b * length)
    if row["angle"] == 90:
        return {"across": stress / across}
    c_f = SIZE["general"][nominal(max(b, d))][3]
    along = row["along"] / PSI * c_f * heat * (0.8 if wet and row["along"] / PSI * c_f > 750 else 1.0)
    along *= (0.80 if row["incised"] == 1 else 1.0) * row["time"] * (2.40 * 0.90 if lrfd else 1.0)
    a = math.radians(row["angle"])
    strength = along * across / (along * math.sin(a) ** 2 + across * math.cos(a) ** 2)
    return {"angle": stress / strength}


def rows(count, seed):
    draw = random.Random(seed + 6)

    def between(low, high, digits=4):
        return round(draw.uniform(low, high), digits)

    for at in range(count):
        ec = at % 2 == 0
        row = {
            "basis": "eurocode" if ec else "us", "material": draw.choice(["softwood", "softwood", "hardwood", "glulam", "lvl"]),
            "service_class": draw.choice([1, 2, 3]), "duration": draw.choice(["permanent", "long", "medium", "short", "instantaneous"]),
            "support": draw.choice(["unknown", "continuous", "discrete"]),
            "method": draw.choice(["lrfd", "asd"]), "time": draw.choice([0.8, 1.0]), "wet": draw.choice([0, 1]),
            "temperature": draw.choice(["usual", "warm", "hot"]), "incised": draw.choice([0, 1]),
            "along": between(4e6, 13e6, 0), "across": between(2e6, 6e6, 0),
            "breadth": between(0.038, 0.09), "depth": between(0.095, 0.185), "contact": draw.choice([0.45, between(0.02, 0.2), between(0.02, 0.2)]),
            "to_end": draw.choice([0.0, between(0.0, 0.03), between(0.0, 0.3)]), "force": between(500, 20000, 1),
            "angle": draw.choice([90.0, 90.0, 0.0, between(1, 89, 2)]),
        }
        yield row | {f"u_{name}": value for name, value in (eurocode(row) if ec else us(row)).items()}


COLUMNS = [f"u_{name}" for name in CHECKS]
