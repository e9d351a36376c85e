"""Flat weld groups loaded in their plane by the method of the instantaneous centre: reported beside the
elastic sum.

The part turns about one point; every bit of weld is strained in proportion to its distance from it and
answers by the load-deformation curve of AISC 360 (2005 to 2016; the 2022 text points to the Manual):

    D_u = 1.087 w (theta + 6)^-0.65 <= 0.17 w     D_m = 0.209 w (theta + 2)^-0.32     p = D / D_m
    r = 0.60 FEXX t_e (1 + 0.50 sin^1.5 theta) [p (1.9 - 0.9 p)]^0.3

The bit that first reaches D_u sets the scale. Never for a weld at the end of a square or rectangular tube:
there the increase for direction is not allowed (J2.4(a)(2)) and the face does not stay stiff.

Kernels work on SI floats, first axis = design.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from shopcalc.errors import InputError
from shopcalc.formula import Within, formula, frac
from shopcalc.joints import weld_groups, welds
from shopcalc.joints.weld_groups import Group
from shopcalc.units import Q, Ratio, magnitude

BITS = 60
_STEPS, _SMALL = 80, 1e-10
SOURCE = "aisc-360-16, J2.4(b), instantaneous centre"


ANGLES = Within("theta", lambda theta: theta, low=0, high=90)


@formula(symbol="D_u/w", source=SOURCE, valid=[ANGLES])
def most_strain(theta: Ratio) -> Ratio:
    """Deformation over leg at which a fillet tears, never over 0.17.

    theta  angle between the force on the bit and the length of the weld, in degrees as the curve was fitted
    """
    return 1.087 * (theta + 6) ** frac(-13, 20)


@formula(symbol="D_m/w", source=SOURCE, valid=[ANGLES])
def strain_at_most_force(theta: Ratio) -> Ratio:
    """Deformation over leg at which a fillet carries most.

    theta  angle between the force on the bit and the length of the weld, in degrees as the curve was fitted
    """
    return 0.209 * (theta + 2) ** frac(-8, 25)


@formula(symbol="f", source=SOURCE, valid=[Within("p", lambda p: p, low=0, high=1.9 / 0.9)])
def share_of_most(p: Ratio) -> Ratio:
    """What a bit carries of its most, by its deformation.

    p  deformation over the one at which it carries most
    """
    return (p * (1.9 - 0.9 * p)) ** frac(3, 10)


STRAIN_CAP = 0.17


@dataclass(frozen=True)
class Centre:
    """One load direction, (n,): `strength` how many times the given load the group carries (nominal); where
    it turns, (n, 2)
    in the group's x and y (far away where the load passes the centroid); `found` False where no balance was
    reached."""

    strength: np.ndarray
    centre: np.ndarray
    found: np.ndarray


def in_plane(
    group: Group, F, M, at=(0.0, 0.0, 0.0), *, per_length, directional: bool = True, bits: int = BITS
) -> Centre:
    """Strength of a flat group (in the plane z = 0) under a load in its plane. SI, first axis = design.

    F, M, at     force (only x, y), moment (only z) and where they act, as in `weld_groups.elastic`
    per_length   nominal strength of a bit along the weld, N/m: 0.60 FEXX t_e
    directional  False: every bit as if it were pulled along its length, without an increase
    """
    F, M, at = (np.atleast_2d(np.asarray(v, float)) for v in (F, M, at))
    if np.abs(group.lines[..., 2]).max(initial=0) + np.abs(group.arcs[..., 2]).max(initial=0) > 1e-9:
        raise InputError(
            field="instantaneous centre",
            value="a group in space",
            need="a flat group in the plane z = 0",
            example="in_plane(c_shape(0.05, 0.1), ...)",
        )
    if np.abs(F[..., 2]).max() > 0 or np.abs(M[..., :2]).max() > 0:
        raise InputError(
            field="instantaneous centre",
            value="a force square to the plane, or a moment out of it",
            need="a load in the plane of the weld; out of it the elastic method stands alone",
            example="F = (0, 1000, 0), M = (0, 0, 50)",
        )
    n = max(len(group.lines), len(F), len(M))
    c = group.centroid
    twist = (M + np.cross(at - c, F))[..., 2]
    points, along, span = (np.broadcast_to(v, (n, *v.shape[1:])) for v in group.points(bits))
    xy = (points - np.broadcast_to(c, (n, 3))[:, None, :])[..., :2]
    L = span.sum(axis=-1)
    size = np.sqrt((span * (xy**2).sum(axis=-1)).sum(axis=-1) / L)
    load = np.stack([*np.broadcast_arrays(F[..., 0], F[..., 1], twist)], axis=-1) * np.ones((n, 1))
    load[:, 2] /= size
    if not (np.linalg.norm(load, axis=-1) > 0).all():
        raise InputError(
            field="instantaneous centre",
            value="no load",
            need="a force or a twist",
            example="F = (0, 1000, 0)",
        )
    unit = load / np.linalg.norm(load, axis=-1, keepdims=True)
    r = float(per_length) if np.ndim(per_length) == 0 else np.asarray(per_length, float)[:, None]

    def answer(v):
        """Force (x, y, twist over size) with which the group meets a displacement v, at its most."""
        move = v[:, None, :2] + v[:, None, 2:] / size[:, None, None] * np.stack(
            [-xy[..., 1], xy[..., 0]], axis=-1
        )
        far = np.linalg.norm(move, axis=-1)
        way = move / np.where(far > 0, far, 1.0)[..., None]
        if directional:
            theta = np.arccos(np.clip(np.abs((way * along[..., :2]).sum(axis=-1)), 0.0, 1.0))
            gain = welds.directional_factor.si(theta=theta)
        else:
            theta, gain = np.zeros_like(far), 1.0
        degrees = np.degrees(theta)
        tears, peak = (
            np.minimum(most_strain.si(theta=degrees), STRAIN_CAP),
            strain_at_most_force.si(theta=degrees),
        )
        with np.errstate(divide="ignore"):
            scale = np.where(span > 0, tears / np.where(far > 0, far, 1e-300), np.inf).min(axis=-1)
        strained = np.where(span > 0, scale[:, None] * far / peak, 1.0)  # a run without length counts nothing
        f = r * gain * share_of_most.si(p=strained) * span
        x, y = f * way[..., 0], f * way[..., 1]
        return np.stack(
            [x.sum(axis=-1), y.sum(axis=-1), (xy[..., 0] * y - xy[..., 1] * x).sum(axis=-1) / size], axis=-1
        )

    v, miss = _balance(answer, unit)
    force = np.linalg.norm(answer(v), axis=-1) / np.linalg.norm(load, axis=-1)
    turn = np.where(np.abs(v[:, 2]) > 1e-9, v[:, 2], 1e-9)
    centre = c[..., :2] + size[:, None] * np.stack([-v[:, 1], v[:, 0]], axis=-1) / turn[:, None]
    return Centre(force, centre, miss < 1e-6)


def _balance(answer, unit) -> tuple[np.ndarray, np.ndarray]:
    """Displacement whose answer points along `unit`, (n, 3), by damped Newton steps on the sphere; and what
    is missed."""
    v = unit.copy()

    def miss(w):
        a = answer(w)
        return a / np.linalg.norm(a, axis=-1, keepdims=True) - unit

    g = miss(v)
    size = np.linalg.norm(g, axis=-1)
    for _ in range(_STEPS):
        if (size < _SMALL).all():
            break
        # two directions square to v
        axis = np.eye(3)[np.abs(v).argmin(axis=-1)]
        e1 = np.cross(v, axis)
        e1 /= np.linalg.norm(e1, axis=-1, keepdims=True)
        e2 = np.cross(v, e1)
        h = 1e-6
        J = np.stack([(miss(_unit(v + h * e)) - g) / h for e in (e1, e2)], axis=-1)
        step, *_ = _least_squares(J, -g)
        best_v, best_g, best = v, g, size
        for share in (1.0, 0.5, 0.25, 0.1, 0.03, 0.01):
            trial = _unit(
                v
                + share * np.clip(step[:, :1], -0.5, 0.5) * e1
                + share * np.clip(step[:, 1:], -0.5, 0.5) * e2
            )
            new = miss(trial)
            s = np.linalg.norm(new, axis=-1)
            better = (s < best)[:, None]
            best_v, best_g, best = (
                np.where(better, trial, best_v),
                np.where(better, new, best_g),
                np.minimum(s, best),
            )
        stuck = best >= size
        v, g, size = best_v, best_g, best
        if stuck.all():
            break
    return v, size


def _unit(v):
    return v / np.linalg.norm(v, axis=-1, keepdims=True)


def _least_squares(J, b):
    A = np.einsum("nki,nkj->nij", J, J) + 1e-14 * np.eye(2)
    return (np.linalg.solve(A, np.einsum("nki,nk->ni", J, b)[..., None])[..., 0],)


def group_strength(group: Group, F, M, at=(0.0, 0.0, 0.0), *, per_length) -> np.ndarray:
    """How many times the load the group carries (nominal), (n,): the greater of the two sums that J2.4(b)
    names for a
    group with welds along and across: with the increase for direction, or every weld at its strength along
    its length."""
    both = [in_plane(group, F, M, at, per_length=per_length, directional=d) for d in (True, False)]
    return np.fmax(*(np.where(b.found, b.strength, np.nan) for b in both))  # either may be taken alone


# --- coefficients of the Manual's tables ----------------------------------------------------------


def coefficient(shape: str, k: float, a: float) -> float:
    """Coefficient C of the Manual's tables for eccentric loads: nominal strength (kip) of a group of E70
    fillets of one
    sixteenth, with lines of one inch.

    shape  "C" (upright line, two legs of k to one side) or "two lines" (k apart);  a: distance of the load
           from the
           centroid, the load parallel to the upright line
    """
    if shape not in ("C", "two lines"):
        raise InputError(field="coefficient: shape", value=shape, need='"C" or "two lines"', example='"C"')
    inch = welds.INCH
    if shape == "C":
        group = weld_groups.c_shape(k * inch, inch)
    else:
        half = k * inch / 2
        group = weld_groups.join(
            *(weld_groups.polyline([(x, -inch / 2, 0), (x, inch / 2, 0)]) for x in (-half, half))
        )
    throat = float(welds.throat_equal_legs.si(w=inch / 16))
    per_length = float(welds.strength_weld_metal.si(FEXX=magnitude(Q(70.0, "ksi"), "Pa"), t_e=throat))
    place = group.centroid + np.array([[a * inch, 0.0, 0.0]])
    found = in_plane(group, (0.0, 1.0, 0.0), (0.0, 0.0, 0.0), place, per_length=per_length)
    if not found.found[0]:
        raise InputError(
            field="coefficient",
            value=f"{shape}, k = {k}, a = {a}",
            need="a group that finds its balance",
            example='coefficient("C", 1.0, 0.5)',
        )
    return float(magnitude(Q(float(found.strength[0]), "N"), "kip"))
