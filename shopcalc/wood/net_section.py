"""What is left of a strip of wood where a groove or pocket is cut into one face."""

from __future__ import annotations

import numpy as np

from shopcalc.formula import Within, formula
from shopcalc.units import Area, Length, Ratio, SecondMoment

_CUT = (Within("d/t", lambda d, t: d / t, 0, 0.9), Within("b_p/b", lambda b_p, b: b_p / b, 0, 1))
SOURCE = "geometry, rectangle with a rectangle cut from one face"


@formula(symbol="A_n", source=SOURCE, valid=_CUT)
def net_area(*, b: Length, t: Length, b_p: Length, d: Length) -> Area:
    """Area of a strip with a pocket in one face.

    b    width of the strip
    t    thickness
    b_p  width of the pocket
    d    depth of the pocket
    """
    return b * t - b_p * d


@formula(symbol="y_n", source=SOURCE, valid=_CUT)
def net_centroid(*, b: Length, t: Length, b_p: Length, d: Length) -> Length:
    """From the face that is not cut to the centroid of what is left.

    b    width of the strip
    t    thickness
    b_p  width of the pocket
    d    depth of the pocket
    """
    return (b * t**2 / 2 - b_p * d * (t - d / 2)) / (b * t - b_p * d)


@formula(symbol="I_n", source=SOURCE, valid=_CUT)
def net_second_moment(*, b: Length, t: Length, b_p: Length, d: Length) -> SecondMoment:
    """Second moment of what is left, about its own centroid.

    b    width of the strip
    t    thickness
    b_p  width of the pocket
    d    depth of the pocket
    """
    # of the whole and less the pocket, both about the middle of the thickness; then moved to the centroid of
    # what is left
    moved = b_p * d * (t - d) / 2
    return b * t**3 / 12 - b_p * d**3 / 12 - b_p * d * ((t - d) / 2) ** 2 - moved**2 / (b * t - b_p * d)


@formula(symbol="r_S", source=SOURCE, valid=(Within("y_n/t", lambda y_n, t: y_n / t, 0.05, 0.5),))
def net_strength_share(*, b: Length, t: Length, I_n: SecondMoment, y_n: Length) -> Ratio:
    """Section modulus that is left, to the cut face, over that of the whole strip. What fills the pocket
    counts as nothing.

    b    width of the strip
    t    thickness
    I_n  second moment of what is left
    y_n  from the face that is not cut to the centroid of what is left
    """
    return 6 * I_n / ((t - y_n) * b * t**2)


@formula(symbol="r_S", source=SOURCE, valid=(Within("d/t", lambda d, t: d / t, 0, 0.9),))
def full_cut_share(*, t: Length, d: Length) -> Ratio:
    """The same for a pocket as wide as the strip, or with the lips beside it left out of account.

    t  thickness
    d  depth of the pocket
    """
    return (1 - d / t) ** 2


def share_left(*, b, t, b_p, d):
    """Bending strength left across a pocket over that of the whole strip: with the lips beside the pocket, or
    without them where they would crack first. SI floats or arrays."""
    sizes = {"b": b, "t": t, "b_p": b_p, "d": d}
    lips = net_strength_share.si(b=b, t=t, I_n=net_second_moment.si(**sizes), y_n=net_centroid.si(**sizes))
    return np.maximum(lips, full_cut_share.si(t=t, d=d))
