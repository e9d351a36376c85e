"""People at the table: how many sit there without a leg between their knees, where a wheelchair goes under, what clears
thighs and shins. Metres; the room under a side is seen from that side: along it, in from its edge, up from the floor.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from shopcalc.formula import formula
from shopcalc.table.geometry import Geometry
from shopcalc.units import Count, Length

INCH = 0.0254
SPACING = 28 * INCH  # a seat (maker's planning note, retrieved: 28 to 30 in)
KNEES = 16 * INCH  # between the knees' outsides (common practice)
KNEE_DEPTH = 14 * INCH  # how far knees reach in under an ordinary place (common practice)
WHEELCHAIR = 30 * INCH  # ADA 2010, 305.3, 306.2.5, 306.3.5
CLEAR = 27 * INCH  # ADA 2010, 306.3.1: knee clearance
HEIGHTS = (28 * INCH, 34 * INCH)  # ADA 2010, 902.3
POPLITEAL, THIGH = 0.430, 0.207  # ANSUR II, men: seat at the median, thigh at the 95th percentile (retrieved)
SHIN_LOW, SHIN_HIGH, SHIN_DEPTH = 3 * INCH, 16 * INCH, 10 * INCH  # common practice
SIDES = ("front", "back", "left", "right")
CUTS = 12


@formula(symbol="L", source="maker-seat-planning")
def side_for(n: Count, s: Length) -> Length:
    """Length of a side that seats so many.

    n  seats
    s  room for each
    """
    return n*s


@formula(symbol="h", source="ansur-ii")
def thigh_height(*, p: Length, c: Length) -> Length:
    """Height that has to be clear over the thighs of somebody who sits.

    p  height of the seat
    c  thigh above the seat
    """
    return p + c


def depth_needed(z) -> np.ndarray:
    """How far in from the edge must be clear at a height, for a wheelchair: ADA 2010, 306.2 and 306.3. 17 in for toes up to
    9 in, then 11 in for knees, falling to 8 in at 27 in; nothing above."""
    z = np.asarray(z, float)
    knee = (11 - 3 * np.clip((z / INCH - 9) / 18, 0, 1)) * INCH
    return np.where(z < 9 * INCH, 17 * INCH, np.where(z < CLEAR, knee, 0.0))


@dataclass(frozen=True)
class Under:
    """What stands under a side. along, depth, z: (n, 2) from and to; names (n,), which stand
    upright and which run along the side (n,); length of the side."""

    side: str
    names: tuple[str, ...]
    upright: np.ndarray
    runs_along: np.ndarray
    along: np.ndarray
    depth: np.ndarray
    z: np.ndarray
    length: float


def all_sides(g: Geometry) -> dict[str, Under]:
    """Bars as short boxes, seen from every side."""
    boxes = _boxes(g)
    return {side: _seen(g, side, *boxes) for side in SIDES}


def raised(u: Under, by: float) -> Under:
    """The same with the levellers wound out."""
    return replace(u, z=u.z + by)


def _boxes(g: Geometry) -> tuple[tuple[str, ...], np.ndarray, np.ndarray]:
    names, low, high = [], [], []
    for m in g.members.values():
        half = np.abs(m.up) * m.height / 2 + np.abs(np.cross(m.direction, m.up)) * m.width / 2
        ends = np.linspace(m.first, m.second, CUTS + 1)
        pad = np.where(np.abs(m.direction) > 0.999, 0.0, half)
        for one, two in pairwise(ends):
            names.append(m.name)
            low.append(np.minimum(one, two) - pad)
            high.append(np.maximum(one, two) + pad)
    return tuple(names), np.array(low), np.array(high)


def _seen(g: Geometry, side: str, names: tuple[str, ...], low: np.ndarray, high: np.ndarray) -> Under:
    a, b = (0, 1) if side in ("front", "back") else (1, 0)
    half, long = (g.top.width / 2, g.top.length) if b else (g.top.length / 2, g.top.width)
    if side in ("front", "left"):
        depth = np.stack([low[:, b] + half, high[:, b] + half], axis=1)
    else:
        depth = np.stack([half - high[:, b], half - low[:, b]], axis=1)
    upright = np.array([g.members[n].upright for n in names])
    runs = np.array([abs(g.members[n].axis[a]) > 0.9 * g.members[n].length for n in names])
    return Under(side, names, upright, runs, np.stack([low[:, a], high[:, a]], axis=1), depth,
                 np.stack([low[:, 2], high[:, 2]], axis=1), long)


def blocks_knees(u: Under) -> np.ndarray:
    """(n,): what ordinary knees would meet: from the shins up to under the top, within their reach."""
    return (u.depth[:, 0] < KNEE_DEPTH) & (u.z[:, 1] > SHIN_HIGH) & (u.z[:, 0] < CLEAR - 4 * INCH)


def blocks_wheelchair(u: Under) -> np.ndarray:
    """(n,): what lies within the profile of ADA 306."""
    return u.depth[:, 0] < depth_needed(np.clip(u.z[:, 0], 0, None))


def places(u: Under, blocked: np.ndarray, spacing: float, clear: float) -> np.ndarray:
    """Middles of the most seats along a side whose clear width meets nothing: each as far to the left as it goes, which is
    never fewer than any other way."""
    shut = sorted(map(tuple, u.along[blocked] + np.array([-clear / 2, clear / 2])))
    found, at, end = [], -u.length / 2 + spacing / 2, u.length / 2 - spacing / 2
    while at <= end + 1e-9:
        hit = [s for s in shut if s[0] + 1e-9 < at < s[1] - 1e-9]
        if hit:
            at = max(s[1] for s in hit)
            continue
        found.append(at)
        at += spacing
    return np.array(found)


def near_the_middle(u: Under, blocked: np.ndarray, spacing: float, clear: float) -> np.ndarray:
    """As many as `places`, away from the corners where the legs leave room: half way between as far left and as far right."""
    left = places(u, blocked, spacing, clear)
    right = -places(replace(u, along=-u.along[:, ::-1]), blocked, spacing, clear)[::-1]
    middle = (left + right) / 2
    low, high = u.along[blocked, 0] - clear / 2 + 1e-9, u.along[blocked, 1] + clear / 2 - 1e-9
    return left if ((middle[:, None] > low) & (middle[:, None] < high)).any() else middle


def even_seats(u: Under, count: int) -> tuple[np.ndarray, list[tuple[int, str]]]:
    """Middles of seats spread evenly along a side, and conflicts: (seat from the left, bar between the knees)."""
    step = u.length / max(count, 1)
    middles = -u.length / 2 + step * (np.arange(count) + 0.5)
    blocked = np.nonzero(blocks_knees(u))[0]
    found = []
    for k, at in enumerate(middles, 1):
        for i in blocked:
            if u.along[i, 0] < at + KNEES / 2 - 1e-9 and u.along[i, 1] > at - KNEES / 2 + 1e-9 and (k, u.names[i]) not in found:
                found.append((k, u.names[i]))
    return middles, found


def clear_height(g: Geometry, u: Under) -> tuple[float, str]:
    """Height under the lowest thing over the thighs at a side (within 8 in of its edge), and what it is."""
    over = (u.depth[:, 0] < 8 * INCH) & (u.z[:, 0] > SHIN_HIGH) & ~u.upright
    if not over.any():
        return g.top.underside, "the top"
    i = np.nonzero(over)[0][u.z[over, 0].argmin()]
    return min(float(u.z[i, 0]), g.top.underside), u.names[i]


def shins(u: Under) -> tuple[float, str] | None:
    """How far in from a side the nearest low bar runs along it, and which; None where none does."""
    low = u.runs_along & (u.z[:, 0] < SHIN_HIGH) & (u.z[:, 1] > SHIN_LOW)
    if not low.any():
        return None
    i = np.nonzero(low)[0][u.depth[low, 0].argmin()]
    return float(u.depth[i, 0]), u.names[i]


# --- places in plan: what a picture shows, and round tops ----------------------------------------

TURNS = 720  # directions tried round a rim: every half degree


@dataclass(frozen=True)
class Place:
    """Somebody's place in plan. at: (x, y) on the edge; inward: unit vector under the top; meets: bars in the way."""

    words: str
    kind: str  # "seat" or "wheelchair"
    at: tuple[float, float]
    inward: tuple[float, float]
    width: float
    depth: float
    meets: tuple[str, ...] = ()


