"""One geometry from the job: named points, members and bodies. Everything else reads it, nothing re-enters a size.

Axes: origin at the plan centre of the top, on the floor; x along the length, y across, z up. Metres. Names as
seen from -y: left, right, front (towards -y), back.
"""

from __future__ import annotations

import difflib
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from shopcalc.errors import InputError
from shopcalc.stock.woods import Wood
from shopcalc.table.assembly import Assembly, Foot, Joint, Member, Point, Seat
from shopcalc.table.bases import lay_out
from shopcalc.table.bases.fit import Fit, metres
from shopcalc.table.job import Job
from shopcalc.table.jobfile.joints import TOP_KEY, Bolts, TopFixing, Weld
from shopcalc.units import magnitude, show_length
from shopcalc.wood import inlay


@dataclass(frozen=True)
class Lump:
    """What a pocket adds to the mass of the slab (kg; an open pocket takes off), its rectangle x0, x1, y0, y1 and the height
    of its middle (m)."""

    mass: float
    x0: float
    x1: float
    y0: float
    y1: float
    z: float

    @property
    def middle(self) -> np.ndarray:
        return np.array([(self.x0 + self.x1) / 2, (self.y0 + self.y1) / 2, self.z])

    @property
    def area(self) -> float:
        return (self.x1 - self.x0) * (self.y1 - self.y0)


@dataclass(frozen=True)
class Bevel:
    """An undercut edge: it begins `width` in from the edge and leaves `edge` of the thickness there (m). sides: "all", "long sides"
    or "ends"; a round top has it all round."""

    width: float
    edge: float
    sides: str

    def from_edge(self, x, y, length: float, width: float, shape: str) -> np.ndarray:
        """How far places lie inside the nearest edge that is undercut, m."""
        if shape == "round":
            return length / 2 - np.hypot(x, y)
        ends, long = length / 2 - np.abs(x), width / 2 - np.abs(y)
        return {"all": np.minimum(ends, long), "ends": ends, "long sides": long}[self.sides] + 0 * np.asarray(x) + 0 * np.asarray(y)

    def part(self, x, y, length: float, width: float, shape: str, thickness: float) -> np.ndarray:
        """Part of the thickness that is left at places of the top."""
        near = np.clip(1 - self.from_edge(x, y, length, width, shape) / self.width, 0.0, 1.0)
        return 1 - (1 - self.edge / thickness) * near

    def removed(self, length: float, width: float, shape: str, thickness: float) -> float:
        """Volume that the undercut takes off, m3: a triangle along the edge, mitred at the corners."""
        deep, w = thickness - self.edge, self.width
        if shape == "round":
            return deep * np.pi * (length / 2 * w - w**2 / 3)
        return deep * {"all": (length + width) * w - 4 * w**2 / 3, "long sides": length * w, "ends": width * w}[self.sides]


@dataclass(frozen=True)
class TopBody:
    """The top as a slab, rectangular or round; grain: its slant from x (rad). `underside` is its height above the floor; `mass` is all of it,
    what its pockets add or take (`lumps`) in it."""

    shape: str
    length: float
    width: float
    thickness: float
    underside: float
    wood: Wood
    moisture: float
    moisture_assumed: bool
    mass: float
    mass_weighed: bool
    lumps: tuple[Lump, ...] = ()
    undercut: Bevel | None = None
    grain: float = 0.0

    @property
    def grain_way(self) -> np.ndarray:
        """(2,) along the grain in plan."""
        return np.array([np.cos(self.grain), np.sin(self.grain)])

    @property
    def across_way(self) -> np.ndarray:
        """(2,) across the grain in plan: the way the wood moves."""
        return np.array([-np.sin(self.grain), np.cos(self.grain)])

    @property
    def extent_across(self) -> float:
        """Size of the top across its grain, m: its width where the grain runs along it."""
        if self.shape == "round":
            return self.length
        return float(np.abs(self.across_way) @ [self.length, self.width])

    @property
    def slab(self) -> float:
        """Mass of the slab as if it had no pockets, kg."""
        return self.mass - sum(l.mass for l in self.lumps)

    @property
    def middle(self) -> np.ndarray:
        """Centre of gravity: off the middle where a heavy inlay is."""
        plain = np.array([0.0, 0.0, self.underside + self.thickness / 2])
        return plain + sum((l.mass * (l.middle - plain) for l in self.lumps), np.zeros(3)) / self.mass

    @property
    def area(self) -> float:
        return np.pi * self.length * self.width / 4 if self.shape == "round" else self.length * self.width

    @property
    def surface(self) -> float:
        """Height of the upper face above the floor."""
        return self.underside + self.thickness

    def covers(self, x, y, inset: float = 0.0) -> np.ndarray:
        """Where places (x, y) lie on the top, at least `inset` from its edge."""
        a, b = self.length / 2 - inset + 1e-9, self.width / 2 - inset + 1e-9
        if self.shape == "round":
            return (np.asarray(x) / a) ** 2 + (np.asarray(y) / b) ** 2 <= 1
        return (np.abs(x) <= a) & (np.abs(y) <= b)


