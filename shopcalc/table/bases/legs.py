"""Four legs under rails, with stretchers as an H or a box, or none. Legs may be splayed."""

from __future__ import annotations

import numpy as np

from shopcalc.table.assembly import Assembly, Member
from shopcalc.table.bases.fit import Fit, metres
from shopcalc.table.job import Job
from shopcalc.table.jobfile.base import LegBase

CORNERS = {"left.front": (-1, -1), "left.back": (-1, 1), "right.front": (1, -1), "right.back": (1, 1)}
SEATS_ON_RAIL = {"front": 5, "back": 5, "left": 3, "right": 3}


def leg_base(job: Job, base: LegBase) -> Assembly:
    a, fit = Assembly(), Fit(job)
    legs, top = base.legs, job.model.top
    leg = job.tube(legs.stock, "base.legs")
    rail = job.tube(base.rails.stock, "base.rails", base.rails.lies)
    low = metres(base.feet.height)
    z_rail = metres(base.height) - fit.half_height(rail)
    high = metres(base.height)
    half_x, half_y = metres(legs.along) / 2, metres(legs.across) / 2
    out_x, out_y = metres(legs.splay_along), metres(legs.splay_across)
    fit.no_ends(base.feet)
    fit.need((out_x**2 + out_y**2) ** 0.5 < (high - low) / 2, "base.legs.splay_along", legs.splay_along,
             f"splay under half of the height of the legs ({fit.say((high - low) / 2)})", 'splay_along = "2 in"')
    for field, size, whole, example in (("base.legs.along", legs.along, top.length, 'along = "54 in"'),
                                        ("base.legs.across", legs.across, top.width, 'across = "24 in"')):
        fit.need(metres(size) + fit.height(leg) <= metres(whole), field, size, f"legs under the top ({fit.say(metres(whole))})", example)
        fit.need(metres(size) > 2 * fit.height(leg), field, size, "legs that stand apart", example)
    fit.need(high - low > 3 * fit.height(rail), "base.height", base.height, "a height with room for rails and legs", 'height = "28 in"')
    taper = fit.tapered(leg, legs.taper, "base.legs.taper", high - low)
    for name, (sx, sy) in CORNERS.items():
        a.bar(f"leg.{name}", "base", legs.stock, leg, (sx * (half_x + out_x), sy * (half_y + out_y), low),
              (sx * half_x, sy * half_y, high), **taper)
    fit.face("base.rails.stock", fit.width(rail), _narrower(a.members["leg.left.front"], z_rail - fit.half_height(rail)))
    for side, (one, two) in {"front": ("left.front", "right.front"), "back": ("left.back", "right.back"),
                             "left": ("left.front", "left.back"), "right": ("right.front", "right.back")}.items():
        _between(a, fit, f"rail.{side}", "base", base.rails.stock, rail, a.members[f"leg.{one}"], a.members[f"leg.{two}"], z_rail,
                 "rail to leg")
        bar = a.members[f"rail.{side}"]
        count = SEATS_ON_RAIL[side]
        for i in range(count):
            if side in ("front", "back") or 0 < i < count - 1:
                a.seat(f"seat.{side}.{i + 1}", bar.name, bar.point_at(bar.length * i / (count - 1)))
    if base.stretchers is not None:
        _stretchers(job, a, fit, base)
    for name in CORNERS:
        a.foot(f"foot.{name}", f"leg.{name}", a.members[f"leg.{name}"].first)
    return a


def _stretchers(job: Job, a: Assembly, fit: Fit, base: LegBase) -> None:
    s = base.stretchers
    bar = job.tube(s.stock, "base.stretchers", s.lies)
    z = metres(s.above_floor)
    leg = a.members["leg.left.front"]
    rail = a.members["rail.front"]
    low, high = leg.first[2] + fit.half_height(bar), rail.first[2] - rail.height / 2 - fit.half_height(bar)
    fit.need(low < z < high, "base.stretchers.above_floor", s.above_floor,
             f"a place between the feet and the rails ({fit.say(low)} to {fit.say(high)})", 'above_floor = "6 in"')
    fit.face("base.stretchers.stock", fit.width(bar), _narrower(leg, z - fit.half_height(bar)))
    fit.need(s.middle is None or s.shape == "H", "base.stretchers.middle", s.middle, "no middle bar in a box of stretchers", 'shape = "H"')
    for side in ("left", "right"):
        _between(a, fit, f"stretcher.{side}", "base", s.stock, bar, a.members[f"leg.{side}.front"], a.members[f"leg.{side}.back"], z,
                 "stretcher to leg")
    if s.shape == "box":
        for side in ("front", "back"):
            _between(a, fit, f"stretcher.{side}", "base", s.stock, bar, a.members[f"leg.left.{side}"], a.members[f"leg.right.{side}"], z,
                     "stretcher to leg")
    else:
        stock = s.middle or s.stock
        middle = job.tube(stock, "base.stretchers.middle", s.lies)
        fit.face("base.stretchers.middle", fit.height(middle), fit.height(bar))
        _between(a, fit, "stretcher.middle", "base", stock, middle, a.members["stretcher.left"], a.members["stretcher.right"], z,
                 "stretcher to stretcher")


def _narrower(leg: Member, z: float) -> float:
    """The narrower side of a leg at a height: a bar that ends on it must fit where its lower edge is."""
    there = leg.at((z - leg.first[2]) / leg.direction[2])
    return min(there.width, there.height)


def _between(a: Assembly, fit: Fit, name: str, piece: str, stock: str, tube, one: Member, two: Member, z: float, kind: str) -> None:
    """A level bar from face to face between two bars, at a height."""
    ends, there = [], []
    for bar in (one, two):
        along = (z - bar.first[2]) / bar.direction[2] if abs(bar.direction[2]) > 1e-9 else bar.length / 2
        ends.append(bar.point_at(along))
        there.append(bar.at(along))
    gap = [two_ - one_ for one_, two_ in zip(*ends, strict=True)]
    size = sum(g * g for g in gap) ** 0.5
    way = [g / size for g in gap]
    reach = [bar.half_depth(np.asarray(way)) for bar in there]
    first = tuple(e + w * reach[0] for e, w in zip(ends[0], way, strict=True))
    second = tuple(e - w * reach[1] for e, w in zip(ends[1], way, strict=True))
    a.bar(name, piece, stock, tube, first, second)
    a.join(kind, name, 0, one.name)
    a.join(kind, name, 1, two.name)

