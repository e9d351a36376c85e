"""How loads on the top reach the base: through named seats, and nothing else.

Until the plate is there the top is taken as strips: a load between seats is shared by the three nearest round it as a
stiff triangle would share it; a load beyond them goes to the nearest ones on the outline, and the couple of its arm is
carried by all seats as by a stiff top (far seats are then unloaded, even pulled). Every load keeps its size and its
place: forces and moments of the seats are those of the loads.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from itertools import combinations

import numpy as np

from shopcalc.errors import InputError
from shopcalc.mechanics.statics import GRAVITY, inside_by, outline
from shopcalc.table.geometry import Geometry, TopBody

# The top is cut into this many cells along and across for spread loads and its own weight.
CELLS = (42, 16)


@dataclass(frozen=True)
class Sharing:
    """Seats in plan (n, 2), the triangles (t, 3) between them, two sets where a diagonal may lie either way, and the
    mirrors of the table: (flip, order of the seats as they lie then), so that a table that is its own mirror image is
    loaded like one. kept: cells of the tops that were asked on these seats."""

    seats: np.ndarray
    meshes: tuple[np.ndarray, ...]
    mirrors: tuple[tuple[np.ndarray, np.ndarray], ...]
    kept: dict = field(default_factory=dict, compare=False, repr=False)

    def weights(self, places) -> np.ndarray:
        """(p, n): the part of a load at each place (p, 2) that each seat carries. Rows sum to one; a part is negative
        where a load beyond the seats unloads a far one."""
        places = np.atleast_2d(np.asarray(places, float))
        found = self._weights(np.concatenate([places * flip for flip, _ in self.mirrors]))
        each = found.reshape(len(self.mirrors), len(places), -1)
        return sum(rows[:, order] for rows, (_, order) in zip(each, self.mirrors, strict=True)) / len(self.mirrors)

    def _weights(self, places: np.ndarray) -> np.ndarray:
        asked, places = places, self._onto(places)
        right = np.concatenate([places, np.ones((len(places), 1))], axis=1)
        rows = np.arange(len(places))
        found = np.zeros((len(places), len(self.seats)))
        for triangles, inverse in zip(self.meshes, self._barycentric, strict=True):
            parts = np.einsum("tij,pj->pti", inverse, right)  # (p, t, 3)
            # The triangle that holds the place, or the one it lies least beyond.
            best = parts.min(axis=2).argmax(axis=1)
            found[rows[:, None], triangles[best]] += parts[rows, best] / len(self.meshes)
        return found + (asked - places) @ self._couple

    @property
    def triangles(self) -> np.ndarray:
        return np.concatenate(self.meshes)

    @cached_property
    def _barycentric(self) -> list[np.ndarray]:
        corners = [self.seats[t] for t in self.meshes]  # (t, 3, 2)
        return [np.linalg.inv(np.concatenate([c.transpose(0, 2, 1), np.ones((len(c), 1, 3))], axis=1)) for c in corners]

    @cached_property
    def _outline(self):
        return outline(self.seats)

    def _onto(self, places: np.ndarray) -> np.ndarray:
        """The place itself within the outline of the seats, else the nearest place on it."""
        shape = self._outline
        beyond = (inside_by(shape, places) < 0).any(axis=1)
        first, second = shape.edges[:, 0], shape.edges[:, 1]
        along = second - first
        t = np.einsum("pek,ek->pe", places[:, None] - first, along) / (along**2).sum(axis=1)
        near = first + np.clip(t, 0, 1)[..., None] * along
        gap = np.linalg.norm(near - places[:, None], axis=2)
        nearest = near[np.arange(len(places)), gap.argmin(axis=1)]
        return np.where(beyond[:, None], nearest, places)

    def moved(self, by) -> np.ndarray:
        """(n,): change of the seat forces (down) of a load of one that moves by (x, y) on a stiff top."""
        return np.asarray(by, float) @ self._couple

    @cached_property
    def _couple(self) -> np.ndarray:
        """(2, n): seat forces of a stiff top under a load of one moved by one along x, and along y."""
        arm = self.seats - self.seats.mean(axis=0)
        return np.linalg.solve(arm.T @ arm, arm.T)


def sharing(g: Geometry) -> Sharing:
    """Triangles between the seats of a table. Raises InputError where the seats lie in one line."""
    seats = np.array([s.place[:2] for s in g.seats])
    return _sharing(seats.tobytes(), len(seats))


@lru_cache(maxsize=8)
def _sharing(raw: bytes, count: int) -> Sharing:
    seats = np.frombuffer(raw).reshape(count, 2)
    meshes = [triangles_of(seats, way) for way in (1, -1)]
    if not len(meshes[0]):
        raise InputError(field="base", value="seats in one line",
                         need="bars under the top that do not lie in one line: such a top tips off")
    alike = {tuple(t) for t in meshes[0].tolist()} == {tuple(t) for t in meshes[1].tolist()}
    return Sharing(seats, tuple(meshes[:1] if alike else meshes), _mirrors(seats))


# Up to this many seats every three of them are tried: SciPy, for more, takes longer to load than to ask.
_TRIED = 64
# What settles the diagonal between four seats on one circle: a lift by up to this part of their size squared.
_NUDGE = 1e-7


def triangles_of(seats: np.ndarray, way: int = 1) -> np.ndarray:
    """Delaunay's triangles (t, 3) between places (n, 2): no other place within the circle round one. Four places on one
    circle (the corners of a rectangle) are parted by either diagonal: by the one for way 1, by the other for -1. Slivers
    between three places in one line carry nothing and are left out; none where all lie in one line."""
    size = np.ptp(seats, axis=0)
    if len(seats) < 3 or size.min() <= 1e-9 * size.max():
        return np.zeros((0, 3), int)
    if len(seats) > _TRIED:
        from scipy.spatial import Delaunay

        found = Delaunay(seats).simplices
        return found[_double(seats, found) > 1e-6 * size.prod()]
    x, y = ((seats - seats.mean(axis=0)) / size.max()).T
    # Lifted onto a bowl the triangles are the faces on its underside (Brown 1979).
    lift = x**2 + y**2 + way * _NUDGE * np.random.default_rng(1).random(len(x))
    i, j, k = (np.array(v) for v in zip(*combinations(range(len(x)), 3), strict=True))
    double = (x[j] - x[i]) * (y[k] - y[i]) - (y[j] - y[i]) * (x[k] - x[i])
    wide = np.abs(double) > 1e-6 * np.prod(size / size.max())
    i, j, k, double = i[wide], j[wide], k[wide], double[wide]
    a = ((y[j] - y[i]) * (lift[k] - lift[i]) - (lift[j] - lift[i]) * (y[k] - y[i])) / double
    b = ((lift[j] - lift[i]) * (x[k] - x[i]) - (x[j] - x[i]) * (lift[k] - lift[i])) / double
    # The plane of a face is lift_i - a (x - x_i) - b (y - y_i); every place lies on it or above.
    over = lift + np.outer(a, x) + np.outer(b, y) - (lift[i] + a * x[i] + b * y[i])[:, None]
    return np.stack([i, j, k], axis=1)[(over > -1e-12).all(axis=1)]


def _double(seats: np.ndarray, triangles: np.ndarray) -> np.ndarray:
    (ax, ay), (bx, by) = ((seats[triangles[:, n]] - seats[triangles[:, 0]]).T for n in (1, 2))
    return np.abs(ax * by - ay * bx)


def _mirrors(seats: np.ndarray) -> tuple[tuple[np.ndarray, np.ndarray], ...]:
    found = []
    for flip in ((1.0, 1.0), (-1.0, 1.0), (1.0, -1.0), (-1.0, -1.0)):
        gap = np.linalg.norm(seats[:, None] * flip - seats[None], axis=2)
        order = np.arange(len(seats)) if flip == (1.0, 1.0) else gap.argmin(axis=1)
        if (flip == (1.0, 1.0)) or ((gap.min(axis=1) < 1e-6).all() and len(set(order)) == len(seats)):
            found.append((np.array(flip), order))
    return tuple(found)


@dataclass(frozen=True)
class Cells:
    """The top cut into cells: places (c, 2) and areas (c,), and the part of each that each seat carries (c, n)."""

    places: np.ndarray
    area: np.ndarray
    weights: np.ndarray

    def spread(self, pressure: float, where: np.ndarray | None = None) -> np.ndarray:
        """Seat forces (n,), down, of an even load on the cells `where` is True (all of them)."""
        area = self.area if where is None else self.area * where
        return pressure * area @ self.weights


def cells_of(top: TopBody, shared: Sharing) -> Cells:
    key = top.shape, top.length, top.width
    if key not in shared.kept:
        shared.kept[key] = _cells(top, shared)
    return shared.kept[key]


def _cells(top: TopBody, shared: Sharing) -> Cells:
    nx, ny = CELLS
    x = (np.arange(nx) + 0.5) / nx * top.length - top.length / 2
    y = (np.arange(ny) + 0.5) / ny * top.width - top.width / 2
    places = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
    places = places[top.covers(places[:, 0], places[:, 1])]
    # Cells on a round rim are cut by it: the areas are scaled so that they add up to the top.
    area = np.full(len(places), top.area / len(places))
    return Cells(places, area, shared.weights(places))


def own_weight(g: Geometry, cells: Cells) -> np.ndarray:
    """Seat forces (n,), down, of the top's own weight, what fills its pockets in it."""
    found = cells.spread(g.top.slab * GRAVITY / g.top.area)
    for lump in g.top.lumps:
        x, y = ((a + (b - a) * (np.arange(n) + 0.5) / n for a, b, n in ((lump.x0, lump.x1, 24), (lump.y0, lump.y1, 8))))
        places = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
        found = found + lump.mass * GRAVITY * sharing(g).weights(places).mean(axis=0)
    return found


def patterns(g: Geometry, cells: Cells) -> dict[str, np.ndarray]:
    """Parts of the top on which a spread load may lie alone: name -> mask of cells."""
    x, y = cells.places.T
    found = {"the whole top": np.ones(len(x), bool), "the left half": x < 0, "the right half": x > 0,
             "the front half": y < 0, "the back half": y > 0}
    reach = max(abs(s.place[0]) for s in g.seats)
    ends = {"left": x < -reach, "right": x > reach}
    if any(end.any() for end in ends.values()):
        beyond = ends["left"] | ends["right"]
        found |= {"both overhangs": beyond, "between the trestles": ~beyond}
        for name, end in ends.items():  # the far overhang would lift the near trestle: without it the near one carries most
            found |= {f"the {name} overhang": end, f"all but the {name} overhang": ~end}
    return found
