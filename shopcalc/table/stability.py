"""When the whole table goes over: righting against overturning about every edge of the real foot contacts.

Rigid body on a hard floor, sliding prevented. The wood counts 10 % light. A floor slope leans the table and what
stands on it against it, whichever edge is looked at. It is tried as drawn, with its levellers wound out by their travel,
and with every choice of lift-out inserts left out. Where a foot *lifts* is another question (maps.py).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np

from shopcalc.errors import InputError
from shopcalc.mechanics.statics import (
    GRAVITY,
    Outline,
    inside_by,
    load_that_tips,
    outline,
    righting_ratio,
)
from shopcalc.table.geometry import Geometry
from shopcalc.table.job import Job
from shopcalc.table.loads import LoadCase
from shopcalc.units import magnitude, show_length

# Wood may be lighter than the mean of its species (trade practice; own weight in loads.toml acts "light").
LIGHT_WOOD = 0.9


@dataclass(frozen=True)
class Body:
    """The table as one body for overturning: weight (N), centre (m, three), outline of the feet; how far its levellers are
    wound out beyond the drawing (m), the inserts that are out, and words for both."""

    weight: float
    centre: np.ndarray
    shape: Outline
    raised: float = 0.0
    out: tuple[str, ...] = ()

    @property
    def words(self) -> str:
        said = ["levellers wound out"] if self.raised else []
        return " and ".join([*said, *(["without " + ", ".join(self.out)] if self.out else [])])


@dataclass(frozen=True)
class Standing:
    """One stability case at its worst place: loads (N) at points (m), a push (N), the edge and the moments."""

    case: LoadCase
    where: str
    loads: np.ndarray
    points: np.ndarray
    push: float
    ratio: float
    edge: int
    righting: float
    overturning: float
    tips_at: float  # the one load at the place that would tip the table, N (inf: none)
    body: Body | None = None


def body_of(g: Geometry, *, light: bool = True, raised: float = 0.0, out: Mapping[str, tuple[float, tuple[float, float]]] | None = None) -> Body:
    """The whole table. light: wood 10 % lighter than the mean of its species, unless it was weighed; raised: levellers wound
    out (m); out: name -> (mass kg, (x, y)) of inserts that are out."""
    masses = np.array([p.mass * (LIGHT_WOOD if light and p.name == "top" and not g.top.mass_weighed else 1.0)
                       for p in g.pieces])
    centres = np.array([p.centre for p in g.pieces])
    out = out or {}
    if out:
        masses = np.concatenate([masses, [-mass for mass, _ in out.values()]])
        centres = np.concatenate([centres, [(x, y, g.top.middle[2]) for _, (x, y) in out.values()]])
    centre = (masses[:, None] * centres).sum(axis=0) / masses.sum()
    return Body(float(masses.sum()) * GRAVITY, centre + [0.0, 0.0, raised], outline(g.foot_contacts), raised, tuple(out))


def loose_body(g: Geometry) -> Body:
    """The slab of the top alone, wood light, lying on its seats: heights are over them, so it stands that much lower than the table."""
    low, light = g.top.underside, 1.0 if g.top.mass_weighed else LIGHT_WOOD
    return Body(light * g.top.mass * GRAVITY, g.top.middle - [0.0, 0.0, low], outline(np.array([s.place[:2] for s in g.seats])), -low)


def inserts_of(job: Job, g: Geometry) -> dict[str, tuple[float, tuple[float, float]]]:
    """Lift-out parts of the top: name -> (mass kg, (x, y) m). Raises InputError for one that is not on the top, or for
    inserts that weigh more than the top."""
    found = {}
    for name, insert in job.model.top.inserts.items():
        x, y = (float(magnitude(v, "m")) for v in insert.at)
        if not g.top.covers(x, y):
            raise InputError(field=f"top.inserts.{name}.at", value=[show_length(v, job.system) for v in insert.at],
                             need="a place on the top, from its middle along and across", example='at = ["10 in", "0 in"]')
        found[name] = (float(magnitude(insert.mass, "kg")), (x, y))
    if found and sum(m for m, _ in found.values()) >= LIGHT_WOOD * g.top.mass:
        raise InputError(field="top.inserts", value=f"{sum(m for m, _ in found.values()):.0f} kg",
                         need=f"inserts lighter than the top they lift out of ({g.top.mass:.0f} kg)", example='mass = "12 lb"')
    return found


def bodies(job: Job, g: Geometry) -> list[Body]:
    """The table in every state it may stand in: as drawn first; levellers out; inserts out, in every choice."""
    travel = job.model.base.feet.travel
    heights = [0.0] + ([float(magnitude(travel, "m"))] if travel is not None and magnitude(travel, "m") > 0 else [])
    inserts = inserts_of(job, g)
    choices = [dict(some) for n in range(len(inserts) + 1) for some in combinations(inserts.items(), n)]
    return [body_of(g, raised=h, out=c) for h in heights for c in choices]


def edge_words(body: Body, edge: int) -> str:
    """The edge in words: which feet the table would turn about."""
    nx, ny = body.shape.normals[edge]
    names = []
    if abs(nx) > 0.3:
        names.append("right" if nx > 0 else "left")
    if abs(ny) > 0.3:
        names.append("back" if ny > 0 else "front")
    return "the " + " and ".join(names) + " feet"


def named_places(g: Geometry, inset: float) -> list[tuple[str, np.ndarray]]:
    """Places round the top at an inset from its edge: the outline is straight between them, so the worst place
    for one load is among them."""
    a, b = g.top.length / 2 - inset, g.top.width / 2 - inset
    if g.top.shape == "round":
        turn = np.linspace(0, 2 * np.pi, 72, endpoint=False)
        return [("the rim", np.array([a * np.cos(t), b * np.sin(t)])) for t in turn]
    signs = (1.0, -1.0)  # a base need not be alike on all sides
    return ([("a corner", np.array([sx * a, sy * b])) for sx in signs for sy in signs]
            + [("the middle of an end", np.array([s * a, 0.0])) for s in signs]
            + [("the middle of a long side", np.array([0.0, s * b])) for s in signs])


def standing_cases(g: Geometry, body: Body, cases: dict[str, LoadCase], slope: float) -> Iterator[Standing]:
    """Every stability case at its worst place, the table whole."""
    for case in cases.values():
        if case.kind == "stability":
            found = [_stand(body, case, where, points, g, slope) for where, points in _places(g, case)]
            worst = min(found, key=lambda s: s.ratio)
            tips, _ = load_that_tips(body.shape, body.weight, body.centre[:2], worst.points.mean(axis=0)[None],
                                     **_lean(body, worst.push, g, slope))
            yield replace(worst, tips_at=float(tips[0]))


def _places(g: Geometry, case: LoadCase) -> list[tuple[str, np.ndarray]]:
    inset = float(magnitude(case.inset, "m"))
    single = [("at " + w, p[None]) for w, p in named_places(g, inset)]
    if case.spacing is None:
        return single
    spacing = float(magnitude(case.spacing, "m"))
    single = [("one person " + w, p) for w, p in single]
    if g.top.shape == "round":
        r = g.top.length / 2 - inset
        half = spacing / (2 * r)
        return single + [("two side by side at the rim", r * np.array([[np.cos(t - half), np.sin(t - half)], [np.cos(t + half), np.sin(t + half)]]))
                         for t in np.linspace(0, 2 * np.pi, 72, endpoint=False)]
    b, end = g.top.width / 2 - inset, g.top.length / 2 - inset
    starts = np.linspace(-end, end - spacing, 41)
    pairs = [("two on one long side", np.array([[x, s * b], [x + spacing, s * b]])) for s in (1.0, -1.0) for x in starts]
    return single + pairs


def _lean(body: Body, push: float, g: Geometry, slope: float) -> dict[str, float]:
    """A push and a slope, and how high they act, as `statics` asks for them."""
    high = g.top.surface + body.raised
    return {"push": push, "push_height": high, "slope": slope, "centre_height": float(body.centre[2]), "load_height": high}


def _stand(body: Body, case: LoadCase, where: str, points: np.ndarray, g: Geometry, slope: float) -> Standing:
    """One place; the load that tips the table there is worked out for the worst of them alone."""
    loads = np.full(len(points), float(magnitude(case.value, "N")))
    push = float(magnitude(case.push, "N")) if case.push is not None else 0.0
    ratio, edge, righting, overturning = righting_ratio(body.shape, body.weight, body.centre[:2], loads, points, **_lean(body, push, g, slope))
    return Standing(case, where, loads, points, push, ratio, edge, righting, overturning, np.nan, body)


def goes_over_map(g: Geometry, body: Body, *, slope: float = 0.0, push: float = 0.0, nx: int = 64, ny: int = 32, others=(),
                  others_at=()) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Load (N) at which the table goes over, for a grid over the top: x (nx,), y (ny,), load (ny, nx); inf where
    no load there tips it, nan off the top. others, others_at: loads (N) that stand on it already, and where."""
    x = np.linspace(-g.top.length / 2, g.top.length / 2, nx)
    y = np.linspace(-g.top.width / 2, g.top.width / 2, ny)
    grid = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
    load = goes_over_at(g, body, grid, slope=slope, push=push, others=others, others_at=others_at)
    load = np.where(g.top.covers(grid[:, 0], grid[:, 1]), load, np.nan)
    return x, y, load.reshape(ny, nx)


def goes_over_at(g: Geometry, body: Body, places, *, slope: float = 0.0, push: float = 0.0, others=(), others_at=()) -> np.ndarray:
    """Load (N) at which the table goes over at each place (n, 2) of its top."""
    high = g.top.surface + body.raised
    return load_that_tips(body.shape, body.weight, body.centre[:2], places, push=push, push_height=high, slope=slope,
                          centre_height=float(body.centre[2]), load_height=high, others=others, others_at=others_at)[0]


def weakest_place(x: np.ndarray, y: np.ndarray, load: np.ndarray) -> tuple[float, float, float]:
    """Place and size of the least load of a map."""
    j, i = np.unravel_index(np.nanargmin(load), load.shape)
    return float(x[i]), float(y[j]), float(load[j, i])


def arms(body: Body, edge: int, point: np.ndarray) -> tuple[float, float]:
    """From an edge back to the centre of gravity, and out to a point; metres, level."""
    return (float(inside_by(body.shape, body.centre[:2])[0, edge]), -float(inside_by(body.shape, point)[0, edge]))
