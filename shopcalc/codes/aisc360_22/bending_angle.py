"""F10: bending of single angles.

An angle bends about its principal axes unless it is held along its length; each clause says which axis it
means.
"""

from __future__ import annotations

import numpy as np

from shopcalc.codes.aisc360_22 import limits
from shopcalc.codes.aisc360_22.bending import OMEGA_B, PHI_B, moment_at_critical_stress, yield_moment
from shopcalc.codes.aisc360_22.limits import slenderness
from shopcalc.codes.clause import clause
from shopcalc.formula import formula, sqrt
from shopcalc.units import Area, Length, Moment, Ratio, SectionModulus, Stress

ANGLE_CAUTION = ("Bending about the legs' axes is allowed for equal legs only; unequal legs and angles that "
                 "also carry axial load go by principal axes and H2 (AISC 360-22 F10).")


@formula(symbol="M_n", source="aisc-360-22, F10-1")
def angle_yield_moment(M_y: Moment) -> Moment:
    """Moment at which an angle yields: half as much again as the yield moment.

    M_y  yield moment
    """
    return 1.5 * M_y


@formula(symbol="M_n", source="aisc-360-22, F10-2")
def angle_moment_inelastic(*, M_y: Moment, M_cr: Moment) -> Moment:
    """Moment at which an angle buckles sideways part-yielded, M_y/M_cr up to 1 (not more than 1.5 M_y).

    M_y   yield moment
    M_cr  elastic buckling moment
    """
    return (1.92 - 1.17 * sqrt(M_y / M_cr)) * M_y


@formula(symbol="M_n", source="aisc-360-22, F10-3")
def angle_moment_elastic(*, M_y: Moment, M_cr: Moment) -> Moment:
    """Moment at which an angle buckles sideways, M_y/M_cr over 1.

    M_y   yield moment
    M_cr  elastic buckling moment
    """
    return (0.92 - 0.17 * M_cr / M_y) * M_cr


@formula(symbol="M_cr", source="aisc-360-22, F10-4")
def angle_critical_moment_principal(*, E: Stress, A_g: Area, r_z: Length, t: Length, C_b: Ratio, L_b: Length,
                                    beta_w: Length) -> Moment:
    """Elastic buckling moment of an angle about its major principal axis.

    E       stiffness of the steel
    A_g     area
    r_z     radius of gyration about the minor principal axis
    t       thickness
    C_b     factor for an uneven moment, at most 1.5
    L_b     length between points braced sideways or against twist
    beta_w  property of unequal legs: 0 for equal legs, negative with the long leg in compression anywhere
    """
    return (9 * E * A_g * r_z * t * C_b / (8 * L_b)
            * (sqrt(1 + (4.4 * beta_w * r_z / (L_b * t))**2) + 4.4 * beta_w * r_z / (L_b * t)))


@formula(symbol="M_cr", source="aisc-360-22, F10-5a")
def angle_critical_moment_toe_compressed(*, E: Stress, b: Length, t: Length, C_b: Ratio,
                                         L_b: Length) -> Moment:
    """Elastic buckling moment of an equal-leg angle bent about a leg's axis, the toe in compression, nowhere
    held.

    E    stiffness of the steel
    b    full leg
    t    thickness
    C_b  factor for an uneven moment
    L_b  length between points braced sideways or against twist
    """
    return 0.58 * E * b**4 * t * C_b / L_b**2 * (sqrt(1 + 0.88 * (L_b * t / b**2)**2) - 1)


@formula(symbol="M_cr", source="aisc-360-22, F10-5b")
def angle_critical_moment_toe_stretched(*, E: Stress, b: Length, t: Length, C_b: Ratio,
                                        L_b: Length) -> Moment:
    """Elastic buckling moment of an equal-leg angle bent about a leg's axis, the toe in tension, nowhere
    held.

    E    stiffness of the steel
    b    full leg
    t    thickness
    C_b  factor for an uneven moment
    L_b  length between points braced sideways or against twist
    """
    return 0.58 * E * b**4 * t * C_b / L_b**2 * (sqrt(1 + 0.88 * (L_b * t / b**2)**2) + 1)


@formula(symbol="M_y", source="aisc-360-22, F10.2(2)(i)")
def angle_reduced_yield_moment(*, F_y: Stress, S: SectionModulus) -> Moment:
    """Yield moment counted for an equal-leg angle bent about a leg's axis and nowhere held: it also bends
    sideways.

    F_y  yield stress of the steel
    S    elastic section modulus about the leg's axis
    """
    return 0.80 * F_y * S


