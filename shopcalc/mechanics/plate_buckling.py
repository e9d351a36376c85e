"""A flat sheet in shear: the stress at which it wrinkles, edges hinged on straight bars.

Wrinkling is no collapse of the sheet, which goes on as strips along its diagonals; it is seen and heard.
"""

from __future__ import annotations

from shopcalc.formula import Within, formula, pi
from shopcalc.units import Length, Ratio, Stress

SOURCE = "theory-elastic-stability, plates in shear"


@formula(symbol="k_s", source=SOURCE, valid=[Within("a/b", lambda a, b: a / b, low=1, source="theory-elastic-stability")])
def shear_buckling_factor(*, a: Length, b: Length) -> Ratio:
    """Factor of the shear buckling of a rectangular sheet, all edges hinged: within 4 % of the exact one.

    a  longer side
    b  shorter side
    """
    return 5.34 + 4 * (b / a) ** 2


@formula(symbol="tau_cr", source=SOURCE)
def shear_buckling_stress(*, k_s: Ratio, E: Stress, nu: Ratio, t: Length, b: Length) -> Stress:
    """Shear stress at which a flat elastic sheet wrinkles.

    k_s  factor of its shape
    E    stiffness of the sheet
    nu   Poisson's ratio
    t    thickness
    b    shorter side
    """
    return k_s * pi**2 * E / (12 * (1 - nu**2)) * (t / b) ** 2
