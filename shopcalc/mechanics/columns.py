"""Columns and narrow beams by elastic theory: what buckles, and what a push beside the axis does.

Plain theory, no code and no factor: a reviewer's hand check beside the clauses of the codes room. Loads are positive in
compression; the effective length is K times the height (2 for a post that stands free, held at its foot).
"""

from __future__ import annotations

import numpy as np
import pint

from shopcalc.errors import InputError, OutsideRange
from shopcalc.formula import Within, cos, formula, pi, sqrt, tan
from shopcalc.units import Area, Force, Length, Ratio, SecondMoment, SectionModulus, Stress

SECANT = "column-theory, secant formula"


@formula(symbol="L_c", source="column-theory, effective length")
def effective_length(K: Ratio, L: Length) -> Length:
    """Length of the column with free-turning ends that buckles alike.

    K  effective-length factor: 1 between ends that turn and cannot move, 2 for a post standing free
    L  height
    """
    return K * L


@formula(symbol="P_e", source="column-theory, Euler 1744")
def euler_load(*, E: Stress, I: SecondMoment, L_c: Length) -> Force:  # noqa: E741
    """Load at which a straight elastic column buckles.

    E    stiffness of the material
    I    second moment of area about the axis it bends about
    L_c  effective length
    """
    return pi**2 * E * I / L_c**2


@formula(symbol="sigma", source="column-theory, mean stress")
def mean_stress(*, P: Force, A: Area) -> Stress:
    """Stress of a push through the centroid.

    P  load
    A  area
    """
    return P / A


def _share_of_euler(P, L_c, E, I):  # noqa: E741
    return P * L_c**2 / (pi**2 * E * I)


def _share_of_euler_by_r(P, L_c, r, E, A):
    return P * L_c**2 / (pi**2 * E * A * r**2)


BELOW_EULER = Within("P over the Euler load", _share_of_euler, low=0.0, high=0.999, source=SECANT)
BELOW_EULER_BY_R = Within("P over the Euler load", _share_of_euler_by_r, low=0.0, high=0.999, source=SECANT)


@formula(symbol="delta", source=SECANT, valid=[BELOW_EULER])
def eccentric_sag(*, P: Force, e: Length, L_c: Length, E: Stress, I: SecondMoment) -> Length:  # noqa: E741
    """How far an elastic column moves sideways under a push beside its axis, alike at both ends: at the middle of the
    effective length; for a post standing free, at its top.

    P    load
    e    from the axis to the load, at the ends
    L_c  effective length
    E    stiffness of the material
    I    second moment of area about the axis it bends about
    """
    return e * (1 / cos(L_c / 2 * sqrt(P / (E * I))) - 1)


@formula(symbol="sigma", source=SECANT, valid=[BELOW_EULER_BY_R])
def secant_stress(*, P: Force, A: Area, e: Length, c: Length, r: Length, L_c: Length, E: Stress) -> Stress:
    """Greatest stress in an elastic column under a push beside its axis, alike at both ends.

    P    load
    A    area
    e    from the axis to the load, at the ends
    c    from the axis to the outermost fibre on that side
    r    radius of gyration about the axis it bends about
    L_c  effective length
    E    stiffness of the material
    """
    return P / A * (1 + e * c / r**2 / cos(L_c / (2 * r) * sqrt(P / (E * A))))


@formula(symbol="sigma", source=SECANT, valid=[BELOW_EULER])
def secant_stress_by_modulus(*, P: Force, A: Area, e: Length, S: SectionModulus, L_c: Length, E: Stress,
                             I: SecondMoment) -> Stress:  # noqa: E741
    """The secant formula where the section modulus is given.

    P    load
    A    area
    e    from the axis to the load, at the ends
    S    elastic section modulus
    L_c  effective length
    E    stiffness of the material
    I    second moment of area about the axis it bends about
    """
    return P / A + P * e / (S * cos(L_c / 2 * sqrt(P / (E * I))))


def load_at_stress(*, stress: pint.Quantity, A: pint.Quantity, e: pint.Quantity, c: pint.Quantity, r: pint.Quantity,
                   L_c: pint.Quantity, E: pint.Quantity) -> pint.Quantity:
    """Load beside the axis that brings the outermost fibre to a stress: the secant formula solved for the load.
    Stress grows with the load up to the Euler load, so that there is one."""
    most = euler_load(E=E, I=A * r**2, L_c=L_c) * 0.999
    least = most * 1e-9
    found = secant_stress.inverse("P", stress, between=(least, most), A=A, e=e, c=c, r=r, L_c=L_c, E=E)
    if not found:
        raise OutsideRange(field="load_at_stress: stress", value=stress, need="a stress over zero that is reached before the "
                           "column buckles", example='stress=Q(36, "ksi")')
    return found[0]


