"""The load cases of the frame: what stands, leans, pushes and drags where, with its own weight beside it.

Each is one row of forces: at seats (N, along x, y, z), at feet, on the middles of stretchers; a direction of gravity;
and how the table is held while it happens. Places are tried on both ends and both sides, as far as the base differs.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from shopcalc.mechanics.statics import GRAVITY, inside_by, outline
from shopcalc.table import seats as seats_of
from shopcalc.table.geometry import Geometry
from shopcalc.table.loads import LoadCase
from shopcalc.units import magnitude

# Wood may be heavier than the mean of its species (trade practice: +/-10 %); it is lifted heavy.
HEAVY_WOOD = 1.1
DOWN = np.array([0.0, 0.0, -1.0])
# Level forces that stand for a frame out of plumb, as a part of the weight (AISC 360-22 C2.2b).
NOTIONAL = 0.002
# Dragging is taken up to this part of the pull that turns the table over.
BEFORE_OVER = 0.95

STANDING = "standing"


@dataclass(frozen=True)
class FrameCase:
    """One load case at one place.

    seats (s, 3), feet (f, 3): forces, N;  stretchers: force down on the middle of each stretcher, N
    gravity (3,): acceleration on the steel, m/s^2;  held: how the table is held (see `supports_of`)
    """

    case: LoadCase
    where: str
    seats: np.ndarray
    feet: np.ndarray
    stretchers: dict[str, float]
    gravity: np.ndarray
    held: str = STANDING


def stretchers(g: Geometry) -> list[str]:
    """Low bars that a person can stand on."""
    return [n for n in g.members if n.startswith("stretcher")]


@dataclass(frozen=True)
class Loader:
    """Seat forces of loads on the top of one table."""

    g: Geometry
    shared: seats_of.Sharing
    cells: seats_of.Cells

    @classmethod
    def of(cls, g: Geometry) -> Loader:
        shared = seats_of.sharing(g)
        return cls(g, shared, seats_of.cells_of(g.top, shared))

    def none(self) -> np.ndarray:
        return np.zeros((len(self.g.seats), 3))

    def down(self, forces: np.ndarray) -> np.ndarray:
        return np.outer(forces, DOWN)

    def own(self, factor: float = 1.0, way: np.ndarray = DOWN) -> np.ndarray:
        """The top's own weight, along `way`."""
        return np.outer(factor * seats_of.own_weight(self.g, self.cells), way)

    def at(self, P: float, place) -> np.ndarray:
        return self.down(P * self.shared.weights([place])[0])

    def push(self, H: float, way, *, height: float | None = None) -> np.ndarray:
        """A level push, shared by all seats; at a height above them it also leans the top on its far seats."""
        level = np.outer(np.full(len(self.g.seats), H / len(self.g.seats)), way)
        if height is None:
            return level
        lever = height - float(np.mean([s.place[2] for s in self.g.seats]))
        return level + self.down(H * lever * self.shared.moved(way[:2]))

    def twist(self, T: float) -> np.ndarray:
        """A turning push in plan (N m, anticlockwise from above), shared by distance from the middle."""
        arm = self.shared.seats - self.shared.seats.mean(axis=0)
        level = np.stack([-arm[:, 1], arm[:, 0], np.zeros(len(arm))], axis=1)
        return T * level / (arm**2).sum()


def places_round(g: Geometry, inset: float) -> list[tuple[str, np.ndarray]]:
    """Corners, ends and sides of the top at an inset; the rim of a round one."""
    a, b = g.top.length / 2 - inset, g.top.width / 2 - inset
    if g.top.shape == "round":
        turns = np.linspace(0, 2 * np.pi, 16, endpoint=False)
        return [("at the rim", np.array([a * np.cos(t), b * np.sin(t)])) for t in turns]
    return [("at a corner", np.array([sx * a, sy * b])) for sx in (1, -1) for sy in (1, -1)] + \
        [("at the middle of an end", np.array([s * a, 0.0])) for s in (1, -1)] + \
        [("at the middle of a long side", np.array([0.0, s * b])) for s in (1, -1)]


WAYS = {"along the table": np.array([1.0, 0, 0]), "back along the table": np.array([-1.0, 0, 0]),
        "across the table": np.array([0, 1.0, 0]), "back across the table": np.array([0, -1.0, 0])}
SLANT = {f"{a} and {b}": (WAYS[a] + WAYS[b]) / np.sqrt(2) for a in ("along the table", "back along the table")
         for b in ("across the table", "back across the table")}


