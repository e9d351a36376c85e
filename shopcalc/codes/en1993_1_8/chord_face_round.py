"""A round tube on a round tube by EN 1993-1-8 section 7.4, and a round tube on a flat face by its section
7.5.

A second method beside AISC chapter K: the same tests stand behind both, AISC prints nominal strengths, EN
design values that carry about 0.9 inside. gamma_M5 = 1.0. The chord is index 0, the branch ("brace") index
1.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from shopcalc.codes.en1993_1_8 import chord_face
from shopcalc.formula import Within, formula, frac, pi, sin, sqrt
from shopcalc.units import Angle, Area, Force, Length, Moment, Ratio, SectionModulus, Stress

SOURCE = "en-1993-1-8-round"


@formula(symbol="beta", source="en-1993-1-8, 1.5(6)")
def diameter_ratio(*, d_1: Length, d_0: Length) -> Ratio:
    """Diameter of the branch over the diameter of the chord.

    d_1  diameter of the branch
    d_0  diameter of the chord
    """
    return d_1 / d_0


@formula(symbol="gamma", source="en-1993-1-8, 1.5(6)")
def half_slenderness(*, d_0: Length, t_0: Length) -> Ratio:
    """Half the diameter of the chord over its wall.

    d_0  diameter of the chord
    t_0  wall of the chord
    """
    return d_0 / (2 * t_0)


@formula(symbol="k_p", source=f"{SOURCE}, table 7.2")
def chord_stress_factor(*, n_p: Ratio) -> Ratio:
    """What pressure along the chord leaves of its wall (at most 1; 1 for a chord in tension).

    n_p  pressing stress of the chord over its yield stress
    """
    return 1 - 0.3 * n_p * (1 + n_p)


@formula(symbol="N_Rd", source=f"{SOURCE}, table 7.2, gamma_M5 = 1.0")
def chord_face_T(*, k_p: Ratio, f_y0: Stress, t_0: Length, beta: Ratio, gamma: Ratio, theta: Angle) -> Force:
    """Axial resistance of a branch of a T or Y joint by folding of the wall of the chord.

    k_p    what stress along the chord leaves
    f_y0   yield stress of the chord
    t_0    wall of the chord
    beta   diameter of the branch over the diameter of the chord
    gamma  half the diameter of the chord over its wall
    theta  angle between branch and chord
    """
    return gamma ** frac(1, 5) * k_p * f_y0 * t_0**2 / sin(theta) * (2.8 + 14.2 * beta**2)


@formula(symbol="N_Rd", source=f"{SOURCE}, table 7.2, gamma_M5 = 1.0")
def chord_face_X(*, k_p: Ratio, f_y0: Stress, t_0: Length, beta: Ratio, theta: Angle) -> Force:
    """Axial resistance of a branch of an X joint by folding of the wall of the chord.

    k_p    what stress along the chord leaves
    f_y0   yield stress of the chord
    t_0    wall of the chord
    beta   diameter of the branch over the diameter of the chord
    theta  angle between branch and chord
    """
    return k_p * f_y0 * t_0**2 / sin(theta) * 5.2 / (1 - 0.81 * beta)


@formula(symbol="N_Rd", source=f"{SOURCE}, table 7.2, gamma_M5 = 1.0")
def punching(*, f_y0: Stress, t_0: Length, d_1: Length, theta: Angle) -> Force:
    """Axial resistance of a branch by punching of the wall of the chord.

    f_y0   yield stress of the chord
    t_0    wall of the chord
    d_1    diameter of the branch
    theta  angle between branch and chord
    """
    return f_y0 / sqrt(3) * t_0 * pi * d_1 * (1 + sin(theta)) / (2 * sin(theta) ** 2)


@formula(symbol="M_ip", source=f"{SOURCE}, table 7.5, gamma_M5 = 1.0")
def chord_face_in_plane(
    *, k_p: Ratio, f_y0: Stress, t_0: Length, d_1: Length, beta: Ratio, gamma: Ratio, theta: Angle
) -> Moment:
    """Resistance to a moment along the chord by folding of its wall.

    k_p    what stress along the chord leaves
    f_y0   yield stress of the chord
    t_0    wall of the chord
    d_1    diameter of the branch
    beta   diameter of the branch over the diameter of the chord
    gamma  half the diameter of the chord over its wall
    theta  angle between branch and chord
    """
    return 4.85 * f_y0 * t_0**2 * d_1 / sin(theta) * sqrt(gamma) * beta * k_p


@formula(symbol="M_op", source=f"{SOURCE}, table 7.5, gamma_M5 = 1.0")
def chord_face_out_of_plane(
    *, k_p: Ratio, f_y0: Stress, t_0: Length, d_1: Length, beta: Ratio, theta: Angle
) -> Moment:
    """Resistance to a moment across the chord by folding of its wall.

    k_p    what stress along the chord leaves
    f_y0   yield stress of the chord
    t_0    wall of the chord
    d_1    diameter of the branch
    beta   diameter of the branch over the diameter of the chord
    theta  angle between branch and chord
    """
    return f_y0 * t_0**2 * d_1 / sin(theta) * 2.7 / (1 - 0.81 * beta) * k_p


@formula(symbol="M_ip", source=f"{SOURCE}, table 7.5, gamma_M5 = 1.0")
def punching_in_plane(*, f_y0: Stress, t_0: Length, d_1: Length, theta: Angle) -> Moment:
    """Resistance to a moment along the chord by punching of its wall.

    f_y0   yield stress of the chord
    t_0    wall of the chord
    d_1    diameter of the branch
    theta  angle between branch and chord
    """
    return f_y0 * t_0 * d_1**2 / sqrt(3) * (1 + 3 * sin(theta)) / (4 * sin(theta) ** 2)


@formula(symbol="M_op", source=f"{SOURCE}, table 7.5, gamma_M5 = 1.0")
def punching_out_of_plane(*, f_y0: Stress, t_0: Length, d_1: Length, theta: Angle) -> Moment:
    """Resistance to a moment across the chord by punching of its wall.

    f_y0   yield stress of the chord
    t_0    wall of the chord
    d_1    diameter of the branch
    theta  angle between branch and chord
    """
    return f_y0 * t_0 * d_1**2 / sqrt(3) * (3 + sin(theta)) / (4 * sin(theta) ** 2)


_T = f"{SOURCE}, table 7.1"
TESTED = (
    Within("d_1/d_0", lambda d_1, d_0: d_1 / d_0, low=0.2, high=1.0, source=_T),
    Within(
        "d_0/t_0",
        lambda d_0, t_0, cross: d_0 / t_0 * np.where(cross, 50 / 40, 1.0),
        low=10,
        high=50,
        source=f"{_T}; 40 for X joints",
    ),
    Within("d_1/t_1", lambda d_1, t_1: d_1 / t_1, low=10, high=50, source=_T),
    Within(
        "theta in degrees",
        lambda theta: np.round(np.degrees(theta), 4),
        low=30,
        high=90,
        source="en-1993-1-8, 7.1.2",
    ),
)


@dataclass(frozen=True)
class Resistance(chord_face.Resistance):
    """Design resistances of round joints, (n,) each (SI); nan outside."""

    def use(self, N, M_ip, M_op) -> np.ndarray:
        """Shares of factored forces; that of the moment along the chord is squared (7.4.2). Array kernel."""
        return np.abs(N) / self.N + (np.abs(M_ip) / self.M_ip) ** 2 + np.abs(M_op) / self.M_op


def resistance(*, f_y0, t_0, d_0, t_1, d_1, theta=np.pi / 2, n_p=0.0, cross=False) -> Resistance:
    """Array kernel: resistances of a round branch on a round chord (tables 7.2 and 7.5), SI.

    n_p: pressing stress of the chord over its yield stress, 0 in tension. cross: X joint.
    """
    names = ("f_y0", "t_0", "d_0", "t_1", "d_1", "theta", "n_p", "cross")
    arrays = np.broadcast_arrays(
        *(np.atleast_1d(np.asarray(v, float)) for v in (f_y0, t_0, d_0, t_1, d_1, theta, n_p, cross))
    )
    a = dict(zip(names, arrays, strict=True))
    beta, gamma = a["d_1"] / a["d_0"], a["d_0"] / (2 * a["t_0"])
    k_p = np.where(a["n_p"] > 0, np.clip(chord_stress_factor.si(n_p=a["n_p"]), 0.0, 1.0), 1.0)
    chord = {n: a[n] for n in ("f_y0", "t_0", "theta")}
    own = {**chord, "d_1": a["d_1"]}
    folds = {"k_p": k_p, "beta": beta}
    N = np.where(
        a["cross"] > 0, chord_face_X.si(**chord, **folds), chord_face_T.si(**chord, **folds, gamma=gamma)
    )
    punched = a["d_1"] <= a["d_0"] - 2 * a["t_0"]
    found = (
        np.minimum(N, np.where(punched, punching.si(**own), np.inf)),
        np.minimum(
            chord_face_in_plane.si(**own, **folds, gamma=gamma),
            np.where(punched, punching_in_plane.si(**own), np.inf),
        ),
        np.minimum(
            chord_face_out_of_plane.si(**own, **folds),
            np.where(punched, punching_out_of_plane.si(**own), np.inf),
        ),
    )
    inside = np.all([limit.mask(a) for limit in TESTED], axis=0)
    return Resistance(*(np.where(inside, v, np.nan) for v in found), inside)


ON_FLAT = (
    Within("d_1/b_0", lambda d_1, b_0: d_1 / b_0, low=0.4, high=0.8, source=f"{SOURCE}, table 7.8"),
    Within("d_1/t_1", lambda d_1, t_1: d_1 / t_1, high=50, source=f"{SOURCE}, table 7.8"),
)


def resistance_on_flat(
    *, f_y0, E, t_0, b_0, h_0, f_y1, t_1, d_1, W_1, theta=np.pi / 2, n=0.0, pressing=True, cross=False
) -> chord_face.Resistance:
    """Array kernel: resistances of a round branch on the flat face of a chord, SI: force as tables 7.10 and
    7.11 say for circular braces, moments on the square that fits inside the branch (own rule, cautious)."""
    chord = dict(
        f_y0=f_y0, E=E, t_0=t_0, b_0=b_0, h_0=h_0, f_y1=f_y1, theta=theta, n=n, pressing=pressing, cross=cross
    )
    d_1, t_1, b_0 = (np.atleast_1d(np.asarray(v, float)) for v in (d_1, t_1, b_0))
    # The wall of a square stand-in is thick enough for its own range: that of the round branch is asked below.
    wall = np.maximum(t_1, d_1 / 35)
    round_one = chord_face.resistance(**chord, t_1=wall, b_1=d_1, h_1=d_1, W_ip=W_1, W_op=W_1)
    side = d_1 / np.sqrt(2)
    inside_it = chord_face.resistance(**chord, t_1=wall, b_1=side, h_1=side, W_ip=W_1, W_op=W_1)
    held = {"d_1": d_1, "t_1": t_1, "b_0": b_0}
    inside = round_one.in_range & inside_it.in_range & np.all([limit.mask(held) for limit in ON_FLAT], axis=0)
    found = (np.pi / 4 * round_one.N, inside_it.M_ip, inside_it.M_op)
    return chord_face.Resistance(*(np.where(inside, v, np.nan) for v in found), inside)


# --- a square or rectangular tube on a round one: table 7.4 ----------------------------------------

_RECALLED = "en-1993-1-8-square-on-round, table 7.4, gamma_M5 = 1.0"


@formula(symbol="N_Rd", source=_RECALLED)
def square_on_round_T(*, k_p: Ratio, f_y0: Stress, t_0: Length, beta: Ratio, eta: Ratio) -> Force:
    """Axial resistance of a square branch on one side of a round chord by folding of its wall.

    k_p   what stress along the chord leaves
    f_y0  yield stress of the chord
    t_0   wall of the chord
    beta  width of the branch over the diameter of the chord
    eta   size of the branch along the chord over the diameter of the chord
    """
    return k_p * f_y0 * t_0**2 * (4 + 20 * beta**2) * (1 + 0.25 * eta)


@formula(symbol="N_Rd", source=_RECALLED)
def square_on_round_X(*, k_p: Ratio, f_y0: Stress, t_0: Length, beta: Ratio, eta: Ratio) -> Force:
    """Axial resistance of a square branch on both sides of a round chord by folding of its wall.

    k_p   what stress along the chord leaves
    f_y0  yield stress of the chord
    t_0   wall of the chord
    beta  width of the branch over the diameter of the chord
    eta   size of the branch along the chord over the diameter of the chord
    """
    return 5 * k_p * f_y0 * t_0**2 / (1 - 0.81 * beta) * (1 + 0.25 * eta)


@formula(symbol="M_ip", source=_RECALLED)
def square_on_round_in_plane(*, N_Rd: Force, h_1: Length) -> Moment:
    """Resistance to a moment along a round chord.

    N_Rd  axial resistance
    h_1   size of the branch along the chord
    """
    return h_1 * N_Rd


@formula(symbol="M_op", source=_RECALLED)
def square_on_round_out_of_plane(*, N_Rd: Force, b_1: Length) -> Moment:
    """Resistance to a moment across a round chord.

    N_Rd  axial resistance
    b_1   width of the branch
    """
    return 0.5 * b_1 * N_Rd


@formula(symbol="u", source=_RECALLED)
def square_on_round_punching(
    *, N: Force, A: Area, M: Moment, W: SectionModulus, t_1: Length, t_0: Length, f_y0: Stress
) -> Ratio:
    """How far the wall of a round chord is punched by the largest stress of a square branch.

    N     axial force of the branch
    A     its area
    M     its moment
    W     its elastic section modulus for that moment
    t_1   wall of the branch
    t_0   wall of the chord
    f_y0  yield stress of the chord
    """
    return (N / A + M / W) * t_1 / (t_0 * f_y0 / sqrt(3))


SQUARE_TESTED = (
    Within(
        "b_1/d_0",
        lambda b_1, d_0: b_1 / d_0,
        low=0.4,
        high=1.0,
        source="en-1993-1-8-square-on-round, table 7.4",
    ),
    Within("h_1/d_0", lambda h_1, d_0: h_1 / d_0, high=4.0, source="en-1993-1-8-square-on-round, table 7.4"),
    *(limit for limit in TESTED if "d_1" not in limit.names and "theta" not in limit.names),
)


def square_on_round_use(
    *, f_y0, t_0, d_0, b_1, h_1, t_1, A_1, W_ip, W_op, N, M_ip, M_op, n_p=0.0, cross=False
) -> np.ndarray:
    """Array kernel: how far the wall of a round chord is used by factored forces of a square branch that
    stands square on it (table 7.4, shares added), SI, (n,); nan outside its range."""
    names = (
        "f_y0",
        "t_0",
        "d_0",
        "b_1",
        "h_1",
        "t_1",
        "A_1",
        "W_ip",
        "W_op",
        "N",
        "M_ip",
        "M_op",
        "n_p",
        "cross",
    )
    given = (f_y0, t_0, d_0, b_1, h_1, t_1, A_1, W_ip, W_op, N, M_ip, M_op, n_p, cross)
    a = dict(
        zip(names, np.broadcast_arrays(*(np.atleast_1d(np.asarray(v, float)) for v in given)), strict=True)
    )
    k_p = np.where(a["n_p"] > 0, np.clip(chord_stress_factor.si(n_p=a["n_p"]), 0.0, 1.0), 1.0)
    folds = dict(k_p=k_p, f_y0=a["f_y0"], t_0=a["t_0"], beta=a["b_1"] / a["d_0"], eta=a["h_1"] / a["d_0"])
    N_Rd = np.where(a["cross"] > 0, square_on_round_X.si(**folds), square_on_round_T.si(**folds))
    N, M_ip, M_op = (np.abs(a[n]) for n in ("N", "M_ip", "M_op"))
    shares = (
        N / N_Rd
        + M_ip / square_on_round_in_plane.si(N_Rd=N_Rd, h_1=a["h_1"])
        + M_op / square_on_round_out_of_plane.si(N_Rd=N_Rd, b_1=a["b_1"])
    )
    wall = dict(A=a["A_1"], t_1=a["t_1"], t_0=a["t_0"], f_y0=a["f_y0"])
    punched = square_on_round_punching.si(N=N, M=M_ip, W=a["W_ip"], **wall) + square_on_round_punching.si(
        N=0.0 * N, M=M_op, W=a["W_op"], **wall
    )
    inside = np.all([limit.mask(a) for limit in SQUARE_TESTED], axis=0)
    return np.where(inside, np.maximum(shares, punched), np.nan)