# --- effective length of a leg that sways --------------------------------------------------------


@formula(symbol="G_A", source="alignment-charts")
def stiffness_ratio_at_joint(*, column: SecondMoment, L_column: Length, rail: SecondMoment, L_rail: Length) -> Ratio:
    """How stiff the leg is at a joint against the rail that holds it: the larger, the freer the joint turns. The charts
    take 10 for a foot that turns and 1 for one that is held.

    column    second moment of the leg
    L_column  its height
    rail      second moment of the rail
    L_rail    its length
    """
    return (column / L_column) / (rail / L_rail)


@formula(symbol="R", source="alignment-charts, sidesway uninhibited")
def alignment_residual(*, K: Ratio, G_top: Ratio, G_bottom: Ratio) -> Ratio:
    """What the alignment equation of a frame that sways leaves over: zero at its effective-length factor.

    K         effective-length factor
    G_top     stiffness of the leg over that of the rail at its top
    G_bottom  the same at its foot
    """
    return (G_top * G_bottom * (pi / K)**2 - 36) / (6 * (G_top + G_bottom)) - (pi / K) / tan(pi / K)


MOST_K = 40.0


def sway_factor_si(G_top, G_bottom) -> np.ndarray:
    """Array kernel: effective-length factor of a leg of a frame that sways, (n,); halving, K from 1 upwards.
    nan where a ratio is not over zero, or where K would be over 40 (nothing holds the leg)."""
    G_top, G_bottom = np.broadcast_arrays(np.atleast_1d(np.asarray(G_top, float)), np.asarray(G_bottom, float))
    low, high = np.full(G_top.shape, 1 + 1e-12), np.full(G_top.shape, MOST_K)

    def left(K):
        return alignment_residual.si(K=K, G_top=G_top, G_bottom=G_bottom)

    with np.errstate(all="ignore"):
        usable = (G_top > 0) & (G_bottom > 0) & (left(high) < 0)
        for _ in range(60):
            middle = (low + high) / 2
            above = left(middle) > 0
            low, high = np.where(above, middle, low), np.where(above, high, middle)
    return np.where(usable, (low + high) / 2, np.nan)


def sway_factor(G_top: float, G_bottom: float) -> float:
    """Effective-length factor of a leg of a frame that sways, by the alignment equation. Raises InputError for ratios that
    are not over zero."""
    if not (float(G_top) > 0 and float(G_bottom) > 0):
        raise InputError(field="sway_factor: G", value=f"{G_top}, {G_bottom}", need="ratios over zero: 1 for a foot that is "
                         "held, 10 for one that turns", example="sway_factor(1.0, 10.0)")
    found = float(sway_factor_si(float(G_top), float(G_bottom))[0])
    if np.isnan(found):
        raise OutsideRange(field="sway_factor: G", value=f"{G_top}, {G_bottom}", need=f"joints that hold the leg (K up to "
                           f"{MOST_K:g}); else the frame is a mechanism", example="sway_factor(1.0, 10.0)")
    return found


# --- a narrow bar on edge ------------------------------------------------------------------------


@formula(symbol="P_cr", source="narrow-cantilever, tip load")
def narrow_cantilever_load(*, E: Stress, I_y: SecondMoment, G: Stress, J: SecondMoment, L: Length) -> Force:
    """Load at the tip, at the level of the axis, at which a narrow cantilever buckles sideways and twists.

    E    stiffness of the material
    I_y  second moment for bending sideways
    G    stiffness in shear
    J    torsion constant
    L    length
    """
    return 4.013 * sqrt(E * I_y * G * J) / L**2


@formula(symbol="L", source="narrow-cantilever, tip load set equal to that of yield")
def narrow_cantilever_length(*, E: Stress, I_y: SecondMoment, G: Stress, J: SecondMoment, S: SectionModulus,
                             F_y: Stress) -> Length:
    """Length at which a narrow cantilever yields and buckles sideways under one load; a longer one buckles first.

    E    stiffness of the material
    I_y  second moment for bending sideways
    G    stiffness in shear
    J    torsion constant
    S    elastic section modulus on edge
    F_y  yield stress
    """
    return 4.013 * sqrt(E * I_y * G * J) / (F_y * S)


@formula(symbol="J", source="narrow-cantilever, torsion of a rectangle")
def torsion_constant_by_share(beta: Ratio, *, h: Length, b: Length) -> SecondMoment:
    """Torsion constant of a narrow bar where a source gives the share beta (1/3 for a very thin one).

    beta  share
    h     height
    b     thickness
    """
    return beta * h * b**3