@dataclass(frozen=True)
class Piece:
    """A knocked-down piece as it is carried: mass (kg) and centre of gravity (m) where it stands in the table."""

    name: str
    mass: float
    centre: tuple[float, float, float]


@dataclass(frozen=True)
class Geometry:
    """The table: named points, bars, how they are joined, feet, seats, the top, and what it comes apart into."""

    points: dict[str, Point]
    members: dict[str, Member]
    joints: tuple[Joint, ...]
    contacts: tuple[Foot, ...]
    seats: tuple[Seat, ...]
    top: TopBody
    pieces: tuple[Piece, ...]
    seams: tuple[Joint, ...] = ()

    @cached_property
    def kept(self) -> dict:
        """What was worked out of this geometry and is asked again: see frame.table_frame."""
        return {}

    def branch(self, joint: Joint) -> Member:
        """The branch of a joint with its size there: a tapered bar is not as large at its foot as at its head."""
        bar = self.members[joint.branch]
        return bar if bar.tapers_to is None else bar.at(bar.place_of(joint.place) if joint.end < 0 else bar.length * joint.end)

    def host(self, joint: Joint) -> Member:
        """The host of a joint with its size there."""
        bar = self.members[joint.host]
        return bar if bar.tapers_to is None else bar.at(bar.place_of(joint.place))

    @property
    def feet(self) -> tuple[str, ...]:
        return tuple(f.name for f in self.contacts)

    @property
    def foot_contacts(self) -> np.ndarray:
        """(n, 2) plan places of the contacts on the floor."""
        return np.array([f.floor[:2] for f in self.contacts])

    @property
    def mass(self) -> float:
        return sum(p.mass for p in self.pieces)

    @property
    def overhang(self) -> float:
        """From the outermost seat along the table to the end of the top."""
        return self.top.length / 2 - max(abs(s.place[0]) for s in self.seats)


DEFAULT_MOISTURE = 0.08


def build(job: Job) -> Geometry:
    """The geometry of a job. Raises InputError where parts do not fit each other, or a joint is not described."""
    base, top = job.model.base, job.model.top
    fit = Fit(job)
    fit.need(metres(top.thickness) < metres(top.width) / 4, "top.thickness", top.thickness,
             "a thickness under a quarter of the width", 'thickness = "1-3/4 in"')
    fit.need(metres(top.width) <= metres(top.length), "top.width", top.width,
             "a width up to the length (length runs along the grain)", 'width = "48 in"')
    if top.shape == "round":
        fit.need(abs(metres(top.length) - metres(top.width)) < 1e-6, "top.width", top.width,
                 "a width equal to the length: both are the diameter", 'width = "54 in"')
    fit.need(metres(base.feet.height) < metres(base.height) / 4, "base.feet.height", base.feet.height,
             "feet under a quarter of the height of the base", 'height = "1 in"')
    feet = base.feet
    fit.need(feet.stud is None or feet.kind == "leveller", "base.feet.stud", feet.stud, "levellers: other feet have no stud", 'kind = "leveller"')
    fit.need(feet.stud_grade is None or feet.stud is not None, "base.feet.stud_grade", feet.stud_grade, "the stud that is of this grade",
             'stud = "3/8-16"')
    assembly = lay_out(job, base)
    _joints_described(job, assembly)
    points: dict[str, Point] = {f.name: f.floor for f in assembly.feet}
    for m in assembly.members.values():
        points[f"{m.name}.first"], points[f"{m.name}.second"] = m.first, m.second
    points |= {s.name: s.place for s in assembly.seats}
    body = _top(job, top, metres(base.height))
    if body.undercut is not None:
        under = [s.name for s in assembly.seats if body.covers(*s.place[:2])
                 and body.undercut.from_edge(*s.place[:2], body.length, body.width, body.shape) < body.undercut.width - 1e-6]
        fit.need(not under, "top.undercut.width", top.undercut.width,
                 f"an undercut that begins outside of all that carries the top ({', '.join(under[:1])} lies in it)", 'width = "3 in"')
    return Geometry(points, assembly.members, tuple(assembly.joints), tuple(assembly.feet), tuple(assembly.seats), body,
                    _pieces(assembly.members, body, job.model.evidence.weighed_pieces), tuple(assembly.seams))


def _joints_described(job: Job, assembly: Assembly) -> None:
    kinds = list(dict.fromkeys(j.kind for j in assembly.joints))
    for kind in kinds:
        if isinstance(job.joint(kind), TopFixing):
            raise InputError(field=f"joints.{kind.replace(' ', '_')}", value="a fixing of wood", need="a weld or bolts",
                             example='{ weld = "fillet all round", leg = "1/8 in" }')
    keys = [k.replace(" ", "_") for k in kinds]
    stray = [k for k in job.model.joints if k not in keys and k != TOP_KEY]
    if isinstance(job.model.joints.get(TOP_KEY), Weld | Bolts):
        raise InputError(field=f"joints.{TOP_KEY}", value="a weld or bolts between bars", need="how the top is held on the base",
                         example=f'{TOP_KEY} = {{ fixing = "#10", count = 12, length = "1-1/2 in", tab = "1/8 in" }}')
    if stray:
        near = difflib.get_close_matches(stray[0], [*keys, TOP_KEY], n=1, cutoff=0.5)
        hint = f" (did you mean {near[0]}?)" if near else ""
        raise InputError(field=f"joints.{stray[0]}", value=stray[0], example=near[0] if near else keys[0],
                         need=f"a joint this base has{hint}: " + ", ".join([*keys, TOP_KEY]))


