"""E3 and E7: columns of tube, built-up box, bar and rod. Flexural buckling, and thin walls by effective widths.

Effective lengths come from the analysis (C3: the unbraced length itself in the direct method). K is never
under 1 in an unbraced base; the kit's frame gives it, these clauses do not guess it. Second-order moments are
the analysis's too.
"""

from __future__ import annotations

import numpy as np

from shopcalc.codes.aisc360_22 import limits
from shopcalc.codes.aisc360_22.limits import slenderness
from shopcalc.codes.clause import clause
from shopcalc.formula import Within, formula, frac, pi, sqrt
from shopcalc.units import Area, Force, Length, Ratio, Stress

OMEGA_C, PHI_C = 1.67, 0.90  # E1

CAUTIONS = (
    "L_c/r over 200 is discouraged (AISC 360-22 E2 user note).",
    "A leg of an unbraced base sways: its effective length is over its height (K over 1), 2 or more on feet "
    "that turn (AISC 360-22 appendix 7; commentary table C-A-7.1).",
)


# --- E3: flexural buckling -----------------------------------------------------------------------


@formula(symbol="lambda_c", source="aisc-360-22, E2")
def column_slenderness(*, L_c: Length, r: Length) -> Ratio:
    """Slenderness of a column about one axis.

    L_c  effective length for buckling about the axis
    r    radius of gyration about it
    """
    return L_c / r


@formula(symbol="F_e", source="aisc-360-22, E3-4")
def euler_stress(*, E: Stress, lambda_c: Ratio) -> Stress:
    """Stress at which a perfect elastic column buckles.

    E         stiffness of the steel
    lambda_c  slenderness L_c/r
    """
    return pi**2 * E / lambda_c**2


@formula(symbol="F_n", source="aisc-360-22, E3-2")
def stress_inelastic_buckling(*, F_y: Stress, F_e: Stress) -> Stress:
    """Nominal stress of a stocky column, F_y/F_e up to 2.25.

    F_y  yield stress of the steel
    F_e  elastic buckling stress
    """
    return 0.658 ** (F_y / F_e) * F_y


@formula(symbol="F_n", source="aisc-360-22, E3-3")
def stress_elastic_buckling(F_e: Stress) -> Stress:
    """Nominal stress of a slender column, F_y/F_e over 2.25.

    F_e  elastic buckling stress
    """
    return 0.877 * F_e


@formula(symbol="P_n", source="aisc-360-22, E3-1 and E7-1")
def column_strength(*, F_n: Stress, A_e: Area) -> Force:
    """Nominal strength of a column.

    F_n  nominal stress
    A_e  area that works: the whole, or what local buckling leaves
    """
    return F_n * A_e


ELASTIC_FROM = 2.25  # F_y/F_e, E3(a) and (b)


def nominal_stress(F_y, F_e):
    """Array kernel: F_n of E3 from the elastic buckling stress (flexural, E3-4, or twisting, E4)."""
    return np.where(F_y > ELASTIC_FROM * F_e, stress_elastic_buckling.si(F_e),
                    stress_inelastic_buckling.si(F_y=F_y, F_e=F_e))


def stress_lines(steps, F_y, F_e):
    if (F_y / F_e).to("").magnitude > ELASTIC_FROM:
        return steps(stress_elastic_buckling, F_e=F_e)
    return steps(stress_inelastic_buckling, F_y=F_y, F_e=F_e)


def governing_slenderness(q):
    """(L_c, r) of the axis that buckles first."""
    x, y = (q.L_cx / q.r_x).to("").magnitude, (q.L_cy / q.r_y).to("").magnitude
    return (q.L_cx, q.r_x) if x >= y else (q.L_cy, q.r_y)


# --- E7: thin walls ------------------------------------------------------------------------------

# Table E7.1: (c_1, c_2)
TUBE_WALL, OTHER_STIFFENED, UNSTIFFENED = (0.20, 1.38), (0.18, 1.31), (0.22, 1.49)


@formula(symbol="F_el", source="aisc-360-22, E7-5")
def local_buckling_stress(*, c_2: Ratio, lambda_r: Ratio, lambda_w: Ratio, F_y: Stress) -> Stress:
    """Stress at which a wall by itself buckles.

    c_2       factor of table E7.1
    lambda_r  slender limit of the wall, table B4.1a
    lambda_w  slenderness of the wall
    F_y       yield stress of the steel
    """
    return (c_2 * lambda_r / lambda_w) ** 2 * F_y


