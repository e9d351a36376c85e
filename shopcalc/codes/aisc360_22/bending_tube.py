"""F7 and F8: bending of square, rectangular and round tube, and of built-up boxes.

Sizes are read as bent:
H upright across the axis of bending, B along it; for a tube laid flat give the turned section.
"""

from __future__ import annotations

import numpy as np

from shopcalc.codes.aisc360_22 import limits
from shopcalc.codes.aisc360_22.bending import (
    OMEGA_B,
    PHI_B,
    moment_at_critical_stress,
    moment_inelastic_ltb,
    plastic_moment,
    yield_moment,  # noqa: F401 (a published case names it here)
)
from shopcalc.codes.aisc360_22.limits import slenderness
from shopcalc.codes.clause import clause
from shopcalc.formula import Within, formula, sqrt
from shopcalc.stock.sections import section_modulus_of_depth
from shopcalc.units import Area, Length, Moment, Ratio, SecondMoment, SectionModulus, Stress

CAUTIONS = (
    "Bending strength holds for the tube as a member: a load set down on a thin face is another question.",
    "The ends must be held against twisting about the length (AISC 360-22 F1(b)).",
)


# --- F7: square and rectangular tube -------------------------------------------------------------


@formula(symbol="M_n", source="aisc-360-22, F7-2 and F7-6")
def moment_noncompact_wall(*, M_p: Moment, F_y: Stress, S: SectionModulus, lambda_w: Ratio, lambda_p: Ratio,
                           lambda_r: Ratio) -> Moment:
    """Moment at which a noncompact flange or web buckles: from the plastic moment down to the yield moment.

    M_p       plastic moment
    F_y       yield stress of the steel
    S         elastic section modulus about the axis of bending
    lambda_w  slenderness of the wall
    lambda_p  its compact limit
    lambda_r  its slender limit
    """
    return M_p - (M_p - F_y * S) * (lambda_w - lambda_p) / (lambda_r - lambda_p)


@formula(symbol="b_e", source="aisc-360-22, F7-4")
def effective_flange_width(*, b: Length, t: Length, E: Stress, F_y: Stress) -> Length:
    """Width of a slender compression flange that still works (not more than b).

    b    flat of the flange
    t    design wall
    E    stiffness of the steel
    F_y  yield stress of the steel
    """
    return 1.92 * t * sqrt(E / F_y) * (1 - 0.38 / (b / t) * sqrt(E / F_y))


@formula(symbol="b_e", source="aisc-360-22, F7-5")
def effective_box_flange_width(*, b: Length, t: Length, E: Stress, F_y: Stress) -> Length:
    """Width of a slender compression flange of a built-up box that still works (not more than b).

    b    between the webs
    t    thickness of the flange
    E    stiffness of the steel
    F_y  yield stress of the steel
    """
    return 1.92 * t * sqrt(E / F_y) * (1 - 0.34 / (b / t) * sqrt(E / F_y))


@formula(symbol="I_eff", source="aisc-360-22, F7.2(c); aisc-design-examples-16, F.8B")
def effective_second_moment(*, I: SecondMoment, H: Length, t: Length, b: Length, b_e: Length) -> SecondMoment:
    """Second moment with the idle part taken off both flanges: simpler than moving the axis, and a little
    low.

    I    second moment of the whole section about the axis of bending
    H    outside height across the axis
    t    design wall
    b    flat of the flange
    b_e  effective width of the flange
    """
    return I - 2 * ((b - b_e) * t**3 / 12 + (b - b_e) * t * ((H - t) / 2)**2)


@formula(symbol="M_n", source="aisc-360-22, F7-3")
def moment_effective_modulus(*, F_y: Stress, S_e: SectionModulus) -> Moment:
    """Moment of a tube with a slender compression flange.

    F_y  yield stress of the steel
    S_e  elastic section modulus of what still works
    """
    return F_y * S_e


@formula(symbol="L_p", source="aisc-360-22, F7-12")
def tube_length_no_ltb(*, E: Stress, r_y: Length, J: SecondMoment, A_g: Area, M_p: Moment) -> Length:
    """Length between braces up to which a rectangular tube does not buckle sideways.

    E    stiffness of the steel
    r_y  radius of gyration about the weak axis
    J    torsion constant
    A_g  area
    M_p  plastic moment about the strong axis
    """
    return 0.13 * E * r_y * sqrt(J * A_g) / M_p


