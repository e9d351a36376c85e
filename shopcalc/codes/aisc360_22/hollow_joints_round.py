"""A round tube welded on a round tube, and a plate on a round tube: AISC 360-22 tables K2.1, K3.1 and K4.1.

The tube has the outside diameter D and the design wall t, the branch the diameter D_b. "In plane" turns the
branch along the tube.
"""

from __future__ import annotations

import numpy as np

from shopcalc.codes.aisc360_22.hollow_joints import CAUTIONS, near_end_moment
from shopcalc.codes.aisc360_22.joint_use import JointUse, unlimited
from shopcalc.codes.aisc360_22.point_load import near_end_strength
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


@formula(symbol="l_end", source="aisc-360-22, K1-8")
def end_distance(*, D: Length, beta: Ratio) -> Length:
    """Distance from an open end that a joint on a round tube needs; nearer, half the strength counts.

    D     outside diameter of the tube
    beta  diameter (or width) of what stands on it over the diameter of the tube
    """
    return D * (1.25 - beta / 2)


def _halved(strength, near, *, D, D_b, l_end):
    """Half of a strength where the branch stands too near an open end. near: the formula that halves it."""
    beta = diameter_ratio.si(D_b=D_b, D=D)
    return np.where(l_end < end_distance.si(D=D, beta=beta), near.si(strength), strength)


def _end_lines(steps, q):
    """Adds the lines of the ratio of diameters and of the end distance: the ratio, and True where the branch
    stands nearer to an open end."""
    beta = steps(diameter_ratio, D_b=q.D_b, D=q.D)
    return beta, q.l_end < steps(end_distance, D=q.D, beta=beta)


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
    *,
    F_y: Stress,
    t: Length,
    D: Length,
    D_b: Length,
    theta: Angle,
    l_end: Length,
    Q_f: Ratio = 1.0,
    cross: Ratio = 0.0,
):
    """Nominal axial strength of a round branch by folding of the wall of a round tube.

    F_y    yield stress of the tube
    t      design wall
    D      outside diameter of the tube
    D_b    outside diameter of the branch
    theta  angle between branch and tube
    l_end  from the branch to an open end of the tube
    Q_f    what stress along the tube leaves
    cross  1 where an equal branch stands on the opposite side
    """
    beta, gamma = diameter_ratio.si(D_b=D_b, D=D), half_slenderness.si(D=D, t=t)
    one = wall_strength_T.si(F_y=F_y, t=t, beta=beta, gamma=gamma, Q_f=Q_f, theta=theta)
    two = wall_strength_X.si(F_y=F_y, t=t, beta=beta, Q_f=Q_f, theta=theta)
    end = {"D": D, "D_b": D_b, "l_end": l_end}
    return (
        _halved(np.where(cross > 0, np.inf, one), near_end_strength, **end),
        _halved(np.where(cross > 0, two, np.inf), near_end_strength, **end),
    )


@round_wall.lines
def _(steps, q, state):
    beta, near = _end_lines(steps, q)
    if q.cross > 0:
        R_n = steps(wall_strength_X, F_y=q.F_y, t=q.t, beta=beta, Q_f=q.Q_f, theta=q.theta)
    else:
        R_n = steps(
            wall_strength_T,
            F_y=q.F_y,
            t=q.t,
            beta=beta,
            gamma=steps(half_slenderness, D=q.D, t=q.t),
            Q_f=q.Q_f,
            theta=q.theta,
        )
    if near:
        steps(near_end_strength, R_n=R_n)


@clause("AISC 360-22 K3.2", source="aisc-360-22, K3-1", gives=Force, states=("punching",), **_PUNCH)
def round_punching(*, F_y: Stress, t: Length, D: Length, D_b: Length, theta: Angle, l_end: Length):
    """Nominal axial strength of a round branch by shear through the wall of a round tube.

    F_y    yield stress of the tube
    t      design wall
    D      outside diameter of the tube
    D_b    outside diameter of the branch
    theta  angle between branch and tube
    l_end  from the branch to an open end of the tube
    """
    P_n = punching_strength.si(F_y=F_y, t=t, D_b=D_b, theta=theta)
    return (_halved(P_n, near_end_strength, D=D, D_b=D_b, l_end=l_end),)