@formula(symbol="b_e", source="aisc-360-22, E7-3")
def effective_width(*, b: Length, c_1: Ratio, F_el: Stress, F_n: Stress) -> Length:
    """Width of a slender wall that still works under axial compression.

    b     width of the wall
    c_1   factor of table E7.1
    F_el  stress at which the wall by itself buckles
    F_n   nominal stress of the column
    """
    return b * (1 - c_1 * sqrt(F_el / F_n)) * sqrt(F_el / F_n)


@formula(symbol="lambda_1", source="aisc-360-22, E7-2")
def slenderness_fully_effective(*, lambda_r: Ratio, F_y: Stress, F_n: Stress) -> Ratio:
    """Slenderness up to which a wall works over its whole width at the column's stress.

    lambda_r  slender limit of the wall, table B4.1a
    F_y       yield stress of the steel
    F_n       nominal stress of the column
    """
    return lambda_r * sqrt(F_y / F_n)


@formula(symbol="A_e", source="aisc-360-22, E7 user note")
def effective_area_tube(*, A_g: Area, b: Length, b_e: Length, h: Length, h_e: Length, t: Length) -> Area:
    """Area of a rectangular tube that still works.

    A_g  area
    b    flat of the narrower walls
    b_e  its effective width
    h    flat of the wider walls
    h_e  its effective width
    t    design wall
    """
    return A_g - 2 * (b - b_e) * t - 2 * (h - h_e) * t


@formula(symbol="A_e", source="aisc-360-22, E7 user note")
def effective_area_box(*, A_g: Area, b: Length, b_e: Length, t_f: Length, h: Length, h_e: Length,
                       t_w: Length) -> Area:
    """Area of a built-up box that still works.

    A_g  area
    b    between the webs
    b_e  its effective width
    t_f  thickness of the flanges
    h    between the flanges
    h_e  its effective width
    t_w  thickness of the webs
    """
    return A_g - 2 * (b - b_e) * t_f - 2 * (h - h_e) * t_w


@formula(symbol="A_e", source="aisc-360-22, E7-7")
def effective_area_round(*, E: Stress, F_y: Stress, lambda_w: Ratio, A_g: Area) -> Area:
    """Area of a thin round tube that still works.

    E         stiffness of the steel
    F_y       yield stress of the steel
    lambda_w  D/t of the wall
    A_g       area
    """
    return (0.038 * E / (F_y * lambda_w) + frac(2, 3)) * A_g


def effective_wall(*, b, lambda_w, lambda_r, F_y, F_n, factors):
    """Array kernel: effective width of one kind of wall, E7.1."""
    c_1, c_2 = factors
    F_el = local_buckling_stress.si(c_2=c_2, lambda_r=lambda_r, lambda_w=lambda_w, F_y=F_y)
    reduced = lambda_w > slenderness_fully_effective.si(lambda_r=lambda_r, F_y=F_y, F_n=F_n)
    return np.where(reduced, effective_width.si(b=b, c_1=c_1, F_el=F_el, F_n=F_n), b)


def wall_lines(steps, *, b, t, lambda_r, F_y, F_n, factors):
    c_1, c_2 = factors
    lam = steps(slenderness, b=b, t=t)
    if lam <= steps(slenderness_fully_effective, lambda_r=lambda_r, F_y=F_y, F_n=F_n):
        return b
    F_el = steps(local_buckling_stress, c_2=c_2, lambda_r=lambda_r, lambda_w=lam, F_y=F_y)
    return steps(effective_width, b=b, c_1=c_1, F_el=F_el, F_n=F_n)


# --- columns of tube -----------------------------------------------------------------------------

COLUMN_STATES = ("flexural buckling", "flexural buckling with local buckling")


@clause("AISC 360-22 E3 and E7", source="aisc-360-22, E3 and E7", gives=Force, omega=OMEGA_C, phi=PHI_C,
        states=COLUMN_STATES)
