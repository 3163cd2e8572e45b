"""Single formulas of fixings to EN 1995-1-1 (newtons, millimetres) and NDS-2018 (pounds, inches), recomputed from reference
sheets of the standards by someone who had not read the program's.

A row is a formula's name, its arguments in the order of its signature here, and its value.
"""

import math
import random

# ---- EN 1995-1-1


def ec_embedment(kind, wood, density, diameter, angle):
    """8.15, 8.16; 8.31 to 8.33."""
    if kind == "driven":
        return 0.082 * density * diameter**-0.3
    along = 0.082 * (1 - 0.01 * diameter) * density
    if kind == "predrilled":
        return along
    k_90 = {"softwood": 1.35, "hardwood": 0.90}[wood] + 0.015 * diameter
    a = math.radians(angle)
    return along / (k_90 * math.sin(a) ** 2 + math.cos(a) ** 2)


def ec_yield_moment(diameter, steel):
    """8.14, 8.30."""
    return 0.3 * steel * diameter**2.6


def johansen(d, f_1, f_2, t_1, t_2, m_y):
    """The yield terms of (8.6), a to f, without the rope."""
    b = f_2 / f_1
    r = t_2 / t_1
    bear = f_1 * t_1 * d
    return {
        "a": bear,
        "b": f_2 * t_2 * d,
        "c": bear / (1 + b) * (math.sqrt(b + 2 * b**2 * (1 + r + r**2) + b**3 * r**2) - b * (1 + r)),
        "d": 1.05 * bear / (2 + b) * (math.sqrt(2 * b * (1 + b) + 4 * b * (2 + b) * m_y / (f_1 * d * t_1**2)) - b),
        "e": 1.05 * f_1 * t_2 * d / (1 + 2 * b)
        * (math.sqrt(2 * b**2 * (1 + b) + 4 * b * (1 + 2 * b) * m_y / (f_1 * d * t_2**2)) - b),
        "f": 1.15 * math.sqrt(2 * b / (1 + b)) * math.sqrt(2 * m_y * f_1 * d),
    }


def with_rope(term, axial, share):
    """8.2.2(2): a quarter of the pull, at most so much of the yield term."""
    return term + min(axial / 4, share * term)


def ec_single_shear(d, f_1, f_2, t_1, t_2, m_y, axial, share):
    terms = johansen(d, f_1, f_2, t_1, t_2, m_y)
    return min(terms["a"], terms["b"], *(with_rope(terms[mode], axial, share) for mode in "cdef"))


def ec_washer(washer, diameter, across):
    """8.5.2(2)."""
    return 3 * across * math.pi / 4 * (washer**2 - (diameter + 1) ** 2)


def ec_withdrawal(d, length, density, angle, number, declared, declared_density):
    """8.38 to 8.41; with the maker's value 8.40a."""
    a = math.radians(angle)
    if angle < 30:
        return 0.0
    slope = 1.2 * math.cos(a) ** 2 + math.sin(a) ** 2
    if declared is not None:
        return number**0.9 * declared * d * length / slope * (density / declared_density) ** 0.8
    if not 6 <= d <= 12:
        return 0.0
    f_ax = 0.52 * d**-0.5 * length**-0.1 * density**0.8
    return number**0.9 * f_ax * d * length * min(d / 8, 1) / slope


def ec_head(head, declared, declared_density, density):
    """8.40b."""
    return declared * head**2 * (density / declared_density) ** 0.8


def ec_row(number, spacing, diameter, angle):
    """8.34, 8.35; one bolt is no row."""
    if number == 1:
        return 1.0
    along = min(number, number**0.9 * (spacing / (13 * diameter)) ** 0.25)
    return along + (number - along) * angle / 90


def ec_row_thin(number, spacing, diameter, predrilled):
    """8.17, Table 8.1 with straight lines between its rows."""
    points = [(7, 0.7), (10, 0.85), (14, 1.0)]
    if predrilled:
        points = [(4, 0.5), *points]
    ratio = spacing / diameter
    if ratio < points[0][0]:
        return 1.0  # No row of the table: as if there were one.
    exponent = 1.0
    for (low, k_low), (high, k_high) in zip(points, points[1:]):
        if low <= ratio < high:
            exponent = k_low + (k_high - k_low) * (ratio - low) / (high - low)
    return number**exponent