@formula(symbol="L_r", source="aisc-360-22, F7-13")
def tube_length_elastic_ltb(*, E: Stress, r_y: Length, J: SecondMoment, A_g: Area, F_y: Stress,
                            S: SectionModulus) -> Length:
    """Length between braces beyond which a rectangular tube buckles sideways while still elastic.

    E    stiffness of the steel
    r_y  radius of gyration about the weak axis
    J    torsion constant
    A_g  area
    F_y  yield stress of the steel
    S    elastic section modulus about the strong axis
    """
    return 2 * E * r_y * sqrt(J * A_g) / (0.7 * F_y * S)


@formula(symbol="M_n", source="aisc-360-22, F7-11")
def tube_moment_elastic_ltb(*, E: Stress, C_b: Ratio, J: SecondMoment, A_g: Area, L_b: Length,
                            r_y: Length) -> Moment:
    """Moment at which a long rectangular tube buckles sideways while still elastic.

    E    stiffness of the steel
    C_b  factor for an uneven moment
    J    torsion constant
    A_g  area
    L_b  length between points braced sideways or against twist
    r_y  radius of gyration about the weak axis
    """
    return 2 * E * C_b * sqrt(J * A_g) / (L_b / r_y)


WEB_NOT_SLENDER = Within("h/t over sqrt(E/F_y)", lambda h, t, E, F_y: h / t * np.sqrt(F_y / E), high=5.70,
                         source="aisc-360-22, table B4.1b case 19")

def _f7_states(*, F_y, E, Z, S, I, A_g, J, r_y, H, B, t_f, t_w, b, h, L_b, C_b, slender, width):
    """Array kernel: the limit states of F7. slender, width: limit and effective width of a slender flange."""
    M_p = plastic_moment.si(F_y=F_y, Z=Z)
    flange, web = slenderness.si(b=b, t=t_f), slenderness.si(b=h, t=t_w)
    steel = {"E": E, "F_y": F_y}

    flange_buckling = web_buckling = lateral = None
    compact = limits.tube_flange_compact.si(**steel)
    noncompact = flange > compact
    if noncompact.any():
        limit = slender.si(**steel)
        between = moment_noncompact_wall.si(M_p=M_p, F_y=F_y, S=S, lambda_w=flange, lambda_p=compact,
                                            lambda_r=limit)
        thin = flange > limit
        if thin.any():
            b_e = np.minimum(width.si(b=b, t=t_f, **steel), b)
            I_eff = effective_second_moment.si(I=I, H=H, t=t_f, b=b, b_e=b_e)
            S_e = section_modulus_of_depth.si(I=I_eff, H=H)
            between = np.where(thin, moment_effective_modulus.si(F_y=F_y, S_e=S_e), between)
        flange_buckling = np.where(noncompact, between, np.inf)

    compact = limits.tube_web_compact.si(**steel)
    noncompact = web > compact
    if noncompact.any():
        limit = limits.tube_web_slender.si(**steel)
        between = moment_noncompact_wall.si(M_p=M_p, F_y=F_y, S=S, lambda_w=web, lambda_p=compact,
                                            lambda_r=limit)
        web_buckling = np.where(noncompact, between, np.inf)

    upright = H > B
    if (upright & (L_b > 0)).any():
        twist = {"E": E, "r_y": r_y, "J": J, "A_g": A_g}
        L_p = tube_length_no_ltb.si(M_p=M_p, **twist)
        buckles = upright & (L_b > L_p)
        if buckles.any():
            L_r = tube_length_elastic_ltb.si(F_y=F_y, S=S, **twist)
            moment = np.where(
                L_b > L_r, tube_moment_elastic_ltb.si(C_b=C_b, L_b=L_b, **twist),
                moment_inelastic_ltb.si(C_b=C_b, M_p=M_p, F_y=F_y, S=S, L_b=L_b, L_p=L_p, L_r=L_r))
            lateral = np.where(buckles, moment, np.inf)
    return M_p, flange_buckling, web_buckling, lateral


F7_STATES = ("yielding", "flange local buckling", "web local buckling", "lateral-torsional buckling")


@clause("AISC 360-22 F7", source="aisc-360-22, F7", gives=Moment, omega=OMEGA_B, phi=PHI_B, states=F7_STATES,
        valid=[WEB_NOT_SLENDER], ways="a thicker wall or a lower tube")