def round_blocked(g: Geometry, turns: np.ndarray, width: float, *, wheelchair: bool, raised_by: float = 0.0) -> tuple[np.ndarray, tuple[str, ...]]:
    """(t, n): which bars stand in a straight strip of a width that reaches in from the rim at each angle (rad), and their names."""
    names, low, high = _boxes(g)
    z = low[:, 2] + raised_by
    if wheelchair:
        reach = depth_needed(np.clip(z, 0, None))
    else:
        reach = np.where((high[:, 2] > SHIN_HIGH) & (z < CLEAR - 4 * INCH), KNEE_DEPTH, 0.0)
    radius = g.top.length / 2
    far = np.hypot(*np.maximum(np.abs(low[:, :2]), np.abs(high[:, :2])).T)
    near = np.nonzero((reach > 0) & (far > radius - reach))[0]
    found = np.zeros((len(turns), len(names)), bool)
    low, high, reach = low[near], high[near], reach[near]
    out = np.stack([np.cos(turns), np.sin(turns)], axis=1)[:, None, :]
    side = np.stack([-out[..., 1], out[..., 0]], axis=2)
    middle, half = (low + high)[:, :2] / 2, (high - low)[:, :2] / 2
    # Two boxes miss each other where a direction square to a side of either tells them apart.
    along, across = (middle * out).sum(axis=2), (middle * side).sum(axis=2)
    a, b = (half * np.abs(out)).sum(axis=2), (half * np.abs(side)).sum(axis=2)
    hit = (along + a > radius - reach + 1e-9) & (along - a < radius - 1e-9) & (np.abs(across) + 1e-9 < b + width / 2)
    strip = out * (radius - reach / 2)[:, None]
    size = np.abs(out) * (reach / 2)[:, None] + np.abs(side) * width / 2
    hit &= (np.abs(strip - middle) + 1e-9 < size + half).all(axis=2)
    found[:, near] = hit
    return found, names


