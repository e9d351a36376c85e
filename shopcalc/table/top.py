"""The top as a plate on its seats: top and base both bend and exchange seat forces, nothing else.

Three states: "dead weight" (the top only lies there: seats push, and it may lift off), "sliding" (fixings hold it down but let it
move in plan: seats push and pull), "clamped" (it also turns with the bars under it). The stiffness in plan that a top held tight
would lend the base, and the base the top, is not counted.

What a plate of this plan on these seats does is worked out once for a thickness of one metre and kept; another thickness, load or
tube only scales it and solves the seats again.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from shopcalc.errors import InputError
from shopcalc.mechanics.frames.dense import one_thread
from shopcalc.mechanics.frames.flexibility import flexibility
from shopcalc.mechanics.plates import Grid, Plate, Seated, cells_of, grid, orthotropic, oval
from shopcalc.mechanics.statics import GRAVITY, inside_by, outline
from shopcalc.stock.woods import Elastic
from shopcalc.table.assembly import Seat
from shopcalc.table.frame import STATES, table_frame
from shopcalc.table.frame_cases import places_round
from shopcalc.table.frame_solve import feet_of
from shopcalc.table.geometry import Bevel, Geometry
from shopcalc.table.job import Job
from shopcalc.table.loads import LoadCase, load_cases
from shopcalc.units import magnitude

DISC = 6 * 0.0254  # metres: radius of the published 12 in disc a person stands for


@dataclass(frozen=True)
class Plan:
    """All that the kept part depends on: SI floats."""

    shape: str
    length: float
    width: float
    E_L: float
    E_T: float
    G: float
    mu_LT: float
    seats: tuple[tuple[float, float], ...]
    # x0, x1, y0, y1; parts of the thickness cut from the upper and from the under face; what it adds to the own weight, over that of the slab
    pockets: tuple[tuple[float, float, float, float, float, float, float], ...]
    inset: float
    hinges: tuple[tuple[str, float, float], ...] = ()
    bevel: tuple[Bevel, float] | None = None  # the undercut and the thickness it is cut into
    grain: float = 0.0
    pair: tuple[float, float] = (4 * 0.0254, 24 * 0.0254)  # two people side by side: from the edge, apart


@dataclass(frozen=True)
class Laid:
    """A plate one metre thick over its seats (k, 2). own (N,): its weight, one for each area of full thickness; push, turn: the
    seats by their movement, and by movement and slopes."""

    plate: Plate
    seats: np.ndarray
    own: np.ndarray
    push: Seated
    turn: Seated


@dataclass(frozen=True)
class Kept:
    """A plate one metre thick on its seats, with unit loads solved.

    names    of the unit loads: "own" (even, more or less where pockets are), patterns of a spread load, persons at their places
    loads, solved (u, N);  push, turn: the seats by their movement, and by movement and slopes
    spots (u, N): what gives w at the places of the persons (nought for spread loads)
    nodes (p, 2) and at (p,): lines of the grid that lie on the top and their unknowns
    beyond, near (p,): how far outside the outline of the seats, and from the nearest seat
    """

    plate: Plate
    names: tuple[str, ...]
    places: tuple[tuple[float, float] | None, ...]
    loads: np.ndarray
    solved: np.ndarray
    spots: np.ndarray
    push: Seated
    turn: Seated
    nodes: np.ndarray
    at: np.ndarray
    beyond: np.ndarray
    near: np.ndarray


def elastic_of(job: Job, g: Geometry) -> Elastic:
    return g.top.wood.elastic(job.model.top.cut or "flat")


def bearing(job: Job, g: Geometry) -> list[Seat]:
    """Seats that the top lies on: under it, and not where a pocket in its under face is left open."""
    open_under = [lump for p, lump in zip(job.model.top.pockets.values(), g.top.lumps, strict=True) if p.face == "under" and p.filled == "nothing"]
    return [s for s in g.seats if g.top.covers(s.place[0], s.place[1])
            and not any(l.x0 < s.place[0] < l.x1 and l.y0 < s.place[1] < l.y1 for l in open_under)]


def plan_of(job: Job, g: Geometry, person: LoadCase) -> Plan:
    e, t = elastic_of(job, g), g.top
    si = [float(magnitude(v, "Pa")) for v in (e.E_L, e.E_T, e.G)]
    pockets = []
    for p, lump in zip(job.model.top.pockets.values(), t.lumps, strict=True):
        cut = float(magnitude(p.depth, "m")) / t.thickness
        upper = p.face == "upper"
        pockets.append((lump.x0, lump.x1, lump.y0, lump.y1, cut if upper else 0.0, 0.0 if upper else cut,
                        lump.mass / lump.area / (t.slab / t.area)))
    seats = tuple((round(s.place[0], 9), round(s.place[1], 9)) for s in bearing(job, g))
    inset = float(magnitude(person.inset_close or person.inset, "m"))
    two = load_cases()["two-persons-strength"]  # a job changes its weight, never its places
    pair = tuple(float(magnitude(v, "m")) for v in (two.inset, two.spacing))
    return Plan(t.shape, t.length, t.width, *si, e.mu_LT, seats, tuple(pockets), inset, _hinges(job, g),
                None if t.undercut is None else (t.undercut, t.thickness), t.grain, pair)


def _hinges(job: Job, g: Geometry) -> tuple[tuple[str, float, float], ...]:
    """The joint line of a top of two pieces: its spring per length, over thickness cubed as all stiffness here."""
    halves, t = job.model.top.halves, g.top
    if halves is None:
        return ()
    way, across, along = ("y", t.width, t.length) if halves.joint == "along" else ("x", t.length, t.width)
    at = float(magnitude(halves.at, "m"))
    if abs(at) >= across / 2:
        raise InputError(field="top.halves.at", value=halves.at, need="a line within the top", example='at = "0 in"')
    return ((way, at, halves.connectors * float(magnitude(halves.each, "N*m/rad")) / along / t.thickness**3),)


@lru_cache(maxsize=64)
def laid(plan: Plan) -> Laid:
    """Raises InputError where the seats lie in one line or off the top."""
    seats = np.array(plan.seats).reshape(-1, 2)
    if len(seats) < 3 or np.linalg.svd(seats - seats.mean(axis=0), compute_uv=False)[1] < 1e-3:
        raise InputError(field="base", value=f"{len(seats)} seats under the top", need="seats that do not lie in one line")
    reach, aside = np.abs(seats).max(axis=0).tolist()
    lines = {"x": [-reach, 0.0, reach, *(v for p in plan.pockets for v in p[:2])],
             "y": [-aside, 0.0, aside, *(v for p in plan.pockets for v in p[2:4])]}
    if plan.bevel is not None:
        inner = [[half - plan.bevel[0].width * part for part in (1.0, 0.5)] for half in (plan.length / 2, plan.width / 2)]
        for way, found in zip("xy", inner, strict=True):
            lines[way] += [sign * v for v in found for sign in (1, -1)]
    cells = cells_of(plan.length, plan.width)
    around = oval(plan.length, plan.width) if plan.shape == "round" else None
    g = grid(plan.length, plan.width, **lines, cells=cells, hinges=plan.hinges)
    X, Y = _middles(g)
    upper, under, own = np.zeros(g.shape), np.zeros(g.shape), np.ones(g.shape)
    for x0, x1, y0, y1, above, below, heavier in plan.pockets:
        inside = (X > x0) & (X < x1) & (Y > y0) & (Y < y1)
        upper[inside], under[inside] = np.maximum(upper[inside], above), np.maximum(under[inside], below)
        own[inside] += heavier
    h = np.maximum(1 - upper - under, 0.0)  # pockets in both faces, one over the other, both take
    if plan.bevel is not None:
        h = h * _left_of(plan, g)
    plate = Plate(g, orthotropic(E_L=plan.E_L, E_T=plan.E_T, G=plan.G, mu_LT=plan.mu_LT, grain=plan.grain), h, outline=around)
    rows = [plate.rows(*seats.T, a, b) for a, b in ((0, 0), (1, 0), (0, 1))]
    return Laid(plate, seats, plate.spread(own)[0], Seated(plate, rows[0]), Seated(plate, np.concatenate(rows)))


def _middles(g: Grid) -> list[np.ndarray]:
    """Middles of the cells, x and y (nx, ny)."""
    return np.meshgrid(*(np.array(v)[:-1] + np.diff(v) / 2 for v in (g.x, g.y)), indexing="ij")


@lru_cache(maxsize=64)
def kept(plan: Plan) -> Kept:
    """Raises InputError as `laid`."""
    found = laid(plan)
    plate, seats = found.plate, found.seats
    names, loads, places = ["own"], [found.own[None]], [None]
    for name, mask in _patterns(*_middles(plate.grid), np.abs(seats).max(axis=0).tolist(), plan).items():
        names.append(f"on {name}")
        places.append(None)
        loads.append(plate.spread(mask.astype(float)))
    for name, place in _persons(plan):
        names.append(name)
        places.append((float(place[0]), float(place[1])))
        loads.append(plate.patch(*place, radius=min(DISC, plan.inset))[None])
    for name, two in _pairs(plan):
        names.append(name)
        places.append(None)
        loads.append(sum(plate.patch(*place, radius=min(DISC, plan.pair[0])) for place in two)[None])
    loads = np.concatenate(loads)
    NX, NY = np.meshgrid(plate.along.lines, plate.across.lines, indexing="ij")
    there = plate.covers(NX, NY)
    numbers = (plate.along.value[:, None] * plate.across.count + plate.across.value)[there]
    nodes = np.stack([NX[there], NY[there]], axis=1)
    beyond, near = _where(seats, nodes)
    spots = np.stack([np.zeros(plate.size) if p is None else plate.patch(*p) for p in places])
    return Kept(plate, tuple(names), tuple(places), loads, plate.solve(loads), spots, found.push, found.turn, nodes, numbers, beyond, near)


def _left_of(plan: Plan, g: Grid) -> np.ndarray:
    """(nx, ny) part of the thickness left in each cell of an undercut top: as stiff as the cubes of its places on the mean."""
    (bevel, thickness), spots = plan.bevel, (np.arange(4) + 0.5) / 4
    x, y = ((np.array(v)[:-1, None] + np.diff(v)[:, None] * spots).ravel() for v in (g.x, g.y))
    left = bevel.part(*np.meshgrid(x, y, indexing="ij"), plan.length, plan.width, plan.shape, thickness)
    return np.cbrt((left**3).reshape(len(g.x) - 1, 4, len(g.y) - 1, 4).mean(axis=(1, 3)))


def _patterns(X: np.ndarray, Y: np.ndarray, reach: tuple[float, float], plan: Plan) -> dict[str, np.ndarray]:
    """Parts of the top on which a spread load may lie alone."""
    found = {"the whole top": np.ones(X.shape, bool), "the left half": X < 0, "the right half": X > 0, "the front half": Y < 0,
             "the back half": Y > 0}
    for at, far, half, both, between, low, high in (
            (X, reach[0], plan.length / 2, "both overhangs", "all between the ends of the base", "the left overhang", "the right overhang"),
            (Y, reach[1], plan.width / 2, "both long edges", "all between the sides of the base", "the front edge", "the back edge")):
        if far < half - 1e-6:
            found |= {both: np.abs(at) > far, between: np.abs(at) < far, low: at < -far, high: at > far}
    return found


def _persons(plan: Plan):
    """Corners, ends and sides, the middle of every gap between seats along an edge, and the ends of a joint line."""
    class Shape:
        """What places_round looks at."""

        top = plan

    found = places_round(Shape, plan.inset)
    if plan.shape == "round":
        return found
    reach = np.array([plan.length / 2, plan.width / 2]) - plan.inset
    there = [place for _, place in found]
    for way, side in ((0, "a long side"), (1, "an end")):
        spots = [(m, f"at {side} between its seats") for m in _gaps(plan, way)]
        spots += [(at, f"at {side} on the joint line") for which, at, _ in plan.hinges if which == "xy"[way]]
        for m, words in spots:
            for sign in (1, -1):
                place = np.array([m, sign * reach[1]] if way == 0 else [sign * reach[0], m])
                if abs(m) <= reach[way] and min(np.linalg.norm(place - p) for p in there) > LIKE:
                    there.append(place)
                    found.append((words, place))
    return found


LIKE = 0.05  # metres: places nearer each other are one


def _gaps(plan: Plan, way: int) -> list[float]:
    """Middles between seats that follow each other along the table (way 0) or across it."""
    lines = np.unique(np.round([s[way] for s in plan.seats], 6))
    return [float(m) for m, gap in zip((lines[1:] + lines[:-1]) / 2, np.diff(lines), strict=True) if gap > 4 * LIKE]


TWO = "two side by side"


def _pairs(plan: Plan):
    """Two people side by side on a long side: at its ends, its middle, between its seats and at a joint line; round the rim of a round top."""
    inset, apart = plan.pair
    if plan.shape == "round":
        r = plan.length / 2 - inset
        half = np.arcsin(min(apart / 2 / r, 1.0))
        for t in np.linspace(0, 2 * np.pi, 16, endpoint=False):
            yield f"{TWO} at the rim", [r * np.array([np.cos(t + s * half), np.sin(t + s * half)]) for s in (-1, 1)]
        return
    a, b = plan.length / 2 - inset, plan.width / 2 - inset
    most = max(a - apart / 2, 0.0)
    lines = [m for which, m, _ in plan.hinges if which == "x"]
    middles = np.unique(np.round(np.clip([-most, 0.0, most, *_gaps(plan, 0), *lines], -most, most), 6))
    for m in middles:
        for side in (1, -1):
            yield f"{TWO} on a long side", [np.array([m + s * min(apart / 2, a), side * b]) for s in (-1, 1)]


def _where(seats: np.ndarray, places: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """How far places lie outside the outline of the seats (0 within), and from the nearest seat."""
    shape = outline(seats)
    beyond = np.maximum(-inside_by(shape, places).min(axis=1), 0.0)
    near = np.linalg.norm(places[:, None] - seats, axis=2).min(axis=1)
    return np.where(beyond < 1e-9, 0.0, beyond), near


def overhanging(beyond, near) -> np.ndarray:
    """Places past the seats that no further seat backs: an edge between two supports belongs to their span."""
    return (np.asarray(beyond) > 1e-6) & (np.asarray(near) <= 3 * np.asarray(beyond))


# --- base ----------------------------------------------------------------------------------------


def base_flexibility(job: Job, g: Geometry, joints: str = "soft") -> np.ndarray | None:
    """(3 k, 3 k) of the seats under the top: movements down, slopes along x and y, by forces down and moments along them; feet
    on a hard floor. None where the frame does not stand.

    joints  "soft" (tube faces give, play of bolts not taken up) is the safe side for sag; "rigid"
    """
    table = table_frame(job, g, state="dead weight", joints=joints, feet=feet_of(job, "gripping"))
    on = set(bearing(job, g))
    nodes = [n for n, s in zip(table.seat_nodes, g.seats, strict=True) if s in on]
    names = list(dict.fromkeys(nodes))
    # A movement down is -z; w rises along x where a node turns by +ry, along y where it turns by -rx.
    ways = (("z", -1.0), ("ry", 1.0), ("rx", -1.0))
    found, stands = flexibility(table.frame, table.sizes, [(n, way) for way, _ in ways for n in names])
    if not stands[0]:
        return None
    sign = np.repeat([sign for _, sign in ways], len(names))
    pick = np.array([names.index(n) for n in nodes])
    pick = np.concatenate([pick + i * len(names) for i in range(3)])
    return (found[0] * np.outer(sign, sign))[np.ix_(pick, pick)]


# --- what it does --------------------------------------------------------------------------------


@dataclass(frozen=True)
class Answered:
    """A top in one state under several loads, SI, one row each.

    sag     (m, p) at the nodes of the grid, down from the plane that the seats of the base settle to
    moved   (m, p) the same, as it moves in space
    forces  (m, k) of seats, up;  gaps (m, k) how far it lifts off them
    stands  (m,) False where it tips off: then nan;  w (m, N) unknowns of the plate
    """

    state: str
    sag: np.ndarray
    moved: np.ndarray
    forces: np.ndarray
    gaps: np.ndarray
    stands: np.ndarray
    w: np.ndarray


@dataclass(frozen=True)
class Top:
    """The plate of a job with its base."""

    job: Job
    g: Geometry
    person: LoadCase
    kept: Kept
    base: np.ndarray | None

    @classmethod
    def of(cls, job: Job, g: Geometry, person: LoadCase, base: np.ndarray | None | str = "frame") -> Top:
        """base: its flexibility at the seats, "frame": from the frame of the job, None: stiff."""
        return cls(job, g, person, kept(plan_of(job, g, person)), base_flexibility(job, g) if isinstance(base, str) else base)

    @property
    def own(self) -> float:
        """Own weight of the slab over the area (Pa), of the wood or as weighed; the unit load "own" knows what pockets add to it."""
        return self.g.top.slab * GRAVITY / self.g.top.area

    @property
    def scale(self) -> float:
        return self.g.top.thickness**3

    def mix(self, *loads: dict[str, float]) -> np.ndarray:
        """(m, u) sizes of the unit loads: {"own": Pa, "on the whole top": Pa} or by number {3: N}."""
        found = np.zeros((len(loads), len(self.kept.names)))
        for row, load in zip(found, loads, strict=True):
            for name, size in load.items():
                row[name if isinstance(name, int) else self.kept.names.index(name)] += size
        return found

    def answer(self, state: str, mix: np.ndarray) -> Answered:
        if state not in STATES:
            raise InputError(field="state", value=state, need="one of " + ", ".join(STATES), example="sliding")
        k, base = self.kept, self.base
        seats = len(k.push.seats)
        clamped = state == "clamped"
        if not clamped and base is not None:
            base = base[:seats, :seats]
        over = k.turn if clamped else k.push
        with one_thread():
            rest = over.rest(mix @ k.loads, base, one_sided=state == "dead weight", solved=mix @ k.solved, scale=self.scale)
            moved = rest.w[:, k.at]
            down = np.zeros((len(mix), seats)) if base is None else (rest.forces @ base)[:, :seats]
            place = np.column_stack([np.ones(seats), np.array(self.kept_seats)])
            plane = (down @ np.linalg.pinv(place).T) @ np.column_stack([np.ones(len(k.nodes)), k.nodes]).T
        return Answered(state, moved - plane, moved, rest.forces[:, :seats], rest.gaps[:, :seats], rest.stands, rest.w)

    @property
    def kept_seats(self) -> list[tuple[float, float]]:
        return [(s.place[0], s.place[1]) for s in bearing(self.job, self.g)]

    def stresses(self, found: Answered, rows: Sequence[int] | slice = slice(None)) -> np.ndarray:
        """(m, c, 2) stress underneath along and across the grain (Pa) at the points of `Plate.readings`."""
        plate = self.kept.plate
        h = plate.thickness_at(*plate.readings) * self.g.top.thickness
        moments = plate.read_moments(found.w[rows])
        (c, s), both = self.g.top.grain_way, 2 * moments[..., 2]
        along = c**2 * moments[..., 0] + s**2 * moments[..., 1] + c * s * both
        across = s**2 * moments[..., 0] + c**2 * moments[..., 1] - c * s * both
        return 6 * np.stack([along, across], axis=-1) * self.scale / h[:, None] ** 2

    def folds(self, found: Answered) -> tuple[np.ndarray, np.ndarray]:
        """Places (p, 2) along the joint line of a top of two pieces, and the moment over it (m, p) in N m/m, sagging positive."""
        (places, moment), = self.kept.plate.folds(found.w)
        return places, moment * self.scale

    @property
    def spanning(self) -> np.ndarray:
        """(p,) nodes that count for sag: all that do not overhang."""
        return ~overhanging(self.kept.beyond, self.kept.near)

    @property
    def span(self) -> float:
        """Twice the way from the emptiest place between the supports to its nearest seat: what a part of the span is counted from."""
        return 2 * float(self.kept.near[self.spanning].max())

    @property
    def people(self) -> Sequence[tuple[int, bool]]:
        """Numbers of the unit loads of a person, and whether the place overhangs."""
        where = [(i, p) for i, p in enumerate(self.kept.places) if p is not None]
        beyond, near = _where(np.array(self.kept_seats), np.array([p for _, p in where]))
        return [(i, bool(o)) for (i, _), o in zip(where, overhanging(beyond, near), strict=True)]
