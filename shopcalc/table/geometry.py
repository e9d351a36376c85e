"""One geometry from the job: named points, members and bodies. Everything else reads it, nothing re-enters a size.

Axes: origin at the plan centre of the top, on the floor; x along the length, y across, z up. Metres. Names as
seen from -y: left, right, front (towards -y), back.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import pint

from shopcalc.errors import InputError
from shopcalc.stock.sections import SectionArrays
from shopcalc.stock.tubes import Tube, tube_sections
from shopcalc.stock.woods import Wood
from shopcalc.table.job import Job
from shopcalc.units import Quantity, magnitude, show_length

Point = tuple[float, float, float]


@dataclass(frozen=True)
class Member:
    """A straight bar on its axis from `first` to `second`. height is upright where the bar lies level; for an
    upright bar height runs along the table and width across. stock is the job's name for the tube."""

    name: str
    piece: str
    stock: str
    tube: Tube
    first: Point
    second: Point

    @property
    def length(self) -> float:
        return float(np.linalg.norm(np.subtract(self.second, self.first)))

    @property
    def upright(self) -> bool:
        return abs(self.second[2] - self.first[2]) > 0.5 * self.length

    @property
    def height(self) -> float:
        return self.tube.si[0]

    @property
    def width(self) -> float:
        return self.tube.si[1]

    @property
    def mass(self) -> float:
        """From the nominal wall."""
        return float(self.design.mass_per_length[0]) * self.length

    @property
    def middle(self) -> np.ndarray:
        return (np.asarray(self.first) + np.asarray(self.second)) / 2

    @cached_property
    def design(self) -> SectionArrays:
        """The section with its design wall (mass is always from the nominal one)."""
        return tube_sections([self.tube], "design")


@dataclass(frozen=True)
class TopBody:
    """The top as a rectangular slab, grain along x. `underside` is its height above the floor."""

    length: float
    width: float
    thickness: float
    underside: float
    wood: Wood
    moisture: float
    moisture_assumed: bool
    mass: float
    mass_weighed: bool

    @property
    def middle(self) -> np.ndarray:
        return np.array([0.0, 0.0, self.underside + self.thickness / 2])


@dataclass(frozen=True)
class Piece:
    """A knocked-down piece as it is carried: mass (kg) and centre of gravity (m) where it stands in the table."""

    name: str
    mass: float
    centre: tuple[float, float, float]


@dataclass(frozen=True)
class Geometry:
    points: dict[str, Point]
    members: dict[str, Member]
    top: TopBody
    feet: tuple[str, ...]
    pieces: tuple[Piece, ...]

    @property
    def foot_contacts(self) -> np.ndarray:
        """(n, 2) plan places of the contacts on the floor."""
        return np.array([self.points[name][:2] for name in self.feet])

    @property
    def mass(self) -> float:
        return sum(p.mass for p in self.pieces)

    @property
    def overhang(self) -> float:
        """From the middle of a trestle to the end of the top."""
        return self.top.length / 2 - max(p[0] for p in self.points.values() if p[0] <= self.top.length / 2)


DEFAULT_MOISTURE = 0.08


def build(job: Job) -> Geometry:
    """Geometry of a two-trestle table. Raises InputError where parts do not fit each other."""
    base, top = job.model.base, job.model.top
    trestles = base.trestles
    m = _metres
    foot, head, rail = (job.tube(p.stock, f"base.trestles.{n}", p.lies) for n, p in
                        (("foot", trestles.foot), ("head", trestles.head), ("rail", trestles.rail)))
    post = job.tube(trestles.posts.stock, "base.trestles.posts")
    stretcher = job.tube(base.stretcher.stock, "base.stretcher", base.stretcher.lies)
    height, apart = m(base.height), m(trestles.apart)
    z_foot = m(base.feet.height) + foot.si[0] / 2
    z_head = height - head.si[0] / 2
    z_rail = m(base.stretcher.above_floor)
    half = apart / 2
    y_post = m(trestles.posts.apart) / 2
    _fits(job, foot, head, post, rail, stretcher, z_foot, z_head, z_rail)

    points: dict[str, Point] = {}
    members: dict[str, Member] = {}
    feet: list[str] = []

    def bar(name, piece, stock, tube, first, second):
        points.setdefault(first[0], first[1])
        points.setdefault(second[0], second[1])
        members[name] = Member(name, piece, stock, tube, first[1], second[1])

    for side, x in (("left", -half), ("right", half)):
        piece = f"trestle.{side}"
        y_foot, y_head = m(trestles.foot.length) / 2, m(trestles.head.length) / 2
        bar(f"{piece}.foot", piece, trestles.foot.stock, foot,
            (f"{piece}.foot.front end", (x, -y_foot, z_foot)), (f"{piece}.foot.back end", (x, y_foot, z_foot)))
        bar(f"{piece}.head", piece, trestles.head.stock, head,
            (f"{piece}.head.front end", (x, -y_head, z_head)), (f"{piece}.head.back end", (x, y_head, z_head)))
        for place, y in (("front", -y_post), ("back", y_post)):
            bar(f"{piece}.post.{place}", piece, trestles.posts.stock, post,
                (f"{piece}.post.{place}.bottom", (x, y, z_foot + foot.si[0] / 2)),
                (f"{piece}.post.{place}.top", (x, y, z_head - head.si[0] / 2)))
        bar(f"{piece}.rail", piece, trestles.rail.stock, rail,
            (f"{piece}.rail.front end", (x, -y_post + post.si[1] / 2, z_rail)),
            (f"{piece}.rail.back end", (x, y_post - post.si[1] / 2, z_rail)))
        points[f"{piece}.rail.middle"] = (x, 0.0, z_rail)
        for place, sign in (("front", -1), ("back", 1)):
            name = f"foot.{side}.{place}"
            points[name] = (x, sign * (y_foot - m(base.feet.from_end)), 0.0)
            feet.append(name)
    face = rail.si[1] / 2
    bar("stretcher", "stretcher", base.stretcher.stock, stretcher,
        ("stretcher.left end", (-half + face, 0.0, z_rail)), ("stretcher.right end", (half - face, 0.0, z_rail)))
    body = _top(job, top, height)
    return Geometry(points, members, body, tuple(feet), _pieces(members, body))


