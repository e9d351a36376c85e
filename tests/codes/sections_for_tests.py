"""Sizes for the tests of the clauses: one tube or a random batch, made by the stock room's kernels."""

import numpy as np

from shopcalc.stock.sections import rectangular_tubes, round_tubes
from shopcalc.units import Q

INCH, KSI, KIP = 0.0254, 6894757.293168361, 4448.2216152605

E_STEEL = 29000 * KSI


def boxes(height, width, t):
    """Square and rectangular tubes, inches in, corner radii 2t and t."""
    height, width, t = (np.atleast_1d(np.asarray(v, float)) * INCH for v in (height, width, t))
    return rectangular_tubes(height, width, t, 2 * t, t, mass_per_length=1.0, coat_per_length=1.0)


def rings(diameter, t):
    diameter, t = (np.atleast_1d(np.asarray(v, float)) * INCH for v in (diameter, t))
    return round_tubes(diameter, t, mass_per_length=1.0, coat_per_length=1.0)


def bending_arguments(s, *, F_y, L_b=0.0, C_b=1.0):
    """Arguments of F7 about the x axis from section arrays."""
    return {"F_y": F_y, "E": E_STEEL, "Z": s.Zx, "S": s.Sx, "I": s.Ix, "A_g": s.A, "J": s.J, "r_y": s.ry,
            "H": s.height, "B": s.width, "t": s.t, "b": s.flat_b, "h": s.flat_h, "L_b": L_b, "C_b": C_b}


def random_boxes(n, seed=1):
    rng = np.random.default_rng(seed)
    height, width = rng.uniform(1, 10, n), rng.uniform(1, 10, n)
    return boxes(height, width, rng.uniform(0.03, 0.25, n) * np.minimum(1, np.minimum(height, width) / 2))


_UNITS = {
    **dict.fromkeys(("F_y", "F_u", "E", "G"), "Pa"), **dict.fromkeys(("Z", "S", "S_c", "C"), "m**3"),
    **dict.fromkeys(("I", "J", "I_x", "I_y"), "m**4"), **dict.fromkeys(("A_g", "A_n"), "m**2"), "C_w": "m**6",
    **dict.fromkeys(("C_b", "Q_f", "U", "toe_compressed"), "")}


def as_quantities(arguments, design=0):
    """SI arguments of one design as quantities, for the door of a clause."""
    result = {}
    for name, value in arguments.items():
        size = float(np.broadcast_to(value, np.shape(value))[design]) if np.ndim(value) else float(value)
        unit = _UNITS.get(name, "m")
        result[name] = Q(size, unit) if unit else size
    return result
