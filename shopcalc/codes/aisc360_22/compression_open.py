"""E4 and E5: columns of channel, which twist as they buckle, and of single angle."""

from __future__ import annotations

from typing import Annotated

import numpy as np
import pint

from shopcalc.codes.aisc360_22 import limits
from shopcalc.codes.aisc360_22.compression import (
    COLUMN_STATES,
    OMEGA_C,
    PHI_C,
    UNSTIFFENED,
    column_slenderness,
    column_strength,
    effective_wall,
    euler_stress,
    governing_slenderness,
    nominal_stress,
    stress_lines,
    wall_lines,
)
from shopcalc.codes.aisc360_22.limits import slenderness
from shopcalc.codes.clause import clause
from shopcalc.formula import Within, formula, pi, sqrt
from shopcalc.units import Area, Declared, Force, Length, Ratio, SecondMoment, Stress

WarpingConstant = Annotated[pint.Quantity, Declared("m**6", "a warping constant", "Q(0.9, 'in**6')")]
AreaOfGyration = Annotated[pint.Quantity, Declared("m**2", "a squared radius of gyration", "Q(5, 'in**2')")]


# --- E4: channels, which twist as they buckle ----------------------------------------------------


@formula(symbol="r_o2", source="aisc-360-22, E4-9")
def polar_gyration_squared(*, x_o: Length, I_x: SecondMoment, I_y: SecondMoment, A_g: Area) -> AreaOfGyration:
    """Polar radius of gyration about the shear centre, squared; shear centre on the x axis.

    x_o  from the centroid to the shear centre
    I_x  second moment about x
    I_y  second moment about y
    A_g  area
    """
    return x_o**2 + (I_x + I_y) / A_g


@formula(symbol="H_f", source="aisc-360-22, E4-8")
def flexural_constant(*, x_o: Length, r_o2: AreaOfGyration) -> Ratio:
    """How far the shear centre is from the centroid, as the buckling formula wants it.

    x_o   from the centroid to the shear centre
    r_o2  polar radius of gyration about the shear centre, squared
    """
    return 1 - x_o**2 / r_o2


@formula(symbol="F_ez", source="aisc-360-22, E4-7")
def twist_stress(*, E: Stress, C_w: WarpingConstant, L_cz: Length, G: Stress, J: SecondMoment, A_g: Area,
                 r_o2: AreaOfGyration) -> Stress:
    """Stress at which a member buckles by twisting alone.

    E     stiffness of the steel
    C_w   warping constant
    L_cz  effective length for twisting
    G     stiffness in shear
    J     torsion constant
    A_g   area
    r_o2  polar radius of gyration about the shear centre, squared
    """
    return (pi**2 * E * C_w / L_cz**2 + G * J) / (A_g * r_o2)


@formula(symbol="F_e", source="aisc-360-22, E4-3",
         valid=[Within("H_f", lambda H_f: H_f, low=1e-9, high=1.0, source="aisc-360-22, E4-8")])
def flexural_torsional_stress(*, F_ex: Stress, F_ez: Stress, H_f: Ratio) -> Stress:
    """Stress at which a member with one axis of symmetry bends along it and twists.

    F_ex  stress of bending about the axis of symmetry
    F_ez  stress of twisting alone
    H_f   flexural constant
    """
    return (F_ex + F_ez) / (2 * H_f) * (1 - sqrt(1 - 4 * F_ex * F_ez * H_f / (F_ex + F_ez)**2))


CHANNEL_STATES = ("flexural buckling", "flexural-torsional buckling")
CHANNEL_FLANGE_STOCKY = Within("(b_f/t_f) sqrt(F_y/E)", lambda b_f, t_f, E, F_y: b_f / t_f * np.sqrt(F_y / E),
                               high=0.56, source="aisc-360-22, table B4.1a case 1")
CHANNEL_WEB_STOCKY = Within("(h/t_w) sqrt(F_y/E)", lambda h, t_w, E, F_y: h / t_w * np.sqrt(F_y / E),
                            high=1.49,
                            source="aisc-360-22, table B4.1a case 5")


