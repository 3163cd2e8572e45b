"""Fixings of whole seams, of flat strips without a bevel, recomputed from the reference sheets and from the words of
docs/engineering-basis-fixings.md, by someone who had not read the program's formulas. Where the two versions differed, the sheet
decided. What neither sheet nor words settle is the program's reading, taken over after it was seen: C_g counts every fixing
of the seam; C_b goes for the bevel's edge too; a coach screw has a washer in place of a head; the mitre takes 1.732 b; the
steel assumed under the NDS is that of ASTM A307.

One seam a row; what each check of strength says. Distances are not recomputed here: the rows keep them wide.
"""

import math
import random

import fixings as single
from members_nds import INCH, POUND, PSI

CHECKS = ["washer", "shear", "both", "edge", "splitting", "withdrawal", "head", "steel", "tear-out", "beside", "corner"]

E_ACROSS = 3e8  # the same in every row


def demands(row):
    """Pull in one fixing; its shear along and across the grain; how many share what comes along a half seam."""
    n = row["per_seam"]
    n_1 = 0.5 if n == 1 else n // 2
    a = min(row["lever"], row["depth"] - row["lever"])
    turning = row["moment"] / (a * n)
    pull = turning + max(row["opening"], 0.0) / n + max(row["end_opening"], 0.0) * prying(row, a)
    through = row["through"] / n + row["end_through"] * (2 if n == 1 else 1)
    return a, n, n_1, turning, pull, row["end_along"] / n_1 + row["along"] / n, through


def axial(row, a):
    """Stiffness of one fixing along itself, N/mm: the chain of springs of the words."""
    d, t, a = row["diameter"] * 1e3, row["breadth"] * 1e3, a * 1e3
    disc = (row["washer"] or row["head"] or 2 * row["diameter"]) * 1e3
    if row["kind"] == "screw":
        disc = (row["head"] or 2 * row["diameter"]) * 1e3
    across = E_ACROSS / 1e6
    washer = across * disc
    edge = across * min(disc + 2 * t, row["length"] * 1e3 / row["per_seam"]) * a / 4 / t
    if row["kind"] == "bolt":
        steel = 210000 * math.pi / 4 * (0.85 * d) ** 2 / (2 * t)
        return 1 / (2 / washer + 2 / edge + 1 / steel)
    grip = 780 * d**0.2 * (row["screw"] * 1e3 - t) ** 0.4
    return 1 / (1 / washer + 1 / grip + 2 / edge)


def prying(row, a):
    """What the first fixing holds of a pull at the corner: a beam from the corner round the fixing on to where it touches."""
    first = places(row)[0] * 1e3
    lever = max(first - row["breadth"] * 500 / math.tan(math.pi / 6), 0.0)  # corners of 60°
    if lever == 0:
        return 1.0
    bending = row["elastic"] / 1e6 * row["depth"] * row["breadth"] ** 3 * 1e12 / 12
    wanted = 3 * bending / (2 * axial(row, a) * lever)
    # t³ = wanted·(t + lever): the one positive root, by Newton from above it.
    touch = 10 * max(math.sqrt(wanted), wanted ** (1 / 3) * lever ** (1 / 3))
    for _ in range(80):
        touch -= (touch**3 - wanted * (touch + lever)) / (3 * touch**2 - wanted)
    # A single fixing is pulled by both ends: no less than twice the pull.
    return 1 + lever / min(touch, lever if row["per_seam"] == 1 else row["length"] * 1e3 - first)


def places(row):
    """From the joint to the first fixing, and between fixings."""
    n = row["per_seam"]
    # A lone one stands in the middle, wherever the others would.
    end = row["length"] / n / 2 if row["end"] is None or n == 1 else row["end"]
    if row["end"] is None and n > 1:
        # Even, or further in where the end wants it (corners of 60°) and the others leave room.
        clear, apart, least = (15, 12, 0) if row["kind"] == "screw" else (7, 5, 0.08)
        clear = row["breadth"] * 1.732 + max(clear * row["diameter"], least)
        if clear <= (row["length"] - (n - 1) * apart * row["diameter"]) / 2:
            end = max(end, clear)
    return end, math.inf if n == 1 else (row["length"] - 2 * end) / (n - 1)


