"""H3.1 and H3.3: torsion of tube, built-up box and solid bar.

Open shapes (channel, angle) twist by warping as well: for them only the torque at which their thin strips begin to
yield is given, as a measure of how little they take (OPEN_SHAPES).
"""

from __future__ import annotations

import numpy as np

from shopcalc.codes.aisc360_22.limits import slenderness
from shopcalc.codes.aisc360_22.shear import stress_shear_yield
from shopcalc.codes.clause import clause
from shopcalc.formula import Within, formula, frac, pi, sqrt
from shopcalc.units import Length, Moment, Ratio, SectionModulus, Stress

OMEGA_T, PHI_T = 1.67, 0.90  # H3.1 and H3.3

OPEN_SHAPES = ("Channels and angles twist mostly by warping, which is not computed here (AISC 360-22 H3.3, "
               "AISC Design Guide 9): hold them against twisting, use a closed tube, or ask an engineer.")


@formula(symbol="T_n", source="aisc-360-22, H3-1")
def torsion_strength(*, F_cr: Stress, C: SectionModulus) -> Moment:
    """Nominal torque.

    F_cr  critical stress in shear
    C     torsion modulus: torque over the shear stress it causes
    """
    return F_cr * C


# --- square and rectangular tube -----------------------------------------------------------------


@formula(symbol="lambda_1", source="aisc-360-22, H3.1(b)(1)")
def torsion_limit_yielding(*, E: Stress, F_y: Stress) -> Ratio:
    """Slenderness of the wider wall of a tube up to which it yields in torsion before it buckles.

    E    stiffness of the steel
    F_y  yield stress of the steel
    """
    return 2.45 * sqrt(E / F_y)


@formula(symbol="lambda_2", source="aisc-360-22, H3.1(b)(2)")
def torsion_limit_inelastic(*, E: Stress, F_y: Stress) -> Ratio:
    """Slenderness of the wider wall of a tube beyond which it buckles in torsion while still elastic.

    E    stiffness of the steel
    F_y  yield stress of the steel
    """
    return 3.07 * sqrt(E / F_y)


@formula(symbol="F_cr", source="aisc-360-22, H3-4")
def stress_torsion_inelastic(*, F_y: Stress, E: Stress, lambda_w: Ratio) -> Stress:
    """Stress at which the wider wall of a tube buckles in torsion part-yielded.

    F_y       yield stress of the steel
    E         stiffness of the steel
    lambda_w  slenderness of the wall
    """
    return 0.6 * F_y * 2.45 * sqrt(E / F_y) / lambda_w


@formula(symbol="F_cr", source="aisc-360-22, H3-5")
def stress_torsion_elastic(*, E: Stress, lambda_w: Ratio) -> Stress:
    """Stress at which the wider wall of a tube buckles in torsion while still elastic.

    E         stiffness of the steel
    lambda_w  slenderness of the wall
    """
    return 0.458 * pi**2 * E / lambda_w**2


TORSION_STATES = ("torsional yielding", "torsional buckling")
TORSION_COVERED = Within("h/t", lambda h, t: h / t, high=260, source="aisc-360-22, H3.1(b)(3)")


@clause("AISC 360-22 H3.1", source="aisc-360-22, H3.1", gives=Moment, omega=OMEGA_T, phi=PHI_T,
        states=TORSION_STATES, valid=[TORSION_COVERED], ways="a thicker wall")
def torsion_rectangular_tube(*, F_y: Stress, E: Stress, C: SectionModulus, h: Length, t: Length):
    """Nominal torque of a square or rectangular tube.

    F_y  yield stress of the steel
    E    stiffness of the steel
    C    torsion modulus, 2(B-t)(H-t)t - 4.5(4-pi)t^3 (the AISC convention)
    h    flat of the wider wall
    t    design wall
    """
    wall, steel = slenderness.si(b=h, t=t), {"E": E, "F_y": F_y}
    buckling = None
    thin = wall > torsion_limit_yielding.si(**steel)
    if thin.any():
        stress = np.where(wall > torsion_limit_inelastic.si(**steel),
                          stress_torsion_elastic.si(E=E, lambda_w=wall),
                          stress_torsion_inelastic.si(lambda_w=wall, **steel))
        buckling = np.where(thin, torsion_strength.si(F_cr=stress, C=C), np.inf)
    return torsion_strength.si(F_cr=stress_shear_yield.si(F_y), C=C), buckling


@torsion_rectangular_tube.lines
def _(steps, q, state):
    steel = {"E": q.E, "F_y": q.F_y}
    wall = steps(slenderness, b=q.h, t=q.t)
    steps(torsion_limit_yielding, **steel)
    if state == "torsional yielding":
        F_cr = steps(stress_shear_yield, F_y=q.F_y)
    elif wall > steps(torsion_limit_inelastic, **steel):
        F_cr = steps(stress_torsion_elastic, E=q.E, lambda_w=wall)
    else:
        F_cr = steps(stress_torsion_inelastic, lambda_w=wall, **steel)
    steps(torsion_strength, F_cr=F_cr, C=q.C)


# --- round tube ----------------------------------------------------------------------------------


