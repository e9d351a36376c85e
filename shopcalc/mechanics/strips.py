"""A strip of a plate, worked by hand beside the plate itself: what a reviewer can follow on paper."""

from __future__ import annotations

from shopcalc.formula import Within, formula
from shopcalc.units import Length, Pressure, Stress


@formula(symbol="delta", source="beam-theory, even load on two supports with equal overhangs",
         valid=(Within("a/L", lambda a, L: a / L, 0, 0.4), Within("h/L", lambda h, L: h / L, 0, 0.1)))
def strip_sag(*, q: Pressure, L: Length, a: Length, E: Stress, h: Length) -> Length:
    """Sag in the middle of a strip that lies on two lines and stands out equally beyond both.

    q  load on the area
    L  distance between the two lines
    a  overhang beyond each
    E  stiffness along the strip
    h  thickness
    """
    return q * L**2 * (5*L**2 - 24*a**2) / (32*E*h**3)


@formula(symbol="sigma", source="beam-theory, even load on two supports with equal overhangs",
         valid=(Within("a/L", lambda a, L: a / L, 0, 0.35), Within("h/L", lambda h, L: h / L, 0, 0.1)))
def strip_stress(*, q: Pressure, L: Length, a: Length, h: Length) -> Stress:
    """Bending stress in the middle of the same strip, the greatest of it: with longer overhangs that over the lines is greater.

    q  load on the area
    L  distance between the two lines
    a  overhang beyond each
    h  thickness
    """
    return 3 * q * (L**2 - 4*a**2) / (4*h**2)