@formula(symbol="M_n", source="aisc-360-22, F10-6")
def angle_moment_noncompact(*, F_y: Stress, S_c: SectionModulus, lambda_w: Ratio, E: Stress) -> Moment:
    """Moment at which a noncompact leg with its toe in compression buckles.

    F_y       yield stress of the steel
    S_c       elastic section modulus to that toe (0.80 of it for an angle that is nowhere held)
    lambda_w  b/t of the leg
    E         stiffness of the steel
    """
    return F_y * S_c * (2.43 - 1.72 * lambda_w * sqrt(F_y / E))


@formula(symbol="F_cr", source="aisc-360-22, F10-8")
def angle_stress_slender(*, E: Stress, lambda_w: Ratio) -> Stress:
    """Stress at which a slender leg with its toe in compression buckles.

    E         stiffness of the steel
    lambda_w  b/t of the leg
    """
    return 0.71 * E / lambda_w**2


@formula(symbol="S_c", source="aisc-360-22, F10.3")
def angle_reduced_modulus(S: SectionModulus) -> SectionModulus:
    """Section modulus counted for the toe of an equal-leg angle bent about a leg's axis and nowhere held.

    S  elastic section modulus about the leg's axis
    """
    return 0.80 * S


ANGLE_STATES = ("yielding", "lateral-torsional buckling", "leg local buckling")


def _angle_buckling(M_y, M_cr):
    """F10-2 or F10-3; the cap of F10-2 is the yielding state."""
    return np.where(M_y > M_cr, angle_moment_elastic.si(M_y=M_y, M_cr=M_cr),
                    angle_moment_inelastic.si(M_y=M_y, M_cr=M_cr))


def _leg_buckling(*, F_y, E, b, t, S_c, compressed):
    leg, steel = slenderness.si(b=b, t=t), {"E": E, "F_y": F_y}
    buckles = compressed & (leg > limits.angle_leg_compact.si(**steel))
    if not buckles.any():
        return None
    slender = moment_at_critical_stress.si(F_cr=angle_stress_slender.si(E=E, lambda_w=leg), S=S_c)
    between = angle_moment_noncompact.si(F_y=F_y, S_c=S_c, lambda_w=leg, E=E)
    return np.where(buckles, np.where(leg > limits.angle_leg_slender.si(**steel), slender, between), np.inf)


def _leg_lines(steps, q, S_c):
    steel = {"E": q.E, "F_y": q.F_y}
    leg = steps(slenderness, b=q.b, t=q.t)
    steps(limits.angle_leg_compact, **steel)
    if leg > steps(limits.angle_leg_slender, **steel):
        steps(moment_at_critical_stress, F_cr=steps(angle_stress_slender, E=q.E, lambda_w=leg), S=S_c)
    else:
        steps(angle_moment_noncompact, F_y=q.F_y, S_c=S_c, lambda_w=leg, E=q.E)


@formula(symbol="M_cr", source="aisc-360-22, F10.2(2)(ii)")
def angle_critical_moment_held(M_cr: Moment) -> Moment:
    """Elastic buckling moment of an angle that is held against twisting where the moment is largest.

    M_cr  elastic buckling moment of the length between braces, as if nowhere held
    """
    return 1.25 * M_cr


@clause("AISC 360-22 F10", source="aisc-360-22, F10", gives=Moment, omega=OMEGA_B, phi=PHI_B,
        states=ANGLE_STATES)
def bending_angle_leg_axis(*, F_y: Stress, E: Stress, S: SectionModulus, b: Length, t: Length, L_b: Length,
                           C_b: Ratio = 1.0, toe_compressed: Ratio = 1.0, held: Ratio = 0.0):
    """Nominal moment of an equal-leg angle about a leg's axis, without axial load.

    F_y             yield stress of the steel
    E               stiffness of the steel
    S               elastic section modulus about the leg's axis
    b               full leg
    t               thickness
    L_b             length between points braced sideways and against twist
    C_b             factor for an uneven moment
    toe_compressed  1 where the toe of the upright leg is in compression, 0 where it is in tension
    held            1 where held sideways and against twist at the largest moment too, 0 at its ends only
    """
    pressed, fixed = toe_compressed > 0.5, held > 0.5
    whole = yield_moment.si(F_y=F_y, S=S)
    M_y = np.where(fixed, whole, angle_reduced_yield_moment.si(F_y=F_y, S=S))
    size = {"E": E, "b": b, "t": t, "C_b": C_b, "L_b": L_b}
    M_cr = np.where(pressed, angle_critical_moment_toe_compressed.si(**size),
                    angle_critical_moment_toe_stretched.si(**size))
    M_cr = np.where(fixed, angle_critical_moment_held.si(M_cr), M_cr)
    # F10-2 is capped by its own M_y, the reduced one where nowhere held (example F.11A), under F10-1.
    lateral = np.minimum(_angle_buckling(M_y, M_cr), angle_yield_moment.si(M_y))
    S_c = np.where(fixed, S, angle_reduced_modulus.si(S))
    legs = _leg_buckling(F_y=F_y, E=E, b=b, t=t, S_c=S_c, compressed=pressed)
    return angle_yield_moment.si(whole), lateral, legs


