"""Timbers to EN 1995-1-1, recomputed from a reference sheet of the standard's expressions and from the words of
docs/engineering-basis-members.md, by someone who had not read the program's formulas, but for those of lateral buckling and
torsion. Where the two versions differed, the sheet decided. What neither sheet nor words settle is the program's reading,
taken over after it was seen: a stocky strut is held to (6.2) beside (6.19); the stronger axis is that of the larger I.

Newtons and millimetres inside; what is laid down is in SI. One place of one timber a row; for each expression of
chapter 6 that applies, its utilisation.
"""

import math
import random

K_MOD = {  # Table 3.1: solid timber, glulam, LVL
    1: {"permanent": 0.60, "long": 0.70, "medium": 0.80, "short": 0.90, "instantaneous": 1.10},
    2: {"permanent": 0.60, "long": 0.70, "medium": 0.80, "short": 0.90, "instantaneous": 1.10},
    3: {"permanent": 0.50, "long": 0.55, "medium": 0.65, "short": 0.70, "instantaneous": 0.90},
}
GAMMA_M = {"softwood": 1.30, "hardwood": 1.30, "glulam": 1.25, "lvl": 1.20}  # Table 2.3
BETA_C = {"softwood": 0.2, "hardwood": 0.2, "glulam": 0.1, "lvl": 0.1}  # (6.29)
K_CR = {"softwood": 0.67, "hardwood": 0.67, "glulam": 0.67, "lvl": 1.0}  # 6.1.7(2)
EXPRESSIONS = ["6.1", "6.2", "6.11", "6.12", "6.13", "6.14", "6.17", "6.18", "6.19", "6.20", "6.23", "6.24", "6.33", "6.35"]


def size_factor(material, density, size):
    """k_h of 3.2(3) and 3.3(3)."""
    if material == "glulam":
        return min((600 / size) ** 0.1, 1.1) if size < 600 else 1.0
    if material == "lvl" or density > 700:
        return 1.0
    return min((150 / size) ** 0.2, 1.3) if size < 150 else 1.0


def k_c(material, relative):
    """(6.25) to (6.28)."""
    if relative <= 0.3:
        return 1.0
    k = 0.5 * (1 + BETA_C[material] * (relative - 0.3) + relative**2)
    return 1 / (k + math.sqrt(k**2 - relative**2))


def torsion_modulus(ratio):
    """T / (greatest stress · h · b²) of a rectangle, by the membrane's double series instead of the usual single one.

    The stress function of ∇²φ = −2 on a rectangle of sides a (x) by c (y): φ = Σ Σ A sin sin over odd m, n; the
    greatest shear is |∂φ/∂x| at the middle of the long side, T = 2 ∫ φ. The slow sums are done in closed form in one
    direction: the profile across the short side for each odd n along the long one is a hyperbolic cosine.
    """
    b, h = 1.0, ratio
    torque, stress = 0.0, 0.0
    for n in range(1, 4001, 2):
        k = n * math.pi / h  # along the long side
        load = 8.0 / (n * math.pi)  # of −∇²φ = 2, in sin(k y)
        e = math.exp(-k * b)
        tanh = (1 - e) / (1 + e)  # tanh(k b / 2)
        torque += 2 * (load / k**2) * (b - 2 * tanh / k) * (2 / k)
        stress += (load / k) * tanh * (1 if n % 4 == 1 else -1)
    return torque / (stress * h * b**2)