@clause("AISC 360-22 E3 and E4", source="aisc-360-22, E3 and E4", gives=Force, omega=OMEGA_C, phi=PHI_C,
        states=CHANNEL_STATES, valid=[CHANNEL_FLANGE_STOCKY, CHANNEL_WEB_STOCKY],
        ways="a hot-rolled channel, or an engineer for bent sheet")
def compression_channel(*, F_y: Stress, E: Stress, G: Stress, A_g: Area, r_x: Length, r_y: Length,
                        I_x: SecondMoment,
                        I_y: SecondMoment, J: SecondMoment, C_w: WarpingConstant, x_o: Length, L_cx: Length,
                        L_cy: Length, L_cz: Length, b_f: Length, t_f: Length, h: Length, t_w: Length):
    """Nominal strength of a channel in compression at its centroid; x is the axis of symmetry.

    F_y   yield stress of the steel
    E     stiffness of the steel
    G     stiffness in shear
    A_g   area
    r_x   radius of gyration about x, the strong axis
    r_y   radius of gyration about y
    I_x   second moment about x
    I_y   second moment about y
    J     torsion constant
    C_w   warping constant
    x_o   from the centroid to the shear centre
    L_cx  effective length for buckling about x
    L_cy  effective length for buckling about y
    L_cz  effective length for twisting
    b_f   width of a flange
    t_f   its thickness
    h     flat of the web
    t_w   its thickness
    """
    F_ex = euler_stress.si(E=E, lambda_c=column_slenderness.si(L_c=L_cx, r=r_x))
    F_ey = euler_stress.si(E=E, lambda_c=column_slenderness.si(L_c=L_cy, r=r_y))
    r_o2 = polar_gyration_squared.si(x_o=x_o, I_x=I_x, I_y=I_y, A_g=A_g)
    F_ez = twist_stress.si(E=E, C_w=C_w, L_cz=L_cz, G=G, J=J, A_g=A_g, r_o2=r_o2)
    together = flexural_torsional_stress.si(F_ex=F_ex, F_ez=F_ez,
                                            H_f=flexural_constant.si(x_o=x_o, r_o2=r_o2))
    return tuple(column_strength.si(F_n=nominal_stress(F_y, F_e), A_e=A_g)
                 for F_e in (np.minimum(F_ex, F_ey), together))


@compression_channel.lines
def _(steps, q, state):
    if state == CHANNEL_STATES[0]:
        L_c, r = governing_slenderness(q)
        F_e = steps(euler_stress, E=q.E, lambda_c=steps(column_slenderness, L_c=L_c, r=r))
    else:
        F_ex = steps(euler_stress, E=q.E, lambda_c=steps(column_slenderness, L_c=q.L_cx, r=q.r_x))
        r_o2 = steps(polar_gyration_squared, x_o=q.x_o, I_x=q.I_x, I_y=q.I_y, A_g=q.A_g)
        F_ez = steps(twist_stress, E=q.E, C_w=q.C_w, L_cz=q.L_cz, G=q.G, J=q.J, A_g=q.A_g, r_o2=r_o2)
        H_f = steps(flexural_constant, x_o=q.x_o, r_o2=r_o2)
        F_e = steps(flexural_torsional_stress, F_ex=F_ex, F_ez=F_ez, H_f=H_f)
    steps(column_strength, F_n=stress_lines(steps, q.F_y, F_e), A_e=q.A_g)


# --- E5: single angles ---------------------------------------------------------------------------


@formula(symbol="lambda_c", source="aisc-360-22, E5-1")
def angle_slenderness_short(*, L: Length, r_a: Length) -> Ratio:
    """Slenderness that stands for a single angle joined by one leg at both ends, L/r_a up to 80: the
    off-centre push is counted in it.

    L    length between work points
    r_a  radius of gyration about the axis parallel to the joined leg
    """
    return 72 + 0.75 * L / r_a


