"""Two maps over the plan of the top: the load at which *a foot lifts*, and the load at which *the table goes over*.

Goes over: rigid body, worst direction, the worst state it may stand in (levellers out, inserts out). A foot lifts: the base
bends as its frame does, with stiff and soft bounds side by side, the top as its plate does on its seats; feet that only press,
on an even floor and with any one foot over a hollow.
SI arrays: loads in N, places in metres, nan off the top.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from shopcalc.mechanics.lifting import Feet
from shopcalc.mechanics.statics import GRAVITY
from shopcalc.table.checks import floor_slope
from shopcalc.table.foot_forces import STATES, FootForces, feet_in, units
from shopcalc.table.geometry import Geometry
from shopcalc.table.job import Job
from shopcalc.table.loads import LoadCase
from shopcalc.table.stability import LIGHT_WOOD, Body, bodies, goes_over_at, inserts_of
from shopcalc.units import magnitude

ALONG, ACROSS = 100, 50
RIM = 180
# Directions that are tried for a push or a slope, besides the worst one of every foot.
WAYS = 4
# Loads that differ by no more than this part of themselves are one answer.
ALIKE = 1e-6


@dataclass(frozen=True)
class Setting:
    """What else goes on: a push outward at the upper face of the top (N), slope of the floor, hollow under one foot (m), other
    people already on it (N each) and where (m, two)."""

    push: float = 0.0
    slope: float = 0.0
    hollow: float = 0.0
    others: tuple[float, ...] = ()
    others_at: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True)
class Weakest:
    """The least load of a map: place (m), size (N), the place in words, and the state of the table there."""

    x: float
    y: float
    load: float
    words: str
    state: str = ""


@dataclass(frozen=True)
class TopMap:
    """x (nx,), y (ny,), load (ny, nx), inf where no load there does it."""

    x: np.ndarray
    y: np.ndarray
    load: np.ndarray
    weakest: Weakest


@dataclass(frozen=True)
class Maps:
    over: TopMap
    lifts: TopMap
    lifts_uneven: TopMap | None
    setting: Setting = field(default_factory=Setting)


def setting_of(job: Job, cases: dict[str, LoadCase]) -> Setting:
    """The job's own floor: its slope, and the hollow of its load table."""
    return Setting(slope=floor_slope(job), hollow=float(magnitude(cases["foot-in-the-air"].value, "m")))


def maps(job: Job, g: Geometry, setting: Setting, *, states: Sequence[tuple[str, str, str]] = STATES, nx: int = ALONG,
         ny: int = ACROSS) -> Maps:
    """Both maps of a whole top."""
    x, y, places, rim = _places(g, nx, ny)
    everywhere = np.concatenate([places, rim])
    over, over_state = over_at(g, bodies(job, g), everywhere, setting)
    feet = feet_in(job, g, states)
    each = units(feet, everywhere)
    lifts, state = lifts_at(job, g, feet, everywhere, setting, each=each)
    uneven = None
    if setting.hollow:
        low, low_state = lifts_at(job, g, feet, everywhere, setting, uneven=True, each=each)
        uneven = _map(g, x, y, everywhere, low, low_state)
    return Maps(_map(g, x, y, everywhere, over, over_state), _map(g, x, y, everywhere, lifts, state), uneven, setting)


def over_at(g: Geometry, standing: Sequence[Body], places, setting: Setting) -> tuple[np.ndarray, list[str]]:
    """Load at which the table goes over at each place (n, 2), and the state in which it does: the worst of them."""
    rows = np.array([goes_over_at(g, b, places, slope=setting.slope, push=setting.push, others=setting.others,
                                  others_at=setting.others_at) for b in standing])
    worst = rows.argmin(axis=0)
    words = [b.words for b in standing]
    return rows.min(axis=0), [words[i] for i in worst]


def lifts_at(job: Job, g: Geometry, feet: Sequence[FootForces], places, setting: Setting, *,
             uneven: bool = False, each: Sequence[np.ndarray] | None = None) -> tuple[np.ndarray, list[str]]:
    """Load at which the first foot leaves the floor at each place (n, 2), and the state in which it does. uneven: each foot
    in turn over the hollow of the setting. each: what `units` says of these places, where it is known."""
    places = np.atleast_2d(places)
    each = units(feet, places) if each is None else each
    least, state = np.full(len(places), np.inf), np.zeros(len(places), int)
    words = []
    for f, unit in zip(feet, each, strict=True):
        own = _own(job, g, f, setting)
        downs, leans = (np.stack(np.broadcast_arrays(*each)) for each in zip(*_ways(g, f, own, setting), strict=True))
        for i, hollow in enumerate(-setting.hollow * np.eye(len(f.own)) if uneven else np.zeros((1, len(f.own)))):
            bed = Feet.of(f.S, floor=hollow)
            words.append(f.words + (f", {g.feet[i]} over a hollow" if uneven else ""))
            load = bed.least_that_lifts(downs, unit + leans[:, None])
            state[load < least * (1 - ALIKE)] = len(words) - 1
            least = np.minimum(least, load)
    return least, [words[i] for i in state]