@round_punching.lines
def _(steps, q, state):
    _, near = _end_lines(steps, q)
    R_n = steps(punching_strength, F_y=q.F_y, t=q.t, D_b=q.D_b, theta=q.theta)
    if near:
        steps(near_end_strength, R_n=R_n)


@clause("AISC 360-22 K4.2", source="aisc-360-22, K4-1", gives=Moment, states=("wall folding",), **_FACTORS)
def round_wall_in_plane(
    *, F_y: Stress, t: Length, D: Length, D_b: Length, theta: Angle, l_end: Length, Q_f: Ratio = 1.0
):
    """Nominal moment along a round tube by folding of its wall.

    F_y    yield stress of the tube
    t      design wall
    D      outside diameter of the tube
    D_b    outside diameter of the branch
    theta  angle between branch and tube
    l_end  from the branch to an open end of the tube
    Q_f    what stress along the tube leaves
    """
    beta, gamma = diameter_ratio.si(D_b=D_b, D=D), half_slenderness.si(D=D, t=t)
    M_n = wall_moment_in_plane.si(F_y=F_y, t=t, gamma=gamma, beta=beta, D_b=D_b, Q_f=Q_f, theta=theta)
    return (_halved(M_n, near_end_moment, D=D, D_b=D_b, l_end=l_end),)


@round_wall_in_plane.lines
def _(steps, q, state):
    (beta, near), gamma = _end_lines(steps, q), steps(half_slenderness, D=q.D, t=q.t)
    size = {"F_y": q.F_y, "t": q.t, "D_b": q.D_b, "theta": q.theta}
    M_n = steps(wall_moment_in_plane, **size, gamma=gamma, beta=beta, Q_f=q.Q_f)
    if near:
        steps(near_end_moment, M_n=M_n)


@clause("AISC 360-22 K4.2", source="aisc-360-22, K4-3", gives=Moment, states=("wall folding",), **_FACTORS)
def round_wall_out_of_plane(
    *, F_y: Stress, t: Length, D: Length, D_b: Length, theta: Angle, l_end: Length, Q_f: Ratio = 1.0
):
    """Nominal moment across a round tube by folding of its wall.

    F_y    yield stress of the tube
    t      design wall
    D      outside diameter of the tube
    D_b    outside diameter of the branch
    theta  angle between branch and tube
    l_end  from the branch to an open end of the tube
    Q_f    what stress along the tube leaves
    """
    beta = diameter_ratio.si(D_b=D_b, D=D)
    M_n = wall_moment_out_of_plane.si(F_y=F_y, t=t, D_b=D_b, beta=beta, Q_f=Q_f, theta=theta)
    return (_halved(M_n, near_end_moment, D=D, D_b=D_b, l_end=l_end),)


@round_wall_out_of_plane.lines
def _(steps, q, state):
    beta, near = _end_lines(steps, q)
    M_n = steps(wall_moment_out_of_plane, F_y=q.F_y, t=q.t, D_b=q.D_b, beta=beta, Q_f=q.Q_f, theta=q.theta)
    if near:
        steps(near_end_moment, M_n=M_n)


@clause("AISC 360-22 K4.2", source="aisc-360-22, K4-2", gives=Moment, states=("punching",), **_PUNCH)
def round_punching_in_plane(*, F_y: Stress, t: Length, D: Length, D_b: Length, theta: Angle, l_end: Length):
    """Nominal moment along a round tube by shear through its wall.

    F_y    yield stress of the tube
    t      design wall
    D      outside diameter of the tube
    D_b    outside diameter of the branch
    theta  angle between branch and tube
    l_end  from the branch to an open end of the tube
    """
    M_n = punching_moment_in_plane.si(F_y=F_y, t=t, D_b=D_b, theta=theta)
    return (_halved(M_n, near_end_moment, D=D, D_b=D_b, l_end=l_end),)