def _top(job: Job, top, height: float) -> TopBody:
    moisture = DEFAULT_MOISTURE if top.moisture is None else top.moisture
    length, width, thickness = metres(top.length), metres(top.width), metres(top.thickness)
    volume = (np.pi / 4 if top.shape == "round" else 1.0) * length * width * thickness
    weighed = job.model.evidence.weighed_top
    lumps, bevel = _lumps(job, height, thickness, moisture), _bevel(top, length, width, thickness)
    if bevel is not None:
        volume -= bevel.removed(length, width, top.shape, thickness)
    density = float(magnitude(top.wood.density(moisture), "kg/m**3"))
    mass = float(magnitude(weighed, "kg")) if weighed is not None else density * volume + sum(l.mass for l in lumps)
    body = TopBody(top.shape, length, width, thickness, height, top.wood, moisture, top.moisture is None, mass, weighed is not None, lumps, bevel,
                   0.0 if top.grain is None else float(magnitude(top.grain, "rad")))
    if not body.slab > 0 or not mass > 0:
        raise InputError(field="top.pockets", value=f"{sum(l.mass for l in lumps):.0f} kg in a top of {mass:.0f} kg",
                         need="pockets whose filling is lighter than the top, and that leave wood between them", example='depth = "3/8 in"')
    return body


def _bevel(top, length: float, width: float, thickness: float) -> Bevel | None:
    """The undercut of a job. Raises InputError where it leaves more than there is, meets itself, or cuts into a pocket."""
    given = top.undercut
    if given is None:
        return None
    made = Bevel(metres(given.width), metres(given.edge), given.sides)
    if not made.edge < thickness:
        raise InputError(field="top.undercut.edge", value=show_length(given.edge), need="an edge thinner than the top", example='edge = "3/4 in"')
    if not made.width < (width if given.sides != "ends" or top.shape == "round" else length) / 2:
        raise InputError(field="top.undercut.width", value=show_length(given.width), need="an undercut under half of the top", example='width = "6 in"')
    for name, p in top.pockets.items():
        x, y, a, b = (metres(v) for v in (*p.at, p.length, p.width))
        corners = np.array([(x + i * a / 2, y + j * b / 2) for i in (-1, 1) for j in (-1, 1)])
        if made.from_edge(*corners.T, length, width, top.shape).min() < made.width:
            raise InputError(field=f"top.pockets.{name}.at", value=show_length(p.at[0]), need="a pocket clear of the undercut edge",
                             example='at = ["0 in", "0 in"]')
    return made


def _lumps(job: Job, underside: float, thickness: float, moisture: float) -> tuple[Lump, ...]:
    """What every pocket adds: its filling less the wood that was cut out; nothing but the wood where it is left open."""
    top, found = job.model.top, []
    wood = top.wood.density(moisture)
    resin = inlay.EPOXY["density"] if top.resin.density is None else top.resin.density
    for p in top.pockets.values():
        x, y, a, b, d = (metres(v) for v in (*p.at, p.length, p.width, p.depth))
        volume = inlay.pocket_volume(p.length * p.width, p.depth)
        added = inlay.added_mass(volume, rho=0 * resin if p.filled == "nothing" else resin, rho_w=wood)
        z = underside + (thickness - d / 2 if p.face == "upper" else d / 2)
        found.append(Lump(float(magnitude(added, "kg")), x - a / 2, x + a / 2, y - b / 2, y + b / 2, z))
    return tuple(found)


def _pieces(members: dict[str, Member], top: TopBody, weighed: dict) -> tuple[Piece, ...]:
    """The top, and each group of members that stays welded together; a piece that was weighed has that mass."""
    pieces = [Piece("top", top.mass, tuple(float(v) for v in top.middle))]
    for name in dict.fromkeys(m.piece for m in members.values()):
        bars = [m for m in members.values() if m.piece == name]
        masses = np.array([b.carried_mass for b in bars])
        centre = (masses[:, None] * np.array([b.centre for b in bars])).sum(axis=0) / masses.sum()
        mass = float(magnitude(weighed[name], "kg")) if name in weighed else float(masses.sum())
        pieces.append(Piece(name, mass, tuple(float(v) for v in centre)))
    stray = [n for n in weighed if n not in {p.name for p in pieces[1:]}]
    if stray:
        raise InputError(field=f"evidence.weighed_pieces.{stray[0]}", value=stray[0], example=pieces[-1].name,
                         need="a piece that this base comes apart into (the top has weighed_top): " + ", ".join(p.name for p in pieces[1:]))
    return tuple(pieces)