def corner(row):
    """Design value of a tested corner."""
    tested = row["corner_pull"] or 0.0
    if row["basis"] == "eurocode":
        return tested * row["k_mod"] / row["gamma_m"]
    # A fifth of it is allowable; connections are converted for strength by 3.32 and 0.65.
    return tested / 5 if row["basis"] == "asd" else tested / 5 * 3.32 * 0.65 * min(row["time"], 1.0)


def corners(row, out):
    if row["corner_pull"] is not None and row["mitre"] > 0:
        out["corner"] = row["mitre"] / corner(row)


def eurocode(row):
    a, n, n_1, turning, pull, along, across = demands(row)
    design = row["k_mod"] / row["gamma_m"]
    d, t, depth = row["diameter"] * 1e3, row["breadth"] * 1e3, row["depth"] * 1e3
    f_u = (row["steel"] or 400e6) / 1e6
    f_c_90 = row["compression_across"] / 1e6
    shear, angle = math.hypot(along, across), math.degrees(math.atan2(across, along))
    _, spacing = (value * 1e3 for value in places(row))
    a_mm = a * 1e3
    out = {}
    if row["kind"] == "bolt":
        washer = row["washer"] * 1e3
        held = single.ec_washer(washer, d, f_c_90)
        steel = 0.9 * f_u * math.pi / 4 * (0.85 * d) ** 2
        resist = min(held * design, steel / 1.25)
        out["washer"], out["steel"] = pull / (held * design), pull / (steel / 1.25)
        kind, d_v, t_2, share, rope = "bolt", d, t, 0.25, min(held, steel)
        row_factor = single.ec_row(n, spacing, d, angle) / n
        disc = washer
    else:
        root = row["root"] * 1e3
        penetration = row["screw"] * 1e3 - t
        l_ef = penetration - d
        declared = row["withdrawal"]
        to = row["declared_density"] or max(350.0, row["density_k"])
        group = n**0.9 / n  # 8.7.2: n_ef in (8.38) to (8.40c) alike
        one = single.ec_withdrawal(d, l_ef, row["density_k"], 90.0, n, declared and declared / 1e6, to) / n
        if penetration < 6 * d:  # 8.7.2(2)
            one = 0.0
        out["withdrawal"] = 0.0 if pull == 0 else pull / (one * design) if one > 0 else math.inf
        resist = one * design
        rope = 0.0
        if row["head_pull"] is not None:
            head = group * single.ec_head(row["head"] * 1e3, row["head_pull"] / 1e6, to, row["density_k"])
            out["head"] = pull / (head * design)
            resist = min(resist, head * design)
            rope = min(one, head)
        steel = group * 0.9 * f_u * math.pi / 4 * root**2
        out["steel"] = pull / (steel / 1.25)
        resist = min(resist, steel / 1.25)
        rope = min(rope, steel)
        d_v, t_2, share = 1.1 * root, penetration, 1.0
        kind = "bolt" if d_v > 6 else "predrilled" if row["predrilled"] == 1 else "driven"
        if d_v > 6:
            row_factor = single.ec_row(n, spacing, d, angle) / n
        else:
            row_factor = single.ec_row_thin(n, spacing, d, row["predrilled"] == 1) / n
        disc = row["head"] * 1e3
    f_h = single.ec_embedment(kind, row["wood"], row["density_k"], d_v, angle)
    m_y = single.ec_yield_moment(d_v, f_u)
    one = single.ec_single_shear(d_v, f_h, f_h, t, t_2, m_y, rope, share)
    hold = one * row_factor * design
    if shear > 0:
        out["shear"] = shear / hold
    if shear > 0 and pull > 0:
        out["both"] = math.hypot(pull / resist, shear / hold) if resist > 0 else math.inf
    if turning > 0:
        block = min(disc + 2 * t, row["length"] * 1e3 / n)
        out["edge"] = turning / (design * f_c_90 * block * a_mm / 2)
    corners(row, out)
    if across > 0:
        out["splitting"] = across / (design * single.ec_splitting(t, depth, a_mm))
    return out


