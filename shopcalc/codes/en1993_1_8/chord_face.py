"""A square or rectangular tube on the face of another by EN 1993-1-8 section 7: chord face, side walls,
branch, punching.

A second method beside AISC chapter K: same yield lines for the chord face (so both must agree there), side
walls by a
buckling curve, straight interpolation between a width ratio of 0.85 and 1. Resistances are design values with
gamma_M5 = 1.0. The chord is index 0, the branch ("brace") index 1.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from shopcalc.formula import Within, formula, pi, sin, sqrt
from shopcalc.units import Angle, Area, Force, Length, Moment, Ratio, SectionModulus, Stress

GAMMA_M5 = 1.0
SOURCE = "en-1993-1-8"
WAYS = "a wider or thicker branch, a thicker chord, a saddle or side plates; beyond that an engineer"
NARROW = Within("beta", lambda beta: beta, low=1e-9, high=0.85, source=f"{SOURCE}, tables 7.10 and 7.14")


@formula(symbol="beta", source="en-1993-1-8, 1.5(6)")
def width_ratio(*, b_1: Length, b_0: Length) -> Ratio:
    """Width of the branch over the width of the chord.

    b_1  width of the branch
    b_0  width of the chord
    """
    return b_1 / b_0


@formula(symbol="gamma", source="en-1993-1-8, 1.5(6)")
def half_slenderness(*, b_0: Length, t_0: Length) -> Ratio:
    """Half the width of the chord over its wall.

    b_0  width of the chord
    t_0  wall of the chord
    """
    return b_0 / (2 * t_0)


@formula(symbol="n", source="en-1993-1-8, 7.2.1 and table 7.10 (read)")
def chord_stress_ratio(*, N_0: Force, A_0: Area, f_y0: Stress) -> Ratio:
    """Stress of the chord over its full yield stress.

    N_0   axial force of the chord
    A_0   area of the chord
    f_y0  yield stress of the chord, not reduced
    """
    return N_0 / (A_0 * f_y0)


@formula(symbol="f_y", source="en-1993-1-8, 7.1.1(4)")
def counted_yield(*, f_y: Stress, c: Ratio) -> Stress:
    """Yield stress that joints of high-strength tube may count.

    f_y  yield stress
    c    0.9 over 355 MPa, else 1
    """
    return c * f_y


def chord_stress_left(n: float, beta: float) -> float:
    """k_n with its bounds: what pressure along the chord leaves of its face; n pressing positive."""
    return float(np.clip(chord_stress_factor.si(n=n, beta=beta), 0.0, 1.0)) if n > 0 else 1.0


@formula(symbol="k_n", source="en-1993-1-8, table 7.10 (read)")
def chord_stress_factor(*, n: Ratio, beta: Ratio) -> Ratio:
    """What pressure along the chord leaves of its face (at most 1; 1 for a chord in tension).

    n     largest pressing stress of the chord over its yield stress
    beta  width of the branch over the width of the chord
    """
    return 1.3 - 0.4 * n / beta


@formula(symbol="N_Rd", source="en-1993-1-8, table 7.10 (read), gamma_M5 = 1.0", valid=[NARROW])
def chord_face(*, k_n: Ratio, f_y0: Stress, t_0: Length, beta: Ratio, eta: Ratio, theta: Angle) -> Force:
    """Axial resistance of a branch by folding of the chord face.

    k_n    what stress along the chord leaves
    f_y0   yield stress of the chord
    t_0    wall of the chord
    beta   width of the branch over the width of the chord
    eta    size of the branch along the chord over the width of the chord
    theta  angle between branch and chord
    """
    return k_n * f_y0 * t_0**2 / ((1 - beta) * sin(theta)) * (2 * eta / sin(theta) + 4 * sqrt(1 - beta))


@formula(symbol="N_Rd", source="en-1993-1-8, table 7.10 (read), gap K joint, gamma_M5 = 1.0")
def chord_face_gap(
    *, k_n: Ratio, f_y0: Stress, t_0: Length, beta: Ratio, gamma: Ratio, theta: Angle
) -> Force:
    """Axial resistance of a branch of a K joint with a gap by folding of the chord face.

    k_n    what stress along the chord leaves
    f_y0   yield stress of the chord
    t_0    wall of the chord
    beta   mean width of the branches over the width of the chord
    gamma  half the width of the chord over its wall
    theta  angle between branch and chord
    """
    return 8.9 * beta * sqrt(gamma) * k_n * f_y0 * t_0**2 / sin(theta)


@formula(symbol="alpha", source="en-1993-1-8, table 7.12")
def gap_share(*, g: Length, t_0: Length) -> Ratio:
    """Part of the chord face that helps the side walls in the shear of a gap.

    g    gap between the branches
    t_0  wall of the chord
    """
    return 1 / sqrt(1 + 4 * g**2 / (3 * t_0**2))


@formula(symbol="A_v", source="en-1993-1-8, table 7.12")
def gap_shear_area(*, h_0: Length, alpha: Ratio, b_0: Length, t_0: Length) -> Area:
    """Area of the chord that carries shear in a gap.

    h_0    depth of the chord
    alpha  part of the chord face that helps
    b_0    width of the chord
    t_0    wall of the chord
    """
    return (2 * h_0 + alpha * b_0) * t_0


@formula(symbol="N_Rd", source="en-1993-1-8, table 7.12, gamma_M5 = 1.0")
def chord_shear(*, f_y0: Stress, A_v: Area, theta: Angle) -> Force:
    """Axial resistance of a branch by shear of the chord beside it.

    f_y0   yield stress of the chord
    A_v    area of the chord that carries shear
    theta  angle between branch and chord
    """
    return f_y0 * A_v / (sqrt(3) * sin(theta))


@formula(symbol="b_eff", source="en-1993-1-8, table 7.10 (read)")
def effective_width(
    *, b_0: Length, t_0: Length, f_y0: Stress, f_y1: Stress, t_1: Length, b_1: Length
) -> Length:
    """Part of a wall of the branch across the chord that works (not more than the wall is wide).

    b_0   width of the chord
    t_0   wall of the chord
    f_y0  yield stress of the chord
    f_y1  yield stress of the branch
    t_1   wall of the branch
    b_1   width of the branch
    """
    return 10 * t_0 / b_0 * f_y0 * t_0 / (f_y1 * t_1) * b_1


@formula(symbol="N_Rd", source="en-1993-1-8, table 7.11, gamma_M5 = 1.0")
def branch_failure(*, f_y1: Stress, t_1: Length, h_1: Length, b_eff: Length) -> Force:
    """Axial resistance of a branch of a T, Y or X joint by its effective width.

    f_y1   yield stress of the branch
    t_1    wall of the branch
    h_1    size of the branch along the chord
    b_eff  part of a wall across that works
    """
    return f_y1 * t_1 * (2 * h_1 - 4 * t_1 + 2 * b_eff)


@formula(symbol="N_Rd", source="en-1993-1-8, table 7.12, gamma_M5 = 1.0")
def branch_failure_gap(*, f_y1: Stress, t_1: Length, h_1: Length, b_1: Length, b_eff: Length) -> Force:
    """Axial resistance of a branch of a K joint with a gap by its effective width.

    f_y1   yield stress of the branch
    t_1    wall of the branch
    h_1    size of the branch along the chord
    b_1    width of the branch
    b_eff  part of the wall across at the gap's far side that works
    """
    return f_y1 * t_1 * (2 * h_1 - 4 * t_1 + b_1 + b_eff)


@formula(symbol="N_Rd", source="en-1993-1-8, table 7.11, gamma_M5 = 1.0")
def punching(*, f_y0: Stress, t_0: Length, theta: Angle, h_1: Length, b_ep: Length) -> Force:
    """Axial resistance of a branch by punching of the chord face.

    f_y0   yield stress of the chord
    t_0    wall of the chord
    theta  angle between branch and chord
    h_1    size of the branch along the chord
    b_ep   part of a side across that punches
    """
    return f_y0 * t_0 / (sqrt(3) * sin(theta)) * (2 * h_1 / sin(theta) + 2 * b_ep)


@formula(symbol="N_Rd", source="en-1993-1-8, table 7.11, gamma_M5 = 1.0")
def side_walls(*, k_n: Ratio, f_b: Stress, t_0: Length, theta: Angle, h_1: Length) -> Force:
    """Axial resistance of a branch as wide as the chord by buckling (or yielding) of the side walls.

    k_n    what stress along the chord leaves
    f_b    stress at which a side wall gives: yield stress in pull, times chi (and 0.8 sin theta for X) in
           push
    t_0    wall of the chord
    theta  angle between branch and chord
    h_1    size of the branch along the chord
    """
    return k_n * f_b * t_0 / sin(theta) * (2 * h_1 / sin(theta) + 10 * t_0)


@formula(symbol="lambda", source="en-1993-1-8, table 7.11")
def side_wall_slenderness(*, h_0: Length, t_0: Length, theta: Angle, E: Stress, f_y0: Stress) -> Ratio:
    """Slenderness of a side wall as a column between the flats.

    h_0    depth of the chord
    t_0    wall of the chord
    theta  angle between branch and chord
    E      stiffness of the steel
    f_y0   yield stress of the chord
    """
    return 3.46 * (h_0 / t_0 - 2) * sqrt(1 / sin(theta)) / (pi * sqrt(E / f_y0))


def chi_si(slenderness, alpha: float = 0.49) -> np.ndarray:
    """Array kernel: reduction for buckling (EN 1993-1-1 6.3.1.2); alpha 0.49 is curve c of cold-formed
    tube."""
    s = np.asarray(slenderness, float)
    phi = 0.5 * (1 + alpha * (s - 0.2) + s**2)
    with np.errstate(invalid="ignore"):
        return np.where(s <= 0.2, 1.0, 1 / (phi + np.sqrt(np.maximum(phi**2 - s**2, 0))))


@formula(symbol="M_ip", source="en-1993-1-8-bending, table 7.14, gamma_M5 = 1.0", valid=[NARROW])
def chord_face_in_plane(
    *, k_n: Ratio, f_y0: Stress, t_0: Length, h_1: Length, eta: Ratio, beta: Ratio
) -> Moment:
    """Resistance to a moment along the chord by folding of its face.

    k_n   what stress along the chord leaves
    f_y0  yield stress of the chord
    t_0   wall of the chord
    h_1   size of the branch along the chord
    eta   that size over the width of the chord
    beta  width of the branch over the width of the chord
    """
    return k_n * f_y0 * t_0**2 * h_1 * (1 / (2 * eta) + 2 / sqrt(1 - beta) + eta / (1 - beta))


@formula(symbol="M_op", source="en-1993-1-8-bending, table 7.14, gamma_M5 = 1.0", valid=[NARROW])
def chord_face_out_of_plane(
    *, k_n: Ratio, f_y0: Stress, t_0: Length, h_1: Length, b_0: Length, b_1: Length, beta: Ratio
) -> Moment:
    """Resistance to a moment across the chord by folding of its face.

    k_n   what stress along the chord leaves
    f_y0  yield stress of the chord
    t_0   wall of the chord
    h_1   size of the branch along the chord
    b_0   width of the chord
    b_1   width of the branch
    beta  width of the branch over the width of the chord
    """
    return (
        k_n
        * f_y0
        * t_0**2
        * (h_1 * (1 + beta) / (2 * (1 - beta)) + sqrt(2 * b_0 * b_1 * (1 + beta) / (1 - beta)))
    )


@formula(symbol="M_ip", source="en-1993-1-8-bending, table 7.14, gamma_M5 = 1.0")
def side_walls_in_plane(*, f_yk: Stress, t_0: Length, h_1: Length) -> Moment:
    """Resistance to a moment along the chord by crushing of the side walls (branch about as wide as the
    chord).

    f_yk  yield stress of the chord; 0.8 of it in an X joint
    t_0   wall of the chord
    h_1   size of the branch along the chord
    """
    return 0.5 * f_yk * t_0 * (h_1 + 5 * t_0) ** 2


@formula(symbol="M_op", source="en-1993-1-8-bending, table 7.14, gamma_M5 = 1.0")
def side_walls_out_of_plane(*, f_yk: Stress, t_0: Length, b_0: Length, h_1: Length) -> Moment:
    """Resistance to a moment across the chord by crushing of the side walls (branch about as wide as the
    chord).

    f_yk  yield stress of the chord; 0.8 of it in an X joint
    t_0   wall of the chord
    b_0   width of the chord
    h_1   size of the branch along the chord
    """
    return f_yk * t_0 * (b_0 - t_0) * (h_1 + 5 * t_0)


@formula(symbol="M_op", source="en-1993-1-8-bending, table 7.14, gamma_M5 = 1.0")
def distortion(*, f_y0: Stress, t_0: Length, h_1: Length, b_0: Length, h_0: Length) -> Moment:
    """Resistance to a moment across the chord by distortion of the chord (T joints).

    f_y0  yield stress of the chord
    t_0   wall of the chord
    h_1   size of the branch along the chord
    b_0   width of the chord
    h_0   depth of the chord
    """
    return 2 * f_y0 * t_0 * (h_1 * t_0 + sqrt(b_0 * h_0 * t_0 * (b_0 + h_0)))


@formula(symbol="M_ip", source="en-1993-1-8-bending, table 7.14, gamma_M5 = 1.0")
def branch_in_plane(
    *, f_y1: Stress, W_1: SectionModulus, b_eff: Length, b_1: Length, h_1: Length, t_1: Length
) -> Moment:
    """Resistance to a moment along the chord by the effective width of the branch.

    f_y1   yield stress of the branch
    W_1    plastic section modulus of the branch for this bending
    b_eff  part of a wall across that works
    b_1    width of the branch
    h_1    size of the branch along the chord
    t_1    wall of the branch
    """
    return f_y1 * (W_1 - (1 - b_eff / b_1) * b_1 * h_1 * t_1)


@formula(symbol="M_op", source="en-1993-1-8-bending, table 7.14, gamma_M5 = 1.0")
def branch_out_of_plane(
    *, f_y1: Stress, W_1: SectionModulus, b_eff: Length, b_1: Length, t_1: Length
) -> Moment:
    """Resistance to a moment across the chord by the effective width of the branch.

    f_y1   yield stress of the branch
    W_1    plastic section modulus of the branch for this bending
    b_eff  part of a wall across that works
    b_1    width of the branch
    t_1    wall of the branch
    """
    return f_y1 * (W_1 - 0.5 * (1 - b_eff / b_1) ** 2 * b_1**2 * t_1)


# --- T, Y and X joints ---------------------------------------------------------------------------

_T = "en-1993-1-8, table 7.8"
TESTED = (
    Within("b_1/b_0", lambda b_1, b_0: b_1 / b_0, low=0.25, source=_T),
    Within("b_0/t_0", lambda b_0, t_0: b_0 / t_0, high=35, source=_T),
    Within("h_0/t_0", lambda h_0, t_0: h_0 / t_0, high=35, source=_T),
    Within("b_1/t_1", lambda b_1, t_1: b_1 / t_1, high=35, source=_T),
    Within("h_1/t_1", lambda h_1, t_1: h_1 / t_1, high=35, source=_T),
    Within("h_1/b_1", lambda h_1, b_1: h_1 / b_1, low=0.5, high=2.0, source=_T),
    Within("h_0/b_0", lambda h_0, b_0: h_0 / b_0, low=0.5, high=2.0, source=_T),
    Within(
        "theta in degrees", lambda theta: np.round(np.degrees(theta), 4), low=30, high=90, source="en-1993-1-8, 7.1.2"
    ),
)


@dataclass(frozen=True)
class Resistance:
    """Design resistances of T, Y or X joints, (n,) each: axial N, in plane M_ip, out of plane M_op (SI); nan
    outside."""

    N: np.ndarray
    M_ip: np.ndarray
    M_op: np.ndarray
    in_range: np.ndarray

    def use(self, N, M_ip, M_op) -> np.ndarray:
        """Shares of factored forces, added (7.5.2(5)). Array kernel."""
        return np.abs(N) / self.N + np.abs(M_ip) / self.M_ip + np.abs(M_op) / self.M_op


def resistance(
    *,
    f_y0,
    E,
    t_0,
    b_0,
    h_0,
    f_y1,
    t_1,
    b_1,
    h_1,
    W_ip,
    W_op,
    theta=np.pi / 2,
    n=0.0,
    pressing=True,
    cross=False,
) -> Resistance:
    """Array kernel: resistances of a square or rectangular branch on a chord face (tables 7.11 and 7.14), SI.

    n: largest pressing stress of the chord over its yield stress, 0 in tension. pressing: the branch pushes.
    cross: X joint.
    """
    names = ("f_y0", "E", "t_0", "b_0", "h_0", "f_y1", "t_1", "b_1", "h_1", "W_ip", "W_op", "theta", "n")
    given = (f_y0, E, t_0, b_0, h_0, f_y1, t_1, b_1, h_1, W_ip, W_op, theta, n)
    a = dict(
        zip(names, np.broadcast_arrays(*(np.atleast_1d(np.asarray(v, float)) for v in given)), strict=True)
    )
    pressing, cross = np.asarray(pressing, bool), np.asarray(cross, bool)
    beta, eta = a["b_1"] / a["b_0"], a["h_1"] / a["b_0"]
    narrow = np.minimum(beta, 0.85)
    k_n = np.where(a["n"] > 0, np.clip(chord_stress_factor.si(n=a["n"], beta=beta), 0.0, 1.0), 1.0)
    s, chord = np.sin(a["theta"]), {"f_y0": a["f_y0"], "t_0": a["t_0"]}
    face = chord_face.si(k_n=k_n, **chord, beta=narrow, eta=eta, theta=a["theta"])
    slender = side_wall_slenderness.si(h_0=a["h_0"], **chord, theta=a["theta"], E=a["E"])
    f_b = a["f_y0"] * np.where(pressing, chi_si(slender) * np.where(cross, 0.8 * s, 1.0), 1.0)
    walls = side_walls.si(k_n=k_n, f_b=f_b, t_0=a["t_0"], theta=a["theta"], h_1=a["h_1"])
    part = np.clip((beta - 0.85) / 0.15, 0.0, 1.0)
    N = face + part * (walls - face)
    b_eff = np.minimum(
        effective_width.si(b_0=a["b_0"], **chord, f_y1=a["f_y1"], t_1=a["t_1"], b_1=a["b_1"]), a["b_1"]
    )
    branch = branch_failure.si(f_y1=a["f_y1"], t_1=a["t_1"], h_1=a["h_1"], b_eff=b_eff)
    b_ep = np.minimum(10 * a["t_0"] / a["b_0"] * a["b_1"], a["b_1"])
    punch = punching.si(**chord, theta=a["theta"], h_1=a["h_1"], b_ep=b_ep)
    wide = beta > 0.85
    N = np.minimum(N, np.where(wide, branch, np.inf))
    N = np.minimum(N, np.where(wide & (beta <= 1 - 2 * a["t_0"] / a["b_0"]), punch, np.inf))
    f_yk = a["f_y0"] * np.where(cross, 0.8, 1.0)
    own = {"f_y1": a["f_y1"], "b_eff": b_eff, "b_1": a["b_1"], "t_1": a["t_1"]}
    M_ip = np.where(
        wide,
        np.minimum(
            side_walls_in_plane.si(f_yk=f_yk, t_0=a["t_0"], h_1=a["h_1"]),
            branch_in_plane.si(**own, W_1=a["W_ip"], h_1=a["h_1"]),
        ),
        chord_face_in_plane.si(k_n=k_n, **chord, h_1=a["h_1"], eta=eta, beta=narrow),
    )
    M_op = np.where(
        wide,
        np.minimum(
            side_walls_out_of_plane.si(f_yk=f_yk, t_0=a["t_0"], b_0=a["b_0"], h_1=a["h_1"]),
            branch_out_of_plane.si(**own, W_1=a["W_op"]),
        ),
        chord_face_out_of_plane.si(k_n=k_n, **chord, h_1=a["h_1"], b_0=a["b_0"], b_1=a["b_1"], beta=narrow),
    )
    M_op = np.minimum(
        M_op, np.where(cross, np.inf, distortion.si(**chord, h_1=a["h_1"], b_0=a["b_0"], h_0=a["h_0"]))
    )
    inside = np.all([limit.mask(a) for limit in TESTED], axis=0) & (beta <= 1)
    return Resistance(*(np.where(inside, v, np.nan) for v in (N, M_ip, M_op)), inside)
