"""How far a tube face gives under the branch that stands on it: the spring between the two bars.

The face is taken as a long plate strip on the two side walls, free to turn there (the soft bound), under the two
walls of the branch that push and pull. Levy's series for a strip under a load at one place, averaged over the lines
of load; with one load in the middle it gives Timoshenko's 0.01695 P a^2/D. Calculated joint stiffness is known to
come out too high in tests: where wobble is asked, 0.4 of it stands beside the rigid joint.

The wall of a round tube under a round branch has published formulas instead (Fessler, Mockford and Webster 1986, models of
offshore joints): flexibility as powers of diameter over wall, ratio of diameters and angle. Out of plane is recalled.

Array kernels (internal, SI).
"""

from __future__ import annotations

import numpy as np

from shopcalc.errors import InputError
from shopcalc.formula import Within, exp, formula, sin
from shopcalc.units import Angle, Length, Moment, Quantity, Ratio, Stress, magnitude

SOURCE = "plate-theory, simply supported strip by Levy's series"
TERMS = 400
# Part of the calculated stiffness that stands for a soft joint (notes of measured joints, mean 0.69, least 0.41).
SOFT = 0.4


@formula(symbol="D", source="plate-theory, plate stiffness")
def plate_stiffness(E: Stress, nu: Ratio, t: Length) -> Moment:
    """Bending stiffness of a plate per width.

    E   stiffness of the metal
    nu  Poisson's ratio
    t   thickness
    """
    return E * t**3 / (12 * (1 - nu**2))


def _sinc(x):
    return np.sinc(np.asarray(x) / np.pi)


def give_in_line(a, b, h) -> np.ndarray:
    """Turn of the branch about the axis across the chord (moment in the plane of the two bars), times D: rad per
    N m per (N m). a: width of the face between wall middles; b: branch across it; h: branch along it. (n,)"""
    a, b, h = (np.asarray(v, float)[..., None] for v in (a, b, h))
    m = np.arange(1, TERMS, 2)
    eta = m * np.pi * h / a
    shape = _sinc(m * np.pi * b / (2 * a)) ** 2 * (1 - (1 + eta) * np.exp(-eta)) / m**3
    push = a[..., 0] ** 2 / (2 * np.pi**3) * shape.sum(axis=-1)
    return 2 * push / h[..., 0] ** 2


def give_across(a, b, h) -> np.ndarray:
    """Turn of the branch about the axis along the chord (moment out of the plane), times D. Sizes as above. (n,)"""
    a, b, h = (np.asarray(v, float)[..., None] for v in (a, b, h))
    m = np.arange(2, TERMS, 2)
    k = m * np.pi * h / a
    along = 2 * (2 * k - 3 + (3 + k) * np.exp(-k)) / k**2
    shape = along * 2 * np.sin(m * np.pi * (0.5 + b / (2 * a))) ** 2 / m**3
    push = a[..., 0] ** 2 / (2 * np.pi**3) * shape.sum(axis=-1)
    return 2 * push / b[..., 0] ** 2


def face_springs(*, E, nu, t, face, across, along) -> tuple[np.ndarray, np.ndarray]:
    """Rotational stiffness (N m/rad), in line and across, of a branch on a tube face.

    t: design wall of the face; face: outside width of the face; across, along: size of the branch across the face and
    along it. A branch as wide as the face between its wall middles stands on the walls: inf.
    """
    a = np.asarray(face, float) - np.asarray(t, float)
    D = plate_stiffness.si(E=np.asarray(E, float), nu=nu, t=np.asarray(t, float))
    b = np.minimum(across, a)
    matched = np.asarray(across, float) >= a - np.asarray(t, float)
    with np.errstate(divide="ignore", invalid="ignore"):
        line, side = D / give_in_line(a, b, along), D / give_across(a, b, along)
    return np.where(matched, np.inf, line), np.where(matched, np.inf, side)


ROUND_RANGE = (
    Within("gamma", lambda gamma: gamma, low=10, high=20, source="fessler-1986, recalled"),
    Within("beta", lambda beta: beta, low=0.33, high=0.76, source="fessler-1986, recalled"),
)


@formula(symbol="f_ip", source="fessler-1986, turn in plane times E D^3 over the moment")
def round_give_in_line(*, gamma: Ratio, beta: Ratio, theta: Angle) -> Ratio:
    """How far the wall of a round tube gives under a moment of a round branch along the tube, without dimension.

    gamma  half the diameter of the tube over its wall
    beta   diameter of the branch over that of the tube
    theta  angle between branch and tube
    """
    return 134 * gamma**1.73 * exp(-4.52 * beta) * sin(theta) ** 1.22


@formula(symbol="f_op", source="fessler-1986-across, turn out of plane times E D^3 over the moment")
def round_give_across(*, gamma: Ratio, beta: Ratio, theta: Angle) -> Ratio:
    """How far the wall of a round tube gives under a moment of a round branch across the tube, without dimension.

    gamma  half the diameter of the tube over its wall
    beta   diameter of the branch over that of the tube
    theta  angle between branch and tube
    """
    return 85.5 * gamma**2.2 * exp(-3.85 * beta) * sin(theta) ** 2.16


def round_springs(*, E, t, D, D_b, theta=np.pi / 2) -> tuple[np.ndarray, np.ndarray]:
    """Rotational stiffness (N m/rad), in line and across, of a round branch of diameter D_b on a round tube of diameter D
    and design wall t. A tube thicker, or a branch wider, than the formulas were made for counts as soft as at the end of
    their range; a thinner tube and a narrower branch go on along the formulas, which is softer still."""
    E, t, D, D_b = (np.asarray(v, float) for v in (E, t, D, D_b))
    size = {
        "gamma": np.maximum(D / (2 * t), ROUND_RANGE[0].low),
        "beta": np.minimum(D_b / D, ROUND_RANGE[1].high),
        "theta": theta,
    }
    return E * D**3 / round_give_in_line.si(**size), E * D**3 / round_give_across.si(**size)


def face_spring(way: str, *, E: Quantity, nu: float, t: Quantity, face: Quantity, across: Quantity,
                along: Quantity) -> Quantity:
    """One spring with units: way "in line" or "across". InputError for another word or sizes that do not fit."""
    if way not in ("in line", "across"):
        raise InputError(field="face_spring: way", value=way, need='"in line" or "across"', example="in line")
    sizes = {n: float(magnitude(v, "m")) for n, v in (("t", t), ("face", face), ("across", across), ("along", along))}
    if min(sizes.values()) <= 0 or sizes["across"] > sizes["face"]:
        raise InputError(field="face_spring", value=f"branch {across:~P} on a face {face:~P}",
                         need="sizes over zero, a branch no wider than the face", example="2 in on 3 in")
    found = face_springs(E=float(magnitude(E, "Pa")), nu=nu, **sizes)
    return Quantity(float(found[0 if way == "in line" else 1]), "N*m/rad")
