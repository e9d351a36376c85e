"""A round tube welded on a round tube, and a plate on a round tube: AISC 360-22 tables K2.1, K3.1 and K4.1.

The tube has the outside diameter D and the design wall t, the branch the diameter D_b. "In plane" turns the
branch along the tube.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from shopcalc.check import allowable
from shopcalc.codes.aisc360_22.hollow_joints import _unlimited
from shopcalc.codes.clause import clause
from shopcalc.formula import Within, formula, frac, pi, sin, sqrt
from shopcalc.units import Angle, Force, Length, Moment, Ratio, Stress

WAYS = (
    "a branch nearer in size, a saddle or gusset plate, a thicker tube; beyond that a rational analysis by an"
    " engineer"
)
_K = "aisc-360-22, tables K2.1A, K3.1A and K4.1A"
WALL = Within("D/t", lambda D, t: D / t, high=50, source=_K)
STEEL = Within("F_y in MPa", lambda F_y: F_y / 1e6, high=360, source=_K)


@formula(symbol="gamma", source="aisc-360-22, K1.1")
def half_slenderness(*, D: Length, t: Length) -> Ratio:
    """Half the diameter of the tube over its wall.

    D  outside diameter of the tube
    t  design wall
    """
    return D / (2 * t)


@formula(symbol="beta", source="aisc-360-22, K1.1")
def diameter_ratio(*, D_b: Length, D: Length) -> Ratio:
    """Diameter of the branch over the diameter of the tube.

    D_b  outside diameter of the branch
    D    outside diameter of the tube
    """
    return D_b / D


@formula(symbol="Q_f", source="aisc-360-22, K1-3")
def stress_factor(U: Ratio) -> Ratio:
    """What stress along a pressed round tube leaves of its strength (at most 1).

    U  how far the tube is stressed along its length, at most 1
    """
    return 1 - 0.3 * U * (1 + U)


@formula(symbol="P_n", source="aisc-360-22, K3-1")
def punching_strength(*, F_y: Stress, t: Length, D_b: Length, theta: Angle) -> Force:
    """Axial force at which a branch shears through the wall.

    F_y    yield stress of the tube
    t      design wall
    D_b    outside diameter of the branch
    theta  angle between branch and tube
    """
    return 0.6 * F_y * t * pi * D_b * (1 + sin(theta)) / (2 * sin(theta) ** 2)


@formula(symbol="P_n", source="aisc-360-22, K3-2")
def wall_strength_T(*, F_y: Stress, t: Length, beta: Ratio, gamma: Ratio, Q_f: Ratio, theta: Angle) -> Force:
    """Axial force at which the wall of the tube folds under a branch on one side (T and Y).

    F_y    yield stress of the tube
    t      design wall
    beta   diameter of the branch over that of the tube
    gamma  half the diameter of the tube over its wall
    Q_f    what stress along the tube leaves
    theta  angle between branch and tube
    """
    return F_y * t**2 * (3.1 + 15.6 * beta**2) * gamma ** frac(1, 5) * Q_f / sin(theta)


@formula(symbol="P_n", source="aisc-360-22, K3-3")
def wall_strength_X(*, F_y: Stress, t: Length, beta: Ratio, Q_f: Ratio, theta: Angle) -> Force:
    """Axial force at which the wall of the tube folds between two opposite branches.

    F_y    yield stress of the tube
    t      design wall
    beta   diameter of the branch over that of the tube
    Q_f    what stress along the tube leaves
    theta  angle between branch and tube
    """
    return F_y * t**2 * 5.7 / (1 - 0.81 * beta) * Q_f / sin(theta)


@formula(symbol="M_n", source="aisc-360-22, K4-1")
def wall_moment_in_plane(
    *, F_y: Stress, t: Length, gamma: Ratio, beta: Ratio, D_b: Length, Q_f: Ratio, theta: Angle
) -> Moment:
    """Moment along the tube at which its wall folds.

    F_y    yield stress of the tube
    t      design wall
    gamma  half the diameter of the tube over its wall
    beta   diameter of the branch over that of the tube
    D_b    outside diameter of the branch
    Q_f    what stress along the tube leaves
    theta  angle between branch and tube
    """
    return 5.39 * F_y * t**2 * sqrt(gamma) * beta * D_b / sin(theta) * Q_f


@formula(symbol="M_n", source="aisc-360-22, K4-2")
def punching_moment_in_plane(*, F_y: Stress, t: Length, D_b: Length, theta: Angle) -> Moment:
    """Moment along the tube at which the branch shears through the wall.

    F_y    yield stress of the tube
    t      design wall
    D_b    outside diameter of the branch
    theta  angle between branch and tube
    """
    return 0.6 * F_y * t * D_b**2 * (1 + 3 * sin(theta)) / (4 * sin(theta) ** 2)


@formula(symbol="M_n", source="aisc-360-22, K4-3")
def wall_moment_out_of_plane(
    *, F_y: Stress, t: Length, D_b: Length, beta: Ratio, Q_f: Ratio, theta: Angle
) -> Moment:
    """Moment across the tube at which its wall folds.

    F_y    yield stress of the tube
    t      design wall
    D_b    outside diameter of the branch
    beta   diameter of the branch over that of the tube
    Q_f    what stress along the tube leaves
    theta  angle between branch and tube
    """
    return F_y * t**2 * D_b / sin(theta) * 3 / (1 - 0.81 * beta) * Q_f


@formula(symbol="M_n", source="aisc-360-22, K4-4")
def punching_moment_out_of_plane(*, F_y: Stress, t: Length, D_b: Length, theta: Angle) -> Moment:
    """Moment across the tube at which the branch shears through the wall.

    F_y    yield stress of the tube
    t      design wall
    D_b    outside diameter of the branch
    theta  angle between branch and tube
    """
    return 0.6 * F_y * t * D_b**2 * (3 + sin(theta)) / (4 * sin(theta) ** 2)


@formula(symbol="R_n", source="aisc-360-22, K2-2a")
def plate_along_strength(*, F_y: Stress, t: Length, l_b: Length, D: Length, Q_f: Ratio) -> Force:
    """Force square to a round tube through a plate along it, at which the wall folds.

    F_y  yield stress of the tube
    t    design wall
    l_b  length of the plate along the tube
    D    outside diameter of the tube
    Q_f  what stress along the tube leaves
    """
    return 5.5 * F_y * t**2 * (1 + 0.25 * l_b / D) * Q_f


_FACTORS = dict(omega=1.67, phi=0.90, valid=[WALL, STEEL], ways=WAYS)
_PUNCH = dict(omega=1.58, phi=0.95, valid=[WALL, STEEL], ways=WAYS)


@clause(
    "AISC 360-22 K3.2",
    source="aisc-360-22, K3-2 and K3-3",
    gives=Force,
    states=("wall folding, branch on one side", "wall folding, branches opposite"),
    **_FACTORS,
)
def round_wall(
    *, F_y: Stress, t: Length, D: Length, D_b: Length, theta: Angle, Q_f: Ratio = 1.0, cross: Ratio = 0.0
):
    """Nominal axial strength of a round branch by folding of the wall of a round tube.

    F_y    yield stress of the tube
    t      design wall
    D      outside diameter of the tube
    D_b    outside diameter of the branch
    theta  angle between branch and tube
    Q_f    what stress along the tube leaves
    cross  1 where an equal branch stands on the opposite side
    """
    beta, gamma = diameter_ratio.si(D_b=D_b, D=D), half_slenderness.si(D=D, t=t)
    one = wall_strength_T.si(F_y=F_y, t=t, beta=beta, gamma=gamma, Q_f=Q_f, theta=theta)
    two = wall_strength_X.si(F_y=F_y, t=t, beta=beta, Q_f=Q_f, theta=theta)
    return np.where(cross > 0, np.inf, one), np.where(cross > 0, two, np.inf)


@round_wall.lines
def _(steps, q, state):
    beta = steps(diameter_ratio, D_b=q.D_b, D=q.D)
    if q.cross > 0:
        steps(wall_strength_X, F_y=q.F_y, t=q.t, beta=beta, Q_f=q.Q_f, theta=q.theta)
    else:
        steps(
            wall_strength_T,
            F_y=q.F_y,
            t=q.t,
            beta=beta,
            gamma=steps(half_slenderness, D=q.D, t=q.t),
            Q_f=q.Q_f,
            theta=q.theta,
        )


@clause("AISC 360-22 K3.2", source="aisc-360-22, K3-1", gives=Force, states=("punching",), **_PUNCH)
def round_punching(*, F_y: Stress, t: Length, D: Length, D_b: Length, theta: Angle):
    """Nominal axial strength of a round branch by shear through the wall of a round tube.

    F_y    yield stress of the tube
    t      design wall
    D      outside diameter of the tube
    D_b    outside diameter of the branch
    theta  angle between branch and tube
    """
    return (punching_strength.si(F_y=F_y, t=t, D_b=D_b, theta=theta) + 0 * D,)


@round_punching.lines
def _(steps, q, state):
    steps(punching_strength, F_y=q.F_y, t=q.t, D_b=q.D_b, theta=q.theta)


@clause("AISC 360-22 K4.2", source="aisc-360-22, K4-1", gives=Moment, states=("wall folding",), **_FACTORS)
def round_wall_in_plane(*, F_y: Stress, t: Length, D: Length, D_b: Length, theta: Angle, Q_f: Ratio = 1.0):
    """Nominal moment along a round tube by folding of its wall.

    F_y    yield stress of the tube
    t      design wall
    D      outside diameter of the tube
    D_b    outside diameter of the branch
    theta  angle between branch and tube
    Q_f    what stress along the tube leaves
    """
    beta, gamma = diameter_ratio.si(D_b=D_b, D=D), half_slenderness.si(D=D, t=t)
    return (wall_moment_in_plane.si(F_y=F_y, t=t, gamma=gamma, beta=beta, D_b=D_b, Q_f=Q_f, theta=theta),)


@round_wall_in_plane.lines
def _(steps, q, state):
    beta, gamma = steps(diameter_ratio, D_b=q.D_b, D=q.D), steps(half_slenderness, D=q.D, t=q.t)
    steps(wall_moment_in_plane, F_y=q.F_y, t=q.t, gamma=gamma, beta=beta, D_b=q.D_b, Q_f=q.Q_f, theta=q.theta)


@clause("AISC 360-22 K4.2", source="aisc-360-22, K4-3", gives=Moment, states=("wall folding",), **_FACTORS)
def round_wall_out_of_plane(
    *, F_y: Stress, t: Length, D: Length, D_b: Length, theta: Angle, Q_f: Ratio = 1.0
):
    """Nominal moment across a round tube by folding of its wall.

    F_y    yield stress of the tube
    t      design wall
    D      outside diameter of the tube
    D_b    outside diameter of the branch
    theta  angle between branch and tube
    Q_f    what stress along the tube leaves
    """
    beta = diameter_ratio.si(D_b=D_b, D=D)
    return (wall_moment_out_of_plane.si(F_y=F_y, t=t, D_b=D_b, beta=beta, Q_f=Q_f, theta=theta),)


@round_wall_out_of_plane.lines
def _(steps, q, state):
    beta = steps(diameter_ratio, D_b=q.D_b, D=q.D)
    steps(wall_moment_out_of_plane, F_y=q.F_y, t=q.t, D_b=q.D_b, beta=beta, Q_f=q.Q_f, theta=q.theta)


@clause("AISC 360-22 K4.2", source="aisc-360-22, K4-2", gives=Moment, states=("punching",), **_PUNCH)
def round_punching_in_plane(*, F_y: Stress, t: Length, D: Length, D_b: Length, theta: Angle):
    """Nominal moment along a round tube by shear through its wall.

    F_y    yield stress of the tube
    t      design wall
    D      outside diameter of the tube
    D_b    outside diameter of the branch
    theta  angle between branch and tube
    """
    return (punching_moment_in_plane.si(F_y=F_y, t=t, D_b=D_b, theta=theta) + 0 * D,)


@round_punching_in_plane.lines
def _(steps, q, state):
    steps(punching_moment_in_plane, F_y=q.F_y, t=q.t, D_b=q.D_b, theta=q.theta)


@clause("AISC 360-22 K4.2", source="aisc-360-22, K4-4", gives=Moment, states=("punching",), **_PUNCH)
def round_punching_out_of_plane(*, F_y: Stress, t: Length, D: Length, D_b: Length, theta: Angle):
    """Nominal moment across a round tube by shear through its wall.

    F_y    yield stress of the tube
    t      design wall
    D      outside diameter of the tube
    D_b    outside diameter of the branch
    theta  angle between branch and tube
    """
    return (punching_moment_out_of_plane.si(F_y=F_y, t=t, D_b=D_b, theta=theta) + 0 * D,)


@round_punching_out_of_plane.lines
def _(steps, q, state):
    steps(punching_moment_out_of_plane, F_y=q.F_y, t=q.t, D_b=q.D_b, theta=q.theta)


@formula(symbol="u", source="aisc-360-22, K4-5")
def joint_use(*, P_r: Force, P_c: Force, M_ip: Moment, M_cip: Moment, M_op: Moment, M_cop: Moment) -> Ratio:
    """How far a joint of round tubes is used by a force and two moments together.

    P_r    axial force of the branch
    P_c    allowable axial force
    M_ip   moment along the tube
    M_cip  allowable moment along the tube
    M_op   moment across the tube
    M_cop  allowable moment across the tube
    """
    return P_r / P_c + (M_ip / M_cip) ** 2 + M_op / M_cop


TESTED = (
    Within(
        "D/t",
        lambda D, t, cross: D / t * np.where(cross, 50 / 40, 1.0),
        high=50,
        source=f"{_K}; 40 for cross joints",
    ),
    Within("D_b/t_b", lambda D_b, t_b: D_b / t_b, high=50, source=_K),
    Within("D_b/t_b over E/F_yb", lambda D_b, t_b, E, F_yb: D_b / t_b / (E / F_yb), high=0.05, source=_K),
    Within("D_b/D", lambda D_b, D: D_b / D, low=0.2, high=1.0, source=_K),
    Within("F_y in MPa", lambda F_y: F_y / 1e6, high=360, source=_K),
    Within("F_y/F_u", lambda F_y, F_u: F_y / F_u, high=0.81, source=f"{_K}: 0.8, A500 grade C admitted"),
    Within(
        "theta in degrees",
        lambda theta: np.round(np.degrees(theta), 4),
        low=30,
        high=90,
        source="aisc-360-22, K1 user note",
    ),
)


@dataclass(frozen=True)
class RoundUse:
    """How far joints of round branches on round tubes are used, (n,): ratio (nan outside the range),
    allowables, the mask of each
    limit of TESTED that is broken."""

    ratio: np.ndarray
    P_c: np.ndarray
    M_cip: np.ndarray
    M_cop: np.ndarray
    broken: np.ndarray

    @property
    def in_range(self) -> np.ndarray:
        return ~self.broken.any(axis=0)

    def why_outside(self, i: int = 0) -> str:
        return "; ".join(str(limit) for limit, out in zip(TESTED, self.broken, strict=True) if out[i])


@formula(symbol="l_end", source="aisc-360-22, K1-8")
def end_distance(*, D: Length, beta: Ratio) -> Length:
    """Distance from an open end that a joint on a round tube needs; nearer, half the strength counts.

    D     outside diameter of the tube
    beta  diameter (or width) of what stands on it over the diameter of the tube
    """
    return D * (1.25 - beta / 2)


def round_strength(
    *,
    F_y,
    F_u,
    E,
    t,
    D,
    F_yb,
    t_b,
    D_b,
    l_end,
    theta=np.pi / 2,
    P=0.0,
    M_ip=0.0,
    M_op=0.0,
    U=0.0,
    cross=False,
    kind="use",
    method="ASD",
) -> RoundUse:
    """Array kernel: joints of a round branch on a round tube, SI, first axis = design. As
    `hollow_joints.face_strength`."""
    given = dict(
        F_y=F_y,
        F_u=F_u,
        E=E,
        t=t,
        D=D,
        F_yb=F_yb,
        t_b=t_b,
        D_b=D_b,
        l_end=l_end,
        theta=theta,
        P=P,
        M_ip=M_ip,
        M_op=M_op,
        U=U,
    )
    arrays = np.broadcast_arrays(
        *(np.atleast_1d(np.asarray(v, float)) for v in given.values()), np.atleast_1d(np.asarray(cross, bool))
    )
    a = dict(zip((*given, "cross"), arrays, strict=True))
    Q_f = np.minimum(stress_factor.si(np.minimum(np.abs(a["U"]), 1.0)), 1.0)
    size = {n: a[n] for n in ("F_y", "t", "D", "D_b", "theta")}
    on_walls = a["D_b"] >= a["D"] - 2 * a["t"]
    groups = (
        (
            round_wall.si(**size, Q_f=Q_f, cross=a["cross"].astype(float)),
            _unlimited(round_punching.si(**size), on_walls),
        ),
        (round_wall_in_plane.si(**size, Q_f=Q_f), _unlimited(round_punching_in_plane.si(**size), on_walls)),
        (
            round_wall_out_of_plane.si(**size, Q_f=Q_f),
            _unlimited(round_punching_out_of_plane.si(**size), on_walls),
        ),
    )
    half = np.where(a["l_end"] < end_distance.si(D=a["D"], beta=a["D_b"] / a["D"]), 0.5, 1.0)
    P_c, M_cip, M_cop = (
        half * np.min([allowable(s, kind, method) for s in group], axis=0) for group in groups
    )
    broken = np.stack([~np.asarray(limit.mask(a)) for limit in TESTED])
    with np.errstate(invalid="ignore"):
        ratio = joint_use.si(
            P_r=np.abs(a["P"]),
            P_c=P_c,
            M_ip=np.abs(a["M_ip"]),
            M_cip=M_cip,
            M_op=np.abs(a["M_op"]),
            M_cop=M_cop,
        )
    return RoundUse(np.where(broken.any(axis=0), np.nan, ratio), P_c, M_cip, M_cop, broken)