def _top(job: Job, top, height: float) -> TopBody:
    moisture = DEFAULT_MOISTURE if top.moisture is None else top.moisture
    volume = _metres(top.length) * _metres(top.width) * _metres(top.thickness)
    weighed = job.model.evidence.weighed_top
    mass = (float(magnitude(weighed, "kg")) if weighed is not None
            else float(magnitude(top.wood.density(moisture), "kg/m**3")) * volume)
    return TopBody(_metres(top.length), _metres(top.width), _metres(top.thickness), height, top.wood, moisture,
                   top.moisture is None, mass, weighed is not None)


def _pieces(members: dict[str, Member], top: TopBody) -> tuple[Piece, ...]:
    """The top, and each group of members that stays welded together."""
    pieces = [Piece("top", top.mass, tuple(float(v) for v in top.middle))]
    for name in dict.fromkeys(m.piece for m in members.values()):
        bars = [m for m in members.values() if m.piece == name]
        masses = np.array([b.mass for b in bars])
        centre = (masses[:, None] * np.array([b.middle for b in bars])).sum(axis=0) / masses.sum()
        pieces.append(Piece(name, float(masses.sum()), tuple(float(v) for v in centre)))
    return tuple(pieces)


def _fits(job: Job, foot, head, post, rail, stretcher, z_foot, z_head, z_rail) -> None:
    base, top = job.model.base, job.model.top
    t = base.trestles
    m = _metres

    def need(ok: bool, field: str, value, words: str, example: str):
        if not ok:
            shown = show_length(value, job.system) if isinstance(value, pint.Quantity) else value
            raise InputError(field=field, value=shown, need=words, example=example)

    def say(metres: float) -> str:
        return show_length(Quantity(metres, "m"), job.system)

    need(m(top.thickness) < m(top.width) / 4, "top.thickness", top.thickness,
         "a thickness under a quarter of the width", 'thickness = "1-3/4 in"')
    need(m(top.width) <= m(top.length), "top.width", top.width,
         "a width up to the length (length runs along the grain)", 'width = "48 in"')
    need(m(t.apart) + post.si[0] < m(top.length), "base.trestles.apart", t.apart,
         f"trestles within the {say(m(top.length))} of the top", 'apart = "78 in"')
    need(m(t.apart) > post.si[0] + rail.si[0], "base.trestles.apart", t.apart,
         "trestles that do not touch", 'apart = "78 in"')
    need(m(t.head.length) <= m(top.width), "base.trestles.head.length", t.head.length,
         f"a head bar up to the {say(m(top.width))} width of the top", 'length = "42 in"')
    for name, part in (("foot", t.foot), ("head", t.head)):
        need(m(part.length) >= m(t.posts.apart) + post.si[1], f"base.trestles.{name}.length", part.length,
             f"a bar that reaches over both posts ({say(m(t.posts.apart) + post.si[1])})", 'length = "40 in"')
    need(m(t.posts.apart) > 2 * post.si[1], "base.trestles.posts.apart", t.posts.apart,
         "posts with room for a rail between them", 'apart = "22 in"')
    need(m(t.foot.length) / 2 - m(base.feet.from_end) > 0.02, "base.feet.from_end", base.feet.from_end,
         "feet within the half length of the foot bar", 'from_end = "1-1/2 in"')
    low, high = z_foot + foot.si[0] / 2 + rail.si[0] / 2, z_head - head.si[0] / 2 - rail.si[0] / 2
    need(low < high, "base.height", base.height, "a height with room for posts and a rail", 'height = "28-1/4 in"')
    need(low <= z_rail <= high, "base.stretcher.above_floor", base.stretcher.above_floor,
         f"a rail between foot bar and head bar ({say(low)} to {say(high)})", 'above_floor = "7 in"')
    # A branch is welded to a flat face: it may not be wider than the bar it meets.
    for field, branch, onto in (("base.trestles.posts.stock", post.si[0], head.si[1]),
                                ("base.trestles.posts.stock", post.si[0], foot.si[1]),
                                ("base.trestles.rail.stock", rail.si[1], post.si[0]),
                                ("base.stretcher.stock", stretcher.si[0], rail.si[0])):
        need(branch <= onto + 1e-6, field, say(branch), f"a bar no wider than the {say(onto)} face it is welded to",
             'stock = "post", of square tube 2 in x 11 ga, A513')


def _metres(q: pint.Quantity) -> float:
    return float(magnitude(q, "m"))