@formula(symbol="lambda_c", source="aisc-360-22, E5-2")
def angle_slenderness_long(*, L: Length, r_a: Length) -> Ratio:
    """Slenderness that stands for a single angle joined by one leg at both ends, L/r_a over 80.

    L    length between work points
    r_a  radius of gyration about the axis parallel to the joined leg
    """
    return 32 + 1.25 * L / r_a


@formula(symbol="A_e", source="aisc-360-22, E7 user note")
def effective_area_angle(*, A_g: Area, b: Length, b_e: Length, t: Length) -> Area:
    """Area of an equal-leg angle that still works.

    A_g  area
    b    full leg
    b_e  its effective width
    t    thickness
    """
    return A_g - 2 * (b - b_e) * t


@formula(symbol="A_e", source="aisc-360-22, E7 user note")
def effective_area_legs(*, A_g: Area, b_1: Length, b_e1: Length, b_2: Length, b_e2: Length, t: Length) -> Area:
    """Area of an angle that still works.

    A_g   area
    b_1   one full leg
    b_e1  its effective width
    b_2   the other full leg
    b_e2  its effective width
    t     thickness
    """
    return A_g - (b_1 - b_e1) * t - (b_2 - b_e2) * t


ANGLE_KNEE = 80.0  # L/r_a, E5(a)(1)


def _equivalent_slenderness(L, r_a):
    return np.where(L > ANGLE_KNEE * r_a, angle_slenderness_long.si(L=L, r_a=r_a),
                    angle_slenderness_short.si(L=L, r_a=r_a))


ANGLE_LENGTH = Within("L_c/r of E5", lambda L, r_a: _equivalent_slenderness(L, r_a), high=200,
                      source="aisc-360-22, E5(4)")

ANGLE_LEGS = Within("b/b_s", lambda b, b_s: np.where(np.asarray(b_s) > 0, b / np.where(np.asarray(b_s) > 0, b_s, 1.0), 1.0),
                    high=1.7, source="aisc-360-22, E5(5)")

ANGLE_NO_TWIST = Within("(b/t) sqrt(F_y/E)", lambda b, t, E, F_y: b / t * np.sqrt(F_y / E), high=0.71,
                        source="aisc-360-22, E5; beyond it twisting counts, E4")


@clause("AISC 360-22 E5(a)", source="aisc-360-22, E5(a) with E3 and E7", gives=Force, omega=OMEGA_C,
        phi=PHI_C,
        states=COLUMN_STATES, valid=[ANGLE_LENGTH, ANGLE_NO_TWIST, ANGLE_LEGS], ways="a stouter angle, or a tube")
def compression_angle(*, F_y: Stress, E: Stress, A_g: Area, r_a: Length, L: Length, b: Length, t: Length,
                      b_s: Length = 0.0):
    """Nominal strength of an angle pushed through one leg (of unequal legs the longer), welded or with two
    bolts at each end. Both legs count as thin as the longer one.

    It holds for a strut without load between its ends. An angle that is not so joined is a beam-column (H2).
    F_n is E3's alone, as E7 asks of single angles; stocky angles need no check of twisting (E5).

    F_y  yield stress of the steel
    E    stiffness of the steel
    A_g  area
    r_a  radius of gyration about the axis parallel to the joined leg
    L    length between work points
    b    full leg, the longer one
    t    thickness
    b_s  the shorter leg of unequal ones; 0 for equal legs
    """
    F_n = nominal_stress(F_y, euler_stress.si(E=E, lambda_c=_equivalent_slenderness(L, r_a)))
    whole = column_strength.si(F_n=F_n, A_e=A_g)
    lambda_r = limits.angle_slender_compression.si(E=E, F_y=F_y)
    leg = slenderness.si(b=b, t=t)
    if not (leg > lambda_r).any():
        return whole, None
    b_e = effective_wall(b=b, lambda_w=leg, lambda_r=lambda_r, F_y=F_y, F_n=F_n, factors=UNSTIFFENED)
    return whole, column_strength.si(F_n=F_n, A_e=effective_area_angle.si(A_g=A_g, b=b, b_e=b_e, t=t))


