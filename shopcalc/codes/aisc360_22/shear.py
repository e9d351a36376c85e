"""G: shear of tubes, channels, angles and bars."""

from __future__ import annotations

import numpy as np

from shopcalc.codes.aisc360_22.limits import slenderness
from shopcalc.codes.clause import clause
from shopcalc.formula import Formula, formula, frac, sqrt
from shopcalc.units import Area, Force, Length, Ratio, Stress

OMEGA_V, PHI_V = 1.67, 0.90  # G1(a); the kinder factors of G2.1(a) are for rolled I-shapes only


# --- G2: the factors for buckling of a web -------------------------------------------------------


@formula(symbol="lambda_1", source="aisc-360-22, G2.1(b) and G2.2")
def shear_limit_yielding(*, k_v: Ratio, E: Stress, F_y: Stress) -> Ratio:
    """Slenderness of a web up to which it yields in shear before it buckles.

    k_v  buckling coefficient of the web
    E    stiffness of the steel
    F_y  yield stress of the steel
    """
    return 1.10 * sqrt(k_v * E / F_y)


@formula(symbol="lambda_2", source="aisc-360-22, G2.2(b)(ii)")
def shear_limit_inelastic(*, k_v: Ratio, E: Stress, F_y: Stress) -> Ratio:
    """Slenderness of a web beyond which it buckles in shear while still elastic.

    k_v  buckling coefficient of the web
    E    stiffness of the steel
    F_y  yield stress of the steel
    """
    return 1.37 * sqrt(k_v * E / F_y)


@formula(symbol="C_v", source="aisc-360-22, G2-4 and G2-10")
def shear_factor_inelastic(*, k_v: Ratio, E: Stress, F_y: Stress, lambda_w: Ratio) -> Ratio:
    """Share of the yield strength in shear left to a web that buckles part-yielded (post-buckling for C_v1).

    k_v       buckling coefficient of the web
    E         stiffness of the steel
    F_y       yield stress of the steel
    lambda_w  slenderness of the web
    """
    return 1.10 * sqrt(k_v * E / F_y) / lambda_w


@formula(symbol="C_v", source="aisc-360-22, G2-11")
def shear_factor_elastic(*, k_v: Ratio, E: Stress, F_y: Stress, lambda_w: Ratio) -> Ratio:
    """Share of the yield strength in shear left to a web that buckles while still elastic.

    k_v       buckling coefficient of the web
    E         stiffness of the steel
    F_y       yield stress of the steel
    lambda_w  slenderness of the web
    """
    return 1.51 * k_v * E / (lambda_w**2 * F_y)


@formula(symbol="V_n", source="aisc-360-22, G2-1, G3-1, G4-1 and G6-1")
def shear_strength_web(*, F_y: Stress, A_w: Area, C_v: Ratio) -> Force:
    """Nominal shear strength of webs.

    F_y  yield stress of the steel
    A_w  area of the webs
    C_v  share left by buckling, 1 for a stocky web
    """
    return 0.6 * F_y * A_w * C_v


SHEAR_STATES = ("shear yielding", "shear buckling")
K_TUBE, K_CHANNEL, K_ONE_EDGE = 5.0, 5.34, 1.2  # k_v of G4, G2.1(b)(2)(i), G3 and G6


def _webs(*, F_y, E, A_w, lambda_w, k_v, post_buckling: bool = False):
    """States of webs in shear. post_buckling: C_v1 of G2.1, without the elastic branch."""
    steel = {"k_v": k_v, "E": E, "F_y": F_y}
    yields = shear_strength_web.si(F_y=F_y, A_w=A_w, C_v=1)
    buckles = lambda_w > shear_limit_yielding.si(**steel)
    if not buckles.any():
        return yields, None
    C_v = shear_factor_inelastic.si(lambda_w=lambda_w, **steel)
    if not post_buckling:
        C_v = np.where(lambda_w > shear_limit_inelastic.si(**steel),
                       shear_factor_elastic.si(lambda_w=lambda_w, **steel), C_v)
    return yields, np.where(buckles, shear_strength_web.si(F_y=F_y, A_w=A_w, C_v=C_v), np.inf)


def _web_lines(steps, q, state, *, area: Formula, sizes: dict, lambda_w, k_v, post_buckling: bool = False):
    steel = {"k_v": k_v, "E": q.E, "F_y": q.F_y}
    A_w = steps(area, **sizes)
    steps(shear_limit_yielding, **steel)
    C_v = 1.0
    if state == "shear buckling":
        if not post_buckling and lambda_w > steps(shear_limit_inelastic, **steel):
            C_v = steps(shear_factor_elastic, lambda_w=lambda_w, **steel)
        else:
            C_v = steps(shear_factor_inelastic, lambda_w=lambda_w, **steel)
    steps(shear_strength_web, F_y=q.F_y, A_w=A_w, C_v=C_v)


# --- G4: square and rectangular tube, flat bar ---------------------------------------------------