def ec_splitting(width, depth, loaded):
    """8.4, w = 1."""
    return 14 * width * math.sqrt(loaded / (1 - loaded / depth))


def ec_slip(kind, density, diameter):
    """Table 7.1."""
    return density**1.5 * (diameter**0.8 / 30 if kind == "driven" else diameter / 23)


def ec_combined(axial, lateral):
    """8.28, as the length of the vector."""
    return math.hypot(axial, lateral)


# ---- NDS-2018


def nds_bearing(gravity, diameter, angle):
    """Table 12.3.3 and 12.3-11."""
    if diameter < 0.25:
        return 16600 * gravity**1.84
    along, across = 11200 * gravity, 6100 * gravity**1.45 / math.sqrt(diameter)
    a = math.radians(angle)
    return along * across / (along * math.sin(a) ** 2 + across * math.cos(a) ** 2)


def nds_reduction(diameter, nominal, angle):
    """Table 12.3.1B: bearing, rotation, hinge."""
    k_theta = 1 + 0.25 * angle / 90
    if diameter >= 0.25:
        return 4 * k_theta, 3.6 * k_theta, 3.2 * k_theta
    k_d = 2.2 if diameter <= 0.17 else 10 * diameter + 0.5
    if nominal >= 0.25:
        k_d *= k_theta
    return k_d, k_d, k_d


def nds_modes(d, l_m, l_s, f_m, f_s, f_yb, r):
    """Table 12.3.1A."""
    r_e, r_t = f_m / f_s, l_m / l_s
    k_1 = (math.sqrt(r_e + 2 * r_e**2 * (1 + r_t + r_t**2) + r_t**2 * r_e**3) - r_e * (1 + r_t)) / (1 + r_e)
    k_2 = -1 + math.sqrt(2 * (1 + r_e) + 2 * f_yb * (1 + 2 * r_e) * d**2 / (3 * f_m * l_m**2))
    k_3 = -1 + math.sqrt(2 * (1 + r_e) / r_e + 2 * f_yb * (2 + r_e) * d**2 / (3 * f_m * l_s**2))
    return {
        "Im": d * l_m * f_m / r[0],
        "Is": d * l_s * f_s / r[0],
        "II": k_1 * d * l_s * f_s / r[1],
        "IIIm": k_2 * d * l_m * f_m / ((1 + 2 * r_e) * r[2]),
        "IIIs": k_3 * d * l_s * f_m / ((2 + r_e) * r[2]),
        "IV": d**2 / r[2] * math.sqrt(2 * f_m * f_yb / (3 * (1 + r_e))),
    }


def nds_single_shear(*arguments):
    *rest, bearing, rotation, hinge = arguments
    return min(nds_modes(*rest, (bearing, rotation, hinge)).values())


def nds_group(number, spacing, diameter, main, side):
    """11.3-1, wood to wood; one is no group."""
    if diameter < 0.25 or number == 1:
        return 1.0
    r_ea = min(main / side, side / main)
    u = 1 + 180000 * diameter**1.5 * spacing / 2 * (1 / main + 1 / side)
    m = u - math.sqrt(u**2 - 1)
    n = number
    top = m * (1 - m ** (2 * n))
    return top / (n * ((1 + r_ea * m**n) * (1 + m) - 1 + m ** (2 * n))) * (1 + r_ea) / (1 - m)


def nds_lag(gravity, diameter):
    return 1800 * gravity**1.5 * diameter**0.75


def nds_wood_screw(gravity, diameter):
    return 2850 * gravity**2 * diameter


def nds_head(gravity, head, side):
    return 690 * math.pi * head * gravity**2 * side if side <= 2.5 * head else 1725 * math.pi * head**2 * gravity**2


def nds_combined(pull, lateral, pull_resistance, lateral_resistance):
    """12.4-1: load over Z'α of its own direction."""
    load = math.hypot(pull, lateral)
    if load == 0:
        return 0.0
    cos2, sin2 = (lateral / load) ** 2, (pull / load) ** 2
    return load / (pull_resistance * lateral_resistance / (pull_resistance * cos2 + lateral_resistance * sin2))


