"""Hand load path of a two-trestle table, until the frame carries it: which beam sees which load in which case.

The top is taken as a stiff strip that rests on the two head bars (their forces follow from statics alone); each
bar is a straight beam on what holds it, its ends free to turn (the soft bound for sag and middle moment). Both
trestles are alike, so the worse one stands for both.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np
import pint

from shopcalc.mechanics.beams import Beam, Even, Load, Point
from shopcalc.mechanics.statics import GRAVITY, weight_of
from shopcalc.table.geometry import Geometry, Member
from shopcalc.table.loads import LoadCase
from shopcalc.units import Quantity, magnitude

# Two persons, one and the same strip: places are tried along the edge at this many stations.
STATIONS = 41

STRIP = "top taken as a stiff strip resting on both head bars; the plate under it is not there yet"
PINNED = "ends of the bar taken as free to turn; the welded frame is not there yet"


@dataclass(frozen=True)
class LoadedBar:
    """One bar under one load case. about: the name in the record; span: what a sag limit refers to."""

    about: str
    words: str
    member: Member
    case: LoadCase
    where: str
    beam: Beam
    span: pint.Quantity
    assumed: tuple[str, ...] = field(default=(PINNED,))


def metres(value: float) -> pint.Quantity:
    return Quantity(value, "m")


def newtons(value: float) -> pint.Quantity:
    return Quantity(value, "N")


def weight_per_length(member: Member) -> pint.Quantity:
    return Quantity(float(member.design.mass_per_length[0]) * GRAVITY, "N/m")


def loaded_bars(geometry: Geometry, cases: dict[str, LoadCase]) -> Iterator[LoadedBar]:
    """Every bar in every case that reaches it."""
    yield from _stretcher(geometry, cases)
    yield from _rails(geometry, cases)
    for case in cases.values():
        if case.id in ("everyday-spread", "severe-spread", "person-strength", "person-sag",
                       "two-persons-strength"):
            yield from _trestle(geometry, case)


# --- the stretcher and the rails that carry it ----------------------------------------------------


def _stretcher(g: Geometry, cases) -> Iterator[LoadedBar]:
    member = g.members["stretcher"]
    L = metres(member.length)
    for case in (cases["standing-on-stretcher"], cases["standing-on-stretcher-sag"]):
        loads: list[Load] = [Even(weight_per_length(member), name="own weight"), Point(case.value, L / 2, name="person")]
        yield LoadedBar("stretcher", "Stretcher", member, case, "in the middle",
                        beam_of(member, "simple", L, loads), L)


def _rails(g: Geometry, cases) -> Iterator[LoadedBar]:
    member, stretcher = g.members["trestle.left.rail"], g.members["stretcher"]
    L = metres(member.length)
    own = weight_per_length(stretcher) * metres(stretcher.length) / 2
    for case in (cases["standing-on-stretcher"], cases["standing-on-stretcher-sag"]):
        loads: list[Load] = [Even(weight_per_length(member), name="own weight"),
                             Point(case.value + own, L / 2, name="person at the end of the stretcher")]
        yield LoadedBar("trestle.rail", "Rail between the posts", member, case, "at the end of the stretcher",
                        beam_of(member, "simple", L, loads), L)


def beam_of(member: Member, ends: str, L, loads, left=None, right=None) -> Beam:
    section, steel = member.design, member.tube.steel
    return Beam(ends=ends, L=L, E=steel.E, I=Quantity(float(section.Ix[0]), "m**4"), loads=loads,
                GA=steel.G * Quantity(float(section.Av_x[0]), "m**2"), overhang_left=left, overhang_right=right)


# --- head bar and foot bar of the more loaded trestle ---------------------------------------------


@dataclass(frozen=True)
class OnHead:
    """What the top puts on one head bar: an even part (N over the whole bar) and points (N, y)."""

    even: float
    points: tuple[tuple[float, float], ...]
    where: str


def share(g: Geometry, x) -> np.ndarray:
    """Part of a load at x that the right trestle carries (over 1 beyond it, negative beyond the other)."""
    half = g.members["trestle.right.head"].first[0]
    return (np.asarray(x, float) + half) / (2 * half)


def top_weight(g: Geometry) -> float:
    return g.top.mass * GRAVITY


def spread_on_head(g: Geometry, pressure: float) -> float:
    """Force on the right head bar of an even load (Pa) on whatever part of the top loads it most: all of the
    top to the right of the left trestle."""
    half, end = g.members["trestle.right.head"].first[0], g.top.length / 2
    return pressure * g.top.width * (end + half) ** 2 / (4 * half)


def on_head(g: Geometry, case: LoadCase) -> list[OnHead]:
    own = top_weight(g) / 2
    half_width, end = g.top.width / 2, g.top.length / 2
    if case.id.endswith("spread"):
        return [OnHead(own + spread_on_head(g, float(magnitude(case.value, "Pa"))), (), "worst part of the top")]
    P = float(magnitude(case.value, "N"))
    if case.id.startswith("person"):
        inset = float(magnitude((case.inset_close or case.inset), "m"))
        part = float(share(g, end - inset)) * P
        return [OnHead(own, ((part, 0.0),), "at the middle of an end"),
                OnHead(own, ((part, half_width - inset),), "at a corner")]
    inset, spacing = (float(magnitude(s, "m")) for s in (case.inset, case.spacing))
    start = np.linspace(-end + inset, end - inset - spacing, STATIONS)
    pair = share(g, start) + share(g, start + spacing)
    part = float(pair.max()) * P
    return [OnHead(own, ((part, half_width - inset),), "two on one long side, near the end")]


def _trestle(g: Geometry, case: LoadCase) -> Iterator[LoadedBar]:
    head, foot = g.members["trestle.right.head"], g.members["trestle.right.foot"]
    y_post = abs(g.members["trestle.right.post.front"].first[1])
    y_foot = abs(g.points["foot.right.front"][1])
    posts = [m for n, m in g.members.items() if n.startswith("trestle.right.post")]
    rail = g.members["trestle.right.rail"]
    post_weight = weight_of(posts[0].mass + rail.mass / 2)
    for load in on_head(g, case):
        reach = head.length / 2
        # From the front post; a load beyond the end of the bar reaches it at its end.
        loads: list[Load] = [Even(weight_per_length(head), name="own weight of the bar"),
                             Even(Quantity(load.even / head.length, "N/m"), name="top and spread load")]
        for P, y in load.points:
            loads.append(Point(newtons(P), metres(min(y, reach) + y_post), name="person"))
        L = metres(2 * y_post)
        arm = metres(reach - y_post)
        beam = beam_of(head, "simple", L, loads, arm, arm)
        span = metres(max(2 * y_post, 2 * (reach - y_post)))
        yield LoadedBar("trestle.head", "Head bar of a trestle", head, case, load.where, beam, span, (STRIP, PINNED))
        under = [Even(weight_per_length(foot), name="own weight"),
                 Point(beam.left_reaction + post_weight, metres(y_foot - y_post), name="front post"),
                 Point(beam.right_reaction + post_weight, metres(y_foot + y_post), name="back post")]
        over = metres(foot.length / 2 - y_foot)
        yield LoadedBar("trestle.foot", "Foot bar of a trestle", foot, case, load.where,
                        beam_of(foot, "simple", metres(2 * y_foot), under, over, over), metres(2 * y_foot),
                        (STRIP, PINNED, "all feet on the floor"))