def bending_rectangular_tube(*, F_y: Stress, E: Stress, Z: SectionModulus, S: SectionModulus, I: SecondMoment,
                             A_g: Area, J: SecondMoment, r_y: Length, H: Length, B: Length, t: Length,
                             b: Length, h: Length, L_b: Length = 0.0, C_b: Ratio = 1.0):
    """Nominal moment of a square or rectangular tube about either axis.

    Lateral-torsional buckling counts only where the tube is higher than wide: a square tube, or one bent
    about its weak axis, does not buckle so (F7.4 user note).

    F_y  yield stress of the steel
    E    stiffness of the steel
    Z    plastic section modulus about the axis of bending
    S    elastic section modulus about it
    I    second moment about it
    A_g  area
    J    torsion constant
    r_y  radius of gyration about the weak axis
    H    outside height across the axis of bending
    B    outside width along it
    t    design wall
    b    flat of the compression flange
    h    flat of the web
    L_b  length between points braced sideways or against twist
    C_b  factor for an uneven moment, 1 where not computed
    """
    return _f7_states(F_y=F_y, E=E, Z=Z, S=S, I=I, A_g=A_g, J=J, r_y=r_y, H=H, B=B, t_f=t, t_w=t, b=b, h=h, L_b=L_b,
                      C_b=C_b, slender=limits.tube_flange_slender, width=effective_flange_width)


@bending_rectangular_tube.lines
def _(steps, q, state):
    _f7_lines(steps, q, state, t_f=q.t, t_w=q.t, slender=limits.tube_flange_slender, width=effective_flange_width)


def _f7_lines(steps, q, state, *, t_f, t_w, slender, width):
    steel = {"E": q.E, "F_y": q.F_y}
    if state == "lateral-torsional buckling":
        M_p = steps(plastic_moment, F_y=q.F_y, Z=q.Z)
        twist = {"E": q.E, "r_y": q.r_y, "J": q.J, "A_g": q.A_g}
        L_p = steps(tube_length_no_ltb, M_p=M_p, **twist)
        L_r = steps(tube_length_elastic_ltb, F_y=q.F_y, S=q.S, **twist)
        if q.L_b > L_r:
            steps(tube_moment_elastic_ltb, C_b=q.C_b, L_b=q.L_b, **twist)
        else:
            steps(moment_inelastic_ltb, C_b=q.C_b, M_p=M_p, F_y=q.F_y, S=q.S, L_b=q.L_b, L_p=L_p, L_r=L_r)
        return
    web = state == "web local buckling"
    lam = steps(slenderness, b=q.h if web else q.b, t=t_w if web else t_f)
    lam_p = steps(limits.tube_web_compact if web else limits.tube_flange_compact, **steel)
    if state == "yielding":
        steps(plastic_moment, F_y=q.F_y, Z=q.Z)
        return
    lam_r = steps(limits.tube_web_slender if web else slender, **steel)
    if lam > lam_r:
        b_e = steps(width, b=q.b, t=t_f, **steel)
        I_eff = steps(effective_second_moment, I=q.I, H=q.H, t=t_f, b=q.b, b_e=min(b_e, q.b))
        S_e = steps(section_modulus_of_depth, I=I_eff, H=q.H)
        steps(moment_effective_modulus, F_y=q.F_y, S_e=S_e)
    else:
        M_p = steps(plastic_moment, F_y=q.F_y, Z=q.Z)
        steps(moment_noncompact_wall, M_p=M_p, F_y=q.F_y, S=q.S, lambda_w=lam, lambda_p=lam_p, lambda_r=lam_r)


BOX_WEB_NOT_SLENDER = Within("h/t_w over sqrt(E/F_y)", lambda h, t_w, E, F_y: h / t_w * np.sqrt(F_y / E), high=5.70,
                             source="aisc-360-22, table B4.1b case 19")
BOX_FLUSH = Within("B over b + 2 t_w", lambda B, b, t_w: B / (b + 2 * t_w), high=1.001,
                   source="aisc-360-22, F7; plates that stand out are not covered")


@clause("AISC 360-22 F7", source="aisc-360-22, F7", gives=Moment, omega=OMEGA_B, phi=PHI_B, states=F7_STATES,
        valid=[BOX_WEB_NOT_SLENDER, BOX_FLUSH], ways="thicker plates, flush at the corners")
