"""A square or rectangular tube welded across the face of another: T, Y and cross joints under axial force
and bending.

AISC 360-22 left most of this to chapter J (K3.3 and K4.3): the face folds (J10.10, by yield lines) or is
punched
(J4.2), the side walls yield, cripple or buckle (J10.2, J10.3, J10.5), the branch yields on the part of its
width that
works (K1.2a with J4.1 and J4.5). Table K4.2 keeps the side walls under bending and the distortion of the
whole
tube. Axial states of the face and of the side walls stand in `point_load`; here are the branch, both
moments, the
welds that work (K5) and all of it together (`face_strength`).

The tube is B wide where the branch stands and H deep, the branch B_b wide across the face and H_b along it.
"In plane" turns the branch along the tube, "out of plane" across it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

import numpy as np
import pint

from shopcalc.codes.aisc360_22 import point_load as pl
from shopcalc.codes.aisc360_22.joint_use import JointUse, scaled, unlimited
from shopcalc.codes.aisc360_22.point_load import (
    FACE_NARROW,
    FACE_STEEL,
    FACE_TESTED,
    NARROW,
    WAYS,
    near_end_strength,
)
from shopcalc.codes.clause import clause
from shopcalc.formula import Within, formula, sin, sqrt
from shopcalc.units import Angle, Declared, Force, Length, Moment, Quantity, Ratio, SectionModulus, Stress

CAUTIONS = (
    (
        "Strength is not stiffness: a branch narrower than its tube turns on the soft face long before it"
        " fails (AISC 360-22 chapter K, user note)."
    ),
    "The forces act one beside the other and their shares are added; that is cautious.",
)

# --- how much of the branch works ----------------------------------------------------------------


@formula(symbol="B_e", source="aisc-360-22, K1-1")
def effective_width(*, B: Length, t: Length, F_y: Stress, F_yb: Stress, t_b: Length, B_b: Length) -> Length:
    """Part of a wall that lies across a tube face which carries to that face (not more than the wall is
    wide).

    B     outside width of the tube
    t     design wall of the tube
    F_y   yield stress of the tube
    F_yb  yield stress of the branch or plate
    t_b   design wall of the branch, or thickness of the plate
    B_b   width of the branch or plate across the face
    """
    return 10 * t / B * (F_y * t / (F_yb * t_b)) * B_b


def effective_width_si(*, B, t, F_y, F_yb, t_b, B_b) -> np.ndarray:
    """Array kernel: `effective_width`, at most the whole width."""
    return np.minimum(effective_width.si(B=B, t=t, F_y=F_y, F_yb=F_yb, t_b=t_b, B_b=B_b), B_b)


@formula(symbol="P_n", source="aisc-360-22, J4.1(a) with K1.2a")
def branch_yield_strength(*, F_yb: Stress, t_b: Length, H_b: Length, B_e: Length) -> Force:
    """Axial force at which what works of a tube branch yields: both walls along the tube, a part of those
    across.

    F_yb  yield stress of the branch
    t_b   design wall of the branch
    H_b   size of the branch along the tube
    B_e   part of a wall across the face that works
    """
    return F_yb * t_b * (2 * H_b + 2 * B_e - 4 * t_b)


@formula(symbol="P_n", source="aisc-360-22, J4.1(a) with K1.2a")
def plate_yield_strength(*, F_yp: Stress, t_p: Length, B_e: Length) -> Force:
    """Pull at which what works of a plate across a tube face yields.

    F_yp  yield stress of the plate
    t_p   thickness of the plate
    B_e   part of its width that works
    """
    return F_yp * t_p * B_e


def _end_line(steps, q) -> bool:
    beta = min(pl.width_ratio(B_b=q.B_b, B=q.B), NARROW)
    return q.l_end < steps(pl.end_distance, B=q.B, beta=beta)


def _halved(M_n, *, B, B_b, l_end):
    beta = np.minimum(pl.width_ratio.si(B_b=B_b, B=B), NARROW)
    return np.where(l_end < pl.end_distance.si(B=B, beta=beta), near_end_moment.si(M_n), M_n)


def _effective_line(steps, q):
    return min(steps(effective_width, B=q.B, t=q.t, F_y=q.F_y, F_yb=q.F_yb, t_b=q.t_b, B_b=q.B_b), q.B_b)


@formula(symbol="M_n", source="aisc-360-22, K1.4")
def near_end_moment(M_n: Moment) -> Moment:
    """Strength in bending of a joint too near an open end.

    M_n  strength away from the end
    """
    return 0.5 * M_n


@clause(
    "AISC 360-22 J4.1(a)",
    source="aisc-360-22, J4.1(a) with K1.2a",
    gives=Force,
    omega=1.67,
    phi=0.90,
    states=("branch yielding",),
    valid=[FACE_TESTED, FACE_STEEL],
    ways=WAYS,
)
def branch_yielding(
    *, F_y: Stress, t: Length, B: Length, F_yb: Stress, t_b: Length, B_b: Length, H_b: Length, l_end: Length
):
    """Nominal axial strength of a tube branch on a tube face by uneven yielding of the branch.

    F_y    yield stress of the tube
    t      design wall of the tube
    B      outside width of the tube
    F_yb   yield stress of the branch
    t_b    design wall of the branch
    B_b    width of the branch across the face
    H_b    size of the branch along the tube
    l_end  from the branch to an open end of the tube
    """
    B_e = effective_width_si(B=B, t=t, F_y=F_y, F_yb=F_yb, t_b=t_b, B_b=B_b)
    P_n = branch_yield_strength.si(F_yb=F_yb, t_b=t_b, H_b=H_b, B_e=B_e)
    return (pl._near_end(P_n, B=B, B_b=B_b, l_end=l_end),)


@branch_yielding.lines
def _(steps, q, state):
    B_e = _effective_line(steps, q)
    near = _end_line(steps, q)
    R_n = steps(branch_yield_strength, F_yb=q.F_yb, t_b=q.t_b, H_b=q.H_b, B_e=B_e)
    if near:
        steps(near_end_strength, R_n=R_n)


# --- bending in plane ----------------------------------------------------------------------------


@formula(
    symbol="M_n",
    source="aisc-360-10-bending, table K3.2 (yield lines; limit state of AISC 360-22 J10.10)",
    valid=[Within("beta", lambda beta: beta, low=1e-9, high=NARROW, source="aisc-360-22, K1.4")],
)
def face_moment_in_plane(
    *, F_y: Stress, t: Length, H_b: Length, eta: Ratio, beta: Ratio, Q_f: Ratio
) -> Moment:
    """Moment along the tube at which its face folds along yield lines: pushed in at one wall, pulled out at
    the other.

    F_y   yield stress of the tube
    t     design wall
    H_b   size of the branch along the tube
    eta   size of the branch along the tube over the width of the tube
    beta  width of the branch over the width of the tube
    Q_f   what stress along the face leaves
    """
    return F_y * t**2 * H_b * (1 / (2 * eta) + 2 / sqrt(1 - beta) + eta / (1 - beta)) * Q_f


_BEND = dict(gives=Moment, ways=WAYS)


@clause(
    "AISC 360-22 J10 (bending)",
    source="aisc-360-10-bending, table K3.2, for the limit state of AISC 360-22 J10.10",
    omega=1.67,
    phi=0.90,
    states=("face bending",),
    valid=[FACE_TESTED, FACE_STEEL, FACE_NARROW],
    **_BEND,
)
def face_bending_in_plane(
    *, F_y: Stress, t: Length, B: Length, B_b: Length, H_b: Length, l_end: Length, Q_f: Ratio = 1.0
):
    """Nominal moment along the tube by bending of its face.

    F_y    yield stress of the tube
    t      design wall
    B      outside width of the tube
    B_b    width of the branch across the face
    H_b    size of the branch along the tube
    l_end  from the branch to an open end of the tube
    Q_f    what stress along the face leaves
    """
    beta, eta = pl.width_ratio.si(B_b=B_b, B=B), pl.length_ratio.si(l_b=H_b, B=B)
    return (
        _halved(
            face_moment_in_plane.si(F_y=F_y, t=t, H_b=H_b, eta=eta, beta=beta, Q_f=Q_f),
            B=B,
            B_b=B_b,
            l_end=l_end,
        ),
    )


@face_bending_in_plane.lines
def _(steps, q, state):
    beta, eta = steps(pl.width_ratio, B_b=q.B_b, B=q.B), steps(pl.length_ratio, l_b=q.H_b, B=q.B)
    near = _end_line(steps, q)
    M_n = steps(face_moment_in_plane, F_y=q.F_y, t=q.t, H_b=q.H_b, eta=eta, beta=beta, Q_f=q.Q_f)
    if near:
        steps(near_end_moment, M_n=M_n)


@formula(symbol="M_n", source="aisc-360-22, J4-3, plastic sum round the edge of the branch")
def punching_moment_in_plane(*, F_y: Stress, t: Length, H_b: Length, B_ep: Length) -> Moment:
    """Moment along the tube at which the branch shears through the wall round its edge.

    F_y   yield stress of the tube
    t     design wall
    H_b   size of the branch along the tube
    B_ep  part of its width that punches
    """
    return 0.6 * F_y * t * (B_ep * H_b + H_b**2 / 2)


@clause(
    "AISC 360-22 J4.2(a)",
    source="aisc-360-22, J4.2(a) with K1.2a",
    omega=1.50,
    phi=1.00,
    states=("punching",),
    valid=[FACE_TESTED, FACE_STEEL, pl.PATCH_ON_FACE],
    **_BEND,
)
def face_punching_in_plane(*, F_y: Stress, t: Length, B: Length, B_b: Length, H_b: Length, l_end: Length):
    """Nominal moment along the tube by shear through the wall round the branch.

    F_y    yield stress of the tube
    t      design wall
    B      outside width of the tube
    B_b    width of the branch across the face
    H_b    size of the branch along the tube
    l_end  from the branch to an open end of the tube
    """
    B_ep = np.minimum(pl.punching_width.si(B=B, t=t, B_b=B_b), B_b)
    return (
        _halved(punching_moment_in_plane.si(F_y=F_y, t=t, H_b=H_b, B_ep=B_ep), B=B, B_b=B_b, l_end=l_end),
    )


@face_punching_in_plane.lines
def _(steps, q, state):
    B_ep = min(steps(pl.punching_width, B=q.B, t=q.t, B_b=q.B_b), q.B_b)
    near = _end_line(steps, q)
    M_n = steps(punching_moment_in_plane, F_y=q.F_y, t=q.t, H_b=q.H_b, B_ep=B_ep)
    if near:
        steps(near_end_moment, M_n=M_n)


@formula(symbol="M_n", source="aisc-360-22, K4-8")
def side_walls_moment_in_plane(*, F_w: Stress, t: Length, H_b: Length) -> Moment:
    """Moment along the tube at which its two side walls yield under the edges of the branch.

    F_w  yield stress counted for the walls: of the tube; 0.8 of it where branches stand on both sides
    t    design wall
    H_b  size of the branch along the tube
    """
    return 0.5 * F_w * t * (H_b + 5 * t) ** 2


@clause(
    "AISC 360-22 K4.3",
    source="aisc-360-22, K4-8",
    omega=1.50,
    phi=1.00,
    states=("side wall yielding",),
    valid=[FACE_TESTED, FACE_STEEL],
    **_BEND,
)
def side_wall_yielding_in_plane(
    *, F_y: Stress, t: Length, B: Length, B_b: Length, H_b: Length, l_end: Length, s_w: Ratio = 1.0
):
    """Nominal moment along the tube by yielding of its two side walls (a branch wider than 0.85 of the tube).

    F_y    yield stress of the tube
    t      design wall
    B      outside width of the tube
    B_b    width of the branch across the face
    H_b    size of the branch along the tube
    l_end  from the branch to an open end of the tube
    s_w    part of the yield counted for the walls: 1; 0.8 where branches stand on both sides
    """
    return (_halved(side_walls_moment_in_plane.si(F_w=s_w * F_y, t=t, H_b=H_b), B=B, B_b=B_b, l_end=l_end),)


@side_wall_yielding_in_plane.lines
def _(steps, q, state):
    near = _end_line(steps, q)
    M_n = steps(side_walls_moment_in_plane, F_w=q.s_w * q.F_y, t=q.t, H_b=q.H_b)
    if near:
        steps(near_end_moment, M_n=M_n)


@formula(symbol="M_n", source="aisc-360-22, J4.5 with K1.2a; plastic modulus less what does not work")
def branch_moment_in_plane(
    *, F_yb: Stress, Z_b: SectionModulus, B_e: Length, B_b: Length, H_b: Length, t_b: Length
) -> Moment:
    """Moment along the tube at which what works of the branch yields.

    F_yb  yield stress of the branch
    Z_b   plastic section modulus of the branch for this bending
    B_e   part of a wall across the face that works
    B_b   width of the branch across the face
    H_b   size of the branch along the tube
    t_b   design wall of the branch
    """
    return F_yb * (Z_b - (1 - B_e / B_b) * B_b * H_b * t_b)


@clause(
    "AISC 360-22 J4.5",
    source="aisc-360-22, J4.5 with K1.2a",
    omega=1.67,
    phi=0.90,
    states=("branch yielding",),
    valid=[FACE_TESTED, FACE_STEEL],
    **_BEND,
)
def branch_yielding_in_plane(
    *,
    F_y: Stress,
    t: Length,
    B: Length,
    F_yb: Stress,
    t_b: Length,
    B_b: Length,
    H_b: Length,
    Z_b: SectionModulus,
    l_end: Length,
):
    """Nominal moment along the tube by uneven yielding of the branch.

    F_y    yield stress of the tube
    t      design wall of the tube
    B      outside width of the tube
    F_yb   yield stress of the branch
    t_b    design wall of the branch
    B_b    width of the branch across the face
    H_b    size of the branch along the tube
    Z_b    plastic section modulus of the branch for this bending
    l_end  from the branch to an open end of the tube
    """
    B_e = effective_width_si(B=B, t=t, F_y=F_y, F_yb=F_yb, t_b=t_b, B_b=B_b)
    M_n = branch_moment_in_plane.si(F_yb=F_yb, Z_b=Z_b, B_e=B_e, B_b=B_b, H_b=H_b, t_b=t_b)
    return (_halved(M_n, B=B, B_b=B_b, l_end=l_end),)


@branch_yielding_in_plane.lines
def _(steps, q, state):
    B_e = _effective_line(steps, q)
    near = _end_line(steps, q)
    M_n = steps(branch_moment_in_plane, F_yb=q.F_yb, Z_b=q.Z_b, B_e=B_e, B_b=q.B_b, H_b=q.H_b, t_b=q.t_b)
    if near:
        steps(near_end_moment, M_n=M_n)


# --- bending out of plane ------------------------------------------------------------------------


@formula(
    symbol="M_n",
    source="aisc-360-10-bending, table K3.2 (yield lines; limit state of AISC 360-22 J10.10)",
    valid=[Within("beta", lambda beta: beta, low=1e-9, high=NARROW, source="aisc-360-22, K1.4")],
)
def face_moment_out_of_plane(
    *, F_y: Stress, t: Length, B: Length, B_b: Length, H_b: Length, beta: Ratio, Q_f: Ratio
) -> Moment:
    """Moment across the tube at which its face folds along yield lines.

    F_y   yield stress of the tube
    t     design wall
    B     outside width of the tube
    B_b   width of the branch across the face
    H_b   size of the branch along the tube
    beta  width of the branch over the width of the tube
    Q_f   what stress along the face leaves
    """
    return (
        F_y * t**2 * (0.5 * H_b * (1 + beta) / (1 - beta) + sqrt(2 * B * B_b * (1 + beta) / (1 - beta))) * Q_f
    )


@clause(
    "AISC 360-22 J10 (bending)",
    source="aisc-360-10-bending, table K3.2, for the limit state of AISC 360-22 J10.10",
    omega=1.67,
    phi=0.90,
    states=("face bending",),
    valid=[FACE_TESTED, FACE_STEEL, FACE_NARROW],
    **_BEND,
)
def face_bending_out_of_plane(
    *, F_y: Stress, t: Length, B: Length, B_b: Length, H_b: Length, l_end: Length, Q_f: Ratio = 1.0
):
    """Nominal moment across the tube by bending of its face.

    F_y    yield stress of the tube
    t      design wall
    B      outside width of the tube
    B_b    width of the branch across the face
    H_b    size of the branch along the tube
    l_end  from the branch to an open end of the tube
    Q_f    what stress along the face leaves
    """
    beta = pl.width_ratio.si(B_b=B_b, B=B)
    M_n = face_moment_out_of_plane.si(F_y=F_y, t=t, B=B, B_b=B_b, H_b=H_b, beta=beta, Q_f=Q_f)
    return (_halved(M_n, B=B, B_b=B_b, l_end=l_end),)


@face_bending_out_of_plane.lines
def _(steps, q, state):
    beta = steps(pl.width_ratio, B_b=q.B_b, B=q.B)
    near = _end_line(steps, q)
    M_n = steps(face_moment_out_of_plane, F_y=q.F_y, t=q.t, B=q.B, B_b=q.B_b, H_b=q.H_b, beta=beta, Q_f=q.Q_f)
    if near:
        steps(near_end_moment, M_n=M_n)


@formula(symbol="M_n", source="aisc-360-22, J4-3, plastic sum round the edge of the branch")
def punching_moment_out_of_plane(*, F_y: Stress, t: Length, H_b: Length, B_b: Length, B_ep: Length) -> Moment:
    """Moment across the tube at which the branch shears through the wall round its edge.

    F_y   yield stress of the tube
    t     design wall
    H_b   size of the branch along the tube
    B_b   width of the branch across the face
    B_ep  part of its width that punches
    """
    return 0.6 * F_y * t * (H_b * B_b + B_ep * (B_b - B_ep / 2))


@clause(
    "AISC 360-22 J4.2(a)",
    source="aisc-360-22, J4.2(a) with K1.2a",
    omega=1.50,
    phi=1.00,
    states=("punching",),
    valid=[FACE_TESTED, FACE_STEEL, pl.PATCH_ON_FACE],
    **_BEND,
)
def face_punching_out_of_plane(*, F_y: Stress, t: Length, B: Length, B_b: Length, H_b: Length, l_end: Length):
    """Nominal moment across the tube by shear through the wall round the branch.

    F_y    yield stress of the tube
    t      design wall
    B      outside width of the tube
    B_b    width of the branch across the face
    H_b    size of the branch along the tube
    l_end  from the branch to an open end of the tube
    """
    B_ep = np.minimum(pl.punching_width.si(B=B, t=t, B_b=B_b), B_b)
    return (
        _halved(
            punching_moment_out_of_plane.si(F_y=F_y, t=t, H_b=H_b, B_b=B_b, B_ep=B_ep),
            B=B,
            B_b=B_b,
            l_end=l_end,
        ),
    )


@face_punching_out_of_plane.lines
def _(steps, q, state):
    B_ep = min(steps(pl.punching_width, B=q.B, t=q.t, B_b=q.B_b), q.B_b)
    near = _end_line(steps, q)
    M_n = steps(punching_moment_out_of_plane, F_y=q.F_y, t=q.t, H_b=q.H_b, B_b=q.B_b, B_ep=B_ep)
    if near:
        steps(near_end_moment, M_n=M_n)


@formula(symbol="M_n", source="aisc-360-22, K4-6")
def side_walls_moment_out_of_plane(*, F_w: Stress, t: Length, B: Length, H_b: Length) -> Moment:
    """Moment across the tube at which one side wall yields in push, the other in pull.

    F_w  yield stress counted for the walls: of the tube; 0.8 of it where branches stand on both sides
    t    design wall
    B    outside width of the tube
    H_b  size of the branch along the tube
    """
    return F_w * t * (B - t) * (H_b + 5 * t)


@formula(symbol="M_n", source="aisc-360-22, K4-7")
def distortion_moment(*, F_y: Stress, t: Length, B: Length, H: Length, H_b: Length) -> Moment:
    """Moment across the tube at which the tube is pushed out of square.

    F_y  yield stress of the tube
    t    design wall
    B    outside width of the tube
    H    outside depth of the tube
    H_b  size of the branch along the tube
    """
    return 2 * F_y * t * (H_b * t + sqrt(B * H * t * (B + H)))


@clause(
    "AISC 360-22 K4.3",
    source="aisc-360-22, K4-6",
    omega=1.50,
    phi=1.00,
    states=("side wall yielding",),
    valid=[FACE_TESTED, FACE_STEEL],
    **_BEND,
)
def side_wall_yielding_out_of_plane(
    *, F_y: Stress, t: Length, B: Length, B_b: Length, H_b: Length, l_end: Length, s_w: Ratio = 1.0
):
    """Nominal moment across the tube by yielding of its two side walls.

    F_y    yield stress of the tube
    t      design wall
    B      outside width of the tube
    B_b    width of the branch across the face
    H_b    size of the branch along the tube
    l_end  from the branch to an open end of the tube
    s_w    part of the yield counted for the walls: 1; 0.8 where branches stand on both sides
    """
    return (
        _halved(
            side_walls_moment_out_of_plane.si(F_w=s_w * F_y, t=t, B=B, H_b=H_b), B=B, B_b=B_b, l_end=l_end
        ),
    )


@side_wall_yielding_out_of_plane.lines
def _(steps, q, state):
    near = _end_line(steps, q)
    M_n = steps(side_walls_moment_out_of_plane, F_w=q.s_w * q.F_y, t=q.t, B=q.B, H_b=q.H_b)
    if near:
        steps(near_end_moment, M_n=M_n)


@clause(
    "AISC 360-22 K4.3",
    source="aisc-360-22, K4-7",
    omega=1.58,
    phi=0.95,
    states=("distortion of the tube",),
    valid=[FACE_TESTED, FACE_STEEL],
    **_BEND,
)
def tube_distortion(*, F_y: Stress, t: Length, B: Length, H: Length, B_b: Length, H_b: Length, l_end: Length):
    """Nominal moment across a tube that has a branch on one side, or unequal ones, by distortion of the tube.

    F_y    yield stress of the tube
    t      design wall
    B      outside width of the tube
    H      outside depth of the tube
    B_b    width of the branch across the face
    H_b    size of the branch along the tube
    l_end  from the branch to an open end of the tube
    """
    return (_halved(distortion_moment.si(F_y=F_y, t=t, B=B, H=H, H_b=H_b), B=B, B_b=B_b, l_end=l_end),)


@tube_distortion.lines
def _(steps, q, state):
    near = _end_line(steps, q)
    M_n = steps(distortion_moment, F_y=q.F_y, t=q.t, B=q.B, H=q.H, H_b=q.H_b)
    if near:
        steps(near_end_moment, M_n=M_n)


@formula(symbol="M_n", source="aisc-360-22, J4.5 with K1.2a; plastic modulus less what does not work")
def branch_moment_out_of_plane(
    *, F_yb: Stress, Z_b: SectionModulus, B_e: Length, B_b: Length, t_b: Length
) -> Moment:
    """Moment across the tube at which what works of the branch yields.

    F_yb  yield stress of the branch
    Z_b   plastic section modulus of the branch for this bending
    B_e   part of a wall across the face that works
    B_b   width of the branch across the face
    t_b   design wall of the branch
    """
    return F_yb * (Z_b - 0.5 * (1 - B_e / B_b) ** 2 * B_b**2 * t_b)


@clause(
    "AISC 360-22 J4.5",
    source="aisc-360-22, J4.5 with K1.2a",
    omega=1.67,
    phi=0.90,
    states=("branch yielding",),
    valid=[FACE_TESTED, FACE_STEEL],
    **_BEND,
)
def branch_yielding_out_of_plane(
    *,
    F_y: Stress,
    t: Length,
    B: Length,
    F_yb: Stress,
    t_b: Length,
    B_b: Length,
    Z_b: SectionModulus,
    l_end: Length,
):
    """Nominal moment across the tube by uneven yielding of the branch.

    F_y    yield stress of the tube
    t      design wall of the tube
    B      outside width of the tube
    F_yb   yield stress of the branch
    t_b    design wall of the branch
    B_b    width of the branch across the face
    Z_b    plastic section modulus of the branch for this bending
    l_end  from the branch to an open end of the tube
    """
    B_e = effective_width_si(B=B, t=t, F_y=F_y, F_yb=F_yb, t_b=t_b, B_b=B_b)
    M_n = branch_moment_out_of_plane.si(F_yb=F_yb, Z_b=Z_b, B_e=B_e, B_b=B_b, t_b=t_b)
    return (_halved(M_n, B=B, B_b=B_b, l_end=l_end),)


@branch_yielding_out_of_plane.lines
def _(steps, q, state):
    B_e = _effective_line(steps, q)
    near = _end_line(steps, q)
    M_n = steps(branch_moment_out_of_plane, F_yb=q.F_yb, Z_b=q.Z_b, B_e=B_e, B_b=q.B_b, t_b=q.t_b)
    if near:
        steps(near_end_moment, M_n=M_n)


# --- the welds that work (K5) --------------------------------------------------------------------

LineModulus = Annotated[pint.Quantity, Declared("m**2", "a section modulus of a weld line", "Q(16, 'in**2')")]


@formula(symbol="l_e", source="aisc-360-22, K5-5")
def weld_length(*, H_b: Length, theta: Angle, B_e: Length) -> Length:
    """Length of weld that works round a tube branch under axial force.

    H_b    size of the branch along the tube
    theta  angle between branch and tube
    B_e    part of a side across the face that works
    """
    return 2 * H_b / sin(theta) + 2 * B_e


@formula(symbol="S_ip", source="aisc-360-22, K5-6, per throat")
def weld_modulus_in_plane(*, H_b: Length, theta: Angle, B_e: Length) -> LineModulus:
    """Section modulus, per throat, of the weld that works under bending along the tube.

    H_b    size of the branch along the tube
    theta  angle between branch and tube
    B_e    part of a side across the face that works
    """
    return (H_b / sin(theta)) ** 2 / 3 + B_e * H_b / sin(theta)


@formula(symbol="S_op", source="aisc-360-22, K5-7, per throat")
def weld_modulus_out_of_plane(*, H_b: Length, theta: Angle, B_b: Length, B_e: Length) -> LineModulus:
    """Section modulus, per throat, of the weld that works under bending across the tube.

    H_b    size of the branch along the tube
    theta  angle between branch and tube
    B_b    width of the branch across the face
    B_e    part of a side across the face that works
    """
    return H_b * B_b / sin(theta) + B_b**2 / 3 - (B_b - B_e) ** 3 / (3 * B_b)


@dataclass(frozen=True)
class EffectiveWeld:
    """What works of the weld round a branch, (n,) each: width of each side across the face, total length
    (m), section
    moduli per throat (m2)."""

    B_e: np.ndarray
    l_e: np.ndarray
    S_ip: np.ndarray
    S_op: np.ndarray


def effective_lengths(*, F_y, t, B, F_yb, t_b, B_b, H_b, theta=np.pi / 2) -> EffectiveWeld:
    """Array kernel: the weld of a tube branch on a tube face that works (table K5.1). Where beta is over
    0.85 or the
    branch stands steeper than 50 degrees not more than half of a side across the face counts."""
    B, B_b, theta = (np.asarray(v, float) for v in (B, B_b, theta))
    B_e = effective_width_si(B=B, t=t, F_y=F_y, F_yb=F_yb, t_b=t_b, B_b=B_b)
    steep = (B_b / B > 0.85) | (theta > np.radians(50))
    B_e = np.where(steep, np.minimum(B_e, B_b / 2), B_e)
    with_s = {"H_b": np.asarray(H_b, float), "theta": theta, "B_e": B_e}
    return EffectiveWeld(
        B_e,
        *np.broadcast_arrays(
            weld_length.si(**with_s),
            weld_modulus_in_plane.si(**with_s),
            weld_modulus_out_of_plane.si(**with_s, B_b=B_b),
        ),
    )


# --- all of it -----------------------------------------------------------------------------------


@formula(symbol="u", source="en-1993-1-8, 7.5.2(5); AISC 360-10 K3-13, shares added")
def joint_use(*, P_r: Force, P_c: Force, M_ip: Moment, M_cip: Moment, M_op: Moment, M_cop: Moment) -> Ratio:
    """How far a joint is used by a force and two moments together.

    P_r    axial force of the branch
    P_c    allowable axial force
    M_ip   moment along the tube
    M_cip  allowable moment along the tube
    M_op   moment across the tube
    M_cop  allowable moment across the tube
    """
    return P_r / P_c + M_ip / M_cip + M_op / M_cop


_K = "aisc-360-22, tables K3.2A and K4.2A"
# What the tests behind the code cover; outside no number is given.
TESTED = (
    Within("B/t", lambda B, t: B / t, high=35, source=_K),
    Within("H/t", lambda H, t: H / t, high=35, source=_K),
    Within("B_b/t_b", lambda B_b, t_b: B_b / t_b, high=35, source=_K),
    Within("H_b/t_b", lambda H_b, t_b: H_b / t_b, high=35, source=_K),
    Within(
        "wider wall of the branch over t_b sqrt(E/F_yb)",
        lambda B_b, H_b, t_b, E, F_yb: np.maximum(B_b, H_b) / t_b / np.sqrt(E / F_yb),
        high=1.25,
        source=_K,
    ),
    Within("B_b/B", lambda B_b, B: B_b / B, low=0.25, high=1.0, source=_K),
    Within("H_b/B_b", lambda H_b, B_b: H_b / B_b, low=0.5, high=2.0, source=_K),
    Within("H/B", lambda H, B: H / B, low=0.5, high=2.0, source=_K),
    Within("F_y in MPa", lambda F_y: F_y / 1e6, high=360, source=_K),
    Within("F_yb in MPa", lambda F_yb: F_yb / 1e6, high=360, source=_K),
    Within("F_y/F_u", lambda F_y, F_u: F_y / F_u, high=0.81, source=f"{_K}: 0.8, A500 grade C admitted"),
    Within(
        "F_yb/F_ub", lambda F_yb, F_ub: F_yb / F_ub, high=0.81, source=f"{_K}: 0.8, A500 grade C admitted"
    ),
    Within(
        "theta in degrees",
        lambda theta: np.round(np.degrees(theta), 4),
        low=30,
        high=90,
        source=f"{_K}; K1 user note",
    ),
)
AXIAL = (
    "face bending",
    "punching",
    "side wall yielding",
    "side wall crippling",
    "side wall buckling",
    "branch yielding",
)
IN_PLANE = ("face bending", "punching", "side wall yielding", "branch yielding")
OUT_OF_PLANE = ("face bending", "punching", "side wall yielding", "distortion of the tube", "branch yielding")
MEANT = {
    "face bending": "the face of the tube folds in under the branch",
    "punching": "the branch shears through the wall of the tube",
    "side wall yielding": "the side walls of the tube yield under the branch",
    "side wall crippling": "the side walls of the tube cripple under the branch",
    "side wall buckling": "the side walls of the tube buckle between the two branches",
    "branch yielding": "the branch tears or yields at its corners, where the face is stiff",
    "distortion of the tube": "the tube is pushed out of square",
}


# The clause behind each state, and where the axial ones name a size of their own.
_AXIAL = (
    pl.face_bending,
    pl.face_punching,
    pl.side_wall_yielding,
    pl.side_wall_crippling,
    pl.side_wall_buckling,
    branch_yielding,
)
_IN_PLANE = (
    face_bending_in_plane,
    face_punching_in_plane,
    side_wall_yielding_in_plane,
    branch_yielding_in_plane,
)
_OUT_OF_PLANE = (
    face_bending_out_of_plane,
    face_punching_out_of_plane,
    side_wall_yielding_out_of_plane,
    tube_distortion,
    branch_yielding_out_of_plane,
)


class FaceUse(JointUse):
    """How far the joints of square and rectangular branches on tube faces are used (`joint_use.JointUse`)."""

    tested = TESTED
    groups = (AXIAL, IN_PLANE, OUT_OF_PLANE)
    behind = (_AXIAL, _IN_PLANE, _OUT_OF_PLANE)
    meant = MEANT
    together = joint_use
    ways = WAYS
    cautions = CAUTIONS
    source = "aisc-360-22, K4.3 and J10.10"
    tables = "AISC 360-22 tables K3.2A and K4.2A"

    def _size(self, name: str, g: int) -> np.ndarray:
        return self.sizes[("Z_ip" if g == 1 else "Z_op") if name == "Z_b" else name]


def moments_si(*, F_y, t, B, H, F_yb, t_b, B_b, H_b, Z_ip, Z_op, l_end, Q_f=1.0, cross=False):
    """Array kernel: the strengths in bending, in plane and out of plane, in the order of IN_PLANE and
    OUT_OF_PLANE.
    What does not limit a design is infinite there. cross: True where an equal branch stands on the other
    side."""
    host = {"F_y": F_y, "t": t, "B": B, "B_b": B_b, "l_end": l_end}
    branch = {**host, "F_yb": F_yb, "t_b": t_b}
    along = {**host, "H_b": H_b}
    beta, walls = np.asarray(B_b, float) / B, np.where(cross, 0.8, 1.0)
    wide, on_walls = beta > NARROW, beta > 1 - 2 * np.asarray(t, float) / B
    return (
        (
            unlimited(face_bending_in_plane.si(**along, Q_f=Q_f), wide),
            unlimited(face_punching_in_plane.si(**along), on_walls),
            unlimited(side_wall_yielding_in_plane.si(**along, s_w=walls), beta < NARROW),
            branch_yielding_in_plane.si(**branch, H_b=H_b, Z_b=Z_ip),
        ),
        (
            unlimited(face_bending_out_of_plane.si(**along, Q_f=Q_f), wide),
            unlimited(face_punching_out_of_plane.si(**along), on_walls),
            side_wall_yielding_out_of_plane.si(**along, s_w=walls),
            unlimited(tube_distortion.si(**along, H=H), cross),
            branch_yielding_out_of_plane.si(**branch, Z_b=Z_op),
        ),
    )


def axial_si(
    *, F_y, E, t, B, H, h, k, F_yb, t_b, B_b, H_b, theta, l_end, Q_f=1.0, pressing=True, cross=False
):
    """Array kernel: the strengths against the force of the branch across the face, in the order of AXIAL."""
    l_b = np.asarray(H_b, float) / np.sin(theta)
    face = pl.strengths_si(
        F_y=F_y,
        E=E,
        t=t,
        B=B,
        H=H,
        h=h,
        B_b=B_b,
        l_b=l_b,
        k=k,
        l_end=l_end,
        Q_f=Q_f,
        opposed=np.asarray(cross, bool) & pressing,
    )
    pulled = ~np.asarray(pressing, bool)
    return (
        *face[:3],
        unlimited(face[3], pulled),
        unlimited(face[4], pulled),
        branch_yielding.si(F_y=F_y, t=t, B=B, F_yb=F_yb, t_b=t_b, B_b=B_b, H_b=H_b, l_end=l_end),
    )


def face_strength(
    *,
    F_y,
    F_u,
    E,
    t,
    B,
    H,
    h,
    k,
    F_yb,
    F_ub,
    t_b,
    B_b,
    H_b,
    Z_ip,
    Z_op,
    l_end,
    theta=np.pi / 2,
    P=0.0,
    M_ip=0.0,
    M_op=0.0,
    U=0.0,
    pressed=True,
    cross=False,
    kind="use",
    method="ASD",
) -> FaceUse:
    """Array kernel: how far joints of a square or rectangular branch on a tube face are used, SI, broadcast,
    first axis =
    design.

    Tube: F_y, F_u, E, design wall t, width B of the face, depth H, flat h of a side wall, outside corner
    radius k.
    Branch: F_yb, F_ub, design wall t_b, width B_b across the face, size H_b along the tube, plastic moduli
    Z_ip for
    bending along the tube and Z_op across it, theta its angle to the tube. l_end: from the branch to an open
    end of
    the tube (give the whole length where the end is capped and welded round).
    P: axial force of the branch, pull positive; M_ip, M_op: moments (their sign does not matter). U: how far
    the tube
    is stressed along its length at the joint; pressed: whether that presses this face. cross: an equal
    branch on the
    other side. kind: of load, one or one for each design. A leaning branch counts in bending as a square one
    with the same sizes (kit's own rule,
    cautious).
    """
    names = {
        "F_y": F_y,
        "F_u": F_u,
        "E": E,
        "t": t,
        "B": B,
        "H": H,
        "F_yb": F_yb,
        "F_ub": F_ub,
        "t_b": t_b,
        "B_b": B_b,
        "H_b": H_b,
        "theta": theta,
    }
    rest = {
        "h": h,
        "k": k,
        "Z_ip": Z_ip,
        "Z_op": Z_op,
        "l_end": l_end,
        "P": P,
        "M_ip": M_ip,
        "M_op": M_op,
        "U": U,
    }
    flags = {"pressed": pressed, "cross": cross}
    arrays = np.broadcast_arrays(
        *(np.atleast_1d(np.asarray(v, float)) for v in (*names.values(), *rest.values())),
        *(np.atleast_1d(np.asarray(v, bool)) for v in flags.values()),
    )
    a = dict(zip((*names, *rest, *flags), arrays, strict=True))
    Q_f = pl.stress_factor_si(U=a["U"], beta=a["B_b"] / a["B"], face_pressed=a["pressed"])
    tube = {n: a[n] for n in ("F_y", "t", "B", "H", "l_end")}
    branch = {n: a[n] for n in ("F_yb", "t_b", "B_b", "H_b")}
    a |= {"Q_f": Q_f, "l_b": a["H_b"] / np.sin(a["theta"]), "s_w": np.where(a["cross"], 0.8, 1.0)}
    axial = axial_si(
        **tube,
        **branch,
        E=a["E"],
        h=a["h"],
        k=a["k"],
        theta=a["theta"],
        Q_f=Q_f,
        pressing=a["P"] < 0,
        cross=a["cross"],
    )
    in_plane, out_of_plane = moments_si(
        **tube, **branch, Z_ip=a["Z_ip"], Z_op=a["Z_op"], Q_f=Q_f, cross=a["cross"]
    )
    # all but the branch itself are across the face
    leaning = [scaled(strength, 1 / np.sin(a["theta"])) for strength in axial[:-1]]
    return FaceUse.of(((*leaning, axial[-1]), in_plane, out_of_plane), a, kind, method)
