"""What is left of a strip of wood where a groove or pocket is cut into one face."""

from __future__ import annotations

import numpy as np

from shopcalc.errors import InputError
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


def share_of_cuts(b: float, t: float, cuts) -> float:
    """Bending strength left of a strip b wide and t thick where several pockets lie in one section, over that of the whole
    strip, SI floats. cuts: (from, to, depth, upper) of each, from and to across the strip. What fills them counts as nothing;
    lips that would crack first are left out where that gives more, as in `share_left`.

    Raises InputError where pockets in both faces leave no tenth of the thickness.
    """
    lines = np.unique(np.clip([0.0, b, *(v for c in cuts for v in c[:2])], 0.0, b))
    middle, wide = (lines[1:] + lines[:-1]) / 2, np.diff(lines)
    upper, under = np.zeros(len(wide)), np.zeros(len(wide))
    for first, last, d, above in cuts:
        face = upper if above else under
        on = (middle > first) & (middle < last)
        face[on] = np.maximum(face[on], d)
    if (t - upper - under).min(initial=t) < 0.1 * t - 1e-12:
        raise InputError(field="pockets", value="two faces cut at one place", example='depth = "3/8 in"',
                         need="pockets that together leave at least a tenth of the thickness")
    low, high = under, t - upper
    A = (wide * (high - low)).sum()
    y = (wide * (high**2 - low**2)).sum() / 2 / A
    I = (wide * ((high - y) ** 3 - (low - y) ** 3)).sum() / 3
    modulus = I / max(high.max() - y, y - low.min())
    core = t - upper.max() - under.max()
    return float(max(modulus / (b * t**2 / 6), (max(core, 0.0) / t) ** 2))