@bending_angle_leg_axis.lines
def _(steps, q, state):
    fixed = q.held > 0.5
    if state == "leg local buckling":
        _leg_lines(steps, q, q.S if fixed else steps(angle_reduced_modulus, S=q.S))
        return
    if state == "yielding":
        steps(angle_yield_moment, M_y=steps(yield_moment, F_y=q.F_y, S=q.S))
        return
    M_y = steps(yield_moment if fixed else angle_reduced_yield_moment, F_y=q.F_y, S=q.S)
    critical = (angle_critical_moment_toe_compressed if q.toe_compressed > 0.5
                else angle_critical_moment_toe_stretched)
    M_cr = steps(critical, E=q.E, b=q.b, t=q.t, C_b=q.C_b, L_b=q.L_b)
    if fixed:
        M_cr = steps(angle_critical_moment_held, M_cr=M_cr)
    _angle_lateral_lines(steps, M_y, M_cr)


def _angle_lateral_lines(steps, M_y, M_cr):
    if M_y > M_cr:
        steps(angle_moment_elastic, M_y=M_y, M_cr=M_cr)
        return
    moment = steps(angle_moment_inelastic, M_y=M_y, M_cr=M_cr)
    if moment > 1.5 * M_y:
        steps(angle_yield_moment, M_y=M_y)


@clause("AISC 360-22 F10", source="aisc-360-22, F10", gives=Moment, omega=OMEGA_B, phi=PHI_B,
        states=ANGLE_STATES)
def bending_angle_major(*, F_y: Stress, E: Stress, S: SectionModulus, A_g: Area, r_z: Length, b: Length,
                        t: Length,
                        L_b: Length, beta_w: Length = 0.0, C_b: Ratio = 1.0):
    """Nominal moment of an angle about its major principal axis.

    F_y     yield stress of the steel
    E       stiffness of the steel
    S       elastic section modulus about the major principal axis, to the toe in compression
    A_g     area
    r_z     radius of gyration about the minor principal axis
    b       full leg in compression
    t       thickness
    L_b     length between points braced sideways or against twist
    beta_w  property of unequal legs, negative with the long leg in compression anywhere; 0 for equal legs
    C_b     factor for an uneven moment; over 1.5 it counts as 1.5
    """
    M_y = yield_moment.si(F_y=F_y, S=S)
    M_cr = angle_critical_moment_principal.si(E=E, A_g=A_g, r_z=r_z, t=t, C_b=np.minimum(C_b, 1.5), L_b=L_b,
                                              beta_w=beta_w)
    legs = _leg_buckling(F_y=F_y, E=E, b=b, t=t, S_c=S, compressed=True)
    return angle_yield_moment.si(M_y), _angle_buckling(M_y, M_cr), legs


@bending_angle_major.lines
def _(steps, q, state):
    if state == "leg local buckling":
        _leg_lines(steps, q, q.S)
        return
    M_y = steps(yield_moment, F_y=q.F_y, S=q.S)
    if state == "yielding":
        steps(angle_yield_moment, M_y=M_y)
        return
    M_cr = steps(angle_critical_moment_principal, E=q.E, A_g=q.A_g, r_z=q.r_z, t=q.t, C_b=min(q.C_b, 1.5),
                 L_b=q.L_b, beta_w=q.beta_w)
    _angle_lateral_lines(steps, M_y, M_cr)


@clause("AISC 360-22 F10", source="aisc-360-22, F10", gives=Moment, omega=OMEGA_B, phi=PHI_B,
        states=("yielding", "leg local buckling"))
def bending_angle_minor(*, F_y: Stress, E: Stress, S: SectionModulus, S_c: SectionModulus, b: Length,
                        t: Length,
                        toe_compressed: Ratio = 1.0):
    """Nominal moment of an angle about its minor principal axis: no buckling sideways (F10 user note).

    F_y             yield stress of the steel
    E               stiffness of the steel
    S               least elastic section modulus about the minor principal axis
    S_c             the one to the toes
    b               full leg
    t               thickness
    toe_compressed  1 where the toes are in compression, 0 where they are in tension
    """
    legs = _leg_buckling(F_y=F_y, E=E, b=b, t=t, S_c=S_c, compressed=toe_compressed > 0.5)
    return angle_yield_moment.si(yield_moment.si(F_y=F_y, S=S)), legs


@bending_angle_minor.lines
def _(steps, q, state):
    if state == "leg local buckling":
        _leg_lines(steps, q, q.S_c)
    else:
        steps(angle_yield_moment, M_y=steps(yield_moment, F_y=q.F_y, S=q.S))