def nds_area(length):
    """3.10-2."""
    return (length + 0.375) / length if length < 6 else 1.0


def nds_temperature(degrees, wet):
    """Table 11.3.4."""
    if degrees <= 100:
        return 1.0
    return {True: 0.7, False: 0.8}[wet] if degrees <= 125 else {True: 0.5, False: 0.7}[wet]


def nds_wet_lateral(diameter, wet, made_wet, one_line):
    """Table 11.3.3."""
    if wet:
        return 0.7
    if made_wet:
        return 0.7 if diameter < 0.25 else 1.0 if one_line else 0.4
    return 1.0


def nds_yield_lag(diameter):
    """Appendix I: 1/4 in, 5/16 in, thicker."""
    return {0.25: 70000, 0.3125: 60000}.get(diameter, 45000)


def nds_yield_wood_screw(diameter):
    for most, value in ((0.142, 100000), (0.177, 90000), (0.236, 80000), (0.273, 70000), (0.344, 60000)):
        if diameter <= most:
            return value
    return 45000


def nds_lag_root(diameter):
    return {0.25: 0.173, 0.3125: 0.227, 0.375: 0.265, 0.4375: 0.328, 0.5: 0.371, 0.625: 0.471, 0.75: 0.579}[diameter]


def nds_lag_tip(diameter):
    return {0.25: 5 / 32, 0.3125: 3 / 16, 0.375: 7 / 32, 0.4375: 9 / 32, 0.5: 5 / 16, 0.625: 13 / 32, 0.75: 1 / 2}[diameter]


def nds_wood_screw_root(diameter):
    return {0.138: 0.113, 0.164: 0.131, 0.177: 0.142, 0.190: 0.152, 0.216: 0.171, 0.242: 0.196, 0.268: 0.209, 0.294: 0.232,
            0.320: 0.255, 0.372: 0.298}[diameter]


LAGS = [0.25, 0.3125, 0.375, 0.4375, 0.5, 0.625, 0.75]
SCREWS = [0.138, 0.164, 0.177, 0.190, 0.216, 0.242, 0.268, 0.294, 0.320, 0.372]


