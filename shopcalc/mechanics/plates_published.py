"""Plates of handbooks and benchmarks, on the default grid: what references/cases/plates.toml asks of `plates`."""

from __future__ import annotations

import numpy as np

from shopcalc.errors import InputError
from shopcalc.mechanics.plates import Plate, Rigidity, Seated, alike, cells_of, grid, masses, orthotropic
from shopcalc.units import Q, magnitude

_HELD = {"simple": ("simple",) * 4, "clamped": ("clamped",) * 4, "three simple": ("free", "simple", "simple", "simple"),
         "two simple": ("simple", "simple", "free", "free")}
# "corners": free edges, held at four points


def coefficient(*, what: str, edges: str, aspect=1.0, nu=0.3, load: str = "even", cells: tuple[int, int] | None = None) -> float:
    """A coefficient of a plate of long side a = aspect * b and short side b = 1.

    what   "w": largest-place sag over q b^4/D (or P b^2/D); "alpha": the same over q b^4/(E t^3); "beta": stress at the middle over
           q b^2/t^2; "gamma": reaction along the middle of the long edge over q b; "midside": w at the middle of a free edge
    edges  "simple", "clamped", "three simple" (a short side b free: w there), "two simple", "corners"
    load   "even", "point" (in the middle), "wave": sine by sine
    """
    return _of(alike(12 * (1 - float(nu) ** 2), float(nu)), float(nu), what, edges, float(aspect), load, cells)


def orthotropic_wave(*, ratio, shear, mu_LT, a_over_h: float = 1.0) -> float:
    """100 w E_2 h^3/(q0 a^4) of a square plate, simply supported, under one wave of load; ratio E_1/E_2, shear G_12/E_2."""
    r = orthotropic(E_L=float(ratio), E_T=1.0, G=float(shear), mu_LT=float(mu_LT))
    return 100 * _of(r, 0.0, "w", "simple", 1.0, "wave", None)


def sag_in_the_middle(*, a, b, t, E, nu, edges: str, q=None, P=None):
    """Sag in the middle of a plate a x b under an even pressure q or a force P in the middle."""
    a, b, t = (float(magnitude(v, "m")) for v in (a, b, t))
    # A force at one point needs cells half as long for the third digit.
    cells = None if P is None else tuple(2 * n for n in cells_of(a, b))
    plate = Plate(grid(a, b, cells=cells), alike(float(magnitude(E, "Pa")), float(nu)), t, edges=_HELD[edges])
    load = plate.spread(float(magnitude(q, "Pa"))) if q is not None else float(magnitude(P, "N")) * plate.patch(0.0, 0.0)
    return Q(float((plate.solve(load) @ plate.rows(0, 0).T)[0, 0]), "m")


def _of(rigidity: Rigidity, nu: float, what: str, edges: str, aspect: float, load: str, cells) -> float:
    held = _HELD.get(edges, ("free",) * 4)
    if edges != "corners" and edges not in _HELD:
        raise InputError(field="edges", value=edges, need="one of " + ", ".join([*_HELD, "corners"]), example="simple")
    plate = Plate(grid(aspect, 1.0, cells=cells), rigidity, 1.0, edges=held)
    loads = {"even": lambda: plate.spread(1.0), "point": lambda: plate.patch(0, 0)[None], "wave": lambda: _wave(plate)}[load]()
    if edges == "corners":
        corner = np.array([[-aspect, -1], [aspect, -1], [aspect, 1], [-aspect, 1]]) / 2
        w = Seated(plate, plate.rows(*corner.T)).rest(loads, one_sided=False).w
    else:
        w = plate.solve(loads)
    x = -aspect / 2 if edges == "three simple" else 0.0
    sag = float((w @ plate.rows(x, 0).T)[0, 0])
    if what == "w":
        return sag
    if what == "alpha":  # D = 1 = E t^3/(12 (1 - nu^2))
        return sag * 12 * (1 - nu**2)
    if what == "midside":
        return float((w @ plate.rows(0.0, 0.5).T)[0, 0])
    if what == "beta":
        x, y = plate.readings  # the four nearest to the middle
        near = np.argsort(x**2 + y**2)[:4]
        return 6 * float(np.abs(plate.moments(w, x[near], y[near]).mean(axis=1)).max())
    if what == "gamma":
        return edge_reaction(plate, w[0], loads[0])
    raise InputError(field="what", value=what, need="w, alpha, beta, gamma or midside", example="w")


def _wave(plate: Plate) -> np.ndarray:
    """cos by cos over the plate: fine points of each cell."""
    a, b = plate.along, plate.across
    s = (np.arange(6) + 0.5) / 6
    x, y = ((way.lines[:-1, None] + way.h[:, None] * s).ravel() for way in (a, b))
    X, Y = np.meshgrid(x, y, indexing="ij")
    area = np.outer(np.repeat(a.h / 6, 6), np.repeat(b.h / 6, 6))
    q = np.cos(np.pi * X / np.ptp(a.lines)) * np.cos(np.pi * Y / np.ptp(b.lines)) * area
    return (q.ravel() @ plate.rows(X.ravel(), Y.ravel()))[None]


def edge_reaction(plate: Plate, w: np.ndarray, load: np.ndarray) -> float:
    """Reaction per length in the middle of the long front edge of a plate simply supported there: the forces that hold the same
    plate with that edge let go, spread along the edge as its cubics are."""
    free = Plate(plate.grid, plate.rigidity, plate.h, edges=(*plate.edges[:2], "free", plate.edges[3]))
    wide = np.zeros((free.along.count, free.across.count))
    wide[:, 1:] = w.reshape(plate.along.count, plate.across.count)  # the first unknown across is w on the front edge
    held = free.times(wide.ravel()[None])[0] - free.spread(1.0)[0] * (load.sum() > 0)
    held = held.reshape(free.along.count, -1)[:, 0]
    way = free.along
    line = np.linalg.solve(masses(way), held)
    i = len(way.lines) // 2
    return float(-line[way.value[i]])
