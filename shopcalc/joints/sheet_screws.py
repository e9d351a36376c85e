"""Self-tapping screws that hold sheet steel to a bar, pushed sideways: AISI S100, screw connections in shear.

The sheet under the head or the wall of the bar bears, or the screw tilts in a thin wall, or it shears off: it
must itself be stronger than what it is counted for by a quarter.
"""

from __future__ import annotations

import numpy as np

from shopcalc.check import Strength
from shopcalc.formula import formula, sqrt
from shopcalc.joints.welds import INCH
from shopcalc.units import Force, Length, Stress

SOURCE = "aisi-s100-screws"
OMEGA, PHI = 3.0, 0.50
THINNEST, THICKEST = 0.08 * INCH, 0.25 * INCH  # diameters that the rule covers
APART = 3.0  # diameters from screw to screw, and to an edge towards which they push
STATES = ("screw tilts in the bar", "sheet bears on the screw", "wall of the bar bears on the screw", "screw shears off")
STRONGER = 1.25
# Shear strength of the screws of light steel framing (lbf), an average of makers (steel-stud-screws); none stands there for #14, which is
# thicker than #12.
BREAKS = {"#6": 643.0, "#8": 1278.0, "#10": 1644.0, "#12": 2330.0, "#14": 2330.0}
SCREW_ITSELF = "the screw's own strength is an average of makers: hardened self-tapping or self-drilling screws; its maker's value counts. It carries no pull here"


@formula(symbol="P_ns", source="aisi-s100-screws, tilting")
def screw_tilts(*, t_2: Length, d: Length, F_u2: Stress) -> Force:
    """Nominal strength of a screw that tilts in the wall it is driven into.

    t_2   wall not under the head
    d     diameter of the screw over its thread
    F_u2  tensile strength of that wall
    """
    return 4.2 * sqrt(t_2**3 * d) * F_u2


@formula(symbol="P_ns", source="aisi-s100-screws, bearing")
def screw_bears(*, t: Length, d: Length, F_u: Stress) -> Force:
    """Nominal strength of a sheet that bears on a screw.

    t    thickness of the sheet
    d    diameter of the screw over its thread
    F_u  tensile strength of the sheet
    """
    return 2.7 * t * d * F_u


@formula(symbol="P_ns", source="steel-stud-screws, strength of the screw; over 1.25 by aisi-s100-screws")
def screw_breaks(P_ss: Force) -> Force:
    """Nominal strength of a connection that its screw lets count.

    P_ss  shear strength of the screw
    """
    return P_ss / STRONGER


def screw_in_shear(*, t_1, t_2, d, F_u1, F_u2, P_ss) -> Strength:
    """One screw of strength P_ss through sheet t_1 (under the head) into wall t_2; SI, arrays (n,). Where t_2 is from 1
    to 2.5 times t_1 the strength goes straight from tilting counted to not counted. Outside: a screw under 0.08 or over
    1/4 in."""
    t_1, t_2, d, F_u1, F_u2, P_ss = np.broadcast_arrays(*(np.atleast_1d(np.asarray(v, float)) for v in (t_1, t_2, d, F_u1, F_u2, P_ss)))
    tilts = screw_tilts.si(t_2=t_2, d=d, F_u2=F_u2)
    each = np.stack([tilts, screw_bears.si(t=t_1, d=d, F_u=F_u1), screw_bears.si(t=t_2, d=d, F_u=F_u2)])
    thin, thick = each.min(axis=0), each[1:].min(axis=0)
    share = np.clip((t_2 / t_1 - 1.0) / 1.5, 0.0, 1.0)
    steel, screw = thin + share * (thick - thin), screw_breaks.si(P_ss=P_ss)
    nominal = np.minimum(steel, screw)
    inside = (d >= THINNEST * (1 - 1e-9)) & (d <= THICKEST * (1 + 1e-9)) & (t_1 > 0) & (t_2 > 0)
    governing = np.where(screw < steel, 3, np.where(share < 1, each.argmin(axis=0), 1 + each[1:].argmin(axis=0)))
    return Strength(np.where(inside, nominal, np.nan), STATES, governing, inside, OMEGA, PHI, "AISI S100, screws in shear",
                    "screws from 0.08 to 1/4 in over the thread")