def _own(job: Job, g: Geometry, f: FootForces, setting: Setting) -> np.ndarray:
    """Forces under the table alone: wood light, inserts out where that unloads a foot, others on it where they do."""
    own = f.own if g.top.mass_weighed else f.own - (1.0 - LIGHT_WOOD) * f.top
    for mass, place in inserts_of(job, g).values():
        own = own - mass * GRAVITY * np.maximum(f.unit([place])[0], 0.0)
    for force, place in zip(setting.others, setting.others_at, strict=True):
        own = own + force * np.minimum(f.unit([place])[0], 0.0)  # who presses a foot down may step off
    return own


def _ways(g: Geometry, f: FootForces, own: np.ndarray, setting: Setting):
    """Forces without the load and what the load adds by leaning, for every direction of push and slope that may be worst."""
    if not setting.push and not setting.slope:
        yield own, np.zeros_like(own)
        return
    lean = f.lean if g.top.mass_weighed else f.lean - (1.0 - LIGHT_WOOD) * f.top_lean
    level = setting.push * f.push + setting.slope * lean  # (2, k)
    turns = 2 * np.pi * np.arange(WAYS) / WAYS
    ways = [*np.stack([np.cos(turns), np.sin(turns)], axis=1),
            *(-v / np.linalg.norm(v) for v in level.T if np.linalg.norm(v) > 0)]
    for way in ways:
        yield own + way @ level, setting.slope * (way @ f.push)


def _places(g: Geometry, nx: int, ny: int):
    x = np.linspace(-g.top.length / 2, g.top.length / 2, nx)
    y = np.linspace(-g.top.width / 2, g.top.width / 2, ny)
    grid = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
    if g.top.shape != "round":
        return x, y, grid, np.zeros((0, 2))
    turns = 2 * np.pi * np.arange(RIM) / RIM
    return x, y, grid, np.stack([np.cos(turns) * g.top.length / 2, np.sin(turns) * g.top.width / 2], axis=1)


def _map(g: Geometry, x, y, places, load, state) -> TopMap:
    on = np.where(g.top.covers(places[:, 0], places[:, 1]), load, np.nan)
    i = first_least(on)
    weakest = Weakest(float(places[i, 0]), float(places[i, 1]), float(on[i]), place_words(g, *places[i]), state[i])
    return TopMap(x, y, on[: len(x) * len(y)].reshape(len(y), len(x)), weakest)


def first_least(load: np.ndarray) -> int:
    """The first place of those where the least load acts, nan left out: rounding does not choose among mirror images."""
    return int(np.flatnonzero(load <= np.nanmin(load) * (1 + ALIKE))[0])


def place_words(g: Geometry, x: float, y: float) -> str:
    """A place on the top in words, as seen from the front."""
    if g.top.shape == "round":
        if np.hypot(x, y) < 0.1 * g.top.length:
            return "the middle of the top"
        turn = round(float(np.degrees(np.arctan2(y, x))) / 45) % 8
        side = ("right", "back right", "back", "back left", "left", "front left", "front", "front right")[turn]
        return f"the {'rim' if np.hypot(x, y) > 0.45 * g.top.length else 'top'}, {side}"
    side = "right" if x > 0 else "left"
    face = "back" if y > 0 else "front"
    far, wide = abs(x) > 0.47 * g.top.length, abs(y) > 0.47 * g.top.width
    if far and wide:
        return f"the {face} {side} corner"
    if far:
        return f"the {side} end" + ("" if abs(y) > 0.1 * g.top.width else ", in its middle")
    if wide:
        return f"the {face} side" + (", in its middle" if abs(x) < 0.1 * g.top.length else f", towards the {side}")
    return "the middle of the top" if abs(x) < 0.1 * g.top.length and abs(y) < 0.1 * g.top.width else f"the top, {face} {side}"