@formula(symbol="A_w", source="aisc-360-22, G4")
def web_area_tube(*, h: Length, t: Length) -> Area:
    """Area of the two webs of a rectangular tube.

    h  flat of a web
    t  design wall
    """
    return 2 * h * t


@clause("AISC 360-22 G4", source="aisc-360-22, G4", gives=Force, omega=OMEGA_V, phi=PHI_V,
        states=SHEAR_STATES)
def shear_rectangular_tube(*, F_y: Stress, E: Stress, h: Length, t: Length):
    """Nominal shear strength of a square or rectangular tube, the load along the flat h.

    F_y  yield stress of the steel
    E    stiffness of the steel
    h    flat of the webs, along the load
    t    design wall
    """
    return _webs(F_y=F_y, E=E, A_w=web_area_tube.si(h=h, t=t), lambda_w=slenderness.si(b=h, t=t), k_v=K_TUBE)


@shear_rectangular_tube.lines
def _(steps, q, state):
    lam = steps(slenderness, b=q.h, t=q.t)
    _web_lines(steps, q, state, area=web_area_tube, sizes={"h": q.h, "t": q.t}, lambda_w=lam, k_v=K_TUBE)


@formula(symbol="A_w", source="aisc-360-22, G2.1, G3 and G4")
def web_area(*, d: Length, t: Length) -> Area:
    """Area that carries shear: over the whole height of a channel or bar, or the leg of an angle.

    d  height along the shear
    t  thickness
    """
    return d * t


@clause("AISC 360-22 G4", source="aisc-360-22, G4", gives=Force, omega=OMEGA_V, phi=PHI_V,
        states=SHEAR_STATES)
def shear_rectangular_bar(*, F_y: Stress, E: Stress, d: Length, t: Length):
    """Nominal shear strength of a flat or square bar, a doubly symmetric shape of G4.

    F_y  yield stress of the steel
    E    stiffness of the steel
    d    height along the load
    t    thickness
    """
    return _webs(F_y=F_y, E=E, A_w=web_area.si(d=d, t=t), lambda_w=slenderness.si(b=d, t=t), k_v=K_TUBE)


@shear_rectangular_bar.lines
def _(steps, q, state):
    lam = steps(slenderness, b=q.d, t=q.t)
    _web_lines(steps, q, state, area=web_area, sizes={"d": q.d, "t": q.t}, lambda_w=lam, k_v=K_TUBE)


# --- G2, G6: channel -----------------------------------------------------------------------------


@clause("AISC 360-22 G2.1", source="aisc-360-22, G2.1", gives=Force, omega=OMEGA_V, phi=PHI_V,
        states=SHEAR_STATES)
def shear_channel(*, F_y: Stress, E: Stress, d: Length, h: Length, t_w: Length):
    """Nominal shear strength of a channel along its web, without stiffeners.

    F_y  yield stress of the steel
    E    stiffness of the steel
    d    height of the channel
    h    flat of the web
    t_w  thickness of the web
    """
    return _webs(F_y=F_y, E=E, A_w=web_area.si(d=d, t=t_w), lambda_w=slenderness.si(b=h, t=t_w),
                 k_v=K_CHANNEL,
                 post_buckling=True)


@shear_channel.lines
def _(steps, q, state):
    lam = steps(slenderness, b=q.h, t=q.t_w)
    _web_lines(steps, q, state, area=web_area, sizes={"d": q.d, "t": q.t_w}, lambda_w=lam, k_v=K_CHANNEL,
               post_buckling=True)


@formula(symbol="A_w", source="aisc-360-22, G6; design examples G.7")
def flange_area(*, b_f: Length, t_f: Length) -> Area:
    """Area of the two flanges of a channel, which carry shear across the web.

    b_f  width of a flange
    t_f  its thickness
    """
    return 2 * b_f * t_f


@clause("AISC 360-22 G6", source="aisc-360-22, G6", gives=Force, omega=OMEGA_V, phi=PHI_V,
        states=SHEAR_STATES)
def shear_channel_weak(*, F_y: Stress, E: Stress, b_f: Length, t_f: Length):
    """Nominal shear strength of a channel across its web: the two flanges.

    F_y  yield stress of the steel
    E    stiffness of the steel
    b_f  width of a flange
    t_f  its thickness
    """
    return _webs(F_y=F_y, E=E, A_w=flange_area.si(b_f=b_f, t_f=t_f), lambda_w=slenderness.si(b=b_f, t=t_f),
                 k_v=K_ONE_EDGE)


@shear_channel_weak.lines
def _(steps, q, state):
    lam = steps(slenderness, b=q.b_f, t=q.t_f)
    _web_lines(steps, q, state, area=flange_area, sizes={"b_f": q.b_f, "t_f": q.t_f}, lambda_w=lam,
               k_v=K_ONE_EDGE)


# --- G3: single angle ----------------------------------------------------------------------------


@clause("AISC 360-22 G3", source="aisc-360-22, G3", gives=Force, omega=OMEGA_V, phi=PHI_V,
        states=SHEAR_STATES)
