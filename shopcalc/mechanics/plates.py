"""Bending of thin flat plates, alike or unlike in two directions: wood tops on seats, and the plates of the handbooks.

A plate is cut into a grid of cells; on each the deflection is the product of two cubics (one of x, one of y), which join
without a kink: on a grid the stiffness is a sum of products of one-dimensional matrices, one for each stiffness of the
material, free of thickness. Pockets, cut-outs and undercut edges scale the blocks of their cells; a curved outline cuts
cells, which are then integrated over what is left of them; a joint line is a line of the grid at which the slope may jump
against a spring.

SI arrays, first axis = load case. Deflection w is positive down; sagging moment positive (tension underneath); forces of
seats on the plate positive up. Thin plates: no shear deflection, sag under half the thickness (beyond it the plate also
stretches, and the numbers are high).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from shopcalc.errors import InputError
from shopcalc.mechanics.contact import complementary
from shopcalc.mechanics.frames.dense import one_thread

CELLS = (18, 10)
EDGES = ("free", "simple", "clamped")
# What is cut away keeps this part of the stiffness of a full cell, so that no corner of the grid hangs loose.
NOTHING = 1e-6
_GAUSS, _WEIGHTS = np.polynomial.legendre.leggauss(4)
_GAUSS, _WEIGHTS = (_GAUSS + 1) / 2, _WEIGHTS / 2
_FINE, _FINE_WEIGHTS = np.polynomial.legendre.leggauss(8)
_FINE, _FINE_WEIGHTS = (_FINE + 1) / 2, _FINE_WEIGHTS / 2


@dataclass(frozen=True)
class Rigidity:
    """Bending stiffness over thickness cubed (Pa), in the axes of the plate: times h^3 it is D (N m)."""

    d11: float
    d12: float
    d22: float
    d66: float
    d16: float = 0.0
    d26: float = 0.0

    @cached_property
    def matrix(self) -> np.ndarray:
        """(3, 3): moments Mx, My, Mxy over -h^3 from w_xx, w_yy, 2 w_xy."""
        return np.array([[self.d11, self.d12, self.d16], [self.d12, self.d22, self.d26], [self.d16, self.d26, self.d66]])


def orthotropic(*, E_L: float, E_T: float, G: float, mu_LT: float, grain: float = 0.0) -> Rigidity:
    """A plate whose grain runs at the angle `grain` (rad) from x. mu_TL follows from reciprocity.

    Raises InputError where the four do not belong to a material: mu_LT^2 E_T/E_L reaches 1, or a stiffness is not positive.
    """
    if min(E_L, E_T, G) <= 0 or not np.isfinite([E_L, E_T, G, mu_LT]).all():
        raise InputError(field="orthotropic", value=(E_L, E_T, G, mu_LT), need="stiffnesses over nought")
    rest = 1 - mu_LT**2 * E_T / E_L
    if not 0 < rest <= 1:
        raise InputError(field="orthotropic: mu_LT", value=mu_LT, need=f"under {np.sqrt(E_L / E_T):.3g} for this E_L and E_T",
                         example="0.45")
    q11, q22, q12, q66 = E_L / rest, E_T / rest, mu_LT * E_T / rest, G
    c, s = np.cos(grain), np.sin(grain)
    if abs(s) < 1e-12:
        return Rigidity(q11 / 12, q12 / 12, q22 / 12, q66 / 12)
    both = q12 + 2 * q66
    return Rigidity(
        d11=(q11 * c**4 + 2 * both * c**2 * s**2 + q22 * s**4) / 12,
        d22=(q11 * s**4 + 2 * both * c**2 * s**2 + q22 * c**4) / 12,
        d12=((q11 + q22 - 4 * q66) * c**2 * s**2 + q12 * (c**4 + s**4)) / 12,
        d66=((q11 + q22 - 2 * q12 - 2 * q66) * c**2 * s**2 + q66 * (c**4 + s**4)) / 12,
        d16=((q11 - q12 - 2 * q66) * c**3 * s - (q22 - q12 - 2 * q66) * c * s**3) / 12,
        d26=((q11 - q12 - 2 * q66) * c * s**3 - (q22 - q12 - 2 * q66) * c**3 * s) / 12)


def alike(E: float, nu: float) -> Rigidity:
    """A plate alike in all directions."""
    return orthotropic(E_L=E, E_T=E, G=E / (2 * (1 + nu)), mu_LT=nu)


# --- grid ----------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Grid:
    """Lines x and y of the grid (m), rising; `hinges`: joint lines, each ("x" or "y", place, spring per length in N m/rad/m):
    "y" is a line y = place along the table."""

    x: tuple[float, ...]
    y: tuple[float, ...]
    hinges: tuple[tuple[str, float, float], ...] = ()

    @property
    def shape(self) -> tuple[int, int]:
        return len(self.x) - 1, len(self.y) - 1


def cells_of(length: float, width: float) -> tuple[int, int]:
    """The default number of cells along and across: cells not much longer than wide, an even number both ways."""
    if length < width:
        return cells_of(width, length)[::-1]
    return int(np.clip(2 * np.ceil(4.5 * length / width), CELLS[0], 60)), CELLS[1]


def grid(length: float, width: float, *, x: Sequence[float] = (), y: Sequence[float] = (), cells: tuple[int, int] | None = None,
         hinges: Sequence[tuple[str, float, float]] = ()) -> Grid:
    """A grid over a rectangle round the origin, with a line at every given x and y (edges of pockets, joint lines)."""
    for which, place, spring in hinges:
        if which not in ("x", "y") or not abs(place) < (length if which == "x" else width) / 2 or not spring > 0:
            raise InputError(field="grid: hinges", value=(which, place, spring), example='("y", 0.0, 5e4)',
                             need='"x" or "y", a place within the plate, and a spring over nought')
    cells = cells_of(length, width) if cells is None else cells
    lines = {"x": [*x, *(p for w, p, _ in hinges if w == "x")], "y": [*y, *(p for w, p, _ in hinges if w == "y")]}
    return Grid(_lines(length, lines["x"], cells[0]), _lines(width, lines["y"], cells[1]), tuple(hinges))


def _lines(size: float, wanted: Sequence[float], cells: int) -> tuple[float, ...]:
    hair = 1e-6 * size
    fixed = [-size / 2]
    for place in sorted(p for p in wanted if abs(p) < size / 2 - hair):
        if place - fixed[-1] > hair:
            fixed.append(place)
    fixed.append(size / 2)
    found = [fixed[0]]
    for a, b in zip(fixed, fixed[1:], strict=False):
        count = max(1, round((b - a) / size * cells + 0.2))
        found += list(np.linspace(a, b, count + 1)[1:])
    return tuple(float(v) for v in found)


@dataclass(frozen=True)
class _Way:
    """One direction: unknowns (w, slope) at each line, two slopes at a hinge; `of` (cells, 4) their numbers, -1 where held."""

    lines: np.ndarray
    of: np.ndarray
    count: int
    value: np.ndarray  # (lines,) number of w at each line
    jumps: tuple[tuple[int, int, float], ...]  # slope before, slope after, spring

    @property
    def h(self) -> np.ndarray:
        return np.diff(self.lines)


def _way(lines: tuple[float, ...], hinges: list[tuple[float, float]], first: str, last: str) -> _Way:
    x = np.array(lines)
    n = len(x) - 1
    spring = {int(np.abs(x - place).argmin()): k for place, k in hinges}
    value, before, after = np.full((3, n + 1), -1)
    number, jumps = 0, []
    for i in range(n + 1):
        held = first if i == 0 else last if i == n else "free"
        if held == "free":
            value[i], number = number, number + 1
        if held != "clamped":
            before[i] = after[i] = number
            number += 1
        if i in spring:
            after[i], number = number, number + 1
            jumps.append((int(before[i]), int(after[i]), spring[i]))
    of = np.stack([value[:-1], after[:-1], value[1:], before[1:]], axis=1)
    return _Way(x, of, number, value, tuple(jumps))


def _cubics(s: np.ndarray, h: np.ndarray, order: int) -> np.ndarray:
    """The four cubics of a cell at parts s of its length h, or their derivative: (..., 4)."""
    s, h = np.broadcast_arrays(np.asarray(s, float), np.asarray(h, float))
    rows = {0: (1 - 3*s**2 + 2*s**3, h*(s - 2*s**2 + s**3), 3*s**2 - 2*s**3, h*(s**3 - s**2)),
            1: ((6*s**2 - 6*s) / h, 1 - 4*s + 3*s**2, (6*s - 6*s**2) / h, 3*s**2 - 2*s),
            2: ((12*s - 6) / h**2, (6*s - 4) / h, (6 - 12*s) / h**2, (6*s - 2) / h)}
    return np.stack(rows[order], axis=-1)


def masses(way: _Way) -> np.ndarray:
    """(count, count) integrals of the product of the cubics along a whole line."""
    found = np.zeros((way.count, way.count))
    for numbers, block in zip(way.of, _products(way.h)[0, 0], strict=True):
        on = numbers >= 0
        found[np.ix_(numbers[on], numbers[on])] += block[np.ix_(on, on)]
    return found


def _products(h: np.ndarray) -> dict[tuple[int, int], np.ndarray]:
    """(cells, 4, 4) integrals over each cell of the product of derivatives a and b, for all a and b up to 2."""
    at = {a: _cubics(_GAUSS, h[:, None], a) for a in range(3)}
    return {(a, b): np.einsum("q,e,eqi,eqj->eij", _WEIGHTS, h, at[a], at[b]) for a in range(3) for b in range(3)}


# Stiffness -> products of derivatives along x and y that it multiplies in the energy.
_PARTS = {"d11": (((2, 2), (0, 0), 1),), "d22": (((0, 0), (2, 2), 1),), "d12": (((2, 0), (0, 2), 1), ((0, 2), (2, 0), 1)),
          "d66": (((1, 1), (1, 1), 4),), "d16": (((2, 1), (0, 1), 2), ((1, 2), (1, 0), 2)),
          "d26": (((0, 1), (2, 1), 2), ((1, 0), (1, 2), 2))}


@dataclass(frozen=True)
class Outline:
    """A curved outline: for x its lower and upper y (arrays in, arrays out); the same where nothing is."""

    limits: Callable[[np.ndarray], tuple[np.ndarray, np.ndarray]]

    def holds(self, x, y, inset: float = 0.0) -> np.ndarray:
        low, high = self.limits(np.asarray(x, float))
        return (np.asarray(y) >= low + inset) & (np.asarray(y) <= high - inset)


def oval(length: float, width: float) -> Outline:
    """An ellipse; a round plate where both are the same."""
    def limits(x):
        half = width / 2 * np.sqrt(np.maximum(1 - (2 * x / length) ** 2, 0.0))
        return -half, half

    return Outline(limits)


def boat(length: float, width: float, end_width: float) -> Outline:
    """Long sides bowed by a parabola, square ends."""
    def limits(x):
        half = width / 2 - (width - end_width) / 2 * (2 * x / length) ** 2
        return -half, half

    return Outline(limits)


def rounded(length: float, width: float, radius: float) -> Outline:
    """A rectangle with round corners."""
    def limits(x):
        over = np.maximum(np.abs(x) - (length / 2 - radius), 0.0)
        half = width / 2 - radius + np.sqrt(np.maximum(radius**2 - over**2, 0.0))
        return -half, half

    return Outline(limits)


# --- plate ---------------------------------------------------------------------------------------


class Plate:
    """A plate: grid, rigidity, thickness (one, or one for each cell: (nx, ny); 0 where it is cut through), edges held.

    edges    how left, right, front (low y) and back are held: "free", "simple" or "clamped"
    outline  a curved outline inside the rectangle of the grid
    Its factor is made once, when it is first asked.
    """

    def __init__(self, grid: Grid, rigidity: Rigidity, thickness, *, edges: Sequence[str] = ("free",) * 4,
                 outline: Outline | None = None):
        h = np.broadcast_to(np.asarray(thickness, float), grid.shape)
        if len(edges) != 4 or any(e not in EDGES for e in edges):
            raise InputError(field="Plate: edges", value=tuple(edges), need="four of " + ", ".join(EDGES),
                             example='("simple", "simple", "free", "free")')
        if not np.isfinite(h).all() or h.min() < 0 or h.max() <= 0:
            raise InputError(field="Plate: thickness", value=thickness, need="thicknesses over nought (nought where it is cut through)")
        self.grid, self.rigidity, self.h, self.edges, self.outline = grid, rigidity, h, tuple(edges), outline
        self.along = _way(grid.x, [(p, k) for w, p, k in grid.hinges if w == "x"], edges[0], edges[1])
        self.across = _way(grid.y, [(p, k) for w, p, k in grid.hinges if w == "y"], edges[2], edges[3])
        self.size = self.along.count * self.across.count

    # --- stiffness

    @cached_property
    def _numbers(self) -> np.ndarray:
        """(nx, ny, 16) number of each unknown of each cell, -1 where held."""
        a, b = self.along.of[:, None, :, None], self.across.of[None, :, None, :]
        return np.where((a < 0) | (b < 0), -1, a * self.across.count + b).reshape(*self.grid.shape, 16)

    @cached_property
    def _cut(self) -> tuple[np.ndarray, np.ndarray] | None:
        """Cells that the outline crosses or leaves out, (c,) each."""
        if self.outline is None:
            return None
        whole = np.ones(self.grid.shape, bool)
        x, y = self.along.lines, self.across.lines
        for part in np.linspace(0, 1, 9):
            low, high = self.outline.limits(x[:-1] + part * self.along.h)
            whole &= (low[:, None] <= y[:-1] + 1e-12) & (high[:, None] >= y[1:] - 1e-12)
        return np.nonzero(~whole)

    @cached_property
    def _left(self) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """What is left of the cut cells: parts of the cell sx, sy (c, q) and areas (c, q) of points to integrate by."""
        i, j = self._cut
        hx, hy, y0 = self.along.h[i], self.across.h[j], self.across.lines[j]
        x = self.along.lines[i][:, None] + hx[:, None] * _FINE
        low, high = (np.clip(v, y0[:, None], (y0 + hy)[:, None]) for v in self.outline.limits(x))
        high = np.maximum(high, low)
        y = low[..., None] + (high - low)[..., None] * _GAUSS
        area = (hx[:, None] * _FINE_WEIGHTS * (high - low))[..., None] * _WEIGHTS
        sy = (y - y0[:, None, None]) / hy[:, None, None]
        sx = np.broadcast_to(_FINE[None, :, None], sy.shape)
        return tuple(v.reshape(len(i), -1) for v in (sx, sy, area))

    @cached_property
    def area(self) -> np.ndarray:
        """(nx, ny) area of each cell within the outline."""
        found = np.outer(self.along.h, self.across.h)
        if self._cut is not None:
            found[self._cut] = self._left[2].sum(axis=1)
        return found

    def _blocks(self) -> np.ndarray:
        """(nx, ny, 16, 16) stiffness of the cells for a thickness of one."""
        X, Y = _products(self.along.h), _products(self.across.h)
        nx, ny = self.grid.shape
        K = np.zeros((nx, ny, 4, 4, 4, 4))
        for name, parts in _PARTS.items():
            d = getattr(self.rigidity, name)
            if d:
                for a, b, times in parts:
                    K += np.einsum("eij,fkl->efikjl", d * times * X[a], Y[b])
        K = K.reshape(nx, ny, 16, 16)
        if self._cut is not None:
            i, j = self._cut
            sx, sy, area = self._left
            hx, hy = self.along.h[i][:, None], self.across.h[j][:, None]
            B = np.stack([_outer(_cubics(sx, hx, a), _cubics(sy, hy, b)) * f for a, b, f in ((2, 0, 1), (0, 2, 1), (1, 1, 2))], axis=2)
            DB = np.einsum("rs,cqsn->cqrn", self.rigidity.matrix, B) * area[..., None, None]
            flat = B.shape[0], -1, 16
            K[i, j] = NOTHING * K[i, j] + np.swapaxes(B.reshape(flat), 1, 2) @ DB.reshape(flat)
        return K

    @cached_property
    def _band(self) -> np.ndarray:
        cube = np.maximum(self.h, NOTHING ** (1 / 3) * self.h.max()) ** 3
        K = self._blocks() * cube[..., None, None]
        numbers = self._numbers.reshape(-1, 16)
        row, column = (np.broadcast_to(numbers[:, :, None], (len(numbers), 16, 16)).ravel(),
                       np.broadcast_to(numbers[:, None, :], (len(numbers), 16, 16)).ravel())
        keep = (row >= column) & (column >= 0)
        row, column = row[keep], column[keep]
        deep = int((row - column).max()) + 1
        flat = np.bincount((row - column) * self.size + column, weights=K.ravel()[keep], minlength=deep * self.size)
        band = flat.reshape(deep, self.size)
        self._hinge(band)
        return band

    def _hinge(self, band: np.ndarray) -> None:
        """Springs of the joint lines: their slope may jump along the whole line."""
        for way, other, mine in ((self.along, self.across, True), (self.across, self.along, False)):
            mass = masses(other) if way.jumps else np.zeros((0, 0))
            for before, after, spring in way.jumps:
                for one, two, sign in ((before, before, 1), (after, after, 1), (after, before, -1), (before, after, -1)):
                    for p, q in zip(*np.nonzero(mass), strict=True):
                        r, c = (one * other.count + p, two * other.count + q) if mine else (p * way.count + one, q * way.count + two)
                        if r >= c:
                            band[r - c, c] += sign * spring * mass[p, q]

    @cached_property
    def _anchors(self) -> np.ndarray:
        """Numbers of three unknowns w that hold a free plate while it is factored; none where edges hold it."""
        if any(e != "free" for e in self.edges):
            return np.zeros(0, int)
        X, Y = np.meshgrid(self.along.lines, self.across.lines, indexing="ij")
        inside = np.ones(X.shape, bool) if self.outline is None else self.outline.holds(X, Y)
        found = []
        for px, py in ((-0.25, -0.25), (0.25, -0.25), (0.0, 0.25)):
            away = (X - px * np.ptp(X)) ** 2 + (Y - py * np.ptp(Y)) ** 2
            i, j = np.unravel_index(np.where(inside, away, np.inf).argmin(), X.shape)
            found.append(self.along.value[i] * self.across.count + self.across.value[j])
        return np.array(found)

    @cached_property
    def _factor(self) -> np.ndarray:
        from scipy.linalg import cholesky_banded

        band = self._band.copy()
        band[0, self._anchors] += np.median(band[0])
        with one_thread():  # a narrow band loses time on more
            return cholesky_banded(band, lower=True, check_finite=False)

    def solve(self, loads: np.ndarray) -> np.ndarray:
        """(m, N) answers of the anchored plate to loads (m, N)."""
        from scipy.linalg import cho_solve_banded

        with one_thread():
            return cho_solve_banded((self._factor, True), np.atleast_2d(loads).T, check_finite=False).T

    def times(self, w: np.ndarray) -> np.ndarray:
        """(m, N) loads that bend the plate to w (m, N): stiffness times deflection."""
        band, out = self._band, np.zeros_like(w)
        for d, row in enumerate(band):
            part = row[:self.size - d]
            out[:, d:] += part * w[:, :self.size - d]
            if d:
                out[:, :self.size - d] += part * w[:, d:]
        return out

    @cached_property
    def rigid(self) -> np.ndarray:
        """(3 or 0, N) movements of the free plate as a stiff body: down by one, w = x, w = y."""
        if not len(self._anchors):
            return np.zeros((0, self.size))
        a, b = self.along, self.across
        one, slope = {}, {}
        for way in (a, b):
            w, s = np.zeros(way.count), np.zeros(way.count)
            w[way.value], s[way.value] = 1.0, way.lines
            turns = np.setdiff1d(np.arange(way.count), way.value)
            s[turns] = 1.0
            one[way is a], slope[way is a] = w, s
        return np.stack([np.outer(one[True], one[False]).ravel(), np.outer(slope[True], one[False]).ravel(),
                         np.outer(one[True], slope[False]).ravel()])

    # --- places and loads

    def rows(self, x, y, along: int = 0, across: int = 0) -> np.ndarray:
        """(p, N): what gives w (or its derivative along x and y) at places x, y (p,)."""
        x, y = np.broadcast_arrays(np.atleast_1d(np.asarray(x, float)), np.atleast_1d(np.asarray(y, float)))
        i, sx = _cell(self.along.lines, x, "x")
        j, sy = _cell(self.across.lines, y, "y")
        values = _outer(_cubics(sx, self.along.h[i], along), _cubics(sy, self.across.h[j], across))
        numbers = self._numbers[i, j]
        found = np.zeros((len(x), self.size))
        on = numbers >= 0
        np.add.at(found, (np.nonzero(on)[0], numbers[on]), values[on])
        return found

    def at(self, w: np.ndarray, x, y) -> np.ndarray:
        """(m, p): deflections w (m, N) at places x, y (p,); the same as w @ rows(x, y).T, for many places."""
        x, y = np.broadcast_arrays(np.atleast_1d(np.asarray(x, float)), np.atleast_1d(np.asarray(y, float)))
        i, sx = _cell(self.along.lines, x, "x")
        j, sy = _cell(self.across.lines, y, "y")
        values, numbers = _outer(_cubics(sx, self.along.h[i], 0), _cubics(sy, self.across.h[j], 0)), self._numbers[i, j]
        return np.einsum("mpn,pn->mp", np.where(numbers >= 0, w[:, numbers], 0.0), values)

    def spread(self, pressure) -> np.ndarray:
        """(m, N) loads of a pressure on cells: (nx, ny), (m, nx, ny) or one number; down positive."""
        q = np.asarray(pressure, float)
        q = np.broadcast_to(q, (*q.shape[:-2], *self.grid.shape)) if q.ndim >= 2 else np.broadcast_to(q, self.grid.shape)
        q = q.reshape(-1, *self.grid.shape)
        one = [np.einsum("q,e,eqi->ei", _WEIGHTS, w.h, _cubics(_GAUSS, w.h[:, None], 0)) for w in (self.along, self.across)]
        cells = np.einsum("ei,fk->efik", *one).reshape(*self.grid.shape, 16)
        if self._cut is not None:
            i, j = self._cut
            sx, sy, area = self._left
            N = _outer(_cubics(sx, self.along.h[i][:, None], 0), _cubics(sy, self.across.h[j][:, None], 0))
            cells[i, j] = np.einsum("cq,cqn->cn", area, N)
        on = self._numbers >= 0
        shared = np.zeros((self.size, q[0].size))
        cell = np.broadcast_to(np.arange(q[0].size).reshape(*self.grid.shape, 1), on.shape)
        np.add.at(shared, (self._numbers[on], cell[on]), cells[on])
        return q.reshape(len(q), -1) @ shared.T

    def patch(self, x: float, y: float, radius: float = 0.0) -> np.ndarray:
        """(N,) load of one, even over a disc (what of it lies on the plate), or at a point; also the mean w over it."""
        if radius <= 0:
            return self.rows(x, y)[0]
        r = radius * np.sqrt((np.arange(4) + 0.5) / 4)
        turn = 2 * np.pi * np.arange(12) / 12
        px, py = (x + np.outer(r, np.cos(turn))).ravel(), (y + np.outer(r, np.sin(turn))).ravel()
        on = self.covers(px, py)
        if not on.any():
            raise InputError(field="patch", value=(x, y), need="a place on the plate")
        return self.rows(px[on], py[on]).mean(axis=0)

    def edge(self, side: str, load: float = 1.0) -> np.ndarray:
        """(N,) load of so much for each metre along an edge: "left", "right", "front" or "back"."""
        way, fixed = (self.across, {"left": 0, "right": -1}) if side in ("left", "right") else (self.along, {"front": 0, "back": -1})
        if side not in fixed:
            raise InputError(field="edge: side", value=side, need="left, right, front or back", example="left")
        places = (way.lines[:-1, None] + way.h[:, None] * _GAUSS).ravel()
        weight = (way.h[:, None] * _WEIGHTS).ravel()
        end = (self.along if way is self.across else self.across).lines[fixed[side]]
        x, y = (np.full(len(places), end), places) if way is self.across else (places, np.full(len(places), end))
        return load * weight @ self.rows(x, y)

    def covers(self, x, y) -> np.ndarray:
        """Where places lie on the plate: not beyond its outline, not in a cut-out."""
        x, y = np.broadcast_arrays(np.asarray(x, float), np.asarray(y, float))
        a, b = self.along.lines, self.across.lines
        found = (x >= a[0] - 1e-9) & (x <= a[-1] + 1e-9) & (y >= b[0] - 1e-9) & (y <= b[-1] + 1e-9)
        if self.outline is not None:
            found &= self.outline.holds(x, y)
        i = np.clip(np.searchsorted(a, x, "right") - 1, 0, len(a) - 2)
        j = np.clip(np.searchsorted(b, y, "right") - 1, 0, len(b) - 2)
        return found & (self.h[i, j] > 0)

    # --- what comes out

    def moments(self, w: np.ndarray, x, y) -> np.ndarray:
        """(m, p, 3) Mx, My, Mxy (N m/m) at places, of deflections w (m, N)."""
        return self._moments(w, *self._bends(x, y))

    def read_moments(self, w: np.ndarray) -> np.ndarray:
        """(m, c, 3) the same at `readings`."""
        return self._moments(w, *self._read)

    @cached_property
    def _read(self):
        return self._bends(*self.readings)

    def _bends(self, x, y) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Unknowns (p, 16) round places, what gives w_xx, w_yy and 2 w_xy of them (3, p, 16), thickness there (p,)."""
        x, y = np.broadcast_arrays(np.atleast_1d(np.asarray(x, float)), np.atleast_1d(np.asarray(y, float)))
        i, sx = _cell(self.along.lines, x, "x")
        j, sy = _cell(self.across.lines, y, "y")
        values = [times * _outer(_cubics(sx, self.along.h[i], a), _cubics(sy, self.across.h[j], b)) for a, b, times in
                  ((2, 0, 1), (0, 2, 1), (1, 1, 2))]
        return self._numbers[i, j], np.stack(values), self.h[i, j]

    def _moments(self, w: np.ndarray, numbers: np.ndarray, values: np.ndarray, h: np.ndarray) -> np.ndarray:
        near = np.where(numbers >= 0, w[:, numbers], 0.0)
        bent = np.stack([np.einsum("mpn,pn->mp", near, v) for v in values], axis=-1)
        return -h[:, None] ** 3 * (bent @ self.rigidity.matrix)

    def folds(self, w: np.ndarray) -> tuple[tuple[np.ndarray, np.ndarray], ...]:
        """What every joint line carries, along x first: places (p, 2) on it within the outline, and the moment over it (m, p), N m/m,
        sagging positive, of deflections w (m, N): its spring times the jump of the slope."""
        found = []
        w = np.atleast_2d(w).reshape(len(np.atleast_2d(w)), self.along.count, self.across.count)
        for way, other, mine in ((self.along, self.across, True), (self.across, self.along, False)):
            part = np.linspace(0, 1, 5)
            cell = np.repeat(np.arange(len(other.h)), len(part))
            along = other.lines[cell] + np.tile(part, len(other.h)) * other.h[cell]
            values = _cubics(np.tile(part, len(other.h)), other.h[cell], 0)
            numbers = other.of[cell]
            for before, after, spring in way.jumps:
                jump = w[:, after] - w[:, before] if mine else w[:, :, after] - w[:, :, before]
                bent = np.einsum("mpi,pi->mp", np.where(numbers >= 0, jump[:, numbers], 0.0), values)
                at = way.lines[[i for i in range(1, len(way.lines) - 1) if way.of[i - 1, 3] == before][0]]
                places = np.column_stack([np.full(len(along), at), along] if mine else [along, np.full(len(along), at)])
                on = np.ones(len(along), bool) if self.outline is None else self.outline.holds(*places.T)
                found.append((places[on], -spring * bent[:, on]))
        return tuple(found)

    def thickness_at(self, x, y) -> np.ndarray:
        i, _ = _cell(self.along.lines, np.asarray(x, float), "x")
        j, _ = _cell(self.across.lines, np.asarray(y, float), "y")
        return self.h[i, j]

    @cached_property
    def readings(self) -> tuple[np.ndarray, np.ndarray]:
        """(c,) places where moments are read: the four points of each cell at which the cubics give them best, of cells that
        are mostly there and not cut through."""
        X, Y = np.meshgrid(*(_best(way) for way in (self.along, self.across)), indexing="ij")
        there = (self.h > 0) & (self.area > 0.6 * np.outer(self.along.h, self.across.h))
        on = there.repeat(2, axis=0).repeat(2, axis=1)
        return X[on], Y[on]


