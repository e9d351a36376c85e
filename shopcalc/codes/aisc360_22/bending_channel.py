"""F2 and F6: bending of channels.

A channel twists unless it is loaded through its shear centre, which lies behind the web; the clauses assume
that it is, or that it is held against twisting.
"""

from __future__ import annotations

import numpy as np

from shopcalc.codes.aisc360_22 import limits
from shopcalc.codes.aisc360_22.bending import (
    OMEGA_B,
    PHI_B,
    moment_at_critical_stress,
    moment_cap_1_6,
    moment_inelastic_ltb,
    plastic_moment,
    yield_line,
)
from shopcalc.codes.aisc360_22.compression_open import WarpingConstant
from shopcalc.codes.aisc360_22.limits import slenderness
from shopcalc.codes.clause import clause
from shopcalc.formula import Within, formula, pi, sqrt
from shopcalc.units import Length, Moment, Ratio, SecondMoment, SectionModulus, Stress

CHANNEL_CAUTION = ("A channel loaded through its web twists as it bends: load it through the shear "
                   "centre, behind the web, or hold it against twisting at the loads and supports "
                   "(AISC 360-22 chapter F).")


# --- F2: channel about its strong axis -----------------------------------------------------------


@formula(symbol="L_p", source="aisc-360-22, F2-5")
def length_no_ltb(*, r_y: Length, E: Stress, F_y: Stress) -> Length:
    """Length between braces up to which a channel does not buckle sideways.

    r_y  radius of gyration about the weak axis
    E    stiffness of the steel
    F_y  yield stress of the steel
    """
    return 1.76 * r_y * sqrt(E / F_y)


@formula(symbol="r_ts", source="aisc-360-22, F2-7")
def gyration_of_flange(*, I_y: SecondMoment, C_w: WarpingConstant, S: SectionModulus) -> Length:
    """Radius of gyration that counts in buckling sideways.

    I_y  second moment about the weak axis
    C_w  warping constant
    S    elastic section modulus about the strong axis
    """
    return sqrt(sqrt(I_y * C_w) / S)


@formula(symbol="c", source="aisc-360-22, F2-8b")
def channel_coefficient(*, h_o: Length, I_y: SecondMoment, C_w: WarpingConstant) -> Ratio:
    """Coefficient c of a channel (1 for an I-shape).

    h_o  between the middles of the flanges
    I_y  second moment about the weak axis
    C_w  warping constant
    """
    return h_o / 2 * sqrt(I_y / C_w)


@formula(symbol="L_r", source="aisc-360-22, F2-6")
def length_elastic_ltb(*, r_ts: Length, E: Stress, F_y: Stress, J: SecondMoment, c: Ratio, S: SectionModulus,
                       h_o: Length) -> Length:
    """Length between braces beyond which a channel buckles sideways while still elastic.

    r_ts  radius of gyration that counts in buckling sideways
    E     stiffness of the steel
    F_y   yield stress of the steel
    J     torsion constant
    c     coefficient of the shape
    S     elastic section modulus about the strong axis
    h_o   between the middles of the flanges
    """
    return (1.95 * r_ts * E / (0.7 * F_y)
            * sqrt(J * c / (S * h_o) + sqrt((J * c / (S * h_o))**2 + 6.76 * (0.7 * F_y / E)**2)))


@formula(symbol="F_cr", source="aisc-360-22, F2-4")
def stress_elastic_ltb(*, C_b: Ratio, E: Stress, L_b: Length, r_ts: Length, J: SecondMoment, c: Ratio,
                       S: SectionModulus, h_o: Length) -> Stress:
    """Stress at which a channel buckles sideways while still elastic.

    C_b   factor for an uneven moment
    E     stiffness of the steel
    L_b   length between points braced sideways or against twist
    r_ts  radius of gyration that counts in buckling sideways
    J     torsion constant
    c     coefficient of the shape
    S     elastic section modulus about the strong axis
    h_o   between the middles of the flanges
    """
    return C_b * pi**2 * E / (L_b / r_ts)**2 * sqrt(1 + 0.078 * J * c / (S * h_o) * (L_b / r_ts)**2)