def round_places(shut: np.ndarray, step: float) -> np.ndarray:
    """Angles (rad) of the most places round a rim, a step (rad) apart at least; shut (TURNS,): directions that are taken."""
    index = np.nonzero(~shut)[0]
    gap = max(1, math.ceil(step / (2 * np.pi / TURNS) - 1e-9))
    best: list[int] = []
    for first in index[index < index[0] + gap] if len(index) and gap <= TURNS else ():
        ahead = np.sort((index - first) % TURNS)
        taken, k = [], 0
        while k < len(ahead) and (not taken or ahead[k] <= TURNS - gap):
            taken.append(int(ahead[k] + first) % TURNS)
            k = int(np.searchsorted(ahead, ahead[k] + gap))
        if len(taken) > len(best):
            best = taken
    return np.sort(np.array(best, float)) * 2 * np.pi / TURNS


def round_seats(g: Geometry, spacing: float) -> np.ndarray:
    """Angles of the most seats round a rim whose knees meet no leg; spacing measured along the rim."""
    shut = round_blocked(g, 2 * np.pi * np.arange(TURNS) / TURNS, KNEES, wheelchair=False)[0].any(axis=1)
    return round_places(shut, spacing / (g.top.length / 2))


def round_wheelchairs(g: Geometry, heights: tuple[float, ...] = (0.0,)) -> np.ndarray:
    """Angles of the most wheelchairs round a rim: the profile of ADA 306, in from the tangent, at every height of the feet.
    Two of them do not overlap under the top."""
    turns, radius = 2 * np.pi * np.arange(TURNS) / TURNS, g.top.length / 2
    shut = np.any([round_blocked(g, turns, WHEELCHAIR, wheelchair=True, raised_by=h)[0].any(axis=1) for h in heights], axis=0)
    inner = radius - 17 * INCH
    return round_places(shut, 2 * math.atan(WHEELCHAIR / 2 / inner) if inner > 0 else 2 * np.pi)