def frame_cases(g: Geometry, cases: dict[str, LoadCase]) -> Iterator[FrameCase]:
    """Every load case at every place that may be the worst."""
    load = Loader.of(g)
    feet, none = np.zeros((len(g.feet), 3)), {n: 0.0 for n in stretchers(g)}
    usual = DOWN * GRAVITY
    own = load.own()

    def row(case, where, seats, *, feet=feet, on=none, gravity=usual, held=STANDING):
        return FrameCase(case, where, seats, feet, on, gravity, held)

    def size(case, unit="N"):
        return float(magnitude(case.value, unit))

    for case in cases.values():
        if case.id in ("everyday-spread", "severe-spread"):
            for where, mask in seats_of.patterns(g, load.cells).items():
                yield row(case, f"on {where}", own + load.down(load.cells.spread(size(case, "Pa"), mask)))
        elif case.id in ("person-strength", "person-sag", "proof"):
            inset = float(magnitude(case.inset_close or case.inset, "m"))
            for where, place in places_round(g, inset):
                yield row(case, where, own + load.at(size(case), place))
        elif case.id == "two-persons-strength":
            yield from (row(case, where, own + forces) for where, forces in _two(g, load, case))
        elif case.id == "shove":
            for where, way in {**WAYS, **SLANT}.items():  # any direction; a push that turns it over is one as hard as it stands
                most = BEFORE_OVER * _tipping_pull(g, g.mass * GRAVITY, way, g.top.surface)
                push, words = min((size(case), where), (most, f"{where}, as hard as the table stands"))
                yield row(case, words, own + load.push(push, way, height=g.top.surface))
        elif case.id == "lean-and-push-strength":
            inset, push = float(magnitude(case.inset, "m")), float(magnitude(case.push, "N"))
            for where, place in places_round(g, inset):
                way = np.array([*np.where(np.abs(place) > 1e-9, np.sign(place), 0.0), 0.0])
                yield row(case, where, own + load.at(size(case), place) + load.push(push, way / max(np.linalg.norm(way), 1.0), height=g.top.surface))
        elif case.id in ("standing-on-stretcher", "standing-on-stretcher-sag"):
            for name in none:
                yield row(case, f"on {name}", own, on={**none, name: size(case)})
        elif case.id == "push-for-wobble":
            for where in ("along the table", "across the table"):
                yield row(case, where, own + load.push(size(case), WAYS[where], height=g.top.surface))
            yield row(case, "in twist", own + load.twist(size(case) * g.top.length / 2))
        elif case.id == "foot-in-the-air" and len(g.feet) > 3:  # three feet stand on any floor
            person = cases["person-strength"]
            inset = float(magnitude(person.inset, "m"))
            for i, foot in enumerate(g.feet):
                yield row(case, f"{foot}, nobody on the table", own, held=f"air:{i}")
                # Away from the foot in the air: over it the table would rock back onto it.
                away = -np.sign(g.foot_contacts[i]) * [g.top.length / 2 - inset, g.top.width / 2 - inset] * (0.7 if g.top.shape == "round" else 1.0)
                yield row(case, f"{foot}, one person at the far corner", own + load.at(size(person), away), held=f"air:{i}")
        elif case.id in ("drag", "foot-caught", "lift-one-end", "stand-on-end", "turn-over"):
            yield from _handling(g, load, case, row)


def _two(g: Geometry, load: Loader, case: LoadCase):
    inset, spacing = (float(magnitude(s, "m")) for s in (case.inset, case.spacing))
    P = float(magnitude(case.value, "N"))
    if g.top.shape == "round":
        r = g.top.length / 2 - inset
        half = spacing / (2 * r)
        for t in np.linspace(0, 2 * np.pi, 16, endpoint=False):
            yield "two side by side at the rim", sum(load.at(P, (r * np.cos(t + s * half), r * np.sin(t + s * half))) for s in (-1, 1))
        return
    a, b = g.top.length / 2 - inset, g.top.width / 2 - inset
    for side in (1, -1):
        for x in np.linspace(-a, a - spacing, 7):
            yield "two on one long side", load.at(P, (x, side * b)) + load.at(P, (x + spacing, side * b))