def us(row):
    a, n, n_1, turning, pull, along, across = (
        value / scale for value, scale in zip(demands(row), (INCH, 1, 1, POUND, POUND, POUND, POUND), strict=True))
    n = int(n)
    d, t, depth = row["diameter"] / INCH, row["breadth"] / INCH, row["depth"] / INCH
    lrfd = row["basis"] == "lrfd"
    wet, degrees, g = row["wet"] == 1, row["temperature"], row["gravity"]
    k = 3.32 * 0.65 * min(row["time"], 1.0) if lrfd else min(row["time"], 1.6)
    c_t = single.nds_temperature(degrees, wet)
    f_perp = row["compression_across"] / PSI * (0.67 if wet else 1.0) * c_t * (1.67 * 0.90 if lrfd else 1.0)
    f_v = row["shear_strength"] / PSI
    shear, angle = math.hypot(along, across), math.degrees(math.atan2(across, along))
    end, spacing = (value / INCH for value in places(row))
    end -= 1.732 * t  # the mitre of a corner of 60°

    def bearing_area(length):
        return single.nds_area(length) if end - length / 2 >= 3 else 1.0  # 3.10.4

    f_u = row["steel"] / PSI if row["steel"] else 60000  # ASTM A307
    out = {}
    e_a = row["elastic"] / PSI * t * depth
    bearing = single.nds_bearing(g, d, angle)
    penetration = t
    resists = []
    if row["washer"] is not None:  # bolts and coach screws
        washer = row["washer"] / INCH
        held = f_perp * bearing_area(washer) * math.pi / 4 * (washer**2 - (d + 1 / 16) ** 2)
        out["washer"] = pull / held
        resists.append(held)
        disc = washer
    if row["kind"] == "bolt":
        d_v, f_yb, area = d, 45000, math.pi / 4 * d**2
    else:
        length_in, d_v = row["screw"] / INCH, row["root"] / INCH
        penetration = length_in - t
        factors = k * (0.7 if wet else 1.0) * c_t
        if row["kind"] == "coach":
            penetration -= single.nds_lag_tip(round(d, 4))
            held = single.nds_lag(g, d) * penetration * factors
            f_yb = single.nds_yield_lag(round(d, 4))
        else:
            held = single.nds_wood_screw(g, d) * penetration * factors
            f_yb = single.nds_yield_wood_screw(round(d, 4))
            disc = row["head"] / INCH
            head = single.nds_head(g, disc, t) * factors
            out["head"] = pull / head
            resists.append(head)
        out["withdrawal"] = pull / held
        resists.append(held)
        area = math.pi / 4 * d_v**2
    if row["steel"]:  # softer than such fixings are made of: in proportion
        f_yb = min(f_yb, 0.75 * f_u)
    steel = 0.75 * f_u * area * (0.75 if lrfd else 0.5)
    out["steel"] = pull / steel
    resist = min(*resists, steel)
    reduction = single.nds_reduction(d_v, d, angle)
    bears = penetration - d if row["kind"] == "screw" and penetration < 10 * d else penetration  # half of the tip
    z = single.nds_single_shear(d_v, bears, t, bearing, bearing, f_yb, *reduction)
    c_g = single.nds_group(n, spacing, d, e_a, e_a)  # all in a line
    c_delta = min(1.0, end / (7 * d), spacing / (4 * d)) if d >= 0.25 else 1.0
    hold = z * k * single.nds_wet_lateral(d, wet, False, True) * c_t * c_g * c_delta
    if shear > 0:
        out["shear"] = shear / hold
    if shear > 0 and pull > 0:
        out["both"] = single.nds_combined(pull, shear, resist, hold)
    if turning > 0:
        block = min(disc + 2 * t, row["length"] / INCH / n)
        out["edge"] = turning / (f_perp * bearing_area(block) * block * a / 2)
    if along > 0:
        out["tear-out"] = along * n_1 / (n_1 * f_v * t * min(end, spacing))
    corners(row, out)
    if across > 0:
        near = end < 5 * depth
        out["beside"] = across / (2 / 3 * f_v * t * a * ((a / depth) ** 2 if near else 1.0))
    return out


