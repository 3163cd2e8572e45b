"""Timbers to NDS-2018, recomputed from a reference sheet of the standard's equations and from the words of
docs/engineering-basis-members.md, by someone who had not read the program's formulas. Where the two versions differed, the
sheet decided. What neither sheet nor words settle is the program's reading, taken over after it was seen: torsion has the
shear beside it added; R_B has the mean thickness of a trapezium; a pull beyond edgewise bending is no help in (3.9-2); forces
of a second-order analysis lose what compression adds to the moments in (3.9-3) and keep C_P.

Pounds and inches inside; what is laid down is in SI. One place of one timber a row; its worst utilisation, and that of
each equation that applies. Past a limit at which an equation changes its sign the utilisation is infinite.
"""

import math
import random

from members_eurocode import torsion_modulus

INCH = 0.0254
POUND = 0.45359237 * 9.80665
PSI = POUND / INCH**2
DRESSED = [(2, 1.5), (3, 2.5), (4, 3.5), (5, 4.5), (6, 5.5), (8, 7.25), (10, 9.25), (12, 11.25), (14, 13.25)]
# Supplement Table 4A: C_F on F_b (2 and 3 in thick, 4 in thick), F_t, F_c.
SIZE = {
    "general": {2: (1.5, 1.5, 1.5, 1.15), 3: (1.5, 1.5, 1.5, 1.15), 4: (1.5, 1.5, 1.5, 1.15), 5: (1.4, 1.4, 1.4, 1.1),
                6: (1.3, 1.3, 1.3, 1.1), 8: (1.2, 1.3, 1.2, 1.05), 10: (1.1, 1.2, 1.1, 1.0), 12: (1.0, 1.1, 1.0, 1.0)},
    "stud": {2: (1.1, 1.1, 1.1, 1.05), 3: (1.1, 1.1, 1.1, 1.05), 4: (1.1, 1.1, 1.1, 1.05), 5: (1.0, 1.0, 1.0, 1.0),
             6: (1.0, 1.0, 1.0, 1.0)},
    "construction": {2: (1.0,) * 4, 3: (1.0,) * 4, 4: (1.0,) * 4},
    "included": {width: (1.0,) * 4 for width in (2, 3, 4, 5, 6, 8, 10, 12)},
}
FLAT = {2: (1.0, 1.0), 3: (1.0, 1.0), 4: (1.1, 1.0), 5: (1.1, 1.05), 6: (1.15, 1.05), 8: (1.15, 1.05), 10: (1.2, 1.1),
        12: (1.2, 1.1)}
HOT = {  # Table 2.3.3: (F_t, E, E_min), then the rest dry and wet
    "usual": (1.0, 1.0, 1.0), "warm": (0.9, 0.8, 0.7), "hot": (0.9, 0.7, 0.5),
}
EQUATIONS = ["3.4.1", "torsion", "3.6.3", "3.8.1", "3.9-1", "3.9-2", "3.3.1", "3.9-3", "3.9-4"]


def nominal(inches):
    """The nominal size whose dressed one is as large or the next larger (the careful reading of a size between two)."""
    return next(name for name, dressed in DRESSED if inches <= dressed + 0.04)


def reached(inches):
    """The widest nominal size that is reached: what grows with the width takes the narrower of two."""
    return max((name for name, dressed in DRESSED if inches >= dressed - 0.04), default=2)


def stability(ratio, c, over):
    """The root that C_P (c, 2c) and C_L (0.95, 1.9) share."""
    half = (1 + ratio) / over
    return half - math.sqrt(half**2 - ratio / c)