def compression_rectangular_tube(*, F_y: Stress, E: Stress, A_g: Area, r_x: Length, r_y: Length, L_cx: Length,
                                 L_cy: Length, t: Length, b: Length, h: Length):
    """Nominal strength of a column of square or rectangular tube.

    F_y   yield stress of the steel
    E     stiffness of the steel
    A_g   area
    r_x   radius of gyration about x
    r_y   radius of gyration about y
    L_cx  effective length for buckling about x
    L_cy  effective length for buckling about y
    t     design wall
    b     flat of two walls
    h     flat of the other two
    """
    lam = np.maximum(column_slenderness.si(L_c=L_cx, r=r_x), column_slenderness.si(L_c=L_cy, r=r_y))
    F_n = nominal_stress(F_y, euler_stress.si(E=E, lambda_c=lam))
    whole = column_strength.si(F_n=F_n, A_e=A_g)
    lambda_r = limits.tube_wall_slender_compression.si(E=E, F_y=F_y)
    narrow, wide = slenderness.si(b=b, t=t), slenderness.si(b=h, t=t)
    if not (np.maximum(narrow, wide) > lambda_r).any():
        return whole, None
    same = {"lambda_r": lambda_r, "F_y": F_y, "F_n": F_n, "factors": TUBE_WALL}
    A_e = effective_area_tube.si(
        A_g=A_g, b=b, b_e=effective_wall(b=b, lambda_w=narrow, **same),
        h=h, h_e=effective_wall(b=h, lambda_w=wide, **same), t=t)
    return whole, column_strength.si(F_n=F_n, A_e=A_e)


@compression_rectangular_tube.lines
def _(steps, q, state):
    L_c, r = governing_slenderness(q)
    F_e = steps(euler_stress, E=q.E, lambda_c=steps(column_slenderness, L_c=L_c, r=r))
    F_n = stress_lines(steps, q.F_y, F_e)
    A_e = q.A_g
    if state == COLUMN_STATES[1]:
        lambda_r = steps(limits.tube_wall_slender_compression, E=q.E, F_y=q.F_y)
        same = {"t": q.t, "lambda_r": lambda_r, "F_y": q.F_y, "F_n": F_n, "factors": TUBE_WALL}
        b_e, h_e = wall_lines(steps, b=q.b, **same), wall_lines(steps, b=q.h, **same)
        A_e = steps(effective_area_tube, A_g=q.A_g, b=q.b, b_e=b_e, h=q.h, h_e=h_e, t=q.t)
    steps(column_strength, F_n=F_n, A_e=A_e)


COLUMN_ROUND_COVERED = Within("(D/t) F_y/E", lambda D, t, E, F_y: D / t * F_y / E, high=0.45,
                              source="aisc-360-22, E7.2")


@clause("AISC 360-22 E3 and E7", source="aisc-360-22, E3 and E7", gives=Force, omega=OMEGA_C, phi=PHI_C,
        states=COLUMN_STATES, valid=[COLUMN_ROUND_COVERED], ways="a thicker wall or a smaller tube")
def compression_round_tube(*, F_y: Stress, E: Stress, A_g: Area, r: Length, L_c: Length, D: Length,
                           t: Length):
    """Nominal strength of a column of round tube or pipe.

    F_y  yield stress of the steel
    E    stiffness of the steel
    A_g  area
    r    radius of gyration
    L_c  effective length
    D    outside diameter
    t    design wall
    """
    F_n = nominal_stress(F_y, euler_stress.si(E=E, lambda_c=column_slenderness.si(L_c=L_c, r=r)))
    wall = slenderness.si(b=D, t=t)
    thin = wall > limits.round_slender_compression.si(E=E, F_y=F_y)
    whole = column_strength.si(F_n=F_n, A_e=A_g)
    if not thin.any():
        return whole, None
    A_e = effective_area_round.si(E=E, F_y=F_y, lambda_w=wall, A_g=A_g)
    return whole, np.where(thin, column_strength.si(F_n=F_n, A_e=A_e), np.inf)


@compression_round_tube.lines
def _(steps, q, state):
    F_e = steps(euler_stress, E=q.E, lambda_c=steps(column_slenderness, L_c=q.L_c, r=q.r))
    F_n = stress_lines(steps, q.F_y, F_e)
    wall = steps(slenderness, b=q.D, t=q.t)
    steps(limits.round_slender_compression, E=q.E, F_y=q.F_y)
    A_e = q.A_g
    if state == COLUMN_STATES[1]:
        A_e = steps(effective_area_round, E=q.E, F_y=q.F_y, lambda_w=wall, A_g=q.A_g)
    steps(column_strength, F_n=F_n, A_e=A_e)


# --- built-up box --------------------------------------------------------------------------------