def _at_rim(g: Geometry, turn: float, **given) -> Place:
    out = np.array([math.cos(turn), math.sin(turn)])
    return Place(at=tuple(map(float, out * g.top.length / 2)), inward=tuple(map(float, -out)), **given)


def round_even(g: Geometry, count: int) -> list[Place]:
    """Seats spread evenly round a rim, turned so that the fewest legs are met."""
    turns = 2 * np.pi * np.arange(TURNS) / TURNS
    hit, names = round_blocked(g, turns, KNEES, wheelchair=False)
    steps = np.round(np.arange(count) * TURNS / count).astype(int)
    shifts = np.arange(math.ceil(TURNS / count))
    i = (steps + shifts[:, None]) % TURNS
    best = i[hit.any(axis=1)[i].sum(axis=1).argmin()]
    return [_at_rim(g, turns[k], words=str(n), kind="seat", width=KNEES, depth=KNEE_DEPTH, meets=tuple(dict.fromkeys(np.array(names)[hit[k]])))
            for n, k in enumerate(best, 1)]


def _at_side(g: Geometry, side: str, along: float, **given) -> Place:
    a, b = g.top.length / 2, g.top.width / 2
    at, inward = {"front": ((along, -b), (0.0, 1.0)), "back": ((along, b), (0.0, -1.0)), "left": ((-a, along), (1.0, 0.0)),
                  "right": ((a, along), (-1.0, 0.0))}[side]
    return Place(at=tuple(map(float, at)), inward=inward, **given)


def plan_of_places(g: Geometry, *, seats: int | None = None, ends: int | None = None, spacing: float = SPACING,
                   heights: tuple[float, ...] = (0.0,)) -> list[Place]:
    """Every place of a table in plan. seats on each long side (round the rim of a round top) and ends at each end as the job asks,
    spread evenly, with the bars that their knees meet; where it asks for none, as many as meet nothing. Then the wheelchairs."""
    found: list[Place] = []
    if g.top.shape == "round":
        if seats:
            found = round_even(g, seats)
        else:
            found = [_at_rim(g, t, words=str(n), kind="seat", width=KNEES, depth=KNEE_DEPTH) for n, t in enumerate(round_seats(g, spacing), 1)]
        return found + [_at_rim(g, t, words=f"W{n}", kind="wheelchair", width=WHEELCHAIR, depth=17 * INCH)
                        for n, t in enumerate(round_wheelchairs(g, heights), 1)]
    chairs: list[Place] = []
    for side, u in all_sides(g).items():
        asked = seats if side in ("front", "back") else ends
        middles, bad = even_seats(u, asked) if asked else (near_the_middle(u, blocks_knees(u), spacing, KNEES), [])
        found += [_at_side(g, side, at, words=str(len(found) + k), kind="seat", width=KNEES, depth=KNEE_DEPTH,
                           meets=tuple(name for which, name in bad if which == k)) for k, at in enumerate(middles, 1)]
        shut = min((near_the_middle(v, blocks_wheelchair(v), WHEELCHAIR, WHEELCHAIR) for v in (raised(u, h) for h in heights)), key=len)
        chairs += [_at_side(g, side, at, words=f"W{len(chairs) + k}", kind="wheelchair", width=WHEELCHAIR, depth=17 * INCH)
                   for k, at in enumerate(shut, 1)]
    return found + chairs


def corner_clashes(found: list[Place]) -> list[tuple[str, str]]:
    """Seats of two sides of a rectangular top whose knees want the same corner."""
    seats = [p for p in found if p.kind == "seat"]
    boxes = []
    for p in seats:
        at, inward = np.array(p.at), np.array(p.inward)
        half = np.abs(inward) * p.depth / 2 + np.abs(inward[::-1]) * p.width / 2
        boxes.append((at + inward * p.depth / 2, half))
    return [(a.words, b.words) for i, a in enumerate(seats) for j, b in enumerate(seats[i + 1:], i + 1)
            if abs(np.dot(a.inward, b.inward)) < 1e-9 and (np.abs(boxes[i][0] - boxes[j][0]) + 1e-6 < boxes[i][1] + boxes[j][1]).all()]