def utilisations(row):
    b, d, length = row["breadth"] / INCH, row["depth"] / INCH, row["length"] / INCH
    area = row["area"] / INCH**2
    i_y, i_z = row["second_moment_y"] / INCH**4, row["second_moment_z"] / INCH**4
    w_y, w_z = row["modulus_y"] / INCH**3, row["modulus_z"] / INCH**3
    n, t = row["n"] / POUND, row["t"] / POUND / INCH
    m_y, m_z = abs(row["my"]) / POUND / INCH, abs(row["mz"]) / POUND / INCH
    thick, wide = nominal(min(b, d)), nominal(max(b, d))
    four = 1 if thick >= 4 else 0
    c_f = SIZE[row["group"]][wide]
    # Planed to less than 3 1/2 in it has not the greater C_F of lumber 4 in thick, but the lesser C_fu.
    deep = 1 if min(b, d) >= 3.46 else 0
    wet = row["wet"] == 1
    stiff_heat, dry_heat, wet_heat = HOT[row["temperature"]]
    heat = wet_heat if wet else dry_heat
    cut, cut_e = (0.80, 0.95) if row["incised"] == 1 else (1.0, 1.0)
    lrfd = row["method"] == "lrfd"

    def factor(k_f, phi):
        return k_f * phi * row["time"] if lrfd else row["time"]

    f_b0, f_t0, f_v0, f_c0, e_min0 = (row[name] / PSI for name in ("f_b", "f_t", "f_v", "f_c", "e_min"))
    wet_b = 0.85 if wet and f_b0 * c_f[deep] > 1150 else 1.0
    wet_c = 0.8 if wet and f_c0 * c_f[3] > 750 else 1.0
    f_b_star = f_b0 * factor(2.54, 0.85) * wet_b * heat * c_f[deep] * cut * (1.15 if row["repetitive"] == 1 else 1.0)
    f_t = f_t0 * factor(2.70, 0.80) * stiff_heat * c_f[2] * cut
    f_v = f_v0 * factor(2.88, 0.75) * (0.97 if wet else 1.0) * heat * cut
    f_c_star = f_c0 * factor(2.40, 0.90) * wet_c * heat * c_f[3] * cut
    e_min = e_min0 * (0.9 if wet else 1.0) * stiff_heat * cut_e * (1.76 * 0.85 if lrfd else 1.0)
    f_b2 = f_b_star * FLAT[reached(max(b, d))][four]

    # 3.1.2: what is bored away is off.
    net_area, net_y, net_z = area, w_y, w_z
    if row["hole"] is not None:
        hole, off = row["hole"] / INCH, row["hole_off"] / INCH
        net_area = area - b * hole
        net_y = w_y * (1 - (b * hole**3 / 12 + b * hole * off**2) / i_y)
        net_z = w_z * (1 - (hole * b**3 / 12) / i_z)

    side_y, side_z = math.sqrt(12 * i_y / area), math.sqrt(12 * i_z / area)
    held = row["side"] != "none"
    slender_y = row["factor_y"] * length / side_y
    slender_z = 0.0 if held else row["factor_z"] * length / side_z
    edgewise_y = i_y >= i_z
    if edgewise_y:
        f_b1, f_b2_stress, slender_1, slender_2 = m_y / net_y, m_z / net_z, slender_y, slender_z
        d_1, d_2 = side_y, area / d  # the mean thickness, which is the thickness of a rectangle
        moment_1 = row["my"]
    else:
        f_b1, f_b2_stress, slender_1, slender_2 = m_z / net_z, m_y / net_y, slender_z, slender_y
        d_1, d_2 = side_z, area / b
        moment_1 = row["mz"]

    def euler(slender):
        return math.inf if slender == 0 else 0.822 * e_min / slender**2

    f_ce1, f_ce2 = euler(slender_1), euler(slender_2)
    worst = min(f_ce1, f_ce2) / f_c_star
    c_p = 1.0 if math.isinf(worst) else stability(worst, 0.8, 1.6)

    # Table 3.3.3
    ratio = length / d_1
    if row["loading"] == "uniform":
        l_e = 2.06 * length if ratio < 7 else 1.63 * length + 3 * d_1
    elif row["loading"] == "ends":
        l_e = 1.84 * length
    else:
        l_e = 2.06 * length if ratio < 7 else 1.63 * length + 3 * d_1 if ratio <= 14.3 else 1.84 * length
    r_b = math.sqrt(l_e * d_1 / d_2**2)
    f_be = 1.20 * e_min / r_b**2
    c_l = stability(f_be / f_b_star, 0.95, 1.9)
    square = d_1 <= d_2 * (1 + 1e-12)
    # My > 0 stretches the outside face.
    edge_held = edgewise_y and (row["side"] == "both" or (row["side"] == "outside" and moment_1 < 0))
    if square:  # 3.3.3.1; F_bE keeps its meaning in (3.9-3)
        c_l = 1.0
    if edge_held:
        c_l, f_be, r_b = 1.0, math.inf, 0.0
    f_b1_design = f_b_star * c_l

    out = {}
    bent = f_b1 != 0 or f_b2_stress != 0
    over = math.inf
    if f_b1 != 0 and r_b > 50:
        out["limit"] = over
    if n > 0:
        pull = n / net_area
        if not bent:
            out["3.8.1"] = pull / f_t
        else:
            out["3.9-1"] = pull / f_t + f_b1 / f_b_star + f_b2_stress / f_b2
            # Where the pull is more than edgewise bending asks, what it leaves over does not help the flatwise one.
            out["3.9-2"] = max(f_b1 - pull, 0.0) / f_b1_design + f_b2_stress / f_b2
    elif n == 0 and bent:
        if f_b2_stress == 0:
            out["3.3.1"] = f_b1 / f_b1_design
        elif f_b1 >= f_be:
            out["limit"] = over
        else:
            out["3.9-3"] = f_b1 / f_b1_design + f_b2_stress / (f_b2 * (1 - (f_b1 / f_be) ** 2))
    elif n < 0:
        push = -n / net_area
        if max(slender_1, slender_2) > 50:
            out["limit"] = over
        f_c = f_c_star * c_p
        out["3.6.3"] = push / f_c
        if bent:
            one, two = push / f_ce1, push / f_ce2
            third = two + (f_b1 / f_be) ** 2
            if (f_b1 != 0 and one >= 1) or (f_b2_stress != 0 and two >= 1) or f_b1 >= f_be or (f_b1 and f_b2_stress and third >= 1):
                out["limit"] = over
            else:
                out["3.9-3"] = (push / f_c) ** 2
                if f_b1 != 0:
                    out["3.9-3"] += f_b1 / (f_b1_design * (1 - one))
                if f_b2_stress != 0:
                    out["3.9-3"] += f_b2_stress / (f_b2 * (1 - third))
                    out["3.9-4"] = two + (f_b1 / f_be) ** 2
    shear = math.hypot(row["vy"], row["vz"]) / POUND
    if shear != 0:
        out["3.4.1"] = (1.5 if row["rectangle"] == 1 else 1.51) * shear / net_area / f_v
    if t != 0:
        narrow = 2 * area / d - b
        long, short = max(narrow, d), min(narrow, d)
        # No rule: two thirds of F_v', and the shear that stands beside it added (on one side they do add).
        out["torsion"] = abs(t) / (torsion_modulus(long / short) * long * short**2) / (2 / 3 * f_v) + out.get("3.4.1", 0.0)
    return out


