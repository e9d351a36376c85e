"""A plate welded to a tube: along its face, across its face, or as a cap on its end.

K2.3 of AISC 360-22 sends these to chapter J. A plate along the face (gusset, tab) bends the face by yield
lines or punches
it; its wall must not be thinner than what the plate can pull. A plate across the face works on part of its
width
(K1.2a). A load on a cap plate spreads at 2.5 to 1 through the plate before it reaches the walls.
"""

from __future__ import annotations

import numpy as np

from shopcalc.codes.aisc360_22 import point_load as pl
from shopcalc.codes.aisc360_22.hollow_joints import effective_width, effective_width_si, plate_yield_strength
from shopcalc.codes.aisc360_22.joint_use import unlimited
from shopcalc.codes.aisc360_22.point_load import FACE_STEEL, FACE_TESTED, WAYS
from shopcalc.codes.clause import clause
from shopcalc.formula import formula, sqrt
from shopcalc.units import Area, Force, Length, Ratio, Stress

CAUTIONS = (
    "A plate on the middle of a face bends the face: let it reach the side walls, run it through "
    "the tube, or set a saddle plate under it.",
)


@formula(symbol="Q_f", source="aisc-360-22, K1.3(c)(3)")
def face_stress_factor_along(U: Ratio) -> Ratio:
    """What stress along a pressed face leaves of its strength under a plate along it (at most 1).

    U  how far the tube is stressed along its length, at most 1
    """
    return 1 - 0.3 * U * (1 + U)


@formula(symbol="t_p", source="aisc-360-10, table K1.2: wall shear of a plate on both sides of its welds")
def thickest_plate_along(*, F_u: Stress, F_yp: Stress, t: Length) -> Length:
    """Thickest plate along a tube face whose pull the wall can follow in shear.

    F_u   tensile strength of the tube
    F_yp  yield stress of the plate
    t     design wall
    """
    return F_u / F_yp * t


@clause(
    "AISC 360-22 J4.1(a)",
    source="aisc-360-22, J4.1(a) with K1.2a",
    gives=Force,
    omega=1.67,
    phi=0.90,
    states=("plate yielding",),
    valid=[FACE_TESTED, FACE_STEEL],
    ways=WAYS,
)
def plate_yielding(*, F_y: Stress, t: Length, B: Length, F_yp: Stress, t_p: Length, B_p: Length):
    """Nominal pull of a plate across a tube face by uneven yielding of the plate.

    F_y   yield stress of the tube
    t     design wall of the tube
    B     outside width of the tube
    F_yp  yield stress of the plate
    t_p   thickness of the plate
    B_p   width of the plate across the face
    """
    B_e = effective_width_si(B=B, t=t, F_y=F_y, F_yb=F_yp, t_b=t_p, B_b=B_p)
    return (plate_yield_strength.si(F_yp=F_yp, t_p=t_p, B_e=B_e),)


@plate_yielding.lines
def _(steps, q, state):
    B_e = min(steps(effective_width, B=q.B, t=q.t, F_y=q.F_y, F_yb=q.F_yp, t_b=q.t_p, B_b=q.B_p), q.B_p)
    steps(plate_yield_strength, F_yp=q.F_yp, t_p=q.t_p, B_e=B_e)


# --- a cap on the end of a tube ------------------------------------------------------------------


@formula(symbol="R_n", source="aisc-360-10-plates, K1-14a")
def cap_walls_yield(*, F_y: Stress, t: Length, t_p: Length, l_b: Length) -> Force:
    """Load on a cap plate at which the two walls under it yield.

    F_y  yield stress of the tube
    t    design wall
    t_p  thickness of the cap plate
    l_b  length on which the load bears, across the tube
    """
    return 2 * F_y * t * (5 * t_p + l_b)


@formula(symbol="R_n", source="aisc-360-10-plates, K1-14b")
def cap_whole_tube_yields(*, F_y: Stress, A: Area) -> Force:
    """Load on a cap plate that has spread over the whole tube.

    F_y  yield stress of the tube
    A    area of the tube
    """
    return F_y * A


@formula(symbol="R_n", source="aisc-360-10-plates, K1-15")
def cap_walls_cripple(*, t: Length, t_p: Length, l_b: Length, B: Length, E: Stress, F_y: Stress) -> Force:
    """Load on a cap plate at which the two walls under it cripple.

    t    design wall
    t_p  thickness of the cap plate
    l_b  length on which the load bears, across the tube
    B    outside width of the tube
    E    stiffness of the steel
    F_y  yield stress of the tube
    """
    return 1.6 * t**2 * (1 + 6 * l_b / B * (t / t_p) ** 1.5) * sqrt(E * F_y * t_p / t)