def _handling(g: Geometry, load: Loader, case: LoadCase, row) -> Iterator[FrameCase]:
    heavy = 1.0 if g.top.mass_weighed else HEAVY_WOOD
    steel = sum(m.carried_mass for m in g.members.values()) * GRAVITY
    weight = heavy * g.top.mass * GRAVITY + steel
    factor = float(magnitude(case.value, ""))
    own, usual = load.own(heavy), DOWN * GRAVITY
    if case.id == "drag":
        for where, way in WAYS.items():
            pull = min(factor * weight, BEFORE_OVER * _tipping_pull(g, weight, way))
            rub = np.outer(np.full(len(g.feet), -pull / len(g.feet)), way)
            yield row(case, f"dragged {where}", own + load.push(pull, way), feet=rub, held="gliding", gravity=usual)
    elif case.id == "foot-caught":
        for i, foot in enumerate(g.feet):
            for where, way in WAYS.items():
                pull = min(factor * weight, BEFORE_OVER * _tipping_pull(g, weight, way))
                yield row(case, f"{foot} caught, dragged {where}", own + load.push(pull, way), held=f"caught:{i}", gravity=usual)
    elif case.id == "lift-one-end":
        for end in ("left", "right"):
            yield row(case, f"the {end} end", load.own(heavy * factor), held=f"lift:{end}", gravity=usual * factor)
    elif case.id == "stand-on-end":
        for end, way in (("left", np.array([-1.0, 0, 0])), ("right", np.array([1.0, 0, 0]))):
            yield row(case, f"on its {end} end", load.own(heavy * factor, way), held=f"end:{end}", gravity=way * GRAVITY * factor)
    elif case.id == "turn-over":
        for side, way in (("front", np.array([0, -1.0, 0])), ("back", np.array([0, 1.0, 0]))):
            yield row(case, f"over its {side} side", load.own(heavy * factor, way), held=f"over:{side}", gravity=way * GRAVITY * factor)


def _tipping_pull(g: Geometry, weight: float, way: np.ndarray, height: float | None = None) -> float:
    """Level pull at the top (at a height, else its underside) that turns the table over: nobody can drag it harder."""
    shape = outline(g.foot_contacts)
    centre = sum(p.mass * np.array(p.centre) for p in g.pieces) / g.mass
    lean = shape.normals @ way[:2]
    with np.errstate(divide="ignore"):
        pulls = np.where(lean > 1e-9, weight * inside_by(shape, centre[:2])[0] / ((height or g.top.underside) * np.maximum(lean, 1e-9)), np.inf)
    return float(pulls.min())


def supports_of(held: str, g: Geometry) -> list[tuple[str, int, str]]:
    """How a table is held: ("foot" or "seat", number, ways). Standing tables are held by their feet (see frame.FEET)."""
    how, _, what = held.partition(":")
    places = g.foot_contacts
    seats = np.array([s.place for s in g.seats])
    if how == "gliding":
        return [("foot", i, "x y z" if i == 0 else "y z" if i == _far(places, 0) else "z") for i in range(len(places))]
    if how == "caught":
        caught = int(what)
        return [("foot", i, "x y z" if i == caught else "y z" if i == _far(places, caught) else "z") for i in range(len(places))]
    if how == "air":
        return [("foot", i, "x y z") for i in range(len(places)) if i != int(what)]
    if how == "lift":
        sign = -1 if what == "left" else 1
        down = [("foot", i, "x y z") for i in range(len(places)) if sign * places[i, 0] < 1e-9]
        end = sign * seats[:, 0]
        edge = np.nonzero(end > end.max() - 1e-6)[0]
        ends = {int(edge[seats[edge, 1].argmin()]), int(edge[seats[edge, 1].argmax()])}
        # On one foot the table would turn in plan: who lifts it holds it across too.
        ways = "y z" if len(down) == 1 else "z"
        return down + [("seat", i, ways if n == 0 else "z") for n, i in enumerate(sorted(ends))]
    axis, way = (0, "x") if how == "end" else (1, "y")
    sign = -1 if what in ("left", "front") else 1
    reach, other = sign * seats[:, axis], seats[:, 1 - axis]
    edge = set(np.nonzero(reach > reach.max() - 1e-6)[0])
    for half in (other > 1e-6, other < -1e-6):  # a seat on either half at least: the edge of the top is stiff
        if half.any():
            edge.add(np.nonzero(half)[0][reach[half].argmax()])
    feet = np.nonzero(sign * places[:, axis] > (sign * places[:, axis]).max() - 1e-6)[0]
    return [("seat", int(i), "x y z") for i in sorted(edge)] + [("foot", int(i), way) for i in feet]


def _far(places: np.ndarray, anchor: int) -> int:
    """The foot furthest along x from the anchor: holding it across keeps the table from turning in plan."""
    return int(np.abs(places[:, 0] - places[anchor, 0]).argmax())
