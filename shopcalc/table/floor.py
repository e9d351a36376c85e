"""What the floor sees: pressure under a foot on its worst three feet, the load over the footprint, how far levellers have to
reach. SI arrays and quantities at the door.
"""

from __future__ import annotations

import math

from shopcalc.formula import formula, pi, sqrt
from shopcalc.units import Force, Length, Pressure, Q, Stress

# Load per bearing area that resilient floors keep without a mark (home-repair reference, retrieved, unsigned: see the case
# resilient-bearing-pressures); other floors by their maker.
BEARS = {"asphalt tile": Q(40, "psi"), "reinforced vinyl": Q(75, "psi"), "solid vinyl": Q(250, "psi")}
# Least live load floors are built for (IBC table 1607.1, retrieved).
BUILT_FOR = {"office": Q(50, "psf"), "assembly": Q(100, "psf"), "dining": Q(100, "psf"), "upper corridor": Q(80, "psf")}
# Where the job gives no pad: a small one, so that the pressure comes out high.
SMALL_PAD = Q(1, "inch")
# From this travel on a foot adjusts height, and is no leveller (GB/T 10357.1-2024, 3.3, retrieved).
LEVELLER_TRAVEL = Q(40, "mm")


@formula(symbol="p", source="statics, load over area")
def pressure_under(F: Force, d: Length) -> Stress:
    """Pressure under a round pad.

    F  load on the foot
    d  diameter of the pad where it touches
    """
    return 4*F/(pi*d**2)


@formula(symbol="d", source="statics, load over area")
def pad_for(F: Force, p: Stress) -> Length:
    """Diameter of a round pad that keeps to a pressure.

    F  load on the foot
    p  pressure that the floor bears
    """
    return sqrt(4*F/(pi*p))


@formula(symbol="q", source="statics, load over area")
def spread_over(W: Force, *, l: Length, b: Length) -> Pressure:
    """Weight spread over the plan of the top.

    W  weight of the table and of what is on it
    l  length of the top
    b  width of the top
    """
    return W/(l*b)


def travel_needed(gap: float, slope: float, feet) -> float:
    """How far the feet of a table must differ to stand level (m): the hollow, and the slope over the feet, corner to corner."""
    reach = feet.max(axis=0) - feet.min(axis=0)
    return gap + slope * math.hypot(*reach)