CHANNEL_FLANGE_COMPACT = Within("(b_f/t_f) sqrt(F_y/E)", lambda b_f, t_f, E,
                                F_y: b_f / t_f * np.sqrt(F_y / E),
                                high=0.38, source="aisc-360-22, table B4.1b case 10")
CHANNEL_WEB_COMPACT = Within("(h/t_w) sqrt(F_y/E)", lambda h, t_w, E, F_y: h / t_w * np.sqrt(F_y / E),
                             high=3.76,
                             source="aisc-360-22, table B4.1b case 15")


@clause("AISC 360-22 F2", source="aisc-360-22, F2", gives=Moment, omega=OMEGA_B, phi=PHI_B,
        states=("yielding", "lateral-torsional buckling"), valid=[CHANNEL_FLANGE_COMPACT,
                                                                  CHANNEL_WEB_COMPACT],
        ways="a hot-rolled channel, or an engineer for bent sheet")
def bending_channel(*, F_y: Stress, E: Stress, Z: SectionModulus, S: SectionModulus, I_y: SecondMoment,
                    r_y: Length, J: SecondMoment, C_w: WarpingConstant, h_o: Length, b_f: Length, t_f: Length,
                    h: Length, t_w: Length, L_b: Length = 0.0, C_b: Ratio = 1.0):
    """Nominal moment of a channel about its strong axis, loaded through the shear centre or held from
    twisting.

    F_y  yield stress of the steel
    E    stiffness of the steel
    Z    plastic section modulus about the strong axis
    S    elastic section modulus about it
    I_y  second moment about the weak axis
    r_y  radius of gyration about the weak axis
    J    torsion constant
    C_w  warping constant
    h_o  between the middles of the flanges
    b_f  width of a flange
    t_f  its thickness
    h    flat of the web
    t_w  its thickness
    L_b  length between points braced sideways or against twist
    C_b  factor for an uneven moment
    """
    M_p = plastic_moment.si(F_y=F_y, Z=Z)
    L_p = length_no_ltb.si(r_y=r_y, E=E, F_y=F_y)
    buckles = L_b > L_p
    if not buckles.any():
        return M_p, None
    shape = {"r_ts": gyration_of_flange.si(I_y=I_y, C_w=C_w, S=S), "E": E, "J": J, "S": S, "h_o": h_o,
             "c": channel_coefficient.si(h_o=h_o, I_y=I_y, C_w=C_w)}
    L_r = length_elastic_ltb.si(F_y=F_y, **shape)
    elastic = moment_at_critical_stress.si(F_cr=stress_elastic_ltb.si(C_b=C_b, L_b=L_b, **shape), S=S)
    inelastic = moment_inelastic_ltb.si(C_b=C_b, M_p=M_p, F_y=F_y, S=S, L_b=L_b, L_p=L_p, L_r=L_r)
    return M_p, np.where(buckles, np.where(L_b > L_r, elastic, inelastic), np.inf)


@bending_channel.lines
def _(steps, q, state):
    M_p = steps(plastic_moment, F_y=q.F_y, Z=q.Z)
    if state == "yielding":
        return
    L_p = steps(length_no_ltb, r_y=q.r_y, E=q.E, F_y=q.F_y)
    shape = {"r_ts": steps(gyration_of_flange, I_y=q.I_y, C_w=q.C_w, S=q.S), "E": q.E, "J": q.J, "S": q.S,
             "h_o": q.h_o, "c": steps(channel_coefficient, h_o=q.h_o, I_y=q.I_y, C_w=q.C_w)}
    L_r = steps(length_elastic_ltb, F_y=q.F_y, **shape)
    if q.L_b > L_r:
        steps(moment_at_critical_stress, F_cr=steps(stress_elastic_ltb, C_b=q.C_b, L_b=q.L_b, **shape), S=q.S)
    else:
        steps(moment_inelastic_ltb, C_b=q.C_b, M_p=M_p, F_y=q.F_y, S=q.S, L_b=q.L_b, L_p=L_p, L_r=L_r)