def rows(count, seed):
    draw = random.Random(seed + 3)

    def between(low, high, digits=6):
        return round(draw.uniform(low, high), digits)

    for at in range(count):
        basis = ["eurocode", "lrfd", "eurocode", "asd"][at % 4]
        ec = basis == "eurocode"
        kind = ["bolt", "screw", "bolt" if ec else "coach"][at // 4 % 3]
        n = draw.choice([1, 2, 3, 4, 5])
        big = kind == "screw" and at % 5 == 0
        if kind == "bolt":
            diameter = between(0.006, 0.012, 4) if ec else draw.choice([0.25, 0.375, 0.5]) * INCH
        elif kind == "coach":
            diameter = draw.choice([0.25, 0.3125, 0.375]) * INCH
        elif ec:
            diameter = 0.010 if big else draw.choice([0.006, 0.007, 0.008])
        else:
            diameter = draw.choice([0.164, 0.190, 0.216, 0.242]) * INCH
        breadth = between(0.045, 0.090) if ec else draw.choice([1.5, 2.5]) * INCH
        depth = between(0.120, 0.240) if ec else draw.choice([5.5, 7.25]) * INCH
        root = None
        if kind != "bolt":
            root = round(diameter * between(0.62, 0.74, 3), 6)
            if kind == "coach":
                root = single.nds_lag_root(round(diameter / INCH, 4)) * INCH
            elif not ec:
                root = single.nds_wood_screw_root(round(diameter / INCH, 4)) * INCH
        row = {
            "basis": basis,
            "k_mod": draw.choice([0.6, 0.7, 0.9, 1.1]) if ec else None,
            "gamma_m": draw.choice([1.3, 1.0, 1.4]) if ec else None,
            "time": None if ec else draw.choice([0.6, 0.8, 1.0] if basis == "lrfd" else [0.9, 1.15, 1.6, 2.0]),
            "wet": draw.choice([0, 1]), "temperature": draw.choice([100.0, 100.0, 125.0, 150.0]),
            "kind": kind, "diameter": diameter, "per_seam": n,
            "breadth": breadth, "depth": depth, "length": round(between(1.0, 1.1) * n * (0.10 if at % 7 == 6 else 0.45), 6),
            "lever": round(depth * between(0.4, 0.6, 3), 6),
            "end": None,
            "wood": draw.choice(["softwood", "softwood", "hardwood"]) if ec and kind == "bolt" else "softwood",
            "density_k": between(300, 420, 0), "gravity": between(0.36, 0.55, 2),
            "compression_across": between(2e6, 6e6, 0), "elastic": between(7e9, 13e9, 0),
            "shear_strength": between(0.7e6, 2.5e6, 0),
            "washer": between(0.030, 0.050, 4) if kind != "screw" else None,
            "screw": None if kind == "bolt" else round(2 * breadth - 0.006 + (0.012 if kind == "coach" else 0.0) * 0, 6),
            "root": root,
            "head": between(0.010, 0.018, 4) if kind == "screw" else None,
            "steel": draw.choice([None, between(300e6, 900e6, 0)]),
            "withdrawal": between(9e6, 15e6, 0) if ec and kind == "screw" and at % 3 == 0 else None,
            "head_pull": between(9e6, 20e6, 0) if ec and kind == "screw" and at % 2 == 0 else None,
            "declared_density": draw.choice([None, between(330, 450, 0)]),
            "predrilled": 1 if kind == "screw" and (at % 3 != 1 or big or diameter > 0.006) else 0,
            "corner_pull": draw.choice([None, None, between(100, 900, 1)]),
            "moment": draw.choice([0.0, between(5, 90, 2), between(5, 90, 2)]),
            "opening": draw.choice([0.0, between(-500, 900, 1)]),
            "end_opening": draw.choice([0.0, between(-500, 900, 1), between(0, 900, 1)]),
            "end_along": draw.choice([0.0, between(0, 1500, 1)]), "end_through": draw.choice([0.0, between(0, 300, 1)]),
            "mitre": draw.choice([0.0, between(-500, 900, 1)]),
            "along": draw.choice([0.0, between(0, 900, 1)]), "through": draw.choice([0.0, between(0, 700, 1)]),
        }
        if n > 1 and at % 3 == 2 and at % 7 != 6:  # far enough not to be a matter of room
            row["end"] = round(1.74 * breadth + max(15 * diameter, 0.08) + draw.choice([0.0, between(0, 0.05)]), 6)
        if at % 7 == 6 and not ec:  # so short a seam has room for turning alone
            row |= {"end_along": 0.0, "end_through": 0.0, "along": 0.0, "through": 0.0}
        row = {name: float(f"{value:.13g}") if isinstance(value, float) else value for name, value in row.items()}
        found = eurocode(row) if ec else us(row)
        yield row | {f"u_{name}": value for name, value in found.items()}


COLUMNS = [f"u_{name}" for name in CHECKS]