def rows(count, seed):
    draw = random.Random(seed + 1)

    def between(low, high, digits=6):
        return round(draw.uniform(low, high), digits)

    for at in range(count):
        b, d = draw.choice([1.5, 1.5, 2.5, 3.5, between(1.47, 3.5, 2)]), draw.choice([2.5, 3.5, 5.5, 7.25, between(1.5, 9, 2)])
        if at % 9 == 4:
            b, d = d, b
        if at % 17 == 3:
            b = d = min(b, d)
        group = draw.choice(["general", "general", "stud", "construction", "included"])
        if group == "stud" and nominal(max(b, d)) > 6 or group == "construction" and nominal(max(b, d)) > 4:
            group = "general"
        b, d = b * INCH, d * INCH
        rectangle = at % 4 != 1
        area, i_y, i_z = b * d, b * d**3 / 12, d * b**3 / 12
        w_y, w_z, torsion = b * d**2 / 6, d * b**2 / 6, 0.23 * max(b, d) * min(b, d) ** 3
        if not rectangle:
            area *= between(0.85, 0.97)
            i_y, i_z, torsion = (value * between(0.75, 0.95) for value in (i_y, i_z, torsion))
            w_y, w_z = (value * between(0.70, 0.95) for value in (w_y, w_z))
        lrfd = at % 2 == 0
        stress = (900 if lrfd else 500) * PSI
        kind = at % 7
        push = between(0.02, 0.35) if at % 3 else between(0.2, 1.2)
        row = {
            "group": group,
            "f_b": round(between(500, 1800, 0) * PSI, 3),
            "f_t": round(between(300, 1100, 0) * PSI, 3),
            "f_v": round(between(130, 190, 0) * PSI, 3),
            "f_c": round(between(500, 1900, 0) * PSI, 3),
            "e_min": round(between(300000, 700000, 0) * PSI, 1),
            "method": "lrfd" if lrfd else "asd",
            "time": draw.choice([0.6, 0.8, 1.0] if lrfd else [0.9, 1.0, 1.15, 1.25, 1.6]),
            "wet": 1 if at % 5 in (0, 3) else 0,
            "temperature": draw.choice(["usual", "usual", "warm", "hot"]),
            "incised": 1 if at % 6 == 1 else 0,
            "repetitive": 1 if at % 8 == 3 else 0,
            "rectangle": 1 if rectangle else 0,
            "breadth": b, "depth": d, "area": area,
            "second_moment_y": i_y, "second_moment_z": i_z, "torsion": torsion, "modulus_y": w_y, "modulus_z": w_z,
            "length": between(0.2, 0.6, 4) if at % 4 == 0 else between(0.6, 3.2, 4),
            "factor_y": draw.choice([1.0, between(0.5, 1.6, 3)]),
            "factor_z": draw.choice([1.0, between(0.5, 1.6, 3)]),
            "loading": draw.choice(["other", "other", "uniform", "ends"]),
            "side": draw.choice(["none", "none", "outside", "both"]),
            "hole": between(0.005, 0.012) if at % 4 == 2 else None,
            "hole_off": None,
            "n": [-1, -1, -1, 1, 1, 0, -1][kind] * round(push * stress * area, 2),
            "vy": draw.choice([0.0, between(-1e3, 1e3, 2)]),
            "vz": draw.choice([0.0, between(-1e3, 1e3, 2)]),
            "t": draw.choice([0.0, between(-30.0, 30.0, 3)]),
            "my": 0.0 if kind in (2, 4) else round(between(-1.0, 1.0) * stress * w_y, 4),
            "mz": 0.0 if kind in (2, 4, 6) and at % 3 else round(between(-0.7, 0.7) * stress * w_z, 4),
        }
        if row["hole"] is not None:
            row["hole_off"] = draw.choice([0.0, between(0.0, 0.25 * d)])
        row = {name: float(f"{value:.13g}") if isinstance(value, float) else value for name, value in row.items()}
        found = utilisations(row)
        yield row | {f"u_{name}": value for name, value in found.items() if name != "limit"} | {
            "worst": max(found.values(), default=0.0)}


COLUMNS = ["worst"] + [f"u_{name}" for name in EQUATIONS]