def rows(count, seed):
    draw = random.Random(seed + 2)

    def between(low, high, digits=4):
        return round(draw.uniform(low, high), digits)

    def plane():
        return (between(4, 16, 2), between(8, 40), between(8, 40), between(18, 100, 2), between(18, 100, 2),
                between(3e3, 2e5, 1), draw.choice([0.0, between(100, 9000, 1)]), draw.choice([0.25, 1.0]))

    def us_plane():
        rotation = nds_reduction(draw.choice([0.16, 0.2, 0.3]), draw.choice([0.2, 0.3]), between(0, 90, 1))
        return (between(0.15, 0.75), between(0.7, 4), between(0.7, 4), between(1500, 6500, 0), between(1500, 6500, 0),
                between(45000, 100000, 0), *(round(value, 6) for value in rotation))

    def thin():
        predrilled = draw.choice([True, False])
        d = between(3, 6, 1)
        return (draw.choice([2, 3, 4, 7]), round(d * draw.choice([between(7, 20, 2), 7, 10, 14] + [between(4, 7, 2)] * predrilled), 4), d,
                predrilled)

    made = [
        (ec_embedment, lambda: (draw.choice(["bolt", "bolt", "driven", "predrilled"]), draw.choice(["softwood", "hardwood"]),
                                between(290, 700, 0), between(3, 20, 2), draw.choice([0.0, 90.0, between(0, 90, 2)]))),
        (ec_yield_moment, lambda: (between(3, 20, 2), between(300, 1000, 0))),
        (ec_single_shear, plane), (ec_single_shear, plane), (ec_single_shear, plane),
        (ec_washer, lambda: (between(20, 80, 1), between(5, 16, 1), between(1.5, 6, 3))),
        (ec_withdrawal, lambda: (draw.choice([6.0, 12.0, between(4, 14, 1)]), between(15, 120, 1), between(290, 600, 0),
                                 draw.choice([90.0, 30.0, between(20, 90, 1)]), draw.choice([1.0, 2.0, 5.0]), None, None)),
        (ec_withdrawal, lambda: (between(4, 14, 1), between(15, 120, 1), between(290, 600, 0),
                                 draw.choice([90.0, between(30, 90, 1)]), draw.choice([1.0, 3.0]), between(8, 16, 2),
                                 draw.choice([350.0, between(300, 480, 0)]))),
        (ec_head, lambda: (between(6, 25, 1), between(8, 30, 1), between(300, 450, 0), between(290, 600, 0))),
        (ec_row, lambda: (draw.choice([1.0, 2.0, 4.0, 9.0]), between(20, 250, 1), between(5, 16, 1),
                          draw.choice([0.0, 90.0, between(0, 90, 2)]))),
        (ec_row_thin, thin),
        (ec_splitting, lambda: (width := between(30, 90, 1), depth := between(45, 200, 1), round(depth * between(0.2, 0.9), 3))),
        (ec_slip, lambda: (draw.choice(["bolt", "driven", "predrilled"]), between(350, 700, 0), between(3, 16, 1))),
        (ec_combined, lambda: (between(0, 2), between(0, 2))),
        (nds_bearing, lambda: (between(0.35, 0.6, 2), draw.choice([0.25, 0.2499, between(0.1, 0.8)]),
                               draw.choice([0.0, 90.0, between(0, 90, 1)]))),
        (nds_single_shear, us_plane), (nds_single_shear, us_plane), (nds_single_shear, us_plane),
        (nds_group, lambda: (draw.choice([1, 2, 5, 12]), between(1, 12, 2), draw.choice([0.25, 0.19, between(0.25, 0.8)]),
                             between(3e6, 3e7, 0), between(3e6, 3e7, 0))),
        (nds_lag, lambda: (between(0.35, 0.6, 2), between(0.25, 0.75))),
        (nds_wood_screw, lambda: (between(0.35, 0.6, 2), between(0.13, 0.38))),
        (nds_head, lambda: (between(0.35, 0.6, 2), between(0.25, 1.0, 3), between(0.5, 3.5, 2))),
        (nds_combined, lambda: (draw.choice([0.0, between(0, 900, 1)]), between(1, 900, 1), between(50, 2000, 1), between(50, 2000, 1))),
        (nds_area, lambda: (draw.choice([6.0, 5.99, between(0.5, 8, 2)]),)),
        (nds_temperature, lambda: (draw.choice([60.0, 100.0, 100.1, 125.0, 125.1, 150.0]), draw.choice([True, False]))),
        (nds_wet_lateral, lambda: (draw.choice([0.2, 0.25, 0.5]), *(draw.choice([True, False]) for _ in range(3)))),
        (nds_yield_lag, lambda: (draw.choice(LAGS),)), (nds_lag_root, lambda: (draw.choice(LAGS),)),
        (nds_lag_tip, lambda: (draw.choice(LAGS),)),
        (nds_yield_wood_screw, lambda: (draw.choice(SCREWS),)), (nds_wood_screw_root, lambda: (draw.choice(SCREWS),)),
    ]
    reductions = ["bearing", "rotation", "hinge"]
    for at in range(count):
        if at % (len(made) + 1) == len(made):
            diameter = draw.choice([0.17, 0.1701, 0.25, between(0.1, 0.5)])
            arguments = (diameter, draw.choice([diameter, round(diameter * 1.3, 4)]), draw.choice([0.0, 90.0, between(0, 90, 1)]))
            which = at // (len(made) + 1) % 3
            name, value = f"nds_reduction_{reductions[which]}", nds_reduction(*arguments)[which]
        else:
            formula, draw_arguments = made[at % (len(made) + 1)]
            arguments = draw_arguments()
            name, value = formula.__name__, formula(*arguments)
        cells = [int(cell) if isinstance(cell, bool) else cell for cell in arguments]
        yield {"formula": name, "arguments": " ".join("-" if cell is None else str(cell) for cell in cells), "value": value}


COLUMNS = []