def _spread(q) -> bool:
    return 5 * q.t_p + q.l_b >= q.B


@clause(
    "AISC 360-22 K2.3",
    source="aisc-360-10-plates, K1-14, for the limit state of AISC 360-22 J10.2",
    gives=Force,
    omega=1.50,
    phi=1.00,
    states=("walls yielding under the cap",),
)
def cap_plate_yielding(*, F_y: Stress, t: Length, B: Length, A: Area, t_p: Length, l_b: Length):
    """Nominal load on the cap plate of a tube by yielding of the walls under it.

    F_y  yield stress of the tube
    t    design wall
    B    outside width of the tube, along the load
    A    area of the tube
    t_p  thickness of the cap plate
    l_b  length on which the load bears, across the tube
    """
    whole = cap_whole_tube_yields.si(F_y=F_y, A=A)
    part = np.minimum(cap_walls_yield.si(F_y=F_y, t=t, t_p=t_p, l_b=l_b), whole)
    return (np.where(5 * t_p + l_b >= B, whole, part),)


@cap_plate_yielding.lines
def _(steps, q, state):
    if _spread(q) or cap_walls_yield(F_y=q.F_y, t=q.t, t_p=q.t_p, l_b=q.l_b) > cap_whole_tube_yields(
        F_y=q.F_y, A=q.A
    ):
        steps(cap_whole_tube_yields, F_y=q.F_y, A=q.A)
    else:
        steps(cap_walls_yield, F_y=q.F_y, t=q.t, t_p=q.t_p, l_b=q.l_b)


@clause(
    "AISC 360-22 K2.3",
    source="aisc-360-10-plates, K1-15, for the limit state of AISC 360-22 J10.3",
    gives=Force,
    omega=2.00,
    phi=0.75,
    states=("walls crippling under the cap",),
)
def cap_plate_crippling(*, F_y: Stress, E: Stress, t: Length, B: Length, A: Area, t_p: Length, l_b: Length):
    """Nominal pressing load on the cap plate of a tube by crippling of the walls under it.

    F_y  yield stress of the tube
    E    stiffness of the steel
    t    design wall
    B    outside width of the tube, along the load
    A    area of the tube
    t_p  thickness of the cap plate
    l_b  length on which the load bears, across the tube
    """
    part = cap_walls_cripple.si(t=t, t_p=t_p, l_b=l_b, B=B, E=E, F_y=F_y)
    return (np.where(5 * t_p + l_b >= B, cap_whole_tube_yields.si(F_y=F_y, A=A), part),)


@cap_plate_crippling.lines
def _(steps, q, state):
    if _spread(q):
        steps(cap_whole_tube_yields, F_y=q.F_y, A=q.A)
    else:
        steps(cap_walls_cripple, t=q.t, t_p=q.t_p, l_b=q.l_b, B=q.B, E=q.E, F_y=q.F_y)


# --- a plate on a face ---------------------------------------------------------------------------

WAYS_ALONG = ("face bending", "punching")
WAYS_ACROSS = ("face bending", "punching", "side wall yielding", "side wall crippling", "plate yielding")


def plate_along(*, F_y, t, B, t_p, l_p, l_end, U=0.0, pressed=True):
    """Array kernel: strengths against a force square to the face through a plate along the tube, t_p thick
    and l_p long, in
    the order of WAYS_ALONG. U: how far the tube is stressed along its length, at most 1; pressed: whether
    that presses the
    face."""
    U = np.minimum(np.abs(U), 1.0)
    Q_f = np.where(pressed, face_stress_factor_along.si(U=U), 1.0)
    size = {"F_y": F_y, "t": t, "B": B, "B_b": t_p, "l_b": l_p, "l_end": l_end}
    return pl.face_bending.si(**size, Q_f=Q_f), pl.face_punching.si(**size)


def plate_across(*, F_y, E, t, B, H, h, k, F_yp, t_p, B_p, l_end, U=0.0, pressed=True, pressing=True):
    """Array kernel: strengths against a force square to the face through a plate across the tube, B_p wide
    and t_p thick, in
    the order of WAYS_ACROSS. pressing: False for a pull, under which no wall cripples."""
    Q_f = pl.stress_factor_si(U=U, beta=np.asarray(B_p, float) / B, face_pressed=pressed)
    face = pl.strengths_si(F_y=F_y, E=E, t=t, B=B, H=H, h=h, B_b=B_p, l_b=t_p, k=k, l_end=l_end, Q_f=Q_f)
    own = plate_yielding.si(F_y=F_y, t=t, B=B, F_yp=F_yp, t_p=t_p, B_p=B_p)
    return (*face[:3], unlimited(face[3], ~np.asarray(pressing, bool)), own)