@formula(symbol="F_cr", source="aisc-360-22, H3-2a")
def stress_torsion_long_round(*, E: Stress, L: Length, D: Length, lambda_w: Ratio) -> Stress:
    """Stress at which a round tube buckles in torsion, counting its length.

    E         stiffness of the steel
    L         length of the member
    D         outside diameter
    lambda_w  D/t of the wall
    """
    return 1.23 * E / (sqrt(L / D) * lambda_w**frac(5, 4))


@formula(symbol="F_cr", source="aisc-360-22, H3-2b")
def stress_torsion_round(*, E: Stress, lambda_w: Ratio) -> Stress:
    """Stress at which a round tube buckles in torsion, whatever its length.

    E         stiffness of the steel
    lambda_w  D/t of the wall
    """
    return 0.60 * E / lambda_w**frac(3, 2)


@clause("AISC 360-22 H3.1", source="aisc-360-22, H3.1", gives=Moment, omega=OMEGA_T, phi=PHI_T,
        states=TORSION_STATES)
def torsion_round_tube(*, F_y: Stress, E: Stress, C: SectionModulus, D: Length, t: Length, L: Length):
    """Nominal torque of a round tube or pipe.

    F_y  yield stress of the steel
    E    stiffness of the steel
    C    torsion modulus
    D    outside diameter
    t    design wall
    L    length of the member
    """
    wall = slenderness.si(b=D, t=t)
    buckling = np.maximum(stress_torsion_long_round.si(E=E, L=L, D=D, lambda_w=wall),
                          stress_torsion_round.si(E=E, lambda_w=wall))
    return (torsion_strength.si(F_cr=stress_shear_yield.si(F_y), C=C),
            torsion_strength.si(F_cr=buckling, C=C))


@torsion_round_tube.lines
def _(steps, q, state):
    wall = steps(slenderness, b=q.D, t=q.t)
    if state == "torsional yielding":
        F_cr = steps(stress_shear_yield, F_y=q.F_y)
    else:
        F_cr = max(steps(stress_torsion_long_round, E=q.E, L=q.L, D=q.D, lambda_w=wall),
                   steps(stress_torsion_round, E=q.E, lambda_w=wall))
    steps(torsion_strength, F_cr=F_cr, C=q.C)


# --- solid bar -----------------------------------------------------------------------------------


@clause("AISC 360-22 H3.3(b)", source="aisc-360-22, H3.3(b)", gives=Moment, omega=OMEGA_T, phi=PHI_T,
        states=("shear yielding",))
def torsion_solid_bar(*, F_y: Stress, C: SectionModulus):
    """Nominal torque of a solid bar or rod: first yield in shear.

    F_y  yield stress of the steel
    C    torsion modulus: torque over the largest shear stress
    """
    return (torsion_strength.si(F_cr=stress_shear_yield.si(F_y), C=C),)


@torsion_solid_bar.lines
def _(steps, q, state):
    steps(torsion_strength, F_cr=steps(stress_shear_yield, F_y=q.F_y), C=q.C)


# --- built-up box, open shapes -------------------------------------------------------------------

BOX_STOCKY = Within("wall over sqrt(E/F_y)", lambda b, t_f, h, t_w, E, F_y:
                    np.maximum(b / t_f, h / t_w) * np.sqrt(F_y / E), high=2.45,
                    source="aisc-360-22, H3.1(b)(1), the limit of the same walls in tube")


@clause("AISC 360-22 H3.3(b)", source="aisc-360-22, H3.3(b)", gives=Moment, omega=OMEGA_T, phi=PHI_T,
        states=("shear yielding",), valid=[BOX_STOCKY], ways="thicker plates")
def torsion_box(*, F_y: Stress, E: Stress, C: SectionModulus, b: Length, t_f: Length, h: Length, t_w: Length):
    """Nominal torque of a box of four plates, welded along every edge: the thinnest plate yields in shear.

    F_y  yield stress of the steel
    E    stiffness of the steel
    C    torsion modulus, twice the area inside the middle line times the thinnest plate
    b    between the webs
    t_f  thickness of the flanges
    h    between the flanges
    t_w  thickness of the webs
    """
    return (torsion_strength.si(F_cr=stress_shear_yield.si(F_y), C=C),)


@torsion_box.lines
def _(steps, q, state):
    steps(torsion_strength, F_cr=steps(stress_shear_yield, F_y=q.F_y), C=q.C)


@clause("AISC 360-22 H3.3(b)", source="aisc-360-22, H3.3(b)", gives=Moment, omega=OMEGA_T, phi=PHI_T,
        states=("shear yielding",))
def torsion_open_shape(*, F_y: Stress, C: SectionModulus):
    """Torque at which the thin strips of a channel or angle begin to yield in shear, warping left out.

    F_y  yield stress of the steel
    C    torsion constant over the greatest thickness
    """
    return (torsion_strength.si(F_cr=stress_shear_yield.si(F_y), C=C),)


@torsion_open_shape.lines
def _(steps, q, state):
    steps(torsion_strength, F_cr=steps(stress_shear_yield, F_y=q.F_y), C=q.C)
