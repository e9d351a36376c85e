"""H1, H2, H3.2: axial force, bending about both axes, shear and torsion together.

Required strengths (`P_r`, `M_r` ...) must already include second-order effects (C2). Available strengths
(`P_c`, `M_c` ...) are allowable ones, from `check.allowable`: the factor is in them, none is applied here.
All positive.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from shopcalc.formula import Within, Worked, cos, formula, frac, sin, sqrt
from shopcalc.units import Angle, Force, Moment, Quantity, Ratio

BRANCH = 0.2    # P_r/P_c of H1.1
TORSION = 0.2   # T_r/T_c of H3.2

CAUTION = "The forces must come from a second-order analysis (AISC 360-22 C2, H1.1)."


@formula(symbol="R", source="aisc-360-22, H1-1a")
def ratio_large_axial(*, P_r: Force, P_c: Force, M_rx: Moment, M_cx: Moment, M_ry: Moment,
                      M_cy: Moment) -> Ratio:
    """Use of a member under axial force and bending, axial force 0.2 of its strength or more.

    P_r   axial force
    P_c   axial strength
    M_rx  moment about x
    M_cx  strength about x
    M_ry  moment about y
    M_cy  strength about y
    """
    return P_r / P_c + frac(8, 9) * (M_rx / M_cx + M_ry / M_cy)


@formula(symbol="R", source="aisc-360-22, H1-1b")
def ratio_small_axial(*, P_r: Force, P_c: Force, M_rx: Moment, M_cx: Moment, M_ry: Moment,
                      M_cy: Moment) -> Ratio:
    """Use of a member under axial force and bending, axial force under 0.2 of its strength.

    P_r   axial force
    P_c   axial strength
    M_rx  moment about x
    M_cx  strength about x
    M_ry  moment about y
    M_cy  strength about y
    """
    return P_r / (2 * P_c) + (M_rx / M_cx + M_ry / M_cy)


@formula(symbol="R", source="aisc-360-22, H3-6")
def ratio_with_torsion(*, P_r: Force, P_c: Force, M_rx: Moment, M_cx: Moment, M_ry: Moment, M_cy: Moment,
                       V_r: Force, V_c: Force, T_r: Moment, T_c: Moment) -> Ratio:
    """Use of a tube under axial force, bending, shear and a torque over 0.2 of its strength.

    P_r   axial force
    P_c   axial strength
    M_rx  moment about x
    M_cx  strength about x
    M_ry  moment about y
    M_cy  strength about y
    V_r   shear force of the axis whose V_r/V_c is larger
    V_c   shear strength of that axis
    T_r   torque
    T_c   torsion strength
    """
    return P_r / P_c + M_rx / M_cx + M_ry / M_cy + (V_r / V_c + T_r / T_c)**2


@formula(symbol="R", source="aisc-360-22, H2-1")
def ratio_at_a_point(*, P_r: Force, P_c: Force, M_rw: Moment, M_cw: Moment, M_rz: Moment,
                     M_cz: Moment) -> Ratio:
    """Use at one point of a section about its principal axes, stresses added with their signs (compression
    positive, or tension positive, throughout): forces stand for stresses, since the section divides out.

    P_r   axial force, signed
    P_c   axial strength
    M_rw  moment about the major principal axis, signed by the stress it causes at the point
    M_cw  strength about it
    M_rz  moment about the minor principal axis, signed likewise
    M_cz  strength about it
    """
    return P_r / P_c + M_rw / M_cw + M_rz / M_cz


@formula(symbol="R", source="shop-practice, torque of an open shape added in full: H3.3 wants its warping computed")
def ratio_with_torque_added(R_o: Ratio, *, T_r: Moment, T_c: Moment) -> Ratio:
    """Use of a channel or angle that also carries a little torque (up to 0.2 of its strength).

    R_o  use without the torque
    T_r  torque
    T_c  torque at which its thin strips begin to yield, allowable
    """
    return R_o + T_r / T_c


@formula(symbol="M_r", source="statics, moments about two axes of a round section")
def resultant_moment(*, M_x: Moment, M_y: Moment) -> Moment:
    """Moment on a round section, for which every axis is a principal one.

    M_x  moment about one axis
    M_y  moment about the other
    """
    return sqrt(M_x**2 + M_y**2)


@formula(symbol="V_r", source="statics, shear along two axes of a round section")
def resultant_shear(*, V_x: Force, V_y: Force) -> Force:
    """Shear on a round section.

    V_x  shear along one axis
    V_y  shear along the other
    """
    return sqrt(V_x**2 + V_y**2)


@formula(symbol="R", source="aisc-360-22, B3.2: required over available strength in shear")
def ratio_shear(*, V_r: Force, V_c: Force) -> Ratio:
    """Use of a member in shear along one axis.

    V_r  shear force
    V_c  shear strength
    """
    return V_r / V_c


@formula(symbol="R", source="aisc-360-22, B3.2: required over available strength in torsion")
def ratio_torsion(*, T_r: Moment, T_c: Moment) -> Ratio:
    """Use of a member in torsion alone.

    T_r  torque
    T_c  torsion strength
    """
    return T_r / T_c


@formula(symbol="M_w", source="statics, moment turned to the principal axes, signs taken the worse way")
def moment_about_strong(*, M_x: Moment, M_y: Moment, alpha: Angle) -> Moment:
    """Moment about the strong principal axis of an angle, at most.

    M_x    moment about the level axis
    M_y    moment about the upright axis
    alpha  from the level axis to the strong principal one
    """
    return M_x * cos(alpha) + M_y * sin(alpha)


@formula(symbol="M_z", source="statics, moment turned to the principal axes, signs taken the worse way")
def moment_about_weak(*, M_x: Moment, M_y: Moment, alpha: Angle) -> Moment:
    """Moment about the weak principal axis of an angle, at most.

    M_x    moment about the level axis
    M_y    moment about the upright axis
    alpha  from the level axis to the strong principal one
    """
    return M_x * sin(alpha) + M_y * cos(alpha)


ALPHA = {"ASD": 1.6, "LRFD": 1.0}  # appendix 8, under equation A-8-3


@formula(symbol="B_1", source="aisc-360-22, A-8-3",
         valid=[Within("alpha P_r/P_e1", lambda alpha, P_r, P_e1: alpha * P_r / P_e1, low=0.0, high=0.999,
                       source="aisc-360-22, A-8-3: at 1 the member buckles")])
def moment_amplifier(*, C_m: Ratio, alpha: Ratio, P_r: Force, P_e1: Force) -> Ratio:
    """How much a push makes of the moments of a member between its ends (not less than 1).

    C_m    1 with a load between the ends
    alpha  1.6 in allowable strength design, 1.0 with load factors
    P_r    push
    P_e1   load at which the member buckles in the plane of bending, elastic
    """
    return C_m / (1 - alpha * P_r / P_e1)


EQUATIONS = ("H1-1a", "H1-1b", "H3-6")


@dataclass(frozen=True)
class Interaction:
    """Use of members, one entry per design: over 1 is too much.

    ratio      (n,);  governing (n,) index into `equations`
    """

    ratio: np.ndarray
    governing: np.ndarray
    equations: tuple[str, ...] = EQUATIONS
    clause: str = "AISC 360-22 H1 and H3.2"

    def equation(self, design: int = 0) -> str:
        return self.equations[int(self.governing[design])]


def axial_and_bending_si(*, P_r, P_c, M_rx, M_cx, M_ry, M_cy) -> Interaction:
    """Array kernel: H1.1 (compression) and H1.2 (tension, with the strength in tension as P_c)."""
    sizes = {"P_r": P_r, "P_c": P_c, "M_rx": M_rx, "M_cx": M_cx, "M_ry": M_ry, "M_cy": M_cy}
    sizes = {n: np.atleast_1d(np.asarray(v, float)) for n, v in sizes.items()}
    large = sizes["P_r"] >= BRANCH * sizes["P_c"]
    ratio = np.where(large, ratio_large_axial.si(**sizes), ratio_small_axial.si(**sizes))
    return Interaction(ratio, np.broadcast_to(np.where(large, 0, 1).astype(np.int8), ratio.shape))


def all_together_si(*, P_r, P_c, M_rx, M_cx, M_ry, M_cy, V_rx, V_cx, V_ry, V_cy, T_r, T_c) -> Interaction:
    """Array kernel: H1.1 where the torque is up to 0.2 of its strength, else H3-6. Tube only."""
    plain = axial_and_bending_si(P_r=P_r, P_c=P_c, M_rx=M_rx, M_cx=M_cx, M_ry=M_ry, M_cy=M_cy)
    T_r, T_c = (np.atleast_1d(np.asarray(v, float)) for v in (T_r, T_c))
    twisted = T_r > TORSION * T_c
    if not twisted.any():
        return plain
    V_r, V_c = np.maximum(np.asarray(V_rx) / V_cx, np.asarray(V_ry) / V_cy), 1.0
    ratio = ratio_with_torsion.si(P_r=np.asarray(P_r, float), P_c=P_c, M_rx=M_rx, M_cx=M_cx, M_ry=M_ry,
                                  M_cy=M_cy,
                                  V_r=V_r, V_c=V_c, T_r=T_r, T_c=T_c)
    return Interaction(np.where(twisted, ratio, plain.ratio),
                       np.where(twisted, 2, plain.governing).astype(np.int8))


def worked_axial_and_bending(*, system: str = "inch", **quantities) -> tuple[Worked, ...]:
    """The line of H1.1 that applies to one design; quantities by the names of `ratio_large_axial`."""
    large = _size(quantities["P_r"]) >= BRANCH * _size(quantities["P_c"])
    return ((ratio_large_axial if large else ratio_small_axial).worked(system=system, **quantities),)


def worked_all_together(*, system: str = "inch", **quantities) -> tuple[Worked, ...]:
    """The line that applies to one tube: H3-6 where the torque is over 0.2 of its strength, else H1.1.
    Quantities by the names of `ratio_with_torsion`."""
    if _size(quantities["T_r"]) > TORSION * _size(quantities["T_c"]):
        return (ratio_with_torsion.worked(system=system, **quantities),)
    plain = {n: v for n, v in quantities.items() if n in ratio_large_axial.arguments}
    return worked_axial_and_bending(system=system, **plain)


def use_in_axial_force_and_bending(**quantities) -> float:
    """Use of one member by H1.1 or H1.2, quantities by the names of `ratio_large_axial`."""
    large = _size(quantities["P_r"]) >= BRANCH * _size(quantities["P_c"])
    return (ratio_large_axial if large else ratio_small_axial)(**quantities)


def _size(force: Quantity) -> float:
    return float(force.to_base_units().magnitude)