def shear_angle(*, F_y: Stress, E: Stress, b: Length, t: Length):
    """Nominal shear strength of a single angle along one leg.

    F_y  yield stress of the steel
    E    stiffness of the steel
    b    full leg along the load
    t    thickness
    """
    return _webs(F_y=F_y, E=E, A_w=web_area.si(d=b, t=t), lambda_w=slenderness.si(b=b, t=t), k_v=K_ONE_EDGE)


@shear_angle.lines
def _(steps, q, state):
    lam = steps(slenderness, b=q.b, t=q.t)
    _web_lines(steps, q, state, area=web_area, sizes={"d": q.b, "t": q.t}, lambda_w=lam, k_v=K_ONE_EDGE)


# --- rod: chapter G does not name it -------------------------------------------------------------


@formula(symbol="V_n", source="aisc-360-22, H3.3(b); shear of a solid round, peak 4/3 of the mean")
def shear_strength_rod(*, F_cr: Stress, A_g: Area) -> Force:
    """Shear at which a round rod first yields at its middle.

    F_cr  stress at which the steel yields in shear
    A_g   area
    """
    return F_cr * frac(3, 4) * A_g


@clause("AISC 360-22 H3.3(b)", source="aisc-360-22, H3.3(b)", gives=Force, omega=OMEGA_V, phi=PHI_V,
        states=("shear yielding",))
def shear_rod(*, F_y: Stress, A_g: Area):
    """Nominal shear strength of a round rod, by first yield: chapter G has no clause for it.

    F_y  yield stress of the steel
    A_g  area
    """
    return (shear_strength_rod.si(F_cr=stress_shear_yield.si(F_y), A_g=A_g),)


@shear_rod.lines
def _(steps, q, state):
    steps(shear_strength_rod, F_cr=steps(stress_shear_yield, F_y=q.F_y), A_g=q.A_g)


# --- G5: round tube ------------------------------------------------------------------------------


@formula(symbol="F_cr", source="aisc-360-22, G5-2a")
def stress_shear_long_round(*, E: Stress, L_v: Length, D: Length, lambda_w: Ratio) -> Stress:
    """Stress at which the wall of a round tube buckles in shear, counting the length of the shear.

    E         stiffness of the steel
    L_v       distance from the largest shear to no shear
    D         outside diameter
    lambda_w  D/t of the wall
    """
    return 1.60 * E / (sqrt(L_v / D) * lambda_w**frac(5, 4))


@formula(symbol="F_cr", source="aisc-360-22, G5-2b")
def stress_shear_round(*, E: Stress, lambda_w: Ratio) -> Stress:
    """Stress at which the wall of a round tube buckles in shear, whatever the length.

    E         stiffness of the steel
    lambda_w  D/t of the wall
    """
    return 0.78 * E / lambda_w**frac(3, 2)


@formula(symbol="F_cr", source="aisc-360-22, G5 and H3.1(b)")
def stress_shear_yield(F_y: Stress) -> Stress:
    """Stress at which steel yields in shear, as the code counts it.

    F_y  yield stress of the steel
    """
    return 0.6 * F_y


@formula(symbol="V_n", source="aisc-360-22, G5-1")
def shear_strength_round(*, F_cr: Stress, A_g: Area) -> Force:
    """Nominal shear strength of a round tube: half of its area works.

    F_cr  critical stress in shear
    A_g   area
    """
    return F_cr * A_g / 2


@clause("AISC 360-22 G5", source="aisc-360-22, G5", gives=Force, omega=OMEGA_V, phi=PHI_V,
        states=SHEAR_STATES)
def shear_round_tube(*, F_y: Stress, E: Stress, A_g: Area, D: Length, t: Length, L_v: Length):
    """Nominal shear strength of a round tube or pipe.

    F_y  yield stress of the steel
    E    stiffness of the steel
    A_g  area
    D    outside diameter
    t    design wall
    L_v  distance from the largest shear to no shear (half the span under an even load)
    """
    wall = slenderness.si(b=D, t=t)
    buckling = np.maximum(stress_shear_long_round.si(E=E, L_v=L_v, D=D, lambda_w=wall),
                          stress_shear_round.si(E=E, lambda_w=wall))
    return (shear_strength_round.si(F_cr=stress_shear_yield.si(F_y), A_g=A_g),
            shear_strength_round.si(F_cr=buckling, A_g=A_g))


@shear_round_tube.lines
def _(steps, q, state):
    wall = steps(slenderness, b=q.D, t=q.t)
    if state == "shear yielding":
        F_cr = steps(stress_shear_yield, F_y=q.F_y)
    else:
        F_cr = max(steps(stress_shear_long_round, E=q.E, L_v=q.L_v, D=q.D, lambda_w=wall),
                   steps(stress_shear_round, E=q.E, lambda_w=wall))
    steps(shear_strength_round, F_cr=F_cr, A_g=q.A_g)