def utilisations(row):
    """By expression; what does not apply is not in the result."""
    g = {name: row[name] / 1e6 for name in ("f_m_k", "f_t_0_k", "f_c_0_k", "f_v_k", "e_0_05", "g_05")}
    material = row["material"]
    b, h, length = row["breadth"] * 1e3, row["depth"] * 1e3, row["length"] * 1e3
    area = row["area"] * 1e6
    i_y, i_z, i_tor = row["second_moment_y"] * 1e12, row["second_moment_z"] * 1e12, row["torsion"] * 1e12
    w_y, w_z = row["modulus_y"] * 1e9, row["modulus_z"] * 1e9
    rectangle = row["rectangle"] == 1
    if row["partial_factor"] is not None:
        gamma = row["partial_factor"]
    else:
        gamma = GAMMA_M[material]
    if row["accidental"] == 1:
        gamma = 1.0
    design = K_MOD[row["service_class"]][row["duration"]] * row["k_sys"] / gamma

    f_m_y = design * g["f_m_k"] * size_factor(material, row["rho_k"], h)
    f_m_z = design * g["f_m_k"] * size_factor(material, row["rho_k"], b)
    f_t = design * g["f_t_0_k"] * size_factor(material, row["rho_k"], max(b, h))
    f_c = design * g["f_c_0_k"]
    f_v = design * g["f_v_k"]
    k_m = 0.7 if rectangle else 1.0

    # 5.2: the hole through the breadth is off in tension, bending and shear.
    net_area, net_y, net_z = area, w_y, w_z
    if row["hole"] is not None:
        hole, off = row["hole"] * 1e3, row["hole_off"] * 1e3
        net_area = area - b * hole
        net_y = w_y * (1 - (b * hole**3 / 12 + b * hole * off**2) / i_y)
        net_z = w_z * (1 - (hole * b**3 / 12) / i_z)

    n, t = row["n"], row["t"] * 1e3
    s_y, s_z = abs(row["my"]) * 1e3 / net_y, abs(row["mz"]) * 1e3 / net_z
    m_y, m_z = s_y / f_m_y, s_z / f_m_z
    bent = row["my"] != 0 or row["mz"] != 0
    out = {}

    relative = {}
    for axis, second, factor in (("y", i_y, row["factor_y"]), ("z", i_z, row["factor_z"])):
        if axis == "z" and row["side"] != "none":
            factor = 0.0  # held in the surface by the cover
        slenderness = factor * length / math.sqrt(second / area)
        relative[axis] = slenderness / math.pi * math.sqrt(g["f_c_0_k"] / g["e_0_05"])
    k_c_y, k_c_z = k_c(material, relative["y"]), k_c(material, relative["z"])
    stocky = max(relative.values()) <= 0.3

    if n > 0:
        pull = n / net_area / f_t
        if bent:
            out["6.17"] = pull + m_y + k_m * m_z
            out["6.18"] = pull + k_m * m_y + m_z
        else:
            out["6.1"] = pull
    elif n < 0:
        push = -n / area / f_c
        if stocky:  # the squared term of (6.19) alone would let it go beyond its strength
            out["6.2"] = push
        if stocky:
            out["6.19"] = push**2 + m_y + k_m * m_z
            out["6.20"] = push**2 + k_m * m_y + m_z
        elif not stocky:
            out["6.23"] = push / k_c_y + m_y + k_m * m_z
            out["6.24"] = push / k_c_z + k_m * m_y + m_z
    elif bent:
        out["6.11"] = m_y + k_m * m_z
        out["6.12"] = k_m * m_y + m_z

    # Lateral buckling, in bending about the stronger axis.
    strong_y = i_y >= i_z
    moment = row["my"] if strong_y else row["mz"]
    if moment != 0:
        wide, tall = (b, h) if strong_y else (h, b)
        weak, w_strong = (i_z, w_y) if strong_y else (i_y, w_z)
        l_ef = row["lateral_factor"] * length
        l_ef += {"compression": 2.0, "middle": 0.0, "tension": -0.5}[row["load_edge"]] * tall
        l_ef = max(l_ef, tall)
        if material == "softwood" and rectangle:
            critical = 0.78 * wide**2 * g["e_0_05"] / (tall * l_ef)
        else:
            critical = math.pi * math.sqrt(g["e_0_05"] * weak * g["g_05"] * i_tor) / (l_ef * w_strong)
        lam = math.sqrt(g["f_m_k"] / critical)
        k_crit = 1.0 if lam <= 0.75 else 1.56 - 0.75 * lam if lam <= 1.4 else 1 / lam**2
        # My > 0 stretches the outside face: it is the inside that is pressed.
        if strong_y and (row["side"] == "both" or (row["side"] == "outside" and moment < 0)):
            k_crit = 1.0
        mine, other = (m_y, m_z) if strong_y else (m_z, m_y)
        weak_k_c = k_c_z if strong_y else k_c_y
        if n < 0:
            out["6.35"] = (mine / k_crit) ** 2 + -n / area / f_c / weak_k_c + other
        else:
            out["6.33"] = mine / k_crit

    shear = math.hypot(row["vy"], row["vz"])
    tau = (1.5 if rectangle else 1.51) * shear / (K_CR[material] * net_area) / f_v
    if t != 0:
        narrow = 2 * area / h - b  # the rectangle inside a right trapezium
        tall, wide = max(narrow, h), min(narrow, h)
        tau_tor = abs(t) / (torsion_modulus(tall / wide) * tall * wide**2)
        k_shape = min(1 + 0.05 * tall / wide, 1.3)  # A2:2014
        # The share η of both with which tor/η + (tau/η)² = 1.
        tor = tau_tor / (k_shape * f_v)
        out["6.14"] = 0.5 * tor + math.sqrt(0.25 * tor**2 + tau**2)
    if shear != 0:
        out["6.13"] = tau
    return out