@round_punching_in_plane.lines
def _(steps, q, state):
    _, near = _end_lines(steps, q)
    M_n = steps(punching_moment_in_plane, F_y=q.F_y, t=q.t, D_b=q.D_b, theta=q.theta)
    if near:
        steps(near_end_moment, M_n=M_n)


@clause("AISC 360-22 K4.2", source="aisc-360-22, K4-4", gives=Moment, states=("punching",), **_PUNCH)
def round_punching_out_of_plane(
    *, F_y: Stress, t: Length, D: Length, D_b: Length, theta: Angle, l_end: Length
):
    """Nominal moment across a round tube by shear through its wall.

    F_y    yield stress of the tube
    t      design wall
    D      outside diameter of the tube
    D_b    outside diameter of the branch
    theta  angle between branch and tube
    l_end  from the branch to an open end of the tube
    """
    M_n = punching_moment_out_of_plane.si(F_y=F_y, t=t, D_b=D_b, theta=theta)
    return (_halved(M_n, near_end_moment, D=D, D_b=D_b, l_end=l_end),)


@round_punching_out_of_plane.lines
def _(steps, q, state):
    _, near = _end_lines(steps, q)
    M_n = steps(punching_moment_out_of_plane, F_y=q.F_y, t=q.t, D_b=q.D_b, theta=q.theta)
    if near:
        steps(near_end_moment, M_n=M_n)


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


WALL_FOLDS = ("wall folding", "punching")
MEANT = {
    "wall folding": "the round wall of the tube folds in under the branch",
    "wall folding between two branches": "the tube is squeezed out of round between the two branches",
    "punching": "the branch shears through the wall of the tube",
}


class RoundUse(JointUse):
    """How far joints of round branches on round tubes are used (`joint_use.JointUse`). The share of bending
    along the tube is squared (K4-5)."""

    tested = TESTED
    groups = (WALL_FOLDS, WALL_FOLDS, WALL_FOLDS)
    behind = (
        (round_wall, round_punching),
        (round_wall_in_plane, round_punching_in_plane),
        (round_wall_out_of_plane, round_punching_out_of_plane),
    )
    meant = MEANT
    powers = (1, 2, 1)
    together = joint_use
    ways = WAYS
    cautions = CAUTIONS
    source = "aisc-360-22, K3.2 and K4.2"
    tables = "AISC 360-22 tables K3.1A and K4.1A"

    def state(self, i: int = 0) -> str:
        """The limit state of the largest share of one design."""
        found = super().state(i)
        squeezed = found == "wall folding" and int(self.governing[i]) == 0 and bool(self.sizes["cross"][i])
        return "wall folding between two branches" if squeezed else found


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
    """Array kernel: how far joints of a round branch on a round tube are used, SI, broadcast, first axis =
    design.

    Tube: F_y, F_u, E, outside diameter D, design wall t. Branch: F_yb, outside diameter D_b, design wall
    t_b, theta its angle to the tube. l_end: from the branch to an open end of the tube (give the whole
    length where the end is capped and welded round). P: axial force of the branch, pull positive; M_ip,
    M_op: moments (their sign does not matter). U: how far the tube is stressed along its length at the
    joint. cross: an equal branch on the other side. kind: of load, one or one for each design.
    """
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
    a["Q_f"] = np.minimum(stress_factor.si(np.minimum(np.abs(a["U"]), 1.0)), 1.0)
    size = {n: a[n] for n in ("F_y", "t", "D", "D_b", "theta", "l_end")}
    folds = {**size, "Q_f": a["Q_f"]}
    on_walls = a["D_b"] >= a["D"] - 2 * a["t"]
    groups = (
        (
            round_wall.si(**folds, cross=a["cross"].astype(float)),
            unlimited(round_punching.si(**size), on_walls),
        ),
        (round_wall_in_plane.si(**folds), unlimited(round_punching_in_plane.si(**size), on_walls)),
        (round_wall_out_of_plane.si(**folds), unlimited(round_punching_out_of_plane.si(**size), on_walls)),
    )
    return RoundUse.of(groups, a, kind, method)