@compression_angle.lines
def _(steps, q, state):
    long = (q.L / q.r_a).to("").magnitude > ANGLE_KNEE
    lam = steps(angle_slenderness_long if long else angle_slenderness_short, L=q.L, r_a=q.r_a)
    F_n = stress_lines(steps, q.F_y, steps(euler_stress, E=q.E, lambda_c=lam))
    A_e = q.A_g
    if state == COLUMN_STATES[1]:
        lambda_r = steps(limits.angle_slender_compression, E=q.E, F_y=q.F_y)
        b_e = wall_lines(steps, b=q.b, t=q.t, lambda_r=lambda_r, F_y=q.F_y, F_n=F_n, factors=UNSTIFFENED)
        A_e = steps(effective_area_angle, A_g=q.A_g, b=q.b, b_e=b_e, t=q.t)
    steps(column_strength, F_n=F_n, A_e=A_e)


ANGLE_LONGER_NO_TWIST = Within("(b/t) sqrt(F_y/E)", lambda b_1, b_2, t, E, F_y:
                               np.maximum(b_1, b_2) / t * np.sqrt(F_y / E), high=0.71,
                               source="aisc-360-22, E5; beyond it twisting counts, E4")


@clause("AISC 360-22 E3 and E7", source="aisc-360-22, E3 and E7", gives=Force, omega=OMEGA_C, phi=PHI_C,
        states=COLUMN_STATES, valid=[ANGLE_LONGER_NO_TWIST], ways="a stouter angle, or a tube")
def compression_angle_centred(*, F_y: Stress, E: Stress, A_g: Area, r_z: Length, L_c: Length, b_1: Length,
                              b_2: Length, t: Length):
    """Nominal strength of an angle pushed at its centroid, which buckles about its minor principal axis.

    F_y  yield stress of the steel
    E    stiffness of the steel
    A_g  area
    r_z  radius of gyration about the minor principal axis
    L_c  effective length
    b_1  one full leg
    b_2  the other full leg
    t    thickness
    """
    F_n = nominal_stress(F_y, euler_stress.si(E=E, lambda_c=column_slenderness.si(L_c=L_c, r=r_z)))
    same = {"lambda_r": limits.angle_slender_compression.si(E=E, F_y=F_y), "F_y": F_y, "F_n": F_n,
            "factors": UNSTIFFENED}
    b_e1, b_e2 = (effective_wall(b=b, lambda_w=slenderness.si(b=b, t=t), **same) for b in (b_1, b_2))
    A_e = effective_area_legs.si(A_g=A_g, b_1=b_1, b_e1=b_e1, b_2=b_2, b_e2=b_e2, t=t)
    return column_strength.si(F_n=F_n, A_e=A_g), column_strength.si(F_n=F_n, A_e=A_e)


@compression_angle_centred.lines
def _(steps, q, state):
    F_e = steps(euler_stress, E=q.E, lambda_c=steps(column_slenderness, L_c=q.L_c, r=q.r_z))
    F_n = stress_lines(steps, q.F_y, F_e)
    A_e = q.A_g
    if state == COLUMN_STATES[1]:
        same = {"t": q.t, "lambda_r": steps(limits.angle_slender_compression, E=q.E, F_y=q.F_y), "F_y": q.F_y,
                "F_n": F_n, "factors": UNSTIFFENED}
        b_e1, b_e2 = wall_lines(steps, b=q.b_1, **same), wall_lines(steps, b=q.b_2, **same)
        A_e = steps(effective_area_legs, A_g=q.A_g, b_1=q.b_1, b_e1=b_e1, b_2=q.b_2, b_e2=b_e2, t=q.t)
    steps(column_strength, F_n=F_n, A_e=A_e)