def rows(count, seed):
    """Random timbers at random places."""
    draw = random.Random(seed)

    def between(low, high, digits=6):
        return round(draw.uniform(low, high), digits)

    for at in range(count):
        material = draw.choice(["softwood", "softwood", "softwood", "hardwood", "glulam", "lvl"])
        b, d = between(0.030, 0.160), between(0.040, 0.240)
        if at % 11 == 0:
            d = b
        rectangle = at % 3 != 0
        area, i_y, i_z = b * d, b * d**3 / 12, d * b**3 / 12
        w_y, w_z, torsion = b * d**2 / 6, d * b**2 / 6, 0.23 * max(b, d) * min(b, d) ** 3
        if not rectangle:  # values of some trapezium, each with a loss of its own
            area *= between(0.80, 0.97)
            i_y, i_z, torsion = (value * between(0.75, 0.96) for value in (i_y, i_z, torsion))
            w_y, w_z = (value * between(0.70, 0.95) for value in (w_y, w_z))
        stress = 4e6
        kind = at % 7
        row = {
            "material": material,
            "f_m_k": between(14e6, 50e6, 0),
            "f_t_0_k": between(7e6, 30e6, 0),
            "f_c_0_k": between(16e6, 35e6, 0),
            "f_v_k": between(2.5e6, 5e6, 0),
            "e_0_05": between(4.5e9, 12e9, 0),
            "g_05": between(0.3e9, 0.8e9, 0),
            "rho_k": between(300, 690, 0) if at % 10 else between(710, 900, 0),
            "service_class": draw.choice([1, 2, 3]),
            "duration": draw.choice(["permanent", "long", "medium", "short", "instantaneous"]),
            "accidental": 1 if at % 13 == 5 else 0,
            "partial_factor": between(1.05, 1.5, 3) if at % 8 == 2 else None,
            "k_sys": 1.1 if at % 9 == 4 else 1.0,
            "rectangle": 1 if rectangle else 0,
            "breadth": b, "depth": d, "area": area,
            "second_moment_y": i_y, "second_moment_z": i_z, "torsion": torsion, "modulus_y": w_y, "modulus_z": w_z,
            "length": between(0.2, 0.5) if at % 5 == 0 else between(0.5, 5.0),
            "factor_y": draw.choice([1.0, between(0.5, 2.0, 3)]),
            "factor_z": draw.choice([1.0, between(0.5, 2.0, 3)]),
            "lateral_factor": draw.choice([1.0, 0.9, between(0.5, 2.0, 3)]),
            "load_edge": draw.choice(["compression", "middle", "tension"]),
            "side": draw.choice(["none", "none", "outside", "both"]),
            "hole": between(0.005, 0.016) if at % 4 == 1 else None,
            "hole_off": None,
            "n": [-1, -1, -1, 1, 1, 0, -1][kind] * round(between(0.05, 1.0) * stress * area, 3),
            "vy": draw.choice([0.0, between(-2e3, 2e3, 2)]),
            "vz": draw.choice([0.0, between(-2e3, 2e3, 2)]),
            "t": draw.choice([0.0, between(-60.0, 60.0, 3)]),
            "my": 0.0 if kind in (2, 4) else round(between(-1.0, 1.0) * stress * w_y, 4),
            "mz": 0.0 if kind in (2, 4) and at % 3 else round(between(-1.0, 1.0) * stress * w_z, 4),
        }
        if row["hole"] is not None:
            row["hole_off"] = draw.choice([0.0, between(0.0, 0.3 * d)])
        row = {name: float(f"{value:.13g}") if isinstance(value, float) else value for name, value in row.items()}
        yield row | {f"u_{name}": value for name, value in utilisations(row).items()}


COLUMNS = [f"u_{name}" for name in EXPRESSIONS]
