"""Rigid-body statics: centre of gravity, and when a body on feet goes over.

Plan coordinates in metres, heights from the floor; forces in newtons; loads positive down. The body turns about
a line through two foot contacts, the edge of the outline of the feet; every edge is tried, so the worst
direction is searched. Array kernels (internal, SI); quantities only in the functions named for cases.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from shopcalc.errors import InputError
from shopcalc.formula import atan, formula
from shopcalc.units import (
    Acceleration,
    Angle,
    Force,
    Length,
    Mass,
    Moment,
    Q,
    Quantity,
    Ratio,
    magnitude,
)

SOURCE = "statics, moments about a line of contact"
HAIR = 1e-9  # metres: a load this near an edge stands on it
GRAVITY = float(magnitude(Q(1, "g_0"), "m/s**2"))  # m/s^2, the standard value of the unit file


def weight_of(mass: float) -> Quantity:
    """Weight of a mass in kg."""
    return Quantity(mass * GRAVITY, "N")


@dataclass(frozen=True)
class Outline:
    """The outline of the foot contacts: edges (k, 2, 2) and their outward normals (k, 2)."""

    edges: np.ndarray
    normals: np.ndarray


def outline(feet: np.ndarray) -> Outline:
    """Edges of the smallest convex outline round the contacts (n, 2). Raises InputError where they stand
    in one line or are fewer than three: such a body does not stand by itself."""
    feet = np.asarray(feet, dtype=float)
    if len(feet) < 3 or not np.isfinite(feet).all():
        raise InputError(field="feet", value=f"{len(feet)} contacts", need="at least three contacts on the floor")
    size = np.ptp(feet, axis=0).max()
    i, j = np.array([(a, b) for a in range(len(feet)) for b in range(len(feet)) if a != b]).T
    along = feet[j] - feet[i]
    length = np.hypot(*along.T)
    keep = length > 1e-9 * size
    i, j, along, length = i[keep], j[keep], along[keep], length[keep]
    normal = np.stack([along[:, 1], -along[:, 0]], axis=1) / length[:, None]
    out = np.einsum("ek,efk->ef", normal, feet[None] - feet[i][:, None])
    bounding = (out <= 1e-9 * size).all(axis=1)
    if not (out[bounding] < -1e-9 * size).any():
        raise InputError(field="feet", value="contacts in one line", need="contacts that are not all in one line")
    chosen = {}  # of several contacts on one edge only the outermost pair
    for e in np.nonzero(bounding)[0]:
        key = (round(normal[e, 0], 9), round(normal[e, 1], 9))
        if key not in chosen or length[e] > length[chosen[key]]:
            chosen[key] = e
    pick = sorted(chosen.values(), key=lambda e: np.arctan2(normal[e, 1], normal[e, 0]))
    return Outline(np.stack([feet[i[pick]], feet[j[pick]]], axis=1), normal[pick])


def inside_by(shape: Outline, points: np.ndarray) -> np.ndarray:
    """How far points (n, 2) lie inside each edge, (n, k); negative outside."""
    return np.einsum("ek,nek->ne", shape.normals, shape.edges[None, :, 0] - np.atleast_2d(points)[:, None])


def load_that_tips(shape: Outline, weight: float, centre, points, *, push: float = 0.0, push_height: float = 0.0,
                   slope: float = 0.0, centre_height: float = 0.0, load_height: float = 0.0, others=(), others_at=()):
    """Load at each point (n, 2) at which the body goes over, and the edge it goes over: (n,), (n,).

    weight, centre, centre_height  of the body;  load_height: of the points above the floor
    slope  of the floor as a ratio, against the body whichever edge: weight and load lean out by their height times it
    push   horizontal force at push_height, outward over the edge
    others, others_at  (m,), (m, 2): loads that are there already, at the height of the load; who stands inside an
           edge is not counted on against it
    inf where no load at the point tips it; 0 where it goes over without any load.
    """
    righting = weight * inside_by(shape, centre)[0] - push * push_height - weight * slope * centre_height
    if len(others):
        beyond = slope * load_height - inside_by(shape, np.asarray(others_at, float))
        righting = righting - (np.asarray(others, float)[:, None] * np.maximum(beyond, 0.0)).sum(axis=0)
    arm = slope * load_height - inside_by(shape, points)
    beyond = arm > HAIR
    load = np.where(beyond, np.maximum(righting, 0.0)[None] / np.where(beyond, arm, 1.0), np.inf)
    load = np.where((righting < 0)[None], 0.0, load)
    edge = load.argmin(axis=1)
    return load[np.arange(len(load)), edge], edge


def righting_ratio(shape: Outline, weight: float, centre, loads: np.ndarray, points: np.ndarray, *, push: float = 0.0,
                   push_height: float = 0.0, slope: float = 0.0, centre_height: float = 0.0, load_height: float = 0.0):
    """Righting over overturning moment for loads (m,) that act together at points (m, 2): the least ratio over
    all edges, with that edge and its two moments. A load inside an edge is not counted on: whoever it is may step off.
    A centre of gravity outside an edge overturns. push, slope and heights as in `load_that_tips`."""
    out = slope * load_height - inside_by(shape, np.atleast_2d(points))
    moments = np.asarray(loads, float)[:, None] * np.where(out > HAIR, out, 0.0)
    own = weight * inside_by(shape, centre)[0]
    righting = np.maximum(own, 0)
    overturning = np.maximum(-own, 0) + moments.sum(axis=0) + push * push_height + weight * slope * centre_height
    with np.errstate(divide="ignore"):
        ratio = np.where(overturning > 0, righting / np.where(overturning > 0, overturning, 1), np.inf)
    edge = int(ratio.argmin())
    return float(ratio[edge]), edge, float(righting[edge]), float(overturning[edge])


@dataclass(frozen=True)
class TipOrSlide:
    """Level pushes (N) at one height: which tips the body with sliding prevented, and which slides it at the least and
    the most friction. edge: the edge it tips over."""

    tips: float
    slides: tuple[float, float]
    edge: int

    @property
    def words(self) -> str:
        """What happens first, from the least to the most friction."""
        low, high = (self.tips <= s for s in self.slides)
        return "it tips before it slides" if low else "it slides before it tips" if not high else \
            "it slides on a smooth floor and tips on one that grips"


def tip_or_slide(shape: Outline, weight: float, centre, *, height: float, friction: tuple[float, float], slope: float = 0.0,
                 centre_height: float = 0.0) -> TipOrSlide:
    """Both limits of a level push at `height` (m), worst direction. friction: least and most between feet and floor;
    slope as in `load_that_tips`. A push of 0: it goes by itself."""
    righting = weight * inside_by(shape, centre)[0] - weight * slope * centre_height
    edge = int(righting.argmin())
    slides = tuple(max(weight * (mu - slope), 0.0) for mu in friction)
    return TipOrSlide(max(float(righting[edge]), 0.0) / height, slides, edge)


def lean_that_tips(shape: Outline, centre, centre_height: float) -> tuple[float, int]:
    """How far (rad) a body may lean before it goes over by itself, and over which edge; 0 where its centre of gravity is
    already beyond one."""
    inside = inside_by(shape, centre)[0]
    edge = int(inside.argmin())
    return float(np.arctan2(max(inside[edge], 0.0), centre_height)), edge


def most_on_a_foot(feet: np.ndarray, load: float, place) -> tuple[float, tuple[int, ...]]:
    """The most that one foot can get when a stiff body stands on any three of its feet (n, 2): force, and the three, the
    most loaded first. A floor that is not flat picks the three. InputError where no three of them hold the place."""
    feet = np.asarray(feet, float)
    from itertools import combinations

    best: tuple[float, tuple[int, ...]] | None = None
    for three in combinations(range(len(feet)), 3):
        rows = np.vstack([feet[list(three)].T, np.ones(3)])
        if abs(np.linalg.det(rows)) < 1e-9 * max(np.ptp(feet, axis=0).max(), 1e-9) ** 2:
            continue
        share = np.linalg.solve(rows, [*np.asarray(place, float), 1.0])
        if (share >= -1e-9).all():
            most = int(share.argmax())
            if best is None or share[most] > best[0]:
                best = float(share[most]), (three[most], *(f for f in three if f != three[most]))
    if best is None:
        raise InputError(field="most_on_a_foot: place", value=np.round(np.asarray(place, float), 3).tolist(),
                         need="a load inside the outline of the feet")
    return load * best[0], best[1]


def centre_of_gravity(masses: np.ndarray, centres: np.ndarray) -> tuple[float, np.ndarray]:
    """Total mass and centre (3,) of bodies of mass (n,) at centres (n, 3)."""
    masses = np.asarray(masses, float)
    return float(masses.sum()), (masses[:, None] * np.asarray(centres, float)).sum(axis=0) / masses.sum()


# --- one body, one edge: the lines a reviewer reads ------------------------------------------------


@formula(symbol="P", source=SOURCE)
def tipping_load(W: Force, *, g: Length, o: Length) -> Force:
    """Load beyond an edge of the feet at which the body goes over that edge.

    W  weight of the body
    g  from the edge back to the centre of gravity, level
    o  from the edge out to the load, level
    """
    return W*g/o


@formula(symbol="n", source=SOURCE)
def tipping_ratio(*, W: Force, P: Force, H: Force, g: Length, o: Length, h: Length) -> Ratio:
    """Righting over overturning moment about one edge of the feet, with a push.

    W  weight of the body
    P  load beyond the edge
    H  push outward
    g  from the edge back to the centre of gravity, level
    o  from the edge out to the load, level
    h  height of the push above the floor
    """
    return W*g/(P*o + H*h)


@formula(symbol="n", source=SOURCE)
def tipping_ratio_moments(*, M_r: Moment, M_o: Moment) -> Ratio:
    """Righting over overturning moment about one edge of the feet.

    M_r  righting moment: weights inside the edge, each times its level distance
    M_o  overturning moment: loads beyond the edge, a push at its height, the lean of a sloping floor
    """
    return M_r/M_o


@formula(symbol="P", source=SOURCE)
def push_that_slides(W: Force, mu: Ratio) -> Force:
    """Level push at which a body on feet of one friction slides.

    W   weight of the body with what stands on it
    mu  friction between feet and floor
    """
    return mu*W


@formula(symbol="P", source=SOURCE)
def push_that_tips(W: Force, *, g: Length, h: Length) -> Force:
    """Level push at which a body goes over an edge of its feet, sliding prevented.

    W  weight of the body
    g  from the edge back to the centre of gravity, level
    h  height of the push above the floor
    """
    return W*g/h


@formula(symbol="h", source=SOURCE)
def push_height_that_tips(*, W: Force, P: Force, g: Length) -> Length:
    """Height above which a given level push tips a body before it slides.

    W  weight of the body
    P  level push
    g  from the edge back to the centre of gravity, level
    """
    return W*g/P


@formula(symbol="R", source=SOURCE)
def reaction_by_lever(F: Force, *, a: Length, L: Length) -> Force:
    """Part of a load that the far one of two supports carries.

    F  load
    a  from the near support to the load
    L  between the supports
    """
    return F*a/L


@formula(symbol="W", source=SOURCE)
def weight_under(m: Mass, g: Acceleration) -> Force:
    """Weight of a mass.

    m  mass
    g  acceleration of free fall
    """
    return m*g


@formula(symbol="d", source=SOURCE)
def nearest_to_edge(*, W: Force, P: Force, g: Length, i: Length) -> Length:
    """How near to the edge of the top a load may stand before the body goes over; below nought it may hang over the edge.

    W  weight of the body
    P  load on the top
    g  from the feet back to the centre of gravity, level
    i  from the edge of the top in to the feet, level
    """
    return i - W*g/P


@formula(symbol="x", source=SOURCE)
def centre_by_weighing(*, R: Force, W: Force, L: Length) -> Length:
    """Distance of the centre of gravity from one line of supports, by weighing what the other one carries.

    R  carried by the other line of supports
    W  whole weight
    L  between the two lines
    """
    return R*L/W


@formula(symbol="W", source=SOURCE)
def weight_that_rocks(*, P: Force, l: Length, h: Length, d: Length) -> Force:
    """Weight of a square table that leans on a short leg and just rocks back under a load on the corner across from it.

    P  load on the corner that is up
    l  side of the square of the feet, and of the top
    h  height of the centre of gravity, and of the load
    d  gap under the short leg when the other three stand
    """
    return P*(l**2/(2*h*d) - 1)


@formula(symbol="phi", source=SOURCE)
def friction_angle(mu: Ratio) -> Angle:
    """Slope on which a body just slides.

    mu  friction between the body and what it stands on
    """
    return atan(mu)


def tipping_load_round(*, weight, legs: float, radius=None) -> Quantity:
    """Least load on the rim of a round top that tips it over two neighbouring legs on the rim (for cases)."""
    n = int(legs)
    turn = 2 * np.pi * np.arange(n) / n
    feet = np.stack([np.cos(turn), np.sin(turn)], axis=1)
    rim = np.linspace(0, 2 * np.pi, 720 * n, endpoint=False)
    loads, _ = load_that_tips(outline(feet), float(weight.to("N").magnitude), np.zeros(2),
                              np.stack([np.cos(rim), np.sin(rim)], axis=1))
    return Q(float(loads.min()), "N").to(weight.units)
