"""People at the table: how many sit there without a leg between their knees, where a wheelchair goes under, what clears
thighs and shins. Metres; the room under a side is seen from that side: along it, in from its edge, up from the floor.
"""

from __future__ import annotations

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
