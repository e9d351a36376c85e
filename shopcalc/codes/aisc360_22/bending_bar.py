"""F11: bending of flat bar, square bar and rod."""

from __future__ import annotations

import numpy as np

from shopcalc.codes.aisc360_22.bending import (
    OMEGA_B,
    PHI_B,
    moment_at_critical_stress,
    moment_cap_1_6,
    plastic_moment,
    yield_line,
    yield_moment,
)
from shopcalc.codes.clause import clause
from shopcalc.formula import formula
from shopcalc.units import Length, Moment, Ratio, SectionModulus, Stress


@formula(symbol="M_p", source="aisc-360-22, F11-1")
def moment_cap_1_5(*, F_y: Stress, S: SectionModulus) -> Moment:
    """Most moment credited to a rectangular bar.

    F_y  yield stress of the steel
    S    elastic section modulus about the axis of bending
    """
    return 1.5 * F_y * S


@formula(symbol="lambda_b", source="aisc-360-22, F11.2")
def bar_slenderness(*, L_b: Length, d: Length, t: Length) -> Ratio:
    """How prone a bar on edge is to buckle sideways.

    L_b  length between points braced sideways or against twist
    d    height of the bar across the axis of bending
    t    its thickness
    """
    return L_b * d / t**2


@formula(symbol="lambda_1", source="aisc-360-22, F11.2(a)")
def bar_limit_yielding(*, E: Stress, F_y: Stress) -> Ratio:
    """Up to this a bar on edge does not buckle sideways.

    E    stiffness of the steel
    F_y  yield stress of the steel
    """
    return 0.08 * E / F_y


@formula(symbol="lambda_2", source="aisc-360-22, F11.2(b)")
def bar_limit_inelastic(*, E: Stress, F_y: Stress) -> Ratio:
    """Beyond this a bar on edge buckles sideways while still elastic.

    E    stiffness of the steel
    F_y  yield stress of the steel
    """
    return 1.9 * E / F_y


@formula(symbol="M_n", source="aisc-360-22, F11-3")
def bar_moment_inelastic(*, C_b: Ratio, lambda_b: Ratio, F_y: Stress, E: Stress, M_y: Moment) -> Moment:
    """Moment at which a bar on edge buckles sideways part-yielded.

    C_b       factor for an uneven moment
    lambda_b  L_b d/t^2
    F_y       yield stress of the steel
    E         stiffness of the steel
    M_y       yield moment
    """
    return C_b * (1.52 - 0.274 * lambda_b * F_y / E) * M_y


@formula(symbol="F_cr", source="aisc-360-22, F11-5")
def bar_stress_elastic(*, E: Stress, C_b: Ratio, lambda_b: Ratio) -> Stress:
    """Stress at which a bar on edge buckles sideways while still elastic.

    E         stiffness of the steel
    C_b       factor for an uneven moment
    lambda_b  L_b d/t^2
    """
    return 1.9 * E * C_b / lambda_b


@clause("AISC 360-22 F11", source="aisc-360-22, F11", gives=Moment, omega=OMEGA_B, phi=PHI_B,
        states=("yielding", "lateral-torsional buckling"))
def bending_rectangular_bar(*, F_y: Stress, E: Stress, Z: SectionModulus, S: SectionModulus, d: Length,
                            t: Length,
                            L_b: Length = 0.0, C_b: Ratio = 1.0):
    """Nominal moment of a flat or square bar. On the flat (d up to t) it does not buckle sideways.

    F_y  yield stress of the steel
    E    stiffness of the steel
    Z    plastic section modulus about the axis of bending
    S    elastic section modulus about it
    d    height of the bar across the axis of bending
    t    its thickness along it
    L_b  length between points braced sideways or against twist
    C_b  factor for an uneven moment
    """
    M_p = np.minimum(plastic_moment.si(F_y=F_y, Z=Z), moment_cap_1_5.si(F_y=F_y, S=S))
    lam, steel = bar_slenderness.si(L_b=L_b, d=d, t=t), {"E": E, "F_y": F_y}
    buckles = (d > t) & (lam > bar_limit_yielding.si(**steel))
    if not buckles.any():
        return M_p, None
    elastic = moment_at_critical_stress.si(F_cr=bar_stress_elastic.si(E=E, C_b=C_b, lambda_b=lam), S=S)
    inelastic = bar_moment_inelastic.si(C_b=C_b, lambda_b=lam, M_y=yield_moment.si(F_y=F_y, S=S), **steel)
    moment = np.where(lam > bar_limit_inelastic.si(**steel), elastic, inelastic)
    return M_p, np.where(buckles, moment, np.inf)


@bending_rectangular_bar.lines
def _(steps, q, state):
    if state == "yielding":
        yield_line(steps, q, plastic_moment(F_y=q.F_y, Z=q.Z), moment_cap_1_5(F_y=q.F_y, S=q.S),
                   moment_cap_1_5)
        return
    steel = {"E": q.E, "F_y": q.F_y}
    lam = steps(bar_slenderness, L_b=q.L_b, d=q.d, t=q.t)
    steps(bar_limit_yielding, **steel)
    if lam > steps(bar_limit_inelastic, **steel):
        steps(moment_at_critical_stress, F_cr=steps(bar_stress_elastic, E=q.E, C_b=q.C_b, lambda_b=lam),
              S=q.S)
    else:
        M_y = steps(yield_moment, F_y=q.F_y, S=q.S)
        steps(bar_moment_inelastic, C_b=q.C_b, lambda_b=lam, M_y=M_y, **steel)


@clause("AISC 360-22 F11", source="aisc-360-22, F11", gives=Moment, omega=OMEGA_B, phi=PHI_B,
        states=("yielding",))
def bending_rod(*, F_y: Stress, Z: SectionModulus, S: SectionModulus):
    """Nominal moment of a round rod.

    F_y  yield stress of the steel
    Z    plastic section modulus
    S    elastic section modulus
    """
    return (np.minimum(plastic_moment.si(F_y=F_y, Z=Z), moment_cap_1_6.si(F_y=F_y, S=S)),)


@bending_rod.lines
def _(steps, q, state):
    yield_line(steps, q, plastic_moment(F_y=q.F_y, Z=q.Z), moment_cap_1_6(F_y=q.F_y, S=q.S), moment_cap_1_6)