def bending_box(*, F_y: Stress, E: Stress, Z: SectionModulus, S: SectionModulus, I: SecondMoment, A_g: Area,
                J: SecondMoment, r_y: Length, H: Length, B: Length, t_f: Length, t_w: Length, b: Length, h: Length,
                L_b: Length = 0.0, C_b: Ratio = 1.0):
    """Nominal moment of a box of four plates, welded along every edge, about either axis.

    F_y  yield stress of the steel
    E    stiffness of the steel
    Z    plastic section modulus about the axis of bending
    S    elastic section modulus about it
    I    second moment about it
    A_g  area
    J    torsion constant
    r_y  radius of gyration about the weak axis
    H    outside height across the axis of bending
    B    outside width along it
    t_f  thickness of the flanges, the plates along the axis
    t_w  thickness of the webs, the plates across it
    b    between the webs
    h    between the flanges
    L_b  length between points braced sideways or against twist
    C_b  factor for an uneven moment, 1 where not computed
    """
    return _f7_states(F_y=F_y, E=E, Z=Z, S=S, I=I, A_g=A_g, J=J, r_y=r_y, H=H, B=B, t_f=t_f, t_w=t_w, b=b, h=h,
                      L_b=L_b, C_b=C_b, slender=limits.box_flange_slender, width=effective_box_flange_width)


@bending_box.lines
def _(steps, q, state):
    _f7_lines(steps, q, state, t_f=q.t_f, t_w=q.t_w, slender=limits.box_flange_slender, width=effective_box_flange_width)


# --- F8: round tube ------------------------------------------------------------------------------


@formula(symbol="M_n", source="aisc-360-22, F8-2")
def moment_noncompact_round(*, E: Stress, F_y: Stress, lambda_w: Ratio, S: SectionModulus) -> Moment:
    """Moment at which the noncompact wall of a round tube buckles.

    E         stiffness of the steel
    F_y       yield stress of the steel
    lambda_w  D/t of the wall
    S         elastic section modulus
    """
    return (0.021 * E / lambda_w + F_y) * S


@formula(symbol="F_cr", source="aisc-360-22, F8-4")
def stress_slender_round(*, E: Stress, lambda_w: Ratio) -> Stress:
    """Stress in bending at which the slender wall of a round tube buckles.

    E         stiffness of the steel
    lambda_w  D/t of the wall
    """
    return 0.33 * E / lambda_w


ROUND_COVERED = Within("(D/t) F_y/E", lambda D, t, E, F_y: D / t * F_y / E, high=0.45,
                       source="aisc-360-22, F8")


@clause("AISC 360-22 F8", source="aisc-360-22, F8", gives=Moment, omega=OMEGA_B, phi=PHI_B,
        states=("yielding", "local buckling"), valid=[ROUND_COVERED], ways="a thicker wall or a smaller tube")
def bending_round_tube(*, F_y: Stress, E: Stress, Z: SectionModulus, S: SectionModulus, D: Length, t: Length):
    """Nominal moment of a round tube or pipe.

    F_y  yield stress of the steel
    E    stiffness of the steel
    Z    plastic section modulus
    S    elastic section modulus
    D    outside diameter
    t    design wall
    """
    wall = slenderness.si(b=D, t=t)
    steel = {"E": E, "F_y": F_y}
    buckling = None
    noncompact = wall > limits.round_compact.si(**steel)
    if noncompact.any():
        slender = moment_at_critical_stress.si(F_cr=stress_slender_round.si(E=E, lambda_w=wall), S=S)
        moment = np.where(wall > limits.round_slender.si(**steel), slender,
                          moment_noncompact_round.si(lambda_w=wall, S=S, **steel))
        buckling = np.where(noncompact, moment, np.inf)
    return plastic_moment.si(F_y=F_y, Z=Z), buckling


@bending_round_tube.lines
def _(steps, q, state):
    steel = {"E": q.E, "F_y": q.F_y}
    wall = steps(slenderness, b=q.D, t=q.t)
    steps(limits.round_compact, **steel)
    if state == "yielding":
        steps(plastic_moment, F_y=q.F_y, Z=q.Z)
    elif wall > steps(limits.round_slender, **steel):
        F_cr = steps(stress_slender_round, E=q.E, lambda_w=wall)
        steps(moment_at_critical_stress, F_cr=F_cr, S=q.S)
    else:
        steps(moment_noncompact_round, lambda_w=wall, S=q.S, **steel)
