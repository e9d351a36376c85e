"""Where plain bending stops holding: what shear adds to the sag of a short bar.

Shear lets a bar down by the moment of its loads over GA. Plain bending is out by 5 % where the span is

    L = sqrt(k E I / (0.05 G A_s))     k: BENDING_SHARE below

which for 2 x 2 x 1/8 in tube under an even load between two supports is about 12 times its depth. The beams and frames of
the kit count shear wherever they are given GA; the handbook formulas do not and say so by this share.
"""

from __future__ import annotations

from shopcalc.formula import formula, sqrt
from shopcalc.units import Force, Length, Moment, Ratio, SecondMoment, Stress

SOURCE = "beam-theory, shear deformation (Timoshenko)"

# Sag by shear over sag by bending is k EI/(GA L^2): (ends, load) -> k.
BENDING_SHARE = {("simple", "even"): 9.6, ("simple", "point"): 12.0, ("cantilever", "even"): 4.0, ("cantilever", "point"): 3.0,
                 ("fixed", "even"): 48.0, ("fixed", "point"): 48.0}

PLAIN_HOLDS = 0.05  # share up to which plain bending is called good enough, a choice of the kit
CAUTION = "short for its depth: shear adds over 5 % to the sag, plain bending does not hold"


@formula(symbol="delta_s", source=SOURCE)
def shear_sag(*, M: Moment, GA: Force) -> Length:
    """What shear adds to a sag.

    M   moment there of the same loads on a bar with both ends free to turn; of a cantilever the moment at its held end
    GA  shear stiffness: shear modulus times shear area
    """
    return M / GA


@formula(symbol="r_s", source=SOURCE)
def shear_share(*, k: Ratio, E: Stress, I: SecondMoment, GA: Force, L: Length) -> Ratio:  # noqa: E741
    """Sag by shear over sag by bending.

    k   factor of the case: 9.6 and 12 between two supports (even load, load in the middle), 4 and 3 of a cantilever
        (even load, load at the tip), 48 with both ends held
    E   stiffness of the material
    I   second moment of area
    GA  shear stiffness: shear modulus times shear area
    L   span, or length of a cantilever
    """
    return k * E * I / (GA * L**2)


@formula(symbol="L", source=SOURCE)
def span_where_plain_bending_holds(*, k: Ratio, E: Stress, I: SecondMoment, GA: Force, r_s: Ratio) -> Length:  # noqa: E741
    """Span from which on shear adds no more than a share of the sag.

    k    factor of the case, as in `shear_share`
    E    stiffness of the material
    I    second moment of area
    GA   shear stiffness: shear modulus times shear area
    r_s  the share allowed, 0.05 in the kit
    """
    return sqrt(k * E * I / (GA * r_s))