def _best(way: _Way) -> np.ndarray:
    """The two points of each cell where a cubic's second derivative is right under an even load."""
    return (way.lines[:-1, None] + way.h[:, None] * (0.5 + np.array([-0.5, 0.5]) / np.sqrt(3))).ravel()


def _outer(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    return (a[..., :, None] * b[..., None, :]).reshape(*a.shape[:-1], 16)


def _cell(lines: np.ndarray, x: np.ndarray, name: str) -> tuple[np.ndarray, np.ndarray]:
    """Cell of each place and the part of the cell it lies at."""
    hair = 1e-9 * (lines[-1] - lines[0])
    if np.any(x < lines[0] - hair) or np.any(x > lines[-1] + hair):
        raise InputError(field=f"plate: {name}", value=float(x[np.abs(x).argmax()]),
                         need=f"a place from {lines[0]:.4g} to {lines[-1]:.4g} m")
    i = np.clip(np.searchsorted(lines, x, "right") - 1, 0, len(lines) - 2)
    return i, (x - lines[i]) / (lines[i + 1] - lines[i])


# --- on its seats --------------------------------------------------------------------------------


@dataclass(frozen=True)
class Rested:
    """A plate on its seats under m loads.

    w       (m, N) deflection, as unknowns of the plate (Plate.rows gives it at places)
    forces  (m, k) of the seats on the plate, up positive
    gaps    (m, k) how far the plate has lifted off each seat
    stands  (m,) False where it tips off: then nan
    """

    w: np.ndarray
    forces: np.ndarray
    gaps: np.ndarray
    stands: np.ndarray


class Seated:
    """A plate over seats: flexibilities once, then any loads and any base.

    seats  (k, N): what gives the movement of the plate at each seat (Plate.rows or Plate.patch)
    """

    def __init__(self, plate: Plate, seats: np.ndarray):
        self.plate, self.seats = plate, np.atleast_2d(seats)
        self.to_seats = plate.solve(self.seats)
        with one_thread():
            self.flexibility = self.seats @ self.to_seats.T
            self.stiff_body = self.seats @ plate.rigid.T  # (k, 3 or 0)

    def rest(self, loads: np.ndarray, base: np.ndarray | None = None, *, one_sided: bool, solved: np.ndarray | None = None,
             scale: float = 1.0) -> Rested:
        """The plate under loads (m, N) on a base of flexibility (k, k) (m/N; none: stiff).

        one_sided  seats push only; else they hold both ways
        solved     plate.solve(loads), where it is known
        scale      multiplies the stiffness of the plate: (h/h0)^3 for another even thickness
        """
        loads = np.atleast_2d(loads)
        free = (self.plate.solve(loads) if solved is None else solved) / scale
        inverse, size = self._together(base, scale)
        k = len(self.seats)
        right = np.concatenate([free @ self.seats.T / size, -loads @ self.plate.rigid.T], axis=1)
        forces = (right @ inverse.T)[:, :k]
        gaps, stands = np.zeros_like(forces), np.ones(len(loads), bool)
        if one_sided:
            S = inverse[:k, :k] / size
            found = complementary((S + S.T) / 2, -forces)
            gaps, forces, stands = found.r, np.where(found.stands[:, None], found.gap, np.nan), found.stands
            right[:, :k] += gaps / size
        rigid = (right @ inverse.T)[:, k:] * size
        w = free - forces @ self.to_seats / scale + rigid @ self.plate.rigid
        return Rested(w, forces, gaps, stands)

    def joined(self, base: np.ndarray | None, lifted: np.ndarray, scale: float = 1.0) -> tuple[np.ndarray, np.ndarray]:
        """The plate held to a base both ways, by nothing but their movement at the seats.

        base    (k, k) flexibility of the base (none: stiff);  scale  as in `rest`; np.inf: a plate that does not bend
        lifted  (k, m) how far the base alone would come up at the seats, in m cases

        Returns hold (k, k), forces of the seats on the plate, up, as the base comes up by one at each (nothing where it comes up as
        a body), and w (m, N), how the plate moves in each case, down positive, no load on it.
        """
        inverse, size = self._together(base, scale)
        k = len(self.seats)
        hold, body = inverse[:k, :k] / size, inverse[k:, :k]
        return (hold + hold.T) / 2, -(hold @ lifted).T @ self.to_seats / scale + (body @ lifted).T @ self.plate.rigid

    def _together(self, base: np.ndarray | None, scale: float) -> tuple[np.ndarray, float]:
        """Inverse of the system of seat forces, over `size`, and of the movements of the plate as a body."""
        k, r = self.stiff_body.shape
        B = np.zeros((k, k)) if base is None else np.asarray(base, float)
        A = self.flexibility / scale + (B + B.T) / 2
        size = max(float(np.abs(A).max()), 1e-300)
        whole = np.zeros((k + r, k + r))
        whole[:k, :k], whole[:k, k:], whole[k:, :k] = A / size, -self.stiff_body, -self.stiff_body.T
        return (np.linalg.pinv(whole, rcond=1e-13, hermitian=True) if _nearly_singular(whole) else np.linalg.inv(whole)), size


def _nearly_singular(matrix: np.ndarray) -> bool:
    """Two seats at one place share a force: any sharing is an answer, the even one is taken."""
    return bool(np.linalg.cond(matrix) > 1e12)