COLUMN_BOX_FLUSH = Within("B over b + 2 t_w", lambda B, b, t_w: B / (b + 2 * t_w), high=1.001,
                          source="aisc-360-22, E7; plates that stand out are not covered")


@clause("AISC 360-22 E3 and E7", source="aisc-360-22, E3 and E7", gives=Force, omega=OMEGA_C, phi=PHI_C,
        states=COLUMN_STATES, valid=[COLUMN_BOX_FLUSH], ways="plates flush at the corners")
def compression_box(*, F_y: Stress, E: Stress, A_g: Area, r_x: Length, r_y: Length, L_cx: Length, L_cy: Length,
                    B: Length, b: Length, t_f: Length, h: Length, t_w: Length):
    """Nominal strength of a column that is a box of four plates, welded along every edge.

    F_y   yield stress of the steel
    E     stiffness of the steel
    A_g   area
    r_x   radius of gyration about x
    r_y   radius of gyration about y
    L_cx  effective length for buckling about x
    L_cy  effective length for buckling about y
    B     outside width of the flanges
    b     between the webs
    t_f   thickness of the flanges
    h     between the flanges
    t_w   thickness of the webs
    """
    lam = np.maximum(column_slenderness.si(L_c=L_cx, r=r_x), column_slenderness.si(L_c=L_cy, r=r_y))
    F_n = nominal_stress(F_y, euler_stress.si(E=E, lambda_c=lam))
    lambda_r = limits.box_plate_slender_compression.si(E=E, F_y=F_y)
    same = {"lambda_r": lambda_r, "F_y": F_y, "F_n": F_n, "factors": OTHER_STIFFENED}
    A_e = effective_area_box.si(
        A_g=A_g, b=b, b_e=effective_wall(b=b, lambda_w=slenderness.si(b=b, t=t_f), **same), t_f=t_f,
        h=h, h_e=effective_wall(b=h, lambda_w=slenderness.si(b=h, t=t_w), **same), t_w=t_w)
    return column_strength.si(F_n=F_n, A_e=A_g), column_strength.si(F_n=F_n, A_e=A_e)


@compression_box.lines
def _(steps, q, state):
    L_c, r = governing_slenderness(q)
    F_e = steps(euler_stress, E=q.E, lambda_c=steps(column_slenderness, L_c=L_c, r=r))
    F_n = stress_lines(steps, q.F_y, F_e)
    A_e = q.A_g
    if state == COLUMN_STATES[1]:
        lambda_r = steps(limits.box_plate_slender_compression, E=q.E, F_y=q.F_y)
        same = {"lambda_r": lambda_r, "F_y": q.F_y, "F_n": F_n, "factors": OTHER_STIFFENED}
        b_e, h_e = wall_lines(steps, b=q.b, t=q.t_f, **same), wall_lines(steps, b=q.h, t=q.t_w, **same)
        A_e = steps(effective_area_box, A_g=q.A_g, b=q.b, b_e=b_e, t_f=q.t_f, h=q.h, h_e=h_e, t_w=q.t_w)
    steps(column_strength, F_n=F_n, A_e=A_e)


# --- bars ----------------------------------------------------------------------------------------


@clause("AISC 360-22 E3", source="aisc-360-22, E3", gives=Force, omega=OMEGA_C, phi=PHI_C,
        states=("flexural buckling",))
def compression_bar(*, F_y: Stress, E: Stress, A_g: Area, r_x: Length, r_y: Length, L_cx: Length,
                    L_cy: Length):
    """Nominal strength of a column of solid bar or rod: no thin walls.

    F_y   yield stress of the steel
    E     stiffness of the steel
    A_g   area
    r_x   radius of gyration about x
    r_y   radius of gyration about y
    L_cx  effective length for buckling about x
    L_cy  effective length for buckling about y
    """
    lam = np.maximum(column_slenderness.si(L_c=L_cx, r=r_x), column_slenderness.si(L_c=L_cy, r=r_y))
    return (column_strength.si(F_n=nominal_stress(F_y, euler_stress.si(E=E, lambda_c=lam)), A_e=A_g),)


@compression_bar.lines
def _(steps, q, state):
    L_c, r = governing_slenderness(q)
    F_e = steps(euler_stress, E=q.E, lambda_c=steps(column_slenderness, L_c=L_c, r=r))
    steps(column_strength, F_n=stress_lines(steps, q.F_y, F_e), A_e=q.A_g)