# --- F6: channel about its weak axis -------------------------------------------------------------


@formula(symbol="M_n", source="aisc-360-22, F6-2")
def moment_noncompact_flange(*, M_p: Moment, F_y: Stress, S: SectionModulus, lambda_w: Ratio, lambda_p: Ratio,
                             lambda_r: Ratio) -> Moment:
    """Moment at which a noncompact flange of a channel buckles in bending about the weak axis.

    M_p       plastic moment, as capped
    F_y       yield stress of the steel
    S         elastic section modulus about the weak axis
    lambda_w  slenderness of the flange
    lambda_p  its compact limit
    lambda_r  its slender limit
    """
    return M_p - (M_p - 0.7 * F_y * S) * (lambda_w - lambda_p) / (lambda_r - lambda_p)


@formula(symbol="F_cr", source="aisc-360-22, F6-4")
def stress_slender_flange(*, E: Stress, lambda_w: Ratio) -> Stress:
    """Stress at which a slender flange of a channel buckles in bending about the weak axis.

    E         stiffness of the steel
    lambda_w  slenderness of the flange
    """
    return 0.7 * E / lambda_w**2


@clause("AISC 360-22 F6", source="aisc-360-22, F6", gives=Moment, omega=OMEGA_B, phi=PHI_B,
        states=("yielding", "flange local buckling"))
def bending_channel_weak(*, F_y: Stress, E: Stress, Z: SectionModulus, S: SectionModulus, b_f: Length,
                         t_f: Length):
    """Nominal moment of a channel about its weak axis, by the section modulus to the toes.

    F_y  yield stress of the steel
    E    stiffness of the steel
    Z    plastic section modulus about the weak axis
    S    elastic section modulus about it
    b_f  width of a flange
    t_f  its thickness
    """
    M_p = np.minimum(plastic_moment.si(F_y=F_y, Z=Z), moment_cap_1_6.si(F_y=F_y, S=S))
    lam, steel = slenderness.si(b=b_f, t=t_f), {"E": E, "F_y": F_y}
    compact = limits.channel_flange_compact.si(**steel)
    noncompact = lam > compact
    if not noncompact.any():
        return M_p, None
    limit = limits.channel_flange_slender.si(**steel)
    slender = moment_at_critical_stress.si(F_cr=stress_slender_flange.si(E=E, lambda_w=lam), S=S)
    between = moment_noncompact_flange.si(M_p=M_p, F_y=F_y, S=S, lambda_w=lam, lambda_p=compact,
                                          lambda_r=limit)
    return M_p, np.where(noncompact, np.where(lam > limit, slender, between), np.inf)


@bending_channel_weak.lines
def _(steps, q, state):
    plastic, cap = plastic_moment(F_y=q.F_y, Z=q.Z), moment_cap_1_6(F_y=q.F_y, S=q.S)
    if state == "yielding":
        yield_line(steps, q, plastic, cap, moment_cap_1_6)
        return
    steel = {"E": q.E, "F_y": q.F_y}
    lam = steps(slenderness, b=q.b_f, t=q.t_f)
    lam_p = steps(limits.channel_flange_compact, **steel)
    lam_r = steps(limits.channel_flange_slender, **steel)
    if lam > lam_r:
        steps(moment_at_critical_stress, F_cr=steps(stress_slender_flange, E=q.E, lambda_w=lam), S=q.S)
    else:
        M_p = yield_line(steps, q, plastic, cap, moment_cap_1_6)
        steps(moment_noncompact_flange, M_p=M_p, F_y=q.F_y, S=q.S, lambda_w=lam, lambda_p=lam_p,
              lambda_r=lam_r)
